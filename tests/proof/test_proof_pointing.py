"""Pointing runs: kept whole they are proved; a lowered tip, a skipped place, a turning spindle are each found."""

import re
from dataclasses import replace

import pytest

from makers import a_machine, clamped
from pearlkerf.jobs.making import make_programs, plan_job, with_pointing
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.proving import prove_programs
from pearlkerf.machine.model import Spindle
from pearlkerf.proof import prove as proof
from pearlkerf.proof.identity import Assumed
from pearlkerf.proof.prove import prove
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import ProgramText

JOB = with_pointing(plan_job(clamped(side_dots=None), a_machine()))
TEXTS = {program.file: program.text for program in make_programs(JOB, "test")}
FILE = "1-face-pointing.nc"
GOOD = TEXTS[FILE].decode("ascii")
BY_HAND = replace(a_machine(), spindle=Spindle(8000.0, 24000.0, "hand"))


def verdict(text: str, job: Job = JOB, assumed: Assumed | None = None) -> Verdict:
    """Hold one pointing run against its setup, whole, by what its header says."""
    setup = job.toolpaths[0].setup
    return prove([ProgramText(FILE, text.encode("ascii"))], [setup], job.machine, assumed or Assumed(), "whole setups")


def broken(text: str) -> set[int]:
    return {finding.rule for finding in verdict(text).findings}


def messages(text: str) -> str:
    return " ".join(str(finding) for finding in verdict(text).findings)


def damaged(pattern: str, by: str, count: int = 1) -> str:
    text, times = re.subn(pattern, by, GOOD, count=count)
    assert times > 0, pattern
    return text


def test_a_whole_run_is_proved_beside_the_cuts_and_alone() -> None:
    assert prove_programs(JOB, TEXTS).findings == ()
    assert verdict(GOOD).findings == ()
    figures = {name: value for name, value, _ in verdict(GOOD).figures}
    assert figures == {f"{FILE}: nearest above the wood": pytest.approx(1.0, abs=1e-9)}


