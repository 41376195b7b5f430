"""The species and climates that a page offers: the tables' and the maker's own."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from weakref import WeakKeyDictionary

from pydantic import TypeAdapter

from movement import names, species
from movement.parts.base import OwnSpecies, species_of
from movement.parts.climates import AnyClimate
from movement.species import Species
from webapp.documents import Kept
from webapp.store import Store

_CLIMATES: TypeAdapter[AnyClimate] = TypeAdapter(AnyClimate)


@dataclass(frozen=True)
class Shelf:
    """What a store had at one edition: its climates and the maker's own species, both by name."""

    edition: str
    climates: tuple[Kept, ...]
    own: tuple[OwnSpecies, ...]

    @cached_property
    def species(self) -> tuple[Species, ...]:
        """The maker's own species, then the tables'."""
        return (*map(species_of, self.own), *species.catalogue())

    @cached_property
    def names(self) -> tuple[tuple[str, str], ...]:
        """The name of every species, to choose from, and its other names: browsers look for what is typed in both."""
        return tuple(
            (one.name, ", ".join(filter(None, (*one.other_names, one.botanical_name)))) for one in self.species
        )


_shelves: "WeakKeyDictionary[Store, Shelf]" = WeakKeyDictionary()


def shelf(store: Store | Shelf) -> Shelf:
    """What is kept now, read again only after it has changed; or what it was when the shelf was looked at."""
    if isinstance(store, Shelf):
        return store
    edition = store.edition()
    known = _shelves.get(store)
    if known is None or known.edition != edition:
        own = tuple(OwnSpecies.model_validate_json(document) for _, document in store.species())
        known = Shelf(edition, tuple(store.climates()), own)
        if store.edition() == edition:
            _shelves[store] = known
    return known


def own_species(store: Store) -> list[OwnSpecies]:
    """The maker's own species, by name."""
    return list(shelf(store).own)


def own_named(store: Store | Shelf, name: str) -> OwnSpecies | None:
    """The maker's own species of that name, whatever the case and spaces."""
    wanted = " ".join(name.split()).casefold()
    return next((own for own in shelf(store).own if own.name.casefold() == wanted), None)


def chosen_species(store: Store | Shelf, name: str) -> str | OwnSpecies:
    """A species by name as the models take it: the maker's own entry where there is one of that name."""
    return own_named(store, name) or name


def all_species(store: Store) -> list[Species]:
    """The maker's own species, then the tables'."""
    return list(shelf(store).species)


def matching_species(store: Store, text: str) -> list[Species]:
    """Species in whose names every word of the text occurs, the maker's own first; all of them for blank."""
    sought = names.words(text)
    own = [species_of(one) for one in own_species(store)]
    found = [one for one in own if names.rank(sought, (one.name, one.botanical_name)) is not None]
    return [*found, *species.search(text)]


def named_climate(store: Store | Shelf, id: str) -> tuple[str, AnyClimate] | None:
    """The name and the climate with this handle; None where there is none."""
    kept = next((kept for kept in shelf(store).climates if kept.id == id), None)
    return (kept.name, read_climate(kept.document)) if kept else None


def saved_climate(store: Store | Shelf, id: str) -> AnyClimate | None:
    """The named climate with this handle; None where there is none."""
    found = named_climate(store, id)
    return found[1] if found else None


@lru_cache(256)
def read_climate(document: str) -> AnyClimate:
    """A climate from its kept text."""
    return _CLIMATES.validate_json(document)
