"""Why a value was refused: its field, the allowed range with its unit and source, and words."""

import json
import math
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from movement.errors import RangeError
from movement.parts.climates import AnyClimate, MoistureClimate
from movement.parts.panel import PanelRequest
from movement.piece import Piece
from webapp.limits import Limit, Schema, field_of, schema_of
from webapp.refusals import Refusal, allowed, from_error, from_range, from_validation, plain, sendable

PANEL: dict[str, Any] = {
    "species": "Cherry, black",
    "sight_width_mm": 300.0,
    "moisture_now_pct": 8.0,
    "moisture_dry_pct": 6.0,
    "moisture_wet_pct": 11.0,
}
PIECE: dict[str, Any] = {"name": "Dresser", "climate": {"kind": "moisture", "dry_pct": 6.0, "wet_pct": 11.0}}
ROOM = {"kind": "place", "place": "Chicago", "room": {"heating_c": 20.0}}


def refusals(model: Any, document: dict[str, Any]) -> list[Refusal]:
    with pytest.raises(ValidationError) as raised:
        model.model_validate_json(json.dumps(document), strict=True)
    return from_validation(raised.value, model)


def only(model: Any, document: dict[str, Any]) -> Refusal:
    [refusal] = refusals(model, document)
    return refusal


# ranges


@pytest.mark.parametrize(
    ("more", "field", "low", "high", "unit"),
    [
        ({"sight_width_mm": 5}, "sight_width_mm", 10, 3000, "mm"),
        ({"moisture_now_pct": 99}, "moisture_now_pct", 1, 30, "%"),
        ({"ring_angle_deg": -1}, "ring_angle_deg", 0, 90, "°"),
        ({"groove_depth_mm": 500}, "groove_depth_mm", 1, 100, "mm"),
        ({"cutter_depths_mm": [6, 0.5]}, "cutter_depths_mm.1", 1, 100, "mm"),
        ({"moisture_wet_pct": 4}, "moisture_wet_pct", 6, 30, "%"),
        ({"moisture_now_pct": math.nan}, "moisture_now_pct", 1, 30, "%"),
        ({"moisture_now_pct": math.inf}, "moisture_now_pct", 1, 30, "%"),
        ({"moisture_now_pct": "8"}, "moisture_now_pct", 1, 30, "%"),
        ({"moisture_now_pct": True}, "moisture_now_pct", 1, 30, "%"),
        ({"moisture_now_pct": None}, "moisture_now_pct", 1, 30, "%"),
    ],
)
def test_a_refused_number_comes_with_its_range(
    more: dict[str, Any], field: str, low: float, high: float, unit: str
) -> None:
    refusal = only(PanelRequest, PANEL | more)
    assert (refusal.field, refusal.low, refusal.high, refusal.unit) == (field, low, high, unit)
    assert refusal.source
    assert "llowed is" in refusal.message


def test_a_missing_number_comes_with_its_range() -> None:
    document = {key: value for key, value in PANEL.items() if key != "sight_width_mm"}
    refusal = only(PanelRequest, document)
    assert (refusal.field, refusal.low, refusal.high, refusal.unit) == ("sight_width_mm", 10, 3000, "mm")
    assert refusal.message == "Fill this in; allowed is 10 to 3000 mm."


@pytest.mark.parametrize(
    ("climate", "field", "low", "high", "unit"),
    [
        (
            {
                "kind": "range",
                "dry": {"temperature_c": 20, "humidity_pct": 120},
                "wet": {"temperature_c": 20, "humidity_pct": 60},
            },
            "climate.dry.humidity_pct",
            0,
            100,
            "%",
        ),
        (
            {
                "kind": "months",
                "months": [{"temperature_c": 20 if month != 3 else 200, "humidity_pct": 50} for month in range(12)],
            },
            "climate.months.3.temperature_c",
            -35,
            93.3,
            "°C",
        ),
        ({"kind": "months", "months": []}, "climate.months", 12, 12, "entries"),
        ({**ROOM, "room": {"heating_c": 99}}, "climate.room.heating_c", 5, 35, "°C"),
        ({**ROOM, "room": {"heating_c": 25, "cooling_c": 20}}, "climate.room.cooling_c", 25, 35, "°C"),
        ({"kind": "moisture", "dry_pct": 8, "wet_pct": 6}, "climate.wet_pct", 8, 30, "%"),
        ({"kind": "moisture", "dry_pct": 0, "wet_pct": 6}, "climate.dry_pct", 0.5, 30, "%"),
    ],
)
def test_a_refused_number_deep_in_a_union_comes_with_its_range(
    climate: dict[str, Any], field: str, low: float, high: float, unit: str
) -> None:
    refusal = only(Piece, PIECE | {"climate": climate})
    assert (refusal.field, refusal.low, refusal.high, refusal.unit) == (field, low, high, unit)
    assert refusal.source


