"""How sure a part is sized, as it is described in JSON: a confidence, and the spreads that it rests on."""

from collections.abc import Callable
from typing import Annotated, NotRequired, TypedDict

from movement import spread
from movement.parts.fields import Described, bounded
from movement.season import Ratios, Season
from movement.spread import Spread
from movement.wood import Wood

Confidence = Annotated[float, bounded(spread.CONFIDENCE, "%")]
NaturalVariation = Annotated[float, bounded(spread.NATURAL, "%")]
MeterError = Annotated[float, bounded(spread.METER, "%")]
YearToYear = Annotated[float, bounded(spread.WEATHER, "%")]
AngleDoubt = Annotated[float, bounded(spread.ANGLE, "°")]

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

    confidence_pct: Confidence | None = None
    spread: SpreadFields = SpreadFields()

    def sureness(self) -> Sureness:
        """The fields of a `Bench` that follow: its spread, and with a confidence the widened ratios."""
        known, asked = self.spread.known(), self.confidence_pct
        if asked is None:
            return {"spread": known}
        return {"spread": known, "ratios": spread.across(asked, known), "through": spread.through(asked, known)}
