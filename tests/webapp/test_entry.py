"""The door: what asks for the passphrase, who gets in and for how long, and who has to wait."""

import base64
import os
import re
import stat
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import argon2
import pytest
from fastapi import FastAPI
from fastapi.routing import APIRoute
from starlette.datastructures import Headers

from webapp import passphrase
from webapp.app import FIRST, create_app
from webapp.database import connected
from webapp.entry import WRONG, credentials, is_loopback, local
from webapp.passphrase import Kept, PassphraseError
from webapp.routes import PAGES
from webapp.secret import secret_of
from webapp.sessions import LASTS, Sessions
from webapp.settings import Settings
from webapp.store import Store
from webapp.throttle import FORGOTTEN, FREE, FREE_ALL, LONGEST, LONGEST_ALL, MOST_ADDRESSES, Throttle

ROOT = Path(__file__).parents[2]
WORDS = "plough and rebate"
HASH = argon2.PasswordHasher(time_cost=1, memory_cost=64, parallelism=1).hash(WORDS)
OPEN = ("/enter", "/health", "/ready", "/service-worker.js", "/away", "/shared/{token}")


class Clock:
    """A clock that stands until it is moved on."""

    def __init__(self) -> None:
        self.now = 1_000_000_000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def app(tmp_path: Path, clock: Clock) -> Iterator[FastAPI]:
    """An app that asks for a passphrase."""
    app = create_app(Settings(data=tmp_path, database_url="", passphrase_hash=HASH))
    app.state.gate.throttle = Throttle(clock)
    app.state.gate.sessions._clock = clock
    yield app
    app.state.store.close()


@pytest.fixture(scope="module")
def shut_app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    """An app that asks for a passphrase, shared by tests that do not tell it."""
    app = create_app(Settings(data=tmp_path_factory.mktemp("shut"), database_url="", passphrase_hash=HASH))
    yield app
    app.state.store.close()


@pytest.fixture
def shut(shut_app: FastAPI, portal: Any, still: Any) -> Iterator[Any]:
    client = type(still)(shut_app, portal)
    yield client
    client.close()


def enter(client: Any, words: str = WORDS, **more: Any) -> Any:
    return client.post("/enter", data={"passphrase": words, **more.pop("data", {})}, **more)


