"""One piece: its shop and stock, its frames and panels edited in place, its whole gap table below."""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any, cast

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response
from pydantic import ValidationError

from movement import gap_table, lengths
from movement import piece as pieces
from movement.errors import RangeError
from movement.gap_table import Row
from movement.parts.base import OwnSpecies
from movement.piece import Defaults, Frame, PanelPart, Piece
from webapp import rows, years
from webapp.forms import Form
from webapp.library import all_species, chosen_species, read_climate
from webapp.pages.pieces import see, store_of
from webapp.refusals import Refusal, from_range, from_validation
from webapp.render import UNITS, Link, is_partial, render
from webapp.store import Kept, MissingError, Store

router = APIRouter()


async def typed(request: Request) -> Mapping[str, str]:
    """What was typed into a posted form."""
    return cast(Mapping[str, str], await request.form())


Typed = Annotated[Mapping[str, str], Depends(typed)]

CHANGED = "This was changed elsewhere since you opened it. What is kept now is shown; what you typed is still here."


@dataclass(frozen=True, slots=True)
class PanelRow:
    """A panel's row of fields."""

    part: PanelPart
    form: Form
    stamp: str


@dataclass(frozen=True, slots=True)
class FrameCard:
    """A frame: its own form, its rows, the form of a new panel, and its part of the gap table."""

    frame: Frame
    form: Form
    stamp: str
    panels: Sequence[PanelRow]
    new: Form
    table: Sequence[Row]

    @property
    def groove(self) -> float | None:
        """The groove's depth [mm]; ``None`` where the frame has no panels and none is given."""
        return self.table[0].result.groove_depth_mm if self.table else self.frame.groove_depth_mm


@dataclass(frozen=True, slots=True)
class PiecePage:
    """The context of piece.html; fragments use the parts of it that they show."""

    kept: Kept
    piece: Piece
    setup: Form
    setup_stamp: str
    climates: Sequence[tuple[str, str]]
    cards: Sequence[FrameCard]
    species: Sequence[tuple[str, str]]
    removed: str = ""
    message: str = ""
    focus: str = ""
    card: FrameCard | None = None
    row: PanelRow | None = None
    problems: Sequence[str] = field(default_factory=tuple)

    @property
    def href(self) -> str:
        """The piece's address."""
        return f"/pieces/{self.kept.id}"

    def say(self, length: float | None) -> str:
        """A length in the piece's unit, to 0.1 mm or 1/64 in."""
        unit = self.piece.unit
        return "–" if length is None else lengths.show(length, unit, lengths.STEPS[unit][0])

    def say_signed(self, length: float) -> str:
        """A length with its sign."""
        unit = self.piece.unit
        return lengths.show_signed(length, unit, lengths.STEPS[unit][0])

    @property
    def climate_words(self) -> str:
        """One line on the piece's year."""
        words = years.words(self.piece.climate)
        return f"{self.piece.climate_name}: {words[0].lower()}{words[1:]}" if self.piece.climate_name else words

    @property
    def count(self) -> int:
        """How many panels the piece has, each counted as often as it is made."""
        return sum(part.count for _, part in self.piece.parts())

    @property
    def failing(self) -> int:
        """How many rows of the gap table do not fit."""
        return sum(not row.result.fits for card in self.cards for row in card.table)


def _load(request: Request, id: str) -> tuple[Kept, Piece]:
    kept = store_of(request).piece(id)
    if kept.deleted:
        raise MissingError(id)
    return kept, pieces.load(kept.document)


def _card(piece: Piece, frame: Frame, table: Sequence[Row], forms: Mapping[str, Form]) -> FrameCard:
    panels = [
        PanelRow(part, forms.get(part.id) or rows.panel_form(piece, None, part), rows.stamp(part))
        for part in frame.panels
    ]
    return FrameCard(
        frame,
        forms.get(frame.id) or rows.frame_form(piece, frame),
        rows.stamp(frame.model_copy(update={"panels": []})),
        panels,
        forms.get(f"{frame.id}-new") or rows.panel_form(piece, {}, None, rows.NEW_PANEL),
        [row for row in table if row.frame.id == frame.id],
    )


