"""How the app does against a bare FastAPI and Jinja app in the same run, as one table: `make bench`.

Each server runs in a process of its own on this machine, with the same settings; requests go to loopback only, a fixed
number of them. Ratios are what travels; absolute figures are this machine's at this moment.
"""

import asyncio
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import httpx

ROOT = Path(__file__).parents[2]
ALONE = 300
TOGETHER = 1_600
CLIENTS = 16
STARTS = 5

BARE = """
import sys
import uvicorn
from fastapi import FastAPI, Request
from fastapi.templating import Jinja2Templates
from jinja2 import DictLoader, Environment
page = "<h1>{{ name }}</h1><ul>{% for i in range(20) %}<li>{{ i }}</li>{% endfor %}</ul>"
pages = Jinja2Templates(env=Environment(loader=DictLoader({"page.html": page})))
app = FastAPI()
@app.get("/")
async def show(request: Request):
    return pages.TemplateResponse(request, "page.html", {"name": "bare"})
uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[1]), log_level="warning")
"""


def free_port() -> int:
    """A port that nothing listens on."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@contextmanager
def served(command: Sequence[str], port: int) -> Iterator[tuple[str, float]]:
    """A server's address and the seconds until its first page was answered."""
    began = time.perf_counter()
    server = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    address = f"http://127.0.0.1:{port}/"
    try:
        while True:
            try:
                httpx.get(address, timeout=30).raise_for_status()
                break
            except httpx.TransportError:
                if server.poll() is not None or time.perf_counter() - began > 60:
                    raise
                time.sleep(0.01)
        yield address, time.perf_counter() - began
    finally:
        server.terminate()
        server.wait()


def bare() -> tuple[list[str], int]:
    """The command and port of the bare app."""
    port = free_port()
    return [sys.executable, "-c", BARE, str(port)], port


def ours(folder: str) -> tuple[list[str], int]:
    """The command and port of this app."""
    port = free_port()
    return [sys.executable, "-m", "webapp", "--port", str(port), "--data", folder], port


def alone(address: str) -> float:
    """The median time of one request after another [ms]."""
    times = []
    with httpx.Client() as client:
        for number in range(ALONE + 20):
            began = time.perf_counter()
            client.get(address, params={"sight_width": str(200 + number)}).raise_for_status()
            times.append((time.perf_counter() - began) * 1000)
    return statistics.median(times[20:])


async def together(address: str) -> tuple[float, float]:
    """Requests a second and the 99th percentile [ms] of `CLIENTS` at a time."""
    times: list[float] = []

    async def visit(client: httpx.AsyncClient, count: int) -> None:
        for number in range(count):
            began = time.perf_counter()
            response = await client.get(address, params={"sight_width": str(200 + number)})
            response.raise_for_status()
            times.append((time.perf_counter() - began) * 1000)

    async with httpx.AsyncClient(timeout=60) as client:
        await visit(client, 20)
        times.clear()
        began = time.perf_counter()
        await asyncio.gather(*(visit(client, TOGETHER // CLIENTS) for _ in range(CLIENTS)))
        rate = TOGETHER / (time.perf_counter() - began)
    return rate, sorted(times)[int(len(times) * 0.99)]


def main() -> None:
    """Measure both and print the table."""
    with tempfile.TemporaryDirectory() as folder:
        found: dict[str, list[float]] = {}
        for name, make in (("bare", bare), ("this app", lambda: ours(folder))):
            starts = []
            for _ in range(STARTS):
                command, port = make()
                with served(command, port) as (_, seconds):
                    starts.append(seconds)
            command, port = make()
            with served(command, port) as (address, _):
                median = alone(address)
                rate, tail = asyncio.run(together(address))
            found[name] = [statistics.median(starts), median, rate, tail]
    heads = ("start to first page, s", "p50 alone, ms", f"requests/s at {CLIENTS}", f"p99 at {CLIENTS}, ms")
    print(f"{'':28}{'bare':>12}{'this app':>12}{'ratio':>10}")
    for head, one, other in zip(heads, found["bare"], found["this app"], strict=True):
        print(f"{head:28}{one:12.3f}{other:12.3f}{other / one:10.2f}")


if __name__ == "__main__":
    main()
