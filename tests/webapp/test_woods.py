"""A species is found by any of its names; its field tells which entry was taken, or asks which is meant."""

import html
import re
from typing import Any

import pytest

from tests.webapp.reading import Sent, plain, refusal

PAGES = ("/", "/parts/front", "/check", "/check/groove", "/check/room", "/check/months")


def hint(text: str) -> str:
    return plain(text.partition('id="species-hint"')[2].partition(">")[2].partition("</p>")[0])


def choices(text: str) -> list[str]:
    """What the buttons at the species field offer."""
    return re.findall(r'<button [^>]*name="species" value="([^"]+)"', html.unescape(text).replace('as "', "as "))


@pytest.mark.parametrize("address", PAGES)
@pytest.mark.parametrize("typed", ["Oak, white", "white oak", "OAK white"])
def test_a_loose_name_is_found_and_the_entry_that_was_taken_is_named(still: Any, address: str, typed: str) -> None:
    page = still.get(address, params={"species": typed})
    assert page.status_code == 200
    assert hint(page.text).startswith("Taken for “Oak, white: white”")
    assert Sent(page.text).fields["species"] == typed


def test_a_published_movement_needs_no_more_than_the_name(still: Any) -> None:
    assert hint(still.get("/", params={"species": "Walnut, American"}).text) == "Taken for “Walnut, black”."


def test_the_entry_s_own_name_needs_no_remark(still: Any) -> None:
    assert hint(still.get("/", params={"species": "cherry,  BLACK"}).text) == "Common or botanical name."


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("Oak, red: northern red", "Its movement is worked out from its shrinkage"),
        ("northern red oak", "Taken for “Oak, red: northern red”; its movement is worked out from its shrinkage"),
    ],
)
def test_a_movement_that_is_worked_out_from_the_shrinkage_is_told_at_the_field(
    still: Any, typed: str, said: str
) -> None:
    assert hint(still.get("/", params={"species": typed}).text).startswith(said)


@pytest.mark.parametrize("address", PAGES)
def test_a_name_of_several_woods_asks_which_at_the_field(still: Any, address: str) -> None:
    page = still.get(address, params={"species": "walnut"})
    assert page.status_code == 422
    assert "“walnut” is a name of “Walnut, black” and “Walnut, European”" in refusal(page.text, "species")
    assert choices(page.text) == ["Walnut, black", "Walnut, European"]
    assert Sent(page.text).fields["species"] == "walnut"


def test_what_was_mistyped_is_offered_too(still: Any) -> None:
    assert "Cherry, black" in choices(still.get("/", params={"species": "chery"}).text)


def test_a_choice_is_what_counts_when_it_is_sent_along(still: Any) -> None:
    page = still.get("/?species=walnut&species=Walnut%2C+black")
    assert page.status_code == 200
    assert Sent(page.text).fields["species"] == "Walnut, black"


def test_every_other_name_is_offered_to_the_browser_beside_the_entry(still: Any) -> None:
    page = html.unescape(still.get("/parts/front").text)
    assert '<option value="Oak, white: white">white oak, Quercus alba</option>' in page


def test_a_second_stock_is_found_likewise(still: Any) -> None:
    page = still.get("/parts/drawer", params={"bottom_species": "elm"})
    assert page.status_code == 422
    assert "“elm” is a name of" in refusal(page.text, "bottom_species")
