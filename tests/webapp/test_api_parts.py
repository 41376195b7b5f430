"""The JSON API's routes of every kind of part: their keys, one number each worked by hand, what they refuse."""

import math
from typing import Any

import pytest

from movement.species import find

STOCK = {"species": "Cherry, black", "moisture_now_pct": 8, "moisture_dry_pct": 6, "moisture_wet_pct": 11}
"""Black cherry, flat-sawn: C_T 0.00248 (Wood Handbook FPL-GTR-190, Table 13-5)."""

# By D(M) in proportion to 1 + C (M - 10): 0.99504 at 8 %, 0.99008 at 6 %, 1.00248 at 11 %.
NOW, DRY, WET = 1 - 0.00248 * 2, 1 - 0.00248 * 4, 1 + 0.00248
SHRINKS, GROWS = 1 - DRY / NOW, WET / NOW - 1

BODIES: dict[str, dict[str, Any]] = {
    "boards": {"opening_mm": 600, "boards": 6, "hold": "centred", "least_engagement_mm": 3, "least_gap_mm": 0.5},
    "drawer": {"opening_height_mm": 120, "case_depth_mm": 450, "front_groove_mm": 6, "back_thickness_mm": 12},
    "joint": {"tenon_width_mm": 90},
    "front": {"opening_mm": 150, "least_reveal_mm": 1},
    "door": {"opening_mm": 450, "stile_width_mm": 60, "least_reveal_mm": 1, "fixed_reveal_mm": 1},
    "slot": {"distance_mm": 400, "screw_mm": 5},
    "top": {"top_width_mm": 800, "distances_mm": [150, 350], "screw_mm": 5, "overhang_front_mm": 20},
    "breadboard": {"top_width_mm": 800, "distances_mm": [350], "screw_mm": 8},
    "slats": {"slat_width_mm": 60, "space_now_mm": 15, "limit_mm": 15.4},
}
KEYS = {
    "boards": (
        "boards board_face_mm gap_now_mm gap_dry_mm gap_wet_mm engagement_dry_mm tongue_needed_mm widest_board_mm"
    ),
    "drawer": "side_height_mm clearance_now_mm side_length_mm back_clearance_dry_mm bottom_width_mm slot_forward_mm",
    "joint": "growth_wet_mm shrinkage_dry_mm mortises glued_mm",
    "front": "cut_mm reveal_now_mm reveal_dry_mm reveal_wet_mm",
    "door": "cut_width_mm rail_mm closing_reveal_now_mm closing_reveal_dry_mm closing_reveal_wet_mm",
    "slot": "outward_mm inward_mm slot_mm",
    "top": "slots front back width_dry_mm width_wet_mm",
    "breadboard": "end_length_mm slots front back",
    "slats": "space_dry_mm space_wet_mm within_limit cautions",
}


def ask(still: Any, kind: str, **more: Any) -> Any:
    return still.post(f"/api/v1/{kind}", json=STOCK | BODIES[kind] | more)


@pytest.mark.parametrize("kind", BODIES)
def test_every_kind_answers_with_its_keys(still: Any, kind: str) -> None:
    response = ask(still, kind)
    assert response.status_code == 200
    answer = response.json()
    assert {*KEYS[kind].split(), "fits", "advice", "sources", "moisture_mid_pct"} <= answer.keys()
    assert answer["moisture_mid_pct"] == 8.5
    assert any("Wood Handbook" in line for line in answer["sources"])


@pytest.mark.parametrize("kind", BODIES)
def test_every_kind_takes_a_climate_too(still: Any, kind: str) -> None:
    body = {
        "species": "Cherry, black",
        "moisture_now_pct": 8,
        "climate": {"kind": "moisture", "dry_pct": 6, "wet_pct": 11},
    }
    assert still.post(f"/api/v1/{kind}", json=body | BODIES[kind]).json() == ask(still, kind).json()


