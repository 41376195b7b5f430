"""A hygrometer's log: its readings as hours of air, and how the file was understood."""

from dataclasses import dataclass
from io import BytesIO
from math import ceil
from typing import BinaryIO, NamedTuple

import numpy as np
from numpy.typing import NDArray

from movement import records, sorption, stamps
from movement.arrays import Floats
from movement.climate import MONTHS
from movement.headings import Unit
from movement.layout import BY_THE_FILE, HEAD, SEPARATORS, Layout, LogError, Options, layout
from movement.readings import SHORT, UNREAD, Progress, Readings, readings
from movement.records import EXTREMES, Hours, Record
from movement.stamps import Order
from movement.understood import Column, Dropped, Gap, Understood, in_words, rows_in_words

MOST_BYTES = 120_000_000
"""Largest log [bytes]."""
MOST_GAPS = 10
"""Gaps that are named."""
MOST_INTERVAL = 26.0
"""Readings must usually come once a day [h]; an hour and more to spare."""

FAULT = -40.0
"""The temperature that a failing sensor gives, °C or °F; common practice, no source."""
NO_READING = (-99.0, 999.0)
"""Numbers that stand for no reading: from here down, from here up; common practice, no source."""
WARMEST_CELSIUS, COOLEST_FAHRENHEIT = 35.0, 45.0
"""A median up to 35 is taken for °C and from 45 for °F where the file names no unit; between, it is open."""

MANY = 0.95
"""Share of the rows below which their loss is a warning [-]."""

_ENCODINGS = {
    "utf-8": "UTF-8",
    "utf-8-sig": "UTF-8",
    "utf-16": "UTF-16",
    "utf-16-le": "UTF-16",
    "utf-16-be": "UTF-16",
    "cp1252": "Latin-1 (Windows-1252)",
}
_HOUR = 3600
_DAY = 86_400


@dataclass(frozen=True, slots=True, eq=False)
class Log:
    """A log's hours of air, and how the file was understood."""

    understood: Understood
    hours: Hours

    def record(self, extremes: tuple[float, float] = EXTREMES) -> Record:
        """The year that the log makes; see `movement.records.record`."""
        span = f"{in_words(self.understood.first)} to {in_words(self.understood.last)}"
        return records.record(
            self.hours, extremes, (f"From a hygrometer's log, {span}.",), ("Air: a hygrometer's log",)
        )


def read(source: bytes | BinaryIO, options: Options = BY_THE_FILE, progress: Progress | None = None) -> Log:
    """A hygrometer's log from its CSV file.

    Parameters
    ----------
    source : bytes or seekable binary file
        Plain text: any order of columns, header or none, commas, semicolons, tabs, bars or blanks between columns,
        decimal point or comma, UTF-8, UTF-16 or Latin-1; at most `MOST_BYTES` and `movement.readings.MOST_ROWS`.
    options : Options
        What the maker decides instead of the program.
    progress : callable or None
        Told the share of the file that is read, 0 to 1.

    Returns
    -------
    Log

    Raises
    ------
    LogError
        The file cannot be read as a log, is too large, or no row of it can be used: says why, and where in the file.

    Notes
    -----
    Rows without a date, without numbers or with a sensor's sign of failure are left out and counted, never mended.
    Below freezing humidity is counted against water, as hygrometers do (the meteorologists' convention, from memory).

    Example
    -------
    >>> lines = ["Zeit;Temperatur (°C);rel. Feuchte (%)"] + [f"{day}.1.2025 12:00;20,5;45" for day in range(1, 21)]
    >>> log = read("\\n".join(lines).encode())
    >>> log.understood.used, log.understood.dates, log.understood.decimal
    (20, 'day.month.year, 24-hour clock', 'comma')
    """
    stream = BytesIO(source) if isinstance(source, bytes) else source
    size = stream.seek(0, 2)
    if size > MOST_BYTES:
        raise LogError(f"The file is larger than {MOST_BYTES // 1_000_000} MB; no log is that long. Cut it into years.")
    stream.seek(0)
    plan = layout(stream.read(HEAD), options)
    stream.seek(0)
    rows = readings(stream, size, plan, progress)
    return _log(plan, rows, _good(plan, rows, options))


class _Unit(NamedTuple):
    """Unit of the temperatures, how it is known, and whether it is sure."""

    unit: Unit
    why: str
    sure: bool


class _Good(NamedTuple):
    """The readings that can be used, in the order of the file: time [s], air [°C] and [% RH]; what was decided."""

    times: NDArray[np.int64]
    warmth: Floats
    humidity: Floats
    order: Order
    unit: _Unit
    dropped: tuple[Dropped, ...]
    warnings: list[str]


