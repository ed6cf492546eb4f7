"""The bench's addresses: pages and their files, and what pages ask for."""

import json
import logging
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from pearlkerf.bench.rooms import Rooms
from pearlkerf.bench.shelf import DRY_RUN, encoded
from pearlkerf.bench.wrong import CannotBe

Answer = Callable[[Mapping[str, Any]], dict[str, Any]]
STATIC: Final = Path(__file__).parent / "static"
FAMILY: Final = Path(__file__).parents[1] / "pictures" / "page" / "assets" / "family.css"  # shared with dry-run pages
TYPES: Final[Mapping[str, str]] = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
}
JSON: Final = "application/json"
LOG: Final = logging.getLogger(__name__)
OWN_FAULT: Final = "A fault of the bench, which its terminal tells whole. What stands here is as it was."
POLICY: Final = "Content-Security-Policy"
# a browser shows a PDF by means of its own, which stricter words would forbid
OF_A_PDF: Final = "frame-ancestors 'none'; base-uri 'none'; form-action 'none'"


def bench_app(rooms: Rooms) -> ASGIApp:
    """Give the bench over a folder, for whoever is let in."""
    posts: Mapping[str, Answer] = {
        "look": lambda asked: rooms.answers.look(asked),
        "edit": lambda asked: rooms.answers.edit(asked),
        "save": lambda asked: rooms.answers.save(asked),
        "new": lambda asked: rooms.answers.begin(asked),
        "copy": lambda asked: rooms.answers.copy(asked),
        "rename": lambda asked: rooms.answers.rename(asked),
        "machine-copy": lambda asked: rooms.answers.own_machine(asked),
        "inlay-kinds": lambda asked: rooms.inlays.kinds(asked),
        "inlay-file": lambda asked: rooms.inlays.keep(asked),
        "plan": lambda asked: rooms.jobs.plan(asked),
        "ways": lambda asked: rooms.jobs.ways(asked),
        "make": lambda asked: rooms.jobs.begin(asked),
        "stop": lambda asked: rooms.jobs.stop(asked),
        "piece": lambda asked: rooms.fits.piece(asked),
        "fit": lambda asked: rooms.fits.take(asked),
        "fits-known": lambda asked: rooms.fits.known(asked),
        "measured": lambda asked: rooms.fits.say(asked),
        "runout": lambda asked: rooms.fits.runout(asked),
        **_shell_posts(rooms),
    }
    of_a_board = ("", "/job", "/pieces", "/strip", "/fits", "/shell")
    pages = ("/", *(f"/board/{{name}}{page}" for page in of_a_board), "/machines", "/machine/{name}")
    answering = Starlette(
        routes=[
            *(Route(path, _page_of(rooms)) for path in pages),
            Route("/static/{file}", _static),
            Route("/api/boards", _told(lambda _: rooms.answers.boards())),
            Route("/api/families", _told(lambda _: rooms.answers.families())),
            Route("/api/board/{name}", _told(lambda request: rooms.answers.open(**request.path_params))),
            Route("/api/machines", _told(lambda _: rooms.jobs.machines())),
            Route("/api/making/{folder}", _told(lambda request: rooms.jobs.state(**request.path_params))),
            Route("/api/job/{name}/{kind}", _told(lambda request: rooms.jobs.held(**request.path_params))),
            Route("/job/{name}/{kind}/{file}", _file_of(rooms)),
            Route("/template/{name}", _template_of(rooms)),
            Route("/phone/{name}/{kind}", _phone_of(rooms)),
            Route("/photograph/{name}/{entry:int}/{number:int}", _photograph_of(rooms)),
            *(Route(f"/api/{name}", _asked(answer), methods=["POST"]) for name, answer in posts.items()),
        ],
        exception_handlers={CannotBe: _cannot_be, OSError: _no_file, Exception: _own_fault},
    )
    return _kept_open(answering)


def _kept_open(answering: ASGIApp) -> ASGIApp:
    """Keep the connection: a fault that is told and logged is raised once more, and whoever serves would hang up."""

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        with suppress(Exception):
            await answering(scope, receive, send)

    return answer


def _shell_posts(rooms: Rooms) -> Mapping[str, Answer]:
    return {
        "shell": lambda asked: rooms.shell.view(asked),
        "shell-place": lambda asked: rooms.shell.place(asked),
        "shell-where": lambda asked: rooms.shell.where(asked),
        "shell-to-cut": lambda asked: rooms.cut_away.by_programs(asked),
        "shell-cut": lambda asked: rooms.cut_away.take(asked),
        "photograph": lambda asked: rooms.photographs.keep(asked),
        "photograph-corners": lambda asked: rooms.photographs.mark(asked),
        "photograph-laid": lambda asked: rooms.photographs.lay(asked),
        "photograph-remove": lambda asked: rooms.photographs.remove(asked),
    }


