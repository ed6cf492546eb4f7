"""The bench's addresses: pages and their files, and what pages ask for."""

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from pearlkerf.bench.answers import Answers
from pearlkerf.bench.shelf import Shelf
from pearlkerf.bench.wrong import CannotBe

STATIC: Final = Path(__file__).parent / "static"
TYPES: Final[Mapping[str, str]] = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
}
JSON: Final = "application/json"


def bench_app(folder: Path) -> ASGIApp:
    """Give the bench over a folder, for whoever is let in."""
    answers = Answers(Shelf(folder))
    posts = {"look": answers.look, "edit": answers.edit, "save": answers.save, "new": answers.begin,
             "copy": answers.copy, "rename": answers.rename}  # fmt: skip
    return Starlette(
        routes=[
            Route("/", _page),
            Route("/board/{name}", _page),
            Route("/static/{file}", _static),
            Route("/api/boards", _told(lambda _: answers.boards())),
            Route("/api/families", _told(lambda _: answers.families())),
            Route("/api/board/{name}", _told(lambda request: answers.open(request.path_params["name"]))),
            *(Route(f"/api/{name}", _asked(answer), methods=["POST"]) for name, answer in posts.items()),
        ],
        exception_handlers={CannotBe: _cannot_be, OSError: _no_file},
    )


async def _page(_: Request) -> Response:
    return FileResponse(STATIC / "page.html", media_type=TYPES[".html"])


async def _static(request: Request) -> Response:
    """Give one of the bench's own files; nothing else has a name here."""
    name = request.path_params["file"]
    found = {path.name: path for path in STATIC.iterdir()}.get(name)
    if found is None or found.suffix not in TYPES:
        return Response("There is no such file.\n", 404, media_type="text/plain")
    return FileResponse(found, media_type=TYPES[found.suffix])


def _told(answer: Callable[[Request], dict[str, Any]]) -> Callable[[Request], Any]:
    async def tell(request: Request) -> Response:
        return JSONResponse(await run_in_threadpool(answer, request))

    return tell


def _asked(answer: Callable[[Mapping[str, Any]], dict[str, Any]]) -> Callable[[Request], Any]:
    async def tell(request: Request) -> Response:
        if request.headers.get("content-type", "").partition(";")[0].strip() != JSON:
            raise CannotBe("The bench takes JSON.", 415)
        try:
            asked = json.loads(await request.body())
        except (ValueError, RecursionError):
            raise CannotBe("That is not JSON.") from None
        if not isinstance(asked, dict):
            raise CannotBe("The bench takes a JSON object.")
        return JSONResponse(await run_in_threadpool(answer, asked))

    return tell


async def _cannot_be(_: Request, fault: Exception) -> Response:
    assert isinstance(fault, CannotBe)
    return JSONResponse({"wrong": fault.words}, fault.status)


async def _no_file(_: Request, fault: Exception) -> Response:
    """Say which file cannot be read or written, and why."""
    assert isinstance(fault, OSError)
    missing = isinstance(fault, FileNotFoundError)
    name = Path(fault.filename).name if isinstance(fault.filename, str) else "the folder"
    return JSONResponse({"wrong": f"{name}: {fault.strerror or fault}"}, 404 if missing else 507)
