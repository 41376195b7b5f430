"""Air recorded hour by hour: the year that it makes, its driest and wettest weeks, and its path for a slab."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from movement import air, climate, sorption
from movement.air import Phase
from movement.arrays import Floats, floats
from movement.climate import MONTHS, Climate
from movement.errors import RangeError, require_range

Hour = np.datetime64
"""A moment with the resolution of an hour."""

BRIDGE = 6
"""Readings up to so many hours apart are joined by a straight line [h]; project rule, no source."""
WEEK = 168
"""[h]"""
LEAST_WEEK = 126
"""Hours that a week must have readings for, to count for dry and wet [h]: three quarters; project rule, no source."""
LEAST_MONTH = 24
"""Hours that a month must have readings for, to count as measured [h]; project rule, no source."""
BRIDGED_DAYS = 7
"""Days without readings that a daily path still crosses in a straight line [days]; project rule, no source."""
EXTREMES = (2.0, 98.0)
"""Percentiles of the weekly means that are dry and wet; project rule, no source. (0, 100): the lowest and highest."""
LOW_EXTREME = (0.0, 49.0)
HIGH_EXTREME = (51.0, 100.0)
"""[%] Percentiles that may be chosen for dry and for wet."""
MOST_HOURS = 1_200_000
"""Longest record [h]: 136 years."""

NOTE_SATURATED = (
    "In some months the mean vapour pressure is above saturation at the mean temperature, as where fog comes and "
    "goes; their humidity is the mean vapour pressure over the mean saturation pressure."
)
MONTH_DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
"""Days of the months of a plain year."""
# Readings whose saturation pressure is worked out at once, to keep the scratch space small.
_BLOCK = 100_000
_FIRSTS = np.concatenate([[0], np.cumsum(MONTH_DAYS[:-1])])


@dataclass(frozen=True, slots=True, eq=False)
class Hours:
    """Air hour by hour; NaN where nothing is known.

    Attributes
    ----------
    start : datetime64[h]
        The first hour.
    temperature, pressure, saturation : ndarray, shape (n,)
        Means of each hour: air [°C], its vapour pressure and its saturation pressure [Pa].
    moisture : ndarray, shape (n,)
        Equilibrium moisture content [% MC]; NaN also where the air is too cold for its equation.
    phase : {"ice", "water"}
        What the air is saturated over below freezing.
    """

    start: Hour
    temperature: Floats
    pressure: Floats
    saturation: Floats
    moisture: Floats
    phase: Phase = "water"

    @property
    def humidity(self) -> Floats:
        """Mean vapour pressure over mean saturation pressure [% RH]: never above the dampest of the readings."""
        return 100 * self.pressure / self.saturation

    @property
    def known(self) -> NDArray[np.bool_]:
        """Where there is air."""
        return ~np.isnan(self.pressure)

    @property
    def moments(self) -> NDArray[np.datetime64]:
        """Each hour, datetime64[h]."""
        return self.start + np.arange(self.pressure.size)


@dataclass(frozen=True, slots=True, eq=False)
class Record:
    """A year made from a record.

    Attributes
    ----------
    climate : Climate
        Twelve months, dry and wet.
    measured : tuple of bool
        January to December: whether the month's values come from readings.
    daily : ndarray, shape (365,), or None
        Equilibrium moisture content of each day of the year [% MC]; ``None`` where a week or more of it is missing.
    """

    climate: Climate
    measured: tuple[bool, ...]
    daily: Floats | None


def hourly(
    seconds: NDArray[np.int64],
    temperature: Floats,
    humidity: Floats,
    bridge: int = BRIDGE,
    phase: Phase = "water",
) -> Hours:
    """The hours of readings taken at any times: within an hour the readings' mean, between hours near by a line.

    Parameters
    ----------
    seconds : ndarray of int, shape (n,)
        Times of the readings since 1970 [s], in any order.
    temperature, humidity : ndarray, shape (n,)
        Air [°C], −60 to 100, and relative humidity [%], 0 to 100.
    bridge : int
        Hours apart that a line still joins [h], 1 or more.
    phase : {"ice", "water"}
        What humidity below freezing is counted against.

    Returns
    -------
    Hours

    Raises
    ------
    RangeError
        No reading, a value out of range, or a span of more than `MOST_HOURS`.

    Notes
    -----
    Vapour pressure, saturation pressure and temperature are averaged, not relative humidity. An hour counts once,
    however many readings it has, so a record of uneven steps is weighted by time.
    """
    require_range("number of readings", float(seconds.size), 1, None)
    require_range("relative humidity", humidity, *air.HUMIDITY, "%", "by definition")
    hour = seconds // 3600
    first = int(hour.min())
    size = int(hour.max()) - first + 1
    require_range("length of the record", float(size), 1, MOST_HOURS, "h")
    hour -= first
    counts = np.bincount(hour, minlength=size)
    sums = np.zeros((3, size))
    for at in range(0, hour.size, _BLOCK):
        part = slice(at, at + _BLOCK)
        full = floats(air.saturation_pressure(temperature[part], phase))
        for total, values in zip(sums, (temperature[part], humidity[part] / 100 * full, full), strict=True):
            total += np.bincount(hour[part], values, size)
    known = np.flatnonzero(counts)
    means = sums[:, known] / counts[known]
    grid = np.arange(size)
    after = np.minimum(np.searchsorted(known, grid), known.size - 1)
    before = np.maximum(after - (known[after] != grid), 0)
    reached = known[after] - known[before] <= bridge
    warmth, pressure, saturation = (np.where(reached, np.interp(grid, known, mean), np.nan) for mean in means)
    return filled(np.datetime64(first, "h"), warmth, pressure, saturation, phase)


def filled(start: Hour, temperature: Floats, pressure: Floats, saturation: Floats, phase: Phase) -> Hours:
    """Hours from their air, with the moisture content that wood settles at in it."""
    moisture = np.full(pressure.size, np.nan)
    low, high = sorption.TEMPERATURE
    good = ~np.isnan(pressure) & (temperature >= low) & (temperature <= high)
    humidity = np.minimum(100 * pressure[good] / saturation[good], 100.0)  # over 100 by rounding only
    moisture[good] = sorption.equilibrium_moisture(temperature[good], humidity)
    return Hours(start, temperature, pressure, saturation, moisture, phase)


def coverage(hours: Hours) -> Floats:
    """Share of each month's hours that the record knows, whatever the year [-], shape (12,)."""
    day = _calendar(hours)[0]
    slot = day * 24 + hours.moments.astype(np.int64) % 24
    seen = np.zeros(365 * 24, dtype=bool)
    seen[slot[hours.known]] = True
    return floats(np.add.reduceat(seen, _FIRSTS * 24, dtype=np.float64) / (MONTH_DAYS * 24))


