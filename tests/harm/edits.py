"""What a hand does to a program: small edits that fail loudly where what they look for is not there.

An edit is a function from a Text to a Text.  Lines are without their N words, which are put on again
when the text is written out, so that no program is refused for a missing number alone.  Patterns are
regular expressions, searched within a line; ``nth`` counts the lines that hold one, from 1, or from
the end with -1.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

NUMBER = re.compile(r"N\d+ ?")
NUMBER_ROOM = 8  # characters that an N word and its space take at most, "N999999 "


class NothingToEdit(Exception):
    """An edit looked for what the program does not have: the table is wrong, or the programs changed."""


@dataclass(frozen=True)
class Text:
    """A program's lines, without N words."""

    lines: tuple[str, ...]
    numbered: bool  # whether they have N words
    limit: int  # characters of the longest line

    def bytes(self) -> bytes:
        """Give the program's bytes, its lines numbered by tens where they were numbered."""
        out, number = [], 0
        for line in self.lines:
            if self.numbered and line and line != "%":
                number += 10
                line = f"N{number} {line}"
            out.append(line + "\n")
        return "".join(out).encode("ascii")


Edit = Callable[[Text], Text]


def text_of(program: bytes, limit: int) -> Text:
    """Read a fresh program's lines."""
    lines = program.decode("ascii").removesuffix("\n").split("\n")
    numbered = any(NUMBER.match(line) for line in lines)
    return Text(tuple(NUMBER.sub("", line, count=1) for line in lines) if numbered else tuple(lines), numbered, limit)


def _places(text: Text, pattern: str) -> list[int]:
    found = [place for place, line in enumerate(text.lines) if re.search(pattern, line)]
    if not found:
        raise NothingToEdit(f"no line with {pattern!r}")
    return found


def place_of(text: Text, pattern: str, nth: int) -> int:
    """Give the place of the nth line with a pattern."""
    found = _places(text, pattern)
    if not -len(found) <= nth <= len(found) or nth == 0:
        raise NothingToEdit(f"{len(found)} lines with {pattern!r}, not {nth}")
    return found[nth - 1 if nth > 0 else nth]


def spliced(text: Text, first: int, last: int, lines: tuple[str, ...]) -> Text:
    """Give the text with the lines from ``first`` up to ``last`` replaced."""
    return replace(text, lines=text.lines[:first] + lines + text.lines[last:])


def together(*edits: Edit) -> Edit:
    """One edit after another."""

    def edit(text: Text) -> Text:
        for each in edits:
            text = each(text)
        return text

    return edit


def before(pattern: str, *lines: str, nth: int = 1) -> Edit:
    """Put lines before the nth line with a pattern."""

    def edit(text: Text) -> Text:
        place = place_of(text, pattern, nth)
        return spliced(text, place, place, lines)

    return edit


def after(pattern: str, *lines: str, nth: int = 1) -> Edit:
    """Put lines after the nth line with a pattern."""

    def edit(text: Text) -> Text:
        place = place_of(text, pattern, nth) + 1
        return spliced(text, place, place, lines)

    return edit


def line_for(pattern: str, *lines: str, nth: int = 1) -> Edit:
    """Put lines in place of the nth line with a pattern; without lines it is dropped."""

    def edit(text: Text) -> Text:
        place = place_of(text, pattern, nth)
        return spliced(text, place, place + 1, lines)

    return edit


def drop(pattern: str, nth: int = 1) -> Edit:
    """Take the nth line with a pattern out."""
    return line_for(pattern, nth=nth)


def drop_every(pattern: str) -> Edit:
    """Take every line with a pattern out, at least one."""

    def edit(text: Text) -> Text:
        gone = set(_places(text, pattern))
        return replace(text, lines=tuple(line for place, line in enumerate(text.lines) if place not in gone))

    return edit


def drop_within(pattern: str, first: str, last: str, nth: int = 1) -> Edit:
    """Take every line with a pattern out that stands between the nth line with ``first`` and the next with ``last``."""

    def edit(text: Text) -> Text:
        start = place_of(text, first, nth)
        end = next((n for n in range(start + 1, len(text.lines)) if re.search(last, text.lines[n])), 0)
        kept = tuple(line for line in text.lines[start + 1 : end] if not re.search(pattern, line))
        if not end or len(kept) == end - start - 1:
            raise NothingToEdit(f"no line with {pattern!r} between {first!r} and {last!r}")
        return spliced(text, start + 1, end, kept)

    return edit


def before_next(first: str, pattern: str, *lines: str, nth: int = 1) -> Edit:
    """Put lines before the next line with a pattern that follows the nth line with ``first``."""

    def edit(text: Text) -> Text:
        start = place_of(text, first, nth)
        place = next((n for n in range(start + 1, len(text.lines)) if re.search(pattern, text.lines[n])), 0)
        if not place:
            raise NothingToEdit(f"no line with {pattern!r} after {first!r}")
        return spliced(text, place, place, lines)

    return edit


