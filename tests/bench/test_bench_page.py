"""The bench in a real browser: from an empty folder to a board, without a file being typed."""

import hashlib
import re
import time
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from benches import Open, Window, opened, quiet_window, window
from complaints import of_the_page, rules_broken
from how_often import EXAMPLES
from inlaid import BOARD
from pages import HOSTILE, needs_chromium
from pearlkerf.cli import main
from pearlkerf.pictures.page.page import asset

playwright = pytest.importorskip("playwright.sync_api")
expect = playwright.expect

pytestmark = [pytest.mark.browser, needs_chromium]
ROOT = Path(__file__).parents[2]


@pytest.fixture
def at(browser_of_bench: Any, bench: Open) -> Iterator[Window]:
    with quiet_window(browser_of_bench, bench) as held:
        yield held


def field(page: Any, place: str) -> Any:
    return page.locator(f"[data-field='{place}'] input[type=text], [data-field='{place}'] textarea").first


def saved(page: Any) -> None:
    expect(page.locator(".kept")).to_have_attribute("data-kept", "saved")


def test_from_an_empty_folder_to_a_proved_job(browser_of_bench: Any, tmp_path: Path) -> None:
    with opened(tmp_path) as bench, window(browser_of_bench, bench) as held:
        page = held.page
        page.goto(bench.origin)
        expect(page.get_by_role("heading", name="What are you building?")).to_be_visible()
        page.get_by_role("button", name="tenor ukulele").click()
        page.get_by_label("How long is its scale?").fill("17 1/4 in")
        page.locator("label[for=new-unit-mm]").click()
        page.get_by_label("What is it called?").fill("wren, second")
        page.get_by_role("button", name="Draw it").click()
        expect(page.get_by_role("heading", name="wren, second")).to_be_visible()
        expect(page.locator(".stamp")).to_contain_text("right")
        assert tomllib.loads((tmp_path / "wren, second.toml").read_text("utf-8"))["scale"]["length"] == "17 1/4 in"
        page.get_by_role("button", name="Make the programs").click()
        page.locator("html[data-ready=job]").wait_for()
        page.locator("#job-machine").select_option("benchtop-arcs")
        expect(page.locator(".by-command code")).to_contain_text("-m benchtop-arcs")
        page.get_by_role("button", name="Make the programs").click()
        expect(page.locator(".proved")).to_be_visible(timeout=60_000)
        assert bench.client.get("/job/wren, second/cut/job-card.pdf").content.startswith(b"%PDF")
        # a fit is found on a coupon and taken over; the job is then of an older board, and is made again
        page.get_by_role("link", name="What fits? Try it in scrap first.").click()
        page.locator("html[data-ready=fits]").wait_for()
        coupon = page.locator(".ticket", has_text="Which one fits?")
        coupon.get_by_role("button", name="Make it").click()
        expect(coupon.locator(".proved")).to_be_visible(timeout=60_000)
        page.locator("[data-sample^='pocket 4']").click()
        expect(page.locator("[data-group='face dots'] .now-fit")).to_contain_text("+0.025 mm")
        assert tomllib.loads((tmp_path / "wren, second.toml").read_text("utf-8"))["face_dots"]["fit"] == 0.025
        page.get_by_role("link", name="the job").click()
        page.locator("html[data-ready=job]").wait_for()
        expect(page.locator(".stamp")).to_have_text("changed since it was made")
        expect(page.locator(".told.doubtful", has_text="not tried in scrap")).to_have_count(0)
        page.get_by_role("button", name="Make the programs").click()
        expect(page.locator(".stamp")).to_have_text("proved", timeout=60_000)
        by_command = tmp_path / "by-command"
        board = str(tmp_path / "wren, second.toml")
        assert CliRunner().invoke(main, ["cut", board, "-m", "benchtop-arcs", "-o", str(by_command)]).exit_code == 0
        by_page = {path.name: path.read_bytes() for path in (tmp_path / "wren, second-job").iterdir()}
        assert by_page == {path.name: path.read_bytes() for path in by_command.iterdir()}
        page.get_by_role("link", name="all boards").click()
        expect(page.get_by_role("link", name="wren, second")).to_contain_text("made")


