"""The JSON API as it is described: every key, and a refusal with its range for everything that is not allowed."""

import csv
import io
import json
import math
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from movement import species
from movement.fits.panel import HOLDS

API = "/api/v1"
AIR = {"temperature_c": 20.0, "humidity_pct": 45.0}
RANGE = {"kind": "range", "dry": {**AIR, "humidity_pct": 30}, "wet": {**AIR, "humidity_pct": 65}}
MONTHS = {"kind": "months", "months": [{**AIR, "humidity_pct": 30 + 3 * month} for month in range(12)]}
ROOM = {"heating_c": 20, "cooling_c": 25, "surplus_g_m3": 2, "humidifier_pct": None, "dehumidifier_pct": 60}
PLACE = {"kind": "place", "place": "Chicago", "room": ROOM}
OUTDOORS = {"kind": "place", "place": "Chicago", "room": None}
MOISTURE = {"kind": "moisture", "dry_pct": 6, "wet_pct": 11}
PANEL = {
    "species": "Cherry, black",
    "ring_angle_deg": 0,
    "sight_width_mm": 300,
    "hold": "centred",
    "moisture_now_pct": 8,
    "moisture_dry_pct": 6,
    "moisture_wet_pct": 11,
    "groove_depth_mm": None,
    "cutter_step_mm": 1,
    "least_engagement_mm": 4,
    "least_gap_mm": 0.5,
    "making_tolerance_mm": 0.5,
    "panel_width_mm": None,
}
PIECE = {
    "name": "Dresser",
    "climate": PLACE,
    "frames": [
        {
            "id": "side",
            "name": "Left side",
            "panels": [
                {"id": "upper", "name": "Upper", "sight_width_mm": 300, "sight_height_mm": 400},
                {"id": "lower", "name": "=1+1", "sight_width_mm": 340, "sight_height_mm": 500, "count": 2},
            ],
        }
    ],
}
REFUSED = {"field", "message", "value", "low", "high", "unit", "source"}


@pytest.fixture
def client(still: Any) -> Any:
    return still


def without(document: dict[str, Any], *keys: str) -> dict[str, Any]:
    return {key: value for key, value in document.items() if key not in keys}


def refused(response: Any, status: int = 422) -> list[dict[str, Any]]:
    assert response.status_code == status
    detail: list[dict[str, Any]] = response.json()["detail"]
    assert detail
    for one in detail:
        assert set(one) == REFUSED
        assert one["message"][-1] in ".?"
    return detail


# what is described is there


def test_emc_has_every_key(client: Any) -> None:
    found = client.get(f"{API}/emc", params={"temperature_c": 21.1, "humidity_pct": 50}).json()
    assert set(found) == {"moisture_pct", "extrapolated", "source"}
    # Wood Handbook FPL-GTR-190 Table 4-2 (reference/emc_table_4_2.csv, seen): 9.2 % at 70 °F and 50 % RH
    assert round(found["moisture_pct"], 1) == 9.2
    assert found["extrapolated"] is False
    assert "eq. 4-5" in found["source"]


def test_emc_of_very_cold_air_is_marked(client: Any) -> None:
    assert client.get(f"{API}/emc", params={"temperature_c": -10, "humidity_pct": 50}).json()["extrapolated"] is True


def test_every_species_is_listed_with_every_key(client: Any) -> None:
    found = client.get(f"{API}/species").json()
    assert [one["name"] for one in found] == [one.name for one in species.catalogue()]
    [cherry] = [one for one in found if one["name"] == "Cherry, black"]
    assert set(cherry) == {
        "name",
        "botanical_name",
        "group",
        "other_names",
        "coefficient_radial",
        "coefficient_tangential",
        "start_of_shrinkage_pct",
        "published",
        "notes",
        "sources",
    }
    assert cherry["botanical_name"] == "Prunus serotina"
    # Wood Handbook FPL-GTR-190 Table 13-5 (reference/shrinkage.csv)
    assert (cherry["coefficient_radial"], cherry["coefficient_tangential"]) == (0.00126, 0.00248)
    assert all(one["sources"] and one["coefficient_tangential"] > 0 for one in found)


