"""Motions as straight pieces: arcs become chords whose distance from the arc is carried along."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pearlkerf.proof.counting import counted, pages
from pearlkerf.proof.tolerances import ARC_SAGITTA_MM, MOST_CHORDS, MOST_CHORDS_OF_ALL
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
    too_many: bool  # arcs that may lie in the wood are followed less finely than is right


def cut_into_pieces(motions: Motions) -> Pieces:
    """Give the pieces of all motions whose ends are known.

    Chords are inscribed, with ends on the arc; the sagitta is at most ARC_SAGITTA_MM (more only for
    an arc that would need over MOST_CHORDS chords, or where all would be over MOST_CHORDS_OF_ALL), and is
    given as ``slack``.
    """
    known = ~(np.isnan(motions.start).any(axis=1) | np.isnan(motions.end).any(axis=1))
    is_arc = known & (motions.kind == ARC)
    if not is_arc.any():
        index = np.flatnonzero(known)
        return Pieces(motions.start[index], motions.end[index], index, np.zeros(len(index)), False)
    radius = _arc_radius(motions, is_arc)
    chords = np.where(is_arc, _chord_counts(radius, motions.sweep), known.astype(np.int64))
    in_the_air = is_arc & (_lowest_mm(motions, radius) > 0)
    in_the_wood = is_arc & ~in_the_air
    finest = int(chords[in_the_wood].sum())
    chords = _bearable(chords, in_the_air, in_the_wood)
    index, number = counted(chords)
    start, end = motions.start[index], motions.end[index]
    for plane in PLANE_AXES:
        of_plane = np.flatnonzero((is_arc & (motions.plane == plane))[index])
        for rows in (of_plane[page] for page in pages(len(of_plane))):
            own, count = index[rows], chords[index[rows]]
            later, sooner = number[rows] > 0, number[rows] < count - 1
            start[rows[later]] = _points(motions, own[later], (number[rows] / count)[later], plane)
            end[rows[sooner]] = _points(motions, own[sooner], ((number[rows] + 1) / count)[sooner], plane)
    half = np.abs(motions.sweep) / (2 * np.maximum(chords, 1))
    slack = np.where(is_arc, radius * (1 - np.cos(np.minimum(half, np.pi))), 0.0)
    return Pieces(start, end, index, slack[index], int(chords[in_the_wood].sum()) < finest)


def _bearable(
    chords: NDArray[np.int64], in_the_air: NDArray[np.bool_], in_the_wood: NDArray[np.bool_]
) -> NDArray[np.int64]:
    """Give as many chords of each motion as are MOST_CHORDS_OF_ALL together: arcs in the air give way first."""
    for arcs in (in_the_air, in_the_wood):
        over = int(chords[in_the_air | in_the_wood].sum()) - MOST_CHORDS_OF_ALL
        all_of_them = int(chords[arcs].sum())
        if over > 0 and all_of_them:
            kept = chords * (max(all_of_them - over, 0) / all_of_them)
            chords = np.where(arcs, np.maximum(kept.astype(np.int64), 1), chords)
    return chords


def _lowest_mm(motions: Motions, radius: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give a height that no arc goes below, (n,) mm: of an upright one, a whole circle's."""
    upright = motions.plane != 17
    ends = np.minimum(motions.start[:, 2], motions.end[:, 2])
    lowest: NDArray[np.float64] = np.where(upright, motions.centre[:, 2] - radius, ends)
    return lowest


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
