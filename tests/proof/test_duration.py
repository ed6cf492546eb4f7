"""The time model against mechanics by hand, a fine integration, and its own monotony."""

import math
from dataclasses import replace

import numpy as np
import pytest
from fine_integration import integrate
from hypothesis import given
from hypothesis import strategies as st

from makers import a_machine, clamped
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.machine.model import Motion
from pearlkerf.reading.duration import JUNCTION_DEVIATION_MM, Planner, durations, machine_time
from pearlkerf.reading.motions import Motions
from pearlkerf.reading.reader import read_program

MODEL = 1e-3  # relative: what the model may differ from the fine integration
EXACT = 1e-9  # relative: closed formulas, float arithmetic


def read(text: str):
    return read_program(b"G21 G90 G94 G17\n" + text.encode() + b"M2\n")


def a_router(rapid=(3000.0, 3000.0, 1200.0), limit=(6000.0, 6000.0, 1200.0), acceleration=(100.0, 100.0, 50.0)):
    return replace(a_machine(), motion=Motion(rapid, limit, acceleration, 8.0))


def seconds(text: str, router=None, **planner) -> list[float]:
    """Seconds of each motion of a program that starts with a rapid to X0 Y0 Z0 from nowhere."""
    reading = read("G0 Z0\nX0 Y0\n" + text)
    return durations(reading.motions, router or a_router(), reading.events, Planner(**planner))[2:].tolist()


def zigzag(points: list[tuple[float, float, float]], feeds: list[float]) -> Motions:
    """Give straight motions at feed through points, (n + 1) of them."""
    at, n = np.array(points, dtype=float), len(feeds)
    zeros = np.zeros(n)
    return Motions(np.ones(n, np.int8), at[:-1], at[1:], np.full(n, 17, np.int8), np.full((n, 3), np.nan), zeros,
                   np.array(feeds, dtype=float), zeros, zeros.astype(np.int8), zeros.astype(np.int32),
                   zeros.astype(np.int8), zeros.astype(np.int32))  # fmt: skip


# --- by hand: uniform acceleration, v = a t and v^2 = 2 a s (any mechanics textbook)


def test_a_long_move_speeds_up_cruises_and_slows_down() -> None:
    # 600 mm/min = 10 mm/s: 0.1 s and 0.5 mm at each end, 99 mm at 10 mm/s
    assert seconds("G1 X100 F600\n") == pytest.approx([0.1 + 9.9 + 0.1], rel=EXACT)


def test_a_short_move_never_reaches_its_feed() -> None:
    # half way at 100 mm/s2: v^2 = 2 * 100 * 0.5, v = 10, far below 100 mm/s; 0.1 s up, 0.1 s down
    assert seconds("G1 X1 F6000\n") == pytest.approx([0.2], rel=EXACT)


def test_each_axis_limits_the_direction() -> None:
    # Z: 1200 mm/min = 20 mm/s and 50 mm/s2: 0.4 s and 4 mm at each end, 32 mm at 20 mm/s
    assert seconds("G1 Z-40 F6000\n") == pytest.approx([0.4 + 1.6 + 0.4], rel=EXACT)
    # 30 mm and 40 mm: X and Y each to 50 mm/s at 100 mm/s2, so 62.5 mm/s and 125 mm/s2 along the way (of Y's 0.8)
    assert seconds("G0 X30 Y40\n") == pytest.approx([0.5 + (50 - 31.25) / 62.5 + 0.5], rel=EXACT)


def test_a_circle_is_held_by_the_centripetal_limit() -> None:
    # NISTIR 6556, appendix C.1, line n0320: a full circle of radius 2.5, 15.707963 mm; v^2 = a r = 250
    top = math.sqrt(250.0)
    ramp = top * top / (2 * 100)
    expected = 2 * top / 100 + (15.707963267949 - 2 * ramp) / top
    assert seconds("G2 X0 Y0 J2.5 F6000\n") == pytest.approx([expected], rel=EXACT)


def test_a_straight_joint_costs_nothing_and_a_turning_back_a_full_stop() -> None:
    assert sum(seconds("G1 X40 F600\nX100\n")) == pytest.approx(10.1, rel=EXACT)
    assert sum(seconds("G1 X50 F600\nX0\n")) == pytest.approx(2 * (0.2 + 4.9), rel=EXACT)


def test_a_right_angle_is_passed_at_its_corner_speed() -> None:
    # sin(45 degrees) / (1 - sin(45 degrees)) = 1 + sqrt(2); along the change (-1, 1) the axes give 100 sqrt(2)
    corner = math.sqrt(100 * math.sqrt(2) * JUNCTION_DEVIATION_MM * (1 + math.sqrt(2)))
    ramps = 0.5 + (10**2 - corner**2) / (2 * 100)
    expected = 0.1 + (10 - corner) / 100 + (50 - ramps) / 10
    assert seconds("G1 X50 F600\nY50\n") == pytest.approx([expected, expected], rel=EXACT)


