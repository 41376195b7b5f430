"""Scalars in, scalars out; arrays in, arrays out."""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Quantity = float | Floats
"""A number or an array of numbers. Call ``float(...)`` or ``np.asarray(...)`` on it where one of the two is wanted."""


def floats(value: ArrayLike) -> Floats:
    """Value as an array of float64, 0-d for a scalar.

    One number comes as a numpy scalar, which counts and behaves as a 0-d array and is made several times faster.
    """
    return np.float64(value) if isinstance(value, float) else np.asarray(value, dtype=np.float64)


def unwrap(value: Any) -> Quantity:
    """An array as it is; a 0-d array as a Python float."""
    if isinstance(value, float):
        return float(value)
    array = floats(value)
    return array if array.ndim else float(array)
