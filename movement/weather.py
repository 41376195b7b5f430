"""A weather file of a place in the EPW format: a year of hours outdoors, and of a room there."""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO, TextIOWrapper
from math import nan
from typing import BinaryIO, NamedTuple

import numpy as np
from numpy.typing import NDArray

from movement import air, climate, records
from movement.air import Phase
from movement.arrays import Floats, floats
from movement.climate import Room
from movement.records import EXTREMES, Hours, Record

MOST_BYTES = 20_000_000
"""Largest file [bytes]: a year of hours takes 1.6 million."""
YEAR_HOURS = (8760, 8784)
"""Hours of a plain and of a leap year; a file holds one year."""
STEPS = (1, 2, 3, 4, 6, 12, 60)
"""Rows per hour that a file may have."""
MOST_MISSING = 0.1
"""Share of the rows that may lack air [-]; project rule, no source."""
COLD = -2.0
"""Below this humidity over ice and over water differ by more than rounding [°C]."""
TEMPERATURE = (-60.0, 70.0)
"""[°C] The format's own −70 to 70, as far down as saturation pressure is known here."""

_MISSING = {6: 99.9, 7: 99.9, 8: 999.0}
"""Fields of dry bulb, dew point and relative humidity, and where a value is missing: from there on."""
_HEADER = (
    "LOCATION",
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME PERIODS",
    "GROUND TEMPERATURES",
    "HOLIDAYS/DAYLIGHT",
    "COMMENTS 1",
    "COMMENTS 2",
    "DATA PERIODS",
)
_TELL = 512


class WeatherError(ValueError):
    """A weather file that cannot be read; ``line`` counts from 1 where a line is to blame."""

    def __init__(self, message: str, line: int | None = None) -> None:
        self.line = line
        super().__init__(f"Line {line:,}: {message}" if line else message)


class _Row(NamedTuple):
    line: int
    month: float
    day: float
    hour: float
    warmth: float
    dew: float
    damp: float


@dataclass(frozen=True, slots=True, eq=False)
class Weather:
    """A year of hours outdoors at a place.

    Attributes
    ----------
    city, region, country, source : str
        As the file names them.
    latitude, longitude, elevation : float
        [degrees], north and east positive; [m] above the sea.
    hours : Hours
        The air; the year is 2001, or 2004 where the file has a leap day, whatever years its months were taken from.
    missing : int
        Rows without air.
    derived : int
        Rows whose humidity comes from the dew point.
    warnings : tuple of str
        What to check, in words.
    """

    city: str
    region: str
    country: str
    source: str
    latitude: float
    longitude: float
    elevation: float
    hours: Hours
    missing: int
    derived: int
    warnings: tuple[str, ...]

    @property
    def name(self) -> str:
        """City and country."""
        return ", ".join(part for part in (self.city, self.country) if part)

    def record(self, room: Room | None = None, extremes: tuple[float, float] = EXTREMES) -> Record:
        """The year in a room there, or outdoors under cover where room is ``None``; see `movement.records.record`.

        Raises
        ------
        RangeError
            A percentile out of range; or the room's air would pass 100 % RH.
        """
        source = f"Weather of {self.name}: {self.source or 'source not named'}, hourly EPW file"
        if room is None:
            notes = (f"Outdoors under cover in {self.name}.", *self.warnings)
            return records.record(self.hours, extremes, notes, (source,))
        note = (
            f"A room in {self.name}, {room.surplus:g} g/m³ of water above the outdoor air, following its daily means."
        )
        return records.record(indoors(self.hours, room), extremes, (note, *self.warnings), (source,))


def indoors(hours: Hours, room: Room) -> Hours:
    """The hours of a room, each with the mean of its day: heating and walls do not follow the hour.

    Raises
    ------
    RangeError
        Where no dehumidifier holds the air and it would pass 100 % RH.
    """
    day = (hours.moments.astype("datetime64[D]") - hours.start.astype("datetime64[D]")).astype(np.int64)
    counts = np.bincount(day[hours.known], minlength=day[-1] + 1)
    known = counts > 0
    outside, pressure = (
        np.bincount(day[hours.known], values[hours.known], counts.size)[known] / counts[known]
        for values in (hours.temperature, hours.pressure)
    )
    warmth, humidity = climate.indoors(outside, pressure, room)
    saturation = floats(air.saturation_pressure(warmth))
    daily = np.full((3, counts.size), nan)
    daily[:, known] = warmth, humidity / 100 * saturation, saturation
    inside, vapour, full = daily[:, day]
    return records.filled(hours.start, inside, vapour, full, "water")


