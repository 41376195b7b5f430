"""The app as a whole: what happens to an error, what is not sent twice, and how the server starts."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi import FastAPI
from sqlalchemy import event

from movement.errors import RangeError
from webapp.__main__ import main
from webapp.app import create_app
from webapp.caching import Answers
from webapp.database import StorageError
from webapp.passphrase import Kept, hashed
from webapp.security import POLICY
from webapp.settings import Settings

ROOT = Path(__file__).parents[2]


def broken(app: FastAPI, error: Exception) -> None:
    """Routes that raise the error."""

    async def fail() -> None:
        raise error

    for path in ("/broken", "/api/v1/broken"):
        app.add_api_route(path, fail, methods=["GET", "POST"], include_in_schema=False)


# errors


def test_a_failure_is_told_in_words_without_what_failed(client: Any, app: FastAPI) -> None:
    broken(app, RuntimeError("secret /root/somewhere"))
    response = client.get("/broken")
    assert response.status_code == 500
    assert "Something went wrong here" in response.text
    assert "<h1>" in response.text
    assert "secret" not in response.text
    assert "Traceback" not in response.text
    assert response.headers["content-security-policy"] == POLICY
    assert response.headers["x-content-type-options"] == "nosniff"


def test_a_failure_of_the_api_has_the_shape_of_a_refusal(client: Any, app: FastAPI) -> None:
    broken(app, RuntimeError("secret"))
    response = client.post("/api/v1/broken")
    assert response.status_code == 500
    [one] = response.json()["detail"]
    assert set(one) == {"field", "message", "value", "low", "high", "unit", "source"}
    assert "secret" not in response.text


def test_a_failure_in_a_part_of_a_page_is_a_part(client: Any, app: FastAPI, fragment: dict[str, str]) -> None:
    broken(app, RuntimeError("secret"))
    text = client.get("/broken", headers=fragment).text
    assert "<html" not in text
    assert 'id="problem"' in text


def test_a_value_out_of_range_that_no_form_caught_is_still_a_refusal(client: Any, app: FastAPI) -> None:
    broken(app, RangeError("sight width", 5.0, 10, 3000, "mm"))
    response = client.get("/broken")
    assert response.status_code == 422
    assert "Sight width is 5 mm; allowed is 10 to 3000 mm." in response.text


def test_a_store_that_fails_is_told_with_the_reason(client: Any, app: FastAPI) -> None:
    broken(app, StorageError("the disk is full"))
    response = client.get("/broken")
    assert response.status_code == 503
    assert "the disk is full. Nothing was changed." in response.text


def test_a_full_disk_is_told_on_the_page(client: Any, app: FastAPI) -> None:
    def fill(connection: Any, _record: object, _proxy: object) -> None:
        connection.execute("PRAGMA max_page_count = 1")

    event.listen(app.state.store.engine, "checkout", fill)
    for number in range(40):
        response = client.post("/pieces", data={"name": f"Dresser {number}"})
        if response.status_code != 303:
            break
    assert response.status_code == 503
    assert "the disk is full" in response.text


def test_a_message_is_shown_and_not_run(client: Any, app: FastAPI) -> None:
    broken(app, StorageError("<script>alert(1)</script>"))
    assert "<script>alert" not in client.get("/broken").text


@pytest.mark.parametrize(("method", "address"), [("GET", "/nothing"), ("POST", "/nothing"), ("GET", "/pieces/nothing")])
def test_an_address_that_is_not_there_is_a_page_that_leads_back(client: Any, method: str, address: str) -> None:
    response = client.request(method, address)
    assert response.status_code == 404
    assert "There is nothing here" in response.text
    assert '<a href="/">' in response.text


def test_another_method_is_told_which_are_taken(client: Any) -> None:
    response = client.request("PUT", "/")
    assert response.status_code == 405
    assert "This address does not take PUT." in response.text
    assert "GET" in response.headers["allow"]


def test_there_is_no_page_of_generated_documentation_from_elsewhere(client: Any) -> None:
    assert client.get("/docs").status_code == 404
    assert client.get("/redoc").status_code == 404


# what is not sent twice


@pytest.mark.parametrize("address", ["/", "/?sight_width=400", "/pieces", "/climate", "/api/v1/species"])
def test_what_a_browser_has_is_not_sent_again(client: Any, address: str) -> None:
    first = client.get(address)
    tag = first.headers["etag"]
    assert tag.startswith('"')
    for known in (tag, f"W/{tag}", f'"other", {tag}', "*"):
        again = client.get(address, headers={"If-None-Match": known})
        assert (again.status_code, again.content) == (304, b"")
        assert again.headers["etag"] == tag
        assert again.headers["content-security-policy"] == POLICY
        assert "content-type" not in again.headers
    assert client.get(address, headers={"If-None-Match": '"other"'}).content == first.content


def test_a_page_and_its_part_have_tags_of_their_own(client: Any, fragment: dict[str, str]) -> None:
    page, part = client.get("/"), client.get("/", headers=fragment)
    assert page.headers["etag"] != part.headers["etag"]
    again = client.get("/", headers=fragment | {"If-None-Match": page.headers["etag"]})
    assert again.status_code == 200
    assert again.headers["vary"] == "HX-Request, HX-Request-Type"


def test_a_refused_page_has_no_tag(client: Any) -> None:
    assert "etag" not in client.get("/?sight_width=x").headers


def test_head_is_answered_like_get_without_the_body(client: Any) -> None:
    head, get = client.request("HEAD", "/"), client.get("/")
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["etag"] == get.headers["etag"]
    assert client.request("HEAD", "/nothing").content == b""


def test_a_change_of_what_is_kept_changes_the_answer(client: Any, app: FastAPI) -> None:
    before = client.get("/")
    app.state.store.save_climate("Boathouse", '{"kind": "moisture", "dry_pct": 8, "wet_pct": 18}')
    after = client.get("/", headers={"If-None-Match": before.headers["etag"]})
    assert after.status_code == 200
    asked = client.get("/?year=saved")
    assert "Boathouse" in asked.text
    assert "Boathouse" not in before.text


def test_the_last_answers_are_kept() -> None:
    answers = Answers(most=2)
    for number in range(3):
        answers.keep(number, (bytes([number]), f'"{number}"'))
        answers.recall(1)
    assert [answers.recall(number) for number in range(3)] == [None, (b"\x01", '"1"'), (b"\x02", '"2"')]


def test_a_kept_answer_still_remembers_the_unit(client: Any) -> None:
    for _ in range(2):
        response = client.get("/?unit=in", headers={"Cookie": "unit=mm"})
        assert "unit=in" in response.headers["set-cookie"]
    assert "set-cookie" not in client.get("/?unit=in", headers={"Cookie": "unit=in"}).headers


def test_a_kept_answer_is_the_one_of_its_unit(client: Any) -> None:
    pages = [client.get("/", headers={"Cookie": f"unit={unit}"}).text for unit in ("mm", "in", "mm", "in")]
    assert pages[0] == pages[2] != pages[1] == pages[3]


# starting


def started(*options: str, env: dict[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "webapp", *options]
    return subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=60, check=False)


FIRST_PAGE = """
import sys
from anyio.from_thread import start_blocking_portal
from httpx import ASGITransport, AsyncClient
from webapp.app import create_app
app = create_app()
async def ask():
    async with AsyncClient(transport=ASGITransport(app), base_url="http://shop.test") as client:
        return await client.get("/")
