"""A piece that broke is cut again: never where the job has been cut, with or without a word of the file on that."""

import json

import pytest
import shapely
from click.testing import CliRunner
from pypdf import PdfReader

from inlaid import BOARD, PROFILES, look, rows
from pearlkerf import way
from pearlkerf.cli import main
from pearlkerf.errors import Refusal
from pearlkerf.jobs.from_blanks import PiecesWish
from pearlkerf.machine.reader import read_machine
from pearlkerf.setups.blanks import WALL_MM
from pearlkerf.setups.used_places import WITH_OTHERS, gone, used_lines

ARCS = PROFILES[0]
COUNT = "count = 4\n"


def cuts(setup) -> dict[str, tuple[tuple[int, int], shapely.Geometry]]:
    """Give of each piece the blank of the file, and all that is cut of it there, mm from the blank's corner."""
    blanks = {blank.number: blank for blank in setup.row.blanks}
    found = {}
    for piece in setup.row.pieces:
        blank = blanks[piece.blank]
        own = [each.region for each in setup.features if each.number == piece.number]
        area = shapely.transform(shapely.union_all(own), lambda at, x=blank.x_mm: at - (x, 0.0))
        found[piece.name] = blank.of, area
    return found


def laid(*only: str, swap: tuple[str, str] = ("", "")):
    [setup] = way.plan_pieces(look(0.05, "", swap), read_machine(ARCS), PiecesWish(only)).clampings.setups
    return setup


def nothing_meets(first, second, apart: float = WALL_MM) -> None:
    """Holds the cuts of two runs against each other by plain distances: a wall stays between any two on one blank."""
    for of, area in cuts(first).values():
        for on, cut in cuts(second).values():
            assert of != on or area.distance(cut) > apart - 0.01


@pytest.mark.parametrize("only", ["moon 3", "ring 7", "moon"])
def test_a_piece_cut_again_leaves_alone_what_the_whole_job_has_cut(only: str) -> None:
    nothing_meets(rows(ARCS)[0], laid(only))


def test_dots_leave_the_inlays_alone_and_a_broken_dot_the_dots_too() -> None:
    more = ("frets = [9]", "frets = [9, 11]")
    dots = laid("face dots", swap=more)
    nothing_meets(laid(swap=more), dots)
    for broken in ("face dot 11", "moon 5"):
        nothing_meets(dots, laid(broken, swap=more))


def test_all_pieces_of_the_inlays_lie_as_they_do_without_a_choice() -> None:
    assert cuts(laid("moon", "ring")) == cuts(rows(ARCS)[0])


def test_what_is_gone_of_the_blanks_leaves_room_for_a_piece_that_broke() -> None:
    setup = rows(ARCS)[0]
    [used] = used_lines([setup], look().board.inlay_blanks, "mm")
    again = laid("moon 3", swap=(COUNT, f"{COUNT}{used.line}\n"))
    nothing_meets(setup, again)
    # blank and box are the file's: it reads back as what was told, and what is gone then is all of it, the old first
    told = look(0.05, "", (COUNT, f"{COUNT}{used.line}\n")).board
    assert [each.blank for each in told.inlay_blanks[0].used] == sorted(blank.of[1] for blank, _ in gone(setup, "mm"))
    [both] = used_lines([again], told.inlay_blanks, "mm")
    assert both.line.startswith(used.line[:-1]) and both.line.count("blank =") == used.line.count("blank =") + 1


def test_after_a_part_alone_what_is_gone_holds_the_whole_job_too_which_may_have_been_cut_before() -> None:
    """Else the first line that is pasted would give free, to the next part, what the whole job has cut."""
    whole, part = rows(ARCS)[0], laid("moon 3")
    [used] = used_lines([part], look().board.inlay_blanks, "mm")
    again = laid("ring 7", swap=(COUNT, f"{COUNT}{used.line}\n"))
    nothing_meets(whole, again)
    nothing_meets(part, again)
    assert used_lines([whole], look().board.inlay_blanks, "mm")[0].line.count("blank =") == len(whole.row.pieces)


