"""A panel as a slab: how moisture moves through its thickness when the air changes, or swings.

Linear diffusion with one constant coefficient in a slab whose two faces, or one, meet the air through a film, solved by
the exact modes of that slab. The numbers of Crank's equations are given from memory.
"""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range

# [m²/s] Across the grain at room temperature. Derived: the working range, and its geometric mean. It rises with
# moisture and temperature and differs between woods, so carry all three.
DIFFUSION: Mapping[str, float] = MappingProxyType({"low": 2e-11, "middle": 6.3e-11, "high": 2e-10})
# [m/s] Surface coefficient of bare wood, an order of magnitude. Derived.
FILM_BARE = 5e-7

# Chosen bounds, no source: beyond shop practice on either side of what is known about wood and its finishes.
THICKNESS = (0.5, 300.0)  # mm
DIFFUSION_LIMITS = (1e-12, 1e-8)  # m²/s
FILM_LIMITS = (1e-10, 1e-5)  # m/s
PERIOD = (0.001, 100_000.0)  # days
# [% MC] Below the start of shrinkage; above it water moves by other laws.
MOISTURE = (0.0, 30.0)

SOURCE = "Crank, The Mathematics of Diffusion (1975), ch. 4"
SOURCE_LIMITS = "limits of this model"
NOTE_DERIVED = (
    "Days are estimates: a board's diffusion coefficient, 2e-11 to 2e-10 m²/s, is known only to a factor of three "
    "either way of its middle value; that range and the film of the bare surface are derived."
)

# [s]
_DAY = 86_400.0
# Fourier number Dt/l² below which neither face feels the other, to 1e-14, and the modes that suffice above it.
_SHORT = 0.03
_MODES = 12
# Taylor coefficients of exp(x²) erfc(x) − 1 + 2x/√π, which cancels badly when x is small.
_CANCELLED = (0.0, 0.0, *((-1) ** k / math.gamma(k / 2 + 1) for k in range(2, 16)))


class Slab(NamedTuple):
    """A slab without units.

    ``scale`` is the time that diffusion takes over l, l²/D [days], where l is half the thickness, or all of it with one
    face covered; ``resistance`` is that of the film over that of the slab, D/(s·l) [-].
    """

    scale: Floats
    resistance: Floats


def slab(thickness: ArrayLike, diffusion: ArrayLike, film: ArrayLike | None, faces: int = 2) -> Slab:
    """Time scale and film resistance of a panel, checked and broadcast.

    Parameters
    ----------
    thickness, diffusion, film, faces
        As in `step_response`.

    Returns
    -------
    Slab
        ``scale`` [days] and ``resistance`` [-].

    Raises
    ------
    RangeError
        When a value is out of range.
    ValueError
        When faces is neither 1 nor 2.

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), ch. 4.
    """
    require_range("thickness", thickness, *THICKNESS, "mm", SOURCE_LIMITS)
    require_range("diffusion coefficient", diffusion, *DIFFUSION_LIMITS, "m²/s", SOURCE_LIMITS)
    coefficient = floats(np.inf if film is None else film)
    held = np.isposinf(coefficient)
    require_range("surface coefficient", np.where(held, FILM_BARE, coefficient), *FILM_LIMITS, "m/s", SOURCE_LIMITS)
    if faces not in (1, 2):
        raise ValueError(f"faces is {faces}; allowed is 1 or 2")
    length = floats(thickness) / 1000 / faces
    return Slab(*np.broadcast_arrays(length**2 / floats(diffusion) / _DAY, floats(diffusion) / coefficient / length))


def require_moisture(name: str, value: ArrayLike) -> Floats:
    """A moisture content [%] as an array; `RangeError`, with its name, unless it lies within `MOISTURE`."""
    require_range(name, value, *MOISTURE, "%", SOURCE_LIMITS)
    return floats(value)


