"""How every length of a piece is written: one rule for its page, its paper and its bench.

A size to cut and a gap to leave are written as lengths that keep every rule themselves, finer than the usual step where
that leads out of their range. What there is of gap and engagement is rounded down, what is needed up.
"""

from collections.abc import Mapping

from movement import lengths
from movement.gap_table import PartRow, Row
from movement.parts.panel import PanelResult
from webapp import measures
from webapp.measures import Measure
from webapp.words import Words

NONE = "–"
_EXACT = 0.005
"""A length that is written this exactly is written as it is [mm]; no shop works finer."""
_SAME = 1e-9
"""Lengths that differ by less are of one state [mm]."""

Texts = Mapping[str, str]
"""Lengths in words by column: cut_width, cut_length, opening, gap_now, gap_dry, gap_wet, engagement_dry."""


def panel(made: PanelResult, words: Words) -> Texts:
    """A panel's lengths; its gaps are room in a groove, so also the widest is rounded down."""
    length, (now, dry, wet) = made.panel_length_mm, gaps(made, words)
    return {
        "cut_width": width(made).said(words),
        "cut_length": NONE if length is None else words.most(length),
        "gap_now": now,
        "gap_dry": dry,
        "gap_wet": wet,
        "engagement_dry": words.room(made.engagement_dry_mm),
    }


def width(made: PanelResult) -> Measure:
    """The width that a panel is cut to."""
    if not made.fits:
        return Measure(made.panel_width_mm)
    return Measure(made.panel_width_mm, made.panel_width_min_mm, made.panel_width_max_mm)


def gap(made: PanelResult) -> Measure:
    """The gap that a panel leaves today, at each edge that moves."""
    return width(made).beside(made.gap_now_mm, 2 if made.fixed_engagement_mm is None else 1)


def gaps(made: PanelResult, words: Words) -> tuple[str, str, str]:
    """The gap of a panel today, driest and wettest: of one state it is one."""
    same = [abs(one - made.gap_now_mm) < _SAME for one in (made.gap_dry_mm, made.gap_wet_mm)]
    now = gap(made).said(words, "down" if any(same) else "nearest")
    dry, wet = words.room(made.gap_dry_mm), words.room(made.gap_wet_mm)
    return now, now if same[0] else dry, now if same[1] else wet


def states(made: PanelResult, words: Words) -> list[tuple[str, float, str, str, str]]:
    """Name, moisture [%], and in words the width, gap and engagement of a panel today, driest and wettest."""
    say, room, (now, dry, wet) = words.say, words.room, gaps(made, words)
    cut = width(made).said(words)
    widths = [
        cut if abs(one - made.panel_width_mm) < _SAME else say(one) for one in (made.width_dry_mm, made.width_wet_mm)
    ]
    engaged = room(made.engagement_now_mm), room(made.engagement_dry_mm), room(made.engagement_wet_mm)
    return [
        ("Today", made.moisture_now_pct, cut, now, engaged[0]),
        ("Driest", made.moisture_dry_pct, widths[0], dry, engaged[1]),
        ("Wettest", made.moisture_wet_pct, widths[1], wet, engaged[2]),
    ]


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
    known = part(row, words) if isinstance(row, PartRow) else panel(row.result, words)
    texts = {f"{name}_mm": text for name, text in known.items()}
    now, bias = cells["engagement_now_mm"], cells["bias_mm"]
    texts["engagement_now_mm"] = words.room(now) if isinstance(now, float) else NONE
    texts["bias_mm"] = _bias(bias, words) if isinstance(bias, float) else NONE
    return texts


def bare(text: str) -> str:
    """A length for a column that names its unit; inches keep theirs."""
    return text.removesuffix(" mm")


def exact(length: float, words: Words) -> str:
    """A length that a tool is set to: as a decimal where no step of the unit comes near enough."""
    near = abs(float(lengths.round_to(length, words.step)) - length) < _EXACT
    return words.say(length) if near else words.fine(length)


def _bias(length: float, words: Words) -> str:
    text = words.say(length)
    return words.fine(length) if text == words.say(0.0) else text


def _said(measure: Measure | None, words: Words) -> str:
    return NONE if measure is None else measure.said(words)
