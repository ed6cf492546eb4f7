"""What the commands say: talk on standard error, refusals and findings in words or as JSON, exit codes."""

import json
import threading
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pathlib import Path

    from pearlkerf.errors import Problem
    from pearlkerf.proof.verdict import Verdict

REFUSED, USAGE, NOT_PROVED, NO_FILE, INTERRUPTED = 1, 2, 3, 4, 130
# work that lasts longer than this says what it does
PATIENCE_S = 1.0


def say(text: str) -> None:
    """Talk, on standard error."""
    click.echo(text, err=True)


@contextmanager
def told_errors(as_json: bool = False) -> Iterator[None]:
    """Turn refusals and file errors into words (or JSON) and exit codes."""
    from pearlkerf.errors import Refusal

    try:
        yield
    except Refusal as refusal:
        _tell_refusal(refusal.problems, as_json)
        raise SystemExit(REFUSED) from None
    except OSError as fault:
        where = f"{fault.filename}: " if fault.filename else ""
        say(f"{where}{fault.strerror or fault}")
        raise SystemExit(NO_FILE) from None


def _tell_refusal(problems: Iterable["Problem"], as_json: bool) -> None:
    from dataclasses import asdict

    told = tuple(problems)
    if as_json:
        click.echo(json.dumps({"errors": [asdict(problem) for problem in told]}, indent=2))
    for problem in told:
        say(str(problem))
    say(f"refused: {len(told)} mistake{'' if len(told) == 1 else 's'}, nothing was written")


def keep(file: "Path | None", force: bool) -> None:
    """Stop before a file that exists is overwritten, where nobody forces it."""
    if file is not None and file.exists() and not force:
        say(f"{file} exists already; choose another name, or say --force")
        raise SystemExit(NO_FILE)


def warn(problems: Iterable["Problem"]) -> None:
    """Tell warnings."""
    for problem in problems:
        say(f"warning: {problem}")


def tell_verdict(verdict: "Verdict", as_json: bool) -> None:
    """Tell what a proof found: findings in words, and all of it as JSON where that is wanted."""
    from pearlkerf import tables

    if as_json:
        click.echo(json.dumps(tables.verdict_data(verdict), indent=2))
    for finding in verdict.findings:
        say(str(finding))


class Steps:
    """The steps of a command: each says what it does once it lasts long, and how long it took where that is wanted."""

    def __init__(self, verbose: bool) -> None:
        self._verbose = verbose

    @contextmanager
    def step(self, doing: str) -> Iterator[None]:
        """Run a step; ``doing`` says what it does, such as "proving"."""
        begun = time.perf_counter()
        patience = threading.Timer(PATIENCE_S, say, [f"{doing} ..."])
        patience.daemon = True
        patience.start()
        try:
            yield
        finally:
            patience.cancel()
        if self._verbose:
            say(f"{doing}: {(time.perf_counter() - begun) * 1000:.0f} ms")
