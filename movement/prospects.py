"""A whole piece over the years: how often any of its panels binds or comes out, and the humidities that all survive."""

from collections.abc import Sequence
from dataclasses import dataclass

from movement import gap_table
from movement.fits import chance, survival
from movement.fits.chance import Case, Chance
from movement.fits.survival import Span
from movement.gap_table import Row
from movement.piece import Piece
from movement.swelling import size_ratio


@dataclass(frozen=True, slots=True)
class Survival:
    """What all panels of a piece survive, and the two that set the limits.

    Attributes
    ----------
    kept, strict : Span
        Moisture contents at which every panel keeps its clearances, and at which none has come out or bound [% MC].
    driest, wettest : Row or None
        The panel that first has too little engagement, and the one that first has too little gap; ``None`` for a piece
        without panels.
    """

    kept: Span
    strict: Span
    driest: Row | None
    wettest: Row | None


def piece_chance(piece: Piece, rows: Sequence[Row] | None = None) -> Chance:
    """The chance within a year that at least one panel of a piece binds, and that at least one comes out: estimates.

    Parameters
    ----------
    piece : Piece
        The piece.
    rows : sequence of Row or None
        Its gap table where that is at hand.
    """
    table = gap_table.rows(piece) if rows is None else rows
    return chance.together([_case(row) for row in table], [row.part.count for row in table])


def piece_survives(piece: Piece, rows: Sequence[Row] | None = None) -> Survival:
    """The moisture contents that every panel of a piece survives; `survival.humidities` makes a room's air of them.

    Parameters
    ----------
    piece, rows
        As in `piece_chance`.
    """
    table = gap_table.rows(piece) if rows is None else rows
    kept = [_span(row, strict=False) for row in table]
    ends = range(len(kept))
    return Survival(
        survival.intersection(kept),
        survival.intersection(_span(row, strict=True) for row in table),
        table[max(ends, key=lambda index: kept[index].low)] if table else None,
        table[min(ends, key=lambda index: kept[index].high)] if table else None,
    )


def widest_change(rows: Sequence[Row]) -> tuple[Row, float] | None:
    """The panel whose width changes most between the driest and the wettest of the year, and by how much [mm].

    Notes
    -----
    W [D(M_wet) − D(M_dry)]/D(M₀), with W the width to cut at today's M₀: the year where the piece lives, without the
    day of assembly and without what is in doubt.

    Parameters
    ----------
    rows : sequence of Row
        The panels, sized.

    Returns
    -------
    tuple or None
        ``None`` where there are no panels.
    """
    return max(((row, _change(row)) for row in rows), key=lambda found: found[1], default=None)


def _change(row: Row) -> float:
    wood, season = row.bench.wood, row.bench.season
    dry, wet = (
        float(size_ratio(wood.across, season.now, moisture, wood.start_of_shrinkage))
        for moisture in (season.year_dry, season.year_wet)
    )
    return row.result.panel_width_mm * (wet - dry)


def _case(row: Row) -> Case:
    sized, bench = row.result, row.bench
    return chance.case(
        sized.sight_width_mm,
        sized.groove_depth_mm,
        sized.panel_width_mm,
        sized.hold,
        bench.clearances,
        bench.wood,
        bench.season,
        bench.spread,
    )


def _span(row: Row, strict: bool) -> Span:
    sized, bench = row.result, row.bench
    return survival.moistures(
        sized.sight_width_mm,
        sized.groove_depth_mm,
        sized.panel_width_mm,
        sized.hold,
        bench.clearances,
        bench.wood,
        bench.season.now,
        strict,
    )
