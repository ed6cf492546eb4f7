"""What NISTIR 6556 calls an error is refused, at its line and column; each test is named for its section."""

import pytest
from reading import NAN, read, refusal

HEAD = "G21 G90\n"
# section, line of code, column, part of the message
ERRORS = [
    ("3.3", "X1" + "0" * 300, 257, "256"),
    ("3.3", "G1 X1 @ Y2", 7, '"@"'),
    ("3.3", "G1 X1,5", 6, '","'),
    ("3.3", "G0 X1 2Y3 4 5 Z", 15, "no number"),
    ("3.3.1", "G1 N10 X1", 4, "first"),
    ("3.3.1", "(note) N10 G1 X1", 8, "first"),
    ("3.3.1", "N100000 G0 X1", 1, "one to five digits"),
    ("3.3.1", "N000009 G0 X1", 1, "one to five digits"),
    ("3.3.1", "N-1 G0 X1", 1, "one to five digits"),
    ("3.3.1", "N1.5 G0 X1", 1, "one to five digits"),
    ("3.3.2", "O100", 1, "letter O"),
    ("3.3.2", "G1 U5", 4, "letter U"),
    ("3.3.2", "G0 E1", 4, "letter E"),
    ("3.3.2.1", "G0 X1e-3", 6, "exponent"),
    ("3.3.2.1", "G0 X1.2.3", 4, "no number"),
    ("3.3.2.1", "G0 X--1", 4, "no number"),
    ("3.3.2.1", "G0 X.", 4, "no number"),
    ("3.3.2.1", "G0 X+ Y1", 4, "no number"),
    ("3.3.2.1", "G1.5 X1", 1, "not in the language"),
    ("3.3.2.1", "T1.5 M6", 1, "whole"),
    ("3.3.2.2", "G0 X#1", 5, "parameters"),
    ("3.3.2.2", "#1=5", 1, "parameters"),
    ("3.3.2.3", "g2 x[6-[4*3/2]] r 7.01 z0.5", 5, "expressions"),
    ("3.3.2.3", "g1 x asim[0.5]", 4, "no number"),
    ("3.3.4", "G1 X1 (open", 7, "not closed"),
    ("3.3.4", "(a (b))", 4, "inside"),
    ("3.3.4", "G1 X1 )", 7, "not opened"),
    ("3.3.4", "G1 X1 ; note", 7, "semicolon"),
    ("3.3.5", "G0 G1 X1", 4, "motion"),
    ("3.3.5", "G20 G21", 5, "units"),
    ("3.3.5", "M3 M4", 4, "spindle"),
    ("3.3.5", "M7 M9", 4, "coolant"),
    ("3.3.5", "M0 M6 M3 M8 M48", 13, "more than 4"),
    ("3.3.5", "G0 X1 X2", 7, "twice"),
    ("3.4", "G1 G28 X1", 1, "two lines"),
    ("3.5.1", "G0", 1, "X, Y or Z"),
    ("3.5.2", "G1", 1, "X, Y or Z"),
    ("3.5.2", "G1 F100", 1, "X, Y or Z"),
    ("3.5.3", "G2 X1", 1, "R or an offset"),
    ("3.5.3", "G2 I1", 1, "axis word of its plane"),
    ("3.5.3", "G2 Z1 I1", 1, "axis word of its plane"),
    ("3.5.3", "G2 X1 Y0 I.5 R.5", 14, "not both"),
    ("3.5.3.1", "G2 X0 Y0 R5", 10, "no arc"),
    ("3.5.3.1", "G2 X10 Y0 R4.9", 11, "no arc"),
    ("3.5.3.1", "G2 X10 Y0 R5", 11, "180.0 degrees"),
    ("3.5.3.1", "G2 X0.001 Y0 R-5", 14, "360.0 degrees"),
    ("3.5.3.2", "G2 X5 Y0 I99 J0", 1, "unequally far"),
    ("3.5.3.2", "G2 X1 Y0 K1", 10, "plane G17"),
    ("3.5.4", "G4", 1, "G4 needs a P"),
    ("3.5.4", "G4 P-1", 4, "G4 needs a P"),
    ("3.5.11", "G43", 1, "G43 needs an H"),
    ("3.5.11", "G43 H-1", 1, "G43 needs an H"),
    ("3.5.12", "G53", 1, "G53 goes with"),
    ("3.5.12", "G53 G2 X1 I1", 1, "G53 goes with"),
    ("3.5.15", "G80 X1", 5, "no motion"),
    ("3.5.15", "X1", 1, "no motion"),
    ("3.5.16", "G81", 1, "X, Y or Z"),
    ("3.5.16", "G81 X1 Z-1", 1, "no R"),
    ("3.5.16", "G81 X1 R1", 1, "no Z"),
    ("3.5.16", "G81 X1 Y1 Z1 R0", 1, "below its bottom"),
    ("3.5.16", "G81 X1 Z-1 R1 L0", 15, "above zero"),
    ("3.5.16", "G81 X1 Z-1 R1 L-2", 15, "above zero"),
    ("3.5.16", "G81 X1 Z-1 R1 L1.5", 15, "whole"),
    ("3.5.16.3", "G82 X1 Z-1 R1", 1, "needs a P"),
    ("3.5.16.3", "G82 X1 Z-1 R1 P-1", 1, "needs a P"),
    ("3.5.16.4", "G83 X1 Z-1 R1", 1, "needs a Q"),
    ("3.5.16.4", "G83 X1 Z-1 R1 Q0", 1, "needs a Q"),
    ("3.5.17", "G59.5", 1, "not in the language"),
    ("3.5.18", "G92", 1, "X, Y or Z"),
    ("3.6", "M99", 1, "not in the language"),
    ("3.6.3", "M6", 1, "no T"),
    ("3.7.2", "S-1", 1, "below zero"),
    ("3.7.3", "T-1", 1, "below zero"),
    ("B.5", "G1 X1 D1", 7, "uses the word D"),
]


