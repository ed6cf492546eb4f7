"""What a program claims in its comments: the setup and cutter, and the features that it cuts.

(setup=face cutter=1 cuts=frets 1-7 9 12)
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from pearlkerf.proof.motions import Finding, Reading

FORM: Final = "(setup=face cutter=1 cuts=frets 1-7 9 12)"
# whatever begins so means to be a header line
_CLAIM: Final = re.compile(r"\s*setup\s*=", re.IGNORECASE)
_FORM: Final = re.compile(
    r"setup=([a-z]+(?:-\d{1,3})?) cutter=(\d{1,4})"
    r"(?: cuts=(frets|face dots|side dots|marks|dowels)((?: \d{1,3}(?:-\d{1,3})?)+))?",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Header:
    """One such line: where it stands, setup, cutter, and the claimed features as (group, number)."""

    line: int
    setup: str
    cutter: int
    cuts: frozenset[tuple[str, int]]


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
        setup, cutter, group, numbers = found.groups()
        backward = [f"{first}-{last}" for first, last in _ranges(numbers) if first > last]
        if backward:
            findings.append(Finding(1, f"the range {backward[0]} runs backward and names nothing", file, line))
        cuts = frozenset((group, number) for first, last in _ranges(numbers) for number in range(first, last + 1))
        headers.append(Header(line, setup, int(cutter), cuts))
    return tuple(headers), tuple(findings)


def _ranges(numbers: str | None) -> Iterator[tuple[int, int]]:
    for part in (numbers or "").split():
        first, _, last = part.partition("-")
        yield int(first), int(last or first)
