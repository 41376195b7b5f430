"""Other stock for a part: the same species quarter-sawn, or dried nearer to the year where the piece will live."""

from dataclasses import replace
from math import ceil, floor

from movement import wood as stock
from movement.season import Season
from movement.wood import Wood

QUARTERED = "Use quarter-sawn stock of the same species: then"
"""How the sentence begins that says what quarter-sawn stock would do."""
_LEAST_SAVED = 1e-6
STRAY = 0.5
"""How far outside the year stock may lie without a word [% MC]; our choice, no source: as near as meters tell."""


def quartered(wood: Wood) -> Wood | None:
    """The species quarter-sawn; ``None`` where that moves no less, to a tenth of the last figure published."""
    flat = stock.cut(wood.species, 90.0)
    return flat if flat.across < wood.across - _LEAST_SAVED else None


def nearer(season: Season) -> Season | None:
    """The season of stock as near to today's as the year allows; ``None`` where today's is inside the year already.

    Its moisture is a tenth inside the year, where the year is as wide, so that what is read holds.
    """
    near = min(max(season.now, season.year_dry), season.year_wet)
    if near == season.now:
        return None
    tenth = (floor(near * 10) if near < season.now else ceil(near * 10)) / 10
    return replace(season, now=tenth if season.year_dry <= tenth <= season.year_wet else near)


def stray(season: Season) -> str:
    """What to know of stock that lies outside the year where the piece will live; empty where it does not.

    Example
    -------
    >>> stray(Season(12.3, 4.6, 10.1)).partition(":")[0]
    "Today's 12.3 % lies 2.2 % above the wettest of the home's year (10.1 %)"
    >>> stray(Season(8, 6, 11)), stray(Season(10.4, 4.6, 10.1))
    ('', '')
    """
    above, below = season.now - season.year_wet, season.year_dry - season.now
    if max(above, below) <= STRAY:
        return ""
    off, side, end, moves = (
        (above, "above the wettest", season.year_wet, "shrink")
        if above > 0
        else (below, "below the driest", season.year_dry, "swell")
    )
    return (
        f"Today's {season.now:.1f} % lies {off:.1f} % {side} of the home's year ({end:.1f} %): everything cut from "
        f"such stock, the frame as well, will {moves} once for good. Let the stock come inside that year first; what "
        "is sized here counts with today's moisture as it is."
    )


def drier(season: Season, near: Season) -> str:
    """What the stock of the season near is against today's."""
    return "drier" if near.now < season.now else "less dry"


def told(season: Season, near: Season) -> str:
    """How the sentence begins that says what stock of the season near would do."""
    return f"Use {drier(season, near)} stock: at {near.now:.1f} % moisture content, inside the home's own year,"
