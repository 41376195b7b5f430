"""Read and write temperatures: 20 °C, 68 F, 20,5°C, or a bare number of the scale that is in use; the core has °C."""

import re
import unicodedata
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Literal

from movement.lengths import MINUS, Direction, Unit

Scale = Literal["°C", "°F"]

SCALES: dict[Unit, Scale] = {"mm": "°C", "in": "°F"}
"""The scale that goes with a unit of length: shops that work in inches read °F."""

STEP = Decimal("0.1")
"""The finest that is shown, in either scale."""
LONGEST_TEXT = 30
"""Longest text that is read as a temperature [characters]."""

_DECIMALS = 10
_TYPED_DECIMALS = 9
_ROUNDINGS: dict[Direction, str] = {"nearest": ROUND_HALF_UP, "up": ROUND_CEILING, "down": ROUND_FLOOR}
_NUMBER = r"(?P<number>[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))"
_TEMPERATURE = re.compile(rf"{_NUMBER} ?(?:°|deg(?:rees?)?\.?)? ?(?P<scale>c|celsius|f|fahrenheit)?")
_SAME = str.maketrans("−‐‑‒–º˚", "-----°°")


class TemperatureError(ValueError):
    """Text that is not one temperature.

    Parameters
    ----------
    text : str
        What was written, kept whole.
    """

    def __init__(self, text: str) -> None:
        self.text = text
        shown = text if len(text) <= LONGEST_TEXT else f"{text[:LONGEST_TEXT]}…"
        super().__init__(f"“{shown}” is not a temperature; write for example 20 °C or 68 °F")


def read(text: str, scale: Scale = "°C") -> float:
    """The temperature that a text gives.

    Notes
    -----
    A number with a decimal point or comma; C, F, °C, °F, Celsius or Fahrenheit after it in any case, with a space or
    without. A number without a letter is of ``scale``. (t_F − 32) · 5/9 is t_C, rounded to 1e-10 °C, so that a round
    figure of one scale is one again after `typed`.

    Parameters
    ----------
    text : str
        At most `LONGEST_TEXT` characters.
    scale : {"°C", "°F"}
        The scale of a bare number.

    Returns
    -------
    float
        [°C]. Any size: the range is the caller's to check.

    Raises
    ------
    TemperatureError
        The text is not one temperature.

    Source
    ------
    By definition of the scales; the pairs printed in Wood Handbook Table 4-2 agree (tests/published).

    Example
    -------
    >>> read("68 F"), read("20°C", "°F"), read("68", "°F"), read("20,5")
    (20.0, 20.0, 20.0, 20.5)
    """
    plain = " ".join(unicodedata.normalize("NFKC", text.translate(_SAME)).translate(_SAME).lower().split())
    found = _TEMPERATURE.fullmatch(plain) if len(text) <= LONGEST_TEXT else None
    if found is None:
        raise TemperatureError(text)
    number = float(found["number"].replace(",", "."))
    written = found["scale"] or scale[-1].lower()
    return celsius(number) if written.startswith("f") else number


def celsius(fahrenheit: float) -> float:
    """Degrees Fahrenheit as °C, to 1e-10.

    Example
    -------
    >>> celsius(212.0), celsius(-40.0)
    (100.0, -40.0)
    """
    return round((fahrenheit - 32.0) * 5.0 / 9.0, _DECIMALS)


def degrees(temperature: float, scale: Scale) -> float:
    """A temperature [°C] as a number of a scale.

    Example
    -------
    >>> degrees(20.0, "°F"), degrees(20.0, "°C")
    (68.0, 20.0)
    """
    return temperature if scale == "°C" else round(temperature * 9.0 / 5.0 + 32.0, _TYPED_DECIMALS)


def show(temperature: float, scale: Scale, direction: Direction = "nearest", *, with_unit: bool = True) -> str:
    """A temperature for the reader, to a tenth of a degree, without a needless zero.

    Parameters
    ----------
    temperature : float
        [°C].
    scale : {"°C", "°F"}
        The scale to write it in.
    direction : {"nearest", "up", "down"}
        Where to round to: up is warmer.
    with_unit : bool
        Whether the scale follows the number.

    Example
    -------
    >>> show(20.0, "°F"), show(21.13, "°C"), show(-40.0, "°F"), show(93.3, "°F", "down")
    ('68 °F', '21.1 °C', '−40 °F', '199.9 °F')
    """
    number = Decimal(repr(round(degrees(temperature, scale), _TYPED_DECIMALS)))
    rounded = number.quantize(STEP, rounding=_ROUNDINGS[direction])
    text = f"{abs(rounded):f}".removesuffix(".0")
    sign = MINUS if rounded < 0 else ""
    return f"{sign}{text} {scale}" if with_unit else f"{sign}{text}"


def typed(temperature: float, scale: Scale) -> str:
    """A temperature [°C] as the bare number that one types in a scale; `read` gives the temperature back, to 1e-9 °C.

    Example
    -------
    >>> typed(20.0, "°F"), typed(-3.5, "°C"), typed(read("72", "°F"), "°F")
    ('68', '-3.5', '72')
    """
    text = f"{Decimal(repr(degrees(temperature, scale))):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
