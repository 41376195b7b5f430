"""A top held at one place on a frame, and a breadboard end: how far each slot runs, overhangs, proud or shy ends.

A top moves away from the place where it is fixed: at distance x from there by x (ρ − 1). A screw through a slot in the
frame, which stays put, travels with the top, so the slot runs x (ρ_w − 1) outward (away from the fixed place) and
x (1 − ρ_d) inward of the screw. A breadboard end stays put and its pins with it, while the hole in the tongue travels:
such a hole runs inward in the wet and outward in the dry, the other way about, and is cut at today's size.
"""

from typing import Literal, NamedTuple, get_args

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Quantity, floats, unwrap
from movement.errors import require_range

FixedAt = Literal["centre", "front", "back"]
FIXED_AT: tuple[FixedAt, ...] = get_args(FixedAt)

TOP_WIDTH = (10.0, 3000.0)
"""Width of a top across its grain [mm]; project limit, no source."""
DISTANCE = (0.0, 3000.0)
"""Distance from the fixed place to a fixing [mm]; project limit, no source."""
SCREW = (1.0, 50.0)
"""Diameter of a screw or pin [mm]; project limit, no source."""
SLOT = (1.0, 250.0)
"""Length of a slot [mm]; project limit, no source."""
PLAY = (0.0, 25.0)
"""Room added to a slot beyond the movement [mm]; project limit, no source."""
OVERHANG = (0.0, 500.0)
"""Overhang of a top beyond its frame [mm]; project limit, no source."""


class Travel(NamedTuple):
    """How far a slot runs from today's screw or pin: away from the fixed place, and toward it [mm]."""

    outward: Quantity
    inward: Quantity


class Reach(NamedTuple):
    """From the place where a top is fixed to its front edge and to its back edge [mm]."""

    front: float
    back: float


def slot(distance: ArrayLike, dry: ArrayLike, wet: ArrayLike) -> Travel:
    """How far a slot in the frame runs on each side of today's screw.

    Notes
    -----
    Outward x (ρ_w − 1), inward x (1 − ρ_d).

    Parameters
    ----------
    distance : float or ndarray
        x, from the fixed place to the screw today [mm], within `DISTANCE`.
    dry, wet : float or ndarray
        ρ_d and ρ_w [-].

    Raises
    ------
    RangeError
        Distance out of range.

    Example
    -------
    >>> outward, inward = slot(200.0, 0.99, 1.015)
    >>> round(outward, 3), round(inward, 3)
    (3.0, 2.0)
    """
    require_range("distance from the fixed place", distance, *DISTANCE, "mm")
    x = floats(distance)
    return Travel(unwrap(x * (floats(wet) - 1)), unwrap(x * (1 - floats(dry))))


def hole(distance: ArrayLike, dry: ArrayLike, wet: ArrayLike) -> Travel:
    """How far a hole in the top, or in its tongue, runs on each side of a pin that stays put.

    Notes
    -----
    The wood that meets the pin at ratio ρ is at x/ρ today: outward x (1/ρ_d − 1), inward x (1 − 1/ρ_w). What the hole
    itself shrinks around the pin, d (1 − ρ_d) for a diameter d, is left to its play.

    Raises
    ------
    RangeError
        Distance out of range.
    """
    require_range("distance from the fixed place", distance, *DISTANCE, "mm")
    x = floats(distance)
    return Travel(unwrap(x / floats(dry) - x), unwrap(x - x / floats(wet)))


def slot_length(travel: Travel, screw: ArrayLike, play: ArrayLike = 0.0) -> Quantity:
    """Length of a slot from end to end [mm]: the screw, its travel both ways, and any play.

    Raises
    ------
    RangeError
        Screw or play out of range.
    """
    require_range("diameter of the screw", screw, *SCREW, "mm")
    require_range("play", play, *PLAY, "mm")
    return unwrap(floats(screw) + floats(travel.outward) + floats(travel.inward) + floats(play))


def farthest(
    length: ArrayLike, screw: ArrayLike, dry: ArrayLike, wet: ArrayLike, play: ArrayLike = 0.0, *, pinned: bool = False
) -> Quantity:
    """The farthest from the fixed place that a slot of this length serves: the inverse of `slot_length`.

    Notes
    -----
    x = (length − screw − play)/(ρ_w − ρ_d) for a slot in the frame; with 1/ρ_d − 1/ρ_w below for a hole that travels.
    The screw stands in the slot as `slot` or `hole` says, not in its middle.

    Parameters
    ----------
    length : float or ndarray
        From end to end [mm], within `SLOT`.
    screw, play : float or ndarray
        Diameter of the screw and its play [mm], within `SCREW` and `PLAY`.
    dry, wet : float or ndarray
        ρ_d and ρ_w [-].
    pinned : bool
        The slot is in the top and the pin stays put (`hole`), instead of the other way about (`slot`).

    Returns
    -------
    float or ndarray
        [mm]; infinite where the wood does not move, negative where the screw does not even enter.

    Raises
    ------
    RangeError
        Length, screw or play out of range.
    """
    require_range("length of the slot", length, *SLOT, "mm")
    require_range("diameter of the screw", screw, *SCREW, "mm")
    require_range("play", play, *PLAY, "mm")
    room = floats(length) - floats(screw) - floats(play)
    dry, wet = floats(dry), floats(wet)
    swing = 1 / dry - 1 / wet if pinned else wet - dry
    still = swing == 0
    kept = np.where(room >= 0, np.inf, -np.inf)
    return unwrap(np.where(still, kept, room / np.where(still, 1.0, swing)))


def reach(width: float, fixed_at: FixedAt, inset: float = 0.0) -> Reach:
    """How far the edges of a top are from the place where it is fixed [mm].

    Parameters
    ----------
    width : float
        Of the top today [mm], within `TOP_WIDTH`.
    fixed_at : str
        ``centre``, ``front`` or ``back``.
    inset : float
        How far in from that edge the fixing is [mm], 0 to width; not used for ``centre``.

    Raises
    ------
    RangeError
        Width or inset out of range.
    ValueError
        When there is no such place.
    """
    require_range("width of the top", width, *TOP_WIDTH, "mm")
    require_range("inset of the fixing", inset, 0.0, width, "mm", "the width of the top")
    if fixed_at == "centre":
        return Reach(width / 2, width / 2)
    if fixed_at == "front":
        return Reach(inset, width - inset)
    if fixed_at == "back":
        return Reach(width - inset, inset)
    raise ValueError(f"fixed at {fixed_at!r}; known are {', '.join(FIXED_AT)}")


def overhang(today: ArrayLike, distance: ArrayLike, ratio: ArrayLike) -> Quantity:
    """Overhang of an edge at this distance from the fixed place when the width is this many times today's [mm].

    Negative where the edge has drawn back inside the frame.
    """
    return unwrap(floats(today) + floats(distance) * (floats(ratio) - 1))


def proud(distance: ArrayLike, ratio: ArrayLike, flush: ArrayLike = 1.0) -> Quantity:
    """How far a top's edge stands proud of the end of its breadboard end [mm]; negative when it is shy of it.

    Parameters
    ----------
    distance : float or ndarray
        From the fixed place to the edge today [mm].
    ratio, flush : float or ndarray
        The top's width then, and where the two are flush, over today's [-].

    Example
    -------
    >>> round(proud(400.0, 1.01), 2), round(proud(400.0, 0.99), 2)
    (4.0, -4.0)
    """
    return unwrap(floats(distance) * (floats(ratio) - floats(flush)))