def test_what_is_gone_holds_all_that_is_cut_and_half_a_wall() -> None:
    setup = rows(ARCS)[0]
    for (blank, box), (of, area) in zip(gone(setup, "mm"), cuts(setup).values(), strict=True):
        assert blank.of == of
        x0, y0, x1, y1 = box
        low_x, low_y, high_x, high_y = area.bounds
        assert (x0, y0) == pytest.approx((low_x - 0.35, low_y - 0.35), abs=0.051)
        assert (x1, y1) == pytest.approx((high_x + 0.35, high_y + 0.35), abs=0.051)


def test_inches_are_told_as_a_file_in_inches_takes_them() -> None:
    [used] = used_lines(rows(ARCS), look().board.inlay_blanks, "in")
    in_mm = [box for _, box in sorted((blank.of[1], box) for blank, box in gone(rows(ARCS)[0], "in"))]
    sides = [float(side) for box in used.line.split("box = [")[1:] for side in box.partition("]")[0].split(", ")]
    assert sides == pytest.approx([side / 25.4 for box in in_mm for side in box], abs=0.0001)


def test_where_no_room_is_left_the_refusal_says_what_would_do() -> None:
    with pytest.raises(Refusal, match="moon 3 finds no place on what is left of the blanks") as refusal:
        laid("moon 3", swap=(COUNT, "count = 1\nused = [{ blank = 1, box = [0, 0, 40, 20] }]\n"))
    assert "one more blank" in refusal.value.problems[0].hint


def test_the_command_says_what_is_gone_in_words_and_as_data(tmp_path) -> None:
    board = tmp_path / "a.toml"
    board.write_text(BOARD.format(gap=0.05), encoding="utf-8")
    line = used_lines(rows(ARCS), look().board.inlay_blanks, "mm")[0].line
    asked = ["pieces", str(board), "-m", ARCS, "-o", str(tmp_path / "job")]
    told = CliRunner().invoke(main, asked)
    assert f"[[inlay_blank]] 1, mother-of-pearl, 40.00 mm by 25.00 mm, 4 blanks: {line}" in told.stdout
    assert WITH_OTHERS not in told.stderr
    part = CliRunner().invoke(
        main, ["pieces", str(board), "-m", ARCS, "-o", str(tmp_path / "part"), "--only", "moon 3"]
    )
    assert WITH_OTHERS in part.stderr
    card = "".join(page.extract_text() for page in PdfReader(tmp_path / "part" / "pieces-card.pdf").pages)
    assert "as if it was cut before this part" in " ".join(card.split())
    data = json.loads(CliRunner().invoke(main, [*asked, "--json"]).stdout)
    assert data["used"] == [{"inlay_blank": 0, "line": line}]


PLACED = 'count = 4\nplace = [{ piece = "ring 7", blank = 2, at = [20, 12] }]\n'


def test_a_part_of_the_pieces_is_cut_where_the_file_lays_it_and_that_is_told() -> None:
    job = way.plan_pieces(look(0.05, "", (COUNT, PLACED)), read_machine(ARCS), PiecesWish(("ring 7",)))
    [piece] = job.clampings.setups[0].row.pieces
    assert (piece.at, job.clampings.setups[0].row.blanks[0].of) == ((20.0, 12.0), (0, 2))
    [told] = job.warnings
    assert told.key == "inlay_blank.0.place.0" and "where the file lays it" in told.found
    whole = way.plan_pieces(look(0.05, "", (COUNT, PLACED)), read_machine(ARCS), PiecesWish())
    assert not any("where the file lays it" in each.found for each in whole.warnings)
    nothing_meets(
        laid(swap=(COUNT, PLACED.replace("ring 7", "moon 3"))),
        laid("ring 7", swap=(COUNT, PLACED.replace("ring 7", "moon 3"))),
    )
