"""Any bytes at all give motions or one clear refusal, and both lanes of the reader read alike."""

import tracemalloc

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from pearlkerf.machine.model import Dialect
from pearlkerf.proof import reader
from pearlkerf.proof.dialect import hold_dialect
from pearlkerf.proof.header import read_headers
from pearlkerf.proof.motions import Finding, ProgramText, Reading, UnreadableProgram
from pearlkerf.proof.reader import read_program

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
MODES = ["G0 X0 Y0", "G20", "G21", "G91", "G90", "G18", "G17", "G92 X1", "M3 S100", "(c)"]
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
plain_texts = st.lists(st.one_of(straights, straights, turns, st.sampled_from(MODES)), max_size=40).map("\n".join)


def outcome(text: bytes, start=(0.0, 0.0, 0.0)) -> Reading | Finding:
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
    outcome(text)
    hold_dialect(ProgramText("a.nc", text), Dialect())


@QUICK
@given(texts, st.sampled_from([0.0, float("nan")]))
def test_any_text_of_the_languages_shape_gives_motions_or_one_refusal(text, place):
    outcome(text.encode("ascii"), (place, place, place))
    for dialect in (Dialect(), Dialect("in", 4, 60, False, True, True, False, True, "automatic", "ms", "M30")):
        hold_dialect(ProgramText("a.nc", text.encode("ascii")), dialect)


@QUICK
@given(st.one_of(plain_texts, plain_texts, texts))
def test_both_lanes_read_alike_to_the_last_bit(text):
    quick = outcome(text.encode("ascii"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "read_plain", lambda lines, index, last, controller: index)
        slow = outcome(text.encode("ascii"))
    if isinstance(slow, Finding) or isinstance(quick, Finding):
        assert slow == quick
        return
    for name in slow.motions.__slots__:
        assert np.array_equal(
            getattr(slow.motions, name), getattr(quick.motions, name), equal_nan=name not in "kind line"
        ), name
    assert (slow.events, slow.comments, slow.stated) == (quick.events, quick.comments, quick.stated)


def test_the_quick_lane_is_taken():
    # or the test above would compare the slow way with itself
    taken = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(reader, "_read_other", lambda raw, *_: taken.append(raw))
        read_program(b"G1 X1.5 Y2. F100.\nN20 X3\nG3 X3. Y2.5 I0. J0.25\nX3 Y2 I0 J-.25", start=(0.0, 0.0, 0.0))
    assert taken == ["X3 Y2 I0 J-.25"]


@pytest.mark.parametrize(
    "text",
    [
        b"(" * 1_000_000, b"G1 " + b"X" * 1_000_000, b"G1 X" + b"9" * 1_000_000, b" " * 1_000_000 + b"G1",
        b"%" * 1_000_000, b"()" * 500_000, b"\x00" * 1_000_000, bytes(range(128, 256)) * 8000, b"G1 X1 " * 170_000,
    ],
    ids=["brackets", "letters", "digits", "blanks", "percents", "comments", "nul", "no ASCII", "words"],
)  # fmt: skip
def test_a_line_of_a_megabyte_is_refused_in_the_line_that_it_is(text):
    finding = outcome(text)
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
