"""Pieces of several inlays in one pocket: fitted to each other, cut each from its own blank, proved together."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import shapely
import tomlkit
from click.testing import CliRunner
from shapely import affinity

from inlaid import ready
from pearlkerf import way
from pearlkerf.cli import main
from pearlkerf.errors import Refusal
from pearlkerf.jobs.from_blanks import PiecesWish, plan_pieces
from pearlkerf.jobs.making import make_programs, with_fits
from pearlkerf.jobs.model import Job
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.pictures.card.pieces import shared_pockets
from pearlkerf.pictures.inlay_words import inlays_told
from pearlkerf.proof.identity import NOBODY_ASSUMED
from pearlkerf.proof.room import Faced, loosest
from pearlkerf.proof.rules.piece_fits import pieces_go_into_their_pockets
from pearlkerf.proof.runs import Run
from pearlkerf.proof.verdict import Verdict
from pearlkerf.reading.motions import ProgramText

# a bird with an eye let into it, and a bar that runs out of a block on both sides and parts it
BOARD = """\
unit = "mm"
title = "Dunlin"
[scale]
length = 632
frets = 12
[board]
wood = "ebony"
length = 320
nut_width = 44
end_width = 52
thickness = 6.5
[[inlay]]
shape = "oval"
name = "bird"
frets = [3]
length = 14
width = 10
material = "mother-of-pearl"
[[inlay]]
shape = "oval"
name = "eye"
set_in = "bird"
frets = [3]
length = 4
width = 4
material = "abalone"
[[inlay]]
shape = "block"
name = "sea"
frets = [5]
length = 16
width = 8
detail = 0.6
material = "mother-of-pearl"
[[inlay]]
shape = "block"
name = "mast"
set_in = "sea"
frets = [5]
length = 4
width = 14
detail = 0.6
material = "abalone"
[[inlay_blank]]
material = "mother-of-pearl"
thickness = 1.5
length = 40
width = 25
count = 6
[[inlay_blank]]
material = "abalone"
thickness = 1.4
length = 40
width = 25
count = 3
"""
ARCS = "benchtop-arcs"
EVERY = PiecesWish()
GAP = 0.05


@cache
def look(swap: tuple[tuple[str, str], ...] = ()) -> way.Look:
    text = BOARD
    for old, new in swap:
        assert old in text
        text = text.replace(old, new, 1)
    found = way.look(text)
    assert found.problems == (), found.problems
    return found


@cache
def job(profile: str, wish: PiecesWish = EVERY, swap: tuple[tuple[str, str], ...] = ()) -> Job:
    return plan_pieces(look(swap).clamped(), read_machine(profile), wish)


@cache
def pieces(profile: str, wish: PiecesWish = EVERY, swap: tuple[tuple[str, str], ...] = ()) -> tuple[ProgramText, ...]:
    made = make_programs(job(profile, wish, swap), "test")
    return tuple(ProgramText(f"pieces/{program.file}", program.text) for program in made)


@cache
def pockets(profile: str, swap: tuple[tuple[str, str], ...] = ()) -> tuple[ProgramText, ...]:
    made = make_programs(way.plan(look(swap), read_machine(profile)), "test")
    return tuple(ProgramText(program.file, program.text) for program in made)


def held(profile: str, programs: tuple[ProgramText, ...], swap: tuple[tuple[str, str], ...] = ()) -> Verdict:
    return way.prove(look(swap), read_machine(profile), programs, NOBODY_ASSUMED).verdict


@pytest.mark.parametrize("profile", profile_names())
def test_pockets_that_are_shared_and_their_pieces_are_proved_together(profile: str) -> None:
    assert held(profile, (*pockets(profile), *pieces(profile))).findings == ()
    names = {piece.name for setup in job(profile).clampings.setups for piece in setup.row.pieces}
    assert names == {"bird 3", "eye 3", "sea 5.1", "sea 5.2", "mast 5"}


def test_each_is_cut_from_its_own_material_and_goes_into_the_one_pocket() -> None:
    rows = {setup.row.material: setup.row.pieces for setup in job(ARCS).clampings.setups}
    assert [piece.name for piece in rows["abalone"]] == ["eye 3", "mast 5"]
    assert {piece.name: piece.place.name for of in rows.values() for piece in of} == {
        "bird 3": "bird 3", "eye 3": "bird 3", "sea 5.1": "sea 5", "sea 5.2": "sea 5", "mast 5": "sea 5",
    }  # fmt: skip


def laid() -> dict[str, shapely.Polygon]:
    return {piece.name: piece.drawn for setup in job(ARCS).clampings.setups for piece in setup.row.pieces}


def test_by_plain_distances_they_keep_the_gap_among_themselves() -> None:
    drawn = laid()
    assert drawn["eye 3"].area == pytest.approx(3.14159 * (2 - GAP / 2) ** 2, abs=0.02)
    assert shapely.Polygon(drawn["bird 3"].interiors[0]).area == pytest.approx(3.14159 * (2 + GAP / 2) ** 2, abs=0.02)
    for one, other in (("bird 3", "eye 3"), ("sea 5.1", "mast 5"), ("sea 5.2", "mast 5")):
        assert drawn[one].distance(drawn[other]) == pytest.approx(GAP, abs=0.001)
    assert drawn["sea 5.1"].distance(drawn["sea 5.2"]) == pytest.approx(4 + GAP, abs=0.001)


@cache
def runs() -> tuple[Run, ...]:
    """Give the runs of pockets and pieces, ready for the rule."""
    return ready(look(), ARCS, (*pockets(ARCS), *pieces(ARCS)))


def told(changed: dict[str, dict[str, object]]) -> list[str]:
    """Give what the rule says of pieces of which fields are changed, by name."""
    own = []
    for run in runs():
        row = run.setup.row
        if row is None:
            own.append(run)
        else:
            new = tuple(replace(each, **changed.get(each.name, {})) for each in row.pieces)
            own.append(replace(run, setup=replace(run.setup, row=replace(row, pieces=new))))
    return [each.message for each in pieces_go_into_their_pockets(own)]


def test_the_rule_holds_them_as_they_are() -> None:
    assert told({}) == []


def test_a_piece_that_lies_two_hundredths_nearer_to_its_neighbour_is_found() -> None:
    moved = affinity.translate(laid()["eye 3"], 0.02, 0)
    found = told({"eye 3": {"drawn": moved}})
    assert any(re.match(r"bird 3 and eye 3 have 0\.0(29|3\d) mm of room between them at X", each) for each in found)
    assert any(re.match(r"(eye|bird) 3 leaves 0\.07\d mm to what lies beside it", each) for each in found)


def test_a_piece_on_another_is_found() -> None:
    found = told({"eye 3": {"drawn": affinity.translate(laid()["eye 3"], 3, 0)}})
    assert any(each.startswith("bird 3 and eye 3 overlap at X") for each in found)


def test_two_that_are_swapped_in_their_pocket_are_found() -> None:
    one, other = ({"drawn": laid()[name]} for name in ("sea 5.2", "sea 5.1"))
    found = told({"sea 5.1": one, "sea 5.2": other})  # one is the other's mirror picture
    assert any(each.startswith("sea 5.1 stands out beyond its line by") for each in found)
    found = told({"eye 3": {"place": ("inlays", 2, "sea 5")}, "mast 5": {"place": ("inlays", 1, "bird 3")}})
    assert any(each.startswith("eye 3 is ") and "too large in its pocket" in each for each in found)


def test_one_that_is_missing_and_one_too_many_are_found() -> None:
    spare = {"spare": True}
    assert told({"eye 3": spare}) == ["eye 3 is not cut for bird 3"]
    assert told({"bird 3": spare, "eye 3": spare}) == ["no piece is cut for bird 3"]
    found = told({"eye 3": {"place": ("inlays", 2, "sea 5")}})
    assert "eye 3 is not cut for bird 3" in found
    assert any(each.endswith("are all cut for sea 5") for each in found)


def test_programs_of_one_material_are_proved_by_themselves() -> None:
    alone = tuple(program for program in pieces(ARCS) if b"setup=pieces-2" in program.text)
    assert len(alone) == 1 and held(ARCS, alone).findings == ()
    assert [each.message for each in held(ARCS, (*pockets(ARCS), *alone)).findings] == [
        "bird 3 is not cut for bird 3", "sea 5.1 and sea 5.2 are not cut for sea 5",
    ]  # fmt: skip


def test_a_spare_is_held_in_the_place_of_its_own() -> None:
    wish = PiecesWish(("eye", "bird"), spares=1)
    both = (*pockets(ARCS), *pieces(ARCS, wish))
    found = [each.message for each in held(ARCS, both).findings]
    assert found == ["no piece is cut for sea 5"]


def test_some_are_cut_by_their_own_name() -> None:
    assert [
        [piece.name for piece in setup.row.pieces] for setup in job(ARCS, PiecesWish(("sea 5",))).clampings.setups
    ] == [["sea 5.1", "sea 5.2"]]
    [row] = job(ARCS, PiecesWish(("sea 5.2", "bird"))).clampings.setups
    assert [piece.name for piece in row.row.pieces] == ["bird 3", "sea 5.2"]


BY_HAND = (('shape = "oval"\nname = "eye"', 'pieces = "by hand"\nshape = "oval"\nname = "eye"'),)


def test_one_of_them_may_be_cut_by_hand() -> None:
    made = pieces(ARCS, EVERY, BY_HAND)
    assert held(ARCS, (*pockets(ARCS, BY_HAND), *made), BY_HAND).findings == ()
    names = [piece.name for setup in job(ARCS, EVERY, BY_HAND).clampings.setups for piece in setup.row.pieces]
    assert "eye 3" not in names and "bird 3" in names


def test_what_covers_another_is_refused() -> None:
    wide = (("length = 4\nwidth = 4", "length = 15\nwidth = 11"),)
    with pytest.raises(Refusal, match="bird: what is set in it lies all over it"):
        job(ARCS, EVERY, wide)


def test_two_pieces_of_one_name_are_refused() -> None:
    again = (
        '[[inlay]]\nshape = "oval"\nname = "eye"\nset_in = "bird"\nfrets = [3]\nacross = {}\nlength = 3\nwidth = 3\n'
    )
    more = (("[[inlay_blank]]", again.format(3) + 'material = "abalone"\n[[inlay_blank]]'),)
    with pytest.raises(Refusal, match=r'inlay\.4\.name: two pieces are called "eye 3"'):
        job(ARCS, EVERY, more)


def test_page_and_card_tell_of_what_is_set_in_another() -> None:
    eye = inlays_told(job(ARCS).clampings.fits)[1]
    assert eye.name == "eye"
    assert eye.told[0] == (
        "It is set in bird, and shares its pockets (bird 3). Pieces are to be cut with cutter 2, 3.00 mm."
    )
    assert eye.told[1] == "Between it and what lies beside it there 0.05 mm a side, 0.10 mm in all."


LEAF = """\
[[inlay]]
name = "leaf"
outline = "leaf.svg"
parts = ["upper"]
frets = [3]
detail = 0.6
material = "mother-of-pearl"
[[inlay]]
name = "shade"
outline = "leaf.svg"
parts = ["lower"]
set_in = "leaf"
detail = 0.6
material = "abalone"
"""
HALVES = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="16mm" height="12mm" viewBox="0 0 16 12">'
    b'<path id="upper" d="M0 6C4 -1 12 -1 16 6C12 4.5 10 7 8 6C6 5 4 7 0 6Z"/>'
    b'<path id="lower" d="M0 6C4 13 12 13 16 6C12 4.5 10 7 8 6C6 5 4 7 0 6Z"/></svg>'
)


def leaf(more: str = "", drawn: str = LEAF) -> way.Look:
    start, end = BOARD.index("[[inlay]]"), BOARD.index("[[inlay_blank]]")
    return way.look(
        BOARD[:start] + drawn.replace("frets = [3]\n", f"frets = [3]\n{more}", 1) + BOARD[end:], lambda _: HALVES
    )


@pytest.mark.parametrize("more", ["", 'corners = "by hand"\n', "turn = 30\nlength = 20\ngap = 0.1\n"])
def test_parts_of_one_drawing_lie_beside_each_other_as_drawn_and_are_proved(more: str) -> None:
    machine, board = read_machine(ARCS), leaf(more)
    assert board.problems == ()
    made = [plan_pieces(board.clamped(), machine, EVERY), way.plan(board, machine)]
    programs = [ProgramText(f"{index}-{each.file}", each.text)
                for index, of in enumerate(made) for each in make_programs(of, "test")]  # fmt: skip
    assert way.prove(board, machine, programs, NOBODY_ASSUMED).verdict.findings == ()
    (fit,) = made[0].clampings.fits
    upper, lower = (piece.area for piece in fit.pieces)
    assert [piece.name for piece in fit.pieces] == ["leaf 3", "shade 3"]
    assert upper.distance(lower) == pytest.approx(fit.part.inlay.gap_mm, abs=0.001)
    assert upper.centroid.y > lower.centroid.y and upper.area == pytest.approx(lower.area, rel=0.05)


def test_what_lies_as_it_is_drawn_has_no_place_of_its_own() -> None:
    (problem,) = leaf(drawn=LEAF + "across = 2\n").problems
    assert problem.key == "inlay.1.across"
    assert problem.found == 'it says no place: it lies as it is drawn beside "leaf", and has no across of its own'
    (problem,) = leaf(drawn=LEAF.replace('name = "shade"', 'name = "leaf"')).problems
    assert (problem.key, problem.found) == ("inlay.1.set_in", 'it is called "leaf" itself')


def test_a_thin_wall_of_wood_between_two_of_a_pocket_is_told() -> None:
    drawn = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="16mm" height="12mm" viewBox="0 0 16 12">'
        b'<path id="upper" d="M0 0H16V5.8H9V6H7V5.8H0Z"/><path id="lower" d="M0 12H16V6.2H9V6H7V6.2H0Z"/></svg>'
    )
    start, end = BOARD.index("[[inlay]]"), BOARD.index("[[inlay_blank]]")
    board = way.look(BOARD[:start] + LEAF.replace("0.6", "1") + BOARD[end:], lambda _: drawn)
    fits = with_fits(board.clamped(), read_machine(ARCS))
    (told,) = [each for each in fits.warnings if each.key == "inlay.1.set_in"]
    # what is drawn 0.4 mm wide, less half the gap on either side
    assert told.found.startswith("a wall of wood 0.35 mm thick stays in leaf 3 at X ")


def test_one_of_two_programs_that_share_a_pocket_is_told_to_be_held_with_the_other(tmp_path: Path) -> None:
    text = BOARD.replace("length = 16\nwidth = 8\ndetail = 0.6", "length = 16\nwidth = 8\ndetail = 0.2")
    board = tmp_path / "dunlin.toml"
    board.write_text(text, encoding="utf-8")
    made = CliRunner().invoke(main, ["cut", str(board), "-m", ARCS, "-o", str(tmp_path / "job")])
    assert made.exit_code == 0, made.output
    programs = [path for path in sorted((tmp_path / "job").glob("*.nc")) if b"cuts=inlays" in path.read_bytes()]
    assert len(programs) == 2
    wrong = CliRunner().invoke(main, ["prove", str(programs[-1]), str(board), "-m", ARCS])
    assert wrong.exit_code == 3
    assert "hint: sea 5 is cut by cutters 2 and 3: hold all programs of the face setup together" in wrong.output
    assert CliRunner().invoke(main, ["prove", *map(str, programs), str(board), "-m", ARCS]).exit_code == 0


FOLLOWED = (
    ("thickness = 6.5\n", 'thickness = 6.5\nradius = 254\nstate = "radiused"\n'),
    ('name = "bird"\n', 'name = "bird"\nfloor = "follow"\n'), ('name = "eye"\n', 'name = "eye"\nfloor = "follow"\n'),
    ('name = "sea"\n', 'name = "sea"\nfloor = "follow"\n'), ('name = "mast"\n', 'name = "mast"\nfloor = "follow"\n'),
)  # fmt: skip


def raised(height: re.Match[str]) -> str:
    """Give a height below which nothing is cut but 0.6 mm: pieces 0.5 mm thick would be left."""
    return f"Z-{min(float(height[1]), 0.6):.3f}"


def test_under_a_floor_that_follows_the_face_only_what_is_cut_to_it_is_room_for_a_piece() -> None:
    whole = (*pockets(ARCS, FOLLOWED), *pieces(ARCS, EVERY, FOLLOWED))
    assert held(ARCS, whole, FOLLOWED).findings == ()
    shallow = []
    for program in whole:
        text = program.text.decode("ascii")
        if program.file.startswith("1-face"):
            text = re.sub(r"Z-(\d+\.\d+)", raised, text)
        shallow.append(ProgramText(program.file, text.encode("ascii")))
    found = [(each.rule, each.message) for each in held(ARCS, tuple(shallow), FOLLOWED).findings]
    assert (10, "the pocket of eye 3 is nowhere cut to its floor") in found
    assert any(rule == 7 and message.startswith("bird 3 is ") and "too shallow" in message for rule, message in found)


# an oval let into the end of another, in gaps of 0.1 mm, all corners left to the chisel; and a lens on the middle of a
# block's long side
AT_ENDS = (
    ('length = 14\nwidth = 10\n', 'length = 10\nwidth = 8\ndetail = 1.2\ngap = 0.1\ncorners = "by hand"\n'),
    ('length = 4\nwidth = 4\n', 'length = 6\nwidth = 3\nacross = 4\ndetail = 1.2\n'),
    ('shape = "block"\nname = "mast"', 'shape = "cat\'s eye"\nname = "mast"\nacross = -3'),
    ('length = 4\nwidth = 14\n', 'length = 6\nwidth = 4\n'),
)  # fmt: skip


@pytest.mark.parametrize("profile", [ARCS, "benchtop-inch-hand"])
def test_pieces_alone_and_their_pockets_are_proved_where_one_ends_at_the_edge_of_another(profile: str) -> None:
    held = [*pieces(profile, swap=AT_ENDS)]
    assert way.prove(look(AT_ENDS), read_machine(profile), held, NOBODY_ASSUMED).verdict.findings == ()
    held += [ProgramText(each.file, each.text)
             for each in make_programs(way.plan(look(AT_ENDS), read_machine(profile)), "pearlkerf 0")]  # fmt: skip
    assert way.prove(look(AT_ENDS), read_machine(profile), held, NOBODY_ASSUMED).verdict.findings == ()


def test_one_that_lies_all_over_another_is_told_though_lines_of_them_touch_in_points() -> None:
    board = tomlkit.parse((Path(__file__).parents[1] / "examples/heron-parlour-guitar.toml").read_text())
    board.remove("face_dots")
    here = "frets = [3]\ndetail = 1.2\nthickness = 1\n"
    inlays = f"""
