"""Rule 2, of arcs: an arc's ends lie equally far from its centre.  That all modes are set is the grammar's."""

from collections.abc import Iterator

import numpy as np

from pearlkerf.proof.runs import Run
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.tolerances import ARC_RADII_MM, MOST_CHORDS_OF_ALL, ROUNDING_MM
from pearlkerf.reading.motions import ARC, PLANE_AXES, Finding


def arcs_agree(run: Run) -> Iterator[Finding]:
    """Prove that an arc's radius at its start and at its end differ by at most 0.002 mm (0.0002 in in an inch program).

    NISTIR 6556, section 3.5.3.2.  And that there are no more arcs in the wood than can be followed finely.
    """
    if run.pieces.too_many:
        most = f"more arcs in the wood than are held at once ({MOST_CHORDS_OF_ALL} chords)"
        yield run.finding(2, f"has {most}; divide it into several programs")
    motions = run.reading.motions
    allowed = ARC_RADII_MM["in" if "G20" in run.reading.stated else "mm"] + ROUNDING_MM
    for plane, (first, second, _) in PLANE_AXES.items():
        rows = np.flatnonzero((motions.kind == ARC) & (motions.plane == plane))
        centre = motions.centre[rows][:, [first, second]]
        mismatch = np.abs(
            np.linalg.norm(motions.start[rows][:, [first, second]] - centre, axis=1)
            - np.linalg.norm(motions.end[rows][:, [first, second]] - centre, axis=1)
        )
        bad = ~(mismatch <= allowed)
        if bad.any():
            alike = Alike(rows[bad], np.nan_to_num(mismatch[bad], nan=np.inf))
            yield run.tell(2, alike, lambda off, _: f"an arc's ends lie {off:.4f} mm unequally far from its centre")
