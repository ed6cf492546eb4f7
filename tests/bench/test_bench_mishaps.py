"""What goes wrong while a board is on the bench: two hands at once, no answer, no room, an end at any moment.

It is told, nothing that was typed is lost, and no file is ever half of one.
"""

import signal
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from random import Random
from typing import Any

import httpx
import pytest
from playwright.sync_api import expect

from benches import EXAMPLES as BOARDS
from benches import Open, Started, Window, started, window
from how_often import EXAMPLES
from pages import needs_chromium
from pearlkerf.files.moves import digest

WREN = (BOARDS / "wren-tenor-ukulele.toml").read_text(encoding="utf-8")
KILLS = 50 if EXAMPLES >= 50 else 2
AT_ONCE_S = 5.0  # far more than it takes, on a machine that is busy


@pytest.fixture
def at(browser_of_bench: Any, bench: Open) -> Iterator[Window]:
    with window(browser_of_bench, bench) as held:
        yield held


def field(page: Any, name: str) -> Any:
    return page.locator(f"[data-field='{name}'] input")


def saved(page: Any) -> None:
    expect(page.locator(".kept")).to_have_attribute("data-kept", "saved")


@needs_chromium
def test_what_is_typed_while_the_bench_is_silent_is_kept_and_sent_later(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "silent")
    page = at.board("silent", "?ticket=slots")
    page.context.set_offline(True)
    field(page, "fret_slots.depth").fill("1.8")
    expect(page.locator(".notice")).to_contain_text("does not answer")
    expect(page.locator(".kept")).to_have_text("not saved")
    page.locator("[data-ticket=face-dots] h2 button").click()
    field(page, "face_dots.diameter").fill("5")
    expect(page.locator(".kept")).to_have_text("not saved")
    page.context.set_offline(False)
    page.get_by_role("button", name="Try again").first.click()
    saved(page)
    expect(page.locator(".notice")).to_have_count(0)
    text = path.read_text("utf-8")
    assert "depth = 1.8" in text and "diameter = 5\n" in text


@needs_chromium
def test_whoever_leaves_what_could_not_be_saved_is_asked(at: Window, bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "left")
    page, asked = at.board("left", "?ticket=slots"), list[str]()
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.context.set_offline(True)
    field(page, "fret_slots.depth").click()  # a browser asks only where somebody has touched the page
    field(page, "fret_slots.depth").fill("1.8")
    expect(page.locator(".kept")).to_have_text("not saved")
    page.close(run_before_unload=True)
    page.wait_for_event("close")
    assert asked == ["beforeunload"]


@needs_chromium
def test_undo_waits_for_what_was_typed_before_it(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "late")
    page = at.board("late", "?ticket=slots")

    def late(route: Any) -> None:
        page.wait_for_timeout(300)
        route.continue_()

    page.route("**/api/edit", late)
    field(page, "fret_slots.depth").fill("1.9")
    page.evaluate("dispatchEvent(new KeyboardEvent('keydown', { key: 'z', ctrlKey: true }))")
    expect(page.locator("#spoken")).to_have_text("undone")
    expect(page.locator("[data-ticket=slots] .sum")).to_contain_text("1.7 below")
    saved(page)
    page.get_by_role("button", name="Redo").click()
    saved(page)
    assert path.read_text("utf-8") == WREN.replace("depth = 1.7", "depth = 1.9")


@needs_chromium
def test_a_file_that_was_removed_is_told_and_written_again_when_asked(at: Window, bench: Open) -> None:
    path = bench.copy("wren-tenor-ukulele", "removed")
    page = at.board("removed", "?ticket=slots")
    path.unlink()
    field(page, "fret_slots.depth").fill("1.8")
    expect(page.locator(".notice")).to_contain_text("The file is gone")
    assert not path.exists()
    page.get_by_role("button", name="Keep mine").click()
    saved(page)
    assert path.read_text("utf-8") == WREN.replace("depth = 1.7", "depth = 1.8")


