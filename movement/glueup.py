"""Boards and strips of a board, alone and glued edge to edge: how far they bow out of flat at another moisture."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, get_args

import numpy as np

from movement.endgrain import Change, Points, Rings

Turn = Literal["same", "rolled", "ended"]
"""How a strip lies beside the first: as it was sawn, rolled over about its length, or turned over end for end."""
TURNS: tuple[Turn, ...] = get_args(Turn)

_POINTS = 201
_DECIMALS = 9
"""Of a bow [mm]: what is below is the rounding of floating point."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A part of a board's width, from left to right of its middle [mm], and how it is turned in a glue-up."""

    left: float
    right: float
    turn: Turn = "same"


def strips(width: float, pieces: int, turn: Turn = "same") -> tuple[Strip, ...]:
    """A board of this width [mm] ripped into equal pieces, every other one turned; what the saw takes is left out."""
    places = np.linspace(-width / 2, width / 2, pieces + 1).tolist()
    return tuple(
        Strip(left, right, turn if index % 2 else "same") for index, (left, right) in enumerate(pairwise(places))
    )


def middle_line(rings: Rings, thickness: float, row: Sequence[Strip], change: Change) -> Points:
    """The middle line of strips glued edge to edge, its two ends level.

    Notes
    -----
    Each strip takes the shape it would take alone. Glued edges stay together: the next strip is turned until the line
    from the lower to the upper corner of its edge runs as the one it is glued to. So a board that is ripped and glued
    as it was has the shape of the whole board. The edges' own small differences in length and curve strain the joint;
    they are left out.

    Parameters
    ----------
    rings : Heart or Straight
        Of the board that the strips are of.
    thickness : float
        Of the board [mm].
    row : sequence of Strip
        From left to right.
    change : Change
        Along the radius and round the rings, over the size at which the row was flat.

    Returns
    -------
    ndarray of complex
        Along + i·up, from the first strip's left end at 0 [mm]; the bark side of strips that are not turned is up.

    Source
    ------
    Exact polar geometry of uniform radial and tangential shrinkage (derived).
    """
    lines: list[Points] = []
    end, up = 0j, 1j
    for strip in row:
        line, first, last = _shape(rings, thickness, strip, change)
        turned = up / first * abs(first / up)
        line = (line - line[0]) * turned + end
        end, up = complex(line[-1]), last * turned
        lines.append(line)
    whole = np.concatenate(lines)
    return np.asarray(whole * abs(end) / end)


def cup(rings: Rings, thickness: float, strip: Strip, change: Change) -> float:
    """How deep a strip's middle line bows below the line between its ends [mm].

    Positive when the bark side turns hollow, as on drying, negative when the heart side does.
    """
    up = middle_line(rings, thickness, (strip,), change).imag
    return 0.0 - round(float(up[np.abs(up).argmax()]), _DECIMALS)


def out_of_flat(rings: Rings, thickness: float, row: Sequence[Strip], change: Change) -> float:
    """How far a row's middle line reaches above and below the line between its ends, both together [mm]."""
    up = middle_line(rings, thickness, row, change).imag
    return round(float(np.ptp(up)), _DECIMALS)


def _shape(rings: Rings, thickness: float, strip: Strip, change: Change) -> tuple[Points, complex, complex]:
    """A strip's middle line as it lies in the row, and its left and right edge from the lower to the upper corner."""
    line = rings.moved(np.linspace(strip.left, strip.right, _POINTS).astype(np.complex128), change)
    half = 0.5j * thickness
    corners = [end + side for end in (strip.left, strip.right) for side in (-half, half)]
    low_left, high_left, low_right, high_right = rings.moved(np.asarray(corners, dtype=np.complex128), change).tolist()
    left, right = high_left - low_left, high_right - low_right
    if strip.turn == "rolled":
        return -line[::-1], right, left
    if strip.turn == "ended":
        return np.conj(line), -left.conjugate(), -right.conjugate()
    return line, left, right
