import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from movement import slab
from movement.errors import RangeError
from movement.settling import FRACTION, days_to_fraction, days_to_within, settling


@hypothesis_settings(deadline=None)
@given(
    st.floats(*FRACTION),
    st.floats(*slab.THICKNESS),
    st.floats(*slab.DIFFUSION_LIMITS),
    st.none() | st.floats(*slab.FILM_LIMITS),
)
def test_days_undo_the_step_response(fraction: float, thickness: float, diffusion: float, film: float | None) -> None:
    days = days_to_fraction(fraction, thickness, diffusion, film)
    assert slab.step_response(thickness, diffusion, film, days) == pytest.approx(fraction, abs=1e-10)


def test_no_change_takes_no_time() -> None:
    assert days_to_fraction(0.0, 20.0, 6.3e-11) == 0.0


@pytest.mark.parametrize("fraction", [-0.01, 1.0, np.nan])
def test_the_whole_change_is_refused(fraction: float) -> None:
    with pytest.raises(RangeError, match="part of the change"):
        days_to_fraction(fraction, 20.0, 6.3e-11)


def test_scalars_give_floats_and_arrays_equal_them() -> None:
    alone = days_to_fraction(0.9, 20.0, 2e-11, 5e-7)
    assert type(alone) is float
    grid = np.asarray(days_to_fraction([0.5, 0.9], np.array([[12.0], [20.0]]), 2e-11, 5e-7))
    assert grid.shape == (2, 2)
    assert grid[1, 1] == pytest.approx(alone, rel=1e-12)
    assert np.shape(days_to_fraction([], 20.0, 2e-11)) == (0,)


def test_settling_gives_half_and_nine_tenths() -> None:
    half, ninety = settling([12.0, 20.0], 6.3e-11, 5e-7)
    assert slab.step_response([12.0, 20.0], 6.3e-11, 5e-7, half) == pytest.approx([0.5, 0.5], abs=1e-12)
    assert slab.step_response([12.0, 20.0], 6.3e-11, 5e-7, ninety) == pytest.approx([0.9, 0.9], abs=1e-12)


def test_one_face_covered_takes_four_times_as_long() -> None:
    both, one = settling(20.0, 6.3e-11), settling(20.0, 6.3e-11, faces=1)
    assert np.array(one) == pytest.approx(4 * np.array(both), rel=1e-12)


@pytest.mark.parametrize("start", [12.0, 4.0])
def test_within_a_distance_on_the_way_up_or_down(start: float) -> None:
    days = days_to_within(0.5, start, 8.0, 20.0, 6.3e-11, 5e-7)
    mean = slab.mean_moisture(20.0, 6.3e-11, 5e-7, start, 8.0, days)
    assert abs(float(mean) - 8.0) == pytest.approx(0.5, abs=1e-10)


def test_a_panel_that_is_near_enough_waits_no_longer() -> None:
    assert days_to_within(0.5, [8.4, 8.5, 8.0], 8.0, 20.0, 6.3e-11).tolist() == [0.0, 0.0, 0.0]  # type: ignore[union-attr]


def test_distance_and_moisture_past_the_limits_are_refused() -> None:
    with pytest.raises(RangeError, match="distance"):
        days_to_within(0.0, 12.0, 8.0, 20.0, 6.3e-11)
    with pytest.raises(RangeError, match="moisture content at the start"):
        days_to_within(0.5, 31.0, 8.0, 20.0, 6.3e-11)
    with pytest.raises(RangeError, match="EMC of the air"):
        days_to_within(0.5, 12.0, 31.0, 20.0, 6.3e-11)
