"""Pieces of inlays and their pockets, proved once, as cases for damage: of each its own setup, and the other beside it.

The oracle of a setup knows wood and cutters; what it takes for harmless is then laid together by plain distances
(plain_fit): a piece that does not go into its pocket is harm, too.
"""

from dataclasses import dataclass
from functools import cache, cached_property

import shapely
from oracle import Case, Judgement
from what_is_harm import HARM

from grid_of_pieces import BLANK_MM, Asked, look, machine_of, made
from pearlkerf import way
from pearlkerf.jobs.from_blanks import PiecesWish
from pearlkerf.setups.model import Setup
from pearlkerf.setups.piece_setups import USUAL_APART_MM
from pearlkerf.setups.selection import Choice
from plain_fit import Cut, cuts, fits, in_pocket, places_of

ASKED = (
    Asked("benchtop-arcs", (1, 3), names=("points", "ring")),
    Asked("benchtop-arcs", (3, 1), hold="skin", names=("cross", "neck")),
    Asked("benchtop-arcs", (1, 1), hold="tabs", names=("cross", "points"), material="maple"),
    Asked("compact-chords", (1, 3), names=("islands",)),
    Asked("compact-chords", (3, 3), hold="tabs", names=("cross",), material="maple"),
    Asked("benchtop-inch-hand", (3, 3), hold="skin", names=("heart", "ring")),
    Asked("production-automatic", (5, 5), names=("cross", "ring")),
)
DOUBT = 0.011  # mm: the rule allows a hundredth, and bounds both sides


@dataclass(frozen=True)
class Beside:
    """The other setup of a piece or a pocket, and its programs as they are."""

    setup: Setup
    programs: tuple[tuple[str, bytes], ...]


class PieceCase(Case):
    """The programs of pieces, or of pockets, with those of the other beside them."""

    def of(self, asked: Asked, beside: Beside) -> "PieceCase":
        """Say of which board it is, and what is held beside it."""
        self.asked, self.beside = asked, beside
        return self

    @cached_property
    def radii(self) -> dict[int, float]:
        """The radius of every cutter."""
        return {each.number: each.radius_mm for each in self.machine.cutters}

    @cached_property
    def beside_cuts(self) -> dict[str, Cut]:
        """What the other setup's programs cut."""
        return self.cuts_of([text for _, text in self.beside.programs], pieces=self.setup.row is None)

    def cuts_of(self, texts: list[bytes], pieces: bool) -> dict[str, Cut]:
        """What programs cut under each name."""
        over_tabs = pieces and self.asked.hold == "tabs"
        return cuts([text.decode("latin-1") for text in texts], self.radii, over_tabs=over_tabs)

    def judge(self, program: int, text: bytes, *, afresh: bool = False) -> Judgement:
        """Say what a damaged text does, in its own setup, and to how a piece lies in its pocket."""
        alone = super().judge(program, text, afresh=afresh)
        if alone.kind in ("harmful", "unreadable") or moves(text) == moves(self.programs[program][1]):
            return alone  # by what name a cut is called makes no piece another
        texts = [text if n == program else good for n, (_, good) in enumerate(self.programs)]
        own = self.cuts_of(texts, pieces=self.setup.row is not None)
        others = [good for _, good in self.beside.programs]
        pieces, pockets, heads = (
            (self.beside_cuts, own, others) if self.setup.row is None else (own, self.beside_cuts, texts)
        )
        return worse(alone, self.together(pieces, pockets, [each.decode("latin-1") for each in heads]))

    def together(self, pieces: dict[str, Cut], pockets: dict[str, Cut], heads: list[str]) -> Judgement:
        """Lay every piece into its pocket."""
        doubts, gap = [], self.asked.gap_mm
        for name, cut in pieces.items():
            if name not in pockets or cut.through.is_empty or pockets[name].through.is_empty:
                continue
            try:
                most, least = in_pocket(cut, places_of(heads), BLANK_MM + USUAL_APART_MM, pockets[name])
            except ValueError:
                return Judgement("harmful", f"{name} is not cut free")
            found = fits(most, least, pockets[name], shapely.Polygon())
            off = max(gap - found.least_mm, found.most_mm - gap)
            if off > HARM:
                return Judgement("harmful", f"{name} does not fit its pocket: {off:.3f}")
            if off > DOUBT:
                doubts.append(f"{name} fits its pocket badly: {off:.3f}")
        return Judgement("borderline", "; ".join(doubts)) if doubts else Judgement("harmless")


def moves(text: bytes) -> list[bytes]:
    """What a program moves, whatever it says."""
    return [line for line in text.split(b"\n") if b"(" not in line]


def worse(one: Judgement, other: Judgement) -> Judgement:
    """Give the worse of two judgements, with the notes of the first."""
    order = ("harmless", "borderline", "harmful")
    if order.index(one.kind) >= order.index(other.kind):
        return one
    return Judgement(other.kind, other.why, one.notes)


@cache
def piece_cases(number: int) -> tuple[PieceCase, PieceCase]:
    """Give pockets and pieces of a board, each as a case."""
    asked = ASKED[number]
    machine, (pockets, pieces) = machine_of(asked), made(asked)
    jobs = (way.plan(look(asked), machine, way.Order(Choice(only=("inlays",)))),
            way.plan_pieces(look(asked), machine, PiecesWish()))  # fmt: skip
    (pocket_setup,), (piece_setup,) = (job.clampings.setups for job in jobs)
    each = [(pocket_setup, pockets), (piece_setup, pieces)]
    found = []
    titles = tuple(job.title for job in jobs)
    for (setup, programs), (other, beside) in (each, each[::-1]):
        texts = [(program.file, program.text) for program in programs]
        name = f"{', '.join(asked.names)}, {asked.profile}, {asked.hold}, {setup.name}"
        case = PieceCase(name, setup, machine, texts, titles)
        found.append(case.of(asked, Beside(other, tuple((one.file, one.text) for one in beside))))
    return found[0], found[1]
