"""The machine's form: every key has its field, mistakes stand beside theirs, copies are the maker's own."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from benches import Open
from pearlkerf.bench.editing import Edit, edited
from pearlkerf.bench.form import form_data, form_of
from pearlkerf.bench.view import in_place, machine_view
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.toml_keys import keys_of, tables_of
from pearlkerf.machine.reader import read_machine_text
from pearlkerf.machine.tables import ProfileTable
from refusal_files import expected_in

ROOT = Path(__file__).parents[2]
PROFILES = sorted((ROOT / "machine_profiles").glob("*.toml"))


def can_be_shown(path: Path) -> bool:
    try:
        tomllib.loads(path.read_text(encoding="utf-8"))
    except ValueError:
        return False
    return True


SHOWN = [path for path in sorted((ROOT / "tests" / "machine" / "refusals").glob("*.toml")) if can_be_shown(path)]


def places(view: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Give all that is told with the dotted place that it stands at."""
    found = [("", told) for told in view["other"]]
    for section in (section for ticket in view["tickets"] for section in ticket["sections"]):
        found += [(section["table"], told) for told in section["told"]]
        for row in section["rows"]:
            found += [(".".join(map(str, row["place"])), told) for told in row["told"]]
            found += [(".".join(map(str, field["place"])), told) for field in row["fields"] for told in field["told"]]
    return found


@pytest.mark.parametrize("path", SHOWN, ids=lambda path: path.stem)
def test_every_refusal_stands_beside_its_field_and_mends_mend(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    told, tables = places(machine_view(text, path.stem)), tables_of(ProfileTable)
    for mistake in expected_in(path):
        where = in_place(Problem("", key=mistake.key), tomllib.loads(text)).key
        (at,) = {at for at, each in told if each["key"] == where and mistake.found in each["found"]}
        table, *rest = where.split(".")
        key = next((part for part in rest if not part.isdecimal()), "")
        shown = key in tables.get(table, {}) and table in tomllib.loads(text)
        assert where.startswith(at)
        assert at.endswith(key if shown else at), at
    for _, each in told:
        for mend in each["mends"]:
            mended = edited(text, [Edit(edit["do"], tuple(edit["at"]), edit["value"]) for edit in mend["edits"]])
            assert (each["key"], each["found"]) not in mistakes(mended), mend["label"]


def mistakes(text: str) -> list[tuple[str, str]]:
    try:
        read_machine_text(text.encode(), "m.toml")
    except Refusal as refusal:
        return [(in_place(each, tomllib.loads(text)).key, each.found) for each in refusal.problems]
    return []


def test_every_key_has_one_field() -> None:
    tables = tables_of(ProfileTable)
    data = {name: [{}] if key.many else {} for name, key in keys_of(ProfileTable).items() if key.table}
    found = [
        (section["table"], field["key"])
        for ticket in form_data(form_of(ProfileTable, data, ()), None)
        for section in ticket["sections"] for row in section["rows"] for field in row["fields"]
    ]  # fmt: skip
    assert sorted(found) == sorted((table, key) for table, keys in tables.items() for key in keys)


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
def test_every_profile_is_right_in_its_form(path: Path) -> None:
    view = machine_view(path.read_text(encoding="utf-8"), path.stem)
    assert view["wrong"] == 0 and places(view) == []
    cutters = next(ticket for ticket in view["tickets"] if ticket["name"] == "cutters")
    assert cutters["sum"]


def test_a_machine_is_made_one_s_own_and_says_what_it_takes(bench: Open) -> None:
    made = bench.post("machine-copy", {"machine": "benchtop-arcs", "to": "own router"})
    assert made.json()["name"] == "own router"
    original = (ROOT / "machine_profiles" / "benchtop-arcs.toml").read_bytes()
    assert (bench.folder / "own router.toml").read_bytes() == original
    assert bench.post("machine-copy", {"machine": "../x", "to": "y"}).status_code == 404
    bench.copy("wren-tenor-ukulele", "taken")
    told = bench.post("ways", {"name": "taken", "machine": "./own router.toml"}).json()
    assert {each["cuts"] for each in told["ways"] if each["chosen"]} == {"face dots", "frets", "side dots"}
    assert all(0 < each["shortest_s"] <= each["longest_s"] for each in told["ways"])
    assert told["why"] and told["widths"]
    assert told["command"] == "pearlkerf check taken.toml -m './own router.toml'"
    listed = {each["name"]: each for each in bench.client.get("/api/machines").json()["machines"]}
    assert listed["./own router.toml"]["own"] and not listed["benchtop-arcs"]["own"]
    assert listed["benchtop-arcs"]["travel"] == "680 × 220 × 75 mm"
    assert listed["benchtop-arcs"]["cutters"][0].startswith("1 · end mill 0.58 mm, reach")
    assert "own router" not in {each["name"] for each in bench.client.get("/api/boards").json()["boards"]}


def test_a_profile_is_edited_with_its_comments(bench: Open) -> None:
    made = bench.post("machine-copy", {"machine": "benchtop-arcs", "to": "edited router"}).json()
    edits = [{"at": ["cutter", 0, "runout"], "typed": "0.012"}, {"at": ["travel", "x"], "typed": "27 in"}]
    asked = {"kind": "machine", "name": "edited router", "text": made["text"], "edits": edits}
    view = bench.post("edit", asked).json()
    assert view["wrong"] == 0
    before, after = made["text"].splitlines(), view["text"].splitlines()
    assert [line.partition("#")[0].strip() for line in after if line not in before] == ['x = "27 in"', "runout = 0.012"]
    assert bench.post("edit", {**asked, "edits": [{"at": ["board", "length"], "typed": "1"}]}).status_code == 400
