"""Rule 10: every piece, as its program cuts it, goes into its pocket, as that is cut; from the bytes of both."""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pearlkerf.proof.runs import Run
from pearlkerf.proof.swept import Swept, swept
from pearlkerf.proof.tolerances import FIT_MM, FIT_STEP_MM
from pearlkerf.reading.motions import Finding

Floats = NDArray[np.float64]
RULE = 10
# a part of what is left belongs to a piece where it covers so much of it
MOSTLY = 0.5


def pieces_go_into_their_pockets(runs: Sequence[Run]) -> Iterator[Finding]:
    """Prove that every piece that is cut lies as it is drawn, and goes into its pocket, where that is cut too.

    A piece is what no cut of its own takes through to its floor, laid back from its place on the blank to its
    pocket.  By itself it keeps to its drawn line within FIT_MM.  With its pocket, it keeps its gap on every side: at
    least the gap less FIT_MM, at most the gap and FIT_MM, everywhere but round corners that are left to a chisel.
    Every pocket of an inlay that is cut here has one piece and no more, spares aside, if pieces are cut here.
    """
    rows = [run for run in runs if run.setup.row is not None and run.setup.purpose == "cut"]
    others = [run for run in runs if run.setup.row is None and run.setup.purpose == "cut"]
    for run in _first_of_setups(rows):
        of_setup = [each for each in rows if each.setup is run.setup]
        for piece in run.setup.row.pieces:  # type: ignore[union-attr]
            if any(("pieces", piece.number) in each.claims for each in of_setup):
                yield from _held(of_setup, piece, others)
    if rows:
        yield from _pockets_without_pieces(rows, others)


def _first_of_setups(runs: Sequence[Run]) -> list[Run]:
    return list({id(run.setup): run for run in reversed(runs)}.values())[::-1]


def _held(runs: Sequence[Run], piece: Any, others: Sequence[Run]) -> Iterator[Finding]:
    run = runs[-1]
    free = _piece(runs, piece)
    if free is None:
        yield run.finding(RULE, f"{piece.name} is not cut free of its blank", feature=piece.name)
        return
    most, least = (_laid_back(area, piece) for area in free)
    too_large, too_small = _beyond(most, piece.drawn), _beyond(piece.drawn, least)
    for by, what in ((too_large, "stands out beyond"), (too_small, "falls short of")):
        if by is not None:
            yield run.finding(RULE, f"{piece.name} {what} its line by {by[0]:.3f} mm{_at(by[1])}", feature=piece.name)
    if too_large is not None or too_small is not None:
        return
    pocket = _pocket(others, piece.place)
    if pocket is not None:
        yield from _in_pocket(run, piece, (most, least), pocket)


def _in_pocket(run: Run, piece: Any, free: tuple[BaseGeometry, BaseGeometry], pocket: Swept) -> Iterator[Finding]:
    most, least = free
    exempt = shapely.union_all([shapely.Point(tip).buffer(reach) for tip, reach in piece.chiselled])
    tight = _nearest(most, pocket.through, exempt)
    gap = piece.gap_mm
    if tight[0] < gap - FIT_MM:
        how = f"has {tight[0]:.3f} mm of room" if tight[0] > 0 else f"is {-tight[0]:.3f} mm too large"
        yield run.finding(
            RULE, f"{piece.name} {how} in its pocket{_at(tight[1])}, its gap is {gap:.3f} mm", feature=piece.name
        )
    loose = _farthest(pocket.touched, least, exempt)
    if loose[0] > gap + FIT_MM:
        yield run.finding(
            RULE, f"{piece.name} leaves {loose[0]:.3f} mm to its pocket{_at(loose[1])}, its gap is {gap:.3f} mm",
            feature=piece.name,
        )  # fmt: skip


def _piece(runs: Sequence[Run], piece: Any) -> tuple[BaseGeometry, BaseGeometry] | None:
    """Give the most and the least that is left of a piece, in the setup's axes; None where it is not freed."""
    own = [index for index, shape in enumerate(runs[0].shapes) if shape.feature.number == piece.number]
    taken = [swept([run.inside[index] for run in runs], _frees_at_mm(runs[0].shapes[index].feature)) for index in own]
    through, touched = (shapely.union_all([getattr(each, name) for each in taken]) for name in ("through", "touched"))
    # what is round its channel, wherever that ends
    ground = shapely.box(*piece.area.bounds).buffer(2 * _widest(runs), join_style="mitre")
    left = [part for part in shapely.get_parts(shapely.difference(ground, through))
            if shapely.intersection(part, piece.area).area > MOSTLY * piece.area.area]  # fmt: skip
    if len(left) != 1 or shapely.intersects(left[0], ground.exterior):
        return None
    return left[0], shapely.difference(left[0], touched)


