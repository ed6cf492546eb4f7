"""Slanted frets against lines that shapely draws through both scales, and against published tables of each scale."""

import math
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from shapely import LineString, Point, Polygon
from shapely.affinity import scale as stretched

from makers import INCH, a_board
from pearlkerf.board.model import Blank, Board, FaceDots, FretSlots, Radius, Scale, SideDots, Strings
from pearlkerf.errors import Refusal
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.model import Layout

DOTS = (3, 5, 7, 12, 24)
SEVEN = a_board(
    scale=Scale(27 * INCH, 24, 25.5 * INCH, 7.0),
    strings=Strings(7, 42.0, 63.0),
    length_mm=516.0,
    nut_width_mm=48.0,
    end_width_mm=67.0,
    thickness_mm=7.0,
    radius=Radius(406.4, 406.4),
    face_dots=FaceDots(DOTS, 5.0, 1.5, 1.5, (12,)),
    side_dots=SideDots(DOTS, 2.0, 3.0),
)
REFERENCE = tomllib.loads((Path(__file__).parents[1] / "reference" / "frets.toml").read_text(encoding="utf-8"))
BOARDS = {
    "square at 7": SEVEN,
    "square at the nut": replace(SEVEN, scale=replace(SEVEN.scale, square_at=0.0), length_mm=540.0),
    "square between frets": replace(SEVEN, scale=replace(SEVEN.scale, square_at=9.5)),
    "treble longer": replace(SEVEN, scale=Scale(25.5 * INCH, 24, 27 * INCH, 5.0), length_mm=520.0),
    "left-handed": replace(SEVEN, hand="left"),
    "square nut end": replace(SEVEN, nut="square"),
    "in a blank": replace(SEVEN, blank=Blank(75.0, 20.0, 20.0)),
    "stopped": replace(SEVEN, fret_slots=FretSlots(0.58, 2.0, ends="stopped", margin_mm=2.0)),
}
EVERY = pytest.mark.parametrize("board", BOARDS.values(), ids=BOARDS)


def share(place: float) -> float:
    return 1 - 2 ** (-place / 12)


def strings(board: Board) -> tuple[LineString, LineString]:
    """The two outer strings in plan, bass and treble, each from its nut point to its bridge point.

    They begin so far from each other along the board that both have come to the same X at the square place.
    """
    bass, treble, square = board.scale.length_mm, board.scale.treble_mm, share(board.scale.square_at)
    behind = square * (bass - treble)  # of the bass string's nut point, beside the treble string's
    nut, bridge = board.strings.at_nut_mm / 2, board.strings.at_bridge_mm / 2
    side = -1 if board.hand == "right" else 1
    return (
        LineString([(-behind / 2, side * nut), (-behind / 2 + bass, side * bridge)]),
        LineString([(behind / 2, -side * nut), (behind / 2 + treble, -side * bridge)]),
    )


def expected(board: Board, number: float) -> LineString:
    """A fret, carried on far beyond both edges."""
    bass, treble = (each.interpolate(share(number), normalized=True) for each in strings(board))
    return stretched(LineString([bass, treble]), 4.0, 4.0)


def tapered(board: Board) -> Polygon:
    """The wood between both edges, carried on beyond both ends."""
    slope = (board.end_width_mm - board.nut_width_mm) / board.length_mm
    near, far = (board.nut_width_mm + slope * x for x in (-100.0, 700.0))
    return Polygon([(-100, -near / 2), (700, -far / 2), (700, far / 2), (-100, near / 2)])


@EVERY
def test_every_fret_joins_the_same_share_of_both_scales_from_edge_to_edge(board: Board) -> None:
    laid = lay_out(board)
    for number, line in enumerate(laid.lines):
        found, right = LineString([line.start, line.end]), expected(board, number).intersection(tapered(board))
        assert found.hausdorff_distance(right) < 1e-9
        assert line.start[1] < 0 < line.end[1]


