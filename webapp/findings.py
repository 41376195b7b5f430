"""What was understood of a log or a weather file, as a page lists it."""

from collections.abc import Sequence

from movement import climate
from movement.hygrometer import Log
from movement.understood import Understood, in_words, rows_in_words
from movement.weather import Weather
from webapp import recorded

FULL = 0.995
"""Share of a month's hours from which it counts as known in full [-]."""
Fact = tuple[str, str]
"""What, and what was found of it."""


def lead(found: Log | Weather) -> str:
    """The first thing to say."""
    if isinstance(found, Log):
        return found.understood.summary[0]
    known = found.hours.known
    return f"A year outdoors in {found.name}: {known.sum():,} of {known.size:,} hours are known."


def facts(found: Log | Weather) -> Sequence[Fact]:
    """How the file was read, by name."""
    return _of_log(found.understood) if isinstance(found, Log) else _of_weather(found)


def warnings(found: Log | Weather) -> Sequence[str]:
    """What to check."""
    return found.understood.warnings if isinstance(found, Log) else found.warnings


def headings(found: Log | Weather) -> Sequence[str]:
    """The headings of a log's columns."""
    if not isinstance(found, Log):
        return ()
    return sorted({one.name for one in found.understood.columns if one.name} | set(found.understood.others))


def left_out(found: Log | Weather) -> Sequence[str]:
    """The rows of a log that are not used, and why."""
    if not isinstance(found, Log):
        return ()
    log = found.understood
    said = [f"{rows_in_words(one.rows)}: {one.why}; first in line {one.first_line:,}." for one in log.dropped]
    return [*said, f"{rows_in_words(log.duplicates)}: repeating another."] if log.duplicates else said


def gaps(found: Log | Weather) -> Sequence[str]:
    """The longest gaps of a log."""
    if not isinstance(found, Log):
        return ()
    log = found.understood
    said = [f"{in_words(gap.start)} to {in_words(gap.end)}: {gap.days:.1f} days." for gap in log.gaps]
    more = log.gap_count - len(said)
    return [*said, f"And {more:,} shorter."] if more else said


def _of_log(log: Understood) -> Sequence[Fact]:
    columns = [(one.use, f"column {one.number}{f' “{one.name}”' if one.name else ''}") for one in log.columns]
    return [
        *((f"{use[0].upper()}{use[1:]}", where) for use, where in columns),
        *([("Not used", ", ".join(f"“{name}”" for name in log.others))] if log.others else ()),
        ("Temperatures", f"{log.unit}: {log.unit_why}"),
        ("Dates", f"{log.dates}: {log.dates_why}"),
        ("Text", f"{log.encoding}, columns parted by {log.separator}, decimal {log.decimal}"),
        ("Months with gaps", _thin(log.months)),
    ]


def _thin(shares: Sequence[float]) -> str:
    """The months that are not known in full."""
    parts = [
        f"{month} {100 * share:.0f} % measured"
        for month, share in zip(climate.MONTHS, shares, strict=True)
        if 0 < share < FULL
    ]
    empty = sum(share == 0 for share in shares)
    if empty:
        parts.append(f"nothing in {empty} month{'s' if empty > 1 else ''}")
    return ", ".join(parts) if parts else "none"


def _of_weather(found: Weather) -> Sequence[Fact]:
    return [
        ("Place", ", ".join(part for part in (found.city, found.region, found.country) if part)),
        ("Position", recorded.position(found)),
        ("Source", found.source or "not named"),
    ]
