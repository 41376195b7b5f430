"""The power may go at any moment: what the server has said is kept is kept."""

import sqlite3
import threading
from collections import Counter
from pathlib import Path

import httpx

from movement import piece as pieces
from tests import servers
from webapp.store import Store

SAVES = 1_000
KILLS = 3
WRITERS = 4


def test_every_save_that_was_acknowledged_outlives_a_killed_server(tmp_path: Path) -> None:
    acknowledged: list[str] = []
    failures: list[str] = []
    with servers.served(tmp_path) as server:

        def write(writer: int) -> None:
            number = 0
            with httpx.Client(timeout=60) as client:
                while len(acknowledged) < SAVES and not failures:
                    number += 1
                    name = f"Piece {writer}-{number}"
                    try:
                        answer = client.post(f"{server.address}/pieces", data={"name": name})
                    except httpx.TransportError:
                        continue  # killed before it answered
                    if answer.status_code == 303:
                        acknowledged.append(name)
                    else:
                        failures.append(answer.text)

        writers = [threading.Thread(target=write, args=(writer,)) for writer in range(WRITERS)]
        for thread in writers:
            thread.start()
        for kill in range(1, KILLS + 1):
            while len(acknowledged) < SAVES * kill // (KILLS + 1) and not failures:
                threading.Event().wait(0.002)
            server.kill()
            server.start_again()
        for thread in writers:
            thread.join()
        assert failures == []
        listed = httpx.get(f"{server.address}/pieces", timeout=60)
        assert listed.status_code == 200
        assert "Traceback" not in server.log.read_text()

    assert len(acknowledged) >= SAVES
    store = Store(f"sqlite:///{tmp_path / 'seasonal-panel-fit.sqlite3'}")
    kept = [one for one in store.pieces() if one.name.startswith("Piece ")]
    store.close()
    found = Counter(one.name for one in kept)
    assert [name for name in acknowledged if found[name] != 1] == []
    # of what was not acknowledged, only the saves under way at a kill may be there
    assert len(found) - len(acknowledged) <= KILLS * WRITERS
    assert all(pieces.load(one.document).name == one.name for one in kept)
    assert all(f">{name}<" in listed.text for name in acknowledged)
    connection = sqlite3.connect(tmp_path / "seasonal-panel-fit.sqlite3")
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()
