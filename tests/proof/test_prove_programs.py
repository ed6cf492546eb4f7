"""prove(): whose program it is, what it claims, and what is held against a set of programs."""

from dataclasses import replace

import pytest
from small_board import (
    AGAIN,
    DRILLED,
    OFF,
    SET,
    bore,
    broken,
    damaged,
    face,
    machine,
    pecks,
    program,
    rules,
    slot,
    stopped,
    verdict,
)

from pearlkerf.proof.prove import Assumed, SetupUnknown

GOOD = program(bore())
HEADLESS = GOOD.split("\n", 1)[1]


def told(text, **how):
    return [finding.message for finding in verdict(text, **how).findings if finding.rule == 1]


def test_a_verdict_says_what_was_read():
    proved = verdict(GOOD).programs[0]
    assert (proved.setup, proved.cutters, proved.program.file) == ("face", (2,), "1.nc")
    assert proved.reading is not None and len(proved.reading.motions.kind) > 10


def test_a_verdict_carries_figures_of_every_program():
    figures = {name: (value, unit) for name, value, unit in verdict(GOOD).figures}
    assert figures["1.nc: lowest cut"] == (pytest.approx(-1.5), "mm")
    assert figures["1.nc: farthest outside a feature"][0] < 0.01
    off = {name: value for name, value, _ in verdict(program(bore(orbit=1.52))).figures}
    assert off["1.nc: farthest outside a feature"] == pytest.approx(0.02, abs=0.001)


def test_the_command_line_completes_a_program_without_a_header():
    assert (
        rules(HEADLESS, on=machine(comments=False), assumed=Assumed("face", (2,), claims=(("face dots", 1),))) == set()
    )
    more = Assumed("face", (2,), claims=(("face dots", 1), ("face dots", 3)))
    known = Assumed("face", (2,), claims=(("face dots", 1),))
    assert rules(HEADLESS, on=machine(comments=False), assumed=known) == set()
    more = Assumed("face", (2,), claims=(("face dots", 1), ("face dots", 3)))
    assert rules(HEADLESS, on=machine(comments=False), assumed=more) == {7}


@pytest.mark.parametrize(
    ("assumed", "what"), [(Assumed(), "setup"), (Assumed("face"), "cutter"), (Assumed(None, (2,)), "setup")]
)
def test_a_program_of_nobody_is_not_judged(assumed, what):
    with pytest.raises(SetupUnknown) as refusal:
        verdict(HEADLESS, assumed=assumed)
    assert refusal.value.what == what and "1.nc" in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "assumed", "words"),
    [
        (GOOD, Assumed("edge"), "the header names the setup face, the command line edge"),
        (GOOD, Assumed(None, (1,)), "cuts with cutter 2, but the command line says 1"),
        (GOOD.replace("setup=face", "setup=edge"), Assumed(), "this board has no setup edge"),
        (GOOD.replace("cutter=2", "cutter=77"), Assumed(), "cutter 77 is not in the profile bench"),
        (GOOD.replace("dots 1)", "dots 1)\n(setup=edge cutter=2 cuts=face dots 3)"), Assumed(), "names the setup edge"),
        (GOOD.replace("dots 1)", "dots 1)\n(setup=face cutter=3 cuts=face dots 3)"), Assumed(), "names cutter 3, but"),
        (GOOD.replace("G0 X10", "(setup=face cutter=3 cuts=face dots 3)\nG0 X10"), Assumed(), "goes on with cutter 3"),
        (GOOD.replace("G17 G90", "T2 M6\nG17 G90"), Assumed(), "this machine has no changer"),
    ],
)
def test_disagreement_is_a_finding(text, assumed, words):
    messages = told(text, assumed=assumed)
    assert any(words in message for message in messages), messages


def test_several_lines_of_a_header_add_up():
    both = [*bore(), *bore(centre=(50.0, 5.0))]
    setup = face(*[replace(DRILLED, centre=(x, 5.0), diameter_mm=6.0, number=n, name=f"face dot {n}", floor_mm=-1.5,
                           shallowest_mm=-1.45, deepest_mm=-1.55) for n, x in ((1, 10.0), (2, 50.0))])  # fmt: skip
    two = program(both).replace("dots 1)", "dots 1)\n(setup=face cutter=2 cuts=face dots 2)")
    assert rules(two, setup=setup) == set()
    one = program(bore()).replace("dots 1)", "dots 1)\n(setup=face cutter=2 cuts=face dots 2)")
    assert [finding.feature for finding in verdict(one, setup=setup).findings] == ["face dot 2"]


