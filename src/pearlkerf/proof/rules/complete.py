"""Rule 7: every demanded feature is cut to its full extent and depth."""

from collections.abc import Iterator, Sequence

from pearlkerf.proof.runs import Run
from pearlkerf.reading.motions import Finding


def features_are_complete(runs: Sequence[Run], answerable: Sequence[int]) -> Iterator[Finding]:
    """Prove that features (``answerable``, indexes) are cut in full by a setup's programs together.

    What is left, to what extent and depth, each says of itself: ``left`` of its shape in shapes/; of a slot
    in which a saw cuts ``left`` of its ``for_saws``, whatever else is cut there.  What is left uncut never
    passes: discs on the path stand for its sweep (scallops of SCALLOP_MM, arcs chorded within
    ARC_SAGITTA_MM), and between lines of the cover convexity of discs holds.  Nothing is excused.
    """
    for feature in answerable:
        left = _left(runs, feature)
        if left:
            yield Finding(7, left, runs[-1].file, feature=runs[0].shapes[feature].feature.name)


def _left(runs: Sequence[Run], feature: int) -> str:
    shape = runs[0].shapes[feature]
    sawn = [run.sawn.of(feature) for run in runs]
    if shape.for_saws is not None and any(len(rows) for rows in sawn):
        return shape.for_saws.left([run.sawn.blades.some(rows) for run, rows in zip(runs, sawn, strict=True)])
    parts = [run.inside[feature] for run in runs]
    return shape.left([part for part in parts if len(part.motion)] or parts[:1])
