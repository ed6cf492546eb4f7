"""What a fit coupon tries of inlays: the smallest pocket of the board in steps of its gap."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import shapely
from shapely import affinity

from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.groups import INLAYS
from pearlkerf.layout.limits import ROUNDING_MM
from pearlkerf.setups.fit_part import PartFit, fit_part, wanted_of
from pearlkerf.setups.fits import Fitted
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.samples import Trial
from pearlkerf.setups.steps import Steps

# a gap that is smaller than this is none, mm: what a wall may lie beside its place
LEAST_GAP_MM = 0.005
# a wider gap than this no board file takes, mm
MOST_GAP_MM = 1.0

# why gaps are left out, and what to try in their place
Why = tuple[str, str]


def inlay_trial(clampings: Clampings, steps: Steps) -> tuple[Trial, list[Problem]]:
    """Give the trial of the smallest pocket of fitted clampings, and what is left out of it.

    Steps are differences of what there is in all, so that half of each counts on either side, as a gap does.
    """
    # one piece alone says nothing of a pocket that it shares
    fit = min(clampings.fits, key=lambda fit: (len(fit.pieces) > 1, box_mm2(fit), fit.part.pocket.number))
    patterns: dict[float, shapely.Polygon] = {}
    why: dict[float, Why] = {}
    for step in steps.values_mm():
        gap = round(fit.part.inlay.gap_mm + step / 2, 6)
        found = None if beyond(fit, gap) else fit_of_gap(fit, gap)
        if found is None:
            why[gap] = beyond(fit, gap) or no_room(fit)
        else:
            patterns[gap] = at_corner(max(found.fit.pocket.geoms, key=lambda each: each.area))
    return trial_of(fit, clampings.setups, patterns), list(left_out(fit, why))


def trial_of(fit: Fitted, setups: Sequence[Setup], patterns: Mapping[float, shapely.Polygon]) -> Trial:
    """Give the trial of a part's pocket, in the gaps of some patterns, as deep as the board's."""
    setup = next(each for each in setups if set(fit.pockets) & set(each.features))
    inlay = fit.part.inlay
    return Trial(
        kind=Pocket, group=INLAYS, nominal_mm=0.0,
        depth_mm=max(pocket.depth_in_flat_mm(setup.stock) for pocket in fit.pockets), through=False,
        cutter=fit.pair.pocket, sizes_mm=tuple(patterns), fit_mm=inlay.gap_mm,
        at=("inlay", inlay.index, "gap"), patterns=tuple(patterns.values()),
    )  # fmt: skip


def box_mm2(fit: Fitted) -> float:
    """Give the area of the box round what is drawn of a part."""
    low_x, low_y, high_x, high_y = fit.part.drawn.bounds
    return float((high_x - low_x) * (high_y - low_y))


def fit_of_gap(fit: Fitted, gap_mm: float) -> PartFit | None:
    """Give the fit of a part for another gap; None where its cutters leave nothing of it."""
    try:
        return fit_part(wanted_of(fit.part), replace(fit.part.inlay, gap_mm=gap_mm), fit.pair)
    except Refusal:
        return None


def at_corner(area: shapely.Polygon) -> shapely.Polygon:
    """Give an area from the low left corner of its box."""
    low_x, low_y, *_ = area.bounds
    return affinity.translate(area, -low_x, -low_y)


def beyond(fit: Fitted, gap_mm: float) -> Why | None:
    """Say why a gap is none that is tried: too little, or more than a file takes or a cutter's radius; else None."""
    piece = fit.pair.piece
    most_mm = min(MOST_GAP_MM, fit.pair.pocket.radius_mm, MOST_GAP_MM if piece is None else piece.radius_mm)
    if LEAST_GAP_MM - ROUNDING_MM <= gap_mm <= most_mm + ROUNDING_MM:
        return None
    between = f"{LEAST_GAP_MM:.3f} to {most_mm:.3f} mm"
    return f"only gaps from {between} are tried, not", "--smallest and --largest within them"


def no_room(fit: Fitted) -> Why:
    """Say that a pocket is too narrow for its cutter."""
    return f"cutter {fit.pair.pocket.number} leaves no room for", "a greater --smallest"


def left_out(fit: Fitted, why: Mapping[float, Why]) -> Iterator[Problem]:
    """Give the gaps that are left out, those of one reason together."""
    for reason, hint in dict.fromkeys(why.values()):
        gaps = ", ".join(f"{gap:.3f}" for gap, each in why.items() if each == (reason, hint))
        yield Problem(
            key=fit.part.inlay.key("gap"),
            found=f"{fit.part.pocket.name}: {reason} gaps of {gaps} mm, which are left out", hint=f"try {hint}",
        )  # fmt: skip
