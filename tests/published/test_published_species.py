"""The species tables against the publications they come from, and against each other.

Sources: Wood Handbook, USDA Forest Products Laboratory, FPL-GTR-190 (2010), Tables 4-3 (domestic shrinkage), 4-4
(imported shrinkage), 13-5 (coefficients) and the worked example of chapter 13; National Wood Flooring Association,
Hardwood Floors; CIRAD, Tropix sheets; German timber-trade tables after DIN 68100.
"""

import pytest

from movement import species, tables

# The coefficient is printed to 5 decimals. Applied to the shrinkage as printed (to 0.1 %), the formula must give it
# to half a unit of the last place: the shrinkage's own rounding needs no room, as the printed coefficients were
# computed from the printed shrinkages. One point is printed cut instead of rounded: American sycamore, tangential,
# 0.00296610 as 0.00296.
HALF_A_PLACE = 0.5e-5 + 1e-12
CUT = {"Sycamore, American": 1e-5}


def coefficient(shrinkage: float, start: float) -> float:
    """Wood Handbook eq. 13-2 and 13-3 put equal: 1/(3000/S − 20) for a start of shrinkage of 30 %."""
    return 1 / (100 * start / shrinkage - (start - 10))


def deviations(row: tables.HandbookWood, start: float) -> list[float]:
    """Printed coefficient less that of the printed shrinkage, for each direction that has both."""
    pairs = (
        (row.coefficient_radial, row.shrinkage_radial_pct),
        (row.coefficient_tangential, row.shrinkage_tangential_pct),
    )
    return [c - coefficient(s, start) for c, s in pairs if c is not None and s is not None]


def marked(mark: str) -> list[tables.HandbookWood]:
    return [row for row in tables.read("species_handbook").records if row.cross_check == mark]


@pytest.mark.parametrize(("start", "count"), [(30, 93), (22, 5)])
def test_coefficients_agree_with_shrinkage_where_the_table_says_so(start: int, count: int) -> None:
    rows = marked(f"agree (start of shrinkage {start} %)")
    assert len(rows) == count
    for row in rows:
        assert len(deviations(row, start)) == 2
        assert max(map(abs, deviations(row, start))) <= CUT.get(row.name, HALF_A_PLACE), row.name


def test_rows_of_the_low_start_of_shrinkage_do_not_fit_30_percent() -> None:
    for row in marked("agree (start of shrinkage 22 %)"):
        assert min(map(abs, deviations(row, 30))) > 20 * HALF_A_PLACE, row.name


def test_derived_columns_are_what_the_formula_gives() -> None:
    rows = marked("not independent")
    assert len(rows) == 68
    for row in rows:
        assert "derived" in row.shrinkage_status + row.coefficient_status
        assert max(map(abs, deviations(row, 30))) <= HALF_A_PLACE, row.name


def test_rows_marked_as_disagreeing_do_disagree() -> None:
    rows = marked("disagree")
    assert len(rows) == 23
    for row in rows:
        for start in (30, 22):
            assert max(map(abs, deviations(row, start))) > 2 * HALF_A_PLACE, (row.name, start)


# Shrinkage [%] and coefficient, radial then tangential, as printed: FPL-GTR-190 Tables 4-3 and 13-5, all seen in a copy
# but for the two marked.
@pytest.mark.parametrize(
    ("name", "shrinkage", "coefficients"),
    [
        ("Alder, red", (4.4, 7.3), (0.00151, 0.00256)),
        ("Ash, white", (4.9, 7.8), (0.00169, 0.00274)),
        ("Beech, American", (5.5, 11.9), (0.00190, 0.00431)),
        ("Birch, yellow", (7.3, 9.5), (0.00256, 0.00338)),
        ("Butternut", (3.4, 6.4), (0.00116, 0.00223)),
        ("Cherry, black", (3.7, 7.1), (0.00126, 0.00248)),
        ("Maple, sugar", (4.8, 9.9), (0.00165, 0.00353)),  # shrinkage from a secondary quotation
        ("Sycamore, American", (5.0, 8.4), (0.00172, 0.00296)),
        ("Walnut, black", (5.5, 7.8), (0.00190, 0.00274)),
        ("Douglas-fir, coast", (4.8, 7.6), (0.00165, 0.00267)),  # coefficients from a secondary quotation
    ],
)
def test_shrinkage_and_coefficients_of_the_wood_handbook(
    name: str, shrinkage: tuple[float, float], coefficients: tuple[float, float]
) -> None:
    row = next(row for row in tables.read("species_handbook").records if row.name == name)
    assert (row.shrinkage_radial_pct, row.shrinkage_tangential_pct) == shrinkage
    wood = species.find(name)
    assert (wood.coefficient_radial, wood.coefficient_tangential) == coefficients


