"""The kinds of parts beside the panel: their list, and a page for each. Nothing is kept; the address is all."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from movement.errors import RangeError
from movement.lengths import Unit
from movement.parts.base import StockFields
from movement.parts.climates import AnyClimate
from movement.parts.making import PartFields, PartResult
from webapp import following, strays, woods, years
from webapp.asking import AsksSureness, kept_at
from webapp.blame import blamed
from webapp.forms import Form, Option, bind
from webapp.kinds.catalogue import KINDS, find
from webapp.kinds.kind import ROUNDING, STOCK, Answer, Kind
from webapp.library import Shelf
from webapp.refusals import from_range
from webapp.render import is_partial, recall, render, switch, unit_of
from webapp.words import Words

router = APIRouter()


@dataclass(frozen=True, slots=True)
class PartsPage:
    """The context of parts.html."""

    kinds: Sequence[Kind[Any, Any]] = KINDS


@dataclass(frozen=True, slots=True)
class PartPage(AsksSureness):
    """The context of part.html.

    ``made``, ``answer`` and ``asked`` are None where something was refused; ``late`` tells what following late has
    changed, ``stray`` what to know of stock outside the home's year; ``query`` is the question as typed.
    """

    kind: Kind[Any, Any]
    form: Form
    idle: Sequence[str]
    species: Sequence[Option] = ()
    year: AnyClimate | None = None
    made: PartResult | None = None
    answer: Answer | None = None
    notes: Sequence[str] = ()
    late: str = ""
    stray: str = ""
    asked: PartFields | None = None
    query: Mapping[str, str] = field(default_factory=dict)

    @property
    def href(self) -> str:
        """The page's address."""
        return f"/parts/{self.kind.key}"

    @property
    def names(self) -> Sequence[str]:
        """The fields that are always shown, in order."""
        return [one.name for one in (*STOCK, *self.kind.specs) if one.name not in (*self.kind.folded, *self.idle)]

    @property
    def folded(self) -> Sequence[str]:
        """The fields that are folded away, in order."""
        return [name for name in self.kind.folded if name not in self.idle]

    @property
    def details_open(self) -> bool:
        """Whether one of the folded fields was refused, or filled in where it is blank as a rule."""
        blank = {one.name for one in self.kind.specs if not one.default}
        return any(
            self.form.fields[name].error or (name in blank and self.form.fields[name].value) for name in self.folded
        )

    @property
    def sources(self) -> Sequence[str]:
        """Where the numbers come from."""
        if self.made is None or self.year is None:
            return ()
        return (*self.made.sources, *self.year.year().sources, *(following.sources() if self.late else ()))

    @property
    def late_shown(self) -> Sequence[str]:
        """The fields that the chosen way to follow the air shows."""
        return following.shown(self.form) if self.kind.follows else ()

    @property
    def caution(self) -> str:
        """What to know of a part that follows late."""
        return following.CAUTION

    @property
    def keep(self) -> str:
        """Where the part is kept in a piece."""
        return kept_at(self.kind.key, self.query)

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.answer is None:
            return self.form.doubt
        figures = ", ".join(f"{one.name} {one.value}" for one in self.answer.figures if one.main)
        return f"{self.answer.headline}: {figures}."


@router.get("/parts")
def index(request: Request) -> Response:
    """Which part do you have?"""
    return render(request, "parts.html", PartsPage())


@router.get("/parts/{key}")
async def show(request: Request, key: str) -> Response:
    """A kind's page, or its sheet, for the address's question."""
    kind = find(key)
    if kind is None:
        raise HTTPException(404)
    unit = unit_of(request)
    return await recall(request, unit, lambda known: _answered(request, kind, unit, known))


def _answered(request: Request, kind: Kind[Any, Any], unit: Unit, kept: Shelf) -> Response:
    page = answer(kind, request.query_params, unit, kept, () if is_partial(request) else kept.names)
    links = switch(request, unit, page.form, steps=(ROUNDING.name,))
    return render(request, "part.html", page, unit=unit, unit_links=links, status=200 if page.form.ok else 422)


def answer(
    kind: Kind[Any, Any], query: Mapping[str, str], unit: Unit, store: Shelf, species: Sequence[Option] = ()
) -> PartPage:
    """Read the question, size the part."""
    specs = kind.fields(unit)
    late = following.specs(unit, "The part follows the air") if kind.follows else ()
    form = bind([*specs, *years.specs(store), *late], query, unit)
    if late:
        following.settle(form)
    idle = kind.idle(form.values)
    for one in specs:
        if one.name in idle:
            form.values[one.target], form.fields[one.name].error = None, ""
            form.unread.discard(one.name)
    step = form.values.get(ROUNDING.target)
    form.values[ROUNDING.target] = float(step) if step else None
    stocks = {one.target: one.name for one in specs if one.kind == "species"}
    form.check(kind.request, "climate")
    chosen = {
        key: woods.chosen(form, store, name) for key, name in stocks.items() if form.values[key] or name == "species"
    }
    form.build(StockFields, species=chosen["species"])
    year = years.build(form, store)
    asked = form.build(kind.request, climate=year, **chosen) if year is not None and form.ok else None
    if asked is None or year is None:
        return PartPage(kind, form, idle, species, year)
    words = Words(unit)
    bench = asked.bench(say=words.bench)
    try:
        made = kind.size(asked, bench)
    except RangeError as error:
        form.refuse(from_range(error, blamed(error, asked), form.say))
        return PartPage(kind, form, idle, species, year)
    notes = (*bench.wood.species.notes, *year.year().notes)
    return PartPage(
        kind,
        form,
        idle,
        species,
        year,
        made,
        kind.show(asked, made, words),
        notes,
        following.words(bench.season, year.year(), asked.section()),
        strays.told(bench.season.now, year),
        asked,
        query,
    )
