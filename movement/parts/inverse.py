"""Questions asked backwards: the widest opening that a groove serves, the humidities that a sized panel survives."""

from math import inf, isfinite
from typing import Annotated

from pydantic import BaseModel

from movement import climate, swelling
from movement.fits import panel, survival
from movement.fits.panel import SIGHT_WIDTH
from movement.fits.survival import ROOM, Span
from movement.parts import answers
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
)
from movement.parts.climates import Temperature
from movement.parts.fields import told
from movement.parts.panel import SOURCE_RULES
from movement.parts.spread import ConfidenceFields

NOTE_STILL = "This wood does not move over this year, so the groove serves any width."
NOTE_NOTHING = "No panel works in this groove with these clearances, however narrow."
NOTE_WIDE = f"It serves openings wider than the {SIGHT_WIDTH[1]:g} mm that a panel is sized for here."


class WidestRequest(StockFields, SeasonFields, ClearanceFields, ConfidenceFields):
    """A groove with its stock and its year: the body of ``POST /api/v1/widest``."""

    hold: PanelHold = "centred"
    groove_depth_mm: GrooveDepth

    def bench(self) -> Bench:
        """What the opening is sized from."""
        return Bench(self.wood(), self.season(), self.clearances(), **self.sureness())


class WidestResult(BaseModel):
    """The widest opening; null where there is none or no limit, and a note says which."""

    sight_width_mm: Annotated[
        float | None, told("Widest sight width that the groove serves; null: none, or no limit", "mm")
    ]
    panel_width_mm: Annotated[float | None, told("Panel to cut for it today; null: none, or no limit", "mm")]
    moisture_dry_pct: answers.MoistureDry
    moisture_wet_pct: answers.MoistureWet
    notes: Annotated[list[str], told("Why there is none or no limit, in sentences")]
    sources: answers.Sources


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
    panel_width_mm: Annotated[PanelWidth, told("Width of the panel today, across the grain", "mm")]
    moisture_now_pct: Moisture
    hold: PanelHold = "centred"
    temperature_c: Annotated[Temperature, told("Temperature of the room", "°C")] = ROOM


class SurvivesResult(BaseModel):
    """What a panel survives once its wood has settled.

    ``humidity_low_pct`` to ``humidity_high_pct`` keep the least engagement and the least gap: 0 and 100 where that end
    is open, both null where no humidity keeps both. ``comes_out_below_*`` and ``binds_above_*`` use up both clearances
    and the making tolerance; null where that never happens.
    """

    temperature_c: Annotated[float, told("Temperature of the room, as it was asked", "°C")]
    humidity_low_pct: Annotated[
        float | None, told("Lowest relative humidity that keeps the clearances; null: none does", "%")
    ]
    humidity_high_pct: Annotated[
        float | None, told("Highest relative humidity that keeps the clearances; null: none does", "%")
    ]
    moisture_low_pct: Annotated[
        float | None, told("Driest moisture content that keeps the clearances; null: open, or none does", "%")
    ]
    moisture_high_pct: Annotated[
        float | None, told("Wettest moisture content that keeps the clearances; null: open, or none does", "%")
    ]
    comes_out_below_humidity_pct: Annotated[
        float | None, told("Relative humidity below which the panel comes out; null: never", "%")
    ]
    comes_out_below_moisture_pct: Annotated[
        float | None, told("Moisture content below which the panel comes out; null: never", "%")
    ]
    binds_above_humidity_pct: Annotated[
        float | None, told("Relative humidity above which the panel binds; null: never", "%")
    ]
    binds_above_moisture_pct: Annotated[
        float | None, told("Moisture content above which the panel binds; null: never", "%")
    ]
    notes: answers.Notes
    sources: answers.Sources


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
