"""Equilibrium moisture content of wood in air and back; correcting a moisture meter."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from movement import air
from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import RangeError, require_range

# [°C] Up to the handbook's 200 °F; below its 30 °F the equation extrapolates, and near −37 °C it breaks down (K₂ < 0).
TEMPERATURE = (-35.0, 93.3)
# [°C] 30 to 200 °F, the span of Wood Handbook Table 4-2.
TABLE_TEMPERATURE = ((30 - 32) / 1.8, (200 - 32) / 1.8)
# [%] By definition.
HUMIDITY = air.HUMIDITY
# [%] Chosen bound, no source: wider than any reading of use.
READING = (0.0, 100.0)
# [%] Where a meter reads best, and where a resistance reading stops meaning moisture; meter manual (secondary).
METER_BEST = (6.0, 28.0)
METER_UNRELIABLE = 30.0
# [°C] 70 °F, from memory: usual for pin meters, so ask the meter's manual.
CALIBRATION_TEMPERATURE = 21.1
# [% MC per °C] 0.5 % MC per 10 °F; Wood Handbook ch. 13.
METER_SLOPE = 0.5 / 5.6

SOURCE = "Wood Handbook FPL-GTR-282 (2021), eq. 4-5"
SOURCE_METER = "Wood Handbook FPL-GTR-190 (2010), ch. 13: about 0.5 % MC for each 10 °F"
NOTE_GENERIC = (
    "The equation describes one generic wood. Single species settle a little higher or lower, and wood that is drying "
    "settles higher than wood that is taking up moisture."
)
NOTE_EXTRAPOLATED = (
    "Some of this air is below −1.1 °C (30 °F), where the equation for equilibrium moisture content goes beyond the "
    "handbook's table: take what comes of it as a rough guide."
)

# W/1800, K/100, K₁ and K₂ as polynomials in °C: constant, first and second power.
_POWERS = (
    (349 / 1800, 1.29 / 1800, 0.0135 / 1800),
    (0.805e-2, 0.000736e-2, -0.00000273e-2),
    (6.27, -0.00938, -0.000303),
    (1.91, 0.0407, -0.000293),
)
# Elements worked on at once, so that the scratch space stays in the processor's cache.
_BLOCK = 8_192

# Newton's steps, or halvings where one would leave the bracket; 5 are usual.
_MOST_STEPS = 100


def equilibrium_moisture(temperature: ArrayLike, humidity: ArrayLike) -> Quantity:
    """Moisture content at which wood settles in air.

    Parameters
    ----------
    temperature : float or ndarray
        Air temperature T [°C], −35 to 93.3; below −1.1 the equation extrapolates (see `extrapolates`).
    humidity : float or ndarray
        Relative humidity 100 h [%], 0 to 100, over ice or water as the file says.

    Returns
    -------
    float or ndarray
        Equilibrium moisture content M [%].

    Raises
    ------
    RangeError
        When a value is out of range.

    Notes
    -----
    M = (1800/W) [Kh/(1 − Kh) + (K₁Kh + 2K₁K₂K²h²)/(1 + K₁Kh + K₁K₂K²h²)] with
    W = 349 + 1.29T + 0.0135T², K = 0.805 + 0.000736T − 0.00000273T²,
    K₁ = 6.27 − 0.00938T − 0.000303T², K₂ = 1.91 + 0.0407T − 0.000293T².
    It describes one generic wood. The handbook's table was computed from it, so agreement with the table proves the
    coding only; from the older measured data it deviates by less than 0.13 % MC on average and 0.9 % MC at most
    (Simpson 1971).

    Source
    ------
    Wood Handbook FPL-GTR-282 (2021), eq. 4-5.

    Example
    -------
    >>> round(equilibrium_moisture(21.1, 50.0), 2)
    9.24
    """
    warmth, damp = floats(temperature), floats(humidity)
    operands: Any = [damp, None, warmth]
    access: Any = [["readonly"], ["writeonly", "allocate"], ["readonly"]]
    shared: Sequence[Floats] = ()
    if not warmth.ndim:  # one temperature: its constants are worked out once, and it stays out of the loop
        _require("temperature", warmth, TEMPERATURE, "°C", SOURCE)
        shared = _constants(warmth)
        del operands[2], access[2]
    scratch = np.empty((7, _BLOCK))
    with np.nditer(operands, ["external_loop", "buffered", "zerosize_ok"], access, buffersize=_BLOCK) as blocks:
        for part, out, *warmth_part in blocks if blocks.itersize else ():
            work = scratch[:, : part.size]
            _require("relative humidity", part, HUMIDITY, "%", "by definition")
            for values in warmth_part:
                _require("temperature", values, TEMPERATURE, "°C", SOURCE)
                shared = _constants(values, list(work[3:]))
            _fill(out, part, shared, work[:3])
        return unwrap(blocks.operands[1])


def equilibrium_humidity(temperature: ArrayLike, moisture: ArrayLike) -> Quantity:
    """Relative humidity at which wood keeps a given moisture content.

    Parameters
    ----------
    temperature : float or ndarray
        Air temperature [°C], −35 to 93.3.
    moisture : float or ndarray
        Moisture content [%], 0 to the equilibrium at 100 % RH (28.8 % MC at 20 °C).

    Returns
    -------
    float or ndarray
        Relative humidity [%].

    Raises
    ------
    RangeError
        When the temperature is out of range, or no humidity holds the wood at that moisture content.
    ArithmeticError
        When the search does not converge.

    Notes
    -----
    Inverse of `equilibrium_moisture`, which rises throughout: over one denominator eq. 4-5 is a cubic in Kh, solved to
    rounding.

    Source
    ------
    Wood Handbook FPL-GTR-282 (2021), eq. 4-5.

    Example
    -------
    >>> round(equilibrium_humidity(21.1, 8.0), 1)
    42.0
    """
    warmth, moist = np.broadcast_arrays(floats(temperature), floats(moisture))
    highest = floats(equilibrium_moisture(warmth, HUMIDITY[1]))
    over = ~((moist >= 0) & (moist <= highest))
    if over.any():
        value, limit = float(moist[over][0]), float(highest[over][0])
        raise RangeError("moisture content", value, 0.0, limit, "%", f"equilibrium at 100 % RH; {SOURCE}")

    W, K, K1, K2 = _constants(warmth)
    m, q = moist * W, K1 * K2
    cubic = (q * (m - 1), 2 * q - m * (q - K1), 1 + K1 - m * (K1 - 1), -m)
    return unwrap(_rising_root(cubic, K * HUMIDITY[1]) / K)


def _rising_root(cubic: tuple[Floats, Floats, Floats, Floats], high: Floats) -> Floats:
    """The one root from 0 to high of a cubic that is negative before it, by Newton's steps kept within the bracket.

    Own code where `movement.roots` would do: this is on the way to the first page, and scipy.optimize takes longer to
    load than all else there.
    """
    third, second, first, zeroth = cubic
    low, x = np.zeros_like(high), high / 2
    for _ in range(_MOST_STEPS):
        value = ((third * x + second) * x + first) * x + zeroth
        low, high = np.where(value < 0, x, low), np.where(value < 0, high, x)
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = x - value / ((3 * third * x + 2 * second) * x + first)
        following = np.where((newton >= low) & (newton <= high), newton, (low + high) / 2)
        if np.all(np.abs(following - x) <= 1e-15):
            return following
        x = following
    raise ArithmeticError("the search for a humidity did not converge")


def extrapolates(temperature: ArrayLike) -> NDArray[np.bool_]:
    """Where a temperature lies below the handbook's table, so that the equation extrapolates.

    Parameters
    ----------
    temperature : float or ndarray
        Air temperature [°C], −35 to 93.3.

    Returns
    -------
    ndarray of bool
        True below 30 °F (−1.1 °C).

    Raises
    ------
    RangeError
        When a temperature is out of range.

    Source
    ------
    Wood Handbook FPL-GTR-282 (2021), Table 4-2: 30 to 200 °F.
    """
    require_range("temperature", temperature, *TEMPERATURE, "°C", SOURCE)
    return np.asarray(floats(temperature) < TABLE_TEMPERATURE[0])


def meter_correction(
    reading: ArrayLike, wood_temperature: ArrayLike, calibration_temperature: ArrayLike = CALIBRATION_TEMPERATURE
) -> Quantity:
    """Moisture content behind a pin meter's reading on wood that is colder or warmer than its calibration.

    Parameters
    ----------
    reading : float or ndarray
        Reading R of a pin (resistance) meter, its species correction made [%], 0 to 100.
    wood_temperature : float or ndarray
        Temperature T of the wood [°C], −35 to 93.3.
    calibration_temperature : float or ndarray
        Temperature T₀ that the meter is calibrated for [°C], −35 to 93.3. The default, 21.1 (70 °F), is from memory:
        ask the meter's manual.

    Returns
    -------
    float or ndarray
        R + 0.5 (T₀ − T)/5.6, moisture content [%].

    Raises
    ------
    RangeError
        When an input is out of range, or the corrected moisture content falls below zero.

    Source
    ------
    Wood Handbook FPL-GTR-190 (2010), ch. 13: add about 0.5 % MC for each 10 °F that the wood is colder.

    Example
    -------
    >>> round(meter_correction(8.0, 9.9), 2)
    9.0
    """
    require_range("meter reading", reading, *READING, "%", "chosen bound, no source")
    require_range("wood temperature", wood_temperature, *TEMPERATURE, "°C", SOURCE_METER)
    require_range("calibration temperature", calibration_temperature, *TEMPERATURE, "°C", SOURCE_METER)
    moisture = floats(reading) + METER_SLOPE * (floats(calibration_temperature) - floats(wood_temperature))
    require_range("corrected moisture content", moisture, 0.0, None, "%", SOURCE_METER)
    return unwrap(moisture)


def meter_warnings(reading: float) -> list[str]:
    """Why a meter reading deserves doubt, in words; an empty list where it does not.

    Parameters
    ----------
    reading : float
        Meter reading [%], 0 to 100.

    Returns
    -------
    list of str
        One sentence per warning.

    Raises
    ------
    RangeError
        When the reading is out of range.

    Source
    ------
    Best range and the 30 % bound: meter manual (secondary). Oven-drying: Wood Handbook and ASTM D4442.

    Example
    -------
    >>> meter_warnings(12.0)
    []
    """
    require_range("meter reading", reading, *READING, "%", "chosen bound, no source")
    low, high = METER_BEST
    if low <= reading <= high:
        return []
    warnings = [f"Meters read best from about {low:g} to {high:g} % MC. Check a sample by oven-drying."]
    if reading >= METER_UNRELIABLE:
        warnings.append(
            f"Readings of {METER_UNRELIABLE:g} % MC and more are unreliable: the wood is wet, how wet is open."
        )
    return warnings


def _constants(temperature: Floats, out: Sequence[Floats | None] = (None,) * 4) -> list[Floats]:
    """W/1800, K/100, K₁ and K₂; the factors turn percent into a fraction and back."""
    return [_quadratic(temperature, *powers, space) for powers, space in zip(_POWERS, out, strict=True)]


def _quadratic(x: Floats, zeroth: float, first: float, second: float, out: Floats | None) -> Floats:
    value = np.multiply(x, second, out=out)
    value += first
    value *= x
    value += zeroth
    return value


def _fill(out: Floats, humidity: Floats, constants: Sequence[Floats], scratch: Floats) -> None:
    """Write eq. 4-5 into out without allocating, over one denominator: with x = Kh, p = K₁x and q = K₁K₂x²,

    M = (1800/W) [x(1 + p + q) + (p + 2q)(1 − x)] / [(1 + p + q)(1 − x)].
    """
    W, K, K1, K2 = constants
    upper, lower, dry = scratch
    x = np.multiply(humidity, K, out=out)
    np.multiply(x, K1, out=lower)  # p
    np.multiply(x, K2, out=upper)
    upper *= lower  # q
    lower += upper  # p + q
    upper += lower  # p + 2q
    lower += 1
    np.subtract(1, x, out=dry)
    x *= lower
    upper *= dry
    x += upper
    dry *= lower
    dry *= W
    x /= dry


def _require(name: str, block: Floats, limits: tuple[float, float], unit: str, source: str) -> None:
    """`require_range` for a block that is most often good: two passes, and NaN fails both."""
    if not (limits[0] <= block.min() and block.max() <= limits[1]):
        require_range(name, block, *limits, unit, source)
