"""Drawings in SVG: every element that is drawn and closed, as figures in mm, y up.

bytes -> elements (defusedxml, each with its line) -> a walk over groups, uses and nested pictures
-> loops of segments -> figures.  What an outline cannot be made of (text, images, clips) is an oddity of
its part: it is refused where that part is asked for.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any, Final

from pearlkerf.outlines.drawing import (
    Drawing,
    Figure,
    FillRule,
    Loop,
    Oddity,
    check_finite,
    closed_loop,
    mapped,
    refused,
)
from pearlkerf.outlines.limits import CLOSED_MM, MOST_DEPTH, MOST_ELEMENTS, MOST_FIGURES, MOST_SEGMENTS
from pearlkerf.outlines.segments import Affine, Point
from pearlkerf.outlines.svg_elements import LINE, SHAPES, Element, subpaths
from pearlkerf.outlines.svg_style import Style, Styles, cut_or_moved
from pearlkerf.outlines.svg_values import MM_PER_PX, PHYSICAL, PX, Box, fit, split_length, transform, view_box

SVG: Final = "{http://www.w3.org/2000/svg}"
HREFS: Final = ("href", "{http://www.w3.org/1999/xlink}href")
GROUPS: Final = frozenset({"g", "a"})
# they draw nothing where they stand
ASIDE: Final = frozenset(
    [
        "defs",
        "title",
        "desc",
        "metadata",
        "style",
        "script",
        "symbol",
        "clipPath",
        "mask",
        "marker",
        "pattern",
        "filter",
        "linearGradient",
        "radialGradient",
        "view",
        "cursor",
        "font",
        "font-face",
        "color-profile",
    ]
)
ODD: Final = {
    "text": ("text that is not turned into outlines", "turn text into paths in the drawing program"),
    "image": ("an image, which has no outline", "trace it in a drawing program, and leave it out"),
    "foreignObject": ("foreign content, which has no outline", "leave it out"),
    "switch": ("a switch, which draws what a reader likes", "save as plain SVG"),
}
# an element with one of these is drawn for some readers only (SVG 2, section 5.9)
CONDITIONS: Final = ("systemLanguage", "requiredExtensions", "requiredFeatures")
USUAL_PORT: Final = Box(0.0, 0.0, 300.0, 150.0)  # CSS 2.1, section 10.3.2: where nothing says a size


def read_svg(data: bytes, file: str) -> Drawing:
    """Read a drawing; raises Refusal with file, place and reason where it cannot be read."""
    root = _parse(data, file)
    top = Element(file, root)
    if root.tag not in (f"{SVG}svg", "svg"):
        raise refused(file, "", f"its first element is {top.name}, not svg", "save it as SVG")
    port, by, has_size = page_of(top)
    drawn: list[Figure] = []
    oddities: list[Oddity] = []
    walk = _Walk(file, root)
    style = walk.style(top, {})
    odd = cut_or_moved(style) or (
        ("a transform moves it", "put it on a group inside") if top.text("transform") else None
    )
    if odd is not None:
        raise top.refused(*odd)
    for found in walk.inside(top, _State(by @ picture(top, port), view(top, port), style)):
        if isinstance(found, Oddity):
            oddities.append(found)
        else:
            drawn.append(found)
    return Drawing(file, tuple(drawn), has_size, tuple(oddities))


def _parse(data: bytes, file: str) -> Any:
    from xml.etree.ElementTree import ParseError

    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import DefusedXMLParser

    class WithLines(DefusedXMLParser):
        """Notes the line of every element; counts them, and how deep they lie."""

        count = depth = 0

        def _start(self, tag: str, attributes: list[str]) -> Any:
            line = str(self.parser.CurrentLineNumber)
            self.count, self.depth = self.count + 1, self.depth + 1
            if self.depth > MOST_DEPTH:
                raise refused(file, f"line {line}", f"elements lie more than {MOST_DEPTH} deep", "ungroup them")
            if self.count > MOST_ELEMENTS:
                raise refused(
                    file, f"line {line}", f"it has more than {MOST_ELEMENTS} elements", "simplify the drawing"
                )
            return super()._start(tag, [*attributes, LINE, line])  # type: ignore[misc]

        def _end(self, tag: str) -> Any:
            self.depth -= 1
            return super()._end(tag)  # type: ignore[misc]

    if b"<?xml-stylesheet" in data:
        raise refused(file, "xml-stylesheet", "its styles stand in another file", "save as plain SVG")
    parser = WithLines()
    try:
        parser.feed(data)
        return parser.close()
    except ParseError as fault:
        line, column = fault.position
        raise refused(
            file,
            f"line {line}, column {column + 1}",
            f"it is no well-formed XML ({str(fault).partition(':')[0]})",
            "save the drawing again, whole",
        ) from None
    except DefusedXmlException:
        raise refused(file, "", "it defines entities, which can grow without end", "save as plain SVG") from None
    except (ValueError, LookupError) as fault:
        raise refused(file, "", f"it cannot be decoded ({fault})", "save it in UTF-8") from None


@dataclass(frozen=True, slots=True)
class _State:
    """What an element takes from those around it."""

    by: Affine
    port: Box
    style: Style = field(default_factory=dict)
    parts: tuple[str, ...] = ()
    depth: int = 0

    @property
    def unit_mm(self) -> float:
        """How long a unit is here, mm."""
        return math.sqrt(abs(self.by.a * self.by.d - self.by.b * self.by.c))


@dataclass(slots=True)
class _Count:
    """How much was drawn; a hostile file draws without end."""

    elements: int = 0
    segments: int = 0


class _Walk:
    """A walk over what a drawing draws."""

    def __init__(self, file: str, root: Any) -> None:
        self.file, self.count = file, _Count()
        self.space = str(root.tag).removesuffix("svg")
        self.by_id = {each.get("id"): each for each in reversed(list(root.iter())) if each.get("id")}
        sheets = ["".join(each.itertext()) for each in root.iter() if str(each.tag).rpartition("}")[2] == "style"]
        try:
            self.styles = Styles(root, [sheet for sheet in sheets if sheet.strip()])
        except ValueError as fault:
            raise refused(file, "style", str(fault), "save as plain SVG, styles as attributes") from None

    def style(self, element: Element, inherited: Style) -> Style:
        """Give what is asked of an element's style; refuses words that are not CSS's."""
        try:
            return self.styles.of(element.xml, inherited)
        except ValueError as fault:
            raise element.refused(str(fault), "save as plain SVG") from None

    def inside(self, element: Element, state: _State) -> Iterator[Figure | Oddity]:
        """Give what the children of an element draw."""
        for child in element.xml:
            if isinstance(child.tag, str) and child.tag.startswith(self.space):
                yield from self.drawn(Element(self.file, child), state)

    def drawn(self, element: Element, state: _State) -> Iterator[Figure | Oddity]:
        """Give what an element draws where it stands."""
        if element.name in ASIDE:
            return
        self._bound(element, state)
        style = self.style(element, state.style)
        if style.get("display") == "none":
            return
        state = _entered(element, state, style)
        odd = cut_or_moved(style) or _conditional(element)
        shown = style.get("visibility", "visible") == "visible"
        if odd:
            yield Oddity(state.parts, element.place, *odd)
        elif element.name in GROUPS:
            yield from self.inside(element, state)
        elif element.name == "svg":
            yield from self._nested(element, state, element.box(state.port, state.port.width, state.port.height))
        elif element.name == "use":
            yield from self._used(element, state)
        elif element.name in ODD:
            yield from (Oddity(state.parts, element.place, *ODD[element.name]),) if shown else ()
        elif element.name not in SHAPES:
            raise element.refused(f"the element {element.name} is not read here", "save as plain SVG")
        elif shown:
            yield from self._shape(element, state)

    def _bound(self, element: Element, state: _State) -> None:
        self.count.elements += 1
        if self.count.elements > MOST_FIGURES:
            found = f"it draws more than {MOST_FIGURES} elements, uses counted each time"
            raise element.refused(found, "keep only what is to be cut")
        if state.depth > MOST_DEPTH:
            found = f"groups and uses lie more than {MOST_DEPTH} deep in each other, or a use draws itself"
            raise element.refused(found, "ungroup it")

    def _nested(self, element: Element, state: _State, port: Box) -> Iterator[Figure | Oddity]:
        if port.width == 0 or port.height == 0:
            return
        shown = state.style.get("overflow") in ("visible", "auto")
        inner = replace(state, by=state.by @ picture(element, port), port=view(element, port))
        for found in self.inside(element, inner):
            if isinstance(found, Figure) and not shown and _reaches_out(found, port, state.by):
                hint = "move it inside, or take it out of the picture within the picture"
                yield Oddity(found.parts, found.place, f"the edge of {element.place} cuts it", hint)
            else:
                yield found

    def _used(self, element: Element, state: _State) -> Iterator[Figure | Oddity]:
        link = next((element.text(name) for name in HREFS if element.text(name)), "")
        found = self.by_id.get(link[1:]) if link.startswith("#") else None
        if found is None:
            raise element.refused(f'it uses "{link[:60]}", which is not in this file', "save as plain SVG")
        target = Element(self.file, found)
        state = replace(
            state,
            by=state.by @ Affine(e=element.size("x", state.port.width), f=element.size("y", state.port.height)),
        )
        if target.name not in ("svg", "symbol"):
            yield from self.drawn(target, state)
            return
        self._bound(target, state)
        style = self.style(target, state.style)
        if style.get("display") == "none":
            return
        state = _entered(target, state, style)
        odd = cut_or_moved(style) or _conditional(target)
        if odd:
            yield Oddity(state.parts, target.place, *odd)
            return
        port = target.box(state.port, state.port.width, state.port.height)
        width = element.span("width", state.port.width, port.width)
        height = element.span("height", state.port.height, port.height)
        yield from self._nested(target, state, replace(port, width=width, height=height))

    def _shape(self, element: Element, state: _State) -> Iterator[Figure | Oddity]:
        loops: list[Loop] = []
        for number, (pieces, closes) in enumerate(subpaths(element, state.port), 1):
            self.count.segments += len(pieces)
            if self.count.segments > MOST_SEGMENTS:
                raise element.refused(f"it has more than {MOST_SEGMENTS} pieces", "simplify the drawing")
            loop = closed_loop(pieces, state.unit_mm, closes)
            if loop is None:
                gap = math.dist(pieces[0].start, pieces[-1].end) * state.unit_mm
                found = f"its line {number} is open by {gap:.3f} mm (at most {CLOSED_MM:g} mm)"
                hint = "close it in the drawing program, or leave it out of parts"
                yield Oddity(state.parts, element.place, found, hint)
            elif loop:
                loops.append(loop)
        if loops:
            rule: FillRule = "evenodd" if state.style.get("fill-rule") == "evenodd" else "nonzero"
            moved = mapped(loops, state.by)
            check_finite(moved, self.file, element.place)
            yield Figure(moved, rule, state.parts, element.place)


def _entered(element: Element, state: _State, style: Style) -> _State:
    """Give the state inside an element."""
    by = state.by @ element.value("transform", transform, Affine())
    parts = (*state.parts, element.identity) if element.identity else state.parts
    return replace(state, by=by, style=style, parts=parts, depth=state.depth + 1)


def _conditional(element: Element) -> tuple[str, str] | None:
    """Say that an element is drawn on a condition, with a hint; None where it is drawn for everyone."""
    said = next((name for name in CONDITIONS if name in element.xml.attrib), None)
    return None if said is None else (f"{said}: it is drawn for some readers only", "save as plain SVG")


def _reaches_out(figure: Figure, port: Box, by: Affine) -> bool:
    """Say whether a figure leaves a viewport, which a map has laid where it is."""
    back = by.inverse()
    if back is None:
        return False
    ends: list[Point] = [end for loop in mapped(figure.loops, back) for piece in loop for end in piece.extremes()]
    slack = CLOSED_MM / math.sqrt(abs(by.a * by.d - by.b * by.c))
    return any(
        not (port.x - slack <= x <= port.x + port.width + slack and port.y - slack <= y <= port.y + port.height + slack)
        for x, y in ends
    )


def page_of(root: Element) -> tuple[Box, Affine, bool]:
    """Give the root's viewport in px, the map from px to mm with y up, and whether its size is physical."""
    box = None if not root.text("viewBox").strip() else root.value("viewBox", view_box, USUAL_PORT)
    sides: dict[str, float] = {}
    physical = False
    for side in ("width", "height"):
        number, unit = root.value(side, split_length, (100.0, "%"))
        if unit == "%":
            continue
        if number <= 0:
            raise root.refused(f"{side} is {number:g}", "give the picture a size")
        sides[side] = number * PX[unit]
        physical |= unit in PHYSICAL
    usual = USUAL_PORT if box is None else box
    ratio = usual.width / usual.height
    if box is not None and len(sides) == 1:
        sides.setdefault("width", sides.get("height", 0.0) * ratio)
        sides.setdefault("height", sides["width"] / ratio)
    port = Box(0.0, 0.0, sides.get("width", usual.width), sides.get("height", usual.height))
    return port, Affine(a=MM_PER_PX, d=-MM_PER_PX), physical


def view(element: Element, port: Box) -> Box:
    """Give what lies in an svg's or a symbol's viewport, in its own axes: its view box, or all of it."""
    return element.value("viewBox", view_box, Box(0.0, 0.0, port.width, port.height))


def picture(element: Element, port: Box) -> Affine:
    """Give the map from an svg's or a symbol's own axes into those around it."""
    box = view(element, port)
    return element.value("preserveAspectRatio", lambda text: fit(box, port, text), fit(box, port, ""))
