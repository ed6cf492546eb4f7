"""A job's folder: what is said of a job that is saved there, and of one that is not."""

import json
from pathlib import Path
from typing import Any

import click

from pearlkerf import way
from pearlkerf.commands.job_tables import job_text
from pearlkerf.commands.talk import NO_FILE, NOT_PROVED, say, tell_verdict, verdict_data
from pearlkerf.files.inches import in_unit
from pearlkerf.files.saving import JOB_FILE, InTheWay, is_unfinished
from pearlkerf.jobs.model import Job, Made


def save_told(made: Made, folder: Path, force: bool, as_json: bool, tell: way.Tell) -> way.Saved:
    """Save a job that is proved, and warn of other programs there; else say why not, and exit, the folder as it was."""
    was_unfinished = is_unfinished(folder)
    try:
        saved = way.save(made, folder, force=force, tell=tell)
    except way.NotProved as failed:
        tell_verdict(failed.verdict, as_json)
        say("proof failed: nothing was saved")
        raise SystemExit(NOT_PROVED) from None
    except way.SizesOff as wrong:
        for each in wrong.off:
            found = f"{each.least_mm:.4f} to {each.greatest_mm:.4f} mm"
            told = f"{found} where {each.stated_mm:.4f} mm is stated (within {each.within_mm:.3f} mm)"
            say(f"{each.name}: {in_unit(told, made.job.unit)}")
        say("  hint: more decimals in [program] of the profile, or arcs, make it truer; nothing was saved")
        raise SystemExit(NOT_PROVED) from None
    except InTheWay as blocked:
        in_the_way = f"{', '.join(blocked.files)} would be overwritten; no earlier job made them as they are"
        say(f"{folder}: {in_the_way}")
        say("  hint: choose another folder, or say --force; nothing was written")
        raise SystemExit(NO_FILE) from None
    except BaseException:
        if is_unfinished(folder):
            say(f"{folder} is unfinished: use no program there; the next run that saves a job there puts it right")
        raise
    if was_unfinished:
        say(f"{folder}: what a run had left unfinished there was put right first")
    for name in saved.kept:
        say(f"warning: {folder / name} is no part of this job and was kept: it was changed, or made otherwise")
    return saved


def tell_job(folder: Path, job: Job, saved: way.Saved, as_json: bool, word: str) -> None:
    """Print a job that is saved: its programs, what was removed, and a ``word`` on what comes next; or its data."""
    if as_json:
        click.echo(json.dumps({**saved_data(folder, saved), "proof": verdict_data(saved.verdict)}, indent=2))
        return
    click.echo(job_text(folder, job, saved.verdict, saved.files))
    tell_removed(saved)
    say(word)


def tell_removed(saved: way.Saved) -> None:
    """Print which files of an earlier job were removed."""
    for name in saved.stale:
        click.echo(f"removed {name}, of the earlier job")


def saved_data(folder: Path, saved: way.Saved) -> dict[str, Any]:
    """Give what became of a job's folder as plain data."""
    return {"folder": str(folder), "files": [*saved.files, JOB_FILE], "removed": saved.stale, "kept": saved.kept}
