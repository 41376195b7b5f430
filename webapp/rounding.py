"""How every length of a piece is written: one rule for its page, its paper and its bench.

A size to cut and a gap to leave are written as lengths that keep every rule themselves, finer than the usual step where
that leads out of their range. What there is of gap and engagement is rounded down, what is needed up.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from movement import lengths
from movement.lengths import Direction
from movement.parts.panel import PanelResult
from webapp.words import Words

NONE = "–"
_EXACT = 0.005
"""A length that is written this exactly is written as it is [mm]; no shop works finer."""
_SAME = 1e-9
"""Lengths that differ by less are of one state [mm]."""

Texts = Mapping[str, str]
"""Lengths in words by column: cut_width, cut_length, opening, gap_now, gap_dry, gap_wet, engagement_dry."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A length to cut or to leave [mm], with the shortest and the longest that keep every rule."""

    length: float
    low: float = -inf
    high: float = inf

    def said(self, words: Words, first: Direction = "nearest") -> str:
        """The length in words that keep the rules too, rounded ``first`` that way where they leave the choice."""
        return words.within(self.length, self.low, self.high, first)

    def beside(self, gap: float, edges: int = 1) -> "Measure":
        """The gap [mm] that a part of this measure leaves at each of so many edges, with the gaps of its range."""
        return Measure(gap, gap - (self.high - self.length) / edges, gap + (self.length - self.low) / edges)


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


def bare(text: str) -> str:
    """A length for a column that names its unit; inches keep theirs."""
    return text.removesuffix(" mm")


def exact(length: float, words: Words) -> str:
    """A length that a tool is set to: as a decimal where no step of the unit comes near enough."""
    near = abs(float(lengths.round_to(length, words.step)) - length) < _EXACT
    return words.say(length) if near else words.fine(length)
