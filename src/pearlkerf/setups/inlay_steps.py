"""A piece of an inlay and its pocket in steps of the gap between them, about the middle of their drawing.

    one piece, and pockets      pocket n  the least gap's pocket, grown by what its own gap is more
    one pocket, and pieces      piece n   the least gap's piece, shrunk by what its own gap is more

All are of the fit for the least gap that is tried: what its cutters follow they follow on lines farther apart too,
and what they do not follow no other gap could mend.  Where a gap is more than a cutter's radius this ends: a piece
grown by it would not fill its own notches again.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from pearlkerf.errors import Problem, Refusal
from pearlkerf.outlines.fit import grown
from pearlkerf.setups.fit_laid import is_within
from pearlkerf.setups.fit_part import PartFit
from pearlkerf.setups.fits import Chiselled, Fitted
from pearlkerf.setups.inlay_trials import Why, beyond, fit_of_gap, left_out, no_room
from pearlkerf.setups.tries import Several

_Pair = tuple[shapely.Polygon, shapely.Polygon]  # a pocket and its piece


@dataclass(frozen=True, slots=True)
class StepsOfGap:
    """What is tried: the gaps, mm, ascending, and for each its pocket and its piece; of one of the two all are alike.

    ``corners`` are those of the pockets that are left to a chisel.
    """

    gaps_mm: tuple[float, ...]
    pockets: tuple[shapely.Polygon, ...]
    pieces: tuple[shapely.Polygon, ...]
    corners: tuple[Chiselled, ...]


def pocket_and_piece(
    pockets: Sequence[shapely.Polygon], pieces: Sequence[shapely.Polygon]
) -> tuple[shapely.Polygon, shapely.Polygon] | None:
    """Give the largest pocket of a part and the piece in it; None where it has several, or none."""
    pocket = max(pockets, key=lambda each: each.area)
    inside = [each for each in pieces if is_within(each, pocket)]
    return (pocket, inside[0]) if len(inside) == 1 else None


def steps_of_gap(fit: Fitted, gaps_mm: Sequence[float], several: Several) -> tuple[StepsOfGap, list[Problem]]:
    """Give pockets and pieces of a part in some gaps, ascending, and those that are left out, as remarks.

    Raises Refusal where none is left.
    """
    why: dict[float, Why] = {}
    least: tuple[float, PartFit, _Pair] | None = None
    kept: list[tuple[float, _Pair]] = []
    form = _form([pocket.region for pocket in fit.pockets], [piece.area for piece in fit.pieces])
    for gap in gaps_mm:
        if reason := beyond(fit, gap):
            why[gap] = reason
            continue
        found = fit_of_gap(fit, gap) if least is None else None
        pair = None if found is None else _pair_of_form(found, form)
        if least is None and pair is None:
            why[gap] = no_room(fit)
            continue
        if found is not None and pair is not None:
            least = gap, found, pair
        assert least is not None
        areas = _apart(least[2], gap - least[0], several)
        if areas is None:
            why[gap] = "its form is another with", "a smaller --largest"
        else:
            kept.append((gap, areas))
    remarks = list(left_out(fit, why))
    if least is None or not kept:
        raise Refusal(remarks)
    pockets, pieces = (tuple(pair[which] for _, pair in kept) for which in (0, 1))
    return StepsOfGap(tuple(gap for gap, _ in kept), pockets, pieces, least[1].corners), remarks


def _pair_of_form(found: PartFit, form: tuple[int, ...]) -> _Pair | None:
    """Give the pocket and the piece of a fit; None where it is of another form."""
    pockets, pieces = list(found.fit.pocket.geoms), list(found.shares[0].area.geoms)
    return pocket_and_piece(pockets, pieces) if _form(pockets, pieces) == form else None


def _form(pockets: Sequence[shapely.Polygon], pieces: Sequence[shapely.Polygon]) -> tuple[int, ...]:
    """Give what stays alike while only a gap changes: how many pockets, how many pieces, and the holes in them."""
    pair = pocket_and_piece(pockets, pieces)
    return () if pair is None else (len(pockets), len(pieces), *map(_holes, pair))


def _holes(area: shapely.Polygon) -> int:
    return len(area.interiors)


def _apart(pair: _Pair, more_mm: float, several: Several) -> _Pair | None:
    """Give a pocket and its piece so much farther apart, one of them as it is; None where the other falls in parts."""
    pocket, piece = pair
    changed = grown(pocket, more_mm) if several == "pockets" else grown(piece, -more_mm)
    if not isinstance(changed, shapely.Polygon) or changed.is_empty:
        return None
    pair = (changed, piece) if several == "pockets" else (pocket, changed)
    return pair if _holes(pair[0]) == _holes(pocket) and _holes(pair[1]) == _holes(piece) else None
