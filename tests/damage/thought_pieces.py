"""Damage to pieces that somebody thought up: cut the wrong way round, elsewhere, not free, in another order.

Each kind takes a random generator and the lines of a program, and gives the damaged lines, or None.
"""

import math
import random
import re
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from line_edits import COMMENT, NUMBER, RISE, Change, Lines, in_inches, pick, plain, where, without

CUT = re.compile(r"^(?:N\d+ )?G[0-3] ")
NAMED = re.compile(r"^(?:N\d+ )?\(([^=()]+)\)$")
PLACE = re.compile(r"\(place=(\d+)/(\d+)/([-\d.]+)/([-\d.]+)/([-\d.]+)\)")
# as often as what anybody sees, what nobody does: mm, and degrees
NUDGES = (0.02, 0.03, 0.05, 0.3, 5.0)
TURNS = (1.0, -1.0, 0.5, 90.0, 180.0)


@dataclass(frozen=True)
class Block:
    """The lines of one cut, from its name up to the next."""

    name: str
    first: int
    last: int


def blocks(lines: Lines) -> list[Block]:
    """The cuts of a program, each from its name to its last rise."""
    begins = [n for n in where(lines, NAMED) if n + 1 < len(lines) and CUT.match(lines[n + 1])]
    found = []
    for begin, end in zip(begins, [*begins[1:], len(lines)], strict=True):
        rises = [n for n in range(begin, end) if RISE.match(lines[n])]
        if rises:
            found.append(Block(NAMED.match(lines[begin])[1], begin, rises[-1] + 1))
    return found


def words(line: str) -> dict[str, float]:
    """The numbers of a line by letter."""
    return {letter: float(value) for letter, value in re.findall(r"([XYZIJ])(-?\d*\.?\d+)", line)}


def moved(lines: Lines, block: Block, by: tuple[np.ndarray, np.ndarray]) -> Lines:
    """A block with its places turned or stretched about its own middle, and then shifted (in the program's unit)."""
    matrix, shift = by
    digits = 4 if in_inches(lines) else 3
    own = [words(lines[n]) for n in range(block.first, block.last) if CUT.match(lines[n])]
    xs, ys = ([each[axis] for each in own if axis in each] for axis in "XY")
    if not xs or not ys:
        return lines
    middle = np.array([(min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2])
    mirrored = np.linalg.det(matrix) < 0
    at, changed = np.array([xs[0], ys[0]]), list(lines)
    for n in range(block.first, block.last):
        given = words(lines[n])
        if not CUT.match(lines[n]) or not {"X", "Y"} & given.keys():
            continue
        at = np.array([given.get("X", at[0]), given.get("Y", at[1])])
        x, y = matrix @ (at - middle) + middle + shift
        number = (NUMBER.match(lines[n]) or [""])[0]
        text = re.sub(r" [XYIJ]-?[\d.]+", "", lines[n][len(number) :])
        code, _, rest = text.partition(" ")
        if mirrored:
            code = {"G2": "G3", "G3": "G2"}.get(code, code)
        line = f"{code} X{plain(x, digits)} Y{plain(y, digits)}" + (f" {rest}" if rest else "")
        if code in ("G2", "G3"):
            i, j = matrix @ (given.get("I", 0.0), given.get("J", 0.0))
            feed = re.search(r" F[\d.]+$", line)
            line = (
                re.sub(r" F[\d.]+$", "", line) + f" I{plain(i, digits)} J{plain(j, digits)}" + (feed[0] if feed else "")
            )
        changed[n] = number + line
    return changed


def _one(draw: random.Random, lines: Lines) -> Block | None:
    found = blocks(lines)
    return draw.choice(found) if found else None


def _turn(degrees: float) -> np.ndarray:
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[cosine, -sine], [sine, cosine]])


def _way(draw: random.Random, lines: Lines, length_mm: float) -> np.ndarray:
    angle = draw.choice((0.0, 90.0, 180.0, 270.0, draw.uniform(0, 360)))
    return _turn(angle)[:, 0] * length_mm / (25.4 if in_inches(lines) else 1)


def _changed(change: Callable[[random.Random, Lines, Block], tuple[np.ndarray, np.ndarray]]) -> Change:
    def damage(draw: random.Random, lines: Lines) -> Lines | None:
        block = _one(draw, lines)
        return None if block is None else moved(lines, block, change(draw, lines, block))

    return damage


