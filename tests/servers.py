"""Servers that tests and measurements start and stop: the app in processes of its own, and PostgreSQL."""

import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

import httpx
import psycopg

ROOT = Path(__file__).parents[1]
STARTED = 60.0
"""How long a server may take to start [s]."""
_QUIET = ("fsync=off", "full_page_writes=off", "log_min_messages=fatal", "timezone=America/St_Johns")


def free_port() -> int:
    """A port that nothing listens on."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


# the app


class Served:
    """The app in processes of its own, on a folder; ``log`` is the file of what it writes.

    Parameters
    ----------
    under : sequence of str
        A command that runs it.
    """

    def __init__(
        self, folder: Path, *options: str, env: Mapping[str, str] | None = None, under: Sequence[str] = ()
    ) -> None:
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.log = Path(tempfile.mkstemp(suffix=".log")[1])
        own = [sys.executable, "-m", "webapp", "--port", str(self.port), "--data", str(folder), *options]
        self._command = [*under, *own]
        self._env = {**os.environ, "PANEL_FIT_DATABASE_URL": "", **(env or {})}
        self.process = self._launched()

    def _launched(self) -> "subprocess.Popen[bytes]":
        with self.log.open("ab") as log:
            process = subprocess.Popen(
                self._command, cwd=ROOT, env=self._env, stdout=log, stderr=log, start_new_session=True
            )
        until = time.monotonic() + STARTED
        while True:
            try:
                httpx.get(f"{self.address}/health", timeout=STARTED)
                return process
            except httpx.TransportError:
                assert process.poll() is None, self.log.read_text()
                assert time.monotonic() < until, self.log.read_text()
                time.sleep(0.02)

    def kill(self) -> None:
        """End all of its processes at once, with no chance to finish anything."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def start_again(self) -> None:
        """Start once more, on the same port and folder."""
        self.process = self._launched()

    def stop(self) -> None:
        """Ask it to stop, and wait until it has."""
        if self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(STARTED)
            except subprocess.TimeoutExpired:
                self.kill()
        self.log.unlink(missing_ok=True)


@contextmanager
def served(
    folder: Path, *options: str, env: Mapping[str, str] | None = None, under: Sequence[str] = ()
) -> Iterator[Served]:
    """The app, answering, until the block ends."""
    server = Served(folder, *options, env=env, under=under)
    try:
        yield server
    finally:
        server.stop()


# PostgreSQL


def postgres_programs() -> Path | None:
    """The folder of PostgreSQL's server programs; None where it is not installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: float(path.parts[-3]))
    if found:
        return found[-1].parent
    initdb = shutil.which("initdb")
    return Path(initdb).resolve().parent if initdb else None


def _someone() -> str | None:
    """Who PostgreSQL runs as, which refuses to run as root; None: as ourselves."""
    if os.getuid() != 0:
        return None
    names = {one.pw_name for one in pwd.getpwall()}
    return "postgres" if "postgres" in names else "nobody"


@contextmanager
def postgres(programs: Path, settings: Sequence[str] = _QUIET) -> Iterator[str]:
    """The address of a PostgreSQL server of its own, without the database's name, until the block ends."""
    someone = _someone()
    home = Path(tempfile.mkdtemp(prefix="panel-fit-pg-"))
    if someone:
        shutil.chown(home, someone)
    port = free_port()
    data = str(home / "data")
    made = [programs / "initdb", "-D", data, "-U", "panel", "--auth=trust", "-E", "UTF8", "--locale=C", "--no-sync"]
    subprocess.run(made, user=someone, cwd=home, check=True, stdout=subprocess.DEVNULL)
    options = [part for one in (f"unix_socket_directories={home}", *settings) for part in ("-c", one)]
    command = [programs / "postgres", "-D", data, "-h", "127.0.0.1", "-p", str(port), *options]
    with (home / "log").open("wb") as log:
        server = subprocess.Popen(command, user=someone, cwd=home, stdout=log, stderr=log)
    address = f"postgresql://panel@127.0.0.1:{port}"
    try:
        until = time.monotonic() + STARTED
        while True:
            assert server.poll() is None, (home / "log").read_text()
            try:
                psycopg.connect(f"{address}/postgres").close()
                break
            except psycopg.OperationalError:
                assert time.monotonic() < until, (home / "log").read_text()
                time.sleep(0.05)
        yield address
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(STARTED)
        shutil.rmtree(home)


@contextmanager
def database(server: str, name: str) -> Iterator[str]:
    """The address of an empty database, which is gone when the block ends."""
    with psycopg.connect(f"{server}/postgres", autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"'.encode())
    yield f"{server}/{name}"
    with psycopg.connect(f"{server}/postgres", autocommit=True) as connection:
        connection.execute(f'DROP DATABASE "{name}" WITH (FORCE)'.encode())
