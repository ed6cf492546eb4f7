"""Pointing runs through the commands: every place shown in every dialect, read from the bytes, never near the wood."""

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from example_jobs import tall_profiles
from pageless import without_pages
from pearlkerf.board.reader import read_board
from pearlkerf.cli import main
from pearlkerf.layout.features import Hole
from pearlkerf.layout.lay_out import lay_out
from pearlkerf.setups.set_up import set_up
from words_of import goes

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
STEEL = EXAMPLES / "harbour-steel-string.toml"
FERRY = EXAMPLES / "ferry-left-handed-electric.toml"  # radiused already
WREN = EXAMPLES / "wren-tenor-ukulele.toml"  # stopped slots
BASS = EXAMPLES / "tideway-bass.toml"  # longer than a compact router
STEP_MM = 0.0018  # half a step of 0.0001 in, in X and in Y


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def job(folder: Path, example: Path, profile: object, *options: str) -> dict[str, bytes]:
    with without_pages():
        result = run("cut", example, "-m", profile, "-o", folder, "--pointing", *options)
    assert result.exit_code == 0, result.stderr
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if "pointing" in path.name}


def turned(point: tuple[float, float], angle_deg: float) -> tuple[float, float]:
    a = math.radians(angle_deg)
    return point[0] * math.cos(a) - point[1] * math.sin(a), point[0] * math.sin(a) + point[1] * math.cos(a)


@pytest.mark.parametrize("profile", tall_profiles())
@pytest.mark.parametrize(
    ("example", "angle"), [(STEEL, 0.0), (FERRY, 0.9), (WREN, -0.6)], ids=lambda each: str(each)[-12:]
)
def test_every_place_is_shown_and_nothing_turns(example: Path, angle: float, profile: str, tmp_path: Path) -> None:
    board = read_board(example).board
    assert board is not None
    layout = lay_out(board)
    x, y = turned((board.length_mm, 0.0), angle)
    texts = job(tmp_path, example, profile, "--at", f"{x} mm,{y} mm", "--point-height", "1.5 mm")
    assert len(texts) == len(set_up(layout).setups)
    for setup in set_up(layout).setups:
        (text,) = (text for name, text in texts.items() if setup.name in name)
        moved = list(goes(text))
        stops = [go for go in moved if go.code == "M0" and go.z < 5.0]
        wanted = [point for each in setup.features
                  for point in ([each.centre] if isinstance(each, Hole) else [each.start, each.end])]  # fmt: skip
        angle_here = angle if setup.name == "face" else 0.0
        for point in wanted:
            px, py = turned(point, angle_here)
            assert min(math.hypot(go.x - px, go.y - py) for go in stops) <= STEP_MM
        assert len(stops) == len(wanted)
        assert not any(go.code == "M3" for go in moved)
        # the wood falls by y^2 / 2R or a little more under a radiused face, Z 0 is its highest
        low = min(go.z for go in moved if not math.isnan(go.z))
        assert low >= (1.5 - 2.0 if board.state == "radiused" else 1.5)
        names = {go.comment.partition(", tip")[0] for go in stops}
        assert {each.name for each in setup.features} <= {name.replace(", bass side", "").replace(", treble side", "")
                                                          for name in names} | names  # fmt: skip


