"""Rows of slats: hand-worked spaces, limits at and around their edge, inverses, cautions that are always shown."""

import re
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pydantic import ValidationError

from movement.errors import RangeError
from movement.fits import slats as rules
from movement.fits.slats import COUNT, OPENING, SLAT_WIDTH, SPACE, Limit
from movement.parts import slats
from movement.season import Ratios

# Stock that moves by 0.25 % per 1 % MC at 10 % MC: from 10 % to 6 and 14 %, ratios 0.99 and 1.01 exactly.
STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
YEAR = {"moisture_now_pct": 10, "moisture_dry_pct": 6, "moisture_wet_pct": 14}
RATIOS = Ratios(0.99, 1.0, 1.01)

KINDS: tuple[rules.LimitKind, ...] = ("most", "least")
widths, spaces = st.floats(5, 200), st.floats(5, 200)
swings = st.builds(lambda dry, wet: Ratios(1 - dry, 1 + (wet - dry) / 2, 1 + wet), st.floats(0, 0.1), st.floats(0, 0.1))
limits = st.builds(Limit, st.floats(5, 200), st.sampled_from(KINDS))
tolerances = st.floats(0, 2)


def size(**more: Any) -> slats.SlatsResult:
    usual = {} if "opening_mm" in more else {"space_now_mm": 50}
    asked = slats.SlatsRequest(**{"species": STOCK, **YEAR, "slat_width_mm": 40, **usual, **more})
    return slats.result(asked, asked.bench())


# 40 mm slats, 50 mm apart: 0.4 mm more when dry, 0.4 mm less when wet; half of that at the ends of the row.
def test_a_row_worked_by_hand() -> None:
    found = size()
    assert found.space_dry_mm == pytest.approx(50.4)
    assert found.space_wet_mm == pytest.approx(49.6)
    assert found.end_space_dry_mm == pytest.approx(50.2)
    assert found.end_space_wet_mm == pytest.approx(49.8)
    assert found.pitch_mm == 90
    assert (found.slat_width_dry_mm, found.slat_width_wet_mm) == (pytest.approx(39.6), pytest.approx(40.4))
    assert found.within_limit is None
    assert found.margin_mm is None
    assert found.fits


# 10 slats of 40 mm in 1000 mm: (1000 − 400)/11 = 54.5455 mm.
def test_equal_spaces_worked_by_hand() -> None:
    found = size(opening_mm=1000, slats=10)
    assert found.space_now_mm == pytest.approx(54.5455, abs=5e-5)
    assert found.space_dry_mm == pytest.approx(54.9455, abs=5e-5)
    assert found.slats == 10


@given(st.floats(600, 2000), st.floats(5, 40), st.integers(2, 12))
def test_equal_spaces_and_slats_fill_the_row(opening: float, width: float, count: int) -> None:
    space = float(rules.equal_space(opening, width, count))
    assert space * (count + 1) + width * count == pytest.approx(opening)


@given(spaces, widths, swings)
def test_the_space_is_widest_when_dry_and_the_row_keeps_its_length(today: float, width: float, ratios: Ratios) -> None:
    dry, wet = (float(rules.space(today, width, ratio)) for ratio in (ratios.dry, ratios.wet))
    assert wet <= today <= dry
    for ratio, between in ((ratios.dry, dry), (ratios.wet, wet)):
        assert between + width * ratio == pytest.approx(today + width)
        ends = float(rules.end_space(today, width, ratio))
        # three slats: two ends, two spaces between, three widths
        assert 2 * ends + 2 * between + 3 * width * ratio == pytest.approx(4 * today + 3 * width)


