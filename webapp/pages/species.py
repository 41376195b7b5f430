"""The woods: searched by any part of a name, each with all that is published of it; and the maker's own."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote, urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement import lengths, species
from movement.lengths import INCH, Unit
from movement.parts.base import Coefficient, OwnSpecies, Shrinkage, StartOfShrinkage, species_of
from movement.parts.fields import Described
from movement.species import Species, UnknownSpeciesError
from movement.swelling import (
    START_OF_SHRINKAGE,
    shrinkage_from_coefficient,
    size_at,
)
from webapp.documents import ChangedError, MissingError
from webapp.forms import Form, Spec, bind
from webapp.library import all_species, matching_species, own_named
from webapp.posted import Typed, as_typed, mark, see, store_of
from webapp.refusals import Refusal
from webapp.render import UNITS, Link, render, unit_of
from webapp.store import Store, TakenError

router = APIRouter()

BOARD: dict[Unit, float] = {"mm": 300.0, "in": 12 * INCH}
"""Width of the board that shows what a movement means [mm]."""
STEP = (8.0, 12.0)
"""Its moisture before and after [% MC]: four points around the moisture that the coefficients refer to."""
GROUPS = {"own": "your own"}
BASES = {"coefficient": "Movement coefficient", "shrinkage": "Shrinkage, green to oven-dry"}
MARKS = (
    ("read in the publication", "in a copy of it"),
    ("read in a quotation of it", "the publication itself was not at hand"),
    ("quoted from memory", "not read anywhere; check it before you rely on it"),
    ("worked out from other published values", "computed here, by the way that is told beside it"),
)

COEFFICIENTS = ("coefficient_tangential", "coefficient_radial")
SHRINKAGES = ("shrinkage_tangential", "shrinkage_radial")
_SHARE = "Per 1 % of moisture: as 0.0033, or as 0.33 %."
OWN = (
    Spec("name", "Name", "text", hint="What you call it. Your own goes before a wood of the tables."),
    Spec("botanical_name", "Botanical name", "text", hint="If you know it."),
    Spec("coefficient_tangential", "Coefficient, tangential", "share", hint=_SHARE),
    Spec("coefficient_radial", "Coefficient, radial", "share", hint=_SHARE),
    Spec("shrinkage_tangential", "Or shrinkage, tangential", "number", "shrinkage_tangential_pct", unit="%"),
    Spec("shrinkage_radial", "Or shrinkage, radial", "number", "shrinkage_radial_pct", unit="%"),
    Spec(
        "start_of_shrinkage",
        "Start of shrinkage",
        "number",
        "start_of_shrinkage_pct",
        f"{START_OF_SHRINKAGE:g}",
        "Moisture below which it shrinks; about 30 % for most woods (Wood Handbook, FPL-GTR-190, ch. 4).",
        "%",
    ),
)


class Limits(Described):
    """The ranges of the numbers of a species of the maker's own."""

    coefficient_tangential: Coefficient | None = None
    coefficient_radial: Coefficient | None = None
    shrinkage_tangential_pct: Shrinkage | None = None
    shrinkage_radial_pct: Shrinkage | None = None
    start_of_shrinkage_pct: StartOfShrinkage | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """What one source publishes: ``directions`` are (name, fraction per 1 % MC or None, whether it is the one used)."""

    basis: str
    printed: str
    source: str
    trust: str
    directions: tuple[tuple[str, float | None, bool], ...]


@dataclass(frozen=True, slots=True)
class Wood:
    """A wood as it is shown; ``twin`` is the wood of the tables with the same name as the maker's own."""

    species: Species
    twin: "Wood | None" = None

    @property
    def own(self) -> bool:
        """Whether it is the maker's own."""
        return self.species.group == "own"

    @property
    def entries(self) -> Sequence[Entry]:
        """All that is published of it here."""
        one = self.species
        return [
            Entry(
                BASES.get(entry.basis, entry.basis.capitalize()),
                _printed(entry.basis, entry.tangential, entry.radial, one.start_of_shrinkage),
                entry.source or "no publication read",
                entry.trust,
                (
                    ("Tangential", entry.tangential, entry.tangential == one.coefficient_tangential),
                    ("Radial", entry.radial, entry.radial == one.coefficient_radial),
                ),
            )
            for entry in one.published
        ]

    @property
    def ratio(self) -> float | None:
        """Tangential over radial movement, where it moves radially."""
        radial = self.species.coefficient_radial
        return self.species.coefficient_tangential / radial if radial else None

    @property
    def shrinkages(self) -> tuple[float, float]:
        """Tangential and radial shrinkage, green to oven-dry, that the coefficients used come to [%]."""
        one = self.species
        tangential, radial = (
            float(shrinkage_from_coefficient(value, one.start_of_shrinkage))
            for value in (one.coefficient_tangential, one.coefficient_radial)
        )
        return tangential, radial


