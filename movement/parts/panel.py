"""A panel as it is described and as it comes back, sized."""

from typing import Annotated

from pydantic import BaseModel, Field

from movement import swelling
from movement.fits import chance, panel, remedy
from movement.fits.chance import Case
from movement.fits.panel import Hold, PanelFit
from movement.parts import answers
from movement.parts.base import (
    Bench,
    ClearanceFields,
    CutterFields,
    GrooveDepth,
    PanelHold,
    PanelWidth,
    SeasonFields,
    SightWidth,
    SizeStep,
    StockFields,
)
from movement.parts.fields import Described, bounded, told
from movement.parts.spread import ConfidenceFields

SIGHT_HEIGHT = (10.0, 3000.0)
"""Sight height of a panel, along its grain [mm]; project limit, no source."""
TONGUE_THICKNESS = (1.0, 50.0)
"""Thickness of the edge that sits in the groove [mm]; project limit, no source."""
END_PLAY = (0.0, 25.0)
"""Room left at each end, along the grain [mm]; project limit, no source."""

SightHeight = Annotated[
    float,
    bounded(
        SIGHT_HEIGHT, "mm", "Visible opening between the frame's inner edges, along the grain; null: no length is told"
    ),
]
TongueThickness = Annotated[
    float, bounded(TONGUE_THICKNESS, "mm", "Thickness of the panel's edge that sits in the groove")
]
EndPlay = Annotated[float, bounded(END_PLAY, "mm", "Room at each end of the panel, along the grain")]

SOURCE_RULES = "Rules of fit: derived here from the geometry of the groove; neutral fit near mid: Peck, FPL Report 1655"


class PanelNeeds(Described):
    """The dimensions of one panel in its frame."""

    sight_width_mm: SightWidth
    sight_height_mm: SightHeight | None = None
    tongue_thickness_mm: TongueThickness | None = None
    end_play_mm: EndPlay = 1.0
    panel_width_mm: PanelWidth | None = None


class PanelRequest(StockFields, SeasonFields, ClearanceFields, CutterFields, ConfidenceFields, PanelNeeds):
    """One panel with its stock, its year and its groove: the body of ``POST /api/v1/panel``."""

    hold: PanelHold = "centred"
    groove_depth_mm: Annotated[
        GrooveDepth | None, told("Groove depth to check the panel in; null: it is recommended", "mm")
    ] = None
    width_step_mm: SizeStep | None = None

    def bench(self, **more: object) -> Bench:
        """What the panel is sized from; more replaces fields of the `Bench`."""
        fields = {
            "wood": self.wood(),
            "season": self.season(),
            "clearances": self.clearances(),
            "cutter": self.cutter(),
            "width_step": self.width_step_mm,
        }
        return Bench(**(fields | self.sureness() | more))  # type: ignore[arg-type]


class PanelResult(BaseModel):
    """A panel, sized; gaps and engagement are those of the edge that moves.

    For hold ``loose`` the gap is per edge as if the panel stood centred, and the engagement is the worst case: the
    panel slid wholly into the other groove. With a confidence, dry and wet are the seasons widened for it. The chances
    are estimates, of one year: that no gap is left, and that no engagement is.
    """

    fits: answers.Fits
    hold: Annotated[Hold, told("How the panel is kept")]
    sight_width_mm: Annotated[float, told("Sight width, as it was asked", "mm")]
    groove_depth_mm: Annotated[float, told("Groove depth: as asked, or the shallowest of the shop's that serves", "mm")]
    least_groove_depth_mm: Annotated[float, told("Least groove depth that would serve", "mm")]
    roomier_groove_depth_mm: Annotated[
        float | None,
        told(
            "Next groove of the shop's that takes a width in whole steps; null: this one does, or none is asked", "mm"
        ),
    ]
    panel_width_mm: Annotated[float, told("Width to cut the panel to today", "mm")]
    panel_width_min_mm: Annotated[float, told("Least width that works today", "mm")]
    panel_width_max_mm: Annotated[float, told("Greatest width that works today", "mm")]
    panel_length_mm: Annotated[
        float | None, told("Length to cut the panel to, along the grain; null: no sight height was told", "mm")
    ]
    gap_now_mm: answers.GapNow
    gap_mid_mm: answers.GapMid
    gap_dry_mm: answers.GapDry
    gap_wet_mm: answers.GapWet
    engagement_now_mm: answers.EngagementNow
    engagement_dry_mm: answers.EngagementDry
    engagement_wet_mm: answers.EngagementWet
    fixed_engagement_mm: Annotated[float | None, told("Engagement of the edge that is fixed; null: none is", "mm")]
    width_dry_mm: answers.WidthDry
    width_wet_mm: answers.WidthWet
    margin_dry_mm: Annotated[
        float, told("Width to spare of the panel before it is held too little when driest; negative: it lacks it", "mm")
    ]
    margin_wet_mm: Annotated[
        float, told("Width to spare of the panel before its gap is too small when wettest; negative: it is over", "mm")
    ]
    bias_mm: answers.Bias
    bias: answers.BiasWord
    chance_binds_pct: Annotated[float, told("Chance that no gap is left in a year, by this estimate", "%")]
    chance_comes_out_pct: Annotated[float, told("Chance that no engagement is left in a year, by this estimate", "%")]
    thickness_play_mm: Annotated[
        float | None,
        told("How much wider than the panel's edge today the groove must be; null: its thickness is not told", "mm"),
    ]
    length_change_mm: Annotated[
        float | None, told("Change of length along the grain from driest to wettest; null: no length is told", "mm")
    ]
    moisture_now_pct: answers.MoistureNow
    moisture_dry_pct: answers.MoistureDry
    moisture_mid_pct: answers.MoistureMid
    moisture_wet_pct: answers.MoistureWet
    coefficient_across: answers.CoefficientAcross
    coefficient_through: answers.CoefficientThrough
    advice: answers.Advice
    notes: answers.Notes = Field(default_factory=list)
    sources: answers.Sources


