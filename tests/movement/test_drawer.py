"""Drawers: hand-worked sides, bottoms and room behind, the rules that every recommendation keeps, inverses, wording."""

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pydantic import ValidationError

from movement.errors import RangeError
from movement.fits import bottom, drawer
from movement.fits.bottom import BACK, FRONT_GROOVE, INSET, WIDTH
from movement.fits.drawer import CASE_GRAINS, DEPTH, HEIGHT, CaseGrain
from movement.fits.panel import Clearances
from movement.parts import drawer as part
from movement.season import Ratios

# Stock that moves by 0.25 % per 1 % MC at 10 % MC: from 10 % to 6 and 14 %, ratios 0.99 and 1.01 exactly.
STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
# and one that moves by 0.5 %: 0.98 and 1.02
LIVELY = {"name": "Plum, from the garden", "coefficient_radial": 0.0025, "coefficient_tangential": 0.005}
YEAR = {"moisture_now_pct": 10, "moisture_dry_pct": 6, "moisture_wet_pct": 14}
RATIOS = Ratios(0.99, 1.0, 1.01)
KEEP = Clearances(3.0, 0.5, 0.0)
BOTTOM = {"case_depth_mm": 450, "front_groove_mm": 6, "back_thickness_mm": 12}

grains = st.sampled_from(CASE_GRAINS)
swings = st.builds(
    lambda dry, wet: Ratios(1 - dry, 1 + (wet - dry) / 2, 1 + wet), st.floats(0, 0.08), st.floats(0, 0.08)
)
kept = st.builds(Clearances, st.floats(0, 6), st.floats(0, 3), st.floats(0, 1))
heights = st.floats(30, 600)
depths = st.floats(150, 900)
stiles = st.floats(20, 70)
steps = st.sampled_from([None, 0.1, 0.5, 25.4 / 32])


def request(**more: Any) -> part.DrawerRequest:
    return part.DrawerRequest(**{"species": STOCK, **YEAR, "opening_height_mm": 120, **more})


def size(**more: Any) -> part.DrawerResult:
    asked = request(**more)
    return part.result(asked, *asked.benches())


# Case sides with vertical grain: the opening stays 120 mm. (120 − 0.5)/1.01 = 118.316832 mm; it grows 1.183168 mm when
# wet and shrinks as much when dry: 1.683168 mm of room today, 2.866337 mm when dry.
def test_the_height_of_the_sides_worked_by_hand() -> None:
    found = size()
    assert found.fits
    assert found.side_height_mm == found.side_height_max_mm == pytest.approx(118.316832, abs=1e-6)
    assert found.clearance_now_mm == pytest.approx(1.683168, abs=1e-6)
    assert found.clearance_dry_mm == pytest.approx(2.866337, abs=1e-6)
    assert found.clearance_wet_mm == pytest.approx(0.5, abs=1e-9)
    assert found.bottom_width_mm is None
    assert found.side_length_mm is None


# Made at 6 %, for 6 to 12 %: 1.005/0.99 = 1.0151515; (120 − 0.5)/1.0151515 = 117.716418 mm, 2.283582 mm of room today.
def test_a_drawer_made_in_dry_air_is_left_looser() -> None:
    found = size(moisture_now_pct=6, moisture_dry_pct=6, moisture_wet_pct=12)
    assert found.side_height_mm == pytest.approx(117.716418, abs=1e-6)
    assert found.clearance_now_mm == found.clearance_dry_mm == pytest.approx(2.283582, abs=1e-6)
    assert found.bias == "looser"
    assert found.bias_mm == pytest.approx(found.clearance_now_mm - found.clearance_mid_mm)


# Case sides with horizontal grain move with the drawer: of the same stock, 120 − 0.5/ρ is least at ρ = 0.99:
# (118.8 − 0.5)/0.99 = 119.494949 mm. A livelier case shrinks more than its drawer: (117.6 − 0.5)/0.99 = 118.282828 mm.
def test_a_case_with_horizontal_grain_moves_with_its_drawers_and_binds_when_dry() -> None:
    same = size(case_grain="horizontal")
    assert same.side_height_mm == pytest.approx(119.494949, abs=1e-6)
    assert same.clearance_dry_mm == pytest.approx(0.5, abs=1e-9)
    assert same.clearance_wet_mm == pytest.approx(121.2 - 119.494949 * 1.01, abs=1e-5)
    lively = size(case_grain="horizontal", case_species=LIVELY)
    assert lively.side_height_mm == pytest.approx(118.282828, abs=1e-6)


