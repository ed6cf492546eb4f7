"""The oracle thinks of the machine: of each kind of harm, edits that do it and edits that look like it and do not."""

import pytest
from oracle import Case
from small_case import GUARDS, START, case, case_automatic, case_by_hand, case_held, case_told

BY_FILE, BY_HAND, HELD_DOWN, AUTOMATIC, TOLD = case(), case_by_hand(), case_held(), case_automatic(), case_told()
RISE = "G0 Z5.0\n"
CHANGE = "(change to cutter 1, end mill 0.600 mm and zero Z again on the)\n(- same spot)\n"
RISEN = f"G1 Z0.5 F300.0\n{RISE}"  # the last of a program's cuts

HARM = [
    # 1: what is unknown is the worst that it could be
    (BY_FILE, RISE + "S", "G0 Z8.0\nG0 Z3.0\nG0 Z5.0\nS", "goes down at a place that nobody knows"),
    (BY_FILE, RISE + "S", RISE + "G0 Z-20.0\nG0 Z5.0\nS", "goes down at a place that nobody knows"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "G0 X10.0\n", "goes down at a place that nobody knows"),
    (BY_FILE, RISE + "S", "G0 X0.0\n" + RISE + "S", "sideways at a height that nobody knows"),
    (BY_FILE, RISE + "S", "G0 Z-2.0\n" + RISE + "S", "does not lift first"),
    (BY_FILE, "G90 ", "", "nobody knows the distance"),
    (BY_FILE, " G54", "", "nobody knows the offset"),
    (BY_FILE, "G90", "G91", "that nobody knows"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "G93\nG0 X10.0 Y5.0\n", "G93"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "G0 X10.0 Y5.0\nG90.1\n", "G90.1"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "G41\nG0 X10.0 Y5.0\n", "G41"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "M0\nG0 X10.0 Y5.0\n", "nobody knows the distance"),
    (BY_HAND, "G21 G17 G90 G94 G54\n", "", "nobody knows the distance"),
    (BY_HAND, "G54\nG0 Z5.0\nG0 X", "G54\nG0 X", "sideways at a height that nobody knows"),
    (BY_HAND, "G90 G94 G54\nG0 Z5.0\nG0 X", "G91 G94 G54\nG0 Z5.0\nG0 X", "that nobody knows"),
    (BY_HAND, "G1 Z0.1 F100.0", "G1 Z0.1", "without a feed"),
    (BY_HAND, "M0\nM2", "M3\nM0\nM2", "starts a spindle that people switch"),
    # 2: machine axes and other zeros
    *((BY_FILE, "G0 X10.0 Y5.0\n", f"{code}\nG0 X10.0 Y5.0\n", "a zero that nobody knows")
      for code in ("G53 G0 Z-20.0", "G28", "G30 Z1.0", "G92 Z0.0", "G92.1", "G10 L2 P1 Z-5.0", "G52 X1.0")),
    # 3: lengths and changes on a machine that changes cutters itself
    (AUTOMATIC, "G43 H2 ", "", "no length"),
    (AUTOMATIC, "G43 H2", "G43 H1", "another cutter's"),
    (AUTOMATIC, "S16000 M3\n", "S16000 M3\nG17 G40 G49 G80 G90\n", "at a height that nobody knows"),
    (AUTOMATIC, "G0 X20.0", "G43 H2\nG0 X20.0", "at a height that nobody knows"),
    (AUTOMATIC, "G0 X20.0", "G43 H2\nG0 Z5.0\nG0 X20.0", "another cutter's"),
    (AUTOMATIC, "T2 M6\n", "", "moves before any cutter is taken"),
    (AUTOMATIC, "M5\n(", "(", "changes the cutter while the spindle turns"),
    (AUTOMATIC, f"{RISEN}M5\n(", "M5\n(", "ends with the cutter down"),
    (AUTOMATIC, f"{RISE}M5\nM2", "G49\nG0 Z5.0\nM5\nM2", "no length"),
    (BY_FILE, RISE + "S", "G43 H2\n" + RISE + "S", "no table"),
    # 4: the bed, and what holds the wood
    (BY_FILE, f"{RISE}M5", f"{RISE}G0 X10.0 Y29.0\nG0 Z-7.0\n{RISE}M5", "into the bed"),
    (BY_FILE, f"{RISE}M5", f"{RISE}G0 X10.0 Y29.0\nG1 Z-6.1\n{RISE}M5", "into the bed"),
    (HELD_DOWN, f"{RISE}M5", f"G0 X35.0\n{RISE}M5", "into clamp"),
    (HELD_DOWN, f"{RISE}M5", f"{RISE}G0 X31.0\nG1 Z2.0\n{RISE}M5", "into clamp"),
    (HELD_DOWN, f"{RISE}M5", f"{RISE}G0 X41.0\nG1 Z2.0\n{RISE}M5", "into clamp"),  # its radius reaches it
    (HELD_DOWN, f"{RISE}S", f"G0 Z2.0\n{RISE}S", "perhaps on clamp"),
    # 5: words that people act on
    (TOLD, "nut end at the left", "nut end at the right", "how the board lies"),
    (TOLD, "bass edge toward", "bass edge nearest", "how the board lies"),
    (TOLD, "(playing face up, nut end at the left, bass edge toward the operator)\n", "", "how the board lies"),
    (TOLD, "(- on top of the wood at the centre line)\n", "", "how the board lies"),
    (TOLD, "(the glue", "(bass edge up, nut end at the left)\n(the glue", "something else of how the board lies"),
    (TOLD, "cutter 1, end mill 0.600 mm, 16000", "cutter 1, end mill 0.800 mm, 16000", "the cutter"),
    (TOLD, "(cutter 2, end mill 3.000 mm, 16000 rpm, feed 400, plunge 100)\n", "", "the cutter"),
    (TOLD, "(set the spindle to 16000 rpm, start it, let it run up)\n", "", "not told what for"),
    (TOLD, CHANGE, "", "to change the cutter"),
    (TOLD, "change to cutter 1", "change to cutter 2", "another cutter"),
    (TOLD, " and zero Z again on the)\n(- same spot)", ")", "something else at a stop"),
    (TOLD, "switch the spindle off", "switch the spindle on", "something else at a stop"),
    (TOLD, "set the spindle to 16000", "set the spindle to 6000", "another speed"),
    (TOLD, f"{START}\nM0", f"M0\n{START}", "not told"),
    (TOLD, "G1 X10.0\n", "G1 X10.0\n(switch the spindle off)\n", "where nothing stops"),
    (TOLD, "G1 Z0.5 F300.0\n", "G1 Z0.5 F300.0\nM0\nG21 G17 G90 G94 G54\n", "stands in the wood|not told what for"),
    # 6: scorching
    (BY_FILE, "F400.0", "F40.0", "slower than a fifth"),
    (BY_FILE, "G1 X10.0\n", "G1 X10.0\nG4 P0.1\nG4 P0.1\nG4 P0.1\n", "stands in the wood"),
    (BY_FILE, "G1 X10.0\n", "G1 X10.0\n" + "G1 X10.001\nG4 P0.1\nG1 X10.0\n" * 3, "stands in the wood"),
    (BY_FILE, "G1 X10.0\n", "G1 X10.0\n" + "G1 X10.001\nG1 X10.0\n" * 1500, "stands in the wood"),
    # 7: claims
    (BY_FILE, DOT_CUTS := "G3 X8.5 Z-0.3 I-1.5\nG3 X11.5 Z-0.7 I1.5\nG3 X8.5 Z-1.1 I-1.5\nG3 X11.5 Z-1.5 I1.5\n"
     "G3 X8.5 I-1.5\nG3 X11.5 I1.5\n", "", "face dot 3"),
    # 8: words that controllers know
    (BY_FILE, "G0 X10.0 Y5.0\n", "M8\nG0 X10.0 Y5.0\n", "coolant"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "M7\nG0 X10.0 Y5.0\n", "coolant"),
    (BY_FILE, "S16000 M3\nG4 P2.0\n", "S9000 M3\nG4 P2.0\nS16000\n", "at speed"),
]  # fmt: skip
HARMLESS = [
    (BY_FILE, RISE + "S", "G0 Z9.0\n" + RISE + "S"),
    (BY_FILE, RISE + "S", RISE + "G0 X0.0\n" + RISE + "S"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "G0 X10.0\nG0 Y5.0\n"),
    (BY_FILE, "G21\nG17 G90 G94 G54\n", "G17\nG54 G90\nG94 G21\n"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "G93\nG0 X10.0 Y5.0\nG94\n"),  # rapids have no feed
    (BY_FILE, "G0 X10.0 Y5.0\n", "G91.1 G40\nG0 X10.0 Y5.0\n"),
    (BY_HAND, "M0\nM2", "M0\nM0\nM2"),
    (BY_HAND, "G54\nG0 Z5.0\nG0 X", "G54\nG1 Z5.0 F300.0\nG0 X"),
    (BY_FILE, "G54\n", "G55\nG54\n"),
    (BY_HAND, "G0 X10.0 Y5.0\n", "G1 X10.0 Y5.0 F300.0\n"),
    (TOLD, "(change to cutter", "m0\n(change to cutter"),
    (AUTOMATIC, "G0 G43 H2 Z5.0\n", "G0 G43 H2 Z5.0\nG43 H2 Z5.0\n"),
    (AUTOMATIC, "G40\n", "G40 G49\n"),
    (AUTOMATIC, "T2 M6\n", "T2\nM6\n"),
    (AUTOMATIC, "M5\nM2", "M5\nG49\nM2"),
    (HELD_DOWN, f"{RISE}M5", f"{RISE}G0 X35.0\n{RISE}M5"),
    (TOLD, "(the glue face lies flat on the bed, clamped so that it cannot move)\n", ""),
    (TOLD, GUARDS, ""),
    (TOLD, "(playing", "(playing face up, nut end at the left, bass edge toward the operator)\n(playing"),
    (TOLD, "(switch the spindle off", "(switch the spindle off and wait until it stands)\n(switch the spindle off"),
    (BY_FILE, "F400.0", "F100.0"),
    (BY_FILE, "G1 X10.0\n", "G1 X10.0\nG4 P0.1\n"),
    (BY_FILE, "G1 X10.0\nG1 Z0.5 F300.0\n", "G1 X10.0\nG4 P0.1\nG1 Z0.5 F300.0\nG4 P0.15\n"),
    (BY_FILE, "G1 X10.0\n", "G1 X10.0\n" + "G1 X10.001\nG1 X10.0\n" * 5),
    (BY_FILE, RISE + "M5", RISE + "G4 P60.0\nM5"),  # in the air
    (BY_FILE, "G0 X10.0 Y5.0\n", "M9 M48\nG0 X10.0 Y5.0\n"),
    (BY_FILE, "S16000 M3\nG4 P2.0\n", "S9000 M3\nG4 P2.0\nS16000\nG4 P2.0\n"),
    (BY_FILE, "G4 P2.0\n", "G4 P2.0\nM3\n"),  # it turns already
]
DOUBTFUL = [
    (BY_FILE, RISE + "S", "G0 Z4.0\nS", "not to clearance"),
    (BY_FILE, f"{RISE}M5", f"{RISE}G0 X10.0 Y29.0\nG0 Z-5.9\n{RISE}M5", "nearly so"),
    (BY_FILE, f"{RISE}M5", f"{RISE}G0 X10.0 Y29.0\nG0 Z2.0\n{RISE}M5", "where only the operator knows"),
    (HELD_DOWN, f"{RISE}M5", f"{RISE}G0 X35.0 Y29.0\nG0 Z-5.5\n{RISE}M5", "the spindle may come down on clamp"),
    (TOLD, "nut end at the left", "nut edn at the left", "garbled"),
    (TOLD, "nut end at the left", "nut end atthe left", "garbled"),
    (TOLD, "playing face up", "playing faceup", "garbled"),
    (TOLD, "switch the spindle off and", "switch the spindlle off and", "garbled"),
    (TOLD, "to 16000 rpm", "to 15000 rpm", "another speed"),
    (BY_FILE, "G1 Z0.5 F300.0", "G1 Z0.5 F10.0", "creeps"),
    (BY_FILE, "G3 X8.5 Z-0.3", "G1 Z-0.01 F100.0\nG4 P1.0\nF400.0\nG3 X8.5 Z-0.3", "stands on the wood"),
    (AUTOMATIC, "G1 Y20.8 F400.0", "G1 Y-19.8 F79.0\nG1 Y20.8 F400.0", "slower than a fifth"),
    (BY_FILE, "G0 X10.0 Y5.0\n", "M49\nG0 X10.0 Y5.0\n", "override"),
    (BY_FILE, "S16000 M3\nG4 P2.0\n", "S13000 M3\nG4 P2.0\nS16000\n", "at speed"),
]


