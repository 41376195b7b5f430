"""What a log was understood to say, in numbers and in words: shown before anything of it is kept."""

from dataclasses import dataclass

import numpy as np

from movement.headings import Unit


@dataclass(frozen=True, slots=True)
class Dropped:
    """Rows left out, why, and the first line of them."""

    why: str
    rows: int
    first_line: int


@dataclass(frozen=True, slots=True)
class Gap:
    """A time without readings; ``days`` is its length."""

    start: np.datetime64
    end: np.datetime64
    days: float


@dataclass(frozen=True, slots=True)
class Column:
    """A column that was used: for what, its number from 1, and its heading, blank where it has none."""

    use: str
    number: int
    name: str


@dataclass(frozen=True, slots=True)
class Understood:
    """How a log was read.

    Attributes
    ----------
    encoding, separator, decimal : str
        In words: "UTF-8", "semicolon", "comma".
    columns : tuple of Column
        Those used; ``others`` holds the headings of those that were not.
    unit, unit_why : str
        Unit of the temperatures in the file and how it is known; ``unit_sure`` is False where it is a guess.
    dates, dates_why : str
        How dates and times are written and how that is known; ``dates_sure`` is False where it is a guess.
    first, last : datetime64[s]
        The first and the last reading.
    interval : float
        Usual time between readings [min].
    rows, used : int
        Rows read below the header, and those that are used.
    dropped : tuple of Dropped
        The rows that are not, by reason.
    duplicates : int
        Rows that repeat another, left out.
    gaps : tuple of Gap
        The longest gaps first, at most ten of the ``gap_count`` that no line crosses.
    covered : float
        Share of a year's hours that the log knows [-]; ``months`` the same for each month, shape (12,).
    warnings : tuple of str
        What to check, in words.
    """

    encoding: str
    separator: str
    decimal: str
    columns: tuple[Column, ...]
    others: tuple[str, ...]
    unit: Unit
    unit_why: str
    unit_sure: bool
    dates: str
    dates_why: str
    dates_sure: bool
    first: np.datetime64
    last: np.datetime64
    interval: float
    rows: int
    used: int
    dropped: tuple[Dropped, ...]
    duplicates: int
    gaps: tuple[Gap, ...]
    gap_count: int
    covered: float
    months: tuple[float, ...]
    warnings: tuple[str, ...]

    @property
    def summary(self) -> tuple[str, ...]:
        """One sentence on each thing that was understood."""
        columns = ", ".join(f"{column.use} in column {column.number}{_named(column.name)}" for column in self.columns)
        said = [
            f"{self.used:,} of {self.rows:,} rows are used, {in_words(self.first)} to {in_words(self.last)}, "
            f"a reading every {_length(self.interval / 1440)}; {self.covered:.0%} of a year's hours.",
            f"Columns: {columns}.",
            f"Temperatures in {self.unit}: {self.unit_why}.",
            f"Dates as {self.dates}: {self.dates_why}.",
            f"{self.encoding}, columns parted by {self.separator}, decimal {self.decimal}.",
        ]
        said += [
            f"{rows_in_words(one.rows)} left out: {one.why} (first in line {one.first_line:,})." for one in self.dropped
        ]
        if self.duplicates:
            said.append(f"{rows_in_words(self.duplicates)} left out: repeats another.")
        if self.gaps:
            longest = self.gaps[0]
            many = "One gap" if self.gap_count == 1 else f"{self.gap_count:,} gaps, the longest"
            said.append(
                f"{many} of {_length(longest.days)}, from {in_words(longest.start)} to {in_words(longest.end)}."
            )
        return (*said, *self.warnings)


def in_words(moment: np.datetime64) -> str:
    """A moment's date in words."""
    when = moment.astype("datetime64[s]").item()
    return f"{when.day} {when:%B %Y}"


def rows_in_words(count: int) -> str:
    """So many rows."""
    return "1 row" if count == 1 else f"{count:,} rows"


def _length(days: float) -> str:
    """A length of time in the unit that suits it."""
    for size, unit in ((1.0, "days"), (1 / 24, "hours"), (1 / 1440, "minutes")):
        if days >= 1.5 * size:
            return f"{days / size:.3g} {unit}"
    return f"{days * 86_400:.3g} seconds"


def _named(name: str) -> str:
    return f" “{name}”" if name else ""
