"""Boards longer than the travel, through the commands: fewest positions, every feature once, proved, told."""

import json
import re
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pages import data_of
from pearlkerf.cli import main

ROOT = Path(__file__).parents[1]
BASS = ROOT / "examples" / "tideway-bass.toml"
STEEL = ROOT / "examples" / "harbour-steel-string.toml"
PROFILES = ROOT / "tests" / "profiles"
ON_CARRIER, BARE = PROFILES / "small-carrier.toml", PROFILES / "small-bare.toml"
TRAVEL = 300.0
EVEN = 1e-6  # figures of programs are whole micrometres
CLAIM = re.compile(r"\(setup=(\S+) cutter=\d+ cuts=(frets|face dots|side dots|dowels) ([\d\- ]+)\)")
X = re.compile(r"X(-?[\d.]+)")
I = re.compile(r"I(-?[\d.]+)")  # noqa: E741 - the word's letter


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def cut(board: Path, machine: Path, folder: Path, *more: str) -> dict[str, str]:
    """Cut a board; give its programs, in order."""
    result = run("cut", board, "-m", machine, "-o", folder, *more)
    assert result.exit_code == 0, result.stderr
    files = json.loads((folder / "job.json").read_text())["files"]
    return {each["file"]: (folder / each["file"]).read_text() for each in files if each["file"].endswith(".nc")}


def text_of(pdf: Path) -> str:
    from pypdf import PdfReader

    return " ".join(" ".join(part.extract_text().split()) for part in PdfReader(pdf).pages)


@pytest.fixture(scope="module", params=[ON_CARRIER, BARE], ids=["carrier", "bare"])
def bass(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, dict[str, str]]:
    folder = tmp_path_factory.mktemp("bass") / "job"
    return request.param, folder, cut(BASS, request.param, folder)


def claimed(programs: dict[str, str]) -> list[tuple[str, int]]:
    """Give every feature that heads claim, as (group, number), as often as it is claimed."""
    found = []
    for text in programs.values():
        for _, group, numbers in CLAIM.findall(text):
            for part in numbers.split():
                first, _, last = part.partition("-")
                found += [(group, number) for number in range(int(first), int(last or first) + 1)]
    return found


def reaches(program: str) -> list[tuple[float, float]]:
    """Give the lowest and highest X of every named cut of a program, read from its words; circles count whole."""
    found: list[list[float]] = []
    x = 0.0
    for line in program.splitlines():
        if re.match(r"\((fret|face dot|side dot) \d", line):
            found.append([])
        word = X.search(line)
        if found and word and "M" not in line:
            if line.startswith("G3"):
                offset = float(I.search(line)[1])  # type: ignore[index]
                found[-1] += [x + offset - abs(1.5), x + offset + abs(1.5)]  # the orbit of a 3 mm mill in 6.35 mm
            x = float(word[1])
            found[-1].append(x)
    return [(min(places), max(places)) for places in found]


def fewest_by_pitch(spans: list[tuple[float, float]], pitch: float) -> int:
    """Try every set of whole pitches, at every left end of the travel where what it holds changes.

    X 0 lies within the travel with the board unmoved: left ends one pitch from each other differ in that alone.
    """
    ends = [low % pitch for low, _ in spans] + [(high - TRAVEL) % pitch for _, high in spans]
    for count in range(1, 9):
        for left in (end - pitch for end in ends):
            for steps in combinations(range(int(700 / pitch)), count):
                lows = [left + n * pitch for n in steps]
                if all(any(a >= low - EVEN and b <= low + TRAVEL + EVEN for low in lows) for a, b in spans):
                    return count
    raise AssertionError("no way")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[tuple[float, float]]]:
    """The reaches of the bass's cuts, read from the programs of a long machine."""
    folder = tmp_path_factory.mktemp("long") / "job"
    programs = cut(BASS, ROOT / "machine_profiles" / "benchtop-arcs.toml", folder)
    return {
        kind: [span for name, text in programs.items() if f"-{kind}-" in name for span in reaches(text)]
        for kind in ("face", "edge")
    }