@_changed
def mirrored(draw: random.Random, lines: Lines, block: Block):
    """A piece is cut the other side up."""
    return draw.choice((np.diag([-1.0, 1.0]), np.diag([1.0, -1.0]))), np.zeros(2)


@_changed
def turned(draw: random.Random, lines: Lines, block: Block):
    """It is cut a little turned."""
    return _turn(draw.choice(TURNS)), np.zeros(2)


@_changed
def shifted(draw: random.Random, lines: Lines, block: Block):
    """It is cut beside its place."""
    return np.eye(2), _way(draw, lines, draw.choice(NUDGES))


@_changed
def on_another_blank(draw: random.Random, lines: Lines, block: Block):
    """It is cut a blank further on."""
    return np.eye(2), np.array([draw.choice((1, -1)) * draw.choice((50.0, 70.0, 100.0)), 0.0])


@_changed
def grown(draw: random.Random, lines: Lines, block: Block):
    """It is cut larger or smaller, by two hundredths on a side and more."""
    xs = [words(lines[n])["X"] for n in range(block.first, block.last) if "X" in words(lines[n])]
    half_mm = max(0.5, (max(xs, default=1.0) - min(xs, default=0.0)) / 2 * (25.4 if in_inches(lines) else 1))
    share = 1 + draw.choice((-1, 1)) * draw.choice(NUDGES[:3]) / half_mm
    return np.eye(2) * share, np.zeros(2)


def exchanged_blocks(draw: random.Random, lines: Lines) -> Lines | None:
    """Two cuts change their order: a hole comes after its outside as often as not."""
    found = blocks(lines)
    if len(found) < 2:
        return None
    holes = [n for n, block in enumerate(found[:-1]) if " hole" in block.name]
    n = draw.choice(holes) if holes and draw.random() < 0.7 else draw.randrange(len(found) - 1)
    one, other = found[n], found[n + 1]
    return [
        *lines[: one.first],
        *lines[other.first : other.last],
        *lines[one.first : other.first],
        *lines[other.last :],
    ]


def exchanged_names(draw: random.Random, lines: Lines) -> Lines | None:
    """Two cuts change their names."""
    found = blocks(lines)
    if len(found) < 2:
        return None
    one, other = draw.sample(found, 2)
    changed = list(lines)
    changed[one.first], changed[other.first] = changed[other.first], changed[one.first]
    return changed


def left_out(draw: random.Random, lines: Lines) -> Lines | None:
    """A cut is left out."""
    block = _one(draw, lines)
    return None if block is None else without(lines, *range(block.first, block.last))


def doubled(draw: random.Random, lines: Lines) -> Lines | None:
    """A cut is made twice, elsewhere as often as not."""
    block = _one(draw, lines)
    if block is None:
        return None
    again = lines if draw.random() < 0.3 else moved(lines, block, (np.eye(2), _way(draw, lines, draw.choice(NUDGES))))
    return [*lines[: block.last], *again[block.first : block.last], *lines[block.last :]]


def round_cut_short(draw: random.Random, lines: Lines) -> Lines | None:
    """The last moves before the cutter rises are gone."""
    block = _one(draw, lines)
    if block is None:
        return None
    cuts = [n for n in range(block.first, block.last) if re.match(r"^(?:N\d+ )?G[123] .*[XY]", lines[n])]
    return without(lines, *cuts[-draw.choice((1, 2, 5, 12)) :]) if cuts else None


def other_floor(draw: random.Random, lines: Lines) -> Lines | None:
    """A cut, or all, ends higher than it should, or lower: not through, too deep into what lies below."""
    found = blocks(lines)
    if not found:
        return None
    some = found if draw.random() < 0.4 else [draw.choice(found)]
    by = draw.choice((-0.5, -0.1, -0.03, 0.03, 0.1, 0.15, 0.3, 0.5)) / (25.4 if in_inches(lines) else 1)
    changed = list(lines)
    for block in some:
        heights = [words(lines[n])["Z"] for n in range(block.first, block.last) if "Z" in words(lines[n])]
        for n in range(block.first, block.last):
            if words(lines[n]).get("Z") == min(heights):
                changed[n] = re.sub(r"Z-?[\d.]+", f"Z{plain(min(heights) + by, 4)}", lines[n])
    return changed


