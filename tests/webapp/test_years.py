"""A year that the equation for equilibrium moisture content does not reach is doubted wherever it is used."""

from datetime import date
from html import unescape
from typing import Any

import pytest

from movement.parts.climates import MoistureClimate, PlaceClimate
from movement.parts.stays import StayFields
from movement.sorption import NOTE_EXTRAPOLATED
from webapp import paper, years

from . import paper_cases

COLD = PlaceClimate(place="Stockholm")
MILD = MoistureClimate(dry_pct=7.0, wet_pct=11.0)


@pytest.mark.parametrize("page", ["/", "/parts/drawer", "/check", "/check/groove", "/stock", "/climate"])
def test_a_page_doubts_a_cold_year_and_no_other(client: Any, page: str) -> None:
    for place, doubted in (("Stockholm", True), ("Lisbon", False)):
        text = unescape(client.get(page, params={"year": "outdoors", "place": place}).text)
        assert (NOTE_EXTRAPOLATED in text) is doubted
    heated = client.get(page, params={"year": "place", "place": "Stockholm"}).text
    assert NOTE_EXTRAPOLATED not in unescape(heated)


def test_the_months_of_a_cold_shop_are_doubted(client: Any) -> None:
    typed = {"shop_year": "outdoors", "shop_place": "Stockholm"}
    assert NOTE_EXTRAPOLATED in unescape(client.get("/check/months", params=typed).text)


def test_paper_doubts_a_cold_home_or_a_cold_place_on_the_way_once() -> None:
    for home, on_the_way, times in ((COLD, MILD, 1), (MILD, COLD, 1), (COLD, COLD, 1), (MILD, MILD, 0)):
        stay = StayFields(name="Barn", first=date(2026, 1, 10), climate=on_the_way)
        piece = paper_cases.piece(climate=home, stays=[stay], home_first=date(2026, 5, 1))
        page = paper.PaperPage(None, piece)  # type: ignore[arg-type]
        assert page.climate_words.count(NOTE_EXTRAPOLATED) == times


def test_the_words_of_a_year_end_with_its_doubt() -> None:
    assert years.words(COLD).endswith(f"% moisture content. {NOTE_EXTRAPOLATED}")
    assert years.words(MILD).endswith("% moisture content.")
