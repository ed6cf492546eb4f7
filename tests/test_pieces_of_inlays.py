"""Pieces of inlays: cut from their blanks, and proved to go into their pockets, from the bytes of both."""

import json
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from click.testing import CliRunner
from pypdf import PdfReader
from shapely import affinity

from inlaid import BOARD, EVERY, PROFILES, held, look, pieces, pockets, rows, runs
from pearlkerf import way
from pearlkerf.cli import main
from pearlkerf.errors import Refusal
from pearlkerf.files.places import with_places
from pearlkerf.jobs.from_blanks import PiecesWish, plan_pieces
from pearlkerf.jobs.making import make_programs
from pearlkerf.machine.materials import SHELL_DUST
from pearlkerf.machine.reader import read_machine
from pearlkerf.pictures.fonts import CAPITAL
from pearlkerf.pictures.pdf import POINTS_PER_MM
from pearlkerf.pictures.rows import draw_rows
from pearlkerf.proof.identity import NOBODY_ASSUMED
from pearlkerf.proof.rules.piece_fits import pieces_go_into_their_pockets
from pearlkerf.proof.rules.row_claims import pieces_lie_as_claimed
from pearlkerf.reading.motions import ARC, RAPID, ProgramText
from pearlkerf.reading.reader import read_program

ARCS = PROFILES[0]
DOTS = PiecesWish(("face dots",))


def ways(program: ProgramText, floor_mm: float) -> list[shapely.LineString]:
    """Give where the tip goes at a floor, arcs by a chord every degree: a plain reading, for plain distances."""
    motions = read_program(program.text, program.file).motions
    found = []
    for kind, start, end, centre, sweep in zip(
        motions.kind, motions.start, motions.end, motions.centre, motions.sweep, strict=True
    ):
        if kind == RAPID or max(start[2], end[2]) > floor_mm + 0.005:
            continue
        if kind == ARC:
            count = max(2, int(np.degrees(abs(sweep))))
            from_x, from_y = start[:2] - centre[:2]
            angle = np.arctan2(from_y, from_x) + np.linspace(0, sweep, count)
            found.append(
                shapely.LineString(
                    centre[:2] + np.hypot(from_x, from_y) * np.column_stack([np.cos(angle), np.sin(angle)])
                )
            )
        else:
            found.append(shapely.LineString([start[:2], end[:2]]))
    return found


@pytest.mark.parametrize("profile", PROFILES)
def test_pieces_and_pockets_are_proved_together(profile: str) -> None:
    verdict = held(profile, (*pockets(profile), *pieces(profile)))
    assert verdict.findings == ()


@pytest.mark.parametrize(("profile", "gap"), [(PROFILES[0], 0.05), (PROFILES[1], 0.1)])
def test_by_plain_distances_every_piece_keeps_its_gap(profile: str, gap: float) -> None:
    """Holds what is swept at the floors against each other without any part of the proof."""
    machine, [row] = read_machine(profile), rows(profile, gap)
    for piece in row.row.pieces:
        feature = next(each for each in row.features if each.name == piece.name)
        piece_cutter = machine.cutter(feature.cutter)
        lines = [line for program in pieces(profile, gap) for line in ways(program, feature.floor_at_crown_mm)]
        near = [line for line in lines if line.distance(piece.area) < piece_cutter.diameter_mm]
        swept = shapely.union_all([line.buffer(piece_cutter.radius_mm, quad_segs=64) for line in near])
        rest = shapely.box(*piece.area.bounds).buffer(2 * piece_cutter.diameter_mm).difference(swept)
        left = max(shapely.get_parts(rest), key=lambda part: part.intersection(piece.area).area)
        low_x, low_y, high_x, high_y = piece.drawn.bounds
        turned = affinity.rotate(left, -piece.turn_deg, origin=piece.on_setup)
        on_board = affinity.translate(
            turned, (low_x + high_x) / 2 - piece.on_setup[0], (low_y + high_y) / 2 - piece.on_setup[1]
        )
        pocket = pocket_of(profile, gap, piece.place.name)
        assert pocket.contains(on_board)
        assert on_board.distance(pocket.boundary) > gap - 0.01
        assert pocket.boundary.hausdorff_distance(on_board.boundary) < gap + 0.01


