"""A panel in its grooves: cases worked by hand, and rules recomputed from the places of its edges."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from panel_cases import HAIR, ROUND, Case, cases, cutters, steps

from movement import season, species, wood
from movement.errors import RangeError
from movement.fits import panel
from movement.fits.cutter import DEPTH, Cutter
from movement.fits.panel import HOLDS, NEUTRAL, Clearances, Hold, fit, least_groove, widest_sight, width_range
from movement.season import Ratios

# By hand: a wood with C = 0.0025 per 1 %, start of shrinkage 30 %. D(M) = 1 + 0.0025 (M − 10), so
# D(6) = 0.9900, D(8) = 0.9950, D(8.5) = 0.99625, D(11) = 1.0025. Today 8 %, dry 6 %, wet 11 %, mid 8.5 %:
# ρ_d = 0.9900/0.9950 = 0.994975, ρ_mid = 0.99625/0.9950 = 1.001256, ρ_w = 1.0025/0.9950 = 1.007538,
# ρ_w/ρ_d = 1.0025/0.9900 = 1.012626, ρ_d + ρ_w = 2.002513.
YEAR = Ratios(0.9900 / 0.9950, 0.99625 / 0.9950, 1.0025 / 0.9950)
KEEP = Clearances(engagement=4.0, gap=0.5, tolerance=0.5)
STILL = Ratios(1.0, 1.0, 1.0)


def about(value: float) -> object:
    """Half a unit of the fourth decimal, to which the hand's numbers are written [mm]."""
    return pytest.approx(value, abs=6e-5)


def test_a_centred_panel_by_hand() -> None:
    found = fit(300.0, "centred", YEAR, KEEP, Cutter(step=1.0))
    # 1.012626 (300 + 2·4 + 0.5) = 312.3952; (312.3952 − 300)/2 = 6.1976; + 0.5 + 0.5/2 = 6.9476 mm, next step 7 mm
    assert found.least_groove == about(6.9476)
    assert found.groove == 7.0
    # narrowest (300 + 8 + 0.5)/0.994975 = 310.0581; widest (300 + 14 − 1 − 0.5)/1.007538 = 310.1621
    assert (found.narrowest, found.widest) == (about(310.0581), about(310.1621))
    # equal margins: (2·300 + 2·7 + 2·4 − 2·0.5)/2.002513 = 621/2.002513 = 310.1104
    assert found.width == about(310.1104)
    # dry 310.1104·0.994975 = 308.5521: 4.2760 engaged at each edge, 4.0260 if it came 0.5 mm too narrow
    assert (found.width_dry, found.engagement_at(YEAR.dry)) == (about(308.5521), about(4.2760))
    # wet 310.1104·1.007538 = 312.4479: 7 − 6.2240 = 0.7760 of gap, 0.5260 if it came 0.5 mm too wide
    assert (found.width_wet, found.gap_at(YEAR.wet)) == (about(312.4479), about(0.7760))
    # both margins: 308.5521 − 0.5 − 308 = 0.0521; 314 − 1 − 312.4479 − 0.5 = 0.0521
    assert (found.margin_dry, found.margin_wet) == (about(0.0521), about(0.0521))
    # gap today 7 − 10.1104/2 = 1.9448; at mid 310.1104·1.001256 = 310.5000 and 7 − 5.2500 = 1.7500; bias +0.1948
    assert (found.gap_at(1.0), found.gap_at(YEAR.mid), found.bias) == (about(1.9448), about(1.75), about(0.1948))
    assert found.bias_word == "looser"
    assert found.fits


def test_a_loose_panel_by_hand() -> None:
    found = fit(300.0, "loose", YEAR, KEEP, Cutter(step=1.0))
    # [1.012626 (300 + 4 + 0.5) − 300 + 2·0.5 + 0.5]/(2 − 1.012626) = [308.3447 − 298.5]/0.987374 = 9.9706 mm
    assert found.least_groove == about(9.9706)
    assert found.groove == 10.0
    # narrowest (300 + 10 + 4 + 0.5)/0.994975 = 316.0884; widest (300 + 20 − 1 − 0.5)/1.007538 = 316.1172
    assert (found.narrowest, found.widest) == (about(316.0884), about(316.1172))
    # (2·300 + 3·10 + 4 − 2·0.5)/2.002513 = 633/2.002513 = 316.1029
    assert found.width == about(316.1029)
    # dry 314.5144, slid wholly into one groove: 314.5144 − 10 − 300 = 4.5144 in the other, 4.0144 if 0.5 too narrow
    assert found.engagement_at(YEAR.dry) == about(4.5144)
    # wet 318.4856: 320 − 318.4856 = 1.5144 of room, 0.7572 an edge as if centred; 1.0144 in all if 0.5 too wide
    assert found.gap_at(YEAR.wet) == about(0.7572)
    # today 10 − 16.1029/2 = 1.9486; mid 316.1029·1.001256 = 316.5 and 10 − 8.25 = 1.75; bias +0.1986
    assert found.bias == about(0.1986)
    assert found.fits


