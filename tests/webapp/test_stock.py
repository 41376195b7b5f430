"""The stock page: what a reading means, how long the boards need in the shop, whether they suit the home."""

import html
import re
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest

from movement import sorption, stock
from tests.webapp.reading import error, figure, plain
from webapp import years
from webapp.cautions import OVEN

READY = {"reading": "9.5", "wood_temperature": "21.1 C", "shop_temperature": "20 C", "shop_humidity": "50"}
"""Wood settles at 9.3 % in 20 °C and 50 %."""


def shown(still: Any, status: int = 200, **typed: str) -> str:
    answer = still.get("/stock", params={"unit": "mm"} | typed)
    assert answer.status_code == status
    return str(answer.text)


# The answer


def test_the_bare_page_answers(still: Any) -> None:
    text = shown(still)
    assert "<title>Stock – Seasonal Panel Fit</title>" in text
    assert "Not yet" in text


def test_the_reading_is_corrected(still: Any) -> None:
    text = shown(still, reading="12", wood_temperature="9.9", species_correction="-1")
    assert figure(text, "Moisture of the boards") == "12.0 % the reading, corrected"


def test_a_sample_is_weighed(still: Any) -> None:
    text = shown(still, by="weight", weight="54", dry_weight="50")
    assert figure(text, "Moisture of the boards") == "8.0 % by weight"
    assert stock.SOURCE_OVEN in html.unescape(text)
    assert OVEN in html.unescape(text)
    assert OVEN not in html.unescape(shown(still, by="meter"))
    assert sorption.SOURCE_METER not in text


def test_the_shop_s_air_is_the_core_s(still: Any) -> None:
    text = shown(still, **READY)
    assert figure(text, "The shop's air leads to") == "9.3 % the boards are there"
    assert f"{sorption.equilibrium_moisture(20, 50):.1f}" == "9.3"


def test_the_days_are_the_core_s(still: Any) -> None:
    text = shown(still, **READY | {"reading": "13", "thickness": "32"})
    air = float(sorption.equilibrium_moisture(20, 50))
    days = stock.days_to_settle(13.0, air, 32.0, 0.5)
    assert figure(text, "Settled here in") == (
        f"{days.fast:.0f} to {days.slow:.0f} days to within 0.5 %; middle {days.middle:.0f} days"
    )


def test_inches_mean_the_same_board(still: Any) -> None:
    dry = READY | {"reading": "13"}
    inch = shown(still, **dry, unit="in", thickness='1 1/4"')
    assert figure(inch, "Settled here in") == figure(shown(still, **dry, thickness="31.75"), "Settled here in")


def test_one_face_covered_takes_four_times_as_long(still: Any) -> None:
    dry = READY | {"reading": "13"}
    covered, open_ = (shown(still, **dry, thickness=t, faces=f) for t, f in (("20", "1"), ("40", "2")))
    assert figure(covered, "Settled here in") == figure(open_, "Settled here in")
    assert "it takes a quarter of that" in plain(covered)
    assert "four times as long" in plain(open_)


