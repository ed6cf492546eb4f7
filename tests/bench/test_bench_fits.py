"""Fits of the bench: what a coupon has, what fits goes into the board and into the notebook, what figures say."""

import shutil
import tomllib
from pathlib import Path
from typing import Any

import pytest

from benches import EXAMPLES, Open
from inlaid import BOARD

MACHINE = "benchtop-arcs"
PROFILES = Path(__file__).parents[2] / "machine_profiles"


def piece(bench: Open, name: str, **asked: Any) -> dict[str, Any]:
    told = bench.post("piece", {"name": name, "kind": "coupon", "machine": MACHINE, **asked})
    assert told.status_code == 200, told.text
    return dict(told.json())


def test_a_coupon_says_which_sizes_it_has(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "sizes")
    planned = piece(bench, "sizes", smallest="-0.02", largest="0.04", step="0.02")
    dots = planned["trials"][0]
    assert (dots["group"], dots["table"]) == ("face dots", "face_dots")
    assert [each["fit_mm"] for each in dots["samples"]] == pytest.approx([-0.02, 0.0, 0.02, 0.04])
    assert [each["size_mm"] for each in dots["samples"]] == pytest.approx([3.98, 4.0, 4.02, 4.04])
    assert all(f'data-name="{each["name"]}"' in planned["strip"] for each in dots["samples"])
    assert planned["command"].endswith("--smallest -0.02 --largest 0.04 --step 0.02 -o sizes-coupon")


def test_a_part_of_the_coupon_is_chosen_by_group(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "part")
    planned = piece(bench, "part", only=["side dots"])
    assert planned["groups"] == ["face dots", "frets", "side dots"]
    assert [trial["group"] for trial in planned["trials"]] == ["side dots"]
    assert planned["command"].endswith("--only 'side dots' -o part-coupon")
    refused = piece(bench, "part", only=["side dots"], scrap="20x20x6")
    assert refused["refused"][0]["key"] == "--scrap" and refused["groups"] == planned["groups"]


def test_scrap_that_is_too_small_is_told(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "sizes")
    assert piece(bench, "sizes", scrap="20x20x6")["refused"][0]["key"] == "--scrap"
    assert piece(bench, "sizes", scrap="large")["refused"][0]["key"] == "--scrap"


def test_a_fit_goes_into_the_board_and_into_the_notebook(bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "fitted")
    before = path.read_text("utf-8").splitlines()
    (dots, *_) = piece(bench, "fitted")["trials"]
    take = {"name": "fitted", "group": "face dots", "fit_mm": 0.025, "cutter": dots["cutter"], "with_what": "shell 1.3",
            "note": True}  # fmt: skip
    assert bench.post("fit", take).json()["fit"] == 0.025
    after = path.read_text("utf-8").splitlines()
    assert [line for line in after if line not in before] == ["fit = 0.025"]
    assert [line for line in before if line not in after] == []
    notebook = bench.folder / "fits.toml"
    note = {"cutter": "end mill 3.000 mm", "wood": "maple", "of": "face dots", "fit_mm": 0.025, "with": "shell 1.3"}
    assert note in tomllib.loads(notebook.read_text("utf-8"))["fit"]
    bench.post("fit", {**take, "fit_mm": 0.05})
    noted = [each for each in tomllib.loads(notebook.read_text("utf-8"))["fit"] if each.get("with") == "shell 1.3"]
    assert noted == [{**note, "fit_mm": 0.05}]  # what is found again takes the place of what it was
    (dots, *_) = piece(bench, "fitted")["trials"]
    assert {**note, "fit_mm": 0.05, "fit": "+0.050 mm"} in dots["known"] and dots["now_mm"] == 0.05
    assert "fits" not in {each["name"] for each in bench.client.get("/api/boards").json()["boards"]}


