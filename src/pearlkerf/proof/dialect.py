"""Rule 1, the profile's part: a program is written with the words that this machine's programs are written with.

What is allowed is listed: the words that the writer may write for the profile, and what a key of the profile
adds.  All else is refused, however harmless it may be.  Programs edited by hand are held too, so only words
count: spaces between words, lower case, a plus sign, leading zeros, blank lines, CR LF and several comments on a
line mean the same everywhere and are let pass; so are line numbers that repeat or do not rise (NISTIR 6556,
section 3.3.1), and the one end for the other, M2 and M30 (section 3.6.1; no router has pallets).
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from pearlkerf.machine.model import Control, Dialect
from pearlkerf.proof.lines import Line, Stretch, lines_of
from pearlkerf.reading.motions import Finding, ProgramText
from pearlkerf.reading.words import with_one_end

Told = Iterator[tuple[str, int, str]]  # kind, line, message

_HARMLESS: Final = re.compile(r"[A-Za-z0-9 .,\-+=/]*", re.ASCII)
# a word that blanks run through: one controller reads it as one, another as two, or stops
_PARTED: Final = re.compile(r"[A-Za-z\d.+-][ \t]+[\d.]|[A-Za-z][ \t]+[+-]", re.ASCII)
# X10 is 10 least steps for some controllers: these carry a point; those are whole
_POINTED: Final = frozenset("XYZIJKRQPF")
_WHOLE: Final = frozenset("NMSTHDL")
_LENGTHS: Final = frozenset("XYZIJKRQ")
_MOTIONS: Final = frozenset({"G0", "G1", "G2", "G3", "G80", "G82", "G83"})
_ENDS: Final = ("M2", "M30")


def allowed_codes(dialect: Dialect, control: Control) -> frozenset[str]:
    """Give the G and M codes that programs for a machine are written with."""
    codes = {"G0", "G1", "G4", "G17", "G54", "G90", "G94", "G21" if dialect.unit == "mm" else "G20", "M0", "M5", *_ENDS}
    codes |= {"G2", "G3"} if dialect.arcs else set()
    codes |= {"G80", "G82", "G83", "G98", "G99"} if dialect.drilling_cycles else set()
    codes |= {"G40", "G43", "M6"} if dialect.cutter_change == "automatic" else set()
    codes |= {"G61"} if dialect.path_control == "exact" else set()
    codes |= {"M3"} if control != "hand" else set()
    codes |= {dialect.air, "M9"} if dialect.air != "none" else set()
    return frozenset(codes)


def allowed_letters(dialect: Dialect, control: Control) -> frozenset[str]:
    """Give the letters of the words that programs for a machine are written with."""
    letters = set("GMXYZFP")
    letters |= set("IJ") if dialect.arcs else set()
    letters |= set("RQ") if dialect.drilling_cycles else set()
    letters |= set("TH") if dialect.cutter_change == "automatic" else set()
    letters |= {"S"} if control == "program" else set()
    letters |= {"N"} if dialect.line_numbers else set()
    return frozenset(letters)


def hold_dialect(
    program: ProgramText, dialect: Dialect, control: Control = "program", lines: Sequence[Line | Stretch] = ()
) -> tuple[Finding, ...]:
    """Hold a program's text against a dialect; at most one finding of each kind, at its first line.

    ``control`` says who sets the spindle; ``lines`` are the program's, where they were taken apart already.
    """
    told: dict[str, Finding] = {}
    text = program.text.decode("ascii", "replace")
    whole = with_one_end(program.text).decode("ascii", "replace")
    words = (allowed_codes(dialect, control), allowed_letters(dialect, control))
    for kind, number, message in (
        *_lone_returns(text), *_percent_signs(whole, dialect), *_long_lines(whole, dialect.line_limit),
        *_of_lines(lines or lines_of(whole, dialect), dialect, words),
    ):  # fmt: skip
        told.setdefault(kind, Finding(1, message, program.file, number))
    return tuple(sorted(told.values(), key=lambda finding: finding.line or 0))


def _lone_returns(text: str) -> Told:
    lone = re.search(r"\r(?!\n)", text)
    if lone is not None:
        yield (
            "return",
            text.count("\n", 0, lone.start()) + 1,
            ("a carriage return stands alone: one controller ends the line there, another does not; end lines with LF"),
        )


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


def _of_lines(
    lines: Iterable[Line | Stretch], dialect: Dialect, allowed: tuple[frozenset[str], frozenset[str]]
) -> Told:
    """Hold every line against the codes and letters that are allowed; stretches of plain lines pass at once."""
    (codes, letters), motion = allowed, ""
    for line in lines:
        if isinstance(line, Stretch):
            motion = line.motion
            continue
        yield from _of_comments(line, dialect)
        if not line.words:
            continue
        if dialect.line_numbers and line.words[0][0] != "N":
            yield "numbers", line.number, "this machine wants a line number before every line of code"
        if _PARTED.search(line.code):
            yield "blanks", line.number, "blanks stand inside a word; some controllers end it there"
        motion = next((code for code in line.codes if code in _MOTIONS), motion)
        for kind, message in (
            *_of_words(line.words, dialect), *_of_codes(line, codes, motion), *_of_letters(line, letters, motion)
        ):  # fmt: skip
            yield kind, line.number, message


def _of_comments(line: Line, dialect: Dialect) -> Told:
    if line.comments and not dialect.comments:
        yield "comments", line.number, "this machine knows no comments"
    for comment in line.comments:
        if not _HARMLESS.fullmatch(comment):
            yield (
                "characters",
                line.number,
                "a comment has characters that some controllers obey at once; keep to A-Z a-z 0-9 . , - + = /",
            )


def _of_words(words: Sequence[tuple[str, str]], dialect: Dialect) -> Iterator[tuple[str, str]]:
    for letter, digits in words:
        _, point, fraction = digits.partition(".")
        milliseconds = letter == "P" and dialect.dwell_unit == "ms"
        if letter in _POINTED and not point and not milliseconds:
            yield "point", f"{letter}{digits} has no point; some controllers take it for so many least steps"
        if (letter in _WHOLE or milliseconds) and point:
            yield "whole", f"{letter}{digits} has a point where this machine wants a whole number"
        if letter in _LENGTHS and len(fraction) > dialect.decimals:
            yield "decimals", f"{letter}{digits} has more than {dialect.decimals} decimals; the rest may be lost"
        if digits.startswith("-") and not digits.strip("-0."):
            yield "zero", f"{letter}{digits} is a zero with a sign, which some controllers do not read"


def _of_codes(line: Line, allowed: frozenset[str], motion: str) -> Iterator[tuple[str, str]]:
    for code in line.codes:
        if code in allowed:
            continue
        if code[-1] == "." or "." in code.removeprefix("G59."):
            yield "whole", f"{code} has a point where this machine wants a whole number"
        else:
            yield _why(code, f"{code} is none of the codes that programs for this machine are written with")
    if "R" in line.letters and motion in ("G2", "G3"):
        yield "radius", "this machine's arcs are written by I and J, not by R"


def _of_letters(line: Line, allowed: frozenset[str], motion: str) -> Iterator[tuple[str, str]]:
    cycles = not {"G81", "G82", "G83"}.isdisjoint(line.codes)
    for letter in sorted(line.letters - allowed - (frozenset("RQP") if cycles else frozenset())):
        if letter != "R" or motion not in ("G2", "G3"):  # which is told already
            yield _why(letter, f"the word {letter} is none that programs for this machine are written with")


def _why(word: str, plainly: str) -> tuple[str, str]:
    """Give kind and message of a word that is not allowed: why, where that is known, else plainly that it is not."""
    return next(((kind, why) for kind, words, why in _WHY if word in words), (f"word {word}", plainly))


_WHY: Final = (
    ("unit", ("G20", "G21"), "programs for this machine are in its profile's other unit"),
    ("arcs", ("G2", "G3", "I", "J"), "this machine knows no arcs; write chords"),
    ("planes", ("G18", "G19", "K"), "this machine's arcs and cycles lie in the plane XY, G17"),
    ("cycles", ("G81", "G82", "G83", "G80", "G98", "G99", "Q"), "this machine knows no such drilling cycles; write the "
     "moves out"),
    ("change", ("M6", "T", "H", "G43"), "this machine does not change cutters by program"),
    ("zero", ("G10", "G28", "G30", "G52", "G53", "G92", "G92.1", "G92.2", "G92.3"), "nobody here knows where the "
     "machine's own zero, or a shifted one, lies; keep to G54"),
    ("length", ("G49",), "no length holds after it, and some controllers move Z; a cutter brings its own (G43 H)"),
    ("numbers", ("N",), "this machine knows no line numbers"),
)  # fmt: skip
