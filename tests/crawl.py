"""Follows a page's links from the first page on."""

from collections.abc import Callable, Mapping
from html.parser import HTMLParser
from types import MappingProxyType
from typing import Any
from urllib.parse import urlsplit

from starlette.routing import Match, Route

NAMING = {"src", "href", "srcset", "action", "formaction", "data", "poster", "hx-get", "hx-post", "xlink:href"}
"""Attributes that hold an address."""

Get = Callable[[str], tuple[int, str, str]]
"""Asks for an address: status, content type and text."""


class Named(HTMLParser):
    """Collects the addresses that a page names, and the ids that it gives."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.addresses: list[tuple[str, str, str]] = []
        self.ids: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.addresses += [(tag, name, value or "") for name, value in attrs if name in NAMING]
        self.ids += [value or "" for name, value in attrs if name == "id"]

    @property
    def links(self) -> list[str]:
        return [value for tag, name, value in self.addresses if tag == "a" and name == "href"]


def route_of(app: Any, path: str) -> str:
    """The route that serves a path; empty where there is none."""
    scope = {"type": "http", "method": "GET", "path": path}
    routes = _routes([*app.routes, *app.state.rest.load().routes])
    return next((str(one.path) for one in routes if one.matches(scope)[0] == Match.FULL), "")


def pages(app: Any, get: Get, most: int, more: Mapping[str, int] = MappingProxyType({})) -> dict[str, str]:
    """Text by address of up to `most` pages of every route, or as many as `more` says of it."""
    texts: dict[str, str] = {}
    seen: dict[str, int] = {}
    waiting = ["/"]
    while waiting:
        address = waiting.pop(0)
        route = route_of(app, urlsplit(address).path)
        if address in texts or seen.get(route, 0) >= more.get(route, most) or not route:
            continue
        seen[route] = seen.get(route, 0) + 1
        status, kind, text = get(address)
        assert status == 200, (address, status)
        if not kind.startswith("text/html"):
            continue
        texts[address] = text
        for link in Named(text).links:
            inner = link.startswith(("?", "#")) or not link
            waiting.append(((urlsplit(address).path if inner else "") + link).partition("#")[0])
    return texts


def _routes(routes: Any) -> list[Route]:
    """Routes, with those of included routers."""
    found: list[Route] = []
    for one in routes:
        if isinstance(one, Route):
            found.append(one)
        elif hasattr(one, "original_router"):
            found += _routes(one.original_router.routes)
    return found
