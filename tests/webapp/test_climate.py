"""The climate page: every way to tell a year, its figures and chart, and climates kept under a name."""

import csv
import html
import io
import json
import re
from typing import Any
from urllib.parse import urlencode

import httpx
import pytest
from fastapi import FastAPI

from movement import climate
from movement.parts.climates import (
    AnyClimate,
    MoistureClimate,
    MonthsClimate,
    PlaceClimate,
    RangeClimate,
    RecordClimate,
    RoomFields,
)
from tests.webapp.reading import Sent
from webapp import years
from webapp.documents import ChangedError, MissingError
from webapp.forms import bind
from webapp.library import read_climate
from webapp.store import Store

AIR = {"temperature_c": 20.0, "humidity_pct": 45.0}
MONTHS = {
    name: text for n in range(1, 13) for name, text in ((f"month_{n}_temperature", "20"), (f"month_{n}_humidity", "45"))
}
CLIMATES: list[AnyClimate] = [
    MoistureClimate(dry_pct=5.25, wet_pct=11.0),
    RangeClimate.model_validate({"dry": {**AIR, "humidity_pct": 30.5}, "wet": {**AIR, "humidity_pct": 64.0}}),
    MonthsClimate.model_validate({"months": [{**AIR, "humidity_pct": 40.1 + n} for n in range(12)]}),
    PlaceClimate(place="Stockholm", room=RoomFields(heating_c=21.5, cooling_c=None, humidifier_pct=30.0)),
    PlaceClimate(place="Lisbon", room=None),
]

RECORD = RecordClimate.model_validate(
    {
        "months": [
            {**AIR, "humidity_pct": 40.0 + n, "moisture_pct": 7.5 + n / 4, "measured": n not in (6, 7)}
            for n in range(12)
        ],
        "dry_pct": 7.0,
        "wet_pct": 11.0,
        "summary": ["960 of 960 rows are used."],
        "notes": ["From a hygrometer's log."],
        "daily_moisture_pct": [7.0 + day / 100 for day in range(365)],
    }
)


@pytest.fixture(autouse=True)
def _none_kept(app: FastAPI) -> None:
    """Clear away the climates that a new store starts with."""
    for kept in app.state.store.climates():
        app.state.store.delete_climate(kept.id)


def saved_id(response: httpx.Response) -> str:
    assert response.status_code == 303
    return response.headers["location"].partition("saved=")[2]


def hidden(text: str, form: str) -> dict[str, str]:
    """The hidden fields of the form with this class or id."""
    [inside] = re.findall(rf'<form [^>]*(?:id|class)="{form}".*?</form>', text, re.DOTALL)
    found = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)"', inside)
    return {name: html.unescape(value) for name, value in found}


def test_the_bare_page_works(client: Any) -> None:
    response = client.get("/climate")
    assert response.status_code == 200
    assert "<h1>Where it will live</h1>" in response.text
    assert "No climate is kept here yet." in response.text


def test_two_moistures_give_dry_wet_and_mid(client: Any) -> None:
    text = client.get("/climate?year=moisture&moisture_dry=6&moisture_wet=11").text
    values = re.findall(r'<dd class="value">([\d.]+)', text)
    assert values == ["6.0", "11.0", "8.5"]
    assert "wet 11.0</text>" in text
    assert "Moisture contents as stated" in text


def test_air_settles_where_the_published_table_says(client: Any) -> None:
    """Wood Handbook FPL-GTR-190, Table 4-2, at 70 °F: 30 % RH gives 6.2 % MC, 65 % RH gives 12.0 % MC."""
    query = "year=air&dry_temperature=21.1&dry_humidity=30&wet_temperature=21.1&wet_humidity=65"
    values = re.findall(r'<dd class="value">([\d.]+)', client.get(f"/climate?{query}").text)
    assert values[:2] == ["6.2", "12.0"]


