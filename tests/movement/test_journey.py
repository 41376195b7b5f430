"""The air that a piece meets on its way: the stays in order, what the year brings, leap days."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import climate, journey
from movement.climate import Climate, Room
from movement.errors import RangeError
from movement.journey import MOST_STAYS, SETTLING_YEARS, YEAR, Journey, JourneyError, Stay, at, knots, year
from movement.parts.climates import RecordClimate

CHICAGO = climate.from_place(climate.find_place("Chicago"), Room())
SHOP = climate.from_moisture(8.0, 12.0)
STEADY = climate.from_moisture(10.0, 10.0)
MIDDLES = [15.5, 45.0, 74.5, 105.0, 135.5, 166.0, 196.5, 227.5, 258.0, 288.5, 319.0, 349.5]
"""Half of each month's days after those before it, in a year of 365 days."""


def recorded(daily: np.ndarray | None, dry: float, wet: float, months: np.ndarray | None = None) -> Climate:
    flat = np.full(12, 9.0)
    return Climate(flat, flat, flat if months is None else months, dry, wet, daily=daily)


def way(*stays: tuple[Climate, date]) -> Journey:
    return Journey(tuple(Stay(f"place {n}", air, first) for n, (air, first) in enumerate(stays, start=1)))


def value(path: journey.Path, day: float) -> float:
    return float(np.interp(day, path.times, path.moisture))


# The year


def test_the_middles_of_the_months_are_those_of_a_common_year():
    assert knots(CHICAGO)[0].tolist() == MIDDLES


def test_at_the_middle_of_a_month_the_air_is_the_months():
    assert at(CHICAGO, np.array(MIDDLES)) == pytest.approx(CHICAGO.moisture, abs=1e-12)


def test_between_months_it_runs_straight_over_new_year_too():
    december, january = CHICAGO.moisture[[11, 0]]
    found = at(CHICAGO, np.array([357.5, 365.5, 0.5, -7.5, 380.5]))
    step = (january - december) / 31
    assert found == pytest.approx([december + step * days for days in (8, 16, 16, 8, 31)], abs=1e-12)


@pytest.mark.parametrize("air", [CHICAGO, SHOP, climate.from_range(20, 30, 24, 65), STEADY])
def test_the_year_spans_dry_and_wet_exactly(air: Climate):
    found = year(air)
    assert (found.moisture.min(), found.moisture.max()) == pytest.approx((air.dry, air.wet), abs=1e-9)
    assert found.times[[0, -1]].tolist() == [0, YEAR]
    assert found.moisture[0] == pytest.approx(found.moisture[-1], abs=1e-12)


def test_a_record_without_its_days_has_its_months_drawn_apart_to_dry_and_wet():
    months = 9 + np.sin(np.arange(12))
    days, moisture = knots(recorded(None, 7.0, 12.0, months))
    assert days.tolist() == MIDDLES
    assert (moisture.min(), moisture.max()) == pytest.approx((7, 12))
    assert np.corrcoef(moisture, months)[0, 1] == pytest.approx(1)


def test_a_record_of_one_month_swings_from_dry_to_wet_all_the_same():
    """Every month then has the same value, and only dry and wet tell of a swing."""
    moisture = knots(recorded(None, 8.5, 9.5))[1]
    assert (moisture.min(), moisture.max()) == pytest.approx((8.5, 9.5))
    assert moisture.mean() == pytest.approx(9, abs=0.01)


def test_a_record_with_its_days_is_followed_in_means_of_seven_days():
    day = np.arange(365)
    daily = 9 + 2 * np.sin(2 * np.pi * day / 365) + np.where(day % 7 == 3, 3.5, 0.0)
    days, moisture = knots(recorded(daily, 7.5, 11.5))
    assert days.tolist() == (day + 0.5).tolist()
    assert (moisture.min(), moisture.max()) == pytest.approx((7.5, 11.5))
    smooth = 9.5 + 2 * np.sin(2 * np.pi * day / 365)
    assert moisture[3:-3] == pytest.approx(smooth[3:-3], abs=0.02)


def test_the_means_of_seven_days_go_over_new_year():
    daily = np.full(365, 8.0)
    daily[[0, 364]] = 15.0
    moisture = knots(recorded(daily, 8.0, 10.0))[1]
    assert moisture[[361, 362, 364, 0, 2, 3]] == pytest.approx([9, 10, 10, 10, 10, 9])


def test_a_record_from_a_piece_file_brings_its_days():
    daily = (9 + 2 * np.sin(2 * np.pi * np.arange(365) / 365)).round(2).tolist()
    months = [{"temperature_c": 20, "humidity_pct": 50, "moisture_pct": 9.0}] * 12
    told = RecordClimate(months=months, dry_pct=7.2, wet_pct=10.8, daily_moisture_pct=daily)
    assert knots(told.year())[0].size == 365
    assert knots(told.model_copy(update={"daily_moisture_pct": None})._computed())[0].size == 12


# The way


def test_the_path_begins_on_the_day_of_assembly_and_ends_three_years_after_coming_home():
    path = way((SHOP, date(2025, 3, 10)), (CHICAGO, date(2025, 5, 1))).path()
    assert path.times[[0, -1]].tolist() == [0, 52 + SETTLING_YEARS * YEAR]
    assert np.all(np.diff(path.times) >= 0)


