"""Where an existing panel stands: measured today, what becomes of it over the year, and what to do about it."""

from dataclasses import dataclass
from typing import Literal

from movement.fits import panel
from movement.fits.panel import Hold, PanelFit

Action = Literal["leave", "plane", "pin", "widen", "deepen"]
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Standing:
    """What to do about a measured panel.

    Attributes
    ----------
    action : str
        ``leave`` it: it keeps its clearances; ``plane`` it narrower; ``pin`` it at mid-width; ``widen`` it, or glue up
        a new one; ``deepen`` the groove, in which no width works.
    off : float
        What to plane off for even margins [mm]; 0 unless it is to be planed.
    gap_wanted : float
        The gap that even margins would have today [mm], per edge as in `panel.gap`.
    bias : float
        What the gap today lacks of that [mm]: positive, it should be looser; negative, tighter.
    """

    action: Action
    off: float
    gap_wanted: float
    bias: float


def width_from_gap(sight_width: float, groove: float, gap: float, hold: Hold, fixed: float) -> float:
    """The width of a panel whose gap is measured today [mm]: the inverse of `panel.gap`.

    Parameters
    ----------
    sight_width, groove : float
        [mm].
    gap : float
        Room to the groove's bottom [mm]: at the free edge for ``one edge``, else per edge, the mean of both.
    hold : str
        ``centred``, ``loose`` or ``one edge``.
    fixed : float
        Engagement of a fixed edge [mm].

    Returns
    -------
    float
        [mm].
    """
    return sight_width + (fixed + groove - gap if hold == "one edge" else 2 * (groove - gap))


def standing(fit: PanelFit) -> Standing:
    """What to do about a panel of a given width in a given groove.

    Parameters
    ----------
    fit : PanelFit
        The panel checked, as `panel.fit` does with groove and width given.
    """
    keep, ratios = fit.clearances, fit.ratios
    even = float(panel.even_width(fit.sight_width, fit.groove, fit.hold, ratios.dry, ratios.wet, keep))
    wanted = float(panel.gap(fit.sight_width, fit.groove, even, fit.hold, keep.fixed))
    action = _action(fit)
    return Standing(action, fit.width - even if action == "plane" else 0.0, wanted, wanted - fit.gap_at(1.0))


def _action(fit: PanelFit) -> Action:
    if fit.fits:
        return "leave"
    works = fit.narrowest <= fit.widest + _EXACT and not (
        fit.hold == "one edge" and fit.groove < fit.clearances.fixed - _EXACT
    )
    if works and fit.width > fit.widest:
        return "plane"
    if fit.hold != "centred":
        ends = panel.width_range(fit.sight_width, fit.groove, "centred", fit.ratios.dry, fit.ratios.wet, fit.clearances)
        if float(ends[0]) <= fit.width <= float(ends[1]):
            return "pin"
    return "widen" if works else "deepen"
