"""Where everything stands in a drawing: numbers for the SVG templates, true to scale."""

from collections.abc import Callable
from dataclasses import dataclass

from movement.lengths import INCH, Unit
from movement.parts.panel import PanelResult
from webapp import rounding
from webapp.words import Words

WIDTH = 360.0
"""Width of a drawing's view box; all places below are in its units."""
_GROOVE = 110.0
"""Most that a groove takes of the width."""
_THICK = 52.0
"""Most that an edge takes of a row's height."""
_LEFT = 110.0
"""Where the groove's bottom stands; the stile is drawn from the left end to there."""
_RIM = 12.0
"""The stile's wood above and below the groove; only a hint of it, not to scale."""
_TITLE = 26.0
_DIMENSIONS = 30.0
_FOOT = 34.0
_MARGIN = 10.0
_BARS: dict[Unit, tuple[float, ...]] = {
    "mm": (50.0, 20.0, 10.0, 5.0, 2.0, 1.0),
    "in": (2 * INCH, INCH, INCH / 2, INCH / 4, INCH / 8, INCH / 16),
}

Say = Callable[[float], str]
"""Writes a length [mm] in the page's unit."""


@dataclass(frozen=True, slots=True)
class EdgeRow:
    """One state of an edge in its groove, with its gap and engagement [mm].

    ``gap_text`` and ``held_text`` are the two in words. ``edge`` is where the panel's edge stands, ``slid`` where it
    stands once a loose panel has slid into the other groove, as far as it has the room to.
    """

    name: str
    moisture: float | None
    gap: float
    engagement: float
    top: float
    edge: float
    gap_text: str
    held_text: str
    slid: float | None = None

    def trouble(self, say: Say) -> str:
        """What is wrong with this state; empty where the edge sits in its groove."""
        if self.gap < 0:
            return f"{say(-self.gap)} too wide"
        return f"{say(-self.engagement)} out of the groove" if self.engagement < 0 else ""

    @property
    def held(self) -> float:
        """Where the engagement is measured from."""
        return self.edge if self.slid is None else self.slid


@dataclass(frozen=True, slots=True)
class EdgeDrawing:
    """An edge in its groove, one row for each state, at one scale for widths and thickness."""

    scale: float
    height: float
    bottom: float
    mouth: float
    thick: float
    rim: float
    rows: tuple[EdgeRow, ...]
    bar: float
    words: str

    @property
    def is_loose(self) -> bool:
        """Whether a dashed edge shows the panel slid over."""
        return any(row.slid is not None for row in self.rows)


def edge(result: PanelResult, tongue: float, unit: Unit, say: Say) -> EdgeDrawing:
    """The moving edge of a panel in its groove today, driest and wettest; the fixed edge where there is one.

    Parameters
    ----------
    result : PanelResult
        The panel, sized.
    tongue : float
        Thickness of the panel's edge [mm].
    unit : {"mm", "in"}
        The unit of the scale bar.
    say : callable
        Writes a length [mm] in that unit.
    """
    groove = result.groove_depth_mm
    words = Words(unit)
    room, (now, driest, wettest) = words.room, rounding.gaps(result, words)
    dry, wet = result.gap_dry_mm, result.gap_wet_mm
    states: list[tuple[str, float | None, float, float, str]] = [
        ("Today", result.moisture_now_pct, result.gap_now_mm, result.engagement_now_mm, now),
        ("Driest", result.moisture_dry_pct, dry, result.engagement_dry_mm, driest),
        ("Wettest", result.moisture_wet_pct, wet, result.engagement_wet_mm, wettest),
    ]
    fixed = result.fixed_engagement_mm
    if fixed is not None:
        states.append(("Fixed edge, all year", None, groove - fixed, fixed, words.say(groove - fixed)))
    overlap = max(0.0, *(-state[2] for state in states))
    apart = max(0.0, *(-state[3] for state in states))
    scale = min(
        _GROOVE / groove,
        _THICK / tongue,
        (_LEFT - _MARGIN) / overlap if overlap else _GROOVE,
        (WIDTH - _LEFT - _MARGIN) / (groove + apart),
    )
    thick, mouth = tongue * scale, _LEFT + groove * scale
    pitch = _TITLE + thick + 2 * _RIM + _DIMENSIONS
    is_loose = result.hold == "loose"
    rows = tuple(
        EdgeRow(
            name,
            moisture,
            gap,
            held,
            index * pitch + _TITLE,
            _LEFT + gap * scale,
            text,
            rounding.exact(fixed, words) if moisture is None and fixed is not None else room(held),
            mouth - held * scale if is_loose and gap >= 0 else None,
        )
        for index, (name, moisture, gap, held, text) in enumerate(states)
    )
    bar = next((length for length in _BARS[unit] if length * scale <= WIDTH / 3), _BARS[unit][-1])
    told = "; ".join(
        f"{row.name}: {row.trouble(say) or f'gap {row.gap_text}, engaged {row.held_text}'}" for row in rows
    )
    return EdgeDrawing(scale, len(rows) * pitch + _FOOT, _LEFT, mouth, thick, _RIM, rows, bar, told)
