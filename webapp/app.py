"""The app: its pages, its JSON API, its static files, and what happens to an error."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, PlainTextResponse, Response
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from movement.errors import RangeError
from webapp import api, demo
from webapp.assets import Assets, folder
from webapp.pages import climate, gap, piece, pieces, species
from webapp.refusals import from_error, from_range
from webapp.render import render
from webapp.security import Guard, too_large
from webapp.settings import Settings
from webapp.store import MissingError, Store

PAGES = (gap, climate, species, pieces, piece)


def create_app(settings: Settings | None = None) -> FastAPI:
    """The app with its store, ready to serve.

    Parameters
    ----------
    settings : Settings or None
        ``None``: from the environment.

    Raises
    ------
    OSError, sqlalchemy.exc.SQLAlchemyError
        When the data folder or the database cannot be used.
    """
    settings = settings or Settings()
    if settings.database.startswith("sqlite"):
        settings.data.mkdir(parents=True, exist_ok=True)
    store = Store(settings.database)
    store.prepare()
    demo.lay_out(store)

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        yield
        store.close()

    app = FastAPI(
        title="Seasonal Panel Fit",
        version="1",
        docs_url=None,
        redoc_url=None,
        openapi_url=f"{api.PREFIX}/openapi.json",
        lifespan=lifespan,
    )
    app.state.settings = settings
    app.state.store = store
    app.add_middleware(Guard, body_limit=settings.body_limit)
    app.mount("/static", Assets(directory=folder("static")), name="static")
    app.include_router(api.router)
    for page in PAGES:
        app.include_router(page.router, include_in_schema=False)
    app.add_exception_handler(RequestValidationError, _refused_request)
    app.add_exception_handler(RangeError, _refused_value)
    app.add_exception_handler(MissingError, _missing)
    app.add_exception_handler(HTTPException, _failed)
    app.add_exception_handler(ClientDisconnect, _cut_off)
    app.add_exception_handler(Exception, _broken)
    return app


def _is_api(request: Request) -> bool:
    return request.url.path.startswith(f"{api.PREFIX}/")


async def _refused_request(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    refusals = [from_error(_without_place(detail)) for detail in error.errors()]
    if _is_api(request):
        return api.refused(refusals)
    return render(request, "problem.html", [one.message for one in refusals], status=422, block="problem")


def _without_place(detail: dict[str, object]) -> dict[str, object]:
    """The error detail without FastAPI's leading "body" or "query"."""
    loc = detail["loc"]
    assert isinstance(loc, tuple | list)
    return detail | {"loc": tuple(loc[1:]) if loc and loc[0] in ("body", "query", "path") else tuple(loc)}


async def _refused_value(request: Request, error: Exception) -> Response:
    assert isinstance(error, RangeError)
    refusal = from_range(error)
    if _is_api(request):
        return api.refused([refusal])
    return render(request, "problem.html", [refusal.message], status=422, block="problem")


async def _missing(request: Request, error: Exception) -> Response:
    return _problem(request, 404, "There is nothing here: it may have been deleted, or the address is mistyped.")


async def _failed(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    if error.status_code == 404:
        return await _missing(request, error)
    return _problem(request, error.status_code, str(error.detail), error.headers)


async def _cut_off(request: Request, error: Exception) -> Response:
    return PlainTextResponse(too_large(request.app.state.settings.body_limit), 413)


async def _broken(request: Request, error: Exception) -> Response:
    return _problem(request, 500, "Something went wrong here. Nothing that was saved before is lost.")


def _problem(request: Request, status: int, message: str, headers: object = None) -> Response:
    sent = dict(headers) if isinstance(headers, dict) else {}
    if _is_api(request):
        return JSONResponse({"detail": [{"field": "", "message": message}]}, status, headers=sent)
    return render(request, "problem.html", [message], status=status, block="problem", headers=sent)
