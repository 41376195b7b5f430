"""Why a value was refused, in words, with the allowed range: one shape for the pages and for the JSON API."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from pydantic import BaseModel, ValidationError

from movement import lengths
from movement.errors import RangeError
from movement.lengths import Direction
from movement.species import UnknownSpeciesError
from webapp.limits import UNSOURCED, Limit, Place, Schema, schema_of

DEGREE = "°"
"""The one unit that follows its number without a space (BIPM, SI Brochure, 9th ed., 5.4.3)."""
MOST_SHOWN = 80
"""Characters of a refused text that are given back."""
LEFT_OUT = 0.02
"""Share of a limit, and of its range, that a message may leave out for a rounder figure in inches; our choice."""
_LARGEST = 1e15
FILES = ("log", "epw")
"""Kinds of climate that are files."""


class Say(Protocol):
    """Writes a number with its unit for the reader, rounded up or down where that matters, by up to ``slack`` more."""

    def __call__(self, number: float, unit: str, direction: Direction = "nearest", slack: float = 0.0) -> str: ...


@dataclass(frozen=True, slots=True)
class Refusal:
    """A refused value.

    ``field`` is the dotted path of the key (empty for the whole), ``low`` and ``high`` its range where it has one.
    """

    field: str
    message: str
    value: Any = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    source: str = ""


def plain(number: float, unit: str, direction: Direction = "nearest", slack: float = 0.0) -> str:
    """A number with its unit, as the core has it."""
    sign = lengths.MINUS if number < 0 else ""
    apart = "" if unit == DEGREE else " "
    return f"{sign}{abs(number):.6g}{apart}{unit}".rstrip()


def from_range(error: RangeError, field: str = "", say: Say = plain, place: Place | None = None) -> Refusal:
    """A refusal from the core's own error.

    Parameters
    ----------
    field : str
        Where the value stands, where that is known.
    place : Place or None
        The object that the value stands in; its key for the error's quantity is added to the field.
    """
    key = place.key_of(error.name) if place else None
    path = ".".join(filter(None, (field, key)))
    limit = Limit(error.low, error.high, error.unit, error.source)
    is_number = isinstance(error.value, int | float)
    shown = say(float(error.value), error.unit) if is_number else f"“{error.value}”"
    message = f"{sentence(error.name)} is {shown}; allowed is {allowed(limit, say)}"
    message += f" ({error.source})." if error.source else "."
    return _refusal(path, message, error.value, limit)


def from_validation(error: ValidationError, model: type[BaseModel], say: Say = plain) -> list[Refusal]:
    """Every refusal in a model's error."""
    schema = schema_of(model)
    return [from_error(detail, schema, say) for detail in error.errors(include_url=False)]


def from_error(detail: Any, schema: Schema, say: Say = plain) -> Refusal:
    """A refusal from one of pydantic's error details, with the range that the schema gives."""
    kind, context = str(detail["type"]), detail.get("ctx") or {}
    cause, value = context.get("error"), detail.get("input")
    place = schema.at(tuple(detail["loc"]), unknown=kind == "extra_forbidden")
    if isinstance(cause, RangeError):
        return from_range(cause, place.path, say, place)
    if isinstance(cause, UnknownSpeciesError) and not isinstance(value, str):
        path = next(_paths(value, cause.name), "")
        return _refusal(path, ended(str(cause)), cause.name, Limit())
    if kind == "json_invalid":
        return Refusal("", _wording(kind, detail, Limit(), say))
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        tag = str(context.get("discriminator", "")).strip("'")
        path = ".".join(filter(None, (place.path, tag)))
        return _refusal(path, _wording(kind, detail, Limit(), say), context.get("tag"), Limit())
    limit = place.limit if kind in _RANGED else Limit()
    return _refusal(place.path, _wording(kind, detail, limit, say), value, limit)


