"""Moves to blocks: each position rounded once, absolute, so that rounding never adds up."""

import math
from collections.abc import Iterable, Iterator, Sequence

from pearlkerf.errors import Problem, Refusal
from pearlkerf.machine.model import Dialect
from pearlkerf.program.numbers import Numbers
from pearlkerf.program.tolerances import (
    ARC_CHORD_MM,
    BACK_OFF_MM,
    CHORD_AND_ROUNDING_MM,
    LEAST_CHORD_MM,
    LEAST_FEED,
    LONGEST_CHORD_MM,
    RADIUS_MISMATCH_MM,
    WHOLE_ROUNDING,
)
from pearlkerf.toolpath.moves import Arc, Drill, Feed, Move, TraverseHeight, TraversePlane


class Blocks:
    """Turns moves into blocks of words; keeps what is modal: position in steps, and the feed."""

    def __init__(self, dialect: Dialect) -> None:
        self.dialect = dialect
        self.numbers = Numbers.of(dialect)
        self.at: tuple[int | None, int | None, int | None] = (None, None, None)
        self.feed_in_force = ""

    def forget(self) -> None:
        """Forget position and feed, as after a stop at which a person may have moved the axes."""
        self.at = (None, None, None)
        self.feed_in_force = ""

    def words(self, moves: Iterable[Move]) -> Iterator[str]:
        """Give the blocks of some moves, without line numbers."""
        for move in moves:
            if isinstance(move, TraversePlane):
                yield from self._straight("G0", self.numbers.steps(move.x_mm), self.numbers.steps(move.y_mm), None)
            elif isinstance(move, TraverseHeight):
                yield from self._straight("G0", None, None, self.numbers.steps_up(move.z_mm))
            elif isinstance(move, Feed):
                yield from self._feed(move)
            elif isinstance(move, Arc):
                yield from self._arc(move) if self.dialect.arcs else self._chords(move)
            else:
                yield from self._cycle(move) if self.dialect.drilling_cycles else self._drill(move)

    def _straight(
        self, code: str, x: int | None, y: int | None, z: int | None, feed_mm_min: float | None = None
    ) -> Iterator[str]:
        """Give one block with the axes that change; nothing where none does.  A traverse has no feed."""
        target = tuple(old if new is None else new for new, old in zip((x, y, z), self.at, strict=True))
        axes = zip("XYZ", target, self.at, strict=True)
        changed = [f"{a}{self.numbers.length(new)}" for a, new, old in axes if new is not None and new != old]
        length_mm = self._far_mm(target)
        self.at = (target[0], target[1], target[2])
        if changed:
            yield " ".join([code, *changed, *self._feed_word(feed_mm_min, length_mm)])

    def _far_mm(self, target: Sequence[int | None]) -> float:
        """Give how far a straight block goes; inf where nobody knows where it begins."""
        parts = [
            math.inf if new is None or old is None else new - old for new, old in zip(target, self.at, strict=True)
        ]
        return self.numbers.step_mm * math.hypot(*parts)

    def _feed_word(self, feed_mm_min: float | None, length_mm: float) -> list[str]:
        """Give the feed where it changes: one at which the controller keeps up with blocks so long."""
        if feed_mm_min is None:
            return []
        feed = self.numbers.feed(self._kept_up_with(feed_mm_min, length_mm))
        if feed == self.feed_in_force:
            return []
        self.feed_in_force = feed
        return [f"F{feed}"]

    def _kept_up_with(self, feed_mm_min: float, length_mm: float) -> float:
        """Give a feed, or the fastest at which the controller carries blocks so long out."""
        rate = self.dialect.blocks_per_second
        return feed_mm_min if rate is None else min(feed_mm_min, length_mm * rate * 60)

    def _feed(self, move: Feed) -> Iterator[str]:
        steps = self.numbers.steps
        z = self.numbers.steps_up(move.z_mm)
        return self._straight("G1", steps(move.x_mm), steps(move.y_mm), z, move.feed_mm_min)

    def _arc(self, move: Arc) -> Iterator[str]:
        start_x, start_y, start_z = self.at
        assert start_x is not None and start_y is not None and start_z is not None
        x, y, z = self.numbers.steps(move.x_mm), self.numbers.steps(move.y_mm), self.numbers.steps_up(move.z_mm)
        if (x, y) == (start_x, start_y):
            yield from self._straight("G1", x, y, z, move.feed_mm_min)
            return
        i, j = self._offsets(move, (start_x, start_y), (x, y))
        words = ["G2" if move.clockwise else "G3", f"X{self.numbers.length(x)}", f"Y{self.numbers.length(y)}"]
        words += [f"Z{self.numbers.length(z)}"] if z != start_z else []
        words += [f"I{self.numbers.length(i)}", f"J{self.numbers.length(j)}"]
        _, sweep = move.turn_rad(start_x * self.numbers.step_mm, start_y * self.numbers.step_mm)
        self.at = (x, y, z)
        yield " ".join([*words, *self._feed_word(move.feed_mm_min, move.radius_mm * abs(sweep))])

    def _offsets(self, move: Arc, start: tuple[int, int], end: tuple[int, int]) -> tuple[int, int]:
        """Give I and J from the rounded start, nudged by a step where the two radii would differ too much."""
        i0 = self.numbers.steps(move.centre_x_mm - start[0] * self.numbers.step_mm)
        j0 = self.numbers.steps(move.centre_y_mm - start[1] * self.numbers.step_mm)

        def mismatch(offset: tuple[int, int]) -> float:
            to_end = math.hypot(end[0] - start[0] - offset[0], end[1] - start[1] - offset[1])
            return abs(math.hypot(*offset) - to_end) * self.numbers.step_mm

        if mismatch((i0, j0)) <= RADIUS_MISMATCH_MM[self.numbers.unit]:
            return i0, j0
        near = [(i0 + di, j0 + dj) for di in (-1, 0, 1) for dj in (-1, 0, 1)]
        return min(near, key=mismatch)

    def _chords(self, move: Arc) -> Iterator[str]:
        start_x, start_y, start_z = self.at
        assert start_x is not None and start_y is not None and start_z is not None
        step = self.numbers.step_mm
        radius = move.radius_mm
        first, sweep = move.turn_rad(start_x * step, start_y * step)
        off = min(ARC_CHORD_MM, max(CHORD_AND_ROUNDING_MM - step / math.sqrt(2), LEAST_CHORD_MM))
        pieces = self._carried_out(_pieces(sweep, radius, off), abs(sweep), radius, move.feed_mm_min)
        # all chords at one feed: each is as long as the others, but for rounding
        chord = 2 * radius * math.sin(abs(sweep) / pieces / 2) - math.sqrt(2) * step
        top, feed = start_z * step, self._kept_up_with(move.feed_mm_min, max(chord, step))
        for piece in range(1, pieces):
            angle = first + sweep * piece / pieces
            x, y = move.centre_x_mm + radius * math.cos(angle), move.centre_y_mm + radius * math.sin(angle)
            yield from self._feed(Feed(x, y, top + (move.z_mm - top) * piece / pieces, feed))
        yield from self._feed(Feed(move.x_mm, move.y_mm, move.z_mm, feed))

    def _carried_out(self, pieces: int, sweep: float, radius: float, feed_mm_min: float) -> int:
        """Give how many chords stand for an arc: fewer where the controller would not carry them out in time.

        Raises Refusal where chords as long as they may be still come too fast.
        """
        rate = self.dialect.blocks_per_second
        if rate is None:
            return pieces
        most = max(1, math.floor(sweep * radius * rate * 60 / (LEAST_FEED * feed_mm_min)))
        fewest = _pieces(sweep, radius, LONGEST_CHORD_MM)
        if fewest > most:
            needed = math.ceil(fewest * LEAST_FEED * feed_mm_min / (sweep * radius * 60))
            raise Refusal([Problem(
                key="program.blocks_per_second",
                found=f"chords of an arc of {radius:.2f} mm come at {needed} a second, however slowly it is fed",
                allowed=f"at most {rate:g}", hint="give the cutter a slower feed in the profile, or a larger cutter",
            )])  # fmt: skip
        return min(pieces, max(most, fewest))

    def _cycle(self, hole: Drill) -> Iterator[str]:
        """Give one visit: G82 with its dwell where one peck reaches the floor, else G83; R and the return stated."""
        length, up = self.numbers.length, self.numbers.steps_up
        place = f"X{length(self.numbers.steps(hole.x_mm))} Y{length(self.numbers.steps(hole.y_mm))}"
        floor = f"Z{length(up(hole.bottom_mm))} R{length(up(hole.above_mm))}"
        feed = self._feed_word(hole.feed_mm_min, math.inf)
        peck = max(1, math.floor(hole.peck_mm / self.numbers.step_mm + WHOLE_ROUNDING))
        if hole.top_mm - hole.bottom_mm <= hole.peck_mm + WHOLE_ROUNDING:
            yield " ".join(["G99 G82", place, floor, f"P{self.dwell(hole.dwell_s)}", *feed])
        else:
            yield " ".join(["G99 G83", place, floor, f"Q{length(peck)}", *feed])
        yield "G80"
        self.at = (self.numbers.steps(hole.x_mm), self.numbers.steps(hole.y_mm), up(hole.above_mm))

    def _drill(self, hole: Drill) -> Iterator[str]:
        """Write a drilled hole out as moves: equal pecks from the wood's top, each cleared to above it."""
        feed, up = hole.feed_mm_min, self.numbers.steps_up
        pecks = max(1, math.ceil((hole.top_mm - hole.bottom_mm) / hole.peck_mm - WHOLE_ROUNDING))
        for peck in range(1, pecks + 1):
            bottom = hole.top_mm + (hole.bottom_mm - hole.top_mm) * peck / pecks
            yield from self._straight("G1", None, None, up(bottom), feed)
            if peck < pecks:
                yield from self._straight("G0", None, None, up(hole.above_mm))
                yield from self._straight("G0", None, None, up(min(bottom + BACK_OFF_MM, hole.above_mm)))
        yield f"G4 P{self.dwell(hole.dwell_s)}"
        yield from self._straight("G1", None, None, up(hole.top_mm), feed)
        yield from self._straight("G0", None, None, up(hole.above_mm))

    def dwell(self, seconds: float) -> str:
        """Write a dwell in the profile's unit, rounded down to a millisecond, whole where that is the unit.

        A controller that counts milliseconds takes P6000.0 for an alarm, or for seconds.
        """
        milliseconds = math.floor(seconds * 1000 + WHOLE_ROUNDING)
        if self.dialect.dwell_unit == "ms":
            return str(milliseconds)
        whole, part = divmod(milliseconds, 1000)
        return f"{whole}.{f'{part:03d}'.rstrip('0') or '0'}"


def _pieces(sweep: float, radius: float, off_mm: float) -> int:
    """Give how many equal chords stand for an arc that they leave by so much at most."""
    return max(1, math.ceil(abs(sweep) / (2 * math.acos(1 - min(1.0, off_mm / radius)))))
