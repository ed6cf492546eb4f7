"""Loose lines joined end to end to loops."""

import math
from collections.abc import Iterator, Sequence

from pearlkerf.outlines.drawing import Loop
from pearlkerf.outlines.limits import CLOSED_MM, MOST_MEETING
from pearlkerf.outlines.segments import Point, Segment, turned_round


class TooMany(ValueError):
    """More lines meet in one place than any drawing needs; the message says where."""


def joined(pieces: Sequence[Segment], unit_mm: float) -> Iterator[Loop]:
    """Give chains of pieces whose ends lie within CLOSED_MM of each other, as far as they go on.

    Where an even number of ends meet, every way of joining them encloses the same (by the even-odd
    rule); where an odd number do, a chain stays open.  ``unit_mm`` is the length of the drawing's unit.
    """
    ends = _Ends(pieces, CLOSED_MM / unit_mm)
    for number in range(len(pieces)):
        if number in ends.left:
            yield ends.chain(number)


class _Ends:
    """The ends of pieces, to be found by where they lie."""

    def __init__(self, pieces: Sequence[Segment], near: float) -> None:
        self.pieces, self.near = pieces, near
        self.left = set(range(len(pieces)))
        self.cells: dict[tuple[int, int], list[int]] = {}
        for number, piece in enumerate(pieces):
            for cell in {self._cell(piece.start), self._cell(piece.end)}:
                self.cells.setdefault(cell, []).append(number)
                if len(self.cells[cell]) > MOST_MEETING:
                    raise TooMany(f"more than {MOST_MEETING} lines meet at {piece.start[0]:g}, {piece.start[1]:g}")

    def _cell(self, place: Point) -> tuple[int, int]:
        return round(place[0] / self.near / 2), round(place[1] / self.near / 2)

    def _next(self, end: Point) -> Segment | None:
        """Take the piece that goes on from a place, its start there."""
        x, y = self._cell(end)
        around = {n for i in (-1, 0, 1) for j in (-1, 0, 1) for n in self.cells.get((x + i, y + j), ())}
        for number in sorted(around & self.left):
            piece = self.pieces[number]
            start, last = math.dist(piece.start, end), math.dist(piece.end, end)
            if min(start, last) <= self.near:
                self.left.remove(number)
                return piece if start <= last else turned_round(piece)
        return None

    def _goes_on(self, chain: list[Segment]) -> None:
        while math.dist(chain[0].start, chain[-1].end) > self.near or len(chain) == 1:
            piece = self._next(chain[-1].end)
            if piece is None:
                return
            chain.append(piece)

    def chain(self, number: int) -> Loop:
        """Take a piece and all that goes on from its two ends."""
        self.left.remove(number)
        chain = [self.pieces[number]]
        self._goes_on(chain)
        chain = [turned_round(piece) for piece in reversed(chain)]
        self._goes_on(chain)
        return tuple(chain)
