"""Speeds and feeds: the textbook formula, the cutter's own numbers, cautious tables, the machine's limits."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.machine.cutting import chips_with_runout_mm, cutting_figures, is_known_wood
from pearlkerf.machine.model import Cutter, Dialect, Machine, Motion, Spindle, Travel
from pearlkerf.machine.woods import WOODS, leads_astray, say_wood, wood_class

SLOT = Cutter(1, "end mill", 0.58, 2, 4.5)
DRILL = Cutter(2, "brad point", 2.0, 2, 20.0, point_length_mm=0.8)
SAW = Cutter(3, "saw", 63.0, 100, 4.0, speed_limit_rpm=9000.0, plunges=False)


def machine(
    slowest: float = 6000, fastest: float = 24000, feed: tuple[float, float, float] = (9e9, 9e9, 9e9)
) -> Machine:
    motion = Motion((2000.0, 2000.0, 800.0), feed, (200.0, 200.0, 100.0), 8.0)
    return Machine("m", "m", Travel(680, 220, 75), Spindle(slowest, fastest), motion, Dialect(), (SLOT,))


def chip_mm(cutter: Cutter, wood: str) -> float:
    figures = cutting_figures(machine(), cutter, wood)
    return figures.feed_mm_min / figures.speed_rpm / cutter.flutes


def test_a_slot_cutter_in_ebony_takes_what_it_bears_at_its_reach() -> None:
    """From memory (no source): 0.58 mm, 0.197 mm a pass at 0.008 mm a tooth and 4.5 mm long are 6.6 um and 219 MPa.

    Bending grows in proportion to the pass, and with the cube of the length; so does the stress, nearly, with both.
    """
    figures = cutting_figures(machine(), SLOT, "ebony")
    assert math.isclose(chip_mm(SLOT, "ebony"), 0.008)
    assert math.isclose(figures.bite_mm, 0.197 * 250 / 219, abs_tol=0.002)  # the stress is the least bound here
    assert figures.load is not None
    assert math.isclose(figures.load.stress_mpa, 250, abs_tol=1e-6)
    assert figures.load.bend_mm <= 0.010
    assert figures.speed_rpm == 24000
    assert 0.2 <= figures.plunge_feed_mm_min / figures.feed_mm_min <= 0.4
    assert "what stresses it by 250 MPa, 4.5 mm long" in figures.sources[3]


@pytest.mark.parametrize(("reach", "bound"), [(1.5, "of its diameter"), (4.5, "stresses"), (12.0, "bends")])
def test_which_bound_holds_a_pass_back_changes_with_the_reach(reach: float, bound: str) -> None:
    figures = cutting_figures(machine(), replace(SLOT, reach_mm=reach), "ebony")
    assert bound in figures.sources[3]


def test_a_cutter_without_a_wider_shank_bends_from_the_collet_on() -> None:
    thin = replace(SLOT, shank_mm=0.58, stick_out_mm=12.0)
    long = replace(SLOT, reach_mm=12.0)
    bites = [cutting_figures(machine(), cutter, "ebony").bite_mm for cutter in (thin, long, SLOT)]
    assert bites[0] == bites[1] < bites[2] / 5


def test_a_mill_goes_straight_down_no_faster_than_a_drill_of_its_diameter_would() -> None:
    # from memory (common practice, no source): drills of 2 to 6.35 mm, 0.02 to 0.04 mm a turn
    for diameter in (3.0, 6.35):
        figures = cutting_figures(machine(), replace(SLOT, diameter_mm=diameter, reach_mm=12.0), "ebony")
        assert figures.plunge_feed_mm_min / figures.speed_rpm <= 0.04 + 1e-9


# Starting ranges, mm a tooth in ebony, rosewood and wenge, and bite in diameters; from memory, no source.
RANGES = [
    (0.5, 0.002, 0.008, 0.15, 0.4),
    (0.6, 0.002, 0.008, 0.15, 0.4),
    (0.8, 0.004, 0.015, 0.25, 0.5),
    (1.0, 0.004, 0.015, 0.25, 0.5),
    (1.5, 0.010, 0.030, 0.25, 0.5),
    (2.0, 0.010, 0.030, 0.25, 0.5),
    (3.0, 0.020, 0.060, 0.5, 1.0),
    (6.0, 0.050, 0.150, 0.5, 1.0),
]


@pytest.mark.parametrize(("diameter", "least", "most", "shallow", "deep"), RANGES)
@pytest.mark.parametrize("wood", ["ebony", "rosewood", "wenge"])
def test_a_stubby_mill_takes_the_upper_end_of_the_trades_ranges_and_a_slender_one_less(
    diameter: float, least: float, most: float, shallow: float, deep: float, wood: str
) -> None:
    stubby, slender = (replace(SLOT, diameter_mm=diameter, reach_mm=times * diameter) for times in (3, 12))
    assert least < chip_mm(stubby, wood) <= most + 1e-12
    assert math.isclose(chip_mm(stubby, wood), most)
    assert shallow < cutting_figures(machine(), stubby, wood).bite_mm / diameter <= deep
    assert cutting_figures(machine(), slender, wood).bite_mm < cutting_figures(machine(), stubby, wood).bite_mm


@pytest.mark.parametrize(("rpm", "flutes", "chip", "feed"), [(18000, 2, 0.02, 720.0), (24000, 2, 0.005, 240.0)])
def test_feed_is_speed_times_teeth_times_chip(rpm: float, flutes: int, chip: float, feed: float) -> None:
    """F = n z f_z, as in any milling handbook: 18000 * 2 * 0.02 = 720; 24000 * 2 * 0.005 = 240 mm/min."""
    # the diameter at which the table gives this chip load, by bisection on the table itself
    low, high = 0.2, 6.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if chip_mm(replace(SLOT, diameter_mm=middle), "ebony") < chip else (low, middle)
    cutter = replace(SLOT, diameter_mm=high, flutes=flutes, speed_rpm=rpm)
    assert math.isclose(cutting_figures(machine(), cutter, "ebony").feed_mm_min, feed, rel_tol=1e-9)


def test_a_speed_from_the_table_keeps_to_a_surface_speed() -> None:
    # v = pi D n / 1000: 3 mm at 18000 rpm is 169.646003 m/min (by calculation)
    assert math.isclose(math.pi * 3 * 18000 / 1000, 169.646003, abs_tol=1e-6)
    speed = cutting_figures(machine(1000), replace(SLOT, diameter_mm=3.0), "ebony").speed_rpm
    assert 150 < math.pi * 3 * speed / 1000 <= 180


def test_the_cutters_own_numbers_win() -> None:
    own = replace(SLOT, speed_rpm=18000.0, feed_mm_min=150.0, plunge_feed_mm_min=40.0, bite_mm=0.12)
    figures = cutting_figures(machine(), own, "ebony")
    assert (figures.speed_rpm, figures.feed_mm_min, figures.plunge_feed_mm_min, figures.bite_mm) == (
        18000,
        150,
        40,
        0.12,
    )
    assert all("profile" in source for source in figures.sources[:4])


def test_a_slower_spindle_lowers_the_cutters_own_feeds_with_it() -> None:
    own = replace(SLOT, speed_rpm=24000.0, feed_mm_min=150.0, plunge_feed_mm_min=40.0)
    figures = cutting_figures(machine(fastest=12000), own, "ebony")
    assert (figures.speed_rpm, figures.feed_mm_min, figures.plunge_feed_mm_min) == (12000, 75, 20)
    assert "the fastest that the spindle turns" in figures.sources[0]
    assert "in proportion" in figures.sources[1]


def test_a_spindle_that_cannot_go_slow_enough_is_told() -> None:
    figures = cutting_figures(machine(8000), DRILL, "ebony")
    assert figures.speed_rpm == 8000
    assert "the slowest that the spindle turns" in figures.sources[0]


def test_axes_hold_the_feeds() -> None:
    figures = cutting_figures(machine(feed=(100.0, 90.0, 20.0)), SLOT, "ebony")
    assert (figures.feed_mm_min, figures.plunge_feed_mm_min) == (90.0, 20.0)
    assert "held to the slower axis" in figures.sources[1]


def test_a_drill_feeds_by_the_turn_and_pecks_no_deeper_than_its_diameter() -> None:
    # from memory (common practice, no source): 2 to 6.35 mm, 0.02 to 0.06 mm a turn, peck at most the diameter
    figures = cutting_figures(machine(), DRILL, "ebony")
    assert 0.02 <= figures.plunge_feed_mm_min / figures.speed_rpm <= 0.06
    assert figures.bite_mm <= 2.0


def test_a_saw_keeps_its_limit_and_a_small_chip() -> None:
    # from memory (common practice, no source): 0.003 to 0.015 mm a tooth, the slot in one to three passes
    figures = cutting_figures(machine(6000), SAW, "ebony")
    assert figures.speed_rpm <= 9000
    assert 0.003 <= figures.feed_mm_min / figures.speed_rpm / 100 <= 0.015
    assert 0.6 <= figures.bite_mm <= 2.5


@pytest.mark.parametrize(("wood", "of"), [
    ("Macassar ebony", "dense"), ("EBONY", "dense"), ("Indian rosewood (old stock)", "dense"), ("pau-ferro", "dense"),
    ("roasted maple", "hard"), ("Wenge", "banded"), ("ebony-dyed maple", "dense"),
    ("", None), ("plywood", None), ("ebonite", None), ("G0 Z-50", None),
])  # fmt: skip
def test_a_wood_is_known_by_name_in_any_company(wood: str, of: str | None) -> None:
    assert wood_class(wood) == of
    assert is_known_wood(wood) == (of is not None)


cutters = st.builds(
    Cutter, number=st.just(1), kind=st.sampled_from(["end mill", "ball", "brad point", "twist drill", "saw"]),
    diameter_mm=st.floats(0.05, 80), flutes=st.integers(1, 120), reach_mm=st.floats(0.1, 30),
    speed_rpm=st.none() | st.floats(1000, 60000), speed_limit_rpm=st.none() | st.floats(6000, 60000),
    feed_mm_min=st.none() | st.floats(1, 5000), plunge_feed_mm_min=st.none() | st.floats(1, 5000),
    bite_mm=st.none() | st.floats(0.01, 40),
)  # fmt: skip


@given(cutters, st.sampled_from([*WOODS, "unheard-of"]), st.floats(6001, 40000), st.floats(10, 9000))
def test_figures_are_positive_within_every_limit_and_no_wood_is_cut_faster_than_an_unknown_one_is(
    cutter: Cutter, wood: str, fastest: float, feed: float
) -> None:
    one = machine(6000, fastest, (feed, feed, feed / 3))
    figures = cutting_figures(one, cutter, wood)
    assert 6000 <= figures.speed_rpm <= min(fastest, cutter.speed_limit_rpm or fastest)
    assert 0 < figures.feed_mm_min <= feed
    assert 0 < figures.plunge_feed_mm_min <= min(figures.feed_mm_min, feed / 3)
    assert 0 < figures.bite_mm <= cutter.reach_mm
    assert len(figures.sources) == 5
    assert figures == cutting_figures(one, cutter, wood)
    unknown = cutting_figures(one, cutter, "unheard-of")
    assert unknown.feed_mm_min <= figures.feed_mm_min
    assert unknown.bite_mm <= figures.bite_mm


def test_runout_of_two_opposed_teeth_thins_one_chip_and_thickens_the_other() -> None:
    # a published example: chip 0.002 in, runout 0.0005 in give 0.0015 and 0.0025 in; tooth radii differ by the reading
    inch = 25.4
    least, most = chips_with_runout_mm(0.002 * inch, 0.0005 * inch)
    assert math.isclose(least, 0.0015 * inch, abs_tol=1e-8)
    assert math.isclose(most, 0.0025 * inch, abs_tol=1e-8)
    assert chips_with_runout_mm(0.004, 0.005)[0] == 0.0  # one tooth does all the cutting


def test_runout_is_told_against_the_diameter_and_as_the_slots_width() -> None:
    (told,) = cutting_figures(machine(), replace(SLOT, runout_mm=0.02), "ebony").sources[4:]
    assert "runs out 0.020 mm, 3.4 % of its diameter" in told  # 0.02 / 0.58
    assert "0.020 mm wider" in told
    assert "one tooth does all the cutting" in told
    (kerf,) = cutting_figures(machine(), replace(SAW, kerf_mm=0.58, runout_mm=0.02), "ebony").sources[4:]
    assert "its kerf comes to 0.600 mm" in kerf  # D + TIR: 0.58 + 0.02, by calculation


def test_runout_that_nobody_measured_is_unknown_not_none() -> None:
    (told,) = cutting_figures(machine(), SLOT, "ebony").sources[4:]
    assert "unknown" in told
    assert cutting_figures(machine(), replace(SLOT, runout_mm=0.0), "ebony").sources[4:] == ()


def test_very_thin_mills_take_less_than_in_proportion() -> None:
    """From memory (common practice, no source): they bend and break first."""
    chips = [chip_mm(replace(SLOT, diameter_mm=diameter), "ebony") for diameter in (0.25, 0.45, 0.55)]
    shares = [chip / (0.002 + 0.02 * (diameter - 0.2)) for chip, diameter in zip(chips[:2], (0.25, 0.45), strict=True)]
    assert [round(share, 9) for share in shares] == [0.6, 0.8]
    assert chips == sorted(chips)
    assert "of the table's as it is so thin" in cutting_figures(
        machine(), replace(SLOT, diameter_mm=0.4), "ebony"
    ).sources[1]  # fmt: skip
    own = replace(SLOT, diameter_mm=0.25, feed_mm_min=123.0, bite_mm=0.1)
    figures = cutting_figures(machine(), own, "ebony")
    assert (figures.feed_mm_min, figures.bite_mm) == (123.0, 0.1)  # the maker's own figures win


# v = pi D n / 1000, by calculation
@pytest.mark.parametrize(("diameter", "rpm", "speed"), [
    (0.6, 24000, 45.238934), (3.0, 18000, 169.646003), (63.0, 3000, 593.761012),
])  # fmt: skip
def test_surface_speeds_lie_within_those_of_the_table(diameter: float, rpm: float, speed: float) -> None:
    assert math.isclose(math.pi * diameter * rpm / 1000, speed, abs_tol=1e-6)
    saw = replace(SAW, speed_rpm=None, diameter_mm=63.0)
    assert 2990 <= cutting_figures(machine(1000), saw, "ebony").speed_rpm <= 3032  # 600 m/min at 63 mm


def test_every_wood_has_a_hardness_and_says_where_its_figures_come_from() -> None:
    for wood in WOODS.values():
        assert 3000 <= wood.hardness_n <= 20000
        assert "from memory" in wood.source
        assert wood.source in say_wood(wood.name)
    # two sheets of wenge disagree, 8600 and 9940 N (trade sheets, no source)
    assert 8600 <= WOODS["wenge"].hardness_n <= 9940


@pytest.mark.parametrize(("wood", "astray"), [("wenge", True), ("Ebony", False), ("padauk", True), ("plywood", True)])
def test_coarse_banded_and_unknown_woods_lead_a_point_astray(wood: str, astray: bool) -> None:
    """Wenge has bands of soft parenchyma, ebony none (ITTO species sheets)."""
    assert leads_astray(wood) == astray


def test_woods_whose_dust_is_named_among_the_harmful_say_so() -> None:
    """UK Parliament, written answers of 2 August 1978: ebony, rosewood, grenadilla, cocobolo, partridge wood."""
    for name in ("ebony", "grenadilla", "cocobolo"):
        assert "2 August 1978" in WOODS[name].dust
    assert "WIS30" in WOODS["rosewood"].dust


@pytest.mark.parametrize(
    ("diameter", "least_chip", "most_chip", "least_bite", "most_bite"),
    [(0.5, 0.001, 0.004, 0.05, 0.15), (0.8, 0.002, 0.006, 0.1, 0.2), (2.0, 0.004, 0.010, 0.15, 0.3),
     (3.175, 0.006, 0.015, 0.2, 0.4)],
)  # fmt: skip
def test_shell_has_figures_of_its_own(
    diameter: float, least_chip: float, most_chip: float, least_bite: float, most_bite: float
) -> None:
    """Ranges from memory (common practice, no source); half of dense wood's chips and less."""
    cutter = Cutter(1, "end mill", diameter, 2, 3 * diameter)
    figures = cutting_figures(machine(), cutter, "white mother-of-pearl")
    assert least_chip <= chip_mm(cutter, "white mother-of-pearl") <= most_chip
    assert chip_mm(cutter, "mother of pearl") <= chip_mm(cutter, "ebony") / 2
    assert least_bite <= figures.bite_mm <= most_bite
    assert figures.bite_mm < cutting_figures(machine(), cutter, "ebony").bite_mm
    assert figures.load is None and "in shell" in figures.sources[1]


def test_in_shell_a_long_cutter_takes_less() -> None:
    long = cutting_figures(machine(), replace(SLOT, reach_mm=9.0), "abalone")
    assert long.bite_mm < cutting_figures(machine(), replace(SLOT, reach_mm=3.0), "abalone").bite_mm / 2
    assert "what shell would bend" in long.sources[3]
