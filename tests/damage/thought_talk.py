"""Damage that somebody thought up, of words: for people, for the proof, for controllers that take them as they like."""

import random
import re

from line_edits import CLAIM, COMMENT, CUT, NUMBER, PLUNGE, RISE, Lines, anywhere, in_line, pick, put, where, without

# --- 5: words for people

OPPOSITES = (("left", "right"), ("toward", "away from"), ("face up", "face down"), ("bass", "treble"),
             ("nut", "bridge"), ("off", "on"), ("above", "below"), ("centre line", "bass edge"),
             ("on top of", "below"))  # fmt: skip


def head_end(lines: Lines) -> int:
    """The first line of code."""
    return next((n for n, line in enumerate(lines) if line != "%" and not COMMENT.match(line)), len(lines))


def lost_words(draw: random.Random, lines: Lines) -> Lines | None:
    """A line of the head, or what is said at a stop, is gone, or all of the head."""
    stops = [n - 1 for n in where(lines, r"^(?:N\d+ )?M0$") if n and COMMENT.match(lines[n - 1])]
    if stops and draw.random() < 0.5:
        return without(lines, draw.choice(stops))
    end = head_end(lines)
    if draw.random() < 0.2:
        return lines[end:] if lines[0] != "%" else ["%", *lines[end:]]
    return without(lines, draw.randrange(end)) if end else None


def contrary_words(draw: random.Random, lines: Lines) -> Lines | None:
    """A word becomes its opposite where people are told something."""
    for _ in range(12):
        one, other = draw.choice(OPPOSITES)
        one, other = draw.choice(((one, other), (other, one)))
        found = [n for n in where(lines, rf"\([^)]*\b{one}\b") if not CLAIM.match(lines[n])]
        if found:
            return in_line(lines, draw.choice(found), rf"\b{one}\b", other)
    return None


def other_figure_told(draw: random.Random, lines: Lines) -> Lines | None:
    """A cutter, diameter, speed or place that people are told is another."""
    found = [n for n in where(lines, r"\([^)]*(?:cutter \d|rpm|lies [\d.]+ mm|packed up)") if not CLAIM.match(lines[n])]
    n = pick(draw, found)
    if n is None:
        return None
    figures = list(re.finditer(r"(?<=[ (])\d+(?:\.\d+)?(?= (?:rpm|mm)|,| )|(?<=cutter )\d+", lines[n]))
    if not figures:
        return None
    match = draw.choice(figures)
    new = (
        str(draw.randint(1, 9))
        if "." not in match[0] and len(match[0]) < 3
        else draw.choice("123456789") + match[0][1:]
    )
    return [*lines[:n], lines[n][: match.start()] + new + lines[n][match.end() :], *lines[n + 1 :]]


def words_elsewhere(draw: random.Random, lines: Lines) -> Lines | None:
    """What is said at a stop, or in the head, is said somewhere else too, or instead."""
    said = where(lines, r"\((?:set the spindle|switch the|change to|leave the)")
    heads = [n for n in where(lines, r"\([^)]*(?:end at the|operator|X0|cutter \d+, )") if not CLAIM.match(lines[n])]
    n = pick(draw, (said or heads) if draw.random() < 0.6 else (heads or said))
    if n is None:
        return None
    kept = lines if draw.random() < 0.5 else without(lines, n)
    new = NUMBER.sub("", lines[n])
    return put(kept, anywhere(draw, kept), new)


def exchanged_words(draw: random.Random, lines: Lines) -> Lines | None:
    """Two comments change places, or a comment and the stop that it is for."""
    found = [n for n in where(lines, COMMENT) if not CLAIM.match(lines[n])]
    stops = [n for n in where(lines, r"^(?:N\d+ )?M0$") if n and COMMENT.match(lines[n - 1])]
    if stops and draw.random() < 0.6:
        n = draw.choice(stops)
        one, other = (n, n - 1) if draw.random() < 0.5 or len(stops) < 2 else (n - 1, draw.choice(stops) - 1)
    elif len(found) > 1:
        one, other = draw.sample(found, 2)
    else:
        return None
    damaged = list(lines)
    damaged[one], damaged[other] = damaged[other], damaged[one]
    return damaged


def bare_stop(draw: random.Random, lines: Lines) -> Lines | None:
    return put(lines, anywhere(draw, lines), draw.choice(("M0", "M1", "M00", "M60")))


# --- 7: claims


def feature_lines(draw: random.Random, lines: Lines) -> tuple[str, int, range] | None:
    """One feature's name and number, and the lines of its cuts."""
    named = where(lines, r"\((?:fret|face dot|side dot|trim) \d+")
    if not named:
        return None
    n = draw.choice(named)
    group, number = re.search(r"\((fret|face dot|side dot|trim) (\d+)", lines[n]).groups()
    end = next((k for k in range(n + 1, len(lines)) if COMMENT.match(lines[k]) or RISE.match(lines[k])), len(lines))
    return group, int(number), range(n, end)


