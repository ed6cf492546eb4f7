"""Random machine profiles, with cutters that mostly fit a board, and some that nothing is said of."""

import math

from hypothesis import strategies as st

from pearlkerf.board.model import Board
from pearlkerf.machine.model import Cutter, Dialect, Machine, Motion, Spindle, Travel
from random_boards import rounded

RATES = st.sampled_from((1.0, 50.0, 300.0, 800.0, 1500.0, 4000.0, 200000.0))


@st.composite
def dialects(draw: st.DrawFn) -> Dialect:
    """Whatever a profile may say of its controller."""
    unit = draw(st.sampled_from(("mm", "in")))
    comments = draw(st.sampled_from((True, True, True, False)))
    return Dialect(
        unit=unit,
        decimals=draw(st.integers(3 if unit == "mm" else 4, 6)),
        line_limit=draw(st.sampled_from((40, 60, 70, 70, 80, 256))),
        comments=comments,
        percent=draw(st.booleans()),
        line_numbers=draw(st.booleans()),
        arcs=draw(st.booleans()),
        drilling_cycles=draw(st.booleans()),
        cutter_change=draw(st.sampled_from(("file", "stop", "automatic") if comments else ("file", "automatic"))),
        dwell_unit=draw(st.sampled_from(("s", "ms"))),
        end=draw(st.sampled_from(("M2", "M30"))),
    )


@st.composite
def machines(draw: st.DrawFn, board: Board) -> Machine:
    """A machine that mostly can cut this board."""
    slowest = draw(st.sampled_from((1.0, 6000.0, 8000.0, 12000.0)))
    fastest = draw(st.sampled_from((slowest, 24000.0, 30000.0, 200000.0)))
    clearance = draw(rounded(1.0, 20.0))
    rates = st.tuples(RATES, RATES, RATES)
    cutters = [*draw(_for_slots(board)), *draw(_for_holes(board))]
    cutters += draw(st.lists(_any_cutter(slowest), max_size=2))
    numbers = draw(st.permutations(range(1, len(cutters) + 1)))
    return Machine(
        name="bench",
        title="a router on a bench",
        travel=Travel(draw(rounded(700.0, 2400.0)), 600.0, draw(rounded(clearance + 5.0, 120.0))),
        spindle=Spindle(
            slowest, max(slowest, fastest), draw(st.sampled_from(("program", "hand"))), draw(rounded(0, 9))
        ),
        motion=Motion(draw(rates), draw(rates), draw(rates), clearance),
        dialect=draw(dialects()),
        cutters=tuple(Cutter(number, *rest) for number, rest in zip(numbers, cutters, strict=True)),
    )


@st.composite
def _rest(draw: st.DrawFn, kind: str, diameter: float, slowest: float) -> tuple[object, ...]:
    """All of a cutter but its number, in the order of its fields."""
    diameter = max(0.05, round(diameter, 3))
    reach = draw(rounded(max(2.0, 0.8 * diameter), max(6.0, 8 * diameter)))
    bite = draw(st.none() | st.none() | st.sampled_from((0.04, 0.1, 0.3, 1.0, 5.0)))
    limit = draw(st.none() | st.sampled_from((12000.0, 40000.0)))
    limit = None if limit is None or limit < slowest else limit
    speed = draw(st.none() | st.sampled_from((5000.0, 12000.0, 24000.0)))
    point = {"brad point": 0.3 * diameter, "twist drill": diameter / 2 / math.tan(math.radians(59))}.get(kind, 0.0)
    return (
        kind, diameter, draw(st.integers(1, 4)), reach,
        None if speed and limit and speed > limit else speed,
        limit, draw(st.none() | RATES), draw(st.none() | RATES), None if bite is None else min(bite, reach),
        draw(st.sampled_from((0.0, 0.0, 0.01))), None, None, draw(st.sampled_from((point, point, 0.0))),
        draw(st.sampled_from((True, True, True, False))),
    )  # fmt: skip


@st.composite
def _for_slots(draw: st.DrawFn, board: Board) -> list[tuple[object, ...]]:
    if board.fret_slots is None:
        return []
    width = board.fret_slots.width_mm + board.fret_slots.fit_mm
    off = draw(st.sampled_from((0.0, 0.0, 0.02, -0.02, 0.013, -0.021, -0.07)))
    share = draw(st.sampled_from((1.0, 1.0, 1.0, 0.8, 0.5)))
    return [draw(_rest("end mill", share * (width + off), 0.0))]


@st.composite
def _for_holes(draw: st.DrawFn, board: Board) -> list[tuple[object, ...]]:
    cutters = []
    for dots in (board.face_dots, board.side_dots):
        if dots is not None and draw(st.sampled_from((True, True, True, False))):
            off = draw(st.sampled_from((0.0, 0.01, -0.01, 0.004)))
            kind = draw(st.sampled_from(("end mill", "brad point", "twist drill")))
            cutters.append(draw(_rest(kind, dots.diameter_mm + dots.fit_mm + off, 0.0)))
        if dots is not None:
            share = draw(st.sampled_from((0.3, 0.5, 0.75, 0.9, 0.97)))
            cutters.append(draw(_rest("end mill", share * (dots.diameter_mm + dots.fit_mm), 0.0)))
    return cutters


def _any_cutter(slowest: float) -> st.SearchStrategy[tuple[object, ...]]:
    kinds = st.sampled_from(("end mill", "ball", "brad point", "twist drill"))
    return st.tuples(kinds, rounded(0.2, 8.0)).flatmap(lambda drawn: _rest(drawn[0], drawn[1], slowest))
