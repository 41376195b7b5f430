"""What lets a browser keep the app: the manifest, its icons, the service worker and the page for a server away."""

import json
import re
import struct
from typing import Any

import pytest

from webapp.assets import asset, digest, folder
from webapp.pages import install

STATIC = folder("static")


@pytest.fixture
def client(still: Any) -> Any:
    return still


def kept(text: str) -> list[str]:
    found = re.search(r"^const KEPT = (\[.*?\]);", text, re.DOTALL | re.MULTILINE)
    assert found
    return list(json.loads(found[1]))


def test_the_worker_stands_at_the_root_and_is_asked_for_again(client: Any) -> None:
    response = client.get("/service-worker.js")
    assert response.status_code == 200
    assert response.headers["content-type"] == "text/javascript; charset=utf-8"
    assert response.headers["cache-control"] == "no-cache"
    assert response.text.endswith((STATIC / "service-worker.js").read_text(encoding="utf-8"))


def test_the_worker_keeps_every_file_of_a_page_and_nothing_that_is_not_one(client: Any) -> None:
    names = {path.name for path in STATIC.iterdir() if path.suffix in (".css", ".js", ".svg")} - {"service-worker.js"}
    addresses = kept(client.get("/service-worker.js").text)
    assert set(addresses) == {asset(name) for name in names}
    for address in addresses:
        response = client.get(address)
        assert response.status_code == 200
        assert "immutable" in response.headers["cache-control"]


def test_another_file_makes_another_worker(monkeypatch: pytest.MonkeyPatch) -> None:
    before = install.worker()
    install.worker.cache_clear()
    monkeypatch.setattr(install, "asset", lambda name: f"/static/{name}?v=other")
    after = install.worker()
    install.worker.cache_clear()
    edition = re.compile(r'^const EDITION = "([0-9a-f]{12})";$', re.MULTILINE)
    assert edition.findall(before) != edition.findall(after)
    assert len(edition.findall(before)) == 1


def test_a_page_for_a_server_away_says_so_and_asks_again(client: Any) -> None:
    text = client.get(install.AWAY).text
    assert "<h1>The server is away</h1>" in text
    assert '<a class="button primary" href="">Try again</a>' in text
    named = {f"/static/{part.partition(chr(34))[0]}" for part in text.split('"/static/')[1:]}
    shown = {name for name in named if name.partition("?")[0].endswith((".css", ".js", ".svg"))}
    assert shown <= set(kept(client.get("/service-worker.js").text))


def test_the_manifest_is_served_as_one_and_named_by_every_page(client: Any) -> None:
    response = client.get("/static/manifest.webmanifest")
    assert response.headers["content-type"].startswith("application/manifest+json")
    told = response.json()
    assert (told["start_url"], told["scope"]) == ("/", "/")
    assert f'<link rel="manifest" href="/static/manifest.webmanifest?v={digest("manifest.webmanifest")}">' in (
        client.get("/").text
    )


def test_the_icons_have_the_sizes_that_the_manifest_tells(client: Any) -> None:
    icons = client.get("/static/manifest.webmanifest").json()["icons"]
    pictures = [icon for icon in icons if icon["type"] == "image/png"]
    assert {icon["sizes"] for icon in pictures} == {"192x192", "512x512"}
    assert any(icon.get("purpose") == "maskable" for icon in pictures)
    for icon in pictures:
        response = client.get(icon["src"])
        assert response.headers["content-type"] == "image/png"
        # width and height follow the file's signature and the head of its first chunk (ISO/IEC 15948, 5.2 and 11.2.2)
        width, height = struct.unpack(">II", response.content[16:24])
        assert icon["sizes"] == f"{width}x{height}"


def test_the_colour_of_the_browser_s_frame_is_the_page_s_own(client: Any) -> None:
    style = (STATIC / "seasonal.css").read_text(encoding="utf-8")
    paper = re.findall(r"--paper: (#[0-9a-f]{6});", style)
    shown = re.findall(r'<meta name="theme-color" content="(#[0-9a-f]{6})"', client.get("/").text)
    assert shown == list(dict.fromkeys(paper))
    assert client.get("/static/manifest.webmanifest").json()["theme_color"] == paper[0]
