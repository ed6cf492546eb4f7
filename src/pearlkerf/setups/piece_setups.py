"""Setups in which pieces are cut from their blanks: one for each material, all its blanks in a row."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import shapely
from shapely import affinity

from pearlkerf.board.inlays import SKIN_MM, InlayBlank, PiecePlace, UsedPlace
from pearlkerf.errors import Problem, Refusal
from pearlkerf.files.lengths import shown
from pearlkerf.files.toml_values import nearest
from pearlkerf.layout.features import Pocket
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.materials import kind_of
from pearlkerf.outlines.limits import QUARTER
from pearlkerf.setups.blank_rows import BlankRow, RowBlank, RowPiece
from pearlkerf.setups.blanks import WALL_MM, Laid, PieceBlank, Rectangle, ToLay
from pearlkerf.setups.inlay_pieces import InlayPiece, without_blanks
from pearlkerf.setups.lying import BLANK_CORNER, Lying
from pearlkerf.setups.model import Setup
from pearlkerf.setups.nesting import Nest, nest
from pearlkerf.setups.piece_cuts import PieceCut, channel_mm, cuts_of
from pearlkerf.setups.row_words import BACKING_MM, INTO_BACKING_MM
from pearlkerf.setups.tabs import tab_height_mm

# between two blanks of a row: room for a cutter that runs out of neither, and for fingers (common practice, no source)
USUAL_APART_MM: Final = 10.0
# a cutter runs this far inside a piece's line: on the line itself but for rounding, as the wall's ring keeps so far off
RING_OFF_MM: Final = 0.0025


@dataclass(frozen=True, slots=True)
class Cutting:
    """How pieces are wanted: how far apart the blanks of a row lie, how many more there are to be of each.

    ``every`` is all pieces that the board has: its materials number the rows, and spares are numbered after them.
    ``others`` are jobs that may have been cut before: what they take of blanks is left alone, in their order, where
    the file says nothing of what is used.
    """

    every: tuple[InlayPiece, ...]
    apart_mm: float = USUAL_APART_MM
    spares: int = 0
    others: tuple[tuple[InlayPiece, ...], ...] = ()

    @property
    def materials(self) -> list[str]:
        """Give the materials of all pieces, each once."""
        return list(dict.fromkeys(piece.material for piece in self.every))


def nests_of(pieces: Sequence[InlayPiece], blanks: Sequence[InlayBlank], spares: int = 0) -> tuple[Nest, ...]:
    """Give what is to be laid on the blanks of each material, with what the file has laid; in the pieces' order.

    Raises Refusal where a material has no blanks, or the file lays what is no piece.
    """
    problems: list[Problem | None] = []
    nests = []
    for material in dict.fromkeys(piece.material for piece in pieces):
        own = [piece for piece in pieces if piece.material == material]
        problems += [without_blanks(blanks, material, own[0].key)]
        nests.append(_nest(own, blanks, spares))
    found = [each for each in problems if each is not None]
    if found:
        raise Refusal(found)
    return tuple(nests)


def check_places(pieces: Sequence[InlayPiece], blanks: Sequence[InlayBlank]) -> None:
    """Raise Refusal where the file lays what is no piece of the board, or lays it on another material's blank."""
    materials = {name: piece.material for piece in pieces for name in _names(piece, 1)}
    problems = []
    for entry, blank in enumerate(blanks):
        for index, place in enumerate(blank.place):
            key = f"inlay_blank.{entry}.place.{index}"
            if blank.length_mm is None:
                problems.append(Problem(f"{shown(place.piece)} lies on a blank that has no size", "both its sides",
                                        "write length = … and width = …, or leave the place out", key))  # fmt: skip
            elif place.piece not in materials:
                near = nearest(place.piece, list(materials))
                problems.append(Problem(f"no piece is called {shown(place.piece)}", "a piece of an inlay",
                                        f"did you mean {shown(near)}?" if near else "leave it out", key))  # fmt: skip
            elif materials[place.piece] != blank.material:
                problems.append(Problem(f"{shown(place.piece)} is of {shown(materials[place.piece])}", "its own blanks",
                                        "lay it on one of these, or leave it out", key))  # fmt: skip
    if problems:
        raise Refusal(problems)


def without_places(pieces: Sequence[InlayPiece], blanks: Sequence[InlayBlank]) -> tuple[InlayBlank, ...]:
    """Give blanks on which nothing is laid: where the file lays a piece they are used, the cut round it too."""
    named = {name: piece for piece in pieces for name in _names(piece, 1)}

    def used(place: PiecePlace) -> UsedPlace:
        piece = named[place.piece]
        room_mm = channel_mm(piece.cutter.diameter_mm) + WALL_MM / 2
        box = ToLay(place.piece, piece.area).box(place.turn_deg).grown(room_mm).moved(place.at_mm)
        return UsedPlace(place.blank, (box.low_x, box.low_y, box.high_x, box.high_y))

    return tuple(replace(blank, used=(*blank.used, *map(used, blank.place)), place=()) for blank in blanks)


