"""The parts of a piece that stand in no frame, in a browser: added, edited, moved and taken out."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

DEMO = ["Back", "Upper drawer front", "Lower drawer front", "Pair of doors", "Top"]


@pytest.fixture
def piece(page: Page) -> str:
    """The address of a copy of the demo, so that no test meets what another has done to it."""
    page.goto("/pieces")
    page.get_by_role("button", name="Copy Linen cupboard (demo)", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Linen cupboard (demo) (copy)")
    return page.url.partition("#")[0]


def row(page: Page, name: str) -> Locator:
    """The row of a part by its name."""
    return page.locator(".part-row").filter(has=page.locator(".part-name", has_text=re.compile(f"^{name}")))


def names(page: Page) -> list[str]:
    """The parts by name, as the gap table has them."""
    return page.locator("#gap-parts tr.part th").all_inner_texts()


def choose(page: Page, kind: str) -> Locator:
    """The form of a new part of a kind."""
    page.get_by_label("New part", exact=True).select_option(kind)
    page.get_by_role("button", name=re.compile("Fill in its sizes|Choose another")).click()
    form = page.get_by_role("form", name=re.compile("New part"))
    expect(form).to_be_visible()
    return form


def test_a_part_is_added_edited_and_taken_out(page: Page, piece: str) -> None:
    form = choose(page, "front")
    expect(page.locator(":focus")).to_have_attribute("name", "name")
    form.get_by_label("Name", exact=True).fill("Plinth front")
    form.get_by_label("Opening").fill("-3")
    form.get_by_role("button", name="Add the part").click()
    expect(form.locator(".error").first).to_contain_text("Allowed is")
    expect(form.get_by_label("Name", exact=True)).to_have_value("Plinth front")
    form.get_by_label("Opening").fill("160")
    form.get_by_role("button", name="Add the part").click()
    added = row(page, "Plinth front")
    expect(added).to_be_visible()
    expect(form).to_have_count(0)
    assert names(page) == [*DEMO, "Plinth front"]
    said = re.compile(r"^\s*Plinth front: .+ wide, gap .+ today\. 7 panels, 6 other parts; all fit\.\s*$")
    expect(page.locator("#status")).to_have_text(said)

    before = added.locator(".part-out .key").inner_text()
    expect(added.get_by_role("link", name="Less on Plinth front")).to_be_visible()  # its fields are open at once
    added.get_by_role("textbox", name="Opening").fill("170")
    added.get_by_role("textbox", name="Opening").press("Tab")
    expect(added.locator(".part-out .key")).not_to_have_text(before)
    added.get_by_label("Count").fill("2")
    added.get_by_label("Count").press("Tab")
    expect(added.locator(".part-name")).to_contain_text("× 2")
    page.reload()
    expect(row(page, "Plinth front").locator(".part-name")).to_contain_text("× 2")

    row(page, "Plinth front").get_by_role("button", name="Take out Plinth front").click()
    expect(row(page, "Plinth front")).to_have_count(0)
    assert names(page) == DEMO
    expect(page.get_by_role("button", name="Put it back")).to_be_focused()
    page.keyboard.press("Enter")
    expect(row(page, "Plinth front")).to_be_visible()
    assert names(page) == [*DEMO, "Plinth front"]


def test_a_part_is_moved_by_keyboard_and_the_cursor_stays(page: Page, piece: str) -> None:
    row(page, "Top").get_by_role("link", name="More on Top").click()
    up = page.get_by_role("button", name="Up: Top")
    up.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#gap-parts tr.part th").nth(3)).to_have_text("Top")
    expect(up).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#gap-parts tr.part th").nth(2)).to_have_text("Top")
    page.reload()
    assert names(page) == ["Back", "Upper drawer front", "Top", "Lower drawer front", "Pair of doors"]


def test_a_move_leaves_what_is_typed_of_a_new_part(page: Page, piece: str) -> None:
    row(page, "Top").get_by_role("link", name="More on Top").click()
    expect(page.get_by_role("button", name="Up: Top")).to_be_visible()
    form = choose(page, "slot")
    form.get_by_label("Distance from the fixed place").fill("310")
    page.get_by_role("button", name="Up: Top").click()
    expect(page.locator("#gap-parts tr.part th").nth(3)).to_have_text("Top")
    expect(form.get_by_label("Distance from the fixed place")).to_have_value("310")


def test_a_part_leads_to_its_page_at_the_bench_and_back(page: Page, piece: str) -> None:
    page.locator("#gap-parts").get_by_role("link", name="Top", exact=True).click()
    expect(page).to_have_url(f"{piece}/parts/p11")
    expect(page.get_by_role("heading", level=1)).to_have_text("11. Top")
    page.get_by_role("link", name="Linen cupboard (demo) (copy)").click()
    expect(page).to_have_url(f"{piece}#part-p11")


@pytest.mark.browser_context_args(java_script_enabled=False)
def test_without_script_a_part_is_added_edited_moved_and_taken_out(page: Page, piece: str) -> None:
    form = choose(page, "slats")
    form.get_by_label("Name", exact=True).fill("Shelf slats")
    form.get_by_label("Width of a slat").fill("45")
    form.get_by_label("Clear space today").fill("14")
    form.get_by_role("button", name="Add the part").click()
    assert names(page) == [*DEMO, "Shelf slats"]
    expect(page.locator("#gap-parts")).to_contain_text("can trap fingers, limbs or heads")

    row(page, "Shelf slats").get_by_role("link", name="More on Shelf slats").click()
    opened = row(page, "Shelf slats")
    opened.get_by_label("Clear space today").fill("16")
    opened.get_by_role("button", name="Keep Shelf slats").click()
    expect(row(page, "Shelf slats").locator(".part-out")).to_contain_text("16.0")

    row(page, "Shelf slats").get_by_role("link", name="More on Shelf slats").click()
    page.get_by_role("button", name="Up: Shelf slats").click()
    assert names(page) == [*DEMO[:-1], "Shelf slats", "Top"]

    row(page, "Shelf slats").get_by_role("button", name="Take out Shelf slats").click()
    assert names(page) == DEMO
    page.get_by_role("button", name="Put it back").click()
    assert names(page) == [*DEMO[:-1], "Shelf slats", "Top"]