def test_a_figure_that_is_typed_is_drawn_told_mended_and_saved(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "typed")
    page = at.board("typed", "?ticket=face-dots")
    before = page.locator(".plan").inner_html()
    field(page, "face_dots.diameter").fill("45")
    told = page.locator("[data-field='face_dots.diameter'] .told.wrong")
    expect(told.first).to_contain_text("too large")
    expect(page.locator(".stamp")).to_contain_text("mistake")
    assert page.locator(".plan").inner_html() != before
    field(page, "face_dots.diameter").fill("5 1/2 mm")
    expect(told).to_have_count(0)
    saved(page)
    assert 'diameter = "5 1/2 mm"' in path.read_text("utf-8")


def test_a_mend_is_a_click(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "mended")
    page = at.board("mended", "?ticket=instrument")
    field(page, "scale.length").fill("17")
    page.locator("[data-field='scale.length'] button", has_text="take 17 in").click()
    expect(field(page, "scale.length")).to_have_value("17 in")
    expect(page.locator(".stamp")).to_have_text("right")
    saved(page)
    assert tomllib.loads(path.read_text("utf-8"))["scale"]["length"] == "17 in"


def test_comments_and_lengths_stay_as_written(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "commented")
    before = path.read_text("utf-8").splitlines()
    page = at.board("commented", "?ticket=slots")
    field(page, "fret_slots.depth").fill("1.8")
    saved(page)
    after = path.read_text("utf-8").splitlines()
    assert [line for line in before if line not in after] == ["depth = 1.7"]
    assert [line for line in after if line not in before] == ["depth = 1.8"]


def test_undo_and_redo(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "undone")
    before = path.read_text("utf-8")
    page = at.board("undone", "?ticket=slots")
    field(page, "fret_slots.depth").fill("1.8")
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.8 below")
    page.keyboard.press("Control+z")
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.7 below")
    saved(page)
    assert path.read_text("utf-8") == before
    page.get_by_role("button", name="Redo").click()
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.8 below")
    page.keyboard.press("Control+z")
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.7 below")
    page.keyboard.press("Control+y")
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.8 below")
    page.keyboard.press("Control+z")
    page.keyboard.press("Control+Shift+z")
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.8 below")


def test_keys_open_shut_and_go_between_tickets(at: Window, bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "keys")
    page = at.board("keys")
    page.locator("[data-ticket=instrument] h2 button").focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.locator("[data-ticket=board] .body")).to_be_visible()
    assert "ticket=board" in page.url
    page.keyboard.press("Tab")
    page.keyboard.press("Escape")
    expect(page.locator("[data-ticket=board] .body")).to_be_hidden()
    page.go_back()
    expect(page.locator("[data-ticket=board] .body")).to_be_visible()


def test_a_touched_dot_opens_its_ticket_and_a_figure_its_field(at: Window, bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "touched")
    page = at.board("touched")
    page.locator(".plan [data-name='face dot 7']").first.click(force=True)
    expect(page.locator("[data-ticket=face-dots] .body")).to_be_visible()
    page.locator(".plan [data-figure='board.nut_width'] text").click()
    expect(field(page, "board.nut_width")).to_be_focused()
    expect(page.locator(".plan .dimension.lit")).to_have_count(1)


def test_the_section_goes_from_fret_to_fret(at: Window, bench: Open) -> None:
    bench.copy("harbour-steel-string", "across")
    page = at.board("across")
    expect(page.locator(".section.picture title")).to_have_text("cut across at fret 12, seen from the nut")
    page.get_by_role("button", name="One fret toward the bridge").click()
    expect(page.locator(".section.picture title")).to_have_text("cut across at fret 13, seen from the nut")
    assert "fret=13" in page.url


def test_a_picture_says_how_the_board_comes(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "picked")
    page = at.board("picked")
    page.locator("label[for=pick-outline]").click()
    expect(page.locator(".plan .blank")).to_have_count(0)
    page.locator("label[for=pick-side-dots]").click()
    expect(page.locator("[data-ticket=side-dots] .sum")).to_have_text("none")
    saved(page)
    assert not {"blank", "side_dots"} & tomllib.loads(path.read_text("utf-8")).keys()


