"""Many panels over many places give what each panel at each place gives alone."""

import numpy as np
import pytest

from movement import catalogue, season, wood
from movement.catalogue import Panels, Years
from movement.errors import RangeError
from movement.fits import panel
from movement.fits.cutter import Cutter
from movement.fits.panel import HOLDS, Clearances, Hold
from movement.species import find

KEEP = Clearances(4.0, 0.5, 0.5, 5.0)
WOODS = [
    wood.cut(find(name), angle) for name, angle in (("Cherry, black", 0.0), ("white oak", 90.0), ("Ash, white", 30.0))
]
SIGHTS = (120.0, 300.0, 455.5)
NOW = np.array([5.0, 8.0, 13.0])
YEARS = Years(np.array([4.0, 6.0]), np.array([9.0, 12.5]))


def panels(hold: Hold, step: float = 0.5) -> Panels:
    across = np.array([one.across for one in WOODS])
    start = np.array([one.start_of_shrinkage for one in WOODS])
    return Panels(hold, KEEP, np.array(SIGHTS), NOW, across, start, np.full(3, step))


@pytest.mark.parametrize("hold", HOLDS)
def test_each_row_is_the_panel_sized_alone(hold: Hold) -> None:
    block = catalogue.size(panels(hold), YEARS)
    for row in range(6):
        which, place = int(block.panel[row]), int(block.place[row])
        year = season.between(float(NOW[which]), float(YEARS.dry[place]), float(YEARS.wet[place]))
        ratios = season.across(year, WOODS[which])
        alone = panel.fit(float(SIGHTS[which]), hold, ratios, KEEP, Cutter(0.5))
        assert block.moisture_dry[row] == year.dry
        assert block.moisture_wet[row] == year.wet
        assert block.least_groove[row] == pytest.approx(alone.least_groove, abs=1e-9)
        assert block.groove[row] == pytest.approx(alone.groove, abs=1e-9)
        assert block.width[row] == pytest.approx(alone.width, abs=1e-9)
        assert block.gap_now[row] == pytest.approx(alone.gap_at(1.0), abs=1e-9)
        assert block.gap_dry[row] == pytest.approx(alone.gap_at(ratios.dry), abs=1e-9)
        assert block.gap_wet[row] == pytest.approx(alone.gap_at(ratios.wet), abs=1e-9)
        assert block.engagement_dry[row] == pytest.approx(alone.engagement_at(ratios.dry), abs=1e-9)
        assert block.bias[row] == pytest.approx(alone.bias, abs=1e-9)


@pytest.mark.parametrize("rows", [1, 2, 3, 4, 100])
def test_blocks_are_the_whole_in_order(rows: int) -> None:
    whole = catalogue.size(panels("loose"), YEARS)
    parted = list(catalogue.blocks(panels("loose"), YEARS, rows))
    for index, column in enumerate(whole):
        np.testing.assert_array_equal(np.concatenate([block[index] for block in parted]), column)


def test_every_panel_keeps_its_own_step() -> None:
    mixed = panels("centred")
    mixed.step[:] = (0.5, 1.0, 2.0)
    block = catalogue.size(mixed, YEARS)
    steps = np.array([0.5, 1.0, 2.0])[block.panel]
    np.testing.assert_allclose(block.groove / steps, np.round(block.groove / steps))
    assert (block.groove >= block.least_groove - 1e-9).all()
    assert (block.groove < block.least_groove + steps).all()


def test_it_refuses_a_width_out_of_range() -> None:
    wide = panels("centred")
    wide.sight_width[0] = 1e6
    with pytest.raises(RangeError, match="sight width"):
        catalogue.size(wide, YEARS)


def test_alike_groups_in_order_of_appearance() -> None:
    other = Clearances(3.0)
    groups = catalogue.alike(["loose", "centred", "loose", "loose"], [KEEP, KEEP, KEEP, other])
    assert groups == [("loose", KEEP, [0, 2]), ("centred", KEEP, [1]), ("loose", other, [3])]
