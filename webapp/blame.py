"""Which entry a core error is about: the core names a quantity, the reader needs the field that led to it."""

from collections.abc import Iterator
from contextlib import contextmanager

from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel

from movement.errors import RangeError
from webapp.limits import schema_of


def blamed(error: RangeError, asked: BaseModel) -> str:
    """The key of the value behind an error: of those that the quantity depends on, the first that was filled in."""
    keys = schema_of(type(asked)).at(()).keys_of(error.name)
    filled = [key for key in keys if getattr(asked, key) is not None]
    return (filled or keys or [""])[0]


@contextmanager
def blaming(asked: BaseModel) -> Iterator[None]:
    """Refuse a request, at the key that is to blame, where the core finds a value out of its range.

    Raises
    ------
    RequestValidationError
        In place of a `RangeError`.
    """
    try:
        yield
    except RangeError as error:
        detail = {
            "type": "value_error",
            "loc": ("body", blamed(error, asked)),
            "msg": str(error),
            "input": error.value,
            "ctx": {"error": error},
        }
        raise RequestValidationError([detail]) from error