def test_a_tangent_arc_joins_without_slowing_down() -> None:
    # (10, 0) to (20, 10) about (10, 10): a quarter of 15.707963 mm; 300 mm/min = 5 mm/s, v^2 < a r
    times = seconds("G1 X10 F300\nG3 X20 Y10 J10\n")
    assert sum(times) == pytest.approx((10 + 15.707963267949) / 5 + 5 / 100, rel=EXACT)


def test_a_steep_helix_may_be_quick_and_joins_its_own_line() -> None:
    # a full turn of radius 1 falls by 2 pi: 45 degrees, its curvature is cos(45 degrees)^2 / r, so v^2 = 2 a r = 200;
    # Z's share sqrt(1/2) allows 20 sqrt(2) mm/s and 50 sqrt(2) mm/s2 along the way
    top, rate, length = math.sqrt(200.0), 50 * math.sqrt(2), 2 * math.pi * math.sqrt(2)
    expected = 2 * top / rate + (length - top * top / rate) / top
    assert seconds("G2 X0 Y0 Z-6.283185307 J1 F6000\n") == pytest.approx([expected], rel=1e-8)
    # a line along the helix' tangent, then the helix at 4 mm/s: no corner between them
    length += math.sqrt(2)
    times = seconds("G1 Y1 Z-1 F240\nG2 X0 Y1 Z-7.283185307 I1\n")
    assert sum(times) == pytest.approx(length / 4 + 4 / rate, rel=1e-8)


def test_many_motions_among_them_some_that_stand_still() -> None:
    # 10 001 straight pieces of 100 mm in all, each thousandth said twice
    text = "F600\n" + "".join(f"G1 X{k * 0.01:.2f}\n" * (2 if k % 1000 == 0 else 1) for k in range(1, 10001))
    times = seconds(text)
    assert sum(times) == pytest.approx(10.1, rel=1e-6)
    assert times.count(0.0) == 10


@pytest.mark.parametrize("wait", ["G4 P1.5", "M0", "S9000", "M3"])
def test_motion_comes_to_rest_where_something_waits(wait: str) -> None:
    assert sum(seconds(f"G1 X50 F600\n{wait}\nX100\n")) == pytest.approx(2 * (0.2 + 4.9), rel=EXACT)


def test_a_comment_is_no_rest() -> None:
    assert sum(seconds("G1 X50 F600\n(MSG, half way)\nX100\n")) == pytest.approx(10.1, rel=EXACT)


def test_a_controller_that_sees_two_blocks_crawls_through_short_ones() -> None:
    # 100 blocks of 0.02 mm: from each joint it must be able to stop within 0.04 mm: v^2 = 2 * 100 * 0.04 = 8
    short = "F6000\n" + "".join(f"G1 X{k * 0.02:.2f}\n" for k in range(1, 101))
    few, all_of_them = (seconds(short, blocks_ahead=blocks) for blocks in (2, None))
    peak = math.sqrt(8 + 2 * 100 * 0.01)  # half a block above the joints' speed
    assert few[50] == pytest.approx(2 * (peak - math.sqrt(8)) / 100, rel=EXACT)
    assert sum(all_of_them) == pytest.approx(2 * math.sqrt(2 / 100), rel=EXACT)


# --- what nobody knows


def test_the_way_from_an_unknown_place_counts_as_nothing() -> None:
    reading = read("G0 Z8\nX10 Y0\nX20\n")
    assert durations(reading.motions, a_router()).tolist()[:2] == [0.0, 0.0]


def test_a_motion_without_a_feed_takes_an_unknown_time_and_spoils_no_other() -> None:
    times = seconds("G1 X10\nX20 F600\n")
    assert math.isnan(times[0])
    assert times[1] == pytest.approx(0.2 + 0.9, rel=EXACT)


def test_no_motion_takes_no_time() -> None:
    assert machine_time(read(""), a_router()).likely_s == 0.0


# --- the range


def test_the_range_holds_dwells_and_counts_stops() -> None:
    reading = read("G0 Z0\nX0 Y0\nM3 S9000\nG4 P4\nG1 X100 F600\nM0\nX0\nM5\n")
    time = machine_time(reading, a_router())
    assert time.dwells_s == 4.0
    assert time.stops == 1
    assert time.likely_s == pytest.approx(4 + 2 * 10.1, rel=EXACT)
    assert time.motions_s.sum() == pytest.approx(2 * 10.1, rel=EXACT)
    # 0.7 of 100 mm/s2: 10 mm/s after 1/7 s; 1.3 of it: after 1/13 s
    assert time.longest_s == pytest.approx(4 + 2 * (10 + 1 / 7), rel=EXACT)
    assert time.shortest_s == pytest.approx(4 + 2 * (10 + 1 / 13), rel=EXACT)


