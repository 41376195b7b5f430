"""What was typed just before a page is left goes along, whatever was pressed and however slow the server is."""

import re
import time
from typing import Any

import pytest
from playwright.sync_api import Page, Request, Route, expect

from tests.browser.test_browser_piece import demo, row, width

SLOW = 0.7
"""How long a change is held up on its way [s]."""


def slow(page: Page, method: str) -> None:
    """Hold up what the page itself asks for by a method."""

    def late(route: Route, request: Request) -> None:
        if request.method == method and request.headers.get("hx-request"):
            time.sleep(SLOW)
        route.continue_()

    page.route("**/*", late)


def staying(page: Page) -> list[str]:
    """What the browser asks from now on, and is told no."""
    asked: list[str] = []

    def stay(dialog: Any) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.on("dialog", stay)
    return asked


@pytest.mark.parametrize("held_up", [False, True])
def test_the_unit_switch_takes_along_what_was_typed_last(page: Page, held_up: bool) -> None:
    page.goto("/?unit=mm")
    if held_up:
        slow(page, "GET")
    page.get_by_label("Sight width").press_sequentially("1")
    page.get_by_label("Sight width").fill("381")
    page.get_by_role("navigation", name="Units").get_by_text("in", exact=True).click()
    expect(page.get_by_label("Sight width")).to_have_value("381 mm")
    expect(page.locator("#answer-title + .badge")).to_be_visible()
    assert "unit=in" in page.url


def test_the_unit_switch_takes_along_what_was_refused(page: Page) -> None:
    page.goto("/?unit=mm")
    page.get_by_label("Sight width").fill("wide")
    page.get_by_role("navigation", name="Units").get_by_text("in", exact=True).click()
    expect(page).to_have_url(re.compile("unit=in"))
    expect(page.locator("#sight_width-error")).to_be_visible()
    expect(page.get_by_label("Sight width")).to_have_value("wide")


def test_a_link_that_carries_the_question_has_what_was_typed_last(page: Page) -> None:
    page.goto("/?unit=mm")
    slow(page, "GET")
    page.get_by_label("Sight width").fill("381")
    page.get_by_role("link", name="Keep it in a piece").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Keep it in a piece")
    assert "sight_width=381" in page.url


def test_no_press_waits_for_an_answer_that_does_not_come(page: Page) -> None:
    page.goto("/?unit=mm")
    page.route("**/*", lambda route, request: None if request.headers.get("hx-request") else route.continue_())
    page.get_by_label("Sight width").fill("381")
    page.get_by_role("link", name="Species", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Species")


@pytest.mark.parametrize("held_up", [False, True])
def test_the_shop_sheet_has_what_was_typed_last(page: Page, held_up: bool) -> None:
    demo(page)
    if held_up:
        slow(page, "POST")
    width(row(page, "Left side, upper")).fill("507")
    page.get_by_role("link", name="Shop sheet").click()
    page.wait_for_url("**/sheet*")
    page.go_back()
    expect(width(row(page, "Left side, upper"))).to_have_value("507")


def test_a_piece_in_the_other_unit_has_what_was_typed_last(page: Page) -> None:
    demo(page)
    slow(page, "POST")
    width(row(page, "Left side, upper")).fill("508")
    page.get_by_role("navigation", name="Units").get_by_text("in", exact=True).click()
    expect(width(row(page, "Left side, upper"))).to_have_value("20")


def test_a_page_that_is_left_otherwise_sends_what_is_half_typed(page: Page) -> None:
    demo(page)
    address = page.url
    width(row(page, "Left side, upper")).fill("509")
    page.goto("/help")
    page.wait_for_timeout(300)
    page.goto(address)
    expect(width(row(page, "Left side, upper"))).to_have_value("509")


def test_of_a_panel_that_is_not_added_yet_the_browser_asks_too(page: Page) -> None:
    demo(page)
    new = page.locator(".new-panel").first.get_by_label("Name")
    new.fill("Half a panel")
    asked = staying(page)
    page.get_by_role("navigation", name="Units").get_by_text("in", exact=True).click()
    page.wait_for_timeout(300)
    assert asked == ["beforeunload"]
    expect(new).to_have_value("Half a panel")
    new.fill("")
    page.get_by_role("navigation", name="Units").get_by_text("in", exact=True).click()
    expect(page.locator(".panel-heads").first).to_contain_text("inches")
    assert asked == ["beforeunload"]


@pytest.mark.parametrize("address", ["stays", "/species", "/pieces"])
def test_of_what_only_a_button_keeps_the_browser_asks_too(page: Page, address: str) -> None:
    demo(page)
    piece = page.url.split("?")[0].split("#")[0]
    page.goto(address if address.startswith("/") else f"{piece}/{address}")
    typed = "Damson"
    field = page.locator("form[method=post] input[type=text]").filter(visible=True).first
    field.fill(typed)
    asked = staying(page)
    page.get_by_role("link", name="Help", exact=True).click()
    page.wait_for_timeout(300)
    assert asked == ["beforeunload"]
    expect(field).to_have_value(typed)
    field.fill("")
    page.get_by_role("link", name="Help", exact=True).click()
    page.wait_for_url("**/help")
    assert asked == ["beforeunload"]


def test_of_what_was_refused_the_browser_asks_first(page: Page) -> None:
    demo(page)
    edited = row(page, "Left side, upper")
    width(edited).fill("wide")
    page.get_by_role("link", name="Shop sheet").click()
    expect(edited.locator(".error")).to_be_visible()
    asked = staying(page)
    page.get_by_role("navigation", name="Units").get_by_text("in", exact=True).click()
    page.wait_for_timeout(300)
    assert asked == ["beforeunload"]
    expect(width(edited)).to_have_value("wide")
