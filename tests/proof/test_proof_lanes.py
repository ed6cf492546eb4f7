"""A slot cut in lanes: what one lane leaves by its wall is wood that the next depth there meets twice."""

import pytest
from small_board import broken, program, slot, verdict

# the 0.5 mm cutter in two lanes of the 0.6 mm slot, six depths; a strip of 0.1 mm belongs to each lane alone
LANES = program(slot(radius=0.25, passes=6, lanes=(-0.05, 0.05)), 7, "frets 1")


def test_lanes_cut_whole_are_proved():
    assert verdict(LANES).findings == ()


@pytest.mark.parametrize("share", [3, 4, 5])
def test_a_stretch_that_one_lane_leaves_out_is_found_at_the_next_depth(share):
    """The second lane crosses to the first in the middle of the slot: a strip by its wall is then cut twice as deep."""
    lines = LANES.split("\n")
    second = [number for number, line in enumerate(lines) if line.startswith("G1 X20.050")]
    lane = len(second) // 6
    for number in second[(share - 1) * lane + lane // 2 : share * lane]:
        lines[number] = lines[number].replace("X20.050", "X19.950")
    found = verdict("\n".join(lines))
    assert broken(found) == {8}
    assert "takes 0.92 mm of wood at once in fret 1" in found.findings[0].message
