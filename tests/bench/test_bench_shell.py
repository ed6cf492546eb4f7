"""The shell of the bench: pieces laid on blanks by hand, photographs kept beside the board, blanks that are cut."""

import base64
import io
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from benches import Open
from cameras import camera, corners, seen
from inlaid import BOARD
from pearlkerf.bench.perspective import css_matrix, perspective
from pearlkerf.bench.wrong import CannotBe
from pearlkerf.cli import main

MACHINE = "benchtop-arcs"
COMMENTED = BOARD.format(gap=0.05).replace(
    "count = 4\n",
    'count = 4\nplace = [\n  { piece = "moon 3", blank = 1, at = [9, 9] },  # over the green\n]  # by eye\n',
)

SNUG = BOARD.format(gap=0.05).replace("width = 25", "width = 18.2")


def asked(bench: Open, name: str, text: str = BOARD.format(gap=0.05), **more: Any) -> dict[str, Any]:
    """Put a board into the folder, and give what a page asks about it."""
    (bench.folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return {"name": name, "text": text, "machine": MACHINE, **more}


def told(bench: Open, what: str, about: dict[str, Any]) -> dict[str, Any]:
    answer = bench.post(what, about)
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def laid(view: dict[str, Any], piece: str) -> dict[str, Any]:
    return next(each for each in view["laid"] if each["piece"] == piece)


def test_the_page_shows_what_pieces_would_cut(bench: Open) -> None:
    view = told(bench, "shell", asked(bench, "shown"))
    assert [each["name"] for each in view["pieces"]] == ["moon 3", "moon 5", "ring 7"]
    assert [each["blank"] for each in view["blanks"]] == [[0, 1], [0, 2], [0, 3], [0, 4]]
    assert {each["kept"] for each in view["laid"]} == {False} and view["problems"] == [] and view["wrong"] == 0
    assert view["command"] == "pearlkerf pieces shown.toml -m benchtop-arcs -o shown-pieces"


def test_a_piece_is_laid_moved_taken_to_another_blank_and_let_go(bench: Open) -> None:
    about = asked(bench, "moved", COMMENTED)
    changes = [{"piece": "moon 3", "blank": [0, 1], "at": [10.004, 9], "turn": 90}]
    view = told(bench, "shell-place", {**about, "changes": changes})
    assert (
        '  {piece = "moon 3", blank = 1, at = [10.004, 9.0], turn = 90},  # over the green\n]  # by eye\n'
        in view["text"]
    )
    assert laid(view, "moon 3") == {"piece": "moon 3", "blank": [0, 1], "at": [10.004, 9.0], "turn": 90.0, "kept": True,
                                    "wrong": ""}  # fmt: skip
    changes = [{"piece": "moon 3", "blank": [0, 3], "at": ["1/2 in", "12 mm"], "turn": "-15°"},
               {"piece": "ring 7", "blank": [0, 3], "at": ["30", 12], "turn": 0}]  # fmt: skip
    view = told(bench, "shell-place", {**about, "text": view["text"], "changes": changes})
    places = tomllib.loads(view["text"])["inlay_blank"][0]["place"]
    assert places == [{"piece": "moon 3", "blank": 3, "at": [12.7, 12.0], "turn": 345},
                      {"piece": "ring 7", "blank": 3, "at": [30.0, 12.0], "turn": 0}]  # fmt: skip
    gone = [{"piece": name, "blank": None} for name in ("moon 3", "ring 7")]
    view = told(bench, "shell-place", {**about, "text": view["text"], "changes": gone})
    assert "place" not in tomllib.loads(view["text"])["inlay_blank"][0]
    assert [line for line in view["text"].splitlines() if line not in COMMENTED.splitlines()] == []


@pytest.mark.parametrize(
    ("at", "turn", "words"),
    [
        ([30, 12], 0, ""),
        ([1, 12], 0, "edge of the blank"),
        ([30.0, 12.0], 3, ""),
        ([12, 9], 0, "too near that of moon 3"),
    ],
)
def test_what_is_told_of_a_place_is_what_pieces_says_of_it(
    bench: Open, tmp_path: Path, at: list[float], turn: float, words: str
) -> None:
    about = asked(bench, "tried", COMMENTED)
    change = {"piece": "ring 7", "blank": [0, 1], "at": at, "turn": turn}
    wrong = told(bench, "shell-where", {**about, "changes": [change]})["wrong"]
    assert words in wrong and bool(words) == bool(wrong)
    view = told(bench, "shell-place", {**about, "changes": [change]})
    assert laid(view, "ring 7")["wrong"] == wrong and view["wrong"] == bool(wrong)
    board = tmp_path / "board.toml"
    board.write_text(view["text"], encoding="utf-8")
    if wrong:
        run = CliRunner().invoke(main, ["pieces", str(board), "-m", MACHINE, "-o", str(tmp_path / "out")])
        assert wrong in " ".join(run.output.split())


@pytest.mark.parametrize("example", [None, "dunlin-initials"])
def test_what_is_packed_is_kept_just_as_it_lies(bench: Open, example: str | None) -> None:
    text = (Path(__file__).parents[2] / "examples" / f"{example}.toml").read_text("utf-8") if example else SNUG
    about = asked(bench, "as it lies", text)
    view = told(bench, "shell", about)
    kept = told(bench, "shell-place", {**about, "changes": view["laid"]})
    assert [{**each, "kept": True} for each in view["laid"]] == kept["laid"] and kept["wrong"] == 0
    assert {each["kept"] for each in kept["laid"]} == {True}


def test_a_board_in_inches_is_told_in_inches(bench: Open) -> None:
    text = (Path(__file__).parents[2] / "examples" / "dunlin-initials.toml").read_text("utf-8")
    about = asked(bench, "in inches", text)
    change = {"piece": "moon 15", "blank": [2, 1], "at": ["0.1", "1/8 in"], "turn": 0}
    wrong = told(bench, "shell-where", {**about, "changes": [{**change, "blank": [1, 1]}]})["wrong"]
    assert wrong == "its cut comes too near the edge of the blank, 2.000 in by 1.000 in"
    view = told(bench, "shell-place", {**about, "changes": [{**change, "blank": [1, 1]}]})
    assert laid(view, "moon 15")["at"] == pytest.approx([2.54, 3.175]) and laid(view, "moon 15")["wrong"] == wrong
    assert (view["unit"], view["mm_a_unit"]) == ("in", 25.4)


def test_a_figure_lets_pieces_lie_in_its_turns_alone(bench: Open) -> None:
    about = asked(bench, "figured", BOARD.format(gap=0.05).replace("count = 4", 'count = 4\nfigure = "lengthwise"'))
    view = told(bench, "shell", about)
    assert view["blanks"][0]["turns"] == [0.0, 180.0]
    change = {"piece": "moon 3", "blank": [0, 1], "at": [20, 12], "turn": 10}
    assert "turned by 10 degrees" in told(bench, "shell-where", {**about, "changes": [change]})["wrong"]


def test_spares_dots_and_some_pieces_alone_are_asked_for_as_pieces_takes_them(bench: Open) -> None:
    view = told(bench, "shell", asked(bench, "some", only=["moon", "face dots"], spares="1"))
    assert [each["name"] for each in view["pieces"]] == ["moon 3", "moon 5", "face dot 9", "moon 3 spare",
                                                         "moon 5 spare", "face dot 9 spare"]  # fmt: skip
    assert "--spares 1 --only moon --only 'face dots'" in view["command"]
    assert told(bench, "shell", asked(bench, "some", none=True))["laid"] == []


def test_too_few_blanks_are_told_with_what_would_do(bench: Open) -> None:
    text = BOARD.format(gap=0.05).replace("length = 40\nwidth = 25\ncount = 4", "length = 18\nwidth = 18")
    view = told(bench, "shell", asked(bench, "few", text))
    assert len(view["left"]) == 2 and "count = 3" in view["problems"][0]["allowed"]


def test_a_place_of_no_piece_is_told_and_named(bench: Open) -> None:
    view = told(bench, "shell", asked(bench, "lost", COMMENTED.replace('"moon 3"', '"moon 4"')))
    assert (
        view["problems"][0]["key"] == "inlay_blank.0.place.0" and "no piece is called" in view["problems"][0]["found"]
    )
    assert view["lost"] == {"inlay_blank.0.place.0": "moon 4"} and len(view["laid"]) == 3


def test_a_place_on_a_blank_without_a_size_is_told(bench: Open) -> None:
    text = COMMENTED.replace("length = 40\nwidth = 25\n", "") + (
        '[[inlay_blank]]\nmaterial = "mother-of-pearl"\nthickness = 1.5\nlength = 60\nwidth = 25\n'
    )
    view = told(bench, "shell", asked(bench, "sizeless", text))
    assert "no size" in view["problems"][0]["found"] and len(view["laid"]) == 3


def test_a_board_that_is_wrong_still_shows_its_blanks(bench: Open) -> None:
    view = told(bench, "shell", asked(bench, "wrong", BOARD.format(gap=0.05).replace("frets = [7]", "frets = [70]")))
    assert view["wrong"] and view["problems"][0]["key"].startswith("inlay") and len(view["blanks"]) == 4
    view = told(bench, "shell", asked(bench, "no TOML", "length = 1,7"))
    assert view["blanks"] == [] and view["wrong"]


@pytest.mark.parametrize(
    "change",
    [{}, {"piece": ""}, {"piece": "moon 3", "blank": [0]}, {"piece": "moon 3", "blank": [0, True], "at": [1, 2]},
     {"piece": "moon 3", "blank": [0, 1], "at": [1]}, {"piece": "moon 3", "blank": [0, 1], "at": ["1,5", 2]},
     {"piece": "moon 3", "blank": [0, 1], "at": [-1, 2]}, {"piece": "moon 3", "blank": [0, 1], "at": [1e308, 2]},
     {"piece": "moon 3", "blank": [0, 1], "at": [1, 2], "turn": "much"},
     {"piece": "moon 3", "blank": [7, 1], "at": [1, 2]}, {"piece": "moon 3", "blank": [-1, 1], "at": [1, 2]}],
)  # fmt: skip
def test_what_is_no_place_is_refused_in_words(bench: Open, change: dict[str, Any]) -> None:
    answer = bench.post("shell-place", {**asked(bench, "no place", COMMENTED), "changes": [change]})
    assert answer.status_code in (400, 409, 422) and answer.json()["wrong"]


def photograph(size: tuple[int, int] = (400, 300), kind: str = "JPEG") -> str:
    data = io.BytesIO()
    Image.new("RGB", size, (200, 190, 180)).save(data, kind)
    return base64.b64encode(data.getvalue()).decode("ascii")


CORNERS = [[60, 250], [350, 240], [320, 40], [90, 60]]


def test_a_photograph_is_kept_beside_its_board_with_its_corners(bench: Open) -> None:
    about = {**asked(bench, "kept"), "blank": [0, 2]}
    told(bench, "photograph", {**about, "picture": photograph()})
    folder = bench.folder / "kept-shell"
    assert [path.name for path in sorted(folder.iterdir())] == ["1-2.jpg"]
    held = told(bench, "shell", about)["blanks"][1]["photograph"]
    assert (held["size_px"], held["corners"], held["matrix"]) == ([400, 300], [], None)
    told(bench, "photograph-corners", {**about, "corners": CORNERS})
    held = told(bench, "shell", about)["blanks"][1]["photograph"]
    assert held["corners"] == CORNERS and len(held["matrix"]) == 16
    live = told(bench, "photograph-laid", {"corners": CORNERS, "size_px": [400, 300], "blank_mm": [40, 25]})
    assert live["matrix"] == held["matrix"]
    given = bench.client.get("/photograph/kept/0/2")
    assert given.headers["content-type"] == "image/jpeg" and given.content == (folder / "1-2.jpg").read_bytes()
    told(bench, "photograph", {**about, "picture": photograph((401, 300))})  # another one: its corners are not known
    assert told(bench, "shell", about)["blanks"][1]["photograph"]["corners"] == []
    assert bench.post("rename", {"name": "kept", "to": "kept on"}).status_code == 200
    assert (bench.folder / "kept on-shell" / "1-2.jpg").is_file() and not folder.exists()
    told(bench, "photograph-remove", {**about, "name": "kept on"})
    assert bench.client.get("/photograph/kept on/0/2").status_code == 404


@pytest.mark.parametrize(
    "picture",
    ["", "%%%", 7, base64.b64encode(b"<script>alert(1)</script>").decode(), photograph(kind="PNG"), photograph((8, 8)),
     photograph((5000, 100)), photograph()[:40], base64.b64encode(b"<svg xmlns='http://www.w3.org/2000/svg'/>").decode()],
)  # fmt: skip
def test_what_is_no_photograph_is_not_kept(bench: Open, picture: object) -> None:
    about = {**asked(bench, "hostile"), "blank": [0, 1]}
    assert bench.post("photograph", {**about, "picture": picture}).status_code == 422
    assert not (bench.folder / "hostile-shell").exists()


def test_a_file_that_is_only_called_a_photograph_is_neither_given_nor_drawn(bench: Open, tmp_path: Path) -> None:
    about = asked(bench, "called so")
    folder = bench.folder / "called so-shell"
    folder.mkdir()
    (folder / "1-1.jpg").write_bytes(b"<html><script>alert(1)</script></html>")
    (folder / "1-2.jpg").symlink_to(tmp_path / "elsewhere.jpg")
    (folder / "nonsense-x.jpg").write_bytes(b"")
    first, second, *_ = told(bench, "shell", about)["blanks"]
    assert first["photograph"] is None and "is no photograph" in first["no_photograph"]
    assert second["no_photograph"] == "That leads out of the folder."
    assert bench.client.get("/photograph/called so/0/1").status_code == 422
    assert bench.client.get("/photograph/called so/0/2").status_code == 403
    assert bench.client.get("/photograph/..%2f/0/1").status_code in (400, 404)


@pytest.mark.parametrize(
    "corners",
    [None, [], [[1, 1]] * 4, [[60, 250], [350, 240], [320, 40]], CORNERS[::-1], [*CORNERS[:3], [200, 200]],
     [*CORNERS[:3], [-5, 60]], [*CORNERS[:3], ["a", 60]], [*CORNERS[:3], [float("1e300"), 60]]],
)  # fmt: skip
def test_what_are_no_corners_is_refused(bench: Open, corners: object) -> None:
    about = {**asked(bench, "cornered"), "blank": [0, 1]}
    told(bench, "photograph", {**about, "picture": photograph()})
    assert bench.post("photograph-corners", {**about, "corners": corners}).status_code == 422
    assert not (bench.folder / "cornered-shell" / "1-1.json").exists()


def test_corners_that_were_tampered_with_are_asked_for_again(bench: Open) -> None:
    about = {**asked(bench, "tampered"), "blank": [0, 1]}
    told(bench, "photograph", {**about, "picture": photograph()})
    told(bench, "photograph-corners", {**about, "corners": CORNERS})
    path = bench.folder / "tampered-shell" / "1-1.json"
    for text in ("", "[]", "{}", path.read_text("utf-8").replace("60", "NaN"), "[" * 100_000):
        path.write_text(text, encoding="utf-8")
        assert told(bench, "shell", about)["blanks"][0]["photograph"]["corners"] == []


@pytest.mark.parametrize(
    ("tilt", "turn", "far"), [(0, 0, 70), (25, 10, 80), (40, -35, 90), (15, 170, 75), (55, 90, 120)]
)
def test_the_perspective_of_a_camera_is_taken_out(tilt: float, turn: float, far: float) -> None:
    by = camera(tilt, turn, far)
    marked = corners(by)
    found = perspective([(x, y) for x, y in marked], (1600.0, 1200.0), (40.0, 25.0))
    across, along = np.meshgrid(np.linspace(1, 24, 5), np.linspace(1, 39, 7))
    places = np.column_stack([along.ravel(), across.ravel()])
    back = np.column_stack([seen(by, places), np.ones(len(places))]) @ found.T
    assert back[:, 0] / back[:, 2] == pytest.approx(places[:, 0], abs=1e-6)
    assert 25 - back[:, 1] / back[:, 2] == pytest.approx(places[:, 1], abs=1e-6)
    whole = np.array(css_matrix(found)).reshape(4, 4).T @ np.array([*marked[2], 0, 1])
    assert whole[:2] / whole[3] == pytest.approx([40, 0], abs=1e-6)


def test_a_mirrored_or_bent_back_blank_is_refused() -> None:
    for wrong in (CORNERS[::-1], [CORNERS[1], CORNERS[0], *CORNERS[2:]], [(0, 0), (1, 0), (1, 1), (0, 1)]):
        with pytest.raises(CannotBe):
            perspective([(x, y) for x, y in wrong], (400.0, 300.0), (40.0, 25.0))


def test_blanks_that_are_cut_are_marked_by_the_word_of_their_programs(bench: Open) -> None:
    about = asked(bench, "cut", COMMENTED)
    assert told(bench, "shell-to-cut", about)["blanks"] == []
    assert bench.post("shell-cut", {**about, "blanks": [[0, 1]]}).status_code == 409
    board, out = str(bench.folder / "cut.toml"), str(bench.folder / "cut-pieces")
    assert CliRunner().invoke(main, ["pieces", board, "-m", MACHINE, "-o", out]).exit_code == 0
    one, other = told(bench, "shell-to-cut", about)["blanks"]
    assert (one["blank"], other["blank"]) == ([0, 1], [0, 2]) and "moon 3" in one["pieces"]
    assert sorted([*one["pieces"], *other["pieces"]]) == ["moon 3", "moon 5", "ring 7"]
    assert told(bench, "shell-to-cut", {**about, "machine": "production-automatic"})["why"].startswith(
        "The programs of"
    )
    view = told(bench, "shell-cut", {**about, "blanks": [[0, 1]]})
    entry = tomllib.loads(view["text"])["inlay_blank"][0]
    assert "place" not in entry and len(entry["used"]) == len(view["blanks"][0]["used"]) == len(one["pieces"])
    assert view["cut"] == one["pieces"] and {each["blank"] for each in entry["used"]} == {1}
    # what is gone holds all that was cut for each piece: its own box, and the cutter's way around it
    moon = next(each["box"] for each in entry["used"] if each["box"][0] < 9 < each["box"][2] and each["box"][1] < 9)
    assert moon[0] < 9 - 4.5 and moon[2] > 9 + 4.5 and moon[1] < 9 - 3.5 and moon[3] > 9 + 3.5
    # and what is packed now lies beside it
    again = [(each["at"], each["blank"]) for each in view["laid"]]
    for x0, y0, x1, y1 in (each["box"] for each in entry["used"]):
        assert not any(blank == [0, 1] and x0 < at[0] < x1 and y0 < at[1] < y1 for at, blank in again)
    assert bench.post("shell-cut", {**about, "text": view["text"], "blanks": [[0, 1]]}).status_code == 409  # not saved