def test_a_panel_fixed_at_one_edge_by_hand() -> None:
    keep = replace(KEEP, fixed_engagement=6.0)
    found = fit(300.0, "one edge", YEAR, keep, Cutter(step=1.0), width_step=0.5)
    # 1.012626 (300 + 6 + 4 + 0.5) − 300 − 6 + 0.5 + 0.5 = 314.4205 − 305 = 9.4205 mm, next step 10 mm
    assert found.least_groove == about(9.4205)
    assert found.groove == 10.0
    # narrowest (300 + 6 + 4 + 0.5)/0.994975 = 312.0682; widest (300 + 6 + 10 − 0.5 − 0.5)/1.007538 = 312.6434
    assert (found.narrowest, found.widest) == (about(312.0682), about(312.6434))
    # equal margins: (2·300 + 10 + (6 + 4) + (6 − 0.5))/2.002513 = 625.5/2.002513 = 312.3576, to 0.5 mm: 312.5
    assert found.width == 312.5
    # dry 312.5·0.994975 = 310.9296: the free edge keeps 310.9296 − 306 = 4.9296
    assert found.engagement_at(YEAR.dry) == about(4.9296)
    # wet 312.5·1.007538 = 314.8555: 310 − (314.8555 − 6) = 1.1445 of gap
    assert found.gap_at(YEAR.wet) == about(1.1445)
    # gap today 310 − 306.5 = 3.5; mid 312.5·1.001256 = 312.8926, gap 3.1074; bias +0.3926: one edge takes all
    assert (found.gap_at(1.0), found.bias) == (about(3.5), about(0.3926))


def test_a_given_groove_that_is_too_shallow_by_hand() -> None:
    found = fit(300.0, "centred", YEAR, KEEP, Cutter(), groove=6.0)
    # widest (300 + 12 − 1 − 0.5)/1.007538 = 308.1771 is under the narrowest 310.0581: no width works
    assert (found.narrowest, found.widest) == (about(310.0581), about(308.1771))
    # the best is (600 + 12 + 8 − 1)/2.002513 = 309.1117; it lacks (310.0581 − 309.1117)·0.994975 = 0.9417 either way
    assert found.width == about(309.1117)
    assert (found.margin_dry, found.margin_wet) == (about(-0.9417), about(-0.9417))
    assert not found.fits


def test_a_given_groove_that_is_deep_enough_keeps_its_depth() -> None:
    found = fit(300.0, "centred", YEAR, KEEP, Cutter(), groove=9.3)
    # widest (300 + 18.6 − 1 − 0.5)/1.007538 = 314.7277
    assert (found.groove, found.fits, found.widest) == (9.3, True, about(314.7277))


def test_a_given_width_has_the_shallowest_groove_that_takes_it_by_hand() -> None:
    found = fit(300.0, "centred", YEAR, KEEP, Cutter(step=1.0), width=311.0)
    # wet 311·1.007538 = 313.3442; (313.3442 + 0.5 − 300 + 1)/2 = 7.4221 mm, next step 8 mm
    assert (found.groove, found.width, found.fits) == (8.0, 311.0, True)
    # margins: 311·0.994975 − 0.5 − 308 = 0.9372; 316 − 1 − 0.5 − 313.3442 = 1.1558
    assert (found.margin_dry, found.margin_wet) == (about(0.9372), about(1.1558))


def test_a_given_width_that_no_groove_serves_by_hand() -> None:
    found = fit(300.0, "centred", YEAR, KEEP, Cutter(step=1.0), width=309.5)
    # (309.5 − 310.0581)·0.994975 = −0.5553: too narrow when dry, whatever the groove
    assert (found.groove, found.margin_dry, found.fits) == (7.0, about(-0.5553), False)


