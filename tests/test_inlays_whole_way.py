"""Boards with inlays go the whole way: laid out, fitted, cut, proved from their bytes, drawn."""

import pytest

from pearlkerf import way
from pearlkerf.jobs.pieces import Wish
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.machine.reader import read_machine
from pearlkerf.setups.coupons import Coupon
from pearlkerf.setups.samples import as_size_mm
from pearlkerf.setups.selection import Choice
from pearlkerf.setups.steps import Steps

BOARD = """\
unit = "in"
[scale]
length = 25
frets = 12
[board]
wood = "ebony"
hand = "left"
length = 14
nut_width = 1.7
end_width = 2.1
thickness = 0.26
radius = { nut = 10, end = 16 }
[fret_slots]
width = 0.023
depth = 0.08
[[inlay]]
outline = "leaf.svg"
frets = [5, 9]
across = "4 mm"
length = "16 mm"
thickness = "1.5 mm"
[[inlay]]
shape = "oval"
on_frets = [12]
length = "8 mm"
width = "5 mm"
thickness = "1.5 mm"
slots = "by hand"
"""
LEAF = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">
<path fill-rule="evenodd" d="M2 10C8 -2 30 0 38 8C32 20 8 22 2 10Z M14 10a5 3 0 1 0 10 0a5 3 0 1 0 -10 0Z"/></svg>"""


def look(text: str = BOARD) -> way.Look:
    return way.look(text, lambda name: LEAF.encode())


@pytest.mark.parametrize(("profile", "choice"), [
    ("benchtop-arcs", Choice()),
    ("compact-chords", Choice(only=("inlays 2",))),
    ("benchtop-inch-hand", Choice("fret 6")),
])  # fmt: skip
def test_programs_of_inlays_are_proved(profile: str, choice: Choice) -> None:
    machine = read_machine(profile)
    job = way.plan(look(), machine, way.Order(choice))
    made = way.make(job, b"", b"")
    verdict = prove_programs(job, {program.file: program.text for program in made.programs})
    assert verdict.findings == ()
    assert verdict.proved


def test_the_job_s_record_tells_the_drawings_and_their_hashes(tmp_path) -> None:
    machine, board = read_machine("benchtop-arcs"), look()
    job = way.plan(board, machine, way.Order(Choice(only=("inlays",))))
    saved = way.save(way.make(job, BOARD.encode(), b"", board.read.files), tmp_path)
    assert saved.verdict.proved
    record = (tmp_path / "job.json").read_text()
    assert '"files_beside"' in record and '"file": "leaf.svg"' in record
    page = (tmp_path / "dry-run.html").read_text()
    assert "leaf 5" in page


def test_a_coupon_tries_the_smallest_pocket_in_steps_of_its_gap(tmp_path) -> None:
    board = look()
    job = way.plan_on_scrap(board, read_machine("workshop-cycles"), Wish("fits", steps=Steps(-0.05, 0.05, 0.05)))
    saved = way.save(way.make(job, b"", b""), tmp_path)
    assert saved.verdict.proved
    assert job.piece is not None and isinstance(job.piece.of, Coupon)
    pockets = [each for each in job.piece.of.samples if each.feature.group == "inlays"]
    assert [each.fit_mm for each in pockets] == [0.025, 0.05, 0.075]  # half of a step on either side
    widths = [each.feature.width_mm for each in pockets]
    assert widths == pytest.approx([5 + each.fit_mm for each in pockets], abs=0.002)
    read = {each.name: each for each in saved.sizes}
    for each in pockets:
        found = read[each.feature.name]
        assert each.size_mm - 0.0045 < as_size_mm(each, found.least_mm) <= each.size_mm + 0.0005
