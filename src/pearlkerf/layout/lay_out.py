"""From a board to its layout: every position and depth."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any, Final

from pearlkerf.board.model import Board
from pearlkerf.errors import Refusal
from pearlkerf.layout.binding import BINDING_CHECKS
from pearlkerf.layout.board_checks import BOARD_CHECKS
from pearlkerf.layout.checks import Remark
from pearlkerf.layout.drawings import Drawings
from pearlkerf.layout.edges import edges_of
from pearlkerf.layout.face_dot_checks import FACE_DOT_CHECKS
from pearlkerf.layout.face_dots import face_dot_row, face_dots
from pearlkerf.layout.frets import formula_mm, fret_lines
from pearlkerf.layout.ground import Ground, Laid
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.measured import MEASURED_CHECKS, frets_mm
from pearlkerf.layout.model import FretRow, InlayRow, Layout
from pearlkerf.layout.nonsense import without_nonsense
from pearlkerf.layout.outline import surface
from pearlkerf.layout.outline_checks import OUTLINE_CHECKS
from pearlkerf.layout.scale_checks import SCALE_CHECKS
from pearlkerf.layout.side_dot_checks import SIDE_DOT_CHECKS
from pearlkerf.layout.side_dots import side_dot_row, side_dots
from pearlkerf.layout.slot_checks import SLOT_CHECKS
from pearlkerf.layout.slots import deepest_mm, fret_slots
from pearlkerf.layout.trims import TRIM_CHECKS, trims

NO_FILES: Final[Mapping[str, bytes]] = MappingProxyType({})
CHECKS: Final[tuple[Callable[[Laid], Iterator[Remark]], ...]] = (
    *SCALE_CHECKS,
    *BOARD_CHECKS,
    *OUTLINE_CHECKS,
    *BINDING_CHECKS,
    *TRIM_CHECKS,
    *MEASURED_CHECKS,
    *SLOT_CHECKS,
    *FACE_DOT_CHECKS,
    *SIDE_DOT_CHECKS,
)


def lay_out(board: Board, files: Mapping[str, bytes] = NO_FILES, drawings: Drawings | None = None) -> Layout:
    """Lay out a board; ``files`` are those that its inlays name, ``drawings`` what is known of such files already.

    Raises Refusal with every problem at once; their keys are those of the board file, their places
    in the file are added by who read it.  What is only doubtful comes back as warnings.
    """
    sensible, problems = without_nonsense(board)
    laid = _laid(sensible)
    remarks = [remark for check in CHECKS for remark in check(laid)]
    if sensible.inlays:
        laid, told = _with_inlays(laid, files, drawings)
        remarks += [*told, *_inlay_remarks(laid)]
    problems += [remark.problem for remark in remarks if remark.weight == "refused"]
    if problems:
        raise Refusal(dict.fromkeys(problems))
    return Layout(
        board=board,
        edges=laid.edges,
        surface=laid.surface,
        frets_mm=laid.frets_mm,
        lines=laid.lines,
        slots=laid.slots,
        trims=laid.trims,
        face_dots=laid.face_dots,
        side_dots=laid.side_dots,
        inlays=laid.inlays,
        fret_rows=_fret_rows(laid),
        face_dot_rows=tuple(face_dot_row(laid, hole) for hole in laid.face_dots),
        side_dot_rows=tuple(side_dot_row(laid, hole) for hole in laid.side_dots),
        inlay_rows=tuple(_inlay_row(laid, part) for part in laid.inlays),
        warnings=tuple(dict.fromkeys(remark.problem for remark in remarks)),
    )


def _with_inlays(laid: Laid, files: Mapping[str, bytes], drawings: Drawings | None) -> tuple[Laid, list[Remark]]:
    """Give a board with its inlays laid out, and what is to be said of their drawings.

    Opened here: a board without inlays waits for no geometry of outlines.
    """
    from pearlkerf.layout.inlay_checks import tell_drawings
    from pearlkerf.layout.inlays import lay_inlays

    found, problems = lay_inlays(laid, files, drawings or Drawings())
    remarks = [*(Remark("refused", problem) for problem in problems), *tell_drawings(laid.board, found.regions)]
    return replace(laid, inlays=found.parts), remarks


def _inlay_remarks(laid: Laid) -> list[Remark]:
    """Give what is to be said of inlays where they lie."""
    from pearlkerf.layout.inlay_checks import INLAY_CHECKS

    return [remark for check in INLAY_CHECKS for remark in check(laid)]


def _inlay_row(laid: Laid, part: InlayPart) -> InlayRow:
    pocket, (x, y) = part.pocket, part.pocket.anchor
    return InlayRow(
        number=pocket.number,
        name=pocket.name,
        x_mm=x,
        y_mm=y,
        length_mm=pocket.region.bounds[2] - pocket.region.bounds[0],
        width_mm=pocket.width_mm,
        depth_mm=-pocket.floor_at_crown_mm,
        wood_left_mm=laid.board.thickness_mm - part.lowest_mm,
        floor=part.inlay.floor,
    )


def lay_out_to_look_at(board: Board, files: Mapping[str, bytes] = NO_FILES, drawings: Drawings | None = None) -> Laid:
    """Lay out as much of a wrong board as can be computed, to be drawn and never to be cut.

    Raises Refusal where that is nothing.
    """
    sensible, _ = without_nonsense(board)
    laid = _laid(sensible)
    return _with_inlays(laid, files, drawings)[0] if sensible.inlays else laid


def ground_of(board: Board) -> Ground:
    """Give what a board's features are laid out on."""
    edges, frets = edges_of(board), frets_mm(board)
    lines = tuple(map(edges.finished.across, fret_lines(board, frets)))
    return Ground(board, edges, surface(board), frets, lines)