TAKEN = "You have a species of this name already: change that one, or use another name."
CHANGED = "This wood was changed elsewhere meanwhile, so yours was not kept. Save it again to put it in place of that."
RENAMED = (
    "This wood was renamed or deleted elsewhere meanwhile, so yours was not kept. Save it again to keep it as another "
    "wood."
)


@dataclass(frozen=True, slots=True)
class SpeciesPage:
    """The context of species.html: one wood where ``wood`` is there, else those found.

    ``was`` names the maker's own species that the form changes, ``seen`` is the mark of what was shown of it; ``gone``
    is one that was just deleted, as typed.
    """

    unit: Unit
    form: Form
    found: Sequence[Species] = ()
    search: str = ""
    wood: Wood | None = None
    was: str = ""
    seen: str = ""
    gone: Sequence[tuple[str, str]] = ()
    message: str = ""

    @property
    def title(self) -> str:
        """What the page is about."""
        return self.wood.species.name if self.wood else "Species"

    @property
    def board(self) -> str:
        """The width that shows what a movement means."""
        return "300 mm" if self.unit == "mm" else "12 in"

    def moves(self, coefficient: float, one: Species) -> str:
        """What the board of this coefficient grows by from 8 to 12 % MC, to 0.1 mm or 1/64 in."""
        width = BOARD[self.unit]
        grown = float(size_at(width, coefficient, *STEP, one.start_of_shrinkage)) - width
        return lengths.show(grown, self.unit, lengths.STEPS[self.unit][0])

    def percent(self, coefficient: float | None) -> str:
        """A coefficient as per cent of the dimension."""
        return "–" if coefficient is None else f"{100 * coefficient:.3f} %"

    def group(self, one: Species) -> str:
        """Where a wood comes from."""
        return GROUPS.get(one.group, one.group)

    def address(self, one: Species) -> str:
        """A wood's page."""
        return _address(one.name)

    def gap_address(self, one: Species) -> str:
        """The gap page with this wood filled in."""
        return f"/?{urlencode({'species': one.name})}"

    @property
    def was_address(self) -> str:
        """The page of the species that the form changes."""
        return _address(self.was)

    @property
    def marks(self) -> Sequence[tuple[str, str]]:
        """What the marks of trust mean."""
        return MARKS

    @property
    def gone_name(self) -> str:
        """The name of what was deleted."""
        return dict(self.gone).get("name", "")

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.wood:
            return f"{self.title} is shown."
        return f"{len(self.found)} woods found." if len(self.found) != 1 else "One wood found."


@router.get("/species")
def show(request: Request, search: str = "", gone: str = "") -> Response:
    """The woods in whose names the search occurs; ``gone`` offers a deleted one of the maker's own back."""
    found = matching_species(store_of(request), search)
    query = request.query_params
    form, was, seen = bind(OWN, query, "mm"), query.get("was", ""), query.get("seen", "")
    page = SpeciesPage(unit_of(request), form, found, search, was=was, seen=seen, gone=_gone(gone))
    return _rendered(request, page)


@router.get("/species/{name:path}")
def show_one(request: Request, name: str, edit: bool = False) -> Response:
    """A wood with all that is published of it; the maker's own first where both have the name."""
    store = store_of(request)
    own = own_named(store, name)
    try:
        wood = Wood(species_of(own), _twin(own.name)) if own else Wood(species.find(name))
    except UnknownSpeciesError as error:
        found = [one for one in all_species(store) if one.name in error.suggestions]
        message = f"{str(error)[0].upper()}{str(error)[1:]}."
        page = SpeciesPage(unit_of(request), bind(OWN, {}, "mm"), found, message=message)
        return _rendered(request, page, 404)
    changing = own if edit else None
    form = bind(OWN, typed(changing) if changing else {}, "mm")
    page = SpeciesPage(unit_of(request), form, wood=wood, was=changing.name if changing else "", seen=_mark(changing))
    return _rendered(request, page)


@router.post("/species")
def save(request: Request, typed: Typed) -> Response:
    """Keep a species of the maker's own; ``was`` is the name of the one that it replaces, as it was ``seen``."""
    store, form = store_of(request), bind(OWN, typed, "mm")
    was, seen = typed.get("was", ""), typed.get("seen", "")
    over = next((one for one in store.species() if one[0] == was), None)
    now = OwnSpecies.model_validate_json(over[1]) if over else None
    kept = _mark(now)
    if was and typed.get("seen", kept) != kept:
        form.refuse(Refusal("", CHANGED if now else RENAMED))
        was, seen = now.name if now else "", kept
    own = _read(form, store, was)
    if own is not None and _kept(store, form, own, over):
        return see(_address(own.name))
    page = SpeciesPage(unit_of(request), form, matching_species(store, ""), was=was, seen=seen)
    return _rendered(request, page, 422)