def read(source: bytes | BinaryIO, progress: Callable[[float], None] | None = None) -> Weather:
    """A weather file in the EPW format.

    Parameters
    ----------
    source : bytes or seekable binary file
        One year, 8760 or 8784 hours in 1 to 60 rows each, at most `MOST_BYTES`.
    progress : callable or None
        Told the share of the file that is read, 0 to 1.

    Returns
    -------
    Weather

    Raises
    ------
    WeatherError
        No such file: says why, and in which line.

    Notes
    -----
    Of each row the dry bulb temperature, the dew point and the relative humidity are read; humidity that is missing is
    taken from the dew point. Rows without air are left out and counted. Relative humidity below freezing is over ice in
    some files and over water in others: whichever fits the dew points of the cold hours better is used.

    Source
    ------
    EnergyPlus documentation, Auxiliary Programs, “EnergyPlus Weather File (EPW) Data Dictionary” (seen): fields,
    header, missing values; hour 1 is 00:01 to 01:00.
    """
    stream = BytesIO(source) if isinstance(source, bytes) else source
    size = stream.seek(0, 2)
    if size > MOST_BYTES:
        raise WeatherError(f"The file is larger than {MOST_BYTES // 1_000_000} MB; no year of hours is.")
    stream.seek(0)
    head = stream.read(1024).removeprefix(b"\xef\xbb\xbf")
    if not head.upper().startswith(b"LOCATION"):
        raise WeatherError("This is no weather file in the EPW format: its first line does not begin with LOCATION.", 1)
    stream.seek(0)
    text = TextIOWrapper(stream, encoding=_encoding(head), errors="replace", newline="")
    try:
        location, rows = _rows(text, lambda: min(stream.tell() / size, 1.0), progress or _untold)
    finally:
        text.detach()
    return _weather(location, rows)


def _untold(share: float) -> None:
    """Tell nobody."""


def _encoding(head: bytes) -> str:
    try:
        head.splitlines()[0].decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8-sig"


def _rows(
    text: TextIOWrapper, share: Callable[[], float], progress: Callable[[float], None]
) -> tuple[list[str], list[_Row]]:
    """The cells of the first line, and the rows below the header."""
    reader = csv.reader(text, quoting=csv.QUOTE_NONE)
    rows: list[_Row] = []
    try:
        header = [next(reader, []) for _ in _HEADER]
        for number, (name, cells) in enumerate(zip(_HEADER, header, strict=True), 1):
            if not cells or not cells[0].strip().upper().startswith(name):
                raise WeatherError(f"The header lacks its line {name}.", number)
        for row in reader:
            if any(cell.strip() for cell in row):
                rows.append(_row(row, reader.line_num))
            if not reader.line_num % _TELL:
                progress(share())
    except csv.Error:
        raise WeatherError("A field here has no end.", reader.line_num) from None
    progress(1.0)
    return header[0], rows


def _row(row: list[str], line: int) -> _Row:
    """A row of the file, NaN for what is missing."""
    if len(row) <= max(_MISSING):
        raise WeatherError(f"The row has {len(row)} fields; an hour has at least {max(_MISSING) + 1}.", line)
    month, day, hour = (_number(cell) for cell in row[1:4])
    values = {at: _number(row[at]) for at in _MISSING}
    warmth, dew, damp = (value if value < _MISSING[at] else nan for at, value in values.items())
    return _Row(line, month, day, hour, warmth, dew, damp)


def _number(text: str) -> float:
    """A cell as a number; NaN where it is none."""
    try:
        return float(text) if len(text) < 40 else nan
    except ValueError:
        return nan