def test_a_range_of_the_air_names_the_equation_it_comes_from() -> None:
    climate = {"kind": "range", "dry": {"temperature_c": 200, "humidity_pct": 50}}
    refusal = refusals(Piece, PIECE | {"climate": climate})[0]
    assert "Wood Handbook" in refusal.source


def test_a_panel_of_a_frame_is_found() -> None:
    frames = [{"id": "one"}, {"id": "two", "panels": [{"id": "three", "sight_width_mm": 100}, {"id": "four"}]}]
    frames[1]["panels"][1]["sight_width_mm"] = 1  # type: ignore[index]
    refusal = only(Piece, PIECE | {"frames": frames})
    assert (refusal.field, refusal.low, refusal.value) == ("frames.1.panels.1.sight_width_mm", 10, 1)


def test_every_refusal_of_a_document_is_told() -> None:
    found = refusals(
        PanelRequest, PANEL | {"sight_width_mm": 1, "ring_angle_deg": 91, "hold": "glued", "colour": "red"}
    )
    assert [one.field for one in found] == ["sight_width_mm", "ring_angle_deg", "hold", "colour"]


# what is refused for another reason than its range


def test_an_unknown_species_is_answered_with_suggestions() -> None:
    refusal = only(PanelRequest, PANEL | {"species": "Chery"})
    assert (refusal.field, refusal.value, refusal.low) == ("species", "Chery", None)
    assert "Cherry, black" in refusal.message


def test_an_unknown_species_inside_a_piece_is_found() -> None:
    panels = [{"id": "p", "sight_width_mm": 100, "species": "Unobtainium"}]
    refusal = only(Piece, PIECE | {"frames": [{"id": "f", "panels": panels}]})
    assert (refusal.field, refusal.value) == ("frames.0.panels.0.species", "Unobtainium")


def test_a_species_of_ones_own_names_the_key_that_is_wrong() -> None:
    own = {"name": "Apple", "shrinkage_radial_pct": 99, "shrinkage_tangential_pct": 5}
    refusal = only(PanelRequest, PANEL | {"species": own})
    assert (refusal.field, refusal.high, refusal.unit) == ("species.shrinkage_radial_pct", 15, "%")


def test_an_unknown_key_is_named() -> None:
    refusal = only(PanelRequest, PANEL | {"species": {"name": "Apple", "colour": "red"}})
    assert (refusal.field, refusal.message) == ("species.colour", "There is no field of this name.")


@pytest.mark.parametrize("climate", [{"kind": "weather"}, {}, {"kind": 3}])
def test_an_unknown_kind_is_told_at_its_key(climate: dict[str, Any]) -> None:
    assert only(Piece, PIECE | {"climate": climate}).field == "climate.kind"


def test_an_unknown_place_is_told_with_those_known() -> None:
    refusal = only(Piece, PIECE | {"climate": {"kind": "place", "place": "Atlantis"}})
    assert (refusal.field, refusal.value) == ("climate.place", "Atlantis")
    assert "Chicago" in refusal.message


def test_a_choice_is_told_with_what_there_is() -> None:
    assert only(PanelRequest, PANEL | {"hold": "glued"}).message == "Choose one of 'centred', 'loose' or 'one edge'."


@pytest.mark.parametrize("document", [3, "text", None, [], True])
def test_what_is_no_object_is_refused_in_words(document: Any) -> None:
    assert "JSON object" in only(PanelRequest, document).message