@pytest.mark.parametrize(("pitch", "faces"), [(50, 3), (51, 2), (25, 3), (120, 3)])
def test_on_a_carrier_the_bass_comes_in_the_fewest_positions(
    whole: dict[str, list[tuple[float, float]]], pitch: int, faces: int, tmp_path: Path
) -> None:
    profile = tmp_path / "mine.toml"
    profile.write_text(ON_CARRIER.read_text("utf-8").replace("pitch = 50", f"pitch = {pitch}"), "utf-8")
    told = json.loads(run("check", BASS, "-m", profile, "--json").stdout)
    for kind, spans in whole.items():
        assert len(spans) == {"face": 36, "edge": 12}[kind]
        positions = {each["setup"] for each in told["cutters"] if each["setup"].startswith(kind)}
        assert len(positions) == fewest_by_pitch(spans, pitch)
        assert kind == "edge" or len(positions) == faces
    hints = [each["hint"] for each in told["warnings"] if "the face setup is longer" in each["found"]]
    assert hints == [{50: "with pitch = 51 in [carrier] it would be fewer", 51: "",
                      25: "with pitch = 24 in [carrier] it would be fewer",
                      120: "with pitch = 104 in [carrier] it would be fewer"}[pitch]]  # fmt: skip


def test_zeroed_on_slots_the_bass_comes_in_the_fewest_positions(
    whole: dict[str, list[tuple[float, float]]], tmp_path: Path
) -> None:
    told = json.loads(run("check", BASS, "-m", BARE, "--json").stdout)
    setups = {each["setup"] for each in told["cutters"]}
    assert setups == {"face-1", "face-2", "face-3", "edge-1", "edge-2"}
    # the first position holds the nut end, so nothing beyond 300 mm; the second holds a slot that the first cut
    slots = [high - 0.29 for low, high in whole["face"] if high - low < 1.5 and high <= TRAVEL]
    assert max(slots) + TRAVEL < max(high for _, high in whole["face"])  # two are too few
    assert max(high for _, high in whole["edge"]) - min(low for low, _ in whole["edge"]) > TRAVEL  # one is too few


def test_every_feature_of_the_bass_is_cut_once(bass: tuple[Path, Path, dict[str, str]]) -> None:
    dots = (3, 5, 7, 9, 12, 15, 17, 19, 21, 24)
    wanted = [("frets", n) for n in range(1, 25)] + [(group, n) for group in ("face dots", "side dots") for n in dots]
    assert sorted(claimed(bass[2])) == sorted(wanted)
    named = [line for text in bass[2].values() for line in text.splitlines() if re.match(r"\((face|side) dot \d", line)]
    assert len(named) == len(set(named)) == 24  # both holes of the doubles


def test_no_program_leaves_the_travel(bass: tuple[Path, Path, dict[str, str]]) -> None:
    machine, _, programs = bass
    places: dict[str, list[float]] = {}
    for name, text in programs.items():
        kind, number = re.search(r"-(face|edge)-(\d)-", name).groups()  # type: ignore[union-attr]
        zero = kind if machine == ON_CARRIER else f"{kind} {number}"
        places.setdefault(zero, [0.0]).extend(float(x) for x in X.findall(text))
    assert all(max(each) - min(each) <= TRAVEL for each in places.values())
    assert max(max(each) - min(each) for each in places.values()) > TRAVEL - 60  # and makes use of it


def test_positions_prove_one_by_one_and_together(bass: tuple[Path, Path, dict[str, str]]) -> None:
    machine, folder, programs = bass
    files = [folder / name for name in programs]
    assert run("prove", *files, BASS, "-m", machine).exit_code == 0
    assert run("prove", files[2], BASS, "-m", machine).exit_code == 0


def test_a_position_taken_for_another_is_not_proved(bass: tuple[Path, Path, dict[str, str]], tmp_path: Path) -> None:
    machine, _, programs = bass
    name, text = list(programs.items())[2]
    assert "face-2" in name
    wrong = tmp_path / "wrong.nc"
    wrong.write_text(text.replace("setup=face-2", "setup=face-3"))
    result = run("prove", wrong, BASS, "-m", machine)
    assert result.exit_code == 3 and "(rule 6)" in result.stderr
    wrong.write_text(text.replace("setup=face-2", "setup=face-9"))
    result = run("prove", wrong, BASS, "-m", machine)
    assert result.exit_code == 3 and "this board has no setup face-9" in result.stderr


def test_a_zero_that_the_tip_cannot_reach_is_found(bass: tuple[Path, Path, dict[str, str]], tmp_path: Path) -> None:
    machine, _, programs = bass
    name, text = next((name, text) for name, text in programs.items() if "edge-2" in name)
    far = max(float(x) for x in X.findall(text))
    stray = tmp_path / name
    stray.write_text(text.replace("G0 X", f"G0 X{far - 299.0:.3f}\nG0 X{far - 301.0:.3f}\nG0 X", 1))
    result = run("prove", stray, BASS, "-m", machine)
    assert result.exit_code == 3 and "(rule 4)" in result.stderr


def lines_in(sketch: str, layer: str) -> int:
    """Count the lines of a layer of a drawing on the page."""
    return sum(group.count("<line") for group in re.findall(rf'<g class="{layer}">(.*?)</g>', sketch))


