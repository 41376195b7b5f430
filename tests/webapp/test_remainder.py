"""What the first page does not need is loaded later: once, by whoever asks first, and it answers as it always did."""

import asyncio
import os
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.routing import APIRoute
from starlette.datastructures import URL

from webapp import app as frame
from webapp import routes
from webapp.remainder import Remainder

ROOT = Path(__file__).parents[2]
PANEL = {
    "species": "Cherry, black",
    "sight_width_mm": 300,
    "moisture_now_pct": 8,
    "moisture_dry_pct": 6,
    "moisture_wet_pct": 11,
}
ASKED: list[tuple[str, str, int]] = [
    ("GET", "/", 200),
    ("GET", "/pieces", 200),
    ("GET", "/parts/drawer", 200),
    ("GET", "/parts/door", 200),
    ("GET", "/check", 200),
    ("GET", "/climate", 200),
    ("GET", "/species", 200),
    ("GET", "/pieces/", 307),
    ("GET", "/nothing", 404),
    ("DELETE", "/species", 405),
    ("GET", "/health", 200),
    ("DELETE", "/health", 405),
    ("GET", "/api/v1/emc?temperature_c=20&humidity_pct=50", 200),
    ("GET", "/api/v1/emc?temperature_c=20&humidity_pct=500", 422),
    ("POST", "/api/v1/panel", 200),
    ("POST", "/api/v1/panel", 200),
    ("POST", "/api/v1/drawer", 422),
    ("GET", "/api/v1/openapi.json", 200),
    ("GET", "/api/v1/nothing", 404),
    ("PUT", "/api/v1/panel", 405),
]
"""Method, address, and the status of its answer."""
AT_ONCE = f"""
import asyncio, sys
from anyio.from_thread import start_blocking_portal
from httpx import ASGITransport, AsyncClient
from webapp.app import create_app
app = create_app()
assert "webapp.routes" not in sys.modules
async def ask():
    async with AsyncClient(transport=ASGITransport(app), base_url="http://shop.test") as client:
        asked = (client.request(one, path, json={PANEL!r} if one == "POST" else None) for one, path, _ in {ASKED!r})
        return await asyncio.gather(*asked)
with start_blocking_portal() as portal:
    print(*(answer.status_code for answer in portal.call(ask)))
"""


def run(script: str, folder: Path) -> str:
    env = {**os.environ, "PANEL_FIT_DATA": str(folder), "PANEL_FIT_DATABASE_URL": ""}
    command = [sys.executable, "-c", script]
    found = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=60, check=True)
    return found.stdout


def test_all_who_ask_first_at_once_are_answered_as_ever(tmp_path: Path) -> None:
    assert [int(word) for word in run(AT_ONCE, tmp_path).split()] == [status for _, _, status in ASKED]


@pytest.mark.parametrize(("method", "path", "status"), ASKED)
def test_whoever_asks_first_is_answered_as_ever(client: Any, method: str, path: str, status: int) -> None:
    assert client.request(method, path, json=PANEL if method == "POST" else None).status_code == status


def test_what_is_loaded_later_refuses_in_its_own_shape(client: Any) -> None:
    refused = client.request("PUT", "/api/v1/panel")
    assert refused.headers["allow"] == "POST"
    assert refused.json()["detail"][0]["message"] == "This address does not take PUT."
    assert 'id="problem"' in client.get("/nothing").text
    assert URL(client.get("/pieces/").headers["location"]).path == "/pieces"


def test_the_document_can_be_asked_for_first(client: Any, still: Any) -> None:
    document = client.get("/api/v1/openapi.json").json()
    assert document == still.get("/api/v1/openapi.json").json()
    own = {route.path for module in routes.API for route in module.router.routes if isinstance(route, APIRoute)}
    assert set(document["paths"]) == own


def test_no_address_is_shared_by_what_is_loaded_first_and_later() -> None:
    """Or its other methods would be refused until the rest is there."""
    first = {route.path for page in frame.FIRST for route in page.router.routes}
    later = {route.path for module in (*routes.PAGES, *routes.API) for route in module.router.routes}
    assert first
    assert not first & later
    assert not any(path.startswith(("/static", "/api/v1/openapi")) for path in later)


def test_it_is_loaded_once_however_many_ask(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "log"
    (tmp_path / "slowly.py").write_text(
        "import time\nfrom pathlib import Path\nfrom fastapi import APIRouter\n"
        f"log = Path({str(log)!r})\nlog.write_text((log.read_text() if log.exists() else '') + 'loaded ')\n"
        "time.sleep(0.1)\nrouter = APIRouter()\n"
    )
    monkeypatch.syspath_prepend(tmp_path)
    rest, waiting = Remainder("slowly"), threading.Barrier(8)

    def load(_: int) -> int:
        waiting.wait()
        return id(rest.load())

    with ThreadPoolExecutor(8) as threads:
        assert len(set(threads.map(load, range(8)))) == 1
    assert log.read_text() == "loaded "
    monkeypatch.delitem(sys.modules, "slowly")


def test_what_cannot_be_loaded_harms_nothing_else_and_is_tried_again(
    app: FastAPI, client: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app.router, "default", Remainder("webapp.nothing_of_this_name"))
    assert client.get("/pieces").status_code == 500
    assert client.get("/").status_code == 200
    monkeypatch.setattr(app.router.default, "_name", "webapp.routes")
    assert client.get("/pieces").status_code == 200


def test_a_server_that_nobody_asks_loads_it_by_itself(
    app: FastAPI, portal: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    loaded = threading.Event()
    monkeypatch.setattr(frame, "QUIET", 0)
    monkeypatch.setattr(app.state.rest, "load", loaded.set)

    async def serve() -> bool:
        async with app.router.lifespan_context(app):
            return await asyncio.to_thread(loaded.wait, 30)

    assert portal.call(serve)


def test_a_server_stops_without_loading_it(app: FastAPI, portal: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    loaded = threading.Event()
    monkeypatch.setattr(app.state.rest, "load", loaded.set)

    async def serve() -> None:
        async with app.router.lifespan_context(app):
            await asyncio.sleep(0)

    portal.call(serve)
    assert not loaded.is_set()
