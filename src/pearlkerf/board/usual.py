"""Which figures of a board are usual: beside them one is doubted, far beside them refused, unless it is meant.

The ranges and the reasons are common practice, no source: the memory of two makers, none is a standard.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf, isinf
from typing import Any, Final

from pearlkerf.board.model import Board
from pearlkerf.errors import Problem
from pearlkerf.files.lengths import Unit
from pearlkerf.files.toml_values import mm_text

ROUNDING_MM: Final = 1e-9  # of a bound in inches, held as mm
Bounds = tuple[float, float]
Figures = Callable[[Any], Sequence[float]]


@dataclass(frozen=True, slots=True)
class Usual:
    """One figure of a board file: where to find it, mm, what is usual, what is possible, and why it is asked.

    Outside ``usual`` it is doubted, outside ``possible`` refused; both bounds are allowed.  ``small`` and
    ``large`` say what a figure below or above is mostly mistaken for, or what comes of it.  ``of`` gives the
    figures of a board, or of one of its inlays, whose key then stands in many places and is one word of ``unusual``.
    """

    key: str
    what: str
    of: Figures
    usual: Bounds
    possible: Bounds
    small: str
    large: str


@dataclass(frozen=True, slots=True)
class Doubts:
    """What is wrong with a board's figures, and what is only doubtful, each at its key."""

    refused: tuple[Problem, ...] = ()
    doubtful: tuple[Problem, ...] = ()

    def and_then(self, others: "Doubts") -> "Doubts":
        """Add others; of a key that is refused already nothing more is told, of one that is doubted no doubt."""
        refused = {each.key for each in self.refused}
        more = tuple(each for each in others.refused if each.key not in refused)
        keys = {each.key for each in (*self.refused, *self.doubtful, *more)}
        doubtful = tuple(each for each in others.doubtful if each.key not in keys)
        return Doubts((*self.refused, *more), (*self.doubtful, *doubtful))


def _of(table: str, *names: str) -> Figures:
    """Give the figures of a table that may be left out."""

    def figures(board: Board) -> Sequence[float]:
        part = getattr(board, table)
        return () if part is None else tuple(getattr(part, name) for name in names)

    return figures


def _slot_mm(board: Board) -> Sequence[float]:
    return () if board.fret_slots is None else (board.fret_slots.width_mm + board.fret_slots.fit_mm,)


def _stopped_mm(board: Board) -> Sequence[float]:
    slots = board.fret_slots
    return (slots.margin_mm,) if slots and slots.ends == "stopped" else ()


def _radii_mm(board: Board) -> Sequence[float]:
    return tuple(radius for radius in (board.radius.nut_mm, board.radius.end_mm) if not isinf(radius))


