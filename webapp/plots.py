"""The charts of a year and of a log: humidity and moisture by months, by days, and along a record."""

from collections.abc import Sequence
from datetime import date
from math import ceil, isfinite, nan

import numpy as np

from movement import climate, records
from movement.arrays import Floats, floats
from movement.climate import Climate, month_list
from movement.lengths import Unit
from movement.parts.climates import AnyClimate, RecordClimate
from movement.records import WEEK, Hours
from movement.temperatures import SCALES, degrees
from webapp import charts
from webapp.charts import Chart, Level, Look, Plot, Series, Table, Tick
from webapp.words import dated

HEAD = ("Month", "Temperature", "Relative humidity (%)", "Moisture content (%)")
FEW_DAYS = 60
"""A record of up to so many days is drawn by days, a longer one by weeks [days]."""
MOST_BLOCKS = 130
"""Points of a record's line; where there are more weeks, several make a point."""
DAYS_TOGETHER = 5
"""Days of the year that make a point: 365 divides by it."""
MOST_STEPS = 6
"""Names below a record's line."""
DAY_STEPS = (1, 2, 7, 14)
MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600)
"""Days, and months, from one of these names to the next."""


def by_month(chosen: AnyClimate, unit: Unit = "mm") -> Chart:
    """Relative humidity and moisture content over twelve months; months that were not measured are dotted.

    Its table has the temperatures too, in the scale that goes with the unit.
    """
    year = chosen.year()
    measured = [month.measured for month in chosen.months] if isinstance(chosen, RecordClimate) else [True] * 12
    missing = unmeasured(chosen)
    plots = (
        Plot("Relative humidity of the air, %", _partly(year.humidity, measured, "")),
        Plot(
            "Moisture content of wood, %", _partly(year.moisture, measured, "second"), _levels(year), band=_band(year)
        ),
    )
    steps = [(float(place), name[0]) for place, name in enumerate(climate.MONTHS)]
    words = (
        f"Over the year the relative humidity runs from {year.humidity.min():.0f} to {year.humidity.max():.0f} % and "
        f"settled wood from {year.dry:.1f} to {year.wet:.1f} % moisture content."
    )
    if missing:
        words += f" Not measured: {', '.join(missing)}."
    scale = SCALES[unit]
    head = (HEAD[0], f"{HEAD[1]} ({scale})", *HEAD[2:])
    rows = tuple(
        (f"{name} (not measured)" if name in missing else name, f"{degrees(t, scale):.1f}", f"{h:.0f}", f"{m:.1f}")
        for name, t, h, m in month_list(year)
    )
    return charts.chart(plots, (0.0, 11.0), steps, "Air and wood over twelve months", words, Table(head, rows))


def unmeasured(chosen: AnyClimate) -> list[str]:
    """The months of a record that no reading tells of."""
    if not isinstance(chosen, RecordClimate):
        return []
    return [name for name, month in zip(climate.MONTHS, chosen.months, strict=True) if not month.measured]


def dotted(chosen: AnyClimate) -> str:
    """What the dotted months of a chart are; empty where none is."""
    missing = unmeasured(chosen)
    return f" Dotted: not measured, {', '.join(missing)}." if missing else ""


def by_day(chosen: RecordClimate) -> Chart | None:
    """Moisture content through a year of days, five at a time; None where the record does not know them all."""
    if chosen.daily_moisture_pct is None:
        return None
    year = chosen.year()
    moisture = np.asarray(chosen.daily_moisture_pct).reshape(-1, DAYS_TOGETHER).mean(axis=1)
    along = [DAYS_TOGETHER * (at + 0.5) for at in range(moisture.size)]
    line = Series(along, moisture.tolist(), "second")
    plot = Plot("Moisture content that wood settles at, %", (line,), _levels(year), band=_band(year))
    firsts = np.cumsum([0, *records.MONTH_DAYS[:-1]])
    steps = [
        (float(first + days / 2), name[0])
        for first, days, name in zip(firsts, records.MONTH_DAYS, climate.MONTHS, strict=True)
    ]
    words = (
        f"Means of {DAYS_TOGETHER} days run from {moisture.min():.1f} to {moisture.max():.1f} % moisture content; dry "
        f"is {year.dry:.1f} and wet {year.wet:.1f} %."
    )
    rows = tuple((_day(int(place)), f"{value:.1f}") for place, value in zip(along, moisture, strict=True))
    table = Table((f"Middle of {DAYS_TOGETHER} days", "Moisture content (%)"), rows)
    return charts.chart((plot,), (0.0, 365.0), steps, "Wood through the days of the year", words, table)


