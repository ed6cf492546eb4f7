"""Saws: the blade's chord, room for flange and clamps, what a straight blade cannot cut and what is used instead."""

import math
from dataclasses import replace

import numpy as np
import pytest

from makers import INCH, POCKET_MILL, SIDE_MILL, SLOT_MILL, a_board, a_machine, clamped
from pearlkerf.board.model import Radius
from pearlkerf.errors import Refusal
from pearlkerf.layout.features import Slot
from pearlkerf.machine.blades import half_chord_mm
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.plan import plan
from pearlkerf.operations.saws import clamps_mm, cone_mm, flange_above_mm, run_out_mm, tips_mm
from pearlkerf.setups.model import Placement

FLAT = Radius(math.inf, math.inf)
SAW = Cutter(
    4, "saw", 63.0, 100, 9.0, 3000, 9000, plunges=False, kerf_mm=0.58, flange_mm=32.0, lowest_teeth="away"
)  # fmt: skip


def face(**changes):
    return next(setup for setup in clamped(**changes).setups if setup.name == "face")


def how(setup, *cutters):
    stages = plan(setup, a_machine(*cutters)).stages
    return {
        operation.strategy for stage in stages for operation in stage.operations if isinstance(operation.feature, Slot)
    }


@pytest.mark.parametrize(("diameter", "depth", "chord"), [
    (3 * INCH, 0.090 * INCH, 1.023523 * INCH), (50.0, 2.3, 20.948508), (63.0, 2.3, 23.631335), (80.0, 2.3, 26.736492),
])  # fmt: skip
def test_the_chord_of_a_blade(diameter, depth, chord):
    """c = 2 sqrt(d (D - d)), by calculation to six places from the circle's equation."""
    assert math.isclose(2 * float(half_chord_mm(depth, diameter)), chord, abs_tol=2e-5)


def test_the_run_out_is_half_the_chord_and_a_millimetre():
    flat = face(radius=FLAT, end_width_mm=a_board().nut_width_mm)
    slot = next(feature for feature in flat.features if isinstance(feature, Slot))
    depth = -float(slot.floor.z_mm(*slot.end))
    low, high = run_out_mm(slot, flat.stock, 1.0, 63.0)
    assert math.isclose(high - slot.end[1], math.sqrt(depth * (63.0 - depth)) + 1.0, abs_tol=1e-9)
    assert math.isclose(slot.start[1] - low, high - slot.end[1], abs_tol=1e-9)


def test_a_clamp_stays_off_by_the_run_out_and_the_blades_reach_at_its_height():
    flat = face(radius=FLAT, end_width_mm=a_board().nut_width_mm)
    slot = next(feature for feature in flat.features if isinstance(feature, Slot))
    depth = -float(slot.floor.z_mm(*slot.end))
    run_out = math.sqrt(depth * (63.0 - depth)) + 1.0
    for height in (0.0, 5.0, 12.0):
        reach = math.sqrt((depth + height) * (63.0 - depth - height))
        assert math.isclose(clamps_mm(slot, flat.stock, SAW, height), run_out + reach, abs_tol=1e-9)
    for height in (31.5 - depth, 40.0, 200.0):
        assert math.isclose(clamps_mm(slot, flat.stock, SAW, height), run_out + 31.5, abs_tol=1e-9)


def test_the_centre_follows_the_floor_along_its_normal():
    """Under an arc of radius R the centre runs along one of radius R + B/2 about the same point."""
    setup = face()
    slot = next(feature for feature in setup.features if isinstance(feature, Slot))
    crown = slot.floor.crown
    assert crown is not None
    radius = float(crown.radius_mm(slot.start[0]))
    about = slot.floor.crown_z_mm - radius
    tips = tips_mm(slot, setup.stock, 1.0, 63.0, np.linspace(slot.start[1], slot.end[1], 21))
    away = np.hypot(tips[:, 0], tips[:, 1] + 31.5 - about)
    assert np.allclose(away, radius + 31.5, atol=1e-6)


def test_a_saw_that_fits_is_taken_before_a_mill():
    assert how(face(), SLOT_MILL, POCKET_MILL, SIDE_MILL, SAW) == {"sawn"}


@pytest.mark.parametrize("changes", [
    {"kerf_mm": 0.61}, {"kerf_mm": 0.55}, {"reach_mm": 2.5}, {"flange_mm": 57.0}, {"arbor_mm": 57.0}, {"kerf_mm": None},
])  # fmt: skip
def test_a_mill_takes_what_a_saw_cannot(changes):
    assert how(face(), SLOT_MILL, POCKET_MILL, SIDE_MILL, replace(SAW, **changes)) == {"full width"}


def test_stopped_and_slanted_slots_are_milled():
    stopped = face(fret_slots=replace(a_board().fret_slots, ends="stopped"))
    assert how(stopped, SLOT_MILL, POCKET_MILL, SIDE_MILL, SAW) == {"full width"}
    assert how(replace(face(), placement=Placement(0.2)), SLOT_MILL, POCKET_MILL, SIDE_MILL, SAW) == {"full width"}
    assert how(replace(face(), placement=Placement(0.001)), SLOT_MILL, POCKET_MILL, SIDE_MILL, SAW) == {"sawn"}


def slanted(setup, degrees):
    """Give a setup whose slots are turned about their middles."""

    def turned(slot):
        (x, _), reach, angle = slot.anchor, slot.line.length_mm / 2, math.radians(degrees)
        along, across = reach * math.cos(angle), reach * math.sin(angle)
        return replace(slot, start=(x + across, -along), end=(x - across, along))

    return replace(setup, features=tuple(turned(each) if isinstance(each, Slot) else each for each in setup.features))


