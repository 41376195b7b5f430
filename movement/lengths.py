"""Read and write shop lengths: 17 3/8", 1' 5-3/8", 441.3 mm, 44 cm; round them to the steps of a rule."""

import math
import re
import unicodedata
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range

Unit = Literal["mm", "in"]
Direction = Literal["nearest", "up", "down"]

INCH = 25.4
"""One inch [mm], exact (international inch of 1959)."""

STEPS: dict[Unit, tuple[float, ...]] = {
    "mm": (0.1, 0.2, 0.5, 1.0),
    "in": (INCH / 64, INCH / 32, INCH / 16, INCH / 8),
}
"""The steps that a maker can choose to round to [mm], by the unit they are shown in."""

TOLERANCE = 1e-9
"""A length this close to a multiple of the step is that multiple [mm]."""

LENGTH = (-1e6, 1e6)
"""Lengths that can be rounded [mm]. Derived: a float there is still ten times finer than `TOLERANCE`."""

STEP = (1e-6, 1e6)
"""Steps that can be rounded to [mm]. Derived: a thousand times `TOLERANCE`, up to the longest length."""

LONGEST_TEXT = 60
"""Longest text that is read as a length [characters]."""

MINUS = "−"

_DECIMALS = 6
_PARTS = 1e9
"""Parts of a millimetre that a rounded length is kept to, 1/`TOLERANCE`."""
_FINEST = 64
_EXAMPLES = 'write for example 441.3 mm, 44 cm, 17 3/8" or 1\' 5 3/8"'


class LengthError(ValueError):
    """Text that is not one length.

    Parameters
    ----------
    text : str
        What was written, kept whole.
    reason : str
        What is wrong with it, in words.
    """

    def __init__(self, text: str, reason: str) -> None:
        self.text = text
        self.reason = reason
        shown = text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT // 2] + "…"
        super().__init__(f"“{shown}” is not a length: {reason}; {_EXAMPLES}")


def read(text: str, unit: Unit = "mm") -> float:
    """The length that a text gives in shop notation.

    Notes
    -----
    Millimetres, centimetres, metres, inches and feet; decimals, fractions and whole-and-fraction. A number without
    a unit takes `unit`, but a bare fraction is refused where that is millimetres: it was hardly meant so. Point and
    comma are both decimal marks. A comma or a tick between one to three digits and exactly three (1,234 or 1'234) may
    separate thousands and is refused, unless the whole part opens with 0; a single point is always decimal. Feet
    beside inches are whole and the inches under 12. A sign stands only in front and counts for the whole length.

    Parameters
    ----------
    text : str
        At most `LONGEST_TEXT` characters.
    unit : {"mm", "in"}
        The unit of a bare number.

    Returns
    -------
    float
        [mm], to the nearest float. Any size: the range is the caller's to check.

    Raises
    ------
    LengthError
        The text is not one length, or could be two.

    Example
    -------
    >>> read('17 3/8"'), read("44 cm"), read("5/8", "in")
    (441.325, 440.0, 15.875)
    """
    if len(text) > LONGEST_TEXT:
        raise LengthError(text, f"it is longer than {LONGEST_TEXT} characters")
    plain = _plain(text)
    if not plain:
        raise LengthError(text, "it is blank")
    if could_be_thousands(plain):
        raise LengthError(text, "a mark in it could separate thousands, so write 1234 or 1.234")
    found = _ONE_UNIT.fullmatch(plain) or _FEET_INCHES.fullmatch(plain)
    if found is None:
        raise LengthError(text, "one number with one unit, or feet and inches, can be read")
    part = found.groupdict()
    try:
        if "feet" in part:
            length = _feet_inches(part["feet"], part["inches"])
        else:
            length = _number(part["number"]) * _MM[part["unit"] or _bare(part["sign"], part["number"], unit)]
    except _NumberError as error:
        raise LengthError(text, str(error)) from None
    return float(-length if part["sign"] == "-" else length)


