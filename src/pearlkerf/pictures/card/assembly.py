"""The assembly sheet: every piece in the order of gluing, its pocket, its blank, what is chiselled, how it stands."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from pearlkerf.board.inlays import SKIN_MM
from pearlkerf.files.lengths import Unit, figure_in, told_in
from pearlkerf.layout.features import Hole, Pocket
from pearlkerf.layout.lines import Point
from pearlkerf.layout.model import Layout
from pearlkerf.pictures.assembled import PieceSeen, draw_assembled, of_rows, outer_first
from pearlkerf.pictures.card.measures import raw_top_mm
from pearlkerf.pictures.drawing import Drawing, Line, Path, Text, Thing
from pearlkerf.pictures.features import SEEN_MM, rings_of
from pearlkerf.pictures.rows import blank_named
from pearlkerf.setups.blank_rows import BlankRow, RowPiece
from pearlkerf.setups.fits import Fitted

# a pocket whose corners are chiselled is drawn so many times as large at most, and no larger than this on the page
CLOSEST: Final = 6.0
LARGEST_MM: Final = (80.0, 48.0)
LETTER_MM: Final = 2.2
TICK_MM: Final = 3.0  # from a corner to its figure
LEVEL_MM: Final = 0.005  # less than this rounds to 0.00
ON_CENTRE_MM: Final = 0.005


@dataclass(frozen=True, slots=True)
class AssemblyRow:
    """One piece: its number, what it and its pocket are called, and what is to be known of both, in words."""

    number: int
    name: str
    pocket: str
    blank: str
    lies: str
    deep: str
    top: str
    chisel: str


@dataclass(frozen=True, slots=True)
class Assembly:
    """All that a card needs of the pieces of a job: the board with them in, their rows, corners that are chiselled."""

    rows: tuple[AssemblyRow, ...]
    board: Drawing | None
    corners: tuple[Drawing, ...]


def assembly_of(layout: Layout, rows: Sequence[BlankRow], fits: Sequence[Fitted]) -> Assembly:
    """Give the assembly of the pieces that rows of blanks have, spares left out, in the order of gluing."""
    seen = of_rows(rows, fits)
    own = {str(piece.number): (row, piece) for row in rows for piece in row.pieces if not piece.spare}
    ordered = outer_first(sorted((each for each in seen if each.here), key=lambda each: int(each.number)))
    chiselled = [fit for fit in fits if fit.corners and any(_is_of(piece, fit) for _, piece in own.values())]
    return Assembly(
        tuple(_row(layout, own[each.number], each, fits) for each in ordered),
        draw_assembled(layout, seen),
        tuple(draw_corners(fit, layout.board.unit) for fit in _once(chiselled)),
    )


def _is_of(piece: RowPiece, fit: Fitted) -> bool:
    return (piece.place.group, piece.place.number) == (fit.part.pocket.group, fit.part.pocket.number)


def _once(fits: Sequence[Fitted]) -> Iterator[Fitted]:
    """Give the first of those that are drawn alike."""
    seen: set[tuple[int, bytes]] = set()
    for fit in fits:
        key = fit.part.inlay.index, fit.part.drawn.wkb
        if key not in seen:
            seen.add(key)
            yield fit


def _row(layout: Layout, own: tuple[BlankRow, RowPiece], seen: PieceSeen, fits: Sequence[Fitted]) -> AssemblyRow:
    row, piece = own
    unit = layout.board.unit
    left, low, right, high = seen.area.bounds
    middle = (left + right) / 2, (low + high) / 2
    floor = _floor_mm(layout, piece, middle, fits)
    corners = sum(len(fit.corners) for fit in fits if _is_of(piece, fit))
    return AssemblyRow(
        number=piece.number,
        name=piece.name,
        pocket=f"{'hole' if piece.place.group == 'face dots' else 'pocket'} {piece.place.number}",
        blank=_from(row, piece, unit),
        lies=_where(middle, layout),
        deep=told_in(raw_top_mm(layout, *middle) - floor, unit),
        top=_top(layout, row, middle, floor),
        chisel=f"{corners} corner{'s' * (corners != 1)}" if corners else "nothing",
    )


def _floor_mm(layout: Layout, piece: RowPiece, middle: Point, fits: Sequence[Fitted]) -> float:
    """Give the height of the floor under a piece's middle."""
    places: list[Pocket | Hole] = [fit.part.pocket for fit in fits if _is_of(piece, fit)]
    places += [dot for dot in layout.face_dots if dot.identity == piece.place]
    place = places[0]
    return place.floor_mm if isinstance(place, Hole) else float(place.floor.z_mm(*middle))


