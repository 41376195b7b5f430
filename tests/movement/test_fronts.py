"""Inset fronts: hand-worked sizes and reveals, the rules that every recommendation keeps, inverses, limits, wording."""

from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pydantic import ValidationError

from movement.errors import RangeError
from movement.fits import fronts
from movement.fits.fronts import FIXED_EDGES, FixedEdge
from movement.fits.reveals import OPENING, REVEAL, SIZE, Reveals, bias_word, rounded_down
from movement.lengths import INCH, read, show
from movement.parts import front
from movement.season import Ratios

# Stock that moves by 0.25 % per 1 % MC at 10 % MC: from 10 % to 6 and 14 %, ratios 0.99 and 1.01 exactly.
STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
YEAR = {"moisture_now_pct": 10, "moisture_dry_pct": 6, "moisture_wet_pct": 14}
RATIOS = Ratios(0.99, 1.0, 1.01)

edges = st.sampled_from(FIXED_EDGES)
openings = st.floats(60, OPENING[1])
swings = st.builds(lambda dry, wet: Ratios(1 - dry, 1 + (wet - dry) / 2, 1 + wet), st.floats(0, 0.1), st.floats(0, 0.1))
reveals = st.builds(Reveals, least=st.floats(0, 8), fixed=st.floats(0, 8), tolerance=st.floats(0, 2))
ranges = st.builds(
    lambda wanted, more: replace(wanted, greatest=min(wanted.least + more, REVEAL[1])), reveals, st.floats(0, 20)
)


def request(**more: Any) -> front.FrontRequest:
    return front.FrontRequest(**{"species": STOCK, **YEAR, "opening_mm": 150, "least_reveal_mm": 1.5, **more})


def size(**more: Any) -> front.FrontResult:
    asked = request(**more)
    return front.result(asked, asked.bench())


# A drawer front 150 mm high in the opening, bottom fixed with no reveal of its own, least reveal 1.5 mm:
# cut (150 − 1.5)/1.01 = 147.0297 mm; wet 148.5 mm, so 1.5 mm; dry 145.5594 mm, so 4.4406 mm.
def test_a_drawer_front_worked_by_hand() -> None:
    found = size()
    assert found.direction == "height"
    assert found.fixed_edge == "bottom"
    assert found.cut_mm == pytest.approx(147.0297, abs=5e-5)
    assert found.reveal_now_mm == pytest.approx(2.9703, abs=5e-5)
    assert found.reveal_dry_mm == pytest.approx(4.4406, abs=5e-5)
    assert found.reveal_wet_mm == pytest.approx(1.5, abs=1e-9)
    assert (found.fixed_reveal_now_mm, found.fixed_reveal_dry_mm, found.fixed_reveal_wet_mm) == (0, 0, 0)
    assert found.fits
    assert found.advice == [
        "When driest the reveal opens to 4.5 mm, and no greatest is asked for. Enter the widest that you would accept, "
        "to be told what keeps it."
    ]
    assert size(greatest_reveal_mm=4.8).advice == []  # one is asked for, and kept


# The same with 1 mm at the bottom and ± 0.4 mm: (150 − 1 − 1.5 − 0.4)/1.01 = 145.6436 mm.
def test_the_fixed_edge_keeps_its_own_reveal_all_year() -> None:
    found = size(fixed_reveal_mm=1.0, making_tolerance_mm=0.4)
    assert found.cut_mm == pytest.approx(145.6436, abs=5e-5)
    assert found.reveal_wet_mm == pytest.approx(1.9, abs=1e-9)
    assert {found.fixed_reveal_now_mm, found.fixed_reveal_dry_mm, found.fixed_reveal_wet_mm} == {1.0}


# A slab door 450 mm wide, centred, 2 mm at each edge when wet: (450 − 4)/1.01 = 441.5842 mm; dry 437.1683 mm, so
# (450 − 437.1683)/2 = 6.4158 mm at each edge.
def test_a_centred_slab_door_shares_the_movement_worked_by_hand() -> None:
    found = size(front="slab door", fixed_edge="centred", opening_mm=450, least_reveal_mm=2)
    assert found.direction == "width"
    assert found.cut_mm == pytest.approx(441.5842, abs=5e-5)
    assert found.reveal_dry_mm == found.fixed_reveal_dry_mm == pytest.approx(6.4158, abs=5e-5)
    assert found.reveal_wet_mm == found.fixed_reveal_wet_mm == pytest.approx(2, abs=1e-9)


# Made 149 mm high for 150 mm: wet 150.49 mm, 0.49 mm too large; to cut is 147.0297 mm, 1.9703 mm off.
def test_a_front_already_made_too_large_is_to_be_planed() -> None:
    found = size(made_mm=149)
    assert not found.fits
    assert found.reveal_wet_mm == pytest.approx(-0.49, abs=1e-9)
    assert found.plane_off_mm == pytest.approx(1.9703, abs=5e-5)
    assert "binds: it is 0.5 mm too large" in found.advice[0]
    assert found.advice[1] == "Plane 2.0 mm off its height today, off the edge that moves, to 147.0 mm."