def pocket_of(profile: str, gap: float, name: str) -> shapely.Geometry:
    """Give a pocket as it is swept, on the board."""
    machine = read_machine(profile)
    job = way.plan(look(gap), machine)
    feature = next(each for setup in job.clampings.setups for each in setup.features if each.name == name)
    reach = shapely.box(*feature.region.bounds)
    swept = []
    for program in pockets(profile, gap):
        cutter = machine.cutter(int(re.search(rb"cutter=(\d+)", program.text)[1]))
        lines = [line for line in ways(program, feature.floor_at_crown_mm) if line.within(reach)]
        swept += [line.buffer(cutter.radius_mm, quad_segs=64) for line in lines]
    return shapely.union_all(swept)


def test_dots_of_shell_go_into_their_holes() -> None:
    programs = pieces(ARCS, 0.05, DOTS)
    assert held(ARCS, (*pockets(ARCS), *programs)).findings[0].message.startswith("no piece is cut for")
    verdict = held(ARCS, programs)
    assert verdict.findings == ()
    [row] = rows(ARCS, 0.05, DOTS)
    [dot] = row.row.pieces
    assert dot.drawn.area == pytest.approx(np.pi * 2.5**2, rel=1e-3) and dot.place.group == "face dots"


def told(changed: dict[str, object]) -> list[str]:
    """Give what the rule says of pieces of which some fields are changed, by name."""
    own = list(runs(ARCS))
    row = own[-1].setup.row
    laid = tuple(replace(piece, **changed[piece.name]) if piece.name in changed else piece for piece in row.pieces)
    setup = replace(own[-1].setup, row=replace(row, pieces=laid))
    return [each.message for each in pieces_go_into_their_pockets([*own[:-1], replace(own[-1], setup=setup)])]


def row_pieces() -> dict[str, object]:
    return {piece.name: piece for piece in runs(ARCS)[-1].setup.row.pieces}


def test_the_rule_holds_them_as_they_are() -> None:
    assert told({}) == []


def test_a_mirrored_piece_is_found() -> None:
    moon = row_pieces()["moon 3"]
    middle = ((moon.drawn.bounds[0] + moon.drawn.bounds[2]) / 2, (moon.drawn.bounds[1] + moon.drawn.bounds[3]) / 2)
    mirrored = affinity.scale(moon.drawn, 1, -1, origin=middle)
    found = told({"moon 3": {"drawn": mirrored}})
    assert found and all(re.match(r"moon 3 (stands out beyond|falls short of) its line by \d", each) for each in found)


def test_a_piece_that_is_turned_otherwise_than_claimed_is_found() -> None:
    found = told({"moon 3": {"turn_deg": row_pieces()["moon 3"].turn_deg + 2}})
    assert found and "moon 3" in found[0]


def test_swapped_pieces_are_found() -> None:
    moon, ring = row_pieces()["moon 3"], row_pieces()["ring 7"]
    found = told({"moon 3": {"place": ring.place}, "ring 7": {"place": moon.place}})
    assert any(message.startswith("moon 3 is ") for message in found)
    assert any(message.startswith("ring 7 is ") for message in found)


def test_a_missing_piece_and_one_too_many_are_found() -> None:
    moon = row_pieces()["moon 3"]
    found = told({"moon 5": {"place": moon.place}})
    assert "moon 3 and moon 5 are both cut for moon 3" in found
    assert "no piece is cut for moon 5" in found


@pytest.mark.parametrize(("by", "words"), [(0.02, "mm of room in its pocket"), (-0.02, "mm to its pocket")])
def test_a_gap_that_is_two_hundredths_off_is_found(by: float, words: str) -> None:
    found = told({"moon 3": {"gap_mm": 0.05 + by}})
    assert len(found) == 1 and words in found[0]


