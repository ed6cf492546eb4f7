"""Edits that a careful hand makes and that harm nothing: the proof stays, or it refuses good programs.

Each keeps within the profile's dialect (line limit, decimals, words that the profile names), within a fifth
of the feeds, and within the sentence that a program is: head, claim, change, length, start, cuts, stop, end.
"""

import re

from edits import NothingToEdit, Text, after, before, change, change_every, drop, line_for, numbers, together
from edits_of_cuts import forget, in_all_bytes, remark, repeat_feature, swap_features
from harms_places import ARCS_UP, AUTO_UP, CHORDS_UP, CYCLES_UP, INCH_UP, SAW_UP
from kinds import Harmless
from shops import (
    ARCS_DOTS,
    ARCS_EDGE,
    ARCS_MS_SLOTS,
    ARCS_POINTS,
    ARCS_SLOTS,
    ARCS_STOP_FACE,
    AT_SLOTS,
    AUTO_EDGE,
    AUTO_FACE,
    AUTO_INCH_FACE,
    AUTO_MOVES_EDGE,
    AUTO_POINTS,
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
    DIAL_SLOTS,
    ENGRAVER_SLOTS,
    GULL_DOTS,
    HELD_SLOTS,
    HERON_EDGE,
    INCH_DOTS,
    INCH_EDGE,
    INCH_POINTS,
    INCH_SLOTS,
    INCH_STOP_FACE,
    LANTERN_SAWN,
    LANTERN_SLOTS,
    PART_SLOTS,
    SAW_DOTS,
    SAW_EDGE,
    SAW_HAND_SLOTS,
    SAW_POINTS,
    SAW_SLOTS,
    SHORT_TRAVEL_EDGE,
    SHORT_TRAVEL_SLOTS,
    SKIFF_SAWN,
    WREN_SLOTS,
)

NOTE = "a note to oneself"
BLANK = "blank lines are ignored (NISTIR 6556, section 3.3)"
SMALL = "letters are the same, small or capital (section 3.3)"
SPACED = "spaces between words change nothing (section 3.3)"
ORDER = "the order of words on a line is free (section 3.3.6)"
NUMBERED = "line numbers may repeat and need not rise (section 3.3.1)"
SLOWER = "within a fifth of the figure"
HIGHER = "more air, within the travel"
MODAL = "the mode stays in force (section 3.4)"
AGAIN = "the wood is gone already, the cutter passes through air"
NO_CLAIM = "nobody acts on these words"
CRLF = "a line may end in CR and LF (section 3.3)"
WORDS = re.compile(r" (?=[A-Z])")


def lines(turn, pattern: str = "."):
    """Every line of code with a pattern, turned."""

    def edit(text: Text) -> Text:
        new = tuple(
            turn(line) if re.search(pattern, line) and not re.match(r"\(|%", line) else line for line in text.lines
        )
        if new == text.lines:
            raise NothingToEdit(pattern)
        return Text(new, text.numbered, text.limit)

    return edit


def backwards(line: str) -> str:
    """The words of a line in the other order."""
    return " ".join(reversed(line.split()))


def restated(text: Text) -> Text:
    """Every feed move states its feed again."""
    out, feed = [], ""
    for line in text.lines:
        found = re.search(r"F[\d.]+", line) if not line.startswith("(") else None
        feed = found[0] if found else feed
        out.append(f"{line} {feed}" if re.match(r"G[123] ", line) and not found and feed else line)
    return Text(tuple(out), text.numbered, text.limit)


def modal(text: Text) -> Text:
    """G1 is left out where it is in force."""
    out, last = [], ""
    for line in text.lines:
        code = re.match(r"G\d+ ", line)
        out.append(line[3:] if code and code[0] == "G1 " == last else line)
        last = code[0] if code else "" if re.match(r"G|M|T", line) else last
    return Text(tuple(out), text.numbered, text.limit)


def half(value: float) -> float:
    """Half of a number."""
    return value / 2


