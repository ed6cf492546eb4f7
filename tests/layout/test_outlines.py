"""Outlines of more than one taper against shapely's polygons: widths at a fret, steps, ends slanted or hollowed."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from makers import a_board
from pearlkerf import way
from pearlkerf.board.model import Binding, Blank, Board, FaceDots, FretSlots, Radius, Scale, SideDots, Strings
from pearlkerf.board.reader import read_board_text
from pearlkerf.errors import Refusal
from pearlkerf.layout.edge import BentEdge
from pearlkerf.layout.edges import edges_of
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.setups.set_up import set_up
from pearlkerf.setups.words import sentences

STATIONS = ((0.0, -16.0, 16.0), (150.0, -17.5, 17.5), (157.0, -22.5, 17.6), (492.0, -26.0, 21.0))
FLAT = Radius(math.inf, math.inf)
BANJO = a_board(
    scale=Scale(666.75, 22),
    length_mm=492.0,
    nut_width_mm=32.0,
    end_width_mm=47.0,
    widths=STATIONS,
    thickness_mm=6.0,
    radius=FLAT,
    face_dots=FaceDots((3, 5, 7, 10, 12), 5.0, 1.4, 1.4, (12,)),
    side_dots=SideDots((7, 10, 12), 2.0, 3.0),
)
HANDS = pytest.mark.parametrize("hand", ["right", "left"])
HEAD = 'unit = "mm"\n[scale]\nlength = 650\nfrets = 19\n[board]\nthickness = 6.8\n'


def outline(hand: str, stations: tuple[tuple[float, float, float], ...] = STATIONS) -> Polygon:
    side = 1.0 if hand == "right" else -1.0
    bass = [(x, side * y) for x, y, _ in stations]
    return Polygon([*bass, *[(x, side * y) for x, _, y in stations[::-1]]])


@HANDS
def test_the_outline_goes_through_every_station_and_slots_run_across_it(hand: str) -> None:
    laid, wood = lay_out(replace(BANJO, hand=hand)), outline(hand)
    assert Polygon(laid.edges.finished.corners).equals_exact(wood.normalize(), 1e-9) or Polygon(
        laid.edges.finished.corners
    ).symmetric_difference(wood).area == pytest.approx(0.0, abs=1e-9)
    corners = laid.edges.finished.corners
    assert Polygon(corners).exterior.is_ccw and len(corners) == 8
    for slot in laid.slots:
        x = 666.75 * (1 - 2 ** (-slot.number / 12))
        across = LineString([(x, -90), (x, 90)]).intersection(wood)
        assert LineString(slot.ends).hausdorff_distance(across) < 1e-9


@HANDS
@pytest.mark.parametrize(
    "point", [(75.0, 10.0), (151.0, -15.0), (153.0, -19.0), (158.0, -20.0), (400.0, 19.0), (80, -20)]
)
def test_wood_to_an_edge_that_bends_counts_to_its_nearest_run(hand: str, point: tuple[float, float]) -> None:
    sides, side = edges_of(replace(BANJO, hand=hand)).finished, 1.0 if hand == "right" else -1.0
    place = (point[0], side * point[1])
    long = [LineString([(x, side * y) for x, y, _ in STATIONS]), LineString([(x, side * y) for x, _, y in STATIONS])]
    distance = min(edge.distance(Point(place)) for edge in long)
    inside = outline(hand).contains(Point(place))
    assert sides.distance_mm(place) == pytest.approx(distance if inside else -distance, abs=1e-9)


def test_inside_a_binding_every_run_lies_as_far_in() -> None:
    edges = edges_of(replace(BANJO, binding=Binding(1.5, "after")))
    for outer, inner in ((edges.finished.low, edges.core.low), (edges.finished.high, edges.core.high)):
        line = LineString([outer.ends[0], *outer.joints, outer.ends[1]])
        right = line.parallel_offset(1.5, "left" if outer.side < 0 else "right", join_style="mitre", mitre_limit=9)
        for joint in inner.joints:
            assert right.distance(Point(joint)) < 1e-9
        for x in np.linspace(1.0, 491.0, 99):
            assert line.distance(Point(x, inner.y_mm(x))) == pytest.approx(1.5, abs=1e-9)


def test_along_an_edge_that_bends_its_runs_add_up() -> None:
    edge = edges_of(BANJO).finished.low
    assert isinstance(edge, BentEdge)
    line = LineString([(x, y) for x, y, _ in STATIONS])
    for x in (75.0, 150.0, 154.0, 300.0, 492.0):
        assert edge.along_mm(x) == pytest.approx(line.project(Point(x, edge.y_mm(x))))


@HANDS
def test_the_edge_setup_lies_on_the_run_that_has_the_dots(hand: str) -> None:
    laid = lay_out(replace(BANJO, hand=hand))
    nut, far = np.array([157.0, -22.5]), np.array([492.0, -26.0])
    along = (far - nut) / math.dist(nut, far)
    for dot in laid.side_dots:
        crossed = [666.75 * (1 - 2 ** (-n / 12)) for n in (dot.number - 1, dot.number)]
        middle = [sum(crossed) / 2, -22.5 - 3.5 * (sum(crossed) / 2 - 157.0) / 335.0]
        assert dot.centre[0] == pytest.approx((middle - nut) @ along)
    edge = set_up(laid).setups[1]
    assert np.ptp(edge.stock.outline[:, 0]) == pytest.approx(math.dist(nut, far))
    assert not laid.edges.begins_at_nut(laid.edges.bass)
    assert edge.lying.zero.on == "run corner" and any("straight run" in each for each in sentences(edge))
    # square to the run, from the treble edge's two ends
    heights = [22.5 + 16.0 - 3.5 * 157.0 / 335.0, 26.0 + 21.0]
    assert sorted((edge.stock.thickness_mm, edge.standing_mm)) == pytest.approx(sorted(heights))


def refused(board: Board) -> list[tuple[str, str, str]]:
    with pytest.raises(Refusal) as refusal:
        lay_out(board)
    return [(each.key, each.found, each.hint) for each in refusal.value.problems]


def test_dots_on_several_runs_are_refused_with_the_reason() -> None:
    ((key, found, hint),) = refused(replace(BANJO, side_dots=SideDots((3, 5, 7, 10, 12), 2.0, 3.0)))
    assert key == "side_dots.frets" and hint == "leave frets 3, 5 out of side_dots.frets"
    assert "frets 3, 5 lie beyond its straight run from 157.00 to 492.00 mm, which has frets 7, 10, 12" in found


def test_a_run_below_the_rest_of_its_edge_is_refused() -> None:
    ((key, found, _),) = refused(replace(BANJO, side_dots=SideDots((2, 3), 2.0, 3.0)))
    assert key == "side_dots.frets" and "higher beside the run with the dots" in found


@pytest.mark.parametrize(
    ("stations", "key", "found"),
    [
        (
            ((0, -16, 16), (200, -17, 17), (150, -20, 20), (492, -26, 21)),
            "board.widths.2",
            "go back, from 200.00 to 150",
        ),
        (
            ((0, -16, 16), (200, -17, 17), (200, -20, 20), (492, -26, 21)),
            "board.widths.2",
            "go back, from 200.00 to 200",
        ),
        (((10, -16, 16), (492, -26, 21)), "board.widths.0", "the first width is 10.00 mm from the nut end"),
        (((0, 16, -16), (492, -26, 21)), "board.widths.0", "the bass edge at 16.00, the treble edge at -16.00 mm"),
        (((0, -16, 16),), "board.widths", "one width"),
    ],
)
def test_widths_that_cannot_be_are_refused(stations, key: str, found: str) -> None:
    bare = replace(BANJO, face_dots=None, side_dots=None)
    problems = refused(replace(bare, widths=stations))
    assert problems[0][0] == key and found in problems[0][1] and problems[0][2]


@pytest.mark.parametrize("scale", ["650", '{ bass = "27 in", treble = "25 1/2 in" }'])
@pytest.mark.parametrize(
    ("sizes", "key", "found"),
    [
        ("widths = [[0, 0, 0], [492, 0, 0]]", "board.widths.0", "the bass edge at 0.00, the treble edge at 0.00 mm"),
        ("widths = [[0, -16, 16], [0, -16, 16]]", "board.widths.1", "go back, from 0.00 to 0.00 mm"),
        ("length = 448\nnut_width = 42\nwidth_at = { fret = 1, width = 25 }", "board.width_at", "mm at the bridge end"),
    ],
)
def test_a_board_without_length_or_width_is_refused_and_not_drawn(scale: str, sizes: str, key: str, found: str) -> None:
    look = way.look(HEAD.replace("650", scale) + sizes)
    assert (key, True) in [(each.key, found in each.found) for each in look.problems]
    assert way.to_look_at(look) is None


def test_an_extension_beside_the_centre_line_ends_its_frets_at_its_edges() -> None:
    """Beyond the last full fret the bass side ends, the treble side goes on."""
    stations = ((0.0, -22.0, 22.0), (440.0, -28.0, 28.0), (441.0, 4.0, 28.0), (480.0, 4.0, 28.5))
    board = a_board(widths=stations, length_mm=480.0, scale=Scale(632.0, 22), face_dots=None, side_dots=None)
    for hand in ("right", "left"):
        laid, wood = lay_out(replace(board, hand=hand)), outline(hand, stations)
        for slot in laid.slots:
            x = slot.anchor[0]
            across = LineString([(x, -90), (x, 90)]).intersection(wood)
            assert LineString(slot.ends).hausdorff_distance(across) < 1e-9


def test_a_hollowed_end_is_the_outline_less_a_disc() -> None:
    board = a_board(end_arc_mm=60.0, length_mm=455.0)
    laid = lay_out(board)
    half = 56.5 / 2
    centre = Point(455.0 + math.sqrt(60.0**2 - half**2), 0.0)
    plain = Polygon(edges_of(replace(board, end_arc_mm=None)).finished.corners)
    right = plain.difference(centre.buffer(60.0, 512))
    assert Polygon(laid.edges.finished.corners).symmetric_difference(right).area < 0.2  # chords of 1 mm over 57 mm
    assert laid.edges.finished.far_mm == pytest.approx(455.0 - (60.0 - math.sqrt(60.0**2 - half**2)))
    ((key, found, hint),) = refused(replace(board, length_mm=440.0))
    last, deepest = 632.0 * (1 - 2 ** (-20 / 12)), 440.0 - 60.0 + math.sqrt(60.0**2 - half**2)
    assert key == "scale.frets" and f"the board ends at {deepest:.2f} mm" in found
    least = 440.0 + last + 0.29 - deepest
    assert float(hint.split("at least ")[1].split(" mm")[0]) == pytest.approx(least, abs=0.011)


def test_an_arc_that_does_not_span_the_end_is_refused() -> None:
    ((key, found, _),) = refused(a_board(end_arc_mm=20.0))
    assert key == "board.end" and "an arc of 20.00 mm does not span an end 56.50 mm wide" in found


def test_a_slanted_end_runs_with_the_last_fret() -> None:
    board = a_board(scale=Scale(660.0, 20, 630.0), strings=Strings(6, 38.0, 54.0), length_mm=465.0, end="slanted")
    laid = lay_out(replace(board, side_dots=None, face_dots=None))
    last, end = laid.lines[-1], laid.edges.finished.ends.far
    assert end.along == pytest.approx(last.along) and end.x_mm() == pytest.approx(465.0)
    assert [tuple(corner) for corner in laid.edges.finished.corners[1:3].tolist()] == [end.start, end.end]


def test_the_width_at_a_fret_is_the_width_there() -> None:
    """Makers measure at fret 12: 52 at the nut and 62 there are 65.9 at the end of a board of 448 mm."""
    read = read_board_text(
        (HEAD + "length = 448\nnut_width = 52\nwidth_at = { fret = 12, width = 62 }\n").encode(), "a"
    )
    assert read.problems == () and read.board is not None
    assert read.board.end_width_mm == pytest.approx(65.9, abs=0.2)
    assert edges_of(read.board).finished.width_mm(325.0) == pytest.approx(62.0)


def test_the_blank_holds_the_widest_box_in_its_middle() -> None:
    laid = lay_out(replace(BANJO, blank=Blank(60.0, 8.0, 6.0), side_dots=None))
    assert laid.edges.wood.corners.tolist() == [[-8, -32.5], [498, -32.5], [498, 27.5], [-8, 27.5]]
    told = " ".join(sentences(set_up(laid).setups[0]))
    assert "the blank is 60.00 mm wide, its middle lies 2.50 mm toward the operator from Y0" in told


def test_stopped_slots_and_doubles_follow_the_step() -> None:
    laid = lay_out(replace(BANJO, fret_slots=FretSlots(0.58, 1.8, ends="stopped", margin_mm=2.0)))
    wood = outline("right")
    assert min(Point(slot.start).distance(wood.exterior) for slot in laid.slots) == pytest.approx(2.0, abs=0.05)
    bass, treble = [dot for dot in laid.face_dots if dot.number == 12]
    x = bass.centre[0]
    low, high = LineString([(x, -90), (x, 90)]).intersection(wood).coords
    assert (bass.centre[1], treble.centre[1]) == pytest.approx((low[1] / 2, high[1] / 2))
