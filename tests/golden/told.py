"""What the proof tells of damaged programs, word for word: a line for each finding of some hundred damages."""

import sys
from dataclasses import replace
from pathlib import Path

FOLDERS = [Path(__file__).parents[1] / name for name in ("", "proof", "damage")]
sys.path[:0] = [str(folder) for folder in FOLDERS if str(folder) not in sys.path]

from generator import damage  # noqa: E402 (the folders that it stands in are named above)
from small_board import (  # noqa: E402
    DOT,
    DRILLED,
    FRET,
    STOPPED,
    bore,
    by_hand,
    face,
    headed,
    loops,
    machine,
    pecks,
    program,
    slot,
    stopped,
    told_from_the_text,
)
from test_proof_holding import LONG, bench, box  # noqa: E402
from test_proof_pointing import GOOD, JOB  # noqa: E402
from test_proof_saw import SAW, sawn  # noqa: E402

from pearlkerf.machine.model import Machine  # noqa: E402
from pearlkerf.proof.prove import Completeness, SetupUnknown, prove  # noqa: E402
from pearlkerf.reading.motions import ProgramText  # noqa: E402
from pearlkerf.setups.model import Setup  # noqa: E402

SEEDS = 60
BORE, SLOT = program(bore()), program(slot(), cutter=1, cuts="frets 1")
BY_HAND = by_hand(BORE)
CLAMP = box((12.9, 20), (0, 10), -1.6, "clamp at the bass side")


def with_saw() -> Machine:
    """The bench machine, wide enough for a saw."""
    on = machine(travel=(100.0, 80.0, 30.0))
    return replace(on, cutters=(*on.cutters, SAW))


def cases() -> dict[str, tuple[str, Setup, Machine]]:
    """Whole programs, but for their heads, each with what it is held against."""
    inches = machine(unit="in", decimals=4)
    return {
        "bore": (BORE, face(DOT), machine()),
        "bore, by hand": (BY_HAND, face(DOT), machine("hand")),
        "bore, a machine in inches": (BORE, face(DOT), inches),
        "bore beside a clamp": (BORE, replace(face(DOT), holding=(CLAMP,)), bench(**LONG)),
        "slot": (SLOT, face(FRET), machine()),
        "slot in lanes": (program(slot(radius=0.25, lanes=(0.05, -0.05)), 7, "frets 1"), face(FRET), machine()),
        "loops": (program(loops(), 7, "frets 1"), face(FRET), machine()),
        "stopped slot": (program(stopped(), 1, "frets 2"), face(STOPPED), machine()),
        "drilled": (program(pecks(), 3, "face dots 3"), face(DRILLED), machine()),
        "sawn": (sawn(), face(FRET), with_saw()),
        "pointing": (GOOD, JOB.toolpaths[0].setup, JOB.machine),
    }


def told(name: str, completeness: Completeness = "whole setups") -> list[str]:
    """Every finding of a case's damages: the seed, the feature, the sentence."""
    text, setup, on = cases()[name]
    lines = []
    for seed in range(-1, SEEDS):  # -1: as it is
        made = damage(text.encode("ascii"), f"{name} {seed}") if seed >= 0 else ("whole", text.encode("ascii"))
        if made is None:
            continue
        behind, head = headed(made[1].decode("latin-1"), setup, on)
        programs = [ProgramText("p.nc", behind.encode("latin-1"))]
        try:
            found = prove(programs, [setup], on, completeness=completeness).findings
            findings = [told_from_the_text(each, head) for each in found]
        except SetupUnknown as unknown:
            lines.append(f"{name} {seed}: {unknown}")
            continue
        lines += [f"{name} {seed}, {each.feature or '-'}: {each}" for each in findings]
    return lines
