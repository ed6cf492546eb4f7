"""Measures a PDF by what it shows: path objects placed by their matrices, and rendered pixels."""

import ctypes
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
from numpy.typing import NDArray

MM_PER_POINT = 25.4 / 72


@dataclass(frozen=True)
class Stroke:
    """One straight or curved path: its points on the page, mm, and whether all its segments are lines."""

    points: NDArray[np.float64]  # (n, 2)
    straight: bool


def strokes(document: pdfium.PdfDocument, page_number: int) -> list[Stroke]:
    """Every path of a page, in mm from the lower left corner."""
    found = []
    for thing in document[page_number].get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        matrix = thing.get_matrix()
        points, straight = [], True
        for k in range(raw.FPDFPath_CountSegments(thing.raw)):
            segment = raw.FPDFPath_GetPathSegment(thing.raw, k)
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            straight = straight and raw.FPDFPathSegment_GetType(segment) != raw.FPDF_SEGMENT_BEZIERTO
            points.append(matrix.on_point(x.value, y.value))
        found.append(Stroke(np.array(points) * MM_PER_POINT, straight))
    return found


def crosses(page: list[Stroke]) -> NDArray[np.float64]:
    """Centres of crosses: two lines in a row that share their middle; (n, 2) mm."""
    centres = []
    for one, two in pairwise(page):
        if one.straight and two.straight and len(one.points) == len(two.points) == 2:
            middle = one.points.mean(axis=0)
            if np.abs(middle - two.points.mean(axis=0)).max() < 1e-3:
                centres.append(middle)
    return np.array(centres).reshape(-1, 2)


def pixels(document: pdfium.PdfDocument, page_number: int, dpi: int) -> NDArray[np.uint8]:
    """A page as grey pixels, rows from the top."""
    bitmap = document[page_number].render(scale=dpi / 72, grayscale=True)
    grey = bitmap.to_numpy()
    return grey if grey.ndim == 2 else grey[:, :, 0]


def nearest_mm(places: NDArray[np.float64], place: tuple[float, float]) -> float:
    """Distance from a place to the nearest of some."""
    return float(np.hypot(*(places - np.asarray(place)).T).min())
