"""A panel as it is described in JSON, and as it comes back sized."""

import json
from typing import Any

import pytest
from hypothesis import given
from panel_cases import ROUND, Case, cases
from pydantic import ValidationError

from movement import climate, season, species
from movement.climate import Room
from movement.errors import RangeError
from movement.fits import cutter, panel
from movement.fits.cutter import Cutter
from movement.fits.panel import Clearances
from movement.parts.base import ClearanceFields, CutterFields, OwnSpecies
from movement.parts.climates import MoistureClimate, PlaceClimate, RoomFields
from movement.parts.panel import PanelNeeds, PanelRequest, PanelResult, length_to_cut, result, thickness_play

ASKED: dict[str, Any] = {
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


DRY, DAMP = {"temperature_c": 20, "humidity_pct": 30}, {"temperature_c": 24, "humidity_pct": 60}


def ask(**changed: Any) -> PanelRequest:
    """A request as it comes from JSON; a key set to Ellipsis is left out."""
    wanted = {key: value for key, value in (ASKED | changed).items() if value is not ...}
    return PanelRequest.model_validate(json.loads(json.dumps(wanted)))


def answer(**changed: Any) -> PanelResult:
    asked = ask(**changed)
    return result(asked, asked.hold, asked.groove_depth_mm, asked.bench())


def fields_of(caught: pytest.ExceptionInfo[ValidationError]) -> set[str]:
    return {".".join(str(step) for step in error["loc"]) for error in caught.value.errors()}


def about(value: float) -> object:
    """Half a unit of the fourth decimal, to which the hand's numbers are written [mm]."""
    return pytest.approx(value, abs=6e-5)


# Black cherry, tangential 0.00248, radial 0.00126 (Wood Handbook, FPL-GTR-190, Table 13-5). D(M) = 1 + C (M − 10):
# across, D(6) = 0.99008, D(8) = 0.99504, D(8.5) = 0.99628, D(11) = 1.00248; ρ_d = 0.995015, ρ_w = 1.007477.


def test_a_cherry_panel_by_hand() -> None:
    found = answer(sight_height_mm=500, tongue_thickness_mm=6, end_play_mm=1)
    # ρ_w/ρ_d = 1.00248/0.99008 = 1.012524; 0.75 + (1.012524·308.5 − 300)/2 = 0.75 + 6.1819 = 6.9319 mm
    assert (found.least_groove_depth_mm, found.groove_depth_mm, found.fits) == (about(6.9319), 7.0, True)
    # 621/(0.995015 + 1.007477) = 621/2.002492 = 310.1135
    assert found.panel_width_mm == pytest.approx(621 * 0.99504 / (0.99008 + 1.00248), abs=1e-9)
    assert found.panel_width_mm == about(310.1135)
    # (300 + 8.5)/0.995015 = 310.0455; (300 + 14 − 1.5)/1.007477 = 310.1808
    assert (found.panel_width_min_mm, found.panel_width_max_mm) == (about(310.0455), about(310.1808))
    # today 7 − 10.1135/2; dry 310.1135·0.995015 = 308.5677; wet 312.4323
    assert (found.gap_now_mm, found.gap_dry_mm, found.gap_wet_mm) == (about(1.9432), about(2.7162), about(0.7838))
    assert (found.engagement_now_mm, found.engagement_dry_mm) == (about(5.0568), about(4.2838))
    # mid 310.1135·0.99628/0.99504 = 310.5, gap 1.75, bias 1.9432 − 1.75
    assert (found.gap_mid_mm, found.bias_mm, found.bias) == (about(1.75), about(0.1932), "looser")
    # along the grain: 500 + 2 (7 − 1) = 512
    assert found.panel_length_mm == 512.0
    # 0.2 % green to oven-dry: C = 1/(3000/0.2 − 20) = 6.6756e-5; 512·5 C/(1 − 4 C) = 0.1709 mm from dry to wet
    assert found.length_change_mm == about(0.1709)
    # the edge swells through its thickness, radially here: 6 (1.00126/0.99748 − 1) = 0.0227 mm
    assert found.thickness_play_mm == about(0.0227)
    assert (found.coefficient_across, found.coefficient_through) == (0.00248, 0.00126)
    assert found.advice == []
    assert any("Wood Handbook" in source for source in found.sources)
    assert any("Rules of fit" in source for source in found.sources)


def test_moistures_come_back_with_today_in_them() -> None:
    found = answer(moisture_now_pct=14)
    assert (found.moisture_now_pct, found.moisture_dry_pct, found.moisture_wet_pct) == (14, 6, 14)
    assert found.moisture_mid_pct == 10


def test_only_what_was_asked_comes_back() -> None:
    found = answer()
    assert (found.panel_length_mm, found.length_change_mm, found.thickness_play_mm) == (None, None, None)
    assert found.fixed_engagement_mm is None
    assert answer(hold="one edge").fixed_engagement_mm == 4.0
    assert answer(hold="one edge", fixed_engagement_mm=6).fixed_engagement_mm == 6.0


def test_given_groove_and_width_are_checked() -> None:
    found = answer(groove_depth_mm=9, panel_width_mm=309)
    assert (found.groove_depth_mm, found.panel_width_mm, found.fits) == (9.0, 309.0, False)
    assert found.margin_dry_mm == about((309 - 310.0455) * 0.995015)
    assert found.advice


def test_a_width_is_rounded_to_its_step() -> None:
    assert answer(groove_depth_mm=8, width_step_mm=0.5).panel_width_mm == 311.0
    assert answer(groove_depth_mm=8, width_step_mm=25.4 / 16).panel_width_mm == pytest.approx(196 * 25.4 / 16)


def test_the_thickness_counts_from_today_to_the_wettest() -> None:
    needs, asked = PanelNeeds(sight_width_mm=300.0, tongue_thickness_mm=6.0), ask(moisture_now_pct=11)
    assert thickness_play(needs, asked.bench()) == 0.0
    quarter = ask(ring_angle_deg=90).bench()
    # quarter-sawn stock is tangential through its thickness: 6 (1.00248/0.99504 − 1) = 0.0449 mm
    assert thickness_play(needs, quarter) == about(0.0449)


# The ends, along the grain


def test_the_length_is_the_sight_height_and_both_grooves_less_the_play() -> None:
    needs = PanelNeeds(sight_width_mm=300.0, sight_height_mm=500.0, end_play_mm=1.5)
    assert length_to_cut(needs, 9.0) == 500.0 + 9.0 + 9.0 - 1.5 - 1.5
    assert length_to_cut(PanelNeeds(sight_width_mm=300.0), 9.0) is None


@pytest.mark.parametrize(
    ("play", "words"),
    [
        (1, None),  # 7 − 1 = 6 engaged
        (3, None),  # 7 − 3 = 4, what is asked for
        (3.5, "sit only 3.5 mm deep, less than the 4.0 mm"),
        (7, "stand outside their grooves"),
        (25, "stand outside their grooves"),
        (0.01, "can grow by 0.2 mm, more than its end play"),  # 512·3 C = 0.1025, rounded up
    ],
)
def test_ends_that_come_out_or_bind_are_told(play: float, words: str | None) -> None:
    told = answer(sight_height_mm=500, end_play_mm=play, least_engagement_mm=4).advice
    assert len(told) == (0 if words is None else 1)
    assert words is None or words in told[0]


def test_ends_are_not_spoken_of_where_no_height_is_told() -> None:
    assert answer(end_play_mm=25).advice == []


# What is refused, and where


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"sight_width_mm": "300"}, "sight_width_mm"),
        ({"sight_width_mm": True}, "sight_width_mm"),
        ({"ring_angle_deg": True}, "ring_angle_deg"),
        ({"sight_width_mm": None}, "sight_width_mm"),
        ({"sight_width_mm": ...}, "sight_width_mm"),
        ({"sight_width_mm": 9.9}, "sight_width_mm"),
        ({"sight_width_mm": 3000.1}, "sight_width_mm"),
        ({"sight_width_mm": [300]}, "sight_width_mm"),
        ({"panel_width_mm": 3500.1}, "panel_width_mm"),
        ({"groove_depth_mm": 0.9}, "groove_depth_mm"),
        ({"cutter_step_mm": 0}, "cutter_step_mm"),
        ({"cutter_depths_mm": [8, "9"]}, "cutter_depths_mm.1"),
        ({"cutter_depths_mm": [8, 101]}, "cutter_depths_mm.1"),
        ({"cutter_depths_mm": [8] * 51}, "cutter_depths_mm"),
        ({"moisture_now_pct": 0.9}, "moisture_now_pct"),
        ({"moisture_now_pct": 30.1}, "moisture_now_pct"),
        ({"moisture_dry_pct": 0.4}, "moisture_dry_pct"),
        ({"ring_angle_deg": 91}, "ring_angle_deg"),
        ({"hold": "glued"}, "hold"),
        ({"hold": "Centred"}, "hold"),
        ({"width_step_mm": 0}, "width_step_mm"),
        ({"end_play_mm": None}, "end_play_mm"),
        ({"sight_height_mm": 3000.1}, "sight_height_mm"),
        ({"tongue_thickness_mm": 0.9}, "tongue_thickness_mm"),
        ({"groove": 7}, "groove"),
        ({"species": "Cheery, black"}, "species.name"),
        ({"species": ""}, "species.name"),
        ({"species": 7}, "species"),
    ],
)
def test_a_bad_value_is_refused_at_its_field(changed: dict[str, Any], field: str) -> None:
    with pytest.raises(ValidationError) as caught:
        ask(**changed)
    assert any(one == field or one.startswith(f"{field}.") or field.startswith(f"{one}.") for one in fields_of(caught))


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), float("-inf")])
def test_numbers_that_are_none_are_refused(bad: float) -> None:
    with pytest.raises(ValidationError):
        PanelRequest.model_validate(ASKED | {"sight_width_mm": bad})


