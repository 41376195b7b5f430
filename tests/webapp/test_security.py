"""What protects the app and its reader: headers, foreign requests, large bodies, nothing told that must not be."""

import socket
import threading
import time
from collections.abc import Iterator
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from fastapi import FastAPI
from starlette.datastructures import Headers

from webapp.app import create_app
from webapp.security import POLICY, is_foreign, too_large
from webapp.settings import Settings

LIMIT = 100_000
PANEL = b'{"kind": "moisture", "dry_pct": 6, "wet_pct": 11}'
JSON = {"Content-Type": "application/json"}


@pytest.fixture
def client(still: Any) -> Any:
    return still


# headers


@pytest.mark.parametrize(
    ("method", "address", "status"),
    [
        ("GET", "/", 200),
        ("GET", "/?sight_width=x", 422),
        ("GET", "/nothing", 404),
        ("PUT", "/", 405),
        ("POST", "/pieces", 422),
        ("GET", "/api/v1/species", 200),
        ("GET", "/api/v1/emc", 422),
        ("GET", "/api/v1/nothing", 404),
        ("GET", "/api/v1/openapi.json", 200),
        ("GET", "/static/seasonal.css", 200),
        ("GET", "/static/nothing.css", 404),
        ("HEAD", "/", 200),
    ],
)
def test_every_answer_carries_the_headers(client: Any, method: str, address: str, status: int) -> None:
    response = client.request(method, address)
    assert response.status_code == status
    assert response.headers["content-security-policy"] == POLICY
    assert response.headers["x-content-type-options"] == "nosniff"
    assert response.headers["referrer-policy"] == "same-origin"


def test_the_policy_allows_nothing_from_elsewhere_and_nothing_inline() -> None:
    assert POLICY.startswith("default-src 'self';")
    assert "unsafe" not in POLICY
    assert "http" not in POLICY


@pytest.mark.parametrize("address", ["/", "/pieces", "/nothing", "/?sight_width=x"])
def test_a_page_is_kept_apart_from_its_parts_and_asked_for_again(client: Any, address: str) -> None:
    headers = client.get(address).headers
    assert headers["vary"] == "HX-Request, HX-Request-Type"
    assert headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize("file", ["piece.json", "gap-table.csv", "gap-table.xlsx", "frames/f1/elevation.svg"])
def test_a_file_is_asked_for_again_too(client: Any, file: str) -> None:
    id = client.app.state.store.pieces()[0].id
    response = client.get(f"/pieces/{id}/{file}")
    assert (response.status_code, response.headers["cache-control"]) == (200, "private, no-cache")
    assert client.get("/api/v1/species").headers["cache-control"] == "private, no-cache"


@pytest.mark.parametrize("address", ["/", "/pieces", "/climate", "/nothing"])
def test_no_page_loads_anything_from_elsewhere_or_runs_anything_inline(client: Any, address: str) -> None:
    text = client.get(address).text
    assert "http://" not in text.replace("http://www.w3.org/", "")
    assert "https://" not in text
    assert "<style" not in text
    assert " style=" not in text
    assert "<script>" not in text
    assert " onclick=" not in text


def test_the_unit_is_remembered_in_a_cookie_that_no_script_reads(client: Any) -> None:
    cookie = client.get("/?unit=in", headers={"Cookie": "unit=mm"}).headers["set-cookie"]
    assert cookie.startswith("unit=in;")
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    assert "Secure" not in cookie
    secure = client.get("https://shop.test/?unit=in", headers={"Cookie": "unit=mm"}).headers["set-cookie"]
    assert "Secure" in secure


def test_a_cookie_that_is_no_unit_is_ignored(client: Any) -> None:
    assert client.get("/", headers={"Cookie": 'unit="><script>'}).status_code == 200


# other sites


@pytest.mark.parametrize(
    ("headers", "foreign"),
    [
        ({}, False),
        ({"sec-fetch-site": "same-origin"}, False),
        ({"sec-fetch-site": "none"}, False),
        ({"sec-fetch-site": "same-site"}, True),
        ({"sec-fetch-site": "cross-site"}, True),
        ({"sec-fetch-site": "cross-site", "origin": "http://shop.test"}, True),
        ({"origin": "http://shop.test"}, False),
        ({"origin": "http://shop.test:81"}, True),
        ({"origin": "http://elsewhere.test"}, True),
        ({"origin": "null"}, True),
        ({"origin": "http://[::1"}, True),
        ({"origin": ""}, True),
    ],
)
def test_a_foreign_request_is_known_by_its_headers(headers: dict[str, str], foreign: bool) -> None:
    assert is_foreign(Headers({"host": "shop.test"} | headers)) is foreign


@pytest.mark.parametrize("headers", [{"Sec-Fetch-Site": "cross-site"}, {"Origin": "http://elsewhere.test"}])
def test_a_foreign_post_changes_nothing(client: Any, headers: dict[str, str]) -> None:
    before = client.app.state.store.pieces()
    response = client.post("/pieces", data={"name": "Planted"}, headers=headers)
    assert response.status_code == 403
    assert "another site" in response.text
    assert "<h1>" in response.text
    assert client.app.state.store.pieces() == before