def could_be_thousands(text: str) -> bool:
    """Whether a mark in a number may separate thousands, so that the number could be two; see `read`.

    Example
    -------
    >>> [could_be_thousands(text) for text in ("1,000", "1.234,5", "0,125", "12,5", "1.234")]
    [True, True, False, False, False]
    """
    return bool(_TWO_MARKS.search(text) or _THOUSANDS.search(text))


def step_label(step: float, unit: Unit) -> str:
    """A rounding step in words, such as ``1/32 in`` or ``0.5 mm``.

    Parameters
    ----------
    step : float
        [mm], within `STEP`; a fraction of an inch no finer than 1/64, or a decimal no finer than 0.000001 mm.
    unit : {"mm", "in"}
        The unit to write it in.

    Raises
    ------
    RangeError
        The step is outside `STEP`.
    ValueError
        The step cannot be written in the unit.

    Example
    -------
    >>> [step_label(step, "in") for step in STEPS["in"]]
    ['1/64 in', '1/32 in', '1/16 in', '1/8 in']
    """
    _require_step(step)
    return f"{_inch_fraction(step)} in" if unit == "in" else f"{step:.{_decimals(step)}f} mm"


def round_to(length: ArrayLike, step: float, direction: Direction = "nearest") -> Quantity:
    """A length rounded to a whole number of steps.

    Notes
    -----
    Up is towards +∞ and down towards −∞; half a step goes away from zero. A length within `TOLERANCE` of a multiple
    is that multiple, so that floating error never costs a step. The result is rounded to `TOLERANCE`.

    Parameters
    ----------
    length : float or ndarray, any shape
        [mm], within `LENGTH`.
    step : float
        [mm], within `STEP`.
    direction : {"nearest", "up", "down"}
        Where to round to.

    Returns
    -------
    float or ndarray, shape of length
        [mm].

    Raises
    ------
    RangeError
        The length is outside `LENGTH` or the step outside `STEP`.

    Example
    -------
    >>> round_to(441.3, 0.5), round_to(441.3, 0.5, "down"), round_to(0.1 + 0.2, 0.1, "up")
    (441.5, 441.0, 0.3)
    """
    _require_step(step)
    require_range("length", length, *LENGTH, unit="mm")
    if isinstance(length, float):  # a page says dozens of lengths: the same arithmetic without an array for each
        return round(_COUNTS[direction](length / step, TOLERANCE / step) * step * _PARTS) / _PARTS
    return unwrap(_multiples(_ROUNDINGS[direction](floats(length) / step, TOLERANCE / step), step))


def round_toward(length: ArrayLike, target: ArrayLike, step: float) -> Quantity:
    """A length rounded to a whole number of steps on the side where the target lies.

    Notes
    -----
    Up where the target is longer, down where it is shorter, to the nearest where both are equal. The result can pass
    the target by less than one step.

    Parameters
    ----------
    length, target : float or ndarray, broadcast together
        [mm], within `LENGTH`.
    step : float
        [mm], within `STEP`.

    Returns
    -------
    float or ndarray, the broadcast shape
        [mm].

    Raises
    ------
    RangeError
        A length is outside `LENGTH` or the step outside `STEP`.

    Example
    -------
    >>> round_toward(441.3, 450, 0.5), round_toward(441.3, 430, 0.5)
    (441.5, 441.0)
    """
    require_range("target length", target, *LENGTH, unit="mm")
    way = floats(target) - floats(length)
    towards = np.where(way > 0, round_to(length, step, "up"), round_to(length, step, "down"))
    return unwrap(np.where(np.abs(way) <= TOLERANCE, round_to(length, step), towards))


