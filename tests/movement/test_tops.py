"""Tops and breadboard ends: hand-worked slots and overhangs, slots that never bind, inverses, limits, wording."""

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pydantic import ValidationError

from movement.errors import RangeError
from movement.fits import tops
from movement.fits.tops import DISTANCE, FIXED_AT, OVERHANG, PLAY, SCREW, SLOT, TOP_WIDTH, FixedAt
from movement.parts import breadboard, slot, top

# Stock that moves by 0.25 % per 1 % MC at 10 % MC: from 10 % to 6 and 16 %, ratios 0.99 and 1.015 exactly.
STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
YEAR = {"moisture_now_pct": 10, "moisture_dry_pct": 6, "moisture_wet_pct": 16}
PART = {"species": STOCK, **YEAR}

distances = st.floats(*DISTANCE)
drys, wets = st.floats(0.9, 1), st.floats(1, 1.1)
screws, plays = st.floats(*SCREW), st.floats(0, 5)
places = st.sampled_from(FIXED_AT)


def size_slot(**more: Any) -> slot.SlotResult:
    asked = slot.SlotRequest(**{**PART, "distance_mm": 200, "screw_mm": 5, **more})
    return slot.slot_result(asked, asked.bench())


def size_top(**more: Any) -> top.TopResult:
    usual = {"top_width_mm": 500, "distances_mm": [0, 100, 200], "screw_mm": 5}
    asked = top.TopRequest(**{**PART, **usual, **more})
    return top.result(asked, asked.bench())


def size_end(**more: Any) -> breadboard.BreadboardResult:
    usual = {"top_width_mm": 800, "distances_mm": [180, 360], "screw_mm": 8}
    asked = breadboard.BreadboardRequest(**{**PART, **usual, **more})
    return breadboard.result(asked, asked.bench())


# 200 mm from the fixed place: outward 200 · 0.015 = 3 mm, inward 200 · 0.01 = 2 mm, with a 5 mm screw 10 mm.
def test_a_slot_worked_by_hand() -> None:
    found = size_slot()
    assert found.outward_mm == pytest.approx(3.0)
    assert found.inward_mm == pytest.approx(2.0)
    assert found.slot_mm == pytest.approx(10.0)
    assert found.outer_end_mm == pytest.approx(3 + 2.5)
    assert found.fits
    assert found.farthest_mm is None
    assert found.advice == []


def test_play_lengthens_the_slot_at_both_ends() -> None:
    found = size_slot(play_mm=1)
    assert found.slot_mm == pytest.approx(11.0)
    assert found.outer_end_mm == pytest.approx(6.0)
    assert (found.outward_mm, found.inward_mm) == (pytest.approx(3.0), pytest.approx(2.0))


# The wood that meets a standing pin when wet is today at 200/1.015 = 197.0443 mm, when dry at 200/0.99 = 202.0202 mm.
def test_a_hole_that_travels_past_a_pin_runs_the_other_way_worked_by_hand() -> None:
    found = size_slot(slot_in="top")
    assert found.inward_mm == pytest.approx(2.9557, abs=5e-5)
    assert found.outward_mm == pytest.approx(2.0202, abs=5e-5)


# (9 − 5)/0.025 = 160 mm
def test_the_farthest_that_a_slot_serves_worked_by_hand() -> None:
    found = size_slot(longest_slot_mm=9)
    assert not found.fits
    assert found.farthest_mm == pytest.approx(160.0)
    assert found.advice == [
        "A slot of 9.0 mm is too short: 10.0 mm is needed.",
        "It serves as far as 160.0 mm from the fixed place: move the fixing, or fix the top nearer to it.",
    ]
    assert size_slot(longest_slot_mm=9, distance_mm=160).fits
    assert size_slot(longest_slot_mm=10).fits


