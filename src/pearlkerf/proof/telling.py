"""How findings are put: lengths as a maker reads them, sides of the board, many alike told once."""

from dataclasses import dataclass

from numpy.typing import ArrayLike

# within this distance of a feature's middle no side is named
MIDDLE_MM = 0.5


def in_mm(length: float) -> str:
    """Write a length: hundredths, or thousandths where it is small.

    >>> in_mm(0.3149), in_mm(0.0123)
    ('0.31 mm', '0.012 mm')
    """
    return f"{length:.2f} mm" if abs(length) >= 0.1 else f"{length:.3f} mm"


def side_of(sides: tuple[str, str], from_middle_mm: float) -> str:
    """Name the side of the board, low or high, that a point lies on, as ", bass side"; nothing in the middle."""
    if abs(from_middle_mm) <= MIDDLE_MM:
        return ""
    low, high = sides
    return f", {low if from_middle_mm < 0 else high}"


@dataclass(frozen=True, slots=True, eq=False)
class Alike:
    """Motions (k,), in order, that one thing is held against, each with its amount (k,); in which feature."""

    motions: ArrayLike
    amounts: ArrayLike
    feature: str = ""
