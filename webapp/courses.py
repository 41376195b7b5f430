"""The charts of a part's moisture: through the year that it repeats, or along its way home."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from functools import lru_cache
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from movement import climate, journey
from movement.arrays import Floats
from movement.journey import YEAR, Journey
from movement.lag import Band
from movement.season import Season
from webapp import charts, plots
from webapp.charts import Chart, Level, Plot, Range, Series, Table
from webapp.words import dated

if TYPE_CHECKING:
    from movement.piece import Piece

HEADING = "Moisture content, %"
HEIGHT = 150.0
MOST_POINTS = 400
"""Points of the line of a way: more cannot be told apart."""
MOST_ROWS = 36
"""Months that the table of a way names."""


@lru_cache(64)  # most changes of a panel leave its year as it was
def year(band: Band, season: Season) -> Chart:
    """A part's moisture through the year, with the driest, the wettest, the middle and today's."""
    middles = journey.MONTH_MIDDLES
    steps = [(float(day), name[0]) for day, name in zip(middles, climate.MONTHS, strict=True)]
    rows = tuple((name, *values) for name, values in zip(climate.MONTHS, _numbers(band, middles), strict=True))
    table = Table(_head("Middle of", band), rows)
    words = f"{_spans(band)} {_season(season)}"
    return charts.chart([_plot(band, season)], (0.0, YEAR), steps, "Through the year", words, table)


def way(path: Journey, band: Band, season: Season) -> Chart:
    """A part's moisture on its way home and through its first year there, with the days of moving marked."""
    start, home = path.assembled, path.stays[-1].first
    last = float((home - start).days) + YEAR
    band = _until(band, last)
    moves = [(float((stay.first - start).days), _place(path, at)) for at, stay in enumerate(path.stays)]
    words = (
        f"{'; '.join(f'{name} from {dated(stay.first)}' for (_, name), stay in zip(moves, path.stays, strict=True))}. "
        f"{_spans(band)} {_season(season)}"
    )
    days = tuple(_days(path, last))
    numbers = _numbers(band, [(day - start).days + 1e-6 for day, _ in days])
    rows = tuple((dated(day), place, *values) for (day, place), values in zip(days, numbers, strict=True))
    when, *columns = _head("Day", band)
    title = "On the way home and through the first year there"
    table = Table((when, "Kept", *columns), rows)
    return charts.chart([_plot(band, season)], (0.0, last), plots.dates(start, last), title, words, table, moves)


def of(piece: "Piece") -> Chart:
    """The chart of a part that takes its moisture and thickness from its piece."""
    exposure, now = piece.exposure(), piece.defaults.moisture_now_pct
    band, season = exposure.band(now), exposure.season(now)
    return year(band, season) if exposure.journey is None else way(exposure.journey, band, season)


def lags(band: Band) -> bool:
    """Whether the part differs from the air."""
    return band.middle is not band.air


def _plot(band: Band, season: Season) -> Plot:
    times = band.times.tolist()
    levels = (
        Level(season.wet, f"wet {season.wet:.1f}", "dim"),
        Level(season.mid, f"mid {season.mid:.1f}", "ghost"),
        Level(season.dry, f"dry {season.dry:.1f}", "dim"),
        Level(season.now, f"today {season.now:.1f}", "now"),
    )
    if not lags(band):
        return Plot(HEADING, (Series(times, band.air.tolist(), "second", "air, part"),), levels, height=HEIGHT)
    lines = (Series(times, band.air.tolist(), "second", "air"), Series(times, band.middle.tolist(), "", "part"))
    area = Range(times, band.low.tolist(), band.high.tolist())
    return Plot(HEADING, lines, levels, (area,), height=HEIGHT)


def _head(when: str, band: Band) -> tuple[str, ...]:
    air = "Air leads to (%)"
    return (when, air, "Part, lowest (%)", "Part, middle (%)", "Part, highest (%)") if lags(band) else (when, air)


def _numbers(band: Band, days: Sequence[float] | Floats) -> list[tuple[str, ...]]:
    """The moisture contents on some days, in words, a row for each day."""
    values = (band.air, band.low, band.middle, band.high) if lags(band) else (band.air,)
    columns = (np.interp(days, band.times, one).tolist() for one in values)
    return [tuple(f"{value:.1f}" for value in row) for row in zip(*columns, strict=True)]


def _spans(band: Band) -> str:
    air = f"The air leads to {band.air.min():.1f} to {band.air.max():.1f} % moisture content"
    if not lags(band):
        return f"{air}, and the part is taken to follow it at once."
    return f"{air}; the part follows late and damped, between {band.low.min():.1f} and {band.high.max():.1f} %."


def _season(season: Season) -> str:
    return (
        f"The fit counts with {season.dry:.1f} % at the driest and {season.wet:.1f} % at the wettest, today's "
        f"{season.now:.1f} % included; the middle is {season.mid:.1f} %."
    )


def _until(band: Band, last: float) -> Band:
    """The band up to a day, at points that can be told apart, the moves among them."""
    size = int(np.searchsorted(band.times, last, "right"))
    jumps = np.flatnonzero(np.diff(band.times[:size]) == 0)
    apart = np.unique(band.times[:size] // (last / MOST_POINTS), return_index=True)[1]
    kept = np.unique(np.concatenate([apart, jumps, jumps + 1, [size - 1]]))
    low, middle, high, air = (values[kept] for values in (band.low, band.middle, band.high, band.air))
    return Band(band.times[kept], *((low, middle, high, air) if lags(band) else (air,) * 4))


def _place(path: Journey, index: int) -> str:
    """A stay's name for the reader; the last is the home."""
    if index + 1 == len(path.stays):
        return "Home"
    return path.stays[index].name or f"Place {index + 1}"


def _days(path: Journey, last: float) -> Iterator[tuple[date, str]]:
    """The days of the table, each with the place: moves, and the first days of months between them."""
    start, end = path.assembled, path.assembled + timedelta(days=last)
    count = 12 * (end.year - start.year) + end.month - start.month
    months = range(12 * start.year + start.month, 12 * start.year + start.month + count, ceil(count / MOST_ROWS))
    moves = {stay.first: _place(path, index) for index, stay in enumerate(path.stays)}
    place = ""
    for day in sorted({*moves, *(date(month // 12, month % 12 + 1, 1) for month in months)}):
        place = moves.get(day, place)
        yield day, place
