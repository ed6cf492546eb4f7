"""The coupon of one inlay: its piece goes into every pocket with the gap that this is for, by the bytes of both."""

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely
from click.testing import CliRunner, Result
from shapely import affinity

from inlaid import BOARD, PROFILES, pieces, pockets, rows, run_of
from pearlkerf import way
from pearlkerf.cli import main
from pearlkerf.errors import Refusal
from pearlkerf.jobs.making import make_programs, with_fits
from pearlkerf.jobs.model import Job
from pearlkerf.jobs.pieces import Wish
from pearlkerf.machine.reader import read_machine
from pearlkerf.proof.identity import NOBODY_ASSUMED
from pearlkerf.proof.rules.piece_fits import pieces_go_into_their_pockets
from pearlkerf.proof.runs import Run
from pearlkerf.reading.motions import ProgramText
from pearlkerf.setups.inlay_coupons import InlayCoupon
from pearlkerf.setups.inlay_pieces import pieces_of_inlays
from pearlkerf.setups.steps import Steps
from pearlkerf.setups.tries import OfOneInlay
from sampled_motion import opened, sample

ARCS = PROFILES[0]
PLAIN = BOARD.format(gap=0.05)
THREE = Steps(-0.02, 0.04, 0.03)
POCKETS = Wish("inlay", steps=THREE)
PIECES = Wish("inlay", steps=THREE, one=OfOneInlay("ring", several="pieces"))
WITHIN_MM = 0.01  # of the gap, as the README promises


@cache
def look(board: str = PLAIN) -> way.Look:
    found = way.look(board)
    assert found.problems == (), found.problems
    return found


@cache
def job(profile: str = ARCS, wish: Wish = POCKETS, board: str = PLAIN) -> Job:
    return way.plan_on_scrap(look(board), read_machine(profile), wish)


def coupon(made: Job) -> InlayCoupon:
    assert made.piece is not None and isinstance(made.piece.of, InlayCoupon)
    return made.piece.of


@cache
def programs(profile: str = ARCS, wish: Wish = POCKETS, board: str = PLAIN) -> tuple[ProgramText, ...]:
    return tuple(ProgramText(each.file, each.text) for each in make_programs(job(profile, wish, board), "test"))


def held(texts: tuple[ProgramText, ...], profile: str = ARCS, board: str = PLAIN) -> list[str]:
    verdict = way.prove(look(board), read_machine(profile), texts, NOBODY_ASSUMED).verdict
    return [str(each) for each in verdict.findings]


@pytest.mark.parametrize("wish", [POCKETS, PIECES], ids=["pockets", "pieces"])
@pytest.mark.parametrize("profile", PROFILES)
def test_programs_are_proved_together_and_each_alone(profile: str, wish: Wish) -> None:
    made = programs(profile, wish)
    assert held(made, profile) == []
    assert [held((each,), profile) for each in made] == [[]] * len(made)


def freed(piece: Any, made: Job, texts: tuple[ProgramText, ...]) -> shapely.Geometry:
    """Give a piece as its program leaves it on the blank, by motion that is sampled here alone."""
    of = coupon(made)
    cut = [each for each in of.pieces.features if each.number == piece.number]
    radius = made.machine.cutter(cut[0].cutter).diameter_mm / 2
    (path,) = [sample(each.text.decode())[cut[0].cutter] for each in texts if b"setup=pieces" in each.text]
    ground = shapely.box(*piece.area.bounds).buffer(2 * radius)
    taken = shapely.union_all([opened(path, radius, each.floor_at_crown_mm + 0.004, each.region) for each in cut])
    left = shapely.get_parts(ground.difference(taken))
    return max(left, key=lambda part: part.intersection(piece.area).area)


def cleared(pocket: Any, made: Job, texts: tuple[ProgramText, ...]) -> shapely.Geometry:
    """Give a pocket as its programs leave it."""
    areas = []
    for text in texts:
        for number, path in sample(text.text.decode()).items():
            if b"setup=coupon" in text.text:
                radius = made.machine.cutter(number).diameter_mm / 2
                reach = pocket.region.buffer(-radius + 0.01)
                areas.append(opened(path, radius, pocket.floor_at_crown_mm + 0.004, reach))
    return shapely.union_all(areas)