def weekly_moisture(hours: Hours) -> Floats:
    """Mean equilibrium moisture content of every seven days with enough readings, one for each day begun [% MC].

    Raises
    ------
    RangeError
        When no seven days have `LEAST_WEEK` hours.
    """
    good = ~np.isnan(hours.moisture)
    begins = np.arange(0, max(good.size - WEEK, 0) + 1, 24)
    ends = np.minimum(begins + WEEK, good.size)
    counts, sums = (
        np.concatenate([[0.0], np.cumsum(values)]) for values in (good, np.where(good, hours.moisture, 0.0))
    )
    covered = counts[ends] - counts[begins]
    enough = covered >= LEAST_WEEK
    if not enough.any():
        raise RangeError(
            "hours with readings in the fullest week",
            float(covered.max()),
            LEAST_WEEK,
            WEEK,
            "h",
            "dry and wet are weekly means",
        )
    return floats((sums[ends] - sums[begins])[enough] / covered[enough])


def record(
    hours: Hours,
    extremes: tuple[float, float] = EXTREMES,
    notes: Sequence[str] = (),
    sources: Sequence[str] = (),
) -> Record:
    """The year that hours make.

    Parameters
    ----------
    hours : Hours
        The record, of any length from a week on.
    extremes : tuple of float
        Percentiles of the weekly means that are dry and wet [%]: 0 to 49 and 51 to 100.
    notes, sources : sequence of str
        What the reader must know of the record, and where it comes from.

    Returns
    -------
    Record

    Raises
    ------
    RangeError
        A percentile out of range, or no week with enough readings.

    Notes
    -----
    A month's temperature is the mean of its hours; its humidity is the mean vapour pressure over saturation at that
    temperature; its moisture is the mean of the hours' equilibrium moisture contents, as the mean month's air would
    give too little. A month that the record does not know is a straight line between its neighbours that it does, the
    year taken as a ring, and says so; dry and wet come from weeks with readings alone.
    """
    require_range("percentile for dry", extremes[0], *LOW_EXTREME, "%")
    require_range("percentile for wet", extremes[1], *HIGH_EXTREME, "%")
    weeks = weekly_moisture(hours)
    dry, wet = (float(value) for value in np.percentile(weeks, extremes))
    month = _calendar(hours)[1]
    good = ~np.isnan(hours.moisture)
    counts = np.bincount(month[good], minlength=12)
    measured = counts >= LEAST_MONTH
    temperature, pressure, saturation, moisture = (
        np.bincount(month[good], values[good], 12)[measured] / counts[measured]
        for values in (hours.temperature, hours.pressure, hours.saturation, hours.moisture)
    )
    humidity = 100 * pressure / np.asarray(air.saturation_pressure(temperature, hours.phase))
    saturated = humidity > 100
    humidity[saturated] = np.minimum(100 * pressure / saturation, 100.0)[saturated]
    warmth, damp, settled = (
        np.interp(np.arange(12), np.flatnonzero(measured), values, period=12)
        for values in (temperature, humidity, moisture)
    )
    said = [*notes, _extremes_note(extremes, len(weeks)), *_coverage_notes(hours, measured)]
    if saturated.any():
        said.append(NOTE_SATURATED)
    lost = int(np.count_nonzero(hours.known & ~good))
    if lost:
        said.append(
            f"{lost:,} hours are left out: wood's equilibrium is known from {sorption.TEMPERATURE[0]:g} to "
            f"{sorption.TEMPERATURE[1]:g} °C."
        )
    if np.nanmin(hours.temperature) < sorption.TABLE_TEMPERATURE[0]:
        said.append(sorption.NOTE_EXTRAPOLATED)
    year = Climate(warmth, damp, settled, dry, wet, tuple(said), (*sources, climate.SOURCE_EMC))
    return Record(year, tuple(measured.tolist()), daily_moisture(hours))


