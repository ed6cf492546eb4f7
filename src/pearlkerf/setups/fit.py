"""The fit: every drawn pocket of a setup becomes the one that the machine's cutters leave, with what the drawing gave.

A pure change of clampings, before they are put into positions: what is fitted already stays as it is.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem, Refusal
from pearlkerf.layout.features import Feature, Identity, Pocket
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.inlay_walls import INLAY_WALL_CHECKS
from pearlkerf.layout.inlays import thickness_mm
from pearlkerf.layout.limits import WALL
from pearlkerf.layout.model import Layout
from pearlkerf.machine.model import Machine
from pearlkerf.setups.fit_choice import choose_pair
from pearlkerf.setups.fit_claims import fitted_for
from pearlkerf.setups.fit_laid import laid, thin_walls
from pearlkerf.setups.fits import Fitted
from pearlkerf.setups.model import Clampings, Setup


def fitted(clampings: Clampings, machine: Machine) -> Clampings:
    """Give clampings whose pockets of inlays are what the machine's cutters leave of the drawings.

    Raises Refusal with every inlay for which no cutters serve, and where a fitted pocket leaves too little wood.
    """
    drawn = {part.pocket.identity: part for part in clampings.layout.inlays}
    wanted = [
        (setup, drawn[feature.identity]) for setup in clampings.setups for feature in setup.features
        if _is_drawn(feature) and feature.identity in drawn
    ]  # fmt: skip
    if not wanted:
        return clampings
    fits, problems = _fits(wanted, machine, clampings.layout.board)
    problems += [*_too_near(clampings.layout, fits)]
    if problems:
        raise Refusal(dict.fromkeys(problems))
    by_drawn = {fit.part.pocket.identity: fit for fit in fits}
    setups = tuple(_with_fits(setup, by_drawn) for setup in clampings.setups)
    return replace(clampings, setups=setups, fits=tuple(fits), warnings=(*clampings.warnings, *fits_told(fits)))


def _is_drawn(feature: Feature) -> bool:
    return isinstance(feature, Pocket) and feature.cutter is None


def _with_fits(setup: Setup, fits: Mapping[Identity, Fitted]) -> Setup:
    def pockets(feature: Feature) -> Sequence[Feature]:
        fit = fits.get(feature.identity) if _is_drawn(feature) else None
        return [feature] if fit is None else fit.pockets

    def of(features: Sequence[Feature]) -> tuple[Feature, ...]:
        return tuple(each for feature in features for each in pockets(feature))

    drawn = {feature.identity for feature in setup.features if _is_drawn(feature)}
    return replace(
        setup, features=of(setup.features), cut_before=of(setup.cut_before),
        fits=fitted_for(fit for identity, fit in fits.items() if identity in drawn) or setup.fits,
    )  # fmt: skip


def _fits(
    wanted: Sequence[tuple[Setup, InlayPart]], machine: Machine, board: Board
) -> tuple[list[Fitted], list[Problem]]:
    """Give the fit of every part, the parts of an inlay by the same cutters; what is drawn alike is fitted once."""
    fits: list[Fitted] = []
    problems: list[Problem] = []
    for inlay in dict.fromkeys(part.inlay for _, part in wanted):
        own = [(setup, part) for setup, part in wanted if part.inlay == inlay]
        try:
            parts = [part for _, part in own]
            chosen = choose_pair(parts, own[0][0], machine, lambda each: thickness_mm(board, each)[1])
            fits += [laid(part, chosen) for part in parts]
        except Refusal as refusal:
            drawn = inlay.key(inlay.drawn_by)
            problems += [replace(each, key=drawn) if each.key == "outline" else each for each in refusal.problems]
    return fits, problems


def _too_near(layout: Layout, fits: Iterable[Fitted]) -> list[Problem]:
    """Hold the pockets as they will be cut against all that they must leave wood to."""
    parts = tuple(
        replace(fit.part, pocket=pocket, inlay=replace(fit.part.inlay, gap_mm=0.0))
        for fit in fits for pocket in fit.pockets
    )  # fmt: skip
    as_cut = replace(layout, inlays=parts)
    return [each.problem for check in INLAY_WALL_CHECKS for each in check(as_cut) if each.weight == "refused"]


def fits_told(fits: Sequence[Fitted]) -> list[Problem]:
    """Give what is doubtful of fits: what vanished, what gives more than it may because its cutters are named."""
    told: list[Problem] = []
    for inlay in dict.fromkeys(fit.part.inlay for fit in fits):
        own = [fit for fit in fits if fit.part.inlay == inlay]
        lost = [each for fit in own for each in fit.lost]
        if lost:
            widest = max(lost, key=lambda each: each.width_mm)
            x, y = widest.place
            more = f", and {len(lost) - 1} more" if len(lost) > 1 else ""
            told.append(Problem(
                key=inlay.key(inlay.drawn_by),
                found=f"a {widest.what} {widest.width_mm:.2f} mm wide at X {x:.2f} Y {y:.2f} vanishes{more}: its "
                "cutters cannot make it", hint="take a smaller cutter, or draw it wider"))  # fmt: skip
        parted = [fit for fit in own if len(fit.pockets) > 1]
        if parted:
            names = ", ".join(fit.part.pocket.name for fit in parted)
            told.append(Problem(
                key=inlay.key(inlay.drawn_by),
                found=f"its cutters part {names}: what joins its parts is narrower than they are",
                hint="name a smaller cutter, or draw it wider"))  # fmt: skip
    return [*told, *_beyond_detail(fits), *_thin_wood(fits)]


def _thin_wood(fits: Sequence[Fitted]) -> Iterator[Problem]:
    """Tell of wood that stands between inlays of one pocket as a wall that will not last; of each pocket the worst."""
    for fit in fits:
        walls = thin_walls(fit)
        if len(fit.given_by) > 1 and walls:
            width, (x, y) = min(walls)
            inlay = next(inlay for inlay, _ in fit.given_by if inlay.set_in)
            yield Problem(
                key=inlay.key("set_in"),
                found=f"a wall of wood {width:.2f} mm thick stays in {fit.part.pocket.name} at "
                f"X {x:.2f} Y {y:.2f}",
                allowed=f"{WALL.least_mm:.2f} mm", hint="let the drawings meet, or part them farther")  # fmt: skip


def _beyond_detail(fits: Sequence[Fitted]) -> Iterator[Problem]:
    """Tell of each inlay whose named cutters take more of its drawing than it allows, where they take most."""
    every = [(inlay, given[0], fit) for fit in fits for inlay, given in fit.given_by if given]
    for inlay in dict.fromkeys(inlay for inlay, _, _ in every):
        own = [(given, fit) for each, given, fit in every if each == inlay]
        given, fit = max(own, key=lambda each: each[0].by_mm)
        if given.by_mm > inlay.detail_mm:
            x, y = given.place
            yield Problem(
                key=inlay.key("detail"),
                found=f"the cutters that it names leave {given.by_mm:.2f} mm of {fit.part.pocket.name} at "
                f"X {x:.2f} Y {y:.2f}", allowed=f"{inlay.detail_mm:.2f} mm",
                hint="name smaller cutters, or leave the choice to detail")  # fmt: skip
