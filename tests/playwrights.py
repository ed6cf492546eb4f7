"""Browsers for tests, all from one Playwright: a second one beside it cannot be started in the same process."""

import atexit
import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache

from playwright.sync_api import Browser, Playwright, sync_playwright

from pages import BROWSER_ARGS


@cache
def _the_playwright() -> Playwright:
    """Give it, started; it is stopped when the process ends."""
    started = sync_playwright().start()
    atexit.register(started.stop)
    return started


@contextmanager
def a_browser(args: Sequence[str] = BROWSER_ARGS) -> Iterator[Browser]:
    """Open a browser, and close it."""
    browser = _the_playwright().chromium.launch(executable_path=shutil.which("chromium"), args=[*args])
    yield browser
    browser.close()
