"""Programs for controllers that carry out few blocks: no block comes sooner, and none is slower than it must be."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from example_jobs import example_job
from pearlkerf.errors import Refusal
from pearlkerf.jobs.proving import prove_programs
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
        assert feed >= min(1500.0, kept_up) - 0.003 * most * 60 - 0.1


def test_no_chord_is_fed_so_slowly_that_the_cutter_rubs() -> None:
    """At 40 a second chords of 0.134 mm would creep at 322 mm/min: they are longer, 0.004 mm off the arc at most."""
    few = blocks(40.0)[1:]
    # the ends of a chord are rounded: it may be shorter by the diagonal of a step, 0.0014 mm, 40 times a second
    assert min(feed for _, feed in few) >= 0.3 * 1500 - 0.0015 * 40 * 60
    longest = max(length for length, _ in few)
    assert longest > max(length for length, _ in blocks(1000.0)[1:])
    assert 1.5 - math.sqrt(1.5**2 - (longest / 2) ** 2) <= 0.004 + 0.001  # and a step of rounding


def test_an_arc_that_no_chords_serve_is_refused_by_the_key_that_says_so() -> None:
    with pytest.raises(Refusal) as refused:
        blocks(3.0)
    (problem,) = refused.value.problems
    assert problem.key == "program.blocks_per_second" and "a second, however slowly" in problem.found


def test_a_single_short_move_is_fed_as_fast_as_it_is_carried_out() -> None:
    """However slowly: a move of 0.01 mm at 50 a second takes its fiftieth of a second, and burns nothing."""
    writer = Blocks(Dialect(blocks_per_second=50.0))
    words = list(writer.words([TraversePlane(0.0, 0.0), TraverseHeight(0.0), Feed(5.0, 0.0, -1.0, 480.0),
                               Feed(5.01, 0.0, -1.0, 480.0)]))  # fmt: skip
    assert words[-1] == "G1 X5.01 F30.0"


def test_nothing_is_slower_where_the_profile_says_nothing() -> None:
    assert {feed for _, feed in blocks(None)[1:]} == {1500.0}


def test_programs_of_a_small_controller_are_fed_as_it_carries_them_out() -> None:
    made = example_job("wren-tenor-ukulele", "compact-chords")
    assert made is not None and made[0].machine.dialect.blocks_per_second == 150
    job, programs = made
    assert all(b"\nG2 " not in each.text and b"\nG3 " not in each.text for each in programs)
    verdict = prove_programs(job, {each.file: each.text for each in programs})
    assert verdict.proved, verdict.findings[:3]
    slower = replace(job.machine, dialect=replace(job.machine.dialect, blocks_per_second=70))
    found = prove_programs(replace(job, machine=slower), {each.file: each.text for each in programs}).findings
    assert any("the controller carries out 70" in each.message for each in found)
