"""The command line opens no more than it is asked for, and tells of each command what the command tells of itself."""

import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from pearlkerf.cli import COMMANDS, main

ROOT = Path(__file__).parents[1]
FULL = Path("/dev/full")
BOARD = ROOT / "examples" / "harbour-steel-string.toml"
RUN = """
import sys
from pearlkerf.cli import main
try:
    main(sys.argv[1:])
except SystemExit as end:
    assert not end.code
print(*sys.modules, sep="\\n", file=sys.stderr)
"""
LIBRARIES = {"numpy", "shapely", "voluptuous", "ezdxf", "reportlab", "pygcode"}


def opened(*arguments: object) -> set[str]:
    """Give the libraries and parts of the package that a command imports."""
    run = subprocess.run(
        [sys.executable, "-c", RUN, *map(str, arguments)], capture_output=True, text=True, check=True, env=os.environ
    )
    modules = [name.split(".") for name in run.stderr.split()]
    return {name[0] for name in modules} & LIBRARIES | {
        name[1] for name in modules if name[0] == "pearlkerf" and name[1:]
    }


@pytest.mark.parametrize("option", ["--help", "--version"])
def test_help_opens_no_command(option: str) -> None:
    assert opened(option) == {"cli", "version"}


def test_a_check_opens_nothing_that_is_made_of_a_board() -> None:
    parts = {"cli", "version", "commands", "way", "errors", "files", "board", "machine", "layout"}
    assert opened("check", BOARD) == parts | {"numpy", "voluptuous"}
    assert opened("check", BOARD, "-m", "benchtop-arcs") > parts | {"jobs", "setups", "operations", "toolpath"}


def test_help_tells_of_each_command_what_it_tells_of_itself() -> None:
    context = click.Context(main)
    assert main.list_commands(context) == sorted(COMMANDS)
    modules = {path.stem for path in (ROOT / "src" / "pearlkerf" / "commands").glob("*.py")}
    assert {name.replace("-", "_") for name in COMMANDS} < modules
    for name, said in COMMANDS.items():
        command = main.get_command(context, name)
        assert command is not None
        assert (command.name, command.help.partition("\n\n")[0].replace("\n", " ")) == (name, said)


def test_help_is_as_wide_as_the_terminal() -> None:
    help_text = CliRunner().invoke(main, ["--help"], terminal_width=80).stdout
    told = help_text.partition("Commands:\n")[2]
    assert told.splitlines()[1] == "  check        Tell everything that is wrong with BOARD, at once; else its..."
    assert max(map(len, help_text.splitlines())) <= 80


def test_a_command_that_is_none_is_a_wrong_command() -> None:
    result = CliRunner().invoke(main, ["carve"])
    assert (result.exit_code, "No such command 'carve'." in result.stderr) == (2, True)


@pytest.mark.skipif(not FULL.exists(), reason="no device that is always full")
@pytest.mark.parametrize("command", [["--help"], ["machines"], ["check", BOARD], ["check", BOARD, "--json"]])
def test_output_that_nobody_can_take_is_told_without_a_trace(command: list[object]) -> None:
    with FULL.open("w") as full:
        run = [sys.executable, "-m", "pearlkerf.cli", *map(str, command)]
        both = [subprocess.run(run, stdout=full, stderr=err, text=True, check=False) for err in (subprocess.PIPE, full)]
    assert [each.returncode for each in both] == [4, 4]
    assert both[0].stderr.endswith("No space left on device\n")
    assert "Traceback" not in both[0].stderr
