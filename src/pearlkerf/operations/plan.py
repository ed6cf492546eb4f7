"""From a setup to a workplan: cutters chosen, figures looked up, operations put in order."""

from collections.abc import Sequence
from typing import Final

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Feature, Pocket, Slot
from pearlkerf.layout.groups import GROUPS
from pearlkerf.machine.cutting import cutting_figures, is_known_wood
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.slender import USUAL_BEND_MM, USUAL_STRESS_MPA
from pearlkerf.operations.choose import Chosen, choose
from pearlkerf.operations.in_the_way import in_the_way
from pearlkerf.operations.model import Operation, Stage, Strategy, Workplan
from pearlkerf.operations.order import in_order
from pearlkerf.operations.pocket_cutters import wider_first
from pearlkerf.operations.saws import cone_mm, saw_notes
from pearlkerf.operations.sooner import shorter_reach
from pearlkerf.operations.tolerances import LEAST_FEED_MM_MIN, MILL_CONE_MM, ROUNDING_MM, RUBS, WORTH_A_WORD_MM
from pearlkerf.operations.why import why
from pearlkerf.setups.model import Setup

# what makes a setup tall, where it is not the board's thickness
TALL_KEYS: Final = {
    "edge": "board.end_width",
    "treble": "board.end_width",
    "coupon": "--scrap",
    "calibration": "--scrap",
    "strip": "--strip",
    "pieces": "inlay_blank.0.thickness",
}
# how side dots are made without standing the board on its edge
BY_STRIP: Final = (
    "; or cut the face alone, by --only with each group that lies on it, and drill the edge by hand through a strip "
    "that drill-strip makes"
)


def plan(setup: Setup, machine: Machine) -> Workplan:
    """Plan how one setup is cut on one machine.

    Pockets and holes come before slots: a pocket cut beside an open slot would chip the thin wood
    between them, and the thin slot cutter, the one most likely to break, then has the least left to
    lose.  Within a stage holes take the shortest way, then slots come in ascending X (``in_order``).

    Raises Refusal where a feature has no cutter, or the machine has no room for the board.
    """
    problems: list[Problem] = list(_too_tall(setup, machine))
    lacking: dict[str, tuple[float, Problem]] = {}  # of each key what lies deepest: what serves there serves for all
    taken: list[tuple[Feature, Chosen]] = []
    for feature in setup.features:
        chosen = choose(feature, setup, machine.cutters)
        if isinstance(chosen, Problem):
            depth = feature.depth_below_top_mm(setup.stock)
            if chosen.key not in lacking or depth > lacking[chosen.key][0]:
                lacking[chosen.key] = (depth, chosen)
        else:
            taken.append((feature, chosen))
    problems += [problem for _, problem in lacking.values()]
    if problems:
        raise Refusal(_one_each(problems))
    by_cutter = _by_cutter(taken, setup, machine)
    stages = [_stage(setup, machine, cutter, by_cutter[cutter.number]) for cutter in machine.cutters
              if cutter.number in by_cutter]  # fmt: skip
    unfit = [problem for stage in stages for problem in (*_crawls(stage, machine), *_sawing_blocked(stage, setup))]
    if unfit:
        raise Refusal(unfit)
    stages.sort(key=_stage_order)
    return Workplan(setup, machine, tuple(stages), tuple(_warnings(setup, stages)))


def _by_cutter(taken: Sequence[tuple[Feature, Chosen]], setup: Setup, machine: Machine) -> dict[int, list[Operation]]:
    """Give what each cutter cuts; of a pocket that a wider one clears first, both have their part."""
    pockets = [
        (feature, chosen.cutter) for feature, chosen in taken
        if isinstance(feature, Pocket) and not GROUPS[feature.group].in_turn
    ]  # fmt: skip
    wider = wider_first(pockets, setup, machine, [chosen.cutter for _, chosen in taken])
    found: dict[int, list[Operation]] = {}
    for feature, (cutter, strategy) in taken:
        first = wider.get(feature.identity)
        if first is None:
            found.setdefault(cutter.number, []).append(Operation(feature, strategy))
        else:
            found.setdefault(first.number, []).append(Operation(feature, "where there is room"))
            found.setdefault(cutter.number, []).append(Operation(feature, "what is left", first))
    return found


