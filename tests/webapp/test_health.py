"""What watches over the server is told whether it is up and whether it can answer."""

import shutil
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI


@pytest.mark.parametrize(("address", "status"), [("/health", "up"), ("/ready", "ready")])
def test_a_server_that_works_says_so(client: Any, address: str, status: str) -> None:
    response = client.get(address)
    assert (response.status_code, response.json()) == (200, {"status": status})
    assert response.headers["cache-control"] == "no-store"


def test_a_server_whose_database_fails_is_up_and_not_ready(client: Any, app: FastAPI, tmp_path: Path) -> None:
    app.state.store.close()
    shutil.rmtree(tmp_path)
    assert client.get("/health").status_code == 200
    response = client.get("/ready")
    assert response.status_code == 503
    assert response.json() == {"status": "not ready", "reason": "its file cannot be opened"}
    assert response.headers["cache-control"] == "no-store"


def test_a_server_whose_tables_were_changed_under_it_is_not_ready(client: Any, app: FastAPI) -> None:
    with app.state.store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '0001'")
    response = client.get("/ready")
    assert response.status_code == 503
    assert "another version" in response.json()["reason"]


def test_neither_is_part_of_the_documented_api(client: Any) -> None:
    assert not {"/health", "/ready"} & set(client.get("/api/v1/openapi.json").json()["paths"])


def test_a_server_on_postgresql_is_ready(on_postgres: Any) -> None:
    assert on_postgres.get("/ready").json() == {"status": "ready"}
