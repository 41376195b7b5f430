"""The JSON API's route for a climate from a file: a hygrometer's log or a weather file, sent as a form."""

from dataclasses import replace
from datetime import datetime
from typing import Annotated, Any, Literal, Self

from fastapi import APIRouter, Form, UploadFile
from fastapi.responses import Response
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from movement.climate import Room
from movement.errors import RangeError
from movement.hygrometer import Log
from movement.layout import LogError, Options
from movement.parts.climates import RecordClimate, RoomFields
from movement.parts.fields import bounded
from movement.records import EXTREMES, HIGH_EXTREME, LOW_EXTREME
from movement.understood import Understood
from movement.weather import Weather, WeatherError
from webapp import record_fields, recorded
from webapp.api import PREFIX, REFUSALS, Year, refused, year_of
from webapp.recorded import Kind
from webapp.refusals import Refusal, from_range, from_validation

router = APIRouter(prefix=PREFIX, tags=["api"], responses=REFUSALS)

ADDRESS = f"{PREFIX}/climate/file"
Text = Annotated[str, Field(max_length=200)]


def _file(sent: Any) -> Any:
    if isinstance(sent, str):
        raise ValueError("Send the file itself, as a part of the form with a file name.")
    return sent


def _without_null(schema: dict[str, Any]) -> None:
    """A form has no null: what is left out is not in it."""
    for field in schema["properties"].values():
        branches = [one for one in field.pop("anyOf", ()) if one != {"type": "null"}]
        field.update(*branches)
        if field.get("default", "") is None:
            del field["default"]


class FileBody(BaseModel):
    """A file, and how to read it; what is left out is left to the file."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, json_schema_extra=_without_null)

    file: Annotated[
        UploadFile,
        BeforeValidator(_file),
        Field(description="A log as plain text, or a weather file in the EPW format."),
    ]
    kind: Kind | None = Field(default=None, description="By name and content where it is left out.")
    temperature_unit: Literal["C", "F"] | None = None
    day_first: bool | None = Field(default=None, description="Whether 1/2/2025 is 1 February.")
    time_column: Text | None = Field(default=None, description="A heading, or a number from 1; so the others.")
    clock_column: Text | None = None
    temperature_column: Text | None = None
    humidity_column: Text | None = None
    dry_percentile: Annotated[float, bounded(LOW_EXTREME, "%")] = EXTREMES[0]
    wet_percentile: Annotated[float, bounded(HIGH_EXTREME, "%")] = EXTREMES[1]
    room: str = Field(
        default="",
        description="The room at a weather file's place, as JSON of RoomFields; left out: outdoors under cover.",
        json_schema_extra={"contentMediaType": "application/json"},
    )

    def options(self) -> Options:
        """How to read a log."""
        units: dict[str | None, Any] = {"C": "°C", "F": "°F"}
        return Options(
            units.get(self.temperature_unit),
            self.day_first,
            self.time_column,
            self.clock_column,
            self.temperature_column,
            self.humidity_column,
        )


class ColumnUsed(BaseModel):
    """A column of a log that was used."""

    use: str
    number: int = Field(description="From 1.")
    name: str


class RowsLeftOut(BaseModel):
    """Rows of a log that are not used, and why."""

    why: str
    rows: int
    first_line: int


class LogGap(BaseModel):
    """A time without readings."""

    start: datetime
    end: datetime
    days: float


class LogUnderstood(BaseModel):
    """How a hygrometer's log was read."""

    kind: Literal["log"] = "log"
    encoding: str
    separator: str
    decimal: str
    columns: list[ColumnUsed]
    other_columns: list[str]
    temperature_unit: Literal["C", "F"]
    temperature_unit_why: str
    temperature_unit_sure: bool
    dates: str
    dates_why: str
    dates_sure: bool
    first: datetime
    last: datetime
    interval_minutes: float
    rows: int
    rows_used: int
    rows_repeated: int
    rows_left_out: list[RowsLeftOut]
    gaps: list[LogGap] = Field(description="The longest first.")
    gap_count: int
    covered: float = Field(description="Share of a year's hours, 0 to 1.")
    months_covered: list[float] = Field(description="The same for each month, January first.")
    warnings: list[str]

    @classmethod
    def of(cls, log: Understood) -> Self:
        """What the core says, in JSON."""
        return cls(
            encoding=log.encoding,
            separator=log.separator,
            decimal=log.decimal,
            columns=[ColumnUsed(use=one.use, number=one.number, name=one.name) for one in log.columns],
            other_columns=list(log.others),
            temperature_unit="C" if log.unit == "°C" else "F",
            temperature_unit_why=log.unit_why,
            temperature_unit_sure=log.unit_sure,
            dates=log.dates,
            dates_why=log.dates_why,
            dates_sure=log.dates_sure,
            first=log.first.item(),
            last=log.last.item(),
            interval_minutes=log.interval,
            rows=log.rows,
            rows_used=log.used,
            rows_repeated=log.duplicates,
            rows_left_out=[RowsLeftOut(why=one.why, rows=one.rows, first_line=one.first_line) for one in log.dropped],
            gaps=[LogGap(start=gap.start.item(), end=gap.end.item(), days=gap.days) for gap in log.gaps],
            gap_count=log.gap_count,
            covered=log.covered,
            months_covered=list(log.months),
            warnings=list(log.warnings),
        )


