"""How a hygrometer's log is laid out: its encoding, separator, header, and which columns hold what."""

import csv
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from io import StringIO
from itertools import pairwise

from movement import stamps
from movement.headings import Unit, is_extreme, is_humidity, is_number, is_temperature, number, unit_of

HEAD = 65_536
"""Bytes from which the layout is read."""
MOST_COLUMNS = 100
MOST_LINES = 400
"""Lines from which the layout is read; the first reading must be among them."""

SEPARATORS = {"\t": "tab", ";": "semicolon", "|": "bar", ",": "comma", " ": "space"}
"""What may stand between columns, in the order in which a tie is settled."""


class LogError(ValueError):
    """A log that cannot be read.

    ``line`` counts from 1 where a line is to blame; ``use`` is "date", "time of day", "temperature" or "humidity" where
    the column that the maker named for it is.
    """

    def __init__(self, message: str, line: int | None = None, use: str = "") -> None:
        self.line, self.use = line, use
        super().__init__(f"Line {line:,}: {message}" if line else message)


@dataclass(frozen=True, slots=True)
class Options:
    """What the maker decides instead of the program; ``None`` leaves it to the file.

    Attributes
    ----------
    unit : {"°C", "°F"} or None
        Of the temperatures.
    day_first : bool or None
        Whether 1/2/2025 is 1 February.
    time, clock, temperature, humidity : str or None
        Columns by name, or by number from 1. ``clock`` is the time of day where it has a column of its own.
    """

    unit: Unit | None = None
    day_first: bool | None = None
    time: str | None = None
    clock: str | None = None
    temperature: str | None = None
    humidity: str | None = None


BY_THE_FILE = Options()
"""Nothing decided by the maker."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How a log is written.

    ``time``, ``clock``, ``temperature`` and ``humidity`` number the columns from 0; ``first_line`` is the line of the
    first reading and ``header_line`` that of the names, from 1; ``unit`` is what header or cells say, ``unit_why``
    where they say it.
    """

    encoding: str
    separator: str
    first_line: int
    names: tuple[str, ...]
    header_line: int | None
    time: int
    clock: int | None
    temperature: int
    humidity: int
    epoch: bool
    unit: Unit | None
    unit_why: str
    warnings: tuple[str, ...] = ()

    @property
    def last(self) -> int:
        """The last of the columns that are read."""
        return max(self.time, self.clock or 0, self.temperature, self.humidity)

    def heading(self, column: int) -> str:
        """A column's heading, blank where it has none."""
        return self.names[column] if column < len(self.names) else ""


def encoding(head: bytes) -> str:
    """The encoding of a text, by its mark, its zero bytes, or whether it is valid UTF-8.

    Raises
    ------
    LogError
        A compressed file, a workbook, or no text at all.
    """
    if head.startswith((b"PK\x03\x04", b"\x1f\x8b", b"\xd0\xcf\x11\xe0", b"%PDF", b"7z\xbc\xaf", b"BZh", b"\xfd7zXZ")):
        raise LogError("This is a compressed file, a workbook or a document, not a log in plain text. Save it as CSV.")
    if head.startswith(b"\xef\xbb\xbf"):
        return "utf-8-sig"
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    zeros = [head[start:4096:2].count(0) for start in (0, 1)]
    if sum(zeros):
        many = len(head[:4096]) // 8
        if max(zeros) < many or min(zeros) >= many:
            raise LogError("This is not a log in plain text. Save it as CSV.")
        return "utf-16-be" if zeros[0] > zeros[1] else "utf-16-le"
    try:
        head.decode("utf-8")
    except UnicodeDecodeError as error:
        if len(head) < HEAD or error.start < len(head) - 4:
            return "cp1252"
    return "utf-8"


def layout(head: bytes, options: Options = BY_THE_FILE) -> Layout:
    """How a log is laid out, from its first `HEAD` bytes.

    Parameters
    ----------
    head : bytes
        The beginning of the file.
    options : Options
        What the maker decides.

    Returns
    -------
    Layout

    Raises
    ------
    LogError
        No readings found, or no telling which column is which.
    """
    code = encoding(head)
    text = head.decode(code, errors="replace")
    lines = list(StringIO(text, newline=""))
    if len(head) == HEAD and len(lines) > 1:
        lines.pop()
    sheets = [_Sheet(separator, lines[:MOST_LINES]) for separator in SEPARATORS]
    sheet = max(sheets, key=lambda one: len(one.readings))
    if not sheet.readings:
        first = next((shown for line in lines if (shown := "".join(filter(str.isprintable, line)).strip())), "")
        raise LogError(
            "No line here has a date, a time and two numbers, parted by commas, semicolons or tabs."
            + (f" The file begins “{first[:60]}”." if first else " The file is empty.")
        )
    return _Reader(sheet, options).layout(code)


