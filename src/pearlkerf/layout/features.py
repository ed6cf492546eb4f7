"""What is cut: slots, holes and pockets, each in the axes of a setup, mm.  A feature answers for itself.

Every kind has ``group``, ``number``, ``name`` and ``cutter`` (the number of the one that must cut it;
None: whichever serves), and answers the same questions, so that nobody asks for its kind:

    kind                   what it is, in a word
    after_pockets          whether it is cut after all that is not: a pocket's wall would chip beside it
    through                whether it runs out of the wood at its ends
    approach               on which side of it, in X and in Y, the cutter comes to it: -1 from below, 1 from above
    identity               group, number and name, by which it is known
    line, ends             its centre line, and the low and high extreme point of it
    anchor                 its middle
    width_mm               across its centre line
    beyond_ends_mm         how far it goes on beyond its ends
    floor_at_crown_mm      height of its floor on the crown line
    depth_below_top_mm     how deep it is, below the raw top right above it
    depth_in_flat_mm       how deep it is in a flat piece of wood that stands for the board
    distance_mm            how far a point lies from its centre line
    in_words               what a maker calls it, with its size
    resized                the same in another width
"""

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar, NamedTuple

import numpy as np

from pearlkerf.layout.lines import Axes, Line, Point
from pearlkerf.layout.surfaces import Floor, Stock

if TYPE_CHECKING:
    import shapely

# places along a slot at which its depth is looked at: its ends, its middle, and thirty between
DEPTH_PLACES = 33
# along a pocket's edge its depth is looked at this often, mm
EDGE_STEP_MM = 1.0
# heights this near to each other are the same, mm
ROUNDING_MM = 1e-6


class Identity(NamedTuple):
    """By what a feature is known: no two of a setup on a board share it; a coupon's notches of one part do."""

    group: str
    number: int
    name: str


@dataclass(frozen=True, slots=True)
class Slot:
    """A straight slot: a rectangle from wood's edge to wood's edge, or a stadium inside the wood.

    ``start`` (low Y) and ``end`` are the extreme points of the centre line: for a through slot the
    points where it leaves the wood, at an edge, or out of a crowned top that falls below its floor;
    for a stopped one the tips of the stadium (its end radius is half the width).
    """

    kind: ClassVar[str] = "slot"
    after_pockets: ClassVar[bool] = True
    approach: ClassVar[Point] = (-1.0, -1.0)

    group: str
    number: int
    name: str
    start: Point
    end: Point
    width_mm: float
    floor: Floor
    through: bool
    cutter: int | None = None

    @property
    def identity(self) -> Identity:
        """Group, number and name."""
        return Identity(self.group, self.number, self.name)

    @property
    def ends(self) -> tuple[Point, Point]:
        """Give both extreme points of its centre line, low Y first."""
        return self.start, self.end

    @property
    def anchor(self) -> Point:
        """Give the middle of its centre line."""
        return self.line.middle

    @property
    def beyond_ends_mm(self) -> float:
        """Nothing: its ends are its tips, or lie in the wood's edge."""
        return 0.0

    @property
    def line(self) -> Line:
        """Give its centre line."""
        return Line(self.start, self.end)

    @property
    def runs_along_x(self) -> bool:
        """Say whether it runs along the board's X."""
        return self.start[1] == self.end[1]

    @property
    def axes(self) -> Axes:
        """Give its own axes: along it from low Y on; from high X on where it runs along X, as if turned to lie so."""
        return (Line(self.end, self.start) if self.runs_along_x else self.line).axes

    def distance_mm(self, point: Point) -> float:
        """Give how far a point lies from its centre line, carried on beyond both ends."""
        return abs(self.line.beyond_mm(point))

    @property
    def floor_at_crown_mm(self) -> float:
        """Height of its floor on the crown line."""
        return self.floor.crown_z_mm

    def depth_below_top_mm(self, stock: Stock) -> float:
        """Give its depth below the raw top right above it, where it is deepest of DEPTH_PLACES along it."""
        (x_low, y_low), (x_high, y_high) = self.ends
        x, y = np.linspace(x_low, x_high, DEPTH_PLACES), np.linspace(y_low, y_high, DEPTH_PLACES)
        return float(np.max(stock.top_mm(x, y) - self.floor.z_mm(x, y)))

    def comes_out_of_top(self, end: Point, stock: Stock) -> bool:
        """Say whether the raw top falls to its floor at one of its ends: beyond it there is nothing to cut."""
        return self.through and float(stock.top_mm(*end) - self.floor.z_mm(*end)) <= ROUNDING_MM

    def depth_in_flat_mm(self, stock: Stock) -> float:  # noqa: ARG002
        """Give its depth in flat wood that stands for the board: that on the crown line, where wire is tried."""
        return -self.floor.crown_z_mm

    def in_words(self, depth_mm: float) -> str:
        """Say what it is and how large.

        >>> Slot("frets", 1, "fret 1", (10.0, -20.0), (10.0, 20.0), 0.6, Floor(-2.0), through=True).in_words(2.0)
        'a slot 0.600 mm wide and 2.00 mm deep'
        """
        return f"a slot {self.width_mm:.3f} mm wide and {depth_mm:.2f} mm deep"

    def resized(self, width_mm: float) -> "Slot":
        """Give it in another width."""
        return replace(self, width_mm=width_mm)


