"""Who may ask the bench anything: the browser that was opened for it, on this machine, and nobody else.

    request ─> address right? ─> from our own page? ─> cookie? ─> not too long? ─> the bench
                  421                 403                401          413

Names that lead here from elsewhere (DNS rebinding) fail at the first, pages of other places at the
second, other users and programs of this machine at the third.  Every answer carries a policy under which a page runs
no script but the bench's own and asks no one else for anything (Content Security Policy, level 3).
"""

import secrets
from dataclasses import dataclass, field
from typing import Final

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BODY_BYTES: Final = 4 << 20  # a board file has at most 1 MiB, which JSON may write three times as long
TOKEN_BYTES: Final = 24
SAFE_METHODS: Final = ("GET", "HEAD")
OWN_SITES: Final = ("same-origin", "none")
POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
    "font-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
NOT_OURS: Final = "This bench answers at its own address only.\n"
FOREIGN: Final = "Another page has asked; the bench answers its own page only.\n"
NOT_LET_IN: Final = "Open the address that `pearlkerf bench` has printed; it serves once. If it has, start it again.\n"
TOO_LONG: Final = "That is longer than anything the bench takes.\n"


@dataclass(frozen=True, slots=True)
class Door:
    """Where a bench answers ("127.0.0.1:40123"), and what lets a browser in: a token once, then a cookie.

    The cookie's name is random too: cookies ignore ports, so that two benches must not share one.
    """

    host: str
    token: str = field(default_factory=lambda: secrets.token_urlsafe(TOKEN_BYTES))
    cookie_name: str = field(default_factory=lambda: f"bench-{secrets.token_hex(8)}")
    cookie: str = field(default_factory=lambda: secrets.token_urlsafe(TOKEN_BYTES))

    @property
    def origin(self) -> str:
        """Give the origin of its own pages."""
        return f"http://{self.host}"

    @property
    def address(self) -> str:
        """Give the address that lets a browser in."""
        return f"{self.origin}/?token={self.token}"


class Guard:
    """Stands before the bench: answers what is not let in, and puts the headers on all that is answered."""

    def __init__(self, bench: ASGIApp, door: Door) -> None:
        self._bench = bench
        self._door = door
        self._token_left = True

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            return
        sending = _with_headers(send)
        request = Request(scope, receive)
        answer = self._refused(request) or self._let_in(request)
        if answer is not None:
            await answer(scope, receive, sending)
            return
        body = await _body_of(request)
        if body is None:
            await PlainTextResponse(TOO_LONG, 413, {"Connection": "close"})(scope, receive, sending)
            return
        await self._bench(scope, _again(body, receive), sending)

    def _refused(self, request: Request) -> Response | None:
        """Refuse what was not sent here, or not by our own page."""
        headers = request.headers
        if headers.getlist("host") != [self._door.host]:
            return PlainTextResponse(NOT_OURS, 421)
        if headers.get("sec-fetch-site", "none") not in OWN_SITES:
            return PlainTextResponse(FOREIGN, 403)
        if request.method not in SAFE_METHODS and headers.getlist("origin") != [self._door.origin]:
            return PlainTextResponse(FOREIGN, 403)
        return None

    def _let_in(self, request: Request) -> Response | None:
        """Swap the token for the cookie, refuse who has neither; None for who is in."""
        held = request.cookies.get(self._door.cookie_name, "")
        inside = secrets.compare_digest(held.encode(), self._door.cookie.encode())
        token = request.query_params.get("token")
        if token is None or request.url.path != "/":
            return None if inside else PlainTextResponse(NOT_LET_IN, 401)
        right = self._token_left and secrets.compare_digest(token.encode(), self._door.token.encode())
        if not right and not inside:
            return PlainTextResponse(NOT_LET_IN, 401)
        self._token_left = self._token_left and not right
        swapped = RedirectResponse("/", 303)
        swapped.set_cookie(self._door.cookie_name, self._door.cookie, httponly=True, samesite="strict", path="/")
        return swapped


def _with_headers(send: Send) -> Send:
    """Put the headers on an answer; one that has its own policy keeps it."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending


async def _body_of(request: Request) -> bytes | None:
    """Give what was sent, whole; None where it is too long, which is told before all of it has come."""
    said = request.headers.get("content-length", "0")
    if not said.isdecimal() or int(said) > MOST_BODY_BYTES:
        return None
    parts, length = [], 0
    async for part in request.stream():
        length += len(part)
        if length > MOST_BODY_BYTES:
            return None
        parts.append(part)
    return b"".join(parts)


def _again(body: bytes, later: Receive) -> Receive:
    """Give what was received once more, to who reads it next; after it what comes ``later``."""
    left = [body]

    async def receive() -> Message:
        return {"type": "http.request", "body": left.pop(), "more_body": False} if left else await later()

    return receive
