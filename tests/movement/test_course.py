from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from movement import slab
from movement.arrays import Floats
from movement.course import follow, periodic
from movement.errors import RangeError

DAY = 86_400.0
PANELS = [(12.7, 2e-11, None), (19.0, 5e-11, 5.5e-9), (25.4, 2e-11, 5e-7), (6.0, 2e-10, 2.1e-8)]


def finite_volumes(
    times: Floats, air: Floats, thickness: float, diffusion: float, film: float | None, start: float, cells: int = 400
) -> Floats:
    """The mean of the same slab by finite volumes over half its thickness, solved implicitly: no modes, no roots."""
    width = thickness / 2000 / cells
    conduct = np.full(cells + 1, diffusion / width)
    conduct[0] = 0.0  # the mid-plane
    conduct[-1] = 1 / (width / 2 / diffusion + (1 / film if film else 0.0))

    def rate(time: float, moisture: Floats) -> Floats:
        outside = np.interp(time, times, air)
        flow = conduct * np.diff(np.concatenate([moisture[:1], moisture, [outside]]))
        return np.diff(flow) / width * DAY

    moisture, means = np.full(cells, start), [start]
    for span in pairwise(times):  # piece by piece, so that no kink falls inside a step
        solved = solve_ivp(rate, span, moisture, method="LSODA", lband=1, uband=1, rtol=1e-8, atol=1e-9)
        assert solved.success
        moisture = solved.y[:, -1]
        means.append(float(moisture.mean()))
    return np.array(means)


@pytest.mark.parametrize("panel", PANELS, ids=str)
def test_finite_volumes_give_the_same_course(panel: tuple[float, float, float | None]) -> None:
    """An independent solution: agreement to the error of 400 cells."""
    times = np.array([0.0, 1.0, 4.0, 10.0, 11.0, 40.0, 90.0])
    air = np.array([9.0, 12.0, 12.0, 6.5, 8.0, 14.0, 7.0])
    expected = finite_volumes(times, air, *panel, start=9.0)
    assert follow(times, air, *panel) == pytest.approx(expected, abs=5e-5)


@pytest.mark.parametrize("panel", [*PANELS, (100.0, 2e-11, 5e-7), (300.0, 1e-12, None)], ids=str)
def test_a_day_after_a_step_the_mean_is_exact(panel: tuple[float, float, float | None]) -> None:
    days = np.array([0.0, 1.0, 2.0, 10.0, 100.0])
    found = follow(days, np.full(5, 30.0), *panel, start=0.0)
    assert found == pytest.approx(slab.mean_moisture(*panel, 0.0, 30.0, days), abs=1e-6)


def test_a_steady_rise_comes_out_exact_with_a_single_mode() -> None:
    """Once the start is forgotten the mean trails by L²/12D + L/2s."""
    times, air = np.array([0.0, 2000.0]), np.array([5.0, 15.0])
    found = follow(times, air, 12.0, 6.3e-11, 5e-8, modes=1)
    half, slope = 0.006, 10 / 2000 / DAY
    lag = half**2 / 6.3e-11 / 3 + half / 5e-8
    assert found[-1] == pytest.approx(15.0 - slope * lag, abs=1e-12)


def test_few_modes_carry_the_mean_through_a_jumpy_log() -> None:
    hours = np.arange(1000) / 24
    air = 10 + np.random.default_rng(1).normal(size=1000)
    for panel in PANELS:
        few, many = follow(hours, air, *panel), follow(hours, air, *panel, modes=150)
        assert few == pytest.approx(many, abs=0.01)


def test_start_is_the_start_and_the_default_is_the_first_air() -> None:
    course = follow([0.0, 5.0], [8.0, 12.0], 20.0, 6.3e-11, 5e-7, start=11.0)
    assert course[0] == pytest.approx(11.0, abs=1e-12)
    course = follow([0.0, 5.0], [8.0, 8.0], 20.0, 6.3e-11, 5e-7)
    assert np.all(course == 8.0)


def test_equal_times_make_a_jump() -> None:
    jump = follow([0.0, 3.0, 3.0, 13.0], [8.0, 8.0, 12.0, 12.0], 20.0, 6.3e-11, 5e-7)
    assert jump[1] == jump[2] == 8.0
    assert jump[3] == pytest.approx(slab.mean_moisture(20.0, 6.3e-11, 5e-7, 8.0, 12.0, 10.0), abs=1e-9)


def test_uneven_and_even_times_give_the_same_course() -> None:
    even = np.linspace(0, 30, 31)
    air = np.interp(even, [0.0, 9.0, 30.0], [8.0, 12.0, 6.0])
    fine = follow(even, air, 20.0, 6.3e-11, 5e-7)
    coarse = follow([0.0, 9.0, 30.0], [8.0, 12.0, 6.0], 20.0, 6.3e-11, 5e-7)
    assert fine[[0, 9, 30]] == pytest.approx(coarse, abs=1e-12)


@settings(deadline=None)
@given(
    st.lists(st.floats(*slab.MOISTURE), min_size=2, max_size=8),
    st.floats(*slab.MOISTURE),
    st.floats(0, 50),
    st.floats(*slab.THICKNESS),
    st.floats(2e-11, 2e-10),
    st.none() | st.floats(*slab.FILM_LIMITS),
    st.sampled_from([1, 2]),
)
def test_mean_stays_within_the_span_of_start_and_air(
    air: list[float], start: float, step: float, thickness: float, diffusion: float, film: float | None, faces: int
) -> None:
    times = step * np.arange(len(air))
    mean = follow(times, air, thickness, diffusion, film, start=start, faces=faces)
    assert min(start, *air) - 1e-9 <= mean.min()
    assert mean.max() <= max(start, *air) + 1e-9


