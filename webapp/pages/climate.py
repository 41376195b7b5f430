"""Where a piece will live: a year of air and the moisture that wood settles at in it, kept under a name."""

import csv
import io
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import parse_qsl, urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response
from pydantic import Field

from movement import climate
from movement.climate import Climate, month_list
from movement.parts.climates import AnyClimate, MoistureClimate, MonthsClimate, PlaceClimate, RangeClimate
from movement.parts.fields import Described
from webapp import charts, exports, years
from webapp.charts import Chart, Level, Plot, Series, Table
from webapp.forms import Form, Spec, bind
from webapp.library import read_climate
from webapp.posted import Typed, see, store_of
from webapp.refusals import Refusal
from webapp.render import UNITS, Link, render, unit_of
from webapp.store import Kept, MissingError, Store, TakenError

router = APIRouter()

NAME = Spec("name", "Name", "text", hint="For example the house and the room.")
HEAD = ("Month", "Temperature (°C)", "Relative humidity (%)", "Moisture content (%)")
ROOM_NOTES = (
    "Heated to 20 °C, cooled to at most 25 °C, dried to at most 60 %: what this page starts from, chosen by us, no "
    "source. Put in what the house does.",
    "Moisture surplus 2 g/m³: in winter, homes average about 2 to 3 (Baltic houses 2 to 3.5; Alev et al. 2015). "
    "Building engineers design for 4 in the cold (Kalamees, AIVC 2006); that would hide how dry a room gets in winter.",
    "To compare with: homes in Canada average 25 to 30 % relative humidity in the heating season (Kent, Handegord and "
    "Robson, ASHRAE Transactions 72).",
    "Without cooling or a dehumidifier a room follows a damp summer: leave neither blank unless the house has none.",
)


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
class Gone:
    """A climate that was just deleted: its name and what was typed to describe it."""

    name: str
    fields: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class ClimatePage:
    """The context of climate.html. ``year`` and ``chart`` are None where something was refused."""

    form: Form
    kept: Sequence[Row]
    opened: Kept | None = None
    year: AnyClimate | None = None
    chart: Chart | None = None
    gone: Gone | None = None

    @property
    def shown(self) -> Sequence[str]:
        """The fields of the chosen way to tell the year."""
        return years.FIELDS.get(self.form.fields["year"].value, ())

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
        """(field, text) of all that tells the year: what a form that keeps it must send."""
        names = ["year", *self.year_fields]
        names += [name for name in years.MONTH_NAMES if name in self.shown or self.form.fields[name].value]
        return [(name, self.form.fields[name].value) for name in names]

    @property
    def query(self) -> str:
        """The page's state as the query of an address."""
        return urlencode([*self.state, *([("saved", self.opened.id)] if self.opened else ())])

    @property
    def changed(self) -> bool:
        """Whether the climate that is open differs from what is kept."""
        return self.opened is not None and self.year is not None and read_climate(self.opened.document) != self.year

    @property
    def words(self) -> str:
        """One line on the year."""
        return years.words(self.year) if self.year else ""

    @property
    def figures(self) -> Sequence[tuple[str, float, str]]:
        """Name, moisture [%] and remark of dry, wet and mid."""
        if self.year is None:
            return ()
        year = self.year.year()
        dry, wet = int(year.moisture.argmin()), int(year.moisture.argmax())
        return (
            ("Dry", year.dry, self._when(year, dry)),
            ("Wet", year.wet, self._when(year, wet)),
            ("Mid", year.mid, "the neutral fit"),
        )

    def _when(self, year: Climate, month: int) -> str:
        """The month of an extreme, where the months are real ones, and its air."""
        air = f"{year.humidity[month]:.0f} % RH at {year.temperature[month]:.0f} °C"
        if isinstance(self.year, MoistureClimate | RangeClimate):
            return air
        if isinstance(self.year, PlaceClimate) and self.year.room is None:
            return climate.MONTHS[month]
        return f"{climate.MONTHS[month]}, {air}"

    @property
    def notes(self) -> Sequence[str]:
        """What to know about the year."""
        if self.year is None:
            return ()
        room = ROOM_NOTES if isinstance(self.year, PlaceClimate) and self.year.room is not None else ()
        return (*self.year.year().notes, *room)

    @property
    def sources(self) -> Sequence[str]:
        """Where the numbers come from."""
        return self.year.year().sources if self.year else ()

    @property
    def gap_address(self) -> str:
        """The gap page for this year; empty where that page cannot be told it."""
        if self.opened is not None and not self.changed:
            return "/?" + urlencode({"year": "saved", "saved_climate": self.opened.id})
        if self.year is None or isinstance(self.year, MonthsClimate):
            return ""
        return "/?" + urlencode(years.typed(self.year))

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.year is None:
            return f"{len(self.form.errors)} entries need another look."
        year = self.year.year()
        return f"Dry {year.dry:.1f} %, wet {year.wet:.1f} %, mid {year.mid:.1f} % moisture content."


