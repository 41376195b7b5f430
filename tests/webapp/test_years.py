"""A year that the equation for equilibrium moisture content does not reach is doubted wherever it is used."""

from datetime import date
from html import unescape
from typing import Any

import pytest

from movement.parts.climates import MoistureClimate, PlaceClimate, RecordClimate, RecordMonth
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


@pytest.mark.parametrize(
    ("measured", "said"),
    [
        (12, "A recorded year of air: wood settles between 5.0 and 11.0 % moisture content."),
        (
            11,
            "Part of a year of recorded air: wood settles between 5.0 and 11.0 % moisture content. What the other",
        ),
        (4, "What the other 8 months bring is not known: the driest or the wettest may be missing."),
    ],
)
def test_a_record_of_less_than_a_year_says_so(measured: int, said: str) -> None:
    months = [
        RecordMonth(temperature_c=20, humidity_pct=40, moisture_pct=7.7, measured=index < measured)
        for index in range(12)
    ]
    text = years.words(RecordClimate(months=months, dry_pct=5, wet_pct=11))
    assert said in text
    assert ("not known" in text) is (measured < 12)
