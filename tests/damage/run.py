"""Damage proved programs by the thousand, ask the oracle and the proof, and print a table.

    python tests/damage/run.py --count 20000 --seed 1 --jobs 2

Half of the damage is done by chance, half as somebody thought it up; its names begin with the number of the
kind of harm that it may do.  Programs are held as ``pearlkerf prove`` holds edited ones: for the cuts that
their headers name.

Shows damage that the oracle calls harmful, or unreadable, and the proof passes (there should be none), by the
oracle's reason, with examples; and counts harmless ones that the proof refuses, by the rule and the words of
its finding.  Of those, some must be refused because the machine's dialect, or a rule as it is stated, says so
(DEMANDED tells why); what is left is refused needlessly.
"""

import argparse
import difflib
import random
import re
import sys
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from multiprocessing import Pool

from cases import cases, names_inlaid, names_with_held
from oracle import Case, Judgement
from piece_cases import ASKED, PieceCase, piece_cases
from thought_damage import any_damage
from thought_pieces import piece_damage
from thought_pockets import pocket_damage

from pearlkerf.proof.prove import Assumed, SetupUnknown, prove
from pearlkerf.reading.motions import ProgramText

CLASSES = ("harmful", "unreadable", "borderline", "harmless")
# what begins the first finding of a refusal that a rule demands though the oracle sees no harm: it knows
# wood and cutters, not clamps, nor what one controller may make of a word
DEMANDED = (
    ("1: ", "dialect", "rule 1: what is outside the language or the dialect, a head without setup or cutter"),
    ("2: moves before all modes", "rule", "rule 2: modes are stated as they are meant, though no arc follows"),
    ("3: cuts at a feed", "rule", "rule 3: in the wood a feed is the cutter's, out of what is cut already too"),
    ("3: creeps", "rule", "rule 3: in the wood a feed has a least, however short the way is"),
    ("3: drives ", "rule", "rule 3: an axis faster than it can go loses its place on some machines, also in the air"),
    ("5: moves sideways", "rule", "rule 5: below clearance stand clamps, which only the operator knows"),
    ("5: moves at rapid", "rule", "rule 5: at rapid beside wood only with room for a cutter that runs out"),
    ("5: feeds sideways", "rule", "rule 5: a feed sideways in the air below clearance is held like a rapid"),
    ("7: claims", "rule", "rule 7: a program says first what it cuts"),
    ("7: cuts ", "rule", "rule 7: a program claims all that it cuts"),
    ("7: the header says", "rule", "rule 7: a program answers for what it claims to cut"),
    ("10: ", "rule", "rule 10: a gap keeps to a hundredth, and holes of a piece come before its outside"),
    ("9: has no end", "rule", "rule 9, and NISTIR 6556, section 3.1: without its M2 or M30 a tail may be missing"),
)  # fmt: skip


# how much of the damage is done as somebody thought it up for pockets; and for pieces
THOUGHT_SHARE = (0.5, 0.7)


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
    """Hold a setup's programs, one of them damaged, against the setup as ``pearlkerf prove`` does."""
    programs = [ProgramText(file, text if n == program else good) for n, (file, good) in enumerate(case.programs)]
    setups = [case.setup]
    if isinstance(case, PieceCase):
        setups.append(case.beside.setup)
        programs += [ProgramText(file, text) for file, text in case.beside.programs]
    try:
        called = Assumed(titles=case.titles)
        verdict = prove(programs, setups, case.machine, called, completeness="named cuts")
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


def try_one(seed: str, machine: str = "", only: str = "") -> Outcome | None:
    """Damage some program of some case, all chosen by the seed; of one ``machine`` where it is named."""
    draw = random.Random(seed)
    case = a_case(draw, machine, only)
    if case is None:
        return None
    programs = [n for n, (_, text) in enumerate(case.programs) if only != "inlays" or b"inlays " in text]
    program = draw.choice(programs)
    file, text = case.programs[program]
    by_thought = piece_damage if isinstance(case, PieceCase) else pocket_damage if inlaid(case) else any_damage
    made = (by_thought if draw.random() < THOUGHT_SHARE[by_thought is piece_damage] else any_damage)(text, seed)
    if made is None:
        return None
    kind, damaged = made
    judgement = case.judge(program, damaged)
    passed, findings = proof_says(case, program, damaged)
    return Outcome(seed, case.name, file, kind, judgement, passed, findings, difference(text, damaged))


