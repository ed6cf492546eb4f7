"""Coupons on scrap: notches that tell every size apart, all clear of each other and of the edges, offers that hold."""

import re
from dataclasses import replace
from itertools import combinations

import pytest
import shapely

from makers import POCKET_MILL, SIDE_MILL, SLOT_MILL, a_layout
from pearlkerf.errors import Refusal
from pearlkerf.layout.features import Feature, Hole, Slot
from pearlkerf.layout.limits import WALL
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.coupons import (
    Coupon,
    lay_out_coupon,
)
from pearlkerf.setups.notches import LONG_MM, SHORT_MM, notch_code
from pearlkerf.setups.samples import Trial
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.steps import MOST_STEPS, Steps

CLEAR_MM = 4.0  # what the README promises
THIN_MILL = Cutter(4, "end mill", 0.4, 2, 3.0)
BIT = Cutter(5, "brad point", 2.0, 2, 8.0, point_length_mm=0.5)
SIZES = tuple(6.0 + step for step in Steps().values_mm())
POCKETS = Trial(Hole, "face dots", 6.0, 1.5, False, POCKET_MILL, SIZES, 0.0, ("face_dots", "fit"))
SIDE_HOLES = Trial(
    Hole, "side dots", 2.0, 3.0, False, SIDE_MILL, tuple(size - 4.0 for size in SIZES), 0.0, ("side_dots", "fit")
)
THROUGH = Trial(
    Slot, "frets", 0.58, 2.2, True, THIN_MILL, tuple(size - 5.42 for size in SIZES), 0.0, ("fret_slots", "fit")
)
STOPPED = replace(THROUGH, through=False)
ONE_SLOT = replace(THROUGH, cutter=SLOT_MILL, sizes_mm=(0.58,))
ONE_BIT = replace(SIDE_HOLES, cutter=BIT, sizes_mm=(2.0,))
MIXES = [(POCKETS, THROUGH, SIDE_HOLES), (POCKETS, STOPPED, SIDE_HOLES), (POCKETS, ONE_SLOT, ONE_BIT), (THROUGH,)]


def a_coupon(trials: tuple[Trial, ...], scrap: Scrap | None = None) -> Coupon:
    return lay_out_coupon(a_layout(), trials, Steps(), scrap)


def area_of(feature: Feature) -> shapely.Geometry:
    if isinstance(feature, Hole):
        return shapely.Point(feature.centre).buffer(feature.diameter_mm / 2)
    (x, low), (_, high), half = feature.start, feature.end, feature.width_mm / 2
    inset = 0.0 if feature.through else half
    return shapely.LineString([(x, low + inset), (x, high - inset)]).buffer(
        half, cap_style="flat" if feature.through else "round"
    )


def counted(notches: tuple[Feature, ...]) -> int:
    """Count notches as the card says: a long one three, a short one or a dimple one."""
    runs = [notch.end[1] - notch.start[1] - notch.width_mm if isinstance(notch, Slot) else 0.0 for notch in notches]
    return sum(3 if run > (SHORT_MM + LONG_MM) / 2 else 1 for run in runs)


@pytest.mark.parametrize("trials", MIXES)
@pytest.mark.parametrize("scrap", [None, Scrap(400.0, 60.0, 7.0), Scrap(150.0, 75.0, 7.0)])
def test_everything_is_apart_and_clear_of_the_edges(trials: tuple[Trial, ...], scrap: Scrap | None) -> None:
    coupon = a_coupon(trials, scrap)
    length, width = coupon.scrap.length_mm, coupon.scrap.width_mm
    areas = [(feature, area_of(feature)) for feature in coupon.setup.features]
    for feature, area in areas:
        left, low, right, high = area.bounds
        assert min(left, length - right) >= CLEAR_MM - 1e-6
        if isinstance(feature, Slot) and feature.through:
            assert (low, high) == (0.0, width)
        else:
            assert min(low, width - high) >= CLEAR_MM - 1e-6
    for (first, one), (second, other) in combinations(areas, 2):
        assert shapely.distance(one, other) >= WALL.advised_mm - 1e-3, (first.name, second.name)


