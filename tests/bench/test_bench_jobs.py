"""Jobs of the bench: the bytes that `cut` gives, stopped without harm, shown under their own policy."""

import base64
import json
import re
import shlex
import time
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from benches import Open
from pearlkerf.bench.guards import POLICY
from pearlkerf.bench.orders import Order, command
from pearlkerf.cli import main
from pearlkerf.machine.reader import profile_path

MACHINE = "benchtop-arcs"


def ended(bench: Open, folder: str) -> dict[str, Any]:
    """Give what became of an order, once it has ended."""
    for _ in range(600):
        state = bench.client.get(f"/api/making/{folder}").json()
        if state["state"] != "running":
            return dict(state)
        time.sleep(0.05)
    raise AssertionError("it did not end")


@pytest.fixture(scope="module")
def made(bench: Open) -> dict[str, Any]:
    """Make one job, for all that is asked of it here."""
    bench.copy("wren-tenor-ukulele", "job made")
    begun = bench.post("make", {"name": "job made", "machine": MACHINE})
    assert begun.json()["state"] == "running"
    return ended(bench, "job made-job")


def test_the_bytes_are_those_that_cut_gives(bench: Open, made: dict[str, Any], tmp_path: Path) -> None:
    board = bench.folder / "job made.toml"
    result = CliRunner().invoke(main, ["cut", str(board), "-m", MACHINE, "-o", str(tmp_path / "by-command")])
    assert result.exit_code == 0, result.stderr
    by_command = {path.name: path.read_bytes() for path in (tmp_path / "by-command").iterdir()}
    by_page = {path.name: path.read_bytes() for path in (bench.folder / "job made-job").iterdir()}
    assert by_page == by_command
    assert {*made["done"]["files"], "job.json"} == set(by_command)


def test_it_says_what_it_does_and_what_the_proof_says(made: dict[str, Any]) -> None:
    assert made["doing"][0] == "reading and laying out"
    assert "reading back and proving" in made["doing"]
    assert made["done"]["figures"]


def test_a_made_job_is_shown_until_the_board_is_changed(bench: Open, made: dict[str, Any]) -> None:
    held = bench.client.get("/api/job/job made/cut").json()
    assert (held["made"], held["tried"]) == ("made", False)
    own = held["machine"].removeprefix("./")  # a copy of the folder that is the same to the byte is as good a name
    profile = bench.folder / own if own.endswith(".toml") else profile_path(own)
    assert profile.read_bytes() == profile_path(MACHINE).read_bytes()
    assert [each["file"] for each in held["programs"]] == [
        name for name in made["done"]["files"] if name.endswith(".nc")
    ]
    assert all(0 < each["shortest_s"] <= each["longest_s"] for each in held["programs"])
    (listed,) = [each for each in bench.client.get("/api/boards").json()["boards"] if each["name"] == "job made"]
    assert listed["made"] == "made"
    path = bench.folder / "job made.toml"
    before = path.read_text("utf-8")
    path.write_text(before.replace("depth = 1.7", "depth = 1.6"), encoding="utf-8")
    assert bench.client.get("/api/job/job made/cut").json()["made"] == "changed"
    path.write_text(before, encoding="utf-8")


def test_the_dry_run_is_shown_under_its_own_policy_in_a_sandbox(bench: Open, made: dict[str, Any]) -> None:
    shown = bench.client.get("/job/job made/cut/dry-run.html")
    policy = shown.headers["content-security-policy"]
    assert (
        "sandbox allow-scripts" in policy and "frame-ancestors 'self'" in policy and "allow-same-origin" not in policy
    )
    assert (
        policy.count("'sha256-") == 2 and "'unsafe" not in policy and "'self'" not in policy.partition("frame-anc")[0]
    )
    assert shown.text.count(policy.partition(";")[0]) == 1  # what the page says of itself
    assert shown.headers["x-content-type-options"] == "nosniff"


def test_card_template_and_programs_are_given(bench: Open, made: dict[str, Any]) -> None:
    card = bench.client.get("/job/job made/cut/job-card.pdf")
    assert card.headers["content-type"] == "application/pdf" and card.content.startswith(b"%PDF")
    template = bench.client.get("/template/job made")
    assert template.content.startswith(b"%PDF")
    program = bench.client.get("/job/job made/cut/1-face-cutter-2.nc")
    assert program.headers["content-type"].startswith("text/plain")
    assert program.headers["content-security-policy"] == POLICY


