"""Drawer fronts and slats against figures printed elsewhere, each with its source.

Marks: secondary = read in a quotation of the publication; derived = computed for this project from published figures.
"""

import pytest

from movement.lengths import INCH, round_to
from movement.parts import front, slats
from movement.sorption import equilibrium_moisture

# The maker's article gives relative humidity only; 21.1 °C (70 °F) is the usual room of the equation's tables.
DRY, WET = (float(equilibrium_moisture(21.1, humidity)) for humidity in (35, 80))


@pytest.mark.parametrize(
    ("species", "printed", "by_equation"),
    [
        # A maker's article (secondary): a flat-sawn drawer front 4 in high, from 35 to 80 % RH, grows by about this
        # fraction of an inch. Eq. 13-2 of the Wood Handbook from 6.9 to 16.0 % MC gives the last column (derived).
        ("Maple, sugar", 1 / 8, 0.128),
        ("Cherry, black", 3 / 32, 0.090),
        ("Walnut, black", 3 / 32, None),
    ],
)
def test_a_drawer_front_grows_as_a_maker_prints(species: str, printed: float, by_equation: float | None) -> None:
    asked = front.FrontRequest(
        species=species,
        moisture_now_pct=DRY,
        moisture_dry_pct=DRY,
        moisture_wet_pct=WET,
        opening_mm=5 * INCH,
        least_reveal_mm=0,
        made_mm=4 * INCH,
    )
    found = front.result(asked, asked.bench())
    growth = found.size_wet_mm - 4 * INCH
    assert found.reveal_now_mm - found.reveal_wet_mm == pytest.approx(growth)
    assert float(round_to(growth, INCH / 32)) == pytest.approx(printed * INCH)  # printed to 1/32 in
    if by_equation is not None:
        # The equation takes the height at 6.9 % MC as if it were that at 10 %: undone here, to half a printed digit.
        ignored = 1 + found.coefficient_across * (DRY - 10)
        assert growth / INCH * ignored == pytest.approx(by_equation, abs=0.0005)


def test_each_bay_of_a_hard_maple_row_opens_by_a_millimetre() -> None:
    # 45 mm flat-sawn, 12 to 6 % MC: 0.95 mm (derived; coefficient of the Wood Handbook, FPL-GTR-190, Table 13-5)
    asked = slats.SlatsRequest(
        species="Maple, sugar",
        moisture_now_pct=12,
        moisture_dry_pct=6,
        moisture_wet_pct=12,
        slat_width_mm=45,
        space_now_mm=50,
    )
    found = slats.result(asked, asked.bench())
    assert found.space_dry_mm - found.space_now_mm == pytest.approx(0.95, abs=0.005)
    assert found.space_wet_mm == 50
