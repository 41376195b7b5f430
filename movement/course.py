"""The moisture of panels along a path of the air: a logged year, or one that repeats."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, floats
from movement.errors import require_range
from movement.slab import PERIOD, Slab, require_moisture, roots, slab, weights

# Modes followed unless the panel needs more.
MODES = 12

# Decay over a day of what the modes leave out: exp(−14) of a weight under 0.02 is 1e-6 % MC in a step of 30 % MC.
_DECAY = 14.0


class _Modes(NamedTuple):
    """Decay rates [1/day], and what each gives to the mean [-], both (modes, panels)."""

    rates: Floats
    weights: Floats


def follow(
    times: ArrayLike,
    air_moisture: ArrayLike,
    thickness: ArrayLike,
    diffusion: ArrayLike,
    film: ArrayLike | None = None,
    start: ArrayLike | None = None,
    modes: int = MODES,
    faces: int = 2,
) -> Floats:
    """Mean MC of panels along a path of the air.

    Parameters
    ----------
    times : ndarray, shape (m,)
        Times of the path [days], not decreasing; two equal times make a jump.
    air_moisture : ndarray, shape (m,) or (..., m)
        EMC of the air at those times, straight lines between [%], 0 to 30; one path for all panels or one for each.
    thickness, diffusion, film, faces
        As in `movement.slab.step_response`.
    start : float, ndarray or None
        Even MC at the first time [%], 0 to 30; ``None`` for the equilibrium of the first air.
    modes : int
        Least number of modes, 1 or more. Thick panels are given more.

    Returns
    -------
    ndarray, shape (..., m)
        Mean moisture content [%]; time is the last axis.

    Raises
    ------
    RangeError
        When a value is out of range.
    ValueError
        When the shapes do not fit.

    Notes
    -----
    Each mode obeys y' = −k(y − E) with k = β²D/l² and a straight E between times, which has an exact solution. The
    modes left out act as one more, whose weight and lag are what is missing of the whole: Σ w = 1 and Σ w/k is
    l²/3D + l/s. So slow changes come out exact whatever the number of modes, the mean never leaves the span of start
    and air, and a day after a step it is within 1e-6 % MC of the full series. Air that jumps from hour to hour asks for
    more: at 1 % MC (root mean square) an hour, 12 modes put a bare, thick, slow panel within 0.01 % MC.

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), ch. 4; first moments of the same solution, derived.

    Example
    -------
    >>> follow([0, 30, 60], [8.0, 12.0, 12.0], 20.0, 6.3e-11).round(2)
    array([ 8.  , 11.2 , 11.99])
    """
    moments, air, panels, state, shape = _setting(times, air_moisture, thickness, diffusion, film, start, modes, faces)
    return _course(moments, air, panels, state, shape)


def periodic(
    times: ArrayLike,
    air_moisture: ArrayLike,
    thickness: ArrayLike,
    diffusion: ArrayLike,
    film: ArrayLike | None = None,
    period: float = 365.0,
    modes: int = MODES,
    faces: int = 2,
) -> Floats:
    """Mean MC of panels that have long met the same year over and over.

    Parameters
    ----------
    times : ndarray, shape (m,)
        Times within one period [days], not decreasing.
    air_moisture, thickness, diffusion, film, modes, faces
        As in `follow`; from the last time a straight line leads to the first of the next period.
    period : float
        Length of the period [days], not less than the span of the times.

    Returns
    -------
    ndarray, shape (..., m)
        As in `follow`.

    Raises
    ------
    RangeError
        When a value is out of range.
    ValueError
        When the shapes do not fit.

    Notes
    -----
    Over a period a mode goes from y to y exp(−kP) + c, so the state that repeats is c/(1 − exp(−kP)): no spin-up.

    Source
    ------
    As `follow`.
    """
    moments, air, panels, settled, shape = _setting(times, air_moisture, thickness, diffusion, film, None, modes, faces)
    require_range("period", period, max(PERIOD[0], float(np.ptp(moments))), PERIOD[1], "days", "the span of the times")
    moments, air = np.append(moments, moments[0] + period), np.concatenate([air, air[:1]])
    gained = _drive(moments, air, panels, settled)
    return _course(moments, air, panels, gained / -np.expm1(-panels.rates * period), shape)[..., :-1]


def _modes(panels: Slab, least: int) -> _Modes:
    """The modes to follow for panels of shape (n,), with what they leave out lumped into one more."""
    count = max(least, int(np.ceil(np.sqrt(_DECAY * panels.scale.max(initial=0.0)) / np.pi)))
    beta = roots(panels.resistance, count + 1)
    squares, r = beta**2, panels.resistance
    shares = weights(beta[:count], r)
    missing = np.maximum(1 - shares.sum(axis=0), 0.0)  # positive but for rounding
    lag = 1 / 3 + r - (shares / squares[:count]).sum(axis=0)
    # Where next to nothing is left out, rounding spoils the quotient; the rate of the last mode then does as well.
    rest = np.maximum(np.divide(missing, lag, out=np.zeros_like(lag), where=lag != 0), squares[-2])
    rates = np.concatenate([squares[:count], rest[None]]) / panels.scale
    return _Modes(rates, np.concatenate([shares, missing[None]]))


def _setting(
    times: ArrayLike,
    air_moisture: ArrayLike,
    thickness: ArrayLike,
    diffusion: ArrayLike,
    film: ArrayLike | None,
    start: ArrayLike | None,
    modes: int,
    faces: int,
) -> tuple[Floats, Floats, _Modes, Floats, tuple[int, ...]]:
    """Times (m,), air (m, 1) or (m, n), the modes of n panels, their first distance from the air, and their shape."""
    moments, path = floats(times), require_moisture("EMC of the air", air_moisture)
    require_range("time", moments, None, None, "days")
    if moments.ndim != 1 or not moments.size or path.shape[-1:] != moments.shape:
        raise ValueError(f"{moments.shape} times do not fit {path.shape} moisture contents")
    require_range("step between times", np.diff(moments), 0.0, None, "days", "times run forwards")
    if modes < 1:
        raise ValueError(f"modes is {modes}; allowed is at least 1")
    begin = path[..., 0] if start is None else require_moisture("moisture content at the start", start)
    panels = slab(thickness, diffusion, film, faces)
    shape = np.broadcast_shapes(panels.scale.shape, path.shape[:-1], begin.shape)
    flat = _modes(Slab(*(np.broadcast_to(values, shape).ravel() for values in panels)), modes)
    if path.ndim > 1:
        path = np.broadcast_to(path, (*shape, moments.size)).reshape(-1, moments.size)
    air = np.ascontiguousarray(np.atleast_2d(path).T)
    return moments, air, flat, np.zeros_like(flat.rates) + (np.broadcast_to(begin, shape).ravel() - air[0]), shape


def _course(moments: Floats, air: Floats, panels: _Modes, state: Floats, shape: tuple[int, ...]) -> Floats:
    results = np.empty((moments.size, state.shape[1]))
    _drive(moments, air, panels, state, results)
    return results.T.reshape(*shape, moments.size)


def _drive(moments: Floats, air: Floats, panels: _Modes, state: Floats, results: Floats | None = None) -> Floats:
    """Take each mode's distance from the air along the path, exactly, and return where it ends.

    Over a step d in which the air rises by e, the distance z becomes z exp(−kd) − e (1 − exp(−kd))/(kd).
    """
    state, scratch = state.copy(), np.empty_like(state)
    # Steps alike to 1e-9 days share their exponentials.
    _, first, kinds = np.unique(np.diff(moments).round(9), return_index=True, return_inverse=True)
    lengths, last = np.diff(moments)[first], -1
    for moment in range(moments.size):
        if moment:
            kind = kinds[moment - 1]
            if kind != last:
                decay, gain, last = *_step(panels.rates * lengths[kind]), kind
            state *= decay
            np.multiply(gain, air[moment] - air[moment - 1], out=scratch)
            state -= scratch
        if results is not None:
            np.einsum("kn,kn->n", panels.weights, state, out=results[moment])
            results[moment] += air[moment]
    return state


def _step(x: Floats) -> tuple[Floats, Floats]:
    """exp(−x) and (1 − exp(−x))/x, which is 1 at 0."""
    return np.exp(-x), np.divide(-np.expm1(-x), x, out=np.ones_like(x), where=x > 0)
