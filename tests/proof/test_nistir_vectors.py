"""Worked examples of NISTIR 6556, read by our reader; each test is named for its section."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from reading import moves, read

from pearlkerf.reading.motions import ARC, LINE, RAPID

REPORT = Path(__file__).parents[1] / "reference" / "nistir_6556.toml"
VECTORS = tomllib.loads(REPORT.read_text())["vector"]
MM = {"mm": 1.0, "in": 25.4}
KINDS = {"T": RAPID, "F": LINE, "A": ARC}
# figures are given to six decimals of their unit, sweeps to five of a degree
PLACE_TOLERANCE_MM, SWEEP_TOLERANCE_DEG = 3e-5, 1e-4


@pytest.mark.parametrize("vector", VECTORS, ids=[vector["section"] for vector in VECTORS])
def test_section(vector):
    unit = MM[vector["unit"]]
    head = "G20 G90\n" if vector["unit"] == "in" else "G21 G90\n"
    motions = read(head + vector["text"], tuple(value * unit for value in vector["start"])).motions
    expected = [move.split() for move in vector["moves"]]
    assert motions.kind.tolist() == [KINDS[move[0]] for move in expected]
    for row, (_, *figures) in enumerate(expected):
        end, centre, sweep = np.array(figures[:3], float), np.array(figures[3:6], float), figures[6:]
        assert motions.end[row] == pytest.approx(end * unit, abs=PLACE_TOLERANCE_MM)
        if sweep:
            assert motions.centre[row] == pytest.approx(centre * unit, abs=PLACE_TOLERANCE_MM)
            assert math.degrees(motions.sweep[row]) == pytest.approx(float(sweep[0]), abs=SWEEP_TOLERANCE_DEG)


@pytest.mark.parametrize(
    ("section", "start", "text", "length"),
    [
        ("3.5.3.2", (7, 7, 9), "G2 X10 Y16 I3 J4", 12.490458),
        ("table 10", (3, 1, 0), "G2 X0 R7.01 Z0.5", 3.064444),
        ("C.1 n0190", (16, 2.5, -0.5), "G3 X13.5 Y0 I-2.5", 11.780972),
        ("C.1 n0320", (32.5, 0, -0.5), "G2 X32.5 J2.5", 15.707963),
        ("C.1 n0490", (64, 4, -0.5), "G2 X69 R4", 5.401052),
        ("C.1 n0590", (79.5, 0, -0.5), "G2 J2.5 Y5", 7.853982),
        ("a slot's floor", (-25, 0, -3.2345), "G18 G3 X25 Z-3.2345 I25 K-301.5655", 50.0571),
        ("a helix", (1.7, 0, 0), "G3 X1.7 Y0 Z-0.5 I-1.7", 10.693111),
    ],
)
def test_length_along_the_arc(section, start, text, length):
    # section 2.1.2.5: the feed counts along the helix; lengths derived from the report's rules
    motions = read(f"G21 G90\n{text}", start).motions
    radius = np.linalg.norm(np.delete(motions.start[0] - motions.centre[0], {17: 2, 18: 1}[int(motions.plane[0])]))
    rise = (motions.end[0] - motions.start[0])[{17: 2, 18: 1}[int(motions.plane[0])]]
    assert math.hypot(radius * abs(motions.sweep[0]), rise) == pytest.approx(length, abs=5e-5)


def test_section_3_5_16_3_dwells_at_the_bottom():
    reading = read("G21 G99\nG82 X4 Y5 R0.2 Z-1.1 P0.6", (6, 2, 0.3))
    dwell = next(event for event in reading.events if event.kind == "dwell")
    assert (dwell.value, reading.motions.end[dwell.before - 1].tolist()) == (0.6, [4.0, 5.0, -1.1])


def test_section_3_5_18_a_shifted_zero():
    # "G92 X7" where X is 4 makes X read 7; then "G92 X9" makes the same place read 9
    reading = read("G21 G90\nG0 X4\nG92 X7\nG0 X8\nG0 X7\nG92 X9\nG0 X10")
    assert moves(reading) == ["T 4 0 0", "T 5 0 0", "T 4 0 0", "T 5 0 0"]


def test_table_10_a_length_offset_moves_nothing_and_leaves_z_unknown_here():
    # there "m6 g43 h2" makes Z 0.5 read -0.5 by a tool length of 1.0; nobody here knows the length
    reading = read("G21 G90\nG0 Z0.5\nT2 M6 G43 H2\nG0 X1")
    assert moves(reading) == ["T 0 0 0.5", "T 1 0 nan"]
    assert np.isnan(reading.motions.start[1][2])


def test_appendix_c_3_line_n0060_has_two_answers_within_its_series():
    # under G98 the height before this line is 0.3 in, that before the series -2: the report leaves it open
    from reading import refusal

    lines = ["G20 G90 G98", "g81 x3 y4 r0.2 z-1.1", "x1 y0 r0 g91 l3", "y-2 r0.1", "g82 g90 x4 y5 r0.2 z-1.1 p0.6"]
    finding = refusal("\n".join(lines), (0, 0, -2 * 25.4))
    assert (finding.line, "3.5.20" in finding.message) == (5, True)


# The sample program of appendix C.1, two words in outline letters.  Its text is set out anew here from what was
# noted of it (the numbers of its lines, its second line, its four arcs with their places): the lengths of ways
# below, derived from the report's own text, leave only one way to set the letters out, but for where along X the
# third and the fourth stand, which no length hangs on.
APPENDIX_C_1 = """\
n0010 g21 g0 x0 y0 z50 (top of the work is z 0)
n0020 T1 M6 M3 F20 S4000 (any order of words is right)
n0030 (a line of its own for people)
n0040 x0 y0 z2
n0050 g1 z-0.5
n0060 y10
n0070 g0 z2
n0080 y5
n0090 g1 z-0.5
n0100 x7
n0110 g0 z2
n0120 y0
n0130 g1 z-0.5
n0140 y10
n0150 g0 z2
n0160 x11 y2.5
n0170 g1 z-0.5
n0180 x16
n0190 g3 x13.5 y0 i-2.5
n0200 g1 x16
n0210 g0 z2
n0220 x20 y0
n0230 g1 z-0.5
n0240 y9
n0250 g0 z2
n0260 x26
n0270 g1 z-0.5
n0280 y0
n0290 g0 z2
n0300 x32.5 y0
n0310 g1 z-0.5
n0320 g2 x32.5 j2.5
n0330 g0 z2
n0340 x45 y5
n0350 g1 z-0.5
n0360 x47 y0
n0370 x48.5 y3
n0380 x50 y0
n0390 x52 y5
n0400 g0 z2
n0410 x57.5 y0
n0420 g1 z-0.5
n0430 g2 x57.5 j2.5
n0440 g0 z2
n0450 x64 y0
n0460 g1 z-0.5
n0470 y5
n0480 y4
n0490 g2 x69 r4
n0500 g0 z2
n0510 x73 y0
n0520 g1 z-0.5
n0530 y9
n0540 g0 z2
n0550 x81
n0560 g1 z-0.5
n0570 y0
n0580 x79.5
n0590 g2 j2.5 y5
n0600 g1 x81
n0610 g0 z50
n0620 m2
"""


def test_appendix_c_1_a_sample_program():
    reading = read(APPENDIX_C_1)
    motions = reading.motions
    assert sum(not line.endswith("people)") for line in APPENDIX_C_1.splitlines()) == 61 and reading.ended
    way = motions.end - motions.start
    radius = np.hypot(*(motions.start - motions.centre)[:, :2].T)
    length = np.where(motions.kind == ARC, radius * np.abs(motions.sweep), np.linalg.norm(way, axis=1))
    feeds = motions.kind > 0
    assert length[feeds].sum() == pytest.approx(183.430466, abs=2e-6)
    assert (length[feeds] / motions.feed[feeds]).sum() == pytest.approx(9.171523, abs=1e-6)
    # M6 leaves Z unknown here: the way down from 50 to 2 behind it has no length
    unknown = np.isnan(length)
    assert unknown.sum() == 1 and motions.line[unknown] == [4]
    assert length[~feeds & ~unknown].sum() + 48.0 == pytest.approx(252.052801, abs=2e-6)
    assert np.nanmin(motions.end, axis=0) == pytest.approx([0.0, 0.0, -0.5])
    assert np.nanmax(motions.end, axis=0) == pytest.approx([81.0, 10.0, 50.0])
