"""Harm of kinds 10 and 12: what is in force after a stop, a saw's start, and hands near the cutter.

At every M0 somebody may jog, zero, and run a macro that leaves G91 or inches behind.  What the program
does not state again is then whatever was left.  Some of these edits take away what only newer programs
have: on others they change nothing, and the fresh program is the harm.
"""

from edits import after, before, before_next, change, drop, drop_from, hush, line_for, together, unsaid
from edits_of_cuts import forget, reword
from fresh import Fresh
from harms_places import ARCS_UP, AUTO_UP, CHORDS_UP, CYCLES_UP, INCH_UP, SAW_UP
from kinds import Harm
from shops import (
    ARCS_DOTS,
    ARCS_PARKED_FACE,
    ARCS_POINTS,
    ARCS_SLOTS,
    ARCS_STOP_FACE,
    AUTO_FACE,
    AUTO_POINTS,
    BARE_HAND_SLOTS,
    BARE_SLOTS,
    CHORDS_EDGE,
    CHORDS_FACE_POINTS,
    CHORDS_POINTS,
    CHORDS_SLOTS,
    COUPON,
    CYCLES_EDGE,
    CYCLES_FACE,
    CYCLES_FACE_POINTS,
    CYCLES_MS_FACE,
    DIAL_DOTS,
    DIAL_SLOTS,
    ENGRAVER_SLOTS,
    FERRY_SAWN,
    GULL_DOTS,
    INCH_DOTS,
    INCH_EDGE,
    INCH_PARKED_SLOTS,
    INCH_POINTS,
    INCH_SLOTS,
    INCH_STOP_FACE,
    LANTERN_SAWN,
    SAW_DOTS,
    SAW_HAND_SLOTS,
    SAW_POINTS,
    SAW_SLOTS,
    SAW_STOP_FACE,
    SKIFF_SAWN,
)

MOVES = "^G0 X"
LEFT = "a macro at the stop leaves another mode behind, and the program goes on in it"
WRONG = "the program goes on in another mode than its numbers were written for"
STATED = (1, 2)


def left(name: str, fresh, word: str, nth: int = 1) -> Harm:
    """After a stop a mode is not stated again."""
    return Harm(f"after a stop: no {word} again, {name}", 10, fresh, unsaid(word, "^M0", MOVES, nth), LEFT, STATED)


def wrong(name: str, fresh, word: str, nth: int = 1) -> Harm:
    """After a stop another mode is stated."""
    return Harm(f"after a stop: {word}, {name}", 10, fresh, before_next("^M0", MOVES, word, nth=nth), WRONG, STATED)


MODES = (
    left("pause", CYCLES_FACE, "G90"),
    left("pause", CYCLES_FACE, "G21"),
    left("pause", CYCLES_FACE, "G17"),
    left("pause", CYCLES_FACE, "G94"),
    left("pause", CYCLES_FACE, "G54"),
    left("pause", CYCLES_FACE, "G80"),
    left("pause, milliseconds", CYCLES_MS_FACE, "G90"),
    left("pause, arcs", ARCS_STOP_FACE, "G90"),
    left("pause, arcs", ARCS_STOP_FACE, "G21"),
    left("pause, coupon", COUPON, "G90", 2),
    left("start by hand", INCH_DOTS, "G20"),
    left("start by hand", INCH_SLOTS, "G90"),
    left("start by hand", INCH_EDGE, "G94"),
    left("start by hand", GULL_DOTS, "G54"),
    left("start by hand, saw", SAW_HAND_SLOTS, "G90"),
    left("start by hand, no comments", BARE_HAND_SLOTS, "G21"),
    left("pause by hand", INCH_STOP_FACE, "G20", 3),
    left("pause by hand, second start", INCH_STOP_FACE, "G90", 4),
    left("pointing", ARCS_POINTS, "G90", 2),
    left("pointing", INCH_POINTS, "G20", 3),
    left("pointing", CHORDS_FACE_POINTS, "G54"),
    left("pointing, automatic", AUTO_POINTS, "G90", 4),
    left("pointing, cycles", CYCLES_FACE_POINTS, "G21"),
    left("pointing, saw", SAW_POINTS, "G90", 5),
    left("pause, saw and mill", SAW_STOP_FACE, "G90"),
    wrong("pause", CYCLES_FACE, "G91"),
    wrong("pause, coupon", COUPON, "G20", 2),
    wrong("pause, arcs", ARCS_STOP_FACE, "G18"),
    wrong("pause, arcs", ARCS_STOP_FACE, "G93"),
    wrong("pause by hand", INCH_STOP_FACE, "G21", 3),
    wrong("start by hand", INCH_SLOTS, "G91"),
    wrong("start by hand", INCH_EDGE, "G19"),
    wrong("start by hand, saw", SAW_HAND_SLOTS, "G55"),
    wrong("start by hand, no comments", BARE_HAND_SLOTS, "G92 Z0.0"),
    wrong("pointing", ARCS_POINTS, "G91", 2),
    wrong("pointing", AUTO_POINTS, "G55", 2),
    wrong("pointing", SAW_POINTS, "G20", 3),
    wrong("pause, coupon", COUPON, "G91", 2),
    Harm("after a stop: no rise, start by hand", 10, GULL_DOTS, unsaid(r"G0 Z0\.3", "^M0", MOVES),
         "the operator jogged down to look: the traverse goes through the board", (1, 4, 5)),
    Harm("after a stop: no rise, start by hand, saw", 10, SAW_HAND_SLOTS, unsaid(r"G0 Z10\.0", "^M0", MOVES),
         "the operator jogged down to look: the blade goes through the board", (1, 4, 5)),
    Harm("after a stop: no rise, start by hand, no comments", 10, BARE_HAND_SLOTS, unsaid(r"G0 Z8\.0", "^M0", MOVES),
         "the operator jogged down to look: the traverse goes through the board", (1, 4, 5)),
    Harm("after a stop: modes after the rise", 10, ARCS_STOP_FACE, together(unsaid("G21|G17|G90|G94|G54", "^M0",
         MOVES), before_next("^M0", MOVES, "G21", "G17 G90 G94 G54")),
         "the rise itself is made in the mode that was left: G91 makes it too short, inches 25 times too long", (1, 2,
         4, 5)),
)  # fmt: skip

