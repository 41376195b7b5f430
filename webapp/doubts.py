"""How sure a panel is to be: the fields that ask for it, its chances in words, and what would help it most."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from movement import spread
from movement.fits import chance, savings
from movement.fits.savings import Asked
from movement.parts.base import Bench
from movement.parts.panel import PanelRequest, PanelResult
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
OFTEN = 10.0
"""A chance that is told beside a fit that is right as computed [%]; project choice, no source."""
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
        "Moisture today, give or take",
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
        "Ring angle, give or take",
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


@cache
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


def options(confidence: float | None) -> tuple[Option, ...]:
    """The confidences to choose from, with one that is none of the usual."""
    own = "" if confidence is None else f"{confidence:.12g}"
    return OPTIONS if own in dict(OPTIONS) else (*OPTIONS, (own, f"{own} %"))


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


def caveat(what: str, binds: float, comes_out: float) -> str:
    """What to know of a fit that is right as computed and yet may often fail; empty where that is seldom enough.

    Parameters
    ----------
    what : str
        What it is told of: "this panel", "a panel".
    binds, comes_out : float
        The chances within a year [%].

    Example
    -------
    >>> caveat("this panel", 24.6, 0.02)
    'As computed it fits; with all that is in doubt, the chance within a year that this panel binds is about 25 %.'
    >>> caveat("this panel", 4.0, 0.02)
    ''
    """
    often = [(way, chance) for way, chance in (("binds", binds), ("comes out", comes_out)) if chance >= OFTEN]
    if not often:
        return ""
    told = ", and that it ".join(f"{way} is {percent(chance)}" for way, chance in often)
    return f"As computed it fits; with all that is in doubt, the chance within a year that {what} {told}."


@dataclass(frozen=True, slots=True)
class Help:
    """The least groove of a panel for a confidence, in words, and the changes that save some of it, the most first."""

    least: str
    changes: Sequence[str]


@dataclass(frozen=True, slots=True)
class Outlook:
    """What may go wrong with a sized panel, in words; ``help`` is what would make one that is yet to be made surer."""

    binds: str
    comes_out: str
    widened: str
    help: Help | None = None
    caveat: str = ""

    @property
    def note(self) -> str:
        """What chances are."""
        return chance.NOTE


def outlook(asked: ConfidenceFields, made: PanelResult, found: Help | None = None) -> Outlook:
    """The outlook of a panel.

    Parameters
    ----------
    asked : ConfidenceFields
        How sure it is to be.
    made : PanelResult
        The panel, sized.
    found : Help or None
        What would help it.
    """
    sure = asked.confidence_pct
    widened = "" if sure is None else f"To be {sure:g} % sure, driest and wettest are widened for what is in doubt."
    binds, comes_out = made.chance_binds_pct, made.chance_comes_out_pct
    told = caveat("this panel", binds, comes_out) if made.fits else ""
    return Outlook(percent(binds), percent(comes_out), widened, found, told)


def helped(asked: PanelRequest, bench: Bench, words: Words) -> Help:
    """What would help a panel most, for the confidence that is asked for, or for the usual one."""
    sure = USUAL if asked.confidence_pct is None else asked.confidence_pct
    panel = Asked(asked.sight_width_mm, asked.hold, bench.clearances, bench.wood, bench.season, sure, bench.spread)
    least = words.least(panel.least_groove())
    return Help(
        f"To keep each rule with {sure:g} % confidence the groove must be at least {least} deep.",
        [one.text for one in savings.savings(panel, words.bench)],
    )
