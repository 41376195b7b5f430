"""Every change that the advice names was tried; here each is tried again, by rules taken anew."""

import re
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from panel_cases import ROUND, Case, cases, cutters, steps

from movement import lengths, season, species, wood
from movement.fits.cutter import DEPTH, Cutter
from movement.fits.panel import Clearances, PanelFit, fit
from movement.fits.remedy import MOST_PANELS, Bench, Remedy, advice, remedies, roomier
from movement.season import Season, across

MM = partial(lengths.show, unit="mm", step=0.1)
INCHES = partial(lengths.show, unit="in", step=lengths.INCH / 64)
KEEP = Clearances(engagement=4.0, gap=0.5, tolerance=0.5)
# C_R 0.0015, C_T 0.0025 per 1 %; start of shrinkage 30 %
WOOD = wood.cut(species.own("Test wood", coefficient_radial=0.0015, coefficient_tangential=0.0025), 0.0)


def bench(year: Season, cutter: Cutter | None = None, stock: wood.Wood = WOOD, step: float | None = 0.5) -> Bench:
    return Bench(stock, year, cutter or Cutter(), across, step)


def found_for(
    made: Bench, hold: str = "centred", sight: float = 300.0, keep: Clearances = KEEP, **given: float | None
) -> PanelFit:
    return fit(sight, hold, across(made.season, made.wood), keep, made.cutter, width_step=made.width_step, **given)  # type: ignore[arg-type]


def by_change(found: PanelFit, made: Bench) -> dict[str, Remedy]:
    return {remedy.change: remedy for remedy in remedies(found, made, MM)}


def test_a_panel_that_fits_asks_for_nothing() -> None:
    made = bench(season.between(8.0, 6.0, 11.0))
    assert advice(found_for(made, groove=8.0), made, MM) == ()
    assert remedies(found_for(made), made, MM) == ()


# At 8 %, 6 to 11 % at home: r_dry = 0.9900/0.9950, r_wet = 1.0025/0.9950. In a groove g a width w keeps both rules
# where w·r_dry ≥ 300 + 2·4 + 0.5 and w·r_wet ≤ 300 + 2·g − 2·0.5 − 0.5: from 310.058 mm to 310.162 mm with 7 mm, to
# 312.147 mm with 8 mm.
def test_a_groove_that_holds_no_whole_step_names_the_next_that_does() -> None:
    made = bench(season.between(8.0, 6.0, 11.0))
    assert (found_for(made).groove, found_for(made).width % 0.5 > 0.01) == (7.0, True)
    assert advice(found_for(made), made, MM, roomier(found_for(made), made)) == (
        "No width in whole steps of 0.5 mm works in a groove of 7.0 mm; in one of 8.0 mm any from 310.1 mm to 312.1 mm "
        "does.",
    )
    assert roomier(found_for(made, width=310.1), made) is None  # that panel is cut already
    listed = replace(made, cutter=Cutter(depths=(7.0, 7.1, 9.0)))
    assert "; in one of 9.0 mm any" in advice(found_for(listed), listed, MM, roomier(found_for(listed), listed))[0]
    only = replace(made, cutter=Cutter(depths=(7.0,)))
    assert roomier(found_for(only), only) is None
    assert roomier(found_for(replace(made, width_step=None)), replace(made, width_step=None)) is None


def test_a_deep_groove_is_remarked_on_though_it_fits() -> None:
    made = bench(season.between(8.0, 6.0, 11.0))
    (remark,) = advice(found_for(made, groove=15.0), made, MM)
    assert remark.startswith("A groove of 15.0 mm is deeper than the usual 6 to 12 mm")
    assert "common practice, no source" in remark


# 300 mm flat-sawn at 14 %, 6 to 11 % at home: D(14)/D(6) = 1.0100/0.9900 = 1.020202, so the least groove is
# 0.75 + [1.020202·308.5 − 300]/2 = 0.75 + 14.7323/2 = 8.1162 mm; it is given 7 mm.
WET_STOCK = season.between(14.0, 6.0, 11.0)


def test_a_deeper_groove() -> None:
    made = bench(WET_STOCK)
    remedy = by_change(found_for(made, groove=7.0), made)["deeper"]
    assert (remedy.fit.groove, remedy.fit.fits) == (9.0, True)
    assert remedy.text.startswith("Cut the groove 9.0 mm deep (at least 8.2 mm) and the panel ")