UNWARNED = "the blade starts at once: guard, direction and the speed marked on it were never looked at"
BURST = "the blade turns faster than is marked on it, and bursts"
REACH_IN = "it stops, hands come near, and the cutter turns"
ROOM = "the profile says where hands have room, and the cutter stands between the clamps"
LOW = "it stops with the cutter in or just above the wood, and hands come near"
CLAIM = r"^\(setup="
START = r"M3$"


def no_stop(name: str, fresh: Fresh) -> Harm:
    """A saw is started without a stop."""
    return Harm(f"saw: no stop before the start, {name}", 12, fresh, unsaid("M0", CLAIM, START), UNWARNED, (1, 3))


def no_words(name: str, fresh: Fresh) -> Harm:
    """A saw's stop says nothing."""
    return Harm(f"saw: a stop without words, {name}", 12, fresh, hush(CLAIM, START), UNWARNED, (1, 3))


SAWS = (
    no_stop("short board", SAW_SLOTS),
    no_stop("left-handed", SKIFF_SAWN),
    no_stop("radiused", FERRY_SAWN),
    no_stop("flat", LANTERN_SAWN),
    no_words("short board", SAW_SLOTS),
    no_words("left-handed", SKIFF_SAWN),
    Harm("saw: a stop that forgets guard and direction, by hand", 12, SAW_HAND_SLOTS, together(hush(CLAIM, "^M0"),
         before("^M0", "(set the spindle to 3000 rpm, start it, let it run up)")), UNWARNED, (1, 3)),
    Harm("saw: faster than marked", 12, SAW_SLOTS, change("S3000", "S6001"), BURST, (3,)),
    Harm("saw: at the spindle's limit", 12, LANTERN_SAWN, change("S3000", "S24000"), BURST, (3,)),
    Harm("saw: no speed", 12, SKIFF_SAWN, change("S3000 M3", "M3"), "the last program's speed: the blade bursts",
         (3,)),
    Harm("saw: the speed after the start", 12, SAW_SLOTS, line_for("^S3000 M3", "S24000 M3", "S3000"),
         "the blade bursts; no program of ours sets a speed after the start, and so the order tells", (1, 3)),
    Harm("saw: faster between two cuts", 12, FERRY_SAWN, after(SAW_UP, "S12000", nth=4), BURST, (3,)),
    Harm("saw: the mill's speed stays", 12, SAW_STOP_FACE, change("S3000 M3", "M3"), BURST, (3,)),
    Harm("saw: words tell no limit", 12, SAW_SLOTS, reword(", never faster than 6000 rpm", ""),
         "the speed that is marked on the blade is not told", (1, 3)),
    Harm("saw: words tell another limit", 12, SKIFF_SAWN, reword("never faster than 6000 rpm",
         "never faster than 60000 rpm"), BURST, (1, 3)),
    Harm("saw: words turn the teeth round", 12, LANTERN_SAWN, reword("lowest teeth run away from",
         "lowest teeth run toward"), "the blade is put on the wrong way round: it climbs and kicks", (1,)),
    Harm("saw: words feed the other way", 12, SAW_HAND_SLOTS, reword("every cut feeds away from",
         "every cut feeds toward"), "whoever stands there expects the blade to come the other way", (1,)),
    Harm("saw: words zero it on its middle", 12, FERRY_SAWN, reword("its lowest point", "its arbor"),
         "zero is half a blade too low: it saws 31 mm into the bed", (1,)),
    Harm("saw: clamps may stand where the blade turns", 12, SAW_SLOTS, reword(r"off the edge by 24\.5 mm",
         "off the edge by 2.5 mm"), "a clamp is put in the way of the blade", (1,)),
    Harm("saw: sawn back through the slot", 12, SKIFF_SAWN, before(r"^G1 Z0\.5", "G1 Y-33.904"),
         "on the way back the teeth climb, and pull the board along", (5, 6, 8)),
)  # fmt: skip

