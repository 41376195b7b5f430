"""The groove depths that a shop can cut: a list of depths, or any multiple of a step."""

from dataclasses import dataclass

from movement.errors import require_range
from movement.lengths import round_to

DEPTH = (1.0, 100.0)
"""Groove depths [mm]; project limit, no source."""
STEP = (0.01, 25.4)
"""Steps between groove depths [mm]; project limit, no source."""
DEEP = 15.0
"""From here on a groove is said to be deep [mm]; 6 to 12 mm (1/4 to 1/2 in) is common practice, no source."""


@dataclass(frozen=True, slots=True)
class Cutter:
    """What the shop can set a groove to.

    Attributes
    ----------
    step : float
        Depths are multiples of this [mm], within `STEP`; used where no depths are listed.
    depths : tuple of float
        The only depths that can be cut [mm], within `DEPTH`; empty for any multiple of step.

    Raises
    ------
    RangeError
        A step or a depth out of range.
    """

    step: float = 1.0
    depths: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        require_range("step between groove depths", self.step, *STEP, "mm")
        for depth in self.depths:
            require_range("groove depth", depth, *DEPTH, "mm")

    def choose(self, least: float) -> float | None:
        """The shallowest depth within `DEPTH` that is at least this deep [mm]; ``None`` where the shop has none."""
        if self.depths:
            return min((depth for depth in self.depths if depth >= least - 1e-9), default=None)
        depth = float(round_to(max(least, DEPTH[0]), self.step, "up"))
        return depth if depth <= DEPTH[1] else None

    @property
    def deepest(self) -> float:
        """The deepest groove that the shop can cut [mm]."""
        return max(self.depths, default=float(round_to(DEPTH[1], self.step, "down")))