FIT: Final = ((-0.05, 0.1), (-0.2, 0.2))
TIGHT: Final = "shell that is pressed in so tightly breaks; a coupon tells the fit"
LOOSE: Final = "so wide a gap shows as a ring of glue; a coupon tells the fit"
SHALLOW: Final = "the tang meets the floor before the crown is seated"
FIGURES: Final = (
    Usual("scale.length", "a scale length", lambda board: board.scale.lengths_mm, (300, 900), (200, 1100),
          "the scale is twice the distance from the nut to fret 12",
          "the scale ends at the saddle, it is twice the distance from the nut to fret 12"),
    Usual("board.nut_width", "a board at the nut", lambda board: (board.nut_width_mm,), (26, 60), (20, 110),
          "the width is measured from edge to edge, not between the outer strings",
          "few necks are so wide; look whether the unit is right"),
    Usual("board.end_width", "a widening from the nut to the far end",
          lambda board: (board.end_width_mm - board.nut_width_mm,), (0, 25), (0, 35),
          "a board is narrower at the nut than at its far end; look whether the two are changed about",
          "the width is measured from edge to edge at the board's own end, not at the bridge"),
    Usual("board.thickness", "a blank", lambda board: (board.thickness_mm,), (4, 9.5), (3, 13),
          "little wood is left below the slots", "it is the blank's thickness at the crown, without the neck"),
    Usual("board.radius", "a radius", _radii_mm, (180, 510), (120, 1000),
          "so round a face hardly lets a string be bent; a radius is not a diameter, nor a width",
          "so large a radius is all but flat, then write \"flat\"; look whether the unit is right"),
    Usual("board.crown_allowance", "what comes off the crown", lambda board: (board.crown_allowance_mm,), (0.1, 0.5),
          (0, 1), "nothing is left to level the face with", "so much is not sanded off, a blank is planed first"),
    Usual("fret_slots.width", "a slot", _slot_mm, (0.5, 0.66), (0.4, 0.8),
          "a tang spreads so narrow a slot, and twenty of them bend the neck back",
          "no tang holds in it: measure the bare tang, neither the crown on top of it nor its barbs"),
    Usual("fret_slots.depth", "a slot's depth", _of("fret_slots", "depth_mm"), (1.4, 2.6), (1.1, 3.5),
          SHALLOW, "wood is lost that carries the neck; a tang is 1.3 to 2.1 mm deep, a slot 0.3 to 0.5 mm more"),
    Usual("fret_slots.margin", "wood beside a stopped slot", _stopped_mm, (1, 3), (0.6, inf),
          "so thin a wall breaks out when the fret is pressed", "the fret's end has no slot below it"),
    Usual("face_dots.diameter", "a face dot", _of("face_dots", "diameter_mm"), (3, 8), (2, 13),
          "it is the diameter, not the radius; face dots are mostly 4 to 6 mm", "face dots are mostly 4 to 6 mm"),
    Usual("face_dots.thickness", "shell", _of("face_dots", "thinnest_mm", "thickest_mm"), (1, 2), (0.6, 3.5),
          "nothing of it is left after levelling", "it is the thickness of the dot, not its diameter"),
    Usual("face_dots.proud", "a dot's stand above the face", _of("face_dots", "proud_mm"), (0.05, 0.4), (0, 0.8),
          "a dot that sits a hair low stays a hole", "so much shell is sanded away, with the wood beside it"),
    Usual("face_dots.shell_left", "shell that is left", _of("face_dots", "shell_left_mm"), (0.3, 0.8), (0.2, inf),
          "so thin a dot lets the wood shine through, and breaks", "dots are mostly too thin for so much"),
    Usual("face_dots.fit", "a fit", _of("face_dots", "fit_mm"), *FIT, TIGHT, LOOSE),
    Usual("side_dots.diameter", "a side dot", _of("side_dots", "diameter_mm"), (1.5, 3), (1, 4),
          "it is the diameter, not the radius; side dots are mostly 2 mm", "side dots are mostly 2 mm"),
    Usual("side_dots.depth", "a side dot's depth", _of("side_dots", "depth_mm"), (2, 4), (1, 6),
          "a short piece of rod falls out", "so deep a hole leads a thin drill astray"),
    Usual("side_dots.fit", "a fit", _of("side_dots", "fit_mm"), *FIT, TIGHT, LOOSE),
    Usual("fret_slots.fit", "a fit", _of("fret_slots", "fit_mm"), *FIT,
          "a tang spreads so narrow a slot; a coupon tells the fit", "no tang holds in it; a coupon tells the fit"),
    Usual("binding.thickness", "a binding", _of("binding", "thickness_mm"), (1, 2.5), (0.4, 4),
          "so thin a strip is scraped through", "it is the strip's thickness, not its height"),
)  # fmt: skip
INLAY_FIGURES: Final = (
    Usual("inlay.thickness", "an inlay's thickness", lambda inlay: inlay.thickness_mm or (), (1, 2), (0.6, 3.5),
          "nothing of it is left after levelling", "it is the thickness of the pieces, not their size"),
    Usual("inlay.proud", "a piece's stand above the face", lambda inlay: (inlay.proud_mm,), (0.05, 0.4), (0, 0.8),
          "a piece that sits a hair low stays a hole", "so much shell is sanded away, with the wood beside it"),
    Usual("inlay.shell_left", "shell that is left", lambda inlay: (inlay.shell_left_mm,), (0.3, 0.8), (0.2, inf),
          "so thin a piece lets the wood shine through, and breaks", "pieces are mostly too thin for so much"),
    Usual("inlay.gap", "a gap on each side", lambda inlay: (inlay.gap_mm,), (0.03, 0.08), (0.01, 0.2),
          "a piece that is pressed in so tightly breaks; it counts on each side", "so wide a gap shows as a line of "
          "glue; it counts on each side, and twice in all"),
)  # fmt: skip
# keys of no figure whose doubt is silenced too
WORDS: Final = ("fret_slots.floor",)
KEYS: Final = (*(each.key for each in (*FIGURES, *INLAY_FIGURES)), *WORDS)


def doubts(board: Board, unit: Unit | None) -> Doubts:
    """Hold every figure of a board against what is usual; those that it names as ``unusual`` are meant so."""
    return held_against([each for each in FIGURES if each.key not in board.unusual], board, unit)


def held_against(figures: Sequence[Usual], what: object, unit: Unit | None) -> Doubts:
    """Hold some figures of a board, or of one of its inlays, against what is usual."""
    refused, doubtful = [], []
    for each in figures:
        for figure in dict.fromkeys(each.of(what)):
            if _outside(figure, each.possible):
                refused.append(_problem(each, figure, unit))
            elif _outside(figure, each.usual):
                doubtful.append(_problem(each, figure, unit))
    return Doubts(tuple(refused), tuple(doubtful))


def _outside(figure: float, bounds: Bounds) -> bool:
    return not bounds[0] - ROUNDING_MM <= figure <= bounds[1] + ROUNDING_MM


def _problem(of: Usual, figure: float, unit: Unit | None) -> Problem:
    reason = of.small if figure < of.usual[0] else of.large
    possible = "" if of.possible == of.usual else f", possible {_range(of.possible, unit)}"
    return Problem(
        key=of.key,
        found=f"{of.what} of {mm_text(round(figure, 4), unit)} is {_how_far(of, figure)}: {reason}",
        allowed=f"usual {_range(of.usual, unit)}{possible}",
        hint=meant(of.key),
    )


def _how_far(of: Usual, figure: float) -> str:
    size = "small" if figure < of.usual[0] else "large"
    return f"unusually {size}" if not _outside(figure, of.possible) else f"far too {size}"


def _range(bounds: Bounds, unit: Unit | None) -> str:
    low, high = bounds
    return f"{mm_text(low, unit)} and more" if isinf(high) else f"{mm_text(low, unit)} to {mm_text(high, unit)}"


def meant(key: str) -> str:
    """Say how to keep an unusual figure."""
    return f'if it is meant so, write unusual = ["{key}"] at the top of the file'
