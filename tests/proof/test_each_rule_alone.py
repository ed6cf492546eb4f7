"""Every rule of the proof has a program that only this rule catches: without the rule it would be proved."""

import ast
import inspect
from dataclasses import replace

import pytest
from small_board import bore, broken, by_hand, damaged, face, headed, machine, program, verdict

from pearlkerf.proof import prove
from pearlkerf.reading.motions import ProgramText

GOOD = program(bore())
BY_HAND = by_hand(GOOD)
# rule, the function that holds it, a program that it alone catches
ALONE = [
    (1, "hold_dialect", damaged(GOOD, "G0 X10.000 Y5.000", "G0 X10 Y5.000")),
    (1, "identify", GOOD.replace("dots 1)", "dots 1)\n(setup=edge cutter=2 cuts=face dots 1)")),
    (1, "the_head_is_whole", "(put the nut end at the right)\n" + GOOD),
    (1, "stops_say_what_to_do", GOOD.replace("M5\n", "M5\n(look)\nM0\n")),
    (1, "nothing_else_is_said", damaged(GOOD, "G0 X10", "(take the clamps off)\nG0 X10")),
    (2, "hold_grammar", damaged(GOOD, "G17 G90 G94 G54", "G17 G90")),
    (3, "spindle_and_feeds", damaged(GOOD, "F300.0", "F900.0")),
    (3, "nothing_scorches", damaged(GOOD, "G1 Z0.5\n", "G4 P1.0\nG1 Z0.5\n")),
    (4, "motion_fits_travel", damaged(GOOD, "G0 X10.000 Y5.000", "G0 X95.0\nG0 X-15.0\nG0 X10.000 Y5.000")),
    (5, "rapids_stay_clear", damaged(GOOD, "G0 Z0.5", "G0 Z-0.3")),
    (5, "low_feeds_stay_by_their_cuts", program([*bore(), "G0 Z0.5", "G1 X25.0 F300.0", "G0 Z5.0"])),
    (6, "cuts_stay_inside", program(bore(floor=-1.565, turns=3))),
    (
        6,
        "cuts_stay_inside",
        program([*bore(), "G0 Z0.5", "G1 Z-0.1 F100.0", "G1 X11.6 F300.0", "G1 Z0.5 F100.0", "G0 Z5.0"]),
    ),
    (7, "features_are_complete", program(bore(final=0))),
    (7, "claimed", damaged(GOOD, "dots 1)", "dots 1 9)")),
    (7, "what_is_cut_is_claimed", damaged(GOOD, " cuts=face dots 1", "")),
    (8, "bites_are_bearable", program(bore(turns=1))),
    (9, "ends_safely", GOOD.replace("G0 Z5.0\nG0 Z5.0\nM5", "M5")),
]
# rules whose lone programs stand beside their other tests
ELSEWHERE = {"arcs_agree", "world_is_kept", "sawing_is_right", "saw_clears_holding", "one_zero_serves_all"} | {
    "hands_have_room", "people_are_told_right"} | {
    "nothing_turns", "tip_stays_above", "tip_comes_down_slowly", "places_are_shown"} | {
    "nothing_touches_holding", "only_cutters_meet_wood", "air_blows", "controller_keeps_up"} | {
    "pieces_lie_as_claimed", "pieces_go_into_their_pockets", "holes_come_before_outsides"}  # fmt: skip


def without(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Let a rule find nothing."""
    held = getattr(prove, name)
    if name == "identify":
        monkeypatch.setattr(prove, name, lambda *given: replace(held(*given), findings=()))
    elif name == "claimed":
        monkeypatch.setattr(prove, name, lambda run: (held(run)[0], []))
    else:
        monkeypatch.setattr(prove, name, lambda *_: ())


@pytest.mark.parametrize(("rule", "name", "text"), ALONE, ids=[f"{rule} {name}" for rule, name, _ in ALONE])
def test_only_this_rule_catches_its_program(rule, name, text, monkeypatch):
    assert verdict(GOOD).proved
    assert broken(verdict(text)) == {rule}
    without(monkeypatch, name)
    assert verdict(text).proved


def test_a_wrong_word_at_a_stop_is_caught_by_nothing_else(monkeypatch):
    head, _ = headed(BY_HAND, on=machine("hand"))
    wrong = ProgramText("1.nc", head.replace("to 16000 rpm", "to 18000 rpm").encode("ascii"))
    assert broken(prove.prove([wrong], [face()], machine("hand"))) == {3}
    without(monkeypatch, "people_are_told_right")
    assert prove.prove([wrong], [face()], machine("hand")).proved


def test_no_rule_is_left_out():
    tree = ast.parse(inspect.getsource(prove))
    imported = {
        alias.name: node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) for alias in node.names
    }  # fmt: skip
    parts = ("pearlkerf.proof.rules.", "pearlkerf.proof.dialect", "pearlkerf.proof.grammar", "pearlkerf.proof.identity")
    called = {
        node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }  # fmt: skip
    figures = {"claims_of", "worst_outside_mm", "deepest_below_mm", "sawn_figures_mm", "lowest_above_mm"}
    rules = {name for name in called - figures if (imported.get(name) or "").startswith(parts)}
    assert rules == {name for _, name, _ in ALONE} | (ELSEWHERE & rules)
    assert {rule for rule, _, _ in ALONE} == set(range(1, 10))
