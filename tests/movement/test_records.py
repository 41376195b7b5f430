"""Hours of air, the year that they make, their driest and wettest weeks, and their path."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import air, records, sorption
from movement.climate import MONTHS
from movement.errors import RangeError
from movement.records import hourly, record, weekly_moisture


def seconds(start, count, step):
    return np.datetime64(start, "s").astype(np.int64) + np.arange(count, dtype=np.int64) * step


def steady(start="2025-01-01", days=365, temperature=20.0, humidity=45.0, step=3600):
    count = days * 86_400 // step
    return hourly(seconds(start, count, step), np.full(count, temperature), np.full(count, humidity))


def swinging(start="2024-03-05T07:20", days=800, step=1500, seed=1):
    """Two years and more of uneven air, its times, temperatures and humidities."""
    rng = np.random.default_rng(seed)
    times = np.sort(seconds(start, days * 86_400 // step, step) + rng.integers(0, 900, days * 86_400 // step))
    day = times / 86_400
    warmth = 15 + 9 * np.sin(2 * np.pi * day / 365.25) + 3 * np.sin(2 * np.pi * day) + rng.normal(0, 1, times.size)
    damp = np.clip(60 + 20 * np.sin(2 * np.pi * day / 365.25 + 1) + rng.normal(0, 5, times.size), 5, 100)
    return times, warmth, damp


def test_steady_air_gives_a_steady_year():
    made = record(steady())
    year = made.climate
    assert year.temperature == pytest.approx(20.0)
    assert year.humidity == pytest.approx(45.0)
    wood = sorption.equilibrium_moisture(20.0, 45.0)
    assert year.moisture == pytest.approx(wood)
    assert (year.dry, year.wet) == pytest.approx((wood, wood))
    assert made.measured == (True,) * 12
    assert made.daily == pytest.approx(wood)


def test_months_agree_with_pandas():
    times, warmth, damp = swinging()
    year = record(hourly(times, warmth, damp)).climate
    full = np.asarray(air.saturation_pressure(warmth, "water"))
    frame = pd.DataFrame({"t": warmth, "p": damp / 100 * full, "s": full}, index=pd.to_datetime(times, unit="s"))
    hours = frame.resample("h").mean().interpolate()
    hours["m"] = sorption.equilibrium_moisture(hours.t.to_numpy(), (100 * hours.p / hours.s).to_numpy())
    months = hours.groupby(hours.index.month).mean()
    assert year.temperature == pytest.approx(months.t.to_numpy())
    assert year.moisture == pytest.approx(months.m.to_numpy())
    assert year.humidity == pytest.approx(100 * months.p / air.saturation_pressure(months.t.to_numpy(), "water"))


def test_weekly_means_agree_with_pandas():
    times, warmth, damp = swinging(days=60)
    hours = hourly(times, warmth, damp)
    rolled = pd.Series(hours.moisture).rolling(168).mean().to_numpy()[167::24]
    assert weekly_moisture(hours) == pytest.approx(rolled)
    year = record(hours, (5, 90)).climate
    assert (year.dry, year.wet) == pytest.approx(tuple(np.percentile(rolled, (5, 90))))


def test_lowest_and_highest_week_can_be_chosen():
    times, warmth, damp = swinging(days=60)
    hours = hourly(times, warmth, damp)
    year = record(hours, (0, 100)).climate
    weeks = weekly_moisture(hours)
    assert (year.dry, year.wet) == (weeks.min(), weeks.max())
    assert any("the lowest and the highest" in note for note in year.notes)


@pytest.mark.parametrize("extremes", [(-1, 98), (50, 98), (2, 50), (2, 101), (float("nan"), 98)])
def test_percentiles_out_of_range_are_refused(extremes):
    with pytest.raises(RangeError, match="percentile"):
        record(steady(days=30), extremes)


def test_vapour_pressure_is_averaged_not_humidity():
    times = seconds("2025-01-01", 2 * 24 * 31, 1800)
    warmth = np.where(np.arange(times.size) % 2, 10.0, 30.0)
    damp = np.where(np.arange(times.size) % 2, 90.0, 30.0)
    hours = hourly(times, warmth, damp)
    mean = (0.9 * air.saturation_pressure(10.0) + 0.3 * air.saturation_pressure(30.0)) / 2
    assert hours.pressure == pytest.approx(mean)
    assert record(hours).climate.humidity[0] == pytest.approx(100 * mean / air.saturation_pressure(20.0))


def test_uneven_steps_are_weighted_by_time():
    dense, sparse = seconds("2025-01-01", 24 * 3600, 1), seconds("2025-01-02", 24 * 9, 3600)
    times = np.concatenate([dense, sparse])
    warmth = np.concatenate([np.full(dense.size, 10.0), np.full(sparse.size, 20.0)])
    hours = hourly(times, warmth, np.full(times.size, 50.0))
    assert hours.temperature.mean() == pytest.approx(19.0)


def test_the_order_of_readings_does_not_matter():
    times, warmth, damp = swinging(days=10)
    turn = np.random.default_rng(2).permutation(times.size)
    one, other = hourly(times, warmth, damp), hourly(times[turn], warmth[turn], damp[turn])
    assert one.moisture == pytest.approx(other.moisture, nan_ok=True)


def test_short_gaps_are_crossed_and_long_ones_are_not():
    times = seconds("2025-01-01", 48, 3600)
    keep = np.ones(48, dtype=bool)
    keep[10:15] = False  # readings 6 hours apart
    keep[30:36] = False  # readings 7 hours apart
    warmth = np.arange(48.0) / 2
    hours = hourly(times[keep], warmth[keep], np.full(keep.sum(), 50.0))
    assert hours.temperature[10:15] == pytest.approx(warmth[10:15])
    assert np.isnan(hours.temperature[30:36]).all()
    assert np.isnan(hours.moisture[30:36]).all()
    assert hours.known.sum() == 42


def test_air_between_saturated_hours_is_never_supersaturated():
    times = seconds("2025-01-01", 9, 6 * 3600)
    hours = hourly(times, np.where(np.arange(9) % 2, 0.0, 30.0), np.full(9, 100.0))
    assert hours.humidity.max() <= 100 + 1e-9
    assert np.isfinite(hours.moisture).all()


def test_a_month_of_fog_that_comes_and_goes_says_how_its_humidity_is_meant():
    times = seconds("2025-01-01", 24 * 20, 3600)
    year = record(hourly(times, np.where(np.arange(480) % 24 < 12, 5.0, 25.0), np.full(480, 100.0))).climate
    assert year.humidity[0] == pytest.approx(100.0)
    assert records.NOTE_SATURATED in year.notes


def test_months_without_readings_are_a_line_and_named_and_not_in_dry_and_wet():
    winter, summer = steady("2025-01-01", 31, humidity=30.0), steady("2025-07-01", 31, humidity=60.0)
    times = np.concatenate([seconds("2025-01-01", 744, 3600), seconds("2025-07-01", 744, 3600)])
    made = record(hourly(times, np.full(1488, 20.0), np.repeat([30.0, 60.0], 744)), (0, 100))
    year = made.climate
    assert [month for month, good in zip(MONTHS, made.measured, strict=True) if good] == ["January", "July"]
    assert year.humidity == pytest.approx([30, 35, 40, 45, 50, 55, 60, 55, 50, 45, 40, 35])
    assert (year.dry, year.wet) == pytest.approx((winter.moisture[0], summer.moisture[0]))
    assert any("Not measured: February, March" in note for note in year.notes)
    assert made.daily is None


def test_a_thin_month_is_named():
    notes = record(steady("2025-01-01", 40)).climate.notes
    assert any("Less than half of the hours are measured in February" in note for note in notes)


def test_one_measured_month_stands_for_the_year_and_says_so():
    made = record(steady("2025-03-02", 20))
    assert np.ptp(made.climate.moisture) == pytest.approx(0)
    assert sum(made.measured) == 1


@pytest.mark.parametrize("hours", [1, 100, 125])
def test_less_than_a_week_is_refused(hours):
    with pytest.raises(RangeError, match="fullest week"):
        record(hourly(seconds("2025-01-01", hours, 3600), np.full(hours, 20.0), np.full(hours, 50.0)))


def test_a_year_of_half_weeks_is_refused():
    times = seconds("2025-01-01", 365 * 24, 3600)
    times = times[(np.arange(times.size) // 84) % 2 == 0]
    with pytest.raises(RangeError, match="fullest week"):
        record(hourly(times, np.full(times.size, 20.0), np.full(times.size, 50.0)))


def test_several_years_make_one():
    one, other = seconds("2023-01-01", 8760, 3600), seconds("2025-01-01", 8760, 3600)
    damp = np.repeat([40.0, 50.0], 8760)
    made = record(hourly(np.concatenate([one, other]), np.full(damp.size, 20.0), damp))
    mean = float(np.mean(sorption.equilibrium_moisture(20.0, np.array([40.0, 50.0]))))
    assert made.climate.moisture == pytest.approx(mean)
    assert made.daily == pytest.approx(mean)


def test_a_leap_day_counts_with_the_day_before():
    assert records.coverage(steady("2024-01-01", 366)) == pytest.approx(1.0)
    assert record(steady("2024-02-20", 20)).measured[1:3] == (True, True)


def test_coverage_counts_each_hour_of_the_year_once():
    assert records.coverage(steady("2023-01-01", 365 + 31)) == pytest.approx(1.0)
    assert records.coverage(steady("2025-04-16T12", 30))[3:5] == pytest.approx([14.5 / 30, 15.5 / 31])


def test_a_week_missing_from_the_daily_path_is_crossed_and_more_is_not():
    times = seconds("2025-01-01", 365 * 24, 3600)
    day = np.arange(times.size) // 24
    for missing, known in ((7, True), (8, False)):
        kept = times[(day < 100) | (day >= 100 + missing)]
        assert (record(hourly(kept, np.full(kept.size, 20.0), np.full(kept.size, 50.0))).daily is not None) is known


def test_air_too_cold_for_wood_is_left_out_and_said():
    times = seconds("2025-01-01", 24 * 30, 3600)
    warmth = np.where(np.arange(times.size) < 48, -40.0, -10.0)
    hours = hourly(times, warmth, np.full(times.size, 70.0))
    assert np.isnan(hours.moisture[:48]).all()
    notes = record(hours).climate.notes
    assert any(note.startswith("48 hours are left out") for note in notes)
    assert sorption.NOTE_EXTRAPOLATED in notes


@pytest.mark.parametrize(
    ("warmth", "damp", "name"), [(20.0, 101.0, "humidity"), (20.0, -1.0, "humidity"), (-61.0, 50.0, "temperature")]
)
def test_readings_out_of_range_are_refused(warmth, damp, name):
    with pytest.raises(RangeError, match=name):
        hourly(seconds("2025-01-01", 3, 3600), np.full(3, warmth), np.full(3, damp))


def test_no_readings_and_too_long_a_span_are_refused():
    with pytest.raises(RangeError, match="number of readings"):
        hourly(np.array([], np.int64), np.array([]), np.array([]))
    with pytest.raises(RangeError, match="length of the record"):
        hourly(np.array([0, 5_000_000_000]), np.full(2, 20.0), np.full(2, 50.0))


@given(
    st.lists(
        st.tuples(st.integers(0, 40 * 86_400), st.floats(-50, 90), st.floats(0, 100)),
        min_size=1,
        max_size=200,
    ),
    st.integers(1, 200),
)
def test_any_readings_make_hours_within_their_range(readings, bridge):
    times, warmth, damp = (np.array(values) for values in zip(*readings, strict=True))
    hours = hourly(times, warmth, damp, bridge)
    known = hours.known
    assert hours.temperature[known].min() >= warmth.min() - 1e-6
    assert hours.temperature[known].max() <= warmth.max() + 1e-6
    assert hours.humidity[known].max() <= damp.max() + 1e-6
    assert hours.humidity[known].min() >= damp.min() - 1e-6
    assert (np.isnan(hours.moisture) | known).all()
