"""The checks in a browser: the answer follows what is typed, and so do the ways to the other checks."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

ADDRESSES = ("/check", "/check/groove", "/check/room", "/check/months")


def test_the_answer_and_the_other_checks_follow_what_is_typed(page: Page) -> None:
    page.goto("/check")
    width = page.get_by_label("Panel width today")
    width.fill("318")
    width.press("Tab")
    expect(page.locator("#answer-title")).to_have_text("Plane it narrower")
    expect(page).to_have_url(re.compile("panel_width=318"))
    expect(page.locator("#status")).to_contain_text("Plane it narrower")
    page.get_by_role("link", name="The room").click()
    expect(page.locator("#answer-title")).to_contain_text("up to")
    expect(page.get_by_label("Panel width today")).to_have_value("318")
    page.get_by_role("link", name="in", exact=True).click()
    expect(page.get_by_label("Panel width today")).to_have_value("318 mm")


def test_another_way_of_measuring_asks_for_other_things(page: Page) -> None:
    page.goto("/check")
    page.get_by_role("radio", name="Its gap").check()
    expect(page.get_by_label("Gap today")).to_be_visible()
    expect(page.get_by_label("Panel width today")).to_have_count(0)
    page.get_by_role("radio", name="The room's air").check()
    expect(page.get_by_label("Relative humidity of the room")).to_be_visible()
    page.get_by_label("Gap today").fill("99")
    page.get_by_label("Gap today").press("Enter")
    expect(page.locator("#error-summary")).to_contain_text("Allowed is 0 to 25 mm.")
    page.locator("#error-summary a").click()
    expect(page.get_by_label("Gap today")).to_be_focused()
    page.get_by_label("Gap today").fill("3")
    page.get_by_label("Gap today").press("Enter")
    expect(page.locator("#error-summary")).to_have_count(0)


def test_what_is_in_doubt_stays_unfolded_while_it_is_changed(page: Page) -> None:
    page.goto("/")
    page.get_by_text("What is in doubt").click()
    page.get_by_role("radio", name="95 %").check()
    expect(page.locator("#outlook-title + dl")).to_contain_text("about")
    expect(page.get_by_label("Weather from year to year")).to_be_visible()
    depth = page.locator(".answer .remark").first
    before = depth.text_content() or ""
    page.get_by_label("Moisture today, give or take").fill("3")
    page.get_by_label("Moisture today, give or take").press("Tab")
    expect(depth).not_to_have_text(before)
    expect(page.get_by_label("Weather from year to year")).to_be_visible()


def test_a_piece_s_chances_follow_its_panels(page: Page) -> None:
    page.goto("/pieces")
    page.get_by_role("button", name="Copy Linen cupboard (demo)", exact=True).click()
    told = page.locator("#prospects")
    before = told.text_content() or ""
    field = page.get_by_label("Sight width").first
    field.fill("420")
    field.press("Tab")
    expect(told).not_to_have_text(before)
    told.get_by_role("link").first.click()
    expect(page).to_have_url(re.compile("#panel-"))


@pytest.mark.parametrize("address", ADDRESSES)
def test_without_script_the_button_answers(browser: Browser, base_url: str, address: str) -> None:
    context = browser.new_context(java_script_enabled=False, base_url=base_url)
    page = context.new_page()
    page.goto(address)
    page.get_by_label("Ring angle", exact=False).first.fill("90")
    page.locator("form .primary").click()
    expect(page).to_have_url(re.compile("ring_angle=90"))
    expect(page.locator("#answer-title")).to_be_visible()
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 320])
@pytest.mark.parametrize("address", ADDRESSES)
def test_the_checks_are_accessible_and_do_not_scroll_sideways(
    browser: Browser, base_url: str, address: str, width: int, scheme: str
) -> None:
    context = browser.new_context(
        viewport={"width": width, "height": 900},
        color_scheme="dark" if scheme == "dark" else "light",
        base_url=base_url,
    )
    page = context.new_page()
    for query in ("", "?sight_width=x&shop_year=place&measured=gap&confidence=95&groove_depths="):
        page.goto(address + query)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    context.close()
