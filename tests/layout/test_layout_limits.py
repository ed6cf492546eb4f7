"""Where a limit lies: just inside it nothing is said, just outside it a board is warned of or refused.

Distances in plan are shapely's, of shapes that are built here apart from the layout's own.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from mending import change
from shapely import LineString, Point, Polygon

from makers import a_board
from pearlkerf.board.model import Board, FaceDots, FretSlots, Radius, Scale, SideDots
from pearlkerf.errors import Refusal
from pearlkerf.layout.dot_walls import walls_to_slots_mm
from pearlkerf.layout.face_dots import fall_over_disc_mm
from pearlkerf.layout.features import Hole
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.surfaces import Crown

STEP = 0.002  # mm either side of a limit
FLAT = Radius(math.inf, math.inf)
SLOTTED = a_board(radius=FLAT, face_dots=None, side_dots=None)
# a wedge of a board: its edges lie at 11 degrees, so that what is square to an edge shows
WEDGE = replace(SLOTTED, scale=Scale(300.0, 4), length_mm=100.0, nut_width_mm=20.0, end_width_mm=60.0, fret_slots=None)


def verdict(board: Board, key: str) -> str:
    """Say what becomes of a board on account of one key."""
    try:
        layout = lay_out(board)
    except Refusal as refusal:
        return "refused" if key in {problem.key for problem in refusal.problems} else "refused for something else"
    return "warned" if key in {problem.key for problem in layout.warnings} else "accepted"


def verdicts(key: str, make, least: float, advised: float) -> list[str]:
    """Say what becomes of boards that leave a little less and a little more than two limits."""
    return [verdict(make(left), key) for left in (least - STEP, least + STEP, advised - STEP, advised + STEP)]


BOTH_LIMITS = ["refused", "warned", "warned", "accepted"]


def test_half_a_millimetre_between_slots():
    gap = 632.0 * (2 ** (-19 / 12) - 2 ** (-20 / 12))

    def leaving(wood):
        return change(SLOTTED, "fret_slots", width_mm=gap - wood)

    assert verdicts("fret_slots.width", leaving, 0.5, 1.0) == BOTH_LIMITS


def test_a_millimetre_and_a_half_under_slots():
    def leaving(wood):
        return change(SLOTTED, "fret_slots", depth_mm=6.5 - 0.2 - wood)

    assert verdicts("fret_slots.depth", leaving, 1.5, 2.5) == BOTH_LIMITS


def test_a_millimetre_and_a_half_under_the_deepest_pocket():
    """Under a radius the pockets of a double lie deeper than all others."""
    quarter = (44.45 + 12.05 * 632 * (1 - (2 ** (-11 / 12) + 0.5) / 2) / 448) / 4
    fall = 355.6 - math.sqrt(355.6**2 - (quarter - 3.0) ** 2)

    def leaving(wood):
        shell = 6.5 - wood - fall  # as much proud as is taken off the crown
        return replace(a_board(side_dots=None, fret_slots=None), face_dots=FaceDots((3, 12), 6.0, shell, shell, (12,)))

    assert verdicts("face_dots.thickness", leaving, 1.5, 2.5) == BOTH_LIMITS


def test_half_a_millimetre_beside_a_face_dot():
    gap = 632.0 * (2 ** (-16 / 12) - 2 ** (-17 / 12))

    def leaving(wood):
        return replace(SLOTTED, face_dots=FaceDots((17,), gap - 0.58 - 2 * wood, 1.5, 1.5))

    assert verdicts("face_dots.diameter", leaving, 0.5, 1.0) == BOTH_LIMITS


def test_half_a_millimetre_between_doubles():
    def leaving(wood):
        return replace(SLOTTED, face_dots=FaceDots((12,), 6.0, 1.5, 1.5, (12,), spacing_mm=6.0 + wood))

    assert verdicts("face_dots.spacing", leaving, 0.5, 1.0) == BOTH_LIMITS


def test_half_a_millimetre_to_a_slanting_edge():
    edge = LineString([(0.0, 10.0), (100.0, 30.0)])
    x = 300.0 * (1 - (2 ** (-2 / 12) + 2 ** (-3 / 12)) / 2)

    def leaving(wood):
        across = (10.0 + 0.2 * x) - (wood + 2.0) / math.cos(math.atan(0.2))
        assert edge.distance(Point(x, across)) == pytest.approx(wood + 2.0)
        return replace(WEDGE, face_dots=FaceDots((3,), 4.0, 1.5, 1.5, (3,), spacing_mm=2 * across))

    assert verdicts("face_dots.spacing", leaving, 0.5, 1.0) == BOTH_LIMITS


def test_shell_that_is_left():
    """Refused by the maker's own shell_left, warned of under 0.8 mm."""
    fall = 355.6 - math.sqrt(355.6**2 - 9.0)

    def leaving(shell):
        thick = shell + fall + 0.2
        return a_board(face_dots=FaceDots((5,), 6.0, thick, thick, shell_left_mm=0.6), side_dots=None)

    assert verdicts("face_dots.thickness", leaving, 0.6, 0.8) == BOTH_LIMITS


