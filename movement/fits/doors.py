"""Inset doors hinged in an opening that stays put: one leaf, or two that meet; framed, or solid slabs.

A framed leaf moves only by its two stiles: the rails between them, and a panel or a muntin there, leave its width
alone, for the rails run along the grain. A slab moves by its whole width. With O the opening's width, n the number of
leaves, f the reveal at each hinge, W a leaf's width today and s its two stiles together (W for a slab), the closing
reveal (at the stop, or between the meeting stiles) is O − n f − n [W + s (ρ − 1)], and with c and m its least and
greatest and t the making tolerance of a leaf:

- wet: n [W + s (ρ_w − 1)] + n t ≤ O − n f − c
- dry: n [W − s (1 − ρ_d)] − n t ≥ O − n f − m, where a greatest reveal is asked.

A door's height does not move: its stiles, or the grain of a slab, run along it.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Quantity, floats, unwrap
from movement.errors import RangeError, require_range
from movement.fits.reveals import OPENING, SIZE, Reveals, bias_word, rounded_down
from movement.season import Ratios

Leaves = Literal[1, 2]

STILE = (5.0, 500.0)
"""Width of one stile today [mm]; project limit, no source."""
_EXACT = 1e-9


def _require(opening: ArrayLike, stiles: ArrayLike | None) -> None:
    require_range("width of the opening", opening, *OPENING, "mm")
    if stiles is not None:
        require_range("width of both stiles", stiles, 2 * STILE[0], 2 * STILE[1], "mm")


def widest_leaf(
    opening: ArrayLike, leaves: Leaves, stiles: ArrayLike | None, wet: ArrayLike, reveals: Reveals
) -> Quantity:
    """The widest leaf to make today that does not bind in the wettest season.

    Notes
    -----
    W = (O − n f − c)/n − t − s (ρ_w − 1) framed, [(O − n f − c)/n − t]/ρ_w for a slab.

    Parameters
    ----------
    opening : float or ndarray
        O [mm], within `OPENING`.
    leaves : int
        1, or 2 that meet.
    stiles : float, ndarray or None
        The two stiles of one leaf together, today [mm]; ``None`` for a slab.
    wet : float or ndarray
        ρ_w [-].
    reveals : Reveals
        The least and the fixed reveal, and the making tolerance.

    Returns
    -------
    float or ndarray
        [mm].

    Raises
    ------
    RangeError
        Opening or stiles out of range.

    Example
    -------
    >>> round(widest_leaf(400.0, 1, 120.0, 1.02, Reveals(2.0, fixed=1.0)), 2)  # 400 − 1 − 2 − 120 · 0.02
    394.6
    """
    _require(opening, stiles)
    room = (floats(opening) - reveals.least) / leaves - reveals.fixed - reveals.tolerance
    return unwrap(room / floats(wet) if stiles is None else room - floats(stiles) * (floats(wet) - 1))


def narrowest_leaf(
    opening: ArrayLike, leaves: Leaves, stiles: ArrayLike | None, dry: ArrayLike, reveals: Reveals
) -> Quantity:
    """The narrowest leaf to make today that keeps to the greatest reveal in the driest season [mm]; 0 where any does.

    Raises
    ------
    RangeError
        Opening or stiles out of range.
    """
    _require(opening, stiles)
    if reveals.greatest is None:
        return unwrap(np.zeros(np.broadcast(floats(opening), floats(dry)).shape))
    room = (floats(opening) - reveals.greatest) / leaves - reveals.fixed + reveals.tolerance
    leaf = room / floats(dry) if stiles is None else room + floats(stiles) * (1 - floats(dry))
    return unwrap(np.maximum(leaf, 0.0))


def width_at(width: ArrayLike, stiles: ArrayLike | None, ratio: ArrayLike) -> Quantity:
    """A leaf's width when wood is this many times today's across the grain [mm]."""
    moving = floats(width) if stiles is None else floats(stiles)
    return unwrap(floats(width) + moving * (floats(ratio) - 1))


def closing_reveal(
    opening: ArrayLike,
    leaves: Leaves,
    stiles: ArrayLike | None,
    width: ArrayLike,
    ratio: ArrayLike = 1.0,
    fixed: float = 0.0,
) -> Quantity:
    """The reveal at the closing edge, or between two leaves, of leaves this wide today [mm]; negative when they bind.

    Parameters
    ----------
    opening, leaves, stiles
        As in `widest_leaf`.
    width, fixed : float or ndarray
        W and the reveal at each hinge [mm].
    ratio : float or ndarray
        The wood's width then over today's [-].

    Returns
    -------
    float or ndarray
        [mm].
    """
    return unwrap(floats(opening) - leaves * (floats(width_at(width, stiles, ratio)) + fixed))


def least_opening(
    width: ArrayLike, leaves: Leaves, stiles: ArrayLike | None, wet: ArrayLike, reveals: Reveals
) -> Quantity:
    """The narrowest opening that leaves this wide today do not bind in [mm]: the inverse of `widest_leaf`.

    Raises
    ------
    RangeError
        Width of a leaf out of range.
    """
    require_range("width of a leaf", width, *SIZE, "mm")
    leaf = floats(width_at(width, stiles, wet)) + reveals.tolerance + reveals.fixed
    return unwrap(leaves * leaf + reveals.least)


def dry_reveal(
    opening: ArrayLike, leaves: Leaves, stiles: ArrayLike | None, dry: ArrayLike, wet: ArrayLike, reveals: Reveals
) -> Quantity:
    """The closing reveal that the widest leaves come to in the driest season, their tolerance against it [mm].

    Raises
    ------
    RangeError
        Opening or stiles out of range.
    """
    width = widest_leaf(opening, leaves, stiles, wet, reveals)
    nominal = floats(closing_reveal(opening, leaves, stiles, width, dry, reveals.fixed))
    return unwrap(nominal + leaves * reveals.tolerance)


def widest_stiles(leaves: Leaves, dry: ArrayLike, wet: ArrayLike, reveals: Reveals) -> Quantity:
    """The widest two stiles of a framed leaf, together today, that keep both reveals whatever the opening.

    Notes
    -----
    s = [(m − c)/n − 2t]/(ρ_w − ρ_d).

    Returns
    -------
    float or ndarray
        [mm]; infinite where the wood does not move or any reveal may be reached, negative where none do.
    """
    dry, wet = floats(dry), floats(wet)
    if reveals.greatest is None:
        return unwrap(np.full(np.broadcast(dry, wet).shape, np.inf))
    room = (reveals.greatest - reveals.least) / leaves - 2 * reveals.tolerance
    still = wet == dry
    return unwrap(np.where(still, np.inf if room >= 0 else -np.inf, room / np.where(still, 1.0, wet - dry)))


@dataclass(frozen=True, slots=True)
class DoorFit:
    """One or two leaves in their opening, sized. Lengths in mm; ``stiles`` is ``None`` for a slab.

    ``cut`` is the width to make a leaf today; ``width`` is the leaf as made, or the width to cut where none is made.
    """

    opening: float
    leaves: Leaves
    stiles: float | None
    reveals: Reveals
    ratios: Ratios
    fits: bool
    cut: float
    width: float
    narrowest: float
    widest: float

    def closing_at(self, ratio: float) -> float:
        """Reveal at the closing edge, or between the leaves, when wood is this many times today's width [mm]."""
        return float(closing_reveal(self.opening, self.leaves, self.stiles, self.width, ratio, self.reveals.fixed))

    def width_at(self, ratio: float) -> float:
        """Width of a leaf when wood is this many times today's width [mm]."""
        return float(width_at(self.width, self.stiles, ratio))

    @property
    def plane_off(self) -> float:
        """What to take off each leaf that is already made [mm]."""
        return self.width - self.cut if self.width > self.widest + _EXACT else 0.0

    @property
    def short(self) -> float:
        """How much a leaf that is already made is too narrow [mm]."""
        return max(self.narrowest - self.width, 0.0)

    @property
    def rail(self) -> float | None:
        """Rail between its shoulders, for the width to cut [mm]; ``None`` for a slab."""
        return None if self.stiles is None else self.cut - self.stiles

    @property
    def bias(self) -> float:
        """Closing reveal today minus that of the same leaves at mid [mm]: positive, leave looser."""
        return self.closing_at(1.0) - self.closing_at(self.ratios.mid)

    @property
    def bias_word(self) -> Literal["looser", "tighter", "neutral"]:
        """The direction of the bias."""
        return bias_word(self.bias)