def order_of(workplan: Workplan) -> tuple[Feature, ...]:
    """Give a setup's features in the order in which they are done: by their last operation."""
    operations = [operation.feature for stage in workplan.stages for operation in stage.operations]
    return tuple(reversed(dict.fromkeys(reversed(operations))))


def _stage(setup: Setup, machine: Machine, cutter: Cutter, operations: Sequence[Operation]) -> Stage:
    ordered = in_order(operations)
    figures = cutting_figures(machine, cutter, setup.wood)
    sawn = _slots(ordered, "sawn")
    notes = saw_notes(sawn, setup, cutter) if sawn else ()
    told = (*why(ordered, cutter, setup, machine), *shorter_reach(ordered, cutter, setup, machine))
    return Stage(cutter, figures, ordered, notes, told)


def _sawing_blocked(stage: Stage, setup: Setup) -> list[Problem]:
    sawn = _slots(stage.operations, "sawn")
    return list(in_the_way(sawn, setup, stage.cutter)) if sawn else []


def _slots(operations: Sequence[Operation], *strategies: Strategy) -> list[Slot]:
    """Give the slots that are cut by some strategies, which cut nothing else."""
    return [each.feature for each in operations if each.strategy in strategies and isinstance(each.feature, Slot)]


def _stage_order(stage: Stage) -> tuple[bool, float, int]:
    after_pockets = any(operation.feature.after_pockets for operation in stage.operations)
    return after_pockets, -stage.cutter.diameter_mm, stage.cutter.number


def _one_each(problems: Sequence[Problem]) -> list[Problem]:
    """Keep the first problem of each key: twenty frets that lack a cutter are one mistake."""
    return list({problem.key: problem for problem in reversed(problems)}.values())[::-1]


def _too_tall(setup: Setup, machine: Machine) -> list[Problem]:
    under = machine.travel.under_spindle_mm
    needed = setup.standing_mm + machine.motion.clearance_mm
    if under is None or needed <= under + ROUNDING_MM:
        return []
    return [
        Problem(
            key=TALL_KEYS.get(setup.kind, "board.thickness"),
            found=f"the {setup.name} setup stands {setup.standing_mm:.1f} mm tall and needs "
            f"{machine.motion.clearance_mm:.1f} mm of clearance above it, {needed:.1f} mm in all",
            allowed=f"at most {under:.1f} mm, under_spindle of {machine.name}",
            hint="let the board hang below the bed's edge and say so in under_spindle, or use a taller machine"
            + (BY_STRIP if setup.kind == "edge" else ""),
        )
    ]


def _crawls(stage: Stage, machine: Machine) -> list[Problem]:
    """Refuse feeds below the last digit that a program can say."""
    slowest = min(stage.figures.feed_mm_min, stage.figures.plunge_feed_mm_min)
    if slowest >= LEAST_FEED_MM_MIN:
        return []
    number = stage.cutter.number
    return [
        Problem(
            key="spindle.speed",
            found=f"cutter {number} would feed at {slowest:.3f} mm/min at {stage.figures.speed_rpm:.0f} rpm",
            allowed=f"at least {LEAST_FEED_MM_MIN:g} mm/min",
            hint=f"let the spindle of {machine.name} turn faster, or give cutter {number} a higher speed, feed and "
            "plunge_feed in the profile",
        )
    ]


