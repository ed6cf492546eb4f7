"""The shell in a real browser: a photograph laid flat, a piece dragged over a colour, and cut there."""

import io
import re
import tomllib
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from benches import Open, Window, quiet_window, window
from cameras import PX, SPOT, WIDE_MM, camera, corners, photograph
from complaints import rules_broken
from inlaid import BOARD
from pages import HOSTILE, needs_chromium
from pearlkerf.cli import main

playwright = pytest.importorskip("playwright.sync_api")
expect = playwright.expect

pytestmark = [pytest.mark.browser, needs_chromium]
MACHINE = "benchtop-arcs"
TEXT = BOARD.format(gap=0.05)
BY = camera(35, 12, 55)
SPOT_AT = (31.0, 15.5)
WITHIN_MM = 0.2


@pytest.fixture
def at(browser_of_bench: Any, bench: Open) -> Iterator[Window]:
    with quiet_window(browser_of_bench, bench) as held:
        yield held


def opened(held: Window, bench: Open, name: str, text: str = TEXT) -> Any:
    (bench.folder / f"{name}.toml").write_text(text, encoding="utf-8")
    held.page.goto(f"{bench.origin}/board/{name}/shell")
    held.page.locator("html[data-ready=shell]").wait_for()
    held.page.locator("#shell-machine").select_option(MACHINE)
    expect(held.page.locator(".by-command code").last).to_contain_text(MACHINE)
    return held.page


def taken_in(page: Any, data: bytes, called: str = "shell.png") -> None:
    page.locator("#photograph").set_input_files({"name": called, "mimeType": "image/png", "buffer": data})


def marked(page: Any) -> None:
    """Touch the four corners, as a hand does, and say that these are they."""
    page.locator(".corners").wait_for()
    box = page.locator(".corners").bounding_box()
    for x, y in corners(BY):
        page.mouse.click(box["x"] + x / PX[0] * box["width"], box["y"] + y / PX[1] * box["height"])
    page.get_by_role("button", name="These are its corners").click()
    expect(page.locator(".marking")).to_be_hidden()
    expect(page.locator(".photograph")).to_be_visible()


def client(page: Any, x: float, y: float) -> tuple[float, float]:
    """Give where a place of the blank is in the window."""
    ask = """([x, y]) => {
        const from = document.querySelector(".laid").getScreenCTM();
        const { x: right, y: down } = new DOMPoint(x, y).matrixTransform(from);
        return [right, down]; }"""
    found = page.evaluate(ask, [x, WIDE_MM - y])
    return found[0], found[1]


def grasp(page: Any, piece: str) -> tuple[float, float]:
    """Take a piece by its number, and give where the hand is."""
    box = page.locator(f".piece[data-piece='{piece}'] text").bounding_box()
    hand = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(*hand)
    page.mouse.down()
    return hand


def places(bench: Open, name: str) -> dict[str, dict[str, Any]]:
    (blank, *_) = tomllib.loads((bench.folder / f"{name}.toml").read_text("utf-8"))["inlay_blank"]
    return {each["piece"]: each for each in blank.get("place", [])}


def saved(page: Any) -> None:
    expect(page.locator(".head .kept")).to_have_attribute("data-kept", "saved")


def spot_mm(page: Any) -> tuple[float, float]:
    """Give where the coloured spot shows on the blank once the page has come to rest, some seconds at most."""
    for _ in range(20):
        found = _spot_now_mm(page)
        if found == pytest.approx(SPOT_AT, abs=WITHIN_MM):
            break
        page.wait_for_timeout(250)
    return found


def _spot_now_mm(page: Any) -> tuple[float, float]:
    """Give where it shows by the window's own pixels."""
    page.locator(".bed").scroll_into_view_if_needed()
    pixels = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB")).astype(int)
    rows, columns = np.nonzero(np.abs(pixels - SPOT).sum(axis=2) < 60)
    assert len(rows) > 100
    ask = """([x, y]) => {
        const to = document.querySelector(".laid").getScreenCTM().inverse();
        const { x: along, y: down } = new DOMPoint(x, y).matrixTransform(to);
        return [along, down]; }"""
    x, y = page.evaluate(ask, [float(columns.mean()) + 0.5, float(rows.mean()) + 0.5])
    return x, WIDE_MM - y


