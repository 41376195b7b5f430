"""A groove or a set of cutters: the widest opening that each depth serves, and the panel to cut for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from movement import lengths
from movement.fits import panel as fits
from movement.lengths import Unit
from movement.parts import inverse, panel
from movement.parts.base import Bench, CutterFields, StockFields
from movement.parts.climates import AnyClimate
from movement.parts.inverse import WidestRequest, WidestResult
from movement.parts.panel import PanelNeeds
from webapp import doubts, drawings, woods, years
from webapp.checks.check import Check, Figure, in_unit, picked
from webapp.checks.measured import CLEARANCES
from webapp.drawings import EdgeDrawing
from webapp.forms import Spec, bind
from webapp.library import Shelf
from webapp.words import Words

_DEPTHS = "groove_depths"
_TONGUE = 6.0
"""Thickness of the edge where none is given [mm]; only for the drawing."""


@dataclass(frozen=True)
class Served:
    """A groove [mm] with the widest opening that it serves."""

    depth: float
    found: WidestResult
    pair: "Pair | None" = None


@dataclass(frozen=True)
class Pair:
    """An opening [mm] that can be written, and the panel for it: to cut, the narrowest and the widest [mm]."""

    sight: float
    width: float
    low: float
    high: float

    def said(self, words: Words) -> tuple[str, str]:
        """The opening and its panel in words that keep every rule together."""
        return words.say(self.sight), words.within(self.width, self.low, self.high)


@dataclass(frozen=True)
class GrooveAnswer:
    """What each depth serves, the shallowest first."""

    asked: WidestRequest
    year: AnyClimate
    bench: Bench
    served: Sequence[Served]
    tongue: float
    words: Words

    @property
    def best(self) -> Served:
        """The deepest groove."""
        return self.served[-1]

    @property
    def headline(self) -> str:
        """What the deepest groove serves, in a few words."""
        return f"A groove of {self.words.entered(self.best.depth)}"

    @property
    def figures(self) -> Sequence[Figure]:
        """The deepest groove's opening and panel."""
        pair = self.best.pair
        if pair is None:
            return (Figure("Widest sight width", "none", " ".join(self.best.found.notes), main=True),)
        sight, width = pair.said(self.words)
        if inverse.NOTE_WIDE in self.best.found.notes:
            return (
                Figure("Widest sight width", sight, "the widest that is sized for here", main=True),
                Figure("Panel for it today", width, self.words.works(pair.low, pair.high), main=True),
            )
        return (
            Figure("Widest sight width", sight, "across the grain, at most", main=True),
            Figure("Panel for it today", width, "hardly another width works there", main=True),
        )

    @property
    def _drawn(self) -> bool:
        return self.best.pair is not None

    @property
    def sentence(self) -> str:
        """What a wider opening needs."""
        if not self._drawn:
            return " ".join(self.best.found.notes)
        return (
            "Any opening up to this width has a panel that works in it all year; narrower ones leave more to spare. A "
            "wider one needs a deeper groove, quarter-sawn stock, or a muntin between two panels."
        )

    @property
    def rows(self) -> Sequence[tuple[str, str, str]]:
        """Groove, widest opening, its panel today."""
        say = self.words
        return [
            (say.entered(one.depth), *one.pair.said(say))
            if one.pair is not None
            else (say.entered(one.depth), "any" if inverse.NOTE_STILL in one.found.notes else "none", "–")
            for one in self.served
        ]

    @property
    def remarks(self) -> Sequence[str]:
        """What else to know of a depth."""
        return [f"{self.words.entered(one.depth)}: {note}" for one in self.served for note in one.found.notes]

    @property
    def drawing(self) -> EdgeDrawing | None:
        """The edge of the deepest groove's panel; None where there is none."""
        pair = self.best.pair
        if pair is None:
            return None
        needs = PanelNeeds.model_construct(sight_width_mm=pair.sight, panel_width_mm=pair.width)
        made = panel.result(needs, self.asked.hold, self.best.depth, self.bench)
        return drawings.edge(made, self.tongue, self.words.unit, self.words.say)

    @property
    def sources(self) -> Sequence[str]:
        """What to know of the numbers, and where they come from."""
        year = self.year.year()
        return (*self.bench.wood.species.notes, *year.notes, *self.best.found.sources, *year.sources)


@dataclass(frozen=True)
class Groove(Check):
    """The check of a groove."""

    address = "/check/groove"
    name = "A groove or cutters"
    title = "What does this groove serve?"
    lede = "A groove that is cut, or the depths that your cutters make: how wide an opening each of them serves."
    button = "Find the widest opening"
    template = "_check_groove.html"
    groups = (("The groove and the stock", (_DEPTHS, "species", "ring_angle", "moisture_now", "hold")),)
    folded = (*CLEARANCES, "tongue_thickness")
    cuts = True

    @classmethod
    def ask(cls, query: Mapping[str, str], unit: Unit, shelf: Shelf) -> "Groove":
        """The check of the grooves that an address tells; a single groove of another check is taken over."""
        data = {_DEPTHS: query["groove_depth"], **query} if query.get("groove_depth") else query
        field = Spec(
            _DEPTHS,
            "Groove depth, or depths",
            "lengths",
            "cutter_depths_mm",
            in_unit(unit, "6; 9; 12", '1/4; 3/8; 1/2"'),
            "Parted by semicolons.",
        )
        names = ("species", "ring_angle", "moisture_now", "hold", *CLEARANCES, "tongue_thickness")
        form = bind([field, *picked(unit, *names), *years.specs(shelf), *doubts.specs()], data, unit)
        form.check(CutterFields)
        form.check(WidestRequest, "climate", "groove_depth_mm")
        form.check(PanelNeeds, "sight_width_mm")
        depths = form.values["cutter_depths_mm"]
        if not depths and not form.fields[_DEPTHS].error:
            form.fields[_DEPTHS].error = "Fill this in: one depth or several."
        chosen = woods.chosen(form, shelf)
        form.build(StockFields, species=chosen, ring_angle_deg=0.0)
        year, sure = years.build(form, shelf), doubts.build(form)
        page = cls(form, unit, data, year=year)
        if year is None or sure is None or not form.ok:
            return page
        served, asked = [], None
        for depth in sorted(set(depths)):
            asked = form.build(WidestRequest, climate=year, species=chosen, groove_depth_mm=depth, **sure)
            if asked is None:
                return page
            found = inverse.widest(asked)
            served.append(Served(depth, found, _pair(found, asked, page.words)))
        assert asked is not None
        bench = replace(asked.bench(), say=page.words.bench)
        tongue = form.values["tongue_thickness_mm"] or _TONGUE
        return replace(page, answer=GrooveAnswer(asked, year, bench, served, tongue, page.words))


def _pair(found: WidestResult, asked: WidestRequest, words: Words) -> Pair | None:
    """The widest opening of a groove as it can be written, at most as wide, with a panel that can be written too."""
    bench = asked.bench()
    if found.sight_width_mm is None:
        return None
    widest = min(found.sight_width_mm, fits.SIGHT_WIDTH[1])
    ratios, back = bench.ratios(bench.season, bench.wood), 0
    held = (asked.groove_depth_mm, asked.hold, ratios.dry, ratios.wet, bench.clearances)
    start = float(lengths.round_to(widest, words.step, "down"))
    while True:
        sight = start - back * words.step
        low, high = (float(end) for end in fits.width_range(sight, *held))
        if sight < fits.SIGHT_WIDTH[0]:
            return None
        if words.is_within(low, high):
            return Pair(sight, float(fits.even_width(sight, *held)), low, high)
        back = 2 * back + 1
