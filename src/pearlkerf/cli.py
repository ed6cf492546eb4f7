"""The command line: one group of all commands, each opened when it is named."""

import os
import sys
from contextlib import suppress
from importlib import import_module
from typing import Any, Final, TextIO

import click

from pearlkerf.version import VERSION

UNWRITTEN: Final = 4
INTERRUPTED: Final = 130
# what each command does, as its own help begins; help is told without opening one of them
COMMANDS: Final = {
    "bench": "Open a page in the browser for the boards of FOLDER: draw, mend, make, print, without typing a file.",
    "check": "Tell everything that is wrong with BOARD, at once; else its positions and depths.",
    "coupon": "Make proved programs for scrap: pockets, slots and holes of BOARD in steps of size, or a "
    "calibration piece.",
    "cut": "Make proved programs for BOARD in the folder DIR, with the dry-run page and the job card.",
    "drill-strip": "Make a proved program for a flat strip with the side dots' holes of BOARD, to drill its edge by "
    "hand.",
    "machines": "List the machine profiles; with NAME print that profile, to copy and change.",
    "nest": "Look for a closer packing of the pieces of BOARD on their blanks, and write it into BOARD.",
    "new": "Write a starter board file, commented, to change.",
    "paper": "Draw the 1:1 paper template of BOARD.",
    "phone": "Give the job in DIR as one file for the phone at the machine: dry run, pictures, card, a box for each "
    "step.",
    "pieces": "Make proved programs that cut the pieces of BOARD's inlays from their blanks, with page and card.",
    "prove": "Hold any PROGRAMS, edited by hand too, against BOARD and a machine.",
    "show": "Draw the dry-run page of any RS-274 PROGRAM; no board is held against it.",
}


class Commands(click.Group):
    """The commands; an interruption, and output that nobody can take, have their own exit codes."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run the command line."""
        try:
            return super().main(*args, **kwargs)
        except OSError as fault:
            with suppress(OSError):
                click.echo(f"{fault.filename or 'output'}: {fault.strerror or fault}", err=True)
            raise SystemExit(UNWRITTEN) from None
        finally:
            _let_go(sys.stdout)
            _let_go(sys.stderr)

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - as click calls it
        """Give their names."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Open a command."""
        if cmd_name not in COMMANDS:
            return None
        module = cmd_name.replace("-", "_")
        command: click.Command = getattr(import_module(f"pearlkerf.commands.{module}"), module)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Tell what each does."""
        room = formatter.width - 6 - max(map(len, COMMANDS))
        rows = [(name, click.Command(name, help=what).get_short_help_str(room)) for name, what in COMMANDS.items()]
        with formatter.section("Commands"):
            formatter.write_dl(rows)

    def invoke(self, ctx: click.Context) -> object:
        """Run a command."""
        try:
            return super().invoke(ctx)
        except (KeyboardInterrupt, click.Abort) as stopped:
            click.echo("\n".join(["interrupted", *getattr(stopped, "__notes__", ())]), err=True)
            raise SystemExit(INTERRUPTED) from None


def _let_go(output: TextIO | None) -> None:
    """Drop what cannot be written any more, which the interpreter would try again at its end."""
    if output is None:  # a shell has closed it
        return
    try:
        output.flush()
    except OSError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, output.fileno())
        os.close(nowhere)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(VERSION, prog_name="pearlkerf")
def main() -> None:
    """From a board file to proved RS-274 programs for fret slots, dots and side dots.

    \b
    pearlkerf new my-board.toml
    pearlkerf check my-board.toml
    pearlkerf cut my-board.toml -m benchtop-arcs -o my-board-job

    A program is saved only after an independent reading has proved it.  Try everything in scrap
    first.  Exit codes: 0 done, 1 refused, 2 usage, 3 proof failed, 4 cannot read or write,
    130 interrupted.
    """


if __name__ == "__main__":
    main()