def a_case(draw: random.Random, machine: str, only: str) -> Case | None:
    """Choose a setup: of all examples, of those with "inlays" only, or of "pieces" and their pockets only."""
    if only == "pieces":
        return draw.choice(
            piece_cases(draw.choice([n for n, each in enumerate(ASKED) if machine in ("", each.profile)]))
        )
    names = names_inlaid() if only else [*dict.fromkeys(names_with_held() + names_inlaid())]
    of_job = cases(*draw.choice([each for each in names if machine in ("", each[1])]))
    found = [each for each in of_job if not only or inlaid(each)]
    return draw.choice(found) if found else None


def inlaid(case: Case) -> bool:
    """Whether a case has pockets of inlays."""
    return any(feature.kind == "pocket" for feature in case.setup.features)


def tries(seeds: list[str], machine: str = "", only: str = "") -> list[Outcome]:
    """Several damages at once, for a process."""
    return [outcome for seed in seeds if (outcome := try_one(seed, machine, only)) is not None]


def table(outcomes: list[Outcome]) -> str:
    """Counts by kind of damage."""
    columns = [f"{name} {what}" for name in CLASSES for what in ("refused", "passed")]
    columns[-2:-1] = ["by the dialect", "by a rule", "needlessly"]
    rows = [f"{'damage':<20}" + "".join(f"{name:>21}" for name in columns)]
    counts = Counter((each.kind, column(each)) for each in outcomes)
    for kind in [*sorted({each.kind for each in outcomes}), "all"]:
        cells = [sum(n for (k, c), n in counts.items() if kind in (k, "all") and c == name) for name in columns]
        rows.append(f"{kind:<20}" + "".join(f"{cell:>21}" for cell in cells))
    return "\n".join(rows) + '\n("by ..." and "needlessly": harmless and refused)'


def column(outcome: Outcome) -> str:
    """The column of the table that an outcome is counted in."""
    judged = outcome.judgement.kind
    if judged != "harmless" or outcome.passed:
        return f"{judged} {'passed' if outcome.passed else 'refused'}"
    own = [each for each in outcome.findings if not _follows(each, outcome.findings[0])]
    by = {demanded(each) for each in own}
    return "needlessly" if "" in by else "by the dialect" if "dialect" in by else "by a rule"


def _follows(finding: str, first: str) -> bool:
    """Whether a finding only says that what cannot be read cuts nothing."""
    return first.startswith("1: ") and bool(re.match(r"7: (no program cuts|.* is not cut$)", finding))


def demanded(finding: str) -> str:
    """Whether "dialect" or "rule" demands a finding; nothing where neither does."""
    return next((by for begin, by, _ in DEMANDED if finding.startswith(begin)), "")


def reasons(outcomes: list[Outcome]) -> str:
    """Why harmless damages are refused: the findings without their numbers and names."""
    refused = [each for each in outcomes if each.judgement.kind == "harmless" and not each.passed]
    found = Counter(_plain(each) for each in refused)
    told = [f"{n:>6}  {why}" for why, n in found.most_common(60)]
    return "\n".join([*told, "\ndemanded, although the oracle sees no harm:", *(f"  {why}" for _, _, why in DEMANDED)])


def _plain(outcome: Outcome) -> str:
    words = re.sub(r"-?\d[\d.]*", "#", outcome.findings[0])
    note = f"   [{'; '.join(outcome.judgement.notes)}]" if outcome.judgement.notes else ""
    return outcome.findings[0].split(":")[0] + words[words.index(":") :][:110] + note


