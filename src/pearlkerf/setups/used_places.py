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
from pearlkerf.setups.blanks import WALL_MM, Rectangle
from pearlkerf.setups.model import Setup

Box = tuple[float, float, float, float]
# boxes are told outward to such a part of a millimetre or an inch
STEPS: Final[dict[Unit, int]] = {"mm": 10, "in": 200}
DECIMALS: Final = 4  # what a file has said before is said again as closely

WITH_OTHERS: Final = (
    "What the whole job takes is among it, as if it was cut before this part: of what never was cut take the boxes out."
)


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
    """Give for each [[inlay_blank]] of which something is cut its whole ``used``, lengths in ``unit``, to be pasted.

    What was left alone, since it may have been cut before, is told with it: a file that says a part says all.
    """
    new: dict[int, list[UsedPlace]] = {}
    for setup in setups:
        for blank, box in gone(setup, unit):
            new.setdefault(blank.of[0], []).append(UsedPlace(blank.of[1], box))
        for (entry, number), box in setup.row.beside if setup.row else ():
            length_mm, width_mm = blanks[entry].length_mm, blanks[entry].width_mm
            assert length_mm is not None and width_mm is not None
            new.setdefault(entry, []).append(UsedPlace(number, _outward(box, (length_mm, width_mm), unit)))
    return tuple(
        UsedLine(entry, blanks[entry], _line([*blanks[entry].used, *_sorted(new[entry])], unit))
        for entry in sorted(new)
    )


def with_others(setups: Sequence[Setup]) -> str:
    """Give a sentence where these lines tell of what may have been cut before, a blank before it; else nothing."""
    return f" {WITH_OTHERS}" if any(setup.row is not None and setup.row.beside for setup in setups) else ""


def _sorted(places: Sequence[UsedPlace]) -> list[UsedPlace]:
    return sorted(places, key=lambda each: (each.blank, each.box_mm))


def gone(setup: Setup, unit: Unit) -> Iterator[tuple[RowBlank, Box]]:
    """Give of each piece the blank that it is cut from, and the box of all that is cut there with half a wall, mm.

    Its sides are told outward, but not beyond the blank.
    """
    if setup.row is None:
        return
    blanks = {blank.number: blank for blank in setup.row.blanks}
    for piece in setup.row.pieces:
        blank = blanks[piece.blank]
        cut = [each.region for each in setup.features if isinstance(each, Pocket) and each.number == piece.number]
        low_x, low_y, high_x, high_y = shapely.total_bounds(np.array(cut)).tolist()
        cut_away = Rectangle(low_x - blank.x_mm, low_y, high_x - blank.x_mm, high_y).grown(WALL_MM / 2)
        yield blank, _outward(cut_away, (blank.length_mm, blank.width_mm), unit)


def _outward(box: Box, size_mm: tuple[float, float], unit: Unit) -> Box:
    """Give a box of a blank of a size with its sides outward as they are told, but not beyond the blank."""
    step = float(MM_PER_UNIT[unit]) / STEPS[unit]
    (low_x, low_y), (high_x, high_y) = (
        [max(0.0, math.floor(side / step) * step) for side in box[:2]],
        [min(most, math.ceil(side / step) * step) for side, most in zip(box[2:], size_mm, strict=True)],
    )
    return low_x, low_y, high_x, high_y


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
