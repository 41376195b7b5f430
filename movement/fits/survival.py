"""The moisture contents, and the humidities of a room, between which a sized panel neither comes out nor binds."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from movement import sorption
from movement.errors import require_range
from movement.fits import panel
from movement.fits.cutter import DEPTH
from movement.fits.panel import Clearances, Hold
from movement.season import MOISTURE
from movement.swelling import REFERENCE_MOISTURE
from movement.wood import Wood

ROOM = 20.0
"""Temperature of a room where none is told [°C]."""


@dataclass(frozen=True, slots=True)
class Span:
    """Moisture contents that a panel survives [% MC], ends included; low above high where there are none.

    ``low`` is −inf where even oven-dry wood stays in, ``high`` inf where even soaked wood does not bind.
    """

    low: float
    high: float

    @property
    def empty(self) -> bool:
        """Whether nothing is survived."""
        return self.low > self.high or self.low == inf or self.high == -inf


@dataclass(frozen=True, slots=True)
class Humidities:
    """Relative humidities that a panel survives at one temperature, once the wood has settled [%].

    ``low`` is 0 and ``high`` 100 where that end is open; both are ``None`` where no humidity is survived.
    """

    low: float | None
    high: float | None
    notes: tuple[str, ...]


NOTE_DRY = "Even in the driest air it keeps what is asked."
NOTE_WET = "Even in saturated air it keeps what is asked; liquid water is another matter."
NOTE_NONE = "No humidity keeps both the engagement and the gap that are asked for."


def moistures(
    sight_width: float,
    groove: float,
    width: float,
    hold: Hold,
    clearances: Clearances,
    wood: Wood,
    now: float,
    strict: bool = False,
) -> Span:
    """The moisture contents at which a panel of this width today keeps its least engagement and its least gap.

    Notes
    -----
    The rules of `fits.panel` solved for the moisture: W D(M)/D(M₀) − t = B + a_d g + k_d for the lowest, and
    W D(M)/D(M₀) + t = B + a_w g + k_w for the highest. A fit whose margins are zero survives its own season exactly.

    Parameters
    ----------
    sight_width, groove, width : float
        [mm]; width at the moisture content now.
    hold, clearances
        How the panel is kept, and what its fit must keep.
    wood : Wood
        Its stock.
    now : float
        M₀, 1 to 30 [% MC].
    strict : bool
        Not until it comes out or binds: engagement, gap and tolerance count as zero.

    Returns
    -------
    Span
        Lowest and highest [% MC]; infinite where that end is open.

    Raises
    ------
    RangeError
        A length or the moisture content out of range.
    """
    require_range("sight width", sight_width, *panel.SIGHT_WIDTH, "mm")
    require_range("groove depth", groove, *DEPTH, "mm")
    require_range("panel width", width, *panel.PANEL_WIDTH, "mm")
    require_range("moisture content today", now, *MOISTURE, "%")
    keep = Clearances(0.0, 0.0, 0.0, clearances.fixed) if strict else clearances
    lines = panel.rule(hold, keep)
    least = sight_width + lines.dry_slope * groove + lines.dry + keep.tolerance
    most = sight_width + lines.wet_slope * groove + lines.wet - keep.tolerance
    if not wood.across:
        return Span(-inf if width >= least else inf, inf if width <= most else -inf)
    start = wood.start_of_shrinkage
    today = 1 + wood.across * (min(now, start) - REFERENCE_MOISTURE)

    def moisture(size: float) -> float:
        """Where the panel has this width: −inf below oven-dry, inf above the start of shrinkage."""
        found = REFERENCE_MOISTURE + (size / width * today - 1) / wood.across
        return -inf if found < 0 else inf if found > start else found

    return Span(moisture(least), moisture(most))


def intersection(spans: Iterable[Span]) -> Span:
    """What all of them survive; everything where there are none."""
    low, high = -inf, inf
    for span in spans:
        low, high = max(low, span.low), min(high, span.high)
    return Span(low, high)


def humidities(span: Span, temperature: float = ROOM) -> Humidities:
    """The humidities of a room that hold settled wood within a span.

    Parameters
    ----------
    span : Span
        The moisture contents to stay within [% MC].
    temperature : float
        Of the room [°C], within `sorption.TEMPERATURE`.

    Raises
    ------
    RangeError
        Temperature out of range.

    Source
    ------
    Wood Handbook FPL-GTR-282 (2021), eq. 4-5, solved for the humidity.

    Example
    -------
    >>> found = humidities(Span(6.0, 10.0))
    >>> round(found.low, 1), round(found.high, 1)
    (28.8, 54.4)
    """
    dampest = float(sorption.equilibrium_moisture(temperature, 100.0))
    if span.empty or span.low > dampest or span.high < 0:
        return Humidities(None, None, (NOTE_NONE,))
    notes = ((NOTE_DRY, span.low <= 0), (NOTE_WET, span.high >= dampest))
    return Humidities(
        humidity_at(span.low, temperature),
        humidity_at(span.high, temperature),
        tuple(note for note, open_end in notes if open_end),
    )


def humidity_at(moisture: float, temperature: float = ROOM) -> float:
    """The relative humidity at which wood settles at a moisture content [%]; 0 or 100 beyond what air can do.

    Parameters
    ----------
    moisture : float
        [% MC], infinities included.
    temperature : float
        Of the air [°C], within `sorption.TEMPERATURE`.

    Raises
    ------
    RangeError
        Temperature out of range.
    """
    if moisture <= 0:
        return 0.0
    if moisture >= float(sorption.equilibrium_moisture(temperature, 100.0)):
        return 100.0
    return float(sorption.equilibrium_humidity(temperature, moisture))
