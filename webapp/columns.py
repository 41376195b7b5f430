"""The lengths of a row of the gap table in words, by its columns."""

from movement.gap_table import PartRow, Row
from webapp import measures, rounding
from webapp.rounding import NONE, Measure, Texts
from webapp.words import Words


def part(row: PartRow, words: Words) -> Texts:
    """The lengths of a part that stands in no frame; a reveal or a clear space stands as its gap."""
    found, cells = measures.of(row.result), row.cells()
    dry, wet = NONE, NONE
    if found.dry is not None and found.wet is not None:
        dry, wet = words.extremes(found.dry, found.wet)
        if found.now is not None:
            _, dry, wet = words.through((found.now.length, found.dry, found.wet), found.today(words))
    engaged = cells["engagement_dry_mm"]
    return {
        "cut_width": _said(found.width, words),
        "cut_length": _said(found.length, words),
        "opening": NONE if found.opening is None else words.say(found.opening),
        "gap_now": found.today(words) or NONE,
        "gap_dry": dry,
        "gap_wet": wet,
        "engagement_dry": words.room(engaged) if isinstance(engaged, float) else NONE,
    }


def table(row: Row | PartRow, words: Words) -> Texts:
    """What a row of the gap table was sized to, in words by its column there; a bias is never written as nothing."""
    cells = row.cells()
    known = part(row, words) if isinstance(row, PartRow) else rounding.panel(row.result, words)
    texts = {f"{name}_mm": text for name, text in known.items()}
    now, bias = cells["engagement_now_mm"], cells["bias_mm"]
    texts["engagement_now_mm"] = words.room(now) if isinstance(now, float) else NONE
    texts["bias_mm"] = _bias(bias, words) if isinstance(bias, float) else NONE
    return texts


def _bias(length: float, words: Words) -> str:
    text = words.say(length)
    return words.fine(length) if text == words.say(0.0) else text


def _said(measure: Measure | None, words: Words) -> str:
    return NONE if measure is None else measure.said(words)
