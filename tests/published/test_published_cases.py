"""Whole cases, from the home's year to the width to cut: derived, reckoned a second time without the code under test.

Coefficients: Wood Handbook FPL-GTR-190, Table 13-5. Months: the mean vapour pressures of data/places.csv. EMC: eq. 4-5.
Saturation pressure: CoolProp (IAPWS-95), 2 parts in 10 000 from the equations in use, which moves no length here by
0.002 mm. The rules of fit are as the notes of movement/fits derive them, solved by hand for each hold.
"""

from typing import Any

import pytest

from movement.parts import boards, door, drawer, front, panel, slats

EXACT = 2e-3

CHICAGO = {
    "kind": "place",
    "place": "Chicago",
    "room": {"heating_c": 20, "cooling_c": 25, "surplus_g_m3": 2, "humidifier_pct": None, "dehumidifier_pct": 60},
}
HELSINKI = {"kind": "place", "place": "Helsinki", "room": CHICAGO["room"] | {"heating_c": 21}}  # type: ignore[operator]
LONDON = {
    "kind": "place",
    "place": "London (Gatwick)",
    "room": {"heating_c": 19, "cooling_c": None, "surplus_g_m3": 3, "humidifier_pct": 35, "dehumidifier_pct": 55},
}
ROOM = {
    "kind": "range",
    "dry": {"temperature_c": 20, "humidity_pct": 30},
    "wet": {"temperature_c": 22, "humidity_pct": 65},
}
BARN = [
    (2, 90),
    (3, 88),
    (6, 80),
    (10, 72),
    (14, 66),
    (18, 62),
    (21, 60),
    (20, 65),
    (16, 74),
    (11, 85),
    (6, 97),
    (3, 98),
]


def sized(**asked: Any) -> panel.PanelResult:
    request = panel.PanelRequest(**asked)
    return panel.result(request, request.hold, request.groove_depth_mm, request.bench())


def agree(found: Any, **wanted: float) -> None:
    assert {name: getattr(found, name) for name in wanted} == pytest.approx(wanted, abs=EXACT)


def test_cherry_centred_in_a_heated_room() -> None:
    """Chicago, January: (333 + 271) Pa at 20 °C is 25.8 % RH, so 5.51 % MC; the summer's 60 % RH at 20 °C is 11.00 %.

    C 0.00248: ρ_d 0.993795, ρ_w 1.007477. g = 0.5 + 0.25 + [1.013767 · 308.5 − 300]/2 = 7.12, so 8 mm;
    W = (600 + 16 − 1 + 8)/(ρ_d + ρ_w) = 311.30 mm.
    """
    found = sized(species="Cherry, black", sight_width_mm=300, hold="centred", moisture_now_pct=8, climate=CHICAGO)
    agree(
        found,
        moisture_dry_pct=5.5102,
        moisture_wet_pct=10.9998,
        least_groove_depth_mm=7.1236,
        groove_depth_mm=8,
        panel_width_mm=311.3021,
        gap_now_mm=2.3489,
        gap_wet_mm=1.1852,
        engagement_dry_mm=4.6852,
        bias_mm=0.0989,
    )


def test_quartered_white_oak_loose_in_a_heated_room() -> None:
    """Helsinki, February: (358 + 272) Pa at 21 °C, 5.41 % MC. C 0.00180, 450 mm.

    g = [(ρ_w/ρ_d)(450 + 4.5) − 450 + 1 + 0.5]/(2 − ρ_w/ρ_d) = 10.69, so 11 mm; W = (900 + 33 + 4 − 1)/(ρ_d + ρ_w).
    """
    found = sized(
        species="Oak, white: commercial (group)",
        ring_angle_deg=90,
        sight_width_mm=450,
        hold="loose",
        moisture_now_pct=9,
        climate=HELSINKI,
    )
    agree(
        found,
        moisture_dry_pct=5.4118,
        moisture_wet_pct=10.9684,
        least_groove_depth_mm=10.6915,
        groove_depth_mm=11,
        panel_width_mm=468.6845,
        gap_now_mm=1.6578,
        gap_wet_mm=0.8259,
        engagement_dry_mm=4.6519,
        bias_mm=-0.3422,
    )


