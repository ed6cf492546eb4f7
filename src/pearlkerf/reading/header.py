"""What a program claims in its comments: setup and cutter, what it cuts or points at, the scrap that it is for.

(setup=face cutter=1 cuts=frets 1-7 9 12)

(setup=face cutter=1 purpose=point)
(setup=face cutter=1 height=1.0)
(setup=face cutter=1 points=frets 1-7 9 12)

(scrap=200.000x40.000x6.500)
(steps=-0.0500/0.1000/0.0250)
(tries=face dots/frets)            of a coupon that tries these alone
(tries=inlay 3/pockets)            of a coupon of one inlay: its piece, and pockets in steps of its gap

(row=10.000/0)                     blanks so far apart, so many spares of each piece
(place=3/2/12.500/8.000/90.0)      piece 3 lies on blank 2 at X Y, turned so far
(fits=1-4/3.000/0.800/0.050)       pockets 1 to 4 were fitted for two cutters and a gap
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from pearlkerf.layout.groups import GROUPS
from pearlkerf.reading.motions import Finding, Reading

# the setups in which pieces are cut, whatever follows
ROWS: Final = "pieces"
FORM: Final = "(setup=face cutter=1 cuts=frets 1-7 9 12)"
SCRAP_FORM: Final = "(scrap=200.000x40.000x6.500), (steps=-0.0500/0.1000/0.0250) or (tries=face dots/frets)"
Figures = tuple[float, float, float]
# whatever begins so means to be a claim
_CLAIM: Final = re.compile(r"\s*(setup|scrap|steps|tries|row|place|fits)\s*=", re.IGNORECASE)
_GROUPS: Final = "|".join(GROUPS)
_SECTION: Final = re.compile(
    r"setup=([a-z]+(?:-\d{1,3})?) cutter=(\d{1,4})"
    r"(?: purpose=(cut|point))?(?: height=(\d{1,3}(?:\.\d{1,4})?))?"
    rf"(?: (cuts|points)=({_GROUPS})((?: \d{{1,3}}(?:-\d{{1,3}})?)+))?",
    re.ASCII,
)
_LENGTH: Final = r"(-?\d{1,4}(?:\.\d{1,4})?)"
_SCRAP: Final = re.compile(
    rf"scrap={_LENGTH}x{_LENGTH}x{_LENGTH}|steps={_LENGTH}/{_LENGTH}/{_LENGTH}"
    rf"|tries=(?P<tries>(?:{_GROUPS})(?:/(?:{_GROUPS}))*|inlay \d{{1,3}}/(?:pockets|pieces))",
    re.ASCII,
)
_ROW: Final = re.compile(
    rf"row={_LENGTH}/(\d{{1,2}})|place=(\d{{1,3}})/\d{{1,3}}(?:/{_LENGTH}){{2}}/\d{{1,3}}\.\d"
    rf"|fits=\d{{1,3}}[\d -]*(?:/{_LENGTH}){{3}}",
    re.ASCII,
)
ROW_FORM: Final = "(row=10.000/0), (place=3/2/12.500/8.000/90.0) or (fits=1-4/3.000/0.800/0.050)"
_COMMENT: Final = re.compile(rb"\(([^()]*)\)")


@dataclass(frozen=True, slots=True)
class Header:
    """One line of a section's claims: where it stands, setup, cutter, and the claimed features as (group, number).

    ``purpose`` is "point" where the line says so, or says what only a pointing run has; ``height_mm``
    is that of its tip above the wood.
    """

    line: int
    setup: str
    cutter: int
    cuts: frozenset[tuple[str, int]]
    purpose: str = "cut"
    height_mm: float | None = None


@dataclass(frozen=True, slots=True)
class ScrapClaim:
    """What a program claims of the scrap that it is for, mm: its sides, the steps of size, and what is tried on it.

    ``setup`` and ``cutter`` are those of its first section; what it does not say is None.
    """

    setup: str
    cutter: int
    sides_mm: Figures | None = None
    steps_mm: Figures | None = None
    tries: str = ""


@dataclass(frozen=True, slots=True)
class RowClaim:
    """What a program claims of the pieces that it cuts: how far apart their blanks lie, spares, the pieces' numbers."""

    setup: str
    apart_mm: float
    spares: int
    numbers: tuple[int, ...]


