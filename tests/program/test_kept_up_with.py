"""Programs for controllers that carry out few blocks: no block comes sooner, and none is slower than it must be."""

import re

import numpy as np
import pytest

from example_jobs import example_job
from pearlkerf.machine.model import Dialect
from pearlkerf.program.blocks import Blocks
from pearlkerf.toolpath.moves import Arc, Feed, TraverseHeight, TraversePlane


def blocks(most: float | None, radius: float = 1.5, arcs: bool = False) -> list[tuple[float, float]]:
    """Length (mm) and feed (mm/min) of every feed block of a full turn at 1500 mm/min."""
    writer = Blocks(Dialect(arcs=arcs, blocks_per_second=most))
    moves = [TraversePlane(radius, 0.0), TraverseHeight(0.0), Feed(radius, 0.0, -0.5, 120.0),
             Arc(-radius, 0.0, -0.5, 0.0, 0.0, 1500.0), Arc(radius, 0.0, -0.5, 0.0, 0.0, 1500.0)]  # fmt: skip
    at, feed, found = np.zeros(3), 0.0, []
    for line in writer.words(moves):
        words = dict(re.findall(r"([A-Z])(-?[\d.]+)", line))
        to = np.array([float(words.get(axis, old)) for axis, old in zip("XYZ", at, strict=True)])
        feed = float(words.get("F", feed))
        if words["G"] == "1":
            found.append((float(np.linalg.norm(to - at)), feed))
        at = to
    return found


@pytest.mark.parametrize("most", [40.0, 100.0, 1000.0])
def test_chords_come_no_sooner_than_they_are_carried_out(most: float) -> None:
    chords = blocks(most)[1:]
    assert len(chords) > 20
    for length, feed in chords:
        kept_up = length * most * 60
        # a step of 0.001 mm in the length, a step of 0.1 in the feed
        assert feed <= min(1500.0, kept_up + 0.002 * most * 60)
        assert feed >= min(1500.0, kept_up) - 0.002 * most * 60 - 0.1


def test_nothing_is_slower_where_the_profile_says_nothing() -> None:
    assert {feed for _, feed in blocks(None)[1:]} == {1500.0}


def test_programs_of_a_small_controller_are_fed_as_it_carries_them_out() -> None:
    made = example_job("wren-tenor-ukulele", "compact-chords")
    assert made is not None
    job, programs = made
    assert job.machine.dialect.blocks_per_second == 150
    assert all(b"\nG2 " not in each.text and b"\nG3 " not in each.text for each in programs)
