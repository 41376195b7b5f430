"""Where a piece will live: a year of air and the moisture that wood settles at in it, kept under a name."""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated
from urllib.parse import parse_qsl, urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response
from pydantic import Field, ValidationError

from movement import climate, sorption, temperatures
from movement.lengths import Unit
from movement.parts.climates import (
    AnyClimate,
    MonthsClimate,
    PlaceClimate,
    RecordClimate,
)
from movement.parts.fields import Described
from webapp import exports, plots, years
from webapp.charts import Chart
from webapp.documents import ChangedError, Kept, MissingError
from webapp.forms import Form, Spec, bind
from webapp.library import read_climate, shelf
from webapp.posted import Typed, mark, see, store_of
from webapp.refusals import Refusal
from webapp.render import UNITS, Link, render, spelled, unit_of
from webapp.store import Store, TakenError

router = APIRouter()

NAME = Spec("name", "Name", "text", hint="For example the house and the room.")
_ROOM_NOTES = (
    "Heated to {}, cooled to at most {}, dried to at most 60 %: what this page starts from, chosen by us, no source. "
    "Put in what the house does.",
    "Moisture surplus 2 g/m³: in winter, homes average about 2 to 3 (Baltic houses 2 to 3.5; Alev et al. 2015). "
    "Building engineers design for 4 in the cold (Kalamees, AIVC 2006); that would hide how dry a room gets in winter.",
    "To compare with: homes in Canada average 25 to 30 % relative humidity in the heating season (Kent, Handegord and "
    "Robson, ASHRAE Transactions 72).",
    "Without cooling or a dehumidifier a room follows a damp summer: leave neither blank unless the house has none.",
)


CHANGED = (
    "This climate was changed elsewhere meanwhile, so what you see was not kept. Save it again to put it in place of "
    "that, or save it as a new one."
)
GONE = "It was deleted meanwhile: save it as a new one."


def room_notes(unit: Unit) -> Sequence[str]:
    """What to know of a room's air, temperatures in the scale that goes with the unit."""
    starts = (temperatures.show(start, temperatures.SCALES[unit]) for start in (20.0, 25.0))
    return (_ROOM_NOTES[0].format(*starts), *_ROOM_NOTES[1:])


class Named(Described):
    """What a climate is kept under."""

    name: Annotated[str, Field(min_length=1, max_length=80)]


@dataclass(frozen=True, slots=True)
class Row:
    """A kept climate in the list."""

    id: str
    name: str
    words: str


