"""A piece's fits as one table: one row per part, panels with the one groove of their frame, then every other part."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from movement.parts import panel
from movement.parts.any import DrawerPart, SizedPart
from movement.parts.base import Bench
from movement.parts.making import Cell, PartResult
from movement.parts.panel import PanelResult
from movement.piece import Frame, PanelPart, Piece

if TYPE_CHECKING:
    import pandas as pd

COLUMNS: dict[str, str] = {
    "frame": "Frame",
    "part": "Part",
    "kind": "Kind",
    "count": "Count",
    "species": "Species",
    "ring_angle_deg": "Ring angle (°)",
    "hold": "Hold",
    "moisture_now_pct": "Moisture today (%)",
    "moisture_dry_pct": "Moisture, dry (%)",
    "moisture_wet_pct": "Moisture, wet (%)",
    "sight_width_mm": "Sight width (mm)",
    "groove_depth_mm": "Groove depth (mm)",
    "opening_mm": "Opening (mm)",
    "cut_width_mm": "Width to cut (mm)",
    "cut_length_mm": "Length to cut (mm)",
    "gap_now_mm": "Gap today (mm)",
    "gap_dry_mm": "Gap, dry (mm)",
    "gap_wet_mm": "Gap, wet (mm)",
    "engagement_now_mm": "Engaged today (mm)",
    "engagement_dry_mm": "Engaged, dry (mm)",
    "bias_mm": "Bias (mm)",
    "bias": "Bias",
    "chance_binds_pct": "Chance binds (%)",
    "chance_comes_out_pct": "Chance comes out (%)",
    "fits": "Fits",
    "also": "Also",
    "advice": "Advice",
}
"""Columns of the gap table and their headings, unit in the heading. What a kind of part has not is ``None``."""
NUMBERS = tuple(name for name in COLUMNS if name.endswith(("_mm", "_pct", "_deg")))
"""Columns of measures; beside them and `TEXTS` stand how many are made, and whether it fits."""
TEXTS = tuple(name for name in COLUMNS if name not in (*NUMBERS, "count", "fits"))
"""Columns of words."""


@dataclass(frozen=True, slots=True)
class Row:
    """A panel with its fit."""

    frame: Frame
    part: PanelPart
    bench: Bench
    result: PanelResult

    def cells(self) -> dict[str, Cell]:
        """The row's values by column of `COLUMNS`."""
        result = self.result
        return {
            "frame": self.frame.name,
            "part": self.part.name,
            "kind": self.part.kind,
            "count": self.part.count,
            "species": self.bench.wood.species.name,
            "ring_angle_deg": self.bench.wood.ring_angle,
            "hold": result.hold,
            "moisture_now_pct": result.moisture_now_pct,
            "moisture_dry_pct": result.moisture_dry_pct,
            "moisture_wet_pct": result.moisture_wet_pct,
            "sight_width_mm": result.sight_width_mm,
            "groove_depth_mm": result.groove_depth_mm,
            "opening_mm": None,
            "cut_width_mm": result.panel_width_mm,
            "cut_length_mm": result.panel_length_mm,
            "gap_now_mm": result.gap_now_mm,
            "gap_dry_mm": result.gap_dry_mm,
            "gap_wet_mm": result.gap_wet_mm,
            "engagement_now_mm": result.engagement_now_mm,
            "engagement_dry_mm": result.engagement_dry_mm,
            "bias_mm": result.bias_mm,
            "bias": result.bias,
            "chance_binds_pct": result.chance_binds_pct,
            "chance_comes_out_pct": result.chance_comes_out_pct,
            "fits": result.fits,
            "also": None,
            "advice": " ".join(result.advice),
        }


@dataclass(frozen=True, slots=True)
class PartRow:
    """A part of any other kind with its fit; ``others`` is stock of it that is not as its own, by name."""

    part: SizedPart
    bench: Bench
    result: PartResult
    others: Sequence[tuple[str, Bench]] = ()

    def cells(self) -> dict[str, Cell]:
        """The row's values by column of `COLUMNS`; a reveal, a clearance or a clear space stands as its gap."""
        wood = self.bench.wood
        own: dict[str, Cell] = {
            "frame": "",
            "part": self.part.name,
            "kind": self.part.kind,
            "count": self.part.count,
            "species": wood.species.name,
            "ring_angle_deg": wood.ring_angle,
        }
        found = dict.fromkeys(COLUMNS) | own | self.result.cells(self.bench.say)
        also = [str(found["also"])] if found["also"] else []
        told = [*also, *(f"{name} of {stock_words(bench)}" for name, bench in self.others)]
        return found | {"also": "; ".join(told) or None}


def stock_words(bench: Bench) -> str:
    """Stock in words: species, ring angle, moisture today."""
    return f"{bench.wood.words}, {bench.season.now:.1f} % today"


def other_stock(piece: Piece, part: SizedPart) -> list[tuple[str, Bench]]:
    """A drawer's bottom and case with what they are sized from, where that is not as of its sides."""
    if not isinstance(part, DrawerPart):
        return []
    mine, floor, case = piece.benches(part)
    found = [("bottom", floor)] if part.front_groove_mm is not None else []
    return [
        (name, bench)
        for name, bench in (*found, ("case", case))
        if (bench.wood, bench.season.now) != (mine.wood, mine.season.now)
    ]


def groove(frame: Frame, piece: Piece, benches: Sequence[Bench]) -> float | None:
    """The one groove depth of a frame [mm]: as given, else the deepest that its panels ask for; ``None`` if empty."""
    if frame.groove_depth_mm is not None:
        return frame.groove_depth_mm
    asked = (
        panel.groove_asked(piece.needs(part), piece.hold(part), bench)
        for part, bench in zip(frame.panels, benches, strict=True)
    )
    return max(asked, default=None)


def rows(piece: Piece) -> list[Row]:
    """Every panel of a piece, sized; each cut to its frame's one groove.

    Raises
    ------
    RangeError
        A panel's length out of range.
    """
    table = []
    for frame in piece.frames:
        benches = [piece.bench(part) for part in frame.panels]
        depth = groove(frame, piece, benches)
        for part, bench in zip(frame.panels, benches, strict=True):
            table.append(Row(frame, part, bench, panel.result(piece.needs(part), piece.hold(part), depth, bench)))
    return table


def part_row(piece: Piece, part: SizedPart) -> PartRow:
    """A part of a piece that stands in no frame, sized.

    Raises
    ------
    RangeError
        One of its lengths out of range.
    """
    benches = piece.benches(part)
    return PartRow(part, benches[0], part.sized(*benches), other_stock(piece, part))


def whole(piece: Piece) -> list[Row | PartRow]:
    """Every part of a piece, sized: its panels, then the others.

    Raises
    ------
    RangeError
        A part's length out of range.
    """
    return [*rows(piece), *(part_row(piece, part) for part in piece.parts)]


def data_frame(piece: Piece, table: Sequence[Row | PartRow] | None = None) -> "pd.DataFrame":
    """The gap table as a data frame with the columns of `COLUMNS`, lengths in mm; what a part has not is missing.

    Parameters
    ----------
    piece : Piece
        The piece.
    table : sequence of Row or PartRow, optional
        The piece's parts as sized; sized anew where it is left out.
    """
    import pandas as pd  # loaded here: most pages do without, and it costs a third of a second

    found = whole(piece) if table is None else table
    frame = pd.DataFrame([row.cells() for row in found], columns=list(COLUMNS))
    return frame.astype(dict.fromkeys(NUMBERS, "float64") | dict.fromkeys(TEXTS, "object"))
