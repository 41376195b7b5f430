"""Pages against the rules for accessible pages that a program can check (axe-core, WCAG 2.2 A and AA), and by hand."""

import json
import re
import urllib.request
from collections.abc import Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi import FastAPI
from playwright.sync_api import Browser, Page, expect

from movement.tables import DATA
from tests import crawl
from tests.webapp.test_entry import WORDS

RULES = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
}
REFUSED = (
    "/?sight_width=4&moisture_now=x",
    "/?hold=loose&groove_depth=3",
    "/climate?year=air&dry_humidity=140",
    "/stock?reading=90&shop_humidity=",
    "/board?ring_left=95&board_width=",
    "/board?rings=heart&heart_depth=20",
    "/parts/boards?ring_angle=95",
    "/check?sight_width=4",
    "/species?q=zzzz",
    "/nowhere",
)
"""Pages with a refusal, without a fit, with nothing found."""


def violations(page: Page) -> list[tuple[str, list[str]]]:
    """(rule, the elements that break it) of the page, with nothing kept in sight: that covers what scrolls there."""
    page.evaluate(
        "() => [...document.querySelectorAll('main *')].filter((one) => getComputedStyle(one).position === 'sticky')"
        ".forEach((one) => { one.style.position = 'static' })"
    )
    found = Axe().run(page, options=RULES).response["violations"]
    return [(one["id"], [node["html"][:200] for node in one["nodes"]]) for one in found]


def overflow(page: Page) -> int:
    """How far the page reaches beyond the window's width [px]."""
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


@pytest.fixture(scope="module")
def addresses(served: FastAPI, base_url: str) -> tuple[str, ...]:
    """A page of every route that links lead to, every kind of part, and what is refused."""

    def get(address: str) -> tuple[int, str, str]:
        with urllib.request.urlopen(f"{base_url}{address}") as answer:
            return answer.status, answer.headers["content-type"], answer.read().decode("utf-8", "replace")

    return (*crawl.pages(served, get, 1, {"/parts/{key}": 20}), *REFUSED, "/away")


@pytest.fixture(scope="module")
def reused(browser: Browser, base_url: str) -> Iterator[Page]:
    """One page for all that only looks."""
    page = browser.new_page(base_url=base_url, reduced_motion="reduce")
    yield page
    page.close()


@pytest.mark.parametrize(("wide", "scheme"), [(1280, "light"), (320, "dark")])
def test_no_page_breaks_a_rule_or_runs_off_the_window(
    reused: Page, addresses: tuple[str, ...], wide: int, scheme: Any
) -> None:
    reused.set_viewport_size({"width": wide, "height": 800})
    reused.emulate_media(color_scheme=scheme)
    broken: dict[str, Any] = {}
    for address in addresses:
        reused.goto(address)
        found = (violations(reused), overflow(reused))
        if found != ([], 0):
            broken[address] = found
    assert broken == {}
    assert len(addresses) > 30


def test_no_name_without_a_space_widens_a_page(reused: Page, served: FastAPI) -> None:
    name, store = "W" * 80, served.state.store
    wood = {"name": name, "coefficient_radial": 0.002, "coefficient_tangential": 0.004}
    raw = json.loads((DATA / "demo_piece.json").read_text(encoding="utf-8"))
    raw |= {"name": name, "climate_name": name, "own_species": [wood]}
    raw["defaults"]["species"] = name
    for part in (*raw["frames"], *(panel for frame in raw["frames"] for panel in frame["panels"]), *raw["parts"]):
        part["name"] = name
    piece = store.add_piece(name, json.dumps(raw)).id
    climate = store.save_climate(name, json.dumps(raw["climate"])).id
    store.save_species(name, json.dumps(wood))
    frame, part = raw["frames"][0]["id"], raw["parts"][0]["id"]
    inside = ("", f"?more={part}", "/sheet", "/labels", "/kit", "/care", "/stays", f"/frames/{frame}/elevation")
    addresses = [f"/pieces/{piece}{place}" for place in (*inside, f"/parts/{part}")]
    addresses += ["/pieces", f"/climate?saved={climate}", f"/species/{name}?edit=yes", f"/?species={name}&year=saved"]
    addresses += ["/keep/panel", f"/keep/panel?into={piece}", f"/species?search={name}", f"/check?species={name}"]
    reused.set_viewport_size({"width": 320, "height": 800})
    broken = {}
    for address in addresses:
        reused.goto(address)
        if overflow(reused):
            broken[address] = overflow(reused)
    store.delete_piece(piece)
    store.delete_climate(climate)
    store.delete_species(name)
    reused.goto(f"/pieces?removed={piece}")
    assert (broken, overflow(reused)) == ({}, 0)


def test_at_twice_the_size_nothing_runs_off_the_window(reused: Page, addresses: tuple[str, ...]) -> None:
    """A window of 1280 pixels at 200 % has room for 640 (WCAG 2.2, 1.4.4 and 1.4.10)."""
    reused.set_viewport_size({"width": 640, "height": 400})
    broken = {}
    for address in addresses:
        reused.goto(address)
        if overflow(reused):
            broken[address] = overflow(reused)
    assert broken == {}


def test_every_page_has_one_heading_a_title_and_names_for_its_parts(reused: Page, addresses: tuple[str, ...]) -> None:
    titles = {}
    for address in addresses:
        reused.goto(address)
        assert reused.locator("h1").count() == 1, address
        assert reused.locator("main").count() == 1, address
        titles[address] = reused.title()
        bare = reused.evaluate(
            "() => [...document.querySelectorAll('svg[role=img]')].filter((one) => !one.querySelector('title, desc'))"
            ".length"
        )
        assert bare == 0, address
        # Firefox tells a reader what stands in a drawing as well, which is in its words already
        twice = "svg[role=img] text:not([aria-hidden=true] *)"
        assert reused.locator(twice).count() == 0, address
    assert all(title.strip() for title in titles.values())


