"""Cross-checks of a board: each gives the problems (refused) and the doubts (warned) that it finds."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem
from pearlkerf.layout.limits import (
    DOUBTFUL_END_MM,
    DOUBTFUL_FLOOR_MM,
    DOUBTFUL_WALL_MM,
    ROUNDING_MM,
    THINNEST_FLOOR_MM,
    THINNEST_WALL_MM,
)
from pearlkerf.layout.model import Crown, Hole, Slot
from pearlkerf.layout.outline import half_width_mm
from pearlkerf.layout.side_dots import centre_line_x_mm
from pearlkerf.layout.slots import deepest_mm


@dataclass(frozen=True, slots=True)
class Laid:
    """What the checks look at: a board with everything laid out on it."""

    board: Board
    surface: Crown
    frets_mm: NDArray[np.float64]
    slots: tuple[Slot, ...]
    face_dots: tuple[Hole, ...]
    side_dots: tuple[Hole, ...]


@dataclass(frozen=True, slots=True)
class Remark:
    """A problem, refused or only doubtful."""

    weight: Literal["refused", "doubtful"]
    problem: Problem


def weigh(wood_mm: float, refused_mm: float, doubtful_mm: float, problem: Problem) -> Iterator[Remark]:
    """Refuse a problem, or doubt it, by how much wood is left."""
    if wood_mm < refused_mm - ROUNDING_MM:
        yield Remark("refused", problem)
    elif wood_mm < doubtful_mm - ROUNDING_MM:
        yield Remark("doubtful", problem)


def check_frets(laid: Laid) -> Iterator[Remark]:
    """The last slot lies on the board; neighbouring slots leave wood between them."""
    board, last = laid.board, float(laid.frets_mm[-1])
    width = laid.slots[0].width_mm if laid.slots else 0.0
    beyond = last + width / 2
    on_board = int(np.sum(laid.frets_mm + width / 2 <= board.length_mm))
    end = Problem(
        key="scale.frets",
        found=f"fret {board.scale.frets} lies {last:.2f} mm from the nut and its slot ends at {beyond:.2f} mm; "
        f"the board ends at {board.length_mm:.2f} mm",
        allowed=f"the slot must lie on the board, {DOUBTFUL_END_MM:.0f} mm of wood beyond it are advised",
        hint=f"make board.length at least {beyond + DOUBTFUL_END_MM:.1f} mm, or use at most {on_board} frets",
    )
    yield from weigh(board.length_mm - beyond, 0.0, DOUBTFUL_END_MM, end)
    if not laid.slots:
        return
    gaps = np.diff(laid.frets_mm, prepend=0.0)
    between = float(gaps[-1]) - width
    near = Problem(
        key="fret_slots.width",
        found=f"{between:.2f} mm of wood stay between the slots of frets {board.scale.frets - 1} "
        f"and {board.scale.frets}",
        allowed=_wall_allowed(),
        hint="use fewer frets or a narrower slot",
    )
    yield from weigh(between, THINNEST_WALL_MM, DOUBTFUL_WALL_MM, near)


def check_slots(laid: Laid) -> Iterator[Remark]:
    """Slots leave wood under them; stopped ones are long enough to be slots."""
    board = laid.board
    if board.fret_slots is None:
        return
    depths = [deepest_mm(slot, half_width_mm(board, slot.start[0])) for slot in laid.slots]
    worst = int(np.argmax(depths))
    left = board.thickness_mm - depths[worst]
    thin = Problem(
        key="fret_slots.depth",
        found=f"{left:.2f} mm of wood stay under the slot of fret {worst + 1}, "
        f"which ends {depths[worst]:.2f} mm below the blank's top",
        allowed=_floor_allowed(),
        hint=f"use a depth of at most {board.fret_slots.depth_mm - (DOUBTFUL_FLOOR_MM - left):.2f} mm, "
        f"or a blank of at least {board.thickness_mm + DOUBTFUL_FLOOR_MM - left:.2f} mm",
    )
    yield from weigh(left, THINNEST_FLOOR_MM, DOUBTFUL_FLOOR_MM, thin)
    yield from _check_waste(laid)
    shortest = min(laid.slots, key=lambda slot: slot.end[1] - slot.start[1])
    length = shortest.end[1] - shortest.start[1]
    if not shortest.through and length < 4 * shortest.width_mm:
        yield Remark("refused", Problem(
            key="fret_slots.margin", found=f"the stopped slot of {shortest.name} would be {max(length, 0):.2f} mm long",
            allowed=f"at least {4 * shortest.width_mm:.2f} mm, four widths", hint="use a smaller margin"))  # fmt: skip


def _check_waste(laid: Laid) -> Iterator[Remark]:
    """In a blank wider than the board, a followed floor falls on beyond the outline."""
    if laid.board.blank is None:
        return
    lowest = max(-float(slot.floor.z_mm(slot.start[0], slot.end[1])) for slot in laid.slots)
    if lowest > laid.board.thickness_mm - THINNEST_WALL_MM:
        yield Remark("refused", Problem(
            key="blank.width", found=f"at the blank's edge the slots would end {lowest:.2f} mm below its top",
            allowed=f"at most {laid.board.thickness_mm - THINNEST_WALL_MM:.2f} mm, else it falls apart",
            hint="cut the blank narrower first"))  # fmt: skip


def check_wood_under_dots(laid: Laid) -> Iterator[Remark]:
    """Pockets of face dots leave wood under them."""
    if not laid.face_dots:
        return
    deepest = min(laid.face_dots, key=lambda hole: hole.floor_mm)
    left = laid.board.thickness_mm + deepest.floor_mm
    problem = Problem(
        key="face_dots.thickness",
        found=f"{left:.2f} mm of wood stay under {deepest.name}, which ends {-deepest.floor_mm:.2f} mm below the top",
        allowed=_floor_allowed(),
        hint=f"use shell thinner by {DOUBTFUL_FLOOR_MM - left:.2f} mm, or a thicker blank",
    )
    yield from weigh(left, THINNEST_FLOOR_MM, DOUBTFUL_FLOOR_MM, problem)


def check_dots_between_slots(laid: Laid) -> Iterator[Remark]:
    """Face and side dots leave wood to the slots beside them and to the nut end."""
    face = [(_wall_to_slots_mm(laid, hole, hole.centre[0]), hole) for hole in laid.face_dots]
    yield from _remark_on_walls(laid, "face_dots", face)
    side = [(_wall_to_slots_mm(laid, hole, centre_line_x_mm(laid.board, hole)), hole) for hole in laid.side_dots]
    yield from _remark_on_walls(laid, "side_dots", side)


def _wall_to_slots_mm(laid: Laid, hole: Hole, x: float) -> float:
    """Least wood between a hole's wall and the walls of the slots that bound its space."""
    half_slot = laid.slots[0].width_mm / 2 if laid.slots else 0.0
    before = half_slot + float(laid.frets_mm[hole.number - 2]) if hole.number > 1 else 0.0
    after = float(laid.frets_mm[hole.number - 1]) - half_slot
    return min(x - before, after - x) - hole.diameter_mm / 2


