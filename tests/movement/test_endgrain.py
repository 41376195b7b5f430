"""A board's end grain: its rings from what the bench can measure, and what becomes of its section."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from movement import grain
from movement.arrays import floats
from movement.endgrain import (
    CHORD,
    RISE,
    Change,
    Heart,
    Straight,
    from_edges,
    near,
    require_clear,
    ring_radius,
    sawn,
)
from movement.errors import RangeError

DRIED = Change(0.996, 0.992)

offsets = st.floats(-400, 400)
depths = st.floats(20, 900)
widths = st.floats(20, 500)


def edges_of(heart: Heart, width: float) -> tuple[float, float, bool]:
    left, right = heart.angles(floats([-width / 2, width / 2])).tolist()
    return left, right, abs(heart.beside) < width / 2


@settings(deadline=None)  # no timed test
@given(depths, offsets, widths)
def test_the_angles_at_the_edges_lead_back_to_the_heart(below: float, beside: float, width: float) -> None:
    left, right, arched = edges_of(Heart(below, beside), width)
    assume(arched or abs(left - right) > 0.5)
    found = from_edges(width, left, right, arched)
    assert isinstance(found, Heart)
    assert found.below == pytest.approx(below, rel=1e-6)
    assert found.beside == pytest.approx(beside, abs=1e-4)


def test_equal_angles_that_lean_one_way_are_straight_rings() -> None:
    assert from_edges(100, 30, 30, arched=False) == Straight(30)
    assert from_edges(100, 0, 0, arched=True) == Straight(0)
    assert from_edges(100, 90, 90, arched=False) == Straight(90)


def test_angles_of_a_heart_far_away_are_straight_rings() -> None:
    assert from_edges(100, 44, 45, arched=False) == Straight(pytest.approx(44.5, abs=0.01))
    assert near(Heart(2000.0, 0.0), 100) == Heart(2000.0, 0.0)
    assert near(Heart(2001.0, 0.0), 100) == Straight(0.0)


def test_a_heart_under_one_edge_may_be_called_arched_or_leaning() -> None:
    assert from_edges(100, 0, 45, arched=True) == from_edges(100, 0, 45, arched=False) == Heart(100.0, -50.0)


@settings(deadline=None)  # no timed test
@given(st.floats(5, 500), st.floats(0.02, 1.0))
def test_a_ring_s_radius_is_that_of_its_circle(radius: float, half_turn: float) -> None:
    chord, rise = 2 * radius * math.sin(half_turn), radius * (1 - math.cos(half_turn))
    assume(CHORD[0] <= chord and RISE[0] <= rise)
    assert ring_radius(chord, rise) == pytest.approx(radius, rel=1e-6)


def test_a_half_circle_rises_by_its_radius() -> None:
    assert ring_radius(100, 50) == 50
    with pytest.raises(RangeError, match=r"ring rise is 50\.1 mm; allowed is 0\.1 to 50 mm"):
        ring_radius(100, 50.1)


@settings(deadline=None)  # no timed test
@given(depths, offsets, widths)
def test_one_ring_angle_stands_for_the_board(below: float, beside: float, width: float) -> None:
    heart = Heart(below, beside)
    left, right = -width / 2 - beside, width / 2 - beside
    mean = grain.board_coefficient(0.001, 0.003, below, left, right)
    assert grain.width_coefficient(0.001, 0.003, heart.equivalent(-width / 2, width / 2)) == pytest.approx(mean)


@settings(deadline=None)  # no timed test
@given(depths, offsets)
def test_a_far_heart_s_section_is_that_of_straight_rings(below: float, beside: float) -> None:
    """The same ring angle at the middle, the log a thousand times as large."""
    far = Heart(1000 * below, -1000 * abs(beside))
    straight = Straight(float(far.angles(floats(0.0))))
    points = np.array([-50 - 10j, 50 - 10j, 50 + 10j, -50 + 10j])
    here, there = (rings.moved(points, DRIED) for rings in (far, straight))
    one, other = (np.abs(shape[:, None] - shape[None, :]) for shape in (here, there))
    np.testing.assert_allclose(one, other, atol=0.002)


@pytest.mark.parametrize(("angle", "expected"), [(0.0, (99.2, 19.92)), (90.0, (99.6, 19.84)), (45.0, (99.400, 19.880))])
def test_straight_rings_change_width_and_thickness(angle: float, expected: tuple[float, float]) -> None:
    across, up = Straight(angle).moved(np.array([100 + 0j, 20j]), DRIED).tolist()
    assert (abs(across), abs(up)) == (pytest.approx(expected[0], abs=5e-4), pytest.approx(expected[1], abs=5e-4))


def test_no_change_leaves_every_point() -> None:
    points = np.array([-50 - 10j, 3 + 4j, 50 + 10j])
    same = Change(1.0, 1.0)
    heart = Heart(60, 20)
    np.testing.assert_allclose(heart.moved(points, same) + heart.beside - 1j * heart.below, points, atol=1e-12)
    np.testing.assert_allclose(Straight(33).moved(points, same), points, atol=1e-12)


@pytest.mark.parametrize(
    ("heart", "refused"),
    [
        (Heart(11.0), False),  # 1 mm below the board of 20 mm
        (Heart(10.9), True),
        (Heart(0.0, 50.1), False),  # beside a board 100 mm wide
        (Heart(0.0, 49.9), True),
        (Heart(-0.1, 200.0), True),
        (Heart(-30.0, 0.0), True),
    ],
)
def test_a_board_with_the_heart_in_it_or_upside_down_is_refused(heart: Heart, refused: bool) -> None:
    if refused:
        with pytest.raises(RangeError, match="depth of the heart below the bark side"):
            require_clear(heart, 100, 20)
    else:
        require_clear(heart, 100, 20)


def test_straight_rings_have_no_heart_in_the_board() -> None:
    require_clear(Straight(90), 100, 20)


@pytest.mark.parametrize(
    ("width", "left", "right"), [(9.9, 10, 10), (1501, 10, 10), (100, -0.1, 10), (100, 10, 90.1), (100, math.nan, 10)]
)
def test_what_is_out_of_range_is_refused(width: float, left: float, right: float) -> None:
    with pytest.raises(RangeError):
        from_edges(width, left, right, arched=True)


def test_a_cut_s_name_changes_at_its_bounds() -> None:
    assert [sawn(one, one) for one in (29.9, 30, 60, 60.1)] == ["flat-sawn", "rift-sawn", "rift-sawn", "quarter-sawn"]
    assert sawn(10, 80) == "flat-sawn to quarter-sawn"