def test_pecks_take_as_long_as_the_same_moves_written_out() -> None:
    """A peck feeds the last 0.2 mm again on its way back (common practice, no source)."""
    cycle = read("G0 Z0.5\nX0 Y0\nM3 S9000\nG99 G83 X0 Y0 Z-3 R0.5 Q1 F120\nG80\nM5\n")
    moves = "".join(f"G1 Z{down} F120\nG0 Z0.5\nZ{down + 0.2:.1f}\n" for down in (-0.5, -1.5, -2.5))
    written = read(f"G0 Z0.5\nX0 Y0\nM3 S9000\n{moves}G1 Z-3\nG0 Z0.5\nM5\n")
    pecked, out = (machine_time(each, a_router()) for each in (cycle, written))
    assert pecked.likely_s == pytest.approx(out.likely_s, rel=1e-2)  # rests at the turns differ a little
    assert pecked.likely_s > 1.05 * durations(cycle.motions, a_router(), cycle.events).sum()


# --- against the fine integration


@pytest.mark.parametrize(
    "text",
    [
        "G1 X10 F600\nY10\nX0 Y0 Z-3\nX30 Y1\nX31 Y1.2\nX30 Y1.4\n",
        "G1 X5 F1200\nG3 X10 Y5 J5\nG2 X10 Y15 J5 Z-2\nG1 X12 Y15\nG0 Z5\nX0 Y0\n",
        "G18\nG3 X10 Z0 I5 K0 F900\nG1 X20\nG19\nG2 Y6 Z0 J3 K0\nG1 Y20\n",
        "F3000\n" + "".join(f"G1 X{k * 0.2:.1f} Y{(k % 3) * 0.01:.2f}\n" for k in range(1, 40)),
    ],
    ids=["lines", "arcs", "planes", "short"],
)
def test_hand_written_programs_against_the_fine_integration(text: str) -> None:
    motions = rows(read("G0 Z0\nX0 Y0\n" + text).motions, slice(2, None))
    fine = integrate(motions, a_router(), deviation_mm=JUNCTION_DEVIATION_MM, steps=2000)
    assert durations(motions, a_router()).sum() == pytest.approx(sum(fine), rel=MODEL)


def test_a_written_program_against_the_fine_integration() -> None:
    job = plan_job(clamped(), a_machine())
    for program in make_programs(job, "test"):
        motions = rows(read_program(program.text, program.file).motions, slice(2, 122))
        fine = integrate(motions, a_machine(), deviation_mm=JUNCTION_DEVIATION_MM, steps=600)
        assert durations(motions, a_machine()).sum() == pytest.approx(sum(fine), rel=MODEL)


def rows(motions: Motions, some: slice) -> Motions:
    return Motions(*(getattr(motions, name)[some] for name in Motions.__dataclass_fields__))


# --- properties

POINTS = st.lists(
    st.tuples(*[st.floats(-50, 50).map(lambda value: round(value, 3))] * 3), min_size=2, max_size=40, unique=True
)
FEEDS = st.floats(30, 9000)


@given(POINTS, FEEDS)
def test_never_faster_than_the_feed(points, feed) -> None:
    motions = zigzag(points, [feed] * (len(points) - 1))
    least = np.linalg.norm(motions.end - motions.start, axis=1) / (feed / 60)
    assert np.all(durations(motions, a_router()) >= least * (1 - EXACT))


@given(POINTS, FEEDS, st.floats(0.1, 1.0))
def test_more_acceleration_never_takes_longer(points, feed, share) -> None:
    motions = zigzag(points, [feed] * (len(points) - 1))
    slow = durations(motions, a_router(), (), Planner(acceleration_share=share)).sum()
    assert durations(motions, a_router()).sum() <= slow * (1 + EXACT)


@given(POINTS, FEEDS, st.integers(1, 20))
def test_seeing_fewer_blocks_is_never_quicker(points, feed, blocks) -> None:
    motions = zigzag(points, [feed] * (len(points) - 1))
    few = durations(motions, a_router(), (), Planner(blocks_ahead=blocks)).sum()
    more = durations(motions, a_router(), (), Planner(blocks_ahead=blocks + 1)).sum()
    assert few >= more * (1 - EXACT)


@given(POINTS, FEEDS)
def test_the_way_back_takes_as_long(points, feed) -> None:
    feeds = [feed] * (len(points) - 1)
    there, back = (durations(zigzag(way, feeds), a_router()) for way in (points, points[::-1]))
    assert np.allclose(there, back[::-1], rtol=1e-6)
