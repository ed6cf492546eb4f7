"""Drawings in DXF, held against ezdxf's own flattening as a second reader; what is refused, with its place."""

import io
import math
from collections.abc import Callable

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf import path as ezdxf_path
from ezdxf.disassemble import recursive_decompose

from outlines.drawn import area, refusal, region
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.segments import Arc

# ezdxf flattens with chords within this, and draws arcs as cubics, 0.027 % of their radius outside
FINE_MM, CUBIC_SHARE = 0.0005, 3e-4


def written(draw: Callable, units: int = 4) -> bytes:
    """Give a drawing as a file: draw takes its document and its model space."""
    document = ezdxf.new("R2010", units=units)
    draw(document, document.modelspace())
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode()


def second_reading(data: bytes) -> shapely.Geometry:
    """Give what ezdxf's own paths enclose, one inside another a hole."""
    document = ezdxf.read(io.StringIO(data.decode()))
    entities = recursive_decompose(document.modelspace())
    lines = [
        [(round(p.x, 5), round(p.y, 5)) for p in points]
        for entity in entities
        for points in (
            [entity.flattening(FINE_MM)]
            if entity.dxftype() == "SPLINE"
            else [path.flattening(FINE_MM, segments=16) for path in ezdxf_path.make_path(entity).sub_paths()]
        )
    ]
    whole = shapely.get_parts(shapely.line_merge(shapely.MultiLineString(lines)))
    found = shapely.Polygon()
    for ring in whole:
        found = found.symmetric_difference(shapely.Polygon(ring))
    return found


def a_round_polyline(document, space) -> None:
    space.add_lwpolyline([(0, 0, 0.4), (12, 0, 0), (14, 8, -0.3), (3, 9, 1.0)], format="xyb", close=True)
    space.add_lwpolyline([(30, 0, -0.4), (42, 0, 0), (40, 28, 0)], format="xyb", close=True)


def a_ring(document, space) -> None:
    space.add_circle((10, 10), 6)
    space.add_circle((10, 10), 3)


def ellipses(document, space) -> None:
    space.add_ellipse((5, 5), (6, 2), 0.4)
    space.add_ellipse((30, 5), (0, 4), 0.5, math.radians(90), math.radians(450))


def splines(document, space) -> None:
    space.add_open_spline([(20, 0), (24, 6), (30, 4), (20, 0)], degree=2)
    space.add_rational_spline([(40, 0), (48, 3), (44, 8), (40, 0)], weights=[1, 4, 2, 1], degree=2)
    space.add_cad_spline_control_frame([(60, 0), (68, 3), (64, 8), (58, 6), (60, 0)])
    space.add_open_spline([(80, 0), (88, 3), (84, 12), (78, 9), (76, 4), (80, 0)], degree=5)


def an_old_polyline(document, space) -> None:
    space.add_polyline2d([(0, 0, 0.5), (8, 0, 0), (8, 6, 0)], format="xyb", close=True)
    space.add_polyline3d([(20, 0, 0), (28, 0, 1), (28, 6, 2)], close=True)


def loose_pieces(document, space) -> None:
    space.add_line((0, 0), (10, 0))
    space.add_line((0, 0), (0, 6))
    space.add_arc((10, 3), 3, 270, 90)
    space.add_line((10, 6), (0, 6))


def below_and_mirrored(document, space) -> None:
    space.add_circle((-10, 4), 3, dxfattribs={"extrusion": (0, 0, -1)})
    space.add_lwpolyline([(0, 0, 0.4), (9, 0), (9, 5)], format="xyb", close=True, dxfattribs={"extrusion": (0, 0, -1)})

    down = {"extrusion": (0, 0, -1)}
    space.add_ellipse((30, 4), (4, 1), 0.5, 0.3, 2.4, dxfattribs=down)
    ends = [space[-1].start_point, space[-1].end_point]
    space.add_line(ends[0], ends[1])
    hatch = space.add_hatch(dxfattribs=down)
    hatch.paths.add_polyline_path([(-40, 0, -0.3), (-50, 0), (-50, 5)], is_closed=True)