def _page(
    request: Request, kept: Kept, piece: Piece, forms: Mapping[str, Form] | None = None, **more: Any
) -> PiecePage:
    forms = forms or {}
    store = store_of(request)
    problems: list[str] = []
    try:
        table = gap_table.rows(piece)
    except RangeError as error:
        table, problems = [], [from_range(error).message]
    species = [(one.name, one.botanical_name) for one in all_species(store)]
    return PiecePage(
        kept,
        piece,
        forms.get("setup") or rows.setup_form(piece, None, species),
        rows.stamp(piece.defaults),
        years.saved(store),
        [_card(piece, frame, table, forms) for frame in piece.frames],
        species,
        problems=problems,
        **more,
    )


def _answer(request: Request, page: PiecePage, block: str, status: int = 200) -> Response:
    links = [Link(unit, f"{page.href}/unit?unit={unit}", unit == page.piece.unit, post=True) for unit in UNITS]
    return render(request, "piece.html", page, block=block, unit=page.piece.unit, unit_links=links, status=status)


def _done(request: Request, id: str, block: str, focus: str = "", removed: str = "", **find: str) -> Response:
    """The changed part of the page, or for a browser without script the page itself by redirection."""
    if not is_partial(request):
        return see(f"/pieces/{id}{f'#{focus}' if focus else ''}")
    kept, piece = _load(request, id)
    page = _page(request, kept, piece, focus=focus, removed=removed)
    return _answer(request, _pointed(page, **find), block)


def _pointed(page: PiecePage, frame: str = "", panel: str = "") -> PiecePage:
    card = next(
        (one for one in page.cards if one.frame.id == frame or any(row.part.id == panel for row in one.panels)), None
    )
    row = next((row for row in card.panels if row.part.id == panel), None) if card else None
    return PiecePage(
        page.kept,
        page.piece,
        page.setup,
        page.setup_stamp,
        page.climates,
        page.cards,
        page.species,
        page.removed,
        page.message,
        page.focus,
        card,
        row,
        page.problems,
    )


def _refused(request: Request, id: str, forms: Mapping[str, Form], block: str, **find: str) -> Response:
    kept, piece = _load(request, id)
    return _answer(request, _pointed(_page(request, kept, piece, forms), **find), block, 422)


def _change(store: Store, id: str, change: Callable[[dict[str, Any]], None]) -> Piece:
    """Change a piece's file by its JSON, and keep it only if it is a piece still."""
    changed: list[Piece] = []

    def rewrite(document: str) -> tuple[str, str]:
        raw = json.loads(document)
        change(raw)
        piece = Piece.model_validate(raw)
        changed.append(piece)
        return piece.name, pieces.dump(piece)

    store.change_piece(id, rewrite)
    return changed[-1]


def _take_species(raw: dict[str, Any], store: Store, named: str | OwnSpecies | None) -> None:
    """Write a maker's own species into the piece's file, so that the file stands by itself."""
    if isinstance(named, OwnSpecies):
        kept = [one for one in raw["own_species"] if one["name"].casefold() != named.name.casefold()]
        raw["own_species"] = [*kept, rows.dumped(named)]


def _named(piece: Piece, store: Store, form: Form) -> str | OwnSpecies | None:
    """The species that a form names: the piece's own, the maker's own, or one of the table."""
    name = form.values.get("species")
    if not name:
        return None
    named = chosen_species(store, str(name))
    if isinstance(named, OwnSpecies):
        return named
    try:
        return piece.species(named).name
    except ValueError as error:
        form.refuse(Refusal("species", str(error)))
        return None


def _all(raw: dict[str, Any]) -> list[dict[str, Any]]:
    return [panel for frame in raw["frames"] for panel in frame["panels"]]


def _find(found: list[dict[str, Any]], id: str) -> dict[str, Any]:
    for one in found:
        if one["id"] == id:
            return one
    raise MissingError(id)


@router.get("/pieces/{id}")
def show(request: Request, id: str) -> Response:
    """The piece."""
    kept, piece = _load(request, id)
    return _answer(request, _page(request, kept, piece), "sheet")


@router.post("/pieces/{id}/unit")
def switch_unit(request: Request, id: str, unit: str = "mm") -> Response:
    """Show the piece in the other unit; no length changes."""
    if unit in UNITS:
        _change(store_of(request), id, lambda raw: raw.update(unit=unit))
    response = see(f"/pieces/{id}")
    if unit in UNITS:
        response.set_cookie("unit", unit, max_age=31_536_000, samesite="lax", httponly=True)
    return response


