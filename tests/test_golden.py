"""A short board's programs for every profile, and what the proof says of damage, as they were looked at and kept."""

import sys
from pathlib import Path

import pytest

from pearlkerf.machine.reader import profile_names

FOLDER = Path(__file__).parent / "golden"
sys.path.insert(0, str(FOLDER))

from renew import golden_cutters, golden_programs  # noqa: E402 (stands beside the files that it renews)
from told import cases, told  # noqa: E402


@pytest.mark.parametrize("machine", profile_names())
def test_programs_are_the_golden_ones_to_the_last_byte(machine: str) -> None:
    kept = {path.name: path.read_bytes() for path in (FOLDER / machine).iterdir()}
    made = golden_programs(machine)
    assert list(made) == sorted(kept)
    for file, text in made.items():
        assert text.decode("ascii").split("\n") == kept[file].decode("ascii").split("\n"), f"{machine}/{file}"


@pytest.mark.parametrize("case", cases())
def test_the_proof_tells_of_damage_in_the_golden_words(case: str) -> None:
    kept = (FOLDER / "findings.txt").read_text().splitlines()
    assert told(case) == [line for line in kept if line.startswith(f"{case} ") and line[len(case) + 1] in "-0123456789"]


def test_chip_bite_bending_and_stress_of_every_mill_are_the_golden_ones() -> None:
    kept = (FOLDER / "cutters.txt").read_text().splitlines()
    assert golden_cutters() == kept
    for line in kept[1:]:
        _, now, _, _ = line.split(" | ")
        _, _, bends, stressed = map(float, now.split())
        assert bends <= 10.05 and stressed <= 250.5, line  # ten thousandths of a mm, 250 MPa, to the last digit
