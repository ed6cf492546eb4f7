"""README and contributors' guide say what is: commands, reference of both files, folders, tolerances."""

import re
import shlex
from dataclasses import MISSING, Field
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from pearlkerf.board import tables as board
from pearlkerf.cli import main
from pearlkerf.files.toml_models import Table, is_required, keys_of
from pearlkerf.machine import holding
from pearlkerf.machine import tables as machine
from pearlkerf.proof import tolerances

ROOT = Path(__file__).parents[1]
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
FIRST, SECOND = re.findall(r"```sh\n(.*?)\n```", README, re.DOTALL)
CI = (ROOT / ".ci" / "run").read_text(encoding="utf-8")

TABLES: dict[tuple[str, str], type[Table]] = {
    ("The board file", "At the top"): board.BoardFileTable,
    ("The board file", "`[scale]`"): board.ScaleTable,
    ("The board file", "`[board]`"): board.BoardTable,
    ("The board file", "`[blank]`"): board.BlankTable,
    ("The board file", "`[binding]`"): board.BindingTable,
    ("The board file", "`[fret_slots]`"): board.FretSlotsTable,
    ("The board file", "`[face_dots]`"): board.FaceDotsTable,
    ("The board file", "`[side_dots]`"): board.SideDotsTable,
    ("The board file", "`[[holding]]`"): holding.HoldingTable,
    ("The machine profile", "At the top"): machine.ProfileTable,
    ("The machine profile", "`[travel]`"): machine.TravelTable,
    ("The machine profile", "`[spindle]`"): machine.SpindleTable,
    ("The machine profile", "`[motion]`"): machine.MotionTable,
    ("The machine profile", "`[program]`"): machine.ProgramTable,
    ("The machine profile", "`[carrier]`"): machine.CarrierTable,
    ("The machine profile", "`[[cutter]]`"): machine.CutterTable,
}


def rows(section: str, table: str) -> dict[str, str]:
    """Give the keys of one reference table with what it says of their defaults."""
    part = README.partition(f"\n## {section}\n")[2].partition("\n## ")[0]
    (body,) = re.findall(rf"^{re.escape(table)}.*?:?\n\n((?:\|.*\n)+)", part, re.MULTILINE)
    cells = [line.split("|")[1:3] for line in body.splitlines()[2:]]
    return {key.strip().strip("`"): default.strip() for key, default in cells}


def says_default(field: Field[Any], told: str) -> bool:
    """Say whether the told default is the model's; None is told in words."""
    if is_required(field):
        return told == "required"
    default = field.default if field.default_factory is MISSING else field.default_factory()
    if default is None or default == (board.FLAT, board.FLAT):
        return bool(told) and told != "required"
    if isinstance(default, bool):
        return told.startswith(str(default).lower())
    if isinstance(default, int | float):
        return told.split(" ")[0] == f"{default:g}"
    return told in (f'`"{default}"`', f"`{default}`", "none" if default == "" else "")


@pytest.mark.parametrize(("section", "table"), TABLES)
def test_every_key_stands_in_the_reference_with_its_default(section: str, table: str) -> None:
    fields = {key: field for key, field in keys_of(TABLES[section, table]).items() if not _is_table(field)}
    told = rows(section, table)
    assert set(told) == set(fields)
    assert [key for key, field in fields.items() if not says_default(field, told[key])] == []


def _is_table(field: Field[Any]) -> bool:
    return "Table" in str(field.type)


def test_the_reference_is_held_against_the_models() -> None:
    changed = keys_of(machine.SpindleTable)["start_delay"]
    assert says_default(changed, "4 s")
    assert not says_default(changed, "5 s")
    assert not says_default(changed, "required")
    assert not says_default(keys_of(machine.ProgramTable)["arcs"], "false")
    assert not says_default(keys_of(board.BoardTable)["hand"], '`"left"`')
    assert not says_default(keys_of(board.BoardTable)["length"], "448 mm")


def test_every_command_is_told_and_exists() -> None:
    part = README.partition("## The commands")[2].partition("\n## ")[0]
    told = dict(re.findall(r"^\| `pearlkerf (\w+)([^`]*)` \|", part, re.MULTILINE))
    assert set(told) == set(main.commands)
    options = {option for command in main.commands.values() for param in command.params for option in param.opts}
    used = set(re.findall(r"(?<![\w-])(--?[a-z][a-z-]*)", " ".join(re.findall(r"`([^`\n]+)`", part))))
    assert used <= options | {"-m", "-o", "--json"}