def daily_moisture(hours: Hours) -> Floats | None:
    """Equilibrium moisture content of each day of the year, means over the years [% MC], shape (365,).

    29 February counts with the day before. Gaps of up to `BRIDGED_DAYS` are crossed in a straight line; ``None`` where
    one is longer.
    """
    good = ~np.isnan(hours.moisture)
    day = _calendar(hours)[0][good]
    counts = np.bincount(day, minlength=365)
    known = np.flatnonzero(counts)
    if not known.size or np.diff(known, append=known[0] + 365).max() > BRIDGED_DAYS + 1:
        return None
    means = np.bincount(day, hours.moisture[good], 365)[known] / counts[known]
    return np.interp(np.arange(365), known, means, period=365)


def _calendar(hours: Hours) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Day of the year, 0 to 364 (29 February as the 28th), and month, 0 to 11, of each hour."""
    days = hours.moments.astype("datetime64[D]")
    month = days.astype("datetime64[M]")
    number = month.astype(np.int64) % 12
    within = np.minimum((days - month).astype(np.int64), MONTH_DAYS[number] - 1)
    return _FIRSTS[number] + within, number


def _extremes_note(extremes: tuple[float, float], weeks: int) -> str:
    low, high = extremes
    of = f"the weekly means of the moisture content that wood settles at ({weeks:,} weeks, one begun each day)"
    if (low, high) == (0.0, 100.0):
        return f"Dry and wet are the lowest and the highest of {of}."
    return f"Dry and wet are the percentiles {low:g} and {high:g} of {of}."


def _coverage_notes(hours: Hours, measured: NDArray[np.bool_]) -> list[str]:
    said = []
    shares = coverage(hours)
    missing = [month for month, good in zip(MONTHS, measured, strict=True) if not good]
    thin = [month for month, good, share in zip(MONTHS, measured, shares, strict=True) if good and share < 0.5]
    if missing:
        said.append(
            f"Not measured: {', '.join(missing)}. What is shown for them is a straight line between the measured "
            "months before and after. Dry and wet come from the measured weeks only: the driest or the wettest week "
            "of the year may not be among them."
        )
    if thin:
        said.append(f"Less than half of the hours are measured in {', '.join(thin)}.")
    return said
