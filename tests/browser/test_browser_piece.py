"""The piece page as a maker uses it, in a browser."""

import io
import json
import re
from pathlib import Path

import openpyxl
import pytest
from playwright.sync_api import BrowserContext, Download, Locator, Page, Route, expect

PANELS = [(f"Side {number}", 180 + 7 * number, 400 + 5 * number, 1 + number % 2) for number in range(1, 31)]


def new_piece(page: Page, name: str) -> None:
    page.goto("/pieces")
    page.get_by_label("Name", exact=True).fill(name)
    page.get_by_role("button", name="Make it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(name)


def add_frame(page: Page, name: str) -> None:
    page.get_by_label("New frame").fill(name)
    page.get_by_label("New frame").press("Enter")


def demo(page: Page) -> None:
    """A copy of the demo, so that no test meets what another has done to it."""
    page.goto("/pieces")
    page.get_by_role("button", name="Copy Linen cupboard (demo)", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Linen cupboard (demo) (copy)")


def row(page: Page, name: str) -> Locator:
    """The row of a panel by its name as it was drawn."""
    return page.locator(".panel-row").filter(has=page.locator(f'input[name="name"][value="{name}"]'))


def width(of: Locator) -> Locator:
    return of.get_by_label("Sight width")


def cut(of: Locator) -> Locator:
    return of.locator(".panel-out .key")


def table(page: Page) -> list[list[str]]:
    """The gap table's rows of parts, as they are shown."""
    shown = page.locator("#gap-table tbody tr:not(.group, .advice-row)").all()
    return [[cell.inner_text() for cell in line.locator("th, td").all()] for line in shown]


def saved(download: Download) -> bytes:
    return Path(download.path()).read_bytes()


def test_thirty_panels_are_typed_by_hand_and_exported(page: Page) -> None:
    new_piece(page, "Thirty panels")
    add_frame(page, "Sides")
    for name, wide, high, count in PANELS:
        expect(page.locator(":focus")).to_have_attribute("name", "name")
        expect(page.locator(":focus")).to_have_value("")
        for text in (name, str(wide), str(high)):
            page.keyboard.type(text)
            page.keyboard.press("Tab")
        page.keyboard.type(str(count))
        page.keyboard.press("Enter")
        expect(page.locator(".panel-row").last.get_by_label("Name")).to_have_value(name)
    expect(page.locator("#table-count")).to_have_text(f"{sum(count for *_, count in PANELS)} panels")
    rows = table(page)
    assert [line[0] for line in rows] == [name for name, *_ in PANELS]
    assert [cut(one).inner_text().split()[-1] for one in page.locator(".panel-row").all()] == [line[2] for line in rows]

    with page.expect_download() as download:
        page.get_by_role("link", name="Spreadsheet").click()
    book = openpyxl.load_workbook(io.BytesIO(saved(download.value)))
    heading, *lines = book["Gap table"].iter_rows(values_only=True)
    place = {name: index for index, name in enumerate(heading)}
    columns = (
        "Part",
        "Count",
        "Width to cut (mm)",
        "Gap today (mm)",
        "Bias",
        "Bias (mm)",
        "Length to cut (mm)",
        "Gap, dry (mm)",
        "Gap, wet (mm)",
        "Engaged, dry (mm)",
        "Hold",
        "Species",
    )
    exported = [[line[place[name]] for name in columns] for line in lines]
    assert len(exported) == len(PANELS)
    for line, shown in zip(exported, rows, strict=True):
        for value, text in zip(line, shown, strict=True):
            if isinstance(value, str):
                assert text == value
            else:
                assert float(text.replace("−", "-")) == pytest.approx(value, abs=0.1001)


def test_a_changed_row_is_kept_and_its_results_follow(page: Page) -> None:
    demo(page)
    edited = row(page, "Left side, upper")
    before = cut(edited).inner_text()
    width(edited).fill("500")
    width(edited).press("Tab")
    expect(cut(edited)).not_to_have_text(before)
    expect(edited.get_by_label("Sight height")).to_be_focused()
    expect(page.locator("#gap-p1")).to_contain_text(cut(edited).inner_text().split()[-1])
    expect(page.locator("#head-f1")).to_contain_text("Groove 10.0 mm")
    said = re.compile(r"^\s*Left side, upper: .+ wide, gap .+ today\. 7 panels, 5 other parts; all fit\.\s*$")
    expect(page.locator("#status")).to_have_text(said)
    page.reload()
    expect(width(row(page, "Left side, upper"))).to_have_value("500")


def test_a_refused_entry_is_told_at_its_field_and_can_be_mended(page: Page) -> None:
    demo(page)
    edited = row(page, "Left side, upper")
    before = cut(edited).inner_text()
    width(edited).fill("5 elephants")
    width(edited).press("Enter")
    expect(width(edited)).to_have_attribute("aria-invalid", "true")
    expect(width(edited)).to_have_value("5 elephants")
    expect(width(edited)).to_have_accessible_description(re.compile("is not a length"))
    expect(edited.get_by_role("button", name="Keep")).to_be_visible()
    expect(page.locator("#status")).to_have_text("One entry needs another look.")
    expect(cut(edited)).to_have_text(before)
    width(edited).fill("5000")
    width(edited).press("Enter")
    expect(width(edited)).to_have_accessible_description(re.compile(r"10(\.0)?\s(mm\s)?to\s3000(\.0)?\smm"))
    width(edited).fill("30 cm")
    width(edited).press("Enter")
    expect(width(edited)).not_to_have_attribute("aria-invalid", "true")
    expect(cut(edited)).not_to_have_text(before)
    expect(edited.get_by_role("button", name="Keep")).to_be_hidden()


def hold_first(page: Page, address: str) -> list[Route]:
    """Keep the first request to an address waiting: continue it to go on."""
    held: list[Route] = []
    page.route(address, lambda route: route.continue_() if held else held.append(route))
    return held


def test_changes_in_quick_succession_are_all_kept(page: Page, context: BrowserContext) -> None:
    demo(page)
    edited = row(page, "Left side, upper")
    held = hold_first(page, "**/panels/p1")
    with page.expect_request("**/panels/p1"):
        width(edited).fill("401")
        width(edited).press("Tab")
    edited.get_by_label("Sight height").fill("502")
    edited.get_by_label("Sight height").press("Tab")
    width(edited).fill("405")
    width(edited).press("Enter")
    edited.get_by_label("Count").fill("3")
    edited.get_by_label("Count").press("Tab")
    held[0].continue_()
    expect(page.locator("#gap-p1 td").first).to_have_text("3")
    other = context.new_page()
    other.goto(page.url)
    for kept in (edited, row(other, "Left side, upper")):
        expect(width(kept)).to_have_value("405")
        expect(kept.get_by_label("Sight height")).to_have_value("502")
        expect(kept.get_by_label("Count")).to_have_value("3")
    expect(page.locator(".panel-row .error")).to_have_count(0)


def test_the_next_panel_can_be_typed_while_this_one_is_on_its_way(page: Page) -> None:
    demo(page)
    held = hold_first(page, "**/frames/f1/panels")
    line = page.locator("#new-f1")
    line.get_by_label("Name").fill("First")
    width(line).fill("300")
    with page.expect_request("**/frames/f1/panels"):
        width(line).press("Enter")
    page.keyboard.type("Second")
    held[0].continue_()
    expect(row(page, "First")).to_be_visible()
    expect(line.get_by_label("Name")).to_have_value("Second")
    expect(width(line)).to_have_value("")
    width(line).fill("310")
    width(line).press("Enter")
    expect(width(row(page, "Second"))).to_have_value("310")
    expect(line.get_by_label("Name")).to_have_value("")


def test_what_is_not_kept_yet_stays_typed_when_the_page_is_drawn_anew(page: Page) -> None:
    demo(page)
    edited = row(page, "Left side, upper")
    width(edited).fill("5 elephants")
    width(edited).press("Enter")
    expect(width(edited)).to_have_attribute("aria-invalid", "true")
    page.locator("#new-f2").get_by_label("Name").fill("Half typed")
    add_frame(page, "Back")
    expect(page.locator(".frame-block")).to_have_count(5)
    expect(width(edited)).to_have_value("5 elephants")
    expect(page.locator("#new-f2").get_by_label("Name")).to_have_value("Half typed")


def test_a_choice_that_was_changed_elsewhere_is_shown_and_not_overwritten(page: Page, context: BrowserContext) -> None:
    demo(page)
    mine, other = page.locator("#panel-p1"), context.new_page()
    mine.get_by_role("link", name="More").click()
    mine.get_by_label("How it is kept").select_option("loose")
    expect(page.locator("#revision")).to_have_value("2")
    other.goto(f"{page.url}?more=p1")
    other.locator("#panel-p1").get_by_label("How it is kept").select_option("one edge")
    expect(other.locator("#revision")).to_have_value("3")
    mine.get_by_label("Count").fill("2")
    mine.get_by_label("Count").press("Enter")
    expect(page.locator(".notice.note")).to_contain_text("The piece had been changed elsewhere too")
    expect(mine.get_by_label("How it is kept")).to_have_value("one edge")
    expect(mine.locator(".own-words")).to_have_text("one edge")


def test_a_row_that_was_changed_elsewhere_is_told_and_nothing_is_overwritten(
    page: Page, context: BrowserContext
) -> None:
    demo(page)
    other = context.new_page()
    other.goto(page.url)
    width(row(other, "Left side, upper")).fill("350")
    width(row(other, "Left side, upper")).press("Tab")
    expect(other.locator("#revision")).to_have_value("2")

    mine = page.locator("#panel-p1")
    width(mine).fill("400")
    width(mine).press("Enter")
    expect(width(mine)).to_have_accessible_description(re.compile("changed elsewhere meanwhile and is now “350”"))
    expect(width(mine)).to_have_value("400")
    other.reload()
    expect(width(row(other, "Left side, upper"))).to_have_value("350")
    mine.get_by_role("button", name="Keep").click()
    expect(width(mine)).not_to_have_attribute("aria-invalid", "true")
    other.reload()
    expect(width(row(other, "Left side, upper"))).to_have_value("400")


def test_a_panel_that_was_taken_out_is_put_back_where_it_was(page: Page) -> None:
    demo(page)
    names = [line[0] for line in table(page)]
    row(page, "Left side, upper").get_by_role("button", name="Take out").click()
    expect(page.locator("#panel-p1")).to_have_count(0)
    expect(page.locator("#gap-p1")).to_have_count(0)
    back = page.get_by_role("button", name="Put it back")
    expect(back).to_be_focused()
    back.press("Enter")
    expect(row(page, "Left side, upper")).to_be_visible()
    assert [line[0] for line in table(page)] == names
    expect(page.get_by_role("button", name="Put it back")).to_have_count(0)


def test_frames_and_panels_are_copied_moved_and_taken_out(page: Page) -> None:
    demo(page)
    row(page, "Door panel").get_by_role("button", name="Copy").click()
    expect(row(page, "Door panel 2").get_by_label("Name")).to_be_focused()
    expect(page.locator("#table-count")).to_have_text("9 panels, 5 other parts")
    row(page, "Door panel 2").get_by_role("link", name="More").click()
    row(page, "Door panel 2").get_by_role("button", name="Up").click()
    expect(page.locator("#panels-f3 .panel-row").first.get_by_label("Name")).to_have_value("Door panel 2")
    row(page, "Door panel 2").get_by_role("button", name="Up").click()
    expect(page.locator("#panels-f2 .panel-row").last.get_by_label("Name")).to_have_value("Door panel 2")
    expect(page.locator("#panels-f3 .panel-row")).to_have_count(1)
    frame = page.locator("#frame-f3")
    frame.get_by_role("button", name="Take out Doors", exact=True).click()
    expect(frame).to_have_count(0)
    page.get_by_role("button", name="Put it back").click()
    expect(frame).to_be_visible()


def test_what_is_a_panels_own_is_set_under_more(page: Page) -> None:
    demo(page)
    edited = row(page, "Left side, upper")
    edited.get_by_role("link", name="More").click()
    edited.get_by_label("Ring angle").fill("90")
    edited.get_by_label("Ring angle").press("Tab")
    expect(edited.locator(".own-words")).to_have_text("ring angle 90°")
    expect(edited.get_by_label("Moisture today")).to_be_focused()
    edited.get_by_label("How it is kept").select_option("loose")
    expect(edited.locator(".own-words")).to_have_text("loose, ring angle 90°")
    edited.get_by_role("link", name="Less").click()
    expect(edited.get_by_label("Ring angle")).to_have_count(0)
    edited.get_by_label("Count").fill("2")
    edited.get_by_label("Count").press("Tab")
    expect(page.locator("#gap-p1 td").first).to_have_text("2")
    expect(edited.locator(".own-words")).to_have_text("loose, ring angle 90°")


def test_shop_and_stock_change_every_row(page: Page) -> None:
    demo(page)
    before = table(page)
    page.get_by_text("Climate, shop and stock of this piece").click()
    page.locator("#setup #moisture_now").fill("11")
    page.locator("#setup").get_by_role("button", name="Keep").click()
    expect(page.locator(".climate-words")).to_contain_text("Stock at 11 % today")
    assert table(page) != before
    page.locator("#setup #moisture_now").fill("55")
    page.locator("#setup").get_by_role("button", name="Keep").click()
    expect(page.locator("#error-summary")).to_be_focused()
    expect(page.locator("#setup #moisture_now")).to_have_value("55")


def test_a_piece_is_shown_in_inches_and_back_without_changing_a_size(page: Page) -> None:
    demo(page)
    before = table(page)
    page.get_by_role("button", name="in", exact=True).click()
    expect(width(row(page, "Left side, upper"))).to_have_value("12 9/32")
    row(page, "Left side, upper").get_by_label("Count").fill("1")
    row(page, "Left side, upper").get_by_label("Count").press("Enter")
    page.get_by_role("button", name="mm", exact=True).click()
    expect(width(row(page, "Left side, upper"))).to_have_value("312")
    assert table(page) == before


def test_what_cannot_be_kept_is_told_and_stays_typed(page: Page, quiet: list[str]) -> None:
    demo(page)
    edited = row(page, "Left side, upper")
    page.route("**/panels/p1", lambda route: route.abort())
    width(edited).fill("444")
    width(edited).press("Enter")
    expect(page.locator("#failure")).to_contain_text("What you typed is still here")
    expect(width(edited)).to_have_value("444")
    page.unroute("**/panels/p1")
    width(edited).press("Enter")
    expect(page.locator("#failure")).to_be_empty()
    expect(page.locator("#revision")).to_have_value("2")
    assert all("ERR_FAILED" in said or "htmx:error" in said for said in quiet)
    quiet.clear()


def test_a_change_to_a_piece_that_was_deleted_elsewhere_is_told_and_stays_typed(
    page: Page, context: BrowserContext, quiet: list[str]
) -> None:
    demo(page)
    other = context.new_page()
    other.goto(page.url)
    other.get_by_role("button", name="Delete the piece").click()
    expect(other.get_by_role("button", name="Bring it back")).to_be_visible()
    edited = row(page, "Left side, upper")
    width(edited).fill("444")
    width(edited).press("Enter")
    expect(page.locator("#unsaved")).to_contain_text("it may have been deleted")
    expect(width(edited)).to_have_value("444")
    assert all("status of 404" in said for said in quiet)
    quiet.clear()


def test_the_piece_file_is_exported_and_taken_in_again(page: Page) -> None:
    demo(page)
    before = table(page)
    with page.expect_download() as download:
        page.get_by_role("link", name="Piece file").click()
    text = saved(download.value)
    page.goto("/pieces")
    expect(page.get_by_label("Piece file")).to_be_visible()
    bad = {"name": "piece.json", "mimeType": "application/json", "buffer": text[:100]}
    page.get_by_label("Piece file").set_input_files(bad)
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator("#file-error")).to_contain_text("not JSON")
    renamed = json.dumps(json.loads(text) | {"name": "Taken in"}).encode()
    page.get_by_label("Piece file").set_input_files(bad | {"buffer": renamed})
    page.get_by_role("button", name="Take it in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Taken in")
    assert table(page) == before


@pytest.mark.browser_context_args(java_script_enabled=False)
def test_without_script_frames_panels_and_exports_work(page: Page) -> None:
    new_piece(page, "Without script")
    page.get_by_label("New frame").fill("Door")
    page.get_by_role("button", name="Add the frame").click()
    page.locator(".new-panel").get_by_label("Sight width").fill("310")
    page.get_by_role("button", name="Add the panel").click()
    made = row(page, "Panel 1")
    expect(cut(made)).to_be_visible()
    width(made).fill("4")
    made.get_by_role("button", name="Keep").click()
    expect(page.locator(".error-summary")).to_contain_text("Sight width")
    expect(width(made)).to_have_value("4")
    width(made).fill("400")
    made.get_by_role("button", name="Keep").click()
    expect(page.locator(".error-summary")).to_have_count(0)
    expect(width(row(page, "Panel 1"))).to_have_value("400")
    with page.expect_download() as download:
        page.get_by_role("link", name="CSV").click()
    assert saved(download.value).decode("utf-8-sig").splitlines()[1].startswith("Door,Panel 1,panel,1,")


def test_a_part_of_the_table_leads_to_its_own_page(page: Page) -> None:
    demo(page)
    address = page.url
    page.locator("#gap-p1").get_by_role("link").click()
    expect(page).to_have_url(f"{address}/parts/p1")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Left side, upper")
    page.go_back()
    expect(page.locator("#panel-p1")).to_be_visible()


def test_what_is_typed_in_the_setup_is_kept_as_it_is_changed(page: Page) -> None:
    new_piece(page, "Set up first")
    expect(page.locator("#species")).to_be_visible()  # a new piece asks for its stock and climate first
    page.fill("#species", "white oak")
    page.keyboard.press("Tab")
    expect(page.locator("#species")).to_have_value("Oak, white: white")
    expect(page.locator("#ring_angle")).to_be_focused()
    page.fill("#moisture_now", "99")
    page.keyboard.press("Tab")
    expect(page.locator("#moisture_now-error")).to_contain_text("1 to 30 %")
    expect(page.locator("#moisture_now")).to_have_value("99")
    page.fill("#moisture_now", "11")
    page.keyboard.press("Tab")
    expect(page.locator(".climate-words")).to_contain_text("Stock at 11 % today")
    page.reload()
    expect(page.locator("#moisture_now")).to_have_value("11")
    expect(page.locator("#species")).to_have_value("Oak, white: white")


@pytest.mark.parametrize("through", ["/kit", "/sheet"])
def test_the_way_back_shows_a_piece_as_it_is_kept_now(page: Page, through: str) -> None:
    demo(page)
    address = page.url
    edited = row(page, "Left side, upper")
    before = width(edited).input_value()
    width(edited).fill("444")
    width(edited).press("Enter")
    expect(cut(edited)).not_to_have_text(before)
    page.goto(f"{address}{through}")
    page.go_back()
    expect(page).to_have_url(re.compile(re.escape(address)))
    expect(width(page.locator("#panel-p1"))).to_have_value("444")
    expect(page.locator("#gap-p1")).to_contain_text("454")


def test_what_was_taken_out_can_be_put_back_after_the_page_was_asked_for_anew(page: Page) -> None:
    demo(page)
    taken = "Left side, upper"
    page.get_by_role("button", name=f"Take out {taken}", exact=True).click()
    expect(page.get_by_role("button", name="Put it back")).to_be_visible()
    address = page.url
    page.goto("/help")
    page.goto(address)
    expect(page.locator("#panel-p1")).to_have_count(0)
    page.get_by_role("button", name="Put it back").click()
    expect(row(page, taken)).to_be_visible()
    expect(page.get_by_role("button", name="Put it back")).to_have_count(0)
    page.reload()
    expect(row(page, taken)).to_be_visible()
    expect(page.get_by_role("button", name="Put it back")).to_have_count(0)
