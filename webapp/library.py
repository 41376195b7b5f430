"""The species and climates that a page offers: the tables' and the maker's own."""

from pydantic import TypeAdapter

from movement import species
from movement.parts.base import OwnSpecies, species_of
from movement.parts.climates import AnyClimate
from movement.species import Species
from webapp.store import Store

_CLIMATES: TypeAdapter[AnyClimate] = TypeAdapter(AnyClimate)


def own_species(store: Store) -> list[OwnSpecies]:
    """The maker's own species, by name."""
    return [OwnSpecies.model_validate_json(document) for _, document in store.species()]


def chosen_species(store: Store, name: str) -> str | OwnSpecies:
    """A species by name as the models take it: the maker's own entry where there is one of that name."""
    wanted = " ".join(name.split()).casefold()
    for own in own_species(store):
        if own.name.casefold() == wanted:
            return own
    return name


def all_species(store: Store) -> list[Species]:
    """The maker's own species, then the tables'."""
    return [*(species_of(own) for own in own_species(store)), *species.catalogue()]


def read_climate(document: str) -> AnyClimate:
    """A climate from its kept text."""
    return _CLIMATES.validate_json(document)
