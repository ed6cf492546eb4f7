"""Drawings in DXF: closed lines, filled areas, and loose lines joined to loops, as figures in mm, y up.

The parts' names are the layers; what is off, frozen or invisible is not drawn.  Blocks are drawn where
they are inserted.  Of a layer's lines, one inside another is a hole; filled areas count for themselves.
"""

import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from pearlkerf.outlines.drawing import Drawing, Figure, Loop, Oddity, check_finite, closed_loop, mapped, refused
from pearlkerf.outlines.dxf_entities import Drawn, Unread, check_flat, drawn
from pearlkerf.outlines.joins import TooMany, joined
from pearlkerf.outlines.limits import CLOSED_MM, MOST_DEPTH, MOST_ENTITIES, MOST_FIGURES, MOST_SEGMENTS
from pearlkerf.outlines.segments import Affine, Segment

# $INSUNITS to mm (DXF reference, header variables); 0 is unitless.  An inch is 25.4 mm exactly
MM_OF_UNIT: Final = {
    1: 25.4,
    2: 304.8,
    4: 1.0,
    5: 10.0,
    6: 1000.0,
    8: 25.4e-6,
    9: 0.0254,
    10: 914.4,
    13: 0.001,
    14: 100.0,
}
# these draw nothing that could be an outline
ASIDE: Final = frozenset({"POINT", "DIMENSION", "LEADER", "MLEADER", "MULTILEADER", "VIEWPORT", "XLINE", "RAY"})
EXPLODE: Final = "explode it to lines and arcs in the drawing program"
TEXT: Final = ("text that is not turned into outlines", EXPLODE)
IMAGE: Final = ("an image, which has no outline", "trace it in the drawing program, and leave it out")
ODD: Final = {"TEXT": TEXT, "MTEXT": TEXT, "ATTRIB": TEXT, "ATTDEF": TEXT, "IMAGE": IMAGE}


def read_dxf(data: bytes, file: str) -> Drawing:
    """Read a drawing; raises Refusal with file, place and reason where it cannot be read."""
    document = _document(data, file)
    # ezdxf takes metres where the file says nothing
    unit = MM_OF_UNIT.get(document.header.get("$INSUNITS", 0)) if b"$INSUNITS" in data else None
    walk = _Walk(file, unit or 1.0, document.layers)
    for layer, place, of_entity in walk.entities(document.modelspace(), Affine()):
        walk.sort(layer, place, of_entity)
    by = Affine(a=unit or 1.0, d=unit or 1.0)
    figures = [*walk.filled]
    for layer, lines in walk.layers.items():
        figures += walk.figure(layer, lines)
    scaled = tuple(Figure(mapped(each.loops, by), each.rule, each.parts, each.place) for each in figures)
    return Drawing(file, scaled, unit is not None, tuple(walk.oddities))


def _document(data: bytes, file: str) -> Any:
    if data.startswith(b"AutoCAD Binary DXF"):
        raise refused(file, "", "it is a binary DXF", "save it as plain text DXF")
    if data.split()[-1:] != [b"EOF"]:
        last = data.count(b"\n") + 1
        raise refused(file, f"line {last}", "it does not end in EOF: it was cut off", "save the drawing again, whole")
    if sum(code.strip() == b"0" for code in data.split(b"\n")[::2]) > MOST_ENTITIES:
        raise refused(file, "", f"it has more than {MOST_ENTITIES} entities", "keep only what is to be cut")
    import ezdxf
    from ezdxf.lldxf.const import DXFError

    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")
    try:
        return ezdxf.read(io.StringIO(text, newline=None))
    except (DXFError, ValueError, LookupError, AttributeError, TypeError, ArithmeticError) as fault:
        found = f"it is no DXF that can be read ({str(fault)[:80]})"
        raise refused(file, "", found, "save it again, as DXF R2010") from None


@dataclass(slots=True)
class _Lines:
    """The lines of a layer: those that are closed, and loose pieces; the place of its first."""

    place: str
    closed: list[Loop] = field(default_factory=list)
    loose: list[Segment] = field(default_factory=list)


Found = tuple[str, str, Drawn | Oddity]  # layer, place, what is drawn


