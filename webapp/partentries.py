"""A piece with what was typed into the form of one of its other parts; what cannot be taken is refused as typed."""

from collections.abc import Mapping
from typing import Any

from movement import gap_table
from movement.errors import RangeError
from movement.parts.any import MODELS, SizedPart
from movement.piece import Piece
from webapp import edits, entries, partrows, rows
from webapp.blame import blamed
from webapp.documents import MissingError
from webapp.entries import RefusedError
from webapp.forms import Form
from webapp.kinds.catalogue import find
from webapp.kinds.kind import Kind
from webapp.refusals import from_range
from webapp.store import Store


def with_new_part(store: Store, piece: Piece, data: Mapping[str, str]) -> tuple[Piece, SizedPart]:
    """The piece with a new part at its end, and the part.

    Raises
    ------
    MissingError
        There is no such kind.
    """
    kind = find(data.get("kind", ""))
    if kind is None:
        raise MissingError(data.get("kind", ""))
    form = partrows.settle(kind, partrows.new_form(kind, piece, data))
    form.values["name"] = form.values["name"] or partrows.new_name(kind, piece)
    handle = partrows.new_handle(kind.key)
    piece, part = _built(store, piece, kind, form, handle, {"id": edits.fresh("p")})
    return edits.with_parts(piece, [*piece.parts, part]), part


def parted(store: Store, piece: Piece, id: str, data: Mapping[str, str]) -> Piece:
    """The piece with a part's fields as typed."""
    part = edits.part_of(piece, id)
    kind = partrows.kind_of(part.kind)
    specs = partrows.specs(kind, rows.seen_unit(data, piece.unit))
    form = partrows.settle(kind, rows.read(specs, data, dict(part), piece.unit))
    others = {key: value for key, value in part if key not in form.targets}
    piece, built = _built(store, piece, kind, form, id, others)
    return edits.with_parts(piece, [built if one.id == id else one for one in piece.parts])


def _built(
    store: Store, piece: Piece, kind: Kind[Any, Any], form: Form, handle: str, others: Mapping[str, Any]
) -> tuple[Piece, SizedPart]:
    """The part that a form describes, and the piece with its species in the file; sized once, to know that it can."""
    named = {}
    for one in partrows.specs(kind, form.unit):
        if one.kind == "species":
            named[one.target], own = entries.named(store, piece, form, one.name)
            piece = edits.with_species(piece, own)
    part = form.build(MODELS[kind.key], **others, **named)
    if part is None or not form.ok:
        raise RefusedError(handle, form)
    try:
        gap_table.part_row(piece, part)
    except RangeError as error:
        form.refuse(from_range(error, blamed(error, part), form.say))
        raise RefusedError(handle, form) from error
    return piece, part