def test_a_room_explains_where_its_defaults_come_from(client: Any) -> None:
    text = client.get("/climate?year=place").text
    assert "Alev et al. 2015" in text
    assert "chosen by us, no source" in html.unescape(text)
    assert "Kalamees, AIVC 2006" in text


def test_outdoors_names_the_month_only(client: Any) -> None:
    """The mean month's air does not give the mean moisture: it must not stand beside it."""
    text = client.get("/climate?year=outdoors&place=Lisbon").text
    remarks = re.findall(r'<dd class="remark">([^<]*)</dd>', text)
    assert remarks[0] in climate.MONTHS
    assert "Outdoors under cover: moisture is the mean" in html.unescape(text)


def test_the_chart_has_its_numbers_as_a_table(client: Any) -> None:
    text = client.get("/climate?year=outdoors&place=Lisbon").text
    place = climate.find_place("Lisbon")
    rows = re.findall(r'<tr><th scope="row">(\w+)</th>(.*?)</tr>', text)
    assert [name for name, _ in rows] == list(climate.MONTHS)
    cells = [re.findall(r'<td class="num">([\d.-]+)</td>', row) for _, row in rows]
    assert [float(row[2]) for row in cells] == pytest.approx(list(place.moisture), abs=0.05)
    assert f"settled wood from {place.moisture.min():.1f} to {place.moisture.max():.1f} % moisture content" in text


def test_the_table_is_a_file_too(client: Any) -> None:
    response = client.get("/climate.csv?year=months", params=MONTHS | {"year": "months"})
    assert response.headers["content-type"] == "text/csv; charset=utf-8"
    rows = list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"))))
    assert rows[0] == ["Month", "Temperature (°C)", "Relative humidity (%)", "Moisture content (%)"]
    assert len(rows) == 13
    assert rows[1] == ["January", "20.0", "45", "8.5"]


def test_the_file_of_a_refused_year_is_the_page_that_says_so(client: Any) -> None:
    response = client.get("/climate.csv?year=moisture&moisture_dry=99")
    assert response.status_code == 422
    assert "Driest moisture content" in response.text


@pytest.mark.parametrize("chosen", CLIMATES, ids=lambda one: one.kind)
def test_what_is_typed_for_a_climate_reads_back_as_that_climate(app: FastAPI, chosen: AnyClimate) -> None:
    store = app.state.store
    fields = years.specs(store, with_saved=False, with_months=True)
    assert years.build(bind(fields, years.typed(chosen), "mm"), store) == chosen


@pytest.mark.parametrize("chosen", CLIMATES, ids=lambda one: one.kind)
def test_the_address_is_the_whole_question(client: Any, chosen: AnyClimate) -> None:
    text = client.get("/climate", params=years.typed(chosen)).text
    year = chosen.year()
    values = [float(value) for value in re.findall(r'<dd class="value">([\d.]+)', text)]
    assert values == pytest.approx([year.dry, year.wet, year.mid], abs=0.051)
    for name, typed in years.typed(chosen).items():
        assert name == "year" or typed == "" or f'value="{typed}"' in text


def test_twelve_months_start_from_the_room_described(client: Any) -> None:
    text = client.get("/climate?year=months&place=Stockholm&heating=22&dehumidifier=").text
    room = PlaceClimate(place="Stockholm", room=RoomFields(heating_c=22, dehumidifier_pct=None)).year()
    for n in range(12):
        assert f'name="month_{n + 1}_temperature" form="year-form" value="{room.temperature[n]:.1f}"' in text
        assert f'name="month_{n + 1}_humidity" form="year-form" value="{room.humidity[n]:.0f}"' in text


def test_twelve_months_start_even_where_the_room_makes_no_sense(client: Any) -> None:
    response = client.get("/climate?year=months&heating=warm")
    assert response.status_code == 200
    assert 'name="month_1_humidity"' in response.text


def test_months_typed_are_kept_while_another_way_is_looked_at(client: Any) -> None:
    text = client.get("/climate", params={**MONTHS, "year": "moisture", "month_7_humidity": "61"}).text
    assert '<input type="hidden" name="month_7_humidity" value="61">' in text


