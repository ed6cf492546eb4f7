"""What a program does, in the order of NISTIR 6556 section 3.8: modes, places, events."""

import math

import numpy as np
import pytest
from reading import NAN, moves, read, refusal

from pearlkerf.reading.motions import SPINDLE_CLOCKWISE, SPINDLE_OFF
from pearlkerf.reading.reader import read_program

NOWHERE = (NAN, NAN, NAN)


def events(text):
    return [(event.kind, event.value) for event in read(text).events]


def test_a_small_program():
    reading = read_program(b"%\nN10 G21 G90 (face)\n\nG0 Z5.\nS9000 M3\nG1 X1 F200\nM5\nM2\n%\n")
    motions = reading.motions
    assert moves(reading) == ["T nan nan 5", "F 1 nan 5"]
    assert motions.line.tolist() == [4, 6]
    assert motions.feed.tolist() == pytest.approx([NAN, 200.0], nan_ok=True)
    assert motions.speed.tolist() == pytest.approx([NAN, 9000.0], nan_ok=True)
    assert motions.spindle.tolist() == [SPINDLE_OFF, SPINDLE_CLOCKWISE]
    assert motions.cutter.tolist() == [-1, -1]
    assert [(event.kind, event.before, event.line) for event in reading.events] == [
        ("speed", 1, 5), ("spindle", 1, 5), ("spindle", 2, 7), ("end", 2, 8),
    ]  # fmt: skip
    assert (reading.comments, reading.lines, reading.ended) == (((2, "face"),), 9, True)
    assert reading.stated == {"G21", "G90"}


def test_an_empty_text_is_a_program_that_does_nothing():
    for text in (b"", b"\n", b" \t\r\n"):
        reading = read_program(text)
        assert (len(reading.motions.kind), reading.events, reading.ended) == (0, (), False)
        assert reading.motions.end.shape == reading.motions.centre.shape == (0, 3)


def test_arrays_are_read_only():
    motions = read("G0 X1").motions
    for name in ("kind", "start", "end", "plane", "centre", "sweep", "feed", "speed", "spindle", "cutter", "line"):
        with pytest.raises(ValueError, match="read-only"):
            getattr(motions, name)[0] = 0


def test_an_axis_is_unknown_until_it_is_named():
    motions = read("G21 G90\nG0 Z5\nG0 X1 Y2\n", NOWHERE).motions
    assert np.isnan(motions.start).tolist() == [[True] * 3, [True, True, False]]
    assert np.isnan(motions.end).tolist() == [[True, True, False], [False] * 3]
    assert motions.end[1].tolist() == [1.0, 2.0, 5.0]


def test_incremental_figures_add_up():
    assert moves(read("G91\nG0 X1 Y2\nX1\nG90 X1\nG91 Z-1")) == ["T 1 2 0", "T 2 2 0", "T 1 2 0", "T 1 2 -1"]


def test_inches_are_25_4_mm_and_a_feed_in_inches_too():
    motions = read("G20\nF10\nG1 X1\nG2 X2 I0.5 J0").motions
    assert motions.end[:, 0].tolist() == pytest.approx([25.4, 50.8], abs=1e-12)
    assert motions.feed.tolist() == pytest.approx([254.0, 254.0], abs=1e-12)
    assert motions.centre[1].tolist() == pytest.approx([38.1, 0.0, 0.0], abs=1e-12)


def test_a_feed_on_the_line_that_sets_the_unit_is_refused():
    # section 3.8: F is carried out before G20, in whatever unit was in force
    finding = refusal("G20 G90 F10")
    assert (finding.line, finding.column) == (1, 9)
    assert len(read("G21\nG21 F10 G1 X1").motions.kind) == 1


def test_a_feed_of_another_unit_is_forgotten():
    # section 4.3.3.3: changing the unit does not convert the feed
    motions = read("G21\nF100\nG1 X1\nG20\nG1 X1\nF10\nG1 X2").motions
    assert motions.feed.tolist() == pytest.approx([100.0, NAN, 254.0], nan_ok=True)


