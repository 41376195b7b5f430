"""Where a piece goes from the day it is assembled: shop, store, van, home; and the air it meets on the way."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from movement.arrays import Floats, floats
from movement.climate import Climate
from movement.errors import RangeError

YEAR = 365.0
"""Days of the year that a climate repeats."""
SETTLING_YEARS = 3
"""Years at the last place over which a part is followed; by then all but very thick or sealed parts repeat."""
MOST_STAYS = 20
_MONTH_MIDDLES = np.array([15.5, 45.0, 74.5, 105.0, 135.5, 166.0, 196.5, 227.5, 258.0, 288.5, 319.0, 349.5])


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
        Without a stay, with too many, or with stays that do not follow one another.
    """

    stays: tuple[Stay, ...]

    def __post_init__(self) -> None:
        if not 1 <= len(self.stays) <= MOST_STAYS:
            raise RangeError("number of stays", float(len(self.stays)), 1, MOST_STAYS)
        for before, after in zip(self.stays, self.stays[1:], strict=False):
            if after.first <= before.first:
                raise RangeError(
                    f"first day at {after.name or 'the next place'}",
                    after.first.isoformat(),
                    None,
                    None,
                    "",
                    f"after {before.first.isoformat()}, when {before.name or 'the stay before it'} begins",
                )

    @property
    def assembled(self) -> date:
        """The day that the journey begins."""
        return self.stays[0].first

    def path(self) -> Path:
        """The air's equilibrium moisture content from assembly through three years at the last place."""
        times: list[Floats] = []
        moisture: list[Floats] = []
        for index, stay in enumerate(self.stays):
            last = index + 1 == len(self.stays)
            end = stay.first + timedelta(days=SETTLING_YEARS * YEAR) if last else self.stays[index + 1].first
            days = stretch(stay.first, end)
            times.append(days + (stay.first - self.assembled).days)
            moisture.append(at(stay.climate, days + day_of_year(stay.first)))
        return Path(np.concatenate(times), np.concatenate(moisture))

    def extremes(self) -> tuple[float, float]:
        """The driest and the wettest equilibrium moisture content on the way, the home's whole year included [% MC]."""
        moisture = self.path().moisture
        home = self.stays[-1].climate
        return min(float(moisture.min()), home.dry), max(float(moisture.max()), home.wet)


def day_of_year(day: date) -> float:
    """Days since the year began; 29 February counts as 1 March."""
    start = date(day.year, 1, 1)
    days = (day - start).days
    leap = day.year % 4 == 0 and (day.year % 100 != 0 or day.year % 400 == 0)
    return float(days - (1 if leap and days > 59 else 0))


def stretch(first: date, end: date) -> Floats:
    """Days from first to end at which a path bends [days since first]: its ends and the middles of the months."""
    length = float((end - first).days)
    start = day_of_year(first)
    years = np.arange(np.ceil((start + length) / YEAR) + 1)[:, None] * YEAR
    middles = (years + _MONTH_MIDDLES[None, :]).ravel() - start
    inside = middles[(middles > 0) & (middles < length)]
    return np.concatenate([[0.0], inside, [length]])


def at(climate: Climate, day: Floats) -> Floats:
    """A climate's equilibrium moisture content on days of the year, straight between the middles of months [% MC]."""
    wrapped = np.concatenate([_MONTH_MIDDLES[-1:] - YEAR, _MONTH_MIDDLES, _MONTH_MIDDLES[:1] + YEAR])
    values = np.concatenate([climate.moisture[-1:], climate.moisture, climate.moisture[:1]])
    return floats(np.interp(np.mod(day, YEAR), wrapped, values))


def month_middles() -> Floats:
    """Day of the year of the middle of each month, shape (12,)."""
    return _MONTH_MIDDLES.copy()