COMMENTS = (
    Harmless("note in the head, arcs", ARCS_SLOTS, remark("Ada, Tuesday, second plank", "top of the blank"), NOTE),
    Harmless("note in the head, inches", INCH_DOTS, remark("Ada, Tuesday, second plank", "top of the blank"), NOTE),
    Harmless("note in the head, chords", CHORDS_EDGE, remark("Ada, Tuesday, second plank", "Dust harms the lungs"),
             NOTE),
    Harmless("note in the head, automatic", AUTO_FACE, remark("Ada, Tuesday, second plank", "Dust harms the lungs"),
             NOTE),
    Harmless("note in the head, cycles", CYCLES_EDGE, remark("Ada, Tuesday, second plank", "Dust harms the lungs"),
             NOTE),
    Harmless("note in the head, saw", SAW_SLOTS, remark("Ada, Tuesday, second plank", "Dust harms the lungs"), NOTE),
    Harmless("note in the head, turned board", AT_SLOTS, remark("Ada, Tuesday, second plank", "Guards closed"), NOTE),
    Harmless("note in the head, coupon", COUPON, remark("Ada, Tuesday, offcut", "Guards closed"), NOTE),
    Harmless("note in the head, carrier", CARRIER, remark("Ada, Tuesday, birch", "Guards closed"), NOTE),
    Harmless("note in the head, second position", SHORT_TRAVEL_SLOTS, remark("Ada, Tuesday", "Guards closed"), NOTE),
    Harmless("note in the head, pointing", ARCS_POINTS, remark("Ada, Tuesday", "Guards closed"), NOTE),
    Harmless("note in the head, left-handed", SKIFF_SAWN, remark("Ada, Tuesday", "Guards closed"), NOTE),
    Harmless("note in the head, clamps", HELD_SLOTS, remark("Ada, Tuesday", "Guards closed"), NOTE),
    Harmless("note on a line with a rise", LANTERN_SLOTS, change(CYCLES_UP, "G0 Z10.0 (up)", nth=3), NOTE),
    Harmless("note before a cut", CHORDS_SLOTS, remark("the soft streak is here", "fret 2"), NOTE),
    Harmless("board's title is gone", ARCS_DOTS, forget("^board, "), NO_CLAIM),
    Harmless("first line is gone", SAW_EDGE, forget("^Pearlkerf"), NO_CLAIM),
    Harmless("dust caution is gone", CYCLES_FACE, forget("Dust harms the lungs"), NO_CLAIM),
    Harmless("law and manual are gone", INCH_SLOTS, forget("Local rules"), NO_CLAIM),
    Harmless("what comes before is gone", ARCS_EDGE, forget("before this"), NO_CLAIM),
    Harmless("why dots lie low is gone", AUTO_FACE, forget("radiusing brings"), NO_CLAIM),
)  # fmt: skip

