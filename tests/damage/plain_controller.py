"""The oracle's own controller: what each block does to a machine, from NISTIR 6556, written for these tests alone.

What the machine is before the program runs, and what people leave behind at a stop, nobody knows: a place,
a mode, a length that no word has stated is the worst that it could be.
"""

import math
import re
from dataclasses import dataclass, field

import numpy as np
from plain_words import Unreadable, block_of
from what_is_harm import ROUNDING, Harm

RAPID, LINE, CLOCKWISE, COUNTER = 0, 1, 2, 3
NAN = math.nan
# (section 3.5.3.2) radii at both ends of an arc may differ by this much, mm
ARC_RADII = {1.0: 0.002, 25.4: 0.00508}
COLUMNS = ("kind", "x0", "y0", "z0", "x1", "y1", "z1", "cx", "cy", "feed", "spindle", "speed", "cutter", "cycle",
           "length")  # fmt: skip
# modes of which each is dangerous where it is not the one that is meant
NEEDED = frozenset({"units", "plane", "distance", "feed mode"})
MATTERS = NEEDED | {"offset", "radius", "path"}


@dataclass(frozen=True)
class Assumed:
    """Modes that must be stated, at the start and after every stop, before anything moves."""

    needed: frozenset[str] = NEEDED
    clearance_mm: float = math.inf  # below it something may stand in the way


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