def test_a_depth_to_reach_is_rounded_up() -> None:
    # 8.1162 mm to a tenth is 8.1 mm, which would be too shallow
    made = bench(WET_STOCK, Cutter(depths=(7.0,)))
    remedy = by_change(found_for(made), made)["deeper"]
    assert remedy.text == "Cut the groove at least 8.2 mm deep: none of the shop's depths is that deep."
    assert remedy.fit.groove == pytest.approx(8.1162, abs=6e-5)


def test_stock_that_is_too_wet_may_be_dried_to_the_home_s_year() -> None:
    # at 11 %: D(11)/D(6) = 1.0025/0.9900 = 1.012626 and the least groove is 6.9476 mm: 7 mm is deep enough
    made = bench(WET_STOCK)
    remedy = by_change(found_for(made, groove=7.0), made)["nearer"]
    assert (remedy.moisture, remedy.fit.groove, remedy.fit.fits) == (11.0, 7.0, True)
    assert remedy.text.startswith(
        "Use drier stock: at 11.0 % moisture content, inside the home's own year, this groove"
    )


def test_nearer_stock_for_a_panel_that_is_too_dry() -> None:
    made = bench(season.between(3.0, 6.0, 11.0))
    remedy = by_change(found_for(made, groove=7.0), made)["nearer"]
    assert remedy.moisture == 6.0
    assert remedy.text.startswith("Use less dry stock: at 6.0 % moisture content")


def test_nearer_stock_is_told_to_a_tenth_that_is_inside_the_year() -> None:
    made = bench(season.between(14.0, 6.0, 10.96))
    remedy = by_change(found_for(made, groove=7.0), made)["nearer"]
    assert remedy.moisture == 10.9  # to the nearest it would be 11.0, outside
    assert "at 10.9 %" in remedy.text


def test_stock_that_is_above_the_start_of_shrinkage_anyway_gains_nothing_by_drying_to_it() -> None:
    redcedar = wood.cut(species.find("Cedar, western redcedar"), 0.0)
    assert redcedar.start_of_shrinkage == 22.0
    made = bench(season.between(28.0, 15.0, 24.0), stock=redcedar)
    found = found_for(made, groove=5.0)
    assert not found.fits
    assert "nearer" not in by_change(found, made)


def test_quarter_sawn_stock() -> None:
    # C 0.0015: D(14)/D(6) = 1.0060/0.9940 = 1.012072; 0.75 + [1.012072·308.5 − 300]/2 = 6.8622 mm: 7 mm is enough
    made = bench(WET_STOCK)
    remedy = by_change(found_for(made, groove=7.0), made)["quartered"]
    assert (remedy.fit.groove, remedy.fit.least_groove) == (7.0, pytest.approx(6.8622, abs=6e-5))
    assert remedy.text.startswith("Use quarter-sawn stock of the same species: then this groove is deep enough")


def test_quarter_sawn_stock_is_not_named_for_quarter_sawn_stock() -> None:
    made = bench(WET_STOCK, stock=wood.cut(WOOD.species, 90.0))
    assert "quartered" not in by_change(found_for(made, groove=5.0), made)


def test_pinning_a_loose_panel() -> None:
    # loose, 6 to 11 %: 9.9706 mm; centred 6.9476 mm
    made = bench(season.between(8.0, 6.0, 11.0))
    remedy = by_change(found_for(made, "loose", groove=8.0), made)["pinned"]
    assert (remedy.fit.hold, remedy.fit.groove, remedy.fit.fits) == ("centred", 8.0, True)
    assert remedy.text.startswith(
        "Pin the panel at mid-width, or centre it on spacers: then this groove is deep enough"
    )


def test_pinning_a_loose_panel_that_still_needs_a_deeper_groove() -> None:
    made = bench(season.between(8.0, 6.0, 11.0))
    remedy = by_change(found_for(made, "loose", groove=5.0), made)["pinned"]
    assert remedy.fit.groove == 7.0
    assert "then a groove of 7.0 mm is enough, with the panel " in remedy.text


def test_two_narrower_panels() -> None:
    # widest for 7 mm at 14 %: [14 − 1 − 0.5 − 1.020202·8.5]/0.020202 = 3.8283/0.020202 = 189.5 mm
    made = bench(WET_STOCK)
    remedy = by_change(found_for(made, groove=7.0), made)["divided"]
    assert (remedy.panels, remedy.fit.sight_width, remedy.fit.fits) == (2, 150.0, True)
    assert remedy.text == ("Make two narrower panels with a muntin between them: each up to 189.5 mm of sight width.")


def test_as_many_narrower_panels_as_it_takes() -> None:
    # 500 mm in the same groove: 500/189.5 = 2.6, so three of 166.7 mm
    made = bench(WET_STOCK)
    remedy = by_change(found_for(made, sight=500.0, groove=7.0), made)["divided"]
    assert (remedy.panels, remedy.fit.sight_width) == (3, pytest.approx(500 / 3))
    assert remedy.text.startswith("Make three narrower panels")


