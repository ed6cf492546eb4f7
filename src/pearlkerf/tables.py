"""What the commands show of a layout, a job and a verdict: aligned columns for people, plain data for programs."""

import math
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

from pearlkerf.choices import ways_of
from pearlkerf.errors import Problem
from pearlkerf.job import Job
from pearlkerf.layout.features import Hole
from pearlkerf.layout.model import DotRow, Layout
from pearlkerf.layout.outline import edge_angle_rad
from pearlkerf.machine.woods import say_wood
from pearlkerf.operations.model import Stage
from pearlkerf.operations.widths import true_widths
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.duration import MachineTime

Row = Sequence[str]
# how far below the raw face a dot must lie for the maker to wonder: what two decimals show
WORTH_A_WORD_MM: Final = 0.005


def columns(head: Row, rows: Sequence[Row]) -> str:
    """Align rows of text under a head; figures to the right.

    >>> print(columns(["fret", "mm"], [["1", "36.482"], ["12", "325.000"]]))
    fret       mm
       1   36.482
      12  325.000
    """
    widths = [max(len(row[index]) for row in [head, *rows]) for index in range(len(head))]
    return "\n".join(
        "  ".join(f"{cell:>{width}}" for cell, width in zip(row, widths, strict=True)) for row in [head, *rows]
    )


def as_text(layout: Layout, job: Job | None) -> str:
    """Give the table that a maker wants at the bench."""
    board = layout.board
    parts = [
        f"{board.title}: scale {board.scale.length_mm:.3f} mm, {board.hand}-handed, distances in mm from the nut end"
    ]
    frets = [[str(row.fret), f"{row.x_mm:.3f}", f"{row.from_last_mm:.3f}", f"{row.width_mm:.2f}", _mm(row.depth_mm),
              _mm(row.wood_left_mm)] for row in layout.fret_rows]  # fmt: skip
    head = ["fret", "from nut", "from last", "width there", "slot floor", "wood left"]
    if any(row.off_mm is not None for row in layout.fret_rows):
        head = [*head, "measured beyond the formula"]
        frets = [
            [*cells, f"{round(row.off_mm or 0.0, 2) + 0.0:+.2f}"]
            for cells, row in zip(frets, layout.fret_rows, strict=True)
        ]
    parts.append(columns(head, frets))
    if layout.face_dot_rows:
        rows = [[row.name, f"{row.x_mm:.3f}", f"{row.y_mm:+.3f}", _mm(row.depth_mm), _mm(row.wood_left_mm)]
                for row in layout.face_dot_rows]  # fmt: skip
        parts.append(_dots_head(layout))
        parts.append(columns(["face dot", "from nut", "from centre line", "floor", "wood left"], rows))
    if layout.side_dot_rows:
        rows = [[row.name, _mm(row.along_mm, 3), _mm(row.height_mm, 3), _mm(row.depth_mm), _mm(row.wood_left_mm)]
                for row in layout.side_dot_rows]  # fmt: skip
        head = ["side dot", "along the edge", "above glue face", "depth", "wood beside"]
        parts.append(columns(head, rows))
    parts.append("Floors are below the blank's top at the crown line.")
    if job is not None:
        parts.append(_cutters_text(job))
    return "\n\n".join(parts)


def _dots_head(layout: Layout) -> str:
    dots = layout.board.face_dots
    assert dots is not None
    lowest = max(row.below_raw_mm or 0.0 for row in layout.face_dot_rows)
    stands = f"stands {dots.proud_mm:.2f} mm proud of the finished surface."
    if lowest < WORTH_A_WORD_MM:
        return f"A dot {dots.thinnest_mm:.2f} mm thick {stands}"
    return (
        f"A dot {dots.thinnest_mm:.2f} mm thick will lie up to {lowest:.2f} mm below the raw face: that is right, "
        f"it {stands}"
    )


def _cutters_text(job: Job) -> str:
    stages = [(plan.setup.name, stage) for plan in job.workplans for stage in plan.stages]
    rows = [_stage_row(setup, stage) for setup, stage in stages]
    head = ["setup", "cutter", "kind", "mm", "how", "rpm", "feed", "plunge", "a pass"]
    told = [say_wood(plan.setup.wood) for plan in job.workplans]
    told += [text for _, stage in stages for text in (*stage.why, *stage.notes)]
    why = dict.fromkeys([*told, *(source for _, stage in stages for source in stage.figures.sources)])
    return "\n".join(
        [f"On {job.machine.name}, in the order to run:", columns(head, rows), *(f"  {text}" for text in why)]
        + ["How long each way takes that this machine has, stops and changes of cutters not counted:", _ways_text(job)]
        + ["How wide each cutter really cuts, and what of that its path allows for:"]
        + [f"  {width}" for width in true_widths(job.workplans)]
    )


