"""How a part follows the air, and the places that a piece passes on its way home, as they are described in JSON."""

from collections.abc import Sequence
from datetime import date
from typing import Annotated

from pydantic import AfterValidator, Field

from movement.exposure import Following
from movement.finish import BARE, find
from movement.journey import MOST_STAYS, Journey, Stay
from movement.lag import Section
from movement.parts.climates import AnyClimate
from movement.parts.fields import Described, bounded, told
from movement.slab import THICKNESS

Thickness = Annotated[float, bounded(THICKNESS, "mm", "Thickness of the part")]
FIRST_DAY = date(1990, 1, 1)
LAST_DAY = date(2100, 12, 31)
Day = Annotated[date, Field(ge=FIRST_DAY, le=LAST_DAY, strict=False), told("Day, as 2025-03-31")]


def _known(name: str) -> str:
    return find(name).name


FinishName = Annotated[
    str,
    Field(max_length=80),
    AfterValidator(_known),
    told("Finish on both faces, by its name in GET /api/v1/finishes; read where the part follows late"),
]
"""The name of a finish of the table."""

HowFollowing = Annotated[
    Following, told("equilibrium: the full swing of the air; lagged: late and damped, by thickness and finish")
]


class FollowingFields(Described):
    """Whether a part takes the air's full swing or follows it late and damped."""

    following: HowFollowing = "equilibrium"
    thickness_mm: Annotated[Thickness | None, told("Thickness of the part; needed where it follows late", "mm")] = None
    finish: FinishName = BARE


def section(following: Following, thickness: float | None, finish_name: str) -> Section | None:
    """What slows a part down; ``None`` where it takes the full swing.

    Raises
    ------
    ValueError
        Lagged, and the thickness is not told.
    """
    if following == "equilibrium":
        return None
    if thickness is None:
        raise ValueError("A part that follows the air late needs its thickness.")
    return Section(thickness, find(finish_name).film)


class StayFields(Described):
    """A place where the piece is kept from a day on."""

    name: Annotated[str, Field(max_length=80), told("Name of the place; may be empty")] = ""
    first: Annotated[Day, told("Day from which the piece is kept there, as 2025-03-31")]
    climate: Annotated[AnyClimate, told("The air of a year at that place")]


def journey(stays: Sequence[StayFields], home: AnyClimate, home_first: date | None) -> Journey | None:
    """The way home; ``None`` where the piece is at home from the start.

    Raises
    ------
    ValueError
        Stays, and no day of coming home.
    RangeError
        Days that do not follow one another.
    """
    if not stays:
        return None
    if home_first is None:
        raise ValueError("Say on which day the piece comes home.")
    before = [Stay(stay.name, stay.climate.year(), stay.first) for stay in stays]
    return Journey((*before, Stay("home", home.year(), home_first)))


Stays = Annotated[
    list[StayFields],
    Field(max_length=MOST_STAYS - 1),
    told("Places that the piece passes on its way home, in order of their days"),
]
