"""Harm of kind 2: machine coordinates and offsets.

Where the machine's own zero lies no profile says: a move in machine coordinates goes anywhere.  An
offset that a program sets stays in the controller, for this program and for the next.
"""

from edits import after, append, before, before_next, change, line_for, together
from harms_places import ARCS_UP, AUTO_UP, CHORDS_UP, CYCLES_UP, INCH_UP, SAW_UP, STARTED
from kinds import Harm
from shops import (
    ARCS_DOTS,
    ARCS_EDGE,
    ARCS_POINTS,
    ARCS_SLOTS,
    ARCS_STOP_FACE,
    AT_DOTS,
    AUTO_EDGE,
    AUTO_FACE,
    BARE_DOTS,
    BARE_SLOTS,
    CALIBRATION,
    CARRIED_EDGE,
    CHORDS_EDGE,
    CHORDS_SLOTS,
    COUPON,
    CYCLES_EDGE,
    CYCLES_FACE,
    GULL_DOTS,
    INCH_DOTS,
    INCH_EDGE,
    INCH_SLOTS,
    INCH_STOP_FACE,
    SAW_DOTS,
    SAW_HAND_SLOTS,
    SAW_POINTS,
    SAW_SLOTS,
    SHORT_TRAVEL_SLOTS,
    WREN_SLOTS,
)

MACHINE = "machine coordinates: no profile says where machine zero lies, it may be below the bed"
HOME = "the way home leads through the clamps or the board, and nobody said where home is"
OFFSET = "zero is moved by a program: what follows is cut elsewhere, and the offset stays for the next program"
CLEARED = "an offset that the operator set may be what zero stands on: taking it away moves every cut"
WORD = (1,)
SET = (1, 2)

MACHINE_MOVES = (
    Harm("G53: down over the board", 2, ARCS_SLOTS, after(ARCS_UP, "G53 G0 Z-20.0", "G0 Z8.0", nth=2), MACHINE, WORD),
    Harm("G53: down over the board, inches", 2, INCH_DOTS, after(INCH_UP, "G53 G0 Z-1.0", "G0 Z0.3", nth=2), MACHINE,
         WORD),
    Harm("G53: sideways", 2, AUTO_FACE, after(AUTO_UP, "G53 G0 X0.0 Y0.0", nth=2), MACHINE, WORD),
    Harm("G53: up before the change", 2, AUTO_FACE, before("^T1 M6", "G53 G0 Z0.0"),
         "the habit of rising in machine coordinates before a change: on a machine with zero at the bed it goes down",
         WORD),
    Harm("G53: by feed", 2, CYCLES_EDGE, before("^M5", "G53 G1 Z-1.0 F100.0", "G0 Z10.0"), MACHINE, WORD),
    Harm("G53: at the start", 2, CHORDS_EDGE, before(CHORDS_UP, "G53 G0 Z0.0"), MACHINE, WORD),
    Harm("G53: at the end", 2, BARE_DOTS, after("^M5", "G53 G0 Z0.0"), MACHINE, WORD),
    Harm("G53: after a pause", 2, INCH_STOP_FACE, before_next("^M0", INCH_UP, "G53 G0 Z-2.0", nth=3), MACHINE, WORD),
    Harm("G53: the saw", 2, SAW_SLOTS, after(SAW_UP, "G53 G0 Z-60.0", "G0 Z10.0", nth=3), MACHINE, WORD),
    Harm("G28: at the end", 2, ARCS_DOTS, after("^M5", "G28"), HOME, WORD),
    Harm("G28: at the end, automatic", 2, AUTO_EDGE, after("^M5", "G28 Z15.0"), HOME, WORD),
    Harm("G28: through a place below the top", 2, CYCLES_FACE, before("^M5", "G28 Z-3.0", "G0 Z10.0", nth=2),
         "it goes through Z-3 on its way, with the cutter over the board", WORD),
    Harm("G28: the habit with G91", 2, AUTO_FACE, before("^T1 M6", "G91 G28 Z0.0", "G90"), HOME, (1, 2)),
    Harm("G28: at the start", 2, INCH_EDGE, before(INCH_UP, "G28"), HOME, WORD),
    Harm("G28: before the pause", 2, ARCS_STOP_FACE, before("^M0", "G28 X0.0 Y0.0"), HOME, WORD),
    Harm("G28.1: home is set anew", 2, CHORDS_SLOTS, before(CHORDS_UP, "G28.1"),
         "home is moved to where the tip stands", WORD),
    Harm("G30: at the end", 2, SAW_DOTS, after("^M5", "G30 Z0.0"), HOME, WORD),
    Harm("G30: between two holes", 2, COUPON, after(CYCLES_UP, "G30", "G0 Z10.0", nth=2), HOME, WORD),
    Harm("G30: pointing", 2, ARCS_POINTS, before("^M5", "G30", nth=-1), HOME, WORD),
    Harm("G30.1: a place is set anew", 2, WREN_SLOTS, before(ARCS_UP, "G30.1"), "the change position is moved", WORD),
    Harm("G38.2: a probe", 2, CYCLES_EDGE, after("^G0 X", "G38.2 Z-2.0 F50.0", "G0 Z10.0", nth=2),
         "a turning drill is probed into the edge, and no probe is wired", WORD),
)  # fmt: skip

