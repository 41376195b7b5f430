from movement import species, wood
from movement.fits import restock
from movement.season import Season

CHERRY = species.find("Cherry, black")


def test_quarter_sawn_stock_is_offered_where_it_moves_less() -> None:
    flat = restock.quartered(wood.cut(CHERRY, 0.0))
    assert flat is not None
    assert flat.ring_angle == 90.0
    assert flat.across == CHERRY.coefficient_radial
    assert restock.quartered(wood.cut(CHERRY, 90.0)) is None


def test_stock_inside_the_year_is_near_enough() -> None:
    assert restock.nearer(Season(6.0, 6.0, 11.0)) is None
    assert restock.nearer(Season(11.0, 6.0, 11.0)) is None


def test_nearer_stock_is_a_tenth_inside_the_year() -> None:
    wet, dry = restock.nearer(Season(14.0, 6.06, 10.97)), restock.nearer(Season(4.0, 6.06, 10.97))
    assert wet == Season(10.9, 6.06, 10.97)
    assert dry == Season(6.1, 6.06, 10.97)


def test_a_year_narrower_than_a_tenth_is_met_exactly() -> None:
    assert restock.nearer(Season(14.0, 8.01, 8.04)) == Season(8.04, 8.01, 8.04)
    assert restock.nearer(Season(4.0, 8.01, 8.04)) == Season(8.01, 8.01, 8.04)


def test_nearer_stock_is_told_in_the_direction_that_it_is_to_go() -> None:
    wet, dry = Season(14.0, 6.0, 11.0), Season(4.0, 6.0, 11.0)
    nearer_wet, nearer_dry = restock.nearer(wet), restock.nearer(dry)
    assert nearer_wet is not None
    assert nearer_dry is not None
    assert restock.told(wet, nearer_wet).startswith("Use drier stock: at 11.0 % moisture content")
    assert restock.told(dry, nearer_dry).startswith("Use less dry stock: at 6.0 % moisture content")