def roots(resistance: ArrayLike, count: int) -> Floats:
    """The first roots of β tan β = 1/r, where r is the resistance of the film over that of the slab, D/(s·l).

    Parameters
    ----------
    resistance : float or ndarray
        r [-], 0 or more; 0 for faces held at the equilibrium of the air. 1/r is the Biot number.
    count : int
        How many roots.

    Returns
    -------
    ndarray, shape (count, ...)
        β_n [-], one in each interval from nπ to (n + ½)π.

    Raises
    ------
    RangeError
        When a resistance is negative.
    ArithmeticError
        When the search does not converge.

    Notes
    -----
    Newton's method on β + atan(rβ) = (n + ½)π, which rises and is concave: from a start below the root every step stays
    below it and draws nearer. The starts are nπ, and for n = 0 the Becker–Stark bound π/√(π²r + 4).

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), eq. 4.51.

    Example
    -------
    >>> roots(1.0, 2).round(4)
    array([0.8603, 3.4256])
    """
    require_range("film resistance", resistance, 0.0, None, "", SOURCE)
    r = floats(resistance)
    order = np.arange(count, dtype=np.float64).reshape(-1, *(1,) * r.ndim)
    beta = np.maximum(order * np.pi, np.pi / np.sqrt(np.pi**2 * r + 4))
    for _ in range(50):
        rb = r * beta
        step = ((order + 0.5) * np.pi - beta - np.arctan(rb)) / (1 + r / (1 + rb**2))
        beta += step
        if np.all(np.abs(step) <= 1e-9 * beta):  # the error left is the square of that
            return beta
    raise ArithmeticError("the roots of β tan β did not converge")


def weights(beta: Floats, resistance: Floats) -> Floats:
    """What each mode of a step gives to the mean of the slab.

    Parameters
    ----------
    beta : ndarray, shape (n, ...)
        Roots as of `roots` [-].
    resistance : ndarray, shape (...)
        r [-], 0 or more.

    Returns
    -------
    ndarray, shape (n, ...)
        2/[β² (1 + r + r²β²)] [-]; over all modes they sum to 1.

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), eq. 4.53.
    """
    return 2 / (beta**2 * (1 + resistance + (resistance * beta) ** 2))


def series(resistance: Floats) -> tuple[Floats, Floats]:
    """Roots, and what each gives to the mean, that suffice from τ = 0.03 on.

    Parameters
    ----------
    resistance : ndarray, shape (...)
        r [-], 0 or more.

    Returns
    -------
    beta, mean_weights : ndarray, shape (12, ...)
        [-]

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), eq. 4.51 and 4.53.
    """
    beta = roots(resistance, _MODES)
    return beta, weights(beta, resistance)


def step_fraction(tau: Floats, resistance: Floats, beta: Floats, mean_weights: Floats) -> Floats:
    """Part of a step that the mean has gone, without units; see `step_response`.

    Parameters
    ----------
    tau : ndarray, shape (...)
        Dt/l² [-], 0 or more.
    resistance, beta, mean_weights : ndarray
        r [-], shape (...), with its modes as of `series`, shape (n, ...).

    Returns
    -------
    ndarray, shape (...)
        Fraction [-].

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), eq. 3.37 while τ is short and 4.53 after.
    """
    from scipy.special import erfcx  # loaded here: the pages that only need widths do without

    short = np.minimum(tau, _SHORT)
    x = np.sqrt(short) / np.maximum(resistance, 1e-300)
    half_space = np.where(
        x > 0.1,
        2 * np.sqrt(short / np.pi) + resistance * (erfcx(x) - 1),
        resistance * np.polynomial.polynomial.polyval(np.minimum(x, 0.1), _CANCELLED),
    )
    after = 1 - np.sum(mean_weights * np.exp(-(beta**2) * np.maximum(tau, _SHORT)), axis=0)
    return np.where(tau < _SHORT, half_space, after)


