"""How long a panel takes to settle in other air."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range
from movement.roots import bracketed_root
from movement.slab import SOURCE_LIMITS, require_moisture, series, slab, step_fraction

# [% MC] Chosen bound, no source: finer than any meter.
DISTANCE = (0.01, 30.0)
# [-] Part of a change; the whole change takes forever.
FRACTION = (0.0, 0.9999)


class Settling(NamedTuple):
    """Days to half and to nine tenths of a change of the mean MC."""

    half: Quantity
    ninety: Quantity


def settling(thickness: ArrayLike, diffusion: ArrayLike, film: ArrayLike | None = None, faces: int = 2) -> Settling:
    """Days that a panel takes to half and to nine tenths of any change of the air.

    Parameters
    ----------
    thickness, diffusion, film, faces
        As in `movement.slab.step_response`.

    Returns
    -------
    Settling
        ``half`` and ``ninety`` [days]. With both faces held at the equilibrium of the air they are 0.04918 L²/D and
        0.21202 L²/D; with one face covered, four times that.

    Raises
    ------
    RangeError
        When a value is out of range.

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), ch. 4.
    """
    return Settling(
        days_to_fraction(0.5, thickness, diffusion, film, faces),
        days_to_fraction(0.9, thickness, diffusion, film, faces),
    )


def days_to_fraction(
    fraction: ArrayLike, thickness: ArrayLike, diffusion: ArrayLike, film: ArrayLike | None = None, faces: int = 2
) -> Quantity:
    """Days until the mean MC has gone part of the way to the equilibrium of new air.

    Parameters
    ----------
    fraction : float or ndarray
        Part of the change [-], 0 to 0.9999.
    thickness, diffusion, film, faces
        As in `movement.slab.step_response`.

    Returns
    -------
    float or ndarray
        Time [days].

    Raises
    ------
    RangeError
        When a value is out of range.
    ArithmeticError
        When the search does not converge.

    Notes
    -----
    Inverse of `movement.slab.step_response`, bracketed by the slowest mode: F is at least 1 − exp(−β₀²τ).

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), eq. 4.53.

    Example
    -------
    >>> round(days_to_fraction(0.9, 20.0, 6.3e-11), 1)
    15.6
    """
    require_range("part of the change", fraction, *FRACTION, "", SOURCE_LIMITS)
    panel = slab(thickness, diffusion, film, faces)
    wanted, scale, resistance = (values.ravel() for values in np.broadcast_arrays(floats(fraction), *panel))
    beta, mean_weights = series(resistance)

    def lacking(tau: Floats, wanted: Floats, order: Floats) -> Floats:
        which = order.astype(int)
        return step_fraction(tau, resistance[which], beta[:, which], mean_weights[:, which]) - wanted

    latest = 2 * -np.log1p(-wanted) / beta[0] ** 2 + 1e-9  # twice as late as it can be, past any rounding
    tau = bracketed_root(lacking, np.zeros_like(latest), latest, wanted, np.arange(float(latest.size)))
    return unwrap((tau * scale).reshape(np.broadcast_shapes(np.shape(fraction), panel.scale.shape)))


def days_to_within(
    distance: ArrayLike,
    start: ArrayLike,
    air_moisture: ArrayLike,
    thickness: ArrayLike,
    diffusion: ArrayLike,
    film: ArrayLike | None = None,
    faces: int = 2,
) -> Quantity:
    """Days until the mean MC is within a distance of the equilibrium of the air.

    Parameters
    ----------
    distance : float or ndarray
        Distance [% MC], 0.01 to 30.
    start, air_moisture
        As in `movement.slab.mean_moisture`.
    thickness, diffusion, film, faces
        As in `movement.slab.step_response`.

    Returns
    -------
    float or ndarray
        Time [days]; 0 where the start is as near as that.

    Raises
    ------
    RangeError
        When a value is out of range.

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), eq. 4.53.

    Example
    -------
    >>> round(days_to_within(0.5, 12.0, 8.0, 20.0, 6.3e-11), 1)
    13.9
    """
    require_range("distance", distance, *DISTANCE, "% MC", SOURCE_LIMITS)
    begin = require_moisture("moisture content at the start", start)
    end = require_moisture("EMC of the air", air_moisture)
    change, near = np.broadcast_arrays(np.abs(end - begin), floats(distance))
    fraction = np.where(change > near, 1 - near / np.where(change > near, change, 1.0), 0.0)
    return days_to_fraction(fraction, thickness, diffusion, film, faces)
