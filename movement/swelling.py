"""A dimension of a piece of wood at another moisture content."""

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range

# % MC, the moisture at which a published movement coefficient takes its dimension (Wood Handbook, FPL-GTR-190, ch. 13).
REFERENCE_MOISTURE = 10.0

# % MC, the average start of shrinkage (fibre saturation; Wood Handbook, FPL-GTR-190, ch. 4: about 30 %, varying by
# several points). Western redcedar, northern white-cedar and redwood: 22 %, which fits their published coefficients.
START_OF_SHRINKAGE = 30.0

# Limits of this model, ends included: our own, wide enough for every wood in the tables. Every shrinkage accepted has
# a coefficient that is accepted too.
MOISTURE = (0.0, 200.0)  # % MC
COEFFICIENT = (0.0, 0.01)  # fraction of the dimension at 10 % MC, per 1 % MC
SHRINKAGE = (0.1, 15.0)  # %, green to oven-dry
START_OF_SHRINKAGE_LIMITS = (20.0, 40.0)  # % MC
SIZE = (0.0, 100_000.0)  # mm

# %, green to oven-dry, along the grain of normal wood; reaction or juvenile wood up to 2 % (Wood Handbook,
# FPL-GTR-190, ch. 4).
SHRINKAGE_ALONG_GRAIN = (0.1, 0.2)

SOURCE = "Movement: Wood Handbook, FPL-GTR-190, eq. 13-2 (read in the publication) and eq. 13-3 (from memory)"
_LIMITS_SOURCE = "limits of this model"


def coefficient_from_shrinkage(shrinkage: ArrayLike, start_of_shrinkage: ArrayLike = START_OF_SHRINKAGE) -> Quantity:
    """Movement coefficient of a direction that shrinks by so much from green to oven-dry.

    Notes
    -----
    C = 1/(100 F/S − (F − 10)), with F the start of shrinkage and S the shrinkage: 1/(3000/S − 20) at F = 30,
    1/(2200/S − 12) at F = 22. It says that one straight line joins the green and the oven-dry dimension.

    Parameters
    ----------
    shrinkage : float or ndarray, any shape
        Green to oven-dry, of the green dimension [%], 0.1 to 15.
    start_of_shrinkage : float or ndarray, broadcast with shrinkage
        MC below which the wood shrinks [%], 20 to 40.

    Returns
    -------
    float or ndarray
        Fraction of the dimension at 10 % MC, per 1 % MC.

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    Wood Handbook, FPL-GTR-190, eq. 13-2 and 13-3 put equal (derived).

    Example
    -------
    >>> round(coefficient_from_shrinkage(7.1), 5)  # black cherry, tangential
    0.00248
    """
    _require_shrinkage(shrinkage)
    _require_start(start_of_shrinkage)
    start = floats(start_of_shrinkage)
    return unwrap(1 / (100 * start / floats(shrinkage) - (start - REFERENCE_MOISTURE)))


def shrinkage_from_coefficient(coefficient: ArrayLike, start_of_shrinkage: ArrayLike = START_OF_SHRINKAGE) -> Quantity:
    """Shrinkage from green to oven-dry of a direction with this movement coefficient.

    Notes
    -----
    S = 100 F C/(1 + C (F − 10)), the inverse of `coefficient_from_shrinkage`.

    Parameters
    ----------
    coefficient : float or ndarray, any shape
        Fraction of the dimension at 10 % MC, per 1 % MC, 0 to 0.01.
    start_of_shrinkage : float or ndarray, broadcast with coefficient
        MC below which the wood shrinks [%], 20 to 40.

    Returns
    -------
    float or ndarray
        Of the green dimension [%].

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    As `coefficient_from_shrinkage` (derived).

    Example
    -------
    >>> round(shrinkage_from_coefficient(0.00369), 1)  # commercial red oak, tangential
    10.3
    """
    _require_coefficient(coefficient)
    _require_start(start_of_shrinkage)
    start, c = floats(start_of_shrinkage), floats(coefficient)
    return unwrap(100 * start * c / (1 + c * (start - REFERENCE_MOISTURE)))