def test_the_text_is_the_same_board(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "written")
    page = at.board("written")
    page.get_by_text("As text").click()
    area = page.locator("#as-text")
    expect(area).to_have_value(path.read_text("utf-8"))
    area.fill(area.input_value().replace("depth = 1.7", "depth = 1,7"))
    expect(page.locator(".line-marks")).to_contain_text("not TOML")
    expect(page.locator(".drawn").first).to_be_visible()
    area.fill(area.input_value().replace("depth = 1,7", "depth = 1.9"))
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.9 below")
    saved(page)
    assert "depth = 1.9" in path.read_text("utf-8")


def test_two_windows_on_one_board(browser_of_bench: Any, at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "twice")
    page = at.board("twice", "?ticket=slots")
    with window(browser_of_bench, bench) as second:
        other = second.board("twice", "?ticket=face-dots")
        field(page, "fret_slots.depth").fill("1.8")
        saved(page)
        field(other, "face_dots.diameter").fill("5")
        notice = other.locator(".notice")
        expect(notice).to_contain_text("changed by somebody else")
        assert "depth = 1.8" in path.read_text("utf-8")
        other.get_by_role("button", name="Show the other").click()
        expect(other.locator("[data-ticket=slots] .sum")).to_contain_text("1.8 below")
        other.get_by_role("button", name="Undo").click()
        expect(other.locator("[data-ticket=face-dots] .sum")).to_contain_text("5.0 mm")


def test_a_file_that_was_changed_outside_is_shown_when_the_window_comes_back(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "outside")
    page = at.board("outside")
    path.write_text(path.read_text("utf-8").replace("depth = 1.7", "depth = 1.6"), encoding="utf-8")
    page.evaluate("dispatchEvent(new Event('focus'))")
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.6 below")


def test_what_cannot_be_saved_is_told_and_kept(browser_of_bench: Any, bench: Open, monkeypatch: Any) -> None:
    from pearlkerf.files import whole

    path = bench.copy("wren-tenor-ukulele", "read only")
    before = path.read_bytes()

    def read_only(part: Path, data: bytes) -> None:
        raise OSError(30, "Read-only file system", str(part))

    with window(browser_of_bench, bench) as held:
        page = held.board("read only", "?ticket=slots")
        with monkeypatch.context() as broken:
            broken.setattr(whole, "write_through", read_only)
            field(page, "fret_slots.depth").fill("1.8")
            expect(page.locator(".notice")).to_contain_text("Read-only file system")
            expect(page.locator(".kept")).to_have_text("not saved")
            assert path.read_bytes() == before
        page.get_by_role("button", name="Try again").click()
        saved(page)
        expect(page.locator(".notice")).to_have_count(0)
    assert b"depth = 1.8" in path.read_bytes()


def test_a_bench_that_was_closed_is_told(browser_of_bench: Any, tmp_path: Path) -> None:
    with opened(tmp_path) as bench:
        bench.copy("wren-tenor-ukulele", "closed")
        with window(browser_of_bench, bench) as held:
            page = held.board("closed", "?ticket=slots")
            bench.bench.end()
            page.wait_for_timeout(1500)
            field(page, "fret_slots.depth").fill("1.8")
            expect(page.locator(".notice").first).to_contain_text("does not answer")


def test_hostile_names_and_titles_are_shown_and_never_run(at: Window, bench: Open) -> None:
    title = "\u202e" + HOSTILE.replace("'taken'", "`taken`")
    name = "<img src=x onerror=alert(1)>".replace("<", "‹").replace(">", "›")
    text = (bench.copy("wren-tenor-ukulele", "plain")).read_text("utf-8")
    hostile = text.replace('"Wren tenor ukulele"', tomlkit_string(title)).replace(
        'wood = "maple"', f"wood = {tomlkit_string(HOSTILE)}"
    )
    assert bench.post("new", {"name": name, "text": hostile}).status_code == 200
    page = at.page
    page.goto(bench.origin)
    page.locator("html[data-ready]").wait_for()
    expect(page.get_by_role("link", name="onerror=").first).to_be_visible()
    page.goto(f"{bench.origin}/board/{name}?ticket=instrument")
    page.locator("html[data-ready=board]").wait_for()
    assert page.locator("h1").text_content() == title
    field(page, "title").fill(HOSTILE)
    expect(page.locator("h1")).to_have_text(re.compile(re.escape("onerror")))
    assert page.locator("img, main script").count() == 0
    assert "taken" not in page.title() or "onerror" in page.title()
    saved(page)


