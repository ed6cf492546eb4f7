"""Surfaces of the wood: crowned or flat, raw or finished, and the floors that follow them."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True, slots=True)
class Crown:
    """A surface crowned across the board: cylindrical, compound (conical), or flat (radius ``inf``).

    Sections square to the centre line are circles; the crown line is level.
    """

    nut_radius_mm: float
    end_radius_mm: float
    length_mm: float

    def radius_mm(self, x_mm: ArrayLike) -> NDArray[np.float64]:
        """Radius of the section at ``x_mm``, linear from the nut end to the far end; held beyond them."""
        along = np.minimum(np.maximum(np.asarray(x_mm, dtype=float) / self.length_mm, 0.0), 1.0)
        if math.isinf(self.nut_radius_mm):
            return np.full_like(along, math.inf)
        return self.nut_radius_mm + (self.end_radius_mm - self.nut_radius_mm) * along

    def fall_mm(self, x_mm: ArrayLike, y_mm: ArrayLike) -> NDArray[np.float64]:
        """Fall below the crown line, the sagitta R - sqrt(R**2 - y**2); exact while abs(y) <= R.

        >>> float(Crown(304.8, 304.8, 450.0).fall_mm(0.0, 25.0).round(6))
        1.026993
        """
        if math.isinf(self.nut_radius_mm):
            return np.zeros(np.broadcast_shapes(np.shape(x_mm), np.shape(y_mm)))
        y, radius = np.asarray(y_mm, dtype=float), self.radius_mm(x_mm)
        root = np.sqrt(np.maximum(radius**2 - y**2, 0.0))
        return np.asarray(y**2 / (radius + root))


@dataclass(frozen=True, slots=True)
class Floor:
    """A slot's floor: ``crown_z_mm`` at the crown line, falling with ``crown`` or level where it is None."""

    crown_z_mm: float
    crown: Crown | None = None

    def z_mm(self, x_mm: ArrayLike, y_mm: ArrayLike) -> NDArray[np.float64]:
        """Height of the floor at a point of the board, before any placement."""
        shape = np.broadcast_shapes(np.shape(x_mm), np.shape(y_mm))
        if self.crown is None:
            return np.full(shape, self.crown_z_mm)
        return self.crown_z_mm - self.crown.fall_mm(x_mm, y_mm)


@dataclass(frozen=True, slots=True)
class Stock:
    """The wood in one setup: its plan, its top (flat at 0, or crowned with the crown line at 0), its bottom.

    What is glued into it stands ``glued_mm`` above its top, wherever: all of the wood counts as if it were as high.
    """

    outline: NDArray[np.float64]  # (n, 2) float, mm: corners, counter-clockwise, first not repeated
    thickness_mm: float  # the underside lies at -thickness_mm
    crown: Crown | None = None
    glued_mm: float = 0.0

    @property
    def highest_mm(self) -> float:
        """Height above which nothing of it stands."""
        return self.glued_mm

    def top_mm(self, x_mm: ArrayLike, y_mm: ArrayLike) -> NDArray[np.float64]:
        """Height of the raw top at a point of the board."""
        shape = np.broadcast_shapes(np.shape(x_mm), np.shape(y_mm))
        if self.crown is None:
            return np.full(shape, self.glued_mm)
        return self.glued_mm - self.crown.fall_mm(x_mm, y_mm)
