"""A panel that is made: where it stands today, when dry and when wet, and what to do about it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from movement.errors import RangeError
from movement.exposure import Exposure
from movement.fits.standing import Action
from movement.lengths import Unit
from movement.parts import check
from movement.parts.base import Bench, StockFields
from movement.parts.check import CheckRequest, CheckResult
from movement.parts.climates import AnyClimate
from movement.parts.panel import PanelNeeds
from webapp import courses, doubts, drawings, following, rounding, woods, years
from webapp.charts import Chart
from webapp.checks import measured, survived
from webapp.checks.check import Check, Figure, picked
from webapp.doubts import Outlook
from webapp.drawing.sheet import Drawing
from webapp.drawings import EdgeDrawing
from webapp.forms import bind
from webapp.library import Shelf
from webapp.words import Words

_HEADLINES: Mapping[Action, str] = {
    "leave": "It fits: leave it",
    "plane": "Plane it narrower",
    "pin": "Pin it at mid-width",
    "widen": "It is too narrow",
    "deepen": "Too shallow a groove",
}
_TONGUE = 6.0
"""Thickness of the edge where none is given [mm]; only for the drawing."""


@dataclass(frozen=True)
class MadeAnswer:
    """Where a made panel stands."""

    asked: CheckRequest
    year: AnyClimate
    bench: Bench
    found: CheckResult
    tongue: float
    words: Words

    @property
    def headline(self) -> str:
        """What to do, in a few words."""
        told = _HEADLINES[self.found.action]
        return f"{told}, or leave it" if self._loosens else told

    @property
    def _loosens(self) -> bool:
        """Whether it is to be planed only for a gap that is short today and will grow from today on."""
        made = self.found.panel
        at_wettest = made.moisture_now_pct >= made.moisture_wet_pct
        return self.found.action == "plane" and at_wettest and made.gap_now_mm >= 0

    @property
    def figures(self) -> Sequence[Figure]:
        """What to do in numbers, and where the panel stands."""
        say, made = self.words, self.found.panel
        told = Figure("Gap today", say.say(made.gap_now_mm), self._edge, main=True)
        if self.found.action == "plane":
            left = f"leaves a gap of {say.say(self.found.gap_wanted_now_mm)} today, {self._edge}"
            told = Figure("Plane off, in all", say.say(self.found.plane_off_mm), left, main=True)
        elif self.found.action == "widen":
            told = Figure("Too narrow by", say.least(made.panel_width_min_mm - made.panel_width_mm), main=True)
        elif self.found.action == "deepen":
            told = Figure("Groove, at least", say.least(made.least_groove_depth_mm), "for a panel cut to it", main=True)
        low, high = made.panel_width_min_mm, made.panel_width_max_mm
        works = "no width works in this groove" if low > high else say.works(low, high)
        return (
            told,
            Figure("Panel width today", say.say(made.panel_width_mm), works, main=True),
            Figure("Engaged, dry", say.most(made.engagement_dry_mm), self._wanted(self.asked.least_engagement_mm)),
            Figure("Gap, wet", say.most(made.gap_wet_mm), self._wanted(self.asked.least_gap_mm)),
        )

    @property
    def _edge(self) -> str:
        return "at the free edge" if self.asked.hold == "one edge" else "at each edge"

    def _wanted(self, length: float) -> str:
        return f"asked for: {self.words.say(length)}"

    @property
    def sentence(self) -> str:
        """What to do, in a sentence or two."""
        say, made, found = self.words, self.found.panel, self.found
        if found.action == "plane":
            least = say.least(made.panel_width_mm - made.panel_width_max_mm)
            short = f"{say.room(max(made.gap_wet_mm, 0.0))} of the {say.say(self.asked.least_gap_mm)} asked for"
            if self._loosens:
                return (
                    f"Today is the wettest it will meet, and its gap is {short}; from here on it only grows. For the "
                    f"whole gap at least {least} must come off; the figure above leaves nearly even margins."
                )
            told = f"When wettest its gap would be {short}." if made.gap_wet_mm >= 0 else "It would bind when wettest."
            return f"{told} At least {least} must come off; the figure above leaves nearly even margins."
        if found.action == "pin":
            return "As it is kept it breaks a rule; pinned at mid-width, or centred on spacers, it works as it is."
        if found.action == "widen":
            return "It keeps too little when driest. Planing does not help: it needs more width, or another panel."
        if found.action == "deepen":
            return "In this groove no width keeps both the engagement and the gap that are asked for."
        off = say.say(abs(found.rebias_mm))
        if off == say.say(0.0):
            return "It keeps what is asked all year, with nearly even margins."
        way = "more" if found.rebias_mm > 0 else "less"
        return f"It keeps what is asked all year. With even margins its gap today would be {off} {way}."

    @property
    def advice(self) -> Sequence[str]:
        """Which rule fails, by how much, and what would mend it."""
        return self.found.panel.advice

    @property
    def states(self) -> Sequence[tuple[str, float, str, str, str]]:
        """Name, moisture [%], and in words the width, gap and engagement of today, driest and wettest."""
        return rounding.states(self.found.panel, self.words)

    @property
    def facts(self) -> Sequence[tuple[str, str]]:
        """The numbers behind the sentence."""
        say, made = self.words, self.found.panel
        return (
            ("Gap today that even margins would have", say.say(self.found.gap_wanted_now_mm)),
            ("Today's gap differs from it by", say.signed(-self.found.rebias_mm)),
            ("Width to spare in the driest season", say.margin(made.margin_dry_mm)),
            ("Width to spare in the wettest season", say.margin(made.margin_wet_mm)),
            ("Least groove for a panel cut to it", say.least(made.least_groove_depth_mm)),
        )

    @property
    def edge_name(self) -> str:
        """The drawing's heading."""
        return "The moving edge in its groove" if self.asked.hold == "one edge" else "Each edge in its groove"

    @property
    def drawing(self) -> EdgeDrawing:
        """The edge in its groove."""
        return drawings.edge(self.found.panel, self.tongue, self.words.unit, self.words.say)

    @property
    def chart(self) -> Chart:
        """The panel's moisture through the year."""
        season = self.bench.season
        return courses.year(Exposure(self.year.year(), self.asked.section()).band(season.now), season)

    @property
    def late(self) -> str:
        """What following the air late has changed; nothing where it follows at once."""
        return following.words(self.bench.season, self.year.year(), self.asked.section())

    @property
    def caution(self) -> str:
        """What to know of a panel that follows late."""
        return following.CAUTION

    @property
    def outlook(self) -> Outlook:
        """The chances that it binds or comes out."""
        return doubts.outlook(self.asked, self.found.panel)

    @property
    def survived(self) -> Sequence[str]:
        """The humidities that it survives in a room at the usual temperature, in sentences."""
        return survived.sentences(survived.of(self.asked), self.words)

    @property
    def humidities(self) -> Drawing:
        """The same as a drawing."""
        return survived.drawing(survived.of(self.asked), self.words)

    @property
    def sources(self) -> Sequence[str]:
        """What to know of the numbers, and where they come from."""
        year = self.year.year()
        late = following.sources() if self.late else ()
        return (*self.bench.wood.species.notes, *year.notes, *self.found.panel.sources, *year.sources, *late)


