"""The pieces of a board's inlays, as they lie in their pockets, and the dots that are cut as pieces.

Pieces are numbered as their pockets are, from the nut end on, dots after all inlays; a number stays a piece's
whatever else is cut with it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import shapely

from pearlkerf.board.inlays import InlayBlank
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import shown
from pearlkerf.files.toml_values import nearest
from pearlkerf.layout.features import Hole, Identity
from pearlkerf.layout.groups import INLAYS
from pearlkerf.layout.lines import Point
from pearlkerf.layout.model import Layout
from pearlkerf.machine.model import Cutter
from pearlkerf.setups.fits import Fitted, LetIn

DOTS: Final = "face dots"
# chords of a quarter circle of a dot: they stay within 0.001 mm of dots up to 13 mm
QUARTER: Final = 64
# what --only takes
ONLY: Final = "--only"


@dataclass(frozen=True, slots=True)
class InlayPiece:
    """One piece as it lies in its pocket or hole, board axes, mm; the gap is left all round it.

    ``called`` is its inlay's name, ``of`` what people may call it and others together; ``key`` is where the file asks
    for it.
    """

    number: int
    name: str
    of: tuple[str, ...]
    material: str
    area: shapely.Polygon
    cutter: Cutter
    place: Identity
    gap_mm: float
    key: str
    chiselled: tuple[tuple[Point, float], ...] = ()


def pieces_of_inlays(fits: Sequence[Fitted]) -> list[InlayPiece]:
    """Give the pieces of all parts that this machine cuts; raises Refusal where two are called the same."""
    found: list[InlayPiece] = []
    for fit in sorted(fits, key=lambda each: each.part.pocket.number):
        for piece in fit.pieces:
            if piece.cutter is None:
                continue
            found.append(InlayPiece(
                number=len(found) + 1, name=piece.name, of=_called(piece), material=piece.inlay.material,
                area=piece.area, cutter=piece.cutter, place=piece.place, gap_mm=fit.part.inlay.gap_mm,
                key=piece.inlay.key("material"), chiselled=_chiselled(fit),
            ))  # fmt: skip
    twice = [piece for index, piece in enumerate(found) if piece.name in (each.name for each in found[:index])]
    if twice:
        raise Refusal([_alike(piece) for piece in twice])
    return found


def _alike(piece: InlayPiece) -> Problem:
    return Problem(
        key=f"{piece.key.rpartition('.')[0]}.name", found=f'two pieces are called "{piece.name}"',
        allowed="a name for each", hint="write a name of its own for one of the inlays",
    )  # fmt: skip


def _chiselled(fit: Fitted) -> tuple[tuple[Point, float], ...]:
    """Give the corners that are chiselled, each with how far round its tip the cutter leaves wood.

    Between tangents that part by an angle 2 t a circle of radius r stands r (1 / sin t - 1) before the tip and touches
    them at r / tan t from it, which is less than that and the radius.
    """
    return tuple((each.tip, each.length_mm + fit.pair.pocket.radius_mm) for each in fit.corners)


def _called(piece: LetIn) -> tuple[str, ...]:
    """Give what people may call a piece together with others of it: its inlay, its place, what it was parted from."""
    place = piece.of.rpartition("/")[0] or piece.of
    return tuple(dict.fromkeys((INLAYS, piece.inlay.called, place, piece.of, piece.name)))


def dots_as_pieces(holes: Sequence[Hole], layout: Layout, cutters: Sequence[Cutter], first: int) -> list[InlayPiece]:
    """Give the dots of the face as pieces, numbered from ``first`` on: smaller than their holes by half the fit a side.

    The holes are as wide as they come out.

    Raises Refusal where the file does not say what they are cut from, leaves them no room, or no cutter serves.
    """
    dots = layout.board.face_dots
    if dots is None:
        return []
    problems = []
    if not dots.material:
        problems.append(Problem("nothing says what the dots are cut from", "the material of an [[inlay_blank]]",
                                "write material = … in [face_dots]", "face_dots"))  # fmt: skip
    if dots.fit_mm <= 0:
        problems.append(Problem(
            key="face_dots.fit", found=f"a fit of {dots.fit_mm:g} mm leaves no room between a cut dot and its hole",
            allowed="more than 0 mm, half of it on each side", hint="write fit = 0.1",
        ))  # fmt: skip
    if problems:
        raise Refusal(problems)
    return [_dot(hole, number, dots.material, cutters, dots.fit_mm / 2)
            for number, hole in enumerate(holes, first)]  # fmt: skip


def _dot(hole: Hole, number: int, material: str, cutters: Sequence[Cutter], gap_mm: float) -> InlayPiece:
    area = shapely.buffer(shapely.Point(hole.centre), hole.diameter_mm / 2 - gap_mm, quad_segs=QUARTER)
    return InlayPiece(
        number=number, name=hole.name, of=(DOTS, hole.name), material=material, area=area, cutter=cutters[0],
        place=hole.identity, gap_mm=gap_mm, key="face_dots.material",
    )  # fmt: skip


def chosen(pieces: Sequence[InlayPiece], only: Sequence[str]) -> tuple[InlayPiece, ...]:
    """Give the pieces that are asked for: all of the inlays', or those that are named, in the order of all.

    Raises Refusal for names that are nobody's.
    """
    if not only:
        return tuple(piece for piece in pieces if INLAYS in piece.of)
    known = list(dict.fromkeys(word for piece in pieces for word in piece.of))
    problems = []
    for word in only:
        if word not in known:
            near = nearest(word, known)
            hint = f"did you mean {shown(near)}?" if near else f"name one of {', '.join(map(shown, known[:12]))}"
            problems.append(Problem(f"no piece is called {shown(word)}", "a piece, an inlay, or a group of them",
                                    hint, ONLY))  # fmt: skip
    if problems:
        raise Refusal(problems)
    return tuple(piece for piece in pieces if any(word in piece.of for word in only))


def without_blanks(blanks: Sequence[InlayBlank], material: str, key: str) -> Problem | None:
    """Give what is wrong where pieces are to be cut from a material of which there are no blanks; None if there are."""
    if any(blank.material == material and blank.length_mm is not None for blank in blanks):
        return None
    of = shown(material) if material else "it"
    return Problem(
        key=key,
        found="nothing says what blanks its pieces are cut from",
        allowed=f"an [[inlay_blank]] of {of} with its size",
        hint='write length = … and width = … in its [[inlay_blank]], or pieces = "by hand"',
    )
