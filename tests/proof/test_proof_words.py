"""From bytes to words: NISTIR 6556, section 3.3."""

import pytest
from reading import refusal

from pearlkerf.reading.motions import UnreadableProgram
from pearlkerf.reading.words import Word, read_line, text_lines, whole


def words(raw):
    return [(word.letter, word.value) for word in read_line(raw, 1).words]


def test_blanks_and_case_mean_nothing():
    assert words("g0x +0. 12 34y 7") == words("G0 X0.1234 Y7") == [("G", 0.0), ("X", 0.1234), ("Y", 7.0)]
    assert words("\tg 1 x\t1 2 . 5 ") == [("G", 1.0), ("X", 12.5)]


@pytest.mark.parametrize(
    ("digits", "value"),
    [
        (".5", 0.5),
        ("5.", 5.0),
        ("+.5", 0.5),
        ("-0", 0.0),
        ("007", 7.0),
        ("-1.25", -1.25),
        ("0.1234567890123456", 0.1234567890123456),
    ],
)
def test_number_forms_of_section_3_3_2_1(digits, value):
    assert words(f"X{digits}") == [("X", value)]


def test_columns_are_those_of_the_line():
    assert read_line("N20 (note) G1  X 1 . 5 (end)", 3).words == [Word("G", 1.0, 12), Word("X", 1.5, 16)]


def test_a_line_number_is_read_and_left_out():
    assert words("N99999 G1") == words(" n 1 0 G1") == [("G", 1.0)]


def test_the_last_comment_of_a_line_counts():
    assert read_line("(one) G1 (two)", 1).comment == "two"
    assert read_line("()", 1).comment == ""
    assert read_line("G1", 1).comment is None


def test_a_comment_ends_a_number():
    # taken out before the words are read, it would leave X12
    assert "without a letter" in refusal("G0 X1(note)2").message


def test_a_line_may_have_256_characters():
    longest = "G0 X1".ljust(256)
    assert words(longest) == [("G", 0.0), ("X", 1.0)]
    assert refusal(longest + " ").column == 257


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"])
def test_line_ends(end):
    assert text_lines(f"G21{end}{end}M2{end}".encode()) == ["G21", "", "M2", ""]


@pytest.mark.parametrize(
    ("text", "line", "column", "message"),
    [
        (b"\xef\xbb\xbfG21\n", 1, 1, "byte order mark"),
        (b"\xff\xfeG\x002\x001\x00", 1, 1, "not ASCII"),
        (b"G21\r\nG0 X\xe91\r\n", 2, 5, "0xe9"),
        (b"G21\rG0\r(\xc3\xa9)\n", 3, 2, "0xc3"),
        (b"G21\nG0\x00X1", 2, 3, "control character 0x00"),
        (b"G21\n(a\x07b)", 2, 3, "control character 0x07"),
        (b"\x0bG21", 1, 1, "control character 0x0b"),
        (b"M2\n\x0c\n", 2, 1, "follow"),
    ],
)
def test_what_is_not_printable_ascii_is_refused_in_its_place(text, line, column, message):
    finding = refusal(text)
    assert (finding.line, finding.column) == (line, column)
    assert message in finding.message


def test_whole_numbers_pass_within_a_ten_thousandth():
    # section 3.3.2.1
    assert whole(Word("T", 2.00009, 1), 1) == 2
    with pytest.raises(UnreadableProgram):
        whole(Word("T", 2.00011, 1), 1)
