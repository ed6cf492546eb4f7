"""Page and card show what holds the wood: each box by name, where it stands; the wood hides what lies under it."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from makers import clamped
from pearlkerf.pictures.drawing import PENS, Drawing, Layer, Text, points_of
from pearlkerf.pictures.held import held
from pearlkerf.pictures.page.sketch import draw_sketch
from pearlkerf.pictures.setup import draw_players_view, draw_setup
from pearlkerf.setups.model import Box, Placement, Setup


def box(x: tuple[float, float], y: tuple[float, float], top: float, name: str = "clamp") -> Box:
    return Box(name, ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])), top)


def face(*boxes: Box, **changes: object) -> Setup:
    setup = next(setup for setup in clamped().setups if setup.name == "face")
    return replace(setup, holding=boxes, **changes)  # type: ignore[arg-type]


def drawn(drawing: Drawing, layer: Layer) -> list[tuple[float, float, float, float]]:
    """The boxes of a layer's paths: left, low, right, high."""
    found = []
    for thing in drawing.of(layer):
        xs, ys = zip(*points_of([thing]), strict=True)
        found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def test_a_box_stands_where_it_is_said_to_on_the_wood_s_own_scale() -> None:
    drawing = draw_setup(face(box((100, 148), (-10, 20), 4.0)))
    (wood,), (clamp,) = drawn(drawing, "wood"), drawn(drawing, "held")
    scale = (wood[2] - wood[0]) / 448.0
    middle = (wood[1] + wood[3]) / 2
    assert clamp == pytest.approx(
        (wood[0] + 100 * scale, middle - 10 * scale, wood[0] + 148 * scale, middle + 20 * scale)
    )


@pytest.mark.parametrize(("top", "over"), [(4.0, True), (-2.0, False)])
def test_the_wood_hides_what_stays_below_its_top(top: float, over: bool) -> None:
    drawing = draw_setup(face(box((100, 148), (-10, 20), top)))
    layers = [thing.layer for thing in drawing.things]
    assert (layers.index("held") > layers.index("wood")) == over
    assert layers.index("held-names") > layers.index("wood")
    assert PENS["wood"].ground == "paper"


def test_boxes_do_not_turn_with_the_board() -> None:
    clamp = box((100, 148), (-10, 10), 4.0)
    (turned,) = draw_setup(face(clamp, placement=Placement(1.0))).of("held")
    (straight,) = draw_setup(face(clamp)).of("held")
    assert {len({corner[axis] for corner in points_of([turned])}) for axis in (0, 1)} == {2}
    wide = [max(x) - min(x) for x in ([x for x, _ in points_of([each])] for each in (turned, straight))]
    assert wide[0] == pytest.approx(wide[1], rel=0.02)


def test_what_reaches_out_of_the_picture_is_cut_off_at_its_rim() -> None:
    clamps = (box((-500, -10), (-5, 5), 4.0, "long"), box((900, 950), (-5, 5), 4.0, "beyond"))
    (shown,) = held(face(*clamps), ((-50.0, 40.0), (500.0, -40.0)))
    assert (shown.name, shown.low, shown.high) == ("long", (-50.0, -5.0), (-10.0, 5.0))
    (tall,) = held(face(box((10, 20), (-500, 500), 4.0)), ((-50.0, 40.0), (500.0, -40.0)))
    assert (tall.low, tall.high) == ((10, -40.0), (20, 40.0))
    ((left, _, right, _),) = drawn(draw_setup(face(*clamps)), "held")
    assert 0.0 <= left < right <= 180.0


def test_each_box_is_named() -> None:
    drawing = draw_setup(face(box((100, 148), (-10, 20), 4.0, 'a <b> & "c"'), box((-30, -5), (-9, 9), 4.0, "toe")))
    assert {'a <b> & "c"', "toe"} == {thing.text for thing in drawing.of("held-names") if isinstance(thing, Text)}
    shown = [each.text for each in ElementTree.fromstring(draw_sketch(drawing)).iter("text")]
    assert {'a <b> & "c"', "toe"} <= set(shown)


def test_where_nothing_holds_no_box_is_drawn() -> None:
    edge = next(setup for setup in clamped().setups if setup.name == "edge")
    clamp = replace(edge, holding=(box((0, 40), (-20, 0), -1.0),))
    assert not draw_setup(face()).of("held")
    assert not draw_players_view(clamp.stock.outline, clamp.features).of("held")