def _good(plan: Layout, rows: Readings, options: Options) -> _Good:
    line, one, two, second = (
        np.frombuffer(values, np.intc) for values in (rows.line, rows.day_first, rows.month_first, rows.second)
    )
    temperature, humidity = (np.frombuffer(values, np.float64) for values in (rows.temperature, rows.humidity))
    dated = one > UNREAD[0]
    order = stamps.order(one[dated], two[dated], second[dated], options.day_first)
    day = one if order.day_first else two
    reasons = [
        ("too few columns", day == SHORT[0]),
        ("no date and time that can be read", day == UNREAD[0]),
        (f"no such day, or outside {stamps.YEARS[0]} to {stamps.YEARS[1]}", day == stamps.NONE),
        ("no number for temperature or humidity", np.isnan(temperature) | np.isnan(humidity)),
        (
            "a sensor's sign of failure: −40, 999 and the like",
            (temperature == FAULT) | _stands_for_none(temperature) | _stands_for_none(humidity),
        ),
        ("a humidity of 0 % or less", humidity <= 0),
        ("a humidity above 100 %", humidity > 100),
    ]
    unit = _unit(plan, temperature[~np.any([bad for _, bad in reasons], axis=0)])
    warmth = temperature if unit.unit == "°C" else (temperature - 32) / 1.8
    low, high = sorption.TEMPERATURE
    reasons.append((f"a temperature outside {low:g} to {high:g} °C", ~((low <= warmth) & (warmth <= high))))
    good = ~np.any([bad for _, bad in reasons], axis=0)
    dropped = _dropped(reasons, line)
    if not good.any():
        why = "; ".join(f"{part.rows:,} × {part.why} (first in line {part.first_line:,})" for part in dropped)
        raise LogError(f"None of the {line.size:,} rows can be used: {why}.")
    warnings = []
    if good.sum() < MANY * good.size:
        warnings.append(f"{1 - good.mean():.0%} of the rows cannot be used.")
    humidity = humidity[good]
    if humidity.max() <= 1:
        humidity *= 100
        warnings.append("No humidity is above 1: they are taken for parts of one, not for percent.")
    times = day[good] * np.int64(_DAY) + second[good]
    return _Good(times, warmth[good], humidity, order, unit, dropped, warnings)


def _log(plan: Layout, rows: Readings, good: _Good) -> Log:
    interval = _interval(good.times)
    turns = _turns(good.times, interval)
    sort, repeated, apart = _unique(good.times, good.warmth, good.humidity)
    times, warmth = good.times[sort], good.warmth[sort]
    bridge = max(records.BRIDGE, ceil(2 * interval / _HOUR))
    hours = records.hourly(times, warmth, good.humidity[sort], bridge)
    gaps = _gaps(times, bridge)
    shares = records.coverage(hours)
    warnings = [*plan.warnings, *good.warnings, *turns, *_doubts(plan, rows, good, shares)]
    if apart:
        warnings.append(
            f"{rows_in_words(apart)} with the time of another and other numbers: their hour takes the mean."
        )
    if bridge > records.BRIDGE:
        warnings.append(f"Readings are far apart: straight lines join those up to {bridge} hours from each other.")
    used = _used(plan)
    understood = Understood(
        encoding=_ENCODINGS[plan.encoding],
        separator=SEPARATORS[plan.separator],
        decimal=rows.decimal,
        columns=tuple(Column(use, at + 1, plan.heading(at)) for use, at in used.items()),
        others=tuple(name for at, name in enumerate(plan.names) if name and at not in used.values()),
        unit=good.unit.unit,
        unit_why=good.unit.why,
        unit_sure=good.unit.sure,
        dates=_dates(plan, rows, good.order),
        dates_why=good.order.why if rows.open else "written so that there is no question",
        dates_sure=good.order.sure or not rows.open,
        first=times[0].astype("datetime64[s]"),
        last=times[-1].astype("datetime64[s]"),
        interval=interval / 60,
        rows=len(rows.line),
        used=times.size,
        dropped=good.dropped,
        duplicates=repeated,
        gaps=gaps[:MOST_GAPS],
        gap_count=len(gaps),
        covered=float(np.average(shares, weights=records.MONTH_DAYS)),
        months=tuple(shares.tolist()),
        warnings=tuple(warnings),
    )
    return Log(understood, hours)


def _stands_for_none(values: Floats) -> NDArray[np.bool_]:
    return (values <= NO_READING[0]) | (values >= NO_READING[1])


def _dropped(reasons: list[tuple[str, NDArray[np.bool_]]], line: NDArray[np.intc]) -> tuple[Dropped, ...]:
    """The rows left out, each for the first reason that applies."""
    found = []
    left = np.ones(line.size, dtype=bool)
    for why, bad in reasons:
        at = np.flatnonzero(bad & left)
        if at.size:
            found.append(Dropped(why, at.size, int(line[at[0]])))
        left &= ~bad
    return tuple(found)


