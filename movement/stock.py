"""Is the stock ready: the moisture behind a reading, and how long a board takes to settle in given air."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range
from movement.settling import days_to_within, settling
from movement.slab import DIFFUSION, FILM_BARE, mean_moisture

WEIGHT = (0.01, 100_000.0)
"""Weights of a sample [g]; project limit, no source."""
CORRECTION = (-10.0, 10.0)
"""Species correction that a maker may enter, from the meter's manual [points of MC]; project limit, no source."""
DISTANCE = (0.1, 5.0)
"""How near to settled counts as settled [% MC]; project limit, no source."""
SOURCE_OVEN = "Oven-dry method: ASTM D4442 as told in the Wood Handbook (a 25 mm section, at least 500 mm from the end)"
_DIFFUSIONS = np.array([DIFFUSION["high"], DIFFUSION["middle"], DIFFUSION["low"]])


@dataclass(frozen=True, slots=True)
class Days:
    """A time for the fastest, the middle and the slowest diffusion [days]."""

    fast: float
    middle: float
    slow: float


@dataclass(frozen=True, slots=True, eq=False)
class Approach:
    """A board's mean moisture over time in steady air [% MC], for the slowest, middle and fastest diffusion."""

    times: Floats
    slow: Floats
    middle: Floats
    fast: Floats


Verdict = Literal["ready", "too wet", "too dry"]


def oven_dry_moisture(weight: ArrayLike, dry_weight: ArrayLike) -> Quantity:
    """Moisture content of a sample by its weight and its oven-dry weight.

    Notes
    -----
    M = 100 (weight − dry weight)/dry weight.

    Parameters
    ----------
    weight, dry_weight : float or ndarray
        Of the same sample as cut and oven-dry [g], 0.01 to 100 000, dry weight not above weight.

    Returns
    -------
    float or ndarray
        [% MC].

    Raises
    ------
    RangeError
        A weight out of range.

    Source
    ------
    ASTM D4442 as told in the Wood Handbook, FPL-GTR-190, ch. 4: mass of water over oven-dry mass.

    Example
    -------
    >>> round(oven_dry_moisture(109.0, 100.0), 3)
    9.0
    """
    require_range("weight", weight, *WEIGHT, "g")
    require_range("oven-dry weight", dry_weight, *WEIGHT, "g")
    moisture = 100 * (floats(weight) / floats(dry_weight) - 1)
    require_range("moisture content by weight", moisture, 0.0, None, "%", "the dry weight is the smaller")
    return unwrap(moisture)


def days_to_settle(moisture: float, air_moisture: float, thickness: float, distance: float, faces: int = 2) -> Days:
    """Days until a bare board's mean moisture is within a distance of the air's.

    Parameters
    ----------
    moisture, air_moisture : float
        Of the board today and the equilibrium in the air [% MC], 0 to 30.
    thickness : float
        [mm], within `slab.THICKNESS`.
    distance : float
        [% MC], 0.1 to 5.
    faces : int
        2 with both faces in the air, 1 with one covered, as in a stack without stickers.

    Returns
    -------
    Days
        From the quickest to the slowest board of the published diffusion coefficients [days].

    Raises
    ------
    RangeError
        One of them out of range.
    """
    require_range("distance", distance, *DISTANCE, "%")
    found = floats(days_to_within(distance, moisture, air_moisture, thickness, _DIFFUSIONS, FILM_BARE, faces))
    return Days(*(float(days) for days in np.broadcast_to(found, (3,))))


def days_to_part(thickness: float, faces: int = 2) -> tuple[Days, Days]:
    """Days to half and to nine tenths of any change, whatever the air.

    Parameters
    ----------
    thickness, faces
        As in `days_to_settle`.

    Returns
    -------
    tuple of two Days
        To half and to nine tenths [days].

    Raises
    ------
    RangeError
        Thickness out of range.
    """
    found = settling(thickness, _DIFFUSIONS, FILM_BARE, faces)
    half, ninety = floats(found.half), floats(found.ninety)
    return Days(*(float(days) for days in half)), Days(*(float(days) for days in ninety))


def approach(moisture: float, air_moisture: float, thickness: float, faces: int = 2, points: int = 49) -> Approach:
    """A bare board's way to the air's moisture, from today until the slowest has done nine tenths of it.

    Parameters
    ----------
    moisture, air_moisture, thickness, faces
        As in `days_to_settle`.
    points : int
        How many times the way is told at, closer together at its start.

    Returns
    -------
    Approach
        Those times [days] and the mean moisture content then [% MC], by how quickly a board may dry.

    Raises
    ------
    RangeError
        Moisture or thickness out of range.
    """
    last = days_to_part(thickness, faces)[1].slow
    times = last * np.linspace(0, 1, points) ** 2
    found = floats(
        mean_moisture(thickness, _DIFFUSIONS[:, None], FILM_BARE, moisture, air_moisture, times[None, :], faces)
    )
    return Approach(times, found[2], found[1], found[0])


def verdict(moisture: float, dry: float, wet: float, distance: float) -> Verdict:
    """Whether a board's moisture lies between dry and wet, a distance to either side allowed [% MC].

    Raises
    ------
    RangeError
        Distance outside `DISTANCE`.
    """
    require_range("distance", distance, *DISTANCE, "%")
    if moisture > wet + distance:
        return "too wet"
    return "too dry" if moisture < dry - distance else "ready"
