"""Harm of kind 7: programs that claim nothing, or cut less than they claim; and parts that are told."""

import re

from edits import after, before, change, drop, drop_every, drop_from, only, together
from edits_of_cuts import drop_feature
from kinds import Harm, Part
from shops import (
    ARCS_DOTS,
    ARCS_EDGE,
    ARCS_POINTS,
    ARCS_SLOTS,
    AUTO_EDGE,
    AUTO_FACE,
    AUTO_POINTS,
    BARE_DOTS,
    BARE_HAND_SLOTS,
    BARE_SLOTS,
    CHORDS_EDGE,
    CHORDS_SLOTS,
    COUPON,
    CYCLES_EDGE,
    CYCLES_FACE,
    CYCLES_POINTS,
    HERON_EDGE,
    INCH_DOTS,
    INCH_EDGE,
    INCH_SLOTS,
    LANTERN_SAWN,
    PART_SLOTS,
    SAW_DOTS,
    SAW_SLOTS,
    SHORT_TRAVEL_SLOTS,
    WREN_SLOTS,
    told,
)

NOTHING = "nothing is claimed and nothing cut, yet the folder would be called proved"
LESS = "less is cut than the program claims: the board comes off the machine unfinished"
UNCLAIMED = "what is cut is claimed by nobody: it may belong to another board"
DOTS = (drop_feature("face dot 1"), drop_feature("face dot 3"), drop_feature("face dot 3"))
EMPTIED = (1, 4, 7, 9)  # nothing is claimed, no place is given, no cut ended

EMPTY = (
    Harm("empty: claim and cuts gone, arcs", 7, told(ARCS_DOTS, "face", 2), together(drop_every(r"^\(setup="), *DOTS),
         NOTHING, EMPTIED),
    Harm("empty: claim and cuts gone, inches", 7, told(INCH_DOTS, "face", 2), together(drop_every(r"^\(setup="),
         *DOTS), NOTHING, EMPTIED),
    Harm("empty: claim and cuts gone, saw shop", 7, told(SAW_DOTS, "face", 3), together(drop_every(r"^\(setup="),
         *DOTS), NOTHING, EMPTIED),
    Harm("empty: claim and cuts gone, automatic", 7, told(AUTO_EDGE, "edge", 4), together(drop_every(r"^\(setup="),
         drop_feature("side dot 3")), NOTHING, EMPTIED),
    Harm("empty: claim and cuts gone, cycles", 7, told(CYCLES_EDGE, "edge", 3), together(drop_every(r"^\(setup="),
         drop_feature("side dot 3")), NOTHING, EMPTIED),
    Harm("empty: claim and cuts gone, chords", 7, told(CHORDS_EDGE, "edge", 3), together(drop_every(r"^\(setup="),
         drop_feature("side dot 3")), NOTHING, EMPTIED),
    Harm("empty: a claim without cuts", 7, ARCS_EDGE, together(change(r" cuts=side dots 3\)", ")"),
         drop_feature("side dot 3")), NOTHING, EMPTIED),
    Harm("empty: a head alone", 7, SAW_SLOTS, drop_from("^S3000 M3", "^M2"), NOTHING, EMPTIED),
    Harm("empty: modes and the end", 7, told(ARCS_DOTS, "face", 2), only("G21", "G17 G90 G94 G54", "M2"), NOTHING,
         EMPTIED),
    Harm("empty: the end", 7, told(INCH_SLOTS, "face", 1), only("M2"), NOTHING, EMPTIED),
    Harm("empty: a rise", 7, told(CYCLES_FACE, "face", 1), only("G21", "G17 G90 G94 G54", "G0 Z10.0", "M5", "M2"),
         NOTHING, EMPTIED),
    Harm("empty: percent signs", 7, told(AUTO_FACE, "face", 3), only("%", "%"), NOTHING, EMPTIED),
    Harm("empty: words only", 7, told(CHORDS_SLOTS, "face", 1), only("(frets 1-3)", "M2"), NOTHING, EMPTIED),
    Harm("empty: no line", 7, told(ARCS_SLOTS, "face", 1), only(), NOTHING, EMPTIED),
    Harm("empty: no comments", 7, BARE_DOTS, drop_from("^G0 X", "^M5"), LESS, EMPTIED),
    Harm("empty: no comments, the spindle alone", 7, BARE_HAND_SLOTS, drop_from("^G0 X", "^M0"), LESS, EMPTIED),
    Harm("empty: a pointing run", 7, CYCLES_POINTS, together(drop_every(r"^\(setup=.* points="),
         drop_from(r"^\(side dot 3\)", "^M5")), NOTHING, EMPTIED),
)  # fmt: skip

