"""`coupon` makes proved programs for scrap: every size as stated, measured here from the program's own motion."""

import json
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely
from click.testing import CliRunner, Result

from pageless import without_pages
from pearlkerf.board.reader import read_board
from pearlkerf.cli import main
from pearlkerf.jobs import proving
from pearlkerf.jobs.pieces import Wish, lay_out_piece
from pearlkerf.layout.features import Hole
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.machine.reader import profile_names, read_machine
from pearlkerf.proof.measures import Measure
from pearlkerf.setups.coupons import Coupon
from pearlkerf.setups.set_up import set_up
from sampled_motion import calliper, opened, sample

EXAMPLES = Path(__file__).parents[2] / "examples"
STEEL = EXAMPLES / "harbour-steel-string.toml"
UKULELE = EXAMPLES / "wren-tenor-ukulele.toml"  # stopped slots
WITHIN_MM = 0.005
CLEAR_MM = 4.0  # what the README promises
FLOOR_MM = 0.004  # heights are rounded up, by less than 0.0001 in


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def programs_of(folder: Path) -> list[Path]:
    return sorted(path for path in folder.iterdir() if path.suffix not in (".html", ".pdf", ".json"))


def a_coupon(board: Path, profile: str) -> Coupon:
    read = read_board(board).board
    assert read is not None
    piece = lay_out_piece(set_up(lay_out(read)), read_machine(profile), Wish("fits")).of
    assert isinstance(piece, Coupon)
    return piece


@pytest.mark.parametrize("board", [STEEL, UKULELE], ids=lambda path: path.stem)
@pytest.mark.parametrize("profile", profile_names())
def test_every_size_is_cut_within_five_thousandths_of_what_is_stated(board: Path, profile: str, tmp_path: Path) -> None:
    with without_pages():
        told = run("coupon", board, "-m", profile, "-o", tmp_path / "job", "--json")
    assert told.exit_code == 0, told.stderr
    stated = {sample["name"]: sample["size_mm"] for sample in json.loads(told.stdout)["samples"]}
    coupon, machine = a_coupon(board, profile), read_machine(profile)
    paths = {}
    for program in programs_of(tmp_path / "job"):
        paths |= sample(program.read_text("ascii"))
    assert {each.feature.name for each in coupon.samples} == set(stated)
    for each in coupon.samples:
        feature = each.feature
        cutter = machine.cutter(feature.cutter)
        path, radius = paths[cutter.number], cutter.diameter_mm / 2
        if isinstance(feature, Hole):
            around = shapely.Point(feature.centre).buffer(feature.diameter_mm)
            hole = opened(path, radius, feature.floor_mm + FLOOR_MM, around)
            assert not shapely.get_num_interior_rings(hole)
            for size in calliper(hole):
                assert abs(size - stated[feature.name]) <= WITHIN_MM, (feature.name, size)
        elif cutter.kerf_mm is not None:
            sawn = np.concatenate([run for run in path.runs if abs(run[0, 0] - feature.start[0]) < 3])
            assert abs(cutter.kerf_mm + np.ptp(sawn[:, 0]) - stated[feature.name]) <= WITHIN_MM
        else:
            (x, low), (_, high) = feature.start, feature.end
            slot = opened(
                path, radius, feature.floor.crown_z_mm + FLOOR_MM, shapely.box(x - 1.5, low - 9, x + 1.5, high + 9)
            )
            inside = shapely.box(x - 2, low + 2, x + 2, high - 2)
            wide = shapely.intersection(slot, inside)
            left, _, right, _ = wide.bounds
            for size in (right - left, wide.area / (high - low - 4)):
                assert abs(size - stated[feature.name]) <= WITHIN_MM, (feature.name, size)


