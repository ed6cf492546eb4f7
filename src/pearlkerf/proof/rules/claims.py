"""Rule 7, the claims: what a program cuts it claims, and it claims something; what nobody claims is told."""

from collections.abc import Iterator, Sequence

from pearlkerf.proof.runs import Claim, Run
from pearlkerf.proof.verdict import Claimed
from pearlkerf.reading.motions import Finding
from pearlkerf.setups.model import Setup


def what_is_cut_is_claimed(run: Run) -> Iterator[Finding]:
    """Prove that a program claims something, and every feature that it cuts.

    Claims are those of its header; of a program without one, what the caller demands of its cutters.
    """
    if not run.claims:
        verb = "points" if run.setup.purpose == "point" else "cuts"
        form = f"(setup={run.setup.name} cutter={run.sections[0].cutter.number} {verb}=frets 1-7)"
        yield run.finding(7, f"claims nothing, so nothing of it can be proved; write {form} before what it claims")
        return
    for number, shape in enumerate(run.shapes):
        feature, sawn = shape.feature, run.sawn.of(number)
        motions = (*run.inside[number].motion[:1].tolist(), *run.sawn.motion[sawn[:1]].tolist())
        if motions and (feature.group, feature.number) not in run.claims:
            message = f"cuts {feature.name}, which it does not claim"
            yield run.finding(7, message, run.line(min(motions)), feature.name)


def claimed(run: Run) -> tuple[list[int], list[Finding]]:
    """Give the features (indexes) that a program claims, and a finding for what the board has not."""
    by_claim: dict[Claim, list[int]] = {}
    for number, shape in enumerate(run.shapes):
        by_claim.setdefault((shape.feature.group, shape.feature.number), []).append(number)
    missing = [claim for claim in run.claims if claim not in by_claim]
    findings = [
        run.finding(7, f"the header says that it cuts {group} {number}, but the {run.setup.name} setup has no such cut")
        for group, number in missing
    ]
    return [number for claim in run.claims for number in by_claim.get(claim, [])], findings


def claims_of(runs: Sequence[Run], setup: Setup) -> Claimed:
    """Give what the programs of a setup claim, and what the setup demands that none of them claims."""
    demanded = dict.fromkeys((feature.group, feature.number) for feature in setup.features)
    said = {claim for run in runs for claim in run.claims}
    return Claimed(setup.name, setup.purpose, tuple(claim for claim in demanded if claim in said),
                   tuple(claim for claim in demanded if claim not in said))  # fmt: skip