@dataclass(frozen=True, slots=True)
class ClimatePage:
    """The context of climate.html.

    ``year`` is None where something was refused; ``gone`` is a climate that was deleted and can be brought back, under
    another name where it is to be ``renamed``.
    """

    form: Form
    kept: Sequence[Row]
    opened: Kept | None = None
    year: AnyClimate | None = None
    gone: Kept | None = None
    renamed: bool = False

    @property
    def record(self) -> RecordClimate | None:
        """The year, where it was read from a file: it is shown and not asked for."""
        return self.year if isinstance(self.year, RecordClimate) else None

    @property
    def seen(self) -> str:
        """The mark of what is kept of the climate that is open."""
        return mark(f"{self.opened.name}\n{self.opened.document}") if self.opened else ""

    @property
    def chart(self) -> Chart | None:
        """The twelve months."""
        return plots.by_month(self.year, self.form.unit) if self.year else None

    @property
    def daily(self) -> Chart | None:
        """The days of a record."""
        return plots.by_day(self.record) if self.record else None

    @property
    def dotted(self) -> str:
        """What the dotted months of the chart are."""
        return plots.dotted(self.year) if self.year else ""

    @property
    def action(self) -> str:
        """Where the year is sent to be kept."""
        if self.opened is not None:
            return f"/climate/{self.opened.id}"
        return f"/climate/{self.gone.id}/restore" if self.gone and self.renamed else "/climate"

    @property
    def shown(self) -> Sequence[str]:
        """The fields of the chosen way to tell the year."""
        return () if self.record else years.FIELDS.get(self.form.fields["year"].value, ())

    @property
    def year_fields(self) -> Sequence[str]:
        """Every field of the year but the months."""
        return [name for name in years.NAMES if name in self.form.fields]

    @property
    def months(self) -> Sequence[tuple[str, str, str]]:
        """Name, temperature field and humidity field of every month, where they are shown."""
        if self.shown != years.MONTH_NAMES:
            return ()
        return list(zip(climate.MONTHS, years.MONTH_NAMES[::2], years.MONTH_NAMES[1::2], strict=True))

    @property
    def state(self) -> Sequence[tuple[str, str]]:
        """(field, text) of all that tells the year; of a record it tells only that it is one."""
        if self.record:
            return [("year", years.RECORD)]
        names = ["year", *self.year_fields]
        names += [name for name in years.MONTH_NAMES if name in self.shown or self.form.fields[name].value]
        return [(name, self.form.fields[name].value) for name in names]

    @property
    def query(self) -> str:
        """The page's state as the query of an address."""
        return self.query_in(self.form.unit)

    def query_in(self, unit: Unit) -> str:
        """The same state as the query of an address in another unit."""
        handles = (("saved", self.opened), ("gone", self.gone))
        own = spelled(self.form, self.form.unit) if unit != self.form.unit else {}
        state = [(name, own.get(name, text)) for name, text in self.state]
        return urlencode([*state, *((name, kept.id) for name, kept in handles if kept), ("unit", unit)])

    @property
    def csv(self) -> str:
        """The address of the months as a file; empty where only the form has the year."""
        return "" if self.record and not (self.opened or self.gone) else f"/climate.csv?{self.query}"

    @property
    def changed(self) -> bool:
        """Whether the climate that is open differs from what is kept."""
        return self.opened is not None and self.year is not None and read_climate(self.opened.document) != self.year

    @property
    def words(self) -> str:
        """One line on the year."""
        return years.words(self.year, self.form.unit) if self.year else ""

    @property
    def figures(self) -> Sequence[tuple[str, float, str]]:
        """Name, moisture [%] and remark of dry, wet and mid."""
        return years.figures(self.year, self.form.unit) if self.year else ()

    @property
    def notes(self) -> Sequence[str]:
        """What to know about the year."""
        if self.year is None:
            return ()
        in_room = isinstance(self.year, PlaceClimate) and self.year.room is not None
        room = room_notes(self.form.unit) if in_room else ()
        return (*self.year.year().notes, sorption.NOTE_GENERIC, *room)

    @property
    def sources(self) -> Sequence[str]:
        """Where the numbers come from."""
        return self.year.year().sources if self.year else ()

    @property
    def gap_address(self) -> str:
        """The gap page for this year; empty where that page cannot be told it."""
        if self.opened is not None and not self.changed:
            return "/?" + urlencode({"year": "saved", "saved_climate": self.opened.id})
        if self.year is None or isinstance(self.year, MonthsClimate | RecordClimate):
            return ""
        unit = self.form.unit
        return "/?" + urlencode(years.typed(self.year, unit) | {"unit": unit})

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.year is None:
            return self.form.doubt
        year = self.year.year()
        return f"Dry {year.dry:.1f} %, wet {year.wet:.1f} %, mid {year.mid:.1f} % moisture content."


@router.get("/climate")
def show(request: Request) -> Response:
    """The page, or its sheet, for the year of the address; ``saved`` opens a kept one, ``gone`` offers one back."""
    return _rendered(request, answer(request.query_params, store_of(request), unit_of(request)))


@router.get("/climate.csv")
def as_csv(request: Request) -> Response:
    """Twelve months of the year of the address, as CSV with a byte order mark so that spreadsheets read it as UTF-8."""
    page = answer(request.query_params, store_of(request), unit_of(request))
    if page.chart is None:
        return _rendered(request, page)
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerows((page.chart.table.head, *page.chart.table.rows))
    return exports.download(out.getvalue().encode("utf-8-sig"), "text/csv; charset=utf-8", "climate.csv")


@router.post("/climate")
def save_new(request: Request, typed: Typed) -> Response:
    """Keep the year under a new name."""
    return _save(request, typed, None)


@router.get("/climate/{id}")
def open_kept(id: str) -> Response:
    """The page with a kept climate open."""
    return see(f"/climate?{urlencode({'saved': id})}")


@router.post("/climate/{id}")
def save_changes(request: Request, id: str, typed: Typed) -> Response:
    """Keep the year, or its new name, over what is kept."""
    return _save(request, typed, id)


@router.post("/climate/{id}/delete")
def delete(request: Request, id: str, typed: Typed) -> Response:
    """Delete a kept climate; the page goes on showing its year and offers to bring the climate back."""
    store_of(request).delete_climate(id)
    known = {"year", *years.NAMES, *years.MONTH_NAMES, "saved", "unit"}
    state = {name: text for name, text in parse_qsl(typed.get("back", ""), keep_blank_values=True) if name in known}
    if state.get("saved") == id:
        del state["saved"]
    if state.get("year") == years.RECORD and "saved" not in state:
        state.clear()
    return see(f"/climate?{urlencode({**state, 'gone': id})}")


