"""What the calibration card says of wrong figures, held against machines that are wrong in known ways.

A machine with wrong steps, backlash, axes that are not square, or runout is played here on the programs'
own motion, sampled by the tests; the piece that it would cut is measured as the card says.
"""

import json
import math
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from pearlkerf import way as way_to
from pearlkerf.cli import main
from pearlkerf.jobs.pieces import Wish
from pearlkerf.machine.reader import read_machine
from pearlkerf.setups.scrap import Scrap
from sampled_motion import Path as Way
from sampled_motion import sample

BOARD = Path(__file__).parents[1] / "examples" / "harbour-steel-string.toml"
CUTTER_MM = 3.0
NEAR_MM = 0.004  # positions are written to 0.001 mm


@dataclass(frozen=True)
class Shop:
    """A machine's faults: steps that are too long by a part, backlash, how far Y leans, runout; mm, rad."""

    steps: tuple[float, float] = (1.0, 1.0)
    backlash: tuple[float, float] = (0.0, 0.0)
    lean: float = 0.0
    runout: float = 0.0


def went(way: Way, shop: Shop) -> dict[str, list[np.ndarray]]:
    """Give where the tip really goes: runs of feed as (n, 3) points.

    A screw with backlash stands still while it turns back: the axis lies behind the way that it last moved.
    """
    behind = np.zeros(2)
    last = np.full(2, np.nan)
    runs = []
    for what, index in way.order:
        points = (way.runs if what == "run" else way.rapids)[index]
        real = []
        for point in points:
            for axis in (0, 1):
                step = point[axis] - last[axis]
                if abs(step) > 1e-9:
                    behind[axis] = -math.copysign(shop.backlash[axis] / 2, step)
            last = np.where(np.isnan(point[:2]), last, point[:2])
            x, y = (point[:2] + behind) * shop.steps
            real.append([x + y * math.sin(shop.lean), y * math.cos(shop.lean), point[2]])
        if what == "run":
            runs.append(np.array(real))
    return {"runs": runs}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Way, dict[str, float], str]:
    """Give the program's motion, the card's figures by what is measured, and all that the card says of wrong ones."""
    folder = tmp_path_factory.mktemp("calibration") / "job"
    asked = ["coupon", str(BOARD), "-m", "benchtop-arcs", "-o", str(folder), "--kind", "calibration", "--json"]
    result = CliRunner().invoke(main, asked)
    assert result.exit_code == 0, result.stderr
    (program,) = folder.glob("*.nc")
    measures = json.loads(result.stdout)["measures"]
    figures = {each["what"]: each["figure_mm"] for each in measures}
    return sample(program.read_text("ascii"))[2], figures, " ".join(each["says"] for each in measures)


@pytest.fixture(scope="module")
def way(made: tuple[Way, dict[str, float], str]) -> Way:
    return made[0]


@dataclass(frozen=True)
class Piece:
    """What is measured on a piece, in the card's words; mm."""

    slots_apart: float
    slot_width: float
    square: tuple[float, float]
    diagonals: tuple[float, float]  # from the near left corner, from the near right one
    holes: dict[str, np.ndarray]


def measured(way: Way, shop: Shop) -> Piece:
    """Cut a piece on a machine and measure it, as the card says: 40 mm square, 120 mm between slots."""
    runs = went(way, shop)["runs"]
    width = CUTTER_MM + shop.runout
    holes, grooves = [], []
    for run, after in zip(runs, [*runs[1:], runs[-1]], strict=True):
        low = run[run[:, 2] <= -1.9][:, :2]
        if len(low) and np.ptp(run[:, :2], axis=0).max() > 1.0:
            grooves.append(low)
        elif len(low) and run[-1, 2] < run[0, 2] and np.ptp(after[:, :2], axis=0).max() < 0.1:  # up again there
            holes.append(low[0])
    named = {}
    for hole in sorted(holes, key=lambda hole: (round(hole[1] / 5), hole[0])):
        if all(math.dist(hole, other) > 5 for other in named.values()):
            named["ABCDE"[len(named)]] = hole
    along_y = sorted((run for run in _lines(grooves, 1) if np.ptp(run[:, 1]) < 11), key=lambda run: run[0, 0])
    square_y = sorted((run for run in _lines(grooves, 1) if np.ptp(run[:, 1]) > 30), key=lambda run: run[0, 0])
    square_x = sorted((run for run in _lines(grooves, 0) if np.ptp(run[:, 0]) > 30), key=lambda run: run[0, 1])
    corners = {
        (i, j): _cross(_inner(square_y[i], width, 1 - 2 * i), _inner(square_x[j], width, 2 * j - 1))
        for i in (0, 1)
        for j in (0, 1)
    }
    return Piece(
        slots_apart=float(along_y[-1][0, 0] - along_y[0][0, 0]),
        slot_width=width,
        square=(math.dist(corners[0, 0], corners[1, 0]), math.dist(corners[0, 0], corners[0, 1])),
        diagonals=(math.dist(corners[0, 0], corners[1, 1]), math.dist(corners[1, 0], corners[0, 1])),
        holes=named,
    )