def test_species_can_be_searched(client: Any) -> None:
    found = client.get(f"{API}/species", params={"search": "serotina"}).json()
    assert found[0]["name"] == "Cherry, black"
    assert client.get(f"{API}/species", params={"search": "unobtainium"}).json() == []


@pytest.mark.parametrize("chosen", [RANGE, MONTHS, PLACE, OUTDOORS, MOISTURE])
def test_a_climate_of_every_kind_has_every_key(client: Any, chosen: dict[str, Any]) -> None:
    year = client.post(f"{API}/climate", json=chosen).json()
    assert set(year) == {"months", "dry_pct", "wet_pct", "mid_pct", "notes", "sources"}
    assert len(year["months"]) == 12
    assert all(set(month) == {"temperature_c", "humidity_pct", "moisture_pct"} for month in year["months"])
    assert year["mid_pct"] == pytest.approx((year["dry_pct"] + year["wet_pct"]) / 2)
    assert year["dry_pct"] <= min(month["moisture_pct"] for month in year["months"]) + 1e-6
    assert year["sources"]


def test_the_moisture_of_a_month_is_that_of_its_air(client: Any) -> None:
    for month in client.post(f"{API}/climate", json=RANGE).json()["months"]:
        air = {key: month[key] for key in ("temperature_c", "humidity_pct")}
        assert client.get(f"{API}/emc", params=air).json()["moisture_pct"] == pytest.approx(month["moisture_pct"])


RESULT = {
    "fits",
    "groove_depth_mm",
    "least_groove_depth_mm",
    "panel_width_mm",
    "panel_width_min_mm",
    "panel_width_max_mm",
    "gap_now_mm",
    "gap_mid_mm",
    "gap_dry_mm",
    "gap_wet_mm",
    "engagement_now_mm",
    "engagement_dry_mm",
    "width_dry_mm",
    "width_wet_mm",
    "bias_mm",
    "bias",
    "advice",
    "sources",
}


@pytest.mark.parametrize("hold", HOLDS)
def test_a_panel_has_every_key(client: Any, hold: str) -> None:
    found = client.post(f"{API}/panel", json=PANEL | {"hold": hold}).json()
    assert set(found) >= RESULT
    assert found["fits"] is True
    assert found["bias"] in ("looser", "tighter", "neutral")
    assert found["sources"]
    numbers = [value for key, value in found.items() if key.endswith("_mm") and value is not None]
    assert all(isinstance(value, float) and math.isfinite(value) for value in numbers)


def test_a_panel_keeps_its_clearances(client: Any) -> None:
    found = client.post(f"{API}/panel", json=PANEL).json()
    assert found["engagement_dry_mm"] >= 4.0
    assert found["gap_wet_mm"] >= 0.5
    assert found["groove_depth_mm"] >= found["least_groove_depth_mm"]
    assert found["panel_width_min_mm"] <= found["panel_width_mm"] <= found["panel_width_max_mm"]


@pytest.mark.parametrize("chosen", [RANGE, MONTHS, PLACE, OUTDOORS, MOISTURE])
def test_a_panel_takes_a_climate_in_place_of_moistures(client: Any, chosen: dict[str, Any]) -> None:
    asked = without(PANEL, "moisture_dry_pct", "moisture_wet_pct") | {"climate": chosen}
    found = client.post(f"{API}/panel", json=asked).json()
    year = client.post(f"{API}/climate", json=chosen).json()
    assert found["moisture_dry_pct"] == pytest.approx(min(8.0, year["dry_pct"]))
    assert found["moisture_wet_pct"] == pytest.approx(max(8.0, year["wet_pct"]))


def test_a_panel_that_is_given_is_checked_and_told_what_would_mend_it(client: Any) -> None:
    found = client.post(f"{API}/panel", json=PANEL | {"groove_depth_mm": 5, "panel_width_mm": 309}).json()
    assert (found["fits"], found["groove_depth_mm"], found["panel_width_mm"]) == (False, 5, 309)
    assert found["advice"]


def test_a_panel_of_a_species_of_ones_own(client: Any) -> None:
    own = {"name": "Apple", "coefficient_radial": 0.0019, "coefficient_tangential": 0.0036}
    found = client.post(f"{API}/panel", json=PANEL | {"species": own}).json()
    assert found["coefficient_across"] == pytest.approx(0.0036)