def test_what_is_known_is_offered_for_boards_of_its_wood(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "known")
    bench.post("fit", {"name": "known", "group": "side dots", "fit_mm": 0.075, "cutter": "end mill 1.000 mm",
                       "with_what": "rod 2", "note": True})  # fmt: skip
    note = {"table": "side_dots", "key": "fit", "with": "rod 2", "cutter": "end mill 1.000 mm", "fit_mm": 0.075}
    told = bench.post("fits-known", {"wood": "maple", "unit": "mm"}).json()["known"]
    assert {**note, "typed": "0.075"} in told
    assert {**note, "typed": "0.075 mm"} in bench.post("fits-known", {"wood": "maple", "unit": "in"}).json()["known"]
    assert bench.post("fits-known", {"wood": "ebony", "unit": "mm"}).json()["known"] == []


def test_a_file_of_inches_gets_a_fit_that_says_its_unit(bench: Open) -> None:
    path = bench.copy("tideway-bass", "inches")
    bench.post("fit", {"name": "inches", "group": "side dots", "fit_mm": 0.025})
    assert tomllib.loads(path.read_text("utf-8"))["side_dots"]["fit"] == "0.025 mm"


def test_fits_of_a_board_in_inches_are_told_in_inches(bench: Open) -> None:
    bench.copy("tideway-bass", "bass-fits")
    trials = piece(bench, "bass-fits", smallest="0 in", largest="0.002 in", step="0.001 in")["trials"]
    (dots,) = [each for each in trials if each["group"] == "side dots"]
    assert [each["fit"] for each in dots["samples"]] == ["+0.0000 in", "+0.0010 in", "+0.0020 in"]
    assert dots["now"] == f"{'−' if dots['now_mm'] < 0 else '+'}{abs(dots['now_mm']) / 25.4:.4f} in"
    assert all(each["size"] == f"{each['size_mm'] / 25.4:.4f} in" for each in dots["samples"])
    order = {"name": "bass-fits", "kind": "calibration"}
    asked = {each["what"]: each["should"] for each in piece(bench, **order)["asked"]}
    assert all(each.endswith(" in") for each in asked.values())
    told = bench.post("measured", {**order, "machine": MACHINE, "measured": {"slots 1 and 2": "0.130"}}).json()["told"]
    assert [each["said"][-3:] for each in told if each["concern"] == "runout"] == [" in"]


def test_a_fit_of_a_board_with_a_drawing_beside_it_is_noted_too(bench: Open) -> None:
    bench.copy("tern-vine", "vine-fits")
    shutil.copy(EXAMPLES / "tern-vine.svg", bench.folder / "tern-vine.svg")
    bench.post("fit", {"name": "vine-fits", "group": "face dots", "fit_mm": 0.031, "cutter": "end mill 3.000 mm",
                       "with_what": "shell 6", "note": True})  # fmt: skip
    known = bench.post("fits-known", {"wood": "ebony", "unit": "mm"}).json()["known"]
    assert [each["fit_mm"] for each in known if each["with"] == "shell 6"] == [0.031]


INLAID = """\
unit = "mm"
[scale]
length = 632
frets = 12
[board]
length = 340
nut_width = 44
end_width = 52
thickness = 6.5
[[inlay]]
shape = "oval"
frets = [5]
length = 14
width = 9
thickness = 1.5
gap = 0.08
[[inlay]]
shape = "oval"
name = "small"
frets = [3]
length = 9
width = 6
thickness = 1.5
gap = 0.04
"""


def test_a_gap_that_is_found_goes_to_the_inlay_that_was_tried(bench: Open) -> None:
    path = bench.folder / "inlaid.toml"
    path.write_text(INLAID, encoding="utf-8")
    (pockets,) = piece(bench, "inlaid", smallest="-0.02", largest="0.02", step="0.02")["trials"]
    assert (pockets["group"], pockets["now_mm"], pockets["at"]) == ("inlays", 0.04, ["inlay", 1, "gap"])
    assert [each["fit_mm"] for each in pockets["samples"]] == pytest.approx([0.03, 0.04, 0.05])
    take = {"name": "inlaid", "group": "inlays", "fit_mm": 0.05}
    assert bench.post("fit", {**take, "at": pockets["at"]}).json()["fit"] == 0.05
    assert [each["gap"] for each in tomllib.loads(path.read_text("utf-8"))["inlay"]] == [0.08, 0.05]
    assert bench.post("fit", {**take, "at": ["inlay", 1, "detail"]}).status_code == 400


