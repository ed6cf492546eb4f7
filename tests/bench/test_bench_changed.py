"""Of a board only what is new to the page is sent, and what came not stays in its place."""

from typing import Any

import httpx

from benches import Open, Window, window
from pages import needs_chromium
from pearlkerf.bench.changed import DRAWN

THICKER = [{"at": ["board", "thickness"], "typed": "7"}]


def shown(told: dict[str, Any], held: dict[str, Any]) -> dict[str, Any]:
    """Put the parts in their places, as the page does."""
    parts = {**held, **told["parts"]}
    drawings = {**told["drawings"], **{name: parts[told["drawings"][name]] for name in DRAWN}}
    whole = {**told, "tickets": [parts[digest] for digest in told["tickets"]], "drawings": drawings}
    return {name: value for name, value in whole.items() if name != "parts"}


def test_what_the_page_has_is_not_sent_again(bench: Open) -> None:
    text = bench.copy("wren-tenor-ukulele", "sent-once").read_text(encoding="utf-8")
    first = bench.post("look", {"name": "sent-once", "text": text, "has": []}).json()
    again = bench.post("look", {"name": "sent-once", "text": text, "has": list(first["parts"])}).json()
    assert len(first["parts"]) == len(first["tickets"]) + len(DRAWN) and again["parts"] == {}
    asked = {"name": "sent-once", "text": text, "edits": THICKER}
    edited = bench.post("edit", {**asked, "has": list(first["parts"])}).json()
    new = edited["parts"].keys()
    assert edited["drawings"]["plan"] not in new
    assert {edited["drawings"]["edge"], edited["drawings"]["section"]} <= new
    assert [name in new for name in edited["tickets"]].count(True) == 1
    assert shown(edited, first["parts"]) == bench.post("edit", asked).json()


def test_what_the_page_has_are_digests(bench: Open) -> None:
    def asked(has: Any) -> httpx.Response:
        return bench.post("look", {"name": "wren", "text": "", "has": has})

    assert [asked(has).status_code for has in ([], [7], "all", {"a": 1}, 7)] == [200, 400, 400, 400, 400]


@needs_chromium
def test_a_drawing_that_stays_as_it_was_is_not_drawn_again(browser_of_bench: Any, bench: Open) -> None:
    bench.copy("wren-tenor-ukulele", "stays")
    with window(browser_of_bench, bench) as at:
        assert _redrawn(at, "board.thickness", "7.5") == [False, True, True]
        assert _redrawn(at, "board.nut_width", "39") == [True, True, True]
        assert not at.complaints


def _redrawn(at: Window, field: str, typed: str) -> list[bool]:
    """Say which of the drawings are other ones once a figure is typed."""
    page = at.board("stays", "?ticket=board")
    page.evaluate("document.querySelectorAll('.drawn svg').forEach((each) => { each.dataset.old = 'yes'; })")
    page.locator(f"[data-field='{field}'] input").fill(typed)
    page.locator(".drawn svg:not([data-old])").first.wait_for()  # all are drawn in one step
    return [page.locator(".drawn svg").nth(at).get_attribute("data-old") is None for at in range(3)]
