"""A small invented board with a dot and a slot, and two programs that cut it, written by hand."""

import re
from dataclasses import replace

import numpy as np
from oracle import Case

from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.surfaces import Floor, Stock
from pearlkerf.machine.model import Cutter, Dialect, Machine, Motion, Spindle, Travel
from pearlkerf.setups.lying import NUT_END, Lying, OnGlueFace
from pearlkerf.setups.model import Box, Setup

OUTLINE = np.array([[0.0, -20.0], [60.0, -20.0], [60.0, 20.0], [0.0, 20.0]])
DOT = Hole("face dots", 3, "face dot 3", (10.0, 5.0), 6.0, -1.5, -1.45, -1.55)
FRET = Slot("frets", 1, "fret 1", (20.0, -20.0), (20.0, 20.0), 0.6, Floor(-1.0), through=True)
SETUP = Setup("face", "ebony", Stock(OUTLINE, 6.0), (DOT, FRET), Lying(NUT_END, rests=OnGlueFace()))
CUTTERS = (
    Cutter(1, "end mill", 0.6, 2, 4.0, 16000, None, 400, 100, 0.5),
    Cutter(2, "end mill", 3.0, 2, 8.0, 16000, None, 400, 100, 0.8),
)
DOT_PROGRAM = """\
(setup=face cutter=2 cuts=face dots 3)
G21
G17 G90 G94 G54
G0 Z5.0
S16000 M3
G4 P2.0
G0 X10.0 Y5.0
G0 Z0.5
G1 Z0.1 F100.0
G1 X11.5 F400.0
G3 X8.5 Z-0.3 I-1.5
G3 X11.5 Z-0.7 I1.5
G3 X8.5 Z-1.1 I-1.5
G3 X11.5 Z-1.5 I1.5
G3 X8.5 I-1.5
G3 X11.5 I1.5
G1 X10.0
G1 Z0.5 F300.0
G0 Z5.0
M5
M2
"""
SLOT_PROGRAM = """\
(setup=face cutter=1 cuts=frets 1)
G21
G17 G90 G94 G54
G0 Z5.0
S16000 M3
G4 P2.0
G0 X20.0 Y-20.8
G0 Z0.5
G1 Z-0.5 F100.0
G1 Y20.8 F400.0
G1 Z-1.0 F100.0
G1 Y-20.8 F400.0
G1 Z0.5 F300.0
G0 Z5.0
M5
M2
"""


CLAMP = Box("clamp", ((30.0, -10.0), (40.0, -10.0), (40.0, 10.0), (30.0, 10.0)), 3.0)
AGAIN = "\nG21 G17 G90 G94 G54\nG0 Z5.0"  # what people may have changed at a stop
LIES = """\
(playing face up, nut end at the left, bass edge toward the operator)
(X0 at the nut end of the finished board, Y0 on its centre line, Z0)
(- on top of the wood at the centre line)
(zero is set in G54)
(the glue face lies flat on the bed, clamped so that it cannot move)
"""
CORNERS = "(corners may be rounded by the controller)\n"
EDGES = """\
(cuts run out up to 1.1 mm past the bass edge, to Y -21.1, and up to)
(- 1.1 mm past the treble edge, to Y 21.1, as deep as Z -1.00, at X)
(- 19.7 to 20.3)
(nothing 4.0 mm above the wood has room along its edges)
"""
OF_CUTTER = """\
(cutter {cutter}, end mill {diameter} mm, 16000 rpm, feed 400, plunge 100)
(- mm/min, 0.800 mm a pass, deepest {deepest} mm below zero)
"""
GUARDS = "(Guards closed, eyes and ears covered, no gloves, a hand)\n(- on the stop)\n"
OF_CLAMP = "(clamp stands at X 30.0 to 40.0, Y -10.0 to 10.0, up to 3.0 mm)\n(- above Z0)\n"
START = "(set the spindle to 16000 rpm, start it, let it run up)"
STOP = "(switch the spindle off and wait until it stands)"
CUT_BY = {2: OF_CUTTER.format(cutter=2, diameter="3.000", deepest="1.50"),
          1: OF_CUTTER.format(cutter=1, diameter="0.600", deepest="1.00")}  # fmt: skip


