"""The rows of a hygrometer's log as arrays: when, how warm, how damp, and in which line."""

import csv
from array import array
from collections.abc import Callable
from dataclasses import dataclass, field
from io import TextIOWrapper
from typing import BinaryIO

from movement import stamps
from movement.headings import number
from movement.layout import Layout, LogError

Progress = Callable[[float], None]
"""Told the share of the file that is read, 0 to 1, rising."""
Moment = tuple[int, int, int]
"""Days since 1970 read with the day first and with the month first, and the second of the day."""

MOST_ROWS = 3_000_000
"""Ten years of a reading every two minutes are 2.6 million."""
UNREAD: Moment = (-2, -2, 0)
"""No date or no time that can be read; `stamps.NONE` stands for a day that does not exist."""
SHORT: Moment = (-3, -3, 0)
"""Too few columns."""

_TELL = 8_192
_CACHE = 50_000


@dataclass(slots=True)
class Readings:
    """Every row below the header that is not blank, and what was seen on the way.

    ``style`` is that of the first date; ``open`` says that day and month could change places; ``timed`` that
    there are times of day, ``halves`` that they use AM and PM; ``offset`` is the first distance from UTC [s], to which
    all are brought.
    """

    line: "array[int]" = field(default_factory=lambda: array("i"))
    day_first: "array[int]" = field(default_factory=lambda: array("i"))
    month_first: "array[int]" = field(default_factory=lambda: array("i"))
    second: "array[int]" = field(default_factory=lambda: array("i"))
    temperature: "array[float]" = field(default_factory=lambda: array("d"))
    humidity: "array[float]" = field(default_factory=lambda: array("d"))
    style: str = ""
    open: bool = False
    timed: bool = False
    halves: bool = False
    offset: int | None = None
    decimal: str = "point"
    _days: dict[str, tuple[int, int]] = field(default_factory=dict)
    _clocks: dict[str, int | None] = field(default_factory=dict)
    _numbers: dict[str, float] = field(default_factory=dict)

    def add(self, line: int, moment: Moment, temperature: float, humidity: float) -> None:
        """One more row."""
        self.line.append(line)
        self.day_first.append(moment[0])
        self.month_first.append(moment[1])
        self.second.append(moment[2])
        self.temperature.append(temperature)
        self.humidity.append(humidity)

    def moment(self, cell: str, clock: str | None) -> Moment:
        """When, from a cell with both date and time of day or from one with each."""
        date, time = stamps.split(cell) if clock is None else (cell, clock)
        day = self._days.get(date) or self._learn_day(date)
        second = self._clocks[time] if time in self._clocks else self._learn_clock(time)
        return UNREAD if second is None else (*day, second)

    def number(self, cell: str) -> float:
        """A cell as a number; NaN where it is none."""
        found = self._numbers.get(cell)
        if found is None:
            if len(self._numbers) > _CACHE:
                self._numbers.clear()
            found = self._numbers[cell] = number(cell)
            if "," in cell and found == found:
                self.decimal = "comma"
        return found

    def _learn_day(self, text: str) -> tuple[int, int]:
        if len(self._days) > _CACHE:
            self._days.clear()
        found = stamps.day(text) or stamps.day(stamps.split(text)[0])
        self._days[text] = (found.day_first, found.month_first) if found else UNREAD[:2]
        if found:
            self.style = self.style or found.style
            self.open = self.open or found.open
        return self._days[text]

    def _learn_clock(self, text: str) -> int | None:
        if len(self._clocks) > _CACHE:
            self._clocks.clear()
        found = stamps.clock(text) if text.strip() else stamps.Clock(0)
        second = found.seconds if found else None
        if found and text.strip():
            self.timed = True
            self.halves = self.halves or found.halves
            if found.offset is not None:
                self.offset = found.offset if self.offset is None else self.offset
                second = found.seconds + self.offset - found.offset
        self._clocks[text] = second
        return second


def readings(stream: BinaryIO, size: int, plan: Layout, progress: Progress | None = None) -> Readings:
    """Every row of a log that is laid out like this.

    Parameters
    ----------
    stream : seekable binary file
        At its beginning.
    size : int
        Its length [bytes], for the progress.
    plan : Layout
        How it is laid out.
    progress : callable or None
        Told the share that is read.

    Raises
    ------
    LogError
        More than `MOST_ROWS` rows, or a cell without end.
    """
    rows = Readings()
    text = TextIOWrapper(stream, encoding=plan.encoding, errors="replace", newline="")
    reader = csv.reader(text, delimiter=plan.separator, skipinitialspace=True)
    time, clock, temperature, humidity = plan.time, plan.clock, plan.temperature, plan.humidity
    try:
        for row in reader:
            line = reader.line_num
            if line < plan.first_line:
                continue
            if len(row) > plan.last:
                when = (
                    _counted(row[time]) if plan.epoch else rows.moment(row[time], None if clock is None else row[clock])
                )
                if when[0] != UNREAD[0] or any(map(str.strip, row)):
                    rows.add(line, when, rows.number(row[temperature]), rows.number(row[humidity]))
            elif any(map(str.strip, row)):
                rows.add(line, SHORT, 0.0, 0.0)
            if not line % _TELL:
                if len(rows.line) > MOST_ROWS:
                    raise LogError(f"The log has more than {MOST_ROWS:,} rows. Cut it into years.", line)
                if progress is not None:
                    progress(min(stream.tell() / size, 1.0))
    except csv.Error:
        raise LogError("A cell here has no end; a quotation mark may be left open.", reader.line_num) from None
    finally:
        text.detach()
    if progress is not None:
        progress(1.0)
    return rows


def _counted(cell: str) -> Moment:
    """The moment of a count of seconds since 1970."""
    seconds = stamps.epoch(cell)
    if seconds is None:
        return UNREAD
    day, second = divmod(int(seconds), 86_400)
    return day, day, second
