"""How sure a part is sized, as it is described in JSON: a confidence, and the spreads that it rests on."""

from collections.abc import Callable
from typing import Annotated, NotRequired, TypedDict

from movement import spread
from movement.parts.fields import Described, bounded, told
from movement.season import Ratios, Season
from movement.spread import Spread
from movement.wood import Wood

Confidence = Annotated[float, bounded(spread.CONFIDENCE, "%", "How sure each rule of fit is to be kept")]
NaturalVariation = Annotated[
    float,
    bounded(
        spread.NATURAL,
        "%",
        "Standard deviation of the movement coefficient among boards of one species, of the coefficient",
    ),
]
MeterError = Annotated[
    float, bounded(spread.METER, "%", "Standard deviation of the meter's reading, in points of moisture content")
]
YearToYear = Annotated[
    float,
    bounded(spread.WEATHER, "%", "Standard deviation of the year's driest and wettest moisture content, in points"),
]
AngleDoubt = Annotated[float, bounded(spread.ANGLE, "°", "Standard deviation of the ring angle")]

_USUAL = Spread()


class SpreadFields(Described):
    """Standard deviations of what a part is sized from; where each default comes from is in `spread.MARKS`."""

    natural_variation_pct: NaturalVariation = _USUAL.natural
    meter_error_pct: MeterError = _USUAL.meter
    year_to_year_pct: YearToYear = _USUAL.weather
    ring_angle_doubt_deg: AngleDoubt = _USUAL.angle

    def known(self) -> Spread:
        """The spread as the core knows it."""
        return Spread(
            self.natural_variation_pct, self.meter_error_pct, self.year_to_year_pct, self.ring_angle_doubt_deg
        )


class Sureness(TypedDict):
    """The fields of a `Bench` that a confidence and a spread give it."""

    spread: Spread
    ratios: NotRequired[Callable[[Season, Wood], Ratios]]
    through: NotRequired[Callable[[Season, Wood], Ratios]]


class ConfidenceFields(Described):
    """How sure each rule of fit is to be kept; without a confidence a part is sized as if nothing were in doubt."""

    confidence_pct: Annotated[
        Confidence | None, told("How sure each rule of fit is to be kept; null: as if nothing were in doubt", "%")
    ] = None
    spread: Annotated[SpreadFields, told("Standard deviations of what the part is sized from")] = SpreadFields()

    def sureness(self) -> Sureness:
        """The fields of a `Bench` that follow: its spread, and with a confidence the widened ratios."""
        known, asked = self.spread.known(), self.confidence_pct
        if asked is None:
            return {"spread": known}
        return {"spread": known, "ratios": spread.across(asked, known), "through": spread.through(asked, known)}