def test_a_piece_is_dragged_over_a_colour_of_a_photograph_turned_and_cut_there(at: Window, bench: Open) -> None:
    page = opened(at, bench, "coloured")
    taken_in(page, photograph(BY, SPOT_AT))
    marked(page)
    assert spot_mm(page) == pytest.approx(SPOT_AT, abs=WITHIN_MM)
    middle = page.locator(".piece[data-piece='moon 3']").evaluate("each => each.transform.baseVal.getItem(0).matrix.e")
    high = page.locator(".piece[data-piece='moon 3']").evaluate("each => each.transform.baseVal.getItem(0).matrix.f")
    from_x, from_y = client(page, middle, WIDE_MM - high)
    to_x, to_y = client(page, *SPOT_AT)
    hand_x, hand_y = grasp(page, "moon 3")
    page.mouse.move(hand_x + to_x - from_x, hand_y + to_y - from_y, steps=5)
    page.mouse.up()
    expect(page.locator(".piece.placed[data-piece='moon 3']")).to_have_count(1)
    page.locator(".piece[data-piece='moon 3']").focus()
    turned = places(bench, "coloured").get("moon 3", {}).get("turn", 0)
    page.keyboard.press("r")
    expect(page.locator("#piece-turn")).to_have_value(str((turned + 15) % 360))
    page.get_by_role("button", name="Make it").click()
    expect(page.locator(".proved")).to_be_visible(timeout=60_000)
    place = places(bench, "coloured")["moon 3"]
    assert place["at"] == pytest.approx(SPOT_AT, abs=WITHIN_MM) and place["turn"] == (turned + 15) % 360
    job = bench.folder / "coloured-pieces"
    heads = "".join(path.read_text("latin-1") for path in job.iterdir() if path.suffix in (".nc", ".ngc", ".tap"))
    x, y = place["at"]
    assert re.search(rf"place=1/\d+/{x:.3f}/{y:.3f}/{place['turn']:.1f}", heads)
    by_command = bench.folder / "coloured-by-command"
    board = str(bench.folder / "coloured.toml")
    assert CliRunner().invoke(main, ["pieces", board, "-m", MACHINE, "-o", str(by_command)]).exit_code == 0
    assert {path.name: path.read_bytes() for path in job.iterdir()} == {
        path.name: path.read_bytes() for path in by_command.iterdir()
    }
    page.get_by_role("button", name="These are cut").click()
    expect(page.get_by_text("Marked as used. Tick")).to_be_visible()
    saved(page)
    (blank, *_) = tomllib.loads((bench.folder / "coloured.toml").read_text("utf-8"))["inlay_blank"]
    assert len(blank["used"]) == 3 and "place" not in blank
    expect(page.locator(".laid .used")).not_to_have_count(0)
    page.reload()
    expect(page.locator(".photograph")).to_be_visible()  # it is there next time, and lies as it did
    assert spot_mm(page) == pytest.approx(SPOT_AT, abs=WITHIN_MM)


def test_what_cannot_lie_so_is_told_while_it_is_dragged_and_goes_back(at: Window, bench: Open) -> None:
    text = TEXT.replace("count = 4\n", 'count = 4\nplace = [{ piece = "ring 7", blank = 1, at = [30, 12] }]\n')
    page = opened(at, bench, "dragged", text)
    expect(page.locator(".piece.placed")).to_have_count(1)
    before = page.locator(".piece[data-piece='moon 3']").get_attribute("transform")
    grasp(page, "moon 3")
    page.mouse.move(*client(page, 28, 12), steps=4)
    expect(page.locator(".piece.wrong[data-piece='moon 3']")).to_have_count(1)
    expect(page.locator(".shell-aside .told.wrong")).to_contain_text("too near that of ring 7")
    page.keyboard.press("Escape")
    page.mouse.up()
    assert page.locator(".piece[data-piece='moon 3']").get_attribute("transform") == before
    assert list(places(bench, "dragged")) == ["ring 7"]
    grasp(page, "ring 7")
    page.mouse.move(*client(page, -6, 12), steps=3)
    page.mouse.up()
    expect(page.locator(".piece.placed")).to_have_count(0)
    saved(page)
    assert places(bench, "dragged") == {}
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".piece.placed")).to_have_count(1)


