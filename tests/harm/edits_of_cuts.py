"""Edits of larger things than lines: whole cuts by their names, words that people read, bytes."""

import re
import textwrap
from collections.abc import Callable

from edits import NUMBER_ROOM, Edit, NothingToEdit, Text, place_of, spliced

# --- cuts by their names


def _feature(text: Text, name: str) -> tuple[int, int]:
    """Where the cut of a feature begins and ends: from its comment to the next comment or the spindle's stop."""
    first = place_of(text, rf"^\({name}", 1)
    last = next(place for place in range(first + 1, len(text.lines)) if re.match(r"\(|M5|M0|M2|M30", text.lines[place]))
    return first, last


def drop_feature(name: str) -> Edit:
    """Leave the cut of a feature out."""

    def edit(text: Text) -> Text:
        return spliced(text, *_feature(text, name), ())

    return edit


def repeat_feature(name: str) -> Edit:
    """Cut a feature once more."""

    def edit(text: Text) -> Text:
        first, last = _feature(text, name)
        return spliced(text, last, last, text.lines[first:last])

    return edit


def swap_features(name: str, following: str) -> Edit:
    """Cut a feature after the one that comes next."""

    def edit(text: Text) -> Text:
        first, middle = _feature(text, name)
        second, last = _feature(text, following)
        if second != middle:
            raise NothingToEdit(f"{following} does not follow {name}")
        return spliced(text, first, last, text.lines[middle:last] + text.lines[first:middle])

    return edit


# --- words that people read: a comment may go on in lines that begin with "(- "


def _comments(text: Text) -> list[tuple[int, int, str]]:
    """All comments that stand alone: first line, line after the last, words."""
    found: list[tuple[int, int, str]] = []
    for place, line in enumerate(text.lines):
        inside = re.fullmatch(r"\((.*)\)", line)
        if inside is None:
            continue
        if inside[1].startswith("- ") and found and found[-1][1] == place:
            first, _, words = found[-1]
            found[-1] = (first, place + 1, f"{words} {inside[1][2:]}")
        else:
            found.append((place, place + 1, inside[1]))
    return found


def _comment(text: Text, words: str, nth: int) -> tuple[int, int, str]:
    found = [each for each in _comments(text) if re.search(words, each[2])]
    if not found or not -len(found) <= nth <= len(found):
        raise NothingToEdit(f"{len(found)} comments with {words!r}, not {nth}")
    return found[nth - 1 if nth > 0 else nth]


def _wrapped(words: str, text: Text) -> tuple[str, ...]:
    room = text.limit - 2 - (NUMBER_ROOM if text.numbered else 0)
    lines = textwrap.wrap(words, room, subsequent_indent="- ", break_on_hyphens=False)
    return tuple(f"({line})" for line in lines)


def reword(words: str, new: str, nth: int = 1) -> Edit:
    """Change words of the nth comment that holds them, and break its lines anew."""

    def edit(text: Text) -> Text:
        first, last, old = _comment(text, words, nth)
        return spliced(text, first, last, _wrapped(re.sub(words, new, old, count=1), text))

    return edit


def forget(words: str, nth: int = 1) -> Edit:
    """Take the nth comment that holds words out, with all its lines."""

    def edit(text: Text) -> Text:
        first, last, _ = _comment(text, words, nth)
        return spliced(text, first, last, ())

    return edit


def remark(words: str, anchor: str, nth: int = 1) -> Edit:
    """Put a comment before the comment that holds ``anchor``."""

    def edit(text: Text) -> Text:
        first, _, _ = _comment(text, anchor, nth)
        return spliced(text, first, first, _wrapped(words, text))

    return edit


# --- bytes, where lines are not enough


def in_bytes(old: bytes, new: bytes) -> Callable[[bytes], bytes]:
    """Change the first place of the written program that holds these bytes."""

    def edit(program: bytes) -> bytes:
        if old not in program:
            raise NothingToEdit(f"no {old!r}")
        return program.replace(old, new, 1)

    return edit


def in_all_bytes(old: bytes, new: bytes) -> Callable[[bytes], bytes]:
    """Change every place of the written program that holds these bytes, at least one."""

    def edit(program: bytes) -> bytes:
        if old not in program:
            raise NothingToEdit(f"no {old!r}")
        return program.replace(old, new)

    return edit


def as_written(program: bytes) -> bytes:
    """Leave the bytes alone."""
    return program