HANDS = (
    Harm("hands: stop with the spindle turning", 12, ARCS_SLOTS, after(ARCS_UP, "(look at the slot)", "M0", nth=3),
         REACH_IN, (1, 3, 9)),
    Harm("hands: stop with the spindle turning, automatic", 12, AUTO_FACE, after(AUTO_UP, "M0", nth=3), REACH_IN, (1,
         3, 9)),
    Harm("hands: stop with the spindle turning, chords", 12, CHORDS_EDGE, before("^M5", "(measure the hole)", "M0"),
         REACH_IN, (1, 3, 9)),
    Harm("hands: stop with the blade turning", 12, SAW_SLOTS, after(SAW_UP, "(feel the kerf)", "M0", nth=4), REACH_IN,
         (1, 3, 9)),
    Harm("hands: pause for a cutter, spindle turning", 12, CYCLES_FACE, drop("^M5"), REACH_IN, (1, 3, 9)),
    Harm("hands: pause for a cutter, spindle turning, arcs", 12, ARCS_STOP_FACE, drop("^M5"), REACH_IN, (1, 3, 9)),
    Harm("hands: pause for a cutter, blade turning", 12, SAW_STOP_FACE, drop("^M5"), REACH_IN, (1, 3, 9)),
    Harm("hands: pause for a cutter, not switched off", 12, INCH_STOP_FACE, together(forget("switch the spindle off"),
         drop("^M0", nth=2)), REACH_IN, (1, 3, 9)),
    Harm("hands: pause before the spindle stops", 12, CYCLES_FACE, together(drop("^M5"), after("^M0", "M5")), REACH_IN,
         (1, 3, 9)),
    Harm("hands: pause with the cutter low", 12, CYCLES_FACE, drop(CYCLES_UP, nth=4), LOW, (1, 4, 5, 9)),
    Harm("hands: pause with the cutter low, arcs", 12, ARCS_STOP_FACE, drop(ARCS_UP, nth=4), LOW, (1, 4, 5, 9)),
    Harm("hands: pause with the cutter low, by hand", 12, INCH_STOP_FACE, drop(INCH_UP, nth=4), LOW, (1, 4, 5, 9)),
    Harm("hands: stop in the wood", 12, CHORDS_SLOTS, after("^G1 Z-", "M5", "M0", "S30000 M3", "G4 P3.0"), LOW,
         (1, 3, 5, 9)),
    Harm("hands: stop in the hole", 12, CYCLES_EDGE, line_for("^G80", "G80", "M5", "(clear the chips)", "M0",
         "S6300 M3", "G4 P5.0"), LOW, (1, 3, 5, 9)),
    Harm("hands: stop over the next cut", 12, INCH_SLOTS, after(r"^G0 Z0\.0197", "(look)", "M0", nth=2), LOW, (1, 3, 4,
         5)),
    Harm("hands: a pause that is not where they have room", 12, ARCS_PARKED_FACE, drop("^G0 X-20.0 Y60"), ROOM,
         (9,)),
    Harm("hands: a pause beside where they have room", 12, ARCS_PARKED_FACE, change(r"^G0 X-20\.0 Y60\.0",
         "G0 X-20.0 Y30.0"), ROOM, (9,)),
    Harm("hands: a start by hand that is not where they have room", 12, INCH_PARKED_SLOTS, drop("^G0 X-1.0 Y3.0"),
         ROOM, (9,)),
    Harm("hands: an end that is not where they have room", 12, INCH_PARKED_SLOTS, drop("^G0 X-1.0 Y3.0",
         nth=-1), ROOM, (9,)),
    Harm("hands: the end with the spindle turning", 12, ARCS_DOTS, drop("^M5"), REACH_IN, (9,)),
    Harm("hands: the end with the blade turning", 12, SKIFF_SAWN, drop("^M5"), REACH_IN, (9,)),
    Harm("hands: the end with the cutter low", 12, BARE_SLOTS, drop(ARCS_UP, nth=-1), LOW, (9,)),
    Harm("hands: the end with the blade low", 12, SAW_SLOTS, drop(SAW_UP, nth=-1), LOW, (9,)),
    Harm("hands: the end without switching off", 12, INCH_EDGE, drop_from("switch the spindle off", "^M2"), REACH_IN,
         (1, 9)),
    Harm("hands: the spindle started again at the end", 12, SAW_DOTS, after("^M5", "M3"), REACH_IN, (1, 3, 9)),
    Harm("hands: a dial that nobody is asked to set", 12, DIAL_SLOTS, drop("^M0"),
         "the spindle starts at whatever speed was left, beside a hand", (1,)),
    Harm("hands: air that blows on", 12, DIAL_DOTS, drop("^M9"), "chips are blown at whoever reaches in", (9,)),
    Harm("hands: the end with the engraver turning", 12, ENGRAVER_SLOTS, drop("^M5"), REACH_IN, (9,)),
    Harm("hands: a stop in a pointing run, no rise before the end", 12, CHORDS_POINTS, drop(CHORDS_UP, nth=-1), LOW,
         (9, 1, 6)),
)  # fmt: skip

HARMS = MODES + SAWS + HANDS
