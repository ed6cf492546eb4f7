"""From a board to its layout: every position and depth, and the setups that cut them."""

from collections.abc import Callable, Iterator

from pearlkerf.board.model import Board
from pearlkerf.errors import Refusal
from pearlkerf.layout import checks, dot_checks
from pearlkerf.layout.checks import Laid, Remark
from pearlkerf.layout.face_dots import face_dot_row, face_dots
from pearlkerf.layout.frets import fret_distances_mm
from pearlkerf.layout.model import FretRow, Layout
from pearlkerf.layout.outline import half_width_mm, outline, surface
from pearlkerf.layout.setups import edge_setup, face_setup
from pearlkerf.layout.side_dots import side_dot_row, side_dots
from pearlkerf.layout.slots import deepest_mm, fret_slots

CHECKS: tuple[Callable[[Laid], Iterator[Remark]], ...] = (
    checks.check_frets,
    checks.check_slots,
    checks.check_wood_under_dots,
    checks.check_dots_between_slots,
    dot_checks.check_shell,
    dot_checks.check_face_dot_edges,
    dot_checks.check_side_dot_height,
    dot_checks.check_side_dot_depth,
    dot_checks.check_side_against_face,
)


def lay_out(board: Board) -> Layout:
    """Lay out a board.

    Raises Refusal with every problem at once; their keys are those of the board file, their places
    in the file are added by who read it.  What is only doubtful comes back as warnings.
    """
    finished = surface(board)
    frets = fret_distances_mm(board.scale.length_mm, board.scale.frets)
    frets.setflags(write=False)
    slots = fret_slots(board, finished, frets)
    face, side = face_dots(board, finished, frets), side_dots(board, frets)
    laid = Laid(board, finished, frets, slots, face, side)
    remarks = [remark for check in CHECKS for remark in check(laid)]
    refused = [remark.problem for remark in remarks if remark.weight == "refused"]
    if refused:
        raise Refusal(refused)
    setups = (face_setup(board, finished, slots, face), edge_setup(board, side))
    return Layout(
        board=board,
        surface=finished,
        outline=outline(board),
        frets_mm=frets,
        slots=slots,
        face_dots=face,
        side_dots=side,
        fret_rows=_fret_rows(laid),
        face_dot_rows=tuple(face_dot_row(board, hole) for hole in face),
        side_dot_rows=tuple(side_dot_row(board, hole) for hole in side),
        setups=tuple(setup for setup in setups if setup.features),
        warnings=tuple(remark.problem for remark in remarks if remark.weight == "doubtful"),
    )


def _fret_rows(laid: Laid) -> tuple[FretRow, ...]:
    board, rows, before = laid.board, [], 0.0
    for number, x in enumerate(laid.frets_mm.tolist(), 1):
        half = half_width_mm(board, x)
        slot = laid.slots[number - 1] if laid.slots else None
        depth = None if slot is None else -float(slot.floor.z_mm(x, 0.0))
        left = None if slot is None else board.thickness_mm - deepest_mm(slot, half)
        rows.append(FretRow(number, x, x - before, 2 * half, depth, left))
        before = x
    return tuple(rows)