def test_the_phone_s_file_is_the_dry_run_with_its_steps_and_its_card(bench: Open, made: dict[str, Any]) -> None:
    phone = bench.client.get("/phone/job made/cut")
    assert phone.headers["content-disposition"].startswith("attachment")
    page = bench.client.get("/job/job made/cut/dry-run.html").text
    told = phone.text.partition("<main>")[2][: len(phone.text) - len(page)]
    assert phone.text.replace(told, "", 1) == page
    assert told.count('type="checkbox"') == 2 + 2 * 3  # two setups, three programs
    assert "1-face-cutter-2.nc: cutter 2 is in, Z zeroed with it" in told
    card = re.search(r'download="job-card.pdf" href="data:application/pdf;base64,([^"]+)"', told)
    assert card and base64.b64decode(card[1]) == bench.client.get("/job/job made/cut/job-card.pdf").content
    for name in ("dry-run.html", "job-card.pdf"):
        path = bench.folder / "job made-job" / name
        before = path.read_bytes()
        path.write_bytes(before + b"<script>alert(1)</script>")
        assert bench.client.get("/phone/job made/cut").status_code == 409
        path.write_bytes(before)
    assert bench.client.get("/phone/none/cut").status_code == 404
    assert bench.client.get("/phone/job made/nothing").status_code == 400


