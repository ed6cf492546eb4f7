"""A small invented board and machine, and programs for them written line by line, for tests of the proof.

Nothing here comes from the makers: heights and paths are worked out again, in plain trigonometry.
"""

import math
import re
from dataclasses import replace

import numpy as np

from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.surfaces import Crown, Floor, Stock
from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Cutter, Dialect, Machine, Motion, Spindle, Travel
from pearlkerf.machine.words import (
    CLAMP_HEIGHTS_MM,
    SPINDLE_STANDS,
    ZERO_IN,
    before_start,
    of_saw,
    room_for_blade,
    under_arbor,
)
from pearlkerf.program.comments import comment_lines
from pearlkerf.program.header import Place, header_sentences
from pearlkerf.proof.prove import Assumed, prove
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.lying import NUT_END, Lying
from pearlkerf.setups.model import Placement, Setup
from pearlkerf.toolpath.moves import Cut, CutterPath, Toolpath, TraverseHeight, TraversePlane

RADIUS = 254.0
HALF_WIDTH = 20.0
CROWN = Crown(RADIUS, RADIUS, 60.0)
OUTLINE = np.array([[0.0, -HALF_WIDTH], [60.0, -HALF_WIDTH], [60.0, HALF_WIDTH], [0.0, HALF_WIDTH]])
FRET = Slot("frets", 1, "fret 1", (20.0, -HALF_WIDTH), (20.0, HALF_WIDTH), 0.6, Floor(-2.0, CROWN), through=True)
STOPPED = Slot("frets", 2, "fret 2", (30.0, -18.0), (30.0, 18.0), 0.6, Floor(-1.0), through=False)
DOT = Hole("face dots", 1, "face dot 1", (10.0, 5.0), 6.0, -1.5, -1.45, -1.55)
DRILLED = Hole("face dots", 3, "face dot 3", (45.0, -8.0), 2.0, -2.0, -1.9, -2.1)
FEATURES = (FRET, STOPPED, DOT, DRILLED)


def face(*features, placement=Placement(), crown=None, outline=OUTLINE):  # noqa: B008
    """The face setup of the small board with some of its features, all where none is named."""
    return Setup("face", "ebony", Stock(outline, 6.0, crown), features or FEATURES, Lying(NUT_END), placement=placement)


def mill(number, diameter, bite, **more):
    """An end mill with figures of its own."""
    figures = {"speed_rpm": 16000, "feed_mm_min": 400, "plunge_feed_mm_min": 100, "reach_mm": 4.0, "kind": "end mill"}
    return Cutter(number=number, diameter_mm=diameter, bite_mm=bite, flutes=2, **{**figures, **more})


CUTTERS = (
    mill(1, 0.6, 0.5),
    mill(2, 3.0, 0.8),
    mill(3, 2.0, 0.8, kind="brad point", point_length_mm=0.4),
    mill(4, 3.0, 0.8, plunges=False),
    mill(5, 3.0, 0.8, kind="ball"),
    mill(6, 40.0, 3.0, kind="saw", speed_limit_rpm=9000),
    mill(7, 0.5, 0.5),
    mill(8, 3.0, 2.0, reach_mm=1.2),
    mill(9, 0.61, 0.5),
)


def machine(control="program", travel=(100.0, 60.0, 30.0), **dialect):
    """A machine with a clearance of 5 mm."""
    dialect.setdefault("line_limit", 160)
    return Machine(
        "bench", "A bench router", Travel(*travel), Spindle(8000, 24000, control, 2.0),
        Motion((2000, 2000, 800), (1500, 1500, 300), (200, 200, 100), 5.0), Dialect(**dialect), CUTTERS,
    )  # fmt: skip


# after a stop every mode is stated again, and the cutter rises, before anything else
AGAIN = "G21\nG17 G90 G94 G54\nG0 Z5.0\n"


def number(value):
    """Write a length with three decimals."""
    return f"{round(value, 3) + 0.0:.3f}"


def program(body, cutter=2, cuts="face dots 1", setup="face"):
    """A program round some lines that cut, but for what its head tells people: ``headed`` puts that before it."""
    head = [f"(setup={setup} cutter={cutter} cuts={cuts})", "G21", "G17 G90 G94 G54", "G0 Z5.0", "S16000 M3", "G4 P2.0"]
    return "\n".join([*head, *body, "G0 Z5.0", "M5", "M2"]) + "\n"


SET = "(set the spindle to 16000 rpm, start it, let it run up)\n"
OFF = f"({SPINDLE_STANDS})\n"
AT_THE_BLADE = "(what is said before this blade starts)"


