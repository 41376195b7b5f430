"""Stock that lies outside the year where a piece will live, in words for its pages and its paper."""

from movement.fits import restock
from movement.parts.climates import AnyClimate
from movement.piece import Piece
from movement.season import season


def told(now: float, climate: AnyClimate) -> str:
    """What to know of stock of a moisture content now [% MC] for a home; empty where it lies inside its year."""
    return restock.stray(season(now, climate.year()))


def words(piece: Piece) -> str:
    """What to know of the wettest and of the driest stock of a piece; empty where all lies inside the home's year."""
    usual = piece.defaults.moisture_now_pct
    own = [part.moisture_now_pct for part in (*(panel for _, panel in piece.panels()), *piece.parts)]
    nows = {usual if now is None else now for now in own} or {usual}
    return " ".join(text for now in sorted({min(nows), max(nows)}) if (text := told(now, piece.climate)))
