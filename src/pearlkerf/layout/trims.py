"""Cuts across a blank that mark where the finished board ends, to saw or break it off square.

  waste     | |  board
____________| |________________      the wall on the board's side is the board's end;
                                     X 0 at the nut end, board.length at the bridge end
                                     (X 0 is beside it where there is a zero fret)
"""

from collections.abc import Iterator

from pearlkerf.board.model import Blank, Board
from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Remark, at_least, down, one_of, up, weigh, wood
from pearlkerf.layout.features import Slot
from pearlkerf.layout.ground import Ground, Laid
from pearlkerf.layout.limits import ROUNDING_MM, WALL
from pearlkerf.layout.surfaces import Floor

ENDS = {"none": (), "nut": ("nut",), "end": ("end",), "both": ("nut", "end")}


def trims(ground: Ground) -> tuple[Slot, ...]:
    """Give the cuts at a blank's ends, nut end first; none where none is asked for, or its width is not known."""
    blank = ground.board.blank
    width = None if blank is None else trim_width_mm(ground.board, blank)
    if blank is None or width is None:
        return ()
    return tuple(_trim(ground, blank, end, width) for end in ENDS[blank.trim])


def trim_width_mm(board: Board, blank: Blank) -> float | None:
    """Give how wide they are: as the file says, else a fret slot's width, fit included."""
    if blank.trim_width_mm is not None or board.fret_slots is None:
        return blank.trim_width_mm
    return board.fret_slots.width_mm + board.fret_slots.fit_mm


def _trim(ground: Ground, blank: Blank, end: str, width: float) -> Slot:
    board, ends = ground.board, ground.edges.finished.ends
    line = ends.nut.beside(-width / 2) if end == "nut" else ends.far.beside(width / 2)
    across = ground.edges.wood.across(line)
    return Slot(
        group="trims",
        number=1 if end == "nut" else 2,
        name=f"trim at the {'nut' if end == 'nut' else 'bridge'} end",
        start=across.start,
        end=across.end,
        width_mm=width,
        floor=Floor(-blank.trim_depth_mm, ground.surface if board.state == "radiused" else None),
        through=True,
    )


def check_trims(laid: Laid) -> Iterator[Remark]:
    """A trim has a width, wood beyond it to be trimmed, and leaves the blank in one piece."""
    board, blank = laid.board, laid.board.blank
    if blank is None or blank.trim == "none":
        return
    width = trim_width_mm(board, blank)
    if width is None:
        yield Remark("refused", Problem(
            key="blank.trim", found="the board has no fret slots whose width a trim could have",
            allowed="trim_width = … where there is no [fret_slots]", hint='write trim_width = "1 mm"'))  # fmt: skip
        return
    for end, beyond in (("nut", blank.beyond_nut_mm), ("end", blank.beyond_end_mm)):
        least = width + WALL.least_mm
        if end in ENDS[blank.trim] and beyond < least - ROUNDING_MM:
            yield Remark("refused", Problem(
                key=f"blank.beyond_{end}",
                found=f"{down(beyond)} mm of blank lie beyond the board, too little for a trim {width:.2f} mm wide",
                allowed=f"at least {up(least)} mm",
                hint=f'use trim = "{_without(blank, end)}", or a longer blank'))  # fmt: skip
    yield from _wood_under(laid, blank)


def _without(blank: Blank, end: str) -> str:
    left = [each for each in ENDS[blank.trim] if each != end]
    return left[0] if left else "none"


def _wood_under(laid: Laid, blank: Blank) -> Iterator[Remark]:
    half = blank.width_mm / 2
    fall = float(laid.surface.fall_mm([0.0, laid.board.length_mm], half).max())
    fall = fall if laid.board.state == "radiused" else 0.0
    left = laid.board.thickness_mm - fall - blank.trim_depth_mm

    def thin(limit_mm: float) -> Problem:
        most = blank.trim_depth_mm - (limit_mm - left)
        return Problem(
            key="blank.trim_depth",
            found=f"{wood(left)} stays under a trim {blank.trim_depth_mm:.2f} mm deep: the end breaks off",
            allowed=at_least(WALL),
            hint=one_of(f"use a trim_depth of at most {down(most)} mm" if most > 0 else "", 'use trim = "none"'),
        )

    yield from weigh(left, WALL, thin)


TRIM_CHECKS = (check_trims,)