def _unit(plan: Layout, temperature: Floats) -> _Unit:
    """The unit by what the file says, else by the numbers."""
    if plan.unit is not None:
        return _Unit(plan.unit, plan.unit_why, True)
    middle = float(np.median(temperature)) if temperature.size else 0.0
    if middle >= COOLEST_FAHRENHEIT:
        return _Unit("°F", f"the file names no unit, and a median of {middle:.3g} is too warm for °C", True)
    if middle <= WARMEST_CELSIUS:
        return _Unit("°C", f"the file names no unit, and a median of {middle:.3g} would be frost in °F", False)
    return _Unit("°C", f"the file names no unit, and a median of {middle:.3g} could be either", False)


def _interval(times: NDArray[np.int64]) -> float:
    """The usual time between readings [s]."""
    steps = np.diff(np.unique(times))
    if not steps.size:
        raise LogError("All readings that can be used have the same time; a log needs a week or more.")
    interval = float(np.median(steps))
    if interval > MOST_INTERVAL * _HOUR:
        raise LogError(f"Readings usually come {interval / _DAY:.1f} days apart; a log needs one a day or more.")
    return interval


def _turns(times: NDArray[np.int64], interval: float) -> list[str]:
    """What the order of the readings tells, in the order of the file: changes of the clock, rows out of place."""
    if np.count_nonzero(np.diff(times) < 0) > np.count_nonzero(np.diff(times) > 0):
        times = times[::-1]
    said = []
    steps, before = np.diff(times), times[:-1]
    night = ((before // _DAY + 4) % 7 == 0) & (before % _DAY < 4 * _HOUR) & (interval <= _HOUR)
    back, forward = (night & (np.abs(steps - interval - shift) <= 60) for shift in (-_HOUR, _HOUR))
    for found, what in (
        (back, "an hour comes twice, as when summer time ends; it takes the mean of its readings"),
        (forward, "an hour is missing, as when summer time begins"),
    ):
        if found.any():
            days = ", ".join(in_words(moment.astype("datetime64[s]")) for moment in before[found][:4])
            said.append(f"In the night of {days} {what}.")
    turns = int(np.count_nonzero((steps < 0) & ~back))
    if turns:
        said.append(f"The readings are not in the order of time: it turns back {turns:,} times. They were sorted.")
    return said


def _unique(times: NDArray[np.int64], warmth: Floats, humidity: Floats) -> tuple[NDArray[np.int64], int, int]:
    """The readings sorted by time, each once; how many repeat another; how many only share its time."""
    if np.all(np.diff(times) > 0):
        return np.arange(times.size), 0, 0
    order = np.lexsort((humidity, warmth, times))
    alike = np.diff(times[order]) == 0
    same = alike & (np.diff(warmth[order]) == 0) & (np.diff(humidity[order]) == 0)
    kept = order[np.concatenate([[True], ~same])]
    return kept, int(same.sum()), int((alike & ~same).sum())


def _gaps(times: NDArray[np.int64], bridge: int) -> tuple[Gap, ...]:
    """The times without readings that no line crosses, the longest first."""
    at = np.flatnonzero(np.diff(times // _HOUR) > bridge)
    found = [(times[start : start + 2].astype("datetime64[s]"), int(times[start + 1] - times[start])) for start in at]
    return tuple(Gap(ends[0], ends[1], length / _DAY) for ends, length in sorted(found, key=lambda gap: -gap[1]))


def _doubts(plan: Layout, rows: Readings, good: _Good, shares: Floats) -> list[str]:
    """What to check, in words."""
    said = []
    if not good.unit.sure:
        said.append(f"Temperatures are taken for {good.unit.unit}: {good.unit.why}. Choose the other if that is wrong.")
    if rows.open and not good.order.sure:
        said.append(f"{'Day' if good.order.day_first else 'Month'} first: {good.order.why}.")
    if plan.epoch:
        said.append("Times count seconds since 1970: the hours are those of Greenwich, not of the place.")
    if rows.offset is not None:
        sign, minutes = "-" if rows.offset < 0 else "+", abs(rows.offset) // 60
        said.append(f"Times carry their distance from UTC; all count at {sign}{minutes // 60:02}:{minutes % 60:02}.")
    if good.warmth.min() < 0:
        said.append("Below freezing, humidity is counted against water, as hygrometers do.")
    missing = [month for month, share in zip(MONTHS, shares, strict=True) if not share]
    if missing:
        said.append(f"No readings in {', '.join(missing)}. Dry and wet come from the other months alone.")
    return said


def _used(plan: Layout) -> dict[str, int]:
    """The columns that are used, by use."""
    time = {"date and time": plan.time} if plan.clock is None else {"date": plan.time, "time of day": plan.clock}
    return {**time, "temperature": plan.temperature, "humidity": plan.humidity}


def _dates(plan: Layout, rows: Readings, order: Order) -> str:
    """How dates and times are written, in words."""
    if plan.epoch:
        return "seconds since 1970"
    style = rows.style
    if rows.open and len(style) == 1:
        style = style.join(["day", "month", "year"] if order.day_first else ["month", "day", "year"])
    if not rows.timed:
        return f"{style}, no time of day"
    return f"{style}, {'12-hour clock with AM and PM' if rows.halves else '24-hour clock'}"