def test_words_are_carried_out_in_the_standards_order_not_their_own():
    # appendix C.1 has such a line: the cutter is changed first, then the spindle starts
    assert events("T1 M3 M6 S4000") == [
        ("speed", 4000.0), ("select cutter", 1.0), ("cutter change", 1.0), ("spindle", 3.0),
    ]  # fmt: skip
    # a dwell comes before the motion of its line, a stop after it; G90 before, though written after
    reading = read("G91\nM0 G4 P2 G1 X1 G90", (5.0, 0.0, 0.0))
    assert moves(reading) == ["F 1 0 0"]
    assert [(event.kind, event.before) for event in reading.events] == [("dwell", 0), ("stop", 1)]
    # the plane is set before the arc of its line
    assert read("G2 G18 X2 I1").motions.plane.tolist() == [18]


def test_a_motion_word_stays_in_force():
    assert moves(read("G0 X1\nY1\nG1 X2\nM8\nY2")) == ["T 1 0 0", "T 1 1 0", "F 2 1 0", "F 2 2 0"]
    assert moves(read("G2 X2 I1\nX4 I1")) == ["A 2 0 0 1 0 0 -180", "A 4 0 0 3 0 0 -180"]
    assert moves(read("Y2 G1 X1", (0, 0, 0))) == ["F 1 2 0"]


def test_modes_stated_before_the_first_motion_are_told():
    assert read("G20\nG21 G17\nG90 G94 G0 X1\nG91 G18").stated == {"G21", "G17", "G90", "G94"}


def test_a_cutter_change_stops_the_spindle_and_leaves_the_height_unknown():
    reading = read("T3\nS9000 M3\nG1 X1\nM6\nG1 X2")
    assert reading.motions.spindle.tolist() == [SPINDLE_CLOCKWISE, SPINDLE_OFF]
    assert reading.motions.cutter.tolist() == [-1, 3]
    assert moves(reading) == ["F 1 0 0", "F 2 0 nan"]


def test_cutter_0_is_an_empty_spindle():
    assert events("T0 M6") == [("select cutter", 0.0), ("cutter change", 0.0)]  # section 3.7.3


def test_spindle_coolant_stops_and_messages():
    assert events("M4 S100") == [("speed", 100.0), ("spindle", 4.0)]
    assert events("M7 M8") == [("coolant", 7.0), ("coolant", 8.0)]
    assert events("M0\nM1\nM60\nM48\nM49") == [("stop", 0.0), ("stop", 1.0), ("stop", 60.0)]
    assert events("M3\nM30") == [("spindle", 3.0), ("end", 30.0), ("spindle", 0.0)]
    reading = read("( m S g, set the speed )\n(message)")
    assert [(event.kind, event.text) for event in reading.events] == [("message", "set the speed")]
    assert [line for line, _ in reading.comments] == [1, 2]


@pytest.mark.parametrize(("unit", "seconds"), [("s", 500.0), ("ms", 0.5)])
def test_a_dwell_is_in_the_controllers_unit(unit, seconds):
    reading = read("G4 P500\nG99 G82 X1 Z-1 R1 P500", dwell_unit=unit)
    assert [event.value for event in reading.events] == [seconds, seconds]


def test_no_dwell_at_all_is_a_dwell():
    # only less than none is an error (section 3.5.4)
    assert events("G4 P0\nG99 G82 X1 Z-1 R1 P0") == [("dwell", 0.0), ("dwell", 0.0)]


def test_machine_axes_lead_where_nobody_knows():
    assert moves(read("G90 G0 X1 Y2 Z3\nG53 G0 Z0\nG0 X5\nZ1")) == ["T 1 2 3", "T 1 2 nan", "T 5 2 nan", "T 5 2 1"]


