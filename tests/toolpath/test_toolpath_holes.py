"""Holes: a bore opens the whole disc, touches the wall only along its tangent, and never bites too deep."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from makers import FIGURES, POCKET_MILL, SIDE_MILL, a_machine, clamped
from pearlkerf.layout.features import Hole
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.model import Setup
from pearlkerf.toolpath.holes import bore, drill, helix_turns, ring_radii_mm
from pearlkerf.toolpath.moves import Arc, Drill, Move, TraverseHeight
from pearlkerf.toolpath.pen import Pen


def bored(hole: Hole, setup: Setup, cutter: Cutter) -> list[Move]:
    pen = Pen(FIGURES, a_machine(cutter))
    bore(hole, cutter, setup.stock, pen)
    return pen.moves


@given(st.floats(1.0, 12.0), st.floats(0.2, 0.98))
def test_rings_leave_nothing_between_them(diameter: float, part: float) -> None:
    cutter = diameter * part
    covered = 0.0
    for radius in ring_radii_mm(diameter, cutter):
        assert radius - cutter / 2 <= covered + 1e-9
        covered = radius + cutter / 2
    assert covered == pytest.approx(diameter / 2)


@given(st.floats(0.1, 5.0), st.floats(0.05, 3.0), st.floats(0.05, 2.0))
def test_helix_stays_within_bite_and_three_degrees(drop: float, radius: float, bite: float) -> None:
    pitch = drop / helix_turns(drop, radius, bite)
    assert pitch <= bite + 1e-5
    assert math.degrees(math.atan(pitch / (2 * math.pi * radius))) <= 3.0 + 1e-3


@pytest.mark.parametrize("cutter", [POCKET_MILL, SIDE_MILL])
def test_bore_ends_with_a_full_level_turn_at_the_floor(cutter: Cutter) -> None:
    setup = clamped().setups[0]
    hole = next(f for f in setup.features if isinstance(f, Hole))
    arcs = [move for move in bored(hole, setup, cutter) if isinstance(move, Arc)]
    outer = (hole.diameter_mm - cutter.diameter_mm) / 2
    level = [arc for arc in arcs if arc.z_mm == pytest.approx(hole.floor_mm)
             and math.dist((arc.x_mm, arc.y_mm), hole.centre) == pytest.approx(outer)]  # fmt: skip
    assert len(level) >= 4  # the helix's last third, then three thirds of a level turn


def test_wall_is_never_met_head_on() -> None:
    """Every change from one move to the next at the wall keeps its direction: entries and exits are tangents."""
    setup = clamped().setups[0]
    hole = next(f for f in setup.features if isinstance(f, Hole))
    arcs = [move for move in bored(hole, setup, POCKET_MILL) if isinstance(move, Arc)]
    for one, other in pairwise(arcs):
        meeting = np.array([one.x_mm, one.y_mm])
        assert float(heading(one, meeting) @ heading(other, meeting)) == pytest.approx(1.0)


def heading(arc: Arc, point: np.ndarray) -> np.ndarray:
    """Direction in which a counter-clockwise arc passes a point of its circle."""
    radial = point - (arc.centre_x_mm, arc.centre_y_mm)
    return np.array([-radial[1], radial[0]]) / np.linalg.norm(radial)


def test_drilled_hole_dwells_briefly_and_reaches_with_its_lips() -> None:
    setup = clamped().setups[1]
    hole = setup.features[0]
    assert isinstance(hole, Hole)
    bit = Cutter(9, "brad point", 2.0, 2, 20.0, point_length_mm=0.6)
    pen = Pen(FIGURES, a_machine(bit))
    drill(hole, bit, setup.stock, pen)
    drilled = next(move for move in pen.moves if isinstance(move, Drill))
    assert drilled.bottom_mm == pytest.approx(hole.floor_mm - 0.6)
    assert 0 < drilled.dwell_s <= 0.2
    assert isinstance(pen.moves[-1], TraverseHeight)
