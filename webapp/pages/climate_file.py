"""A climate from a file: what a hygrometer's log or a weather file says, shown before anything of it is kept."""

import re
from collections.abc import AsyncIterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from movement import sorption
from movement.climate import Room
from movement.errors import RangeError
from movement.hygrometer import MOST_BYTES, Log
from movement.layout import LogError
from movement.lengths import Unit
from movement.parts.climates import RecordClimate
from movement.records import Hours
from movement.weather import Weather, WeatherError
from webapp import findings, plots, record_fields, recorded, years
from webapp.charts import Chart
from webapp.documents import MissingError
from webapp.forms import Form, Spec, bind
from webapp.pages import climate
from webapp.posted import Typed, see, store_of
from webapp.refusals import from_range
from webapp.render import UNITS, Link, is_partial, render, spelled, unit_of
from webapp.security import too_large
from webapp.store import Store
from webapp.uploads import ADDRESS, Upload, Uploads

router = APIRouter()

FILE = Spec("file", "The file", "hidden", hint=f"A log as CSV, up to {MOST_BYTES // 1_000_000} MB, or an EPW file.")
MOST_NAME = 80
WAIT, WAIT_PARTIAL, WAIT_KEEPING = 1.0, 0.4, 60.0
"""How long a page, a part of one, and a change wait for a file to be read [s]; a page then shows how far it is."""
NOT_HERE = "The file is no longer here: files that are not kept stay for a day. Choose it again."


@dataclass(frozen=True, slots=True)
class FilePage:
    """The context of climate_file.html.

    ``upload`` is None before a file was sent; ``found`` is what it says, None while it is read (``share`` of it is
    behind) and where it cannot be; ``year`` is None where an option was refused.
    """

    form: Form
    upload: Upload | None = None
    share: float | None = None
    found: Log | Weather | None = None
    year: RecordClimate | None = None
    hours: Hours | None = None

    @property
    def href(self) -> str:
        """The page's address without its options."""
        return f"{ADDRESS}/{self.upload.token}" if self.upload else ADDRESS

    @property
    def state(self) -> Sequence[tuple[str, str]]:
        """(field, text) of all options."""
        fields = [(one.name, one.value) for one in self.form.fields.values() if one.name not in ("file", "name")]
        return [*fields, ("unit", self.form.unit)]

    @property
    def query(self) -> str:
        """The options and the name as the query of an address."""
        return self.query_in(self.form.unit)

    def query_in(self, unit: Unit) -> str:
        """The same as the query of an address in another unit."""
        own = spelled(self.form, self.form.unit) if unit != self.form.unit else {}
        fields = [(one.name, own.get(one.name, one.value)) for one in self.form.fields.values() if one.name != "file"]
        return urlencode([*fields, ("unit", unit)])

    @property
    def shown(self) -> Sequence[str]:
        """The options that matter now, those for a log that was misread apart."""
        return record_fields.shown(self.form) if self.upload else ()

    @property
    def misread(self) -> Sequence[str]:
        """The options for a log that was misread."""
        return [spec.name for spec in record_fields.LOG if spec.name in self.form.fields]

    @property
    def doubtful(self) -> bool:
        """Whether there is something to see or to decide at those."""
        sure = not isinstance(self.found, Log) or (self.found.understood.unit_sure and self.found.understood.dates_sure)
        fields = [self.form.fields[name] for name in (*self.misread, "file")]
        return not sure or any(field.value or field.error for field in fields)

    @property
    def headings(self) -> Sequence[str]:
        """The headings that the file is known to have."""
        return findings.headings(self.found) if self.found else ()

    @property
    def lead(self) -> str:
        """The first thing to say of what was understood."""
        return findings.lead(self.found) if self.found else ""

    @property
    def facts(self) -> Sequence[findings.Fact]:
        """What was understood, by name."""
        return findings.facts(self.found) if self.found else ()

    @property
    def warnings(self) -> Sequence[str]:
        """What to check."""
        return findings.warnings(self.found) if self.found else ()

    @property
    def lists(self) -> Sequence[tuple[str, Sequence[str]]]:
        """(heading, lines) of what is missing."""
        if self.found is None:
            return ()
        lists = (("Rows left out", findings.left_out(self.found)), ("Gaps", findings.gaps(self.found)))
        return [(heading, lines) for heading, lines in lists if lines]

    @property
    def figures(self) -> Sequence[tuple[str, float, str]]:
        """Name, moisture [%] and remark of dry, wet and mid."""
        return years.figures(self.year, self.form.unit) if self.year else ()

    @property
    def words(self) -> str:
        """One line on the year."""
        return years.words(self.year, self.form.unit) if self.year else ""

    @property
    def notes(self) -> Sequence[str]:
        """What to know about the year."""
        room = climate.room_notes(self.form.unit) if self.form.values.get("where") == "room" else ()
        return (*self.year.notes, sorption.NOTE_GENERIC, *room) if self.year else ()

    @property
    def charts(self) -> Sequence[tuple[str, Chart, str]]:
        """(id, chart, caption) of the months, and of the record or its days."""
        if self.year is None or self.hours is None:
            return ()
        band = f"January to December. The shaded band runs from dry to wet.{plots.dotted(self.year)}"
        drawn = [("months-chart", plots.by_month(self.year, self.form.unit), band)]
        if isinstance(self.found, Log):
            points = f"Each point is the mean of {plots.together(self.hours)}; open where there is no reading."
            drawn.append(("record-chart", plots.along(self.hours, self.year.year()), points))
        elif daily := plots.by_day(self.year):
            drawn.append(("days-chart", daily, "Each point is the mean of five days."))
        return drawn

    @property
    def status(self) -> str:
        """One line for a screen reader."""
        if self.form.errors:
            return self.form.doubt
        if self.year is None:
            return ""
        year = self.year.year()
        return f"The file is read. Dry {year.dry:.1f} %, wet {year.wet:.1f} %, mid {year.mid:.1f} % moisture content."