@router.post("/pieces/{id}/setup")
def set_up(request: Request, id: str, data: Typed) -> Response:
    """The piece's name, shop and stock."""
    _, piece = _load(request, id)
    store = store_of(request)
    species = [(one.name, one.botanical_name) for one in all_species(store)]
    form = rows.setup_form(piece, data, species)
    if data.get("stamp", rows.stamp(piece.defaults)) != rows.stamp(piece.defaults):
        form.general.append(CHANGED)
    if not form.values["name"]:
        form.refuse(Refusal("name", "Give the piece a name."))
    named = _named(piece, store, form)
    more: dict[str, Any] = {"width_step_mm": float(str(form.values["width_step_mm"] or 0.5))}
    if named is not None:
        more["species"] = named
    defaults = form.build(Defaults, **more)
    chosen = _chosen_climate(store, form, data)
    if defaults is None or not form.ok:
        return _refused(request, id, {"setup": form}, "sheet")

    def change(raw: dict[str, Any]) -> None:
        _take_species(raw, store, named)
        raw["name"] = str(form.values["name"])
        raw["defaults"] = rows.dumped(defaults)
        if isinstance(named, OwnSpecies):
            raw["defaults"]["species"] = named.name
        if chosen is not None:
            raw["climate_name"], raw["climate"] = chosen

    try:
        _change(store, id, change)
    except ValidationError as error:
        for refusal in from_validation(error, Piece, form.say):
            form.refuse(refusal)
        return _refused(request, id, {"setup": form}, "sheet")
    return _done(request, id, "sheet", "setup")


def _chosen_climate(store: Store, form: Form, data: Mapping[str, str]) -> tuple[str, dict[str, Any]] | None:
    handle = str(data.get("climate", ""))
    if not handle:
        return None
    try:
        kept = store.climate(handle)
    except MissingError:
        form.general.append("The chosen climate is no longer kept here; choose another.")
        return None
    return kept.name, rows.dumped(read_climate(kept.document))


@router.post("/pieces/{id}/frames")
def add_frame(request: Request, id: str, data: Typed) -> Response:
    """A new frame."""
    name = " ".join(str(data.get("name", "")).split())[:80]
    _, piece = _load(request, id)
    handle = rows.unused(piece, "frame")

    def change(raw: dict[str, Any]) -> None:
        fresh = {"id": handle, "name": name or f"Frame {len(raw['frames']) + 1}", "panels": []}
        if any(one["id"] == handle for one in raw["frames"]):
            fresh["id"] = rows.unused(Piece.model_validate(raw), "frame")
        raw["frames"].append(fresh)

    _change(store_of(request), id, change)
    return _done(request, id, "sheet", f"{handle}-new-name")


@router.post("/pieces/{id}/frames/{frame_id}")
def edit_frame(request: Request, id: str, frame_id: str, data: Typed) -> Response:
    """A frame's name and groove."""
    _, piece = _load(request, id)
    frame = next((one for one in piece.frames if one.id == frame_id), None)
    if frame is None:
        raise MissingError(frame_id)
    form = rows.frame_form(piece, frame, data)
    if data.get("stamp", "") not in ("", rows.stamp(frame.model_copy(update={"panels": []}))):
        form.general.append(CHANGED)
    built = form.build(Frame, id=frame_id)
    if built is None or not form.ok:
        return _refused(request, id, {frame_id: form}, "frame", frame=frame_id)

    def change(raw: dict[str, Any]) -> None:
        one = _find(raw["frames"], frame_id)
        one["name"], one["groove_depth_mm"] = built.name, built.groove_depth_mm

    _change(store_of(request), id, change)
    return _done(request, id, "frame", f"{frame_id}-name", frame=frame_id)


@router.post("/pieces/{id}/frames/{frame_id}/delete")
def delete_frame(request: Request, id: str, frame_id: str) -> Response:
    """Take a frame out; the page offers to put it back."""
    return _remove(request, id, frame_id, "frame")


