"""Pockets in programs: whole and nowhere beyond, in bearable bites, climbing, without a needless rise.

All is told from the programs' own text, read and cut by these tests alone (sampled_motion), with shapely's buffers.
"""

import functools
import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely import affinity

from makers import a_machine
from pearlkerf.layout.surfaces import Crown, Floor
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.model import Cutter
from pearlkerf.operations.pocket_cutters import roomy_for
from pearlkerf.outlines.fit import Cutters, fit
from pearlkerf.outlines.region import Region
from pearlkerf.toolpath.courses import course
from pearlkerf.toolpath.nests import nested
from pearlkerf.toolpath.strokes import Drawing, chords
from pockets import DEPTH_MM, DRAWN, a_leaf, a_pocket, clamped_with, programs_of
from sampled_motion import Path, sample

ONE, THREE = Cutter(1, "end mill", 1.0, 2, 5.0), Cutter(2, "end mill", 3.0, 2, 12.0)
CUTTERS = {1: ONE, 2: THREE}
# what may be left, and cut beyond the walls (the issue of the whole: a hundredth both ways)
CUT_MM = 0.01
# how the controller is spoken to: arcs and chords in mm, arcs in inches
SPOKEN = {"arcs": {}, "chords": {"arcs": False}, "inches": {"unit": "in", "decimals": 4}}
# the rings along walls, as written: the cutter's radius and so much more (least, most), mm
BANDS = {"arcs": (0.0, 0.005), "chords": (0.0, 0.005), "inches": (-0.002, 0.008)}
# heights are rounded up to a step
STEP_MM = 0.003


@functools.cache
def paths(name: str, spoken: str, cutters: tuple[Cutter, ...] = (ONE,)) -> dict[int, Path]:
    """Give the paths of all programs of a pocket, by cutter."""
    found: dict[int, Path] = {}
    for text in programs_of(clamped_with([a_pocket(name)]), *cutters, **SPOKEN[spoken]).values():
        found |= sample(text)
    return found


def test_a_ring_is_left_early_only_where_rings_inside_it_have_gone() -> None:
    """Rounded corners shorten the innermost ring of this leaf so much that its end is the next one's to cut."""
    radius_mm = THREE.radius_mm
    leaf = Region(shapely.MultiPolygon([affinity.scale(a_leaf(), 0.6, 0.6, origin=(0, 0))]))
    [pocket] = fit(leaf, Cutters(0.3, 0.3, 0.05), "leaf").pocket.geoms
    [roomy] = roomy_for(THREE, pocket).geoms
    [nest] = nested(roomy, radius_mm)
    way = course(nest, radius_mm, Drawing(chords, 0.0014, 0.01))
    line = shapely.LineString([way.down.start, *(stroke.end for stroke in way.strokes)])
    assert roomy.buffer(-CUT_MM).difference(line.buffer(radius_mm, quad_segs=64)).area < 1e-9


def strokes(path: Path, below_mm: float) -> list[np.ndarray]:
    """Give what is fed wholly at or below a height, but for moves straight up and down."""
    return [run for run in path.runs if run[:, 2].max() <= below_mm and np.ptp(run[:, :2], axis=0).any()]


def swept(found: dict[int, Path], below_mm: float) -> shapely.Geometry:
    """Give what all cutters open at or below a height."""
    areas = []
    for number, path in found.items():
        ways: list[list[np.ndarray]] = [[]]
        for run in strokes(path, below_mm):
            if (ways[-1] and (ways[-1][-1][-1, :2] != run[0, :2]).any()) or len(ways[-1]) > 50:
                ways.append([])
            ways[-1].append(run)
        lines = [shapely.LineString(np.concatenate(way)[:, :2]) for way in ways if way]
        areas += [line.buffer(CUTTERS[number].radius_mm, quad_segs=60) for line in lines]
    return shapely.union_all(areas)


def whole(name: str, found: dict[int, Path]) -> None:
    """Hold what is opened against the pocket, both ways: at its floor all of it, and nowhere anything else."""
    region = a_pocket(name).region
    assert region.buffer(-CUT_MM).difference(swept(found, -DEPTH_MM + STEP_MM)).area < 1e-9
    assert swept(found, -1e-9).difference(region.buffer(CUT_MM, quad_segs=60)).area < 1e-9


