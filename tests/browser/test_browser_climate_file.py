"""A climate from a file, in a browser: sent in, looked at, told otherwise, kept."""

import re
import threading
from typing import Any

import pytest
import record_cases
from playwright.sync_api import Page, expect

from movement import hygrometer
from webapp import uploads

PLAIN = {"name": "workshop_log.csv", "mimeType": "text/csv", "buffer": record_cases.plain()}
EPW = {"name": "harbour.epw", "mimeType": "text/plain", "buffer": record_cases.epw()}


def send(page: Page, file: Any) -> None:
    page.goto("/climate/file")
    page.get_by_label("The file").set_input_files(file)
    page.get_by_role("button", name="Read it", exact=True).click()


def test_a_log_is_looked_at_told_otherwise_and_kept(page: Page) -> None:
    send(page, PLAIN)
    expect(page.get_by_role("heading", name="How the file was understood")).to_be_visible()
    dry = page.locator(".figure.main .value").first
    before = dry.inner_text()
    name = page.get_by_label("Name", exact=True)
    expect(name).to_have_value("workshop log")
    name.fill("Workshop, in the browser")
    page.get_by_label("Dry and wet are").select_option("own")
    page.get_by_label("Percentile for dry").fill("40")
    page.get_by_label("Percentile for dry").press("Tab")
    expect(dry).not_to_have_text(before)
    expect(page).to_have_url(re.compile("dry_percentile=40"))
    expect(name).to_have_value("Workshop, in the browser")
    page.get_by_text("Where the file was misunderstood").click()
    page.get_by_label("Column of humidity").fill("dampness")
    page.get_by_label("Column of humidity").press("Enter")
    expect(page.locator("#error-summary")).to_be_focused()
    expect(page.get_by_label("Column of humidity")).to_have_attribute("aria-invalid", "true")
    page.get_by_label("Column of humidity").fill("3")
    page.get_by_label("Column of humidity").press("Enter")
    expect(page.locator("#error-summary")).to_have_count(0)
    page.get_by_role("button", name="Save under this name").click()
    expect(page.get_by_role("heading", name="Kept as “Workshop, in the browser”")).to_be_visible()
    page.get_by_role("button", name="Delete Workshop, in the browser").click()
    page.get_by_role("button", name="Bring it back").click()
    expect(page.get_by_role("heading", name="Kept as “Workshop, in the browser”")).to_be_visible()
    page.get_by_role("link", name="Size a panel for this year").click()
    expect(page.get_by_text(re.compile("recorded (year of )?air")).first).to_be_visible()


def test_the_page_follows_a_file_that_is_read(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    go = threading.Event()

    def slow(kind: Any, stream: Any, options: Any, progress: Any) -> Any:
        progress(0.42)
        go.wait(30)
        return hygrometer.read(stream, options, progress)

    monkeypatch.setattr(uploads.recorded, "read", slow)
    send(page, PLAIN)
    expect(page.get_by_text("42 % is read.")).to_be_visible()
    assert page.get_by_role("progressbar").get_attribute("value") == "0.42"
    go.set()
    expect(page.get_by_role("heading", name="How the file was understood")).to_be_visible()
    expect(page.locator("#status")).to_contain_text("The file is read.")


@pytest.mark.browser_context_args(java_script_enabled=False)
def test_without_script_a_weather_file_is_read_and_kept(page: Page) -> None:
    send(page, EPW)
    expect(page.get_by_text("A year outdoors in Harbour Town")).to_be_visible()
    room = page.locator(".figure.main .value").first.inner_text()
    page.get_by_label("Outdoors, covered").check(force=True)
    page.get_by_role("button", name="Read it so").click()
    expect(page.locator(".figure.main .value").first).not_to_have_text(room)
    page.get_by_label("Name", exact=True).fill("Harbour, without script")
    page.get_by_role("button", name="Save under this name").click()
    expect(page.get_by_role("heading", name="Kept as “Harbour, without script”")).to_be_visible()
