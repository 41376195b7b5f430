"""Chances of binding and of coming out: exact by hand for one cause, sampled for all, and bounds for a whole piece."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate
from scipy.stats import norm
from spread_cases import STOCK, Sample, sample, widths

from movement import season as seasons
from movement import species, spread, wood
from movement.errors import RangeError
from movement.fits import chance, panel
from movement.fits.chance import Case
from movement.fits.panel import HOLDS, Clearances, Hold
from movement.season import Season, between
from movement.spread import Spread
from movement.wood import Wood

SURE = Spread(0, 0, 0, 0)
USUAL = Spread()
BARE = Clearances(0, 0, 0, 6)
YEAR = between(10, 6, 14)
CHERRY = species.find("Cherry, black")


@cache
def drawn() -> Sample:
    return sample()


def sized(
    hold: Hold = "centred",
    keep: Clearances = BARE,
    stock: Wood = STOCK,
    year: Season = YEAR,
    doubt: Spread = USUAL,
    sight: float = 290,
    groove: float | None = None,
    width: float | None = None,
) -> tuple[float, float, Case]:
    """Groove, width and case of a panel that only just keeps its rules, unless they are given."""
    ratios = seasons.across(year, stock)
    g = float(panel.least_groove(sight, hold, ratios.dry, ratios.wet, keep)) if groove is None else groove
    w = float(panel.even_width(sight, g, hold, ratios.dry, ratios.wet, keep)) if width is None else width
    return g, w, chance.case(sight, g, w, hold, keep, stock, year, doubt)


# By hand: a panel 300 mm wide, sight 290, groove 7.1: it binds beyond 304.2 mm. C 0.0025 at 10 % MC, wettest 14 %:
# (304.2/300 − 1)/4 = 0.0035, (0.0035/0.0025 − 1)/0.15 = 2.6667 deviations, a chance of 0.3830 %. It comes out below
# 290 mm: (1 − 290/300)/4 = 0.0083333, 15.6 deviations: never.
def test_a_board_that_varies_worked_by_hand() -> None:
    found = chance.alone(sized(doubt=replace(SURE, natural=15), groove=7.1, width=300)[2])
    assert found.binds == pytest.approx(0.0038304, abs=1e-7)
    assert found.comes_out == pytest.approx(0, abs=1e-12)


# A year that varies by 0.8 % MC: it binds from 10 + 0.014/0.0025 = 15.6 % MC on, 2 deviations: 2.2750 %.
def test_a_year_that_varies_worked_by_hand() -> None:
    found = chance.alone(sized(doubt=replace(SURE, weather=0.8), groove=7.1, width=300)[2])
    assert found.binds == pytest.approx(0.0227501, abs=1e-7)


# A meter that is uncertain by 1.4 % MC: it binds if today was really drier than the moisture M₀ for which
# 1.01/(1 + 0.0025 (M₀ − 10)) is 1.014, that is 8.42209 %: 1.12708 deviations, 12.985 %; the line through the slope
# gives 1.13154.
def test_a_meter_that_errs_worked_by_hand() -> None:
    found = chance.alone(sized(doubt=replace(SURE, meter=1.4), groove=7.1, width=300)[2])
    assert found.binds == pytest.approx(norm.sf(1.12708), abs=0.001)
    assert found.binds == pytest.approx(norm.sf(0.004 / (1.01 * 0.0025 * 1.4)), abs=1e-12)


# One edge fixed 6 mm deep, groove 12: it binds beyond 290 + 6 + 12 = 308 mm and comes out below 296 mm; loose: beyond
# 290 + 24 and below 290 + 12; centred: beyond 290 + 24 and below 290.
@pytest.mark.parametrize(("hold", "out", "bound"), [("centred", 290, 314), ("loose", 302, 314), ("one edge", 296, 308)])
def test_each_hold_binds_and_comes_out_where_its_gap_and_engagement_end(hold: Hold, out: float, bound: float) -> None:
    found = sized(hold, groove=12, width=300)[2]
    assert (found.out * 300, found.bound * 300) == (pytest.approx(out), pytest.approx(bound))
    assert panel.gap(290, 12, bound, hold, 6) == pytest.approx(0)
    assert panel.engagement(290, 12, out, hold, 6) == pytest.approx(0)


def test_without_doubt_it_is_certain_either_way() -> None:
    sound = sized(keep=Clearances(2, 1, 0.5), doubt=SURE)
    assert chance.alone(sound[2]._replace(cut=0.0)) == (0, 0)
    tight = sized(doubt=SURE, groove=5, width=300)[2]
    assert chance.alone(tight) == (1, 0)


# 2^20 Sobol points of the full model, nothing linearised, the cut uniform between its bounds; the fit keeps its rules
# with nothing, or with some clearance, to spare.
@pytest.mark.parametrize("angle", [0, 20, 45, 75, 90])
@pytest.mark.parametrize("year", [(8, 5, 11), (8, 8, 8), (7, 4, 14), (12, 6, 11)])
@pytest.mark.parametrize("doubt", [Spread(), Spread(22, 0.5, 0.3, 15), Spread(9, 2, 1.5, 0)])
def test_chances_are_those_of_sampled_panels(angle: float, year: tuple[float, float, float], doubt: Spread) -> None:
    stock, season = wood.cut(CHERRY, angle), between(*year)
    dry, wet = widths(drawn(), stock, season, doubt)
    for hold in HOLDS:
        for spare in (0.0, 0.4, 1.0):
            keep = Clearances(spare, spare, 0.4, 5)
            groove, width, case = sized(hold, keep, stock, season, doubt)
            cut = width + keep.tolerance * drawn().cut
            binds = np.mean(np.asarray(panel.gap(290, groove, cut * wet, hold, 5)) < 0)
            out = np.mean(np.asarray(panel.engagement(290, groove, cut * dry, hold, 5)) < 0)
            assert chance.alone(case) == (pytest.approx(binds, abs=0.005), pytest.approx(out, abs=0.005))


# Six panels of three kinds under one year, sampled: boards, meters and cuts each panel's own, the weather shared.
def test_chances_of_a_whole_piece_are_those_of_sampled_pieces() -> None:
    keep, doubt, season = Clearances(0.4, 0.4, 0.4, 5), Spread(weather=1.0), between(8, 5, 11)
    kinds = [("centred", 0, 300, 3), ("loose", 45, 450, 2), ("one edge", 90, 200, 1)]
    cases, free = [], np.ones(drawn().cut.size, bool)
    held = free.copy()
    rng = np.random.default_rng(5)
    for hold, angle, sight, count in kinds:
        stock = wood.cut(CHERRY, angle)
        groove, width, case = sized(hold, keep, stock, season, doubt, sight)
        cases.append(case)
        for _ in range(count):
            order = rng.permutation(free.size)
            own = Sample(*(values[order] for values in drawn()))
            own = own._replace(wet_year=drawn().wet_year, dry_year=drawn().dry_year)
            dry, wet = widths(own, stock, season, doubt)
            cut = width + keep.tolerance * own.cut
            free &= np.asarray(panel.gap(sight, groove, cut * wet, hold, 5)) >= 0
            held &= np.asarray(panel.engagement(sight, groove, cut * dry, hold, 5)) >= 0
    found = chance.together(cases, [kind[3] for kind in kinds])
    assert found.binds == pytest.approx(1 - free.mean(), abs=0.005)
    assert found.comes_out == pytest.approx(1 - held.mean(), abs=0.005)


def test_one_panel_is_a_piece_of_one() -> None:
    case = sized()[2]
    assert chance.together([case], [1]) == pytest.approx(chance.alone(case), abs=1e-12)


def test_a_piece_without_panels_has_no_chance_of_anything() -> None:
    assert chance.together([], []) == (0, 0)


# Shared weather makes trouble come together: less than of independent panels, more than of the likeliest one.
def test_panels_share_their_weather() -> None:
    case = sized(doubt=Spread(5, 0.3, 1.5, 0))[2]
    one, many = chance.alone(case).binds, chance.together([case], [10]).binds
    assert one < many < 1 - (1 - one) ** 10


# Independent route: with year and meter in doubt a panel binds when Z + s E exceeds 1.6, so that ten bind together in
# 1 − ∫ Φ((1.6 − z)/s)¹⁰ φ(z) dz of the years, here by scipy.
@pytest.mark.parametrize("meter", [0.2, 0.5, 1.0])
def test_ten_panels_under_one_year_are_those_of_integration(meter: float) -> None:
    case = sized(doubt=Spread(0, meter / 1.01, 1, 0), groove=7.1, width=300)[2]
    free = integrate.quad(lambda z: norm.cdf((1.6 - z) / meter) ** 10 * norm.pdf(z), -9, 9, points=[1.6])[0]
    assert chance.together([case], [10]).binds == pytest.approx(1 - free, abs=0.003)


# No weather in doubt: panels are independent, and chances multiply.
def test_without_weather_chances_multiply() -> None:
    case = sized(keep=Clearances(1, 0.8, 0.2), doubt=replace(Spread(), weather=0))[2]
    one = chance.alone(case)
    assert 0.001 < one.binds < 0.2
    assert chance.together([case, case], [2, 1]).binds == pytest.approx(1 - (1 - one.binds) ** 3, abs=1e-9)


grooves = st.floats(6, 14)
doubts = st.builds(Spread, st.floats(0, 30), st.floats(0, 2), st.floats(0, 2), st.floats(0, 15))


@given(groove=grooves, deeper=st.floats(0, 5), hold=st.sampled_from(["centred", "one edge"]), doubt=doubts)
def test_a_deeper_groove_never_binds_more(groove: float, deeper: float, hold: Hold, doubt: Spread) -> None:
    one = chance.alone(sized(hold, groove=groove, width=305, doubt=doubt)[2])
    other = chance.alone(sized(hold, groove=groove + deeper, width=305, doubt=doubt)[2])
    assert other.binds <= one.binds + 1e-12
    assert other.comes_out == pytest.approx(one.comes_out, abs=1e-12)


@given(width=st.floats(295, 310), wider=st.floats(0, 5), hold=st.sampled_from(HOLDS), doubt=doubts)
def test_a_wider_panel_binds_more_and_comes_out_less(width: float, wider: float, hold: Hold, doubt: Spread) -> None:
    one = chance.alone(sized(hold, groove=9, width=width, doubt=doubt)[2])
    other = chance.alone(sized(hold, groove=9, width=width + wider, doubt=doubt)[2])
    assert other.binds >= one.binds - 1e-12
    assert other.comes_out <= one.comes_out + 1e-12


@settings(max_examples=40)
@given(doubt=doubts, counts=st.lists(st.integers(1, 20), min_size=1, max_size=4))
def test_a_piece_is_at_least_its_worst_panel_and_at_most_their_sum(doubt: Spread, counts: list[int]) -> None:
    cases = [sized(keep=Clearances(1, 0.3 * index, 0.3), doubt=doubt)[2] for index in range(len(counts))]
    alone = [chance.alone(case) for case in cases]
    found = chance.together(cases, counts)
    for event in range(2):
        assert max(one[event] for one in alone) <= found[event] + 1e-12
        assert found[event] <= sum(n * one[event] for n, one in zip(counts, alone, strict=True)) + 1e-12
        assert 0 <= found[event] <= 1


# Whatever the confidence, the groove and width that it asks for bind or come out more rarely than it leaves: the least
# gap, the least engagement and the making tolerance are still to be used up.
@given(angle=st.floats(0, 90), confidence=st.sampled_from(spread.CONFIDENCES), hold=st.sampled_from(HOLDS))
def test_a_fit_sized_for_a_confidence_binds_more_rarely_than_it_leaves(
    angle: float, confidence: float, hold: Hold
) -> None:
    stock, season, keep = wood.cut(CHERRY, angle), between(8, 5, 11), Clearances()
    ratios = spread.across(confidence, Spread())(season, stock)
    fit = panel.fit(300, hold, ratios, keep, panel.Cutter())
    found = chance.alone(chance.case(300, fit.groove, fit.width, hold, keep, stock, season, Spread()))
    assert max(found) < 1 - confidence / 100


def test_a_panel_width_out_of_range_is_refused() -> None:
    with pytest.raises(RangeError, match="panel width is 0 mm; allowed is 10 to 3500 mm"):
        chance.case(290, 8, 0.0, "centred", BARE, STOCK, YEAR, Spread())


# The few chances of one panel are worked out by other means than the many of a piece: both against scipy's normal.
@pytest.mark.parametrize("count", [chance._FEW, chance._FEW + 1])
def test_few_chances_are_worked_out_as_many_are(count: int) -> None:
    places = np.linspace(-37.0, 9.0, count)
    assert chance._below(places[:, None]).ravel() == pytest.approx(norm.cdf(places), rel=1e-12, abs=0)