def tomlkit_string(text: str) -> str:
    import tomlkit

    return tomlkit.string(text).as_string()


# every address that the bench has, with what must be there before it is looked at
PAGES = {
    "/": "shelf",
    "/board/axe?ticket={ticket}": "board",
    "/board/slanted": "board",
    "/board/axe/job": "job",
    "/board/letters/pieces": "pieces",
    "/board/axe/strip": "strip",
    "/board/letters/fits": "fits",
    "/machines": "machines",
    "/machine/axe router?ticket={ticket}": "machine",
}


@pytest.fixture(scope="module")
def walked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Open]:
    """Give a bench whose folder has a wrong board, a right one whose job it made, and a machine of its own."""
    with opened(tmp_path_factory.mktemp("walked")) as held:
        held.copy("wren-tenor-ukulele", "axe")
        held.copy("curlew-slanted-seven", "slanted")
        held.copy("dunlin-initials", "letters")
        held.post("machine-copy", {"machine": "benchtop-arcs", "to": "axe router"})
        wrong = held.copy("wren-tenor-ukulele", "wrong")
        wrong.write_text(wrong.read_text("utf-8").replace("diameter = 4", "diameter = 45"), encoding="utf-8")
        held.post("make", {"name": "axe", "machine": "benchtop-arcs"})
        while held.client.get("/api/making/axe-job").json()["state"] == "running":
            time.sleep(0.1)
        assert held.client.get("/api/job/axe/cut").json()["made"]
        yield held


WIDTHS = [820, 1440, 2560]


@pytest.mark.parametrize("address", PAGES)
def test_every_page_keeps_the_rules_of_axe_by_day_and_night(browser_of_bench: Any, walked: Open, address: str) -> None:
    """By night only colours are others, so of the rules that of contrast is asked again."""
    wanted = {"viewport": {"width": WIDTHS[0], "height": 1000}, "color_scheme": "light", "bypass_csp": True}
    with window(browser_of_bench, walked, **wanted) as held:
        page = held.page
        for ticket in tickets_of(walked, address):
            page.emulate_media(color_scheme="light")
            page.goto(f"{walked.origin}{address.format(ticket=ticket)}")
            page.locator(f"html[data-ready={PAGES[address]}]").wait_for()
            open_all(page)
            assert rules_broken(page) == [], ticket
            page.emulate_media(color_scheme="dark")
            assert rules_broken(page, ["color-contrast"], more_than=0) == [], ticket


@pytest.mark.parametrize("address", PAGES)
def test_nothing_runs_out_of_any_page_and_every_control_has_room_for_a_finger(
    browser_of_bench: Any, walked: Open, address: str
) -> None:
    """44 px high, as WCAG 2.2, 2.5.5, asks for (from memory)."""
    with window(browser_of_bench, walked) as held:
        page = held.page
        for ticket in tickets_of(walked, address):
            page.goto(f"{walked.origin}{address.format(ticket=ticket)}")
            page.locator(f"html[data-ready={PAGES[address]}]").wait_for()
            open_all(page)
            for width in WIDTHS:
                page.set_viewport_size({"width": width, "height": 1000})
                assert page.evaluate("document.documentElement.scrollWidth") <= width, ticket
                controls = page.locator("button:visible:not(.where), input[type=text]:visible, select:visible")
                heights = controls.evaluate_all("all => all.map(each => each.getBoundingClientRect().height)")
                assert min(heights) > 43.5, ticket


def tickets_of(bench: Open, address: str) -> list[str]:
    """Give the tickets that a page has, as an address names them; one nameless where it has none."""
    if "{ticket}" not in address:
        return [""]
    _, kind, name = address.partition("?")[0].split("/")
    text = (bench.folder / f"{name}.toml").read_text("utf-8")
    return [each["name"] for each in bench.post("look", {"kind": kind, "name": name, "text": text}).json()["tickets"]]