def test_unreadable_text_is_one_finding_and_the_others_are_still_judged():
    found = verdict(GOOD, "G1 X\x00")
    assert found.programs[1].reading is None
    assert broken(found) == {1} and {finding.file for finding in found.findings} == {"2.nc"}


def test_the_dialect_is_held_too():
    assert rules(GOOD, on=machine(line_limit=20)) == {1}


def test_an_empty_file_is_a_program_of_nobody():
    with pytest.raises(SetupUnknown):
        verdict("")


CHANGE = "(change to cutter 3, brad point 2.000 mm and zero Z again on the same spot)"
SECTIONS = {
    "stop": ["G0 Z5.0", "M5", CHANGE, "M0", "(setup=face cutter=3 cuts=face dots 3)", *AGAIN.splitlines(), "S16000 M3",
             "G4 P2.0"],
    "automatic": ["G0 Z5.0", "M5", "(setup=face cutter=3 cuts=face dots 3)", "T3 M6", "G0 G43 H3 Z5.0", "S16000 M3",
                  "G4 P2.0"],
}  # fmt: skip


def two_cutters(change):
    text = program([*bore(), *SECTIONS[change], *pecks()])
    return text if change == "stop" else text.replace("G0 Z5.0\nS16000", "G40\nT2 M6\nG0 G43 H2 Z5.0\nS16000", 1)


@pytest.mark.parametrize("change", SECTIONS)
def test_a_program_with_two_cutters_is_proved(change):
    found = verdict(two_cutters(change), on=machine(cutter_change=change))
    assert found.findings == () and found.programs[0].cutters == (2, 3)


@pytest.mark.parametrize(
    ("change", "old", "new", "place", "rule"),
    [
        ("stop", "M5\n", "", 0, 9),
        ("stop", f"M5\n{CHANGE}\nM0\n(", "(", 0, 9),
        ("stop", f"{CHANGE}\nM0\n(", "(", 0, 9),
        ("stop", CHANGE, "(the next one)", 0, 1),
        ("stop", "G0 Z5.0\nS16000", "S16000", -1, 4),
        ("stop", "G4 P2.0\n", "", -1, 3),
        ("stop", "cutter=3", "cutter=1", 0, 7),
        ("automatic", "G43 H3", "G43 H2", 0, 1),
        ("automatic", "G43 H3 ", "", 0, 1),
        ("automatic", "T3 M6", "T2 M6", 0, 1),
        ("automatic", "M5\n(", "(", 0, 9),
        ("automatic", "G0 G43 H3 Z5.0\nS16000", "S16000", -1, 1),
    ],
)
def test_a_change_of_cutters_is_held(change, old, new, place, rule):
    assert rule in rules(damaged(two_cutters(change), old, new, place), on=machine(cutter_change=change))


@pytest.mark.parametrize("change", SECTIONS)
def test_a_change_of_cutters_under_a_hand_set_spindle_needs_its_stop(change):
    off = {"stop": f"{OFF}M0\n{CHANGE}", "automatic": f"{OFF}M0"}[change]
    text = two_cutters(change).replace(f"M5\n{CHANGE}", off).replace("M5", f"{OFF}M0")
    text = text if change == "stop" else text.replace(off + "\n(setup", f"{OFF}M0\n(setup")
    for number in (2, 3):  # each start becomes a stop, after which all is said again
        rise = AGAIN if change == "stop" else f"G40\n{AGAIN}".replace("G0 Z", f"G0 G43 H{number} Z")
        text = text.replace("S16000 M3\nG4 P2.0\n", f"{SET}M0\n{rise}", 1)
    by_hand = text.replace("T3 M6", f"G40\n{AGAIN[:-8]}T3 M6")
    on = machine("hand", cutter_change=change)
    assert rules(by_hand, on=on) == set()
    lost = damaged(by_hand, f"{OFF}M0\n", "", 0)
    assert rules(lost, on=on) >= ({1} if change == "stop" else {9})  # the next stop says to change the cutter


def test_findings_of_a_kind_are_told_once_with_their_number():
    shifted = program([line.replace("X20.000", "X20.200") for line in slot()], 1, "frets 1")
    outside = [finding for finding in verdict(shifted).findings if finding.rule == 6]
    assert len(outside) == 1 and "more lines do the like" in outside[0].message


def test_the_same_programs_give_the_same_verdict():
    texts = [GOOD, program(slot(depth=-2.1), 1, "frets 1"), program(stopped(ends=18.1), 1, "frets 2")]
    assert verdict(*texts).findings == verdict(*texts).findings
