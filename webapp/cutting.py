"""How many pieces of a part that stands in no frame are cut, and which of them has a size of its own."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from movement.fits.boards import Profile
from movement.parts.any import SizedPart
from movement.parts.boards import BoardsResult
from movement.parts.door import DoorResult
from movement.parts.drawer import DrawerResult
from movement.parts.making import PartResult
from movement.parts.slats import SlatsResult
from webapp import measures
from webapp.typeset import NO_BREAK
from webapp.words import Words

_SIDES = 2
"""A drawer box has two sides."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """The pieces of one part that are cut to its size.

    ``number`` is 0 where the maker did not tell it; ``name`` is what several are called, ``one`` what one is; ``each``
    where every one of them gets a label of its own.
    """

    number: int = 1
    name: str = ""
    one: str = ""
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


@dataclass(frozen=True, slots=True)
class Alike:
    """Pieces of one part, from the ``first`` to the ``last``, that are cut alike: to what size, and how."""

    first: int
    last: int
    size: str
    what: str

    def said(self, pieces: Pieces) -> str:
        """They in words.

        Example
        -------
        >>> Alike(2, 6, "64.0 mm", "tongue and groove").said(Pieces(7, "boards", "board"))
        'boards 2 to 6: 64.0 mm, tongue and groove'
        """
        which = (
            f"{pieces.one} {self.first}" if self.first == self.last else f"{pieces.name} {self.first} to {self.last}"
        )
        return f"{which}: {self.size}, {self.what}"


ONE = Pieces()
_EDGES: Mapping[Profile, tuple[str, str]] = {
    "tongue and groove": ("tongue", "groove"),
    "shiplap": ("lap", "rebate"),
    "loose tongue": ("groove", "groove"),
}
"""What two boards have at the edges that meet."""


def pieces(part: SizedPart, made: PartResult) -> Pieces:
    """The pieces of a part."""
    found = _KINDS.get(type(made))
    return ONE if found is None else found(part, made)


def alike(made: PartResult, words: Words) -> tuple[Alike, ...]:
    """The boards of a run by how they are cut: the first and the last have nothing at their outer edges."""
    if not isinstance(made, BoardsResult) or not made.fits:
        return ()
    (out, into), number, plain = _EDGES[made.profile], made.boards, "the other plain"
    whole, face = (
        one.replace(" ", NO_BREAK) for one in (measures.of(made).across(words), measures.face(made).said(words))
    )
    both = f"{out} at one edge, {into} at the other" if out != into else f"{out} at both edges"
    middle = [Alike(2, number - 1, whole, both)] if number > 2 else []
    return (
        Alike(1, 1, whole, f"{out} at one edge, {plain}"),
        *middle,
        Alike(number, number, face, f"{into} at one edge, {plain}"),
    )


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
    return Pieces(made.boards, "boards", "board")


def _door(part: Any, made: DoorResult) -> Pieces:
    return Pieces(made.leaves, "leaves", "leaf", each=True)


def _drawer(part: Any, made: DrawerResult) -> Pieces:
    return Pieces(_SIDES, "sides", "side")


def _slats(part: Any, made: SlatsResult) -> Pieces:
    return Pieces(part.slats or 0, "slats", "slat")


_KINDS: Mapping[type[PartResult], Callable[[Any, Any], Pieces]] = {
    BoardsResult: _boards,
    DoorResult: _door,
    DrawerResult: _drawer,
    SlatsResult: _slats,
}
