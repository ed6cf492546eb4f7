"""What a row of the tables says: a harm, a harmless edit, or a program that claims a part.

Each row edits one fresh program.  Rules are those of the proof (DEVELOPERS.md, "What the proof proves");
a harm is found by one of the rules named, others may find it too.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

from edits import Edit
from edits_of_cuts import as_written
from fresh import Fresh

KINDS = {
    1: "a place or a height that nobody knows",
    2: "machine coordinates and offsets",
    3: "tool lengths and changes of cutters",
    4: "the floor of the world",
    5: "words that people act on",
    6: "scorching",
    7: "programs that claim nothing, or less than they should",
    8: "pointing runs, and oddities of the text",
    9: "the unit of a dwell",
    10: "modes after a stop",
    11: "lengths that move by themselves, path control",
    12: "a saw's start, and hands near the cutter",
}


@dataclass(frozen=True)
class Harm:
    """An edit that does harm, or writes what the profile does not allow."""

    name: str
    kind: int
    fresh: Fresh
    edit: Edit
    why: str
    rules: tuple[int, ...]  # one of them finds it
    written: Callable[[bytes], bytes] = as_written  # an edit of the bytes, after the lines'


@dataclass(frozen=True)
class Harmless:
    """An edit after which the program is as good as before."""

    name: str
    fresh: Fresh
    edit: Edit
    why: str
    written: Callable[[bytes], bytes] = as_written


@dataclass(frozen=True)
class Part:
    """An edit that takes cuts and their claim out: proved, and the words say what is not claimed."""

    name: str
    fresh: Fresh
    edit: Edit
    words: re.Pattern[str]  # what the command says