def test_a_slot_that_the_screw_does_not_enter_serves_nowhere() -> None:
    found = size_slot(longest_slot_mm=5, play_mm=1)
    assert found.farthest_mm is not None
    assert found.farthest_mm < 0
    assert "thinner screw or a longer slot" in found.advice[-1]


@given(distances, drys, wets, screws, plays)
def test_the_screw_stays_in_its_slot_all_year(x: float, dry: float, wet: float, screw: float, play: float) -> None:
    travel = tops.slot(x, dry, wet)
    length = float(tops.slot_length(travel, screw, play))
    outer = x + float(travel.outward) + (screw + play) / 2
    for ratio in (dry, 1.0, wet):
        assert x * ratio + screw / 2 <= outer + 1e-9
        assert x * ratio - screw / 2 >= outer - length - 1e-9


@given(distances, drys, wets)
def test_the_pin_stays_in_the_hole_that_travels_all_year(x: float, dry: float, wet: float) -> None:
    travel = tops.hole(x, dry, wet)
    for ratio in (dry, 1.0, wet):
        assert (x + float(travel.outward)) * ratio >= x - 1e-9
        assert (x - float(travel.inward)) * ratio <= x + 1e-9
    assert (x + float(travel.outward)) * dry == pytest.approx(x)
    assert (x - float(travel.inward)) * wet == pytest.approx(x)


@given(distances, drys, wets, screws, plays, st.booleans())
def test_farthest_undoes_slot_length(x: float, dry: float, wet: float, screw: float, play: float, pinned: bool) -> None:
    assume(wet - dry > 1e-4)
    travel = (tops.hole if pinned else tops.slot)(x, dry, wet)
    length = float(tops.slot_length(travel, screw, play))
    assume(length <= SLOT[1])
    assert tops.farthest(length, screw, dry, wet, play, pinned=pinned) == pytest.approx(x, rel=1e-9, abs=1e-6)


@given(distances, distances, drys, wets)
def test_a_farther_fixing_travels_more(one: float, other: float, dry: float, wet: float) -> None:
    near, far = sorted((one, other))
    for travel in (tops.slot, tops.hole):
        assert travel(near, dry, wet).outward <= travel(far, dry, wet).outward
        assert travel(near, dry, wet).inward <= travel(far, dry, wet).inward


def test_wood_that_does_not_move_needs_no_slot() -> None:
    assert tops.slot(300.0, 1.0, 1.0) == (0, 0)
    assert tops.farthest(5.0, 5.0, 1.0, 1.0) == np.inf
    assert tops.farthest(5.0, 5.0, 1.0, 1.0, 0.1) == -np.inf


def test_arrays_give_what_scalars_give() -> None:
    x, dry, wet = np.array([0.0, 100, 200]), np.array([0.98, 0.99, 1.0]), np.array([1.01, 1.02, 1.0])
    for function in (tops.slot, tops.hole):
        whole = function(x, dry, wet)
        each = [function(*values) for values in zip(x, dry, wet, strict=True)]
        assert np.asarray(whole.outward).tolist() == [one.outward for one in each]
        assert np.asarray(tops.slot_length(whole, 5.0)).tolist() == [tops.slot_length(one, 5.0) for one in each]
    assert np.shape(tops.farthest([6.0, 8.0], 5.0, dry[:, None], wet[:, None])) == (3, 2)


# 500 mm fixed at the centre: each edge 250 · 0.015 = 3.75 mm out when wet, 2.5 mm in when dry.
def test_a_top_fixed_at_its_centre_worked_by_hand() -> None:
    found = size_top(overhang_front_mm=20, overhang_back_mm=3)
    assert [row.slot_mm for row in found.slots] == pytest.approx([5.0, 7.5, 10.0])
    assert found.front.overhang_wet_mm == pytest.approx(23.75)
    assert found.front.overhang_dry_mm == pytest.approx(17.5)
    assert found.back.overhang_dry_mm == pytest.approx(0.5)
    assert (found.front.overhang_now_mm, found.back.overhang_now_mm) == (20, 3)
    assert (found.width_dry_mm, found.width_wet_mm) == (pytest.approx(495.0), pytest.approx(507.5))
    assert found.fits