def _frees_at_mm(feature: Any) -> float:
    """Give the height at which what is cut of a piece tells its form: a floor, or the top of its tabs."""
    height: float = getattr(feature, "frees_at_mm", feature.floor_at_crown_mm)
    return height


def _widest(runs: Sequence[Run]) -> float:
    return max(section.cutter.diameter_mm for run in runs for section in run.sections)


def _laid_back(area: BaseGeometry, piece: Any) -> BaseGeometry:
    """Give an area of a setup where it comes to lie in its pocket, by the place and the turn that are claimed."""
    low_x, low_y, high_x, high_y = piece.drawn.bounds
    middle = np.array([(low_x + high_x) / 2, (low_y + high_y) / 2])
    turn = np.radians(piece.turn_deg)
    back = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return shapely.transform(area, lambda places: (places - piece.on_setup) @ back.T + middle)


def _pocket(runs: Sequence[Run], place: tuple[str, int, str]) -> Swept | None:
    """Give the pocket or the hole of a piece as it is cut, in the axes of its setup; None where it is not cut here."""
    for run in runs:
        for index, shape in enumerate(run.shapes):
            feature = shape.feature
            if feature.identity == place and (feature.group, feature.number) in run.claims:
                of_setup = [each for each in runs if each.setup is run.setup]
                found = swept([each.inside[index] for each in of_setup], _floor_mm(feature))
                on_board = [shapely.transform(area, run.setup.placement.to_board)
                            for area in (found.through, found.touched)]  # fmt: skip
                return Swept(*on_board)
    return None


def _floor_mm(feature: Any) -> float:
    """Give how low a pocket's cuts must stand: of one that follows the face, whose height changes, anywhere."""
    floor = getattr(feature, "floor", None)
    return 0.0 if floor is not None and floor.crown is not None else feature.shallowest_mm


def _pockets_without_pieces(rows: Sequence[Run], others: Sequence[Run]) -> Iterator[Finding]:
    """Hold the pockets that are cut here against the pieces that are: one each."""
    of: dict[tuple[str, int, str], list[str]] = {}
    for run in _first_of_setups(rows):
        for piece in run.setup.row.pieces:  # type: ignore[union-attr]
            claimed = any(("pieces", piece.number) in each.claims for each in rows if each.setup is run.setup)
            if claimed and not piece.spare:
                of.setdefault(piece.place, []).append(piece.name)
    for run in _first_of_setups(others):
        claims = {claim for each in others if each.setup is run.setup for claim in each.claims}
        fitted = {number for fit in run.setup.fits if fit.piece_mm for number in fit.numbers}
        for shape in run.shapes:
            feature = shape.feature
            if feature.group != "inlays" or feature.number not in fitted or ("inlays", feature.number) not in claims:
                continue
            names = of.get(feature.identity, [])
            if len(names) > 1:
                yield run.finding(RULE, f"{' and '.join(names)} are both cut for {feature.name}", feature=feature.name)
            if not names:
                yield run.finding(RULE, f"no piece is cut for {feature.name}", feature=feature.name)


def _beyond(area: BaseGeometry, line: BaseGeometry) -> tuple[float, Floats] | None:
    """Give by how much an area lies beyond another, and where; None where that is within FIT_MM."""
    by, where = _farthest(area, line, shapely.Polygon())
    return (by, where) if by > FIT_MM else None


def _farthest(area: BaseGeometry, from_area: BaseGeometry, exempt: BaseGeometry) -> tuple[float, Floats]:
    """Give how far an area reaches beyond another where it does so most, and the place; all but where it is exempt."""
    places = _along_edge(area, exempt)
    lines = shapely.shortest_line(from_area, shapely.points(places))
    away = np.where(shapely.contains_xy(from_area, *places.T), 0.0, shapely.length(lines))
    worst = int(np.argmax(away)) if len(away) else 0
    return (float(away[worst]), places[worst]) if len(away) else (0.0, np.zeros(2))


def _nearest(area: BaseGeometry, inside: BaseGeometry, exempt: BaseGeometry) -> tuple[float, Floats]:
    """Give the least distance that an area keeps from another's edge all round it, negative where it crosses it."""
    places = _along_edge(area, exempt)
    edge = inside.boundary
    away = shapely.length(shapely.shortest_line(edge, shapely.points(places)))
    away = np.where(shapely.contains_xy(inside, *places.T), away, -away)
    worst = int(np.argmin(away))
    return float(away[worst]), places[worst]


def _along_edge(area: BaseGeometry, exempt: BaseGeometry) -> Floats:
    """Give places along an area's edge, every corner of it and FIT_STEP_MM apart at most, but those that are exempt."""
    places = shapely.get_coordinates(shapely.segmentize(area.boundary, FIT_STEP_MM))
    return np.asarray(places[~shapely.contains_xy(exempt, *places.T)])


def _at(place: Floats) -> str:
    return f" at X {place[0]:.2f} Y {place[1]:.2f}"