@pytest.mark.parametrize("trials", MIXES)
def test_every_sample_has_its_number_cut_beside_it_by_its_own_cutter(trials: tuple[Trial, ...]) -> None:
    coupon = a_coupon(trials)
    for trial in trials:
        samples = [sample for sample in coupon.samples if sample.feature.group == trial.group]
        assert [counted(sample.notches) for sample in samples] == list(range(1, len(trial.sizes_mm) + 1))
        assert [sample.feature.number for sample in samples] == [counted(sample.notches) for sample in samples]
        for sample in samples:
            beside = [shapely.distance(area_of(notch), area_of(sample.feature)) for notch in sample.notches]
            others = [area_of(other.feature) for other in coupon.samples if other is not sample]
            for notch, near in zip(sample.notches, beside, strict=True):
                assert near < min((shapely.distance(area_of(notch), other) for other in others), default=99.0)
                assert notch.cutter == sample.feature.cutter == trial.cutter.number
                size = notch.width_mm if isinstance(notch, Slot) else notch.diameter_mm
                assert size == trial.cutter.diameter_mm


def test_numbers_are_told_apart_by_their_notches() -> None:
    codes = [notch_code(number) for number in range(1, MOST_STEPS + 1)]
    assert len(set(codes)) == MOST_STEPS
    assert [3 * long + short for long, short in codes] == list(range(1, MOST_STEPS + 1))


def test_sizes_and_fits_are_what_the_steps_say() -> None:
    coupon = a_coupon((POCKETS,))
    assert [round(sample.fit_mm, 6) for sample in coupon.samples] == list(Steps().values_mm())
    assert [sample.feature.diameter_mm for sample in coupon.samples] == list(SIZES)
    assert Steps(0.0, 0.0, 0.1).values_mm() == (0.0,)
    assert Steps(-0.1, 0.1, 0.1).values_mm() == (-0.1, 0.0, 0.1)
    for wrong in (Steps(0.1, 0.0, 0.1), Steps(0.0, 0.1, 0.0), Steps(0.0, 0.1, -0.1), Steps(0.0, 1.0, 0.001)):
        with pytest.raises(Refusal):
            wrong.values_mm()
    with pytest.raises(Refusal) as refused:
        Steps(0.0, 0.5, 0.01).values_mm()
    (by,) = re.findall(r"--step ([\d.]+) mm", refused.value.problems[0].hint)
    assert len(Steps(0.0, 0.5, float(by)).values_mm()) <= MOST_STEPS


@pytest.mark.parametrize("trials", MIXES[:3])
@pytest.mark.parametrize("small", [Scrap(90.0, 24.0, 7.0), Scrap(60.0, 42.0, 7.0), Scrap(9.0, 9.0, 7.0)])
def test_scrap_that_is_too_small_is_told_what_would_do(trials: tuple[Trial, ...], small: Scrap) -> None:
    try:
        a_coupon(trials, small)
    except Refusal as refusal:
        (problem,) = refusal.problems
    else:
        pytest.skip("it fits")
    longer = re.search(r"([\d.]+) mm long at this width", problem.allowed)
    wider = re.search(r"([\d.]+) mm wide at this length", problem.allowed)
    both = re.search(r"([\d.]+) mm long and ([\d.]+) mm wide", problem.allowed)
    offers = [replace(small, length_mm=float(longer[1]))] if longer else []
    offers += [replace(small, width_mm=float(wider[1]))] if wider else []
    offers += [replace(small, length_mm=float(both[1]), width_mm=float(both[2]))] if both else []
    assert offers
    for offer in offers:
        a_coupon(trials, offer)
    for offer in offers[:1] if longer else []:
        with pytest.raises(Refusal):
            a_coupon(trials, replace(offer, length_mm=offer.length_mm - 1.0))


def test_scrap_that_is_too_thin_is_told_how_thick() -> None:
    with pytest.raises(Refusal) as refused:
        a_coupon((SIDE_HOLES,), Scrap(200.0, 60.0, 4.0))
    (problem,) = refused.value.problems
    (thick,) = re.findall(r"at least ([\d.]+) mm thick", problem.hint)
    assert float(thick) == 4.5  # 3.0 mm deep, 1.5 mm must stay
    a_coupon((SIDE_HOLES,), Scrap(200.0, 60.0, float(thick)))


def test_nothing_to_try_is_refused() -> None:
    with pytest.raises(Refusal, match="nothing to try"):
        a_coupon(())
