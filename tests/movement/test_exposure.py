"""What a part is exposed to: a year or a journey, at once or late."""

from datetime import date

import numpy as np
import pytest

from movement import climate, journey, lag, season
from movement.climate import Room
from movement.errors import RangeError
from movement.exposure import Exposure
from movement.journey import YEAR, Journey, Stay
from movement.lag import Section

CHICAGO = climate.from_place(climate.find_place("Chicago"), Room())
STORE = climate.from_moisture(4.0, 4.5)
WAY = Journey((Stay("store", STORE, date(2025, 1, 10)), Stay("home", CHICAGO, date(2025, 4, 1))))
SECTION = Section(20.0, 5.5e-9)


def test_at_once_and_at_home_it_is_the_year():
    assert Exposure(CHICAGO).season(8.0) == season.season(8.0, CHICAGO)


def test_at_once_on_a_journey_it_takes_in_every_stay():
    found = Exposure(CHICAGO, None, WAY).season(8.0)
    assert (found.dry, found.wet) == pytest.approx((WAY.extremes()[0], CHICAGO.wet))
    assert found.dry < CHICAGO.dry - 1


def test_late_and_at_home_it_is_the_lagged_season():
    assert Exposure(CHICAGO, SECTION).season(8.0) == lag.season(8.0, CHICAGO, SECTION)


def test_late_on_a_journey_it_is_the_season_along_it():
    assert Exposure(CHICAGO, SECTION, WAY).season(8.0) == lag.along(8.0, WAY, SECTION)[0]


@pytest.mark.parametrize("way", [None, WAY], ids=["home", "journey"])
def test_late_is_never_wider_than_at_once(way: Journey | None):
    late, full = (Exposure(CHICAGO, section, way).season(8.0) for section in (SECTION, None))
    assert full.dry <= late.dry
    assert late.wet <= full.wet


@pytest.mark.parametrize("way", [None, WAY], ids=["home", "journey"])
def test_at_once_the_band_is_the_air(way: Journey | None):
    band = Exposure(CHICAGO, None, way).band(8.0)
    assert np.array_equal(band.low, band.air)
    assert np.array_equal(band.high, band.air)
    low, high = (CHICAGO.dry, CHICAGO.wet) if way is None else way.extremes()
    assert (band.air.min(), band.air.max()) == pytest.approx((low, high))


def test_the_band_of_a_year_runs_from_new_year_to_new_year():
    for section in (None, SECTION):
        band = Exposure(CHICAGO, section).band(8.0)
        assert band.times[[0, -1]].tolist() == [0, YEAR]
        for values in (band.low, band.middle, band.high, band.air):
            assert values[0] == pytest.approx(values[-1])


def test_the_band_of_a_journey_begins_today():
    band = Exposure(CHICAGO, SECTION, WAY).band(8.0)
    assert band.middle[0] == pytest.approx(8.0)
    assert band.times[-1] == 81 + journey.SETTLING_YEARS * YEAR


@pytest.mark.parametrize("section", [None, SECTION], ids=["at once", "late"])
@pytest.mark.parametrize("way", [None, WAY], ids=["home", "journey"])
def test_moisture_today_has_its_range(way: Journey | None, section: Section | None):
    with pytest.raises(RangeError, match=r"moisture content today is 0\.5 %; allowed is 1 to 30 %"):
        Exposure(CHICAGO, section, way).season(0.5)