def bearer(words: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {words}"}


# everything asks


def routes(method: str) -> list[str]:
    found = [route for page in (*FIRST, *PAGES) for route in page.router.routes if isinstance(route, APIRoute)]
    return sorted({route.path for route in found if method in route.methods and route.path not in OPEN})


@pytest.mark.parametrize("path", routes("GET"))
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_every_page_sends_who_is_not_in_to_enter(shut: Any, method: str, path: str) -> None:
    response = shut.request(method, re.sub(r"{[^}]+}", "x", path))
    assert response.status_code == 303
    assert response.headers["location"].startswith("/enter")
    assert not response.content


@pytest.mark.parametrize("path", routes("POST"))
def test_every_form_is_refused_to_who_is_not_in(shut: Any, path: str) -> None:
    before = shut.app.state.store.pieces()
    response = shut.post(re.sub(r"{[^}]+}", "x", path), data={"name": "Planted"})
    assert response.status_code == 403
    assert "Nothing was changed" in response.text
    assert shut.app.state.store.pieces() == before


def test_the_api_and_its_document_ask_in_the_api_s_shape(shut: Any) -> None:
    document = shut.app.openapi()
    asked = [(method, path) for path, item in document["paths"].items() for method in item]
    for method, path in [*asked, ("get", "/api/v1/openapi.json"), ("get", "/api/v1/nothing"), ("put", "/api/x")]:
        response = shut.request(method.upper(), path)
        assert response.status_code == 401, path
        if path.startswith("/api/v1/"):
            [one] = response.json()["detail"]
            assert set(one) == {"field", "message", "value", "low", "high", "unit", "source"}
        assert response.headers["www-authenticate"].startswith("Basic realm=")


def test_the_document_tells_how_the_api_asks(shut: Any) -> None:
    document = shut.get("/api/v1/openapi.json", headers=bearer(WORDS)).json()
    assert {"basic", "bearer"} == set(document["components"]["securitySchemes"])
    for item in document["paths"].values():
        for operation in item.values():
            assert {"basic": []} in operation["security"]
            for status in ("401", "429"):
                schema = operation["responses"][status]["content"]["application/json"]["schema"]
                assert schema == {"$ref": "#/components/schemas/Refused"}


@pytest.mark.parametrize("path", ["/nothing", "/STATIC/seasonal.css", "//static/x", "/healthy", "/shared", "/enter/x"])
def test_what_only_looks_open_asks_too(shut: Any, path: str) -> None:
    assert shut.get(f"http://shop.test{path}").headers["location"].startswith("/enter")


@pytest.mark.parametrize("path", ["/static/../pieces", "/static/%2e%2e/pieces", "/shared/../pieces", "/shared/x/y"])
def test_nothing_is_reached_through_what_is_open(shut: Any, path: str) -> None:
    response = shut.get(f"http://shop.test{path}")
    assert response.status_code in (303, 404)
    assert "/pieces/" not in response.text


def test_what_is_open_says_nothing_of_what_is_kept(shut: Any) -> None:
    names = [kept.name for kept in shut.app.state.store.pieces()]
    assert names
    for path in ("/static/seasonal.css", "/health", "/ready", "/enter", "/away", "/service-worker.js", "/shared/x"):
        response = shut.get(path)
        assert response.status_code in (200, 404), path
        assert not any(name in response.text for name in names)
        assert shut.app.state.store.pieces()[0].id not in response.text


def test_a_part_of_a_page_leads_the_whole_window_to_enter(shut: Any, fragment: dict[str, str]) -> None:
    response = shut.get("/?sight_width=400", headers=fragment)
    assert response.status_code == 403
    assert response.headers["hx-redirect"] == "/enter?next=/%3Fsight_width%3D400"
    assert not response.content


def test_a_form_sent_too_late_is_told_where_it_was_sent_from(shut: Any, fragment: dict[str, str]) -> None:
    text = shut.post("/pieces", data={"name": "x"}, headers=fragment).text
    assert 'id="problem"' in text
    assert "Enter in another window, then send this again" in text
    assert '<a href="/enter" target="_blank">' in text


def test_without_a_passphrase_nothing_asks(still: Any) -> None:
    assert still.get("/pieces").status_code == 200
    assert still.get("/api/v1/species").status_code == 200
    assert still.get("/enter", params={"next": "/pieces"}).headers["location"] == "/pieces"
    assert enter(still).status_code == 303
    assert "Log out" not in still.get("/").text


# in and out


def test_the_right_passphrase_leads_to_what_was_asked_for(client: Any) -> None:
    asked = client.get("/pieces?removed=x%26y").headers["location"]
    page = client.get(asked)
    assert page.headers["cache-control"] == "no-store"
    assert "noindex" in page.headers["x-robots-tag"]
    [onward] = parse_qs(urlsplit(asked).query)["next"]
    assert onward == "/pieces?removed=x%26y"
    response = enter(client, data={"next": onward})
    assert (response.status_code, response.headers["location"]) == (303, onward)
    assert client.get("/pieces").status_code == 200
    assert client.get("/api/v1/species").status_code == 200
    assert "Log out" in client.get("/").text
    assert client.get("/enter").headers["location"] == "/"


@pytest.mark.parametrize("words", ["", "plough and rabbet", WORDS.upper(), f"{WORDS} ", WORDS[:-1], "x" * 5000, "\0"])
def test_a_wrong_passphrase_is_told_in_the_same_words_and_lets_nobody_in(client: Any, words: str) -> None:
    response = enter(client, words)
    assert response.status_code == 422
    assert WRONG in response.text
    assert "set-cookie" not in response.headers
    assert client.get("/pieces").status_code == 303


def test_what_was_typed_is_not_sent_back(client: Any) -> None:
    assert "marking gauge" not in enter(client, "marking gauge").text


def test_the_cookie_is_for_the_server_only(client: Any) -> None:
    cookie = enter(client).headers["set-cookie"]
    assert cookie.startswith("session=")
    assert {"HttpOnly", "SameSite=lax", "Path=/", f"Max-Age={LASTS}"} <= set(cookie.split("; "))
    assert "Secure" not in cookie
    assert "Domain" not in cookie


def test_over_https_the_cookie_is_bound_to_this_host(client: Any) -> None:
    response = client.post("https://shop.test/enter", data={"passphrase": WORDS})
    cookie = response.headers["set-cookie"]
    assert cookie.startswith("__Host-session=")
    assert {"HttpOnly", "SameSite=lax", "Path=/", "Secure"} <= set(cookie.split("; "))
    assert client.get("https://shop.test/pieces").status_code == 200
    assert client.get("http://shop.test/pieces").status_code == 303


def cookie_of(client: Any) -> str:
    return enter(client).headers["set-cookie"].partition(";")[0].partition("=")[2]


def asks(client: Any, cookie: str) -> bool:
    client._client.cookies.clear()
    return bool(client.get("/pieces", headers={"Cookie": f"session={cookie}"}).status_code == 303)


def test_a_cookie_that_was_changed_lets_nobody_in(client: Any) -> None:
    cookie = cookie_of(client)
    name, moment, signature = cookie.split(".")
    assert not asks(client, cookie)
    later = f"{name}.{moment[:-1]}{'A' if moment[-1] != 'A' else 'B'}.{signature}"
    for changed in ("", "x", name, f"{name}.{moment}", f"A{cookie[1:]}", later, cookie[:-2], f"{cookie}x", "é" * 9):
        client._client.cookies.clear()
        headers = {"Cookie": f"session={changed}".encode()}
        assert client.get("/pieces", headers=headers).status_code == 303, changed


def test_a_session_runs_out(client: Any, clock: Clock) -> None:
    cookie = cookie_of(client)
    clock.now += LASTS
    assert not asks(client, cookie)
    clock.now += 1
    assert asks(client, cookie)


def test_who_leaves_is_out_and_so_is_a_copy_of_the_cookie(client: Any) -> None:
    cookie = cookie_of(client)
    other = cookie_of(client)  # in its place: the one before is ended
    assert asks(client, cookie)
    response = client.post("/leave", headers={"Cookie": f"session={other}"})
    assert response.headers["location"] == "/enter"
    assert "Max-Age=0" in response.headers["set-cookie"]
    assert response.headers["clear-site-data"] == '"cache"'
    assert asks(client, other)
    assert not asks(client, cookie_of(client))


def test_leaving_is_no_address_to_be_led_to(client: Any) -> None:
    enter(client)
    assert client.get("/leave").status_code == 405
    assert client.get("/pieces").status_code == 200


@pytest.mark.parametrize("headers", [{"Sec-Fetch-Site": "cross-site"}, {"Origin": "http://elsewhere.test"}])
def test_another_site_can_neither_enter_nor_leave(client: Any, headers: dict[str, str]) -> None:
    response = enter(client, headers=headers)
    assert response.status_code == 403
    assert "set-cookie" not in response.headers
    enter(client)
    assert client.post("/leave", headers=headers).status_code == 403
    assert client.get("/pieces").status_code == 200


def test_a_large_form_is_refused_before_it_is_looked_at(client: Any) -> None:
    assert enter(client, "x" * 20_000).status_code == 413


# where it leads


@pytest.mark.parametrize(
    "address",
    [
        "https://elsewhere.test",
        "//elsewhere.test",
        "///elsewhere.test",
        "/\\elsewhere.test",
        "\\\\elsewhere.test",
        "/\t/elsewhere.test",
        "/\r\nSet-Cookie: a=b",
        "javascript:alert(1)",
        "elsewhere.test",
        " //elsewhere.test",
        "/pieces\u2028",
        "//[",
        "/enter?next=/enter",
        "/leave",
        "",
    ],
)
def test_it_leads_nowhere_else(shut: Any, address: str) -> None:
    assert local(address) == "/"
    assert enter(shut, data={"next": address}).headers["location"] == "/"
    assert shut.get("/enter", params={"next": address}).headers["location"] == "/"


@pytest.mark.parametrize("address", ["/", "/pieces", "/?sight_width=17+3%2F8%22", "/pieces/a-b_c#gap-table"])
def test_it_leads_to_an_address_of_its_own(address: str) -> None:
    assert local(address) == address


def test_an_address_is_shown_and_not_run(shut: Any) -> None:
    text = shut.get("/enter", params={"next": '/"><script>alert(1)</script>'}).text
    assert "<script>alert" not in text


# the API's own ways


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (f"Basic {base64.b64encode(b'me:plough and rebate').decode()}", WORDS),
        (f"basic {base64.b64encode(b':a:b').decode()}", "a:b"),
        (f"Basic {base64.b64encode('me:Fräse'.encode()).decode()}", "Fräse"),
        (f"Bearer {WORDS}", WORDS),
        ("Basic no base64", None),
        ("Basic", ""),
        ("Digest x", None),
        ("", None),
    ],
)
def test_a_header_tells_the_passphrase(given: str, words: str | None) -> None:
    assert credentials(Headers({"authorization": given})) == words


