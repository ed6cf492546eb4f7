"""Short ways in the room of a cutter's middle."""

import pytest
import shapely

from pearlkerf.toolpath.rooms import Room

ISLAND = Room(shapely.box(0, 0, 10, 6).difference(shapely.box(4, 1, 6, 4)))
BAY = Room(shapely.box(0, 0, 10, 6).difference(shapely.box(4, 2, 6, 6)))


@pytest.mark.parametrize(
    ("room", "start", "end", "corners"),
    [
        (ISLAND, (1.0, 5.0), (9.0, 5.0), [(9, 5)]),
        (ISLAND, (1.0, 2.0), (9.0, 2.0), [(4, 1), (6, 1), (9, 2)]),
        (ISLAND, (9.0, 3.5), (1.0, 3.5), [(6, 4), (4, 4), (1, 3.5)]),
        (BAY, (1.0, 5.0), (9.0, 5.0), [(4, 2), (6, 2), (9, 5)]),
        (BAY, (1.0, 5.0), (1.0, 5.0), []),
        (BAY, (0.0, 0.0), (10.0, 0.0), [(10, 0)]),
    ],
)
def test_a_way_is_straight_or_goes_round_what_is_in_it(room, start, end, corners) -> None:
    way = [stroke.end for stroke in room.way(start, end)]
    assert way == [pytest.approx(corner) for corner in corners]
    if way:
        assert room.area.buffer(1e-5).covers(shapely.LineString([start, *way]))
