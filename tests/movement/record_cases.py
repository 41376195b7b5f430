"""Logs and weather files made up for tests, in several styles of writing."""

import math
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

HEADER = (
    "LOCATION,Harbour Town,North Shore,XYZ,Made for this test,012345,57.20,-2.22,0.0,65.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday,1/ 1,12/31",
)
Row = tuple[datetime, float, float]


def air(days: int = 30, start: datetime = datetime(2024, 3, 1), step: int = 60) -> Iterator[Row]:
    """Readings of a room: humidity that falls and rises once over the days, and once a day."""
    count = days * 1440 // step
    for at in range(count):
        turn = 2 * math.pi * at / count
        yield start + timedelta(minutes=at * step), 20 + math.sin(turn), 45 + 10 * math.cos(turn) + 2 * math.sin(at)


def plain(**more: object) -> bytes:
    """With points, commas, and dates that begin with the year."""
    lines = [f"{when:%Y-%m-%d %H:%M:%S},{warm:.2f},{damp:.1f}" for when, warm, damp in air(**more)]  # type: ignore[arg-type]
    return "\n".join(["Time,Temperature (°C),Relative humidity (%)", *lines]).encode()


def german(**more: object) -> bytes:
    """With decimal commas, semicolons, another column between, in an old encoding."""
    lines = [
        f"{when:%d.%m.%Y;%H:%M};{warm:.1f};9,3;{damp:.1f}".replace(".", ",", 0)
        for when, warm, damp in air(**more)  # type: ignore[arg-type]
    ]
    lines = [line[:10] + line[10:].replace(".", ",") for line in lines]
    return "\r\n".join(["Datum;Uhrzeit;Temperatur (°C);Taupunkt (°C);Feuchte (%)", *lines]).encode("cp1252")


def american(**more: object) -> bytes:
    """In °F, with the month first and a clock of twelve hours, in two bytes a letter."""
    lines = [
        f"{when:%m/%d/%Y %I:%M:%S %p}\t{1.8 * warm + 32:.1f}\t{damp:.1f}"
        for when, warm, damp in air(**more)  # type: ignore[arg-type]
    ]
    return "\n".join(["Date Time\tTemp (F)\tRH (%)", *lines]).encode("utf-16")


STYLES: dict[str, tuple[Callable[..., bytes], tuple[str, ...]]] = {
    "plain": (plain, ("UTF-8", "comma", "decimal point", "°C", "year-month-day")),
    "german": (german, ("Latin-1", "semicolon", "decimal comma", "°C", "day.month.year", "“Taupunkt (°C)”")),
    "american": (american, ("UTF-16", "tab", "decimal point", "°F", "month/day/year", "12-hour clock")),
}
"""How a log is written, and words of what must be understood of it."""


def epw(mean: float = 8.0) -> bytes:
    """A year of hours outdoors, °C about the mean."""
    lines = list(HEADER)
    for at in range(8760):
        when = datetime(2001, 1, 1) + timedelta(hours=at)
        turn, day = 2 * math.pi * at / 8760, 2 * math.pi * at / 24
        warm, damp = mean - 9 * math.cos(turn) - 4 * math.cos(day), 78 + 10 * math.cos(turn) + 8 * math.cos(day)
        lines.append(f"1999,{when.month},{when.day},{when.hour + 1},60,x,{warm:.1f},99.9,{damp:.0f},101325,0")
    return "\r\n".join(lines).encode()
