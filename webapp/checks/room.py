"""The room that a made panel survives: at which humidities it keeps its clearances, comes out, binds."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from movement.fits.survival import ROOM
from movement.lengths import Unit
from movement.parts import inverse
from movement.parts.base import StockFields
from movement.parts.check import CheckRequest
from movement.parts.inverse import SurvivesRequest, SurvivesResult
from webapp import woods
from webapp.checks import measured, survived
from webapp.checks.check import Check, Figure
from webapp.drawing.sheet import Drawing
from webapp.forms import Spec, bind
from webapp.library import Shelf
from webapp.posted import as_typed
from webapp.words import Words


@dataclass(frozen=True)
class RoomAnswer:
    """What a panel survives."""

    found: SurvivesResult
    words: Words

    @property
    def headline(self) -> str:
        """The range, in a few words."""
        span = survived.kept(self.found)
        return f"It survives {span}" if span else "No room suits it"

    @property
    def figures(self) -> Sequence[Figure]:
        """Every end as a figure."""
        found = self.found
        out, bound = found.comes_out_below_humidity_pct, found.binds_above_humidity_pct
        low, high = found.moisture_low_pct, found.moisture_high_pct
        settled = "" if low is None or high is None else f"wood at {low:.1f} to {high:.1f} % moisture content"
        return (
            Figure("Relative humidity", survived.kept(found) or "none", settled, main=True),
            Figure("At", self.words.temperature(found.temperature_c), main=True),
            _end("Comes out below", "" if out is None else survived.low(out)),
            _end("Binds above", "" if bound is None else survived.high(bound)),
        )

    @property
    def sentence(self) -> str:
        """What the range is for."""
        return survived.SETTLED

    @property
    def told(self) -> Sequence[str]:
        """The same in sentences."""
        return survived.sentences(self.found, self.words)[:-1]

    @property
    def humidities(self) -> Drawing:
        """The same as a drawing."""
        return survived.drawing(self.found, self.words)

    @property
    def sources(self) -> Sequence[str]:
        """Where the numbers come from."""
        return self.found.sources


def _end(name: str, percent: str) -> Figure:
    used_up = "all clearances used up"
    if percent:
        return Figure(name, f"{percent} %", used_up)
    return Figure(name, "at no humidity", f"by these figures, {used_up}")


@dataclass(frozen=True)
class Room(Check):
    """The check of a room."""

    address = "/check/room"
    name = "The room"
    title = "Which room does it survive?"
    lede = (
        "A panel in its groove, as it is measured today: between which humidities the room must stay, and where the "
        "panel would really come out or bind."
    )
    button = "Find the humidities"
    template = "_check_room.html"
    groups = (("The panel", measured.NAMES), ("The room", ("temperature",)))
    folded = measured.CLEARANCES
    asks_year = False

    @classmethod
    def ask(cls, query: Mapping[str, str], unit: Unit, shelf: Shelf) -> "Room":
        """The check of the room for the panel that an address describes."""
        usual = as_typed(ROOM)
        warm = Spec("temperature", "Temperature", "temperature", "temperature_c", usual, "Once the wood has settled.")
        form = bind([*measured.specs(unit), warm], query, unit)
        idle = measured.settle(form)
        form.check(CheckRequest, "climate")
        form.check(SurvivesRequest, *(SurvivesRequest.model_fields.keys() - {"temperature_c"}))
        chosen = woods.chosen(form, shelf)
        form.build(StockFields, species=chosen, ring_angle_deg=0.0)
        air = measured.air(form)
        page = cls(form, unit, query, idle=idle)
        if not form.ok:
            return page
        measured.complete(form, air)
        asked = form.build(SurvivesRequest, species=chosen)
        if asked is None:
            measured.place(form)
            return page
        return replace(page, answer=RoomAnswer(inverse.survives(asked), page.words))
