"""Harm of kinds 1 and 4: places and heights that nobody knows, and the floor of the world.

The short board is 90 mm long, 42 to 44.5 mm wide and 6 mm thick: on its face the bed lies at Z-6, on its
edge at Z-44.5.  Where the tip stands when the start button is pressed, nobody knows.
"""

from edits import after, before, before_next, change, drop, drop_within, line_for, together
from kinds import Harm
from shops import (
    ARCS_DOTS,
    ARCS_EDGE,
    ARCS_POINTS,
    ARCS_SLOTS,
    ARCS_STOP_FACE,
    AT_SLOTS,
    AUTO_EDGE,
    AUTO_FACE,
    AUTO_MOVES_EDGE,
    AUTO_POINTS,
    BARE_HAND_SLOTS,
    BARE_SLOTS,
    CALIBRATION,
    CARRIED_DOTS,
    CARRIER,
    CHORDS_DOTS,
    CHORDS_EDGE,
    CHORDS_SLOTS,
    COUPON,
    CYCLES_EDGE,
    CYCLES_FACE,
    CYCLES_POINTS,
    HELD_SLOTS,
    INCH_DOTS,
    INCH_EDGE,
    INCH_POINTS,
    INCH_SLOTS,
    INCH_STOP_FACE,
    LANTERN_SLOTS,
    SAW_DOTS,
    SAW_EDGE,
    SAW_HAND_SLOTS,
    SAW_POINTS,
    SAW_SLOTS,
    SHORT_TRAVEL_SLOTS,
    SKIFF_SAWN,
    WREN_SLOTS,
)


def up(height: str) -> str:
    """The rise to a height, alone or with the cutter's length."""
    return rf"^G0 (G43 H\d+ )?Z{height}$"


ARCS_UP, INCH_UP, CHORDS_UP = up(r"8\.0"), up(r"0\.3"), up(r"6\.0")
AUTO_UP, CYCLES_UP, SAW_UP = up(r"15\.0"), up(r"10\.0"), up(r"10\.0")
STARTED = "^G4 P"
FIRST_MOVE = "the tip may stand anywhere when the program starts, over the board or a clamp, and goes down at once"
NO_PLACE = "no X and Y were given yet: it goes down wherever the operator left the tip"
AFTER_STOP = "at the stop the operator jogged and zeroed: the tip is not where the program left it"
PLUNGED = "at the stop the operator jogged: the new cutter goes down there, not in the pocket where the old one stood"
DOWN = (1, 4, 5)
UNKNOWN = (1, 4, 5, 6)