def test_they_stand_before_the_cuts_and_on_card_page_and_record(tmp_path: Path) -> None:
    result = run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path, "--pointing", "--json")
    assert result.exit_code == 0, result.stderr
    told = json.loads(result.stdout)
    programs = [name for name in told["files"] if name.endswith(".nc")]
    assert programs == ["1-face-pointing.nc", "2-face-cutter-2.nc", "3-face-cutter-1.nc", "4-edge-pointing.nc",
                        "5-edge-cutter-3.nc"]  # fmt: skip
    assert {"name": "1-face-pointing.nc: nearest above the wood", "value": 1.0, "unit": "mm"} in told["proof"][
        "figures"
    ]
    record = json.loads((tmp_path / "job.json").read_text())
    assert record["point_height_mm"] == 1.0
    assert {each["file"] for each in record["files"]} >= set(programs)
    page = (tmp_path / "dry-run.html").read_text(encoding="utf-8")
    assert "1-face-pointing.nc, a pointing run: the spindle stays off" in page
    assert "Tip, mm above zero" in page
    assert '<td class="figure">1.000</td>' in page
    pypdf = pytest.importorskip("pypdf")
    card = " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(tmp_path / "job-card.pdf").pages).split())
    assert "1-face-pointing.nc: shows frets 1-20" in card
    assert "1-face-pointing.nc stops, from the nut end on, at fret 1, bass side; fret 1, treble side; fret 2" in card
    assert "disconnect it before the first start" in card
    # the cuts are those of the job without them
    assert run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "plain").exit_code == 0
    with_runs, plain = tmp_path / "3-face-cutter-1.nc", tmp_path / "plain" / "2-face-cutter-1.nc"
    assert list(goes(with_runs.read_bytes())) == list(goes(plain.read_bytes()))


def test_they_are_proved_alone_and_damage_is_found(tmp_path: Path) -> None:
    name, text = next(iter(job(tmp_path, STEEL, "benchtop-inch-hand").items()))
    program = tmp_path / name
    assert run("prove", program, STEEL, "-m", "benchtop-inch-hand").exit_code == 0
    stop = b"M0\nG20\nG17 G90 G94 G54\nG0 Z0.3\n(fret 2, bass side)"
    for old, new, rule in ((b"G1 Z0.0394", b"G1 Z0.0354", 6), (stop, b"(fret 2, bass side)", 7),
                           (b"(leave the spindle off, nothing is cut)", b"(set the spindle to 9000 rpm)", 3),
                           (b"G20\n", b"G20\nM3 S9000\n", 3)):  # fmt: skip
        assert old in text
        program.write_bytes(text.replace(old, new, 1))
        result = run("prove", program, STEEL, "-m", "benchtop-inch-hand", "--json")
        assert result.exit_code == 3
        assert {finding["rule"] for finding in json.loads(result.stdout)["findings"]} >= {rule}


def test_a_controller_without_comments_is_told_by_the_command_line(tmp_path: Path) -> None:
    profile = tmp_path / "bare.toml"
    profile.write_text(
        run("machines", "benchtop-arcs").stdout.replace("arcs = true", "comments = false\narcs = true", 1)
    )
    texts = job(tmp_path / "job", STEEL, profile)
    assert not any(b"(" in text for text in texts.values())
    known = ("--setup", "face", "--cutter", "2", "--pointing")
    program = tmp_path / "job" / "1-face-pointing.nc"
    assert run("prove", program, STEEL, "-m", profile, *known, "--point-height", "1").exit_code == 0
    assert run("prove", program, STEEL, "-m", profile, *known, "--point-height", "1.1").exit_code == 3
    assert run("prove", program, STEEL, "-m", profile, *known).exit_code == 3


def test_positions_have_their_own_and_each_place_comes_once(tmp_path: Path) -> None:
    texts = job(tmp_path, BASS, "compact-chords")
    assert [name for name in texts if "face" in name] == ["01-face-1-pointing.nc", "04-face-2-pointing.nc"]
    stops = [go.comment for text in texts.values() for go in goes(text) if go.code == "M0" and go.z < 5.0]
    assert len(stops) == len(set(stops))


@pytest.mark.parametrize(
    ("options", "code", "words"),
    [(("--pointing", "--point-height", "0.1"), 1, "at least 0.2 mm, less than the clearance of 8 mm"),
     (("--pointing", "--point-height", "8"), 1, "--point-height"),
     (("--point-height", "2"), 2, "--point-height goes with --pointing"),
     (("--pointing", "--point-height", "high"), 2, "--point-height")],
)  # fmt: skip
def test_heights_out_of_bounds_are_refused(options: tuple[str, ...], code: int, words: str, tmp_path: Path) -> None:
    result = run("cut", STEEL, "-m", "benchtop-arcs", "-o", tmp_path / "job", *options)
    assert result.exit_code == code
    assert words in result.stderr
    assert list(tmp_path.iterdir()) == []