@pytest.mark.parametrize(("by", "words"), [(0.02, "falls short of"), (-0.02, "stands out beyond")])
def test_a_piece_that_is_two_hundredths_off_its_line_is_found(by: float, words: str) -> None:
    drawn = row_pieces()["moon 3"].drawn.buffer(by, quad_segs=64)
    found = told({"moon 3": {"drawn": drawn}})
    assert len(found) == 1 and words in found[0]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("place=1/(.*)", "", "the head does not claim (place=1/"),
        (r"place=1/(\d)/", r"place=1/\1/1", "which is not so for this board and machine"),
        (r"/0\.050", "/0.060", "claims (fits="),
        ("row=.*", "", "the head does not claim (row=10.000/0)"),
    ],
)
def test_a_head_that_claims_otherwise_is_refused(old: str, new: str, words: str) -> None:
    run = runs(ARCS)[-1]
    comments = [(line, re.sub(f"^{old}" if old[0] != "/" else old, new, text)) for line, text in run.reading.comments]
    reading = replace(run.reading, comments=tuple((line, text) for line, text in comments if text))
    found = [each.message for each in pieces_lie_as_claimed(replace(run, reading=reading))]
    assert any(words in message for message in found)
    assert list(pieces_lie_as_claimed(run)) == []


def test_heads_tell_of_the_dust_and_how_blanks_lie() -> None:
    [program] = pieces(ARCS)
    head = re.sub(rb"\)\n\(- ", b" ", program.text).decode()
    for sentence in (*SHELL_DUST, "X0 Y0 at the low left corner of the first blank, Z0 on top of the highest of them"):
        assert f"({sentence})" in head


def test_spares_and_some_of_the_pieces_are_proved_by_what_their_heads_say() -> None:
    wish = PiecesWish(("ring",), spares=1, apart_mm=12.0)
    programs = pieces(ARCS, 0.05, wish)
    assert held(ARCS, programs).findings == ()
    names = [piece.name for piece in rows(ARCS, 0.05, wish)[0].row.pieces]
    assert names == ["ring 7", "ring 7 spare"]


def refused(swap: tuple[str, str], wish: PiecesWish = EVERY, more: str = "") -> str:
    board = look(0.05, more, swap)
    with pytest.raises(Refusal) as why:
        way.plan_pieces(board, read_machine(ARCS), wish)
    return str(why.value)


def test_what_cannot_be_cut_is_refused_with_what_would_do() -> None:
    few = refused(("width = 25\ncount = 4", "width = 18"))
    assert re.search(r"1 of 3 pieces find no place on the 1 blank of mother-of-pearl \(count = 2 of 40 mm by 18", few)
    assert "moon 3 is larger than any blank" in refused(("length = 40", "length = 8"))
    assert 'no piece is called "mon"' in refused(("", ""), PiecesWish(("mon",)))
    assert 'did you mean "moon"?' in refused(("", ""), PiecesWish(("mon",)))
    assert "nothing says what blanks its pieces are cut from" in refused(("length = 40\nwidth = 25\ncount = 4\n", ""))
    unplaced = 'place = [{ piece = "sun 3", at = [8, 8] }]\n'
    assert 'no piece is called "sun 3"' in refused(("count = 4\n", f"count = 4\n{unplaced}"))
    assert "a fit of 0 mm leaves no room" in refused(("fit = 0.1", "fit = 0"), DOTS)
    metal = refused(("mother-of-pearl", "brass"))
    assert re.search(r'how "brass" is cut no table knows, and cutter \d states no figures', metal)
    assert "give cutter" in metal and "speed, feed, plunge_feed and bite" in metal


def test_a_piece_stays_where_the_file_lays_it() -> None:
    place = 'place = [{ piece = "moon 5", blank = 3, at = [30, 12], turn = 33.5 }]\n'
    board = look(0.05, "", ("count = 4\n", f"count = 4\n{place}"))
    job = plan_pieces(board.clamped(), read_machine(ARCS), PiecesWish())
    row = job.clampings.setups[0].row
    moon = next(piece for piece in row.pieces if piece.name == "moon 5")
    assert (row.blanks[moon.blank - 1].of, moon.at, moon.turn_deg) == ((0, 3), (30.0, 12.0), 33.5)


