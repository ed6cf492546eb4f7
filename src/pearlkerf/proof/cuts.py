"""The cuts of a program: the parts of its feed motions that lie below the wood's top, and whose they are."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

NOBODYS = -1


@dataclass(frozen=True, slots=True, eq=False)
class Cuts:
    """Straight cuts in the order of execution, clipped to what lies below the wood's top; (k,) each.

    ``owner`` is the feature (an index into the setup's) that a cut stays in, as nearly as it wants, or
    NOBODYS; ``nearest`` the feature that it leaves least, and ``outside`` by how much.
    """

    start: Floats  # (k, 3) mm
    end: Floats  # (k, 3) mm
    motion: Ints
    piece: Ints  # which of the program's pieces it is, or the lower part of
    slack: Floats  # mm, from arcs
    radius: Floats  # mm, of the cutter
    flat: Floats  # mm, radius of what the cutter clears flat, within CUT_MM of its tip
    point: Floats  # mm, of the cutter: its lips stand so much above its tip
    fresh: Flags  # True where the cutter comes from outside the wood
    owner: Ints
    nearest: Ints
    outside: Floats  # mm

    def of(self, feature: int) -> Ints:
        """Give the indexes of the cuts that stay in a feature."""
        return np.flatnonzero(self.owner == feature)

    def some(self, rows: Ints | Flags | slice) -> "Cuts":
        """Give a part of the cuts as they are."""
        return Cuts(*(getattr(self, name)[rows] for name in Cuts.__slots__))

    def where(self, so: Flags) -> "Cuts":
        """Give the cuts of which something is so; mostly it is so of all."""
        return self if so.all() else self.some(so)

    def parted(self, features: int) -> "tuple[Cuts, ...]":
        """Give the cuts that stay in each feature, one after another; fresh also where others lie between two."""
        begins = np.flatnonzero(np.diff(self.owner, prepend=NOBODYS - 1))
        fresh = self.fresh.copy()
        fresh[begins] = True
        cuts, ends = replace(self, fresh=fresh), np.append(begins, len(fresh))[1:]
        stretches: list[list[slice]] = [[] for _ in range(features)]
        for first, last in zip(begins.tolist(), ends.tolist(), strict=True):
            if self.owner[first] != NOBODYS:
                stretches[self.owner[first]].append(slice(first, last))
        return tuple(
            cuts.some(each[0] if len(each) == 1 else np.r_[tuple(each)] if each else slice(0)) for each in stretches
        )

    @property
    def lips(self) -> Floats:
        """Give the lowest height of the lips on each cut, (k,) mm."""
        lowest: Floats = np.minimum(self.start[:, 2], self.end[:, 2]) + self.point
        return lowest

    @property
    def are_of_one_flat_cutter(self) -> bool:
        """Say whether there are cuts, and one cutter makes them all, flat to its edge and without a point."""
        same = (self.radius == self.radius[:1]) & (self.flat == self.radius[:1]) & (self.point == 0)
        return bool(len(same) and same.all())