def test_a_crowd_of_narrow_panels_is_no_advice() -> None:
    # 5.1 mm leaves 10.2 − 1.5 − 1.020202·8.5 = 0.0283 mm to move in: 1.4 mm of sight width
    made = bench(WET_STOCK)
    assert "divided" not in by_change(found_for(made, groove=5.1), made)
    # 1000 mm in 5.6 mm: [11.2 − 1.5 − 8.6717]/0.020202 = 50.9 mm, twenty panels
    assert "divided" not in by_change(found_for(made, sight=1000.0, groove=5.6), made)


def test_a_panel_that_came_too_wide_is_planed_or_its_groove_deepened_or_it_is_pinned() -> None:
    made = bench(season.between(8.0, 6.0, 11.0))
    found = found_for(made, groove=8.0, width=313.0)
    # 310.0581 to 312.1471 (see the panel's own cases): 0.853 mm too wide; wet (313·1.007538 + 1.5 − 300)/2 = 8.4297
    named = by_change(found, made)
    assert named["recut"].text == "Plane the panel to 310.1 mm to 312.1 mm wide: at least 0.9 mm off."
    assert named["deeper"].text == "Cut the groove 9.0 mm deep: then this panel fits as it is."
    assert (named["deeper"].fit.width, named["deeper"].fit.groove) == (313.0, 9.0)


def test_a_panel_that_came_too_narrow_cannot_be_planed() -> None:
    made = bench(season.between(8.0, 6.0, 11.0))
    named = by_change(found_for(made, groove=8.0, width=309.0), made)
    assert list(named) == ["recut"]
    assert named["recut"].text == (
        "The panel would have to be 310.1 mm to 312.1 mm wide: add 1.1 mm, or glue up a new one."
    )


def test_a_loose_panel_too_narrow_for_a_deep_groove_is_pinned_in_it() -> None:
    # in 12 mm it needs 320.1086 mm loose, 310.0581 mm centred; loose it would fit 10 mm, but 12 mm are cut
    made = bench(season.between(8.0, 6.0, 11.0))
    named = by_change(found_for(made, "loose", groove=12.0, width=316.1), made)
    assert list(named) == ["recut", "pinned"]
    assert (named["pinned"].fit.width, named["pinned"].fit.groove) == (316.1, 12.0)
    assert named["pinned"].text.endswith("then this groove is deep enough.")


def test_a_fixed_edge_in_too_shallow_a_groove_asks_for_a_deeper_one() -> None:
    keep = Clearances(engagement=0.0, gap=0.0, tolerance=0.0, fixed_engagement=6.0)
    made = bench(season.between(8.0, 8.0, 8.0))
    found = found_for(made, "one edge", keep=keep, groove=5.0, width=308.0)
    told = advice(found, made, MM)
    assert told[0] == "The fixed edge is to sit 6.0 mm deep, but the groove is only 5.0 mm deep."
    named = by_change(found, made)
    assert named["deeper"].fit.groove == 6.0
    assert "recut" not in named


def test_only_the_season_that_fails_is_told() -> None:
    made = bench(season.between(8.0, 6.0, 11.0))
    wide, narrow = (advice(found_for(made, groove=8.0, width=width), made, MM) for width in (313.0, 309.0))
    # 313 · 1.007538 + 0.5 − 315 = 0.8593 mm too wide, said as 0.9; 308.5 − 309 · 0.994975 = 1.0528 too narrow, as 1.1
    assert wide[0].startswith("In the wettest season it has too little room: the panel is 0.9 mm too wide")
    assert narrow[0].startswith("In the driest season it keeps too little: the panel is 1.1 mm too narrow")
    assert not any("driest season" in line for line in wide)
    assert not any("wettest season" in line for line in narrow)


def test_both_failures_are_told_with_what_lacks_rounded_up() -> None:
    made = bench(season.between(8.0, 6.0, 11.0))
    told = advice(found_for(made, groove=6.9), made, MM)
    # (6.9476 − 6.9)·2/2.012626 = 0.0473 mm either way
    assert told[0].startswith("In the driest season it keeps too little: the panel is 0.1 mm too narrow to hold 4.0 mm")
    assert told[1].startswith(
        "In the wettest season it has too little room: the panel is 0.1 mm too wide to keep a gap"
    )


