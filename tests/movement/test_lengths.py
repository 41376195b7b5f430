"""Shop lengths: what can be read, what is refused, how lengths are rounded and written."""

import contextlib
import locale
import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from movement.errors import RangeError
from movement.lengths import (
    INCH,
    LENGTH,
    LONGEST_TEXT,
    STEP,
    STEPS,
    TOLERANCE,
    LengthError,
    Unit,
    read,
    round_to,
    round_toward,
    show,
    show_signed,
    step_label,
)

CHOICES = [(unit, step) for unit, steps in STEPS.items() for step in steps]
choices = st.sampled_from(CHOICES)
lengths = st.floats(-20_000, 20_000)
directions = st.sampled_from(["nearest", "up", "down"])

# 17 3/8 in = 17.375 in x 25.4 mm
SEVENTEEN = 441.325


# Reading


def test_one_inch_is_exactly_25_4_mm():
    """International yard and pound agreement, 1959 (from memory): 1 yd is 0.9144 m; 1 ft and 1 in derived."""
    assert read("1 in") == 25.4 == INCH
    assert read("1 ft") == 304.8
    assert read("3 ft") == 914.4


@pytest.mark.parametrize(
    "text",
    [
        # inches
        '17 3/8"', '17-3/8"', "17 3/8 in", "17 3/8in", "17 3/8 in.", "17 3/8 inches", "17 3/8 Inch", "17 3/8 IN",
        '17 3 / 8"', "139/8 in", '17.375"', '17,3750"', '+17 3/8"',
        # other signs for quotes, dashes, fractions and spaces
        "17⅜″", '17 ⅜"', '17-⅜"', "17–3/8”", "17 3/8''", "17 3/8’’", "17 3/8′′", "17 3⁄8 in", "17 3∕8 in",
        "17³⁄₈ in", "17-³⁄₈ in", "１７ ３/８ ｉｎ", "\u00a017\u00a03/8\u202fin\u2009", "\t17  3/8 in\n",
        '17\u00ad3/8"', "17\u200b3/8 in",
        # feet and inches
        "1' 5 3/8\"", "1'-5-3/8\"", "1'-5 3/8\"", "1' - 5 3/8\"", "1'5 3/8\"", "1' 5 3/8", "1' 5.375\"", "1' 5,3750 in",
        "1 ft 5 3/8 in", "1ft5 3/8in", "1 FT. 5 3/8 IN.", "1 foot 5 3/8 inches", "1 feet 5 3/8 inch",
        "1′ 5 3/8″", "1’ 5⅜”", "1′-5-⅜″",
        # metric
        "441.325 mm", "441.325mm", "441.325", "441.325 MM", "441.325 ㎜", " 441.325 mm. ", "44.1325 cm",
        "44,1325 Centimetres", "0.441325 m", "0,441325 m", "0.441325 meter",
    ],
)  # fmt: skip
def test_every_way_to_write_17_3_8_inches_reads_the_same(text):
    assert read(text) == SEVENTEEN


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("17 3/8", "17.375"),
        ("5/8", "0.625"),
        ("9/8", "1.125"),
        ("⅜", "0.375"),
        ("17½", "17.5"),
        ("⅟8", "0.125"),
        ("0 1/64", "0.015625"),
        (".5", "0.5"),
        ("0", "0"),
        ("11", "11"),
        ("-1/32", "-0.03125"),
        ("−1/32", "-0.03125"),
        ("- 17 3/8", "-17.375"),
        ("-1' 5 3/8", "-17.375"),
        ("1/2 ft", "6"),
        ("1.5'", "18"),
        ("2' 0", "24"),
        ("1' 11 63/64", "23.984375"),
        ("1' 1/2", "12.5"),
        ("1' .5", "12.5"),
        ("1 ft.-5 in.", "17"),
    ],
)
def test_inches_and_feet(text, inches):
    assert read(text, "in") == float(Fraction(inches) * Fraction("25.4"))


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("441", 441),
        ("441,3 mm", 441.3),
        ("44 cm", 440),
        ("0.441 m", 441),
        ("0,441 m", 441),
        ("1234,567", 1234.567),
        ("12,34", 12.34),
        ("1234", 1234),
        ("1.234", 1.234),
        ("1/2 mm", 0.5),
        ("−0.8 mm", -0.8),
        ("-0", 0),
        ("0000441", 441),
    ],
)
def test_metric_lengths_are_read_in_any_unit_with_point_or_comma(text, millimetres):
    assert read(text) == millimetres
    assert str(read(text)) != "-0.0"


