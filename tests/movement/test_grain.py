"""Ring angle, place in the log and cup: against quadrature, the polar map itself, and their limits."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from movement.errors import RangeError
from movement.grain import (
    CUP_HEIGHT,
    FACE_WIDTH,
    HEIGHT,
    PLACE,
    RING_ANGLE,
    board_coefficient,
    cup_depth,
    equivalent_ring_angle,
    ring_angle_at,
    thickness_coefficient,
    width_coefficient,
)
from movement.swelling import COEFFICIENT, size_ratio

RADIAL, TANGENTIAL = 0.00126, 0.00248  # black cherry: Wood Handbook, FPL-GTR-190, Table 13-5 (seen)

coefficients = st.floats(*COEFFICIENT)
angles = st.floats(*RING_ANGLE)
heights = st.floats(*CUP_HEIGHT)
places = st.floats(-500, 500)
widths = st.floats(1.001, 500)


@settings(deadline=None)  # no timed test
@given(coefficients, coefficients)
def test_flat_sawn_moves_by_the_tangential_and_quarter_sawn_by_the_radial(radial: float, tangential: float) -> None:
    assert width_coefficient(radial, tangential, 0) == tangential
    assert width_coefficient(radial, tangential, 90) == pytest.approx(radial, rel=1e-14, abs=1e-18)
    assert thickness_coefficient(radial, tangential, 0) == radial
    assert thickness_coefficient(radial, tangential, 90) == pytest.approx(tangential, rel=1e-14, abs=1e-18)


@settings(deadline=None)  # no timed test
@given(coefficients, coefficients)
def test_rift_sawn_moves_by_the_mean_of_the_two(radial: float, tangential: float) -> None:
    assert width_coefficient(radial, tangential, 45) == pytest.approx((radial + tangential) / 2, rel=1e-14)


@settings(deadline=None)  # no timed test
@given(coefficients, coefficients, angles)
def test_width_and_thickness_share_the_two_coefficients(radial: float, tangential: float, angle: float) -> None:
    across = float(width_coefficient(radial, tangential, angle))
    through = float(thickness_coefficient(radial, tangential, angle))
    assert across + through == pytest.approx(radial + tangential, rel=1e-14, abs=1e-18)


@settings(deadline=None)  # no timed test
@given(coefficients, coefficients, angles)
def test_thickness_is_the_width_of_the_board_turned_on_edge(radial: float, tangential: float, angle: float) -> None:
    through = float(thickness_coefficient(radial, tangential, angle))
    assert through == pytest.approx(float(width_coefficient(radial, tangential, 90 - angle)), rel=1e-12, abs=1e-17)


@settings(deadline=None)  # no timed test
@given(coefficients, coefficients, angles, angles)
def test_steeper_rings_never_move_more(one: float, other: float, first: float, second: float) -> None:
    radial, tangential = sorted((one, other))
    low, high = sorted((first, second))
    flat = float(width_coefficient(radial, tangential, low))
    assert float(width_coefficient(radial, tangential, high)) <= flat + 1e-17


@settings(deadline=None)  # no timed test
@given(heights, places)
def test_the_ring_angle_is_the_slope_of_a_circle(height: float, across: float) -> None:
    angle = float(ring_angle_at(height, across))
    assert np.tan(np.radians(angle)) == pytest.approx(abs(across) / height, rel=1e-9, abs=1e-12)


def test_the_ring_angle_is_flat_above_the_pith_and_the_same_on_both_sides() -> None:
    assert ring_angle_at(80, 0) == 0
    assert ring_angle_at(80, -60) == ring_angle_at(80, 60)


@settings(deadline=None)  # no timed test
@given(st.floats(5, 500), places, st.floats(5, 500))
def test_a_board_has_the_mean_of_its_points(height: float, left: float, width: float) -> None:
    def coefficient_at(across: float) -> float:
        return float(width_coefficient(RADIAL, TANGENTIAL, ring_angle_at(height, across)))

    area, _ = quad(coefficient_at, left, left + width, points=[0.0] if left < 0 < left + width else None, limit=200)
    assert board_coefficient(RADIAL, TANGENTIAL, height, left, left + width) == pytest.approx(area / width, rel=1e-7)


@settings(deadline=None)  # no timed test
@given(heights, places, widths)
def test_a_board_lies_between_radial_and_tangential(height: float, left: float, width: float) -> None:
    assert RADIAL <= float(board_coefficient(RADIAL, TANGENTIAL, height, left, left + width)) <= TANGENTIAL


@settings(deadline=None)  # no timed test
@given(heights, places, widths)
def test_a_mirrored_board_moves_the_same(height: float, left: float, width: float) -> None:
    right = left + width
    here = float(board_coefficient(RADIAL, TANGENTIAL, height, left, right))
    assert board_coefficient(RADIAL, TANGENTIAL, height, -right, -left) == pytest.approx(here, rel=1e-12)


@settings(deadline=None)  # no timed test
@given(heights, heights, widths)
def test_a_board_further_from_the_pith_is_more_flat_sawn(one: float, other: float, width: float) -> None:
    low, high = sorted((one, other))
    near = float(board_coefficient(RADIAL, TANGENTIAL, low, -width / 2, width / 2))
    assert float(board_coefficient(RADIAL, TANGENTIAL, high, -width / 2, width / 2)) >= near - 1e-17


@pytest.mark.parametrize(("left", "right"), [(-100, 100), (0, 100), (50, 150), (-150, -50)])
def test_a_board_through_the_pith_is_quarter_sawn(left: float, right: float) -> None:
    assert board_coefficient(RADIAL, TANGENTIAL, 0, left, right) == RADIAL
    assert equivalent_ring_angle(0, left, right) == 90
    assert board_coefficient(RADIAL, TANGENTIAL, 1e-6, left, right) == pytest.approx(RADIAL, rel=1e-6)


def test_a_narrow_board_is_its_middle_point() -> None:
    here = float(width_coefficient(RADIAL, TANGENTIAL, ring_angle_at(200, 150.5)))
    assert board_coefficient(RADIAL, TANGENTIAL, 200, 150, 151) == pytest.approx(here, rel=1e-5)


@settings(deadline=None)  # no timed test
@given(coefficients, coefficients, heights, places, widths)
def test_the_equivalent_ring_angle_moves_as_the_board_does(
    radial: float, tangential: float, height: float, left: float, width: float
) -> None:
    angle = equivalent_ring_angle(height, left, left + width)
    board = float(board_coefficient(radial, tangential, height, left, left + width))
    assert width_coefficient(radial, tangential, angle) == pytest.approx(board, rel=1e-11, abs=1e-16)


@settings(deadline=None)  # no timed test
@given(heights, places, widths)
def test_the_equivalent_ring_angle_lies_between_those_of_the_face(height: float, left: float, width: float) -> None:
    points = np.asarray(ring_angle_at(height, np.linspace(left, left + width, 2001)))
    angle = float(equivalent_ring_angle(height, left, left + width))
    assert points.min() - 1e-5 <= angle <= points.max() + 1e-5


def polar_map(point: complex, ratio_radial: float, ratio_tangential: float) -> complex:
    """Where a point goes when radii scale by the radial ratio and circles by the tangential; the pith at 0."""
    return ratio_radial * abs(point) * (point / abs(point)) ** (ratio_tangential / ratio_radial)


@settings(deadline=None)  # no timed test
@given(coefficients, coefficients, st.floats(0, 40), st.floats(0, 40), widths, heights)
def test_cup_is_what_the_polar_map_does_to_a_flat_face(
    radial: float, tangential: float, before: float, after: float, width: float, height: float
) -> None:
    ratios = float(size_ratio(radial, before, after)), float(size_ratio(tangential, before, after))
    edge = polar_map(complex(height, width / 2), *ratios)  # real axis towards the bark
    middle = polar_map(complex(height, 0), *ratios)
    expected = edge.real - middle.real
    assert cup_depth(radial, tangential, before, after, width, height) == pytest.approx(expected, abs=1e-9)


@settings(deadline=None)  # no timed test
@given(st.floats(20, 500), st.floats(20, 500), st.floats(-5, 5))
def test_cup_is_the_integral_of_the_small_strains(width: float, height: float, change: float) -> None:
    # v'' = ∂γ/∂x − ∂ε_xx/∂y along the face, for uniform strains along and round the rings
    difference = (RADIAL - TANGENTIAL) * change

    def curvature(x: float) -> float:
        r2 = x * x + height * height
        shear = 2 * difference * height * (height**2 - x * x) / r2**2
        stretch = 2 * difference * height * x * x / r2**2  # ∂/∂y of ε_xx = ε_T + (ε_R − ε_T) x²/r², sign turned
        return shear + stretch

    half = width / 2
    rise, _ = quad(lambda x: curvature(x) * (half - x), 0, half)
    exact = float(cup_depth(RADIAL, TANGENTIAL, 10, 10 + change, width, height))
    assert exact == pytest.approx(rise, rel=0.02, abs=1e-9)


def test_a_narrow_face_cups_by_the_short_formula() -> None:
    exact = float(cup_depth(RADIAL, TANGENTIAL, 10, 7, width=20, height=200))
    assert exact == pytest.approx(3 * (TANGENTIAL - RADIAL) * 20**2 / (4 * 200), rel=0.005)


def test_the_bark_side_turns_concave_on_drying_and_convex_on_wetting() -> None:
    assert float(cup_depth(RADIAL, TANGENTIAL, 12, 6, 150, 100)) > 0
    assert float(cup_depth(RADIAL, TANGENTIAL, 6, 12, 150, 100)) < 0


@settings(deadline=None)  # no timed test
@given(coefficients, st.floats(0, 200), st.floats(0, 200))
def test_equal_coefficients_do_not_cup(coefficient: float, before: float, after: float) -> None:
    assert cup_depth(coefficient, coefficient, before, after, 150, 100) == 0


@settings(deadline=None)  # no timed test
@given(coefficients, coefficients, st.floats(0, 200))
def test_no_change_is_no_cup(radial: float, tangential: float, moisture: float) -> None:
    assert cup_depth(radial, tangential, moisture, moisture, 150, 100) == 0


def test_no_cup_above_the_start_of_shrinkage() -> None:
    assert cup_depth(RADIAL, TANGENTIAL, 60, 30, 150, 100) == 0
    assert float(cup_depth(RADIAL, TANGENTIAL, 30, 22, 150, 100)) > 0
    assert cup_depth(RADIAL, TANGENTIAL, 30, 22, 150, 100, start_of_shrinkage=22) == 0


@settings(deadline=None)  # no timed test
@given(widths, widths, heights)
def test_a_wider_face_cups_more(one: float, other: float, height: float) -> None:
    narrow, wide = sorted((one, other))
    assume(wide > narrow * 1.001)
    cups = [float(cup_depth(RADIAL, TANGENTIAL, 12, 6, width, height)) for width in (narrow, wide)]
    assert 0 < cups[0] < cups[1]


@settings(deadline=None)  # no timed test
@given(heights, heights)
def test_a_face_nearer_the_pith_cups_more(one: float, other: float) -> None:
    near, far = sorted((one, other))
    assume(far > near * 1.001)
    cups = [float(cup_depth(RADIAL, TANGENTIAL, 12, 6, 150, height)) for height in (near, far)]
    assert cups[0] > cups[1] > 0


def test_an_array_gives_what_its_elements_give() -> None:
    rng = np.random.default_rng(2)
    radial, tangential = rng.uniform(*COEFFICIENT, (2, 40))
    angle, height, left, width = (rng.uniform(*limits, 40) for limits in ((0, 90), (1, 500), (-200, 200), (1, 300)))
    before, after = rng.uniform(0, 40, (2, 40))
    cases: list[tuple[Callable[..., Any], tuple[np.ndarray, ...]]] = [
        (width_coefficient, (radial, tangential, angle)),
        (thickness_coefficient, (radial, tangential, angle)),
        (ring_angle_at, (height, left)),
        (board_coefficient, (radial, tangential, height, left, left + width)),
        (equivalent_ring_angle, (height, left, left + width)),
        (cup_depth, (radial, tangential, before, after, width, height)),
    ]
    for function, arguments in cases:
        one_by_one = [function(*row) for row in zip(*arguments, strict=True)]
        assert {type(value) for value in one_by_one} == {float}
        np.testing.assert_array_max_ulp(np.asarray(function(*arguments)), np.array(one_by_one), maxulp=4)


def test_shapes_broadcast() -> None:
    months = np.linspace(6, 12, 12)
    assert np.shape(cup_depth(RADIAL, TANGENTIAL, 8, months, [[150], [200]], 100)) == (2, 12)
    assert np.shape(board_coefficient(RADIAL, TANGENTIAL, [50, 100], -75, [[50], [75], [100]])) == (3, 2)


BOARD = {"radial": RADIAL, "tangential": TANGENTIAL, "height": 100.0, "left": -500.0, "right": 500.0}
CUP = {
    "radial": RADIAL,
    "tangential": TANGENTIAL,
    "moisture_from": 10.0,
    "moisture_to": 7.0,
    "width": 150.0,
    "height": 100.0,
}
RIFT = {"radial": RADIAL, "tangential": TANGENTIAL, "ring_angle": 45.0}


@pytest.mark.parametrize(
    ("function", "accepted", "name", "limits"),
    [
        (width_coefficient, RIFT, "radial", COEFFICIENT),
        (width_coefficient, RIFT, "tangential", COEFFICIENT),
        (width_coefficient, RIFT, "ring_angle", RING_ANGLE),
        (thickness_coefficient, RIFT, "ring_angle", RING_ANGLE),
        (ring_angle_at, {"height": 100.0, "across": 0.0}, "height", CUP_HEIGHT),
        (ring_angle_at, {"height": 100.0, "across": 0.0}, "across", PLACE),
        (board_coefficient, BOARD, "radial", COEFFICIENT),
        (board_coefficient, BOARD, "height", HEIGHT),
        (board_coefficient, BOARD | {"right": 2000.0}, "left", (PLACE[0], 1999.0)),
        (board_coefficient, BOARD | {"left": -2000.0}, "right", (-1999.0, PLACE[1])),
        (cup_depth, CUP, "tangential", COEFFICIENT),
        (cup_depth, CUP, "moisture_from", (0.0, 200.0)),
        (cup_depth, CUP, "width", FACE_WIDTH),
        (cup_depth, CUP, "height", CUP_HEIGHT),
    ],
)
def test_the_limits_are_taken_and_what_lies_past_them_is_refused(
    function: Callable[..., Any], accepted: dict[str, float], name: str, limits: tuple[float, float]
) -> None:
    for inside in limits:
        assert np.isfinite(function(**(accepted | {name: inside})))
    for outside in (limits[0] - 1e-6, limits[1] + 1e-6, np.nan, np.inf):
        with pytest.raises(RangeError):
            function(**(accepted | {name: outside}))


def test_edges_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(RangeError, match="width from left to right edge is -150 mm"):
        board_coefficient(RADIAL, TANGENTIAL, 100, 75, -75)
    with pytest.raises(RangeError, match="width from left to right edge"):
        equivalent_ring_angle(100, [0, 75], [50, 75])


@pytest.mark.parametrize(
    ("function", "accepted"), [(width_coefficient, RIFT), (thickness_coefficient, RIFT), (cup_depth, CUP)]
)
@pytest.mark.parametrize("name", ["radial", "tangential"])
def test_the_error_names_the_coefficient_that_is_out_of_range(
    function: Callable[..., Any], accepted: dict[str, float], name: str
) -> None:
    with pytest.raises(RangeError) as refused:
        function(**(accepted | {name: 0.02}))
    assert refused.value.name == f"{name} coefficient"