@dataclass(slots=True)
class _Sheet:
    """The first lines, cut at one separator. ``readings`` are the rows of one width that look like readings."""

    separator: str
    lines: Sequence[str]
    rows: list[tuple[int, list[str]]] = field(default_factory=list)
    readings: list[tuple[int, list[str]]] = field(default_factory=list)
    width: int = 0

    def __post_init__(self) -> None:
        reader = csv.reader(self.lines, delimiter=self.separator, skipinitialspace=True)
        try:
            self.rows = [
                (reader.line_num, [cell.strip() for cell in row]) for row in reader if len(row) <= MOST_COLUMNS
            ]
        except csv.Error:
            return
        alike = [(line, row) for line, row in self.rows if _is_reading(row)]
        if alike:
            self.width = Counter(len(row) for _, row in alike).most_common(1)[0][0]
            self.readings = [(line, row) for line, row in alike if len(row) == self.width]


def _is_reading(row: Sequence[str]) -> bool:
    """Whether a row has a date and two numbers beside it."""
    dated = next((cell for cell in row if _is_date(cell)), None)
    return dated is not None and sum(is_number(cell) for cell in row if cell is not dated) >= 2


def _is_date(cell: str) -> bool:
    return stamps.day(stamps.split(cell)[0]) is not None or stamps.epoch(cell) is not None


def _is_both(cell: str) -> bool:
    head, tail = stamps.split(cell)
    return stamps.day(head) is not None and stamps.clock(tail) is not None


def _is_clock(cell: str) -> bool:
    return ":" in cell and stamps.clock(cell) is not None


def _is_unit(cell: str) -> bool:
    return cell == "%" or (0 < len(cell) <= 12 and (unit_of(cell) is not None or is_humidity(cell)))