@router.post("/species/delete")
def delete(request: Request, typed: Typed) -> Response:
    """Delete a species of the maker's own; the list offers to bring it back."""
    document = store_of(request).delete_species(typed.get("name", ""))
    return see(f"/species?{urlencode({'gone': document})}")


def typed(own: OwnSpecies) -> dict[str, str]:
    """What is typed into the fields to describe a species of the maker's own."""
    keys = {spec.name: spec.target for spec in OWN}
    values = own.model_dump()
    return {name: values[key] if isinstance(values[key], str) else as_typed(values[key]) for name, key in keys.items()}


def _mark(own: OwnSpecies | None) -> str:
    return mark(own.model_dump_json()) if own else ""


def _read(form: Form, store: Store, was: str) -> OwnSpecies | None:
    """The species that the form describes, or None with the refusals at their fields."""
    form.check(Limits)
    _check_pairs(form)
    name = " ".join(str(form.values["name"] or "").split())
    if name and not any(one.isalnum() for one in name):
        form.refuse(Refusal("name", "Give it a name with a letter or a digit in it."))
    taken = own_named(store, name)
    if taken is not None and taken.name != was:
        form.refuse(Refusal("name", TAKEN))
    own = form.build(OwnSpecies, **({"name": name} if name else {}))
    return own if form.ok else None


def _kept(store: Store, form: Form, own: OwnSpecies, over: tuple[str, str] | None) -> bool:
    """Keep a species, over the one that it was made from; False where that cannot be, and the form says why."""
    try:
        store.save_species(own.name, own.model_dump_json(), over)
    except TakenError:
        form.refuse(Refusal("name", TAKEN))
    except ChangedError:
        form.refuse(Refusal("", CHANGED))
    except MissingError:
        form.refuse(Refusal("", RENAMED))
    return form.ok


def _check_pairs(form: Form) -> None:
    """Refuse anything but two coefficients or two shrinkages."""
    pairs = [[name for name in pair if form.fields[name].value.strip()] for pair in (COEFFICIENTS, SHRINKAGES)]
    if all(pairs):
        form.refuse(Refusal(pairs[1][0], "Give the two coefficients or the two shrinkages, not both."))
    elif not any(pairs):
        form.refuse(Refusal(COEFFICIENTS[0], "Give the two coefficients, or the two shrinkages below."))
    for given, pair in zip(pairs, (COEFFICIENTS, SHRINKAGES), strict=True):
        if len(given) == 1 and not all(pairs):
            missing = next(name for name in pair if name not in given)
            form.refuse(Refusal(missing, "Fill this in too: both directions are needed."))


def _printed(basis: str, tangential: float | None, radial: float | None, start: float) -> str:
    """A published pair in the terms of its publication."""
    known = [(word, value) for word, value in (("tangential", tangential), ("radial", radial)) if value is not None]
    if basis == "shrinkage":
        parts = [f"{float(shrinkage_from_coefficient(value, start)):.1f} % {word}" for word, value in known]
        return f"{', '.join(parts)}, green to oven-dry"
    if basis == "coefficient":
        return f"{', '.join(f'{value:.5f} {word}' for word, value in known)}, per 1 % MC"
    return f"{', '.join(f'{100 * value:.2f} % {word}' for word, value in known)}, per 1 % MC"


def _twin(name: str) -> Wood | None:
    """The wood of the tables of that name."""
    try:
        return Wood(species.find(name))
    except UnknownSpeciesError:
        return None


def _gone(text: str) -> Sequence[tuple[str, str]]:
    """What was deleted, as typed, from the address; nothing where it is not whole."""
    try:
        return tuple(typed(OwnSpecies.model_validate_json(text)).items())
    except ValueError:
        return ()


def _rendered(request: Request, page: SpeciesPage, status: int = 200) -> Response:
    if request.method == "GET":
        return render(request, "species.html", page, block="woods", status=status)
    state: Mapping[str, str] = {"was": page.was, "seen": page.seen} | {
        field.name: field.value for field in page.form.fields.values()
    }
    links = [Link(unit, f"/species?{urlencode({**state, 'unit': unit})}", unit == page.unit) for unit in UNITS]
    return render(request, "species.html", page, block="woods", status=status, unit_links=links)


def _address(name: str) -> str:
    return f"/species/{quote(name, safe='')}"
