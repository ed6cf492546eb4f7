"""Pieces on blanks: held by plain distances between their outlines, whatever packed them."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from how_often import EXAMPLES
from pearlkerf.errors import Refusal
from pearlkerf.setups.blanks import Laid, Rectangle, ToLay, free_rooms, snuggest_deg, turning
from pearlkerf.setups.closer import closer
from pearlkerf.setups.nesting import Nest, nest, worth
from setups.stars import blanks, nest_of, star, stars

CHANNEL_MM, WALL_MM = 0.7, 0.6
LONG, SQUARE = shapely.box(0, 0, 20, 2), shapely.box(0, 0, 8, 8)
ROUNDING_MM = 1e-5


def faults(asked: Nest, laid: tuple[Laid, ...]) -> list[str]:
    """Give what is wrong with a packing, by distances between channels, edges and used places."""
    by_name, found = {each.name: each for each in asked.pieces}, []
    cuts = {each.piece: by_name[each.piece].laid(each).buffer(CHANNEL_MM) for each in laid}
    for blank in asked.blanks:
        here = [each.piece for each in laid if each.blank == blank.identity]
        inside = shapely.box(*blank.whole).buffer(-WALL_MM + ROUNDING_MM)
        found += [f"{name} over the edge" for name in here if not inside.contains(cuts[name])]
        found += [
            f"{name} on what is used" for name in here for used in blank.used
            if cuts[name].distance(shapely.box(*used)) < WALL_MM / 2 - ROUNDING_MM
        ]  # fmt: skip
        found += [
            f"{one} near {other}" for one, other in combinations(here, 2)
            if cuts[one].distance(cuts[other]) < WALL_MM - ROUNDING_MM
        ]  # fmt: skip
    return found


@pytest.fixture(scope="module")
def sixty() -> Nest:
    return nest_of(stars(60), blanks(12))


def test_sixty_pieces_lie_apart_on_as_few_blanks_as_boxes_need(sixty: Nest) -> None:
    laid = nest(sixty)
    assert [each.piece for each in laid] == [each.name for each in sixty.pieces]
    assert faults(sixty, laid) == []
    assert max(each.blank[1] for each in laid) == 5
    assert nest(sixty) == laid


def test_what_is_used_is_left_alone_and_kept_pieces_stay() -> None:
    used = (Rectangle(0, 0, 15, 25), Rectangle(20, 10, 26, 13))
    kept = Laid("star 3", (0, 1), (34.0, 6.0), 12.5)
    asked = nest_of(stars(8), (*blanks(1, used=used), *blanks(3)[1:]), kept=(kept,))
    laid = nest(asked)
    assert laid[2] == kept and faults(asked, laid) == []


def test_a_piece_lies_where_its_place_says_turned_about_the_middle_of_its_box() -> None:
    lying = ToLay("a", LONG).laid(Laid("a", (0, 1), (12.5, 8.0), 90.0))
    assert lying.bounds == (11.5, -2.0, 13.5, 18.0)
    assert np.allclose(turning(450), [[0, -1], [1, 0]], atol=0)


def test_a_leaning_piece_is_turned_to_its_smallest_box_but_keeps_its_figure() -> None:
    leaning = ToLay("a", shapely.affinity.rotate(LONG, 27.3))
    assert snuggest_deg(leaning, "any") % 90 == pytest.approx(90 - 27.3)
    assert snuggest_deg(leaning, "lengthwise") == snuggest_deg(leaning, "one way") == 0
    upright = ToLay("a", shapely.box(0, 0, 2, 30))
    [laid] = nest(nest_of((upright,), blanks(1)))
    assert laid.turn_deg == 90.0
    with pytest.raises(Refusal, match="a is larger than any blank"):
        nest(nest_of((upright,), blanks(1, figure="lengthwise")))


def test_too_few_blanks_are_told_with_how_many_would_do(sixty: Nest) -> None:
    asked = replace(sixty, blanks=blanks(3))
    with pytest.raises(
        Refusal, match=r"of 60 pieces find no place on the 3 blanks.*count = (5|6) of 40 mm by 25"
    ) as why:
        nest(asked)
    count = int(why.value.problems[0].allowed.split()[2])
    assert faults(asked, ()) == [] and nest(replace(sixty, blanks=blanks(count)))


def test_too_small_a_blank_is_told_with_the_size_that_would_do() -> None:
    piece = ToLay("wave 5", shapely.box(0, 0, 50, 10))
    with pytest.raises(Refusal, match=r"wave 5 is larger than any blank of mother-of-pearl.*52\.6 mm by 12\.6 mm"):
        nest(nest_of((piece,), blanks(2)))
    enough = tuple(replace(each, length_mm=52.6, width_mm=12.6) for each in blanks(1))
    asked = nest_of((piece,), enough)
    assert faults(asked, nest(asked)) == []


@pytest.mark.parametrize(
    ("place", "why"),
    [
        (Laid("a", (0, 1), (4.0, 12.0), 0.0), "too near the edge"),
        (Laid("a", (0, 1), (30.0, 12.0), 0.0), "meets a place that is used"),
        (Laid("a", (0, 1), (14.0, 12.0), 30.0), 'turned by 30 degrees, and the figure of the blank is "lengthwise"'),
        (Laid("a", (0, 1), (13.0, 6.5), 180.0), "too near that of b"),
    ],
)
def test_a_place_that_is_none_is_refused(place: Laid, why: str) -> None:
    on = blanks(1, used=(Rectangle(34, 0, 40, 25),), figure="lengthwise")
    b = Laid("b", (0, 1), (14.0, 16.0), 0.0)
    pieces = (ToLay("b", shapely.box(0, 0, 8, 8)), ToLay("a", SQUARE))
    with pytest.raises(Refusal, match=why):
        nest(nest_of(pieces, on, kept=(b, place)))


@given(st.lists(st.tuples(*[st.integers(0, 30)] * 4).map(lambda v: Rectangle(v[0], v[1], v[0] + v[2], v[1] + v[3]))))
@settings(max_examples=EXAMPLES or 30, deadline=None)
def test_free_rooms_are_all_that_is_left_and_do_not_overlap(taken: list[Rectangle]) -> None:
    whole = Rectangle(0, 0, 40, 25)
    rooms = [shapely.box(*room) for room in free_rooms(whole, taken)]
    left = shapely.box(*whole).difference(shapely.union_all([shapely.box(*each) for each in taken]))
    assert shapely.union_all(rooms).symmetric_difference(left).area == pytest.approx(0, abs=1e-9)
    assert sum(room.area for room in rooms) == pytest.approx(left.area)


def test_a_closer_packing_is_proposed_only_where_it_is_closer_and_holds() -> None:
    asked = nest_of(tuple(ToLay(f"star {n}", star(3, 4.0)) for n in range(12)), blanks(4))
    boxes = nest(asked)
    found = closer(asked, 2, boxes)
    assert found is not None and worth(asked, found) < worth(asked, boxes)
    assert faults(asked, found) == [] and {each.piece for each in found} == {each.piece for each in boxes}
    assert nest(replace(asked, kept=found)) == tuple(sorted(found, key=lambda each: int(each.piece[5:])))
    square = nest_of((ToLay("a", SQUARE),), blanks(1))
    assert closer(square, 1, nest(square)) is None
