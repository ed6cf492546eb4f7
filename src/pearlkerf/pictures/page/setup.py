"""The setup picture: how the board lies, where zero is, what is up; side dots as the player sees them.

Static SVG, drawn true along the board; an edge is drawn taller than it is, and says so.
"""

from html import escape
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from pearlkerf.layout.features import Feature, Hole, Slot
from pearlkerf.pictures.held import Held, held
from pearlkerf.pictures.labels import is_scrap, labels
from pearlkerf.setups.model import Setup

# the drawing's width and its margins, in drawing units; the board is scaled to what is left
WIDE: Final = 760.0
LEFT, RIGHT, ABOVE, BELOW = 66.0, 66.0, 46.0, 66.0
# above this stands a picture's heading
HEADING: Final = 24.0
# a strip thinner than this is drawn taller than it is
LEAST_TALL: Final = 46.0
UP: Final = {"face": "playing face up", "edge": "bass edge up"}
# what is cut already is drawn this faintly
FAINT: Final = "0.3"
OTHER_SIDE: Final = {
    "glue face": "playing face",
    "playing face": "glue face",
    "bass side": "treble side",
    "treble side": "bass side",
    "near edge": "far edge",
}


class _Frame:
    """From millimetres on the machine to drawing units; Y grows upward on the machine, downward here."""

    def __init__(self, outline: NDArray[np.float64], turned: float = 1.0) -> None:
        low, high = outline.min(axis=0), outline.max(axis=0)
        self.scale = (WIDE - LEFT - RIGHT) / max(float(high[0] - low[0]), 1e-9)
        self.taller = max(1.0, round(LEAST_TALL / max(float(high[1] - low[1]) * self.scale, 1e-9)))
        self.turned = turned
        self.corner = (float(low[0]), float(high[1])) if turned > 0 else (float(high[0]), float(low[1]))
        self.tall = float(high[1] - low[1]) * self.scale * self.taller
        self.height = self.tall + ABOVE + BELOW

    def at(self, x: float, y: float) -> tuple[float, float]:
        across = LEFT + (x - self.corner[0]) * self.scale * self.turned
        return across, ABOVE + (self.corner[1] - y) * self.scale * self.taller * self.turned

    def of(self, across: float, down: float) -> tuple[float, float]:
        """Undo ``at``, where nothing is turned."""
        x = self.corner[0] + (across - LEFT) / self.scale
        return x, self.corner[1] - (down - ABOVE) / (self.scale * self.taller)


def setup_picture(setup: Setup) -> str:
    """Draw how the board lies on the machine, seen from above, the operator below: one SVG element."""
    outline = setup.placement.to_machine(setup.stock.outline)
    frame = _Frame(outline)
    far = OTHER_SIDE.get(setup.low_side, "far side")
    up = setup.up or UP.get(setup.kind, "its flat side up")
    marks = [
        _boxes(frame, setup, "under"),
        _board(frame, outline, setup),
        _boxes(frame, setup, "over"),
        _zero(frame),
        _text(LEFT, 18, f"{setup.name} setup, from above: {up}", "strong"),
        _text(LEFT - 12, ABOVE + frame.tall / 2 + 4, setup.ends[0], "end", "end"),
        _text(WIDE - RIGHT + 12, ABOVE + frame.tall / 2 + 4, setup.ends[1], "end"),
        _text(WIDE - RIGHT, ABOVE - (20 if is_scrap(setup) else 8), far, "side", "end"),
        _text(WIDE - RIGHT, ABOVE + frame.tall + 36, setup.low_side, "side", "end"),
        _text(WIDE / 2, frame.height - 10, "the operator stands here", "side", "middle"),
        _exaggeration(frame),
    ]
    end = "its left end" if is_scrap(setup) else setup.ends[0]
    label = f"{setup.name} setup from above: {up}, {end} at the left, {setup.low_side} toward the operator"
    return _svg(frame, label, marks)


def players_view(setup: Setup) -> str:
    """Draw the side dots as the player looks down on them, the playing face away; empty for other setups.

    On a right-handed board this is the machine's view; on a left-handed one the machine's view by half a turn.
    """
    if is_scrap(setup) or not any(feature.group == "side dots" for feature in setup.features):
        return ""
    outline = setup.placement.to_machine(setup.stock.outline)
    right = setup.low_side == "glue face"
    frame = _Frame(outline, 1.0 if right else -1.0)
    near, far = ("nut", "bridge") if right else ("bridge", "nut")
    marks = [
        _board(frame, outline, setup),
        _text(LEFT, 18, "what the player sees, looking down on the neck", "strong"),
        _text(LEFT - 12, ABOVE + frame.tall / 2 + 4, near, "end", "end"),
        _text(WIDE - RIGHT + 12, ABOVE + frame.tall / 2 + 4, far, "end"),
        _text(WIDE - RIGHT, ABOVE - 8, "playing face", "side", "end"),
        _text(WIDE - RIGHT, ABOVE + frame.tall + 36, "glue face, against the player", "side", "end"),
        _exaggeration(frame),
    ]
    hand = "right" if right else "left"
    return _svg(frame, f"Side dots as a {hand}-handed player sees them, {near} at the left", marks)


