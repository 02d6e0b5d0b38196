"""The desk's routes: each thin, over what other modules do.

Public: make_app, Desk.
"""

import asyncio
import logging
import threading
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from functools import partial
from importlib import import_module, resources
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from undersong.desk import downloads, errands, questions
from undersong.desk.guard import COOKIE, App, Door, Guard
from undersong.desk.keeping import Keeping, saved_in, saved_out
from undersong.desk.limits import ERRANDS
from undersong.desk.refused import Refusal, refusal_of
from undersong.desk.searching import OUR_FAULT, Job, Searches
from undersong.desk.settings import begun
from undersong.desk.store import Store
from undersong.desk.work import Source, Work, work_in, work_out
from undersong.sheet.json_node import Node, parse

log = logging.getLogger("undersong.desk")

Answering = Callable[[Request, Node], Awaitable[Response]]

FRESH = Work(Source(bundled="harrow-lane"))
"""What a page begins with where nothing was kept yet: nothing is set but the tune."""

_KINDS = {".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml"}
"""What the page is made of; nothing else is given out."""


@dataclass
class Desk:
    """door: who may ask; keeping: where works are kept; first: what the page begins with, where
    one was named when the desk was started; turns: of errands, which need no search."""

    door: Door
    keeping: Keeping
    first: Work | None = None
    store: Store = field(default_factory=Store)
    searches: Searches = field(init=False)
    turns: asyncio.Semaphore = field(init=False)

    def __post_init__(self) -> None:
        self.searches = Searches(self.store.forget)
        self.turns = asyncio.Semaphore(ERRANDS)


def make_app(desk: Desk) -> App:
    """The application, with its guard around it."""
    posts = {
        "/read": errands.read_tune,
        "/open": errands.opened,
        "/draw": errands.drawn,
        "/compare": errands.compared,
        "/sound": errands.sounded,
        "/sound/bars": errands.sound_bars,
        "/file": downloads.filed,
        "/handout": downloads.handout,
    }
    searches = {
        "/arrange": _arrange,
        "/prices": _prices,
        "/why": _why,
        "/others": _others,
        "/levels": _levels,
    }
    routes = [
        Route("/", partial(_page, desk)),
        Route("/page/{name:path}", _part),
        Route("/choices", partial(_choices, desk)),
        Route("/kept", partial(_kept, desk), methods=["GET"]),
        Route("/kept", _answering(partial(_keep, desk)), methods=["POST"]),
        Route("/kept/{name}", partial(_take_up, desk)),
        *(
            Route(path, _answering(partial(_errand, desk, errand)), methods=["POST"])
            for path, errand in posts.items()
        ),
        *(
            Route(path, _answering(partial(_stream, desk, search)), methods=["POST"])
            for path, search in searches.items()
        ),
    ]
    app = Starlette(
        routes=routes,
        exception_handlers={404: _nothing_there, 405: _nothing_there, Exception: _our_fault},
        lifespan=partial(_lifespan, desk),
    )
    return Guard(app, desk.door)


@asynccontextmanager
async def _lifespan(desk: Desk, _: Starlette) -> AsyncIterator[None]:
    threading.Thread(target=_warm_up, args=(desk,), name="warm-up", daemon=True).start()
    yield
    desk.searches.stop_all()


def _warm_up(desk: Desk) -> None:
    """Loads what the first answer needs while the browser still opens its page."""
    import_module("verovio")
    with suppress(ValueError):  # whatever is wrong with it, the page is told when it asks
        begun(desk.first or FRESH)


async def _page(desk: Desk, request: Request) -> Response:
    """The page itself. Where a key was needed to come here, it becomes a cookie, and leaves the
    address."""
    if desk.door.key and "key" in request.query_params:
        response: Response = RedirectResponse("/", status_code=303)
        response.set_cookie(COOKIE, desk.door.key, httponly=True, samesite="strict")
        return response
    html = _text("index.html").replace("{{token}}", desk.door.token)
    return Response(html, media_type="text/html")


async def _part(request: Request) -> Response:
    """A file of the page, looked up among those that there are."""
    name = request.path_params["name"]
    suffix = name[name.rfind(".") :]
    if name not in _parts() or suffix not in _KINDS:
        return await _nothing_there(request, None)
    return Response(_text(name), media_type=_KINDS[suffix])


