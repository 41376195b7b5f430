"""Inset doors, single and in pairs: hand-worked widths and reveals, the rules kept, inverses, limits, wording."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pydantic import ValidationError

from movement.errors import RangeError
from movement.fits import doors, fronts
from movement.fits.doors import Leaves
from movement.fits.reveals import OPENING, REVEAL, SIZE, Reveals
from movement.parts import door
from movement.season import Ratios

# Stock that moves by 0.25 % per 1 % MC at 10 % MC: from 10 % to 6 and 14 %, ratios 0.99 and 1.01 exactly.
STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
YEAR = {"moisture_now_pct": 10, "moisture_dry_pct": 6, "moisture_wet_pct": 14}
RATIOS = Ratios(0.99, 1.0, 1.01)

leaves = st.sampled_from((1, 2))
openings = st.floats(500, OPENING[1])
stiles = st.none() | st.floats(60, 160)
swings = st.builds(lambda dry, wet: Ratios(1 - dry, 1 + (wet - dry) / 2, 1 + wet), st.floats(0, 0.1), st.floats(0, 0.1))
reveals = st.builds(Reveals, least=st.floats(0, 8), fixed=st.floats(0, 8), tolerance=st.floats(0, 2))
ranges = st.builds(
    lambda wanted, more: replace(wanted, greatest=min(wanted.least + more, REVEAL[1])), reveals, st.floats(0, 20)
)


def request(**more: Any) -> door.DoorRequest:
    usual = {"opening_mm": 400, "stile_width_mm": 60, "least_reveal_mm": 2, "fixed_reveal_mm": 1.5}
    return door.DoorRequest(**{"species": STOCK, **YEAR, **usual, **more})


def size(**more: Any) -> door.DoorResult:
    asked = request(**more)
    return door.result(asked, asked.bench())


# Two stiles of 60 mm grow by 1.2 mm when wet and shrink by 1.2 mm when dry: width 400 − 1.5 − 2 − 1.2 = 395.3 mm,
# closing reveal 3.2 mm today, 2 mm wet, 4.4 mm dry; rail 395.3 − 120 = 275.3 mm between its shoulders.
def test_a_framed_door_worked_by_hand() -> None:
    found = size()
    assert found.cut_width_mm == pytest.approx(395.3)
    assert found.rail_mm == pytest.approx(275.3)
    assert found.closing_reveal_now_mm == pytest.approx(3.2)
    assert found.closing_reveal_wet_mm == pytest.approx(2.0)
    assert found.closing_reveal_dry_mm == pytest.approx(4.4)
    assert found.hinge_reveal_mm == 1.5
    assert (found.width_dry_mm, found.width_wet_mm) == (pytest.approx(394.1), pytest.approx(396.5))
    assert found.fits


# A pair in 800 mm: each leaf (800 − 3 − 2)/2 − 1.2 = 396.3 mm; between them 800 − 3 − 2 · 396.3 = 4.4 mm today,
# 2 mm wet, 6.8 mm dry.
def test_a_pair_of_framed_doors_worked_by_hand() -> None:
    found = size(opening_mm=800, leaves=2)
    assert found.cut_width_mm == pytest.approx(396.3)
    assert found.closing_reveal_now_mm == pytest.approx(4.4)
    assert found.closing_reveal_wet_mm == pytest.approx(2.0)
    assert found.closing_reveal_dry_mm == pytest.approx(6.8)


# A wider closing stile, 60 + 80 mm: 1.4 mm when wet.
def test_stiles_of_two_widths_are_added() -> None:
    assert size(closing_stile_width_mm=80).cut_width_mm == pytest.approx(395.1)


# A pair of slabs in 800 mm: each (800 − 3 − 2)/2/1.01 = 393.5644 mm.
def test_a_pair_of_slabs_worked_by_hand() -> None:
    found = size(opening_mm=800, leaves=2, construction="slab", stile_width_mm=None)
    assert found.cut_width_mm == pytest.approx(393.5644, abs=5e-5)
    assert found.closing_reveal_wet_mm == pytest.approx(2.0)
    assert found.closing_reveal_dry_mm == pytest.approx(800 - 3 - 2 * 393.564356 * 0.99)
    assert found.rail_mm is None


# ± 0.5 mm on each leaf of a pair: 0.5 mm narrower each, 1 mm more between them at its nominal width.
def test_each_leaf_of_a_pair_brings_its_own_tolerance() -> None:
    found = size(opening_mm=800, leaves=2, making_tolerance_mm=0.5)
    assert found.cut_width_mm == pytest.approx(395.8)
    assert found.closing_reveal_wet_mm == pytest.approx(3.0)


def test_the_height_is_the_same_all_year() -> None:
    found = size(opening_height_mm=700, top_reveal_mm=2, bottom_reveal_mm=3)
    assert found.cut_height_mm == 695
    # along the grain, 0.2 % green to oven-dry over 30 % MC, 6 to 14 %: 695 mm · 0.2 % · 8/30 = 0.37 mm
    assert found.height_change_mm == pytest.approx(0.37, abs=0.005)
    assert size().cut_height_mm is None
    assert size().height_change_mm is None


@given(openings, leaves, st.floats(60, 160), swings, reveals)
def test_a_framed_door_moves_less_than_a_slab(
    opening: float, count: Leaves, both: float, ratios: Ratios, wanted: Reveals
) -> None:
    framed = doors.fit(opening, count, both, ratios, wanted)
    slab = doors.fit(opening, count, None, ratios, wanted)
    assert framed.cut >= slab.cut - 1e-9
    assert framed.closing_at(ratios.dry) <= slab.closing_at(ratios.dry) + 1e-9


@given(openings, swings, reveals)
def test_one_slab_is_a_front_with_its_hinge_fixed(opening: float, ratios: Ratios, wanted: Reveals) -> None:
    slab = doors.fit(opening, 1, None, ratios, wanted)
    front = fronts.fit(opening, "hinge", ratios, wanted)
    assert slab.cut == pytest.approx(front.cut, rel=1e-12)
    assert slab.closing_at(ratios.dry) == pytest.approx(front.reveal_at(ratios.dry), rel=1e-12, abs=1e-9)


@given(openings, leaves, stiles, swings, reveals, st.none() | st.floats(0.1, 2))
def test_no_recommended_door_binds_when_wet(
    opening: float, count: Leaves, both: float | None, ratios: Ratios, wanted: Reveals, step: float | None
) -> None:
    found = doors.fit(opening, count, both, ratios, wanted, step=step)
    assert found.closing_at(ratios.wet) - count * wanted.tolerance >= wanted.least - 1e-9
    assert found.fits


@given(openings, leaves, stiles, swings, ranges)
def test_a_door_that_fits_keeps_both_reveals(
    opening: float, count: Leaves, both: float | None, ratios: Ratios, wanted: Reveals
) -> None:
    found = doors.fit(opening, count, both, ratios, wanted)
    assume(found.fits)
    assert wanted.greatest is not None
    assert found.closing_at(ratios.dry) + count * wanted.tolerance <= wanted.greatest + count * 1.01e-9


@given(openings, leaves, stiles, swings, reveals)
def test_a_wider_leaf_than_recommended_keeps_too_little(
    opening: float, count: Leaves, both: float | None, ratios: Ratios, wanted: Reveals
) -> None:
    found = doors.fit(opening, count, both, ratios, wanted)
    assume(found.cut + 0.01 < SIZE[1])
    assert not doors.fit(opening, count, both, ratios, wanted, made=found.cut + 0.01).fits


@given(openings, leaves, stiles, swings, reveals)
def test_least_opening_undoes_widest_leaf(
    opening: float, count: Leaves, both: float | None, ratios: Ratios, wanted: Reveals
) -> None:
    leaf = doors.widest_leaf(opening, count, both, ratios.wet, wanted)
    assert doors.least_opening(leaf, count, both, ratios.wet, wanted) == pytest.approx(opening, rel=1e-12)


@given(openings, leaves, swings, ranges)
def test_the_widest_stiles_are_the_last_that_keep_both_reveals(
    opening: float, count: Leaves, ratios: Ratios, wanted: Reveals
) -> None:
    widest = float(doors.widest_stiles(count, ratios.dry, ratios.wet, wanted))
    assume(30 < widest < 200)
    assert doors.fit(opening, count, widest - 0.01, ratios, wanted).fits
    # the swing of 0.5 mm more stile must show above the rule's own slack
    assume(ratios.wet - ratios.dry > 1e-6)
    assert not doors.fit(opening, count, widest + 0.5, ratios, wanted).fits


@given(openings, leaves, stiles, swings, reveals)
def test_the_dry_reveal_is_the_least_that_can_be_asked_for(
    opening: float, count: Leaves, both: float | None, ratios: Ratios, wanted: Reveals
) -> None:
    greatest = float(doors.dry_reveal(opening, count, both, ratios.dry, ratios.wet, wanted))
    assume(wanted.least + 0.1 <= greatest <= REVEAL[1] - 0.1)
    assert doors.fit(opening, count, both, ratios, replace(wanted, greatest=greatest + 1e-6)).fits
    assert not doors.fit(opening, count, both, ratios, replace(wanted, greatest=greatest - 0.01)).fits


def test_wood_that_does_not_move_takes_any_stiles_the_tolerance_allows() -> None:
    assert doors.widest_stiles(1, 1.0, 1.0, Reveals(1, 2, tolerance=0.5)) == np.inf
    assert doors.widest_stiles(1, 1.0, 1.0, Reveals(1, 2, tolerance=0.6)) == -np.inf
    assert doors.widest_stiles(2, 0.99, 1.01, Reveals(1)) == np.inf
    assert doors.widest_stiles(2, 0.99, 1.01, Reveals(1, 2, tolerance=0.6)) < 0


@pytest.mark.parametrize("both", [None, 120.0])
def test_arrays_give_what_scalars_give(both: float | None) -> None:
    openings, dry, wet = np.array([300.0, 400, 500]), np.array([0.98, 0.99, 1.0]), np.array([1.01, 1.02, 1.0])
    wanted = Reveals(1, 4, 0.5, 0.2)
    for function, arrays in (
        (doors.widest_leaf, (wet,)),
        (doors.narrowest_leaf, (dry,)),
        (doors.dry_reveal, (dry, wet)),
        (doors.least_opening, (wet,)),
    ):
        whole = np.asarray(function(openings, 2, both, *arrays, wanted))
        one_by_one = [
            function(opening, 2, both, *ratios, wanted) for opening, *ratios in zip(openings, *arrays, strict=True)
        ]
        assert whole.tolist() == one_by_one
        assert all(type(value) is float for value in one_by_one)
    assert np.shape(doors.narrowest_leaf(openings, 1, both, dry[:, None], Reveals(1))) == (3, 3)
    assert np.shape(doors.widest_stiles(1, dry, wet, wanted)) == (3,)


def test_a_pair_already_made_too_wide_is_to_be_planed() -> None:
    # 400 mm each in 803.2 mm: 0.2 mm today, 2.4 mm less when wet
    found = size(opening_mm=803.2, leaves=2, made_width_mm=400)
    assert not found.fits
    assert found.plane_off_mm == pytest.approx(400 - 397.9)
    assert found.advice == [
        "In the wettest season it binds: it is 2.2 mm too large for each edge that moves.",
        "Plane 2.1 mm off each leaf today, at its closing edge, to 397.9 mm.",
    ]


def test_a_door_already_made_too_narrow_is_told_by_how_much() -> None:
    # dry 400 − 1.5 − (390 − 1.2) = 9.7 mm; at most 6 mm takes 393.7 mm
    found = size(made_width_mm=390, greatest_reveal_mm=6)
    assert found.too_small_mm == pytest.approx(3.7)
    assert found.advice == [
        "In the driest season the reveal is 9.7 mm; no more than 6.0 mm is wanted.",
        "It is 3.7 mm too narrow today: make the door 395.3 mm wide, or edge it with a strip.",
    ]


def test_a_pair_that_cannot_keep_both_reveals_is_told_what_would() -> None:
    pair = {"opening_mm": 800, "leaves": 2}
    found = size(**pair, greatest_reveal_mm=5)
    assert not found.fits
    assert "allow 6.8 mm of reveal" in found.advice[1]
    # (5 − 2)/2/0.02 = 75 mm
    assert "the two of one leaf together up to 75.0 mm" in found.advice[2]
    # quarter-sawn: 2 + 2 · 120 mm · 0.012 = 4.88 mm
    assert "then 4.9 mm is enough" in found.advice[3]
    assert size(**pair, greatest_reveal_mm=6.8 + 1e-9).fits
    assert size(**pair, greatest_reveal_mm=5, stile_width_mm=37.5).fits
    assert size(**pair, greatest_reveal_mm=5, ring_angle_deg=90).fits


def test_a_slab_that_cannot_keep_both_reveals_is_told_to_be_framed() -> None:
    found = size(construction="slab", stile_width_mm=None, greatest_reveal_mm=5, moisture_now_pct=18)
    assert "Make it framed: then only its two stiles move in width." in found.advice
    assert any("drier stock" in line for line in found.advice)


def test_stiles_too_narrow_to_be_made_are_not_advised() -> None:
    found = size(opening_mm=800, leaves=2, greatest_reveal_mm=2.1)
    assert not found.fits
    assert not any("narrower stiles" in line for line in found.advice)


def test_the_width_is_rounded_down_to_the_step() -> None:
    found = size(size_step_mm=0.5)
    assert found.cut_width_mm == 395.0
    assert found.rail_mm == 275.0
    assert found.cut_width_max_mm == pytest.approx(395.3)
    assert found.cut_width_min_mm is None


def test_the_bias_says_which_way_today_differs_from_mid() -> None:
    assert size(moisture_now_pct=14).bias == "tighter"
    assert size(moisture_now_pct=6).bias == "looser"
    assert size().bias == "neutral"


def test_stiles_wider_than_the_door_are_refused() -> None:
    with pytest.raises(RangeError) as refused:
        doors.fit(100, 1, 99.0, RATIOS, Reveals(2))
    assert refused.value.name == "width of both stiles"
    assert refused.value.high == pytest.approx(100 - 2 - 0.99)


def test_an_opening_that_the_reveals_fill_is_refused_with_the_least_that_is_not() -> None:
    with pytest.raises(RangeError) as refused:
        doors.fit(40, 2, None, RATIOS, Reveals(20, fixed=8))
    assert refused.value.name == "width of the opening"
    assert refused.value.low == pytest.approx(2 * (5 * 1.01 + 8) + 20)


@pytest.mark.parametrize(
    ("function", "arguments", "name"),
    [
        (doors.widest_leaf, (9.9, 1, None, 1.0, Reveals(1)), "width of the opening"),
        (doors.narrowest_leaf, (3000.1, 1, None, 1.0, Reveals(1)), "width of the opening"),
        (doors.widest_leaf, (400, 1, 9.9, 1.0, Reveals(1)), "width of both stiles"),
        (doors.widest_leaf, (400, 1, 1000.1, 1.0, Reveals(1)), "width of both stiles"),
        (doors.least_opening, (4.9, 1, None, 1.0, Reveals(1)), "width of a leaf"),
        (doors.fit, (400, 1, None, RATIOS, Reveals(1), 3000.1), "width of a leaf"),
    ],
)
def test_a_length_out_of_range_is_refused(function: Any, arguments: tuple[Any, ...], name: str) -> None:
    with pytest.raises(RangeError) as refused:
        function(*arguments)
    assert refused.value.name == name


def test_a_height_that_the_reveals_fill_is_refused() -> None:
    with pytest.raises(RangeError, match="height of the opening is 30 mm; allowed is 35 to 3000 mm"):
        size(opening_height_mm=30, top_reveal_mm=15, bottom_reveal_mm=15)


@pytest.mark.parametrize(
    ("more", "field", "words"),
    [
        ({"stile_width_mm": None}, "stile_width_mm", "give the width of one"),
        ({"construction": "slab"}, "stile_width_mm", "A slab has no stiles"),
        ({"leaves": 3}, "leaves", "1 or 2"),
        ({"greatest_reveal_mm": 1.9}, "greatest_reveal_mm", "allowed is 2 to 25 mm"),
        ({"top_reveal_mm": 25.1}, "top_reveal_mm", "less than or equal to 25"),
    ],
)
def test_a_refusal_is_at_its_field(more: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(ValidationError) as refused:
        request(**more)
    [error] = refused.value.errors()
    assert error["loc"] == (field,)
    assert words in error["msg"]
