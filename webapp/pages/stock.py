"""The stock: the moisture behind a reading, and when a board is ready for the shop and for the home."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement import slab, sorption, stock
from movement.fits import survival
from movement.fits.survival import Span
from movement.lengths import Unit
from movement.parts.climates import AnyClimate
from movement.parts.stock import Drying, Reading, Weighing
from movement.stock import Approach, Days, Verdict
from webapp import cautions, charts, humidities, years
from webapp.asking import AsksYear
from webapp.charts import Chart, Level, Plot, Series, Table
from webapp.forms import Form, Spec, bind
from webapp.panel_fields import OURS
from webapp.refusals import Refusal
from webapp.render import render, switch, unit_of
from webapp.store import Store
from webapp.words import Words

router = APIRouter()

MOST_MOISTURE = 30.0
"""A wetter board is above the start of shrinkage, where this drying does not hold [% MC]."""
_HALF_A_DAY = 0.5
_NEAR = 0.05
"""Moistures nearer than this are shown as the same [% MC]."""
_METER = ("reading", "wood_temperature", "calibration_temperature", "species_correction")
_WEIGHED = ("weight", "dry_weight")


def _specs(unit: Unit) -> tuple[Spec, ...]:
    calibration = f"{sorption.CALIBRATION_TEMPERATURE:g}"
    usual = f"{calibration} °C (70 °F)" if unit == "mm" else f"70 °F ({calibration} °C)"
    return (
        Spec(
            "by",
            "Moisture measured",
            "choice",
            default="meter",
            options=(("meter", "With a meter"), ("weight", "By oven-drying")),
        ),
        Spec("reading", "Meter reading", "number", "reading_pct", "10", "Of a pin (resistance) meter.", "%"),
        Spec("wood_temperature", "Temperature of the wood", "temperature", "wood_temperature_c", "18"),
        Spec(
            "calibration_temperature",
            "Meter calibrated at",
            "temperature",
            "calibration_temperature_c",
            calibration,
            f"See the meter's manual; {usual} is quoted from memory.",
        ),
        Spec(
            "species_correction",
            "Species correction",
            "number",
            "species_correction_pct",
            "0",
            "Points to add, from the meter's manual.",
            "%",
        ),
        Spec("weight", "Weight of the sample", "number", "weight_g", "109", "As cut.", "g"),
        Spec("dry_weight", "Its oven-dry weight", "number", "dry_weight_g", "100", "When it loses no more.", "g"),
        Spec("thickness", "Thickness of the boards", "length", "thickness_mm", "25" if unit == "mm" else '1"'),
        Spec(
            "faces",
            "Stacked",
            "choice",
            "faces",
            "2",
            options=(("2", "On stickers, both faces in the air"), ("1", "One face covered")),
        ),
        Spec("shop_temperature", "Shop: temperature", "temperature", "shop_temperature_c", "18"),
        Spec("shop_humidity", "Shop: relative humidity", "number", "shop_humidity_pct", "50", "", "%"),
        Spec(
            "distance",
            "Settled when within",
            "number",
            "distance_pct",
            "0.5",
            f"Of the moisture it is heading for. {OURS}",
            "%",
        ),
    )


@dataclass(frozen=True, slots=True)
class StockAnswer:
    """What the page says of a board. Moistures in % MC; ``to_home`` is None where it lies in the home's year."""

    moisture: float
    warnings: Sequence[str]
    shop: float
    to_shop: Days
    half: Days
    ninety: Days
    at_shop: Verdict
    at_home: Verdict
    home_dry: float
    home_wet: float
    distance: float
    to_home: Days | None
    room: str
    chart: Chart

    @property
    def home_mid(self) -> float:
        """The middle of the home's year."""
        return (self.home_dry + self.home_wet) / 2

    @property
    def from_shop(self) -> str:
        """How far the boards are from what the shop's air leads to."""
        return "the boards are there" if self.at_shop == "ready" else f"the boards are {self._from(self.shop)} it"

    @property
    def from_home(self) -> str:
        """Where the boards stand in the home's year."""
        if self.home_dry <= self.moisture <= self.home_wet:
            return "the boards are within it"
        end = self.home_wet if self.moisture > self.home_wet else self.home_dry
        allowed = f", within the {self.distance:g} % you allow" if self.at_home == "ready" else ""
        return f"the boards are {self._from(end)} it{allowed}"

    @property
    def from_mid(self) -> str:
        """Where the boards stand against the middle of the home's year, which a neutral fit is made at."""
        middle = f"the middle of the home's year, {self.home_mid:.1f} %"
        if abs(self.moisture - self.home_mid) < _NEAR:
            return f"They are at {middle}: fit them neutral."
        wants = (
            "swell, so leave the fits looser" if self.moisture < self.home_mid else "shrink, so make the fits tighter"
        )
        return f"They are {self._from(self.home_mid)} {middle}: they will mostly {wants}."

    def _from(self, value: float) -> str:
        side = "above" if self.moisture > value else "below"
        return f"{abs(self.moisture - value):.1f} % {side}"

    @property
    def ready(self) -> bool:
        """Settled in the shop, and within the home's year."""
        return self.at_shop == "ready" and self.at_home == "ready"

    @property
    def shop_suits(self) -> bool:
        """Whether boards that settle in the shop end within the home's year."""
        return self.home_dry - self.distance <= self.shop <= self.home_wet + self.distance

    @property
    def sentence(self) -> str:
        """What to do with the boards."""
        if self.ready:
            return f"The boards have settled in the shop and lie within the home's year: cut and fit. {self.from_mid}"
        if self.at_shop == "ready":
            middle = f"({self.home_mid:.1f} % is its middle)"
            told = f"The boards have settled in this shop but lie outside the home's year {middle}."
            if self.shop_suits:
                return f"{told} A little longer here will do."
            other = "Or size every fit for the swing from today."
            return f"{told} This shop's air does not lead there. {self.better_air} {other}"
        if self.shop_suits:
            return (
                f"The boards are {self.at_shop} for this shop and still moving: wait, or what you fit today will have "
                "changed before it is assembled."
            )
        if self._short(self.shop) > self._short(self.moisture):
            return (
                f"Do not wait here: this shop's air leads to {self.shop:.1f} %, further from the home's year than the "
                f"boards are now. {self.better_air}"
            )
        return (
            f"The boards are {self.at_shop} for this shop and still moving, but even settled here they would lie "
            f"outside the home's year. {self.better_air}"
        )

    @property
    def better_air(self) -> str:
        """The air that leads boards into the home's year, and how long they need in it."""
        found = survival.humidities(Span(self.home_dry, self.home_wet))
        span = humidities.words(found.low, found.high)
        way = "drier" if self.shop > self.home_wet else "damper"
        told = f"Bring them into {way} air"
        if span:
            told += f": {span} at {self.room} leads into the home's year"
        if self.to_home is not None and self.to_home.slow >= _HALF_A_DAY:
            told += f", in {self.to_home.fast:.0f} to {self.to_home.slow:.0f} days where the air leads to its middle"
        return f"{told}."

    def _short(self, moisture: float) -> float:
        """How far a moisture lies outside the home's year."""
        return max(self.home_dry - moisture, moisture - self.home_wet, 0.0)


