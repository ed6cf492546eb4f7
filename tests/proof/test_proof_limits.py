"""Very long programs: what is worked on at once stays small, and what cannot be followed finely is told."""

import pytest
from small_board import bore, broken, program, verdict

from pearlkerf.proof import counting, pieces

GOOD = program(bore())
ROUND = ["G3 X10.000 I-10.000 J0.000 F300.0", "G3 X30.000 I10.000 J0.000"]
IN_THE_AIR = ["G0 X30.000 Y0.000", *ROUND * 40]
LONG = program([*bore(), *IN_THE_AIR])


def test_arcs_in_the_air_give_way_to_those_in_the_wood(monkeypatch: pytest.MonkeyPatch) -> None:
    assert verdict(LONG).proved
    monkeypatch.setattr(pieces, "MOST_CHORDS_OF_ALL", 1500)
    assert verdict(LONG).proved


def test_arcs_in_the_wood_that_cannot_be_followed_finely_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pieces, "MOST_CHORDS_OF_ALL", 100)
    given = verdict(GOOD)
    assert 2 in broken(given)
    assert "more arcs in the wood than are held at once" in " ".join(map(str, given.findings))


def test_a_page_at_a_time_nothing_is_found_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    bad = GOOD.replace("Z-1.500", "Z-1.700").replace("X11.500", "X12.200")
    at_once = [verdict(text) for text in (GOOD, LONG, bad)]
    monkeypatch.setattr(counting, "PAGE", 7)
    paged = [verdict(text) for text in (GOOD, LONG, bad)]
    assert [each.findings for each in paged] == [each.findings for each in at_once]
    assert [each.figures for each in paged] == [each.figures for each in at_once]
    assert at_once[2].findings
