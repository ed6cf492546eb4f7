"""The command line: one group of all commands."""

import click

from pearlkerf.commands.check import check
from pearlkerf.commands.coupon import coupon
from pearlkerf.commands.cut import cut
from pearlkerf.commands.machines import machines
from pearlkerf.commands.new import new
from pearlkerf.commands.paper import paper
from pearlkerf.commands.prove import prove
from pearlkerf.commands.show import show
from pearlkerf.commands.talk import INTERRUPTED, say
from pearlkerf.version import VERSION


class Commands(click.Group):
    """The commands; an interruption has its own exit code."""

    def invoke(self, ctx: click.Context) -> object:
        """Run a command."""
        try:
            return super().invoke(ctx)
        except (KeyboardInterrupt, click.Abort):
            say("interrupted")
            raise SystemExit(INTERRUPTED) from None


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


for command in (new, check, cut, coupon, prove, show, paper, machines):
    main.add_command(command)

if __name__ == "__main__":
    main()
