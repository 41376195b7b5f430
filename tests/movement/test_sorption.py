import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from movement import sorption
from movement.errors import RangeError

HUMIDITIES = np.linspace(0.0, 100.0, 401)
TEMPERATURES = np.linspace(*sorption.TEMPERATURE, 257)


def as_written(temperature: NDArray[np.float64], humidity: NDArray[np.float64]) -> NDArray[np.float64]:
    """Eq. 4-5 as the handbook prints it."""
    t, h = temperature, humidity / 100
    weight = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    second = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return np.asarray(1800 / weight * (kh / (1 - kh) + second))


@pytest.mark.parametrize("count", [1, 2, 8_191, 8_192, 8_193, 100_003])
def test_blocks_equal_the_equation_as_written(count: int) -> None:
    random = np.random.default_rng(count)
    temperature, humidity = random.uniform(*sorption.TEMPERATURE, count), random.uniform(0, 100, count)
    expected = as_written(temperature, humidity)
    assert np.abs(sorption.equilibrium_moisture(temperature, humidity) - expected).max() < 1e-12
    expected = as_written(np.array(20.0), humidity)
    assert np.abs(sorption.equilibrium_moisture(20.0, humidity) - expected).max() < 1e-12
    expected = as_written(temperature, np.array(50.0))
    assert np.abs(sorption.equilibrium_moisture(temperature, 50.0) - expected).max() < 1e-12


def test_scalars_give_floats_and_arrays_equal_them() -> None:
    alone = sorption.equilibrium_moisture(21.1, 50.0)
    assert type(alone) is float
    assert sorption.equilibrium_moisture([21.1], [50.0]) == pytest.approx([alone], abs=1e-13)
    assert type(sorption.equilibrium_humidity(21.1, 8.0)) is float


def test_shapes_broadcast() -> None:
    months, panels = TEMPERATURES[:12, None], HUMIDITIES[None, :5]
    grid = np.asarray(sorption.equilibrium_moisture(months, panels))
    assert grid.shape == (12, 5)
    assert grid == pytest.approx(as_written(months, panels), abs=1e-12)
    assert np.asarray(sorption.equilibrium_moisture(20.0, [])).shape == (0,)
    assert np.asarray(sorption.equilibrium_humidity([], [])).shape == (0,)


def test_inputs_are_left_as_they_were() -> None:
    humidity = HUMIDITIES.copy()
    sorption.equilibrium_moisture(TEMPERATURES[:1], humidity)
    assert np.array_equal(humidity, HUMIDITIES)


def test_moisture_rises_with_humidity_at_every_temperature() -> None:
    grid = np.asarray(sorption.equilibrium_moisture(TEMPERATURES[:, None], HUMIDITIES))
    assert np.all(np.diff(grid, axis=1) > 0)
    assert np.all(grid[:, 0] == 0)


@pytest.mark.parametrize("humidity", [-0.001, 100.001, np.nan])
@pytest.mark.parametrize("temperature", [20.0, [20.0]])
def test_humidity_past_the_limits_is_refused(temperature: float, humidity: float) -> None:
    with pytest.raises(RangeError, match="relative humidity"):
        sorption.equilibrium_moisture(temperature, humidity)


@pytest.mark.parametrize("temperature", [-35.001, 93.301, np.nan])
def test_temperature_past_the_limits_is_refused(temperature: float) -> None:
    for given_as in (temperature, [20.0, temperature]):
        with pytest.raises(RangeError, match=r"^temperature is"):
            sorption.equilibrium_moisture(given_as, 50.0)
    with pytest.raises(RangeError, match="temperature"):
        sorption.equilibrium_humidity(temperature, 8.0)
    with pytest.raises(RangeError, match="temperature"):
        sorption.extrapolates(temperature)


def test_one_bad_value_in_the_last_block_is_found() -> None:
    humidity = np.full(100_000, 50.0)
    humidity[-1] = 101.0
    with pytest.raises(RangeError, match="relative humidity is 101 %"):
        sorption.equilibrium_moisture(20.0, humidity)


@settings(deadline=None)  # no timed test
@given(temperature=st.floats(*sorption.TEMPERATURE), humidity=st.floats(0.0, 100.0))
def test_humidity_undoes_moisture(temperature: float, humidity: float) -> None:
    moisture = sorption.equilibrium_moisture(temperature, humidity)
    back = sorption.equilibrium_humidity(temperature, moisture)
    assert back == pytest.approx(humidity, abs=1e-9)
    assert sorption.equilibrium_moisture(temperature, back) == pytest.approx(moisture, abs=1e-9)


def test_humidity_undoes_moisture_on_a_grid() -> None:
    moisture = sorption.equilibrium_moisture(TEMPERATURES[:, None], HUMIDITIES)
    back = sorption.equilibrium_humidity(TEMPERATURES[:, None], moisture)
    assert np.abs(back - HUMIDITIES).max() < 1e-9


def test_moisture_beyond_saturated_air_is_refused() -> None:
    highest = float(sorption.equilibrium_moisture(20.0, 100.0))
    assert sorption.equilibrium_humidity(20.0, highest) == pytest.approx(100.0)
    for moisture in (-0.001, highest + 0.001, float("nan")):
        with pytest.raises(RangeError, match="moisture content") as caught:
            sorption.equilibrium_humidity([20.0, 20.0], [8.0, moisture])
        assert caught.value.high == pytest.approx(highest)


def test_extrapolation_starts_below_the_handbook_table() -> None:
    assert sorption.extrapolates([-35.0, -1.2, -1.1, 20.0, 93.3]).tolist() == [True, True, False, False, False]


def test_cold_wood_reads_low_and_warm_wood_high() -> None:
    assert sorption.meter_correction(8.0, 21.1) == 8.0
    assert sorption.meter_correction(8.0, 4.3) == pytest.approx(9.5)
    assert sorption.meter_correction(8.0, 32.3) == pytest.approx(7.0)
    assert sorption.meter_correction([8.0, 10.0], [20.0, 14.4], 20.0) == pytest.approx([8.0, 10.5])


def test_impossible_readings_are_refused() -> None:
    with pytest.raises(RangeError, match="meter reading"):
        sorption.meter_correction(-1.0, 20.0)
    with pytest.raises(RangeError, match="wood temperature"):
        sorption.meter_correction(8.0, -36.0)
    with pytest.raises(RangeError, match="calibration temperature"):
        sorption.meter_correction(8.0, 20.0, 94.0)
    with pytest.raises(RangeError, match="corrected moisture content"):
        sorption.meter_correction(2.0, 60.0)
    with pytest.raises(RangeError, match="meter reading"):
        sorption.meter_warnings(101.0)


def test_readings_outside_the_best_range_carry_warnings() -> None:
    assert [len(sorption.meter_warnings(reading)) for reading in (5.9, 6.0, 28.0, 28.1, 29.9, 30.0)] == [
        1,
        0,
        0,
        1,
        1,
        2,
    ]
    assert "unreliable" in sorption.meter_warnings(35.0)[1]
