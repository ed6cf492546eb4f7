"""A piece on scrap as it lies before its maker, cut: every sample where it is, to be pointed at."""

from collections.abc import Sequence

from pearlkerf.layout.features import Feature
from pearlkerf.pictures.board.model import Manner, Part, Picture
from pearlkerf.pictures.board.shapes import UNSEEN_PX, shape
from pearlkerf.pictures.drawing import Path
from pearlkerf.pictures.features import straightened
from pearlkerf.pictures.rows import corners_of
from pearlkerf.setups.model import Setup

ROOM_PX = 12.0


def draw_strip(setup: Setup, samples: Sequence[Feature], wide_px: float) -> Picture:
    """Draw a piece on scrap so wide on the page; ``samples`` are those of its features that have a number."""
    corners = tuple((float(x), float(y)) for x, y in setup.stock.outline)
    wide, tall = max(x for x, _ in corners), max(y for _, y in corners)
    manner = Manner((wide_px - 2 * ROOM_PX) / wide)
    room, named = manner.mm(ROOM_PX), {each.name for each in samples}
    parts = [Part("wood", (Path("wood", corners),))]
    for each in setup.features:
        layer = "slots" if each.kind == "slot" else "pockets"
        sampled = each.name in named
        parts.append(
            Part(layer if sampled else "notches", shape(each, "slots", manner), name=each.name if sampled else "")
        )
    for each in samples:
        at = each.anchor[0], each.anchor[1] + max(each.beyond_ends_mm, each.width_mm / 2) + manner.mm(4.0)
        if each.kind == "slot":
            at = each.ends[1][0], min(each.ends[1][1] + manner.mm(4.0), tall - manner.letter_mm)
        told = f"{each.number}"
        parts.append(Part("numbers", (manner.text(at, told),), name=each.name))
    return Picture("strip", f"{len(samples)} samples on scrap", (-room, -room), (wide + room, tall + room),
                   tuple(parts), manner.px_a_mm)  # fmt: skip


def draw_blank_pieces(setup: Setup, wide_px: float) -> Picture:
    """Draw the pieces of a setup on their blanks so wide on the page, each to be pointed at."""
    assert setup.row is not None
    corners = [[(float(x), float(y)) for x, y in corners_of(blank)] for blank in setup.row.blanks]
    wide, tall = (max(places[axis] for each in corners for places in each) for axis in (0, 1))
    manner = Manner((wide_px - 2 * ROOM_PX) / wide)
    room = manner.mm(ROOM_PX)
    parts = [Part("wood", (Path("wood", tuple(each)),)) for each in corners]
    for piece in setup.row.pieces:
        line = Path("inlays", straightened(piece.area.exterior, manner.mm(UNSEEN_PX)))
        x, _, high_x, high_y = piece.area.bounds
        told = manner.text(((x + high_x) / 2, high_y + manner.mm(4.0)), f"{piece.number}")
        parts += [Part("pockets", (line,), name=piece.name), Part("numbers", (told,), name=piece.name)]
    return Picture("strip", f"{len(setup.row.pieces)} pieces on their blanks", (-room, -room),
                   (wide + room, tall + room), tuple(parts), manner.px_a_mm)  # fmt: skip
