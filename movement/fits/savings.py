"""What would help most: which doubt, or which choice of stock and hold, costs a panel the most groove."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from movement import spread as spreads
from movement.fits import panel, restock
from movement.fits.panel import NEUTRAL, Clearances, Hold
from movement.fits.remedy import Say
from movement.season import Season
from movement.spread import Spread
from movement.wood import Wood

Name = Literal["meter", "natural", "angle", "weather", "tolerance", "quartered", "pinned", "nearer"]


@dataclass(frozen=True, slots=True)
class Asked:
    """A panel whose least groove is asked for, with all that it depends on."""

    sight_width: float
    hold: Hold
    clearances: Clearances
    wood: Wood
    season: Season
    confidence: float
    spread: Spread

    def least_groove(self) -> float:
        """The shallowest groove that keeps both rules with the confidence asked for [mm]."""
        ratios = spreads.across(self.confidence, self.spread)(self.season, self.wood)
        return float(panel.least_groove(self.sight_width, self.hold, ratios.dry, ratios.wet, self.clearances))


@dataclass(frozen=True, slots=True)
class Saving:
    """A change, the groove that it saves [mm], and a sentence for the maker.

    ``meter``, ``natural``, ``angle``, ``weather`` and ``tolerance`` are doubts taken away whole, so the saving is the
    most that can be had; ``quartered``, ``pinned`` and ``nearer`` are choices.
    """

    name: Name
    saved: float
    text: str


def savings(asked: Asked, say: Say) -> tuple[Saving, ...]:
    """The changes that save groove, the most first; those below `panel.NEUTRAL`, or that are written as nothing, are
    left out.

    Parameters
    ----------
    asked : Asked
        The panel.
    say : callable
        Writes a length [mm] in the maker's unit.

    Notes
    -----
    Each is tried alone: the least groove as it is, less the least groove with the change. Savings do not add up.

    Raises
    ------
    RangeError
        Sight width or confidence out of range.
    """
    least = asked.least_groove()
    found = ((name, least - other.least_groove(), text) for name, other, text in _changes(asked))
    worth = [
        Saving(name, saved, text.format(say(saved)))
        for name, saved, text in found
        if saved >= NEUTRAL and say(saved) != say(0.0)
    ]
    return tuple(sorted(worth, key=lambda saving: -saving.saved))


def _changes(asked: Asked) -> Iterator[tuple[Name, Asked, str]]:
    def surer(**doubt: float) -> Asked:
        return replace(asked, spread=replace(asked.spread, **doubt))

    oven = "Settle today's moisture by oven-drying a sample, and stay with the oven: up to {} less groove."
    yield "meter", surer(meter=0.0), oven
    yield "natural", surer(natural=0.0), "Measure how this very stock moves, on an offcut: up to {} less groove."
    yield "angle", surer(angle=0.0), "Read the ring angle on the end of every board: up to {} less groove."
    yield "weather", surer(weather=0.0), "Keep the room as dry and as damp every year: up to {} less groove."
    exact = replace(asked, clearances=replace(asked.clearances, tolerance=0.0))
    yield "tolerance", exact, "Cut the width exactly: up to {} less groove."
    quartered = restock.quartered(asked.wood)
    if quartered is not None:
        yield "quartered", replace(asked, wood=quartered), "Use quarter-sawn stock of the same species: {} less groove."
    if asked.hold != "centred":
        pinned = replace(asked, hold="centred")
        yield "pinned", pinned, "Pin the panel at mid-width, or centre it on spacers: {} less groove."
    near = restock.nearer(asked.season)
    if near is not None:
        word = restock.drier(asked.season, near)
        nearer = replace(asked, season=near)
        yield "nearer", nearer, f"Use {word} stock, at {near.now:.1f} % moisture content: {{}} less groove."