[[inlay]]\nshape = "diamond"\nname = "host"\nlength = 12\nwidth = 8\n{here}
[[inlay]]\nshape = "cat's eye"\nname = "eye"\nset_in = "host"\nlength = 4\nwidth = 3\nacross = 4\n{here}
[[inlay]]\nshape = "oval"\nname = "lid"\nset_in = "host"\nlength = 5\nwidth = 6\nacross = 4\n{here}"""
    with pytest.raises(Refusal, match="eye: what is set in it lies all over it"):
        way.plan(way.look(tomlkit.dumps(board) + inlays), read_machine("workshop-saw"))


def test_the_card_says_which_pieces_go_into_a_pocket_together() -> None:
    rows = [setup.row for setup in job(ARCS).clampings.setups]
    (told,) = shared_pockets(rows)
    assert told.endswith("So lie bird 3: 1 bird 3, 2 eye 3; sea 5: 3 sea 5.1, 4 sea 5.2, 5 mast 5.")
    assert shared_pockets([replace(rows[1], pieces=rows[1].pieces[:1])]) == []


def test_what_a_tip_leaves_beside_it_is_held_only_where_all_that_is_near_is_here() -> None:
    one, far = shapely.box(0, 0, 4, 4), shapely.box(4.05, 0, 8, 2)
    beside = [Faced(shapely.box(4.062, 0, 8, 2), far)]
    # what is 0.062 mm off the cut edge was meant to be 0.05 mm off, and may be 0.06 mm
    found = loosest(one, beside, shapely.Polygon(), (0.05, False))
    assert found is not None and found[:2] == pytest.approx((0.062, 0.05), abs=1e-4)
    # above the corner the way to it grows: there another is faced, which is not here
    assert loosest(one, [Faced(far, far)], shapely.Polygon(), (0.05, False)) is None
    assert loosest(one, [Faced(far, far)], shapely.Polygon(), (0.05, True)) is not None


SPECKS = """
[[inlay]]\nshape = "oval"\nname = "host"\nlength = 14\nwidth = 10\ngap = 0.1
frets = [5]\ndetail = 0.6\nmaterial = "maple"
[[inlay]]\nshape = "block"\nname = "guest"\nset_in = "host"\nlength = 5\nwidth = 3\nacross = 4\nturn = 30
frets = [5]\ndetail = 0.6\nmaterial = "maple"
[[inlay_blank]]\nmaterial = "maple"\nthickness = 1.5\nlength = 80\nwidth = 60\ncount = 2\nfigure = "one way"
hold = "skin"
"""
CRUMBS = """
[[inlay]]\nshape = "oval"\nname = "host"\nlength = 14\nwidth = 8\nfrets = [5]\ndetail = 1.2\nmaterial = "bone"
[[inlay]]\nshape = "cat's eye"\nname = "guest"\nset_in = "host"\nlength = 5\nwidth = 5\nfrets = [5]\ndetail = 1.2
material = "bone"
[[inlay_blank]]\nmaterial = "bone"\nthickness = 2\nlength = 60\nwidth = 40\ncount = 6
"""


@pytest.mark.parametrize(("example", "inlays", "profile"), [
    ("harbour-steel-string", SPECKS, "compact-chords"), ("skiff-tenor-guitar", CRUMBS, "workshop-cycles"),
])  # fmt: skip
def test_specks_and_crumbs_are_no_part_of_what_is_cut(example: str, inlays: str, profile: str) -> None:
    board = tomlkit.parse((Path(__file__).parents[1] / f"examples/{example}.toml").read_text())
    board.pop("face_dots", None)
    looked, machine = way.look(tomlkit.dumps(board) + inlays), read_machine(profile)
    held = [ProgramText(each.file, each.text)
            for each in make_programs(way.plan_pieces(looked, machine, EVERY), "pearlkerf 0")]  # fmt: skip
    assert way.prove(looked, machine, held, NOBODY_ASSUMED).verdict.findings == ()
