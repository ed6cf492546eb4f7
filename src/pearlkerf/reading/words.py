"""From bytes to words, as NISTIR 6556 section 3.3 has them: strict, with line and column for all that is wrong.

N20 G1 X1.5 F200 (fret 1)   ->   [Word("G", 1.0, 5), Word("X", 1.5, 8), Word("F", 200.0, 13)], "fret 1"
"""

import re
from typing import Final, NamedTuple

from pearlkerf.reading.motions import Finding, UnreadableProgram
from pearlkerf.reading.tolerances import WHOLE

# NISTIR 6556, section 3.3: "a line may have up to 256 characters"
LONGEST_LINE: Final = 256
# section 3.3.1: a line number has "one to five digits"
LONGEST_NUMBER: Final = 5
# no machine of this kind goes so far or so fast; what overflows must not be computed with
GREATEST: Final = 1e6
LETTERS: Final = "DFGHIJKLMNPQRSTXYZ"
ROTARY: Final = "ABC"
BLANKS: Final = " \t"

# a word or a comment; blanks may stand anywhere in a word and mean nothing (section 3.3)
_ITEM: Final = re.compile(r"[ \t]*(?:([A-Za-z])([+\-.0-9 \t]*)|\(([ -'*-~\t]*)\))[ \t]*")
_NUMBER: Final = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)", re.ASCII)
_MEANINGS: Final = {
    "/": "block delete: nobody knows whether this line will run; write the program without it (section 2.2.2)",
    "#": "parameters are not read here; write the numbers out (section 3.3.2.2)",
    "[": "expressions are not read here; write the numbers out (section 3.3.2.3)",
    ")": "a bracket closes that was not opened (section 3.3.4)",
    ";": "a semicolon begins no comment in this language; use brackets (section 3.3.4)",
    "%": "a percent sign stands alone on the first and the last line only (section 3.1)",
}


class Word(NamedTuple):
    """A letter, its number, and the column (1-based) where it stands."""

    letter: str
    value: float
    column: int


class Line(NamedTuple):
    """One line: its words without N, and its comment (the last, if several: section 3.3.5)."""

    words: list[Word]
    comment: str | None


def refuse(message: str, line: int, column: int | None = None) -> UnreadableProgram:
    """Give the refusal of a text at a place, to be raised."""
    return UnreadableProgram(Finding(1, message, line=line, column=column))


def plain_text(text: bytes) -> bytes:
    """Give the text with LF at the end of each line, for CR, LF or both; refuse what is not ASCII."""
    try:
        text.decode("ascii")
    except UnicodeDecodeError as fault:
        before = with_one_end(text[: fault.start])
        line, column = before.count(b"\n") + 1, len(before) - before.rfind(b"\n")
        mark = " (a byte order mark: save the file without one)" if text.startswith(b"\xef\xbb\xbf") else ""
        raise refuse(f"the byte {text[fault.start]:#04x} is not ASCII{mark}", line, column) from None
    return with_one_end(text)


def with_one_end(text: bytes) -> bytes:
    """Give the text with LF at the end of each line, for CR, LF or both."""
    return text.replace(b"\r\n", b"\n").replace(b"\r", b"\n") if b"\r" in text else text


def text_lines(text: bytes) -> list[str]:
    """Split bytes into lines (CR, LF or both end one); refuse what is not ASCII."""
    return plain_text(text).decode("ascii").split("\n")


def read_line(raw: str, number: int) -> Line:
    """Read one line into words; refuse all that section 3.3 does not allow."""
    if len(raw) > LONGEST_LINE:
        raise refuse(f"the line has {len(raw)} characters; at most {LONGEST_LINE} are allowed (section 3.3)",
                     number, LONGEST_LINE + 1)  # fmt: skip
    words: list[Word] = []
    comment: str | None = None
    at = 0
    while at < len(raw):
        item = _ITEM.match(raw, at)
        if item is None:
            if not raw[at:].strip(BLANKS):
                break
            raise _no_item(raw, at, number)
        letter, digits, note = item.groups()
        if letter is None:
            comment = note
        elif letter in "Nn":
            _check_line_number(raw, item.start(1), _without_blanks(digits), number)
        else:
            words.append(Word(letter.upper(), _value(raw, item, number), item.start(1) + 1))
        at = item.end()
    return Line(words, comment)


def _without_blanks(digits: str) -> str:
    return digits.replace(" ", "").replace("\t", "")


def _value(raw: str, item: re.Match[str], number: int) -> float:
    """Give the number of a word, of any sign and with at most one point (section 3.3.2.1)."""
    letter, column = item.group(1).upper(), item.start(1) + 1
    if letter not in LETTERS:
        raise refuse(_unknown_letter(letter), number, column)
    digits = _without_blanks(item.group(2))
    if _NUMBER.fullmatch(digits):
        return float(digits)
    if digits:
        raise refuse(f"{letter}{digits} is no number: it has one point and one sign at most, and a digit "
                     "(section 3.3.2.1)", number, column)  # fmt: skip
    following = raw[item.end() : item.end() + 1]
    if following and following in "[#":
        raise refuse(_MEANINGS[following], number, item.end() + 1)
    raise refuse(f"the word {letter} has no number (section 3.3.2.1)", number, column)


def _no_item(raw: str, at: int, number: int) -> UnreadableProgram:
    """Say what is wrong with the text from ``at`` on, where neither a word nor a comment stands."""
    at += len(raw[at:]) - len(raw[at:].lstrip(BLANKS))
    sign = raw[at]
    if sign == "(":
        return _bad_comment(raw, at, number)
    if sign in _MEANINGS:
        return refuse(_MEANINGS[sign], number, at + 1)
    if not " " <= sign <= "~":
        return refuse(f"the control character {ord(sign):#04x} is not allowed (section 3.3)", number, at + 1)
    if sign in "+-." or sign.isdigit():
        return refuse("a number stands here without a letter (section 3.3)", number, at + 1)
    return refuse(f'the character "{sign}" is not allowed here (section 3.3)', number, at + 1)


def _bad_comment(raw: str, opened: int, number: int) -> UnreadableProgram:
    for index in range(opened + 1, len(raw)):
        sign = raw[index]
        if sign == "(":
            return refuse("a comment inside a comment is not allowed (section 3.3.4)", number, index + 1)
        if not " " <= sign <= "~" and sign != "\t":
            return refuse(f"the control character {ord(sign):#04x} is not allowed (section 3.3.4)", number, index + 1)
        if sign == ")":
            break
    return refuse("the comment is not closed on its line (section 3.3.4)", number, opened + 1)


def _unknown_letter(letter: str) -> str:
    if letter in ROTARY:
        return f"the word {letter} moves a rotary axis; a three-axis router has none"
    extra = "; numbers have no exponent (section 3.3.2.1)" if letter == "E" else ""
    return f"the letter {letter} is not in the language (section 3.3.2, table 3){extra}"


def _check_line_number(raw: str, at: int, digits: str, number: int) -> None:
    if raw[:at].strip(BLANKS):
        raise refuse("a line number must come first (section 3.3.1)", number, at + 1)
    if not digits.isdigit() or len(digits) > LONGEST_NUMBER:
        raise refuse("a line number has one to five digits, no sign, no point (section 3.3.1)", number, at + 1)


def whole(word: Word, number: int) -> int:
    """Give a word's value as a whole number; refuse one that is not (section 3.3.2.1)."""
    nearest = round(word.value)
    if abs(word.value - nearest) > WHOLE:
        raise refuse(f"{word.letter} needs a whole number, found {word.value:g}", number, word.column)
    return nearest
