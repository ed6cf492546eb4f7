"""What the commands say: talk on standard error, refusals and findings in words or as JSON, exit codes."""

import json
import threading
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from pearlkerf.errors import Problem, Refusal

if TYPE_CHECKING:
    from pearlkerf.proof.verdict import Verdict

REFUSED, NOT_PROVED, NO_FILE = 1, 3, 4
# work that lasts longer than this says what it does
PATIENCE_S = 1.0


def say(text: str) -> None:
    """Talk, on standard error."""
    click.echo(text, err=True)


@contextmanager
def told_errors(as_json: bool = False) -> Iterator[None]:
    """Turn refusals and file errors into words (or JSON) and exit codes."""
    try:
        yield
    except Refusal as refusal:
        _tell_refusal(refusal.problems, as_json)
        raise SystemExit(REFUSED) from None
    except OSError as fault:
        where = f"{fault.filename}: " if fault.filename else ""
        say(f"{where}{fault.strerror or fault}")
        for note in getattr(fault, "__notes__", ()):
            say(note)
        raise SystemExit(NO_FILE) from None


def _tell_refusal(problems: Iterable[Problem], as_json: bool) -> None:
    told = tuple(problems)
    if as_json:
        click.echo(json.dumps({"errors": [asdict(problem) for problem in told]}, indent=2))
    for problem in told:
        say(str(problem))
    say(f"refused: {len(told)} mistake{'' if len(told) == 1 else 's'}, nothing was written")


def warn(problems: Iterable[Problem]) -> None:
    """Tell warnings."""
    for problem in problems:
        say(f"warning: {problem}")


def tell_verdict(verdict: "Verdict", as_json: bool) -> None:
    """Tell what a proof found: findings and notes in words, and all of it as JSON where that is wanted."""
    if as_json:
        click.echo(json.dumps(verdict_data(verdict), indent=2))
    for note in verdict.notes:
        say(f"note: {note}")
    for finding in verdict.findings:
        say(str(finding))


def verdict_data(verdict: "Verdict") -> dict[str, Any]:
    """Give a verdict as plain data: proved, of which claims, findings, figures, notes."""
    from pearlkerf.jobs.proving import by_group

    return {
        "proved": verdict.proved,
        "claims": [{"setup": each.setup, "purpose": each.purpose, "claimed": by_group(each.claimed),
                    "not_claimed": by_group(each.not_claimed)} for each in verdict.claims],
        "findings": [{"rule": f.rule, "file": f.file, "line": f.line, "feature": f.feature, "message": f.message}
                     for f in verdict.findings],
        "figures": [{"name": name, "value": value, "unit": unit} for name, value, unit in verdict.figures],
        "notes": list(verdict.notes),
    }  # fmt: skip


class Steps:
    """The steps of a command: each says what it does once it lasts long, and how long it took where that is wanted.

    Called with what is begun, such as "proving", which ends the step before; leaving it ends the last.
    """

    def __init__(self, verbose: bool) -> None:
        self._verbose = verbose
        self._doing = ""
        self._begun = 0.0
        self._patience: threading.Timer | None = None

    def __enter__(self) -> "Steps":
        """Begin with no step."""
        return self

    def __exit__(self, *_: object) -> None:
        """End the last step."""
        self._end()

    def __call__(self, doing: str) -> None:
        """Begin a step."""
        self._end()
        self._doing, self._begun = doing, time.perf_counter()
        self._patience = threading.Timer(PATIENCE_S, say, [f"{doing} ..."])
        self._patience.daemon = True
        self._patience.start()

    def _end(self) -> None:
        if self._patience is None:
            return
        self._patience.cancel()
        self._patience = None
        if self._verbose:
            say(f"{self._doing}: {(time.perf_counter() - self._begun) * 1000:.0f} ms")
