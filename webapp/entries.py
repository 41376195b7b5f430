"""A piece with what was typed into one of its forms; what cannot be taken is refused with the form as typed."""

from collections.abc import Mapping

from movement import species
from movement.parts.base import OwnSpecies
from movement.piece import Defaults, Frame, PanelPart, Piece
from movement.species import UnknownSpeciesError
from webapp import doubts, edits, following, library, rows, views
from webapp.documents import MissingError
from webapp.forms import Form
from webapp.limits import field_of
from webapp.refusals import Refusal
from webapp.store import Store


class RefusedError(Exception):
    """A change that was not made: the form with its refusals, under the handle of what it is of."""

    def __init__(self, handle: str, form: Form) -> None:
        self.handle = handle
        self.form = form
        super().__init__(handle)


def panelled(store: Store, piece: Piece, panel_id: str, data: Mapping[str, str]) -> Piece:
    """The piece with a panel's fields as typed."""
    _, part = edits.panel_of(piece, panel_id)
    form = rows.read(rows.panel_specs(piece), data, dict(part), piece.unit)
    chosen, own = named(store, piece, form)
    others = {key: value for key, value in part if key not in form.targets}
    built = form.build(PanelPart, **others, species=chosen)
    if built is None or not form.ok:
        raise RefusedError(panel_id, form)
    return edits.with_panel(edits.with_species(piece, own), built)


def with_new_panel(piece: Piece, frame_id: str, data: Mapping[str, str]) -> tuple[Piece, PanelPart, bool]:
    """The piece with a new panel at the end of a frame, the panel, and whether it was given a name."""
    frame = edits.frame_of(piece, frame_id)
    form = rows.new_panel_form(frame, piece.unit, data)
    named = bool(form.values["name"])
    form.values["name"] = form.values["name"] or rows.new_name(frame)
    part = form.build(PanelPart, id=edits.fresh("p"))
    if part is None or not form.ok:
        raise RefusedError(views.new_handle(frame_id), form)
    return edits.with_panels(piece, frame_id, [*frame.panels, part]), part, named


def framed(piece: Piece, frame_id: str, data: Mapping[str, str]) -> Piece:
    """The piece with a frame's own fields as typed."""
    frame = edits.frame_of(piece, frame_id)
    form = rows.read(rows.frame_specs(piece), data, dict(frame), piece.unit)
    built = form.build(Frame, **{key: value for key, value in frame if key not in form.targets})
    if built is None or not form.ok:
        raise RefusedError(frame_id, form)
    return edits.with_frame(piece, built)


def set_up(store: Store, piece: Piece, data: Mapping[str, str]) -> Piece:
    """The piece with its name, climate, shop and stock as typed."""
    form = rows.setup_form(piece, [], data)
    name = piece_name(form)
    chosen, own = named(store, piece, form)
    unasked = () if form.values["following"] == "lagged" else following.LATE
    for key, asked in form.targets.items():
        blank = form.values[key] is None and asked not in unasked
        if blank and key in Defaults.model_fields and not field_of(Defaults, key).nullable:
            form.refuse(Refusal(key, "Fill this in: every panel that does not say otherwise takes it."))
    others = {key: value for key, value in piece.defaults if key not in form.targets}
    sure = doubts.build(form)
    defaults = form.build(Defaults, **(others | (sure or {})), species=chosen)
    climate = _climate(store, form, data.get("climate", ""))
    if defaults is None or sure is None or not form.ok:
        raise RefusedError(views.SETUP, form)
    after = piece.model_copy(update={"name": name, "defaults": defaults} | climate)
    return edits.with_species(after, own)


def piece_name(form: Form) -> str:
    """The name of a piece as typed; too short or too long a one is refused at its field."""
    name = " ".join((form.values["name"] or "").split())
    if not 1 <= len(name) <= edits.MOST_NAME:
        form.refuse(Refusal("name", f"Give it a name of 1 to {edits.MOST_NAME} characters; this has {len(name)}."))
    return name


def _climate(store: Store, form: Form, chosen: str) -> dict[str, object]:
    """The climate that was chosen, as fields of a piece; none where it stays as it is."""
    if not chosen:
        return {}
    try:
        kept = store.climate(chosen)
    except MissingError:
        form.general.append("The chosen climate is no longer kept here; choose another.")
        return {}
    return {"climate_name": kept.name, "climate": library.read_climate(kept.document)}


def named(
    store: Store, piece: Piece, form: Form, field: str = "species"
) -> tuple[str | OwnSpecies | None, OwnSpecies | None]:
    """The species that a field names: the piece's own, the maker's own (to be taken into the file), or the table's.

    What it names nothing of is refused at the field.
    """
    typed = form.values[next(key for key, name in form.targets.items() if name == field)]
    if typed is None or isinstance(typed, OwnSpecies) or form.fields[field].error:
        return typed, None
    wanted = " ".join(str(typed).split()).casefold()
    for own in piece.own_species:
        if own.name.casefold() == wanted:
            return own.name, None
    kept = library.own_named(store, wanted)
    if kept is not None:
        return kept.name, kept
    try:
        return species.find(str(typed)).name, None
    except UnknownSpeciesError as error:
        text = str(error)
        form.refuse(Refusal(field, f"{text[0].upper()}{text[1:]}{'' if text.endswith('?') else '.'}"))
        return None, None
