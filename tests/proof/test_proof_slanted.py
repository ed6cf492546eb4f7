"""Slots aslant to the board under a crown of 254 mm (10 in), and a compound one: held against sampled discs.

What is right is let down on the surface disc by disc (slanted.py); the proof's own floors, tables and covers
take no part in it.
"""

import math
import random
import re

import numpy as np
import pytest
from slanted import COMPOUND, CYLINDER, DEPTH_MM, Slanted
from small_board import HALF_WIDTH, broken, face, machine, program, verdict

from how_often import EXAMPLES
from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.proof.heights import meet
from pearlkerf.proof.identity import identify
from pearlkerf.proof.measures import measure
from pearlkerf.proof.prove import prepare
from pearlkerf.proof.shapes.lay import lay_features
from pearlkerf.proof.shapes.leaning_floor import floor_of
from pearlkerf.proof.tolerances import CUT_MM
from pearlkerf.proof.wood import Wood
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Placement

ON = machine(decimals=4)
TURNED = Placement(31.0, 7.0, -4.0)
NARROW, LANES, WIDE = (0.6, 0.3, 1), (0.6, 0.25, 7), (1.1, 0.3, 1)  # width, cutter's radius, its number
CASES = [
    (angle, through, crown, size)
    for angle, crown, size in (
        (0.0, COMPOUND, NARROW), (12.0, CYLINDER, NARROW), (12.0, COMPOUND, WIDE), (20.0, CYLINDER, LANES),
        (30.0, COMPOUND, NARROW), (30.0, CYLINDER, WIDE),
    )
    for through in (True, False)
]  # fmt: skip


def case(angle, through, crown, size, placement=None) -> tuple[Slanted, int]:
    width, radius, cutter = size
    lying = {} if placement is None else {"placement": placement}
    return Slanted(angle, through, crown, radius, width, **lying), cutter


def held(slot: Slanted, cutter: int, floors) -> set[int]:
    return broken(verdict(slot.text(floors, cutter), setup=slot.setup, on=ON))


@pytest.mark.parametrize("which", CASES)
def test_the_floor_that_a_flat_cutter_reaches_is_right_and_a_hundredth_off_is_wrong(which):
    slot, cutter = case(*which)
    assert held(slot, cutter, slot.tips()) == set()
    for off, found in ((-0.008, set()), (-0.011, {6}), (0.007, set()), (0.011, {7})):
        assert held(slot, cutter, slot.tips(off)) == found, off


@pytest.mark.parametrize(("through", "size"), [(True, WIDE), (False, NARROW)])
def test_it_is_so_on_a_board_that_lies_askew(through, size):
    slot, cutter = case(20.0, through, COMPOUND, size, TURNED)
    far = machine(travel=(200.0, 200.0, 30.0), decimals=4)
    for off, found in ((0.0, set()), (-0.011, {6}), (0.007, set()), (0.011, {7})):
        assert broken(verdict(slot.text(slot.tips(off), cutter), setup=slot.setup, on=far)) == found


@pytest.mark.parametrize("which", [which for which in CASES if which[3] is not NARROW])
def test_one_lane_alone_a_hundredth_off_is_wrong(which):
    """A floor taken from the centre line, for a lane beside it, would be off by the slope times the lane's distance."""
    slot, cutter = case(*which)
    first, *others = slot.tips()
    outer = np.abs(first[:, 1] - first[:, 1].mean()) > 8.0  # where the floor slopes
    for off, found in ((-0.012, {6}), (0.013, {7})):
        wrong = first + np.outer(outer, (0.0, 0.0, off))
        assert held(slot, cutter, [wrong, *others]) == found


def damaged(ways, draw: random.Random):
    """Ways of the tip in which a stretch stands too high, or runs beside its line, or is left out, forth and back."""
    number = draw.randrange(len(ways))
    way = ways[number].copy()
    middle = way[draw.randrange(2, len(way) - 2), :2]
    some = np.hypot(*(way[:, :2] - middle).T) < draw.choice([0.4, 1.2, 2.5])
    kind = draw.choice(["high", "high", "aside", "left out"])
    if kind == "high":
        way[some, 2] += draw.choice([0.004, 0.007, 0.009, 0.011, 0.013, 0.02])
    elif kind == "aside":
        way[some, 0] += draw.choice([-0.03, -0.012, -0.006, 0.006, 0.012, 0.03])
    else:
        way = way[~some | (np.arange(len(way)) % (len(way) - 1) == 0)]
    return [*ways[:number], way, *ways[number + 1 :]]


