"""What ``check`` shows of a layout: aligned columns for people, plain data for programs."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final

from pearlkerf.errors import Problem
from pearlkerf.files.inches import in_unit
from pearlkerf.files.lengths import Unit, as_written, figure_in
from pearlkerf.files.toml_values import NAMES
from pearlkerf.layout.features import Hole
from pearlkerf.layout.flatness import bowed
from pearlkerf.layout.model import DotRow, FretRow, Layout

Row = Sequence[str]
# how far below the raw face a dot must lie for the maker to wonder: what two decimals show
WORTH_A_WORD_MM: Final = 0.005


def columns(head: Row, rows: Sequence[Row]) -> str:
    """Align rows of text under a head; figures to the right.

    >>> print(columns(["fret", "mm"], [["1", "36.482"], ["12", "325.000"]]))
    fret       mm
       1   36.482
      12  325.000
    """
    widths = [max(len(row[index]) for row in [head, *rows]) for index in range(len(head))]
    return "\n".join(
        "  ".join(f"{cell:>{width}}" for cell, width in zip(row, widths, strict=True)) for row in [head, *rows]
    )


def layout_text(layout: Layout, unit: Unit = "mm") -> str:
    """Give the table that a maker wants at the bench, lengths in ``unit``."""
    board, say = layout.board, Figures(unit)
    parts = [
        f"{board.title}: scale {in_unit(board.scale.in_words(3), unit)}, {board.hand}-handed, distances in "
        f"{NAMES[unit]} from the {layout.origin}"
    ]
    frets = [[_named(row), say(row.x_mm, 3), say(row.from_last_mm, 3), say(row.width_mm), say(row.depth_mm),
              say(row.wood_left_mm)] for row in layout.fret_rows]  # fmt: skip
    head = ["fret", "from nut", "from last", "width there", "slot floor", "wood left"]
    if board.scale.slanted:
        head = [*head, "along bass edge", "along treble edge"]
        frets = [
            [*cells, say(row.bass_mm, 3), say(row.treble_mm, 3)]
            for cells, row in zip(frets, layout.fret_rows, strict=True)
        ]
    if any(row.off_mm is not None for row in layout.fret_rows):
        head = [*head, "measured beyond the formula"]
        frets = [
            [*cells, say(round(row.off_mm or 0.0, 2) + 0.0, 2, "+")]
            for cells, row in zip(frets, layout.fret_rows, strict=True)
        ]
    parts.append(columns(head, frets))
    if layout.face_dot_rows:
        rows = [[row.name, say(row.x_mm, 3), say(row.y_mm, 3, "+"), say(row.depth_mm), say(row.wood_left_mm)]
                for row in layout.face_dot_rows]  # fmt: skip
        parts.append(in_unit(_dots_head(layout), unit))
        parts.append(columns(["face dot", "from nut", "from centre line", "floor", "wood left"], rows))
    if layout.inlay_rows:
        parts.append(_inlays(layout, say))
    if layout.side_dot_rows:
        rows = [[row.name, say(row.along_mm, 3), say(row.height_mm, 3), say(row.depth_mm), say(row.wood_left_mm)]
                for row in layout.side_dot_rows]  # fmt: skip
        head = ["side dot", "along the edge", "above glue face", "depth", "wood beside"]
        parts.append(columns(head, rows))
    parts.append("Floors are below the blank's top at the crown line.")
    if bow := bowed(layout):
        parts.append(in_unit(f"The face must lie flat within 0.1 mm on the machine: {'; '.join(bow)}.", unit))
    return "\n\n".join(parts)


def _inlays(layout: Layout, say: "Figures") -> str:
    """Give the pockets of inlays as they are drawn; a floor that follows the face is so deep on the crown line."""
    rows = [[str(row.number), row.name, say(row.x_mm, 3), say(row.y_mm, 3, "+"), say(row.length_mm),
             say(row.width_mm), say(row.depth_mm), say(row.wood_left_mm),
             "follows" if row.floor == "follow" else ""] for row in layout.inlay_rows]  # fmt: skip
    head = ["inlay", "called", "middle from nut", "from centre line", "long", "wide", "floor", "wood left", ""]
    return columns(head, rows)


def _named(row: FretRow) -> str:
    return f"({row.called}) {row.fret}" if row.called else str(row.fret)


def _dots_head(layout: Layout) -> str:
    dots = layout.board.face_dots
    assert dots is not None
    lowest = max(row.below_raw_mm or 0.0 for row in layout.face_dot_rows)
    stands = f"stands {as_written(dots.proud_mm)} proud of the finished surface."
    if lowest < WORTH_A_WORD_MM:
        return f"A dot {as_written(dots.thinnest_mm)} thick {stands}"
    return (
        f"A dot {as_written(dots.thinnest_mm)} thick will lie up to {lowest:.2f} mm below the raw face: that is right, "
        f"it {stands}"
    )


@dataclass(frozen=True, slots=True)
class Figures:
    """Lengths as columns show them: in a unit, - where there is none."""

    unit: Unit

    def __call__(self, length_mm: float | None, decimals: int = 2, sign: str = "") -> str:
        """Give a length, so many decimals of a mm, or one more of an inch."""
        if length_mm is None:
            return "-"
        figure = figure_in(length_mm, self.unit, decimals)
        return figure if figure.startswith("-") else f"{sign}{figure}"


def layout_data(layout: Layout, warnings: Sequence[Problem]) -> dict[str, Any]:
    """Give the same as plain data: frets, face_dots, side_dots, inlays with their rows, and the warnings."""
    frets = [
        {
            "fret": row.fret,
            "x_mm": row.x_mm,
            "y_mm": 0.0,
            "along_mm": layout.edges.bass.along_mm(row.x_mm) if row.bass_mm is None else row.bass_mm,
            "height_mm": None,
            "depth_mm": row.depth_mm,
            "wood_left_mm": row.wood_left_mm,
            "width_mm": row.width_mm,
            **({} if not row.called else {"called": row.called}),
            **({} if row.treble_mm is None else {"treble_along_mm": row.treble_mm}),
            **({} if row.off_mm is None else {"off_mm": row.off_mm}),
        }
        for row in layout.fret_rows
    ]
    return {
        "title": layout.board.title,
        "frets": frets,
        "face_dots": [_dot(row, hole) for row, hole in zip(layout.face_dot_rows, layout.face_dots, strict=True)],
        "side_dots": [_dot(row, hole) for row, hole in zip(layout.side_dot_rows, layout.side_dots, strict=True)],
        **({"inlays": [asdict(row) for row in layout.inlay_rows]} if layout.inlay_rows else {}),
        "warnings": [asdict(problem) for problem in warnings],
    }


def _dot(row: DotRow, hole: Hole) -> dict[str, Any]:
    return {**asdict(row), "diameter_mm": hole.diameter_mm}
