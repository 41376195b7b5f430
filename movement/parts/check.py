"""A panel that exists already, and the months in which one is best fitted, as they are described and answered."""

from typing import Annotated, Self

from pydantic import BaseModel, model_validator

from movement import sorption
from movement.errors import require_range
from movement.fits import months, standing
from movement.fits.panel import GAP, NEUTRAL, PANEL_WIDTH, Hold, PanelFit
from movement.fits.standing import Action
from movement.parts import panel
from movement.parts.base import (
    Bench,
    ClearanceFields,
    GrooveDepth,
    Moisture,
    PanelWidth,
    SeasonFields,
    SightWidth,
    StockFields,
    Tolerance,
)
from movement.parts.climates import AirState, AnyClimate
from movement.parts.fields import bounded
from movement.parts.panel import PanelRequest, PanelResult
from movement.parts.spread import ConfidenceFields
from movement.season import Season

MeasuredGap = Annotated[float, bounded(GAP, "mm")]
Within = Annotated[float, bounded(months.WITHIN, "mm")]


class CheckRequest(StockFields, SeasonFields, ClearanceFields, ConfidenceFields):
    """A panel as measured: the body of ``POST /api/v1/check``.

    Its width today or its gap today; its moisture content today, or the air of the room that it has settled in.
    """

    hold: Hold = "centred"
    sight_width_mm: SightWidth
    groove_depth_mm: GrooveDepth
    panel_width_mm: PanelWidth | None = None
    gap_now_mm: MeasuredGap | None = None
    moisture_now_pct: Moisture | None = None  # type: ignore[assignment]
    air_now: AirState | None = None
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

    action: Action
    plane_off_mm: float
    gap_wanted_now_mm: float
    rebias_mm: float
    panel: PanelResult


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

    shop: AnyClimate
    within_mm: Within = NEUTRAL


class MonthResult(BaseModel):
    """A month: the stock's moisture content, how far that is from mid, the bias, and whether it suits."""

    moisture_pct: float
    from_mid_pct: float
    bias_mm: float
    suits: bool


class MonthsResult(BaseModel):
    """Stock as it is today, and settled in the shop from January to December."""

    now: MonthResult
    months: list[MonthResult]


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
