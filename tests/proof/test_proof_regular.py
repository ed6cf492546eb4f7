"""Bounds of the bites of regular cuts: never below what the map finds, and found for what the makers write."""

import math
import random
import re

import pytest
from small_board import CROWN, DOT, FRET, STOPPED, bore, face, loops, machine, program, slot, stopped
from small_slots import in_and_out, laps, nearer, plunged

from how_often import EXAMPLES
from pearlkerf.proof.heights import meet
from pearlkerf.proof.identity import identify
from pearlkerf.proof.prove import prepare
from pearlkerf.reading.motions import UnreadableProgram
from pearlkerf.reading.reader import read_program

# the map takes a cut by its lowest place, and short cuts as one stroke: it may find a bite so much deeper
MAP_MM = 0.004
LANES = (0.05, -0.05)
CASES = {
    "bore": (bore(turns=3), DOT, 2, "face dots 1", None),
    "two rings": ([*bore(orbit=1.0), *bore(orbit=1.5)], DOT, 2, "face dots 1", None),
    "slot": (slot(), FRET, 1, "frets 1", None),
    "slot under a crown": (slot(top=True), FRET, 1, "frets 1", CROWN),
    "level slot": (slot(follow=False), FRET, 1, "frets 1", None),
    "lanes": (slot(lanes=LANES, radius=0.25), FRET, 7, "frets 1", None),
    "loops": (loops(), FRET, 7, "frets 1", None),
    "stopped slot": (stopped(), STOPPED, 1, "frets 2", None),
    "in and out": (in_and_out(), FRET, 1, "frets 1", None),
    "nearer": (nearer(), FRET, 1, "frets 1", None),
    "laps": (laps(), FRET, 7, "frets 1", None),
    "plunged": (plunged(), STOPPED, 1, "frets 2", None),
    "ramped": (plunged(ramp=5.0), STOPPED, 1, "frets 2", None),
}


def bound_and_bite(body: list[str], case: str) -> tuple[float, float]:
    """What the bound and what the map say of the deepest bite in a program's feature."""
    _, feature, cutter, cuts, crown = CASES[case]
    setup, text = face(feature, crown=crown), program(body, cutter, cuts).encode("ascii")
    reading = read_program(text, "p.nc")
    run = prepare(reading, "p.nc", identify(reading, "p.nc", [setup], machine()), setup, machine())
    rows = run.cuts.of(0)
    if not len(rows):
        return math.inf, 0.0
    return run.shapes[0].greatest_bite_mm(run.inside[0]), float(meet(run, [], [0]).bite[rows].max())


@pytest.mark.parametrize("case", CASES)
def test_what_is_regular_has_a_bound_close_to_the_map(case: str) -> None:
    bound, bite = bound_and_bite(CASES[case][0], case)
    assert bite - MAP_MM <= bound <= bite + 0.03


def damaged(body: list[str], draw: random.Random) -> list[str]:
    lines = list(body)
    for _ in range(draw.choice([1, 1, 2]) if len(lines) > 12 else 1):
        n = draw.randrange(3, len(lines) - 2)
        kind = draw.choice(["drop", "drop some", "double", "exchange", "far exchange", "height", "place", "sign"])
        if kind == "drop":
            del lines[n]
        elif kind == "drop some":
            del lines[n : min(n + draw.randrange(2, 9), len(lines) - 2)]
        elif kind == "sign":
            lines[n] = lines[n].replace("Z-", "Z")
        elif kind == "double":
            lines.insert(n, lines[n])
        elif kind == "exchange":
            lines[n], lines[n - 1] = lines[n - 1], lines[n]
        elif kind == "far exchange":
            other = draw.randrange(3, len(lines) - 2)
            lines[n], lines[other] = lines[other], lines[n]
        else:
            word = "Z" if kind == "height" else draw.choice("XY")
            lines[n] = re.sub(
                rf"{word}(-?\d+\.\d+)",
                lambda found: f"{found[0][0]}{float(found[1]) + draw.gauss(0, 0.3):.3f}",
                lines[n],
            )
    return lines


