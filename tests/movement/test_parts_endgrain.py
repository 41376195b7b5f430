"""A board by its end grain: what its request holds, and a case worked by hand."""

import math
from typing import Any

import pytest
from pydantic import ValidationError

from movement.parts.endgrain import BoardRequest, result

APPLE = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
BOARD: dict[str, Any] = {
    "species": APPLE,
    "width_mm": 200.0,
    "thickness_mm": 20.0,
    "rings": {"kind": "heart", "heart_depth_mm": 110.0},
    "moisture_now_pct": 10.0,
    "moisture_dry_pct": 6.0,
    "moisture_wet_pct": 12.0,
}


def made(**more: Any) -> Any:
    return result(BoardRequest.model_validate(BOARD | more))


def test_a_board_worked_by_hand() -> None:
    """Heart 100 mm below mid-thickness, 200 mm wide: edges at 45°, share of tangential movement π/4 = 0.78540."""
    found = made()
    assert (found.ring_angle_left_deg, found.ring_angle_middle_deg, found.ring_angle_right_deg) == (
        pytest.approx(45),
        pytest.approx(0),
        pytest.approx(45),
    )
    assert found.tangential_share_pct == pytest.approx(25 * math.pi)
    assert found.coefficient_across == pytest.approx(0.0015 + 0.001 * math.pi / 4)
    assert found.coefficient_through == pytest.approx(0.0025 - 0.001 * math.pi / 4)
    assert found.equivalent_ring_angle_deg == pytest.approx(27.597, abs=0.001)
    assert found.width_dry_mm == pytest.approx(200 * (1 - 4 * 0.0022854), abs=1e-4)
    assert found.width_wet_mm == pytest.approx(200 * (1 + 2 * 0.0022854), abs=1e-4)
    # ρ_R 0.994, ρ_T 0.990: 0.994 [141.4214 cos(45° · 0.990/0.994) − 100] = 0.3137
    assert found.cup_dry_mm == pytest.approx(0.3137, abs=1e-4)
    assert (found.hollow_dry, found.hollow_wet) == ("bark side", "heart side")
    assert found.sawn == "flat-sawn to rift-sawn"
    assert (found.heart_depth_mm, found.heart_offset_mm) == (110, 0)


def test_every_way_to_tell_the_rings_tells_the_same_board() -> None:
    """The ring that meets the bark side's middle has a radius of 110 mm: over a chord of 60 it rises 4.1699."""
    rise = 110 - math.sqrt(110**2 - 30**2)
    expected = made()
    for rings in (
        {"kind": "edges", "ring_left_deg": 45.0, "ring_right_deg": 45.0},
        {"kind": "chord", "ring_chord_mm": 60.0, "ring_rise_mm": rise},
    ):
        found = made(rings=rings)
        assert found.cup_dry_mm == pytest.approx(expected.cup_dry_mm)
        assert found.equivalent_ring_angle_deg == pytest.approx(expected.equivalent_ring_angle_deg)
        assert found.heart_depth_mm == pytest.approx(110)


def test_straight_rings_have_no_heart_and_no_cup() -> None:
    found = made(rings={"kind": "straight", "ring_angle_deg": 90.0})
    assert (found.heart_depth_mm, found.heart_offset_mm) == (None, None)
    assert found.coefficient_across == pytest.approx(0.0015)
    assert (found.hollow_dry, found.hollow_wet) == ("neither", "neither")
    assert found.sawn == "quarter-sawn"


def test_a_groove_takes_the_swollen_tongue_and_the_cup() -> None:
    found = made(tongue_thickness_mm=6.0)
    wet = 6 * found.thickness_wet_mm / 20 + abs(found.cup_wet_mm)
    dry = 6 * found.thickness_dry_mm / 20 + found.cup_dry_mm
    assert found.groove_width_mm == pytest.approx(max(wet, dry))
    assert made().groove_width_mm > found.groove_width_mm


def test_strips_cup_less_and_move_as_much_together() -> None:
    found = made()
    for pieces in (2, 3):
        parts = [one for one in found.ripped if one.pieces == pieces]
        assert len(parts) == pieces
        assert sum(one.width_mm for one in parts) == pytest.approx(200)
        assert sum(one.coefficient_across for one in parts) / pieces == pytest.approx(found.coefficient_across)
        assert all(0 < one.cup_dry_mm < found.cup_dry_mm / pieces for one in parts)


def test_glued_as_it_was_the_board_is_itself_again() -> None:
    found = made()
    for row in found.glued:
        if row.row != "boards" and row.turn == "same":
            assert row.out_of_flat_dry_mm == pytest.approx(found.cup_dry_mm, rel=1e-4)
            assert row.out_of_flat_wet_mm == pytest.approx(-found.cup_wet_mm, rel=1e-4)
    assert [(one.row, one.pieces) for one in found.glued[::3]] == [("halves", 2), ("thirds", 3), ("boards", 4)]


def test_a_board_that_only_dries_has_no_wet_cup() -> None:
    found = made(moisture_now_pct=12.0)
    assert found.cup_wet_mm == 0
    assert found.width_wet_mm == 200


def test_a_board_that_follows_late_meets_less() -> None:
    year = {"kind": "place", "place": "Chicago", "room": {}}
    told = {key: value for key, value in BOARD.items() if not key.startswith(("moisture_dry", "moisture_wet"))}
    full, late = (
        result(BoardRequest.model_validate(told | {"climate": year, "moisture_now_pct": 8.0, "following": following}))
        for following in ("equilibrium", "lagged")
    )
    assert 0 < late.cup_dry_mm < full.cup_dry_mm


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"rings": {"kind": "heart", "heart_depth_mm": 20.5}}, "a board with the heart in it"),
        ({"rings": {"kind": "heart", "heart_depth_mm": 9.0, "heart_offset_mm": 300.0}}, "turn the board over"),
        ({"rings": {"kind": "edges", "ring_left_deg": 90.0, "ring_right_deg": 20.0}}, "a board with the heart in it"),
        ({"rings": {"kind": "chord", "ring_chord_mm": 60.0, "ring_rise_mm": 31.0}}, "at most half its chord"),
        (
            {"rings": {"kind": "chord", "ring_chord_mm": 60.0, "ring_rise_mm": 5.0, "heart_offset_mm": 93.0}},
            "the ring's own radius",
        ),
        ({"tongue_thickness_mm": 21.0}, "the board's own"),
    ],
)
def test_an_impossible_board_is_refused_in_words(more: dict[str, Any], said: str) -> None:
    with pytest.raises((ValidationError, ValueError)) as refused:
        BoardRequest.model_validate(BOARD | more)
    assert said in str(refused.value) or said in str(
        [getattr(one.get("ctx", {}).get("error"), "source", "") for one in refused.value.errors()]  # type: ignore[attr-defined]
    )
