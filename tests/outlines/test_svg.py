"""Drawings in SVG: their parts, their holes, and what is refused with its place; where lines run, a browser says."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from outlines.drawn import SVG, area, refusal, region, svg
from pearlkerf.errors import Refusal
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.segments import Arc

SQUARE = '<rect width="4" height="4"/>'


def test_parts_are_named_by_their_ids_and_those_of_their_groups() -> None:
    text = svg(
        f'<g id="leaf"><rect id="stem" x="9" width="4" height="1"/>{SQUARE}</g>'
        '<rect id="b" y="9" width="1" height="1"/>'
    )
    assert area(text).area == pytest.approx(21)
    assert area(text, "a.svg", "leaf").area == pytest.approx(20)
    assert area(text, "a.svg", "stem", "b").area == pytest.approx(5)
    assert read_drawing(text, "a.svg").parts == ("leaf", "stem", "b")
    assert refusal(text, "a.svg", "laef") == 'a.svg: parts "laef": the drawing has no part of this name (leaf, stem, b)'


def test_an_id_names_every_copy_of_it() -> None:
    text = svg('<defs><circle id="c" r="1"/></defs><use href="#c" x="5" y="5"/><use id="u" href="#c" x="9" y="9"/>')
    assert area(text, "a.svg", "c").area == pytest.approx(2 * math.pi, rel=1e-3)
    assert area(text, "a.svg", "u").centroid.coords[0] == pytest.approx((9, -9))


def test_a_circle_stays_one() -> None:
    (line,) = region(read_drawing(svg('<circle cx="10" cy="10" r="4"/>'), "a.svg")).loops
    (arc,) = line
    assert isinstance(arc, Arc) and arc.radius == pytest.approx(4) and arc.centre == pytest.approx((10, -10))


def test_lines_that_cross_are_not_kept_as_they_are() -> None:
    star = region(read_drawing(svg('<path d="M10 1 L15.5 18 L1 7.5 H19 L4.5 18 Z"/>'), "a.svg"))
    assert len(star.parts) == 1 and star.loops == () and len(star.crossings) == 5


def test_what_overlaps_is_one_part() -> None:
    found = region(read_drawing(svg(f'{SQUARE}<rect x="3" width="4" height="4"/>'), "a.svg"))
    assert len(found.parts) == 1 and found.area.area == pytest.approx(28) and found.loops == ()


@pytest.mark.parametrize(
    "size", ['width="40" height="30px"', "", 'width="100%" viewBox="0 0 4 3"', 'viewBox="0 0 4 3"']
)
def test_a_size_without_a_unit_is_none(size: str) -> None:
    assert not read_drawing(f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{SQUARE}</svg>'.encode(), "a.svg").has_size


@pytest.mark.parametrize(
    "hidden",
    [
        'display="none"', 'visibility="hidden"', 'style="display:none"', 'style="visibility: collapse"',
        'class="away"', 'class="far" style="display: inline"',
        'style="DISPLAY: None"', 'display="inline" style="display: none !important"',
    ],
)  # fmt: skip
def test_what_is_not_drawn_is_no_outline(hidden: str) -> None:
    rules = "<style>.away { display: none } .far { display: none !important }</style>"
    text = svg(f'{rules}<g {hidden}><rect x="9" width="9" height="9"/></g>{SQUARE}')
    assert area(text).area == pytest.approx(16)


def test_a_visible_shape_in_a_hidden_group_is_drawn() -> None:
    text = svg(
        '<g visibility="hidden"><rect width="2" height="2" visibility="visible"/><rect width="9" height="9"/></g>'
    )
    assert area(text).area == pytest.approx(4)


def test_elements_of_other_languages_are_passed_over() -> None:
    text = f'{SVG}<x:note xmlns:x="urn:x"><x:rect/></x:note><metadata/><title>Wren</title>{SQUARE}</svg>'
    assert area(text.encode()).area == pytest.approx(16)


ODD = {
    "text that is not turned into outlines": '<text id="x">Wren</text>',
    "an image, which has no outline": '<image id="x" href="a.png"/>',
    "foreign content, which has no outline": '<foreignObject id="x"/>',
    "a switch, which draws what a reader likes": '<switch id="x"><g/></switch>',
    "a clip cuts it": f'<g id="x" clip-path="url(#c)">{SQUARE}</g>',
    "a mask cuts it": '<rect id="x" width="4" height="4" style="mask: url(#m)"/>',
    "a filter cuts it": '<rect id="x" width="4" height="4" filter="url(#f)"/>',
    "markers stand on it": '<path id="x" d="M0 0 H4 V4 Z" marker-mid="url(#m)"/>',
    "a style moves it": '<rect id="x" width="4" height="4" style="transform: rotate(9deg)"/>',
    "a style draws it or sizes it": '<circle id="x" r="4" style="r: 5px"/>',
    "systemLanguage: it is drawn for some readers only": '<rect id="x" width="4" height="4" systemLanguage="de"/>',
    "its line 1 is open by 5.000 mm (at most 0.01 mm)": '<path id="x" d="M0 0 L4 0 L4 3"/>',
    "its line 2 is open by 0.020 mm (at most 0.01 mm)": '<path id="x" d="M0 0 H4 V4 Z M9 9 H8 V8 H9 V8.98"/>',
    'the edge of line 2, svg "x" cuts it': '<svg id="x" width="9" height="9"><rect x="6" width="4" height="4"/></svg>',
}


@pytest.mark.parametrize(("found", "inside"), ODD.items())
def test_what_no_outline_can_be_made_of_is_refused_where_it_is_asked_for(found: str, inside: str) -> None:
    text = svg(f'{inside}<rect id="good" width="4" height="4"/>')
    assert refusal(text).startswith("a.svg: line 2, ") and refusal(text).endswith(f": {found} (closed lines)")
    assert found in refusal(text, "a.svg", "x")
    assert area(text, "a.svg", "good").area == pytest.approx(16)


REFUSED = {
    "line 2, rect: width is -4": '<rect width="-4" height="4"/>',
    "line 2, circle: r is -1": '<circle r="-1"/>',
    'line 2, rect: x: "2em" is in "em", which hangs on a typeface or a window': '<rect x="2em" width="1" height="1"/>',
    'line 2, rect: width: "4,5" is no length': '<rect width="4,5" height="4"/>',
    'line 2, rect: x: "1e400" is too large': '<rect x="1e400" width="1" height="1"/>',
    "line 2, polygon: points holds 5 numbers, which make no pairs": '<polygon points="0,0 4,0 4"/>',
    'line 2, polygon: points: "0,0 NaN,4" is no list of numbers': '<polygon points="0,0 NaN,4"/>',
    'line 2, path: d: path data cannot be read from "x 4 V 4 Z" on': '<path d="M0 0 H4 x 4 V 4 Z"/>',
    'line 2, path: d: the path command "L" has 3 numbers, not 2 or as many again': '<path d="M0 0 L4 0 4 V4 Z"/>',
    'line 2, path: d: the path command "C" has 0 numbers, not 6 or as many again': '<path d="M0 0 C"/>',
    'line 2, path: d: "1e400" is too large': '<path d="M0 0 H1e400 V4 Z"/>',
    'line 2, path: d: path data cannot be read from the arc "4 4 0 2 0 4 4" on': '<path d="M0 0 A4 4 0 2 0 4 4"/>',
    'line 2, g: transform: "turn" with 1 numbers is no transform': '<g transform="turn(30)"/>',
    'line 2, g: transform: "scale" with 3 numbers is no transform': '<g transform="scale(1 2 3)"/>',
    'line 2, g: transform: "rotate(30" is no transform': '<g transform="rotate(30"/>',
    'line 2, g: fill-rule: "odd"': '<g fill-rule="odd"/>',
    'line 2, svg: viewBox: "0 0 0 4" is not four numbers, the last two above zero': '<svg viewBox="0 0 0 4"/>',
    'line 2, svg: preserveAspectRatio: preserveAspectRatio "middle"': '<svg preserveAspectRatio="middle"/>',
    'line 2, use: it uses "#none", which is not in this file': '<use href="#none"/>',
    'line 2, use: it uses "b.svg#x", which is not in this file': '<use href="b.svg#x"/>',
    "line 2, star: the element star is not read here": "<star/>",
    "style: a style sheet has a rule that is not read here": "<style>@import url(b.css);</style>",
    "style: a style sheet has a selector": "<style>rect:{ display: none }</style>",
    "nothing closed is drawn in it": '<rect width="0" height="4"/>',
    "line 2, path: what it encloses has no width": '<path d="M0 0 H4 Z"/>',
    "line 2, rect: a point lies at": '<g transform="scale(1e9)"><rect width="4" height="4"/></g>',
}


@pytest.mark.parametrize(("found", "inside"), REFUSED.items())
def test_what_cannot_be_read_is_refused_with_its_place(found: str, inside: str) -> None:
    assert refusal(svg(inside)).startswith(f"a.svg: {found}")


FILES = {
    "a.svg: it is empty": b" \n",
    "a.svg: line 2, column 11: it is no well-formed XML (no element found)": svg('<g id="a">')[:-7],
    "a.svg: its first element is html, not svg": b"<html/>",
    "a.svg: line 1, svg: width is 0": b'<svg xmlns="http://www.w3.org/2000/svg" width="0mm" height="3mm"/>',
    "a.svg: line 1, svg: a style draws it or sizes it": b'<svg xmlns="http://www.w3.org/2000/svg" style="width: 9mm"/>',
    "a.svg: line 1, svg: a transform moves it": b'<svg xmlns="http://www.w3.org/2000/svg" transform="scale(2)"/>',
    "a.svg: xml-stylesheet: its styles stand in another file": b'<?xml-stylesheet href="a.css"?>' + svg(SQUARE),
    "a.svg: it defines entities, which can grow without end": b'<!DOCTYPE svg [<!ENTITY a "b">]>' + svg(SQUARE),
    "a.svg: it cannot be decoded": b'<?xml version="1.0" encoding="no-such"?>' + svg(SQUARE),
}


@pytest.mark.parametrize(("found", "data"), FILES.items())
def test_files_that_are_no_drawing_are_refused(found: str, data: bytes) -> None:
    assert refusal(data).startswith(found)


def test_other_files_are_refused() -> None:
    assert refusal(b"%PDF", "a.pdf") == "a.pdf: it is neither .svg nor .dxf (.svg, .dxf)"
    assert refusal(b"<svg>" * 900_000) == "a.svg: it has 4500000 bytes (at most 4194304 bytes)"


@settings(deadline=None, max_examples=60)
@given(st.text("MmLlHhVvCcSsQqTtAaZz0123456789-+.eE, \n", max_size=30))
def test_any_path_data_is_read_or_refused(text: str) -> None:
    try:
        area(svg(f'<path d="M0 0 {text} Z"/>'))
    except Refusal:
        return


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 400), st.binary(min_size=1, max_size=4))
def test_a_damaged_file_is_read_or_refused(at: int, by: bytes) -> None:
    text = svg(
        '<style>#a { fill-rule: evenodd }</style><g transform="rotate(20)"><path id="a" d="M1 2 A3 3 0 1 1 9 9Z"/></g>'
    )
    try:
        area(text[:at] + by + text[at + len(by) :])
    except Refusal:
        return
