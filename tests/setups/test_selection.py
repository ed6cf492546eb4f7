"""Parts of a job: names as people say them, what is left out, what is told."""

from dataclasses import replace

import pytest

from makers import a_machine, clamped
from pearlkerf.board.model import FaceDots, Scale
from pearlkerf.errors import Refusal
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.names import in_ranges
from pearlkerf.layout.surfaces import Floor
from pearlkerf.operations.plan import order_of, plan
from pearlkerf.setups.model import Clampings
from pearlkerf.setups.selection import EVERYTHING, Choice, choose_part
from pearlkerf.setups.words import sentences


def part(*only: str, start: str | None = None) -> Clampings:
    setting = clamped()
    return choose_part(setting, [order_of(plan(setup, a_machine())) for setup in setting.setups], Choice(start, only))


def names(setting: Clampings) -> list[str]:
    return [feature.name for setup in setting.setups for feature in setup.features]


ALL = names(clamped())
FRETS = [name for name in ALL if name.startswith("fret")]


@pytest.mark.parametrize(
    ("only", "left"),
    [
        (("frets",), FRETS),
        (("fret 7",), ["fret 7"]),
        (("Fret  7",), ["fret 7"]),
        (("fret 7, bass side first",), ["fret 7"]),  # as the program's comment names it
        (("frets 3-5 9",), ["fret 3", "fret 4", "fret 5", "fret 9"]),
        (("frets 3, 9",), ["fret 3", "fret 9"]),
        (("face dot 12",), ["face dot 12, bass side", "face dot 12, treble side"]),
        (("face dot 12, bass side",), ["face dot 12, bass side", "face dot 12, treble side"]),
        (("side dots",), [name for name in ALL if name.startswith("side dot")]),
        (("fret 20", "side dot 3", "face dots 3-5"), ["face dot 3", "face dot 5", "fret 20", "side dot 3"]),
        (("face dots 3 7",), ["face dot 3", "face dot 7"]),
    ],
)
def test_only_what_is_named_is_left(only: tuple[str, ...], left: list[str]) -> None:
    assert names(part(*only)) == left


def test_both_ends_of_a_range_must_be_there() -> None:
    with pytest.raises(Refusal) as refused:
        part("face dots 3-6")
    (problem,) = refused.value.problems
    assert problem.found == 'there is no "face dots 3-6" to cut here'
    assert "face dots 3 5 7 9 12 15 17" in problem.allowed
    assert problem.hint == 'did you mean "face dot 5"?'


def test_from_leaves_out_what_comes_before_in_the_order_of_cuts() -> None:
    # pockets come before slots, and the face before the edge
    face, edge = part(start="fret 11").setups
    assert [feature.name for feature in face.features] == [f"fret {n}" for n in range(11, 21)]
    assert {feature.name for feature in face.cut_before} == {*ALL[:8], *(f"fret {n}" for n in range(1, 11))}
    assert edge.features == clamped().setups[1].features
    assert [setup.name for setup in part(start="side dot 5").setups] == ["edge"]
    assert len(part(start="face dot 3").setups[0].features) == len(clamped().setups[0].features)


def test_a_double_is_begun_again_with_its_first_hole() -> None:
    left = names(part(start="face dot 12, treble side"))
    assert "face dot 12, bass side" in left and "face dot 9" not in left


def test_from_counts_within_only() -> None:
    assert names(part("frets", start="fret 18")) == ["fret 18", "fret 19", "fret 20"]
    with pytest.raises(Refusal, match="face dot 3"):
        part("frets", start="face dot 3")