def test_shell_that_stands_too_proud():
    def standing(proud):
        return replace(SLOTTED, face_dots=FaceDots((5,), 6.0, 1.5, 1.3 + proud))

    found = [verdict(standing(proud), "face_dots.thickness") for proud in (0.5 - STEP, 0.5 + STEP)]
    assert found == ["accepted", "warned"]


def test_the_last_slot_lies_on_the_board_with_both_walls():
    last = 632.0 * (1 - 2 ** (-20 / 12))

    def leaving(wood):
        return replace(SLOTTED, length_mm=last + 0.29 + wood)

    assert verdicts("scale.frets", leaving, 0.0, 2.0) == BOTH_LIMITS


def test_half_a_millimetre_beside_stopped_slots():
    def leaving(wood):
        return change(SLOTTED, "fret_slots", ends="stopped", margin_mm=wood)

    assert verdicts("fret_slots.margin", leaving, 0.5, 1.0) == BOTH_LIMITS


def test_four_widths_of_a_stopped_slot():
    """The shortest lies at the nut, where the board is narrowest."""
    half = (44.45 + 12.05 * 632.0 * (1 - 2 ** (-1 / 12)) / 448) / 2
    found = [verdict(change(SLOTTED, "fret_slots", ends="stopped", margin_mm=half - 2 * 0.58 + step),
                     "fret_slots.margin") for step in (-STEP, STEP)]  # fmt: skip
    assert found == ["accepted", "refused"]


def test_an_edge_that_the_radius_leaves():
    """Half a millimetre of a 6.5 mm board: a fall of 5.8 mm over 28.25 mm is a radius of 71.7 mm."""
    radius = (28.25**2 + 5.8**2) / (2 * 5.8)
    board = replace(SLOTTED, fret_slots=None)
    found = [verdict(replace(board, radius=Radius(r, r)), "board.radius") for r in (radius - 0.01, radius + 0.01)]
    assert found == ["refused", "accepted"]


def test_a_millimetre_and_a_half_behind_side_dots():
    width = 44.45 + 12.05 * 632 * (1 - (2 ** (-2 / 12) + 2 ** (-3 / 12)) / 2) / 448

    def leaving(wood):
        return replace(SLOTTED, fret_slots=None, side_dots=SideDots((3, 12), 2.0, width - wood))

    # so long a hole is the whole width of the board, and slants by 1/70 of it: keep clear of the frets
    assert verdicts("side_dots.depth", leaving, 1.5, 2.5) == BOTH_LIMITS


def test_half_a_millimetre_between_side_doubles():
    def leaving(wood):
        return replace(SLOTTED, side_dots=SideDots((5,), 2.0, 3.0, (5,), spacing_mm=2.0 + wood))

    assert verdicts("side_dots.spacing", leaving, 0.5, 1.0) == BOTH_LIMITS