def test_ready_boards_are_told_which_way_their_fits_lean(still: Any) -> None:
    text = plain(shown(still, **READY))
    assert "Ready now" in text
    assert "They are 1.0 % above the middle of the home's year, 8.5 %: they will mostly shrink" in text
    assert "make the fits tighter" in text
    text = plain(shown(still, **READY, moisture_dry="8", moisture_wet="13"))
    assert "They are 1.0 % below the middle of the home's year, 10.5 %: they will mostly swell" in text
    assert "leave the fits looser" in text
    text = plain(shown(still, **READY, moisture_dry="8", moisture_wet="11"))
    assert "They are at the middle of the home's year, 9.5 %: fit them neutral." in text


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"reading": "13"}, "The boards are too wet for this shop and still moving"),
        ({"reading": "6"}, "The boards are too dry for this shop and still moving"),
        ({"moisture_dry": "4", "moisture_wet": "8"}, "lie outside the home's year (6.0 % is its middle)"),
        ({"moisture_dry": "4", "moisture_wet": "8"}, "Bring them into drier air: 18 to 41 %"),
        ({"moisture_dry": "11", "moisture_wet": "13"}, "Bring them into damper air: 61 to 69 %"),
        (
            {"reading": "13", "moisture_dry": "4", "moisture_wet": "8"},
            "even settled here they would lie outside the home's year. Bring",
        ),
        ({"moisture_wet": "8.95", "moisture_dry": "5"}, "A little longer here will do."),
        ({"reading": "11", "shop_humidity": "82", "moisture_dry": "4.6", "moisture_wet": "10.1"}, "Do not wait here"),
    ],
)
def test_boards_that_are_not_ready_are_told_why(still: Any, typed: dict[str, str], said: str) -> None:
    text = plain(shown(still, **READY | typed))
    assert "Not yet" in text
    assert said in text


def test_settled_boards_need_no_days(still: Any) -> None:
    assert figure(shown(still, **READY), "Settled here in") == "now to within 0.5 %"


def test_a_reading_outside_the_meter_s_best_range_is_doubted(still: Any) -> None:
    assert "Meters read best from about 6 to 28 % MC." in plain(shown(still, reading="5"))
    assert "Meters read best" not in plain(shown(still, by="weight", weight="105", dry_weight="100"))


def test_the_chart_and_its_table_show_the_way(still: Any) -> None:
    text = shown(still, **READY | {"reading": "13"})
    words = re.search(r'<desc id="approach-desc">(.*?)</desc>', text, re.DOTALL)
    assert words
    assert plain(words[1]).startswith("From 13.0 % the board heads for the shop air's 9.3 %")
    table = re.search(r"<thead>(.*?)</thead>\s*<tbody>(.*?)</tbody>", text, re.DOTALL)
    assert table
    assert plain(table[1]) == "Day Slowest % Middle % Fastest %"
    assert plain(table[2]).startswith("0 13.0 13.0 13.0")
    for label in ("slowest", "middle", "fastest", "air 9.3"):
        assert f">{label}</text>" in text


def test_the_home_s_year_can_be_told_by_a_place(still: Any) -> None:
    text = plain(shown(still, year="place", place="Chicago"))
    assert (
        "a room heated to 20 °C, cooled to 25 °C, dried to 60 %: wood settles between 5.5 and 11.0 % moisture content."
        in text
    )


# Fields


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("reading", "", "Fill this in; allowed is 0 to 100 %."),
        ("reading", "ten", "“ten” is not a number"),
        ("reading", "101", "Allowed is 0 to 100 %."),
        ("reading", "40", "It comes to 41.6 % moisture content. Above 30 % the wood is still wet"),
        ("wood_temperature", "100", "Allowed is −35 to 93.3 °C."),
        ("calibration_temperature", "-40", "Allowed is −35 to 93.3 °C."),
        ("species_correction", "11", "Allowed is −10 to 10 %."),
        ("thickness", "", "Fill this in; allowed is 0.5 to 300 mm."),
        ("thickness", "0.4", "Allowed is 0.5 to 300 mm."),
        ("thickness", "thick", "Allowed is 0.5 to 300 mm."),
        ("shop_temperature", "100", "Allowed is −35 to 93.3 °C."),
        ("shop_humidity", "101", "Allowed is 0 to 100 %."),
        ("distance", "0.05", "Allowed is 0.1 to 5 %."),
        ("moisture_dry", "12", "allowed is 12 to 30 %"),
        ("faces", "3", "Choose one of On stickers"),
        ("by", "guess", "Choose one of With a meter, By oven-drying."),
    ],
)
def test_each_refusal_stands_at_its_field_and_all_stays_typed(still: Any, name: str, typed: str, said: str) -> None:
    text = shown(still, 422, **{"wood_temperature": "3.5", name: typed})
    at = "moisture_wet" if name == "moisture_dry" else name
    assert said in error(text, at)
    if name not in ("faces", "by"):
        assert f'name="{name}" value="{typed}"' in text
    assert "No answer yet." in text


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("weight", "", "Fill this in; allowed is 0.01 to 100000 g."),
        ("weight", "0", "Allowed is 0.01 to 100000 g."),
        ("weight", "150", "It comes to 50.0 % moisture content."),
        ("dry_weight", "120", "allowed is at least 0 % (the dry weight is the smaller)."),
        ("dry_weight", "heavy", "“heavy” is not a number"),
    ],
)
def test_a_weight_s_refusal_stands_at_it(still: Any, name: str, typed: str, said: str) -> None:
    text = shown(still, 422, **{"by": "weight", name: typed})
    assert said in error(text, name)
    assert f'name="{name}" value="{typed}"' in text