def test_damp_rift_walnut_fixed_at_one_edge() -> None:
    """London, stock at 14 % in a room of 9.33 to 10.13 %: it only dries. C = (0.00190 + 0.00274)/2 at 45°.

    g = (1/ρ_d)(380 + 6 + 3 + 0.25) − 380 − 6 + 1 + 0.25 = 8.73, so 9 mm; W = (760 + 9 + 12 + 3 − 1)/(ρ_d + 1).
    """
    found = sized(
        species="Walnut, black",
        ring_angle_deg=45,
        sight_width_mm=380,
        hold="one edge",
        moisture_now_pct=14,
        fixed_engagement_mm=6,
        least_engagement_mm=3,
        least_gap_mm=1,
        making_tolerance_mm=0.25,
        cutter_step_mm=0.5,
        climate=LONDON,
    )
    agree(
        found,
        moisture_dry_pct=9.3279,
        moisture_wet_pct=14,
        least_groove_depth_mm=8.7258,
        groove_depth_mm=9,
        panel_width_mm=393.6136,
        gap_now_mm=1.3864,
        gap_wet_mm=1.3864,
        engagement_dry_mm=3.3864,
        bias_mm=-2.1136,
    )


def test_redcedar_in_a_barn_stops_swelling_at_22_percent() -> None:
    """December, 3 °C and 98 % RH: 26.95 % MC, of which 22 counts. C 0.00234, 250 mm, 12 % today.

    ρ_d = (1 + 0.00234 · 0.96842)/(1 + 0.00234 · 2) = 0.997598, ρ_w = (1 + 0.00234 · 12)/1.00468 = 1.023291.
    """
    months = [{"temperature_c": warmth, "humidity_pct": damp} for warmth, damp in BARN]
    found = sized(
        species="Cedar, western redcedar",
        sight_width_mm=250,
        hold="centred",
        moisture_now_pct=12,
        climate={"kind": "months", "months": months},
    )
    agree(
        found,
        moisture_dry_pct=10.9684,
        moisture_wet_pct=26.9505,
        least_groove_depth_mm=8.3289,
        groove_depth_mm=9,
        panel_width_mm=259.7867,
        gap_now_mm=4.1066,
        gap_wet_mm=1.0813,
        engagement_dry_mm=4.5813,
        bias_mm=2.1055,
    )


def test_a_drawer_with_a_bottom_of_other_wood() -> None:
    """20 °C and 30 % RH to 22 °C and 65 %: 6.2 to 11.9 % MC. Sugar maple sides at 9 %, Douglas-fir bottom at 7 %.

    Side (120 − 0.7)/ρ_w; length 450 ρ_d − 0.7 = 444.82 in a case of vertical grain; bottom (6 + 444.82 − 0.2)/ρ_w.
    The screw is 434.82 mm from the front: its hole runs x(1 − 1/ρ_w) toward the front, x(1/ρ_d − 1) toward the back.
    """
    asked = drawer.DrawerRequest(
        species="Maple, sugar",
        moisture_now_pct=9,
        climate=ROOM,
        opening_height_mm=120,
        case_depth_mm=450,
        front_groove_mm=6,
        back_thickness_mm=12,
        back_inset_mm=10,
        bottom_species="Douglas-fir, coast",
        bottom_moisture_now_pct=7,
        making_tolerance_mm=0.2,
    )
    agree(
        drawer.result(asked, *asked.benches()),
        side_height_mm=118.0759,
        clearance_now_mm=1.9241,
        clearance_dry_mm=3.1002,
        clearance_wet_mm=0.7,
        side_length_mm=444.8177,
        back_clearance_dry_mm=0.7,
        bottom_width_mm=444.7207,
        bottom_width_min_mm=432.9637,
        bottom_cover_dry_mm=14.9313,
        past_back_wet_mm=9.8,
        slot_forward_mm=5.6902,
        slot_backward_mm=0.9521,
    )


