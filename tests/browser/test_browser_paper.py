"""Paper and kit as a maker uses them, in a browser: steps ticked off by keyboard, pages that print to scale."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

PAGES = (
    *("kit", "kit?order=assembly", "parts/p6", "parts/p10", "parts/p11", "frames/f1/elevation", "sheet"),
    *("labels", "labels?pieces=1&members=1"),
)


@pytest.fixture
def piece(page: Page) -> str:
    """The address of a copy of the demo, so that no test meets what another has done to it."""
    page.goto("/pieces")
    page.get_by_role("button", name="Copy Linen cupboard (demo)", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Linen cupboard (demo) (copy)")
    return page.url.partition("#")[0]


def test_a_step_is_ticked_by_keyboard_and_the_cursor_stays(page: Page, piece: str) -> None:
    page.goto(f"{piece}/kit")
    button = page.get_by_role("button", name="Cut: 2. Left side, lower")
    button.focus()
    page.keyboard.press("Enter")
    expect(button).to_have_attribute("aria-pressed", "true")
    expect(button).to_be_focused()
    expect(page.locator("#status")).to_have_text("1 of 39 steps done.")
    page.reload()
    expect(button).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("Tab")
    button.press("Space")
    expect(button).to_have_attribute("aria-pressed", "false")


def test_without_script_a_step_is_ticked_too(browser: Browser, base_url: str, piece: str) -> None:
    context = browser.new_context(java_script_enabled=False, base_url=base_url)
    page = context.new_page()
    page.goto(f"{piece}/kit?order=assembly")
    page.get_by_role("button", name="Assembled: 1. Left side, upper").click()
    expect(page).to_have_url(f"{piece}/kit?order=assembly#assemble-p1")
    expect(page.get_by_role("button", name="Assembled: 1. Left side, upper")).to_have_attribute("aria-pressed", "true")
    context.close()


def test_a_step_is_ticked_at_the_bench(page: Page, piece: str) -> None:
    page.goto(f"{piece}/parts/p6")
    page.get_by_role("button", name="Cut: 6. Dust panel").click()
    expect(page.get_by_role("button", name="Cut: 6. Dust panel")).to_have_attribute("aria-pressed", "true")
    expect(page).to_have_url(f"{piece}/parts/p6")


def test_a_part_of_another_kind_is_ticked_at_the_bench_with_a_thumb(
    browser: Browser, base_url: str, piece: str
) -> None:
    context = browser.new_context(
        base_url=base_url,
        viewport={"width": 320, "height": 568},  # type: ignore[arg-type]
        has_touch=True,
    )
    page = context.new_page()
    page.goto(f"{piece}/parts/p10")
    for name in ("Made to size: 10. Pair of doors", "Hung: 10. Pair of doors"):
        button = page.get_by_role("button", name=name)
        expect(button).to_be_in_viewport(ratio=1)
        button.tap()
        expect(page.get_by_role("button", name=name)).to_have_attribute("aria-pressed", "true")
    page.get_by_role("link", name="Next: 11. Top").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("11. Top")
    page.goto(f"{piece}/kit?order=assembly")
    expect(page.get_by_role("button", name="Hung: 10. Pair of doors")).to_have_attribute("aria-pressed", "true")
    context.close()


def test_the_pages_lead_to_one_another(page: Page, piece: str) -> None:
    page.goto(piece)
    page.get_by_role("link", name="Shop sheet").click()
    expect(page).to_have_title("Shop sheet: Linen cupboard (demo) (copy)")
    page.get_by_role("link", name="Labels").click()
    expect(page).to_have_title("Labels: Linen cupboard (demo) (copy)")
    page.get_by_role("link", name="Back to the piece").click()
    page.get_by_role("link", name="Elevation of Doors").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Doors")


def test_labels_of_every_piece_are_chosen_by_ticks(page: Page, piece: str) -> None:
    page.goto(f"{piece}/labels")
    expect(page.locator(".label")).to_have_count(13)
    page.get_by_label("Each board, side, slat").check()
    page.get_by_label("Stiles, rails, muntins").check()
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_text("board 3 of 10")).to_be_visible()
    expect(page.locator(".label")).to_have_count(13 + 9)  # ten boards instead of one label for all of them
    page.get_by_role("link", name="Letter").click()
    expect(page.get_by_label("Stiles, rails, muntins")).to_be_checked()
    expect(page.locator(".label")).to_have_count(13 + 9)
    page.get_by_label("Each board, side, slat").uncheck()
    page.get_by_role("button", name="Show").click()
    expect(page.locator(".label")).to_have_count(13)


def test_the_layout_of_a_frame_is_told_beside_its_drawing(page: Page, piece: str) -> None:
    page.goto(f"{piece}/frames/f1/elevation")
    page.get_by_label("In a row").check()
    page.get_by_label(re.compile("Width of stiles and rails")).fill("70")
    page.get_by_role("button", name="Draw it so").click()
    expect(page.locator("svg.elevation desc")).to_contain_text("Left side, seen from the front")
    expect(page.get_by_text("834 mm")).to_be_visible()  # 2 × 312 mm of sight and 3 × 70 mm of stiles and muntin


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_every_page_is_accessible_and_as_wide_as_the_screen(
    browser: Browser, base_url: str, piece: str, scheme: str, width: int
) -> None:
    context = browser.new_context(
        base_url=base_url,
        color_scheme=scheme,
        viewport={"width": width, "height": 800},  # type: ignore[arg-type]
    )
    page = context.new_page()
    for name in PAGES:
        page.goto(f"{piece}/{name}")
        found = Axe().run(page).response["violations"]
        assert [(one["id"], one["nodes"][0]["html"]) for one in found] == [], name
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name
    context.close()


@pytest.mark.parametrize(("paper", "width"), [("a4", 210.0), ("letter", 215.9)])
def test_the_browser_prints_the_sheet_on_its_paper_and_to_scale(
    page: Page, piece: str, tmp_path: Path, paper: str, width: float
) -> None:
    page.goto(f"{piece}/sheet?paper={paper}&frame=f1")
    page.pdf(path=tmp_path / "sheet.pdf", prefer_css_page_size=True)
    reader = PdfReader(tmp_path / "sheet.pdf")
    assert float(reader.pages[0].mediabox.width) * 25.4 / 72 == pytest.approx(width, abs=0.5)
    page.emulate_media(media="print")
    box = page.locator("svg.elevation").bounding_box()
    told = page.locator("svg.elevation").get_attribute("width") or ""
    assert box is not None
    assert box["width"] * 25.4 / 96 == pytest.approx(float(told.removesuffix("mm")), abs=0.1)
