"""Nine outlines, three pairs of cutters, two gaps: every piece goes into its pocket, as the bytes of both have it.

Run: pytest tests/benchmarks/test_bench_fit.py --benchmark-enable -s     (minutes)
"""

from itertools import product

import pytest

from pearlkerf import way
from pearlkerf.jobs.from_blanks import PiecesWish, plan_pieces
from pearlkerf.jobs.making import make_programs
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.identity import NOBODY_ASSUMED
from pearlkerf.reading.motions import ProgramText

BOARD = """\
unit = "mm"
[scale]
length = 648
frets = 12
[board]
wood = "ebony"
length = 330
nut_width = 46
end_width = 56
thickness = 6.5
[[inlay_blank]]
material = "abalone"
thickness = 1.6
length = 60
width = 40
count = 20
hold = "{hold}"
"""
SHAPES = (
    ("diamond", 12, 8), ("oval", 12, 7), ("cat's eye", 14, 7), ("half moon", 11, 9), ("snowflake", 16, 16),
    ("star", 14, 14), ("ring", 12, 12), ("parallelogram", 10, 7), ("", 30, None),
)  # fmt: skip
PAIRS = ((1, 1), (1, 2), (1, 3))


def board(pair: tuple[int, int], gap: float, hold: str, corners: str) -> str:
    text = BOARD.format(hold=hold)
    for space, (shape, length, width) in enumerate(SHAPES, 1):
        what = f'shape = "{shape}"\nwidth = {width}' if shape else 'text = "Wren"'
        text += (
            f'[[inlay]]\n{what}\nname = "i{space}"\nfrets = [{space}]\nlength = {length}\ngap = {gap}\nproud = 0.1\n'
        )
        text += f"detail = 6\npocket_cutter = {pair[0]}\npiece_cutter = {pair[1]}\n"
        text += f'material = "abalone"\ncorners = "{corners}"\n'
    return text


@pytest.mark.parametrize(("pair", "gap"), list(product(PAIRS, (0.05, 0.1))))
def test_every_piece_goes_into_its_pocket(pair: tuple[int, int], gap: float) -> None:
    machine = read_machine("benchtop-arcs")
    hold, corners = "skin" if pair == (1, 2) else "tape", "by hand" if pair == (1, 1) else "rounded"
    look = way.look(board(pair, gap, hold, corners))
    assert look.problems == ()
    jobs = {"pieces/": plan_pieces(look.clamped(), machine, PiecesWish()), "": way.plan(look, machine)}
    texts = [
        ProgramText(f"{folder}{program.file}", program.text)
        for folder, job in jobs.items() for program in make_programs(job, "pearlkerf 0")
    ]  # fmt: skip
    assert way.prove(look, machine, texts, NOBODY_ASSUMED).verdict.findings == ()
