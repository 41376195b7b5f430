"""One piece: its shop and stock, its frames and panels edited in place, its whole gap table below."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response
from pydantic import ValidationError

from movement.errors import PieceFileError
from movement.piece import Piece
from webapp import edits, entries, fragments, leaves, library, partrows, rows, views
from webapp.documents import Kept, MissingError
from webapp.edits import Taken
from webapp.entries import RefusedError
from webapp.fragments import Change, Fragment, PieceFragments
from webapp.paper import found, opened, read
from webapp.posted import Typed, see, store_of
from webapp.refusals import from_validation
from webapp.render import UNIT_COOKIE, UNITS, is_partial, piece_switch, render
from webapp.store import Store
from webapp.views import PieceView

router = APIRouter()

_YEAR = 31_536_000
MOST_NAME = edits.MOST_NAME


@dataclass(frozen=True, slots=True)
class Edited:
    """A piece after a change: what the change was, where the cursor goes, what was taken out.

    ``whole`` where the change touches the whole sheet; ``anchor`` is where a browser without script is led.
    """

    piece: Piece
    edited: str = ""
    added: str = ""
    taken: Taken | None = None
    focus: str = ""
    anchor: str = ""
    whole: bool = False


Edit = Callable[[Piece], Edited]


class _UnchangedError(Exception):
    """There is nothing to keep."""


@router.get("/pieces/{id}")
def show(request: Request, id: str, more: str = "", less: str = "", adding: str = "") -> Response:
    """The piece; ``more`` is a panel or part that all fields are shown of, ``less`` one that they no longer are.

    ``adding`` is the kind of a part that is to be added.
    """
    handle = more or less
    focus = f"{handle}-more" if handle else f"{partrows.new_handle(adding)}-name" if adding else ""
    if not is_partial(request) or not (handle or adding):
        return _whole(request, id, more=frozenset({more}), focus=focus, adding=adding)
    kept, piece = opened(store_of(request), id)
    if adding:
        view = PieceFragments(kept, piece, focus=focus, adding=adding, fragments=[Fragment("adding", "new-part")])
        return _answer(request, view, "fragments")
    view = PieceFragments(kept, piece, more=frozenset({more}))
    return _answer(request, replace(view, fragments=fragments.panel(view, handle)), "fragments")


@router.post("/pieces/{id}/unit")
def switch_unit(request: Request, id: str, unit: str = "mm", back: str = "") -> Response:
    """Show the piece in the other unit, on the page of it that ``back`` names; no length changes."""
    href = f"/pieces/{id}"
    response = see(back if back.startswith((f"{href}/", f"{href}?")) else href)
    if unit in UNITS:
        _change(store_of(request), id, lambda piece: Edited(piece.model_copy(update={"unit": unit})))
        secure = request.url.scheme == "https"
        response.set_cookie(UNIT_COOKIE, unit, max_age=_YEAR, samesite="lax", httponly=True, secure=secure)
    return response


@router.post("/pieces/{id}/setup")
def set_up(request: Request, id: str, data: Typed) -> Response:
    """The piece's name, climate, shop and stock."""
    store = store_of(request)
    return change(
        request, id, data, lambda piece: Edited(entries.set_up(store, piece, data), anchor="setup", whole=True)
    )


@router.post("/pieces/{id}/species")
def renew_species(request: Request, id: str, data: Typed) -> Response:
    """A species of the maker's own as it is kept by now, in place of the one in the piece's file."""
    own = library.own_named(store_of(request), data.get("name", ""))
    return change(request, id, data, lambda piece: Edited(edits.with_species(piece, own), anchor="setup", whole=True))


@router.post("/pieces/{id}/frames")
def add_frame(request: Request, id: str, data: Typed) -> Response:
    """A new frame."""
    name = " ".join(data.get("name", "").split())[:MOST_NAME]

    def edit(piece: Piece) -> Edited:
        after, frame = edits.add_frame(piece, name)
        return Edited(after, focus=f"{views.new_handle(frame.id)}.name", anchor=f"new-{frame.id}", whole=True)

    return change(request, id, data, edit)


