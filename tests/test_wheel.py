"""The wheel: the whole package with its pictures' files, the machine profiles, and nothing else of the checkout."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "pearlkerf"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    (built,) = folder.glob("*.whl")
    return built


def names(wheel: Path) -> set[str]:
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


def test_every_file_of_the_package_and_every_profile_is_in_it(wheel: Path) -> None:
    package = {
        f"pearlkerf/{path.relative_to(PACKAGE).as_posix()}" for path in PACKAGE.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }  # fmt: skip
    profiles = {f"pearlkerf/machine_profiles/{path.name}" for path in (ROOT / "machine_profiles").glob("*.toml")}
    assert len(profiles) >= 5
    assert {"pearlkerf/py.typed", "pearlkerf/cli.py", "pearlkerf/pictures/page/assets/viewer.js"} <= package
    assert {name for name in names(wheel) if name.startswith("pearlkerf/")} == package | profiles


def test_nothing_else_is_in_it(wheel: Path) -> None:
    others = {name for name in names(wheel) if not name.startswith("pearlkerf/")}
    (info,) = {name.split("/")[0] for name in others}
    assert info.endswith(".dist-info")
    assert {name.removeprefix(f"{info}/") for name in others} == {
        "METADATA", "RECORD", "WHEEL", "entry_points.txt", "licenses/LICENSE",
    }  # fmt: skip


def test_unpacked_elsewhere_it_finds_its_profiles_and_runs(wheel: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path)
    code = (
        f"import sys; sys.path.insert(0, {str(tmp_path)!r})\n"
        "from pearlkerf.machine.reader import profile_names, profile_path, read_machine\n"
        "print(profile_path('benchtop-arcs'), *(read_machine(name).name for name in profile_names()))"
    )
    told = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, check=True, capture_output=True, text=True).stdout
    assert told.split()[0] == str(tmp_path / "pearlkerf" / "machine_profiles" / "benchtop-arcs.toml")
    assert told.split()[1:] == sorted(path.stem for path in (ROOT / "machine_profiles").glob("*.toml"))


def test_its_bench_answers_with_all_that_its_page_asks_for(wheel: Path, tmp_path: Path) -> None:
    """From the wheel alone: the page, its styles, and every module that one of its modules takes in."""
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path)
    told = subprocess.run([sys.executable, "-c", BENCH.format(unpacked=str(tmp_path))], cwd=tmp_path, check=True,
                          capture_output=True, text=True).stdout.split()  # fmt: skip
    static = {path.name for path in (PACKAGE / "bench" / "static").iterdir()} - {"page.html"}
    assert set(told) == static | {"family.css", "families"}


# asks for the page, and for whatever that names, as a browser does
BENCH = r"""
import re, sys, threading
sys.path.insert(0, {unpacked!r})
from pathlib import Path
import httpx
import pearlkerf
from pearlkerf.bench.server import Bench
assert pearlkerf.__file__.startswith({unpacked!r})
folder = Path("boards"); folder.mkdir()
bench = Bench(folder)
threading.Thread(target=bench.serve, daemon=True).start()
with httpx.Client(base_url=bench.door.origin, trust_env=False) as client:
    client.get(bench.door.address)
    wanted = re.findall(r'(?:href|src)="/static/([^"]+)"', client.get("/").text)
    seen = []
    while wanted:
        name = wanted.pop()
        if name in seen:
            continue
        seen.append(name)
        answer = client.get("/static/" + name)
        assert answer.status_code == 200, name
        wanted += re.findall(r'from "\./([^"]+)"', answer.text)
    assert len(client.get("/api/families").json()["families"]) > 5
print(*seen, "families")
bench.end()
"""
