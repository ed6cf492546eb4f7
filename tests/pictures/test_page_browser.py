"""The dry-run page in a real browser: what it shows, and what hands and keys do to it."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from complaints import of_the_page
from pages import (
    HOSTILE,
    a_failing_run,
    a_run,
    long_run,
    needs_chromium,
    run_alone,
    with_title,
    write_page,
)
from pearlkerf.pictures.page.model import DryRun
from playwrights import a_browser

pytestmark = [pytest.mark.browser, needs_chromium]


@dataclass
class Opened:
    """An open page, and all that it asked for and complained of."""

    page: Page
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def text(self, selector: str) -> str:
        return (self.page.text_content(selector) or "").strip()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with a_browser() as opened:
        yield opened


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    return {
        "job": write_page(a_run(), folder, "job.html"),
        "failing": write_page(a_failing_run(), folder, "failing.html"),
        "hostile": write_page(with_title(a_run(), HOSTILE), folder, "hostile.html"),
        "long": write_page(long_run(20_000, 0.05), folder, "long.html"),
        "alone": write_page(run_alone(ALONE), folder, "alone.html"),
    }


ALONE = """G21 G90 G17
G0 Z5.
G0 X0. Y0.
(a groove)
G1 Z-1. F100.
G1 X30.
(a ring)
G0 Z5.
G0 X40. Y10.
G1 Z-2.
G2 X40. Y10. I5. J0.
G0 Z5.
M2
"""


@contextmanager
def opened(browser: Browser, path: Path, **choices: Any) -> Iterator[Opened]:
    context = browser.new_context(offline=True, **{"viewport": {"width": 1280, "height": 800}, **choices})
    page = context.new_page()
    found = Opened(page)
    page.on("request", lambda request: found.requests.append(request.url))
    page.on("pageerror", lambda error: found.complaints.append(str(error)))
    page.on("console", lambda message: found.complaints.append(message.text))
    page.goto(path.as_uri())
    page.locator("html[data-ready]").wait_for()
    try:
        yield found
    finally:
        context.close()


@pytest.fixture
def job(browser: Browser, files: dict[str, Path]) -> Iterator[Opened]:
    """A job at the end of its second program, which finishes the face."""
    with opened(browser, files["job"]) as found:
        found.page.locator("#programs button").nth(1).click()
        found.page.evaluate("document.activeElement.blur()")
        found.page.keyboard.press("End")
        expect(found.page.locator("#remaining")).to_have_text("0:00")
        yield found


def go_to_line(found: Opened, line: int) -> None:
    """Scroll the listing to a line and click it."""
    found.page.evaluate(
        """async line => {
            for (let frame = 0; frame < 2; frame += 1) await new Promise(requestAnimationFrame);
            const box = document.getElementById("listing");
            const tall = box.querySelector("[role=option]").getBoundingClientRect().height;
            box.scrollTop = (line - 4) * tall;
        }""",
        line,
    )
    found.page.click(f'[data-line="{line}"]')
    expect(found.page.locator("#place")).to_have_text(re.compile(rf"^Line {line} of "))


@pytest.mark.parametrize("name", ["job", "failing", "hostile", "long", "alone"])
def test_page_opens_from_disk_asks_for_nothing_and_complains_of_nothing(
    browser: Browser, files: dict[str, Path], name: str
) -> None:
    with opened(browser, files[name]) as found:
        for view in ("plan", "edge", "end", "free"):
            found.page.click(f"button[data-view={view}]")
        found.page.wait_for_timeout(300)
        assert found.requests == [files[name].as_uri()]
        assert of_the_page(found.complaints) == []


def test_page_opens_at_the_start_of_the_first_program_and_tabs_say_what_they_cut(
    browser: Browser, files: dict[str, Path]
) -> None:
    with opened(browser, files["job"]) as found:
        assert found.text(".stamp") == "Proved"
        assert found.text("#program-name") == "1-face-cutter-2.nc"
        assert found.text("#elapsed") == "0:00"
        expect(found.page.locator("button[data-view=free]")).to_have_attribute("aria-pressed", "true")
        tabs = found.page.locator("#programs button")
        assert [tabs.nth(number).locator("span").text_content() for number in range(3)] == [
            "face: face dots", "face: frets", "edge: side dots",
        ]  # fmt: skip


@pytest.mark.parametrize("number", [0, 1, 2])
def test_readout_is_the_motion_that_was_read_at_sampled_lines(job: Opened, number: int) -> None:
    program = a_run().programs[number]
    assert program.reading is not None
    motions = program.reading.motions
    job.page.locator("#programs button").nth(number).click()
    for row in np.linspace(3, len(motions.kind) - 1, 9).astype(int).tolist():
        go_to_line(job, int(motions.line[row]))
        shown = [job.text(f"#at-{axis}") for axis in "xyz"]
        assert [float(figure) for figure in shown] == pytest.approx(motions.end[row], abs=0.0006)
        feed = "rapid" if motions.kind[row] == 0 else f"{motions.feed[row]:.0f} mm/min"
        assert job.text("#feed") == feed
        depth = f"{abs(motions.end[row, 2]):.3f} mm"
        assert job.text("#depth") == depth


def test_position_that_no_one_knows_is_not_shown_as_a_figure(job: Opened) -> None:
    go_to_line(job, lines_of(a_run(), 1).index("G0 Z8.0") + 1)
    assert [job.text(f"#at-{axis}") for axis in "xyz"] == ["not known", "not known", "8.000"]


def lines_of(run: DryRun, number: int) -> list[str]:
    return run.programs[number].program.text.decode().split("\n")


def test_space_runs_and_holds(job: Opened) -> None:
    job.page.keyboard.press("Home")
    expect(job.page.locator("#elapsed")).to_have_text("0:00")
    job.page.keyboard.press("Space")
    expect(job.page.locator("#run-button")).to_have_text("Pause")
    expect(job.page.locator("#elapsed")).not_to_have_text("0:00")
    job.page.keyboard.press("Space")
    expect(job.page.locator("#run-button")).to_have_text("Watch")
    standing = job.text("#elapsed")
    job.page.wait_for_timeout(200)
    assert job.text("#elapsed") == standing


def test_watch_button_starts_again_from_the_end(job: Opened) -> None:
    job.page.select_option("#speed", "20")
    job.page.click("#run-button")
    expect(job.page.locator("#run-button")).to_have_text("Pause")
    expect(job.page.locator("#now")).to_contain_text("fret 1,")
    job.page.click("#run-button")


def test_arrow_keys_step_by_block_and_by_cut(job: Opened) -> None:
    lines = lines_of(a_run(), 1)
    first = lines.index("(fret 3, bass side first)") + 2
    go_to_line(job, first)
    job.page.locator("#listing").blur()
    job.page.keyboard.press("ArrowRight")
    expect(job.page.locator("#place")).to_contain_text(f"Line {first + 1} of")
    job.page.keyboard.press("ArrowLeft")
    expect(job.page.locator("#place")).to_contain_text(f"Line {first} of")
    job.page.keyboard.press("Shift+ArrowRight")
    expect(job.page.locator("#now")).to_contain_text("fret 4,")
    job.page.keyboard.press("Shift+ArrowLeft")
    expect(job.page.locator("#now")).to_contain_text("fret 3,")


def test_step_buttons_do_the_same(job: Opened) -> None:
    go_to_line(job, lines_of(a_run(), 1).index("(fret 3, bass side first)") + 2)
    before = job.text("#place")
    job.page.click("#block-on")
    expect(job.page.locator("#place")).not_to_have_text(before)
    job.page.click("#block-back")
    expect(job.page.locator("#place")).to_have_text(before)
    job.page.click("#cut-on")
    expect(job.page.locator("#now")).to_contain_text("fret 4,")
    job.page.click("#cut-back")
    expect(job.page.locator("#now")).to_contain_text("fret 3,")


def test_keys_choose_the_view_and_can_be_switched_off(job: Opened) -> None:
    for key, view in (("1", "plan"), ("2", "edge"), ("3", "end"), ("4", "free")):
        job.page.keyboard.press(key)
        expect(job.page.locator(f"button[data-view={view}]")).to_have_attribute("aria-pressed", "true")
    job.page.uncheck("#single-keys")
    job.page.locator("#single-keys").blur()
    job.page.keyboard.press("1")
    expect(job.page.locator("button[data-view=free]")).to_have_attribute("aria-pressed", "true")


def test_all_controls_are_reached_by_tab_and_show_the_focus(job: Opened) -> None:
    reached = []
    for _ in range(40):
        job.page.keyboard.press("Tab")
        reached.append(
            job.page.evaluate(
                """() => {
                    const at = document.activeElement;
                    return [at.id || at.dataset.view || at.className, getComputedStyle(at).outlineStyle];
                }"""
            )
        )
        if reached[-1][0] == "listing":
            break
    names = [name for name, _ in reached]
    wanted = {
        "plan",
        "free",
        "closer",
        "follow",
        "shows",
        "canvases",
        "time",
        "run-button",
        "speed",
        "cut",
        "listing",
    }
    assert set(wanted) <= set(names)
    assert [name for name, outline in reached if outline == "none"] == []


def test_listing_is_walked_by_keys(job: Opened) -> None:
    job.page.focus("#listing")
    job.page.keyboard.press("Home")
    expect(job.page.locator("#place")).to_contain_text("Line 1 of")
    for _ in range(3):
        job.page.keyboard.press("ArrowDown")
    expect(job.page.locator("#place")).to_contain_text("Line 4 of")
    chosen = job.page.locator("#listing [aria-selected=true]")
    expect(chosen).to_have_attribute("data-line", "4")
    expect(job.page.locator("#listing")).to_have_attribute("aria-activedescendant", "line-4")
    job.page.keyboard.press("End")
    expect(job.page.locator("#place")).to_contain_text(f"Line {len(lines_of(a_run(), 1)) - 1} of")


def test_listing_of_a_long_program_is_its_text_and_only_a_few_rows(browser: Browser, files: dict[str, Path]) -> None:
    lines = lines_of(long_run(20_000, 0.05), 0)
    with opened(browser, files["long"]) as found:
        for line in (7, 5_000, 12_345, len(lines) - 3):
            go_to_line(found, line)
            assert found.page.text_content(f'[data-line="{line}"] .words') == lines[line - 1]
        assert found.page.locator("#listing [role=option]").count() < 120


def test_click_on_a_fret_of_the_strip_goes_to_its_cut(job: Opened) -> None:
    fret_5 = 632 * (1 - 2 ** (-5 / 12))  # L (1 - 2^(-n/12)), twelve-tone equal temperament
    job.page.mouse.click(*on_strip(job, fret_5))
    expect(job.page.locator("#now")).to_contain_text("fret 5,")


def test_click_on_a_dot_opens_the_program_that_cuts_it(job: Opened) -> None:
    dot_7 = 632 * (1 - (2 ** (-6 / 12) + 2 ** (-7 / 12)) / 2)
    job.page.mouse.click(*on_strip(job, dot_7))
    expect(job.page.locator("#program-name")).to_have_text("1-face-cutter-2.nc")
    expect(job.page.locator("#now")).to_contain_text("face dot 7")


def on_strip(found: Opened, x_mm: float) -> tuple[float, float]:
    """Where a place on the board's centre line lies on the strip, which shows the board in its middle."""
    box = found.page.locator("#strip").bounding_box()
    assert box is not None
    scale = min((box["width"] - 28) / 448, 84 / 56.5)
    return box["x"] + box["width"] / 2 + (x_mm - 224) * scale, box["y"] + box["height"] / 2


