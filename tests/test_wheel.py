"""The wheel holds the package, its types marker and the machine profiles, and no tests."""

import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[1]


def test_wheel_ships_profiles_and_nothing_else_of_the_checkout(tmp_path: Path) -> None:
    subprocess.run(
        [
            sys.executable,
            "-m",
            "pip",
            "wheel",
            str(ROOT),
            "--no-deps",
            "--no-build-isolation",
            "-q",
            "-w",
            str(tmp_path),
        ],
        check=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    for profile in (ROOT / "machine_profiles").glob("*.toml"):
        assert f"pearlkerf/machine_profiles/{profile.name}" in names
    assert "pearlkerf/py.typed" in names
    assert "pearlkerf/cli.py" in names
    tops = {name.split("/")[0] for name in names}
    assert all(top == "pearlkerf" or top.endswith(".dist-info") for top in tops)