# what follows a stop: all modes again, and the rise
AGAIN = r"G21\nG17 G90 G94 G54\nG0 Z8\.0\n"
PLACE = rf"\(fret 7, treble side\)\n(?:G.*\n)+\(fret 7, treble side, tip.*\)\nM0\n{AGAIN}"
DAMAGES = {
    "a lowered tip": (r"G1 Z1\.0", "G1 Z0.95", {6}, "0.050 mm lower than the stated 1.00 mm above the wood"),
    "a tip in the wood": (r"G1 Z1\.0", "G1 Z-0.5", {6}, "1.50 mm lower"),
    "a rapid in the wood": (r"G1 Z1\.0 F200.0", "G0 Z-0.5", {5, 6}, "moves at rapid at Z -0.50"),
    "a skipped end of a slot": (PLACE, "", {7}, "fret 7, treble side is not shown: no stop (M0) at X"),
    "a skipped dot": (rf"\(face dot 5\)\n(?:.*\n)+?M0\n{AGAIN}", "", {7}, "face dot 5 is not shown"),
    "a started spindle": (r"M5\nG0 Z8\.0", "S12000 M3\nG0 Z8.0", {1, 3}, "starts the spindle"),
    "a spindle started the other way": (r"M5\nG0 Z8\.0", "S12000 M4\nG0 Z8.0", {1, 3}, "starts the spindle"),
    "a spindle started at the end": (r"G0 Z8\.0\nM5\nM2", "G0 Z8.0\nM3 S9000\nM5\nM2", {1, 3, 9}, "starts the spindle"),
    "a spindle left running": (r"M5\nM2", "M3\nM2", {1, 3, 9}, "leaves the spindle running"),
    "a stop that may not stop": (rf"M0\n({AGAIN}\(fret 8, bass side\))", r"M1\n\1", {1, 7}, "fret 7, treble side"),
    "a place beside its place": (r"X210\.\d+ Y-2", r"X210.0 Y-2", {7}, "where nothing is cut"),
    "a place beside by little": (r"G0 X84\.753 Y0\.0\n", "G0 X84.774 Y0.0\n", {7}, "lies 0.021 mm away"),
    "another place's name": (r"\(face dot 7, tip", "(face dot 5, tip", {1, 7}, 'but says "face dot 5, tip'),
    "a name of which its own is a part": (r"\(fret 1, bass side, tip", "(fret 11, bass side, tip", {1, 7}, "says"),
    "a name that goes on": (r"\(face dot 5, tip", "(face dot 55, tip", {1, 7}, 'says "face dot 55'),
    "no name": (r"\(face dot 7, tip.*\)\nM0", "M0", {1, 7}, "stops at face dot 7, but says"),
    "a stop from far above": (r"G1 Z1\.0", "G1 Z1.2", {7}, "0.20 mm higher above fret 1, bass side than stated"),
    "a move low over the board": (r"G1 Z1\.0 F200\.0\n\(fret 2, bass side, tip",
        "G1 Z1.0 F200.0\nG1 Y-23.1\nG1 Y-23.152\n"
                                  "(fret 2, bass side, tip", {5}, "moves sideways at Z 1.00, below the clearance"),
    "a rapid low over the board": (r"G1 Z1\.0 F200\.0\n\(fret 2, bass side, tip",
        "G1 Z1.0 F200.0\nG0 Y-23.1\nG0 Y-23.152\n"
                                   "(fret 2, bass side, tip", {5}, "moves sideways at rapid at Z 1.00"),
    "a tip that comes down fast": (r"F200\.0", "F500.0", {3}, "comes down at a feed of 500.0 mm/min"),
    "a tip that comes down faster at one place": (r"(G1 Z1\.0 )F200\.0(\n\(fret 2, bass)", r"\g<1>F480.0\2", {3},
                                                  "comes down at a feed of 480.0"),
    "a place on the way": (r"(G0 X\S+ Y\S+\nG1 Z1\.0 F200\.0\n)(\(fret 2, bass side, tip)",
                           r"G0 X-40.0 Y0.0\nG1 Z1.0 F200.0\nG0 Z8.0\n\1\2", {5}, "comes down where it does not stop"),
    "no feed": (r"G1 Z1\.0 F200\.0", "G1 Z1.0", {3}, "comes down before a feed is set"),
    "a tip that comes down at rapid": (r"G1 Z1\.0 F200\.0(\n\(fret 2, bass)", r"G0 Z1.0\1", {5}, "down at rapid"),
    "no way up at first": (r"M5\nG0 Z8\.0\n", "M5\n", {1, 4, 5, 6}, "does not first go straight up"),
    "no units": (r"G21\n", "", {2}, "moves before all modes are stated"),
    "no height": (r"\(setup=face cutter=2 height=1\.0000\)\n", "", {1, 7}, "does not state how high its tip stops"),
    "a height that is none": (r"height=1\.0000", "height=0.1000", {1, 6, 7}, "states a height of 0.10 mm"),
    "two heights": (r"(\(setup=face cutter=2 height=)1\.0000\)", r"\g<0>\n\g<1>0.5)", {1}, "states a height of 0.5 mm"),
    "cuts among the points": (r"points=frets", "cuts=frets", {1}, "calls it a program that cuts, but line"),
    "a claim that the board has not": (r"points=frets 1-20", "points=frets 1-21", {7}, "frets 21"),
    "another cutter": (r"cutter 2, end mill 3\.000", "cutter 2, end mill 2.000", {1}, "end mill, 2.000 mm"),
    "a speed in the head": (r"does not turn", "12000 rpm", {1, 3}, "tells people to set the spindle"),
    "no end": (r"M2\n$", "", {9}, "has no end"),
    "an end in the wood's reach": (r"G0 Z8\.0\nM5\nM2", "M5\nM2", {9}, "ends with the cutter at Z 1.00"),
}  # fmt: skip


@pytest.mark.parametrize("name", DAMAGES)
def test_damage_is_found(name: str) -> None:
    pattern, by, rules, words = DAMAGES[name]
    text = damaged(pattern, by)
    assert broken(text) == rules, messages(text)
    assert words in messages(text)