def holes_told(holes: list[Outcome], examples: int) -> str:
    """What passed though it does harm, or nobody can read it, by the oracle's reason, some of each in full."""
    groups: dict[str, list[Outcome]] = {}
    for each in holes:
        groups.setdefault(f"{each.judgement.kind}: {_reason(each)}", []).append(each)
    told = []
    for reason, some in sorted(groups.items(), key=lambda item: -len(item[1])):
        kinds = ", ".join(f"{kind} {n}" for kind, n in Counter(each.kind for each in some).most_common())
        told.append(f"\n=== {len(some)} passed, {reason}\n    by: {kinds}")
        told += [in_full(each) for each in some[:examples]]
    return "\n".join(told)


def _reason(outcome: Outcome) -> str:
    """The oracle's reason without figures and quotations."""
    why = re.sub(r"-?\b\d[\d.]*", "#", outcome.judgement.why)
    return why if ":" not in why or "#" in why.partition(":")[2] else why.partition(":")[0]


def in_full(each: Outcome) -> str:
    """One damage with all that is known of it."""
    return (f"\n{each.seed}: {each.case}, {each.file}, {each.kind}: {each.judgement.kind}, {each.judgement.why} "
            f"{each.judgement.notes}; proof: {each.findings or 'passed'}\n{each.difference}")  # fmt: skip


def outcomes_of(count: int, seed: str, jobs: int, machine: str, only: str) -> list[Outcome]:
    """So many outcomes, in the order of their seeds, from several processes; fewer where it is interrupted."""
    begun, outcomes, chunk = time.perf_counter(), [], 20
    with Pool(jobs) as pool:
        seeds = (f"{seed}-{n}" for n in range(100 * count))
        chunks = iter(lambda: [next(seeds) for _ in range(chunk)], [])
        with suppress(KeyboardInterrupt):
            for some in pool.imap(partial(tries, machine=machine, only=only), chunks):
                before, outcomes = len(outcomes), outcomes + some
                if len(outcomes) // 1000 > before // 1000:
                    print(f"{len(outcomes)} in {time.perf_counter() - begun:.0f} s", file=sys.stderr, flush=True)
                if len(outcomes) >= count:
                    break
        pool.terminate()
    return outcomes[:count]


def main() -> int:
    """Run, print, and fail where the proof passed harm."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=20000)
    parser.add_argument("--seed", default="1")
    parser.add_argument("--jobs", type=int, default=2, help="processes")
    parser.add_argument("--show", default="", help="print damages of this column: 'borderline passed', 'needlessly'")
    parser.add_argument("--examples", type=int, default=4, help="of each reason for which passed damage does harm")
    parser.add_argument("--machine", default="", help="only programs for this machine profile")
    parser.add_argument("--only-inlays", action="store_true", help="only programs that cut pockets of inlays")
    parser.add_argument("--only-pieces", action="store_true", help="only programs of pieces, and of their pockets")
    asked = parser.parse_args()
    only = "pieces" if asked.only_pieces else "inlays" if asked.only_inlays else ""
    begun = time.perf_counter()
    outcomes = outcomes_of(asked.count, asked.seed, asked.jobs, asked.machine, only)
    print(table(outcomes), "\n\nharmless and refused, by the first finding:\n" + reasons(outcomes), sep="\n")
    print(f"\n{len(outcomes)} damages in {time.perf_counter() - begun:.0f} s")
    holes = [each for each in outcomes if each.passed and each.judgement.kind in ("harmful", "unreadable")]
    print(holes_told(holes, asked.examples))
    print("\n".join(in_full(each) for each in outcomes if asked.show == column(each)))
    harmless = [each for each in outcomes if each.judgement.kind == "harmless"]
    needless = sum(column(each) == "needlessly" for each in harmless)
    print(f"\nharmless and refused needlessly: {needless} of {len(harmless)} ({needless / len(harmless):.2%})")
    print(f"harmful and passed: {sum(each.judgement.kind == 'harmful' for each in holes)}")
    print(f"unreadable and passed: {sum(each.judgement.kind == 'unreadable' for each in holes)}")
    return 1 if holes else 0


if __name__ == "__main__":
    sys.exit(main())