def test_the_api_takes_basic_and_bearer(client: Any) -> None:
    for headers in (bearer(WORDS), {"Authorization": f"Basic {base64.b64encode(f'me:{WORDS}'.encode()).decode()}"}):
        for _ in range(3 * FREE):
            response = client.get("/api/v1/emc?temperature_c=20&humidity_pct=50", headers=headers)
            assert response.status_code == 200
            assert "set-cookie" not in response.headers


def test_the_headers_of_the_api_open_no_page(client: Any) -> None:
    assert client.get("/pieces", headers=bearer(WORDS)).status_code == 303


def test_the_api_refuses_a_wrong_passphrase_and_then_has_it_wait(client: Any, clock: Clock) -> None:
    for _ in range(FREE):
        response = client.get("/api/v1/species", headers=bearer("wrong"))
        assert response.status_code == 401
        assert response.json()["detail"][0]["message"] == WRONG
    for words in ("wrong", WORDS):
        response = client.get("/api/v1/species", headers=bearer(words))
        assert response.status_code == 429
        assert response.headers["retry-after"] == "1"
        assert response.json()["detail"][0]["message"].startswith("There were too many wrong tries. Wait 1 second,")
    clock.now += 1
    assert client.get("/api/v1/species", headers=bearer(WORDS)).status_code == 200


