"""What the growth rings' direction does: the coefficient across a face, a board's place in the log, its cup."""

import numpy as np
from numpy.typing import ArrayLike

from movement.arrays import Floats, Quantity, floats, unwrap
from movement.errors import require_range
from movement.swelling import COEFFICIENT, START_OF_SHRINKAGE, size_ratio

# Limits of this model, ends included: our own. Places are in the log's cross-section, seen with the pith at the origin
# and the board's wide faces level, bark side up.
RING_ANGLE = (0.0, 90.0)  # degrees: 0 flat-sawn, 90 quarter-sawn
PLACE = (-2000.0, 2000.0)  # mm, sideways from the pith
HEIGHT = (0.0, 2000.0)  # mm, of a face above the pith
FACE_WIDTH = (1.0, 4000.0)  # mm
CUP_HEIGHT = (1.0, 2000.0)  # mm; a face through the pith splits there and has no smooth cup

_LIMITS_SOURCE = "limits of this model"


def width_coefficient(radial: ArrayLike, tangential: ArrayLike, ring_angle: ArrayLike) -> Quantity:
    """Movement coefficient across the wide face, with the rings at this angle to it.

    Notes
    -----
    C = C_T cos²a + C_R sin²a, the small-strain rotation. The exact length of a turned line differs from it by at most
    (S_T − S_R)²/8, nearly: green to oven-dry 0.03 percentage points where the two shrinkages differ by 5 points, 0.08
    where they differ by 7.4, the most in the tables; for a season's third of that moisture, a ninth as much.

    Parameters
    ----------
    radial, tangential : float or ndarray, broadcast together
        Movement coefficients [per 1 % MC], 0 to 0.01.
    ring_angle : float or ndarray, broadcast too
        Between the rings and the wide face [degrees], 0 (flat-sawn) to 90 (quarter-sawn).

    Returns
    -------
    float or ndarray, the broadcast shape
        Movement coefficient [per 1 % MC].

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    Rotation of a strain tensor, standard mechanics (derived).

    Example
    -------
    >>> round(width_coefficient(0.00126, 0.00248, 45), 5)  # black cherry, rift-sawn
    0.00187
    """
    require_range("ring angle", ring_angle, *RING_ANGLE, "°", _LIMITS_SOURCE)
    return _mixed(radial, tangential, np.cos(np.radians(ring_angle)) ** 2)


def thickness_coefficient(radial: ArrayLike, tangential: ArrayLike, ring_angle: ArrayLike) -> Quantity:
    """Movement coefficient through the thickness, with the rings at this angle to the wide face.

    Notes
    -----
    C = C_R cos²a + C_T sin²a: what `width_coefficient` leaves of C_R + C_T.

    Parameters
    ----------
    radial, tangential, ring_angle
        As in `width_coefficient` [per 1 % MC, per 1 % MC, degrees].

    Returns
    -------
    float or ndarray, the broadcast shape
        Movement coefficient [per 1 % MC].

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    As `width_coefficient` (derived).
    """
    require_range("ring angle", ring_angle, *RING_ANGLE, "°", _LIMITS_SOURCE)
    return _mixed(radial, tangential, np.sin(np.radians(ring_angle)) ** 2)


def ring_angle_at(height: ArrayLike, across: ArrayLike) -> Quantity:
    """Ring angle at one point of a face.

    Notes
    -----
    Rings are circles about the pith: a = atan(|x|/h). Straight above the pith the face is flat-sawn; far to its side it
    nears quarter-sawn.

    Parameters
    ----------
    height : float or ndarray, any shape
        Of the face above the pith [mm], 1 to 2000.
    across : float or ndarray, broadcast with height
        Of the point, sideways from the pith [mm], −2000 to 2000.

    Returns
    -------
    float or ndarray, the broadcast shape
        Between the ring and the face [degrees].

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    Geometry of concentric circles (derived).

    Example
    -------
    >>> round(ring_angle_at(100, 100), 6)
    45.0
    """
    require_range("height above the pith", height, *CUP_HEIGHT, "mm", _LIMITS_SOURCE)
    require_range("place beside the pith", across, *PLACE, "mm", _LIMITS_SOURCE)
    return unwrap(np.degrees(np.arctan2(np.abs(across), height)))


def board_coefficient(
    radial: ArrayLike, tangential: ArrayLike, height: ArrayLike, left: ArrayLike, right: ArrayLike
) -> Quantity:
    """Mean movement coefficient across a face, from its place in the log.

    Notes
    -----
    The mean of C_T cos²a + C_R sin²a over the face, with a from `ring_angle_at`:
    C_R + (C_T − C_R) (h/w) [atan(x₂/h) − atan(x₁/h)], w = x₂ − x₁. A face through the pith (h = 0) is quarter-sawn:
    C_R. Take the height at mid-thickness for a whole board.

    Parameters
    ----------
    radial, tangential : float or ndarray, broadcast together
        Movement coefficients [per 1 % MC], 0 to 0.01.
    height : float or ndarray, broadcast too
        Of the face above the pith [mm], 0 to 2000.
    left, right : float or ndarray, broadcast too
        Of the face's edges, sideways from the pith [mm], −2000 to 2000, right at least 1 mm more than left.

    Returns
    -------
    float or ndarray, the broadcast shape
        Movement coefficient [per 1 % MC].

    Raises
    ------
    RangeError
        If an argument is outside its range, or right is not to the right of left.

    Source
    ------
    Integral of the small-strain rotation over the face (derived).

    Example
    -------
    >>> round(board_coefficient(0.00126, 0.00248, 100, -75, 75), 5)
    0.00231
    """
    return _mixed(radial, tangential, _tangential_share(height, left, right))