def open_all(page: Any) -> None:
    """Open whatever is shut, but the dry run: that is a page of its own."""
    page.evaluate("for (const each of document.querySelectorAll('details:not(.look)')) each.open = true")
    page.wait_for_timeout(50)


def test_what_is_wrong_keeps_the_rules_of_axe(browser_of_bench: Any, walked: Open) -> None:
    with window(browser_of_bench, walked, bypass_csp=True) as held:
        page = held.board("wrong", "?ticket=face-dots")
        expect(page.locator(".told.wrong").first).to_be_visible()
        assert rules_broken(page) == []


def test_from_a_board_to_a_proved_job_that_is_looked_at_and_ticked(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "to the job")
    page = at.board("to the job", "?ticket=slots")
    field(page, "fret_slots.depth").fill("1.8")
    page.get_by_role("button", name="Make the programs").click()
    page.locator("html[data-ready=job]").wait_for()
    assert "depth = 1.8" in path.read_text("utf-8")
    page.locator("#job-machine").select_option("benchtop-arcs")
    expect(page.locator(".by-command code")).to_contain_text("-m benchtop-arcs")
    page.get_by_role("button", name="Make the programs").click()
    expect(page.locator(".proved")).to_be_visible(timeout=30_000)
    expect(page.locator(".stamp")).to_have_text("proved")
    expect(page.locator(".told.doubtful", has_text="not tried in scrap")).to_be_visible()
    page.get_by_text("Look: the dry run").click()
    frame = page.frame_locator("iframe.dry-run")
    expect(frame.locator("html[data-ready]")).to_be_attached(timeout=15_000)
    expect(frame.get_by_role("button", name="Watch")).to_be_visible()
    page.locator(".run input").first.check()
    page.reload()
    expect(page.locator(".run input").first).to_be_checked()


def test_a_fit_is_found_on_the_strip_and_taken_over(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "to fit")
    page = at.page
    page.goto(f"{bench.origin}/board/to fit/fits")
    page.locator("html[data-ready=fits]").wait_for()
    page.locator("#fits-machine").select_option("benchtop-arcs")
    coupon = page.locator(".ticket", has_text="Which one fits?")
    expect(coupon.locator("[data-group='frets']")).to_be_visible()
    coupon.get_by_role("group", name="What is tried").get_by_label("frets").uncheck()
    expect(coupon.locator("[data-group='frets']")).to_have_count(0)
    expect(coupon.locator(".by-command")).to_contain_text("--only 'face dots' --only 'side dots'")
    coupon.get_by_role("button", name="Make it").click()
    expect(coupon.locator(".proved")).to_be_visible(timeout=30_000)
    expect(coupon.get_by_role("link", name="Print its card")).to_be_visible()
    page.locator(".strip-picture .pockets[data-name^='pocket 4']").click()
    expect(page.locator("[data-sample^='pocket 4']")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("[data-group='face dots'] .now-fit")).to_have_text("the board has +0.025 mm")
    assert tomllib.loads(path.read_text("utf-8"))["face_dots"]["fit"] == 0.025
    assert bench.client.get("/job/to fit/coupon/coupon-card.pdf").content.startswith(b"%PDF")
    page.get_by_label("slots 1 and 2").fill("3.05")
    expect(page.locator(".says")).to_contain_text("runout")
    page.goto(f"{bench.origin}/board/to fit/job")
    page.locator("html[data-ready=job]").wait_for()


