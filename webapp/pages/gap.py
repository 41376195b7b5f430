"""One panel in one frame: the first page. Nothing is kept; the address is the whole question."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement.errors import RangeError
from movement.exposure import Exposure
from movement.lengths import Unit
from movement.parts import panel
from movement.parts.base import StockFields
from movement.parts.climates import AnyClimate
from movement.parts.panel import PanelRequest, PanelResult
from movement.season import Season
from webapp import courses, doubts, drawings, following, panel_fields, rounding, strays, woods, years
from webapp.asking import AsksSureness, kept_at
from webapp.charts import Chart
from webapp.doubts import Outlook
from webapp.drawings import EdgeDrawing
from webapp.forms import Form, Option, bind
from webapp.library import Shelf
from webapp.render import is_partial, recall, render, switch, unit_of
from webapp.store import Store
from webapp.words import Words

router = APIRouter()

_FOLDED = (
    "groove_depth",
    "panel_width",
    "cutter_step",
    "cutter_depths",
    "least_engagement",
    "least_gap",
    "making_tolerance",
    "fixed_engagement",
    "tongue_thickness",
    "end_play",
    "width_step",
)
_OPENERS = ("groove_depth", "panel_width", "cutter_depths", "fixed_engagement")
_TONGUE = 6.0
"""Thickness of the edge where none is given [mm]; only for the drawing."""


@dataclass(frozen=True, slots=True)
class GapPage(AsksSureness):
    """The context of gap.html.

    ``result``, ``drawing``, ``chart`` and ``asked`` are None where something was refused; ``late`` tells what following
    the air late has changed; ``query`` is the question as typed.
    """

    form: Form
    unit: Unit
    species: Sequence[Option] = ()
    year: AnyClimate | None = None
    result: PanelResult | None = None
    drawing: EdgeDrawing | None = None
    notes: Sequence[str] = ()
    chart: Chart | None = None
    late: str = ""
    outlook: Outlook | None = None
    stray: str = ""
    asked: PanelRequest | None = None
    query: Mapping[str, str] = field(default_factory=dict)

    @property
    def deeper(self) -> tuple[str, str] | None:
        """How deep the next groove is that takes a width in whole steps, and its address; None where none is wanted."""
        roomier = self.result.roomier_groove_depth_mm if self.result else None
        if roomier is None:
            return None
        asked = dict(self.query) | {"groove_depth": self.words.entered(roomier)}
        return rounding.exact(roomier, self.words), f"/?{urlencode(asked)}"

    @property
    def words(self) -> Words:
        """Writes lengths in the page's unit."""
        return Words(self.unit)

    @property
    def groove(self) -> str:
        """How deep the groove is; as exactly as a cutter is set."""
        return rounding.exact(self.result.groove_depth_mm, self.words) if self.result else ""

    @property
    def width(self) -> str:
        """The panel's width, finer than the page's step where rounding to that would leave the allowed range."""
        return rounding.width(self.result).said(self.words) if self.result else ""

    @property
    def gap(self) -> str:
        """The gap to leave today, written alike."""
        return rounding.gaps(self.result, self.words)[0] if self.result else ""

    @property
    def width_remark(self) -> str:
        """The widths that work."""
        result = self.result
        if result is None:
            return ""
        low, high = result.panel_width_min_mm, result.panel_width_max_mm
        if low > high:
            return "no width works in this groove; this one comes nearest"
        return self.words.works(low, high)

    @property
    def width_name(self) -> str:
        """What the width of the answer is: the one to cut, or that of a panel that is made."""
        return "Panel width today" if self.form.fields["panel_width"].value else "Width to cut"

    @property
    def details_open(self) -> bool:
        """Whether one of the folded fields was filled in or refused."""
        return any(
            self.form.fields[name].error or (name in _OPENERS and self.form.fields[name].value) for name in _FOLDED
        )

    @property
    def chart_caption(self) -> str:
        """What to know of the chart of a panel that follows late."""
        return following.CAPTION if self.late else ""

    @property
    def caution(self) -> str:
        """What to know of a panel that follows late."""
        return following.CAUTION

    @property
    def sources(self) -> Sequence[str]:
        """Where the numbers come from."""
        if self.result is None or self.year is None:
            return ()
        return (*self.result.sources, *self.year.year().sources, *(following.sources() if self.late else ()))

    @property
    def gap_name(self) -> str:
        """What the gap today is the gap of."""
        return "Gap today, moving edge" if self._hold == "one edge" else "Gap today, each edge"

    @property
    def gap_remark(self) -> str:
        """What else to know of the gap."""
        if self.result is not None and self.result.fixed_engagement_mm is not None:
            return f"fixed edge {self.words.say(self.result.fixed_engagement_mm)} deep in its groove"
        return "with the panel centred" if self._hold == "loose" else ""

    @property
    def edge_name(self) -> str:
        """The drawing's heading."""
        return "The moving edge in its groove" if self._hold == "one edge" else "Each edge in its groove"

    @property
    def sentence(self) -> str:
        """The bias in words; nothing where there is no fit to set."""
        result = self.result
        if result is None or not result.fits:
            return ""
        now, mid = f"{result.moisture_now_pct:.1f} %", f"{result.moisture_mid_pct:.1f} %"
        if result.bias == "neutral":
            return f"Today's moisture ({now}) is near the middle of what it will meet ({mid}): fit it neutral."
        drier, wants = ("drier", "swell") if result.bias == "looser" else ("wetter", "shrink")
        return (
            f"Leave it {self.words.size(result.bias_mm)} {result.bias} per edge than a neutral fit: at {now} the "
            f"panel is {drier} than the middle of what it will meet ({mid}) and will mostly {wants}."
        )

    @property
    def states(self) -> Sequence[tuple[str, float, str, str, str]]:
        """Name, moisture [%], and in words the width, gap and engagement of every state."""
        r = self.result
        if r is None:
            return ()
        mid_width = r.panel_width_mm + (r.gap_now_mm - r.gap_mid_mm) * (1 if self._hold == "one edge" else 2)
        shift = r.engagement_now_mm - (r.gap_mid_mm - r.gap_now_mm) * (2 if self._hold == "loose" else 1)
        words = self.words
        today, *others = rounding.states(r, words)
        neutral = ("Neutral", r.moisture_mid_pct, words.say(mid_width), words.room(r.gap_mid_mm), words.room(shift))
        return (today, neutral, *others)

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.result is None:
            return self.form.doubt
        fits = "It fits" if self.result.fits else "It does not fit"
        return f"{fits}: groove {self.groove}, panel {self.width} wide."

    @property
    def keep(self) -> str:
        """Where the panel is kept in a piece."""
        return kept_at("panel", self.query)

    @property
    def _hold(self) -> str:
        return self.result.hold if self.result else ""


