"""Speeds and feeds: the cutter's own numbers, else a cautious table by diameter and wood, and one of shell.

feed = rpm * flutes * chip load (any milling handbook).  The maker's own figures always win; the
machine's limits always hold.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from pearlkerf.machine.materials import kind_of
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.slender import USUAL_BEND_MM, USUAL_STRESS_MPA, Load, Slender
from pearlkerf.machine.woods import wood_class

# diameter (mm), chip load (mm a tooth), bite (part of the diameter), plunge (part of the feed) in dense woods: the
# upper ends of what is met, which bending and stress then hold back (``slender``). All from memory (common practice,
# no source): 0.5 to 0.6 mm 0.002 to 0.008 mm a tooth and 0.15 to 0.4 of the diameter a pass; 0.8 to 1.0 0.004 to 0.015
# and 0.25 to 0.5; 1.5 to 2.0 0.010 to 0.030 and 0.5; 3.0 to 3.2 0.020 to 0.060 and 0.5 to 1; 6.0 to 6.4 0.050 to 0.150
# and 0.5 to 1. Between diameters: straight lines
MILLS: Final = (
    (0.2, 0.0020, 0.20, 0.25),
    (0.5, 0.0080, 0.40, 0.25),
    (0.6, 0.0080, 0.40, 0.25),
    (0.8, 0.0150, 0.50, 0.25),
    (1.0, 0.0150, 0.50, 0.25),
    (1.5, 0.0300, 0.50, 0.30),
    (2.0, 0.0300, 0.50, 0.30),
    (3.0, 0.0600, 1.00, 0.30),
    (3.2, 0.0600, 1.00, 0.30),
    (6.0, 0.1500, 1.00, 0.30),
)
# the same in shell, which is brittle and blunts cutters: half of wood's chips and less, the upper ends of what is met.
# From memory (common practice, no source): 0.5 to 0.6 mm 0.001 to 0.004 mm a tooth and 0.05 to 0.15 mm a pass; 0.8 to
# 1.0 0.002 to 0.006 and 0.1 to 0.2; 1.5 to 2.0 0.004 to 0.010 and 0.15 to 0.3; 3.0 to 3.2 0.006 to 0.015, 0.2 to 0.4
SHELL_MILLS: Final = (
    (0.2, 0.0010, 0.20, 0.20),
    (0.5, 0.0040, 0.25, 0.20),
    (0.6, 0.0040, 0.25, 0.20),
    (0.8, 0.0060, 0.25, 0.25),
    (1.0, 0.0060, 0.20, 0.25),
    (1.5, 0.0100, 0.20, 0.25),
    (2.0, 0.0100, 0.15, 0.25),
    (3.2, 0.0150, 0.125, 0.25),
)
# nobody has published what force shell asks of a cutter: it is taken to be so many times that of dense wood
SHELL_FORCE: Final = 2.0
# drills: diameter (mm), feed (mm a turn); one peck is half the diameter. From memory (0.02 to 0.06 mm a turn)
DRILLS: Final = ((0.5, 0.005), (1.0, 0.010), (2.0, 0.020), (6.35, 0.040))
DRILL_PECK: Final = 0.5
# slitting saws 0.5 to 0.6 mm thick: 0.003 to 0.015 mm a tooth, a slot in one to three passes. From memory
SAW_CHIP_MM: Final = 0.004
SAW_BITE_MM: Final = 1.0
SAW_PLUNGE: Final = 0.25  # part of the feed, for moves down beside the work
# mills thinner than these (mm) bend and break: they take only so much of what the tables say; from memory
SMALL: Final = ((0.3, 0.6), (0.5, 0.8))
UNKNOWN_BITE: Final = 0.8  # part of the table's depth of a pass in a wood that nobody knows; from memory
# softer woods take more, unknown ones less; from memory
CHIP_SHARE: Final = {"dense": 1.0, "banded": 1.0, "hard": 1.25, None: 0.8}
SHELL_DRILL_SHARE: Final = 0.5  # of a drill's feed in dense wood; from memory (0.01 to 0.03 mm a turn)
# surface speed at which a small cutter in dense wood begins to burn, m/min; from memory
MOST_SURFACE_M_MIN: Final = 180.0
DRILL_SURFACE_M_MIN: Final = 40.0
# a thin slitting saw in dense wood: a blade of 63 mm at 3000 rpm runs 594 m/min; from memory
SAW_SURFACE_M_MIN: Final = 600.0
# what nobody's figures but the table's ask for is rounded down to what people set and read, rpm; by hand more so
ROUND_RPM: Final = 100.0
HAND_RPM: Final = 500.0
DRILL_KINDS: Final = ("twist drill", "brad point")
SURFACE_M_MIN: Final[dict[str, float]] = {
    "twist drill": DRILL_SURFACE_M_MIN,
    "brad point": DRILL_SURFACE_M_MIN,
    "saw": SAW_SURFACE_M_MIN,
}


@dataclass(frozen=True, slots=True)
class CuttingFigures:
    """What one cutter does in one wood on one machine, after every limit."""

    speed_rpm: float
    feed_mm_min: float  # along the path, cutter engaged
    plunge_feed_mm_min: float  # straight down, and the vertical part of ramps and helices
    bite_mm: float  # depth of one pass
    sources: tuple[str, ...]  # for each figure, where it comes from, as a sentence
    load: Load | None = None  # what a mill bears by them in a full slot; None for drills and saws, and in shell


def is_known_wood(wood: str) -> bool:
    """Say whether a wood is in the table, or shell, which has its own."""
    return kind_of(wood) in ("wood", "shell")


def cutting_figures(machine: Machine, cutter: Cutter, wood: str) -> CuttingFigures:
    """Give speed, feeds and bite of a cutter in a wood.

    The profile's own numbers are taken where it gives them, else the tables'; feeds follow the speed
    that the machine can turn, and stay within its axes.
    """
    speed, why_speed = _speed_rpm(machine, cutter)
    feed, plunge, why_feed = _table_feeds(cutter, wood, speed)
    own, slowed = f"cutter {cutter.number} in the profile", _slowed(cutter, speed)
    own_feed = own if slowed == 1 else f"{own}, less in proportion to the speed"
    feed, why_feed = (cutter.feed_mm_min * slowed, own_feed) if cutter.feed_mm_min is not None else (feed, why_feed)
    plunge, why_plunge = (
        (cutter.plunge_feed_mm_min * slowed, own_feed)
        if cutter.plunge_feed_mm_min is not None
        else (plunge, "table, from memory")
    )
    limits = machine.motion.feed_limit_mm_min
    limited = min(feed, limits[0], limits[1])
    chip = limited / speed / cutter.flutes
    bite, why_bite = _table_bite(cutter, wood, chip) if cutter.bite_mm is None else (cutter.bite_mm, own)
    bite = min(bite, cutter.reach_mm)
    return CuttingFigures(
        speed_rpm=speed,
        feed_mm_min=limited,
        plunge_feed_mm_min=min(plunge, limits[2], limited),
        bite_mm=bite,
        sources=(
            f"cutter {cutter.number}: speed {speed:.0f} rpm from {why_speed}",
            f"cutter {cutter.number}: feed {limited:.0f} mm/min from {why_feed}"
            + (", held to the slower axis" if limited < feed else ""),
            f"cutter {cutter.number}: plunge {min(plunge, limits[2], limited):.0f} mm/min from {why_plunge}",
            f"cutter {cutter.number}: {bite:.3f} mm a pass from {why_bite}",
            *runout_told(cutter, chip),
        ),
        load=slender(cutter).load(bite, chip) if cutter.kind == "end mill" and kind_of(wood) != "shell" else None,
    )


def _speed_rpm(machine: Machine, cutter: Cutter) -> tuple[float, str]:
    """Speed and its source: the cutter's, else the surface speed's, held to cutter and spindle."""
    surface = SURFACE_M_MIN.get(cutter.kind, MOST_SURFACE_M_MIN)
    by_surface = surface * 1000 / (math.pi * cutter.diameter_mm)
    wanted = by_surface if cutter.speed_rpm is None else cutter.speed_rpm
    why = f"{surface:.0f} m/min, from memory" if cutter.speed_rpm is None else f"cutter {cutter.number} in the profile"
    if cutter.speed_limit_rpm is not None and wanted > cutter.speed_limit_rpm:
        wanted, why = cutter.speed_limit_rpm, "the cutter's limit"
    held = min(max(wanted, machine.spindle.slowest_rpm), machine.spindle.fastest_rpm)
    if machine.spindle.dial_rpm:
        return dialled_rpm(machine.spindle.dial_rpm, wanted), f"{why}, on the dial"
    if held > wanted:
        why = "the slowest that the spindle turns"
    elif held < wanted:
        why = "the fastest that the spindle turns"
    if cutter.speed_rpm is None and held == wanted:
        step = HAND_RPM if machine.spindle.control == "hand" else ROUND_RPM
        held = max(math.floor(held / step) * step, machine.spindle.slowest_rpm)
    return float(math.floor(held)) if held > machine.spindle.slowest_rpm else held, why


def dialled_rpm(marks_rpm: Sequence[float], wanted_rpm: float) -> float:
    """Give the fastest mark of a dial that is no faster than wanted; its slowest where all are.

    >>> dialled_rpm((10000.0, 18000.0, 25000.0), 19098.0), dialled_rpm((10000.0, 18000.0), 8000.0)
    (18000.0, 10000.0)
    """
    return max((mark for mark in marks_rpm if mark <= wanted_rpm), default=min(marks_rpm))


def _slowed(cutter: Cutter, speed_rpm: float) -> float:
    """Part of the cutter's own feeds that keeps its chip load where the spindle turns slower than it asks."""
    return 1.0 if cutter.speed_rpm is None else min(1.0, speed_rpm / cutter.speed_rpm)


