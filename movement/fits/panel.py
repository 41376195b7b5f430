"""A solid panel in the grooves of its frame: groove, width to cut, gaps, engagement, bias.

Every way of holding a panel has two rules, both linear in groove depth g, panel width W and sight width B, with
ρ_d and ρ_w the width at the driest and the wettest moisture over today's, e the least engagement, c the least gap,
f the engagement of a fixed edge, and t the making tolerance of the width:

========  ==============================  ==============================
hold      dry: it stays in                wet: it does not bind
========  ==============================  ==============================
centred   W ρ_d − t ≥ B + 2e              W ρ_w + t ≤ B + 2g − 2c
loose     W ρ_d − t ≥ B + g + e           W ρ_w + t ≤ B + 2g − 2c
one edge  W ρ_d − t ≥ B + f + e           W ρ_w + t ≤ B + f + g − c
========  ==============================  ==============================

so one pair of lines serves all three: dry at least B + a_d g + k_d, wet at most B + a_w g + k_w (`rule`).

t counts on the width in either season. A panel cut t too wide is t ρ_w too wide when wet: more than t by its swelling,
a hundredth or two of t. The groove is taken to stay as deep as it is cut; its stile swells too, which only adds room.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple, get_args

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range
from movement.fits.cutter import DEPTH, Cutter
from movement.lengths import round_toward
from movement.season import Ratios

Hold = Literal["centred", "loose", "one edge"]
HOLDS: tuple[Hold, ...] = get_args(Hold)

SIGHT_WIDTH = (10.0, 3000.0)
"""Sight width of a panel [mm]; project limit, no source."""
PANEL_WIDTH = (10.0, 3500.0)
"""Width that a panel is cut to [mm]; project limit, no source."""
ENGAGEMENT = (0.0, 50.0)
"""Engagement that may be asked for [mm]; project limit, no source."""
GAP = (0.0, 25.0)
"""Gap that may be asked for [mm]; project limit, no source."""
TOLERANCE = (0.0, 10.0)
"""Making tolerance of the panel's width, plus or minus [mm]; project limit, no source."""
NEUTRAL = 0.05
"""A bias smaller than this is called neutral [mm]; finer than a shop can set."""
_SWING = (1.0, 1.9)
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Clearances:
    """What a fit must keep.

    Attributes
    ----------
    engagement : float
        Least engagement per edge in the driest season [mm], 0 to 50. No published figure; about 3 mm (1/8 in) is
        common practice.
    gap : float
        Least gap per edge in the wettest season [mm], 0 to 25.
    tolerance : float
        Making tolerance on the panel's width, plus or minus [mm], 0 to 10.
    fixed_engagement : float or None
        How far the fixed edge of hold ``one edge`` sits in its groove [mm], 0 to 50; ``None``: as `engagement`.

    Raises
    ------
    RangeError
        One of them out of range.
    """

    engagement: float = 4.0
    gap: float = 0.5
    tolerance: float = 0.5
    fixed_engagement: float | None = None

    def __post_init__(self) -> None:
        require_range("least engagement", self.engagement, *ENGAGEMENT, "mm")
        require_range("least gap", self.gap, *GAP, "mm")
        require_range("making tolerance", self.tolerance, *TOLERANCE, "mm")
        require_range("engagement of the fixed edge", self.fixed, *ENGAGEMENT, "mm")

    @property
    def fixed(self) -> float:
        """The engagement of a fixed edge [mm]."""
        return self.engagement if self.fixed_engagement is None else self.fixed_engagement


class Rule(NamedTuple):
    """The two lines of a hold: dry at least B + dry_slope·g + dry, wet at most B + wet_slope·g + wet [mm]."""

    dry_slope: float
    dry: float
    wet_slope: float
    wet: float


def rule(hold: Hold, clearances: Clearances) -> Rule:
    """The two lines that a hold asks for.

    Raises
    ------
    ValueError
        When there is no such hold.
    """
    e, c, f = clearances.engagement, clearances.gap, clearances.fixed
    if hold == "centred":
        return Rule(0, 2 * e, 2, -2 * c)
    if hold == "loose":
        return Rule(1, e, 2, -2 * c)
    if hold == "one edge":
        return Rule(0, f + e, 1, f - c)
    raise ValueError(f"hold is {hold!r}; known are {', '.join(HOLDS)}")


