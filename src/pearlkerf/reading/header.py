"""What a program claims in its comments: the setup and cutter, and the features that it cuts, or points at.

(setup=face cutter=1 cuts=frets 1-7 9 12)

(setup=face cutter=1 purpose=point)
(setup=face cutter=1 height=1.0)
(setup=face cutter=1 points=frets 1-7 9 12)
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from pearlkerf.layout.groups import GROUPS
from pearlkerf.reading.motions import Finding, Reading

FORM: Final = "(setup=face cutter=1 cuts=frets 1-7 9 12)"
# whatever begins so means to be a header line
_CLAIM: Final = re.compile(r"\s*setup\s*=", re.IGNORECASE)
_GROUPS: Final = "|".join(GROUPS)
_FORM: Final = re.compile(
    r"setup=([a-z]+(?:-\d{1,3})?) cutter=(\d{1,4})"
    r"(?: purpose=(cut|point))?(?: height=(\d{1,3}(?:\.\d{1,4})?))?"
    rf"(?: (cuts|points)=({_GROUPS})((?: \d{{1,3}}(?:-\d{{1,3}})?)+))?",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Header:
    """One such line: where it stands, setup, cutter, and the claimed features as (group, number).

    ``purpose`` is "point" where the line says so, or says what only a pointing run has; ``height_mm``
    is that of its tip above the wood.
    """

    line: int
    setup: str
    cutter: int
    cuts: frozenset[tuple[str, int]]
    purpose: str = "cut"
    height_mm: float | None = None


def read_headers(reading: Reading, file: str) -> tuple[tuple[Header, ...], tuple[Finding, ...]]:
    """Give the header lines of a program, and a finding of rule 1 for each that cannot be read.

    Blanks at a comment's ends mean nothing; all else is as in FORM.  ``cuts`` may be left out.
    """
    headers: list[Header] = []
    findings: list[Finding] = []
    for line, comment in reading.comments:
        if not _CLAIM.match(comment):
            continue
        found = _FORM.fullmatch(comment.strip())
        if found is None:
            message = f"the line that names setup and cutter cannot be read; write it as {FORM}"
            findings.append(Finding(1, message, file, line))
            continue
        setup, cutter, purpose, height, verb, group, numbers = found.groups()
        backward = [f"{first}-{last}" for first, last in _ranges(numbers) if first > last]
        if backward:
            findings.append(Finding(1, f"the range {backward[0]} runs backward and names nothing", file, line))
        cuts = frozenset((group, number) for first, last in _ranges(numbers) for number in range(first, last + 1))
        points = purpose == "point" or verb == "points" or height is not None
        if points and "cut" in (purpose, verb and verb.removesuffix("s")):
            findings.append(Finding(1, "the line calls it a pointing run and says that it cuts", file, line))
        above = None if height is None else float(height)
        headers.append(Header(line, setup, int(cutter), cuts, "point" if points else "cut", above))
    return tuple(headers), tuple(findings)


def _ranges(numbers: str | None) -> Iterator[tuple[int, int]]:
    for part in (numbers or "").split():
        first, _, last = part.partition("-")
        yield int(first), int(last or first)