def test_tap_on_the_plan_goes_to_the_dot(browser: Browser, files: dict[str, Path]) -> None:
    with opened(browser, files["job"], has_touch=True) as found:
        found.page.click("button[data-view=plan]")
        box = found.page.locator("#canvases").bounding_box()
        assert box is not None
        scale = (box["width"] - 52) / 448
        dot_3 = 632 * (1 - (2 ** (-2 / 12) + 2 ** (-3 / 12)) / 2)
        found.page.touchscreen.tap(box["x"] + box["width"] / 2 + (dot_3 - 224) * scale, box["y"] + box["height"] / 2)
        expect(found.page.locator("#now")).to_contain_text("face dot 3")


def test_drag_turns_and_wheel_comes_closer(job: Opened) -> None:
    box = job.page.locator("#canvases").bounding_box()
    assert box is not None
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    pictures = [picture_of(job)]
    job.page.mouse.move(*middle)
    job.page.mouse.down()
    job.page.mouse.move(middle[0] + 90, middle[1] + 10, steps=4)
    job.page.mouse.up()
    pictures.append(picture_of(job))
    job.page.mouse.wheel(0, -400)
    pictures.append(picture_of(job))
    job.page.keyboard.press("ArrowUp")
    pictures.append(picture_of(job))
    assert len(set(pictures)) == len(pictures)