def levels_exchanged(draw: random.Random, lines: Lines) -> Lines | None:
    """All that stands at one height of a cut stands at another: tabs are lost, or the piece is not freed."""
    block = _one(draw, lines)
    if block is None:
        return None
    heights = sorted({words(lines[n])["Z"] for n in range(block.first, block.last) if words(lines[n]).get("Z", 1) < 0})
    if len(heights) < 2:
        return None
    one, other = draw.sample(heights, 2)
    changed = list(lines)
    for n in range(block.first, block.last):
        if words(lines[n]).get("Z") == one:
            changed[n] = re.sub(r"Z-?[\d.]+", f"Z{other:.4f}", lines[n])
    return changed


def lost_stretch(draw: random.Random, lines: Lines) -> Lines | None:
    """A stretch of a cut, from one rise to the next, is gone: a section between tabs, or a hole's round."""
    block = _one(draw, lines)
    if block is None:
        return None
    rises = [n for n in range(block.first + 1, block.last) if RISE.match(lines[n])]
    n = draw.randrange(len(rises)) if rises else 0
    return without(lines, *range(rises[n - 1] + 1 if n else block.first + 1, rises[n] + 1)) if rises else None


def other_place(draw: random.Random, lines: Lines) -> Lines | None:
    """A head claims another place, blank or turn; or two pieces change theirs."""
    found = [n for n in where(lines, COMMENT) if PLACE.search(lines[n])]
    n = pick(draw, found)
    if n is None:
        return None
    number, blank, x, y, turn = PLACE.search(lines[n]).groups()
    if len(found) > 1 and draw.random() < 0.4:
        other = draw.choice([each for each in found if each != n])
        swapped, changed = PLACE.search(lines[other])[1], list(lines)
        changed[n] = lines[n].replace(f"place={number}/", f"place={swapped}/")
        changed[other] = lines[other].replace(f"place={swapped}/", f"place={number}/")
        return changed
    new = draw.choice((
        (number, str(int(blank) + 1), x, y, turn),
        (number, blank, f"{float(x) + draw.choice(NUDGES):.3f}", y, turn),
        (number, blank, x, y, f"{(float(turn) + draw.choice((1, 90, 180))) % 360:.1f}"),
    ))  # fmt: skip
    changed = list(lines)
    changed[n] = lines[n].replace("/".join((number, blank, x, y, turn)), "/".join(new))
    return changed


def other_claim(draw: random.Random, lines: Lines) -> Lines | None:
    """A claim of a place, of a fit or of the row is gone, or says something else."""
    found = [n for n in where(lines, COMMENT) if re.search(r"\((place|fits|row)=", lines[n])]
    n = pick(draw, found)
    if n is None:
        return None
    if draw.random() < 0.5:
        return without(lines, n)
    changed = list(lines)
    figures = list(re.finditer(r"\d+", lines[n]))
    figure = draw.choice(figures)
    changed[n] = lines[n][: figure.start()] + str(int(figure[0]) + 1).zfill(len(figure[0])) + lines[n][figure.end() :]
    return changed


PIECE_DAMAGE: dict[str, Change] = {
    "10 mirrored": mirrored, "10 turned": turned, "10 shifted": shifted, "10 on another blank": on_another_blank,
    "10 grown": grown, "10 exchanged blocks": exchanged_blocks, "10 exchanged names": exchanged_names,
    "10 left out": left_out, "10 doubled": doubled, "10 round cut short": round_cut_short,
    "10 other floor": other_floor, "10 levels exchanged": levels_exchanged, "10 lost stretch": lost_stretch,
    "10 other place": other_place, "10 other claim": other_claim,
}  # fmt: skip


def piece_damage(text: bytes, seed: str) -> tuple[str, bytes] | None:
    """Damage a program that cuts pieces, or their pockets; the same seed gives the same damage."""
    draw = random.Random(f"piece {seed}")
    kind = draw.choice(sorted(PIECE_DAMAGE))
    lines = text.decode("ascii").split("\n")[:-1]
    damaged = PIECE_DAMAGE[kind](draw, lines)
    if damaged is None or damaged == lines:
        return None
    return kind, ("\n".join(damaged) + "\n").encode("latin-1")
