"""A part that follows the year late and damped: its mean moisture, with a range for what is not known."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from movement import course, slab
from movement import journey as journeys
from movement.arrays import Floats
from movement.climate import Climate
from movement.errors import require_range
from movement.journey import FIRST_STEPS, STEP, YEAR, Journey, Path, at
from movement.season import MOISTURE, Season
from movement.slab import DIFFUSION, FILM_BARE, FILM_LIMITS, THICKNESS

NOTE = (
    "Lagged: the part's mean moisture by linear diffusion through its thickness, for a low, middle and high diffusion "
    "coefficient; the wider result counts. A finish slows moisture and never stops it."
)
_DIFFUSIONS = np.array(list(DIFFUSION.values()))
_STARTS = 36
_KEPT = 16


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


@dataclass(frozen=True, slots=True)
class Swing:
    """How much of a steady yearly swing of the air a part follows [-], and how late [days]: least and most."""

    least: float
    most: float
    soonest: float
    latest: float


def swing(section: Section) -> Swing:
    """What a part follows of a steady yearly swing, for a low, middle and high diffusion coefficient."""
    followed, late = slab.sine_response(section.thickness, _DIFFUSIONS, section.film, YEAR)
    return Swing(float(np.min(followed)), float(np.max(followed)), float(np.min(late)), float(np.max(late)))


def season(now: float, climate: Climate, section: Section) -> Season:
    """The season of a lagged part assembled on a day that is not known.

    Parameters
    ----------
    now : float
        Moisture content on the day of fitting, 1 to 30 [% MC].
    climate : Climate
        Where it lives.
    section : Section
        What slows it down.

    Raises
    ------
    RangeError
        Moisture today, or the year's, out of range.

    Notes
    -----
    The driest and the wettest over every day of assembly, of which every tenth is taken: a thick part at the top of its
    own swing that is assembled just before the damp months goes on rising and passes that swing. After a year its way
    lies between where it was a year before and the swing that repeats, which is taken in as well. Against every fifth
    day, two points a day and four years this is right to 0.02 % MC.
    """
    require_range("moisture content today", now, *MOISTURE, "%")
    start, rest = _assembled(climate, section)
    return _season(now, rest + now * start, year(climate, section))


def along(now: float, journey: Journey, section: Section) -> tuple[Season, Band]:
    """The season of a lagged part along its journey, and the path of its moisture.

    Raises
    ------
    RangeError
        Moisture today, or the air's, out of range.
    """
    require_range("moisture content today", now, *MOISTURE, "%")
    path, start, rest = _travelled(journey, section)
    found = rest + now * start
    return _season(now, found, year(journey.stays[-1].climate, section)), _band(path.times, found, path.moisture)


@lru_cache(_KEPT)
def year(climate: Climate, section: Section) -> Band:
    """The year that a settled part repeats, from one first of January to the next."""
    air = journeys.year(climate)
    found = course.periodic(air.times[:-1], air.moisture[:-1], section.thickness, _DIFFUSIONS, section.film, YEAR)
    return _band(air.times, np.concatenate([found, found[:, :1]], axis=1), air.moisture)


@lru_cache(_KEPT)
def _assembled(climate: Climate, section: Section) -> tuple[Floats, Floats]:
    """What is left of the moisture at the start [-], and what the air gave since [% MC], for every day of assembly."""
    days = np.unique(np.concatenate([FIRST_STEPS, np.arange(0.0, YEAR + STEP, STEP)]))
    starts = np.arange(_STARTS)[:, None] * YEAR / _STARTS
    return _shares(days, at(climate, starts + days), section)


@lru_cache(_KEPT)
def _travelled(journey: Journey, section: Section) -> tuple[Path, Floats, Floats]:
    """The path of the air, and as of `_assembled` what is left and what the air gave along it."""
    path = journey.path()
    start, rest = _shares(path.times, path.moisture[None, :], section)
    return path, start, rest[0]


def _shares(times: Floats, air: Floats, section: Section) -> tuple[Floats, Floats]:
    """Of parts along some paths: what is left of the moisture at the start [-], and what the air gave [% MC].

    Diffusion is linear, so the mean moisture is the second and today's moisture times the first.
    """
    paths = np.concatenate([np.zeros_like(air[:1]), air])[:, None, :]
    starts = np.zeros((len(paths), 1))
    starts[0] = 1.0
    found = course.follow(times, paths, section.thickness, _DIFFUSIONS, section.film, starts)
    return found[0], found[1:]


def _season(now: float, found: Floats, settled: Band) -> Season:
    dry, wet = min(found.min(), settled.low.min()), max(found.max(), settled.high.max())
    return Season(now, float(dry), float(wet))


def _band(times: Floats, found: Floats, air: Floats) -> Band:
    return Band(times, found.min(axis=0), found[1], found.max(axis=0), air)