def test_what_is_remembered_of_a_right_passphrase_lets_no_other_in(client: Any) -> None:
    assert client.get("/api/v1/species", headers=bearer(WORDS)).status_code == 200
    assert client.get("/api/v1/species", headers=bearer(f"{WORDS}.")).status_code == 401
    assert client.get("/api/v1/species", headers=bearer("")).status_code == 401


# who has to wait


def test_who_guesses_has_to_wait_longer_each_time(client: Any, clock: Clock) -> None:
    for _ in range(FREE):
        assert enter(client, "wrong").status_code == 422
    for wait in (1, 2, 4, 8):
        answers = [enter(client, words) for words in ("wrong", WORDS)]
        assert {answer.status_code for answer in answers} == {429}
        assert {answer.headers["retry-after"] for answer in answers} == {str(wait)}
        assert answers[0].text == answers[1].text
        clock.now += wait
        assert enter(client, "wrong").status_code == 422
    clock.now += 16
    assert enter(client).status_code == 303
    assert enter(client, "wrong").status_code == 422  # it begins anew


def test_a_try_that_must_wait_makes_the_wait_no_longer(clock: Clock) -> None:
    throttle = Throttle(clock)
    for _ in range(FREE + 3):
        throttle.count("192.0.2.1")
    assert [throttle.wait("192.0.2.1") for _ in range(5)] == [8.0] * 5


def test_the_wait_has_an_end_and_is_forgotten(clock: Clock) -> None:
    throttle = Throttle(clock)
    for _ in range(FREE + 40):
        throttle.count("192.0.2.1")
    assert throttle.wait("192.0.2.1") == LONGEST
    clock.now += FORGOTTEN
    assert throttle.wait("192.0.2.1") == 0
    throttle.count("192.0.2.1")
    assert throttle.wait("192.0.2.1") == 0


def test_one_address_has_another_wait_for_it_only_when_all_try_too_often(clock: Clock) -> None:
    throttle = Throttle(clock)
    for number in range(FREE_ALL):
        assert throttle.wait("198.51.100.1") == 0
        throttle.count(f"192.0.2.{number}")
    assert throttle.wait("198.51.100.1") == 1
    for number in range(FREE_ALL):
        throttle.count(f"203.0.113.{number}")
    assert throttle.wait("198.51.100.1") == LONGEST_ALL


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("2001:db8::1", "2001:db8:0:0:ffff::2", True),
        ("2001:db8::1", "2001:db8:0:1::1", False),
        ("::ffff:192.0.2.1", "192.0.2.1", True),
        ("::ffff:192.0.2.1", "::ffff:192.0.2.2", False),
        ("192.0.2.1", "192.0.2.2", False),
        ("fe80::1%eth0", "fe80::2%eth1", True),
    ],
)
def test_a_line_with_many_addresses_counts_as_one(clock: Clock, one: str, other: str, alike: bool) -> None:
    throttle = Throttle(clock)
    for _ in range(FREE):
        throttle.count(one)
    assert (throttle.wait(other) > 0) is alike


def test_many_addresses_do_not_fill_the_memory(clock: Clock) -> None:
    throttle = Throttle(clock)
    for number in range(MOST_ADDRESSES + 100):
        throttle.count(str(number))
    assert len(throttle._tries) == MOST_ADDRESSES


