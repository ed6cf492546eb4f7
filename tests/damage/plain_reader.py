"""The oracle's own reading of a program: what a careful controller would do with it, motion by motion.

Written from NISTIR 6556 for these tests alone.  It knows what the project's programs are made of; at
whatever else it meets it gives up with ``Unreadable``, as a strict controller would stop.
"""

import math
import re
from dataclasses import dataclass, field

import numpy as np
from plain_words import Unreadable, block_of

RAPID, LINE, CLOCKWISE, COUNTER = 0, 1, 2, 3
NAN = math.nan
# (section 3.5.3.2) radii at both ends of an arc may differ by this much, mm
ARC_RADII = {1.0: 0.002, 25.4: 0.00508}
COLUMNS = ("kind", "x0", "y0", "z0", "x1", "y1", "z1", "cx", "cy", "feed", "spindle", "speed", "cutter", "cycle")


@dataclass
class Track:
    """What a program does: rows of motion (COLUMNS), and what happens between them, by row."""

    rows: list[tuple[float, ...]] = field(default_factory=list)
    happenings: list[tuple[int, str, float]] = field(default_factory=list)  # before row, what, value
    stated: set[str] = field(default_factory=set)  # groups stated before the first motion
    oddities: set[str] = field(default_factory=set)  # what controllers may take in different ways
    setups: list[str] = field(default_factory=list)
    claims: list[tuple[str, int]] = field(default_factory=list)
    end: int = 0  # 2 or 30; 0 if none was read
    table: np.ndarray = field(default_factory=lambda: np.zeros((0, len(COLUMNS))))  # all motions, once read


@dataclass
class Reading:
    """A program read once, and what is in force every so many lines: a text that is mostly alike is read faster."""

    lines: list[str]
    track: Track
    snapshots: dict[int, tuple]


