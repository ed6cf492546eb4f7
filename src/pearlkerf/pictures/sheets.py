"""How a drawing larger than the paper is spread over sheets that overlap and join."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product
from typing import Final, Literal

Sheet = Literal["A4", "Letter"]

SHEET_MM: Final[dict[Sheet, tuple[float, float]]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height, upright: ISO 216 A4; ANSI/ASME Y14.1 size A."""

MARGIN_MM: Final = 8.0  # what common printers cannot reach, and a little more
HEADER_MM: Final = 12.0  # title and page number, at the top
BARS_MM: Final = 22.0  # measuring bars, along the long side
OVERLAP_MM: Final = 14.0  # what two neighbours both show, the joining line in its middle
JOIN_REACH_MM: Final = 12.0  # how far a joining line may move to keep clear of frets and dots
JOIN_STEP_MM: Final = 0.5
JOIN_CLEAR_MM: Final = 4.0  # further away than this is no better


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle, mm."""

    left: float
    low: float
    right: float
    high: float

    @property
    def width_mm(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height_mm(self) -> float:
        """From low to high."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet as it lies: its size, where the drawing may go, and where the measuring bars go."""

    width_mm: float
    height_mm: float
    area: Box
    turn: Literal["upright", "across"]


@dataclass(frozen=True, slots=True)
class Tile:
    """What one sheet shows of the drawing."""

    number: int
    window: Box


@dataclass(frozen=True, slots=True)
class Tiling:
    """The page, its tiles in the order of printing, and the joining lines in the drawing's mm."""

    page: Page
    tiles: tuple[Tile, ...]
    joins_x: tuple[float, ...]
    joins_y: tuple[float, ...]


def pages(sheet: Sheet) -> tuple[Page, Page]:
    """Give a sheet lying across and standing upright, the bars along its long side each time."""
    short, long = SHEET_MM[sheet]
    across = Box(MARGIN_MM, MARGIN_MM + BARS_MM, long - MARGIN_MM, short - MARGIN_MM - HEADER_MM)
    upright = Box(MARGIN_MM + BARS_MM, MARGIN_MM, short - MARGIN_MM, long - MARGIN_MM - HEADER_MM)
    return Page(long, short, across, "across"), Page(short, long, upright, "upright")


def spread(box: Box, keep_x: Iterable[float], keep_y: Iterable[float], sheet: Sheet) -> Tiling:
    """Spread a drawing's box over the fewest sheets, lying across where both ways need as many.

    ``keep_x`` and ``keep_y`` are places (frets, dots) from which joining lines keep away where they can.
    """
    page = min(pages(sheet), key=lambda page: _count(box.width_mm, page.area.width_mm) * _rows(box, page))
    joins_x = joins(box.left, box.right, page.area.width_mm, tuple(keep_x))
    joins_y = joins(box.low, box.high, page.area.height_mm, tuple(keep_y))
    windows = product(_windows(box.low, box.high, joins_y), _windows(box.left, box.right, joins_x))
    tiles = tuple(
        Tile(number, Box(left, low, right, high)) for number, ((low, high), (left, right)) in enumerate(windows, 1)
    )
    return Tiling(page, tiles, joins_x, joins_y)


def joins(low: float, high: float, room_mm: float, keep: tuple[float, ...]) -> tuple[float, ...]:
    """Give the joining lines along one direction: evenly spread, each moved to where it is clear of ``keep``.

    >>> joins(0.0, 460.0, 281.0, (230.0, 232.0))
    (226.0,)
    """
    count = _count(high - low, room_mm)
    part = (high - low - OVERLAP_MM) / count
    reach = min(JOIN_REACH_MM, max(0.0, (room_mm - OVERLAP_MM - part) / 2))
    return tuple(_clear_place(low + OVERLAP_MM / 2 + part * k, reach, keep) for k in range(1, count))


def _clear_place(nominal: float, reach: float, keep: tuple[float, ...]) -> float:
    steps = math.floor(reach / JOIN_STEP_MM)
    places = [nominal + JOIN_STEP_MM * k for k in range(-steps, steps + 1)]

    def worth(place: float) -> tuple[float, float]:
        clear = min((abs(place - other) for other in keep), default=JOIN_CLEAR_MM)
        return min(clear, JOIN_CLEAR_MM), -abs(place - nominal)

    return max(places, key=worth)


def _windows(low: float, high: float, lines: tuple[float, ...]) -> list[tuple[float, float]]:
    starts = [low, *(line - OVERLAP_MM / 2 for line in lines)]
    ends = [*(line + OVERLAP_MM / 2 for line in lines), high]
    return list(zip(starts, ends, strict=True))


def _count(span_mm: float, room_mm: float) -> int:
    return 1 if span_mm <= room_mm else math.ceil((span_mm - OVERLAP_MM) / (room_mm - OVERLAP_MM))


def _rows(box: Box, page: Page) -> int:
    return _count(box.height_mm, page.area.height_mm)