TEXT = (
    Harmless("blank lines, arcs", ARCS_SLOTS, together(before("^G21", ""), before(r"^\(fret 2", "", "")), BLANK),
    Harmless("blank lines, automatic", AUTO_FACE, before(r"^\(face dot 3", ""), BLANK),
    Harmless("small letters, arcs", ARCS_DOTS, lines(str.lower), SMALL),
    Harmless("small letters, cycles", CYCLES_EDGE, lines(str.lower), SMALL),
    Harmless("small letters, one line", INCH_SLOTS, lines(str.lower, "^G1 Z"), SMALL),
    Harmless("no spaces between words", SAW_DOTS, lines(lambda line: WORDS.sub("", line)), SPACED),
    Harmless("no spaces between words, chords", CHORDS_EDGE, lines(lambda line: WORDS.sub("", line)), SPACED),
    Harmless("two spaces between words", AUTO_EDGE, lines(lambda line: WORDS.sub("  ", line)), SPACED),
    Harmless("tabs between words", LANTERN_SAWN, lines(lambda line: WORDS.sub("\t", line)), SPACED),
    Harmless("words backwards, arcs", ARCS_EDGE, lines(backwards, "^G[0123] "), ORDER),
    Harmless("words backwards, cycles", CYCLES_FACE, lines(backwards, "^G99 "), ORDER),
    Harmless("M3 before S", SAW_SLOTS, change(r"^S3000 M3", "M3 S3000"), ORDER),
    Harmless("M6 before T", AUTO_FACE, change(r"^T3 M6", "M6 T3"), ORDER),
    Harmless("F first", INCH_SLOTS, lines(backwards, "F[0-9.]+$"), ORDER),
    Harmless("numbered by five", AUTO_FACE, together(), NUMBERED, written=lambda program: re.sub(rb"(?m)^N(\d+)0 ",
             lambda m: b"N%d " % (int(m[1]) * 5), program)),
    Harmless("all numbered alike", AUTO_EDGE, together(), NUMBERED, written=lambda program: re.sub(rb"(?m)^N\d+ ",
             b"N1 ", program)),
    Harmless("lines end in CR and LF", ARCS_SLOTS, together(), CRLF, in_all_bytes(b"\n", b"\r\n")),
    Harmless("lines end in CR and LF, automatic", HERON_EDGE, together(), CRLF, in_all_bytes(b"\n", b"\r\n")),
    Harmless("zeros at the end of numbers", CHORDS_DOTS, change_every(r"Z0\.5\b", "Z0.500"), "the same number"),
    Harmless("modes on lines of their own", ARCS_SLOTS, line_for("^G17", "G17", "G90", "G94", "G54"), MODAL),
    Harmless("modes on one line", INCH_EDGE, together(drop("^G20"), change("^G17", "G20 G17")), MODAL),
    Harmless("speed before the start", CHORDS_SLOTS, line_for("^S30000 M3", "S30000", "M3"),
             "the speed is set before the spindle starts"),
)  # fmt: skip

