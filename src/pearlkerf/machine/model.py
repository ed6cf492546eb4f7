"""The model of a shop's machine: what it can reach, what its controller understands, its cutters.

Lengths are float mm, speeds rpm, feeds mm/min, times s, whatever unit the programs are written in.
"""

from dataclasses import dataclass
from typing import Final, Literal

from pearlkerf.machine.holding import Holding

# the widest of the shanks that small spindles take, 1/4 in (common practice, no source)
USUAL_SHANK_MM: Final = 6.35

Control = Literal["program", "hand", "dial"]
CutterKind = Literal["end mill", "ball", "brad point", "twist drill", "saw"]


@dataclass(frozen=True, slots=True)
class Travel:
    """Usable travel of each axis, and the height from the bed to the longest cutter's tip, axis up."""

    x_mm: float
    y_mm: float
    z_mm: float
    under_spindle_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Spindle:
    """Speed range; set by the program (S and M3), by hand at a stop, or on a dial before M3; wait after the start.

    ``dial_rpm`` are the speeds of the dial's marks, rising; none where any speed can be set.

    Its collet nut, ``nut_diameter_mm`` wide, begins where the cutter's stick-out ends; above the nut
    stands its body, and whatever moves with it.
    """

    slowest_rpm: float
    fastest_rpm: float
    control: Control = "program"
    start_delay_s: float = 4.0
    nut_diameter_mm: float = 50.0
    nut_length_mm: float = 15.0
    body_diameter_mm: float = 100.0
    dial_rpm: tuple[float, ...] = ()

    @property
    def starts_by_program(self) -> bool:
        """Whether M3 starts it and M5 stops it, at whatever speed."""
        return self.control != "hand"


@dataclass(frozen=True, slots=True)
class Motion:
    """How fast the axes X, Y, Z move, the height of traverses above the work, and where hands have room.

    ``park_mm`` is X and Y from the setup's zero, None where the tip stays over its last cut.
    """

    rapid_mm_min: tuple[float, float, float]
    feed_limit_mm_min: tuple[float, float, float]
    acceleration_mm_s2: tuple[float, float, float]
    clearance_mm: float
    park_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Dialect:
    """What the controller understands: the profile's table ``[program]``."""

    unit: Literal["mm", "in"] = "mm"
    decimals: int = 3
    line_limit: int = 70
    comments: bool = True
    percent: bool = False
    line_numbers: bool = False
    arcs: bool = True
    drilling_cycles: bool = False
    cutter_change: Literal["file", "stop", "automatic"] = "file"
    dwell_unit: Literal["s", "ms"] = "s"
    end: Literal["M2", "M30"] = "M2"
    file_ending: str = "nc"
    path_control: Literal["none", "exact"] = "none"
    air: Literal["none", "M7", "M8"] = "none"
    blocks_per_second: float | None = None


