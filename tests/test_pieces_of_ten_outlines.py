"""Pieces of drawings go into their pockets: by the proof's rule, and by plain distances that share nothing with it.

A few outlines here; all ten for three pairs of cutters and two gaps:
pytest tests/benchmarks/test_bench_fit.py --benchmark-enable -s
"""

import re

import pytest
import shapely

import inlaid
from grid_of_pieces import Asked, by_plain_distances, by_the_rule, look, machine_of, made
from pearlkerf import way
from pearlkerf.jobs.from_blanks import PiecesWish
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.identity import NOBODY_ASSUMED
from pearlkerf.reading.motions import ProgramText
from plain_fit import cuts, fits, in_pocket, places_of

WITHIN_MM = 0.01  # of the gap, on either side
CUT = [
    Asked("benchtop-arcs", (3, 1), 0.05, "tape", names=("ring", "neck")),
    Asked("benchtop-arcs", (1, 3), 0.1, "skin", "by hand", ("cross", "points")),
    Asked("benchtop-arcs", (1, 1), 0.05, "tabs", names=("cross",), material="maple"),
    Asked("compact-chords", (3, 1), 0.1, "tape", names=("neck",)),
    Asked("compact-chords", (1, 3), 0.05, "skin", names=("cross",)),
    Asked("compact-chords", (1, 3), 0.05, "tabs", names=("cross",), material="maple"),
    Asked("benchtop-inch-hand", (3, 3), 0.05, "tape", names=("neck",)),
    Asked("benchtop-inch-hand", (1, 3), 0.05, "skin", names=("cross",)),
    Asked("benchtop-inch-hand", (1, 1), 0.1, "tabs", names=("cross",), material="maple"),
]


@pytest.mark.parametrize("asked", CUT, ids=lambda each: f"{each.profile}-{each.hold}")
def test_every_piece_goes_into_its_pocket_by_the_rule_and_by_plain_distances(asked: Asked) -> None:
    assert by_the_rule(asked) == ()
    found = by_plain_distances(asked)
    assert {name.partition("/")[0] for name in found} == set(asked.names)
    for name, fit in found.items():
        assert fit.least_mm >= asked.gap_mm - WITHIN_MM, (name, fit)
        assert fit.most_mm <= asked.gap_mm + WITHIN_MM, (name, fit)


def test_the_same_board_gives_the_same_bytes_twice() -> None:
    assert made.__wrapped__(CUT[3]) == made(CUT[3])


CROSS = Asked("compact-chords", (1, 3), 0.05, "skin", names=("cross",))


def widened(text: bytes, by_mm: float) -> bytes:
    """Move what is fed on one side of a cut's middle along X."""
    lines = text.decode("ascii").splitlines(keepends=True)
    found = [float(each[1]) for line in lines if (each := re.match(r"G1 X([\d.]+)", line))]
    middle = (min(found) + max(found)) / 2
    for index, line in enumerate(lines):
        each = re.match(r"G1 X([\d.]+)", line)
        if each and float(each[1]) > middle + 2:
            lines[index] = line.replace(f"X{each[1]}", f"X{float(each[1]) + by_mm:.3f}")
    return "".join(lines).encode("ascii")


@pytest.mark.parametrize("of_piece", [False, True])
@pytest.mark.parametrize("by_mm", [0.02, -0.02])
def test_two_hundredths_in_the_bytes_of_a_pocket_or_a_piece_are_found_by_both(of_piece: bool, by_mm: float) -> None:
    pockets, pieces = made(CROSS)
    changed = [
        [ProgramText(each.file, widened(each.text, by_mm)) if piece is of_piece else each for each in programs]
        for piece, programs in ((False, pockets), (True, pieces))
    ]
    held = way.prove(look(CROSS), machine_of(CROSS), [*changed[0], *changed[1]], NOBODY_ASSUMED).verdict
    assert "cross" in {each.feature for each in held.findings}
    radii = {each.number: each.radius_mm for each in machine_of(CROSS).cutters}
    pocket, piece = (cuts([each.text.decode() for each in programs], radii)["cross"] for programs in changed)
    good = cuts([each.text.decode() for each in pockets], radii)["cross"]
    most, least = in_pocket(piece, places_of([each.text.decode() for each in pieces]), 100.0, good)
    fit = fits(most, least, pocket, exempt=shapely.Polygon())
    assert min(fit.least_mm - 0.04, 0.06 - fit.most_mm) < -0.005


def test_a_hole_that_is_cut_after_the_outside_of_its_piece_is_found() -> None:
    asked = CUT[0]
    pockets, pieces = made(asked)
    [program] = pieces
    text = program.text.decode("ascii")
    hole, outside, after = (text.index(f"({name})\n") for name in ("ring hole", "ring", "neck"))
    assert hole < outside < after
    exchanged = text[:hole] + text[outside:after] + text[hole:outside] + text[after:]
    changed = ProgramText(program.file, exchanged.encode("ascii"))
    found = way.prove(look(asked), machine_of(asked), [*pockets, changed], NOBODY_ASSUMED).verdict.findings
    assert [(each.rule, each.message) for each in found] == [
        (10, "ring hole is cut after the channel round ring, which holds it no longer")
    ]


@pytest.mark.parametrize("profile", inlaid.PROFILES)
def test_dots_of_shell_go_into_their_holes_by_plain_distances_too(profile: str) -> None:
    radii = {each.number: each.radius_mm for each in read_machine(profile).cutters}
    dots = PiecesWish(("face dots",))
    holes, pieces = inlaid.pockets(profile), inlaid.pieces(profile, 0.05, dots)
    assert inlaid.held(profile, pieces).findings == ()
    bored = cuts([each.text.decode() for each in holes], radii)["face dot 9"]
    heads = [each.text.decode() for each in pieces]
    cut = cuts(heads, radii)["face dot 9"]
    most, least = in_pocket(cut, places_of(heads), 50.0, bored)
    fit = fits(most, least, bored, exempt=shapely.Polygon())
    assert 0.05 - WITHIN_MM <= fit.least_mm <= fit.most_mm <= 0.05 + WITHIN_MM


def test_pieces_cut_where_all_is_gone_by_now_are_found() -> None:
    profile, count = inlaid.PROFILES[0], "count = 4\n"
    programs = inlaid.pieces(profile)
    spoiled = inlaid.look(0.05, "", (count, f"{count}used = [{{ blank = 1, box = [0, 0, 12, 12] }}]\n"))
    found = way.prove(spoiled, read_machine(profile), programs, NOBODY_ASSUMED).verdict.findings
    assert any("claims (place=" in each.message and "is not so for this board" in each.message for each in found)
    assert inlaid.held(profile, programs).findings == ()


@pytest.mark.parametrize("kept", [0, 1])
def test_one_of_two_programs_that_clear_a_pocket_is_not_enough(kept: int) -> None:
    asked = Asked("benchtop-arcs", (1, 1), names=("cross",))
    pockets, pieces = made(asked)
    assert len(pockets) == 2
    found = way.prove(look(asked), machine_of(asked), [pockets[kept], *pieces], NOBODY_ASSUMED).verdict.findings
    assert any(each.rule == 7 and each.message.startswith("cross is not cut to its full size") for each in found)