def test_a_given_loose_panel_that_is_too_narrow_for_a_deep_groove_works_in_a_shallower_one() -> None:
    # 316.1 mm lies in 316.0884 to 316.1172 for a groove of 10 mm; at 12 mm the narrowest is 318.5/0.994975 = 320.1086
    assert fit(300.0, "loose", YEAR, KEEP, Cutter(), width=316.1).groove == 10.0
    assert not fit(300.0, "loose", YEAR, KEEP, Cutter(), groove=12.0, width=316.1).fits


@pytest.mark.parametrize(
    ("groove", "width", "fits"),
    [
        (9.0, 311.0, True),  # 310.0581 to (300 + 18 − 1.5)/1.007538 = 314.1322
        (9.0, 310.0, False),
        (9.0, 314.1, True),
        (9.0, 314.2, False),
        (6.9, 310.1, False),
    ],
)
def test_given_both_it_is_checked(groove: float, width: float, fits: bool) -> None:
    found = fit(300.0, "centred", YEAR, KEEP, Cutter(), groove=groove, width=width, width_step=0.5)
    assert (found.groove, found.width, found.fits) == (groove, width, fits)


def test_a_list_of_depths_that_are_all_too_shallow_is_a_result() -> None:
    found = fit(300.0, "centred", YEAR, KEEP, Cutter(depths=(5.0, 6.5)))
    assert (found.groove, found.fits) == (6.5, False)
    # lacks what a groove of 6.5 has less than 6.9476: 2·0.4476 shared by the two margins, weighted 1 : 1.012626
    assert found.margin_dry == about(-2 * 0.4476 / 2.012626)


def test_a_groove_shallower_than_the_fixed_edge_asks_for_does_not_fit() -> None:
    keep = Clearances(engagement=0.0, gap=0.0, tolerance=0.0, fixed_engagement=6.0)
    # without movement 306 to 311 mm would hold and not bind, but the fixed edge cannot sit 6 mm deep in 5 mm
    found = fit(300.0, "one edge", STILL, keep, Cutter(), groove=5.0, width=308.0)
    assert min(found.margin_dry, found.margin_wet) > 0
    assert not found.fits
    assert least_groove(300.0, "one edge", 1.0, 1.0, keep) == 6.0
    assert fit(300.0, "one edge", STILL, keep, Cutter()).groove == 6.0


def test_a_fixed_edge_sits_as_deep_as_the_least_engagement_unless_told() -> None:
    assert Clearances(engagement=4.0).fixed == 4.0
    assert Clearances(engagement=4.0, fixed_engagement=0.0).fixed == 0.0


@pytest.mark.parametrize("hold", HOLDS)
def test_a_panel_that_asks_for_no_groove_still_gets_the_shallowest(hold: Hold) -> None:
    found = fit(300.0, hold, STILL, Clearances(0.0, 0.0, 0.0), Cutter(step=0.25))
    assert (found.least_groove, found.groove, found.fits) == (0.0, DEPTH[0], True)


@pytest.mark.parametrize("hold", HOLDS)
def test_a_panel_that_would_need_a_groove_beyond_all_limits_is_a_result(hold: Hold) -> None:
    wild = Ratios(0.93, 1.0, 1.07)
    found = fit(3000.0, hold, wild, KEEP, Cutter(step=7.0))
    assert (found.groove, found.fits) == (98.0, False)
    assert found.least_groove > DEPTH[1]


def test_an_impossible_gap_is_a_result_with_a_width() -> None:
    found = fit(10.0, "centred", STILL, Clearances(engagement=0.0, gap=25.0, tolerance=0.0), Cutter(), groove=1.0)
    assert (found.fits, found.width) == (False, 10.0)


@pytest.mark.parametrize(
    ("changed", "name"),
    [
        ({"sight_width": 9.9}, "sight width"),
        ({"sight_width": 3000.1}, "sight width"),
        ({"sight_width": float("nan")}, "sight width"),
        ({"groove": 0.9}, "groove depth"),
        ({"groove": 100.1}, "groove depth"),
        ({"width": 9.9}, "panel width"),
        ({"width": 3500.1}, "panel width"),
        ({"ratios": Ratios(1.01, 1.0, 1.0)}, "wet width over dry width"),
        ({"ratios": Ratios(0.5, 1.0, 1.0)}, "wet width over dry width"),
    ],
)
def test_out_of_range_names_the_quantity(changed: dict[str, float], name: str) -> None:
    asked = {"sight_width": 300.0, "hold": "centred", "ratios": YEAR, "clearances": KEEP, "cutter": Cutter()}
    with pytest.raises(RangeError) as caught:
        fit(**(asked | changed))  # type: ignore[arg-type]
    assert caught.value.name == name


