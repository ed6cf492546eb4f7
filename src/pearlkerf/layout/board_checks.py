"""Cross-checks of the board itself: its frets against its ends, its blank against its outline."""

from collections.abc import Iterator

from pearlkerf.errors import Problem
from pearlkerf.files.lengths import as_written
from pearlkerf.layout.checks import Remark, one_of, up, weigh
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import BOARD_END, ROUNDING_MM


def check_board_end(laid: Laid) -> Iterator[Remark]:
    """The last fret and its slot lie on the board."""
    board = laid.board
    last = float(laid.frets_mm[-1])
    lines, end = [line.beside(laid.half_slot_mm) for line in laid.lines[1:]], laid.edges.finished.ends.far
    hollow = laid.edges.finished.hollow
    left = [line.apart_mm(end) if hollow is None else hollow.left_mm(line) for line in lines]
    wall = max(x for x, _ in (lines[-1].start, lines[-1].end))

    def beyond(limit_mm: float) -> Problem:
        fits = laid.numbers[sum(each >= limit_mm for each in left)]
        slot = f", its slot ends at {wall:.2f} mm" if laid.slots else ""
        return Problem(
            key="scale.frets",
            found=f"fret {laid.numbers[-1]} lies {last:.2f} mm from the nut{slot}, the board ends at "
            f"{laid.edges.finished.far_mm:.2f} mm",
            allowed=f"the last fret must lie on the board, {BOARD_END.advised_mm:.0f} mm of wood beyond it are advised",
            hint=one_of(
                f"make board.length at least {up(board.length_mm + limit_mm - left[-1])} mm",
                f"use at most {fits} frets" if fits else "",
            ),
        )

    yield from weigh(left[-1], BOARD_END, beyond)


def check_blank(laid: Laid) -> Iterator[Remark]:
    """The blank holds the board."""
    board = laid.board
    (_, low), (_, high) = laid.edges.finished.box_mm
    widest = high - low
    if board.blank is not None and board.blank.width_mm < widest - ROUNDING_MM:
        yield Remark("refused", Problem(
            key="blank.width",
            found=f"a blank {as_written(board.blank.width_mm)} wide does not hold a board {widest:.2f} mm wide",
            allowed=f"at least {up(widest)} mm",
            hint=f"use a blank of at least {up(widest)} mm, or leave [blank] out if the board is cut to its outline",
        ))  # fmt: skip


BOARD_CHECKS = (check_board_end, check_blank)