def _warnings(setup: Setup, stages: Sequence[Stage]) -> list[Problem]:
    told = []
    if not is_known_wood(setup.wood):
        named = f'the wood "{setup.wood}" is not in the table' if setup.wood else "no wood is named"
        told.append(Problem(key="board.wood", found=f"{named}: the most cautious speeds and feeds are used",
                            hint="give the cutter speed, feed, plunge_feed and bite in the profile"))  # fmt: skip
    for stage in stages:
        told += [*_width_to_expect(stage), *_uneven(stage), *_rubs(stage), *_strained(stage)]
    return told


def _rubs(stage: Stage) -> list[Problem]:
    """Tell where a mill runs out by RUBS times its chip: one tooth does all the cutting, and takes so much more."""
    cutter, figures = stage.cutter, stage.figures
    chip = figures.feed_mm_min / figures.speed_rpm / cutter.flutes
    if cutter.kind != "end mill" or cutter.flutes < 2 or cutter.runs_out_mm < RUBS * chip:
        return []
    return [
        Problem(
            key=GROUPS[stage.operations[0].feature.group].size_key,
            found=f"cutter {cutter.number} runs out {cutter.runs_out_mm:.3f} mm, its chip is {chip:.4f} mm thick: one "
            "of its edges does all the cutting, and it breaks the sooner",
            allowed=f"less than {chip:.4f} mm",
            hint="clean collet and shank and measure again, or give a feed of your own for this cutter",
        )
    ]


def _strained(stage: Stage) -> list[Problem]:
    """Tell where a mill's own figures bend or stress it more than those of the tables ever do."""
    cutter, load = stage.cutter, stage.figures.load
    own = cutter.bite_mm is not None or cutter.feed_mm_min is not None
    if load is None or not own or (load.bend_mm <= USUAL_BEND_MM and load.stress_mpa <= USUAL_STRESS_MPA):
        return []
    return [
        Problem(
            key=GROUPS[stage.operations[0].feature.group].size_key,
            found=f"cutter {cutter.number} bends by {1000 * load.bend_mm:.0f} um and is stressed by "
            f"{load.stress_mpa:.0f} MPa by its own figures, more than those of the tables let it",
            allowed=f"at most {1000 * USUAL_BEND_MM:.0f} um and {USUAL_STRESS_MPA:.0f} MPa",
            hint="cut the first one in scrap of the same wood, or take bite and feed out of the profile",
        )
    ]


def _uneven(stage: Stage) -> list[Problem]:
    """Tell where a mill leaves slanted slots shallower at one wall, by more than a cone is allowed."""
    milled = _slots(stage.operations, "full width", "side passes")
    by, name = max(((cone_mm(slot, slot.width_mm), slot.name) for slot in milled), default=(0.0, ""))
    if by <= MILL_CONE_MM:
        return []
    return [
        Problem(
            key="board.radius",
            found=f"cutter {stage.cutter.number} is flat, the floor of a slanted slot falls across it: {name} is up to "
            f"{by:.3f} mm shallower at one wall than asked for",
            hint="press a piece of fretwire into one slot in scrap, and ask for that much more depth where it does not "
            "seat",
        )
    ]


def _width_to_expect(stage: Stage) -> list[Problem]:
    """Tell where a full-width cutter's true width, runout included, differs from the slot's; a trim holds no wire."""
    full = [operation.feature for operation in stage.operations if operation.strategy in ("full width", "sawn")]
    slots = [feature for feature in full if GROUPS[feature.group].holds_wire]
    width = stage.cutter.width_mm + stage.cutter.runs_out_mm
    if not slots or abs(width - slots[0].width_mm) <= WORTH_A_WORD_MM:
        return []
    of = "diameter" if stage.cutter.kerf_mm is None else "kerf"
    return [
        Problem(
            key="fret_slots.width",
            found=f"cutter {stage.cutter.number} makes slots about {width:.3f} mm wide (its {of} and its runout), "
            f"not {slots[0].width_mm:.3f} mm",
            hint="cut one slot in scrap and try the fretwire",
        )
    ]