def picture_of(found: Opened) -> bytes:
    found.page.wait_for_timeout(500)
    return found.page.locator("#canvases").screenshot()


def test_time_line_and_list_of_cuts_lead_to_a_cut(job: Opened) -> None:
    job.page.select_option("#cut", label="fret 12, bass side first")
    expect(job.page.locator("#now")).to_contain_text("fret 12,")
    box = job.page.locator("#cut-marks").bounding_box()
    assert box is not None
    job.page.mouse.click(box["x"] + 12, box["y"] + box["height"] - 4)
    expect(job.page.locator("#now")).to_contain_text("fret 1,")
    job.page.click('[data-program="2"][data-cut="1"]')
    expect(job.page.locator("#program-name")).to_have_text("3-edge-cutter-3.nc")
    expect(job.page.locator("#now")).to_contain_text("side dot 5")


def test_elapsed_and_remaining_add_up(job: Opened) -> None:
    def seconds(text: str) -> int:
        total = 0
        for part in text.split(":"):
            total = 60 * total + int(part)
        return total

    whole = seconds(job.text("#elapsed"))
    go_to_line(job, 1000)
    assert abs(seconds(job.text("#elapsed")) + seconds(job.text("#remaining")) - whole) <= 1


def test_failing_program_opens_at_its_first_finding(browser: Browser, files: dict[str, Path]) -> None:
    first = a_failing_run().findings[0]
    with opened(browser, files["failing"]) as found:
        assert found.text(".stamp").startswith("Not proved")
        assert found.text("#program-name") == first.file
        assert found.text("#place").startswith(f"Line {first.line} of")
        expect(found.page.locator(f'[data-line="{first.line}"] .fault')).to_have_text("!")
        expect(found.page.locator("button[data-view=plan]")).to_have_attribute("aria-pressed", "true")
        deep = next(number for number, each in enumerate(a_failing_run().findings) if each.rule == 6)
        found.page.click(f'[data-finding="{deep}"]')
        expect(found.page.locator("#at-z")).to_have_text("-3.900")
        expect(found.page.locator("button[data-view=end]")).to_have_attribute("aria-pressed", "true")
        found.page.keyboard.press("Home")
        found.page.click('[data-finding="1"]')
        expect(found.page.locator("#place")).to_contain_text(f"Line {a_failing_run().findings[1].line} of")


