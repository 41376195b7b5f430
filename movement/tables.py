"""The tables of numbers in ``data/``, each with the header that says where it comes from."""

import csv
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from types import MappingProxyType, NoneType
from typing import Any, Generic, Literal, TypeVar, get_args, get_type_hints, overload

_HERE = Path(__file__).resolve().parent

# The folder of tables: inside the package as installed, beside it in a checkout.
DATA: Path = next(
    (folder for folder in (_HERE / "data", _HERE.parent / "data") if folder.is_dir()), _HERE.parent / "data"
)


class TableError(ValueError):
    """A table that is missing or broken; the message names the file and the line."""


@dataclass(frozen=True, slots=True)
class Record:
    """One row of a table; fields are named as its columns, the unit in the name, blank cells are ``None``."""


@dataclass(frozen=True, slots=True)
class HandbookWood(Record):
    """A wood of ``species_handbook.csv``."""

    name: str
    botanical_name: str
    group: str
    shrinkage_radial_pct: float | None
    shrinkage_tangential_pct: float | None
    shrinkage_volumetric_pct: float | None
    coefficient_radial: float | None
    coefficient_tangential: float | None
    shrinkage_source: str | None
    shrinkage_status: str
    coefficient_source: str | None
    coefficient_status: str
    cross_check: str


@dataclass(frozen=True, slots=True)
class EuropeanWood(Record):
    """A wood of ``species_europe.csv``, in one of its two sets."""

    name: str
    name_de: str
    common_name: str
    botanical_name: str
    radial_pct_per_pct: float
    tangential_pct_per_pct: float
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class SpeciesNote(Record):
    """What to know about a wood, from ``species_notes.csv``."""

    name: str
    note: str
    source: str | None
    status: str


@dataclass(frozen=True, slots=True)
class SpeciesPair(Record):
    """Two woods to compare, from ``species_pairs.csv``."""

    name: str
    other: str
    relation: str


@dataclass(frozen=True, slots=True)
class TradeName(Record):
    """Another name of a wood, from ``trade_names.csv``."""

    name: str
    other_name: str


@dataclass(frozen=True, slots=True)
class PlaceMonth(Record):
    """A month of outdoor air at a place, from ``places.csv``."""

    place: str
    country: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    month: int
    temperature_mean_c: float
    vapour_pressure_mean_pa: float
    relative_humidity_mean_pct: float
    outdoor_emc_mean_of_hours_pct: float
    source: str


@dataclass(frozen=True, slots=True)
class Finish(Record):
    """How much moisture a finish keeps out in a wetting test, from ``finishes.csv``."""

    finish: str
    coats: int
    exclusion_1_day_pct: float | None
    exclusion_7_day_pct: float | None
    exclusion_14_day_pct: float
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Film(Record):
    """The surface coefficient of a finish film, from ``film_coefficients.csv``."""

    name: str
    coats: int
    surface_coefficient_m_s: float
    fitted_to: str | None
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class HandbookEmc(Record):
    """An equilibrium moisture content printed in the handbook, from ``emc_handbook.csv``."""

    temperature_f: float
    temperature_c: float
    relative_humidity_pct: float
    emc_pct: float


@dataclass(frozen=True, slots=True)
class MoistAir(Record):
    """A published state of moist air, from ``psychrometrics.csv``."""

    kind: str
    input: str
    quantity: str
    value: float
    unit: str
    source: str
    note: str


RECORDS: Mapping[str, type[Record]] = MappingProxyType(
    {
        "emc_handbook": HandbookEmc,
        "film_coefficients": Film,
        "finishes": Finish,
        "places": PlaceMonth,
        "psychrometrics": MoistAir,
        "species_europe": EuropeanWood,
        "species_handbook": HandbookWood,
        "species_notes": SpeciesNote,
        "species_pairs": SpeciesPair,
        "trade_names": TradeName,
    }
)
"""Every table by name, with the class of its records: their fields are the columns that it must have."""

R = TypeVar("R", bound=Record)


@dataclass(frozen=True, slots=True)
class Header:
    """The ``# key: value`` lines that a table opens with; a key given more than once becomes several lines.

    Attributes
    ----------
    units : mapping of str to str
        Unit and basis of every column of numbers.
    valid_range : mapping of str to (float, float)
        Least and greatest value of every column of numbers, ends included; the rows are checked against it.
    """

    title: str
    source: str
    rights: str
    units: Mapping[str, str]
    valid_range: Mapping[str, tuple[float, float]]
    transcribed: str
    checked: str
    errata: str


@dataclass(frozen=True, slots=True)
class Table(Generic[R]):
    """A table's rows in the order of the file, and its header beside them."""

    name: str
    header: Header
    records: tuple[R, ...]


@overload
def read(name: Literal["emc_handbook"]) -> Table[HandbookEmc]: ...
@overload
def read(name: Literal["film_coefficients"]) -> Table[Film]: ...
@overload
def read(name: Literal["finishes"]) -> Table[Finish]: ...
@overload
def read(name: Literal["places"]) -> Table[PlaceMonth]: ...
@overload
def read(name: Literal["psychrometrics"]) -> Table[MoistAir]: ...
@overload
def read(name: Literal["species_europe"]) -> Table[EuropeanWood]: ...
@overload
def read(name: Literal["species_handbook"]) -> Table[HandbookWood]: ...
@overload
def read(name: Literal["species_notes"]) -> Table[SpeciesNote]: ...
@overload
def read(name: Literal["species_pairs"]) -> Table[SpeciesPair]: ...
@overload
def read(name: Literal["trade_names"]) -> Table[TradeName]: ...
@overload
def read(name: str) -> Table[Any]: ...