def test_six_boards_fill_600_mm_with_faces_that_stay_open(still: Any) -> None:
    """Pitch (600 - 0.5)/6; the widest face that keeps 0.5 mm when wet is (pitch - 0.5)/rho_w."""
    answer = ask(still, "boards").json()
    assert answer["board_face_mm"] == pytest.approx((599.5 / 6 - 0.5) / (1 + GROWS), abs=1e-9)
    assert answer["gap_wet_mm"] == pytest.approx(0.5, abs=1e-9)
    assert answer["engagement_dry_mm"] == pytest.approx(3.0, abs=1e-9)


def test_a_drawer_side_keeps_its_gap_in_the_wettest_season(still: Any) -> None:
    """(120 - 0.5)/rho_w, in a case whose openings stay; the case of 450 mm loses 450 (1 - rho_d) of its depth."""
    answer = ask(still, "drawer").json()
    assert answer["side_height_mm"] == pytest.approx(119.5 / (1 + GROWS), abs=1e-9)
    assert answer["side_length_mm"] == pytest.approx(450 * (1 - SHRINKS) - 0.5, abs=1e-9)


def test_a_tenon_of_90_mm_moves_across_its_width(still: Any) -> None:
    answer = ask(still, "joint").json()
    assert answer["growth_wet_mm"] == pytest.approx(90 * GROWS, abs=1e-9)
    assert answer["shrinkage_dry_mm"] == pytest.approx(90 * SHRINKS, abs=1e-9)
    [mortise] = answer["mortises"]
    assert mortise["mortise_length_mm"] == pytest.approx(90 * (1 + GROWS), abs=1e-9)


def test_a_front_fills_its_opening_when_wet(still: Any) -> None:
    """(150 - 1)/rho_w; at the driest the whole reveal is 150 less what is left of it."""
    answer = ask(still, "front").json()
    cut = 149 / (1 + GROWS)
    assert answer["cut_mm"] == pytest.approx(cut, abs=1e-9)
    assert answer["reveal_dry_mm"] == pytest.approx(150 - cut * (1 - SHRINKS), abs=1e-9)


def test_a_framed_door_moves_by_its_two_stiles(still: Any) -> None:
    answer = ask(still, "door").json()
    assert answer["cut_width_mm"] == pytest.approx(450 - 1 - 1 - 120 * GROWS, abs=1e-9)
    assert answer["closing_reveal_dry_mm"] == pytest.approx(1 + 120 * (GROWS + SHRINKS), abs=1e-9)


def test_a_slot_runs_with_the_distance_from_the_fixed_place(still: Any) -> None:
    answer = ask(still, "slot").json()
    assert answer["outward_mm"] == pytest.approx(400 * GROWS, abs=1e-9)
    assert answer["inward_mm"] == pytest.approx(400 * SHRINKS, abs=1e-9)
    assert answer["slot_mm"] == pytest.approx(5 + 400 * (GROWS + SHRINKS), abs=1e-9)


def test_a_top_overhangs_less_when_dry(still: Any) -> None:
    answer = ask(still, "top").json()
    assert answer["front"]["overhang_dry_mm"] == pytest.approx(20 - 400 * SHRINKS, abs=1e-9)
    assert [slot["distance_mm"] for slot in answer["slots"]] == [150, 350]


def test_a_top_stands_proud_of_its_breadboard_end_when_wet(still: Any) -> None:
    answer = ask(still, "breadboard").json()
    assert answer["front"]["proud_wet_mm"] == pytest.approx(400 * GROWS, abs=1e-9)
    [hole] = answer["slots"]
    assert hole["outward_mm"] == pytest.approx(350 * (1 / (1 - SHRINKS) - 1), abs=1e-9)