def by_hand(text):
    """The same for a spindle that people set, start and switch off at stops."""
    return text.replace("S16000 M3\nG4 P2.0\n", f"{SET}M0\n{AGAIN}").replace("M5\n", f"{OFF}M0\n")


def head_of(text, setup, on):
    """What a head tells people of a setup and of the cutters that a text claims, as the writer writes it; lines."""
    if not on.dialect.comments:
        return []
    moves = (TraversePlane(0.0, 0.0), TraverseHeight(5.0), TraverseHeight(-5.0))
    depth = (Cut("", "", 0, moves),)
    speed = next(map(float, re.findall(r"set the spindle to (\d+)\b", text)), 16000.0)
    numbers = dict.fromkeys(map(int, re.findall(r"^\(setup=\S+ cutter=(\d+)", text, re.MULTILINE)))
    cutters = [each for each in map(on.cutter, numbers) if each is not None]
    paths = [CutterPath(each, CuttingFigures(speed, 400, 100, 0.8, ()), depth, of_blade(each)) for each in cutters]
    if not paths:
        return []
    sentences = header_sentences(Place("small", "test", "1.nc"), Toolpath(setup, on, tuple(paths)), tuple(paths))
    return [line for sentence in (*sentences, *of_edges(setup)) for line in comment_lines(sentence, 70)]


def of_edges(setup):
    """The sentences on cuts that run out and on clamps, with figures that are always careful enough."""
    near, far = (side.replace("side", "edge") for side in (setup.low_side, setup.high_side))
    past = f"up to 99.0 mm past the {near}, to Y -99.0, and up to 99.0 mm past the {far}, to Y 99.0"
    yield f"cuts run out {past}, as deep as Z -99.00, at X -99.0 to 999.0"
    yield "nothing 1.0 mm above the wood has room along its edges"


def of_blade(cutter):
    """The sentences on a saw, with figures that are always careful enough."""
    room = room_for_blade(99.0, dict.fromkeys(CLAMP_HEIGHTS_MM, 99.0))
    return (*of_saw(cutter), room, under_arbor(0.0)) if cutter.kind == "saw" else ()


def headed(text, setup=None, on=None):
    """A text behind the head of its setup, by its claim, and how many lines that is; a text that has none stays."""
    on = on or machine()
    setups = setup if isinstance(setup, list) else [setup or face()]
    named = re.search(r"^\(setup=([\w-]+) ", text, re.MULTILINE)
    mine = next((each for each in setups if named and each.name == named[1]), None)
    lines = [] if mine is None or ZERO_IN in text else head_of(text, mine, on)
    for blade in (each for each in on.cutters if each.kind == "saw" and f" cutter={each.number} " in text):
        text = text.replace(AT_THE_BLADE, f"({before_start(blade)})")
    return "".join(f"{line}\n" for line in lines) + text, len(lines)


def bore(centre=(10.0, 5.0), orbit=1.5, floor=-1.5, turns=2, final=3, feed="F300.0"):
    """Down a helix in thirds of a turn, round at the floor (``final`` thirds), and back to the centre."""
    (x, y), top = centre, 0.1
    lines = [f"G0 X{number(x)} Y{number(y)}", "G0 Z0.5", f"G1 Z{number(top)} F100.0", f"G1 X{number(x + orbit)} {feed}"]
    for third in range(1, 3 * turns + final + 1):
        before, angle = ((third - way) * 2 * math.pi / 3 for way in (1, 0))
        z = max(floor, top + (floor - top) * third / (3 * turns))
        end = f"X{number(x + orbit * math.cos(angle))} Y{number(y + orbit * math.sin(angle))} Z{number(z)}"
        lines.append(f"G3 {end} I{number(-orbit * math.cos(before))} J{number(-orbit * math.sin(before))}")
    return [*lines, f"G1 X{number(x)} Y{number(y)}", "G1 Z0.5", "G0 Z5.0"]


def fall(y):
    """How far the crown has fallen at y: R - sqrt(R**2 - y**2)."""
    return RADIUS - math.sqrt(RADIUS**2 - y**2)


