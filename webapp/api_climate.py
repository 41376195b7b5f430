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
from movement.parts import answers
from movement.parts.climates import RecordClimate, RoomFields
from movement.parts.fields import told
from movement.records import EXTREMES
from movement.understood import Understood
from movement.weather import Weather, WeatherError
from webapp import record_fields, recorded
from webapp.api import PREFIX, REFUSALS, refused
from webapp.api_panel import Year, year_of
from webapp.record_fields import HighPercentile, LowPercentile
from webapp.recorded import Kind
from webapp.refusals import Refusal, from_range, from_validation
from webapp.uploads import ADDRESS

router = APIRouter(prefix=PREFIX, tags=["api"], responses=REFUSALS)

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
    temperature_unit: Annotated[
        Literal["C", "F"] | None, told("Unit of the file's temperatures; left out: as the file tells")
    ] = None
    day_first: bool | None = Field(default=None, description="Whether 1/2/2025 is 1 February.")
    time_column: Text | None = Field(default=None, description="A heading, or a number from 1; so the others.")
    clock_column: Annotated[Text | None, told("Column of the time of day, where it has one of its own")] = None
    temperature_column: Annotated[Text | None, told("Column of temperature")] = None
    humidity_column: Annotated[Text | None, told("Column of relative humidity")] = None
    dry_percentile: LowPercentile = EXTREMES[0]
    wet_percentile: HighPercentile = EXTREMES[1]
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

    use: Annotated[str, told("What the column is used for")]
    number: int = Field(description="From 1.")
    name: Annotated[str, told("Its heading; may be empty")]


class RowsLeftOut(BaseModel):
    """Rows of a log that are not used, and why."""

    why: Annotated[str, told("Why they are left out")]
    rows: Annotated[int, told("How many they are")]
    first_line: Annotated[int, told("Line of the file where the first one stands")]


class LogGap(BaseModel):
    """A time without readings."""

    start: Annotated[datetime, told("When it begins")]
    end: Annotated[datetime, told("When it ends")]
    days: Annotated[float, told("How long it is", "days")]


class LogUnderstood(BaseModel):
    """How a hygrometer's log was read."""

    kind: Annotated[Literal["log"], told("Which kind of file it was")] = "log"
    encoding: Annotated[str, told("How the text is encoded")]
    separator: Annotated[str, told("What parts the columns")]
    decimal: Annotated[str, told("Decimal mark")]
    columns: Annotated[list[ColumnUsed], told("Columns that are used")]
    other_columns: Annotated[list[str], told("Headings of the columns that are not")]
    temperature_unit: Annotated[Literal["C", "F"], told("Unit of the file's temperatures")]
    temperature_unit_why: Annotated[str, told("How that is known")]
    temperature_unit_sure: Annotated[bool, told("False where it is a guess")]
    dates: Annotated[str, told("How dates and times are written")]
    dates_why: Annotated[str, told("How that is known")]
    dates_sure: Annotated[bool, told("False where it is a guess")]
    first: Annotated[datetime, told("Time of the first reading")]
    last: Annotated[datetime, told("Time of the last reading")]
    interval_minutes: Annotated[float, told("Usual time between readings", "min")]
    rows: Annotated[int, told("Rows read below the heading")]
    rows_used: Annotated[int, told("Rows that are used")]
    rows_repeated: Annotated[int, told("Rows that repeat another, left out")]
    rows_left_out: Annotated[list[RowsLeftOut], told("Rows that are not used, by reason")]
    gaps: list[LogGap] = Field(description="The longest first.")
    gap_count: Annotated[int, told("How many gaps there are in all")]
    covered: float = Field(description="Share of a year's hours, 0 to 1.")
    months_covered: list[float] = Field(description="The same for each month, January first.")
    warnings: answers.Warnings

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

    kind: Annotated[Literal["epw"], told("Which kind of file it was")] = "epw"
    city: Annotated[str, told("City or station")]
    region: Annotated[str, told("State or region")]
    country: Annotated[str, told("Country")]
    source: Annotated[str, told("Source of the data, as the file tells it")]
    latitude_deg: Annotated[float, told("Latitude, north positive", "°")]
    longitude_deg: Annotated[float, told("Longitude, east positive", "°")]
    elevation_m: Annotated[float, told("Height above the sea", "m")]
    hours: Annotated[int, told("Hours of the year that is made")]
    hours_known: Annotated[int, told("Hours with readings")]
    rows_missing: Annotated[int, told("Rows without temperature or humidity, left out")]
    rows_from_dew_point: Annotated[int, told("Rows whose humidity comes from their dew point")]
    warnings: answers.Warnings

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

    understood: Annotated[LogUnderstood | WeatherUnderstood, Field(discriminator="kind"), told("How the file was read")]
    record: Annotated[RecordClimate, told("The climate to send where one is asked for")]


class _RefusedError(Exception):
    """What was sent is refused."""

    def __init__(self, *refusals: Refusal) -> None:
        self.refusals = refusals


@router.post(ADDRESS, response_model=RecordedYear, summary="Twelve months of air from a file")
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
