"""Random boards for property tests: good and bad ones, and such as are made."""

import math

from hypothesis import strategies as st

from pearlkerf.board.model import Blank, Board, FaceDots, FretSlots, Radius, Scale, SideDots
from pearlkerf.board.usual import KEYS


def rounded(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths as makers write them, to 0.01 mm."""
    return st.integers(round(low * 100), round(high * 100)).map(lambda hundredths: hundredths / 100)


def some(frets: int) -> st.SearchStrategy[tuple[int, ...]]:
    return st.lists(st.integers(1, frets), max_size=8, unique=True).map(tuple)


@st.composite
def boards(draw: st.DrawFn) -> Board:
    """Boards good and bad: thin, short, tightly radiused, crowded."""
    frets = draw(st.integers(1, 27))
    scale = draw(rounded(300.0, 900.0))
    nut, grows = draw(rounded(25.0, 60.0)), draw(rounded(-4.0, 20.0))
    nut_radius = draw(st.just(math.inf) | rounded(120.0, 700.0))
    face_frets, side_frets = draw(some(frets)), draw(some(frets))
    return Board(
        title="",
        scale=Scale(scale, frets),
        length_mm=scale * (1 - 2 ** (-frets / 12)) + draw(rounded(-1.0, 30.0)),
        nut_width_mm=nut,
        end_width_mm=nut + grows,
        thickness_mm=draw(rounded(3.5, 9.0)),
        radius=Radius(nut_radius, nut_radius if math.isinf(nut_radius) else draw(rounded(120.0, 700.0))),
        state=draw(st.sampled_from(["flat", "radiused"])),
        crown_allowance_mm=draw(rounded(0.0, 0.4)),
        hand=draw(st.sampled_from(["right", "left"])),
        blank=draw(st.none() | st.builds(Blank, rounded(nut - 1, nut + 60), rounded(0, 20), rounded(0, 20))),
        fret_slots=draw(st.none() | st.builds(
            FretSlots, rounded(0.4, 0.8), rounded(1.0, 3.0), st.sampled_from(["follow", "level"]),
            st.sampled_from(["through", "stopped"]), rounded(0.3, 5.0), st.sampled_from(["to cut", "already cut"]),
            rounded(-0.05, 0.05))),
        face_dots=draw(st.none() | st.builds(
            FaceDots, st.just(face_frets), rounded(3.0, 9.0), shell := rounded(0.6, 2.5), shell,
            st.just(face_frets[:1]), rounded(0.0, 0.4), rounded(-0.1, 0.1), rounded(0.0, 0.8),
            st.none() | rounded(5.0, 30.0))),
        side_dots=draw(st.none() | st.builds(
            SideDots, st.just(side_frets), rounded(1.0, 3.0), rounded(1.0, 8.0), st.just(side_frets[-1:]),
            st.none() | rounded(1.0, 4.0), st.none() | rounded(2.0, 12.0), rounded(0.5, 1.2), rounded(-0.05, 0.05))),
        unusual=KEYS,
    )  # fmt: skip


@st.composite
def sound_boards(draw: st.DrawFn) -> Board:
    """Boards as they are made, of every kind and with every table; nearly all of them can be laid out."""
    frets = draw(st.integers(12, 22))
    scale = draw(rounded(480.0, 900.0))
    nut = draw(rounded(36.0, 55.0))
    end = nut + draw(rounded(-2.0, 14.0))
    nut_radius = draw(st.just(math.inf) | rounded(250.0, 700.0))
    return Board(
        title="",
        scale=Scale(scale, frets),
        length_mm=scale * (1 - 2 ** (-frets / 12)) + draw(rounded(2.5, 30.0)),
        nut_width_mm=nut,
        end_width_mm=end,
        thickness_mm=draw(rounded(6.5, 9.0)),
        radius=Radius(nut_radius, nut_radius if math.isinf(nut_radius) else draw(rounded(250.0, 700.0))),
        state=draw(st.sampled_from(["flat", "radiused"])),
        crown_allowance_mm=draw(rounded(0.0, 0.4)),
        hand=draw(st.sampled_from(["right", "left"])),
        blank=draw(st.none() | st.builds(Blank, rounded(max(nut, end) + 1, 75), rounded(0, 20), rounded(0, 20))),
        fret_slots=draw(st.builds(
            FretSlots, rounded(0.4, 0.8), rounded(1.0, 2.2), st.sampled_from(["follow", "level"]),
            st.sampled_from(["through", "stopped"]), rounded(1.0, 5.0), st.sampled_from(["to cut", "already cut"]),
            rounded(-0.05, 0.05))),
        face_dots=draw(st.builds(
            FaceDots, st.just(tuple(range(3, frets + 1, 2))), rounded(3.0, 6.0), shell := rounded(1.3, 2.0), shell,
            st.just((3, 11)), rounded(0.0, 0.3), rounded(-0.1, 0.1), rounded(0.3, 0.6), st.none() | rounded(7, 22))),
        side_dots=draw(st.builds(
            SideDots, st.just(tuple(range(1, frets + 1, 3))), rounded(1.0, 2.2), rounded(1.0, 4.0), st.just((4, 7)),
            st.none(), st.none() | rounded(3.5, 7.0), rounded(0.5, 0.8), rounded(-0.05, 0.05))),
        unusual=KEYS,
    )  # fmt: skip


@st.composite
def wide_boards(draw: st.DrawFn) -> Board:
    """Boards from the ends of what a board file may say: tiny and huge, a few frets and sixty, thin and thick."""
    frets = draw(st.sampled_from((1, 2, 3, 5, 12, 24, 36, 60)))
    scale = draw(st.sampled_from((100.0, 200.0, 350.0, 650.0, 1200.0, 2000.0)))
    length = max(20.0, scale * (1 - 2 ** (-frets / 12)) + draw(rounded(3.0, 60.0)))
    nut = draw(st.sampled_from((5.0, 12.0, 40.0, 120.0, 300.0)))
    end = min(300.0, max(5.0, nut * draw(st.sampled_from((0.8, 1.0, 1.3, 2.0)))))
    thickness = draw(st.sampled_from((3.0, 5.0, 7.0, 12.0, 50.0)))
    least = max(50.0, 0.8 * max(nut, end))
    radii = st.sampled_from(sorted({least, max(least, 184.0), max(least, 400.0), 10000.0}))
    nut_radius = draw(st.just(math.inf) | radii)
    gap = scale * (1 - 2 ** (-1 / 12)) * 2 ** (-(frets - 1) / 12)  # the last fret space
    slot = draw(st.sampled_from((0.1, 0.3, 0.58, 1.2, 5.0)))
    dot = max(0.5, round(draw(st.sampled_from((0.15, 0.4, 0.8))) * max(gap - slot - 1, 0.6), 2))
    named = tuple(range(1, frets + 1, draw(st.integers(1, 5))))
    shell = draw(rounded(0.8, 3.0))
    return Board(
        title="",
        scale=Scale(scale, frets),
        length_mm=length,
        nut_width_mm=nut,
        end_width_mm=end,
        thickness_mm=thickness,
        radius=Radius(nut_radius, nut_radius if math.isinf(nut_radius) else draw(radii)),
        state=draw(st.sampled_from(["flat", "radiused"])),
        crown_allowance_mm=draw(st.sampled_from((0.0, 0.2, 1.0))),
        hand=draw(st.sampled_from(["right", "left"])),
        blank=draw(st.none() | st.builds(Blank, rounded(max(nut, end), max(nut, end) + 40), rounded(0, 90),
                                         rounded(0, 90))),
        fret_slots=draw(st.none() | st.builds(
            FretSlots, st.just(slot), st.sampled_from((0.1, 0.8, 1.5, 0.4 * thickness)),
            st.sampled_from(["follow", "level"]), st.sampled_from(["through", "stopped"]),
            st.sampled_from((0.2, 1.5, nut / 4)), st.just("to cut"), st.just(0.0))),
        face_dots=draw(st.none() | st.builds(
            FaceDots, st.just(named), st.just(min(dot, nut / 3)), st.just(shell), st.just(shell), st.just(named[:1]),
            st.sampled_from((0.0, 0.2)), st.just(0.0), st.sampled_from((0.0, 0.3)), st.none())),
        side_dots=draw(st.none() | st.builds(
            SideDots, st.just(named), st.just(max(0.5, min(dot, thickness / 4))), st.sampled_from((0.2, 2.0, nut / 3)),
            st.just(()), st.none(), st.none(), st.sampled_from((0.1, 0.8)), st.just(0.0))),
        unusual=KEYS,
    )  # fmt: skip