@pytest.mark.parametrize(
    ("more", "within", "margin", "words"),
    [
        # widest 50.4 mm, narrowest 49.6 mm
        ({"limit_mm": 51}, True, 0.6, None),
        ({"limit_mm": 50.4}, True, 0.0, "is 50.4 mm: at your limit of at most 50.4 mm, with nothing to spare."),
        ({"limit_mm": 50}, False, -0.4, "is 50.4 mm: 0.4 mm past your limit of at most 50.0 mm."),
        ({"limit_mm": 51, "making_tolerance_mm": 0.5}, True, 0.1, None),
        ({"limit_mm": 51, "making_tolerance_mm": 0.6}, True, 0.0, "within the making tolerance of 0.6 mm from your"),
        ({"limit_mm": 51, "making_tolerance_mm": 1}, False, -0.4, "within the making tolerance of 1.0 mm from your"),
        ({"limit_mm": 49, "limit_kind": "least"}, True, 0.6, None),
        ({"limit_mm": 49.6, "limit_kind": "least"}, True, 0.0, "is 49.6 mm: at your limit of at least 49.6 mm"),
        ({"limit_mm": 50, "limit_kind": "least"}, False, -0.4, "is 49.6 mm: 0.4 mm past your limit of at least 50.0"),
        ({"limit_mm": 49, "limit_kind": "least", "making_tolerance_mm": 1}, False, -0.4, "tolerance of 1.0 mm from"),
    ],
)
def test_a_limit_is_held_to_the_worst_of_the_year(
    more: dict[str, Any], within: bool, margin: float, words: str | None
) -> None:
    found = size(**more)
    assert found.within_limit is within
    assert found.fits is within
    assert found.margin_mm == pytest.approx(margin, abs=1e-9)
    if words is None:
        assert found.cautions == list(slats.CAUTIONS)
    else:
        assert words in found.cautions[0]
    assert found.cautions[-3:] == list(slats.CAUTIONS)


@pytest.mark.parametrize("more", [{}, {"limit_mm": 200}, {"limit_mm": 5}, {"limit_mm": 5, "limit_kind": "least"}])
def test_the_cautions_are_always_shown_and_nothing_is_called_safe(more: dict[str, Any]) -> None:
    found = size(**more)
    said = " ".join([*found.cautions, *found.advice])
    assert "varies with the season" in said
    assert "not a safety assessment; it does not show compliance" in said
    assert "local authority or a licensed professional" in said
    assert re.search(r"\bsafe\b|\bcomplies\b|\bcompliant\b", said) is None


# A limit of at most 45 mm: leave 45 − 0.4 = 44.6 mm; in 1000 mm, (1000 − 44.6)/84.6 = 11.29, so 12 slats.
def test_a_row_past_its_limit_is_told_what_would_keep_it() -> None:
    found = size(opening_mm=1000, slats=10, limit_mm=45)
    assert found.space_to_leave_mm == pytest.approx(44.6)
    assert found.advice[:2] == [
        "Leave no more than 44.6 mm between them today: 84.6 mm from centre to centre.",
        "Use at least 12 slats in this row.",
    ]
    assert "then leave no more than 44.7 mm today" in found.advice[-1]
    assert size(space_now_mm=44.6, limit_mm=45).fits
    assert size(opening_mm=1000, slats=12, limit_mm=45).fits
    assert not size(opening_mm=1000, slats=11, limit_mm=45).fits
    assert size(space_now_mm=44.7, limit_mm=45, ring_angle_deg=90).fits


# 50 mm apart, at most 50.3 mm: 30 mm slats open by 0.3 mm.
def test_a_narrower_slat_is_told_where_one_would_do() -> None:
    found = size(limit_mm=50.3)
    assert "Keep this space today and make the slats no wider than 30.0 mm." in found.advice
    assert size(limit_mm=50.3, slat_width_mm=30).fits


def test_lengths_that_must_not_be_passed_are_said_on_the_safe_side() -> None:
    # quarter-sawn 45 mm slats, 50.27 mm at most: 50.27 − 45 · 0.006 = 50.0 mm; flat-sawn 49.82 mm, said as 49.8
    found = size(slat_width_mm=45, limit_mm=50.27)
    assert found.advice[0].startswith("Leave no more than 49.8 mm")
    # 50.45 mm when dry: said as 50.5, past by 0.18, said as 0.2
    assert "is 50.5 mm: 0.2 mm past" in found.cautions[0]
    least = size(slat_width_mm=45, limit_mm=49.73, limit_kind="least")
    assert least.advice[0].startswith("Leave no less than 50.2 mm")
    assert "is 49.5 mm: 0.2 mm past" in least.cautions[0]


