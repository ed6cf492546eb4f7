"""What is shown of a job: setups, cutters and doubts before it is made, programs with their times afterwards."""

from collections.abc import Sequence
from dataclasses import asdict
from itertools import groupby
from pathlib import Path
from typing import Any, Final
from xml.sax.saxutils import escape

from pearlkerf import way
from pearlkerf.errors import Refusal
from pearlkerf.files.lengths import Unit
from pearlkerf.files.whole import read_program_file
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.ways import ways_of
from pearlkerf.layout.groups import GROUPS
from pearlkerf.machine.model import Machine
from pearlkerf.machine.reader import read_machine
from pearlkerf.machine.woods import say_wood
from pearlkerf.operations.model import Workplan
from pearlkerf.operations.widths import true_widths
from pearlkerf.pictures.drawing import Drawing, Text, points_of
from pearlkerf.pictures.setup import draw_setup
from pearlkerf.pictures.svg import PAGE, element, number
from pearlkerf.pictures.view import WIDE_MM
from pearlkerf.reading.duration import machine_time
from pearlkerf.reading.header import read_headers
from pearlkerf.reading.motions import UnreadableProgram
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.model import Setup
from pearlkerf.setups.words import sentences

ROOM_MM: Final = 3.0
NOT_PROGRAMS: Final = (".html", ".pdf", ".json", ".csv", ".svg", ".dxf")


def planned_data(look: way.Look, job: Job) -> dict[str, Any]:
    """Give what a job will be: how each setup lies, what each cutter does in it, and what of it can be chosen."""
    return {
        "setups": [setup_data(setup, look.unit) for setup in job.clampings.setups],
        "stages": [stage for plan in job.workplans for stage in _stages(plan)],
        "warnings": [asdict(each) for each in look.warnings_of(job)],
        "groups": list(dict.fromkeys(each.group for plan in job.workplans for each in plan.setup.features)),
        "cuts": list(dict.fromkeys(name for plan in job.workplans for name in _in_order(plan))),
        "marks": _marks(look),
    }


def ways_data(job: Job) -> dict[str, Any]:
    """Give every way that a machine has for what a job cuts, with its time, and how wide cutters cut in words."""
    ways = [
        {"setup": way.setup, "cuts": way.group, "cutter": way.cutter.number, "kind": way.cutter.kind,
         "diameter_mm": way.cutter.diameter_mm, "how": list(way.how), "chosen": way.chosen,
         "shortest_s": way.time.shortest_s, "longest_s": way.time.longest_s}
        for way in ways_of(job)
    ]  # fmt: skip
    stages = [stage for plan in job.workplans for stage in plan.stages]
    told = [say_wood(plan.setup.wood) for plan in job.workplans]
    told += [text for stage in stages for text in (*stage.why, *stage.notes)]
    why = dict.fromkeys([*told, *(source for stage in stages for source in stage.figures.sources)])
    return {"ways": ways, "why": list(why), "widths": [str(width) for width in true_widths(job.workplans)]}


def setup_data(setup: Setup, unit: Unit) -> dict[str, Any]:
    """Give one clamping: its name, what is to be done and minded, and its picture."""
    return {"name": setup.name, "up": setup.up, "words": list(sentences(setup, unit=unit)),
            "drawing": drawing_svg(draw_setup(setup))}  # fmt: skip


def drawing_svg(drawing: Drawing) -> str:
    """Write a setup's drawing as SVG whose look is the page's, a group for each layer."""
    heights = [y for _, y in points_of(drawing.things)]
    tops = [thing.at[1] + thing.height_mm for thing in drawing.things if isinstance(thing, Text)]
    low, high = min(heights) - ROOM_MM, max(*heights, *tops) + ROOM_MM
    box = f"0 {number(-high, PAGE)} {number(WIDE_MM + ROOM_MM, PAGE)} {number(high - low, PAGE)}"
    groups = "".join(
        f'<g class="{layer}">{"".join(element(thing, PAGE) for thing in things)}</g>'
        for layer, things in groupby(drawing.things, key=lambda thing: thing.layer)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="sketch" viewBox="{box}" role="img">'
        f"<title>{escape(drawing.in_words)}</title>{groups}</svg>"
    )


def _stages(plan: Workplan) -> list[dict[str, Any]]:
    rows = []
    for stage in plan.stages:
        cutter, figures = stage.cutter, stage.figures
        groups = dict.fromkeys(operation.feature.group for operation in stage.operations)
        rows.append({
            "setup": plan.setup.name, "cutter": cutter.number, "kind": cutter.kind, "diameter_mm": cutter.diameter_mm,
            "cuts": list(groups), "how": list(dict.fromkeys(operation.strategy for operation in stage.operations)),
            "rpm": figures.speed_rpm, "feed_mm_min": figures.feed_mm_min,
            "bite_mm": figures.bite_mm,
        })  # fmt: skip
    return rows


def _in_order(plan: Workplan) -> list[str]:
    """Name the cuts of a workplan in the order of cutting, as a part of a job is asked for."""
    features = [operation.feature for stage in plan.stages for operation in stage.operations]
    return [f"{GROUPS[feature.group].one} {feature.number}" for feature in features]


def _marks(look: way.Look) -> list[dict[str, Any]]:
    """Give the places at which a board that lies askew can be measured: its far end, and its slots."""
    layout = look.right()
    far = {"name": "far end", "x_mm": layout.edges.finished.far_mm}
    return [far, *({"name": slot.name, "x_mm": slot.line.x_mm()} for slot in layout.slots)]


def programs_data(folder: Path, files: Sequence[str], machine: str) -> list[dict[str, Any]]:
    """Give the programs of a job's folder in the order to run: setup, cutters, lines, and how long each runs."""
    try:
        on = read_machine(machine) if machine else None
    except (Refusal, OSError):
        on = None
    return [_program(folder, name, on) for name in files if Path(name).suffix.lower() not in NOT_PROGRAMS]


def _program(folder: Path, name: str, machine: Machine | None) -> dict[str, Any]:
    told: dict[str, Any] = {"file": name, "setup": "", "cutters": [], "lines": 0, "shortest_s": None, "longest_s": None,
                            "purpose": "cut"}  # fmt: skip
    try:
        text = read_program_file(folder / name)
        reading = read_program(text, name, dwell_unit=machine.dialect.dwell_unit if machine else "s")
    except (OSError, UnreadableProgram):
        return {**told, "unreadable": True}
    headers, _ = read_headers(reading, name)
    told["lines"] = reading.lines
    if headers:
        told |= {"setup": headers[0].setup, "purpose": headers[0].purpose,
                 "cutters": list(dict.fromkeys(header.cutter for header in headers))}  # fmt: skip
    if machine is not None:
        time = machine_time(reading, machine)
        told |= {"shortest_s": time.shortest_s, "longest_s": time.longest_s}
    return told
