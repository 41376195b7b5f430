"""What every JSON model of the core shares: strictness, and fields that carry a range and a unit."""

from collections.abc import Mapping
from typing import Any, ClassVar, Self

from pydantic import BaseModel, ConfigDict, Field


class Described(BaseModel):
    """A frozen model that refuses unknown keys, NaN, infinity, and text or a yes where a number belongs."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, str_strip_whitespace=True, frozen=True)

    _bare: ClassVar[frozenset[str]] = frozenset()
    """Fields that nothing kept in a cached property was worked out from."""

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """A copy with other values, without what was worked out from the values they replace."""
        copied = super().model_copy(update=update, deep=deep)
        if not set(update or ()) <= self._bare:
            for name in set(copied.__dict__) - set(type(self).model_fields):
                del copied.__dict__[name]
        return copied


def told(meaning: str, unit: str = "") -> Any:
    """A pydantic field that says what its value means, and in which unit it is."""
    return Field(description=_described(meaning, unit))


def bounded(limits: tuple[float, float], unit: str, meaning: str) -> Any:
    """A pydantic field with an inclusive range, its unit and its meaning."""
    return Field(ge=limits[0], le=limits[1], description=_described(meaning, unit), json_schema_extra={"unit": unit})


def _described(meaning: str, unit: str) -> str:
    return f"{meaning} [{unit}]." if unit else f"{meaning}."