def test_a_gap_is_found_with_the_inlay_s_own_piece(at: Window, bench: Open) -> None:
    path = bench.folder / "a moon.toml"
    path.write_text(BOARD.format(gap=0.05), encoding="utf-8")
    page = at.page
    page.goto(f"{bench.origin}/board/a moon/fits")
    page.locator("html[data-ready=fits]").wait_for()
    page.locator("#fits-machine").select_option("benchtop-arcs")
    inlay = page.locator(".ticket", has_text="Which gap for an inlay?")
    inlay.get_by_label("In steps").select_option("pieces")
    expect(inlay.locator(".by-command")).to_contain_text("--steps-of pieces")
    inlay.get_by_label("In steps").select_option("")
    inlay.get_by_label("from").fill("0")
    inlay.get_by_label("to", exact=True).fill("0.02")
    inlay.get_by_label("by", exact=True).fill("0.02")
    expect(inlay.locator("[data-sample]")).to_have_count(2)
    inlay.get_by_role("button", name="Make it").click()
    expect(inlay.locator(".proved")).to_be_visible(timeout=30_000)
    expect(inlay.get_by_role("link", name="Print the sheet of its blanks")).to_be_visible()
    inlay.locator(".strip-picture .pockets[data-name^='inlay pocket 2']").click()
    expect(inlay.locator("[data-sample^='inlay pocket 2']")).to_be_focused()
    page.keyboard.press("Enter")
    expect(inlay.locator(".now-fit")).to_have_text("the board has +0.070 mm")
    assert [each["gap"] for each in tomllib.loads(path.read_text("utf-8"))["inlay"]] == [0.07, 0.05]
    for file in ("coupon-card.pdf", "pieces-sheet.pdf"):
        assert bench.client.get(f"/job/a moon/inlay/{file}").content.startswith(b"%PDF")


def test_a_machine_is_made_one_s_own_changed_and_told(at: Window, bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "for the router")
    page = at.page
    page.goto(f"{bench.origin}/machines")
    page.locator("html[data-ready=machines]").wait_for()
    card = page.locator(".card", has_text="benchtop-arcs")
    card.get_by_role("button", name="Make it your own").click()
    card.get_by_role("textbox").fill("the router")
    card.get_by_role("textbox").press("Enter")
    page.locator("html[data-ready=machine]").wait_for()
    page.get_by_role("button", name="Cutters").click()
    page.locator(".row.cutter summary").first.click()
    field(page, "cutter.0.reach").fill("0")
    expect(page.locator("[data-field='cutter.0.reach'] .told.wrong")).to_contain_text("too small")
    field(page, "cutter.0.reach").fill("3.2")
    expect(page.locator(".stamp")).to_have_text("right")
    saved(page)
    assert tomllib.loads((bench.folder / "the router.toml").read_text("utf-8"))["cutter"][0]["reach"] == 3.2
    page.locator("#takes-board").select_option("for the router")
    expect(page.locator(".takes tr.chosen").first).to_be_visible(timeout=15_000)


def test_a_place_is_measured_by_a_picture(at: Window, bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "askew")
    page = at.page
    page.goto(f"{bench.origin}/board/askew/job")
    page.locator("html[data-ready=job]").wait_for()
    page.locator("#job-machine").select_option("benchtop-arcs")
    page.get_by_text("It lies askew").click()
    page.get_by_role("button", name="Add a place").click()
    page.get_by_label("Where").select_option("fret 12")
    page.get_by_label("X", exact=True).fill("215.9")
    page.get_by_label("Y", exact=True).fill("0.3")
    expect(page.locator(".by-command code")).to_contain_text("--at 'fret 12=215.9,0.3'")
    expect(page.locator(".touch-picture title")).to_have_text("Touch the centre line at the slot of fret 12")


