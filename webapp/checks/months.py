"""When to fit a panel: the months in which stock that has settled in the shop needs no bias, or little."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from movement import climate, swelling
from movement.errors import RangeError
from movement.lengths import Unit
from movement.parts import check
from movement.parts.base import StockFields
from movement.parts.check import MonthResult, MonthsRequest, MonthsResult
from movement.parts.climates import AnyClimate
from movement.parts.panel import SOURCE_RULES
from webapp import charts, doubts, woods, years
from webapp.charts import Chart, Level, Plot, Series, Table
from webapp.checks.check import Check, Figure, demand, in_unit, picked
from webapp.checks.measured import CLEARANCES
from webapp.forms import Form, Spec, bind
from webapp.library import Shelf
from webapp.words import Words

SHOP = "shop_"
"""What the names of the shop's fields begin with; after it they are those of the home's year."""
_CUTTERS = ("groove_depth", "cutter_step", "cutter_depths")


@dataclass(frozen=True)
class MonthsAnswer:
    """Stock of today, and the twelve months of the shop."""

    asked: MonthsRequest
    home: AnyClimate
    found: MonthsResult
    words: Words

    @property
    def suited(self) -> str:
        """The months that suit, in words; empty where none does."""
        return _listed([month.suits for month in self.found.months])

    @property
    def best(self) -> tuple[str, MonthResult]:
        """The month with the least bias."""
        named = zip(climate.MONTHS, self.found.months, strict=True)
        return min(named, key=lambda one: abs(one[1].bias_mm))

    @property
    def headline(self) -> str:
        """When to fit it, in a few words."""
        count = sum(month.suits for month in self.found.months)
        return {0: "No month suits", 1: "One month suits", 12: "Every month suits"}.get(count, f"{count} months suit")

    @property
    def figures(self) -> Sequence[Figure]:
        """The best month, and the stock of today."""
        name, month = self.best
        now = self.found.now
        size, way = self._size(now)
        stock = f"stock at {now.moisture_pct:.1f} %"
        return (
            Figure("Least bias in", name, self._bias(month), main=True),
            Figure("Bias with today's stock", size, f"{way}; {stock}" if way else stock, main=True),
        )

    @property
    def sentence(self) -> str:
        """What the months are worth."""
        within = self.words.say(self.asked.within_mm)
        if not self.suited:
            name, month = self.best
            return (
                f"In no month does stock that has settled in this shop come within {within} of the neutral fit; "
                f"{name} comes nearest, {self._bias(month)}. Fit with that bias, or condition the stock elsewhere."
            )
        others = "" if all(month.suits for month in self.found.months) else " In other months leave the table's bias."
        return (
            f"In {self.suited}, stock that has settled in the shop is so near the middle of what it will meet that a "
            f"neutral fit is right within {within} per edge.{others}"
        )

    @property
    def rows(self) -> Sequence[tuple[str, str, str, str, bool]]:
        """Month, moisture of settled stock, how far off the middle, bias, whether it suits."""
        named = [("Today's stock", self.found.now), *zip(climate.MONTHS, self.found.months, strict=True)]
        return [
            (name, f"{month.moisture_pct:.1f} %", _points(month.from_mid_pct), self._bias(month), month.suits)
            for name, month in named
        ]

    def _bias(self, month: MonthResult) -> str:
        size, way = self._size(month)
        return f"{size} {way}" if way else size

    def _size(self, month: MonthResult) -> tuple[str, str]:
        """How large the bias is, and which way."""
        size = self.words.size(month.bias_mm)
        if size == self.words.say(0.0):
            return "none", ""
        return size, "looser" if month.bias_mm > 0 else "tighter"

    @property
    def chart(self) -> Chart:
        """The shop's year against the home's."""
        season = self.asked.season()
        moistures = [month.moisture_pct for month in self.found.months]
        levels = (
            Level(season.year_wet, f"home {season.year_wet:.1f}", "dim"),
            Level((season.year_dry + season.year_wet) / 2, "middle", "ghost"),
            Level(season.year_dry, f"home {season.year_dry:.1f}", "dim"),
            Level(season.now, f"today {season.now:.1f}", "now"),
        )
        places = [month + 0.5 for month in range(12)]
        line = Series(places, moistures, "", "shop")
        plot = Plot("Settled stock, % MC", (line,), levels, band=(season.year_dry, season.year_wet), height=150.0)
        rows = tuple((name, moisture) for name, moisture, *_ in self.rows[1:])
        words = (
            f"Stock settled in the shop goes between {min(moistures):.1f} and {max(moistures):.1f} %; the home's year "
            f"is {season.year_dry:.1f} to {season.year_wet:.1f} %."
        )
        steps = [(place, name[0]) for place, name in zip(places, climate.MONTHS, strict=True)]
        table = Table(("Month", "Settled stock"), rows)
        return charts.chart([plot], (0.0, 12.0), steps, "The shop's year against the home's", words, table)

    @property
    def sources(self) -> Sequence[str]:
        """What to know of the numbers, and where they come from."""
        wood, shop, home = self.asked.wood().species, self.asked.shop.year(), self.home.year()
        told = (*wood.notes, *shop.notes, *wood.sources, swelling.SOURCE, SOURCE_RULES, *shop.sources, *home.sources)
        return tuple(dict.fromkeys(told))


@dataclass(frozen=True)
class Months(Check):
    """The check of a shop's months."""

    address = "/check/months"
    name = "When to fit it"
    title = "When is it best fitted?"
    lede = (
        "A panel of stock that settles in your shop before it is fitted: in which months a neutral fit is right, and "
        "which bias the others need."
    )
    button = "Find the months"
    template = "_check_months.html"
    groups = (("The panel", ("species", "ring_angle", "sight_width", "moisture_now", "hold", "within")),)
    folded = (*_CUTTERS, *CLEARANCES)
    folded_name = "Groove, cutters and clearances"

    shop: AnyClimate | None = None

    @property
    def shop_shown(self) -> Sequence[str]:
        """The fields of the chosen way to tell the shop's year."""
        return [f"{SHOP}{name}" for name in years.FIELDS.get(self.form.fields[f"{SHOP}year"].value, ())]

    @property
    def shop_fields(self) -> Sequence[str]:
        """Every field of the shop's year, in order."""
        return [f"{SHOP}{name}" for name in years.NAMES]

    @property
    def shop_words(self) -> str:
        """One line on the shop's year."""
        return years.words(self.shop, self.unit) if self.shop else ""

    @classmethod
    def ask(cls, query: Mapping[str, str], unit: Unit, shelf: Shelf) -> "Months":
        """The check of the months for the panel and the shop that an address describes."""
        within = Spec(
            "within",
            "Bias to be content with",
            "length",
            "within_mm",
            in_unit(unit, "0.1", '1/64"'),
            "Per edge; the default is the finest that this page shows.",
        )
        names = ("species", "ring_angle", "sight_width", "moisture_now", "hold", *_CUTTERS, *CLEARANCES)
        specs = [*picked(unit, *names), within, *years.specs(shelf), *doubts.specs()]
        form = bind(specs, query, unit)
        demand(form, {"within"})
        form.check(MonthsRequest, "climate", "shop")
        chosen = woods.chosen(form, shelf)
        form.build(StockFields, species=chosen, ring_angle_deg=0.0)
        year, sure, shop = years.build(form, shelf), doubts.build(form), _shop(form, query, unit, shelf)
        page = cls(form, unit, query, year=year, shop=shop)
        if year is None or sure is None or shop is None or not form.ok:
            return page
        asked = form.build(MonthsRequest, climate=year, shop=shop, species=chosen, **sure)
        if asked is None:
            return page
        try:
            found = check.suited(asked)
        except RangeError as error:
            if error.name != "moisture content today":
                form.refuse_range(error, MonthsRequest)
                return page
            form.fields[f"{SHOP}year"].error = (
                f"In one of its months stock would settle at {error.value:.1f} % moisture content; "
                f"what can be fitted lies between {error.low:g} and {error.high:g} %."
            )
            return page
        return replace(page, answer=MonthsAnswer(asked, year, found, page.words))


