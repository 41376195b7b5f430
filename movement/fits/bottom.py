"""A solid drawer bottom, held at the drawer's front: its width, front to back, and the slot for its screw.

Its grain runs from side to side, so it moves front to back. It is held at the front, f deep in the front's groove, and
all of its movement comes out at the back, which is b thick and stands in from the ends of the sides by s. With w its
width today, l the length of a side from the front's inner face, ρ_d and ρ_w its width at the driest and the wettest
moisture over today's, e what must lie under the drawer's back, and t the making tolerance:

    wet, it stays within the ends of the sides:   w ρ_w + t ≤ f + l
    dry, it stays under the back:                 w ρ_d − t ≥ f + l − s − b + e
"""

from dataclasses import dataclass

from numpy.typing import ArrayLike

from movement.arrays import Quantity, floats, unwrap
from movement.errors import require_range
from movement.fits import tops
from movement.fits.drawer import DEPTH
from movement.fits.panel import Clearances
from movement.fits.reveals import rounded_down
from movement.fits.tops import Travel
from movement.season import Ratios

WIDTH = (30.0, 2200.0)
"""Width of a drawer bottom, front to back [mm]; project limit, no source."""
BACK = (2.0, 60.0)
"""Thickness of a drawer's back [mm]; project limit, no source."""
INSET = (0.0, 500.0)
"""How far a drawer's back stands in from the ends of the sides [mm]; project limit, no source."""
FRONT_GROOVE = (1.0, 50.0)
"""Depth of the groove in the drawer's front that the bottom sits in [mm]; project limit, no source."""
_EXACT = 1e-9


def width_range(
    side: ArrayLike,
    front: ArrayLike,
    back: ArrayLike,
    inset: ArrayLike,
    dry: ArrayLike,
    wet: ArrayLike,
    clearances: Clearances,
) -> tuple[Quantity, Quantity]:
    """The narrowest and the widest bottom to cut today [mm]; the first above the second where none works.

    Parameters
    ----------
    side : float or ndarray
        l, from the front's inner face to the end of the sides [mm].
    front : float or ndarray
        f, depth of the front's groove that the bottom fills [mm].
    back, inset : float or ndarray
        b, thickness of the drawer's back, and s, how far it stands in from the ends of the sides [mm].
    dry, wet : float or ndarray
        ρ_d and ρ_w of the bottom [-].
    clearances : Clearances
        The least that must lie under the back, and the making tolerance.

    Returns
    -------
    tuple of two floats or ndarrays
        Narrowest and widest [mm].
    """
    end, t = floats(front) + floats(side), clearances.tolerance
    narrowest = (end - floats(inset) - floats(back) + clearances.engagement + t) / floats(dry)
    return unwrap(narrowest), unwrap((end - t) / floats(wet))


def least_inset(
    side: ArrayLike, front: ArrayLike, back: ArrayLike, dry: ArrayLike, wet: ArrayLike, clearances: Clearances
) -> Quantity:
    """How far in a back must stand for some bottom to work [mm]; zero or less where it may be flush.

    Notes
    -----
    s = (f + l + t) − b + e − (ρ_d/ρ_w)(f + l − t), where the two ends of `width_range` meet.
    """
    end, t = floats(front) + floats(side), clearances.tolerance
    return unwrap(end + t - floats(back) + clearances.engagement - floats(dry) / floats(wet) * (end - t))


def past_back(width: ArrayLike, front: ArrayLike, outer: ArrayLike, ratio: ArrayLike = 1.0) -> Quantity:
    """How far a bottom stands past the outer face of the drawer's back [mm]; negative where it ends short of it.

    Parameters
    ----------
    width : float or ndarray
        w today [mm].
    front : float or ndarray
        f [mm].
    outer : float or ndarray
        From the front's inner face to the outer face of the back [mm].
    ratio : float or ndarray
        Bottom's width over today's [-].

    Returns
    -------
    float or ndarray
        [mm]; positive past it, negative short of it.
    """
    return unwrap(floats(width) * floats(ratio) - floats(front) - floats(outer))


@dataclass(frozen=True, slots=True)
class BottomFit:
    """A solid bottom held at the drawer's front. Lengths in mm."""

    side: float
    front: float
    back: float
    inset: float
    ratios: Ratios
    clearances: Clearances
    width: float
    narrowest: float
    widest: float

    @property
    def fits(self) -> bool:
        """Whether it stays over its back when dry, and within the ends of the sides when wet."""
        return self.narrowest - _EXACT <= self.width <= self.widest + _EXACT

    @property
    def outer(self) -> float:
        """From the front's inner face to the back's outer face [mm]."""
        return self.side - self.inset

    def past_back_at(self, ratio: float) -> float:
        """How far it stands past the back's outer face when it is this many times as wide as today [mm]."""
        return float(past_back(self.width, self.front, self.outer, ratio))

    def cover_at(self, ratio: float) -> float:
        """How much of it lies past the back's inner face then [mm]; negative where it has drawn out from under it."""
        return self.past_back_at(ratio) + self.back

    @property
    def slot(self) -> Travel:
        """How far the slot for a screw in mid-thickness of the back runs from it today: backward, and forward [mm]."""
        return tops.hole(self.front + self.outer - self.back / 2, self.ratios.dry, self.ratios.wet)

    @property
    def least_inset(self) -> float:
        """How far in the back must stand for some bottom to work [mm]; see `least_inset`."""
        ratios = self.ratios
        return float(least_inset(self.side, self.front, self.back, ratios.dry, ratios.wet, self.clearances))


def fit(
    side: float,
    front: float,
    back: float,
    inset: float,
    ratios: Ratios,
    clearances: Clearances,
    width: float | None = None,
    step: float | None = None,
) -> BottomFit:
    """Size a solid drawer bottom, or check one; recommended is the widest, which keeps the most under the back.

    Parameters
    ----------
    side, front, back, inset : float
        l, f, b and s [mm], within `DEPTH`, `FRONT_GROOVE`, `BACK` and `INSET`.
    ratios : Ratios
        Bottom's width over today's [-].
    width : float or None
        A width that is given [mm], within `WIDTH`.
    step : float or None
        A recommended width is rounded down to a multiple of this [mm], where that stays in the range.
    clearances : Clearances
        As in `width_range`.

    Raises
    ------
    RangeError
        A length out of range.
    """
    require_range("length of the side", side, *DEPTH, "mm")
    require_range("groove in the front", front, *FRONT_GROOVE, "mm")
    require_range("thickness of the back", back, *BACK, "mm")
    require_range("inset of the back", inset, INSET[0], min(INSET[1], side - back), "mm")
    ends = width_range(side, front, back, inset, ratios.dry, ratios.wet, clearances)
    narrowest, widest = float(ends[0]), float(ends[1])
    width = rounded_down(widest, step, narrowest) if width is None else width
    require_range("width of the bottom", width, *WIDTH, "mm")
    return BottomFit(side, front, back, inset, ratios, clearances, width, narrowest, widest)
