"""Rule 1, the profile's part: every line is within what this machine's controller understands.

The reader refuses what is not in the language.  This looks at the bytes once more for what one machine
may misread although the language allows it.  Programs edited by hand are held too, so only that counts:
spaces, lower case, a plus sign, leading zeros, blank lines, CR LF and several comments on a line mean
the same everywhere and are let pass; so are line numbers that repeat or do not rise (NISTIR 6556,
section 3.3.1), and the one end for the other, M2 and M30 (section 3.6.1; no router has pallets).
"""

import re
from collections.abc import Generator, Iterator, Sequence
from typing import Final

from pearlkerf.machine.model import Dialect
from pearlkerf.reading.motions import Finding, ProgramText
from pearlkerf.reading.words import LONGEST_LINE, with_one_end

Told = Iterator[tuple[str, int, str]]  # kind, line, message

_COMMENT: Final = re.compile(r"\(([^()]*)\)")
_HARMLESS: Final = re.compile(r"[A-Za-z0-9 .,\-+=/]*", re.ASCII)
_WORD: Final = re.compile(r"([A-Z])([+-]?[0-9.]+)")
_BLANKS: Final = str.maketrans("", "", " \t")
# X10 is 10 least steps for some controllers: these carry a point; those are whole
_POINTED: Final = frozenset("XYZIJKRQPF")
_WHOLE: Final = frozenset("NMSTHDL")
_LENGTHS: Final = frozenset("XYZIJKRQ")
_MOTIONS: Final = frozenset({"G0", "G1", "G2", "G3", "G80", "G81", "G82", "G83"})


def hold_dialect(program: ProgramText, dialect: Dialect) -> tuple[Finding, ...]:
    """Hold a program's text against a dialect; at most one finding of each kind, at its first line."""
    told: dict[str, Finding] = {}
    text = with_one_end(program.text).decode("ascii", "replace")
    for kind, number, message in (
        *_percent_signs(text, dialect), *_long_lines(text, dialect.line_limit), *_of_lines(text, dialect),
    ):  # fmt: skip
        told.setdefault(kind, Finding(1, message, program.file, number))
    return tuple(sorted(told.values(), key=lambda finding: finding.line or 0))


def _percent_signs(text: str, dialect: Dialect) -> Told:
    lines = text.split("\n") if "%" in text else []
    signs = [number for number, line in enumerate(lines, 1) if "%" in line and line.strip() == "%"]
    if dialect.percent and len(signs) != 2:
        yield "percent", 1, "this machine wants a percent sign alone on the first and on the last line"
    if not dialect.percent and signs:
        yield "percent", signs[0], "this machine knows no percent signs; take the lines out"


def _long_lines(text: str, limit: int) -> Told:
    long = re.search(rf"^[^\n]{{{limit + 1}}}[^\n]*", text, re.MULTILINE)
    if long is not None:
        number = text.count("\n", 0, long.start()) + 1
        yield "limit", number, f"the line has {len(long.group())} characters; this machine reads at most {limit}"


def _of_lines(text: str, dialect: Dialect) -> Told:
    """Hold every line; runs of lines that are plain to the last sign pass at once."""
    plain_run, motion = _plain_run(dialect), ""
    number, at = 1, 0
    while at < len(text):
        run = plain_run.match(text, at)
        if run:
            motion = f"G{run.group(1)}"
            number, at = number + text.count("\n", at, run.end()), run.end()
        end = text.find("\n", at)
        end = len(text) if end < 0 else end
        line = text[at:end]
        at, number = end + 1, number + 1
        if len(line) <= LONGEST_LINE:  # else the reader refuses it
            motion = yield from _of_line(line, number - 1, motion, dialect)


def _of_line(line: str, number: int, motion: str, dialect: Dialect) -> Generator[tuple[str, int, str], None, str]:
    """Hold one line; give the motion in force after it."""
    yield from _of_comments(line, number, dialect)
    code = _COMMENT.sub(" ", line).translate(_BLANKS).upper()
    if not code or code == "%":
        return motion
    words = _WORD.findall(code)
    if dialect.line_numbers and (not words or words[0][0] != "N"):
        yield "numbers", number, "this machine wants a line number before every line of code"
    codes = [_code(letter, digits) for letter, digits in words if letter in "GM"]
    motion = next((code for code in codes if code in _MOTIONS), motion)
    for kind, message in (*_of_words(words, dialect), *_of_codes(codes, words, motion, dialect)):
        yield kind, number, message
    return motion