def _ways_text(job: Job) -> str:
    rows = [
        [way.setup, way.group, str(way.cutter.number), way.cutter.kind, f"{way.cutter.diameter_mm:.3f}",
         ", ".join(way.how), minutes(way.time), "chosen" if way.chosen else ""]
        for way in ways_of(job)
    ]  # fmt: skip
    return columns(["setup", "cuts", "cutter", "kind", "mm", "how", "min:s", ""], rows)


def minutes(time: MachineTime) -> str:
    """Write a time as a range of minutes and seconds.

    >>> from numpy import zeros
    >>> minutes(MachineTime(50.0, 60.0, 71.0, zeros(0), 0.0, 0))
    '0:50 to 1:11'
    """
    short, long = (f"{round(seconds) // 60}:{round(seconds) % 60:02d}" for seconds in (time.shortest_s, time.longest_s))
    return short if short == long else f"{short} to {long}"


def _stage_row(setup: str, stage: Stage) -> list[str]:
    cutter, figures = stage.cutter, stage.figures
    how = ", ".join(dict.fromkeys(operation.strategy for operation in stage.operations))
    return [setup, str(cutter.number), cutter.kind, f"{cutter.diameter_mm:.3f}", how, f"{figures.speed_rpm:.0f}",
            f"{figures.feed_mm_min:.0f}", f"{figures.plunge_feed_mm_min:.0f}", f"{figures.bite_mm:.3f}"]  # fmt: skip


def _mm(value: float | None, decimals: int = 2) -> str:
    return "-" if value is None else f"{value:.{decimals}f}"


def as_data(layout: Layout, job: Job | None, warnings: Sequence[Problem]) -> dict[str, Any]:
    """Give the same as plain data: frets, face_dots, side_dots with their rows, warnings, and the cutters."""
    cosine = math.cos(edge_angle_rad(layout.board))
    frets = [{"fret": row.fret, "x_mm": row.x_mm, "y_mm": 0.0, "along_mm": row.x_mm / cosine, "height_mm": None,
              "depth_mm": row.depth_mm, "wood_left_mm": row.wood_left_mm, "width_mm": row.width_mm,
              **({} if row.off_mm is None else {"off_mm": row.off_mm})}
             for row in layout.fret_rows]  # fmt: skip
    data: dict[str, Any] = {
        "title": layout.board.title,
        "frets": frets,
        "face_dots": [_dot(row, hole) for row, hole in zip(layout.face_dot_rows, layout.face_dots, strict=True)],
        "side_dots": [_dot(row, hole) for row, hole in zip(layout.side_dot_rows, layout.side_dots, strict=True)],
        "warnings": [asdict(problem) for problem in warnings],
    }
    if job is not None:
        stages = [(plan.setup.name, stage) for plan in job.workplans for stage in plan.stages]
        data["widths"] = [
            {"setup": width.setup, "group": width.group, "cutter": width.cutter.number, "how": width.strategy,
             "wanted_mm": width.wanted_mm, "cutter_makes_mm": width.own_mm, "expected_mm": width.makes_mm}
            for width in true_widths(job.workplans)
        ]  # fmt: skip
        data["cutters"] = [
            {
                "setup": setup,
                "cutter": stage.cutter.number,
                **asdict(stage.figures),
                "why": stage.why,
                "notes": stage.notes,
            }
            for setup, stage in stages
        ]
        data["ways"] = [
            {"setup": way.setup, "cuts": way.group, "cutter": way.cutter.number, "how": way.how, "chosen": way.chosen,
             "shortest_s": way.time.shortest_s, "likely_s": way.time.likely_s, "longest_s": way.time.longest_s}
            for way in ways_of(job)
        ]  # fmt: skip
    return data


def _dot(row: DotRow, hole: Hole) -> dict[str, Any]:
    return {**asdict(row), "diameter_mm": hole.diameter_mm}


def verdict_data(verdict: Verdict) -> dict[str, Any]:
    """Give a verdict as plain data: proved, findings, figures."""
    return {
        "proved": verdict.proved,
        "findings": [{"rule": f.rule, "file": f.file, "line": f.line, "feature": f.feature, "message": f.message}
                     for f in verdict.findings],
        "figures": [{"name": name, "value": value, "unit": unit} for name, value, unit in verdict.figures],
    }  # fmt: skip


def job_text(folder: Path, job: Job, verdict: Verdict, files: Sequence[str]) -> str:
    """Give what `cut` says at its end: the programs in the order to run, and the other files."""
    count = len(verdict.programs)
    head = (
        f"{count} program{'s' if count > 1 else ''} for {job.machine.name}, proved, in {folder}, in the order to run:"
    )
    rows = [[proved.program.file, proved.setup, ", ".join(map(str, proved.cutters)),
             str(proved.reading.lines if proved.reading else 0)] for proved in verdict.programs]  # fmt: skip
    table = columns(["program", "setup", "cutter", "lines"], rows)
    programs = {proved.program.file for proved in verdict.programs}
    others = [name for name in files if name not in programs]
    return "\n".join([head, table, *(f"also {name}" for name in others)])