def _lines(runs: list[np.ndarray], axis: int) -> list[np.ndarray]:
    """Give the longest run along each groove of an axis."""
    best: dict[int, np.ndarray] = {}
    for run in runs:
        if np.ptp(run[:, axis]) > 3 * np.ptp(run[:, 1 - axis]):
            place = round(2 * float(np.mean(run[:, 1 - axis])))
            if place not in best or np.ptp(run[:, axis]) > np.ptp(best[place][:, axis]):
                best[place] = run[np.argsort(run[:, axis])]
    return list(best.values())


def _inner(run: np.ndarray, width: float, side: int) -> tuple[np.ndarray, np.ndarray]:
    """Give the wall of a groove that faces the square, as a point and a direction."""
    along = (run[-1] - run[0]) / np.linalg.norm(run[-1] - run[0])
    right = np.array([along[1], -along[0]])
    return run[0] + right * side * width / 2, along


def _cross(one: tuple[np.ndarray, np.ndarray], other: tuple[np.ndarray, np.ndarray]) -> np.ndarray:
    (p, d), (q, e) = one, other
    share = np.linalg.solve(np.column_stack([d, -e]), q - p)[0]
    return p + d * share


def apart(piece: Piece, first: str, second: str) -> float:
    return math.dist(piece.holes[first], piece.holes[second])


def test_a_right_machine_gives_every_figure_of_the_card(made: tuple[Way, dict[str, float], str]) -> None:
    way, figures, says = made
    piece = measured(way, Shop())
    assert figures["slot 1 to slot 2"] == 120.0 and "120.00 mm / what you measure" in says
    assert figures["slots 1 and 2"] == figures["holes A to E"] == CUTTER_MM
    assert figures["square, left to right"] == figures["square, near to far"] == 40.0
    assert "43.00 mm / (what you measure and the width of a slot)" in says
    assert figures["square, both diagonals"] == pytest.approx(56.568542, abs=1e-6)
    assert "0.10 mm is 1.8 in 1000" in says
    assert [figures[f"hole {one} to hole {other}"] for one, other in ("AB", "BC", "AD", "DE")] == [20.0] * 4
    assert piece.slots_apart == pytest.approx(120.0, abs=NEAR_MM)
    assert piece.square == pytest.approx((40.0, 40.0), abs=NEAR_MM)
    assert piece.diagonals == pytest.approx((40.0 * math.sqrt(2),) * 2, abs=NEAR_MM)
    for pair in ("AB", "BC", "AD", "DE"):
        assert apart(piece, *pair) == pytest.approx(20.0, abs=NEAR_MM)


def test_wrong_steps_are_mended_by_the_factors_of_the_card(way: Way) -> None:
    piece = measured(way, Shop(steps=(1.004, 0.993)))
    assert 120.0 / piece.slots_apart == pytest.approx(1 / 1.004, abs=1e-4)
    for side, steps in zip(piece.square, (1.004, 0.993), strict=True):
        assert 43.0 / (side + piece.slot_width) == pytest.approx(1 / steps, abs=1e-4)
    assert apart(piece, "A", "B") == pytest.approx(20 * 1.004, abs=NEAR_MM)
    assert apart(piece, "A", "D") == pytest.approx(20 * 0.993, abs=NEAR_MM)


def test_backlash_is_what_the_last_holes_lie_farther_apart(way: Way) -> None:
    piece = measured(way, Shop(backlash=(0.12, 0.07)))
    assert apart(piece, "B", "C") - apart(piece, "A", "B") == pytest.approx(0.12, abs=NEAR_MM)
    assert apart(piece, "D", "E") - apart(piece, "A", "D") == pytest.approx(0.07, abs=NEAR_MM)
    assert piece.slots_apart == pytest.approx(120.0, abs=NEAR_MM)  # all else is approached from one side


def test_runout_makes_the_square_as_much_smaller_as_the_slots_are_wider(way: Way) -> None:
    piece = measured(way, Shop(runout=0.05))
    assert piece.slot_width - CUTTER_MM == pytest.approx(0.05)
    assert piece.square == pytest.approx((39.95, 39.95), abs=NEAR_MM)
    assert piece.slots_apart == pytest.approx(120.0, abs=NEAR_MM)


