"""What holds the wood, laid into the setups that it stands in: upright boxes on the machine."""

from collections.abc import Iterator
from dataclasses import replace

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem
from pearlkerf.machine.holding import Holding
from pearlkerf.machine.model import Machine
from pearlkerf.setups.model import Box, Clampings, Setup


def with_holding(clampings: Clampings, machine: Machine) -> Clampings:
    """Give the clampings of a board whose setups know what holds them: the board file's boxes, then the profile's.

    A box stands on the machine, so its places are the machine's whatever turns or moves the board.  The
    warnings tell of boxes that stand nowhere.
    """
    board = clampings.layout.board
    if not board.holding and not machine.holding:
        return clampings
    setups = tuple(_held(setup, board, machine) for setup in clampings.setups)
    return replace(clampings, setups=setups, warnings=(*clampings.warnings, *_nowhere(clampings)))


def _nowhere(clampings: Clampings) -> Iterator[Problem]:
    """Tell of the board file's boxes for a position that there is none of: nothing is held against them."""
    for index, each in enumerate(clampings.layout.board.holding):
        there = [setup.number for setup in clampings.setups if setup.kind == each.setup]
        if there and each.position is not None and each.position not in there:
            count = "1 position" if len(there) == 1 else f"{len(there)} positions"
            yield Problem(
                key=f"holding.{index}.position",
                found=f"{each.name} is said to stand in position {each.position}, the {each.setup} setup is cut in "
                f"{count}: nothing is held against it",
                allowed="1" if len(there) == 1 else f"1 to {len(there)}",
                hint="leave position out where it stands there in all of them",
            )


def _held(setup: Setup, board: Board, machine: Machine) -> Setup:
    boxes = (*_boxes(setup, board.holding, "holding"), *_boxes(setup, machine.holding, ""))
    return replace(setup, holding=boxes) if boxes else setup


def _boxes(setup: Setup, holding: tuple[Holding, ...], key: str) -> Iterator[Box]:
    for index, each in enumerate(holding):
        if each.setup == setup.kind and each.position in (None, setup.number):
            (west, east), (south, north) = each.x_mm, each.y_mm
            corners = ((west, south), (east, south), (east, north), (west, north))
            yield Box(each.name, corners, top_mm(each, setup), f"{key}.{index}" if key else "")


def top_mm(holding: Holding, setup: Setup) -> float:
    """Give how high a box reaches, mm in the setup's Z: 0 on top of the wood, the bed below it."""
    return holding.height_mm - (setup.standing_mm if holding.above == "bed" else 0.0)
