"""The list of pieces, and what is done to a piece as a whole: new, copy, delete, undo, import and export."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import Response
from pydantic import ValidationError

from movement import piece as pieces
from movement.parts.climates import AnyClimate, MoistureClimate
from movement.piece import MOST_BYTES, Defaults, Piece, PieceFileError
from webapp import exports
from webapp.library import read_climate
from webapp.posted import see, store_of
from webapp.refusals import from_validation
from webapp.render import render, unit_of
from webapp.store import Kept, MissingError, Store

router = APIRouter()

MOST_NAME = 80


@dataclass(frozen=True, slots=True)
class PiecesPage:
    """The context of pieces.html."""

    kept: Sequence[Kept]
    removed: Kept | None = None
    name: str = ""
    name_error: str = ""
    file_error: str = ""


@router.get("/pieces")
def show(request: Request, removed: str = "") -> Response:
    """The list; ``removed`` offers to bring a deleted piece back."""
    store = store_of(request)
    gone = None
    if removed:
        try:
            kept = store.piece(removed)
            gone = kept if kept.deleted else None
        except MissingError:
            gone = None
    return render(request, "pieces.html", PiecesPage(store.pieces(), gone), block="sheet")


@router.post("/pieces")
def create(request: Request, name: Annotated[str, Form()] = "") -> Response:
    """A new, empty piece."""
    store = store_of(request)
    wanted = " ".join(name.split())
    if not wanted or len(wanted) > MOST_NAME:
        message = f"A name of 1 to {MOST_NAME} characters; this has {len(wanted)}." if wanted else "Give it a name."
        page = PiecesPage(store.pieces(), name=name, name_error=message)
        return render(request, "pieces.html", page, block="sheet", status=422)
    climate_name, chosen = first_climate(store)
    unit = unit_of(request)
    piece = Piece(name=wanted, unit=unit, climate=chosen, climate_name=climate_name, defaults=shop_defaults(unit))
    kept = store.add_piece(piece.name, pieces.dump(piece))
    return see(f"/pieces/{kept.id}")


def first_climate(store: Store) -> tuple[str, AnyClimate]:
    """The climate that a new piece starts with: the first saved one, else 6 to 11 % moisture content."""
    for kept in store.climates():
        return kept.name, read_climate(kept.document)
    return "", MoistureClimate(dry_pct=6.0, wet_pct=11.0)


def shop_defaults(unit: str) -> Defaults:
    """What a new piece starts with, in round figures of its unit."""
    if unit == "mm":
        return Defaults()
    inch = 25.4
    return Defaults(
        thickness_mm=inch / 2,
        least_engagement_mm=inch * 5 / 32,
        least_gap_mm=inch / 32,
        making_tolerance_mm=inch / 64,
        tongue_thickness_mm=inch / 4,
        end_play_mm=inch / 32,
        cutter_step_mm=inch / 32,
        width_step_mm=inch / 32,
    )


@router.post("/pieces/import")
def take_in(request: Request, file: Annotated[UploadFile | None, File()] = None) -> Response:
    """A piece from its file."""
    store = store_of(request)
    try:
        if file is None or not file.filename:
            raise PieceFileError("Choose a piece file first.")
        piece = pieces.load(file.file.read(MOST_BYTES + 1))
    except PieceFileError as error:
        page = PiecesPage(store.pieces(), file_error=_words(error))
        return render(request, "pieces.html", page, block="sheet", status=422)
    kept = store.add_piece(piece.name, pieces.dump(piece))
    return see(f"/pieces/{kept.id}")


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
    piece = pieces.load(store.piece(id).document)
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
    kept = store_of(request).piece(id)
    return exports.download(kept.document.encode(), "application/json", exports.file_name(kept.name, "json"))


@router.get("/pieces/{id}/gap-table.csv")
def as_csv(request: Request, id: str) -> Response:
    """The gap table as CSV, with a byte order mark so that spreadsheets read it as UTF-8."""
    piece = pieces.load(store_of(request).piece(id).document)
    text = exports.csv_text(piece).encode("utf-8-sig")
    return exports.download(text, "text/csv; charset=utf-8", exports.file_name(piece.name, "csv"))


@router.get("/pieces/{id}/gap-table.xlsx")
def as_xlsx(request: Request, id: str) -> Response:
    """The gap table as a spreadsheet."""
    piece = pieces.load(store_of(request).piece(id).document)
    return exports.download(exports.xlsx_bytes(piece), exports.XLSX, exports.file_name(piece.name, "xlsx"))