@pytest.mark.parametrize("spoken", SPOKEN)
@pytest.mark.parametrize("name", DRAWN)
def test_a_pocket_is_cut_whole_and_nothing_else(name: str, spoken: str) -> None:
    whole(name, paths(name, spoken))


@pytest.mark.parametrize("spoken", SPOKEN)
@pytest.mark.parametrize("name", DRAWN)
def test_the_ring_along_the_wall_keeps_its_distance(name: str, spoken: str) -> None:
    wall = a_pocket(name).region.boundary
    shapely.prepare(wall)
    least, most = BANDS[spoken]
    lines = np.array([shapely.LineString(run[:, :2]) for run in strokes(paths(name, spoken)[1], -1e-9)])
    places, of = shapely.get_coordinates(shapely.segmentize(lines, 0.05), return_index=True)
    away = shapely.length(shapely.shortest_line(wall, shapely.points(places))) - ONE.radius_mm
    assert away.min() >= least
    farthest = np.zeros(len(lines))
    np.maximum.at(farthest, of, away)
    every = shapely.union_all(lines[farthest <= most]).buffer(0.02)
    assert wall.buffer(-ONE.radius_mm).boundary.difference(every).length < 1e-9


@pytest.mark.parametrize("name", DRAWN)
def test_a_pocket_is_cut_from_above_once_for_each_part_of_its_place(name: str) -> None:
    path = paths(name, "arcs")[1]
    parts = len(shapely.get_parts(a_pocket(name).region.buffer(-ONE.radius_mm - 0.0025)))
    assert sum(rapid[1, 2] < rapid[0, 2] for rapid in path.rapids) == parts
    assert min(rapid[1, 2] for rapid in path.rapids) >= 0.4  # none in wood


@pytest.mark.parametrize("name", ["block", "leaf", "cat's eye"])
def test_a_wide_pocket_s_way_is_as_long_as_the_strip_law_says(name: str) -> None:
    """Cut length = A / s + P / 2 of where the middle may be (each ring clears a strip as wide as the stepover)."""
    place = a_pocket(name).region.buffer(-ONE.radius_mm - 0.0025)
    level = sum(shapely.LineString(run[:, :2]).length for run in strokes(paths(name, "arcs")[1], -DEPTH_MM + STEP_MM)
                if np.ptp(run[:, 2]) == 0)  # fmt: skip
    assert level <= 1.02 * (place.area / 0.4 + place.length / 2)


class Wood:
    """A map of heights over a pocket, (n, m) mm, which discs lower; strips thinner than RIM_MM at their rims apart."""

    PITCH_MM, RIM_MM = 0.1, 0.02

    def __init__(self, region: shapely.Polygon) -> None:
        west, south, east, north = region.bounds
        self.x, self.y = np.arange(west - 1, east + 1, self.PITCH_MM), np.arange(south - 1, north + 1, self.PITCH_MM)
        self.top = np.zeros((len(self.x), len(self.y)))

    def lower(self, place: np.ndarray, radius_mm: float) -> float:
        """Lower what stands under a disc, and give by how much at most."""
        radius = radius_mm - self.RIM_MM
        low, high = (np.searchsorted(self.x, place[0] + off) for off in (-radius, radius))
        near, far = (np.searchsorted(self.y, place[1] + off) for off in (-radius, radius))
        some = self.top[low:high, near:far]
        away = np.hypot(self.x[low:high, None] - place[0], self.y[None, near:far] - place[1])
        over = np.where(away <= radius, some - place[2], 0.0)
        self.top[low:high, near:far] = np.where(over > 0, place[2], some)
        return float(over.max(initial=0.0))


def deepest_bites(name: str, found: dict[int, Path]) -> dict[int, float]:
    """Give the deepest bite of each cutter, the wider one first."""
    wood, deepest = Wood(a_pocket(name).region), dict.fromkeys(found, 0.0)
    for number, path in sorted(found.items(), reverse=True):
        for start, end in (pair for run in path.runs for pair in pairwise(run)):
            count = 1 + math.ceil(max(math.dist(start[:2], end[:2]) / Wood.PITCH_MM, (start[2] - end[2]) / 0.02))
            for place in start + (end - start) * np.linspace(0, 1, count)[1:, None]:
                deepest[number] = max(deepest[number], wood.lower(place, CUTTERS[number].radius_mm))
    return deepest