@pytest.mark.parametrize(("section", "code", "column", "message"), ERRORS, ids=[f"{s}: {c:.24}" for s, c, *_ in ERRORS])
def test_section_error(section, code, column, message):
    finding = refusal(HEAD + code)
    assert message in finding.message
    assert (finding.line, finding.column) == (2, column)


@pytest.mark.parametrize(
    "code",
    ["G38.2 X1", "G41 D1", "G42", "G93", "G10 L2 P1 X1", "G92.3", *(f"G{code} X1 Z-1 R1" for code in range(84, 90))],
)
def test_what_this_reader_does_not_know_is_refused_by_name(code):
    name = code.split()[0]
    assert name in refusal(HEAD + code).message


@pytest.mark.parametrize("code", ["A1", "G0 B90", "G1 X1 C2"])
def test_section_3_3_2_rotary_axes_are_refused(code):
    assert "rotary" in refusal(HEAD + code).message


def test_section_2_2_2_block_delete_is_refused():
    finding = refusal("G21\n/G0 Z-50\n")
    assert (finding.line, finding.column) == (2, 1)
    assert "block delete" in finding.message


@pytest.mark.parametrize(
    ("text", "line", "message"),
    [
        ("%\nG21\nM2\n", 1, "not closed"),
        ("G21\nM2\n%\n", 3, "not opened"),
        ("%\nM2\n%\nG0 X1\n", 4, "follow the closing"),
        ("%\nM2\n%\n%\n", 4, "follow the closing"),
        ("%\nM2\nG0 X1\n%\n", 3, "nothing but"),
    ],
)
def test_section_3_1_percent_signs_come_in_a_pair(text, line, message):
    finding = refusal(text)
    assert finding.line == line
    assert message in finding.message


def test_section_3_1_nothing_follows_the_end_but_blank_lines():
    assert refusal("G21\nM2\nG0 Z-50\n").line == 3
    assert refusal("G21\nM30\n(note)\n").line == 3
    assert read("%\nG21\nM2\n \t\n%\n\n").ended


@pytest.mark.parametrize(
    ("mismatch", "units", "taken"),
    [("0.0019", "G21", True), ("0.0021", "G21", False), ("0.00019", "G20", True), ("0.00021", "G20", False)],
)
def test_section_3_5_3_2_the_tolerance_of_an_arcs_radii(mismatch, units, taken):
    text = f"{units} G90\nG3 X-{1 + float(mismatch):.5f} Y0.0 I-1.0 J0.0"
    start = ((25.4 if units == "G20" else 1.0), 0.0, 0.0)
    if taken:
        assert len(read(text, start).motions.kind) == 1
    else:
        assert "3.5.3.2" in refusal(text, start).message


def test_what_needs_an_unknown_place_is_refused():
    nowhere = (NAN, NAN, NAN)
    for code in ("G91 G0 X1", "G2 X1 I1", "G99 G81 X1 Z-1 R1", "G92 X0"):
        assert "nobody knows" in refusal(HEAD + code, nowhere).message
