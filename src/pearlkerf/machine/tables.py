"""The tables of a machine profile: every key, what it may hold, what it means, and its default."""

from typing import Annotated, Literal

from pearlkerf.files.toml_keys import Table, key
from pearlkerf.files.toml_values import Choice, Flag, Length, Number, Numbers, Text, Whole
from pearlkerf.machine.holding import HoldingTable
from pearlkerf.machine.own_figures import MEANT

Kind = Literal["end mill", "ball", "brad point", "twist drill", "saw"]
Rpm = Annotated[float, Number(1, 200000, "rpm")]
Feed = Annotated[float, Number(0.1, 100000, "mm/min")]
AXES = ("X", "Y", "Z")


class TravelTable(Table):
    """[travel]."""

    x: Annotated[float, Length(20, 10000)] = key("usable travel along the board")
    y: Annotated[float, Length(20, 10000)] = key("usable travel across it")
    z: Annotated[float, Length(5, 2000)] = key("usable travel up and down")
    under_spindle: Annotated[float | None, Length(5, 2000)] = key(
        "from the bed to the tip of the longest cutter, axis up; where given, the board on edge must fit under it",
        default=None,
    )


class SpindleTable(Table):
    """[spindle]."""

    speed: Annotated[tuple[float, float], Numbers(("slowest", "fastest"), Number(1, 200000, "rpm"))] = key(
        "how slowly and how fast it turns"
    )
    control: Annotated[Literal["program", "hand", "dial"], Choice(("program", "hand", "dial"))] = key(
        '"program": S and M3; "dial": M3 and M5, the program stops before and says what to set; or "hand": it stops '
        "and says what to set and to switch",
        default="program",
    )
    dial: list[Rpm] = key("the speeds of the marks on its dial, rising", default_factory=list)
    start_delay: Annotated[float, Number(0, 120, "s")] = key("until the spindle is at speed", default=4.0)
    nut_diameter: Annotated[float, Length(1, 300)] = key("of the collet nut, across its corners", default=50.0)
    nut_length: Annotated[float, Length(0, 300)] = key("of the collet nut", default=15.0)
    body_diameter: Annotated[float, Length(1, 600)] = key(
        "of what stands above the nut: spindle, bracket, dust shoe", default=100.0
    )


class MotionTable(Table):
    """[motion]."""

    rapid: Annotated[tuple[float, float, float], Numbers(AXES, Number(1, 200000, "mm/min"))] = key(
        "moves through the air"
    )
    feed_limit: Annotated[tuple[float, float, float], Numbers(AXES, Number(1, 200000, "mm/min"))] = key(
        "no cut moves an axis faster"
    )
    acceleration: Annotated[tuple[float, float, float], Numbers(AXES, Number(1, 100000, "mm/s2"))] = key(
        "for the time that a program takes"
    )
    clearance: Annotated[float, Length(1, 200)] = key("height of moves above the work")
    park: Annotated[tuple[float, float] | None, Numbers(("X", "Y"), Number(-5000, 5000, "mm"))] = key(
        "from the setup's X0 and Y0: where the tip waits, at clearance, while hands are near it", default=None
    )


class ProgramTable(Table):
    """[program]."""

    unit: Annotated[Literal["mm", "in"], Choice(("mm", "in"))] = key('"mm" or "in": of the programs', default="mm")
    decimals: Annotated[int | None, Whole(3, 6)] = key(
        "digits after the point, no fewer than these", default=None, usual="3 in mm, 4 in inches"
    )
    line_limit: Annotated[int, Whole(40, 256)] = key("characters of the longest line", default=70)
    comments: Annotated[bool, Flag()] = key(
        "the controller takes comments; pauses for a cutter need them, and programs without are held by prove with "
        "--setup and --cutter",
        default=True,
    )
    percent: Annotated[bool, Flag()] = key("% lines at both ends", default=False)
    line_numbers: Annotated[bool, Flag()] = key("N words", default=False)
    arcs: Annotated[bool, Flag()] = key("G2 and G3 in XY; otherwise short chords", default=True)
    drilling_cycles: Annotated[bool, Flag()] = key("G82 and G83; otherwise written out as moves", default=False)
    cutter_change: Annotated[Literal["file", "stop", "automatic"], Choice(("file", "stop", "automatic"))] = key(
        '"file": a program for each cutter; "stop": up, M5, M0, Z zeroed again; or "automatic": T M6 and G43 H',
        default="file",
    )
    dwell_unit: Annotated[Literal["s", "ms"], Choice(("s", "ms"))] = key(
        '"s" or "ms": of P in G4 and the cycles', default="s"
    )
    path_control: Annotated[Literal["none", "exact"], Choice(("none", "exact"))] = key(
        '"none": corners may be rounded by the controller, which heads say; or "exact": G61', default="none"
    )
    air: Annotated[Literal["none", "M7", "M8"], Choice(("none", "M7", "M8"))] = key(
        '"M7" or "M8": switches air, extraction, or for shell alone water on after the spindle, M9 off before it; '
        '"none": there is none',
        default="none",
    )
    blocks_per_second: Annotated[float | None, Number(1, 100000, "a second")] = key(
        "blocks that the controller carries out; shorter ones are fed slower", default=None, usual="any number"
    )
    end: Annotated[Literal["M2", "M30"], Choice(("M2", "M30"))] = key(
        '"M2" or "M30": the word that ends a program', default="M2"
    )
    file_ending: Annotated[str, Text(8, 1)] = key("of the programs' files", default="nc")


