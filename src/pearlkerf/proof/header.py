"""What a program claims in its comments: the setup and cutter, and the features that it cuts.

(setup=face cutter=1 cuts=frets 1-7 9 12)
"""

import re
from dataclasses import dataclass
from typing import Final

from pearlkerf.proof.motions import Finding, Reading

_CLAIM: Final = re.compile(r"setup=")
_FORM: Final = re.compile(
    r"setup=([a-z]+) cutter=(\d{1,4})(?: cuts=(frets|face dots|side dots)((?: \d{1,3}(?:-\d{1,3})?)+))?"
)


@dataclass(frozen=True, slots=True)
class Header:
    """One such line: where it stands, setup, cutter, and the claimed features as (group, number)."""

    line: int
    setup: str
    cutter: int
    cuts: frozenset[tuple[str, int]]


def read_headers(reading: Reading, file: str) -> tuple[tuple[Header, ...], tuple[Finding, ...]]:
    """Give the header lines of a program, and a finding for each that is malformed."""
    headers, findings = [], []
    for line, comment in reading.comments:
        if not _CLAIM.match(comment):
            continue
        found = _FORM.fullmatch(comment.rstrip())
        if found is None:
            form = "setup=face cutter=1 cuts=frets 1-7 9 12"
            findings.append(Finding(1, f"the line that names setup and cutter cannot be read; write it as: {form}",
                                    file, line))  # fmt: skip
            continue
        setup, cutter, group, numbers = found.groups()
        cuts = frozenset((group, number) for number in _numbers(numbers or ""))
        headers.append(Header(line, setup, int(cutter), cuts))
    return tuple(headers), tuple(findings)


def _numbers(text: str) -> list[int]:
    numbers: list[int] = []
    for part in text.split():
        first, _, last = part.partition("-")
        numbers += range(int(first), int(last or first) + 1)
    return numbers