# 500 mm held 30 mm in from the back: the front edge is 470 mm away and moves 7.05 mm, the back edge 0.45 mm.
def test_a_top_fixed_at_its_back_worked_by_hand() -> None:
    found = size_top(fixed_at="back", fixed_inset_mm=30, overhang_front_mm=20, overhang_back_mm=10)
    assert found.front.overhang_wet_mm == pytest.approx(27.05)
    assert found.back.overhang_wet_mm == pytest.approx(10.45)
    assert found.advice[0] == (
        "Hold the top still at the back only, let every other screw slide, and do not glue it to its base."
    )


def test_an_edge_that_draws_back_inside_the_frame_is_told_how_much_overhang_it_needs() -> None:
    found = size_top(fixed_at="back", overhang_front_mm=2)
    # 500 mm · 0.01 = 5 mm back when dry
    assert found.front.overhang_dry_mm == pytest.approx(-3.0)
    assert found.advice[1] == (
        "In the driest season the front edge draws back 3.0 mm inside the frame: leave 5.0 mm of overhang there today."
    )


def test_one_slot_too_short_is_enough_to_fail_a_top() -> None:
    found = size_top(longest_slot_mm=8)
    assert [row.fits for row in found.slots] == [True, True, False]
    assert not found.fits
    assert found.farthest_mm == pytest.approx(120.0)


@given(st.floats(*TOP_WIDTH), places, st.floats(0, 1))
def test_the_reach_to_both_edges_is_the_width(width: float, place: FixedAt, share: float) -> None:
    reach = tops.reach(width, place, share * width)
    assert reach.front + reach.back == pytest.approx(width)
    assert min(reach) >= 0


@given(st.floats(*OVERHANG), st.floats(*OVERHANG), st.floats(10, 1000), drys | wets)
def test_overhangs_change_by_what_the_width_does(front: float, back: float, width: float, ratio: float) -> None:
    reach = tops.reach(width, "front", width / 3)
    wider = float(tops.overhang(front, reach.front, ratio)) + float(tops.overhang(back, reach.back, ratio))
    assert wider - front - back == pytest.approx(width * (ratio - 1), abs=1e-9)


# 800 mm, flush today: each edge 400 mm away, 6 mm proud when wet, 4 mm shy when dry.
def test_a_breadboard_end_flush_today_worked_by_hand() -> None:
    found = size_end()
    assert found.end_length_mm == 800
    for end in (found.front, found.back):
        assert end.proud_now_mm == 0
        assert end.proud_wet_mm == pytest.approx(6.0)
        assert end.proud_dry_mm == pytest.approx(-4.0)
    # holes 360 · (1/0.99 − 1/1.015) = 8.9566 mm of travel, and the 8 mm pin
    assert found.slots[1].slot_mm == pytest.approx(16.9566, abs=5e-5)
    assert "up to 6.0 mm proud of the end" in found.advice[1]
    assert "up to 4.0 mm proud of the top" in found.advice[2]


# Flush at mid, 11 %: ratio 1.0025; today 1 mm shy at each edge, wet and dry 5 mm either way.
def test_a_breadboard_end_flush_at_mid_worked_by_hand() -> None:
    found = size_end(flush="mid")
    assert found.end_length_mm == pytest.approx(802.0)
    assert found.front.proud_now_mm == pytest.approx(-1.0)
    assert found.front.proud_mid_mm == 0
    assert found.front.proud_wet_mm == pytest.approx(5.0)
    assert found.front.proud_dry_mm == pytest.approx(-5.0)


