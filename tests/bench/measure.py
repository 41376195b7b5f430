"""How the app does against a bare FastAPI and Jinja app in the same run, as one table: `make bench`.

Each server is a process of its own on this machine, with the same settings; all run at once and are asked in turn, so
that whatever else the machine does falls on both. Requests go to loopback only, a fixed number of them, by clients
that cost little beside a server. Ratios are what travels; absolute figures are this machine's at this moment.
"""

import asyncio
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http.client import HTTPConnection
from itertools import count, repeat
from pathlib import Path
from urllib.parse import urlencode

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from movement import gap_table, piece  # noqa: E402
from movement.parts.climates import MoistureClimate  # noqa: E402
from movement.piece import Frame, PanelPart, Piece  # noqa: E402
from tests.servers import free_port  # noqa: E402

STARTS = 7
ROUNDS = 15
ALONE = 40
"""Requests one after another, in each round."""
CLIENTS = 16
TOGETHER = 320
"""Requests by all clients at once, in each round."""
LONG = 2_050
"""Lines of a bare page that is as long as the gap page, 41 kB."""
PARTS = 200
FRAGMENT = {"HX-Request": "true", "HX-Request-Type": "partial", "Asked-By": "change"}

BARE = """
import sys
import uvicorn
from fastapi import FastAPI, Request
from fastapi.templating import Jinja2Templates
from jinja2 import DictLoader, Environment
page = "<h1>{{ name }}</h1><ul>{% for i in range(int(LINES)) %}<li>{{ i }}</li>{% endfor %}</ul>"
pages = Jinja2Templates(env=Environment(loader=DictLoader({"page.html": page.replace("int(LINES)", sys.argv[2])})))
app = FastAPI()
@app.get("/")
async def show(request: Request):
    return pages.TemplateResponse(request, "page.html", {"name": "bare"})
uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[1]), log_level="info", server_header=False, timeout_keep_alive=75)
"""


@dataclass
class Server:
    """A running server, and what was measured of it: milliseconds, and requests a second, by what was asked."""

    port: int
    process: "subprocess.Popen[bytes]"
    times: dict[str, list[float]] = field(default_factory=dict)
    crowded: dict[str, list[float]] = field(default_factory=dict)
    rates: dict[str, list[float]] = field(default_factory=dict)

    def p50(self, asked: str) -> float:
        """The median of one request after another [ms]."""
        return statistics.median(self.times[asked])

    def rate(self, asked: str) -> float:
        """The median over rounds of requests a second, of all clients together."""
        return statistics.median(self.rates[asked])

    def p99(self, asked: str) -> float:
        """The 99th percentile of requests of all clients together [ms]."""
        return sorted(self.crowded[asked])[int(len(self.crowded[asked]) * 0.99)]


def bare(port: int, lines: int = 20) -> list[str]:
    """The command of the bare app, whose page has so many lines."""
    return [sys.executable, "-c", BARE, str(port), str(lines)]


def ours(port: int, folder: str) -> list[str]:
    """The command of this app."""
    return [sys.executable, "-m", "webapp", "--port", str(port), "--data", folder]


@contextmanager
def served(make: Callable[[int], list[str]], code: str) -> Iterator[tuple[Server, float]]:
    """A server, and the seconds until its first page was answered; its compiled code is kept in a folder of its own."""
    port, env = free_port(), {**os.environ, "PYTHONPYCACHEPREFIX": code, "PANEL_FIT_DATABASE_URL": ""}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    began = time.perf_counter()
    quiet = subprocess.DEVNULL
    process = subprocess.Popen(make(port), cwd=ROOT, env=env, stdout=quiet, stderr=quiet)
    try:
        while True:
            try:
                ask(HTTPConnection("127.0.0.1", port), "/", {})
                break
            except OSError:
                if process.poll() is not None or time.perf_counter() - began > 60:
                    raise
                time.sleep(0.005)
        yield Server(port, process), time.perf_counter() - began
    finally:
        process.terminate()
        process.wait()


def ask(connection: HTTPConnection, path: str, headers: dict[str, str]) -> float:
    """The milliseconds that an answer takes."""
    began = time.perf_counter()
    connection.request("GET", path, headers=headers)
    answer = connection.getresponse()
    answer.read()
    assert answer.status == 200, path
    return (time.perf_counter() - began) * 1000


def alone(server: Server, asked: str, paths: Iterator[str], headers: dict[str, str]) -> None:
    """Ask one after another."""
    connection = HTTPConnection("127.0.0.1", server.port)
    ask(connection, "/", headers)
    found = [ask(connection, next(paths), headers) for _ in range(ALONE)]
    server.times.setdefault(asked, []).extend(found)
    connection.close()