def test_a_front_already_made_too_small_is_told_by_how_much() -> None:
    # ≥ (150 − 5)/0.99 = 146.4646 mm for at most 5 mm when dry; 146 mm is 0.4646 mm short.
    found = size(made_mm=146, greatest_reveal_mm=5)
    assert not found.fits
    assert found.plane_off_mm == 0
    assert found.too_small_mm == pytest.approx(0.4646, abs=5e-5)
    assert found.advice[-1] == "Its height is 0.5 mm too small today: make it 147.0 mm, or edge it with a strip."


def test_without_a_greatest_reveal_no_front_is_too_small() -> None:
    found = size(made_mm=100)
    assert found.fits
    assert found.too_small_mm == 0
    assert found.cut_min_mm is None


def test_a_front_made_in_range_is_left_alone() -> None:
    found = size(made_mm=146.9, greatest_reveal_mm=5)
    assert found.fits
    assert (found.plane_off_mm, found.too_small_mm) == (0, 0)


# In 450 mm a slab moves by 2 % of 444 mm, 8.9 mm: 6 mm between least and greatest cannot be kept.
def test_a_slab_that_cannot_keep_both_reveals_is_told_what_would() -> None:
    found = size(front="slab door", opening_mm=450, least_reveal_mm=1, greatest_reveal_mm=6)
    assert not found.fits
    # 450 − (449/1.01) · 0.99 = 9.891 mm
    assert "allow 9.9 mm of reveal in the driest season" in found.advice[1]
    # quarter-sawn, 0.15 %: 450 − (449/1.006) · 0.994 = 6.3559 mm, said as 6.4 mm
    assert "quarter-sawn stock of the same species: then 6.4 mm is enough" in found.advice[2]
    # an opening H with H − (H − 1)/1.01 · 0.99 = 6: (6 · 1.01 − 0.99)/0.02
    assert found.advice[3] == "Divide the opening: this stock keeps both reveals in one of up to 253.5 mm."
    assert "framed door" in found.advice[-1]


def test_stock_wetter_than_the_year_is_told_to_dry() -> None:
    found = size(moisture_now_pct=18, moisture_wet_pct=12, greatest_reveal_mm=3)
    assert not found.fits
    assert any("drier stock: at 12.0 % moisture content" in line for line in found.advice)


def test_what_is_advised_works() -> None:
    slab = {"front": "slab door", "opening_mm": 450, "least_reveal_mm": 1}
    assert size(**slab, greatest_reveal_mm=9.9).fits
    assert not size(**slab, greatest_reveal_mm=9.8).fits
    assert size(**slab, greatest_reveal_mm=6.4, ring_angle_deg=90).fits
    assert size(front="slab door", opening_mm=253.5, least_reveal_mm=1, greatest_reveal_mm=6).fits
    assert size(made_mm=147.0).fits


def test_the_cut_is_rounded_down_to_the_step() -> None:
    found = size(size_step_mm=0.5)
    assert found.cut_mm == 147.0
    assert found.cut_max_mm == pytest.approx(147.0297, abs=5e-5)
    assert found.reveal_wet_mm > 1.5


def test_a_step_too_coarse_for_the_greatest_reveal_is_left_out() -> None:
    # 147.0297 mm rounded down to 25 mm would be 125 mm
    assert size(size_step_mm=25, greatest_reveal_mm=5).cut_mm == pytest.approx(147.0297, abs=5e-5)
    assert rounded_down(147.03, None, 0) == 147.03
    assert rounded_down(8.0, 10.0, 0) == 8.0


# Today the wettest that it will be: mid is drier, the reveal at mid is wider, so it is fitted tighter today.
def test_the_bias_says_which_way_today_differs_from_mid() -> None:
    wet, dry = size(moisture_now_pct=14), size(moisture_now_pct=6)
    assert wet.bias == "tighter"
    assert wet.bias_mm == pytest.approx(wet.reveal_now_mm - wet.reveal_mid_mm)
    assert dry.bias == "looser"
    assert size().bias == "neutral"
    assert [bias_word(bias) for bias in (0.06, -0.06, 0.04)] == ["looser", "tighter", "neutral"]


@given(openings, edges, swings, reveals, st.none() | st.floats(0.1, 2))
def test_no_recommended_front_binds_when_wet(
    opening: float, edge: FixedEdge, ratios: Ratios, wanted: Reveals, step: float | None
) -> None:
    found = fronts.fit(opening, edge, ratios, wanted, step=step)
    made_large = found.size * ratios.wet + wanted.tolerance
    assert fronts.reveal(opening, edge, made_large, wanted.fixed) >= wanted.least - 1e-9
    assert found.fits