def blocks(document, space) -> None:
    leaf = document.blocks.new("LEAF", base_point=(1, 1))
    leaf.add_lwpolyline([(0, 0, 0.4), (6, 0), (6, 3)], format="xyb", close=True)
    branch = document.blocks.new("BRANCH")
    branch.add_blockref("LEAF", (2, 2), dxfattribs={"rotation": 30, "xscale": 2, "yscale": 2})
    branch.add_blockref("LEAF", (2, 20), dxfattribs={"rotation": -60, "xscale": -1})
    space.add_blockref("BRANCH", (10, 5), dxfattribs={"rotation": 15})
    space.add_blockref("LEAF", (60, 5), dxfattribs={"xscale": 2, "yscale": 0.5, "rotation": 40})
    grid = space.add_blockref("LEAF", (80, 0))
    grid.dxf.row_count, grid.dxf.column_count, grid.dxf.row_spacing, grid.dxf.column_spacing = 2, 3, 9, 12


def hatches(document, space) -> None:
    hatch = space.add_hatch()
    hatch.paths.add_polyline_path([(0, 0, 0.3), (20, 0), (20, 12), (0, 12)], is_closed=True)
    edges = hatch.paths.add_edge_path()
    edges.add_arc((10, 6), 4, 0, 180)
    edges.add_line((6, 6), (14, 6))
    hatch = space.add_hatch()
    edges = hatch.paths.add_edge_path()
    edges.add_ellipse((40, 6), (6, 0), 0.5, 0, 360)


DRAWN = [
    a_round_polyline,
    a_ring,
    ellipses,
    splines,
    an_old_polyline,
    loose_pieces,
    below_and_mirrored,
    blocks,
    hatches,
]


@pytest.mark.parametrize("draw", DRAWN)
def test_what_is_enclosed_is_what_a_second_reader_has(draw: Callable) -> None:
    data = written(draw)
    ours, theirs = area(data, "a.dxf"), second_reading(data)
    assert len(ours.geoms) == len(shapely.get_parts(theirs))
    slack = FINE_MM + 0.001 + CUBIC_SHARE * 10  # ours are chords within 0.001 mm; no radius here is over 10 mm
    assert shapely.difference(ours, theirs.buffer(slack)).is_empty
    assert shapely.difference(theirs, ours.buffer(slack)).is_empty


def test_a_closed_spline_runs_where_its_definition_says() -> None:
    """Ezdxf's flattening leaves the knots' span of such a spline, so that it is no second reader of it.

    A uniform cubic B-spline is (P0 + 4 P1 + P2) / 6 at its knots (de Boor, "A Practical Guide to Splines").
    """
    p = np.array([(0, 0, 0), (9, -2, 0), (12, 6, 0), (5, 9, 0), (-3, 5, 0)], dtype=float)
    found = area(written(lambda document, space: space.add_spline().set_closed(p.tolist(), degree=3)), "a.dxf")
    knots = (np.roll(p, 1, axis=0) + 4 * p + np.roll(p, -1, axis=0))[:, :2] / 6
    assert shapely.distance(shapely.points(knots), found.boundary).max() < 1e-6
    assert len(found.geoms) == 1 and found.contains(shapely.Point(5, 4))


@pytest.mark.parametrize(("units", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (9, 0.0254), (13, 0.001)])
def test_units_are_millimetres(units: int, mm: float) -> None:
    drawing = read_drawing(written(lambda document, space: space.add_circle((3, 2), 1), units), "a.dxf")
    (figure,) = drawing.figures
    (arc,) = figure.loops[0]
    assert drawing.has_size and isinstance(arc, Arc)
    assert arc.centre == (3 * mm, 2 * mm) and arc.radius == pytest.approx(mm, rel=1e-15)


