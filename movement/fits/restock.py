"""Other stock for a part: the same species quarter-sawn, or dried nearer to the year where the piece will live."""

from dataclasses import replace
from math import ceil, floor

from movement import wood as stock
from movement.season import Season
from movement.wood import Wood

QUARTERED = "Use quarter-sawn stock of the same species: then"
"""How the sentence begins that says what quarter-sawn stock would do."""
_LEAST_SAVED = 1e-6


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


def drier(season: Season, near: Season) -> str:
    """What the stock of the season near is against today's."""
    return "drier" if near.now < season.now else "less dry"


def told(season: Season, near: Season) -> str:
    """How the sentence begins that says what stock of the season near would do."""
    return f"Use {drier(season, near)} stock: at {near.now:.1f} % moisture content, inside the home's own year,"