def _shop(form: Form, query: Mapping[str, str], unit: Unit, shelf: Shelf) -> AnyClimate | None:
    """The shop's year, from the fields whose names begin with `SHOP`; they join the form."""
    told = {name.removeprefix(SHOP): text for name, text in query.items() if name.startswith(SHOP)}
    specs = [
        replace(one, label="The shop's year, told by", default="place") if one.name == "year" else one
        for one in years.specs(shelf)
    ]
    shop = bind(specs, told, unit)
    found = years.build(shop, shelf)
    for name, one in shop.fields.items():
        form.fields[f"{SHOP}{name}"] = replace(one, name=f"{SHOP}{name}")
    form.general += shop.general
    return found


def _points(moisture: float) -> str:
    sign = "−" if moisture < -0.05 else "+" if moisture > 0.05 else ""
    return f"{sign}{abs(moisture):.1f}"


def _listed(suits: Sequence[bool]) -> str:
    """The months that suit, in words, runs together over the turn of the year."""
    if all(suits):
        return "any month"
    if not any(suits):
        return ""
    first = suits.index(False)
    order = [(first + step) % 12 for step in range(12)]
    runs = [list(run) for fit, run in groupby(order, key=lambda month: suits[month]) if fit]
    runs.sort(key=lambda run: run[0])
    names = [_run([climate.MONTHS[month] for month in run], len(runs) == 1) for run in runs]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _run(names: Sequence[str], alone: bool) -> str:
    if len(names) == 1:
        return names[0]
    return f"{names[0]} {'and' if alone and len(names) == 2 else 'to'} {names[-1]}"
