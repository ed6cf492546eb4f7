"""Every rule has a program for a pocket that only this rule catches: without it the program would be proved."""

from dataclasses import replace

import numpy as np
import pytest

from pearlkerf.proof import prove
from pearlkerf.setups.model import Box
from proof.pocket_board import BITE, DEPTH, OUT, board, cuts, entered, levels, pocket, rings, router, spirals
from proof.small_board import broken, damaged, number, verdict

OWN, ISLANDS = pocket(), pocket("two islands")
GOOD = cuts(spirals(OWN))
BESIDE = [*spirals(OWN), "G0 Z0.5", "G1 X55.0 F300.0", "G0 Z5.0"]
WEST, EAST = 30.0 - 5.0 - 3.7, 30.0 - 5.0 + 3.7
LINK = [*entered(np.array([[WEST, 4.0]]), DEPTH), f"G1 X{number(EAST)} F400.0", *OUT]
CLAMP = Box("clamp", ((34.0, 2.0), (36.0, 2.0), (36.0, 6.0), (34.0, 6.0)), 3.0)
# a collet nut that begins lower than the cutter's length says
SHORT = replace(router(), cutters=tuple(replace(each, stick_out_mm=1.0) for each in router().cutters))
ALONE = {
    "a feed too fast": (3, "spindle_and_feeds", damaged(GOOD, "F400.0", "F900.0"), {}),
    "a stay": (3, "nothing_scorches", damaged(GOOD, "G1 Z0.5 F300.0", "G4 P1.0\nG1 Z0.5 F300.0"), {}),
    "too far": (4, "motion_fits_travel", damaged(GOOD, "G0 Z5.0\nS", "G0 Z5.0\nG0 X-40.0\nG0 X70.0\nS"), {}),
    "a rapid into wood": (5, "rapids_stay_clear", damaged(GOOD, "G0 Z0.5", "G0 Z-0.3"), {}),
    "low through the air": (5, "low_feeds_stay_by_their_cuts", cuts(BESIDE), {}),
    "a clamp": (5, "nothing_touches_holding", GOOD, {"setup": replace(board(), holding=(CLAMP,))}),
    "an island": (6, "cuts_stay_inside", cuts([*spirals(ISLANDS), *LINK]), {"setup": board(ISLANDS)}),
    "a deeper floor": (6, "cuts_stay_inside", GOOD, {"setup": board(replace(OWN, deepest_mm=DEPTH + 0.02))}),
    "a ring left out": (7, "features_are_complete", cuts(spirals(OWN, rings(OWN.region)[:-1])), {}),
    "a claim too many": (7, "claimed", damaged(GOOD, "inlays 1)", "inlays 1 2)"), {}),
    "no claim": (7, "what_is_cut_is_claimed", damaged(GOOD, " cuts=inlays 1", ""), {}),
    "two bites at once": (8, "bites_are_bearable", cuts(levels(OWN, depths=(-2 * BITE, DEPTH))), {}),
    "a nut in the wood": (8, "only_cutters_meet_wood", GOOD, {"on": SHORT}),
    "no rise at the end": (9, "ends_safely", GOOD.replace("G0 Z5.0\nG0 Z5.0\nM5", "M5"), {}),
}  # fmt: skip


@pytest.mark.parametrize("what", ALONE)
def test_only_this_rule_catches_its_program(what, monkeypatch):
    rule, name, text, more = ALONE[what]
    how = {"setup": board(), "on": router()} | more
    assert broken(verdict(text, **how)) == {rule}
    held = getattr(prove, name)
    monkeypatch.setattr(prove, name, (lambda run: (held(run)[0], [])) if name == "claimed" else lambda *_: ())
    assert verdict(text, **how).proved
