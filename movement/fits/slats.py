"""A row of slats at fixed centres: the clear space between them through the year, against a limit.

The centres stand on rails, whose length stays put, so with slat width s today and clear space q today the space is
q − s (ρ − 1): widest when dry, narrowest when wet. Between an end slat and the frame only half of a slat moves in. A
limit L, with t the making tolerance of a space:

- at most: q + s (1 − ρ_d) + t ≤ L
- at least: q − s (ρ_w − 1) − t ≥ L
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range
from movement.season import Ratios

LimitKind = Literal["most", "least"]

SLAT_WIDTH = (2.0, 500.0)
"""Width of a slat across its grain [mm]; project limit, no source."""
SPACE = (0.1, 1000.0)
"""Clear space between slats [mm]; project limit, no source."""
OPENING = (10.0, 10000.0)
"""Length of a row between its ends [mm]; project limit, no source."""
COUNT = (2, 500)
"""Slats in a row; project limit, no source."""
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit on the clear space, entered by the maker.

    Attributes
    ----------
    space : float
        L [mm], within `SPACE`.
    kind : str
        ``most`` or ``least``.

    Raises
    ------
    RangeError
        Limit out of range.
    """

    space: float
    kind: LimitKind = "most"

    def __post_init__(self) -> None:
        require_range("limit", self.space, *SPACE, "mm")


def equal_space(opening: ArrayLike, width: ArrayLike, count: ArrayLike) -> Quantity:
    """The clear space today between slats set equally in a row, ends included.

    Notes
    -----
    q = (O − n s)/(n + 1).

    Parameters
    ----------
    opening : float or ndarray
        O, the row between its ends [mm], within `OPENING`.
    width : float or ndarray
        s [mm], within `SLAT_WIDTH`.
    count : int or ndarray
        n, within `COUNT`.

    Returns
    -------
    float or ndarray
        [mm]; zero or less where the slats do not go in.

    Raises
    ------
    RangeError
        An argument out of range.

    Example
    -------
    >>> equal_space(1000.0, 40.0, 10)
    54.54545454545455
    """
    require_range("length of the row", opening, *OPENING, "mm")
    require_range("width of a slat", width, *SLAT_WIDTH, "mm")
    require_range("number of slats", count, *COUNT)
    n = floats(count)
    return unwrap((floats(opening) - n * floats(width)) / (n + 1))


def marks(opening: float, width: float, count: int) -> Floats:
    """How far the near edge of each slat of an equal row stands today from one end of the row [mm].

    Notes
    -----
    q + i (s + q) for i = 0 … n − 1, with q of `equal_space`: marked from one end, no rounding adds up along the row.

    Raises
    ------
    RangeError
        An argument out of range.

    Example
    -------
    >>> marks(260.0, 60.0, 3)
    array([ 20., 100., 180.])
    """
    clear = float(equal_space(opening, width, count))
    return floats(clear + np.arange(count) * (width + clear))


def space(today: ArrayLike, width: ArrayLike, ratio: ArrayLike) -> Quantity:
    """The clear space between slats when they are this many times today's width [mm]; negative when they touch."""
    return unwrap(floats(today) - floats(width) * (floats(ratio) - 1))


def end_space(today: ArrayLike, width: ArrayLike, ratio: ArrayLike) -> Quantity:
    """The clear space between an end slat and the frame when slats are this many times today's width [mm]."""
    return space(today, floats(width) / 2, ratio)


def margin(
    today: ArrayLike, width: ArrayLike, dry: ArrayLike, wet: ArrayLike, limit: Limit, tolerance: ArrayLike = 0.0
) -> Quantity:
    """How far the worst space of the year stays within a limit, tolerance taken off [mm]; negative when it does not."""
    if limit.kind == "most":
        return unwrap(limit.space - floats(space(today, width, dry)) - floats(tolerance))
    return unwrap(floats(space(today, width, wet)) - limit.space - floats(tolerance))


def space_to_leave(
    width: ArrayLike, dry: ArrayLike, wet: ArrayLike, limit: Limit, tolerance: ArrayLike = 0.0
) -> Quantity:
    """The clear space today that just meets a limit [mm]: the inverse of `margin`.

    No wider than this under a limit of kind ``most``, no narrower under one of kind ``least``.

    Raises
    ------
    RangeError
        Width out of range.
    """
    require_range("width of a slat", width, *SLAT_WIDTH, "mm")
    s, t = floats(width), floats(tolerance)
    if limit.kind == "most":
        return unwrap(limit.space - t - s * (1 - floats(dry)))
    return unwrap(limit.space + t + s * (floats(wet) - 1))