def test_lengths_are_told_in_the_makers_unit() -> None:
    made = bench(WET_STOCK, Cutter(step=lengths.INCH / 16), step=lengths.INCH / 32)
    (text,) = [one.text for one in remedies(found_for(made, groove=7.0), made, INCHES) if one.change == "deeper"]
    # 8.1162 mm is 5.114/16 in: 6/16 in is cut, and 21/64 in the least to read
    assert text.startswith('Cut the groove 3/8" deep (at least 21/64") and the panel ')


def test_where_nothing_helps_it_says_so() -> None:
    # still wood, loose: 50 + 50 + 20 = 120 mm of groove, over every limit; pinned 25 + 10 + 50 = 85 mm
    keep = Clearances(engagement=50.0, gap=25.0, tolerance=10.0)
    made = bench(season.between(8.0, 8.0, 8.0))
    assert list(by_change(found_for(made, "loose", keep=keep), made)) == ["pinned"]
    shallow = replace(made, cutter=Cutter(depths=(20.0,)))
    told = advice(found_for(shallow, "loose", keep=keep), shallow, MM)
    assert told[-1] == "Nothing tried here makes it fit: ask for less engagement, gap or tolerance."


# Properties, on panels drawn at random: what is named is done to the case, and the case's own rules are taken.

DONE: dict[str, Callable[[Case, Remedy], Case]] = {
    "recut": lambda case, remedy: case,
    "deeper": lambda case, remedy: case,
    "pinned": lambda case, remedy: replace(case, hold="centred"),
    "quartered": lambda case, remedy: replace(case, coefficient=case.kind.coefficient_radial),  # type: ignore[union-attr]
    "nearer": lambda case, remedy: replace(case, now=remedy.moisture),
    "divided": lambda case, remedy: replace(case, sight=case.sight / remedy.panels),
}
grooves = st.none() | st.floats(*DEPTH)


def tried(case: Case, cutter: Cutter, step: float | None, groove: float | None, width: float | None) -> None:
    """Apply every remedy of the case to it, and take the rules again."""
    assert case.kind is not None
    stock = wood.cut(case.kind, case.ring_angle)
    made = Bench(stock, season.between(case.now, case.dry, case.wet), cutter, across, step)
    found = fit(case.sight, case.hold, case.ratios, case.keep, cutter, groove, width, step)
    named = remedies(found, made, MM)
    assert bool(named) <= (not found.fits)
    for remedy in named:
        after, result = DONE[remedy.change](case, remedy), remedy.fit
        assert result.fits
        assert (result.hold, result.sight_width, result.clearances) == (after.hold, after.sight, case.keep)
        assert after.shortfall(result.groove, result.width) <= ROUND
        # a groove is made deeper, or left
        assert result.groove >= found.groove - ROUND
        assert 1 <= remedy.panels <= MOST_PANELS
        assert case.dry - ROUND <= remedy.moisture <= case.wet + ROUND or remedy.moisture == case.now
        if remedy.change in ("recut", "divided"):
            assert result.groove == found.groove
        if remedy.change in ("recut", "deeper"):
            assert result.ratios == found.ratios
        if remedy.change == "deeper":
            assert result.groove > found.groove
        elif result.groove > found.groove + ROUND:
            # another change that needs a groove all the same takes one that the shop can cut
            assert cutter.choose(result.groove) == pytest.approx(result.groove, abs=1e-9)
        if result.width_given:
            assert remedy.change in ("deeper", "pinned")
            assert result.width == width
    assert len({remedy.text for remedy in named}) == len(named)


@given(cases(), cutters, steps, grooves)
def test_every_change_makes_a_panel_fit(case: Case, cutter: Cutter, step: float | None, groove: float | None) -> None:
    tried(case, cutter, step, groove, None)


@given(cases(), cutters, steps, grooves, st.floats(-0.1, 0.2))
def test_every_change_makes_a_panel_that_is_cut_fit(
    case: Case, cutter: Cutter, step: float | None, groove: float | None, over: float
) -> None:
    width = case.sight * (1 + over)
    assume(10 <= width <= 3500)
    tried(case, cutter, step, groove, width)


@given(cases(), cutters, grooves)
def test_a_panel_that_does_not_fit_is_never_left_without_a_word(
    case: Case, cutter: Cutter, groove: float | None
) -> None:
    assert case.kind is not None
    made = Bench(
        wood.cut(case.kind, case.ring_angle), season.between(case.now, case.dry, case.wet), cutter, across, None
    )
    found = fit(case.sight, case.hold, case.ratios, case.keep, cutter, groove)
    told = advice(found, made, MM)
    if not found.fits:
        assert len(told) >= 2
        assert re.match("In the driest season|In the wettest season|The fixed edge", told[0])
