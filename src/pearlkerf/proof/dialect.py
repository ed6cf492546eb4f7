"""Rule 1, the profile's part: every line is within what this machine's controller understands.

The reader has already refused what is not in the language.  This looks at the bytes once more for
what one machine may misread although the language allows it.
"""

import re
from collections.abc import Iterator
from typing import Final

from pearlkerf.machine.model import Dialect
from pearlkerf.proof.motions import Finding, ProgramText

_COMMENT: Final = re.compile(r"\([^)]*\)")
_WORD: Final = re.compile(r"([A-Z])([+-]?[\d.]+)")
_SAFE_COMMENT: Final = re.compile(r"\([A-Za-z0-9 .,\-+=/]*\)")
_POINTED: Final = frozenset("XYZIJKRQPF")
_LENGTHS: Final = frozenset("XYZIJKRQ")


def hold_dialect(program: ProgramText, dialect: Dialect) -> tuple[Finding, ...]:
    """Hold a program's text against a dialect; at most one finding of each kind, at its first line."""
    told: dict[str, Finding] = {}
    text = program.text.decode("ascii", "replace").replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    for number, line in enumerate(lines, 1):
        for kind, message in _of_line(line, dialect):
            told.setdefault(kind, Finding(1, message, program.file, number))
    for kind, message in _of_whole(lines, dialect):
        told.setdefault(kind, Finding(1, message, program.file, 1))
    return tuple(told.values())


def _of_whole(lines: list[str], dialect: Dialect) -> Iterator[tuple[str, str]]:
    signs = sum(line.strip() == "%" for line in lines)
    if dialect.percent and signs != 2:
        yield "percent", "this machine wants a percent sign alone on the first and on the last line"
    if not dialect.percent and signs:
        yield "percent", "this machine knows no percent signs; take both lines out"


def _of_line(line: str, dialect: Dialect) -> Iterator[tuple[str, str]]:
    if len(line) > dialect.line_limit:
        yield "limit", f"the line has {len(line)} characters; this machine reads at most {dialect.line_limit}"
    code = line
    if "(" in line:
        if not dialect.comments:
            yield "comments", "this machine knows no comments"
        for comment in _COMMENT.findall(line):
            if not _SAFE_COMMENT.fullmatch(comment):
                yield (
                    "characters",
                    "a comment has characters that some controllers obey; keep to A-Z a-z 0-9 . , - + = /",
                )
        code = _COMMENT.sub("", line)
    code = code.strip()
    if not code or code == "%":
        return
    if code != code.upper():
        yield "case", "letters of code are capitals"
    yield from _of_words(code, dialect)


def _of_words(code: str, dialect: Dialect) -> Iterator[tuple[str, str]]:
    words = _WORD.findall(code.upper().replace(" ", "").replace("\t", ""))
    letters = {letter for letter, _ in words}
    if dialect.line_numbers and "N" not in letters:
        yield "numbers", "this machine wants a line number on every line of code"
    if not dialect.line_numbers and "N" in letters:
        yield "numbers", "this machine knows no line numbers"
    for letter, digits in words:
        yield from _of_word(letter, digits, dialect)
    codes = {f"{letter}{float(digits):g}" for letter, digits in words if letter in "GM" and _is_number(digits)}
    yield from _of_codes(codes, letters, dialect)


def _of_word(letter: str, digits: str, dialect: Dialect) -> Iterator[tuple[str, str]]:
    whole, point, fraction = digits.partition(".")
    if letter in _POINTED and not point:
        yield "point", f"{letter}{digits} has no point; some controllers take it for the least step"
    if letter in "GMNSTHL" and point and letter != "G":
        yield "whole", f"{letter}{digits} has a point where this machine wants a whole number"
    if letter in _LENGTHS and len(fraction) > dialect.decimals:
        yield "decimals", f"{letter}{digits} has more than {dialect.decimals} decimals"
    if digits.startswith("+") or (whole in ("-0", "-") and not fraction.strip("0")):
        yield "sign", f"{letter}{digits} has a sign that some controllers do not read"


def _of_codes(codes: set[str], letters: set[str], dialect: Dialect) -> Iterator[tuple[str, str]]:
    unit, other = ("G21", "G20") if dialect.unit == "mm" else ("G20", "G21")
    if other in codes:
        yield "unit", f"the profile writes programs in {dialect.unit}, which is {unit}, not {other}"
    if not dialect.arcs and codes & {"G2", "G3"}:
        yield "arcs", "this machine knows no arcs"
    if codes & {"G18", "G19"}:
        yield "planes", "arcs of this profile lie in the plane XY, G17"
    if not dialect.drilling_cycles and codes & {"G81", "G82", "G83"}:
        yield "cycles", "this machine knows no drilling cycles"
    if dialect.cutter_change != "automatic" and (letters & {"T", "H"} or "M6" in codes or "G43" in codes):
        yield "change", "this machine does not change cutters by program"
    ends = codes & {"M2", "M30"}
    if ends and dialect.end not in ends:
        yield "end", f"this machine ends a program with {dialect.end}"


def _is_number(digits: str) -> bool:
    try:
        float(digits)
    except ValueError:
        return False
    return True