def show(length: float, unit: Unit, step: float, direction: Direction = "nearest", *, with_unit: bool = True) -> str:
    """A length in shop notation, rounded to a step: ``441.3 mm`` or ``17 3/8"``.

    Notes
    -----
    Fractions are reduced and inches stay inches past 12. Millimetres carry the decimals of the step, zero carries
    none. A negative length opens with the minus sign U+2212. `read` gives back exactly what `round_to` gives.

    Parameters
    ----------
    length : float
        [mm], within `LENGTH`.
    unit : {"mm", "in"}
        The unit to write it in.
    step : float
        [mm], as in `step_label`.
    direction : {"nearest", "up", "down"}
        As in `round_to`.
    with_unit : bool
        Whether the unit follows the number.

    Raises
    ------
    RangeError
        The length is outside `LENGTH` or the step outside `STEP`.
    ValueError
        The step cannot be written in the unit.

    Example
    -------
    >>> show(441.325, "mm", 0.1), show(441.325, "in", INCH / 32), show(-0.8, "in", INCH / 32)
    ('441.3 mm', '17 3/8"', '−1/32"')
    """
    rounded = float(round_to(length, step, direction))
    if unit == "in":
        number = _mixed(abs(round(rounded / step)) * _inch_fraction(step))
    else:
        number = f"{abs(rounded):.{_decimals(step) if rounded else 0}f}"
    sign = MINUS if rounded < 0 else ""
    return f"{sign}{number}{_SUFFIX[unit] if with_unit else ''}"


def show_signed(
    length: float, unit: Unit, step: float, direction: Direction = "nearest", *, with_unit: bool = True
) -> str:
    """A length that can go either way, such as a bias, written like `show` but with a plus where it is positive.

    Example
    -------
    >>> show_signed(0.8, "mm", 0.1), show_signed(-0.8, "in", INCH / 32), show_signed(0.01, "mm", 0.1)
    ('+0.8 mm', '−1/32"', '0 mm')
    """
    text = show(length, unit, step, direction, with_unit=with_unit)
    return f"+{text}" if float(round_to(length, step, direction)) > 0 else text


# Reading

_MM = {name: Fraction(1) for name in ("mm", "millimetre", "millimetres", "millimeter", "millimeters")}
_MM |= {name: Fraction(10) for name in ("cm", "centimetre", "centimetres", "centimeter", "centimeters")}
_MM |= {name: Fraction(1000) for name in ("m", "metre", "metres", "meter", "meters")}
_MM |= {name: Fraction("25.4") for name in ('"', "in", "inch", "inches")}
_MM |= {name: Fraction("304.8") for name in ("'", "ft", "foot", "feet")}

_UNITS = "|".join(sorted(_MM, key=len, reverse=True))
# a mark straight after the feet could end the abbreviation or open a decimal
_FEET = r"(?:'|feet|foot|ft)(?:\.(?=[ -]))?(?![.,])"
_INCHES = '"|inches|inch|in'
_NUMBER = r"[0-9]+[ -][0-9]+ ?/ ?[0-9]+|[0-9]+ ?/ ?[0-9]+|[0-9]*[.,][0-9]+|[0-9]+"
_SIGN = "(?P<sign>[+-]?) ?"

_ONE_UNIT = re.compile(rf"{_SIGN}(?P<number>{_NUMBER})(?: ?(?P<unit>{_UNITS})\.?)?")
_FEET_INCHES = re.compile(
    rf"{_SIGN}(?P<feet>{_NUMBER}) ?{_FEET}(?: - |-| )?(?P<inches>{_NUMBER})(?: ?(?:{_INCHES})\.?)?"
)
_TWO_MARKS = re.compile(r"[0-9][.,][0-9]*[.,][0-9]")
_THOUSANDS = re.compile(r"(?<![0-9.,])[1-9][0-9]{0,2}[,'][0-9]{3}(?![0-9])")

_SAME = str.maketrans(
    dict.fromkeys("″“”„‟ʺ˝〃＂", '"')
    | dict.fromkeys("′’‘‛ʹʼ´`＇", "'")
    | dict.fromkeys("−‐‑‒–—―﹣－\u00ad", "-")
    | dict.fromkeys("⁄∕", "/")
)

_SMALL = {"<super>", "<sub>"}
_KINDS = {"<fraction>", "<wide>", "<square>"} | _SMALL


class _NumberError(Exception):
    """Why a number that has the right shape is refused."""


