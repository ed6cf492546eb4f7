"""A board as it really lies: turned about zero, as one or two measured marks on its centre line say.

    Y ^            ______________________+ far end, measured at X Y
      | __________/                      |
    0 +- - - - - -|- - - - - - - - - - - | -> X      the machine's axes, zero at the nut end
      |___________|______________________|
                a slot, measured too

A position that is zeroed again on a slot is a clamping of its own: marks are measured from there.

The distance of a mark from zero is the board's own: one that differs from the layout's is of
another board, or of another scale, and is refused.
"""

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.lines import Point
from pearlkerf.layout.model import Layout
from pearlkerf.layout.names import in_ranges
from pearlkerf.setups.lying import FAR_END, NUT_END, OPTION, AsMeasured, Datum, Mark
from pearlkerf.setups.model import Clampings, Setup

# a mark's distance from the nut end may be so far off: more than a rule is misread by, far less than scales differ by
DISTANCE_MM: Final = 0.5
# what two marks may lie beside one straight line from zero: a pencil line's width
BESIDE_MM: Final = 0.25
# turned farther, the words of the head no longer hold: left, toward the operator
MOST_TURNED_DEG: Final = 45.0
# a board that was meant to lie straight lies straighter than this
STRAIGHT_ENOUGH_DEG: Final = 5.0
# how well a centre line is found with a pointer, for what a near mark is worth (common practice, no source)
FOUND_WITHIN_MM: Final = 0.1
WORTH_A_WORD_MM: Final = 0.25
MM_PER_INCH: Final = 25.4
# limits compare with this much forgiveness for binary fractions
ROUNDING_MM: Final = 1e-6
MOST_MARKS: Final = 2
_SLOT: Final = re.compile(r"fret\s*(\d{1,3})", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, slots=True)
class _Known:
    """A mark beside the place that the layout gives it, mm right of zero along the centre line; where zero is."""

    mark: Mark
    along_mm: float
    zero: Datum

    @property
    def angle_deg(self) -> float:
        """How far the board is turned, by this mark alone."""
        x, y = self.mark.measured
        way = math.copysign(1.0, self.along_mm)
        return math.degrees(math.atan2(way * y, way * x))

    @property
    def away_mm(self) -> float:
        """How far it lies from zero in the layout."""
        return abs(self.along_mm)

    @property
    def origin(self) -> str:
        """Name the place of zero."""
        return f"the slot of {self.zero.slot}" if self.zero.slot else "the nut end"


def turn_to_marks(clampings: Clampings, marks: Sequence[Mark]) -> Clampings:
    """Give the clampings of a board whose face setup lies as its marks were measured; as it is where there are none.

    Marks of later positions wait in its ``lying`` until it is cut in positions.  The edge setup is a
    clamping of its own and stays as it is.

    Raises Refusal as ``measured_from`` does, and where there is no face setup.
    """
    if not marks:
        return clampings
    problems = list(_without_face(clampings))
    first = [mark for mark in marks if mark.position == 1]
    later = tuple(mark for mark in marks if mark.position > 1)
    measured: AsMeasured | None = None
    told: tuple[Problem, ...] = ()
    try:
        if first:
            measured, told = measured_from(clampings.layout, first, NUT_END)
    except Refusal as refusal:
        problems += refusal.problems
    if problems:
        raise Refusal(problems)
    setups = tuple(_turned(setup, measured, later) for setup in clampings.setups)
    return replace(clampings, setups=setups, warnings=(*clampings.warnings, *told))


def measured_from(layout: Layout, marks: Sequence[Mark], zero: Datum) -> tuple[AsMeasured, tuple[Problem, ...]]:
    """Give how a board lies by marks measured from a zero on its centre line, and what is doubtful of them.

    Two marks give the angle for which the squares of what they lie off are least.

    Raises Refusal where a mark is unknown, where its distance from zero differs from the layout's
    by more than DISTANCE_MM, where two marks do not lie on one line through zero within BESIDE_MM,
    and where the board lies turned by more than MOST_TURNED_DEG.
    """
    problems: list[Problem] = list(_too_many(marks))
    found = [_known(layout, mark, zero) for mark in marks]
    known = [each for each in found if isinstance(each, _Known)]
    problems += [each for each in found if isinstance(each, Problem)]
    problems += [problem for each in known for problem in _wrong_board(layout, each)]
    if not problems:
        problems += _turned_too_far(known)
    if not problems and len(known) > 1:
        problems += _disagree(known)
    if problems:
        raise Refusal(problems)
    angle = turned_deg([(each.along_mm, each.mark.measured) for each in known])
    measured = AsMeasured(angle, tuple((each.mark, each.along_mm) for each in known))
    return measured, tuple(_doubts(layout, known, angle))


