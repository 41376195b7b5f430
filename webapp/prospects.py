"""What may become of a whole piece: its chances and the humidities that all its panels survive, in words."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from movement import prospects
from movement.fits import chance, survival
from movement.fits.chance import Chance
from movement.fits.survival import ROOM, Humidities
from movement.gap_table import Row
from movement.piece import Piece
from webapp import doubts, humidities
from webapp.words import Words
from webapp.worked import Worked


@dataclass(frozen=True, slots=True)
class Limit:
    """A panel that sets a limit: its handle, and its name with its frame's."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Prospects:
    """A piece over the years.

    ``humidities`` are those at which every panel keeps its clearances, once settled in a room at the usual temperature;
    ``driest`` and ``wettest`` are the panels that set them, ``left_out`` counts those that could not be sized.
    """

    binds: str
    comes_out: str
    humidities: Humidities
    driest: Limit
    wettest: Limit
    left_out: int
    words: Words
    caveat: str = ""

    @property
    def span(self) -> str:
        """The humidities in words."""
        return humidities.words(self.humidities.low, self.humidities.high) or "none keeps every panel's clearances"

    @property
    def temperature(self) -> str:
        """Of the room."""
        return self.words.temperature(ROOM)

    @property
    def note(self) -> str:
        """What chances are."""
        return chance.NOTE


def of(piece: Piece, found: Iterable[Worked]) -> Prospects | None:
    """The prospects of a piece as worked; ``None`` where no panel could be sized."""
    done = list(found)
    rows = [row for one in done for row in one.rows.values()]
    if not rows:
        return None
    risk, survived = prospects.piece_chance(piece, rows), prospects.piece_survives(piece, rows)
    assert survived.driest is not None
    assert survived.wettest is not None
    return Prospects(
        doubts.percent(100 * risk.binds),
        doubts.percent(100 * risk.comes_out),
        survival.humidities(survived.kept),
        _limit(piece, survived.driest),
        _limit(piece, survived.wettest),
        sum(len(one.problems) for one in done),
        Words(piece.unit),
        _caveat(rows, risk),
    )


def caveat(piece: Piece, found: Iterable[Worked]) -> str:
    """What to know of a piece whose panels fit as computed and yet may often fail; empty where there is nothing."""
    rows = [row for one in found for row in one.rows.values()]
    return _caveat(rows, prospects.piece_chance(piece, rows)) if rows else ""


def _caveat(rows: Sequence[Row], risk: Chance) -> str:
    fits = all(row.result.fits for row in rows)
    return doubts.caveat("a panel", 100 * risk.binds, 100 * risk.comes_out) if fits else ""


def _limit(piece: Piece, row: Row) -> Limit:
    frame = next(frame for frame, part in piece.panels() if part.id == row.part.id)
    name = row.part.name or "panel"
    return Limit(row.part.id, f"{frame.name}: {name}" if frame.name else name)