def test_tries_at_the_same_time_are_counted_one_by_one(app: FastAPI) -> None:
    found = []
    tries = [threading.Thread(target=lambda: found.append(app.state.gate.admits("no", "192.0.2.1"))) for _ in range(20)]
    for one in tries:
        one.start()
    for one in tries:
        one.join()
    assert sum(wait == 0 for _, wait in found) == FREE


# the passphrase and the secret


@pytest.mark.parametrize(
    ("words", "reason"),
    [("x" * 11, "has 11 characters"), ("x" * 129, "has 129 characters"), ("abcdabcdabcd", "5 different")],
)
def test_a_poor_passphrase_is_not_taken(words: str, reason: str) -> None:
    with pytest.raises(PassphraseError, match=reason):
        passphrase.hashed(words)


def test_it_is_hashed_with_argon2id_at_no_less_than_the_library_advises() -> None:
    found = argon2.extract_parameters(passphrase.hashed(WORDS))
    assert found.type is argon2.Type.ID
    # OWASP, Password Storage Cheat Sheet (from memory): Argon2id with 19 MiB, 2 passes, 1 lane, or more
    assert found.memory_cost >= 19 * 1024
    assert found.time_cost >= 2


def test_a_passphrase_of_64_characters_and_any_script_is_taken_however_it_is_composed() -> None:
    words = "Nut und Feder für die Füllung 🪵 " * 2
    assert passphrase.matches(passphrase.hashed(words), words.replace("ü", "u\u0308"))
    assert not passphrase.matches(passphrase.hashed(words), words.replace("ü", "u"))


def test_no_character_of_a_long_passphrase_is_left_out() -> None:
    words = "plough and rebate ".ljust(passphrase.MOST, "é")
    hash = passphrase.hashed(words)
    assert passphrase.matches(hash, words)
    for other in (words[:-1], f"{words[:-1]}e", f"{words}é", words + "é" * 5000):
        assert not passphrase.matches(hash, other)


def test_a_new_passphrase_ends_every_session_while_the_server_runs(tmp_path: Path, portal: Any, still: Any) -> None:
    app = create_app(Settings(data=tmp_path, database_url=""))
    client = type(still)(app, portal)
    assert client.get("/pieces").status_code == 200
    for words in (WORDS, "another plough plane", WORDS):
        Kept(tmp_path).set(passphrase.hashed(words))
        assert client.get("/pieces").status_code == 303
        assert enter(client, words).status_code == 303
        assert client.get("/pieces").status_code == 200
        assert client.get("/api/v1/species", headers=bearer(words)).status_code == 200
    assert enter(client, "another plough plane").status_code == 422
    client.close()
    app.state.store.close()


def test_a_server_that_others_reach_shuts_when_its_passphrase_goes(tmp_path: Path, portal: Any, still: Any) -> None:
    Kept(tmp_path).set(HASH)
    app = create_app(Settings(data=tmp_path, database_url="", host="0.0.0.0"))
    client = type(still)(app, portal)
    assert enter(client).status_code == 303
    (tmp_path / passphrase.FILE).unlink()
    for path in ("/pieces", "/api/v1/species"):
        response = client.get(path)
        assert response.status_code == 503
        assert "passphrase is gone" in response.text
    client.close()
    app.state.store.close()


def test_a_damaged_passphrase_lets_nobody_in(tmp_path: Path, portal: Any, still: Any) -> None:
    app = create_app(Settings(data=tmp_path, database_url=""))
    client = type(still)(app, portal)
    for text in ("", "no hash"):
        (tmp_path / passphrase.FILE).write_text(text)
        assert client.get("/pieces").status_code == 500
        with pytest.raises(OSError, match="damaged"):
            create_app(Settings(data=tmp_path, database_url=""))
    client.close()
    app.state.store.close()