def left_mm(slot: Slanted, ways, forgiven: float, margin: float, places) -> float:
    """How far a place of the strip, at some of its places along, lies from what was cut deep enough by it.

    The tip is set down every 0.02 mm of its ways, where it does not leave the slot.  It counts at places beside
    which, on its own line, a disc let down stands no more than ``forgiven`` lower; at the centre line where no
    disc over them stands so low.  ``margin`` is left out at the walls.
    """
    tips = np.vstack([_spread(way) for way in ways])
    from_middle = tips[:, :2] - (30.0, 0.0)
    local = np.column_stack([from_middle @ slot.across, from_middle @ slot.along])
    beyond = 0.0 if slot.through else np.maximum(np.abs(local[:, 1]) - (slot.reach - slot.width / 2), 0.0)
    inside = np.hypot(local[:, 0], beyond) + slot.radius - slot.width / 2 <= CUT_MM + (forgiven - CUT_MM) / 10
    tips, local = tips[inside], local[inside]
    last = math.inf if slot.through else slot.reach - slot.radius
    left = 0.0
    for along in places:
        near = np.abs(local[:, 1] - along) <= slot.radius + 0.01
        across = local[near, 0]
        stands = slot.highest_under(across, np.full(len(across), np.clip(along, -last, last)))
        deep = tips[near, 2] <= stands + forgiven
        round_end = 0.0 if slot.through else max(abs(along) - (slot.reach - slot.width / 2), 0.0)
        wide = math.sqrt(max((slot.width / 2 - margin) ** 2 - round_end**2, 0.0))
        for aside in np.linspace(-wide, wide, 21):
            off = np.hypot(across[deep] - aside, local[near][deep, 1] - along) - slot.radius
            left = max(left, float(off.min(initial=1.0)))
        if slot.width - 2 * slot.radius < 1e-9 and (slot.through or abs(along) < slot.reach - slot.width):
            over = slot.highest_under(np.zeros(31), along + np.linspace(-slot.radius, slot.radius, 31)).min()
            centre = near & (tips[:, 2] <= over + forgiven)
            off = np.hypot(local[centre, 0], local[centre, 1] - along) - slot.radius
            left = max(left, float(off.min(initial=1.0)))
    return left


def _spread(way):
    """Places every 0.02 mm along a way (n, 3)."""
    steps = np.maximum(1, np.ceil(np.linalg.norm(np.diff(way, axis=0), axis=1) / 0.02)).astype(int)
    shares = [np.arange(count)[:, None] / count for count in steps]
    return np.vstack([a + (b - a) * share for a, b, share in zip(way[:-1], way[1:], shares, strict=True)])


@pytest.mark.parametrize("which", [CASES[3], CASES[4], CASES[6], CASES[11]])
def test_what_is_left_is_found_and_what_is_not_left_is_not(which):
    slot, cutter = case(*which)
    draw, right, wrong = random.Random(str(which)), 0, 0
    for _ in range(EXAMPLES or 5):
        ways = damaged(slot.tips(), draw)
        findings = verdict(slot.text(ways, cutter), setup=slot.setup, on=ON).findings
        told = [finding.message for finding in findings if finding.rule == 7]
        if told:
            wrong += 1
            x, y = (float(each) for each in re.search(r"at X (\S+) Y (\S+)", told[0]).groups())
            along = (np.array([x, y]) - (30.0, 0.0)) @ slot.along
            assert left_mm(slot, ways, CUT_MM - 0.004, CUT_MM - 0.005, along + np.linspace(-0.8, 0.8, 81)) > 0.0, told
        else:
            right += 1
            places = np.arange(-slot.reach + 0.05, slot.reach, 0.3)
            assert left_mm(slot, ways, CUT_MM + 0.0005, CUT_MM + 0.001, places) <= 0.003
    assert EXAMPLES or (right and wrong)


@pytest.mark.parametrize("angle", [-25.0, 12.0, 30.0, 55.0])
@pytest.mark.parametrize("crown", [CYLINDER, COMPOUND])
def test_a_height_is_reached_just_as_far_as_a_disc_let_down_stands_no_lower(angle, crown):
    """By the walls on the tip's own line; on the centre line as far as none that reaches it stands lower."""
    slot = Slanted(angle, crown=crown, width=1.1)
    shape = lay_features(slot.setup, Wood.of(slot.setup))[0]
    draw = np.random.default_rng(2)
    across, stood = draw.uniform(-0.25, 0.25, 12), draw.uniform(3.0, 18.0, 12) * draw.choice([-1, 1], 12)
    height, local = slot.highest_under(across, stood), np.column_stack([across, np.zeros(12)])
    by_walls, on_centre = floor_of(shape).reached(height, local, np.full(12, slot.radius))
    low, high = (end - shape.length / 2 for end in by_walls)
    nearer = np.where(stood > 0, high, low)
    assert nearer == pytest.approx(
        stood, abs=0.03
    )  # a radius of 0.002 mm less, and a line so far off, on the strict side
    other = np.where(stood > 0, low, high)
    assert slot.highest_under(across, other) == pytest.approx(height, abs=0.001)
    over = np.linspace(-slot.radius, slot.radius, 61)
    for end, inward in ((on_centre[0] - shape.length / 2, 0.05), (on_centre[1] - shape.length / 2, -0.05)):
        least = slot.highest_under(across[:, None], (end + inward)[:, None] + over).min(axis=1)
        assert (least >= height - 1e-6).all()
        assert (slot.highest_under(across[:, None], (end - inward)[:, None] + over).min(axis=1) < height).all()