def _table_feeds(cutter: Cutter, wood: str, speed_rpm: float) -> tuple[float, float, str]:
    """Give feed and plunge feed by the tables, and where they come from."""
    if kind_of(wood) == "shell":
        return _shell_feeds(cutter, speed_rpm)
    of = wood_class(wood)
    share, named = CHIP_SHARE[of], of or "unknown"
    if cutter.kind in DRILL_KINDS:
        per_turn = share * _between(cutter.diameter_mm, DRILLS)
        return speed_rpm * per_turn, speed_rpm * per_turn, f"{per_turn:.4f} mm a turn in {named} wood, from memory"
    if cutter.kind == "saw":
        feed = speed_rpm * cutter.flutes * share * SAW_CHIP_MM
        return feed, SAW_PLUNGE * feed, f"{share * SAW_CHIP_MM:.4f} mm a tooth of a saw, from memory"
    derated = small_share(cutter.diameter_mm)
    chip = derated * share * _between(cutter.diameter_mm, MILLS)
    feed = speed_rpm * cutter.flutes * chip
    per_turn = share * _between(cutter.diameter_mm, DRILLS)  # no faster than a drill
    plunge = min(feed * _between(cutter.diameter_mm, MILLS, column=3), speed_rpm * per_turn)
    small = f", {derated:g} of the table's as it is so thin" if derated < 1 else ""
    return feed, plunge, f"{chip:.4f} mm a tooth in {named} wood, from memory{small}"


