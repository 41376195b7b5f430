"""The care card in a browser: chosen, printed, and never more on it than it has room for."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from pypdf import PdfReader

PAPERS = {
    "A6, one card": (105, 148),
    "A5, one card": (148, 210),
    "A4, four to cut apart": (210, 297),
    "Letter, four to cut apart": (215.9, 279.4),
}


def open_card(page: Page) -> None:
    page.goto("/pieces")
    page.get_by_role("link", name="Linen cupboard (demo)", exact=True).click()
    page.get_by_role("link", name="Care card").click()


def test_a_maker_fills_in_the_card_and_the_address_keeps_it(page: Page) -> None:
    open_card(page)
    page.get_by_label("Your name, telephone, address").fill("Anna Maker\n+44 20 7946 0000")
    page.get_by_label("How much the panels move").check()
    page.get_by_label("The humidity range").uncheck()
    page.get_by_role("button", name="Show the card").click()
    expect(page.locator(".care")).to_contain_text("Anna Maker")
    expect(page.locator(".care")).to_contain_text("moves most")
    expect(page.locator(".care")).not_to_contain_text("%")
    page.reload()
    expect(page.get_by_label("The humidity range")).not_to_be_checked()
    expect(page.get_by_label("Your name, telephone, address")).to_have_value("Anna Maker\n+44 20 7946 0000")


@pytest.mark.parametrize("paper", PAPERS)
def test_a_full_card_prints_on_one_page_with_nothing_cut_off(page: Page, tmp_path: Path, paper: str) -> None:
    open_card(page)
    page.get_by_label("Your name, telephone, address").fill("\n".join(["Forty characters of an address to write"] * 5))
    page.get_by_label("How much the panels move").check()
    page.get_by_label("Paper").select_option(label=paper)
    page.get_by_role("button", name="Show the card").click()
    expect(page.locator(".care").last).to_contain_text("moves most")
    page.emulate_media(media="print")
    for card in page.locator(".care").all():
        assert card.evaluate("card => card.scrollHeight <= card.clientHeight")
    page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True)
    [printed] = PdfReader(tmp_path / "card.pdf").pages
    assert [float(side) / 72 * 25.4 for side in printed.mediabox[2:]] == pytest.approx(PAPERS[paper], abs=0.5)


@pytest.mark.parametrize("width", [1280, 320])
def test_the_card_and_its_form_are_accessible_and_do_not_scroll_sideways(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    open_card(page)
    for query in ("", "?paper=a4", "?day=" + "y" * 41):
        page.goto(page.url.partition("?")[0] + query)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