class _Reader:
    """Finds the columns of a sheet."""

    def __init__(self, sheet: _Sheet, options: Options) -> None:
        self.sheet, self.options = sheet, options
        self.warnings: list[str] = []
        self.names, self.header_line, self.first_line = self._header()

    def layout(self, code: str) -> Layout:
        """The layout of a text in this encoding."""
        time, clock, epoch = self._time()
        temperature, humidity = self._measures({time, clock})
        unit, why = self._unit(temperature)
        return Layout(
            code,
            self.sheet.separator,
            self.first_line,
            self.names,
            self.header_line,
            time,
            clock,
            temperature,
            humidity,
            epoch,
            unit,
            why,
            tuple(self.warnings),
        )

    def _header(self) -> tuple[tuple[str, ...], int | None, int]:
        """The names of the columns, with a row of units below them; their line; the line of the first reading."""
        first = self.sheet.readings[0][0]
        above = [(line, row) for line, row in self.sheet.rows if line < first and not any(map(_is_date, row))]
        wide = [at for at, (_, row) in enumerate(above) if sum(map(bool, row)) >= max(self.sheet.width - 1, 2)]
        named = [
            at for at, (_, row) in enumerate(above) if any(map(is_temperature, row)) and any(map(is_humidity, row))
        ]
        unlike = [
            [at for at in rows if not all(_is_unit(cell) for cell in above[at][1] if cell)] for rows in (named, wide)
        ]
        found = unlike[0] or unlike[1] or wide
        line, row = above[found[-1]] if found else (None, [])
        first = min(at for at, cells in self.sheet.rows if at > (line or 0) and any(map(_is_date, cells)))
        if line is None:
            self.warnings.append("The file names no columns.")
            return (), None, first
        width = max(count for count, cell in enumerate(row, 1) if cell)
        if self.sheet.separator == "," and width < self.sheet.width and all(row[-1] for _, row in self.sheet.readings):
            raise LogError(
                f"The header names {width} columns and the readings have {self.sheet.width}. If commas part the "
                "columns and are the decimal sign too, save the log with semicolons or with decimal points.",
                line,
            )
        units = next((cells for at, cells in above if line < at < first and any(map(_is_unit, cells))), [])
        names = [f"{name} {unit}".strip()[:80] for name, unit in zip(row, [*units, *[""] * len(row)], strict=False)]
        return tuple(names), line, first

    def _share(self, column: int, test: Callable[[str], bool]) -> float:
        """Share of the readings whose cell in a column passes a test."""
        readings = self.sheet.readings
        return sum(test(row[column]) for _, row in readings) / len(readings)

    def _columns(self, test: Callable[[str], bool], share: float = 0.8) -> list[int]:
        return [column for column in range(self.sheet.width) if self._share(column, test) >= share]

    def _chosen(self, wanted: str | None, what: str) -> int | None:
        """The column that the maker names."""
        if wanted is None or not wanted.strip():
            return None
        wanted = " ".join(wanted.split()).casefold()
        for column, name in enumerate(self._headings()):
            if " ".join(name.split()).casefold() == wanted:
                return column
        if wanted.isdecimal() and len(wanted) < 6 and 1 <= int(wanted) <= self.sheet.width:
            return int(wanted) - 1
        raise LogError(f"There is no column “{wanted[:60]}” for the {what}. The file has {self._listed()}.", use=what)

    def _listed(self) -> str:
        """The first twenty columns, by number and name."""
        shown = [f"{at + 1} “{name}”" if name else f"{at + 1}" for at, name in enumerate(self._headings()[:20])]
        return ", ".join(shown) + (", …" if self.sheet.width > len(shown) else "")

    def _headings(self) -> list[str]:
        """A heading for every column of the readings, blank where there is none."""
        return [self.names[at] if at < len(self.names) else "" for at in range(self.sheet.width)]

    def _time(self) -> tuple[int, int | None, bool]:
        """The column of the date, that of the time of day where it has its own, and whether it counts seconds."""
        both, dates, clocks, counts = (
            self._columns(test) for test in (_is_both, _is_date, _is_clock, lambda cell: stamps.epoch(cell) is not None)
        )
        time = self._chosen(self.options.time, "date")
        if time is None:
            found = both or [column for column in dates if column not in counts] or counts
            if not found:
                raise LogError(f"No column holds dates throughout. The file has {self._listed()}.")
            time = found[0]
        if len(both) > 1 and self.options.time is None:
            self.warnings.append(f"Several columns hold dates and times; {self._name(time)} is used.")
        clock = self._chosen(self.options.clock, "time of day")
        if clock is None and time not in both and time not in counts:
            clock = next((column for column in clocks if column != time), None)
            if clock is None:
                self.warnings.append("The readings have dates and no time of day: each counts at midnight.")
        return time, clock, time in counts and time not in both

    def _measures(self, taken: set[int | None]) -> tuple[int, int]:
        """The columns of temperature and humidity."""
        headings = self._headings()
        chosen = [
            self._chosen(wanted, what)
            for wanted, what in ((self.options.temperature, "temperature"), (self.options.humidity, "humidity"))
        ]
        taken = taken | set(chosen)
        free = [column for column in self._columns(is_number, 0.5) if column not in taken]
        for which, (test, what) in enumerate(((is_temperature, "temperature"), (is_humidity, "humidity"))):
            if chosen[which] is None:
                named = sorted(
                    (column for column in free if test(headings[column])),
                    key=lambda column: is_extreme(headings[column]),
                )
                if named:
                    chosen[which] = named[0]
                    free.remove(named[0])
                if len(named) > 1:
                    others = ", ".join(self._name(column) for column in named[1:4])
                    self.warnings.append(f"{self._name(named[0])} is taken for the {what}; there is also {others}.")
        temperature, humidity = chosen
        if temperature is None or humidity is None:
            free = [column for column in free if not self._counts_rows(column)]
            temperature, humidity = self._guess(temperature, humidity, free)
        if temperature == humidity:
            raise LogError("The same column is chosen for temperature and humidity.", use="humidity")
        return temperature, humidity

    def _guess(self, temperature: int | None, humidity: int | None, free: list[int]) -> tuple[int, int]:
        """Columns by what their numbers can be, where the names do not tell."""
        lacking = [what for what, column in (("temperature", temperature), ("humidity", humidity)) if column is None]
        if len(free) < len(lacking) or (self.names and len(free) > len(lacking)):
            raise LogError(
                f"No telling which column holds the {' and the '.join(lacking)}. The file has {self._listed()}. "
                "Choose by name or number."
            )
        if temperature is not None:
            humidity = free[0]
        elif humidity is not None:
            temperature = free[0]
        else:
            temperature, humidity = free[:2]
            swapped = not self._may_be_humidity(humidity) and self._may_be_humidity(temperature)
            if swapped:
                temperature, humidity = humidity, temperature
        assert temperature is not None
        assert humidity is not None
        self.warnings.append(
            f"{self._name(temperature)[0].upper()}{self._name(temperature)[1:]} is taken for the temperature and "
            f"{self._name(humidity)} for the humidity, by their numbers and order alone: check them."
        )
        return temperature, humidity

    def _may_be_humidity(self, column: int) -> bool:
        values = [number(row[column]) for _, row in self.sheet.readings]
        return sum(0 < value <= 100 for value in values) >= 0.95 * sum(value == value for value in values)

    def _counts_rows(self, column: int) -> bool:
        """Whether a column only counts the rows, or seconds."""
        values = [number(row[column]) for _, row in self.sheet.readings]
        steps = {after - before for before, after in pairwise(values)}
        return (len(values) > 2 and len(steps) == 1 and steps != {0.0}) or min(values) >= stamps.EPOCH_SECONDS[0]

    def _unit(self, temperature: int) -> tuple[Unit | None, str]:
        """The unit of the temperatures and where it is said."""
        if self.options.unit is not None:
            return self.options.unit, "as chosen"
        cells = Counter(unit for _, row in self.sheet.readings if (unit := unit_of(row[temperature])))
        above = " ".join(" ".join(row) for line, row in self.sheet.rows if line < self.first_line)
        for unit, where in (
            (unit_of(self._headings()[temperature]), f"the heading of {self._name(temperature)} says so"),
            (cells.most_common(1)[0][0] if cells else None, "the readings carry it"),
            (unit_of(above, letters=2), "a line above the readings says so"),
        ):
            if unit is not None:
                return unit, where
        return None, ""

    def _name(self, column: int) -> str:
        """A column in words."""
        name = self._headings()[column]
        return f"“{name}”" if name else f"column {column + 1}"