def test_home_is_reached_by_way_of_the_programmed_point():
    # section 3.5.8: then to a stored place, whichever axes are named
    assert moves(read("G0 X1 Y2 Z3\nG28 Z8\nG30")) == ["T 1 2 3", "T 1 2 8", "T nan nan nan", "T nan nan nan"]
    assert moves(read("G91 G28 Z1", (0, 0, 4))) == ["T 0 0 5", "T nan nan nan"]


def test_one_work_offset_holds_for_a_program():
    assert len(read("G54\nG55\nG0 X1\nG55\nG0 X2").motions.kind) == 2
    assert "G55 to G54" in refusal("G55\nG0 X1\nG54").message
    assert refusal("G0 X1\nG54\n").line == 2


def test_zero_is_shifted_in_inches_too():
    assert moves(read("G20 G90\nG0 X4\nG92 X7\nG0 X8"))[-1] == f"T {5 * 25.4:g} 0 0"


def test_zero_is_shifted_back_only_before_motion():
    assert moves(read("G92.1\nG92.2\nG92 X5\nG0 X6")) == ["T 1 0 0"]
    assert refusal("G0 X1\nG92 X5\nG92.1").line == 3


def test_motion_and_home_or_shift_do_not_share_a_line():
    for code in ("G0 G28 X1", "G1 G92 X1", "G81 G30"):
        assert "two lines" in refusal(code).message
    assert moves(read("G92.1 G0 X1")) == ["T 1 0 0"]
    assert moves(read("G0\tX2\nG80 G28 X1")) == ["T 2 0 0", "T 1 0 0", "T nan nan nan"]


@pytest.mark.parametrize(
    "code",
    [
        "G0 X1 P2",
        "G1 X1 I1",
        "G0 X1 R2",
        "G81 X1 Z-1 R1 Q1",
        "G4 P1 X2",
        "M3 H1",
        "L2",
        "K1",
        "G21 X1 G4 P1",
        "G92.1 X1",
    ],
)
def test_a_word_that_nothing_uses_is_refused(code):
    assert "uses the word" in refusal(f"G1 X0\n{code}").message


@pytest.mark.parametrize("code", ["I1", "R1", "J2 K3"])
def test_arc_words_without_an_axis_are_refused_in_the_arcs_mode_too(code):
    assert refusal(f"G2 X2 I1\n{code}").line == 2


@pytest.mark.parametrize("code", ["R5", "L2", "P1", "Q1"])
def test_cycle_words_without_an_axis_are_refused_in_the_cycles_mode_too(code):
    assert refusal(f"G99 G83 X1 Z-1 R1 Q0.5\n{code}").line == 2


def test_a_cycle_forgets_its_numbers_with_its_mode_plane_or_unit():
    cycle = "G21 G99 G81 X1 Z-1 R1\n"
    assert len(read(cycle + "X2\nG81 X3").motions.kind) == 4 + 3 + 3
    for between in ("G0 X0\nG81 X2", "G82 X2 P1", "G20\nX2", "G18\nX2 Z1 Y1"):
        assert "no R" in refusal(cycle + between).message


def test_g98_or_g99_must_be_written_where_it_matters():
    # section 3.5.20 does not say which is in force before
    assert "3.5.20" in refusal("G81 X1 Z-1 R1", (0, 0, 5)).message
    assert len(read("G81 X1 Z-1 R1", (0, 0, 1)).motions.kind) == 3


def test_g98_within_a_series_whose_first_height_was_another_is_refused():
    series = "G99 G81 X1 Z-1 R1\nX2\n"
    assert "3.5.20" in refusal(series + "G98 X3", (0, 0, 5)).message
    assert moves(read(series + "G80\nG98 G81 X3 Z-1 R0.5", (0, 0, 5)))[-1] == "T 3 0 1"


def test_a_cycle_in_absolute_figures_repeats_in_place():
    one, three = (read(f"G99 G81 X1 Z-1 R1 L{count}") for count in (1, 3))
    assert moves(three) == moves(one) + moves(one)[2:] * 2
    assert set(three.motions.in_cycle.tolist()) == {81}
    assert read("G99 G81 X1 Z-1 R1\nG0 X2").motions.in_cycle.tolist()[-1] == 0