def equivalent_ring_angle(height: ArrayLike, left: ArrayLike, right: ArrayLike) -> Quantity:
    """The one ring angle that moves a face as much as its place in the log does.

    Notes
    -----
    cos²a = (h/w) [atan(x₂/h) − atan(x₁/h)], so `width_coefficient` at this angle equals `board_coefficient`, whatever
    the species.

    Parameters
    ----------
    height, left, right
        As in `board_coefficient` [mm].

    Returns
    -------
    float or ndarray, the broadcast shape
        Ring angle [degrees], 0 to 90.

    Raises
    ------
    RangeError
        If an argument is outside its range, or right is not to the right of left.

    Source
    ------
    As `board_coefficient` (derived).

    Example
    -------
    >>> round(equivalent_ring_angle(100, -75, 75), 1)
    22.1
    """
    share = _tangential_share(height, left, right)
    return unwrap(np.degrees(np.arctan2(np.sqrt(1 - share), np.sqrt(share))))


def cup_depth(
    radial: ArrayLike,
    tangential: ArrayLike,
    moisture_from: ArrayLike,
    moisture_to: ArrayLike,
    width: ArrayLike,
    height: ArrayLike,
    start_of_shrinkage: ArrayLike = START_OF_SHRINKAGE,
) -> Quantity:
    """How far a face of a free flat-sawn board bows, from the line between its edges to its middle.

    Notes
    -----
    Radii scale by ρ_R and angles about the pith by k = ρ_T/ρ_R, with ρ = `size_ratio` in each direction. The edge, at
    r = √(h² + w²/4) and p = atan(w/2h), comes to ρ_R r cos(k p) and the middle to ρ_R h:
    cup = ρ_R [r cos(k p) − h], near (ρ_R − ρ_T) w²/(4h) for a narrow face. This shape is free of stress, so it
    holds for every width as long as the board does not contain the pith and is at one moisture throughout. A board held
    in a groove or fixed to a batten bows less. The mean strains of the two faces alone do not give the cup: most of it
    comes from the shear that turned rings carry.

    Parameters
    ----------
    radial, tangential : float or ndarray, broadcast together
        Movement coefficients [per 1 % MC], 0 to 0.01.
    moisture_from, moisture_to : float or ndarray, broadcast too
        MC when the face was planed flat, and after [%], 0 to 200.
    width : float or ndarray, broadcast too
        Of the face, with its middle over the pith [mm], 1 to 4000.
    height : float or ndarray, broadcast too
        Of the face above the pith [mm], 1 to 2000.
    start_of_shrinkage : float or ndarray, broadcast too
        MC below which the wood shrinks [%], 20 to 40.

    Returns
    -------
    float or ndarray, the broadcast shape
        Depth of the cup [mm]: positive when the side towards the bark turns concave, as on drying, negative when it
        turns convex, as on wetting. Both faces bow the same way.

    Raises
    ------
    RangeError
        If an argument is outside its range.

    Source
    ------
    Exact polar geometry of uniform radial and tangential shrinkage (derived).

    Example
    -------
    >>> round(cup_depth(0.00126, 0.00248, 10, 7, width=150, height=100), 2)  # black cherry
    0.18
    """
    _require_coefficients(radial, tangential)
    require_range("width", width, *FACE_WIDTH, "mm", _LIMITS_SOURCE)
    require_range("height above the pith", height, *CUP_HEIGHT, "mm", _LIMITS_SOURCE)
    ratio_radial = floats(size_ratio(radial, moisture_from, moisture_to, start_of_shrinkage))
    ratio_tangential = floats(size_ratio(tangential, moisture_from, moisture_to, start_of_shrinkage))
    half = floats(width) / 2
    angle = np.arctan2(half, height)
    turned = angle * (ratio_tangential / ratio_radial)
    # cos(turned) − cos(angle) as a product: exactly 0 when both directions move alike
    rise = 2 * np.sin((angle + turned) / 2) * np.sin((angle - turned) / 2)
    return unwrap(ratio_radial * np.hypot(half, height) * rise)


def _require_coefficients(radial: ArrayLike, tangential: ArrayLike) -> None:
    require_range("radial coefficient", radial, *COEFFICIENT, "per 1 % MC", _LIMITS_SOURCE)
    require_range("tangential coefficient", tangential, *COEFFICIENT, "per 1 % MC", _LIMITS_SOURCE)


def _mixed(radial: ArrayLike, tangential: ArrayLike, share: ArrayLike) -> Quantity:
    """Coefficient between the two, with this share of tangential movement."""
    _require_coefficients(radial, tangential)
    part = floats(share)
    return unwrap(floats(tangential) * part + floats(radial) * (1 - part))


def _tangential_share(height: ArrayLike, left: ArrayLike, right: ArrayLike) -> Floats:
    """Mean cos² of the ring angle over a face, 0 to 1."""
    require_range("height above the pith", height, *HEIGHT, "mm", _LIMITS_SOURCE)
    require_range("left edge", left, *PLACE, "mm", _LIMITS_SOURCE)
    require_range("right edge", right, *PLACE, "mm", _LIMITS_SOURCE)
    h, x1, x2 = floats(height), floats(left), floats(right)
    width = x2 - x1
    require_range("width from left to right edge", width, *FACE_WIDTH, "mm", _LIMITS_SOURCE)
    seen_angle = np.arctan2(h * width, h * h + x1 * x2)  # atan(x₂/h) − atan(x₁/h) without cancellation
    return np.minimum(h / width * seen_angle, 1)  # a last-digit rounding above 1, never more
