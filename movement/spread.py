"""How sure the inputs are: the spread of boards, meters, winters and ring angles, and ratios widened for a confidence.

The spreads are standard deviations of causes taken as independent and normal. What comes of them is an estimate.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import cos, exp, radians, sqrt
from statistics import NormalDist
from types import MappingProxyType
from typing import Literal, NamedTuple

from movement import season as seasons
from movement.errors import require_range
from movement.season import Ratios, Season
from movement.swelling import REFERENCE_MOISTURE
from movement.wood import Wood

NATURAL = (0.0, 50.0)
"""Coefficient of variation of the movement coefficient from board to board [%]; project limit, no source."""
METER = (0.0, 5.0)
"""Standard deviation of the moisture content today [% MC]; project limit, no source."""
WEATHER = (0.0, 5.0)
"""Standard deviation of a year's driest and wettest moisture content [% MC]; project limit, no source."""
ANGLE = (0.0, 20.0)
"""Standard deviation of the ring angle [degrees]; project limit, no source."""
CONFIDENCE = (50.0, 99.9)
"""Confidence that a fit keeps a rule [%]; at 50 it is sized as if nothing were in doubt."""
CONFIDENCES = (50.0, 90.0, 95.0, 99.0)
"""Confidences to choose from [%]; conventional."""

MARKS = MappingProxyType(
    {
        "natural": "15 %: Wood Handbook, FPL-GTR-190, ch. 4 (from memory); CIRAD sheets of tropical woods: 9 to 22 %",
        "meter": "1 % MC: good pin meters ± 2 points at 95 %, Forsén and Tarvainen, VTT Publ. 420, 2000 (from memory)",
        "weather": "0.7 % MC: derived, two winters (5-6 %) and summers (10.4-10.9 %) of one heated room; weak",
        "angle": "5°: a ring angle read by eye; chosen here, no source",
    }
)
"""Where each default of `Spread` comes from."""


@dataclass(frozen=True, slots=True)
class Spread:
    """The standard deviations of what a fit is sized from.

    The making tolerance is in the `Clearances`: a bound, which the rules add whole and chances take as evenly spread.

    Attributes
    ----------
    natural : float
        Coefficient of variation of the movement coefficient from board to board [%], 0 to 50.
    meter : float
        Of the moisture content today [% MC], 0 to 5.
    weather : float
        Of the driest and of the wettest moisture content from year to year [% MC], 0 to 5.
    angle : float
        Of the ring angle [degrees], 0 to 20.

    Raises
    ------
    RangeError
        One of them out of range.
    """

    natural: float = 15.0
    meter: float = 1.0
    weather: float = 0.7
    angle: float = 5.0

    def __post_init__(self) -> None:
        require_range("natural variation", self.natural, *NATURAL, "%")
        require_range("meter error", self.meter, *METER, "%")
        require_range("spread from year to year", self.weather, *WEATHER, "%")
        require_range("doubt of the ring angle", self.angle, *ANGLE, "°")


class Coefficient(NamedTuple):
    """A movement coefficient as it may turn out [per 1 % MC]: mean and standard deviation over boards."""

    mean: float
    deviation: float


def coefficient(wood: Wood, spread: Spread, through: bool = False) -> Coefficient:
    """The coefficient of a board taken at random, across its width or through its thickness.

    Notes
    -----
    C(a) = m + h cos 2a, m = (C_T + C_R)/2, h = (C_T − C_R)/2, with a normal about the ring angle (an angle beyond 0° or
    90° folds back, which cos 2a does by itself): E[cos 2a] = exp(−2σ²) cos 2a and E[cos² 2a] = (1 + exp(−8σ²) cos 4a)/2
    are exact, so nothing is lost at 0° and 90°, where the slope of C(a) vanishes. Natural variation multiplies C(a)
    independently.

    Example
    -------
    >>> from movement import species, wood
    >>> cherry = wood.cut(species.find("Cherry, black"), 0)
    >>> found = coefficient(cherry, Spread())
    >>> round(found.mean, 5), round(found.deviation / found.mean, 3)
    (0.00247, 0.15)
    """
    return _varied(*_turned(*_stock(wood, through), wood.ring_angle, spread.angle), spread.natural)


def across(confidence: float, spread: Spread) -> Callable[[Season, Wood], Ratios]:
    """How the width stands against today's in the driest and the wettest season, each met with this confidence.

    Notes
    -----
    ρ* = ρ + z (σ + s) + (z² − 1) κ₃/6σ² + (z³ − 3z) κ₄/24σ³ for the wettest, minus for the driest, with z the normal
    quantile of the confidence and σ² = a² + b² + c², κ₃ = 6abc, κ₄ = 6c² (2a² + 2b² + c²) the cumulants of ρ in the
    form of `Doubt`: natural variation multiplies the doubt of the moisture, so that large movement is likelier than a
    normal curve says. Terms that would narrow the span are left out. s is how far the mean coefficient lies on the
    worse side of the entered one. Today counts as a season too, so ρ* is at least 1 when wet and at most 1 when dry.
    At 50 % z is 0, and ρ* is the ratio without any doubt. More confidence or more spread never gives a narrower span.

    The confidence is that of each rule on its own: of ten panels fitted at 90 %, one may keep less than the least gap
    in its wettest season, and one less than the least engagement in its driest. Binding or coming out is rarer, since
    the least gap, the least engagement and the making tolerance must be used up first.

    Parameters
    ----------
    confidence : float
        50 to 99.9 [%].
    spread : Spread
        What is in doubt.

    Returns
    -------
    callable
        What `season.across` is without doubt.

    Raises
    ------
    RangeError
        Confidence out of range.

    Source
    ------
    Delta method and Cornish-Fisher expansion (standard statistics; derived here).
    """
    return _widening(confidence, spread, False)


