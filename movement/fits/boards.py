"""A run of boards across an opening: gap at each joint, tongue, board face, room at the ends.

Equal boards of face b (the width that shows, without tongue or lap), each held at one place, so that every joint sees
the movement of one whole board: half of each neighbour where boards are held at mid-width, all of one neighbour where
they are held at one edge. With ρ_d and ρ_w the width at the driest and the wettest moisture over today's, q the gap
of a joint today, s the reach of the tongue, e the least engagement, c the least gap, t the making tolerance of a face:

    wet, it does not close:     q − t − b(ρ_w − 1) ≥ c
    dry, the tongue stays in:   s − q − t − b(1 − ρ_d) ≥ e

The ends differ. Held at mid-width, each end board moves half its face: the end gap (q + c)/2 keeps the wet rule exactly
where a joint of gap q does. Held at one edge, the run starts tight against the opening there, and the last board moves
its whole face: its end gap is q. So n boards fill the opening B at a pitch of b + q = (B − c)/n, or B/n.

The tongue itself is taken not to move: it shrinks by about a hundredth of its reach.
"""

from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Quantity, floats, unwrap
from movement.errors import require_range
from movement.fits.panel import Clearances

BoardHold = Literal["centred", "one edge"]
BOARD_HOLDS: tuple[BoardHold, ...] = get_args(BoardHold)
Profile = Literal["tongue and groove", "shiplap", "loose tongue"]
PROFILES: tuple[Profile, ...] = get_args(Profile)

OPENING = (20.0, 5000.0)
"""Opening that a board run fills, across the boards [mm]; project limit, no source."""
FACE = (5.0, 1000.0)
"""Face of a board [mm]; project limit, no source."""
BOARDS = (2, 500)
"""Boards in a run; project limit, no source. One board is a panel."""
TONGUE = (1.0, 60.0)
"""Length of a tongue or lap, or whole width of a loose tongue [mm]; project limit, no source."""
STOCK_WIDTH = (10.0, 1200.0)
"""Width that stock comes in [mm]; project limit, no source."""
_EXACT = 1e-9


def reach(tongue: ArrayLike, profile: Profile) -> Quantity:
    """How far a tongue reaches out of its board [mm].

    A tongue or a lap reaches its whole length. A loose tongue sits in both boards, each grooved half its width deep,
    so that it never keeps the joint from closing. It may be glued in one board or slide wholly into it, and then
    reaches half its width.

    Raises
    ------
    ValueError
        When there is no such profile.
    """
    return unwrap(floats(tongue) * _share(profile))


def tongue_for(reach: ArrayLike, profile: Profile) -> Quantity:
    """The tongue of a reach [mm]; of a loose tongue its whole width: the inverse of `reach`."""
    return unwrap(floats(reach) / _share(profile))


def pitch(opening: ArrayLike, boards: ArrayLike, hold: BoardHold, clearances: Clearances) -> Quantity:
    """Board face plus joint gap with which so many boards fill an opening today [mm].

    Parameters
    ----------
    opening : float or ndarray
        B, across the boards [mm], within `OPENING`.
    boards : int or ndarray
        n, within `BOARDS`; broadcasts with opening.
    hold : str
        ``centred`` or ``one edge``.
    clearances : Clearances
        The least gap, kept at the ends.

    Returns
    -------
    float or ndarray
        [mm].

    Raises
    ------
    RangeError
        Opening or number of boards out of range.
    ValueError
        When there is no such hold.
    """
    require_range("opening", opening, *OPENING, "mm")
    require_range("number of boards", boards, *BOARDS)
    return unwrap((floats(opening) - _end_room(hold, clearances)) / floats(boards))


def least_gap(face: ArrayLike, wet: ArrayLike, clearances: Clearances) -> Quantity:
    """The smallest gap today that stays open in the wettest season [mm]: b(ρ_w − 1) + c + t."""
    return unwrap(floats(face) * (floats(wet) - 1) + clearances.gap + clearances.tolerance)


