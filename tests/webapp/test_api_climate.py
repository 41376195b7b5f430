"""The JSON API's climate from a file: the year, how the file was read, refusals in the shared shape."""

import json
from typing import Any

import pytest
import record_cases

from movement import hygrometer, weather
from movement.climate import Room
from movement.layout import Options
from movement.parts.climates import RecordClimate

ADDRESS = "/api/v1/climate/file"
PLAIN = record_cases.plain()
EPW = record_cases.epw()


@pytest.fixture
def client(still: Any) -> Any:
    return still


def send(client: Any, content: bytes, name: str = "log.csv", **fields: str) -> Any:
    return client.post(ADDRESS, files={"file": (name, content)}, data=fields)


def refusal(response: Any) -> Any:
    """The one refusal of an answer."""
    assert response.status_code == 422, response.text
    [one] = response.json()["detail"]
    assert set(one) == {"field", "message", "value", "low", "high", "unit", "source"}
    return one


@pytest.mark.parametrize("style", record_cases.STYLES)
def test_a_log_makes_a_year(client: Any, style: str) -> None:
    content = record_cases.STYLES[style][0]()
    answer = send(client, content).json()
    found = hygrometer.read(content)
    year = found.record().climate
    assert (answer["dry_pct"], answer["wet_pct"]) == pytest.approx((year.dry, year.wet), abs=0.005)
    assert answer["mid_pct"] == pytest.approx((answer["dry_pct"] + answer["wet_pct"]) / 2)
    assert [month["moisture_pct"] for month in answer["months"]] == pytest.approx(list(year.moisture), abs=0.005)
    assert answer["sources"][0] == "Air: a hygrometer's log"
    told, known = answer["understood"], found.understood
    assert told["kind"] == "log"
    assert (told["encoding"], told["separator"], told["decimal"]) == (known.encoding, known.separator, known.decimal)
    assert told["temperature_unit"] == known.unit[1]
    assert [one["name"] for one in told["columns"]] == [one.name for one in known.columns]
    assert (told["rows"], told["rows_used"], told["rows_left_out"]) == (720, 720, [])
    assert (told["first"], told["last"]) == ("2024-03-01T00:00:00", "2024-03-30T23:00:00")
    assert told["interval_minutes"] == 60
    assert told["covered"] == pytest.approx(720 / 8760)
    assert len(told["months_covered"]) == 12


def test_rows_left_out_and_gaps_are_told(client: Any) -> None:
    lines = record_cases.plain(days=60).decode().split("\n")
    lines[10] = lines[10].rpartition(",")[0] + ",170"
    del lines[400:700]
    told = send(client, "\n".join(lines).encode()).json()["understood"]
    assert told["rows_left_out"] == [{"why": "a humidity above 100 %", "rows": 1, "first_line": 11}]
    assert told["gap_count"] == 1
    assert told["gaps"][0]["days"] == pytest.approx(301 / 24)
    assert any("No readings in January" in text for text in told["warnings"])


def test_a_log_is_read_as_it_is_told(client: Any) -> None:
    lines = PLAIN.decode().split("\n")
    log = "\n".join(["when,warm,damp,other", *(f"{line},44" for line in lines[1:])]).encode()
    fields = {
        "kind": "log",
        "temperature_unit": "F",
        "day_first": "true",
        "time_column": "when",
        "temperature_column": "2",
        "humidity_column": "other",
        "dry_percentile": "10",
        "wet_percentile": "80",
    }
    answer = send(client, log, **fields).json()
    options = Options(unit="°F", day_first=True, time="when", temperature="2", humidity="other")
    year = hygrometer.read(log, options).record((10.0, 80.0)).climate
    assert (answer["dry_pct"], answer["wet_pct"]) == pytest.approx((year.dry, year.wet), abs=0.005)
    assert answer["understood"]["temperature_unit_why"] == "as chosen"


@pytest.mark.parametrize("room", [None, {"heating_c": 22, "surplus_g_m3": 3, "dehumidifier_pct": None}])
def test_a_weather_file_makes_a_year_outdoors_or_in_a_room(client: Any, room: Any) -> None:
    answer = send(client, EPW, "town.epw", **({"room": json.dumps(room)} if room else {})).json()
    inside = Room(heating=22.0, surplus=3.0, dehumidifier=None) if room else None
    year = weather.read(EPW).record(inside).climate
    assert (answer["dry_pct"], answer["wet_pct"]) == pytest.approx((year.dry, year.wet), abs=0.005)
    told = answer["understood"]
    assert (told["kind"], told["city"], told["country"]) == ("epw", "Harbour Town", "XYZ")
    assert (told["latitude_deg"], told["longitude_deg"], told["elevation_m"]) == (57.2, -2.22, 65.0)
    assert (told["hours"], told["hours_known"]) == (8760, 8760)


def test_the_record_is_a_climate_wherever_one_is_asked_for(client: Any) -> None:
    answer = send(client, PLAIN).json()
    record = answer["record"]
    assert record["kind"] == "record"
    assert [month["measured"] for month in record["months"]] == [month == 2 for month in range(12)]
    again = client.post("/api/v1/climate", json=record)
    assert again.status_code == 200
    assert again.json() == {key: answer[key] for key in again.json()}
    panel = {"species": "Cherry, black", "sight_width_mm": 300, "moisture_now_pct": 8, "climate": record}
    assert client.post("/api/v1/panel", json=panel).status_code == 200
    assert RecordClimate.model_validate(record).year().dry == answer["dry_pct"]