@needs_chromium
def test_of_two_windows_the_one_that_keeps_its_own_writes_over_the_other_and_says_so_there(
    browser_of_bench: Any, at: Window, bench: Open
) -> None:
    path = bench.copy("wren-tenor-ukulele", "both")
    page = at.board("both", "?ticket=slots")
    with window(browser_of_bench, bench) as second:
        other = second.board("both", "?ticket=slots")
        field(page, "fret_slots.depth").fill("1.8")
        saved(page)
        field(other, "fret_slots.depth").fill("1.9")
        other.get_by_role("button", name="Keep mine").click()
        saved(other)
        assert "depth = 1.9" in path.read_text("utf-8")
        field(page, "fret_slots.depth").fill("1.6")
        expect(page.locator(".notice")).to_contain_text("changed by somebody else")
        assert "depth = 1.9" in path.read_text("utf-8")


@contextmanager
def saving(bench: Started, texts: list[str]) -> Iterator[None]:
    """Save one text after another, again and again, for as long as the bench answers."""
    kept, ended = bench.client.get("/api/board/wren").json()["digest"], threading.Event()

    def save() -> None:
        now = kept
        with suppress(httpx.HTTPError, ValueError):
            while not ended.is_set():
                for text in texts:
                    asked = {"name": "wren", "text": text, "digest": now}
                    now = bench.client.post("/api/save", json=asked).json().get("digest", now)

    hand = threading.Thread(target=save)
    hand.start()
    yield
    hand.join(AT_ONCE_S)
    ended.set()
    assert not hand.is_alive()


def test_killed_in_the_middle_of_saving_it_leaves_a_whole_board(tmp_path: Path) -> None:
    """The bench itself is killed at any moment: the file is one of those that were saved, and is saved again."""
    chance, texts = Random(16), [f"{WREN}# {letter * 400_000}\n" for letter in "ab"]
    path = tmp_path / "wren.toml"
    path.write_text(texts[0], encoding="utf-8")
    for _ in range(KILLS):
        with started(tmp_path) as bench, saving(bench, texts):
            time.sleep(chance.uniform(0.0, 0.2))
            bench.process.send_signal(signal.SIGKILL)
        assert path.read_text(encoding="utf-8") in texts
    with started(tmp_path) as bench:
        asked = {"name": "wren", "text": WREN, "digest": digest(path.read_bytes())}
        assert "changed" not in bench.client.post("/api/save", json=asked).json()
    assert path.read_text(encoding="utf-8") == WREN
    assert [each.name for each in tmp_path.iterdir()] == ["wren.toml"]


def begun_by(process: int) -> list[str]:
    """Give the processes that a process has begun, as Linux tells them."""
    return [
        each for task in Path(f"/proc/{process}/task").iterdir() for each in (task / "children").read_text().split()
    ]


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="this system does not tell who began which process")
def test_an_interrupt_ends_it_at_once_and_loses_nothing(tmp_path: Path) -> None:
    """Ctrl-C while it saves and while an order is under way: it ends, so does the order, every file is a whole one."""
    texts = [WREN, WREN.replace("depth = 1.7", "depth = 1.8")]
    path = tmp_path / "wren.toml"
    path.write_text(texts[0], encoding="utf-8")
    with started(tmp_path) as bench:
        order = {"name": "wren", "kind": "cut", "machine": "benchtop-arcs"}
        assert bench.client.post("/api/make", json=order).json()["state"] == "running"
        orders = begun_by(bench.process.pid)
        with saving(bench, texts):
            time.sleep(0.2)
            begun = time.monotonic()
            bench.process.send_signal(signal.SIGINT)
            with suppress(subprocess.TimeoutExpired):
                bench.process.wait(AT_ONCE_S)
            took = time.monotonic() - begun
        assert bench.process.returncode == 0 and took < AT_ONCE_S
        assert "The bench is closed." in bench.process.communicate()[1]
    assert orders and not any(Path(f"/proc/{order}").exists() for order in orders)
    assert path.read_text(encoding="utf-8") in texts
    assert {each.name for each in tmp_path.iterdir()} <= {"wren.toml", "wren-job"}
    assert not list(tmp_path.glob("wren-job/.*"))