def _remark_on_walls(laid: Laid, table: str, walls: list[tuple[float, Hole]]) -> Iterator[Remark]:
    for limit in (THINNEST_WALL_MM, DOUBTFUL_WALL_MM):
        bad = [(wall, hole) for wall, hole in walls if wall < limit - ROUNDING_MM]
        if not bad:
            continue
        wall, hole = min(bad, key=lambda pair: pair[0])
        gap = float(np.diff(laid.frets_mm, prepend=0.0)[hole.number - 1])
        frets = sorted({other.number for _, other in bad})
        most = hole.diameter_mm - 2 * (limit - wall)
        spread = f" or a smaller {table}.spacing" if ", " in hole.name else ""
        use = f"use at most {most:.2f} mm{spread}, or " if most > 0 else ""
        problem = Problem(
            key=f"{table}.diameter",
            found=f"{hole.name}, {hole.diameter_mm:.2f} mm, does not fit between frets {hole.number - 1} and "
            f"{hole.number}, which are {gap:.2f} mm apart: {wall:.2f} mm of wood stay beside it"
            if limit == THINNEST_WALL_MM
            else f"{hole.name} leaves {wall:.2f} mm of wood to the slot beside it",
            allowed=_wall_allowed(),
            hint=f"{use}leave {_named_frets(frets)} out of {table}.frets",
        )
        yield Remark("refused" if limit == THINNEST_WALL_MM else "doubtful", problem)
        return


def _named_frets(frets: list[int]) -> str:
    return f"fret {frets[0]}" if len(frets) == 1 else "frets " + ", ".join(map(str, frets))


def _wall_allowed() -> str:
    return f"at least {THINNEST_WALL_MM:.2f} mm of wood must stay on each side, {DOUBTFUL_WALL_MM:.0f} mm is advised"


def _floor_allowed() -> str:
    return f"at least {THINNEST_FLOOR_MM:.1f} mm must stay, {DOUBTFUL_FLOOR_MM:.1f} mm is advised"
