"""Roots of a monotone function between two bounds, for arrays."""

from collections.abc import Callable

import numpy as np

from movement.arrays import Floats


def bracketed_root(function: Callable[..., Floats], low: Floats, high: Floats, *args: Floats) -> Floats:
    """Where an increasing or decreasing function crosses zero between low and high, element by element.

    Parameters
    ----------
    function : callable
        ``function(x, *args)``, vectorised; its values at low and high have opposite signs, or one of them is zero.
    low, high : ndarray
        The bounds, in the unit of x.
    *args : ndarray
        Passed on, broadcast against the bounds.

    Returns
    -------
    ndarray
        The roots, to about 1e-15 of their size.

    Raises
    ------
    ArithmeticError
        When a bound does not bracket its root or the search does not converge.

    Source
    ------
    Chandrupatla's method as in `scipy.optimize.elementwise.find_root`.
    """
    from scipy.optimize import elementwise  # loaded here: scipy.optimize costs a fifth of a second

    found = elementwise.find_root(function, (low, high), args=args)
    if not np.all(found.success):
        raise ArithmeticError(f"no root found between {np.min(low):.6g} and {np.max(high):.6g}")
    return np.asarray(found.x, dtype=np.float64)
