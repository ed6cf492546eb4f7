"""What of the blanks is gone once a job's pieces are cut, as the board file is told of it.

A maker who cuts a broken piece again tells by these lines where the blanks have holes; nothing is laid there then.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from pearlkerf.board.inlays import InlayBlank, UsedPlace
from pearlkerf.files.lengths import MM_PER_UNIT, Unit
from pearlkerf.layout.features import Pocket
from pearlkerf.setups.blank_rows import RowBlank
from pearlkerf.setups.blanks import WALL_MM
from pearlkerf.setups.model import Setup

Box = tuple[float, float, float, float]
# boxes are told outward to such a part of a millimetre or an inch
STEPS: Final[dict[Unit, int]] = {"mm": 10, "in": 200}
DECIMALS: Final = 4  # what a file has said before is said again as closely


@dataclass(frozen=True, slots=True)
class UsedLine:
    """The ``used`` of one [[inlay_blank]], the ``entry``-th of the file from 0: what is gone before and after a job."""

    entry: int
    blank: InlayBlank
    line: str

    @property
    def of(self) -> str:
        """Say which table it is for."""
        number, blank = self.entry + 1, self.blank
        count = f", {blank.count} blanks" if blank.count > 1 else ""
        return f"[[inlay_blank]] {number}, {blank.material}, {blank.length_mm:.2f} mm by {blank.width_mm:.2f} mm{count}"


def used_lines(setups: Sequence[Setup], blanks: Sequence[InlayBlank], unit: Unit) -> tuple[UsedLine, ...]:
    """Give for each [[inlay_blank]] of which something is cut its whole ``used``, lengths in ``unit``, to be pasted."""
    new: dict[int, list[UsedPlace]] = {}
    for setup in setups:
        for blank, box in gone(setup, unit):
            new.setdefault(blank.of[0], []).append(UsedPlace(blank.of[1], box))
    return tuple(
        UsedLine(entry, blanks[entry], _line([*blanks[entry].used, *_sorted(new[entry])], unit))
        for entry in sorted(new)
    )


def _sorted(places: Sequence[UsedPlace]) -> list[UsedPlace]:
    return sorted(places, key=lambda each: (each.blank, each.box_mm))


def gone(setup: Setup, unit: Unit) -> Iterator[tuple[RowBlank, Box]]:
    """Give of each piece the blank that it is cut from, and the box of all that is cut there with half a wall, mm.

    Its sides are told outward, but not beyond the blank.
    """
    if setup.row is None:
        return
    blanks, step = {blank.number: blank for blank in setup.row.blanks}, float(MM_PER_UNIT[unit]) / STEPS[unit]
    for piece in setup.row.pieces:
        blank = blanks[piece.blank]
        cut = [each.region for each in setup.features if isinstance(each, Pocket) and each.number == piece.number]
        low_x, low_y, high_x, high_y = shapely.total_bounds(np.array(cut)).tolist()
        low = (low_x - blank.x_mm, low_y)
        high = (high_x - blank.x_mm, high_y)
        (x0, y0), (x1, y1) = (
            tuple(max(0.0, math.floor((each - WALL_MM / 2) / step) * step) for each in low),
            tuple(
                min(side, math.ceil((each + WALL_MM / 2) / step) * step)
                for each, side in zip(high, (blank.length_mm, blank.width_mm), strict=True)
            ),
        )
        yield blank, (x0, y0, x1, y1)


def _line(used: Sequence[UsedPlace], unit: Unit) -> str:
    places = (f"{{ blank = {each.blank}, box = [{', '.join(_told(side, unit) for side in each.box_mm)}] }}"
              for each in used)  # fmt: skip
    return f"used = [{', '.join(places)}]"


def _told(side_mm: float, unit: Unit) -> str:
    """Give a length as a bare number of a file.

    >>> _told(12.7, "mm"), _told(12.7, "in"), _told(0.0, "mm")
    ('12.7', '0.5', '0')
    """
    return f"{side_mm / float(MM_PER_UNIT[unit]):.{DECIMALS}f}".rstrip("0").rstrip(".")
