"""Several processes that answer as one."""

import os
import re
import signal
import sys
import time
from pathlib import Path
from typing import Any

import httpx
import pytest

from tests import servers
from webapp.__main__ import main
from webapp.settings import Settings


@pytest.fixture
def asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """What the server was asked to run, by the last call of `main`."""
    found: dict[str, Any] = {}
    monkeypatch.setattr("webapp.__main__.uvicorn.run", lambda app, **more: found.update(more, app=app))
    monkeypatch.setattr(os, "environ", {"WEB_CONCURRENCY": "3", "PANEL_FIT_BODY_LIMIT": "5000"})
    monkeypatch.setattr(sys, "argv", ["webapp", "--data", str(tmp_path / "data")])
    return found


def test_several_processes_are_told_every_setting(asked: dict[str, Any], tmp_path: Path) -> None:
    sys.argv += ["--workers", "2", "--port", "0"]
    main()
    assert (asked["app"], asked["factory"], asked["workers"]) == ("webapp.app:create_app", True, 2)
    told = Settings()
    assert (told.data, told.port, told.body_limit) == (tmp_path / "data", 0, 5000)
    assert told.host_names == ("localhost", "127.0.0.1", "::1")


def test_one_process_stays_one_whatever_a_hosting_service_sets(asked: dict[str, Any]) -> None:
    main()
    assert asked["workers"] == 1
    asked["app"].state.store.close()


@pytest.mark.parametrize("workers", ["1", "2"])
def test_a_busy_server_closes_no_connection_that_is_in_use(asked: dict[str, Any], workers: str) -> None:
    """A loop that lags for longer than an idle connection may last would close some with a request on its way."""
    sys.argv += ["--workers", workers]
    main()
    assert asked["timeout_keep_alive"] >= 60
    if workers == "1":
        asked["app"].state.store.close()


@pytest.mark.parametrize("workers", ["0", "65", "-1", "two", "1.5", ""])
def test_a_number_of_processes_that_is_none_is_told(asked: dict[str, Any], workers: str, capsys: Any) -> None:
    sys.argv += [f"--workers={workers}"]
    with pytest.raises(SystemExit):
        main()
    assert "allowed is 1 to 64" in capsys.readouterr().err
    assert asked == {}


def test_a_process_that_dies_is_replaced_and_nothing_is_lost(tmp_path: Path) -> None:
    with servers.served(tmp_path, "--workers", "2") as server:

        def processes() -> list[int]:
            return [int(one) for one in re.findall(r"Started server process \[(\d+)\]", server.log.read_text())]

        def ask(method: str, address: str, **more: Any) -> httpx.Response:
            return httpx.request(method, f"{server.address}{address}", timeout=60, **more)

        until = time.monotonic() + servers.STARTED
        while len(processes()) < 2:
            assert time.monotonic() < until
            time.sleep(0.05)
        assert ask("POST", "/pieces", data={"name": "Hall table"}).status_code == 303
        os.kill(processes()[0], signal.SIGKILL)
        while len(processes()) < 3:
            assert time.monotonic() < until
            time.sleep(0.05)
        assert all("Hall table" in ask("GET", "/pieces").text for _ in range(8))
