"""Rule 10: every piece, as its program cuts it, goes into its pocket, as that is cut; from the bytes of both.

wood  |  gap  |      A      |  gap  |    B    |  gap  |  wood         pieces laid back where they come to lie
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import combinations
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from pearlkerf.proof.cuts import Cuts
from pearlkerf.proof.room import Faced, farthest, loosest, nearest
from pearlkerf.proof.runs import Run
from pearlkerf.proof.swept import Swept, swept
from pearlkerf.proof.tolerances import CUT_MM, FIT_MM, ROUNDING_MM
from pearlkerf.reading.motions import Finding

Floats = NDArray[np.float64]
Place = tuple[str, int, str]
RULE = 10
# a part of what is left belongs to a piece where it covers so much of it
MOSTLY = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Freed:
    """A piece as its program frees it, where it comes to lie: the most and the least that is left of it."""

    piece: Any
    run: Run
    most: BaseGeometry
    least: BaseGeometry


@dataclass(frozen=True, slots=True, eq=False)
class Opened:
    """A pocket or a hole as it is cut, on the board, and as it is to be."""

    cut: Swept
    meant: BaseGeometry


def pieces_go_into_their_pockets(runs: Sequence[Run]) -> Iterator[Finding]:
    """Prove that every piece that is cut lies as it is drawn, and goes into its pocket, where that is cut too.

    A piece is what no cut of its own takes through to its floor, laid back from its place on the blank to its
    pocket.  By itself it keeps to its drawn line within FIT_MM.  With its pocket, and with what else is let into that,
    it keeps its gap on every side: at least the gap less FIT_MM, at most the gap and FIT_MM, everywhere but round
    corners that are left to a chisel; near tips, where the gap between two of them runs out, at most what it is
    between their lines there, and FIT_MM.  A spare is held in the place of what it is a spare of.
    Every pocket of an inlay that is cut here has each of its pieces once, and no other, spares aside, if pieces are
    cut here.  A coupon's pieces are for no pocket of the board: each is held alone, in every pocket of the coupon that
    it is tried in.
    """
    rows = [run for run in runs if run.setup.row is not None and run.setup.purpose == "cut"]
    others = [run for run in runs if run.setup.row is None and run.setup.purpose == "cut"]
    opened = cache(partial(_pocket, others))  # all pieces of a coupon may go into one
    lying: dict[Place, list[Freed]] = {}
    for of_setup, piece in _claimed(rows):
        found = _freed(of_setup, piece)
        if not isinstance(found, Freed):
            yield from found
        elif found.run.setup.tries:
            yield from _held_in_turn(found, opened)
        else:
            lying.setdefault(piece.place, []).append(found)
    for place, pieces in lying.items():
        pocket = opened(place)
        for together, held in _with_spares(pieces):
            yield from _held_together(together, held, pocket, _is_whole(others, place, together))
    of_board = [run for run in rows if not run.setup.tries]
    if of_board:
        yield from _pockets_without_pieces(of_board, others)


def _first_of_setups(runs: Sequence[Run]) -> list[Run]:
    return list({id(run.setup): run for run in reversed(runs)}.values())[::-1]


def _claimed(rows: Sequence[Run]) -> Iterator[tuple[list[Run], Any]]:
    """Give the pieces that programs say they cut, each with the runs of its setup."""
    for run in _first_of_setups(rows):
        of_setup = [each for each in rows if each.setup is run.setup]
        for piece in run.setup.row.pieces:  # type: ignore[union-attr]
            if any(("pieces", piece.number) in each.claims for each in of_setup):
                yield of_setup, piece


def _freed(runs: Sequence[Run], piece: Any) -> Freed | list[Finding]:
    """Give a piece that keeps to its line; else what is wrong with it."""
    run = runs[-1]
    free = _piece(runs, piece)
    if free is None:
        return [run.finding(RULE, f"{piece.name} is not cut free of its blank", feature=piece.name)]
    most, least = (_laid_back(area, piece) for area in free)
    beside = (farthest(most, piece.drawn), "stands out beyond"), (farthest(piece.drawn, least), "falls short of")
    wrong = [
        run.finding(RULE, f"{piece.name} {what} its line by {by:.3f} mm{_at(where)}", feature=piece.name)
        for (by, where), what in beside if by > FIT_MM
    ]  # fmt: skip
    return wrong or Freed(piece, run, most, least)


def _with_spares(pieces: Sequence[Freed]) -> Iterator[tuple[list[Freed], list[Freed]]]:
    """Give what lies in a pocket together, and what of it is to be held: all; then each spare in its place."""
    first = [each for each in pieces if not each.piece.spare]
    if first:
        yield first, first
    for spare in (each for each in pieces if each.piece.spare):
        rest = [each for each in first if not shapely.equals(each.piece.drawn, spare.piece.drawn)]
        yield [spare, *rest], [spare]


def _held_together(
    together: Sequence[Freed], held: Sequence[Freed], pocket: Opened | None, whole: bool
) -> Iterator[Finding]:
    """Hold pieces of one pocket to the room that they keep to its wall, and among themselves.

    Where something that belongs into it is not here (not ``whole``), what faces that is not held.
    """
    exempt = shapely.union_all([shapely.Point(tip).buffer(reach) for tip, reach in together[0].piece.chiselled])
    for each in held:
        if pocket is not None:
            yield from _tight_in_pocket(each, pocket, exempt)
    for one, other in combinations(together, 2):
        if one in held or other in held:
            yield from _tight_beside(one, other)
    walls: list[Faced] = []
    if pocket is not None:
        walls = [Faced(pocket.cut.touched.boundary, pocket.meant.boundary)]
        facing = [Faced(each.least, each.piece.drawn) for each in together]
        yield from _loose(held[0], "its pocket", loosest(pocket.cut.touched, facing, exempt, _gap(held[0], whole)))
    if len(together) > 1:
        for each in held:
            beside = [Faced(other.least, other.piece.drawn) for other in together if other is not each]
            complete = whole and pocket is not None
            room = loosest(each.least, [*walls, *beside], exempt, _gap(each, complete))
            yield from _loose(each, "what lies beside it", room)


def _held_in_turn(freed: Freed, opened: Callable[[Place], Opened | None]) -> Iterator[Finding]:
    """Hold a piece alone in each of the pockets in which it is tried, where these are cut."""
    for lying in freed.piece.in_turn:
        pocket = opened(lying.place)
        if pocket is not None:
            x, y = _middle(lying.drawn) - _middle(freed.piece.drawn)
            moved = (affinity.translate(area, x, y) for area in (freed.most, freed.least))
            alone = Freed(lying, freed.run, *moved)
            yield from _held_together([alone], [alone], pocket, whole=True)


def _gap(freed: Freed, whole: bool) -> tuple[float, bool]:
    return freed.piece.gap_mm, whole


def _tight_in_pocket(freed: Freed, pocket: Opened, exempt: BaseGeometry) -> Iterator[Finding]:
    piece, gap = freed.piece, freed.piece.gap_mm
    if pocket.cut.through.is_empty:
        yield freed.run.finding(RULE, f"the pocket of {piece.name} is nowhere cut to its floor", feature=piece.name)
        return
    room, where = nearest(freed.most, pocket.cut.through, exempt)
    if room < gap - FIT_MM:
        how = f"has {room:.3f} mm of room" if room > 0 else f"is {-room:.3f} mm too large"
        yield freed.run.finding(
            RULE, f"{piece.name} {how} in its pocket{_at(where)}, its gap is {gap:.3f} mm", feature=piece.name
        )


def _tight_beside(one: Freed, other: Freed) -> Iterator[Finding]:
    room, gap = float(shapely.distance(one.most, other.most)), one.piece.gap_mm
    if room < gap - FIT_MM:
        where = shapely.get_coordinates(shapely.shortest_line(one.most, other.most))[0]
        how = f"have {room:.3f} mm of room between them" if room > 0 else "overlap"
        yield one.run.finding(
            RULE, f"{one.piece.name} and {other.piece.name} {how}{_at(where)}, their gap is {gap:.3f} mm",
            feature=one.piece.name,
        )  # fmt: skip


def _loose(freed: Freed, to: str, room: tuple[float, float, Floats] | None) -> Iterator[Finding]:
    if room is None:
        return
    by, may, where = room
    name = freed.piece.name
    yield freed.run.finding(
        RULE, f"{name} leaves {by:.3f} mm to {to}{_at(where)}, its gap is {may:.3f} mm", feature=name
    )


def _piece(runs: Sequence[Run], piece: Any) -> tuple[BaseGeometry, BaseGeometry] | None:
    """Give the most and the least that is left of a piece, in the setup's axes; None where it is not freed."""
    own = [index for index, shape in enumerate(runs[0].shapes) if shape.feature.number == piece.number]
    taken = [_taken([run.inside[index] for run in runs], _frees_at_mm(runs[0].shapes[index].feature)) for index in own]
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