@dataclass(frozen=True, slots=True)
class Hole:
    """A round hole with a flat floor at ``floor_mm``.

    Any floor between ``deepest_mm`` and ``shallowest_mm`` (both negative, deepest the lower) serves.
    """

    kind: ClassVar[str] = "hole"
    after_pockets: ClassVar[bool] = False
    through: ClassVar[bool] = False

    group: str
    number: int
    name: str
    centre: Point
    diameter_mm: float
    floor_mm: float
    shallowest_mm: float
    deepest_mm: float
    cutter: int | None = None
    approach: Point = (-1.0, -1.0)

    @property
    def identity(self) -> Identity:
        """Group, number and name."""
        return Identity(self.group, self.number, self.name)

    @property
    def ends(self) -> tuple[Point, Point]:
        """Give its centre, twice."""
        return self.centre, self.centre

    @property
    def anchor(self) -> Point:
        """Give its centre."""
        return self.centre

    @property
    def line(self) -> Line:
        """Give its centre as a line without length."""
        return Line(self.centre, self.centre)

    def distance_mm(self, point: Point) -> float:
        """Give how far a point lies from its centre."""
        return math.dist(self.centre, point)

    @property
    def width_mm(self) -> float:
        """Give its diameter."""
        return self.diameter_mm

    @property
    def beyond_ends_mm(self) -> float:
        """Give its radius."""
        return self.diameter_mm / 2

    @property
    def floor_at_crown_mm(self) -> float:
        """Height of its floor, which is level."""
        return self.floor_mm

    def depth_below_top_mm(self, stock: Stock) -> float:
        """Give its depth below the raw top over its centre."""
        return float(stock.top_mm(*self.centre)) - self.floor_mm

    def depth_in_flat_mm(self, stock: Stock) -> float:
        """Give its depth in flat wood that stands for the board: as deep as it is there, below the top over it."""
        return self.depth_below_top_mm(stock)

    def in_words(self, depth_mm: float) -> str:
        """Say what it is and how large.

        >>> Hole("face dots", 3, "face dot 3", (90.0, 0.0), 6.0, -1.5, -1.5, -1.5).in_words(1.5)
        'a hole of 6.000 mm, 1.50 mm deep'
        """
        return f"a hole of {self.diameter_mm:.3f} mm, {depth_mm:.2f} mm deep"

    def resized(self, width_mm: float) -> "Hole":
        """Give it in another diameter."""
        return replace(self, diameter_mm=width_mm)


@dataclass(frozen=True, slots=True)
class Pocket:
    """A pocket of any outline: one connected part of a plan, with a floor that is level or follows the face.

    ``region`` is in mm, its holes are islands that stay; as the layout gives it it is what was drawn, and once the
    cutters are chosen what they leave of that.  A floor may lie anywhere between ``deepest_mm`` and ``shallowest_mm``
    on the crown line (both negative, deepest the lower).  ``number`` counts a board's pockets from the nut end.
    """

    kind: ClassVar[str] = "pocket"
    after_pockets: ClassVar[bool] = False
    through: ClassVar[bool] = False

    group: str
    number: int
    name: str
    region: "shapely.Polygon"
    floor: Floor
    shallowest_mm: float
    deepest_mm: float
    cutter: int | None = None
    approach: Point = (-1.0, -1.0)

    @property
    def identity(self) -> Identity:
        """Group, number and name."""
        return Identity(self.group, self.number, self.name)

    @property
    def ends(self) -> tuple[Point, Point]:
        """Give both ends of the middle line of its box, low X first."""
        low_x, low_y, high_x, high_y = self.region.bounds
        return (low_x, (low_y + high_y) / 2), (high_x, (low_y + high_y) / 2)

    @property
    def anchor(self) -> Point:
        """Give the middle of its box."""
        return self.line.middle

    @property
    def line(self) -> Line:
        """Give the middle line of its box along X."""
        return Line(*self.ends)

    def distance_mm(self, point: Point) -> float:
        """Give how far a point lies from its middle line, carried on beyond both ends."""
        return abs(self.line.beyond_mm(point))

    @property
    def width_mm(self) -> float:
        """Give the width of its box, across the board."""
        return self.region.bounds[3] - self.region.bounds[1]

    @property
    def beyond_ends_mm(self) -> float:
        """Nothing: its ends lie in its edge's box."""
        return 0.0

    @property
    def floor_at_crown_mm(self) -> float:
        """Height of its floor on the crown line."""
        return self.floor.crown_z_mm

    def depth_below_top_mm(self, stock: Stock) -> float:
        """Give its depth below the raw top right above it, where it is deepest: in its edge, or on the crown line."""
        import shapely

        places = shapely.get_coordinates(shapely.segmentize(self.region, EDGE_STEP_MM))
        low_y, high_y = self.region.bounds[1], self.region.bounds[3]
        if low_y < 0 < high_y:
            places = np.vstack([places, (self.anchor[0], 0.0)])
        return float(np.max(stock.top_mm(*places.T) - self.floor.z_mm(*places.T)))

    def depth_in_flat_mm(self, stock: Stock) -> float:
        """Give its depth in flat wood that stands for the board: as deep as it is where it is deepest."""
        return self.depth_below_top_mm(stock)

    def in_words(self, depth_mm: float) -> str:
        """Say what it is and how large."""
        low_x, low_y, high_x, high_y = self.region.bounds
        return f"a {self.kind} {high_x - low_x:.2f} mm long, {high_y - low_y:.2f} mm wide and {depth_mm:.2f} mm deep"

    def resized(self, width_mm: float) -> "Pocket":
        """Give it in another width, its length in proportion."""
        from shapely import affinity

        share = width_mm / self.width_mm
        return replace(self, region=affinity.scale(self.region, share, share, origin=self.anchor))


Feature = Slot | Hole | Pocket
