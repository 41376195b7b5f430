"""What a part is exposed to from assembly on: a year or a journey, followed at once or late and damped."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from movement import journey as journeys
from movement import lag
from movement import season as seasons
from movement.climate import Climate
from movement.journey import Journey, Path
from movement.lag import Band, Section
from movement.season import Season

Following = Literal["equilibrium", "lagged"]
"""How a part follows the air: ``equilibrium`` takes the full swing, which is the cautious one."""


@dataclass(frozen=True, slots=True, eq=False)
class Exposure:
    """A year where the piece lives, or a journey that ends there; and what slows the part down.

    Attributes
    ----------
    climate : Climate
        Of the home.
    section : Section or None
        Thickness and finish of a part that follows the air late; ``None``: the full equilibrium swing.
    journey : Journey or None
        The stays from assembly on, the home last; ``None``: at home from the start.
    """

    climate: Climate
    section: Section | None = None
    journey: Journey | None = None

    def season(self, now: float) -> Season:
        """The season of a part that has this moisture content on the day of fitting.

        Parameters
        ----------
        now : float
            1 to 30 [% MC].

        Raises
        ------
        RangeError
            Out of range.
        """
        if self.journey is not None:
            if self.section is not None:
                return lag.along(now, self.journey, self.section)[0]
            return seasons.between(now, *self.journey.extremes())
        if self.section is not None:
            return lag.season(now, self.climate, self.section)
        return seasons.season(now, self.climate)

    def band(self, now: float) -> Band:
        """The part's moisture over time: since assembly on a journey, else through the year that it repeats.

        Raises
        ------
        RangeError
            Moisture today out of range.
        """
        if self.section is not None:
            return (
                lag.year(self.climate, self.section)
                if self.journey is None
                else lag.along(now, self.journey, self.section)[1]
            )
        return _followed(self.climate) if self.journey is None else _at_once(self.journey.path())


@lru_cache(256)  # pages draw the same few years again and again
def _followed(climate: Climate) -> Band:
    return _at_once(journeys.year(climate))


def _at_once(air: Path) -> Band:
    return Band(air.times, air.moisture, air.moisture, air.moisture, air.moisture)
