"""The species and climates that a page offers: the tables' and the maker's own."""

from pydantic import TypeAdapter

from movement import names, species
from movement.parts.base import OwnSpecies, species_of
from movement.parts.climates import AnyClimate
from movement.species import Species
from webapp.store import Store

_CLIMATES: TypeAdapter[AnyClimate] = TypeAdapter(AnyClimate)


def own_species(store: Store) -> list[OwnSpecies]:
    """The maker's own species, by name."""
    return [OwnSpecies.model_validate_json(document) for _, document in store.species()]


def own_named(store: Store, name: str) -> OwnSpecies | None:
    """The maker's own species of that name, whatever the case and spaces."""
    wanted = " ".join(name.split()).casefold()
    return next((own for own in own_species(store) if own.name.casefold() == wanted), None)


def chosen_species(store: Store, name: str) -> str | OwnSpecies:
    """A species by name as the models take it: the maker's own entry where there is one of that name."""
    return own_named(store, name) or name


def all_species(store: Store) -> list[Species]:
    """The maker's own species, then the tables'."""
    return [*(species_of(own) for own in own_species(store)), *species.catalogue()]


def matching_species(store: Store, text: str) -> list[Species]:
    """Species in whose names every word of the text occurs, the maker's own first; all of them for blank."""
    sought = names.words(text)
    own = [species_of(one) for one in own_species(store)]
    found = [one for one in own if names.rank(sought, (one.name, one.botanical_name)) is not None]
    return [*found, *species.search(text)]


def read_climate(document: str) -> AnyClimate:
    """A climate from its kept text."""
    return _CLIMATES.validate_json(document)
