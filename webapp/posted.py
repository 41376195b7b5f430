"""What handlers of posted forms share: the typed text, the app's store, and going on to a page."""

import hashlib
from collections.abc import Mapping
from typing import Annotated

import numpy as np
from fastapi import Depends, Request
from fastapi.responses import RedirectResponse

from webapp.store import Store

_DIGITS = 6
"""Digits of the largest number that counts parts, stays or documents."""


async def _typed(request: Request) -> Mapping[str, str]:
    fields = await request.form()
    return {name: text for name, text in fields.items() if isinstance(text, str)}


Typed = Annotated[Mapping[str, str], Depends(_typed)]
"""Text by field name, as typed into a posted form; files are left out."""


def store_of(request: Request) -> Store:
    """The app's store."""
    store: Store = request.app.state.store
    return store


def see(address: str) -> RedirectResponse:
    """Go and look there, with GET."""
    return RedirectResponse(address, 303)


def number_of(text: str) -> int | None:
    """A whole number as an address or a hidden field has it; ``None`` for what is none, or counts nothing here."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= _DIGITS else None


def mark(text: str) -> str:
    """A short mark of a text that was shown: it tells later whether that has changed since."""
    return hashlib.blake2b(text.encode(), digest_size=3).hexdigest()


def as_typed(value: float | None) -> str:
    """A number as one types it, so that reading it gives the same number; blank for ``None``.

    Example
    -------
    >>> as_typed(20.0), as_typed(0.00248), as_typed(1e-5)
    ('20', '0.00248', '0.00001')
    """
    return "" if value is None else np.format_float_positional(value, trim="-")