class CarrierTable(Table):
    """[carrier]."""

    pitch: Annotated[float, Length(5, 1000)] = key("from dowel hole to dowel hole")
    dowel: Annotated[float, Length(2, 20)] = key("diameter of the dowels and of their holes", default=6.0)
    thickness: Annotated[float, Length(3, 40)] = key("of the carrier; its holes go through", default=6.0)
    into_bed: Annotated[float, Length(2, 40)] = key("how deep the two holes go on into the bed", default=5.0)


class CutterTable(Table):
    """[[cutter]]."""

    number: Annotated[int, Whole(1, 9999)] = key("each once; its place in an automatic changer")
    kind: Annotated[Kind, Choice(("end mill", "ball", "brad point", "twist drill", "saw"))] = key(
        '"end mill" (flat, centre cutting), "brad point", "twist drill", "saw"; "ball" may be listed and is left alone'
    )
    diameter: Annotated[float, Length(0.05, 400)] = key("as measured")
    flutes: Annotated[int, Whole(1, 400)] = key("how many edges")
    reach: Annotated[float, Length(0.1, 200)] = key("the cutting length; no cut is deeper")
    speed: Rpm | None = key("how fast it turns", default=None, usual="from the diameter")
    speed_limit: Rpm | None = key("it may turn no faster; required of a saw", default=None)
    feed: Feed | None = key("along the path", default=None, usual="from the wood")
    plunge_feed: Feed | None = key("straight down", default=None, usual="from the wood")
    bite: Annotated[float | None, Length(0.005, 50)] = key("depth of one pass", default=None, usual="from the diameter")
    runout: Annotated[float | None, Length(0, 0.5)] = key(
        "total indicator reading; widens a slot", default=None, usual="unknown, and said so"
    )
    shank: Annotated[float | None, Length(0.5, 100)] = key("its diameter", default=None)
    stick_out: Annotated[float | None, Length(0.5, 300)] = key("what stands out of the collet", default=None)
    point_length: Annotated[float | None, Length(0, 50)] = key(
        "what a drill's point reaches below its lips", default=None, usual="from the kind"
    )
    plunges: Annotated[bool | None, Flag()] = key(
        "may go straight down into wood", default=None, usual="true, a saw false"
    )
    kerf: Annotated[float | None, Length(0.05, 10)] = key(
        "the width that a saw cuts; a saw without it is left alone", default=None
    )
    flange: Annotated[float | None, Length(1, 400)] = key(
        "diameter of the flange or nut beside a saw's blade; required with kerf", default=None
    )
    arbor: Annotated[float | None, Length(1, 400)] = key(
        "diameter of whatever else turns or hangs beside the blade, where it is wider than the flange", default=None
    )
    lowest_teeth: Annotated[Literal["away", "toward"] | None, Choice(("away", "toward"))] = key(
        '"away" or "toward": which way a saw\'s lowest teeth run, seen from the operator; required with kerf',
        default=None,
    )
    sawing: Annotated[Literal["conventional", "climb"], Choice(("conventional", "climb"))] = key(
        '"conventional": against the feed; or "climb": along with it', default="conventional"
    )


class ProfileTable(Table):
    """A machine profile."""

    format: Annotated[int, Whole(1, 1)] = key("the version of this file's form", default=1)
    title: Annotated[str | None, Text(200)] = key("shown in lists and on pages", default=None, usual="the file's name")
    unusual: list[Annotated[str, Choice(MEANT)]] = key(
        'figures of cutters that are meant as they stand, whatever a mill bears by them: "cutter.bite", "cutter.feed"',
        default_factory=list,
    )
    travel: TravelTable = key("how far the axes go")
    spindle: SpindleTable = key("what turns the cutter")
    motion: MotionTable = key("how fast the axes go")
    program: ProgramTable = key("may be left out", default=ProgramTable())
    carrier: CarrierTable | None = key(
        'may be left out; only for a travel shorter than the board, see "A board longer than the travel"',
        default=None,
    )
    cutter: list[CutterTable] = key("one for each cutter")
    holding: list[HoldingTable] = key("for a fixture that stays on the bed, as in a board file", default_factory=list)
