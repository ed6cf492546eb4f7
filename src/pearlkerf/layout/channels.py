"""The channel that is cut round a piece of an inlay, or along the wall of a hole in one; a pocket of its own kind.

+----------------+     the piece stays, and so does what lies outside;
|  ___________   |     a hole that is wide enough keeps its core, else it is a pocket, cleared whole
| |   piece   |  |
| |___________|<-|---  the channel, a little wider than its cutter: cut along the waste first, along the piece last
+----------------+
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from pearlkerf.layout.features import Pocket
from pearlkerf.layout.lines import Point

if TYPE_CHECKING:
    import shapely


@dataclass(frozen=True, slots=True)
class Channel(Pocket):
    """A pocket between a wall that counts and one that is waste.

    ``counts`` is the area whose edge is the wall that counts: the piece without its holes, or a hole of it.
    ``last`` is the place on that edge where it is cut through last, beside a thin neck; None: wherever.
    Where there are tabs it is cut down to ``tabs_z_mm``, and to its floor in the sections ``between`` them alone.
    """

    kind: ClassVar[str] = "channel"

    counts: "shapely.Polygon | None" = None
    last: Point | None = None
    between: "tuple[shapely.Polygon, ...]" = ()
    tabs_z_mm: float = 0.0

    @property
    def frees_at_mm(self) -> float:
        """Give the height down to which all of it is cut: its floor, or the top of its tabs."""
        return self.tabs_z_mm if self.between else self.floor_at_crown_mm
