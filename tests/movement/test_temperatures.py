"""Temperatures: both scales read, shown to a tenth, and there and back without loss."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement.temperatures import SCALES, Scale, TemperatureError, celsius, degrees, read, show, typed

# The ice point and the steam point, which the scales were drawn from, and where the two meet.
PAIRS = [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0), (20.0, 68.0), (35.0, 95.0)]


@pytest.mark.parametrize(("cold", "warm"), PAIRS)
def test_fixed_points_of_both_scales(cold: float, warm: float) -> None:
    assert celsius(warm) == cold
    assert degrees(cold, "°F") == warm
    assert degrees(cold, "°C") == cold


@pytest.mark.parametrize(
    "text",
    [
        *("68 F", "68F", "68 f", "68 °F", "68°F", "68° F", "68 º F", "68 ˚F", "68 ℉", "68.0 °F", "68,0F", "+68 F"),
        *("68 deg F", "68 degrees Fahrenheit", "68 fahrenheit", "68\u00a0°F", " 68  °F "),
        *("20 C", "20C", "20°C", "20 °C", "20 ℃", "20 Celsius", "20.0 c"),
    ],
)
@pytest.mark.parametrize("scale", ["°C", "°F"])
def test_a_written_unit_counts_in_either_scale(text: str, scale: Scale) -> None:
    assert read(text, scale) == 20.0


@pytest.mark.parametrize("text", ["68", "68.0", "68,0", "68°", "68 °", "+68", "68 deg"])
def test_a_bare_number_is_of_the_scale_in_use(text: str) -> None:
    assert read(text, "°F") == 20.0
    assert read(text, "°C") == 68.0


@pytest.mark.parametrize("text", ["-40", "−40", "–40"])
def test_a_minus_is_read_however_it_is_typed(text: str) -> None:
    assert read(text, "°C") == -40.0


@pytest.mark.parametrize(
    "text", ["", " ", "warm", "20 K", "20 CF", "20 %", "2 0", "20 °C 3", "nan", "inf", "1e3", "1" * 31, "20/3"]
)
def test_what_is_no_temperature_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(TemperatureError, match=r"write for example 20 °C or 68 °F") as caught:
        read(text)
    assert caught.value.text == text


def test_a_long_text_is_cut_in_the_message() -> None:
    with pytest.raises(TemperatureError, match=r"^“x{30}…”"):
        read("x" * 200)


@pytest.mark.parametrize(
    ("temperature", "scale", "shown"),
    [
        (20.0, "°C", "20 °C"),
        (20.0, "°F", "68 °F"),
        (22.0, "°F", "71.6 °F"),
        (21.15, "°C", "21.2 °C"),
        (-0.04, "°C", "0 °C"),
        (-18.0, "°C", "−18 °C"),
        (-18.0, "°F", "−0.4 °F"),
    ],
)
def test_shown_to_a_tenth_without_a_needless_zero(temperature: float, scale: Scale, shown: str) -> None:
    assert show(temperature, scale) == shown


def test_shown_without_its_unit() -> None:
    assert show(20.0, "°F", with_unit=False) == "68"


@given(st.floats(-100, 200), st.sampled_from(["°C", "°F"]))
def test_up_and_down_stay_on_their_side(temperature: float, scale: Scale) -> None:
    assert read(show(temperature, scale, "up")) >= temperature - 1e-9
    assert read(show(temperature, scale, "down")) <= temperature + 1e-9


@given(st.decimals(-200, 400, places=2), st.sampled_from(["°C", "°F"]))
def test_what_is_typed_comes_back_as_typed(number: Decimal, scale: Scale) -> None:
    text = typed(float(number), "°C")
    assert typed(read(text, scale), scale) == text


@given(st.decimals(-100, 200, places=2), st.sampled_from(["°C", "°F"]))
def test_a_kept_temperature_survives_being_shown_and_sent_back(number: Decimal, scale: Scale) -> None:
    kept = float(number)
    assert read(typed(kept, scale), scale) == kept


def test_inches_go_with_fahrenheit() -> None:
    assert SCALES == {"mm": "°C", "in": "°F"}
