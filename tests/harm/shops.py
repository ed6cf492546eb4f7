"""The machines and the programs that the tables of harm edit, each with a short name."""

from dataclasses import replace

from fresh import Fresh, Shop

# --- shops: the shipped ones, and what a profile's key makes of them

ARCS = Shop("benchtop-arcs", "benchtop-arcs")
INCH = Shop("benchtop-inch-hand", "benchtop-inch-hand")
CHORDS = Shop("compact-chords", "compact-chords")
AUTO = Shop("production-automatic", "production-automatic")
CYCLES = Shop("workshop-cycles", "workshop-cycles")
SAW = Shop("workshop-saw", "workshop-saw")
DIAL = Shop("router-dial", "router-dial")
# tall enough for the board on its edge
ENGRAVER = Shop("engraver", "engraver-300", ((r"^under_spindle = 40", "under_spindle = 60"),))

_STOP = (r'^cutter_change = "file"', 'cutter_change = "stop"')
ARCS_STOP = Shop("arcs-stop", "benchtop-arcs", (_STOP,))
INCH_STOP = Shop("inch-hand-stop", "benchtop-inch-hand", (_STOP,))
ARCS_PARKED = Shop("arcs-parked", "benchtop-arcs", (_STOP, (r"^\[motion\]", "[motion]\npark = [-20, 60]")))
INCH_PARKED = Shop("inch-parked", "benchtop-inch-hand", ((r"^\[motion\]", "[motion]\npark = [-25.4, 76.2]"),))
ARCS_MS = Shop("arcs-ms", "benchtop-arcs", ((r"^arcs = true", 'dwell_unit = "ms"\narcs = true'),))
CYCLES_MS = Shop("cycles-ms", "workshop-cycles", ((r"^drilling_cycles", 'dwell_unit = "ms"\ndrilling_cycles'),))
BARE = Shop("arcs-bare", "benchtop-arcs", ((r"^arcs = true", "comments = false\narcs = true"),))
BARE_HAND = Shop("bare-hand", "benchtop-arcs",
                 ((r"^arcs = true", "comments = false\narcs = true"), (r'"program"', '"hand"')))  # fmt: skip
SAW_HAND = Shop("saw-hand", "workshop-saw", ((r"^start_delay", 'control = "hand"\nstart_delay'),))
SAW_STOP = Shop("saw-stop", "workshop-saw", ((r"^\[\[cutter\]\](?= +# fret slots that go)",
                                             '[program]\ncutter_change = "stop"\n\n[[cutter]]'),))  # fmt: skip
AUTO_INCH = Shop("auto-inch", "production-automatic", ((r"^decimals = 4 .*", 'unit = "in"\ndecimals = 5'),))
AUTO_MOVES = Shop("auto-moves", "production-automatic", ((r"^drilling_cycles = true", "drilling_cycles = false"),))
SHORT_TRAVEL = Shop("short-travel", "compact-chords", ((r"^x = 520", "x = 60"),))
_CARRIER = (r"^\[motion\]", "[carrier]\npitch = 25\n\n[motion]")
CARRIED = Shop("carried", "compact-chords", ((r"^x = 520", "x = 60"), (r"^reach = 10", "reach = 14"), _CARRIER,
                                             (r"^blocks_per_second.*", "")))  # fmt: skip
CARRIER_SHOP = Shop("carrier", "workshop-cycles", ((r"^x = 900", "x = 60"), _CARRIER))
EXACT = Shop("arcs-exact", "benchtop-arcs", ((r'^path_control = "none"', 'path_control = "exact"'),))


# --- programs of the short board


def cuts(shop: Shop, setup: str, cutter: int, board: str = "short") -> Fresh:
    """Give the program of a setup that has a cutter."""
    return Fresh(board, shop, rf"-{setup}-cutters?-(\d+-)*{cutter}(-\d+)*\.")


def told(fresh: Fresh, setup: str, cutter: int) -> Fresh:
    """Give the program with its setup and cutter said on the command line."""
    return replace(fresh, said=("--setup", setup, "--cutter", str(cutter)))


def points(shop: Shop, setup: str, board: str = "short") -> Fresh:
    """Give the pointing run of a setup."""
    return Fresh(board, shop, rf"-{setup}-pointing\.", ("--pointing",))


ARCS_DOTS, ARCS_SLOTS, ARCS_EDGE = cuts(ARCS, "face", 2), cuts(ARCS, "face", 1), cuts(ARCS, "edge", 3)
INCH_DOTS, INCH_SLOTS, INCH_EDGE = cuts(INCH, "face", 2), cuts(INCH, "face", 1), cuts(INCH, "edge", 3)
CHORDS_DOTS, CHORDS_SLOTS, CHORDS_EDGE = cuts(CHORDS, "face", 2), cuts(CHORDS, "face", 1), cuts(CHORDS, "edge", 3)
AUTO_FACE, AUTO_EDGE = cuts(AUTO, "face", 3), cuts(AUTO, "edge", 4)
CYCLES_FACE, CYCLES_EDGE = cuts(CYCLES, "face", 5), cuts(CYCLES, "edge", 3)
DIAL_DOTS, DIAL_SLOTS, ENGRAVER_SLOTS = cuts(DIAL, "face", 2), cuts(DIAL, "face", 1), cuts(ENGRAVER, "face", 1)
SAW_DOTS, SAW_SLOTS, SAW_EDGE = cuts(SAW, "face", 3), cuts(SAW, "face", 1), cuts(SAW, "edge", 4)