@router.get("/")
async def show(request: Request) -> Response:
    """The page, or its sheet, for the address's question."""
    unit = unit_of(request)
    return await recall(request, unit, lambda known: _answered(request, unit, known))


def _answered(request: Request, unit: Unit, known: Shelf) -> Response:
    page = answer(request.query_params, unit, known, () if is_partial(request) else known.names)
    links = switch(request, unit, page.form, steps=("width_step",))
    return render(request, "gap.html", page, unit=unit, unit_links=links, status=200 if page.form.ok else 422)


def answer(query: Mapping[str, str], unit: Unit, store: Store | Shelf, species: Sequence[Option] = ()) -> GapPage:
    """Read the question, size the panel."""
    form = bind([*panel_fields.specs(unit), *years.specs(store), *following.specs(unit), *doubts.specs()], query, unit)
    following.settle(form)
    form.check(PanelRequest, "climate")
    chosen = woods.chosen(form, store)
    form.build(StockFields, species=chosen, ring_angle_deg=0.0)
    year, sure = years.build(form, store), doubts.build(form)
    if year is None or sure is None or not form.ok:
        return GapPage(form, unit, species, year)
    step = float(str(form.values["width_step"]))
    request = form.build(PanelRequest, climate=year, species=chosen, width_step_mm=step, **sure)
    if request is None:
        return GapPage(form, unit, species, year)
    say = Words(unit).bench
    bench = request.bench(say=say)
    try:
        result = panel.result(request, request.hold, request.groove_depth_mm, bench)
    except RangeError as error:
        form.refuse_range(error, PanelRequest)
        return GapPage(form, unit, species, year)
    drawing = drawings.edge(result, request.tongue_thickness_mm or _TONGUE, unit, say)
    exposure = Exposure(year.year(), request.section())
    season = Season(result.moisture_now_pct, result.moisture_dry_pct, result.moisture_wet_pct)
    return GapPage(
        form,
        unit,
        species,
        year,
        result,
        drawing,
        (*bench.wood.species.notes, *year.year().notes),
        courses.year(exposure.band(season.now), season),
        following.words(season, exposure.climate, exposure.section),
        doubts.outlook(request, result, doubts.helped(request, bench, Words(unit))),
        strays.told(request.moisture_now_pct, year),
        request,
        query,
    )
