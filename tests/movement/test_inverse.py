"""Inverse questions as they are asked in JSON: the forward rule undone, open ends and notes, confidence."""

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pydantic import ValidationError

from movement.climate import SOURCE_EMC
from movement.fits.panel import HOLDS, SIGHT_WIDTH
from movement.parts import inverse, panel
from movement.parts.inverse import NOTE_NOTHING, NOTE_STILL, NOTE_WIDE, SurvivesRequest, WidestRequest
from movement.parts.panel import PanelRequest

STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
YEAR = {"moisture_now_pct": 10, "moisture_dry_pct": 6, "moisture_wet_pct": 14}


def widest(**more: Any) -> inverse.WidestResult:
    return inverse.widest(WidestRequest(**{"species": STOCK, **YEAR, "groove_depth_mm": 9, **more}))


def survives(**more: Any) -> inverse.SurvivesResult:
    asked = {"sight_width_mm": 288, "groove_depth_mm": 8, "panel_width_mm": 300, "moisture_now_pct": 10, **more}
    return inverse.survives(SurvivesRequest(species=STOCK, **asked))


# By hand, e 4, c 0.5, t 0.5, ratios 0.99 and 1.01: (18 − 1 − 0.5 − (1.01/0.99) 8.5)/(1.01/0.99 − 1) mm; only one width
# works there.
def test_the_widest_opening_worked_by_hand() -> None:
    found = widest()
    assert found.sight_width_mm == pytest.approx((16.5 - 8.5 * 101 / 99) / (2 / 99), abs=1e-9)
    assert found.panel_width_mm == pytest.approx((found.sight_width_mm + 8.5) / 0.99, abs=1e-9)
    assert found.notes == []


@given(
    hold=st.sampled_from(HOLDS),
    groove=st.floats(6, 40),
    angle=st.floats(0, 90),
    year=st.lists(st.floats(4, 18), min_size=2, max_size=2).map(sorted),
    confidence=st.none() | st.floats(50, 99.9),
)
def test_the_forward_rule_undoes_it(
    hold: str, groove: float, angle: float, year: list[float], confidence: float | None
) -> None:
    asked: dict[str, Any] = {
        "species": STOCK,
        "ring_angle_deg": angle,
        "moisture_now_pct": 10,
        "moisture_dry_pct": year[0],
        "moisture_wet_pct": year[1],
        "hold": hold,
        "confidence_pct": confidence,
        "groove_depth_mm": groove,
    }
    found = inverse.widest(WidestRequest(**asked))
    assume(found.sight_width_mm is not None and found.sight_width_mm <= SIGHT_WIDTH[1])
    forward = PanelRequest(**asked, sight_width_mm=found.sight_width_mm)
    sized = panel.result(forward, forward.hold, groove, forward.bench())
    assert sized.least_groove_depth_mm == pytest.approx(groove, abs=1e-9)
    assert sized.panel_width_mm == pytest.approx(found.panel_width_mm, abs=1e-9)


def test_more_confidence_serves_a_narrower_opening() -> None:
    served = [widest(confidence_pct=confidence).sight_width_mm for confidence in (None, 50, 90, 95, 99)]
    assert served[0] == served[1]
    assert served[1:] == sorted((width for width in served[1:] if width), reverse=True)


def test_wood_that_meets_no_season_is_served_any_width() -> None:
    found = widest(moisture_dry_pct=10, moisture_wet_pct=10)
    assert (found.sight_width_mm, found.panel_width_mm, found.notes) == (None, None, [NOTE_STILL])


def test_a_groove_too_shallow_serves_nothing() -> None:
    found = widest(groove_depth_mm=4)
    assert (found.sight_width_mm, found.notes) == (None, [NOTE_NOTHING])


def test_an_opening_wider_than_a_panel_may_be_is_said_to_be() -> None:
    found = widest(moisture_dry_pct=9.9, moisture_wet_pct=10.1, groove_depth_mm=20)
    assert found.sight_width_mm is not None
    assert found.sight_width_mm > SIGHT_WIDTH[1]
    assert found.notes == [NOTE_WIDE]


# By hand in test_survival: 5.3333 to 13.3333 %, bound beyond 15.3333 %, never out. Handbook equation at 20 °C.
def test_what_a_panel_survives() -> None:
    found = survives()
    assert (found.moisture_low_pct, found.moisture_high_pct) == (pytest.approx(16 / 3), pytest.approx(40 / 3))
    assert found.humidity_low_pct == pytest.approx(25.0, abs=1)
    assert found.humidity_high_pct == pytest.approx(70.5, abs=1)
    assert found.binds_above_moisture_pct == pytest.approx(46 / 3)
    assert found.binds_above_humidity_pct is not None
    assert found.humidity_high_pct is not None
    assert found.binds_above_humidity_pct > found.humidity_high_pct
    assert (found.comes_out_below_moisture_pct, found.comes_out_below_humidity_pct) == (None, None)
    assert found.notes == []


def test_a_warmer_room_survives_the_same_moisture_at_a_higher_humidity() -> None:
    cold, warm = survives(temperature_c=10), survives(temperature_c=30)
    assert cold.moisture_high_pct == warm.moisture_high_pct
    assert cold.humidity_high_pct is not None
    assert warm.humidity_high_pct is not None
    assert warm.humidity_high_pct > cold.humidity_high_pct


def test_a_panel_that_is_out_already_comes_out_below_saturated_air() -> None:
    found = survives(panel_width_mm=250)
    assert found.sources[-1] == SOURCE_EMC
    assert (found.humidity_low_pct, found.humidity_high_pct) == (None, None)
    assert (found.moisture_low_pct, found.moisture_high_pct) == (None, None)
    assert found.comes_out_below_humidity_pct == 100
    assert found.binds_above_humidity_pct is None


def test_a_panel_with_room_for_everything_has_open_ends() -> None:
    found = survives(panel_width_mm=320, groove_depth_mm=25)
    assert (found.humidity_low_pct, found.humidity_high_pct) == (0, 100)
    assert len(found.notes) == 2


@pytest.mark.parametrize("model", [WidestRequest, SurvivesRequest])
def test_a_groove_is_needed(model: Any) -> None:
    with pytest.raises(ValidationError, match="groove_depth_mm"):
        model(species=STOCK, **YEAR)
