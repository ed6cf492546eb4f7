"""What the figures measured on a calibration piece say: steps, runout, squareness, backlash.

Each is worked out only where what it needs was measured; a wall to the wall on the same side, so that widths drop out.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final, Literal

from pearlkerf.setups.calibration import Calibration
from pearlkerf.setups.calibration_heights import DEPTHS, FELT_MM, LANE_APART, Measured

# what a calliper that reads 0.01 mm tells apart, mm; nearer than this nothing is said to be wrong
READABLE_MM: Final = 0.02
BOTH: Final = "square, both diagonals"
FIRST, SECOND = "square, from its near left corner", "square, from its near right corner"
SLOTS, HOLES = "slots 1 and 2", "holes A to E"
Concern = Literal[
    "runout", "steps of X", "steps of Y", "steps of Z", "squareness", "backlash of X", "backlash of Y", "tram in X",
    "tram in Y",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Told:
    """One thing that measured figures say: what it concerns, its figure and unit, whether that is worth a mend, why."""

    concern: Concern
    figure: float
    unit: str
    right: bool
    words: str


def asked_figures(piece: Calibration) -> tuple[Measured, ...]:
    """Give what is to be measured, the two diagonals apart."""
    return tuple(
        replace(each, what=what) for each in piece.measures
        for what in ((FIRST, SECOND) if each.what == BOTH else (each.what,))
    )  # fmt: skip


def say_calibration(piece: Calibration, measured: Mapping[str, float]) -> tuple[Told, ...]:
    """Say what measured figures mean; ``measured`` are mm, by what was measured, as many as there are.

    Runout is what slots, or holes, are wider than the cutter; steps are multiplied by what a way should be over what
    it is; over the square's wood a slot's width is added, so that runout drops out.  Diagonals that differ by d lean an
    axis by 100 d / (√2 s) mm in 100 mm, s the square's side; lanes w apart with steps h between them the spindle by
    100 h / w.  Backlash is what the hole approached from the other side
    lies farther than its like.
    """
    should = {each.what: each.figure_mm for each in piece.measures}
    told = (*_runout(piece, measured), *_steps(should, measured), *_square(should, measured), *_backlash(measured))
    return (*told, *_tram(piece, measured))


def _runout(piece: Calibration, measured: Mapping[str, float]) -> Iterator[Told]:
    width = measured.get(SLOTS, measured.get(HOLES))
    if width is None:
        return
    runout = width - piece.cutter.diameter_mm
    if runout < -READABLE_MM:
        words = f"narrower than cutter {piece.cutter.number}: it is worn, or is not the one that the profile names"
    else:
        words = f"write it as runout of cutter {piece.cutter.number} in the profile"
    yield Told("runout", runout, "mm", abs(runout) <= READABLE_MM, words)


def _steps(should: Mapping[str, float], measured: Mapping[str, float]) -> Iterator[Told]:
    width = measured.get(SLOTS, should.get(SLOTS, 0.0))
    ways: tuple[tuple[Concern, str, float], ...] = (
        ("steps of X", "slot 1 to slot 2", 0.0), ("steps of X", "square, left to right", width),
        ("steps of X", "hole A to hole B", 0.0), ("steps of Y", "square, near to far", width),
        ("steps of Y", "hole A to hole D", 0.0), ("steps of Z", DEPTHS, 0.0),
    )  # fmt: skip
    told = set()
    for concern, what, added in ways:  # the longest way first: it shows the smallest fault
        if what not in measured or concern in told:
            continue
        told.add(concern)
        right, found = should[what] + (should.get(SLOTS, 0.0) if added else 0.0), measured[what] + added
        words = f"multiply the steps per mm by this: {what} should be {right:.2f} mm and is {found:.2f} mm"
        yield Told(concern, right / found, "times", abs(right - found) <= READABLE_MM, words)


def _square(should: Mapping[str, float], measured: Mapping[str, float]) -> Iterator[Told]:
    if FIRST not in measured or SECOND not in measured:
        return
    differ = measured[FIRST] - measured[SECOND]
    lean = 100 * differ / should[BOTH]  # the diagonal is √2 times the side
    side = "right" if differ > 0 else "left"
    right = abs(differ) <= READABLE_MM
    words = "X and Y stand square to each other" if right else f"Y leans to the {side}, in 100 mm by so much"
    yield Told("squareness", abs(lean), "mm in 100 mm", right, words)


def _tram(piece: Calibration, measured: Mapping[str, float]) -> Iterator[Told]:
    ways: tuple[tuple[Concern, str], ...] = (("tram in X", "lanes along Y"), ("tram in Y", "lanes along X"))
    for concern, what in ways:
        if what in measured:
            step = abs(measured[what])
            lean = 100 * step / (LANE_APART * piece.cutter.diameter_mm)
            words = f"{what}: the spindle leans across them by so much; set its mount square"
            yield Told(concern, lean, "mm in 100 mm", step < FELT_MM, words)


def _backlash(measured: Mapping[str, float]) -> Iterator[Told]:
    axes: tuple[tuple[Concern, str, str], ...] = (
        ("backlash of X", "hole A to hole B", "hole B to hole C"),
        ("backlash of Y", "hole A to hole D", "hole D to hole E"),
    )
    for concern, like, other in axes:
        if like in measured and other in measured:
            lash = measured[other] - measured[like]
            words = "how it is taken up or set stands in the machine's manual"
            yield Told(concern, lash, "mm", abs(lash) <= READABLE_MM, words)