def test_hostile_title_stays_text(browser: Browser, files: dict[str, Path]) -> None:
    with opened(browser, files["hostile"]) as found:
        assert found.page.text_content("h1") == HOSTILE
        assert found.page.title() == re.sub(r"\s+", " ", f"Dry run: {HOSTILE}")
        assert found.page.locator("img, b").count() == 0


def test_injected_script_and_style_do_not_run(browser: Browser, files: dict[str, Path], tmp_path: Path) -> None:
    injected = "<main><script>document.title='taken'</script><img src=x onerror=\"document.title='taken'\">"
    spoilt = tmp_path / "spoilt.html"
    spoilt.write_text(files["job"].read_text(encoding="utf-8").replace("<main>", injected), encoding="utf-8")
    with opened(browser, spoilt) as found:
        found.page.wait_for_timeout(200)
        assert found.page.title() != "taken"
        assert len(of_the_page(found.complaints)) >= 2  # the browser says what the policy kept from running


# phone, the narrowest phone, a desktop of 1280 at 200 %, tablet
SIZES = [(380, 800), (320, 640), (640, 400), (820, 1180)]


@pytest.mark.parametrize("name", ["job", "failing", "hostile"])
def test_nothing_sticks_out_sideways(browser: Browser, files: dict[str, Path], name: str) -> None:
    with opened(browser, files[name], device_scale_factor=2) as found:
        for width, height in SIZES:
            found.page.set_viewport_size({"width": width, "height": height})
            assert found.page.evaluate("document.documentElement.scrollWidth") <= width
            stage = found.page.locator("#canvases").bounding_box()
            assert stage is not None
            assert stage["width"] > 0.85 * min(width, 560)