def judged(of: Case, old: str, new: str):
    text = of.programs[0][1].decode("ascii")
    assert text.count(old)
    return of.judge(0, text.replace(old, new, 1).encode("ascii"))


def named(rows: list[tuple]) -> list[str]:
    return [f"{n} {row[0].name}: {row[2][:24]!r}" for n, row in enumerate(rows)]


@pytest.mark.parametrize("of", [BY_FILE, BY_HAND, HELD_DOWN, AUTOMATIC, TOLD], ids=lambda of: of.name)
def test_whole_programs_are_harmless_move_by_move(of: Case) -> None:
    assert {of.judge(n, text, afresh=True).kind for n, (_, text) in enumerate(of.programs)} == {"harmless"}


@pytest.mark.parametrize(("of", "old", "new", "why"), HARM, ids=named(HARM))
def test_harm_is_seen(of: Case, old: str, new: str, why: str) -> None:
    judgement = judged(of, old, new)
    assert judgement.kind == "harmful", judgement
    assert any(each in judgement.why for each in why.split("|")), judgement


@pytest.mark.parametrize(("of", "old", "new"), HARMLESS, ids=named(HARMLESS))
def test_what_only_looks_like_it_is_harmless(of: Case, old: str, new: str) -> None:
    judgement = judged(of, old, new)
    assert judgement.kind == "harmless", judgement


@pytest.mark.parametrize(("of", "old", "new", "why"), DOUBTFUL, ids=named(DOUBTFUL))
def test_between_lies_the_borderline(of: Case, old: str, new: str, why: str) -> None:
    judgement = judged(of, old, new)
    assert judgement.kind == "borderline", judgement
    assert any(each in judgement.why for each in why.split("|")), judgement
