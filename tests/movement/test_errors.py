"""The one error for a value out of range: what it carries, and what the check lets through."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement.arrays import floats, unwrap
from movement.errors import RangeError, require_range


def test_it_carries_all_that_a_page_shows() -> None:
    error = RangeError("sight width", 5.0, 10.0, 3000.0, "mm", "project limit")
    assert (error.name, error.value, error.low, error.high) == ("sight width", 5.0, 10.0, 3000.0)
    assert (error.unit, error.source) == ("mm", "project limit")
    assert isinstance(error, ValueError)


@pytest.mark.parametrize(
    ("low", "high", "unit", "allowed"),
    [
        (0.0, 100.0, "%", "0 to 100 %"),
        (None, 30.0, "% MC", "at most 30 % MC"),
        (0.5, None, "mm", "at least 0.5 mm"),
        (None, None, "mm", "nothing here"),
        (1.0, 1.9, "", "1 to 1.9"),
        (0.0, 1234567.0, "", "0 to 1.23457e+06"),
    ],
)
def test_the_allowed_range_in_words(low: float | None, high: float | None, unit: str, allowed: str) -> None:
    error = RangeError("something", -1.0, low, high, unit)
    assert error.allowed == allowed
    assert str(error) == f"something is -1{' ' + unit if unit else ''}; allowed is {allowed}"


def test_a_value_may_be_words() -> None:
    assert str(RangeError("first day", "2026-01-05", None, None)) == "first day is 2026-01-05; allowed is nothing here"


@pytest.mark.parametrize("value", [0.0, 100.0, 50, np.float64(3.0), [0.0, 100.0], np.array([[1.0], [2.0]])])
def test_both_ends_are_allowed_and_any_shape_is(value: object) -> None:
    require_range("relative humidity", value, 0.0, 100.0)  # type: ignore[arg-type]
    least, most = float(np.min(value)), float(np.max(value))  # type: ignore[call-overload]
    for low, high in ((least + 1e-9, 100.0), (0.0, most - 1e-9)):  # a hair narrower at either end, and it is refused
        with pytest.raises(RangeError):
            require_range("relative humidity", value, low, high)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "first"),
    [
        (np.nextafter(100.0, 200.0), 100.0),
        (-1, -1.0),
        ([50.0, 101.0, 102.0], 101.0),
        (np.array([[1.0, -2.0], [-3.0, 4.0]]), -2.0),
        (float("inf"), float("inf")),
        (float("-inf"), float("-inf")),
    ],
)
def test_the_first_element_out_of_range_is_named(value: object, first: float) -> None:
    with pytest.raises(RangeError) as caught:
        require_range("relative humidity", value, 0.0, 100.0, "%")  # type: ignore[arg-type]
    assert caught.value.value == pytest.approx(first)


@pytest.mark.parametrize("value", [float("nan"), np.nan, [1.0, np.nan], None])
@pytest.mark.parametrize(("low", "high"), [(0.0, 100.0), (None, 100.0), (0.0, None), (None, None)])
def test_nan_never_passes(value: object, low: float | None, high: float | None) -> None:
    with pytest.raises(RangeError):
        require_range("relative humidity", value, low, high)  # type: ignore[arg-type]


@pytest.mark.parametrize("value", [float("inf"), float("-inf")])
def test_infinity_never_passes_an_open_side(value: float) -> None:
    with pytest.raises(RangeError):
        require_range("length", value, None, None)


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_a_scalar_is_held_to_the_same_range_as_an_array(value: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    inside = low <= value <= high
    for shape in (value, np.float64(value), [value], np.full((2, 3), value)):
        if inside:
            require_range("anything", shape, low, high)
        else:
            with pytest.raises(RangeError):
                require_range("anything", shape, low, high)


def test_scalars_in_scalars_out_arrays_in_arrays_out() -> None:
    assert (floats(3).shape, floats(3).dtype) == ((), np.float64)
    assert isinstance(unwrap(floats(3)), float)
    assert np.array_equal(np.asarray(unwrap(floats([1, 2]))), [1.0, 2.0])
