"""Machine profiles: found by name or path, read with every mistake at once, defaults, and those that are shipped."""

import math
from pathlib import Path

import pytest

from pearlkerf.errors import Refusal
from pearlkerf.machine.cutting import cutting_figures
from pearlkerf.machine.model import Cutter, Dialect, Machine, Motion, Spindle, Travel
from pearlkerf.machine.reader import profile_names, profile_path, read_machine, read_machine_text, read_profile_bytes
from refusal_files import hold

REFUSALS = sorted((Path(__file__).parent / "refusals").glob("*.toml"))
LEAST = """\
[travel]
x = "27 in"
y = 220
z = 75
[spindle]
speed = [8000, 24000]
[motion]
rapid = [2000, 2000, 800]
feed_limit = [1500, 1400, 500]
acceleration = [200, 200, 100]
clearance = 8
[[cutter]]
number = 3
kind = "end mill"
diameter = 0.58
flutes = 2
reach = "4.5 mm"
"""


def profile(folder: Path, text: str) -> Machine:
    path = folder / "my-router.toml"
    path.write_text(text, encoding="utf-8")
    return read_machine(str(path))


@pytest.mark.parametrize("path", REFUSALS, ids=lambda path: path.stem)
def test_a_bad_profile_is_told_what_it_says_is_wrong_with_it(path: Path) -> None:
    with pytest.raises(Refusal) as refused:
        read_machine(str(path))
    hold(refused.value.problems, path)


def test_what_may_be_left_out_has_its_default(tmp_path: Path) -> None:
    assert profile(tmp_path, LEAST) == Machine(
        name="my-router",
        title="my-router",
        travel=Travel(685.8, 220.0, 75.0, None),
        spindle=Spindle(8000.0, 24000.0, "program", 4.0),
        motion=Motion((2000.0, 2000.0, 800.0), (1500.0, 1400.0, 500.0), (200.0, 200.0, 100.0), 8.0),
        dialect=Dialect(),
        cutters=(Cutter(3, "end mill", 0.58, 2, 4.5),),
    )


def test_every_key_of_program_and_cutter_is_read(tmp_path: Path) -> None:
    program = """
[program]
unit = "in"
decimals = 5
line_limit = 80
comments = false
percent = true
line_numbers = true
arcs = false
drilling_cycles = true
cutter_change = "automatic"
dwell_unit = "ms"
path_control = "exact"
end = "M30"
file_ending = "tap"
"""
    own = """speed = 18000
speed_limit = 30000
feed = 150
plunge_feed = 40
bite = 0.15
runout = 0.01
shank = "1/8 in"
stick_out = 12
point_length = 0.1
plunges = false
"""
    machine = profile(tmp_path, LEAST + own + program)
    assert machine.dialect == Dialect(
        "in", 5, 80, False, True, True, False, True, "automatic", "ms", "M30", "tap", "exact"
    )  # fmt: skip
    assert machine.cutters == (
        Cutter(3, "end mill", 0.58, 2, 4.5, 18000.0, 30000.0, 150.0, 40.0, 0.15, 0.01, 3.175, 12.0, 0.1, False),
    )


def test_numbers_are_mm_even_where_programs_are_in_inches(tmp_path: Path) -> None:
    machine = profile(tmp_path, LEAST + '[program]\nunit = "in"\n')
    assert machine.travel.y_mm == 220.0
    assert machine.dialect.decimals == 4


def cutter_of(folder: Path, kind: str, more: str = "") -> Cutter:
    text = LEAST.replace('"end mill"', f'"{kind}"').replace("diameter = 0.58", "diameter = 2")
    return profile(folder, text + more).cutters[0]


@pytest.mark.parametrize(
    ("kind", "plunges"), [("end mill", True), ("ball", True), ("brad point", True), ("twist drill", True)]
)
def test_all_but_saws_may_plunge_unless_the_profile_says_no(tmp_path: Path, kind: str, plunges: bool) -> None:
    assert cutter_of(tmp_path, kind).plunges is plunges
    assert cutter_of(tmp_path, kind, "plunges = false\n").plunges is False
    assert cutter_of(tmp_path, "saw", "speed_limit = 9000\n").plunges is False


def test_a_drills_point_is_added_where_the_profile_does_not_give_it(tmp_path: Path) -> None:
    # A cone of 118 degrees (common practice, no source) on a 2 mm drill is 1 mm / tan 59 degrees = 0.600861 mm high.
    assert math.isclose(cutter_of(tmp_path, "twist drill").point_length_mm, 0.600861, abs_tol=1e-6)
    assert cutter_of(tmp_path, "brad point").point_length_mm == 1.0
    assert cutter_of(tmp_path, "twist drill", "point_length = 0.4\n").point_length_mm == 0.4
    assert cutter_of(tmp_path, "end mill").point_length_mm == 0.0