def along(hours: Hours, year: Climate) -> Chart:
    """Humidity and moisture content along a record: by days, by weeks, or by several weeks; gaps stay open."""
    size, block = hours.moisture.size, _block(hours)
    count = ceil(size / block)
    moisture, pressure, saturation = (
        _means(values, block, count) for values in (hours.moisture, hours.pressure, hours.saturation)
    )
    humidity = np.minimum(100 * pressure / saturation, 100.0)
    middles = [(block * at + min(block * (at + 1), size)) / 48 for at in range(count)]
    plots = (
        Plot("Relative humidity of the air, %", (Series(middles, humidity.tolist()),)),
        Plot(
            "Moisture content that wood settles at, %",
            (Series(middles, moisture.tolist(), "second"),),
            _levels(year),
            band=_band(year),
        ),
    )
    start = hours.start.astype("datetime64[D]").item()
    words = (
        f"From {dated(start)}, means of {together(hours)}: relative humidity {np.nanmin(humidity):.0f} to "
        f"{np.nanmax(humidity):.0f} %, moisture content {np.nanmin(moisture):.1f} to {np.nanmax(moisture):.1f} %."
    )
    rows = tuple(
        (_date(start, block * at // 24), f"{damp:.0f}", f"{wood:.1f}")
        for at, (damp, wood) in enumerate(zip(humidity, moisture, strict=True))
        if isfinite(wood)
    )
    table = Table((f"First day of {together(hours)}", HEAD[2], HEAD[3]), rows)
    steps = dates(start, size / 24)
    return charts.chart(plots, (0.0, size / 24), steps, "Air and wood along the record", words, table)


def together(hours: Hours) -> str:
    """What makes a point of a record's line: "one day", "one week", "8 weeks"."""
    block = _block(hours)
    return {24: "one day", WEEK: "one week"}.get(block, f"{block // WEEK} weeks")


def _block(hours: Hours) -> int:
    """Hours that make a point of a record's line."""
    size = hours.moisture.size
    block = 24 if size <= FEW_DAYS * 24 else WEEK
    while ceil(size / block) > MOST_BLOCKS:
        block *= 2
    return block


def _levels(year: Climate) -> tuple[Level, ...]:
    return (
        Level(year.wet, f"wet {year.wet:.1f}", "dim"),
        Level(year.mid, f"mid {year.mid:.1f}", "ghost"),
        Level(year.dry, f"dry {year.dry:.1f}", "dim"),
    )


def _band(year: Climate) -> tuple[float, float]:
    return (year.dry, year.wet)


def _partly(values: Floats, measured: Sequence[bool], look: Look) -> tuple[Series, ...]:
    """The line of twelve months; where some are not measured, a dotted line leads through these."""
    months = range(12)
    if all(measured):
        return (Series(months, values.tolist(), look),)
    beside = [not all(measured[max(at - 1, 0) : at + 2]) for at in months]
    solid = [value if good else nan for value, good in zip(values, measured, strict=True)]
    dotted = [value if near else nan for value, near in zip(values, beside, strict=True)]
    return (Series(months, solid, look), Series(months, dotted, "third"))


def _means(values: Floats, block: int, count: int) -> Floats:
    """Means over blocks of hours, NaN where a block knows nothing."""
    good = ~np.isnan(values)
    at = np.arange(values.size)[good] // block
    counts = np.bincount(at, minlength=count)
    sums = np.bincount(at, values[good], count)
    return floats(np.divide(sums, counts, out=np.full(count, nan), where=counts > 0))


def _day(place: int) -> str:
    """A day of the year, 0 for 1 January, in words."""
    when = date.fromordinal(date(2001, 1, 1).toordinal() + place)
    return f"{when.day} {when:%B}"


def _date(start: date, days: int) -> str:
    when = date.fromordinal(start.toordinal() + days)
    return dated(when)


def dates(start: date, days: float) -> list[Tick]:
    """Names for a span of dates: days where it is short, else months, with the year where it begins, or years."""
    if days <= FEW_DAYS:
        step = next((step for step in DAY_STEPS if days / step <= MOST_STEPS), DAY_STEPS[-1])
        firsts = [date.fromordinal(start.toordinal() + place) for place in range(0, ceil(days), step)]
        return [((one - start).days + 0.0, f"{one.day} {one:%b}") for one in firsts]
    end = date.fromordinal(start.toordinal() + int(days))
    months = range(12 * start.year + start.month - (start.day == 1), 12 * end.year + end.month)
    step = next((step for step in MONTH_STEPS if len(months) / step <= MOST_STEPS), MONTH_STEPS[-1])
    firsts = [date(month // 12, month % 12 + 1, 1) for month in months if month % step == 0]
    return [((one - start).days + 0.0, f"{one:%Y}" if step >= 12 else _month(one, firsts)) for one in firsts]


def _month(one: date, firsts: Sequence[date]) -> str:
    """A month's name; with the year in January, and on the first where no January follows it at once."""
    first = one == firsts[0] and (len(firsts) < 2 or firsts[1].month != 1)
    return f"{one:%b %Y}" if one.month == 1 or first else f"{one:%b}"
