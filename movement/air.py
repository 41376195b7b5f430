"""Water vapour in air: saturation, and outdoor air brought indoors."""

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range

Phase = Literal["ice", "water"]
"""What relative humidity below freezing is counted against: weather files differ, so ask the file."""

# [°C] Part of the −100 to 200 °C of the equations that weather, rooms and drying reach.
TEMPERATURE = (-60.0, 100.0)
# [%] By definition; air over 100 % sheds water.
HUMIDITY = (0.0, 100.0)
# [g/m³] Chosen bound, no source: far above the 2 to 4 g/m³ measured in homes.
SURPLUS = (0.0, 20.0)
# [J/(kg K)] Gas constant of water vapour: 8.314 J/(mol K) over 0.018015 kg/mol.
GAS_CONSTANT = 461.5
# [K] 0 °C.
ZERO_CELSIUS = 273.15
# [°C] Triple point of water: ice below, water above.
TRIPLE_POINT = 0.01

SOURCE = "ASHRAE Handbook Fundamentals 2017, ch. 1, eq. 5 and 6 (Hyland and Wexler 1983)"
SOURCE_SURPLUS = "chosen bound, no source; homes are measured at 2 to 4 g/m³ (Alev et al. 2015, Kalamees 2006)"


def saturation_pressure(temperature: ArrayLike, phase: Phase = "ice") -> Quantity:
    """Vapour pressure of saturated air.

    Parameters
    ----------
    temperature : float or ndarray
        Air temperature [°C], −60 to 100.
    phase : {"ice", "water"}
        What the air is saturated over below 0.01 °C; above, always water.

    Returns
    -------
    float or ndarray
        Saturation pressure [Pa].

    Raises
    ------
    RangeError
        When a temperature is out of range.

    Notes
    -----
    ln p = C₁/T + C₂ + C₃T + C₄T² + C₅T³ + C₆T⁴ + C₇ ln T with T in kelvin; one set of constants over ice, one over
    water. The two meet at the triple point to 1 part in 100 million. Over water below 0 °C the equation extrapolates.
    The book changes over at 0 °C; the triple point is where ice gives way to water.

    Source
    ------
    ASHRAE Handbook Fundamentals 2017, ch. 1, eq. 5 (over ice, −100 to 0 °C) and eq. 6 (over water, 0 to 200 °C).

    Example
    -------
    >>> round(saturation_pressure(20.0), 1)
    2338.8
    """
    require_range("temperature", temperature, *TEMPERATURE, "°C", SOURCE)
    return unwrap(np.exp(_log_saturation(floats(temperature), phase)))


def surplus_pressure(surplus: ArrayLike, temperature: ArrayLike) -> Quantity:
    """Vapour pressure that people, cooking and plants add to the air of a room.

    Parameters
    ----------
    surplus : float or ndarray
        Moisture surplus Δv, indoor over outdoor [g/m³], 0 to 20.
    temperature : float or ndarray
        Room temperature T [°C], −60 to 100.

    Returns
    -------
    float or ndarray
        Δp = Δv·R_v·T [Pa], with R_v = 461.5 J/(kg K) and T in kelvin.

    Raises
    ------
    RangeError
        When a value is out of range.

    Source
    ------
    Ideal gas law; the published example, 2 g/m³ at 20.5 °C, is 271 Pa.

    Example
    -------
    >>> round(surplus_pressure(2.0, 20.5))
    271
    """
    require_range("moisture surplus", surplus, *SURPLUS, "g/m³", SOURCE_SURPLUS)
    require_range("temperature", temperature, *TEMPERATURE, "°C", SOURCE)
    return unwrap(floats(surplus) / 1000 * GAS_CONSTANT * (floats(temperature) + ZERO_CELSIUS))


def indoor_humidity(outdoor_pressure: ArrayLike, indoor_temperature: ArrayLike, surplus: ArrayLike = 0.0) -> Quantity:
    """Relative humidity of outdoor air brought into a room, before any drying or humidifying.

    The result is not capped: over 100 % means that the room would drip, and what then dries it is for the room model
    to say.

    Parameters
    ----------
    outdoor_pressure : float or ndarray
        Vapour pressure outdoors p [Pa], 0 or more.
    indoor_temperature : float or ndarray
        Room temperature T [°C], −60 to 100.
    surplus : float or ndarray
        Moisture surplus [g/m³], 0 to 20.

    Returns
    -------
    float or ndarray
        100 (p + Δp)/p_sat(T) [%].

    Raises
    ------
    RangeError
        When an input is out of range.

    Source
    ------
    Vapour balance of a room: p_i = p_e + Δv·R_v·T_i.

    Example
    -------
    >>> round(indoor_humidity(430.0, 21.0, surplus=2.0), 1)
    28.2
    """
    pressure = floats(outdoor_pressure) + surplus_pressure(surplus, indoor_temperature)
    require_range("vapour pressure", outdoor_pressure, 0.0, None, "Pa", "by definition")
    return unwrap(100 * pressure / saturation_pressure(indoor_temperature))


def _log_saturation(temperature: Floats, phase: Phase) -> Floats:
    kelvin = temperature + ZERO_CELSIUS
    water = (
        -5.8002206e3 / kelvin
        + 1.3914993
        + kelvin * (-4.8640239e-2 + kelvin * (4.1764768e-5 - 1.4452093e-8 * kelvin))
        + 6.5459673 * np.log(kelvin)
    )
    if phase == "water":
        return floats(water)
    if phase != "ice":
        raise ValueError(f'phase is {phase!r}; allowed is "ice" or "water"')
    ice = (
        -5.6745359e3 / kelvin
        + 6.3925247
        + kelvin * (-9.6778430e-3 + kelvin * (6.2215701e-7 + kelvin * (2.0747825e-9 - 9.4840240e-13 * kelvin)))
        + 4.1635019 * np.log(kelvin)
    )
    return np.where(temperature < TRIPLE_POINT, ice, water)
