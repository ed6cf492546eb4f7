"""The page against the rules of axe-core, which is kept beside this file with its licence (MPL 2.0)."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser

from complaints import AXE, rules_broken
from pages import a_failing_run, a_run, needs_chromium, write_page
from playwrights import a_browser

# of axe-core 4.14.1 as published
AXE_SHA256: Final = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c"


def test_axe_is_the_published_file() -> None:
    assert hashlib.sha256(AXE.read_bytes()).hexdigest() == AXE_SHA256
    assert "Mozilla Public License" in (AXE.parent / "LICENSE").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with a_browser() as opened:
        yield opened


def violations(browser: Browser, page_file: Path, width: int, scheme: Any, spoil: str = "") -> list[str]:
    context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme, offline=True)
    page = context.new_page()
    page.goto(page_file.as_uri())
    page.locator("html[data-ready]").wait_for()
    if spoil:
        page.evaluate(spoil)
    found = rules_broken(page, more_than=25)
    context.close()
    return found


@pytest.mark.browser
@needs_chromium
@pytest.mark.parametrize(("width", "scheme"), [(1280, "dark"), (380, "light")])
def test_page_keeps_the_rules(browser: Browser, tmp_path: Path, width: int, scheme: str) -> None:
    assert violations(browser, write_page(a_run(), tmp_path), width, scheme) == []


@pytest.mark.browser
@needs_chromium
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_failing_page_keeps_the_rules(browser: Browser, tmp_path: Path, scheme: str) -> None:
    assert violations(browser, write_page(a_failing_run(), tmp_path), 1280, scheme) == []


@pytest.mark.browser
@needs_chromium
def test_rules_see_a_control_without_a_name_and_pale_words(browser: Browser, tmp_path: Path) -> None:
    spoil = """() => {
        document.getElementById("closer").removeAttribute("aria-label");
        document.getElementById("closer").textContent = "";
        document.querySelector(".kicker").style.color = "#d8c7a8";
    }"""
    found = violations(browser, write_page(a_run(), tmp_path), 1280, "light", spoil)
    assert {each.split(":")[0] for each in found} == {"button-name", "color-contrast"}
