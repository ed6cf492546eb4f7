"""The proof of one level beside a union of one capsule for each move.

Run: pytest tests/benchmarks/test_bench_proof.py --benchmark-enable
The level is a round pocket 40 mm wide, cleared by a spiral of short chords with a 1 mm mill and
finished by a full turn, as many moves as the benchmark says.  Whole boards of more than 10 000 lines
are proved beside their making, the two in turn.
"""

import math
import time
from pathlib import Path

import numpy as np
import pytest
import shapely

from pearlkerf.board.reader import read_board
from pearlkerf.jobs.making import make_programs, plan_job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.layout.features import Hole
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.surfaces import Stock
from pearlkerf.machine.model import Cutter, Dialect, Machine, Motion, Spindle, Travel
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.identity import identify
from pearlkerf.proof.prove import hold, prepare, prove
from pearlkerf.reading.motions import LINE, ProgramText, Reading
from pearlkerf.reading.reader import read_program
from pearlkerf.setups.lying import NUT_END, Lying
from pearlkerf.setups.model import Setup
from pearlkerf.setups.set_up import set_up

EXAMPLES = Path(__file__).parents[2] / "examples"
LONG_BOARDS = (
    "tideway-bass", "ferry-left-handed-electric", "harbour-steel-string", "heron-parlour-guitar",
    "skiff-tenor-guitar", "wren-tenor-ukulele", "gull-octave-mandolin",
)  # fmt: skip
POCKET_MM, MILL_MM, STEP_OVER_MM = 20.0, 0.5, 0.4  # radii, and the distance between turns
FLOOR_MM, TOLERANCE_MM = -0.3, 0.01
OUTLINE = np.array([[-30.0, -30.0], [30.0, -30.0], [30.0, 30.0], [-30.0, 30.0]])
POCKET = Hole("face dots", 1, "face dot 1", (0.0, 0.0), 2 * POCKET_MM, FLOOR_MM, -0.29, -0.31)
SETUP = Setup("face", "ebony", Stock(OUTLINE, 6.0), (POCKET,), Lying(NUT_END))
MILL = Cutter(1, "end mill", 2 * MILL_MM, 2, 4.0, 16000, None, 400, 100, 0.5)
MACHINE = Machine(
    "bench", "A bench router", Travel(100.0, 100.0, 50.0), Spindle(8000, 24000, "program", 2.0),
    Motion((2000, 2000, 800), (1500, 1500, 300), (200, 200, 100), 5.0), Dialect(decimals=4), (MILL,),
)  # fmt: skip


def spiral(moves: int, finished: float = 1.0) -> Reading:
    """A program that clears the pocket, read back."""
    return read_program(spiral_text(moves, finished))


def spiral_text(moves: int, finished: float = 1.0) -> bytes:
    """A program that clears the pocket in about so many moves; ``finished`` is the part of its last turn."""
    outer = POCKET_MM - MILL_MM
    turns = math.ceil(outer / STEP_OVER_MM)
    pitch = outer / (2 * math.pi * turns)
    chord = (math.pi * outer * turns + 2 * math.pi * outer) / moves
    angle, points = 0.0, []
    while pitch * angle < outer:
        points.append((pitch * angle, angle))
        angle += chord / max(pitch * angle, 0.3)
    last = math.ceil(2 * math.pi * outer / min(chord, 0.25))
    points += [(outer, angle + 2 * math.pi * place / last) for place in range(round(last * finished) + 1)]
    lines = [f"G1 X{away * math.cos(at):.4f} Y{away * math.sin(at):.4f}" for away, at in points]
    head = ["(setup=face cutter=1 cuts=face dots 1)", "G21 G17 G90 G94 G54", "G0 Z5.0", "S16000 M3", "G4 P2.0"]
    body = ["G0 X0.0 Y0.0", "G0 Z0.5", f"G1 Z{FLOOR_MM} F100.0", "G1 X0.0001 F400.0", *lines, "G1 Z0.5 F100.0"]
    return "\n".join([*head, *body, "G0 Z5.0", "M5", "M2", ""]).encode("ascii")