def _plain_run(dialect: Dialect) -> re.Pattern[str]:
    """Give a pattern of lines with motions that every rule of this dialect allows: line number, code, axes, feed."""
    figure = rf"(?:-(?=[0.]*+[1-9]))?\d++\.\d{{0,{dialect.decimals}}}+"
    head = r"N\d{1,5}+ " if dialect.line_numbers else ""
    letters = "XYZIJ" if dialect.arcs else "XYZ"
    axes = "".join(f"(?: {letter}{figure})?+" for letter in letters)
    return re.compile(rf"(?:{head}G([0-{3 if dialect.arcs else 1}]){axes}(?: F\d++\.\d*+)?+\n)++", re.ASCII)


def _of_comments(line: str, number: int, dialect: Dialect) -> Told:
    if "(" not in line:
        return
    if not dialect.comments:
        yield "comments", number, "this machine knows no comments"
    for comment in _COMMENT.findall(line):
        if not _HARMLESS.fullmatch(comment):
            yield (
                "characters",
                number,
                "a comment has characters that some controllers obey at once; keep to A-Z a-z 0-9 . , - + = /",
            )


def _of_words(words: Sequence[tuple[str, str]], dialect: Dialect) -> Iterator[tuple[str, str]]:
    for letter, digits in words:
        _, point, fraction = digits.partition(".")
        if letter == "N" and not dialect.line_numbers:
            yield "numbers", "this machine knows no line numbers"
        milliseconds = letter == "P" and dialect.dwell_unit == "ms"
        if letter in _POINTED and not point and not milliseconds:
            yield "point", f"{letter}{digits} has no point; some controllers take it for so many least steps"
        if (letter in _WHOLE or milliseconds) and point:
            yield "whole", f"{letter}{digits} has a point where this machine wants a whole number"
        if letter in _LENGTHS and len(fraction) > dialect.decimals:
            yield "decimals", f"{letter}{digits} has more than {dialect.decimals} decimals; the rest may be lost"
        if digits.startswith("-") and not digits.strip("-0."):
            yield "zero", f"{letter}{digits} is a zero with a sign, which some controllers do not read"


def _of_codes(
    codes: Sequence[str], words: Sequence[tuple[str, str]], motion: str, dialect: Dialect
) -> Iterator[tuple[str, str]]:
    unit, other = ("G21", "G20") if dialect.unit == "mm" else ("G20", "G21")
    letters = {letter for letter, _ in words}
    if other in codes:
        yield "unit", f"programs for this machine are in {dialect.unit}, {unit}, not {other}"
    if "G2" in codes or "G3" in codes:
        if not dialect.arcs:
            yield "arcs", "this machine knows no arcs; write chords"
        if "R" in letters:
            yield "radius", "this machine's arcs are written by I and J, not by R"
    elif "R" in letters and motion in ("G2", "G3"):
        yield "radius", "this machine's arcs are written by I and J, not by R"
    if "G18" in codes or "G19" in codes:
        yield "planes", "this machine's arcs and cycles lie in the plane XY, G17"
    if not dialect.drilling_cycles and not {"G81", "G82", "G83"}.isdisjoint(codes):
        yield "cycles", "this machine knows no drilling cycles; write the moves out"
    if dialect.cutter_change != "automatic" and (letters & {"T", "H"} or "M6" in codes or "G43" in codes):
        yield "change", "this machine does not change cutters by program"


def _code(letter: str, digits: str) -> str:
    """Give a G or M code without leading zeros or an idle point: G01 is G1, G59.1 stays."""
    whole, _, fraction = digits.lstrip("+").partition(".")
    fraction = fraction.rstrip("0")
    return f"{letter}{whole.lstrip('0') or '0'}" + (f".{fraction}" if fraction else "")