def test_prove_takes_the_piece_from_the_programs_heads(tmp_path: Path) -> None:
    for kind in ("fits", "calibration"):
        made = run("coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / kind, "--kind", kind, "--scrap", "170x80x6",
                   "--step", "0.05 mm")  # fmt: skip
        assert made.exit_code == 0, made.stderr
        programs = programs_of(tmp_path / kind)
        held = run("prove", *programs, STEEL, "-m", "benchtop-arcs", "--page", tmp_path / f"{kind}.html", "--json")
        assert held.exit_code == 0, held.stderr
        assert json.loads(held.stdout)["proved"] is True
        text = programs[0].read_text()
        row = next(line for line in text.splitlines() if line.startswith(("G1", "G3")) and "Z-" in line)
        deep = row.replace("Z-", "Z-3")
        programs[0].write_text(text.replace(row, deep, 1))
        assert run("prove", *programs, STEEL, "-m", "benchtop-arcs").exit_code == 3


def test_a_coupon_of_some_groups_is_cut_and_proved_as_its_heads_say(tmp_path: Path) -> None:
    with without_pages():
        made = run("coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", "--only", "side dot", "--only",
                   "Face  dots", "--json")  # fmt: skip
    assert made.exit_code == 0, made.stderr
    assert {each["group"] for each in json.loads(made.stdout)["samples"]} == {"face dots", "side dots"}
    assert json.loads((tmp_path / "job" / "job.json").read_text())["tries"] == "face dots/side dots"
    programs = programs_of(tmp_path / "job")
    assert all("(tries=face dots/side dots)" in each.read_text().splitlines() for each in programs)
    assert run("prove", *programs, STEEL, "-m", "benchtop-arcs").exit_code == 0
    said = programs[-1].read_text()
    for wrong in ("(tries=side dots)", "(tries=face dots/frets/side dots)", "(tries=wires)", ""):
        programs[-1].write_text(said.replace("(tries=face dots/side dots)", wrong))
        assert run("prove", *programs, STEEL, "-m", "benchtop-arcs").exit_code != 0, wrong


@pytest.mark.parametrize(
    ("only", "words"),
    [
        ("fretz", 'did you mean "frets"?'),
        ("trims", 'there is no "trims" to try on a coupon ("face dots", "frets", "side dots")'),
        ("fret 3", 'a coupon tries one of them for all: --only "frets"'),
        (" ", "name it, or leave the option out"),
        ("inlays", 'there is no "inlays" to try'),
    ],
)
def test_what_no_coupon_tries_is_refused_by_name(only: str, words: str, tmp_path: Path) -> None:
    result = run("coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", "--only", "frets", "--only", only)
    assert result.exit_code == 1 and words in result.stderr, result.stderr
    assert list(tmp_path.iterdir()) == []


def test_slots_are_tried_alone_on_a_board_whose_inlays_no_cutter_cuts(tmp_path: Path) -> None:
    """An oval of 1 by 0.5 mm leaves no mill of the profile room; slots do not ask for any."""
    board = tmp_path / "narrow.toml"
    narrow = '[[inlay]]\nshape = "oval"\nfrets = [4]\nlength = 1\nwidth = 0.5\nthickness = 1.5\n'
    board.write_text(STEEL.read_text("utf-8") + narrow, encoding="utf-8")
    with without_pages():
        every = run("coupon", board, "-m", "benchtop-arcs", "-o", tmp_path / "all")
        assert every.exit_code == 1 and "inlay.0" in every.stderr
        told = run("coupon", board, "-m", "benchtop-arcs", "-o", tmp_path / "slots", "--only", "frets", "--json")
    assert told.exit_code == 0, told.stderr
    assert {each["group"] for each in json.loads(told.stdout)["samples"]} == {"frets"}


def test_a_pocket_moved_by_hand_or_of_another_size_is_found(tmp_path: Path) -> None:
    assert run("coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job").exit_code == 0
    program = programs_of(tmp_path / "job")[0]
    text = program.read_text()
    longer = text.replace("scrap=95.000", "scrap=96.000", 1).replace("is 95.00 mm along X", "is 96.00 mm along X", 1)
    assert longer.count("96.00") == 2
    program.write_text(longer)
    assert run("prove", program, STEEL, "-m", "benchtop-arcs").exit_code == 0  # a longer strip holds it too
    program.write_text(text.replace("steps=-0.0500", "steps=-0.0300", 1))
    held = run("prove", program, STEEL, "-m", "benchtop-arcs")
    assert held.exit_code == 3 and "pocket" in held.stderr


