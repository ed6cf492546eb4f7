"""The assembled board: its face from above with its pieces in, each in the colour of its material, numbered.

   1   2      3          numbers stand outside the board, above what lies above the centre line, below what lies
 __|___|______|___       below it, a line from each to its piece; of a long board only the stretch with pieces
|  #   #  |   #   |      is drawn
|______#__|_______|
       |
       4
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import shapely

from pearlkerf.layout.features import Hole
from pearlkerf.layout.limits import ROUNDING_MM
from pearlkerf.layout.lines import Point
from pearlkerf.layout.model import Layout
from pearlkerf.pictures.drawing import Anchor, Circle, Drawing, Layer, Line, Path, Text, Thing
from pearlkerf.pictures.features import SEEN_MM, straightened
from pearlkerf.pictures.fonts import CAPITAL, REGULAR, text_width_mm
from pearlkerf.pictures.materials import layer_of
from pearlkerf.pictures.view import WIDE_MM
from pearlkerf.setups.blank_rows import BlankRow
from pearlkerf.setups.fits import Fitted

BESIDE_MM: Final = 12.0  # of the board seen before the first piece and beyond the last
TALLEST_MM: Final = 62.0  # of the board on the page
CLOSEST: Final = 2.5  # no board is drawn so many times as large or larger
SIDE_MM: Final = 14.0  # left and right of the board, for the names of its ends
NUMBER_MM: Final = 2.2
NAME_MM: Final = 2.5
OUT_MM: Final = 4.5  # from the board's edge to the numbers
APART_MM: Final = 1.6  # between two numbers
END_MM: Final = 0.35  # radius of the point in which a line ends on its piece

Label = tuple[Point, str]


@dataclass(frozen=True, slots=True)
class PieceSeen:
    """A piece as it lies in the board: what it is numbered with, its material, its area, board axes, mm.

    One that is not ``here`` is no part of this job: only its outline is drawn.
    """

    number: str
    material: str
    area: shapely.Polygon
    here: bool = True


def of_fits(fits: Sequence[Fitted]) -> tuple[PieceSeen, ...]:
    """Give what is let into the pockets of a board, numbered as the pockets are."""
    return tuple(
        PieceSeen(str(piece.place.number), piece.inlay.material, piece.area) for fit in fits for piece in fit.pieces
    )


def of_rows(rows: Sequence[BlankRow], fits: Sequence[Fitted]) -> tuple[PieceSeen, ...]:
    """Give the pieces that are cut from blanks, numbered as they are, and the outlines of what is not cut with them."""
    cut = [(row, piece) for row in rows for piece in row.pieces if not piece.spare]
    here = [PieceSeen(str(piece.number), row.material, piece.drawn) for row, piece in cut]
    names = {piece.name for _, piece in cut}
    others = [PieceSeen("", piece.inlay.material, piece.area, here=False)
              for fit in fits for piece in fit.pieces if piece.name not in names]  # fmt: skip
    return (*here, *others)


def draw_assembled(layout: Layout, pieces: Sequence[PieceSeen]) -> Drawing | None:
    """Draw a board with its pieces in, from above; None where it has none."""
    if not pieces:
        return None
    seen = _Seen.of(layout, pieces)
    sides = seen.sides(pieces)
    things: list[Thing] = [
        *seen.board(),
        *(thing for slot in (*layout.slots, *layout.trims) for thing in seen.line(slot.ends)),
        *(thing for dot in layout.face_dots for thing in seen.dot(dot, _of_dots(layout))),
        *(thing for piece in outer_first(pieces) for thing in seen.piece(piece)),
        *seen.numbers(sides),
        *seen.names(layout, (bool(sides[0]), bool(sides[1]))),
    ]
    materials = ", ".join(dict.fromkeys(piece.material or "no material named" for piece in pieces if piece.here))
    part = "" if seen.whole else ", the stretch of it with pieces"
    return Drawing(
        f"The board with its pieces in{part}", tuple(things),
        f"The face of the board from above, nut at the left, with {len(pieces)} pieces in: {materials}",
    )  # fmt: skip


def _of_dots(layout: Layout) -> Layer:
    dots = layout.board.face_dots
    return layer_of(dots.material) if dots is not None and dots.material else "of-pearl"


def outer_first(pieces: Sequence[PieceSeen]) -> list[PieceSeen]:
    """Give pieces so that one that lies in another's hole comes after it; else as they come."""
    wholes = [shapely.Polygon(piece.area.exterior) for piece in pieces]
    deep = [sum(other.contains(piece.area) for other in wholes) for piece in pieces]
    return [piece for _, piece in sorted(zip(deep, pieces, strict=True), key=lambda each: each[0])]


