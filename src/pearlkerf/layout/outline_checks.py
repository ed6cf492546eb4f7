"""What in an outline cannot be, or cannot be cut: widths that go back, arcs that are too small, edges that bend."""

import math
from collections.abc import Iterator
from dataclasses import replace

from pearlkerf.board.model import Board, SideDots
from pearlkerf.errors import Problem
from pearlkerf.layout.checks import Remark, named, one_of, up
from pearlkerf.layout.edge import BentEdge, Edge
from pearlkerf.layout.edges import edges_of
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.limits import CORE_WIDTH, ROUNDING_MM
from pearlkerf.layout.side_dots import dotted_edges


def without_extent(board: Board) -> Iterator[Problem]:
    """Give what is wrong with a board that has no length, or no width at one of its ends: on it nothing can lie."""
    if min(board.length_mm, board.nut_width_mm, board.end_width_mm) > 0.0:
        return
    yield from _stations(board)
    if board.width_at is not None:
        yield Problem(
            key="board.width_at", found=f"edges through it leave {board.end_width_mm:.2f} mm at the bridge end",
            allowed="more than 0 mm", hint="look whether the fret is right, or measure at one farther from the nut",
        )  # fmt: skip


def real_widths(board: Board) -> tuple[Board, list[Problem]]:
    """Give the board with one taper, or with a square end, where its widths or its arc cannot be, and why not."""
    problems = list(_stations(board))
    if problems:
        board = replace(board, widths=())
    arc = [*_arc(board)]
    return (replace(board, end_arc_mm=None), problems + arc) if arc else (board, problems)


def _stations(board: Board) -> Iterator[Problem]:
    """Stations follow each other from X0 on, each with a bass edge and a treble edge, in this order."""
    if not board.widths:
        return
    if len(board.widths) < 2:
        yield Problem(key="board.widths", found="one width", allowed="at least two, at the nut end and the bridge end",
                      hint="use nut_width and end_width for a board of one taper")  # fmt: skip
    if board.widths[0][0] != 0.0:
        yield Problem(key="board.widths.0", found=f"the first width is {board.widths[0][0]:.2f} mm from the nut end",
                      allowed="0, the nut end", hint="begin with the widths at the nut end, [0, ...]")  # fmt: skip
    before = -math.inf
    for index, (along, bass, treble) in enumerate(board.widths):
        if along <= before:
            yield Problem(
                key=f"board.widths.{index}", found=f"the widths go back, from {before:.2f} to {along:.2f} mm",
                allowed="each farther from the nut end than the one before",
                hint=f"put them in order; a square step is a short run, from {before:g} to {before + 1:g}")  # fmt: skip
        if treble - bass < CORE_WIDTH.least_mm:
            yield Problem(
                key=f"board.widths.{index}", found=f"the bass edge at {bass:.2f}, the treble edge at {treble:.2f} mm",
                allowed=f"the treble edge at least {CORE_WIDTH.least_mm:.0f} mm above the bass edge",
                hint="distance, bass edge, treble edge: the bass side lies below 0")  # fmt: skip
        before = along


def _arc(board: Board) -> Iterator[Problem]:
    radius = board.end_arc_mm
    if radius is None:
        return
    finished = edges_of(board).finished
    half = max(abs(y) for _, y in (finished.ends.far.start, finished.ends.far.end))
    if radius < half:
        yield Problem(key="board.end", found=f"an arc of {radius:.2f} mm does not span an end {2 * half:.2f} mm wide",
                      allowed=f"at least {up(half)} mm", hint="it is the radius of the soundhole, or more")  # fmt: skip
    elif board.end == "slanted":
        yield Problem(key="board.end", found="a slanted end that is hollowed", allowed="one of them", hint="use one")


def check_dots_on_one_run(laid: Laid) -> Iterator[Remark]:
    """All side dots of an edge that bends lie on one straight run, over which nothing of the edge stands out."""
    dots = laid.board.side_dots
    if dots is None:
        return
    for _, run in dotted_edges(laid, dots):
        whole = laid.edges.finished_edge(run)
        if isinstance(whole, BentEdge):
            yield from _on_one_run(laid, dots, whole, run)


def _on_one_run(laid: Laid, dots: SideDots, whole: BentEdge, run: Edge) -> Iterator[Remark]:
    beyond = [n for n in dots.frets if not _on_run(laid, run, n)]
    others = [n for n in dots.frets if n not in beyond]
    (near, _), (far, _) = run.ends
    if beyond:
        yield Remark("refused", Problem(
            key="side_dots.frets",
            found=f"the edge bends: {named(beyond)} lie beyond its straight run from {near:.2f} to {far:.2f} mm, "
            f"which has {named(others) if others else 'no dots'}",
            allowed="dots on one straight run, which is clamped level",
            hint=one_of(f"leave {named(beyond)} out of side_dots.frets"),
        ))  # fmt: skip
        return
    out = max(-run.distance_mm(point) for point in (*whole.ends, *whole.joints))
    if out > ROUNDING_MM:
        yield Remark("refused", Problem(
            key="side_dots.frets",
            found=f"the edge stands {out:.2f} mm higher beside the run with the dots, where the spindle comes by",
            allowed="a run that nothing of its edge stands above",
            hint="drill these by hand, or leave [side_dots] out",
        ))  # fmt: skip


def _on_run(laid: Laid, run: Edge, number: int) -> bool:
    (near, _), (far, _) = run.ends
    whole = laid.edges.finished_edge(run)
    crossed = [whole.crossing(line)[0] for line in laid.space(number)]
    return all(near - ROUNDING_MM <= x <= far + ROUNDING_MM for x in crossed)


OUTLINE_CHECKS = (check_dots_on_one_run,)
