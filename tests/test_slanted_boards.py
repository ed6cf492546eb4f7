"""A board with slanted frets, as the programs that are saved cut it, against lines drawn through both scales.

Nothing here comes from layout or proof: text is read as plain words.
"""

import json
import math
import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from pearlkerf.cli import main

EXAMPLE = Path(__file__).parents[1] / "examples" / "curlew-slanted-seven.toml"
INCH = 25.4
WORD = re.compile(r"([XYZ])(-?[\d.]+)")
# what a program may lie beside the lines, mm: its last digit, in X and in Y, and as much again
NEAR_MM = 0.002


def run(*arguments: object):
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert result.exit_code == 0, result.stderr
    return result


@cache
def programs(hand: str, folder: Path) -> dict[str, str]:
    board = folder / "board.toml"
    text = EXAMPLE.read_text(encoding="utf-8").replace('wood = "ebony"', f'wood = "ebony"\nhand = "{hand}"')
    board.write_text(text, encoding="utf-8")
    run("cut", board, "-m", "benchtop-arcs", "-o", folder / "job")
    return {path.name: path.read_text() for path in (folder / "job").glob("*.nc")}


@pytest.fixture(scope="module", params=["right", "left"])
def cut(request, tmp_path_factory) -> tuple[str, dict[str, str]]:
    return request.param, programs(request.param, tmp_path_factory.mktemp(request.param))


def below(text: str) -> dict[str, np.ndarray]:
    """Give (n, 2) places of the tip below the top, by the comment that names what is cut there."""
    found, name, at = {}, "", {"X": 0.0, "Y": 0.0, "Z": 9.0}
    for line in text.splitlines():
        if match := re.fullmatch(r"\(([a-z ]+ \d+[a-z ,]*)\)", line):
            name = match[1]
        at |= {letter: float(value) for letter, value in WORD.findall(line) if not line.startswith("(")}
        if at["Z"] < 0:
            found.setdefault(name, []).append((at["X"], at["Y"]))
    return {name: np.array(places) for name, places in found.items()}


def fret(number: int, hand: str) -> tuple[np.ndarray, np.ndarray]:
    """Give a fret's points on the two outer strings of the example, worked out from its scales and spreads alone."""
    share, square = (1 - 2 ** (-n / 12) for n in (number, 7))
    middle, apart = share * (27 + 25.5) / 2 * INCH, (share - square) * 1.5 * INCH
    half, side = (42 + (63 - 42) * share) / 2, -1 if hand == "right" else 1
    return np.array([middle + apart / 2, side * half]), np.array([middle - apart / 2, -side * half])


def test_every_slot_is_cut_on_the_line_through_both_scales(cut: tuple[str, dict[str, str]]) -> None:
    hand, texts = cut
    places = below(texts["2-face-cutter-1.nc"])
    assert len(places) == 24
    for number in range(1, 25):
        bass, treble = fret(number, hand)
        along = (treble - bass) / math.dist(bass, treble)
        side = "bass" if hand == "right" else "treble"
        away = places[f"fret {number}, {side} side first"] - bass
        assert np.abs(away @ [along[1], -along[0]]).max() < NEAR_MM
        assert (away @ along).min() < 0.0 and (away @ along).max() > math.dist(bass, treble)


def test_every_face_dot_lies_midway_between_the_two_frets(cut: tuple[str, dict[str, str]]) -> None:
    hand, texts = cut
    for name, places in below(texts["1-face-cutter-2.nc"]).items():
        number = int(re.search(r"\d+", name)[0])
        x, y = places[:3].mean(axis=0)  # a turn of the bore is three arcs, a third of a turn each
        crossed = [_at(fret(each, hand), y) for each in (number - 1, number)]
        assert x == pytest.approx(sum(crossed) / 2, abs=NEAR_MM)


def _at(ends: tuple[np.ndarray, np.ndarray], y: float) -> float:
    (x, low), (far, high) = ends
    return float(x + (y - low) / (high - low) * (far - x))


def test_pointing_coupon_parts_and_a_board_that_lies_askew(tmp_path: Path) -> None:
    """Every branch takes a slanted board: what is saved has been proved."""
    asked = ("--at", "fret 12=333.37,0.5", "--pointing", "--only", "frets 11-13")
    told = json.loads(run("cut", EXAMPLE, "-m", "benchtop-arcs", "-o", tmp_path / "a", *asked, "--json").stdout)
    assert told["proof"]["proved"] is True and "1-face-pointing.nc" in told["files"]
    run("coupon", EXAMPLE, "-m", "benchtop-arcs", "-o", tmp_path / "b", "--kind", "fits")
    for ending in ("pdf", "svg", "dxf", "csv"):
        run("paper", EXAMPLE, "-o", tmp_path / f"template.{ending}")
    head, *rows = (tmp_path / "template.csv").read_text().splitlines()
    assert head.startswith("what,fret") and len(rows) == 24 + 11 + 11