def test_programs_without_heads_are_proved_as_what_the_command_line_says(tmp_path: Path) -> None:
    profile = tmp_path / "bare.toml"
    text = run("machines", "benchtop-arcs").stdout
    profile.write_text(text.replace("arcs = true", "comments = false\narcs = true", 1))
    made = run("coupon", STEEL, "-m", profile, "-o", tmp_path / "job", "--scrap", "100x42x7", "--largest", "0.05 mm")
    assert made.exit_code == 0, made.stderr
    pockets = programs_of(tmp_path / "job")[0]
    said = ("--setup", "coupon", "--cutter", 2, "--scrap", "100x42x7")
    dots = run("coupon", STEEL, "-m", profile, "-o", tmp_path / "dots", "--scrap", "100x42x7", "--only", "face dots")
    assert dots.exit_code == 0, dots.stderr
    alone = (programs_of(tmp_path / "dots")[0], STEEL, "-m", profile, *said)
    assert run("prove", *alone, "--tries", "face dots").exit_code == 0
    assert run("prove", *alone, "--tries", "frets").exit_code == 3
    assert run("prove", *programs_of(tmp_path / "dots"), STEEL, "-m", profile, "--tries", "frets").exit_code == 2
    assert run("prove", pockets, STEEL, "-m", profile, *said, "--largest", "0.05 mm").exit_code == 0
    assert run("prove", pockets, STEEL, "-m", profile, *said).exit_code == 3
    assert run("prove", pockets, STEEL, "-m", profile).exit_code == 2
    assert run("prove", pockets, STEEL, "-m", profile, "--setup", "face", "--scrap", "100x42x7").exit_code == 2


def test_what_the_cutter_cannot_make_is_said_and_only_the_rest_is_cut(tmp_path: Path) -> None:
    told = run("coupon", STEEL, "-m", "workshop-cycles", "-o", tmp_path / "job", "--json")
    assert told.exit_code == 0, told.stderr
    data = json.loads(told.stdout)
    assert [(sample["group"], sample["size_mm"]) for sample in data["samples"]] == [
        ("face dots", 6.0), ("frets", 0.58), ("side dots", 2.0)
    ]  # fmt: skip
    for words in ("pockets of 5.950", "slots of 0.530", "side holes of 1.950"):
        assert any(words in problem["found"] for problem in data["warnings"])
    card = pdfium.PdfDocument((tmp_path / "job" / "coupon-card.pdf").read_bytes())
    words = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in card)
    assert "Left out" in words and "cuts nothing but its own width" in words


def test_the_card_says_what_every_notch_means_and_what_to_write(tmp_path: Path) -> None:
    assert run("coupon", UKULELE, "-m", "compact-chords", "-o", tmp_path / "job").exit_code == 0
    card = pdfium.PdfDocument((tmp_path / "job" / "coupon-card.pdf").read_bytes())
    words = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in card)
    for row in (
        "pocket 1 1 short 3.950 mm",
        "pocket 7 2 long, 1 short 4.100 mm",
        "slot 5 1 long, 2 short 0.634 mm",
        "side hole 3 1 long 1.500 mm",
    ):
        assert row in words
    for said in ("a long notch counts three", "[face_dots]", 'fit = "0.075 mm"', "Cautions", "1-coupon-cutter-2.nc"):
        assert said in words