def test_a_foreign_link_may_be_followed(client: Any) -> None:
    assert client.get("/", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


def test_a_foreign_post_to_the_api_is_refused_as_json(client: Any) -> None:
    response = client.post("/api/v1/climate", content=PANEL, headers=JSON | {"Origin": "http://elsewhere.test"})
    assert response.status_code == 403
    assert "another site" in response.json()["detail"][0]["message"]


@pytest.fixture(scope="module")
def named_app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    """An app that answers to this machine's own names only."""
    settings = Settings(data=tmp_path_factory.mktemp("named"), database_url="", hosts="localhost, 127.0.0.1, ::1")
    app = create_app(settings)
    yield app
    app.state.store.close()


@pytest.fixture
def named(named_app: FastAPI, portal: Any, still: Any) -> Iterator[Any]:
    client = type(still)(named_app, portal)
    yield client
    client.close()


@pytest.mark.parametrize("host", ["localhost", "localhost:8000", "LOCALHOST", "127.0.0.1:8000", "[::1]:8000", "[::1]"])
def test_the_server_answers_to_its_own_names(named: Any, host: str) -> None:
    assert named.get("/", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["rebound.test", "rebound.test:8000", "localhost.rebound.test", "[::1", "", "127.0.0.2"]
)
def test_the_server_does_not_answer_to_another_name(named: Any, host: str) -> None:
    response = named.get("/", headers={"Host": host})
    assert response.status_code == 400
    assert "PANEL_FIT_HOSTS" in response.text


def test_a_name_that_is_refused_is_told_harmlessly(named: Any) -> None:
    response = named.get("/", headers={"Host": "<script>alert(1)</script>"})
    assert response.status_code == 400
    assert "<script>alert" not in response.text


# large bodies, over a connection


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """A server of its own that takes bodies up to `LIMIT`."""
    app = create_app(Settings(data=tmp_path_factory.mktemp("served"), database_url="", body_limit=LIMIT))
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="on"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
        thread.start()
        while not server.started:
            assert thread.is_alive()
            time.sleep(0.02)
        yield listener.getsockname()[1]
        server.should_exit = True
        thread.join()


def pieces_of(size: int) -> Iterator[bytes]:
    """A body in pieces, which is sent without telling its length."""
    for _ in range(size // 10_000):
        yield b" " * 10_000


@pytest.mark.parametrize("chunked", [False, True])
@pytest.mark.parametrize(
    ("address", "kind"),
    [
        ("/api/v1/climate", "application/json"),
        ("/pieces", "application/x-www-form-urlencoded"),
        ("/pieces/import", "multipart/form-data; boundary=x"),
    ],
)
def test_a_large_body_is_refused_in_words_and_the_connection_goes_on(
    port: int, address: str, kind: str, chunked: bool
) -> None:
    connection = HTTPConnection("127.0.0.1", port, timeout=20)
    opening = b'--x\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\n'
    body: Any = pieces_of(5 * LIMIT) if chunked else b" " * (5 * LIMIT)
    if kind.startswith("multipart"):
        body = (part for part in (opening, *body)) if chunked else opening + body
    connection.request("POST", address, body, {"Content-Type": kind}, encode_chunked=chunked)
    response = connection.getresponse()
    text = response.read().decode()
    assert response.status == 413
    assert too_large(LIMIT) in text
    assert response.headers["content-security-policy"] == POLICY
    connection.request("POST", "/api/v1/climate", PANEL, JSON)
    assert connection.getresponse().read().startswith(b'{"months"')
    connection.close()


def test_a_body_at_the_limit_is_taken(port: int) -> None:
    connection = HTTPConnection("127.0.0.1", port, timeout=20)
    for body in (PANEL.rjust(LIMIT), (part for part in (PANEL, b" " * (LIMIT - len(PANEL))))):
        connection.request("POST", "/api/v1/climate", body, JSON, encode_chunked=not isinstance(body, bytes))
        response = connection.getresponse()
        assert (response.status, response.read()[:9]) == (200, b'{"months"')
    connection.close()


def test_a_client_that_hangs_up_does_no_harm(port: int) -> None:
    for _ in range(3):
        with socket.create_connection(("127.0.0.1", port)) as cut:
            cut.sendall(b"POST /api/v1/climate HTTP/1.1\r\nHost: x\r\nContent-Length: 1000\r\n\r\nhalf")
    connection = HTTPConnection("127.0.0.1", port, timeout=20)
    connection.request("GET", "/api/v1/emc?temperature_c=20&humidity_pct=50")
    assert connection.getresponse().status == 200
    connection.close()


@pytest.mark.parametrize(("limit", "words"), [(20_000_000, "20 MB"), (1_500_000, "1.5 MB"), (1000, "1 kB")])
def test_the_limit_is_told_in_its_own_size(limit: int, words: str) -> None:
    assert f"larger than {words} " in too_large(limit)


# what must not be told


def test_a_path_does_not_leave_the_static_folder(client: Any) -> None:
    for path in ("..%2fpyproject.toml", "%2e%2e/pyproject.toml", "..%5c..%5cetc%5cpasswd", "%2fetc%2fpasswd"):
        response = client.get(f"/static/{path}")
        assert response.status_code == 404
        assert "build-system" not in response.text


def test_no_answer_names_a_folder_of_the_machine(client: Any, tmp_path: Path) -> None:
    here = str(Path(__file__).parents[2])
    for address in ("/nothing", "/static/nothing", "/api/v1/emc?temperature_c=x", "/?sight_width=x", "/pieces/nothing"):
        text = client.get(address).text
        assert here not in text
        assert "Traceback" not in text
