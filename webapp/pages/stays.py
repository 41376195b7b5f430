"""The way home: where a piece is kept from assembly until it comes home, and its moisture on the way."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from fastapi import APIRouter, Request
from fastapi.responses import Response
from pydantic import ValidationError

from movement import piece as pieces
from movement.errors import RangeError
from movement.parts.fields import Described
from movement.parts.stays import StayFields
from movement.piece import Piece
from webapp import courses, edits, following, moves, years
from webapp.charts import Chart
from webapp.documents import Kept
from webapp.forms import Form
from webapp.moves import StaysForm, Way
from webapp.paper import opened
from webapp.posted import Typed, number_of, see, store_of
from webapp.refusals import from_range
from webapp.render import is_partial, piece_switch, render
from webapp.store import Store

router = APIRouter()


class Taken(Described):
    """A stay that was taken out, with the day of coming home: all that is needed to put it back."""

    stay: StayFields
    home_first: date | None = None


@dataclass(frozen=True, slots=True)
class StaysPage:
    """The context of stays.html. ``problem`` is why there is no ``chart``; ``taken`` was taken out just now."""

    kept: Kept
    piece: Piece
    typed: StaysForm
    chart: Chart | None = None
    problem: str = ""
    notice: str = ""
    taken: Taken | None = None

    @property
    def href(self) -> str:
        """The piece's address."""
        return f"/pieces/{self.kept.id}"

    @property
    def form(self) -> Form:
        """The form of the stays."""
        return self.typed.form

    @property
    def stamp(self) -> str:
        """The mark of the stays that are kept."""
        return moves.of(self.piece).stamp

    @property
    def places(self) -> Sequence[tuple[str, Sequence[str], bool]]:
        """Of each stay shown: its heading, the names of its fields, and whether it is new."""
        stays = []
        for index in range(self.typed.count):
            names = moves.names(index)
            is_new = not self.form.fields[names[1]].value and not self.form.fields[names[0]].value
            called = self.form.fields[names[0]].value.strip() or f"Place {index + 1}"
            stays.append(("Another place" if is_new and index else "First place" if is_new else called, names, is_new))
        return stays

    @property
    def home_words(self) -> str:
        """The home's climate, in a sentence."""
        words = years.words(self.piece.climate, self.piece.unit)
        return f"{self.piece.climate_name}. {words}" if self.piece.climate_name else words

    @property
    def is_late(self) -> bool:
        """Whether the piece's panels follow the air late."""
        return self.piece.defaults.following == "lagged"

    @property
    def caption(self) -> str:
        """What to know of the chart."""
        return following.CAPTION if self.is_late else ""

    @property
    def caution(self) -> str:
        """What to know of panels that follow late."""
        return following.CAUTION if self.is_late else ""

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.form.errors:
            return self.form.doubt
        if self.taken:
            return f"“{self.taken.stay.name or 'A place'}” was taken out."
        return self.notice or "The way home is kept."


@router.get("/pieces/{id}/stays")
def show(request: Request, id: str) -> Response:
    """The stays as they are, and the chart of the way."""
    return _shown(request, id)


@router.post("/pieces/{id}/stays")
def keep(request: Request, id: str, data: Typed) -> Response:
    """Keep the stays as typed; with ``take_out`` without that one."""
    store = store_of(request)
    _, piece = opened(store, id)
    without = number_of(data.get("take_out", ""))
    found = moves.typed(piece, store, data, without)
    if found.way is None:
        return _shown(request, id, 422, typed=found)
    way = found.way
    _change(store, id, lambda _: way)
    before = moves.of(piece)
    if without is not None and without < len(before.stays):
        return _shown(request, id, taken=Taken(stay=before.stays[without], home_first=before.home_first))
    return _shown(request, id) if is_partial(request) else see(f"/pieces/{id}/stays")


@router.post("/pieces/{id}/stays/put-back")
def put_back(request: Request, id: str, data: Typed) -> Response:
    """Put a stay back that was taken out, among the others by its day."""
    store = store_of(request)
    try:
        taken = Taken.model_validate_json(data.get("taken", ""))
    except ValidationError:
        return _shown(request, id, 422, notice="What was taken out could not be read, so it was not put back.")

    def back(way: Way) -> Way:
        stays = sorted((*way.stays, taken.stay), key=lambda stay: stay.first)
        return Way(tuple(stays), way.home_first or taken.home_first)

    try:
        _change(store, id, back)
    except ValidationError as error:
        why = str(error.errors(include_url=False)[0]["msg"]).removeprefix("Value error, ")
        return _shown(request, id, 422, notice=f"It was not put back. {why}")
    return _shown(request, id) if is_partial(request) else see(f"/pieces/{id}/stays")


def _change(store: Store, id: str, change: Callable[[Way], Way]) -> None:
    """Change the way of a piece, and keep it only if it is a piece still."""

    def rewrite(document: str) -> tuple[str, str]:
        before = pieces.load(document)
        way = change(moves.of(before))
        after = before.model_copy(update={"stays": list(way.stays), "home_first": way.home_first})
        return after.name, edits.written(after)[1]

    store.change_piece(id, rewrite)


def _shown(
    request: Request,
    id: str,
    status: int = 200,
    typed: StaysForm | None = None,
    notice: str = "",
    taken: Taken | None = None,
) -> Response:
    store = store_of(request)
    kept, piece = opened(store, id)
    page = StaysPage(kept, piece, typed or moves.kept(piece, store), notice=notice, taken=taken)
    try:
        page = replace(page, chart=courses.of(piece))
    except RangeError as error:
        page = replace(page, problem=from_range(error).message)
    links = piece_switch(request, page.href, piece.unit)
    return render(request, "stays.html", page, unit=piece.unit, unit_links=links, status=status)