def test_page_and_card_have_a_place_for_each_position(bass: tuple[Path, Path, dict[str, str]]) -> None:
    _, folder, programs = bass
    page = (folder / "dry-run.html").read_text("utf-8")
    card = text_of(folder / "job-card.pdf")
    for setup in ("face-1", "face-2", "face-3", "edge-1", "edge-2"):
        assert f"{setup} setup, from above" in page
        assert f"{setup.capitalize()} setup" in card
    assert "osition 2 of 3 along X" in card and "osition 2 of 3 along X" in page
    assert all(name in card for name in programs)
    sketches = page.split('<figure class="sketch"')[1:]
    faint, fresh = ([lines_in(sketch, layer) for sketch in sketches] for layer in ("cut-before", "cut-slots"))
    assert faint[0] == 0 < faint[1] < faint[2] and faint[2] + fresh[2] == 24  # what earlier positions cut is faint
    assert len(data_of(page)["programs"]) == len(programs)


def test_the_warning_says_how_and_what_is_surer(tmp_path: Path) -> None:
    result = run("check", BASS, "-m", BARE)
    assert result.exit_code == 0
    assert "the face setup is longer than the 11.811 in of travel in X of small-bare: it is cut in 3 positions" in (
        result.stderr
    )
    assert "[carrier] pitch = 50" in result.stderr
    assert "face-2" in result.stdout


def test_a_board_that_no_slot_helps_is_refused_with_the_key_that_does(tmp_path: Path) -> None:
    text = BASS.read_text("utf-8").replace('depth = "2 mm"', 'depth = "2 mm"\nends = "stopped"')
    board = tmp_path / "stopped.toml"
    board.write_text(text, "utf-8")
    result = run("cut", board, "-m", BARE, "-o", tmp_path / "job")
    assert result.exit_code == 1 and not (tmp_path / "job").exists()
    assert "board.length: the edge setup needs 20.850 in of travel in X (at most 11.811 in" in result.stderr
    assert "[carrier] pitch = 50 in the profile" in result.stderr
    assert run("cut", board, "-m", ON_CARRIER, "-o", tmp_path / "job").exit_code == 0


@pytest.mark.parametrize(
    "change", ['unit = "in"', 'cutter_change = "stop"', 'cutter_change = "automatic"', "arcs = false"]
)
def test_positions_in_other_dialects(change: str, tmp_path: Path) -> None:
    key = change.split(" ")[0]
    text = re.sub(rf"(?m)^{key} = .*$", change, ON_CARRIER.read_text("utf-8"))
    text = text.replace("decimals = 3", "decimals = 4") if "in" in change.split('"') else text
    profile = tmp_path / "mine.toml"
    profile.write_text(text.replace("x = 300", "x = 250"), "utf-8")
    programs = cut(STEEL, profile, tmp_path / "job")
    assert len(claimed(programs)) == len(set(claimed(programs))) == 20 + 7 + 8
    steps = sorted({int(a) for text in programs.values() for a in re.findall(r"in holes (\d+) and \d+ of", text)})
    assert len(steps) >= 2 and all(later > before for before, later in pairwise(steps))


def test_the_carriers_programs_are_proved_and_say_what_to_do(tmp_path: Path) -> None:
    programs = cut(BASS, ON_CARRIER, tmp_path / "carrier", "--carrier")
    assert [name.split("-cutter")[0] for name in programs] == ["1-carrier-1", "2-carrier-2", "3-carrier-3"]
    assert claimed(programs) == [("dowels", number) for number in range(1, 11)]
    head = next(iter(programs.values())).replace(")\n(- ", " ")
    assert "10 holes 50.00 mm apart, holes 1 and 3 go on into the bed" in head
    card = text_of(tmp_path / "carrier" / "job-card.pdf")
    assert json.loads((tmp_path / "carrier" / "job.json").read_text())["carrier"] is True
    assert "dowels 0.2362 in thick, 0.433 in long at most" in card and "Carrier-3 setup" in card
    assert "Gluing" not in card and "fretwire" not in card and "scrap" not in card.partition("To have at hand")[2]
    files = [tmp_path / "carrier" / name for name in programs]
    assert run("prove", *files, BASS, "-m", ON_CARRIER).exit_code == 0
    deeper = tmp_path / "deeper.nc"
    deeper.write_text(re.sub(r"Z-6\.5\b", "Z-7.5", files[1].read_text()))
    assert run("prove", deeper, BASS, "-m", ON_CARRIER).exit_code == 3
    result = run("cut", BASS, "-m", ON_CARRIER, "-o", tmp_path / "x", "--carrier", "--only", "frets")
    assert result.exit_code == 2
