"""A part that follows the year late and damped: its mean moisture, with a range for what is not known."""

from dataclasses import dataclass

import numpy as np

from movement import course
from movement.arrays import Floats
from movement.climate import Climate
from movement.errors import require_range
from movement.journey import YEAR, Journey, at, month_middles
from movement.season import MOISTURE, Season
from movement.slab import DIFFUSION, FILM_BARE, FILM_LIMITS, THICKNESS

NOTE = (
    "Lagged: the part's mean moisture by linear diffusion through its thickness, for a low, middle and high diffusion "
    "coefficient; the wider result counts. A finish slows moisture and never stops it."
)
_DIFFUSIONS = np.array(list(DIFFUSION.values()))
_STARTS = 12
_YEARS = 3


@dataclass(frozen=True, slots=True)
class Section:
    """What slows a part down.

    Attributes
    ----------
    thickness : float
        Of the part [mm], within `slab.THICKNESS`; both faces meet the air.
    film : float
        Surface coefficient of its finish [m/s], within `slab.FILM_LIMITS`.

    Raises
    ------
    RangeError
        One of them out of range.
    """

    thickness: float
    film: float = FILM_BARE

    def __post_init__(self) -> None:
        require_range("thickness", self.thickness, *THICKNESS, "mm")
        require_range("surface coefficient", self.film, *FILM_LIMITS, "m/s")


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """A part's mean moisture over time, for the slowest and the fastest diffusion.

    Attributes
    ----------
    times : ndarray, shape (m,)
        Days: of the year, or since assembly.
    low, middle, high : ndarray, shape (m,)
        The lowest, the middle and the highest of the mean moisture contents [% MC].
    air : ndarray, shape (m,)
        Equilibrium moisture content of the air [% MC].
    """

    times: Floats
    low: Floats
    middle: Floats
    high: Floats
    air: Floats


def season(now: float, climate: Climate, section: Section) -> Season:
    """The season of a lagged part assembled on a day that is not known: the extremes over twelve starting months.

    Parameters
    ----------
    now : float
        Moisture content on the day of fitting, 1 to 30 [% MC].

    Raises
    ------
    RangeError
        Moisture today, or the year's, out of range.
    """
    require_range("moisture content today", now, *MOISTURE, "%")
    days = np.arange(_YEARS * 24 + 1) * YEAR / 24
    starts = np.arange(_STARTS) * YEAR / _STARTS
    air = at(climate, starts[:, None] + days)
    found = course.follow(
        days,
        np.repeat(air, len(_DIFFUSIONS), axis=0),
        section.thickness,
        np.tile(_DIFFUSIONS, _STARTS),
        section.film,
        now,
    ).mean
    settled = year(climate, section)
    dry, wet = min(found.min(), settled.low.min()), max(found.max(), settled.high.max())
    return Season(now, float(dry), float(wet))


def along(now: float, journey: Journey, section: Section) -> tuple[Season, Band]:
    """The season of a lagged part along its journey, and the path of its moisture.

    Raises
    ------
    RangeError
        Moisture today, or the air's, out of range.
    """
    require_range("moisture content today", now, *MOISTURE, "%")
    path = journey.path()
    found = course.follow(path.times, path.moisture, section.thickness, _DIFFUSIONS, section.film, now).mean
    settled = year(journey.stays[-1].climate, section)
    band = Band(path.times, found.min(axis=0), found[1], found.max(axis=0), path.moisture)
    dry, wet = min(found.min(), settled.low.min()), max(found.max(), settled.high.max())
    return Season(now, float(dry), float(wet)), band


def year(climate: Climate, section: Section) -> Band:
    """The year that a settled part repeats, at the middles of the months and between them."""
    middles = month_middles()
    days = np.sort(np.concatenate([middles, np.mod(middles + YEAR / 24, YEAR)]))
    air = at(climate, days)
    found = course.periodic(days, air, section.thickness, _DIFFUSIONS, section.film, YEAR).mean
    return Band(days, found.min(axis=0), found[1], found.max(axis=0), air)
