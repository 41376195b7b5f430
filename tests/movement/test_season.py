"""Now, dry, wet and mid of one part, its wood, and how its size stands then against today's."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from movement import climate, season, species, wood
from movement.errors import RangeError
from movement.season import MOISTURE, YEAR_MOISTURE, across, between, through

moistures = st.floats(*YEAR_MOISTURE)
todays = st.floats(*MOISTURE)
CHERRY = species.find("Cherry, black")


@pytest.mark.parametrize(
    ("now", "dry", "wet", "mid"),
    [
        (8.0, 6.0, 11.0, 8.5),  # inside the year
        (5.0, 5.0, 11.0, 8.0),  # drier than the year
        (14.0, 6.0, 14.0, 10.0),  # wetter than the year
        (6.0, 6.0, 11.0, 8.5),
    ],
)
def test_dry_and_wet_span_today_and_the_year(now: float, dry: float, wet: float, mid: float) -> None:
    found = between(now, 6.0, 11.0)
    assert (found.dry, found.wet, found.mid) == (dry, wet, mid)
    assert (found.year_dry, found.year_wet) == (6.0, 11.0)


@given(todays, moistures, moistures)
def test_today_never_lies_outside(now: float, one: float, other: float) -> None:
    dry, wet = sorted((one, other))
    found = between(now, dry, wet)
    assert found.dry <= min(now, dry)
    assert found.wet >= max(now, wet)
    assert found.dry <= found.mid <= found.wet


def test_the_season_of_a_climate_is_its_full_swing() -> None:
    year = climate.from_range(20.0, 30.0, 24.0, 60.0)
    found = season.season(8.0, year)
    assert (found.dry, found.wet, found.mid) == (year.dry, year.wet, year.mid)


@pytest.mark.parametrize(
    ("now", "dry", "wet", "name"),
    [
        (0.9, 6.0, 11.0, "moisture content today"),
        (30.1, 6.0, 11.0, "moisture content today"),
        (float("nan"), 6.0, 11.0, "moisture content today"),
        (8.0, -0.1, 11.0, "driest moisture content"),
        (8.0, 6.0, 40.1, "wettest moisture content"),
        (8.0, 11.0, 6.0, "wettest moisture content"),
        (8.0, 6.0, float("nan"), "wettest moisture content"),
    ],
)
def test_out_of_range_names_the_quantity(now: float, dry: float, wet: float, name: str) -> None:
    with pytest.raises(RangeError) as caught:
        between(now, dry, wet)
    assert caught.value.name == name


def test_ratios_by_hand() -> None:
    # Black cherry, tangential 0.00248, radial 0.00126 (Wood Handbook, FPL-GTR-190, Table 13-5), flat-sawn.
    # D(M) = 1 + C (M − 10). Width: D(6) = 0.99008, D(8) = 0.99504, D(8.5) = 0.99628, D(11) = 1.00248.
    found = across(between(8.0, 6.0, 11.0), wood.cut(CHERRY, 0.0))
    assert found.dry == pytest.approx(0.99008 / 0.99504, rel=1e-12)
    assert found.mid == pytest.approx(0.99628 / 0.99504, rel=1e-12)
    assert found.wet == pytest.approx(1.00248 / 0.99504, rel=1e-12)
    # Thickness: D(6) = 0.99496, D(8) = 0.99748, D(11) = 1.00126
    thick = through(between(8.0, 6.0, 11.0), wood.cut(CHERRY, 0.0))
    assert (thick.dry, thick.wet) == (
        pytest.approx(0.99496 / 0.99748, rel=1e-12),
        pytest.approx(1.00126 / 0.99748, rel=1e-12),
    )


def test_nothing_moves_above_the_start_of_shrinkage() -> None:
    redcedar = wood.cut(species.find("Cedar, western redcedar"), 0.0)
    assert redcedar.start_of_shrinkage == 22.0
    found = across(between(25.0, 22.0, 28.0), redcedar)
    assert (found.dry, found.mid, found.wet) == (1.0, 1.0, 1.0)


@given(todays, moistures, moistures, st.sampled_from(species.catalogue()), st.floats(0, 90))
def test_a_part_is_never_wider_dry_than_today_nor_narrower_wet(
    now: float, one: float, other: float, kind: species.Species, angle: float
) -> None:
    dry, wet = sorted((one, other))
    stock = wood.cut(kind, angle)
    for way in (across, through):
        found = way(between(now, dry, wet), stock)
        assert found.dry <= 1.0 <= found.wet
        assert found.dry <= found.mid <= found.wet


@given(st.sampled_from(species.catalogue()), st.floats(0, 90))
def test_what_the_rings_take_from_the_width_they_give_to_the_thickness(kind: species.Species, angle: float) -> None:
    stock = wood.cut(kind, angle)
    both = kind.coefficient_radial + kind.coefficient_tangential
    assert stock.across + stock.through == pytest.approx(both, rel=1e-12)
    assert stock.across == pytest.approx(wood.cut(kind, 90 - angle).through, rel=1e-9)


def test_flat_sawn_stock_moves_tangentially_in_width_and_quarter_sawn_radially() -> None:
    flat, quarter = wood.cut(CHERRY, 0.0), wood.cut(CHERRY, 90.0)
    assert (flat.across, flat.through) == (CHERRY.coefficient_tangential, CHERRY.coefficient_radial)
    assert quarter.across == pytest.approx(CHERRY.coefficient_radial, rel=1e-12)


@pytest.mark.parametrize("angle", [-0.1, 90.1, float("nan")])
def test_a_ring_angle_out_of_range_is_refused(angle: float) -> None:
    with pytest.raises(RangeError) as caught:
        wood.cut(CHERRY, angle)
    assert (caught.value.name, caught.value.low, caught.value.high) == ("ring angle", 0.0, 90.0)


@given(st.floats(1, 25), st.floats(0, 1), st.floats(0.1, 5.0), st.floats(0.1, 5.0))
def test_only_stock_outside_the_year_widens_the_swing(dry: float, share: float, span: float, beyond: float) -> None:
    wet, stock = dry + span, wood.cut(CHERRY, 0.0)
    assume(wet + beyond <= 30)
    swings = []
    for now in (dry, dry + share * span, wet + beyond):
        found = across(between(now, dry, wet), stock)
        swings.append(found.wet / found.dry)
    assert swings[1] == pytest.approx(swings[0], rel=1e-12)
    assert swings[2] > swings[0]