def least_groove(
    sight_width: ArrayLike, hold: Hold, dry: ArrayLike, wet: ArrayLike, clearances: Clearances
) -> Quantity:
    """The shallowest groove for which some panel width keeps both rules.

    Notes
    -----
    g = [(ρ_w/ρ_d)(B + k_d + t) − B − k_w + t] / (a_w − a_d ρ_w/ρ_d), and not less than a fixed edge's engagement.

    Parameters
    ----------
    sight_width : float or ndarray
        B [mm], within `SIGHT_WIDTH`.
    hold : str
        ``centred``, ``loose`` or ``one edge``.
    dry, wet : float or ndarray
        ρ_d and ρ_w [-]; arrays broadcast with sight_width.
    clearances : Clearances
        What the fit must keep.

    Returns
    -------
    float or ndarray
        [mm].

    Raises
    ------
    RangeError
        Sight width out of range, or the panel wider when dry than when wet, or nearly twice as wide when wet.
    """
    require_range("sight width", sight_width, *SIGHT_WIDTH, "mm")
    lines, t = rule(hold, clearances), clearances.tolerance
    swing = _swing(dry, wet)
    slope = lines.wet_slope - lines.dry_slope * swing
    B = floats(sight_width)
    groove = (swing * (B + lines.dry + t) - B - lines.wet + t) / slope
    return unwrap(np.maximum(groove, clearances.fixed if hold == "one edge" else 0.0))


def width_range(
    sight_width: ArrayLike, groove: ArrayLike, hold: Hold, dry: ArrayLike, wet: ArrayLike, clearances: Clearances
) -> tuple[Quantity, Quantity]:
    """The narrowest and the widest panel to cut today [mm]; the first above the second where no width works."""
    lines, t, B, g = rule(hold, clearances), clearances.tolerance, floats(sight_width), floats(groove)
    narrowest = (B + lines.dry_slope * g + lines.dry + t) / floats(dry)
    widest = (B + lines.wet_slope * g + lines.wet - t) / floats(wet)
    return unwrap(narrowest), unwrap(widest)


def even_width(
    sight_width: ArrayLike, groove: ArrayLike, hold: Hold, dry: ArrayLike, wet: ArrayLike, clearances: Clearances
) -> Quantity:
    """The width to cut today that leaves equal margins in the driest and the wettest season [mm]."""
    lines, B, g = rule(hold, clearances), floats(sight_width), floats(groove)
    total = 2 * B + (lines.dry_slope + lines.wet_slope) * g + lines.dry + lines.wet
    return unwrap(total / (floats(dry) + floats(wet)))


def widest_sight(groove: ArrayLike, hold: Hold, dry: ArrayLike, wet: ArrayLike, clearances: Clearances) -> Quantity:
    """The widest opening that a groove can serve [mm]: the inverse of `least_groove`.

    Zero or less where the groove serves no width at all; infinite where the wood does not move.

    Raises
    ------
    RangeError
        Groove depth out of range, or the panel wider when dry than when wet.
    """
    require_range("groove depth", groove, *DEPTH, "mm")
    lines, t, g = rule(hold, clearances), clearances.tolerance, floats(groove)
    swing = _swing(dry, wet)
    room = lines.wet_slope * g + lines.wet - t - swing * (lines.dry_slope * g + lines.dry + t)
    still = swing == 1.0
    widest = np.where(still, np.where(room >= -_EXACT, np.inf, -np.inf), room / np.where(still, 1.0, swing - 1.0))
    if hold == "one edge":
        widest = np.where(g < clearances.fixed - _EXACT, -np.inf, widest)
    return unwrap(widest)


def engagement(sight_width: ArrayLike, groove: ArrayLike, width: ArrayLike, hold: Hold, fixed: float) -> Quantity:
    """How far the worse edge of a panel of this width sits in its groove [mm]; negative when it has come out.

    For ``loose`` the panel has slid wholly into the other groove; for ``one edge`` it is the free edge.
    """
    over = floats(width) - floats(sight_width)
    if hold == "centred":
        return unwrap(over / 2)
    return unwrap(over - (floats(groove) if hold == "loose" else fixed))


def gap(sight_width: ArrayLike, groove: ArrayLike, width: ArrayLike, hold: Hold, fixed: float) -> Quantity:
    """The room left to the groove's bottom at the edge that moves [mm]; negative when it binds.

    For ``loose`` it is per edge as if the panel stood centred.
    """
    over = floats(width) - floats(sight_width)
    return unwrap(floats(groove) - (over - fixed if hold == "one edge" else over / 2))


@dataclass(frozen=True, slots=True)
class PanelFit:
    """One panel in one frame, sized. Lengths in mm; gap and engagement are those of the edge that moves."""

    sight_width: float
    hold: Hold
    clearances: Clearances
    ratios: Ratios
    fits: bool
    groove: float
    least_groove: float
    width: float
    width_given: bool
    narrowest: float
    widest: float
    margin_dry: float
    margin_wet: float

    @property
    def width_dry(self) -> float:
        """Width in the driest season [mm]."""
        return self.width * self.ratios.dry

    @property
    def width_wet(self) -> float:
        """Width in the wettest season [mm]."""
        return self.width * self.ratios.wet

    def gap_at(self, ratio: float) -> float:
        """Gap when the width is this many times today's [mm]."""
        return float(gap(self.sight_width, self.groove, self.width * ratio, self.hold, self.clearances.fixed))

    def engagement_at(self, ratio: float) -> float:
        """Engagement when the width is this many times today's [mm]."""
        fixed = self.clearances.fixed
        return float(engagement(self.sight_width, self.groove, self.width * ratio, self.hold, fixed))

    @property
    def bias(self) -> float:
        """Gap today minus the gap of the same fit at mid [mm]: positive, leave looser; negative, fit tighter."""
        return self.gap_at(1.0) - self.gap_at(self.ratios.mid)

    @property
    def bias_word(self) -> Literal["looser", "tighter", "neutral"]:
        """The direction of the bias."""
        if abs(self.bias) < NEUTRAL:
            return "neutral"
        return "looser" if self.bias > 0 else "tighter"


