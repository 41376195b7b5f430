import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from movement import air
from movement.errors import RangeError

TEMPERATURES = np.linspace(*air.TEMPERATURE, 1601)


def test_saturation_rises_with_temperature_throughout() -> None:
    assert np.all(np.diff(air.saturation_pressure(TEMPERATURES)) > 0)
    assert np.all(np.diff(air.saturation_pressure(TEMPERATURES, "water")) > 0)


def test_ice_and_water_meet_at_the_triple_point() -> None:
    below = air.saturation_pressure(air.TRIPLE_POINT - 1e-9)
    assert below == pytest.approx(air.saturation_pressure(air.TRIPLE_POINT), rel=1e-8)


def test_phase_counts_only_below_freezing() -> None:
    ice, water = air.saturation_pressure(TEMPERATURES), air.saturation_pressure(TEMPERATURES, "water")
    frozen = TEMPERATURES < air.TRIPLE_POINT
    assert np.all(ice[frozen] < water[frozen])
    assert np.array_equal(ice[~frozen], water[~frozen])


def test_unknown_phase_is_refused() -> None:
    with pytest.raises(ValueError, match='allowed is "ice" or "water"'):
        air.saturation_pressure(5.0, "steam")  # type: ignore[arg-type]


@pytest.mark.parametrize("temperature", [-60.001, 100.001, np.nan, np.inf])
def test_temperature_past_the_limits_is_refused(temperature: float) -> None:
    with pytest.raises(RangeError, match="temperature") as caught:
        air.saturation_pressure(temperature)
    assert (caught.value.low, caught.value.high, caught.value.unit) == (-60.0, 100.0, "°C")


@pytest.mark.parametrize("humidity", [-0.001, 100.001, np.nan])
def test_humidity_past_the_limits_is_refused(humidity: float) -> None:
    with pytest.raises(RangeError, match="relative humidity"):
        air.vapour_pressure(20.0, humidity)


def test_scalars_give_floats_and_arrays_equal_them() -> None:
    many = air.vapour_pressure([-20.0, 0.0, 20.0], [70.0, 50.0, 30.0])
    alone = [air.vapour_pressure(t, h) for t, h in ((-20.0, 70.0), (0.0, 50.0), (20.0, 30.0))]
    assert all(type(value) is float for value in alone)
    assert np.array_equal(many, alone)
    assert type(air.dew_point(1000.0)) is float
    assert type(air.indoor_humidity(1000.0, 20.0)) is float


@pytest.mark.parametrize("phase", ["ice", "water"])
@settings(deadline=None)  # no timed test
@given(temperature=st.floats(*air.TEMPERATURE), humidity=st.floats(*air.HUMIDITY))
def test_relative_humidity_undoes_vapour_pressure(phase: air.Phase, temperature: float, humidity: float) -> None:
    pressure = air.vapour_pressure(temperature, humidity, phase)
    assert air.relative_humidity(temperature, pressure, phase) == pytest.approx(humidity, rel=1e-12, abs=1e-12)


def test_saturated_air_is_100_percent_despite_rounding() -> None:
    humidity = air.relative_humidity(TEMPERATURES, air.saturation_pressure(TEMPERATURES) * (1 + 1e-12))
    assert np.all(humidity == 100.0)


def test_supersaturated_air_is_refused_not_capped() -> None:
    with pytest.raises(RangeError, match="relative humidity"):
        air.relative_humidity(20.0, air.saturation_pressure(20.0) * 1.0001)


def test_negative_pressure_is_refused() -> None:
    with pytest.raises(RangeError):
        air.relative_humidity(20.0, -1.0)
    with pytest.raises(RangeError):
        air.indoor_humidity(-1.0, 20.0)


@pytest.mark.parametrize("phase", ["ice", "water"])
def test_dew_point_undoes_saturation_everywhere(phase: air.Phase) -> None:
    assert air.dew_point(air.saturation_pressure(TEMPERATURES, phase), phase) == pytest.approx(TEMPERATURES, abs=1e-9)


def test_frost_point_lies_above_the_dew_point_over_water() -> None:
    assert air.dew_point(100.0) > air.dew_point(100.0, "water")


@pytest.mark.parametrize("pressure", [0.0, 1.08, 101_419.0, np.nan])
def test_dew_point_past_the_limits_is_refused(pressure: float) -> None:
    with pytest.raises(RangeError, match="vapour pressure"):
        air.dew_point(pressure)


def test_surplus_adds_vapour_in_proportion() -> None:
    assert air.surplus_pressure([0.0, 1.0, 2.0], 20.0) == pytest.approx([0.0, 135.29, 270.58], abs=0.01)


@pytest.mark.parametrize("surplus", [-0.1, 20.1])
def test_surplus_past_the_limits_is_refused(surplus: float) -> None:
    with pytest.raises(RangeError, match="moisture surplus"):
        air.surplus_pressure(surplus, 20.0)


def test_indoor_humidity_adds_the_surplus_to_the_outdoor_vapour() -> None:
    pressure = 400.0 + air.surplus_pressure(2.0, 21.0)
    assert air.indoor_humidity(400.0, 21.0, 2.0) == pytest.approx(air.relative_humidity(21.0, pressure), rel=1e-12)


def test_indoor_humidity_may_pass_100_percent() -> None:
    assert air.indoor_humidity(air.saturation_pressure(30.0), 20.0) > 150


def test_indoor_humidity_broadcasts_months_and_surpluses() -> None:
    humidity = np.asarray(air.indoor_humidity(np.linspace(300, 1500, 12), 20.0, np.array([[0.0], [2.0]])))
    assert humidity.shape == (2, 12)
    assert np.all(humidity[1] > humidity[0])
