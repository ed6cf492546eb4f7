"""The layout as DXF, SVG and CSV, each read back by another reader: the same numbers as the layout."""

import csv
import io
import os
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from pathlib import Path

import ezdxf
import numpy as np
import pypdfium2 as pdfium
import pytest
from ezdxf.document import Drawing as Document
from paper_measures import crosses, nearest_mm, strokes

from makers import a_layout
from pearlkerf.board.model import FretSlots
from pearlkerf.layout.model import Layout
from pearlkerf.pictures.drawing import LAYOUT_PENS, Circle, Line
from pearlkerf.pictures.paper.paper import draw_template, layout_csv, layout_dxf, layout_svg, origin_mm, tile_drawing
from pearlkerf.pictures.paper.template import draw_layout

SAME_MM = 1e-6  # files carry at least six decimals
SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = 'A ]]> & "quoted" <script>alert(1)</script>\r\n  0\r\nEOF %%c ^J \\U+0041 =1+1'


def read_dxf(layout: Layout, folder: Path) -> Document:
    """Read the DXF back from disk, as a drawing program would."""
    path = folder / "layout.dxf"
    path.write_bytes(layout_dxf(layout))
    return ezdxf.readfile(path)


def svg_group(layout: Layout, layer: str) -> list[ElementTree.Element]:
    root = ElementTree.fromstring(layout_svg(layout))
    return [element for group in root.iter(f"{SVG}g") if group.get("id") == layer for element in group]


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_dxf_has_the_layouts_frets_and_dots(hand: str, tmp_path: Path) -> None:
    layout = a_layout(hand=hand)
    space = read_dxf(layout, tmp_path).modelspace()
    frets = sorted(line.dxf.start.x for line in space.query('LINE[layer=="frets"]'))
    assert frets == pytest.approx(layout.frets_mm.tolist(), abs=SAME_MM)
    dots = sorted((c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in space.query('CIRCLE[layer=="face-dots"]'))
    wanted = sorted((*dot.centre, dot.diameter_mm / 2) for dot in layout.face_dots)
    assert np.array(dots) == pytest.approx(np.array(wanted), abs=SAME_MM)
    (outline,) = space.query('LWPOLYLINE[layer=="outline"]')
    assert outline.closed
    assert np.array(outline.get_points("xy")) == pytest.approx(layout.edges.finished.corners, abs=SAME_MM)


def test_the_dxf_is_metric_and_every_layer_is_declared(tmp_path: Path) -> None:
    document = read_dxf(a_layout(), tmp_path)
    assert (document.dxfversion, document.header["$INSUNITS"], document.header["$MEASUREMENT"]) == ("AC1024", 4, 1)
    assert {entity.dxf.layer for entity in document.modelspace()} <= set(LAYOUT_PENS)
    assert set(LAYOUT_PENS) <= {layer.dxf.name for layer in document.layers}
    assert not document.audit().errors


def test_a_stopped_slot_is_a_stadium_in_the_dxf(tmp_path: Path) -> None:
    layout = a_layout(fret_slots=FretSlots(0.58, 2.0, ends="stopped"))
    space = read_dxf(layout, tmp_path).modelspace()
    slot = layout.slots[0]
    arcs = [arc for arc in space.query('ARC[layer=="slots"]') if abs(arc.dxf.center.x - slot.start[0]) < 1.0]
    reached = sorted(y for arc in arcs for y in (arc.dxf.center.y - 0.29, arc.dxf.center.y + 0.29))
    assert (reached[0], reached[-1]) == pytest.approx((slot.start[1], slot.end[1]), abs=SAME_MM)
    middles = sorted((arc.start_point + arc.end_point).y / 2 for arc in arcs)
    assert middles == pytest.approx([slot.start[1] + 0.29, slot.end[1] - 0.29], abs=SAME_MM)


def test_a_hostile_title_stays_one_text_in_the_dxf(tmp_path: Path) -> None:
    document = read_dxf(a_layout(title=HOSTILE), tmp_path)
    (title,) = document.modelspace().query('TEXT[layer=="title"]')
    cleaned = HOSTILE.replace("\r\n", "\N{REPLACEMENT CHARACTER}" * 2)
    assert title.plain_text().replace("%%%", "%").startswith(cleaned.split("%%c")[0])
    assert "^ J" in title.dxf.text
    assert not document.audit().errors


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_svg_has_the_layouts_numbers(hand: str) -> None:
    layout = a_layout(hand=hand)
    frets = [float(line.get("x1", "nan")) for line in svg_group(layout, "frets")]
    assert frets == pytest.approx(layout.frets_mm.tolist(), abs=SAME_MM)
    dots = [[float(c.get(key, "nan")) for key in ("cx", "cy", "r")] for c in svg_group(layout, "face-dots")]
    wanted = [[dot.centre[0], -dot.centre[1], dot.diameter_mm / 2] for dot in layout.face_dots]
    assert np.array(dots) == pytest.approx(np.array(wanted), abs=SAME_MM)


def test_the_svg_is_in_true_size() -> None:
    root = ElementTree.fromstring(layout_svg(a_layout()))
    _, _, width, height = root.get("viewBox", "").split()
    assert (root.get("width"), root.get("height")) == (f"{width}mm", f"{height}mm")


def test_a_hostile_title_stays_text_in_the_svg() -> None:
    root = ElementTree.fromstring(layout_svg(a_layout(title=HOSTILE)))
    title = root.findtext(f"{SVG}title")
    assert title == HOSTILE.replace("\r\n", "\N{REPLACEMENT CHARACTER}" * 2)
    assert not list(root.iter(f"{SVG}script"))


def test_the_csv_has_a_row_for_every_fret_and_dot() -> None:
    layout = a_layout(title="=cmd()")
    text = layout_csv(layout).decode("utf-8")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert len(rows) == len(layout.frets_mm) + len(layout.face_dots) + len(layout.side_dots)
    frets = [float(row["x_mm"]) for row in rows if row["what"] == "fret"]
    assert frets == pytest.approx(layout.frets_mm.tolist(), abs=0.0005 + 1e-9)
    sides = [(float(row["along_mm"]), float(row["height_mm"])) for row in rows if row["what"] == "side dot"]
    wanted = [(dot.centre[0], abs(dot.centre[1])) for dot in layout.side_dots]
    assert np.array(sides) == pytest.approx(np.array(wanted), abs=0.0005 + 1e-9)
    assert "=cmd()" not in text


def test_the_twelfth_fret_of_a_632_mm_scale_lies_at_its_half() -> None:
    """The octave halves the string: J. Acoust. Soc. Am. 58 S1, S131, and any textbook of physics."""
    text = layout_csv(a_layout()).decode("utf-8")
    row = next(row for row in csv.DictReader(io.StringIO(text)) if row["name"] == "fret 12")
    assert row["x_mm"] == "316.000"


def test_template_and_dxf_show_the_same_places(tmp_path: Path) -> None:
    layout = a_layout()
    drawing = draw_layout(layout)
    tiles = tile_drawing(layout, drawing, "A4")
    document = pdfium.PdfDocument(draw_template(layout))
    space = read_dxf(layout, tmp_path).modelspace()
    circles = [*space.query('CIRCLE[layer=="face-dots"]'), *space.query('CIRCLE[layer=="side-dots"]')]
    assert len(circles) == len(layout.face_dots) + len(layout.side_dots)
    for circle in circles:
        x, y = circle.dxf.center.x, circle.dxf.center.y
        tile = next(tile for tile in tiles.tiles if tile.window.left < x < tile.window.right)
        x0, y0 = origin_mm(tiles.page, tile)
        assert nearest_mm(crosses(strokes(document, tile.number - 1)), (x0 + x, y0 + y)) < 0.001


def test_the_drawing_crosses_every_dot_in_its_middle() -> None:
    drawing = draw_layout(a_layout())
    for dots, centres in (("face-dots", "face-dot-centres"), ("side-dots", "side-dot-centres")):
        circles = [thing for thing in drawing.of(dots) if isinstance(thing, Circle)]
        lines = [thing for thing in drawing.of(centres) if isinstance(thing, Line)]
        assert len(lines) == 2 * len(circles) > 0
        for k, line in enumerate(lines):
            middle = np.mean([line.start, line.end], axis=0)
            assert middle == pytest.approx(np.array(circles[k // 2].centre), abs=SAME_MM)


def test_dxf_does_not_depend_on_the_order_of_a_set() -> None:
    """Two runs of the interpreter whose sets of words run differently write the same file."""
    program = (
        "import hashlib; from makers import a_layout; from pearlkerf.pictures.paper.paper import layout_dxf; "
        "print(hashlib.sha256(layout_dxf(a_layout())).hexdigest())"
    )
    told = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True, text=True, check=True,
        ).stdout
        for seed in ("1", "4")
    }  # fmt: skip
    assert len(told) == 1


@pytest.mark.parametrize("write", [layout_svg, layout_dxf, layout_csv])
def test_the_same_layout_gives_the_same_file(write: Callable[[Layout], bytes]) -> None:
    assert write(a_layout()) == write(a_layout())