@pytest.mark.parametrize(("low", "allowed"), [(1.8, 4.5), (1.8 - STEP, 0.0), (4.5 + STEP, 0.0)])
def test_a_height_inside_its_interval(low, allowed):
    """A flat board: from d/2 + margin to 6.3 - d/2 - margin."""
    found = verdict(replace(SLOTTED, side_dots=SideDots((5,), 2.0, 3.0, height_mm=low)), "side_dots.height")
    assert found == ("accepted" if allowed else "refused")


def hole_in_plan(x_mm: float, depth_mm: float, diameter_mm: float) -> Polygon:
    """A side-dot hole of the wedge seen from above: square to the bass edge, which runs from (0, -10) to (100, -30)."""
    along = np.array([1.0, -0.2]) / math.hypot(1.0, 0.2)
    inward = np.array([0.2, 1.0]) / math.hypot(1.0, 0.2)
    mouth = np.array([x_mm, -10.0 - 0.2 * x_mm])
    half = along * diameter_mm / 2
    return Polygon([mouth - half, mouth + half, mouth + half + inward * depth_mm, mouth - half + inward * depth_mm])


@pytest.mark.parametrize("hand", ["right", "left"])
def test_half_a_millimetre_between_a_side_dot_and_a_pocket(hand):
    """On a wedge, where the hole runs aslant under the face; the pocket is deeper than the hole lies."""
    x = 300.0 * (1 - (2 ** (-2 / 12) + 2 ** (-3 / 12)) / 2)
    pocket = Point(x, -7.0)

    def leaving(wood):
        low, high = 0.5, 14.0
        for _ in range(60):
            depth = (low + high) / 2
            apart = hole_in_plan(x, depth, 2.0).distance(pocket) - 2.0
            low, high = (depth, high) if apart > wood else (low, depth)
        return replace(WEDGE, hand=hand, side_dots=SideDots((3,), 2.0, low, height_mm=4.0),
                       face_dots=FaceDots((3,), 4.0, 3.0, 3.0, (3,), spacing_mm=14.0))  # fmt: skip

    assert verdicts("side_dots.depth", leaving, 0.5, 1.0) == BOTH_LIMITS


def test_half_a_millimetre_between_a_side_double_and_a_pocket():
    """The two holes lie before and behind the pocket along the slanting edge; the nearer one counts."""
    x = 300.0 * (1 - (2 ** (-2 / 12) + 2 ** (-3 / 12)) / 2)
    pocket, apart = Point(x, -7.0), 2.0 * math.cos(math.atan(0.2))

    def leaving(wood):
        low, high = 0.5, 14.0
        for _ in range(60):
            depth = (low + high) / 2
            nearer = min(hole_in_plan(x + away, depth, 1.0).distance(pocket) for away in (-apart, apart))
            low, high = (depth, high) if nearer - 2.0 > wood else (low, depth)
        return replace(WEDGE, side_dots=SideDots((3,), 1.0, low, (3,), height_mm=4.0, spacing_mm=4.0),
                       face_dots=FaceDots((3,), 4.0, 3.0, 3.0, (3,), spacing_mm=14.0))  # fmt: skip

    assert verdicts("side_dots.depth", leaving, 0.5, 1.0) == BOTH_LIMITS


@pytest.mark.parametrize("hand", ["right", "left"])
def test_it_is_the_pocket_on_the_bass_side_that_is_named(hand):
    board = replace(WEDGE, hand=hand, side_dots=SideDots((3,), 2.0, 9.0, height_mm=4.0),
                    face_dots=FaceDots((3,), 4.0, 3.0, 3.0, (3,), spacing_mm=14.0))  # fmt: skip
    with pytest.raises(Refusal, match="between side dot 3 and face dot 3, bass side"):
        lay_out(board)