def _shell_feeds(cutter: Cutter, speed_rpm: float) -> tuple[float, float, str]:
    """Give feed and plunge feed in shell, and where they come from."""
    derated = small_share(cutter.diameter_mm)
    chip = derated * _between(cutter.diameter_mm, SHELL_MILLS)
    per_turn = SHELL_DRILL_SHARE * _between(cutter.diameter_mm, DRILLS)
    feed = speed_rpm * (per_turn if cutter.kind in DRILL_KINDS else cutter.flutes * chip)
    plunge = feed * _between(cutter.diameter_mm, SHELL_MILLS, column=3)
    told = f"{per_turn:.4f} mm a turn" if cutter.kind in DRILL_KINDS else f"{chip:.4f} mm a tooth"
    return feed, min(plunge, speed_rpm * per_turn), f"{told} in shell, from memory"


def _shell_bite(cutter: Cutter, chip_mm: float) -> tuple[float, str]:
    """Give the depth of one pass of a mill in shell, and which bound it comes from."""
    part = small_share(cutter.diameter_mm) * _between(cutter.diameter_mm, SHELL_MILLS, column=2)
    beam = slender(cutter)
    borne = min(beam.most_by_bend_mm(chip_mm), beam.most_by_stress_mm(chip_mm)) / SHELL_FORCE
    return min(
        (part * cutter.diameter_mm, f"{part:.2f} of its diameter in shell, table, from memory"),
        (borne, f"what shell would bend and stress it by at most, {beam.length_mm:g} mm long"),
    )