class _Reader:
    def __init__(self, dialect) -> None:
        self.dialect = dialect
        self.track = Track()
        self.before = 0  # rows taken over from another reading
        self.at = [NAN, NAN, NAN]
        self.scale = 1.0
        self.absolute = True
        self.plane = 17
        self.motion = None
        self.return_old, self.return_stated = True, False
        self.feed = NAN
        self.speed = NAN
        self.spindle = 0
        self.cutter = -1
        self.selected = -1
        self.sticky: dict[str, float] = {}

    @property
    def row(self) -> int:
        """How many motions there are by now."""
        return self.before + len(self.track.rows)

    def state(self) -> tuple:
        """All that later lines depend on."""
        return (tuple(self.at), self.scale, self.absolute, self.plane, self.motion, self.return_old, self.return_stated,
                self.feed, self.speed, self.spindle, self.cutter, self.selected, tuple(self.sticky.items()),
                self.track.end, frozenset(self.track.stated))  # fmt: skip

    def snapshot(self) -> tuple:
        """The state, and how much has been read."""
        track = self.track
        return self.state(), (self.row, len(track.happenings), len(track.setups), len(track.claims))

    def take_over(self, reading: Reading, snapshot: tuple) -> None:
        """Go on where another reading stood."""
        state, (row, happenings, setups, claims) = snapshot
        (at, self.scale, self.absolute, self.plane, self.motion, self.return_old, self.return_stated, self.feed,
         self.speed, self.spindle, self.cutter, self.selected, sticky, end, stated) = state  # fmt: skip
        self.at, self.sticky, self.before = list(at), dict(sticky), row
        old = reading.track
        self.track = Track([], old.happenings[:happenings], set(stated), set(old.oddities), old.setups[:setups],
                           old.claims[:claims], end)  # fmt: skip

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

    # --- words

    def _comment(self, inside: str) -> None:
        squeezed = inside.strip().lower()
        if not squeezed.startswith("setup="):
            if "setup=" in squeezed or "cutter=" in squeezed or "cuts=" in squeezed:
                self.track.oddities.add("a header line that is hard to read")
            return
        match = re.match(r"setup=([a-z]+(?:-\d+)?) cutter=(\d+)", squeezed)
        if match is None:
            raise Unreadable("a header line that nobody understands")
        cuts = re.fullmatch(
            r" cuts=(frets|face dots|side dots|trims|marks|dowels)((?: \d+(?:-\d+)?)+)", squeezed[match.end() :]
        )
        if cuts is None:
            self.track.oddities.add("a header line that is hard to read")
        for part in cuts[2].split() if cuts else ():
            low, _, high = part.partition("-")
            self.track.claims += [(cuts[1], n) for n in range(int(low), min(int(high or low), 999) + 1)]
        self.track.setups.append(match[1])
        if self.dialect.cutter_change != "automatic":
            number = int(match[2])
            if number != self.cutter:
                self.track.happenings.append((self.row, "cutter by hand", number))
                self.cutter = number
        self.track.happenings.append((self.row, "header", int(match[2])))

    # --- blocks

    def line(self, text: str) -> None:
        """Carry out one line."""
        g, m, values, comments = block_of(text, self.dialect.line_limit)
        for inside in comments:
            self._comment(inside)
        self.execute(g, m, values)

    def execute(self, g, m, v) -> None:
        """Carry out a block in the order of section 3.8."""
        track = self.track
        row = self.row
        if any(v.get(letter, 0) < 0 for letter in "FSTPQ"):
            raise Unreadable("a number below zero")
        if "F" in v:
            self.feed = v["F"] * self.scale
        if "S" in v:
            self.speed = v["S"]
        if "T" in v:
            if v["T"] != round(v["T"]):
                raise Unreadable("a cutter's number that is none")
            self.selected = int(v["T"])
        if "change" in m:
            if self.selected < 0:
                raise Unreadable("M6 without T")
            self.cutter, self.spindle, self.at[2] = self.selected, 0, NAN
            track.happenings.append((row, "change", self.cutter))
        if "spindle" in m:
            self.spindle = m["spindle"] % 5
            track.happenings.append((row, "spindle", self.spindle))
        if "once" in g:
            if "P" not in v:
                raise Unreadable("G4 without P")
            track.happenings.append((row, "dwell", v["P"] * (0.001 if self.dialect.dwell_unit == "ms" else 1.0)))
        self._modes(g, v, row)
        self._moves(g, v)
        if "stop" in m:
            if m["stop"] in (2, 30):
                track.end = m["stop"]
                track.happenings.append((self.row, "end", m["stop"]))
            else:
                track.happenings.append((self.row, "stop", m["stop"]))

    def _modes(self, g, v, row: int) -> None:
        self.plane = g.get("plane", self.plane)
        if "units" in g:
            self.scale = 25.4 if g["units"] == 20 else 1.0
        if "length" in g:
            if g["length"] == 43 and v.get("H", -1) < 0:
                raise Unreadable("G43 without H")
            self.track.happenings.append((row, "length", v["H"] if g["length"] == 43 else 0))
            self.at[2] = NAN
        if "offset" in g:
            self.track.happenings.append((row, "offset", g["offset"]))
        if "distance" in g:
            self.absolute = g["distance"] == 90
        if "return" in g:
            self.return_old, self.return_stated = g["return"] == 98, True
        if not row:
            self.track.stated |= set(g)

    def _moves(self, g, v) -> None:
        axes = [letter for letter in "XYZ" if letter in v]
        stated = g.get("motion")
        if "once" in g and stated is None and axes:
            raise Unreadable("axis words on a dwell")
        if stated is not None:
            if stated not in (81, 82, 83) or stated != self.motion:
                self.sticky = {}
            self.motion = stated
        if not axes:
            if stated is not None and stated != 80:
                raise Unreadable("a motion without axis words")
            self._unused(v, "FST" + ("P" if "once" in g else "") + ("H" if g.get("length") == 43 else ""))
            return
        if self.motion in (None, 80):
            raise Unreadable("axis words without a motion mode")
        used = {0: "", 1: "", 2: "IJKR", 3: "IJKR", 81: "RL", 82: "RLP", 83: "RLQ"}[self.motion]
        self._unused(v, "FSTXYZ" + used + ("P" if "once" in g else "") + ("H" if g.get("length") == 43 else ""))
        target = list(self.at)
        for axis, letter in enumerate("XYZ"):
            if letter in v and (self.motion < 80 or letter != "Z"):
                target[axis] = v[letter] * self.scale + (0.0 if self.absolute else self.at[axis])
                if not self.absolute and math.isnan(target[axis]):
                    raise Unreadable("G91 from a place that nobody knows")
        if self.motion >= 80:
            self._cycle(target, v)
        elif self.motion in (2, 3):
            self._arc(target, v)
        else:
            self._go(self.motion, target)

    def _unused(self, v, used: str) -> None:
        if any(letter not in used for letter in v):
            self.track.oddities.add("a word that nothing on its line uses")

    def _go(self, kind: int, target, centre=(NAN, NAN), cycle: int = 0) -> None:
        feed = NAN if kind == RAPID else self.feed
        self.track.rows.append((kind, *self.at, *target, *centre, feed, self.spindle, self.speed, self.cutter, cycle))
        self.at = list(target)

    def _arc(self, target, v) -> None:
        if self.plane != 17 or "R" in v or "K" in v:
            raise Unreadable("an arc that is not of these programs")
        if not ("I" in v or "J" in v) or not ("X" in v or "Y" in v):
            raise Unreadable("an arc without centre or end")
        centre = (self.at[0] + v.get("I", 0) * self.scale, self.at[1] + v.get("J", 0) * self.scale)
        first, last = math.dist(self.at[:2], centre), math.dist(target[:2], centre)
        if not abs(first - last) <= ARC_RADII[self.scale] + 1e-9 or first < 1e-9:
            raise Unreadable("an arc whose ends lie unequally far from its centre")
        self._go(self.motion, target, centre)

    def _cycle(self, target, v) -> None:
        """G81, G82, G83 in XY (section 3.5.16), absolute, one hole."""
        if not self.absolute or self.plane != 17 or v.get("L", 1) != 1 or any(map(math.isnan, self.at)):
            raise Unreadable("a cycle that is not of these programs")
        for letter in "ZRPQ":
            if letter in v:
                self.sticky[letter] = v[letter]
        needed = "ZR" + {81: "", 82: "P", 83: "Q"}[self.motion]
        if any(letter not in self.sticky for letter in needed):
            raise Unreadable("a cycle without its numbers")
        above, bottom = self.sticky["R"] * self.scale, self.sticky["Z"] * self.scale
        peck = self.sticky.get("Q", 0.0) * self.scale
        if above < bottom or (self.motion == 83 and (peck <= 0 or (above - bottom) / peck > 2000)):
            raise Unreadable("a cycle with impossible numbers")
        if not self.return_stated:
            self.track.oddities.add("a cycle whose return nobody stated")
        clear = max(self.at[2], above) if self.return_old else above
        x, y = target[:2]
        if self.at[2] < above:
            self._go(RAPID, [*self.at[:2], above], cycle=self.motion)
        self._go(RAPID, [x, y, self.at[2]], cycle=self.motion)
        self._go(RAPID, [x, y, above], cycle=self.motion)
        depth = above
        while depth > bottom:
            if depth < above:
                self._go(RAPID, [x, y, clear], cycle=self.motion)
                self._go(RAPID, [x, y, depth], cycle=self.motion)
            depth = max(depth - peck, bottom) if self.motion == 83 else bottom
            self._go(LINE, [x, y, depth], cycle=self.motion)
        if self.motion == 82:
            dwell = self.sticky["P"] * (0.001 if self.dialect.dwell_unit == "ms" else 1.0)
            self.track.happenings.append((self.row, "dwell", dwell))
        self._go(RAPID, [x, y, clear], cycle=self.motion)


EVERY = 40  # lines between snapshots


def read_plainly(text: bytes, dialect, like: Reading | None = None) -> Reading:
    """Read a program, faster where it is ``like`` another; raises Unreadable."""
    lines = text.decode("latin-1").split("\n")
    if lines and not lines[-1]:
        lines.pop()
    reader, snapshots, first, rest = _Reader(dialect), {}, 0, None
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
