"""Static files under addresses with a digest, which a browser may keep for a year."""

import hashlib
from pathlib import Path
from typing import Any

import pytest

from webapp.assets import asset, digest, folder

STATIC = folder("static")
NAMES = sorted(path.name for path in STATIC.iterdir() if path.suffix in (".css", ".js", ".svg"))
FOREVER = "public, max-age=31536000, immutable"


@pytest.fixture
def client(still: Any) -> Any:
    return still


@pytest.mark.parametrize("name", NAMES)
def test_an_address_carries_the_digest_of_the_content(client: Any, name: str) -> None:
    expected = hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:12]
    assert digest(name) == expected
    assert asset(name) == f"/static/{name}?v={expected}"
    response = client.get(asset(name))
    assert response.status_code == 200
    assert response.content == (STATIC / name).read_bytes()
    assert response.headers["cache-control"] == FOREVER


@pytest.mark.parametrize("query", ["", "?v=", "?v=000000000000", "?v=../../etc", "?w=1"])
def test_an_address_without_the_right_digest_is_asked_for_again(client: Any, query: str) -> None:
    assert client.get(f"/static/seasonal.css{query}").headers["cache-control"] == "no-cache"


def test_a_file_that_a_browser_has_is_not_sent_again(client: Any) -> None:
    first = client.get(asset("seasonal.css"))
    again = client.get(asset("seasonal.css"), headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["cache-control"] == FOREVER


def test_a_file_is_told_of_without_being_sent(client: Any) -> None:
    response = client.request("HEAD", asset("seasonal.css"))
    assert (response.status_code, response.content) == (200, b"")
    assert int(response.headers["content-length"]) == (STATIC / "seasonal.css").stat().st_size


def test_a_file_that_is_not_there_is_a_page(client: Any) -> None:
    response = client.get("/static/nothing.css")
    assert response.status_code == 404
    assert "<h1>" in response.text


@pytest.mark.parametrize("path", ["/static", "/static/"])
def test_the_folder_is_not_listed(client: Any, path: str) -> None:
    response = client.get(path, follow_redirects=True)
    assert response.status_code == 404
    assert "seasonal.css" not in response.text.partition("<body>")[2]


def test_every_file_that_a_page_names_is_there_and_kept(client: Any) -> None:
    text = client.get("/").text
    named = [part.partition('"')[0] for part in text.split('"/static/')[1:]]
    assert {name.partition("?")[0] for name in named} >= {"seasonal.css", "theme.js", "notices.js", "icon.svg"}
    for name in named:
        assert client.get(f"/static/{name}").headers["cache-control"] == FOREVER


def test_the_vendored_file_is_the_one_that_was_published() -> None:
    rows = [line.split("|") for line in (STATIC / "VENDOR.md").read_text().splitlines() if line.startswith("| htmx")]
    for _, name, *_, checksum, _ in rows:
        assert hashlib.sha256((STATIC / name.strip()).read_bytes()).hexdigest() == checksum.strip()
    assert rows


def test_a_missing_folder_is_told() -> None:
    with pytest.raises(FileNotFoundError, match="installation is incomplete"):
        folder("nothing")


def test_the_folders_are_those_of_this_project() -> None:
    assert folder("templates").is_dir()
    assert Path(__file__).parents[2] / "static" == STATIC
