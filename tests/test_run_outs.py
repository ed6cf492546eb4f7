"""What runs out past the long edges, and where clamps have room: told in heads, on card and page, and as it is.

The programs are read here line by line, with no other reader; the edges are straight lines between the
board's widths; clamps are stood where the words allow them, and the planner and the proof asked.
"""

import math
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely

from makers import INCH, a_board, a_machine
from pearlkerf.board.model import Blank
from pearlkerf.board.reader import read_board_text
from pearlkerf.errors import Refusal
from pearlkerf.files.inches import in_unit
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.pages import draw_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.holding import Holding
from pearlkerf.machine.model import Carrier, Cutter, Machine, Travel
from pearlkerf.machine.reader import read_machine
from pearlkerf.setups.lying import FAR_END, Mark
from pearlkerf.setups.marks import turn_to_marks
from pearlkerf.setups.run_outs import inside_mm
from pearlkerf.setups.selection import Choice
from pearlkerf.setups.set_up import set_up

MILLS = (
    Cutter(1, "end mill", 0.58, 2, 4.5, shank_mm=3.0, stick_out_mm=12.0),
    Cutter(2, "end mill", 3.0, 2, 12.0, shank_mm=3.0, stick_out_mm=20.0),
    Cutter(3, "end mill", 1.5, 2, 6.0, shank_mm=3.0, stick_out_mm=15.0),
)
SAW = Cutter(4, "saw", 63.0, 100, 9.0, 3000, 9000, plunges=False, kerf_mm=0.58, flange_mm=32.0, lowest_teeth="away")
UNSAID = tuple(replace(each, shank_mm=None, stick_out_mm=None) for each in MILLS)
SHORT = replace(a_machine(*MILLS), travel=Travel(260.0, 220.0, 70.0))
SLOW = replace(a_machine(*MILLS[1:], SAW), travel=Travel(900.0, 500.0, 120.0))
SLOW = replace(SLOW, spindle=replace(SLOW.spindle, slowest_rpm=2000.0))
THROUGH = {"face_dots": None, "side_dots": None, "fret_slots": replace(a_board().fret_slots, ends="through")}
STOPPED = THROUGH | {"fret_slots": replace(a_board().fret_slots, ends="stopped")}
BLANK = THROUGH | {"blank": Blank(66.0, 8.0, 7.0)}
CASES: dict[str, tuple[dict, Machine, str, float]] = {
    "plain": (THROUGH, a_machine(*MILLS), "", 0.0),
    "left": (THROUGH | {"hand": "left"}, a_machine(*MILLS), "", 0.0),
    "radiused": (THROUGH | {"state": "radiused"}, a_machine(*MILLS), "", 0.0),
    "in a blank": (BLANK, a_machine(*MILLS), "", 0.0),
    "a part": (THROUGH, a_machine(*MILLS), "frets 5-9", 0.0),
    "by slots": (THROUGH, SHORT, "", 0.0),
    "on a carrier": (THROUGH | {"hand": "left"}, replace(SHORT, carrier=Carrier(40.0)), "", 0.0),
    "in inches": (THROUGH, a_machine(*MILLS, unit="in", decimals=4), "", 0.0),
    "askew": (THROUGH, a_machine(*UNSAID), "", 0.6),
    "sawn": (THROUGH, SLOW, "", 0.0),
}
RUN_OUT = re.compile(
    r"cuts run out up to (\S+) mm past the (bass|treble) edge, to Y (\S+), and up to (\S+) mm past the (bass|treble) "
    r"edge, to Y (\S+), as deep as Z (\S+), at X (\S+) to (\S+)"
)
ROOM = re.compile(r"clamps up to (\S+) mm above the wood, over an edge by 10 mm at most, may stand at X (.+)")
# of a head in inches too: a figure before its unit, or after the name of an axis
INCHES = re.compile(r"(-?\d+\.\d+)(?= in\b| to \S+ in\b)|(?<=[XYZ] )(-?\d+\.\d+)|(?<=\d to )(-?\d+\.\d+)$")


@cache
def job_of(case: str) -> Job:
    changes, machine, only, angle = CASES[case]
    clampings = set_up(lay_out(a_board(**changes)))
    if angle:
        turn, length = math.radians(angle), a_board().length_mm
        clampings = turn_to_marks(clampings, [Mark(FAR_END, (length * math.cos(turn), length * math.sin(turn)))])
    return plan_job(clampings, machine, Choice(only=(only,) if only else ()))


@cache
def texts_of(case: str) -> dict[str, str]:
    return {program.file: program.text.decode("ascii") for program in make_programs(job_of(case), "test")}


def sentences_of(text: str) -> list[str]:
    return re.findall(r"\(([^()]*)\)", re.sub(r"\)\n(?:N\d+ )?\(- ", " ", text))