def recommended_groove(
    sight_width: float,
    hold: Hold,
    ratios: Ratios,
    clearances: Clearances,
    cutter: Cutter,
    width: float | None = None,
) -> float:
    """The shallowest groove of the shop that serves a panel, its deepest where none does [mm].

    Notes
    -----
    A width that is given is served by grooves from the one it does not bind in when wet. A width that no groove of the
    shop serves has the groove that another width would have.

    Parameters
    ----------
    sight_width, hold, ratios, clearances, cutter
        As in `fit`.
    width : float or None
        A width that is given [mm]; ``None`` for one yet to be cut.

    Raises
    ------
    RangeError
        Sight width out of range.
    """
    least = float(least_groove(sight_width, hold, ratios.dry, ratios.wet, clearances))
    if width is not None:
        lines = rule(hold, clearances)
        clear = (width * ratios.wet + clearances.tolerance - sight_width - lines.wet) / lines.wet_slope
        depth = cutter.choose(max(least, clear))
        if depth is not None:
            narrowest, widest = width_range(sight_width, depth, hold, ratios.dry, ratios.wet, clearances)
            if float(narrowest) <= width <= float(widest) + _EXACT:
                return depth
    return cutter.choose(least) or cutter.deepest


def fit(
    sight_width: float,
    hold: Hold,
    ratios: Ratios,
    clearances: Clearances,
    cutter: Cutter,
    groove: float | None = None,
    width: float | None = None,
    width_step: float | None = None,
) -> PanelFit:
    """Size a panel, or check one.

    Parameters
    ----------
    sight_width : float
        Visible opening between the frame's inner edges [mm], within `SIGHT_WIDTH`.
    hold : str
        ``centred``, ``loose`` or ``one edge``.
    ratios : Ratios
        The panel's width at dry, mid and wet over its width today [-].
    clearances : Clearances
        Least engagement and gap, tolerance.
    cutter : Cutter
        The depths that the shop can cut; used where groove is ``None``.
    groove : float or None
        A groove that is given [mm], within `cutter.DEPTH`; ``None`` takes the one of `recommended_groove`.
    width : float or None
        A width that is given [mm], within `PANEL_WIDTH`; ``None`` recommends the one with equal margins.
    width_step : float or None
        A recommended width is the nearest multiple of this [mm] that works; ``None``, or a step too coarse for the
        range, leaves it as computed.

    Returns
    -------
    PanelFit
        ``fits`` is False where a rule is broken: a result, not an error.

    Raises
    ------
    RangeError
        A length out of range.
    """
    least = float(least_groove(sight_width, hold, ratios.dry, ratios.wet, clearances))
    if groove is None:
        groove = recommended_groove(sight_width, hold, ratios, clearances, cutter, width)
    require_range("groove depth", groove, *DEPTH, "mm")
    ends = width_range(sight_width, groove, hold, ratios.dry, ratios.wet, clearances)
    narrowest, widest = float(ends[0]), float(ends[1])
    given = width is not None
    if width is None:
        even = float(even_width(sight_width, groove, hold, ratios.dry, ratios.wet, clearances))
        width = _to_cut(even, narrowest, widest, width_step)
    else:
        require_range("panel width", width, *PANEL_WIDTH, "mm")
    margin_dry = (width - narrowest) * ratios.dry
    margin_wet = (widest - width) * ratios.wet
    seated = hold != "one edge" or groove >= clearances.fixed - _EXACT
    return PanelFit(
        sight_width,
        hold,
        clearances,
        ratios,
        seated and min(margin_dry, margin_wet) >= -_EXACT,
        groove,
        least,
        width,
        given,
        narrowest,
        widest,
        margin_dry,
        margin_wet,
    )


def _swing(dry: ArrayLike, wet: ArrayLike) -> Floats:
    swing = floats(wet) / floats(dry)
    require_range("wet width over dry width", swing, *_SWING, "", "beyond any wood")
    return swing


def _to_cut(even: float, narrowest: float, widest: float, step: float | None) -> float:
    """The multiple of a step in the range that is nearest to the even width; the even width where there is none."""
    if narrowest > widest:
        return even if even >= PANEL_WIDTH[0] else narrowest
    if step is None:
        return even
    beside = (float(round_toward(even, end, step)) for end in (narrowest, widest))
    inside = [width for width in beside if narrowest <= width <= widest]
    return min(inside, key=lambda width: abs(width - even), default=even)
