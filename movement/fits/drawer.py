"""A drawer's sides in their case: how high, and how long, to run and to close all year.

A side's height lies across its grain and moves; its length lies along the grain and stays. What the case does depends
on the grain of its sides: vertical, its openings keep their height and its depth moves; horizontal, its openings move
and its depth stays; a frame and panel keeps its openings, and its depth moves by its two stiles only.

With ρ a dimension of the drawer, and R one of the case, over today's, at the driest and the wettest moisture; H the
opening's height and D the case's depth inside; c the least clearance, t the making tolerance:

    height h of a side:     h ρ + t ≤ H R − c            at the driest, today and at the wettest
    length l of a side:     l + t ≤ D R_d − c            the case is shallowest when dry

Length and depth are measured from the inner face of the drawer's front. What divides the case's openings is taken not
to move: a divider's own thickness swells by about a hundredth.
"""

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Quantity, floats, unwrap
from movement.errors import require_range
from movement.fits.panel import Clearances
from movement.fits.reveals import bias_word, rounded_down
from movement.season import Ratios

CaseGrain = Literal["vertical", "horizontal", "frame"]
CASE_GRAINS: tuple[CaseGrain, ...] = get_args(CaseGrain)

HEIGHT = (10.0, 1000.0)
"""Height of an opening or of a drawer side [mm]; project limit, no source."""
DEPTH = (80.0, 2000.0)
"""Depth of a case inside, or length of a drawer side [mm]; project limit, no source."""
STILE = (5.0, 500.0)
"""Width of a stile of the case's side frame [mm]; project limit, no source."""
_EXACT = 1e-9


def opening_at(opening: ArrayLike, grain: CaseGrain, ratio: ArrayLike) -> Quantity:
    """Height of an opening [mm] when the case's wood is this many times as wide as today.

    Raises
    ------
    ValueError
        When there is no such grain.
    """
    _require_grain(grain)
    return unwrap(floats(opening) * (floats(ratio) if grain == "horizontal" else 1.0))


def depth_at(depth: ArrayLike, grain: CaseGrain, ratio: ArrayLike, stile: ArrayLike = 0.0) -> Quantity:
    """Depth of a case inside [mm] when its wood is this many times as wide as today.

    Parameters
    ----------
    depth : float or ndarray
        Today [mm].
    grain : str
        Of the case's sides: ``vertical``, ``horizontal`` or ``frame``.
    ratio : float or ndarray
        R [-].
    stile : float or ndarray
        Width of each of the two stiles of a framed side [mm]; used for grain ``frame``.

    Returns
    -------
    float or ndarray
        [mm].

    Raises
    ------
    ValueError
        When there is no such grain.
    """
    _require_grain(grain)
    moving = {"vertical": floats(depth), "horizontal": floats(0.0), "frame": 2 * floats(stile)}[grain]
    return unwrap(floats(depth) + moving * (floats(ratio) - 1))


def tallest_side(
    opening: ArrayLike, grain: CaseGrain, drawer: Ratios, case: Ratios, clearances: Clearances
) -> Quantity:
    """The tallest drawer side to cut today that runs all year [mm]: the least of (H R − c − t)/ρ.

    Parameters
    ----------
    opening : float or ndarray
        H today [mm], within `HEIGHT`.
    grain : str
        ``vertical``, ``horizontal`` or ``frame``.
    drawer, case : Ratios
        Sides' height and case's width over today's [-]. Both follow the same air: a case that lags behind its drawers,
        or the other way about, is not counted.
    clearances : Clearances
        The least room (gap) and the making tolerance.

    Returns
    -------
    float or ndarray
        [mm].

    Raises
    ------
    RangeError
        Opening out of range.
    """
    require_range("height of the opening", opening, *HEIGHT, "mm")
    least = clearances.gap + clearances.tolerance
    sides = [
        (floats(opening_at(opening, grain, case_ratio)) - least) / ratio for ratio, case_ratio in _states(drawer, case)
    ]
    return unwrap(np.min(sides, axis=0))


def lowest_opening(side: ArrayLike, grain: CaseGrain, drawer: Ratios, case: Ratios, clearances: Clearances) -> Quantity:
    """The lowest opening that a side of this height today runs in all year [mm]: the inverse of `tallest_side`.

    Raises
    ------
    RangeError
        Height of the side out of range.
    """
    require_range("height of the side", side, *HEIGHT, "mm")
    least = clearances.gap + clearances.tolerance
    openings = [
        (floats(side) * ratio + least) / floats(opening_at(1.0, grain, case_ratio))
        for ratio, case_ratio in _states(drawer, case)
    ]
    return unwrap(np.max(openings, axis=0))


def longest_side(
    depth: ArrayLike, grain: CaseGrain, dry: ArrayLike, clearances: Clearances, stile: ArrayLike = 0.0
) -> Quantity:
    """The longest drawer side that a case still closes on in the driest season [mm].

    Parameters
    ----------
    depth : float or ndarray
        D today [mm], within `DEPTH`.
    dry : float or ndarray
        R_d of the case [-].
    grain, stile
        As in `depth_at`.
    clearances : Clearances
        The least room (gap) and the making tolerance.

    Returns
    -------
    float or ndarray
        [mm], along the grain.

    Raises
    ------
    RangeError
        Depth out of range.
    """
    require_range("depth of the case", depth, *DEPTH, "mm")
    return unwrap(floats(depth_at(depth, grain, dry, stile)) - clearances.gap - clearances.tolerance)