# words


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        (Limit(0, 100, "%"), "0 to 100 %"),
        (Limit(-35, 93.3, "°C"), "−35 to 93.3 °C"),
        (Limit(None, 9, "%"), "at most 9 %"),
        (Limit(1, None, "mm"), "at least 1 mm"),
        (Limit(0, None, "mm", above=True), "more than 0 mm"),
        (Limit(0, 25.4, "mm", above=True), "more than 0 mm and at most 25.4 mm"),
        (Limit(12, 12, "entries"), "only 12 entries"),
        (Limit(1, 500), "1 to 500"),
        (Limit(), "nothing here"),
    ],
)
def test_a_range_in_words(limit: Limit, words: str) -> None:
    assert allowed(limit) == words


def test_a_range_without_its_lower_end_does_not_hold_it() -> None:
    assert Limit(0, 1, above=True).holds(0.5)
    assert not Limit(0, 1, above=True).holds(0)
    assert Limit(0, 1).holds(0)
    assert not Limit(0, 1).holds(1.5)
    assert not Limit(0, 1).holds(math.nan)


def test_the_core_s_own_error_keeps_its_source() -> None:
    refusal = from_range(RangeError("sight width", 5.0, 10, 3000, "mm", "a rule"))
    assert refusal == Refusal(
        "", "Sight width is 5 mm; allowed is 10 to 3000 mm (a rule).", 5.0, 10, 3000, "mm", "a rule"
    )


def test_the_core_s_own_error_is_put_at_the_key_of_its_quantity() -> None:
    place = schema_of(PanelRequest).at(())
    assert from_range(RangeError("groove depth", 300.0, 1, 100, "mm"), place=place).field == "groove_depth_mm"
    assert from_range(RangeError("phase of the moon", 300.0, 1, 100, "°"), place=place).field == ""


def test_a_number_is_written_with_a_minus_sign_and_its_unit() -> None:
    assert (plain(-1.1, "°C"), plain(3, ""), plain(0.00001, "mm")) == ("−1.1 °C", "3", "1e-05 mm")


@pytest.mark.parametrize(
    ("value", "sent"),
    [
        (math.nan, "NaN"),
        (math.inf, "infinity"),
        (-math.inf, "-infinity"),
        (10**400, f"1{'0' * 79}…"),
        ("x" * 500, f"{'x' * 80}…"),
        ("\ud800", "?"),
        (True, True),
        (3, 3),
        (None, None),
        ([1], None),
        ({"a": 1}, None),
    ],
)
def test_a_refused_value_can_always_be_sent_back(value: Any, sent: Any) -> None:
    assert sendable(value) == sent
    json.dumps(sendable(value), allow_nan=False).encode()


# the schema that the ranges are read from


def test_a_field_knows_whether_it_may_be_null() -> None:
    assert field_of(PanelRequest, "groove_depth_mm").nullable
    assert not field_of(PanelRequest, "sight_width_mm").nullable


def test_the_ranges_are_those_of_the_model() -> None:
    for key, field in PanelRequest.model_fields.items():
        bounds = [data for data in field.metadata if hasattr(data, "ge")]
        if bounds and field.annotation is float:
            assert field_of(PanelRequest, key).limit.low == bounds[0].ge, key


def test_a_path_through_a_plain_schema() -> None:
    schema = Schema({"properties": {"a": {"type": "array", "items": {"type": "number", "minimum": 1, "unit": "mm"}}}})
    place = schema.at(("a", 3))
    assert (place.path, place.limit.low, place.limit.unit) == ("a.3", 1, "mm")
    assert schema.at(("b", "c")).path == "b.c"
    assert not schema.at(("b", "c")).limit


def test_a_union_by_itself_is_read_like_one_inside_a_model() -> None:
    adapter: TypeAdapter[AnyClimate] = TypeAdapter(AnyClimate)
    with pytest.raises(ValidationError) as raised:
        adapter.validate_python({"kind": "moisture", "dry_pct": 99.0, "wet_pct": 11.0})
    [detail] = raised.value.errors()
    refusal = from_error(detail, Schema(adapter.json_schema()))
    assert (refusal.field, refusal.high) == ("dry_pct", 30)
    assert field_of(MoistureClimate, "dry_pct").limit.high == 30