def fit(
    opening: float,
    leaves: Leaves,
    stiles: float | None,
    ratios: Ratios,
    reveals: Reveals,
    made: float | None = None,
    step: float | None = None,
) -> DoorFit:
    """Size the leaves of a door, or check those that are made.

    Parameters
    ----------
    opening : float
        Width of the opening [mm], within `OPENING`.
    leaves : int
        1, or 2 that meet.
    stiles : float or None
        The two stiles of one leaf together, today [mm]; ``None`` for a slab.
    ratios : Ratios
        Width across the grain at dry, mid and wet over today's [-].
    reveals : Reveals
        What the closing reveal must keep; ``fixed`` is the reveal at each hinge, ``tolerance`` is of one leaf.
    made : float or None
        Width today of a leaf that is already made [mm], within `SIZE`.
    step : float or None
        The width to cut is rounded down, the cautious side, to a multiple of this [mm].

    Returns
    -------
    DoorFit
        ``fits`` is False where a rule is broken: a result, not an error.

    Raises
    ------
    RangeError
        A length out of range, or stiles wider than the leaf.
    """
    widest = float(widest_leaf(opening, leaves, stiles, ratios.wet, reveals))
    if widest < SIZE[0]:
        least = float(least_opening(SIZE[0], leaves, stiles, ratios.wet, reveals))
        raise RangeError("width of the opening", opening, least, OPENING[1], "mm", "the narrowest leaf and its reveals")
    narrowest = float(narrowest_leaf(opening, leaves, stiles, ratios.dry, reveals))
    cut = rounded_down(widest, step, narrowest)
    width = cut if made is None else made
    require_range("width of a leaf", width, *SIZE, "mm")
    if stiles is not None:
        require_range("width of both stiles", stiles, 2 * STILE[0], min(cut, width), "mm", "the leaf's own width")
    fits = narrowest - _EXACT <= width <= widest + _EXACT
    return DoorFit(opening, leaves, stiles, reveals, ratios, fits, cut, width, narrowest, widest)
