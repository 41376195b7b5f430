"""The months in which stock that has settled in the shop can be fitted without bias, or with little."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from movement.errors import require_range
from movement.fits.panel import NEUTRAL, PanelFit
from movement.season import Season

WITHIN = (NEUTRAL, 10.0)
"""Bias that a maker is content with [mm]; the least is what is called neutral, the most a project limit, no source."""


@dataclass(frozen=True, slots=True)
class Month:
    """A month in the shop.

    Attributes
    ----------
    moisture : float
        Of stock settled in the shop [% MC].
    from_mid : float
        How far that is above the middle of what the part will meet, itself included [% MC].
    bias : float
        Of a panel cut and fitted then [mm], as `PanelFit.bias`.
    suits : bool
        Whether the bias is within what the maker is content with.
    """

    moisture: float
    from_mid: float
    bias: float
    suits: bool


def months(
    shop: Iterable[float], fitted: Callable[[float], tuple[Season, PanelFit]], within: float = NEUTRAL
) -> tuple[Month, ...]:
    """The bias of a panel of stock that has settled at each of these moisture contents.

    Parameters
    ----------
    shop : iterable of float
        Equilibrium moisture contents of the shop's air [% MC].
    fitted : callable
        The season and the fit of the panel if its stock has this moisture content today.
    within : float
        The bias to be content with, either way [mm], within `WITHIN`.

    Raises
    ------
    RangeError
        Within, or a month's moisture content, out of range.
    """
    require_range("bias to be content with", within, *WITHIN, "mm")
    found = []
    for moisture in shop:
        season, fit = fitted(float(moisture))
        found.append(Month(season.now, season.now - season.mid, fit.bias, abs(fit.bias) <= within))
    return tuple(found)
