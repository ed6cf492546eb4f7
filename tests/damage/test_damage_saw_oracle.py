"""The oracle's saw against damages whose harm is plain to see, on a proved program for a saw."""

import re

import numpy as np
import pytest
from cases import cases
from plain_saw import Blade, edge_mm, saw
from plain_wood import Strokes
from test_damage_proof import SAWN

from pearlkerf.layout.features import Slot
from pearlkerf.layout.surfaces import Crown, Floor, Stock
from pearlkerf.setups.lying import NUT_END, Lying
from pearlkerf.setups.model import Setup

FACE = cases(*SAWN)[0]
PROGRAM = next(n for n, strokes in enumerate(FACE.strokes) if (strokes.saw >= 0).any())
TEXT = FACE.programs[PROGRAM][1].decode("ascii")
OUTLINE = np.array([[0.0, -20.0], [60.0, -20.0], [60.0, 20.0], [0.0, 20.0]])
BLADE = Blade(1, 31.5, 0.3, 20.0, 1.0)


def slot_lines() -> tuple[list[str], int, int]:
    """The program's lines, and where its third slot begins and ends."""
    lines = TEXT.split("\n")
    begins = [n for n, line in enumerate(lines) if re.match(r"\(fret \d+", line)]
    return lines, begins[2] + 1, begins[3]


def judged(change) -> str:
    """What the oracle says when the lines of the third slot are changed."""
    lines, first, last = slot_lines()
    lines[first:last] = change(lines[first:last])
    judgement = FACE.judge(PROGRAM, "\n".join(lines).encode("ascii"))
    return f"{judgement.kind}: {judgement.why}"


def moved(letter: str, by: float, where=lambda _: True):
    """Change every figure behind a letter, on the lines that are asked for."""

    def change(lines: list[str]) -> list[str]:
        return [
            re.sub(rf"{letter}(-?\d+\.\d+)", lambda found: f"{letter}{float(found[1]) + by:.3f}", line)
            if where(line)
            else line
            for line in lines
        ]

    return change


def feeds(line: str) -> bool:
    """Whether a line saws: a feed along Y."""
    return line.startswith("G1") and "Y" in line


def at_rapid(lines: list[str]) -> list[str]:
    """Make rapids of all that saws."""
    return [line.replace("G1", "G0") if feeds(line) else line for line in lines]


def test_the_whole_program_is_harmless_move_by_move() -> None:
    assert FACE.judge(PROGRAM, TEXT.encode("ascii"), afresh=True).kind == "harmless"
    assert len(FACE.sawn) > 5


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (moved("X", 0.2), "harmful: saws outside a slot or too deep"),
        (moved("Z", -0.2, lambda line: "Z-" in line), "harmful: saws outside a slot or too deep"),
        (moved("Z", 0.2, lambda line: "Z-" in line), "left unsawn"),
        (lambda lines: [line for line in lines if not feeds(line)], "harmful"),
        (at_rapid, "harmful: a rapid through wood"),
        (lambda lines: [re.sub(r"F\d+\.\d+", "F9000.0", line) for line in lines], "harmful: too high a feed"),
    ],
    ids=["beside", "too deep", "too shallow", "lost", "at rapid", "too fast"],
)  # fmt: skip
def test_harm_is_seen(change, why: str) -> None:
    assert why in judged(change)


@pytest.mark.parametrize(("old", "new", "why"), [(" M3", "", "spindle off"), (" M3", " M4", "backward")])
def test_a_blade_that_does_not_turn_or_turns_backward_is_harm(old: str, new: str, why: str) -> None:
    judgement = FACE.judge(PROGRAM, TEXT.replace(old, new, 1).encode("ascii"))
    assert judgement.kind == "harmful" and why in judgement.why


def strokes(*places) -> Strokes:
    """A way of a blade through places (x, y, z), all feeds."""
    points, count = np.array(places, dtype=float), len(places) - 1
    return Strokes(points[:-1], points[1:], np.arange(count), np.full(count, BLADE.radius), np.zeros(count),
                   np.zeros(count, dtype=bool), np.full(count, 1))  # fmt: skip


def sawing(*places, crown=None, narrow=0.01):
    """What the blade does on that way in a slot at X 20, 2 mm deep."""
    setup = Setup("face", "ebony", Stock(OUTLINE, 6.0, crown=crown), (), Lying(NUT_END))
    slot = Slot("frets", 1, "fret 1", (20.0, -20.0), (20.0, 20.0), 0.6, Floor(-2.0), through=True)
    return saw(setup, slot, BLADE, strokes(*places), narrow)


def test_a_disc_reaches_as_far_as_its_chord() -> None:
    """A chord at depth h of a disc of radius r is 2 sqrt(2 r h - h**2) long (any geometry handbook)."""
    half = np.sqrt(2 * 31.5 * 1.0 - 1.0)
    edge = edge_mm(np.array([[0.0, 0.0, -1.0]]), 31.5, np.array([-half, 0.0, half, 40.0]))[0]
    assert edge == pytest.approx([0.0, -1.0, 0.0, np.inf])


def test_what_a_visit_takes_adds_up_and_the_next_begins_anew() -> None:
    away, over = (20.0, 60.0, -2.0), (20.0, 60.0, 5.0)
    once = sawing((20, -60, 5), (20, -60, -2), away)
    assert once.visit[-1] == pytest.approx(2.0) and once.final.max() == pytest.approx(-2.0)
    twice = sawing((20, -60, -1), (20, 60, -1), (20, 60, 5), (20, -60, 5), (20, -60, -2), away, over)
    assert twice.visit.max() == pytest.approx(1.0)


def test_the_way_and_the_way_down_are_seen() -> None:
    assert sawing((20, 60, -2), (20, -60, -2)).wrong.max() == pytest.approx(2.0)
    assert sawing((20, -60, -2), (20, 60, -2)).wrong.max() == 0.0
    assert sawing((20, 0, 1), (20, 0, -2)).down.max() == pytest.approx(2.0)


def test_a_pass_beside_the_slot_does_not_saw_it() -> None:
    assert sawing((20.03, -60, -2), (20.03, 60, -2)).final.max() == 0.0
    assert sawing((20.005, -60, -2), (20.005, 60, -2)).final.max() == pytest.approx(-2.0)


def test_under_a_crown_the_raw_top_is_lower_at_the_edges() -> None:
    crown = Crown(250.0, 250.0, 60.0)
    assert sawing((20, -60, -1), (20, 60, -1), crown=crown).visit.max() == pytest.approx(1.0, abs=0.01)