@pytest.mark.parametrize(
    ("keep", "name"),
    [
        ({"engagement": -0.1}, "least engagement"),
        ({"engagement": 50.1}, "least engagement"),
        ({"gap": 25.1}, "least gap"),
        ({"tolerance": 10.1}, "making tolerance"),
        ({"fixed_engagement": 50.1}, "engagement of the fixed edge"),
        ({"gap": float("nan")}, "least gap"),
    ],
)
def test_clearances_out_of_range_are_refused(keep: dict[str, float], name: str) -> None:
    with pytest.raises(RangeError) as caught:
        Clearances(**keep)
    assert caught.value.name == name


def test_an_unknown_hold_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match="centred, loose, one edge"):
        panel.rule("glued", KEEP)  # type: ignore[arg-type]


# Properties, on panels drawn at random.


@given(cases(), cutters, steps)
def test_no_fit_breaks_its_rule(case: Case, cutter: Cutter, step: float | None) -> None:
    found = fit(case.sight, case.hold, case.ratios, case.keep, cutter, width_step=step)
    if found.fits:
        assert case.shortfall(found.groove, found.width) <= ROUND
        assert found.groove >= found.least_groove - ROUND
        assert found.narrowest - ROUND <= found.width <= found.widest + ROUND


@given(cases(), cutters, steps)
def test_what_does_not_fit_cannot(case: Case, cutter: Cutter, step: float | None) -> None:
    found = fit(case.sight, case.hold, case.ratios, case.keep, cutter, width_step=step)
    if not found.fits:
        assert found.groove == cutter.deepest
        assert case.works(found.groove) > -ROUND


@given(cases(), st.floats(1.0, 100.0), st.floats(10.0, 3500.0))
def test_a_check_agrees_with_the_places_of_the_edges(case: Case, groove: float, width: float) -> None:
    short = case.shortfall(groove, width)
    assume(abs(short) > ROUND)
    assert fit(case.sight, case.hold, case.ratios, case.keep, Cutter(), groove, width).fits == (short < 0)


@given(cases(), cutters, st.floats(-0.1, 0.2))
def test_a_given_width_fits_where_any_groove_of_the_shop_serves_it(case: Case, cutter: Cutter, over: float) -> None:
    width = case.sight * (1 + over)
    assume(10 <= width <= 3500)
    found = fit(case.sight, case.hold, case.ratios, case.keep, cutter, width=width)
    depths = cutter.depths or np.arange(1, int(100 / cutter.step) + 1) * cutter.step
    short = [case.shortfall(depth, width) for depth in depths if depth >= 1]
    assume(min(abs(one) for one in short) > ROUND)
    assert found.fits == (min(short) < 0)
    if found.fits:
        shallower = [one for depth, one in zip(depths, short, strict=False) if 1 <= depth < found.groove - ROUND]
        assert not cutter.depths or all(one > 0 for one in shallower)


@given(cases())
def test_margins_are_what_the_rules_leave(case: Case) -> None:
    found = fit(case.sight, case.hold, case.ratios, case.keep, Cutter(), groove=12.0)
    assert found.margin_dry == pytest.approx(-case.dry_shortfall(12.0, found.width), abs=ROUND)
    assert found.margin_wet == pytest.approx(-case.wet_shortfall(12.0, found.width), abs=ROUND)


@given(cases())
def test_the_least_groove_is_tight(case: Case) -> None:
    ratios = case.ratios
    least = float(least_groove(case.sight, case.hold, ratios.dry, ratios.wet, case.keep))
    assert case.works(least) <= ROUND
    assert case.works(least - HAIR) > 0


@given(cases())
@example(Case("centred", 300.0, 0.0025, 30.0, 8.0, 6.0, 11.0, KEEP))
def test_the_widest_sight_undoes_the_least_groove(case: Case) -> None:
    dry, wet = case.ratios.dry, case.ratios.wet
    assume(wet / dry > 1.001)
    groove = float(least_groove(case.sight, case.hold, dry, wet, case.keep))
    # a fixed edge can ask for more than the movement does: then the groove serves a wider opening than this one
    asks = case.hold == "one edge" and groove == case.fixed
    assume(DEPTH[0] <= groove <= DEPTH[1] and not asks)
    assert float(widest_sight(groove, case.hold, dry, wet, case.keep)) == pytest.approx(case.sight, rel=1e-9)


