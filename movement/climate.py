"""Twelve months of air, from a range, months, a place outdoors, or a room at that place."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from movement import air, sorption, tables
from movement.arrays import Floats, floats
from movement.errors import RangeError, require_range

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

ROOM_TEMPERATURE = (5.0, 35.0)
"""Heating and cooling temperatures of a room [°C]; project limit, no source."""
SURPLUS = (0.0, 15.0)
"""Moisture surplus of indoor over outdoor air [g/m³]; homes are near 2-4 (Kalamees, AIVC 2006); project limit."""
ROOM_HUMIDITY = (10.0, 90.0)
"""Humidifier and dehumidifier settings [% RH]; project limit, no source."""
MONTH = (1, 12)
"""January to December."""
MOISTURE = (0.5, 30.0)
"""Moisture contents that a maker may state for a driest or wettest season [% MC]; up to the start of shrinkage."""
FROM_DRIEST = "from the driest up"
"""Why a wettest moisture content has the driest as its least."""

TYPED_TEMPERATURE = 20.0
"""Air temperature at which a stated moisture content is shown as humidity [°C]."""

NOTE_MONTHLY = (
    "Dry and wet are monthly means: a dry week goes somewhat lower and a damp week somewhat higher than its month."
)
SOURCE_EMC = "Equilibrium moisture content: Wood Handbook, FPL-GTR-282 (2021), eq. 4-5"


class UnknownPlaceError(ValueError):
    """A place that the table does not hold; ``suggestions`` names those it does."""

    def __init__(self, place: str, suggestions: tuple[str, ...]) -> None:
        self.place = place
        self.suggestions = suggestions
        super().__init__(f"No monthly weather here for “{place}”. Known places: {', '.join(suggestions)}.")


@dataclass(frozen=True, slots=True, eq=False)
class Climate:
    """The air that a piece lives in, and the moisture content that wood settles at in it.

    Attributes
    ----------
    temperature, humidity, moisture : ndarray, shape (12,)
        January to December: air [°C], [% RH], and equilibrium moisture content [% MC].
    dry, wet : float
        The driest and the wettest moisture content of the year [% MC].
    notes, sources : tuple of str
        What the reader must know, and where the numbers come from.
    daily : ndarray, shape (365,), or None
        Equilibrium moisture content of each day, of a climate that was recorded [% MC].
    """

    temperature: Floats
    humidity: Floats
    moisture: Floats
    dry: float
    wet: float
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = (SOURCE_EMC,)
    daily: Floats | None = None

    @property
    def mid(self) -> float:
        """The midpoint of dry and wet [% MC]."""
        return (self.dry + self.wet) / 2

    @property
    def doubt(self) -> str:
        """What makes the moistures of its months doubtful, in a sentence; empty where nothing does."""
        return " ".join(_cold(self.temperature))


@dataclass(frozen=True, slots=True)
class Room:
    """How a room's air is made from the air outdoors.

    Attributes
    ----------
    heating : float
        The room is never colder [°C], 5 to 35.
    cooling : float or None
        The room is never warmer [°C], 5 to 35 and not below heating; ``None``: no cooling, it follows the outdoor mean.
    surplus : float
        Water that living adds to each cubic metre of air [g/m³], 0 to 15.
    humidifier, dehumidifier : float or None
        The air is never drier, never damper [% RH], 10 to 90; ``None`` where there is none.

    Raises
    ------
    RangeError
        One of them out of range, cooling below heating, or the dehumidifier set below the humidifier.
    """

    heating: float = 20.0
    cooling: float | None = 25.0
    surplus: float = 2.0
    humidifier: float | None = None
    dehumidifier: float | None = 60.0

    def __post_init__(self) -> None:
        require_range("heating temperature", self.heating, *ROOM_TEMPERATURE, "°C")
        require_range("moisture surplus", self.surplus, *SURPLUS, "g/m³")
        if self.cooling is not None:
            require_range("cooling temperature", self.cooling, self.heating, ROOM_TEMPERATURE[1], "°C")
        for name, setting in (("humidifier", self.humidifier), ("dehumidifier", self.dehumidifier)):
            if setting is not None:
                require_range(f"{name} setting", setting, *ROOM_HUMIDITY, "%")
        if self.humidifier is not None and self.dehumidifier is not None:
            require_range("dehumidifier setting", self.dehumidifier, self.humidifier, ROOM_HUMIDITY[1], "%")


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """Twelve months of outdoor air at a place.

    Attributes
    ----------
    temperature, pressure, humidity, moisture : ndarray, shape (12,)
        Monthly means of the air [°C], its vapour pressure [Pa], its relative humidity [%], and the mean of the
        hours' equilibrium moisture contents [% MC].
    """

    name: str
    country: str
    temperature: Floats
    pressure: Floats
    humidity: Floats
    moisture: Floats
    source: str


@cache
def places() -> tuple[Place, ...]:
    """Every place of ``data/places.csv``, by name."""
    by_name: dict[str, list[tables.PlaceMonth]] = {}
    for row in tables.read("places").records:
        by_name.setdefault(row.place, []).append(row)
    found = []
    for name, rows in by_name.items():
        rows.sort(key=lambda row: row.month)
        if [row.month for row in rows] != list(range(1, 13)):
            raise ValueError(f"data/places.csv: {name} does not have months 1 to 12 once each")
        found.append(
            Place(
                name,
                rows[0].country,
                floats([row.temperature_mean_c for row in rows]),
                floats([row.vapour_pressure_mean_pa for row in rows]),
                floats([row.relative_humidity_mean_pct for row in rows]),
                floats([row.outdoor_emc_mean_of_hours_pct for row in rows]),
                rows[0].source,
            )
        )
    return tuple(sorted(found, key=lambda place: place.name))


def find_place(name: str) -> Place:
    """The place of that name, whatever the case; the start of a name is enough where only one place has it.

    Raises
    ------
    UnknownPlaceError
        When no place, or more than one, answers to the name.
    """
    wanted = " ".join(name.split()).casefold()
    exact = [place for place in places() if place.name.casefold() == wanted]
    begins = [place for place in places() if wanted and place.name.casefold().startswith(wanted)]
    for found in (exact, begins):
        if len(found) == 1:
            return found[0]
    raise UnknownPlaceError(name, tuple(place.name for place in begins or places()))


def from_range(
    dry_temperature: float, dry_humidity: float, wet_temperature: float, wet_humidity: float, driest_month: int = 1
) -> Climate:
    """A year between two states of the air, the wettest half a year after the driest, along a cosine.

    Where the two are far apart in temperature and close in moisture, the months between can be a little drier or wetter
    than both: dry and wet are then theirs.

    Parameters
    ----------
    dry_temperature, wet_temperature : float
        Air in the driest and the wettest season [°C], as `sorption.TEMPERATURE`.
    dry_humidity, wet_humidity : float
        Relative humidity then [%], 0 to 100.
    driest_month : int
        The month of the driest air, 1 (January) to 12.

    Raises
    ------
    RangeError
        Out of the range of the equation, or when the dry state is the damper of the two.
    """
    require_range("driest month", driest_month, *MONTH, "")
    share = (1 - np.cos((np.arange(12) - (driest_month - 1)) * np.pi / 6)) / 2
    temperature = dry_temperature + (wet_temperature - dry_temperature) * share
    humidity = dry_humidity + (wet_humidity - dry_humidity) * share
    year = from_months(temperature, humidity)
    dry, wet = float(year.moisture[driest_month - 1]), float(year.moisture[(driest_month + 5) % 12])
    if dry > wet:
        raise RangeError("moisture content in the dry season", dry, None, wet, "%", "the wet season's")
    return Climate(temperature, humidity, year.moisture, year.dry, year.wet, _cold(temperature))


def from_moisture(dry: float, wet: float, driest_month: int = 1) -> Climate:
    """A year between two stated moisture contents; its air is shown at 20 °C.

    Parameters
    ----------
    dry, wet : float
        Driest and wettest moisture content [% MC], within `MOISTURE`, dry not above wet.
    driest_month : int
        As in `from_range`.

    Raises
    ------
    RangeError
        Out of range, dry above wet, or wetter than wood gets in saturated air at 20 °C.
    """
    require_range("driest moisture content", dry, *MOISTURE, "%")
    require_range("wettest moisture content", wet, dry, MOISTURE[1], "%", FROM_DRIEST)
    humidity = floats(sorption.equilibrium_humidity(TYPED_TEMPERATURE, np.array([dry, wet])))
    year = from_range(TYPED_TEMPERATURE, float(humidity[0]), TYPED_TEMPERATURE, float(humidity[1]), driest_month)
    note = "Moisture contents as stated; the months between are a cosine, shown as air at 20 °C (68 °F)."
    return Climate(year.temperature, year.humidity, year.moisture, dry, wet, (note,))


def from_months(temperature: ArrayLike, humidity: ArrayLike) -> Climate:
    """A year from twelve months of air.

    Parameters
    ----------
    temperature : ndarray, shape (12,)
        January to December [°C], as `sorption.TEMPERATURE`.
    humidity : ndarray, shape (12,)
        January to December [% RH], 0 to 100.

    Raises
    ------
    RangeError
        A month out of range, or another number of months than 12.
    """
    temperature, humidity = floats(temperature), floats(humidity)
    for values in (temperature, humidity):
        if values.shape != (12,):
            raise RangeError("number of months", float(values.size), 12, 12)
    moisture = floats(sorption.equilibrium_moisture(temperature, humidity))
    notes = (NOTE_MONTHLY, *_cold(temperature))
    return Climate(temperature, humidity, moisture, float(moisture.min()), float(moisture.max()), notes)


def from_place(place: Place, room: Room | None = None) -> Climate:
    """A year at a place: in a room, or outdoors under cover where room is ``None``.

    Outdoors, moisture is the mean of the hours' equilibrium moisture contents: the mean month's air would give up
    to 2.6 % MC less. Indoors, the month's mean vapour pressure plus the room's surplus is brought to the room's
    temperature.

    Raises
    ------
    RangeError
        When a month would pass 100 % RH in the room.
    """
    weather = f"Weather of {place.name}: {place.source}"
    if room is None:
        notes = ("Outdoors under cover: moisture is the mean of the hours' values.", NOTE_MONTHLY)
        moisture = place.moisture
        return Climate(
            place.temperature,
            place.humidity,
            moisture,
            float(moisture.min()),
            float(moisture.max()),
            notes + _cold(place.temperature),
            (weather, SOURCE_EMC),
        )
    temperature, humidity = indoors(place.temperature, place.pressure, room)
    year = from_months(temperature, humidity)
    note = f"A room at {place.name}, {room.surplus:g} g/m³ of water above the outdoor air."
    return Climate(temperature, humidity, year.moisture, year.dry, year.wet, (note, *year.notes), (weather, SOURCE_EMC))


def indoors(temperature: ArrayLike, pressure: ArrayLike, room: Room) -> tuple[Floats, Floats]:
    """The air of a room from the air outdoors: RH = (p_out + Δp) / p_sat(T_in), between the room's settings.

    Parameters
    ----------
    temperature, pressure : ndarray, shape (n,)
        Outdoor air [°C] and its vapour pressure [Pa].
    room : Room
        Its heating, cooling, surplus, humidifier and dehumidifier.

    Returns
    -------
    tuple of ndarray, shape (n,)
        Indoor temperature [°C] and relative humidity [%].

    Raises
    ------
    RangeError
        Where no dehumidifier holds the air and it would pass 100 % RH.

    Source
    ------
    The moisture balance p_i = p_e + Δv·R_v·T_i, as used by Kalamees (AIVC 2006) to measure homes' surplus.
    """
    inside = np.maximum(floats(temperature), room.heating)
    if room.cooling is not None:
        inside = np.minimum(inside, room.cooling)
    humidity = floats(air.indoor_humidity(floats(pressure), inside, room.surplus))
    if room.humidifier is not None:
        humidity = np.maximum(humidity, room.humidifier)
    if room.dehumidifier is not None:
        humidity = np.minimum(humidity, room.dehumidifier)
    if humidity.max() > 100:
        raise RangeError(
            "indoor humidity",
            float(humidity.max()),
            0,
            100,
            "%",
            "saturation; set a dehumidifier, a smaller surplus or a warmer room",
        )
    return inside, humidity


def month_list(climate: Climate) -> Sequence[tuple[str, float, float, float]]:
    """Month, temperature [°C], humidity [% RH], moisture [% MC], twelve times."""
    return [
        (month, float(t), float(h), float(m))
        for month, t, h, m in zip(MONTHS, climate.temperature, climate.humidity, climate.moisture, strict=True)
    ]


def _cold(temperature: Floats) -> tuple[str, ...]:
    return (sorption.NOTE_EXTRAPOLATED,) if np.any(sorption.extrapolates(temperature)) else ()
