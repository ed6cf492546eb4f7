"""Which cutters make an inlay: of those that serve within its detail the largest for the pockets, then for the pieces.

A drawing gives to both: its tips to the pocket's cutter, its inner corners to the piece's.  Cutters that alone take
too much of it, its lines straightened, are not tried; those that are left are, on the drawing itself.  Of inlays
that share a pocket each has a cutter of its own for its pieces.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

import shapely

from pearlkerf.board.inlays import Inlay
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.checks import up
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.limits import ROUNDING_MM
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.outlines.fit import Cutters, closed, farthest_mm, opened
from pearlkerf.outlines.region import Region
from pearlkerf.outlines.tell import narrow_parts
from pearlkerf.setups.fit_part import PartFit, Wanted, fit_part, roomy, wanted_of
from pearlkerf.setups.fits import Pair
from pearlkerf.setups.model import Setup

# by so much a first look, at straightened lines, may be off, mm
MARGIN_MM: Final = 0.025


@dataclass(frozen=True, slots=True)
class Chosen:
    """The cutters of an inlay, and how to fit what is drawn for them: once for all that is drawn alike."""

    inlay: Inlay
    pair: Pair
    known: dict[bytes, PartFit] = field(default_factory=dict)

    def of(self, wanted: Wanted) -> PartFit:
        """Give the fit of a part; raises Refusal where nothing of it is left."""
        if wanted.key not in self.known:
            self.known[wanted.key] = fit_part(wanted, self.inlay, self.pair)
        return self.known[wanted.key]


def choose_pair(
    parts: Sequence[InlayPart], setup: Setup, machine: Machine, thickest_mm: Callable[[Inlay], float]
) -> Chosen:
    """Give the cutters of an inlay, and of those set in it, all parts of which are given; raises Refusal.

    ``thickest_mm`` says how thick an inlay's pieces may be.
    """
    inlay = parts[0].inlay
    pockets = _able(inlay, "pocket_cutter", max(part.pocket.depth_below_top_mm(setup.stock) for part in parts), machine)
    drawn = list({each.key: each for each in map(wanted_of, parts)}.values())
    inlays = list(dict.fromkeys((inlay, *(each for wanted in drawn for each, _ in wanted.shares))))
    pieces = [
        [None] if each.pieces == "by hand" else _able(each, "piece_cutter", thickest_mm(each), machine)
        for each in inlays
    ]  # fmt: skip
    if inlay.pocket_cutter is not None and all(_is_said(each) for each in inlays):
        return Chosen(inlay, _pair(inlays, pockets[0], [each[0] for each in pieces]))
    rough = [each.straightened() for each in drawn]
    # the smallest are always tried, so that what they leave can be told
    likely = [
        [each for each in of_one if each in (None, of_one[-1]) or _may_go_round(rough, one, each, inlay.gap_mm)]
        for one, of_one in zip(inlays, pieces, strict=True)
    ]  # fmt: skip
    chances = [
        [Chosen(inlay, _pair(inlays, pocket, some)) for some in _steps(pieces if len(inlays) == 1 else likely)]
        for pocket in pockets
    ]  # fmt: skip
    for pocket, of_pocket in zip(pockets, chances, strict=True):
        if pocket is not pockets[-1] and not _may_clear(rough, inlay, pocket):
            continue
        for chosen in of_pocket:
            if chosen.pair.piece in likely[0] and _serves(drawn, chosen):
                return chosen
    raise Refusal([_none_serves(drawn, chances[-1])])  # what was fitted for these is not fitted again


def _is_said(inlay: Inlay) -> bool:
    return inlay.piece_cutter is not None or inlay.pieces == "by hand"


def _pair(inlays: Sequence[Inlay], pocket: Cutter, pieces: Sequence[Cutter | None]) -> Pair:
    guests = zip((each.index for each in inlays[1:]), pieces[1:], strict=True)
    return Pair(pocket, pieces[0], tuple(guests))


def _steps(pieces: Sequence[Sequence[Cutter | None]]) -> Iterator[list[Cutter | None]]:
    """Give a cutter of each list, the first of all, then the next of all, where a list has one."""
    for step in range(max(map(len, pieces))):
        yield [each[min(step, len(each) - 1)] for each in pieces]


def _able(inlay: Inlay, key: str, depth_mm: float, machine: Machine) -> list[Cutter]:
    """Give the end mills that reach deep enough, the largest first, or the one that is named; raises Refusal."""
    mills = [each for each in machine.cutters if each.kind == "end mill"]
    able = [each for each in mills if each.reach_mm >= depth_mm - ROUNDING_MM]
    number = getattr(inlay, key)
    if number is not None:
        able = [each for each in able if each.number == number]
    if able:
        return sorted(able, key=lambda each: (-each.diameter_mm, each.number))
    who = "no end mill of the machine profile" if number is None else f"as an end mill no cutter {number}"
    listed = [f"{each.number}: {each.diameter_mm:g} mm, reach {each.reach_mm:g} mm" for each in mills]
    add = 'add a [[cutter]] of kind "end mill" to the profile'
    raise Refusal([Problem(key=inlay.key(key), found=f"{who} reaches {depth_mm:.2f} mm deep",
                           allowed=f"its end mills are {', '.join(listed) or 'none'}",
                           hint=add if number is None else "name another, or leave it out")])  # fmt: skip


def _serves(drawn: Sequence[Wanted], chosen: Chosen) -> bool:
    """Say whether cutters leave all that is drawn within its detail."""
    return all(_within(each, chosen) for each in drawn)


def _within(wanted: Wanted, chosen: Chosen) -> bool:
    try:
        found = chosen.of(wanted)
    except Refusal:
        return False
    return found.serves


def _may_clear(rough: Sequence[Wanted], inlay: Inlay, cutter: Cutter) -> bool:
    """Say whether a pocket's cutter alone leaves little of what is drawn: what it leaves, no piece's can mend."""
    reach = roomy(cutter, None, inlay).reach_mm
    most = max(inlay.detail_mm, inlay.corner_limit_mm) if inlay.corners == "by hand" else inlay.detail_mm
    reached = ((each.area, opened(each.area, reach)) for each in rough)
    return all(not left.is_empty and farthest_mm(area, left) <= most + MARGIN_MM for area, left in reached)


def _may_go_round(rough: Sequence[Wanted], inlay: Inlay, cutter: Cutter, gap_mm: float) -> bool:
    """Say whether a piece's cutter alone fills little enough of what is drawn beside it."""
    relief = Cutters(cutter.radius_mm, cutter.radius_mm, gap_mm).relief_mm
    areas = [area for wanted in rough for area in wanted.of(inlay)]
    return all(farthest_mm(closed(area, relief), area) <= inlay.detail_mm + MARGIN_MM for area in areas)


