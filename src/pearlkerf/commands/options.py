"""Arguments and options that several commands share, and what is made of them; a wrong one is a wrong command."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from pearlkerf.errors import Refusal
from pearlkerf.files.inches import problem_in
from pearlkerf.files.lengths import Unit

BOARD = click.argument("board", type=click.Path(path_type=Path))
MACHINE = click.option("-m", "--machine", "machine_name", metavar="MACHINE", help="A profile's name, or a path to one.")
JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object on standard output.")
VERBOSE = click.option("-v", "--verbose", is_flag=True, help="Say what is done, and how long it takes.")
FORCE = click.option("--force", is_flag=True, help="Overwrite a FILE that exists.")
SCRAP = click.option(
    "--scrap", metavar="LxWxT", help="The scrap's length, width and thickness; else a strip as long as needed."
)
SMALLEST = click.option(
    "--smallest", help="The smallest size, against the board's; -0.05 mm if not said, -0.03 mm of a gap."
)
LARGEST = click.option(
    "--largest", help="The largest size, against the board's; 0.10 mm if not said, 0.05 mm of a gap."
)
STEP = click.option("--step", help="From size to size; 0.025 mm if not said, 0.01 mm of a gap.")
ONLY_TRIED = click.option(
    "--only", multiple=True, metavar="GROUP", help='Of a fit coupon only these: "frets", "face dots". Repeatable.'
)
OF = click.option(
    "--of",
    metavar="NAME",
    help='With --kind inlay: which inlay, or which of it, "wave", "wave 5/3"; else the smallest.',
)
AT = click.option(
    "--at",
    multiple=True,
    metavar="[SLOT=]X,Y",
    help='Where the centre line was measured: at the far end, "448.0,0.35", or at a slot, "fret 12=316.2,0.2"; '
    'the nut end is zero. Once or twice: the face is cut as the board lies. In a later position "face-2 fret 20=X,Y", '
    "from the zero there.",
)
POINT_HEIGHT = click.option(
    "--point-height", metavar="HEIGHT", help="How high over the wood the tip stops; 1 mm if not said."
)


def need_machine(name: str | None) -> str:
    """Give the machine's name; raises UsageError where none is given, which says how to find one."""
    if name is None:
        raise click.UsageError("Missing option '-m' / '--machine'. The profiles: pearlkerf machines")
    return name


@contextmanager
def usage(unit: Unit = "mm") -> Iterator[None]:
    """Make a wrong command of what is refused: of options that cannot be taken as they are written."""
    try:
        yield
    except Refusal as refusal:
        raise click.UsageError(str(problem_in(refusal.problems[0], unit))) from None