@pytest.mark.parametrize(("name", "cutters"), [("dumbbell", (ONE,)), ("star", (ONE, THREE)), ("strip", (ONE,))])
def test_no_bite_is_deeper_than_the_cutter_s(name: str, cutters: tuple[Cutter, ...], monkeypatch) -> None:
    monkeypatch.setattr("pearlkerf.operations.pocket_cutters.CHANGE_S", 0.0)
    found = {}
    for text in programs_of(clamped_with([a_pocket(name)]), *cutters).values():
        found |= sample(text)
    assert len(found) == len(cutters)
    for number, bite in deepest_bites(name, found).items():
        figures = cutting_figures(a_machine(*cutters), CUTTERS[number], "rosewood")
        assert 0 < bite <= figures.bite_mm + 0.001


@pytest.mark.parametrize("name", ["block", "strip", "ring"])
def test_a_cutter_goes_into_wood_no_more_steeply_than_it_may(name: str) -> None:
    for run in paths(name, "arcs")[1].runs:
        low = run[run[:, 2] <= 0.1 + STEP_MM]
        steps = np.diff(low, axis=0)
        down = (-steps[:, 2] > 1e-9) & (np.hypot(steps[:, 0], steps[:, 1]) > 0.1)
        slope = -steps[down, 2] / np.hypot(steps[down, 0], steps[down, 1])
        assert (np.degrees(np.arctan(slope)) <= 3.6).all()  # 3 degrees, and what rounding of short arcs adds


def test_a_clockwise_cutter_climbs() -> None:
    """The wood lies to the right: counter-clockwise along the outer wall, clockwise round the island."""
    region = a_pocket("star").region
    turned = {"outer": 0.0, "island": 0.0}
    for run in strokes(paths("star", "chords")[1], -DEPTH_MM + STEP_MM):
        for which, edge in (("outer", region.exterior), ("island", region.interiors[0])):
            middle = shapely.get_coordinates(shapely.centroid(edge))[0]
            if shapely.LineString(run[:, :2]).hausdorff_distance(edge) and max(
                edge.distance(shapely.Point(place)) for place in run[:, :2]
            ) < ONE.radius_mm + 0.01:  # fmt: skip
                a, b = run[0, :2] - middle, run[-1, :2] - middle
                turned[which] += float(a[0] * b[1] - a[1] * b[0])
    assert turned["outer"] > 0 > turned["island"]


@pytest.mark.parametrize("name", ["block", "star", "letter", "vine", "leaf", "dumbbell", "narrows"])
def test_what_a_wider_cutter_leaves_is_cut_as_well(name: str, monkeypatch) -> None:
    monkeypatch.setattr("pearlkerf.operations.pocket_cutters.CHANGE_S", 0.0)
    monkeypatch.setattr("pearlkerf.operations.pocket_cutters.WORTH_IT_S", -1000.0)
    found = {}
    for text in programs_of(clamped_with([replace(a_pocket(name), cutter=1)]), ONE, THREE).values():
        found |= sample(text)
    assert sorted(found) == [1, 2]
    whole(name, found)
    shorter, alone = (sum(shapely.LineString(run[:, :2]).length for run in strokes(each[1], -1e-9))
                      for each in (found, paths(name, "arcs")))  # fmt: skip
    assert shorter < alone
    assert min(rapid[1, 2] for rapid in found[1].rapids) >= 0.4


@pytest.mark.parametrize("radiused", [False, True])
def test_a_floor_that_follows_the_face_is_never_dug_below(radiused: bool) -> None:
    crown = Crown(254.0, 254.0, 448.0)
    drawn = a_pocket("letter", at=(150.0, 12.0))
    pocket = type(drawn)("inlays", 1, "letter", drawn.region, Floor(-1.2, crown), -1.2, -1.2)
    (text,) = programs_of(clamped_with([pocket], radiused), ONE).values()
    lowest = []
    for run in sample(text)[1].runs:
        rim = np.maximum(np.abs(run[:, 1]) - ONE.radius_mm, 0.0)
        lowest.append(float(np.min(run[:, 2] - (-1.2 - crown.fall_mm(0.0, rim)))))
        assert run[:, 2].max() <= 0.5  # where its upper levels run
    assert min(lowest) == pytest.approx(0.0, abs=0.004)  # chords hang by 0.0035 at most