def test_the_command_saves_programs_card_sheet_and_page(tmp_path: Path) -> None:
    board = tmp_path / "dunlin.toml"
    board.write_text(BOARD.format(gap=0.05), encoding="utf-8")
    asked = ["pieces", str(board), "-m", ARCS, "-o", str(tmp_path / "job"), "--only", "ring 7", "--apart", "8"]
    result = CliRunner().invoke(main, asked)
    assert result.exit_code == 0, result.output
    assert sorted(path.name for path in (tmp_path / "job").iterdir() if not path.name.startswith(".")) == [
        "1-pieces-cutter-2.nc", "dry-run.html", "job.json", "pieces-card.pdf", "pieces-sheet.pdf",
    ]  # fmt: skip
    card = "".join(page.extract_text() for page in PdfReader(tmp_path / "job" / "pieces-card.pdf").pages)
    for words in ("in the order of gluing", "what of the blanks is gone", "ring 7", "Into the board", "Dust of shell"):
        assert words in card
    sheet = "".join(page.extract_text() for page in PdfReader(tmp_path / "job" / "pieces-sheet.pdf").pages)
    assert "3 ring 7" in sheet and "mother-of-pearl, blank 1" in sheet
    assert json.loads((tmp_path / "job" / "job.json").read_text())["pieces"] == ["ring 7"]
    wrong = CliRunner().invoke(main, [*asked[:-1], "0.1"])
    assert wrong.exit_code == 2 and "2 to 500 mm" in wrong.output
    none = CliRunner().invoke(main, [*asked[:5], str(tmp_path / "other"), "--only", "mon"])
    assert none.exit_code == 1 and 'did you mean "moon"?' in none.output and not (tmp_path / "other").exists()


def test_the_pointing_run_that_heads_name_is_made_and_held(tmp_path: Path) -> None:
    board = tmp_path / "dunlin.toml"
    board.write_text(BOARD.format(gap=0.05), encoding="utf-8")
    asked = ["pieces", str(board), "-m", ARCS, "-o", str(tmp_path / "job"), "--only", "ring 7", "--pointing"]
    assert CliRunner().invoke(main, asked).exit_code == 0
    pointing, cuts = tmp_path / "job" / "1-pieces-pointing.nc", tmp_path / "job" / "2-pieces-cutter-2.nc"
    assert "(dry run of the pieces setup, 1-pieces-pointing.nc" in cuts.read_text("ascii")
    assert CliRunner().invoke(main, ["prove", str(pointing), str(cuts), str(board), "-m", ARCS]).exit_code == 0
    # the middle of the ring is that of its hole: each is shown by its own name
    twice = tmp_path / "twice.nc"
    twice.write_text(pointing.read_text("ascii").replace("(ring 7 hole", "(ring 7"), "ascii")
    wrong = CliRunner().invoke(main, ["prove", str(twice), str(board), "-m", ARCS])
    assert wrong.exit_code == 3 and "ring 7 hole is not shown" in wrong.output
    aside = tmp_path / "aside.nc"
    moved = re.sub(r"X(\d+\.\d+)", lambda each: f"X{float(each[1]) + 1:.3f}", pointing.read_text("ascii"))
    aside.write_text(moved, "ascii")
    wrong = CliRunner().invoke(main, ["prove", str(aside), str(board), "-m", ARCS])
    assert wrong.exit_code == 3 and "ring 7 is not shown" in wrong.output


def test_sheets_show_every_piece_at_full_size_where_it_lies() -> None:
    drawing = draw_rows("Dunlin", rows(ARCS))
    drawn = [shapely.Polygon(thing.corners) for thing in drawing.things if thing.layer == "inlays"]
    for piece in rows(ARCS)[0].row.pieces:
        outline = shapely.Polygon(piece.area.exterior)
        assert any(outline.hausdorff_distance(each) < 0.01 for each in drawn)
    numbers = [thing for thing in drawing.things if thing.layer == "inlay-numbers"]
    assert [each.text for each in numbers] == ["1", "2", "3"]
    assert all(each.height_mm / CAPITAL * POINTS_PER_MM >= 8.9 for each in numbers)  # 9 points: read at arm's length
    names = [thing.text for thing in drawing.things if thing.layer == "notes"]
    assert sorted(", ".join(names).split(", ")) == ["1 moon 3", "2 moon 5", "3 ring 7"]


