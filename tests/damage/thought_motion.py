"""Damage that somebody thought up, of motion: what is unknown, other zeros, lengths, bed and clamps, scorching."""

import random
import re

from line_edits import (
    CLAIM,
    CUT,
    NUMBER,
    RISE,
    STOP,
    Lines,
    anywhere,
    in_inches,
    in_line,
    mm,
    pick,
    plain,
    put,
    where,
    without,
)

STEP = {False: 0.001, True: 0.0001}  # a least step, by whether it is in inches

# --- 1: what is unknown


def lost_rise(draw: random.Random, lines: Lines) -> Lines | None:
    """The first rise of a section is gone, or too low, or the whole first rise is a move down."""
    stops = [-1, *where(lines, STOP)]
    after = draw.choice(stops)
    rise = next((n for n in where(lines, RISE) if n > after), None)
    if rise is None:
        return None
    kind = draw.randrange(4)
    if kind == 0:
        return without(lines, rise)
    return in_line(lines, rise, r"Z[\d.]+", "Z" + mm(lines, draw.choice((8, 3, 0.5, -3, -20, 1))))


def blind_move(draw: random.Random, lines: Lines) -> Lines | None:
    """A move before the first rise, or behind it before X and Y are stated."""
    rises = where(lines, RISE)
    if not rises:
        return None
    move = draw.choice((f"G0 Z{mm(lines, draw.choice((-20, -1, 2, 8)))}", f"G0 X{mm(lines, 20)} Y{mm(lines, 0)}",
                        f"G1 Z{mm(lines, -2)} F{mm(lines, 100)}", f"G0 X{mm(lines, 50)}"))  # fmt: skip
    return put(lines, rises[0] + draw.randint(0, 1), move)


def mode_at_a_stop(draw: random.Random, lines: Lines) -> Lines | None:
    """Another mode where people were at the machine, or where a section begins."""
    places = where(lines, STOP) + where(lines, CLAIM)
    n = pick(draw, places)
    code = draw.choice(("G91", "G20", "G21", "G18", "G19", "G93", "G95", "G55", "G59", "G41", "G90.1", "G91.1", "G64"))
    return None if n is None else put(lines, n + 1, code)


def mode_anywhere(draw: random.Random, lines: Lines) -> Lines | None:
    code = draw.choice(("G91", "G20", "G21", "G18", "G93", "G55", "G90", "G17", "G94", "G54", "G40", "G80"))
    return put(lines, anywhere(draw, lines), code)


def lost_mode(draw: random.Random, lines: Lines) -> Lines | None:
    """One of the head's modes is not stated."""
    found = where(lines, r"^(?:N\d+ )?G(?:17|20|21|40|90|94|54)\b")
    n = pick(draw, found)
    if n is None:
        return None
    word = draw.choice(re.findall(r"G[\d.]+", lines[n]))
    left = re.sub(rf" ?{word}\b", "", lines[n]).strip()
    return [*lines[:n], *([left] if re.search(r"G", left) else []), *lines[n + 1 :]]


def half_a_place(draw: random.Random, lines: Lines) -> Lines | None:
    """A first place in XY of which X or Y is gone."""
    found = where(lines, r"^(?:N\d+ )?G0 X-?[\d.]+ Y-?[\d.]+$")
    starts = [next((n for n in found if n > rise), None) for rise in [0, *where(lines, STOP)]]
    n = draw.choice([each for each in starts if each is not None] or [None])
    if n is None:
        return None
    gone = draw.choice((r" X-?[\d.]+", r" Y-?[\d.]+"))
    both = [k for k in (n, n + 1) if k in found]  # a place is come to from one side
    return [re.sub(gone, "", line) if k in both else line for k, line in enumerate(lines)]


# --- 2: other zeros


def other_zero(draw: random.Random, lines: Lines) -> Lines | None:
    depth = mm(lines, draw.choice((-20, -5, -1, 0)))
    code = draw.choice((
        f"G53 G0 Z{depth}", f"G0 G53 Z{depth}", f"G53 G1 Z{depth}", "G28", f"G28 Z{mm(lines, 0)}", f"G30 Z{depth}",
        "G30",
        f"G92 Z{mm(lines, 5)}", f"G92 X{mm(lines, 0)} Y{mm(lines, 0)}", "G92.1", "G92.2", "G92.3", "G28.1",
        f"G10 L2 P1 Z{depth}", f"G10 L20 P1 Z{depth}", f"G52 Z{depth}", f"G52 X{mm(lines, 3)}",
    ))  # fmt: skip
    return put(lines, anywhere(draw, lines), code)


# --- 3: cutters and their lengths


def other_length(draw: random.Random, lines: Lines) -> Lines | None:
    """A length is lost, another's, taken off, or given again."""
    own = where(lines, r"G43 H\d+")
    kind = draw.randrange(5)
    if kind == 0 or not own:
        code = draw.choice(("G49", "G17 G40 G49 G80 G90", "G43 H1", "G43 H9", "G49 G0 Z" + mm(lines, 20)))
        return put(lines, anywhere(draw, lines), code)
    n = pick(draw, own)
    if kind == 1:
        return in_line(lines, n, r"G43 H\d+", draw.choice(("G49", "G43 H7", "G43 H0", "G43", "G43 H1")))
    if kind == 2:
        return in_line(lines, n, r" ?G43 H\d+", "")
    again = draw.choice((f"G43 H{draw.randint(1, 6)}", NUMBER.sub("", lines[n])))
    return put(lines, anywhere(draw, lines), again)


