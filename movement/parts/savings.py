"""What would help a panel most, as it is asked and answered in JSON."""

from typing import Annotated

from pydantic import BaseModel

from movement.fits import savings
from movement.fits.savings import Asked, Name
from movement.parts.fields import told
from movement.parts.panel import PanelRequest
from movement.parts.spread import Confidence

USUAL = 95.0
"""Confidence where none is told [%]; conventional."""


class SavingsRequest(PanelRequest):
    """A panel whose groove is to be made shallower: the body of ``POST /api/v1/savings``."""

    confidence_pct: Confidence = USUAL


class SavingResult(BaseModel):
    """A change, tried alone, and the groove that it saves."""

    name: Annotated[Name, told("The doubt or the choice that is changed")]
    saved_mm: Annotated[float, told("Groove depth that the change saves", "mm")]
    text: Annotated[str, told("The change, in a sentence")]


class SavingsResult(BaseModel):
    """The least groove as it is, and the changes that save some, the most first."""

    least_groove_depth_mm: Annotated[float, told("Least groove depth as it is", "mm")]
    confidence_pct: Annotated[float, told("Confidence that it is sized for", "%")]
    savings: Annotated[list[SavingResult], told("Changes that save some groove, the most first")]


def result(asked: SavingsRequest) -> SavingsResult:
    """What would help a panel most.

    Raises
    ------
    RangeError
        A length out of range.
    """
    bench = asked.bench()
    question = Asked(
        asked.sight_width_mm,
        asked.hold,
        bench.clearances,
        bench.wood,
        bench.season,
        asked.confidence_pct,
        bench.spread,
    )
    return SavingsResult(
        least_groove_depth_mm=question.least_groove(),
        confidence_pct=question.confidence,
        savings=[
            SavingResult(name=one.name, saved_mm=one.saved, text=one.text)
            for one in savings.savings(question, bench.say)
        ],
    )
