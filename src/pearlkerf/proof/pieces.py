"""Motions as straight pieces: arcs become chords whose distance from the arc is carried along."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.counting import counted
from pearlkerf.proof.tolerances import ARC_SAGITTA_MM, MOST_CHORDS
from pearlkerf.reading.motions import ARC, PLANE_AXES, Motions


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Straight pieces in the order of execution; motions of unknown position have none.

    ``slack`` is how far the true path may lie from the piece, mm: 0 for straight motions.
    """

    start: NDArray[np.float64]  # (m, 3) mm
    end: NDArray[np.float64]  # (m, 3) mm
    motion: NDArray[np.int64]  # (m,) index of the motion that a piece belongs to
    slack: NDArray[np.float64]  # (m,) mm


def cut_into_pieces(motions: Motions) -> Pieces:
    """Give the pieces of all motions whose ends are known.

    Chords are inscribed, with ends on the arc; the sagitta is at most ARC_SAGITTA_MM (more only for
    an arc that would need over MOST_CHORDS chords), and is given as ``slack``.
    """
    known = ~(np.isnan(motions.start).any(axis=1) | np.isnan(motions.end).any(axis=1))
    is_arc = known & (motions.kind == ARC)
    if not is_arc.any():
        index = np.flatnonzero(known)
        return Pieces(motions.start[index], motions.end[index], index, np.zeros(len(index)))
    radius = _arc_radius(motions, is_arc)
    chords = np.where(is_arc, _chord_counts(radius, motions.sweep), known.astype(np.int64))
    index, number = counted(chords)
    start, end = motions.start[index], motions.end[index]
    count = chords[index]
    for plane in PLANE_AXES:
        rows = np.flatnonzero(is_arc[index] & (motions.plane[index] == plane))
        inner_start, inner_end = rows[number[rows] > 0], rows[number[rows] < count[rows] - 1]
        start[inner_start] = _points(motions, index[inner_start], number[inner_start] / count[inner_start], plane)
        end[inner_end] = _points(motions, index[inner_end], (number[inner_end] + 1) / count[inner_end], plane)
    half = np.abs(motions.sweep) / (2 * np.maximum(chords, 1))
    slack = np.where(is_arc, radius * (1 - np.cos(np.minimum(half, np.pi))), 0.0)
    return Pieces(start, end, index, slack[index])


def _arc_radius(motions: Motions, is_arc: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Give the greater of an arc's two radii, from its start and from its end; 0 for other motions."""
    radius = np.zeros(len(is_arc))
    for plane, (first, second, _) in PLANE_AXES.items():
        rows = np.flatnonzero(is_arc & (motions.plane == plane))
        in_plane = [first, second]
        centre = motions.centre[rows][:, in_plane]
        from_start = np.linalg.norm(motions.start[rows][:, in_plane] - centre, axis=1)
        radius[rows] = np.maximum(from_start, np.linalg.norm(motions.end[rows][:, in_plane] - centre, axis=1))
    return radius


def _chord_counts(radius: NDArray[np.float64], sweep: NDArray[np.float64]) -> NDArray[np.int64]:
    # sagitta = radius (1 - cos(half)) is at most radius half**2 / 2
    half = np.sqrt(2 * ARC_SAGITTA_MM / np.maximum(radius, ARC_SAGITTA_MM))
    wanted = np.ceil(np.abs(sweep) / (2 * half))
    counts: NDArray[np.int64] = np.clip(wanted, 1, MOST_CHORDS).astype(np.int64)
    return counts


def _points(motions: Motions, index: NDArray[np.int64], share: NDArray[np.float64], plane: int) -> NDArray[np.float64]:
    """Give points (k, 3) of arcs after a share of their sweep."""
    first, second, own = PLANE_AXES[plane]
    start, end, centre = motions.start[index], motions.end[index], motions.centre[index]
    from_start = start[:, [first, second]] - centre[:, [first, second]]
    from_end = end[:, [first, second]] - centre[:, [first, second]]
    begin = np.linalg.norm(from_start, axis=1)
    radius = begin + (np.linalg.norm(from_end, axis=1) - begin) * share
    angle = np.arctan2(from_start[:, 1], from_start[:, 0]) + motions.sweep[index] * share
    points = np.empty((len(index), 3))
    points[:, first] = centre[:, first] + radius * np.cos(angle)
    points[:, second] = centre[:, second] + radius * np.sin(angle)
    points[:, own] = start[:, own] + (end[:, own] - start[:, own]) * share
    return points
