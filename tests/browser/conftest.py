"""The real server on a store of its own, and Debian's Chromium in front of it."""

import os
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import BrowserContext, ConsoleMessage, Page

from tests.webapp.test_entry import HASH
from webapp.app import create_app
from webapp.settings import Settings

ARGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
STARTED = 30.0
"""How long the server may take to start [s]."""


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    chromium = os.environ.get("CHROMIUM", "/usr/bin/chromium")
    return {**browser_type_launch_args, "executable_path": chromium, "args": list(ARGS)}


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    """The app that the browser drives; its store holds the demo."""
    data: Path = tmp_path_factory.mktemp("data")
    return create_app(Settings(data=data, database_url=""))


@pytest.fixture(scope="session")
def base_url(served: FastAPI) -> Iterator[str]:
    """The address of its running server."""
    yield from serving(served)


@pytest.fixture(scope="session")
def guarded_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a running server that asks for a passphrase."""
    settings = Settings(data=tmp_path_factory.mktemp("guarded"), database_url="", passphrase_hash=HASH)
    yield from serving(create_app(settings))


def serving(app: FastAPI) -> Iterator[str]:
    """Serve an app at a free port."""
    listening = socket.create_server(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", lifespan="on"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    until = time.monotonic() + STARTED
    while not server.started:
        assert thread.is_alive(), "the server could not start"
        assert time.monotonic() < until, "the server did not start in time"
        time.sleep(0.01)
    yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    server.should_exit = True
    thread.join(STARTED)
    listening.close()


@pytest.fixture(autouse=True)
def quiet(context: BrowserContext) -> Iterator[list[str]]:
    """Fails a test in which a page wrote an error or a refused policy to the console, or its script broke.

    A refused entry is answered with status 422 (or 409), which the browser writes down as well: that is no error.
    """
    said: list[str] = []

    def heard(message: ConsoleMessage) -> None:
        refused = message.text.startswith("Failed to load resource") and any(
            f"status of {status}" in message.text for status in (409, 422)
        )
        if message.type in ("error", "warning") and not refused:
            said.append(f"{message.text} ({message.location})")

    def opened(page: Page) -> None:
        page.on("console", heard)
        page.on("pageerror", lambda error: said.append(str(error)))

    context.on("page", opened)
    yield said
    assert said == []
