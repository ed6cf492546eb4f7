"""The oracle's own reading of a program: what a careful controller would do with it, motion by motion.

Written from NISTIR 6556 for these tests alone.  It knows what the project's programs are made of; at
whatever else it meets it gives up with ``Unreadable``, as a strict controller would stop; where it moves
though nobody knows what that does, it is ``Harm`` at once.
"""

from dataclasses import dataclass

import numpy as np
from plain_controller import COLUMNS, Assumed, Controller, Track
from plain_words import Unreadable

__all__ = ["COLUMNS", "Assumed", "Reading", "Track", "read_plainly"]


@dataclass
class Reading:
    """A program read once, and what is in force every so many lines: a text that is mostly alike is read faster."""

    lines: list[str]
    track: Track
    snapshots: dict[int, tuple]


class _Reader(Controller):
    """A controller that can go on where another reading stood, and leave the rest to it."""

    def snapshot(self) -> tuple:
        """The state, and how much has been read."""
        track = self.track
        return self.state(), (self.row, len(track.happenings), len(track.setups), len(track.claims))

    def take_over(self, reading: Reading, snapshot: tuple) -> None:
        """Go on where another reading stood."""
        state, (row, happenings, setups, claims) = snapshot
        old = reading.track
        self.track = Track([], old.happenings[:happenings], set(), set(old.oddities), old.setups[:setups],
                           old.claims[:claims])  # fmt: skip
        self.before = row
        self.track.stated = self.restore(state)

    def leave_to(self, reading: Reading, snapshot: tuple) -> None:
        """Take the rest from another reading, which stood as this one stands."""
        _, (row, happenings, setups, claims) = snapshot
        old, new, shift = reading.track, self.track, self.row - row
        new.happenings += [(before + shift, what, value) for before, what, value in old.happenings[happenings:]]
        new.setups += old.setups[setups:]
        new.claims += old.claims[claims:]
        new.oddities |= old.oddities
        new.stated |= old.stated  # a long head may state nothing before the snapshot
        new.end = old.end


EVERY = 40  # lines between snapshots


def read_plainly(text: bytes, dialect, like: Reading | None = None, assumed: Assumed | None = None) -> Reading:
    """Read a program, faster where it is ``like`` another; raises Unreadable, or Harm."""
    lines = text.decode("latin-1").split("\n")
    if lines and not lines[-1]:
        lines.pop()
    reader, snapshots, first, rest = _Reader(dialect, assumed or Assumed()), {}, 0, None
    opened = next((place for place, line in enumerate(lines) if line.strip()), 0)
    begins = bool(lines) and lines[opened].strip() == "%"
    head = tail = 0
    if like is not None:
        head, tail = _alike(like.lines, lines)
        first = max((place for place in like.snapshots if opened < place <= head), default=0)
        if first:
            reader.take_over(like, like.snapshots[first])
    closed = False
    for place in range(first, len(lines)):
        if place % EVERY == 0 and like is None:
            snapshots[place] = reader.snapshot()
        if like is not None and place >= len(lines) - tail and head > opened:
            rest = like.snapshots.get(place - len(lines) + len(like.lines))
            if rest is not None and rest[0] == reader.state():
                reader.leave_to(like, rest)
                closed = True
                break
            rest = None
        line = lines[place].rstrip("\r")
        if line.strip() == "%":
            if place == opened:
                continue
            if not begins:
                raise Unreadable("a lone %")
            closed = True
            break
        if reader.track.end:
            if line.strip():
                reader.track.oddities.add("text after the end")
            continue
        reader.line(line)
    if begins and not closed:
        raise Unreadable("a lone %")
    _put_table(reader, like, rest)
    return Reading(lines, reader.track, snapshots)


def _alike(old: list[str], new: list[str]) -> tuple[int, int]:
    """How many lines are alike at the head, and at the tail."""
    most = min(len(old), len(new))
    head = next((n for n in range(most) if old[n] != new[n]), most)
    tail = next((n for n in range(most - head) if old[-1 - n] != new[-1 - n]), most - head)
    return head, tail


def _put_table(reader: _Reader, like: Reading | None, rest: tuple | None) -> None:
    """Put all motions together: taken over, read, left to another reading."""
    own = np.array(reader.track.rows, dtype=float).reshape(-1, len(COLUMNS))
    if like is not None:
        after = like.track.table[rest[1][0] :] if rest is not None else own[:0]
        own = np.concatenate([like.track.table[: reader.before], own, after])
    reader.track.table = own
    reader.track.rows = []
