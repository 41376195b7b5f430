"""Dates and times as loggers write them, read by explicit patterns, and whether the day or the month comes first."""

import re
import unicodedata
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

YEARS = (1990, 2100)
"""Years that a log may come from; outside them a clock was wrong."""
NONE = -1
"""Stands for a day that does not exist, or lies outside `YEARS`."""
EPOCH_SECONDS = (6.3e8, 4.2e9)
"""Numbers that count seconds since 1970, from 1990 to 2103; a thousand times larger, milliseconds."""

_EPOCH = date(1970, 1, 1).toordinal()
_YEAR_FIRST = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})", re.ASCII)
_COMPACT = re.compile(r"(\d{4})(\d\d)(\d\d)", re.ASCII)
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])\s?(\d{1,2})\2\s?(\d{4}|\d\d)", re.ASCII)
_DAY_NAMED = re.compile(r"(\d{1,2})[-/. ]{1,2}(?:de )?([^\W\d_]{3,12})[-/., ]{1,2}(?:de )?(\d{4}|\d\d)")
_NAMED_DAY = re.compile(r"([^\W\d_]{3,12})[. ]{1,2}(\d{1,2}),? (\d{4})")
_CLOCK = re.compile(
    r"(\d{1,2})[:.h](\d\d)(?:[:.](\d\d)(?:[.,]\d{1,9})?)?\s?(?:([ap])\.?\s?m\.?)?\s?(z|(?:utc|gmt)?(?:([+-])(\d\d):?(\d\d))?)?",
    re.ASCII | re.IGNORECASE,
)
_COMPACT_CLOCK = re.compile(r"(\d\d)(\d\d)(\d\d)?", re.ASCII)
_NUMBER = re.compile(r"\d{9,10}(?:[.,]\d{0,9})?|\d{12,13}", re.ASCII)

# The first three letters of a month's name without accents: English, German, Dutch, the Nordic and Romance languages.
_MONTHS = {
    start: number
    for number, starts in enumerate(
        (
            "jan ene gen",
            "feb fev",
            "mar mrt mrz maa",
            "apr abr avr",
            "may mai mei maj mag",
            "jun giu",
            "jul lug",
            "aug ago aou",
            "sep set",
            "oct okt ott out",
            "nov",
            "dec dez dic des",
        ),
        1,
    )
    for start in starts.split()
} | {"juin": 6, "juil": 7}


class Day(NamedTuple):
    """A date, as days since 1970: read with the day first and with the month first, alike where it is no question.

    ``style`` says in words how it is written, or, where day and month could change places (``open``), the mark between.
    """

    day_first: int
    month_first: int
    style: str
    open: bool = False


class Clock(NamedTuple):
    """A time of day [s]; its distance from UTC [s], where it has one; whether it is told by AM and PM."""

    seconds: int
    offset: int | None = None
    halves: bool = False


class Order(NamedTuple):
    """Whether the day comes first, why, and whether that is sure."""

    day_first: bool
    why: str
    sure: bool


def split(text: str) -> tuple[str, str]:
    """The date and the time of day in a cell that may hold both.

    Example
    -------
    >>> split("31.12.2025 11:59 PM"), split("2025-12-31T23:59Z"), split("2025-12-31")
    (('31.12.2025', '11:59 PM'), ('2025-12-31', '23:59Z'), ('2025-12-31', ''))
    """
    text = text.strip()
    colon = text.find(":")
    if colon < 0 and day(text) is not None:
        return text, ""
    end = colon if colon > 0 else len(text)
    cut = max(text.rfind(" ", 0, end), text.rfind("T", 0, end))
    if cut > 0 and text[cut + 1 : cut + 2].isdigit():
        return text[:cut].rstrip(" ,"), text[cut + 1 :]
    return ("", text) if colon > 0 else (text, "")


def day(text: str) -> Day | None:
    """A date by itself; ``None`` where the text is none.

    Example
    -------
    >>> day("2025-12-31").style, day("1/2/2025").open, day("21.5")
    ('year-month-day', True, None)
    """
    text = text.strip()
    if len(text) > 40:
        return None
    if found := _YEAR_FIRST.fullmatch(text):
        year, mark, month, number = found.groups()
        return _sure(year, month, number, f"year{mark}month{mark}day")
    if found := _YEAR_LAST.fullmatch(text):
        one, mark, two, year = found.groups()
        return Day(_ordinal(year, two, one), _ordinal(year, one, two), mark, True)
    if found := _COMPACT.fullmatch(text):
        return _sure(found[1], found[2], found[3], "year, month, day")
    if found := _DAY_NAMED.fullmatch(text):
        number, name, year = found.groups()
    elif found := _NAMED_DAY.fullmatch(text):
        name, number, year = found.groups()
    else:
        return None
    month = _month(name)
    return _sure(year, str(month), number, "the month's name") if month else None


