"""Cup and turned rings against figures computed for this project from published coefficients, and exact geometry.

Marks: derived = computed from published figures by standard mechanics, no published table of cup depths is quoted.
"""

import numpy as np
import pytest

from movement import tables
from movement.grain import cup_depth, thickness_coefficient, width_coefficient

# red maple: Wood Handbook, FPL-GTR-190, Table 13-5 (seen)
RADIAL, TANGENTIAL = 0.00137, 0.00289


@pytest.mark.parametrize(("height", "printed"), [(200, 0.122), (100, 0.220), (50, 0.336)])
def test_red_maple_cups_as_computed(height: float, printed: float) -> None:
    # 150 mm wide, 3 points drier (derived)
    assert float(cup_depth(RADIAL, TANGENTIAL, 10, 7, 150, height)) == pytest.approx(printed, abs=0.0005)


def test_small_strain_rotation_and_exact_line_length_hardly_differ() -> None:
    # Exact shrinkage of a line turned by t from the radial: 1 − √(((1−S_R) cos t)² + ((1−S_T) sin t)²) (derived).
    # Red maple, S 4.0 and 8.2 % (from memory), green to oven-dry: at most about 0.03 points.
    assert largest_difference(np.array([4.0]), np.array([8.2])).item() < 0.03


def test_the_difference_of_every_wood_is_the_square_of_its_anisotropy() -> None:
    # (S_T − S_R)²/8 over the mean shrunk length (derived); S of Wood Handbook, FPL-GTR-190, Tables 4-3 and 4-4. It
    # passes 0.03 points for the woods whose two shrinkages differ by nearly 5 points: 0.075 for overcup oak, the most.
    woods = [
        wood
        for wood in tables.read("species_handbook").records
        if wood.shrinkage_radial_pct is not None and wood.shrinkage_tangential_pct is not None
    ]
    radial = np.array([wood.shrinkage_radial_pct for wood in woods])
    tangential = np.array([wood.shrinkage_tangential_pct for wood in woods])
    difference = largest_difference(radial, tangential)
    expected = (tangential - radial) ** 2 / 8 / (100 - (radial + tangential) / 2)
    np.testing.assert_allclose(difference, expected, rtol=0.002)
    assert woods[int(difference.argmax())].name == "Oak, white: overcup"
    assert difference.max() == pytest.approx(0.075, abs=0.0005)
    assert difference[tangential - radial < 4.6].max() < 0.03


def largest_difference(radial: np.ndarray, tangential: np.ndarray) -> np.ndarray:
    """Largest difference of the two over all ring angles, percentage points, for shrinkages in %."""
    angle = np.linspace(0, 90, 901)[:, None]
    turned = np.radians(90 - angle)  # of the face from the radial direction
    exact = 100 - np.hypot((100 - radial) * np.cos(turned), (100 - tangential) * np.sin(turned))
    share = np.asarray(width_coefficient(0, 0.01, angle)) / 0.01  # tangential share of the small-strain rotation
    return np.abs(exact - (radial + (tangential - radial) * share)).max(axis=0)


def test_ordinary_boards_move_less_in_width_and_more_in_thickness_than_pure_values() -> None:
    # Wood Handbook, FPL-GTR-190, ch. 13: pure tangential or radial values overestimate the width change and
    # underestimate the thickness change of ordinary boards (seen)
    angle = np.linspace(1, 89, 89)
    assert (np.asarray(width_coefficient(RADIAL, TANGENTIAL, angle)) < TANGENTIAL).all()
    assert (np.asarray(thickness_coefficient(RADIAL, TANGENTIAL, angle)) > RADIAL).all()
