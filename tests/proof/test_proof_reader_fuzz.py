"""Any bytes at all give motions or one clear refusal, and both lanes of the reader read alike."""

import tracemalloc
from math import nan

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from both_lanes import hold_alike, in_pages, outcome, word_by_word
from pearlkerf.machine.model import Dialect
from pearlkerf.proof.dialect import hold_dialect
from pearlkerf.reading import reader
from pearlkerf.reading.controller import Controller
from pearlkerf.reading.header import read_headers
from pearlkerf.reading.motions import Finding, ProgramText, Reading, UnreadableProgram
from pearlkerf.reading.plain import PAGE_BYTES
from pearlkerf.reading.reader import read_program

QUICK = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])

numbers = st.one_of(
    st.integers(-3, 12).map(str),
    st.floats(-60, 60).map(lambda value: f"{value:.3f}"),
    st.sampled_from([".5", "5.", "-0", "+1.5", "1 2", "1e3", "", "-", "1.2.3", "99999999", "0.0000001", "007"]),
)
CODES = (
    "G0 G1 G2 G3 G4 G17 G18 G19 G20 G21 G28 G30 G43 G49 G53 G54 G55 G80 G81 G82 G83 G90 G91 G92 G92.1 G93 G94 "
    "G98 G99 G01 g0 M0 M2 M3 M5 M6 M7 M8 M9 M30 T1 S9000 N5"
)
ODD_LINES = ["", "%", "(note)", "(MSG, stop)", "((", ")", "/G0 X1", "#1=5", "G1 X[1]", "G0 X1 ; y", " \t"]
words = st.one_of(
    st.sampled_from(CODES.split(" ")), st.tuples(st.sampled_from("XYZIJKRFPQLSTHNABDOGM"), numbers).map("".join)
)
lines = st.one_of(st.lists(words, max_size=6).map(" ".join), st.sampled_from(ODD_LINES))
texts = st.builds(lambda made, end: end.join(made), st.lists(lines, max_size=25), st.sampled_from(["\n", "\r", "\r\n"]))

# texts that mostly can be read: straight lines and whole arcs among changes of mode
MODES = [
    "G0 X0 Y0",
    "S500",
    "G4 P0.5",
    "M5",
    "M0",
    "n5 m3 s9",
    "G20",
    "G21",
    "G91",
    "G90",
    "G18",
    "G17",
    "G92 X1",
    "M3 S100",
    "(c)",
]
optional = st.none() | st.floats(0, 90).map(lambda value: f"{value:.2f}")


def straight(head: str, x: str | None, y: str | None, z: str | None, feed: str | None) -> str:
    """A line of these words, those that are None left out."""
    return head + " ".join(
        f"{letter}{figure}" for letter, figure in zip("XYZF", (x, y, z, feed), strict=True) if figure
    )


straights = st.builds(
    straight,
    st.sampled_from(["", "N7 ", "G0 ", "G1 ", "N7 G01", "G1  ", "g1 "]),
    optional,
    optional,
    optional,
    optional,
)
figures = st.integers(-9, 9)
turns = st.builds(
    # to a point, and half a turn about another; a start a thousandth off is refused
    lambda x, y, i, j, code, z, off: f"G1 X{x + off} Y{y}.\n{code}X{x + 2 * i}. Y{y + 2 * j}. {z}I{i}. J{j}. F9.",
    figures, figures, figures, figures, st.sampled_from(["G2 ", "G3 ", "G02"]), st.sampled_from(["", "Z1.5 "]),
    st.sampled_from([0, 0, 0, 0.5, 0.001]),
)  # fmt: skip
# a plain program with some signs of another
slips = st.lists(
    st.builds(
        lambda line, at, sign: line[: at % 30] + sign + line[at % 30 + 1 :],
        st.sampled_from(
            ["G1 X12.345 Y-6.789 Z0.100", "N10 G3 X10.000 Y0.000 I-5.000 J0.000 F300.0", "X1.5 Y2. (a note)"]
        ),
        st.integers(0, 200),
        st.sampled_from([*"GNXYZIJFKRM0123456789.-+ ()/%;\tgnx", ""]),
    ),
    max_size=8,
).map("\n".join)
plain_texts = st.lists(st.one_of(straights, straights, turns, st.sampled_from(MODES)), max_size=40).map("\n".join)


def read(text: bytes, start=(0.0, 0.0, 0.0)) -> Reading | Finding:
    """Read a text; whatever else is raised fails the test."""
    try:
        reading = read_program(text, "a.nc", start=start)
    except UnreadableProgram as refusal:
        finding = refusal.finding
        assert finding.rule == 1 and finding.file == "a.nc" and finding.line is not None and finding.line >= 1
        assert finding.message.isprintable() and finding.message.isascii()
        return finding
    motions = reading.motions
    count = len(motions.kind)
    assert {len(getattr(motions, name)) for name in ("start", "end", "plane", "centre", "sweep", "feed", "line")} == {
        count
    }
    assert np.array_equal(motions.start[1:], motions.end[:-1], equal_nan=True) or reading.events
    assert not np.isinf(motions.end).any()
    read_headers(reading, "a.nc")
    return reading


@QUICK
@given(st.binary(max_size=300))
@example(b"\x00")
@example(b"%")
@example(b"\xef\xbb\xbfG21")
def test_any_bytes_give_motions_or_one_refusal(text):
    read(text)
    hold_dialect(ProgramText("a.nc", text), Dialect())


@QUICK
@given(texts, st.sampled_from([0.0, float("nan")]))
def test_any_text_of_the_languages_shape_gives_motions_or_one_refusal(text, place):
    read(text.encode("ascii"), (place, place, place))
    for dialect in (Dialect(), Dialect("in", 4, 60, False, True, True, False, True, "automatic", "ms", "M30")):
        hold_dialect(ProgramText("a.nc", text.encode("ascii")), dialect)