def test_the_phone_s_file_is_the_one_that_the_command_gives(
    bench: Open, made: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = bench.client.get("/api/job/job made/cut").json()["commands"]["phone"]
    monkeypatch.chdir(bench.folder)
    program, *words = shlex.split(said)
    result = CliRunner().invoke(main, [*words, "-o", str(tmp_path / "p.html")])
    assert (program, result.exit_code) == ("pearlkerf", 0), result.output
    assert (tmp_path / "p.html").read_bytes() == bench.client.get("/phone/job made/cut").content
    again = CliRunner().invoke(main, [*words, "-o", str(tmp_path / "p.html")])
    assert again.exit_code == 4 and "exists already" in again.stderr


def test_a_folder_without_a_job_gives_no_file_for_the_phone(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["phone", str(tmp_path), "-o", str(tmp_path / "p.html")])
    assert result.exit_code == 1 and "holds no job" in result.stderr
    assert not list(tmp_path.iterdir())


def test_pieces_are_those_that_the_command_gives(bench: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.copy("dunlin-initials", "initials")
    order = {"name": "initials", "kind": "pieces", "machine": MACHINE, "only": ["HL 12/2"], "spares": "1",
             "apart": "1/2 in"}  # fmt: skip
    planned = bench.post("plan", order).json()
    assert (planned["cuts"], planned["groups"]) == (["HL 12/2"], ["block", "HL", "moon"])
    bench.post("make", order)
    assert "pieces-card.pdf" in ended(bench, "initials-pieces")["done"]["files"]
    monkeypatch.chdir(bench.folder)
    words = shlex.split(planned["command"])[1:-1]
    assert CliRunner().invoke(main, [*words, "by-command"]).exit_code == 0
    by_command = {path.name: path.read_bytes() for path in (bench.folder / "by-command").iterdir()}
    assert {path.name: path.read_bytes() for path in (bench.folder / "initials-pieces").iterdir()} == by_command


@pytest.mark.parametrize("spares", ["10", "x", "-1", "1.5"])
def test_spares_are_counted(bench: Open, spares: str) -> None:
    bench.copy("dunlin-initials", "counted")
    told = bench.post("plan", {"name": "counted", "kind": "pieces", "machine": MACHINE, "spares": spares}).json()
    assert [each["key"] for each in told["refused"]] == ["--spares"]


def test_a_strip_is_planned_as_it_is_asked_for(bench: Open) -> None:
    bench.copy("harbour-steel-string", "by a strip")
    told = bench.post("plan", {"name": "by a strip", "kind": "strip", "machine": "workshop-cycles"}).json()
    assert told["command"] == "pearlkerf drill-strip 'by a strip.toml' -m workshop-cycles -o 'by a strip-strip'"
    assert [each["name"] for each in told["setups"]] == ["strip"]
    thin = {"name": "by a strip", "kind": "strip", "machine": "workshop-cycles", "scrap": "480x30x3"}
    assert [each["key"] for each in bench.post("plan", thin).json()["refused"]] == ["--strip"]


def test_a_part_can_be_chosen_of_a_board_that_a_machine_refuses_whole(bench: Open) -> None:
    """A board too tall for its edge on this machine: its face is cut alone, in positions measured from two zeros."""
    bench.copy("harbour-steel-string", "too tall")
    order = {"name": "too tall", "machine": "engraver-300"}
    whole = bench.post("plan", order).json()
    assert whole["refused"][0]["key"] == "board.end_width"
    assert set(whole["groups"]) == {"frets", "face dots", "side dots"}
    face = {**order, "only": ["frets", "face dots"]}
    planned = bench.post("plan", face).json()
    assert [each["name"] for each in planned["zeros"]] == ["", "face-2"]
    assert [each["positions"] for each in planned["setups"]] == [2, 2]
    slot = next(each for each in planned["marks"] if each["name"] == "fret 20")
    x = slot["x_mm"] - planned["zeros"][1]["x_mm"]
    turned = bench.post("plan", {**face, "at": [f"face-2 fret 20={x:.1f},0.8"]}).json()
    assert "refused" not in turned and turned["setups"][1]["words"] != planned["setups"][1]["words"]
    assert turned["setups"][0]["words"] == planned["setups"][0]["words"]


@pytest.mark.parametrize(
    "path", ["cut/job.json", "cut/..%2fjob made.toml", "cut/%2e%2e", "nothing/dry-run.html", "coupon/dry-run.html"]
)
def test_nothing_else_is_given(bench: Open, made: dict[str, Any], path: str) -> None:
    assert bench.client.get(f"/job/job made/{path}").status_code in (400, 404)


def test_a_record_that_lies_gives_nothing_away(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "liar")
    folder = bench.folder / "liar-job"
    folder.mkdir()
    files = [{"file": "../wren.toml", "sha256": ""}, {"file": "/etc/passwd", "sha256": ""}]
    record = {"board_sha256": "", "machine_sha256": "", "files": files}
    (folder / "job.json").write_text(json.dumps(record), encoding="utf-8")
    for file in ("..%2fwren.toml", "%2fetc%2fpasswd", "passwd"):
        assert bench.client.get(f"/job/liar/cut/{file}").status_code == 404


def test_a_wrong_board_is_refused_with_its_places(bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "wrong job")
    path.write_text(path.read_text("utf-8").replace("depth = 1.7", "depth = 5.5"), encoding="utf-8")
    planned = bench.post("plan", {"name": "wrong job", "machine": MACHINE}).json()
    assert planned["refused"][0]["key"] == "fret_slots.depth"
    bench.post("make", {"name": "wrong job", "machine": MACHINE})
    assert ended(bench, "wrong job-job")["refused"] == planned["refused"]
    assert not (bench.folder / "wrong job-job").exists()


def test_what_is_in_the_way_is_told_and_written_over_only_when_asked(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "in the way")
    folder = bench.folder / "in the way-job"
    folder.mkdir()
    (folder / "dry-run.html").write_text("mine", encoding="utf-8")
    order = {"name": "in the way", "machine": MACHINE, "only": ["side dots"]}
    bench.post("make", order)
    assert ended(bench, folder.name)["in_the_way"] == ["dry-run.html"]
    assert (folder / "dry-run.html").read_text("utf-8") == "mine"
    bench.post("make", {**order, "force": True})
    assert "done" in ended(bench, folder.name)


def test_it_is_stopped_and_nothing_is_left(bench: Open) -> None:
    bench.copy("harbour-steel-string", "stopped")
    order = {"name": "stopped", "machine": MACHINE}
    bench.post("make", order)
    assert bench.post("make", order).status_code == 409
    time.sleep(0.3)
    bench.post("stop", {"folder": "stopped-job"})
    assert ended(bench, "stopped-job")["state"] == "stopped"
    assert not (bench.folder / "stopped-job").exists()


@pytest.mark.parametrize(
    ("order", "key"),
    [({"at": ["fret 12=1"]}, "--at"), ({"only": ["wings"]}, "--only"), ({"start": "fret 99"}, "--from")],
)
def test_what_is_asked_wrongly_is_told(bench: Open, order: dict[str, Any], key: str) -> None:
    bench.copy("wren-tenor-ukulele", "asked")
    planned = bench.post("plan", {"name": "asked", "machine": MACHINE, **order}).json()
    assert planned["refused"][0]["key"].startswith(key)


@pytest.mark.parametrize("machine", ["../evil.toml", "/etc/passwd", "none", "", "./asked.toml"])
def test_only_machines_that_are_there_are_taken(bench: Open, machine: str) -> None:
    bench.copy("wren-tenor-ukulele", "asked")
    assert bench.post("plan", {"name": "asked", "machine": machine}).status_code == 422


def test_the_command_is_the_one_that_does_the_same(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "asked")
    order = {"name": "asked", "machine": MACHINE, "only": ["frets"], "start": "fret 3", "at": ["fret 12=230,0.2"],
             "pointing": True, "point_height": "2 mm"}  # fmt: skip
    planned = bench.post("plan", order).json()
    assert planned["command"] == (
        "pearlkerf cut asked.toml -m benchtop-arcs --from 'fret 3' --point-height '2 mm' --only frets "
        "--at 'fret 12=230,0.2' --pointing -o asked-job"
    )
    told = command(Order(name="w", machine="m", kind="calibration", scrap="200x40x6"))
    assert told == "pearlkerf coupon w.toml -m m --kind calibration --scrap 200x40x6 -o w-calibration"
