"""Dots off the centre line, between strings, in threes, in either edge; frets under some strings only."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely import LineString, Point

from makers import INCH, a_board
from pearlkerf.board.model import Board, FaceDots, FretSlots, Partial, Scale, SideDots, Strings
from pearlkerf.errors import Refusal
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.setups.set_up import set_up
from pearlkerf.setups.words import sentences

STRINGS = Strings(6, 36.0, 54.0)
STRAIGHT = a_board(strings=STRINGS, side_dots=None)
SLANTED = replace(STRAIGHT, scale=Scale(26 * INCH, 20, 25 * INCH), length_mm=465.0)
BOTH = pytest.mark.parametrize("board", [STRAIGHT, SLANTED], ids=["straight", "slanted"])
HANDS = pytest.mark.parametrize("hand", ["right", "left"])


def dots(board: Board, **changes: object) -> Board:
    return replace(board, face_dots=replace(FaceDots((3, 5, 12), 4.0, 1.5, 1.5), **changes))


def string(board: Board, number: float) -> LineString:
    """A string in plan from nut to bridge, 1 the treble's; between two strings where it is no whole number."""
    scale, square = board.scale, 1 - 2 ** (-board.scale.square_at / 12)
    bass, treble = scale.lengths_mm[0], scale.lengths_mm[-1]
    share = (board.strings.count - number) / (board.strings.count - 1)  # from the bass string
    side = -1 if board.hand == "right" else 1
    behind = square * (bass - treble)

    def between(at_bass: tuple[float, float], at_treble: tuple[float, float]) -> np.ndarray:
        return np.array(at_bass) + share * (np.array(at_treble) - np.array(at_bass))

    nut = between((-behind / 2, side * 18.0), (behind / 2, -side * 18.0))
    bridge = between((bass - behind / 2, side * 27.0), (treble + behind / 2, -side * 27.0))
    return LineString([nut, bridge])


@BOTH
@HANDS
@pytest.mark.parametrize(("side", "number"), [("bass", 5.5), ("treble", 1.5)])
def test_dots_between_the_outer_strings_of_a_side(board: Board, hand: str, side: str, number: float) -> None:
    board = replace(board, hand=hand)
    laid = lay_out(dots(board, between=side))
    for dot in laid.face_dots:
        ends = [
            string(board, number).interpolate(1 - 2 ** (-n / 12), normalized=True) for n in (dot.number - 1, dot.number)
        ]
        assert dot.centre == pytest.approx(((ends[0].x + ends[1].x) / 2, (ends[0].y + ends[1].y) / 2), abs=1e-9)


@BOTH
@HANDS
def test_dots_off_the_centre_line_lie_midway_on_their_own_line(board: Board, hand: str) -> None:
    board = replace(board, hand=hand)
    laid = lay_out(dots(board, across_mm=12.0, double=(12,)))
    toward_treble = 1.0 if hand == "right" else -1.0
    assert [round(dot.centre[1] * toward_treble, 9) for dot in laid.face_dots] == [12.0, 12.0, -12.0, 12.0]
    assert [dot.name for dot in laid.face_dots[2:]] == ["face dot 12, bass side", "face dot 12, treble side"]
    for dot in laid.face_dots:
        x, y = dot.centre
        crossed = [LineString([line.start, line.end]).intersection(LineString([(-99, y), (700, y)])).x for line in
                   laid.space(dot.number)]  # fmt: skip
        assert x == pytest.approx(sum(crossed) / 2, abs=1e-9)


def test_a_triple_has_one_in_the_middle_and_one_on_either_side() -> None:
    (three,) = [[dot for dot in lay_out(dots(STRAIGHT, triple=(12,), **more)).face_dots if dot.number == 12]
                for more in ({"spacing_mm": 9.0},)]  # fmt: skip
    assert [dot.centre[1] for dot in three] == [-9.0, 0.0, 9.0]
    assert [dot.name.partition(", ")[2] for dot in three] == ["bass side", "middle", "treble side"]
    half = [dot.centre[1] for dot in lay_out(dots(STRAIGHT, triple=(12,))).face_dots if dot.number == 12]
    assert half == pytest.approx([-half[2], 0.0, half[2]])
    off = [
        dot.centre[1] for dot in lay_out(dots(STRAIGHT, triple=(12,), across_mm=-12.0)).face_dots if dot.number == 12
    ]
    assert off == [-12.0, 0.0, 12.0]


@HANDS
def test_side_dots_in_both_edges_are_two_setups_that_lie_each_its_way(hand: str) -> None:
    board = a_board(hand=hand, side_dots=SideDots((3, 5, 12), 2.0, 3.0, (12,), edges="both"))
    clampings = set_up(lay_out(board))
    bass, treble = clampings.setups[1:]
    assert [(setup.name, setup.up) for setup in (bass, treble)] == [
        ("edge", "bass edge up"),
        ("treble", "treble edge up"),
    ]
    for one, other in zip(bass.features, treble.features, strict=True):
        assert other.centre == pytest.approx((one.centre[0], -one.centre[1]))  # a straight board is its own mirror
        assert other.name == f"treble {one.name}"
    # with the treble edge up and the nut at the left, the playing face looks the other way
    assert {bass.low_side, treble.low_side} == {"glue face", "playing face"}
    assert (bass.low_side == "glue face") == (hand == "right")
    assert np.ptp(treble.stock.outline, axis=0) == pytest.approx(np.ptp(bass.stock.outline, axis=0))
    assert any(each.startswith("standing on its bass edge") for each in sentences(treble))
    assert any(each.startswith("standing on its treble edge") for each in sentences(bass))