def test_coefficients_of_the_commercial_oaks() -> None:
    """FPL-GTR-190 Table 13-5, also used by the National Wood Flooring Association (Hardwood Floors)."""
    assert species.find("red oak").coefficient_tangential == 0.00369
    assert species.find("commercial white oak").coefficient_tangential == 0.00365


@pytest.mark.parametrize(
    ("name", "width", "points", "change", "tolerance"),
    [
        (
            "Fir, white",
            232.0,
            3.0,
            1.7,
            0.05,
        ),  # mm, printed to 0.1: FPL-GTR-190 ch. 13 (result seen, inputs from memory)
        ("Oak, red: commercial (group)", 5.0, 3.0, 0.055, 0.0005),  # in, printed to 0.001: Hardwood Floors (seen)
        ("Oak, white: commercial (group)", 5.0, 3.0, 0.055, 0.0005),  # in: the same (secondary)
    ],
)
def test_worked_examples_of_the_small_range_equation(
    name: str, width: float, points: float, change: float, tolerance: float
) -> None:
    """Wood Handbook eq. 13-2: the change is the width times C times the points of MC."""
    assert width * species.find(name).coefficient_tangential * points == pytest.approx(change, abs=tolerance)


def test_traps_of_the_handbook_tables() -> None:
    """Commercial red oak moves 21 % more than northern red oak's shrinkage says; mahogany's values are far apart."""
    ratio = species.find("red oak").coefficient_tangential / species.find("northern red oak").coefficient_tangential
    assert ratio == pytest.approx(1.21, abs=0.005)
    coefficient_, shrinkage = (entry.tangential for entry in species.find("Mahogany, true").published)
    assert coefficient_ == 0.00238
    assert shrinkage == pytest.approx(0.00141, abs=HALF_A_PLACE)


# Mean shrinkage [%], radial then tangential: CIRAD, Tropix sheets (seen).
@pytest.mark.parametrize(
    ("name", "radial", "tangential"),
    [
        ("Iroko", 3.5, 5.4),
        ("Mahogany, African", 3.7, 5.5),
        ("Spanish-cedar", 3.9, 6.0),
        ("Ovangkol", 3.9, 8.0),
    ],
)
def test_imports_move_at_least_as_much_as_another_laboratory_measured(
    name: str, radial: float, tangential: float
) -> None:
    """The larger of two disagreeing values is the cautious one: another laboratory's mean lies below it."""
    wood = species.find(name)
    assert wood.coefficient_radial >= coefficient(radial, 30)
    assert wood.coefficient_tangential >= coefficient(tangential, 30)


@pytest.mark.parametrize(
    ("name", "radial", "tangential"),
    [
        ("Spruce, Norway", 0.19, 0.39),
        ("Beech, European", 0.22, 0.45),
        ("Oak, European", 0.20, 0.36),
        ("Ash, European", 0.21, 0.38),
        ("Teak (European trade table)", 0.16, 0.26),
    ],
)
def test_differential_swelling_of_the_european_trade_table(name: str, radial: float, tangential: float) -> None:
    """German timber-trade tables after DIN 68100, % per 1 % MC; the larger where two sets differ."""
    wood = species.find(name)
    assert 100 * wood.coefficient_radial == pytest.approx(radial, rel=1e-12)
    assert 100 * wood.coefficient_tangential == pytest.approx(tangential, rel=1e-12)