def fit(needs: PanelNeeds, hold: Hold, groove: float | None, bench: Bench) -> PanelFit:
    """The panel's fit by the rules of its hold."""
    return panel.fit(
        needs.sight_width_mm,
        hold,
        bench.ratios(bench.season, bench.wood),
        bench.clearances,
        bench.cutter,
        groove,
        needs.panel_width_mm,
        bench.width_step,
    )


def case(found: PanelFit, bench: Bench) -> Case:
    """A panel as sized, with what is in doubt about it."""
    return chance.case(
        found.sight_width,
        found.groove,
        found.width,
        found.hold,
        found.clearances,
        bench.wood,
        bench.season,
        bench.spread,
    )


def groove_asked(needs: PanelNeeds, hold: Hold, bench: Bench) -> float:
    """The shallowest of the shop's grooves that serves the panel, its deepest where none does [mm]."""
    ratios = bench.ratios(bench.season, bench.wood)
    return panel.recommended_groove(
        needs.sight_width_mm, hold, ratios, bench.clearances, bench.cutter, needs.panel_width_mm
    )


def length_to_cut(needs: PanelNeeds, groove: float) -> float | None:
    """The panel's length along the grain [mm]: sight height plus both grooves less the end play at each end."""
    if needs.sight_height_mm is None:
        return None
    return needs.sight_height_mm + 2 * (groove - needs.end_play_mm)


def ends_advice(needs: PanelNeeds, groove: float, bench: Bench) -> tuple[str, ...]:
    """What the maker must know of the panel's ends, where its length is told."""
    length, play, keep = length_to_cut(needs, groove), needs.end_play_mm, bench.clearances.engagement
    if length is None:
        return ()
    told = []
    if groove <= play:
        told.append(
            f"With {bench.say(play)} of end play in a groove of {bench.say(groove)} the panel's ends stand outside "
            "their grooves: leave less end play, or cut the groove deeper."
        )
    elif groove - play < keep:
        told.append(
            f"With {bench.say(play)} of end play the panel's ends sit only {bench.say(groove - play)} deep, less than "
            f"the {bench.say(keep)} of engagement asked for: leave less end play, or cut the groove deeper."
        )
    growth = float(swelling.length_change(length, bench.season.now, bench.season.wet))
    if growth > 2 * play:
        told.append(
            f"Along its grain the panel can grow by {bench.say(growth, direction='up')}, more than its end play at "
            "both ends together."
        )
    return tuple(told)


def thickness_play(needs: PanelNeeds, bench: Bench) -> float | None:
    """How much wider than the edge is today its groove must be [mm], for the edge to swell in it."""
    if needs.tongue_thickness_mm is None:
        return None
    return needs.tongue_thickness_mm * (bench.through(bench.season, bench.wood).wet - 1)


def result(needs: PanelNeeds, hold: Hold, groove: float | None, bench: Bench) -> PanelResult:
    """Size a panel and say all that a page or the JSON API shows of it.

    Raises
    ------
    RangeError
        A length out of range.
    """
    found, tried = fit(needs, hold, groove, bench), _tried(bench)
    wider = remedy.roomier(found, tried)
    season, ratios = bench.season, found.ratios
    risk = chance.alone(case(found, bench))
    length = length_to_cut(needs, found.groove)
    along = None if length is None else float(swelling.length_change(length, season.dry, season.wet))
    return PanelResult(
        fits=found.fits,
        hold=hold,
        sight_width_mm=found.sight_width,
        groove_depth_mm=found.groove,
        least_groove_depth_mm=found.least_groove,
        roomier_groove_depth_mm=None if wider is None else wider.groove,
        panel_width_mm=found.width,
        panel_width_min_mm=found.narrowest,
        panel_width_max_mm=found.widest,
        panel_length_mm=length,
        gap_now_mm=found.gap_at(1.0),
        gap_mid_mm=found.gap_at(ratios.mid),
        gap_dry_mm=found.gap_at(ratios.dry),
        gap_wet_mm=found.gap_at(ratios.wet),
        engagement_now_mm=found.engagement_at(1.0),
        engagement_dry_mm=found.engagement_at(ratios.dry),
        engagement_wet_mm=found.engagement_at(ratios.wet),
        fixed_engagement_mm=found.clearances.fixed if hold == "one edge" else None,
        width_dry_mm=found.width_dry,
        width_wet_mm=found.width_wet,
        margin_dry_mm=found.margin_dry,
        margin_wet_mm=found.margin_wet,
        bias_mm=found.bias,
        bias=found.bias_word,
        chance_binds_pct=100 * risk.binds,
        chance_comes_out_pct=100 * risk.comes_out,
        thickness_play_mm=thickness_play(needs, bench),
        length_change_mm=along,
        moisture_now_pct=season.now,
        moisture_dry_pct=season.dry,
        moisture_mid_pct=season.mid,
        moisture_wet_pct=season.wet,
        coefficient_across=bench.wood.across,
        coefficient_through=bench.wood.through,
        advice=[*remedy.advice(found, tried, bench.say, wider), *ends_advice(needs, found.groove, bench)],
        sources=[*bench.sources, swelling.SOURCE, SOURCE_RULES],
    )


def _tried(bench: Bench) -> remedy.Bench:
    return remedy.Bench(bench.wood, bench.season, bench.cutter, bench.ratios, bench.width_step)