@router.post("/pieces/{id}/frames/{frame_id}")
def edit_frame(request: Request, id: str, frame_id: str, data: Typed) -> Response:
    """A frame's name and groove, and the door that it is of."""

    def edit(piece: Piece) -> Edited:
        after = entries.framed(piece, frame_id, data)
        is_moved = edits.frame_of(after, frame_id).door != edits.frame_of(piece, frame_id).door
        return Edited(after, frame_id, anchor=f"frame-{frame_id}", whole=is_moved)

    return change(request, id, data, edit)


@router.post("/pieces/{id}/frames/{frame_id}/copy")
def copy_frame(request: Request, id: str, frame_id: str, data: Typed) -> Response:
    """Another frame like this one."""

    def edit(piece: Piece) -> Edited:
        after, twin = edits.copy_frame(entries.framed(piece, frame_id, data), frame_id)
        return Edited(after, focus=f"{twin.id}-name", anchor=f"frame-{twin.id}", whole=True)

    return change(request, id, data, edit)


@router.post("/pieces/{id}/frames/{frame_id}/delete")
def delete_frame(request: Request, id: str, frame_id: str, data: Typed) -> Response:
    """Take a frame out; the page offers to put it back."""

    def edit(piece: Piece) -> Edited:
        after, taken = edits.take_frame(piece, frame_id)
        return Edited(after, taken=taken, focus="put-back", whole=True)

    return change(request, id, data, edit)


@router.post("/pieces/{id}/frames/{frame_id}/panels")
def add_panel(request: Request, id: str, frame_id: str, data: Typed) -> Response:
    """A new panel at the end of a frame."""

    def edit(piece: Piece) -> Edited:
        after, part, named = entries.with_new_panel(piece, frame_id, data)
        first = "name" if named or len(edits.frame_of(after, frame_id).panels) == 1 else "sight_width"
        return Edited(after, added=part.id, focus=f"{views.new_handle(frame_id)}.{first}", anchor=f"new-{frame_id}")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/panels/{panel_id}")
def edit_panel(request: Request, id: str, panel_id: str, data: Typed) -> Response:
    """A panel's fields."""
    store = store_of(request)

    def edit(piece: Piece) -> Edited:
        return Edited(entries.panelled(store, piece, panel_id, data), panel_id, anchor=f"panel-{panel_id}")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/panels/{panel_id}/copy")
def copy_panel(request: Request, id: str, panel_id: str, data: Typed) -> Response:
    """Another panel like this one, right after it."""
    store = store_of(request)

    def edit(piece: Piece) -> Edited:
        after, twin = edits.copy_panel(entries.panelled(store, piece, panel_id, data), panel_id)
        return Edited(after, panel_id, twin.id, focus=f"{twin.id}-name", anchor=f"panel-{twin.id}")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/panels/{panel_id}/delete")
def delete_panel(request: Request, id: str, panel_id: str, data: Typed) -> Response:
    """Take a panel out; the page offers to put it back."""

    def edit(piece: Piece) -> Edited:
        after, taken = edits.take_panel(piece, panel_id)
        return Edited(after, taken=taken, focus="put-back")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/panels/{panel_id}/{way}")
def move_panel(request: Request, id: str, panel_id: str, way: Literal["up", "down"], data: Typed) -> Response:
    """A panel one place up or down; from the end of its frame into the next one."""
    store = store_of(request)
    step: Literal[-1, 1] = -1 if way == "up" else 1

    def edit(piece: Piece) -> Edited:
        after = edits.move_panel(entries.panelled(store, piece, panel_id, data), panel_id, step)
        return Edited(after, panel_id, focus=f"{panel_id}-{way}", anchor=f"panel-{panel_id}")

    return change(request, id, data, edit)


@router.post("/pieces/{id}/put-back")
def put_back(request: Request, id: str, data: Typed) -> Response:
    """Put a removed frame or panel back where it was."""
    try:
        taken = Taken.model_validate_json(data.get("taken", ""))
    except ValidationError:
        return _whole(request, id, 422, notice="What was taken out could not be read, so it was not put back.")
    what = "panel" if taken.panel else "part" if taken.part else "frame"
    focus, anchor = f"{taken.id}-{'more' if taken.part else 'name'}", f"{what}-{taken.id}"
    return change(
        request, id, data, lambda piece: Edited(edits.put_back(piece, taken), "", "", None, focus, anchor, True)
    )


# Making a change, and answering it