with start_blocking_portal() as portal:
    assert portal.call(ask).status_code == 200
libraries = {"numpy", "numpy.ma", "pandas", "scipy", "segno", "sqlalchemy.orm"}
looked_for = libraries | {"movement.piece", "webapp.measures", "webapp.routes"}
print(*sorted(looked_for & set(sys.modules)), *sorted(name for name in sys.modules if name.startswith("webapp.pages.")))
"""


def test_the_first_page_waits_for_no_library_nor_page_that_it_does_not_use(tmp_path: Path) -> None:
    env = {**os.environ, "PANEL_FIT_DATA": str(tmp_path), "PANEL_FIT_DATABASE_URL": ""}
    command = [sys.executable, "-c", FIRST_PAGE]
    for _ in range(2):  # a new store gets the demo, which is a piece
        run = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=60, check=True)
    assert run.stdout.split() == ["numpy", "webapp.pages.enter", "webapp.pages.gap", "webapp.pages.health"]


def test_what_is_no_longer_needed_is_let_go_once_all_is_imported() -> None:
    command = [sys.executable, "-c", "import gc, webapp.__main__; print(gc.isenabled(), gc.get_freeze_count() > 0)"]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60, check=True)
    assert run.stdout.split() == ["True", "True"]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ("file/inside", "Not a directory"),
        ("letter", "its file is no database"),
        ("folder", "its file cannot be opened"),
    ],
)
def test_data_that_cannot_be_kept_is_told_in_one_line(tmp_path: Path, data: str, said: str) -> None:
    (tmp_path / "file").write_text("")
    (tmp_path / "letter").mkdir()
    (tmp_path / "letter" / "seasonal-panel-fit.sqlite3").write_text("Dear reader, this is a letter.\n" * 40)
    (tmp_path / "folder" / "seasonal-panel-fit.sqlite3").mkdir(parents=True)
    run = started("--data", str(tmp_path / data), "--port", "0")
    assert run.returncode == 1
    assert run.stdout == ""
    assert len(run.stderr.splitlines()) == 1
    assert said in run.stderr
    assert str(tmp_path / data) in run.stderr


@pytest.mark.parametrize("port", ["65536", "-1", "web", ""])
def test_a_port_that_is_none_is_told(port: str, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    monkeypatch.setattr(sys, "argv", ["webapp", f"--port={port}"])
    with pytest.raises(SystemExit):
        main()
    assert "allowed is 0 to 65535" in capsys.readouterr().err


def test_a_setting_that_cannot_be_used_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PANEL_FIT_PORT", "web")
    monkeypatch.setattr(sys, "argv", ["webapp"])
    with pytest.raises(SystemExit, match="PANEL_FIT_PORT"):
        main()


@pytest.mark.parametrize(
    ("options", "hosts"),
    [
        ((), ("localhost", "127.0.0.1", "::1")),
        (("--host", "localhost"), ("localhost", "127.0.0.1", "::1")),
        (("--host", "127.0.0.2"), ("localhost", "127.0.0.1", "::1", "127.0.0.2")),
        (("--host", "0.0.0.0"), ()),
    ],
)
def test_a_server_for_this_machine_alone_answers_to_its_names_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: tuple[str, ...], hosts: tuple[str, ...]
) -> None:
    served: list[FastAPI] = []
    Kept(tmp_path).set(hashed("plough and rebate"))  # without it no server is started that others reach
    monkeypatch.setattr(sys, "argv", ["webapp", "--data", str(tmp_path), *options])
    monkeypatch.setattr("webapp.__main__.uvicorn.run", lambda app, **more: served.append(app))
    main()
    assert served[0].state.settings.host_names == hosts
    served[0].state.store.close()


def test_the_data_folder_is_made(tmp_path: Path) -> None:
    app = create_app(Settings(data=tmp_path / "new" / "folder", database_url=""))
    assert [path.name for path in (tmp_path / "new" / "folder").glob("*.sqlite3")] == ["seasonal-panel-fit.sqlite3"]
    app.state.store.close()


def test_the_demo_is_laid_out_once(tmp_path: Path) -> None:
    for _ in range(2):
        app = create_app(Settings(data=tmp_path, database_url=""))
        store = app.state.store
        kept = store.pieces()
        for piece in kept:
            store.delete_piece(piece.id)
        store.close()
    assert kept == []


def test_the_store_is_let_go_when_the_server_stops(tmp_path: Path, portal: Any) -> None:
    app = create_app(Settings(data=tmp_path, database_url=""))

    async def run() -> int:
        async with app.router.lifespan_context(app):
            transport = httpx.ASGITransport(app)
            async with httpx.AsyncClient(transport=transport, base_url="http://shop.test") as client:
                return (await client.get("/")).status_code

    assert portal.call(run) == 200
    assert app.state.store.engine.pool.checkedin() == 0