def _svg(frame: _Frame, label: str, marks: list[str]) -> str:
    head = f'<svg class="sketch" viewBox="0 0 {WIDE:.0f} {frame.height:.0f}" role="img" aria-label="{escape(label)}">'
    return head + "".join(marks) + "</svg>"


def _board(frame: _Frame, outline: NDArray[np.float64], setup: Setup) -> str:
    corners = " ".join("{:.1f},{:.1f}".format(*frame.at(*corner)) for corner in outline.tolist())
    parts = [f'<polygon class="wood" points="{corners}"/>', _features(frame, setup, setup.features)]
    if setup.cut_before:
        parts.insert(1, f'<g opacity="{FAINT}">{_features(frame, setup, setup.cut_before)}</g>')
    return "".join(parts) + _numbers(frame, setup)


def _boxes(frame: _Frame, setup: Setup, where: Literal["under", "over"]) -> str:
    """Draw what holds the wood, as far as there is room for it; what stays below its top lies under it."""
    parts = []
    for box in held(setup, (frame.of(0.0, HEADING), frame.of(WIDE, frame.height))):
        if box.over == (where == "over"):
            corners = " ".join("{:.1f},{:.1f}".format(*frame.at(*corner)) for corner in box.corners)
            parts.append(f'<polygon class="box" points="{corners}"><title>{escape(box.name)}</title></polygon>')
            parts.append(_box_name(frame, box))
    return "".join(parts)


def _box_name(frame: _Frame, box: Held) -> str:
    """Name a box in its middle, beside the board's ends along its far side, clear of zero and of the ends' names."""
    (left, low), (right, high), (x, y) = frame.at(*box.low), frame.at(*box.high), frame.at(*box.middle)
    if x < LEFT:
        return _text(left + 3, high + 12, box.name, "box-name")
    if x > WIDE - RIGHT:
        return _text(right - 3, high + 12, box.name, "box-name", "end")
    return _text(x, min(y + 4, low - 3), box.name, "box-name", "middle")


def _features(frame: _Frame, setup: Setup, features: tuple[Feature, ...]) -> str:
    return "".join(
        _slot(frame, each, setup) if isinstance(each, Slot) else _hole(frame, each, setup) for each in features
    )


def _slot(frame: _Frame, slot: Slot, setup: Setup) -> str:
    ends = setup.placement.to_machine([slot.start, slot.end]).tolist()
    (x1, y1), (x2, y2) = (frame.at(*end) for end in ends)
    return f'<line class="slot" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"/>'


def _hole(frame: _Frame, hole: Hole, setup: Setup) -> str:
    x, y = frame.at(*setup.placement.to_machine(hole.centre).tolist())
    return f'<circle class="dot" cx="{x:.1f}" cy="{y:.1f}" r="{max(2.0, hole.diameter_mm / 2 * frame.scale):.1f}"/>'


def _numbers(frame: _Frame, setup: Setup) -> str:
    """Number the dots by their frets, or, where there are none, the slots, once for each number; label scrap's all."""
    if is_scrap(setup):
        marked = [(text, frame.at(*place)) for text, place in labels(setup)]
        return "".join(_text(x, y - 5, text, "number", "middle") for text, (x, y) in marked)
    holes = [each for each in setup.features if isinstance(each, Hole)]
    slots = [each for each in setup.features if isinstance(each, Slot) and each.group != "trims"]
    placed: dict[int, float] = {}
    for each in holes or slots:
        middle = each.centre if isinstance(each, Hole) else each.start
        x, _ = frame.at(*setup.placement.to_machine(middle).tolist())
        placed[each.number] = (placed[each.number] + x) / 2 if each.number in placed else x
    below = ABOVE + frame.tall + 18
    return "".join(_text(x, below, str(number), "number", "middle") for number, x in placed.items())


def _zero(frame: _Frame) -> str:
    """Mark where X and Y are zero, with the way both axes grow."""
    x, y = frame.at(0.0, 0.0)
    return (
        f'<g class="zero"><circle cx="{x:.1f}" cy="{y:.1f}" r="6"/>'
        f'<path d="M{x - 10:.1f},{y:.1f}h20M{x:.1f},{y - 10:.1f}v20"/>'
        f'<path class="axis" d="M{x:.1f},{y:.1f}h44m-6,-4l6,4l-6,4"/>'
        f'<path class="axis" d="M{x:.1f},{y:.1f}v-44m-4,6l4,-6l4,6"/></g>'
        + _text(x + 48, y - 6, "X", "axis-name")
        + _text(x + 6, y - 46, "Y", "axis-name")
        + _text(x - 12, y + 22, "X0 Y0", "axis-name", "end")
    )


def _exaggeration(frame: _Frame) -> str:
    if frame.taller == 1.0:
        return ""
    return _text(LEFT, frame.height - 10, f"drawn {frame.taller:.0f} times as thick as it is", "side")


def _text(x: float, y: float, words: str, kind: str, anchor: str = "start") -> str:
    return f'<text class="{kind}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'
