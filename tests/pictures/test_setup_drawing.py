"""How a setup is drawn, for card and page alike: where zero is, which side lies where, what the player sees."""

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from makers import POCKET_MILL, a_layout, a_machine, clamped
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.surfaces import Floor
from pearlkerf.operations.trials import trials
from pearlkerf.pictures.card.style import picture
from pearlkerf.pictures.drawing import PENS, Circle, Drawing, Line, Path, Text, points_of
from pearlkerf.pictures.features import outline, sketch
from pearlkerf.pictures.page.sketch import draw_sketch
from pearlkerf.pictures.setup import draw_players_view, draw_setup
from pearlkerf.pictures.view import view_of
from pearlkerf.setups.calibration import lay_out_calibration
from pearlkerf.setups.coupons import lay_out_coupon
from pearlkerf.setups.model import Placement, Setup
from pearlkerf.setups.steps import Steps

OPPOSITE = {"bass side": "treble side", "treble side": "bass side", "glue face": "playing face",
            "playing face": "glue face"}  # fmt: skip


def a_setup(name: str, hand: str = "right") -> Setup:
    return next(setup for setup in clamped(hand=hand).setups if setup.name == name)


def players_view(hand: str = "right") -> Drawing:
    edge = a_setup("edge", hand)
    return draw_players_view(edge.stock.outline, edge.features)


def words(drawing: Drawing) -> dict[str, tuple[float, float]]:
    """Every text of a drawing with its place."""
    return {thing.text: thing.at for thing in drawing.things if isinstance(thing, Text)}


def place(drawing: Drawing, beginning: str) -> tuple[float, float]:
    (found,) = (at for text, at in words(drawing).items() if text.startswith(beginning))
    return found


def circles(drawing: Drawing) -> list[tuple[float, float, float]]:
    """Centre and radius of every hole."""
    return [(*thing.centre, thing.radius_mm) for thing in drawing.of("cut-holes") if isinstance(thing, Circle)]


def dots(drawing: Drawing) -> list[float]:
    """Where the dots lie, along the drawing."""
    return [x for x, _, _ in circles(drawing)]


@pytest.mark.parametrize(
    ("name", "hand", "low"),
    [
        ("face", "right", "bass side"),
        ("face", "left", "treble side"),
        ("edge", "right", "glue face"),
        ("edge", "left", "playing face"),
    ],
)
def test_the_nut_lies_at_the_left_and_the_right_side_toward_the_operator(name: str, hand: str, low: str) -> None:
    drawing = draw_setup(a_setup(name, hand))
    assert place(drawing, "nut")[0] < place(drawing, "bridge")[0]
    assert place(drawing, OPPOSITE[low])[1] > place(drawing, low)[1] > place(drawing, "the operator stands here")[1]
    assert drawing.in_words.endswith(f"nut at the left, {low} toward the operator")


def test_zero_of_the_face_lies_on_the_centre_line_at_the_nut() -> None:
    drawing = draw_setup(a_setup("face"))
    (zero,) = (thing for thing in drawing.of("zero") if isinstance(thing, Circle))
    corners = points_of(drawing.of("wood"))
    low, high = min(y for _, y in corners), max(y for _, y in corners)
    assert zero.centre == pytest.approx((min(x for x, _ in corners), (low + high) / 2))


def test_every_hole_and_slot_lies_in_scale() -> None:
    layout, drawing = a_layout(), draw_setup(a_setup("face"))
    wood = [x for x, _ in points_of(drawing.of("wood"))]
    scale, nut = (max(wood) - min(wood)) / 448.0, min(wood)
    assert dots(drawing) == pytest.approx([nut + dot.centre[0] * scale for dot in layout.face_dots])
    slots = [thing.start[0] for thing in drawing.of("cut-slots") if isinstance(thing, Line)]
    assert slots == pytest.approx([nut + slot.start[0] * scale for slot in layout.slots])


