"""Blanks in a row and the pieces on them: as they lie in the picture of their setup, and at full size on paper."""

import math
from collections.abc import Iterator, Sequence

import shapely

from pearlkerf.layout.lines import Point
from pearlkerf.pictures.drawing import Drawing, Layer, Path, Text, Thing
from pearlkerf.pictures.features import FINE_MM, SEEN_MM, straightened
from pearlkerf.pictures.fonts import CAPITAL, text_width_mm
from pearlkerf.pictures.materials import layer_of
from pearlkerf.pictures.view import View
from pearlkerf.setups.blank_rows import BlankRow, RowBlank, RowPiece
from pearlkerf.setups.model import Setup

SMALL_MM = 1.9
# at full size: capitals of a piece's number, of its name under its blank, and of a blank's, mm, and lines of names
NUMBER_MM = 2.3
NAME_MM = 2.2
BLANK_MM = 3.0
LINE_MM = 4.0
# between what belongs to two rows; and how much of the space beside a blank its names may take
ROWS_APART_MM = 9.0
ROOM_MM = 6.0


def draw_blanks(setup: Setup, view: View) -> Iterator[Thing]:
    """Give the edges of the blanks of a setup."""
    for blank in setup.row.blanks if setup.row is not None else ():
        yield Path("cut-before", tuple(view.of_board(corner) for corner in corners_of(blank)))


def draw_pieces(setup: Setup, view: View) -> Iterator[Thing]:
    """Give the pieces of a setup as they stand in their blanks, in the colour of their material, numbered."""
    if setup.row is None:
        return
    within = SEEN_MM / view.scale
    for piece in setup.row.pieces:
        rings: list[tuple[Layer, shapely.LinearRing]] = [(layer_of(setup.row.material), piece.area.exterior)]
        rings += [("wood", hole) for hole in piece.area.interiors]
        for layer, ring in rings:
            yield Path(layer, tuple(map(view.of_board, straightened(ring, within))))
        at = shapely.point_on_surface(piece.area)
        x, y = view.of_board((at.x, at.y))
        yield Text("piece-numbers", (x, y - SMALL_MM / 2), str(piece.number), SMALL_MM, "middle")


def corners_of(blank: RowBlank) -> tuple[Point, ...]:
    """Give the corners of a blank in its setup, from the low left one on, counter-clockwise."""
    left, right = blank.x_mm, blank.x_mm + blank.length_mm
    return (left, 0.0), (right, 0.0), (right, blank.width_mm), (left, blank.width_mm)


def draw_rows(title: str, setups: Sequence[Setup]) -> Drawing:
    """Draw the blanks of rows with their pieces at full size, row over row.

    Each piece has its number, under each blank stand the numbers and names of what lies on it.
    """
    things: list[Thing] = []
    y = 0.0
    for row in (setup.row for setup in setups if setup.row is not None):
        y += _under_mm(row) if things else 0.0
        things += _row(row, y)
        y += max(blank.width_mm for blank in row.blanks) + ROWS_APART_MM
    return Drawing(f"{title}: where they lie on their blanks", tuple(things))


def _row(row: BlankRow, up_mm: float) -> Iterator[Thing]:
    for blank in row.blanks:
        yield Path("outline", tuple((x, y + up_mm) for x, y in corners_of(blank)))
        down = up_mm - BLANK_MM - 1.0
        yield Text("numbers", (blank.x_mm, down), blank_named(row, blank), BLANK_MM)
        for line, words in enumerate(_names(row, blank), 1):
            yield Text("notes", (blank.x_mm, down - line * LINE_MM), words, NAME_MM)
    for piece in row.pieces:
        for ring in (piece.area.exterior, *piece.area.interiors):
            yield Path("inlays", tuple((x, y + up_mm) for x, y in straightened(ring, FINE_MM)))
        yield _number(piece, up_mm)


def _under_mm(row: BlankRow) -> float:
    """Give how much room what stands under the blanks of a row takes."""
    return BLANK_MM + 1.0 + LINE_MM * max(len(_names(row, blank)) for blank in row.blanks)


def blank_named(row: BlankRow, blank: RowBlank) -> str:
    """Name a blank by its place in the row, and by its number in the file where that is another."""
    of_file = f" (no. {blank.of[1]} in the file)" if blank.of[1] != blank.number else ""
    return f"{row.material}, blank {blank.number}{of_file}"


def _number(piece: RowPiece, up_mm: float) -> Text:
    """Give a piece's number: in it where it has room, else over it."""
    text = str(piece.number)
    room = shapely.maximum_inscribed_circle(piece.area, FINE_MM)
    (x, y), half = room.coords[0], room.length
    if half > math.hypot(text_width_mm(text, NUMBER_MM / CAPITAL), NUMBER_MM) / 2:
        return Text("inlay-numbers", (x, y + up_mm - NUMBER_MM / 2), text, NUMBER_MM, "middle")
    low_x, _, high_x, high_y = piece.area.bounds
    return Text("inlay-numbers", ((low_x + high_x) / 2, high_y + up_mm + 0.4), text, NUMBER_MM, "middle")


def _names(row: BlankRow, blank: RowBlank) -> list[str]:
    """Give the numbers and names of what lies on a blank, in as many lines as its width asks for."""
    lines: list[str] = []
    for name in (f"{piece.number} {piece.name}" for piece in row.pieces if piece.blank == blank.number):
        longer = f"{lines[-1]}, {name}" if lines else name
        if lines and text_width_mm(longer, NAME_MM / CAPITAL) <= blank.length_mm + ROOM_MM:
            lines[-1] = longer
        else:
            lines.append(name)
    return lines