def test_nothing_is_kept(client: Any) -> None:
    before = client.app.state.store.climates()
    send(client, PLAIN)
    assert client.app.state.store.climates() == before
    assert not client.app.state.settings.uploads.exists()


REFUSED = [
    ({"humidity_column": "dampness"}, "humidity_column", "no column “dampness”"),
    ({"time_column": "9"}, "time_column", "no column “9”"),
    ({"clock_column": "x"}, "clock_column", "no column “x”"),
    ({"temperature_column": "3", "humidity_column": "3"}, "humidity_column", "same column"),
    ({"kind": "epw"}, "file", "Line 1: This is no weather file"),
    ({"kind": "csv"}, "kind", "Choose one of"),
    ({"temperature_unit": "K"}, "temperature_unit", "Choose one of"),
    ({"day_first": "perhaps"}, "day_first", "true or false"),
    ({"room": "{}"}, "room", "A log has the air of its own room"),
    ({"colour": "red"}, "colour", "no field of this name"),
]


@pytest.mark.parametrize(("fields", "field", "said"), REFUSED, ids=lambda one: str(one)[:30])
def test_what_is_wrong_is_told_at_its_field(client: Any, fields: dict[str, str], field: str, said: str) -> None:
    one = refusal(send(client, PLAIN, **fields))
    assert one["field"] == field
    assert said in one["message"]


@pytest.mark.parametrize(("name", "low", "high"), [("dry_percentile", 0, 49), ("wet_percentile", 51, 100)])
def test_a_percentile_out_of_range_gets_the_range(client: Any, name: str, low: float, high: float) -> None:
    one = refusal(send(client, PLAIN, **{name: "50"}))
    assert (one["field"], one["value"], one["low"], one["high"], one["unit"]) == (name, "50", low, high, "%")
    assert one["source"]


def test_a_room_is_refused_with_its_ranges(client: Any) -> None:
    one = refusal(send(client, EPW, "a.epw", room='{"heating_c": 50}'))
    assert (one["field"], one["value"], one["low"], one["high"]) == ("room.heating_c", 50, 5, 35)
    assert refusal(send(client, EPW, "a.epw", room="heated"))["field"] == "room"
    dripping = {"heating_c": 5, "cooling_c": 10, "surplus_g_m3": 10, "dehumidifier_pct": None}
    one = refusal(send(client, record_cases.epw(mean=20.0), "a.epw", room=json.dumps(dripping)))
    assert (one["field"], one["low"], one["high"], one["unit"]) == ("room", 0, 100, "%")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "The file is empty."),
        (b"PK\x03\x04" + bytes(100), "compressed file"),
        (bytes(range(256)) * 100, "not a log in plain text"),
        (record_cases.plain(days=3), "allowed is 126 to 168 h"),
    ],
    ids=["empty", "archive", "binary", "short"],
)
def test_a_file_that_cannot_be_used_is_refused(client: Any, content: bytes, said: str) -> None:
    one = refusal(send(client, content))
    assert one["field"] == "file"
    assert said in one["message"]


@pytest.mark.parametrize(
    "sending",
    [
        {"data": {"kind": "log"}},
        {"json": {"kind": "log"}},
        {"content": PLAIN},
        {"files": {"kind": (None, "log")}},
    ],
    ids=["form", "json", "bare", "parts"],
)
def test_a_request_without_a_file_is_refused_at_the_file(client: Any, sending: Any) -> None:
    assert refusal(client.post(ADDRESS, **sending))["field"] == "file"


def test_text_in_place_of_a_file_is_refused(client: Any) -> None:
    one = refusal(client.post(ADDRESS, files={"file": (None, PLAIN)}))
    assert (one["field"], one["message"]) == ("file", "Send the file itself, as a part of the form with a file name.")


@pytest.mark.parametrize("kind", ["log", "epw"])
def test_a_file_described_in_json_is_sent_to_the_right_address(client: Any, kind: str) -> None:
    one = refusal(client.post("/api/v1/climate", json={"kind": kind}))
    assert one["field"] == "kind"
    assert ADDRESS in one["message"]
    panel = {"species": "Cherry, black", "sight_width_mm": 300, "moisture_now_pct": 8, "climate": {"kind": kind}}
    one = refusal(client.post("/api/v1/panel", json=panel))
    assert (one["field"], one["value"]) == ("climate.kind", kind)
    assert ADDRESS in one["message"]


def test_the_document_tells_the_form(client: Any) -> None:
    document = client.get("/api/v1/openapi.json").json()
    operation = document["paths"][ADDRESS]["post"]
    [(kind, content)] = operation["requestBody"]["content"].items()
    assert kind == "multipart/form-data"
    form = document["components"]["schemas"][content["schema"]["$ref"].rpartition("/")[2]]
    assert form["required"] == ["file"]
    assert form["properties"]["file"]["contentMediaType"] == "application/octet-stream"
    assert form["properties"]["dry_percentile"]["maximum"] == 49
    assert "null" not in json.dumps(form["properties"])
    answer = operation["responses"]["200"]["content"]["application/json"]["schema"]
    assert answer == {"$ref": "#/components/schemas/RecordedYear"}
