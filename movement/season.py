"""Now, dry, wet and mid for one part, and how its size stands then against today's."""

from dataclasses import dataclass
from functools import lru_cache

from movement.climate import FROM_DRIEST, Climate
from movement.errors import require_range
from movement.swelling import size_ratio
from movement.wood import Wood

MOISTURE = (1.0, 30.0)
"""Moisture content of a part that is to be cut and fitted [% MC]: from nearly dry to the start of shrinkage."""

YEAR_MOISTURE = (0.0, 40.0)
"""Moisture content that a year's air may bring wood to [% MC]; saturated cold air passes 30 %."""


@dataclass(frozen=True, slots=True)
class Season:
    """The moisture contents that a part meets from assembly on [% MC].

    Attributes
    ----------
    now : float
        On the day of fitting.
    year_dry, year_wet : float
        The driest and the wettest of the year where the piece lives.
    """

    now: float
    year_dry: float
    year_wet: float

    @property
    def dry(self) -> float:
        """The driest that the part meets, today included."""
        return min(self.now, self.year_dry)

    @property
    def wet(self) -> float:
        """The wettest that the part meets, today included."""
        return max(self.now, self.year_wet)

    @property
    def mid(self) -> float:
        """The midpoint of dry and wet, the neutral fit; Peck, FPL Report 1655: fit near the midpoint."""
        return (self.dry + self.wet) / 2


@dataclass(frozen=True, slots=True)
class Ratios:
    """A dimension at the driest, middle and wettest moisture over the same dimension today [-]."""

    dry: float
    mid: float
    wet: float


def season(now: float, climate: Climate) -> Season:
    """The season of a part at equilibrium with the year: the full swing, which is the cautious one.

    Parameters
    ----------
    now : float
        Moisture content on the day of fitting, 1 to 30 [% MC].
    climate : Climate
        The year; its driest and wettest moisture contents are what counts.

    Raises
    ------
    RangeError
        Moisture today out of range.
    """
    return between(now, climate.dry, climate.wet)


def between(now: float, dry: float, wet: float) -> Season:
    """The season of a part between a driest and a wettest moisture content, today's included.

    Parameters
    ----------
    now, dry, wet : float
        Moisture contents [% MC]: now 1 to 30, dry and wet 0 to 40, dry not above wet.

    Raises
    ------
    RangeError
        Out of range, or dry above wet.
    """
    require_range("moisture content today", now, *MOISTURE, "%")
    require_range("driest moisture content", dry, *YEAR_MOISTURE, "%")
    require_range("wettest moisture content", wet, dry, YEAR_MOISTURE[1], "%", FROM_DRIEST)
    return Season(now, dry, wet)


def across(season: Season, wood: Wood) -> Ratios:
    """How the width of a part of this wood stands against today's."""
    return _ratios(season, wood.across, wood.start_of_shrinkage)


def through(season: Season, wood: Wood) -> Ratios:
    """How the thickness of a part of this wood stands against today's."""
    return _ratios(season, wood.through, wood.start_of_shrinkage)


@lru_cache(maxsize=4096)  # the panels of a piece share a few seasons and woods
def _ratios(season: Season, coefficient: float, start: float) -> Ratios:
    dry, mid, wet = (
        float(size_ratio(coefficient, season.now, moisture, start)) for moisture in (season.dry, season.mid, season.wet)
    )
    return Ratios(dry, mid, wet)