def test_a_slanted_slot_is_drawn_slanted_and_numbered_at_its_far_end() -> None:
    slot = Slot("frets", 4, "fret 4", (100.0, -20.0), (110.0, 20.0), 0.6, Floor(-2.0), through=True)
    setup = replace(a_setup("face"), features=(slot,))
    drawing, view = draw_setup(setup), view_of(setup.stock.outline, setup.placement)
    (line,) = drawing.of("cut-slots")
    assert line == Line("cut-slots", view.of_board(slot.start), view.of_board(slot.end))
    assert place(drawing, "4")[0] == view.of_board(slot.end)[0] > view.of_board(slot.start)[0]


def test_a_stopped_slot_s_outline_is_its_stadium_whichever_way_it_runs() -> None:
    slot = Slot("frets", 4, "fret 4", (100.0, -20.0), (130.0, 20.0), 6.0, Floor(-2.0), through=False)
    walls = outline(slot, "slots")
    # the line runs 3 : 4, its tips are 50 mm apart: the walls are 44 mm long, 3 mm beside it
    assert [thing for thing in walls if isinstance(thing, Line)] == [
        Line("slots", pytest.approx((104.2, -19.4)), pytest.approx((130.6, 15.8))),
        Line("slots", pytest.approx((125.8, 19.4)), pytest.approx((99.4, -15.8))),
    ]
    assert len(walls) == 4
    through = outline(replace(slot, through=True), "slots")
    assert through == (
        Path(
            "slots",
            tuple(pytest.approx(corner) for corner in ((102.4, -21.8), (132.4, 18.2), (127.6, 21.8), (97.6, -18.2))),
        ),
    )


def test_what_is_cut_already_is_drawn_faintly_and_not_numbered() -> None:
    face = a_setup("face")
    now = tuple(each for each in face.features if each.group == "frets" and each.number > 16)
    before = tuple(each for each in face.features if each not in now)
    drawing = draw_setup(replace(face, features=now, cut_before=before))
    assert len(drawing.of("cut-before")) == len(before)
    assert len(drawing.of("cut-slots")) == 4 and not drawing.of("cut-holes")
    assert {text for text in words(drawing) if text.isdigit()} == {"0", "17", "18", "20"}
    assert PENS["cut-before"].grey > 0.4


def test_dots_are_numbered_once_each_and_frets_where_there_is_room() -> None:
    face, edge = draw_setup(a_setup("face")), draw_setup(a_setup("edge"))
    marked = ["3", "5", "7", "9", "12", "15", "17"]
    assert [thing.text for thing in face.of("dot-numbers") if isinstance(thing, Text)] == marked
    numbers = [thing for thing in face.of("numbers") if isinstance(thing, Text)]
    assert [thing.text for thing in numbers[:12]] == [str(number) for number in range(1, 13)]
    assert all(b.at[0] - a.at[0] >= 3.8 for a, b in pairwise(numbers))
    assert not edge.of("dot-numbers")
    assert [thing.text for thing in edge.of("numbers") if isinstance(thing, Text)] == [*marked, "19"]


def test_right_handed_player_sees_the_dots_as_the_machine_does() -> None:
    seen = players_view()
    assert dots(seen) == dots(draw_setup(a_setup("edge")))
    assert place(seen, "nut")[0] < place(seen, "bridge")[0]
    assert place(seen, "playing face")[1] > place(seen, "glue face")[1] > place(seen, "the player looks")[1]


def test_left_handed_player_sees_the_nut_at_the_right_and_the_playing_face_away() -> None:
    """A left-handed player frets with the right hand, so the nut lies to the right: common practice, no source."""
    seen = players_view("left")
    assert place(seen, "nut")[0] > place(seen, "bridge")[0]
    assert place(seen, "playing face")[1] > place(seen, "glue face")[1] > place(seen, "the player looks")[1]
    assert place(seen, "3")[0] > place(seen, "12")[0]
    assert dots(seen) == pytest.approx([180 - x for x in dots(draw_setup(a_setup("edge", "left")))])


