"""The recording of a reading: motions as columns, and what is in force as changes between them."""

import math
from array import array
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.motions import RAPID, Event, Motions

Position = tuple[float, float, float]


class Recording:
    """Collects motions while a program is read; gives them as read-only arrays at the end."""

    def __init__(self, start: Position) -> None:
        self.kind = array("b")
        self.x = array("d")
        self.y = array("d")
        self.z = array("d")
        self.line = array("i")
        self.jumps: list[tuple[int, Position]] = [(0, start)]  # positions that no motion led to
        self.arcs = array("d")  # index, plane, centre x y z, sweep, and so on
        self.changes: dict[str, list[tuple[int, float]]] = {
            "feed": [(0, math.nan)], "speed": [(0, math.nan)], "spindle": [(0, 0)],
            "cutter": [(0, -1)], "cycle": [(0, 0)],
        }  # fmt: skip
        self.events: list[Event] = []

    def put(self, kind: int, end: Position, line: int) -> None:
        """Record a motion to ``end``."""
        self.kind.append(kind)
        self.x.append(end[0])
        self.y.append(end[1])
        self.z.append(end[2])
        self.line.append(line)

    def number(self, first: int, last: int) -> None:
        """Say that the motions put without a line stand on these lines, one on each."""
        self.line.frombytes(np.arange(first, last + 1, dtype=np.intc).tobytes())

    def arc(self, plane: int, centre: Position, sweep: float) -> None:
        """Say that the next motion to be recorded is this arc."""
        self.arcs.extend((len(self.kind), plane, *centre, sweep))

    def jump(self, position: Position) -> None:
        """Say that the axes now stand here, though no motion led here."""
        self.jumps.append((len(self.kind), position))

    def change(self, what: str, value: float) -> None:
        """Set what is in force for all motions from here on."""
        self.changes[what].append((len(self.kind), value))

    def in_force(self, what: str) -> float:
        """Give what is in force now."""
        return self.changes[what][-1][1]

    def motions(self) -> Motions:
        """Give all motions as read-only arrays."""
        count = len(self.kind)
        end = np.column_stack([np.array(axis) for axis in (self.x, self.y, self.z)])
        start = np.empty((count, 3))
        start[1:] = end[:-1]
        for index, position in self.jumps:
            if index < count:
                start[index] = position
        kind = np.array(self.kind)
        feed = self._column("feed", count)
        feed[kind == RAPID] = np.nan
        plane, centre, sweep = self._arc_columns(count)
        columns: dict[str, NDArray[Any]] = {
            "kind": kind, "start": start, "end": end, "plane": plane, "centre": centre, "sweep": sweep,
            "feed": feed, "speed": self._column("speed", count),
            "spindle": self._column("spindle", count).astype(np.int8),
            "cutter": self._column("cutter", count).astype(np.int32),
            "in_cycle": self._column("cycle", count).astype(np.int8),
            "line": np.array(self.line, dtype=np.int32),
        }  # fmt: skip
        for column in columns.values():
            column.setflags(write=False)
        return Motions(**columns)

    def _column(self, what: str, count: int) -> NDArray[np.float64]:
        indexes = [index for index, _ in self.changes[what]]
        values = np.array([value for _, value in self.changes[what]], dtype=np.float64)
        lengths = np.diff(np.minimum([*indexes, count], count))
        return np.repeat(values, lengths)

    def _arc_columns(self, count: int) -> tuple[NDArray[np.int8], NDArray[np.float64], NDArray[np.float64]]:
        plane = np.full(count, 17, dtype=np.int8)
        centre, sweep = np.full((count, 3), np.nan), np.zeros(count)
        arcs = np.array(self.arcs).reshape(-1, 6)
        indexes = arcs[:, 0].astype(np.intp)
        plane[indexes], centre[indexes], sweep[indexes] = arcs[:, 1], arcs[:, 2:5], arcs[:, 5]
        return plane, centre, sweep
