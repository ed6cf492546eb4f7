"""Drawings in SVG lie where a browser has them: numbers asked of Chromium (browser_numbers.py writes them)."""

import json
from dataclasses import replace

import numpy as np
import pytest
import shapely

from outlines.browser_numbers import ASK, GRID, NUMBERS, POINTS, ask_browser
from outlines.svg_drawings import DRAWINGS, KITE, plain
from pages import needs_chromium
from pearlkerf.outlines.chords import flat_loops
from pearlkerf.outlines.drawing import mapped
from pearlkerf.outlines.limits import CHORD_MM
from pearlkerf.outlines.place import Wanted, placed
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.region import box_of, chosen, region_of
from pearlkerf.outlines.segments import Affine

SAID = json.loads(NUMBERS.read_text(encoding="utf-8"))
SHAPES = [(name, part) for name, parts in SAID.items() for part in parts if "points" in parts[part]]
AXIS_ALIGNED = [
    (name, part) for name, parts in SAID.items() for part, said in parts.items()
    if 0 in np.subtract(said["box"][0], said["box"][1])
]  # fmt: skip
# the browser draws arcs as cubics, 0.027 % of their radius outside; its numbers are binary fractions of 24 bits
BROWSER_MM = 0.002
LENGTH_SHARE = 0.03  # it adds up chords: its circle of 12 mm is 2.6 % short
DOWN = Affine(d=-1.0)  # the browser's Y runs down the page


def figures(name: str, part: str):
    drawing = read_drawing(DRAWINGS[name].encode(), f"{name}.svg")
    return chosen(drawing, [part])


def region(name: str, part: str):
    return region_of(figures(name, part), DOWN, name)


def mapped_down(name: str, part: str):
    return [replace(figure, loops=mapped(figure.loops, DOWN)) for figure in figures(name, part)]


def lines(name: str, part: str) -> shapely.MultiLineString:
    rings = [
        np.array([*points, points[0]])
        for figure in figures(name, part)
        for points in flat_loops(figure.loops, CHORD_MM / 10)
    ]
    return shapely.MultiLineString([ring * [1, -1] for ring in rings])


def test_every_drawing_was_asked() -> None:
    assert set(SAID) == set(DRAWINGS) and len(DRAWINGS) >= 30
    assert {name for name, _ in SHAPES} | {name for name, _ in AXIS_ALIGNED} == set(DRAWINGS)


@pytest.mark.parametrize(("name", "part"), SHAPES)
def test_lines_run_where_the_browser_has_them(name: str, part: str) -> None:
    said, drawn = SAID[name][part], lines(name, part)
    off = shapely.distance(shapely.points(said["points"]), drawn)
    assert len(off) == POINTS + 1 and off.max() < CHORD_MM / 10 + BROWSER_MM
    if "length" in said:
        assert drawn.length == pytest.approx(said["length"], rel=LENGTH_SHARE)


@pytest.mark.parametrize(("name", "part"), AXIS_ALIGNED)
def test_boxes_are_the_browser_s(name: str, part: str) -> None:
    box = np.array(SAID[name][part]["box"])
    assert box_of(mapped_down(name, part)) == pytest.approx([*box.min(axis=0), *box.max(axis=0)], abs=BROWSER_MM)


@pytest.mark.parametrize(("name", "part"), SHAPES)
def test_the_same_is_filled(name: str, part: str) -> None:
    said, area = SAID[name][part], region(name, part).area
    places = shapely.points(said["grid"])
    sure = shapely.distance(places, area.boundary) > 2 * CHORD_MM
    assert sure.sum() > GRID * GRID / 2
    filled = np.array([answer == "1" for answer in said["filled"]])
    assert (shapely.contains_xy(area, *shapely.get_coordinates(places).T) == filled)[sure].all()


def test_a_drawing_is_laid_sized_then_mirrored_then_turned() -> None:
    drawing = read_drawing(plain(f'<path d="{KITE}"/>').encode(), "kite.svg")
    unit = 38.1 / 40  # mm
    wanted = Wanted(length_mm=13 * 1.5 * unit, width_mm=16 * 0.5 * unit, mirror=True, turn_deg=30.0)
    by = placed(drawing.figures, wanted, (20 * unit, -15 * unit), drawing.has_size, drawing.file)
    area = region_of(drawing.figures, DOWN @ by, drawing.file).area
    corners = shapely.points(SAID["laid"]["a"]["points"])
    assert shapely.distance(corners, area.boundary).max() < BROWSER_MM
    assert area.symmetric_difference(region("laid", "a").area).area < BROWSER_MM**2


@needs_chromium
@pytest.mark.browser
def test_the_browser_still_says_so() -> None:
    assert "getScreenCTM" in ASK
    some = dict(list(DRAWINGS.items())[:: len(DRAWINGS) // 8])
    for name, parts in ask_browser(some).items():
        for part, said in parts.items():
            assert np.allclose(said["box"], SAID[name][part]["box"], atol=BROWSER_MM, rtol=0), name
            assert said.get("filled") == SAID[name][part].get("filled"), name
