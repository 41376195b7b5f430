"""One panel in one frame: the first page. Nothing is kept; the address is the whole question."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement import lengths
from movement.fits.panel import HOLDS
from movement.lengths import Unit
from movement.parts import panel
from movement.parts.base import StockFields
from movement.parts.climates import AnyClimate
from movement.parts.panel import PanelRequest, PanelResult
from webapp import drawings, years
from webapp.drawings import EdgeDrawing
from webapp.forms import Form, Spec, bind, with_options
from webapp.library import all_species, chosen_species
from webapp.render import Link, render, switch, unit_of
from webapp.store import Store

router = APIRouter()

_IN = {
    "sight_width": '12"',
    "least_engagement": '5/32"',
    "least_gap": '1/32"',
    "making_tolerance": '1/64"',
    "tongue_thickness": '1/4"',
    "end_play": '1/32"',
    "cutter_step": '1/32"',
    "width_step": str(lengths.STEPS["in"][1]),
}


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


def _specs(unit: Unit) -> tuple[Spec, ...]:
    specs = (
        Spec("species", "Species", "species", default="Cherry, black", hint="Any part of a common or botanical name."),
        Spec(
            "ring_angle",
            "Ring angle",
            "number",
            "ring_angle_deg",
            "0",
            "Between the growth rings and the wide face, seen on the end grain: 0 flat-sawn, 45 rift, 90 quarter-sawn.",
            "°",
        ),
        Spec(
            "sight_width",
            "Sight width",
            "length",
            "sight_width_mm",
            "300",
            "Across the grain, between the frame's inner edges.",
        ),
        Spec(
            "sight_height",
            "Sight height",
            "length",
            "sight_height_mm",
            "",
            "Along the grain; leave blank if you only want the width.",
        ),
        Spec(
            "moisture_now",
            "Moisture of the panel today",
            "number",
            "moisture_now_pct",
            "8",
            "Meter reading, corrected.",
            "%",
        ),
        Spec(
            "hold",
            "How the panel is kept",
            "choice",
            default="centred",
            hint="Centred: pinned at mid-width or on spacers. Loose: free to slide. One edge: fixed along one edge.",
            options=tuple((hold, hold.capitalize()) for hold in HOLDS),
        ),
        Spec(
            "groove_depth",
            "Groove depth",
            "length",
            "groove_depth_mm",
            "",
            "Leave blank to be told the shallowest that works.",
        ),
        Spec(
            "panel_width",
            "Panel width today",
            "length",
            "panel_width_mm",
            "",
            "Leave blank to be told; fill in to check a panel that is made.",
        ),
        Spec("cutter_step", "Groove depths in steps of", "length", "cutter_step_mm", "1"),
        Spec(
            "cutter_depths",
            "Or only these depths",
            "lengths",
            "cutter_depths_mm",
            "",
            "Parted by semicolons, if your cutters make only certain depths.",
        ),
        Spec(
            "least_engagement",
            "Least engagement",
            "length",
            "least_engagement_mm",
            "4",
            "Kept at each edge in the driest season. About 3 mm (1/8 in) is common practice, no source.",
        ),
        Spec("least_gap", "Least gap", "length", "least_gap_mm", "0.5", "Left at each edge in the wettest season."),
        Spec(
            "making_tolerance",
            "Making tolerance",
            "length",
            "making_tolerance_mm",
            "0.5",
            "How far off the panel's width may come, either way.",
        ),
        Spec(
            "fixed_engagement",
            "Engagement of the fixed edge",
            "length",
            "fixed_engagement_mm",
            "",
            "Only for hold “one edge”; blank is the least engagement.",
        ),
        Spec(
            "tongue_thickness",
            "Thickness of the panel's edge",
            "length",
            "tongue_thickness_mm",
            "6",
            "What sits in the groove: it swells too.",
        ),
        Spec("end_play", "End play", "length", "end_play_mm", "1", "Room at each end, along the grain."),
        Spec(
            "width_step",
            "Round the width to",
            "choice",
            "width_step",
            "0.5",
            options=tuple((f"{step:.12g}", lengths.step_label(step, unit)) for step in lengths.STEPS[unit]),
        ),
    )
    if unit == "mm":
        return specs
    defaults = _IN | {"width_step": f"{lengths.STEPS['in'][1]:.12g}"}
    return tuple(
        Spec(
            one.name, one.label, one.kind, one.key, defaults.get(one.name, one.default), one.hint, one.unit, one.options
        )
        for one in specs
    )


@dataclass(frozen=True, slots=True)
class GapPage:
    """The context of gap.html. ``result`` and ``drawing`` are None where something was refused."""

    form: Form
    unit: Unit
    year: AnyClimate | None = None
    result: PanelResult | None = None
    drawing: EdgeDrawing | None = None
    notes: Sequence[str] = ()

    def say(self, length: float) -> str:
        """A length in the page's unit, to 0.1 mm or 1/64 in."""
        return lengths.show(length, self.unit, lengths.STEPS[self.unit][0])

    def say_signed(self, length: float) -> str:
        """A length with its sign."""
        return lengths.show_signed(length, self.unit, lengths.STEPS[self.unit][0])

    def say_fine(self, length: float) -> str:
        """A small length, as a decimal in either unit."""
        return f"{length:.2f} mm" if self.unit == "mm" else f'{length / lengths.INCH:.3f}"'

    @property
    def year_shown(self) -> Sequence[str]:
        """The fields of the chosen way to tell the year."""
        return years.FIELDS.get(self.form.fields["year"].value, ())

    @property
    def year_fields(self) -> Sequence[str]:
        """Every field of the year, in order."""
        return years.NAMES

    @property
    def details_open(self) -> bool:
        """Whether one of the folded fields was filled in or refused."""
        return any(
            self.form.fields[name].error or (name in _OPENERS and self.form.fields[name].value) for name in _FOLDED
        )

    @property
    def year_words(self) -> str:
        """One line on the year."""
        return years.words(self.year) if self.year else ""

    @property
    def sources(self) -> Sequence[str]:
        """Where the numbers come from."""
        if self.result is None or self.year is None:
            return ()
        return (*self.result.sources, *self.year.year().sources)

    @property
    def gap_name(self) -> str:
        """What the gap today is the gap of."""
        return "Gap today, moving edge" if self._hold == "one edge" else "Gap today, each edge"

    @property
    def gap_remark(self) -> str:
        """What else to know of the gap."""
        if self.result is not None and self.result.fixed_engagement_mm is not None:
            return f"fixed edge {self.say(self.result.fixed_engagement_mm)} deep in its groove"
        return "with the panel centred" if self._hold == "loose" else ""

    @property
    def edge_name(self) -> str:
        """The drawing's heading."""
        if self._hold == "loose":
            return "An edge in its groove (engaged: the panel slid to the other side)"
        return "The moving edge in its groove" if self._hold == "one edge" else "Each edge in its groove"

    @property
    def sentence(self) -> str:
        """The bias in words."""
        result = self.result
        if result is None:
            return ""
        now, mid = f"{result.moisture_now_pct:.1f} %", f"{result.moisture_mid_pct:.1f} %"
        if result.bias == "neutral":
            return f"Today's moisture ({now}) is the middle of what it will meet: fit it neutral."
        drier, wants = ("drier", "swell") if result.bias == "looser" else ("wetter", "shrink")
        return (
            f"Leave it {self.say(abs(result.bias_mm))} {result.bias} per edge than a neutral fit: at {now} the panel "
            f"is {drier} than the middle of its year ({mid}) and will mostly {wants}."
        )

    @property
    def states(self) -> Sequence[tuple[str, float, float, float, float]]:
        """Name, moisture [%], width, gap and engagement [mm] of every state."""
        r = self.result
        if r is None:
            return ()
        mid_width = r.panel_width_mm + (r.gap_now_mm - r.gap_mid_mm) * (1 if self._hold == "one edge" else 2)
        shift = r.engagement_now_mm - (r.gap_mid_mm - r.gap_now_mm) * (2 if self._hold == "loose" else 1)
        return (
            ("Today", r.moisture_now_pct, r.panel_width_mm, r.gap_now_mm, r.engagement_now_mm),
            ("Neutral", r.moisture_mid_pct, mid_width, r.gap_mid_mm, shift),
            ("Driest", r.moisture_dry_pct, r.width_dry_mm, r.gap_dry_mm, r.engagement_dry_mm),
            ("Wettest", r.moisture_wet_pct, r.width_wet_mm, r.gap_wet_mm, r.engagement_wet_mm),
        )

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.result is None:
            return f"{len(self.form.errors)} entries need another look."
        fits = "It fits" if self.result.fits else "It does not fit"
        groove, width = self.say(self.result.groove_depth_mm), self.say(self.result.panel_width_mm)
        return f"{fits}: groove {groove}, panel {width} wide."

    @property
    def _hold(self) -> str:
        return self.result.hold if self.result else ""


