"""A board's end grain: where its rings put it in the log, and what becomes of its section at another moisture.

A section is seen with its middle at the origin, its wide faces level and the bark side up; its points are complex
numbers, across + i·up [mm].
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from movement import grain
from movement.arrays import Floats, floats
from movement.errors import require_range

Points = NDArray[np.complex128]

WIDTH = (10.0, 1500.0)
"""Width of a board [mm]; project limit, no source."""
THICKNESS = (1.0, 300.0)
"""Thickness of a board [mm]; project limit, no source."""
DEPTH = (1.0, 2000.0)
"""Depth of the heart below the face on the bark side [mm]; project limit, no source."""
OFFSET = (-1000.0, 1000.0)
"""Of the heart from the board's middle, to the right [mm]; project limit, no source."""
CHORD = (5.0, 2000.0)
"""Chord across a ring [mm]; project limit, no source."""
RISE = (0.1, 1000.0)
"""Rise of a ring over its chord [mm]; project limit, no source."""
FAR = 2000.0
"""Heart farther below or beside a board than this [mm] leaves its rings as good as straight, and they are taken so:
at most 0.1 mm of cup is left out of a board 300 mm wide that shrinks 1 % more round the rings than along the radius."""
CLEAR = grain.CUP_HEIGHT[0]
"""Least room between the heart and the board above it [mm]."""

_IN_BOARD = "a board with the heart in it splits there and has no smooth cup"
_WRONG_SIDE = "else the other face is the one on the bark side: turn the board over"


class Change(NamedTuple):
    """A dimension along the radius and one round the rings, over today's [-]."""

    radial: float
    tangential: float


@dataclass(frozen=True, slots=True)
class Heart:
    """Rings that are circles about the log's heart.

    Attributes
    ----------
    below : float
        Depth of the heart below the middle of the section, 0 to 2000 [mm].
    beside : float
        How far it lies to the right of that middle; negative to the left [mm].
    """

    below: float
    beside: float = 0.0

    def angles(self, across: Floats) -> Floats:
        """Ring angle at places of the section's middle line [degrees]."""
        return np.degrees(np.arctan2(np.abs(across - self.beside), self.below))

    def equivalent(self, left: float, right: float) -> float:
        """The one ring angle that moves the width from left to right [mm] as these rings do [degrees].

        A part narrower than `grain.FACE_WIDTH` or a heart beyond the limits of `grain` raises `RangeError`.
        """
        return float(grain.equivalent_ring_angle(self.below, left - self.beside, right - self.beside))

    def moved(self, points: Points, change: Change) -> Points:
        """Where points of the section come to: radii scale by one ratio, angles by the other over it."""
        place = points - self.beside + 1j * self.below
        turned = np.arctan2(place.real, place.imag) * (change.tangential / change.radial)
        return np.asarray(change.radial * np.abs(place) * 1j * np.exp(-1j * turned))


@dataclass(frozen=True, slots=True)
class Straight:
    """Rings that run straight through the section at one angle to its wide face, 0 to 90 [degrees]."""

    angle: float

    def angles(self, across: Floats) -> Floats:
        """Ring angle at places of the section's middle line [degrees]."""
        return np.full(np.shape(across), self.angle)

    def equivalent(self, left: float, right: float) -> float:
        """The one ring angle that moves the width from left to right [mm] as these rings do [degrees]."""
        return self.angle

    def moved(self, points: Points, change: Change) -> Points:
        """Where points of the section come to."""
        outward = 1j * np.exp(-1j * np.radians(self.angle))
        place = points / outward
        return np.asarray((change.radial * place.real + 1j * change.tangential * place.imag) * outward)


Rings = Heart | Straight