@QUICK
@given(st.one_of(plain_texts, plain_texts, texts, slips), st.sampled_from([20, 100, PAGE_BYTES]))
def test_both_lanes_read_alike_to_the_last_bit(text, page):
    like = Controller((0.0, 0.0, 0.0), "s")
    hold_alike(word_by_word(text.encode("ascii"), like), in_pages(text.encode("ascii"), like, page))


ODD = [
    "G1X1(a)2 Y3", "(a)N10 G1 X1", "N10(a)G1 X1(b)(c)", "G1 X1 (MSG, stop)", "G1 X1 ( m s G , stop)", "G1 X1 (MSG)",
    "G1 X1 X2", "X1Y2Z3G1G0", "N1 N2 X1", "N123456 X1", "N000001 X1", "N 1 2 X 3 . 5 Y - 1", "N1.0 X1", "N-1 X1", "N1",
    "g01 x.5", "X5.", "X-.5", "X-", "X", "X.", "X--1", "X1-", "X1.2.3", "X.-1", "X-0", "X-0.000", "G-0 X1", "G-1 X1",
    "G1.0 X1", "G1.00001 X1", "G1.1 X1", "G001 X1", "G4 P1", "G5 X1", "5 X1", "1", "X1\tY2", "\t", "X1;", "X1%", "X1)",
    "(a", "X1 ((a))", "(a)b)", "X1 I1", "G2 X1 Y1", "G2 I1", "G2 X1 J0", "G2 X2 I1", "G3 Y2 J1 F5", "G3 X0 Y0 R1",
    "G3 X1 Y1 I1 K1", "G2 X0 I0 J0", "G2 X0 Y0 I5", "G2 X1e-7 I5", "G2 X0.0000001 I5", "F300", "F-1 X1", "F-0 X1",
    "F1000001 X1", "X1000000", "X1000000.5", "X9999999", "X99999999", "X123456.7", "X1234567.8", "X0.1234567",
    "X0.12345678", "Z1 G0", "G0", "N5 G1", "/X1", "A1", "X1 A1", "X+1", "M3 S100", "G20 X1", "G91", "G17", "G18",
    "G92 X1", "G81 Z-1 R1 G99", "X1 " + " " * 300, "X1 (" + "a" * 250 + ")", "X1 (" + "a" * 251 + ")", "X1" + "0" * 255,
    "\x7f", "\x00", "X1\x01",
    "M3 S100 (a)", "M 5", "n7 m0", "G4", "G4 P1.5", "G04P2", "S", "S1.2.3", "S-1", "P1", "M3 M4", "M30", "M2", "M6",
    "T1",
    "M9 M8 M7", "M48", "M60", "M100", "M03", "G4 P1 G1 X1", "G4 P1 S5 M3", "G4 P-1", "S9999999", "S1 S2", "G4 P1 P2",
    "G4 X1", "G3 X1 Y3.0025 I0 J1", "G3 X1 Y3.002 I0 J1", "G2 X1.000001 Y1 I5", "G3 X1 Y1.001 J1",
]  # fmt: skip


@pytest.mark.parametrize("page", [20, PAGE_BYTES])
@pytest.mark.parametrize("after", ["", "G20\n", "G18\n", "G91\n", "G2 X0 Y0 I3\n", "G80\n", "G98 G81 X0 Y0 Z-1 R1\n"])
@pytest.mark.parametrize("odd", ODD)
def test_both_lanes_read_what_is_odd_alike(odd, after, page):
    text = f"G21 G90\nG1 X0 Y0 Z0 F100\n{after}X1 Y1\n(a)\n{odd}\nX2 Y2\n\nG3 X2 Y4 I0. J1.\n".encode("ascii")
    like = Controller((nan, nan, nan), "s")
    hold_alike(word_by_word(text, like), in_pages(text, like, page))
    hold_alike(word_by_word(text, like), outcome(text, like))


def test_the_quick_lane_is_taken():
    # or the test above would compare the slow way with itself
    taken, text = [], b"G1 X1.5 Y2. F100.\nN20 X3 (a)\nG3 X3. Y2.5 I0. J0.25\nX3 Y2 I0 J+.25"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "_read_other", lambda raw, *_: taken.append(raw))
        in_pages(text, Controller((0.0, 0.0, 0.0), "s"))
    assert taken == ["X3 Y2 I0 J+.25"]


@pytest.mark.parametrize(
    "text",
    [
        b"(" * 1_000_000, b"G1 " + b"X" * 1_000_000, b"G1 X" + b"9" * 1_000_000, b" " * 1_000_000 + b"G1",
        b"%" * 1_000_000, b"()" * 500_000, b"\x00" * 1_000_000, bytes(range(128, 256)) * 8000, b"G1 X1 " * 170_000,
    ],
    ids=["brackets", "letters", "digits", "blanks", "percents", "comments", "nul", "no ASCII", "words"],
)  # fmt: skip
def test_a_line_of_a_megabyte_is_refused_in_the_line_that_it_is(text):
    finding = read(text)
    assert isinstance(finding, Finding) and finding.line == 1
    hold_dialect(ProgramText("a.nc", text), Dialect())


def test_a_million_lines_are_read_and_take_memory_in_proportion():
    lines = 1_000_000
    text = b"G21 G90\n" + b"G1 X1.25 Y-2.5\n" * (lines - 1)
    reading = read_program(text)
    assert (reading.lines, len(reading.motions.kind)) == (lines, lines - 1)
    tracemalloc.start()
    read_program(text[: len(text) // 20])
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 500 * lines / 20  # bytes: the text's lines, and 170 for the columns of a motion
