"""Does a piece go into its pocket?  Told from the programs of both by plain reading, plain buffers, plain distances.

Shares nothing with the project: words by a regular expression, arcs by a chord every degree, what a cutter takes by
shapely's buffers of whole ways.  A piece is what is left standing inside its own cuts; it is turned back and laid with
the middle of its place into the middle of its pocket, or settled there by least squares.
"""

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import affinity
from shapely.ops import unary_union

INCH = 25.4
CHORD = math.radians(1.0)
QUARTER = 48  # chords of a quarter circle: of 1.5 mm radius within 0.0002 mm
TOGETHER = 25  # ways that are buffered as one line
STEP_MM = 0.03  # between places along edges
FLOOR_MM = 0.015  # what stands so near to a cut's lowest way counts as its floor
TOUCHED_MM = 0.05  # and what is deeper than this below zero as touched
LEFT_MM2 = 0.05  # crumbs are no pieces


@dataclass(frozen=True)
class Way:
    """One move of the tip in the wood, under the name that its program says before it: (k, 2) places, its ends' Z."""

    name: str
    cutter: int
    places: np.ndarray
    high_mm: float
    low_mm: float


@dataclass(frozen=True)
class Place:
    """Where a head says that a piece is cut: on which blank of its row, where, how far turned."""

    number: int
    blank: int
    at: tuple[float, float]
    turn_deg: float


def ways(text: str) -> Iterator[Way]:
    """Give all moves at feed below zero of a program."""
    at, scale, motion, cutter, name = np.full(3, np.nan), 1.0, "0", 0, ""
    for line in text.splitlines():
        said = re.fullmatch(r"(?:N\d+ )?\(([^)]*)\)", line)
        if said:
            claim = re.match(r"setup=\S+ cutter=(\d+)", said[1])
            cutter, name = (int(claim[1]), name) if claim else (cutter, said[1])
            continue
        words = re.findall(r"([A-Z])([-+]?\d*\.?\d+)", line)
        codes = [f"{float(value):g}" for letter, value in words if letter == "G"]
        scale = INCH if "20" in codes else 1.0 if "21" in codes else scale
        motion = next((code for code in codes if code in ("0", "1", "2", "3", "82", "83")), motion)
        given = {letter: float(value) * scale for letter, value in words if letter in "XYZIJ"}
        if "4" in codes or "53" in codes or not given:
            continue
        end = np.array([given.get(axis, old) for axis, old in zip("XYZ", at, strict=True)])
        if motion in ("82", "83"):
            yield Way(name, cutter, np.array([end[:2], end[:2]]), end[2], end[2])
            at[:2] = end[:2]
            continue
        if motion != "0" and min(at[2], end[2]) < 0:
            off = np.array([given.get("I", 0.0), given.get("J", 0.0)])
            centre = None if motion == "1" else at[:2] + off
            places = np.array([at[:2], end[:2]]) if centre is None else _arc(at[:2], end[:2], centre, motion == "3")
            yield Way(name, cutter, places, max(at[2], end[2]), min(at[2], end[2]))
        at = end


def _arc(start: np.ndarray, end: np.ndarray, centre: np.ndarray, counter_clockwise: bool) -> np.ndarray:
    first, last = (math.atan2(*(place - centre)[::-1]) for place in (start, end))
    turn = (last - first) % (2 * math.pi) if counter_clockwise else -((first - last) % (2 * math.pi))
    angle = first + turn * np.linspace(0, 1, max(2, math.ceil(abs(turn) / CHORD) + 1))
    return centre + math.dist(start, centre) * np.column_stack([np.cos(angle), np.sin(angle)])


def places_of(texts: Iterable[str]) -> list[Place]:
    """Give the places that heads claim, each once."""
    found = {}
    for text in texts:
        for number, blank, x, y, turn in re.findall(r"\(place=(\d+)/(\d+)/([-\d.]+)/([-\d.]+)/([-\d.]+)\)", text):
            found[int(number)] = Place(int(number), int(blank), (float(x), float(y)), float(turn))
    return list(found.values())


@dataclass(frozen=True)
class Cut:
    """What the cuts of one name take, down to their floor and at all."""

    through: shapely.Geometry
    touched: shapely.Geometry


def cuts(texts: Iterable[str], radii: dict[int, float], *, over_tabs: bool = False) -> dict[str, Cut]:
    """Give what is cut under each name, a piece's holes with it; with tabs, what is cut over them counts as through."""
    by_name: dict[str, list[Way]] = {}
    for text in texts:
        for way in ways(text):
            by_name.setdefault(re.sub(r" hole( \d+)?$", "", way.name), []).append(way)
    found = {}
    for name, own in by_name.items():
        floor = min(way.low_mm for way in own)
        deep = [way for way in own if way.high_mm <= floor + FLOOR_MM or over_tabs]
        low = [way for way in own if way.low_mm < -TOUCHED_MM]
        found[name] = Cut(_taken(deep, radii), _taken(low, radii))
    return found