def change(request: Request, id: str, data: Mapping[str, str], edit: Edit) -> Response:
    """Make a change; answer what it has touched, or why it was not made."""
    try:
        before, done, kept, revision = _change(store_of(request), id, edit)
    except RefusedError as error:
        return _refused(request, id, error, data)
    except MissingError as error:
        if error.args[0] == id:
            raise
        return _gone(request, id, data)
    except ValidationError as error:
        reasons = " ".join(refusal.message for refusal in from_validation(error, Piece))
        return _whole(request, id, 422, notice=f"Nothing was changed. {reasons}")
    except PieceFileError as error:
        return _whole(request, id, 422, notice=f"Nothing was changed. {error}")
    if not is_partial(request) and done.taken is None:
        return see(f"/pieces/{id}{f'#{done.anchor}' if done.anchor else ''}")
    shown = data.get("revision", str(revision))
    if done.whole or shown != str(revision) or not is_partial(request):
        notice = "" if shown == str(revision) else "The piece had been changed elsewhere too; all of it is shown anew."
        return _whole(request, id, focus=done.focus, taken=done.taken, notice=notice, more=_more(done.edited, data))
    edited = done.added or done.edited
    more = _more(done.edited, data)
    view = PieceFragments(kept, done.piece, focus=done.focus, taken=done.taken, more=more, edited=edited)
    removed = done.taken.id if done.taken else ""
    found = fragments.changed(view, Change(before, done.edited, done.added, removed))
    return _answer(request, replace(view, fragments=found), "fragments")


def _more(handle: str, data: Mapping[str, str]) -> frozenset[str]:
    """The panel whose row was posted with all its fields, so that it is shown so again."""
    return frozenset({handle} if any(name in data for name in rows.MORE) else ())


def _change(store: Store, id: str, edit: Edit) -> tuple[Piece, Edited, Kept, int]:
    """Change a piece: what it was, what was done, what is kept, and the revision that it was done to.

    The edit is done anew where another writer was faster, so that both changes are kept.
    """
    tried: list[tuple[Piece, Edited]] = []

    def rewrite(document: str) -> tuple[str, str]:
        before = read(document)
        done = edit(before)
        followed = leaves.follow(before, done.piece)
        after, text = edits.written(followed)
        tried.append((before, replace(done, piece=after, whole=done.whole or followed is not done.piece)))
        if text == document:
            raise _UnchangedError
        return done.piece.name, text

    try:
        kept = store.change_piece(id, rewrite)
        revision = kept.revision - 1
    except _UnchangedError:
        kept = found(store, id)
        revision = kept.revision
    return (*tried[-1], kept, revision)


def _refused(request: Request, id: str, error: RefusedError, data: Mapping[str, str]) -> Response:
    """The refused form with what was typed in it."""
    kept, piece = opened(store_of(request), id)
    if is_partial(request) and error.handle != views.SETUP and data.get("revision") == str(kept.revision):
        view = PieceFragments(
            kept,
            piece,
            {error.handle: error.form},
            views.first_refused(error.handle, error.form),
            more=_more(error.handle, data),
        )
        return _answer(request, replace(view, fragments=fragments.refused(view, error.handle)), "fragments", 422)
    return _whole(request, id, 422, forms={error.handle: error.form}, more=_more(error.handle, data))


def _gone(request: Request, id: str, data: Mapping[str, str]) -> Response:
    """The sheet as it is by now, where the panel or frame has been taken out elsewhere; it tells what was typed."""
    labels = {one.name: one.label.lower() for one in (*rows.FRAME, *rows.PANEL)} | partrows.labels(data.get("kind", ""))
    typed = ", ".join(f"{labels[name]} “{text}”" for name, text in data.items() if name in labels and text)
    notice = "This was taken out elsewhere meanwhile, so nothing was changed."
    return _whole(request, id, 409, notice=f"{notice} You had typed: {typed}." if typed else notice)


def _whole(request: Request, id: str, status: int = 200, **more: Any) -> Response:
    store = store_of(request)
    return _answer(request, views.whole(store, *opened(store, id), **more), "sheet", status)


def _answer(request: Request, view: PieceView, block: str, status: int = 200) -> Response:
    unit = view.piece.unit
    links = piece_switch(request, view.href, unit)
    return render(request, "piece.html", view, block=block, unit=unit, unit_links=links, status=status)
