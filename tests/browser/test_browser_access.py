"""Pages against the rules for accessible pages that a program can check (axe-core, WCAG 2.2 A and AA)."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


def violations(page: Page) -> list[tuple[str, list[str]]]:
    """(rule, the elements that break it) of the page as it stands."""
    found = Axe().run(page, options=RULES).response["violations"]
    return [(one["id"], [node["html"][:200] for node in one["nodes"]]) for one in found]


@pytest.mark.parametrize(("wide", "scheme"), [(1280, "light"), (1280, "dark"), (320, "light")])
@pytest.mark.parametrize("address", ["/", "/?sight_width=4", "/pieces"])
def test_a_page_breaks_no_rule(page: Page, address: str, wide: int, scheme: str) -> None:
    page.set_viewport_size({"width": wide, "height": 800})
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.goto(address)
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= wide


@pytest.mark.parametrize(("wide", "scheme"), [(1280, "light"), (1280, "dark"), (320, "light")])
def test_a_piece_with_a_refused_row_breaks_no_rule(page: Page, wide: int, scheme: str) -> None:
    page.set_viewport_size({"width": wide, "height": 800})
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    page.goto("/pieces")
    page.get_by_role("link", name="Linen cupboard (demo)", exact=True).click()
    edited = page.locator("#panel-p1")
    edited.get_by_role("link", name="More").click()
    edited.get_by_label("Ring angle").fill("95")
    edited.get_by_label("Ring angle").press("Enter")
    expect(edited.get_by_label("Ring angle")).to_have_attribute("aria-invalid", "true")
    page.get_by_text("Climate, shop and stock of this piece").click()
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= wide
