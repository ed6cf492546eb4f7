"""The blanks from which pieces of inlays are cut, and where each piece lies on one, mm from its low left corner.

A piece takes a room: itself, the channel that is cut around it, and half a wall, so that two of them
leave one wall between their channels, and so do a channel and the blank's edge.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

import numpy as np

from pearlkerf.layout.lines import Point

if TYPE_CHECKING:
    import shapely

Figure = Literal["any", "lengthwise", "one way"]
# how far a piece may be turned so that its figure still runs as it is to, degrees; of any figure, as it likes
TURNS: Final[dict[Figure, tuple[float, ...] | None]] = {"any": None, "lengthwise": (0.0, 180.0), "one way": (0.0,)}
# what stays between two channels, and between a channel and the blank's edge: thinner webs of shell break away and
# jam the cutter (common practice, no source)
WALL_MM: Final = 0.6
# turns are whole tenths of a degree, so that files and programs say them in full
TURN_STEPS: Final = 10
# a turn that saves less than this part of a piece's box is not worth the maker's second look
WORTH_A_TURN: Final = 0.02


class Rectangle(NamedTuple):
    """A rectangle along the axes: its low left and its high right corner, mm."""

    low_x: float
    low_y: float
    high_x: float
    high_y: float

    @property
    def size_mm(self) -> Point:
        """Along X and along Y."""
        return self.high_x - self.low_x, self.high_y - self.low_y

    def grown(self, by_mm: float) -> "Rectangle":
        """Give it so much larger on every side."""
        return Rectangle(self.low_x - by_mm, self.low_y - by_mm, self.high_x + by_mm, self.high_y + by_mm)

    def moved(self, by: Point) -> "Rectangle":
        """Give it elsewhere."""
        (x, y), (low_x, low_y, high_x, high_y) = by, self
        return Rectangle(low_x + x, low_y + y, high_x + x, high_y + y)


@dataclass(frozen=True, slots=True)
class PieceBlank:
    """One blank: the ``number``-th (from 1) of the file's entry ``entry`` (from 0); ``used`` places of it are gone."""

    entry: int
    number: int
    length_mm: float
    width_mm: float
    figure: Figure = "any"
    used: tuple[Rectangle, ...] = ()

    @property
    def identity(self) -> tuple[int, int]:
        """By which it is known: entry and number."""
        return self.entry, self.number

    @property
    def whole(self) -> Rectangle:
        """Give all of it."""
        return Rectangle(0.0, 0.0, self.length_mm, self.width_mm)


@dataclass(frozen=True, slots=True)
class ToLay:
    """A piece that is to be laid on a blank, as it lies on the board; holes and all."""

    name: str
    area: "shapely.Polygon"

    @property
    def middle(self) -> Point:
        """Give the middle of its box, about which it is turned and from which it is placed."""
        low_x, low_y, high_x, high_y = self.area.bounds
        return (low_x + high_x) / 2, (low_y + high_y) / 2

    def box(self, turn_deg: float) -> Rectangle:
        """Give the box that it takes turned, its own middle at X0 Y0.

        >>> import shapely
        >>> ToLay("a", shapely.box(10, 0, 14, 2)).box(90)
        Rectangle(low_x=-1.0, low_y=-2.0, high_x=1.0, high_y=2.0)
        """
        import shapely

        places = shapely.get_coordinates(self.area.exterior) - self.middle
        turned = places @ turning(turn_deg).T
        return Rectangle(*(turned.min(axis=0).round(6) + 0.0).tolist(), *(turned.max(axis=0).round(6) + 0.0).tolist())

    def laid(self, laid: "Laid") -> "shapely.Polygon":
        """Give it as it lies on its blank, mm from the blank's low left corner."""
        import shapely

        by = turning(laid.turn_deg)

        def there(places: np.ndarray) -> np.ndarray:
            return np.asarray((places - self.middle) @ by.T + laid.at)

        moved: shapely.Polygon = shapely.transform(self.area, there)
        return moved