def test_slats_that_touch_when_wet_do_not_fit() -> None:
    found = size(space_now_mm=0.4)
    assert not found.fits
    assert found.space_wet_mm == pytest.approx(0.0)
    assert found.advice == ["In the wettest season the slats would touch: leave more than 0.4 mm between them today."]
    assert size(space_now_mm=0.5).fits
    rough = size(space_now_mm=0.5, making_tolerance_mm=0.2)
    assert not rough.fits
    assert rough.advice[0].endswith("leave more than 0.6 mm between them today.")  # 0.4 of swelling and the tolerance


@given(widths, swings, limits, tolerances)
def test_space_to_leave_undoes_margin(width: float, ratios: Ratios, limit: Limit, tolerance: float) -> None:
    leave = float(rules.space_to_leave(width, ratios.dry, ratios.wet, limit, tolerance))
    assert rules.margin(leave, width, ratios.dry, ratios.wet, limit, tolerance) == pytest.approx(0, abs=1e-9)
    assume(SPACE[0] <= leave <= SPACE[1])
    assert rules.fit(width, leave, ratios, tolerance, limit).within_limit
    nearer = leave + (0.01 if limit.kind == "most" else -0.01)
    assume(nearer >= SPACE[0])
    assert rules.fit(width, nearer, ratios, tolerance, limit).within_limit is False


@given(spaces, swings, limits, tolerances)
def test_the_widest_slat_is_the_last_that_keeps_the_limit(
    today: float, ratios: Ratios, limit: Limit, tolerance: float
) -> None:
    widest = float(rules.widest_slat(today, ratios.dry, ratios.wet, limit, tolerance))
    assume(SLAT_WIDTH[0] <= widest <= 1e6)
    assert rules.margin(today, widest, ratios.dry, ratios.wet, limit, tolerance) == pytest.approx(0, abs=1e-6)
    assert float(rules.margin(today, widest + 1, ratios.dry, ratios.wet, limit, tolerance)) < 1e-6


def test_a_still_slat_may_be_any_width_within_the_limit() -> None:
    assert rules.widest_slat(50, 1.0, 1.01, Limit(50)) == np.inf
    assert rules.widest_slat(50, 1.0, 1.01, Limit(49.9)) == -np.inf
    assert rules.widest_slat(50, 0.99, 1.0, Limit(50, "least")) == np.inf


@given(st.floats(500, 2000), st.floats(10, 100), swings, limits, st.floats(0, 1))
def test_the_count_is_the_one_that_trying_each_finds(
    opening: float, width: float, ratios: Ratios, limit: Limit, tolerance: float
) -> None:
    counts = np.arange(COUNT[0], COUNT[1] + 1)
    today = np.asarray(rules.equal_space(opening, width, counts))
    # a space at the limit counts as within it
    kept = np.asarray(rules.margin(today, width, ratios.dry, ratios.wet, limit, tolerance)) >= -1e-9
    kept &= np.asarray(rules.space(today, width, ratios.wet)) - tolerance > 0
    found = float(rules.count_for(opening, width, ratios.dry, ratios.wet, limit, tolerance))
    if np.isnan(found):
        assert not kept.any()
    else:
        assert found == (counts[kept].min() if limit.kind == "most" else counts[kept].max())


def test_no_count_is_given_where_slats_would_not_go_in() -> None:
    # at most 5 mm between 100 mm slats that swell by 10 %: they would touch
    assert np.isnan(rules.count_for(1000, 100, 1.0, 1.1, Limit(5)))
    assert np.isnan(rules.count_for(10000, 2, 1.0, 1.0, Limit(5)))
    # 1.05 mm between nine slats that swell by 1 mm: they do go in; 1.0 mm and they touch
    assert rules.count_for(910.5, 100, 0.999, 1.01, Limit(2)) == 9
    assert np.isnan(rules.count_for(910.0, 100, 0.999, 1.01, Limit(2)))