@pytest.mark.parametrize("wish", [POCKETS, PIECES], ids=["pockets", "pieces"])
def test_by_plain_distances_every_gap_is_the_one_that_is_told(wish: Wish) -> None:
    """Holds what is swept against each other without any part of the proof, or of the tool's own distances."""
    made, texts = job(ARCS, wish), programs(ARCS, wish)
    of, row = coupon(made), coupon(made).pieces.row
    gaps = []
    for piece in row.pieces:
        left = freed(piece, made, texts)
        for lying in piece.in_turn:
            (pocket,) = [each.feature for each in of.samples if each.feature.identity == lying.place]
            middle = (np.array(lying.drawn.bounds[:2]) + lying.drawn.bounds[2:]) / 2 - piece.on_setup
            laid = affinity.translate(affinity.rotate(left, -piece.turn_deg, origin=piece.on_setup), *middle)
            open_mm = cleared(pocket, made, texts)
            gaps.append(lying.gap_mm)
            assert open_mm.contains(laid)
            edges = (laid.boundary, open_mm.boundary)
            assert edges[0].distance(edges[1]) > lying.gap_mm - WITHIN_MM
            assert edges[1].hausdorff_distance(edges[0]) < lying.gap_mm + WITHIN_MM
    assert gaps == pytest.approx([0.03, 0.06, 0.09]) == list(of.gaps_mm)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_with_the_board_s_own_gap_piece_and_pocket_are_the_board_s(hand: str) -> None:
    """A half moon has no mirror image of its own across the board: a coupon of the other hand would show it."""
    board = PLAIN.replace("[board]\n", f'[board]\nhand = "{hand}"\n')
    made = job(ARCS, Wish("inlay", steps=Steps(0.0, 0.02, 0.02)), board)
    fitted = with_fits(look(board).clamped(), made.machine)
    (on_board,) = [each for each in pieces_of_inlays(fitted.fits) if each.name == "moon 3"]
    (tried,) = coupon(made).pieces.row.pieces
    (pocket,) = [fit.pockets[0].region for fit in fitted.fits if fit.part.pocket.name == "moon 3"]
    for own, its in ((on_board.area, tried.drawn), (pocket, coupon(made).samples[0].feature.region)):
        by = np.array(own.bounds[:2]) - its.bounds[:2]
        assert shapely.symmetric_difference(own, affinity.translate(its, *by)).area < 1e-4


@cache
def runs(wish: Wish = POCKETS) -> tuple[Run, ...]:
    made = job(ARCS, wish)
    return tuple(run_of(program, made.clampings.setups, made.machine) for program in programs(ARCS, wish))


def told(wish: Wish, change: Any) -> list[str]:
    """Give what the rule says of pieces that are changed by a function of them all."""
    own = list(runs(wish))
    row = own[-1].setup.row
    setup = replace(own[-1].setup, row=replace(row, pieces=change(row.pieces)))
    return [each.message for each in pieces_go_into_their_pockets([*own[:-1], replace(own[-1], setup=setup)])]


@pytest.mark.parametrize("called", ["setup=face cutter=1", "tries=inlays", "x) G0 Z-9 ("])
def test_what_people_call_an_inlay_is_no_claim_and_no_code(called: str) -> None:
    board = PLAIN.replace('name = "moon"', f'name = "{called}"')
    assert held(programs(ARCS, POCKETS, board), ARCS, board) == []
    on_board = make_programs(way.plan(look(board), read_machine(ARCS)), "test")
    assert held(tuple(ProgramText(each.file, each.text) for each in on_board), ARCS, board) == []


def test_the_rule_holds_a_piece_against_each_of_its_pockets() -> None:
    assert told(POCKETS, lambda own: own) == []
    (piece,) = runs()[-1].setup.row.pieces
    for number in range(2):
        wide = tuple(replace(each, gap_mm=each.gap_mm + 0.02 * (at == number)) for at, each in enumerate(piece.also))
        (found,) = told(POCKETS, lambda own, wide=wide: (replace(own[0], also=wide),))
        assert re.match(r"moon 3 to try has 0\.0\d\d mm of room in its pocket", found)
        near = tuple(replace(each, gap_mm=each.gap_mm - 0.02 * (at == number)) for at, each in enumerate(piece.also))
        (found,) = told(POCKETS, lambda own, near=near: (replace(own[0], also=near),))
        assert re.match(r"moon 3 to try leaves 0\.0\d\d mm to its pocket", found)


def test_swapped_pieces_of_one_pocket_are_found() -> None:
    assert told(PIECES, lambda own: own) == []

    def swapped(own: Any) -> Any:
        first, *_, last = own
        return tuple(replace(each, drawn={1: last, 3: first}.get(each.number, each).drawn) for each in own)

    found = told(PIECES, swapped)
    assert {each.partition(" its line")[0] for each in found} >= {
        "ring 7 to try 1 stands out beyond", "ring 7 to try 3 falls short of"}  # fmt: skip


