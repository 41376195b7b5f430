"""How a page writes lengths: to its step, finer where that would lead out of what works, and to the cautious side."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import lengths
from movement.lengths import INCH, Unit
from webapp.words import Words


def read(text: str, unit: Unit) -> float:
    return lengths.read(text, unit)


def test_a_length_is_written_to_the_step_of_its_unit() -> None:
    assert (Words("mm").say(441.325), Words("in").say(441.325)) == ("441.3 mm", '17 3/8"')


def test_what_must_be_reached_rounds_up_and_what_must_not_be_passed_down() -> None:
    assert (Words("mm").least(4.01), Words("mm").most(4.09)) == ("4.1 mm", "4.0 mm")


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (300.0, 301.0, "300.5 mm"),
        (300.43, 300.49, "300.46 mm"),
        (300.2, 300.47, "300.4 mm"),
        (301.0, 300.0, "300.5 mm"),
    ],
)
def test_a_length_within_a_range_is_written_no_finer_than_that_needs(low: float, high: float, text: str) -> None:
    assert Words("mm").within(300.46, low, high) == text


@given(low=st.floats(10, 3000), wide=st.floats(0.03, 5), share=st.floats(0, 1), unit=st.sampled_from(["mm", "in"]))
def test_what_is_written_lies_within_the_range(low: float, wide: float, share: float, unit: Unit) -> None:
    words = Words(unit)
    written = read(words.within(low + share * wide, low, low + wide), unit)
    assert low - 1e-6 <= written <= low + wide + 1e-6


@given(low=st.floats(10, 3000), wide=st.floats(0.03, 5), unit=st.sampled_from(["mm", "in"]))
def test_the_sizes_that_work_are_written_within_themselves(low: float, wide: float, unit: Unit) -> None:
    text = Words(unit).works(low, low + wide)
    ends = text.removeprefix("only ").removesuffix(" works").removesuffix(" work").split(" to ")
    assert all(low - 1e-6 <= read(one, unit) <= low + wide + 1e-6 for one in ends)


def test_a_fine_length_is_a_decimal() -> None:
    assert (Words("mm").fine(0.456), Words("in").fine(INCH / 3)) == ("0.46 mm", '0.333"')
    assert (Words("mm").fine(0.456, "down"), Words("in").fine(INCH / 3, "up")) == ("0.45 mm", '0.334"')


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [
        (60.0, "in", "60 mm"),
        (60.0, "mm", "60 mm"),
        (60.325, "in", '2 3/8"'),
        (60.325, "mm", '2 3/8"'),
        (0.5, "in", "0.5 mm"),
        (60.123, "mm", "60.1 mm"),
    ],
)
def test_what_was_entered_is_written_as_it_was(length: float, unit: Unit, text: str) -> None:
    assert Words(unit).entered(length) == text


@given(st.integers(1, 30000), st.sampled_from(["mm", "in"]))
def test_what_was_entered_in_either_unit_reads_back_exactly(count: int, unit: Unit) -> None:
    for length in (round(count / 10, 1), count * INCH / 64):
        assert read(Words(unit).entered(length), unit) == pytest.approx(length, abs=1e-6)


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [
        (0.1, "in", '< 1/64"'),
        (-0.1, "in", '< 1/64"'),
        (0.03, "mm", "< 0.1 mm"),
        (0.0, "in", '0"'),
        (-0.8, "mm", "0.8 mm"),
    ],
)
def test_a_size_that_there_is_is_never_written_as_nothing(length: float, unit: Unit, text: str) -> None:
    assert Words(unit).size(length) == text


def test_a_temperature_is_in_the_scale_that_goes_with_the_unit() -> None:
    assert (Words("mm").temperature(20.0), Words("in").temperature(20.0)) == ("20 °C", "68 °F")
