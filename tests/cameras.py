"""Photographs of blanks as a pinhole camera takes them: K [R | t] (Hartley and Zisserman, section 6.1)."""

import io

import numpy as np
from PIL import Image, ImageDraw

LONG_MM, WIDE_MM = 40.0, 25.0
PX = (1600, 1200)
FLAT_PX_A_MM = 40
SPOT = (230, 20, 120)  # red, green, blue: nothing else of the page or of the shell is so


def camera(tilt_deg: float, turn_deg: float, far_mm: float) -> np.ndarray:
    """Give a camera (3, 4) that looks at a blank's middle from above, tilted and turned."""
    tilt, turn = np.radians(tilt_deg), np.radians(turn_deg)
    about_x = np.array([[1, 0, 0], [0, -np.cos(tilt), -np.sin(tilt)], [0, np.sin(tilt), -np.cos(tilt)]])
    about_z = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    turned = about_x @ about_z
    moved = np.array([0, 0, far_mm]) - turned @ np.array([LONG_MM / 2, WIDE_MM / 2, 0])
    return np.array([[PX[0], 0, PX[0] / 2], [0, PX[0], PX[1] / 2], [0, 0, 1.0]]) @ np.column_stack([turned, moved])


def seen(by: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Give where a camera sees places (n, 2) of the blank, mm from its low left corner, in pixels (n, 2)."""
    whole = np.column_stack([places, np.zeros(len(places)), np.ones(len(places))]) @ by.T
    return np.asarray(whole[:, :2] / whole[:, 2:])


def corners(by: np.ndarray) -> list[list[float]]:
    """Give where it sees the blank's corners: low left, low right, high right, high left."""
    found = seen(by, np.array([[0, 0], [LONG_MM, 0], [LONG_MM, WIDE_MM], [0, WIDE_MM]]))
    return [[float(x), float(y)] for x, y in found]


def photograph(by: np.ndarray, spot: tuple[float, float], kind: str = "PNG") -> bytes:
    """Give the photograph of a grey blank with a coloured spot of 1 mm, its middle there on the blank, mm."""
    size = (round(LONG_MM * FLAT_PX_A_MM), round(WIDE_MM * FLAT_PX_A_MM))
    flat = Image.new("RGB", size, (205, 200, 190))
    x, y = spot[0] * FLAT_PX_A_MM, (WIDE_MM - spot[1]) * FLAT_PX_A_MM
    ImageDraw.Draw(flat).ellipse([x - 20, y - 20, x + 20, y + 20], fill=SPOT)
    to_flat = np.array([[FLAT_PX_A_MM, 0, 0], [0, -FLAT_PX_A_MM, size[1]], [0, 0, 1]]) @ np.linalg.inv(by[:, [0, 1, 3]])
    ways = (to_flat / to_flat[2, 2]).ravel()[:8].tolist()
    data = io.BytesIO()
    flat.transform(PX, Image.Transform.PERSPECTIVE, ways, Image.Resampling.BICUBIC, fillcolor=(60, 45, 35)).save(
        data, kind
    )
    return data.getvalue()