def told(text: str, pattern: re.Pattern[str]) -> re.Match[str]:
    told = sentences_of(text)
    if "\nG20\n" in text:
        told = [re.sub(r" in\b", " mm", INCHES.sub(lambda each: f"{float(each[0]) * INCH:.4f}", line)) for line in told]
    (found,) = [match for match in map(pattern.fullmatch, told) if match]
    return found


def lows(text: str, scale: float) -> np.ndarray:
    """X, Y, Z of both ends of every block that moves along or across and ends below zero, (n, 2, 3) mm."""
    place, found, motion = dict.fromkeys("XYZ", math.nan), [], ""
    for line in text.splitlines():
        if line.startswith("("):
            continue
        before = tuple(place.values())
        for letter, number in re.findall(r"([XYZG])(-?[\d.]+)", line):
            if letter == "G":
                motion = number if number in ("0", "1") else motion
            else:
                place[letter] = float(number) * scale
        if motion == "1" and place["Z"] < 0 and re.search(r"[XY]-?\d", line):
            found.append((before, tuple(place.values())))
    return np.array(found)


@pytest.mark.parametrize("case", [case for case in CASES if case != "askew"])
def test_how_far_cuts_run_out_is_what_the_programs_do(case: str) -> None:
    changes, machine, _, _ = CASES[case]
    board, hand = a_board(), changes.get("hand", "right")
    for file, text in texts_of(case).items():
        setup = next(each for each in job_of(case).clampings.setups if f"-{each.name}-" in file)
        ends = lows(text, INCH if machine.dialect.unit == "in" else 1.0)
        x, y, z = ends.reshape(-1, 3).T - np.array([[setup.placement.x_mm], [0.0], [0.0]])
        half = board.nut_width_mm / 2 + (board.end_width_mm - board.nut_width_mm) / 2 * x / board.length_mm
        half = np.full(len(x), 33.0) if "blank" in changes else half
        wide = np.sqrt(-z * (63.0 + z)) if case == "sawn" else np.full(len(z), 0.29)
        out = np.abs(y) > half
        far = (np.abs(y) + wide - half)[out].max() * math.cos(0 if "blank" in changes else 0.01344)
        low, near, to_low, high, other, to_high, deep, first, last = told(text, RUN_OUT).groups()
        assert (near, other) == (("bass", "treble") if hand == "right" else ("treble", "bass"))
        assert float(low) == pytest.approx(far, abs=0.06) and float(high) == pytest.approx(far, abs=0.06)
        assert float(to_high) == pytest.approx((y + wide)[out].max(), abs=0.06)
        assert float(to_low) == pytest.approx((y - wide)[out].min(), abs=0.06)
        assert float(deep) == pytest.approx(z[out].min(), abs=0.006)
        assert float(first) == pytest.approx(x.min() + setup.placement.x_mm - 0.29, abs=0.06)
        assert float(last) == pytest.approx(x.max() + setup.placement.x_mm + 0.29, abs=0.06)


def stretches(words: str) -> list[tuple[float, float]]:
    """What the words allow along X, those beyond the ends as far as a clamp there is broad."""
    found = []
    for each in words.split(", "):
        low, high = (re.search(pattern, each) for pattern in (r"^(?:from )?(-?[\d.]+)", r"(?:to )(-?[\d.]+) mm$"))
        begins = None if each.startswith("up to") else float(low[1])
        ends = None if each.startswith("from") else float(high[1])
        found.append((ends - 40.0 if begins is None else begins, begins + 40.0 if ends is None else ends))
    return found


def stand(case: str, setup: str, spans: list[tuple[float, float]], height: float) -> bool:
    """Say whether clamps may stand there together, 9 mm over either edge of the board at its narrowest."""
    changes, machine, _, _ = CASES[case]
    position, edge = int(setup.partition("-")[2] or 1), a_board().nut_width_mm / 2 - 9.0
    boxes = tuple(
        Holding(f"clamp {span} {y}", "face", span, y, height, "wood", position)
        for span in spans for y in ((-90.0, -edge), (edge, 90.0))
    )  # fmt: skip
    try:
        plan_job(set_up(lay_out(a_board(**changes, holding=boxes))), machine)
    except Refusal as refusal:
        assert all(problem.key.startswith("holding") for problem in refusal.problems), refusal
        return False
    return True