OFFSETS = (
    Harm("G92: Z at the start", 2, ARCS_SLOTS, before(ARCS_UP, "G92 Z5.0"), OFFSET, WORD),
    Harm("G92: Z at the start, inches", 2, GULL_DOTS, before(INCH_UP, "G92 Z0.1"), OFFSET, WORD),
    Harm("G92: all at zero", 2, CHORDS_SLOTS, after("^G0 X", "G92 X0.0 Y0.0", nth=2), OFFSET, WORD),
    Harm("G92: between two features", 2, SAW_SLOTS, after(SAW_UP, "G92 X25.0", nth=3), OFFSET, WORD),
    Harm("G92: after the pause", 2, CYCLES_FACE, after("^M0", "G92 Z0.0"),
         "the habit of zeroing by program after a change: the tip is not on the wood", WORD),
    Harm("G92: after the start by hand", 2, SAW_HAND_SLOTS, after("^M0", "G92 Z10.0"), OFFSET, WORD),
    Harm("G92: pointing", 2, SAW_POINTS, before(SAW_UP, "G92 Z0.0"), OFFSET, WORD),
    Harm("G92.1: in the head", 2, AUTO_FACE, before("^G40|^G80", "G92.1"), CLEARED, WORD),
    Harm("G92.1: in the head, no comments", 2, BARE_SLOTS, before(ARCS_UP, "G92.1"), CLEARED, WORD),
    Harm("G92.2: between two cuts", 2, CYCLES_FACE, after(CYCLES_UP, "G92.2", nth=2), CLEARED, WORD),
    Harm("G92.2: at the end", 2, INCH_DOTS, before("^M2", "G92.2"), CLEARED, WORD),
    Harm("G92.3: an old offset comes back", 2, ARCS_DOTS, before(ARCS_UP, "G92.3"), OFFSET, WORD),
    Harm("G10 L2: the work offset is written", 2, AUTO_EDGE, before(AUTO_UP, "G10 L2 P1 X0.0 Y0.0 Z0.0"), OFFSET,
         WORD),
    Harm("G10 L20: zero where the tip stands", 2, ARCS_EDGE, before(ARCS_UP, "G10 L20 P1 Z0.0"), OFFSET, WORD),
    Harm("G10 L20: after the change", 2, ARCS_STOP_FACE, after("^M0", "G10 L20 P1 Z0.0"), OFFSET, WORD),
    Harm("G10 L2: turned", 2, AT_DOTS, before(CHORDS_UP, "G10 L2 P1 R2.0"),
         "the work is turned by the controller once more", WORD),
    Harm("G10 L1: a length is written", 2, AUTO_FACE, before("^T3 M6", "G10 L1 P3 Z-2.0"),
         "the cutter's length is overwritten", WORD),
    Harm("G52: a local zero", 2, CARRIED_EDGE, before(CHORDS_UP, "G52 X5.0"), OFFSET, WORD),
    Harm("G52: between two cuts", 2, SHORT_TRAVEL_SLOTS, after(CHORDS_UP, "G52 Z-1.0", nth=2), OFFSET, WORD),
    Harm("G55 in the head", 2, INCH_SLOTS, change("G94 G54", "G94 G55"),
         "zero was set in G54: G55 is where the last fixture stood", SET),
    Harm("G55 between two cuts", 2, AUTO_FACE, after(AUTO_UP, "G55", nth=2),
         "the second dot is cut about another zero", SET),
    Harm("G55 after a pause", 2, CYCLES_FACE, after("^M0", "G55"), "the slots are cut about another zero", SET),
    Harm("G59 for the last hole", 2, COUPON, after(CYCLES_UP, "G59", nth=3), "the rest is cut about another zero",
         SET),
    Harm("G59.3 in the head", 2, SAW_DOTS, change("G94 G54", "G94 G59.3"), "zero was set in G54", SET),
    Harm("G54.1: an extended offset", 2, CALIBRATION, before(ARCS_UP, "G54.1 P3"), "zero was set in G54", SET),
    Harm("no G54", 2, CHORDS_SLOTS, change("G94 G54", "G94"),
         "what offset is in force is left to the last program", SET),
    Harm("no G54, no comments", 2, BARE_SLOTS, change("G94 G54", "G94"),
         "what offset is in force is left to the last program", SET),
    Harm("G92 after the end", 2, ARCS_DOTS, append("G92 Z1.0"),
         "some controllers go on after M2: the offset stays for the next program", WORD),
    Harm("G68: turned by the controller", 2, AUTO_FACE, before(AUTO_UP, "G68 X0.0 Y0.0 R1.0"),
         "all cuts are turned by a degree", WORD),
    Harm("G51: scaled", 2, CYCLES_EDGE, before(CYCLES_UP, "G51 X0.0 Y0.0 P1.01"), "all places grow by a hundredth",
         WORD),
    Harm("G16: polar", 2, AUTO_EDGE, before(AUTO_UP, "G16"), "X and Y are taken for a radius and an angle", WORD),
    Harm("G54 comes too late", 2, ARCS_EDGE, together(change("G94 G54", "G94"), after(STARTED, "G54")),
         "the first rise was made about another zero", SET),
    Harm("G55 with a rise", 2, SAW_DOTS, line_for(SAW_UP, "G0 Z10.0", "G55", nth=2),
         "the rest is cut about another zero", SET),
    Harm("a zero set by a parameter", 2, WREN_SLOTS, before(ARCS_UP, "#5221=10.0"),
         "the work offset is overwritten by a parameter", WORD),
)  # fmt: skip

HARMS = MACHINE_MOVES + OFFSETS
