import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from movement import slab
from movement.errors import RangeError

RESISTANCES = np.array([0.0, 1e-9, 1e-3, 0.1, 1.0, 30.0, 1e3, 1e6])
thicknesses = st.floats(*slab.THICKNESS)
diffusions = st.floats(*slab.DIFFUSION_LIMITS)
films = st.none() | st.floats(*slab.FILM_LIMITS)
moistures = st.floats(*slab.MOISTURE)


def full_series(tau: float, resistance: float) -> float:
    """Crank's eq. 4.53 with so many terms that the last ones no longer count."""
    beta = slab.roots(resistance, 4000)
    biot = 1 / resistance if resistance else np.inf
    share = 2 / beta**2 if np.isinf(biot) else 2 * biot**2 / (beta**2 * (beta**2 + biot**2 + biot))
    return float(1 - np.sum(share * np.exp(-(beta**2) * tau)))


def test_roots_satisfy_their_equation_one_in_each_interval() -> None:
    beta = slab.roots(RESISTANCES, 40)
    order = np.arange(40)[:, None]
    assert np.all((beta > order * np.pi) & (beta <= (order + 0.5) * np.pi))
    residual = (RESISTANCES * beta * np.sin(beta) - np.cos(beta)) / np.hypot(1, RESISTANCES * beta)
    assert np.abs(residual).max() < 1e-12


def test_roots_of_a_held_face_are_odd_halves_of_pi() -> None:
    assert slab.roots(0.0, 3) == pytest.approx([np.pi / 2, 3 * np.pi / 2, 5 * np.pi / 2], rel=1e-15)


def test_negative_resistance_is_refused() -> None:
    with pytest.raises(RangeError, match="film resistance"):
        slab.roots(-0.1, 3)


def test_shares_of_the_modes_add_up_to_the_whole() -> None:
    shares = slab.weights(slab.roots(RESISTANCES, 20_000), RESISTANCES).sum(axis=0)
    assert shares == pytest.approx(np.ones(8), abs=2e-5)


@pytest.mark.parametrize("resistance", RESISTANCES)
@pytest.mark.parametrize("tau", [1e-4, 1e-2, 0.029999, 0.030001, 0.3, 3.0])
def test_short_and_long_times_agree_with_the_full_series(tau: float, resistance: float) -> None:
    r = np.array(resistance)
    assert slab.step_fraction(np.array(tau), r, *slab.series(r)) == pytest.approx(
        full_series(tau, resistance), abs=1e-12
    )


@settings(deadline=None)
@given(thicknesses, diffusions, films, st.floats(0, 1e6), st.floats(0, 1e6))
def test_the_change_only_grows_and_stays_within_its_bounds(
    thickness: float, diffusion: float, film: float | None, early: float, late: float
) -> None:
    early, late = sorted((early, late))
    first, second = np.asarray(slab.step_response(thickness, diffusion, film, [early, late]))
    assert 0 <= first <= second + 1e-12
    assert second <= 1


def test_nothing_has_changed_at_the_start() -> None:
    assert np.all(slab.step_response(20.0, 6.3e-11, [np.inf, 5e-7, 1e-10], 0.0) == 0)


def test_no_film_is_an_infinite_coefficient() -> None:
    assert slab.step_response(20.0, 6.3e-11, None, 5.0) == slab.step_response(20.0, 6.3e-11, np.inf, 5.0)


def test_a_film_slows_and_never_stops_the_change() -> None:
    slowed = np.asarray(slab.step_response(20.0, 6.3e-11, [np.inf, 5e-7, 2.1e-8, 8.5e-10], 14.0))
    assert np.all(np.diff(slowed) < 0)
    assert slab.step_response(20.0, 6.3e-11, 8.5e-10, 3650.0) > 0.99


def test_one_face_covered_acts_as_twice_the_thickness() -> None:
    days = np.linspace(0, 60, 7)
    for film in (None, 5.5e-9):
        covered = slab.step_response(12.0, 6.3e-11, film, days, faces=1)
        assert covered == pytest.approx(slab.step_response(24.0, 6.3e-11, film, days), rel=1e-14)
    quick = slab.step_response(12.0, 6.3e-11, None, days)
    assert slab.step_response(12.0, 6.3e-11, None, 4 * days, faces=1) == pytest.approx(quick, rel=1e-13)