@pytest.mark.parametrize(
    "code",
    ["G83 X1 Z-1 R1 Q0.0000001", "G81 X1 Z-1 R1 L999999", "G83 X1 Z-100 R1 Q0.001 L100", "G81 X1 Z-1 R1 L2000000"],
)
def test_a_cycle_without_a_reasonable_end_is_refused(code):
    assert refusal(f"G99\n{code}").line == 2


def test_many_small_cycles_do_not_take_all_memory_either():
    lines = ["G91 G99 G81 X1 Z-1 R0 L300000", *["X1 Z-1 R0 L300000"] * 5]
    assert refusal("\n".join(lines)).line <= 2


def test_numbers_too_large_to_compute_with_are_refused():
    for code in ("G0 X1000001", "G0 X-9" + "0" * 200, "G1 X1 F1e9".replace("e9", "0" * 9), "S10000000"):
        assert "too large" in refusal(code).message


def test_ends_all_but_one_place_are_neither_a_turn_nor_none():
    assert "full turn" in refusal("G3 X0.00000001 Y0 I5 J0").message
    # the same place reached by sums of decimal figures counts as the same: 0.1 + 0.2 is not quite 0.3
    motions = read("G91 G1 X0.1\nX0.2\nG90 G3 X0.3 Y0 I5 J0").motions
    assert motions.sweep[2] == pytest.approx(2 * math.pi)


def test_an_arc_lies_on_its_circle_from_start_to_end():
    # turned about the centre by the sweep, in complex numbers, the start becomes the end
    motions = read("G3 X3 Y-1 Z2 I1 J-2\nG2 X0 Y0 I-2 J-1\nG2 X4 Y2 R5\nG3 X0 Y0 R-5").motions
    for row in range(4):
        start, end, centre = (complex(*getattr(motions, name)[row][:2]) for name in ("start", "end", "centre"))
        turned = centre + (start - centre) * np.exp(1j * motions.sweep[row])
        assert abs(turned - end) < 1e-9
    assert (np.sign(motions.sweep)).tolist() == [1, -1, -1, 1]
    assert abs(motions.sweep[2]) < math.pi < motions.sweep[3]


@pytest.mark.parametrize(("plane", "letters"), [("G19", "YZXJKI"), ("G18", "ZXYKIJ")])
def test_the_planes_differ_only_in_the_names_of_their_axes(plane, letters):
    # section 4.3.6.1: the pairs are X Y, Y Z and Z X, each turning the same way about its own axis
    text = "G17 G99\nG1 X1 Y2 Z3\nG2 X4 Y3 Z1 I2 J-1\nG3 X6 Y4 R4\nG81 X7 Y1 Z-2 R2\nG91 G83 X1 Z-2 R0 Q0.7 L2"
    renamed = text.translate(str.maketrans("XYZIJK", letters)).replace("G17", plane)
    flat, turned = read(text).motions, read(renamed).motions
    order = ["XYZ".index(letter) for letter in letters[:3]]
    assert turned.kind.tolist() == flat.kind.tolist()
    for name in ("start", "end", "centre"):
        assert np.array_equal(getattr(turned, name)[:, order], getattr(flat, name), equal_nan=True)
    assert np.array_equal(turned.sweep, flat.sweep)


@pytest.mark.parametrize("radius", [0.5, 20.0])
def test_a_quarter_turn_is_the_same_by_radius_and_by_centre(radius):
    for code, centre in (("G3", f"I0 J{radius}"), ("G2", f"I{radius} J0")):
        by_radius, by_centre = (read(f"{code} X{radius} Y{radius} {how}").motions for how in (f"R{radius}", centre))
        assert by_radius.centre == pytest.approx(by_centre.centre)
        assert by_radius.sweep == pytest.approx(by_centre.sweep)
        assert abs(by_radius.sweep[0]) == pytest.approx(math.pi / 2)