@pytest.mark.parametrize(
    "typed", [{"species_correction": "-9", "reading": "3"}, {"reading": "1", "wood_temperature": "60"}]
)
def test_a_correction_below_nothing_is_refused_at_the_reading(still: Any, typed: dict[str, str]) -> None:
    assert "allowed is" in error(shown(still, 422, **typed), "reading")


def test_what_the_other_way_to_measure_holds_is_kept_and_not_looked_at(still: Any) -> None:
    text = shown(still, by="weight", reading="ten")
    assert '<input type="hidden" name="reading" value="ten">' in text
    text = shown(still, dry_weight="heavy")
    assert '<input type="hidden" name="dry_weight" value="heavy">' in text


def test_every_field_of_the_year_is_there(still: Any) -> None:
    text = shown(still)
    for name in years.NAMES:
        assert f'name="{name}"' in text


# Addresses and fragments


def test_the_address_repeats_the_answer(still: Any) -> None:
    typed = READY | {"reading": "13", "faces": "1", "year": "air", "wet_humidity": "70"}
    assert shown(still, **typed) == shown(still, **typed)
    assert 'name="wet_humidity" value="70"' in shown(still, **typed)


def test_the_unit_switch_keeps_what_was_typed(still: Any) -> None:
    text = shown(still, unit="mm", thickness="32")
    link = re.search(r'href="(/stock\?[^"]*unit=in[^"]*)"', text)
    assert link
    assert 'name="thickness" value="32 mm"' in still.get(html.unescape(link[1])).text


def test_the_fragment_is_in_the_whole_page(still: Any, fragment: dict[str, str]) -> None:
    part = still.get("/stock", params=READY | {"unit": "mm"}, headers=fragment).text
    assert plain(part.partition('id="result">')[2].partition('<div id="status"')[0]) in plain(shown(still, **READY))
    assert "Ready now: 9.5 %." in part
    refused = still.get("/stock", params={"reading": ""}, headers=fragment)
    assert refused.status_code == 422
    assert "One entry needs another look." in plain(refused.text.rpartition('id="status"')[2])


def test_nothing_is_said_to_be_safe(still: Any) -> None:
    for typed in ({}, READY, {"by": "weight"}):
        assert not re.search(r"\bsafe\b", plain(shown(still, **typed)), re.IGNORECASE)


def test_a_panel_is_sized_of_the_stock_for_the_same_home(still: Any) -> None:
    text = shown(still, reading="12", species_correction="0.5", year="outdoors", place="Lisbon")
    link = html.unescape(re.search(r'<a href="([^"]*)">Size a panel of this stock', text).group(1))  # type: ignore[union-attr]
    asked = dict(parse_qsl(urlsplit(link).query))
    assert (asked["year"], asked["place"]) == ("outdoors", "Lisbon")
    assert float(asked["moisture_now"]) == pytest.approx(float(figure(text, "Moisture of the boards").split()[0]))
    assert "Lisbon, outdoors under cover" in plain(still.get(link).text)
