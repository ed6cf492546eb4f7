"""The fit of pocket and piece: corners by elementary geometry, vines by plain distances."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from outlines.drawn import region, svg, told
from pearlkerf.errors import Refusal
from pearlkerf.outlines import fit as fit_module
from pearlkerf.outlines.fit import Cutters, closed, fit
from pearlkerf.outlines.limits import MOST_IN_VAIN, SETTLED_MM
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.region import Region
from pearlkerf.outlines.tell import touching_places

CUTTERS = Cutters(pocket_radius_mm=0.5, piece_radius_mm=0.4, gap_mm=0.05)
REACH, RELIEF = 0.475, 0.375
CORNER = 1 - math.pi / 4  # what a rounding takes of a corner, in squares of its radius
FINE_MM2 = 0.003  # chords within 0.001 mm along some mm of curve
# distances between chords and circles, each of either: what buffers leave
CHORDS_MM = 0.003


def fitted(inside: str, cutters: Cutters = CUTTERS):
    return fit(region(read_drawing(svg(inside), "a.svg")), cutters, "a.svg")


def test_a_square_is_rounded_by_the_pocket_s_cutter() -> None:
    found = fitted('<rect width="10" height="10"/>')
    assert found.line.area == pytest.approx(100 - 4 * CORNER * REACH**2, abs=FINE_MM2)
    assert found.pocket.area == pytest.approx(10.05**2 - 4 * CORNER * 0.5**2, abs=FINE_MM2)
    assert found.piece.area == pytest.approx(9.95**2 - 4 * CORNER * 0.45**2, abs=FINE_MM2)


def test_an_inner_corner_is_rounded_by_the_piece_s_cutter() -> None:
    found = fitted('<path d="M0 0H10V4H4V10H0Z"/>')
    assert found.line.area == pytest.approx(64 - 5 * CORNER * REACH**2 + CORNER * RELIEF**2, abs=FINE_MM2)
    by_hand = fitted('<path d="M0 0H10V4H4V10H0Z"/>', Cutters(0.5, None, 0.05))
    assert by_hand.line.area == pytest.approx(64 - 5 * CORNER * REACH**2, abs=FINE_MM2)


def test_where_and_by_how_much_the_drawing_gave_is_told_the_worst_first() -> None:
    found = fitted('<path d="M0 0H10V4H4V10H0Z"/>')
    by = [each.by_mm for each in found.given]
    corner = math.sqrt(2) - 1
    assert by == pytest.approx([corner * REACH] * 5 + [corner * RELIEF], abs=CHORDS_MM)
    assert found.given[5].place == pytest.approx((4, -4), abs=CHORDS_MM)
    assert {(round(each.place[0]), round(each.place[1])) for each in found.given[:5]} == {
        (0, 0), (10, 0), (10, -4), (4, -10), (0, -10),
    }  # fmt: skip


def test_a_circle_does_not_give() -> None:
    found = fitted('<circle cx="9" cy="9" r="5"/>')
    assert found.given == () and found.lost == ()
    assert found.pocket.area == pytest.approx(math.pi * 5.025**2, abs=2 * FINE_MM2 * 5)


def test_holes_and_parts_of_which_nothing_is_left_are_lost_not_given() -> None:
    drawn = (
        '<path fill-rule="evenodd" d="M0 0H10V10H0Z M4 4 h.6 v.6 h-.6Z M6 6h2v2h-2Z"/><circle cx="20" cy="5" r=".4"/>'
    )
    part, hole = fitted(drawn).lost
    assert (part.what, hole.what) == ("part", "hole")
    assert part.place == pytest.approx((20, -5), abs=0.01) and part.width_mm == pytest.approx(0.8, abs=0.01)
    assert hole.place == pytest.approx((4.3, -4.3), abs=0.01) and hole.width_mm == pytest.approx(0.6, abs=0.01)
    assert len(fitted(drawn).line.geoms[0].interiors) == 1
    assert max(each.by_mm for each in fitted(drawn).given) < 0.3


def test_a_hole_keeps_the_gap_too() -> None:
    found = fitted('<path fill-rule="evenodd" d="M0 0H20V20H0Z M5 5H15V15H5Z"/>')
    assert shapely.distance(found.piece.boundary, found.pocket.boundary) == pytest.approx(0.05, abs=0.001)
    (hole,) = found.pocket.geoms[0].interiors
    assert hole.bounds == pytest.approx((5.025, -14.975, 14.975, -5.025), abs=0.001)


def test_what_no_cutter_enters_is_refused_with_its_place() -> None:
    with pytest.raises(Refusal) as refused:
        fitted('<rect x="4" y="6" width="8" height=".9"/>')
    assert told(refused.value).startswith("a.svg: at X ") and "it is nowhere wide enough" in told(refused.value)
    assert fitted('<rect x="4" y="6" width="8" height=".96"/>').line.area > 7


def a_vine(seed: int) -> Region:
    """Give branches that cross and nearly touch, of all widths."""
    random, t = np.random.default_rng(seed), np.linspace(0, 1, 40)[:, None]
    branches = []
    for _ in range(int(random.integers(4, 9))):
        a, b, c = random.uniform(0, 20, 2), random.uniform(-5, 25, 2), random.uniform(0, 20, 2)
        line = shapely.LineString((1 - t) ** 2 * a + 2 * t * (1 - t) * b + t**2 * c)
        branches.append(shapely.buffer(line, random.uniform(0.3, 1.2)))
    return Region(shapely.MultiPolygon(list(shapely.get_parts(shapely.union_all(branches)))))


def reached(area: shapely.Geometry, radius_mm: float) -> shapely.Geometry:
    """Give where a disc's middle may be, each corner of it held by its plain distance from the area's edge."""
    middles = shapely.buffer(area, CHORDS_MM - radius_mm, quad_segs=64)
    corners = shapely.points(shapely.get_coordinates(middles))
    shapely.prepare(area.boundary)
    assert shapely.length(shapely.shortest_line(area.boundary, corners)).min() > radius_mm - 2 * CHORDS_MM
    return middles


def along(area: shapely.Geometry) -> np.ndarray:
    """Give places all along an area's edges."""
    return shapely.points(shapely.get_coordinates(shapely.segmentize(area.boundary, 0.1)))


