"""How thick pieces must be for the radius: in one part, in strips, or where they follow the face."""

import shapely
from shapely import affinity

from pearlkerf.board.inlay_tables import MOST_STRIPS
from pearlkerf.board.inlays import Inlay
from pearlkerf.layout.checks import up
from pearlkerf.layout.ground import Laid
from pearlkerf.layout.inlay_parts import InlayPart
from pearlkerf.layout.inlays import falls_mm, strips_of

COUNTS = ("", "in one part", "in two strips", "in three strips", "in four strips")


def needed_by_strips(laid: Laid, inlay: Inlay) -> str:
    """Say how thick an inlay's pieces must be for each number of strips, and for a floor that follows the face."""
    shares = any(piece.inlay != inlay for part in _of(laid, inlay) for piece in part.pieces)
    most = 1 if shares else MOST_STRIPS
    told = [f"{COUNTS[count]} {up(needed_mm(laid, inlay, count))} mm" for count in range(1, most + 1)]
    return f'{", ".join(told)}, with floor = "follow" {up(inlay.shell_left_mm + inlay.proud_mm)} mm'


def needed_mm(laid: Laid, inlay: Inlay, count: int) -> float:
    """Give how thick an inlay's pieces must be in so many strips.

    t >= max s - min s + shell_left + proud
    """
    most = 0.0
    for at in dict.fromkeys(part.at for part in _of(laid, inlay)):
        whole = [affinity.translate(piece.region, -at[0], -at[1]) for part in _of(laid, inlay) if part.at == at
                 for piece in part.pieces if piece.inlay == inlay]  # fmt: skip
        parts = [each for each in shapely.get_parts(shapely.union_all(whole)) if each.geom_type == "Polygon"]
        for strip in strips_of(parts, count):
            most = max(most, falls_mm(laid.surface, affinity.translate(strip, *at)).between_mm)
    return most + inlay.shell_left_mm + inlay.proud_mm


def _of(laid: Laid, inlay: Inlay) -> list[InlayPart]:
    return [part for part in laid.inlays if any(piece.inlay == inlay for piece in part.pieces)]
