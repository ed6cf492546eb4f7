"""Blanks in a row and the pieces on them: as they lie in the picture of their setup, and at full size on paper."""

from collections.abc import Iterator, Sequence

import shapely

from pearlkerf.layout.lines import Point
from pearlkerf.pictures.drawing import Drawing, Path, Text, Thing
from pearlkerf.pictures.view import View
from pearlkerf.setups.blank_rows import BlankRow, RowBlank
from pearlkerf.setups.model import Setup

SMALL_MM = 1.9
# at full size: letters of a piece's name, and of a blank's, mm; rows stand so far over each other
NAME_MM = 1.6
BLANK_MM = 3.0
ROWS_APART_MM = 12.0
# a curve at full size is drawn by chords within this, mm
FINE_MM = 0.005


def draw_blanks(setup: Setup, view: View) -> Iterator[Thing]:
    """Give the edges of the blanks of a setup, and the number of each piece where it lies."""
    if setup.row is None:
        return
    for blank in setup.row.blanks:
        yield Path("cut-before", tuple(view.of_board(corner) for corner in corners_of(blank)))
    for piece in setup.row.pieces:
        x, y = view.of_board(piece.on_setup)
        yield Text("numbers", (x, y - SMALL_MM / 2), str(piece.number), SMALL_MM, "middle")


def corners_of(blank: RowBlank) -> tuple[Point, ...]:
    """Give the corners of a blank in its setup, from the low left one on, counter-clockwise."""
    left, right = blank.x_mm, blank.x_mm + blank.length_mm
    return (left, 0.0), (right, 0.0), (right, blank.width_mm), (left, blank.width_mm)


def draw_rows(title: str, setups: Sequence[Setup]) -> Drawing:
    """Draw the blanks of rows with their pieces at full size, row over row, each piece with its number and name."""
    things: list[Thing] = []
    y = 0.0
    for setup in setups:
        if setup.row is not None:
            things += _row(setup.row, y)
            y += max(blank.width_mm for blank in setup.row.blanks) + ROWS_APART_MM
    return Drawing(f"{title}: where they lie on their blanks", tuple(things))


def _row(row: BlankRow, up_mm: float) -> Iterator[Thing]:
    for blank in row.blanks:
        yield Path("outline", tuple((x, y + up_mm) for x, y in corners_of(blank)))
        at = (blank.x_mm, up_mm - BLANK_MM - 1.0)
        yield Text("numbers", at, f"{row.material}, blank {blank.number}", BLANK_MM)
    for piece in row.pieces:
        plain = shapely.simplify(piece.area, FINE_MM)
        for ring in (plain.exterior, *plain.interiors):
            yield Path("inlays", tuple((float(x), float(y) + up_mm) for x, y in ring.coords[:-1]))
        x, _, high_x, high_y = piece.area.bounds
        over = ((x + high_x) / 2, high_y + up_mm + 0.4)
        yield Text("inlay-numbers", over, f"{piece.number} {piece.name}", NAME_MM, "middle")