def test_the_hash_and_the_secret_are_for_their_owner_only(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        Kept(tmp_path / "data").set(HASH)
        secret = secret_of(tmp_path / "data")
    finally:
        os.umask(before)
    assert len(secret) == 64
    assert secret_of(tmp_path / "data") == secret
    assert secret_of(tmp_path / "other") != secret
    for name in ("passphrase", "secret"):
        assert stat.S_IMODE((tmp_path / "data" / name).stat().st_mode) == 0o600
    assert sorted(path.name for path in (tmp_path / "data").iterdir()) == ["passphrase", "secret"]


def test_a_secret_that_is_cut_short_is_told(tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("short")
    with pytest.raises(OSError, match="damaged"):
        secret_of(tmp_path)


def test_a_session_of_another_server_or_passphrase_is_none(tmp_path: Path) -> None:
    store = Store(f"sqlite:///{tmp_path / 'a.sqlite3'}")
    store.prepare()
    cookie = Sessions(store.engine, lambda: b"one" * 20).begin("hash")
    assert Sessions(store.engine, lambda: b"one" * 20).is_open(cookie, "hash")
    assert not Sessions(store.engine, lambda: b"two" * 20).is_open(cookie, "hash")
    assert not Sessions(store.engine, lambda: b"one" * 20).is_open(cookie, "other")
    store.close()


def test_ended_sessions_are_kept_hashed_and_forgotten_in_time(database: str, clock: Clock) -> None:
    store = Store(database)
    store.prepare()
    sessions = Sessions(store.engine, lambda: b"one" * 20, clock)
    cookie = sessions.begin("hash")
    sessions.end(cookie, "hash")
    sessions.end(cookie, "hash")
    sessions.end("no cookie of ours", "hash")
    assert not sessions.is_open(cookie, "hash")
    engine = connected(database)
    for ended in (1, 1):
        with engine.connect() as connection:
            found = [row[0] for row in connection.exec_driver_sql("SELECT id FROM ended_sessions")]
        assert len(found) == ended
        assert cookie.split(".")[0] not in found
        clock.now += LASTS + 1
        sessions.end(sessions.begin("hash"), "hash")
    engine.dispose()
    store.close()


def test_nothing_secret_is_told_by_the_settings() -> None:
    settings = Settings(passphrase_hash=HASH, secret="s" * 40)
    assert HASH not in repr(settings)
    assert "sss" not in repr(settings)


# the commands


def run(*options: str, said: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, **environment}
    command = [sys.executable, "-m", "webapp", *options]
    return subprocess.run(
        command, input=said, cwd=ROOT, env=environment, text=True, capture_output=True, timeout=60, check=False
    )


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.1", "shop.test"])
def test_without_a_passphrase_no_server_is_started_that_others_reach(tmp_path: Path, host: str) -> None:
    for found in (run("--host", host, "--data", str(tmp_path)), run("--data", str(tmp_path), PANEL_FIT_HOST=host)):
        assert found.returncode == 1
        assert found.stderr.count("\n") == 1
        assert found.stderr.startswith(f"At {host} anyone on the network could come in: set a passphrase first")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("host", ["127.0.0.1", "127.1.2.3", "::1", "localhost"])
def test_this_machine_is_known_by_its_addresses(host: str) -> None:
    assert is_loopback(host)


def test_the_passphrase_is_set_by_a_command_that_asks_twice(tmp_path: Path) -> None:
    found = run("passphrase", "--data", str(tmp_path), said=f"{WORDS}\n{WORDS}\n")
    assert found.returncode == 0
    assert f"The passphrase is set in {tmp_path}." in found.stdout
    assert WORDS not in found.stdout
    assert passphrase.matches(Kept(tmp_path).hash(), WORDS)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        (f"{WORDS}\n{WORDS}x\n", "two different passphrases"),
        ("short\nshort\n", "has 5 characters; allowed is 12 to 128"),
        ("", "has 0 characters"),
    ],
)
def test_a_passphrase_that_is_not_taken_changes_nothing(tmp_path: Path, said: str, reason: str) -> None:
    Kept(tmp_path).set(HASH)
    found = run("passphrase", "--data", str(tmp_path), said=said)
    assert found.returncode == 1
    assert reason in found.stderr
    assert found.stderr.count("\n") == 1
    assert Kept(tmp_path).hash() == HASH


def test_the_hash_may_be_printed_for_a_setting(tmp_path: Path) -> None:
    found = run("passphrase", "--print", "--data", str(tmp_path), said=f"{WORDS}\n{WORDS}\n")
    assert passphrase.matches(found.stdout.strip(), WORDS)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("name", "value"), [("PASSPHRASE_HASH", WORDS), ("SECRET", "short")])
def test_a_setting_that_cannot_be_used_is_told_without_its_value(tmp_path: Path, name: str, value: str) -> None:
    found = run("--data", str(tmp_path), **{f"PANEL_FIT_{name}": value})
    assert found.returncode == 1
    assert found.stderr.startswith(f"The setting PANEL_FIT_{name} cannot be used")
    assert value not in found.stderr