def test_a_leaning_axis_shows_in_the_diagonals_as_the_card_says(way: Way) -> None:
    """0.10 mm between diagonals of a 40 mm square: 0.18 mm in 100 mm; longer from the near left: Y leans right."""
    lean = math.atan(0.0017678)  # 10 / (sqrt(2) * 40), in 100 mm
    piece = measured(way, Shop(lean=lean))
    assert piece.diagonals[0] - piece.diagonals[1] == pytest.approx(0.10, abs=NEAR_MM)


def named_lows(program: str) -> dict[str, np.ndarray]:
    """Give the lowest places of every named cut, (n, 3) mm."""
    place, lows, name = {"X": math.nan, "Y": math.nan, "Z": math.nan}, {}, ""
    for line in program.splitlines():
        if line.startswith("("):
            name = line.strip("()").partition(", ")[0]
            continue
        for axis, figure in re.findall(r"([XYZ])(-?[\d.]+)", line):
            place[axis] = float(figure)
        if place["Z"] < 0:
            lows.setdefault(name, []).append(tuple(place.values()))
    found = {of: np.array(places) for of, places in lows.items()}
    return {of: places[places[:, 2] <= places[:, 2].min() + 1e-9] for of, places in found.items()}


@pytest.fixture(scope="module")
def lows(tmp_path_factory: pytest.TempPathFactory) -> dict[str, np.ndarray]:
    job = way_to.plan_on_scrap(way_to.look_at(BOARD), read_machine("benchtop-arcs"), Wish("calibration"))
    (program,) = way_to.make(job, b"", b"").programs
    return named_lows(program.text.decode("ascii"))


def test_wrong_steps_of_z_are_mended_by_the_factor_of_the_card(
    made: tuple[Way, dict[str, float], str], lows: dict[str, np.ndarray]
) -> None:
    """What Z was zeroed on drops out of the difference: zero 0.2 mm too low, steps 1.2 % too long."""
    _, figures, says = made
    assert (figures["depth 1"], figures["depth 2 less depth 1"]) == (0.5, 4.5) and "4.50 mm / what you measure" in says
    depth = [-1.012 * lows[name][0, 2] + 0.2 for name in ("depth 1", "depth 2")]
    assert depth[0] == pytest.approx(0.5 * 1.012 + 0.2) and depth[1] > 5.0
    assert 4.5 / (depth[1] - depth[0]) == pytest.approx(1 / 1.012)


@pytest.mark.parametrize(("along", "across"), [("Y", 0), ("X", 1)])
def test_a_leaning_spindle_leaves_steps_between_lanes_as_the_card_says(
    along: str, across: int, made: tuple[Way, dict[str, float], str], lows: dict[str, np.ndarray]
) -> None:
    """The disc leans with the spindle: a lane's floor at c + s is deeper by s tan(lean), which a tooth's edge cuts."""
    _, figures, says = made
    lanes = [lows[f"lane {number} along {along}"] for number in (1, 2, 3)]
    middles = [float(np.median(lane[:, across])) for lane in lanes]
    depths = [-float(lane[0, 2]) for lane in lanes]
    assert figures[f"lanes along {along}"] == 0.0 and depths == [0.3] * 3
    apart = middles[1] - middles[0]
    assert middles[2] - middles[1] == pytest.approx(apart) and 0 < apart < CUTTER_MM
    # 3 mm lanes 2.4 mm apart, and a lean of 0.42 mm in 100: where one lane ends the next stands this much higher
    lean = 0.42 / 100
    low_edge, high_edge = 0.3 + CUTTER_MM / 2 * lean, 0.3 - (CUTTER_MM / 2 - (CUTTER_MM - apart)) * lean
    assert low_edge - high_edge == pytest.approx(0.01, abs=0.0005)
    assert "0.01 mm is 4.2 in 1000" in says
    assert ("leans to the left" if along == "Y" else "leans toward you") in says


def test_scrap_too_thin_for_depths_says_so_and_a_drill_has_neither() -> None:
    look, machine = way_to.look_at(BOARD), read_machine("workshop-cycles")
    for wish, left_out in ((Wish("calibration", Scrap(140.0, 80.0, 2.5)), "the steps of Z are left out"),
                           (Wish("calibration", None, cutter=3), "the slots are left out")):  # fmt: skip
        job = way_to.plan_on_scrap(look, machine, wish)
        assert any(left_out in problem.found for problem in job.warnings)
        assert not any("depth" in feature.name for feature in job.clampings.setups[0].features)