@dataclass(frozen=True)
class Made(Check):
    """The check of a made panel."""

    address = "/check"
    name = "A made panel"
    title = "Check a panel that is made"
    lede = (
        "Measure a panel in its frame, or one that is about to go in. Where it stands today, what becomes of it in the "
        "driest and the wettest season, and what to do about it."
    )
    button = "Check the panel"
    template = "_check_made.html"
    groups = (("The panel", measured.NAMES),)
    folded = (*measured.CLEARANCES, "tongue_thickness")
    cuts = True

    @classmethod
    def ask(cls, query: Mapping[str, str], unit: Unit, shelf: Shelf) -> "Made":
        """The check of the panel that an address describes."""
        specs = [*measured.specs(unit), *picked(unit, "tongue_thickness")]
        form = bind([*specs, *years.specs(shelf), *following.specs(unit), *doubts.specs()], query, unit)
        following.settle(form)
        idle = measured.settle(form)
        form.check(CheckRequest, "climate")
        form.check(PanelNeeds, "sight_width_mm", "panel_width_mm")
        chosen = woods.chosen(form, shelf)
        form.build(StockFields, species=chosen, ring_angle_deg=0.0)
        year, sure, air = years.build(form, shelf), doubts.build(form), measured.air(form)
        page = cls(form, unit, query, year=year, idle=idle)
        if year is None or sure is None or not form.ok:
            return page
        asked = form.build(CheckRequest, climate=year, species=chosen, air_now=air, **sure)
        if asked is None:
            measured.place(form)
            return page
        bench = asked.bench(say=page.words.bench)
        try:
            found = check.check(asked, bench)
        except RangeError as error:
            form.refuse_range(error, CheckRequest)
            measured.place(form)
            return page
        tongue = form.values["tongue_thickness_mm"] or _TONGUE
        return replace(page, answer=MadeAnswer(asked, year, bench, found, tongue, page.words))
