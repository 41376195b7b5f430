"""What a kind of part is to its page: the fields it asks, the core that sizes it, the answer it shows."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Generic, TypeVar

from movement import lengths
from movement.lengths import Unit
from movement.parts.base import Bench
from movement.parts.making import PartFields, PartResult
from webapp.drawing.sheet import Drawing
from webapp.forms import Spec
from webapp.panel_fields import OURS
from webapp.words import Words

Needs = TypeVar("Needs")
Made = TypeVar("Made")


@dataclass(frozen=True, slots=True)
class Figure:
    """A number of the answer, as text; ``main`` where it is one of the one or two that matter most."""

    name: str
    value: str
    remark: str = ""
    main: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Numbers as text; the first column names the row."""

    name: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """What a page says of a sized part beside its advice and sources."""

    headline: str
    figures: tuple[Figure, ...]
    sentence: str
    states: Table
    drawings: tuple[Drawing, ...]
    badge: str = ""
    tables: tuple[Table, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def all_tables(self) -> tuple[Table, ...]:
        """The year's table, then the others."""
        return (self.states, *self.tables)


def _none(values: Mapping[str, Any]) -> Sequence[str]:
    return ()


@dataclass(frozen=True, slots=True)
class Kind(Generic[Needs, Made]):
    """A kind of part.

    Attributes
    ----------
    key : str
        Its page is ``/parts/<key>``, its route ``/api/v1/<key>``.
    name, about : str
        As the list of kinds has it: a name, and a sentence on what its page tells.
    lede : str
        What opens its page.
    request : model
        What the fields build, with the stock and the year.
    specs : tuple of Spec
        The fields of its own needs, with defaults in mm; ``inches`` are the defaults in inches.
    folded : tuple of str
        The fields that are seldom needed.
    idle : callable
        From the values as read, by key: the fields that mean nothing beside the others.
    size : callable
        Sizes it from its needs and a bench.
    show : callable
        The answer, from its needs, what was sized, and words of the page's unit.
    follows : bool
        Whether its page offers to count with its thickness and finish instead of the full swing of the air.
    """

    key: str
    name: str
    about: str
    lede: str
    request: type[PartFields]
    specs: tuple[Spec, ...]
    folded: tuple[str, ...]
    size: Callable[[Needs, Bench], Made]
    show: Callable[[Needs, Made, Words], Answer]
    inches: Mapping[str, str] = field(default_factory=dict)
    idle: Callable[[Mapping[str, Any]], Sequence[str]] = _none
    follows: bool = True

    def fields(self, unit: Unit) -> tuple[Spec, ...]:
        """The fields of the stock and of the kind's needs, with defaults in round figures of the unit."""
        specs = (*STOCK, *self.specs)
        steps = tuple((f"{step:.12g}", lengths.step_label(step, unit)) for step in lengths.STEPS[unit])
        options = (*steps, ("", "As computed"))
        specs = tuple(replace(one, options=options) if one is ROUNDING else one for one in specs)
        if unit == "mm":
            return specs
        defaults = {ROUNDING.name: f"{lengths.STEPS['in'][1]:.12g}"} | dict(self.inches)
        return tuple(replace(one, default=defaults.get(one.name, one.default)) for one in specs)


RINGS = "Between the growth rings and the wide face, seen on the end grain: 0 flat-sawn, 45 rift, 90 quarter-sawn."
STOCK = (
    Spec("species", "Species", "species", default="Cherry, black", hint="Common or botanical name."),
    Spec("ring_angle", "Ring angle", "number", "ring_angle_deg", "0", RINGS, "°"),
    Spec("moisture_now", "Moisture today", "number", "moisture_now_pct", "8", "Meter reading, corrected.", "%"),
)
ROUNDING = Spec(
    "size_step", "Round sizes to", "choice", "size_step_mm", "0.5", f"Rounded so that it does not bind. {OURS}"
)
"""The field of the rounding of sizes; its options are the unit's own."""


def length(name: str, label: str, default: str = "", hint: str = "", *, key: str = "", exact: bool = False) -> Spec:
    """A field for a length."""
    return Spec(name, label, "length", key or f"{name}_mm", default, hint, exact=exact)


def choice(name: str, label: str, default: str, options: Mapping[str, str], hint: str = "") -> Spec:
    """A field for one of several."""
    return Spec(name, label, "choice", default=default, hint=hint, options=tuple(options.items()))


def fits(made: PartResult) -> str:
    """The heading of an answer that fits or does not."""
    return "It fits" if made.fits else "It does not fit"


def year_table(
    made: PartResult, heads: tuple[str, ...], now: tuple[str, ...], dry: tuple[str, ...], wet: tuple[str, ...]
) -> Table:
    """Today, driest and wettest, each with its moisture and then its own values."""
    rows = (
        ("Today", f"{made.moisture_now_pct:.1f} %", *now),
        ("Driest", f"{made.moisture_dry_pct:.1f} %", *dry),
        ("Wettest", f"{made.moisture_wet_pct:.1f} %", *wet),
    )
    return Table("Today, driest and wettest", ("State", "Moisture", *heads), rows)
