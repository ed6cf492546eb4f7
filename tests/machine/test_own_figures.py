"""A mill's own figures: inside told of nowhere, beyond them told, far beyond refused, and cut where they are meant."""

import tomllib

import pytest

from pearlkerf.errors import Refusal
from pearlkerf.machine.cutting import cutting_figures, slender
from pearlkerf.machine.model import Cutter, Machine
from pearlkerf.machine.reader import profile_names, read_machine, read_machine_text, read_profile_bytes
from pearlkerf.machine.slender import MOST_BEND_MM, MOST_STRESS_MPA, USUAL_BEND_MM, USUAL_STRESS_MPA
from pearlkerf.way import look, plan

MILLS = [(name, cutter.number) for name in profile_names() for cutter in read_machine(name).cutters
         if cutter.kind == "end mill"]  # fmt: skip
# a board that one mill cuts all of: its slots as wide as the mill
BOARD = """title = "Mill Lane trial board"
unit = "mm"
[scale]
length = 480
frets = 2
[board]
wood = "ebony"
length = 60
nut_width = 42
end_width = 44
thickness = 6
radius = "12 in"
[fret_slots]
width = 0.58
depth = 1.5
"""


def with_own(name: str, number: int, own: str, unusual: str = "") -> Machine:
    """A profile in which one mill has figures of its own."""
    text = read_profile_bytes(name).decode()
    data = tomllib.loads(text)
    place = [each["number"] for each in data["cutter"]].index(number)
    parts = text.split("[[cutter]]")
    parts[place + 1] = parts[place + 1].rstrip() + f"\n{own}\n\n"
    whole = "[[cutter]]".join(parts)
    return read_machine_text(f"{unusual}\n{whole}".encode(), f"{name}.toml")


def bites(machine: Machine, cutter: Cutter) -> tuple[float, float, float]:
    """Bites that are inside, beyond what is usual, and far beyond, by the beam of a handbook; inf where none is."""
    figures, beam = cutting_figures(machine, cutter, "ebony"), slender(cutter)
    chip = figures.feed_mm_min / figures.speed_rpm / cutter.flutes
    usual, most = (min(beam.most_by_bend_mm(chip, bend), beam.most_by_stress_mm(chip, stress)) for bend, stress in (
        (USUAL_BEND_MM, USUAL_STRESS_MPA), (MOST_BEND_MM, MOST_STRESS_MPA)))  # fmt: skip
    return 0.9 * min(usual, figures.bite_mm), (usual + most) / 2, 1.05 * most


@pytest.mark.parametrize(("name", "number"), MILLS)
def test_own_bites_are_taken_told_refused_and_meant(name: str, number: int) -> None:
    machine = read_machine(name)
    cutter = machine.cutter(number)
    assert cutter is not None
    inside, beyond, far = bites(machine, cutter)
    assert with_own(name, number, f"bite = {inside:.4f}").cutter(number).bite_mm == pytest.approx(inside, abs=1e-4)
    if far > cutter.reach_mm:  # so stubby that nothing it can reach breaks it
        return
    told = with_own(name, number, f"bite = {beyond:.4f}")
    load = cutting_figures(told, told.cutter(number), "ebony").load
    assert load is not None and (load.bend_mm > USUAL_BEND_MM or load.stress_mpa > USUAL_STRESS_MPA)
    with pytest.raises(Refusal) as refused:
        with_own(name, number, f"bite = {far:.4f}")
    (problem,) = refused.value.problems
    assert problem.key == f"cutter {number}.bite" and "it breaks" in problem.found and problem.line is not None
    meant = with_own(name, number, f"bite = {far:.4f}", 'unusual = ["cutter.bite"]')
    assert meant.cutter(number).bite_mm == pytest.approx(far, abs=1e-4)


@pytest.mark.parametrize(
    ("own", "told"), [("", 0), ("bite = 0.15", 0), ("bite = 0.4", 1), ("feed = 900\nbite = 0.225", 1)]
)
def test_what_strains_a_mill_is_told_where_it_is_used(own: str, told: int) -> None:
    machine = with_own("benchtop-arcs", 1, own)
    board = look(BOARD)
    found = [each for each in board.warnings_of(plan(board, machine)) if "is stressed by" in each.found]
    assert len(found) == told, found


WRONG = {
    "a feed and a bite of a wider mill": ("feed = 1500\nbite = 0.6", "cutter 1.bite", "it breaks"),
    "a bite of the whole slot": ("bite = 2.2", "cutter 1.bite", "it breaks"),
    "a feed for softwood": ("feed = 1500\nspeed = 8000\nbite = 0.4", "cutter 1.bite", "it breaks"),
    "a bite deeper than it reaches": ("bite = 6", "cutter 1.bite", "deeper than the cutter reaches"),
    "a speed for the spindle's feed": ("speed = 900000", "cutter 1.speed", "too large"),
}


@pytest.mark.parametrize(("own", "key", "words"), WRONG.values(), ids=WRONG)
def test_what_a_beginner_writes_of_a_cutter_is_refused_where_it_stands(own: str, key: str, words: str) -> None:
    with pytest.raises(Refusal) as refused:
        with_own("benchtop-arcs", 1, own)
    found = [each for each in refused.value.problems if each.key == key]
    assert found and words in found[0].found and found[0].line is not None, refused.value