# Vertical grain: 450 mm of depth shrinks to 445.5 mm, so sides of 445 mm; 5 mm of room today, 0.5 mm when dry, 9.5 wet.
def test_a_case_with_vertical_grain_loses_depth_when_dry() -> None:
    found = size(case_depth_mm=450)
    assert found.case_depth_dry_mm == pytest.approx(445.5)
    assert found.side_length_mm == pytest.approx(445.0)
    assert (found.back_clearance_now_mm, found.back_clearance_dry_mm) == (pytest.approx(5.0), pytest.approx(0.5))
    assert found.back_clearance_wet_mm == pytest.approx(9.5)
    assert "loses 4.5 mm of its depth" in found.advice[0]


# Horizontal grain keeps the depth: 449.5 mm. A frame with two stiles of 60 mm loses 120·0.01 = 1.2 mm: 448.3 mm.
def test_other_cases_keep_all_or_nearly_all_of_their_depth() -> None:
    assert size(case_depth_mm=450, case_grain="horizontal").side_length_mm == pytest.approx(449.5)
    framed = size(case_depth_mm=450, case_grain="frame", case_stile_width_mm=60)
    assert framed.side_length_mm == pytest.approx(448.3)
    assert framed.side_height_mm == size().side_height_mm


# Sides 445 mm, groove 6 mm, back 12 mm thick and 8 mm in: bottom at most 451/1.01 = 446.534653 mm, at least
# (451 − 8 − 12 + 3)/0.99 = 438.383838 mm. It ends 446.534653 − 6 − 437 = 3.534653 mm past the back today, 4.465347 mm
# less or more at the ends of the year. The screw is 6 + 437 − 6 = 437 mm from the front edge: 437 (1 − 1/1.01) =
# 4.326733 mm of slot forward, 437 (1/0.99 − 1) = 4.414141 mm backward.
def test_the_bottom_worked_by_hand() -> None:
    found = size(**BOTTOM, back_inset_mm=8)
    assert found.fits
    assert found.bottom_width_mm == found.bottom_width_max_mm == pytest.approx(446.534653, abs=1e-6)
    assert found.bottom_width_min_mm == pytest.approx(438.383838, abs=1e-6)
    assert found.past_back_now_mm == pytest.approx(3.534653, abs=1e-6)
    assert found.past_back_wet_mm == pytest.approx(8.0, abs=1e-6)
    assert found.past_back_dry_mm == pytest.approx(3.534653 - 4.465347, abs=2e-6)
    assert found.bottom_cover_dry_mm == pytest.approx(12 + 3.534653 - 4.465347, abs=2e-6)
    assert found.slot_forward_mm == pytest.approx(4.326733, abs=1e-6)
    assert found.slot_backward_mm == pytest.approx(4.414141, abs=1e-6)
    assert "4.4 mm toward the front and 4.5 mm toward the back" in found.advice[-1]


# Flush with the ends of the sides, a 12 mm back gives (451 − 12 + 3)/0.99 = 446.46 mm at least: just less than at most.
# A livelier bottom wants 451/1.02 = 442.157 mm at most and 451.02 mm at least; with the back in by
# 451 − 12 + 3 − 0.98/1.02·451 = 8.686275 mm it works.
def test_a_bottom_that_moves_too_much_asks_for_another_back() -> None:
    assert size(**BOTTOM).fits
    lively = size(**BOTTOM, bottom_species=LIVELY)
    assert not lively.fits
    assert "Set the back at least 8.7 mm in" in lively.advice[-2]
    assert "quarter-sawn" in lively.advice[-1]
    assert size(**BOTTOM, bottom_species=LIVELY, back_inset_mm=8.686276).fits
    assert not size(**BOTTOM, bottom_species=LIVELY, back_inset_mm=8.686270).fits