def test_less_motion_is_respected(browser: Browser, files: dict[str, Path]) -> None:
    """Counted against the frames that the browser found time for, so that a busy computer changes nothing."""
    counts = """() => new Promise((done) => {
        const told = { changes: 0, frames: 0, begun: performance.now() };
        new MutationObserver(() => { told.changes += 1; }).observe(
            document.getElementById("at-y"), { childList: true, characterData: true, subtree: true });
        const next = () => {
            told.frames += 1;
            told.took = performance.now() - told.begun;
            if (told.took < 1500) requestAnimationFrame(next);
            else done(told);
        };
        requestAnimationFrame(next);
    })"""
    for choice in ("reduce", "no-preference"):
        with opened(browser, files["job"], reduced_motion=choice) as found:
            found.page.keyboard.press("Space")
            told = found.page.evaluate(counts)
        if choice == "reduce":
            assert 1 <= told["changes"] <= told["took"] / 400 + 1  # a picture every 400 ms
        else:
            assert told["changes"] > 0.5 * told["frames"]


def test_program_without_a_board_is_shown_with_a_cutter_that_the_reader_names(
    browser: Browser, files: dict[str, Path]
) -> None:
    with opened(browser, files["alone"]) as found:
        assert found.text(".stamp") == "Shown, not proved"
        assert found.text("#cutter") == "not known"
        found.page.click("button[data-view=plan]")
        before = picture_of(found)
        found.page.fill("#diameter", "3")
        found.page.locator("#diameter").blur()
        assert picture_of(found) != before
        assert found.text("#cutter") == "end mill 3.000 mm"


def test_page_works_without_webgl(files: dict[str, Path], browser: Browser) -> None:
    with opened(browser, files["job"]) as found:
        found.page.add_init_script("HTMLCanvasElement.prototype.getContext = new Proxy("
                                   "HTMLCanvasElement.prototype.getContext,"
                                   "{ apply: (get, canvas, [kind, ...more]) =>"
                                   " kind === '2d' ? get.call(canvas, kind, ...more) : null })")  # fmt: skip
        found.page.reload()
        found.page.locator("html[data-ready]").wait_for()
        expect(found.page.locator("#relief")).to_be_hidden()
        assert len(picture_of(found)) > 5_000  # the board stands there as a block
        assert of_the_page(found.complaints) == []


def test_print_is_a_clean_sheet(browser: Browser, files: dict[str, Path], tmp_path: Path) -> None:
    from pypdf import PdfReader

    with opened(browser, files["job"]) as found:
        found.page.pdf(path=tmp_path / "sheet.pdf", prefer_css_page_size=True)
        assert found.text("#elapsed") == "0:00"
        expect(found.page.locator("button[data-view=free]")).to_have_attribute("aria-pressed", "true")
    words = " ".join(sheet.extract_text() for sheet in PdfReader(tmp_path / "sheet.pdf").pages)
    for wanted in ("Proved", "The cuts, in order", "How the board lies", "fret 20", "side dot 19", "Before it cuts"):
        assert wanted in words
    for control in ("Follow", "Speed", "G21", "Keys, mouse and touch"):
        assert control not in words


def test_a_page_in_inches_tells_place_depth_feed_and_cutter_in_inches(
    browser: Browser, tmp_path: Path, files: dict[str, Path]
) -> None:
    """25.4 mm are one inch: the same moment of the same job, told in both."""
    inches = write_page(replace(a_run(), unit="in"), tmp_path, "inches.html")
    told = []
    for path in (files["job"], inches):
        with opened(browser, path) as found:
            found.page.keyboard.press("End")
            expect(found.page.locator("#remaining")).to_have_text("0:00")
            told.append([found.text(f"#{name}") for name in ("at-x", "at-y", "depth", "cutter")])
            shown = found.page.locator(".sheets").inner_text()
            assert bool(re.search(r"\bmm\b", shown)) == (path is not inches)
    for mm, inch in zip(told[0][:2], told[1][:2], strict=True):
        assert float(inch) * 25.4 == pytest.approx(float(mm), abs=0.002)  # a ten-thousandth of an inch, rounded
    assert told[1][2].endswith(" in") and told[1][3].endswith(" in")
