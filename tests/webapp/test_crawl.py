"""Every page that can be reached by links, from the first one on."""

import html
import re
from typing import Any
from urllib.parse import urlsplit

import httpx
import pytest

from tests import crawl
from tests.crawl import Named, route_of
from webapp.cautions import DUST
from webapp.kinds.catalogue import KINDS
from webapp.typeset import NO_BREAK

from .conftest import FRAGMENT


@pytest.fixture(scope="module")
def pages(still_app: Any, portal: Any) -> dict[str, str]:
    """Text by address of up to three pages of every route, and of every kind of part."""
    client = httpx.AsyncClient(transport=httpx.ASGITransport(still_app), base_url="http://shop.test")

    def get(address: str) -> tuple[int, str, str]:
        response = portal.call(client.get, address)
        return response.status_code, response.headers["content-type"], response.text

    found = crawl.pages(still_app, get, 3, {"/parts/{key}": len(KINDS)})
    portal.call(client.aclose)
    return found


def test_links_lead_to_every_page(still_app: Any, pages: dict[str, str]) -> None:
    reached = {route_of(still_app, urlsplit(address).path) for address in pages}
    assert {"/", "/pieces", "/parts", "/check", "/climate", "/climate/file", "/stock", "/species"} <= reached
    assert {"/board", "/help"} <= reached
    assert {"/pieces/{id}", "/pieces/{id}/sheet", "/pieces/{id}/labels", "/pieces/{id}/kit"} <= reached
    assert len(pages) > 25


def test_every_page_can_be_asked_for_as_a_part_of_itself(still: Any, pages: dict[str, str]) -> None:
    """Where it has no such part it is given whole."""
    for address in pages:
        assert still.get(address, headers=FRAGMENT).status_code == 200, address


def test_nothing_is_loaded_or_linked_from_another_host(pages: dict[str, str]) -> None:
    for address, text in pages.items():
        for tag, name, value in Named(text).addresses:
            parts = urlsplit(value)
            assert (parts.scheme in ("", "data"), parts.netloc) == (True, ""), (address, tag, name, value)


def test_a_style_names_no_other_host(still: Any) -> None:
    for page in ("/", "/pieces"):
        for name in re.findall(r'href="(/static/[^"]+\.css[^"]*)"', still.get(page).text):
            assert not re.findall(r"url\(|@import", still.get(name).text)


CUTTING = {"/", "/board", "/check", "/check/groove", "/parts/{key}", "/pieces/{id}", "/pieces/{id}/sheet", "/help"}
"""Pages that tell what to cut, or how."""


def test_every_page_that_tells_to_cut_warns_of_dust_and_cutters(still_app: Any, pages: dict[str, str]) -> None:
    kinds = {f"/parts/{kind.key}" for kind in KINDS}
    assert kinds <= {urlsplit(address).path for address in pages}
    found = set()
    for address, text in pages.items():
        route = route_of(still_app, urlsplit(address).path)
        if route in CUTTING and "No answer yet" not in text:
            found.add(route)
            assert html.unescape(text.replace(NO_BREAK, " ")).count(DUST) == 1, address
    assert found == CUTTING


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
