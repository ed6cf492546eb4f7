"""How the line of the nut, or a zero fret, lies on the board, and the board in its blank, in sentences."""

from collections.abc import Iterator
from typing import Final

from pearlkerf.files.lengths import as_written
from pearlkerf.setups.lying import NutLine

# so far from the middle of its blank a board lies in it all the same
WORTH_A_WORD_MM: Final = 0.005


def nut_line(line: NutLine) -> Iterator[str]:
    """Say how far from the nut end it crosses the centre line, and how it lies aslant; nothing of what is usual."""
    if line.from_end_mm:
        yield (f"the {line.what} crosses the centre line {line.from_end_mm:.2f} mm right of the nut end of the board")
    if line.angle_deg:
        way = "left" if line.angle_deg > 0 else "right"
        yield f"the {line.what} lies {abs(line.angle_deg):.2f} degrees aslant, farther {way} away from the operator"


def in_blank(width_mm: float, middle_mm: float) -> str:
    """Say how wide a blank is, and where its middle lies in Y."""
    wide = f"the blank is {as_written(width_mm)} wide"
    if abs(middle_mm) < WORTH_A_WORD_MM:
        return f"{wide}, the board lies in the middle of it"
    way = "away from" if middle_mm > 0 else "toward"
    return f"{wide}, its middle lies {abs(middle_mm):.2f} mm {way} the operator from Y0"
