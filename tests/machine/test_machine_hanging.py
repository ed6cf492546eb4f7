"""What hangs in the spindle above a cutter, as the profile says it, and at its worst where it does not."""

from dataclasses import replace

import pytest

from makers import a_machine
from pearlkerf.machine.model import Cutter

THIN = Cutter(1, "end mill", 0.58, 2, 4.5)
WIDE = Cutter(2, "end mill", 12.0, 2, 20.0)


@pytest.mark.parametrize(
    ("cutter", "stages"),
    [
        # the shank unsaid: 1/4 in, 6.35 mm, or the cutter's own where that is wider; the nut at the cutting length
        (THIN, [("cutter", 0.0, 0.29), ("shank", 4.5, 3.175), ("collet nut", 4.5, 25.0), ("spindle", 19.5, 50.0)]),
        (WIDE, [("cutter", 0.0, 6.0), ("shank", 20.0, 6.0), ("collet nut", 20.0, 25.0), ("spindle", 35.0, 50.0)]),
        (
            replace(THIN, shank_mm=3.0, stick_out_mm=18.0),
            [("cutter", 0.0, 0.29), ("shank", 4.5, 1.5), ("collet nut", 18.0, 25.0), ("spindle", 33.0, 50.0)],
        ),
    ],
)
def test_stages_from_the_tip_up(cutter: Cutter, stages: list[tuple[str, float, float]]) -> None:
    hanging = a_machine(cutter).hanging(cutter)
    assert [(part.name, part.above_tip_mm, pytest.approx(part.radius_mm)) for part in hanging] == stages


def test_a_profile_says_how_wide_and_how_long_its_nut_is() -> None:
    machine = a_machine(THIN)
    spindle = replace(machine.spindle, nut_diameter_mm=19.0, nut_length_mm=11.0, body_diameter_mm=43.0)
    _, _, nut, body = replace(machine, spindle=spindle).hanging(THIN)
    assert (nut.above_tip_mm, nut.radius_mm, body.above_tip_mm, body.radius_mm) == (4.5, 9.5, 15.5, 21.5)