MOTION = (
    Harmless("half the feed, pocket", ARCS_DOTS, numbers("^G3", "F", half), SLOWER),
    Harmless("half the feed, engraver", ENGRAVER_SLOTS, numbers("^G1 Y", "F", half), SLOWER),
    Harmless("half the feed, on a dial", DIAL_SLOTS, numbers("^G1 Y", "F", half), SLOWER),
    Harmless("half the feed, slots", INCH_SLOTS, numbers("^G1 Y", "F", half), SLOWER),
    Harmless("half the feed, saw", SKIFF_SAWN, numbers("^G1 Y", "F", half), SLOWER),
    Harmless("half the feed, drill", CYCLES_EDGE, numbers("^G99", "F", half), SLOWER),
    Harmless("a quarter of the feed, side passes", CHORDS_SLOTS, numbers("^G1 Y", "F", lambda feed: feed / 4), SLOWER),
    Harmless("half the plunge", WREN_SLOTS, numbers("^G1 Z-", "F", half), SLOWER),
    Harmless("higher, arcs", ARCS_DOTS, change_every(ARCS_UP, "G0 Z9.5"), HIGHER),
    Harmless("higher, inches", GULL_DOTS, change_every(INCH_UP, "G0 Z0.4"), HIGHER),
    Harmless("higher, chords", CHORDS_EDGE, change_every(CHORDS_UP, "G0 Z8.0"), HIGHER),
    Harmless("higher, automatic", AUTO_EDGE, change_every(r"Z15\.0$", "Z20.0"), HIGHER),
    Harmless("higher, cycles", CYCLES_FACE, change_every(CYCLES_UP, "G0 Z14.0"), HIGHER),
    Harmless("higher, saw", SAW_SLOTS, change_every(SAW_UP, "G0 Z16.0"), HIGHER),
    Harmless("higher once", LANTERN_SLOTS, change(CYCLES_UP, "G0 Z25.0", nth=3), HIGHER),
    Harmless("higher among clamps", HELD_SLOTS, change_every(ARCS_UP, "G0 Z12.0"), HIGHER),
    Harmless("higher, by hand, no comments", BARE_SLOTS, change_every(ARCS_UP, "G0 Z9.0"), HIGHER),
    Harmless("a longer wait", CHORDS_DOTS, change(r"^G4 P3\.0", "G4 P5.0"), "the spindle is surely at speed"),
    Harmless("a longer wait, milliseconds", ARCS_MS_SLOTS, change(r"^G4 P4000", "G4 P6000"),
             "the spindle is surely at speed"),
    Harmless("dots the other way round", ARCS_DOTS, swap_features("face dot 3, bass", "face dot 3, treble"),
             "each has its own approach"),
    Harmless("slots the other way round", INCH_SLOTS, swap_features("fret 1", "fret 2"), "each has its own approach"),
    Harmless("slots the other way round, saw", SAW_SLOTS, swap_features("fret 2", "fret 3"),
             "each has its own approach"),
    Harmless("holes the other way round", HERON_EDGE, swap_features("side dot 7", "side dot 9"),
             "each has its own approach"),
    Harmless("a slot once more", ARCS_SLOTS, repeat_feature("fret 2"), AGAIN),
    Harmless("a slot once more, saw", LANTERN_SAWN, repeat_feature("fret 5"), AGAIN),
    Harmless("a slot once more, stopped", WREN_SLOTS, repeat_feature("fret 4"), AGAIN),
    Harmless("a dot once more", INCH_DOTS, repeat_feature("face dot 1"), AGAIN),
    Harmless("a hole once more", CYCLES_EDGE, repeat_feature("side dot 3"), AGAIN),
    Harmless("a hole once more, by moves", AUTO_MOVES_EDGE, repeat_feature("side dot 3"), AGAIN),
    Harmless("a part once more", PART_SLOTS, repeat_feature("fret 2"), AGAIN),
    Harmless("up in two steps", SAW_EDGE, after(r"^G1 Z0\.5", "G0 Z4.0"), "straight up, in two steps"),
    Harmless("up in two steps, inches", INCH_EDGE, before(INCH_UP, "G0 Z0.2", nth=3), "straight up, in two steps"),
    Harmless("a way round at clearance", AUTO_FACE, after(AUTO_UP, "G0 X5.0 Y-1.0", nth=2),
             "a traverse at clearance, over the board"),
    Harmless("a way round at clearance, pause machine", ARCS_STOP_FACE, after(ARCS_UP, "G0 X5.0 Y-1.0", nth=3),
             "a traverse at clearance, over the board"),
    Harmless("feeds stated on every line", CARRIED_DOTS, restated, MODAL),
    Harmless("feeds stated on every line, inches", AUTO_INCH_FACE, restated, MODAL),
    Harmless("G1 once for many lines", SAW_SLOTS, modal, MODAL),
    Harmless("G1 once for many lines, slots", ARCS_SLOTS, modal, MODAL),
    Harmless("pointing, slower", INCH_POINTS, numbers("^G1", "F", half), SLOWER),
    Harmless("pointing, higher", AUTO_POINTS, change_every(r"Z15\.0$", "Z18.0"), HIGHER),
    Harmless("pointing, a higher rise, saw", SAW_POINTS, change_every(SAW_UP, "G0 Z12.0"), HIGHER),
    Harmless("a pause machine by hand, higher", INCH_STOP_FACE, change_every(INCH_UP, "G0 Z0.45"), HIGHER),
    Harmless("saw by hand, higher", SAW_HAND_SLOTS, change_every(SAW_UP, "G0 Z12.0"), HIGHER),
    Harmless("calibration, half the feed", CALIBRATION, numbers("^G1 [XY]", "F", half), SLOWER),
    Harmless("second position, edge, half the feed", SHORT_TRAVEL_EDGE, numbers("^G1 X", "F", half), SLOWER),
)  # fmt: skip

HARMLESS = COMMENTS + TEXT + MOTION
