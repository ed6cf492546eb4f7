"""The recording of a reading: motions as columns, and what is in force as changes between them."""

import math
from array import array
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pearlkerf.reading.motions import PLANE_AXES, RAPID, Event, Motions
from pearlkerf.reading.tolerances import ROUNDING_MM

Position = tuple[float, float, float]
Places = tuple[NDArray[np.float64], NDArray[np.float64]] | tuple[float, float]


class Recording:
    """Collects motions while a program is read; gives them as read-only arrays at the end."""

    def __init__(self, start: Position) -> None:
        self.kind = array("b")
        self.x = array("d")
        self.y = array("d")
        self.z = array("d")
        self.line = array("i")
        self.jumps: list[tuple[int, Position]] = [(0, start)]  # positions that no motion led to
        self.arcs = array("d")  # index, plane, centre x y z, 1 if clockwise, and so on
        self.changes: dict[str, list[tuple[int, float]]] = {
            "feed": [(0, math.nan)], "speed": [(0, math.nan)], "spindle": [(0, 0)],
            "cutter": [(0, -1)], "cycle": [(0, 0)],
        }  # fmt: skip
        self.events: list[Event] = []
        self.comments: list[tuple[int, str]] = []  # line, text

    @property
    def count(self) -> int:
        """Give how many motions there are."""
        return len(self.kind)

    def put(self, kind: int, end: Position, line: int) -> None:
        """Record a motion to ``end``."""
        self.kind.append(kind)
        self.x.append(end[0])
        self.y.append(end[1])
        self.z.append(end[2])
        self.line.append(line)

    def put_many(self, kind: NDArray[np.int8], ends: tuple[NDArray[np.float64], ...], line: NDArray[np.int32]) -> None:
        """Record motions to the ends x, y and z, each (n,)."""
        self.kind.frombytes(kind.tobytes())
        for axis, end in zip((self.x, self.y, self.z), ends, strict=True):
            axis.frombytes(end.tobytes())
        self.line.frombytes(line.tobytes())

    def arc(self, plane: int, centre: Position, clockwise: bool) -> None:
        """Say that the next motion to be recorded is this arc."""
        self.arcs.extend((self.count, plane, *centre, clockwise))

    def arcs_in_plan(
        self, indexes: NDArray[np.intp], centres: tuple[NDArray[np.float64], ...], clockwise: NDArray[np.bool_]
    ) -> None:
        """Say which of the motions to be recorded next are arcs of the plane XY."""
        rows = (indexes + self.count, np.full(len(indexes), 17), *centres, clockwise)
        self.arcs.frombytes(np.column_stack(rows).astype(np.float64).tobytes())

    def jump(self, position: Position) -> None:
        """Say that the axes now stand here, though no motion led here."""
        self.jumps.append((self.count, position))

    def change(self, what: str, value: float) -> None:
        """Set what is in force for all motions from here on."""
        self.changes[what].append((self.count, value))

    def change_many(self, what: str, before: NDArray[np.intp], values: NDArray[np.float64]) -> None:
        """Set what is in force from some of the motions to be recorded next on: (n,) each."""
        places = (before + self.count).tolist()
        self.changes[what].extend(zip(places, values.tolist(), strict=True))

    def in_force(self, what: str) -> float:
        """Give what is in force now."""
        return self.changes[what][-1][1]

    def motions(self) -> Motions:
        """Give all motions as read-only arrays."""
        count = self.count
        end = np.column_stack([np.array(axis) for axis in (self.x, self.y, self.z)])
        start = np.empty((count, 3))
        start[1:] = end[:-1]
        for index, position in self.jumps:
            if index < count:
                start[index] = position
        kind = np.array(self.kind)
        feed = self._column("feed", count)
        feed[kind == RAPID] = np.nan
        plane, centre, sweep = self._arc_columns(start, end)
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

    def _arc_columns(
        self, start: NDArray[np.float64], end: NDArray[np.float64]
    ) -> tuple[NDArray[np.int8], NDArray[np.float64], NDArray[np.float64]]:
        plane = np.full(len(end), 17, dtype=np.int8)
        centre, sweep = np.full((len(end), 3), np.nan), np.zeros(len(end))
        arcs = np.array(self.arcs).reshape(-1, 6)
        indexes = arcs[:, 0].astype(np.intp)
        plane[indexes], centre[indexes] = arcs[:, 1], arcs[:, 2:5]
        for number, axes in PLANE_AXES.items():
            chosen = arcs[:, 1] == number
            of = indexes[chosen]
            begun, ended, about = ((at[of, axes[0]], at[of, axes[1]]) for at in (start, end, centre))
            sweep[of] = sweeps_about(begun, ended, about, arcs[chosen, 5] != 0.0)
        return plane, centre, sweep


def sweeps_about(
    start: Places, end: Places, centre: Places, clockwise: NDArray[np.bool_] | bool
) -> NDArray[np.float64]:
    """Give the signed sweeps (rad, positive counter-clockwise); equal ends are a full turn (section 3.5.3.2)."""
    first = np.arctan2(start[1] - centre[1], start[0] - centre[0])
    last = np.arctan2(end[1] - centre[1], end[0] - centre[0])
    sweep = np.where(clockwise, first - last, last - first) % (2 * np.pi)
    one_place = np.hypot(end[0] - start[0], end[1] - start[1]) <= ROUNDING_MM
    sweep = np.where((sweep == 0.0) | one_place, 2 * np.pi, sweep)
    return np.where(clockwise, -sweep, sweep)
