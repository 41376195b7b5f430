"""An existing panel: its width from its gap, and what to do about it, by hand and by the rules of fit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement.fits import panel, standing
from movement.fits.cutter import Cutter
from movement.fits.panel import HOLDS, Clearances, Hold, PanelFit
from movement.season import Ratios

KEEP = Clearances(4, 0.5, 0.0, 6)
RATIOS = Ratios(0.99, 1.0, 1.01)


def fit(width: float, hold: Hold = "centred", groove: float = 9, sight: float = 290) -> PanelFit:
    return panel.fit(sight, hold, RATIOS, KEEP, Cutter(), groove, width)


# By hand, sight 290, groove 9, centred: at least 298/0.99 = 301.0101 mm, at most 307/1.01 = 303.9604; even margins at
# (2 × 290 + 18 + 8 − 1)/2 = 302.5 mm, whose gap today is 9 − 6.25 = 2.75 mm.
def test_a_panel_that_is_right_is_left_alone() -> None:
    found = standing.standing(fit(303))
    assert (found.action, found.off) == ("leave", 0)
    assert found.gap_wanted == pytest.approx(2.75)
    assert found.bias == pytest.approx(0.25)  # its gap is 9 − 6.5 = 2.5 mm today


def test_a_panel_too_wide_is_planed_to_even_margins() -> None:
    found = standing.standing(fit(305))
    assert found.action == "plane"
    assert found.off == pytest.approx(2.5)


def test_a_panel_too_narrow_is_widened() -> None:
    found = standing.standing(fit(300))
    assert (found.action, found.off) == ("widen", 0)
    assert found.bias == pytest.approx(-1.25)


# Loose in a groove of 9 it would have to keep 290 + 9 + 4 = 303 mm when dry, 306.06 mm today, and at most 303.96: no
# width works loose, but pinned 303 mm does.
def test_a_loose_panel_that_would_work_pinned_is_pinned() -> None:
    assert standing.standing(fit(303, "loose")).action == "pin"


def test_where_no_width_works_the_groove_is_deepened() -> None:
    assert standing.standing(fit(300, groove=5)).action == "deepen"
    assert standing.standing(fit(300, "loose", groove=5)).action == "deepen"


def test_a_groove_shallower_than_the_fixed_edge_is_deepened() -> None:
    assert standing.standing(fit(296, "one edge", groove=5.5)).action == "deepen"


# A fixed edge that reaches the groove's bottom is seated: 300/0.999 = 300.3 to 301.5/1.001 = 301.2 mm works.
def test_a_groove_just_as_deep_as_the_fixed_edge_sits_is_deep_enough() -> None:
    still = Ratios(0.999, 1.0, 1.001)
    found = [panel.fit(290, "one edge", still, KEEP, Cutter(), 6.0, width) for width in (301, 305)]
    assert [standing.standing(one).action for one in found] == ["leave", "plane"]


@given(hold=st.sampled_from(HOLDS), groove=st.floats(6, 20), gap=st.floats(0, 10), fixed=st.floats(0, 8))
def test_the_width_from_a_gap_has_that_gap(hold: Hold, groove: float, gap: float, fixed: float) -> None:
    width = standing.width_from_gap(290, groove, gap, hold, fixed)
    assert panel.gap(290, groove, width, hold, fixed) == pytest.approx(gap, abs=1e-9)


# Whatever the panel, doing what is said makes it fit.
@given(
    hold=st.sampled_from(HOLDS),
    width=st.floats(285, 320),
    groove=st.floats(4, 20),
    dry=st.floats(0.97, 1.0),
    wet=st.floats(1.0, 1.03),
)
def test_doing_what_is_said_makes_it_fit(hold: Hold, width: float, groove: float, dry: float, wet: float) -> None:
    ratios = Ratios(dry, 1.0, wet)
    sized = panel.fit(290, hold, ratios, KEEP, Cutter(), groove, width)
    found = standing.standing(sized)
    assert (found.action == "leave") == sized.fits
    if found.action == "plane":
        assert found.off > 0
        assert panel.fit(290, hold, ratios, KEEP, Cutter(), groove, width - found.off).fits
    if found.action == "pin":
        assert panel.fit(290, "centred", ratios, KEEP, Cutter(), groove, width).fits
    if found.action == "widen":
        assert width < sized.narrowest
        assert panel.fit(290, hold, ratios, KEEP, Cutter(), groove).fits
    if found.action == "deepen":
        assert not panel.fit(290, hold, ratios, KEEP, Cutter(), groove).fits
    # Planing or widening by the bias gives the gap that is wanted.
    share = 1 if hold == "one edge" else 2
    again = panel.fit(290, hold, ratios, KEEP, Cutter(), groove, max(width - share * found.bias, 10))
    assert again.gap_at(1) == pytest.approx(found.gap_wanted, abs=1e-9)