def test_keys_alone_lay_move_turn_and_let_go(at: Window, bench: Open) -> None:
    page = opened(at, bench, "by keys")
    page.locator("#piece-row-0").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".piece.held[data-piece='moon 3']")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(".piece.placed[data-piece='moon 3']")).to_be_focused()
    x, y = (float(page.locator(f"#piece-{side}").input_value()) for side in ("x", "y"))
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowUp", ","):
        page.keyboard.press(key)
    expect(page.locator("#piece-x")).to_have_value(f"{x + 0.2:.2f}")
    expect(page.locator(".head .kept")).to_have_attribute("data-kept", "saving")
    saved(page)
    place = places(bench, "by keys")["moon 3"]
    assert place["at"] == pytest.approx([x + 0.2, y + 1], abs=0.006) and place["turn"] == 1
    page.keyboard.press("Control+z")
    expect(page.locator("#piece-x")).to_have_value(f"{x:.2f}")
    page.locator("#piece-x").fill("1/2 in")
    page.locator("#piece-x").press("Enter")
    expect(page.locator("#piece-x")).to_have_value("12.70")
    page.locator("#piece-blank").select_option("0,3")
    expect(page.locator(".sheet-head")).to_contain_text("mother-of-pearl 3 of 4")
    page.locator(".piece[data-piece='moon 3']").focus()
    page.keyboard.press("Delete")
    expect(page.locator(".piece.placed")).to_have_count(0)
    saved(page)
    assert places(bench, "by keys") == {}


def test_what_is_no_length_is_told_and_changes_nothing(browser_of_bench: Any, bench: Open) -> None:
    with window(browser_of_bench, bench) as held:
        page = opened(held, bench, "no length")
        page.locator("#piece-row-0").click()
        before = page.locator("#piece-x").input_value()
        page.locator("#piece-x").fill("far")
        page.locator("#piece-x").press("Enter")
        expect(page.locator(".notice")).to_contain_text("write a length")
        expect(page.locator("#piece-x")).to_have_value(before)
        assert places(bench, "no length") == {} and page.get_by_role("button", name="Undo").is_disabled()


