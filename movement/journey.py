"""Where a piece goes from the day it is assembled: shop, store, van, home; and the air it meets on the way."""

from calendar import isleap
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from movement.arrays import Floats, floats
from movement.climate import Climate
from movement.errors import RangeError

YEAR = 365.0
"""Days of the year that a climate repeats; 29 February is taken as a day between the 28th and 1 March."""
SETTLING_YEARS = 3
"""Years at the last place over which a part is followed; after them it is between where it was and what repeats."""
MOST_STAYS = 20
STEP = YEAR / 96
"""Longest step of a path [days]: a yearly swing's highest point is met to 0.03 % of the swing."""
FIRST_STEPS = np.geomspace(0.01, 20.0, 42)
"""Days after a move at which a path is told too, each a fifth later than the last: a part then changes quickly."""
MONTH_MIDDLES = np.array([15.5, 45.0, 74.5, 105.0, 135.5, 166.0, 196.5, 227.5, 258.0, 288.5, 319.0, 349.5])
"""Day of the year of the middle of each month, shape (12,)."""
_LEAP_DAY = 59
_WEEK = np.full(7, 1 / 7)
_FLAT = 1e-6
"""Range of a year below which only dry and wet tell of a swing [% MC]: it is then a cosine."""


class JourneyError(ValueError):
    """Stays that do not follow one another; ``index`` is the one that begins too early."""

    def __init__(self, index: int, message: str) -> None:
        self.index = index
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Stay:
    """A place where the piece is kept from a day on, until the next stay begins."""

    name: str
    climate: Climate
    first: date


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """The equilibrium moisture content of the air along the way.

    Attributes
    ----------
    times : ndarray, shape (m,)
        Days since assembly, not decreasing; a move is two equal times.
    moisture : ndarray, shape (m,)
        Equilibrium moisture content of the air then [% MC]; straight lines between.
    """

    times: Floats
    moisture: Floats


@dataclass(frozen=True, slots=True)
class Journey:
    """The stays of a piece from the day of assembly on, the home last.

    Raises
    ------
    RangeError
        Without a stay, or with too many.
    JourneyError
        With stays that do not follow one another.
    """

    stays: tuple[Stay, ...]

    def __post_init__(self) -> None:
        if not 1 <= len(self.stays) <= MOST_STAYS:
            raise RangeError("number of stays", float(len(self.stays)), 1, MOST_STAYS)
        for index, (before, after) in enumerate(zip(self.stays, self.stays[1:], strict=False), start=1):
            if after.first <= before.first:
                raise JourneyError(
                    index,
                    f"The stay at {after.name or 'the next place'} begins on {after.first.isoformat()}; it must begin "
                    f"after the one at {before.name or 'the place before it'} does, on {before.first.isoformat()}.",
                )

    @property
    def assembled(self) -> date:
        """The day that the journey begins."""
        return self.stays[0].first

    def path(self) -> Path:
        """The air's equilibrium moisture content from assembly through three years at the last place."""
        ends = [stay.first for stay in self.stays[1:]]
        ends.append(self.stays[-1].first + timedelta(days=SETTLING_YEARS * YEAR))
        parts = [_path(stay, end) for stay, end in zip(self.stays, ends, strict=True)]
        begins = [(stay.first - self.assembled).days for stay in self.stays]
        times = [part.times + begin for part, begin in zip(parts, begins, strict=True)]
        return Path(np.concatenate(times), np.concatenate([part.moisture for part in parts]))

    def extremes(self) -> tuple[float, float]:
        """The driest and the wettest equilibrium moisture content on the way, the home's whole year included [% MC]."""
        moisture = self.path().moisture
        home = self.stays[-1].climate
        return min(float(moisture.min()), home.dry), max(float(moisture.max()), home.wet)


def knots(climate: Climate) -> tuple[Floats, Floats]:
    """The moisture content of the air through the year: the middles of the months or, recorded, the days.

    It spans dry and wet exactly. For a record these are weeks' means, so seven days' means are followed; where days are
    missing, the months', drawn apart as far as dry and wet are: a slow swing is followed more fully than a week's that
    goes as far, so that is the cautious way.

    Returns
    -------
    days, moisture : ndarray, shape (n,)
        Day of the year, and the equilibrium moisture content then [% MC].
    """
    if climate.daily is None:
        days, moisture = MONTH_MIDDLES, climate.moisture
    else:
        days = np.arange(YEAR) + 0.5
        moisture = np.convolve(np.concatenate([climate.daily[-3:], climate.daily, climate.daily[:3]]), _WEEK, "valid")
    if np.ptp(moisture) < _FLAT:
        moisture = -np.cos((days - days[0]) * 2 * np.pi / YEAR)
    share = (moisture - moisture.min()) / np.ptp(moisture)
    return days, climate.dry + share * (climate.wet - climate.dry)


def at(climate: Climate, day: Floats) -> Floats:
    """The moisture content of a climate's air on days of the year, straight between its `knots` [% MC]."""
    return floats(np.interp(day, *knots(climate), period=YEAR))


def year(climate: Climate) -> Path:
    """The moisture content of a climate's air from one first of January to the next."""
    # a set and no np.unique, which loads numpy.ma: a part of the first page's time
    days = floats(sorted({*knots(climate)[0].tolist(), *np.arange(0.0, YEAR, STEP).tolist(), YEAR}))
    return Path(days, at(climate, days))


def _path(stay: Stay, end: date) -> Path:
    """A stay's path, in days since it began: at its ends, at the climate's knots, and often enough between."""
    days, moisture = knots(stay.climate)
    years = range(stay.first.year - 1, end.year + 2)
    begins = np.array([(date(year, 1, 1) - stay.first).days for year in years], dtype=np.float64)[:, None]
    longer = np.array([isleap(year) for year in years])[:, None]
    moments = (begins + days + (longer & (days >= _LEAP_DAY))).ravel()
    length = float((end - stay.first).days)
    times = np.unique(np.concatenate([moments, FIRST_STEPS, np.arange(0.0, length, STEP), [length]]))
    times = times[(times >= 0) & (times <= length)]
    return Path(times, floats(np.interp(times, moments, np.tile(moisture, len(years)))))