@pytest.mark.parametrize("number", [0, 1], ids=["pockets", "piece"])
def test_a_pocket_or_a_piece_that_is_moved_by_two_hundredths_is_found(number: int) -> None:
    made = programs()
    assert (b"setup=coupon" in made[0].text, b"setup=pieces" in made[-1].text) == (True, True)
    whose = made[0 if number == 0 else -1]
    text, named = whose.text.decode(), "(inlay pocket 2" if number == 0 else "(moon 3 to try"
    head, cuts = text.split(named, 1)
    moved = re.sub(r"X(-?\d+\.\d+)", lambda found: f"X{float(found[1]) + 0.02:.3f}", cuts)
    harmed = ProgramText(whose.file, (head + named + moved).encode())
    assert held(tuple(harmed if each is whose else each for each in made))


@pytest.mark.parametrize(
    ("claim", "other"),
    [
        ("tries=inlay 1/pockets", "tries=inlay 1/pieces"),
        ("tries=inlay 1/pockets", "tries=inlay 3/pockets"),
        ("tries=inlay 1/pockets", "tries=inlays"),
        ("tries=inlay 1/pockets", "tries=inlay 99/pockets"),
        ("tries=inlay 1/pockets", "tries=inlay 1/both"),
        ("(tries=inlay 1/pockets)\n", ""),
        ("steps=-0.0200/0.0400/0.0300", "steps=-0.0100/0.0400/0.0300"),
    ],
)  # fmt: skip
def test_a_claim_that_is_not_so_is_found(claim: str, other: str) -> None:
    for each in programs():
        assert claim in each.text.decode()
        harmed = ProgramText(each.file, each.text.decode().replace(claim, other).encode())
        try:
            assert held((harmed,))
        except Refusal as refusal:
            assert "99" in other and "no inlay is called" in str(refusal)


@pytest.mark.parametrize(
    "others", [lambda: pieces(ARCS), lambda: programs(ARCS, PIECES), lambda: programs(ARCS, Wish("fits"))],
    ids=["pieces of the board", "another inlay", "fits"],
)  # fmt: skip
def test_programs_of_two_things_are_proved_one_at_a_time(others: Callable[[], tuple[ProgramText, ...]]) -> None:
    with pytest.raises(Refusal, match="by itself"):
        held((*programs(), *others()))


def test_programs_of_the_board_may_be_held_beside_them() -> None:
    assert held((*pockets(ARCS), *programs())) == []


def test_places_of_the_board_s_own_pieces_are_left_alone() -> None:
    laid = 'place = [{ piece = "ring 7", blank = 1, at = [10, 12], turn = 0 }]\n'
    board = f"{PLAIN}{laid}used = [{{ blank = 1, box = [0, 20, 40, 25] }}]\n"
    (piece,) = coupon(job(board=board)).pieces.row.pieces
    assert piece.blank == 1
    channel = shapely.union_all([each.region for each in coupon(job(board=board)).pieces.features])
    assert channel.distance(shapely.Point(10, 12).buffer(4.5 + 2.24)) > 0.5
    assert channel.bounds[3] < 20
    with pytest.raises(Refusal, match='no piece is called "ring 8"'):
        job(board=board.replace("ring 7", "ring 8"))


def cut_of(setup: Any) -> dict[tuple[int, int], shapely.Geometry]:
    """Give what is cut of each blank, from its low left corner, by its entry in the file and its number there."""
    row = setup.row
    blanks = {blank.number: blank for blank in row.blanks}
    found: dict[tuple[int, int], shapely.Geometry] = {}
    for piece in row.pieces:
        own = shapely.union_all([each.region for each in setup.features if each.number == piece.number])
        blank = blanks[piece.blank]
        found[blank.of] = found.get(blank.of, shapely.Point()).union(affinity.translate(own, -blank.x_mm, 0.0))
    return found


def test_it_lies_where_the_board_s_own_pieces_will_not_be_cut_if_there_is_room() -> None:
    (own,) = rows(ARCS)
    tried, there = cut_of(coupon(job()).pieces), cut_of(own)
    assert all(area.disjoint(there.get(blank, shapely.Point())) for blank, area in tried.items())
    two = PLAIN.replace("count = 4", "count = 2")  # which hold the three pieces of the board and no three more
    many = Wish("inlay", steps=THREE, one=OfOneInlay("moon", several="pieces"))
    assert (0, 1) in cut_of(coupon(job(wish=many, board=two)).pieces)


STAR = """
[[inlay]]
shape = "star"
frets = [11]
length = 12
width = 12
corners = "by hand"
corner_limit = 2.5
detail = 1
material = "mother-of-pearl"
"""


