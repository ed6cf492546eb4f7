"""Damages a program the way people, editors and serial lines do; the same seed gives the same damage.

Each kind takes a random generator and the lines of a program, and gives the damaged lines, or None
where the program has nothing of that kind.
"""

import random
import re
from collections.abc import Callable

WORD = re.compile(r"([A-Z])(-?\d+\.?\d*|-?\.\d+)")
Lines = list[str]


def spots(lines: Lines, pattern: str) -> list[tuple[int, re.Match[str]]]:
    """Every match of a pattern outside comments, with its line."""
    return [(n, match) for n, line in enumerate(lines) if "(" not in line for match in re.finditer(pattern, line)]


def replaced(lines: Lines, n: int, first: int, last: int, text: str) -> Lines:
    """The lines with one stretch of one line replaced."""
    return [*lines[:n], lines[n][:first] + text + lines[n][last:], *lines[n + 1 :]]


def pick_spot(draw: random.Random, lines: Lines, pattern: str):
    """A random match: a random line first, so that rare places are met (tried for a while), then any."""
    for _ in range(40):
        n = draw.randrange(len(lines))
        found = [] if "(" in lines[n] else list(re.finditer(pattern, lines[n]))
        if found:
            return n, draw.choice(found)
    every = spots(lines, pattern)
    return draw.choice(every) if every else None


def changed_digit(draw: random.Random, lines: Lines) -> Lines | None:
    spot = pick_spot(draw, lines, r"\d")
    if spot is None:
        return None
    n, match = spot
    return replaced(lines, n, match.start(), match.end(), draw.choice([d for d in "0123456789" if d != match[0]]))


def changed_sign(draw: random.Random, lines: Lines) -> Lines | None:
    spot = pick_spot(draw, lines, r"([XYZIJFQR])(-?)(?=\d)")
    if spot is None:
        return None
    n, match = spot
    return replaced(lines, n, match.start(2), match.end(2), "" if match[2] else "-")


def dropped_line(draw: random.Random, lines: Lines) -> Lines:
    n = draw.randrange(len(lines))
    return [*lines[:n], *lines[n + 1 :]]


def dropped_lines(draw: random.Random, lines: Lines) -> Lines:
    n, count = draw.randrange(len(lines)), draw.randint(2, 8)
    return [*lines[:n], *lines[n + count :]]


def doubled_line(draw: random.Random, lines: Lines) -> Lines:
    n = draw.randrange(len(lines))
    return [*lines[: n + 1], *lines[n:]]


def lost_point(draw: random.Random, lines: Lines) -> Lines | None:
    spot = pick_spot(draw, lines, r"(?<=\d)\.")
    return None if spot is None else replaced(lines, spot[0], spot[1].start(), spot[1].end(), "")


def moved_point(draw: random.Random, lines: Lines) -> Lines | None:
    spot = pick_spot(draw, lines, r"(\d)\.(\d)")
    if spot is None:
        return None
    n, match = spot
    return replaced(
        lines, n, match.start(), match.end(), draw.choice((f".{match[1]}{match[2]}", f"{match[1]}{match[2]}."))
    )


def swapped_words(draw: random.Random, lines: Lines) -> Lines | None:
    """The numbers of two words of a line change places."""
    spot = pick_spot(draw, lines, r"[A-Z]-?\d*\.\d*.*?[A-Z]-?\d*\.\d*")
    if spot is None:
        return None
    n = spot[0]
    one, other = sorted(draw.sample([m for m in WORD.finditer(lines[n]) if m[1] not in "NGM"], 2), key=re.Match.start)
    line = lines[n]
    text = line[: one.start(2)] + other[2] + line[one.end(2) : other.start(2)] + one[2] + line[other.end(2) :]
    return [*lines[:n], text, *lines[n + 1 :]]


def changed_letter(draw: random.Random, lines: Lines) -> Lines | None:
    """One axis' letter becomes another's."""
    spot = pick_spot(draw, lines, r"[XYZIJ](?=-?\d)")
    if spot is None:
        return None
    n, match = spot
    return replaced(lines, n, match.start(), match.end(), draw.choice([x for x in "XYZIJ" if x != match[0]]))


def lost_word(draw: random.Random, lines: Lines) -> Lines | None:
    spot = pick_spot(draw, lines, r" ?[A-Z]-?\d+\.?\d*")
    return None if spot is None else replaced(lines, spot[0], spot[1].start(), spot[1].end(), "")


def rapid_for_feed(draw: random.Random, lines: Lines) -> Lines | None:
    spot = pick_spot(draw, lines, r"G1(?= )")
    return None if spot is None else replaced(lines, spot[0], spot[1].start(), spot[1].end(), "G0")


def feed_for_rapid(draw: random.Random, lines: Lines) -> Lines | None:
    every = spots(lines, r"G0(?= )")
    if not every:
        return None
    n, match = draw.choice(every)
    return replaced(lines, n, match.start(), match.end(), "G1")


def lost_start(draw: random.Random, lines: Lines) -> Lines | None:
    """A lost F, S, M3, M5, M0, G4, M6 or length."""
    kind = draw.choice(
        (r" ?F[\d.]+", r" ?S[\d.]+", r" ?M3", r" ?M5", r" ?M0", r"G4 P[\d.]+", r" ?M6", r"G43 H\d+", r"T\d+")
    )
    every = spots(lines, kind + r"(?![\d.])")
    if not every:
        return None
    n, match = draw.choice(every)
    return replaced(lines, n, match.start(), match.end(), "")