def test_what_is_left_out_is_known_as_cut_and_said() -> None:
    (face,) = part("fret 7").setups
    whole = clamped().setups[0]
    assert {*face.features, *face.cut_before} == set(whole.features)
    assert sentences(face) == ("only a part of the job, fret 7", *sentences(whole))
    rest = part(start="fret 11").setups
    assert all(sentences(each)[0].startswith("only the rest of the job, from fret 11 on") for each in rest)
    assert face.stock is not None and face.stock.thickness_mm == whole.stock.thickness_mm


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("fret 41", "fret 20"),
        ("fret 0", "fret 1"),
        ("frest 7", "fret 7"),
        ("face dost", "face dots"),
        ("face dot 4", "face dot 3"),
        ("side dot 20", "side dot 19"),
        ("frets 9-7", "fret 9"),
        ("7", "fret 7"),
        ("frets 1-", "fret 1"),
        ("", ""),
        ("dots", ""),
        ("x" * 5000, ""),
        ("1" * 5000, ""),
    ],
)
def test_a_name_that_is_not_there_is_refused_with_the_nearest(name: str, near: str) -> None:
    for option, asked in (("--only", Choice(None, (name,))), ("--from", Choice(name))):
        with pytest.raises(Refusal) as refused:
            part(*asked.only, start=asked.start)
        (problem,) = refused.value.problems
        assert problem.key == option
        assert problem.hint == f'did you mean "{near}"?' if near else problem.hint
        assert "frets 1-20" in problem.allowed and len(problem.found) < 130


def test_all_wrong_names_are_told_at_once() -> None:
    with pytest.raises(Refusal) as refused:
        part("fret 41", "side dot 1", start="fret 99")
    assert [problem.key for problem in refused.value.problems] == ["--only", "--only", "--from"]


def test_from_names_one_cut() -> None:
    with pytest.raises(Refusal) as refused:
        part(start="frets")
    assert refused.value.problems[0].hint == 'did you mean "fret 1"?'


def test_pockets_beside_open_slots_are_told() -> None:
    # frets 23 and 24 of a 600 mm scale lie 9.46 mm apart, x(n) = L (1 - 2**(-n/12)): a 4 mm pocket between them
    # leaves 2.73 mm less half a slot on either side, one in the space of fret 12 (17.85 mm wide) leaves 6.9 mm
    board = {"scale": Scale(600.0, 24), "length_mm": 460.0, "side_dots": None}
    for fret, warned in ((24, True), (12, False)):
        setting = clamped(**board, face_dots=FaceDots((fret,), 4.0, 1.5, 1.5))
        orders = [order_of(plan(setup, a_machine())) for setup in setting.setups]
        told = [each.found for each in choose_part(setting, orders, Choice(None, ("face dots",))).warnings]
        assert any(f"face dot {fret} is cut beside a slot that may be open" in each for each in told) is warned
    assert [problem for problem in part("frets").warnings if problem.key == "--only"] == []


@pytest.mark.parametrize(("x", "told"), [(90.0, False), (85.5, True), (74.5, True), (70.0, False)])
def test_a_pocket_beside_a_slanted_slot_counts_the_way_to_its_line(x: float, told: bool) -> None:
    """The slot passes (80, 0) at atan2(60, 40): a pocket at (x, 0) lies 0.83205 |x - 80| from it, less 2.3 mm."""
    slot = Slot("frets", 1, "fret 1", (100.0, -30.0), (60.0, 30.0), 0.6, Floor(-2.0), through=True)
    pocket = Hole("face dots", 1, "face dot 1", (x, 0.0), 4.0, -1.5, -1.5, -1.5)
    whole = clamped()
    whole = replace(whole, setups=(replace(whole.setups[0], features=(pocket, slot)),))
    part_of = choose_part(whole, [(pocket, slot)], Choice(None, ("face dots",)))
    assert any("it may chip" in problem.found for problem in part_of.warnings) is told


def test_everything_is_the_layout_itself() -> None:
    setting = clamped()
    assert choose_part(setting, [], EVERYTHING) is setting
    assert Choice("fret 3", ("frets",)).asked == {"from": "fret 3", "only": ["frets"]}
    assert EVERYTHING.asked == {}


def test_numbers_run_on_as_ranges() -> None:
    assert list(in_ranges([])) == []
    assert list(in_ranges([5])) == ["5"]
    assert list(in_ranges([1, 2, 4, 5, 6, 9])) == ["1-2", "4-6", "9"]
