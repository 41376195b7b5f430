"""The other parts of a piece, beside its framed panels: added, edited, copied, moved and taken out on its page."""

from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement.piece import Piece
from webapp import edits, leaves, partentries
from webapp.pages.piece import Edited, change
from webapp.posted import Typed, store_of

router = APIRouter()


@router.post("/pieces/{id}/parts")
def add_part(request: Request, id: str, data: Typed) -> Response:
    """A new part, of the kind that the form names."""
    store = store_of(request)

    def edit(piece: Piece) -> Edited:
        after, part = partentries.with_new_part(store, piece, data)
        return Edited(after, part.id, part.id, focus=f"{part.id}-more", anchor=f"part-{part.id}")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/parts/{part_id}")
def edit_part(request: Request, id: str, part_id: str, data: Typed) -> Response:
    """A part's fields."""
    store = store_of(request)

    def edit(piece: Piece) -> Edited:
        return Edited(partentries.parted(store, piece, part_id, data), part_id, anchor=f"part-{part_id}")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/parts/{part_id}/copy")
def copy_part(request: Request, id: str, part_id: str, data: Typed) -> Response:
    """Another part like this one, right after it."""
    store = store_of(request)

    def edit(piece: Piece) -> Edited:
        after, twin = edits.copy_part(partentries.parted(store, piece, part_id, data), part_id)
        return Edited(after, part_id, twin.id, focus=f"{twin.id}-more", anchor=f"part-{twin.id}")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/parts/{part_id}/frame")
def frame_door(request: Request, id: str, part_id: str, data: Typed) -> Response:
    """A frame with the panels of a door's leaves."""

    def edit(piece: Piece) -> Edited:
        after, frame = leaves.with_frame(piece, part_id)
        handle = frame.id if frame else ""
        return Edited(after, focus=f"{handle}-name", anchor=f"frame-{handle}", whole=True)

    return change(request, id, data, edit)


@router.post("/pieces/{id}/parts/{part_id}/delete")
def delete_part(request: Request, id: str, part_id: str, data: Typed) -> Response:
    """Take a part out; the page offers to put it back."""

    def edit(piece: Piece) -> Edited:
        after, taken = edits.take_part(piece, part_id)
        return Edited(after, taken=taken, focus="put-back")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/parts/{part_id}/{way}")
def move_part(request: Request, id: str, part_id: str, way: Literal["up", "down"], data: Typed) -> Response:
    """A part one place up or down."""
    store = store_of(request)
    step: Literal[-1, 1] = -1 if way == "up" else 1

    def edit(piece: Piece) -> Edited:
        after = edits.move_part(partentries.parted(store, piece, part_id, data), part_id, step)
        return Edited(after, part_id, focus=f"{part_id}-{way}", anchor=f"part-{part_id}")

    return change(request, id, data, edit)