def test_the_first_command_makes_a_job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    *setting_up, cut = FIRST.split(" && ")
    assert setting_up == [
        "sudo apt-get update",
        "sudo apt-get install -y python3-venv",
        "python3 -m venv .venv",
        ".venv/bin/pip install .",
    ]
    program, *arguments = shlex.split(cut)
    assert program == ".venv/bin/pearlkerf"
    arguments[1] = str(ROOT / arguments[1])
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(main, arguments)
    assert result.exit_code == 0, result.stderr
    made = {path.name for path in (tmp_path / arguments[-1]).iterdir()}
    assert {"job.json", "dry-run.html", "job-card.pdf"} < made


def test_the_second_command_is_the_one_that_ci_runs() -> None:
    update, install, *checks = SECOND.split(" && ")
    assert update == "sudo apt-get update"
    assert CI.rstrip().splitlines()[-1] == " && ".join(checks)
    packages = install.removeprefix("sudo apt-get install -y ").split(" ")
    assert sorted(packages) == sorted(re.findall(r"missing\+=\(([^)]*)\)", CI))
    assert checks[-1] == ".venv/bin/python -m pytest -n 2"


def test_every_local_link_leads_somewhere() -> None:
    for name in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / name).read_text(encoding="utf-8")
        for link in re.findall(r"\]\((?!https?:|#)([^)]+)\)", text):
            assert (ROOT / link).exists(), f"{name}: {link}"


def test_every_link_within_the_page_leads_to_a_heading() -> None:
    headings = re.findall(r"^#+ (.*)$", README, re.MULTILINE)
    anchors = {re.sub(r"[^a-z0-9 -]", "", heading.lower()).replace(" ", "-") for heading in headings}
    links = re.findall(r"\]\(#([^)]+)\)", README)
    assert links
    assert set(links) <= anchors


def test_the_whole_board_file_that_it_shows_is_the_example() -> None:
    part = README.partition("## A whole board file")[2].partition("\n## ")[0]
    (name,) = re.findall(r"\]\((examples/[^)]+)\)", part)
    (shown,) = re.findall(r"```toml\n(.*?)```", part, re.DOTALL)
    assert shown == (ROOT / name).read_text(encoding="utf-8")


def test_cautions_come_before_anything_is_cut() -> None:
    headings = re.findall(r"^## (.*)$", README, re.MULTILINE)
    assert headings.index("Cautions") < headings.index("From board file to program")


def test_the_refusal_that_it_shows_is_a_real_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (shown,) = re.findall(r"(my-board\.toml:\d+:\d+: .*?)```", README, re.DOTALL)
    text = (ROOT / "examples" / "harbour-steel-string.toml").read_text(encoding="utf-8")
    for old, new in (
        ("frets = 20", "frets = 24"),
        ("15, 17]", "15, 17, 24]"),
        ("= 448", "= 490"),
        ("r = 6\n", "r = 8\n"),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    (tmp_path / "my-board.toml").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    told = CliRunner().invoke(main, ["check", "my-board.toml"]).stderr
    assert " ".join(shown.split()) in " ".join(told.split())


def test_the_guide_names_every_part_and_nothing_that_is_not_there() -> None:
    drawing = GUIDE.partition("```\nsrc/pearlkerf/\n")[2].partition("```")[0]
    inside = set(re.findall(r"^  (\S+?)/? ", drawing, re.MULTILINE))
    beside = set(re.findall(r"^(\S+)/ ", drawing, re.MULTILINE))
    source = ROOT / "src" / "pearlkerf"
    parts = {path.name for path in source.iterdir() if path.name not in ("__init__.py", "__pycache__", "py.typed")}
    assert inside == parts
    assert all((ROOT / folder).is_dir() for folder in beside)
    for path in re.findall(r"`((?:[a-z_]+/)+[a-z_]*(?:\.py|/)?)`", GUIDE):
        assert (source / path).exists() or (ROOT / path).exists(), path
    for rule in re.findall(r"^\| [2-9] \| `(\w+\.py)`", GUIDE, re.MULTILINE):
        assert (source / "proof" / "rules" / rule).is_file()


def test_the_guide_tells_the_tolerances_of_the_proof() -> None:
    told = re.findall(r"^\| `([A-Z_]+)` \| (\S+) \|", GUIDE, re.MULTILINE)
    assert told
    assert {name: float(value) for name, value in told} == {name: getattr(tolerances, name) for name, _ in told}
