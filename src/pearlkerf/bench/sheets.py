"""What a page shows of blanks and pieces, as plain data: lengths in mm, outlines as ways of SVG, y down."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np
import shapely

from pearlkerf.bench.photographs import Blank, Photograph, Photographs, laid
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.board.inlays import InlayBlank
from pearlkerf.pictures.svg import ways
from pearlkerf.setups.blanks import TURNS, Laid, ToLay
from pearlkerf.setups.inlay_pieces import InlayPiece
from pearlkerf.setups.nesting import Nest, cut_around

SEEN_MM: Final = 0.01  # an outline is drawn within it: less is no pixel of any page


def blank_data(entry: int, blank: InlayBlank, at: int, photograph: Photograph | str | None) -> dict[str, Any]:
    """Give one blank: its size, what is gone of it, its photograph, or why that is none."""
    assert blank.length_mm is not None and blank.width_mm is not None
    turns = TURNS[blank.figure]
    data: dict[str, Any] = {
        "blank": [entry, at], "material": blank.material, "count": blank.count, "figure": blank.figure,
        "length_mm": blank.length_mm, "width_mm": blank.width_mm, "turns": None if turns is None else list(turns),
        "used": [list(used.box_mm) for used in blank.used if used.blank == at],
        "photograph": None, "no_photograph": "",
    }  # fmt: skip
    if isinstance(photograph, str):
        return {**data, "no_photograph": photograph}
    if photograph is not None:
        data["photograph"] = photograph_data(photograph, (blank.length_mm, blank.width_mm))
    return data


def photograph_data(photograph: Photograph, blank_mm: tuple[float, float]) -> dict[str, Any]:
    """Give a photograph as a page lays it on its blank; without a matrix where its corners are not known."""
    corners = photograph.corners
    return {
        "sha256": photograph.sha256,
        "size_px": list(photograph.size_px),
        "corners": [list(each) for each in corners],
        "matrix": laid(corners, photograph.size_px, blank_mm) if corners else None,
    }


def piece_data(asked: Nest, piece: ToLay, of: InlayPiece) -> dict[str, Any]:
    """Give one piece: what it is called, where it goes, and what is cut for it, its middle at 0, 0."""
    own = shapely.transform(piece.area, lambda places: places - np.array(piece.middle))
    low_x, low_y, high_x, high_y = own.bounds
    within = shapely.get_coordinates(shapely.maximum_inscribed_circle(own, tolerance=SEEN_MM * 10))[0]
    return {
        "name": piece.name,
        "number": of.number,
        "spare": piece.name != of.name,
        "material": asked.material,
        "goes": of.place.name,
        "of": list(of.of),
        "size_mm": [high_x - low_x, high_y - low_y],
        "widest": [round(float(each), 3) for each in within],
        "outline": _way(own),
        "cut": _way(cut_around(asked, own)),
        "room": _way(shapely.buffer(own, asked.room_mm)),
    }


def laid_data(place: Laid, wrong: Mapping[str, str], kept: Sequence[Laid]) -> dict[str, Any]:
    """Give where a piece lies, whether by the file or as it is packed, and what is wrong with that."""
    return {"piece": place.piece, "blank": list(place.blank), "at": list(place.at), "turn": place.turn_deg,
            "kept": place in kept, "wrong": wrong.get(place.piece, "")}  # fmt: skip


def looked(photographs: Photographs, name: str, blank: Blank) -> Photograph | str:
    """Give the photograph of a blank of a board, or in words why it is none."""
    try:
        return photographs.look(name, blank)
    except (CannotBe, OSError) as fault:
        return str(fault.words if isinstance(fault, CannotBe) else fault.strerror or fault)


def _way(area: shapely.Polygon) -> str:
    """Give an area as one way of SVG."""
    plain = shapely.simplify(area, SEEN_MM)
    rings = [plain.exterior, *plain.interiors] if isinstance(plain, shapely.Polygon) else []
    return ways(ring.coords[:-1] for ring in rings)
