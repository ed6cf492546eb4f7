"""What holds the wood, as pictures show it from above: its boxes, cut to what a picture has room for."""

from collections.abc import Sequence
from dataclasses import dataclass

from pearlkerf.layout.lines import Point
from pearlkerf.setups.model import Setup


@dataclass(frozen=True, slots=True)
class Held:
    """A clamp, jaw or fence in a picture: its name, what of it can be seen, whether it stands over the wood's top."""

    name: str
    low: Point  # mm, machine axes
    high: Point
    over: bool

    @property
    def middle(self) -> Point:
        """Give the middle of what can be seen."""
        return (self.low[0] + self.high[0]) / 2, (self.low[1] + self.high[1]) / 2

    @property
    def corners(self) -> tuple[Point, ...]:
        """Give its corners, counter-clockwise."""
        return self.low, (self.high[0], self.low[1]), self.high, (self.low[0], self.high[1])


def held(setup: Setup, ends: Sequence[Point]) -> tuple[Held, ...]:
    """Give the boxes of a setup that lie within a picture, whose opposite corners are ``ends``, mm, machine axes.

    A box that reaches out of the picture is cut off at its rim, one that lies beyond it is left out.
    """
    (west, east), (south, north) = (sorted(end[axis] for end in ends) for axis in (0, 1))
    shown = []
    for box in setup.holding:
        x, y = zip(*box.corners, strict=True)
        low, high = (max(min(x), west), max(min(y), south)), (min(max(x), east), min(max(y), north))
        if low[0] < high[0] and low[1] < high[1]:
            shown.append(Held(box.name, low, high, box.top_mm > 0.0))
    return tuple(shown)
