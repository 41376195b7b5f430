"""A full, unsimplified model of a panel over a year, sampled: what the closed forms are checked against."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import qmc

from movement import species, wood
from movement.season import Season
from movement.spread import Spread
from movement.wood import Wood

POINTS = 20
"""The samples are two to this power."""

STOCK = wood.cut(species.own("Apple, from the garden", coefficient_radial=0.0015, coefficient_tangential=0.0025), 0)
"""Stock that moves by 0.25 % per 1 % MC at 10 % MC."""


class Sample(NamedTuple):
    """Standard normal values, and one uniform from −1 to 1 for the cut."""

    ring: NDArray[np.float64]
    board: NDArray[np.float64]
    meter: NDArray[np.float64]
    wet_year: NDArray[np.float64]
    dry_year: NDArray[np.float64]
    cut: NDArray[np.float64]


def sample(seed: int = 2024) -> Sample:
    """Scrambled Sobol points of the six causes."""
    points = np.clip(qmc.Sobol(6, seed=seed).random_base2(POINTS), 1e-12, 1 - 1e-12).T
    return Sample(*ndtri(points[:5]), 2 * points[5] - 1)


def widths(
    drawn: Sample, stock: Wood, season: Season, spread: Spread
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Width over today's in the driest and in the wettest season, nothing linearised."""
    kind, start = stock.species, stock.start_of_shrinkage
    turned = np.radians(stock.ring_angle + spread.angle * drawn.ring)
    mean = kind.coefficient_tangential * np.cos(turned) ** 2 + kind.coefficient_radial * np.sin(turned) ** 2
    movement = mean * (1 + spread.natural / 100 * drawn.board)

    def size(moisture: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(1 + movement * (np.minimum(moisture, start) - 10))

    today = size(season.now + spread.meter * drawn.meter)
    dry = size(season.year_dry + spread.weather * drawn.dry_year)
    return dry / today, size(season.year_wet + spread.weather * drawn.wet_year) / today
