"""The positions of a layout as CSV: one row for each fret, dot and pocket of an inlay."""

import csv
import io
from typing import Final

from pearlkerf.layout.model import DotRow, InlayRow, Layout

COLUMNS: Final = (
    "what",
    "fret",
    "name",
    "x_mm",
    "y_mm",
    "along_mm",
    "height_mm",
    "from_last_mm",
    "width_mm",
    "diameter_mm",
    "depth_mm",
    "wood_left_mm",
)
# further columns, where there are inlays
OF_INLAYS: Final = ("length_mm",)


def write_csv(layout: Layout) -> bytes:
    """Write the positions as CSV (RFC 4180, comma, CRLF, UTF-8), mm to 0.001; what does not apply is empty."""
    stream = io.StringIO(newline="")
    writer = csv.DictWriter(stream, (*COLUMNS, *(OF_INLAYS if layout.inlay_rows else ())), restval="")
    writer.writeheader()
    for row in layout.fret_rows:
        figures = {
            "x_mm": row.x_mm,
            "from_last_mm": row.from_last_mm,
            "width_mm": row.width_mm,
            "depth_mm": row.depth_mm,
            "wood_left_mm": row.wood_left_mm,
            "along_mm": row.bass_mm,
        }
        writer.writerow(
            {"what": "fret", "fret": row.fret, "name": f"fret {row.called or row.fret}"} | _written(figures)
        )
    for what, rows, holes in (
        ("face dot", layout.face_dot_rows, layout.face_dots),
        ("side dot", layout.side_dot_rows, layout.side_dots),
    ):
        for dot, hole in zip(rows, holes, strict=True):
            writer.writerow({"what": what, "fret": dot.fret, "name": dot.name} | _dot(dot, hole.diameter_mm))
    for pocket in layout.inlay_rows:
        writer.writerow({"what": "inlay", "name": pocket.name} | _inlay(pocket))
    return stream.getvalue().encode("utf-8")


def _dot(row: DotRow, diameter_mm: float) -> dict[str, str]:
    figures = {
        "x_mm": row.x_mm,
        "y_mm": row.y_mm,
        "along_mm": row.along_mm,
        "height_mm": row.height_mm,
        "diameter_mm": diameter_mm,
        "depth_mm": row.depth_mm,
        "wood_left_mm": row.wood_left_mm,
    }
    return _written(figures)


def _inlay(row: InlayRow) -> dict[str, str]:
    figures: dict[str, float | None] = {
        "x_mm": row.x_mm,
        "y_mm": row.y_mm,
        "width_mm": row.width_mm,
        "depth_mm": row.depth_mm,
        "wood_left_mm": row.wood_left_mm,
        "length_mm": row.length_mm,
    }
    return _written(figures)


def _written(figures: dict[str, float | None]) -> dict[str, str]:
    return {name: "" if value is None else f"{round(value, 3) + 0.0:.3f}" for name, value in figures.items()}
