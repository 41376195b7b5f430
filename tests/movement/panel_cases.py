"""Panels drawn at random, and their rules taken anew from D(M) and from the places of the panel's edges."""

from dataclasses import dataclass
from math import cos, radians, sin

from hypothesis import strategies as st

from movement import species
from movement.fits.cutter import Cutter
from movement.fits.panel import HOLDS, Clearances, Hold
from movement.season import Ratios
from movement.species import Species

HAIR = 1e-6
ROUND = 1e-8


@dataclass(frozen=True)
class Case:
    hold: Hold
    sight: float
    coefficient: float
    start: float
    now: float
    dry: float
    wet: float
    keep: Clearances
    kind: Species | None = None
    ring_angle: float = 0.0

    def width_over_today(self, moisture: float) -> float:
        """D(moisture)/D(now), one straight line up to the start of shrinkage."""
        return self._size(moisture) / self._size(self.now)

    def _size(self, moisture: float) -> float:
        return 1.0 + self.coefficient * (min(moisture, self.start) - 10.0)

    @property
    def low(self) -> float:
        return min(self.now, self.dry)

    @property
    def high(self) -> float:
        return max(self.now, self.wet)

    @property
    def ratios(self) -> Ratios:
        mid = (self.low + self.high) / 2
        return Ratios(*(self.width_over_today(moisture) for moisture in (self.low, mid, self.high)))

    def shortfall(self, groove: float, width: float) -> float:
        """By how much the worst rule is broken at dry or wet [mm]; zero or less where all hold."""
        return max(self.dry_shortfall(groove, width), self.wet_shortfall(groove, width), self.unseated(groove))

    def dry_shortfall(self, groove: float, width: float) -> float:
        """What the engagement lacks at the driest, the panel as much too narrow as the tolerance allows."""
        size = width * self.width_over_today(self.low) - self.keep.tolerance
        left = self._left(groove, size)
        outside = [left + size - self.sight] if self.hold != "centred" else [left + size - self.sight, -left]
        # in width: a centred edge that lacks a millimetre needs two
        return (2 if self.hold == "centred" else 1) * (self.keep.engagement - min(outside))

    def wet_shortfall(self, groove: float, width: float) -> float:
        """What the gap lacks at the wettest, the panel as much too wide as the tolerance allows."""
        size = width * self.width_over_today(self.high) + self.keep.tolerance
        if self.hold == "one edge":
            return self.keep.gap - (self.sight + groove - (size - self.fixed))
        return 2 * self.keep.gap - (self.sight + 2 * groove - size)

    def unseated(self, groove: float) -> float:
        return self.fixed - groove if self.hold == "one edge" else -1.0

    @property
    def fixed(self) -> float:
        given = self.keep.fixed_engagement
        return self.keep.engagement if given is None else given

    def _left(self, groove: float, size: float) -> float:
        """Where the left edge is; the opening runs from 0 to the sight width."""
        return {"centred": (self.sight - size) / 2, "loose": -groove, "one edge": -self.fixed}[self.hold]

    def works(self, groove: float) -> float:
        """By how much no width at all works in a groove [mm of width today]; zero or less where one does.

        Both shortfalls are straight lines in the width, one falling and one rising: they tell where each is zero.
        """

        def zero(rule: object) -> float:
            low, high = (rule(groove, width) for width in (0.0, 1000.0))  # type: ignore[operator]
            return 1000.0 * low / (low - high)

        return max(zero(self.dry_shortfall) - zero(self.wet_shortfall), self.unseated(groove))


@st.composite
def cases(draw: st.DrawFn, hold: Hold | None = None) -> Case:
    kind = draw(st.sampled_from(species.catalogue()))
    ring_angle = draw(st.floats(0.0, 90.0))
    angle = radians(ring_angle)
    coefficient = kind.coefficient_tangential * cos(angle) ** 2 + kind.coefficient_radial * sin(angle) ** 2
    dry, wet = sorted((draw(st.floats(0.5, 30.0)), draw(st.floats(0.5, 30.0))))
    keep = Clearances(
        draw(st.floats(0.0, 20.0)),
        draw(st.floats(0.0, 5.0)),
        draw(st.floats(0.0, 3.0)),
        draw(st.none() | st.floats(0.0, 20.0)),
    )
    return Case(
        hold or draw(st.sampled_from(HOLDS)),
        draw(st.floats(10.0, 3000.0)),
        coefficient,
        kind.start_of_shrinkage,
        draw(st.floats(1.0, 30.0)),
        dry,
        wet,
        keep,
        kind,
        ring_angle,
    )


cutters = st.builds(Cutter, step=st.sampled_from([0.1, 0.5, 1.0, 25.4 / 32, 25.4 / 8, 7.0])) | st.builds(
    Cutter, depths=st.lists(st.floats(1.0, 100.0), min_size=1, max_size=6).map(tuple)
)
steps = st.none() | st.sampled_from([0.1, 0.5, 1.0, 25.4 / 64, 25.4 / 16])
