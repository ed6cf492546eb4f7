"""Slots aslant to the board, and programs for them worked out by sampling discs: nothing here comes from the proof."""

import math
from dataclasses import dataclass

import numpy as np
from small_board import HALF_WIDTH, face, program

from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.setups.model import Placement

CYLINDER, COMPOUND = Crown(254.0, 254.0, 60.0), Crown(254.0, 274.0, 60.0)
LYING = Placement()
DEPTH_MM, MIDDLE = -2.0, (30.0, 0.0)
STOPPED_SHORT_MM = 3.0
# a disc is sampled on so many rings, each at so many places
RINGS, PLACES = 5, 360


@dataclass(frozen=True)
class Slanted:
    """A slot of 0.6 mm, or wider, whose centre line crosses the board's square by ``angle_deg`` at MIDDLE."""

    angle_deg: float
    through: bool = True
    crown: Crown = CYLINDER
    radius: float = 0.3
    width: float = 0.6
    placement: Placement = LYING

    @property
    def along(self) -> np.ndarray:
        angle = math.radians(self.angle_deg)
        return np.array([math.sin(angle), math.cos(angle)])

    @property
    def across(self) -> np.ndarray:
        return np.array([self.along[1], -self.along[0]])

    @property
    def reach(self) -> float:
        """From the middle to either end, along the slot."""
        return HALF_WIDTH / self.along[1] - (0.0 if self.through else STOPPED_SHORT_MM)

    @property
    def feature(self) -> Slot:
        start, end = (tuple((np.array(MIDDLE) + way * self.along).tolist()) for way in (-self.reach, self.reach))
        return Slot("frets", 1, "fret 1", start, end, self.width, Floor(DEPTH_MM, self.crown), self.through)

    @property
    def setup(self):
        return face(self.feature, placement=self.placement)

    def board(self, across, along) -> np.ndarray:
        """Places (..., 2) of the board, from distances across and along from the middle."""
        across, along = np.broadcast_arrays(across, along)
        return np.array(MIDDLE) + across[..., None] * self.across + along[..., None] * self.along

    def floor(self, points: np.ndarray) -> np.ndarray:
        """The demanded surface, by the sagitta of the section."""
        radius = self.crown.nut_radius_mm + (self.crown.end_radius_mm - self.crown.nut_radius_mm) * np.clip(
            points[..., 0] / self.crown.length_mm, 0.0, 1.0
        )
        return DEPTH_MM - (radius - np.sqrt(radius**2 - points[..., 1] ** 2))

    def highest_under(self, across, along, radius: float | None = None) -> np.ndarray:
        """The height at which a flat disc, let down, first touches the surface: the greatest of many places in it."""
        radius = self.radius if radius is None else radius
        angle = np.arange(PLACES) * 2 * math.pi / PLACES
        centre, highest = self.board(across, along), None
        for ring in np.linspace(0.0, radius, RINGS):
            at = centre[..., None, :] + ring * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
            top = self.floor(at).max(axis=-1)
            highest = top if highest is None else np.maximum(highest, top)
        return highest

    def ways(self, step: float = 0.5) -> list[np.ndarray]:
        """The ways (n, 2) of the cutter's middle, across and along: lanes from air to air, or one closed line."""
        free, inner = self.width / 2 - self.radius, self.reach - self.width / 2
        if self.through:
            aslant = abs(math.tan(math.radians(self.angle_deg)))
            far = self.reach + self.radius / self.along[1] + self.width / 2 * aslant + 0.2
            along = np.linspace(-far, far, 2 * math.ceil(far / step) + 1)
            lanes = (0.0,) if free <= 1e-9 else (free, -free) if free < self.radius else (free, 0.0, -free)
            return [np.column_stack([np.full(len(along), lane), along]) for lane in lanes]
        up = np.linspace(-inner, inner, 2 * math.ceil(inner / step) + 1)
        if free <= 1e-9:
            return [np.column_stack([np.zeros(2 * len(up) - 1), np.append(up, up[-2::-1])])]
        turn = np.linspace(0.0, math.pi, 49)
        end = np.column_stack([free * np.cos(turn), inner + free * np.sin(turn)])
        side = np.column_stack([np.full(len(up), free), up])
        return [np.vstack([side, end[1:], -side[1:], -end[1:]])]

    def tips(self, lift: float = 0.0, step: float = 0.5) -> list[np.ndarray]:
        """Ways of the tip (n, 3), the board's axes: on the floor that a flat cutter reaches there, lifted."""
        return [np.column_stack([self.board(*way.T), self.highest_under(*way.T) + lift]) for way in self.ways(step)]

    def text(self, floors: list[np.ndarray], cutter: int = 1, passes: int = 6) -> str:
        """A program over floors: through slots in even passes forth and back, stopped ones down a ramp."""
        lines = []
        for floor in floors:
            lines += self._forth_and_back(floor, passes) if self.through else self._down_a_ramp(floor, passes)
        return program(lines, cutter, "frets 1")

    def _forth_and_back(self, floor: np.ndarray, passes: int) -> list[str]:
        lines = self._above(floor[0])
        for turn in range(1, passes + 1):
            way = self._along((floor if turn % 2 else floor[::-1]) * (1, 1, turn / passes))
            lines += [f"{place} F{400.0 if number else 100.0}" for number, place in enumerate(way)]
        return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]

    def _down_a_ramp(self, floor: np.ndarray, passes: int) -> list[str]:
        lines = [*self._above(floor[0]), "G1 Z0.0 F100.0"]
        gone = np.cumsum(np.hypot(*np.diff(floor[:, :2], axis=0).T))
        for turn in range(passes + 1):
            deep = np.minimum(1.0, (turn + gone / gone[-1]) / passes)
            way = floor[1:] * np.column_stack([np.ones((len(deep), 2)), deep])
            lines += [f"{place} F400.0" for place in self._along(way)]
        return [*lines, "G1 Z0.5 F100.0", "G0 Z5.0"]

    def _above(self, point: np.ndarray) -> list[str]:
        x, y = self.placement.to_machine(point[:2])
        return [f"G0 X{x:.4f} Y{y:.4f}", "G0 Z0.5"]

    def _along(self, way: np.ndarray) -> list[str]:
        """Moves through places (n, 3)."""
        places = np.column_stack([self.placement.to_machine(way[:, :2]), way[:, 2]])
        return [f"G1 X{x:.4f} Y{y:.4f} Z{z:.4f}" for x, y, z in places.tolist()]
