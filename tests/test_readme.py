"""README and contributors' guide say what is: commands, reference of both files, folders, tolerances."""

import re
import shlex
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from pearlkerf.board import tables as board
from pearlkerf.board.instruments import INSTRUMENTS
from pearlkerf.cli import main
from pearlkerf.files.toml_keys import Key, keys_of, tables_of
from pearlkerf.files.toml_values import Length, Number, Numbers
from pearlkerf.machine import holding
from pearlkerf.machine import tables as machine
from pearlkerf.proof import tolerances

ROOT = Path(__file__).parents[1]
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
FIRST, SECOND = re.findall(r"```sh\n(.*?)\n```", README, re.DOTALL)
CI = (ROOT / ".ci" / "run").read_text(encoding="utf-8")

FILES = {"The board file": board.BoardFileTable, "The machine profile": machine.ProfileTable}
TABLES = {
    (section, name): (keys_of(model)[name] if name else None, keys)
    for section, model in FILES.items()
    for name, keys in tables_of(model).items()
    if (section, name) != ("The machine profile", "holding")  # as in a board file
}


def reference(section: str, table: Key | None) -> tuple[str, dict[str, tuple[str, str]]]:
    """Give what a section says of a table, and of its keys: what counts without them, and their meaning."""
    part = README.partition(f"\n## {section}\n")[2].partition("\n## ")[0].replace("`", "")
    head = "At the top" if table is None else f"[[{table.name}]]" if table.many else f"[{table.name}]"
    ((said, body),) = re.findall(rf"^{re.escape(head)}(?:: )?(.*)\n\n((?:\|.*\n)+)", part, re.MULTILINE)
    cells = [[cell.strip() for cell in line.split("|")[1:4]] for line in body.splitlines()[2:]]
    return said, {name: (default, meaning) for name, default, meaning in cells}


def as_told(key: Key) -> tuple[str, str]:
    """Give what a reference table is to say of a key: what counts without it, and its form and meaning."""
    form = ""
    if isinstance(key.kind, Length):
        form = f"length{'s' if key.many else ''}{', may be negative' if key.kind.lowest_mm < 0 else ''}: "
    elif isinstance(key.kind, Number):
        form = f"{key.kind.unit}: "
    elif isinstance(key.kind, Numbers):
        form = f"[{', '.join(key.kind.names)}], {key.kind.number.unit.replace('s2', 's²')}: "
    elif isinstance(key.kind, holding.Span):
        form = "[low, high]: "
    return "required" if key.required else key.usual, f"{form}{key.meaning}"


@pytest.mark.parametrize(("section", "table"), TABLES)
def test_every_key_stands_in_the_reference_with_its_default_and_its_meaning(section: str, table: str) -> None:
    of, keys = TABLES[section, table]
    said, told = reference(section, of)
    assert list(told) == list(keys)
    assert told == {name: as_told(key) for name, key in keys.items()}
    assert of is None or of.required or said == of.meaning


def test_what_the_reference_is_held_against_is_what_the_models_say() -> None:
    spindle, fret_slots = keys_of(machine.SpindleTable), keys_of(board.FretSlotsTable)
    assert as_told(spindle["start_delay"]) == ("4 s", "s: until the spindle is at speed")
    assert as_told(spindle["control"])[0] == '"program"'
    assert as_told(fret_slots["fit"]) == ("0 mm", "length, may be negative: added to the width")
    assert as_told(fret_slots["measured"])[0] == "[]"
    assert as_told(keys_of(machine.ProgramTable)["arcs"])[0] == "true"
    assert as_told(keys_of(board.SideDotsTable)["height"])[0] == '"auto"'
    assert as_told(keys_of(board.BoardTable)["wood"])[0] == "none"
    assert as_told(keys_of(board.BoardTable)["thickness"]) == (
        "required",
        "length: of the blank as it goes on the machine, at the crown",
    )


def test_every_instrument_stands_in_one_table_with_its_usual_figures() -> None:
    part = README.partition("\n## Instruments\n")[2].partition("\n## ")[0]
    assert "common practice, no source" in " ".join(part.split())
    told = [[cell.strip() for cell in line.split("|")[1:-1]] for line in part.splitlines() if line.startswith("| ")][1:]
    assert told == [
        [", ".join((each.name, *each.short)), each.scale, str(each.frets), str(each.strings), f"{each.nut_width:g} mm",
         f"{each.width_at_12:g} mm", f"{each.thickness:g} mm", each.radius]
        for each in INSTRUMENTS.values()
    ]  # fmt: skip


def test_every_key_has_a_meaning() -> None:
    assert [name for _, keys in TABLES.values() for name, key in keys.items() if not key.meaning] == []


def test_every_command_is_told_and_exists() -> None:
    part = README.partition("## The commands")[2].partition("\n## ")[0]
    told = dict(re.findall(r"^\| `pearlkerf ([\w-]+)([^`]*)` \|", part, re.MULTILINE))
    context = click.Context(main)
    assert set(told) == set(main.list_commands(context))
    commands = [main.get_command(context, name) for name in told]
    options = {option for command in commands for param in command.params for option in param.opts}
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
