"""Moist air against ASHRAE's tables, two reference libraries and published indoor examples."""

import re

import numpy as np
import psychrolib
import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI

from movement import air
from movement.tables import MoistAir, read

psychrolib.SetUnitSystem(psychrolib.SI)

TEMPERATURES = np.linspace(-60, 100, 321)
STATES = {
    kind: [state for state in read("psychrometrics").records if state.kind == kind] for kind in ("psat", "humratio_sat")
}


def degrees(state: MoistAir) -> float:
    found = re.match(r"T=(-?\d+)C", state.input)
    assert found
    return float(found[1])


@pytest.mark.parametrize("state", STATES["psat"], ids=lambda state: state.input)
def test_saturation_pressure_of_the_ashrae_table(state: MoistAir) -> None:
    """ASHRAE Fundamentals 2017, ch. 1, Table 3.

    The table comes from a newer formulation: 300 parts in a million is what PsychroLib finds for the same equations.
    At −60 °C the table prints three figures, so half of the last one.
    """
    tolerance = {"abs": 0.005} if degrees(state) == -60 else {"rel": 3e-4}
    assert air.saturation_pressure(degrees(state)) == pytest.approx(state.value * 1000, **tolerance)


@pytest.mark.parametrize("state", STATES["humratio_sat"], ids=lambda state: state.input)
def test_humidity_ratio_of_the_ashrae_table(state: MoistAir) -> None:
    """ASHRAE Fundamentals 2017, ch. 1, Table 2: real air holds 0.4 to 0.6 % more vapour than the pure saturation.

    That enhancement factor, which `movement.air` leaves out, is taken from CoolProp (ASHRAE RP-1485).
    """
    ratio, total = state.value, 101_325.0
    published = total * ratio / (0.621945 + ratio)
    kelvin, pure = degrees(state) + 273.15, float(air.saturation_pressure(degrees(state)))
    enhancement = HAPropsSI("P_w", "T", kelvin, "P", total, "R", 1.0) / pure
    assert 1.004 < enhancement < 1.006
    assert pure * enhancement == pytest.approx(published, rel=1e-4)


def test_saturation_pressure_of_psychrolib() -> None:
    """PsychroLib, GetSatVapPres: the same equations, also changing over at the triple point."""
    expected = [psychrolib.GetSatVapPres(temperature) for temperature in TEMPERATURES]
    assert air.saturation_pressure(TEMPERATURES) == pytest.approx(expected, rel=1e-12)


def test_dew_point_of_psychrolib() -> None:
    """PsychroLib, GetTDewPointFromRelHum: there air is saturated; its 0.001 °C is 1 part in 10 000 of the pressure."""
    for temperature, humidity in ((-20.0, 70.0), (-2.0, 99.0), (0.5, 97.0), (20.0, 50.0), (35.0, 90.0), (60.0, 10.0)):
        dew = psychrolib.GetTDewPointFromRelHum(temperature, humidity / 100)
        assert air.indoor_humidity(air.saturation_pressure(dew), temperature) == pytest.approx(humidity, rel=2e-4)


def test_saturation_pressure_of_coolprop() -> None:
    """CoolProp, water after IAPWS-95: another formulation, within the 300 parts in a million above."""
    wet = np.linspace(0.02, 100, 101)
    expected = PropsSI("P", "T", wet + 273.15, "Q", 1, "Water")
    assert air.saturation_pressure(wet) == pytest.approx(expected, rel=3e-4)


def test_dew_point_of_coolprop() -> None:
    """CoolProp, humid air after ASHRAE RP-1485, at sea level: real-gas effects move the dew point by under 0.01 °C.

    That is 0.08 % of the vapour pressure at −5 °C, and less where it is warmer.
    """
    for temperature, humidity in ((-5.0, 80.0), (10.0, 60.0), (20.0, 50.0), (30.0, 80.0)):
        kelvin = HAPropsSI("D", "T", temperature + 273.15, "P", 101_325.0, "R", humidity / 100)
        found = air.indoor_humidity(air.saturation_pressure(kelvin - 273.15), temperature)
        assert found == pytest.approx(humidity, rel=8e-4)


def test_surplus_of_two_grams() -> None:
    """The ideal gas law with R_v 461.5 J/(kg K): 2 g/m³ is 271 Pa at 20.5 °C; CoolProp gives the same density."""
    assert round(float(air.surplus_pressure(2.0, 20.5))) == 271
    density = PropsSI("D", "T", 293.65, "P", air.surplus_pressure(2.0, 20.5), "Water")
    assert density == pytest.approx(0.002, rel=1e-3)


def test_humidity_over_ice_or_water() -> None:
    """Derived, against PsychroLib over ice: −20 °C at 70 %, warmed to 21 °C, has 2.9 % (ice) or 3.5 % (water)."""
    over_ice = air.indoor_humidity(0.7 * air.saturation_pressure(-20.0, "ice"), 21.0)
    over_water = air.indoor_humidity(0.7 * air.saturation_pressure(-20.0, "water"), 21.0)
    assert (round(float(over_ice), 1), round(float(over_water), 1)) == (2.9, 3.5)
    pressure = psychrolib.GetVapPresFromRelHum(-20.0, 0.7)
    assert over_ice == pytest.approx(100 * psychrolib.GetRelHumFromVapPres(21.0, pressure), rel=1e-12)


@pytest.mark.parametrize(
    ("place", "expected"),
    [("Helsinki", (15.7, 26.6, 37.5)), ("Chicago", (11.8, 22.7, 33.6))],
    ids=lambda value: str(value),
)
def test_heated_outdoor_air_in_january(place: str, expected: tuple[float, float, float]) -> None:
    """Derived: 21 °C indoors with a surplus of 0, 2 and 4 g/m³, from mean temperature and mean RH of data/places.csv.

    Those means are printed to 0.1 °C and 1 % RH, so the examples must lie between what the rounding allows. The mean
    vapour pressure of the hours, the one to use, is higher: mean temperature with mean RH misleads.
    """
    month = next(row for row in read("places").records if row.place.startswith(place) and row.month == 1)
    temperature, humidity = month.temperature_mean_c, month.relative_humidity_mean_pct
    surplus = np.array([0.0, 2.0, 4.0])
    least = (humidity - 0.5) / 100 * air.saturation_pressure(temperature - 0.05)
    most = (humidity + 0.5) / 100 * air.saturation_pressure(temperature + 0.05)
    low, high = air.indoor_humidity(least, 21.0, surplus), air.indoor_humidity(most, 21.0, surplus)
    assert np.all(np.round(low, 1) <= expected)
    assert np.all(expected <= np.round(high, 1))
    assert np.all(air.indoor_humidity(month.vapour_pressure_mean_pa, 21.0, surplus) > np.array(expected) + 1)
