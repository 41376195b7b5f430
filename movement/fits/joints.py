"""A rail's tenon in the long grain of a stile: how far it moves, and the slack that the mortise's ends leave it.

The tenon's width b lies across the rail's grain and moves by b (ρ − 1); the mortise lies along the stile's grain and
stays. The tenon is held at one place, glued there and nowhere else. At distance x from that place, an end that faces
away from it moves outward by x (ρ_w − 1) in the wet, and one that faces toward it moves inward by x (1 − ρ_d) in the
dry. With c the least gap and t the making tolerance of a tenon, the mortise leaves the free end

    x (ρ_w − 1) + c + t    outward,    x (1 − ρ_d) + c + t    inward;

where the tenon is held at one edge, that edge sits tight.
"""

from dataclasses import dataclass
from typing import Literal, get_args

from numpy.typing import ArrayLike

from movement.arrays import Quantity, floats, unwrap
from movement.errors import require_range
from movement.fits.panel import Clearances
from movement.season import Ratios

JointHold = Literal["centred", "one edge"]
JOINT_HOLDS: tuple[JointHold, ...] = get_args(JointHold)

TENON = (5.0, 1000.0)
"""Width of a rail's tenons together, across the rail's grain [mm]; project limit, no source."""
TENONS = (1, 6)
"""Tenons that a rail's end is divided into; project limit, no source."""
BETWEEN = (1.0, 500.0)
"""Room between two tenons [mm]; project limit, no source."""
MORTISE = (5.0, 1100.0)
"""Length of a mortise along the stile [mm]; project limit, no source."""
WIDE_GLUE = 50.0
"""Widest tenon to glue over its whole width [mm]: 2 in by a woodworking magazine's answer to readers (seen); makers in
forums go to 130 or 150 mm (seen, weak). Common practice, no measured source."""
_EXACT = 1e-9


def change(width: ArrayLike, ratio: ArrayLike) -> Quantity:
    """How much a tenon has grown at a ratio of its width over today's [mm]; negative where it has shrunk."""
    return unwrap(floats(width) * (floats(ratio) - 1))


def outward_slack(distance: ArrayLike, wet: ArrayLike, clearances: Clearances) -> Quantity:
    """Room that an end facing away from the held place needs today [mm]: x (ρ_w − 1) + c + t."""
    return unwrap(floats(distance) * (floats(wet) - 1) + clearances.gap + clearances.tolerance)


def inward_slack(distance: ArrayLike, dry: ArrayLike, clearances: Clearances) -> Quantity:
    """Room that an end facing toward the held place needs today [mm]: x (1 − ρ_d) + c + t."""
    return unwrap(floats(distance) * (1 - floats(dry)) + clearances.gap + clearances.tolerance)


def mortise_length(width: ArrayLike, hold: JointHold, wet: ArrayLike, clearances: Clearances) -> Quantity:
    """The shortest mortise for one tenon [mm].

    Notes
    -----
    b ρ_w + n (c + t) with n free ends: 2 where it is held at mid-width, 1 where it is held at one edge.

    Parameters
    ----------
    width : float or ndarray
        b today [mm], within `TENON`.
    hold : str
        ``centred`` or ``one edge``.
    wet : float or ndarray
        ρ_w [-].
    clearances : Clearances
        The least room (gap) at a free end, and the making tolerance.

    Returns
    -------
    float or ndarray
        [mm], along the stile.

    Raises
    ------
    RangeError
        Width out of range.

    Example
    -------
    >>> round(mortise_length(80.0, "centred", 1.01, Clearances(0.0, 0.0, 0.0)), 3)
    80.8
    """
    require_range("width of the tenon", width, *TENON, "mm")
    return unwrap(floats(width) * floats(wet) + _free_ends(hold) * (clearances.gap + clearances.tolerance))


def widest_tenon(length: ArrayLike, hold: JointHold, wet: ArrayLike, clearances: Clearances) -> Quantity:
    """The widest tenon today that does not press on the ends of a mortise [mm]: the inverse of `mortise_length`.

    Raises
    ------
    RangeError
        Length of the mortise out of range.
    """
    require_range("length of the mortise", length, *MORTISE, "mm")
    return unwrap((floats(length) - _free_ends(hold) * (clearances.gap + clearances.tolerance)) / floats(wet))


def spans(width: float, tenons: int, between: float | None = None) -> tuple[tuple[float, float], ...]:
    """Where each tenon starts and ends, from the edge that the rail is marked out from [mm].

    Parameters
    ----------
    width : float
        Of all tenons together, room between them included [mm], within `TENON`.
    tenons : int
        How many equal tenons, within `TENONS`.
    between : float or None
        Room between two [mm], within `BETWEEN`; ``None``: as wide as a tenon.

    Returns
    -------
    tuple of pairs of float
        (start, end) of each tenon [mm].

    Raises
    ------
    RangeError
        An argument out of range, a width too narrow for so many tenons, or no room left for them.

    Example
    -------
    >>> spans(90.0, 2)
    ((0.0, 30.0), (60.0, 90.0))
    """
    require_range("width of the tenon", width, *TENON, "mm")
    require_range("number of tenons", tenons, *TENONS)
    if tenons == 1:
        return ((0.0, width),)
    parts = 2 * tenons - 1
    narrowest = parts * TENON[0] if between is None else tenons * TENON[0] + (tenons - 1) * BETWEEN[0]
    taken = "5 mm for each tenon and between two" if between is None else "5 mm for each tenon and 1 mm between two"
    require_range("width of the tenon", width, narrowest, TENON[1], "mm", taken)
    room = width / parts if between is None else between
    most = (width - tenons * TENON[0]) / (tenons - 1)
    require_range("room between tenons", room, BETWEEN[0], min(most, BETWEEN[1]), "mm", "5 mm for each tenon")
    each = (width - (tenons - 1) * room) / tenons
    return tuple((k * (each + room), k * (each + room) + each) for k in range(tenons))