def test_a_face_is_cut_alone_where_the_edge_is_too_tall_and_measured_from_its_second_zero(
    at: Window, bench: Open
) -> None:
    bench.copy("harbour-steel-string", "two zeros")
    page = at.page
    page.goto(f"{bench.origin}/board/two zeros/job")
    page.locator("html[data-ready=job]").wait_for()
    page.locator("#job-machine").select_option("engraver-300")
    expect(page.locator(".told.wrong")).to_contain_text("stands 56.5 mm tall")
    expect(page.locator(".making button.main")).to_be_disabled()
    expect(page.locator(".making button.main")).to_have_css("background-color", "rgba(0, 0, 0, 0)")
    expect(page.locator(".stages, .setups figure")).to_have_count(0)  # of the machine before
    expect(page.get_by_role("link", name="A strip to drill its edge by")).to_have_count(2)
    page.get_by_role("button", name="Cut the face alone").click()
    expect(page.get_by_label("side dots")).not_to_be_checked()
    expect(page.locator(".making button.main")).to_be_enabled(timeout=15_000)
    page.get_by_text("It is longer than the travel").click()
    expect(page.locator(".option li", has_text="face-2, of 2: zeroed on the slot of fret 5")).to_be_visible()
    expect(page.get_by_role("link", name="make the machine your own")).to_be_visible()
    page.get_by_text("It lies askew").click()
    page.get_by_role("button", name="Add a place").click()
    page.get_by_label("From which zero").select_option("face-2")
    page.get_by_label("X", exact=True).fill("289.3")
    page.get_by_label("Y", exact=True).fill("0.5")
    expect(page.locator(".by-command code")).to_contain_text("--at face-2=289.3,0.5")
    page.get_by_label("face dots").uncheck()
    page.get_by_label("frets").uncheck()
    expect(page.locator(".told.wrong")).to_contain_text("nothing is chosen")
    page.get_by_label("Or these alone, by name").fill("fret 3")
    expect(page.locator(".by-command code")).to_contain_text("--only 'fret 3'")
    expect(page.locator(".told.wrong")).to_have_count(0)
    expect(page.locator(".making button.main")).to_be_enabled()


def test_a_carrier_is_given_to_a_machine_and_drilled(at: Window, bench: Open) -> None:
    bench.copy("harbour-steel-string", "carried")
    bench.post("machine-copy", {"machine": "engraver-300", "to": "carrying"})
    page = at.page
    page.goto(f"{bench.origin}/board/carried/job")
    page.locator("html[data-ready=job]").wait_for()
    page.locator("#job-machine").select_option("./carrying.toml")
    page.get_by_text("It is longer than the travel").click()
    page.get_by_role("link", name="give it one").click()
    page.locator("html[data-ready=machine]").wait_for()
    page.get_by_role("button", name="Add carrier").click()
    field(page, "carrier.pitch").fill("50")
    expect(page.locator(".stamp")).to_contain_text("right")
    saved(page)
    page.goto(f"{bench.origin}/board/carried/job")
    page.locator("html[data-ready=job]").wait_for()
    page.get_by_text("It is longer than the travel").click()
    page.get_by_label("Drill the carrier, in place of the board").check()
    expect(page.locator(".by-command code")).to_contain_text("--carrier")
    expect(page.locator(".setups figcaption").first).to_contain_text("carrier")


def test_one_piece_that_broke_is_made_again(at: Window, bench: Open) -> None:
    bench.copy("dunlin-initials", "broke")
    page = at.page
    page.goto(f"{bench.origin}/board/broke/job")
    page.locator("html[data-ready=job]").wait_for()
    page.get_by_role("link", name="The pieces of its inlays").click()
    page.locator("html[data-ready=pieces]").wait_for()
    page.locator("#job-machine").select_option("benchtop-arcs")
    page.get_by_text("Only some of them").click()
    page.get_by_text("One by one").click()
    page.get_by_label("moon 15").check()
    expect(page.locator(".by-command code")).to_contain_text("--only 'moon 15'")
    page.get_by_role("button", name="Make it").click()
    expect(page.locator(".proved")).to_be_visible(timeout=30_000)
    expect(page.get_by_role("link", name="Print the card of the pieces")).to_be_visible()


def test_the_file_for_the_phone_has_a_card_that_can_be_kept(
    browser_of_bench: Any, walked: Open, tmp_path: Path
) -> None:
    """Opened from the disk, as a phone does it, with nobody to ask."""
    file = tmp_path / "axe-job.html"
    file.write_bytes(walked.client.get("/phone/axe/cut").content)
    context = browser_of_bench.new_context(offline=True, accept_downloads=True)
    page = context.new_page()
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.goto(file.as_uri())
    page.locator("html[data-ready]").wait_for()
    page.get_by_label("1-face-cutter-2.nc: cutter 2 is in").check()
    with page.expect_download() as kept:
        page.get_by_role("link", name="job-card.pdf").click()
    assert Path(kept.value.path()).read_bytes() == (walked.folder / "axe-job" / "job-card.pdf").read_bytes()
    assert of_the_page(complaints) == []
    context.close()


