"""A pointing run: places from the nut end on, by the first upright cutter, high between the stops."""

from dataclasses import replace

import pytest

from makers import POCKET_MILL, SLOT_MILL, a_layout, a_machine, clamped
from pearlkerf.errors import Refusal
from pearlkerf.layout.features import Hole
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.plan import plan
from pearlkerf.toolpath.moves import Feed, Toolpath, TraverseHeight, TraversePlane
from pearlkerf.toolpath.pointing import places, point_out

SAW = Cutter(9, "saw", 60.0, 60, 5.0, speed_limit_rpm=4000.0, plunges=False, kerf_mm=0.58, flange_mm=30.0,
             lowest_teeth="away")  # fmt: skip


def run(*cutters: Cutter, height_mm: float = 1.0, **changes: object) -> Toolpath:
    return point_out(plan(clamped(**changes).setups[0], a_machine(*cutters)), height_mm)


def test_places_come_from_the_nut_end_on_each_once() -> None:
    setup = clamped().setups[0]
    shown = places(setup)
    assert [place.point[0] for place in shown] == sorted(place.point[0] for place in shown)
    dots = [place.name for place in shown if isinstance(place.feature, Hole)]
    assert dots == [f"face dot {n}" for n in (3, 5, 7, 9)] + [
        "face dot 12, bass side", "face dot 12, treble side", "face dot 15", "face dot 17"]  # fmt: skip
    frets = [place.name for place in shown if not isinstance(place.feature, Hole)]
    assert frets == [f"fret {n}, {side}" for n in range(1, 21) for side in ("bass side", "treble side")]
    left = [place.name for place in places(clamped(hand="left").setups[0])]
    assert left[:2] == ["fret 1, treble side", "fret 1, bass side"]


def test_between_stops_the_tip_is_at_clearance_and_comes_down_by_feed() -> None:
    for cut in run().paths[0].cuts:
        lift, short, over, down = cut.moves
        assert lift == TraverseHeight(8.0)
        assert isinstance(short, TraversePlane) and isinstance(over, TraversePlane) and isinstance(down, Feed)
        assert (short.x_mm, short.y_mm) == (over.x_mm - 0.5, over.y_mm - 0.5)
        assert (down.x_mm, down.y_mm, down.z_mm) == (over.x_mm, over.y_mm, 1.0)
        assert cut.stop.startswith(cut.name)


def test_the_first_cutter_of_the_setup_points_but_no_saw() -> None:
    assert run().paths[0].cutter == POCKET_MILL  # pockets come first
    sawn = {"face_dots": None, "radius": a_layout().board.radius}
    assert run(SAW, SLOT_MILL, **sawn).paths[0].cutter == SLOT_MILL
    with pytest.raises(Refusal, match="no cutter that could point downward"):
        run(SAW, **sawn)


@pytest.mark.parametrize("height", [0.19, 8.0, -1.0, float("nan")])
def test_heights_out_of_bounds_are_refused(height: float) -> None:
    with pytest.raises(Refusal, match=r"at least 0\.2 mm, less than the clearance of 8 mm"):
        run(height_mm=height)


def test_a_thin_mill_comes_down_no_faster_than_it_plunges() -> None:
    """What stands in the way of the tip is met at a feed that the cutter bears."""
    (path,) = run(SLOT_MILL, face_dots=None).paths
    (feed,) = {move.feed_mm_min for cut in path.cuts for move in cut.moves if isinstance(move, Feed)}
    assert feed == path.figures.plunge_feed_mm_min < 200.0


def test_a_slow_axis_is_not_driven_faster_than_it_bears() -> None:
    machine = a_machine()
    slow = replace(machine, motion=replace(machine.motion, feed_limit_mm_min=(1500.0, 1500.0, 50.0)))
    (path,) = point_out(plan(clamped().setups[0], slow)).paths
    assert {move.feed_mm_min for cut in path.cuts for move in cut.moves if isinstance(move, Feed)} == {50.0}