def _taken(parts: list[Cuts], floor_mm: float) -> Swept:
    """Give what cuts take down to a floor within CUT_MM, and what they take at all."""
    level = floor_mm + CUT_MM + ROUNDING_MM
    return swept(parts, [np.maximum(each.start[:, 2], each.end[:, 2]) <= level for each in parts])


def _widest(runs: Sequence[Run]) -> float:
    return max(section.cutter.diameter_mm for run in runs for section in run.sections)


def _laid_back(area: BaseGeometry, piece: Any) -> BaseGeometry:
    """Give an area of a setup where it comes to lie in its pocket, by the place and the turn that are claimed."""
    middle = _middle(piece.drawn)
    turn = np.radians(piece.turn_deg)
    back = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return shapely.transform(area, lambda places: (places - piece.on_setup) @ back.T + middle)


def _middle(area: BaseGeometry) -> Floats:
    low_x, low_y, high_x, high_y = area.bounds
    return np.array([(low_x + high_x) / 2, (low_y + high_y) / 2])


def _pocket(runs: Sequence[Run], place: Place) -> Opened | None:
    """Give the pocket or the hole of a piece as it is cut, on the board; None where it is not cut here."""
    for run in runs:
        for index, shape in enumerate(run.shapes):
            feature: Any = shape.feature
            if feature.identity == place and (feature.group, feature.number) in run.claims:
                parts = [each.inside[index] for each in runs if each.setup is run.setup]
                found = swept(parts, [shape.at_floor(part) for part in parts])  # type: ignore[attr-defined]
                on_board = [shapely.transform(area, run.setup.placement.to_board)
                            for area in (found.through, found.touched)]  # fmt: skip
                return Opened(Swept(*on_board), _meant(feature))
    return None