def test_a_framed_double_door() -> None:
    """White ash, C 0.00274, 9 % in a year of 6 to 11 %: stiles of 2 · 60 mm grow 0.6594 mm and shrink 0.9891 mm.

    Leaf (900 − 1.5)/2 − 1 − 0.25 − 0.6594 = 447.34; between the leaves 900 − 2 − 2 · 447.34 = 3.32 mm today.
    """
    asked = door.DoorRequest(
        species="Ash, white",
        moisture_now_pct=9,
        moisture_dry_pct=6,
        moisture_wet_pct=11,
        opening_mm=900,
        leaves=2,
        stile_width_mm=60,
        least_reveal_mm=1.5,
        fixed_reveal_mm=1,
        making_tolerance_mm=0.25,
    )
    agree(
        door.result(asked, asked.bench()),
        cut_width_mm=447.3406,
        closing_reveal_now_mm=3.3188,
        closing_reveal_dry_mm=5.2970,
        closing_reveal_wet_mm=2.0,
    )


def test_a_drawer_front_cut_at_its_wettest() -> None:
    """White ash at 11 % in a year of 6 to 11 %: 150 − 1 − 1.5 − 0.25; dry ρ_d = 0.98904/1.00274."""
    asked = front.FrontRequest(
        species="Ash, white",
        moisture_now_pct=11,
        moisture_dry_pct=6,
        moisture_wet_pct=11,
        opening_mm=150,
        front="drawer front",
        least_reveal_mm=1.5,
        fixed_reveal_mm=1,
        making_tolerance_mm=0.25,
    )
    agree(
        front.result(asked, asked.bench()),
        cut_mm=147.25,
        reveal_now_mm=1.75,
        reveal_dry_mm=3.7618,
        reveal_wet_mm=1.75,
    )


def test_slats_that_dry_from_12_to_6_percent() -> None:
    """Sugar maple, C 0.00353: a 45 mm slat shrinks 45 (1 − 0.98588/1.00706) = 0.946 mm; (1000 − 450)/11 = 50 today."""
    asked = slats.SlatsRequest(
        species="Maple, sugar",
        moisture_now_pct=12,
        moisture_dry_pct=6,
        moisture_wet_pct=12,
        slat_width_mm=45,
        opening_mm=1000,
        slats=10,
        limit_mm=60,
    )
    agree(
        slats.result(asked, asked.bench()),
        space_now_mm=50,
        space_dry_mm=50.9464,
        space_wet_mm=50,
        end_space_dry_mm=50.4732,
        margin_mm=9.0536,
    )


def test_a_run_of_boards_in_a_heated_room() -> None:
    """Eastern white pine, C 0.00212, 10 % today in Chicago's 5.51 to 11.00 %; eight boards in 800 mm, tongue 8 mm.

    (800 − 0.5)/8 = 99.9375 from board to board; face (99.9375 − 0.7)/1.00212 at most.
    """
    asked = boards.BoardsRequest(
        species="Pine, eastern white",
        moisture_now_pct=10,
        climate=CHICAGO,
        opening_mm=800,
        boards=8,
        tongue_mm=8,
        least_engagement_mm=3,
        least_gap_mm=0.5,
        making_tolerance_mm=0.2,
    )
    agree(
        boards.result(asked, asked.bench()),
        board_face_mm=99.0276,
        board_face_max_mm=99.0276,
        board_face_min_mm=96.0518,
        gap_now_mm=0.9099,
        gap_dry_mm=1.8525,
        gap_wet_mm=0.7,
        engagement_dry_mm=6.1475,
    )
