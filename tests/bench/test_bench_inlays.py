"""Inlays let in on the page: shapes, letters, drawings dropped and kept beside the board, no file being typed."""

import base64
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from benches import EXAMPLES, Open, Window, window
from pages import needs_chromium
from pearlkerf.board.inlay_tables import SHAPES
from pearlkerf.files import whole

VINE = (EXAMPLES / "tern-vine.svg").read_bytes()
SQUARE = b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="6mm"><path d="M0 0H9V6H0Z"/></svg>'


def kept(bench: Open, file: str, data: bytes) -> Any:
    return bench.post("inlay-file", {"file": file, "data": base64.b64encode(data).decode("ascii")})


def kinds(bench: Open, name: str) -> dict[str, Any]:
    text = (bench.folder / f"{name}.toml").read_text("utf-8")
    return dict(bench.post("inlay-kinds", {"name": name, "text": text}).json())


def test_every_shape_has_a_picture_and_places_that_are_free_come_first(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "kinds")
    told = kinds(bench, "kinds")
    assert [each["name"] for each in told["shapes"]] == list(SHAPES)
    assert len({each["drawing"] for each in told["shapes"]}) == len(SHAPES)
    taken = {each["fret"] for each in told["spaces"] if each["taken"]}
    assert taken == {5, 7, 10, 12, 15} and told["first"] == "9"
    assert told["materials"] == [] and "mother-of-pearl" in told["usual"]


def test_names_that_frets_are_called_by_are_those_that_their_field_takes(bench: Open) -> None:
    bench.copy("plover-dulcimer", "named")
    called = [each["called"] for each in kinds(bench, "named")["spaces"]]
    assert called[:2] == ['"1"', '"2"'] and "6+" in called


def test_sizes_are_in_the_unit_of_the_file(bench: Open) -> None:
    bench.copy("dunlin-initials", "in inches")
    first = kinds(bench, "in inches")["spaces"][0]
    assert 0.3 < first["along"] < 1.0 and 0.3 < first["across"] < 1.5


def test_a_drawing_is_kept_once_and_over_no_other(bench: Open) -> None:
    told = kept(bench, "one leaf.svg", SQUARE).json()
    assert (told["file"], round(told["along"] / told["across"], 6)) == ("one leaf.svg", 1.5)
    assert (bench.folder / "one leaf.svg").read_bytes() == SQUARE
    assert kept(bench, "one leaf.svg", SQUARE).status_code == 200
    other = kept(bench, "one leaf.svg", VINE)
    assert other.status_code == 409 and "another name" in other.json()["wrong"]
    assert (bench.folder / "one leaf.svg").read_bytes() == SQUARE
    assert not [each.name for each in bench.folder.iterdir() if "pearlkerf-part" in each.name]


@pytest.mark.parametrize(
    ("file", "data", "status"),
    [
        ("../out.svg", SQUARE, 422), ("a/b.svg", SQUARE, 422), (".hidden.svg", SQUARE, 422), ("x.toml", SQUARE, 422),
        ("x", SQUARE, 422), ("\u202e.svg", SQUARE, 422), ("C:x.svg", SQUARE, 422), ("none.svg", b"<svg", 422),
        ("none.svg", b"", 422), ("open.svg", SQUARE.replace(b"Z", b"").replace(b"V6H0", b""), 422),
        ("none.ttf", SQUARE, 422), ("none.dxf", SQUARE, 422), ("big.svg", b"x" * (4 << 20), 413),
    ],
)  # fmt: skip
def test_what_is_no_drawing_or_would_lie_elsewhere_is_not_kept(
    bench: Open, file: str, data: bytes, status: int
) -> None:
    before = {each.name for each in bench.folder.parent.rglob("*")}
    assert kept(bench, file, data).status_code == status
    assert {each.name for each in bench.folder.parent.rglob("*")} == before


def test_what_is_no_file_at_all_is_told(bench: Open) -> None:
    assert bench.post("inlay-file", {"file": "x.svg", "data": "§"}).status_code == 400
    assert bench.post("inlay-file", {"file": "x.svg"}).status_code == 400
    assert bench.post("inlay-kinds", {"name": "x"}).status_code == 400
    assert bench.post("edit", {"name": "x", "text": "", "edits": [
        {"do": "add", "at": ["inlay"], "typed": {"nothing": "1"}}]}).status_code == 400  # fmt: skip


