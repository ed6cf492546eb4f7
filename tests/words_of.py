"""A reading of our programs for tests that asks nothing of ours: words by a pattern, modal places, comments.

It knows what our programs hold and no more: G0 to G3 with I and J, G82 and G83, G20 and G21, absolute.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from math import nan

WORD = re.compile(r"([A-Z])(-?[0-9.]+)")
MM = {"G20": 25.4, "G21": 1.0}


@dataclass(frozen=True)
class Go:
    """One motion, or one stop: its code, where it ends in mm, and the comment last seen."""

    code: str
    x: float
    y: float
    z: float
    comment: str


def goes(text: bytes) -> Iterator[Go]:
    """Give the motions of a program in their order, and its M0, M3 and M5 where they stand."""
    unit, code, comment = 1.0, "", ""
    at = {"X": nan, "Y": nan, "Z": nan}
    for line in text.decode("ascii").splitlines():
        said = re.search(r"\((.*)\)", line)
        if said:
            comment = f"{comment} {said[1][2:]}" if said[1].startswith("- ") else said[1]
            continue
        words = WORD.findall(line)
        codes = [f"{letter}{digits}" for letter, digits in words if letter in "GM"]
        unit = next((MM[each] for each in codes if each in MM), unit)
        yield from (Go(each, at["X"], at["Y"], at["Z"], comment) for each in codes if each in ("M0", "M3", "M5"))
        code = next((each for each in codes if each in ("G0", "G1", "G2", "G3", "G82", "G83")), code)
        moved = {letter: float(digits) * unit for letter, digits in words if letter in "XYZ"}
        if moved and "G4" not in codes:
            at |= moved
            yield Go(code, at["X"], at["Y"], at["Z"], comment)
            if code in ("G82", "G83"):
                at["Z"] = nan  # where a cycle leaves it is not asked here
