"""Rule 1, the profile's part: what a machine may misread is told, what it cannot misread is let pass."""

from dataclasses import replace

import pytest

from pearlkerf.machine.model import Dialect
from pearlkerf.proof.dialect import hold_dialect
from pearlkerf.reading.motions import ProgramText

PLAIN = Dialect()
ALL = Dialect("in", 4, 80, True, True, True, True, True, "automatic", "ms", "M30", "tap")
GOOD = "(setup=face cutter=1 cuts=frets 1-7)\nG21\nG17 G90 G94 G54\nG0 Z8.0\nS9000 M3\nG4 P4.0\nG0 X1.5 Y-2.125\n" \
       "G1 Z-0.2 F60.0\nG3 X2.5 Y-2.125 I0.5 J0.0\nG0 Z8.0\nM5\nM2\n"  # fmt: skip
GOOD_NUMBERED = "%\nN10 (setup=face cutter=1)\nN20 G20\nN30 T1 M6\nN40 G43 H1\nN50 G0 Z1.0\nN60 G99 G83 X1.0 Y0.0 " \
                "Z-0.1 R0.1 Q0.05 F1.0\nN70 G1 X0.1234 F2.0\nN80 M30\n%\n"  # fmt: skip


def told(text: str, dialect: Dialect = PLAIN) -> list[tuple[int | None, str]]:
    return [(finding.line, finding.message) for finding in hold_dialect(ProgramText("a.nc", text.encode()), dialect)]


@pytest.mark.parametrize(("text", "dialect"), [(GOOD, PLAIN), (GOOD_NUMBERED, ALL)])
def test_what_the_profile_writes_passes(text, dialect):
    assert told(text, dialect) == []


@pytest.mark.parametrize(
    "change",
    [
        ("G0 Z8.0", "g0z8."), ("G0 X1.5", "G00  X+1.50"), ("\n", "\r\n"), ("\n", "\n\n"), ("G1 Z", "(one) (two) G1 Z"),
        ("G0 X1.5 Y-2.125", "X1.5\tY-2.125"), ("M5", "M05"), ("M2", "M30"),
    ],
)  # fmt: skip
def test_mere_style_passes(change):
    assert told(GOOD.replace(*change)) == []


@pytest.mark.parametrize(
    ("old", "new", "line", "message"),
    [
        ("G0 X1.5", f"G0 X1.5{' ' * 60}", 7, "75 characters"),
        ("G0 X1.5", "G0 X1", 7, "X1 has no point"),
        ("F60.0", "F60", 8, "F60 has no point"),
        ("X1.5 ", "X 1.5 ", 7, "blanks stand inside a word"),
        ("Y-2.125", "Y\t-2.125", 7, "blanks stand inside a word"),
        ("Z-0.2", "Z- 0.2", 8, "blanks stand inside a word"),
        ("M5", "M 5", 11, "blanks stand inside a word"),
        ("P4.0", "P4", 6, "P4 has no point"),
        ("I0.5", "I1", 9, "I1 has no point"),
        ("S9000", "S9000.", 5, "S9000. has a point"),
        ("M5", "M5.", 11, "M5. has a point"),
        ("X1.5 ", "X1.5001 ", 7, "more than 3 decimals"),
        ("J0.0", "J-0.000", 9, "J-0.000 is a zero"),
        ("G0 X1.5", "N5 G0 X1.5", 7, "no line numbers"),
        ("G21", "G20", 2, "other unit"),
        ("G17", "G18", 3, "plane XY"),
        ("I0.5 J0.0", "R0.6", 9, "by I and J"),
        ("G1 Z-0.2", "G99 G81 X1.0 R1.0 Z-0.2", 8, "no such drilling cycles"),
        ("M3", "M3 T1", 5, "change cutters"),
        ("M5", "M6", 11, "change cutters"),
        ("M5", "G43 H1", 11, "change cutters"),
        ("(setup=face", "(setup? face", 1, "obey at once"),
        ("(setup=face", "(setup\tface", 1, "obey at once"),
        ("G21\n", "%\nG21\n", 2, "no percent"),
    ],
)
def test_what_the_machine_may_misread_is_told_at_its_line(old, new, line, message):
    damaged = GOOD.replace(old, new)
    assert damaged != GOOD
    findings = told(damaged)
    assert [finding[0] for finding in findings] == [line]
    assert message in findings[0][1]


def test_a_line_may_be_as_long_as_the_limit():
    assert told("G0 X1.5".ljust(70) + "\n") == []
    assert told("G0 X1.5".ljust(71) + "\n") != []


def test_an_arc_by_radius_is_told_in_the_arcs_mode_too():
    assert [line for line, _ in told(GOOD.replace("G0 Z8.0\nM5", "X2.0 Y-2.125 R1.0\nG0 Z8.0\nM5"))] == [10]
    assert told(GOOD_NUMBERED.replace("N70", "N65 X2.0 R0.2\nN70"), ALL) == []  # R of a cycle


@pytest.mark.parametrize(
    ("dialect", "line", "message"),
    [
        (replace(PLAIN, comments=False), 1, "no comments"),
        (replace(PLAIN, arcs=False), 9, "no arcs"),
        (replace(PLAIN, decimals=2), 7, "more than 2 decimals"),
        (replace(PLAIN, percent=True), 1, "percent"),
        (replace(PLAIN, line_numbers=True), 2, "line number"),
        (replace(PLAIN, line_limit=30), 1, "at most 30"),
        (replace(PLAIN, unit="in"), 2, "other unit"),
    ],
)
def test_the_same_program_is_wrong_for_another_machine(dialect, line, message):
    findings = told(GOOD, dialect)
    assert [finding[0] for finding in findings] == [line]
    assert message in findings[0][1]


@pytest.mark.parametrize(("old", "new"), [("N50", "N40"), ("N50", "N70"), ("N70 G1", "N60 G1"), ("N80", "N0")])
def test_section_3_3_1_line_numbers_may_repeat_and_need_not_rise(old, new):
    assert told(GOOD_NUMBERED.replace(old, new), ALL) == []


def test_a_machine_that_wants_line_numbers_wants_them_on_every_line_of_code():
    ((line, message),) = told(GOOD_NUMBERED.replace("N50 ", ""), ALL)
    assert line == 6
    assert "before every line" in message
    assert told(GOOD_NUMBERED.replace("N10 (", "("), ALL) == []


def test_each_kind_is_told_once_at_its_first_line():
    findings = told(GOOD + "X1\nX2\nX1.23456\n")
    assert [line for line, _ in findings] == [13, 15]


def test_every_line_is_held_alike_whether_plain_or_not():
    # the quick pattern must not let pass what the words would tell
    for figure in ("X-0.000", "X1.0001", "X1", "X-0.", "Y-0.001 Z-.5"):
        assert told(f"G1 {figure}\n") == told(f"G1 (odd) {figure}\n"), figure