def test_it_jumps_where_the_piece_moves_and_nowhere_else():
    path = way((SHOP, date(2025, 3, 10)), (CHICAGO, date(2025, 5, 1)), (STEADY, date(2025, 6, 15))).path()
    jumps = np.flatnonzero(np.diff(path.times) == 0)
    assert path.times[jumps].tolist() == [52, 97]
    before, after = path.moisture[jumps], path.moisture[jumps + 1]
    late, early = at(CHICAGO, np.array([165.0, 120.0]))
    assert before == pytest.approx([value(way((SHOP, date(2025, 5, 1))).path(), 0), late])
    assert after == pytest.approx([early, 10.0])


def test_at_one_place_it_is_the_place_s_year_over_and_over():
    """2025 to 2027 have no leap day."""
    path = way((CHICAGO, date(2025, 1, 1))).path()
    assert path.moisture == pytest.approx(at(CHICAGO, path.times), abs=1e-9)


def test_it_is_told_often_after_a_move_and_every_four_days_at_most():
    path = way((SHOP, date(2025, 3, 10)), (CHICAGO, date(2025, 5, 1))).path()
    steps = np.diff(path.times)
    assert steps.max() <= YEAR / 96 + 1e-9
    for move in (0, 52):
        assert np.count_nonzero((path.times > move) & (path.times < move + 1)) >= 20


@pytest.mark.parametrize("first", [date(2024, 2, 1), date(2024, 2, 29), date(2023, 12, 31), date(2025, 7, 4)])
def test_leap_days_do_not_shift_the_seasons(first: date):
    """On each later day the air is that of the day of the year, a leap day apart at most."""
    path = way((CHICAGO, first)).path()
    for days in (0, 10, 40, 100, 400, 800, 1000):
        day = first + timedelta(days=days)
        common = date(2025, day.month, min(day.day, 28 if day.month == 2 else 31)).timetuple().tm_yday - 1
        slope = np.abs(np.diff(CHICAGO.moisture, append=CHICAGO.moisture[0])).max() / 28
        assert value(path, days) == pytest.approx(float(at(CHICAGO, np.array(float(common)))), abs=slope)


def test_after_a_leap_day_the_middles_of_the_months_are_a_day_later():
    path = way((CHICAGO, date(2024, 1, 1))).path()
    assert value(path, 15.5) == pytest.approx(CHICAGO.moisture[0])
    assert value(path, 45.0) == pytest.approx(CHICAGO.moisture[1])
    assert value(path, 75.5) == pytest.approx(CHICAGO.moisture[2])
    assert value(path, 366 + 15.5) == pytest.approx(CHICAGO.moisture[0])


def test_a_day_s_stay_is_a_path():
    path = way((SHOP, date(2025, 3, 10)), (STEADY, date(2025, 3, 11)), (CHICAGO, date(2025, 3, 12))).path()
    assert value(path, 1.5) == pytest.approx(10)


# Its extremes


def test_the_extremes_take_in_the_stays_and_the_whole_year_at_home():
    stays = ((STEADY, date(2025, 3, 10)), (CHICAGO, date(2025, 5, 1)))
    assert way(*stays).extremes() == (CHICAGO.dry, CHICAGO.wet)
    damp = climate.from_moisture(15.0, 15.0)
    assert way((damp, date(2025, 3, 10)), stays[1]).extremes() == pytest.approx((CHICAGO.dry, 15.0))


def test_of_a_stay_only_its_own_weeks_count():
    """Chicago's driest month is January: a stay from May to June does not meet it."""
    low, high = way((CHICAGO, date(2025, 5, 1)), (STEADY, date(2025, 7, 1))).extremes()
    assert CHICAGO.dry + 2 < low <= 10
    assert high <= CHICAGO.wet


@given(st.floats(5, 12), st.floats(0, 6), st.dates(date(2000, 1, 1), date(2060, 1, 1)), st.integers(1, 800))
def test_the_path_never_leaves_what_its_climates_span(dry: float, swing: float, first: date, days: int):
    air = climate.from_moisture(dry, dry + swing)
    found = way((air, first), (CHICAGO, first + timedelta(days=days)))
    path, (low, high) = found.path(), found.extremes()
    assert min(air.dry, CHICAGO.dry) - 1e-9 <= path.moisture.min()
    assert path.moisture.max() <= max(air.wet, CHICAGO.wet) + 1e-9
    assert (low, high) == (min(path.moisture.min(), CHICAGO.dry), max(path.moisture.max(), CHICAGO.wet))


# What is refused


@pytest.mark.parametrize("second", [date(2025, 3, 10), date(2025, 3, 9)])
def test_a_stay_must_begin_after_the_one_before(second: date):
    with pytest.raises(JourneyError, match=r"at place 2 begins on .* after the one at place 1 does, on 2025-03-10"):
        way((SHOP, date(2025, 3, 10)), (CHICAGO, second))


def test_the_stay_that_is_too_early_is_told_by_its_number():
    days = [date(2025, 3, 1), date(2025, 4, 1), date(2025, 3, 20), date(2025, 6, 1)]
    with pytest.raises(JourneyError) as caught:
        way(*((SHOP, day) for day in days))
    assert caught.value.index == 2


def test_a_journey_has_from_one_stay_to_twenty():
    days = [date(2025, 1, 1) + timedelta(days=n) for n in range(MOST_STAYS + 1)]
    with pytest.raises(RangeError, match="number of stays is 0; allowed is 1 to 20"):
        Journey(())
    with pytest.raises(RangeError, match="number of stays is 21"):
        way(*((SHOP, day) for day in days))
    assert way(*((SHOP, day) for day in days[:-1])).assembled == date(2025, 1, 1)