@given(heights, grains, swings, swings, kept, steps)
def test_no_recommended_side_binds_in_any_season(
    opening: float, grain: CaseGrain, sides: Ratios, case: Ratios, keep: Clearances, step: float | None
) -> None:
    found = drawer.fit_side(opening, grain, sides, case, keep, step=step)
    assert found.fits
    least = keep.gap + keep.tolerance - 1e-9
    # the seasons between the driest and the wettest, with it
    for share in np.linspace(0, 1, 11):
        for end in ("dry", "wet"):
            ratio = 1 + share * (getattr(sides, end) - 1)
            case_ratio = 1 + share * (getattr(case, end) - 1)
            assert found.clearance_at(ratio, case_ratio) >= least


@given(depths, grains, swings, kept, stiles, steps)
def test_every_recommended_drawer_closes_in_any_season(
    depth: float, grain: CaseGrain, case: Ratios, keep: Clearances, stile: float, step: float | None
) -> None:
    found = drawer.fit_length(depth, grain, case, keep, stile, step=step)
    assert found.fits
    least = keep.gap + keep.tolerance - 1e-9
    assert min(found.clearance_at(ratio) for ratio in (case.dry, 1.0, case.wet)) >= least


@given(depths, st.floats(3, 12), st.floats(6, 20), st.floats(0, 30), swings, kept, steps)
def test_every_bottom_that_fits_stays_under_its_back_and_within_its_sides(
    side: float, front: float, back: float, inset: float, ratios: Ratios, keep: Clearances, step: float | None
) -> None:
    found = bottom.fit(side, front, back, inset, ratios, keep, step=step)
    assert found.fits == (found.narrowest <= found.widest + 1e-9) or abs(found.narrowest - found.widest) < 1e-6
    assume(found.fits)
    assert found.past_back_at(ratios.wet) + keep.tolerance <= inset + 1e-8
    assert found.cover_at(ratios.dry) - keep.tolerance >= keep.engagement - 1e-8


@given(depths, st.floats(3, 12), st.floats(6, 20), swings, kept)
def test_the_least_inset_is_where_a_bottom_begins_to_work(
    side: float, front: float, back: float, ratios: Ratios, keep: Clearances
) -> None:
    least = float(bottom.least_inset(side, front, back, ratios.dry, ratios.wet, keep))
    assume(0.001 <= least <= min(side - back, INSET[1]) - 0.001)
    assert bottom.fit(side, front, back, least + 0.001, ratios, keep).fits
    assert not bottom.fit(side, front, back, least - 0.001, ratios, keep).fits


# The slot's ends move with the bottom: they come to the screw at the two ends of the year, and not before.
@given(depths, st.floats(3, 12), st.floats(6, 20), swings)
def test_the_slot_reaches_the_screw_all_year(side: float, front: float, back: float, ratios: Ratios) -> None:
    found = bottom.fit(side, front, back, 10.0, ratios, KEEP, width=side)
    screw = front + found.outer - back / 2
    backward, forward = (float(travel) for travel in found.slot)
    assert (screw - forward) * ratios.wet == pytest.approx(screw)
    assert (screw + backward) * ratios.dry == pytest.approx(screw)


# Inverses, monotony, arrays.


@given(heights, grains, swings, swings, kept)
def test_opening_and_side_height_are_inverse(
    opening: float, grain: CaseGrain, sides: Ratios, case: Ratios, keep: Clearances
) -> None:
    tallest = float(drawer.tallest_side(opening, grain, sides, case, keep))
    assert drawer.lowest_opening(tallest, grain, sides, case, keep) == pytest.approx(opening, rel=1e-12)


@given(depths, grains, swings, kept, stiles)
def test_case_depth_and_side_length_are_inverse(
    depth: float, grain: CaseGrain, case: Ratios, keep: Clearances, stile: float
) -> None:
    longest = float(drawer.longest_side(depth, grain, case.dry, keep, stile))
    assert drawer.shallowest_case(longest, grain, case.dry, keep, stile) == pytest.approx(depth, rel=1e-12)


