"""The species that a form names: found by any of its names, and told at the field which entry was taken."""

from movement import names, species
from movement.parts.base import OwnSpecies
from movement.species import Species, UnknownSpeciesError
from webapp.forms import Form
from webapp.library import Shelf, chosen_species
from webapp.store import Store

_DERIVED = "its movement is worked out from its shrinkage, as no movement coefficient is published for it here"


def chosen(form: Form, store: Store | Shelf, field: str = "species") -> str | OwnSpecies:
    """The species as the models take it; its field says which entry that is, or lists those that may be meant."""
    typed = str(form.values[next(key for key, name in form.targets.items() if name == field)] or "")
    found = chosen_species(store, typed)
    if isinstance(found, str):
        try:
            hint = taken(typed, species.find(typed))
        except UnknownSpeciesError as error:
            form.fields[field].choices = error.suggestions
        else:
            form.fields[field].hint = hint or form.fields[field].hint
    return found


def taken(typed: str, wood: Species) -> str:
    """Which entry of the tables a name was taken for, where it is not its own, and what its movement is made from.

    Example
    -------
    >>> taken("walnut, black american", species.find("American walnut"))
    'Taken for “Walnut, black”.'
    >>> taken("Cherry, black", species.find("Cherry, black"))
    ''
    """
    said = [] if names.key(typed) == names.key(wood.name) else [f"taken for “{wood.name}”"]
    said += [] if wood.is_published else [_DERIVED]
    text = "; ".join(said)
    return f"{text[0].upper()}{text[1:]}." if text else ""
