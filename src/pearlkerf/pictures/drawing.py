"""One flat middle form for everything drawn from layouts and setups: lines, circles, arcs and text in mm, by layer.

Every exporter (PDF, SVG, DXF) writes this list and computes nothing of its own.
X runs to the right and Y up, as in the face setup.
"""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
Layer = Literal[
    "outline",
    "binding",
    "blank",
    "centre-line",
    "frets",
    "slots",
    "face-dots",
    "face-dot-centres",
    "inlays",
    "inlay-numbers",
    "edge-strip",
    "fold",
    "side-dots",
    "side-dot-centres",
    "numbers",
    "notes",
    "title",
    "held",
    "wood",
    "cut-before",
    "cut-slots",
    "cut-holes",
    "zero",
    "dot-numbers",
    "names",
    "held-names",
    "room",
    "run-outs",
    "assembled",
    "of-pearl",
    "of-abalone",
    "of-bone",
    "of-light-wood",
    "of-dark-wood",
    "of-metal",
    "of-other",
    "leaders",
    "piece-numbers",
]

REPLACEMENT: Final = "\N{REPLACEMENT CHARACTER}"
MM_PER_INCH: Final = 25.4


@dataclass(frozen=True, slots=True)
class Pen:
    """How a layer's lines are drawn: width and dashes in mm (no dashes: a full line), how dark, on what ground.

    ``grey`` is 0 for black and 1 for white; a layer with a ``ground``, the paper's or a colour (#rrggbb), hides what
    lies under its paths and circles.
    """

    width_mm: float
    dashes_mm: tuple[float, ...] = ()
    grey: float = 0.0
    ground: str = ""


LAYOUT_PENS: Final[dict[Layer, Pen]] = {
    "outline": Pen(0.25),
    "binding": Pen(0.13),
    "blank": Pen(0.13, (3.0, 1.5)),
    "centre-line": Pen(0.08, (6.0, 1.0, 1.0, 1.0)),
    "frets": Pen(0.08),
    "slots": Pen(0.08),
    "face-dots": Pen(0.08),
    "face-dot-centres": Pen(0.1),
    "inlays": Pen(0.08),
    "inlay-numbers": Pen(0.1),
    "edge-strip": Pen(0.18),
    "fold": Pen(0.18, (2.0, 1.0)),
    "side-dots": Pen(0.08),
    "side-dot-centres": Pen(0.1),
    "numbers": Pen(0.1),
    "notes": Pen(0.1),
    "title": Pen(0.1),
}
"""Every layer of a layout at full size, in the order of drawing, with its pen."""

PENS: Final[dict[Layer, Pen]] = LAYOUT_PENS | {
    "held": Pen(0.13, (3.0, 1.5)),
    "wood": Pen(0.25, ground="paper"),
    "cut-before": Pen(0.25, grey=0.55),
    "cut-slots": Pen(0.1),
    "cut-holes": Pen(0.25),
    "zero": Pen(0.25),
    "dot-numbers": Pen(0.1),
    "names": Pen(0.1),
    "held-names": Pen(0.1),
    "room": Pen(0.13, (1.0, 0.8)),
    "run-outs": Pen(0.1),
    "assembled": Pen(0.2, ground="#d9c3a5"),
    "of-pearl": Pen(0.15, ground="#f6f8f4"),
    "of-abalone": Pen(0.15, ground="#8fbdb4"),
    "of-bone": Pen(0.15, ground="#f3e6c4"),
    "of-light-wood": Pen(0.15, ground="#f0cf8f"),
    "of-dark-wood": Pen(0.15, ground="#5f4332"),
    "of-metal": Pen(0.15, ground="#c9a227"),
    "of-other": Pen(0.15, ground="#b9b9c4"),
    "leaders": Pen(0.12, grey=0.3, ground="#000000"),
    "piece-numbers": Pen(0.1),
}
"""Every layer with its pen: those of a layout, and those of a setup in small."""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    layer: Layer
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class Path:
    """Straight lines from corner to corner, closed or open."""

    layer: Layer
    corners: tuple[Point, ...]
    ends: Literal["closed", "open"] = "closed"


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle."""

    layer: Layer
    centre: Point
    radius_mm: float


@dataclass(frozen=True, slots=True)
class Arc:
    """A part of a circle, counter-clockwise from ``start_deg`` to ``end_deg`` (the larger)."""

    layer: Layer
    centre: Point
    radius_mm: float
    start_deg: float
    end_deg: float


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text on its baseline, turned counter-clockwise; ``height_mm`` is that of a capital."""

    layer: Layer
    at: Point
    text: str
    height_mm: float
    anchor: Anchor = "start"
    angle_deg: float = 0.0


Thing = Line | Path | Circle | Arc | Text


@dataclass(frozen=True, slots=True)
class Drawing:
    """A title, the drawn things in the order of drawing, and what is to be seen, for those who hear it."""

    title: str
    things: tuple[Thing, ...]
    in_words: str = ""

    def of(self, layer: Layer) -> tuple[Thing, ...]:
        """Give the things of one layer, in order."""
        return tuple(thing for thing in self.things if thing.layer == layer)

    def without(self, layer: Layer) -> "Drawing":
        """Give the drawing without one of its layers."""
        return replace(self, things=tuple(thing for thing in self.things if thing.layer != layer))


def cross(layer: Layer, centre: Point, arm_mm: float) -> tuple[Line, Line]:
    """Give an upright cross of two lines that meet in ``centre``."""
    x, y = centre
    return Line(layer, (x - arm_mm, y), (x + arm_mm, y)), Line(layer, (x, y - arm_mm), (x, y + arm_mm))


def points_of(things: Iterable[Thing]) -> list[Point]:
    """Give points whose box holds the things (the lengths of texts left out)."""
    points: list[Point] = []
    for thing in things:
        match thing:
            case Line():
                points += [thing.start, thing.end]
            case Path():
                points += thing.corners
            case Circle() | Arc():
                (x, y), r = thing.centre, thing.radius_mm
                points += [(x - r, y - r), (x + r, y + r)]
            case Text():
                points.append(thing.at)
    return points


def plain(text: str) -> str:
    """Give text as one line that no file format takes for structure: each control or format sign is shown as U+FFFD.

    Letters are composed where Unicode has them composed, so that a typeface finds its glyph.

    >>> plain("Ebony\\n0\\u202eEOF \\ud800") == "Ebony\\ufffd0\\ufffdEOF \\ufffd"
    True
    """
    composed = unicodedata.normalize("NFC", text)
    hidden = {"Cc", "Cf", "Cs", "Cn", "Zl", "Zp"}
    return "".join(REPLACEMENT if unicodedata.category(sign) in hidden else sign for sign in composed)