def test_a_file_without_a_unit_has_no_size() -> None:
    assert not read_drawing(written(a_ring, 0), "a.dxf").has_size


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_an_old_file_without_a_head_has_no_size_whatever_its_lines_end_with(end: str) -> None:
    vertices = "".join(f"0 VERTEX 8 cut 10 {x} 20 {y} 42 {bulge} " for x, y, bulge in [(0, 0, 0), (5, 0, 1), (5, 5, 0)])
    words = f"0 SECTION 2 ENTITIES 0 POLYLINE 8 cut 66 1 70 1 {vertices}0 SEQEND 8 cut 0 ENDSEC 0 EOF "
    drawing = read_drawing(words.replace(" ", end).encode(), "old.dxf")
    assert not drawing.has_size and drawing.parts == ("cut",)
    assert region(drawing).area.area == pytest.approx(12.5 + math.pi * 2.5**2 / 2, rel=1e-3)


def test_names_of_layers_are_read_in_the_file_s_own_signs() -> None:
    def draw(document, space) -> None:
        space.add_circle((0, 0), 2, dxfattribs={"layer": "Größe"})

    data = written(draw)
    assert (
        read_drawing(data, "a.dxf").parts == read_drawing(data.decode().encode("cp1252"), "a.dxf").parts == ("Größe",)
    )


def test_parts_are_layers_and_what_is_off_is_not_drawn() -> None:
    def draw(document, space) -> None:
        document.layers.add("petals")
        document.layers.add("away").off()
        document.layers.add("ice").freeze()
        space.add_circle((0, 0), 2, dxfattribs={"layer": "petals"})
        for place, layer in enumerate(["leaves", "away", "ice"], 1):
            space.add_circle((10 * place, 0), 1, dxfattribs={"layer": layer})
        space.add_circle((90, 0), 1, dxfattribs={"layer": "leaves", "invisible": 1})

    data = written(draw)
    assert read_drawing(data, "a.dxf").parts == ("petals", "leaves")
    assert area(data, "a.dxf", "petals").area == pytest.approx(4 * math.pi, rel=1e-3)
    assert len(area(data, "a.dxf").geoms) == 2


def test_what_a_block_draws_on_layer_0_is_of_the_insert_s_layer() -> None:
    def draw(document, space) -> None:
        document.blocks.new("B").add_circle((0, 0), 2)
        space.add_blockref("B", (5, 5), dxfattribs={"layer": "petals"})

    assert read_drawing(written(draw), "a.dxf").parts == ("petals",)


def test_a_hatch_and_its_edge_are_one() -> None:
    def draw(document, space) -> None:
        space.add_lwpolyline([(0, 0), (9, 0), (9, 5)], close=True)
        space.add_hatch().paths.add_polyline_path([(0, 0), (9, 0), (9, 5)], is_closed=True)

    assert area(written(draw), "a.dxf").area == pytest.approx(22.5)


def test_circles_and_arcs_stay_so() -> None:
    loops = region(read_drawing(written(a_ring), "a.dxf")).loops
    assert [loop[0].radius for loop in loops] == [6, 3]
    rounded = region(read_drawing(written(loose_pieces), "a.dxf")).loops
    assert sorted(type(piece).__name__ for piece in rounded[0]) == ["Arc", "Line", "Line", "Line"]


def on(layer: str) -> dict[str, str]:
    return {"layer": layer}


def a_clipped_block(document, space) -> None:
    from ezdxf.xclip import XClip

    document.blocks.new("B").add_circle((0, 0), 2)
    XClip(space.add_blockref("B", (0, 0), dxfattribs=on("x"))).set_block_clipping_path([(0, 0), (1, 1)])


def a_fitted_polyline(document, space) -> None:
    space.add_polyline2d([(0, 0), (4, 0), (4, 4)], close=True, dxfattribs=on("x")).dxf.flags |= 4


def a_tagged_block(document, space) -> None:
    document.blocks.new("B").add_circle((0, 0), 2)
    space.add_blockref("B", (0, 0), dxfattribs=on("x")).add_attrib("NAME", "Wren", (0, 0)).dxf.layer = "x"


