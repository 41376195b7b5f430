"""Temperatures in the scale that goes with the unit: read, shown and refused in it, and the same air in either."""

import csv
import html
import io
import re
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest
from fastapi import FastAPI
from hypothesis import given
from hypothesis import strategies as st

from movement.lengths import Unit
from movement.parts.climates import AirState, AnyClimate, MonthsClimate, PlaceClimate, RangeClimate, RoomFields
from tests.webapp.reading import Sent, plain, refusal
from webapp import years
from webapp.forms import Spec, bind
from webapp.library import read_climate
from webapp.render import UNITS

WARM = Spec("warm", "Temperature", "temperature", "temperature_c", "20")
SIDES = {"year": "air", "dry_humidity": "30", "wet_humidity": "65"}
PAGES: tuple[tuple[str, dict[str, str]], ...] = (
    ("/", {}),
    ("/parts/front", {}),
    ("/check", {}),
    ("/stock", {}),
    ("/climate", {}),
)
"""Pages that ask for a year of air."""


def read(text: str, unit: Unit) -> float | None:
    form = bind([WARM], {"warm": text}, unit)
    return None if form.errors else form.values["temperature_c"]


def answered(text: str) -> str:
    """The words of a page's answer, without the sources that quote a temperature in their own scale."""
    return plain(text.partition('id="result"')[2].partition("sources-title")[0])


@pytest.mark.parametrize(
    ("text", "unit"), [("68", "in"), ("68 F", "in"), ("68 °F", "mm"), ("20 C", "in"), ("20°C", "mm")]
)
def test_a_field_takes_either_scale_and_a_bare_number_is_the_unit_s_own(text: str, unit: Unit) -> None:
    assert read(text, unit) == 20.0


def test_a_field_shows_its_scale_and_a_round_default() -> None:
    fields = [bind([WARM], {}, unit).fields["warm"] for unit in UNITS]
    assert [(field.value, field.unit) for field in fields] == [("20", "°C"), ("68", "°F")]


@pytest.mark.parametrize("text", ["warm", "20 K", "68 FF"])
def test_what_is_no_temperature_is_told_with_an_example_and_the_range(text: str) -> None:
    form = bind([WARM], {"warm": text}, "in")
    form.check(AirState)
    said = form.fields["warm"].error
    assert said == f"“{text}” is not a temperature; write for example 20 °C or 68 °F. Allowed is −31 to 199.9 °F."


def test_the_ends_of_the_range_are_allowed_as_they_are_written() -> None:
    assert all(AirState(temperature_c=read(end, "in") or 0.0, humidity_pct=50) for end in ("-31", "199.9"))


@pytest.mark.parametrize(("address", "more"), PAGES)
def test_a_page_in_inches_asks_in_fahrenheit_and_answers_as_the_same_page_in_millimetres(
    still: Any, address: str, more: dict[str, str]
) -> None:
    air = SIDES | more
    metric = still.get(address, params=air | {"unit": "mm", "dry_temperature": "20", "wet_temperature": "25"})
    inches = still.get(address, params=air | {"unit": "in", "dry_temperature": "68", "wet_temperature": "77"})
    spelled = still.get(address, params=air | {"unit": "in", "dry_temperature": "20 C", "wet_temperature": "25°C"})
    assert {metric.status_code, inches.status_code, spelled.status_code} == {200}
    told = [
        re.findall(r"ood settles between [^;]*? moisture content", answered(one.text))
        for one in (metric, inches, spelled)
    ]
    assert told[0]
    assert told[0] == told[1] == told[2]
    assert "°C" not in answered(inches.text)
    assert Sent(spelled.text).fields["dry_temperature"] == "20 C"


@pytest.mark.parametrize(("address", "more"), PAGES)
def test_out_of_range_is_told_in_fahrenheit_and_kept_as_typed(still: Any, address: str, more: dict[str, str]) -> None:
    page = still.get(address, params=SIDES | more | {"unit": "in", "dry_temperature": "300", "wet_temperature": "40 C"})
    assert page.status_code == 422
    assert refusal(page.text, "dry_temperature").endswith("Allowed is −31 to 199.9 °F.")
    assert Sent(page.text).fields["dry_temperature"] == "300"
    assert Sent(page.text).fields["wet_temperature"] == "40 C"