def _weather(location: list[str], rows: list[_Row]) -> Weather:
    steps = next((steps for steps in STEPS for hours in YEAR_HOURS if len(rows) == hours * steps), 0)
    if not steps:
        raise WeatherError(f"The file has {len(rows):,} rows; a year has 8,760 hours, a leap year 8,784.")
    start = np.datetime64("2004-01-01T00" if len(rows) == YEAR_HOURS[1] * steps else "2001-01-01T00", "h")
    moments = start + np.arange(len(rows)) // steps
    _check_calendar(rows, moments)
    warmth, dew, damp = floats([row[4:] for row in rows]).T
    warmth = np.where((warmth >= TEMPERATURE[0]) & (warmth <= TEMPERATURE[1]), warmth, nan)
    dew = np.where((dew >= TEMPERATURE[0]) & (dew <= warmth), dew, nan)
    damp = np.where((damp >= 0) & (damp <= 100), damp, nan)
    phase = _phase(warmth, dew, damp)
    lacking = np.isnan(damp) & ~np.isnan(dew)
    damp[lacking] = _humidity(warmth[lacking], dew[lacking], phase)
    good = ~(np.isnan(warmth) | np.isnan(damp))
    missing, derived = int(np.count_nonzero(~good)), int(np.count_nonzero(lacking))
    if missing > MOST_MISSING * len(rows):
        raise WeatherError(f"{missing:,} of {len(rows):,} rows have no temperature or no humidity.")
    hours = records.hourly(moments[good].astype(np.int64) * 3600, warmth[good], damp[good], phase=phase)
    warnings = []
    if missing:
        warnings.append(f"{missing:,} rows without temperature or humidity are left out.")
    if derived:
        warnings.append(f"The humidity of {derived:,} rows comes from their dew point.")
    if warmth[good].min() < 0:
        warnings.append(f"Below freezing, the humidity of this file is counted against {phase}.")
    cells = [" ".join(cell.split())[:80] for cell in [*location, *[""] * 10]]
    return Weather(
        city=cells[1],
        region=cells[2],
        country=cells[3],
        source=cells[4],
        latitude=_place("latitude", cells[6], -90.0, 90.0),
        longitude=_place("longitude", cells[7], -180.0, 180.0),
        elevation=_place("elevation", cells[9], -1000.0, 9999.9),
        hours=hours,
        missing=missing,
        derived=derived,
        warnings=tuple(warnings),
    )


def _check_calendar(rows: list[_Row], moments: NDArray[np.datetime64]) -> None:
    """Refuse rows that do not run through the year hour by hour."""
    days = moments.astype("datetime64[D]")
    months = days.astype("datetime64[M]")
    wanted = np.stack(
        [months.astype(np.int64) % 12 + 1, (days - months).astype(np.int64) + 1, (moments - days).astype(np.int64) + 1]
    ).T
    found = floats([row[1:4] for row in rows])
    wrong = np.flatnonzero((found != wanted).any(axis=1))
    if wrong.size:
        month, day, hour = wanted[wrong[0]]
        raise WeatherError(f"Month {month}, day {day}, hour {hour} is expected here.", rows[wrong[0]].line)


def _humidity(warmth: Floats, dew: Floats, phase: Phase) -> Floats:
    """Relative humidity [%] from air and dew point [°C]."""
    return floats(100 * floats(air.saturation_pressure(dew, phase)) / air.saturation_pressure(warmth, phase))


def _phase(warmth: Floats, dew: Floats, damp: Floats) -> Phase:
    """What humidity below freezing is counted against: what the dew points of the cold hours fit better."""
    cold = (warmth < COLD) & ~np.isnan(dew) & ~np.isnan(damp)
    if not cold.any():
        return "water"
    phases: tuple[Phase, Phase] = ("water", "ice")
    return min(phases, key=lambda phase: float(np.abs(_humidity(warmth[cold], dew[cold], phase) - damp[cold]).mean()))


def _place(name: str, text: str, low: float, high: float) -> float:
    """A number of the first line, 0 where it is blank, as the format says."""
    value = _number(text) if text else 0.0
    if not low <= value <= high:
        raise WeatherError(f"The {name} is {text[:20]}; allowed is {low:g} to {high:g}.", 1)
    return value
