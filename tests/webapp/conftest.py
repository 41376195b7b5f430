"""The app on a store of its own, driven without a network."""

import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import httpx
import pytest
from anyio.from_thread import BlockingPortal, start_blocking_portal
from fastapi import FastAPI

from tests import servers
from webapp.app import create_app
from webapp.settings import Settings
from webapp.typeset import NO_BREAK

FRAGMENT = {"HX-Request": "true", "HX-Request-Type": "partial"}


class Page(httpx.Response):
    """An answer whose words tests read with plain spaces; `test_typeset` looks at the no-break spaces themselves."""

    @property
    def text(self) -> str:
        return super().text.replace(NO_BREAK, " ")


class Client:
    """The calls of `httpx.AsyncClient` that the tests use, waited for."""

    def __init__(self, app: FastAPI, portal: BlockingPortal) -> None:
        self.app = app
        self._portal = portal
        transport = httpx.ASGITransport(app, raise_app_exceptions=False)
        self._client = httpx.AsyncClient(transport=transport, base_url="http://shop.test")

    def request(self, method: str, url: str, **more: Any) -> httpx.Response:
        response = self._portal.call(partial(self._client.request, method, url, **more))
        response.__class__ = Page
        return response

    def get(self, url: str, **more: Any) -> httpx.Response:
        return self.request("GET", url, **more)

    def post(self, url: str, **more: Any) -> httpx.Response:
        return self.request("POST", url, **more)

    def close(self) -> None:
        self._portal.call(self._client.aclose)


@pytest.fixture(scope="session")
def portal() -> Iterator[BlockingPortal]:
    with start_blocking_portal() as portal:
        yield portal


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    app = create_app(Settings(data=tmp_path, database_url=""))
    yield app
    app.state.store.close()


@pytest.fixture
def client(app: FastAPI, portal: BlockingPortal) -> Iterator[Client]:
    client = Client(app, portal)
    yield client
    client.close()


@pytest.fixture(scope="session")
def still_app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    """An app that all tests share which keep nothing in it."""
    app = create_app(Settings(data=tmp_path_factory.mktemp("still"), database_url=""))
    yield app
    app.state.store.close()


@pytest.fixture
def still(still_app: FastAPI, portal: BlockingPortal) -> Iterator[Client]:
    """A client of the shared app, for tests that keep nothing in it."""
    client = Client(still_app, portal)
    yield client
    client.close()


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """The address of a PostgreSQL server that this run has started."""
    programs = servers.postgres_programs()
    if programs is None:
        pytest.skip("PostgreSQL is not installed (Debian: apt-get install postgresql)")
    with servers.postgres(programs) as address:
        yield address


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of an empty database, of each kind in turn."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'test.sqlite3'}"
    else:
        with servers.database(request.getfixturevalue("postgres"), f"test_{time.time_ns()}") as address:
            yield address


@pytest.fixture
def on_postgres(tmp_path: Path, postgres: str, portal: BlockingPortal) -> Iterator[Client]:
    """A client of an app that keeps everything in PostgreSQL."""
    with servers.database(postgres, f"app_{time.time_ns()}") as address:
        app = create_app(Settings(data=tmp_path, database_url=address))
        client = Client(app, portal)
        yield client
        client.close()
        app.state.store.close()


@pytest.fixture
def fragment() -> dict[str, str]:
    """Headers of a request for a part of a page."""
    return dict(FRAGMENT)
