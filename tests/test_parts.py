"""A part of a job through the commands: resumed after a broken cutter, cut again deeper, told and proved."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pearlkerf.cli import main

ROOT = Path(__file__).parents[1]
STEEL = ROOT / "examples" / "harbour-steel-string.toml"
ON_CARRIER = ROOT / "tests" / "profiles" / "small-carrier.toml"
NAMED = re.compile(r"\(((?:fret|face dot|side dot) \d+[^)]*)\)")


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def cut(folder: Path, *more: str, board: Path = STEEL, machine: object = "benchtop-arcs") -> dict[str, str]:
    result = run("cut", board, "-m", machine, "-o", folder, *more)
    assert result.exit_code == 0, result.stderr
    return {path.name: path.read_text("ascii") for path in sorted(folder.glob("*.nc"))}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    return cut(tmp_path_factory.mktemp("whole") / "job")


def features(programs: dict[str, str]) -> list[str]:
    return [name for text in programs.values() for name in NAMED.findall(text)]


def blocks(programs: dict[str, str], feature: str) -> list[str]:
    """The blocks of one feature; each begins with its place, so that none hangs on what came before but the feed."""
    (text,) = [text for text in programs.values() if f"({feature}" in text]
    lines = text.partition(f"({feature}")[2].splitlines()[1:]
    end = next(n for n, line in enumerate(lines) if line.startswith(("(", "M")))
    return [re.sub(r" F[\d.]+", "", line) for line in lines[:end]]


def test_a_broken_cutter_is_resumed_at_its_cut(whole: dict[str, str], tmp_path: Path) -> None:
    part = cut(tmp_path / "part", "--from", "fret 11")
    everything = features(whole)
    assert features(part) == everything[everything.index("fret 11, bass side first") :]
    assert "frets 11-20)" in part["1-face-cutter-1.nc"] and "cuts=face dots" not in part["1-face-cutter-1.nc"]
    assert blocks(part, "fret 12") == blocks(whole, "fret 12")
    head = part["1-face-cutter-1.nc"].replace(")\n(- ", " ")
    assert "(only the rest of the job, from fret 11 on, what comes before it is left out as cut)" in head
    record = json.loads((tmp_path / "part" / "job.json").read_text())
    assert record["from"] == "fret 11" and "only" not in record


def test_parts_add_up_to_the_job(whole: dict[str, str], tmp_path: Path) -> None:
    asked = (("frets",), ("face dots",), ("side dots 3-9", "side dots 12-19"))
    parts = [
        cut(tmp_path / str(n), *(word for name in only for word in ("--only", name))) for n, only in enumerate(asked)
    ]
    assert sorted(name for part in parts for name in features(part)) == sorted(features(whole))


def test_page_and_card_say_that_it_is_a_part(tmp_path: Path) -> None:
    from pypdf import PdfReader

    cut(tmp_path / "part", "--only", "fret 7", "--only", "side dot 5")
    said = "nly a part of the job, fret 7, side dot 5"
    card = " ".join(
        " ".join(page.extract_text().split()) for page in PdfReader(tmp_path / "part" / "job-card.pdf").pages
    )
    assert said in card
    assert said in (tmp_path / "part" / "dry-run.html").read_text("utf-8")
    assert json.loads((tmp_path / "part" / "job.json").read_text())["only"] == ["fret 7", "side dot 5"]


def test_a_part_proves_by_what_it_claims(tmp_path: Path) -> None:
    part = cut(tmp_path / "part", "--only", "frets 3-5")
    ((name, text),) = part.items()
    assert run("prove", tmp_path / "part" / name, STEEL, "-m", "benchtop-arcs").exit_code == 0
    (tmp_path / "more.nc").write_text(text.replace("cuts=frets 3-5", "cuts=frets 3-6"))
    result = run("prove", tmp_path / "more.nc", STEEL, "-m", "benchtop-arcs")
    assert result.exit_code == 3 and "fret 6 is not cut" in result.stderr


def test_a_part_may_not_rely_on_what_was_cut_before(tmp_path: Path) -> None:
    part = cut(tmp_path / "part", "--only", "fret 7")
    ((name, text),) = part.items()
    lines = text.splitlines()
    heights = [float(found[1]) if (found := re.search(r"Z(-[\d.]+)", line)) else 0.0 for line in lines]
    first = next(n for n, z in enumerate(heights) if z < -0.01)
    deep = next(n for n, z in enumerate(heights) if z < -1.0)  # as if a slot 1 mm deep were there already
    (tmp_path / name).write_text("\n".join(lines[:first] + lines[deep:]) + "\n")
    result = run("prove", tmp_path / name, STEEL, "-m", "benchtop-arcs")
    assert result.exit_code == 3 and "of wood at once in fret 7" in result.stderr


def test_slots_are_cut_deeper_later(tmp_path: Path) -> None:
    old = cut(tmp_path / "old", "--only", "frets")
    deeper = tmp_path / "deeper.toml"
    deeper.write_text(STEEL.read_text("utf-8").replace("depth = 2.0", "depth = 2.2", 1), "utf-8")
    new = cut(tmp_path / "new", "--only", "frets", board=deeper)
    assert new.keys() == old.keys()
    name = next(iter(old))
    result = run("prove", tmp_path / "old" / name, deeper, "-m", "benchtop-arcs")
    assert result.exit_code == 3 and "mm too shallow" in result.stderr
    assert run("prove", tmp_path / "new" / name, STEEL, "-m", "benchtop-arcs").exit_code == 3  # deeper than asked for


def test_positions_keep_their_places_in_a_part(tmp_path: Path) -> None:
    all_of_it = cut(tmp_path / "all", machine=ON_CARRIER)
    part = cut(tmp_path / "part", "--from", "fret 15", machine=ON_CARRIER)
    places = [re.search(r"-(face|edge)-\d", name)[0] for name in part]  # type: ignore[index]
    assert "-face-1" not in places
    assert blocks(part, "fret 16") == blocks(all_of_it, "fret 16")
    files = [tmp_path / "part" / name for name in part]
    assert run("prove", *files, STEEL, "-m", ON_CARRIER).exit_code == 0


@pytest.mark.parametrize(
    ("option", "name", "near"),
    [
        ("--from", "fret 41", "fret 20"),
        ("--only", "fret 41", "fret 20"),
        ("--only", "face dost", "face dots"),
        ("--from", "frets", "fret 1"),
    ],
)
def test_a_name_that_is_not_there_is_refused_with_the_nearest(
    option: str, name: str, near: str, tmp_path: Path
) -> None:
    result = run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", option, name, "--json")
    assert result.exit_code == 1 and not (tmp_path / "job").exists()
    (error,) = json.loads(result.stdout)["errors"]
    assert error["key"] == option and error["file"] == "" and name in error["found"]
    assert error["hint"] == f'did you mean "{near}"?'


def test_nothing_of_a_part_shows_where_all_is_cut(whole: dict[str, str], tmp_path: Path) -> None:
    everything = cut(tmp_path / "all", "--only", "frets", "--only", "face dots", "--only", "side dots")
    code = [[line for line in text.splitlines() if not line.startswith("(")] for text in everything.values()]
    assert code == [[line for line in text.splitlines() if not line.startswith("(")] for text in whole.values()]
    assert not any("part of the job" in text or "rest of the job" in text for text in whole.values())