def reach_needed(face: ArrayLike, gap: ArrayLike, dry: ArrayLike, clearances: Clearances) -> Quantity:
    """The shortest reach that holds at a gap today [mm]: q + b(1 − ρ_d) + e + t."""
    return unwrap(floats(gap) + floats(face) * (1 - floats(dry)) + clearances.engagement + clearances.tolerance)


def widest_face(reach: ArrayLike, dry: ArrayLike, wet: ArrayLike, clearances: Clearances) -> Quantity:
    """The widest board face that a tongue allows [mm], b(ρ_w − ρ_d) + c + e + 2t being its reach.

    Zero or less where the tongue serves no board at all; infinite, plus or minus, where the wood does not move.

    Raises
    ------
    RangeError
        Wet narrower than dry, or wider by more than any wood.

    Example
    -------
    >>> round(widest_face(6.0, 0.992, 1.008, Clearances(3.0, 0.5, 0.0)), 3)  # (6 - 3 - 0.5)/0.016
    156.25
    """
    spare = floats(reach) - clearances.engagement - clearances.gap - 2 * clearances.tolerance
    swing = floats(wet) - floats(dry)
    require_range("wet width less dry width", swing, 0.0, 0.9, "", "beyond any wood")
    still = swing == 0
    widest = np.where(spare >= -_EXACT, np.inf, -np.inf)
    return unwrap(np.where(still, widest, spare / np.where(still, 1.0, swing)))


def face_range(
    pitch: ArrayLike, reach: ArrayLike, dry: ArrayLike, wet: ArrayLike, clearances: Clearances
) -> tuple[Quantity, Quantity]:
    """The narrowest and the widest face at a pitch [mm]; the first above the second where no face works."""
    p, t = floats(pitch), clearances.tolerance
    narrowest = (p - floats(reach) + clearances.engagement + t) / floats(dry)
    widest = (p - clearances.gap - t) / floats(wet)
    return unwrap(narrowest), unwrap(widest)


def fewest_boards(
    opening: ArrayLike, face: ArrayLike, hold: BoardHold, wet: ArrayLike, clearances: Clearances
) -> Quantity:
    """The fewest equal boards, none of a wider face than this, that fill an opening with the least gap.

    Parameters
    ----------
    opening, face : float or ndarray
        [mm], within `OPENING` and `FACE`; they and wet broadcast together.
    hold : str
        ``centred`` or ``one edge``.
    wet : float or ndarray
        ρ_w [-].
    clearances : Clearances
        The least gap and the making tolerance.

    Returns
    -------
    float or ndarray
        A whole number.

    Raises
    ------
    RangeError
        Opening or face out of range, or more boards than `BOARDS`.

    Example
    -------
    >>> fewest_boards(800.0, 100.0, "centred", 1.008, Clearances(3.0, 0.5, 0.0))  # (800 - 0.5)/(100 + 1.3) = 7.9
    8.0
    """
    require_range("opening", opening, *OPENING, "mm")
    require_range("board face", face, *FACE, "mm")
    room = floats(opening) - _end_room(hold, clearances)
    b = floats(face)
    count = np.maximum(np.ceil(room / (b + floats(least_gap(b, wet, clearances))) - _EXACT), BOARDS[0])
    require_range("number of boards", count, *BOARDS)
    return unwrap(count)


def _share(profile: Profile) -> float:
    if profile not in PROFILES:
        raise ValueError(f"profile is {profile!r}; known are {', '.join(PROFILES)}")
    return 0.5 if profile == "loose tongue" else 1.0


def _end_room(hold: BoardHold, clearances: Clearances) -> float:
    """What the ends take of the opening beyond one gap per board [mm]."""
    if hold not in BOARD_HOLDS:
        raise ValueError(f"hold is {hold!r}; known for boards are {', '.join(BOARD_HOLDS)}")
    return clearances.gap if hold == "centred" else 0.0
