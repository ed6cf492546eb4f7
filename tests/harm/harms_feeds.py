"""Harm of kinds 6 and 9: what scorches wood and cutter, and dwells a thousand times too long or too short.

A cutter that turns and does not bite rubs: the wood blackens, the edge is gone.  A feed has a least, a
fifth of its figure; whoever stays in one place stays there for the sum of it.
"""

from edits import after, before, change, change_every, drop, line_for, number, numbers, together
from edits_of_cuts import repeat_feature
from kinds import Harm
from shops import (
    ARCS_DOTS,
    ARCS_EDGE,
    ARCS_MS_SLOTS,
    ARCS_SLOTS,
    ARCS_STOP_FACE,
    AT_SLOTS,
    AUTO_EDGE,
    AUTO_FACE,
    AUTO_INCH_FACE,
    AUTO_MOVES_EDGE,
    BARE_DOTS,
    CALIBRATION,
    CARRIED_DOTS,
    CHORDS_DOTS,
    CHORDS_EDGE,
    CHORDS_SLOTS,
    COUPON,
    CYCLES_EDGE,
    CYCLES_FACE,
    CYCLES_MS_EDGE,
    CYCLES_MS_FACE,
    GULL_DOTS,
    HERON_EDGE,
    INCH_DOTS,
    INCH_EDGE,
    INCH_SLOTS,
    INCH_STOP_FACE,
    LANTERN_SAWN,
    SAW_DOTS,
    SAW_EDGE,
    SAW_SLOTS,
    SKIFF_SAWN,
    WREN_SLOTS,
)

RUBS = "the cutter rubs more than it cuts: wood and edge burn"
OUT = "the cutter turns in its hole for half a minute and rubs"
STAYS = "the cutter turns in one place for a second and more: the wood burns"
SCORCHES = (3,)


def of(share: float):
    """A share of a number."""
    return lambda value: value * share


