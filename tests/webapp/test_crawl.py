"""Every page that can be reached by links, from the first one on."""

import re
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlsplit

import pytest
from starlette.routing import Match, Route

MOST = 3
"""Pages looked at of one route."""
LOADED = {"src", "href", "srcset", "action", "formaction", "data", "poster", "hx-get", "hx-post", "xlink:href"}


class Named(HTMLParser):
    """Collects the addresses that a page names, and the ids that it gives."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.addresses: list[tuple[str, str, str]] = []
        self.ids: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.addresses += [(tag, name, value or "") for name, value in attrs if name in LOADED]
        self.ids += [value or "" for name, value in attrs if name == "id"]

    @property
    def links(self) -> list[str]:
        return [value for tag, name, value in self.addresses if tag == "a" and name == "href"]


def route_of(app: Any, path: str) -> str:
    scope = {"type": "http", "method": "GET", "path": path}
    found = (one.path for one in flat(app.routes) if one.matches(scope)[0] == Match.FULL)
    return str(next(found, ""))


def flat(routes: Any) -> list[Route]:
    """Routes, with those of included routers."""
    found: list[Route] = []
    for one in routes:
        if isinstance(one, Route):
            found.append(one)
        elif hasattr(one, "original_router"):
            found += flat(one.original_router.routes)
    return found


@pytest.fixture(scope="module")
def pages(still_app: Any, portal: Any) -> dict[str, str]:
    """Text by address of up to `MOST` pages of every route that links lead to."""
    from tests.webapp.conftest import Client

    client = Client(still_app, portal)
    texts: dict[str, str] = {}
    seen: dict[str, int] = {}
    waiting = ["/"]
    while waiting:
        address = waiting.pop(0)
        route = route_of(still_app, urlsplit(address).path)
        if address in texts or seen.get(route, 0) >= MOST or not route:
            continue
        seen[route] = seen.get(route, 0) + 1
        response = client.get(address)
        assert response.status_code == 200, (address, response.status_code)
        if not response.headers["content-type"].startswith("text/html"):
            continue
        texts[address] = response.text
        for link in Named(response.text).links:
            if link.startswith(("?", "#")) or not link:
                link = urlsplit(address).path + link
            waiting.append(link.partition("#")[0])
    client.close()
    return texts


def test_links_lead_to_every_page(still_app: Any, pages: dict[str, str]) -> None:
    reached = {route_of(still_app, urlsplit(address).path) for address in pages}
    assert {"/", "/pieces", "/parts", "/check", "/climate", "/climate/file", "/stock", "/species", "/help"} <= reached
    assert {"/pieces/{id}", "/pieces/{id}/sheet", "/pieces/{id}/labels", "/pieces/{id}/kit"} <= reached
    assert len(pages) > 25


def test_nothing_is_loaded_or_linked_from_another_host(pages: dict[str, str]) -> None:
    for address, text in pages.items():
        for tag, name, value in Named(text).addresses:
            parts = urlsplit(value)
            assert (parts.scheme in ("", "data"), parts.netloc) == (True, ""), (address, tag, name, value)


def test_a_style_names_no_other_host(still: Any) -> None:
    for page in ("/", "/pieces"):
        for name in re.findall(r'href="(/static/[^"]+\.css[^"]*)"', still.get(page).text):
            assert not re.findall(r"url\(|@import", still.get(name).text)


def test_no_id_is_given_twice(pages: dict[str, str]) -> None:
    for address, text in pages.items():
        ids = Named(text).ids
        assert sorted(set(ids)) == sorted(ids), (address, {one for one in ids if ids.count(one) > 1})


def test_what_a_link_or_label_points_at_on_its_page_is_there(pages: dict[str, str]) -> None:
    for address, text in pages.items():
        named = Named(text)
        pointed = {link[1:] for link in named.links if link.startswith("#")}
        pointed |= set(re.findall(r' for="([^"]+)"', text))
        for several in re.findall(r' aria-(?:describedby|labelledby|controls)="([^"]+)"', text):
            pointed |= set(several.split())
        assert pointed <= set(named.ids), (address, pointed - set(named.ids))