def allowed(limit: Limit, say: Say = plain) -> str:
    """The range in words, with its unit once; its ends are rounded inward, so that they are allowed themselves."""
    if limit.low is None and limit.high is None:
        return "nothing here"
    low = "" if limit.low is None else say(limit.low, limit.unit, "up", _slack(limit, limit.low))
    high = "" if limit.high is None else say(limit.high, limit.unit, "down", _slack(limit, limit.high))
    if not high:
        return f"more than {low}" if limit.above else f"at least {low}"
    if not low:
        return f"at most {high}"
    if limit.above:
        return f"more than {low} and at most {high}"
    if limit.low == limit.high:
        return f"only {low}"
    whole = f" {limit.unit}"  # of several words, as per 1 % MC
    shared = DEGREE if limit.unit == DEGREE else whole if high.endswith(whole) else f" {low.rpartition(' ')[2]}"
    return f"{low.removesuffix(shared) if high.endswith(shared) else low} to {high}"


def _slack(limit: Limit, end: float) -> float:
    """How much of a range may be left out at an end, for a rounder figure."""
    span = abs(end) if limit.low is None or limit.high is None else min(abs(end), limit.high - limit.low)
    return LEFT_OUT * max(span, 0.0)


def sentence(text: str) -> str:
    """Text with a capital."""
    return text[:1].upper() + text[1:]


def _refusal(path: str, message: str, value: Any, limit: Limit) -> Refusal:
    source = limit.source or (UNSOURCED if limit else "")
    return Refusal(path, message, sendable(value), limit.low, limit.high, limit.unit, source)


def sendable(value: Any) -> str | int | float | bool | None:
    """A refused value as JSON can carry it: numbers that JSON has no word for as text, long text cut, no containers."""
    if isinstance(value, str):
        shown = value if len(value) <= MOST_SHOWN else f"{value[:MOST_SHOWN]}…"
        return shown.encode("utf-8", "replace").decode()
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int | float):
        if isinstance(value, float) and not math.isfinite(value):
            return "NaN" if math.isnan(value) else str(value).replace("inf", "infinity")
        return value if abs(value) < _LARGEST else sendable(str(value))
    return None


_NUMBERS = {"float_parsing", "float_type", "int_parsing", "int_type", "int_from_float", "finite_number"}
_BOUNDS = {"greater_than_equal", "less_than_equal", "greater_than", "less_than"}
_LENGTHS = {"too_short", "too_long", "string_too_short", "string_too_long"}
_RANGED = _NUMBERS | _BOUNDS | _LENGTHS | {"missing", "string_type"}
_OBJECTS = {"model_type", "model_attributes_type", "dict_type"}


def _wording(kind: str, detail: Any, limit: Limit, say: Say) -> str:
    context, value = detail.get("ctx") or {}, detail.get("input")
    span = f"; allowed is {allowed(limit, say)}." if limit else "."
    if kind == "missing" or (value in (None, "") and kind in _NUMBERS | {"string_type"}):
        return f"Fill this in{span}"
    if kind in _BOUNDS | _LENGTHS:
        return f"Allowed is {allowed(limit, say)}."
    if kind in _NUMBERS:
        what = "a whole number" if kind.startswith("int") else "a number"
        return f"This is not {what}{span}"
    if kind in ("bool_parsing", "bool_type"):
        return "This is to be true or false."
    if kind == "literal_error":
        return f"Choose one of {context['expected']}."
    if kind == "union_tag_invalid" and context.get("tag") in FILES:
        return "A file is sent to /api/v1/climate/file; the record that it answers with goes here."
    if kind == "union_tag_invalid":
        return f"Choose one of {context['expected_tags']}."
    if kind == "union_tag_not_found":
        return "Fill this in: it tells which kind of description this is."
    if kind == "extra_forbidden":
        return "There is no field of this name."
    if kind == "json_invalid":
        return f"What was sent is not JSON: {context.get('error', 'it cannot be read')}."
    if kind in _OBJECTS:
        return "This is to be a JSON object, sent as application/json."
    if kind == "list_type":
        return "This is to be a list."
    if kind in ("string_type", "string_unicode"):
        return "This is to be text."
    cause = context.get("error")
    return ended(sentence(str(cause if cause is not None else detail["msg"])))


def ended(text: str) -> str:
    """Text with its full stop."""
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _paths(value: Any, name: str, path: Sequence[str] = ()) -> Iterator[str]:
    """The paths of the species keys, anywhere in a value, that hold this name."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if key == "species" and inner == name:
                yield ".".join((*path, key))
            yield from _paths(inner, name, (*path, str(key)))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _paths(inner, name, (*path, str(index)))