@dataclass(frozen=True, slots=True)
class Laid:
    """Where a piece lies: its blank, where the middle of its (unturned) box lies on it, how far it is turned there."""

    piece: str
    blank: tuple[int, int]
    at: Point
    turn_deg: float


def turning(turn_deg: float) -> np.ndarray:
    """Give the matrix (2, 2) that turns counter-clockwise; quarter turns exactly."""
    quarters, rest = divmod(turn_deg, 90.0)
    cosine, sine = math.cos(math.radians(rest)), math.sin(math.radians(rest))
    for _ in range(int(quarters) % 4):
        cosine, sine = -sine, cosine
    return np.array([[cosine, -sine], [sine, cosine]])


def snuggest_deg(piece: ToLay, figure: Figure) -> float:
    """Give the turn in which a piece takes the smallest box, where its figure lets it turn; else 0.

    >>> import shapely
    >>> snuggest_deg(ToLay("a", shapely.Polygon([(0, 0), (10, 10), (9, 11), (-1, 1)])), "any")
    45.0
    """
    import shapely

    if TURNS[figure] is not None:
        return 0.0
    corners = shapely.get_coordinates(shapely.convex_hull(piece.area))
    runs = np.diff(corners, axis=0)
    # the smallest box has a side along one of the hull's (Freeman and Shapira 1975)
    turns = {round(-math.degrees(math.atan2(y, x)) * TURN_STEPS) % (90 * TURN_STEPS) for x, y in runs.tolist()}

    def taken(tenths: int) -> float:
        return math.prod(piece.box(tenths / TURN_STEPS).size_mm)

    best = min(sorted(turns), key=lambda tenths: round(taken(tenths), 6))
    return best / TURN_STEPS if taken(best) < (1 - WORTH_A_TURN) * taken(0) else 0.0


def free_rooms(whole: Rectangle, taken: Iterable[Rectangle]) -> list[Rectangle]:
    """Give what is left of a rectangle as rectangles that do not overlap, the largest first.

    >>> free_rooms(Rectangle(0, 0, 10, 4), [Rectangle(0, 0, 3, 1)])
    [Rectangle(low_x=0, low_y=1, high_x=10, high_y=4), Rectangle(low_x=3, low_y=0, high_x=10, high_y=1)]
    """
    gone = list(taken)
    rooms: list[Rectangle] = []
    while (largest := _largest(whole, [*gone, *rooms])) is not None:
        rooms.append(largest)
    return rooms


def _largest(whole: Rectangle, gone: Sequence[Rectangle]) -> Rectangle | None:
    """Give the largest rectangle of a whole that meets nothing of what is gone; None where nothing is left."""
    xs = sorted({*whole[0::2], *(x for each in gone for x in each[0::2] if whole.low_x < x < whole.high_x)})
    ys = sorted({*whole[1::2], *(y for each in gone for y in each[1::2] if whole.low_y < y < whole.high_y)})
    x, y = np.array(xs)[:-1, None], np.array(ys)[None, :-1]
    free = np.ones((len(xs) - 1, len(ys) - 1), dtype=bool)
    for low_x, low_y, high_x, high_y in gone:
        free &= ~((x >= low_x) & (x < high_x) & (y >= low_y) & (y < high_y))
    best: tuple[float, Rectangle] | None = None
    for low in range(len(ys) - 1):
        column = np.ones(len(xs) - 1, dtype=bool)
        for high in range(low, len(ys) - 1):
            column = column & free[:, high]
            for start, end in _runs(column):
                found = Rectangle(xs[start], ys[low], xs[end], ys[high + 1])
                size = math.prod(found.size_mm)
                if best is None or size > best[0]:
                    best = size, found
    return None if best is None else best[1]


def _runs(free: np.ndarray) -> Iterable[tuple[int, int]]:
    """Give where each run of free places begins, and where it is over."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], free, [False]]).astype(int))).tolist()
    return [(start, end) for index, (start, end) in enumerate(pairwise(edges)) if index % 2 == 0]