def turned_deg(marks: Sequence[tuple[float, Point]]) -> float:
    """Give the angle by which a board is turned about zero, from marks: distance along it, and measured place.

    Least squares: the sum over marks of abs(m - R(a) (d, 0))**2 is least where tan a = sum d y / sum d x.

    >>> round(turned_deg([(448.0, (447.9998, 0.42))]), 6)
    0.053715
    """
    across = sum(along * place[1] for along, place in marks)
    onward = sum(along * place[0] for along, place in marks)
    return math.degrees(math.atan2(across, onward))


def asked_of(clampings: Clampings, marks: Sequence[Mark]) -> dict[str, object]:
    """Give what the job's record keeps of the marks: each as written, and how far the face setup is turned by them."""
    if not marks:
        return {}
    angle = next(setup.placement.angle_deg for setup in clampings.setups if setup.kind == "face")
    return {"at": [mark.written for mark in marks], "turned_deg": round(angle, 6)}


def _turned(setup: Setup, measured: AsMeasured | None, later: tuple[Mark, ...]) -> Setup:
    if setup.kind != "face":
        return setup
    angle = setup.placement.angle_deg if measured is None else measured.angle_deg
    lying = replace(setup.lying, measured=measured, marks_later=later)
    return replace(setup, placement=replace(setup.placement, angle_deg=angle), lying=lying)


def _without_face(clampings: Clampings) -> Iterator[Problem]:
    if not any(setup.kind == "face" for setup in clampings.setups):
        yield Problem(key=OPTION, found="nothing is cut in the face of this board, which the marks are for",
                      allowed="a board with slots or face dots to cut", hint=f"leave {OPTION} out")  # fmt: skip


def _too_many(marks: Sequence[Mark]) -> Iterator[Problem]:
    names = [mark.name for mark in marks]
    if len(marks) > MOST_MARKS or len(set(names)) < len(names):
        yield Problem(key=OPTION, found=f"marks at {', '.join(names)}", allowed="one mark, or two at different places",
                      hint='measure the far end and a slot, such as "fret 12=316.2,0.2"')  # fmt: skip


def _known(layout: Layout, mark: Mark, zero: Datum) -> _Known | Problem:
    """Give a mark with its place in the layout, or the problem that the layout does not have it there."""
    from_mm = zero.at[0]
    if mark.name == FAR_END:
        return _Known(mark, layout.edges.finished.far_mm - from_mm, zero)
    number = _SLOT.fullmatch(mark.name)
    slot = next((each for each in layout.slots if number and each.number == int(number[1]) > 0), None)
    if slot is not None and slot.name == zero.slot:
        return Problem(key=OPTION, found=f"zero itself lies on the slot of {slot.name}", allowed="a mark away from it",
                       hint="measure the far end, or a slot far from zero")  # fmt: skip
    if slot is not None:
        return _Known(mark, slot.line.x_mm() - from_mm, zero)
    there = ", ".join(in_ranges(sorted(each.number for each in layout.slots if each.number)))
    return Problem(
        key=OPTION,
        found=f'there is no slot "{mark.name[:80]}" on this board',
        allowed=f"the far end, or a slot: fret {there}" if there else "the far end: this board has no slots",
        hint=f'write "{layout.edges.finished.far_mm:g} mm,0 mm" for the far end'
        + (f', or "fret {layout.slots[-1].number}=..." for a slot' if there else ""),
    )


def _wrong_board(layout: Layout, known: _Known) -> Iterator[Problem]:
    measured, off = known.mark.distance_mm, known.mark.distance_mm - known.away_mm
    if abs(off) <= DISTANCE_MM + ROUNDING_MM:
        return
    yield Problem(
        key=OPTION,
        found=f"{known.mark.named} was measured {measured:.2f} mm from {known.origin}, but lies {known.away_mm:.2f} mm "
        f"from it in the layout, {abs(off):.2f} mm {'less' if off > 0 else 'more'}: "
        "this is another board, or another scale",
        allowed=f"within {DISTANCE_MM:.1f} mm",
        hint="; ".join([_would_fit(layout, known), *_slips(layout, known), f"or zero is not at {known.origin}"]),
    )


