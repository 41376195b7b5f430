"""Stock that lies outside the year where a piece will live, in words for its pages and its paper."""

from typing import TYPE_CHECKING, TypeVar

from movement.fits import restock
from movement.parts.climates import AnyClimate
from movement.season import season

if TYPE_CHECKING:
    from collections.abc import Iterator

    from movement.parts.any import PartFrame
    from movement.parts.making import PartFields, PartResult
    from movement.parts.panel import PanelRequest, PanelResult
    from movement.piece import Piece

Made = TypeVar("Made", bound="PanelResult | PartResult")


def told(now: float, climate: AnyClimate) -> str:
    """What to know of stock of a moisture content now [% MC] for a home; empty where it lies inside its year."""
    return restock.stray(season(now, climate.year()))


def words(piece: "Piece") -> str:
    """What to know of the wettest and of the driest stock of a piece; empty where all lies inside the home's year."""
    nows = {piece.moisture_now(part) for part in _parts(piece)} or {piece.defaults.moisture_now_pct}
    return " ".join(text for now in sorted({min(nows), max(nows)}) if (text := told(now, piece.climate)))


def notes(piece: "Piece") -> list[str]:
    """What to know of a piece's stock, of its species and of its climate, each told once."""
    found = (note for part in _parts(piece) for bench in piece.benches(part) for note in bench.wood.species.notes)
    return list(dict.fromkeys(filter(None, (words(piece), *found, *piece.climate.year().notes))))


def noted(asked: "PanelRequest | PartFields", made: Made) -> Made:
    """A result of the JSON API with what to know of its stock: where it lies outside the year, and of its species."""
    made.notes.extend(filter(None, (asked.stray(), *asked.wood().species.notes)))
    return made


def _parts(piece: "Piece") -> "Iterator[PartFrame]":
    yield from (panel for _, panel in piece.panels())
    yield from piece.parts
