"""What the requests and the results of a single part share: its bench, its tolerance, the moistures behind it."""

from functools import partial
from typing import Annotated, Any

from pydantic import BaseModel, Field

from movement import lengths, swelling
from movement.fits.panel import Clearances
from movement.fits.remedy import Say
from movement.parts import answers
from movement.parts.base import Bench, SeasonFields, SizeStep, StockFields, Tolerance
from movement.parts.fields import told

Cell = str | float | int | bool | None
"""A value of a gap table."""


class PartFields(StockFields, SeasonFields):
    """A part's stock and its year."""

    def bench(self, **more: object) -> Bench:
        """What the part is sized from; more replaces fields of the `Bench`."""
        mine = {"wood": self.wood(), "season": self.season(), "say": partial(lengths.show, unit="mm", step=0.1)}
        return Bench(**(mine | more))  # type: ignore[arg-type]


class MakingFields(PartFields):
    """A part's stock, its year, and how finely it is made."""

    making_tolerance_mm: Tolerance = 0.0
    size_step_mm: Annotated[
        SizeStep | None, told("Step that a recommended size is rounded to; null: not rounded", "mm")
    ] = None

    def bench(self, **more: object) -> Bench:
        """What the part is sized from; more replaces fields of the `Bench`."""
        made = {"clearances": Clearances(tolerance=self.making_tolerance_mm), "width_step": self.size_step_mm}
        return super().bench(**(made | more))


class PartResult(BaseModel):
    """What every part's result tells of the moistures that it was sized for."""

    fits: answers.Fits
    moisture_now_pct: answers.MoistureNow
    moisture_dry_pct: answers.MoistureDry
    moisture_mid_pct: answers.MoistureMid
    moisture_wet_pct: answers.MoistureWet
    coefficient_across: answers.CoefficientAcross
    advice: answers.Advice
    notes: answers.Notes = Field(default_factory=list)
    sources: answers.Sources

    def cells(self, say: Say) -> dict[str, Cell]:
        """What a gap table shows of the part, by column of `gap_table.COLUMNS`; ``say`` writes the lengths in words."""
        return {
            "moisture_now_pct": self.moisture_now_pct,
            "moisture_dry_pct": self.moisture_dry_pct,
            "moisture_wet_pct": self.moisture_wet_pct,
            "fits": self.fits,
            "advice": " ".join(self.advice),
        }


def conditions(bench: Bench, *sources: str) -> dict[str, Any]:
    """The fields of `PartResult` that the bench gives; sources follow the wood's own."""
    return {
        "moisture_now_pct": bench.season.now,
        "moisture_dry_pct": bench.season.dry,
        "moisture_mid_pct": bench.season.mid,
        "moisture_wet_pct": bench.season.wet,
        "coefficient_across": bench.wood.across,
        "sources": [*bench.sources, swelling.SOURCE, *sources],
    }


def counted(number: int, word: str) -> str:
    """A number of things in words.

    Example
    -------
    >>> counted(1, "board"), counted(7, "board")
    ('1 board', '7 boards')
    """
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def at_most(length: float, bench: Bench) -> str:
    """A length [mm] that must not be passed, in the maker's unit: rounded down, so that what is read still holds."""
    return bench.say(length, direction="down")


def at_least(length: float, bench: Bench) -> str:
    """A length [mm] that must be reached, in the maker's unit: rounded up, so that what is read still holds."""
    return bench.say(length, direction="up")
