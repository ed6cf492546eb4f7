"""Binding: strips along both edges, part of the finished widths; slots and dots keep to what is inside them.

    outer edge, side dots are measured here
 ___________________________________________
|___________________binding_________________|   thickness
|        |        |      |                  |   "before": slots stop inside it
|  core  |        |      |                  |   "after": slots run through the core, then it is glued on
|________|________|______|__________________|
|___________________binding_________________|
"""

from collections.abc import Iterator

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.checks import Remark, at_least, at_most, down, one_of, weigh, wood
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import CORE_WIDTH, ROUNDING_MM, WALL


def to_slot_tips_mm(board: Board) -> float:
    """Give how far inside the finished edge slots end: 0 for slots that open in it.

    >>> from pearlkerf.board.model import Binding, FretSlots, Scale
    >>> bound = Board("", Scale(650, 20), 460.0, 52.0, 62.0, 6.0, binding=Binding(1.5, "after"),
    ...               fret_slots=FretSlots(0.6, 2.0))
    >>> to_slot_tips_mm(bound)
    1.5
    """
    inside = 0.0 if board.binding is None else board.binding.thickness_mm
    slots = board.fret_slots
    return inside + slots.margin_mm if slots is not None and slots.ends == "stopped" else inside


def slots_show_in_edge(board: Board) -> bool:
    """Say whether through slots can be seen in the finished edge."""
    return board.binding is None


def check_binding_leaves_a_core(laid: Laid) -> Iterator[Remark]:
    """Between the bindings there is a board."""
    binding = laid.board.binding
    if binding is None:
        return
    finished, core = laid.edges.finished, laid.edges.core
    x = min(finished.stations_mm, key=finished.width_mm)
    left = core.width_mm(x)
    if left < CORE_WIDTH.least_mm - ROUNDING_MM:
        most = finished.distance_mm((x, CORE_WIDTH.least_mm / 2))
        yield Remark("refused", Problem(
            key="binding.thickness",
            found=f"{wood(left)} stays between two bindings {as_written(binding.thickness_mm)} thick on a board "
            f"{finished.width_mm(x):.2f} mm wide",
            allowed=f"at least {CORE_WIDTH.least_mm:.2f} mm",
            hint=f"use a thickness of at most {down(most)} mm" if most > 0 else "",
        ))  # fmt: skip


def check_binding_before(laid: Laid) -> Iterator[Remark]:
    """A binding that is on already sits on the outline, and no slot runs out through it."""
    board, binding, slots = laid.board, laid.board.binding, laid.board.fret_slots
    if binding is None or binding.put_on == "after":
        return
    if board.blank is not None:
        yield Remark("refused", Problem(
            key="binding.put_on",
            found="the binding is on already, but the blank is not yet cut to the outline that it sits on",
            allowed='put_on = "after" with a [blank]',
            hint='use put_on = "after", or leave [blank] out',
        ))  # fmt: skip
    if slots is not None and slots.ends == "through" and slots.state == "to cut":
        yield Remark("refused", Problem(
            key="fret_slots.ends",
            found="slots that run through would cut the binding, which is on already",
            allowed='ends = "stopped", margin counts from the binding',
            hint='use ends = "stopped", or use binding.put_on = "after"',
        ))  # fmt: skip


def check_dots_behind_binding(laid: Laid) -> Iterator[Remark]:
    """A side dot that ends just short of the core leaves a skin of binding that breaks."""
    binding, dots = laid.board.binding, laid.board.side_dots
    if binding is None or dots is None or not laid.side_dots:
        return
    left = binding.thickness_mm - dots.depth_mm
    if left <= ROUNDING_MM:
        return
    yield from (
        Remark("doubtful", remark.problem)
        for remark in weigh(left, WALL, lambda limit_mm: Problem(
            key="side_dots.depth",
            found=f"{down(left)} mm of binding stays behind side dots {dots.depth_mm:.2f} mm deep",
            allowed=at_least(WALL),
            hint=one_of(
                at_most(binding.thickness_mm - limit_mm, "a depth"),
                f"use a depth of at least {as_written(binding.thickness_mm)}, which reaches the core",
            ),
        ))
    )  # fmt: skip


BINDING_CHECKS = (check_binding_leaves_a_core, check_binding_before, check_dots_behind_binding)