@given(heights, swings, st.floats(0, 0.02))
def test_more_swelling_asks_for_lower_sides(opening: float, ratios: Ratios, more: float) -> None:
    lively = Ratios(ratios.dry, ratios.mid, ratios.wet + more)
    calm_side = drawer.tallest_side(opening, "vertical", ratios, ratios, KEEP)
    assert drawer.tallest_side(opening, "vertical", lively, lively, KEEP) <= calm_side


def test_arrays_give_what_scalars_give() -> None:
    openings, drys = np.array([80.0, 120.0, 200.0]), np.array([0.98, 0.99, 1.0])
    for grain in CASE_GRAINS:
        tallest = np.asarray(drawer.tallest_side(openings, grain, RATIOS, RATIOS, KEEP))
        lowest = np.asarray(drawer.lowest_opening(openings, grain, RATIOS, RATIOS, KEEP))
        longest = np.asarray(drawer.longest_side(openings, grain, drys, KEEP, 40.0))
        for k in range(3):
            assert tallest[k] == drawer.tallest_side(openings[k], grain, RATIOS, RATIOS, KEEP)
            assert lowest[k] == drawer.lowest_opening(openings[k], grain, RATIOS, RATIOS, KEEP)
            assert longest[k] == drawer.longest_side(openings[k], grain, drys[k], KEEP, 40.0)
    least, most = bottom.width_range(np.array([300.0, 450.0]), 6.0, 12.0, 8.0, 0.99, 1.01, KEEP)
    assert (np.asarray(least)[1], np.asarray(most)[1]) == bottom.width_range(450.0, 6.0, 12.0, 8.0, 0.99, 1.01, KEEP)
    assert np.asarray(bottom.past_back(np.array([440.0, 446.0]), 6.0, 437.0)).tolist() == [-3.0, 3.0]


# What is made already, and what cannot work.


# 120 mm in 120 mm: 1.2 mm too tall when wet, so plane 120 − 118.316832 = 1.683168 mm.
def test_sides_too_tall_are_told_what_to_plane_off() -> None:
    found = size(side_height_mm=120)
    assert not found.fits
    assert found.clearance_wet_mm == pytest.approx(-1.2)
    assert "wettest" in found.advice[0]
    assert "plane 1.7 mm off their height, to 118.3 mm today" in found.advice[0]
    assert found.advice[0].endswith("or make the opening at least 121.7 mm high.")  # 120 × 1.01 + 0.5
    assert size(side_height_mm=120, opening_height_mm=121.7).fits
    dry = size(side_height_mm=120, case_grain="horizontal", case_species=LIVELY)
    # a case that shrinks by 2 % to 117.6 mm around sides of 120 · 0.99 = 118.8 mm
    assert "In the driest season the room above the sides is -1.2 mm" in dry.advice[0].replace("−", "-")


def test_sides_too_long_are_told_their_length() -> None:
    found = size(case_depth_mm=450, side_length_mm=448)
    assert not found.fits
    assert found.back_clearance_dry_mm == pytest.approx(-2.5)
    assert "cut them to 445.0 mm" in found.advice[0]
    assert found.advice[0].endswith("or make the case at least 453.1 mm deep.")  # (448 + 0.5)/0.99 = 453.03
    assert size(case_depth_mm=453.1, side_length_mm=448).fits


@pytest.mark.parametrize(
    ("width", "words"), [(447, "too wide to stay within"), (438, "of the bottom lies under the back")]
)
def test_a_bottom_out_of_range_is_told_its_range(width: float, words: str) -> None:
    found = size(**BOTTOM, back_inset_mm=8, bottom_width_mm=width)
    assert not found.fits
    assert words in found.advice[-2]
    assert "Cut it 438.4 mm to 446.5 mm wide today" in found.advice[-1]


def test_rounding_never_goes_to_the_unsafe_side() -> None:
    found = size(**BOTTOM, back_inset_mm=8, size_step_mm=0.5)
    assert (found.side_height_mm, found.side_length_mm, found.bottom_width_mm) == (118.0, 445.0, 446.5)
    assert found.fits


