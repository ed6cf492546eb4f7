"""Rule 7: every demanded feature is cut to its full extent and depth."""

from collections.abc import Iterator, Sequence

from pearlkerf.proof.runs import Claim, Run
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
    return shape.left([run.inside[feature] for run in runs])


def claimed(run: Run) -> tuple[list[int], list[Finding]]:
    """Give the features (indexes) that a program's header names, and a finding for what the board has not."""
    by_claim: dict[Claim, list[int]] = {}
    for number, shape in enumerate(run.shapes):
        by_claim.setdefault((shape.feature.group, shape.feature.number), []).append(number)
    missing = [claim for claim in run.claims if claim not in by_claim]
    findings = [
        run.finding(7, f"the header says that it cuts {group} {number}, but the {run.setup.name} setup has no such cut")
        for group, number in missing
    ]
    return [number for claim in run.claims for number in by_claim.get(claim, [])], findings
