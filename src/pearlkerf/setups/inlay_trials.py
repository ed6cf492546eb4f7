"""What a fit coupon tries of inlays: the smallest pocket of the board in steps of its gap."""

from dataclasses import replace

import shapely
from shapely import affinity

from pearlkerf.errors import Problem
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.groups import INLAYS
from pearlkerf.setups.fit_part import fit_part, wanted_of
from pearlkerf.setups.fits import Fitted
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.samples import Trial
from pearlkerf.setups.steps import Steps

# a gap that is smaller than this is none, mm: what a wall may lie beside its place
LEAST_GAP_MM = 0.005


def inlay_trial(clampings: Clampings, steps: Steps) -> tuple[Trial, list[Problem]]:
    """Give the trial of the smallest pocket of fitted clampings, and what is left out of it.

    Steps are differences of what there is in all, so that half of each counts on either side, as a gap does.
    """
    # one piece alone says nothing of a pocket that it shares
    fit = min(clampings.fits, key=lambda fit: (len(fit.pieces) > 1, box_mm2(fit), fit.part.pocket.number))
    inlay, wanted = fit.part.inlay, wanted_of(fit.part)
    asked = [round(inlay.gap_mm + step / 2, 6) for step in steps.values_mm()]
    gaps = tuple(gap for gap in asked if gap >= LEAST_GAP_MM)
    patterns = tuple(
        _at_corner(
            max(fit_part(wanted, replace(inlay, gap_mm=gap), fit.pair).fit.pocket.geoms, key=lambda each: each.area)
        )
        for gap in gaps
    )
    setup = next(each for each in clampings.setups if set(fit.pockets) & set(each.features))
    trial = Trial(
        kind=Pocket, group=INLAYS, nominal_mm=0.0,
        depth_mm=max(pocket.depth_in_flat_mm(setup.stock) for pocket in fit.pockets), through=False,
        cutter=fit.pair.pocket, sizes_mm=gaps, fit_mm=inlay.gap_mm, at=("inlay", inlay.index, "gap"), patterns=patterns,
    )  # fmt: skip
    return trial, _left_out(fit, [gap for gap in asked if gap < LEAST_GAP_MM])


def box_mm2(fit: Fitted) -> float:
    """Give the area of the box round what is drawn of a part."""
    low_x, low_y, high_x, high_y = fit.part.drawn.bounds
    return float((high_x - low_x) * (high_y - low_y))


def _at_corner(area: shapely.Polygon) -> shapely.Polygon:
    low_x, low_y, *_ = area.bounds
    return affinity.translate(area, -low_x, -low_y)


def _left_out(fit: Fitted, gaps: list[float]) -> list[Problem]:
    if not gaps:
        return []
    return [Problem(
        key=fit.part.inlay.key("gap"),
        found=f"pockets of {fit.part.pocket.name} with gaps of {', '.join(f'{gap:.3f}' for gap in gaps)} mm are left "
        "out",
        allowed=f"at least {LEAST_GAP_MM:.3f} mm", hint="try a greater --smallest")]  # fmt: skip
