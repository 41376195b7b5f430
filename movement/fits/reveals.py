"""The reveals of an inset part: what they must keep, and what every inset part does with them."""

from dataclasses import dataclass
from typing import Literal

from movement.errors import require_range
from movement.fits.panel import GAP, NEUTRAL, TOLERANCE
from movement.lengths import round_to

OPENING = (10.0, 3000.0)
"""Opening in the direction that an inset part moves [mm]; project limit, no source."""
SIZE = (5.0, 3000.0)
"""Size of an inset part across its grain [mm]; project limit, no source."""
REVEAL = GAP
"""Reveal that may be asked for [mm]; project limit, no source."""


@dataclass(frozen=True, slots=True)
class Reveals:
    """What the reveals of an inset part must keep.

    Attributes
    ----------
    least : float
        Least reveal per edge that moves, in the wettest season [mm], 0 to 25.
    greatest : float or None
        Greatest reveal per edge that moves, in the driest season [mm], least to 25; ``None``: any.
    fixed : float
        Reveal at the edge that hinges or runners hold [mm], 0 to 25. At 0, least is the whole of both reveals.
    tolerance : float
        Making tolerance of the part's size, plus or minus [mm], 0 to 10.

    Raises
    ------
    RangeError
        One of them out of range.
    """

    least: float
    greatest: float | None = None
    fixed: float = 0.0
    tolerance: float = 0.0

    def __post_init__(self) -> None:
        require_range("least reveal", self.least, *REVEAL, "mm")
        require_range("reveal at the fixed edge", self.fixed, *REVEAL, "mm")
        require_range("making tolerance", self.tolerance, *TOLERANCE, "mm")
        if self.greatest is not None:
            require_range("greatest reveal", self.greatest, self.least, REVEAL[1], "mm", "at least the least reveal")


def bias_word(bias: float) -> Literal["looser", "tighter", "neutral"]:
    """The direction of a bias [mm]; neutral where it is finer than a shop can set."""
    if abs(bias) < NEUTRAL:
        return "neutral"
    return "looser" if bias > 0 else "tighter"


def rounded_down(largest: float, step: float | None, smallest: float) -> float:
    """The largest size [mm] rounded down to a multiple of step, or as it is where that passes the smallest."""
    if step is None:
        return largest
    rounded = float(round_to(largest, step, "down"))
    return rounded if rounded >= max(smallest, SIZE[0]) else largest
