"""The JSON API's board: its keys, the core's own numbers, what it refuses and where."""

from typing import Any

import pytest

from movement.parts import endgrain
from movement.parts.endgrain import BoardRequest, BoardResult

BOARD: dict[str, Any] = {
    "species": "Cherry, black",
    "width_mm": 180.0,
    "thickness_mm": 22.0,
    "rings": {"kind": "edges", "ring_left_deg": 40.0, "ring_right_deg": 30.0},
    "moisture_now_pct": 9.0,
    "moisture_dry_pct": 6.0,
    "moisture_wet_pct": 11.0,
}
CHORD = {"kind": "chord", "ring_chord_mm": 60.0, "ring_rise_mm": 4.0}


def ask(still: Any, status: int = 200, **more: Any) -> Any:
    answer = still.post("/api/v1/board", json=BOARD | more)
    assert answer.status_code == status, answer.text
    return answer.json()


def refusal(still: Any, **more: Any) -> Any:
    [one] = ask(still, 422, **more)["detail"]
    return one


def test_it_answers_what_the_core_answers(still: Any) -> None:
    found = ask(still)
    assert found.keys() == BoardResult.model_fields.keys()
    assert found == endgrain.result(BoardRequest.model_validate(BOARD)).model_dump()


@pytest.mark.parametrize(
    "rings",
    [
        {"kind": "straight", "ring_angle_deg": 90.0},
        {"kind": "heart", "heart_depth_mm": 150.0, "heart_offset_mm": -30.0},
        {"kind": "heart", "heart_depth_mm": 15.0, "heart_offset_mm": 200.0},
        CHORD,
        CHORD | {"heart_offset_mm": 20.0},
        {"kind": "edges", "ring_left_deg": 80.0, "ring_right_deg": 70.0, "course": "leaning"},
    ],
)
def test_every_way_to_tell_the_rings_is_taken(still: Any, rings: dict[str, Any]) -> None:
    found = ask(still, rings=rings)
    assert found["coefficient_radial"] <= found["coefficient_across"] <= found["coefficient_tangential"]
    assert len(found["ripped"]) == 5
    assert len(found["glued"]) == 9


def test_a_climate_brings_its_sources(still: Any) -> None:
    body = {key: value for key, value in BOARD.items() if key not in ("moisture_dry_pct", "moisture_wet_pct")}
    answer = still.post("/api/v1/board", json=body | {"climate": {"kind": "place", "place": "Chicago", "room": {}}})
    assert answer.status_code == 200
    assert len(answer.json()["sources"]) > len(ask(still)["sources"])


@pytest.mark.parametrize(
    ("wrong", "field", "low", "high"),
    [
        ({"width_mm": 9.0}, "width_mm", 10, 1500),
        ({"thickness_mm": 0.5}, "thickness_mm", 1, 300),
        ({"boards": 13}, "boards", 2, 12),
        ({"tongue_thickness_mm": 23.0}, "tongue_thickness_mm", 1, 22),
        ({"rings": {"kind": "straight", "ring_angle_deg": 91.0}}, "rings.ring_angle_deg", 0, 90),
        ({"rings": {"kind": "heart", "heart_depth_mm": 0.0}}, "rings.heart_depth_mm", 1, 2000),
        ({"rings": CHORD | {"heart_offset_mm": 1001.0}}, "rings.heart_offset_mm", -1000, 1000),
        ({"rings": CHORD | {"ring_rise_mm": 31.0}}, "rings.ring_rise_mm", 0.1, 30),
        ({"rings": {"kind": "heart", "heart_depth_mm": 22.5}}, "rings", 23, None),
        ({"rings": {"kind": "heart", "heart_depth_mm": 10.0, "heart_offset_mm": 200.0}}, "rings", 11, None),
    ],
)
def test_a_value_out_of_range_is_refused_with_it(
    still: Any, wrong: dict[str, Any], field: str, low: float, high: float | None
) -> None:
    one = refusal(still, **wrong)
    assert (one["field"], one["low"], one["high"]) == (field, low, high)
    assert one["source"]


def test_what_is_missing_or_unknown_is_named(still: Any) -> None:
    assert refusal(still, rings={"kind": "edges", "ring_left_deg": 10.0})["field"] == "rings.ring_right_deg"
    assert refusal(still, rings={"kind": "straight", "ring_angle_deg": 10.0, "course": "arched"})["field"] == (
        "rings.course"
    )
    assert refusal(still, rings={"kind": "guess"})["field"] == "rings.kind"
    assert refusal(still, rings={})["field"] == "rings.kind"
    assert refusal(still, species="Nowhere wood")["field"] == "species"
    assert refusal(still, moisture_dry_pct=12.0)["field"] == "moisture_wet_pct"


def test_the_document_tells_of_it(still: Any) -> None:
    document = still.get("/api/v1/openapi.json").json()
    schemas = document["components"]["schemas"]
    assert document["paths"]["/api/v1/board"]["post"]["description"]
    for name in ("EdgeRings", "StraightRings", "HeartRings", "ChordRings"):
        assert "kind" in schemas[name]["required"]
    for name in ("BoardRequest", "EdgeRings", "StraightRings", "HeartRings", "ChordRings"):
        for key, told in schemas[name]["properties"].items():
            parts = [told, *told.get("anyOf", ())]
            if any(part.get("type") == "number" for part in parts):
                assert any("unit" in part for part in parts), f"{name}.{key}"
