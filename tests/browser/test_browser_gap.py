"""The first page as a maker uses it, in a browser."""

import re

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect


def answer(page: Page) -> Locator:
    return page.locator(".answer")


def figure(page: Page, name: str) -> Locator:
    """The value under a name of the answer."""
    return answer(page).locator(".figure").filter(has_text=name).locator(".value")


def type_in(page: Page, label: str, text: str) -> None:
    page.get_by_label(label, exact=True).fill(text)
    page.get_by_label(label, exact=True).press("Tab")


def test_a_typed_size_is_answered_at_once_and_its_address_can_be_shared(page: Page, context: BrowserContext) -> None:
    page.goto("/")
    before = figure(page, "Width to cut").inner_text()
    type_in(page, "Sight width mm", "450")
    expect(figure(page, "Width to cut")).not_to_have_text(before)
    expect(page.get_by_label("Sight height")).to_be_focused()
    expect(page).to_have_url(re.compile(r"sight_width=450"))
    expect(page.locator("#status")).to_contain_text("It fits")
    other = context.new_page()
    other.goto(page.url)
    expect(answer(other)).to_have_text(answer(page).inner_text(), use_inner_text=True)
    expect(other.get_by_label("Sight width")).to_have_value("450")


def test_a_refused_entry_is_told_kept_and_mended(page: Page) -> None:
    page.goto("/")
    type_in(page, "Sight width mm", "4 elephants")
    refused = page.get_by_label("Sight width")
    expect(refused).to_have_attribute("aria-invalid", "true")
    expect(refused).to_have_value("4 elephants")
    expect(refused).to_have_accessible_description(re.compile("is not a length"))
    expect(answer(page)).to_have_count(0)
    page.get_by_role("button", name="Size the panel").click()
    summary = page.locator("#error-summary")
    expect(summary).to_be_focused()
    summary.get_by_role("link").click()
    expect(refused).to_be_focused()
    type_in(page, "Sight width mm", "40 cm")
    expect(answer(page)).to_be_visible()
    expect(refused).not_to_have_attribute("aria-invalid", "true")


def test_back_and_forth_show_each_answer_beside_its_own_entries(page: Page) -> None:
    page.goto("/?sight_width=300")
    first = answer(page).inner_text()
    page.goto("/?sight_width=600")
    second = answer(page).inner_text()
    assert first != second
    page.go_back()
    expect(page.get_by_label("Sight width")).to_have_value("300")
    expect(answer(page)).to_have_text(first, use_inner_text=True)
    page.go_forward()
    expect(page.get_by_label("Sight width")).to_have_value("600")
    expect(answer(page)).to_have_text(second, use_inner_text=True)


def test_coming_back_from_another_page_shows_the_page_whole(page: Page) -> None:
    page.goto("/")
    type_in(page, "Sight width mm", "450")
    expect(page).to_have_url(re.compile(r"sight_width=450"))
    shown = answer(page).inner_text()
    page.get_by_role("link", name="Pieces").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Pieces")
    page.go_back()
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    expect(page.get_by_label("Sight width")).to_have_value("450")
    expect(answer(page)).to_have_text(shown, use_inner_text=True)


def test_a_fold_that_was_opened_stays_open(page: Page) -> None:
    page.goto("/")
    page.get_by_text("Groove, cutters and clearances").click()
    before = figure(page, "Groove depth").inner_text()
    type_in(page, "Least gap mm", "3")
    expect(figure(page, "Groove depth")).not_to_have_text(before)
    expect(page.get_by_label("Making tolerance")).to_be_visible()


def test_another_unit_means_the_same_sizes(page: Page) -> None:
    page.goto("/?sight_width=450")
    page.get_by_role("navigation", name="Units").get_by_role("link", name="in").click()
    expect(page.get_by_label("Sight width")).to_have_value("450 mm")
    expect(figure(page, "Groove depth")).to_contain_text('"')


@pytest.mark.browser_context_args(java_script_enabled=False)
def test_without_script_a_size_is_asked_refused_and_answered(page: Page) -> None:
    page.goto("/")
    page.get_by_label("Sight width").fill("9")
    page.get_by_role("button", name="Size the panel").click()
    expect(page.locator("#error-summary")).to_contain_text("Sight width")
    expect(page.get_by_label("Sight width")).to_have_value("9")
    page.get_by_label("Sight width").fill("450")
    page.get_by_role("button", name="Size the panel").click()
    expect(answer(page)).to_be_visible()