def other_rate(draw: random.Random, lines: Lines) -> Lines | None:
    """A digit more or less in an F, S, P or Q."""
    every = spots(lines, r"(?<=[FSPQ])\d+")
    if not every:
        return None
    n, match = draw.choice(every)
    number = match[0] + "0" if draw.random() < 0.5 else match[0][:-1] or "0"
    return replaced(lines, n, match.start(), match.end(), number)


def other_mode(draw: random.Random, lines: Lines) -> Lines | None:
    """Units, absolute and incremental, planes, return levels, spindle's sense."""
    swap = {"G20": "G21", "G21": "G20", "G90": "G91", "G17": "G18", "G98": "G99", "G99": "G98", "M3": "M4", "M5": "M3",
            "G94": "G93", "G83": "G82", "G82": "G81", "M2": "M0", "M30": "M3", "M0": "M1", "G54": "G55"}  # fmt: skip
    every = spots(lines, r"\b(?:" + "|".join(swap) + r")\b")
    if not every:
        return None
    code = draw.choice(sorted({match[0] for _, match in every}))
    n, match = draw.choice([spot for spot in every if spot[1][0] == code])
    return replaced(lines, n, match.start(), match.end(), swap[code])


def cut_off_tail(draw: random.Random, lines: Lines) -> Lines:
    """The end is missing, perhaps in the middle of a line."""
    n = draw.randrange(1, len(lines)) if draw.random() < 0.6 else len(lines) - draw.randint(1, min(6, len(lines) - 1))
    return [*lines[:n], lines[n][: draw.randint(1, len(lines[n]))]] if draw.random() < 0.5 and lines[n] else lines[:n]


def lost_head(draw: random.Random, lines: Lines) -> Lines:
    n = draw.randrange(1, min(60, len(lines)))
    return lines[n:]


def other_sense(draw: random.Random, lines: Lines) -> Lines | None:
    """G2 becomes G3, and back."""
    every = spots(lines, r"G[23](?= )")
    if not every:
        return None
    n, match = draw.choice(every)
    return replaced(lines, n, match.start(), match.end(), {"G2": "G3", "G3": "G2"}[match[0]])


def exchanged_lines(draw: random.Random, lines: Lines) -> Lines:
    """Two neighbouring lines, or two lines near each other, change places."""
    n = draw.randrange(len(lines) - 1)
    other = min(len(lines) - 1, n + (1 if draw.random() < 0.6 else draw.randint(2, 30)))
    damaged = list(lines)
    damaged[n], damaged[other] = damaged[other], damaged[n]
    return damaged


def joined_line(draw: random.Random, lines: Lines) -> Lines:
    n = draw.randrange(len(lines) - 1)
    return [*lines[:n], lines[n] + draw.choice(("", " ")) + lines[n + 1], *lines[n + 2 :]]


def split_line(draw: random.Random, lines: Lines) -> Lines | None:
    n = draw.randrange(len(lines))
    if len(lines[n]) < 2:
        return None
    place = draw.randrange(1, len(lines[n]))
    return [*lines[:n], lines[n][:place], lines[n][place:], *lines[n + 1 :]]


def garbled_byte(draw: random.Random, lines: Lines) -> Lines | None:
    """One bit of one byte is wrong."""
    n = draw.randrange(len(lines))
    if not lines[n]:
        return None
    place = draw.randrange(len(lines[n]))
    byte = ord(lines[n][place]) ^ (1 << draw.randrange(8))
    return None if byte in (10, 13) else replaced(lines, n, place, place + 1, chr(byte))


def lost_or_doubled_character(draw: random.Random, lines: Lines) -> Lines | None:
    n = draw.randrange(len(lines))
    if not lines[n]:
        return None
    place = draw.randrange(len(lines[n]))
    return replaced(lines, n, place, place + 1, "" if draw.random() < 0.5 else lines[n][place] * 2)


def changed_comment(draw: random.Random, lines: Lines) -> Lines | None:
    """A character of a comment is another; a header line as often as any other."""
    headers = [n for n, line in enumerate(lines) if "(setup=" in line]
    comments = [n for n, line in enumerate(lines) if "(" in line]
    n = draw.choice(headers if headers and draw.random() < 0.5 else comments) if comments else -1
    if n < 0:
        return None
    place = draw.randrange(len(lines[n]))
    return replaced(lines, n, place, place + 1, draw.choice("0123456789abcxyz ()=-,"))


KINDS: dict[str, Callable[[random.Random, Lines], Lines | None]] = {
    "changed digit": changed_digit,
    "changed sign": changed_sign,
    "dropped line": dropped_line,
    "dropped lines": dropped_lines,
    "doubled line": doubled_line,
    "lost point": lost_point,
    "moved point": moved_point,
    "swapped words": swapped_words,
    "changed letter": changed_letter,
    "lost word": lost_word,
    "G0 for G1": rapid_for_feed,
    "G1 for G0": feed_for_rapid,
    "lost F, S, M3 ...": lost_start,
    "other F, S, P, Q": other_rate,
    "other mode": other_mode,
    "cut-off tail": cut_off_tail,
    "lost head": lost_head,
    "arc's sense": other_sense,
    "lines exchanged": exchanged_lines,
    "joined line": joined_line,
    "split line": split_line,
    "garbled byte": garbled_byte,
    "lost, doubled char": lost_or_doubled_character,
    "changed comment": changed_comment,
}


def damage(text: bytes, seed: str) -> tuple[str, bytes] | None:
    """Damage a program: the kind of damage and the new text; None where this seed finds nothing to damage."""
    draw = random.Random(seed)
    kind = draw.choice(sorted(KINDS))
    lines = text.decode("ascii").split("\n")[:-1]
    damaged = KINDS[kind](draw, lines)
    if damaged is None or damaged == lines:
        return None
    return kind, ("\n".join(damaged) + "\n").encode("latin-1")