@EVERY
def test_slots_run_out_of_the_wood_or_stop_short_of_the_edges_on_their_own_lines(board: Board) -> None:
    laid = lay_out(board)
    wood = Polygon(laid.edges.wood.corners) if board.blank else tapered(board)
    for slot in laid.slots:
        right = expected(board, slot.number).intersection(wood)
        if board.fret_slots.ends == "stopped":
            right = LineString([right.interpolate(2.0), right.interpolate(right.length - 2.0)])
        assert LineString(slot.ends).hausdorff_distance(right) < 1e-3 / 2


@EVERY
def test_dots_lie_midway_between_their_two_frets(board: Board) -> None:
    laid = lay_out(board)
    lines = {number: LineString([line.start, line.end]) for number, line in enumerate(laid.lines)}
    for dot in laid.face_dots:
        x, y = dot.centre
        level = LineString([(-100, y), (700, y)])
        before, after = (lines[number].intersection(level).x for number in (dot.number - 1, dot.number))
        assert x == pytest.approx((before + after) / 2, abs=1e-9)
        assert (y == 0) == (dot.number != 12)
    bass = LineString(laid.edges.bass.ends)
    for dot in laid.side_dots:
        ends = [max(lines[number].boundary.geoms, key=lambda end: -bass.distance(end)) for number in
                (dot.number - 1, dot.number)]  # fmt: skip
        along = [end.distance(Point(laid.edges.bass.nut_corner)) for end in ends]
        assert dot.centre[0] == pytest.approx(sum(along) / 2, abs=1e-6)


def test_each_outer_string_has_the_frets_of_its_own_scale() -> None:
    """Published and recomputed figures of a string of 75.0 cm, and of 65 cm (see the reference's sources)."""
    cases = [(each["string"] * 10, dict(zip(each["frets"], each["from_nut"], strict=True)), each["within"] * 10)
             for each in REFERENCE["textbook"]]  # fmt: skip
    for length, table, within in cases:
        board = replace(SEVEN, scale=Scale(length, 24, length - 30.0, 0.0), length_mm=600.0)
        laid = lay_out(replace(board, face_dots=None, side_dots=None))
        bass, _ = strings(board)
        nut = LineString([laid.lines[0].start, laid.lines[0].end]).intersection(bass)
        for number, centimetres in table.items():
            crossed = LineString([laid.lines[number].start, laid.lines[number].end]).intersection(bass)
            assert crossed.x - nut.x == pytest.approx(centimetres * 10, abs=within + 1e-6)


def places(layout: Layout) -> np.ndarray:
    """Every corner, line, slot and dot of a layout, (n, 2)."""
    points = [point for line in layout.lines for point in (line.start, line.end)]
    points += [point for slot in layout.slots for point in slot.ends]
    points += [dot.centre for dot in (*layout.face_dots, *layout.side_dots)]
    return np.array([*points, *layout.edges.finished.corners.tolist()])


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("ends", ["through", "stopped"])
def test_nearly_equal_scales_give_the_straight_board(hand: str, ends: str) -> None:
    slots = FretSlots(0.58, 2.0, ends=ends)
    straight = replace(SEVEN, scale=Scale(27 * INCH, 24), hand=hand, fret_slots=slots)
    nearly = replace(straight, scale=Scale(27 * INCH, 24, 27 * INCH - 1e-10))
    assert np.abs(places(lay_out(nearly)) - places(lay_out(straight))).max() < 1e-9
    same = replace(straight, scale=Scale(27 * INCH, 24, 27 * INCH))
    assert np.array_equal(places(lay_out(same)), places(lay_out(straight)))


def test_a_left_handed_board_is_the_mirror_of_a_right_handed_one() -> None:
    right, left = lay_out(SEVEN), lay_out(replace(SEVEN, hand="left"))
    for one, other in zip(right.lines, left.lines, strict=True):
        assert other.start == pytest.approx((one.end[0], -one.end[1]), abs=1e-12)
    for one, other in zip((*right.slots, *right.face_dots), (*left.slots, *left.face_dots), strict=True):
        assert (other.name, other.anchor) == (one.name, pytest.approx((one.anchor[0], -one.anchor[1]), abs=1e-12))
    for one, other in zip(right.side_dots, left.side_dots, strict=True):
        assert other.centre == pytest.approx((one.centre[0], -one.centre[1]), abs=1e-12)


