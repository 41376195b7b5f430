"""Forms: typed text to values, with a message at the field and everything typed kept."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from typing import Any, Literal, TypeVar

from pydantic import BaseModel, ValidationError

from movement import lengths, temperatures
from movement.errors import RangeError
from movement.lengths import Direction, Unit
from webapp.limits import Limit, field_of, schema_of
from webapp.refusals import Refusal, allowed, ended, from_range, from_validation, plain
from webapp.words import entered

Kind = Literal[
    "length",
    "lengths",
    "temperature",
    "number",
    "share",
    "whole",
    "text",
    "date",
    "choice",
    "species",
    "check",
    "hidden",
]
Option = tuple[str, str]
Model = TypeVar("Model", bound=BaseModel)

_MOST_OPTIONS = 12
"""More to choose from are not listed in a message."""
_MOST_SHOWN = 40
_FINE = 0.01
"""The step of a limit in mm [mm]."""
_INCH_STEPS = tuple(lengths.INCH / parts for parts in (1, 2, 4, 8, 16, 32, 64))
"""The steps of a limit in inches [mm]: the coarsest that gives away little of it is taken."""
_NO_LIMIT = Limit()
_GROUPED = re.compile(r"\.[0-9]{3}")
_NUMBER = re.compile(r"(?P<number>[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)) ?(?:%|°|g/m³)?")

_FULL_WIDTH = str.maketrans("０１２３４５６７８９．，＋－％", "0123456789.,+-%")
"""What keyboards of East Asia type for digits and marks."""


@dataclass(frozen=True, slots=True)
class Spec:
    """A field of a form.

    Attributes
    ----------
    name : str
        In the address and the HTML.
    key : str
        In the model that the form builds ("sight_width_mm"); the name where empty.
    label, hint : str
        Words beside the field.
    kind : str
        How its text is read; ``lengths`` is a list of lengths parted by semicolons.
    default : str
        Text where the field is absent; a temperature's is in °C, and whole degrees of the page's scale are shown.
    options : tuple of (value, label)
        Of a choice.
    exact : bool
        Whether a kept length is shown as it was entered, be it in another unit; a rule's limit must not be rounded.
    unit : str
        Shown beside a number; a length shows the page's unit, a temperature the scale that goes with it.
    """

    name: str
    label: str
    kind: Kind = "text"
    key: str = ""
    default: str = ""
    hint: str = ""
    unit: str = ""
    options: tuple[Option, ...] = ()
    exact: bool = False

    @property
    def target(self) -> str:
        """The key that the field fills."""
        return self.key or self.name


@dataclass(slots=True)
class Field:
    """A field as the templates see it; ``choices`` are entries that may be meant by one that was refused."""

    name: str
    label: str
    kind: Kind
    value: str
    unit: str = ""
    hint: str = ""
    error: str = ""
    options: Sequence[Option] = ()
    placeholder: str = ""
    choices: Sequence[str] = ()

    @property
    def is_number(self) -> bool:
        """Whether it holds a number or several."""
        return self.kind in ("length", "lengths", "temperature", "number", "share", "whole")

    @property
    def inputmode(self) -> str:
        """The on-screen keyboard that suits."""
        if self.kind == "number":
            return "decimal"
        return "numeric" if self.kind == "whole" else "text"


@dataclass(slots=True)
class Form:
    """A form as typed, its values as far as they could be read, and what was refused."""

    fields: dict[str, Field]
    unit: Unit
    values: dict[str, Any] = field(default_factory=dict)
    targets: dict[str, str] = field(default_factory=dict)
    general: list[str] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)

    @property
    def errors(self) -> list[tuple[str, str]]:
        """(field name, message) of every refusal, the general ones with an empty name."""
        at_fields = [(one.name, one.error) for one in self.fields.values() if one.error]
        return at_fields + [("", message) for message in self.general]

    @property
    def ok(self) -> bool:
        """Nothing was refused."""
        return not self.errors

    @property
    def doubt(self) -> str:
        """How many entries were refused, in a sentence."""
        return doubt(len(self.errors))

    def refuse(self, refusal: Refusal) -> None:
        """Put a refusal at its field; at the form's head where it has none here."""
        for step in (refusal.field, *reversed(refusal.field.split("."))):
            name = self.targets.get(step, step)
            if name in self.fields:
                self.fields[name].error = self.fields[name].error or refusal.message
                return
        self.general.append(refusal.message)

    def build(self, model: type[Model], **more: Any) -> Model | None:
        """The model from the values and more, or ``None`` with the refusals put at their fields.

        Fields of the form that the model does not have may be refused already: that does not stop it.
        """
        self.check(model, *more)
        fields = model.model_fields
        names = {self.targets.get(key) for key in fields if key not in more}
        if any(self.fields[name].error for name in names if name):
            return None
        values = {
            key: self.values[key]
            for key in fields
            if key in self.values and (self.values[key] is not None or field_of(model, key).nullable)
        }
        try:
            return model.model_validate(values | more)
        except ValidationError as error:
            for refusal in from_validation(error, model, self.say):
                self.refuse(refusal)
        except RangeError as error:
            self.refuse_range(error, model)
        return None

    def refuse_range(self, error: RangeError, model: type[BaseModel]) -> None:
        """Put the core's own error at the field that the model keeps its quantity in."""
        self.refuse(from_range(error, "", self.say, schema_of(model).at(())))

    def say(self, number: float, unit: str, direction: Direction = "nearest", slack: float = 0.0) -> str:
        """A number for the reader: lengths in the form's unit, finely, and temperatures in its scale."""
        if unit == "°C":
            return temperatures.show(number, temperatures.SCALES[self.unit], direction)
        if unit != "mm":
            return plain(number, unit)
        if self.unit == "mm":
            return plain(float(lengths.round_to(number, _FINE, direction)), "mm")
        off = ((step, abs(float(lengths.round_to(number, step, direction)) - number)) for step in _INCH_STEPS)
        step = next((step for step, given_away in off if given_away <= slack), _INCH_STEPS[-1])
        return lengths.show(number, "in", step, direction)

    def check(self, model: type[BaseModel], *but: str) -> None:
        """Hold the values against a model's fields before the model is built: their ranges, and what must not be blank.

        Text that could not be read gets the allowed range beside the reason. A blank number for which the model's own
        default stands shows it in its place. ``but`` are keys that are not the form's.
        """
        fields = model.model_fields
        for key in fields:
            name = self.targets.get(key)
            if name is None or key in but:
                continue
            shown = self.fields[name]
            if shown.error and name not in self.unread:
                continue
            limit = field_of(model, key, entry=shown.kind == "lengths").limit if shown.is_number else _NO_LIMIT
            value = self.values[key]
            if name in self.unread:
                self.unread.discard(name)
                shown.error += f" Allowed is {allowed(limit, self.say)}." if limit and shown.error else ""
            elif value is None:
                field = fields[key]
                if field.is_required():
                    shown.error = f"Fill this in; allowed is {allowed(limit, self.say)}." if limit else "Fill this in."
                elif isinstance(field.default, int | float) and shown.is_number and not field_of(model, key).nullable:
                    shown.placeholder = f"{self._default(field.default, limit.unit)} if blank"
            elif limit and not all(map(limit.holds, value if isinstance(value, list) else [value])):
                shown.error = f"Allowed is {allowed(limit, self.say)}."

    def _default(self, value: float, unit: str) -> str:
        """A model's default, exact."""
        return entered(value, self.unit) if unit == "mm" else self.say(value, unit)