def size_ratio(
    coefficient: ArrayLike,
    moisture_from: ArrayLike,
    moisture_to: ArrayLike,
    start_of_shrinkage: ArrayLike = START_OF_SHRINKAGE,
) -> Quantity:
    """Dimension at one moisture content over the same dimension at another.

    Notes
    -----
    D(M₂)/D(M₁) = (1 + C (M₂ − 10))/(1 + C (M₁ − 10)): one straight line from oven-dry to the start of shrinkage F, so
    going there and back gives 1. Above F wood neither shrinks nor swells (the added water fills the cells, not their
    walls), so a moisture above F counts as F: that is the physics of the line's end, not a correction of the input.

    Parameters
    ----------
    coefficient : float or ndarray, any shape
        Fraction of the dimension at 10 % MC, per 1 % MC, 0 to 0.01.
    moisture_from, moisture_to : float or ndarray, broadcast together
        MC before and after [%], 0 to 200.
    start_of_shrinkage : float or ndarray, broadcast too
        MC below which the wood shrinks [%], 20 to 40.

    Returns
    -------
    float or ndarray, the broadcast shape
        Ratio of the dimensions: above 1 the wood has swollen.

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    Wood Handbook, FPL-GTR-190, eq. 13-3 written with the coefficient of eq. 13-2, which it equals near 10 % MC.

    Example
    -------
    >>> round(size_ratio(0.00248, 8, 11), 5)
    1.00748
    """
    _require_coefficient(coefficient)
    _require_moisture(moisture_from)
    _require_moisture(moisture_to)
    _require_start(start_of_shrinkage)
    c, start = floats(coefficient), floats(start_of_shrinkage)
    return unwrap(_relative_size(c, moisture_to, start) / _relative_size(c, moisture_from, start))


def size_at(
    size: ArrayLike,
    coefficient: ArrayLike,
    moisture_from: ArrayLike,
    moisture_to: ArrayLike,
    start_of_shrinkage: ArrayLike = START_OF_SHRINKAGE,
) -> Quantity:
    """Dimension that a piece of this size comes to at another moisture content.

    Notes
    -----
    The size times `size_ratio`.

    Parameters
    ----------
    size : float or ndarray, any shape
        Dimension across the grain at moisture_from [mm], 0 to 100 000.
    coefficient, moisture_from, moisture_to, start_of_shrinkage
        As in `size_ratio`, broadcast with size [per 1 % MC, %, %, %].

    Returns
    -------
    float or ndarray, the broadcast shape
        Dimension at moisture_to [mm].

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    As `size_ratio`.

    Example
    -------
    >>> round(size_at(300, 0.00248, 8, 11), 2)
    302.24
    """
    require_range("size", size, *SIZE, "mm", _LIMITS_SOURCE)
    return unwrap(floats(size) * size_ratio(coefficient, moisture_from, moisture_to, start_of_shrinkage))


def length_change(
    length: ArrayLike,
    moisture_from: ArrayLike,
    moisture_to: ArrayLike,
    shrinkage: ArrayLike = SHRINKAGE_ALONG_GRAIN[1],
) -> Quantity:
    """Change of a length along the grain from one moisture content to another.

    Notes
    -----
    The same straight line as across the grain, with start of shrinkage 30 %. Show it; do not build on it: boards with
    reaction or juvenile wood move up to ten times as much (2 %).

    Parameters
    ----------
    length : float or ndarray, any shape
        At moisture_from [mm], 0 to 100 000.
    moisture_from, moisture_to : float or ndarray, broadcast together
        MC before and after [%], 0 to 200.
    shrinkage : float or ndarray, broadcast too
        Along the grain, green to oven-dry [%], 0.1 to 15; normal wood 0.1 to 0.2.

    Returns
    -------
    float or ndarray, the broadcast shape
        Change of the length [mm]: positive when it grows.

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    Wood Handbook, FPL-GTR-190, ch. 4: 0.1 to 0.2 % in normal wood.

    Example
    -------
    >>> round(length_change(2000, 12, 6), 2)
    -0.8
    """
    require_range("length", length, *SIZE, "mm", _LIMITS_SOURCE)
    coefficient = coefficient_from_shrinkage(shrinkage)
    return unwrap(floats(length) * (floats(size_ratio(coefficient, moisture_from, moisture_to)) - 1))


def _relative_size(coefficient: Floats, moisture: ArrayLike, start: Floats) -> Floats:
    """Dimension over the dimension at 10 % MC."""
    return 1 + coefficient * (np.minimum(moisture, start) - REFERENCE_MOISTURE)


def _require_coefficient(coefficient: ArrayLike) -> None:
    require_range("movement coefficient", coefficient, *COEFFICIENT, "per 1 % MC", _LIMITS_SOURCE)


def _require_moisture(moisture: ArrayLike) -> None:
    require_range("moisture content", moisture, *MOISTURE, "%", _LIMITS_SOURCE)


def _require_shrinkage(shrinkage: ArrayLike) -> None:
    require_range("shrinkage", shrinkage, *SHRINKAGE, "%", _LIMITS_SOURCE)


def _require_start(start: ArrayLike) -> None:
    require_range("start of shrinkage", start, *START_OF_SHRINKAGE_LIMITS, "%", _LIMITS_SOURCE)