def test_slats_stand_farthest_apart_when_dry(still: Any) -> None:
    """15 mm and 60 mm x 0.498 % is 15.3 mm: within 15.4 mm, and past it with a making tolerance of 0.5 mm."""
    answer = ask(still, "slats").json()
    assert answer["space_dry_mm"] == pytest.approx(15 + 60 * SHRINKS, abs=1e-9)
    assert answer["within_limit"] is True
    assert ask(still, "slats", making_tolerance_mm=0.5).json()["within_limit"] is False


def test_slats_always_carry_their_cautions_and_never_call_anything_safe(still: Any) -> None:
    for limit in (None, 15.4, 100):
        answer = ask(still, "slats", limit_mm=limit)
        cautions = " ".join(answer.json()["cautions"])
        assert "This gap varies with the season." in cautions
        assert "Ask the local authority or a licensed professional." in cautions
        assert " safe" not in answer.text.casefold().replace("safety assessment", "")


@pytest.mark.parametrize(
    ("kind", "more", "field", "low", "high"),
    [
        ("boards", {"opening_mm": 5}, "opening_mm", 20, 5000),
        ("boards", {"boards": 1}, "boards", 2, 500),
        ("boards", {"boards": 500}, "boards", 5, 1000),
        ("boards", {"boards": None, "board_face_mm": 5, "opening_mm": 5000}, "board_face_mm", 2, 500),
        ("boards", {"boards": None, "stock_widths_mm": [10], "tongue_mm": 8}, "stock_widths_mm", 13, 1200),
        ("drawer", {"opening_height_mm": 10}, "opening_height_mm", 10, 1000),
        ("drawer", {"case_depth_mm": 80}, "case_depth_mm", 80, 2000),
        ("joint", {"tenons": 3, "between_mm": 80}, "between_mm", 1, 37.5),
        ("joint", {"tenons": 6, "tenon_width_mm": 20}, "tenon_width_mm", 55, 1000),
        ("joint", {"glued_mm": 95}, "glued_mm", 0, 90),
        ("joint", {"tenon_width_mm": 2}, "tenon_width_mm", 5, 1000),
        ("front", {"opening_mm": 10, "least_reveal_mm": 9}, "opening_mm", 14.04, 3000),
        ("front", {"greatest_reveal_mm": 0.5}, "greatest_reveal_mm", 1, 25),
        ("door", {"stile_width_mm": 300}, "stile_width_mm", 10, 443.51),
        ("door", {"opening_height_mm": 12, "top_reveal_mm": 9}, "opening_height_mm", 14, 3000),
        ("slot", {"distance_mm": -1}, "distance_mm", 0, 3000),
        ("slot", {"screw_mm": 0}, "screw_mm", 1, 50),
        ("top", {"distances_mm": [401]}, "distances_mm", 0, 400),
        ("top", {"fixed_at": "front", "fixed_inset_mm": 900}, "fixed_inset_mm", 0, 800),
        ("breadboard", {"play_mm": 30}, "play_mm", 0, 25),
        ("slats", {"space_now_mm": 0}, "space_now_mm", 0.1, 1000),
        ("slats", {"space_now_mm": None, "opening_mm": 10000, "slats": 2}, "slats", 0.1, 1000),
        ("slats", {"space_now_mm": None, "opening_mm": 300, "slats": 5}, "slats", 2, 4),
    ],
)
def test_a_value_out_of_its_range_is_refused_at_its_key(
    still: Any, kind: str, more: dict[str, Any], field: str, low: float, high: float
) -> None:
    response = ask(still, kind, **more)
    assert response.status_code == 422
    first = response.json()["detail"][0]
    assert first["field"].partition(".")[0] == field
    assert first["low"] == pytest.approx(low, abs=0.05)
    assert first["high"] == pytest.approx(high, abs=0.05)
    assert first["message"]
    assert first["source"]


