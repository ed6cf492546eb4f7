"""For which cutters pockets and their pieces were fitted, as the programs of both claim it."""

from collections.abc import Iterable
from dataclasses import dataclass

from pearlkerf.layout.names import in_ranges
from pearlkerf.setups.fits import Fitted


@dataclass(frozen=True, slots=True)
class FittedFor:
    """The pockets (numbers) that were fitted for two cutters, their diameters, and the gap on each side, mm.

    ``piece_mm`` is 0 where pieces are cut by hand.
    """

    numbers: tuple[int, ...]
    pocket_mm: float
    piece_mm: float
    gap_mm: float

    @property
    def claimed(self) -> str:
        """Give it as the heads of programs claim it.

        >>> FittedFor((1, 2, 3, 7), 3.0, 0.8, 0.05).claimed
        '1-3 7/3.000/0.800/0.050'
        """
        return f"{' '.join(in_ranges(self.numbers))}/{self.pocket_mm:.3f}/{self.piece_mm:.3f}/{self.gap_mm:.3f}"


def fitted_for(fits: Iterable[Fitted]) -> tuple[FittedFor, ...]:
    """Give for which cutters parts were fitted, those alike together, in the order of their pockets."""
    alike: dict[tuple[float, float, float], list[int]] = {}
    for fit in sorted(fits, key=lambda each: each.part.pocket.number):
        piece = 0.0 if fit.pair.piece is None else fit.pair.piece.diameter_mm
        key = (fit.pair.pocket.diameter_mm, piece, fit.part.inlay.gap_mm)
        alike.setdefault(key, []).append(fit.part.pocket.number)
    return tuple(FittedFor(tuple(numbers), *key) for key, numbers in alike.items())