def test_a_name_that_no_profile_has_is_refused_with_the_nearest() -> None:
    with pytest.raises(Refusal) as refused:
        read_machine("benchtop-ars")
    (problem,) = refused.value.problems
    assert problem.hint == 'did you mean "benchtop-arcs"?'
    assert all(name in problem.allowed for name in profile_names())


def test_a_name_with_a_separator_or_an_ending_is_a_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("benchtop-arcs.toml").write_text(LEAST, encoding="utf-8")
    assert read_machine("benchtop-arcs.toml").title == "benchtop-arcs"
    assert read_machine("./benchtop-arcs.toml").cutters[0].number == 3
    assert read_machine("benchtop-arcs").title != "benchtop-arcs"
    with pytest.raises(FileNotFoundError):
        read_machine("./nowhere")


JUNK = ["true", "-1", "0", "1e308", "nan", '""', '"x"', "[]", "[[]]", "[{}]", "{}", "{ a = 1 }", "[1]", "1979-05-27"]
LINES = [number for number, line in enumerate(LEAST.splitlines()) if " = " in line]


@pytest.mark.parametrize("junk", JUNK)
@pytest.mark.parametrize("number", LINES)
def test_junk_for_any_value_is_refused_where_it_stands(tmp_path: Path, number: int, junk: str) -> None:
    lines = LEAST.splitlines()
    key = lines[number].split(" = ")[0]
    lines[number] = f"{key} = {junk}"
    with pytest.raises(Refusal) as refused:
        profile(tmp_path, "\n".join(lines))
    assert refused.value.problems[0].key.split(".")[-1] == key
    assert refused.value.problems[0].line == number + 1
    assert "nput should" not in str(refused.value)


SHIPPED = profile_names()


def test_five_profiles_are_shipped_three_of_them_long_enough_for_any_board() -> None:
    machines = [read_machine(name) for name in SHIPPED]
    assert len(machines) >= 5
    assert sum(machine.travel.x_mm >= 650 for machine in machines) >= 3
    dialects = [machine.dialect for machine in machines]
    assert {dialect.unit for dialect in dialects} == {"mm", "in"}
    assert {dialect.cutter_change for dialect in dialects} == {"file", "stop", "automatic"}
    assert {dialect.arcs for dialect in dialects} == {dialect.drilling_cycles for dialect in dialects} == {True, False}
    assert {machine.spindle.control for machine in machines} == {"program", "hand", "dial"}


@pytest.mark.parametrize("name", SHIPPED)
def test_a_shipped_profile_holds_what_a_board_needs(name: str) -> None:
    machine = read_machine(name)
    assert machine.name == name
    assert machine.travel.y_mm >= 120
    mills = [cutter for cutter in machine.cutters if cutter.kind == "end mill"]
    assert any(0.45 <= mill.diameter_mm <= 0.6 and mill.reach_mm >= 4.5 for mill in mills), "fret slots"
    assert any(mill.diameter_mm < 1.5 and mill.reach_mm >= 4 for mill in mills), "side dots"
    assert any(2 <= mill.diameter_mm <= 4 and mill.reach_mm >= 4.5 for mill in mills), "face dots"
    for cutter in machine.cutters:
        assert cutting_figures(machine, cutter, "ebony").feed_mm_min > 0


@pytest.mark.parametrize("name", SHIPPED)
def test_a_shipped_profile_explains_itself_line_by_line(name: str) -> None:
    text = read_profile_bytes(name).decode("utf-8")
    assert text.startswith("# ")
    assert "example" in text.split("\n\n")[0]
    lines = [line for line in text.split("[[cutter]]")[0].splitlines() if "=" in line.split("#")[0]]
    bare = [line for line in lines if "#" not in line and not line.startswith(("title", "format"))]
    assert bare == []
    assert profile_path(name).name == f"{name}.toml"


def test_the_text_of_a_profile_is_read_like_its_file() -> None:
    machine = read_machine("workshop-saw")
    assert read_machine_text(read_profile_bytes("workshop-saw"), "workshop-saw.toml") == machine
    with pytest.raises(Refusal) as refused:
        read_machine_text(b"[travel]\nx = 0\n", "mine.toml")
    assert {problem.file for problem in refused.value.problems} == {"mine.toml"}
    assert "travel.x" in {problem.key for problem in refused.value.problems}


def test_own_figures_that_break_a_mill_are_cut_where_they_are_named_as_meant(tmp_path: Path) -> None:
    """0.58 mm, 0.6 mm deep at 0.031 mm a tooth: 996 MPa (worked out by hand); at most 600 otherwise."""
    own = "feed = 1500\nbite = 0.6\n"
    with pytest.raises(Refusal) as refused:
        profile(tmp_path, LEAST + own)
    assert "unusual" in refused.value.problems[0].hint
    assert profile(tmp_path, 'unusual = ["cutter.bite"]\n' + LEAST + own).cutters[0].bite_mm == 0.6