@given(cases())
def test_the_even_width_has_equal_margins(case: Case) -> None:
    found = fit(case.sight, case.hold, case.ratios, case.keep, Cutter(), groove=100.0)
    assert -case.dry_shortfall(100.0, found.width) == pytest.approx(-case.wet_shortfall(100.0, found.width), abs=ROUND)


@given(cases(hold="centred"))
def test_loose_is_never_shallower_than_centred(case: Case) -> None:
    dry, wet = case.ratios.dry, case.ratios.wet
    centred, loose = (float(least_groove(case.sight, hold, dry, wet, case.keep)) for hold in ("centred", "loose"))
    assert loose >= centred - 1e-9


@given(cases(), st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_more_swing_is_never_shallower(case: Case, drier: float, wetter: float) -> None:
    more = replace(case, dry=max(case.dry - drier, 0.0), wet=case.wet + wetter)
    less, wider = (
        float(least_groove(case.sight, case.hold, one.ratios.dry, one.ratios.wet, case.keep)) for one in (case, more)
    )
    assert wider >= less - 1e-9


@given(cases(), st.sampled_from(["sight", "engagement", "gap", "tolerance"]), st.floats(0.0, 5.0))
def test_asking_for_more_is_never_shallower(case: Case, what: str, more: float) -> None:
    ratios = case.ratios
    asked = replace(case.keep, **{what: getattr(case.keep, what) + more}) if what != "sight" else case.keep
    sight = min(case.sight + 100 * more, 3000.0) if what == "sight" else case.sight
    before = float(least_groove(case.sight, case.hold, ratios.dry, ratios.wet, case.keep))
    assert float(least_groove(sight, case.hold, ratios.dry, ratios.wet, asked)) >= before - 1e-9


@given(cases(), st.sampled_from([0.5, 1.0, 25.4 / 32, 5.0]))
def test_a_rounded_width_is_the_nearest_multiple_that_works(case: Case, step: float) -> None:
    found = fit(case.sight, case.hold, case.ratios, case.keep, Cutter(), groove=60.0, width_step=step)
    even = fit(case.sight, case.hold, case.ratios, case.keep, Cutter(), groove=60.0).width
    assume(found.fits)
    count = np.arange(np.floor(found.narrowest / step), np.ceil(found.widest / step) + 1)
    inside = [width for width in count * step if found.narrowest <= width <= found.widest]
    if inside:
        assert abs(found.width - even) == pytest.approx(min(abs(width - even) for width in inside), abs=ROUND)
        assert found.width / step == pytest.approx(round(found.width / step), abs=1e-7)
    else:
        assert found.width == even


def test_a_width_is_not_rounded_away_from_the_nearer_multiple() -> None:
    # 310.0581 to 312.1471 (groove 8); even (600 + 16 + 8 − 1)/2.002513 = 311.1092: 311, not 311.5
    assert fit(300.0, "centred", YEAR, KEEP, Cutter(), groove=8.0, width_step=0.5).width == 311.0
    # even (600 + 16.4 + 8 − 1)/2.002513 = 311.3089: 311.5, though the middle of the range lies lower
    assert fit(300.0, "centred", YEAR, KEEP, Cutter(), groove=8.2, width_step=0.5).width == 311.5


@given(cases(), st.floats(1.0, 100.0), st.floats(10.0, 3500.0))
def test_gap_and_engagement_share_the_groove(case: Case, groove: float, width: float) -> None:
    found = fit(case.sight, case.hold, case.ratios, case.keep, Cutter(), groove, width)
    for ratio in (1.0, case.ratios.dry, case.ratios.mid, case.ratios.wet):
        room, held = found.gap_at(ratio), found.engagement_at(ratio)
        # loose: the gap at both edges is what the worse edge of a panel slid over has less than the groove
        assert (2 if case.hold == "loose" else 1) * room + held == pytest.approx(groove, abs=ROUND)


@given(cases())
def test_today_lies_between_dry_and_wet(case: Case) -> None:
    found = fit(case.sight, case.hold, case.ratios, case.keep, Cutter())
    assert found.gap_at(case.ratios.wet) - ROUND <= found.gap_at(1.0) <= found.gap_at(case.ratios.dry) + ROUND


@given(cases())
def test_stock_drier_than_mid_is_left_looser(case: Case) -> None:
    assume(case.high <= case.start)
    found = fit(case.sight, case.hold, case.ratios, case.keep, Cutter())
    mid = (case.low + case.high) / 2
    if abs(found.bias) < NEUTRAL:
        assert found.bias_word == "neutral"
    else:
        assert (found.bias_word, found.bias > 0) == (("looser", True) if case.now < mid else ("tighter", False))


def test_stock_at_mid_is_neutral() -> None:
    kind = wood.cut(species.find("Cherry, black"), 0.0)
    found = fit(900.0, "loose", season.across(season.between(8.5, 6.0, 11.0), kind), KEEP, Cutter())
    assert (found.bias, found.bias_word) == (0.0, "neutral")


@pytest.mark.parametrize(("now", "word"), [(6.0, "looser"), (11.0, "tighter")])
def test_two_panels_of_one_frame_can_need_opposite_biases(now: float, word: str) -> None:
    kind = wood.cut(species.find("Cherry, black"), 0.0)
    found = fit(300.0, "centred", season.across(season.between(now, 6.0, 11.0), kind), KEEP, Cutter(), groove=9.0)
    assert found.bias_word == word


@pytest.mark.parametrize("hold", HOLDS)
def test_arrays_in_arrays_out(hold: Hold) -> None:
    sight, groove = np.array([[200.0], [300.0]]), np.array([7.0, 9.0, 12.0])
    dry, wet = np.array([0.99, 0.995, 1.0]), np.array([1.0, 1.01, 1.02])
    shape = (2, 3)
    least = least_groove(sight, hold, dry, wet, KEEP)
    low, high = width_range(sight, groove, hold, dry, wet, KEEP)
    even = panel.even_width(sight, groove, hold, dry, wet, KEEP)
    widest = widest_sight(groove, hold, dry, wet, KEEP)
    gap = panel.gap(sight, groove, 310.0, hold, 4.0)
    held = panel.engagement(sight, groove, 310.0, hold, 4.0)
    for values in (least, low, high, even):
        assert np.shape(values) == shape
    for row in range(2):
        for column in range(3):
            b, g, d, w = (float(one) for one in (sight[row, 0], groove[column], dry[column], wet[column]))
            assert np.asarray(least)[row, column] == least_groove(b, hold, d, w, KEEP)
            assert (np.asarray(low)[row, column], np.asarray(high)[row, column]) == width_range(b, g, hold, d, w, KEEP)
            assert np.asarray(even)[row, column] == panel.even_width(b, g, hold, d, w, KEEP)
            assert np.asarray(widest)[column] == widest_sight(g, hold, d, w, KEEP)
            assert np.broadcast_to(gap, shape)[row, column] == panel.gap(b, g, 310.0, hold, 4.0)
            assert np.broadcast_to(held, shape)[row, column] == panel.engagement(b, g, 310.0, hold, 4.0)
    assert isinstance(least_groove(300.0, hold, 0.99, 1.01, KEEP), float)


@pytest.mark.parametrize("hold", HOLDS)
def test_wood_that_does_not_move_fits_any_opening_or_none(hold: Hold) -> None:
    least = float(least_groove(300.0, hold, 1.0, 1.0, KEEP))
    assert least == pytest.approx(float(least_groove(3000.0, hold, 1.0, 1.0, KEEP)), abs=1e-9)
    assert widest_sight(least, hold, 1.0, 1.0, KEEP) == np.inf
    assert widest_sight(least + HAIR, hold, 1.0, 1.0, KEEP) == np.inf
    assert widest_sight(least - HAIR, hold, 1.0, 1.0, KEEP) == -np.inf


def test_a_groove_too_shallow_for_any_opening_serves_none() -> None:
    assert float(widest_sight(5.0, "centred", 0.99, 1.01, KEEP)) <= 0
    assert float(widest_sight(3.9, "one edge", 0.99, 1.01, KEEP)) <= 0


@given(cases())
def test_counting_the_tolerance_in_either_season_costs_less_than_its_swelling(case: Case) -> None:
    # The rules count t on the dry and on the wet width. A panel that came t off today is off by t ρ then.
    found = fit(case.sight, case.hold, case.ratios, case.keep, Cutter())
    assume(found.fits)
    t, ratios = case.keep.tolerance, case.ratios
    exact = replace(case, keep=replace(case.keep, tolerance=0.0))
    assert exact.dry_shortfall(found.groove, found.width - t) <= ROUND
    assert exact.wet_shortfall(found.groove, found.width + t) <= t * (ratios.wet - 1) + ROUND
