"""Fit coupons of one inlay: its piece, cut from a blank, and pockets in steps of its gap on scrap; or the other way.

scrap   (  ) (  ) (  ) (  )     one piece goes into the pocket whose gap is right; or, where shell is cheaper
         '    "    |    '|      than scrap, one pocket takes the piece whose gap is
blank   [()                ]
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Final

import shapely
from shapely import affinity

from pearlkerf.board.inlays import InlayBlank
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import shown
from pearlkerf.files.toml_values import nearest
from pearlkerf.layout.features import Feature, Pocket
from pearlkerf.layout.groups import INLAYS
from pearlkerf.layout.lines import Point
from pearlkerf.setups.blank_rows import BlankRow, InPocket, RowPiece
from pearlkerf.setups.coupons import lay_out_coupon
from pearlkerf.setups.fits import Fitted
from pearlkerf.setups.inlay_pieces import InlayPiece
from pearlkerf.setups.inlay_steps import StepsOfGap, pocket_and_piece, steps_of_gap
from pearlkerf.setups.inlay_trials import at_corner, box_mm2, trial_of
from pearlkerf.setups.model import Clampings, Setup
from pearlkerf.setups.piece_setups import Cutting, piece_setups, without_places
from pearlkerf.setups.samples import Sample, Trial
from pearlkerf.setups.scrap import Scrap
from pearlkerf.setups.steps import Steps
from pearlkerf.setups.tries import OfOneInlay, Several

OF: Final = "--of"


@dataclass(frozen=True, slots=True)
class InlayCoupon:
    """A coupon of one inlay: pockets on scrap, pieces on blanks; of the two ``several`` are in steps of the gap.

    ``gaps_mm`` are those that are tried, ascending, number 1 first; ``name`` is what is tried.
    """

    setup: Setup
    pieces: Setup
    scrap: Scrap
    steps: Steps
    trials: tuple[Trial, ...]
    samples: tuple[Sample, ...]
    gaps_mm: tuple[float, ...]
    several: Several
    name: str
    chiselled: int  # how many corners of a pocket are left to a chisel

    @property
    def row(self) -> BlankRow:
        """Give the blanks that its pieces are cut from, with the pieces."""
        assert self.pieces.row is not None
        return self.pieces.row

    @property
    def trial(self) -> Trial:
        """Give what is tried: its key in the board file, and the gap that stands there."""
        return self.trials[0]


def lay_out_inlay_coupon(
    fitted: Clampings, asked: OfOneInlay, sizes: tuple[Steps, Scrap | None], of_board: Sequence[InlayPiece]
) -> tuple[InlayCoupon, tuple[Problem, ...]]:
    """Set out a coupon of one inlay of fitted clampings, on scrap and on blanks, with what is left out of it.

    Blanks are used where no pieces ``of_board`` will be cut, if they have room there.
    Raises Refusal where there is nothing to try, or where scrap or blanks do not hold it.
    """
    steps, scrap = sizes
    fit = chosen_fit(fitted.fits, asked)
    gaps = [round(fit.part.inlay.gap_mm + step, 6) for step in steps.values_mm()]
    tried, left_out = steps_of_gap(fit, gaps, asked.several)
    tries = asked.claimed(fit.part.pocket.number)
    trial = trial_of(fit, fitted.setups, _patterns(tried, asked.several))
    try:
        on_scrap = lay_out_coupon(fitted.layout, (trial,), steps, scrap, tries)
        samples = tuple(_plainly_named(each, asked.several) for each in on_scrap.samples)
        pieces = _on_blanks(_Tried(fit, tried, samples, asked.several), fitted.layout.board.inlay_blanks, of_board)
    except Refusal as refusal:
        raise Refusal([_to_try(problem, asked.several) for problem in refusal.problems]) from None
    named = {old.feature.identity: new.feature for old, new in zip(on_scrap.samples, samples, strict=True)}
    features = tuple(named.get(each.identity, each) for each in on_scrap.setup.features)
    return InlayCoupon(
        setup=replace(on_scrap.setup, features=features),
        pieces=replace(pieces, steps=steps, tries=tries),
        scrap=on_scrap.scrap, steps=steps, trials=(trial,), samples=samples, gaps_mm=tried.gaps_mm,
        several=asked.several, name=fit.part.pocket.name, chiselled=len(tried.corners),
    ), tuple(left_out)  # fmt: skip


def chosen_fit(fits: Sequence[Fitted], asked: OfOneInlay) -> Fitted:
    """Give the part that is tried: the smallest of those that are asked for whose one piece a machine cuts.

    Raises Refusal where there is none, or where no inlay is called so.
    """
    if not fits:
        raise Refusal([Problem("there is no inlay to try: the board has none", "at least one [[inlay]]",
                               "add one; dots and slots are tried by --kind fits", OF)])  # fmt: skip
    own = [fit for fit in fits if asked.of in ("", *_called(fit))]
    if asked.number is not None:
        own = [fit for fit in fits if fit.part.pocket.number == asked.number]
    if not own:
        raise Refusal([_nobody(asked, fits)])
    able = [fit for fit in own if not _unable(fit)]
    if not able:
        raise Refusal({fit.part.inlay: _cannot(fit) for fit in reversed(own)}.values())
    return min(able, key=lambda fit: (box_mm2(fit), fit.part.pocket.number))


def _called(fit: Fitted) -> tuple[str, ...]:
    """Give what people may call a part: its inlay, those that share its pocket, its place, itself."""
    name = fit.part.pocket.name
    sharing = (each.inlay.called for each in fit.part.pieces)
    return fit.part.inlay.called, *sharing, name.rpartition("/")[0] or name, name


def _nobody(asked: OfOneInlay, fits: Sequence[Fitted]) -> Problem:
    known = list(dict.fromkeys(word for fit in fits for word in _called(fit)))
    word = asked.of if asked.number is None else f"inlay {asked.number}"
    near = nearest(word, known)
    hint = f"did you mean {shown(near)}?" if near else f"name one of {', '.join(map(shown, known[:12]))}"
    return Problem(f"no inlay is called {shown(word)}", "an inlay or a place of one", hint, OF)


def _unable(fit: Fitted) -> str:
    """Say why no piece of a part can be cut alone for its pocket; nothing where it can."""
    if fit.pair.piece is None:
        return "its pieces are cut by hand"
    if len(fit.part.pieces) > 1:
        return "several inlays share its pocket"
    if not pocket_and_piece([pocket.region for pocket in fit.pockets], [piece.area for piece in fit.pieces]):
        return "its pocket takes several pieces"
    return ""


def _cannot(fit: Fitted) -> Problem:
    return Problem(
        key=fit.part.inlay.key("pieces"),
        found=f"{fit.part.pocket.name} cannot be tried with its piece: {_unable(fit)}",
        allowed="one piece that the machine cuts, in a pocket of its own",
        hint=f"name another with {OF}, or try pockets alone: --kind fits --only {shown(INLAYS)}",
    )


def _patterns(tried: StepsOfGap, several: Several) -> dict[float, shapely.Polygon]:
    """Give what scrap is cut to: all pockets, or the one that all pieces are for."""
    count = len(tried.gaps_mm) if several == "pockets" else 1
    return dict(zip(tried.gaps_mm[:count], map(at_corner, tried.pockets[:count]), strict=True))


def _plainly_named(sample: Sample, several: Several) -> Sample:
    """Give a sample whose name says its gap, if it has one."""
    if several == "pockets":
        return sample
    return replace(sample, feature=replace(sample.feature, name=sample.feature.name.partition(",")[0]))


@dataclass(frozen=True, slots=True)
class _Tried:
    """A part, its steps of gap, and its pockets on scrap."""

    fit: Fitted
    steps: StepsOfGap
    samples: tuple[Sample, ...]
    several: Several

    def moved(self, number: int) -> tuple[Feature, Point]:
        """Give the pocket of a gap on scrap, and how far it lies there from where it lies about its drawing."""
        pocket = self.samples[number if self.several == "pockets" else 0].feature
        assert isinstance(pocket, Pocket)
        (x, y), (from_x, from_y) = pocket.region.bounds[:2], self.steps.pockets[number].bounds[:2]
        return pocket, (x - from_x, y - from_y)

    def in_pocket(self, number: int) -> InPocket:
        """Give where the piece of a gap lies, its pocket, its gap, and the corners of that for a chisel."""
        pocket, by = self.moved(number)
        radius = self.fit.pair.pocket.radius_mm
        tips = tuple(((each.tip[0] + by[0], each.tip[1] + by[1]), each.length_mm + radius)
                     for each in self.steps.corners)  # fmt: skip
        area = affinity.translate(self.steps.pieces[number], *by)
        return InPocket(pocket.identity, area, self.steps.gaps_mm[number], tips)

    def pieces(self) -> tuple[InlayPiece, ...]:
        """Give the pieces that are cut: one, or one for each gap."""
        inlay, cutter = self.fit.part.inlay, self.fit.pair.piece
        assert cutter is not None
        count = 1 if self.several == "pockets" else len(self.steps.gaps_mm)
        name = f"{self.fit.part.pocket.name} to try"
        return tuple(
            InlayPiece(
                number=number + 1, name=name if count == 1 else f"{name} {number + 1}", of=(),
                material=inlay.material, area=lies.drawn, cutter=cutter, place=lies.place, gap_mm=lies.gap_mm,
                key=inlay.key("material"), chiselled=lies.chiselled,
            )
            for number, lies in enumerate(map(self.in_pocket, range(count)))
        )  # fmt: skip

    def in_turn(self, piece: RowPiece) -> RowPiece:
        """Give a piece that goes into all pockets in turn, where there are several."""
        if self.several == "pieces":
            return piece
        return replace(piece, also=tuple(self.in_pocket(number) for number in range(1, len(self.steps.gaps_mm))))


def _on_blanks(tried: _Tried, blanks: Sequence[InlayBlank], of_board: Sequence[InlayPiece]) -> Setup:
    """Lay the pieces on the blanks of their material, as those of a board are laid.

    Beside those of all the board's inlays, where the file says of none what is used and there is room; else wherever
    nothing is used or laid.
    """
    setup = _laid(tried.pieces(), blanks, of_board)
    assert setup.row is not None
    return replace(setup, row=replace(setup.row, pieces=tuple(map(tried.in_turn, setup.row.pieces))))


def _laid(pieces: tuple[InlayPiece, ...], blanks: Sequence[InlayBlank], of_board: Sequence[InlayPiece]) -> Setup:
    if not any(blank.used for blank in blanks if blank.material == pieces[0].material):
        inlays = tuple(piece for piece in of_board if INLAYS in piece.of)
        with suppress(Refusal):
            return piece_setups(pieces, blanks, Cutting(pieces, others=(inlays,)))[0]
    return piece_setups(pieces, without_places(of_board, blanks), Cutting(pieces))[0]


def _to_try(problem: Problem, several: Several) -> Problem:
    """Give a problem of scrap or blanks whose hint is of use to a coupon."""
    if not problem.key.startswith("inlay_blank.") or not problem.key.endswith((".length", ".count")):
        return problem
    fewer = "try fewer gaps, with a greater --step, or " if several == "pieces" else ""
    return replace(problem, hint=f"{fewer}list another blank, or a larger one, or name a smaller inlay with {OF}")
