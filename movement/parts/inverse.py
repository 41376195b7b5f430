"""Questions asked backwards: the widest opening that a groove serves, the humidities that a sized panel survives."""

from math import inf, isfinite

from pydantic import BaseModel

from movement import climate, swelling
from movement.fits import panel, survival
from movement.fits.panel import SIGHT_WIDTH, Hold
from movement.fits.survival import ROOM, Span
from movement.parts.base import (
    Bench,
    ClearanceFields,
    GrooveDepth,
    Moisture,
    PanelWidth,
    SeasonFields,
    SightWidth,
    StockFields,
)
from movement.parts.climates import Temperature
from movement.parts.panel import SOURCE_RULES
from movement.parts.spread import ConfidenceFields

NOTE_STILL = "This wood does not move over this year, so the groove serves any width."
NOTE_NOTHING = "No panel works in this groove with these clearances, however narrow."
NOTE_WIDE = f"It serves openings wider than the {SIGHT_WIDTH[1]:g} mm that a panel is sized for here."


class WidestRequest(StockFields, SeasonFields, ClearanceFields, ConfidenceFields):
    """A groove with its stock and its year: the body of ``POST /api/v1/widest``."""

    hold: Hold = "centred"
    groove_depth_mm: GrooveDepth

    def bench(self) -> Bench:
        """What the opening is sized from."""
        return Bench(self.wood(), self.season(), self.clearances(), **self.sureness())


class WidestResult(BaseModel):
    """The widest opening; null where there is none or no limit, and a note says which."""

    sight_width_mm: float | None
    panel_width_mm: float | None
    moisture_dry_pct: float
    moisture_wet_pct: float
    notes: list[str]
    sources: list[str]


def widest(asked: WidestRequest) -> WidestResult:
    """The widest sight width that a groove serves, and the panel to cut for it today."""
    bench = asked.bench()
    ratios = bench.ratios(bench.season, bench.wood)
    groove, hold, keep = asked.groove_depth_mm, asked.hold, bench.clearances
    sight = float(panel.widest_sight(groove, hold, ratios.dry, ratios.wet, keep))
    notes = []
    if sight == inf:
        notes.append(NOTE_STILL)
    elif sight < SIGHT_WIDTH[0]:
        notes.append(NOTE_NOTHING)
    elif sight > SIGHT_WIDTH[1]:
        notes.append(NOTE_WIDE)
    found = sight if SIGHT_WIDTH[0] <= sight < inf else None
    width = None if found is None else float(panel.even_width(found, groove, hold, ratios.dry, ratios.wet, keep))
    return WidestResult(
        sight_width_mm=found,
        panel_width_mm=width,
        moisture_dry_pct=bench.season.dry,
        moisture_wet_pct=bench.season.wet,
        notes=notes,
        sources=[*bench.sources, swelling.SOURCE, SOURCE_RULES],
    )


class SurvivesRequest(StockFields, ClearanceFields):
    """A sized panel in its groove, and the room's temperature: the body of ``POST /api/v1/survives``."""

    sight_width_mm: SightWidth
    groove_depth_mm: GrooveDepth
    panel_width_mm: PanelWidth
    moisture_now_pct: Moisture
    hold: Hold = "centred"
    temperature_c: Temperature = ROOM


class SurvivesResult(BaseModel):
    """What a panel survives once its wood has settled.

    ``humidity_low_pct`` to ``humidity_high_pct`` keep the least engagement and the least gap: 0 and 100 where that end
    is open, both null where no humidity keeps both. ``comes_out_below_*`` and ``binds_above_*`` use up both clearances
    and the making tolerance; null where that never happens.
    """

    temperature_c: float
    humidity_low_pct: float | None
    humidity_high_pct: float | None
    moisture_low_pct: float | None
    moisture_high_pct: float | None
    comes_out_below_humidity_pct: float | None
    comes_out_below_moisture_pct: float | None
    binds_above_humidity_pct: float | None
    binds_above_moisture_pct: float | None
    notes: list[str]
    sources: list[str]


def survives(asked: SurvivesRequest) -> SurvivesResult:
    """The humidities that a sized panel survives."""
    stock = asked.wood()
    kept, strict = (
        survival.moistures(
            asked.sight_width_mm,
            asked.groove_depth_mm,
            asked.panel_width_mm,
            asked.hold,
            asked.clearances(),
            stock,
            asked.moisture_now_pct,
            strict=strict,
        )
        for strict in (False, True)
    )
    sources = (*stock.species.sources, swelling.SOURCE, SOURCE_RULES)
    return survived(kept, strict, asked.temperature_c, sources)


def survived(kept: Span, strict: Span, temperature: float, sources: tuple[str, ...]) -> SurvivesResult:
    """A span of moisture contents, and that until it comes out or binds, as humidities of a room."""
    found = survival.humidities(kept, temperature)
    out, bound = (survival.humidity_at(moisture, temperature) for moisture in (strict.low, strict.high))
    return SurvivesResult(
        temperature_c=temperature,
        humidity_low_pct=found.low,
        humidity_high_pct=found.high,
        moisture_low_pct=kept.low if isfinite(kept.low) and not kept.empty else None,
        moisture_high_pct=kept.high if isfinite(kept.high) and not kept.empty else None,
        comes_out_below_humidity_pct=out if out > 0 else None,
        comes_out_below_moisture_pct=strict.low if isfinite(strict.low) else None,
        binds_above_humidity_pct=bound if bound < 100 else None,
        binds_above_moisture_pct=strict.high if isfinite(strict.high) else None,
        notes=list(found.notes),
        sources=[*sources, climate.SOURCE_EMC],
    )
