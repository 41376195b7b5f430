"""Months without bias: by hand, and the limits."""

import pytest
from spread_cases import STOCK

from movement import season as seasons
from movement.errors import RangeError
from movement.fits import months, panel
from movement.fits.cutter import Cutter
from movement.fits.panel import Clearances, PanelFit
from movement.season import Season, between


def fitted(moisture: float) -> tuple[Season, PanelFit]:
    """A panel for a home between 6 and 14 %, sight 290, groove 12, centred."""
    season = between(moisture, 6, 14)
    return season, panel.fit(290, "centred", seasons.across(season, STOCK), Clearances(), Cutter(), 12)


# By hand: mid is 10 %. Stock at 12 % will be narrower by W (1 − 1/1.005) at mid and its gap wider by half of that:
# today it is fitted so much tighter.
def test_stock_at_mid_has_no_bias_and_damp_stock_is_fitted_tighter() -> None:
    at_mid, damp, dry = months.months([10, 12, 7], fitted)
    assert (at_mid.bias, at_mid.from_mid, at_mid.suits) == (pytest.approx(0, abs=1e-12), 0, True)
    assert (damp.from_mid, dry.from_mid) == (2, -3)
    width = fitted(12)[1].width
    assert damp.bias == pytest.approx(-width * (1 - 1 / 1.005) / 2, abs=1e-9)
    assert dry.bias > 0
    assert not damp.suits
    assert not dry.suits


# About 302 mm of panel move by 0.76 mm per 1 % MC, 0.38 mm per edge: 0.3 mm is 0.8 points either way, 1 mm 2.6 points.
def test_a_maker_content_with_more_bias_has_more_months() -> None:
    shop = [8.8, 9.4, 10, 10.3, 10.8, 12]
    suits = [sum(month.suits for month in months.months(shop, fitted, within)) for within in (0.05, 0.3, 1)]
    assert suits == [1, 3, 6]


# Stock damper than the home's wettest month widens the season: mid is then between the home's driest and the stock.
def test_stock_outside_the_home_s_year_moves_mid() -> None:
    assert months.months([16], fitted)[0].from_mid == pytest.approx(16 - 11)


@pytest.mark.parametrize("within", [0, 0.049, 10.01])
def test_a_bias_out_of_range_is_refused(within: float) -> None:
    with pytest.raises(RangeError, match="bias to be content with"):
        months.months([10], fitted, within)


def test_stock_too_dry_to_be_fitted_is_refused() -> None:
    with pytest.raises(RangeError, match="moisture content today"):
        months.months([0.5], fitted)