@router.get("/")
def show(request: Request) -> Response:
    """The page, or its sheet, for the address's question."""
    unit = unit_of(request)
    store: Store = request.app.state.store
    page = answer(request.query_params, unit, store)
    links: Sequence[Link] = switch(request, unit, page.form)
    return render(request, "gap.html", page, unit=unit, unit_links=links, status=200 if page.form.ok else 422)


def answer(query: Mapping[str, str], unit: Unit, store: Store) -> GapPage:
    """Read the question, size the panel."""
    species = [(one.name, one.botanical_name) for one in all_species(store)]
    specs = [with_options(one, species) if one.kind == "species" else one for one in _specs(unit)]
    form = bind([*specs, *years.specs(store)], query, unit)
    form.check(PanelRequest)
    species_named = chosen_species(store, str(form.values["species"] or ""))
    form.build(StockFields, species=species_named)
    year = years.build(form, store)
    request = None
    if year is not None and form.ok:
        step = float(str(form.values["width_step"]))
        request = form.build(PanelRequest, climate=year, species=species_named, width_step_mm=step)
    if request is None or year is None:
        return GapPage(form, unit, year)
    bench = request.bench(say=partial(lengths.show, unit=unit, step=lengths.STEPS[unit][0]))
    result = panel.result(request, request.hold, request.groove_depth_mm, bench)
    drawing = drawings.edge(result, request.tongue_thickness_mm or _TONGUE)
    return GapPage(form, unit, year, result, drawing, (*bench.wood.species.notes, *year.year().notes))