def test_a_strip_that_is_drawn_taller_says_so() -> None:
    for drawing in (draw_setup(a_setup("edge")), players_view()):
        wood = points_of(drawing.of("wood"))
        tall = max(y for _, y in wood) - min(y for _, y in wood)
        # 6.5 mm thick, 448.04 mm along the edge, which is 132 mm on the page
        assert round(tall / (6.5 * 132 / 448.04)) == 8
        assert any(text.endswith(", the board drawn 8 times as tall as it is") for text in words(drawing))
    assert not any("times as tall" in text for text in words(draw_setup(a_setup("face"))))


def test_scrap_is_labelled_where_its_parts_lie_and_has_no_nut() -> None:
    tried, _ = trials(clamped(), a_machine(), Steps())
    coupon = lay_out_coupon(a_layout(), tried, Steps(), None)
    calibration = lay_out_calibration(a_layout(), POCKET_MILL, None)
    for setup, names in ((coupon.setup, "1234567"), (calibration.setup, "ABCDE12")):
        told = words(draw_setup(setup))
        assert {"left", "right", "near edge", "far edge", *names} <= set(told)
        assert not {"nut", "bridge", "treble side"} & set(told)
    told = words(draw_setup(calibration.setup))
    assert told["A"][0] < told["B"][0] < told["C"][0] and told["A"][1] < told["D"][1] < told["E"][1]
    rims = {(round(x, 6), round(y + radius + 0.8, 6)) for x, y, radius in circles(draw_setup(calibration.setup))}
    assert {(round(x, 6), round(y, 6)) for x, y in (told[name] for name in "ABCDE")} == rims


def test_the_page_shows_every_thing_of_the_drawing_in_its_layer() -> None:
    drawing = draw_setup(replace(a_setup("face"), up="a <b>"))
    figure = ElementTree.fromstring(draw_sketch(drawing))
    assert figure.findtext("figcaption") == "face setup, from above: a <b>"
    (svg,) = figure.iter("svg")
    assert svg.attrib["aria-label"] == drawing.in_words
    assert [each.text for each in svg.iter("text")] == [t.text for t in drawing.things if isinstance(t, Text)]
    assert sum(len(group) for group in svg) == len(drawing.things)
    layers = [thing.layer for thing in drawing.things]
    assert [group.attrib["class"] for group in svg] == [
        layer for number, layer in enumerate(layers) if number == 0 or layers[number - 1] != layer
    ]
    left, top, wide, tall = map(float, svg.attrib["viewBox"].split())
    for x, y in points_of(drawing.things):
        assert left <= x <= left + wide and top <= -y <= top + tall


def test_the_page_s_style_knows_every_layer_that_is_not_drawn_plainly() -> None:
    from pearlkerf.pictures.page.page import STYLES, asset

    styled = set(re.findall(r"\.sketch \.([a-z-]+)", "".join(map(asset, STYLES))))
    assert styled <= set(PENS)
    assert {"wood", "held", "cut-before", "cut-holes", "zero", "held-names"} <= styled


def test_the_card_takes_the_same_drawing_without_the_dots_own_numbers() -> None:
    from test_card_pdf import card_pages

    page = card_pages(clamped())[0]
    shown = page[page.index("Stock:") : page.index("the operator stands here")]
    assert shown.split().count("12") == 1  # fret 12 is numbered, face dot 12 is not
    assert picture(draw_setup(a_setup("face")), 180.0) is not None


def test_a_hole_smaller_than_a_pen_can_show_is_drawn_as_large_as_that() -> None:
    hole = Hole("side dots", 3, "side dot 3", (90.0, 3.0), 1.0, -2.0, -2.0, -2.0)
    view = view_of([[0.0, 0.0], [448.0, 0.0], [448.0, 50.0], [0.0, 50.0]], Placement())
    (small,) = sketch(hole, view)
    (large,) = sketch(replace(hole, diameter_mm=20.0), view)
    assert isinstance(small, Circle) and isinstance(large, Circle)
    assert (small.radius_mm, large.radius_mm) == pytest.approx((0.7, 10.0 * 132 / 448))