def judge(reading: Reading) -> list[str]:
    """The whole proof, rules 2 to 9, of a program that has been read."""
    identity = identify(reading, "1.nc", [SETUP], MACHINE)
    run = prepare(reading, "1.nc", identity, SETUP, MACHINE)
    return [str(finding) for finding in hold([run], SETUP, "whole setups")]


def union_of_capsules(reading: Reading) -> tuple[float, float]:
    """The reference: areas cut outside and left inside, by a union of one capsule for each move."""
    motions = reading.motions
    cuts = (motions.kind == LINE) & (motions.start[:, 2] < 0) & (motions.end[:, 2] < 0)
    ends = np.stack([motions.start[cuts, :2], motions.end[cuts, :2]], axis=1)
    swept = shapely.union_all(shapely.buffer(shapely.linestrings(ends), MILL_MM, quad_segs=16))
    least, most = (shapely.Point(0, 0).buffer(POCKET_MM + off, quad_segs=512) for off in (-TOLERANCE_MM, TOLERANCE_MM))
    return swept.difference(most).area, least.difference(swept).area


@pytest.mark.parametrize("moves", [1_000, 15_000, 100_000])
def test_proof_of_one_level(benchmark, moves):
    reading = spiral(moves)
    benchmark.group = f"one level, {moves} moves"
    assert benchmark(judge, reading) == []


@pytest.mark.parametrize("moves", [1_000, 15_000, 100_000])
def test_proof_of_one_level_from_its_bytes(benchmark, moves):
    """Dialect, reading and all rules."""
    program = ProgramText("1.nc", spiral_text(moves))
    benchmark.group = f"one level, {moves} moves"
    assert benchmark(prove, [program], [SETUP], MACHINE, completeness="whole setups").proved
    if benchmark.enabled:
        benchmark.extra_info["us_a_move"] = round(benchmark.stats.stats.min * 1e6 / moves, 2)


@pytest.mark.parametrize("moves", [1_000, 15_000])
def test_union_of_one_capsule_for_each_move(benchmark, moves):
    reading = spiral(moves)
    benchmark.group = f"one level, {moves} moves"
    assert benchmark.pedantic(union_of_capsules, args=(reading,), rounds=3) == (0.0, 0.0)


def test_both_find_a_finishing_turn_that_was_cut_short():
    short = spiral(5_000, finished=0.95)
    assert any("not cut to its full size" in finding for finding in judge(short))
    assert union_of_capsules(short)[1] > 0


@pytest.mark.parametrize("example", LONG_BOARDS)
def test_proof_of_a_whole_board_beside_its_making(benchmark, example):
    """What part of the time that making takes the proof takes: from the layout to bytes, and from the bytes on."""
    benchmark.group = "proof beside making"
    board = read_board(EXAMPLES / f"{example}.toml").board
    assert board is not None
    clampings, on = set_up(lay_out(board)), read_machine("compact-chords")
    job = plan_job(clampings, on)
    texts = {program.file: program.text for program in make_programs(job, "a benchmark")}
    lines = sum(text.count(b"\n") for text in texts.values())
    assert lines > 10_000
    assert benchmark.pedantic(prove_programs, (job, texts), rounds=1).proved
    if not benchmark.enabled:
        return
    makes, proves = math.inf, math.inf
    for _ in range(5):
        makes = min(makes, seconds(lambda: make_programs(plan_job(clampings, on), "a benchmark")))
        proves = min(proves, seconds(lambda: prove_programs(job, texts)))
    benchmark.extra_info["part_of_making"] = round(proves / makes, 2)
    print(f"\n{example}, {lines} lines: made in {makes:.3f} s, proved in {proves:.3f} s, {proves / makes:.2f} of it")


def seconds(what) -> float:
    began = time.process_time()
    what()
    return time.process_time() - began