@dataclass(frozen=True, slots=True)
class StockPage(AsksYear):
    """The context of stock.html. ``answer`` is None where something was refused."""

    form: Form
    year: AnyClimate | None = None
    answer: StockAnswer | None = None

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.answer is None:
            return self.form.doubt
        return f"{'Ready now' if self.answer.ready else 'Not yet'}: {self.answer.moisture:.1f} %."

    @property
    def gap_address(self) -> str:
        """The address of a panel of this stock for this home."""
        assert self.answer is not None
        told = {"unit": self.form.unit, "moisture_now": f"{self.answer.moisture:.1f}", **years.carried(self.form)}
        return f"/?{urlencode(told)}"

    @property
    def measured_by(self) -> Sequence[str]:
        """The fields of the chosen way to measure."""
        return _WEIGHED if self.form.fields["by"].value == "weight" else _METER

    @property
    def measures(self) -> Sequence[str]:
        """Every field of a measurement."""
        return (*_METER, *_WEIGHED)

    @property
    def oven(self) -> str:
        """What to mind when a sample is dried."""
        return cautions.OVEN

    @property
    def sources(self) -> Sequence[str]:
        """Where the numbers come from."""
        weighed = self.form.fields["by"].value == "weight"
        return (
            stock.SOURCE_OVEN if weighed else f"Meter: {sorption.SOURCE_METER}",
            f"Moisture that wood settles at: {sorption.SOURCE}. {sorption.NOTE_GENERIC}",
            f"Drying: linear diffusion through the thickness, {slab.SOURCE}. {slab.NOTE_DERIVED}",
        )


