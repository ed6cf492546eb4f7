"""What is shown of a job: setups, cutters and doubts before it is made, programs with their times afterwards."""

from collections.abc import Sequence
from dataclasses import asdict
from itertools import groupby
from pathlib import Path
from typing import Any, Final
from xml.sax.saxutils import escape

from pearlkerf import way
from pearlkerf.bench.orders import Order
from pearlkerf.bench.shelf import ENDING
from pearlkerf.errors import Refusal
from pearlkerf.files.lengths import Unit, told_in
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.saved import saved_programs
from pearlkerf.jobs.ways import ways_of
from pearlkerf.layout.groups import GROUPS
from pearlkerf.machine.reader import read_machine
from pearlkerf.machine.woods import say_wood
from pearlkerf.operations.model import Workplan
from pearlkerf.operations.widths import true_widths
from pearlkerf.pictures.drawing import Drawing, Text, points_of
from pearlkerf.pictures.setup import draw_setup
from pearlkerf.pictures.svg import PAGE, element, number
from pearlkerf.pictures.view import WIDE_MM
from pearlkerf.setups.inlay_pieces import DOTS
from pearlkerf.setups.lying import FAR_END
from pearlkerf.setups.model import Setup
from pearlkerf.setups.words import sentences

ROOM_MM: Final = 3.0


AT_NUT: Final = {"name": "", "called": "from zero at the nut end", "x_mm": 0.0}


def planned_data(look: way.Look, job: Job) -> dict[str, Any]:
    """Give what a job will be: how each setup lies, what each cutter does in it, and what of it can be chosen."""
    return {
        "setups": [setup_data(setup, look.unit) for setup in job.clampings.setups],
        "stages": [stage for plan in job.workplans for stage in _stages(plan, look.unit)],
        "warnings": [asdict(each) for each in look.warnings_of(job)],
        **_choices(job),
        "marks": _marks(look),
        "zeros": _zeros(job),
    }


def to_choose_from(folder: Path, order: Order) -> dict[str, Any]:
    """Give what can be chosen of a board whose order is refused, so that a part of it can be asked for; {} of none."""
    try:
        look = way.look_at(folder / f"{order.name}{ENDING}")
        features = [feature for setup in look.clamped().setups for feature in setup.features]
    except (Refusal, OSError):
        return {}
    if order.kind != "cut":
        return {}
    cuts = [f"{GROUPS[each.group].one} {each.number}" for each in features]
    groups = dict.fromkeys(each.group for each in features)
    face = [group for group in groups if GROUPS[group].setup == "face"]
    return {"groups": list(groups), "cuts": list(dict.fromkeys(cuts)), "face": face, "marks": _marks(look),
            "zeros": [AT_NUT]}  # fmt: skip


def _choices(job: Job) -> dict[str, list[str]]:
    """Give what can be asked for alone, in groups and one by one: cuts, or pieces."""
    pieces = [
        piece.name for setup in job.clampings.setups if setup.row for piece in setup.row.pieces if not piece.spare
    ]
    if pieces:
        of = [fit.part.inlay.called for fit in job.clampings.fits if fit.pair.piece is not None]
        dots = [DOTS] if job.clampings.layout.board.face_dots else []
        return {"groups": list(dict.fromkeys([*of, *dots])), "cuts": list(dict.fromkeys(pieces))}
    return {
        "groups": list(dict.fromkeys(each.group for plan in job.workplans for each in plan.setup.features)),
        "cuts": list(dict.fromkeys(name for plan in job.workplans for name in _in_order(plan))),
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
    zero, of = setup.lying.zero, 1 if setup.position is None else setup.position.count
    return {"name": setup.name, "up": setup.up, "words": list(sentences(setup, unit=unit)),
            "positions": of, "zero": f"zeroed on the {zero.on}{f' of {zero.slot}' if zero.slot else ''}",
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


def _stages(plan: Workplan, unit: Unit) -> list[dict[str, Any]]:
    rows = []
    for stage in plan.stages:
        cutter, figures = stage.cutter, stage.figures
        groups = dict.fromkeys(operation.feature.group for operation in stage.operations)
        rows.append({
            "setup": plan.setup.name, "cutter": cutter.number, "kind": cutter.kind,
            "diameter": told_in(cutter.diameter_mm, unit), "cuts": list(groups),
            "how": list(dict.fromkeys(operation.strategy for operation in stage.operations)),
            "rpm": f"{figures.speed_rpm:.0f}", "feed": f"{told_in(figures.feed_mm_min, unit, 0)}/min",
            "bite": told_in(figures.bite_mm, unit),
        })  # fmt: skip
    return rows


def _in_order(plan: Workplan) -> list[str]:
    """Name the cuts of a workplan in the order of cutting, as a part of a job is asked for."""
    features = [operation.feature for stage in plan.stages for operation in stage.operations]
    return [f"{GROUPS[feature.group].one} {feature.number}" for feature in features]


def _marks(look: way.Look) -> list[dict[str, Any]]:
    """Give the places at which a board that lies askew can be measured: its far end, and its slots."""
    layout = look.right()
    far = {"name": FAR_END, "x_mm": layout.edges.finished.far_mm}
    return [far, *({"name": slot.name, "x_mm": slot.line.x_mm()} for slot in layout.slots)]


def _zeros(job: Job) -> list[dict[str, Any]]:
    """Give the zeros that marks are measured from: the nut end's, and of each later position the slot's that it has."""
    later = [
        {"name": setup.name, "called": f"{setup.name}, zeroed on {setup.lying.zero.slot}",
         "x_mm": setup.lying.zero.at[0]}
        for setup in job.clampings.setups
        if setup.kind == "face" and setup.purpose == "cut" and setup.lying.zero.on == "slot" and setup.number > 1
    ]  # fmt: skip
    return [AT_NUT, *later]


def programs_data(folder: Path, files: Sequence[str], machine: str) -> list[dict[str, Any]]:
    """Give the programs of a job's folder in the order to run: setup, cutters, lines, and how long each runs."""
    try:
        on = read_machine(machine) if machine else None
    except (Refusal, OSError):
        on = None
    return [asdict(each) for each in saved_programs(folder, files, on)]
