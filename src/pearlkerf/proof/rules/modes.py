"""Rule 2: units, plane, distance and feed mode are set; arcs agree."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from pearlkerf.proof.runs import Run
from pearlkerf.proof.telling import Alike
from pearlkerf.proof.tolerances import ARC_RADII_MM, ROUNDING_MM
from pearlkerf.reading.motions import ARC, PLANE_AXES, Finding

# what must be said before anything moves: any code of each modal group (NISTIR 6556, section 3.4)
GROUPS: Final = (
    ("units", ("G20", "G21")),
    ("the plane", ("G17", "G18", "G19")),
    ("the distance mode", ("G90", "G91")),
    ("the feed mode", ("G93", "G94")),
)
# the zero that the operator touches off is that of G54, which is also in force after a program's end (3.6.1)
OTHER_ZEROS: Final = ("G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3")


def modes_are_set(run: Run) -> Iterator[Finding]:
    """Prove that units, plane, distance and feed mode are set before the first motion, and that arcs agree.

    What a controller has in force when it is switched on, or after the last program, is not stated by
    the standard (section 3.6.1).  An arc's radius at its start and at its end differ by at most
    0.002 mm (0.0002 in in an inch program): NISTIR 6556, section 3.5.3.2.  No zero but that of G54 is used.
    """
    motions = run.reading.motions
    if not len(motions.kind):
        return
    for what, codes in GROUPS:
        if not run.reading.stated.intersection(codes):
            yield run.finding(2, f"moves before {what} {'are' if what == 'units' else 'is'} set; write one of "
                              f"{', '.join(codes)} at the top", run.line(0))  # fmt: skip
    for code in sorted(run.reading.stated.intersection(OTHER_ZEROS)):
        yield run.finding(
            2, f"moves from the zero of {code}; the work is touched off in G54, so write G54", run.line(0)
        )
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