@router.get("/climate")
def show(request: Request) -> Response:
    """The page, or its sheet, for the year of the address; ``saved`` opens a kept one, ``gone`` offers one back."""
    return _rendered(request, answer(request.query_params, store_of(request)))


@router.get("/climate.csv")
def as_csv(request: Request) -> Response:
    """Twelve months of the year of the address, as CSV with a byte order mark so that spreadsheets read it as UTF-8."""
    page = answer(request.query_params, store_of(request))
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
    kept = store_of(request).delete_climate(id)
    year = years.typed(read_climate(kept.document))
    known = {"year", *years.NAMES, *years.MONTH_NAMES, "saved"}
    state = {name: text for name, text in parse_qsl(typed.get("back", ""), keep_blank_values=True) if name in known}
    if state.get("saved") == id:
        del state["saved"]
    return see(f"/climate?{urlencode(state or year)}&{urlencode({'gone': json.dumps({'name': kept.name, **year})})}")


def _save(request: Request, typed: Mapping[str, str], id: str | None) -> Response:
    store = store_of(request)
    page = answer({**typed, **({"saved": id} if id else {})}, store)
    named = page.form.build(Named)
    if named is None or page.year is None:
        return _rendered(request, page)
    try:
        kept = store.save_climate(" ".join(named.name.split()), page.year.model_dump_json(), id)
    except TakenError as error:
        page.form.refuse(Refusal("name", f"{error} Give this one another name."))
    except MissingError:
        page.form.refuse(Refusal("", "It was deleted meanwhile: save it as a new one."))
    else:
        return see(f"/climate?{urlencode({'saved': kept.id})}")
    return _rendered(request, page)


def answer(data: Mapping[str, str], store: Store) -> ClimatePage:
    """Read what the year is told by, and work it out.

    Raises
    ------
    MissingError
        When all that is asked for is a kept climate that is there no longer.
    """
    opened = None
    told: Mapping[str, str] = {}
    if data.get("saved"):
        try:
            opened = store.climate(data["saved"])
            told = {"name": opened.name, **years.typed(read_climate(opened.document))}
        except MissingError:
            if "year" not in data:
                raise
    fields = years.specs(store, with_saved=False, with_months=True)
    form = bind([NAME, *fields], years.with_months({**told, **data}, store), "mm")
    year = years.build(form, store)
    kept = [_row(one) for one in store.climates()]
    drawn = draw(year) if year is not None else None
    return ClimatePage(form, kept, opened, year, drawn, _gone(data.get("gone", "")))


def _row(kept: Kept) -> Row:
    year = read_climate(kept.document).year()
    return Row(kept.id, kept.name, f"Dry {year.dry:.1f}, wet {year.wet:.1f}, mid {year.mid:.1f} % MC.")


def draw(chosen: AnyClimate) -> Chart:
    """Relative humidity and moisture content over twelve months."""
    year, along = chosen.year(), range(12)
    plots = (
        Plot("Relative humidity of the air, %", (Series(along, list(year.humidity)),)),
        Plot(
            "Moisture content of wood, %",
            (Series(along, list(year.moisture), "second"),),
            levels=(
                Level(year.wet, f"wet {year.wet:.1f}", "dim"),
                Level(year.mid, f"mid {year.mid:.1f}", "ghost"),
                Level(year.dry, f"dry {year.dry:.1f}", "dim"),
            ),
            band=(year.dry, year.wet),
        ),
    )
    steps = [(float(place), name[0]) for place, name in enumerate(climate.MONTHS)]
    words = (
        f"Over the year the relative humidity runs from {year.humidity.min():.0f} to {year.humidity.max():.0f} % and "
        f"settled wood from {year.dry:.1f} to {year.wet:.1f} % moisture content."
    )
    rows = tuple((name, f"{t:.1f}", f"{h:.0f}", f"{m:.1f}") for name, t, h, m in month_list(year))
    return charts.chart(plots, (0.0, 11.0), steps, "Air and wood over twelve months", words, Table(HEAD, rows))


def _gone(text: str) -> Gone | None:
    """What was deleted, from the address; None where it is not whole."""
    try:
        fields = json.loads(text)
    except ValueError:
        return None
    if not isinstance(fields, dict) or "name" not in fields:
        return None
    return Gone(str(fields.pop("name")), [(str(name), str(value)) for name, value in fields.items()])


def _rendered(request: Request, page: ClimatePage) -> Response:
    links = [
        Link(unit, f"/climate?{page.query}&{urlencode({'unit': unit})}", unit == unit_of(request)) for unit in UNITS
    ]
    return render(request, "climate.html", page, unit_links=links, status=200 if page.form.ok else 422)
