"""What more processes bring, on SQLite and on PostgreSQL: `make bench`, or `python -m tests.bench.workers`.

Pages and saves a second with one, two and four processes, each against one process on SQLite in the same run, and how
many processors the server's processes and the database's kept busy meanwhile. Requests go to loopback only; whoever
asks shares the machine, so ratios are what travels, to machines with as many processors.
"""

import asyncio
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import psutil

from tests import servers

WORKERS = (1, 2, 4)
CLIENTS = 32
SECONDS = 8.0
WARM = 2.0
Ask = Callable[[int], bytes]


def page(number: int) -> bytes:
    """A panel that nobody has asked about before."""
    return f"GET /?sight_width={200 + number / 1000:.3f} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode()


def save(number: int) -> bytes:
    """A new piece."""
    body = f"name=Piece+{number}".encode()
    head = "POST /pieces HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-www-form-urlencoded"
    return f"{head}\r\nContent-Length: {len(body)}\r\n\r\n".encode() + body


async def visit(port: int, ask: Ask, numbers: Iterator[int], until: float) -> int:
    """Ask over one connection until the time is over; how often it was answered."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    answered = 0
    while time.monotonic() < until:
        writer.write(ask(next(numbers)))
        head = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").lower()
        if head[9:12] not in ("200", "303"):
            raise RuntimeError(head)
        length = head.partition("content-length:")[2].partition("\r\n")[0]
        await reader.readexactly(int(length))
        answered += 1
    writer.close()
    await writer.wait_closed()
    return answered


async def together(port: int, ask: Ask, numbers: Iterator[int], seconds: float) -> float:
    """Answers a second to `CLIENTS` at a time."""
    until = time.monotonic() + seconds
    return sum(await asyncio.gather(*(visit(port, ask, numbers, until) for _ in range(CLIENTS)))) / seconds


def busy(pids: list[int]) -> float:
    """Processor time that processes and theirs have used so far [s]."""
    total = 0.0
    for pid in pids:
        process = psutil.Process(pid)
        for one in (process, *process.children(recursive=True)):
            times = one.cpu_times()
            total += times.user + times.system + times.children_user + times.children_system
    return total


def measured(port: int, ask: Ask, numbers: Iterator[int], pids: list[int]) -> tuple[float, float]:
    """Answers a second, and processors kept busy."""
    asyncio.run(together(port, ask, numbers, WARM))
    before = busy(pids)
    rate = asyncio.run(together(port, ask, numbers, SECONDS))
    return rate, (busy(pids) - before) / SECONDS


@contextmanager
def databases() -> Iterator[dict[str, tuple[str, list[int]]]]:
    """Address and processes of each kind of database; PostgreSQL writes through to the disk as it does by itself."""
    programs = servers.postgres_programs()
    if programs is None:
        print("PostgreSQL is not installed: SQLite alone")
        yield {"SQLite": ("", [])}
        return
    with servers.postgres(programs, settings=()) as server:
        own = [one.pid for one in psutil.Process().children() if "postgres" in one.name()]
        yield {"SQLite": ("", []), "PostgreSQL": (server, own)}


def main() -> None:
    """Measure and print the table."""
    print(f"{os.cpu_count()} processors, {CLIENTS} connections")
    print(f"{'':12}{'processes':>10}{'pages/s':>10}{'ratio':>7}{'busy':>6}{'saves/s':>10}{'ratio':>7}{'busy':>6}")
    first: list[float] = []
    numbers = iter(range(10**9))
    with databases() as kinds:
        for kind, (server, pids) in kinds.items():
            for workers in WORKERS:
                with tempfile.TemporaryDirectory() as folder:
                    name = f"workers_{workers}"
                    made = servers.database(server, name) if server else nothing()
                    with made as address, served(Path(folder), workers, address) as (port, pid):
                        found = [measured(port, ask, numbers, [pid, *pids]) for ask in (page, save)]
                first = first or [rate for rate, _ in found]
                cells = [
                    f"{rate:10.0f}{rate / one:7.2f}{used:6.2f}" for (rate, used), one in zip(found, first, strict=True)
                ]
                print(f"{kind:12}{workers:10}{''.join(cells)}", flush=True)


@contextmanager
def nothing() -> Iterator[str]:
    """No address: SQLite in the data folder."""
    yield ""


@contextmanager
def served(folder: Path, workers: int, address: str) -> Iterator[tuple[int, int]]:
    """Port and process of the server, all of whose processes have started."""
    env = {"PANEL_FIT_DATABASE_URL": address}
    with servers.served(folder, "--workers", str(workers), env=env) as server:
        until = time.monotonic() + servers.STARTED
        while server.log.read_text().count("Application startup complete") < workers:
            if time.monotonic() > until:
                raise TimeoutError(server.log.read_text())
            time.sleep(0.05)
        yield server.port, server.process.pid


if __name__ == "__main__":
    main()