@pytest.mark.parametrize(
    ("rule", "name"),
    [("tip_stays_above", "a lowered tip"),
     ("places_are_shown", "a skipped dot"), ("places_are_shown", "a skipped end of a slot"),
     ("tip_comes_down_slowly", "a tip that comes down fast"),
     ("tip_comes_down_slowly", "a tip that comes down at rapid"), ("tip_comes_down_slowly", "a place on the way"),
     ("rapids_stay_clear", "a rapid low over the board"), ("tip_stays_above", "a move low over the board")],
)  # fmt: skip
def test_only_this_rule_catches_it(rule: str, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    pattern, by, *_ = DAMAGES[name]
    text = damaged(pattern, by)
    assert not verdict(text).proved
    monkeypatch.setattr(proof, rule, lambda *_: ())
    assert verdict(text).proved


def test_a_program_alone_shows_what_it_says() -> None:
    part = damaged(r"points=face dots [0-9 ]+", "points=face dots 3")
    without = re.sub(rf"\(face dot (?!3)\d+.*\)\n(?:.*\n)+?M0\n{AGAIN}", "", part)
    setup = JOB.toolpaths[0].setup
    assert prove([ProgramText(FILE, without.encode())], [setup], JOB.machine).findings == ()
    assert {finding.rule for finding in verdict(without).findings} == {7}


def test_the_job_knows_the_height_that_it_asked_for() -> None:
    lowered = GOOD.replace("height=1.0000", "height=0.5000").replace("G1 Z1.0", "G1 Z0.5").replace("1.00 mm", "0.50 mm")
    assert verdict(lowered).findings == ()
    said = [each.message for each in prove_programs(JOB, TEXTS | {FILE: lowered.encode()}).findings if each.rule == 1]
    assert any("states a height of 0.5 mm above the wood, but it is to be 1 mm" in message for message in said)


def test_a_cutting_program_is_no_pointing_run_nor_the_other_way_round() -> None:
    cutting = next(file for file in TEXTS if "cutter" in file)
    exchanged = TEXTS | {FILE: TEXTS[cutting], cutting: TEXTS[FILE]}
    said = [finding.message for finding in prove_programs(JOB, exchanged).findings if finding.rule == 1]
    assert any("a program that cuts, but it is to be a pointing run" in message for message in said)
    assert any("a pointing run, but it is to be a program that cuts" in message for message in said)
    assert not prove_programs(JOB, {file: text for file, text in TEXTS.items() if file != FILE}).proved
    turned = (
        TEXTS[cutting]
        .decode()
        .replace("cuts=", "points=")
        .replace("(setup", "(setup=face cutter=2 height=1)\n(setup", 1)
    )
    assert {3, 6, 7} <= broken(turned)


def test_a_radiused_blank_is_kept_above_everywhere() -> None:
    job = with_pointing(plan_job(clamped(state="radiused", side_dots=None), a_machine()), 0.5)
    text = make_programs(job, "test")[0].text.decode("ascii")
    assert verdict(text, job).findings == ()
    heights = {float(each) for each in re.findall(r"G1 Z(-?[0-9.]+)", text)}
    assert len(heights) > 10  # over falling wood the tip goes lower
    # sections are circles of 355.6 mm: the fret's end at y falls y^2 / 2R or a little more, less at the cutter's rim
    assert min(heights) == pytest.approx(0.5 - (28.0 - 1.55) ** 2 / 2 / 355.6, abs=0.01)
    lowest = f"G1 Z{min(heights):g}"
    assert {
        finding.rule for finding in verdict(text.replace(lowest, f"G1 Z{min(heights) - 0.02:.3f}"), job).findings
    } == {6}


def test_by_hand_nobody_is_told_to_start_the_spindle() -> None:
    job = with_pointing(plan_job(clamped(side_dots=None), BY_HAND))
    text = make_programs(job, "test")[0].text.decode("ascii")
    assert "M3" not in text
    assert "M5" not in text
    assert verdict(text, job).findings == ()
    told = text.replace("(leave the spindle off, nothing is cut)", "(set the spindle to 12000 rpm)")
    assert told != text
    assert {finding.rule for finding in verdict(told, job).findings} == {1, 3}


def test_without_comments_the_caller_says_what_it_is() -> None:
    job = with_pointing(plan_job(clamped(side_dots=None), a_machine(comments=False)))
    texts = {program.file: program.text for program in make_programs(job, "test")}
    assert b"(" not in texts[FILE]
    assert prove_programs(job, texts).findings == ()
    text = texts[FILE].decode("ascii")
    shown = tuple({(feature.group, feature.number) for feature in job.toolpaths[0].setup.features})
    known = Assumed("face", (2,), "point", 1.0, shown)
    assert verdict(text, job, known).findings == ()
    assert {finding.rule for finding in verdict(text, job, replace(known, purpose="")).findings} >= {1}
    assert {finding.rule for finding in verdict(text.replace("G1 Z1.0", "G1 Z0.9", 1), job, known).findings} == {6}