@pytest.mark.parametrize("text", ["441", "441,3", "-0.5", ".5"])
def test_a_bare_number_takes_the_unit(text):
    assert read(text, "in") == read(f"{text} in", "mm")
    assert read(text, "mm") == read(f"{text} mm", "in")
    assert read(text, "in") == pytest.approx(25.4 * read(text, "mm"))


@pytest.mark.parametrize("text", ["17 3/8", "5/8", "441", "-0.5", "⅜"])
def test_a_written_unit_wins(text):
    assert read(f"{text} in", "mm") == read(f"{text} in", "in") == read(text, "in")
    assert read(f"{text} mm", "in") == read(f"{text} mm", "mm")


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("17 3/8", "write 17 3/8 in or 17.375 mm"),
        ("17-3/8", "write 17-3/8 in or 17.375 mm"),
        ("17⅜", "write 17 3/8 in or 17.375 mm"),
        ("5/8", "write 5/8 in or 0.625 mm"),
        ("−1/32", "write -1/32 in or -0.031 mm"),
        ("1/3", "write 1/3 in or 0.333 mm"),
        ("20/2", "write 20/2 in or 10 mm"),
    ],
)
def test_a_bare_fraction_of_a_millimetre_is_refused_with_both_ways_to_write_it(text, hint):
    with pytest.raises(LengthError, match="a fraction without a unit could be inches") as refusal:
        read(text, "mm")
    assert refusal.value.text == text
    assert refusal.value.reason.endswith(hint)
    assert read(text, "in") == read(f"{text} in", "mm")


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "blank"), ("   ", "blank"), ("\u00a0\u200b", "blank"),
        ("1,234.5", "thousands"), ("1.234,5", "thousands"), ("1,234 mm", "thousands"), ("1,234", "thousands"),
        ("12,345 in", "thousands"), ("1,234,567", "thousands"), ("1.234.567", "thousands"), ("1'234", "thousands"),
        ("1'005", "thousands"), ("1’234,5 mm", "thousands"), ("-1,234", "thousands"),
        ("1/0", "divides by zero"), ("17 3/0 in", "divides by zero"), ("1' 5 3/00", "divides by zero"),
        ("17 9/8", "less than one"), ("17 8/8 in", "less than one"),
        ("1' 12\"", "under 12"), ("1 ft 17 3/8 in", "under 12"), ("1' 25/2\"", "under 12"),
        ("1.5' 3\"", "whole"), ("1 1/2 ft 3 in", "whole"),
        *((text, "one number") for text in (
            "nan", "NaN mm", "inf", "-inf", "∞", "1e400", "1e3", "4.4E2 mm", "0x10", "1_000", "abc", "mm", "-",
            "17 3/8/2", "3/8/2", "17 3/8 1/2", "17.5 3/8", "17 3.5/8", "1/2/", "/8", "3/", "17-", "17 -3/8", "17 - 3/8",
            "17--3/8", "--5", "+-5", "5-", "5 - 3", "1' -5\"", "1' +5\"", "1' 5 mm", "1' 5' 3\"", "17\" 3/8", "1\'\'\'",
            "17 18", "1 234 mm", "17 mm 18 mm", "44 cm 1 mm", "5 3/8\" 1'", "½½", "¾5", "17²", "17₈", "17³8", "3⁄₈5",
            "17①", "٤٤", "4\u200b41 mm", "5 km", "5 yd", "5 %", "5 m2", "5 mm²", "5,", "5.", "5..",
            "1'.5\"", "1ft.5in", "1',5", "1ft,5", "'", '"',
            "441 mm; drop", "<b>5</b>", "=5", "5+3", "5*3",
        )),
    ],
)  # fmt: skip
def test_what_is_not_one_length_is_refused_with_the_reason_and_examples(text, reason):
    with pytest.raises(LengthError) as refusal:
        read(text)
    assert refusal.value.text == text
    assert reason in refusal.value.reason
    for written in ("441.3 mm", "44 cm", '17 3/8"', "1' 5 3/8\""):
        assert written in str(refusal.value)


def test_text_up_to_the_limit_is_read_and_longer_text_is_refused_unread():
    assert read("441" + " " * (LONGEST_TEXT - 3)) == 441
    with pytest.raises(LengthError, match=f"longer than {LONGEST_TEXT}") as refusal:
        read("4" * 1_000_000)
    assert len(refusal.value.text) == 1_000_000
    assert len(str(refusal.value)) < 250


