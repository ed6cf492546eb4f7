"""Rules 5 to 8 for a saw, whose blade stands upright across the board: what it sweeps is followed in Y and Z."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.proof.blade import Floats, Ints, in_wood_mm, places_mm, top_mm, wood_span_mm
from pearlkerf.proof.cuts import NOBODYS
from pearlkerf.proof.runs import Run, per_motion
from pearlkerf.proof.shapes.sawn_slot import SawnSlot
from pearlkerf.proof.telling import Alike, in_mm
from pearlkerf.proof.tolerances import CUT_MM, DEEPER_BITE_MM, LEAST_STEP_MM, OPENING_MARGIN_MM, RAMP_DEG, ROUNDING_MM
from pearlkerf.reading.motions import Finding

Phrase = Callable[[float, int], str]


def sawing_is_right(run: Run, earlier: Sequence[Run]) -> Iterator[Finding]:
    """Prove rules 5, 6 and 8 for the saws of a program.

    5: no rapid below the wood's top comes within OPENING_MARGIN_MM of wood with the blade.  6: what
    the blade cuts lies in a slot, within CUT_MM, as wide as the kerf where the two match, and
    nowhere in the wood below its floor by more than CUT_MM.  8: no visit to the wood (from air to
    air) lowers it by more than the saw's bite, none reaches deeper below the raw top than the saw,
    within DEEPER_BITE_MM; the blade never goes down into wood more steeply than RAMP_DEG, goes
    through it, sawn already or not, only the way that makes its sawing conventional or climb as the
    profile says, and what turns beside the blade stays above the wood.

    The sweep of a disc along a straight piece is followed exactly at places BLADE_STEP_MM apart; what
    may lie between is bounded on the strict side.  Wood that other cutters took away counts as there.
    """
    if not len(run.blades.motion):
        return
    yield from _rapids(run)
    yield from _beside_the_blade(run)
    yield from _stray(run)
    for feature, shape in enumerate(run.shapes):
        rows, slot = run.sawn.of(feature), shape.for_saws
        if len(rows) and slot is not None:
            yield from _too_steep(run, rows, slot)
            yield from _too_deep(run, rows, slot)
            yield from _bites(run, earlier, feature)


def sawn_figures_mm(run: Run) -> tuple[float, float]:
    """Give how far the farthest cut of a saw leaves its slot, and how far the deepest goes below its floor, mm."""
    deep = [
        shape.for_saws.too_deep_mm(run.sawn.blades.some(rows), run.sawn.span[rows]).max()
        for feature, shape in enumerate(run.shapes)
        if shape.for_saws is not None and len(rows := run.sawn.of(feature))
    ]
    return max(0.0, float(run.sawn.outside.max(initial=0.0))), max(0.0, float(max(deep, default=0.0)))


def _rapids(run: Run) -> Iterator[Finding]:
    blades = run.blades
    rapid = blades.some(blades.rapid)
    near = ~np.isnan(in_wood_mm(rapid, run.wood, OPENING_MARGIN_MM)[:, 0])
    if near.any():
        depth = -np.minimum(rapid.start[near, 2], rapid.end[near, 2])
        yield run.tell(5, Alike(rapid.motion[near], depth), _at_rapid)


def _at_rapid(depth: float, _index: int) -> str:
    return f"moves at rapid with the saw {in_mm(depth)} below the wood's top, by the wood; feed there (G1) or lift"


def _beside_the_blade(run: Run) -> Iterator[Finding]:
    blades = run.blades
    low, high = (float(run.wood.plan.bounds[side]) for side in (1, 3))
    above = blades.flange_above_mm(low, high) - blades.slack
    bad = np.flatnonzero(above < -ROUNDING_MM)
    if len(bad):
        yield run.tell(8, Alike(blades.motion[bad], -above[bad]), lambda deep, _: (
            f"runs the flange or arbor beside the blade {in_mm(deep)} below the wood's top"))  # fmt: skip


def _stray(run: Run) -> Iterator[Finding]:
    sawn = run.sawn
    stray = np.flatnonzero(sawn.owner == NOBODYS)
    ends = sawn.blades.end[stray]
    if not len(stray):
        return
    slots = {number: shape.feature.name for number, shape in enumerate(run.shapes) if shape.for_saws}
    if not slots:
        yield run.tell(6, Alike(sawn.motion[stray], -ends[:, 2]), lambda *_: "saws wood, but no slot is to be cut here")
        return
    for feature in np.unique(sawn.nearest[stray]).tolist():
        rows = stray[sawn.nearest[stray] == feature]
        alike = Alike(sawn.motion[rows], sawn.outside[rows], slots[feature])
        yield run.tell(6, alike, _saws_outside(slots[feature], sawn.blades.end[rows]))


def _saws_outside(name: str, ends: Floats) -> Phrase:
    return lambda far, index: f"saws {in_mm(far)} outside {name} (at X {ends[index, 0]:.2f} Y {ends[index, 1]:.2f})"


def _too_steep(run: Run, rows: Ints, slot: SawnSlot) -> Iterator[Finding]:
    """Refuse to judge where a crown is so steep that the bounds between compared places do not hold."""
    if slot.is_too_steep(run.setup.stock.crown):
        name = slot.line.feature.name
        message = f"saws {name}, whose crown is too steep at the edges to be judged; use an end mill"
        yield run.finding(6, message, run.line(int(run.sawn.motion[rows[0]])), name)


def _too_deep(run: Run, rows: Ints, slot: SawnSlot) -> Iterator[Finding]:
    deep = slot.too_deep_mm(run.sawn.blades.some(rows), run.sawn.span[rows])
    bad = deep > CUT_MM + ROUNDING_MM
    if bad.any():
        some, name = rows[bad], slot.line.feature.name
        ends = run.sawn.blades.end[some]
        yield run.tell(6, Alike(run.sawn.motion[some], deep[bad], name), lambda far, index: (
            f"saws {in_mm(far)} too deep in {name} (at X {ends[index, 0]:.2f} Y {ends[index, 1]:.2f} "
            f"Z {ends[index, 2]:.3f})"))  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Taken:
    """What each piece of a run takes in a slot, (k,) mm, in order."""

    lowered: Floats  # by the piece itself
    visit: Floats  # by its visit to the wood so far
    depth: Floats  # below the raw top


def _bites(run: Run, earlier: Sequence[Run], feature: int) -> Iterator[Finding]:
    rows, name = run.sawn.of(feature), run.shapes[feature].feature.name
    taken = _taken(run, earlier, feature)
    count = len(run.reading.motions.kind)
    motion = run.sawn.motion[rows]
    figures = [cutting_figures(run.machine, section.cutter, run.setup.wood).bite_mm for section in run.sections]
    bite = per_motion(run.sections, figures, count)[motion]
    reach = per_motion(run.sections, [section.cutter.reach_mm for section in run.sections], count)[motion]
    for deep, limit, wording in (
        (taken.visit, bite, f"saws {{}} of wood at once in {name} (at most {{}} with this saw); take more passes"),
        (taken.depth, reach, f"saws {{}} deep in {name} (this saw reaches {{}})"),
    ):
        bad = deep > limit + DEEPER_BITE_MM + ROUNDING_MM
        yield from _told(run, Alike(motion[bad], deep[bad], name), limit[bad], wording)
    down = _plunged(run, rows, taken)
    bad = down > DEEPER_BITE_MM
    yield from _told(run, Alike(motion[bad], down[bad], name), bite[bad],
                     f"goes down {{}} into {name} with a saw; go down beside the wood")  # fmt: skip
    wrong, takes = _wrong_way(run, rows), taken.lowered > DEEPER_BITE_MM
    for bad, what in ((wrong & takes, f"saws {{}} of wood in {name}"), (wrong & ~takes, f"goes back through {name}")):
        wording = f"{what} the wrong way ({_wanted_way(run, rows)})"
        yield from _told(run, Alike(motion[bad], taken.lowered[bad], name), bite[bad], wording)


def _told(run: Run, alike: Alike, limit: Floats, wording: str) -> Iterator[Finding]:
    if len(limit):
        yield run.tell(8, alike, lambda deep, index: wording.format(in_mm(deep), in_mm(float(limit[index]))))


def _taken(run: Run, earlier: Sequence[Run], feature: int) -> Taken:
    """Follow all visits of saws to a slot, in the order of the runs, at places across its wood."""
    own = run.sawn.of(feature)
    low_x, high_x = (np.array([edge]) for edge in (run.sawn.blades.some(own).x_mm()[0].min(),
                                                   run.sawn.blades.some(own).x_mm()[1].max()))  # fmt: skip
    y = places_mm(wood_span_mm(run.wood, low_x, high_x))
    raw = top_mm(run.wood, low_x, high_x, y)[0]
    height, before = raw.copy(), raw.copy()
    told: list[tuple[float, float, float]] = []
    for each in (*earlier, run):
        rows = each.sawn.of(feature)
        told = []
        for row in rows.tolist():
            some = each.sawn.blades.some(np.array([row]))
            side = some.lower_side_mm(y, some.slack)[0]
            if each.sawn.fresh[row]:
                before = height
            lower = np.minimum(height, side)
            told.append((float(np.max(height - lower)), float(np.max(before - lower)), float(np.max(raw - side))))
            height = lower
    columns = np.array(told)
    return Taken(columns[:, 0], columns[:, 1], columns[:, 2])


def _plunged(run: Run, rows: Ints, taken: Taken) -> Floats:
    """Give what each visit has lowered so far by going down more steeply than RAMP_DEG, (k,) mm."""
    way = (run.sawn.blades.end - run.sawn.blades.start)[rows]
    drop = -way[:, 2] - LEAST_STEP_MM[run.machine.dialect.unit]
    steep = drop > np.abs(way[:, 1]) * math.tan(math.radians(RAMP_DEG)) + ROUNDING_MM
    lowered = np.where(steep, taken.lowered, 0.0)
    total = np.cumsum(lowered)
    begins = run.sawn.fresh[rows].copy()
    begins[:1] = True
    first = np.maximum.accumulate(np.where(begins, np.arange(len(rows)), 0))
    return np.where(steep, total - (total - lowered)[first], 0.0)


def _wrong_way(run: Run, rows: Ints) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    away = [1.0 if section.cutter.feeds_away else -1.0 for section in run.sections]
    wanted = per_motion(run.sections, away, len(run.reading.motions.kind))[run.sawn.motion[rows]]
    way = (run.sawn.blades.end - run.sawn.blades.start)[rows, 1]
    wrong: np.ndarray[tuple[int], np.dtype[np.bool_]] = way * wanted < -ROUNDING_MM
    return wrong


def _wanted_way(run: Run, rows: Ints) -> str:
    motion = int(run.sawn.motion[rows[0]])
    cutter = next(section.cutter for section in run.sections if section.first <= motion < section.last)
    way = "away from" if cutter.feeds_away else "toward"
    return f"for {cutter.sawing} sawing this blade feeds {way} the operator"
