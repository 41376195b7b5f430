"""The app: its pages, its JSON API, its static files, and what happens to an error."""

import gc
from asyncio import create_task, sleep
from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import asynccontextmanager, suppress
from typing import Any

from anyio.to_thread import current_default_thread_limiter
from fastapi import FastAPI, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from movement.errors import PieceFileError, RangeError
from webapp import api, demo
from webapp.assets import Assets, folder
from webapp.caching import Answers, Revalidated
from webapp.database import StorageError
from webapp.documents import MissingError
from webapp.entry import ENTER, Door, Gate
from webapp.pages import enter, gap, health
from webapp.refusals import Refusal, from_error, from_range
from webapp.remainder import Remainder
from webapp.render import render
from webapp.security import Guard, dress
from webapp.settings import Settings
from webapp.shares import Shares
from webapp.store import Store
from webapp.uploads import ADDRESS, Uploads

FIRST = (gap, enter, health)
"""The pages that may be asked for first; all other routes are in `webapp.routes`, which is loaded later."""
QUIET = 2
"""How long after its start the app waits before it loads what was not asked for yet [s]."""
THREADS = 8
"""Requests that a process works on at once: the processor bounds them, and more would only hold each other up."""


def create_app(settings: Settings | None = None) -> FastAPI:
    """The app with its store, ready to serve.

    Parameters
    ----------
    settings : Settings or None
        ``None``: from the environment.

    Raises
    ------
    OSError, StorageError
        When the data folder or the database cannot be used.
    """
    settings = settings or Settings()
    if settings.database.startswith("sqlite"):
        settings.data.mkdir(mode=0o700, parents=True, exist_ok=True)
    store = Store(settings.database)
    store.prepare()
    with suppress(StorageError):  # what can be read only is served as it is
        store.purge()
    demo.lay_out(store)
    uploads = Uploads(settings.uploads)
    gate = Gate(settings, store.engine)
    gate.prepare()
    limits = dict.fromkeys((ADDRESS, f"{api.PREFIX}{ADDRESS}"), settings.upload_limit)
    limits[ENTER] = enter.MOST_BYTES
    rest = Remainder("webapp.routes")

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        current_default_thread_limiter().total_tokens = THREADS
        gc.collect()
        gc.freeze()  # what stays as long as the server need not be gone through again and again
        loading = create_task(_load(rest))
        yield
        loading.cancel()
        gc.unfreeze()
        uploads.close()
        store.close()

    app = FastAPI(
        title="Seasonal Panel Fit",
        version="1",
        docs_url=None,
        redoc_url=None,
        openapi_url=f"{api.PREFIX}/openapi.json",
        lifespan=lifespan,
    )
    app.openapi = lambda: api.describe(app, rest.load().routes)  # type: ignore[method-assign]
    app.state.settings = settings
    app.state.store = store
    app.state.answers = Answers()
    app.state.uploads = uploads
    app.state.gate = gate
    app.state.shares = Shares(store.engine)
    app.state.rest = rest
    app.add_middleware(Revalidated)
    app.add_middleware(Door, gate=gate, problem=problem)
    app.add_middleware(Guard, body_limit=settings.body_limit, hosts=settings.host_names, problem=problem, limits=limits)
    for page in FIRST:
        app.include_router(page.router, include_in_schema=False)
    app.mount("/static", Assets(directory=folder("static")), name="static")
    app.router.default = rest
    app.add_exception_handler(RequestValidationError, _refused_request)
    app.add_exception_handler(RangeError, _refused_value)
    app.add_exception_handler(PieceFileError, _unfit)
    app.add_exception_handler(MissingError, _missing)
    app.add_exception_handler(StorageError, _unusable)
    app.add_exception_handler(HTTPException, _failed)
    app.add_exception_handler(ClientDisconnect, _cut_off)
    app.add_exception_handler(Exception, _broken)
    return app


async def _load(rest: Remainder) -> None:
    """Load the rest before it is asked for, but not while the first page is."""
    await sleep(QUIET)
    await run_in_threadpool(rest.load)
    gc.collect()
    gc.freeze()


def _is_api(request: Request) -> bool:
    return request.url.path.startswith(f"{api.PREFIX}/")


async def _refused_request(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    schema = api.schema_of(request)
    refusals = [from_error(_without_place(detail), schema) for detail in error.errors()]
    return _refused(request, 422, refusals)


def _without_place(detail: dict[str, Any]) -> dict[str, Any]:
    """The error detail without FastAPI's leading "body" or "query"."""
    loc = detail["loc"]
    return detail | {"loc": loc[1:] if loc and loc[0] in ("body", "query", "path") else loc}


async def _refused_value(request: Request, error: Exception) -> Response:
    assert isinstance(error, RangeError)
    return _refused(request, 422, [from_range(error, place=api.schema_of(request).at(()))])


async def _unfit(request: Request, error: Exception) -> Response:
    return problem(request, 422, f"Nothing was changed. {error}")


async def _missing(request: Request, error: Exception) -> Response:
    return problem(request, 404, "There is nothing here: it may have been deleted, or the address is mistyped.")


async def _unusable(request: Request, error: Exception) -> Response:
    return problem(request, 503, str(error))


async def _failed(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 404:
        return await _missing(request, error)
    message = str(error.detail)
    if error.status_code == 405:
        message = f"This address does not take {request.method}."
    elif error.status_code == 400:
        message = "What was sent could not be read; nothing was changed."
    return problem(request, error.status_code, message, error.headers)


async def _cut_off(request: Request, error: Exception) -> Response:
    return problem(request, 400, "The request broke off; nothing was changed.")


async def _broken(request: Request, error: Exception) -> Response:
    response = problem(request, 500, "Something went wrong here. Nothing that was saved before is lost.")
    dress(response.headers)  # this answer is given outside all middleware
    return response


def problem(request: Request, status: int, message: str, headers: Mapping[str, str] | None = None) -> Response:
    """The answer to a request that is not served, as a page or as JSON."""
    return _refused(request, status, [Refusal("", message)], headers)


def _refused(
    request: Request, status: int, refusals: Sequence[Refusal], headers: Mapping[str, str] | None = None
) -> Response:
    if _is_api(request):
        return api.refused(refusals, status, headers)
    messages = [one.message for one in refusals]
    return render(request, "problem.html", messages, status=status, block="problem", headers=headers)
