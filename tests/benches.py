"""Benches for the tests: one that answers in this process over a folder of its own, and a browser that is let in."""

import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx

from complaints import of_the_page
from pearlkerf.bench.server import Bench

EXAMPLES = Path(__file__).parents[1] / "examples"


@dataclass
class Open:
    """A bench that answers: its folder, and who is let in to it."""

    bench: Bench
    folder: Path
    client: httpx.Client
    let_in: httpx.Response

    @property
    def origin(self) -> str:
        return self.bench.door.origin

    def copy(self, example: str, name: str) -> Path:
        """Put an example into the folder under a name of its own, so that tests share no file."""
        path = self.folder / f"{name}.toml"
        shutil.copy(EXAMPLES / f"{example}.toml", path)
        return path

    def post(self, what: str, asked: Any, **headers: str) -> httpx.Response:
        return self.client.post(f"/api/{what}", json=asked, headers=headers)


@contextmanager
def opened(folder: Path) -> Iterator[Open]:
    """Open a bench over a folder, and let a client in."""
    bench = Bench(folder)
    thread = threading.Thread(target=bench.serve, daemon=True)
    thread.start()
    client = httpx.Client(base_url=bench.door.origin, headers={"Origin": bench.door.origin}, trust_env=False)
    let_in = client.get(bench.door.address)
    assert let_in.status_code == 303
    try:
        yield Open(bench, folder, client, let_in)
    finally:
        client.close()
        bench.end()
        thread.join(10)
        assert not thread.is_alive()


@dataclass
class Started:
    """A bench that the command has started, in a process of its own."""

    process: "subprocess.Popen[str]"
    folder: Path
    client: httpx.Client

    @property
    def origin(self) -> str:
        return str(self.client.base_url)


@contextmanager
def started(folder: Path) -> Iterator[Started]:
    """Start a bench over a folder as its maker does, and let a client in."""
    command = [sys.executable, "-m", "pearlkerf.cli", "bench", "--no-browser", str(folder)]
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(command, env={**os.environ, "PYTHONUNBUFFERED": "1"}, **streams) as process:  # type: ignore[call-overload]
        try:
            address = process.stdout.readline().strip()
            origin = address.partition("/?")[0]
            with httpx.Client(base_url=origin, headers={"Origin": origin}, trust_env=False) as client:
                assert client.get(address).status_code == 303
                yield Started(process, folder, client)
        finally:
            process.kill()


@dataclass
class Window:
    """A browser's page on a bench, and all that it asked for and complained of."""

    page: Any
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def board(self, name: str, query: str = "") -> Any:
        """Open a board, wait until it is drawn, and give the page."""
        self.page.goto(f"{self.origin}/board/{name}{query}")
        self.page.locator("html[data-ready=board]").wait_for()
        return self.page

    origin: str = ""

    def asked_of_others(self) -> list[str]:
        """Give what was asked of anybody but the bench."""
        return [each for each in self.requests if not each.startswith((f"{self.origin}/", "data:", "blob:"))]


@contextmanager
def browsing() -> Iterator[Any]:
    """Open a browser."""
    from playwrights import a_browser

    with a_browser() as browser:
        yield browser


@contextmanager
def window(browser: Any, bench: Open | Started, **wanted: Any) -> Iterator[Window]:
    """Open a window that is let in."""
    wanted = {"viewport": {"width": 1280, "height": 900}, "reduced_motion": "reduce", **wanted}
    context = browser.new_context(**wanted)
    cookies = [{"name": name, "value": value, "url": bench.origin} for name, value in bench.client.cookies.items()]
    context.add_cookies(cookies)
    page = context.new_page()
    held = Window(page, origin=bench.origin)
    page.on("request", lambda request: held.requests.append(request.url))
    page.on("console", lambda said: held.complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda fault: held.complaints.append(str(fault)))
    yield held
    context.close()


@contextmanager
def quiet_window(browser: Any, bench: Open) -> Iterator[Window]:
    """Open a window in which nothing may complain, and nothing may be asked of anybody else."""
    with window(browser, bench) as held:
        yield held
        assert of_the_page(held.complaints) == []
        assert held.asked_of_others() == []