def test_whole_numbers_are_numbers() -> None:
    assert ask(sight_width_mm=300).sight_width_mm == 300.0


@pytest.mark.parametrize(
    "changed",
    [
        {"moisture_dry_pct": None, "moisture_wet_pct": None},
        {"moisture_dry_pct": ..., "moisture_wet_pct": ...},
        {"moisture_wet_pct": None},
        {"climate": {"kind": "moisture", "dry_pct": 6, "wet_pct": 11}},
        {"following": "lagged", "thickness_mm": 12},
    ],
)
def test_the_year_is_told_in_one_way(changed: dict[str, Any]) -> None:
    with pytest.raises(ValidationError) as caught:
        ask(**changed)
    assert "climate" in str(caught.value)


def test_a_dry_moisture_above_the_wet_one_is_refused_by_name() -> None:
    with pytest.raises(ValidationError) as caught:
        ask(moisture_dry_pct=12)
    cause = caught.value.errors()[0]["ctx"]["error"]
    assert isinstance(cause, RangeError)
    assert (cause.name, cause.value, cause.low) == ("wettest moisture content", 11.0, 12.0)


def test_an_unknown_species_has_suggestions() -> None:
    with pytest.raises(ValidationError) as caught:
        ask(species="Chery, black")
    cause = caught.value.errors()[0]["ctx"]["error"]
    assert isinstance(cause, species.UnknownSpeciesError)
    assert "Cherry, black" in cause.suggestions


