"""An existing panel and the months to fit one, as they are asked in JSON."""

from typing import Any

import pytest
from pydantic import ValidationError

from movement.errors import RangeError
from movement.parts import check, savings
from movement.parts.check import CheckRequest, CheckResult, MonthsRequest
from movement.parts.savings import SavingsRequest

STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
YEAR = {"moisture_dry_pct": 6, "moisture_wet_pct": 14}
PANEL = {"species": STOCK, **YEAR, "sight_width_mm": 290, "groove_depth_mm": 9, "least_gap_mm": 0.5}


def look(**more: Any) -> CheckResult:
    asked = CheckRequest(**{**PANEL, "moisture_now_pct": 10, "panel_width_mm": 303, **more})
    return check.check(asked, asked.bench())


# By hand in test_standing: 303 mm is right, 2.5 mm of gap today; 305 is to be planed by 2.5; wet 303 × 1.01 = 306.03.
def test_a_measured_panel_worked_by_hand() -> None:
    found = look()
    assert (found.action, found.panel.fits) == ("leave", True)
    assert found.panel.gap_now_mm == pytest.approx(2.5)
    assert found.panel.gap_wet_mm == pytest.approx(9 - (306.03 - 290) / 2)
    assert found.panel.advice == []
    wide = look(panel_width_mm=305)
    assert (wide.action, wide.plane_off_mm) == ("plane", pytest.approx(2.5))
    assert any(line.startswith("Plane the panel") for line in wide.panel.advice)


def test_a_measured_gap_stands_for_the_width() -> None:
    assert look(panel_width_mm=None, gap_now_mm=2.5).panel.panel_width_mm == pytest.approx(303)
    one_edge = look(panel_width_mm=None, gap_now_mm=2.5, hold="one edge", fixed_engagement_mm=6)
    assert one_edge.panel.panel_width_mm == pytest.approx(290 + 6 + 9 - 2.5)


# Handbook: wood at 21.1 °C and 50 % RH settles at 9.2 %.
def test_the_air_of_the_room_stands_for_the_moisture_today() -> None:
    found = look(moisture_now_pct=None, air_now={"temperature_c": 21.1, "humidity_pct": 50})
    assert found.panel.moisture_now_pct == pytest.approx(9.2, abs=0.05)


def test_an_unmeasured_making_tolerance_counts_as_none() -> None:
    assert CheckRequest(**PANEL, moisture_now_pct=10, panel_width_mm=303).clearances().tolerance == 0


def test_a_confidence_asks_for_more_of_a_panel() -> None:
    sure, plain = look(confidence_pct=99).panel, look().panel
    assert sure.gap_wet_mm < plain.gap_wet_mm
    assert sure.chance_binds_pct == plain.chance_binds_pct


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"gap_now_mm": 2.5}, "width today or its gap today"),
        ({"panel_width_mm": None}, "width today or its gap today"),
        ({"moisture_now_pct": None}, "moisture content today or the room's air"),
        ({"air_now": {"temperature_c": 20, "humidity_pct": 50}}, "moisture content today or the room's air"),
        ({"moisture_now_pct": None, "air_now": {"temperature_c": 20, "humidity_pct": 2}}, "moisture content today is"),
        (
            {"panel_width_mm": None, "gap_now_mm": 25, "sight_width_mm": 20, "groove_depth_mm": 2},
            "panel width is -26 mm; allowed is 10 to 3500 mm",
        ),
    ],
)
def test_what_is_not_measured_once_is_refused(more: dict[str, Any], said: str) -> None:
    with pytest.raises(ValidationError, match=said):
        look(**more)


def shop(*moistures: float) -> dict[str, Any]:
    """Twelve months of air; each pair of a temperature and a humidity of the shop."""
    states = [{"temperature_c": 20, "humidity_pct": humidity} for humidity in moistures]
    return {"kind": "months", "months": states}


def asked(**more: Any) -> MonthsRequest:
    humid = shop(30, 32, 38, 45, 52, 58, 62, 64, 58, 50, 40, 33)
    return MonthsRequest(
        species=STOCK, **YEAR, sight_width_mm=290, groove_depth_mm=9, moisture_now_pct=10, shop=humid, **more
    )


# Mid of the home is 10 %: at 20 °C wood settles at 9.5 % in 52 % RH and at 10.6 % in 58 %; 0.38 mm per point.
def test_months_without_bias_lie_where_the_shop_is_near_the_home_s_mid() -> None:
    found = check.suited(asked(within_mm=0.4))
    assert [index for index, month in enumerate(found.months) if month.suits] == [4, 5, 8, 9]
    assert found.now.suits
    assert found.now.moisture_pct == 10
    assert len(found.months) == 12
    for month in found.months:
        assert (month.bias_mm > 0) == (month.from_mid_pct < 0)


def test_without_a_wish_only_neutral_months_suit() -> None:
    found = check.suited(asked())
    assert not any(month.suits for month in found.months)
    assert found.now.suits


def test_a_shop_too_dry_for_any_stock_is_refused() -> None:
    dry = MonthsRequest(
        **{**asked().model_dump(exclude={"shop", "species"}), "species": STOCK, "shop": shop(*[1] * 12)}
    )
    with pytest.raises(RangeError, match="moisture content today"):
        check.suited(dry)


def test_savings_are_asked_at_95_percent_where_nothing_is_told() -> None:
    asked = SavingsRequest(species=STOCK, **YEAR, sight_width_mm=290, moisture_now_pct=10)
    found = savings.result(asked)
    assert found.confidence_pct == 95
    told = savings.result(asked.model_copy(update={"confidence_pct": 99}))
    assert told.least_groove_depth_mm > found.least_groove_depth_mm
    assert found.savings
    assert found.savings[0].saved_mm == max(one.saved_mm for one in found.savings)
    assert all("mm less groove." in one.text for one in found.savings)