# A quarter-sawn bottom and a case of other moisture: each with its own ratios.
def test_bottom_and_case_may_be_of_other_stock_than_the_sides() -> None:
    plain = size(**BOTTOM, back_inset_mm=8)
    quartered = size(**BOTTOM, back_inset_mm=8, bottom_ring_angle_deg=90)
    assert quartered.bottom_width_mm is not None
    assert plain.bottom_width_mm is not None
    assert quartered.bottom_width_mm > plain.bottom_width_mm
    # a case at 6 % is as shallow today as it gets
    dry_case = size(**BOTTOM, case_moisture_now_pct=6)
    assert dry_case.side_length_mm == pytest.approx(449.5)


# What follows the air late starts its way where it is on the day: a damp bottom another way than the sides.
def test_a_late_bottom_has_its_own_season() -> None:
    dry, wet = {"temperature_c": 20, "humidity_pct": 30}, {"temperature_c": 22, "humidity_pct": 65}
    year = {"kind": "range", "dry": dry, "wet": wet}
    late: dict[str, Any] = {"climate": year, "following": "lagged", "thickness_mm": 12.0, "moisture_now_pct": 8.0}
    asked = part.DrawerRequest(species=STOCK, opening_height_mm=120, bottom_moisture_now_pct=14.0, **late)
    sides, floor, case = asked.benches()
    assert (sides.season, floor.season, case.season) == (asked.season(), asked.season(14.0), asked.season())
    assert floor.season.wet == pytest.approx(14.0)
    assert floor.season.year_wet > sides.season.year_wet
    other = size(case_grain="horizontal", case_species="Cherry, black")
    assert any("FPL-GTR-190" in source for source in other.sources)


# Limits and refusals.


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"opening_height_mm": HEIGHT[0] - 1}, "opening_height_mm"),
        ({"opening_height_mm": HEIGHT[1] + 1}, "opening_height_mm"),
        ({"case_depth_mm": DEPTH[1] + 1}, "case_depth_mm"),
        ({"case_depth_mm": 450, "case_grain": "frame"}, "Give the width of a stile"),
        ({"case_depth_mm": 450, "front_groove_mm": 6}, "thickness of the back"),
        ({"front_groove_mm": 6, "back_thickness_mm": 12}, "depth of the case or the length of the sides"),
        ({**BOTTOM, "back_thickness_mm": BACK[1] + 1}, "back_thickness_mm"),
        ({**BOTTOM, "front_groove_mm": FRONT_GROOVE[1] + 1}, "front_groove_mm"),
        ({**BOTTOM, "bottom_width_mm": WIDTH[0] - 1}, "bottom_width_mm"),
        ({"bottom_species": "Larch, imagined"}, "bottom_species"),
        ({"case_grain": "sideways"}, "case_grain"),
        ({"runners": 2}, "runners"),
    ],
)
def test_what_cannot_be_asked_is_refused_at_its_field(change: dict[str, Any], message: str) -> None:
    with pytest.raises(ValidationError, match=message):
        request(**change)


def test_the_core_refuses_by_name() -> None:
    with pytest.raises(RangeError, match="height of the side"):
        drawer.fit_side(HEIGHT[0], "vertical", RATIOS, RATIOS, KEEP)
    with pytest.raises(RangeError, match="length of the side"):
        drawer.fit_length(DEPTH[0], "vertical", RATIOS, KEEP)
    with pytest.raises(RangeError, match="inset of the back"):
        bottom.fit(100.0, 6.0, 12.0, 95.0, RATIOS, KEEP)
    with pytest.raises(ValueError, match="known are vertical, horizontal, frame"):
        drawer.opening_at(120.0, "sideways", 1.0)  # type: ignore[arg-type]
    assert drawer.fit_side(HEIGHT[1], "vertical", RATIOS, RATIOS, KEEP).fits
    assert drawer.fit_length(DEPTH[1], "vertical", RATIOS, KEEP).fits


def test_a_bottom_can_be_sized_from_the_sides_alone() -> None:
    found = size(side_length_mm=445, front_groove_mm=6, back_thickness_mm=12, back_inset_mm=8)
    assert found.bottom_width_mm == pytest.approx(446.534653, abs=1e-6)
    assert found.side_length_mm == 445
    assert found.back_clearance_now_mm is None