@pytest.mark.parametrize(
    ("option", "code", "words"),
    [
        (("--scrap", "60x30x6"), 1, "mm long at this width"),
        (("--scrap", "200x42x2"), 1, "use scrap at least 4.5 mm thick"),
        (("--scrap", "200x42"), 2, "LENGTHxWIDTHxTHICKNESS"),
        (("--scrap", "200x42x6 ell"), 2, "unknown unit"),
        (("--scrap", "200x42x0"), 2, "more than 0"),
        (("--scrap", "900x30x6", "--kind", "calibration"), 1, "at least 61 mm long and 46 mm wide"),
        (("--step", "0"), 1, "a --step above 0"),
        (("--smallest", "-1", "--largest", "1", "--step", "0.001"), 1, "1 to 15 sizes"),
        (("--smallest", "1 ell"), 2, "unknown unit"),
        (("--cutter", "2"), 2, "--kind calibration"),
        (("--kind", "calibration", "--only", "frets"), 2, "--kind fits"),
        (("--kind", "calibration", "--cutter", "9"), 1, "cuts no calibration piece"),
        (("--kind", "dowels"), 2, "'fits', 'inlay', 'calibration'"),
    ],
)  # fmt: skip
def test_nonsense_is_refused_and_nothing_is_written(
    option: tuple[str, ...], code: int, words: str, tmp_path: Path
) -> None:
    result = run("coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", *option)
    assert result.exit_code == code, result.stderr
    assert words in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_scrap_in_inches_and_a_folder_that_is_in_the_way(tmp_path: Path) -> None:
    made = run(
        "coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", "--scrap", "6 in x 2 in x 1/4 in", "--json"
    )
    assert json.loads(made.stdout)["scrap"] == {"length_mm": 152.4, "width_mm": 50.8, "thickness_mm": 6.35}
    first = {path.name: path.read_bytes() for path in (tmp_path / "job").iterdir()}
    assert (
        run("coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", "--scrap", "6 in x 2 in x 1/4 in").exit_code
        == 0
    )
    assert first == {path.name: path.read_bytes() for path in (tmp_path / "job").iterdir()}
    programs_of(tmp_path / "job")[0].write_text("(mine)\n")
    assert run("coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job").exit_code == 4


def test_no_cut_comes_near_an_edge_of_the_scrap_but_slots_that_run_out(tmp_path: Path) -> None:
    for board, size in ((UKULELE, "112x70x6"), (STEEL, "75x70x6")):
        assert run("coupon", board, "-m", "benchtop-arcs", "-o", tmp_path / board.stem, "--scrap", size).exit_code == 0
        length, width = (float(side) for side in size.split("x")[:2])
        for program in programs_of(tmp_path / board.stem):
            for number, path in sample(program.read_text()).items():
                radius = read_machine("benchtop-arcs").cutter(number).diameter_mm / 2
                for points in path.runs:
                    low = points[points[:, 2] < 0]
                    if not len(low) or low[:, 1].min() < 0:
                        assert not len(low) or board == STEEL
                        continue
                    x, y = low[:, 0], low[:, 1]
                    clear = min(x.min(), length - x.max()) - radius
                    if not (board == STEEL and number == 1):
                        clear = min(clear, y.min() - radius, width - y.max() - radius)
                    assert clear >= CLEAR_MM - 0.01


def test_bare_numbers_are_in_the_board_files_unit(tmp_path: Path) -> None:
    board = tmp_path / "inches.toml"
    assert run("new", board, "--unit", "in").exit_code == 0
    said = ("--scrap", "8x2x0.3", "--smallest", "0", "--largest", "0.004", "--step", "0.002", "--json")
    made = run("coupon", board, "-m", "benchtop-arcs", "-o", tmp_path / "job", *said)
    assert made.exit_code == 0, made.stderr
    data = json.loads(made.stdout)
    assert data["scrap"] == {"length_mm": 203.2, "width_mm": 50.8, "thickness_mm": 7.62}
    fits = {round(sample["fit_mm"], 4) for sample in data["samples"] if sample["group"] == "face dots"}
    assert fits == {0.0, 0.0508, 0.1016}
    programs = programs_of(tmp_path / "job")
    assert run("prove", *programs, board, "-m", "benchtop-arcs").exit_code == 0
    assert json.loads((tmp_path / "job" / "job.json").read_text())["scrap"] == "203.200x50.800x7.620"


def test_a_piece_whose_sizes_are_off_is_not_saved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    off = Measure("face dot +0.025", 6.025, 6.019, 6.0255)
    monkeypatch.setattr(proving, "sizes_of", lambda *_: (Measure("face dot", 6.0, 5.996, 6.004), off))
    result = run("coupon", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job")
    assert result.exit_code == 3
    said = "face dot +0.025: 6.0190 to 6.0255 mm where 6.0250 mm is stated (within 0.005 mm)"
    assert said in result.stderr.splitlines()
    assert "face dot: " not in result.stderr
    assert "nothing was saved" in result.stderr
    assert list(tmp_path.iterdir()) == []
