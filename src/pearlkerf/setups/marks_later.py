"""Positions that are zeroed again on a slot: moved by hand, a board lies as it was measured there, or straight.

    face-1, as measured      ______----      zero at the nut end
    face-2, moved            ----------      zero on a slot: straight, or as marks say that were measured from there

On a carrier, and in one position, the board is not moved by hand: there marks of its first place hold for all.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.model import Layout
from pearlkerf.setups.lying import FAR_END, OPTION
from pearlkerf.setups.marks import measured_from
from pearlkerf.setups.model import Placement, Setup


def lie_anew(layout: Layout, positions: Sequence[Setup]) -> tuple[tuple[Setup, ...], tuple[Problem, ...]]:
    """Give the positions of a face as they lie, those zeroed on a slot by marks of their own; and what is to be told.

    Raises Refusal where marks are wrong, or are of positions that are not zeroed anew.
    """
    problems = list(_of_no_position(positions))
    told: list[Problem] = []
    setups: list[Setup] = []
    for setup in positions:
        try:
            placed, doubts = _anew(layout, setup) if _is_moved(setup) else (setup, ())
        except Refusal as refusal:
            problems += refusal.problems
            continue
        later = placed.lying.marks_later
        setups.append(replace(placed, lying=replace(placed.lying, marks_later=())) if later else placed)
        told += doubts
    if problems:
        raise Refusal(problems)
    return tuple(setups), tuple(told)


def _is_moved(setup: Setup) -> bool:
    return setup.kind == "face" and setup.lying.zero.slot != ""


def _anew(layout: Layout, setup: Setup) -> tuple[Setup, tuple[Problem, ...]]:
    """Give a position as it was measured from its zero; straight where it was not, which is told if others were."""
    own = [mark for mark in setup.lying.marks_later if mark.position == setup.number]
    if not own and setup.lying.measured is None:
        return setup, ()
    measured, doubts = measured_from(layout, own, setup.lying.zero) if own else (None, (_straight(setup),))
    turned = Placement(0.0 if measured is None else measured.angle_deg)
    x, y = turned.to_machine(setup.lying.zero.at).tolist()
    placement = replace(turned, x_mm=-x, y_mm=-y)
    return replace(setup, placement=placement, lying=replace(setup.lying, measured=measured)), doubts


def _straight(setup: Setup) -> Problem:
    return Problem(
        key=OPTION,
        found=f"{setup.name} is zeroed again on the slot of {setup.lying.zero.slot}, once the board was moved by hand: "
        "marks of the first position say nothing of it, it is cut as if it lay straight along X",
        hint=f'lay it straight there, or measure it from that zero and say {OPTION} "{setup.name}=X,Y" for the far end',
    )


def _of_no_position(positions: Sequence[Setup]) -> Iterator[Problem]:
    there = {setup.number: setup.name for setup in positions if _is_moved(setup)}
    marks = [mark for setup in positions[:1] for mark in setup.lying.marks_later]
    for number in sorted({mark.position for mark in marks} - set(there)):
        yield Problem(
            key=OPTION,
            found=f"marks in face-{number}, which is no position that is zeroed again on a slot on this machine",
            allowed=", ".join(there.values()) or "marks from the nut end alone",
            hint="leave them out" if there else f'measure from the nut end, the {FAR_END} "448.0,0.35"',
        )
