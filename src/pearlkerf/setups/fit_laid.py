"""The fit of a drawing laid where its part lies: its pockets and pieces, each with its name."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import shapely
from shapely import affinity

from pearlkerf.layout.features import Pocket
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.limits import WALL
from pearlkerf.layout.lines import Point
from pearlkerf.outlines.fit import Given, Lost, closed, widest
from pearlkerf.outlines.limits import NOTHING_MM2, SETTLED_MM
from pearlkerf.setups.fit_choice import Chosen
from pearlkerf.setups.fit_part import PartFit, Share, wanted_of
from pearlkerf.setups.fits import Chiselled, Fitted, LetIn, Pair

LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"
# what is thin for so many millimetres is a wall, and no corner
LEAST_WALL_MM: Final = 2.0


def laid(part: InlayPart, chosen: Chosen) -> Fitted:
    """Lay the fit of what is drawn where its part lies; raises Refusal where nothing of it is left."""
    found, (x, y) = chosen.of(wanted_of(part)), part.at
    areas = sorted(found.fit.pocket.geoms, key=lambda area: area.bounds)
    names = [part.pocket.name] if len(areas) == 1 else [f"{part.pocket.name}{_letter(n)}" for n in range(len(areas))]
    pockets = tuple(
        replace(part.pocket, name=name, region=affinity.translate(area, x, y), cutter=chosen.pair.pocket.number)
        for name, area in zip(names, areas, strict=True)
    )
    return Fitted(
        part=part,
        pair=chosen.pair,
        pockets=pockets,
        pieces=tuple(_pieces(part, found, chosen.pair, pockets)),
        given_by=tuple((share.inlay, _given(share, x, y)) for share in found.shares),
        lost=tuple(Lost(each.what, (each.place[0] + x, each.place[1] + y), each.width_mm) for each in found.fit.lost),
        corners=tuple(Chiselled((each.tip[0] + x, each.tip[1] + y), each.length_mm) for each in found.corners),
    )


def _given(share: Share, x: float, y: float) -> tuple[Given, ...]:
    return tuple(Given((each.place[0] + x, each.place[1] + y), each.by_mm) for each in share.given)


def _pieces(part: InlayPart, found: PartFit, pair: Pair, pockets: Sequence[Pocket]) -> Iterator[LetIn]:
    """Give the pieces of each pocket, of its own inlay first."""
    for pocket in pockets:
        for share in found.shares:
            own = affinity.translate(share.area, *part.at)
            inside = sorted(
                (each for each in own.geoms if is_within(each, pocket.region)), key=lambda each: each.bounds
            )
            called = [_called(part, share, pocket, area) for area in inside]
            for index, (of, area) in enumerate(zip(called, inside, strict=True)):
                name = f"{of}.{called[: index + 1].count(of)}" if called.count(of) > 1 else of
                yield LetIn(share.inlay, name, of, pocket.identity, pair.piece_of(share.inlay), area)


def is_within(area: shapely.Polygon, region: shapely.Polygon) -> bool:
    """Say whether more than half of an area lies in a region."""
    return bool(shapely.intersection(area, region).area > area.area / 2)


def _called(part: InlayPart, share: Share, pocket: Pocket, area: shapely.Polygon) -> str:
    """Give what a piece is called: as its pocket, or as its own inlay and place where that is set in another."""
    if share.inlay.index == part.inlay.index:
        return pocket.name
    own = [piece for piece in part.pieces if piece.inlay.index == share.inlay.index]
    drawn = max(own, key=lambda piece: shapely.intersection(piece.region, area).area)
    return drawn.name + pocket.name.removeprefix(part.pocket.name)


def thin_walls(fit: Fitted) -> list[tuple[float, Point]]:
    """Give how thick walls of wood are that stand between a part's pockets, and where; of those that are too thin.

    A corner between two walls is no wall, however narrow it ends.
    """
    pockets = shapely.union_all([pocket.region for pocket in fit.pockets])
    between = shapely.difference(closed(pockets, WALL.least_mm / 2), pockets)
    found = []
    for wall in (each for each in shapely.get_parts(between) if each.area > NOTHING_MM2):
        place, width = widest(wall)
        if width > SETTLED_MM and wall.area / width >= LEAST_WALL_MM:
            found.append((width, place))
    return found


def _letter(number: int) -> str:
    """Name one of several pockets into which cutters part what is drawn.

    >>> [_letter(number) for number in (0, 25, 26)]
    ['a', 'z', 'aa']
    """
    more, last = divmod(number, len(LETTERS))
    return (_letter(more - 1) if more else "") + LETTERS[last]
