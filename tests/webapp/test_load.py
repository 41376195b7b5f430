"""Fifty who write and two hundred who read, all at once and without a pause: nobody meets an error, no write is lost.

Eight seconds of each kind of database; ``LOAD_SECONDS=60`` for a whole minute, with ``-s`` to see the figures.
"""

import asyncio
import itertools
import os
import re
import time
from collections import Counter
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import httpx
import pytest

from movement import piece as pieces
from movement.piece import MOST_FRAMES
from tests import servers
from webapp.store import Store

SECONDS = float(os.environ.get("LOAD_SECONDS", "8"))
WRITERS = 50
READERS = 200
SHARING = 5
"""Writers who all change one piece, until it is half full."""
WORKERS = 2


class Load:
    """What was asked of a server, and what it answered."""

    def __init__(self, client: httpx.AsyncClient, shared: str) -> None:
        self.client = client
        self.shared = shared
        self.until = time.monotonic() + SECONDS
        self.statuses: Counter[int] = Counter()
        self.refused: list[str] = []
        self.times: dict[str, list[float]] = {"write": [], "read": []}
        self.made: list[str] = []
        self.framed: Counter[str] = Counter()

    async def ask(self, kind: str, method: str, address: str, **more: Any) -> httpx.Response:
        """Ask, and keep what came of it."""
        began = time.perf_counter()
        response = await self.client.request(method, address, **more)
        self.times[kind].append(time.perf_counter() - began)
        self.statuses[response.status_code] += 1
        if response.status_code not in (200, 303):
            self.refused.append(f"{response.status_code} {method} {address}: {response.text[:2000]}")
        return response

    async def write(self, number: int) -> None:
        """Make pieces, give them frames, and now and then keep a climate."""
        for turn in itertools.count():
            if time.monotonic() > self.until:
                return
            if number < SHARING and self.framed[self.shared] < MOST_FRAMES // 2:
                await self.frame(self.shared, f"Frame {number}-{turn}")
                continue
            name = f"Piece {number}-{turn}"
            response = await self.ask("write", "POST", "/pieces", data={"name": name})
            self.made.append(name)
            await self.frame(response.headers["location"], "Door")
            if turn % 10 == 0:
                year = {"name": f"Room {number}-{turn}", "year": "moisture", "moisture_dry": "6", "moisture_wet": "12"}
                await self.ask("write", "POST", "/climate", data=year)

    async def frame(self, piece: str, name: str) -> None:
        """Put a frame into a piece."""
        response = await self.ask("write", "POST", f"{piece}/frames", data={"name": name})
        if response.status_code == 303:
            self.framed[piece] += 1

    async def read(self, number: int) -> None:
        """Look at one page after another."""
        for turn in itertools.count():
            if time.monotonic() > self.until:
                return
            pages = (f"/?sight_width={200 + number}.{turn % 10}", self.shared, "/climate", "/species?q=oak", "/ready")
            await self.ask("read", "GET", pages[(number + turn) % len(pages)])

    def told(self, kind: str) -> str:
        """Requests a second, and how long they took."""
        times = sorted(self.times[kind])
        middle, late = times[len(times) // 2], times[int(len(times) * 0.99)]
        return f"{kind}: {len(times) / SECONDS:.0f} a second, half within {middle:.2f} s, 99 % within {late:.2f} s"


async def loaded(address: str) -> Load:
    """Everybody at once, until the time is over."""
    # A connection left idle is not used again: the server may be closing it just then.
    limits = httpx.Limits(max_connections=WRITERS + READERS, keepalive_expiry=1.0)
    async with httpx.AsyncClient(base_url=address, timeout=120, limits=limits) as client:
        shared = (await client.post("/pieces", data={"name": "Shared"})).headers["location"]
        load = Load(client, shared)
        everybody: list[Coroutine[Any, Any, None]] = [load.write(number) for number in range(WRITERS)]
        everybody += [load.read(number) for number in range(READERS)]
        await asyncio.gather(*everybody)
    return load


@pytest.mark.load
def test_fifty_writers_and_two_hundred_readers_meet_no_error_and_lose_nothing(database: str, tmp_path: Path) -> None:
    data = tmp_path / "data"
    env = {"PANEL_FIT_DATABASE_URL": database}
    with servers.served(data, "--workers", str(WORKERS), env=env) as server:
        with ThreadPoolExecutor(1) as own:  # the browser tests leave a running loop in the main thread
            load = own.submit(asyncio.run, loaded(server.address)).result()
        said = server.log.read_text()
    print(f"\n{re.split(':', database)[0]}, {WORKERS} workers: {load.told('write')}; {load.told('read')}")
    assert load.refused == []
    assert not re.search("Traceback|locked|ERROR", said)
    assert set(load.statuses) == {200, 303}
    store = Store(database)
    kept = Counter(one.name for one in store.pieces())
    assert [name for name in load.made if kept[name] != 1] == []
    for piece, frames in load.framed.items():
        assert len(pieces.load(store.piece(piece.removeprefix("/pieces/")).document).frames) == frames
    store.close()