@pytest.mark.parametrize("angle", [12.0, 30.0, 55.0])
@pytest.mark.parametrize("crown", [CYLINDER, COMPOUND])
def test_too_deep_is_never_less_than_at_any_place_along_a_slanted_way(angle, crown):
    slot = Slanted(angle, crown=crown)
    shape = lay_features(slot.setup, Wood.of(slot.setup))[0]
    draw = np.random.default_rng(3)
    for _ in range(20):
        along, height = draw.uniform(-HALF_WIDTH, HALF_WIDTH, 2), draw.uniform(-4.0, -1.5, 2)
        ends = np.column_stack([slot.board(draw.uniform(-0.1, 0.1, 2), along), height])
        bound = float(shape.too_deep_mm(ends[:1], ends[1:], np.array([slot.radius]))[0])
        way = ends[0] + (ends[1] - ends[0]) * np.linspace(0.0, 1.0, 400)[:, None]
        local = (way[:, :2] - (30.0, 0.0)) @ np.column_stack([slot.across, slot.along])
        true = float((slot.highest_under(*local.T) - way[:, 2]).max())
        assert true - 1e-6 <= bound <= max(true + 0.001, 0.0)


def test_the_rise_of_a_floor_between_two_places_is_bounded_on_a_way_aslant_to_a_steep_cone():
    """A cone of 150 to 450 mm within 60 mm bends more along such a way than its least circle does."""
    slot = Slot("frets", 1, "fret 1", (2.5, 19.0), (1.5, 19.9), 0.6, Floor(DEPTH_MM, Crown(150.0, 450.0, 60.0)), False)
    setup = face(slot)
    shape, share = lay_features(setup, Wood.of(setup))[0], np.linspace(0.0, 1.0, 501)[:, None]
    start, end = np.array([2.2, 19.3]), np.array([1.85, 19.6])

    def floor(points):
        radius = 150.0 + 300.0 * points[:, 0] / 60.0
        return DEPTH_MM - (radius - np.sqrt(radius**2 - points[:, 1] ** 2))

    heights = floor(np.stack([start, end]))
    rise = (floor(start + (end - start) * share) - (heights[0] + (heights[1] - heights[0]) * share[:, 0])).max()
    ends = [np.append(place, height)[None] for place, height in zip((start, end), heights, strict=True)]
    assert float(shape.too_deep_mm(*ends, np.array([1e-9]))[0]) >= rise > 0


@pytest.mark.parametrize("which", CASES[2:6] + CASES[10:])
def test_bites_in_a_slanted_slot_are_bounded_close_to_what_the_map_finds(which):
    slot, cutter = case(*which)
    text = slot.text(slot.tips(), cutter).encode()
    run = prepare(
        reading := read_program(text, "p.nc"), "p.nc", identify(reading, "p.nc", [slot.setup], ON), slot.setup, ON
    )
    bound, bite = run.shapes[0].greatest_bite_mm(run.inside[0]), float(meet(run, [], [0]).bite.max())
    assert bite - 0.004 <= bound <= bite + 0.03


@pytest.mark.parametrize("angle", [0.0, 12.0, 30.0, 60.0, 75.0])
def test_a_strip_is_wanted_as_far_as_its_wood_goes(angle):
    """Against every place of a fine grid over the strip; at 75 degrees a width further than the centre line."""
    along = HALF_WIDTH * math.tan(math.radians(angle))
    board = np.array([[-90.0, -HALF_WIDTH], [150.0, -HALF_WIDTH], [150.0, HALF_WIDTH], [-90.0, HALF_WIDTH]])
    slot = Slot("frets", 1, "f", (30.0 - along, -HALF_WIDTH), (30.0 + along, HALF_WIDTH), 0.6, Floor(-2.0), True)
    setup = face(slot, outline=board)
    shape = lay_features(setup, Wood.of(setup))[0]
    low, high = shape.strip_ends(0.3)
    u, v = np.meshgrid(np.linspace(-0.3, 0.3, 61), np.arange(-3.0, shape.length + 3.0, 0.01))
    within = shape.wood.holds(shape.on_machine(np.column_stack([u.ravel(), v.ravel()]))).reshape(u.shape)
    assert (low, high) == pytest.approx((v[within].min(), v[within].max()), abs=0.03)
    assert (shape.before, shape.after) == (1000.0, 1000.0)