def test_the_fragment_is_a_part_of_the_page(client: Any, fragment: dict[str, str]) -> None:
    query = "/climate?year=air"
    page, part = client.get(query).text, client.get(query, headers=fragment).text
    assert "<html" not in part
    assert part.startswith("<title>")
    body = part[part.index('<div class="stack" id="sheet">') : part.index('<div id="status"')]
    assert body.strip() in page
    assert 'hx-swap-oob="innerHTML"><p>Dry ' in part


BAD = [
    ({"year": "moisture", "moisture_dry": "0.1"}, "moisture_dry", "0.1", ("0.5", "30 %")),
    ({"year": "moisture", "moisture_dry": "six"}, "moisture_dry", "six", ("is not a number",)),
    ({"year": "air", "dry_humidity": "130"}, "dry_humidity", "130", ("0", "100 %")),
    ({"year": "air", "wet_temperature": "-50"}, "wet_temperature", "-50", ("35", "93.3 °C")),
    ({"year": "air", "wet_temperature": ""}, "wet_temperature", "", ("Fill this in",)),
    ({**MONTHS, "year": "months", "month_4_humidity": "101"}, "month_4_humidity", "101", ("0", "100 %")),
    ({**MONTHS, "year": "months", "month_9_temperature": "x"}, "month_9_temperature", "x", ("is not a temperature",)),
    ({**MONTHS, "year": "months", "month_12_humidity": ""}, "month_12_humidity", "", ("Fill this in",)),
    ({"year": "place", "heating": "50"}, "heating", "50", ("5", "35 °C")),
    ({"year": "place", "surplus": "-1"}, "surplus", "-1", ("0", "15 g/m³")),
    ({"year": "place", "humidifier": "5"}, "humidifier", "5", ("10", "90 %")),
    ({"year": "place", "place": "Atlantis"}, "place", None, ("not in the list",)),
    ({"year": "sundial"}, "year", None, ("Choose one of",)),
]


@pytest.mark.parametrize(("query", "field", "typed", "said"), BAD, ids=lambda value: str(value)[:24])
def test_bad_input_is_refused_at_its_field(
    client: Any, query: dict[str, str], field: str, typed: str | None, said: tuple[str, ...]
) -> None:
    response = client.get("/climate", params=query)
    text = html.unescape(response.text)
    assert response.status_code == 422
    [words] = re.findall(rf'id="{field}-error"><span class="visually-hidden">Error: </span>(.*?)</p>', text)
    assert all(part in words for part in said), words
    assert "everything you typed is still there" in text
    if typed is not None:
        [tag] = re.findall(rf'<input [^>]*id="{field}"[^>]*>', text)
        assert f'value="{typed}"' in tag
        assert 'aria-invalid="true"' in tag


@pytest.mark.parametrize(
    "query",
    [
        "year=moisture&moisture_dry=12&moisture_wet=8",
        "year=air&dry_humidity=70&wet_humidity=40",
        "year=place&place=Bogota&surplus=15&dehumidifier=",
        "year=place&humidifier=70&dehumidifier=40",
    ],
)
def test_a_year_that_cannot_be_is_refused(client: Any, query: str) -> None:
    response = client.get(f"/climate?{query}")
    assert response.status_code == 422
    assert 'id="error-summary"' in response.text


def test_a_name_keeps_the_year_without_a_script(client: Any, app: FastAPI) -> None:
    page = client.get("/climate?year=place&place=Stockholm&heating=21")
    posted = hidden(page.text, "keep") | {"name": "  Hall,   ground floor "}
    id = saved_id(client.post("/climate", data=posted))
    kept = app.state.store.climate(id)
    assert kept.name == "Hall, ground floor"
    assert read_climate(kept.document) == PlaceClimate(place="Stockholm", room=RoomFields(heating_c=21))
    opened = client.get(f"/climate?saved={id}").text
    assert "Kept as “Hall, ground floor”" in opened
    assert 'id="heating" name="heating" value="21"' in opened
    assert "<strong>Changed.</strong>" not in opened