@pytest.mark.parametrize("case", ["plain", "left", "radiused", "on a carrier"])
def test_clamps_have_room_where_it_is_told_and_not_a_millimetre_farther(case: str) -> None:
    setup = job_of(case).clampings.setups[-1]
    room = told(next(text for file, text in texts_of(case).items() if f"-{setup.name}-" in file), ROOM)
    height, spans = float(room[1]), stretches(room[2])
    assert height == pytest.approx(7.0) and len(spans) > 1
    assert stand(case, setup.name, spans, height)
    (_, first), (low, high), (last, _) = spans[0], spans[len(spans) // 2], spans[-1]
    for farther in ((first - 30.0, first + 1.0), (low - 1.0, high), (last - 1.0, last + 30.0)):
        assert not stand(case, setup.name, [farther], height), farther


@pytest.mark.parametrize("case", CASES)
def test_heads_card_and_page_say_the_same(case: str, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = []
    monkeypatch.setattr("pearlkerf.jobs.pages.draw_card", lambda card: rows.extend(card.setups) or b"")
    job = job_of(case)
    verdict = prove_programs(job, {file: text.encode() for file, text in texts_of(case).items()})
    assert verdict.proved, verdict.findings
    page = draw_job(job, verdict, ())["dry-run.html"].decode()
    for row in rows:
        head = next(text for file, text in texts_of(case).items() if f"-{row.name}-" in file)
        unit = job.machine.dialect.unit
        said = [each for each in sentences_of(head) if re.match(r"cuts run out|clamps up|nothing .* has room", each)]
        assert len(said) == (1 if case == "sawn" else 2)
        in_head = [in_unit(each, unit) for _, each in row.told]
        assert [each for each in in_head if each in said] == said
        _, _, of_setup = page.partition(f"<h3>{row.name.capitalize()} setup</h3>")
        for each in (row.told[in_head.index(each)][1] for each in said):
            shown = re.search(f"<li>({each[:1].upper()}{re.escape(each[1:12])}[^<]*)</li>", of_setup)[1]
            # the page reads rounded figures back: the last digit may differ by one
            figures, read = (np.array(re.findall(r"-?\d+\.\d+", words), dtype=float) for words in (each, shown))
            assert re.sub(r"\d", "", each.lower()) == re.sub(r"\d", "", shown.lower())
            assert np.abs(figures - read).max() < 0.11


def test_nothing_is_said_where_no_slot_leaves_the_wood() -> None:
    job = plan_job(set_up(lay_out(a_board(**STOPPED))), a_machine(*MILLS))
    (program,) = make_programs(job, "test")
    assert "run out" not in program.text.decode() and "tape" not in program.text.decode()


def test_tape_and_screws_in_the_waste_are_told_where_there_is_waste() -> None:
    for case, screws in (("plain", False), ("in a blank", True)):
        (text,) = texts_of(case).values()
        said = sentences_of(text)
        assert "slots run out over both long edges, clamps stay away from there" in said
        (tape,) = [each for each in said if each.startswith("tape under all of the glue face")]
        assert ("screws in the waste" in tape) is screws


@pytest.mark.parametrize(
    "corners",
    [[(0, -20), (60, -26), (60, 26), (0, 20)], [(0, -20), (0, 20), (60, 26), (60, -26)],
     [(0, -20), (60, -26), (60, 26), (30, 5), (0, 20)]],
    ids=["tapered", "the other way round", "not convex"],
)  # fmt: skip
def test_how_far_strokes_stay_inside_is_what_a_look_at_each_says(corners) -> None:
    region, draw = shapely.Polygon(corners), np.random.default_rng(1)
    start = np.column_stack([draw.uniform(-10, 70, 400), draw.uniform(-30, 30, 400), np.zeros(400)])
    end = start + draw.uniform(-4, 4, (400, 3))
    lines = shapely.linestrings(np.stack([start[:, :2], end[:, :2]], axis=1))
    each = np.where(shapely.contains(region, lines), shapely.distance(lines, region.exterior), 0.0)
    assert 100 < (each > 0).sum() < 300
    assert np.abs(inside_mm(region, start, end) - each).max() < 1e-12  # binary fractions


def test_no_stroke_stays_inside_of_nothing() -> None:
    """What is left of an edge 6 mm thick where clamps reach over it by 10 mm from both sides."""
    assert inside_mm(shapely.box(0, 0, 60, 6).buffer(-10.0), np.zeros((2, 3)), np.ones((2, 3))).tolist() == [0.0, 0.0]


SQUARE_AT_SEVEN = """
unit = "mm"
[scale]
length = { bass = 660, treble = 632 }
frets = 20
[strings]
count = 6
spread_at_nut = 36
spread_at_bridge = 54
[board]
wood = "ebony"
length = 480
nut_width = 44
end_width = 57
thickness = 6.5
radius = "flat"
[fret_slots]
width = 0.58
depth = 2
"""


def test_a_setup_that_is_sawn_and_milled_tells_of_room_for_clamps_and_is_proved():
    machine = read_machine("workshop-saw")
    job = plan_job(set_up(lay_out(read_board_text(SQUARE_AT_SEVEN.encode("ascii"), "board.toml").board)), machine)
    kinds = {path.cutter.kind for toolpath in job.toolpaths for path in toolpath.paths}
    assert kinds == {"saw", "end mill"}  # the one fret that stands square, and all others
    verdict = prove_programs(job, {program.file: program.text for program in make_programs(job, "test")})
    assert not verdict.findings