def ring_radius(chord: float, rise: float) -> float:
    """Radius of a ring from its rise over a chord.

    Notes
    -----
    r = c²/(8 s) + s/2, for a chord c that the ring rises above by s at mid-chord.

    Parameters
    ----------
    chord : float
        5 to 2000 [mm].
    rise : float
        0.1 to half the chord [mm].

    Returns
    -------
    float
        [mm].

    Raises
    ------
    RangeError
        Chord or rise out of range.

    Source
    ------
    Geometry of the circle (derived).

    Example
    -------
    >>> ring_radius(60, 5)
    92.5
    """
    require_range("ring chord", chord, *CHORD, "mm")
    require_range("ring rise", rise, RISE[0], min(RISE[1], chord / 2), "mm", "a ring rises at most half its chord")
    return chord**2 / (8 * rise) + rise / 2


def from_edges(width: float, left: float, right: float, arched: bool) -> Rings:
    """The rings of a board from the ring angles at the middle of its two edges.

    Notes
    -----
    The heart lies where the normals of the two rings meet. Arched rings, heart below the width:
    h = w cos a cos b / sin(a + b). Rings that lean one way, heart beyond the edge with the smaller angle:
    h = w cos a cos b / sin |a − b|; equal angles have straight rings.

    Parameters
    ----------
    width : float
        10 to 1500 [mm].
    left, right : float
        Ring angles at the edges, 0 to 90 [degrees].
    arched : bool
        The rings rise from both edges towards the middle; else they lean one way.

    Returns
    -------
    Heart or Straight

    Raises
    ------
    RangeError
        Width or angle out of range.

    Source
    ------
    Geometry of concentric circles (derived).

    Example
    -------
    >>> from_edges(200, 45, 45, arched=True).below
    100.0
    """
    require_range("board width", width, *WIDTH, "mm")
    require_range("ring angle at the left edge", left, *grain.RING_ANGLE, "°")
    require_range("ring angle at the right edge", right, *grain.RING_ANGLE, "°")
    a, b = np.radians((left, right))
    apart = np.sin(a + b) if arched else np.sin(abs(a - b))
    if apart == 0:
        return Straight(left)
    below = float(width * np.cos(a) * np.cos(b) / apart)
    if arched:
        beside = float(width * (np.sin(a) * np.cos(b) / apart - 0.5))
    else:
        out = width * (0.5 + min(np.sin(a) * np.cos(b), np.sin(b) * np.cos(a)) / apart)
        beside = float(-out if left < right else out)
    return near(Heart(round(below, 9), round(beside, 9)), width)


def near(heart: Heart, width: float) -> Rings:
    """The rings as they are used: straight ones where the heart is farther from the board than `FAR`.

    Parameters
    ----------
    heart : Heart
        Where the heart lies.
    width : float
        The board's [mm].
    """
    if max(heart.below, abs(heart.beside) + width / 2) <= FAR:
        return heart
    return Straight(float(heart.angles(floats(0.0))))


def require_clear(rings: Rings, width: float, thickness: float) -> None:
    """Raise `RangeError` where the heart lies in the board, or nearer to the face that is called the bark side."""
    if isinstance(rings, Straight):
        return
    under = abs(rings.beside) <= width / 2
    low, source = (thickness + CLEAR, _IN_BOARD) if under else (thickness / 2, _WRONG_SIDE)
    depth = round(rings.below + thickness / 2, 9)
    require_range("depth of the heart below the bark side", depth, low, None, "mm", source)


def sawn(least: float, most: float) -> str:
    """What a board with ring angles from least to most [degrees] is called.

    The bounds, 30 and 60 degrees, are common practice; the Wood Handbook, ch. 1, from memory, has plain-sawn below 45
    and quarter-sawn above, and calls 30 to 60 bastard- or rift-sawn.

    Example
    -------
    >>> sawn(0, 20), sawn(40, 50), sawn(0, 48), sawn(62, 90)
    ('flat-sawn', 'rift-sawn', 'flat-sawn to rift-sawn', 'quarter-sawn')
    """
    first, last = _cut(least), _cut(most)
    return first if first == last else f"{first} to {last}"


def _cut(angle: float) -> str:
    return "flat-sawn" if angle < 30 else "rift-sawn" if angle <= 60 else "quarter-sawn"