@router.post("/pieces/{id}/frames/{frame_id}/panels")
def add_panel(request: Request, id: str, frame_id: str, data: Typed) -> Response:
    """A new panel at the end of a frame."""
    _, piece = _load(request, id)
    form = rows.panel_form(piece, data, None, rows.NEW_PANEL)
    handle = rows.unused(piece, "panel")
    frame = next((one for one in piece.frames if one.id == frame_id), None)
    if frame is None:
        raise MissingError(frame_id)
    if not form.values["name"]:
        form.values["name"] = f"Panel {len(frame.panels) + 1}"
    part = form.build(PanelPart, id=handle)
    if part is None or not form.ok:
        return _refused(request, id, {f"{frame_id}-new": form}, "new_panel", frame=frame_id)

    def change(raw: dict[str, Any]) -> None:
        fresh = rows.dumped(part)
        if any(one["id"] == handle for one in _all(raw)):
            fresh["id"] = rows.unused(Piece.model_validate(raw), "panel")
        _find(raw["frames"], frame_id)["panels"].append(fresh)

    _change(store_of(request), id, change)
    return _done(request, id, "added_panel", f"{frame_id}-new-name", frame=frame_id, panel=handle)


@router.post("/pieces/{id}/panels/{panel_id}")
def edit_panel(request: Request, id: str, panel_id: str, data: Typed) -> Response:
    """A panel's fields."""
    _, piece = _load(request, id)
    store = store_of(request)
    part = next((one for _, one in piece.parts() if one.id == panel_id), None)
    if part is None:
        raise MissingError(panel_id)
    form = rows.panel_form(piece, data, part)
    if data.get("stamp", "") not in ("", rows.stamp(part)):
        form.general.append(CHANGED)
    named = _named(piece, store, form)
    kept = {"tongue_thickness_mm": part.tongue_thickness_mm, "end_play_mm": part.end_play_mm}
    built = form.build(PanelPart, id=panel_id, species=named, **kept)
    if built is None or not form.ok:
        return _refused(request, id, {panel_id: form}, "panel_row", panel=panel_id)

    def change(raw: dict[str, Any]) -> None:
        _take_species(raw, store, named)
        fresh = rows.dumped(built)
        if isinstance(named, OwnSpecies):
            fresh["species"] = named.name
        _find(_all(raw), panel_id).update(fresh)

    _change(store, id, change)
    return _done(request, id, "panel_row", f"{panel_id}-name", panel=panel_id)


@router.post("/pieces/{id}/panels/{panel_id}/delete")
def delete_panel(request: Request, id: str, panel_id: str) -> Response:
    """Take a panel out; the page offers to put it back."""
    return _remove(request, id, panel_id, "panel")


def _remove(request: Request, id: str, handle: str, kind: str) -> Response:
    taken: list[dict[str, Any]] = []

    def change(raw: dict[str, Any]) -> None:
        taken.clear()
        places = [("", raw["frames"])] if kind == "frame" else [(one["id"], one["panels"]) for one in raw["frames"]]
        for frame_id, found in places:
            for index, one in enumerate(found):
                if one["id"] == handle:
                    taken.append({"kind": kind, "frame": frame_id, "index": index, "was": found.pop(index)})
                    return
        raise MissingError(handle)

    _change(store_of(request), id, change)
    kept, piece = _load(request, id)
    page = _page(request, kept, piece, removed=json.dumps(taken[0]), message=str(taken[0]["was"]["name"]))
    return _answer(request, page, "sheet")


@router.post("/pieces/{id}/put-back")
def put_back(request: Request, id: str, data: Typed) -> Response:
    """Put a removed frame or panel back where it was."""
    try:
        taken = json.loads(str(data.get("removed", "")))
        kind, frame_id, index, was = taken["kind"], taken["frame"], int(taken["index"]), taken["was"]
        (PanelPart if kind == "panel" else Frame).model_validate(was)
    except (ValueError, KeyError, TypeError, RecursionError):
        kept, piece = _load(request, id)
        page = _page(request, kept, piece)
        page.setup.general.append("What was removed could not be read, so it was not put back.")
        return _answer(request, page, "sheet", 422)

    def change(raw: dict[str, Any]) -> None:
        known = {one["id"] for one in _all(raw)} | {one["id"] for one in raw["frames"]}
        if was["id"] in known:
            return
        found = raw["frames"] if kind == "frame" else _find(raw["frames"], frame_id)["panels"]
        found.insert(max(0, min(index, len(found))), was)

    _change(store_of(request), id, change)
    return _done(request, id, "sheet", f"{was['id']}-name")