def as_told(of: Case, text: bytes) -> bytes:
    """A program of a small case, damaged or not, with what it leaves unsaid to people: its head, its stops."""
    said = text.decode("latin-1")
    if LIES[:20] in said or of.name == "small, told":
        return text
    numbers = [int(each) for each in re.findall(r"\(setup=face cutter=(\d)", said)]
    clamp = OF_CLAMP if of.setup.holding else ""
    head = [LIES, clamp, CORNERS, EDGES, *(CUT_BY.get(each, "") for each in dict.fromkeys(numbers))]
    if of.machine.spindle.control == "hand":
        said = said.replace(f"M0{AGAIN}", f"{START}\nM0{AGAIN}", 1).replace("M0\nM2", f"{STOP}\nM0\nM2")
    return ("".join(head) + said).encode("latin-1")


def machine(control: str = "program", cutter_change: str = "file") -> Machine:
    """A router with a clearance of 5 mm and a delay of 2 s."""
    dialect = Dialect(cutter_change=cutter_change)
    return Machine("bench", "A bench router", Travel(100.0, 60.0, 30.0), Spindle(8000, 24000, control, 2.0),
                   Motion((2000, 2000, 800), (1500, 1500, 300), (200, 200, 100), 5.0), dialect, CUTTERS)  # fmt: skip


def case() -> Case:
    """Both programs as one case."""
    return Case("small", SETUP, machine(), [("dot", DOT_PROGRAM.encode()), ("slot", SLOT_PROGRAM.encode())])


def case_by_hand() -> Case:
    """The same with a spindle that is switched by hand, at stops."""
    texts = [
        text.replace("S16000 M3\nG4 P2.0", f"M0{AGAIN}").replace("M5", "M0") for text in (DOT_PROGRAM, SLOT_PROGRAM)
    ]
    return Case("small, by hand", SETUP, machine("hand"), [("dot", texts[0].encode()), ("slot", texts[1].encode())])


def case_held() -> Case:
    """The same as at first, with a clamp 3 mm high on the wood."""
    setup = replace(SETUP, holding=(CLAMP,))
    return Case("small, held", setup, machine(), [("dot", DOT_PROGRAM.encode()), ("slot", SLOT_PROGRAM.encode())])


def case_automatic() -> Case:
    """The same on a machine that changes cutters itself: one program that cuts both."""
    dot, slot = (
        text.replace("G54\nG0 Z5.0", f"G54\nG40\nT{cutter} M6\nG0 G43 H{cutter} Z5.0")
        for text, cutter in ((DOT_PROGRAM, 2), (SLOT_PROGRAM, 1))
    )
    both = dot.replace("M2\n", "") + slot.replace("G21\nG17 G90 G94 G54\nG40\n", "")
    return Case("small, automatic", SETUP, machine(cutter_change="automatic"), [("both", both.encode())])


def case_told() -> Case:
    """By hand, on a machine that stops for a change of cutter, with all that people are told."""
    dot, slot = (
        text.replace("S16000 M3\nG4 P2.0", f"{START}\nM0{AGAIN}\n({name})").replace("M5", f"{STOP}\nM0")
        for text, name in ((DOT_PROGRAM, "face dot 3"), (SLOT_PROGRAM, "fret 1, bass side first"))
    )
    head = LIES + CORNERS + EDGES + CUT_BY[2] + CUT_BY[1] + GUARDS
    change = "(change to cutter 1, end mill 0.600 mm and zero Z again on the)\n(- same spot)\nM0\n"
    both = head + dot.replace("M2\n", change) + slot
    return Case("small, told", SETUP, machine("hand", "stop"), [("both", both.encode())])