def _table_bite(cutter: Cutter, wood: str, chip_mm: float) -> tuple[float, str]:
    """Give the depth of one pass, and which bound it comes from: for a mill the least of three.

    The table's part of the diameter, a bending of USUAL_BEND_MM, a stress of USUAL_STRESS_MPA.
    """
    if cutter.kind in DRILL_KINDS:
        return DRILL_PECK * cutter.diameter_mm, "table, from memory"
    if cutter.kind == "saw":
        return SAW_BITE_MM, "table, from memory"
    if kind_of(wood) == "shell":
        return _shell_bite(cutter, chip_mm)
    part = small_share(cutter.diameter_mm) * _between(cutter.diameter_mm, MILLS, column=2)
    of = wood_class(wood)
    part *= UNKNOWN_BITE if of is None else 1.0
    if of is None:  # who knows it might feed faster: such a chip must be borne too
        chip_mm *= max(CHIP_SHARE.values()) / CHIP_SHARE[of]
    beam = slender(cutter)
    bounds = (
        (part * cutter.diameter_mm, f"{part:.2f} of its diameter, table, from memory"),
        (beam.most_by_bend_mm(chip_mm), f"what bends it by {1000 * USUAL_BEND_MM:.0f} um, {beam.length_mm:g} mm long"),
        (
            beam.most_by_stress_mm(chip_mm),
            f"what stresses it by {USUAL_STRESS_MPA:.0f} MPa, {beam.length_mm:g} mm long",
        ),
    )
    return min(bounds)


def slender(cutter: Cutter) -> Slender:
    """Give a mill as a bending beam: free from its shank on where that is wider, else from the collet on."""
    free = cutter.reach_mm
    if cutter.shank_radius_mm <= cutter.radius_mm and cutter.stick_out_mm is not None:
        free = max(free, cutter.stick_out_mm)
    return Slender(cutter.diameter_mm, free, cutter.flutes)


def small_share(diameter_mm: float) -> float:
    """Give the part of the tables' chip and bite that a mill takes: less than all where it is very thin.

    >>> small_share(0.58), small_share(0.4), small_share(0.2)
    (1.0, 0.8, 0.6)
    """
    return next((share for thinner, share in SMALL if diameter_mm < thinner), 1.0)


def chips_with_runout_mm(chip_mm: float, runout_mm: float) -> tuple[float, float]:
    """Give the thinnest and the thickest chip of two opposed teeth whose runout (total reading) is told.

    The one tooth stands out by half the reading, the other back by as much: f_z - TIR and f_z + TIR.
    Where the chip is no thicker than the runout, one tooth does all the cutting and the other rubs.

    >>> chips_with_runout_mm(0.0508, 0.0127)
    (0.0381, 0.0635)
    """
    return round(max(0.0, chip_mm - runout_mm), 9), round(chip_mm + runout_mm, 9)


def runout_told(cutter: Cutter, chip_mm: float) -> tuple[str, ...]:
    """Say what a cutter's runout does, beside its diameter and its chip, or that it is unknown."""
    number, runout = cutter.number, cutter.runs_out_mm
    if cutter.runout_mm is None:
        return (f"cutter {number}: how far it runs out is unknown, what it cuts comes out wider by as much",)
    if not runout:
        return ()
    if cutter.kind == "saw":
        kerf = cutter.kerf_mm or 0.0
        return (f"cutter {number}: it runs out {runout:.3f} mm sideways, its kerf comes to {kerf + runout:.3f} mm",)
    part = f"cutter {number}: it runs out {runout:.3f} mm, {100 * runout / cutter.diameter_mm:.1f} % of its diameter"
    wide = f"what it cuts comes out up to {runout:.3f} mm wider"
    least, most = chips_with_runout_mm(chip_mm, runout)
    chips = f"its chips between {least:.4f} and {most:.4f} mm" if least > 0 else "one tooth does all the cutting"
    return (f"{part}: {wide}, {chips}",)


def _between(diameter_mm: float, table: Sequence[tuple[float, ...]], column: int = 1) -> float:
    """Interpolate a column of a table by diameter; beyond its ends its end values, below its first in proportion."""
    if diameter_mm <= table[0][0]:
        return table[0][column] * diameter_mm / table[0][0]
    for low, high in pairwise(table):
        if diameter_mm <= high[0]:
            return low[column] + (high[column] - low[column]) * (diameter_mm - low[0]) / (high[0] - low[0])
    return table[-1][column]
