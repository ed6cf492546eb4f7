"""How the line of the nut, or a zero fret, lies on the board, in sentences."""

from collections.abc import Iterator

from pearlkerf.setups.lying import NutLine


def nut_line(line: NutLine) -> Iterator[str]:
    """Say how far from the nut end it crosses the centre line, and how it lies aslant; nothing of what is usual."""
    if line.from_end_mm:
        yield (f"the {line.what} crosses the centre line {line.from_end_mm:.2f} mm right of the nut end of the board")
    if line.angle_deg:
        way = "left" if line.angle_deg > 0 else "right"
        yield f"the {line.what} lies {abs(line.angle_deg):.2f} degrees aslant, farther {way} away from the operator"
