"""The humidities that a sized panel survives, in sentences and as a scale."""

from collections.abc import Sequence
from math import ceil, floor

from movement.parts import inverse
from movement.parts.check import CheckRequest
from movement.parts.inverse import SurvivesRequest, SurvivesResult
from webapp import humidities
from webapp.drawing.humidity import humidity
from webapp.drawing.sheet import Drawing
from webapp.words import Words

SETTLED = "For wood that has settled in air that stays so. Shorter spells reach it late and damped, or hardly at all."


def of(asked: CheckRequest) -> SurvivesResult:
    """What a measured panel survives in a room at the usual temperature."""
    known = {name: getattr(asked, name) for name in SurvivesRequest.model_fields if name in CheckRequest.model_fields}
    measured = {"panel_width_mm": asked.width, "moisture_now_pct": asked.moisture_now}
    return inverse.survives(SurvivesRequest(**(known | measured)))


def low(percent: float) -> str:
    """A lower end [%], rounded up to a whole per cent."""
    return f"{ceil(percent - 1e-9)}"


def high(percent: float) -> str:
    """An upper end [%], rounded down to a whole per cent."""
    return f"{floor(percent + 1e-9)}"


def kept(found: SurvivesResult) -> str:
    """The humidities that keep what is asked for, in few words; empty where there are none."""
    return humidities.words(found.humidity_low_pct, found.humidity_high_pct)


def comes_out(found: SurvivesResult) -> str:
    """Where it comes out, in few words; empty where it never does."""
    end = found.comes_out_below_humidity_pct
    if end is None:
        return ""
    return "is out at any humidity" if end >= 100 else f"comes out below {low(end)} %"


def binds(found: SurvivesResult) -> str:
    """Where it binds, in few words; empty where it never does."""
    end = found.binds_above_humidity_pct
    if end is None:
        return ""
    return "binds at any humidity" if end <= 0 else f"binds above {high(end)} %"


def sentences(found: SurvivesResult, words: Words) -> Sequence[str]:
    """What it survives, in sentences."""
    span, out, bound = kept(found), comes_out(found), binds(found)
    first = "it keeps the engagement and the gap that are asked for in air of this relative humidity"
    none = "no humidity keeps both the engagement and the gap that are asked for"
    dry = f"With all clearances used up it {out}{_at(found.comes_out_below_moisture_pct)}"
    wet = f"With all clearances used up it {bound}{_at(found.binds_above_moisture_pct)}"
    damp = "By these figures it does not bind even in air of 100 %; liquid water is another matter."
    return (
        f"At {words.temperature(found.temperature_c)} {f'{first}: {span}' if span else none}.",
        f"{dry}." if out else "By these figures it stays in even in air of 0 %.",
        f"{wet}." if bound else damp,
        SETTLED,
    )


def _at(moisture: float | None) -> str:
    return "" if moisture is None else f" (wood at {moisture:.1f} % moisture content)"


def drawing(found: SurvivesResult, words: Words) -> Drawing:
    """The same as a scale."""
    bottom, top = found.humidity_low_pct, found.humidity_high_pct
    return humidity(
        None if bottom is None or top is None else (bottom, top),
        found.comes_out_below_humidity_pct,
        found.binds_above_humidity_pct,
        (kept(found), comes_out(found), binds(found)),
        words,
    )
