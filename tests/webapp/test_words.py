"""How a page writes lengths: to its step, finer where that would lead out of what works, and to the cautious side."""

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import lengths
from movement.lengths import INCH, Unit
from movement.parts.base import Bias
from webapp.checks import survived
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


def test_what_is_open_in_a_season_is_wider_at_its_widest_and_narrower_at_its_narrowest() -> None:
    words = Words("mm")
    assert words.extremes(4.04, 1.06) == ("4.1 mm", "1.0 mm")
    assert words.extremes(1.06, 4.04) == ("1.0 mm", "4.1 mm")
    assert words.extremes(2.04, 2.04) == ("2.1 mm", "2.0 mm")
    assert words.through((3.06, 4.04, 1.06)) == ("3.1 mm", "4.1 mm", "1.0 mm")
    assert words.through((3.0, 4.04, 1.06), "3.04 mm") == ("3.04 mm", "4.1 mm", "1.0 mm")


def test_what_never_moves_is_written_the_same_three_times() -> None:
    words = Words("mm")
    assert words.through((3.06, 3.06, 3.06)) == ("3.1 mm",) * 3
    assert words.through((3.04, 3.04, 3.04), "3.04 mm") == ("3.04 mm",) * 3


def test_there_is_room_down_to_nothing_and_an_overlap_is_not_hidden() -> None:
    assert [Words("mm").room(one) for one in (4.09, 0.04, 0.0, -0.04)] == ["4.0 mm", "0.04 mm", "0 mm", "−0.1 mm"]
    assert Words("in").room(0.2) == '0.007"'


def test_a_margin_is_rounded_down_and_a_difference_to_the_nearest() -> None:
    assert [Words("mm").margin(one) for one in (0.56, -0.01, -0.56)] == ["+0.5 mm", "−0.1 mm", "−0.6 mm"]
    assert [Words("mm").signed(one) for one in (0.56, -0.56)] == ["+0.6 mm", "−0.6 mm"]


@dataclass(frozen=True)
class Leans:
    """A sized part's lean, in a year whose middle is 8 %."""

    moisture_now_pct: float
    bias: Bias
    bias_mm: float
    moisture_mid_pct: float = 8.0


@pytest.mark.parametrize(
    ("made", "told"),
    [
        (
            Leans(6.0, "looser", 0.5),
            "Leave each joint 0.5 mm looser than a neutral fit: at 6.0 % the wood is drier than the middle of what "
            "it will meet (8.0 %) and will mostly swell.",
        ),
        (
            Leans(10.0, "tighter", -0.5),
            "Leave each joint 0.5 mm tighter than a neutral fit: at 10.0 % the wood is wetter than the middle of what "
            "it will meet (8.0 %) and will mostly shrink.",
        ),
        (
            Leans(6.0, "tighter", -0.5),
            "Leave each joint 0.5 mm tighter than a neutral fit: the middle of what the wood will meet is 8.0 %.",
        ),
        (
            Leans(8.0, "neutral", 0.0),
            "Leave each joint as for a neutral fit: at 8.0 % the wood is near the middle of what it will meet (8.0 %).",
        ),
    ],
    ids=["dry", "wet", "against the wood", "neutral"],
)
def test_a_lean_says_how_much_which_way_and_why(made: Leans, told: str) -> None:
    assert Words("mm").leaning(made, "each joint") == told


def test_an_end_of_a_humidity_range_is_written_inside_it() -> None:
    assert (survived.low(34.2), survived.high(65.8)) == ("35", "65")
    assert (survived.low(35.0), survived.high(65.0)) == ("35", "65")