def test_nothing_moves_where_less_motion_is_asked_for(reused: Page) -> None:
    reused.emulate_media(reduced_motion="reduce")
    reused.goto("/")
    moving = reused.evaluate(
        "() => [...document.querySelectorAll('*')].filter((one) => { const style = getComputedStyle(one);"
        " return style.animationName !== 'none' || parseFloat(style.transitionDuration) > 0.01 }).length"
    )
    assert moving == 0


def test_a_panel_is_sized_by_the_keyboard_alone(page: Page) -> None:
    page.goto("/")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the content")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()

    reached: list[str] = []
    for _ in range(60):
        page.keyboard.press("Tab")
        one = page.locator(":focus")
        reached.append(one.get_attribute("name") or (one.text_content() or "").strip())
        target = one.locator("xpath=following-sibling::span") if one.get_attribute("type") == "radio" else one
        assert target.evaluate("one => getComputedStyle(one).outlineStyle") == "solid", reached[-1]
        if reached[-1] == "Size the panel":
            break
    assert reached[:5] == ["sight_width", "sight_height", "species", "ring_angle", "Rings that vary over the width"]
    assert reached[-1] == "Size the panel"

    page.locator("#sight_width").focus()
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("411")
    page.keyboard.press("Enter")
    expect(page).to_have_url(re.compile("sight_width=411"))
    expect(page.get_by_role("status").first).to_contain_text("It fits")
    expect(page.locator("#sight_width")).to_be_focused()


def test_what_is_read_out_comes_as_a_paragraph_of_its_own(page: Page) -> None:
    """Text alone, put into a region that was empty, is not read out by Orca 43 in Firefox."""
    page.goto("/")
    status = page.get_by_role("status").first
    expect(status).to_be_empty()
    for width in ("411", "420"):
        page.locator("#sight_width").fill(width)
        page.locator("#sight_width").press("Tab")
        expect(page).to_have_url(re.compile(f"sight_width={width}"))
        expect(status.get_by_role("paragraph")).to_have_text(re.compile("^It fits: groove"))
        expect(page.locator("#sight_height")).to_be_focused()


def test_the_line_of_the_answer_covers_no_field_that_has_the_focus(page: Page) -> None:
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto("/")
    line = page.locator(".at-hand")
    expect(line).to_contain_text("It fits")
    shown = 0
    for name in (
        "species",
        "ring_angle",
        "moisture_now",
        "sight_width",
        "sight_height",
        "moisture_dry",
        "moisture_wet",
    ):
        page.locator(f"#{name}").focus()
        field, foot = page.locator(f"#{name}").bounding_box(), line.bounding_box()
        assert field is not None
        assert foot is not None
        assert field["y"] + field["height"] <= foot["y"], name
        shown += foot["y"] + foot["height"] <= 640
    assert shown == 7
    line.get_by_role("link").click()
    expect(page).to_have_url(re.compile("#result$"))


@pytest.mark.parametrize(("wide", "scheme"), [(1280, "light"), (1280, "dark"), (320, "light")])
def test_a_piece_with_a_refused_row_breaks_no_rule(page: Page, wide: int, scheme: Any) -> None:
    page.set_viewport_size({"width": wide, "height": 800})
    page.emulate_media(color_scheme=scheme)
    page.goto("/pieces")
    page.get_by_role("link", name="Linen cupboard (demo)", exact=True).click()
    edited = page.locator("#panel-p1")
    edited.get_by_role("link", name="More").click()
    edited.get_by_label("Ring angle").fill("95")
    edited.get_by_label("Ring angle").press("Enter")
    expect(edited.get_by_label("Ring angle")).to_have_attribute("aria-invalid", "true")
    page.get_by_text("Climate, shop and stock of this piece").click()
    assert violations(page) == []
    assert overflow(page) == 0


@pytest.mark.parametrize(("wide", "scheme"), [(1280, "light"), (320, "dark")])
def test_links_to_share_and_what_they_show_break_no_rule(page: Page, wide: int, scheme: Any) -> None:
    page.set_viewport_size({"width": wide, "height": 800})
    page.emulate_media(color_scheme=scheme)
    page.goto("/pieces")
    page.get_by_role("link", name="Linen cupboard (demo)", exact=True).click()
    page.get_by_role("link", name="Share", exact=True).click()
    page.get_by_role("button", name="Make a link").click()
    link = page.get_by_label("The new link")
    expect(link).to_be_focused()
    assert (violations(page), overflow(page)) == ([], 0)
    page.goto(link.input_value())
    expect(page.get_by_role("heading", level=1)).to_have_text("Linen cupboard (demo)")
    assert (violations(page), overflow(page)) == ([], 0)


@pytest.mark.parametrize(("wide", "scheme"), [(1280, "light"), (320, "dark")])
def test_the_door_breaks_no_rule_and_opens(page: Page, guarded_url: str, wide: int, scheme: Any) -> None:
    page.set_viewport_size({"width": wide, "height": 800})
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{guarded_url}/stock")
    asked = page.get_by_label("Passphrase")
    expect(asked).to_be_focused()
    assert (violations(page), overflow(page)) == ([], 0)
    asked.fill("not it")
    asked.press("Enter")
    expect(asked).to_have_attribute("aria-invalid", "true")
    assert (violations(page), overflow(page)) == ([], 0)
    asked.fill(WORDS)
    asked.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Is the stock ready?")
    expect(page.get_by_role("button", name="Log out")).to_be_visible()
    assert (violations(page), overflow(page)) == ([], 0)
