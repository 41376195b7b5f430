"""Why a value was refused, in words, with the allowed range: one shape for the pages and for the JSON API."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from pydantic import BaseModel, ValidationError

from movement.errors import RangeError

Say = Callable[[float, str], str]
"""Writes a number with its unit for the reader."""


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


def plain(number: float, unit: str) -> str:
    """A number with its unit, as the core has it."""
    return f"{number:g} {unit}".rstrip()


def from_range(error: RangeError, field: str = "", say: Say = plain) -> Refusal:
    """A refusal from the core's own error."""
    message = f"{error.name.capitalize()}: {allowed(error.low, error.high, error.unit, say)}"
    if isinstance(error.value, float):
        message += f"; it is {say(error.value, error.unit)}"
    if error.source:
        message += f" ({error.source})"
    return Refusal(field, message + ".", error.value, error.low, error.high, error.unit, error.source)


def from_validation(error: ValidationError, model: type[BaseModel] | None = None, say: Say = plain) -> list[Refusal]:
    """Every refusal in a model's error; model tells the units of its fields."""
    return [from_error(detail, model, say) for detail in error.errors(include_url=False)]


def from_error(detail: Any, model: type[BaseModel] | None = None, say: Say = plain) -> Refusal:
    """A refusal from one of pydantic's error details."""
    loc = tuple(detail["loc"])
    path = ".".join(str(step) for step in loc)
    context = detail.get("ctx") or {}
    cause = context.get("error")
    if isinstance(cause, RangeError):
        return from_range(cause, path, say)
    value = detail.get("input")
    if not isinstance(value, str | int | float | bool | None):
        value = None
    low, high, unit = _bounds(model, loc)
    kind = str(detail["type"])
    if kind in _BOUND_ERRORS and (low is not None or high is not None):
        return Refusal(
            path, f"Allowed is {allowed(low, high, unit, say)}.", value, low, high, unit, "limit of this model"
        )
    return Refusal(path, _wording(kind, detail), value, low, high, unit)


def allowed(low: float | None, high: float | None, unit: str, say: Say = plain) -> str:
    """The range in words."""
    if low is None and high is None:
        return "nothing here"
    if high is None:
        return f"at least {say(low or 0.0, unit)}"
    if low is None:
        return f"at most {say(high, unit)}"
    return f"{say(low, unit)} to {say(high, unit)}"


_BOUND_ERRORS = {
    "greater_than_equal",
    "less_than_equal",
    "greater_than",
    "less_than",
    "finite_number",
    "float_parsing",
    "float_type",
    "int_parsing",
    "int_type",
    "int_from_float",
}


def _wording(kind: str, detail: Any) -> str:
    context = detail.get("ctx") or {}
    if kind in ("missing", "float_type", "int_type", "string_type") and detail.get("input") in (None, ""):
        return "Fill this in."
    if kind == "missing":
        return "Fill this in."
    if kind in ("float_parsing", "int_parsing", "finite_number", "float_type", "int_type"):
        return "This is not a number."
    if kind == "literal_error":
        return f"Choose one of {context.get('expected', 'the list')}."
    if kind == "extra_forbidden":
        return "There is no field of this name."
    if kind == "value_error":
        return str(context.get("error", detail["msg"]))
    return str(detail["msg"])


def _bounds(model: type[BaseModel] | None, loc: tuple[int | str, ...]) -> tuple[float | None, float | None, str]:
    if model is None or not loc or loc[0] not in model.model_fields:
        return None, None, ""
    return bounds(model, str(loc[0])) if len(loc) == 1 else (None, None, "")


@cache
def _properties(model: type[BaseModel]) -> dict[str, Any]:
    schema = model.model_json_schema()
    return dict(schema.get("properties", {}))


def nullable(model: type[BaseModel], name: str) -> bool:
    """Whether a model's field may be ``None``."""
    return any(part.get("type") == "null" for part in _properties(model).get(name, {}).get("anyOf", ()))


def bounds(model: type[BaseModel], name: str) -> tuple[float | None, float | None, str]:
    """The inclusive range and the unit of a model's field, where it has them."""
    schema = _properties(model).get(name, {})
    for part in (schema, *schema.get("anyOf", ())):
        low = part.get("minimum", part.get("exclusiveMinimum"))
        high = part.get("maximum", part.get("exclusiveMaximum"))
        if low is not None or high is not None:
            return low, high, str(part.get("unit", schema.get("unit", "")))
    return None, None, str(schema.get("unit", ""))