@router.get("/stock")
def show(request: Request) -> Response:
    """The page, or its sheet, for the address's board."""
    unit = unit_of(request)
    page = answer(request.query_params, unit, request.app.state.store)
    links = switch(request, unit, page.form)
    return render(request, "stock.html", page, unit=unit, unit_links=links, status=200 if page.form.ok else 422)


def answer(query: Mapping[str, str], unit: Unit, store: Store) -> StockPage:
    """Read the board, say when it is ready."""
    form = bind([*_specs(unit), *years.specs(store)], query, unit)
    weighed = form.values["by"] == "weight"
    for name in _METER if weighed else _WEIGHED:
        form.fields[name].error = ""
    for model in (Weighing if weighed else Reading, Drying):
        form.check(model)
    measured = form.build(Weighing) if weighed else form.build(Reading)
    if measured is None and form.general:
        form.fields["dry_weight" if weighed else "reading"].error = form.general.pop(0)
    faces = int(str(form.values["faces"] or 2))
    drying = form.build(Drying, faces=faces)
    year = years.build(form, store)
    if measured is None or drying is None or year is None or not form.ok:
        return StockPage(form, year)
    moisture = measured.moisture()
    if moisture > MOST_MOISTURE:
        message = (
            f"It comes to {moisture:.1f} % moisture content. Above {MOST_MOISTURE:g} % the wood is still wet: dry it "
            f"first, allowed here is 0 to {MOST_MOISTURE:g} %."
        )
        form.refuse(Refusal("weight_g" if weighed else "reading_pct", message))
        return StockPage(form, year)
    warnings = measured.warnings() if isinstance(measured, Reading) else []
    return StockPage(form, year, _answer(moisture, warnings, drying, year, Words(unit)))


def _answer(moisture: float, warnings: Sequence[str], drying: Drying, year: AnyClimate, words: Words) -> StockAnswer:
    air, home = drying.air_moisture(), year.year()
    middle, reach = (home.dry + home.wet) / 2, (home.wet - home.dry) / 2
    to_home = None
    if abs(moisture - middle) > reach:
        near = min(max(reach, stock.DISTANCE[0]), stock.DISTANCE[1])
        to_home = stock.days_to_settle(moisture, middle, drying.thickness_mm, near, drying.faces)
    half, ninety = stock.days_to_part(drying.thickness_mm, drying.faces)
    return StockAnswer(
        moisture,
        warnings,
        air,
        stock.days_to_settle(moisture, air, drying.thickness_mm, drying.distance_pct, drying.faces),
        half,
        ninety,
        stock.verdict(moisture, air, air, drying.distance_pct),
        stock.verdict(moisture, home.dry, home.wet, drying.distance_pct),
        home.dry,
        home.wet,
        drying.distance_pct,
        to_home,
        words.temperature(survival.ROOM),
        _chart(stock.approach(moisture, air, drying.thickness_mm, drying.faces), air, (home.dry, home.wet)),
    )


def _chart(found: Approach, air: float, home: tuple[float, float]) -> Chart:
    times = found.times.tolist()
    plot = Plot(
        "Mean moisture of the board, %",
        (
            Series(times, found.slow.tolist(), "second", "slowest"),
            Series(times, found.middle.tolist(), "", "middle"),
            Series(times, found.fast.tolist(), "third", "fastest"),
        ),
        (Level(air, f"air {air:.1f}"),),
        band=home,
        height=150.0,
    )
    every = charts.ticks(0.0, times[-1])
    head = ("Day", "Slowest %", "Middle %", "Fastest %")
    rows = tuple(
        (f"{day:.0f}", f"{slow:.1f}", f"{middle:.1f}", f"{fast:.1f}")
        for day, slow, middle, fast in zip(times, found.slow, found.middle, found.fast, strict=True)
    )
    words = (
        f"From {found.middle[0]:.1f} % the board heads for the shop air's {air:.1f} %; after {times[-1]:.0f} days even "
        f"the slowest wood has done nine tenths of it."
    )
    steps = [(day, f"{day:g} d") for day in every if 0 <= day <= times[-1]]
    return charts.chart(
        [plot], (0.0, times[-1]), steps, "The board on its way to the shop's air", words, Table(head, rows[::6])
    )