@dataclass(frozen=True, slots=True)
class Cutter:
    """One cutter; what is None comes from the tables by diameter and wood.

    ``reach_mm`` is the cutting length; ``bite_mm`` the depth of one pass; ``runout_mm`` the total
    indicator reading, None where nobody has measured it; ``point_length_mm`` what a drill's point
    reaches below its lips; ``plunges`` says whether it may go straight down into wood.

    A saw turns on a horizontal arbor that lies along the board, its blade across it: ``kerf_mm`` is
    the width that it cuts, ``flange_mm`` and ``arbor_mm`` the diameters of what turns beside it on
    the same axis, ``lowest_teeth`` which way its lowest teeth run (away from the operator or toward
    him), ``sawing`` whether it cuts against its feed (conventional) or along with it (climb).
    """

    number: int
    kind: CutterKind
    diameter_mm: float
    flutes: int
    reach_mm: float
    speed_rpm: float | None = None
    speed_limit_rpm: float | None = None
    feed_mm_min: float | None = None
    plunge_feed_mm_min: float | None = None
    bite_mm: float | None = None
    runout_mm: float | None = None
    shank_mm: float | None = None
    stick_out_mm: float | None = None
    point_length_mm: float = 0.0
    plunges: bool = True
    kerf_mm: float | None = None
    flange_mm: float | None = None
    arbor_mm: float = 0.0
    lowest_teeth: Literal["away", "toward"] | None = None
    sawing: Literal["conventional", "climb"] = "conventional"

    @property
    def radius_mm(self) -> float:
        """Half the diameter."""
        return self.diameter_mm / 2

    @property
    def width_mm(self) -> float:
        """Width that it cuts in one pass, its runout apart: its diameter, or a saw's kerf."""
        return self.diameter_mm if self.kerf_mm is None else self.kerf_mm

    @property
    def runs_out_mm(self) -> float:
        """How far it is known to run out: 0 where nobody has measured it."""
        return self.runout_mm or 0.0

    @property
    def shank_radius_mm(self) -> float:
        """Radius of the shank: as said, else of the widest usual collet, or the cutter's own."""
        return (max(self.diameter_mm, USUAL_SHANK_MM) if self.shank_mm is None else self.shank_mm) / 2

    @property
    def sticks_out_mm(self) -> float:
        """How far the tip hangs below the collet nut: as said, else no farther than the cutting length."""
        return self.reach_mm if self.stick_out_mm is None else self.stick_out_mm

    @property
    def beside_blade_mm(self) -> float:
        """Diameter of the widest thing that turns beside a saw's blade."""
        return max(self.flange_mm or 0.0, self.arbor_mm)

    @property
    def states_its_figures(self) -> bool:
        """Say whether it states all its own figures: no table is needed for what it cuts."""
        return None not in (self.speed_rpm, self.feed_mm_min, self.plunge_feed_mm_min, self.bite_mm)

    @property
    def feeds_away(self) -> bool:
        """Whether a saw feeds away from the operator: conventional where its lowest teeth run that way too."""
        return (self.lowest_teeth == "away") == (self.sawing == "conventional")


@dataclass(frozen=True, slots=True)
class SpindlePart:
    """One part of what hangs in the spindle, as an upright cylinder: how far above the tip it begins, its radius."""

    name: Literal["cutter", "shank", "collet nut", "spindle"]
    above_tip_mm: float
    radius_mm: float


@dataclass(frozen=True, slots=True)
class Carrier:
    """A strip under the board with a row of dowel holes, ``pitch_mm`` apart; two dowels stand in the bed.

    The strip moves along X by whole holes.  The holes go through it, two of them on into the bed.
    """

    pitch_mm: float
    dowel_mm: float = 6.0
    thickness_mm: float = 6.0
    into_bed_mm: float = 5.0


@dataclass(frozen=True, slots=True)
class Machine:
    """A machine profile: the machine, its controller's dialect, and its cutters."""

    name: str
    title: str
    travel: Travel
    spindle: Spindle
    motion: Motion
    dialect: Dialect
    cutters: tuple[Cutter, ...]
    carrier: Carrier | None = None
    holding: tuple[Holding, ...] = ()

    def hanging(self, cutter: Cutter) -> tuple[SpindlePart, ...]:
        """Give what hangs in the spindle with a mill or drill, from its tip up.

        |  body   |        over the nut
        |_________|
         |  nut  |         nut_diameter, nut_length
         |_______|
            | |            shank, up to stick_out
            |_|
             I             cutter, up to reach

        What the profile does not say counts at its worst: a shank as wide as the widest usual collet takes or
        as the cutter is, a nut that begins where the cutting length ends.
        """
        spindle, nut = self.spindle, cutter.sticks_out_mm
        return (
            SpindlePart("cutter", 0.0, cutter.radius_mm),
            SpindlePart("shank", cutter.reach_mm, cutter.shank_radius_mm),
            SpindlePart("collet nut", nut, spindle.nut_diameter_mm / 2),
            SpindlePart("spindle", nut + spindle.nut_length_mm, spindle.body_diameter_mm / 2),
        )

    def cutter(self, number: int) -> Cutter | None:
        """Give the cutter with this number, or None."""
        return next((cutter for cutter in self.cutters if cutter.number == number), None)
