"""Stars of three to six points, as pieces to be laid on blanks; the same every time."""

import math

import numpy as np
import shapely

from pearlkerf.setups.blanks import PieceBlank, ToLay
from pearlkerf.setups.nesting import Nest

INNER = 0.45  # of a star's radius, where its points meet


def star(points: int, radius_mm: float, turn_rad: float = 0.0) -> shapely.Polygon:
    """Give a star about X0 Y0."""
    t = np.arange(2 * points) * math.pi / points + turn_rad
    away = radius_mm * np.where(np.arange(2 * points) % 2, INNER, 1.0)
    return shapely.Polygon(np.column_stack([away * np.cos(t), away * np.sin(t)]))


def stars(count: int, seed: int = 1) -> tuple[ToLay, ...]:
    """Give so many stars, from 2 to 5 mm in radius, however turned."""
    drawn = np.random.default_rng(seed)
    return tuple(
        ToLay(f"star {number}", star(int(drawn.integers(3, 7)), drawn.uniform(2, 5), drawn.uniform(0, 6)))
        for number in range(1, count + 1)
    )


def blanks(count: int, **fields: object) -> tuple[PieceBlank, ...]:
    """Give so many blanks of 40 by 25 mm."""
    return tuple(PieceBlank(0, number, 40.0, 25.0, **fields) for number in range(1, count + 1))  # type: ignore[arg-type]


def nest_of(pieces: tuple[ToLay, ...], on: tuple[PieceBlank, ...], **fields: object) -> Nest:
    """Give them to be laid, 0.6 mm of wall between channels of 0.7 mm."""
    return Nest("mother-of-pearl", pieces, on, room_mm=1.0, edge_mm=0.3, **fields)  # type: ignore[arg-type]