def _none_serves(drawn: Sequence[Wanted], chances: Sequence[Chosen]) -> Problem:
    """Tell what the cutters that come nearest leave, of all with the smallest in the pockets, and where it is worst."""
    inlay, wrong = chances[0].inlay, list[Problem]()
    tried: list[tuple[Pair, list[PartFit]]] = []
    for chosen in chances:
        try:
            tried.append((chosen.pair, [chosen.of(each) for each in drawn]))
        except Refusal as refusal:
            wrong += refusal.problems
    if not tried:
        return _too_narrow(inlay, drawn, chances[0].pair) or replace(wrong[-1], key=inlay.key(inlay.drawn_by))
    pair, fits = min(tried, key=lambda each: max(found.worst_mm for found in each[1]))
    return _gives_too_much(inlay, pair, fits)


def _too_narrow(inlay: Inlay, drawn: Sequence[Wanted], pair: Pair) -> Problem | None:
    """Tell of parts that the smallest cutter does not enter, the narrowest first; None where there are none."""
    cutter = pair.pocket
    whole = Region(shapely.MultiPolygon([each.area for each in drawn]))
    narrow = sorted(narrow_parts(whole, cutter.diameter_mm - inlay.gap_mm), key=lambda each: each.width_mm)
    if not narrow:
        return None
    (x, y), more = narrow[0].place, f", and {len(narrow) - 1} more" if len(narrow) > 1 else ""
    return Problem(
        key=inlay.key(inlay.drawn_by),
        found=f"a part {narrow[0].width_mm:.2f} mm wide, {x:.2f} mm along and {y:.2f} mm up from its middle{more}, is "
        f"too narrow for the smallest cutter, {cutter.number} of {cutter.diameter_mm:g} mm",
        allowed=f"more than {cutter.diameter_mm - inlay.gap_mm:.2f} mm at its widest",
        hint="draw it wider, make it larger, or add a smaller end mill to the profile",
    )


def _gives_too_much(inlay: Inlay, pair: Pair, fits: Sequence[PartFit]) -> Problem:
    guests = (cutter for _, cutter in pair.guests)
    mills = {each.number: each for each in (pair.pocket, pair.piece, *guests) if each is not None}
    named = " and ".join(f"cutter {each.number} of {each.diameter_mm:g} mm" for each in mills.values())
    apart = next((found for found in fits if found.parted), None)
    lost = max((each for found in fits for each in found.fit.lost), key=lambda each: each.width_mm, default=None)
    worst = max((found.worst for found in fits), key=lambda share: share.beyond_mm)
    if apart is not None and worst.beyond_mm <= 0 and (lost is None or lost.width_mm <= inlay.detail_mm):
        one, other, *_ = apart.fit.pocket.geoms
        (x, y), *_ = shapely.get_coordinates(shapely.shortest_line(one, other)).tolist()
        return Problem(
            key=inlay.key(inlay.drawn_by),
            found=f"even the cutters that come nearest, {named}, part it {x:.2f} mm along and {y:.2f} mm up from its "
            "middle: what joins it there is narrower than they are",
            allowed="cutters that leave each part whole",
            hint="make it larger, draw it wider there, or add a smaller end mill to the profile",
        )
    of = worst.inlay
    if lost is not None and lost.width_mm - inlay.detail_mm >= worst.beyond_mm:
        of, where, (x, y) = inlay, f"a {lost.what} {lost.width_mm:.2f} mm wide vanishes", lost.place
        hint = "draw it wider, leave it out, or add a smaller end mill to the profile"
    else:
        given = max(worst.given, key=lambda each: each.by_mm)
        where, (x, y) = f"the drawing gives up to {given.by_mm:.2f} mm", given.place
        by_hand = "" if inlay.corners == "by hand" else ', or corners = "by hand" where it is a corner'
        least = up(given.by_mm)
        asked = [key for key in ("pocket_cutter", "piece_cutter") if getattr(inlay, key) is not None]
        thinner = f"name a thinner {' or '.join(asked)}" if asked else "add a smaller end mill to the profile"
        hint = f"write detail = {least} or more{by_hand}, make it larger, or {thinner}"
    return Problem(
        key=of.key("detail"),
        found=f"even with the cutters that come nearest, {named}, {where}, {x:.2f} mm along and {y:.2f} mm up from its "
        "middle",
        allowed=f"at most {of.detail_mm:.2f} mm",
        hint=hint,
    )