def _page_of(rooms: Rooms) -> Callable[[Request], Any]:
    """Give the page, and open the rooms that it will ask for once it is sent."""

    async def give(_: Request) -> Response:
        return FileResponse(STATIC / "page.html", media_type=TYPES[".html"], background=BackgroundTask(rooms.open))

    return give


async def _static(request: Request) -> Response:
    """Give one of the bench's own files; nothing else has a name here."""
    name = request.path_params["file"]
    found = {path.name: path for path in (*STATIC.iterdir(), FAMILY)}.get(name)
    if found is None or found.suffix not in TYPES:
        return Response("There is no such file.\n", 404, media_type="text/plain")
    return FileResponse(found, media_type=TYPES[found.suffix])


def _file_of(rooms: Rooms) -> Callable[[Request], Any]:
    """Give a file of a job: the dry-run page under its own policy, in a frame of our own page alone."""

    async def give(request: Request) -> Response:
        data = await run_in_threadpool(lambda: rooms.jobs.file(**request.path_params))
        name = request.path_params["file"]
        if name == DRY_RUN:
            from pearlkerf.pictures.page.page import page_policy

            policy = f"{page_policy()}; frame-ancestors 'self'; sandbox allow-scripts"
            return Response(data, media_type=TYPES[".html"], headers={POLICY: policy})
        return _shown(data, name)

    return give


def _template_of(rooms: Rooms) -> Callable[[Request], Any]:
    """Give the paper template of a board, drawn when it is asked for."""

    async def give(request: Request) -> Response:
        name = request.path_params["name"]
        return _shown(await run_in_threadpool(lambda: rooms.answers.template(name)), f"{name}-template.pdf")

    return give


def _phone_of(rooms: Rooms) -> Callable[[Request], Any]:
    """Give a job as one file, to be kept and sent to the phone at the machine."""

    async def give(request: Request) -> Response:
        path = request.path_params
        data = await run_in_threadpool(lambda: rooms.jobs.phone(**path))
        name = quote(rooms.jobs.folder(**path).name)
        headers = {"Content-Disposition": f"attachment; filename*=UTF-8''{name}.html"}
        return Response(data, media_type=TYPES[".html"], headers=headers)

    return give


def _photograph_of(rooms: Rooms) -> Callable[[Request], Any]:
    """Give the photograph of a blank, as a picture and as nothing else."""

    async def give(request: Request) -> Response:
        name, entry, number = (request.path_params[part] for part in ("name", "entry", "number"))
        data = await run_in_threadpool(lambda: rooms.photographs.data(name, (entry, number)))
        return Response(data, media_type="image/jpeg")

    return give


def _shown(data: bytes, name: str) -> Response:
    """Give a file as the browser shows it: a PDF, or plain text."""
    if not name.endswith(".pdf"):
        return Response(data, media_type="text/plain; charset=utf-8")
    headers = {POLICY: OF_A_PDF, "Content-Disposition": f"inline; filename*=UTF-8''{quote(name)}"}
    return Response(data, media_type="application/pdf", headers=headers)


def _told(answer: Callable[[Request], dict[str, Any]]) -> Callable[[Request], Any]:
    async def tell(request: Request) -> Response:
        return JSONResponse(await run_in_threadpool(answer, request))

    return tell


def _asked(answer: Answer) -> Callable[[Request], Any]:
    async def tell(request: Request) -> Response:
        if request.headers.get("content-type", "").partition(";")[0].strip() != JSON:
            raise CannotBe("The bench takes JSON.", 415)
        asked = _json(await request.body())
        if not isinstance(asked, dict):
            raise CannotBe("The bench takes a JSON object.")
        return JSONResponse(await run_in_threadpool(answer, asked))

    return tell


def _json(body: bytes) -> Any:
    """Give what a body holds; raises CannotBe for what is no JSON (RFC 8259), and for text that no file can hold."""

    def no_number(word: str) -> None:
        raise ValueError(word)

    try:
        asked = json.loads(body, parse_constant=no_number)
        said = json.dumps(asked, ensure_ascii=False)
    except (ValueError, RecursionError):
        raise CannotBe("That is not JSON.") from None
    encoded(said)
    return asked


async def _cannot_be(_: Request, fault: Exception) -> Response:
    assert isinstance(fault, CannotBe)
    return JSONResponse({"wrong": fault.words}, fault.status)


async def _no_file(_: Request, fault: Exception) -> Response:
    """Say which file cannot be read or written, and why."""
    assert isinstance(fault, OSError)
    missing = isinstance(fault, FileNotFoundError)
    name = Path(fault.filename).name if isinstance(fault.filename, str) else "the folder"
    return JSONResponse({"wrong": f"{name}: {fault.strerror or fault}"}, 404 if missing else 507)


async def _own_fault(request: Request, fault: Exception) -> Response:
    """Say that a fault is the bench's own; foreseen by nobody, so that none can be named, it is logged whole."""
    LOG.error("%s cannot be answered", request.url.path, exc_info=fault)
    return JSONResponse({"wrong": OWN_FAULT}, 500)