ARCS_STOP_FACE = cuts(ARCS_STOP, "face", 1)
INCH_STOP_FACE = cuts(INCH_STOP, "face", 1)
ARCS_PARKED_FACE, INCH_PARKED_SLOTS = cuts(ARCS_PARKED, "face", 1), cuts(INCH_PARKED, "face", 1)
ARCS_MS_SLOTS = cuts(ARCS_MS, "face", 1)
CYCLES_MS_FACE, CYCLES_MS_EDGE = cuts(CYCLES_MS, "face", 5), cuts(CYCLES_MS, "edge", 3)
SAW_HAND_SLOTS, SAW_STOP_FACE = cuts(SAW_HAND, "face", 1), cuts(SAW_STOP, "face", 1)
AUTO_INCH_FACE, AUTO_MOVES_EDGE = cuts(AUTO_INCH, "face", 3), cuts(AUTO_MOVES, "edge", 4)
EXACT_SLOTS, EXACT_EDGE = cuts(EXACT, "face", 1), cuts(EXACT, "edge", 3)
BARE_SLOTS = Fresh("short", BARE, "-face-cutter-1", said=("--setup", "face", "--cutter", "1"))
BARE_DOTS = Fresh("short", BARE, "-face-cutter-2", said=("--setup", "face", "--cutter", "2"))
BARE_HAND_SLOTS = Fresh("short", BARE_HAND, "-face-cutter-1", said=("--setup", "face", "--cutter", "1"))
SHORT_TRAVEL_SLOTS = cuts(SHORT_TRAVEL, "face-2", 1)
SHORT_TRAVEL_EDGE = cuts(SHORT_TRAVEL, "edge-1", 3)
CARRIED_DOTS, CARRIED_EDGE = cuts(CARRIED, "face-2", 2), cuts(CARRIED, "edge-1", 3)
HELD_SLOTS, HELD_DOTS = cuts(ARCS, "face", 1, "short held"), cuts(ARCS, "face", 2, "short held")

ARCS_POINTS, INCH_POINTS, CHORDS_POINTS = points(ARCS, "face"), points(INCH, "face"), points(CHORDS, "edge")
CHORDS_FACE_POINTS, CYCLES_FACE_POINTS = points(CHORDS, "face"), points(CYCLES, "face")
AUTO_POINTS, CYCLES_POINTS, SAW_POINTS = points(AUTO, "face"), points(CYCLES, "edge"), points(SAW, "face")

AT = ("--at", "90,0.4")
AT_SLOTS = Fresh("short", ARCS, r"-face-cutter-1\.", AT, said=AT)
AT_DOTS = Fresh("short", CHORDS, r"-face-cutter-2\.", AT, said=AT)
AT_POINTS = Fresh("short", ARCS, r"-face-pointing\.", (*AT, "--pointing"), said=AT)
HELD_POINTS = points(ARCS, "face", "short held")
SHORT_TRAVEL_POINTS = points(SHORT_TRAVEL, "face-2")
CARRIED_POINTS = points(CARRIED, "face-2")
PART_SLOTS = Fresh("short", ARCS, r"-face-cutter-1\.", ("--only", "fret 2"))
CARRIER = Fresh("short", CARRIER_SHOP, "carrier-cutter", ("--carrier",))
COUPON = Fresh("short", CYCLES, "coupon-cutters", command="coupon")
CALIBRATION = Fresh("short", ARCS, "calibration-cutter", ("--kind", "calibration"), "coupon")

# --- the examples

WREN_SLOTS = cuts(ARCS, "face", 1, "wren-tenor-ukulele")  # stopped slots in a blank
WREN_AUTO = cuts(AUTO, "face", 3, "wren-tenor-ukulele")
GULL_DOTS = cuts(INCH, "face", 2, "gull-octave-mandolin")  # slots that are there
LANTERN_SLOTS = cuts(CYCLES, "face", 5, "lantern-classical")  # a flat board
LANTERN_SAWN = cuts(SAW, "face", 1, "lantern-classical")
HERON_EDGE = cuts(AUTO, "edge", 4, "heron-parlour-guitar")  # bound
SKIFF_SAWN = cuts(SAW, "face", 1, "skiff-tenor-guitar")  # left-handed, in a blank
FERRY_SAWN = cuts(SAW, "face", 1, "ferry-left-handed-electric")  # radiused already