def drop_from(first: str, last: str) -> Edit:
    """Take the lines out from the first one with ``first`` up to the next with ``last``, which stays."""

    def edit(text: Text) -> Text:
        start = place_of(text, first, 1)
        end = next((n for n in range(start + 1, len(text.lines)) if re.search(last, text.lines[n])), 0)
        if not end:
            raise NothingToEdit(f"no line with {last!r} after {first!r}")
        return spliced(text, start, end, ())

    return edit


def unsaid(word: str, first: str, last: str, nth: int = 1) -> Edit:
    """Take a word out of all lines between the nth one with ``first`` and the next with ``last``, if it is there."""

    def edit(text: Text) -> Text:
        start = place_of(text, first, nth) + 1
        end = next((n for n in range(start, len(text.lines)) if re.search(last, text.lines[n])), len(text.lines))
        kept = [line if line.startswith("(") else re.sub(rf"(^| )({word})(?= |$)", "", line).strip()
                for line in text.lines[start:end]]  # fmt: skip
        return spliced(text, start, end, tuple(line for line in kept if line))

    return edit


def hush(first: str, last: str) -> Edit:
    """Take all comments out between the first line with ``first`` and the next with ``last``, if there are any.

    Claims stay, and so does the name of what is cut.
    """

    def edit(text: Text) -> Text:
        start = place_of(text, first, 1) + 1
        end = next((n for n in range(start, len(text.lines)) if re.search(last, text.lines[n])), start)
        kept = tuple(line for line in text.lines[start:end] if not re.match(r"\((?!setup=|fret)", line))
        return spliced(text, start, end, kept)

    return edit


def drop_if_there(pattern: str) -> Edit:
    """Take every line with a pattern out, if there is one: for what only newer programs have."""
    return lambda text: replace(text, lines=tuple(line for line in text.lines if not re.search(pattern, line)))


def change(pattern: str, new: str, nth: int = 1) -> Edit:
    """Change the part of the nth line that a pattern finds; groups of the pattern may be used."""

    def edit(text: Text) -> Text:
        place = place_of(text, pattern, nth)
        return spliced(text, place, place + 1, (re.sub(pattern, new, text.lines[place], count=1),))

    return edit


def change_every(pattern: str, new: str) -> Edit:
    """Change all parts that a pattern finds, in all lines, at least one."""

    def edit(text: Text) -> Text:
        _places(text, pattern)
        return replace(text, lines=tuple(re.sub(pattern, new, line) for line in text.lines))

    return edit


def number(pattern: str, letter: str, turn: Callable[[float], float], nth: int = 1, digits: int = 3) -> Edit:
    """Turn the number after a letter, in the nth line with a pattern, into another."""

    def edit(text: Text) -> Text:
        place = place_of(text, pattern, nth)
        line, count = re.subn(
            rf"{letter}(-?[\d.]+)", lambda m: f"{letter}{_written(turn(float(m[1])), digits)}", text.lines[place]
        )
        if count != 1:
            raise NothingToEdit(f"{count} words {letter} in {text.lines[place]!r}")
        return spliced(text, place, place + 1, (line,))

    return edit


def numbers(pattern: str, letter: str, turn: Callable[[float], float], digits: int = 3) -> Edit:
    """Turn the number after a letter, in every line with a pattern that has it, into another; at least one."""

    def edit(text: Text) -> Text:
        lines = list(text.lines)
        found = [place for place in _places(text, pattern) if re.search(rf"{letter}-?[\d.]", lines[place])]
        if not found:
            raise NothingToEdit(f"no word {letter} in lines with {pattern!r}")
        for place in found:
            lines[place] = re.sub(
                rf"{letter}(-?[\d.]+)", lambda m: f"{letter}{_written(turn(float(m[1])), digits)}", lines[place]
            )
        return replace(text, lines=tuple(lines))

    return edit


def _written(value: float, digits: int) -> str:
    text = f"{value:.{digits}f}"
    if not digits:
        return text
    text = text.rstrip("0")
    return text + "0" if text.endswith(".") else text


def append(*lines: str) -> Edit:
    """Put lines at the very end, before a closing %."""

    def edit(text: Text) -> Text:
        end = len(text.lines) - (text.lines[-1] == "%")
        return spliced(text, end, end, lines)

    return edit


def prepend(*lines: str) -> Edit:
    """Put lines at the very beginning, after an opening %."""

    def edit(text: Text) -> Text:
        start = int(text.lines[0] == "%")
        return spliced(text, start, start, lines)

    return edit


def only(*lines: str) -> Edit:
    """Nothing but these lines."""
    return lambda text: replace(text, lines=lines)