def test_corners_for_the_chisel_are_told_and_left_out_of_the_rule() -> None:
    board = PLAIN.replace("[[inlay_blank]]", f"{STAR}[[inlay_blank]]")
    wish = Wish("inlay", steps=THREE, one=OfOneInlay("star"))
    of = coupon(job(ARCS, wish, board))
    assert of.chiselled == 5
    assert held(programs(ARCS, wish, board), ARCS, board) == []


def words_of(card: Path) -> str:
    pages = pdfium.PdfDocument(card.read_bytes())
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


@pytest.fixture(scope="module")
def boards(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("boards")
    (folder / "plain.toml").write_text(PLAIN, encoding="utf-8")
    (folder / "small.toml").write_text(PLAIN.replace("length = 40\nwidth = 25", "length = 12\nwidth = 9"))
    (folder / "hand.toml").write_text(PLAIN.replace("gap =", 'pieces = "by hand"\ngap ='))
    (folder / "none.toml").write_text(PLAIN.replace("length = 40\nwidth = 25\ncount = 4\n", ""))
    (folder / "metal.toml").write_text(PLAIN.replace("mother-of-pearl", "brass"))
    (folder / "shared.toml").write_text(
        PLAIN.replace('shape = "ring"\nfrets = [7]', 'shape = "ring"\nset_in = "moon"\nfrets = [5]')
    )
    yield folder


def test_the_card_says_how_each_is_tried_and_what_is_written(boards: Path, tmp_path: Path) -> None:
    steps = ("--smallest", "-0.02", "--largest", "0.04", "--step", "0.03", "--json")
    made = run("coupon", boards / "plain.toml", "-m", ARCS, "-o", tmp_path / "a", "--kind", "inlay", *steps)
    assert made.exit_code == 0, made.stderr
    said = json.loads(made.stdout)
    assert (said["kind"], said["of"], said["several"], said["key"]) == ("inlay", "moon 3", "pockets", "inlay.0.gap")
    assert [each["fit_mm"] for each in said["samples"]] == pytest.approx([0.03, 0.06, 0.09]) == said["gaps_mm"]
    assert [(each["name"], each["blank"]) for each in said["pieces"]] == [("moon 3 to try", 1)]
    assert json.loads((tmp_path / "a" / "job.json").read_text())["tries"] == "inlay 1/pockets"
    words = words_of(tmp_path / "a" / "coupon-card.pdf")
    for part in ("What is tried of moon 3, and how", "Try the piece in the pockets from the smallest gap up",
                 "inlay pocket 2 2 short 0.060 mm", 'gap = "0.060 mm"', "[[inlay]] no. 1", "used = [{ blank = ",
                 "Dust of shell", "fits none of them", "Cautions"):  # fmt: skip
        assert part in words, part
    many = run("coupon", boards / "plain.toml", "-m", ARCS, "-o", tmp_path / "b", "--kind", "inlay", "--of", "ring 7",
               "--steps-of", "pieces", *steps)  # fmt: skip
    assert [each["number"] for each in json.loads(many.stdout)["pieces"]] == [1, 2, 3]
    words = words_of(tmp_path / "b" / "coupon-card.pdf")
    for part in ("from number 1, the largest, up", "piece 2 0.060 mm", "Write each piece's number on it",
                 "[[inlay]] no. 2", "pieces 1 to 3", "inlay pocket 1"):  # fmt: skip
        assert part in words, part
    assert "3 ring 7 to try 3" in words_of(tmp_path / "b" / "pieces-sheet.pdf")
    assert {path.suffix for path in (tmp_path / "b").iterdir()} == {".nc", ".html", ".pdf", ".json"}


@pytest.mark.parametrize(
    ("board", "options", "code", "words"),
    [
        ("plain", ("--of", "mon"), 1, 'no inlay is called "mon" (an inlay or a place of one)'),
        ("plain", ("--of", "mon"), 1, 'hint: did you mean "moon"?'),
        ("plain", ("--of", " "), 2, "--of names no inlay"),
        ("plain", ("--only", "frets"), 2, "--only goes with --kind fits"),
        ("plain", ("--cutter", "2"), 2, "--cutter goes with --kind calibration"),
        ("plain", ("--scrap", "30x30x6"), 1, "does not hold what is to be cut"),
        ("plain", ("--scrap", "200x50x2"), 1, "use scrap at least 3.0 mm thick"),
        ("plain", ("--steps-of", "both"), 2, "'pockets', 'pieces'"),
        ("plain", ("--step", "0"), 1, "a --step above 0"),
        ("plain", ("--smallest", "2", "--largest", "3", "--step", "0.5"), 1, "only gaps from 0.005 to 1.000 mm"),
        ("plain", ("--steps-of", "pieces", "--step", "0.006"), 1, "try fewer gaps, with a greater --step, or"),
        ("small", (), 1, "moon 3 to try is larger than any blank of mother-of-pearl"),
        ("hand", (), 1, "moon 3 cannot be tried with its piece: its pieces are cut by hand"),
        ("none", (), 1, 'an [[inlay_blank]] of "mother-of-pearl" with its size'),
        ("metal", (), 1, 'how "brass" is cut no table knows'),
        ("shared", ("--of", "ring"), 1, "several inlays share its pocket"),
    ],
)  # fmt: skip
def test_what_cannot_be_tried_is_refused_and_nothing_is_written(
    boards: Path, board: str, options: tuple[str, ...], code: int, words: str, tmp_path: Path
) -> None:
    result = run("coupon", boards / f"{board}.toml", "-m", ARCS, "-o", tmp_path / "job", "--kind", "inlay", *options)
    assert result.exit_code == code, result.stderr
    assert words in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_of_and_steps_of_go_with_an_inlay_alone(boards: Path, tmp_path: Path) -> None:
    for option in (("--of", "moon"), ("--steps-of", "pieces")):
        result = run("coupon", boards / "plain.toml", "-m", ARCS, "-o", tmp_path / "job", *option)
        assert result.exit_code == 2 and "goes with --kind inlay" in result.stderr


def test_gaps_below_the_least_are_left_out() -> None:
    made = job(wish=Wish("inlay", steps=Steps(-0.06, 0.06, 0.02)))
    assert coupon(made).gaps_mm == pytest.approx([0.01, 0.03, 0.05, 0.07, 0.09, 0.11])
    (left,) = made.piece.left_out
    assert "not gaps of -0.010 mm, which are left out" in left.found and left.key == "inlay.0.gap"


def test_gaps_for_which_a_pocket_is_narrower_than_its_cutter_are_left_out() -> None:
    """A mill of 1 mm asks of a line 1 mm and 0.01 mm less a gap: of one 0.98 mm wide 0.03 mm at least."""
    line = 'shape = "line"\nfrets = [11]\nlength = 12\nwidth = 0.98\ndetail = 0.5\nmaterial = "mother-of-pearl"'
    board = PLAIN.replace("[[inlay_blank]]", f"[[inlay]]\n{line}\n[[inlay_blank]]")
    wish = Wish("inlay", steps=Steps(-0.04, 0.04, 0.02), one=OfOneInlay("line"))
    made = job(ARCS, wish, board)
    assert coupon(made).gaps_mm == pytest.approx([0.05, 0.07, 0.09])
    (left,) = made.piece.left_out
    assert left.found == "line 11: cutter 3 leaves no room for gaps of 0.010, 0.030 mm, which are left out"
    assert held(programs(ARCS, wish, board), ARCS, board) == []
    plain = job(ARCS, Wish("fits", steps=Steps(-0.04, 0.04, 0.02), only=("inlays",)), board).piece
    assert plain.of.trials[0].sizes_mm == pytest.approx([0.03, 0.04, 0.05, 0.06, 0.07][1:])
    assert plain.left_out[0].found == "line 11: cutter 3 leaves no room for gaps of 0.030 mm, which are left out"


def test_programs_without_heads_are_proved_as_what_the_command_line_says(boards: Path, tmp_path: Path) -> None:
    profile = tmp_path / "bare.toml"
    text = run("machines", ARCS).stdout
    profile.write_text(text.replace("arcs = true", "comments = false\narcs = true", 1))
    made = run(
        "coupon", boards / "plain.toml", "-m", profile, "-o", tmp_path / "job", "--kind", "inlay", "--largest", "0"
    )
    assert made.exit_code == 0, made.stderr
    tries = json.loads((tmp_path / "job" / "job.json").read_text())["tries"]
    scrap = json.loads((tmp_path / "job" / "job.json").read_text())["scrap"]
    for program in sorted((tmp_path / "job").glob("*.nc")):
        setup = "pieces" if "pieces" in program.name else "coupon"
        cutter = re.search(r"cutter-(\d)", program.name)[1]
        said = ("--setup", setup, "--cutter", cutter, "--largest", "0", "--scrap", scrap)
        own = (program, boards / "plain.toml", "-m", profile, *said)
        assert run("prove", *own, "--tries", tries).exit_code == 0, run("prove", *own, "--tries", tries).stderr
        assert run("prove", *own, "--tries", "inlay 3/pockets").exit_code == 3
        assert run("prove", *own).exit_code != 0