def _from(row: BlankRow, piece: RowPiece, unit: Unit) -> str:
    """Say from which blank a piece is cut, and where on it."""
    x, y = (figure_in(each, unit, 1) for each in piece.at)
    turned = f", turned {piece.turn_deg:g}°" if piece.turn_deg else ""
    return f"{blank_named(row, row.blanks[piece.blank - 1])}, X {x} Y {y}{turned}"


def _where(middle: Point, layout: Layout) -> str:
    """Say where the middle of a piece lies on the board."""
    unit, (x, y) = layout.board.unit, middle
    along = f"{figure_in(x, unit, 1)} from {layout.origin.partition(',')[0].removeprefix('the ')}"
    if abs(y) < ON_CENTRE_MM:
        return f"{along}, on the centre line"
    treble = (y > 0) == (layout.board.hand == "right")
    return f"{along}, {figure_in(abs(y), unit, 1)} to the {'treble' if treble else 'bass'} side"


def _top(layout: Layout, row: BlankRow, middle: Point, floor_mm: float) -> str:
    """Say how a piece's top stands beside the raw face there, the thinnest and the thickest."""
    off, raw, unit = SKIN_MM if row.hold == "skin" else 0.0, raw_top_mm(layout, *middle), layout.board.unit
    tops = [floor_mm + thick - off - raw for thick in (row.thinnest_mm, row.thickest_mm)]
    return " to ".join(dict.fromkeys(_beside(top, unit) for top in tops))


def _beside(top_mm: float, unit: Unit) -> str:
    if abs(top_mm) < LEVEL_MM:
        return "level"
    return f"{told_in(abs(top_mm), unit)} {'above' if top_mm > 0 else 'below'}"


def draw_corners(fit: Fitted, unit: Unit) -> Drawing:
    """Draw a pocket whose corners are left to a chisel: as cut, as drawn in dashes, and how much wood stands there."""
    drawn = fit.part.pocket.region
    left, low, right, high = drawn.bounds
    scale = min(CLOSEST, LARGEST_MM[0] / (right - left), LARGEST_MM[1] / (high - low))

    def at(place: Point) -> Point:
        return (place[0] - left) * scale, (place[1] - low) * scale

    within = SEEN_MM / scale
    things: list[Thing] = []
    for pocket in fit.pockets:
        things += [Path("outline", tuple(map(at, ring))) for ring in rings_of(pocket, within)]
    for ring in rings_of(fit.part.pocket, within):
        things.append(Path("fold", tuple(map(at, ring))))
    centre = at(((left + right) / 2, (low + high) / 2))
    for corner in fit.corners:
        things += _corner(at(corner.tip), centre, figure_in(corner.length_mm, unit))
    names = ", ".join(dict.fromkeys(pocket.name for pocket in fit.pockets))
    things.append(
        Text("notes", (centre[0], -TICK_MM - 2.6 * LETTER_MM), f"{names}, {scale:.1f} : 1", LETTER_MM, "middle")
    )
    return Drawing(f"corners of {names}", tuple(things))


def _corner(tip: Point, centre: Point, figure: str) -> Iterator[Thing]:
    """Give a stroke outward from a corner, and its figure there."""
    away = tip[0] - centre[0], tip[1] - centre[1]
    far = max((away[0] ** 2 + away[1] ** 2) ** 0.5, LEVEL_MM)
    x, y = tip[0] + away[0] / far * TICK_MM, tip[1] + away[1] / far * TICK_MM
    yield Line("leaders", tip, (x, y))
    sideways = abs(away[0]) > abs(away[1])
    anchor = ("start" if away[0] > 0 else "end") if sideways else "middle"
    lift = -LETTER_MM / 2 if sideways else 0.6 if away[1] > 0 else -LETTER_MM - 0.6
    beside = (0.6 if away[0] > 0 else -0.6) if sideways else 0.0
    yield Text("notes", (x + beside, y + lift), figure, LETTER_MM, anchor)  # type: ignore[arg-type]
