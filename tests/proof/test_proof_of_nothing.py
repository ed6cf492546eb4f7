"""Programs that hold nothing, or next to nothing: the proof refuses them in words and never raises."""

from dataclasses import replace

import pytest
from small_board import DOT, DRILLED, FRET, STOPPED, face, machine
from test_proof_saw import SAW

from pearlkerf.layout.surfaces import Stock
from pearlkerf.proof.prove import Assumed, prove
from pearlkerf.reading.motions import ProgramText

CLAIM = "(setup=face cutter={0} cuts=frets 1)\n"
POINTS = "".join(
    f"(setup=face cutter={{0}} {claim})\n" for claim in ("purpose=point", "height=1.0000", "points=frets 1")
)
MODES = "G21\nG17 G90 G94 G54\n"
NOTHING = {
    "no bytes": "",
    "an empty line": "\n",
    "percent signs alone": "%\n%\n",
    "a comment": "(nothing)\n",
    "the end": "M2\n",
    "modes and the end": MODES + "M2\n",
    "a claim": CLAIM,
    "a claim and the end": CLAIM + MODES + "M2\n",
    "a claim of points": POINTS + MODES + "M5\nM2\n",
    "a rise": CLAIM + MODES + "G0 Z5.0\nM5\nM2\n",
    "a rise, pointing": POINTS + MODES + "M5\nG0 Z5.0\nM5\nM2\n",
    "a start": CLAIM + MODES + "G0 Z5.0\nS9000 M3\nG4 P2.0\nM5\nM2\n",
    "a stop": CLAIM + MODES + "G0 Z5.0\nM0\n" + MODES + "G0 Z5.0\nM0\nM2\n",
    "stops, pointing": POINTS + MODES + "M5\nG0 Z5.0\nM0\n" + MODES + "G0 Z5.0\nM5\nM2\n",
    "a dwell": CLAIM + "G4 P1.0\nM2\n",
    "a feed from nowhere": CLAIM + MODES + "G1 Z-1.0 F100.0\nM2\n",
    "an unknown place": CLAIM + MODES + "G0 Z5.0\nS9000 M3\nG4 P2.0\nG0 X1.0\nG1 Z-1.0 F100.0\nG0 Z5.0\nM5\nM2\n",
    "a move of no length": CLAIM + MODES + "G0 Z5.0\nG0 X20.0 Y0.0\nG1 X20.0 Y0.0 F100.0\nM5\nM2\n",
    "a traverse": CLAIM + MODES + "G0 Z5.0\nG0 X20.0 Y0.0\nG0 X30.0\nM5\nM2\n",
    "a change": CLAIM + MODES + "T1 M6\nG0 G43 H1 Z5.0\nM5\nT1 M6\nG0 G43 H1 Z5.0\nM5\nM2\n",
    "two claims, no motion": CLAIM + CLAIM + "M2\n",
}
EVERY = face(FRET, STOPPED, DOT, DRILLED)
SETUPS = {
    "cut": EVERY,
    "points": replace(EVERY, purpose="point"),
    "no features": replace(EVERY, features=()),
    "points at nothing": replace(EVERY, features=(), purpose="point"),
    "crowned": replace(EVERY, stock=Stock(EVERY.stock.outline, 6.0, FRET.floor.crown)),
}
MACHINES = (
    machine("hand"),
    machine(cutter_change="automatic"),
    machine(drilling_cycles=True),
    machine(comments=False),
)


@pytest.mark.parametrize("completeness", ["whole setups", "named cuts"])
@pytest.mark.parametrize("cutter", [1, 3, 10])
@pytest.mark.parametrize("name", NOTHING)
def test_next_to_nothing_is_refused_in_words_under_every_setup_and_machine(name, cutter, completeness):
    text = NOTHING[name].format(cutter).encode("ascii")
    for setup, on in (*((each, machine()) for each in SETUPS.values()), *((EVERY, each) for each in MACHINES)):
        with_saw = replace(on, cutters=(*on.cutters, SAW))
        assumed = Assumed(setup="face", cutters=(cutter,), purpose=setup.purpose)
        found = prove([ProgramText("1.nc", text)], [setup], with_saw, assumed, completeness)
        assert all(str(finding) for finding in found.findings)
        assert not found.proved or not setup.features


@pytest.mark.parametrize("completeness", ["whole setups", "named cuts"])
def test_no_program_at_all_never_raises(completeness):
    for setup in SETUPS.values():
        found = prove([], [setup], machine(), Assumed(), completeness)
        assert found.proved == (completeness == "named cuts" or not setup.features)
    assert prove([], [], machine(), Assumed(), completeness).proved
