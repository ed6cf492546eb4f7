"""Files, texts and questions that somebody made to break the bench: told, never run, never a fault of its own."""

import json
from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest

from benches import EXAMPLES, Open, window
from pages import HOSTILE, needs_chromium
from pearlkerf.bench.answers import Answers

WREN = (EXAMPLES / "wren-tenor-ukulele.toml").read_text(encoding="utf-8")
INLAY = '\n[[inlay]]\noutline = "{}"\nfrets = [5]\nlength = 8\nthickness = 1.5\n'
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">'
ELSEWHERE = "http://elsewhere.example"
SQUARE = '<path d="M0 0H9V9H0Z"/>'
DXF = "0\nSECTION\n2\nENTITIES\n0\n{}\n0\nENDSEC\n0\nEOF\n"
DRAWINGS = {
    "deep.svg": f"{HEAD}{'<g>' * 20_000}{SQUARE}{'</g>' * 20_000}</svg>",
    "huge.svg": f'{HEAD}<path d="M0 0H1e308V1e308H-1e308Z"/></svg>',
    "digits.svg": f'{HEAD}<path d="M0 0L{"9" * 5_000},0 0,9Z"/></svg>',
    "no-number.svg": f'{HEAD}<path d="M0 0HNaNV9H0Z"/></svg>',
    "endless.svg": f'{HEAD}<path d="M0 0H1e999V9H0Z"/></svg>',
    "entities.svg": f'<!DOCTYPE svg [<!ENTITY a "{"x" * 99}"><!ENTITY b "{"&a;" * 99}">]>{HEAD}<text>&b;</text></svg>',
    "passwords.svg": f'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>{HEAD}<text>&a;</text></svg>',
    "round.svg": f'{HEAD}<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g></svg>',
    "turned.svg": f'{HEAD}<g transform="matrix(nan 0 0 1e308 0 0) rotate(1e999)">{SQUARE}</g></svg>',
    "sizeless.svg": f'<svg xmlns="http://www.w3.org/2000/svg" width="-5mm" viewBox="nan 0 1e400 -3">{SQUARE}</svg>',
    "nothing.svg": "",
    "picture.svg": "\x89PNG\0\0",
    "no-number.dxf": DXF.format("LINE\n10\nnan\n20\n1e999"),
    "many.dxf": DXF.format("LWPOLYLINE\n90\n999999999\n70\n1\n10\n0\n20\n0"),
    "huge.dxf": DXF.format("CIRCLE\n10\n0\n20\n0\n40\n1e308"),
    "spline.dxf": DXF.format("SPLINE\n70\n8\n71\n3\n72\n999999\n73\n-4\n40\n0\n10\nnan"),
}
TEXTS = {
    "lists": f"{WREN}\nx = {'[' * 5_000}{']' * 5_000}",
    "tables": f"{WREN}\n[a{'.a' * 5_000}]\n",
    "tables in lines": f"{WREN}\nx = {'{a = ' * 3_000}1{'}' * 3_000}",
    "figures": WREN.replace("frets = ", f"frets = {'9' * 5_000} #", 1),
    "no number": WREN.replace("frets = ", "frets = nan #", 1),
    "endless": WREN.replace("length = ", "length = 1e400 #"),
    "a day": WREN.replace("frets = ", "frets = 1979-05-27T07:32:00Z #", 1),
    "keys": f'{WREN}\n"{HOSTILE.replace(chr(34), chr(39))}" = 1\n[__proto__]\nconstructor = 2\n',
    "nothing": "",
    "lines": "\n" * 100_000,
}


def all_told(view: dict[str, Any]) -> Iterator[dict[str, Any]]:
    yield from view["other"]
    for ticket in view["tickets"] or ():
        for section in ticket["sections"]:
            yield from section["told"]
            for row in section["rows"]:
                yield from row["told"]
                yield from (each for field in row["fields"] for each in field["told"])


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_hostile_drawing_is_told_at_its_inlay(bench: Open, name: str) -> None:
    (bench.folder / name).write_text(DRAWINGS[name], encoding="utf-8")
    answer = bench.post("look", {"name": "hostile", "text": WREN + INLAY.format(name)})
    assert answer.status_code == 200, answer.text
    told = [each for each in all_told(answer.json()) if each["weight"] == "wrong"]
    assert told and all(each["key"].startswith("inlay") for each in told)
    assert "root:" not in answer.text