def step_response(
    thickness: ArrayLike, diffusion: ArrayLike, film: ArrayLike | None, days: ArrayLike, faces: int = 2
) -> Quantity:
    """Part of the way that the mean MC has gone, some days after the air changed for good.

    Parameters
    ----------
    thickness : float or ndarray
        Thickness L [mm], 0.5 to 300.
    diffusion : float or ndarray
        Diffusion coefficient D across the grain [m²/s], 1e-12 to 1e-8; see `DIFFUSION`.
    film : float, ndarray or None
        Surface coefficient s of the film [m/s], 1e-10 to 1e-5; ``None`` or infinity holds the face at the equilibrium
        of the air.
    days : float or ndarray
        Time t since the change [days], 0 or more.
    faces : {1, 2}
        Faces that meet the air; with one covered the slab acts as half of one twice as thick.

    Returns
    -------
    float or ndarray
        Fraction of the change [-], 0 to 1.

    Raises
    ------
    RangeError
        When a value is out of range.

    Notes
    -----
    With l = L/2 (both faces) or L (one face), τ = Dt/l², B = sl/D and the roots of β tan β = B:
    F = 1 − Σ 2B² exp(−β²τ)/(β²(β² + B² + B)). Before τ = 0.03 neither face feels the other, and the half-space gives
    F = 2√(τ/π) + [exp(B²τ) erfc(B√τ) − 1]/B, to the same 14 digits with no long series.

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), eq. 4.53 and 3.37.

    Example
    -------
    >>> round(step_response(20.0, 6.3e-11, None, 3.614), 3)
    0.5
    """
    require_range("time", days, 0.0, None, "days", SOURCE_LIMITS)
    panel = slab(thickness, diffusion, film, faces)
    tau = floats(days) / panel.scale
    resistance = panel.resistance.reshape((1,) * (tau.ndim - panel.resistance.ndim) + panel.resistance.shape)
    return unwrap(step_fraction(tau, resistance, *series(resistance)))


def mean_moisture(
    thickness: ArrayLike,
    diffusion: ArrayLike,
    film: ArrayLike | None,
    start: ArrayLike,
    air_moisture: ArrayLike,
    days: ArrayLike,
    faces: int = 2,
) -> Quantity:
    """Mean MC of a panel some days after it came, evenly moist, into other air.

    Parameters
    ----------
    thickness, diffusion, film, days, faces
        As in `step_response`.
    start : float or ndarray
        MC at the start [%], 0 to 30.
    air_moisture : float or ndarray
        EMC of the air [%], 0 to 30.

    Returns
    -------
    float or ndarray
        Mean moisture content [%].

    Raises
    ------
    RangeError
        When a value is out of range.

    Source
    ------
    Crank, The Mathematics of Diffusion (1975), eq. 4.53.

    Example
    -------
    >>> round(mean_moisture(20.0, 6.3e-11, None, 12.0, 8.0, 3.614), 2)
    10.0
    """
    begin = require_moisture("moisture content at the start", start)
    end = require_moisture("EMC of the air", air_moisture)
    return unwrap(begin + (end - begin) * step_response(thickness, diffusion, film, days, faces))


def sine_response(
    thickness: ArrayLike, diffusion: ArrayLike, film: ArrayLike | None, period: ArrayLike, faces: int = 2
) -> tuple[Quantity, Quantity]:
    """How much of a steady swing of the air the mean MC follows, and how late.

    Parameters
    ----------
    thickness, diffusion, film, faces
        As in `step_response`.
    period : float or ndarray
        Period P of the swing [days], 0.001 to 100,000.

    Returns
    -------
    amplitude, lag : float or ndarray
        Amplitude of the mean over that of the air [-]; lag of the mean [days].

    Raises
    ------
    RangeError
        When a value is out of range.

    Notes
    -----
    With ω = 2π/P and q = l √(iω/D): H = tanh q / [q (1 + q tanh(q)/B)]; the amplitude is |H|, the lag −arg(H)/ω.

    Source
    ------
    Standard linear diffusion: Laplace transform of the slab with a surface resistance, Crank (1975), ch. 4.

    Example
    -------
    >>> amplitude, lag = sine_response(12.7, 2e-11, None, 365.25)
    >>> round(amplitude, 3), round(lag, 1)
    (0.988, 7.7)
    """
    require_range("period", period, *PERIOD, "days", SOURCE_LIMITS)
    panel = slab(thickness, diffusion, film, faces)
    omega = 2 * np.pi / floats(period)
    q = np.sqrt(1j * omega * panel.scale)
    tanh = np.tanh(q)
    response = tanh / (q * (1 + panel.resistance * q * tanh))
    return unwrap(np.abs(response)), unwrap(-np.angle(response) / omega)
