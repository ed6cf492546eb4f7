"""What a region cannot be cut as is told with its place and its width."""

import pytest

from outlines.drawn import region, svg
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.tell import narrow_parts, touching_places


def drawn(inside: str):
    return region(read_drawing(svg(inside), "a.svg"))


def test_parts_that_no_cutter_enters_are_told_with_place_and_width() -> None:
    leaf = drawn(
        '<rect width="9" height="9"/><rect x="20" y="1" width=".4" height="9"/><circle cx="30" cy="9" r=".3"/>'
    )
    (rod, dot) = narrow_parts(leaf, 0.8)
    assert rod.width_mm == pytest.approx(0.4, abs=0.002) and rod.place[0] == pytest.approx(20.2, abs=0.002)
    assert dot.width_mm == pytest.approx(0.6, abs=0.003) and dot.place == pytest.approx((30, -9), abs=0.003)
    assert [narrow.width_mm for narrow in narrow_parts(leaf, 0.5)] == [rod.width_mm]
    assert narrow_parts(leaf, 0.3) == ()


@pytest.mark.parametrize(
    ("inside", "places"),
    [
        ('<path d="M0 0H9V9H0Z M9 9H12V12H9Z"/>', ((9, -9),)),
        ('<path d="M0 0H9V9H0Z" /><path d="M9 2 L12 0 V4 Z"/>', ((9, -2),)),
        ('<path d="M0 0H9V9H0Z M0 4 L4 2 L4 6 Z" fill-rule="evenodd"/>', ((0, -4),)),
        ('<path d="M0 0H9V9H0Z M9 0H12V9H9Z"/>', ()),
        ('<path d="M0 0H9V9H0Z M2 2H4V4H2Z" fill-rule="evenodd"/>', ()),
        ('<path d="M0 0 L6 6 V0 L0 6 Z"/>', ((3, -3),)),
    ],
)
def test_parts_and_holes_that_touch_in_a_point_are_told(inside: str, places) -> None:
    found = touching_places(drawn(inside))
    assert len(found) == len(places)
    assert all(one == pytest.approx(other) for one, other in zip(found, places, strict=True))