def clock(text: str) -> Clock | None:
    """A time of day by itself; ``None`` where the text is none. 24:00 is the end of the day.

    Example
    -------
    >>> clock("11:59 PM").seconds, clock("23:59:30+01:00").offset, clock("25:00")
    (86340, 3600, None)
    """
    text = text.strip()
    if len(text) > 40:
        return None
    found = _CLOCK.fullmatch(text)
    if found is None:
        compact = _COMPACT_CLOCK.fullmatch(text)
        return _clock(int(compact[1]), int(compact[2]), int(compact[3] or 0)) if compact else None
    hours, minute, second, half, zone, sign, away, beyond = found.groups()
    hour = int(hours)
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half in "pP" else 0)
    offset = None
    if zone:
        offset = (int(away or 0) * 60 + int(beyond or 0)) * (-60 if sign == "-" else 60)
    return _clock(hour, int(minute), int(second or 0), offset, bool(half))


def epoch(text: str) -> float | None:
    """Seconds since 1970 from a count of seconds or milliseconds; ``None`` where the text is none."""
    text = text.strip()
    if not _NUMBER.fullmatch(text):
        return None
    number = float(text.replace(",", "."))
    seconds = number / 1000 if number > EPOCH_SECONDS[1] else number
    return seconds if EPOCH_SECONDS[0] <= seconds <= EPOCH_SECONDS[1] else None


def order(
    day_first: NDArray[np.intc],
    month_first: NDArray[np.intc],
    seconds: NDArray[np.intc],
    chosen: bool | None = None,
) -> Order:
    """Which of day and month comes first, decided by all the dates of a log.

    Parameters
    ----------
    day_first, month_first : ndarray of int, shape (n,)
        Days since 1970 by either reading, `NONE` where there is no such day.
    seconds : ndarray of int, shape (n,)
        Times of day [s].
    chosen : bool or None
        The maker's own word, which settles it.

    Returns
    -------
    Order
        By numbers over 12 where there are any; else by the reading in which the log runs on without jumps; else the
        day first, and not sure.
    """
    if chosen is not None:
        return Order(chosen, "as chosen", True)
    only_day, only_month = (
        int(np.count_nonzero((one != NONE) & (other == NONE)))
        for one, other in ((day_first, month_first), (month_first, day_first))
    )
    if only_day or only_month:
        first = only_day >= only_month
        place = "first" if first else "second"
        if only_day and only_month:
            return Order(first, f"more dates have a number over 12 in the {place} place, but some do not fit", False)
        return Order(first, f"numbers over 12 stand in the {place} place", True)
    if np.array_equal(day_first, month_first):
        return Order(True, "either way gives the same days", True)
    jumps = [_jumps(days, seconds) for days in (day_first, month_first)]
    if jumps[0] != jumps[1]:
        return Order(jumps[0] < jumps[1], "so the readings follow each other; the other way round they jump", True)
    return Order(True, "the dates fit either way: check them, and choose the other order if this one is wrong", False)


def _jumps(days: NDArray[np.intc], seconds: NDArray[np.intc]) -> tuple[int, int]:
    """How often the time turns, and the days that it spans."""
    times = (days * np.int64(86_400) + seconds)[days != NONE]
    steps = np.diff(times)
    turns = min(int(np.count_nonzero(steps < 0)), int(np.count_nonzero(steps > 0)))
    return turns, int(np.ptp(times) // 86_400) if times.size else 0


def _sure(year: str, month: str, number: str, style: str) -> Day:
    found = _ordinal(year, month, number)
    return Day(found, found, style)


def _ordinal(year: str, month: str, number: str) -> int:
    """Days since 1970; `NONE` where there is no such day or it lies outside `YEARS`."""
    whole = int(year) + (2000 if len(year) == 2 else 0)
    if not YEARS[0] <= whole <= YEARS[1]:
        return NONE
    try:
        return date(whole, int(month), int(number)).toordinal() - _EPOCH
    except ValueError:
        return NONE


def _clock(hour: int, minute: int, second: int, offset: int | None = None, halves: bool = False) -> Clock | None:
    seconds = hour * 3600 + minute * 60 + second
    return Clock(seconds, offset, halves) if minute < 60 and second < 61 and seconds <= 86_400 else None


def _month(name: str) -> int | None:
    plain = "".join(mark for mark in unicodedata.normalize("NFKD", name.casefold()) if not unicodedata.combining(mark))
    return _MONTHS.get(plain[:4]) or _MONTHS.get(plain[:3])
