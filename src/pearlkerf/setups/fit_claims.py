"""For which cutters pockets and their pieces were fitted, as the programs of both claim it."""

from collections.abc import Iterable
from dataclasses import dataclass

from pearlkerf.layout.features import Identity
from pearlkerf.layout.names import in_ranges
from pearlkerf.setups.fits import Fitted, LetIn


@dataclass(frozen=True, slots=True)
class FittedFor:
    """The pockets (numbers) that were fitted for two cutters, their diameters, and the gap on each side, mm.

    ``piece_mm`` is 0 where pieces are cut by hand; else ``pieces`` are all that are due, each with its pocket.  Pockets
    that several inlays share stand in as many of these as their pieces have cutters.
    """

    numbers: tuple[int, ...]
    pocket_mm: float
    piece_mm: float
    gap_mm: float
    pieces: tuple[tuple[Identity, str], ...] = ()

    @property
    def claimed(self) -> str:
        """Give it as the heads of programs claim it.

        >>> FittedFor((1, 2, 3, 7), 3.0, 0.8, 0.05).claimed
        '1-3 7/3.000/0.800/0.050'
        """
        return f"{' '.join(in_ranges(self.numbers))}/{self.pocket_mm:.3f}/{self.piece_mm:.3f}/{self.gap_mm:.3f}"


def fitted_for(fits: Iterable[Fitted]) -> tuple[FittedFor, ...]:
    """Give for which cutters parts were fitted, those alike together, in the order of their pockets."""
    alike: dict[tuple[float, float, float], list[LetIn]] = {}
    for fit in sorted(fits, key=lambda each: each.part.pocket.number):
        for piece in fit.pieces:
            diameter = 0.0 if piece.cutter is None else piece.cutter.diameter_mm
            alike.setdefault((fit.pair.pocket.diameter_mm, diameter, fit.part.inlay.gap_mm), []).append(piece)
    return tuple(
        FittedFor(
            tuple(dict.fromkeys(piece.place.number for piece in pieces)), *key,
            pieces=tuple((piece.place, piece.name) for piece in pieces if piece.cutter is not None),
        )
        for key, pieces in alike.items()
    )  # fmt: skip
