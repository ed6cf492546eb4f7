"""Page and card show what holds the wood: each box by name, where it stands; the wood hides what lies under it."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from makers import clamped
from pearlkerf.pictures.card.pictures import setup_drawing
from pearlkerf.pictures.drawing import Path, Text
from pearlkerf.pictures.held import held
from pearlkerf.pictures.page.setup import players_view, setup_picture
from pearlkerf.setups.model import Box, Placement, Setup


def box(x: tuple[float, float], y: tuple[float, float], top: float, name: str = "clamp") -> Box:
    return Box(name, ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])), top)


def face(*boxes: Box, **changes: object) -> Setup:
    setup = next(setup for setup in clamped().setups if setup.name == "face")
    return replace(setup, holding=boxes, **changes)  # type: ignore[arg-type]


def drawn(svg: str, kind: str) -> list[tuple[float, float, float, float]]:
    """The boxes of polygons of a class, in drawing units: left, top, right, bottom."""
    found = []
    for points in re.findall(rf'class="{kind}" points="([^"]+)"', svg):
        pairs = [tuple(map(float, pair.split(","))) for pair in points.split()]
        xs, ys = [x for x, _ in pairs], [y for _, y in pairs]
        found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def test_a_box_stands_where_it_is_said_to_on_the_wood_s_own_scale() -> None:
    svg = setup_picture(face(box((100, 148), (-10, 20), 4.0)))
    (wood,), (clamp,) = drawn(svg, "wood"), drawn(svg, "box")
    scale = (wood[2] - wood[0]) / 448.0
    middle = (wood[1] + wood[3]) / 2
    assert clamp[0] - wood[0] == pytest.approx(100 * scale, abs=0.2)
    assert clamp[2] - clamp[0] == pytest.approx(48 * scale, abs=0.2)
    assert middle - clamp[1] == pytest.approx(20 * scale, abs=0.2)
    assert clamp[3] - middle == pytest.approx(10 * scale, abs=0.2)


@pytest.mark.parametrize(("top", "over"), [(4.0, True), (-2.0, False)])
def test_the_wood_hides_what_stays_below_its_top(top: float, over: bool) -> None:
    svg = setup_picture(face(box((100, 148), (-10, 20), top)))
    assert (svg.index('class="box"') > svg.index('class="wood"')) == over


def test_boxes_do_not_turn_with_the_board() -> None:
    clamp = box((100, 148), (-10, 10), 4.0)
    turned = drawn(setup_picture(face(clamp, placement=Placement(1.0))), "box")[0]
    corners = drawn(setup_picture(face(clamp)), "box")[0]
    assert turned[2] - turned[0] == pytest.approx(corners[2] - corners[0], rel=0.02)
    points = re.findall(r'class="box" points="([^"]+)"', setup_picture(face(clamp, placement=Placement(1.0))))
    assert len({pair.split(",")[0] for pair in points[0].split()}) == 2


def test_what_reaches_out_of_the_picture_is_cut_off_at_its_rim() -> None:
    clamps = (box((-500, -10), (-5, 5), 4.0, "long"), box((900, 950), (-5, 5), 4.0, "beyond"))
    (shown,) = held(face(*clamps), ((-50.0, 40.0), (500.0, -40.0)))
    assert (shown.name, shown.low, shown.high) == ("long", (-50.0, -5.0), (-10.0, 5.0))
    (tall,) = held(face(box((10, 20), (-500, 500), 4.0)), ((-50.0, 40.0), (500.0, -40.0)))
    assert (tall.low, tall.high) == ((10, -40.0), (20, 40.0))
    left, _, right, _ = drawn(setup_picture(face(*clamps)), "box")[0]
    assert 0.0 <= left < right <= 760.0


def test_names_are_shown_as_text_only() -> None:
    svg = setup_picture(face(box((100, 148), (-10, 20), 4.0, 'a <b> & "c"')))
    titles = [each.text for each in ElementTree.fromstring(svg).iter("title")]
    assert titles == ['a <b> & "c"']


def test_the_card_shows_the_same_boxes() -> None:
    drawing = setup_drawing(face(box((100, 148), (-10, 20), 4.0, "middle clamp"), box((-30, -5), (-9, 9), 4.0, "toe")))
    boxes = [thing for thing in drawing.of("blank") if isinstance(thing, Path)]
    (outline,) = (thing for thing in drawing.of("outline") if isinstance(thing, Path) and len(thing.corners) == 4)
    scale = (max(x for x, _ in outline.corners) - min(x for x, _ in outline.corners)) / 448.0
    widths = [max(x for x, _ in each.corners) - min(x for x, _ in each.corners) for each in boxes]
    assert widths == pytest.approx([48 * scale, min(25 * scale, 180.0)], abs=0.01)
    assert {"middle clamp", "toe"} <= {thing.text for thing in drawing.things if isinstance(thing, Text)}


def test_where_nothing_holds_no_box_is_drawn() -> None:
    edge = next(setup for setup in clamped().setups if setup.name == "edge")
    clamp = replace(edge, holding=(box((0, 40), (-20, 0), -1.0),))
    assert "box" not in setup_picture(face())
    assert not setup_drawing(face()).of("blank")
    assert "box" not in players_view(clamp).replace("viewBox", "")
