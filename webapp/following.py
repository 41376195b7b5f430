"""The fields with which a page asks how a part follows the air: at once, or late through its thickness and finish."""

from collections.abc import Sequence
from functools import cache

from movement import finish, lag
from movement.climate import Climate
from movement.finish import BARE
from movement.lag import Section
from movement.lengths import Unit
from movement.season import Season
from movement.season import season as at_once
from webapp.forms import Form, Spec

OPTIONS = (("equilibrium", "At once: the full swing"), ("lagged", "Late and damped"))
LATE = ("thickness", "finish")
"""The fields that only a part asks for that follows late."""
CAUTION = (
    "Derived: the delay rests on a range of diffusion coefficients and on films fitted to wetting tests of finishes. "
    "Both faces are taken to have it, whole and as told; a scratched or one-sided coat lets more through. Less "
    "groove is asked for than with the full swing, so less is left for what is in doubt. Where a part that binds or "
    "comes out would do harm, count with the full swing."
)
CAPTION = (
    "The part's line is its mean moisture for the middle diffusion coefficient, in the strip from the lowest to the "
    "highest."
)
NOTE_FILM = "Films of finishes: derived, fitted to 14-day exclusion figures of the Wood Handbook's Table 16-3"


@cache
def specs(unit: Unit, label: str = "The panel follows the air") -> tuple[Spec, ...]:
    """The fields, at once by default, which is the cautious way."""
    return (
        Spec(
            "following",
            label,
            "choice",
            default="equilibrium",
            hint="At once is the cautious way. Late and damped counts with the thickness and the finish.",
            options=OPTIONS,
        ),
        Spec(
            "thickness",
            "Thickness",
            "length",
            "thickness_mm",
            "12" if unit == "mm" else '1/2"',
            "Where most of the width is at its thinnest: a thin panel follows more fully.",
        ),
        Spec(
            "finish",
            "Finish on both faces",
            "choice",
            default=BARE,
            hint="It slows moisture and never stops it; oils and wax do not even slow a season.",
            options=tuple((one.name, one.name) for one in finish.finishes()),
        ),
    )


def settle(form: Form) -> None:
    """Ask for the thickness of a part that follows late, and forget the refusals of one that does not."""
    if form.values["following"] != "lagged":
        for name in LATE:
            form.fields[name].error = ""
            form.unread.discard(name)
    elif form.values["thickness_mm"] is None and not form.fields["thickness"].error:
        form.fields["thickness"].error = "Fill this in: a part that follows the air late needs its thickness."


def shown(form: Form) -> Sequence[str]:
    """The fields to show beside the choice."""
    return LATE if form.fields["following"].value == "lagged" else ()


def words(season: Season, year: Climate, section: Section | None) -> str:
    """What following a year late through a section has changed, in two sentences; empty where it follows at once."""
    if section is None:
        return ""
    full, swing = at_once(season.now, year), lag.swing(section)
    return (
        f"Late and damped, the fit counts with {season.dry:.1f} to {season.wet:.1f}\u00a0% instead of the full "
        f"{full.dry:.1f} to {full.wet:.1f}\u00a0%, whatever the day of assembly. Of a steady yearly swing of the "
        f"air such a part follows {_span(100 * swing.least, 100 * swing.most)}\u00a0%, and "
        f"{_span(swing.soonest, swing.latest)} days late."
    )


def _span(low: float, high: float) -> str:
    """Two numbers in words, rounded to whole ones; one where they are the same."""
    return f"{low:.0f}" if f"{low:.0f}" == f"{high:.0f}" else f"{low:.0f} to {high:.0f}"


def sources() -> Sequence[str]:
    """What a lagged part's numbers rest on."""
    return (lag.NOTE, NOTE_FILM)