class _Walk:
    """A walk over what a drawing draws, blocks where they are inserted."""

    def __init__(self, file: str, unit_mm: float, layers: Any) -> None:
        self.file, self.unit_mm = file, unit_mm
        self.frozen = {layer.dxf.name.lower() for layer in layers if layer.is_frozen()}
        self.off = {layer.dxf.name.lower() for layer in layers if layer.is_off()}
        self.count, self.pieces = 0, 0
        self.layers: dict[str, _Lines] = {}
        self.filled: list[Figure] = []
        self.oddities: list[Oddity] = []

    def entities(self, entities: Iterable[Any], by: Affine, inside: str = "", depth: int = 0) -> Iterator[Found]:
        """Give what each entity draws as a map moves it; ``inside`` is the layer of the block's insert."""
        for entity in entities:
            kind, named = entity.dxftype(), str(entity.dxf.get("layer", "0"))
            layer = inside if inside and named == "0" else named
            place = f"layer {layer}, {kind} {entity.dxf.get('handle', '') or ''}".strip()
            self._bound(place)
            if kind in ASIDE or entity.dxf.get("invisible", 0) or self._is_hidden(layer.lower(), kind):
                continue
            if kind in ODD:
                yield layer, place, Oddity((layer,), place, *ODD[kind])
                continue
            try:
                if kind == "INSERT":
                    yield from self._inserted(entity, layer, (by, place), depth)
                else:
                    yield layer, place, self._lines(drawn(entity), by, place)
            except Unread as fault:
                yield layer, place, Oddity((layer,), place, str(fault), EXPLODE)

    def _is_hidden(self, layer: str, kind: str) -> bool:
        """Say whether a layer hides an entity: one that is off leaves what a block draws on others."""
        return layer in self.frozen or (layer in self.off and kind != "INSERT")

    def _bound(self, place: str) -> None:
        self.count += 1
        if self.count > MOST_FIGURES:
            found = f"it draws more than {MOST_FIGURES} entities, inserts counted each time"
            raise refused(self.file, place, found, "keep only what is to be cut")

    def _inserted(self, entity: Any, layer: str, at: tuple[Affine, str], depth: int) -> Iterator[Found]:
        from ezdxf.xclip import XClip

        by, place = at
        if depth >= MOST_DEPTH:
            found = f"blocks lie more than {MOST_DEPTH} deep in each other, or one holds itself"
            raise refused(self.file, place, found, "explode it in the drawing program")
        if entity.mcount > MOST_FIGURES:
            raise refused(self.file, place, f"a block is inserted {entity.mcount} times", "keep only what is to be cut")
        block = entity.block() if entity.dxf.get("name") else None
        if block is None or block.block.is_xref:
            found = f'it inserts the block "{str(entity.dxf.get("name", ""))[:40]}", which is not in this file'
            raise refused(self.file, place, found, "bind it in the drawing program")
        check_flat(entity)
        if XClip(entity).has_clipping_path:
            raise Unread("a clip cuts it")
        for each in entity.multi_insert() if entity.mcount > 1 else (entity,):
            self._bound(place)
            m = each.matrix44()
            moved = by @ Affine(m[0, 0], m[0, 1], m[1, 0], m[1, 1], m[3, 0], m[3, 1])
            yield from self.entities([*each.attribs, *block], moved, layer, depth + 1)

    def _lines(self, lines: Drawn, by: Affine, place: str) -> Drawn:
        moved = mapped((loop for loop in lines.loops if loop), by)
        self.pieces += sum(map(len, moved))
        if self.pieces > MOST_SEGMENTS:
            raise refused(self.file, place, f"it has more than {MOST_SEGMENTS} pieces", "simplify the drawing")
        check_finite(moved, self.file, place)
        return Drawn(moved, lines.closes, lines.fills)

    def sort(self, layer: str, place: str, found: Drawn | Oddity) -> None:
        """Put what an entity draws where it belongs: filled for itself, with its layer's lines, or aside."""
        if isinstance(found, Oddity):
            self.oddities.append(found)
            return
        lines = self.layers.setdefault(layer, _Lines(place))
        if not found.fills and not found.closes:
            lines.loose += (piece for loop in found.loops for piece in loop)
            return
        loops = []
        for line in found.loops:
            loop = closed_loop(line, self.unit_mm, found.closes)
            if loop is None:
                self.oddities.append(self._open(line, layer, place))
            elif loop:
                loops.append(loop)
        if found.fills and loops:
            self.filled.append(Figure(tuple(loops), "evenodd", (layer,), place))
        elif not found.fills:
            lines.closed += loops

    def figure(self, layer: str, lines: _Lines) -> list[Figure]:
        """Give the lines of a layer as one figure, its loose ones joined: none where there are no lines."""
        loops = list(lines.closed)
        try:
            for chain in joined(lines.loose, self.unit_mm):
                loop = closed_loop(chain, self.unit_mm, closes=False)
                if loop is None:
                    x, y = chain[0].start[0] * self.unit_mm, chain[0].start[1] * self.unit_mm
                    self.oddities.append(self._open(chain, layer, f"layer {layer}, from X {x:.3f} Y {y:.3f}"))
                elif loop:
                    loops.append(loop)
        except TooMany as fault:
            raise refused(self.file, f"layer {layer}", str(fault), "simplify the drawing") from None
        self._twice(loops, layer)
        return [Figure(tuple(loops), "evenodd", (layer,), lines.place)] if loops else []

    def _twice(self, loops: list[Loop], layer: str) -> None:
        """Note a line that lies on another: one inside the other, they would leave nothing."""
        seen: set[frozenset[tuple[float, ...]]] = set()
        for loop in loops:
            key = frozenset(
                (round(x * self.unit_mm / CLOSED_MM), round(y * self.unit_mm / CLOSED_MM))
                for piece in loop
                for x, y in piece.extremes()
            )
            if key in seen:
                x, y = (value * self.unit_mm for value in loop[0].start)
                place = f"layer {layer}, from X {x:.3f} Y {y:.3f}"
                self.oddities.append(Oddity((layer,), place, "a line is drawn twice", "delete one of the two"))
            seen.add(key)

    def _open(self, line: Loop, layer: str, place: str) -> Oddity:
        gap = ((line[0].start[0] - line[-1].end[0]) ** 2 + (line[0].start[1] - line[-1].end[1]) ** 2) ** 0.5
        found = f"a line is open by {gap * self.unit_mm:.3f} mm (at most {CLOSED_MM:g} mm)"
        return Oddity((layer,), place, found, "close it in the drawing program, or leave its layer out of parts")
