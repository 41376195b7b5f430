"""Both scales as the Wood Handbook prints them: FPL-GTR-190 (2010), Table 4-2, °C beside °F (seen)."""

import pytest

from movement import tables
from movement.temperatures import celsius, show

PRINTED = sorted({(row.temperature_f, row.temperature_c) for row in tables.read("emc_handbook").records})


@pytest.mark.parametrize(("fahrenheit", "printed"), PRINTED)
def test_every_temperature_of_the_table(fahrenheit: float, printed: float) -> None:
    assert show(celsius(fahrenheit), "°C").replace("−", "-") == f"{printed:g} °C"