def test_only_what_is_needed_must_be_sent(client: Any) -> None:
    asked = {key: PANEL[key] for key in ("species", "sight_width_mm", "moisture_now_pct")} | {"climate": MOISTURE}
    full = without(PANEL, "moisture_dry_pct", "moisture_wet_pct") | {"climate": MOISTURE}
    assert client.post(f"{API}/panel", json=asked).json() == client.post(f"{API}/panel", json=full).json()


def test_a_piece_gives_its_gap_table_as_rows(client: Any) -> None:
    found = client.post(f"{API}/piece", json=PIECE).json()
    assert found["name"] == "Dresser"
    assert [row["part"] for row in found["rows"]] == ["Upper", "=1+1"]
    assert len({row["groove_depth_mm"] for row in found["rows"]}) == 1
    assert all(row["fits"] is True and row["cut_width_mm"] > 300 for row in found["rows"])


def test_a_piece_gives_its_gap_table_as_csv(client: Any) -> None:
    rows = client.post(f"{API}/piece", json=PIECE).json()["rows"]
    response = client.post(f"{API}/piece", json=PIECE, headers={"Accept": "text/csv"})
    assert response.headers["content-type"] == "text/csv; charset=utf-8"
    table = list(csv.DictReader(io.StringIO(response.text)))
    assert [line["Part"] for line in table] == ["Upper", "'=1+1"]
    for line, row in zip(table, rows, strict=True):
        assert float(line["Width to cut (mm)"]) == pytest.approx(row["cut_width_mm"], abs=0.005)


def test_the_demo_piece_s_own_file_is_taken(client: Any) -> None:
    [kept] = client.app.state.store.pieces()
    found = client.post(f"{API}/piece", json=json.loads(kept.document))
    assert found.status_code == 200
    assert found.json()["rows"]


# what is not allowed


@pytest.mark.parametrize(
    ("query", "field", "low", "high", "unit"),
    [
        ({"temperature_c": "200", "humidity_pct": "50"}, "temperature_c", -35, 93.3, "°C"),
        ({"temperature_c": "20", "humidity_pct": "120"}, "humidity_pct", 0, 100, "%"),
        ({"temperature_c": "20", "humidity_pct": "-1"}, "humidity_pct", 0, 100, "%"),
        ({"temperature_c": "20", "humidity_pct": "nan"}, "humidity_pct", 0, 100, "%"),
        ({"temperature_c": "20", "humidity_pct": "inf"}, "humidity_pct", 0, 100, "%"),
        ({"temperature_c": "20", "humidity_pct": "1e400"}, "humidity_pct", 0, 100, "%"),
        ({"temperature_c": "20", "humidity_pct": "damp"}, "humidity_pct", 0, 100, "%"),
        ({"temperature_c": "20", "humidity_pct": ""}, "humidity_pct", 0, 100, "%"),
        ({"temperature_c": "20"}, "humidity_pct", 0, 100, "%"),
    ],
)
def test_air_out_of_range_is_refused_with_the_range(
    client: Any, query: dict[str, str], field: str, low: float, high: float, unit: str
) -> None:
    [one] = refused(client.get(f"{API}/emc", params=query))
    assert (one["field"], one["low"], one["high"], one["unit"]) == (field, low, high, unit)
    assert one["source"]