class WeatherUnderstood(BaseModel):
    """What a weather file says of its place."""

    kind: Literal["epw"] = "epw"
    city: str
    region: str
    country: str
    source: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    hours: int
    hours_known: int
    rows_missing: int
    rows_from_dew_point: int
    warnings: list[str]

    @classmethod
    def of(cls, found: Weather) -> Self:
        """What the core says, in JSON."""
        return cls(
            city=found.city,
            region=found.region,
            country=found.country,
            source=found.source,
            latitude_deg=found.latitude,
            longitude_deg=found.longitude,
            elevation_m=found.elevation,
            hours=found.hours.known.size,
            hours_known=int(found.hours.known.sum()),
            rows_missing=found.missing,
            rows_from_dew_point=found.derived,
            warnings=list(found.warnings),
        )


class RecordedYear(Year):
    """The year that a file makes, how the file was read, and the climate to send where one is asked for."""

    understood: Annotated[LogUnderstood | WeatherUnderstood, Field(discriminator="kind")]
    record: RecordClimate


class _RefusedError(Exception):
    """What was sent is refused."""

    def __init__(self, *refusals: Refusal) -> None:
        self.refusals = refusals


@router.post("/climate/file", response_model=RecordedYear)
def climate_from_file(sent: Annotated[FileBody, Form(media_type="multipart/form-data")]) -> Response | RecordedYear:
    """Twelve months of air from a hygrometer's log or from a weather file; nothing is kept."""
    try:
        return _year(sent)
    except _RefusedError as error:
        return refused(error.refusals)


def _year(sent: FileBody) -> RecordedYear:
    stream = sent.file.file
    kind = sent.kind or recorded.kind_of(sent.file.filename or "", stream.read(recorded.HEAD))
    room = _room(sent.room, kind)
    try:
        found = recorded.read(kind, stream, sent.options())
    except LogError as error:
        raise _RefusedError(Refusal(record_fields.COLUMNS.get(error.use, "file"), str(error))) from None
    except WeatherError as error:
        raise _RefusedError(Refusal("file", str(error))) from None
    try:
        record = recorded.year(found, room, (sent.dry_percentile, sent.wet_percentile))
    except RangeError as error:
        raise _RefusedError(from_range(error, "room" if room else "file")) from None
    understood = LogUnderstood.of(found.understood) if isinstance(found, Log) else WeatherUnderstood.of(found)
    return RecordedYear(**dict(year_of(record.year())), understood=understood, record=record)


def _room(text: str, kind: Kind) -> Room | None:
    if not text:
        return None
    if kind == "log":
        raise _RefusedError(Refusal("room", "A log has the air of its own room; leave this out."))
    try:
        return RoomFields.model_validate_json(text).room()
    except ValidationError as error:
        refusals = from_validation(error, RoomFields)
    raise _RefusedError(*(replace(one, field=f"room.{one.field}".rstrip(".")) for one in refusals))
