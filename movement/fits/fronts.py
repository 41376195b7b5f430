"""An inset drawer front or slab door in an opening that stays put: size to cut today, reveals, what to plane off.

Only the dimension D across the grain moves: the height of a drawer front (grain horizontal), the width of a slab door
(grain vertical). With H the opening in that direction, f the reveal at a fixed edge, c and m the least and the greatest
reveal at an edge that moves, t the making tolerance of D, and ρ_d and ρ_w the size at the driest and the wettest
moisture over today's:

============  ====================================  =======================================
fixed edge    wet: it does not bind                 dry: it does not gape (where m is asked)
============  ====================================  =======================================
one edge      D ρ_w + t ≤ H − f − c                 D ρ_d − t ≥ H − f − m
centred       D ρ_w + t ≤ H − 2c                    D ρ_d − t ≥ H − 2m
============  ====================================  =======================================

One edge fixed leaves all movement to the edge across from it; centred shares it between both.
"""

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Quantity, floats, unwrap
from movement.errors import RangeError, require_range
from movement.fits.reveals import OPENING, SIZE, Reveals, bias_word, rounded_down
from movement.season import Ratios

FixedEdge = Literal["bottom", "hinge", "centred"]
FIXED_EDGES: tuple[FixedEdge, ...] = get_args(FixedEdge)

_EXACT = 1e-9


def moving_edges(fixed_edge: FixedEdge) -> int:
    """How many edges share the movement: 2 for ``centred``, else 1.

    Raises
    ------
    ValueError
        When there is no such fixed edge.
    """
    if fixed_edge not in FIXED_EDGES:
        raise ValueError(f"fixed edge is {fixed_edge!r}; known are {', '.join(FIXED_EDGES)}")
    return 2 if fixed_edge == "centred" else 1


def _room(opening: ArrayLike, fixed_edge: FixedEdge, reveals: Reveals) -> Quantity:
    return unwrap(floats(opening) - (0.0 if fixed_edge == "centred" else reveals.fixed))


def largest_size(opening: ArrayLike, fixed_edge: FixedEdge, wet: ArrayLike, reveals: Reveals) -> Quantity:
    """The largest front to cut today that does not bind in the wettest season.

    Notes
    -----
    D = (H − f − c − t)/ρ_w with one edge fixed, (H − 2c − t)/ρ_w centred.

    Parameters
    ----------
    opening : float or ndarray
        H [mm], within `OPENING`.
    fixed_edge : str
        ``bottom``, ``hinge`` or ``centred``.
    wet : float or ndarray
        ρ_w [-]; broadcasts with opening.
    reveals : Reveals
        The least and the fixed reveal, and the making tolerance.

    Returns
    -------
    float or ndarray
        [mm]; zero or less where the reveals fill the opening.

    Raises
    ------
    RangeError
        Opening out of range.

    Example
    -------
    >>> round(largest_size(150.0, "bottom", 1.02, Reveals(1.5)), 2)  # (150 − 1.5)/1.02
    145.59
    """
    require_range("opening", opening, *OPENING, "mm")
    edges = moving_edges(fixed_edge)
    room = floats(_room(opening, fixed_edge, reveals))
    return unwrap((room - edges * reveals.least - reveals.tolerance) / floats(wet))


def smallest_size(opening: ArrayLike, fixed_edge: FixedEdge, dry: ArrayLike, reveals: Reveals) -> Quantity:
    """The smallest front to cut today that keeps to the greatest reveal in the driest season [mm]; 0 where any does.

    Raises
    ------
    RangeError
        Opening out of range.
    """
    require_range("opening", opening, *OPENING, "mm")
    edges = moving_edges(fixed_edge)
    if reveals.greatest is None:
        return unwrap(np.zeros(np.broadcast(floats(opening), floats(dry)).shape))
    room = floats(_room(opening, fixed_edge, reveals))
    return unwrap(np.maximum((room - edges * reveals.greatest + reveals.tolerance) / floats(dry), 0.0))


def reveal(opening: ArrayLike, fixed_edge: FixedEdge, size: ArrayLike, fixed: float = 0.0) -> Quantity:
    """The reveal at each edge that moves, for a front of this size [mm]; negative when it binds."""
    room = floats(opening) - (0.0 if fixed_edge == "centred" else fixed)
    return unwrap((room - floats(size)) / moving_edges(fixed_edge))


def least_opening(size: ArrayLike, fixed_edge: FixedEdge, wet: ArrayLike, reveals: Reveals) -> Quantity:
    """The smallest opening that a front of this size today does not bind in [mm]: the inverse of `largest_size`.

    Raises
    ------
    RangeError
        Size out of range.
    """
    require_range("size of the front", size, *SIZE, "mm")
    edges = moving_edges(fixed_edge)
    fixed = 0.0 if fixed_edge == "centred" else reveals.fixed
    return unwrap(floats(size) * floats(wet) + reveals.tolerance + edges * reveals.least + fixed)


