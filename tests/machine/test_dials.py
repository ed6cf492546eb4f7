"""Speeds that can be set: on a dial a mark of it, by hand and by program rounded figures, never faster than wanted."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.reader import profile_names, read_machine

DIALLED = read_machine("router-dial")


@given(st.floats(0.3, 12.0))
def test_a_mill_turns_at_a_mark_no_faster_than_its_surface_speed_allows(diameter: float) -> None:
    """180 m/min, from memory: rpm = 180000 / (pi d)."""
    cutter = replace(DIALLED.cutters[0], diameter_mm=diameter)
    speed = cutting_figures(DIALLED, cutter, "ebony").speed_rpm
    assert speed in DIALLED.spindle.dial_rpm
    faster = [mark for mark in DIALLED.spindle.dial_rpm if speed < mark <= 180000 / (3.14159265 * diameter)]
    assert not faster


@pytest.mark.parametrize(("control", "step"), [("program", 100), ("hand", 500)])
def test_speeds_of_the_table_are_rounded_down_to_what_people_read(control: str, step: int) -> None:
    machine = replace(DIALLED, spindle=replace(DIALLED.spindle, control=control, dial_rpm=()))
    figures = cutting_figures(machine, replace(machine.cutters[1], diameter_mm=3.175), "ebony")
    assert figures.speed_rpm == 18045.0 // step * step  # 180 m/min on 1/8 in is 18045.8 rpm
    own = cutting_figures(machine, replace(machine.cutters[1], speed_rpm=17777.0), "ebony")
    assert own.speed_rpm == 17777.0  # what the maker says stays


def test_a_cutter_that_asks_for_a_speed_between_marks_turns_at_the_one_below() -> None:
    figures = cutting_figures(DIALLED, replace(DIALLED.cutters[1], speed_rpm=20000.0, feed_mm_min=800.0), "ebony")
    assert figures.speed_rpm == 17000.0
    assert figures.feed_mm_min == pytest.approx(800.0 * 17 / 20)  # the same chip


@pytest.mark.parametrize("name", profile_names())
def test_every_profile_says_how_to_find_acceleration_and_limits(name: str) -> None:
    from pearlkerf.machine.reader import read_profile_bytes

    text = read_profile_bytes(name).decode()
    assert "# Acceleration and fastest feeds stand among the controller's settings" in text.partition("[program]")[0]
