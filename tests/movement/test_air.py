import numpy as np
import pytest

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


def test_scalars_give_floats_and_arrays_equal_them() -> None:
    many = air.indoor_humidity([300.0, 800.0, 1500.0], [18.0, 20.0, 25.0])
    alone = [air.indoor_humidity(p, t) for p, t in ((300.0, 18.0), (800.0, 20.0), (1500.0, 25.0))]
    assert all(type(value) is float for value in alone)
    assert np.array_equal(many, alone)
    assert type(air.saturation_pressure(20.0)) is float


def test_negative_pressure_is_refused() -> None:
    with pytest.raises(RangeError):
        air.indoor_humidity(-1.0, 20.0)


def test_surplus_adds_vapour_in_proportion() -> None:
    assert air.surplus_pressure([0.0, 1.0, 2.0], 20.0) == pytest.approx([0.0, 135.29, 270.58], abs=0.01)


@pytest.mark.parametrize("surplus", [-0.1, 20.1])
def test_surplus_past_the_limits_is_refused(surplus: float) -> None:
    with pytest.raises(RangeError, match="moisture surplus"):
        air.surplus_pressure(surplus, 20.0)


def test_indoor_humidity_adds_the_surplus_to_the_outdoor_vapour() -> None:
    full = 100 * (400.0 + air.surplus_pressure(2.0, 21.0)) / air.saturation_pressure(21.0)
    assert air.indoor_humidity(400.0, 21.0, 2.0) == pytest.approx(full, rel=1e-12)
    assert air.indoor_humidity(air.saturation_pressure(21.0), 21.0) == pytest.approx(100.0)


def test_indoor_humidity_may_pass_100_percent() -> None:
    assert air.indoor_humidity(air.saturation_pressure(30.0), 20.0) > 150


def test_indoor_humidity_broadcasts_months_and_surpluses() -> None:
    humidity = np.asarray(air.indoor_humidity(np.linspace(300, 1500, 12), 20.0, np.array([[0.0], [2.0]])))
    assert humidity.shape == (2, 12)
    assert np.all(humidity[1] > humidity[0])