def test_opening_by_its_own_address_leads_to_the_page(client: Any) -> None:
    id = saved_id(client.post("/climate", data={"name": "Hall", "year": "moisture"}))
    assert client.get(f"/climate/{id}").headers["location"] == f"/climate?saved={id}"


def test_a_kept_climate_can_size_a_panel(client: Any) -> None:
    id = saved_id(client.post("/climate", data={**MONTHS, "name": "Hall", "year": "months"}))
    text = html.unescape(client.get(f"/climate?saved={id}").text)
    address = f"/?year=saved&saved_climate={id}"
    assert f'href="{address}"' in text
    assert "between 8.5 and 8.5 % moisture content" in client.get(address).text


def test_a_year_not_kept_sizes_a_panel_by_its_fields(client: Any) -> None:
    text = html.unescape(client.get("/climate?year=air&dry_humidity=33").text)
    [address] = re.findall(r'href="(/\?year=air[^"]*)"', text)
    assert client.get(address).status_code == 200
    assert "dry_humidity=33" in address
    unkept = client.get("/climate", params={**MONTHS, "year": "months"}).text
    assert "Keep it under a name to size a panel for it." in unkept


def test_a_change_shows_until_it_is_saved(client: Any, app: FastAPI) -> None:
    id = saved_id(client.post("/climate", data={"name": "Hall", "year": "moisture", "moisture_dry": "6"}))
    changed = client.get(f"/climate?saved={id}&moisture_dry=7").text
    assert "<strong>Changed.</strong>" in changed
    assert hidden(changed, "keep")["moisture_dry"] == "7"
    posted = hidden(changed, "keep") | {"name": "Corridor"}
    assert saved_id(client.post(f"/climate/{id}", data=posted)) == id
    [kept] = app.state.store.climates()
    assert (kept.id, kept.name) == (id, "Corridor")
    assert read_climate(kept.document) == MoistureClimate(dry_pct=7, wet_pct=11)


BAD_NAMES = [("", "Fill this in"), ("   ", "Fill this in"), ("x" * 81, "80"), ("Hall", "already")]


@pytest.mark.parametrize(("name", "message"), BAD_NAMES, ids=["none", "blank", "long", "taken"])
def test_a_bad_name_is_refused_at_its_field(client: Any, app: FastAPI, name: str, message: str) -> None:
    client.post("/climate", data={"name": "Hall", "year": "moisture"})
    response = client.post("/climate", data={"name": name, "year": "moisture", "moisture_dry": "7.5"})
    assert response.status_code == 422
    [words] = re.findall(r'id="name-error">(.*?)</p>', response.text)
    assert message in words
    assert f'id="name" name="name" value="{name}"' in response.text
    assert 'name="moisture_dry" value="7.5"' in response.text
    assert len(app.state.store.climates()) == 1


def test_a_name_taken_by_another_is_refused_for_a_change_too(client: Any, app: FastAPI) -> None:
    client.post("/climate", data={"name": "Hall", "year": "moisture"})
    id = saved_id(client.post("/climate", data={"name": "Attic", "year": "moisture"}))
    response = client.post(f"/climate/{id}", data={"name": "Hall", "year": "moisture"})
    assert response.status_code == 422
    assert f'action="/climate/{id}"' in response.text
    assert [kept.name for kept in app.state.store.climates()] == ["Attic", "Hall"]


def test_a_bad_year_is_not_kept(client: Any, app: FastAPI) -> None:
    response = client.post("/climate", data={"name": "Hall", "year": "place", "heating": "warm"})
    assert response.status_code == 422
    assert 'id="heating-error"' in response.text
    assert 'id="name" name="name" value="Hall"' in response.text
    assert app.state.store.climates() == []