@pytest.mark.parametrize(
    ("path", "document", "field", "value", "low", "high", "unit"),
    [
        ("climate", RANGE | {"dry": {**AIR, "humidity_pct": 120}}, "dry.humidity_pct", 120, 0, 100, "%"),
        ("climate", RANGE | {"dry": {"temperature_c": 20}}, "dry.humidity_pct", None, 0, 100, "%"),
        (
            "climate",
            MONTHS | {"months": [*MONTHS["months"][:3], {**AIR, "temperature_c": 99}, *MONTHS["months"][4:]]},  # type: ignore[index]
            "months.3.temperature_c",
            99,
            -35,
            93.3,
            "°C",
        ),
        ("climate", MONTHS | {"months": MONTHS["months"][:11]}, "months", None, 12, 12, "entries"),  # type: ignore[index]
        ("climate", PLACE | {"room": ROOM | {"surplus_g_m3": 99}}, "room.surplus_g_m3", 99, 0, 15, "g/m³"),
        ("climate", PLACE | {"room": ROOM | {"cooling_c": 15}}, "room.cooling_c", 15, 20, 35, "°C"),
        ("climate", MOISTURE | {"dry_pct": 12}, "wet_pct", 11, 12, 30, "%"),
        ("panel", PANEL | {"sight_width_mm": 5}, "sight_width_mm", 5, 10, 3000, "mm"),
        ("panel", PANEL | {"moisture_wet_pct": 4}, "moisture_wet_pct", 4, 6, 30, "%"),
        ("panel", without(PANEL, "sight_width_mm"), "sight_width_mm", None, 10, 3000, "mm"),
        ("panel", PANEL | {"sight_width_mm": "wide"}, "sight_width_mm", "wide", 10, 3000, "mm"),
        ("panel", PANEL | {"sight_width_mm": "300"}, "sight_width_mm", "300", 10, 3000, "mm"),
        ("panel", PANEL | {"moisture_now_pct": True}, "moisture_now_pct", True, 1, 30, "%"),
        ("panel", PANEL | {"cutter_depths_mm": [6, 200]}, "cutter_depths_mm.1", 200, 1, 100, "mm"),
        ("panel", PANEL | {"width_step_mm": 1e-9}, "width_step_mm", 1e-9, 1e-6, 1e6, "mm"),
        (
            "panel",
            without(PANEL, "moisture_dry_pct", "moisture_wet_pct")
            | {"climate": RANGE | {"dry": {**AIR, "humidity_pct": 120}}},
            "climate.dry.humidity_pct",
            120,
            0,
            100,
            "%",
        ),
        (
            "piece",
            PIECE | {"frames": [{"id": "a", "panels": [{"id": "b", "sight_width_mm": 1}]}]},
            "frames.0.panels.0.sight_width_mm",
            1,
            10,
            3000,
            "mm",
        ),
    ],
)
def test_a_number_out_of_range_is_refused_with_the_range(
    client: Any, path: str, document: Any, field: str, value: Any, low: float, high: float, unit: str
) -> None:
    [one] = refused(client.post(f"{API}/{path}", json=document))
    assert one == one | {"field": field, "value": value, "low": low, "high": high, "unit": unit}
    assert one["source"]


@pytest.mark.parametrize(
    ("path", "document", "field", "said"),
    [
        ("panel", PANEL | {"species": "Chery"}, "species", "Cherry, black"),
        ("panel", PANEL | {"species": ""}, "species", "Allowed is 1 to 120 characters"),
        ("panel", PANEL | {"hold": "glued"}, "hold", "centred"),
        ("panel", PANEL | {"colour": "red"}, "colour", "no field of this name"),
        ("panel", PANEL | {"climate": MOISTURE}, "", "not both"),
        ("panel", without(PANEL, "moisture_dry_pct"), "", "both the driest and the wettest"),
        ("climate", {"kind": "place", "place": "Atlantis"}, "place", "Chicago"),
        ("climate", {"kind": "weather"}, "kind", "'range'"),
        ("climate", {"dry_pct": 6, "wet_pct": 11}, "kind", "which kind"),
        ("climate", MOISTURE | {"kind": "range"}, "dry", "Fill this in"),
        ("piece", without(PIECE, "name"), "name", "Fill this in"),
        ("piece", PIECE | {"version": 2}, "version", "1"),
        ("piece", PIECE | {"format": "another"}, "format", "seasonal-panel-fit/piece"),
        ("piece", PIECE | {"frames": [{"id": "a"}, {"id": "a"}]}, "", "used twice: a"),
        ("piece", PIECE | {"frames": [{"id": "a b"}]}, "frames.0.id", "pattern"),
        ("piece", PIECE | {"name": "x" * 81}, "name", "1 to 80 characters"),
    ],
)
def test_other_refusals_say_where_and_why(client: Any, path: str, document: Any, field: str, said: str) -> None:
    found = {one["field"]: one["message"] for one in refused(client.post(f"{API}/{path}", json=document))}
    assert said in found[field]