@given(openings, edges, swings, reveals)
def test_a_larger_front_than_recommended_keeps_too_little(
    opening: float, edge: FixedEdge, ratios: Ratios, wanted: Reveals
) -> None:
    found = fronts.fit(opening, edge, ratios, wanted)
    assume(found.cut + 0.1 < SIZE[1])
    assert not fronts.fit(opening, edge, ratios, wanted, made=found.cut + 0.01).fits


@given(openings, edges, swings, ranges)
def test_a_front_that_fits_keeps_both_reveals(opening: float, edge: FixedEdge, ratios: Ratios, wanted: Reveals) -> None:
    found = fronts.fit(opening, edge, ratios, wanted)
    assume(found.fits)
    assert wanted.greatest is not None
    made_small = found.size * ratios.dry - wanted.tolerance
    assert fronts.reveal(opening, edge, made_small, wanted.fixed) <= wanted.greatest + 1e-9


@given(openings, edges, swings, reveals)
def test_least_opening_undoes_largest_size(opening: float, edge: FixedEdge, ratios: Ratios, wanted: Reveals) -> None:
    largest = fronts.largest_size(opening, edge, ratios.wet, wanted)
    assume(SIZE[0] <= float(largest) <= SIZE[1])
    assert fronts.least_opening(largest, edge, ratios.wet, wanted) == pytest.approx(opening, rel=1e-12)


@given(openings, edges, swings, reveals)
def test_widest_opening_undoes_dry_reveal(opening: float, edge: FixedEdge, ratios: Ratios, wanted: Reveals) -> None:
    greatest = float(fronts.dry_reveal(opening, edge, ratios.dry, ratios.wet, wanted))
    assume(wanted.least <= greatest <= REVEAL[1])
    assume(ratios.wet - ratios.dry > 1e-6)
    allowed = replace(wanted, greatest=greatest)
    assert fronts.widest_opening(edge, ratios.dry, ratios.wet, allowed) == pytest.approx(opening, rel=1e-5)


@given(edges, swings, ranges)
def test_the_widest_opening_is_the_last_that_works(edge: FixedEdge, ratios: Ratios, wanted: Reveals) -> None:
    widest = float(fronts.widest_opening(edge, ratios.dry, ratios.wet, wanted))
    assume(ratios.wet - ratios.dry > 1e-6)  # with less, 0.01 mm of opening is less than rounding tells apart
    assume(100 < widest < OPENING[1] - 1)
    assert fronts.fit(widest - 0.01, edge, ratios, wanted).fits
    assert not fronts.fit(widest + 0.01, edge, ratios, wanted).fits


def test_wood_that_does_not_move_serves_any_opening_the_tolerance_allows() -> None:
    assert fronts.widest_opening("hinge", 1.0, 1.0, Reveals(1, 2, tolerance=0.5)) == np.inf
    assert fronts.widest_opening("hinge", 1.0, 1.0, Reveals(1, 2, tolerance=0.6)) == -np.inf
    assert fronts.widest_opening("hinge", 0.99, 1.01, Reveals(1)) == np.inf
    assert fronts.widest_opening("hinge", 0.99, 1.01, Reveals(1, 2, fixed=3, tolerance=2)) < 3


@given(openings, edges, reveals, st.floats(1, 1.1), st.floats(1, 1.1))
def test_more_movement_never_allows_a_larger_front(
    opening: float, edge: FixedEdge, wanted: Reveals, one: float, other: float
) -> None:
    less, more = sorted((one, other))
    assert fronts.largest_size(opening, edge, more, wanted) <= fronts.largest_size(opening, edge, less, wanted)


@pytest.mark.parametrize("edge", FIXED_EDGES)
def test_arrays_give_what_scalars_give(edge: FixedEdge) -> None:
    openings, dry, wet = np.array([100.0, 200, 300]), np.array([0.98, 0.99, 1.0]), np.array([1.01, 1.02, 1.0])
    wanted = Reveals(1, 4, 0.5, 0.2)
    for function, arrays in (
        (fronts.largest_size, (wet,)),
        (fronts.smallest_size, (dry,)),
        (fronts.dry_reveal, (dry, wet)),
        (fronts.least_opening, (wet,)),
    ):
        whole = np.asarray(function(openings, edge, *arrays, wanted))
        one_by_one = [
            function(opening, edge, *ratios, wanted) for opening, *ratios in zip(openings, *arrays, strict=True)
        ]
        assert whole.tolist() == one_by_one
        assert all(type(value) is float for value in one_by_one)
    assert np.shape(fronts.smallest_size(openings, edge, dry[:, None], Reveals(1))) == (3, 3)
    assert np.shape(fronts.widest_opening(edge, dry, wet, wanted)) == (3,)