def _parts() -> frozenset[str]:
    folder = resources.files("undersong.desk").joinpath("page")
    with resources.as_file(folder) as path:
        return frozenset(file.relative_to(path).as_posix() for file in path.rglob("*.*"))


def _text(name: str) -> str:
    return resources.files("undersong.desk").joinpath("page", *name.split("/")).read_text("utf-8")


async def _choices(desk: Desk, request: Request) -> Response:
    from undersong.desk.views.choices import choices_view

    del request
    first = None if desk.first is None else work_out(desk.first)
    choices = await run_in_threadpool(choices_view)
    return JSONResponse({**choices, "fresh": work_out(FRESH), "first": first})


async def _kept(desk: Desk, request: Request) -> Response:
    del request
    return JSONResponse({"kept": await run_in_threadpool(_kept_rows, desk.keeping)})


def _kept_rows(keeping: Keeping) -> list[dict[str, str]]:
    return [
        {"name": one.name, "title": keeping.title(one), "when": one.when.isoformat()}
        for one in keeping.kept()
    ]


async def _take_up(desk: Desk, request: Request) -> Response:
    try:
        saved = await run_in_threadpool(desk.keeping.open, request.path_params["name"])
    except ValueError as error:
        return _refused(error)
    return JSONResponse(saved_out(*saved))


async def _keep(desk: Desk, request: Request, asked: Node) -> Response:
    del request
    work, answer = saved_in(asked)
    name = await run_in_threadpool(desk.keeping.keep, work, answer)
    return JSONResponse({"name": name})


def _answering(answer: Answering) -> Callable[[Request], Awaitable[Response]]:
    """A route that reads JSON, and says in a sentence what it cannot use."""

    async def route(request: Request) -> Response:
        body = await request.body()
        try:
            return await answer(request, parse(body.decode("utf-8"), ""))
        except UnicodeDecodeError:
            return _refused(Refusal("the request is no UTF-8 text"))
        except ValueError as error:
            return _refused(error)

    return route


async def _errand(
    desk: Desk, errand: Callable[[Store, Node], Any], request: Request, asked: Node
) -> Response:
    del request
    async with desk.turns:
        made = await run_in_threadpool(errand, desk.store, asked)
    return made if isinstance(made, Response) else JSONResponse(made)


async def _stream(
    desk: Desk, search: Callable[[Store, Node], tuple[Job, float]], request: Request, asked: Node
) -> Response:
    del request
    desk.searches.admit()
    job, seconds = search(desk.store, asked)
    lines = desk.searches.lines(job, seconds)
    return StreamingResponse(lines, media_type="application/x-ndjson")


def _arrange(store: Store, asked: Node) -> tuple[Job, float]:
    asked.object("work", "before", "seconds", "width")
    work, before = work_in(asked["work"]), asked["before"].maybe(Node.text)
    seconds, width = float(asked["seconds"].whole(1)), errands.width_in(asked["width"])
    return partial(questions.arranged, store, work, before, width), seconds


def _prices(store: Store, asked: Node) -> tuple[Job, float]:
    asked.object("document")
    return partial(questions.priced, store, asked["document"].text()), 10.0


def _why(store: Store, asked: Node) -> tuple[Job, float]:
    asked.object("document", "played")
    document, played = asked["document"].text(), asked["played"].whole(1)
    return partial(questions.explained, store, document, played), 20.0


def _others(store: Store, asked: Node) -> tuple[Job, float]:
    asked.object("work", "count")
    return partial(questions.others, store, work_in(asked["work"]), asked["count"].whole(1)), 60.0


def _levels(store: Store, asked: Node) -> tuple[Job, float]:
    asked.object("work")
    return partial(questions.levels, store, work_in(asked["work"])), 60.0


def _refused(error: ValueError) -> Response:
    refusal = refusal_of(error)
    return JSONResponse(refusal.as_json(), status_code=refusal.status)


async def _nothing_there(request: Request, error: Exception | None) -> Response:
    del request
    status = getattr(error, "status_code", 404)
    return _refused(Refusal("the desk has nothing there", status=status))


async def _our_fault(request: Request, error: Exception) -> Response:
    """A fault of ours: told where the desk was started, never to the page."""
    log.error("answering %s failed", request.url.path, exc_info=error)
    return _refused(Refusal(OUR_FAULT, status=500))