def read(name: str) -> Table[Any]:
    """A table of `DATA` by name, read once.

    Parameters
    ----------
    name : str
        File name without ``.csv``, one of `RECORDS`.

    Raises
    ------
    TableError
        If there is no such table, or it is missing or broken.

    Example
    -------
    >>> table = read("emc_handbook")
    >>> table.records[0].emc_pct, table.header.units["emc_pct"]
    (1.4, '% MC')
    """
    if name not in RECORDS:
        raise TableError(f"no table is called {name!r}; there are {', '.join(RECORDS)}")
    return _read(name)


@cache
def _read(name: str) -> Table[Any]:
    return parse(DATA / f"{name}.csv", RECORDS[name])


def parse(path: Path, record: type[R]) -> Table[R]:
    """A table from a file, each row as one record.

    Parameters
    ----------
    path : Path
        A UTF-8 CSV file that opens with its header, as ``data/README.md`` describes.
    record : type of Record
        What a row becomes; its fields name the columns and say which are numbers and which may be blank.

    Raises
    ------
    TableError
        If the file is missing; if a header line is missing, unknown or unreadable; if the columns are not the fields
        of record; if a cell is blank, not a number or outside the valid range that the header gives.
    """
    where = f"data/{path.name}"
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise TableError(f"{where} cannot be read: {type(error).__name__}") from error
    height = next((number for number, line in enumerate(lines) if not line.startswith("#")), len(lines))
    hints = get_type_hints(record)
    columns = {field.name: hints[field.name] for field in fields(record)}
    numbers = [column for column, kind in columns.items() if _type(kind) is not str]
    header = _header(lines[:height], numbers, where)
    records = tuple(record(**cells) for cells in _rows(lines[height:], height, columns, header, where))
    if not records:
        raise TableError(f"{where} has no rows")
    return Table(path.stem, header, records)


def _header(lines: list[str], numbers: list[str], where: str) -> Header:
    """The header of a table whose columns of numbers are these."""
    keys = [field.name.replace("_", " ") for field in fields(Header)]
    found: dict[str, list[str]] = {key: [] for key in keys}
    units: dict[str, str] = {}
    ranges: dict[str, tuple[float, float]] = {}
    for number, line in enumerate(lines, 1):
        key, colon, value = (part.strip() for part in line.lstrip("#").partition(":"))
        if not colon or not value or key not in found:
            raise TableError(f"{where} line {number}: expected '# key: value' with one of {', '.join(keys)}")
        found[key].append(value)
        if key == "units":
            column, _, unit = (part.strip() for part in value.partition("="))
            units[column] = unit
        elif key == "valid range":
            column, low, high = _range(value, f"{where} line {number}")
            ranges[column] = (low, high)
    for name, described in (("units", units), ("valid range", ranges)):
        if set(described) != set(numbers) or not all(described.values()):
            raise TableError(f"{where}: the header needs '# {name}:' for {', '.join(numbers) or 'no column'}")
    texts = {key: "\n".join(values) for key, values in found.items() if key not in ("units", "valid range")}
    missing = [key for key, text in texts.items() if not text]
    if missing:
        raise TableError(f"{where}: the header has no line for {', '.join(missing)}")
    return Header(units=MappingProxyType(units), valid_range=MappingProxyType(ranges), **texts)


def _range(text: str, where: str) -> tuple[str, float, float]:
    """Column, low and high of 'column low to high'."""
    try:
        column, low, to, high = text.split()
        if to != "to" or not float(low) < float(high):
            raise ValueError(text)
        return column, float(low), float(high)
    except ValueError:
        raise TableError(f"{where}: expected 'column low to high', not {text!r}") from None


def _rows(
    lines: list[str], above: int, columns: dict[str, Any], header: Header, where: str
) -> Iterator[dict[str, str | float | None]]:
    """Cells by column for each row, below so many lines of header."""
    reader = csv.reader(lines, strict=True)
    try:
        names = next(reader, [])
        if names != list(columns):
            raise TableError(f"{where} line {above + 1}: columns are {names}, expected {list(columns)}")
        for row in reader:
            line = f"{where} line {above + reader.line_num}"
            if len(row) != len(columns):
                raise TableError(f"{line}: {len(row)} cells, expected {len(columns)}")
            yield {
                column: _cell(text, kind, header.valid_range.get(column), f"{line}, {column}")
                for (column, kind), text in zip(columns.items(), row, strict=True)
            }
    except csv.Error as error:
        raise TableError(f"{where} line {above + reader.line_num}: {error}") from error


def _cell(text: str, kind: Any, valid: tuple[float, float] | None, where: str) -> str | float | None:
    """A cell as its column's type, a number only within its valid range."""
    text = text.strip()
    if not text:
        if NoneType in get_args(kind):
            return None
        raise TableError(f"{where}: the cell is blank")
    wanted = _type(kind)
    if wanted is str:
        return text
    try:
        number: float = wanted(text)
    except ValueError:
        raise TableError(f"{where}: {text!r} is not a {'whole ' if wanted is int else ''}number") from None
    if valid is not None and not (math.isfinite(number) and valid[0] <= number <= valid[1]):
        raise TableError(f"{where}: {text} is outside the valid range, {valid[0]:g} to {valid[1]:g}")
    return number


def _type(kind: Any) -> Any:
    """str, float or int, of a type that may also be ``None``."""
    return next((part for part in get_args(kind) if part is not NoneType), kind)