@pytest.mark.parametrize("name", TEXTS)
def test_a_hostile_text_is_told(bench: Open, name: str) -> None:
    asked = {"name": "hostile", "text": TEXTS[name]}
    looked = bench.post("look", asked)
    assert looked.status_code == 200 and list(all_told(looked.json())), looked.text[:500]
    edits = [{"at": ["board", "thickness"], "typed": "6.5"}]
    assert bench.post("edit", {**asked, "edits": edits}).status_code in (200, 409)


def test_signs_that_no_drawing_can_hold_are_left_out_of_it(bench: Open) -> None:
    text = WREN.replace('title = "', 'title = "\\u0000\\u001b[31m\\u202e\\uFFFF<', 1)
    view = bench.post("look", {"name": "hostile", "text": text}).json()
    for name in ("plan", "edge", "section"):
        assert fromstring(view["drawings"][name]).tag.endswith("svg")


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity", "[" * 5_000 + "]" * 5_000, '"\\ud800"', "1" * 5_000])
@pytest.mark.parametrize(("what", "key"), [("look", "wide"), ("edit", "edits"), ("plan", "scrap"), ("fit", "fit_mm")])
def test_what_json_cannot_hold_is_refused(bench: Open, what: str, key: str, word: str) -> None:
    asked = json.dumps({"name": "hostile", "text": WREN, "kind": "coupon", key: "HERE"}).replace('"HERE"', word)
    answer = bench.client.post(f"/api/{what}", content=asked, headers={"Content-Type": "application/json"})
    assert answer.status_code in (400, 422) and answer.json()["wrong"], answer.text


ROUTES = ["/api/board/{}", "/template/{}", "/phone/{}/cut", "/api/job/{}/cut", "/api/job/hostile/{}",
          "/job/{}/cut/job.json", "/job/hostile/{}/job.json", "/job/hostile/cut/{}", "/static/{}"]  # fmt: skip


@pytest.mark.parametrize(
    "name", ["%2e%2e", "..%2f..%2fetc%2fpasswd", "%2fetc%2fpasswd", "a%00b", "x" * 5_000, "%0d%0aSet-Cookie:x", "%20x"]
)
def test_no_address_leads_out_of_the_folder(bench: Open, name: str) -> None:
    for route in ROUTES:
        answer = bench.client.get(route.format(name))
        assert answer.status_code in (400, 403, 404), (route, answer.status_code)
        assert "set-cookie" not in answer.headers


def test_a_fault_of_the_bench_is_told_and_logged_and_nothing_is_lost(
    bench: Open, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    path = bench.copy("wren-tenor-ukulele", "fault")

    def faulty(*_: object) -> None:
        raise ZeroDivisionError("of no length")

    with monkeypatch.context() as patched:
        patched.setattr(Answers, "edit", faulty)
        answer = bench.post("edit", {"name": "fault"})
    assert answer.status_code == 500 and "a fault of the bench" in answer.json()["wrong"].lower()
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert any("/api/edit" in each.getMessage() and "of no length" in str(each.exc_info) for each in caplog.records)
    assert path.read_text(encoding="utf-8") == WREN and bench.client.get("/api/board/fault").status_code == 200


@needs_chromium
def test_no_page_asks_anybody_else_for_anything(browser_of_bench: Any, bench: Open) -> None:
    """All requests of all pages, of a board that names what lies elsewhere, with all its tickets opened."""
    elsewhere = (
        '<image href="http://elsewhere.example/x.png"/><style>@import url(http://elsewhere.example/x.css);</style>'
    )
    (bench.folder / "elsewhere.svg").write_text(f"{HEAD}{elsewhere}{SQUARE}</svg>", encoding="utf-8")
    board = WREN.replace(
        'title = "', "title = 'http://elsewhere.example <img src=http://elsewhere.example/y.png>' # \""
    )
    (bench.folder / "elsewhere.toml").write_text(board + INLAY.format("elsewhere.svg"), encoding="utf-8")
    pages = [
        "/",
        "/board/elsewhere",
        "/board/elsewhere/job",
        "/board/elsewhere/fits",
        "/board/elsewhere/pieces",
        "/board/elsewhere/strip",
        "/board/elsewhere/shell",
        "/machines",
        "/machine/benchtop-arcs",
    ]
    with window(browser_of_bench, bench) as at:
        for page in pages:
            at.page.goto(bench.origin + page)
            at.page.locator("html[data-ready]").wait_for()
        at.board("elsewhere")
        for ticket in at.page.locator(".ticket h2 button").all():
            ticket.click()
        at.page.wait_for_load_state("networkidle")
    assert len(at.requests) > len(pages)
    assert at.asked_of_others() == []