@pytest.mark.parametrize("path", ["climate", "panel", "piece"])
@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", 422),
        (b"{", 422),
        (b"null", 422),
        (b"[]", 422),
        (b"3", 422),
        (b'"text"', 422),
        (b"\xff\xfe{}", 422),
        (b'{"a": "\xff"}', 400),
        (b"[" * 100_000, 400),
        (b'{"a":' * 100_000, 400),
        (b'{"kind": "place", "place": "\\ud800"}', 422),
        (b'{"kind": "\\ud800"}', 422),
        (b'{"\\ud800": 1}', 422),
        (b'{"kind": "moisture", "dry_pct": NaN, "wet_pct": 11}', 422),
        (b'{"kind": "moisture", "dry_pct": 1e400, "wet_pct": 11}', 422),
        (b'{"kind": "moisture", "dry_pct": %s, "wet_pct": 11}' % (b"9" * 4000), 422),
        (b'{"kind": "moisture", "dry_pct": %s, "wet_pct": 11}' % (b"9" * 5000), 400),
    ],
)
def test_a_body_that_cannot_be_used_is_refused_in_the_same_shape(
    client: Any, path: str, body: bytes, status: int
) -> None:
    response = client.post(f"{API}/{path}", content=body, headers={"Content-Type": "application/json"})
    refused(response, status)


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""])
def test_a_body_of_another_type_is_refused(client: Any, kind: str) -> None:
    headers = {"Content-Type": kind} if kind else {}
    response = client.post(f"{API}/climate", content=json.dumps(MOISTURE).encode(), headers=headers)
    [one] = refused(response)
    assert "application/json" in one["message"]


def test_a_key_that_is_sent_twice_is_read_once(client: Any) -> None:
    body = b'{"kind": "moisture", "dry_pct": 99, "dry_pct": 6, "wet_pct": 11}'
    response = client.post(f"{API}/climate", content=body, headers={"Content-Type": "application/json"})
    assert response.json()["dry_pct"] == 6


def test_an_address_that_is_not_there_is_told_in_the_same_shape(client: Any) -> None:
    refused(client.get(f"{API}/nothing"), 404)
    refused(client.post(f"{API}/panel/more", json={}), 404)


def test_another_method_is_told_in_the_same_shape(client: Any) -> None:
    response = client.get(f"{API}/panel")
    refused(response, 405)
    assert response.headers["allow"] == "POST"


def test_head_is_answered_as_get_without_the_body(client: Any) -> None:
    head, get = (client.request(method, f"{API}/species") for method in ("HEAD", "GET"))
    assert (head.status_code, head.content) == (200, b"")
    for name in ("etag", "content-type", "content-length"):
        assert head.headers[name] == get.headers[name]


# nothing fails, and nothing is infinite

lengths = st.floats(-10, 4000) | st.sampled_from([0.0, 1e-300, 1e300, 10.0, 3000.0])
maybe = st.none() | lengths


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    sight=st.floats(10, 3000),
    now=st.floats(1, 30),
    years=st.tuples(st.floats(0, 40), st.floats(0, 40)),
    hold=st.sampled_from(HOLDS),
    angle=st.floats(0, 90),
    groove=maybe,
    width=maybe,
    step=maybe,
    tolerance=st.floats(0, 10),
    wood=st.sampled_from([one.name for one in species.catalogue()]),
)
def test_a_panel_is_sized_or_refused_and_never_infinite(
    client: Any,
    sight: float,
    now: float,
    years: tuple[float, float],
    hold: str,
    angle: float,
    groove: float | None,
    width: float | None,
    step: float | None,
    tolerance: float,
    wood: str,
) -> None:
    asked = PANEL | {
        "species": wood,
        "ring_angle_deg": angle,
        "sight_width_mm": sight,
        "hold": hold,
        "moisture_now_pct": now,
        "moisture_dry_pct": min(years),
        "moisture_wet_pct": max(years),
        "groove_depth_mm": groove,
        "panel_width_mm": width,
        "cutter_step_mm": 0.5,
        "making_tolerance_mm": tolerance,
        "width_step_mm": step,
    }
    response = client.post(f"{API}/panel", json=asked)
    if response.status_code == 200:
        found = response.json()
        assert all(math.isfinite(value) for value in found.values() if isinstance(value, float))
        assert found["fits"] or found["advice"]
    else:
        assert all(one["field"] and one["low"] is not None for one in refused(response))