def test_a_folder_that_takes_no_drawing_is_told(bench: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    def read_only(part: Path, data: bytes) -> None:
        raise OSError(30, "Read-only file system", str(part))

    monkeypatch.setattr(whole, "write_through", read_only)
    told = kept(bench, "read only.svg", SQUARE)
    assert told.status_code == 507 and "Read-only file system" in told.json()["wrong"]
    assert not (bench.folder / "read only.svg").exists()


def test_drawings_that_cannot_be_taken_are_listed_with_the_reason_and_those_of_jobs_not_at_all(bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "listed")
    drawings = bench.folder / "drawings"
    drawings.mkdir(exist_ok=True)
    (drawings / "fine.svg").write_bytes(SQUARE)
    (drawings / "text.svg").write_bytes(SQUARE.replace(b'<path d="M0 0H9V6H0Z"/>', b"<text>no</text>"))
    job = bench.folder / "listed-job"
    job.mkdir()
    (job / "job.json").write_text("{}")
    (job / "a.svg").write_bytes(SQUARE)
    (bench.folder / "out.svg").symlink_to(EXAMPLES / "tern-vine.svg")
    told = {each["file"]: each for each in kinds(bench, "listed")["drawings"]}
    assert told["drawings/fine.svg"]["drawing"] and "wrong" not in told["drawings/fine.svg"]
    assert "text" in told["drawings/text.svg"]["wrong"]
    assert "leads out of the folder" in told["out.svg"]["wrong"]
    assert "listed-job/a.svg" not in told
    (bench.folder / "out.svg").unlink()


playwright = pytest.importorskip("playwright.sync_api")
expect = playwright.expect


@pytest.fixture
def at(browser_of_bench: Any, bench: Open) -> Iterator[Window]:
    with window(browser_of_bench, bench) as held:
        yield held
        assert held.asked_of_others() == []


def let_in(page: Any, what: str) -> None:
    page.locator(f"label[for='adder-{what}']").click()
    page.get_by_role("button", name="Let it in").click()
    page.locator(".field[data-field='inlay.0.frets']").wait_for()


@pytest.mark.browser
@needs_chromium
@pytest.mark.parametrize(
    ("example", "what"),
    [("harbour-steel-string", "shape-star"), ("ferry-left-handed-electric", "shape-cat-s-eye"),
     ("curlew-slanted-seven", "shape-block"), ("plover-dulcimer", "shape-diamond"),
     ("gull-octave-mandolin", "shape-snowflake")],
)  # fmt: skip
def test_a_shape_is_let_in_with_a_click_and_is_right(at: Window, bench: Open, example: str, what: str) -> None:
    path = bench.copy(example, f"in {example}")
    page = at.board(f"in {example}")
    page.locator("label[for=pick-inlays]").click()
    let_in(page, what)
    expect(page.locator(".stamp")).to_contain_text("right")
    expect(page.locator("#pick-inlays")).to_be_checked()
    expect(page.locator(".kept")).to_have_attribute("data-kept", "saved")
    held = tomllib.loads(path.read_text("utf-8"))
    assert held["inlay"][0]["shape"].replace("'", "-").replace(" ", "-") == what.removeprefix("shape-")
    assert held["inlay_blank"][0]["thickness"] == "1.5 mm"
    page.locator("label[for=pick-inlays]").click()
    expect(page.locator("[data-ticket=inlays] .sum")).not_to_contain_text("2")
    expect(page.locator("#pick-inlays")).not_to_be_checked()


@pytest.mark.browser
@needs_chromium
def test_a_drawing_is_dropped_on_the_page_and_let_in(at: Window, bench: Open) -> None:
    path = bench.copy("harbour-steel-string", "dropped")
    page = at.board("dropped", "?ticket=inlays")
    page.locator(".drop").wait_for()
    sent = page.evaluate_handle(
        "text => { const sent = new DataTransfer(); sent.items.add(new File([text], 'the leaf.svg')); return sent; }",
        SQUARE.decode("ascii"),
    )
    page.locator(".drop").dispatch_event("drop", {"dataTransfer": sent})
    expect(page.get_by_label("the leaf.svg")).to_be_checked()
    assert (bench.folder / "the leaf.svg").read_bytes() == SQUARE
    page.get_by_label("In which fret spaces").fill("1, 2")
    page.get_by_role("button", name="Let it in").click()
    expect(page.locator(".plan [data-name='the leaf 2']").first).to_be_attached()
    expect(page.locator(".kept")).to_have_attribute("data-kept", "saved")
    (inlay,) = tomllib.loads(path.read_text("utf-8"))["inlay"]
    assert (inlay["outline"], inlay["frets"]) == ("the leaf.svg", [1, 2])
    page.get_by_text("Let an inlay in").click()
    page.locator("label[for=adder-letters]").click()
    page.get_by_role("button", name="Let it in").click()
    expect(page.locator(".adder .told.wrong")).to_contain_text("Which letters")
    page.get_by_label("Which letters").fill("HL")
    page.get_by_label("I cut the pieces by hand").check()
    page.get_by_role("button", name="Let it in").click()
    expect(page.locator(".plan [data-name='HL 4/1']").first).to_be_attached()
    expect(page.locator(".stamp")).to_contain_text("right")


@pytest.mark.browser
@needs_chromium
def test_another_drawing_of_a_name_is_kept_under_a_name_of_its_own(at: Window, bench: Open) -> None:
    shutil.copy(EXAMPLES / "tern-vine.svg", bench.folder / "twice.svg")
    bench.copy("harbour-steel-string", "named twice")
    page = at.board("named twice", "?ticket=inlays")
    page.locator("#adder-file").set_input_files({"name": "twice.svg", "mimeType": "image/svg+xml", "buffer": SQUARE})
    expect(page.locator(".adder .told.wrong")).to_contain_text("another twice.svg already")
    page.get_by_role("button", name="Keep it under this name").click()
    expect(page.get_by_label("twice 2.svg")).to_be_checked()
    assert (bench.folder / "twice 2.svg").read_bytes() == SQUARE
    assert (bench.folder / "twice.svg").read_bytes() == VINE
