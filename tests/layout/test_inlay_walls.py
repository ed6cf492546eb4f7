"""Wood beside the pockets of inlays: refused below half a millimetre, doubted below one, and mended by the hint."""

import pytest
from test_inlays import BOARD, OVAL, SLOTS, SVG, fret, looked, refused

from pearlkerf import way
from pearlkerf.outlines.limits import CHORD_MM

TOUCHING = SVG.format('<path fill-rule="evenodd" d="M0 0H8V8H0Z M4 0L6 4L4 6L2 4Z"/>')
NEAR = SVG.format('<rect width="4" height="4"/><rect x="4.3" width="4" height="4"/>')
DRAWN = '[[inlay]]\noutline = "wave.svg"\nfrets = [5]\nthickness = 1.5\n'
DOTS = "[face_dots]\nfrets = [5]\ndiameter = 6\nthickness = 1.5\n"
SIDE = "[side_dots]\nfrets = [5]\ndiameter = 2\ndepth = 4\nheight = 4.5\n"


def beside(wood: float) -> str:
    """An oval across the third space whose wall stays so far from the slot of fret 3."""
    middle = fret(3) - 0.29 - wood - 0.025 - 4
    return BOARD + SLOTS + OVAL + f"along = {middle!r}\n"


@pytest.mark.parametrize(("wood", "told"), [(0.49, "refused"), (0.51, "doubtful"), (0.99, "doubtful"), (1.01, "")])
def test_wood_to_a_slot_counts_from_the_pockets_wall(wood, told):
    look = looked(beside(wood))
    problems = {"refused": look.problems, "doubtful": look.warnings}.get(told, ())
    assert [f"{wood:.2f} mm of wood stays between oval and the slot of fret 3" in each.found for each in problems] == (
        [True] if told else []
    )
    assert (not look.problems) == (told != "refused")


def test_what_meets_a_slot_is_refused_unless_its_inlay_says_how():
    across = BOARD + SLOTS + OVAL + "on_frets = [5]\n"
    (problem,) = looked(across).problems
    assert problem.found == "oval on 5 meets the slot of fret 5"
    assert 'slots = "after"' in problem.hint and 'slots = "by hand"' in problem.hint
    assert refused(across + 'slots = "by hand"\n') == []
    blank = '[[inlay_blank]]\nmaterial = "abalone"\nthickness = 1.5\n'
    assert refused(across + 'slots = "after"\nmaterial = "abalone"\n' + blank) == []
    there = across.replace("depth = 2\n", 'depth = 2\nstate = "already cut"\n')
    assert refused(there + 'slots = "after"\n') == [
        "inlay.0.slots: oval on 5 meets the slot of fret 5, which is there already"
    ]


def test_shell_on_either_side_of_a_slot_is_a_millimetre_wide():
    near = BOARD + SLOTS + OVAL + f'slots = "by hand"\nalong = {fret(5) - 4 + 0.29 + 0.9!r}\n'
    (found,) = refused(near)
    assert found == "inlay.0.shape: 0.90 mm of the piece of oval stays beside the slot of fret 5"
    assert refused(BOARD + SLOTS + OVAL + f'slots = "by hand"\nalong = {fret(5) - 4 + 0.29 + 1.01!r}\n') == []


@pytest.mark.parametrize(("text", "what"), [
    (BOARD + OVAL + "frets = [5]\nacross = 21.5\n", "the edge of the board"),
    (BOARD + OVAL + "along = 4.2\n", "the edge of the board"),
    (BOARD + '[binding]\nthickness = 1.5\nput_on = "after"\n' + OVAL + "frets = [5]\nacross = 20\n",
     "the binding or the end of the board"),
    (BOARD + DOTS + OVAL + "frets = [5]\nacross = 5.2\n", "face dot 5"),
    (BOARD + SIDE + '[[inlay]]\nshape = "oval"\nlength = 4\nwidth = 12\nthickness = 2.2\nfrets = [5]\nacross = -13.6\n',
     "side dot 5"),
    (BOARD + OVAL + "frets = [5]\n" + OVAL + 'name = "b"\nfrets = [5]\nacross = 4.4\n', "oval 5"),
])  # fmt: skip
def test_wood_to_everything_else_is_held_to_the_same_limits(text, what):
    (found,) = refused(text)
    assert found.partition(" stays between ")[2].partition(" and ")[2] == what


def test_two_pockets_have_two_names():
    twice = BOARD + OVAL + "frets = [5]\nacross = 8\n" + OVAL + "frets = [5]\nacross = -8\n"
    assert refused(twice) == ['inlay.1.name: two inlays have a pocket called "oval 5"']


def test_parts_of_one_drawing_that_come_too_near_are_told_to_grow():
    (problem,) = looked(BOARD + DRAWN, NEAR).problems
    assert problem.found == "0.25 mm of wood stays between wave 5/2 and wave 5/1"
    assert problem.hint == "make it larger, or let its parts meet"
    assert refused(BOARD + DRAWN + "length = 30\n", NEAR) == []


def test_parts_that_touch_in_a_point_are_told_with_the_place():
    look = looked(BOARD + DRAWN, TOUCHING)
    told = [each.found for each in look.warnings]
    assert "its parts touch in a point 0.00 mm along and 4.00 mm up from the middle of the drawing" in told


def test_wood_stays_under_the_deepest_pocket():
    thin = BOARD.replace("thickness = 6.5", "thickness = 4") + OVAL.replace("1.5", "{}") + "frets = [5]\n"
    (problem,) = looked(thin.format(2.6)).problems
    assert problem.found == "1.40 mm of wood stays under oval 5, whose pocket ends 2.60 mm below the top of the blank"
    assert "use pieces thinner by 0.10 mm, or a blank of at least 4.10 mm" in problem.hint
    assert refused(thin.format(2.5)) == []


def test_the_table_and_the_plain_data_list_every_pocket():
    from pearlkerf.commands.tables import layout_data, layout_text
    from pearlkerf.pictures.paper.table import write_csv

    layout = way.look(BOARD + OVAL + "frets = [5]\n").right()
    assert "oval 5" in layout_text(layout)
    (row,) = layout_data(layout, ())["inlays"]
    assert (row["number"], row["name"], round(row["depth_mm"], 6)) == (1, "oval 5", 1.5)
    *_, last = write_csv(layout).decode().splitlines()
    assert last.startswith("inlay,,oval 5,") and float(last.rpartition(",")[2]) == pytest.approx(8, abs=2 * CHORD_MM)


def test_shell_beside_a_slot_counts_of_each_piece_of_a_shared_pocket():
    block = '[[inlay]]\nshape = "block"\nname = "{}"\nlength = {}\nwidth = 5\nthickness = 1.5\nalong = {!r}\n'
    host = block.format("sea", 16, fret(5)) + 'slots = "by hand"\n'
    # of a block 4 mm long so much is left beyond the slot's wall, half of 0.58 mm off its middle
    for beyond, told in ((0.9, ["0.90"]), (1.01, [])):
        guest = block.format("mast", 4, fret(5) - 2 + 0.29 + beyond) + 'set_in = "sea"\n'
        found = refused(BOARD + SLOTS + host + guest)
        said = "inlay.0.shape: {} mm of the piece of sea stays beside the slot of fret 5"
        assert found == [said.format(each) for each in told]
