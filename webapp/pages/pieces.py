"""The list of pieces, and what is done to a piece as a whole: new, copy, delete, undo, import and export."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, File, Request, UploadFile
from fastapi.responses import Response
from pydantic import ValidationError

from movement import piece as pieces
from movement.errors import PieceFileError
from movement.parts.base import StockFields
from movement.piece import MOST_BYTES, Defaults, Piece
from webapp import entries, exports, starts, woods
from webapp.documents import Kept, MissingError
from webapp.edits import MOST_NAME
from webapp.forms import Form, Option, Spec, bind
from webapp.library import shelf
from webapp.paper import found, opened
from webapp.posted import Typed, see, store_of
from webapp.refusals import from_validation
from webapp.render import render, unit_of

router = APIRouter()

NO_HOME = ("", "Not said yet: wood between 6 and 11 %")
_NAME = Spec("name", "Name")
_HOME = Spec("home", "Where it will live", "choice", hint="A climate that is kept; it can be changed.")
_STOCK = (
    Spec("species", "Species", "species", default="Walnut, black", hint="Of most parts; each may say its own."),
    Spec("moisture_now", "Moisture today", "number", "moisture_now_pct", "8", "Of the stock, corrected.", "%"),
)


@dataclass(frozen=True, slots=True)
class PiecesPage:
    """The context of pieces.html; ``species`` are offered while one is typed in."""

    kept: Sequence[Kept]
    form: Form
    species: Sequence[Option]
    removed: Kept | None = None
    file_error: str = ""


def _form(request: Request, data: Mapping[str, str]) -> Form:
    """What is asked of a new piece: its home is the first that is kept unless it is told; the rest is usual."""
    homes = [(kept.id, kept.name) for kept in shelf(store_of(request)).climates]
    home = replace(_HOME, options=(*homes, NO_HOME), default=homes[0][0] if homes else "")
    return bind([_NAME, home, *_STOCK], data, unit_of(request))


def _show(
    request: Request, form: Form | None = None, removed: Kept | None = None, file_error: str = "", status: int = 200
) -> Response:
    store = store_of(request)
    form = form or _form(request, {name: text for name, text in request.query_params.items() if name == "home"})
    page = PiecesPage(store.pieces(), form, shelf(store).names, removed, file_error)
    return render(request, "pieces.html", page, block="sheet", status=status)


@router.get("/pieces")
def show(request: Request, removed: str = "") -> Response:
    """The list; ``removed`` offers to bring a deleted piece back, ``home`` is the climate of the one to make."""
    gone = None
    if removed:
        try:
            kept = store_of(request).piece(removed)
            gone = kept if kept.deleted else None
        except MissingError:
            gone = None
    return _show(request, removed=gone)


@router.post("/pieces")
def create(request: Request, data: Typed) -> Response:
    """A new, empty piece."""
    store, form = store_of(request), _form(request, data)
    name, chosen = entries.piece_name(form), woods.chosen(form, store)
    stock, told = form.build(StockFields, species=chosen), form.build(Defaults, species=chosen)
    if stock is None or told is None or not form.ok:
        return _show(request, form, status=422)
    own = {"species": stock.species, "moisture_now_pct": told.moisture_now_pct}
    home = starts.home(store, str(form.values["home"] or ""))
    piece = starts.started(name, form.unit, home, starts.usual(form.unit).model_copy(update=own))
    return see(f"/pieces/{store.add_piece(piece.name, pieces.dump(piece)).id}")


@router.post("/pieces/import")
def take_in(request: Request, file: Annotated[UploadFile | None, File()] = None) -> Response:
    """A piece from its file."""
    store = store_of(request)
    try:
        if file is None or not file.filename:
            raise PieceFileError("Choose a piece file first.")
        piece = pieces.load(file.file.read(MOST_BYTES + 1))
        document = pieces.dump(piece)
    except PieceFileError as error:
        return _show(request, file_error=_words(error), status=422)
    return see(f"/pieces/{store.add_piece(piece.name, document).id}")


def _words(error: PieceFileError) -> str:
    """What is wrong with a file: where its value is refused, the place as the file has it and the allowed range."""
    cause = error.__context__
    if not isinstance(cause, ValidationError):
        return str(error)
    first, *rest = from_validation(cause, Piece)
    place = re.sub(r"(frame|panel)s\.(\d+)", lambda found: f"{found[1]} {int(found[2]) + 1}", first.field)
    more = f" {len(rest)} more entries are refused." if len(rest) > 1 else " One more entry is refused." if rest else ""
    return f"In the file{', ' if place else ''}{place.replace('.', ', ')}: {first.message}{more}"


@router.post("/pieces/{id}/copy")
def copy(request: Request, id: str) -> Response:
    """Another piece like this one."""
    store = store_of(request)
    _, piece = opened(store, id)
    name = f"{piece.name[: MOST_NAME - 7]} (copy)"
    twin = piece.model_copy(update={"name": name})
    return see(f"/pieces/{store.add_piece(name, pieces.dump(twin)).id}")


@router.post("/pieces/{id}/delete")
def delete(request: Request, id: str) -> Response:
    """Put a piece away; the list offers to bring it back."""
    store_of(request).delete_piece(id)
    return see(f"/pieces?removed={quote(id)}")


@router.post("/pieces/{id}/restore")
def restore(request: Request, id: str) -> Response:
    """Bring a deleted piece back."""
    store_of(request).restore_piece(id)
    return see(f"/pieces/{quote(id)}")


@router.get("/pieces/{id}/piece.json")
def as_file(request: Request, id: str) -> Response:
    """The piece's own file."""
    kept = found(store_of(request), id)
    return exports.download(kept.document.encode(), "application/json", exports.file_name(kept.name, "json"))


@router.get("/pieces/{id}/gap-table.csv")
def as_csv(request: Request, id: str) -> Response:
    """The gap table as CSV, with a byte order mark so that spreadsheets read it as UTF-8."""
    _, piece = opened(store_of(request), id)
    text = exports.csv_text(piece).encode("utf-8-sig")
    return exports.download(text, "text/csv; charset=utf-8", exports.file_name(piece.name, "csv"))


@router.get("/pieces/{id}/gap-table.xlsx")
def as_xlsx(request: Request, id: str) -> Response:
    """The gap table as a spreadsheet."""
    _, piece = opened(store_of(request), id)
    return exports.download(exports.xlsx_bytes(piece), exports.XLSX, exports.file_name(piece.name, "xlsx"))
