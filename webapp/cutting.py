"""How many pieces of a part that stands in no frame are cut, and which of them has a size of its own."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from movement.parts.any import SizedPart
from movement.parts.boards import BoardsResult
from movement.parts.door import DoorResult
from movement.parts.drawer import DrawerResult
from movement.parts.making import PartResult
from movement.parts.slats import SlatsResult
from webapp import measures
from webapp.words import Words

_SIDES = 2
"""A drawer box has two sides."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """The pieces of one part that are cut to its size.

    ``number`` is 0 where the maker did not tell it; ``name`` is what several are called; ``each`` where every one of
    them gets a label of its own.
    """

    number: int = 1
    name: str = ""
    each: bool = False

    def said(self, count: int) -> str:
        """How many are cut for so many parts.

        Example
        -------
        >>> Pieces().said(2), Pieces(7, "boards").said(1), Pieces(2, "sides").said(2)
        ('2', '7 boards', '4 sides')
        """
        if not self.number:
            return f"{self.name}, number not told"
        return f"{count}" if self.number == 1 else f"{self.number * count} {self.name}"


@dataclass(frozen=True, slots=True)
class Extra:
    """A piece of a part that is cut to a size of its own, once for each part.

    Attributes
    ----------
    name, size, what : str
        What it is, what it is cut to, and which way that is measured.
    short : str
        What else is cut in it.
    cuts : tuple of float
        All its lengths [mm].
    """

    name: str
    size: str
    what: str
    short: str
    cuts: tuple[float, ...]


ONE = Pieces()


def pieces(part: SizedPart, made: PartResult) -> Pieces:
    """The pieces of a part."""
    found = _KINDS.get(type(made))
    return ONE if found is None else found(part, made)


def bottom(made: PartResult, words: Words) -> Extra | None:
    """A drawer's solid bottom; None where the part has none."""
    width = measures.bottom(made) if isinstance(made, DrawerResult) else None
    if not isinstance(made, DrawerResult) or width is None:
        return None
    forward, backward = made.slot_forward_mm, made.slot_backward_mm
    slot = (
        ""
        if forward is None or backward is None
        else f"slot {words.least(forward)} forward, {words.least(backward)} back"
    )
    return Extra("bottom", width.said(words), "front to back", slot, (width.length,))


def _boards(part: Any, made: BoardsResult) -> Pieces:
    return Pieces(made.boards, "boards")


def _door(part: Any, made: DoorResult) -> Pieces:
    return Pieces(made.leaves, "leaves", each=True)


def _drawer(part: Any, made: DrawerResult) -> Pieces:
    return Pieces(_SIDES, "sides")


def _slats(part: Any, made: SlatsResult) -> Pieces:
    return Pieces(part.slats or 0, "slats")


_KINDS: Mapping[type[PartResult], Callable[[Any, Any], Pieces]] = {
    BoardsResult: _boards,
    DoorResult: _door,
    DrawerResult: _drawer,
    SlatsResult: _slats,
}