AT_THE_START = (
    Harm("start: rapid down, arcs", 1, ARCS_DOTS, before(ARCS_UP, "G0 Z-20.0"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, inches", 1, INCH_SLOTS, before(INCH_UP, "G0 Z-0.8"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, chords", 1, CHORDS_EDGE, before(CHORDS_UP, "G0 Z-20.0"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, automatic", 1, AUTO_EDGE, before(AUTO_UP, "G0 Z-20.0"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, cycles", 1, CYCLES_FACE, before(CYCLES_UP, "G0 Z-20.0"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, saw", 1, SAW_SLOTS, before(SAW_UP, "G0 Z-20.0"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, no comments", 1, BARE_SLOTS, before(ARCS_UP, "G0 Z-5.0"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, coupon", 1, COUPON, before(CYCLES_UP, "G0 Z-5.5"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, calibration", 1, CALIBRATION, before(ARCS_UP, "G0 Z-5.5"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, second position", 1, SHORT_TRAVEL_SLOTS, before(CHORDS_UP, "G0 Z-5.0"), FIRST_MOVE, DOWN),
    Harm("start: rapid down, pointing", 1, ARCS_POINTS, before(ARCS_UP, "G0 Z-5.0"), FIRST_MOVE, UNKNOWN),
    Harm("start: feed down, turned board", 1, AT_SLOTS, before(ARCS_UP, "G1 Z-3.0 F57.0"), FIRST_MOVE, UNKNOWN),
    Harm("start: half a millimetre, arcs", 1, ARCS_EDGE, change(ARCS_UP, "G0 Z0.5"),
         "the first move goes to 0.5 mm: from above it comes down, and what lies above the wood is met sideways",
         DOWN),
    Harm("start: half a millimetre, automatic", 1, AUTO_FACE, change(r"Z15\.0$", "Z0.5"),
         "the first move goes to 0.5 mm: from above it comes down, onto a clamp if one is there", DOWN),
    Harm("start: half a millimetre, saw", 1, SKIFF_SAWN, change(SAW_UP, "G0 Z0.5"),
         "a blade of 63 mm is moved along the board at 0.5 mm, through whatever holds it", DOWN),
    Harm("start: a sign slipped", 1, LANTERN_SLOTS, change(CYCLES_UP, "G0 Z-10.0"),
         "minus clearance: the first rapid drives into the board", DOWN),
    Harm("start: sideways before the rise", 1, CHORDS_SLOTS, before(CHORDS_UP, "G0 X0.0 Y0.0"),
         "the tip may stand below the tops of the clamps when the program starts", DOWN),
    Harm("start: sideways with the rise", 1, INCH_DOTS, change(INCH_UP, "G0 X0.491 Y-0.0394 Z0.3"),
         "the rise goes slantwise, through what stands beside the tip", DOWN),
    Harm("start: no rise", 1, CYCLES_EDGE, drop(CYCLES_UP), "it traverses at whatever height the tip was left", DOWN),
    Harm("start: no rise, saw", 1, SAW_SLOTS, drop(SAW_UP), "a blade is traversed at whatever height it was left",
         DOWN),
    Harm("start: no rise, pointing", 1, CYCLES_POINTS, drop(CYCLES_UP), "it traverses at whatever height it was left",
         UNKNOWN),
    Harm("start: spindle before the rise", 1, SAW_EDGE, together(drop(SAW_UP), after(STARTED, "G0 Z10.0")),
         "the cutter is started where it stands, in the wood or on a clamp, before it rises", (1, 3, 4, 5)),
    Harm("start: an arc from nowhere", 1, ARCS_DOTS, before(ARCS_UP, "G2 X10.0 Y0.0 I5.0 J0.0 F200.0"),
         "an arc needs a start, and nobody knows it", (1, 2, 4)),
    Harm("start: G83 from nowhere", 1, CYCLES_EDGE, after(STARTED, "G99 G83 X64.3754 Z-3.8 R0.5 Q1.0 F127.3", "G80",
         "G0 Z10.0"), "the hole has no Y: it is drilled where the tip stands", UNKNOWN),
)  # fmt: skip

NO_PLACE_YET = (
    Harm("unplaced: plunge, chords", 1, CHORDS_DOTS, after(STARTED, "G1 Z-1.5 F280.0", "G0 Z6.0"), NO_PLACE, UNKNOWN),
    Harm("unplaced: plunge, cycles", 1, CYCLES_EDGE, after(STARTED, "G1 Z-3.0 F120.0", "G0 Z10.0"), NO_PLACE, UNKNOWN),
    Harm("unplaced: plunge, automatic", 1, AUTO_FACE, after(STARTED, "G1 Z-1.5 F280.0", "G0 Z15.0"), NO_PLACE,
         UNKNOWN),
    Harm("unplaced: plunge, arcs", 1, ARCS_SLOTS, after(STARTED, "G1 Z-1.0 F57.0", "G0 Z8.0"), NO_PLACE, UNKNOWN),
    Harm("unplaced: plunge, no comments", 1, BARE_SLOTS, after(STARTED, "G1 Z-1.0 F57.0", "G0 Z8.0"), NO_PLACE,
         UNKNOWN),
    Harm("unplaced: rapid to 0.2 mm in the clamps", 1, HELD_SLOTS, after(STARTED, "G0 Z0.2", "G0 Z8.0"),
         "the clamp at the nut is 5 mm high, and the tip may stand over it", (1, 5)),
    Harm("unplaced: rapid to 0.2 mm, saw", 1, SAW_SLOTS, after(STARTED, "G0 Z0.2", "G0 Z10.0"), NO_PLACE, (1, 5)),
    Harm("unplaced: only X is known", 1, CHORDS_SLOTS, after(STARTED, "G0 X26.98", "G0 Z0.5", "G1 Z-1.0 F60.0",
         "G0 Z6.0"), "Y was never given: the plunge may meet a clamp or the fence", UNKNOWN),
    Harm("unplaced: only Y is known", 1, INCH_EDGE, before("^G0 X", "G0 Y0.0987", "G0 Z-0.02", "G0 Z0.3"),
         "X was never given: the rapid may go down into the edge", UNKNOWN),
    Harm("unplaced: the first place is lost", 1, ARCS_EDGE, together(drop("^G0 X"), drop("^G0 X")),
         "the first hole is bored where the operator left the tip", (1, 2, 4, 5, 6)),
    Harm("unplaced: carrier", 1, CARRIED_DOTS, after(STARTED, "G1 Z-2.0 F280.0", "G0 Z6.0"), NO_PLACE, UNKNOWN),
    Harm("unplaced: drill by moves", 1, AUTO_MOVES_EDGE, after(STARTED, "G1 Z-3.0 F127.0", "G0 Z15.0"), NO_PLACE,
         UNKNOWN),
)  # fmt: skip

AFTER_A_STOP = (
    Harm("stop: no rise after the change", 1, ARCS_STOP_FACE, drop_within(ARCS_UP, "^M0", "^G0 X"), AFTER_STOP, DOWN),
    Harm("stop: no rise after the change, cycles", 1, CYCLES_FACE, drop_within(CYCLES_UP, "^M0", "^G0 X"), AFTER_STOP,
         DOWN),
    Harm("stop: no rise after the change, by hand", 1, INCH_STOP_FACE, drop_within(INCH_UP, "^M0", "^G0 X", nth=3),
         AFTER_STOP, DOWN),
    Harm("stop: rapid down after the change", 1, CYCLES_FACE, before_next("^M0", CYCLES_UP, "G0 Z-3.0"), AFTER_STOP,
         DOWN),
    Harm("stop: feed down after the change", 1, ARCS_STOP_FACE, before_next("^M0", ARCS_UP, "G1 Z-1.0 F57.0"),
         AFTER_STOP, UNKNOWN),
    Harm("stop: plunge in place after the change, cycles", 1, CYCLES_FACE, after(STARTED, "G1 Z-1.0 F57.0", "G0 Z10.0",
         nth=2), PLUNGED, UNKNOWN),
    Harm("stop: plunge in place after the change, arcs", 1, ARCS_STOP_FACE, after(STARTED, "G1 Z-1.0 F57.0", "G0 Z8.0",
         nth=2), PLUNGED, UNKNOWN),
    Harm("stop: plunge in place after the change, by hand", 1, INCH_STOP_FACE, before(r"^\(fret 1", "G1 Z-0.03 F2.0",
         "G0 Z0.3"), PLUNGED, UNKNOWN),
    Harm("stop: drill in place after the change, coupon", 1, COUPON, after(STARTED, "G0 Z-0.5", "G0 Z10.0", nth=2),
         PLUNGED, UNKNOWN),
    Harm("stop: along one axis only after the change", 1, ARCS_STOP_FACE, after(STARTED, "G0 X64.369",
         "G1 Z-1.0 F57.0", "G0 Z8.0", nth=2), PLUNGED, UNKNOWN),
    Harm("stop: feed down after the start by hand", 1, INCH_SLOTS, after("^M0", "G1 Z-0.05 F2.0", "G0 Z0.3"),
         AFTER_STOP, UNKNOWN),
    Harm("stop: feed down after the start by hand, no comments", 1, BARE_HAND_SLOTS, after("^M0", "G1 Z-1.0 F57.0",
         "G0 Z8.0"), AFTER_STOP, UNKNOWN),
    Harm("stop: rapid down after the start by hand, saw", 1, SAW_HAND_SLOTS, after("^M0", "G0 Z-0.5", "G0 Z10.0"),
         AFTER_STOP, DOWN),
    Harm("stop: a pause in the middle, on in place", 1, ARCS_SLOTS, after(r"^\(fret 2", "M5", "M0", "S24000 M3",
         "G4 P4.0", "G0 Z0.5", "G0 Z8.0"), AFTER_STOP, DOWN),
    Harm("stop: shown, then no rise", 1, INCH_POINTS, drop_within(INCH_UP, "^M0", "^G0 X", nth=2), AFTER_STOP,
         UNKNOWN),
    Harm("stop: shown, then deeper in place", 1, SAW_POINTS, after("^M0", "G1 Z-1.0 F200.0"),
         "the operator looks closely, and the tip goes into the wood", UNKNOWN),
    Harm("stop: M6 loses the height", 1, AUTO_FACE, drop_within(AUTO_UP, "M6", "^G0 X", nth=2),
         "after the change the tip is longer or shorter: the traverse goes at a height that nobody knows", DOWN),
)  # fmt: skip

BED = "the cutter is driven into the bed beside the board"
UNDER = (4, 5, 6)

FLOOR = (
    Harm("floor: rapid into the bed, arcs", 4, ARCS_DOTS, before("^M5", "G0 X200.0 Y90.0", "G0 Z-40.0", "G0 Z8.0"),
         BED, UNDER),
    Harm("floor: rapid into the bed, inches", 4, INCH_SLOTS, after(INCH_UP, "G0 X8.0 Y3.0", "G0 Z-0.5", "G0 Z0.3",
         nth=2), BED, UNDER),
    Harm("floor: rapid into the bed, chords", 4, CHORDS_SLOTS, before("^M5", "G0 X150.0 Y-80.0", "G0 Z-20.0",
         "G0 Z6.0"), BED, UNDER),
    Harm("floor: rapid into the bed, automatic", 4, AUTO_FACE, before("^M5", "G0 X400.0 Y200.0", "G0 Z-100.0",
         "G0 Z15.0"), BED, UNDER),
    Harm("floor: rapid into the bed, cycles", 4, CYCLES_FACE, before("^M5", "G0 X300.0 Y100.0", "G0 Z-30.0",
         "G0 Z10.0", nth=2), BED, UNDER),
    Harm("floor: rapid into the bed, saw", 4, SAW_SLOTS, before("^M5", "G0 X250.0 Y0.0", "G0 Z-7.0", "G0 Z10.0"),
         "the blade is driven into the bed", UNDER),
    Harm("floor: rapid into the bed, edge", 4, ARCS_EDGE, before("^M5", "G0 X150.0 Y60.0", "G0 Z-50.0", "G0 Z8.0"),
         BED, UNDER),
    Harm("floor: rapid into the bed, edge, inches", 4, INCH_EDGE, after(INCH_UP, "G0 X6.0 Y2.0", "G0 Z-1.9", "G0 Z0.3",
         nth=2), BED, UNDER),
    Harm("floor: rapid into the bed, drill", 4, CYCLES_EDGE, before("^M5", "G0 X200.0 Y100.0", "G0 Z-60.0",
         "G0 Z10.0"), BED, UNDER),
    Harm("floor: feed into the bed, arcs", 4, ARCS_SLOTS, before("^M5", "G0 X200.0 Y90.0", "G1 Z-6.5 F50.0",
         "G0 Z8.0"), BED, UNDER),
    Harm("floor: feed through the bed, saw shop", 4, SAW_DOTS, before("^M5", "G0 X200.0 Y90.0", "G1 Z-8.0 F250.0",
         "G1 X240.0 F900.0", "G0 Z10.0"), BED, UNDER),
    Harm("floor: rapid through the bed, automatic edge", 4, AUTO_EDGE, before("^M5", "G0 X300.0 Y150.0", "G0 Z-60.0",
         "G0 X350.0", "G0 Z15.0"), BED, UNDER),
    Harm("floor: a slot's end, deeper than the board is thick", 4, ARCS_SLOTS, before(r"^G1 Z0\.5", "G1 Y-26.0 F230.0",
         "G1 Z-6.4 F50.0", nth=-1), "beyond the edge the mill goes on down into the bed", (4, 5, 6, 8)),
    Harm("floor: a slot's end, inches", 4, INCH_SLOTS, before(r"^G1 Z0\.0197", "G1 Y-1.02 F11.0", "G1 Z-0.25 F2.0",
         nth=-1), "beyond the edge the mill goes on down into the bed", (4, 5, 6, 8)),
    Harm("floor: a drill lowered beside the board", 4, AUTO_EDGE, before("^M5",
         "G99 G83 X200.0 Y100.0 Z-50.0 R15.0 Q1.0 F127.3", "G80"), "the cycle drills the bed", UNDER),
    Harm("floor: beside the blank", 4, WREN_SLOTS, before("^M5", "G0 X-60.0 Y0.0", "G0 Z-9.0", "G0 Z8.0"), BED, UNDER),
    Harm("floor: beside the scrap", 4, COUPON, before("^M5", "G0 X200.0 Y100.0", "G0 Z-9.0", "G0 Z10.0", nth=-1), BED,
         UNDER),
    Harm("floor: beside the piece", 4, CALIBRATION, before("^M5", "G0 X250.0 Y150.0", "G0 Z-9.0", "G0 Z8.0"), BED,
         UNDER),
    Harm("floor: beside the board on the carrier", 4, CARRIED_DOTS, before("^M5", "G0 X50.0 Y-60.0", "G0 Z-20.0",
         "G0 Z6.0"), "the tip goes into the bed beside the carrier", UNDER),
    Harm("floor: a dowel's hole, deeper than the bed is given away", 4, CARRIER, change(r"Z-11\.0", "Z-14.0", nth=-1),
         "the bed is drilled deeper than the profile says", (4, 6)),
    Harm("floor: a dowel's hole begins beside the carrier", 4, CARRIER, before("^M5", "G0 X25.0 Y-60.0", "G0 Z-8.0",
         "G0 Z10.0", nth=-1), BED, UNDER),
    Harm("floor: pointing at the bed", 4, ARCS_POINTS, before("^M5", "G0 X200.0 Y90.0", "G0 Z-20.0", "G0 Z8.0",
         nth=-1), "the tip is broken on the bed in a run that is to be safe", (4, 5, 6)),
    Harm("floor: pointing at the bed, automatic", 4, AUTO_POINTS, before("^M5", "G0 X300.0 Y90.0", "G1 Z-20.0 F200.0",
         "G0 Z15.0", nth=-1), "the tip is broken on the bed in a run that is to be safe", (4, 5, 6)),
    Harm("floor: half a millimetre too deep", 4, CHORDS_DOTS, before("^M5", "G0 X150.0 Y0.0", "G0 Z-6.5", "G0 Z6.0"),
         BED, UNDER),
    Harm("floor: turned board", 4, AT_SLOTS, before("^M5", "G0 X200.0 Y90.0", "G0 Z-30.0", "G0 Z8.0"), BED, UNDER),
    Harm("floor: the last rise goes down", 4, LANTERN_SLOTS, line_for("^M5", "G0 X600.0 Y100.0", "G0 Z-12.0", "M5",
         "G0 Z10.0"), BED, UNDER),
)  # fmt: skip

HARMS = AT_THE_START + NO_PLACE_YET + AFTER_A_STOP + FLOOR
