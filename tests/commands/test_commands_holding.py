"""What holds the wood, through the commands: refused before anything is written, shown, and proved from the bytes."""

import re
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from click.testing import CliRunner, Result

from pearlkerf.cli import main

ROOT = Path(__file__).parents[2]
STEEL = (ROOT / "examples" / "harbour-steel-string.toml").read_text(encoding="utf-8")
BENCH = (ROOT / "machine_profiles" / "benchtop-arcs.toml").read_text(encoding="utf-8")
LONG = BENCH.replace("reach = 4.5 ", "stick_out = 14\nshank = 3\nreach = 4.5 ")
CLAMP = '\n[[holding]]\nname = "north clamp"\nx = [-40, {}]\ny = [-40, 40]\nabove_wood = {}\n'
FENCE = '\n[[holding]]\nname = "fence"\nx = [0, 448]\ny = [-60, {}]\nabove_bed = {}\n'


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def files(folder: Path, board: str, machine: str) -> tuple[Path, Path, Path]:
    """A board, a profile and the folder of a job."""
    (folder / "board.toml").write_text(board, encoding="utf-8")
    (folder / "router.toml").write_text(machine, encoding="utf-8")
    return folder / "board.toml", folder / "router.toml", folder / "job"


def cut(folder: Path, board: str, machine: str = LONG) -> Result:
    path, profile, job = files(folder, board, machine)
    return run("cut", path, "-m", profile, "-o", job)


RADIUSED = STEEL.replace('state = "flat"', 'state = "radiused"')
# the first fret lies at 35.47 mm, its cutter's shank is 1.5 mm wide beside it, and 1 mm is air; floors lie 3.35 mm deep
IN_THE_WAY = {
    "shank": (STEEL + CLAMP.format(34.0, 5.0), LONG, r"board.toml:\d+:3: holding.0: its shank of cutter 1 .* 1\.0 mm"),
    "traverse": (STEEL + CLAMP.format(-12.0, 7.5), LONG, "north clamp stands 7.5 mm above the wood, traverses run 8.0"),
    "nut": (STEEL + CLAMP.format(15.0, 5.0), BENCH, r"the collet nut of cutter 1 would come 4\.\d mm too near"),
    "fence": (STEEL + FENCE.format(-29.0, 5.0), LONG, r"the cutter of cutter 1 would come \d\.\d mm too near"),
    "short": (STEEL, LONG.replace("reach = 4.5 ", "reach = 2.2 "), r"reach of at least \d\.\d+ mm; .*reach 2.2 mm"),
    "nut on wood": (RADIUSED, BENCH.replace("reach = 4.5 ", "reach = 2.9 "), r"cutter.stick_out: .*0\.4\d"),
    "shank on wood": (RADIUSED, LONG.replace("reach = 4.5 ", "reach = 2.2 "), r"router.toml: cutter.reach: .* 0\.1\d"),
    "profile's": (STEEL, LONG + CLAMP.format(34.0, 5.0), "router.toml: holding: its shank of cutter 1 would come 1.0"),
}  # fmt: skip


@pytest.mark.parametrize("case", IN_THE_WAY)
def test_what_is_in_the_way_is_refused_by_how_much_and_nothing_is_written(case: str, tmp_path: Path) -> None:
    board, machine, told = IN_THE_WAY[case]
    result = cut(tmp_path, board, machine)
    assert result.exit_code == 1, result.output
    assert re.search(told, result.stderr), result.stderr
    assert not (tmp_path / "job").exists()
    checked = run("check", tmp_path / "board.toml", "-m", tmp_path / "router.toml")
    assert checked.exit_code == 1
    assert re.search(told, checked.stderr)


