"""Damage to pockets that somebody thought up: what is left out of them, moved, or cut too deep at once.

Each kind takes a random generator and the lines of a program, and gives the damaged lines, or None.
"""

import random
import re

from line_edits import CUT, RISE, Change, Lines, in_inches, in_line, pick, plain, put, without

WORD = r"(?<=%s)-?\d+\.\d*"
LEVEL = re.compile(r"Z(-\d+\.\d*)")
# a few thousandths, as often as what anybody sees, mm
NUDGES = (0.003, 0.005, 0.01, 0.02, 0.05, 0.3)


def pocket_lines(lines: Lines) -> list[int]:
    """The lines that cut between two rises: of all stretches the longest, or nothing."""
    stretches: list[list[int]] = [[]]
    for n, line in enumerate(lines):
        if RISE.match(line):
            stretches.append([])
        elif CUT.match(line):
            stretches[-1].append(n)
    return [n for stretch in stretches for n in stretch if len(stretch) > 8]


def stretch_of(draw: random.Random, lines: Lines, most: int) -> list[int]:
    """Some lines of cuts, one after another."""
    cuts = pocket_lines(lines)
    if not cuts:
        return []
    first = draw.randrange(len(cuts))
    return cuts[first : first + draw.randint(1, most)]


def lost_ring(draw: random.Random, lines: Lines) -> Lines | None:
    """A ring, or some of it, is left out; the cutter goes straight over."""
    some = stretch_of(draw, lines, 120)
    return without(lines, *some) if some else None


def nudged_place(draw: random.Random, lines: Lines) -> Lines | None:
    """A corner lies a little beside its place."""
    cuts = [n for n in pocket_lines(lines) if re.search(r"[XY]-?\d", lines[n])]
    n = pick(draw, cuts)
    if n is None:
        return None
    axis = draw.choice([each for each in "XY" if f"{each}" in lines[n]])
    by = draw.choice(NUDGES) * draw.choice((-1, 1)) / (25.4 if in_inches(lines) else 1)
    digits = 4 if in_inches(lines) else 3
    return in_line(lines, n, WORD % axis, lambda found: plain(float(found[0]) + by, digits))


def moved_level(draw: random.Random, lines: Lines) -> Lines | None:
    """A stretch of cuts, or all from a place on, lie higher or lower."""
    cuts = [n for n in stretch_of(draw, lines, 400) if LEVEL.search(lines[n])]
    if not cuts:
        return None
    by = draw.choice((-0.5, -0.1, -0.03, -0.02, -0.012, 0.012, 0.02, 0.03, 0.1)) / (25.4 if in_inches(lines) else 1)
    changed = list(lines)
    for n in cuts[: draw.choice((1, 3, len(cuts)))]:
        changed[n] = re.sub(WORD % "Z", lambda found: plain(float(found[0]) + by, 4), changed[n], count=1)
    return changed


def straight_down(draw: random.Random, lines: Lines) -> Lines | None:
    """A ramp or a helix is gone: the cutter goes down at once to where it ended."""
    cuts = pocket_lines(lines)
    ramps = [n for n in cuts if LEVEL.search(lines[n])]
    n = pick(draw, ramps)
    if n is None:
        return None
    last = n
    while last + 1 < len(lines) and LEVEL.search(lines[last + 1]) and CUT.match(lines[last + 1]):
        last += 1
    height = LEVEL.search(lines[last])[1]
    return put(
        without(lines, *range(n, last)), n, f"G1 Z{height} F100.0" if not in_inches(lines) else f"G1 Z{height} F4.0"
    )


def levels_at_once(draw: random.Random, lines: Lines) -> Lines | None:
    """A whole level is left out, so that the next takes two bites."""
    heights = list(dict.fromkeys(LEVEL.search(lines[n])[1] for n in pocket_lines(lines) if LEVEL.search(lines[n])))
    if len(heights) < 2:
        return None
    level = [n for n in pocket_lines(lines) if f"Z{draw.choice(heights)}" in lines[n]]
    following = [n for n in pocket_lines(lines) if level and n > level[0] and LEVEL.search(lines[n])]
    if not following:
        return None
    level = [n for n in range(level[0], draw.choice(following[:40])) if CUT.match(lines[n])]
    return without(lines, *level)


def across(draw: random.Random, lines: Lines) -> Lines | None:
    """From a place of one cut straight to a place of another, through whatever lies between."""
    cuts = [n for n in pocket_lines(lines) if re.search(r"X-?\d.* Y-?\d", lines[n])]
    if len(cuts) < 2:
        return None
    here, there = draw.sample(cuts, 2)
    place = re.search(r"X-?[\d.]+ Y-?[\d.]+", lines[there])
    return put(lines, here + 1, f"G1 {place[0]}") if place else None


POCKET_DAMAGE: dict[str, Change] = {
    "9 lost ring": lost_ring, "9 nudged place": nudged_place, "9 moved level": moved_level,
    "9 straight down": straight_down, "9 levels at once": levels_at_once, "9 across": across,
}  # fmt: skip


def pocket_damage(text: bytes, seed: str) -> tuple[str, bytes] | None:
    """Damage a program that cuts pockets; the same seed gives the same damage."""
    draw = random.Random(f"pocket {seed}")
    kind = draw.choice(sorted(POCKET_DAMAGE))
    lines = text.decode("ascii").split("\n")[:-1]
    damaged = POCKET_DAMAGE[kind](draw, lines)
    if damaged is None or damaged == lines:
        return None
    return kind, ("\n".join(damaged) + "\n").encode("latin-1")