def test_the_unit_switch_of_a_refused_save_keeps_the_year(client: Any) -> None:
    response = client.post("/climate", data={"name": "", "year": "moisture", "moisture_dry": "7.5"})
    [address] = re.findall(r'<a href="(/climate\?[^"]*unit=in)"', response.text)
    again = client.get(html.unescape(address))
    assert again.status_code == 200
    assert 'name="moisture_dry" value="7.5"' in again.text


@pytest.mark.parametrize("chosen", [*CLIMATES, RECORD], ids=lambda one: one.kind)
def test_a_deleted_climate_can_be_brought_back(client: Any, app: FastAPI, chosen: AnyClimate) -> None:
    kept = app.state.store.save_climate("Hall <1>", chosen.model_dump_json())
    gone = client.post(f"/climate/{kept.id}/delete", data={"back": f"saved={kept.id}"})
    assert gone.status_code == 303
    assert app.state.store.climates() == []
    page = client.get(gone.headers["location"]).text
    assert "“Hall &lt;1&gt;” was deleted." in page
    assert re.findall(r'<dd class="value">([\d.]+)', page)[0] == f"{chosen.year().dry:.1f}"
    assert f'<form class="undo" method="post" action="/climate/{kept.id}/restore">' in page
    assert saved_id(client.post(f"/climate/{kept.id}/restore")) == kept.id
    again = app.state.store.climate(kept.id)
    assert (again.name, read_climate(again.document)) == ("Hall <1>", chosen)


def test_bringing_back_twice_leads_to_the_climate(client: Any) -> None:
    id = saved_id(client.post("/climate", data={"name": "Hall", "year": "moisture"}))
    client.post(f"/climate/{id}/delete")
    for _ in range(2):
        assert saved_id(client.post(f"/climate/{id}/restore")) == id
    assert client.get(f"/climate?saved={id}").status_code == 200


def test_deleting_leaves_the_year_shown_as_it_was(client: Any) -> None:
    id = saved_id(client.post("/climate", data={"name": "Hall", "year": "moisture"}))
    shown = client.get("/climate?year=air&dry_humidity=33").text
    [back] = re.findall(r'name="back" value="([^"]*)"', shown)
    gone = client.post(f"/climate/{id}/delete", data={"back": html.unescape(back) + "&next=https://x.test"})
    assert "x.test" not in gone.headers["location"]
    page = client.get(gone.headers["location"]).text
    assert 'id="dry_humidity" name="dry_humidity" value="33"' in page
    assert "“Hall” was deleted." in page


def test_bringing_back_under_a_name_taken_meanwhile_asks_for_another_and_loses_nothing(
    client: Any, app: FastAPI
) -> None:
    id = saved_id(client.post("/climate", data={"name": "Hall", "year": "moisture", "moisture_dry": "7.5"}))
    client.post(f"/climate/{id}/delete")
    client.post("/climate", data={"name": "Hall", "year": "air"})
    response = client.post(f"/climate/{id}/restore")
    assert response.status_code == 422
    assert 'id="name-error"' in response.text
    assert 'id="moisture_dry" name="moisture_dry" value="7.5"' in response.text
    assert f'id="keep" method="post" action="/climate/{id}/restore">' in response.text
    posted = hidden(response.text, "keep") | {"name": "Hall, old"}
    assert saved_id(client.post(f"/climate/{id}/restore", data=posted)) == id
    assert [kept.name for kept in app.state.store.climates()] == ["Hall", "Hall, old"]


@pytest.mark.parametrize("gone", ["", "{", "nothing", "../x"])
def test_an_offer_to_bring_back_what_is_not_there_is_not_made(client: Any, gone: str) -> None:
    response = client.get(f"/climate?{urlencode({'gone': gone})}")
    assert response.status_code == 200
    assert 'class="undo"' not in response.text


def test_bringing_back_what_was_never_there_is_missing(client: Any) -> None:
    assert client.get(client.post("/climate/nothing/restore").headers["location"]).status_code == 404


# years that were read from a file


