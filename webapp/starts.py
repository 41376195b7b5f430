"""What a piece starts with: the usual figures of its unit, and a home."""

from movement.lengths import INCH, Unit
from movement.parts.base import OwnSpecies
from movement.parts.climates import AnyClimate, MoistureClimate
from movement.piece import Defaults, Piece
from webapp import edits
from webapp.library import Shelf, read_climate, shelf
from webapp.store import Store

UNKNOWN = MoistureClimate(dry_pct=6.0, wet_pct=11.0)
"""Where a new piece lives until that is told."""


def usual(unit: Unit) -> Defaults:
    """What every part of a new piece takes, in round figures of its unit."""
    if unit == "mm":
        return Defaults()
    return Defaults(
        thickness_mm=INCH / 2,
        least_engagement_mm=INCH * 5 / 32,
        least_gap_mm=INCH / 32,
        making_tolerance_mm=INCH / 64,
        tongue_thickness_mm=INCH / 4,
        end_play_mm=INCH / 32,
        cutter_step_mm=INCH / 32,
        width_step_mm=INCH / 32,
    )


def home(store: Store | Shelf, id: str) -> tuple[str, AnyClimate]:
    """A climate that is kept, with its name; wood between 6 and 11 % where there is none of this handle."""
    found = next((kept for kept in shelf(store).climates if kept.id == id), None)
    return (found.name, read_climate(found.document)) if found else ("", UNKNOWN)


def started(name: str, unit: Unit, home: tuple[str, AnyClimate], defaults: Defaults) -> Piece:
    """A new piece, without parts; ``home`` is the name of its climate, empty where it has none, and the climate."""
    piece, species = _named(Piece(name=name, unit=unit, climate_name=home[0], climate=home[1]), defaults.species)
    return piece.model_copy(update={"defaults": defaults.model_copy(update={"species": species})})


def _named(piece: Piece, chosen: str | OwnSpecies) -> tuple[Piece, str]:
    """A species as a part names it, and the piece with it in the file; one of that name that it has stays as it is."""
    if isinstance(chosen, str):
        return piece, chosen
    known = {own.name.casefold(): own.name for own in piece.own_species}
    name = known.get(chosen.name.casefold())
    return (piece, name) if name else (edits.with_species(piece, chosen), chosen.name)
