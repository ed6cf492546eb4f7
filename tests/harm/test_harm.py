"""Harm that somebody thought of, by hand: each program is refused, by the rule that should; harmless edits stay proved.

The harm was written down from the machine, the standard (NISTIR 6556) and the programs' text, not from the rules.
"""

import pytest
from all_harms import HARMS, PARTS
from fresh import Bench
from harmless import HARMLESS
from kinds import KINDS, Harm, Harmless, Part
from open import PASSED
from open_besides import OTHERWISE, PARTS_UNTOLD

from pearlkerf.machine.reader import profile_names

OPEN = PASSED | OTHERWISE


def rows(table: tuple, still_open: frozenset[str]) -> list:
    """Give the rows of a table, those that are open marked; an edit that finds nothing to edit fails all the same."""
    known = pytest.mark.xfail(strict=True, raises=AssertionError, reason="passes the proof")
    return [pytest.param(row, id=row.name, marks=[known] if row.name in still_open else []) for row in table]


@pytest.mark.parametrize("harm", rows(HARMS, OPEN))
def test_harm_is_refused_by_the_rule_that_should(harm: Harm, bench: Bench) -> None:
    proof = bench.prove(harm.fresh, harm.written(harm.edit(bench.text(harm.fresh)).bytes()))
    assert not proof.proved, harm.why
    assert proof.rules & set(harm.rules), proof.messages


@pytest.mark.parametrize("row", rows(HARMLESS, frozenset()))
def test_what_harms_nothing_stays_proved(row: Harmless, bench: Bench) -> None:
    fresh = bench.text(row.fresh).bytes()
    program = row.written(row.edit(bench.text(row.fresh)).bytes())
    assert program != fresh
    proof = bench.prove(row.fresh, program)
    assert proof.proved, (row.why, proof.messages)


@pytest.mark.parametrize("part", rows(PARTS, PARTS_UNTOLD))
def test_what_a_program_does_not_claim_is_told(part: Part, bench: Bench) -> None:
    code, words = bench.words(part.fresh, part.edit(bench.text(part.fresh)).bytes())
    if code:
        raise RuntimeError(words)
    assert part.words.search(words), words


@pytest.mark.parametrize(
    "fresh", list({row.fresh: None for row in (*HARMLESS, *PARTS)}), ids=lambda each: f"{each.shop.name}{each.program}"
)
def test_the_fresh_programs_are_written_out_as_they_were_read(fresh, bench: Bench) -> None:
    assert bench.text(fresh).bytes() == bench.program(fresh).read_bytes()
    assert bench.prove(fresh, bench.program(fresh).read_bytes()).proved


def test_the_tables_are_whole() -> None:
    names = [row.name for table in (HARMS, HARMLESS, PARTS) for row in table]
    assert len(names) == len(set(names))
    assert {harm.kind for harm in HARMS} == set(KINDS)
    assert {harm.fresh.shop.profile for harm in HARMS} == set(profile_names())
    assert {row.fresh.shop.profile for row in HARMLESS} == set(profile_names())
    assert len(HARMS) >= 200
    assert len(HARMLESS) >= 60


def test_what_is_open_stands_in_the_tables_once() -> None:
    assert {harm.name for harm in HARMS} >= OPEN
    assert len(OPEN) == len(PASSED) + len(OTHERWISE)
    assert {part.name for part in PARTS} >= PARTS_UNTOLD