def test_a_record_is_shown_and_not_asked_for(client: Any, app: FastAPI) -> None:
    kept = app.state.store.save_climate("Loft", RECORD.model_dump_json())
    text = html.unescape(client.get(f"/climate?saved={kept.id}").text)
    assert "<li>960 of 960 rows are used.</li>" in text
    assert re.findall(r'<dd class="value">([\d.]+)', text) == ["7.0", "11.0", "9.0"]
    assert "of recorded air: wood settles between 7.0 and 11.0 % moisture content." in text
    assert "Dotted: not measured, July, August." in text
    assert '<th scope="row">July (not measured)</th>' in text
    assert "Each point is the mean of five days." in text
    assert 'name="year" value="moisture"' not in text
    assert "<strong>Changed.</strong>" not in text
    assert f'href="/?year=saved&saved_climate={kept.id}"' in text
    assert client.get(f"/climate.csv?year=record&saved={kept.id}").text.count("not measured") == 2


def test_a_record_without_every_day_has_no_chart_of_days(client: Any, app: FastAPI) -> None:
    chosen = RECORD.model_copy(update={"daily_moisture_pct": None})
    kept = app.state.store.save_climate("Loft", chosen.model_dump_json())
    assert "five days" not in client.get(f"/climate?saved={kept.id}").text


def test_a_record_is_renamed_and_kept_as_it_is(client: Any, app: FastAPI) -> None:
    kept = app.state.store.save_climate("Loft", RECORD.model_dump_json())
    posted = hidden(client.get(f"/climate?saved={kept.id}").text, "keep") | {"name": "Attic"}
    assert saved_id(client.post(f"/climate/{kept.id}", data=posted)) == kept.id
    twin = saved_id(client.post("/climate", data=posted | {"name": "Attic, again"}))
    assert [read_climate(app.state.store.climate(id).document) for id in (kept.id, twin)] == [RECORD, RECORD]
    assert app.state.store.climate(kept.id).name == "Attic"


def test_a_record_that_could_not_be_kept_is_still_there(client: Any, app: FastAPI) -> None:
    posted = {"year": "record", "record": RECORD.model_dump_json(), "name": ""}
    response = client.post("/climate", data=posted)
    assert response.status_code == 422
    assert 'id="name-error"' in response.text
    assert "/climate.csv" not in response.text
    again = hidden(response.text, "keep") | {"name": "Loft"}
    assert read_climate(app.state.store.climate(saved_id(client.post("/climate", data=again))).document) == RECORD


@pytest.mark.parametrize(
    "record", ["", "{", '{"kind": "record"}', MoistureClimate(dry_pct=6, wet_pct=8).model_dump_json()]
)
def test_a_record_that_cannot_be_read_is_refused(client: Any, app: FastAPI, record: str) -> None:
    response = client.post("/climate", data={"year": "record", "record": record, "name": "Loft"})
    assert response.status_code == 422
    assert "Choose one of" in response.text
    assert app.state.store.climates() == []


def test_a_record_sizes_a_panel(client: Any, app: FastAPI) -> None:
    kept = app.state.store.save_climate("Loft", RECORD.model_dump_json())
    response = client.get(f"/?year=saved&saved_climate={kept.id}")
    assert response.status_code == 200
    assert "Part of a year of recorded air" in response.text


def test_deleting_another_climate_leaves_the_record_open(client: Any, app: FastAPI) -> None:
    kept = app.state.store.save_climate("Loft", RECORD.model_dump_json())
    other = app.state.store.save_climate("Hall", CLIMATES[0].model_dump_json())
    text = client.get(f"/climate?saved={kept.id}").text
    back = html.unescape(re.findall(r'name="back" value="([^"]*)"', text)[0])
    page = client.get(client.post(f"/climate/{other.id}/delete", data={"back": back}).headers["location"]).text
    assert "Kept as “Loft”" in page
    assert "“Hall” was deleted." in page


