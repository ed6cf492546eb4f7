"""How long the dry-run page takes: to make, to show its first picture, and to draw a frame of lines.

Run with: pytest tests/benchmarks/test_bench_page.py --benchmark-enable
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from pages import a_run, long_run, needs_chromium, write_page
from pearlkerf.pictures.page.model import DryRun
from pearlkerf.pictures.page.page import draw_page
from playwrights import a_browser

RUNS = {"usual board": a_run, "120 000 moves": lambda: long_run(120_000, 0.05)}


@pytest.fixture(scope="module", params=RUNS)
def run(request: pytest.FixtureRequest) -> DryRun:
    return RUNS[request.param]()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with a_browser() as opened:
        yield opened


def opened(browser: Browser, path: Path) -> Page:
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.goto(path.as_uri())
    page.locator("html[data-ready]").wait_for()
    return page


def test_page_is_made(benchmark: Any, run: DryRun) -> None:
    html = benchmark(draw_page, run)
    benchmark.extra_info["bytes"] = len(html.encode())


@pytest.mark.browser
@needs_chromium
def test_page_is_opened_to_its_first_picture(benchmark: Any, browser: Browser, run: DryRun, tmp_path: Path) -> None:
    path = write_page(run, tmp_path)
    ready: list[float] = []

    def open_it() -> None:
        page = opened(browser, path)
        ready.append(float(page.get_attribute("html", "data-ready") or "nan"))
        page.close()

    benchmark.pedantic(open_it, rounds=5, iterations=1)
    benchmark.extra_info["ready_ms"] = sorted(ready)


@pytest.mark.browser
@needs_chromium
@pytest.mark.parametrize("view", ["plan", "turning"])
def test_frame_of_all_lines_is_drawn(benchmark: Any, browser: Browser, run: DryRun, tmp_path: Path, view: str) -> None:
    page = opened(browser, write_page(run, tmp_path))
    page.click(f"button[data-view={view}]")
    page.select_option("#shows", "all")
    frames: list[float] = []

    def come_closer_or_go_back() -> None:
        key = "+" if len(frames) % 2 else "-"
        page.evaluate(
            """async (key) => {
                document.activeElement.blur();
                document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
                for (let frame = 0; frame < 2; frame += 1) await new Promise(requestAnimationFrame);
            }""",
            key,
        )
        frames.append(float(page.get_attribute("html", "data-frame") or "nan"))

    benchmark.pedantic(come_closer_or_go_back, rounds=12, iterations=1)
    benchmark.extra_info["frame_ms"] = sorted(frames)
    page.close()


@pytest.mark.browser
@needs_chromium
def test_frames_while_it_runs(benchmark: Any, browser: Browser, run: DryRun, tmp_path: Path) -> None:
    page = opened(browser, write_page(run, tmp_path))
    page.click("button[data-view=plan]")
    page.select_option("#shows", "all")
    page.select_option("#speed", "500")

    def one_second() -> list[float]:
        frames: list[float] = page.evaluate(
            """async () => {
                const found = [];
                const until = performance.now() + 1000;
                document.getElementById("run-button").click();
                while (performance.now() < until) {
                    await new Promise(requestAnimationFrame);
                    found.push(Number(document.documentElement.dataset.frame));
                }
                document.getElementById("run-button").click();
                return found.sort((a, b) => a - b);
            }"""
        )
        return frames

    frames = benchmark.pedantic(one_second, rounds=1, iterations=1)
    benchmark.extra_info["frames_a_second"] = len(frames)
    benchmark.extra_info["frame_ms_median_and_worst"] = [frames[len(frames) // 2], frames[-1]]
    page.close()
