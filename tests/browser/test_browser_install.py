"""The app kept by the browser: its service worker, and what it shows while the server is away."""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Page, expect

from webapp.app import create_app
from webapp.settings import Settings


@pytest.fixture
def server(tmp_path: Path) -> Iterator[tuple[str, Callable[[], None]]]:
    """The address of a server of this test's own, and what stops it."""
    listening = socket.create_server(("127.0.0.1", 0))
    running = uvicorn.Server(uvicorn.Config(create_app(Settings(data=tmp_path, database_url="")), log_level="warning"))
    thread = threading.Thread(target=running.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not running.started:
        assert thread.is_alive()
        time.sleep(0.01)

    def stop() -> None:
        running.should_exit = True
        running.force_exit = True
        thread.join(30)
        listening.close()

    yield f"http://127.0.0.1:{listening.getsockname()[1]}", stop
    stop()


def registered(page: Page) -> None:
    """Wait until the worker serves the next page."""
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")


def test_the_app_is_kept_and_a_server_that_is_away_is_told(
    page: Page, server: tuple[str, Callable[[], None]], quiet: list[str]
) -> None:
    address, stop = server
    page.goto(f"{address}/")
    registered(page)
    assert page.evaluate("navigator.serviceWorker.getRegistration().then((one) => one.scope)") == f"{address}/"
    kept = page.evaluate(
        "caches.keys().then((names) => caches.open(names[0])).then((cache) => cache.keys())"
        ".then((all) => all.map((one) => new URL(one.url).pathname))"
    )
    assert "/away" in kept
    assert {name for name in kept if not name.startswith("/static/")} == {"/away"}

    page.goto(f"{address}/stock")
    expect(page.get_by_role("heading", level=1)).not_to_have_text("The server is away")
    assert quiet == []

    stop()
    answer = page.goto(f"{address}/?sight_width=411")
    assert answer is not None
    assert answer.status == 503
    expect(page.get_by_role("heading", level=1)).to_have_text("The server is away")
    assert page.get_by_role("link", name="Try again").evaluate("one => one.href") == f"{address}/?sight_width=411"
    assert page.locator("h1").evaluate("one => getComputedStyle(one).fontWeight") == "650"
    assert page.locator(".masthead").evaluate("one => getComputedStyle(one).borderTopWidth") == "4px"
    assert all("503" in line for line in quiet), quiet
    quiet.clear()