def _nest(own: Sequence[InlayPiece], blanks: Sequence[InlayBlank], spares: int) -> Nest:
    named = [(name, piece) for piece in own for name in _names(piece, spares)]
    to_lay = tuple(ToLay(name, piece.area) for name, piece in sorted(named, key=lambda each: each[0] != each[1].name))
    widest = max(channel_mm(piece.cutter.diameter_mm) for piece in own)
    entries = [(index, each) for index, each in enumerate(blanks) if each.material == own[0].material]
    names = {each.name for each in to_lay}
    kept = tuple(
        Laid(place.piece, (index, place.blank), place.at_mm, place.turn_deg)
        for index, entry in entries if entry.length_mm is not None for place in entry.place if place.piece in names
    )  # fmt: skip
    there = tuple(_blanks(entries))
    return Nest(own[0].material, to_lay, there, widest + WALL_MM / 2, WALL_MM / 2, kept)


def _names(piece: InlayPiece, spares: int) -> Iterator[str]:
    yield piece.name
    for number in range(1, spares + 1):
        yield f"{piece.name} spare" + (f" {number}" if spares > 1 else "")


def _blanks(entries: Sequence[tuple[int, InlayBlank]]) -> Iterator[PieceBlank]:
    for index, entry in entries:
        if entry.length_mm is None or entry.width_mm is None:
            continue
        for number in range(1, entry.count + 1):
            used = tuple(Rectangle(*each.box_mm) for each in entry.used if each.blank == number)
            yield PieceBlank(index, number, entry.length_mm, entry.width_mm, entry.figure, used)


def piece_setups(pieces: Sequence[InlayPiece], blanks: Sequence[InlayBlank], cutting: Cutting) -> tuple[Setup, ...]:
    """Give the setups in which some pieces are cut, one for each of their materials.

    Raises Refusal where blanks are missing, too few or too small, or pieces are laid where they cannot lie.
    """
    nests = nests_beside(pieces, blanks, cutting)
    by_name = {name: (piece, at) for piece in pieces for at, name in enumerate(_names(piece, cutting.spares))}
    setups, problems = [], list[Problem]()
    for asked in nests:
        try:
            laid = nest(asked)
        except Refusal as refusal:
            problems += refusal.problems
            continue
        entry = blanks[asked.blanks[0].entry]
        row = replace(_row(entry, (asked, laid), cutting), beside=tuple(_left_alone(asked, blanks)))
        placed = [(_numbered(each, by_name, len(cutting.every)), each) for each in laid]
        try:
            setups.append(_setup(row, placed, asked))
        except Refusal as refusal:
            problems += refusal.problems
    if problems:
        raise Refusal(problems)
    return tuple(setups)


def nests_beside(pieces: Sequence[InlayPiece], blanks: Sequence[InlayBlank], cutting: Cutting) -> tuple[Nest, ...]:
    """Give what is to be laid as ``nests_of`` does, beside what other jobs may have taken of the blanks."""
    return tuple(_beside_others(each, blanks, cutting) for each in nests_of(pieces, blanks, cutting.spares))


def _left_alone(asked: Nest, blanks: Sequence[InlayBlank]) -> Iterator[tuple[tuple[int, int], Rectangle]]:
    """Give what others may have taken of the blanks: all that is used of them where the file says of none what is."""
    if not any(blanks[each.entry].used for each in asked.blanks):
        yield from ((blank.identity, used) for blank in asked.blanks for used in blank.used)


def _beside_others(asked: Nest, blanks: Sequence[InlayBlank], cutting: Cutting) -> Nest:
    """Give what is to be laid on blanks of which other jobs have taken their part, where the file says of none what is.

    What the blanks would not hold was never cut.  A piece that such a job has cut, too, is laid anew, but where the
    file lays it, it is cut.
    """
    kept = {each.piece for each in asked.kept}
    if any(blanks[each.entry].used for each in asked.blanks):
        return asked
    for pieces in cutting.others:
        own = [piece for piece in pieces if piece.material == asked.material]
        if not own:
            continue
        other = replace(_nest(own, blanks, 0), blanks=asked.blanks)
        try:
            laid = nest(other)
        except Refusal:
            continue
        taken = [(each.blank, other.taken(each)) for each in laid if each.piece not in kept]
        asked = replace(asked, blanks=tuple(_with_used(blank, taken) for blank in asked.blanks))
    return asked


def _with_used(blank: PieceBlank, taken: Sequence[tuple[tuple[int, int], Rectangle]]) -> PieceBlank:
    """Give a blank of which more is used: what is taken of it."""
    return replace(blank, used=(*blank.used, *(room for identity, room in taken if identity == blank.identity)))


