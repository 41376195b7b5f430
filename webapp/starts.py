"""What a piece starts with: the usual figures of its unit, or all that a page of a single part was asked with."""

from collections.abc import Sequence
from typing import Any

from movement.lengths import INCH, Unit
from movement.parts.any import MODELS, PartFrame, SizedPart
from movement.parts.base import OwnSpecies
from movement.parts.climates import AnyClimate, MoistureClimate
from movement.parts.making import MakingFields, PartFields
from movement.parts.panel import PanelRequest
from movement.piece import Defaults, PanelPart, Piece
from webapp import edits, partrows, rows
from webapp.kinds.kind import Kind
from webapp.library import Shelf, named_climate
from webapp.store import Store

UNKNOWN = MoistureClimate(dry_pct=6.0, wet_pct=11.0)
"""Where a new piece lives until that is told."""
_STOCK = ("species", "ring_angle_deg", "moisture_now_pct", "thickness_mm")
"""What a part says itself only where it is not as the piece has it."""
_PANEL = (*_STOCK, "hold", "tongue_thickness_mm")
"""The same of a panel."""
_SHARED = (*_STOCK, "following", "finish", "making_tolerance_mm")
"""What a part of another kind is asked that all parts of a piece share."""


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
    return named_climate(store, id) or ("", UNKNOWN)


def told(asked: PanelRequest | PartFields, unit: Unit) -> Defaults:
    """What every part of a new piece takes where one part was asked for: its stock, its clearances, its rounding."""
    names = Defaults.model_fields if isinstance(asked, PanelRequest) else _SHARED
    found = {name: getattr(asked, name, None) for name in names}
    if isinstance(asked, MakingFields):
        found["width_step_mm"] = asked.size_step_mm
    return usual(unit).model_copy(update={name: value for name, value in found.items() if value is not None})


def started(name: str, unit: Unit, home: tuple[str, AnyClimate], defaults: Defaults) -> Piece:
    """A new piece, without parts; ``home`` is the name of its climate, empty where it has none, and the climate."""
    piece, species = _named(Piece(name=name, unit=unit, climate_name=home[0], climate=home[1]), defaults.species)
    return piece.model_copy(update={"defaults": defaults.model_copy(update={"species": species})})


def with_panel(piece: Piece, asked: PanelRequest, name: str, frame_id: str) -> tuple[Piece, PanelPart]:
    """The piece with the panel that was asked for in a frame; in one of its own, grooved as asked, where none is told.

    It has the piece's home, clearances and end play.

    Raises
    ------
    MissingError
        The piece has no such frame.
    """
    if frame_id:
        frame = edits.frame_of(piece, frame_id)
    else:
        piece, frame = edits.add_frame(piece, "")
        frame = frame.model_copy(update={"groove_depth_mm": asked.groove_depth_mm})
        piece = edits.with_frame(piece, frame)
    piece, fields = _fields(piece, PanelPart, asked, _PANEL)
    part = PanelPart(**fields | {"id": edits.fresh("p"), "name": name or rows.new_name(frame), "end_play_mm": None})
    return edits.with_panels(piece, frame.id, [*frame.panels, part]), part


def with_part(piece: Piece, kind: Kind[Any, Any], asked: PartFields, name: str) -> tuple[Piece, SizedPart]:
    """The piece with a part of another kind that was asked for; it has the piece's home and making tolerance."""
    piece, fields = _fields(piece, MODELS[kind.key], asked, _STOCK)
    part = MODELS[kind.key](**fields | {"id": edits.fresh("p"), "name": name or partrows.new_name(kind, piece)})
    return edits.with_parts(piece, [*piece.parts, part]), part


def _fields(
    piece: Piece, model: type[PartFrame], asked: PanelRequest | PartFields, shared: Sequence[str]
) -> tuple[Piece, dict[str, Any]]:
    """A part's fields as they were asked for, the ``shared`` ones null where they are as the piece's, and the piece."""
    found = {key: getattr(asked, key) for key in model.model_fields if key in type(asked).model_fields}
    if asked.following == "equilibrium":
        found["thickness_mm"] = None
    for key, chosen in found.items():
        if isinstance(chosen, OwnSpecies):
            piece, found[key] = _named(piece, chosen)
    for key in shared:
        if found[key] == getattr(piece.defaults, key):
            found[key] = None
    return piece, found


def _named(piece: Piece, chosen: str | OwnSpecies) -> tuple[Piece, str]:
    """A species as a part names it, and the piece with it in the file; one of that name that it has stays as it is."""
    if isinstance(chosen, str):
        return piece, chosen
    known = {own.name.casefold(): own.name for own in piece.own_species}
    name = known.get(chosen.name.casefold())
    return (piece, name) if name else (edits.with_species(piece, chosen), chosen.name)
