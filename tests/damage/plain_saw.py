"""The oracle's own saw: an upright disc across the board, set down step by step along its way.

A blade of diameter B stands in a plane of one x, half its kerf to either side; the program moves its
lowest point.  At a distance d from there along Y its edge stands sqrt((B/2)**2 - d**2) below its
centre, which is B/2 above the lowest point.
"""

import math
from dataclasses import dataclass

import numpy as np
from plain_demand import MATCH, in_outline
from plain_wood import Strokes

from pearlkerf.layout.features import Slot
from pearlkerf.setups.model import Setup

STEP = 0.2  # mm between places where the blade is set down: between two its edge lies 0.0002 mm lower
ALONG = 0.4  # mm between points across the wood
STEEP = math.tan(math.radians(30.0))  # what goes down more steeply makes no way


@dataclass(frozen=True)
class Blade:
    """A saw as the oracle takes it from the profile, mm."""

    number: int
    radius: float
    half: float  # of the kerf
    beside: float  # radius of what turns beside the blade
    way: float  # the sign of Y in which it may saw

    @classmethod
    def of(cls, cutter) -> "Blade":
        """Against the wood's own way (conventional) the blade goes where its lowest teeth go; climbing, back."""
        teeth = 1.0 if cutter.lowest_teeth == "away" else -1.0
        way = teeth if cutter.sawing == "conventional" else -teeth
        return cls(cutter.number, cutter.diameter_mm / 2, cutter.kerf_mm / 2,
                   max(cutter.flange_mm, cutter.arbor_mm) / 2, way)  # fmt: skip


@dataclass
class Sawing:
    """What strokes (k) do in a slot, in order, and the height of its floor in the end at the points (n) of ``y``."""

    takes: np.ndarray  # the most that each lowers the wood
    visit: np.ndarray  # the most that its visit to the wood has taken by then
    wrong: np.ndarray  # the most that it takes while it goes the wrong way
    down: np.ndarray  # the most that its visit has taken by going down steeply
    final: np.ndarray
    y: np.ndarray


def set_down(stroke: Strokes, k: int) -> np.ndarray:
    """The places (n, 3) where the blade is set down along a stroke."""
    a, b = stroke.a[k], stroke.b[k]
    count = max(1, math.ceil(float(np.abs(b - a).max()) / STEP))
    return a + (b - a) * np.linspace(0.0, 1.0, count + 1)[:, None]


def edge_mm(places: np.ndarray, radius: float, y: np.ndarray) -> np.ndarray:
    """The height (n, m) of a disc's edge at points ``y``, its lowest point at places (n, 3); inf beyond it."""
    room = radius**2 - (y - places[:, 1:2]) ** 2
    return np.where(room >= 0, places[:, 2:3] + radius - np.sqrt(np.maximum(room, 0.0)), math.inf)


def wood_at(setup: Setup, x: float) -> np.ndarray:
    """The places across the board, (m,), that have wood at this x."""
    outline = np.asarray(setup.stock.outline)
    y = np.arange(outline[:, 1].min(), outline[:, 1].max() + ALONG, ALONG)
    edges = np.concatenate([y, outline[:, 1], [0.0]])
    y = np.unique(edges)
    return y[in_outline(setup, np.column_stack([np.full(len(y), x), y]), 1e-6)]


def slot_width(slot: Slot, blade: Blade) -> float:
    """A slot is as wide as a kerf that almost fits."""
    return 2 * blade.half if abs(2 * blade.half - slot.width_mm) <= MATCH + 1e-6 else slot.width_mm


def saws_near(slot: Slot, blade: Blade, strokes: Strokes) -> np.ndarray:
    """The strokes of a blade below the top that come near a slot, of which all are at some place of it."""
    x = np.stack([strokes.a[:, 0], strokes.b[:, 0]])
    near = (x.min(axis=0) <= slot.start[0] + 2.0) & (x.max(axis=0) >= slot.start[0] - 2.0)
    return np.flatnonzero(near & (strokes.saw == blade.number) & (strokes.lowest < 0.0))


@dataclass
class Beyond:
    """How far a stroke of a blade goes where it must not, mm."""

    outside: float = 0.0  # out of every slot, or below a floor
    rapid: float = 0.0  # of raw wood at rapid
    flange: float = 0.0  # what turns beside the blade, in the wood


def beyond(setup: Setup, blade: Blade, strokes: Strokes, k: int) -> Beyond:
    """Set the blade down along a stroke and see where it is in the raw wood."""
    found = Beyond()
    places = set_down(strokes, k)
    places = places[places[:, 2] < 0.0] if blade.beside < blade.radius else places
    slots = [each for each in setup.features if isinstance(each, Slot) and each.through]
    for x in np.unique(places[:, 0].round(9)):
        some = places[np.abs(places[:, 0] - x) < 1e-9]
        for side in (-blade.half, 0.0, blade.half):
            y = wood_at(setup, x + side)
            if not len(y):
                continue
            top = setup.stock.top_mm(np.full(len(y), x + side), y)
            edge = edge_mm(some, blade.radius, y).min(axis=0)
            depth = np.maximum(top - edge, 0.0)
            flange = edge_mm(some + np.array([0.0, 0.0, blade.radius - blade.beside]), blade.beside, y).min(axis=0)
            found.flange = max(found.flange, float((top - flange).max()))
            if strokes.rapid[k]:
                found.rapid = max(found.rapid, float(depth.max()))
            found.outside = max(found.outside, _outside(slots, blade, x, y, edge, depth))
    return found


def _outside(slots: list[Slot], blade: Blade, x: float, y, edge, depth) -> float:
    """The least that the blade's edge lies outside, or too deep in, any slot, where it is in the wood."""
    worst = depth
    for slot in slots:
        beside = abs(x - slot.start[0]) + blade.half - slot_width(slot, blade) / 2
        too_deep = slot.floor.z_mm(np.full(len(y), slot.start[0]), y) - edge
        worst = np.minimum(worst, np.maximum(beside, too_deep))
    return float(np.max(worst, initial=0.0))


def saw(setup: Setup, slot: Slot, blade: Blade, strokes: Strokes, narrow: float) -> Sawing:
    """Saw a slot with strokes in order; only those count whose kerf covers its width, less ``narrow`` at a wall."""
    y = wood_at(setup, slot.start[0])
    raw = setup.stock.top_mm(np.full(len(y), slot.start[0]), y)
    height, before, steep = raw.copy(), raw.copy(), 0.0
    rows = []
    for k in range(len(strokes.row)):
        places, way = set_down(strokes, k), strokes.b[k] - strokes.a[k]
        edge = edge_mm(places, blade.radius, y)
        if not (edge[0] < raw).any():  # it comes from the air
            before, steep = height, 0.0
        reach = np.abs(places[:, 0] - slot.start[0]) <= blade.half - slot_width(slot, blade) / 2 + narrow
        low = np.minimum(height, np.where(reach[:, None], edge, math.inf).min(axis=0))
        takes = float((height - low).max(initial=0.0))
        if -way[2] - 0.002 > STEEP * abs(way[1]):
            steep += takes
        rows.append(
            (takes, float((before - low).max(initial=0.0)), takes if way[1] * blade.way < -1e-6 else 0.0, steep)
        )
        height = low
    takes, visit, wrong, down = np.array(rows).reshape(-1, 4).T
    return Sawing(takes, visit, wrong, down, height, y)