def _taken(some: list[Way], radii: dict[int, float]) -> shapely.Geometry:
    """Give what some ways take; those that are gone again at other levels once, those that follow each other as one."""
    lines: list[tuple[float, list[np.ndarray]]] = []
    gone = set()
    for way in some:
        key = way.cutter, np.round(way.places, 3).tobytes()
        if key in gone:
            continue
        gone.add(key)
        radius = radii[way.cutter]
        if (
            lines
            and lines[-1][0] == radius
            and len(lines[-1][1]) < TOGETHER
            and (lines[-1][1][-1][-1] == way.places[0]).all()
        ):
            lines[-1][1].append(way.places)
        else:
            lines.append((radius, [way.places]))
    return unary_union(
        [shapely.LineString(np.concatenate(line)).buffer(radius, quad_segs=QUARTER) for radius, line in lines]
    )


def in_pocket(cut: Cut, places: list[Place], blank_step_mm: float, pocket: Cut) -> tuple[shapely.Geometry, ...]:
    """Give the most and the least of a piece, laid into its pocket; raises ValueError where nothing is free."""
    free = freed(cut)
    place, blank_x_mm = place_of(free[0], places, blank_step_mm)
    return tuple(laid(each, place, blank_x_mm, pocket.through) for each in free)


def place_of(piece: shapely.Geometry, places: list[Place], blank_step_mm: float) -> tuple[Place, float]:
    """Give the place of a piece, whose middle is nearest to that of what stands there, and where its blank begins."""
    middle = shapely.box(*piece.bounds).centroid.coords[0]
    starts = [(place, (place.blank - 1) * blank_step_mm) for place in places]
    return min(starts, key=lambda each: math.dist((each[0].at[0] + each[1], each[0].at[1]), middle))


@dataclass(frozen=True)
class Fits:
    """How a piece lies in its pocket, mm: its least room, negative where it does not go in, and its greatest."""

    least_mm: float
    most_mm: float


def freed(cut: Cut) -> tuple[shapely.Geometry, shapely.Geometry]:
    """Give the most and the least that stands inside the cuts of a piece; raises ValueError where nothing is free."""
    found = []
    for taken in (cut.through, cut.touched):
        ground = shapely.box(*taken.bounds).buffer(1.0)
        parts = [part for part in shapely.get_parts(ground.difference(taken)) if part.area > LEFT_MM2]
        inside = [part for part in parts if not part.intersects(ground.exterior)]
        if not inside:
            raise ValueError("nothing is cut free")
        found.append(max(inside, key=lambda part: shapely.box(*part.bounds).area))
    return found[0], found[1]


def laid(piece: shapely.Geometry, place: Place, blank_x_mm: float, pocket: shapely.Geometry) -> shapely.Geometry:
    """Turn a piece back about its place, and bring that to the middle of its pocket."""
    x, y = place.at[0] + blank_x_mm, place.at[1]
    west, south, east, north = pocket.bounds
    back = affinity.rotate(piece, -place.turn_deg, origin=(x, y))
    return affinity.translate(back, (west + east) / 2 - x, (south + north) / 2 - y)


def fits(most: shapely.Geometry, least: shapely.Geometry, pocket: Cut, exempt: shapely.Geometry) -> Fits:
    """Give how a piece lies in its pocket, but where that is exempt."""
    edge, wall = _along(most, exempt), _along(pocket.touched, exempt)
    room = shapely.distance(pocket.through.boundary, shapely.points(edge))
    room = np.where(shapely.contains_xy(pocket.through, *edge.T), room, -room)
    return Fits(float(room.min()), float(shapely.distance(least, shapely.points(wall)).max()))


def settled(most: shapely.Geometry, pocket: Cut, gap_mm: float, exempt: shapely.Geometry) -> tuple[float, float]:
    """Give the shift by which a piece comes to lie evenly in its pocket."""
    shift, edge = np.zeros(2), _along(most, exempt)
    for _ in range(12):
        places = edge + shift
        places = places[~shapely.contains_xy(exempt, *places.T)]
        near = shapely.get_coordinates(shapely.shortest_line(pocket.through.boundary, shapely.points(places)))
        away = places - near.reshape(-1, 2, 2)[:, 0]
        room = np.hypot(*away.T)
        inside = np.where(shapely.contains_xy(pocket.through, *places.T), 1.0, -1.0)
        inward = inside[:, None] * away / np.maximum(room, 1e-9)[:, None]
        step, *_ = np.linalg.lstsq(inward, gap_mm - inside * room, rcond=None)
        shift += step
    return float(shift[0]), float(shift[1])


def _along(area: shapely.Geometry, exempt: shapely.Geometry) -> np.ndarray:
    places = shapely.get_coordinates(shapely.segmentize(area.boundary, STEP_MM))
    return places[~shapely.contains_xy(exempt, *places.T)]