def test_scalars_give_floats_and_arrays_equal_them() -> None:
    thickness, diffusion, film = [12.0, 20.0], [2e-11, 2e-10], [5e-7, np.inf]
    many = slab.step_response(thickness, diffusion, film, 10.0)
    alone = [slab.step_response(12.0, 2e-11, 5e-7, 10.0), slab.step_response(20.0, 2e-10, None, 10.0)]
    assert all(type(value) is float for value in alone)
    assert many == pytest.approx(alone, rel=1e-14)
    grid = slab.step_response(np.array([[12.0], [20.0]]), 2e-11, 5e-7, [0.1, 1.0, 10.0])
    assert np.shape(grid) == (2, 3)
    assert np.asarray(grid)[1] == pytest.approx(np.asarray(slab.step_response(20.0, 2e-11, 5e-7, [0.1, 1.0, 10.0])))


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((0.4, 6.3e-11, None, 1.0), "thickness"),
        ((300.1, 6.3e-11, None, 1.0), "thickness"),
        ((20.0, 0.9e-12, None, 1.0), "diffusion coefficient"),
        ((20.0, 1.1e-8, None, 1.0), "diffusion coefficient"),
        ((20.0, 6.3e-11, 0.9e-10, 1.0), "surface coefficient"),
        ((20.0, 6.3e-11, 1.1e-5, 1.0), "surface coefficient"),
        ((20.0, 6.3e-11, np.nan, 1.0), "surface coefficient"),
        ((20.0, 6.3e-11, -np.inf, 1.0), "surface coefficient"),
        ((20.0, 6.3e-11, None, -1.0), "time"),
    ],
)
def test_values_past_the_limits_are_refused(arguments: tuple[float, float, float | None, float], name: str) -> None:
    with pytest.raises(RangeError, match=name):
        slab.step_response(*arguments)


def test_a_panel_has_one_or_two_faces() -> None:
    with pytest.raises(ValueError, match="allowed is 1 or 2"):
        slab.step_response(20.0, 6.3e-11, None, 1.0, faces=3)


@settings(deadline=None)
@given(thicknesses, diffusions, films, moistures, moistures, st.floats(0, 1e5))
def test_mean_moisture_stays_between_start_and_air(
    thickness: float, diffusion: float, film: float | None, start: float, air: float, days: float
) -> None:
    mean = slab.mean_moisture(thickness, diffusion, film, start, air, days)
    assert min(start, air) - 1e-12 <= mean <= max(start, air) + 1e-12


@pytest.mark.parametrize("moisture", [-0.1, 30.1, np.nan])
def test_moisture_past_the_limits_is_refused(moisture: float) -> None:
    with pytest.raises(RangeError, match="moisture content at the start"):
        slab.mean_moisture(20.0, 6.3e-11, None, moisture, 8.0, 1.0)
    with pytest.raises(RangeError, match="EMC of the air"):
        slab.mean_moisture(20.0, 6.3e-11, None, 8.0, moisture, 1.0)


def test_slow_swings_are_followed_with_the_lag_of_film_and_thickness() -> None:
    """For ever slower swings the amplitude goes to 1 and the lag to L²/12D + L/2s."""
    amplitude, lag = slab.sine_response(19.0, 5e-11, 5.5e-9, 100_000.0)
    assert amplitude == pytest.approx(1, abs=1e-4)
    assert lag == pytest.approx((0.019**2 / 12 / 5e-11 + 0.019 / 2 / 5.5e-9) / 86_400, rel=1e-4)


def test_fast_swings_die_in_the_surface() -> None:
    amplitude, lag = slab.sine_response([12.0, 300.0], 6.3e-11, [5e-7, 1e-8], 0.01)
    assert np.all(np.asarray(amplitude) < 0.01)
    assert np.all(np.asarray(lag) > 0)


def test_swing_period_past_the_limits_is_refused() -> None:
    with pytest.raises(RangeError, match="period"):
        slab.sine_response(20.0, 6.3e-11, None, 0.0)


def test_diffusion_values_span_the_working_range() -> None:
    low, middle, high = slab.DIFFUSION.values()
    assert middle == pytest.approx(np.sqrt(low * high), rel=0.01)