@router.post("/climate/{id}/restore")
def restore(request: Request, id: str, typed: Typed) -> Response:
    """Bring a deleted climate back, under another name where its own is taken by now."""
    store = store_of(request)
    try:
        gone = store.deleted_climate(id)
    except MissingError:
        return open_kept(id)
    page = answer({"name": gone.name, **typed, "gone": id}, store, unit_in(request, typed))
    named = page.form.build(Named)
    if named is not None:
        try:
            store.restore_climate(id, _name(named))
        except TakenError as error:
            page.form.refuse(_taken(error))
        else:
            return open_kept(id)
    return _rendered(request, replace(page, renamed=True))


def _name(named: Named) -> str:
    return " ".join(named.name.split())


def _save(request: Request, typed: Mapping[str, str], id: str | None) -> Response:
    store = store_of(request)
    page = answer({**typed, **({"saved": id} if id else {})}, store, unit_in(request, typed))
    if page.opened is not None and typed.get("seen", page.seen) != page.seen:
        page.form.refuse(Refusal("name", CHANGED))
        return _rendered(request, page)
    if id is not None and page.opened is None:
        page.form.refuse(Refusal("", GONE))
        return _rendered(request, page)
    kept = keep(store, page.form, page.year, page.opened)
    return _rendered(request, page) if kept is None else open_kept(kept.id)


def unit_in(request: Request, data: Mapping[str, str]) -> Unit:
    """The unit that the fields of a sent form were shown in."""
    return next((unit for unit in UNITS if unit == data.get("unit")), unit_of(request))


def keep(store: Store, form: Form, year: AnyClimate | None, over: Kept | None = None) -> Kept | None:
    """Keep a year under the name in a form, over a kept one, if any; where it cannot be, the form says why."""
    named = form.build(Named)
    if named is None or year is None:
        return None
    try:
        return store.save_climate(_name(named), year.model_dump_json(), over)
    except TakenError as error:
        form.refuse(_taken(error))
    except ChangedError:
        form.refuse(Refusal("name", CHANGED))
    except MissingError:
        form.refuse(Refusal("", GONE))
    return None


def _taken(error: TakenError) -> Refusal:
    return Refusal("name", f"{error} Give this one another name.")


def answer(data: Mapping[str, str], store: Store, unit: Unit = "mm") -> ClimatePage:
    """Read what the year is told by, and work it out.

    Raises
    ------
    MissingError
        When all that is asked for is a kept climate that is there no longer.
    """
    opened = gone = None
    if data.get("saved"):
        try:
            opened = store.climate(data["saved"])
        except MissingError:
            if "year" not in data:
                raise
    if data.get("gone"):
        gone = _gone(store, data["gone"])
    source = opened or gone
    told = {"name": opened.name} if opened else {}
    kept = [_row(one) for one in shelf(store).climates]
    record = _record(data, source)
    if record is not None:
        return ClimatePage(bind([NAME], {**told, **data}, unit), kept, opened, record, gone)
    told |= years.typed(read_climate(source.document), unit) if source else {}
    fields = years.specs(store, with_saved=False, with_months=True)
    form = bind([NAME, *fields], years.with_months({**told, **data}, store, unit), unit)
    return ClimatePage(form, kept, opened, years.build(form, store), gone)


def _record(data: Mapping[str, str], source: Kept | None) -> RecordClimate | None:
    """The record that is asked for: the one that was sent along, else the one that is kept; None for another kind."""
    if data.get("year", years.RECORD) != years.RECORD:
        return None
    if data.get("record"):
        try:
            return RecordClimate.model_validate_json(data["record"])
        except ValidationError:
            return None
    found = read_climate(source.document) if source else None
    return found if isinstance(found, RecordClimate) else None


def _row(kept: Kept) -> Row:
    year = read_climate(kept.document).year()
    return Row(kept.id, kept.name, f"Dry {year.dry:.1f}, wet {year.wet:.1f}, mid {year.mid:.1f} % MC.")


def _gone(store: Store, id: str) -> Kept | None:
    """A climate that was deleted; None where there is nothing to bring back."""
    try:
        return store.deleted_climate(id)
    except MissingError:
        return None


def _rendered(request: Request, page: ClimatePage) -> Response:
    unit = page.form.unit
    links = [Link(one, f"/climate?{page.query_in(one)}", one == unit) for one in UNITS]
    return render(request, "climate.html", page, unit=unit, unit_links=links, status=200 if page.form.ok else 422)