def slot(x=20.0, radius=0.3, depth=-2.0, passes=6, follow=True, lanes=(0.0,), top=None, step=1.0):
    """A through slot, lane by lane at each depth, both ways, its floor followed millimetre by millimetre."""
    reach = HALF_WIDTH + radius + 0.5
    places = [-reach + step * n for n in range(int(2 * reach / step) + 1)] + [reach]
    lines, onward = [f"G0 X{number(x + lanes[0])} Y{number(-reach)}", "G0 Z0.5"], True
    for share in (n / passes for n in range(1, passes + 1)):
        for lane in lanes:
            for place, y in enumerate(places if onward else places[::-1]):
                under = max(abs(y) - radius, 0.0)
                floor = depth - (fall(under) if follow else 0.0)
                raw = -fall(under) if top else 0.0
                z = raw + (floor - raw) * share
                lines.append(f"G1 X{number(x + lane)} Y{number(y)} Z{number(z)} F{400.0 if place else 100.0}")
            onward = not onward
    return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]


def stopped(x=30.0, radius=0.3, ends=18.0, depth=-1.0, strokes=4):
    """A stopped slot, ramped to and fro, its floor run once more from end to end."""
    low, high = -(ends - radius), ends - radius
    lines = [f"G0 X{number(x)} Y{number(low)}", "G0 Z0.5", "G1 Z0.0 F100.0"]
    for stroke in range(1, strokes + 1):
        lines.append(f"G1 Y{number(high if stroke % 2 else low)} Z{number(depth * stroke / strokes)}")
    lines[3] += " F400.0"
    return [*lines, f"G1 Y{number(high)}", "G1 Z0.5 F100.0", "G0 Z5.0"]


def loops(x=20.0, off=0.05, ends=17.0, depth=-1.0, turns=4):
    """A slot cut round and round on a closed line, both sides and two half turns, down all the way, then once level."""
    turn = [(math.cos(way * math.pi / 4), math.sin(way * math.pi / 4)) for way in range(5)]
    ring = [(off, -ends / 3), (off, ends / 3), *((off * c, ends + off * s) for c, s in turn)]
    ring += [(-off, ends / 3), (-off, -ends / 3), *((-off * c, -ends - off * s) for c, s in turn)]
    way = [math.dist(one, other) for one, other in zip([ring[-1], *ring], ring, strict=False)]
    lines, gone = [f"G0 X{number(x + off)} Y{number(-ends)}", "G0 Z0.5", "G1 Z0.0 F100.0"], 0.0
    for (across, along), more in zip(ring * (turns + 1), way * (turns + 1), strict=True):
        gone += more
        z = max(depth * gone / (sum(way) * turns), depth)
        lines.append(f"G1 X{number(x + across)} Y{number(along)} Z{number(z)} F400.0")
    return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]


def pecks(centre=(45.0, -8.0), bottom=-2.4, peck=0.8, dwell=0.1):
    """A hole drilled in pecks, each cleared above the wood."""
    lines, depth = [f"G0 X{number(centre[0])} Y{number(centre[1])}", "G0 Z0.5"], 0.0
    while depth > bottom:
        depth = max(depth - peck, bottom)
        lines.append(f"G1 Z{number(depth)} F100.0")
        if depth > bottom:
            lines += ["G0 Z0.5", f"G0 Z{number(depth + 0.2)}"]
    return [*lines, f"G4 P{dwell}", "G1 Z0.5", "G0 Z5.0"]


def verdict(*texts, setup=None, on=None, completeness="named cuts", assumed=Assumed()):  # noqa: B008
    """Prove some programs of the small board, each behind its head; findings name the lines of the texts as given."""
    setups = setup if isinstance(setup, list) else [setup or face()]
    behind = [headed(text, setups, on) for text in texts]
    programs = [ProgramText(f"{n}.nc", text.encode("ascii")) for n, (text, _) in enumerate(behind, 1)]
    given = prove(programs, setups, on or machine(), assumed, completeness)
    heads = {f"{n}.nc": count for n, (_, count) in enumerate(behind, 1)}
    return replace(given, findings=tuple(told_from_the_text(each, heads.get(each.file, 0)) for each in given.findings))


def told_from_the_text(finding, head):
    """A finding with the lines of the text as it was before its head came before it."""
    message = re.sub(r"\bline (\d+)", lambda found: f"line {int(found[1]) - head}", finding.message)
    return replace(finding, message=message, line=finding.line and finding.line - head)


def rules(*texts, **how) -> set[int]:
    """The rules that hold something against some programs."""
    return broken(verdict(*texts, **how))


def broken(given: Verdict) -> set[int]:
    """The rules that a verdict names."""
    return {finding.rule for finding in given.findings}


def damaged(text, old, new, place=0):
    """A text with one of the places where ``old`` stands changed to ``new``."""
    parts = text.split(old)
    assert len(parts) > 1, f"{old!r} does not stand in the program"
    place %= len(parts) - 1
    return old.join(parts[: place + 1]) + new + old.join(parts[place + 1 :])
