"""From bytes to words, as NISTIR 6556 section 3.3 has them: strict, with line and column for all that is wrong.

N20 G1 X1.5 F200 (fret 1)   ->   [Word("G", 1.0, 5), Word("X", 1.5, 8), Word("F", 200.0, 13)], "fret 1"
"""

import re
from typing import Final, NamedTuple

from pearlkerf.proof.motions import Finding, UnreadableProgram

# NISTIR 6556, section 3.3: "a line may have up to 256 characters"
LONGEST_LINE: Final = 256
# section 3.3.2.1: a value that must be whole passes within this much of one
WHOLE: Final = 0.0001
LETTERS: Final = "DFGHIJKLMNPQRSTXYZ"
ROTARY: Final = "ABC"

_WORD: Final = re.compile(r"([A-Za-z])([+-]?(?:\d+\.?\d*|\.\d+))", re.ASCII)
_NUMBER_START: Final = re.compile(r"[+-]?[\d.]", re.ASCII)


class Word(NamedTuple):
    """A letter, its number, and the column (1-based) where it stands."""

    letter: str
    value: float
    column: int


class Line(NamedTuple):
    """One line: its words without N, and its comment (the last, if several)."""

    words: list[Word]
    comment: str | None


def refuse(message: str, line: int, column: int | None = None) -> UnreadableProgram:
    """Give the refusal of a text at a place, to be raised."""
    return UnreadableProgram(Finding(1, message, line=line, column=column))


def text_lines(text: bytes) -> list[str]:
    """Split bytes into lines (CR, LF or both end one); refuse what is not printable ASCII or a tab."""
    try:
        plain = text.decode("ascii")
    except UnicodeDecodeError as fault:
        before = text[: fault.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        line, column = before.count(b"\n") + 1, len(before) - (before.rfind(b"\n") + 1) + 1
        code = text[fault.start]
        mark = " (a byte order mark: save the file without one)" if text.startswith(b"\xef\xbb\xbf") else ""
        raise refuse(f"the byte {code:#04x} is not ASCII{mark}", line, column) from None
    if "\r" in plain:
        plain = plain.replace("\r\n", "\n").replace("\r", "\n")
    return plain.split("\n")


def read_line(raw: str, number: int) -> Line:
    """Read one line into words; refuse all that section 3.3 does not allow."""
    if len(raw) > LONGEST_LINE:
        raise refuse(f"the line has {len(raw)} characters; at most {LONGEST_LINE} are allowed (section 3.3)", number)
    code, columns, comment = _without_comments(raw, number)
    words: list[Word] = []
    at = 0
    while at < len(code):
        match = _WORD.match(code, at)
        if match is None:
            raise _no_word(code, columns, at, number)
        letter = match.group(1).upper()
        if letter not in LETTERS:
            raise refuse(_unknown_letter(letter), number, columns[at])
        if letter == "N":
            _check_line_number(match.group(2), number, columns[at], at)
        else:
            words.append(Word(letter, float(match.group(2)), columns[at]))
        at = match.end()
    return Line(words, comment)


def _without_comments(raw: str, number: int) -> tuple[str, list[int], str | None]:
    """Give the line without spaces and comments, the column of each character left, and the last comment."""
    kept: list[str] = []
    columns: list[int] = []
    comment: str | None = None
    opened = -1
    for index, sign in enumerate(raw):
        if not " " <= sign <= "~" and sign != "\t":
            raise refuse(f"the control character {ord(sign):#04x} is not allowed", number, index + 1)
        if opened >= 0:
            if sign == "(":
                raise refuse("a comment inside a comment is not allowed (section 3.3.4)", number, index + 1)
            if sign == ")":
                comment, opened = raw[opened + 1 : index], -1
        elif sign == "(":
            opened = index
        elif sign not in " \t":
            kept.append(sign)
            columns.append(index + 1)
    if opened >= 0:
        raise refuse("the comment is not closed on its line (section 3.3.4)", number, opened + 1)
    return "".join(kept), columns, comment


def _no_word(code: str, columns: list[int], at: int, number: int) -> UnreadableProgram:
    sign = code[at]
    meanings = {
        "/": "block delete: nobody knows whether this line will run; write the program without it (section 2.2.2)",
        "#": "parameters are not read here; write the numbers out (section 3.3.2.2)",
        "[": "expressions are not read here; write the numbers out (section 3.3.2.3)",
        ")": "a bracket closes that was not opened (section 3.3.4)",
        ";": "a semicolon begins no comment in this language; use brackets (section 3.3.4)",
        "%": "a percent sign stands alone on the first and the last line only (section 3.1)",
    }
    if sign in meanings:
        return refuse(meanings[sign], number, columns[at])
    if sign.isalpha():
        following = code[at + 1] if at + 1 < len(code) else ""
        if following in ("[", "#"):
            return refuse(meanings[following], number, columns[at + 1])
        if sign.upper() not in LETTERS:
            return refuse(_unknown_letter(sign.upper()), number, columns[at])
        return refuse(f"the word {sign.upper()} has no number (section 3.3.2.1)", number, columns[at])
    if _NUMBER_START.match(code, at) or sign in "+-.":
        return refuse("a number stands here without a letter, or has more than one point or sign", number, columns[at])
    return refuse(f'the character "{sign}" is not allowed here (section 3.3)', number, columns[at])


def _unknown_letter(letter: str) -> str:
    if letter in ROTARY:
        return f"the word {letter} moves a rotary axis; a three-axis router has none"
    extra = "; numbers have no exponent (section 3.3.2.1)" if letter == "E" else ""
    return f"the letter {letter} is not in the language (section 3.3.2, table 3){extra}"


def _check_line_number(digits: str, number: int, column: int, at: int) -> None:
    if at:
        raise refuse("a line number must come first (section 3.3.1)", number, column)
    if not digits.isdigit() or len(digits) > 5:
        raise refuse("a line number has one to five digits, no sign, no point (section 3.3.1)", number, column)


def whole(word: Word, number: int) -> int:
    """Give a word's value as a whole number; refuse one that is not (section 3.3.2.1)."""
    nearest = round(word.value)
    if abs(word.value - nearest) > WHOLE:
        raise refuse(f"{word.letter} needs a whole number, found {word.value:g}", number, word.column)
    return nearest
