"""What every JSON model of the core shares: strictness, and fields that carry a range and a unit."""

from typing import Any

from pydantic import BaseModel, ConfigDict, Field


class Described(BaseModel):
    """A frozen model that refuses unknown keys, NaN and infinity."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, str_strip_whitespace=True, frozen=True)


def bounded(limits: tuple[float, float], unit: str) -> Any:
    """A pydantic field with an inclusive range and its unit."""
    return Field(ge=limits[0], le=limits[1], json_schema_extra={"unit": unit})