def shallowest_case(
    side: ArrayLike, grain: CaseGrain, dry: ArrayLike, clearances: Clearances, stile: ArrayLike = 0.0
) -> Quantity:
    """The least depth today of a case that closes on sides of this length [mm]: the inverse of `longest_side`.

    Raises
    ------
    RangeError
        Length of the side out of range.
    """
    require_range("length of the side", side, *DEPTH, "mm")
    least = floats(side) + clearances.gap + clearances.tolerance
    if grain == "vertical":
        return unwrap(least / floats(dry))
    return unwrap(least - floats(depth_at(0.0, grain, dry, stile)))


@dataclass(frozen=True, slots=True)
class SideFit:
    """The height of a drawer side in its opening. Lengths in mm."""

    opening: float
    grain: CaseGrain
    drawer: Ratios
    case: Ratios
    clearances: Clearances
    height: float
    tallest: float

    @property
    def lowest_opening(self) -> float:
        """The lowest opening that it runs in all year [mm]; see `lowest_opening`."""
        return float(lowest_opening(self.height, self.grain, self.drawer, self.case, self.clearances))

    @property
    def fits(self) -> bool:
        """Whether it runs all year."""
        return self.height <= self.tallest + _EXACT

    def clearance_at(self, ratio: float, case_ratio: float) -> float:
        """Room between side and opening at a ratio of the side and of the case [mm]; negative when it binds."""
        return float(opening_at(self.opening, self.grain, case_ratio)) - self.height * ratio

    @property
    def bias(self) -> float:
        """Clearance today minus clearance at mid [mm]: positive, leave looser; negative, fit tighter."""
        return self.clearance_at(1.0, 1.0) - self.clearance_at(self.drawer.mid, self.case.mid)

    @property
    def bias_word(self) -> Literal["looser", "tighter", "neutral"]:
        """The direction of the bias."""
        return bias_word(self.bias)


@dataclass(frozen=True, slots=True)
class LengthFit:
    """The length of a drawer side in the depth of its case. Lengths in mm."""

    depth: float
    grain: CaseGrain
    case: Ratios
    clearances: Clearances
    stile: float
    length: float
    longest: float

    @property
    def shallowest_case(self) -> float:
        """The shallowest case that it closes in all year [mm]; see `shallowest_case`."""
        return float(shallowest_case(self.length, self.grain, self.case.dry, self.clearances, self.stile))

    @property
    def fits(self) -> bool:
        """Whether the drawer closes all year."""
        return self.length <= self.longest + _EXACT

    def clearance_at(self, case_ratio: float) -> float:
        """Room behind the sides when the case's wood is this many times as wide as today [mm]."""
        return float(depth_at(self.depth, self.grain, case_ratio, self.stile)) - self.length


def fit_side(
    opening: float,
    grain: CaseGrain,
    drawer: Ratios,
    case: Ratios,
    clearances: Clearances,
    height: float | None = None,
    step: float | None = None,
) -> SideFit:
    """Size the height of a drawer's sides, or check one.

    Parameters
    ----------
    opening : float
        H today [mm], within `HEIGHT`.
    grain : str
        Of the case's sides: ``vertical``, ``horizontal`` or ``frame``.
    drawer, case : Ratios
        Sides' height and case's width over today's [-].
    clearances : Clearances
        As in `tallest_side`.
    height : float or None
        A height that is given [mm], within `HEIGHT`; ``None``: the tallest that runs all year.
    step : float or None
        A recommended height is rounded down to a multiple of this [mm].

    Returns
    -------
    SideFit
        ``fits`` is False where a given height runs tight: a result, not an error.

    Raises
    ------
    RangeError
        A length out of range, or an opening too low for any side.
    """
    tallest = float(tallest_side(opening, grain, drawer, case, clearances))
    height = rounded_down(tallest, step, HEIGHT[0]) if height is None else height
    require_range("height of the side", height, *HEIGHT, "mm")
    return SideFit(opening, grain, drawer, case, clearances, height, tallest)


def fit_length(
    depth: float,
    grain: CaseGrain,
    case: Ratios,
    clearances: Clearances,
    stile: float = 0.0,
    length: float | None = None,
    step: float | None = None,
) -> LengthFit:
    """Size the length of a drawer's sides, or check one.

    Parameters
    ----------
    depth : float
        D today [mm], within `DEPTH`.
    grain : str
        Of the case's sides: ``vertical``, ``horizontal`` or ``frame``.
    case : Ratios
        The case's width over today's [-].
    clearances : Clearances
        As in `longest_side`.
    stile : float
        Width of each stile of a framed case side [mm]; used for grain ``frame``.
    length : float or None
        A length that is given [mm], within `DEPTH`; ``None``: the longest that the case closes on all year.
    step : float or None
        A recommended length is rounded down to a multiple of this [mm].

    Returns
    -------
    LengthFit
        ``fits`` is False where the case does not close on a given length: a result, not an error.

    Raises
    ------
    RangeError
        A length out of range, or a case too shallow for any side.
    """
    longest = float(longest_side(depth, grain, case.dry, clearances, stile))
    length = rounded_down(longest, step, DEPTH[0]) if length is None else length
    require_range("length of the side", length, *DEPTH, "mm")
    return LengthFit(depth, grain, case, clearances, stile, length, longest)


def _states(drawer: Ratios, case: Ratios) -> tuple[tuple[float, float], ...]:
    """Ratio of the drawer and of the case at the driest, today and at the wettest."""
    return (drawer.dry, case.dry), (1.0, 1.0), (drawer.wet, case.wet)


def _require_grain(grain: CaseGrain) -> None:
    if grain not in CASE_GRAINS:
        raise ValueError(f"grain of the case's sides is {grain!r}; known are {', '.join(CASE_GRAINS)}")
