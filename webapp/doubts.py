"""How sure a panel is to be: the fields that ask for it, its chances in words, and what would help it most."""

from collections.abc import Sequence
from dataclasses import dataclass

from movement import spread
from movement.fits import chance, savings
from movement.fits.savings import Asked
from movement.parts.base import Bench
from movement.parts.panel import PanelResult
from movement.parts.savings import USUAL
from movement.parts.spread import ConfidenceFields, SpreadFields
from movement.spread import MARKS, Spread
from webapp.forms import Form, Option, Spec
from webapp.posted import as_typed
from webapp.words import Words

CONFIDENCE = "confidence_pct"
OPTIONS: tuple[Option, ...] = (
    ("", "As computed"),
    *((f"{one:g}", f"{one:g} %") for one in spread.CONFIDENCES if one > spread.CONFIDENCE[0]),
)
_USUAL = Spread()
_DOUBTS = (
    Spec(
        "natural_variation",
        "From board to board",
        "number",
        "natural_variation_pct",
        as_typed(_USUAL.natural),
        f"Of the movement itself. {MARKS['natural']}.",
        "%",
    ),
    Spec(
        "meter_error",
        "Moisture today",
        "number",
        "meter_error_pct",
        as_typed(_USUAL.meter),
        f"{MARKS['meter']}.",
        "% MC",
    ),
    Spec(
        "year_to_year",
        "Weather from year to year",
        "number",
        "year_to_year_pct",
        as_typed(_USUAL.weather),
        f"Of the driest and the wettest of a year. {MARKS['weather']}.",
        "% MC",
    ),
    Spec(
        "ring_angle_doubt",
        "Ring angle",
        "number",
        "ring_angle_doubt_deg",
        as_typed(_USUAL.angle),
        f"{MARKS['angle']}.",
        "°",
    ),
)
NAMES = tuple(one.name for one in _DOUBTS)
"""The fields of what is in doubt."""
_EXPLAINED = (
    "Each is a standard deviation: about two times in three the truth lies within it, either way. The making tolerance "
    "counts too; it stands with the clearances."
)


def specs() -> tuple[Spec, ...]:
    """The fields: how sure, and what is in doubt."""
    return (
        Spec(
            "confidence",
            "How sure each rule is to be kept",
            "choice",
            CONFIDENCE,
            "",
            "As computed counts with the values as they are entered. Surer asks for a deeper groove.",
            options=OPTIONS,
        ),
        *_DOUBTS,
    )


def build(form: Form) -> dict[str, object] | None:
    """The confidence and the spread as a model takes them, or ``None`` with the refusals at their fields."""
    known = form.build(SpreadFields)
    asked = form.values[CONFIDENCE]
    if known is None or form.fields["confidence"].error:
        return None
    return {CONFIDENCE: float(asked) if asked else None, "spread": known}


@dataclass(frozen=True, slots=True)
class Fold:
    """The fields of what is in doubt, folded away unless one was changed or refused."""

    is_open: bool
    names: Sequence[str] = NAMES
    explained: str = _EXPLAINED


def fold(form: Form) -> Fold:
    """The fold of a form."""
    usual = {one.name: one.default for one in _DOUBTS}
    return Fold(any(form.fields[name].error or form.fields[name].value.strip() != usual[name] for name in NAMES))


def percent(probability: float) -> str:
    """A chance [%] in words, no finer than it is known.

    Example
    -------
    >>> percent(0.02), percent(0.38), percent(7.3), percent(99.97)
    ('under 0.1 %', 'about 0.4 %', 'about 7 %', 'over 99.9 %')
    """
    if probability < 0.1:
        return "under 0.1 %"
    if probability > 99.9:
        return "over 99.9 %"
    return f"about {probability:.{0 if 1 <= probability <= 99 else 1}f} %"


@dataclass(frozen=True, slots=True)
class Outlook:
    """What may go wrong with a sized panel, in words, and what would make it surer.

    ``helps`` are the changes that save groove, the most first.
    """

    binds: str
    comes_out: str
    widened: str
    least: str
    helps: Sequence[str]

    @property
    def note(self) -> str:
        """What chances are."""
        return chance.NOTE


def outlook(asked: ConfidenceFields, bench: Bench, made: PanelResult, words: Words) -> Outlook:
    """The outlook of a panel.

    Parameters
    ----------
    asked : ConfidenceFields
        How sure it is to be; where that is not told, the help is for the usual confidence.
    bench : Bench
        What it was sized from.
    made : PanelResult
        The panel, sized.
    """
    sure = USUAL if asked.confidence_pct is None else asked.confidence_pct
    widened = f"To be {sure:g} % sure, driest and wettest are widened for what is in doubt."
    panel = Asked(made.sight_width_mm, made.hold, bench.clearances, bench.wood, bench.season, sure, bench.spread)
    return Outlook(
        percent(made.chance_binds_pct),
        percent(made.chance_comes_out_pct),
        "" if asked.confidence_pct is None else widened,
        f"To keep each rule with {sure:g} % confidence the groove must be at least {words.least(panel.least_groove())} "
        "deep.",
        [one.text for one in savings.savings(panel, words.bench)],
    )