def test_on_a_slanted_board_each_edge_has_its_own_crossings() -> None:
    laid = lay_out(replace(SLANTED, face_dots=None, side_dots=SideDots((3, 12), 2.0, 3.0, edges="both")))
    for dot in laid.side_dots:
        end = "start" if dot.group == "side dots" else "end"
        nut, *ends = (getattr(laid.line(n), end) for n in (0, dot.number - 1, dot.number))
        middle = np.mean([Point(each).distance(Point(nut)) for each in ends])
        assert dot.centre[0] == pytest.approx(middle, abs=1e-6)
    assert lay_out(replace(SLANTED, side_dots=SideDots((3,), 2.0, 3.0, edges="treble"))).side_dots[0].name == (
        "treble side dot 3"
    )


@BOTH
@HANDS
@pytest.mark.parametrize(("first", "last"), [(4, 6), (1, 2), (3, 3), (1, 6)])
def test_a_partial_fret_ends_half_a_string_beyond_its_strings_or_short_of_the_edge(
    board: Board, hand: str, first: int, last: int
) -> None:
    board = replace(board, hand=hand, face_dots=None, partial=(Partial(5, (first, last)),))
    laid, share = lay_out(board), 1 - 2 ** (-5 / 12)
    (slot,) = [each for each in laid.slots if each.number == 5]
    assert not slot.through and all(each.through for each in laid.slots if each.number != 5)
    room = LineString([laid.line(5).start, laid.line(5).end])
    room = LineString([room.interpolate(1.5), room.interpolate(room.length - 1.5)])
    ends = [string(board, number).interpolate(share, normalized=True) for number in (last + 0.5, first - 0.5)]
    right = LineString(sorted(ends, key=lambda end: end.y)).intersection(room.buffer(1e-9))
    assert LineString(slot.ends).hausdorff_distance(right) < 1e-6
    row = next(row for row in laid.fret_rows if row.fret == 5)
    assert row.width_mm == pytest.approx(math.dist(*slot.ends))


def refused(board: Board) -> tuple[str, str, str]:
    with pytest.raises(Refusal) as refusal:
        lay_out(board)
    (problem,) = refusal.value.problems
    return problem.key, problem.found, problem.hint


@pytest.mark.parametrize(
    ("changes", "key", "found", "hint"),
    [
        ({"partial": (Partial(3, (5, 7)),)}, "partial.0.strings", "strings 5 to 7 of 6", "use [5, 6]"),
        ({"partial": (Partial(3, (4, 6)),), "strings": None}, "partial.0.strings", "nobody knows how many", "count"),
        ({"partial": (Partial(30, (4, 6)),)}, "partial.0.fret", "fret 30 is not on the board", "that is there"),
        ({"partial": (Partial(3, (4, 6)), Partial(3, (1, 2)))}, "partial.1.fret", "partial twice", "leave one out"),
        ({"face_dots": FaceDots((3,), 4.0, 1.5, 1.5, between="bass"), "strings": None}, "face_dots.across",
         "nobody says how many", "write count"),
        ({"face_dots": FaceDots((3,), 4.0, 1.5, 1.5, triple=(5,))}, "face_dots.triple.0", "cannot have three", "add 5"),
        ({"face_dots": FaceDots((3,), 4.0, 1.5, 1.5, (3,), triple=(3,))}, "face_dots.triple.0", "two dots, and three",
         "leave 3 out"),
        ({"face_dots": FaceDots((3,), 4.0, 1.5, 1.5, across_mm=21.0)}, "face_dots.across", "and the edge of the board",
         "bring across to"),
        ({"face_dots": FaceDots((3,), 4.0, 1.5, 1.5, (3,), across_mm=2.0)}, "face_dots.across", "between the two dots",
         "leave fret 3 out of face_dots.double"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(changes: dict[str, object], key: str, found: str, hint: str) -> None:
    told = refused(replace(STRAIGHT, **{"face_dots": None, **changes}))
    assert told[0] == key and found in told[1] and hint in told[2]


def test_a_partial_fret_in_a_stopped_board_keeps_its_margin() -> None:
    board = replace(STRAIGHT, face_dots=None, fret_slots=FretSlots(0.58, 2.0, ends="stopped", margin_mm=3.0),
                    partial=(Partial(2, (1, 6)),))  # fmt: skip
    laid = lay_out(board)
    assert laid.slots[1].start[1] == pytest.approx(laid.line(2).start[1] + 3.0)