def test_corners_are_marked_by_keys_and_kept(at: Window, bench: Open) -> None:
    page = opened(at, bench, "corner keys")
    taken_in(page, photograph(BY, SPOT_AT))
    page.locator(".corners").wait_for()
    for index, (x, y) in enumerate(corners(BY)):
        corner = page.locator(f"[data-corner='{index}']")
        corner.focus()
        words = corner.get_attribute("aria-label")
        at_x, at_y = (int(each) for each in re.findall(r"\d+", words))
        for off, keys in ((round(x) - at_x, ("ArrowLeft", "ArrowRight")), (round(y) - at_y, ("ArrowUp", "ArrowDown"))):
            for key, count in (("Shift+", abs(off) // 10), ("", abs(off) % 10)):
                for _ in range(count):
                    page.keyboard.press(f"{key}{keys[off > 0]}")
        expect(corner).to_have_attribute("aria-label", re.compile(rf"\b{round(x)}\b.*\b{round(y)}\b"))
    page.get_by_role("button", name="These are its corners").press("Enter")
    expect(page.locator(".photograph")).to_be_visible()
    assert spot_mm(page) == pytest.approx(SPOT_AT, abs=WITHIN_MM)


@pytest.mark.parametrize(
    "data", [f"<html><body>{HOSTILE}</body></html>".encode(), b"", b"<svg xmlns='http://www.w3.org/2000/svg'/>"]
)
def test_a_file_that_is_no_picture_is_told_and_goes_nowhere(at: Window, bench: Open, data: bytes) -> None:
    page = opened(at, bench, "no picture")
    taken_in(page, data)
    expect(page.get_by_text("cannot read that as a picture")).to_be_visible()
    assert not (bench.folder / "no picture-shell").exists()


def test_hostile_names_are_shown_and_never_run(at: Window, bench: Open) -> None:
    image = "<img src=x onerror=alert(1)>"
    text = TEXT.replace('name = "moon"', f'name = "{image}"').replace("mother-of-pearl", f"shell {image}")
    page = opened(at, bench, "hostile shell", text)
    expect(page.get_by_text(image).first).to_be_visible()
    assert page.locator("main img:not(.photograph)").count() == 0


def test_a_closer_packing_is_only_proposed(at: Window, bench: Open) -> None:
    page = opened(at, bench, "proposed")
    before = (bench.folder / "proposed.toml").read_text("utf-8")
    page.locator("#shell-seconds").fill("1")
    page.get_by_role("button", name="Look for a closer packing").click()
    expect(page.get_by_text("as boxes;")).to_be_visible(timeout=60_000)
    expect(page.locator(".nesting .by-command code")).to_have_text(
        "pearlkerf nest proposed.toml -m benchtop-arcs --seconds 1"
    )
    assert (bench.folder / "proposed.toml").read_text("utf-8") == before


def test_what_is_proposed_is_in_the_file_once_it_is_taken(at: Window, bench: Open) -> None:
    page = opened(at, bench, "taken")
    added = [{"piece": "moon 3", "blank": [0, 2], "at": [9.5, 9.25], "turn": 30}]
    found = {"material": "mother-of-pearl", "pieces": 3, "laid": 3, "blanks": 2, "closer": 1, "added": added}
    page.route(
        "**/api/making/taken-nest",
        lambda route: route.fulfill(json={"state": "ended", "doing": [], "proposed": [found]}),
    )
    page.get_by_role("button", name="Look for a closer packing").click()
    expect(page.get_by_text("all of them on 1, closer")).to_be_visible()
    assert places(bench, "taken") == {}
    page.get_by_role("button", name="Take these places").click()
    expect(page.locator("#piece-row-0")).to_contain_text("laid at 9.50, 9.25 mm, turned 30")
    saved(page)
    assert places(bench, "taken") == {"moon 3": {"piece": "moon 3", "blank": 2, "at": [9.5, 9.25], "turn": 30}}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_shell_keeps_the_rules_of_axe(browser_of_bench: Any, bench: Open, scheme: str) -> None:
    text = TEXT.replace(
        "count = 4\n", 'count = 4\nused = [{ box = [0, 0, 5, 25] }]\nplace = [{ piece = "ring 7", at = [3, 9] }]\n'
    )
    wanted = {"color_scheme": scheme, "bypass_csp": True, "viewport": {"width": 820, "height": 1000}}
    with window(browser_of_bench, bench, **wanted) as held:
        page = opened(held, bench, f"axe shell {scheme}", text)
        taken_in(page, photograph(BY, SPOT_AT))
        page.locator(".corners").wait_for()
        assert rules_broken(page) == []
        marked(page)
        page.locator("#piece-row-0").click()
        assert rules_broken(page) == []


@pytest.mark.parametrize("width", [820, 1440, 2560])
def test_nothing_of_the_shell_runs_out_of_the_page(browser_of_bench: Any, bench: Open, width: int) -> None:
    with window(browser_of_bench, bench, viewport={"width": width, "height": 1000}) as held:
        page = opened(held, bench, "wide shell")
        page.locator("#piece-row-0").click()
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        inside = page.locator("main *:visible").evaluate_all(
            """all => all.filter(each => !each.closest('.bed') && each.getBoundingClientRect().right > innerWidth + 1)
                         .length"""
        )
        assert inside == 0
        controls = page.locator(":is(button, input[type=text], select, label.button):visible")
        low = "all => all.filter(each => each.getBoundingClientRect().height < 43.5).map(each => each.outerHTML)"
        for _ in range(20):  # what is redrawn for the piece in hand has its height once it is laid out
            if not controls.evaluate_all(low):
                break
            page.wait_for_timeout(100)
        assert controls.evaluate_all(low) == []
