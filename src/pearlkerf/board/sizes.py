"""A board's length and widths, however its file says them: at its ends, at a fret, or wherever its edges bend."""

from collections.abc import Container, Iterator
from typing import NamedTuple

from pearlkerf.board.model import Scale
from pearlkerf.board.shares import share_at
from pearlkerf.board.tables import BoardTable
from pearlkerf.errors import Problem


class Sizes(NamedTuple):
    """Length, and widths at both ends, mm."""

    length_mm: float
    nut_width_mm: float
    end_width_mm: float


def sizes_of(table: BoardTable, scale: Scale) -> Sizes | None:
    """Give a board's sizes; None where its file does not say them."""
    if table.widths:
        (_, bass, treble), (length, far_bass, far_treble) = table.widths[0], table.widths[-1]
        return Sizes(length, treble - bass, far_treble - far_bass)
    end_width = table.end_width if table.width_at is None else _end_width_mm(table, scale)
    if table.length is None or table.nut_width is None or end_width is None:
        return None
    return Sizes(table.length, table.nut_width, end_width)


def _end_width_mm(table: BoardTable, scale: Scale) -> float | None:
    """Carry the edges on from the nut through the width at a fret: w_nut + (w - w_nut) length / x_fret."""
    if table.width_at is None or table.length is None or table.nut_width is None:
        return None
    fret, width = table.width_at
    x = scale.middle_mm * share_at(scale, fret) - scale.nut_forward_mm
    return table.nut_width + (width - table.nut_width) * table.length / x


def sizes_at_odds(table: BoardTable, scale: Scale, written: Container[str]) -> Iterator[Problem]:
    """Give what of a board's sizes is missing, is said twice, or cannot be; ``written`` are the keys that it has."""
    if table.widths:
        for key in ("length", "nut_width", "end_width", "width_at"):
            if getattr(table, key) is not None:
                yield Problem(key=f"board.{key}", found=f"{key} is said, but widths say it too", allowed="one of them",
                              hint=f"leave {key} out")  # fmt: skip
        return
    if table.end_width is not None and table.width_at is not None:
        yield Problem(key="board.width_at", found="the width is said at the bridge end and at a fret",
                      allowed="one of them", hint="leave end_width or width_at out")  # fmt: skip
    if table.width_at is not None and table.width_at[0] > scale.frets:
        yield Problem(key="board.width_at", found=f"fret {table.width_at[0]} is not on the board",
                      allowed=f"1 to {scale.frets}", hint=f"measure it at fret {min(12, scale.frets)}")  # fmt: skip
    if "widths" in written:
        return  # what is wrong with them is told
    for key in ("length", "nut_width", "end_width"):
        if key not in written and not (key == "end_width" and "width_at" in written):
            yield Problem(key=f"board.{key}", found="the key is missing", allowed="a length", hint=f"write {key} = …")