@pytest.mark.parametrize("turned_deg", [0.0, -3.0])
def test_a_slot_that_slants_on_the_board_is_not_sawn_though_the_board_be_turned_to_it(turned_deg):
    setup = replace(slanted(face(radius=FLAT), 3.0), placement=Placement(turned_deg))
    assert how(setup, SLOT_MILL, POCKET_MILL, SIDE_MILL, SAW) == {"full width"}


@pytest.mark.parametrize(("degrees", "deeper"), [(0.0, 0.0), (12.0, 0.010), (-12.0, 0.010)])
def test_the_walls_of_a_slanted_slot_differ_by_the_fall_between_them(degrees, deeper):
    """12 degrees on R 254 mm, 0.58 mm wide: walls lie w sin(12 deg) apart across the board, R - sqrt(R**2 - y**2)."""
    setup = slanted(face(radius=Radius(254.0, 254.0), face_dots=None), degrees)
    slot = max((each for each in setup.features), key=lambda each: each.line.length_mm)
    _, (_, high) = slot.ends
    apart = 0.58 * math.sin(math.radians(degrees)) / 2
    falls = [254.0 - math.sqrt(254.0**2 - (high + side * apart) ** 2) for side in (-1, 1)]
    assert cone_mm(slot, 0.58) == pytest.approx(abs(falls[1] - falls[0]), abs=1e-12)
    assert cone_mm(slot, 0.58) == pytest.approx(deeper, abs=0.004)


@pytest.mark.parametrize(("degrees", "told"), [(0.0, []), (3.0, []), (19.0, ["board.radius"])])
def test_a_slanted_floor_that_is_uneven_across_its_slot_is_told(degrees, told):
    """19 degrees on R 254 mm, 0.58 mm wide: 0.017 to 0.021 mm from wall to wall of a 50 mm board's edge."""
    setup = slanted(face(radius=Radius(254.0, 254.0), face_dots=None), degrees)
    warnings = plan(setup, a_machine(SLOT_MILL)).warnings
    assert [each.key for each in warnings] == told
    assert all("0.02" in each.found for each in warnings)


def test_a_slanted_floor_that_is_too_uneven_is_refused():
    wide = replace(a_board().fret_slots, width_mm=2.0)
    setup = slanted(face(radius=Radius(254.0, 254.0), face_dots=None, fret_slots=wide), 19.0)
    with pytest.raises(Refusal, match=r"at most 0\.040 mm for a flat cutter"):
        plan(setup, a_machine(SLOT_MILL))


@pytest.mark.parametrize(("saw", "setup", "words"), [
    (SAW, face(fret_slots=replace(a_board().fret_slots, ends="stopped")), "the slot stops inside the wood"),
    (SAW, replace(face(), placement=Placement(0.2)), "aslant from end to end"),
    (replace(SAW, kerf_mm=0.7), face(), "its kerf is 0.700 mm, the slot 0.580 mm wide"),
    (SAW, face(radius=replace(a_board().radius, nut_mm=2000.0, end_mm=150.0), length_mm=448.0), "deeper at one wall"),
    (replace(SAW, reach_mm=2.5), face(), "it reaches 2.50 mm, the slot is"),
    (replace(SAW, flange_mm=56.5), face(), "56.5 mm wide beside the blade would run"),
])  # fmt: skip
def test_without_a_mill_the_refusal_says_why_the_saw_does_not_serve_and_what_to_use(saw, setup, words):
    with pytest.raises(Refusal) as refused:
        plan(setup, a_machine(POCKET_MILL, SIDE_MILL, saw))
    (problem,) = refused.value.problems
    assert problem.key == "fret_slots.width"
    assert "the saw, cutter 4, does not serve: " in problem.found
    assert words in problem.found
    assert 'add a [[cutter]] of kind "end mill"' in problem.hint


def test_people_are_told_of_zero_teeth_and_clamps():
    stage = plan(face(), a_machine(SLOT_MILL, POCKET_MILL, SIDE_MILL, SAW)).stages[-1]
    zero, way, clamps, under = stage.notes[:4]
    assert "Z 0 is where its lowest point touches the top" in zero
    assert "conventional sawing, the lowest teeth run away from the operator" in way
    assert "feeds away from the operator, never faster than 9000 rpm" in way
    assert "clamps stay off the edge" in clamps
    slots = [feature for feature in face().features if isinstance(feature, Slot)]
    most = max(clamps_mm(slot, face().stock, SAW, 10) for slot in slots)
    assert f"{most:.1f} mm where 10 mm higher" in clamps
    least = min(flange_above_mm(slot, face().stock, SAW) for slot in slots)
    assert f"higher than {least:.1f} mm" in under
    climb = plan(face(), a_machine(POCKET_MILL, SIDE_MILL, replace(SAW, sawing="climb"))).stages[-1].notes[1]
    assert "climb sawing" in climb
    assert "feeds toward the operator" in climb


def test_a_mill_refuses_a_cone_that_differs_too_much_from_wall_to_wall():
    steep = face(radius=replace(a_board().radius, nut_mm=2000.0, end_mm=120.0), length_mm=448.0, face_dots=None)
    with pytest.raises(Refusal) as refused:
        plan(steep, a_machine(SLOT_MILL, POCKET_MILL, SIDE_MILL))
    assert {problem.key for problem in refused.value.problems} == {"board.radius"}
    assert "deeper at one wall of the slot" in refused.value.problems[0].found