def test_a_room_is_told_in_fahrenheit(still: Any) -> None:
    page = still.get("/", params={"unit": "in", "year": "place", "heating": "68", "cooling": "77"}).text
    assert "Chicago, a room heated to 68 °F, cooled to 77 °F" in plain(page)
    refused = still.get("/", params={"unit": "in", "year": "place", "heating": "77", "cooling": "68"})
    assert refusal(refused.text, "cooling") == "Error: Cooling temperature is 68 °F; allowed is 77 to 95 °F."


def test_the_room_that_a_panel_survives_is_told_in_fahrenheit(still: Any) -> None:
    page = plain(still.get("/check/room", params={"unit": "in"}).text)
    assert "At 68 °F" in page
    assert "20 °C" not in page


def test_the_switch_spells_out_the_scale_that_a_number_was_typed_in(still: Any) -> None:
    typed_air = SIDES | {"unit": "mm", "dry_temperature": "20", "wet_temperature": "77 F"}
    page = html.unescape(still.get("/", params=typed_air).text)
    [other] = {link for link in re.findall(r'href="([^"]+)"', page) if "unit=in" in link}
    sent = parse_qs(urlsplit(other).query)
    assert (sent["dry_temperature"], sent["wet_temperature"]) == (["20 °C"], ["77 F"])


def test_the_climate_page_keeps_its_meaning_in_the_other_unit(still: Any) -> None:
    page = still.get("/climate", params={"unit": "mm", "year": "place", "place": "Stockholm", "heating": "19"}).text
    [other] = {link for link in re.findall(r'href="([^"]+)"', html.unescape(page)) if "unit=in" in link}
    inches = still.get(other).text
    assert "heated to 66.2 °F" in plain(inches)
    assert re.findall(r"[0-9.]+ % moisture", plain(page)) == re.findall(r"[0-9.]+ % moisture", plain(inches))


def test_the_months_are_shown_typed_and_written_in_fahrenheit(still: Any) -> None:
    page = still.get("/climate", params={"unit": "in", "year": "months", "heating": "68"}).text
    assert Sent(page).fields["month_1_temperature"] == "68.0"
    assert "Temperature (°F)" in page
    sent = {name: text for name, text in Sent(page).fields.items() if name.startswith(("month", "year", "unit"))}
    rows = list(csv.reader(io.StringIO(still.get("/climate.csv", params=sent).content.decode("utf-8-sig"))))
    assert rows[0][1] == "Temperature (°F)"
    assert rows[1][1] == "68.0"


def test_a_climate_kept_in_inches_is_kept_in_celsius(client: Any, app: Any) -> None:
    client.post("/climate", data={"unit": "in", "year": "place", "place": "Stockholm", "heating": "70", "name": "Den"})
    [kept] = [one for one in app.state.store.climates() if one.name == "Den"]
    chosen = read_climate(kept.document)
    assert isinstance(chosen, PlaceClimate)
    assert chosen.room is not None
    assert chosen.room.heating_c == pytest.approx(21.1111111111, abs=1e-9)
    page = client.get(f"/climate?saved={kept.id}&unit=in").text
    assert Sent(page).fields["heating"] == "70"
    assert "Kept as “Den”" in plain(page)
    assert "What is shown is not what is kept" not in plain(page)
    assert Sent(client.get(f"/climate?saved={kept.id}&unit=mm").text).fields["heating"] == "21.1111111111"


warmth = st.decimals(-20, 60, places=1).map(float)
air = st.builds(AirState, temperature_c=warmth, humidity_pct=st.decimals(10, 90, places=1).map(float))
dry = st.builds(AirState, temperature_c=warmth, humidity_pct=st.just(20.0))
wet = st.builds(AirState, temperature_c=warmth, humidity_pct=st.just(80.0))
room = st.builds(
    RoomFields,
    heating_c=st.decimals(15, 22, places=1).map(float),
    cooling_c=st.none() | st.decimals(23, 30, places=1).map(float),
)


@given(
    st.builds(MonthsClimate, months=st.lists(air, min_size=12, max_size=12))
    | st.builds(RangeClimate, dry=dry, wet=wet)
    | st.builds(PlaceClimate, place=st.just("Chicago"), room=st.none() | room),
    st.sampled_from(["mm", "in"]),
)
def test_a_year_comes_back_from_its_fields_in_either_unit(still_app: FastAPI, chosen: AnyClimate, unit: Unit) -> None:
    store = still_app.state.store
    fields = years.specs(store, with_saved=False, with_months=True)
    assert years.build(bind(fields, years.typed(chosen, unit), unit), store) == chosen