@dataclass(frozen=True, slots=True)
class Sent:
    """A form with a file in it; ``refused`` says why there is none."""

    file: UploadFile | None = None
    refused: str = ""


async def _sent(request: Request) -> AsyncIterator[Sent]:
    try:
        form = await request.form(max_files=1, max_fields=20)
    except HTTPException as error:
        if error.status_code != 413:
            raise
        yield Sent(refused=too_large(uploads_limit(request)))
        return
    try:
        file = form.get("file")
        yield Sent(file if isinstance(file, UploadFile) and file.filename else None)
    finally:
        await form.close()


def uploads_limit(request: Request) -> int:
    """The largest body that brings a file [bytes]."""
    limit: int = request.app.state.settings.upload_limit
    return limit


def uploads_of(request: Request) -> Uploads:
    """The files that were sent in."""
    uploads: Uploads = request.app.state.uploads
    return uploads


@router.get(ADDRESS)
async def ask(request: Request) -> Response:
    """The page that asks for a file."""
    return _rendered(request, _asking(unit_of(request)))


@router.post(ADDRESS)
def take_in(request: Request, sent: Annotated[Sent, Depends(_sent)]) -> Response:
    """Take a file in and go to the page that shows what it says."""
    if sent.file is None or sent.file.filename is None:
        return _rendered(request, _asking(unit_of(request), sent.refused or "Choose a file first."))
    if not sent.file.size:
        return _rendered(request, _asking(unit_of(request), f"“{sent.file.filename[:MOST_NAME]}” is empty."))
    try:
        upload = uploads_of(request).keep(sent.file.file, sent.file.filename)
    except OSError:
        full = "The file cannot be taken in now: the disk is full or cannot be written."
        return _rendered(request, _asking(unit_of(request), full))
    name = re.sub(r"[\s_]+|\.[A-Za-z0-9]{1,4}$", " ", sent.file.filename)
    return see(f"{ADDRESS}/{upload.token}?{urlencode({'name': _printable(name)[:MOST_NAME].strip()})}")


def _printable(text: str) -> str:
    return "".join(mark for mark in text if mark.isprintable())


@router.get(ADDRESS + "/{token}")
def show(request: Request, token: str) -> Response:
    """What a file says, read with the options of the address; how far it is where it is long."""
    try:
        page = answer(request, token, request.query_params, WAIT_PARTIAL if is_partial(request) else WAIT)
    except MissingError:
        return _rendered(request, _asking(unit_of(request), NOT_HERE), 404)
    return _rendered(request, page)


@router.post(ADDRESS + "/{token}")
def keep(request: Request, token: str, typed: Typed) -> Response:
    """Keep the year under a name and let go of the file; where the file is gone, what was shown of it is kept."""
    try:
        page = answer(request, token, typed, WAIT_KEEPING)
    except MissingError:
        return climate.save_new(request, typed)
    kept = climate.keep(store_of(request), page.form, page.year)
    if kept is None:
        return _rendered(request, page)
    uploads_of(request).discard(token)
    return climate.open_kept(kept.id)


def answer(request: Request, token: str, data: Mapping[str, str], wait: float) -> FilePage:
    """Read the options, and the file with them.

    Raises
    ------
    MissingError
        The file is not here.
    """
    uploads = uploads_of(request)
    upload = uploads.find(token)
    form = _form(upload, data, store_of(request), climate.unit_in(request, data))
    reading = uploads.reading(upload, record_fields.options(form))
    room, extremes = record_fields.room(form), record_fields.extremes(form)
    try:
        found = reading.found(wait)
    except LogError as error:
        record_fields.refuse(form, error)
        return FilePage(form, upload)
    except WeatherError as error:
        form.fields["file"].error = str(error)
        return FilePage(form, upload)
    if found is None:
        return FilePage(form, upload, reading.share)
    return _with_year(form, upload, found, room, extremes)


def _with_year(
    form: Form, upload: Upload, found: Log | Weather, room: Room | None, extremes: tuple[float, float]
) -> FilePage:
    if not form.ok:
        return FilePage(form, upload, found=found)
    try:
        year, hours = recorded.year(found, room, extremes), recorded.hours(found, room)
    except RangeError as error:
        field = "dehumidifier" if room is not None and error.name == "indoor humidity" else "file"
        form.refuse(from_range(error, field, form.say))
        return FilePage(form, upload, found=found)
    return FilePage(form, upload, found=found, year=year, hours=hours)


def _form(upload: Upload, data: Mapping[str, str], store: Store, unit: Unit) -> Form:
    return bind([FILE, climate.NAME, *record_fields.specs(upload.kind, store)], {**data, "file": ""}, unit)


def _asking(unit: Unit, refused: str = "") -> FilePage:
    form = bind([FILE], {}, unit)
    form.fields["file"].error = refused
    return FilePage(form)


def _rendered(request: Request, page: FilePage, status: int | None = None) -> Response:
    unit = page.form.unit
    links = [Link(one, f"{page.href}?{page.query_in(one)}", one == unit) for one in UNITS]
    code = status or (200 if page.form.ok else 422)
    return render(request, "climate_file.html", page, unit=unit, unit_links=links, status=code)
