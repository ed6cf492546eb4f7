"""Turned boards: what programs cut lies where the layout, turned by the measured angle, has it; read from the bytes."""

import json
import math
import re
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from example_jobs import tall_profiles
from pageless import without_pages
from pearlkerf.board.reader import read_board
from pearlkerf.cli import main
from pearlkerf.layout.features import Hole, Slot
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.layout.model import Layout
from pearlkerf.setups.set_up import set_up
from words_of import Go, goes

EXAMPLES = Path(__file__).parents[1] / "examples"
STEEL = EXAMPLES / "harbour-steel-string.toml"  # 448 mm long, 632 mm scale; through slots that follow the radius
WREN = EXAMPLES / "wren-tenor-ukulele.toml"  # a blank, stopped slots
FERRY = EXAMPLES / "ferry-left-handed-electric.toml"  # radiused already, left-handed
TURNED_MM = 0.003


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def cut(folder: Path, example: Path, profile: str, *at: str) -> dict[str, bytes]:
    options = [part for each in at for part in ("--at", each)]
    with without_pages():
        result = run("cut", example, "-m", profile, "-o", folder, *options)
    assert result.exit_code == 0, result.stderr
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.name[0].isdigit()}


def laid_out(example: Path) -> Layout:
    board = read_board(example).board
    assert board is not None
    return lay_out(board)


def local(go: Go, place: tuple[float, float], angle_deg: float) -> tuple[float, float]:
    """Give a place on the machine as along and across a board that was turned, from a place on it: turned back."""
    a = math.radians(-angle_deg)
    return (
        go.x * math.cos(a) - go.y * math.sin(a) - place[0],
        go.x * math.sin(a) + go.y * math.cos(a) - place[1],
    )


def farthest_off_mm(texts: dict[str, bytes], layout: Layout, angle_deg: float) -> dict[str, float]:
    """Give how far what is cut in the face lies off, by feature: slots beside their line, holes beside their wall."""
    features = {each.name: each for each in (*layout.slots, *layout.face_dots)}
    found: dict[str, float] = {}
    for name, text in texts.items():
        if "face" not in name:
            continue
        for comment, run_of in groupby(goes(text), key=lambda go: go.comment):
            feature = features.get(comment) or features.get(comment.partition(", ")[0])
            if feature is None:
                continue
            cuts = [go for go in run_of if go.code not in ("G0", "M0", "M3", "M5") and go.z < -0.01]
            found[feature.name] = _off_mm(cuts, feature, angle_deg)
    assert len(found) == len(set_up(layout).setups[0].features)
    return found


def _off_mm(cuts: list[Go], feature: Slot | Hole, angle_deg: float) -> float:
    if isinstance(feature, Slot):
        places = [local(go, feature.start, angle_deg) for go in cuts]
        across = [x for x, _ in places]
        length = feature.end[1] - feature.start[1]
        low, high = min(y for _, y in places), max(y for _, y in places)
        beside = abs(max(across) + min(across)) / 2  # lanes lie evenly on both sides
        # a through slot runs out of the wood at both ends alike, a stopped one stops short of them alike
        uneven = abs((0.0 - low) - (high - length)) / 2
        return max(beside, uneven if not feature.through else 0.0, *(abs(x) - 0.1 for x in across))
    floor = min(go.z for go in cuts)
    ring = np.array([local(go, feature.centre, angle_deg) for go in cuts if go.z < floor + 0.004])
    radii = np.hypot(*ring.T)
    if radii.max() < 0.1:  # drilled
        return float(radii.max())
    outer = ring[radii > radii.max() - 0.02]
    # the circle through the outermost places, by least squares: x^2 + y^2 = 2 a x + 2 b y + c
    middle, *_ = np.linalg.lstsq(np.column_stack([2 * outer, np.ones(len(outer))]), (outer**2).sum(axis=1))
    return float(np.hypot(*middle[:2]))


@pytest.mark.parametrize("profile", tall_profiles())
@pytest.mark.parametrize(("example", "angle"), [(STEEL, -1.3), (WREN, 0.4), (FERRY, 2.1)])
def test_features_lie_where_the_turned_layout_has_them(
    example: Path, angle: float, profile: str, tmp_path: Path
) -> None:
    layout = laid_out(example)
    length, turn = layout.board.length_mm, math.radians(angle)
    texts = cut(tmp_path, example, profile, f"{length * math.cos(turn)} mm,{length * math.sin(turn)} mm")
    off = farthest_off_mm(texts, layout, angle)
    assert max(off.values()) <= TURNED_MM, off
    assert max(farthest_off_mm(texts, layout, angle + 0.01).values()) > TURNED_MM