@dataclass(frozen=True, slots=True)
class Mortise:
    """The mortise of one tenon, measured from the edge that the rail is marked out from. Lengths in mm.

    ``start`` and ``end`` are the tenon's own; the slacks are beyond them. ``held`` is the tenon that is glued.
    """

    start: float
    end: float
    slack_start: float
    slack_end: float
    held: bool

    @property
    def tenon(self) -> float:
        """Width of the tenon today [mm]."""
        return self.end - self.start

    @property
    def length(self) -> float:
        """Length of the mortise [mm]."""
        return self.slack_start + self.tenon + self.slack_end


def mortises(
    width: float,
    hold: JointHold,
    ratios: Ratios,
    clearances: Clearances,
    tenons: int = 1,
    between: float | None = None,
) -> tuple[Mortise, ...]:
    """The mortises that leave a rail's tenons the slack to move all year.

    Parameters
    ----------
    width, tenons, between
        As in `spans`.
    hold : str
        ``centred``: glued at mid-width, for an odd number of tenons; ``one edge``: glued at the edge that the rail is
        marked out from, which sits tight.
    ratios : Ratios
        The rail's width at dry, mid and wet over today's [-].
    clearances : Clearances
        As in `mortise_length`.

    Raises
    ------
    RangeError
        A length or number out of range.
    ValueError
        No such hold, or ``centred`` with an even number of tenons, which has none at mid-width.
    """
    _free_ends(hold)
    if hold == "centred" and tenons % 2 == 0:
        raise ValueError(f"{tenons} tenons have none at mid-width to hold: hold them at one edge.")
    place = width / 2 if hold == "centred" else 0.0
    found = []
    for start, end in spans(width, tenons, between):
        held = start <= place <= end
        if start == place:
            before = 0.0
        elif start < place:
            before = float(outward_slack(place - start, ratios.wet, clearances))
        else:
            before = float(inward_slack(start - place, ratios.dry, clearances))
        if end > place:
            after = float(outward_slack(end - place, ratios.wet, clearances))
        else:
            after = float(inward_slack(place - end, ratios.dry, clearances))
        found.append(Mortise(start, end, before, after, held))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class JointFit:
    """A rail's tenons in their mortises. Lengths in mm; ``mortise`` is a length that is given for a single tenon."""

    width: float
    hold: JointHold
    ratios: Ratios
    clearances: Clearances
    mortises: tuple[Mortise, ...]
    glued: float
    mortise: float | None

    @property
    def held(self) -> Mortise:
        """The mortise of the tenon that is glued."""
        return next(mortise for mortise in self.mortises if mortise.held)

    @property
    def short(self) -> float:
        """How much a given mortise is too short [mm]."""
        if self.mortise is None:
            return 0.0
        return max(float(mortise_length(self.width, self.hold, self.ratios.wet, self.clearances)) - self.mortise, 0.0)

    @property
    def fits(self) -> bool:
        """Whether the mortises leave the tenons room all year."""
        return self.short <= _EXACT

    def change_at(self, ratio: float) -> float:
        """How much the whole width has grown at a ratio of it over today's [mm]."""
        return float(change(self.width, ratio))

    def strain_at(self, ratio: float) -> float:
        """How much the glued part would grow then, and is kept from [mm]."""
        return float(change(self.glued, ratio))


def fit(
    width: float,
    hold: JointHold,
    ratios: Ratios,
    clearances: Clearances,
    tenons: int = 1,
    between: float | None = None,
    glued: float | None = None,
    mortise: float | None = None,
) -> JointFit:
    """Find the mortises of a rail's tenons, or check the one of a single tenon.

    Parameters
    ----------
    width, hold, ratios, clearances, tenons, between
        As in `mortises`.
    glued : float or None
        How much of the held tenon's width is glued [mm]; ``None``: all of it.
    mortise : float or None
        A mortise that is given, for one tenon [mm], within `MORTISE`.

    Returns
    -------
    JointFit
        ``fits`` is False where a given mortise is too short: a result, not an error.

    Raises
    ------
    RangeError
        A length or number out of range.
    ValueError
        As in `mortises`, or a mortise given for more than one tenon.
    """
    found = mortises(width, hold, ratios, clearances, tenons, between)
    held = next(mortise for mortise in found if mortise.held).tenon
    glued = held if glued is None else glued
    require_range("glued width", glued, 0.0, held, "mm", "the width of the tenon that is held")
    if mortise is not None:
        require_range("length of the mortise", mortise, *MORTISE, "mm")
        if tenons > 1:
            raise ValueError("The length of the mortise can be given for a single tenon only.")
    return JointFit(width, hold, ratios, clearances, found, glued, mortise)


def _free_ends(hold: JointHold) -> int:
    if hold not in JOINT_HOLDS:
        raise ValueError(f"hold is {hold!r}; known for joints are {', '.join(JOINT_HOLDS)}")
    return 2 if hold == "centred" else 1
