"""The spreads and their arithmetic against what is published."""

import math
from statistics import NormalDist

import pytest

from movement import spread, wood
from movement.fits import chance
from movement.fits.panel import Clearances
from movement.season import between
from movement.species import own
from movement.spread import Coefficient, Spread

# CIRAD Tropix sheets: total shrinkage, mean and standard deviation [%], tangential and radial.
CIRAD = {
    "iroko": ((5.4, 0.7), (3.5, 0.4)),
    "khaya": ((5.5, 0.5), (3.7, 0.8)),
    "cedro": ((6.0, 0.6), (3.9, 0.8)),
    "ovengkol": ((8.0, 1.2), (3.9, 0.7)),
}
SURE = Spread(0, 0, 0, 0)


# Wood Handbook, FPL-GTR-190, ch. 4: about 15 % (from memory); the sheets give 9 to 22 %, 15 % on average.
def test_natural_variation_lies_among_published_standard_deviations() -> None:
    seen = [100 * deviation / mean for pairs in CIRAD.values() for mean, deviation in pairs]
    assert (round(min(seen)), round(max(seen))) == (9, 22)
    assert sum(seen) / len(seen) == pytest.approx(Spread().natural, abs=0.5)


# Beech and ash in a heated room over two years: minimum 5–6 % in winter, maximum 10.4–10.9 % in June (published study,
# abstract seen). The mean range of two normal values is 1.128 deviations (control-chart factor d₂ for n = 2, 2/√π).
def test_the_spread_from_year_to_year_is_that_of_two_measured_years() -> None:
    assert pytest.approx(2 / math.sqrt(math.pi), abs=5e-4) == 1.128
    assert pytest.approx(Spread().weather, abs=0.05) == ((6 - 5) + (10.9 - 10.4)) / 2 / 1.128


# Forsén and Tarvainen, VTT Publications 420 (2000): good pin meters within about 2 points at 95 % (from memory).
def test_the_meter_error_is_two_points_at_95_percent() -> None:
    assert NormalDist().inv_cdf(0.975) * Spread().meter == pytest.approx(2, abs=0.05)


# One-sided points of the normal distribution, as tabled: 1.282 (90 %), 1.645 (95 %), 2.326 (99 %).
@pytest.mark.parametrize(("confidence", "z"), [(90, 1.282), (95, 1.645), (99, 2.326)])
def test_confidences_are_the_tabled_normal_points(confidence: float, z: float) -> None:
    stock = wood.cut(own("Straight", coefficient_radial=0.0025, coefficient_tangential=0.0025), 0)
    found = spread.across(confidence, Spread(0, 0, 1, 0))(between(10, 6, 14), stock)
    assert (found.wet - 1.01) / 0.0025 == pytest.approx(z, abs=5e-4)


# Goodman, On the exact variance of products, JASA 55 (1960): V(xy) = X² V(y) + Y² V(x) + V(x) V(y), for the product of
# the coefficient and the change of moisture.
def test_the_doubt_of_a_product_has_goodmans_variance() -> None:
    mean, deviation, change, moistures = 0.0025, 0.0005, 4.0, 1.3
    found = spread.doubt(10.0, 14.0, Coefficient(mean, deviation))
    variance = found.stock**2 + (found.moisture * moistures) ** 2 + (found.both * moistures) ** 2
    assert variance == pytest.approx(
        mean**2 * moistures**2 + change**2 * deviation**2 + deviation**2 * moistures**2, rel=1e-12
    )


# Tabled areas of the normal distribution: beyond 1, 2 and 3 deviations lie 15.87, 2.275 and 0.135 %.
@pytest.mark.parametrize(("deviations", "area"), [(1, 0.1587), (2, 0.02275), (3, 0.00135)])
def test_a_gap_of_so_many_deviations_binds_by_the_tabled_area(deviations: float, area: float) -> None:
    stock = wood.cut(own("Straight", coefficient_radial=0.0025, coefficient_tangential=0.0025), 0)
    groove = (300 * (1 + 0.0025 * (4 + deviations)) - 290) / 2
    case = chance.case(290, groove, 300, "centred", Clearances(0, 0, 0), stock, between(10, 6, 14), Spread(0, 0, 1, 0))
    assert chance.alone(case).binds == pytest.approx(area, abs=5e-5)


# Hardwood Floors, Dec 2025 (FPL authors, seen): one coefficient cannot predict one board, only the mean of many.
def test_one_board_is_not_its_species() -> None:
    stock = wood.cut(own("Straight", coefficient_radial=0.0025, coefficient_tangential=0.0025), 0)
    assert spread.coefficient(stock, Spread(15, 0, 0, 0)) == pytest.approx((0.0025, 0.15 * 0.0025))
    assert spread.coefficient(stock, SURE).deviation == 0