async def together(server: Server, asked: str, paths: Iterator[str]) -> None:
    """Ask by all clients at once, each on a connection of its own."""

    async def client() -> list[float]:
        reader, writer = await asyncio.open_connection("127.0.0.1", server.port, limit=2**20)
        found = []
        for _ in range(TOGETHER // CLIENTS):
            began = time.perf_counter()
            writer.write(f"GET {next(paths)} HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n".encode())
            head = (await reader.readuntil(b"\r\n\r\n")).lower()
            assert b" 200 " in head.split(b"\r\n")[0]
            await reader.readexactly(int(head.split(b"content-length:")[1].split(b"\r\n")[0]))
            found.append((time.perf_counter() - began) * 1000)
        writer.close()
        return found

    began = time.perf_counter()
    found = await asyncio.gather(*(client() for _ in range(CLIENTS)))
    server.rates.setdefault(asked, []).append(TOGETHER / (time.perf_counter() - began))
    server.crowded.setdefault(asked, []).extend(time for one in found for time in one)


def fresh() -> Iterator[str]:
    """Addresses that were never asked for: one field after another is changed, as by somebody who tries things out."""
    typed = {"sight_width": 200.0, "moisture_now": 7.0, "ring_angle": 0.0, "least_gap": 0.2, "making_tolerance": 0.1}
    for number in count():
        name = list(typed)[number % len(typed)]
        typed[name] = round(typed[name] + 0.002, 3)
        yield f"/?{urlencode(typed)}"


def starts(folder: str, code: str) -> tuple[float, float]:
    """The shortest time until the first page, of the bare app and of this one [s]; the first start, which compiles, is
    left out."""
    found: tuple[list[float], list[float]] = ([], [])
    for number in range(STARTS + 1):
        for times, make in zip(found, (bare, lambda port: ours(port, folder)), strict=True):
            with served(make, code) as (_, seconds):
                if number:
                    times.append(seconds)
    return min(found[0]), min(found[1])


def panels(size: int) -> Piece:
    """A piece of so many panels in one frame, each of a width and a moisture of its own."""
    made = [PanelPart(id=f"p{n}", sight_width_mm=150 + n, moisture_now_pct=7 + n / 100) for n in range(size)]
    return Piece(name="bench", climate=MoistureClimate(dry_pct=6, wet_pct=11), frames=[Frame(id="f", panels=made)])


def mixed(size: int) -> Piece:
    """A piece of so many parts of every kind, those of the demo again and again, each of a moisture of its own."""
    demo = piece.load((ROOT / "data" / "demo_piece.json").read_text())
    kinds = [*(part for _, part in demo.panels()), *demo.parts]
    made = [
        kinds[n % len(kinds)].model_copy(update={"id": f"p{n}", "moisture_now_pct": 7 + n / 100}) for n in range(size)
    ]
    framed = [part for part in made if isinstance(part, PanelPart)]
    others = [part for part in made if not isinstance(part, PanelPart)]
    return demo.model_copy(update={"frames": [Frame(id="f", panels=framed)], "parts": others})


def table(made: Piece) -> float:
    """The shortest time from the text of a piece to its gap table [ms]."""
    text = piece.dump(made)
    times = []
    for _ in range(15):
        began = time.perf_counter()
        rows = gap_table.whole(piece.load(text))
        times.append((time.perf_counter() - began) * 1000)
        assert len(rows) == PARTS
    return min(times)


def main() -> None:
    """Measure and print the table."""
    print(f"{'':44}{'bare':>10}{'this app':>10}{'ratio':>8}")

    def line(head: str, one: float, other: float) -> None:
        print(f"{head:44}{one:10.3f}{other:10.3f}{other / one:8.2f}")

    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as code:
        line("start to first page, s, shortest", *starts(folder, code))
        paths, known, plain = fresh(), repeat("/?sight_width=250"), repeat("/")
        with (
            served(bare, code) as (small, _),
            served(partial(bare, lines=LONG), code) as (large, _),
            served(partial(ours, folder=folder), code) as (app, _),
        ):
            for _ in range(ROUNDS):
                for server in (small, large):
                    alone(server, "page", plain, {})
                    asyncio.run(together(server, "page", plain))
                for asked, addresses in (("asked before", known), ("new", paths)):
                    alone(app, asked, addresses, {})
                    asyncio.run(together(app, asked, addresses))
                alone(app, "fragment, new", paths, FRAGMENT)
            for words, server in (("", small), (", to a bare page as long", large)):
                for asked, times in app.times.items():
                    line(f"p50 alone, ms: {asked}{words}", server.p50("page"), statistics.median(times))
                for asked in app.rates:
                    line(f"requests/s at {CLIENTS}: {asked}{words}", server.rate("page"), app.rate(asked))
            for asked in app.crowded:
                line(f"p99 at {CLIENTS}, ms: {asked}", small.p99("page"), app.p99(asked))
    print(f"{'200 panels to their table, ms, shortest':54}{table(panels(PARTS)):10.1f}")
    print(f"{'200 parts of every kind, ms, shortest':54}{table(mixed(PARTS)):10.1f}")


if __name__ == "__main__":
    main()