def test_what_is_clear_is_cut_and_told_in_every_head_and_on_the_page(tmp_path: Path) -> None:
    result = cut(tmp_path, STEEL + CLAMP.format(-12.0, 5.0) + FENCE.format(-29.5, 2.0))
    assert result.exit_code == 0, result.stderr
    for program in sorted((tmp_path / "job").glob("*.nc")):
        head = re.sub(r"\)\n\(- ", " ", program.read_text(encoding="ascii"))
        boxes = (
            "(north clamp stands at X -40.0 to -12.0, Y -40.0 to 40.0, up to 5.0 mm above Z0)" in head,
            ("(fence stands at X 0.0 to 448.0, Y -60.0 to -29.5, up to 4.5 mm below Z0)" in head),
        )
        assert boxes == (("face" in program.name,) * 2)
    page = (tmp_path / "job" / "dry-run.html").read_text(encoding="utf-8")
    assert "North clamp stands at X -40.0 to -12.0" in page


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        ("G1 Z5.5 F100.0\nG1 X-10.0 F200.0\nG0 Z8.0\n", r"line {}: runs the cutter 0\.100 mm into north clamp"),
        ("G0 Z8.0\nG1 X-30.0 F200.0\nG0 Z8.0\n", ""),
        # over the clamp, but lower than those that the head says may stand there
        ("G0 Z6.9\nG1 X-30.0 F200.0\nG0 Z8.0\n", r"says \"clamps up to 7.0 mm above the wood"),
        ("G0 X-20.0\nG1 Z3.0 F100.0\nG0 Z8.0\n", r"line {}: runs the cutter .* into north clamp"),
    ],
)
def test_a_program_edited_by_hand_into_a_clamp_is_found_at_its_line(edit: str, told: str, tmp_path: Path) -> None:
    board = STEEL + CLAMP.format(-9.8, 5.6)
    assert cut(tmp_path, board).exit_code == 0
    program = tmp_path / "job" / "2-face-cutter-1.nc"
    text = program.read_text(encoding="ascii")
    first = next(line for line in text.splitlines() if line.startswith("G0 X"))
    edited = text.replace(first + "\n", f"{first}\n{edit}{first}\n", 1)
    program.write_text(edited, encoding="ascii")
    result = run("prove", program, tmp_path / "board.toml", "-m", tmp_path / "router.toml")
    line = edited.splitlines().index(edit.splitlines()[1]) + 1
    assert result.exit_code == (3 if told else 0), result.output
    assert not told or re.search(told.format(line), result.output + result.stderr), result.output


def test_a_clamp_for_a_position_that_is_not_there_is_told(tmp_path: Path) -> None:
    far = STEEL + CLAMP.format(-12.0, 5.0) + "position = {}\n"
    path, profile, _ = files(tmp_path, far.format(2), LONG)
    told = run("check", path, "-m", profile).stderr
    assert re.search(
        r"warning: \S+:51:1: holding.0.position: north clamp is said to stand in position 2, .* 1 posit", told
    )
    path.write_text(far.format(1), encoding="utf-8")
    assert "position" not in run("check", path, "-m", profile).stderr


def test_the_hint_lets_a_cutter_stick_out_only_where_that_helps(tmp_path: Path) -> None:
    longer = "or let the cutter stick out more"
    assert longer not in cut(tmp_path, STEEL + FENCE.format(-29.0, 5.0)).stderr
    assert longer in cut(tmp_path, STEEL + CLAMP.format(34.0, 5.0)).stderr


NAMES = ("setup = mine", "fixture lies turned 5 degrees clockwise", "jaw=left", "cutter guard")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("command", "kind", "card"), [("cut", "face", "job"), ("coupon", "coupon", "coupon")])
def test_a_clamp_may_have_any_name_and_the_card_says_it(
    name: str, command: str, kind: str, card: str, tmp_path: Path
) -> None:
    clamp = CLAMP.format(-30, -1.0).replace("north clamp", name) + f'setup = "{kind}"\n'
    board, profile, job = files(tmp_path, STEEL.replace("Harbour", name) + clamp, LONG)
    made = run(command, board, "-m", profile, "-o", job)
    assert made.exit_code == 0, made.output
    assert run("prove", *sorted(job.glob("*.nc")), board, "-m", profile).exit_code == 0
    pages = pdfium.PdfDocument(job / f"{card}-card.pdf")
    words = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)
    assert f"{name[1:]} stands at X -40.0 to -30.0" in words  # a sentence begins with a capital