def dry_reveal(opening: ArrayLike, fixed_edge: FixedEdge, dry: ArrayLike, wet: ArrayLike, reveals: Reveals) -> Quantity:
    """The reveal that the largest front comes to in the driest season, its tolerance against it [mm].

    No smaller greatest reveal can be kept in this opening.

    Raises
    ------
    RangeError
        Opening out of range.
    """
    size = floats(largest_size(opening, fixed_edge, wet, reveals)) * floats(dry) - reveals.tolerance
    return reveal(opening, fixed_edge, size, reveals.fixed)


def widest_opening(fixed_edge: FixedEdge, dry: ArrayLike, wet: ArrayLike, reveals: Reveals) -> Quantity:
    """The largest opening that one front can fill within both reveals: the inverse of `dry_reveal`.

    Notes
    -----
    H = f + [(n m − t) ρ_w − (n c + t) ρ_d]/(ρ_w − ρ_d) for n edges that move.

    Returns
    -------
    float or ndarray
        [mm]; infinite where the wood does not move or any reveal may be reached; not above f, so no front at all, where
        the two reveals lie closer than the tolerance allows.
    """
    dry, wet = floats(dry), floats(wet)
    edges = moving_edges(fixed_edge)
    if reveals.greatest is None:
        return unwrap(np.full(np.broadcast(dry, wet).shape, np.inf))
    most, least, t = edges * reveals.greatest, edges * reveals.least, reveals.tolerance
    fixed = 0.0 if fixed_edge == "centred" else reveals.fixed
    room = (most - t) * wet - (least + t) * dry
    still = wet == dry
    swing = np.where(still, 1.0, wet - dry)
    kept = np.where(most - t >= least + t, np.inf, -np.inf)
    return unwrap(fixed + np.where(still, kept, room / swing))


@dataclass(frozen=True, slots=True)
class FrontFit:
    """One front in its opening, sized. Lengths in mm; reveals are those of an edge that moves.

    ``cut`` is the size to cut today; ``size`` is the front as made, or the size to cut where none is made.
    """

    opening: float
    fixed_edge: FixedEdge
    reveals: Reveals
    ratios: Ratios
    fits: bool
    cut: float
    size: float
    smallest: float
    largest: float

    def reveal_at(self, ratio: float) -> float:
        """Reveal at an edge that moves when the size is this many times today's [mm]."""
        return float(reveal(self.opening, self.fixed_edge, self.size * ratio, self.reveals.fixed))

    def fixed_reveal_at(self, ratio: float) -> float:
        """Reveal at the edge across from it [mm]: constant at a fixed edge, the same as `reveal_at` when centred."""
        return self.reveal_at(ratio) if self.fixed_edge == "centred" else self.reveals.fixed

    @property
    def plane_off(self) -> float:
        """What to take off a front that is already made [mm]."""
        return self.size - self.cut if self.size > self.largest + _EXACT else 0.0

    @property
    def short(self) -> float:
        """How much a front that is already made is too small [mm]."""
        return max(self.smallest - self.size, 0.0)

    @property
    def bias(self) -> float:
        """Reveal today minus the reveal of the same front at mid [mm]: positive, leave looser."""
        return self.reveal_at(1.0) - self.reveal_at(self.ratios.mid)

    @property
    def bias_word(self) -> Literal["looser", "tighter", "neutral"]:
        """The direction of the bias."""
        return bias_word(self.bias)


def fit(
    opening: float,
    fixed_edge: FixedEdge,
    ratios: Ratios,
    reveals: Reveals,
    made: float | None = None,
    step: float | None = None,
) -> FrontFit:
    """Size a front, or check one that is made.

    Parameters
    ----------
    opening : float
        In the direction that the front moves [mm], within `OPENING`.
    fixed_edge : str
        ``bottom``, ``hinge`` or ``centred``.
    ratios : Ratios
        The front's size at dry, mid and wet over its size today [-].
    reveals : Reveals
        What the reveals must keep.
    made : float or None
        Size today of a front that is already made [mm], within `SIZE`.
    step : float or None
        The size to cut is rounded down, the cautious side, to a multiple of this [mm]; left as computed where that
        would pass the greatest reveal.

    Returns
    -------
    FrontFit
        ``fits`` is False where a rule is broken: a result, not an error.

    Raises
    ------
    RangeError
        A length out of range, or an opening that the reveals leave no front in.
    """
    largest = float(largest_size(opening, fixed_edge, ratios.wet, reveals))
    if largest < SIZE[0]:
        least = float(least_opening(SIZE[0], fixed_edge, ratios.wet, reveals))
        raise RangeError("opening", opening, least, OPENING[1], "mm", "the smallest front with these reveals")
    smallest = float(smallest_size(opening, fixed_edge, ratios.dry, reveals))
    cut = rounded_down(largest, step, smallest)
    size = cut if made is None else made
    require_range("size of the front", size, *SIZE, "mm")
    fits = smallest - _EXACT <= size <= largest + _EXACT
    return FrontFit(opening, fixed_edge, reveals, ratios, fits, cut, size, smallest, largest)
