"""Does to a board what a hint says, as its maker would; a hint that cannot be done is a failure."""

import re
from collections.abc import Callable
from dataclasses import replace

from pearlkerf.board.model import Board, Radius, Scale
from pearlkerf.errors import Problem
from pearlkerf.layout.frets import fret_distances_mm

NUMBER = r"(\d+(?:\.\d+)?)"


def ways_to_mend(problem: Problem) -> list[str]:
    """Give the ways that a hint offers."""
    return problem.hint.split(", or ")


def mended(board: Board, problem: Problem, way: str) -> Board:
    """Give the board after one of the ways of a problem's hint."""
    table = problem.key.partition(".")[0]
    for pattern, mend in MENDS:
        if match := re.fullmatch(pattern, way):
            return mend(board, table, *match.groups())
    raise AssertionError(f"nobody can do this: {way!r} of {problem}")


def change(board: Board, table: str, **changes: object) -> Board:
    """Change some fields of one of a board's tables."""
    return replace(board, **{table: replace(getattr(board, table), **changes)})


def _length(board: Board, table: str, name: str, length: str) -> Board:
    return change(board, table, **{f"{name}_mm": float(length)})


def _leave_out(board: Board, _: str, numbers: str, table: str, name: str) -> Board:
    out = {int(number) for number in numbers.split(", ")}
    dots = getattr(board, table)
    kept = tuple(n for n in getattr(dots, name) if n not in out)
    double = tuple(n for n in dots.double if n not in out)
    return change(board, table, **{name: kept, "double": double})


def _leave_second_out(board: Board, table: str, number: str) -> Board:
    def once(frets: tuple[int, ...]) -> tuple[int, ...]:
        return tuple(n for i, n in enumerate(frets) if n != int(number) or n not in frets[:i])

    dots = getattr(board, table)
    return change(board, table, frets=once(dots.frets), double=once(dots.double))


def _add(board: Board, table: str, number: str) -> Board:
    return change(board, table, frets=(*getattr(board, table).frets, int(number)))


def _frets(board: Board, _: str, count: str) -> Board:
    dots = {
        table: replace(found, frets=tuple(n for n in found.frets if n <= int(count)),
                       double=tuple(n for n in found.double if n <= int(count)))
        for table in ("face_dots", "side_dots") if (found := getattr(board, table)) is not None
    }  # fmt: skip
    return replace(board, scale=Scale(board.scale.length_mm, int(count)), **dots)


def _more_frets(board: Board, _: str, count: str) -> Board:
    return replace(board, scale=Scale(board.scale.length_mm, int(count)))


def _thickness(board: Board, table: str, length: str) -> Board:
    if table == "blank":
        return _length(board, table, "width", length)
    return replace(board, thickness_mm=float(length))


def _shell(board: Board, table: str, length: str) -> Board:
    return change(board, table, thinnest_mm=float(length), thickest_mm=float(length))


def _measure_again(board: Board, _: str) -> Board:
    places = fret_distances_mm(board.scale.length_mm, board.scale.frets)
    return change(board, "fret_slots", measured_mm=tuple(places.tolist()))


def _scale(board: Board, _: str, length: str) -> Board:
    return replace(board, scale=Scale(float(length), board.scale.frets))


def _longer(board: Board, _: str) -> Board:
    assert board.blank is not None
    return change(board, "blank", beyond_nut_mm=board.blank.beyond_nut_mm + 5.0,
                  beyond_end_mm=board.blank.beyond_end_mm + 5.0)  # fmt: skip


MENDS: list[tuple[str, Callable[..., Board]]] = [
    (rf"use a (diameter|depth|width|spacing|thickness|trim_depth) of at (?:most|least) {NUMBER} mm"
     r"(?: \(3 mm is usual\)|, which reaches the core)?", _length),
    (rf"(?:use )?a (margin) of at (?:most|least) {NUMBER} mm", _length),
    (r"leave (?:frets? )?([\d, ]+) out of (face_dots|side_dots)\.(frets|double)", _leave_out),
    (r"leave the second (\d+) out(?: of \w+\.double|; .*)?", _leave_second_out),
    (r"add (\d+) to \w+\.frets", _add),
    (r"(?:make scale\.frets at least|set scale\.frets to) (\d+)", _more_frets),
    (r"use at most (\d+) frets", _frets),
    (rf"make board\.length at least {NUMBER} mm", lambda board, _, x: replace(board, length_mm=float(x))),
    (rf"(?:use )?a blank of at least {NUMBER} mm", _thickness),
    (rf"cut the blank to at most {NUMBER} mm first", lambda board, table, x: _length(board, table, "width", x)),
    (r"leave \[blank\] out(?: if the board is cut to its outline)?", lambda board, _: replace(board, blank=None)),
    (rf"use shell at (?:least|most) {NUMBER} mm thick", _shell),
    (rf"set proud to at most {NUMBER} mm", lambda board, table, x: _length(board, table, "proud", x)),
    (rf"use at least {NUMBER} mm at the nut end and {NUMBER} mm at the bridge end",
     lambda board, _, nut, end: replace(board, radius=Radius(max(float(nut), board.radius.nut_mm),
                                                             max(float(end), board.radius.end_mm)))),
    (r'(?:use )?(?:fret_slots\.)?ends = "(\w+)"', lambda board, _, ends: change(board, "fret_slots", ends=ends)),
    (r'use (?:binding\.)?put_on = "after"', lambda board, _: change(board, "binding", put_on="after")),
    (r"measure (?:\d+ slots|both again|it again from the nut end)", _measure_again),
    (rf"use a scale\.length of {NUMBER} mm, which the measured places fit", _scale),
    (r'use state = "already cut"', lambda board, table: change(board, table, state="already cut")),
    (r"leave measured out: .*", lambda board, table: change(board, table, measured_mm=())),
    (r'write trim_width = "1 mm"', lambda board, table: change(board, table, trim_width_mm=1.0)),
    (r'use trim = "(\w+)"', lambda board, table, trim: change(board, table, trim=trim)),
    (r"a longer blank", _longer),
    (r'use floor = "follow" .*', lambda board, table: change(board, table, floor="follow")),
    (r'use height = "auto"', lambda board, table: change(board, table, height_mm=None)),
    (rf"from {NUMBER} to {NUMBER} mm", lambda board, table, low, high: change(board, table, height_mm=float(high))),
]  # fmt: skip