ODD = {
    "text that is not turned into outlines": lambda document, space: space.add_text("Wren", dxfattribs=on("x")),
    "text that is not turned into outlines (tag)": a_tagged_block,
    "a line is open by 5.000 mm (at most 0.01 mm)": lambda document, space: space.add_lwpolyline(
        [(0, 0), (4, 0), (4, 3)], dxfattribs=on("x")
    ),
    "a line is open by 1.000 mm (at most 0.01 mm)": lambda document, space: space.add_arc(
        (0, 0), 1, 0, 60, dxfattribs=on("x")
    ),
    "a line is drawn twice": lambda document, space: [
        space.add_lwpolyline(points, close=True, dxfattribs=on("x"))
        for points in ([(0, 0), (4, 0), (4, 3)], [(4, 3), (4, 0), (0, 0)])
    ],
    "entities of the kind 3DFACE are not read here": lambda document, space: space.add_3dface(
        [(0, 0), (4, 0), (4, 4)], dxfattribs=on("x")
    ),
    "it does not lie flat in the plan": lambda document, space: space.add_circle(
        (0, 0), 2, dxfattribs={"layer": "x", "extrusion": (1, 0, 0)}
    ),
    "a polyline that a program has fitted with a curve": a_fitted_polyline,
    "a clip cuts it": a_clipped_block,
}


@pytest.mark.parametrize(("found", "draw"), ODD.items())
def test_what_no_outline_can_be_made_of_is_refused_where_its_layer_is_asked_for(found: str, draw: Callable) -> None:
    def both(document, space) -> None:
        space.add_circle((20, 20), 2, dxfattribs=on("good"))
        draw(document, space)

    data = written(both)
    assert area(data, "a.dxf", "good").area == pytest.approx(4 * math.pi, rel=1e-3)
    for why in (refusal(data, "a.dxf"), refusal(data, "a.dxf", "x")):
        assert why.startswith("a.dxf: layer x, ") and why.endswith(f": {found.removesuffix(' (tag)')} (closed lines)")


def a_fork(document, space) -> None:
    loose_pieces(document, space)
    space.add_line((0, 3), (10, 3))
    space.add_line((0, 0), (10, 6))


def no_number(document, space) -> None:
    space.add_circle((math.nan, 0), 2)


def many_at_one_place(document, space) -> None:
    for n in range(80):
        space.add_line((0, 0), (n, 9))


def a_missing_block(document, space) -> None:
    space.add_blockref("NONE", (0, 0))


REFUSED = {
    "layer 0, from X": a_fork,
    "layer 0, CIRCLE 30: a point lies at nan, nan (numbers up to 1e+09)": no_number,
    "layer 0: more than 64 lines meet at 0, 0": many_at_one_place,
    'layer 0, INSERT 30: it inserts the block "NONE", which is not in this file': a_missing_block,
    "nothing closed is drawn in it": lambda document, space: space.add_point((0, 0)),
}


@pytest.mark.parametrize(("found", "draw"), REFUSED.items())
def test_what_cannot_be_read_is_refused_with_its_place(found: str, draw: Callable) -> None:
    why = refusal(written(draw), "a.dxf")
    assert why.startswith("a.dxf: " + found.partition(" 30")[0]) and why.endswith(found.partition(" 30")[2] or why)


def test_broken_files_are_refused() -> None:
    data = written(a_ring)
    assert refusal(data[: len(data) // 2], "a.dxf").endswith("it does not end in EOF: it was cut off")
    assert refusal(b"  0\nEOF\n", "a.dxf") == "a.dxf: nothing closed is drawn in it"
    assert refusal(b"AutoCAD Binary DXF\r\n\x1a\x00", "a.dxf") == "a.dxf: it is a binary DXF"
    assert refusal(b"  0\nSECTION\nx\ny\n  0\nEOF\n", "a.dxf").startswith("a.dxf: it is no DXF that can be read")


@pytest.mark.parametrize("at", range(0, 18000, 700))
def test_damaged_files_are_read_or_refused(at: int) -> None:
    from pearlkerf.errors import Refusal

    data = written(blocks)
    for by in (b"\n", b"9" * 9, b"\x00\xff", b"  0\nINSERT\n"):
        try:
            area(data[:at] + by + data[at:], "a.dxf")
        except Refusal:
            continue