def through(confidence: float, spread: Spread) -> Callable[[Season, Wood], Ratios]:
    """As `across`, for the thickness; refuses with a `RangeError` what that refuses."""
    return _widening(confidence, spread, True)


class Doubt(NamedTuple):
    """A size over today's as it may turn out: ratio + stock·X + (moisture + both·X)·V.

    X is standard normal (the coefficient), V the normal error of the moistures, now's counted `ratio` times [% MC].

    Attributes
    ----------
    ratio : float
        At the mean of everything [-].
    stock : float
        What one standard deviation of the coefficient adds [-].
    moisture, both : float
        What a point of moisture adds [per 1 % MC], and what it adds more per standard deviation of the coefficient.
    """

    ratio: float
    stock: float
    moisture: float
    both: float


def doubt(now: float, then: float, coefficient: Coefficient) -> Doubt:
    """The ratio of the sizes at two moisture contents.

    Notes
    -----
    ρ = (1 + C (M − 10))/(1 + C (M₀ − 10)), D₀ its denominator: ∂ρ/∂C = (M − M₀)/D₀², ∂ρ/∂M = C/D₀, ∂ρ/∂M₀ = −ρ C/D₀.

    Parameters
    ----------
    now, then : float or ndarray
        M₀ and M, at most the start of shrinkage [% MC]; they broadcast with each other and the coefficient.
    coefficient : Coefficient
        Mean and standard deviation [per 1 % MC].

    Returns
    -------
    Doubt
        The ratio [-], and what each cause in doubt adds to it.
    """
    mean, deviation = coefficient
    base = 1 + mean * (now - REFERENCE_MOISTURE)
    ratio = (1 + mean * (then - REFERENCE_MOISTURE)) / base
    return Doubt(ratio, (then - now) / (base * base) * deviation, mean / base, deviation / base)


def _stock(wood: Wood, through: bool) -> tuple[float, float]:
    """The coefficient as entered, and half of what turning the rings from 90° to 0° adds to it."""
    turn = (wood.species.coefficient_tangential - wood.species.coefficient_radial) / 2
    return (wood.through, -turn) if through else (wood.across, turn)


def _turned(entered: float, turn: float, angle: float, doubt: float) -> Coefficient:
    """Mean and standard deviation of the coefficient over the doubt of the ring angle alone."""
    if not doubt:
        return Coefficient(entered, 0.0)  # what follows leaves the square root of a rounding error
    squared, cosine = radians(doubt) ** 2, cos(2 * radians(angle))
    mean = exp(-2 * squared) * cosine
    variance = (1 + exp(-8 * squared) * (2 * cosine * cosine - 1)) / 2 - mean * mean
    return Coefficient(entered + turn * (mean - cosine), abs(turn) * sqrt(max(variance, 0.0)))


def _varied(mean: float, deviation: float, natural: float) -> Coefficient:
    """A coefficient multiplied by natural variation."""
    variation = (natural / 100) ** 2
    return Coefficient(mean, sqrt(deviation * deviation * (1 + variation) + mean * mean * variation))


@lru_cache(64)
def _quantile(confidence: float) -> float:
    return NormalDist().inv_cdf(confidence / 100)


def _widening(confidence: float, spread: Spread, through: bool) -> Callable[[Season, Wood], Ratios]:
    require_range("confidence", confidence, *CONFIDENCE, "%")
    z = _quantile(confidence)
    plain = seasons.through if through else seasons.across

    def ratios(season: Season, wood: Wood) -> Ratios:
        entered, turn = _stock(wood, through)
        dry, wet = _reached(z, spread, season, entered, turn, wood.ring_angle, wood.start_of_shrinkage)
        return Ratios(min(1.0, dry), plain(season, wood).mid, max(1.0, wet))

    return ratios


@lru_cache(maxsize=4096)  # the panels of a piece share a few seasons and woods
def _reached(
    z: float, spread: Spread, season: Season, entered: float, turn: float, angle: float, start: float
) -> tuple[float, float]:
    """The size over today's that the driest year goes down to, and the wettest up to."""
    turned = _turned(entered, turn, angle, spread.angle)
    worst = _varied(max(turned.mean, entered), turned.deviation, spread.natural)
    now = min(season.now, start)

    def reach(moisture: float, way: Literal[-1, 1]) -> float:
        then = min(moisture, start)
        ratio = doubt(now, then, Coefficient(entered, 0.0)).ratio
        shift = doubt(now, then, Coefficient(turned.mean, 0.0)).ratio - ratio
        return ratio + way * _extra(z, doubt(now, then, worst), spread, way, shift)

    return reach(season.year_dry, -1), reach(season.year_wet, 1)


def _extra(z: float, found: Doubt, spread: Spread, way: int, shift: float) -> float:
    moistures = spread.weather**2 + (found.ratio * spread.meter) ** 2
    a, b, c = found.stock**2, found.moisture**2 * moistures, found.both**2 * moistures
    deviation = sqrt(a + b + c)
    if not deviation:
        return 0.0
    third = max(0.0, 6 * way * found.stock * found.moisture * found.both * moistures)
    fourth = 6 * c * (2 * a + 2 * b + c)
    skew = max(0.0, z**2 - 1) / 6 * third / deviation**2
    tails = max(0.0, z**3 - 3 * z) / 24 * fourth / deviation**3
    return z * (deviation + max(0.0, way * shift)) + skew + tails