Placed = tuple[tuple[int, InlayPiece], Laid]


def _numbered(laid: Laid, by_name: dict[str, tuple[InlayPiece, int]], total: int) -> tuple[int, InlayPiece]:
    piece, at = by_name[laid.piece]
    return piece.number + at * total, piece


def _row(entry: InlayBlank, nested: tuple[Nest, Sequence[Laid]], cutting: Cutting) -> BlankRow:
    """Give the row of the blanks on which something lies, those of the file's first entry first."""
    asked, laid = nested
    on = {each.blank for each in laid}
    row, x = list[RowBlank](), 0.0
    for blank in asked.blanks:
        if blank.identity in on:
            row.append(RowBlank(len(row) + 1, blank.identity, x, blank.length_mm, blank.width_mm))
            x = round(x + blank.length_mm + cutting.apart_mm, 6)
    return BlankRow(
        number=cutting.materials.index(entry.material) + 1, material=entry.material, thinnest_mm=entry.thinnest_mm,
        thickest_mm=entry.thickest_mm, hold=entry.hold, tape_mm=entry.tape_mm, apart_mm=cutting.apart_mm,
        figure=entry.figure, blanks=tuple(row), pieces=(), spares=cutting.spares,
    )  # fmt: skip


def depth_mm(row: BlankRow) -> float:
    """Give how deep below the highest blank's top pieces are cut: through it and its tape, or down to its skin."""
    if row.hold == "skin":
        return round(row.thinnest_mm - SKIN_MM, 6)
    return round(row.thickest_mm + row.tape_mm + INTO_BACKING_MM, 6)


def _cut_by(row: BlankRow, piece: InlayPiece) -> PieceCut:
    by = PieceCut(piece.cutter.number, piece.cutter.diameter_mm, depth_mm(row))
    if row.hold != "tabs":
        return by
    tabs_z = round(tab_height_mm(row.thinnest_mm) - row.thinnest_mm, 6)
    return replace(by, holds_cores=False, tabs_z_mm=tabs_z, key=f"inlay_blank.{row.blanks[0].of[0]}.hold")


def _setup(row: BlankRow, placed: Sequence[Placed], asked: Nest) -> Setup:
    features: list[Pocket] = []
    in_row: list[RowPiece] = []
    blanks = {blank.of: blank for blank in row.blanks}
    for (number, piece), laid in placed:
        blank = blanks[laid.blank]
        to_lay = next(each for each in asked.pieces if each.name == laid.piece)
        area = affinity.translate(to_lay.laid(laid), blank.x_mm, 0.0)
        by = _cut_by(row, piece)
        shrunk = shapely.get_parts(shapely.buffer(area, -RING_OFF_MM, quad_segs=QUARTER))
        line = max(shrunk, key=lambda each: each.area)  # crumbs of a tip part from it
        features += cuts_of(laid.piece, number, line, by)
        in_row.append(RowPiece(
            number=number, name=laid.piece, blank=blank.number, at=laid.at, turn_deg=laid.turn_deg, area=area,
            drawn=piece.area, place=piece.place, gap_mm=piece.gap_mm, on_setup=(blank.x_mm + laid.at[0], laid.at[1]),
            spare=laid.piece != piece.name, chiselled=piece.chiselled,
        ))  # fmt: skip
    return Setup(
        kind="pieces",
        wood=row.material,
        stock=_stock(row),
        features=tuple(features),
        lying=Lying(BLANK_CORNER),
        row=replace(row, pieces=tuple(in_row)),
        low_side="near edge",
        ends=("left", "right"),
        up="the side that shows up",
    )


def _stock(row: BlankRow) -> Stock:
    """Give a row as one piece of wood: what lies between its blanks counts as wood, and all below them."""
    length = max(blank.x_mm + blank.length_mm for blank in row.blanks)
    width = max(blank.width_mm for blank in row.blanks)
    outline = np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]], dtype=np.float64)
    outline.setflags(write=False)
    under = 0.0 if row.hold == "skin" else row.tape_mm
    return Stock(outline, row.thickest_mm + under + BACKING_MM)


def unknown_material(setup: Setup, cutters: Sequence[tuple[int, bool]]) -> list[Problem]:
    """Refuse a material of which the tables know no figures, where a cutter (number, states its own) states none."""
    if setup.row is None or kind_of(setup.row.material) in ("wood", "shell"):
        return []
    entry = setup.row.blanks[0].of[0]
    return [
        Problem(
            key=f"inlay_blank.{entry}.material",
            found=f"how {shown(setup.row.material)} is cut no table knows, and cutter {number} states no figures",
            allowed="a material that is known, or a cutter with its own figures",
            hint=f"give cutter {number} speed, feed, plunge_feed and bite in the profile, from its maker's sheet",
        )
        for number, states in cutters if not states
    ]  # fmt: skip