@dataclass(frozen=True, slots=True)
class _Seen:
    """The stretch of a board that is seen, board axes, and how it lies on the page."""

    outline: shapely.Polygon
    low: Point  # its low left corner
    scale: float
    whole: bool

    @classmethod
    def of(cls, layout: Layout, pieces: Sequence[PieceSeen]) -> "_Seen":
        board = shapely.Polygon(layout.edges.finished.corners)
        left, low, right, high = board.bounds
        first, _, last, _ = shapely.total_bounds([piece.area for piece in pieces]).tolist()
        west, east = max(left, first - BESIDE_MM), min(right, last + BESIDE_MM)
        outline = shapely.intersection(board, shapely.box(west, low, east, high))
        assert isinstance(outline, shapely.Polygon)
        room = WIDE_MM - 2 * SIDE_MM
        scale = min(room / (east - west), TALLEST_MM / (high - low), CLOSEST)
        return cls(outline, (outline.bounds[0], outline.bounds[1]), scale, (west, east) == (left, right))

    def at(self, place: Point) -> Point:
        """Give where a place of the board lies on the page, in the middle of it, mm."""
        x, y = place
        left, _, right, _ = self.outline.bounds
        beside = (WIDE_MM - (right - left) * self.scale) / 2
        return beside + (x - self.low[0]) * self.scale, (y - self.low[1]) * self.scale

    def ring(self, layer: Layer, ring: shapely.LinearRing) -> Path:
        return Path(layer, tuple(map(self.at, straightened(ring, SEEN_MM / self.scale))))

    def board(self) -> Iterator[Thing]:
        yield self.ring("assembled", self.outline.exterior)

    def line(self, ends: tuple[Point, Point]) -> Iterator[Thing]:
        inside = shapely.intersection(shapely.LineString(ends), self.outline)
        if isinstance(inside, shapely.LineString) and not inside.is_empty:
            start, end = ((float(x), float(y)) for x, y in inside.coords)
            yield Line("frets", self.at(start), self.at(end))

    def dot(self, dot: Hole, layer: Layer) -> Iterator[Thing]:
        if self.outline.contains(shapely.Point(dot.centre)):
            yield Circle(layer, self.at(dot.centre), dot.diameter_mm / 2 * self.scale)

    def piece(self, piece: PieceSeen) -> Iterator[Thing]:
        layer = layer_of(piece.material) if piece.here else "inlays"
        yield self.ring(layer, piece.area.exterior)
        for hole in piece.area.interiors:
            yield self.ring("assembled" if piece.here else "inlays", hole)

    def sides(self, pieces: Sequence[PieceSeen]) -> tuple[list[Label], list[Label]]:
        """Give a place on the page in every piece, with its number: of those above the centre line, and below it."""
        middle = [(shapely.point_on_surface(piece.area), piece.number) for piece in pieces if piece.number]
        upper = [(self.at((at.x, at.y)), number) for at, number in middle if at.y >= -ROUNDING_MM]
        lower = [(self.at((at.x, at.y)), number) for at, number in middle if at.y < -ROUNDING_MM]
        return sorted(upper), sorted(lower)

    def numbers(self, sides: tuple[Sequence[Label], Sequence[Label]]) -> Iterator[Thing]:
        top = self.at((0.0, self.outline.bounds[3]))[1] + OUT_MM
        for own, foot, tip in zip(sides, (top, -OUT_MM - NUMBER_MM), (top - 1.0, -OUT_MM + 0.8), strict=True):
            for x, (place, number) in zip(spread_out(own), own, strict=True):
                yield Line("leaders", (x, tip), place)
                yield Circle("leaders", place, END_MM)
                yield Text("piece-numbers", (x, foot), number, NUMBER_MM, "middle")

    def names(self, layout: Layout, numbered: tuple[bool, bool]) -> Iterator[Thing]:
        """Name the ends, and the sides, beyond the numbers where there are some above and below the board."""
        left, low, right, high = self.outline.bounds
        sides = ("treble side", "bass side") if layout.board.hand == "right" else ("bass side", "treble side")
        middle = self.at((0.0, (low + high) / 2))[1] - NAME_MM / 2
        ends: tuple[tuple[float, str, Anchor], ...] = ((left, "nut", "end"), (right, "bridge", "start"))
        for x, name, anchor in ends:
            at = self.at((x, 0.0))[0] + (2.0 if anchor == "start" else -2.0)
            yield Text("names", (at, middle), name, NAME_MM, anchor)
        (_, top), over = self.at((0.0, high)), OUT_MM + NUMBER_MM + 2.0
        far, near = top + (over if numbered[0] else 2.0), -NAME_MM - (over if numbered[1] else 2.0)
        for y, name in zip((far, near), sides, strict=True):
            yield Text("names", (self.at((left, 0.0))[0], y), name, NAME_MM)


def spread_out(labels: Sequence[Label]) -> list[float]:
    """Give where along X labels stand, from left to right, none nearer to its like than APART_MM, near what they name.

    >>> spread_out([((10.0, 0.0), "1"), ((10.0, 5.0), "2")])[0] < 10.0
    True
    """
    ordered = sorted(labels)
    half = [text_width_mm(text, NUMBER_MM / CAPITAL, REGULAR) / 2 for _, text in ordered]
    found: list[float] = []
    # those that would touch stand together in a row, whose middle is the middle of what they name
    rows: list[tuple[int, int]] = []
    for index in range(len(ordered)):
        rows.append((index, index + 1))
        while len(rows) > 1 and _row(ordered, half, rows[-2])[-1] + half[rows[-2][1] - 1] + APART_MM > (
            _row(ordered, half, rows[-1])[0] - half[rows[-1][0]]
        ):
            (first, _), (_, last) = rows[-2], rows[-1]
            rows[-2:] = [(first, last)]
    for row in rows:
        found += _row(ordered, half, row)
    return found


def _row(labels: Sequence[Label], half: Sequence[float], row: tuple[int, int]) -> list[float]:
    """Give the places of labels that stand in a row, side by side."""
    first, last = row
    places = [0.0]
    for index in range(first + 1, last):
        places.append(places[-1] + half[index - 1] + APART_MM + half[index])
    wanted = sum(labels[index][0][0] for index in range(first, last)) / (last - first)
    shift = wanted - sum(places) / len(places)
    return [place + shift for place in places]