def test_a_closer_packing_is_written_into_the_file_with_its_comments_and_pieces_follow_it(tmp_path: Path) -> None:
    board = tmp_path / "dunlin.toml"
    stars = '[[inlay]]\nshape = "star"\nname = "sea"\nfrets = [2, 4, 6, 8]\nlength = 9\ndetail = 1\n'
    text = BOARD.format(gap=0.05).replace("[[inlay_blank]]", f'{stars}material = "mother-of-pearl"\n\n[[inlay_blank]]')
    kept = 'place = [{ piece = "moon 5", at = [30, 12] }]'
    text = text.replace("count = 4\n", f"count = 9  # from the drawer\n{kept}\n")
    board.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(main, ["nest", str(board), "-m", ARCS, "--seconds", "3"])
    assert result.exit_code == 0, result.output
    written = board.read_text(encoding="utf-8")
    assert "count = 9  # from the drawer" in written and "closer" in result.output
    read = way.look_at(board)
    job = plan_pieces(read.clamped(), read_machine(ARCS), PiecesWish())
    row, places = job.clampings.setups[0].row, read.board.inlay_blanks[0].place
    assert {piece.name: (piece.at, piece.turn_deg) for piece in row.pieces} == {
        place.piece: (place.at_mm, place.turn_deg) for place in places
    }
    assert places[0].piece == "moon 5" and places[0].at_mm == (30.0, 12.0)


def test_places_are_written_in_inches_boards_too_and_nothing_else_changes() -> None:
    text = '# mine\nunit = "in"\n[[inlay_blank]]\nmaterial = "bone" # old\n[[inlay_blank]]\nplace = []\n'
    new = with_places(text, {0: [("a/1", 2, (12.5, 3.25), 90.0)], 1: [("b", 1, (4.0, 5.0), 22.5)]}, "in")
    assert new.startswith('# mine\nunit = "in"\n[[inlay_blank]]\nmaterial = "bone" # old\n')
    blanks = tomllib.loads(new)["inlay_blank"]
    assert blanks[0]["place"] == [{"piece": "a/1", "blank": 2, "at": ["12.5 mm", "3.25 mm"], "turn": 90}]
    assert blanks[1]["place"] == [{"piece": "b", "blank": 1, "at": ["4 mm", "5 mm"], "turn": 22.5}]


def test_a_small_piece_all_of_whose_edge_is_near_a_corner_for_the_chisel_is_proved_with_its_pocket() -> None:
    small = ("length = 9\nwidth = 7", 'length = 6\ncorners = "by hand"')
    text = BOARD.format(gap=0.03).replace('"half moon"', '"diamond"').replace(*small)
    board, machine = way.look(text), read_machine("production-automatic")
    jobs = way.plan_pieces(board, machine, EVERY), way.plan(board, machine)
    programs = [ProgramText(each.file, each.text) for job in jobs for each in make_programs(job, "pearlkerf 0")]
    assert way.prove(board, machine, programs, NOBODY_ASSUMED).verdict.findings == ()


WOODEN = (
    ("mother-of-pearl", "maple"), ("length = 9\nwidth = 7", "length = 14\nwidth = 10"),
    ("count = 4\n", 'count = 4\nhold = "tabs"\n'),
)  # fmt: skip


def wooden() -> str:
    text = BOARD.format(gap=0.05).replace('shape = "half moon"', 'shape = "block"')
    start, end = text.index('[[inlay]]\nshape = "ring"'), text.index("[[inlay_blank]]")
    text = text[:start] + text[end:]
    for old, new in WOODEN:
        text = text.replace(old, new)
    return text


def test_tabs_of_wood_hold_pieces_on_flat_runs_and_are_proved() -> None:
    board, machine = way.look(wooden()), read_machine(ARCS)
    assert board.problems == ()
    job = plan_pieces(board.clamped(), machine, PiecesWish())
    [program] = make_programs(job, "pearlkerf 0")
    whole = ProgramText(program.file, program.text)
    assert way.prove(board, machine, [whole], NOBODY_ASSUMED).verdict.findings == ()
    for channel in job.clampings.setups[0].features:
        floor = shapely.union_all(
            [line.buffer(machine.cutter(channel.cutter).radius_mm, quad_segs=32)
             for line in ways(whole, channel.floor_at_crown_mm) if line.distance(channel.region) < 1]
        )  # fmt: skip
        tabs = [part for part in shapely.get_parts(channel.region.buffer(-0.02).difference(floor)) if part.area > 0.1]
        assert len(tabs) >= 2 and min(one.distance(other) for one in tabs for other in tabs if one is not other) > 5
        corners = shapely.MultiPoint(channel.counts.minimum_rotated_rectangle.exterior.coords)
        assert all(tab.distance(corners) > 1 for tab in tabs)