def test_a_corner_of_the_wood_in_a_strip_is_wanted_too():
    """The slot crosses the board's corner: the strip's sides leave the wood before the corner between them does."""
    slot = Slot("frets", 1, "f", (10.0, -10.0), (60.0 - 0.02, 20.0 - 0.02), 0.6, Floor(-1.0), through=True)
    setup = face(slot)
    shape = lay_features(setup, Wood.of(setup))[0]
    corner = shape.local(np.array([[60.0, HALF_WIDTH]]))[0]
    assert abs(corner[0]) < 0.29
    assert shape.strip_ends(0.29)[1] == pytest.approx(corner[1], abs=1e-9)


def test_a_slot_that_leaves_the_wood_at_a_grazing_angle_has_its_bites_counted_to_the_last_tip_of_it():
    along = HALF_WIDTH * math.tan(math.radians(60.0))
    slot = Slot("frets", 1, "f", (60.0 - along, -HALF_WIDTH), (60.0 + along, HALF_WIDTH), 0.6, Floor(-1.0), True)
    setup = face(slot, outline=np.array([[0.0, -20.0], [120.0, -20.0], [120.0, 20.0], [0.0, 20.0]]))
    shape = lay_features(setup, Wood.of(setup))[0]
    points = shape.grid(0.3)
    last = points.local[shape.wood.holds(points.on_machine)][:, 1].max()
    assert last > shape.length + 0.2


def test_other_wood_ahead_stops_a_strip_but_not_the_wood_that_a_slot_leaves_aslant():
    """A bay of 10 mm: what stands beyond it is not the slot's."""
    bay = np.array(
        [[0.0, -20.0], [60.0, -20.0], [60.0, 0.0], [40.0, 0.0], [40.0, 10.0], [60.0, 10.0], [60.0, 20.0], [0.0, 20.0]]
    )
    for lean in (0.0, 10.0):
        slot = Slot("frets", 1, "f", (50.0 - lean, -20.0), (50.0, 0.0), 0.6, Floor(-1.0), through=True)
        setup = face(slot, outline=bay)
        shape = lay_features(setup, Wood.of(setup))[0]
        assert shape.before == 1000.0
        assert 0.3 <= shape.after < 0.6
        assert shape.strip_ends(0.3)[1] < shape.length + 0.6


def test_wood_that_goes_on_ahead_or_along_a_wall_stops_a_strip():
    """A slot that ends within the wood, and one that leaves it past a step in its edge, which is no end aslant."""
    within = face(Slot("frets", 1, "f", (26.0, -20.0), (30.0, 5.0), 0.6, Floor(-1.0), through=True))
    step = np.array([[0.0, -20.0], [60.0, -20.0], [60.0, 0.0], [50.2, 0.0], [50.2, 20.0], [0.0, 20.0]])
    beside = face(Slot("frets", 1, "f", (50.4, -20.0), (50.4, 0.0), 0.6, Floor(-1.0), through=True), outline=step)
    for setup in (within, beside):
        (shape,) = lay_features(setup, Wood.of(setup))
        assert (shape.before, shape.after) == (1000.0, 0.3)


def test_a_slanted_slot_is_as_wide_as_it_is_cut_measured_square_to_its_own_line():
    slot = Slanted(30.0, crown=Crown(1e7, 1e7, 60.0))  # as good as level
    for off in (0.0, 0.004):
        (way,) = slot.tips()
        beside = way + np.append(off * slot.across, 0.0)
        given = verdict(slot.text([way, beside]), setup=slot.setup, on=ON)
        (found,) = measure(given.programs, slot.setup, ON)
        assert (found.least_mm, found.greatest_mm) == pytest.approx((0.6 + off, 0.6 + off), abs=0.0006)


def test_a_slot_that_one_of_two_programs_leaves_alone_is_told_where_it_is_not_whole():
    """The other program, for the same setup, has no cut in it."""
    slot, cutter = case(20.0, True, CYLINDER, NARROW)
    high, away = slot.text(slot.tips(0.3), cutter), program(["G0 X5.0 Y0.0"], cutter, "frets 1")
    found = verdict(high, away, setup=slot.setup, on=ON).findings
    assert any("0.30 mm too shallow" in each.message for each in found), found