UNFINISHED = (
    Harm("less: a slot is missing", 7, ARCS_SLOTS, drop_feature("fret 2"), LESS, (7,)),
    Harm("less: a slot is missing, inches", 7, INCH_SLOTS, drop_feature("fret 3"), LESS, (7,)),
    Harm("less: a dot is missing", 7, AUTO_FACE, drop_feature("face dot 3, treble side"), LESS, (7,)),
    Harm("less: a hole is missing", 7, HERON_EDGE, drop_feature("side dot 9"), LESS, (7,)),
    Harm("less: a slot is missing, saw", 7, LANTERN_SAWN, drop_feature("fret 12"), LESS, (7,)),
    Harm("less: the pieces of a coupon", 7, COUPON, drop_feature("pocket 1"), LESS, (7,)),
    Harm("less: second position", 7, SHORT_TRAVEL_SLOTS, drop_feature("fret 3"), LESS, (7,)),
    Harm("less: a slot is missing, no comments", 7, BARE_SLOTS, drop_from(r"^G0 X51\.", r"^G0 X7"),
         "the command line says that it is the program of cutter 1: all its slots are due", (7,)),
    Harm("less: a slot is missing, no comments, by hand", 7, BARE_HAND_SLOTS, drop_from(r"^G0 X25\.", r"^G0 X51\."),
         "the command line says that it is the program of cutter 1", (7,)),
    Harm("less: a dot is missing, no comments", 7, BARE_DOTS, drop_from(r"^G0 X12\.", r"^G0 X6"),
         "the command line says that it is the program of cutter 2", (7,)),
    Harm("less: more is claimed", 7, PART_SLOTS, change(r"cuts=frets 2\)", "cuts=frets 1-3)"), LESS, (7,)),
    Harm("less: a place is not shown", 7, ARCS_POINTS, drop_from(r"^\(fret 2, bass side\)",
         r"^\(fret 2, treble side\)"), "the place that is wrong is the one that is not shown", (7,)),
    Harm("less: a stop is missing", 7, AUTO_POINTS, drop("^M0", nth=3), "the tip passes the place without a stop",
         (7,)),
    Harm("less: the last turn is missing", 7, SAW_DOTS, drop_from(r"^G3 X63\.619 Y12\.246 I",
         r"^G3 X65\.119 Y11\.697"), LESS, (7,)),
    Harm("less: a slot stops short", 7, WREN_SLOTS, change(r"^G1 Y16\.621$", "G1 Y15.0", nth=4), LESS, (7,)),
)  # fmt: skip

CLAIMED_WRONGLY = (
    Harm("claims: none for what is cut", 7, told(ARCS_SLOTS, "face", 1), drop_every(r"^\(setup="), UNCLAIMED, (1, 6,
         7)),
    Harm("claims: none for the second cutter", 7, CYCLES_FACE, drop(r"^\(setup=.*cutter=5"), UNCLAIMED, (1, 6, 7)),
    Harm("claims: less than is cut, and that half", 7, INCH_SLOTS, together(change(r"frets 1-3\)", "frets 1-2)"),
         drop_from(r"^G1 Z-0\.08", r"^G1 Z0\.0197")), UNCLAIMED, (1, 6, 7)),
    Harm("claims: another cutter's", 7, ARCS_DOTS, change("cutter=2 cuts=face dots 1 3", "cutter=2 cuts=frets 1-3"),
         UNCLAIMED, (1, 6, 7)),
    Harm("claims: another setup", 7, CHORDS_SLOTS, change("setup=face", "setup=edge"), UNCLAIMED, (1, 6)),
    Harm("claims: another cutter", 7, ARCS_EDGE, change("cutter=3", "cutter=1"),
         "the cutter that is claimed is not the one that the head names", (1,)),
    Harm("claims: what the board has not", 7, AUTO_EDGE, change(r"dots 3\)", "dots 3 5)"), UNCLAIMED, (1, 7)),
    Harm("claims: a pointing run that cuts", 7, SAW_DOTS, change(r"\(setup=face cutter=3 cuts=.*",
         "(setup=face cutter=3 purpose=point)"), "a program that cuts is called one that does not", (1, 3, 6)),
    Harm("claims: twice, once otherwise", 7, INCH_EDGE, before(r"^\(setup=", "(setup=face cutter=3 cuts=face dots 1)"),
         UNCLAIMED, (1, 6, 7)),
    Harm("claims: after the cuts", 7, ARCS_SLOTS, together(drop(r"^\(setup="), before("^M5",
         "(setup=face cutter=1 cuts=frets 1-3)")), "what is claimed at the end was not held while it was cut", (1, 6,
         7)),
    Harm("claims: more lines after the cuts", 7, CYCLES_EDGE, after("^M5", "(setup=edge cutter=3 cuts=side dots 3)"),
         "a second section that cuts nothing", (1, 7)),
)  # fmt: skip

HARMS = EMPTY + UNFINISHED + CLAIMED_WRONGLY

PARTS = (
    Part("part: dots without slots", ARCS_DOTS, together(), re.compile(r"not claimed: .*frets")),
    Part("part: slots without dots", INCH_SLOTS, together(), re.compile(r"not claimed: .*face dots")),
    Part("part: slots without dots, saw", SAW_SLOTS, together(), re.compile(r"not claimed: .*face dots")),
    Part("part: slots without dots, chords", CHORDS_SLOTS, together(), re.compile(r"not claimed: .*face dots")),
    Part("part: one slot less", ARCS_SLOTS, together(change(r"frets 1-3\)", "frets 1 3)"), drop_feature("fret 2")),
         re.compile(r"not claimed: .*frets? 2")),
    Part("part: one dot less", ARCS_DOTS, together(change(r"face dots 1 3\)", "face dots 3)"),
         drop_feature("face dot 1")), re.compile(r"not claimed: .*face dots? 1")),
    Part("part: the slots of both cutters' program less", AUTO_FACE, together(change(r"frets 1-3\)", "frets 1-2)"),
         drop_feature("fret 3")), re.compile(r"not claimed: .*frets? 3")),
    Part("part: one hole less", HERON_EDGE, together(change("side dots 3 5 7", "side dots 3 5"),
         drop_feature("side dot 7")), re.compile(r"not claimed: .*side dots? 7")),
    Part("part: what was asked for alone", PART_SLOTS, together(), re.compile(r"not claimed: .*frets? 1")),
)  # fmt: skip