@pytest.mark.parametrize(
    ("kind", "more", "field", "words"),
    [
        ("boards", {"boards": None}, "", "Give a board face, a number of boards, or the widths of the stock."),
        ("joint", {"tenons": 2, "hold": "centred"}, "", "2 tenons have none at mid-width to hold"),
        ("front", {"fixed_edge": "hinge"}, "fixed_edge", "A drawer front is held at its bottom, or centred."),
        ("door", {"construction": "slab"}, "stile_width_mm", "A slab has no stiles"),
        ("door", {"leaves": "1"}, "leaves", "Choose one of"),
        ("slats", {"opening_mm": 500}, "", "Give the clear space today, or the row's length and its number of slats"),
        ("drawer", {"bottom_species": "Plastic"}, "bottom_species", "Plastic"),
        ("slot", {"species": ""}, "species", "Allowed is 1 to 120 characters."),
        ("top", {"screw": 5}, "screw", "There is no field of this name."),
    ],
)
def test_what_does_not_go_together_is_told(still: Any, kind: str, more: dict[str, Any], field: str, words: str) -> None:
    response = ask(still, kind, **more)
    assert response.status_code == 422
    assert any(one["field"] == field and words in one["message"] for one in response.json()["detail"])


@pytest.mark.parametrize("kind", BODIES)
def test_text_is_no_number_and_a_missing_key_is_named(still: Any, kind: str) -> None:
    assert ask(still, kind, moisture_now_pct="8").json()["detail"][0]["field"] == "moisture_now_pct"
    body = {key: value for key, value in (STOCK | BODIES[kind]).items() if key != "species"}
    missing = still.post(f"/api/v1/{kind}", json=body).json()["detail"]
    assert [one["field"] for one in missing] == ["species"]


def test_a_wood_that_does_not_move_serves_any_board(still: Any) -> None:
    answer = ask(still, "boards", moisture_dry_pct=8, moisture_wet_pct=8).json()
    assert answer["widest_board_mm"] is None
    assert math.isclose(answer["gap_dry_mm"], answer["gap_wet_mm"])


@pytest.mark.parametrize("path", ["panel", "boards", "door", "slats"])
def test_stock_outside_the_year_and_what_is_known_of_the_wood_are_told(client: Any, path: str) -> None:
    body: dict[str, Any] = {
        "panel": {"sight_width_mm": 300},
        "boards": {"opening_mm": 600, "boards": 8},
        "door": {"opening_mm": 450, "stile_width_mm": 60, "least_reveal_mm": 1, "fixed_reveal_mm": 1},
        "slats": {"slat_width_mm": 60, "space_now_mm": 20},
    }[path]
    year = {"moisture_dry_pct": 6, "moisture_wet_pct": 11}
    told = client.post(f"/api/v1/{path}", json=body | year | {"species": "Teak", "moisture_now_pct": 16}).json()[
        "notes"
    ]
    assert told[0].startswith("Today's 16.0 % lies 5.0 % above the wettest of the home's year")
    assert told[1:] == list(find("Teak").notes) != []
    inside = client.post(f"/api/v1/{path}", json=body | year | {"species": "Cherry, black", "moisture_now_pct": 8})
    assert inside.json()["notes"] == []


def test_a_part_that_follows_late_is_told_of_the_home_s_whole_year(client: Any) -> None:
    home = {"kind": "moisture", "dry_pct": 6, "wet_pct": 11}
    body = {"species": "Cherry, black", "sight_width_mm": 300, "moisture_now_pct": 10.5, "climate": home}
    late = {"following": "lagged", "thickness_mm": 40}
    assert client.post("/api/v1/panel", json=body | late).json()["notes"] == []


def test_the_wettest_below_the_driest_is_told_with_what_its_field_takes(client: Any) -> None:
    body = {"species": "Cherry, black", "sight_width_mm": 300, "moisture_now_pct": 8}
    turned = body | {"moisture_dry_pct": 11, "moisture_wet_pct": 6}
    [refused] = client.post("/api/v1/panel", json=turned).json()["detail"]
    assert refused["message"] == "Wettest moisture content is 6 %; allowed is 11 to 30 % (from the driest up)."
