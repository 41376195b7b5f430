"""The JSON API's inverse questions: their keys, one number each worked by hand, what they refuse."""

import math
from typing import Any

import pytest

APPLE = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
STOCK = {"species": APPLE, "moisture_now_pct": 10}
YEAR = {"moisture_dry_pct": 6, "moisture_wet_pct": 14}
SHOP = {"kind": "months", "months": [{"temperature_c": 20, "humidity_pct": 40 + 2 * month} for month in range(12)]}

BODIES: dict[str, dict[str, Any]] = {
    "widest": {**STOCK, **YEAR, "groove_depth_mm": 9},
    "survives": {**STOCK, "sight_width_mm": 288, "groove_depth_mm": 8, "panel_width_mm": 300},
    "check": {**STOCK, **YEAR, "sight_width_mm": 290, "groove_depth_mm": 9, "panel_width_mm": 305},
    "months": {**STOCK, **YEAR, "sight_width_mm": 290, "groove_depth_mm": 9, "shop": SHOP, "within_mm": 0.5},
    "savings": {**STOCK, **YEAR, "sight_width_mm": 300, "confidence_pct": 95},
}
KEYS = {
    "widest": "sight_width_mm panel_width_mm notes sources",
    "survives": (
        "humidity_low_pct humidity_high_pct moisture_low_pct moisture_high_pct comes_out_below_humidity_pct "
        "binds_above_humidity_pct comes_out_below_moisture_pct binds_above_moisture_pct temperature_c notes sources"
    ),
    "check": "action plane_off_mm gap_wanted_now_mm rebias_mm panel",
    "months": "now months",
    "savings": "least_groove_depth_mm confidence_pct savings",
}


def ask(still: Any, kind: str, **more: Any) -> Any:
    body = {key: value for key, value in (BODIES[kind] | more).items() if value != "absent"}
    return still.post(f"/api/v1/{kind}", json=body)


@pytest.mark.parametrize("kind", BODIES)
def test_every_question_answers_with_its_keys(still: Any, kind: str) -> None:
    response = ask(still, kind)
    assert response.status_code == 200
    assert set(KEYS[kind].split()) <= response.json().keys()


# By hand in the core's tests: 1.01/0.99; 5.3333 to 13.3333 %; 2.5 mm off; no bias at 10 %; 8.1162 mm without doubt.
def test_one_number_of_each_worked_by_hand(still: Any) -> None:
    assert math.isclose(ask(still, "widest").json()["sight_width_mm"], (16.5 - 8.5 * 101 / 99) / (2 / 99))
    assert math.isclose(ask(still, "survives").json()["moisture_low_pct"], 16 / 3)
    checked = ask(still, "check", making_tolerance_mm=0).json()
    assert checked["action"] == "plane"
    assert math.isclose(checked["plane_off_mm"], 2.5)
    months = ask(still, "months").json()
    assert months["now"]["bias_mm"] == pytest.approx(0, abs=1e-9)
    assert len(months["months"]) == 12
    assert 0 < sum(month["suits"] for month in months["months"]) < 12
    sure = ask(still, "savings", confidence_pct=50).json()
    assert sure["least_groove_depth_mm"] == pytest.approx(8.1162, abs=5e-5)
    assert sure["savings"][0]["name"] == "quartered"


def test_a_confidence_goes_with_a_panel_too(still: Any) -> None:
    body = {**STOCK, **YEAR, "sight_width_mm": 300, "least_gap_mm": 0}
    plain = still.post("/api/v1/panel", json=body).json()
    sure = still.post("/api/v1/panel", json=body | {"confidence_pct": 95}).json()
    told = still.post("/api/v1/panel", json=body | {"spread": {"meter_error_pct": 3}}).json()
    assert sure["least_groove_depth_mm"] > plain["least_groove_depth_mm"] == told["least_groove_depth_mm"]
    assert sure["chance_binds_pct"] < plain["chance_binds_pct"] < told["chance_binds_pct"]
    assert 0 <= plain["chance_comes_out_pct"] <= 100


def test_wood_that_meets_no_season_is_served_any_width_by_null(still: Any) -> None:
    found = ask(still, "widest", moisture_dry_pct=10, moisture_wet_pct=10).json()
    assert found["sight_width_mm"] is None
    assert found["notes"]


@pytest.mark.parametrize(
    ("kind", "more", "field", "low", "high"),
    [
        ("widest", {"groove_depth_mm": 0.5}, "groove_depth_mm", 1, 100),
        ("widest", {"confidence_pct": 49}, "confidence_pct", 50, 99.9),
        ("widest", {"spread": {"natural_variation_pct": 51}}, "spread.natural_variation_pct", 0, 50),
        ("survives", {"panel_width_mm": 5}, "panel_width_mm", 10, 3500),
        ("survives", {"moisture_now_pct": 31}, "moisture_now_pct", 1, 30),
        ("check", {"gap_now_mm": 26}, "gap_now_mm", 0, 25),
        ("months", {"within_mm": 0.01}, "within_mm", 0.05, 10),
        ("savings", {"sight_width_mm": 5}, "sight_width_mm", 10, 3000),
    ],
)
def test_what_is_out_of_range_is_refused(
    still: Any, kind: str, more: dict[str, Any], field: str, low: float, high: float
) -> None:
    response = ask(still, kind, **more)
    assert response.status_code == 422
    refusal = response.json()["detail"][0]
    assert (refusal["field"], refusal["low"], refusal["high"]) == (field, low, high)


@pytest.mark.parametrize(
    ("kind", "more", "said"),
    [
        ("widest", {"groove_depth_mm": "absent"}, "Fill this in"),
        ("check", {"gap_now_mm": 2}, "one of the two"),
        ("check", {"panel_width_mm": "absent", "gap_now_mm": 25, "sight_width_mm": 20}, "Panel width"),
        ("check", {"moisture_now_pct": "absent"}, "one of the two"),
        ("months", {"shop": {"kind": "moisture", "dry_pct": 0.5, "wet_pct": 0.5}}, "Moisture content today"),
        ("savings", {"bogus": 1}, "no field of this name"),
    ],
)
def test_what_makes_no_sense_is_refused_in_words(still: Any, kind: str, more: dict[str, Any], said: str) -> None:
    response = ask(still, kind, **more)
    assert response.status_code == 422
    assert said in response.text