def bind(specs: Sequence[Spec], data: Mapping[str, str], unit: Unit) -> Form:
    """Read typed text: what is absent takes its default, what is blank becomes ``None``.

    Parameters
    ----------
    specs : sequence of Spec
        The form's fields.
    data : mapping
        Text by field name, as from a query or a posted form.
    unit : str
        What a bare number of a length means.
    """
    form = Form({}, unit)
    for spec in specs:
        text = data.get(spec.name, default(spec, unit))
        shown = Field(spec.name, spec.label, spec.kind, text, unit_of(spec, unit), spec.hint, "", spec.options)
        form.fields[spec.name] = shown
        form.targets[spec.target] = spec.name
        form.values[spec.target] = None
        try:
            form.values[spec.target] = _READERS[spec.kind](text.strip(), unit, spec)
        except ValueError as error:
            shown.error = ended(str(error))
            form.unread.add(spec.name)
    return form


def default(spec: Spec, unit: Unit) -> str:
    """The text of a field that is absent: a temperature's in whole degrees of the page's scale."""
    if spec.kind != "temperature" or not spec.default or unit == "mm":
        return spec.default
    return f"{temperatures.degrees(float(spec.default), temperatures.SCALES[unit]):.0f}"


def doubt(count: int) -> str:
    """How many entries were refused, in a sentence."""
    return "One entry needs another look." if count == 1 else f"{count} entries need another look."


