"""Entities of a DXF drawing as lines and arcs, seen from above: circles, polylines, ellipses, splines, hatches.

Source: DXF reference (R2010), entities section; bulges and object coordinates by ezdxf.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

import numpy as np

from pearlkerf.outlines.drawing import Loop
from pearlkerf.outlines.segments import Arc, Cubic, Line, Point, Segment, turned_round

FULL_TURN: Final = 2 * math.pi
# parts of a turn, and of a direction, that are rounding
FLAT: Final = 1e-9
# a spline is followed by cubics within this share of its own size
SPLINE_SHARE: Final = 1e-6
# and halved so often at most
MOST_HALVINGS: Final = 12
# a polyline that says these of itself keeps the frame of its curve among its corners
CURVE_FIT: Final = 2 | 4


@dataclass(frozen=True, slots=True)
class Drawn:
    """The lines of an entity; ``closes``: the file says that they are closed; ``fills``: they are of a filled area."""

    loops: tuple[Loop, ...]
    closes: bool = False
    fills: bool = False


class Unread(ValueError):
    """An entity that cannot be read; the message says what it is."""


def drawn(entity: Any) -> Drawn:
    """Give the lines of an entity; raises Unread where there is no outline in it."""
    reader = READERS.get(entity.dxftype())
    if reader is None:
        raise Unread(f"entities of the kind {entity.dxftype()} are not read here")
    from ezdxf.lldxf.const import DXFError

    try:
        if entity.dxf.is_supported("extrusion"):
            check_flat(entity)
        return reader(entity)
    except Unread:
        raise
    except (DXFError, ArithmeticError, LookupError, ValueError, TypeError, AttributeError) as fault:
        raise Unread(f"it cannot be drawn ({str(fault)[:80]})") from None


def check_flat(entity: Any) -> None:
    """Refuse what lies aslant in space, which no plan shows as it is."""
    x, y, _ = entity.dxf.extrusion
    if math.hypot(x, y) > FLAT:
        raise Unread("it does not lie flat in the plan")


def _xy(point: Any) -> Point:
    return float(point[0]), float(point[1])


def _turn(first: float, last: float) -> tuple[float, float]:
    """Give two angles, the last above the first by a full turn at most."""
    return first, last + FULL_TURN * math.ceil(max(first - last + FLAT, 0.0) / FULL_TURN)


def _is_full(first: float, last: float) -> bool:
    return abs(last - first - FULL_TURN) <= FLAT


def _circular(entity: Any, first: float, last: float) -> Arc:
    """Give an arc of an entity with a centre and a radius in its object coordinates."""
    ocs, radius = entity.ocs(), float(entity.dxf.radius)
    centre = _xy(ocs.to_wcs(entity.dxf.center))
    return Arc(centre, _xy(ocs.to_wcs((radius, 0, 0))), _xy(ocs.to_wcs((0, radius, 0))), first, last)


def _circle(entity: Any) -> Drawn:
    return Drawn(((_circular(entity, 0.0, FULL_TURN),),), closes=True)


def _arc(entity: Any) -> Drawn:
    first, last = _turn(math.radians(entity.dxf.start_angle), math.radians(entity.dxf.end_angle))
    return Drawn(((_circular(entity, first, last),),), closes=_is_full(first, last))


def _line(entity: Any) -> Drawn:
    return Drawn(((Line(_xy(entity.dxf.start), _xy(entity.dxf.end)),),))


def _ellipse(entity: Any) -> Drawn:
    side = math.copysign(float(entity.dxf.ratio), float(entity.dxf.extrusion[2]))
    u = _xy(entity.dxf.major_axis)
    first, last = _turn(float(entity.dxf.start_param), float(entity.dxf.end_param))
    arc = Arc(_xy(entity.dxf.center), u, (-u[1] * side, u[0] * side), first, last)
    return Drawn(((arc,),), closes=_is_full(first, last))


def _polyline(entity: Any) -> Drawn:
    if entity.dxftype() == "POLYLINE":
        if not (entity.is_2d_polyline or entity.is_3d_polyline):
            raise Unread("a mesh, which has no outline")
        if entity.dxf.flags & CURVE_FIT:
            raise Unread("a polyline that a program has fitted with a curve")
    return Drawn((_virtual(entity),), closes=bool(entity.is_closed))


def _virtual(polyline: Any) -> Loop:
    """Give the lines and arcs of a polyline, head to tail."""
    return _chained([piece for each in polyline.virtual_entities() for piece in drawn(each).loops[0]])


def _chained(pieces: Iterable[Segment]) -> Loop:
    """Put pieces head to tail: arcs that bulge to the right come the wrong way round."""
    chain: list[Segment] = []
    for piece in pieces:
        if len(chain) == 1 and _from(chain[0].end, piece) > _from(chain[0].start, piece):
            chain[0] = turned_round(chain[0])
        back = bool(chain) and math.dist(piece.start, chain[-1].end) > math.dist(piece.end, chain[-1].end)
        chain.append(turned_round(piece) if back else piece)
    return tuple(chain)


def _from(place: Point, piece: Segment) -> float:
    """How far a place is from the nearer end of a piece."""
    return min(math.dist(place, piece.start), math.dist(place, piece.end))


def _spline(entity: Any) -> Drawn:
    return Drawn((_cubics(entity.construction_tool()),))


def _cubics(spline: Any) -> Loop:
    """Give a B-spline as cubics: exactly where it is one, else within SPLINE_SHARE of its size."""
    knots = list(spline.knots())
    places = sorted(set(knots[spline.order - 1 : len(knots) - spline.order + 1]))
    size = float(np.ptp(np.array([_xy(point) for point in spline.control_points]), axis=0).max())

    def through(low: float, high: float, halvings: int) -> list[Segment]:
        places = [low + (high - low) * share for share in (0, 1 / 3, 2 / 3, 1, 1 / 6, 1 / 2, 5 / 6)]
        q = np.array([_xy(point) for point in spline.points(places)])
        # the cubic whose points at 0, 1/3, 2/3 and 1 are q0 to q3
        first = (-5 * q[0] + 18 * q[1] - 9 * q[2] + 2 * q[3]) / 6
        second = (2 * q[0] - 9 * q[1] + 18 * q[2] - 5 * q[3]) / 6
        curve = Cubic(*(_xy(point) for point in (q[0], first, second, q[3])))
        off = np.abs(np.array([curve.at(share) for share in (1 / 6, 1 / 2, 5 / 6)]) - q[4:]).max()
        if not off > SPLINE_SHARE * size:
            return [curve]
        if halvings == MOST_HALVINGS:
            raise ValueError("a spline that turns too sharply")
        middle = (low + high) / 2
        return through(low, middle, halvings + 1) + through(middle, high, halvings + 1)

    return tuple(piece for low, high in pairwise(places) for piece in through(low, high, 0))


def _hatch(entity: Any) -> Drawn:
    """Give the edges of a filled area, which its own style of islands leaves."""
    ocs, mirrored = entity.ocs(), entity.dxf.extrusion[2] < 0
    paths = entity.paths.rendering_paths(entity.dxf.hatch_style)
    loops = [_path(path) for path in paths]
    if mirrored:
        from pearlkerf.outlines.drawing import mapped
        from pearlkerf.outlines.segments import Affine

        x, y = ocs.to_wcs((1, 0, 0)), ocs.to_wcs((0, 1, 0))
        loops = list(mapped(loops, Affine(x[0], x[1], y[0], y[1])))
    return Drawn(tuple(loops), fills=True)


def _path(path: Any) -> Loop:
    if hasattr(path, "vertices"):
        from ezdxf.entities import LWPolyline

        polyline = LWPolyline.new()
        polyline.set_points(path.vertices, format="xyb")
        polyline.closed = True
        return _virtual(polyline)
    return _chained(piece for edge in path.edges for piece in _edge(edge))


def _edge(edge: Any) -> Loop:
    match edge.type.name:
        case "LINE":
            return (Line(_xy(edge.start), _xy(edge.end)),)
        case "ARC":
            first, last = _turn(math.radians(edge.start_angle), math.radians(edge.end_angle))
            return (Arc(_xy(edge.center), (edge.radius, 0.0), (0.0, edge.radius), first, last),)
        case "ELLIPSE":
            u, ratio = _xy(edge.major_axis), float(edge.ratio)
            first, last = _turn(float(edge.start_param), float(edge.end_param))
            return (Arc(_xy(edge.center), u, (-u[1] * ratio, u[0] * ratio), first, last),)
    return _cubics(edge.construction_tool())


def _solid(entity: Any) -> Drawn:
    corners = [_xy(corner) for corner in entity.wcs_vertices()]
    edges = tuple(Line(corners[n - 1], corners[n]) for n in range(len(corners)))
    return Drawn((edges,), closes=True, fills=True)


READERS: Final[dict[str, Callable[[Any], Drawn]]] = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _polyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
    "HATCH": _hatch,
    "MPOLYGON": _hatch,
    "SOLID": _solid,
    "TRACE": _solid,
}