class Controller:
    """The machine's state, and what blocks do to it; ``before`` rows were taken over from another reading."""

    def __init__(self, dialect, assumed: Assumed) -> None:
        self.dialect, self.assumed = dialect, assumed
        self.track = Track()
        self.before = 0
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
        self.length = NAN  # the number of the length in force
        self.sticky: dict[str, float] = {}
        self.known: frozenset[str] = frozenset()  # modes stated since the start, or since people were at the machine
        self.codes: tuple[tuple[str, float], ...] = ()  # modes that are refused at the next motion

    @property
    def row(self) -> int:
        """How many motions there are by now."""
        return self.before + len(self.track.rows)

    def state(self) -> tuple:
        """All that later lines depend on."""
        return (tuple(self.at), self.scale, self.absolute, self.plane, self.motion, self.return_old, self.return_stated,
                self.feed, self.speed, self.spindle, self.cutter, self.selected, self.length,
                tuple(self.sticky.items()), self.known, self.codes, self.track.end,
                frozenset(self.track.stated))  # fmt: skip

    def restore(self, state: tuple) -> set[str]:
        """Stand as another controller stood; gives what it had been told before its first motion."""
        (at, self.scale, self.absolute, self.plane, self.motion, self.return_old, self.return_stated, self.feed,
         self.speed, self.spindle, self.cutter, self.selected, self.length, sticky, self.known, self.codes,
         self.track.end, stated) = state  # fmt: skip
        self.at, self.sticky = list(at), dict(sticky)
        return set(stated)

    # --- words

    def line(self, text: str) -> None:
        """Carry out one line."""
        g, m, values, comments = block_of(text, self.dialect.line_limit)
        for inside in comments:
            self._comment(inside)
        self.execute(g, m, values)

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
                self._happens("cutter by hand", number)
                self.cutter = number
        self._happens("header", int(match[2]))

    def _happens(self, what: str, value: float) -> None:
        self.track.happenings.append((self.row, what, value))

    # --- blocks

    def execute(self, g, m, v) -> None:
        """Carry out a block in the order of section 3.8."""
        if any(v.get(letter, 0) < 0 for letter in "FSTPQ"):
            raise Unreadable("a number below zero")
        if "machine axes" in g or "zero" in g:
            raise Harm("moves to, or sets, a zero that nobody knows")
        if "F" in v:
            self.feed = v["F"] * self.scale
        if "S" in v:
            if v["S"] != self.speed:
                self._happens("speed", v["S"])
            self.speed = v["S"]
        self._switches(m, v)
        if "once" in g:
            if "P" not in v:
                raise Unreadable("G4 without P")
            self._happens("dwell", v["P"] * (0.001 if self.dialect.dwell_unit == "ms" else 1.0))
        self._modes(g, v)
        self._moves(g, v)
        if "stop" in m:
            self._stops(m["stop"])

    def _switches(self, m, v) -> None:
        """Take a cutter, switch the spindle and what is poured on the work."""
        if "T" in v:
            if v["T"] != round(v["T"]):
                raise Unreadable("a cutter's number that is none")
            self.selected = int(v["T"])
        if "change" in m:
            if self.selected < 0:
                raise Unreadable("M6 without T")
            if self.spindle:
                raise Harm("changes the cutter while the spindle turns")
            self.cutter, self.at[2] = self.selected, NAN
            self._happens("change", self.cutter)
        if "spindle" in m:
            self.spindle = int(m["spindle"]) % 5
            self._happens("spindle", self.spindle)
        valves = {f"M{int(m[word])}" for word in ("mist", "coolant") if word in m} & {"M7", "M8"}
        if valves - {self.dialect.air}:  # the profile says on which of them air comes
            raise Harm("pours coolant on the wood")
        if m.get("override") == 49:
            self._happens("override", 49)

    def _stops(self, code: float) -> None:
        if code in (2, 30):
            self.track.end = int(code)
            self._happens("end", code)
            return
        self._happens("stop", code)
        if self.spindle and code == 0:
            self._happens("stop while it turns", code)
        # people jog, zero, switch modes, run macros
        self.at, self.known, self.motion, self.sticky = [NAN, NAN, NAN], frozenset(), None, {}
        self.feed = NAN

    def _modes(self, g, v) -> None:
        self.plane = g.get("plane", self.plane)
        if "units" in g:
            self.scale = 25.4 if g["units"] == 20 else 1.0
        if "length" in g:
            if g["length"] == 43 and v.get("H", -1) < 0:
                raise Unreadable("G43 without H")
            self.length = v["H"] if g["length"] == 43 else 0.0
            self._happens("length", self.length)
            self.at[2] = NAN
        if "distance" in g:
            self.absolute = g["distance"] == 90
        if "return" in g:
            self.return_old, self.return_stated = g["return"] == 98, True
        if not self.row:
            self.track.stated |= set(g)
        self.known |= g.keys() & MATTERS
        for group in g.keys() & {"feed mode", "radius", "centre", "path", "offset"}:
            self.codes = tuple(each for each in self.codes if each[0] != group)
            if g[group] in STRANGE:
                self.codes += ((group, g[group]),)

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
        self._may_move()
        target = list(self.at)
        for axis, letter in enumerate("XYZ"):
            if letter in v and (self.motion < 80 or letter != "Z"):
                target[axis] = v[letter] * self.scale + (0.0 if self.absolute else self.at[axis])
        if self.motion >= 80:
            self._cycle(target, v)
        elif self.motion in (2, 3):
            self._arc(target, v)
        else:
            self._go(self.motion, target)

    def _may_move(self) -> None:
        """Nothing moves in modes that nobody has stated, or that are not the ones of these programs."""
        if self.assumed.needed - self.known:
            raise Harm(f"moves, and nobody knows the {min(self.assumed.needed - self.known)}")
        for group, code in self.codes:
            if group != "path" or "path" in self.assumed.needed:
                kind = self.motion
                harmless = (group == "feed mode" and kind == RAPID) or (group == "centre" and kind not in (2, 3))
                if not harmless:
                    raise Harm(f"moves in G{code:g}: {STRANGE[code]}")

    def _unused(self, v, used: str) -> None:
        if any(letter not in used for letter in v):
            self.track.oddities.add("a word that nothing on its line uses")

    def _go(self, kind: int, target, centre=(NAN, NAN), cycle: int = 0) -> None:
        if math.isnan(self.at[0] + self.at[1] + self.at[2]):
            self._in_the_dark(kind, target)
        feed = NAN if kind == RAPID else self.feed
        self.track.rows.append(
            (kind, *self.at, *target, *centre, feed, self.spindle, self.speed, self.cutter, cycle, self.length)
        )
        self.at = list(target)

    def _in_the_dark(self, kind: int, target) -> None:
        """What is done though nobody knows where the cutter is; nothing but a rise is safe."""
        (x0, y0, z0), (x, y, z) = self.at, target
        still = all(b == a or (math.isnan(a) and math.isnan(b)) for a, b in ((x0, x), (y0, y)))
        if math.isnan(z0 + z) and not still:
            raise Harm("sideways at a height that nobody knows")
        in_the_air = z >= self.assumed.clearance_mm and (still or z0 >= self.assumed.clearance_mm)
        if kind != RAPID and not in_the_air:
            raise Harm("a feed from a place that nobody knows")
        if z < min(z0, self.assumed.clearance_mm - ROUNDING) and math.isnan(x0 + y0):
            raise Harm("goes down at a place that nobody knows")

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
            self._happens("dwell", self.sticky["P"] * (0.001 if self.dialect.dwell_unit == "ms" else 1.0))
        self._go(RAPID, [x, y, clear], cycle=self.motion)


# modes in which the words of these programs mean something else
STRANGE = {
    41: "beside the way, by a radius that nobody knows", 42: "beside the way, by a radius that nobody knows",
    64: "corners are rounded", 90.1: "centres of arcs are places", 93: "a feed is one over minutes",
    95: "a feed is a way for each turn", **dict.fromkeys(range(55, 60), "zero lies where nobody touched off"),
}  # fmt: skip
