"""The errors of the core: a value outside its range of validity, and a file that is no piece file."""

from math import isfinite

import numpy as np
from numpy.typing import ArrayLike


class RangeError(ValueError):
    """A value outside the range in which a relation holds.

    Parameters
    ----------
    name : str
        The quantity, in the words of the vocabulary ("relative humidity").
    value : float or str
        What was given [unit].
    low, high : float or None
        The allowed range, ends included [unit]; ``None`` where that side is open.
    unit : str
        The unit of value, low and high.
    source : str
        Where the range comes from.
    """

    def __init__(
        self,
        name: str,
        value: float | str,
        low: float | None,
        high: float | None,
        unit: str = "",
        source: str = "",
    ) -> None:
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit
        self.source = source
        super().__init__(f"{name} is {_text(value)}{_gap(unit)}; allowed is {self.allowed}")

    @property
    def allowed(self) -> str:
        """The allowed range in words, with its unit."""
        unit = _gap(self.unit)
        if self.low is None and self.high is None:
            return "nothing here"
        if self.low is None:
            return f"at most {_text(self.high)}{unit}"
        if self.high is None:
            return f"at least {_text(self.low)}{unit}"
        return f"{_text(self.low)} to {_text(self.high)}{unit}"


def require_range(
    name: str,
    value: ArrayLike,
    low: float | None,
    high: float | None,
    unit: str = "",
    source: str = "",
) -> None:
    """Raise `RangeError` unless every element of value lies from low to high; NaN never does.

    Parameters
    ----------
    name, low, high, unit, source
        As in `RangeError`.
    value : float or ndarray, any shape
        What is checked [unit].

    Raises
    ------
    RangeError
        With the first element that is out of range.

    Example
    -------
    >>> require_range("relative humidity", 120.0, 0, 100, "%")
    Traceback (most recent call last):
    movement.errors.RangeError: relative humidity is 120 %; allowed is 0 to 100 %
    """
    if (
        isinstance(value, float)
        and (low is None or low <= value)
        and (high is None or value <= high)
        and isfinite(value)
    ):
        return
    values = np.asarray(value, dtype=float)
    good = np.isfinite(values)
    if low is not None:
        good &= values >= low
    if high is not None:
        good &= values <= high
    if not good.all():
        raise RangeError(name, float(values[~good].flat[0]), low, high, unit, source)


def _text(value: float | str | None) -> str:
    return value if isinstance(value, str) else f"{value:.6g}"


def _gap(unit: str) -> str:
    return f" {unit}" if unit else ""


class PieceFileError(ValueError):
    """A file that is no piece file of ours; the message says what is wrong and where."""