def test_check_tells_where_frets_cross_both_edges() -> None:
    told = json.loads(run("check", EXAMPLE, "--json").stdout)
    assert {"along_mm", "treble_along_mm"} < set(told["frets"][11])
    text = run("check", EXAMPLE).stdout
    assert "scale 685.800 mm bass, 647.700 mm treble" in text and "along treble edge" in text


def test_a_saw_alone_does_not_cut_slanted_slots_and_an_end_mill_is_asked_for(tmp_path: Path) -> None:
    profile = run("machines", "workshop-saw").stdout
    machine = tmp_path / "saw.toml"
    machine.write_text(re.sub(r"diameter = 0\.\d+", "diameter = 3", profile), encoding="utf-8")
    board = tmp_path / "board.toml"
    text = EXAMPLE.read_text(encoding="utf-8").replace('ends = "stopped"\nmargin = 2\n', "")
    board.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(main, ["cut", str(board), "-m", str(machine), "-o", str(tmp_path / "job")])
    assert result.exit_code == 1
    assert "aslant from end to end, and the blade runs straight across the machine" in result.stderr
    assert 'add a [[cutter]] of kind "end mill" to the profile' in result.stderr


STEEP = """\
unit = "mm"
[scale]
length = { bass = 680, treble = 649 }
square_at = 24
frets = 24
[strings]
spread_at_nut = 36
spread_at_bridge = 54
[board]
wood = "ebony"
length = 520
nut_width = 43
end_width = 58
thickness = 7
radius = "10 in"
[fret_slots]
width = 0.58
depth = 2
"""
# slants of frets 1, 5 and 10 of that board, degrees, from its scales and spreads alone
SLANTS = {1: 30.2, 5: 20.9, 10: 12.4}
CUTTERS = {"benchtop-arcs": (0.58, "1-face-cutter-1.nc"), "workshop-saw": (0.5, "1-face-cutter-2.nc")}


def steep(number: int) -> tuple[np.ndarray, np.ndarray]:
    """Give a fret's points on the outer strings of that board."""
    share = 1 - 2 ** (-number / 12)
    middle, apart, half = share * 664.5, (share - 0.75) * 31.0, (36 + 18 * share) / 2
    return np.array([middle + apart / 2, -half]), np.array([middle - apart / 2, half])


def reached(places: np.ndarray, radius: float) -> np.ndarray:
    """The lowest that a flat disc gets at places (n, 2): on the highest place under it of 2.2 mm below R 254."""
    angle = np.arange(180) * math.pi / 90
    around = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    y = np.stack([places[:, 1, None] + ring * around[:, 1] for ring in np.linspace(0.0, radius, 7)])
    return np.asarray((-2.2 - (254.0 - np.sqrt(254.0**2 - y**2))).max(axis=(0, 2)))


@pytest.mark.parametrize("machine", CUTTERS)
def test_steep_slots_are_as_deep_as_a_flat_cutter_reaches_as_wide_as_asked_and_no_longer(
    machine: str, tmp_path: Path
) -> None:
    """Slots at 12, 20 and 30 degrees under a radius of 10 in, from the bytes that are saved."""
    diameter, file = CUTTERS[machine]
    (tmp_path / "board.toml").write_text(STEEP, encoding="utf-8")
    run("cut", tmp_path / "board.toml", "-m", machine, "-o", tmp_path / "job", "--only", "frets 1 5 10")
    found = floors((tmp_path / "job" / file).read_text())
    for number, slant in SLANTS.items():
        bass, treble = steep(number)
        along = (treble - bass) / math.dist(bass, treble)
        assert math.degrees(math.atan2(abs(along[0]), along[1])) == pytest.approx(slant, abs=0.05)
        tips = found[number]
        away = tips[:, :2] - bass
        across = np.abs(away @ [along[1], -along[0]])
        assert across.max() + diameter / 2 == pytest.approx(0.29, abs=0.005)
        on_board = tips[np.abs(tips[:, 1]) < 20.0]
        above = on_board[:, 2] - reached(on_board[:, :2], diameter / 2)
        assert above.min() > -0.006
        on_floor = np.sort(on_board[above < 0.006, 1])
        assert max(np.diff(on_floor).max(), on_floor[0] + 20.0, 20.0 - on_floor[-1]) < 0.4


def floors(text: str) -> dict[int, np.ndarray]:
    """Give (n, 3) places of the tip below the top, 0.2 mm apart at most, by fret."""
    found, number, at = {}, 0, np.array([0.0, 0.0, 9.0])
    for line in text.splitlines():
        if match := re.match(r"\(fret (\d+)", line):
            number = int(match[1])
        words = dict(WORD.findall(line)) if not line.startswith("(") else {}
        to = np.array([float(words.get(letter, value)) for letter, value in zip("XYZ", at, strict=True)])
        if at[2] < 0 and to[2] < 0:
            found.setdefault(number, []).append(np.linspace(at, to, max(2, math.ceil(math.dist(at, to) / 0.2))))
        at = to
    return {name: np.concatenate(parts) for name, parts in found.items()}
