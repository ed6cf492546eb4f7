"""Laying a drawing: its sizes, its mirror, its turn, its place."""

import pytest

from outlines.drawn import svg, told
from pearlkerf.errors import Refusal
from pearlkerf.outlines.place import Wanted, placed
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.region import region_of

# 8 by 4 mm, its notch at the upper left
BOOT = read_drawing(svg('<path d="M10 10 H18 V14 H10 V13 H12 V11 H10 Z"/>'), "boot.svg")
BARE = read_drawing(b'<svg xmlns="http://www.w3.org/2000/svg"><rect width="8" height="4"/></svg>', "bare.svg")


def laid(wanted: Wanted, drawing=BOOT):
    by = placed(drawing.figures, wanted, (100.0, -5.0), drawing.has_size, drawing.file)
    return region_of(drawing.figures, by, drawing.file).area


@pytest.mark.parametrize(
    ("wanted", "box"),
    [
        (Wanted(), (96, -7, 104, -3)),
        (Wanted(length_mm=16), (92, -9, 108, -1)),
        (Wanted(width_mm=2), (98, -6, 102, -4)),
        (Wanted(length_mm=16, width_mm=2), (92, -6, 108, -4)),
        (Wanted(turn_deg=90), (98, -9, 102, -1)),
        (Wanted(length_mm=16, turn_deg=-90), (96, -13, 104, 3)),
    ],
)
def test_a_drawing_is_sized_and_its_box_s_centre_is_placed(wanted: Wanted, box) -> None:
    assert laid(wanted).bounds == pytest.approx(box)


@pytest.mark.parametrize(
    ("wanted", "notch"),
    [
        (Wanted(), (97, -5)),
        (Wanted(mirror=True), (103, -5)),
        (Wanted(turn_deg=90), (100, -8)),
        (Wanted(mirror=True, turn_deg=90), (100, -2)),
    ],
)
def test_it_is_mirrored_first_and_then_turned_counter_clockwise(wanted: Wanted, notch) -> None:
    from shapely import Point

    assert laid(wanted).distance(Point(notch)) > 0.9 and laid(Wanted()).area == pytest.approx(28)


def test_a_drawing_without_a_size_is_asked_for_one() -> None:
    assert laid(Wanted(length_mm=8), BARE).bounds == pytest.approx((96, -7, 104, -3))
    with pytest.raises(Refusal) as refused:
        laid(Wanted(), BARE)
    assert told(refused.value) == "bare.svg: the drawing has no size of its own: its lengths have no unit"


def test_a_line_is_not_laid() -> None:
    line = read_drawing(svg('<path d="M1 1 H9 Z"/>'), "line.svg")
    with pytest.raises(Refusal) as refused:
        laid(Wanted(length_mm=9), line)
    assert "what it encloses has no width" in told(refused.value)
