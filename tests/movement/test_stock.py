"""Is the stock ready: moisture by weight, days to settle, the way there, the verdict; and how a board is described."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from movement import sorption, stock
from movement.errors import RangeError
from movement.parts.stock import Drying, Passage, Reading, SlabRequest, Weighing
from movement.slab import DIFFUSION, FILM_BARE, step_response
from movement.stock import approach, days_to_part, days_to_settle, oven_dry_moisture, verdict

# By weight


@pytest.mark.parametrize(("weight", "dry", "moisture"), [(109.0, 100.0, 9.0), (54.5, 50.0, 9.0), (100.0, 100.0, 0.0)])
def test_moisture_by_weight_is_water_over_dry_wood(weight: float, dry: float, moisture: float):
    assert oven_dry_moisture(weight, dry) == pytest.approx(moisture)


@given(st.floats(1, 1000), st.floats(0, 30))
def test_it_is_the_moisture_that_the_sample_was_made_with(dry: float, moisture: float):
    assert oven_dry_moisture(dry * (1 + moisture / 100), dry) == pytest.approx(moisture, abs=1e-9)


def test_scalars_and_arrays_agree():
    assert oven_dry_moisture([109.0, 54.0], [100.0, 50.0]) == pytest.approx([9.0, 8.0])


@pytest.mark.parametrize(("weight", "dry"), [(99.0, 100.0), (0.0, 1.0), (1.0, 0.0), (2e5, 1.0), (math.nan, 1.0)])
def test_weights_have_their_range(weight: float, dry: float):
    with pytest.raises(RangeError, match="weight"):
        oven_dry_moisture(weight, dry)


# Days


def test_the_days_are_those_at_which_the_mean_comes_within_the_distance():
    days = days_to_settle(12.0, 8.0, 25.0, 0.5)
    for found, diffusion in ((days.fast, "high"), (days.middle, "middle"), (days.slow, "low")):
        gone = step_response(25.0, DIFFUSION[diffusion], FILM_BARE, found)
        assert 12 - 4 * float(gone) == pytest.approx(8.5, abs=1e-6)
    assert days.fast < days.middle < days.slow


def test_half_and_nine_tenths_are_what_they_say():
    half, ninety = days_to_part(25.0)
    for days, part in ((half, 0.5), (ninety, 0.9)):
        assert float(step_response(25.0, DIFFUSION["middle"], FILM_BARE, days.middle)) == pytest.approx(part)


def test_one_face_covered_is_half_of_a_board_twice_as_thick():
    assert days_to_part(20.0, 1) == days_to_part(40.0, 2)
    assert days_to_settle(12.0, 8.0, 20.0, 0.5, 1).slow == pytest.approx(days_to_settle(12.0, 8.0, 40.0, 0.5, 2).slow)


@pytest.mark.parametrize("moisture", [7.6, 8.0, 8.5])
def test_near_enough_is_settled_now(moisture: float):
    days = days_to_settle(moisture, 8.0, 25.0, 0.5)
    assert (days.fast, days.middle, days.slow) == (0, 0, 0)


@given(st.floats(0, 30), st.floats(0, 30), st.floats(0.5, 300), st.floats(0.1, 5))
def test_more_to_go_never_takes_less_time(moisture: float, air: float, thickness: float, distance: float):
    days = days_to_settle(moisture, air, thickness, distance)
    assert 0 <= days.fast <= days.middle <= days.slow
    assert days_to_settle(moisture, air, min(thickness * 1.2, 300.0), distance).slow >= days.slow * (1 - 1e-9)
    assert days_to_settle(moisture, air, thickness, min(distance * 1.2, 5.0)).slow <= days.slow * (1 + 1e-9)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: days_to_settle(31.0, 8.0, 25.0, 0.5), "moisture content at the start"),
        (lambda: days_to_settle(12.0, -1.0, 25.0, 0.5), "EMC of the air"),
        (lambda: days_to_settle(12.0, 8.0, 0.1, 0.5), "thickness"),
        (lambda: days_to_settle(12.0, 8.0, 25.0, 0.05), "distance"),
        (lambda: days_to_part(301.0), "thickness"),
        (lambda: approach(12.0, 8.0, 301.0), "thickness"),
        (lambda: verdict(12.0, 8.0, 9.0, 6.0), "distance"),
    ],
)
def test_each_value_has_its_range(call: Any, name: str):
    with pytest.raises(RangeError, match=name):
        call()


# The way there


def test_the_way_begins_at_the_board_and_nears_the_air():
    found = approach(12.0, 8.0, 25.0)
    assert (found.slow[0], found.middle[0], found.fast[0]) == (12, 12, 12)
    assert found.times[-1] == days_to_part(25.0)[1].slow
    assert found.slow[-1] == pytest.approx(8.4)
    for one in (found.slow, found.middle, found.fast):
        assert np.all(np.diff(one) <= 1e-12)
    assert np.all(found.fast <= found.middle + 1e-12)
    assert np.all(found.middle <= found.slow + 1e-12)


def test_a_settled_board_stays():
    assert approach(8.0, 8.0, 25.0).slow == pytest.approx(np.full(49, 8.0))


# The verdict


@pytest.mark.parametrize(
    ("moisture", "said"),
    [(5.4, "too dry"), (5.5, "ready"), (8.0, "ready"), (11.5, "ready"), (11.6, "too wet")],
)
def test_the_verdict_allows_the_distance_on_either_side(moisture: float, said: str):
    assert verdict(moisture, 6.0, 11.0, 0.5) == said


# As it is described


def test_a_reading_is_corrected_for_species_and_then_for_temperature():
    """Half a point for each 5.6 °C that the wood is below the meter's calibration: Wood Handbook ch. 13."""
    told = Reading(
        reading_pct=10.0, wood_temperature_c=10.0, calibration_temperature_c=21.2, species_correction_pct=1.0
    )
    assert told.moisture() == pytest.approx(12.0)
    assert told.moisture() == sorption.meter_correction(11.0, 10.0, 21.2)


