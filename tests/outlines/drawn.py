"""Short ways from a drawing's text to what it encloses, and to why it is refused."""

import pytest
import shapely

from pearlkerf.errors import Problem, Refusal
from pearlkerf.outlines.drawing import Drawing
from pearlkerf.outlines.read import read_drawing
from pearlkerf.outlines.region import Region, chosen, region_of
from pearlkerf.outlines.segments import Affine

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">'


def svg(inside: str) -> bytes:
    """Give a drawing in SVG of 40 by 30 mm, whose unit is 1 mm."""
    return f"{SVG}\n{inside}\n</svg>".encode()


def region(drawing: Drawing, *parts: str) -> Region:
    """Give what a drawing encloses, as it lies."""
    return region_of(chosen(drawing, parts), Affine(), drawing.file)


def area(data: bytes, file: str = "a.svg", *parts: str) -> shapely.MultiPolygon:
    """Give what a drawing encloses, as polygons."""
    return region(read_drawing(data, file), *parts).area


def refusal(data: bytes, file: str = "a.svg", *parts: str) -> str:
    """Give why a drawing is refused: its one problem, without its hint, which there must be."""
    with pytest.raises(Refusal) as refused:
        area(data, file, *parts)
    return told(refused.value)


def told(refused: Refusal) -> str:
    """Give a refusal's one problem in words."""
    (problem,) = refused.problems
    assert isinstance(problem, Problem) and problem.hint and problem.key == "outline"
    return f"{problem.found} ({problem.allowed})" if problem.allowed else problem.found