def lost_cuts(draw: random.Random, lines: Lines) -> Lines | None:
    """The cuts of a feature are gone, as often as not with their claim."""
    found = feature_lines(draw, lines)
    if found is None:
        return None
    group, number, rows = found
    kept = [line for n, line in enumerate(lines) if n not in rows]
    return kept if draw.random() < 0.5 else [unclaimed(line, group, {number}) for line in kept]


def unclaimed(line: str, group: str, gone: set[int]) -> str:
    """A claim without some of its numbers."""
    match = re.search(rf"cuts={group}s((?: \d+(?:-\d+)?)+)\)", line)
    if match is None:
        return line
    parts = (part.partition("-") for part in match[1].split())
    numbers = [n for low, _, high in parts for n in range(int(low), int(high or low) + 1) if n not in gone]
    claim = f" cuts={group}s {' '.join(map(str, numbers))})" if numbers else ")"
    return line[: match.start()].rstrip() + claim


def lost_claim(draw: random.Random, lines: Lines) -> Lines | None:
    """A claim is gone, or claims nothing, less, or another thing."""
    n = pick(draw, where(lines, CLAIM))
    if n is None:
        return None
    kind = draw.randrange(5)
    if kind == 0:
        return without(lines, n)
    if kind == 1:
        return in_line(lines, n, r" cuts=[^)]*", "")
    if kind == 2:
        return in_line(lines, n, r"(\d)(?: \d+|-\d+)\)", r"\1)")
    if kind == 3:
        return in_line(lines, n, r"\)", f" {draw.randint(1, 24)})")
    return in_line(lines, n, r"cuts=(?:frets|face dots|side dots)", f"cuts={draw.choice(('frets', 'face dots'))}")


def nothing_cut(draw: random.Random, lines: Lines) -> Lines | None:
    """All that cuts is gone; the claims perhaps too."""
    kept = [line for line in lines if not CUT.match(line)]
    if draw.random() < 0.5:
        kept = [re.sub(r" cuts=[^)]*", "", line) if CLAIM.match(line) else line for line in kept]
    return kept


def lost_section(draw: random.Random, lines: Lines) -> Lines | None:
    """One cutter's section is gone with its claim."""
    claims = where(lines, CLAIM)
    if len(claims) < 2:
        return None
    n = draw.randrange(len(claims))
    end = claims[n + 1] if n + 1 < len(claims) else next(iter(where(lines, r"\bM5$")[-1:]), len(lines))
    return [*lines[: claims[n]], *lines[end:]]


# --- 8: words and bytes


def odd_word(draw: random.Random, lines: Lines) -> Lines | None:
    word = draw.choice(("M4", "M7", "M8", "M9", "M48", "M49", "G64", "G61", "G64 P0.05", "M3", "M5", "G80", "G40",
                        "M19", "M98 P100", "G68 R5", "G51 X2", "M30", "M2", "G95", "G96 S100"))  # fmt: skip
    return put(lines, anywhere(draw, lines), word)


def other_speed(draw: random.Random, lines: Lines) -> Lines | None:
    """A speed just before a plunge, another speed at the start, or the other way round."""
    starts = where(lines, r"S\d+ M3")
    if starts and draw.random() < 0.3:
        return in_line(lines, draw.choice(starts), r"M3", "M4")
    n = pick(draw, where(lines, PLUNGE))
    if n is None:
        return None
    low, high = draw.choice((8000, 10000)), draw.choice((20000, 24000))
    if draw.random() < 0.5:
        return put(lines, n, f"S{draw.choice((low, high))}")
    lowered = put(lines, n, f"S{high}")
    return put(lowered, max(n - 2, 0), f"S{low}")


def odd_byte(draw: random.Random, lines: Lines) -> Lines | None:
    """A lone CR, a blank or a tab inside a number, odd ways to write a word."""
    found = where(lines, r"^(?:N\d+ )?[GMS]\d")
    n = draw.choice(found) if found else None
    if n is None:
        return None
    kind = draw.randrange(7)
    if kind == 0:
        comments = where(lines, COMMENT)
        k = draw.choice(comments or [n])
        return [*lines[:k], lines[k] + "\r" + draw.choice(("G0 Z-20.0", "", "M5", " ")), *lines[k + 1 :]]
    if kind == 1:
        place = draw.randrange(1, len(lines[n]))
        return [
            *lines[:n],
            lines[n][:place] + draw.choice(("\r", "\t", " ", "\x0b")) + lines[n][place:],
            *lines[n + 1 :],
        ]
    if kind == 2:
        return in_line(lines, n, r"(\d)(\d|\.\d)", r"\1 \2")
    if kind == 3:
        return in_line(lines, n, r"-", "- ") if "-" in lines[n] else None
    if kind == 4:
        new = draw.choice((r"G0\1", r"G\1.0", r"G\1.", r"G0.9999", r"G \1", r"G\1.1"))
        return in_line(lines, n, r"G(\d)(?![\d.])", new)
    if kind == 5:
        return [*lines[:n], draw.choice((lines[n].lower(), "/" + lines[n], lines[n] + ";x", lines[n] + " %")),
                *lines[n + 1 :]]  # fmt: skip
    return put(lines, n, draw.choice(("#1=5", "O100", "G0 X#1", ":10", "(MSG,x)", "$H", "!", "?", "~", "M98")))