@settings(deadline=None, max_examples=EXAMPLES or 3)
@given(st.integers(0, 10**6))
def test_a_vine_settles_so_that_both_cutters_follow_it(seed: int) -> None:
    vine = a_vine(seed)
    found = fit(vine, CUTTERS, "vine")
    for area, radius in ((found.pocket, 0.5), (shapely.box(-9, -9, 29, 29).difference(found.piece), 0.4)):
        edge = along(found.pocket if radius == 0.5 else found.piece)
        away = shapely.distance(edge, reached(area, radius))
        assert away.max() < radius + SETTLED_MM + 2 * CHORDS_MM
    assert shapely.distance(along(found.piece), found.pocket.boundary).min() > 0.05 - 0.001
    assert shapely.distance(along(found.pocket), found.piece).max() < 0.05 + 0.1
    assert touching_places(Region(found.pocket)) == () and found.piece.within(found.pocket)


def test_a_disc_hardly_wider_than_its_cutter_is_soon_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    rounds = []
    monkeypatch.setattr(fit_module, "closed", lambda *given: rounds.append(1) or closed(*given))
    angle = np.linspace(0, 2 * math.pi, 131, endpoint=False)
    disc = shapely.Polygon(2.985 * np.column_stack([np.cos(angle), np.sin(angle)]))
    with pytest.raises(Refusal, match="come too near each other"):
        fit(Region(shapely.MultiPolygon([disc])), Cutters(3.005, 1.505, 0.05), "disc")
    assert len(rounds) <= MOST_IN_VAIN + 3  # each round has more corners than the one before


def test_places_are_told_ten_at_most() -> None:
    teeth = " ".join(f"{x} {10 * (x % 2)}" for x in range(30))
    found = fitted(f'<polygon points="{teeth} 30 20 0 20"/>')
    assert len(found.given) == 10 and found.given[0].by_mm == max(each.by_mm for each in found.given)
