"""Small boards, machines and cutting figures for the tests of the makers."""

from dataclasses import replace
from typing import Any

from pearlkerf.board.model import Board, FaceDots, FretSlots, Radius, Scale, SideDots
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.model import Layout
from pearlkerf.machine.cutting import CuttingFigures
from pearlkerf.machine.model import Cutter, Dialect, Machine, Motion, Spindle, Travel
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.set_up import set_up

INCH = 25.4
SLOT_MILL = Cutter(1, "end mill", 0.58, 2, 4.5)
POCKET_MILL = Cutter(2, "end mill", 3.0, 2, 12.0)
SIDE_MILL = Cutter(3, "end mill", 1.5, 2, 6.0)
FIGURES = CuttingFigures(20000.0, 300.0, 60.0, 0.2, ("test",))


def a_board(**changes: Any) -> Board:
    """Give a steel-string board, with changes."""
    board = Board(
        title="Harbour steel-string",
        scale=Scale(632.0, 20),
        length_mm=448.0,
        nut_width_mm=1.75 * INCH,
        end_width_mm=56.5,
        thickness_mm=6.5,
        radius=Radius(14 * INCH, 14 * INCH),
        wood="rosewood",
        fret_slots=FretSlots(0.58, 2.0),
        face_dots=FaceDots((3, 5, 7, 9, 12, 15, 17), 6.0, 1.5, 1.5, (12,)),
        side_dots=SideDots((3, 5, 7, 9, 12, 15, 17, 19), 2.0, 3.0, (12,)),
    )
    return replace(board, **changes)


def a_layout(**changes: Any) -> Layout:
    """Give the layout of a steel-string board, with changes."""
    return lay_out(a_board(**changes))


def clamped(**changes: Any) -> Clampings:
    """Give the setups of a steel-string board, with changes."""
    return set_up(a_layout(**changes))


def a_machine(*cutters: Cutter, **dialect: Any) -> Machine:
    """Give a router with these cutters (three mills if none are named) and this dialect."""
    return Machine(
        name="bench",
        title="a router on a bench",
        travel=Travel(650.0, 220.0, 70.0),
        spindle=Spindle(8000.0, 24000.0),
        motion=Motion((2000.0, 2000.0, 800.0), (1500.0, 1500.0, 500.0), (200.0, 200.0, 100.0), 8.0),
        dialect=Dialect(**dialect),
        cutters=cutters or (SLOT_MILL, POCKET_MILL, SIDE_MILL),
    )