def test_many_panels_equal_each_alone() -> None:
    times, air = np.linspace(0, 60, 61), 10 + 3 * np.sin(np.linspace(0, 20, 61))
    thickness, diffusion = np.array([12.0, 19.0, 100.0]), np.array([2e-11, 2e-10, 6.3e-11])
    film, start = np.array([np.inf, 5e-7, 5.5e-9]), np.array([8.0, 9.0, 12.0])
    together = follow(times, air, thickness, diffusion, film, start=start)
    tiled = follow(times, np.tile(air, (3, 1)), thickness, diffusion, film, start=start)
    apart = [
        follow(times, air, *panel, start=begin) for *panel, begin in zip(thickness, diffusion, film, start, strict=True)
    ]
    assert together.shape == (3, 61)
    assert tiled == pytest.approx(together, abs=1e-12)
    assert np.stack(apart) == pytest.approx(together, abs=1e-6)


def test_several_starts_for_one_panel() -> None:
    course = follow([0.0, 10.0], [8.0, 8.0], 20.0, 6.3e-11, start=[6.0, 12.0])
    assert course.shape == (2, 2)
    assert course[:, 0].tolist() == pytest.approx([6.0, 12.0])


def test_one_face_covered_acts_as_twice_the_thickness() -> None:
    times, air = [0.0, 20.0, 60.0], [8.0, 12.0, 7.0]
    covered, whole = follow(times, air, 12.0, 6.3e-11, 5e-8, faces=1), follow(times, air, 24.0, 6.3e-11, 5e-8)
    assert covered == pytest.approx(whole, abs=1e-12)


def test_the_repeating_year_is_where_many_years_lead() -> None:
    months = (np.arange(12) + 0.5) * 365 / 12
    air = 9 + 3 * np.sin(np.arange(12) / 12 * 2 * np.pi) + np.cos(np.arange(12) * 2.0)
    repeating = periodic(months, air, 25.4, 2e-11, [np.inf, 2e-9])
    years = 12
    times = np.concatenate([months + 365 * year for year in range(years)])
    spun_up = follow(times, np.tile(air, years), 25.4, 2e-11, [np.inf, 2e-9])
    assert repeating == pytest.approx(spun_up[:, -12:], abs=1e-9)


@pytest.mark.parametrize(("thickness", "diffusion", "film"), PANELS)
def test_the_repeating_sine_is_the_closed_form(thickness: float, diffusion: float, film: float | None) -> None:
    days = np.arange(0, 365, 0.25)
    swing = 2 * np.pi * days / 365
    found = periodic(days, 10 + 4 * np.sin(swing), thickness, diffusion, film)
    amplitude, lag = slab.sine_response(thickness, diffusion, film, 365.0)
    expected = 10 + 4 * amplitude * np.sin(swing - 2 * np.pi * lag / 365)
    assert found == pytest.approx(expected, abs=2e-5)  # straight lines between the quarter days


def test_the_repeating_mean_keeps_the_mean_of_the_air() -> None:
    days = np.arange(365.0)
    air = 9 + 3 * np.sin(days / 365 * 2 * np.pi) + np.cos(days * 0.7)
    assert periodic(days, air, 300.0, 1e-12, 1e-10).mean() == pytest.approx(air.mean(), abs=1e-6)


def test_constant_air_repeats_as_itself() -> None:
    assert periodic([0.0], [8.0], 20.0, 6.3e-11, 5e-7) == pytest.approx([8.0])


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([0.0, 1.0], [8.0, 31.0], 20.0, 6.3e-11), "EMC of the air"),
        (([0.0, np.nan], [8.0, 9.0], 20.0, 6.3e-11), "time"),
        (([1.0, 0.0], [8.0, 9.0], 20.0, 6.3e-11), "step between times"),
        (([0.0, 1.0], [8.0, 9.0], 0.1, 6.3e-11), "thickness"),
        (([0.0, 1.0], [8.0, 9.0], 20.0, 6.3e-11, 1.0), "surface coefficient"),
        (([0.0, 1.0], [8.0, 9.0], 20.0, 6.3e-11, None, 31.0), "moisture content at the start"),
    ],
)
def test_values_past_the_limits_are_refused(arguments: tuple[object, ...], message: str) -> None:
    with pytest.raises(RangeError, match=message):
        follow(*arguments)  # type: ignore[arg-type]


def test_a_period_shorter_than_its_times_is_refused() -> None:
    with pytest.raises(RangeError, match="period"):
        periodic([0.0, 366.0], [8.0, 9.0], 20.0, 6.3e-11)


def test_shapes_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="do not fit"):
        follow([0.0, 1.0, 2.0], [8.0, 9.0], 20.0, 6.3e-11)
    with pytest.raises(ValueError, match="do not fit"):
        follow([], [], 20.0, 6.3e-11)
    with pytest.raises(ValueError, match="modes is 0"):
        follow([0.0, 1.0], [8.0, 9.0], 20.0, 6.3e-11, modes=0)