def test_the_nut_end_runs_with_the_nut_or_stands_square_beyond_it() -> None:
    slanted, square = lay_out(SEVEN), lay_out(replace(SEVEN, nut="square", before_nut_mm=7.0))
    outline = Polygon(slanted.edges.finished.corners)
    assert outline.boundary.distance(Point(0, 0)) < 1e-12
    nut = slanted.lines[0]
    assert {tuple(corner) for corner in slanted.edges.finished.corners.tolist()} > {nut.start, nut.end}
    corners = square.edges.finished.corners
    farthest = min(nut.start[0], nut.end[0])
    assert corners[[0, 3], 0] == pytest.approx([farthest - 7.0] * 2)
    for one, other in zip(square.lines, slanted.lines, strict=True):
        assert (*one.start, *one.end) == pytest.approx((*other.start, *other.end), abs=1e-9)


def test_rows_tell_each_edges_own_distances() -> None:
    laid = lay_out(SEVEN)
    row, line = laid.fret_rows[11], laid.lines[12]
    nut = laid.lines[0]
    assert row.bass_mm == pytest.approx(math.dist(nut.start, line.start))
    assert row.treble_mm == pytest.approx(math.dist(nut.end, line.end))
    assert row.width_mm == pytest.approx(math.dist(line.start, line.end))


def refused(board: Board) -> list[tuple[str, str, str, str]]:
    with pytest.raises(Refusal) as refusal:
        lay_out(board)
    return [(each.key, each.found, each.allowed, each.hint) for each in refusal.value.problems]


def test_a_square_place_beyond_the_board_is_refused() -> None:
    ((key, found, allowed, hint),) = refused(replace(SEVEN, scale=replace(SEVEN.scale, square_at=30.0)))
    assert key == "scale.square_at" and "fret 30 is to stand square, the board ends with fret 24" in found
    assert allowed == "0 to 24, 0 is the nut" and hint == "use at most 24, or make scale.frets at least 30"


def test_slanted_frets_without_the_strings_spread_are_refused() -> None:
    for strings_table in (None, Strings(7, 42.0)):
        ((key, _, _, hint),) = refused(replace(SEVEN, strings=strings_table))
        assert key == "strings.spread_at_bridge" and "[strings]" in hint


@pytest.mark.parametrize(
    ("spreads", "key", "most"), [((50.0, 63.0), "spread_at_nut", 48.0), ((42.0, 90.0), "spread_at_bridge", 74.5)]
)
def test_strings_beside_the_board_are_refused(spreads: tuple[float, float], key: str, most: float) -> None:
    ((found_key, _, allowed, _),) = refused(replace(SEVEN, strings=Strings(7, *spreads)))
    limit = float(allowed.removeprefix("at most ").removesuffix(" mm"))
    assert found_key == f"strings.{key}" and limit == pytest.approx(most, abs=0.5)
    nut, bridge = (limit if each == key else spread for each, spread in
                   zip(("spread_at_nut", "spread_at_bridge"), spreads, strict=True))  # fmt: skip
    lay_out(replace(SEVEN, strings=Strings(7, nut, bridge)))


def test_scales_that_differ_by_a_slip_are_refused() -> None:
    ((key, found, allowed, _),) = refused(replace(SEVEN, scale=Scale(27 * INCH, 24, 15.5 * INCH)))
    assert key == "scale.length" and "would slant by" in found and allowed == "at most 35 degrees"


def test_a_longer_treble_scale_is_asked_about() -> None:
    assert not any("is that meant?" in warning.found for warning in lay_out(SEVEN).warnings)
    (asked,) = [each for each in lay_out(BOARDS["treble longer"]).warnings if "is that meant?" in each.found]
    assert asked.key == "scale.length" and "change the two with each other" in asked.hint


def test_a_slanted_slot_that_leaves_a_blank_over_its_end_is_refused() -> None:
    board = replace(SEVEN, blank=Blank(130.0, 0.0, 0.0), face_dots=None, side_dots=None)
    problems = refused(replace(board, fret_slots=replace(SEVEN.fret_slots, depth_mm=1.0)))
    assert "blank.beyond_end" in [key for key, *_ in problems]
