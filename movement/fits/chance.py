"""The chance that a panel binds or comes out over a year, and that any panel of a piece does: estimates, both.

Boards, meter readings and cuts are each panel's own and independent; a dry or a wet year is shared by all. The driest
and the wettest season are taken as independent of each other. A panel that does not go in today is seen today, so only
the seasons to come count.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import erfc, radians, sqrt
from typing import NamedTuple

import numpy as np

from movement.arrays import Floats
from movement.errors import require_range
from movement.fits import panel
from movement.fits.panel import Clearances, Hold
from movement.season import Season
from movement.spread import Coefficient, Spread, doubt
from movement.wood import Wood

NOTE = "Chances are estimates: the spreads behind them are known roughly, and taken as independent of one another."


def _normal_nodes(count: int) -> tuple[Floats, Floats]:
    """Places and weights that average over a standard normal (Gauss–Hermite)."""
    places, weights = np.polynomial.hermite_e.hermegauss(count)
    return places, weights / weights.sum()


_PLACES, _WEIGHTS = _normal_nodes(7)
_TURNS, _TURN_WEIGHTS = _normal_nodes(3)
_YEARS, _YEAR_WEIGHTS = np.polynomial.legendre.leggauss(40)
_YEARS = 5.5 * _YEARS
_YEAR_WEIGHTS = _YEAR_WEIGHTS * np.exp(-(_YEARS**2) / 2)
_YEAR_WEIGHTS = _YEAR_WEIGHTS / _YEAR_WEIGHTS.sum()
_EVENTS = np.array([1.0, -1.0])[:, None, None, None, None]
_TINY = 1e-300
_FEW = 64


class Chance(NamedTuple):
    """Chances within one year, 0 to 1: ``binds``, no gap left at the groove's bottom; ``comes_out``, no engagement."""

    binds: float
    comes_out: float


class Case(NamedTuple):
    """A sized panel with all that is in doubt about it; a row of numbers, so that many become arrays.

    Attributes
    ----------
    out, bound : float
        Width over today's below which it comes out and above which it binds [-].
    cut : float
        Standard deviation of the width as cut, over the width [-].
    now, dry, wet, start : float
        Moisture today, driest and wettest of the year, start of shrinkage [% MC].
    coefficient, turn : float
        Movement coefficient, and half of what turning the rings from 90° to 0° adds to it [per 1 % MC].
    angle : float
        Ring angle [radians].
    natural, meter, weather, doubt : float
        Standard deviations: of the coefficient over the coefficient [-], of the moistures [% MC], of the ring angle
        [radians].
    """

    out: float
    bound: float
    cut: float
    now: float
    dry: float
    wet: float
    start: float
    coefficient: float
    turn: float
    angle: float
    natural: float
    meter: float
    weather: float
    doubt: float


def case(
    sight_width: float,
    groove: float,
    width: float,
    hold: Hold,
    clearances: Clearances,
    wood: Wood,
    season: Season,
    spread: Spread,
) -> Case:
    """A panel of this width in this groove, with its doubts.

    Parameters
    ----------
    sight_width, groove, width : float
        [mm]; width as it is to be cut today.
    hold : str
        ``centred``, ``loose`` or ``one edge``.
    clearances : Clearances
        The engagement of a fixed edge, and the making tolerance: the width as cut is taken as evenly spread between
        its two bounds (standard deviation t/√3).
    wood, season, spread
        The stock, the moistures that it meets, and what is in doubt about both.

    Returns
    -------
    Case
        For `alone` and `together`.

    Raises
    ------
    RangeError
        Panel width out of range.
    """
    require_range("panel width", width, *panel.PANEL_WIDTH, "mm")
    lines = panel.rule(hold, Clearances(0.0, 0.0, 0.0, clearances.fixed))
    species = wood.species
    return Case(
        (sight_width + lines.dry_slope * groove + lines.dry) / width,
        (sight_width + lines.wet_slope * groove + lines.wet) / width,
        clearances.tolerance / sqrt(3) / width,
        season.now,
        season.year_dry,
        season.year_wet,
        wood.start_of_shrinkage,
        wood.across,
        (species.coefficient_tangential - species.coefficient_radial) / 2,
        radians(wood.ring_angle),
        spread.natural / 100,
        spread.meter,
        spread.weather,
        radians(spread.angle),
    )


