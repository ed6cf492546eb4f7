"""A slot cut in lanes: what one lane leaves by its wall is wood that the next depth there meets again."""

import pytest
from small_board import broken, program, slot, verdict

# the 0.5 mm cutter in two lanes of the 0.6 mm slot, six depths; a strip of 0.1 mm belongs to each lane alone
LANES = program(slot(radius=0.25, passes=6, lanes=(-0.05, 0.05)), 7, "frets 1")


def test_lanes_cut_whole_are_proved():
    assert verdict(LANES).findings == ()


def leaving_out(*depths):
    """Let the second lane cross to the first in the middle of the slot, at some depths: a strip by its wall is left."""
    lines = LANES.split("\n")
    second = [number for number, line in enumerate(lines) if line.startswith("G1 X20.050")]
    lane = len(second) // 6
    for depth in depths:
        for number in second[(depth - 1) * lane + lane // 2 : depth * lane]:
            lines[number] = lines[number].replace("X20.050", "X19.950")
    return verdict("\n".join(lines))


@pytest.mark.parametrize("depth", [3, 4, 5])
def test_a_strip_by_the_wall_may_be_cut_twice_as_deep(depth):
    """0.1 mm beside an open lane, a fifth of the cutter's diameter (common practice, no source)."""
    assert leaving_out(depth).findings == ()


@pytest.mark.parametrize("depth", [2, 3, 4])
def test_a_strip_that_is_left_out_at_two_depths_is_found_at_the_next(depth):
    found = leaving_out(depth, depth + 1)
    assert broken(found) == {8}
    assert "takes 1.38 mm of wood at once in fret 1" in found.findings[0].message


def test_a_wide_strip_is_no_strip():
    """Half of the cutter's width from a lane that is open: as deep as two bites is too deep there."""
    wide = program(slot(radius=0.15, passes=6, lanes=(-0.15, 0.15)), 21, "frets 1")
    lines = wide.split("\n")
    assert verdict(wide).findings == ()
    last = [number for number, line in enumerate(lines) if line.startswith("G1 X20.150")]
    lane = len(last) // 6
    for number in last[2 * lane + lane // 2 : 3 * lane]:
        lines[number] = lines[number].replace("X20.150", "X19.850")
    found = verdict("\n".join(lines))
    assert broken(found) == {8}
    assert "of wood at once in fret 1" in found.findings[0].message