def other_change(draw: random.Random, lines: Lines) -> Lines | None:
    """A change of cutter is lost, moved, doubled, another's; with the spindle on, or the cutter down."""
    own = where(lines, r"T\d+ M6")
    if not own:
        return put(lines, anywhere(draw, lines), draw.choice(("T2 M6", "T1 M6", "M6", "T2")))
    n, kind = pick(draw, own), draw.randrange(5)
    if kind == 0:
        return without(lines, n)
    if kind == 1:
        return in_line(lines, n, r"T\d+", f"T{draw.randint(1, 6)}")
    if kind == 2:
        return put(lines, anywhere(draw, lines), f"T{draw.randint(1, 5)} M6")
    before = [k for k in range(max(0, n - 5), n) if re.search(r"M5$|G0 Z", lines[k])]
    return without(lines, draw.choice(before)) if before else None


# --- 4: bed and clamps


def beside_the_board(draw: random.Random, lines: Lines) -> Lines | None:
    """From a rise to some place on the bed, down, and up again."""
    rises = where(lines, RISE)
    n = pick(draw, rises[1:])
    if n is None:
        return None
    up = NUMBER.sub("", lines[n])
    x, y = draw.uniform(-75, 560), draw.choice((-1, 1)) * draw.choice((draw.uniform(0, 40), draw.uniform(30, 95)))
    z = draw.choice((-40, -20, -8, -5.5, -2, 0.5, 2))
    down = f"G0 Z{mm(lines, z)}" if draw.random() < 0.6 else f"G1 Z{mm(lines, z)} F{mm(lines, 100)}"
    return put(lines, n + 1, f"G0 X{mm(lines, x)} Y{mm(lines, y)}", down, up)


def low_traverse(draw: random.Random, lines: Lines) -> Lines | None:
    """A rise that is not high, or none, before the way to the next place; or a traverse fed low."""
    rises = where(lines, RISE)
    n = pick(draw, rises[1:])
    if n is None:
        return None
    if draw.random() < 0.4:
        return in_line(lines, n, r"Z[\d.]+", f"Z{mm(lines, draw.choice((0.2, 1, 2, 4)))}")
    x, y, up = draw.uniform(-75, 400), draw.uniform(-90, 90), NUMBER.sub("", lines[n])
    word, feed = draw.choice((("G0", ""), ("G1", f" F{mm(lines, 500)}")))
    return put(lines, n, f"{word} X{mm(lines, x)} Y{mm(lines, y)}{feed}", up)


def deeper_end(draw: random.Random, lines: Lines) -> Lines | None:
    """The last depths before a rise are much deeper, or the rise has lost, or won, a sign."""
    n = pick(draw, where(lines, RISE)[1:])
    if n is None:
        return None
    if draw.random() < 0.5:
        return in_line(lines, n, r"Z", "Z-")
    low = [k for k in range(max(0, n - 12), n) if re.search(r"Z-", lines[k])]
    if not low:
        return None
    return in_line(lines, low[-1], r"Z-[\d.]+", f"Z-{mm(lines, draw.choice((7, 12, 30, 60)))}")


# --- 6: scorching


def slower(draw: random.Random, lines: Lines) -> Lines | None:
    """One feed, or all of them, in another unit or by a wrong factor."""
    factor = draw.choice((1 / 20, 1 / 10, 1 / 50, 1 / 25.4, 1 / 60, 1 / 3, 1 / 2, 1 / 6))
    found = where(lines, r"^[^(]*F[\d.]+")
    if not found:
        return None

    def fed(match: re.Match) -> str:
        return "F" + plain(max(float(match[1]) * factor, 0.1))

    chosen = set(found) if draw.random() < 0.2 else {draw.choice(found)}
    return [re.sub(r"F([\d.]+)", fed, line) if n in chosen else line for n, line in enumerate(lines)]


def in_a_cut(draw: random.Random, lines: Lines) -> tuple[int, str, str] | None:
    """A line that ends in the wood, the move that lifts from there by a least step, and the move back."""
    n = pick(draw, [n for n in where(lines, CUT) if re.search(r"Z-", lines[n])])
    if n is None:
        return None
    place = re.search(r"Z(-[\d.]+)", lines[n])[1]
    return n, f"G1 Z{plain(float(place) + STEP[in_inches(lines)], 4)}", f"G1 Z{place}"


def many_dwells(draw: random.Random, lines: Lines) -> Lines | None:
    """Dwells in a cut: one, or many short ones, bare or with tiny moves between."""
    found = in_a_cut(draw, lines)
    if found is None:
        return None
    n, lift, back = found
    seconds = draw.choice((0.05, 0.1, 0.19))
    in_ms = any(re.search(r"G4 P\d{4,}", line) for line in lines[:120])
    dwell = f"G4 P{1000 * seconds:.0f}" if in_ms else f"G4 P{plain(seconds)}"
    again = [dwell] if draw.random() < 0.5 else [lift, dwell, back, dwell]
    return put(lines, n + 1, *again * draw.choice((1, 2, 5, 30, 200)))


def tiny_moves(draw: random.Random, lines: Lines) -> Lines | None:
    """A chain of moves that go nowhere."""
    found = in_a_cut(draw, lines)
    if found is None:
        return None
    n, lift, back = found
    return put(lines, n + 1, *[lift, back] * draw.choice((5, 200, 3000)))


def other_dwell(draw: random.Random, lines: Lines) -> Lines | None:
    """A dwell in the other unit, or lost, or with or without its point."""
    n = pick(draw, where(lines, r"^[^(]*\bP[\d.]+"))
    if n is None:
        return None
    value = float(re.search(r"P([\d.]+)", lines[n])[1])
    text = draw.choice((f"{value * 1000:.1f}", f"{value / 1000:.4f}", f"{value:.0f}", "0.0", f"{value / 2:.3f}"))
    return in_line(lines, n, r"P[\d.]+", f"P{text}")