def test_what_is_kept_no_longer_is_missing(client: Any) -> None:
    assert client.get("/climate?saved=nothing").status_code == 404
    assert client.post("/climate/nothing/delete").status_code == 404


def test_a_change_made_from_what_others_have_changed_is_told_first(client: Any, app: FastAPI) -> None:
    id = app.state.store.save_climate("Study", MoistureClimate(dry_pct=6, wet_pct=11).model_dump_json()).id

    def form(text: str) -> dict[str, str]:
        return Sent(text.partition('id="keep"')[2]).fields

    stated = {"year": "moisture", "moisture_dry": "6", "moisture_wet": "12"}
    page = client.get("/climate", params={"saved": id}).text
    assert client.post(f"/climate/{id}", data=form(page) | stated).status_code == 303
    response = client.post(f"/climate/{id}", data=form(page) | stated | {"moisture_wet": "13"})
    assert response.status_code == 422
    assert "This climate was changed elsewhere meanwhile" in response.text
    assert json.loads(app.state.store.climate(id).document)["wet_pct"] == 12
    again = form(response.text)
    assert again["moisture_wet"] == "13"
    assert client.post(f"/climate/{id}", data=again).status_code == 303
    assert json.loads(app.state.store.climate(id).document)["wet_pct"] == 13


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (ChangedError(), "This climate was changed elsewhere meanwhile"),
        (MissingError("Study"), "It was deleted meanwhile: save it as a new one."),
    ],
)
def test_what_others_do_while_it_is_kept_is_told(
    client: Any, app: FastAPI, monkeypatch: pytest.MonkeyPatch, error: Exception, told: str
) -> None:
    id = app.state.store.save_climate("Study", MoistureClimate(dry_pct=6, wet_pct=11).model_dump_json()).id

    def beaten(*_: object) -> None:
        raise error

    monkeypatch.setattr(Store, "save_climate", beaten)
    typed = {"name": "Hall", "year": "moisture", "moisture_dry": "6", "moisture_wet": "13"}
    response = client.post(f"/climate/{id}", data=typed)
    assert response.status_code == 422
    assert told in response.text
    assert 'id="name" name="name" value="Hall"' in response.text


def test_a_change_to_what_was_deleted_meanwhile_loses_nothing(client: Any) -> None:
    response = client.post("/climate/nothing", data={"name": "Hall", "year": "moisture", "moisture_dry": "7.5"})
    assert response.status_code == 422
    assert "It was deleted meanwhile: save it as a new one." in response.text
    assert 'id="name" name="name" value="Hall"' in response.text
    assert 'action="/climate"' in response.text


def test_the_kept_climates_are_listed_with_their_extremes(client: Any) -> None:
    client.post("/climate", data={"name": "Hall", "year": "moisture", "moisture_dry": "6", "moisture_wet": "11"})
    text = client.get("/climate").text
    assert ">Hall</a>" in text
    assert "Dry 6.0, wet 11.0, mid 8.5 % MC." in text


def test_the_gap_page_still_asks_for_no_months(client: Any) -> None:
    text = client.get("/").text
    assert "Twelve months" not in text
    assert "month_1_humidity" not in text


def test_the_driest_month_is_chosen_kept_and_shown(client: Any, app: FastAPI) -> None:
    typed = {"year": "air", "dry_humidity": "40", "wet_humidity": "80", "driest_month": "7", "name": "Barn"}
    page = html.unescape(client.get("/climate", params=typed).text)
    assert '<option value="7" selected>July</option>' in page
    assert client.post("/climate", data=typed).status_code == 303
    [kept] = app.state.store.climates()
    year = read_climate(kept.document).year()
    assert (int(year.moisture.argmin()), int(year.moisture.argmax())) == (6, 0)
    opened = html.unescape(client.get(f"/climate?saved={kept.id}").text)
    assert '<option value="7" selected>July</option>' in opened
    refused = client.get("/climate", params=typed | {"driest_month": "13"})
    assert refused.status_code == 422