def _meant(feature: Any) -> BaseGeometry:
    region = getattr(feature, "region", None)
    return shapely.Point(feature.centre).buffer(feature.diameter_mm / 2, quad_segs=64) if region is None else region


def _due(runs: Sequence[Run], place: Place) -> tuple[list[str], bool]:
    """Give the names of the pieces that are due in a pocket, and whether a hand cuts more for it."""
    fits = next((run.setup.fits for run in runs if any(shape.feature.identity == place for shape in run.shapes)), ())
    names = [name for fit in fits for pocket, name in fit.pieces if pocket == place]
    return names, any(not fit.piece_mm and place[1] in fit.numbers for fit in fits)


def _is_whole(runs: Sequence[Run], place: Place, together: Sequence[Freed]) -> bool:
    """Say whether all that belongs into a pocket is here."""
    names, by_hand = _due(runs, place)
    return not by_hand and len(together) >= len(names)


def _pockets_without_pieces(rows: Sequence[Run], others: Sequence[Run]) -> Iterator[Finding]:
    """Hold the pockets that are cut here against the pieces that are: each that is due, once."""
    of: dict[Place, list[str]] = {}
    for _, piece in _claimed(rows):
        if not piece.spare:
            of.setdefault(piece.place, []).append(piece.name)
    for run in _first_of_setups(others):
        claims = {claim for each in others if each.setup is run.setup for claim in each.claims}
        for shape in run.shapes:
            feature = shape.feature
            due, _ = _due([run], feature.identity)
            if feature.group != "inlays" or not due or ("inlays", feature.number) not in claims:
                continue
            names = of.get(feature.identity, [])
            for words in _missing_or_more(feature.name, names, due):
                yield run.finding(RULE, words, feature=feature.name)


def _missing_or_more(pocket: str, names: Sequence[str], due: Sequence[str]) -> Iterator[str]:
    if len(names) > len(due):
        many = "both" if len(names) == 2 else "all"
        yield f"{' and '.join(names)} are {many} cut for {pocket}"
    if not names:
        yield f"no piece is cut for {pocket}"
        return
    missing = [name for name in due if name not in names]
    if missing and len(names) < len(due):
        yield f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} not cut for {pocket}"


def _at(place: Floats) -> str:
    return f" at X {place[0]:.2f} Y {place[1]:.2f}"