def test_an_inlay_is_tried_with_its_piece_either_way(bench: Open) -> None:
    (bench.folder / "pearl.toml").write_text(BOARD.format(gap=0.05), encoding="utf-8")
    asked = {"kind": "inlay", "smallest": "-0.02", "largest": "0.02", "step": "0.02"}
    planned = piece(bench, "pearl", **asked, of="ring")
    assert planned["inlays"] == ["moon", "ring", "moon 3", "moon 5", "ring 7"]
    (pockets,) = planned["trials"]
    assert (pockets["noun"], pockets["at"], pockets["now_mm"]) == ("inlay pocket", ["inlay", 1, "gap"], 0.05)
    assert [each["fit_mm"] for each in pockets["samples"]] == pytest.approx([0.03, 0.05, 0.07])
    assert planned["command"].endswith("--kind inlay --smallest -0.02 --largest 0.02 --step 0.02 --of ring "
                                       "-o pearl-inlay-coupon")  # fmt: skip
    (many,) = (turned := piece(bench, "pearl", **asked, of="ring", several="pieces"))["trials"]
    assert (many["noun"], many["at"]) == ("piece", pockets["at"]) and "from number 1, the largest, up" in many["how"]
    assert [each["fit_mm"] for each in many["samples"]] == pytest.approx([0.03, 0.05, 0.07])
    assert all(f'data-name="{each["name"]}"' in turned["strip"] for each in many["samples"])
    assert "--of ring --steps-of pieces -o pearl-inlay-coupon" in turned["command"]
    assert piece(bench, "pearl", **asked, of="rung")["refused"][0]["key"] == "--of"
    order = {"name": "pearl", "machine": MACHINE, **asked}
    assert bench.post("piece", {**order, "several": "both"}).status_code == 400
    assert bench.post("piece", {**order, "only": ["frets"]}).status_code == 400
    take = {"name": "pearl", "group": "inlays", "fit_mm": 0.07, "at": many["at"]}
    assert bench.post("fit", take).json()["fit"] == 0.07
    gaps = [each["gap"] for each in tomllib.loads((bench.folder / "pearl.toml").read_text("utf-8"))["inlay"]]
    assert gaps == [0.05, 0.07]


@pytest.mark.parametrize(
    "asked", [{"group": "trims", "fit_mm": 0.1}, {"group": "x"}, {"group": "frets", "fit_mm": "1"}]
)
def test_what_is_no_fit_is_refused(bench: Open, asked: dict[str, Any]) -> None:
    bench.copy("wren-tenor-ukulele", "sizes")
    assert bench.post("fit", {"name": "sizes", **asked}).status_code == 400


def test_measured_figures_are_told_and_a_runout_is_filled_in(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "measured")
    shutil.copy(PROFILES / "benchtop-arcs.toml", bench.folder / "my router.toml")
    order = {"name": "measured", "kind": "calibration", "machine": "./my router.toml"}
    planned = piece(bench, **order)
    assert "square, from its near left corner" in [each["what"] for each in planned["asked"]]
    said = bench.post("measured", {**order, "measured": {"slots 1 and 2": "3.03"}}).json()
    assert [(each["concern"], round(each["figure"], 3)) for each in said["told"]] == [("runout", 0.03)]
    wrong = bench.post("measured", {**order, "measured": {"slots 1 and 2": "wide"}}).json()["wrong"]
    assert list(wrong) == ["slots 1 and 2"]
    fill = {**order, "number": planned["cutter"], "runout_mm": 0.03}
    assert bench.post("runout", fill).status_code == 200
    held = (bench.folder / "my router.toml").read_text("utf-8")
    (cutter,) = [each for each in tomllib.loads(held)["cutter"] if each["number"] == planned["cutter"]]
    assert cutter["runout"] == 0.03
    assert len(held.splitlines()) >= len((PROFILES / "benchtop-arcs.toml").read_text("utf-8").splitlines())
    assert bench.post("runout", {**fill, "machine": MACHINE}).status_code == 409
    assert bench.post("runout", {**fill, "runout_mm": 7}).status_code == 422
