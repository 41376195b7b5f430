"""A part that was sized on a page of its own, kept in a piece: in a new one, or in one that is here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from movement import piece as pieces
from movement.piece import Piece
from webapp import entries, starts
from webapp.asking import kept_at
from webapp.documents import Kept
from webapp.edits import MOST_NAME
from webapp.forms import Form, Spec, bind
from webapp.kinds.catalogue import find
from webapp.library import shelf
from webapp.pages import gap, part
from webapp.pages.gap import GapPage
from webapp.pages.part import PartPage
from webapp.pages.piece import Edited, change
from webapp.paper import opened
from webapp.posted import Typed, see, store_of
from webapp.refusals import Refusal
from webapp.render import render, unit_of
from webapp.words import Words

router = APIRouter()

PANEL = "panel"
INTO = "into"
"""The handle of the piece in an address; no question has a field of this name."""
_NEW = Spec("name", "Name of the piece")
_PART = Spec("part", "Name of the part", hint="Blank: what it is, with a number.")
_FRAME = Spec("frame", "Frame", "choice")


@dataclass(frozen=True, slots=True)
class KeepPage:
    """The context of keep.html.

    ``asked`` is the page of the question, ``query`` the question itself; ``into`` is the piece that was chosen, None
    where a new one is made or one is still to be chosen from those that are ``kept``.
    """

    key: str
    asked: GapPage | PartPage
    query: Mapping[str, str]
    form: Form
    kept: Sequence[Kept] = ()
    into: Kept | None = None

    @property
    def what(self) -> str:
        """What is kept, by its kind."""
        return "Panel" if isinstance(self.asked, GapPage) else self.asked.kind.name

    @property
    def tolerance(self) -> str:
        """The making tolerance that a new piece starts with; empty where none was asked."""
        asked = getattr(self.asked.asked, "making_tolerance_mm", None)
        return "" if asked is None else Words(self.form.unit).entered(asked)

    @property
    def back(self) -> str:
        """The address of the question."""
        return f"{'/' if self.key == PANEL else f'/parts/{self.key}'}?{urlencode(dict(self.query))}"

    def href(self, into: str = "") -> str:
        """The address of this page for a piece by its handle; for a new one, or to choose, where there is none."""
        return kept_at(self.key, {**self.query, INTO: into} if into else self.query)


@router.get("/keep/{key}")
def show(request: Request, key: str) -> Response:
    """Where it is to be kept; back to the question where something of that is refused."""
    page = _page(request, key, {})
    return see(page.back) if page.asked.asked is None else render(request, "keep.html", page)


@router.post("/keep/{key}")
def keep(request: Request, key: str, data: Typed) -> Response:
    """Keep it: in the piece that the address names, else in a new one."""
    page = _page(request, key, data)
    asked, form = page.asked, page.form
    if asked.asked is None or asked.year is None:
        return see(page.back)
    called = entries.piece_name(form) if page.into is None else ""
    if len(form.values["part"] or "") > MOST_NAME:
        form.refuse(Refusal("part", f"Allowed is at most {MOST_NAME} characters."))
    if not form.ok:
        return render(request, "keep.html", page, status=422)
    if page.into is not None:
        return change(request, page.into.id, {}, lambda piece: _added(piece, page))
    fields = asked.form.fields
    is_kept = fields["year"].value == "saved"
    home = starts.home(store_of(request), fields["saved_climate"].value) if is_kept else ("", asked.year)
    piece = starts.started(called, form.unit, home, starts.told(asked.asked, form.unit))
    done = _added(piece, page)
    kept = store_of(request).add_piece(called, pieces.dump(done.piece))
    return see(f"/pieces/{kept.id}#{done.anchor}")


def _page(request: Request, key: str, data: Mapping[str, str]) -> KeepPage:
    query, unit, store = dict(request.query_params), unit_of(request), store_of(request)
    into = query.pop(INTO, "")
    kind, known = find(key), shelf(store)
    if kind is None and key != PANEL:
        raise HTTPException(404)
    asked = gap.answer(query, unit, known) if kind is None else part.answer(kind, query, unit, known)
    if not into:
        return KeepPage(key, asked, query, bind((_NEW, _PART), data, unit), store.pieces())
    kept, piece = opened(store, into)
    frames = tuple((frame.id, frame.name or "Frame") for frame in piece.frames)
    frame = replace(_FRAME, options=(("", "A new frame"), *frames))
    return KeepPage(key, asked, query, bind((frame, _PART) if kind is None else (_PART,), data, unit), into=kept)


def _added(piece: Piece, page: KeepPage) -> Edited:
    """A piece with what was asked for in it."""
    name, asked = " ".join((page.form.values["part"] or "").split()), page.asked
    assert asked.asked is not None
    if isinstance(asked, GapPage):
        after, panel = starts.with_panel(piece, asked.asked, name, page.form.values.get("frame") or "")
        return Edited(after, panel.id, anchor=f"panel-{panel.id}")
    after, added = starts.with_part(piece, asked.kind, asked.asked, name)
    return Edited(after, added.id, anchor=f"part-{added.id}")
