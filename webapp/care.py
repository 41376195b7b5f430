"""What a care card tells the client of a piece: the room it wants, what is normal in it, and when to call."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf

from movement import prospects
from movement.fits import survival
from movement.fits.survival import Humidities, Span
from movement.gap_table import Row
from movement.parts.any import DoorPart, DrawerPart, FrontPart, SlatsPart
from movement.parts.climates import PlaceClimate
from movement.piece import Piece
from webapp import humidities, worked, years
from webapp.otherparts import others
from webapp.words import Words

STEP = 5
"""Humidities are rounded inward to multiples of this [%], as a room's hygrometer shows no more, unless that would shut
out the home's own year.
"""
_EXACT = 1e-6
_OPENING = (DoorPart, DrawerPart, FrontPart)


@dataclass(frozen=True, slots=True)
class Range:
    """The humidities to keep, in words: what leads up to the figure, the figure, and what follows it."""

    lead: str
    figure: str
    tail: str = ""


@dataclass(frozen=True)
class Care:
    """A piece as its owner needs to know it."""

    piece: Piece

    @cached_property
    def _done(self) -> Sequence[worked.Worked]:
        return [found for _, found in worked.frames(self.piece)]

    @cached_property
    def _rows(self) -> Sequence[Row]:
        return [row for found in self._done for row in found.rows.values()]

    @property
    def failing(self) -> int:
        """How many parts do not fit, or could not be sized."""
        panels = sum(found.failing for found in self._done)
        return panels + sum(not part.fits for part in others(self.piece))

    @cached_property
    def humidities(self) -> Humidities:
        """What every panel survives, once settled; other parts, what they are sized for: the year and today."""
        kept = prospects.piece_survives(self.piece, self._rows).kept
        nows = map(self.piece.moisture_now, self.piece.parts)
        sized = (Span(min(now, self._year.low), max(now, self._year.high)) for now in nows)
        return survival.humidities(survival.intersection((kept, *sized)))

    @cached_property
    def _year(self) -> Span:
        year = self.piece.climate.year()
        return Span(year.dry, year.wet)

    @property
    def outdoors(self) -> bool:
        """Whether it is made to stand outdoors, where nobody can keep the air."""
        home = self.piece.climate
        return isinstance(home, PlaceClimate) and home.room is None

    @property
    def range(self) -> Range | None:
        """The humidities to keep; None where nothing asks for any, or nothing can be promised."""
        low, high = self.humidities.low, self.humidities.high
        if self.outdoors or self.failing or low is None or high is None or not (self._rows or self.piece.parts):
            return None
        ends = self._inward(low, high)
        if ends is None or (low <= 0 and high >= 100):
            return None
        if low <= 0:
            return Range("Keep the room’s humidity at", f"{ends[1]} %", "or below")
        if high >= 100:
            return Range("Keep the room’s humidity at", f"{ends[0]} %", "or above")
        if ends[0] == ends[1]:
            return Range("Keep the room’s humidity at", f"{ends[0]} %")
        return Range("Keep the room’s humidity between", f"{ends[0]} and {ends[1]} %")

    def _inward(self, low: float, high: float) -> tuple[int, int] | None:
        """The humidities as they are read: finer where coarse steps would shut out a home's year that is kept."""
        coarse, fine = humidities.inward(low, high, STEP), humidities.inward(low, high)
        home = survival.humidities(self._year)
        if coarse is None or home.low is None or home.high is None:
            return coarse or fine
        shuts_out = low - _EXACT <= home.low < coarse[0] or coarse[1] < home.high <= high + _EXACT
        return fine if shuts_out else coarse

    @property
    def doubts(self) -> Sequence[str]:
        """Why the maker should look again before the card is handed out."""
        told = []
        if self.failing:
            many = "One part does" if self.failing == 1 else f"{self.failing} parts do"
            told.append(f"{many} not fit. Mend the piece first: the card cannot keep what the piece does not.")
        if not (self._rows or self.piece.parts):
            told.append("The piece has no parts that could be sized, so the card has no humidities.")
        elif self.humidities.low is None:
            told.append("No humidity keeps every part's clearances, so the card has none.")
        elif self.range is None and not self.failing and not self.outdoors:
            told.append("It survives any humidity, so the card has none.")
        missing = years.unrecorded(self.piece.climate)
        if missing:
            told.append(f"Only a part of the home's year was recorded. {missing} The card is worth no more than that.")
        return told

    @property
    def gaps(self) -> str:
        """How much the panels move, and the room hidden at their edges; empty where a part does not fit."""
        found = prospects.widest_change(self._rows)
        if found is None or self.failing:
            return ""
        words, (_, change) = Words(self.piece.unit), found
        fixed = [
            one.result.groove_depth_mm - one.result.fixed_engagement_mm
            for one in self._rows
            if one.result.fixed_engagement_mm is not None
        ]
        least = min(*(one.result.gap_wet_mm for one in self._rows), *fixed, inf)
        most = max(*(one.result.gap_dry_mm for one in self._rows), *fixed, 0.0)
        return (
            f"The panel that moves most changes by about {words.say(change)} in width over the year; hidden in the "
            f"grooves the panels have {words.most(least)} to {words.least(most)} of room at their edges."
        )

    @property
    def loose(self) -> bool:
        """Whether a panel is free to slide."""
        return any(row.result.hold == "loose" for row in self._rows)

    @property
    def opens(self) -> bool:
        """Whether it has doors or drawers."""
        return any(isinstance(part, _OPENING) for part in self.piece.parts)

    @property
    def slats(self) -> bool:
        """Whether it has a row of slats."""
        return any(isinstance(part, SlatsPart) for part in self.piece.parts)