@pytest.mark.parametrize(
    ("fields", "name"),
    [
        ({"least": -0.1}, "least reveal"),
        ({"least": 25.1}, "least reveal"),
        ({"least": 1, "fixed": 25.1}, "reveal at the fixed edge"),
        ({"least": 1, "tolerance": 10.1}, "making tolerance"),
        ({"least": 2, "greatest": 1.9}, "greatest reveal"),
        ({"least": 2, "greatest": 25.1}, "greatest reveal"),
        ({"least": float("nan")}, "least reveal"),
    ],
)
def test_reveals_out_of_range_are_refused(fields: dict[str, float], name: str) -> None:
    with pytest.raises(RangeError) as refused:
        Reveals(**fields)
    assert refused.value.name == name


def test_reveals_at_their_limits_are_taken() -> None:
    for fields in ((0.0, 0.0, 0.0, 0.0), (25.0, 25.0, 25.0, 10.0)):
        taken = Reveals(*fields)
        assert (taken.least, taken.greatest, taken.fixed, taken.tolerance) == fields


@pytest.mark.parametrize("opening", [OPENING[0] - 0.01, OPENING[1] + 0.01])
def test_an_opening_out_of_range_is_refused(opening: float) -> None:
    for function in (fronts.largest_size, fronts.smallest_size):
        with pytest.raises(RangeError, match="opening"):
            function(opening, "bottom", 1.0, Reveals(1))


def test_an_opening_that_the_reveals_fill_is_refused_with_the_least_that_is_not() -> None:
    with pytest.raises(RangeError) as refused:
        fronts.fit(20, "bottom", RATIOS, Reveals(10, fixed=8))
    assert refused.value.name == "opening"
    assert refused.value.low == pytest.approx(5 * 1.01 + 18)
    assert fronts.fit(refused.value.low + 1e-9, "bottom", RATIOS, Reveals(10, fixed=8)).fits


@pytest.mark.parametrize("made", [SIZE[0] - 0.1, SIZE[1] + 0.1])
def test_a_made_size_out_of_range_is_refused(made: float) -> None:
    with pytest.raises(RangeError, match="size of the front"):
        fronts.fit(150, "bottom", RATIOS, Reveals(1), made=made)
    with pytest.raises(ValidationError):
        request(made_mm=made)


def test_an_unknown_edge_is_refused() -> None:
    with pytest.raises(ValueError, match="known are bottom, hinge, centred"):
        fronts.largest_size(150, "left", 1.0, Reveals(1))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("more", "field", "words"),
    [
        ({"fixed_edge": "hinge"}, "fixed_edge", "A drawer front is held at its bottom, or centred."),
        ({"front": "slab door", "fixed_edge": "bottom"}, "fixed_edge", "A slab door is held at its hinge, or centred."),
        ({"greatest_reveal_mm": 1.4}, "greatest_reveal_mm", "allowed is 1.5 to 25 mm"),
        ({"opening_mm": 9.9}, "opening_mm", "greater than or equal to 10"),
        ({"making_tolerance_mm": 10.1}, "making_tolerance_mm", "less than or equal to 10"),
        ({"size_step_mm": 0}, "size_step_mm", "greater than 0"),
        ({"reveal": 1}, "reveal", "not permitted"),
    ],
)
def test_a_refusal_is_at_its_field(more: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(ValidationError) as refused:
        request(**more)
    [error] = refused.value.errors()
    assert error["loc"] == (field,)
    assert words in error["msg"]


def test_the_usual_edge_of_each_front() -> None:
    assert request().edge == "bottom"
    assert request(front="slab door").edge == "hinge"


def test_a_climate_serves_as_well_as_two_moistures() -> None:
    climate = {"kind": "moisture", "dry_pct": 6, "wet_pct": 14}
    asked = front.FrontRequest(species=STOCK, moisture_now_pct=10, climate=climate, opening_mm=150, least_reveal_mm=1.5)
    assert front.result(asked, asked.bench()).cut_mm == pytest.approx(size().cut_mm)


def test_the_result_names_its_sources_and_moistures() -> None:
    found = size()
    assert (found.moisture_dry_pct, found.moisture_mid_pct, found.moisture_wet_pct) == (6, 10, 14)
    assert any("Wood Handbook" in source for source in found.sources)
    assert any("Rules of fit" in source for source in found.sources)


def test_advice_is_written_in_the_makers_unit_and_read_on_the_safe_side() -> None:
    asked = request(made_mm=149)
    bench = asked.bench(say=partial(show, unit="in", step=INCH / 64))
    found = front.result(asked, bench)
    said = found.advice[1].rsplit("to ", 1)[1].removesuffix(".")
    assert said.endswith('"')
    assert found.cut_mm - INCH / 64 < read(said) <= found.cut_mm
