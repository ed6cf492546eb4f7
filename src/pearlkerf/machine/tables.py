"""The tables of a machine profile: every key, what it may hold, and its default."""

from dataclasses import field
from typing import Annotated, Literal

from pearlkerf.files.toml_models import Table
from pearlkerf.files.toml_values import Choice, Flag, Length, Number, Numbers, Text, Whole
from pearlkerf.machine.holding import HoldingTable

Kind = Literal["end mill", "ball", "brad point", "twist drill", "saw"]
Rpm = Annotated[float, Number(1, 200000, "rpm")]
Feed = Annotated[float, Number(0.1, 100000, "mm/min")]
AXES = ("X", "Y", "Z")


class TravelTable(Table):
    """[travel]."""

    x: Annotated[float, Length(20, 10000)]
    y: Annotated[float, Length(20, 10000)]
    z: Annotated[float, Length(5, 2000)]
    under_spindle: Annotated[float | None, Length(5, 2000)] = None


class SpindleTable(Table):
    """[spindle]."""

    speed: Annotated[tuple[float, float], Numbers(("slowest", "fastest"), Number(1, 200000, "rpm"))]
    control: Annotated[Literal["program", "hand"], Choice(("program", "hand"))] = "program"
    start_delay: Annotated[float, Number(0, 120, "s")] = 4.0
    nut_diameter: Annotated[float, Length(1, 300)] = 50.0
    nut_length: Annotated[float, Length(0, 300)] = 15.0
    body_diameter: Annotated[float, Length(1, 600)] = 100.0


class MotionTable(Table):
    """[motion]."""

    rapid: Annotated[tuple[float, float, float], Numbers(AXES, Number(1, 200000, "mm/min"))]
    feed_limit: Annotated[tuple[float, float, float], Numbers(AXES, Number(1, 200000, "mm/min"))]
    acceleration: Annotated[tuple[float, float, float], Numbers(AXES, Number(1, 100000, "mm/s2"))]
    clearance: Annotated[float, Length(1, 200)]


class ProgramTable(Table):
    """[program]."""

    unit: Annotated[Literal["mm", "in"], Choice(("mm", "in"))] = "mm"
    decimals: Annotated[int | None, Whole(3, 6)] = None
    line_limit: Annotated[int, Whole(40, 256)] = 70
    comments: Annotated[bool, Flag()] = True
    percent: Annotated[bool, Flag()] = False
    line_numbers: Annotated[bool, Flag()] = False
    arcs: Annotated[bool, Flag()] = True
    drilling_cycles: Annotated[bool, Flag()] = False
    cutter_change: Annotated[Literal["file", "stop", "automatic"], Choice(("file", "stop", "automatic"))] = "file"
    dwell_unit: Annotated[Literal["s", "ms"], Choice(("s", "ms"))] = "s"
    end: Annotated[Literal["M2", "M30"], Choice(("M2", "M30"))] = "M2"
    file_ending: Annotated[str, Text(8, 1)] = "nc"


class CarrierTable(Table):
    """[carrier]."""

    pitch: Annotated[float, Length(5, 1000)]
    dowel: Annotated[float, Length(2, 20)] = 6.0
    thickness: Annotated[float, Length(3, 40)] = 6.0
    into_bed: Annotated[float, Length(2, 40)] = 5.0


class CutterTable(Table):
    """[[cutter]]."""

    number: Annotated[int, Whole(1, 9999)]
    kind: Annotated[Kind, Choice(("end mill", "ball", "brad point", "twist drill", "saw"))]
    diameter: Annotated[float, Length(0.05, 400)]
    flutes: Annotated[int, Whole(1, 400)]
    reach: Annotated[float, Length(0.1, 200)]
    speed: Rpm | None = None
    speed_limit: Rpm | None = None
    feed: Feed | None = None
    plunge_feed: Feed | None = None
    bite: Annotated[float | None, Length(0.005, 50)] = None
    runout: Annotated[float, Length(0, 0.5)] = 0.0
    shank: Annotated[float | None, Length(0.5, 100)] = None
    stick_out: Annotated[float | None, Length(0.5, 300)] = None
    point_length: Annotated[float | None, Length(0, 50)] = None
    plunges: Annotated[bool | None, Flag()] = None
    kerf: Annotated[float | None, Length(0.05, 10)] = None
    flange: Annotated[float | None, Length(1, 400)] = None
    arbor: Annotated[float | None, Length(1, 400)] = None
    lowest_teeth: Annotated[Literal["away", "toward"] | None, Choice(("away", "toward"))] = None
    sawing: Annotated[Literal["conventional", "climb"], Choice(("conventional", "climb"))] = "conventional"


class ProfileTable(Table):
    """A machine profile."""

    format: Annotated[int, Whole(1, 1)] = 1
    title: Annotated[str | None, Text(200)] = None
    travel: TravelTable
    spindle: SpindleTable
    motion: MotionTable
    program: ProgramTable = ProgramTable()
    carrier: CarrierTable | None = None
    cutter: list[CutterTable]
    holding: list[HoldingTable] = field(default_factory=list)