def test_the_edge_is_cut_as_if_the_face_lay_straight(tmp_path: Path) -> None:
    each = (cut(tmp_path / "a", STEEL, "benchtop-arcs", "448,6"), cut(tmp_path / "b", STEEL, "benchtop-arcs"))
    turned, straight = ([list(goes(text)) for name, text in texts.items() if "edge" in name] for texts in each)
    assert turned == straight


def test_prove_moves_the_demand_with_the_marks(tmp_path: Path) -> None:
    texts = cut(tmp_path / "job", STEEL, "benchtop-arcs", "447.97,-5.1", "fret 12=315.95,-3.6")
    programs = [tmp_path / "job" / name for name in texts]
    marks = ("--at", "447.97,-5.1", "--at", "fret 12=315.95,-3.6")
    proved = run("prove", *programs, STEEL, "-m", "benchtop-arcs", *marks, "--json")
    assert proved.exit_code == 0, proved.stderr
    assert json.loads(proved.stdout)["proved"] is True
    for wrong in ((), ("--at", "448,-4.6")):
        found = run("prove", *programs, STEEL, "-m", "benchtop-arcs", *wrong, "--json")
        assert found.exit_code == 3
        assert {finding["rule"] for finding in json.loads(found.stdout)["findings"]} >= {6, 7}
        assert "say with which --at they were made" in found.stderr
    # tan a = (448 * -5.1 + 316 * -3.6) / (448 * 447.97 + 316 * 315.95)
    head = " ".join(texts[programs[0].name].decode("ascii").replace(")\n(- ", " ").split())
    assert "turned 0.6524 degrees clockwise" in head
    text = texts[programs[0].name].decode("ascii")
    for said in (
        "turned 0.6534 degrees clockwise",
        "turned 0.6524 degrees counter-clockwise",
        "turned x degrees clockwise",
    ):
        programs[0].write_text(text.replace("turned 0.6524 degrees clockwise", said), encoding="ascii")
        found = run("prove", programs[0], STEEL, "-m", "benchtop-arcs", *marks, "--json")
        messages = [finding["message"] for finding in json.loads(found.stdout)["findings"] if finding["rule"] == 1]
        assert any("lies turned by" in message and "held against -0.6524" in message for message in messages)
    record = json.loads((tmp_path / "job" / "job.json").read_text())
    assert record["at"] == ["447.97 mm,-5.1 mm", "fret 12=315.95 mm,-3.6 mm"]
    assert record["turned_deg"] == pytest.approx(-0.6524, abs=1e-4)


def test_a_wrong_board_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    for option in ("fret 12=318.5,0.1", "450,0", "0,448"):
        result = run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", "--at", option)
        assert result.exit_code == 1
        assert result.stderr.startswith("--at: ")
    told = run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", "--at", "fret 12=318.5,0", "--json")
    (error,) = json.loads(told.stdout)["errors"]
    assert "a scale length of 637.00 mm" in error["hint"]
    assert list(tmp_path.iterdir()) == []
    programs = list(cut(tmp_path / "other", STEEL, "benchtop-arcs"))
    result = run("prove", tmp_path / "other" / programs[0], STEEL, "-m", "benchtop-arcs", "--at", "450,0")
    assert result.exit_code == 1


@pytest.mark.parametrize("option", ["448", "1,2,3", "=448,0", "448,", "448 m,0", "fret 12=1e3,0", "nan,0", "448,0,35"])
def test_what_is_no_mark_is_a_wrong_command(option: str, tmp_path: Path) -> None:
    result = run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", "--at", option)
    assert result.exit_code == 2
    assert "--at" in result.stderr


def test_lengths_are_in_the_files_unit_or_say_their_own(tmp_path: Path) -> None:
    in_mm = cut(tmp_path / "a", STEEL, "benchtop-arcs", "448,0.9525")
    assert cut(tmp_path / "b", STEEL, "benchtop-arcs", "44.8 cm, 37.5 thou") == in_mm
    board = tmp_path / "inches.toml"
    board.write_text(
        STEEL.read_text(encoding="utf-8").replace('unit = "mm"', 'unit = "in"', 1), encoding="utf-8"
    )  # its bare numbers then make no board; the mark's unit is what is asked here
    result = run("cut", board, "-m", "benchtop-arcs", "-o", tmp_path / "c", "--at", "17,0")
    assert result.exit_code == 1