def read_headers(reading: Reading, file: str) -> tuple[tuple[Header, ...], tuple[Finding, ...]]:
    """Give the header lines of a program, and a finding of rule 1 for each claim that cannot be read.

    Blanks at a comment's ends mean nothing; all else is as in FORM and SCRAP_FORM.  ``cuts`` may be left out.
    """
    headers: list[Header] = []
    findings: list[Finding] = []
    for line, comment in reading.comments:
        claim = _CLAIM.match(comment)
        if claim is None:
            continue
        if claim[1].lower() != "setup":
            of_scrap = claim[1].lower() in ("scrap", "steps", "tries")
            if (_SCRAP if of_scrap else _ROW).fullmatch(comment.strip()) is None:
                what, form = ("the scrap", SCRAP_FORM) if of_scrap else ("pieces and pockets", ROW_FORM)
                message = f"the line that tells of {what} cannot be read; write it as {form}"
                findings.append(Finding(1, message, file, line))
            continue
        found = _SECTION.fullmatch(comment.strip())
        if found is None:
            message = f"the line that names setup and cutter cannot be read; write it as {FORM}"
            findings.append(Finding(1, message, file, line))
            continue
        header, faults = _header(line, found)
        headers.append(header)
        findings += [Finding(1, message, file, line) for message in faults]
    return tuple(headers), tuple(findings)


def read_scrap_claim(text: bytes) -> ScrapClaim | None:
    """Give what a program claims of its scrap; None where it names no setup, which is to be read no further."""
    sides, steps, tries = None, None, ""
    for comment in _comments(text):
        section, scrap = _SECTION.fullmatch(comment), _SCRAP.fullmatch(comment)
        if scrap is not None and scrap["tries"]:
            tries = scrap["tries"]
        elif scrap is not None:
            figures = [float(each) for each in scrap.groups() if each is not None]
            told: Figures = (figures[0], figures[1], figures[2])
            sides, steps = (told, steps) if comment.startswith("scrap") else (sides, told)
        elif section is not None:
            return ScrapClaim(section[1], int(section[2]), sides, steps, tries)
    return None


def read_row_claim(text: bytes) -> RowClaim | None:
    """Give what a program claims of the pieces that it cuts; None where it is not one of a board's."""
    apart, spares, numbers = 0.0, 0, list[int]()
    for comment in _comments(text):
        section, row = _SECTION.fullmatch(comment), _ROW.fullmatch(comment)
        if row is not None and row[1] is not None:
            apart, spares = float(row[1]), int(row[2])
        elif row is not None and row[3] is not None:
            numbers.append(int(row[3]))
        elif section is not None:
            scrap = read_scrap_claim(text)
            of_row = section[1].partition("-")[0] == ROWS and not (scrap and scrap.tries)
            return RowClaim(section[1], apart, spares, tuple(numbers)) if of_row else None
    return None


def _comments(text: bytes) -> Iterable[str]:
    return (each[1].decode("ascii", errors="replace").strip() for each in _COMMENT.finditer(text))


def _header(line: int, found: re.Match[str]) -> tuple[Header, list[str]]:
    """Give one line's claims, and what is wrong with them."""
    setup, cutter, purpose, height, verb, group, numbers = found.groups()
    faults = [f"the range {first}-{last} runs backward and names nothing" for first, last in _ranges(numbers)
              if first > last][:1]  # fmt: skip
    cuts = frozenset((group, number) for first, last in _ranges(numbers) for number in range(first, last + 1))
    points = purpose == "point" or verb == "points" or height is not None
    if points and "cut" in (purpose, verb and verb.removesuffix("s")):
        faults.append("the line calls it a pointing run and says that it cuts")
    above = None if height is None else float(height)
    return Header(line, setup, int(cutter), cuts, "point" if points else "cut", above), faults


def _ranges(numbers: str | None) -> Iterator[tuple[int, int]]:
    for part in (numbers or "").split():
        first, _, last = part.partition("-")
        yield int(first), int(last or first)
