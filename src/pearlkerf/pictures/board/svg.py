"""A picture of a board as SVG for a page: a group for each part, whose classes and data the page's own style uses."""

from collections.abc import Mapping
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from pearlkerf.pictures.board.model import Part, Picture
from pearlkerf.pictures.drawing import Circle, Path, points_of
from pearlkerf.pictures.svg import PAGE, element, number, ways

RING_PX: Final = 14.0


def picture_svg(picture: Picture, marked: Mapping[str, str]) -> str:
    """Write a picture; ``marked`` gives what is told of cuts by their names: "wrong" or "doubtful".

    What is marked has a ring round it too, so that no meaning is in a colour alone.
    """
    (left, low), (right, high) = picture.low, picture.high
    wide, tall = right - left, high - low
    box = f"{number(left, PAGE)} {number(-high, PAGE)} {number(wide, PAGE)} {number(tall, PAGE)}"
    size = f'width="{number(wide * picture.px_a_mm, PAGE)}" height="{number(tall * picture.px_a_mm, PAGE)}"'
    words = escape(picture.in_words)
    parts = [_group(part, marked) for part in picture.parts]
    rings = [ring for part in picture.parts if part.name in marked for ring in _ring(part, picture, marked)]
    head = f'<svg xmlns="http://www.w3.org/2000/svg" class="picture {picture.name}" viewBox="{box}" {size} role="img">'
    return "".join([head, f"<title>{words}</title>", *parts, *rings, "</svg>"])


def _group(part: Part, marked: Mapping[str, str]) -> str:
    data = {"table": part.table, "name": part.name, "figure": part.figure, "told": marked.get(part.name, "")}
    said = "".join(f" data-{name}={quoteattr(value)}" for name, value in data.items() if value)
    return f'<g class="{part.layer}"{said}>{"".join(_elements(part))}</g>'


def _elements(part: Part) -> list[str]:
    """Write the things of a part; of a pocket with islands one path, in which these are holes."""
    rings = [thing for thing in part.things if isinstance(thing, Path) and thing.ends == "closed"]
    if part.layer != "pockets" or len(rings) < len(("wall", "island")) or len(rings) < len(part.things):
        return [element(thing, PAGE) for thing in part.things]
    return [f'<path fill-rule="evenodd" d="{ways(ring.corners for ring in rings)}"/>']


def _ring(part: Part, picture: Picture, marked: Mapping[str, str]) -> list[str]:
    """Give a ring for what is wrong, a triangle for what is doubtful, round the part's middle."""
    points = points_of(part.things)
    if not points or part.layer in ("numbers", "centres"):
        return []
    x = (min(px for px, _ in points) + max(px for px, _ in points)) / 2
    y = (min(py for _, py in points) + max(py for _, py in points)) / 2
    size = RING_PX / picture.px_a_mm
    if marked[part.name] == "wrong":
        thing: Circle | Path = Circle("notes", (x, y), size)
    else:
        thing = Path("notes", ((x, y + size * 1.2), (x - size, y - size * 0.7), (x + size, y - size * 0.7)))
    return [f'<g class="told {marked[part.name]}" aria-hidden="true">{element(thing, PAGE)}</g>']