def test_a_slow_axis_keeps_its_limit_when_the_board_is_turned(tmp_path: Path) -> None:
    profile = tmp_path / "slow.toml"
    text = run("machines", "benchtop-arcs").stdout
    profile.write_text(text.replace("feed_limit = [", "feed_limit = [5, 1500, 500] # [", 1), encoding="utf-8")
    result = run("cut", STEEL, "-m", profile, "-o", tmp_path / "job", "--at", "444.6,55.1")
    assert result.exit_code == 0, result.stderr


BASS = EXAMPLES / "tideway-bass.toml"
BARE = Path(__file__).parent / "profiles" / "small-bare.toml"  # 300 mm of travel, no carrier
CHECK = re.compile(r"check that its centre line passes X (\S+) Y (\S+) and X (\S+) Y (\S+)\)")


def moves_in(text: bytes) -> list[tuple[float, float]]:
    """X and Y of every feed, by a plain reading."""
    place, found, feeding = {"X": math.nan, "Y": math.nan}, [], False
    for line in text.decode("ascii").splitlines():
        if line.startswith("("):
            continue
        words = dict(re.findall(r"([GXY])(-?[\d.]+)", line))
        feeding = words.get("G", "1" if feeding else "0") in ("1", "2", "3")
        place |= {axis: float(words[axis]) for axis in "XY" if axis in words}
        if feeding:
            found.append((place["X"], place["Y"]))
    return found


def test_whoever_obeys_the_words_in_every_position_cuts_along_the_middle_of_the_board(tmp_path: Path) -> None:
    """Laid so that its centre line passes where the head of each position says, the board is cut evenly about it."""
    with without_pages():
        result = run("cut", BASS, "-m", BARE, "-o", tmp_path / "job", "--at", "660.38 mm,5.2 mm")
    assert result.exit_code == 0, result.stderr
    slots = [path for path in sorted((tmp_path / "job").iterdir()) if re.match(r"\d+-face-\d+-cutter-1", path.name)]
    assert len(slots) > 1
    for path in slots[1:]:
        head = path.read_text(encoding="ascii").replace(")\n(- ", " ")
        x, y, other_x, other_y = map(float, CHECK.search(head).groups())
        slope = (other_y - y) / (other_x - x)
        beside: dict[float, list[float]] = {}
        for at_x, at_y in moves_in(path.read_bytes()):
            beside.setdefault(round(at_x, 1), []).append(at_y - (y + slope * (at_x - x)))
        assert max(abs(max(each) + min(each)) for each in beside.values()) < 0.02
    told = [line for line in result.stderr.splitlines() if "is zeroed again on the slot of" in line]
    assert len(told) == len(slots) - 1


def test_programs_of_a_later_position_are_proved_with_its_own_marks(tmp_path: Path) -> None:
    with without_pages():
        first = run("cut", BASS, "-m", BARE, "-o", tmp_path / "first")
    assert first.exit_code == 0, first.stderr
    head = next((tmp_path / "first").glob("*-face-2-*")).read_text(encoding="ascii").replace(")\n(- ", " ")
    fret = int(re.search(r"zeroed again on the slot of fret (\d+)", head)[1])
    away, turn = 26 * 25.4 - 34 * 25.4 * (1 - 2 ** (-fret / 12)), math.radians(0.5)
    mark = f"face-2={away * math.cos(turn):.4f} mm,{away * math.sin(turn):.4f} mm"
    with without_pages():
        result = run("cut", BASS, "-m", BARE, "-o", tmp_path / "job", "--at", "660.38 mm,5.2 mm", "--at", mark)
    assert result.exit_code == 0, result.stderr
    programs = sorted((tmp_path / "job").glob("*-face-2-*"))
    head = programs[0].read_text(encoding="ascii").replace(")\n(- ", " ")
    assert f"said by --at {mark})" in head and "turned 0.5000 degrees counter-clockwise about zero" in head
    for marks, proved in ((("--at", "660.38 mm,5.2 mm", "--at", mark), True), (("--at", mark), True), ((), False)):
        found = run("prove", *programs, BASS, "-m", BARE, *marks, "--json")
        assert (found.exit_code == 0) is proved, found.stderr
        assert ("say with which --at they were made" in found.stderr) is not proved
