"""The charts of a part's moisture: through the year that it repeats, or along its way home."""


import numpy as np

from movement import climate, journey
from movement.journey import YEAR
from movement.lag import Band
from movement.season import Season
from webapp import charts
from webapp.charts import Chart, Level, Plot, Range, Series, Table

HEADING = "Moisture content, %"
HEIGHT = 150.0


def year(band: Band, season: Season) -> Chart:
    """A part's moisture through the year, with the driest, the wettest, the middle and today's."""
    middles = journey.MONTH_MIDDLES
    steps = [(float(day), name[0]) for day, name in zip(middles, climate.MONTHS, strict=True)]
    rows = tuple((name, *_numbers(band, day)) for name, day in zip(climate.MONTHS, middles, strict=True))
    table = Table(_head("Middle of", band), rows)
    words = f"{_spans(band)} {_season(season)}"
    return charts.chart([_plot(band, season)], (0.0, YEAR), steps, "Through the year", words, table)


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


def _numbers(band: Band, day: float) -> tuple[str, ...]:
    values = (band.air, band.low, band.middle, band.high) if lags(band) else (band.air,)
    return tuple(f"{np.interp(day, band.times, one):.1f}" for one in values)


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