def _plain(text: str) -> str:
    """Text in lower case, ASCII signs and single spaces, as far as it has them; 17½ becomes 17 1/2."""
    out = before = ""
    same = text.translate(_SAME)
    if same.isascii():
        return " ".join(same.replace("''", '"').lower().split())
    for char in same:
        kind = unicodedata.decomposition(char).partition(" ")[0]
        sign = unicodedata.normalize("NFKC", char).replace("⁄", "/") if kind in _KINDS else char
        if char.isspace() or unicodedata.category(char) == "Cf":
            sign = " "
        # digits of another size, or a fraction in one sign, never run on from the digits before them
        apart = kind == "<fraction>" or (kind != before and not _SMALL.isdisjoint((kind, before)))
        if (apart or before == "<fraction>") and not out.endswith(("/", "-")):
            out += " "
        out += sign
        before = kind
    return " ".join(out.replace("''", '"').lower().split())


def _number(text: str) -> Fraction:
    whole, _, fraction = re.sub(" ?/ ?", "/", text).replace("-", " ").rpartition(" ")
    top, bar, bottom = fraction.partition("/")
    if not bar:
        return Fraction(fraction.replace(",", "."))
    if int(bottom) == 0:
        raise _NumberError("the fraction divides by zero")
    if whole and int(top) >= int(bottom):
        raise _NumberError("the fraction after a whole number must be less than one")
    return int(whole or 0) + Fraction(int(top), int(bottom))


def _bare(sign: str, number: str, unit: Unit) -> Unit:
    """The unit of a number that has none."""
    if unit == "mm" and "/" in number:
        value = f"{float(_number(number)):.3f}".rstrip("0").rstrip(".")
        raise _NumberError(f"a fraction without a unit could be inches, so write {sign}{number} in or {sign}{value} mm")
    return unit


def _feet_inches(feet_text: str, inches_text: str) -> Fraction:
    feet, inches = _number(feet_text), _number(inches_text)
    if feet.denominator != 1:
        raise _NumberError("feet beside inches must be whole")
    if inches >= 12:
        raise _NumberError("inches beside feet must be under 12")
    return feet * _MM["ft"] + inches * _MM["in"]


# Rounding and writing

_SUFFIX: dict[Unit, str] = {"mm": " mm", "in": '"'}


def _nearest(ratio: Floats, slack: float) -> Floats:
    return np.copysign(np.floor(np.abs(ratio) + 0.5 + slack), ratio)


def _up(ratio: Floats, slack: float) -> Floats:
    return np.ceil(ratio - slack)


def _down(ratio: Floats, slack: float) -> Floats:
    return np.floor(ratio + slack)


_ROUNDINGS: dict[Direction, Callable[[Floats, float], Floats]] = {"nearest": _nearest, "up": _up, "down": _down}
_COUNTS: dict[Direction, Callable[[float, float], float]] = {
    "nearest": lambda ratio, slack: math.copysign(math.floor(abs(ratio) + 0.5 + slack), ratio),
    "up": lambda ratio, slack: math.ceil(ratio - slack),
    "down": lambda ratio, slack: math.floor(ratio + slack),
}
"""The same for one number."""


def _multiples(count: Floats, step: float) -> Floats:
    return np.round(count * step, 9) + 0.0  # + 0.0 turns -0.0 into 0.0


def _require_step(step: float) -> None:
    require_range("rounding step", step, *STEP, unit="mm")


@lru_cache(256)
def _decimals(step: float) -> int:
    for decimals in range(_DECIMALS + 1):
        if abs(round(step, decimals) - step) <= TOLERANCE:
            return decimals
    raise ValueError(f"a step of {step:.9g} mm cannot be written in millimetres with {_DECIMALS} decimals")


@lru_cache(256)
def _inch_fraction(step: float) -> Fraction:
    fraction = Fraction(step / INCH).limit_denominator(_FINEST)
    if abs(float(fraction) * INCH - step) > TOLERANCE:
        raise ValueError(f"a step of {step:.9g} mm is no fraction of an inch down to 1/{_FINEST}")
    return fraction


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"