def _would_fit(layout: Layout, known: _Known) -> str:
    """Say which scale length a measure would fit."""
    scale, measured = layout.board.scale.middle_mm, known.mark.distance_mm
    fits = scale * measured / known.away_mm
    if known.mark.name == FAR_END:
        return (
            f"it would fit a board {known.zero.at[0] + measured:.2f} mm long; in the proportions of this one, a scale "
            f"length of {fits:.2f} mm in place of {scale:.2f} mm"
        )
    return f"it would fit a scale length of {fits:.2f} mm, the board file says {scale:.2f} mm"


def _slips(layout: Layout, known: _Known) -> Iterator[str]:
    """Say what else such a measure may be: a neighbouring slot, or another unit."""
    measured, from_mm = known.mark.distance_mm, known.zero.at[0]
    away = {slot.name: abs(slot.line.x_mm() - from_mm) for slot in layout.slots}
    near = next((name for name, each_mm in away.items() if abs(each_mm - measured) <= DISTANCE_MM), None)
    if near is not None:
        yield f"or it is the slot of {near}, which lies there"
    for factor, said in ((MM_PER_INCH, "inches"), (1 / MM_PER_INCH, "mm")):
        if abs(measured * factor - known.away_mm) <= DISTANCE_MM:
            yield f"or the figures are {said}, then say so: {'1.5 in' if said == 'inches' else '1.5 mm'}"


def _turned_too_far(known: Sequence[_Known]) -> Iterator[Problem]:
    for each in known:
        if abs(each.angle_deg) > MOST_TURNED_DEG:
            x, y = each.mark.measured
            yield Problem(
                key=OPTION,
                found=f"{each.mark.named} at X {x:.2f} Y {y:.2f}: turned {abs(each.angle_deg):.1f} degrees",
                allowed=f"at most {MOST_TURNED_DEG:.0f} degrees",
                hint="X runs along the board, away from the nut end at the left, Y across it; X comes first",
            )


def _disagree(known: Sequence[_Known]) -> Iterator[Problem]:
    """Refuse two marks that lie on no line through zero; say where zero would have to be."""
    near, far = sorted(known, key=lambda each: each.away_mm)
    beside = near.away_mm * math.sin(math.radians(near.angle_deg - far.angle_deg))
    if abs(beside) <= BESIDE_MM + ROUNDING_MM:
        return
    (x1, y1), (x2, y2) = near.mark.measured, far.mark.measured
    at_zero = y1 - x1 * (y2 - y1) / (x2 - x1)
    yield Problem(
        key=OPTION,
        found=f"the marks do not agree: {near.mark.named} lies {abs(beside):.2f} mm beside the line from zero to "
        f"{far.mark.named} (turned {near.angle_deg:.4f} and {far.angle_deg:.4f} degrees)",
        allowed=f"at most {BESIDE_MM:.2f} mm",
        hint=f"measure both again; if both are right, the centre line meets {near.origin} at Y {at_zero:.2f}, "
        "not at Y0",
    )


def _doubts(layout: Layout, known: Sequence[_Known], angle_deg: float) -> Iterator[Problem]:
    if abs(angle_deg) > STRAIGHT_ENOUGH_DEG:
        yield Problem(key=OPTION, found=f"the board lies turned by {abs(angle_deg):.1f} degrees, which is much",
                      hint="clamp it straighter, or measure again")  # fmt: skip
    far = max(known, key=lambda each: each.away_mm)
    worth = FOUND_WITHIN_MM * (layout.board.length_mm - far.zero.at[0]) / far.away_mm
    if worth > WORTH_A_WORD_MM:
        yield Problem(
            key=OPTION,
            found=f"{far.mark.named} lies near {far.origin.removesuffix(' end')}: {FOUND_WITHIN_MM:.1f} mm there are "
            f"{worth:.1f} at the far end",
            hint=f"measure the far end, or a slot farther from {far.origin.removesuffix(' end')}",
        )
