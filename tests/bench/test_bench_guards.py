"""Who is let in to the bench, and with what every answer is sent."""

import http.client
import socket
from pathlib import Path

import httpx
import pytest

from benches import Open, opened
from pearlkerf.bench.guards import HEADERS, MOST_BODY_BYTES, Door

TEN_MB = 10_000_000


def test_the_bench_is_bound_to_this_machine_alone(bench: Open) -> None:
    host, port = bench.bench.door.host.split(":")
    assert host == "127.0.0.1"
    others = {found[4][0] for found in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)} - {host}
    for other in others:
        with pytest.raises(OSError):
            socket.create_connection((other, int(port)), 0.5)


def test_a_name_that_leads_here_from_elsewhere_is_not_answered(bench: Open) -> None:
    for host in ("evil.example", f"evil.example:{bench.origin.rpartition(':')[2]}", "localhost", ""):
        assert bench.client.get("/api/boards", headers={"Host": host}).status_code == 421


def test_two_names_at_once_are_not_answered(bench: Open) -> None:
    host = bench.bench.door.host
    line = http.client.HTTPConnection(host)
    line.putrequest("GET", "/", skip_host=True)
    for each in (host, "evil.example"):
        line.putheader("Host", each)
    line.endheaders()
    assert line.getresponse().status in (400, 421)
    line.close()


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1"])
def test_another_page_cannot_post(bench: Open, origin: str) -> None:
    assert bench.post("new", {"name": "foreign", "text": ""}, Origin=origin).status_code == 403
    assert not (bench.folder / "foreign.toml").exists()


def test_who_does_not_say_where_a_post_comes_from_cannot_post(bench: Open) -> None:
    with httpx.Client(base_url=bench.origin, cookies=bench.client.cookies, trust_env=False) as client:
        assert client.post("/api/new", json={"name": "foreign", "text": ""}).status_code == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_site_cannot_even_read(bench: Open, site: str) -> None:
    assert bench.client.get("/api/boards", headers={"Sec-Fetch-Site": site}).status_code == 403


def test_nobody_is_let_in_without_the_cookie(bench: Open) -> None:
    with httpx.Client(base_url=bench.origin, headers={"Origin": bench.origin}, trust_env=False) as client:
        for path in ("/", "/board/wren", "/static/main.js", "/api/boards", "/?token=", "/?token=wrong"):
            assert client.get(path).status_code == 401, path
        assert client.post("/api/new", json={"name": "foreign", "text": ""}).status_code == 401
        client.cookies.set(bench.bench.door.cookie_name, "wrong")
        assert client.get("/").status_code == 401


def test_the_printed_address_serves_once(tmp_path: Path) -> None:
    with opened(tmp_path) as held, httpx.Client(trust_env=False) as second:
        assert second.get(held.bench.door.address).status_code == 401
        assert held.client.get(held.bench.door.address).status_code == 303  # who is in already, comes in again
        assert held.client.get("/").status_code == 200


def test_the_cookie_is_kept_from_scripts_and_from_other_sites(bench: Open) -> None:
    cookie = bench.let_in.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie and "path=/" in cookie
    assert Door(bench.bench.door.host).cookie_name != bench.bench.door.cookie_name


@pytest.mark.parametrize("path", ["/", "/static/main.js", "/api/boards", "/nowhere", "/api/board/none"])
def test_every_answer_has_the_policy(bench: Open, path: str) -> None:
    headers = bench.client.get(path).headers
    assert {name: headers[name] for name in HEADERS} == HEADERS
    policy = HEADERS["Content-Security-Policy"]
    assert "'unsafe" not in policy and "http" not in policy
    for part in ("default-src 'none'", "script-src 'self'", "frame-ancestors 'none'", "base-uri 'none'"):
        assert part in policy


def test_refusals_have_the_policy_too(bench: Open) -> None:
    assert bench.client.get("/", headers={"Host": "evil.example"}).headers["X-Content-Type-Options"] == "nosniff"


def test_ten_megabytes_are_refused_before_they_have_come(bench: Open) -> None:
    assert bench.client.post("/api/look", content=b"x" * TEN_MB).status_code == 413
    host = bench.bench.door.host
    line = http.client.HTTPConnection(host, timeout=5)
    cookie = "; ".join(f"{name}={value}" for name, value in bench.client.cookies.items())
    headers = {"Origin": bench.origin, "Cookie": cookie, "Content-Length": str(TEN_MB)}
    line.putrequest("POST", "/api/look")
    for name, value in headers.items():
        line.putheader(name, value)
    line.endheaders()
    assert line.getresponse().status == 413  # though nothing was sent
    line.close()


def test_ten_megabytes_that_do_not_say_so_are_refused(bench: Open) -> None:
    parts = (b"x" * 65536 for _ in range(TEN_MB // 65536))
    assert bench.client.post("/api/look", content=parts).status_code == 413
    assert MOST_BODY_BYTES < TEN_MB


@pytest.mark.parametrize(
    "path",
    ["/static/../app.py", "/static/..%2fapp.py", "/static/%2e%2e/guards.py", "/static/", "/static/__init__.py",
     "/static/%2fetc%2fpasswd"],
)  # fmt: skip
def test_only_the_page_s_own_files_are_given(bench: Open, path: str) -> None:
    assert bench.client.get(path).status_code == 404


@pytest.mark.parametrize(
    "name", ["../out", "..", "/etc/passwd", "a/b", "a\\b", ".hidden", "", "nul\0", "x" * 200, " wren", "-o", 7, None]
)
def test_no_name_leads_out_of_the_folder(bench: Open, name: object) -> None:
    before = {path.name for path in bench.folder.parent.iterdir()}
    for what in ("new", "save", "look", "copy", "rename"):
        told = bench.post(what, {"name": name, "to": "fine", "text": "", "digest": ""})
        assert told.status_code in (400, 403), (what, told.text)
        assert told.json()["wrong"]
    assert {path.name for path in bench.folder.parent.iterdir()} == before


def test_a_link_that_leads_out_is_not_followed(bench: Open, tmp_path: Path) -> None:
    outside = tmp_path / "outside.toml"
    outside.write_text("unit = 'mm'", encoding="utf-8")
    (bench.folder / "link.toml").symlink_to(outside)
    assert bench.client.get("/api/board/link").status_code == 403
    assert bench.post("save", {"name": "link", "text": "taken", "digest": ""}).status_code == 403
    assert outside.read_text(encoding="utf-8") == "unit = 'mm'"
    (bench.folder / "link.toml").unlink()


@pytest.mark.parametrize("body", [b"", b"[]", b"7", b"{", b"[" * 100_000, b'{"name": "wren", "text": "\\ud800"}'])
def test_what_is_no_question_is_refused(bench: Open, body: bytes) -> None:
    told = bench.client.post("/api/look", content=body, headers={"Content-Type": "application/json"})
    assert told.status_code in (400, 422)
    assert told.json()["wrong"]


def test_a_form_of_another_page_is_no_question(bench: Open) -> None:
    told = bench.client.post("/api/look", content=b'{"name": "wren"}', headers={"Content-Type": "text/plain"})
    assert told.status_code == 415