def widest_slat(today: ArrayLike, dry: ArrayLike, wet: ArrayLike, limit: Limit, tolerance: ArrayLike = 0.0) -> Quantity:
    """The widest slat for which this clear space today stays within a limit: `margin` solved for the width.

    Returns
    -------
    float or ndarray
        [mm]; infinite where the wood does not move that way, negative where not even a still slat keeps the limit.
    """
    sign = 1.0 if limit.kind == "most" else -1.0
    room = sign * (limit.space - floats(today)) - floats(tolerance)
    move = 1 - floats(dry) if limit.kind == "most" else floats(wet) - 1
    still = move == 0
    return unwrap(np.where(still, np.where(room >= 0, np.inf, -np.inf), room / np.where(still, 1.0, move)))


def count_for(
    opening: ArrayLike, width: ArrayLike, dry: ArrayLike, wet: ArrayLike, limit: Limit, tolerance: ArrayLike = 0.0
) -> Quantity:
    """The fewest slats that keep a limit of kind ``most``, the most that keep one of kind ``least``, set equally.

    Notes
    -----
    With K the space to leave, (O − n s)/(n + 1) = K at n = (O − K)/(K + s): rounded up, or down.

    Returns
    -------
    float or ndarray
        A whole number; NaN where none from 2 to 500 does, or the slats would touch in the wettest season.

    Raises
    ------
    RangeError
        Width out of range.
    """
    row, s = floats(opening), floats(width)
    leave = floats(space_to_leave(width, dry, wet, limit, tolerance))
    with np.errstate(divide="ignore", invalid="ignore"):
        n = (row - leave) / (leave + s)
        if limit.kind == "most":
            n = np.maximum(np.ceil(n - _EXACT), COUNT[0])
        else:
            n = np.minimum(np.floor(n + _EXACT), COUNT[1])
        apart = floats(space((row - n * s) / (n + 1), s, wet)) - floats(tolerance) > 0
    return unwrap(np.where((leave > -s) & (n >= COUNT[0]) & (n <= COUNT[1]) & apart, n, np.nan))


@dataclass(frozen=True, slots=True)
class SlatFit:
    """A row of slats through the year. Lengths in mm.

    ``margin`` is what is left to the limit at the worst of the year, tolerance taken off; ``None`` without a limit.
    """

    width: float
    today: float
    tolerance: float
    limit: Limit | None
    ratios: Ratios
    margin: float | None

    def space_at(self, ratio: float) -> float:
        """Clear space between slats when they are this many times today's width [mm]."""
        return float(space(self.today, self.width, ratio))

    def end_space_at(self, ratio: float) -> float:
        """Clear space at an end of the row, set as wide as the others today [mm]."""
        return float(end_space(self.today, self.width, ratio))

    @property
    def touches(self) -> bool:
        """Slats meet in the wettest season."""
        return self.space_at(self.ratios.wet) - self.tolerance <= 0

    @property
    def within_limit(self) -> bool | None:
        """The limit holds at the worst of the year for every space within its tolerance; ``None`` without a limit."""
        return None if self.margin is None else self.margin >= -_EXACT

    @property
    def fits(self) -> bool:
        """The slats stay apart, and within the limit where there is one."""
        return not self.touches and self.within_limit is not False


def fit(width: float, today: float, ratios: Ratios, tolerance: float = 0.0, limit: Limit | None = None) -> SlatFit:
    """A row of slats with this clear space today, checked through the year.

    Parameters
    ----------
    width, today : float
        Slat and clear space today [mm], within `SLAT_WIDTH` and `SPACE`.
    ratios : Ratios
        A slat's width at dry, mid and wet over its width today [-].
    tolerance : float
        Of one space, plus or minus [mm].
    limit : Limit or None
        What the space is compared with.

    Raises
    ------
    RangeError
        A length out of range.
    """
    require_range("width of a slat", width, *SLAT_WIDTH, "mm")
    require_range("clear space", today, *SPACE, "mm")
    left = None if limit is None else float(margin(today, width, ratios.dry, ratios.wet, limit, tolerance))
    return SlatFit(width, today, tolerance, limit, ratios, left)
