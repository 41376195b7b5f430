"""Spread: the coefficient against integration, widened ratios against sampling and by hand, and what never narrows."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats
from spread_cases import STOCK, Sample, sample, widths

from movement import season as seasons
from movement import species, spread, wood
from movement.errors import RangeError
from movement.fits import panel
from movement.fits.panel import HOLDS, Clearances
from movement.season import Season, between
from movement.spread import ANGLE, CONFIDENCE, CONFIDENCES, METER, NATURAL, WEATHER, Spread
from movement.wood import Wood

CHERRY = species.find("Cherry, black")
SURE = Spread(0, 0, 0, 0)

spreads = st.builds(Spread, st.floats(*NATURAL), st.floats(*METER), st.floats(*WEATHER), st.floats(*ANGLE))
confidences = st.floats(*CONFIDENCE)
moistures = st.lists(st.floats(2, 20), min_size=2, max_size=2).map(sorted)
years = st.builds(lambda now, year: between(now, *year), st.floats(3, 20), moistures)
stocks = st.builds(lambda angle: wood.cut(CHERRY, angle), st.floats(0, 90))


@cache
def drawn() -> Sample:
    return sample()


# Independent route: scipy integrates C(a) and C(a)² over the normal density, folding nothing.
@pytest.mark.parametrize("angle", [0, 10, 45, 80, 90])
@pytest.mark.parametrize("doubt", [0.5, 5, 20])
@pytest.mark.parametrize("through", [False, True])
def test_mean_and_deviation_of_the_coefficient_are_those_of_integration(
    angle: float, doubt: float, through: bool
) -> None:
    radial, tangential = CHERRY.coefficient_radial, CHERRY.coefficient_tangential

    def moment(power: int) -> float:
        def weighed(x: float) -> float:
            share = np.cos(np.radians(angle + doubt * x)) ** 2
            share = 1 - share if through else share
            return float((radial + (tangential - radial) * share) ** power * stats.norm.pdf(x))

        return float(integrate.quad(weighed, -9, 9, limit=200)[0])

    mean, square = moment(1), moment(2)
    found = spread.coefficient(wood.cut(CHERRY, angle), Spread(20, 0, 0, doubt), through)
    assert found.mean == pytest.approx(mean, rel=1e-9)
    assert found.deviation == pytest.approx(np.sqrt(square * 1.04 - mean**2), rel=1e-6)


def test_without_doubt_the_coefficient_is_the_one_entered() -> None:
    for angle in (0.0, 30.0, 90.0):
        stock = wood.cut(CHERRY, angle)
        assert spread.coefficient(stock, SURE) == (stock.across, 0)
        assert spread.coefficient(stock, SURE, through=True) == (stock.through, 0)


def test_a_flat_sawn_board_whose_rings_are_in_doubt_moves_less_and_a_quarter_sawn_one_more() -> None:
    doubt = replace(SURE, angle=10)
    assert spread.coefficient(wood.cut(CHERRY, 0), doubt).mean < wood.cut(CHERRY, 0).across
    assert spread.coefficient(wood.cut(CHERRY, 90), doubt).mean > wood.cut(CHERRY, 90).across


# By hand: today 10 % MC, the year 6 to 14 %, C 0.0025. Weather alone, 0.8 % MC: at 95 % z = 1.644854, so the wettest
# year counts as 14 + 1.315883 = 15.315883 %, 1 + 0.0025 × 5.315883 = 1.01328971; the driest as 4.684117 %, 0.98671029.
def test_a_doubtful_year_worked_by_hand() -> None:
    found = spread.across(95, replace(SURE, weather=0.8))(between(10, 6, 14), STOCK)
    assert found.wet == pytest.approx(1.01328971, abs=1e-8)
    assert found.dry == pytest.approx(0.98671029, abs=1e-8)
    assert found.mid == pytest.approx(1.0, abs=1e-12)


# Natural variation alone, 15 %: the coefficient counts as 0.0025 (1 + 0.15 × 1.644854) = 0.00311682: 1.01246728.
def test_a_doubtful_board_worked_by_hand() -> None:
    found = spread.across(95, replace(SURE, natural=15))(between(10, 6, 14), STOCK)
    assert found.wet == pytest.approx(1.01246728, abs=1e-8)
    assert found.dry == pytest.approx(0.98753272, abs=1e-8)


# A meter that is 1 % MC uncertain, alone: the slope of 1.01 in today's moisture is −1.01 × 0.0025.
def test_a_doubtful_meter_worked_by_hand() -> None:
    found = spread.across(95, replace(SURE, meter=1))(between(10, 6, 14), STOCK)
    assert found.wet == pytest.approx(1.01 + 1.644854 * 1.01 * 0.0025, abs=1e-8)
    assert found.dry == pytest.approx(0.99 - 1.644854 * 0.99 * 0.0025, abs=1e-8)


@given(year=years, stock=stocks, doubt=spreads)
def test_at_even_odds_nothing_is_widened(year: Season, stock: Wood, doubt: Spread) -> None:
    for widened, plain in ((spread.across, seasons.across), (spread.through, seasons.through)):
        found, without = widened(50, doubt)(year, stock), plain(year, stock)
        assert (found.dry, found.mid, found.wet) == pytest.approx((without.dry, without.mid, without.wet), abs=1e-14)


@given(year=years, stock=stocks, doubt=spreads, confidence=confidences)
def test_without_doubt_no_confidence_widens(year: Season, stock: Wood, doubt: Spread, confidence: float) -> None:
    found, without = spread.across(confidence, SURE)(year, stock), seasons.across(year, stock)
    assert (found.dry, found.mid, found.wet) == pytest.approx((without.dry, without.mid, without.wet), abs=1e-14)


@given(year=years, stock=stocks, doubt=spreads, other=spreads, pair=st.lists(confidences, min_size=2, max_size=2))
def test_more_doubt_or_more_confidence_never_narrows(
    year: Season, stock: Wood, doubt: Spread, other: Spread, pair: list[float]
) -> None:
    less = Spread(*(min(getattr(doubt, name), getattr(other, name)) for name in spread.MARKS))
    more = Spread(*(max(getattr(doubt, name), getattr(other, name)) for name in spread.MARKS))
    for widened in (spread.across, spread.through):
        narrow, wide = widened(min(pair), less)(year, stock), widened(max(pair), more)(year, stock)
        assert wide.dry <= narrow.dry + 1e-14
        assert wide.wet >= narrow.wet - 1e-14
        assert wide.mid == narrow.mid


@given(year=years, stock=stocks, hold=st.sampled_from(HOLDS), sight=st.floats(20, 900))
def test_more_doubt_or_more_confidence_never_gives_a_shallower_groove(
    year: Season, stock: Wood, hold: panel.Hold, sight: float
) -> None:
    def groove(confidence: float, doubt: Spread) -> float:
        ratios = spread.across(confidence, doubt)(year, stock)
        return float(panel.least_groove(sight, hold, ratios.dry, ratios.wet, Clearances()))

    grooves = [groove(confidence, Spread()) for confidence in (*CONFIDENCES, 99.9)]
    assert grooves == sorted(grooves)
    for name in spread.MARKS:
        doubled = replace(Spread(), **{name: 2 * getattr(Spread(), name)})
        assert groove(95, doubled) >= groove(95, Spread()) - 1e-9
        assert groove(95, replace(Spread(), **{name: 0.0})) <= groove(95, Spread()) + 1e-9


# 2^20 Sobol points of the full model: the share of boards beyond the widened ratio is at most what the confidence
# leaves, within a twentieth of it; a wet store (12 % MC) and a home without a season included.
@pytest.mark.parametrize("angle", [0, 20, 45, 75, 90])
@pytest.mark.parametrize("year", [(8, 5, 11), (8, 8, 8), (7, 4, 14), (12, 6, 11)])
def test_a_confidence_is_kept_by_sampled_boards(angle: float, year: tuple[float, float, float]) -> None:
    stock, season = wood.cut(CHERRY, angle), between(*year)
    dry, wet = widths(drawn(), stock, season, Spread())
    for confidence in (90, 95, 99):
        found = spread.across(confidence, Spread())(season, stock)
        allowed = 1.05 * (1 - confidence / 100)
        assert np.mean(np.minimum(dry, 1) < found.dry - 1e-12) <= allowed
        assert np.mean(np.maximum(wet, 1) > found.wet + 1e-12) <= allowed


# and it is not far too careful either: at 95 % between a half and all of what is allowed.
def test_a_confidence_is_not_far_too_careful() -> None:
    stock, season = wood.cut(CHERRY, 0), between(8, 5, 11)
    dry, wet = widths(drawn(), stock, season, Spread())
    found = spread.across(95, Spread())(season, stock)
    assert np.mean(dry < found.dry) == pytest.approx(0.05, abs=0.004)
    assert np.mean(wet > found.wet) == pytest.approx(0.05, abs=0.004)


@pytest.mark.parametrize(
    ("name", "limits"), [("natural", NATURAL), ("meter", METER), ("weather", WEATHER), ("angle", ANGLE)]
)
def test_a_spread_out_of_range_is_refused(name: str, limits: tuple[float, float]) -> None:
    for value in limits:
        replace(Spread(), **{name: value})
    for value in (limits[0] - 0.01, limits[1] + 0.01, float("nan")):
        with pytest.raises(RangeError) as refused:
            replace(Spread(), **{name: value})
        assert (refused.value.low, refused.value.high) == limits


@pytest.mark.parametrize("confidence", [49.9, 99.91, 0, 100, float("nan")])
def test_a_confidence_out_of_range_is_refused(confidence: float) -> None:
    with pytest.raises(RangeError, match=r"confidence is .*; allowed is 50 to 99.9 %"):
        spread.across(confidence, Spread())


def test_every_default_says_where_it_comes_from() -> None:
    assert set(spread.MARKS) == set(Spread.__dataclass_fields__)
    for name, mark in spread.MARKS.items():
        assert mark.startswith(f"{getattr(Spread(), name):g}")
        assert "from memory" in mark or "derived" in mark or "no source" in mark
