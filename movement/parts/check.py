"""A panel that exists already, and the months in which one is best fitted, as they are described and answered."""

from typing import Annotated, Self

from pydantic import BaseModel, model_validator

from movement import sorption
from movement.errors import require_range
from movement.fits import months, standing
from movement.fits.panel import GAP, NEUTRAL, PANEL_WIDTH, PanelFit
from movement.fits.standing import Action
from movement.parts import answers, panel
from movement.parts.base import (
    Bench,
    ClearanceFields,
    GrooveDepth,
    Moisture,
    PanelHold,
    PanelWidth,
    SeasonFields,
    SightWidth,
    StockFields,
    Tolerance,
)
from movement.parts.climates import AirState, AnyClimate
from movement.parts.fields import bounded, told
from movement.parts.panel import PanelRequest, PanelResult
from movement.parts.spread import ConfidenceFields
from movement.season import Season

MeasuredGap = Annotated[float, bounded(GAP, "mm", "Gap measured today, at an edge that moves")]
Within = Annotated[float, bounded(months.WITHIN, "mm", "Bias that a month may need and still suit")]


class CheckRequest(StockFields, SeasonFields, ClearanceFields, ConfidenceFields):
    """A panel as measured: the body of ``POST /api/v1/check``.

    Its width today or its gap today; its moisture content today, or the air of the room that it has settled in.
    """

    hold: PanelHold = "centred"
    sight_width_mm: SightWidth
    groove_depth_mm: GrooveDepth
    panel_width_mm: Annotated[
        PanelWidth | None, told("Width of the panel as measured today; null where the gap is told", "mm")
    ] = None
    gap_now_mm: Annotated[MeasuredGap | None, told("Gap as measured today; null where the width is told", "mm")] = None
    moisture_now_pct: Annotated[
        Moisture | None, told("Moisture content as measured today; null where the room's air is told", "%")
    ] = None  # type: ignore[assignment]
    air_now: Annotated[
        AirState | None, told("Air of the room that the panel has settled in; null where its moisture is told")
    ] = None
    making_tolerance_mm: Tolerance = 0.0

    @model_validator(mode="after")
    def _measured_once(self) -> Self:
        if (self.panel_width_mm is None) == (self.gap_now_mm is None):
            raise ValueError("Give the panel's width today or its gap today, one of the two.")
        require_range("panel width", self.width, *PANEL_WIDTH, "mm")
        return self

    @property
    def moisture_now(self) -> float:
        """The moisture content today [% MC]: as measured, or where the room's air lets wood settle."""
        if (self.moisture_now_pct is None) == (self.air_now is None):
            raise ValueError("Give the moisture content today or the room's air, one of the two.")
        if self.air_now is None:
            assert self.moisture_now_pct is not None
            return self.moisture_now_pct
        return float(sorption.equilibrium_moisture(self.air_now.temperature_c, self.air_now.humidity_pct))

    def season(self, now: float | None = None) -> Season:
        """The part's season from today on."""
        return super().season(self.moisture_now if now is None else now)

    @property
    def width(self) -> float:
        """The panel's width today [mm]."""
        if self.panel_width_mm is not None:
            return self.panel_width_mm
        assert self.gap_now_mm is not None
        return standing.width_from_gap(
            self.sight_width_mm, self.groove_depth_mm, self.gap_now_mm, self.hold, self.clearances().fixed
        )

    def bench(self, **more: object) -> Bench:
        """What the panel is judged from; more replaces fields of the `Bench`."""
        mine = {"wood": self.wood(), "season": self.season(), "clearances": self.clearances()}
        return Bench(**(mine | self.sureness() | more))  # type: ignore[arg-type]


class CheckResult(BaseModel):
    """Where a panel stands, and what to do about it.

    ``action`` is ``leave``, ``plane``, ``pin``, ``widen`` or ``deepen``; ``plane_off_mm`` gives even margins;
    ``rebias_mm`` is what the gap today lacks of ``gap_wanted_now_mm``, the one with even margins.
    """

    action: Annotated[Action, told("What to do: leave, plane, pin at mid-width, widen, or deepen the groove")]
    plane_off_mm: Annotated[float, told("What to plane off for even margins; 0: nothing", "mm")]
    gap_wanted_now_mm: Annotated[float, told("Gap today that even margins would have", "mm")]
    rebias_mm: Annotated[float, told("What the gap today lacks of that; negative: it should be tighter", "mm")]
    panel: Annotated[PanelResult, told("The panel as it stands")]


def check(asked: CheckRequest, bench: Bench) -> CheckResult:
    """Where an existing panel stands today, when dry and when wet.

    Raises
    ------
    RangeError
        A length out of range.
    """
    needs = panel.PanelNeeds(sight_width_mm=asked.sight_width_mm, panel_width_mm=asked.width)
    found = standing.standing(panel.fit(needs, asked.hold, asked.groove_depth_mm, bench))
    return CheckResult(
        action=found.action,
        plane_off_mm=found.off,
        gap_wanted_now_mm=found.gap_wanted,
        rebias_mm=found.bias,
        panel=panel.result(needs, asked.hold, asked.groove_depth_mm, bench),
    )


class MonthsRequest(PanelRequest):
    """A panel to be cut of stock that settles in the shop: the body of ``POST /api/v1/months``.

    ``climate`` (or dry and wet) is the home's, ``shop`` the shop's.
    """

    shop: Annotated[AnyClimate, told("The air of a year in the shop where the stock settles")]
    within_mm: Within = NEUTRAL


class MonthResult(BaseModel):
    """A month: the stock's moisture content, how far that is from mid, the bias, and whether it suits."""

    moisture_pct: Annotated[float, told("Moisture content of the stock in this month", "%")]
    from_mid_pct: Annotated[float, told("How far that is above mid, in points of moisture content", "%")]
    bias_mm: answers.Bias
    suits: Annotated[bool, told("Whether the bias is within what was asked for")]


class MonthsResult(BaseModel):
    """Stock as it is today, and settled in the shop from January to December."""

    now: Annotated[MonthResult, told("The stock as it is today")]
    months: Annotated[list[MonthResult], told("The stock settled in the shop, January first")]


def suited(asked: MonthsRequest) -> MonthsResult:
    """The months in which a panel can be fitted without bias.

    Raises
    ------
    RangeError
        The shop's air too dry or too damp for stock to be fitted.
    """

    def fitted(moisture: float) -> tuple[Season, PanelFit]:
        season = asked.season(moisture)
        return season, panel.fit(asked, asked.hold, asked.groove_depth_mm, asked.bench(season=season))

    moistures = (asked.moisture_now_pct, *asked.shop.year().moisture)
    now, *year = (
        MonthResult(moisture_pct=month.moisture, from_mid_pct=month.from_mid, bias_mm=month.bias, suits=month.suits)
        for month in months.months(moistures, fitted, asked.within_mm)
    )
    return MonthsResult(now=now, months=year)