OF_A_FORM = sorted([*(ROOT / "tests" / "board" / "refusals").glob("*.toml"),
                    *(ROOT / "tests" / "machine" / "refusals").glob("*.toml")])  # fmt: skip
EVERY = 1 if EXAMPLES > 100 else 12  # all of them with PEARLKERF_EXAMPLES=200; each is held to the form's data anyway


@pytest.mark.parametrize("path", OF_A_FORM[::EVERY], ids=lambda path: f"{path.parents[1].name}-{path.stem}")
def test_what_is_wrong_is_seen_beside_its_field(refusing: Any, bench: Open, path: Path) -> None:
    kind = path.parents[1].name
    text = path.read_text("utf-8")
    (bench.folder / "refused.toml").write_text(text, encoding="utf-8")
    (bench.folder / "wave.svg").write_bytes(b"")
    page = refusing.page
    page.goto(f"{bench.origin}/{kind}/refused")
    page.locator(f"html[data-ready={kind}]").wait_for()
    view = bench.post("look", {"kind": kind, "name": "refused", "text": text}).json()
    fields = [
        (".".join(map(str, field["place"])), told) for ticket in view["tickets"] or [] for section in ticket["sections"]
        for row in section["rows"] for field in row["fields"] for told in field["told"] if told["weight"] == "wrong"
    ]  # fmt: skip
    for told in (told for _, told in fields):
        listed = page.locator(".all-told li", has=page.locator(f"[data-key='{told['key']}']"))
        expect(listed.filter(has_text=told["found"]).first).to_be_visible()
    for place, told in fields:
        page.locator(".all-told li", has=page.locator(f".told.wrong[data-key='{told['key']}']")).first.locator(
            ".where"
        ).click()
        beside = page.locator(f"[data-field='{place}'] .told.wrong").filter(has_text=told["found"]).first
        expect(beside).to_be_visible()
        expect(beside).to_contain_text(told["hint"])
        expect(beside.locator("button")).to_have_text([mend["label"] for mend in told["mends"]])
    expect(page.locator(".stamp")).to_contain_text("mistake")


@pytest.fixture(scope="module")
def refusing(browser_of_bench: Any, bench: Open) -> Iterator[Window]:
    with window(browser_of_bench, bench) as held:
        yield held


def test_a_fit_that_is_known_is_offered_where_it_is_typed(at: Window, bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "to note")
    path = bench.copy("wren-tenor-ukulele", "offered")
    noted = {"name": "to note", "group": "face dots", "fit_mm": 0.035, "cutter": "end mill 3.000 mm",
             "with_what": "shell of the drawer", "note": True}  # fmt: skip
    assert bench.post("fit", noted).status_code == 200
    page = at.board("offered", "?ticket=fit")
    known = page.locator("[data-field='face_dots.fit'] .known", has_text="shell of the drawer")
    expect(known).to_contain_text("Found before with end mill 3.000 mm")
    known.get_by_role("button", name="use +0.035 mm").click()
    expect(field(page, "face_dots.fit")).to_have_value("0.035")
    saved(page)
    assert tomllib.loads(path.read_text("utf-8"))["face_dots"]["fit"] == 0.035


def test_a_digest_of_nothing_is_no_digest(bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "digest")
    told = bench.client.get("/api/board/digest").json()
    assert told["digest"] == hashlib.sha256(path.read_bytes()).hexdigest()


def test_colours_stand_in_one_place_for_the_bench_page_and_the_dry_run_page(bench: Open) -> None:
    family = bench.client.get("/static/family.css").text
    own = [bench.client.get("/static/bench.css").text, asset("viewer.css").partition("@media print")[0]]
    assert family == asset("family.css") and '"/static/family.css"' in bench.client.get("/").text
    shared, *others = ({found[1] for found in re.finditer(r"(--[a-z-]+):", text)} for text in (family, *own))
    assert {f"--{name}" for name in ("paper", "sheet", "ink", "rule", "accent", "good", "doubt", "bad")} <= shared
    assert [shared & named for named in others] == [set(), set()]