def test_a_reading_out_of_the_meter_s_best_range_says_so():
    assert Reading(reading_pct=10.0).warnings() == []
    assert Reading(reading_pct=5.0).warnings() == sorption.meter_warnings(5.0) != []


def refused(model: Any, **values: Any) -> str:
    with pytest.raises(ValidationError) as caught:
        model(**values)
    return str(caught.value)


@pytest.mark.parametrize(
    ("values", "name"),
    [
        ({"reading_pct": 101.0}, "reading_pct"),
        ({"reading_pct": math.nan}, "reading_pct"),
        ({"reading_pct": 10.0, "wood_temperature_c": 200.0}, "wood_temperature_c"),
        ({"reading_pct": 10.0, "species_correction_pct": 11.0}, "species_correction_pct"),
        ({"reading_pct": 3.0, "species_correction_pct": -9.0}, "reading"),
        ({"reading_pct": 10.0, "meter": "mine"}, "meter"),
        ({}, "reading_pct"),
    ],
)
def test_a_reading_out_of_range_is_refused_by_name(values: dict[str, Any], name: str):
    assert name in refused(Reading, **values)


def test_a_sample_lighter_than_dry_is_refused():
    assert Weighing(weight_g=109.0, dry_weight_g=100.0).moisture() == pytest.approx(9)
    assert "moisture content by weight" in refused(Weighing, weight_g=99.0, dry_weight_g=100.0)


def test_the_shop_s_air_is_what_wood_settles_at_in_it():
    told = Drying(thickness_mm=25.0, shop_temperature_c=20.0, shop_humidity_pct=50.0)
    assert told.air_moisture() == sorption.equilibrium_moisture(20.0, 50.0)
    assert (told.faces, told.distance_pct) == (2, 0.5)


def test_a_slab_needs_its_days_and_moistures_and_its_settling_does_not():
    body = {"thickness_mm": 20.0, "diffusion_m2_s": 6.3e-11}
    assert Passage(**body).film_m_s is None
    said = refused(SlabRequest, **body)
    assert all(name in said for name in ("moisture_start_pct", "moisture_air_pct", "days"))


@pytest.mark.parametrize(
    "wrong",
    [
        {"thickness_mm": 0.4},
        {"diffusion_m2_s": 1e-13},
        {"film_m_s": 1e-11},
        {"moisture_start_pct": 31.0},
        {"moisture_air_pct": -0.1},
        {"days": []},
        {"days": [-1.0]},
        {"days": [1.0] * 10_001},
        {"faces": 3},
    ],
    ids=str,
)
def test_a_slab_out_of_range_is_refused_by_name(wrong: dict[str, Any]):
    body: dict[str, Any] = {
        "thickness_mm": 20.0,
        "diffusion_m2_s": 6.3e-11,
        "moisture_start_pct": 12.0,
        "moisture_air_pct": 8.0,
        "days": [1.0],
    }
    assert next(iter(wrong)) in refused(SlabRequest, **body | wrong)


def test_the_source_names_the_method():
    assert "ASTM D4442" in stock.SOURCE_OVEN