# What is understood


def test_a_species_by_another_name_is_called_by_its_own() -> None:
    assert ask(species=" black cherry ").species == "Cherry, black"


def test_a_species_of_ones_own() -> None:
    own = {"name": "Garden apple", "shrinkage_radial_pct": 5.9, "shrinkage_tangential_pct": 10.5}
    found = answer(species=own)
    # 1/(3000/10.5 − 20) = 1/265.714 = 0.0037634
    assert found.coefficient_across == pytest.approx(0.0037634, abs=5e-8)


@pytest.mark.parametrize(
    "own",
    [
        {"name": "Apple"},
        {"name": "Apple", "coefficient_radial": 0.001},
        {"name": "Apple", "coefficient_radial": 0.001, "coefficient_tangential": 0.011},
        {"name": "Apple", "coefficient_radial": 0.001, "coefficient_tangential": 0.002, "shrinkage_radial_pct": 4.0},
        {"name": "", "coefficient_radial": 0.001, "coefficient_tangential": 0.002},
        {"name": "Apple", "coefficient_radial": True, "coefficient_tangential": 0.002},
        {"name": "Apple", "coefficient_radial": 0.001, "coefficient_tangential": 0.002, "start_of_shrinkage_pct": 19},
    ],
)
def test_half_a_species_is_refused(own: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        OwnSpecies.model_validate(own)


@pytest.mark.parametrize(
    ("described", "core"),
    [
        (
            {"kind": "range", "dry": DRY, "wet": DAMP},
            climate.from_range(20, 30, 24, 60),
        ),
        ({"kind": "moisture", "dry_pct": 6, "wet_pct": 11}, climate.from_moisture(6, 11)),
        (
            {"kind": "months", "months": [{"temperature_c": 20, "humidity_pct": 30 + month} for month in range(12)]},
            climate.from_months([20.0] * 12, [30.0 + month for month in range(12)]),
        ),
        ({"kind": "place", "place": "hels", "room": None}, climate.from_place(climate.find_place("Helsinki"))),
        ({"kind": "place", "place": "hels"}, climate.from_place(climate.find_place("Helsinki"))),
        (
            {"kind": "place", "place": "Chicago", "room": {"heating_c": 21, "cooling_c": None, "humidifier_pct": 30}},
            climate.from_place(climate.find_place("Chicago"), Room(21.0, None, 2.0, 30.0, 60.0)),
        ),
    ],
)
def test_a_climate_of_every_kind(described: dict[str, Any], core: climate.Climate) -> None:
    asked = ask(climate=described, moisture_dry_pct=None, moisture_wet_pct=None)
    assert asked.climate is not None
    year = asked.climate.year()
    assert (year.dry, year.wet) == (core.dry, core.wet)
    assert list(year.humidity) == list(core.humidity)
    assert asked.season() == season.season(8.0, core)


@pytest.mark.parametrize(
    "described",
    [
        {"kind": "range", "dry": DAMP, "wet": DRY},
        {"kind": "moisture", "dry_pct": 11, "wet_pct": 6},
        {"kind": "moisture", "dry_pct": "6", "wet_pct": 11},
        {"kind": "months", "months": [{"temperature_c": 20, "humidity_pct": 30}] * 11},
        {"kind": "place", "place": "Atlantis"},
        {"kind": "place", "place": "Tokyo", "room": {"surplus_g_m3": 6, "dehumidifier_pct": None}},
        {"kind": "place", "place": "Chicago", "room": {"heating_c": 24, "cooling_c": 20}},
        {"kind": "guess"},
        {},
    ],
)
def test_an_impossible_climate_is_refused(described: dict[str, Any]) -> None:
    with pytest.raises(ValidationError) as caught:
        ask(climate=described, moisture_dry_pct=None, moisture_wet_pct=None)
    assert all(one.startswith("climate") for one in fields_of(caught))


def test_a_place_is_kept_by_its_full_name() -> None:
    assert PlaceClimate(place="hels").place == "Helsinki"


def test_what_is_not_told_is_the_cores_own_default() -> None:
    assert RoomFields().room() == Room()
    assert ClearanceFields().clearances() == Clearances()
    assert CutterFields().cutter() == Cutter()


def test_the_cutters_depths_are_put_in_order() -> None:
    assert ask(cutter_depths_mm=[10, 6, 8]).cutter().depths == (6.0, 8.0, 10.0)


def test_ranges_are_those_of_the_core() -> None:
    properties = PanelRequest.model_json_schema()["properties"]

    def limits(name: str) -> tuple[float, float]:
        node = properties[name]
        node = next((branch for branch in node.get("anyOf", ()) if "minimum" in branch), node)
        return node["minimum"], node["maximum"]

    assert limits("sight_width_mm") == panel.SIGHT_WIDTH
    assert limits("panel_width_mm") == panel.PANEL_WIDTH
    assert limits("groove_depth_mm") == cutter.DEPTH
    assert limits("cutter_step_mm") == cutter.STEP
    assert limits("least_engagement_mm") == panel.ENGAGEMENT
    assert limits("fixed_engagement_mm") == panel.ENGAGEMENT
    assert limits("least_gap_mm") == panel.GAP
    assert limits("making_tolerance_mm") == panel.TOLERANCE
    assert limits("moisture_now_pct") == season.MOISTURE
    assert limits("moisture_dry_pct") == climate.MOISTURE


def test_a_copy_with_another_year_has_that_year() -> None:
    first = MoistureClimate(dry_pct=6.0, wet_pct=11.0)
    assert first.year().dry == 6.0
    assert first.model_copy(update={"dry_pct": 5.0}).year().dry == 5.0
    assert first.model_copy().year() is first.year()


def test_models_are_frozen() -> None:
    with pytest.raises(ValidationError):
        ask().sight_width_mm = 200.0  # type: ignore[misc]


@given(cases())
def test_an_answer_is_the_fit_of_the_rules(case: Case) -> None:
    assert case.kind is not None
    keep = case.keep
    found = answer(
        species=case.kind.name,
        ring_angle_deg=case.ring_angle,
        sight_width_mm=case.sight,
        hold=case.hold,
        moisture_now_pct=case.now,
        moisture_dry_pct=case.dry,
        moisture_wet_pct=case.wet,
        least_engagement_mm=keep.engagement,
        least_gap_mm=keep.gap,
        making_tolerance_mm=keep.tolerance,
        fixed_engagement_mm=keep.fixed_engagement,
    )
    if found.fits:
        assert case.shortfall(found.groove_depth_mm, found.panel_width_mm) <= ROUND
    else:
        assert case.works(found.groove_depth_mm) > 0
        assert found.advice
    assert found.width_dry_mm == pytest.approx(found.panel_width_mm * case.width_over_today(case.low), rel=1e-12)
    assert found.width_wet_mm == pytest.approx(found.panel_width_mm * case.width_over_today(case.high), rel=1e-12)
    assert found.gap_now_mm - found.gap_mid_mm == pytest.approx(found.bias_mm, abs=ROUND)
    assert found.sources


# 300 mm of sight in a groove of 9 mm, 8 % in a year of 6 to 11 %, C 0.00248: ρ_d 0.99501528, ρ_w 1.00747709.
# A panel of 312 mm has 312 ρ_d − 0.5 − 308 mm left when dry, and 317 − 0.5 − 312 ρ_w mm when wet.
def test_the_margins_of_a_given_width_are_each_its_own() -> None:
    made = answer(groove_depth_mm=9, panel_width_mm=312)
    assert made.margin_dry_mm == about(1.944766)
    assert made.margin_wet_mm == about(2.167149)
