"""What the commands show of a job: which cutter takes what and why, how long it takes, what was saved."""

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from pearlkerf.commands.tables import columns
from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import Unit, figure_in
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.waiting import shortened_by
from pearlkerf.jobs.ways import ways_of
from pearlkerf.machine.woods import say_wood
from pearlkerf.operations.model import Stage
from pearlkerf.operations.widths import true_widths
from pearlkerf.pictures.inlay_words import InlayTold, inlays_told
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.duration import MachineTime, machine_time


def cutters_text(job: Job) -> str:
    """Give which cutter takes what, how and why, how long each way takes, and how wide each cuts."""
    stages = [(plan.setup.name, stage) for plan in job.workplans for stage in plan.stages]
    unit = job.unit
    rows = [_stage_row(setup, stage, unit) for setup, stage in stages]
    head = ["setup", "cutter", "kind", unit, "how", "rpm", "feed", "plunge", "a pass"]
    told = [say_wood(plan.setup.wood) for plan in job.workplans]
    told += [text for _, stage in stages for text in (*stage.why, *stage.notes)]
    why = dict.fromkeys([*told, *(source for _, stage in stages for source in stage.figures.sources)])
    return "\n".join(
        [
            f"On {job.machine.name}, in the order to run:",
            columns(head, rows),
            *(f"  {in_unit(text, unit)}" for text in why),
        ]
        + ["How long each way takes that this machine has, stops and changes of cutters not counted:", _ways_text(job)]
        + ["How wide each cutter really cuts, and what of that its path allows for:"]
        + [f"  {in_unit(str(width), unit)}" for width in true_widths(job.workplans)]
        + [line for each in inlays_told(job.clampings.fits) for line in _inlay_lines(each, unit)]
    )


def _inlay_lines(inlay: InlayTold, unit: Unit) -> list[str]:
    """Give what the cutters make of an inlay's drawing."""
    return [f"Inlay {inlay.name}:", *(f"  {in_unit(text, unit)}" for text in inlay.told)]


def _ways_text(job: Job) -> str:
    rows = [
        [way.setup, way.group, str(way.cutter.number), way.cutter.kind, figure_in(way.cutter.diameter_mm, job.unit, 3),
         ", ".join(way.how), minutes(way.time), "chosen" if way.chosen else ""]
        for way in ways_of(job)
    ]  # fmt: skip
    return columns(["setup", "cuts", "cutter", "kind", job.unit, "how", "min:s", ""], rows)


def minutes(time: MachineTime) -> str:
    """Write a time as a range of minutes and seconds.

    >>> from numpy import zeros
    >>> minutes(MachineTime(50.0, 60.0, 71.0, zeros(0), 0.0, 0))
    '0:50 to 1:11'
    """
    short, long = (f"{round(seconds) // 60}:{round(seconds) % 60:02d}" for seconds in (time.shortest_s, time.longest_s))
    return short if short == long else f"{short} to {long}"


def _stage_row(setup: str, stage: Stage, unit: Unit) -> list[str]:
    cutter, figures = stage.cutter, stage.figures
    how = ", ".join(dict.fromkeys(operation.strategy for operation in stage.operations))
    feeds = [figure_in(feed, unit, 0) for feed in (figures.feed_mm_min, figures.plunge_feed_mm_min)]
    return [setup, str(cutter.number), cutter.kind, figure_in(cutter.diameter_mm, unit, 3), how,
            f"{figures.speed_rpm:.0f}", *feeds, figure_in(figures.bite_mm, unit, 3)]  # fmt: skip


def cutters_data(job: Job) -> dict[str, Any]:
    """Give the same as plain data: widths, cutters, ways."""
    stages = [(plan.setup.name, stage) for plan in job.workplans for stage in plan.stages]
    widths = [
        {"setup": width.setup, "group": width.group, "cutter": width.cutter.number, "how": width.strategy,
         "wanted_mm": width.wanted_mm, "cutter_makes_mm": width.own_mm, "expected_mm": width.makes_mm}
        for width in true_widths(job.workplans)
    ]  # fmt: skip
    cutters = [
        {
            "setup": setup,
            "cutter": stage.cutter.number,
            **asdict(stage.figures),
            "why": stage.why,
            "notes": stage.notes,
        }
        for setup, stage in stages
    ]
    ways = [
        {"setup": way.setup, "cuts": way.group, "cutter": way.cutter.number, "how": way.how, "chosen": way.chosen,
         "shortest_s": way.time.shortest_s, "likely_s": way.time.likely_s, "longest_s": way.time.longest_s}
        for way in ways_of(job)
    ]  # fmt: skip
    return {"widths": widths, "cutters": cutters, "ways": ways, **fits_data(job)}


def fits_data(job: Job) -> dict[str, Any]:
    """Give what the cutters make of the drawings of inlays, under "fits"; nothing on a board without any."""
    fits = [
        {"called": fit.part.pocket.name, "pockets": [pocket.name for pocket in fit.pockets],
         "pocket_cutter": fit.pair.pocket.number, "piece_cutter": fit.pair.piece and fit.pair.piece.number,
         "pieces": [{"name": piece.name, "in": piece.place.name, "cutter": piece.cutter and piece.cutter.number}
                    for piece in fit.pieces],
         "given": [asdict(each) for each in fit.given], "lost": [asdict(each) for each in fit.lost],
         "corners": [asdict(each) for each in fit.corners]}
        for fit in job.clampings.fits
    ]  # fmt: skip
    return {"fits": fits} if fits else {}


def job_text(folder: Path, job: Job, verdict: Verdict, files: Sequence[str]) -> str:
    """Give what `cut` says at its end: the programs in the order to run, and the other files."""
    count = len(verdict.programs)
    head = (
        f"{count} program{'s' if count > 1 else ''} for {job.machine.name}, proved, in {folder}, in the order to run:"
    )
    times = [None if each.reading is None else machine_time(each.reading, job.machine) for each in verdict.programs]
    rows = [[proved.program.file, proved.setup, ", ".join(map(str, proved.cutters)),
             str(proved.reading.lines if proved.reading else 0), minutes(time) if time else ""]
            for proved, time in zip(verdict.programs, times, strict=True)]  # fmt: skip
    table = columns(["program", "setup", "cutter", "lines", "min:s"], rows)
    long = [f"{proved.program.file}: {text}" for proved, time in zip(verdict.programs, times, strict=True)
            for cutter in proved.cutters for text in shortened_by(job, proved.setup, cutter, time)]  # fmt: skip
    long = [in_unit(text, job.unit) for text in long]
    programs = {proved.program.file for proved in verdict.programs}
    others = [name for name in files if name not in programs]
    return "\n".join([head, table, *long, *(f"also {name}" for name in others)])