def test_a_breadboard_end_fixed_at_one_edge_moves_at_the_other() -> None:
    found = size_end(fixed_at="front", distances_mm=[700])
    assert (found.front.proud_dry_mm, found.front.proud_wet_mm) == (0, 0)
    assert found.back.proud_wet_mm == pytest.approx(12.0)
    assert found.advice[0].startswith("Glue or pin the end fast near its front edge only")


def test_a_screw_at_an_end_of_its_slot_today_is_said() -> None:
    assert size_slot(moisture_now_pct=16).advice == [
        "Today is the wettest that it will be: set each screw at the outer end of its slot."
    ]
    assert size_slot(moisture_now_pct=6).advice == [
        "Today is the driest that it will be: set each screw at the inner end of its slot."
    ]
    assert size_end(moisture_now_pct=16).advice[-1] == (
        "Today is the wettest that it will be: set each pin at the inner end of its hole."
    )
    assert size_end(moisture_now_pct=6).advice[-1] == (
        "Today is the driest that it will be: set each pin at the outer end of its hole."
    )
    assert size_slot(distance_mm=0).advice == []


@pytest.mark.parametrize(
    ("function", "arguments", "name"),
    [
        (tops.slot, (-0.1, 0.99, 1.01), "distance from the fixed place"),
        (tops.hole, (3000.1, 0.99, 1.01), "distance from the fixed place"),
        (tops.slot_length, (tops.Travel(1, 1), 0.9), "diameter of the screw"),
        (tops.slot_length, (tops.Travel(1, 1), 5, 25.1), "play"),
        (tops.farthest, (0.9, 5, 0.99, 1.01), "length of the slot"),
        (tops.farthest, (10, 50.1, 0.99, 1.01), "diameter of the screw"),
        (tops.reach, (9.9, "centre"), "width of the top"),
        (tops.reach, (500, "front", 500.1), "inset of the fixing"),
    ],
)
def test_a_length_out_of_range_is_refused(function: Any, arguments: tuple[Any, ...], name: str) -> None:
    with pytest.raises(RangeError) as refused:
        function(*arguments)
    assert refused.value.name == name


def test_lengths_at_their_limits_are_taken() -> None:
    for end in (0, 1):
        assert tops.slot(DISTANCE[end], 0.99, 1.01) == pytest.approx((0.01 * DISTANCE[end], 0.01 * DISTANCE[end]))
        assert tops.slot_length(tops.Travel(0, 0), SCREW[end], PLAY[end]) == pytest.approx(SCREW[end] + PLAY[end])
        assert tops.farthest(SLOT[end], SCREW[0], 0.99, 1.01) == pytest.approx((SLOT[end] - SCREW[0]) / 0.02)
        assert tops.reach(TOP_WIDTH[end], "back", TOP_WIDTH[end]) == (0.0, TOP_WIDTH[end])


def test_an_unknown_place_is_refused() -> None:
    with pytest.raises(ValueError, match="known are centre, front, back"):
        tops.reach(500, "left")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("more", "field", "words"),
    [
        ({"distances_mm": [100, 251]}, "distances_mm", "is 251 mm; allowed is 0 to 250 mm"),
        ({"fixed_at": "front", "fixed_inset_mm": 501}, "fixed_inset_mm", "allowed is 0 to 500 mm"),
        ({"distances_mm": [1] * 101}, "distances_mm", "at most 100 items"),
        ({"overhang_front_mm": -1}, "overhang_front_mm", "greater than or equal to 0"),
        ({"screw_mm": 0}, "screw_mm", "greater than or equal to 1"),
    ],
)
def test_a_refusal_is_at_its_field(more: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(ValidationError) as refused:
        size_top(**more)
    [error] = refused.value.errors()
    assert error["loc"] == (field,)
    assert words in error["msg"]


def test_the_results_name_their_sources() -> None:
    for found in (size_slot(), size_top(), size_end()):
        assert any("Wood Handbook" in source for source in found.sources)
        assert any("Slots: derived here" in source for source in found.sources)