def unit_of(spec: Spec, unit: Unit) -> str:
    """The unit shown beside a field."""
    if spec.kind == "temperature":
        return temperatures.SCALES[unit]
    return unit if spec.kind in ("length", "lengths") else spec.unit


def number(text: str) -> float | None:
    """A number as typed, with a decimal point or comma, its unit after it or not; ``None`` for blank.

    Raises
    ------
    ValueError
        When it is no plain number.
    """
    if not text:
        return None
    text = text.translate(_FULL_WIDTH)
    found = _NUMBER.fullmatch(text.replace(lengths.MINUS, "-").replace("\u00a0", " ").strip())
    if found is None or len(text) > lengths.LONGEST_TEXT:
        raise ValueError(f"“{_shown(text)}” is not a number; write it like 8 or 8.5.")
    if lengths.could_be_thousands(text):
        raise ValueError(f"A mark in “{text}” could separate thousands; write it like 1234 or 1.234.")
    return float(found["number"].replace(",", "."))


def _shown(text: str) -> str:
    return text if len(text) <= _MOST_SHOWN else f"{text[:_MOST_SHOWN]}…"


_read = lru_cache(4096)(lengths.read)
"""A page is asked for again and again with one length changed."""


def _length(text: str, unit: Unit, spec: Spec) -> float | None:
    return _read(text, unit) if text else None


def _lengths(text: str, unit: Unit, spec: Spec) -> list[float]:
    return [_read(part, unit) for part in text.split(";") if part.strip()]


def _temperature(text: str, unit: Unit, spec: Spec) -> float | None:
    return temperatures.read(text, temperatures.SCALES[unit]) if text else None


def _number(text: str, unit: Unit, spec: Spec) -> float | None:
    return number(text)


def _share(text: str, unit: Unit, spec: Spec) -> float | None:
    """A part of the whole, as such or in hundredths: 0.0033 or 0.33 %."""
    if not text.endswith("%"):
        return number(text)
    hundredths = number(text.removesuffix("%").rstrip())
    return None if hundredths is None else hundredths / 100


def _whole(text: str, unit: Unit, spec: Spec) -> int | None:
    value = number(text)
    if value is None:
        return None
    if value != int(value) or _GROUPED.search(text):
        raise ValueError(f"“{_shown(text)}” is not a whole number.")
    return int(value)


def _text(text: str, unit: Unit, spec: Spec) -> str | None:
    return text or None


def _date(text: str, unit: Unit, spec: Spec) -> date | None:
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"“{_shown(text)}” is not a day; write it like 2026-03-14.") from None


def _choice(text: str, unit: Unit, spec: Spec) -> str | None:
    if text not in {value for value, _ in spec.options}:
        if len(spec.options) > _MOST_OPTIONS:
            raise ValueError("This is not in the list, or no longer: choose one that is.")
        raise ValueError(f"Choose one of {', '.join(label for _, label in spec.options)}.")
    return text or None


def _check(text: str, unit: Unit, spec: Spec) -> bool:
    return text not in ("", "0", "no", "off", "false")


_READERS: dict[Kind, Callable[[str, Unit, Spec], Any]] = {
    "length": _length,
    "lengths": _lengths,
    "temperature": _temperature,
    "number": _number,
    "share": _share,
    "whole": _whole,
    "text": _text,
    "date": _date,
    "hidden": _text,
    "choice": _choice,
    "species": _text,
    "check": _check,
}
