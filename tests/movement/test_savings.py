"""What would help most: by hand, ordered, never negative, and true when it is done."""

from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st
from spread_cases import STOCK

from movement import species, spread, wood
from movement.errors import RangeError
from movement.fits import panel
from movement.fits.panel import HOLDS, Clearances, Hold
from movement.fits.savings import Asked, savings
from movement.lengths import show
from movement.season import between
from movement.spread import Spread

say = partial(show, unit="mm", step=0.1)
SURE = Spread(0, 0, 0, 0)
CHERRY = species.find("Cherry, black")
USUAL = Asked(300, "centred", Clearances(), wood.cut(CHERRY, 30), between(12, 6, 11), 95, Spread())


# By hand: 300 mm sight, centred, e 4, c 0.5, t 0.5, 10 % MC, the year 6 to 14 %, so ratios 0.99 and 1.01.
# Least: c + t/2 + [(ρ_w/ρ_d)(B + 2e + t) − B]/2 = 0.75 + (1.0202020 × 308.5 − 300)/2 = 8.1162. Quarter-sawn, C 0.0015:
# (1.006/0.994): 0.75 + (1.0120724 × 308.5 − 300)/2 = 6.8622. The cut exact: 0.5 + (1.0202020 × 308 − 300)/2 = 7.6111.
def test_choices_worked_by_hand() -> None:
    asked = Asked(300, "centred", Clearances(4, 0.5, 0.5), STOCK, between(10, 6, 14), 95, SURE)
    assert asked.least_groove() == pytest.approx(8.1162, abs=5e-5)
    found = savings(asked, say)
    assert [one.name for one in found] == ["quartered", "tolerance"]
    assert [one.saved for one in found] == [pytest.approx(1.2540, abs=2e-4), pytest.approx(0.5051, abs=2e-4)]
    assert found[0].text == "Use quarter-sawn stock of the same species: 1.3 mm less groove."
    assert found[1].text == "Cut the width exactly: up to 0.5 mm less groove."


# The same, the year alone in doubt by 1 % MC, at 95 %: 1 ± 0.0025 (4 + 1.644854).
def test_a_doubt_worked_by_hand() -> None:
    asked = Asked(300, "centred", Clearances(4, 0.5, 0.0), STOCK, between(10, 6, 14), 95, replace(SURE, weather=1))
    wide = (1 + 0.0025 * 5.644854) / (1 - 0.0025 * 5.644854)
    narrow = 1.01 / 0.99
    weather = next(one for one in savings(asked, say) if one.name == "weather")
    assert weather.saved == pytest.approx((wide - narrow) * 308 / 2, abs=1e-4)


def test_a_loose_panel_is_told_to_be_pinned_and_wet_stock_to_be_dried() -> None:
    found = {one.name: one for one in savings(replace(USUAL, hold="loose", season=between(14, 6, 11)), say)}
    assert found["pinned"].text.startswith("Pin the panel at mid-width")
    assert found["nearer"].text.startswith("Use drier stock, at 11.0 % moisture content: ")
    dry = {one.name: one for one in savings(replace(USUAL, season=between(4, 6, 11)), say)}
    assert dry["nearer"].text.startswith("Use less dry stock, at 6.0 %")


def test_quarter_sawn_stock_is_not_told_to_be_quarter_sawn_nor_a_pinned_panel_to_be_pinned() -> None:
    found = {one.name for one in savings(replace(USUAL, wood=wood.cut(CHERRY, 90)), say)}
    assert not found & {"quartered", "pinned"}


@given(
    hold=st.sampled_from(HOLDS),
    angle=st.floats(0, 90),
    now=st.floats(5, 15),
    confidence=st.floats(50, 99.9),
    sight=st.floats(50, 900),
)
def test_savings_are_ordered_worth_it_and_never_more_than_the_groove(
    hold: Hold, angle: float, now: float, confidence: float, sight: float
) -> None:
    asked = replace(
        USUAL,
        hold=hold,
        wood=wood.cut(CHERRY, angle),
        season=between(now, 6, 11),
        confidence=confidence,
        sight_width=sight,
    )
    found = [one.saved for one in savings(asked, say)]
    assert found == sorted(found, reverse=True)
    assert all(panel.NEUTRAL <= saved <= asked.least_groove() for saved in found)


# Independent route: done by hand, each change gives the groove that was promised.
def test_a_promised_saving_is_had_when_it_is_done() -> None:
    asked = replace(USUAL, spread=Spread(angle=15))
    promised = {one.name: one.saved for one in savings(asked, say)}
    least = asked.least_groove()
    for name in ("meter", "natural", "weather", "angle"):
        ratios = spread.across(95, replace(asked.spread, **{name: 0.0}))(asked.season, asked.wood)
        done = panel.least_groove(300, "centred", ratios.dry, ratios.wet, Clearances())
        assert promised[name] == pytest.approx(least - float(done), abs=1e-12)


def test_at_even_odds_no_doubt_costs_anything() -> None:
    found = {one.name for one in savings(replace(USUAL, confidence=50), say)}
    assert not found & {"meter", "natural", "angle", "weather"}


def test_a_confidence_out_of_range_is_refused() -> None:
    with pytest.raises(RangeError, match=r"^confidence is"):
        savings(replace(USUAL, confidence=100), say)


def test_a_saving_too_small_for_the_maker_s_unit_is_left_out() -> None:
    inches = partial(show, unit="in", step=25.4 / 64)
    fine, coarse = savings(USUAL, say), savings(USUAL, inches)
    assert [one.name for one in coarse] == [one.name for one in fine if inches(one.saved) != inches(0.0)]
    assert all(' 0"' not in one.text for one in coarse)
    assert len(coarse) < len(fine)