@pytest.mark.parametrize("height", [2.0 - STEP, 2.0 + STEP])
def test_half_a_millimetre_between_a_side_dot_and_the_pocket_over_it(height):
    """The pocket's floor lies 3.5 mm below the top of 6.5 mm, so 3.0 mm above the glue face."""
    board = replace(SLOTTED, side_dots=SideDots((5,), 1.0, 28.0, height_mm=height, margin_mm=0.5),
                    face_dots=FaceDots((5,), 6.0, 3.5, 3.5))  # fmt: skip
    assert verdict(board, "side_dots.depth") == ("refused" if height > 2.0 else "warned")


@pytest.mark.parametrize("grows", [40.0, -40.0])
def test_half_a_millimetre_between_a_side_dot_and_slots_all_down_the_hole(grows):
    """Square to an edge at 11 degrees the hole's bottom comes nearer to one slot, whichever way the board widens."""
    nut, end = (20.0, 60.0) if grows > 0 else (60.0, 20.0)
    x2, x3 = (300.0 * (1 - 2 ** (-n / 12)) for n in (2, 3))
    middle, angle = (x2 + x3) / 2, math.atan(0.2)

    def leaving(wood):
        # the farther hole's middle at its mouth, then aslant by 6 mm times the sine, then its radius
        away = (x3 - x2) / 2 - 0.29 - wood - 1.0 - 6.0 * math.sin(angle)
        spacing = 2 * away / math.cos(angle)
        side = SideDots((3,), 2.0, 6.0, (3,), spacing_mm=spacing)
        return replace(WEDGE, nut_width_mm=nut, end_width_mm=end, side_dots=side, fret_slots=FretSlots(0.58, 2.0))

    assert middle > 0
    assert verdicts("side_dots.spacing", leaving, 0.5, 1.0) == BOTH_LIMITS


def test_stopped_slots_do_not_let_a_side_dot_run_off_the_nut_end():
    board = replace(change(SLOTTED, "fret_slots", ends="stopped", margin_mm=5.0),
                    side_dots=SideDots((1,), 2.0, 3.0, (1,), spacing_mm=34.0))  # fmt: skip
    assert verdict(board, "side_dots.spacing") == "refused"


def test_walls_count_from_the_slots_and_from_the_nut_end():
    laid = lay_out(SLOTTED)
    first, second = (float(x) for x in laid.frets_mm[:2])

    def wall(number, x):
        return walls_to_slots_mm(laid, Hole("side dots", number, "", (x, 3.0), 2.0, -3.0, -3.0, -3.0), (x, 22.0))

    assert wall(1, 4.0) == pytest.approx(3.0)
    assert wall(1, first - 4.0) == pytest.approx(3.0 - 0.29)
    assert wall(2, first + 4.0) == pytest.approx(3.0 - 0.29)
    assert wall(2, second - 4.0) == pytest.approx(3.0 - 0.29)


@pytest.mark.parametrize("centre", [(100.0, 15.0), (100.0, -15.0), (30.0, 2.0), (440.0, 8.0)])
def test_fall_over_the_rim_of_a_dot_on_a_strongly_compound_surface(centre):
    """Against the textbook's sagitta at a hundred thousand places of the rim."""
    angle = np.linspace(0, 2 * np.pi, 100_001)
    x, y = centre[0] + 4.0 * np.cos(angle), centre[1] + 4.0 * np.sin(angle)
    radius = 120.0 + (700.0 - 120.0) * np.clip(x / 450.0, 0, 1)
    rim = radius - np.sqrt(radius**2 - y**2)
    least, greatest = fall_over_disc_mm(Crown(120.0, 700.0, 450.0), centre, 4.0)
    assert greatest == pytest.approx(rim.max(), abs=1e-6)
    assert least == pytest.approx(0.0 if abs(centre[1]) < 4.0 else rim.min(), abs=1e-6)
