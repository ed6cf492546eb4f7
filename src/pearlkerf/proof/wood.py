"""The wood of a setup as it lies on the machine: where it is, and how high it stands before any cut."""

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from pearlkerf.layout.surfaces import Floor, Stock
from pearlkerf.proof.counting import paged
from pearlkerf.setups.model import Placement, Setup

Floats = NDArray[np.float64]
# sections of a board between which a crown's radius changes evenly: chords stay within 0.0001 mm of where it has fallen
SECTIONS = 65


@dataclass(frozen=True, slots=True, eq=False)
class Wood:
    """The stock in machine axes; ``plan`` is its outline, a prepared polygon."""

    plan: shapely.Polygon
    stock: Stock
    placement: Placement

    @classmethod
    def of(cls, setup: Setup) -> "Wood":
        """Lay the stock of a setup where its placement says."""
        plan = shapely.Polygon(setup.placement.to_machine(setup.stock.outline))
        shapely.prepare(plan)
        return cls(plan, setup.stock, setup.placement)

    def standing_above(self, floor: Floor) -> "Wood":
        """Give the part of it that a slot with this floor is in: a crowned top may fall below a level floor.

        At distance y from the crown line a section of radius R has fallen by F where y**2 = 2 R F - F**2.
        """
        crown, fallen = self.stock.crown, self.stock.highest_mm - floor.crown_z_mm
        if (
            crown is None
            or floor.crown is not None
            or (self.stock.top_mm(*self.stock.outline.T) >= floor.crown_z_mm).all()
        ):
            return self
        low, high = float(self.stock.outline[:, 0].min()), float(self.stock.outline[:, 0].max())
        x = np.unique(np.clip([*np.linspace(low, high, SECTIONS), 0.0, crown.length_mm], low, high))
        radius = crown.radius_mm(x)
        half = np.where(fallen < radius, np.sqrt(np.maximum(fallen * (2 * radius - fallen), 0.0)), radius)
        band = np.concatenate([np.column_stack([x, -half]), np.column_stack([x, half])[::-1]])
        plan = shapely.intersection(self.plan, shapely.Polygon(self.placement.to_machine(band)))
        if not isinstance(plan, shapely.Polygon):  # of several pieces: all of the wood counts, which asks for more
            return self
        shapely.prepare(plan)
        return replace(self, plan=plan)

    def highest_top_mm(self, start: Floats, end: Floats, radius: Floats) -> Floats:
        """Give the highest raw top under cutters of ``radius`` along straight pieces, (k,) mm.

        On a crowned top the highest point is the one nearest to the crown line, and, where the
        radius grows along the board, the one where it is greatest; never lower than the truth.
        """
        if self.stock.crown is None:
            return np.full(len(start), self.stock.highest_mm)
        a, b = self.placement.to_board(start[:, :2]), self.placement.to_board(end[:, :2])
        crosses = np.sign(a[:, 1]) != np.sign(b[:, 1])
        nearest = np.where(crosses, 0.0, np.minimum(np.abs(a[:, 1]), np.abs(b[:, 1])))
        nearest = np.maximum(nearest - radius, 0.0)
        low, high = np.minimum(a[:, 0], b[:, 0]) - radius, np.maximum(a[:, 0], b[:, 0]) + radius
        return np.maximum(self.stock.top_mm(low, nearest), self.stock.top_mm(high, nearest))

    def top_mm(self, points: Floats) -> Floats:
        """Give the raw top at (k, 2) points, mm."""
        board = self.placement.to_board(points)
        return self.stock.top_mm(board[:, 0], board[:, 1])

    def distance_mm(self, start: Floats, end: Floats) -> Floats:
        """Give the distance in plan of straight pieces (k, 2 or 3) from the wood, mm; 0 over it."""
        return paged(self._distance_mm, start[:, :2], end[:, :2]) if len(start) else np.zeros(0)

    def _distance_mm(self, start: Floats, end: Floats) -> Floats:
        return np.asarray(shapely.distance(shapely.linestrings(np.stack([start, end], axis=1)), self.plan))

    def off_mm(self, points: Floats) -> Floats:
        """Give the distance in plan of (k, 2) points from the wood, (k,) mm; 0 over it."""
        off = np.zeros(len(points))
        corners = np.asarray(self.plan.exterior.coords)
        way = np.roll(corners[:-1], -1, axis=0) - corners[:-1]
        turn = way[:, 0] * np.roll(way[:, 1], -1) - way[:, 1] * np.roll(way[:, 0], -1)
        rows = np.arange(len(points))
        if (turn >= 0).all() or (turn <= 0).all():  # a convex plan: who is left of all its sides, or right, is over it
            side = np.outer(points[:, 1], way[:, 0]) - np.outer(points[:, 0], way[:, 1])
            side -= way[:, 0] * corners[:-1, 1] - way[:, 1] * corners[:-1, 0]
            rows = np.flatnonzero(~((side >= 0).all(axis=1) | (side <= 0).all(axis=1)))
        off[rows] = shapely.distance(shapely.points(points[rows]), self.plan)
        return off

    def holds(self, points: Floats) -> NDArray[np.bool_]:
        """Say which (k, 2) points lie over the wood."""
        return np.asarray(shapely.contains_xy(self.plan, points[:, 0], points[:, 1]))
