"""A log or a weather file on its way to a year: what it is, what it says, and the year that it makes."""

from collections.abc import Callable
from typing import BinaryIO, Literal

from movement import hygrometer, weather
from movement.climate import Room
from movement.hygrometer import Log
from movement.layout import Options
from movement.parts.climates import RecordClimate
from movement.records import EXTREMES, Hours
from movement.temperatures import show
from movement.weather import Weather

Kind = Literal["log", "epw"]
"""A hygrometer's log, or a weather file in the EPW format."""
HEAD = 4096
"""Bytes that tell the kind."""
_PLACE_CELLS = 10
"""Cells of a weather file's first line, LOCATION and what follows."""


def kind_of(name: str, head: bytes) -> Kind:
    """What a file is, by its name and its beginning.

    Example
    -------
    >>> kind_of("town.epw", b""), kind_of("data.txt", b"LOCATION,Town,,XYZ,,,57.2,-2.2,0,65"), kind_of("a.csv", b"Time")
    ('epw', 'epw', 'log')
    """
    first = head.removeprefix(b"\xef\xbb\xbf").partition(b"\n")[0].upper()
    placed = first.startswith(b"LOCATION,") and first.count(b",") + 1 >= _PLACE_CELLS
    return "epw" if placed or name.lower().endswith(".epw") else "log"


def read(
    kind: Kind, stream: BinaryIO, options: Options, progress: Callable[[float], None] | None = None
) -> Log | Weather:
    """A file's hours; options are those of a log.

    Raises
    ------
    LogError, WeatherError
        The file cannot be read: says why, and where.
    """
    if kind == "epw":
        return weather.read(stream, progress)
    return hygrometer.read(stream, options, progress)


def hours(found: Log | Weather, room: Room | None) -> Hours:
    """The air hour by hour; in a room at a weather file's place where there is one.

    Raises
    ------
    RangeError
        The room's air would pass 100 % RH.
    """
    return found.hours if room is None or isinstance(found, Log) else weather.indoors(found.hours, room)


def year(found: Log | Weather, room: Room | None = None, extremes: tuple[float, float] = EXTREMES) -> RecordClimate:
    """The year that a file makes, with what was understood of it.

    Raises
    ------
    RangeError
        No week with enough readings, or the room's air would pass 100 % RH.
    """
    record = found.record(extremes) if isinstance(found, Log) else found.record(room, extremes)
    return RecordClimate.of(record, (*summary(found), *([_words(room)] if room else ())))


def summary(found: Log | Weather) -> tuple[str, ...]:
    """What was understood, one sentence on each thing."""
    if isinstance(found, Log):
        return found.understood.summary
    source = found.source or "source not named"
    return (f"A weather file of {found.name}, {position(found)}: {source}.", *found.warnings)


def _words(room: Room) -> str:
    """How a room's air is made."""
    parts = [
        f"heated to {_warmth(room.heating)}",
        "not cooled" if room.cooling is None else f"cooled to at most {_warmth(room.cooling)}",
        f"{room.surplus:g} g/m³ more water than outdoors",
    ]
    if room.humidifier is not None:
        parts.append(f"humidified to at least {room.humidifier:g} %")
    if room.dehumidifier is not None:
        parts.append(f"dried to at most {room.dehumidifier:g} %")
    return f"A room {', '.join(parts)}."


def _warmth(temperature: float) -> str:
    """A temperature in both scales: these words are kept, and read in pages of either."""
    return f"{show(temperature, '°C')} ({show(temperature, '°F')})"


def position(found: Weather) -> str:
    """Where a weather file's place is."""
    north, east = ("N" if found.latitude >= 0 else "S"), ("E" if found.longitude >= 0 else "W")
    at = f"{abs(found.latitude):.2f}° {north}, {abs(found.longitude):.2f}° {east}"
    return f"{at}, {found.elevation:g} m above the sea"
