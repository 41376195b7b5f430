"""The form of a piece's stays before it comes home: as it is kept, as it is typed, and what it describes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from pydantic import TypeAdapter

from movement.journey import MOST_STAYS, JourneyError
from movement.parts.climates import AnyClimate
from movement.parts.stays import FIRST_DAY, LAST_DAY, StayFields, journey
from movement.piece import Piece
from webapp import edits, library, years
from webapp.documents import MissingError
from webapp.forms import Form, Option, Spec, bind
from webapp.posted import mark
from webapp.refusals import Refusal
from webapp.store import Store

CHANGED = "The stays were changed elsewhere meanwhile; keep yours to overwrite them."
_AT_HOME = "Without a place before, it is at home from the start: leave this blank."
ALLOWED = f"Allowed is {FIRST_DAY.isoformat()} to {LAST_DAY.isoformat()}."
_LIST: TypeAdapter[list[StayFields]] = TypeAdapter(list[StayFields])


@dataclass(frozen=True, slots=True)
class Way:
    """The stays of a piece, and the day on which it comes home."""

    stays: tuple[StayFields, ...] = ()
    home_first: date | None = None

    @property
    def stamp(self) -> str:
        """A short mark of it, which tells later whether others have changed it."""
        return mark(f"{_LIST.dump_json(list(self.stays)).decode()}{self.home_first}")


@dataclass(frozen=True, slots=True)
class StaysForm:
    """The form with as many stays as it shows, the last of them new, and what it describes unless it was refused."""

    form: Form
    count: int
    way: Way | None


def of(piece: Piece) -> Way:
    """The way that a piece has."""
    return Way(tuple(piece.stays), piece.home_first if piece.stays else None)


def kept(piece: Piece, store: Store) -> StaysForm:
    """The form of a piece's stays as they are, with room for another."""
    way = of(piece)
    data = {"home_first": way.home_first.isoformat() if way.home_first else ""}
    for index, stay in enumerate(way.stays):
        data |= dict(zip(names(index), (stay.name, stay.first.isoformat(), _mark(stay.climate)), strict=True))
    return _typed(data, len(way.stays), way, store)


def typed(piece: Piece, store: Store, data: Mapping[str, str], without: int | None = None) -> StaysForm:
    """The form of a piece's stays as typed; ``without`` is the number of one that is to be left out."""
    numbers = [index for index in range(MOST_STAYS) if names(index)[1] in data and index != without]
    moved = {"home_first": data.get("home_first", "")}
    for index, number in enumerate(numbers):
        for name, source in zip(names(index), names(number), strict=True):
            moved[name] = data.get(source, "")
    count = len(numbers)
    while count and not (moved[names(count - 1)[0]].strip() or moved[names(count - 1)[1]].strip()):
        count -= 1
    if without is not None and not count:
        moved["home_first"] = ""  # without a place before, it is at home from the start
    found = _typed(moved, count, of(piece), store)
    way = _read(found.form, count, piece, store)
    if data.get("stamp", "") not in ("", of(piece).stamp):
        found.form.general.append(CHANGED)
    return replace(found, way=way if found.form.ok else None)


def _typed(data: Mapping[str, str], count: int, way: Way, store: Store) -> StaysForm:
    shown = min(count + 1, MOST_STAYS - 1)
    saved = years.saved(store)
    specs = [one for index in range(shown) for one in _specs(index, _climates(way, saved, index < count))]
    home = Spec("home_first", "Home from", "date", hint="From this day on it is in the climate of its home.")
    return StaysForm(bind([*specs, home], data, "mm"), shown, None)


def _specs(index: int, climates: Sequence[Option]) -> tuple[Spec, ...]:
    name, first, climate = names(index)
    day = "The day of assembly." if index == 0 else ""
    hint = "" if climates else "Keep one on the climate page first."
    options = tuple(climates) or (("", "No climate is kept yet"),)
    return (
        Spec(name, "Place", "text", hint="Shop, store, show room …"),
        Spec(first, "Kept there from", "date", hint=day),
        Spec(climate, "Its climate", "choice", default=options[0][0], hint=hint, options=options),
    )


def _climates(way: Way, saved: Sequence[Option], is_kept: bool) -> Sequence[Option]:
    """The climates to choose from: those kept here, and for a stay that the piece has those of its stays."""
    if not is_kept:
        return saved
    own = {_mark(stay.climate): _as_it_is(stay) for stay in way.stays}
    return (*own.items(), *saved)


def _as_it_is(stay: StayFields) -> str:
    year = stay.climate.year()
    return f"As it is at {stay.name or 'this place'}: {year.dry:.1f} to {year.wet:.1f} %"


def names(index: int) -> tuple[str, str, str]:
    """The fields of a stay: its name, its first day, its climate."""
    return f"stay_{index}_name", f"stay_{index}_first", f"stay_{index}_climate"


def _mark(chosen: AnyClimate) -> str:
    """What stands for a climate that a stay has; no kept climate's handle has a dot."""
    return f"own.{mark(chosen.model_dump_json())}"


def _read(form: Form, count: int, piece: Piece, store: Store) -> Way | None:
    """The way that the form describes, or ``None`` with the refusals at their fields."""
    stays = [_stay(form, index, piece, store) for index in range(count)]
    if not count:
        if form.values["home_first"] is not None:
            form.refuse(Refusal("home_first", _AT_HOME))
        return Way()
    home = _day(form, "home_first", "the piece comes home")
    known = [stay for stay in stays if stay is not None]
    if len(known) < count or home is None:
        return None
    try:
        journey(known, piece.climate, home)
    except JourneyError as error:
        form.refuse(Refusal("home_first" if error.index == count else names(error.index)[1], str(error)))
        return None
    return Way(tuple(known), home)


def _stay(form: Form, index: int, piece: Piece, store: Store) -> StayFields | None:
    name, first, chosen = names(index)
    day = _day(form, first, "the piece comes there")
    own = {_mark(stay.climate): stay.climate for stay in piece.stays}
    handle, climate, called = str(form.values[chosen] or ""), None, str(form.values[name] or "")
    if handle in own:
        climate = own[handle]
    elif handle:
        try:
            kept = store.climate(handle)
        except MissingError:
            form.refuse(Refusal(chosen, "This climate is no longer kept here; choose another."))
        else:
            climate, called = library.read_climate(kept.document), called or kept.name
    else:
        form.refuse(Refusal(chosen, "Choose its climate; where none is kept yet, describe one on the climate page."))
    if len(called) > edits.MOST_NAME:
        form.refuse(Refusal(name, f"Allowed is at most {edits.MOST_NAME} characters."))
    if day is None or climate is None or form.fields[name].error:
        return None
    return StayFields(name=called, first=day, climate=climate)


def _day(form: Form, name: str, what: str) -> date | None:
    value = form.values[name]
    if value is None:
        form.refuse(Refusal(name, f"Fill this in: the day on which {what}."))
        return None
    if not FIRST_DAY <= value <= LAST_DAY:
        form.refuse(Refusal(name, ALLOWED))
        return None
    assert isinstance(value, date)
    return value
