"""Where everything stands in a drawing: numbers for the SVG templates, true to scale."""

from dataclasses import dataclass

from movement.parts.panel import PanelResult

WIDTH = 360.0
"""Width of a drawing's view box."""
_LABEL = 44.0
_ROW = 18.0


@dataclass(frozen=True, slots=True)
class EdgeRow:
    """One state of an edge in its groove: today, driest, wettest. Lengths in mm, places in view-box units."""

    name: str
    gap: float
    engagement: float
    top: float
    edge: float
    gap_right: float

    @property
    def state(self) -> str:
        """What the edge does: it holds, binds on the groove's bottom, or is out of the groove."""
        if self.gap < 0:
            return "binds"
        return "out" if self.engagement < 0 else "holds"


@dataclass(frozen=True, slots=True)
class EdgeDrawing:
    """An edge in its groove three times, one below the other, at one scale for both directions."""

    scale: float
    height: float
    mouth: float
    bottom: float
    thick: float
    slot: float
    rows: tuple[EdgeRow, ...]
    bar: float
    words: str

    @property
    def row_height(self) -> float:
        """Height of a row's timber."""
        return self.thick + 2 * _ROW


def edge(result: PanelResult, tongue: float) -> EdgeDrawing:
    """The moving edge of a panel in its groove.

    Parameters
    ----------
    result : PanelResult
        The panel, sized.
    tongue : float
        Thickness of the panel's edge [mm].
    """
    groove = result.groove_depth_mm
    behind, ahead = max(5.0, 0.35 * groove), max(8.0, 0.6 * groove)
    scale = WIDTH / (behind + groove + ahead)
    thick = min(tongue * scale, 90.0)
    bottom, mouth = behind * scale, (behind + groove) * scale
    states = (
        ("Today", result.gap_now_mm, result.engagement_now_mm),
        ("Driest", result.gap_dry_mm, result.engagement_dry_mm),
        ("Wettest", result.gap_wet_mm, result.engagement_wet_mm),
    )
    pitch = thick + 2 * _ROW + _LABEL
    rows = tuple(
        EdgeRow(name, gap, held, index * pitch + _LABEL, bottom + max(gap, -behind * 0.8) * scale, bottom + gap * scale)
        for index, (name, gap, held) in enumerate(states)
    )
    bar = next((step for step in (20.0, 10.0, 5.0, 2.0) if step * scale <= WIDTH / 3), 1.0)
    words = "; ".join(
        f"{row.name.lower()} the gap is {row.gap:.1f} mm and {row.engagement:.1f} mm is engaged" for row in rows
    )
    return EdgeDrawing(scale, 3 * pitch + 34, mouth, bottom, thick, thick, rows, bar, words)
