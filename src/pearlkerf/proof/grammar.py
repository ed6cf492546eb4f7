"""Rule 1, the order: a program is a sentence, and what may follow what stands in one table.

    head ─ claim ─ (change) ─ rise ─ start ─ wait ─ cuts ─ off ─┬─ (change) ─ claim ─ rise …   the next cutter
                     ▲                                          ├─ stop ─ modes ─ claim ─ rise …
                     └──────────── automatic machines ──────────┴─ end

After a stop (M0) everything is unknown: people jog, set zeros and run macros there.  So every mode is
stated again before the rise that must come first, as in the head.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from pearlkerf.machine.model import Machine
from pearlkerf.proof.lines import Line, Stretch
from pearlkerf.reading.motions import Finding

Part = Literal[
    "note",
    "claim",
    "modes",
    "feed",
    "change",
    "rise",
    "moves",
    "start",
    "wait",
    "off",
    "stop",
    "end",
    "speed",
    "select",
    "air",
]
State = Literal["head", "changed", "risen", "turning", "cutting", "off", "stopped", "ended"]

# what each part is called to people
NAMES: Final[Mapping[Part, str]] = {
    "note": "a comment",
    "claim": "a line that claims what is cut",
    "modes": "modes (G)",
    "feed": "a feed alone (F)",
    "change": "a change of cutter (M6)",
    "rise": "a move of Z alone (G0 Z)",
    "moves": "moves",
    "start": "the spindle's start (S M3)",
    "wait": "a dwell (G4)",
    "off": "the spindle's stop (M5)",
    "stop": "a stop (M0)",
    "end": "the end (M2, M30)",
    "speed": "a speed alone (S)",
    "select": "a choice of cutter (T)",
    "air": "air on or off (M7, M8, M9)",
}
STATES: Final[Mapping[State, str]] = {
    "head": "in the head, before the first rise",
    "changed": "after a change of cutter",
    "risen": "above the work, before the spindle's start",
    "turning": "after the spindle's start",
    "cutting": "among the cuts",
    "off": "after the spindle's stop",
    "stopped": "after a stop (M0)",
    "ended": "after the end",
}
CYCLE_ENDS: Final = frozenset({"G80"})  # among cuts it ends a cycle
ANYWHERE: Final[tuple[Part, ...]] = ("note", "feed")
# from each state, what may follow and where it leads; what does not stand here is refused
NEXT: Final[Mapping[State, Mapping[Part, State]]] = {
    "head": {"claim": "head", "modes": "head", "off": "head", "select": "head", "change": "changed", "rise": "risen",
             "speed": "head"},
    "changed": {"claim": "changed", "modes": "changed", "off": "changed", "rise": "risen"},
    "risen": {"claim": "risen", "rise": "risen", "moves": "risen", "speed": "risen", "start": "turning",
              "off": "risen", "stop": "stopped"},
    "turning": {"wait": "turning", "air": "turning", "rise": "cutting", "moves": "cutting", "off": "off"},
    "cutting": {"moves": "cutting", "rise": "cutting", "wait": "cutting", "air": "cutting", "off": "off"},
    "off": {"moves": "off", "rise": "off", "off": "off", "claim": "off", "select": "off", "start": "turning",
            "change": "changed", "stop": "stopped", "end": "ended"},
    "stopped": {"claim": "stopped", "modes": "stopped", "off": "stopped", "select": "stopped", "change": "changed",
                "rise": "risen", "stop": "stopped", "end": "ended"},
    "ended": {},
}  # fmt: skip
# a hand starts and stops the spindle at stops, and a pointing run never starts it: from above the work on it moves.
# Before a hand is first told to leave it off, it stands anyway; all other stops come after a rise
BY_STOPS: Final[Mapping[State, Mapping[Part, State]]] = {
    "head": {**NEXT["head"], "stop": "stopped"},
    "changed": {**NEXT["changed"], "stop": "stopped"},
    "risen": {"claim": "risen", "rise": "risen", "air": "risen", "moves": "cutting", "off": "off", "stop": "stopped"},
    "cutting": {"moves": "cutting", "rise": "cutting", "wait": "cutting", "air": "cutting", "off": "off",
                "stop": "stopped"},
}  # fmt: skip
# on a line, parts count in the order in which a controller carries them out (NISTIR 6556, section 3.8, table 8)
MODES: Final = ("G17", "G90", "G94", "G54")


@dataclass(frozen=True, slots=True)
class Told:
    """One part of a program at a line."""

    part: Part
    line: int
    codes: frozenset[str] = frozenset()
    height: bool = False  # of a rise: a length offset is set with it


def hold_grammar(lines: Sequence[Line | Stretch], machine: Machine, by_stops: bool, file: str) -> Iterator[Finding]:
    """Hold the order of a program's parts: what does not follow is told once, at its line.

    ``by_stops`` says that nothing in the program starts the spindle: it is set by hand, or stays off.
    After the head and after every stop all modes of the machine are stated before the rise; on an
    automatic machine each rise after a change or a stop takes the cutter's length with it (G43 H), no other.
    """
    state: State = "head"
    stated: set[str] = set()
    needed = modes_of(machine)
    table = {**NEXT, **BY_STOPS} if by_stops else NEXT
    for told in parts_of(lines):
        follows = table[state]
        if (told.part in ANYWHERE and state != "ended") or (state == "cutting" and told.codes == CYCLE_ENDS):
            continue
        if told.part not in follows:
            allowed = ", ".join(NAMES[part] for part in follows) or "nothing"
            found = f"{NAMES[told.part]} {STATES[state]}, where it does not belong"
            yield Finding(1, f"{found}; what may follow: {allowed}", file, told.line)
            return
        if told.part == "modes":
            stated |= told.codes
        if told.part == "rise" and state in ("head", "changed", "stopped"):
            yield from _rises(told, state, needed - stated, machine, file)
        elif told.height:
            yield Finding(
                1, "sets a cutter's length (G43) where none was changed, and nothing stopped", file, told.line
            )
        if told.part == "stop":
            stated.clear()
        state = follows[told.part]


def modes_of(machine: Machine) -> frozenset[str]:
    """Give the modes that a program for a machine states, in its head and after every stop."""
    dialect = machine.dialect
    modes = {*MODES, "G21" if dialect.unit == "mm" else "G20"}
    modes |= {"G40"} if dialect.cutter_change == "automatic" else set()
    modes |= {"G80"} if dialect.drilling_cycles else set()
    modes |= {"G61"} if dialect.path_control == "exact" else set()
    return frozenset(modes)


def _rises(told: Told, state: State, missing: frozenset[str], machine: Machine, file: str) -> Iterator[Finding]:
    automatic = machine.dialect.cutter_change == "automatic"
    if missing:
        where = "in the head" if state == "head" else "again after the stop, where people may have changed them"
        yield Finding(2, f"moves before all modes are stated {where}; write {' '.join(sorted(missing))} first", file,
                      told.line)  # fmt: skip
    if automatic and state == "head":
        yield Finding(1, "moves before a cutter is taken (T M6): whose length counts nobody knows", file, told.line)
    elif automatic and not told.height:
        yield Finding(1, "rises without the cutter's length; write G43 H in the block of this rise", file, told.line)


def parts_of(lines: Sequence[Line | Stretch]) -> Iterator[Told]:
    """Give the parts of a program in the order in which they are carried out."""
    for line in lines:
        if isinstance(line, Stretch):
            yield from _of_stretch(line)
            continue
        if line.letters - {"N"}:
            yield from _of_line(line)
        for comment in line.comments:
            yield Told("claim" if comment.strip().lower().startswith("setup=") else "note", line.number)


def _of_stretch(line: Stretch) -> Iterator[Told]:
    words = line.opening.split()
    upward = not any(word[0] in "XYIJF" for word in words) and "G0" in words
    yield Told("rise" if upward else "moves", line.number)
    if line.count > 1:
        yield Told("moves", line.number + 1)


def _of_line(line: Line) -> Iterator[Told]:
    codes, letters = frozenset(line.codes), line.letters - {"N"}
    modal = codes - _DOING
    axes = bool(letters & frozenset("XYZ"))
    started = "M3" in codes or "M4" in codes
    if letters == {"F"}:
        yield Told("feed", line.number)
    if "S" in letters and not started:
        yield Told("speed", line.number)
    if "T" in letters and "M6" not in codes:
        yield Told("select", line.number)
    for code, part in _BEFORE:
        if code in codes:
            yield Told(part, line.number, codes)
    if modal - {"G43"}:
        yield Told("modes", line.number, modal)
    if axes:
        upward = letters <= frozenset("GZHN") and "G0" in codes  # which motion is in force nobody knows
        yield Told("rise" if upward else "moves", line.number, codes, "G43" in codes)
    elif "G43" in codes:
        yield Told("modes", line.number, codes)
    for code, part in _AFTER:
        if code in codes:
            yield Told(part, line.number, codes)


_DOING: Final = frozenset(
    {
        "G0",
        "G1",
        "G2",
        "G3",
        "G4",
        "G82",
        "G83",
        "G98",
        "G99",
        "M0",
        "M1",
        "M2",
        "M3",
        "M4",
        "M5",
        "M6",
        "M7",
        "M8",
        "M9",
        "M30",
    }
)
_BEFORE: Final[tuple[tuple[str, Part], ...]] = (("M6", "change"), ("M3", "start"), ("M4", "start"), ("M5", "off"),
                                                ("M7", "air"), ("M8", "air"), ("M9", "air"),
                                                ("G4", "wait"))  # fmt: skip
_AFTER: Final[tuple[tuple[str, Part], ...]] = (("M0", "stop"), ("M1", "stop"), ("M2", "end"), ("M30", "end"))