FEEDS = (
    Harm("feed: a tenth, pocket", 6, ARCS_DOTS, numbers("^G3", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, slots", 6, ARCS_SLOTS, numbers("^G1 Y", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, one slot", 6, ARCS_SLOTS, number("^G1 Y.*F", "F", of(0.1), nth=5), RUBS, SCORCHES),
    Harm("feed: a tenth, inches", 6, INCH_SLOTS, numbers("^G1 Y", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, pocket in inches", 6, GULL_DOTS, numbers("^G3", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, chords", 6, CHORDS_DOTS, numbers("^G1 X", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, side passes", 6, CHORDS_SLOTS, numbers("^G1 Y", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, drill", 6, CYCLES_EDGE, numbers("^G99", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, drill, automatic", 6, HERON_EDGE, numbers("^G99", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, drill by moves", 6, AUTO_MOVES_EDGE, numbers("^G1 Z", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, saw", 6, SAW_SLOTS, numbers("^G1 Y", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, saw, one pass", 6, SKIFF_SAWN, number("^G1 Y.*F", "F", of(0.1), nth=7), RUBS, SCORCHES),
    Harm("feed: just below a fifth", 6, ARCS_EDGE, numbers("^G3", "F", of(0.19)), RUBS, SCORCHES),
    Harm("feed: just below a fifth, automatic", 6, AUTO_FACE, numbers("^G1 Y", "F", of(0.19)), RUBS, SCORCHES),
    Harm("feed: a thousandth", 6, SAW_EDGE, numbers("^G3", "F", of(0.001)), RUBS, SCORCHES),
    Harm("feed: a tenth, turned board", 6, AT_SLOTS, numbers("^G1 X", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, no comments", 6, BARE_DOTS, numbers("^G3", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, coupon", 6, COUPON, numbers("^G99", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: a tenth, inches, automatic", 6, AUTO_INCH_FACE, numbers("^G3", "F", of(0.1)), RUBS, SCORCHES),
    Harm("feed: one chord creeps", 6, WREN_SLOTS, change(r"^(G1 Y16\.505)$", r"\1 F5.0"),
         "0.12 mm of slot at 5 mm/min: more than a second on the spot", SCORCHES),
    Harm("feed: the first turn creeps", 6, CARRIED_DOTS, number("^G1 X.*F", "F", of(0.05)), RUBS, SCORCHES),
    Harm("plunge: a tenth, slots", 6, ARCS_SLOTS, numbers("^G1 Z-", "F", of(0.1)), RUBS, SCORCHES),
    Harm("plunge: a tenth, end mill as a drill", 6, CYCLES_FACE, numbers("^G99", "F", of(0.1)), RUBS, SCORCHES),
    Harm("plunge: a tenth, calibration", 6, CALIBRATION, numbers("^G1 Z-", "F", of(0.1)), RUBS, SCORCHES),
    Harm("the saw's way in creeps", 6, LANTERN_SAWN, together(change(r"^G1 Z-(\S+) F300\.0", r"G1 Z-\1 F300.0"),
         number("^G1 Y.*F", "F", of(0.15))), RUBS, SCORCHES),
    Harm("the way out creeps, pocket", 6, ARCS_DOTS, change(r"^G1 Z0\.5 F500\.0", "G1 Z0.5 F5.0"), OUT, SCORCHES),
    Harm("the way out creeps, hole", 6, CHORDS_EDGE, change(r"^G1 Z0\.5.*", "G1 Z0.5 F5.0", nth=-1), OUT, SCORCHES),
    Harm("the way out creeps, saw", 6, LANTERN_SAWN, before(r"^G1 Y26\.407$", "G1 Y0.0", "G1 Z0.5 F3.0"),
         "in the middle of the board the blade stands in its kerf for half a minute", SCORCHES),
    Harm("back through the slot at a crawl", 6, ARCS_SLOTS, before(r"^G1 Z0\.5", "G1 Z-0.1 F57.6", "G1 Y20.0 F2.0"),
         "a mill as wide as its slot rubs along both walls for twenty minutes", SCORCHES),
)  # fmt: skip

# a pecked hole's place and feed, for a cycle that dwells in its place
PECKED = r"^G99 G83 (X\S+ Y\S+ Z\S+ R\S+) Q\S+( F\S+)?"
JITTER = ("G1 Y0.289", "G1 Y0.29")
# where a slot's first pass has crossed the crown: at its ends, beside the board, a mill stands in the air
CROWN, CROWN_INCH, CROWN_CHORDS = r"^G1 Y0\.29$", r"^G1 Y0\.0115$", r"^G1 Y0\.25$"
DWELLS = (
    Harm("dwells: ten in a row", 6, ARCS_SLOTS, after(CROWN, *["G4 P0.15"] * 10), STAYS, SCORCHES),
    Harm("dwells: ten in a row, inches", 6, INCH_SLOTS, after(CROWN_INCH, *["G4 P0.15"] * 10), STAYS, SCORCHES),
    Harm("dwells: two in a row, pocket", 6, ARCS_DOTS, after("^G3 X.* Z-0.3 ", "G4 P0.19", "G4 P0.19"), STAYS,
         SCORCHES),
    Harm("dwells: ten in a row, automatic", 6, AUTO_FACE, after(CROWN, *["G4 P150"] * 10), STAYS, SCORCHES),
    Harm("dwells: ten in a row, saw", 6, SAW_SLOTS, after("^G1 Y-2.457", *["G4 P0.15"] * 10),
         "the blade stands in its kerf and burns it", SCORCHES),
    Harm("dwells: parted by a hair", 6, ARCS_SLOTS, after(CROWN, *["G4 P0.15", "G1 Y0.289", "G4 P0.15",
         "G1 Y0.29"] * 5), STAYS, SCORCHES),
    Harm("dwells: parted by a hair, chords", 6, CHORDS_EDGE, after("^G1 X64.381 (?!.*F)", *["G4 P0.15", "G1 X64.382",
         "G4 P0.15", "G1 X64.381"] * 5), STAYS, SCORCHES),
    Harm("dwells: parted by a rise of a hair", 6, SAW_EDGE, after("^G3 X.* Z-0.063 ", *["G4 P0.15", "G1 Z-0.062",
         "G4 P0.15", "G1 Z-0.063"] * 5), STAYS, SCORCHES),
    Harm("dwells: in the hole, by moves", 6, AUTO_MOVES_EDGE, after(r"^G1 Z-3\.6008", *["G4 P150"] * 10), STAYS,
         SCORCHES),
    Harm("dwells: in the hole, G82 again and again", 6, CYCLES_EDGE, after("^G99 G83",
         *["G99 G82 X64.3754 Y2.5063 Z-3.8 R0.5 P0.19"] * 10), STAYS, SCORCHES),
    Harm("dwells: in the hole, G82 again and again, automatic", 6, AUTO_EDGE, after("^G99 G83",
         *["G99 G82 X64.3754 Y2.5063 Z-3.6008 R0.5 P190"] * 10), STAYS, SCORCHES),
    Harm("chain: a thousandth to and fro", 6, ARCS_SLOTS, after(CROWN, *JITTER * 1500), STAYS, SCORCHES),
    Harm("chain: a thousandth to and fro, pause machine", 6, ARCS_STOP_FACE, after(CROWN, *JITTER * 1500),
         STAYS, SCORCHES),
    Harm("chain: a ten thousandth of an inch", 6, INCH_STOP_FACE, after(CROWN_INCH, *("G1 Y0.0114",
         "G1 Y0.0115") * 1200), STAYS, SCORCHES),
    Harm("chain: a circle of a hair at the floor", 6, ARCS_DOTS, after("^G3 X.* Z-1.5 ",
         *("G3 X14.95 Y0.0 I-0.01 J0.0", "G3 X14.97 Y0.0 I0.01 J0.0") * 1500), STAYS, SCORCHES),
    Harm("chain: down and up by a thousandth", 6, CHORDS_SLOTS, after(CROWN_CHORDS, *("G1 Z-0.03",
         "G1 Z-0.031") * 1500), STAYS, SCORCHES),
    Harm("chain: the saw in its kerf", 6, SAW_SLOTS, after("^G1 Y-2.457", *("G1 Y-2.456 F300.0", "G1 Y-2.455") * 1,
         *["G4 P0.19"] * 8, "G1 Y-2.454 F1200.0"), "the blade stands in its kerf and burns it", SCORCHES),
    Harm("a dwell where the slots cross the crown", 6, SAW_DOTS, after("^G3 X.* Z-0.3 ", "G4 P0.21"), STAYS, SCORCHES),
    Harm("a millimetre to and fro, again and again", 6, CHORDS_SLOTS, after(CROWN_CHORDS, *("G1 Y-0.25",
         "G1 Y0.25") * 200), "for a minute the mill rubs along half a millimetre", SCORCHES),
    Harm("the same slot forty times", 6, INCH_SLOTS, together(*[repeat_feature("fret 2")] * 39),
         "the mill rubs along both walls of a slot that is cut already", SCORCHES),
    Harm("pecks in the whole hole, again and again", 6, AUTO_MOVES_EDGE, after(r"^G1 Z-3\.6008", *("G0 Z-2.0",
         "G1 Z-3.6008") * 40), "the drill rubs in its own hole for half a minute", SCORCHES),
    Harm("the same turn forty times", 6, INCH_DOTS, after(r"^G3 X0\.5859 Y0\.0 Z-0\.0275",
         *("G3 X0.5025 Y0.0482 I-0.0556 J0.0", "G3 X0.5025 Y-0.0482 I0.0278 J-0.0482",
         "G3 X0.5859 Y0.0 I0.0278 J0.0482", "G4 P0.15") * 40),
         "forty turns at one depth with a dwell in each: the same wood is rubbed for half a minute", SCORCHES),
)  # fmt: skip

WAIT = r"^(G4 P)\d+(\.\d+)?"
UNIT = (
    Harm("P with a point", 9, AUTO_FACE, change(WAIT, r"\g<1>6000."), "an alarm, or six thousand seconds", (1,)),
    Harm("P with two decimals", 9, AUTO_EDGE, change(WAIT, r"\g<1>6000.00"), "an alarm, or six thousand seconds",
         (1,)),
    Harm("P with half a millisecond", 9, AUTO_FACE, change(WAIT, r"\g<1>6000.5"), "an alarm, or six thousand seconds",
         (1,)),
    Harm("P with a point, second section", 9, AUTO_INCH_FACE, change(WAIT, r"\g<1>6000.", nth=2),
         "an alarm, or six thousand seconds", (1,)),
    Harm("P with a point, file machine", 9, ARCS_MS_SLOTS, change(WAIT, r"\g<1>4000."),
         "an alarm, or four thousand seconds", (1,)),
    Harm("P with a point, pause machine", 9, CYCLES_MS_FACE, change(WAIT, r"\g<1>5000.", nth=2),
         "an alarm, or five thousand seconds", (1,)),
    Harm("P with a point, cycle", 9, AUTO_EDGE, change(PECKED, r"G99 G82 \1 P18.\2"),
         "the drill stays for eighteen seconds", (1,)),
    Harm("P with a point, cycle, pause machine", 9, CYCLES_MS_EDGE, change(PECKED, r"G99 G82 \1 P18.00\2"),
         "the drill stays for eighteen seconds", (1,)),
    Harm("P with a point, dwell in the hole", 9, AUTO_MOVES_EDGE, change(r"^G4 P19(\.0)?$", "G4 P19."),
         "the drill stays for eighteen seconds", (1,)),
    Harm("seconds where milliseconds are meant", 9, AUTO_FACE, change(WAIT, r"\g<1>6"),
         "the spindle is waited for six milliseconds and cuts while it runs up", (1, 3)),
    Harm("seconds where milliseconds are meant, file machine", 9, ARCS_MS_SLOTS, change(WAIT, r"\g<1>4"),
         "the spindle cuts while it runs up", (1, 3)),
    Harm("seconds where milliseconds are meant, pause machine", 9, CYCLES_MS_FACE, change(WAIT, r"\g<1>5", nth=2),
         "the spindle cuts while it runs up", (1, 3)),
    Harm("milliseconds where seconds are meant, cycle", 9, CYCLES_FACE, change_every(r"P0\.012", "P12.0"),
         "the mill stays twelve seconds in the wood", SCORCHES),
    Harm("milliseconds where seconds are meant, calibration", 9, CALIBRATION, change_every(r"P0\.006", "P6.0"),
         "the mill stays six seconds in the wood", SCORCHES),
    Harm("a cycle's dwell in the wrong unit", 9, CYCLES_MS_EDGE, change(PECKED, r"G99 G82 \1 P18000\2"),
         "the drill stays eighteen seconds", (1, 3)),
    Harm("a cycle's dwell in the wrong unit, automatic", 9, HERON_EDGE, change(PECKED, r"G99 G82 \1 P18000\2"),
         "the drill stays eighteen seconds", (1, 3)),
    Harm("no wait", 9, CHORDS_DOTS, drop("^G4 P"), "the spindle cuts while it runs up", SCORCHES),
    Harm("no wait, second section", 9, AUTO_FACE, drop("^G4 P", nth=2), "the spindle cuts while it runs up", SCORCHES),
    Harm("half the wait", 9, SAW_DOTS, change(WAIT, r"\g<1>2.5"), "the spindle cuts while it runs up", SCORCHES),
    Harm("the wait before the start", 9, SAW_EDGE, together(drop("^G4 P"), before("^S24000 M3", "G4 P5.0")),
         "it waits first and starts then: the spindle cuts while it runs up", SCORCHES),
    Harm("the wait by X", 9, ARCS_EDGE, change(WAIT, "G4 X4.0"),
         "some controllers take X for the dwell, others move there", (1,)),
    Harm("the wait without a number", 9, ARCS_DOTS, line_for("^G4 P", "G4"), "no wait, or an alarm", (1,)),
    Harm("a negative wait", 9, CYCLES_EDGE, change(WAIT, r"\g<1>-5.0"), "no wait, or an alarm", (1,)),
    Harm("an hour's wait", 9, INCH_EDGE, after("^M0", "G4 P3600.0"),
         "the spindle turns for an hour, and somebody walks away or reaches in", (1, 3)),
)  # fmt: skip

HARMS = FEEDS + DWELLS + UNIT
