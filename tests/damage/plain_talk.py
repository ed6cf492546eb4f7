"""What a program tells people, read plainly: the head before the first motion, and what is said at each stop.

A person obeys what is said, whoever spoilt it; what is garbled but can be guessed is only a doubt.
"""

import re
from collections import Counter
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import pairwise

COMMENT = re.compile(r"\(([^()]*)\)")
# code that moves or sets a mode, that moves sideways, that stops for people
GOES_ON, SIDEWAYS = re.compile(r"[GXYZgxyz]"), re.compile(r"[XYxy]")
STOPS = re.compile(r"[Mm](?:0?[01]|60)(?!\d)")
# sentences that people act on: how the board lies, where zero is, which cutter is in
LIES = re.compile(
    r"\bend at the\b|\boperator\b|\b[XYZ]0\b|\bpacked up\b|\bedge (?:up|down) and\b|\bplaying face (?:up|down)\b"
)
CUTTER = re.compile(r"^cutter (\d+), (?!\d+ is a saw)")
# what tells people to do something now
ACTS = re.compile(r"\b(switch the|set the spindle|change to)\b")
ACT_LINE = re.compile(rf"\([^()\n]*{ACTS.pattern}[^()\n]*\)")
TURNS = re.compile(r", \d+ rpm\b")
SPEED = re.compile(r"\b(\d+) rpm")
KEY = re.compile(
    r"-?\d+(?:\.\d+)?|[XYZ]0|mm|left|right|toward|away|up|down|bass|treble|nut|bridge|top|bottom|on|off|above|below|"
    r"face|edge|glue|playing|start|switch|set|change|zero|no|not|never|drill|mill|end|saw|ball"
)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
LOOK_BACK = 14  # lines before a stop in which its words stand
LIKE = 0.6  # words so much alike are one, garbled
MOST_LOST = 0.3  # of a sentence's words; with more of them gone nobody knows what it said


@dataclass(frozen=True)
class Stop:
    """A stop: what is said at it (sentences), the next header's cutter, how many comments tell people to act."""

    said: tuple[str, ...]
    next_cutter: int | None
    acts: int

    @property
    def words(self) -> str:
        """All that is said, each sentence once."""
        return " ".join(dict.fromkeys(self.said))


@dataclass(frozen=True)
class Sentence:
    """What is said, and the comments that it is broken into."""

    words: str
    lines: tuple[str, ...]


def sentences(comments: list[str]) -> list[Sentence]:
    """Comments with those that go on joined to what they go on from; one said twice in a row is said once."""
    joined: list[Sentence] = []
    for before, inside in pairwise(["", *comments]):
        if inside == before:
            continue
        if inside.startswith("- ") and joined:
            last = joined.pop()
            joined.append(Sentence(f"{last.words} {inside[2:].strip()}", (*last.lines, inside)))
        else:
            joined.append(Sentence(inside.strip(), (inside,)))
    return joined


def _parts(line: str) -> tuple[str, list[str]]:
    """The code of a line without its number, and its comments."""
    return re.sub(r"^\s*[Nn]\d+", "", COMMENT.sub("", line)), COMMENT.findall(line)


def head(text: str) -> list[Sentence]:
    """The sentences before the first motion sideways, without the claims."""
    comments = []
    for line in text.split("\n", 400)[:400]:
        code, inside = _parts(line)
        if SIDEWAYS.search(code):
            break
        comments += [each for each in inside if not each.startswith("setup=")]
    return sentences(comments)


def stops(text: str) -> list[Stop]:
    """Every stop; one that follows another with nothing between is the same."""
    found: list[Stop] = []
    for match in STOPS.finditer(text):
        first, last = text.rfind("\n", 0, match.start()) + 1, text.find("\n", match.start())
        code, own = _parts(text[first:last])
        if not STOPS.search(code):
            continue
        begin = first
        for _ in range(LOOK_BACK):
            begin = text.rfind("\n", 0, max(begin - 1, 0)) + 1
        lines = text[begin:first].split("\n")[:-1]
        comments, after_stop = _said_last(lines)
        comments += [each for each in own if not each.startswith("setup=")]
        if after_stop and not comments:
            continue
        following = re.search(r"\(setup=[^ ]+ cutter=(\d+)", text[match.end() :])
        found.append(Stop(tuple(each.words for each in sentences(comments)), int(following[1]) if following else None,
                          sum(bool(ACTS.search(each)) for each in comments)))  # fmt: skip
    return found


def _said_last(lines: list[str]) -> tuple[list[str], bool]:
    """The comments of the last lines since a move, a mode, a claim or a stop, and whether it was a stop."""
    comments: list[str] = []
    for line in reversed(lines):
        code, inside = _parts(line)
        stops = bool(STOPS.search(code))
        if stops or GOES_ON.search(code) or any(each.startswith("setup=") for each in inside):
            return comments, stops
        comments[:0] = inside
    return comments, False


def idle_words(text: str, said: list[Stop]) -> int:
    """How many comments tell people to do something now, though nothing stops for it."""
    return len(ACT_LINE.findall(text)) - sum(stop.acts for stop in said)


def speeds(said: list[Stop]) -> list[float]:
    """The speeds, rpm, that stops name."""
    return [float(found) for stop in said for found in SPEED.findall(stop.words)]


def cutter_told(stop: Stop) -> int | None:
    """The cutter that people are to change to at a stop."""
    found = re.search(r"\bto cutter (\d+)", stop.words)
    return int(found[1]) if found else None


def header_cutters(text: str) -> list[int]:
    """The cutters that headers name, in order."""
    return [int(each) for each in re.findall(r"\(setup=[^ )]+ cutter=(\d+)", text)]


def difference(true: str, said: str) -> str:
    """How a sentence differs from the true one: "" as people take it, "garbled", or "other"."""
    good, bad = Counter(_words(true)), Counter(_words(said))
    if good == bad:
        return ""
    one, other = _apart(_words(true), _words(said)), _apart(_words(said), _words(true))
    good, bad = Counter(one), Counter(other)
    lost, new = list((good - bad).elements()), list((bad - good).elements())
    for word in list(lost):
        if len(word) > 1 and any(word in each for each in new):  # run together with a part of its neighbour
            lost.remove(word)
            continue
        like = next((each for each in new if SequenceMatcher(None, word, each).ratio() >= LIKE), None)
        if like is None:
            continue
        if KEY.fullmatch(word) and KEY.fullmatch(like):
            return "other"
        lost.remove(word)
        new.remove(like)
    gone = len(lost) > MOST_LOST * sum(good.values())
    return "other" if gone or any(map(KEY.fullmatch, [*lost, *new])) else "garbled"


def _apart(words: list[str], others: list[str]) -> list[str]:
    """Words, with those taken apart that are two neighbours among the others run together."""
    joined = {first + second: (first, second) for first, second in pairwise(others)}
    return [part for word in words for part in (joined.get(word, (word,)) if word not in others else (word,))]


def _words(sentence: str) -> list[str]:
    words = (word.rstrip(".") for word in re.split(r"[\s,;:()=/]+", sentence))
    return [word if NUMBER.fullmatch(word) else word.strip("-+") for word in words if word.strip("-+")]