def test_what_is_cut_between_tabs_comes_into_every_end_that_a_tab_leaves() -> None:
    """Two edges of a star, one cut by a tab, leave an end just as round as their cutter."""
    star = wooden().replace('shape = "block"', 'shape = "star"').replace("length = 14\nwidth = 10", "length = 12")
    board, machine = (
        way.look(star.replace("detail = 0.8", 'detail = 0.8\ncorners = "by hand"')),
        read_machine("engraver-300"),
    )
    job = plan_pieces(board.clamped(), machine, PiecesWish(("moon 3",)))
    [program] = make_programs(job, "pearlkerf 0")
    whole = ProgramText(program.file, program.text)
    assert way.prove(board, machine, [whole], NOBODY_ASSUMED).verdict.findings == ()


def test_a_tab_that_is_cut_through_is_found_and_one_that_cannot_be_placed_refused() -> None:
    board, machine = way.look(wooden()), read_machine(ARCS)
    job = plan_pieces(board.clamped(), machine, PiecesWish(("moon 3",)))
    [program] = make_programs(job, "pearlkerf 0")
    job = plan_pieces(
        way.look(wooden().replace('hold = "tabs"', 'hold = "tape"')).clamped(), machine, PiecesWish(("moon 3",))
    )
    [through] = make_programs(job, "pearlkerf 0")
    head, cuts = program.text.split(b"(setup=")[0], through.text.split(b"(setup=")[1]
    found = way.prove(board, machine, [ProgramText("a.nc", head + b"(setup=" + cuts)], NOBODY_ASSUMED).verdict.findings
    assert any("below" in each.message or "deeper" in each.message or "deep" in each.message for each in found)
    round_ones = (
        wooden()
        .replace('shape = "block"', 'shape = "oval"')
        .replace("length = 14\nwidth = 10", "length = 6\nwidth = 6")
    )
    with pytest.raises(Refusal, match=r"moon 3, 5\.9\d by 5\.9\d mm, has \d flat runs for tabs"):
        way.plan_pieces(way.look(round_ones), machine, PiecesWish())


def last_rounds(text: str) -> tuple[list[str], list[int]]:
    """Give a program's lines, and which of them go along a piece for the last time, before the cutter leaves it."""
    lines = text.splitlines(keepends=True)
    up = max(index for index, line in enumerate(lines) if re.match(r"G1 .*Z0\.5", line))
    own = [index for index in range(up - 40, up) if re.match(r"G1 X[\d.]+ Y[\d.]+\n", lines[index])]
    return lines, own


@pytest.mark.parametrize(("by", "place"), [((0.02, 0.0), 8), ((0.0, -0.02), 20), (None, 8)])
def test_a_corner_that_is_two_hundredths_off_and_a_round_cut_short_are_found(by: object, place: int) -> None:
    [program] = pieces("compact-chords", 0.05, PiecesWish(("ring",)))
    lines, own = last_rounds(program.text.decode())
    assert len(own) > 30
    index = own[place]
    if by is None:
        lines[index : index + 12] = []
    else:
        x, y = map(float, re.match(r"G1 X([\d.]+) Y([\d.]+)", lines[index]).groups())
        lines[index] = f"G1 X{x + by[0]:.3f} Y{y + by[1]:.3f}\n"
    damaged = ProgramText(program.file, "".join(lines).encode())
    assert {each.rule for each in held("compact-chords", (damaged,)).findings} & {6, 7, 10}


def test_what_named_cutters_take_of_a_drawing_is_told_where_its_pieces_are_made_too() -> None:
    text = BOARD.format(gap=0.05).replace("detail = 0.8", "detail = 0.02\npocket_cutter = 3\npiece_cutter = 3")
    board, machine = way.look(text), read_machine(ARCS)
    told = [each.found for each in way.plan_pieces(board, machine, EVERY).warnings]
    assert [each for each in told if each.startswith("the cutters that it names leave")] != []
    others = [each.found for each in way.plan_pieces(board, machine, PiecesWish(("ring",))).warnings]
    assert [each for each in others if each.startswith("the cutters that it names leave")] == []
