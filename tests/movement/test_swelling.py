"""A dimension at another moisture content: exact properties of the straight line, and its limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from movement import swelling
from movement.errors import RangeError
from movement.swelling import (
    COEFFICIENT,
    MOISTURE,
    SHRINKAGE,
    SHRINKAGE_ALONG_GRAIN,
    SIZE,
    START_OF_SHRINKAGE,
    START_OF_SHRINKAGE_LIMITS,
    coefficient_from_shrinkage,
    length_change,
    shrinkage_from_coefficient,
    size_at,
    size_ratio,
)

coefficients = st.floats(*COEFFICIENT)
moistures = st.floats(*MOISTURE)
shrinkages = st.floats(*SHRINKAGE)
starts = st.floats(*START_OF_SHRINKAGE_LIMITS)

CHERRY = 0.00248  # black cherry, tangential: Wood Handbook, FPL-GTR-190, Table 13-5 (seen)


@settings(deadline=None)  # no timed test
@given(shrinkages, starts)
def test_shrinkage_comes_back_from_its_coefficient(shrinkage: float, start: float) -> None:
    coefficient = coefficient_from_shrinkage(shrinkage, start)
    assert shrinkage_from_coefficient(coefficient, start) == pytest.approx(shrinkage, rel=1e-12)


@settings(deadline=None)  # no timed test
@given(shrinkages, starts)
def test_green_to_oven_dry_is_the_shrinkage(shrinkage: float, start: float) -> None:
    coefficient = coefficient_from_shrinkage(shrinkage, start)
    assert 100 * (1 - float(size_ratio(coefficient, start, 0, start))) == pytest.approx(shrinkage, rel=1e-9)


@pytest.mark.parametrize(("start", "slope", "offset"), [(30, 3000, 20), (22, 2200, 12)])
def test_coefficient_takes_its_two_usual_forms(start: float, slope: float, offset: float) -> None:
    assert coefficient_from_shrinkage(5.0, start) == pytest.approx(1 / (slope / 5.0 - offset), rel=1e-14)


@settings(deadline=None)  # no timed test
@given(shrinkages, shrinkages, starts)
def test_more_shrinkage_is_a_larger_coefficient(one: float, other: float, start: float) -> None:
    low, high = sorted((one, other))
    assert coefficient_from_shrinkage(low, start) <= coefficient_from_shrinkage(high, start)


@settings(deadline=None)  # no timed test
@given(shrinkages, starts)
def test_every_allowed_shrinkage_has_an_allowed_coefficient(shrinkage: float, start: float) -> None:
    assert float(size_ratio(coefficient_from_shrinkage(shrinkage, start), 8, 12, start)) > 1


@settings(deadline=None)  # no timed test
@given(coefficients, moistures, moistures, starts)
def test_there_and_back_is_the_same_size(coefficient: float, one: float, other: float, start: float) -> None:
    there = float(size_ratio(coefficient, one, other, start))
    assert there * float(size_ratio(coefficient, other, one, start)) == pytest.approx(1, rel=1e-14)


@settings(deadline=None)  # no timed test
@given(coefficients, moistures, moistures, moistures)
def test_a_stop_on_the_way_changes_nothing(coefficient: float, one: float, two: float, three: float) -> None:
    in_two_steps = float(size_ratio(coefficient, one, two)) * float(size_ratio(coefficient, two, three))
    assert in_two_steps == pytest.approx(float(size_ratio(coefficient, one, three)), rel=1e-14)


@settings(deadline=None)  # no timed test
@given(coefficients, moistures, moistures, moistures)
def test_wetter_wood_is_never_smaller(coefficient: float, start: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert size_ratio(coefficient, start, low) <= size_ratio(coefficient, start, high)


@settings(deadline=None)  # no timed test
@given(st.floats(0.0005, COEFFICIENT[1]), st.floats(0, 29), st.floats(0.1, 1))
def test_below_the_start_of_shrinkage_wetter_wood_is_larger(coefficient: float, low: float, more: float) -> None:
    assert float(size_ratio(coefficient, low, low + more)) > 1


@settings(deadline=None)  # no timed test
@given(coefficients, starts, st.floats(0, 100), st.floats(0, 100))
def test_nothing_moves_above_the_start_of_shrinkage(coefficient: float, start: float, a: float, b: float) -> None:
    assert size_ratio(coefficient, start + a, start + b, start) == 1
    assert size_ratio(coefficient, 8, start + a, start) == size_ratio(coefficient, 8, start, start)


def test_the_line_bends_at_the_start_of_shrinkage_and_not_before() -> None:
    moisture = np.linspace(0, 40, 401)
    step = np.diff(np.asarray(size_ratio(CHERRY, 10, moisture)))
    assert step[:300] == pytest.approx(0.1 * CHERRY, rel=1e-9)
    assert not step[300:].any()


def test_a_coefficient_of_zero_never_moves() -> None:
    assert size_ratio(0, 0, 30) == 1


def test_size_is_the_size_times_the_ratio() -> None:
    assert size_at(300, CHERRY, 8, 11) == pytest.approx(300 * float(size_ratio(CHERRY, 8, 11)), rel=1e-15)


@settings(deadline=None)  # no timed test
@given(st.floats(0, 1000), coefficients, moistures, moistures)
def test_size_comes_back(size: float, coefficient: float, one: float, other: float) -> None:
    there = size_at(size, coefficient, one, other)
    assert size_at(there, coefficient, other, one) == pytest.approx(size, rel=1e-13)


def test_a_length_shrinks_by_its_shrinkage_from_green_to_oven_dry() -> None:
    for shrinkage in (*SHRINKAGE_ALONG_GRAIN, 2.0):
        assert length_change(1000, START_OF_SHRINKAGE, 0, shrinkage) == pytest.approx(-10 * shrinkage, rel=1e-9)


def test_a_length_is_taken_at_the_larger_usual_shrinkage() -> None:
    assert length_change(2000, 6, 12) == length_change(2000, 6, 12, 0.2)
    assert float(length_change(2000, 6, 12)) > float(length_change(2000, 6, 12, 0.1)) > 0


def test_an_array_gives_what_its_elements_give() -> None:
    rng = np.random.default_rng(1)
    c, before, after, start = (rng.uniform(*limits, 50) for limits in ((0, 0.01), (0, 40), (0, 40), (20, 40)))
    ratios = np.asarray(size_ratio(c, before, after, start))
    assert ratios.tolist() == [size_ratio(*row) for row in zip(c, before, after, start, strict=True)]
    s = rng.uniform(*SHRINKAGE, 50)
    assert np.asarray(coefficient_from_shrinkage(s, start)).tolist() == [
        coefficient_from_shrinkage(*row) for row in zip(s, start, strict=True)
    ]
    assert np.asarray(shrinkage_from_coefficient(c, start)).tolist() == [
        shrinkage_from_coefficient(*row) for row in zip(c, start, strict=True)
    ]
    assert np.asarray(length_change(500, before, after, s)).tolist() == [
        length_change(500, *row) for row in zip(before, after, s, strict=True)
    ]
    assert np.asarray(size_at(500, c, before, after, start)).tolist() == [
        size_at(500, *row) for row in zip(c, before, after, start, strict=True)
    ]


def test_scalars_give_a_plain_number() -> None:
    values = [
        size_ratio(np.float64(0.002), 8, 11),
        size_at(300, 0.002, 8, 11),
        coefficient_from_shrinkage(5),
        shrinkage_from_coefficient(0.002),
        length_change(300, 8, 11),
    ]
    assert [type(value) for value in values] == [float] * 5


def test_shapes_broadcast() -> None:
    c = np.full((3, 1), 0.002)
    assert np.shape(size_ratio(c, 8, np.arange(12.0))) == (3, 12)
    assert np.shape(size_ratio(c, np.arange(12.0), 8, np.full((2, 1, 1), 30.0))) == (2, 3, 12)
    assert np.shape(size_at([100, 200], 0.002, 8, 11)) == (2,)


def test_plain_lists_are_taken() -> None:
    assert np.shape(size_ratio([0.002, 0.003], [8, 8], [11, 45])) == (2,)


ACCEPTED = {"coefficient": 0.002, "moisture_from": 8.0, "moisture_to": 11.0, "start_of_shrinkage": 30.0}


@pytest.mark.parametrize(
    ("name", "limits", "says"),
    [
        ("coefficient", COEFFICIENT, "movement coefficient"),
        ("moisture_from", MOISTURE, "moisture content"),
        ("moisture_to", MOISTURE, "moisture content"),
        ("start_of_shrinkage", START_OF_SHRINKAGE_LIMITS, "start of shrinkage"),
    ],
)
def test_a_ratio_takes_the_limits_and_refuses_what_lies_past_them(
    name: str, limits: tuple[float, float], says: str
) -> None:
    low, high = limits
    for inside in limits:
        assert np.isfinite(size_ratio(**(ACCEPTED | {name: inside})))
    for outside in (np.nextafter(low, -np.inf), np.nextafter(high, np.inf), np.nan, np.inf):
        with pytest.raises(RangeError, match=says) as refused:
            size_ratio(**(ACCEPTED | {name: float(outside)}))
        assert (refused.value.low, refused.value.high) == limits
        with pytest.raises(RangeError, match=says):
            size_at(100, **(ACCEPTED | {name: np.array([ACCEPTED[name], outside])}))


@pytest.mark.parametrize("outside", [np.nextafter(SHRINKAGE[0], 0), np.nextafter(SHRINKAGE[1], 99), np.nan])
def test_a_shrinkage_past_its_limits_is_refused(outside: float) -> None:
    for function in (coefficient_from_shrinkage, lambda value: length_change(1000, 8, 11, value)):
        with pytest.raises(RangeError, match="shrinkage"):
            function(outside)


def test_a_coefficient_past_its_limits_has_no_shrinkage() -> None:
    assert float(shrinkage_from_coefficient(COEFFICIENT[1])) == pytest.approx(25)
    with pytest.raises(RangeError, match="movement coefficient"):
        shrinkage_from_coefficient(-0.001)


@pytest.mark.parametrize("outside", [-0.001, np.nextafter(SIZE[1], np.inf), np.nan])
def test_a_size_past_its_limits_is_refused(outside: float) -> None:
    with pytest.raises(RangeError, match="size"):
        size_at(outside, CHERRY, 8, 11)
    with pytest.raises(RangeError, match="length"):
        length_change(outside, 8, 11)


def test_the_error_says_where_the_limits_come_from() -> None:
    with pytest.raises(RangeError) as refused:
        size_ratio(CHERRY, 8, 201)
    assert refused.value.source == swelling._LIMITS_SOURCE
    assert str(refused.value) == "moisture content is 201 %; allowed is 0 to 200 %"
