"""Damage proved programs by the thousand, ask the oracle and the proof, and print a table.

    python tests/damage/run.py --count 20000 --seed 1

Shows every damage that the oracle calls harmful, or unreadable, and the proof passes (there should be
none), and counts harmless ones that the proof refuses, by the rule and the words of its finding.
"""

import argparse
import difflib
import random
import re
import sys
import time
from collections import Counter
from dataclasses import dataclass
from multiprocessing import Pool

from cases import cases, names
from generator import damage
from oracle import Case, Judgement

from pearlkerf.proof.motions import ProgramText
from pearlkerf.proof.prove import SetupUnknown, prove

CLASSES = ("harmful", "unreadable", "borderline", "harmless")


@dataclass(frozen=True)
class Outcome:
    """One damage, what the oracle and the proof say of it."""

    seed: str
    case: str
    file: str
    kind: str
    judgement: Judgement
    passed: bool
    findings: tuple[str, ...]  # "rule: message" of the first few
    difference: str


def proof_says(case: Case, program: int, text: bytes) -> tuple[bool, tuple[str, ...]]:
    """Hold a setup's programs, one of them damaged, against the setup as ``cut`` does."""
    programs = [ProgramText(file, text if n == program else good) for n, (file, good) in enumerate(case.programs)]
    try:
        verdict = prove(programs, [case.setup], case.machine, completeness="whole setups")
    except SetupUnknown:
        return False, ("1: the header does not say setup or cutter",)
    return verdict.proved, tuple(f"{finding.rule}: {finding.message}" for finding in verdict.findings[:4])


def difference(before: bytes, after: bytes) -> str:
    """The lines that a damage changed, with one line round them."""
    old, new = (text.decode("latin-1").split("\n") for text in (before, after))
    lines = difflib.unified_diff(old, new, lineterm="", n=1) if len(old) < 3000 else _ends(old, new)
    return "\n".join(list(lines)[2:12])


def _ends(old: list[str], new: list[str]) -> list[str]:
    """The difference of two long texts: what lies between the same head and the same tail."""
    head = next((n for n, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), min(len(old), len(new)))
    rest = min(len(old), len(new)) - head
    tail = next((n for n in range(rest) if old[-1 - n] != new[-1 - n]), rest)
    gone, come = old[head : len(old) - tail], new[head : len(new) - tail]
    return ["", "", f"@ {head + 1}", " " + old[head - 1], *("-" + x for x in gone), *("+" + x for x in come)]


def try_one(seed: str) -> Outcome | None:
    """Damage some program of some case, all chosen by the seed."""
    draw = random.Random(seed)
    of_job = cases(*draw.choice(names()))
    if not of_job:
        return None
    case = draw.choice(of_job)
    program = draw.randrange(len(case.programs))
    file, text = case.programs[program]
    made = damage(text, seed)
    if made is None:
        return None
    kind, damaged = made
    judgement = case.judge(program, damaged)
    passed, findings = proof_says(case, program, damaged)
    return Outcome(seed, case.name, file, kind, judgement, passed, findings, difference(text, damaged))


def tries(seeds: list[str]) -> list[Outcome]:
    """Several damages at once, for a process."""
    return [outcome for seed in seeds if (outcome := try_one(seed)) is not None]


def table(outcomes: list[Outcome]) -> str:
    """Counts by kind of damage."""
    head = f"{'damage':<20}" + "".join(f"{name + ' ' + what:>22}" for name in CLASSES for what in ("refused", "passed"))
    rows = [head]
    counts = Counter((each.kind, each.judgement.kind, each.passed) for each in outcomes)
    for kind in [*sorted({each.kind for each in outcomes}), "all"]:
        cells = [
            sum(n for (k, c, p), n in counts.items() if (kind in (k, "all")) and c == name and p == passed)
            for name in CLASSES
            for passed in (False, True)
        ]
        rows.append(f"{kind:<20}" + "".join(f"{cell:>22}" for cell in cells))
    return "\n".join(rows)


def reasons(outcomes: list[Outcome]) -> str:
    """Why harmless damages are refused: the findings without their numbers and names."""
    refused = [each for each in outcomes if each.judgement.kind == "harmless" and not each.passed]
    found = Counter(_plain(each) for each in refused)
    return "\n".join(f"{n:>6}  {why}" for why, n in found.most_common(60))


def _plain(outcome: Outcome) -> str:
    words = re.sub(r"-?\d[\d.]*", "#", outcome.findings[0])
    note = f"   [{'; '.join(outcome.judgement.notes)}]" if outcome.judgement.notes else ""
    return outcome.findings[0].split(":")[0] + words[words.index(":") :][:110] + note


def main() -> int:
    """Run, print, and fail where the proof passed harm."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=20000)
    parser.add_argument("--seed", default="1")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument(
        "--show", default="", help="print damages of this sort: 'harmless refused', 'borderline passed'"
    )
    asked = parser.parse_args()
    begun, outcomes, chunk = time.perf_counter(), [], 20
    with Pool(asked.processes) as pool:
        seeds = (f"{asked.seed}-{n}" for n in range(100 * asked.count))
        chunks = iter(lambda: [next(seeds) for _ in range(chunk)], [])
        for some in pool.imap_unordered(tries, chunks):
            outcomes += some
            if len(outcomes) >= asked.count:
                pool.terminate()
                break
    outcomes = sorted(outcomes, key=lambda each: int(each.seed.rsplit("-", 1)[1]))[: asked.count]
    print(table(outcomes), "\n\nharmless and refused, by the first finding:\n" + reasons(outcomes), sep="\n")
    print(f"\n{len(outcomes)} damages in {time.perf_counter() - begun:.0f} s")
    holes = [each for each in outcomes if each.passed and each.judgement.kind in ("harmful", "unreadable")]
    shown = [e for e in outcomes if asked.show == f"{e.judgement.kind} {'passed' if e.passed else 'refused'}"]
    for each in holes + shown:
        print(f"\n{each.seed}: {each.case}, {each.file}, {each.kind}: {each.judgement.kind}, {each.judgement.why} "
              f"{each.judgement.notes}; proof: {each.findings or 'passed'}\n{each.difference}")  # fmt: skip
    print(f"\nharmful and passed: {sum(each.judgement.kind == 'harmful' for each in holes)}")
    return 1 if holes else 0


if __name__ == "__main__":
    sys.exit(main())