@pytest.mark.parametrize("case", CASES)
def test_no_bite_of_a_damaged_program_exceeds_its_bound(case: str) -> None:
    draw, bounded = random.Random(case), 0
    for _ in range(EXAMPLES or 80):
        try:
            bound, bite = bound_and_bite(damaged(CASES[case][0], draw), case)
        except UnreadableProgram:
            continue
        bounded += math.isfinite(bound)
        assert bite <= bound + MAP_MM
    assert EXAMPLES or bounded >= 5  # the bound tells of damaged programs too, not only of whole ones


def test_a_ring_beyond_what_is_cleared_is_left_to_the_map() -> None:
    bound, _ = bound_and_bite([*bore(orbit=0.4), *bore(orbit=1.5)], "bore")
    assert math.isfinite(bound)
    lines = bore(orbit=1.0)
    lines[-3:-3] = ["G1 X11.3 F100.0"]  # out of the cleared disc, on its floor
    assert bound_and_bite(lines, "bore")[0] == math.inf


def test_the_first_loop_counts_from_the_top() -> None:
    once = loops(turns=1)
    body = [*once[: 3 + (len(once) - 5) // 2], *once[-2:]]
    bound, bite = bound_and_bite(body, "loops")
    assert bite > 0.95
    assert bite - MAP_MM <= bound < 1.05


def test_a_slot_in_which_nothing_runs_along_is_left_to_the_map() -> None:
    body = ["G0 X20.0 Y0.0", "G0 Z0.5", "G1 Z-0.5 F100.0", "G1 Z0.5", "G0 Z5.0"]
    assert bound_and_bite(body, "slot")[0] == math.inf
    assert bound_and_bite([body[0], "G0 Z-0.5", "G1 Z0.5 F100.0", body[-1]], "slot")[0] == math.inf


def test_a_pass_that_goes_too_low_and_straight_up_again_counts_with_both_heights() -> None:
    body = slot(step=5.0)
    n = next(n for n, line in enumerate(body) if "Y-0.800 " in line and n > 25)
    z = float(body[n].partition("Z")[2].split()[0])
    body.insert(n, body[n].replace(f"Z{z:.3f}", f"Z{z - 0.7:.3f}"))
    bound, bite = bound_and_bite(body, "slot")
    assert bite > 0.9
    assert bound >= bite - MAP_MM


def test_a_helix_that_lost_lines_is_not_taken_for_one() -> None:
    """Its straight way across leaves a part of the ring, where the next turn takes two pitches at once."""
    body = bore(turns=6)
    turns = [n for n, line in enumerate(body) if line.startswith("G3 ")]
    bounds = []
    for first in range(4, 9):
        for count in range(1, 6):
            lines = [line for n, line in enumerate(body) if n not in turns[first : first + count]]
            lines[turns[first]] = lines[turns[first]].partition(" I")[0].replace("G3", "G1")
            bound, bite = bound_and_bite(lines, "bore")
            bounds.append(bound)
            assert bite <= bound + MAP_MM
    assert math.inf in bounds


def test_a_pass_that_rises_out_of_the_wood_leaves_what_was_there() -> None:
    """Level at -0.3, then down from right to left, then a third: most is taken where the first two cross."""
    body = ["G0 X20.0 Y-20.9", "G0 Z0.5", "G1 Z-0.3 F100.0", "G1 Y0.0", "G1 Y20.9", "G1 Z0.6", "G1 Y0.0 Z0.0",
            "G1 Y-20.9 Z-0.6", "G1 Z-0.65", "G1 Y0.0 Z-0.35", "G1 Y20.9", "G1 Z0.5", "G0 Z5.0"]  # fmt: skip
    bound, bite = bound_and_bite(body, "slot")
    assert bite == pytest.approx(0.3, abs=MAP_MM)  # the first pass
    bound, bite = bound_and_bite([line.replace("-0.65", "-1.10").replace("-0.35", "-0.80") for line in body], "slot")
    assert bite == pytest.approx(0.65, abs=0.02)
    assert bound >= bite - MAP_MM


def test_a_crowned_top_rises_over_the_chord_between_two_places() -> None:
    bound, bite = bound_and_bite(slot(top=True, step=13.0), "slot under a crown")
    flat, _ = bound_and_bite(slot(top=True, step=1.0), "slot under a crown")
    assert bite > flat + 0.05
    assert bound >= bite - MAP_MM