def test_arrays_give_what_scalars_give() -> None:
    today, width = np.array([40.0, 50, 60]), np.array([20.0, 40, 60])
    dry, wet = np.array([0.98, 0.99, 1.0]), np.array([1.01, 1.02, 1.0])
    rows = list(zip(today, width, dry, wet, strict=True))
    for kind in KINDS:
        limit = Limit(50, kind)
        whole = np.asarray(rules.margin(today, width, dry, wet, limit, 0.1))
        assert whole.tolist() == [rules.margin(*row, limit, 0.1) for row in rows]
        counts = np.asarray(rules.count_for(1000, width, dry, wet, limit))
        assert counts.tolist() == [rules.count_for(1000, *row[1:], limit) for row in rows]
        widest = np.asarray(rules.widest_slat(today, dry, wet, limit))
        assert widest.tolist() == [rules.widest_slat(row[0], *row[2:], limit) for row in rows]
        assert type(rules.space_to_leave(40, 0.99, 1.01, limit)) is float


@pytest.mark.parametrize(
    ("function", "arguments", "name"),
    [
        (rules.equal_space, (9.9, 40, 10), "length of the row"),
        (rules.equal_space, (10000.1, 40, 10), "length of the row"),
        (rules.equal_space, (1000, 1.9, 10), "width of a slat"),
        (rules.equal_space, (1000, 40, 1), "number of slats"),
        (rules.equal_space, (1000, 40, 501), "number of slats"),
        (rules.space_to_leave, (500.1, 0.99, 1.01, Limit(50)), "width of a slat"),
        (rules.fit, (40, 0.05, RATIOS), "clear space"),
        (rules.fit, (40, 1000.1, RATIOS), "clear space"),
        (Limit, (0.0,), "limit"),
        (Limit, (1000.1,), "limit"),
    ],
)
def test_a_value_out_of_range_is_refused(function: Any, arguments: tuple[Any, ...], name: str) -> None:
    with pytest.raises(RangeError) as refused:
        function(*arguments)
    assert refused.value.name == name


def test_values_at_their_limits_are_taken() -> None:
    for end in (0, 1):
        row = COUNT[end] * SLAT_WIDTH[end] + (COUNT[end] + 1) * rules.equal_space(
            OPENING[end], SLAT_WIDTH[end], COUNT[end]
        )
        assert row == pytest.approx(OPENING[end])
        found = rules.fit(SLAT_WIDTH[end], SPACE[end], RATIOS, limit=Limit(SPACE[end]))
        assert found.margin == pytest.approx(-0.01 * SLAT_WIDTH[end])


@pytest.mark.parametrize(
    ("more", "field", "words"),
    [
        ({"space_now_mm": None}, (), "Give the clear space today, or both the row's length and its number of slats."),
        ({"opening_mm": 1000, "space_now_mm": 50}, (), "not both"),
        ({"opening_mm": 1000}, (), "both the row's length and its number of slats"),
        ({"opening_mm": 1000, "slats": 25}, ("slats",), "allowed is 2 to 24"),
        ({"opening_mm": 60, "slats": 2}, ("slats",), "too short for two slats"),
        ({"opening_mm": 1000, "slats": 1}, ("slats",), "greater than or equal to 2"),
        ({"limit_mm": 0}, ("limit_mm",), "greater than or equal to 0.1"),
        ({"slat_width_mm": 501}, ("slat_width_mm",), "less than or equal to 500"),
        ({"limit_kind": "about"}, ("limit_kind",), "'most' or 'least'"),
    ],
)
def test_a_refusal_is_at_its_field(more: dict[str, Any], field: tuple[str, ...], words: str) -> None:
    with pytest.raises(ValidationError) as refused:
        size(**more)
    [error] = refused.value.errors()
    assert error["loc"] == field
    assert words in error["msg"]


def test_the_most_slats_that_a_row_takes_still_have_a_space() -> None:
    assert size(opening_mm=1000, slats=24).space_now_mm >= SPACE[0]