def finite_or_refused(text: str) -> bool:
    try:
        return math.isfinite(read(text))
    except LengthError as refusal:
        return refusal.text == text


@pytest.mark.parametrize("piece", ["1", "1 ", "1-", "1/", "1.", "1,", "1'", "' ", "- ", "½", "ft", "⁄", "\u3300"])
def test_repeated_pieces_end_in_a_length_or_a_refusal(piece):
    assert finite_or_refused(piece * (LONGEST_TEXT // len(piece)))


@given(st.text(max_size=70) | st.text("0123456789 /.,-−'\"½⅜′″ftinmce", max_size=30))
def test_any_text_ends_in_a_length_or_a_refusal(text):
    assert finite_or_refused(text)


@given(st.integers(0, 400), st.integers(0, 63), st.sampled_from(["", '"', " in", "″"]), st.sampled_from([" ", "-"]))
def test_whole_and_fraction_add_up(whole, top, mark, between):
    assert read(f"{whole}{between}{top}/64{mark}", "in") == pytest.approx((whole + top / 64) * 25.4, rel=1e-15)


@given(st.integers(0, 40), st.integers(0, 11), st.integers(0, 15))
def test_feet_and_inches_equal_the_inches_alone(feet, inches, top):
    assert read(f"{feet}' {inches} {top}/16\"") == read(f'{12 * feet + inches} {top}/16"')


@given(st.floats(-5000, 5000).map(lambda value: round(value, 3)))
def test_a_decimal_reads_as_the_same_float(value):
    assert read(f"{value:.3f}") == value


# Steps


def test_steps_offered_are_the_marks_of_rules():
    assert [step_label(step, "in") for step in STEPS["in"]] == ["1/64 in", "1/32 in", "1/16 in", "1/8 in"]
    assert [step_label(step, "mm") for step in STEPS["mm"]] == ["0.1 mm", "0.2 mm", "0.5 mm", "1 mm"]


def test_other_steps_have_labels_too():
    assert step_label(INCH, "in") == "1 in"
    assert step_label(1.5 * INCH, "in") == "3/2 in"
    assert step_label(0.25, "mm") == "0.25 mm"
    assert step_label(INCH / 64, "mm") == "0.396875 mm"


@pytest.mark.parametrize("step", [0.0, -0.5, math.nan, math.inf, -math.inf, STEP[0] / 2, STEP[1] * 2])
def test_a_step_that_is_not_positive_and_finite_is_out_of_range(step):
    for attempt in (
        lambda: step_label(step, "mm"),
        lambda: step_label(step, "in"),
        lambda: round_to(1.0, step),
        lambda: round_toward(1.0, 2.0, step),
        lambda: show(1.0, "mm", step),
        lambda: show_signed(1.0, "in", step),
    ):
        with pytest.raises(RangeError, match="rounding step"):
            attempt()


@pytest.mark.parametrize(("unit", "step"), [("in", 0.5), ("in", INCH / 128), ("mm", 1 / 3)])
def test_a_step_that_the_unit_cannot_write_is_refused_in_words(unit, step):
    with pytest.raises(ValueError, match="a step of"):
        step_label(step, unit)
    with pytest.raises(ValueError, match="a step of"):
        show(1.0, unit, step)


# Rounding


@pytest.mark.parametrize(
    ("length", "step", "nearest", "up", "down"),
    [
        (441.3, 0.5, 441.5, 441.5, 441.0),
        (441.2, 0.5, 441.0, 441.5, 441.0),
        (441.25, 0.5, 441.5, 441.5, 441.0),
        (-441.2, 0.5, -441.0, -441.0, -441.5),
        (-441.25, 0.5, -441.5, -441.0, -441.5),
        (0.25, 0.1, 0.3, 0.3, 0.2),
        (0.15, 0.1, 0.2, 0.2, 0.1),
        (0.1 + 0.2, 0.1, 0.3, 0.3, 0.3),
        (0.7 - 0.1, 0.1, 0.6, 0.6, 0.6),
        (441 + 1e-10, 1, 441, 441, 441),
        (441 - 1e-10, 1, 441, 441, 441),
        (441 + 1e-8, 1, 441, 442, 441),
        (441 - 1e-8, 1, 441, 441, 440),
        (0, 0.5, 0, 0, 0),
        (-0.01, 0.5, 0, 0, -0.5),
        (25.4 / 64 * 3, 25.4 / 32, 25.4 / 16, 25.4 / 16, 25.4 / 32),
    ],
)
def test_rounding_nearest_up_and_down(length, step, nearest, up, down):
    assert round_to(length, step) == pytest.approx(nearest, abs=1e-12)
    assert round_to(length, step, "up") == pytest.approx(up, abs=1e-12)
    assert round_to(length, step, "down") == pytest.approx(down, abs=1e-12)


@given(choices, st.integers(-50_000, 50_000), st.floats(-0.9 * TOLERANCE, 0.9 * TOLERANCE), directions)
def test_a_multiple_of_the_step_stays_despite_floating_error(choice, count, error, direction):
    _, step = choice
    assert round_to(count * step + error, step, direction) == pytest.approx(count * step, abs=1e-10)


@given(choices, lengths)
def test_rounding_moves_by_no_more_than_it_should(choice, length):
    _, step = choice
    nearest, up, down = (float(round_to(length, step, way)) for way in ("nearest", "up", "down"))
    assert abs(nearest - length) <= step / 2 + 2 * TOLERANCE
    assert -2 * TOLERANCE <= up - length < step
    assert -2 * TOLERANCE <= length - down < step
    assert nearest in (up, down)
    assert up - down == pytest.approx(0 if up == down else step, abs=1e-9)


@given(choices, lengths, directions)
def test_rounding_twice_changes_nothing(choice, length, direction):
    once = round_to(length, choice[1], direction)
    assert round_to(once, choice[1], direction) == once


@given(choices, lengths)
def test_rounding_mirrors_about_zero(choice, length):
    _, step = choice
    assert round_to(-length, step) == -float(round_to(length, step))
    assert round_to(-length, step, "up") == -float(round_to(length, step, "down"))


def test_arrays_round_like_their_elements_and_scalars_give_floats():
    values = np.array([[441.3, -0.04], [0.25, 17.0]])
    for direction in ("nearest", "up", "down"):
        rounded = np.asarray(round_to(values, 0.1, direction))
        assert rounded.shape == values.shape
        assert rounded.tolist() == [[round_to(value, 0.1, direction) for value in row] for row in values]
    assert isinstance(round_to(1, 0.5), float)
    assert str(round_to(-0.01, 0.5)) == str(round_to(-0.0, 0.5, "up")) == "0.0"
    assert np.asarray(round_to([], 0.5)).size == 0


@given(choices, lengths, st.sampled_from(["nearest", "up", "down"]))
def test_one_length_rounds_as_it_does_in_an_array(choice, length, direction):
    _, step = choice
    for value in (length, round(length / step) * step, (round(length / step) + 0.5) * step):
        assert str(round_to(value, step, direction)) == str(np.asarray(round_to([value], step, direction))[0].item())


@pytest.mark.parametrize("length", [math.nan, math.inf, -math.inf, LENGTH[1] * 1.01, LENGTH[0] * 1.01, [1.0, math.nan]])
def test_a_length_that_cannot_be_rounded_is_out_of_range(length):
    with pytest.raises(RangeError, match="length"):
        round_to(length, 0.5)
    with pytest.raises(RangeError, match="length"):
        round_toward(length, 1.0, 0.5)
    with pytest.raises(RangeError, match="target length"):
        round_toward(1.0, length, 0.5)


@pytest.mark.parametrize("end", LENGTH)
def test_the_longest_length_still_rounds(end):
    assert round_to(end, 0.1) == end
    assert round_to(end, STEP[0], "up") == end


@pytest.mark.parametrize(
    ("length", "target", "expected"),
    [
        (441.3, 450, 441.5),
        (441.3, 430, 441.0),
        (441.3, 441.3, 441.5),
        (441.5, 450, 441.5),
        (441.5, 430, 441.5),
        (-0.1, 5, 0),
    ],
)
def test_rounding_toward_a_target(length, target, expected):
    assert round_toward(length, target, 0.5) == expected


def test_rounding_toward_targets_broadcasts():
    rounded = np.asarray(round_toward([[441.3], [10.2]], [450.0, 0.0], 0.5))
    assert rounded.tolist() == [[441.5, 441.0], [10.5, 10.0]]


@given(choices, lengths, lengths)
def test_rounding_toward_never_moves_away_from_a_target_a_step_off(choice, length, target):
    _, step = choice
    rounded = float(round_toward(length, target, step))
    assert abs(rounded - length) < step + TOLERANCE
    if abs(target - length) > step:
        assert abs(target - rounded) <= abs(target - length) + 2 * TOLERANCE


# Writing


@pytest.mark.parametrize(
    ("length", "unit", "step", "text"),
    [
        (441.325, "mm", 0.1, "441.3 mm"),
        (441.325, "mm", 0.2, "441.4 mm"),
        (441.325, "mm", 0.5, "441.5 mm"),
        (441.325, "mm", 1, "441 mm"),
        (441, "mm", 0.5, "441.0 mm"),
        (1234.5, "mm", 0.5, "1234.5 mm"),
        (441.325, "in", INCH / 64, '17 3/8"'),
        (441.325, "in", INCH / 8, '17 3/8"'),
        (17.5 * INCH, "in", INCH / 64, '17 1/2"'),
        (17 * INCH, "in", INCH / 64, '17"'),
        (INCH * 5 / 8, "in", INCH / 32, '5/8"'),
        (0.8, "in", INCH / 32, '1/32"'),
        (-0.8, "in", INCH / 32, '−1/32"'),
        (-441.325, "in", INCH / 32, '−17 3/8"'),
        (-0.8, "mm", 0.1, "−0.8 mm"),
        (3 * INCH, "in", INCH * 1.5, '3"'),
    ],
)
def test_lengths_are_written_as_shops_write_them(length, unit, step, text):
    assert show(length, unit, step) == text


@pytest.mark.parametrize(("unit", "step"), CHOICES)
@pytest.mark.parametrize("length", [0.0, -0.0, 0.01, -0.01])
def test_zero_has_no_sign_and_no_decimals(length, unit, step):
    zero = "0 mm" if unit == "mm" else '0"'
    assert show(length, unit, step) == zero
    assert show_signed(length, unit, step) == zero
    assert show(length, unit, step, with_unit=False) == "0"


def test_the_direction_and_the_unit_can_be_chosen():
    assert show(441.3, "mm", 0.5, "down") == "441.0 mm"
    assert show(441.3, "in", INCH / 8, "up") == '17 3/8"'
    assert show(441.3, "in", INCH / 8, "down") == '17 1/4"'
    assert show(441.3, "mm", 0.1, with_unit=False) == "441.3"
    assert show(441.325, "in", INCH / 8, with_unit=False) == "17 3/8"


@pytest.mark.parametrize(
    ("length", "unit", "step", "text"),
    [
        (0.8, "mm", 0.1, "+0.8 mm"),
        (-0.8, "mm", 0.1, "−0.8 mm"),
        (0.8, "in", INCH / 32, '+1/32"'),
        (-0.8, "in", INCH / 32, '−1/32"'),
        (30, "in", INCH / 16, '+1 3/16"'),
    ],
)
def test_a_bias_carries_its_sign(length, unit, step, text):
    assert show_signed(length, unit, step) == text
    assert show_signed(length, unit, step, with_unit=False) == text.removesuffix(" mm").removesuffix('"')
    assert show_signed(length, unit, step, "down").startswith(text[0])


@pytest.mark.parametrize("name", ["C", "de_DE.UTF-8", "fr_FR.UTF-8"])
def test_the_decimal_mark_does_not_depend_on_the_locale(name):
    before = locale.setlocale(locale.LC_ALL)
    try:
        with contextlib.suppress(locale.Error):  # a locale that this machine lacks leaves the current one in place
            locale.setlocale(locale.LC_ALL, name)
        assert show(1441.3, "mm", 0.1) == "1441.3 mm"
        assert read("1441.3 mm") == 1441.3
    finally:
        locale.setlocale(locale.LC_ALL, before)


@given(choices, lengths, directions, st.booleans(), st.sampled_from([show, show_signed]))
@example(("in", INCH / 32), -0.8, "nearest", True, show)
@example(("mm", 0.1), -0.8, "nearest", True, show_signed)
@example(("mm", 0.1), -0.01, "nearest", True, show)
@example(("in", INCH / 64), -304.8, "down", False, show_signed)
def test_what_is_written_reads_back_as_what_was_rounded(
    choice: tuple[Unit, float], length, direction, with_unit, write
):
    unit, step = choice
    text = write(length, unit, step, direction, with_unit=with_unit)
    assert read(text, unit) == round_to(length, step, direction)
    assert "-" not in text
    assert ("−" in text) == (float(round_to(length, step, direction)) < 0)