def _laid(board: Board) -> Laid:
    ground = ground_of(board)
    return Laid(
        board=board,
        edges=ground.edges,
        surface=ground.surface,
        frets_mm=ground.frets_mm,
        lines=ground.lines,
        slots=fret_slots(ground),
        trims=trims(ground),
        face_dots=face_dots(ground),
        side_dots=side_dots(ground),
        inlays=(),
    )


def _across(laid: Laid, number: int, x: float) -> dict[str, Any]:
    """Give a row's figures of how a fret crosses the board: its length, and where it slants its place on each edge."""
    found = _from_edge_to_edge(laid, number, x)
    partial = next((slot for slot in laid.slots if slot.number == number), None)
    if partial is not None and any(each.fret == number for each in laid.board.partial):
        found["width_mm"] = partial.line.length_mm
    return found


def _from_edge_to_edge(laid: Laid, number: int, x: float) -> dict[str, Any]:
    if not laid.board.scale.slanted:
        return {"width_mm": laid.edges.finished.width_mm(x)}
    line, edges = laid.line(number), laid.edges
    bass, treble = (edge.along_mm(edge.crossing(line)[0]) for edge in (edges.bass, edges.treble))
    return {"width_mm": line.length_mm, "bass_mm": bass, "treble_mm": treble}


def _fret_rows(laid: Laid) -> tuple[FretRow, ...]:
    board, rows, before = laid.board, [], 0.0
    measured = bool(board.fret_slots and board.fret_slots.measured_mm)
    formula = dict(zip(board.scale.there, formula_mm(board).tolist(), strict=True))
    places = dict(zip(laid.numbers, (0.0, *laid.frets_mm.tolist()), strict=True))
    slots = {slot.number: slot for slot in laid.slots}
    for number in laid.slotted:
        x, slot = places[number], slots.get(number)
        deepest = None if slot is None else deepest_mm(laid, slot)
        rows.append(
            FretRow(
                fret=number,
                x_mm=x,
                from_last_mm=x - before,
                **_across(laid, number, x),
                depth_mm=None if slot is None else -slot.floor_at_crown_mm,
                wood_left_mm=None if deepest is None else board.thickness_mm - deepest,
                edge_depth_mm=deepest,
                off_mm=x - formula[number] if measured and number else None,
                called=board.scale.called(number),
            )
        )
        before = x
    return tuple(rows)
