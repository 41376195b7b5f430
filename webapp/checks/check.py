"""What every check is to its page: its name, its fields, how the fields are laid out, and its answer's words."""

from abc import ABC, abstractmethod
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, ClassVar, NamedTuple, Protocol, Self
from urllib.parse import urlencode

from movement.lengths import Unit
from movement.parts.climates import AnyClimate
from webapp import panel_fields
from webapp.asking import AsksSureness
from webapp.forms import Form, Option, Spec
from webapp.library import Shelf
from webapp.words import Words


class Figure(NamedTuple):
    """A number of the answer, as text; ``main`` where it is one of those that matter most."""

    name: str
    value: str
    remark: str = ""
    main: bool = False


class Answer(Protocol):
    """What every check's answer tells first."""

    @property
    def headline(self) -> str:
        """The answer in a few words."""

    @property
    def figures(self) -> Sequence[Figure]:
        """Its numbers."""

    @property
    def sentence(self) -> str:
        """What to do, in a sentence or two."""

    @property
    def sources(self) -> Sequence[str]:
        """What to know of the numbers, and where they come from."""


@dataclass(frozen=True)
class Check(AsksSureness, ABC):
    """A check, asked by an address: the context of check.html.

    What a check is called, says and asks is on its class, and whether it may tell to cut; ``idle`` are the fields that
    mean nothing beside the others, ``answer`` is None where something was refused.
    """

    address: ClassVar[str]
    name: ClassVar[str]
    title: ClassVar[str]
    lede: ClassVar[str]
    button: ClassVar[str]
    template: ClassVar[str]
    groups: ClassVar[Sequence[tuple[str, Sequence[str]]]]
    folded: ClassVar[Sequence[str]]
    folded_name: ClassVar[str] = "Clearances"
    asks_year: ClassVar[bool] = True
    cuts: ClassVar[bool] = False

    form: Form
    unit: Unit
    query: Mapping[str, str] = field(default_factory=dict)
    species: Sequence[Option] = ()
    year: AnyClimate | None = None
    idle: Collection[str] = ()
    answer: Answer | None = None

    @classmethod
    @abstractmethod
    def ask(cls, query: Mapping[str, str], unit: Unit, shelf: Shelf) -> Self:
        """The check that an address asks for, answered where nothing was refused."""

    @property
    def words(self) -> Words:
        """Writes lengths in the page's unit."""
        return Words(self.unit)

    @property
    def details_open(self) -> bool:
        """Whether one of the folded fields was refused."""
        return any(self.form.fields[name].error for name in self.folded)

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.answer is None:
            return self.form.doubt
        told = ", ".join(f"{one.name} {one.value}" for one in self.answer.figures if one.main)
        return f"{self.answer.headline}: {told}."

    def led_to(self, other: "type[Check]") -> str:
        """The address of another check of the same panel: what is typed goes with it."""
        return f"{other.address}?{urlencode(dict(self.query))}" if self.query else other.address


def picked(unit: Unit, *names: str, **changes: Mapping[str, Any]) -> list[Spec]:
    """The fields of a panel with these names, changed by name where told."""
    known = {one.name: one for one in panel_fields.specs(unit)}
    return [replace(known[name], **changes.get(name, {})) for name in names]


def in_unit(unit: Unit, mm: str, inches: str) -> str:
    """A default in the unit."""
    return mm if unit == "mm" else inches


def forget(form: Form, names: Collection[str]) -> None:
    """Leave fields out of what is asked: no value, no refusal; what was typed in them stays."""
    for key, name in form.targets.items():
        if name in names:
            form.values[key] = None
            form.fields[name].error = ""
            form.unread.discard(name)


def demand(form: Form, names: Collection[str]) -> None:
    """Refuse a blank in fields that a model could do without."""
    for key, name in form.targets.items():
        if name in names and form.values[key] is None and not form.fields[name].error:
            form.fields[name].error = "Fill this in."
            form.unread.add(name)


def hand_on(form: Form, hidden: str, shown: str) -> None:
    """Put the refusal of a field that is not shown at the one that its value was made from."""
    form.fields[shown].error = form.fields[shown].error or form.fields[hidden].error
    form.fields[hidden].error = ""
