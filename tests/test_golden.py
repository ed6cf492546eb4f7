"""The bytes of a short board's programs, for every profile, as they were looked at and kept: a diff is a change."""

import sys
from pathlib import Path

import pytest

from pearlkerf.machine.reader import profile_names

FOLDER = Path(__file__).parent / "golden"
sys.path.insert(0, str(FOLDER))

from renew import golden_programs  # noqa: E402 (stands beside the files that it renews)


@pytest.mark.parametrize("machine", profile_names())
def test_programs_are_the_golden_ones_to_the_last_byte(machine: str) -> None:
    kept = {path.name: path.read_bytes() for path in (FOLDER / machine).iterdir()}
    made = golden_programs(machine)
    assert list(made) == sorted(kept)
    for file, text in made.items():
        assert text.decode("ascii").split("\n") == kept[file].decode("ascii").split("\n"), f"{machine}/{file}"