def alone(one: Case) -> Chance:
    """The chance that one panel binds and that it comes out.

    Notes
    -----
    P(W ρ > limit), with the width over today's ρ + aX + (b + cX)V as in `spread.Doubt`, X and V standard normal, and
    the cut as a normal of its standard deviation. Given X, or given V, the sum is normal, so the chance is a normal
    integral averaged over the other: over the one that matters less, at seven Gauss–Hermite nodes, and over the ring
    angle at three, which are right at 0° and 90° too, where the slope of the coefficient vanishes.

    Source
    ------
    Delta method with the mixed term kept (standard statistics; derived here), checked by sampling.
    """
    binds, out = _exceeded(_columns([one]), None)[:, 0, 0].tolist()
    return Chance(binds, out)


def together(cases: Sequence[Case], counts: Sequence[int]) -> Chance:
    """The chance that at least one of many panels binds, and that at least one comes out.

    Notes
    -----
    1 − ∫ Π (1 − pᵢ(z))ⁿⁱ φ(z) dz over the shared year z, at forty Gauss–Legendre nodes to 5.5 deviations: within
    0.3 points where the panels' own causes weigh at least a fifth of the year's; a few off where they are nothing.
    Kept within the bounds that hold whatever the causes share: not below the likeliest panel's, not above the sum.

    Parameters
    ----------
    cases : sequence of Case
        Each kind of panel.
    counts : sequence of int
        How many of each.
    """
    if not cases:
        return Chance(0.0, 0.0)
    number = np.asarray(counts, dtype=float)[:, None]
    found = [_by_year(one) for one in cases]
    single = np.stack([alone for alone, _ in found], axis=1)
    none = np.exp((number * np.stack([spared for _, spared in found], axis=1)).sum(axis=1)) @ _YEAR_WEIGHTS
    most = np.minimum(1.0, (single * number[:, 0]).sum(axis=1))
    binds, out = np.clip(1 - none, single.max(axis=1), most).tolist()
    return Chance(binds, out)


@lru_cache(maxsize=4096)  # a change of one panel leaves the others of its piece as they were
def _by_year(one: Case) -> tuple[Floats, Floats]:
    """A panel's chances over all years, and the logarithms of being spared in each of `_YEARS`, by event."""
    columns = _columns([one])
    with np.errstate(divide="ignore"):
        spared = np.log1p(-_exceeded(columns, _YEARS))[:, 0]
    return _exceeded(columns, None)[:, 0, 0], spared


def _columns(cases: Sequence[Case]) -> Case:
    """Every field as an array over panel, year, turn of the rings, node."""
    return Case(*np.array(cases).T[:, :, None, None, None])


def _exceeded(one: Case, years: Floats | None) -> Floats:
    """Chances by event (binds, comes out), panel and year; over all years where years is ``None``."""
    then = np.array([one.wet, one.dry])
    weather = one.weather
    if years is not None:
        then, weather = then + weather * years[:, None, None], 0.0
    turned = np.cos(2 * (one.angle + one.doubt * _TURNS[:, None])) - np.cos(2 * one.angle)
    coefficient = one.coefficient + one.turn * turned
    found = doubt(
        np.minimum(one.now, one.start), np.minimum(then, one.start), Coefficient(coefficient, one.natural * coefficient)
    )
    moistures = np.sqrt(weather**2 + (found.ratio * one.meter) ** 2)
    by_stock, by_moisture, both = found.stock, found.moisture * moistures, found.both * moistures
    swapped = np.abs(by_stock) > np.abs(by_moisture)
    less, more = np.where(swapped, by_moisture, by_stock), np.where(swapped, by_stock, by_moisture)
    beyond = found.ratio - np.array([one.bound, one.out]) + less * _PLACES
    deviation = np.sqrt((more + both * _PLACES) ** 2 + (found.ratio * one.cut) ** 2)
    return np.asarray(_below(_EVENTS * beyond / np.maximum(deviation, _TINY)) @ _WEIGHTS @ _TURN_WEIGHTS)


def _below(places: Floats) -> Floats:
    """The chance that a standard normal is below each place.

    The few of one panel by the standard library: scipy.special takes longer to load than the rest of the first page.
    """
    if places.size <= _FEW:
        return np.array([erfc(-place) / 2 for place in (places * sqrt(0.5)).flat]).reshape(places.shape)
    from scipy.special import ndtr  # loaded here: only whole pieces ask for so many

    return np.asarray(ndtr(places))
