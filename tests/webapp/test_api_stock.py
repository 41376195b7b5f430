"""The JSON API of the stock and of what makes a part late: slabs, settling, finishes, and panels that follow late."""

from typing import Any

import pytest

from movement import finish, lag, slab
from movement.lag import Section
from movement.parts.climates import PlaceClimate

SLAB: dict[str, Any] = {"thickness_mm": 20.0, "diffusion_m2_s": 6.3e-11}
STEADY: dict[str, Any] = {"moisture_start_pct": 12.0, "moisture_air_pct": 8.0, "days": [0.0, 3.614, 1000.0]}
PLACE = {"kind": "place", "place": "Chicago", "room": {}}
PANEL: dict[str, Any] = {
    "species": "Cherry, black",
    "sight_width_mm": 300.0,
    "moisture_now_pct": 8.0,
    "climate": PLACE,
    "cutter_step_mm": 0.1,
}
LATE = {"following": "lagged", "thickness_mm": 20.0, "finish": "Two-part epoxy, 2 coats"}


def post(client: Any, path: str, body: Any, status: int = 200) -> Any:
    answer = client.post(f"/api/v1/{path}", json=body)
    assert answer.status_code == status, answer.text
    return answer.json()


def refusal(client: Any, path: str, body: Any) -> Any:
    [one] = post(client, path, body, 422)["detail"]
    return one


# Slabs


def test_a_slab_dries_as_the_core_says(still: Any) -> None:
    found = post(still, "slab", SLAB | STEADY)
    assert found["moisture_mean_pct"] == pytest.approx(
        slab.mean_moisture(20.0, 6.3e-11, None, 12.0, 8.0, STEADY["days"]).tolist()
    )
    assert "Crank" in found["source"]


def test_both_faces_held_are_half_way_at_the_published_time(still: Any) -> None:
    """Dt/L² = 0.04918 (Crank; value recomputed): 3.614 days for 20 mm and 6.3e-11 m²/s."""
    assert post(still, "slab", SLAB | STEADY)["moisture_mean_pct"] == pytest.approx([12.0, 10.0, 8.0], abs=0.001)
    assert post(still, "settling", SLAB)["days_to_half"] == pytest.approx(3.614, abs=0.001)
    assert post(still, "settling", SLAB)["days_to_90_pct"] == pytest.approx(0.21202 * 4e-4 / 6.3e-11 / 86400, rel=1e-4)


def test_a_film_slows_it_and_a_covered_face_is_a_board_twice_as_thick(still: Any) -> None:
    bare = post(still, "settling", SLAB)
    assert post(still, "settling", SLAB | {"film_m_s": 5.5e-9})["days_to_half"] > bare["days_to_half"]
    assert post(still, "settling", SLAB | {"faces": 1})["days_to_half"] == pytest.approx(4 * bare["days_to_half"])


@pytest.mark.parametrize(
    ("path", "wrong", "low", "high", "unit"),
    [
        ("slab", {"thickness_mm": 0.4}, 0.5, 300, "mm"),
        ("settling", {"thickness_mm": 301}, 0.5, 300, "mm"),
        ("slab", {"diffusion_m2_s": 1e-13}, 1e-12, 1e-8, "m²/s"),
        ("settling", {"film_m_s": 1e-4}, 1e-10, 1e-5, "m/s"),
        ("slab", {"moisture_start_pct": 31}, 0, 30, "%"),
        ("slab", {"moisture_air_pct": -1}, 0, 30, "%"),
    ],
)
def test_a_value_out_of_range_is_refused_with_it(
    still: Any, path: str, wrong: dict[str, Any], low: float, high: float, unit: str
) -> None:
    one = refusal(still, path, SLAB | STEADY | wrong)
    assert one["field"] == next(iter(wrong))
    assert (one["value"], one["low"], one["high"], one["unit"]) == (*wrong.values(), low, high, unit)


def test_a_day_out_of_range_is_refused_by_its_place(still: Any) -> None:
    assert refusal(still, "slab", SLAB | STEADY | {"days": [1.0, -1.0]})["field"] == "days.1"
    assert refusal(still, "slab", SLAB | STEADY | {"days": []})["field"] == "days"


def test_what_is_missing_is_named(still: Any) -> None:
    fields = {one["field"] for one in post(still, "slab", SLAB, 422)["detail"]}
    assert fields == {"moisture_start_pct", "moisture_air_pct", "days"}


# Finishes


def test_the_finishes_are_those_that_a_part_takes(still: Any) -> None:
    found = still.get("/api/v1/finishes").json()
    assert [(one["name"], one["film_m_s"]) for one in found] == [(one.name, one.film) for one in finish.finishes()]
    assert found[0]["name"] == "Uncoated"
    assert {one["status"] for one in found} == {"derived"}
    assert all(one["source"] for one in found)


# A panel that follows late


def test_a_late_panel_counts_with_the_lagged_season(still: Any) -> None:
    late, full = post(still, "panel", PANEL | LATE), post(still, "panel", PANEL)
    expected = lag.season(8.0, PlaceClimate(**PLACE).year(), Section(20.0, 8.5e-10))
    assert (late["moisture_dry_pct"], late["moisture_wet_pct"]) == pytest.approx((expected.dry, expected.wet))
    assert full["moisture_dry_pct"] < late["moisture_dry_pct"]
    assert late["moisture_wet_pct"] < full["moisture_wet_pct"]
    assert late["groove_depth_mm"] < full["groove_depth_mm"]


def test_the_finish_is_no_factor_on_the_movement(still: Any) -> None:
    """The movement per 1 % stays; only the moistures come nearer to each other."""
    late, full = post(still, "panel", PANEL | LATE), post(still, "panel", PANEL)
    assert late["coefficient_across"] == full["coefficient_across"]


def test_thickness_and_finish_do_nothing_at_once(still: Any) -> None:
    assert post(still, "panel", PANEL | LATE | {"following": "equilibrium"}) == post(still, "panel", PANEL)


@pytest.mark.parametrize(
    ("wrong", "field", "said"),
    [
        ({"thickness_mm": 0.1}, "thickness_mm", "Allowed is 0.5 to 300 mm."),
        ({"finish": "Whitewash"}, "finish", "No finish here is called “Whitewash”. Known: Uncoated"),
        ({"following": "halfway"}, "following", "equilibrium"),
        ({"thickness_mm": None}, "", "needs its thickness"),
    ],
)
def test_what_cannot_be_followed_is_refused(still: Any, wrong: dict[str, Any], field: str, said: str) -> None:
    one = refusal(still, "panel", PANEL | LATE | wrong)
    assert one["field"] == field
    assert said in one["message"]


def test_two_moistures_are_no_year_to_follow(still: Any) -> None:
    body = {key: value for key, value in PANEL.items() if key != "climate"}
    one = refusal(still, "panel", body | LATE | {"moisture_dry_pct": 6.0, "moisture_wet_pct": 11.0})
    assert "needs a climate" in one["message"]


def test_the_document_tells_of_following(still: Any) -> None:
    told = still.get("/api/v1/openapi.json").json()["components"]["schemas"]["PanelRequest"]["properties"]
    for name in ("following", "thickness_mm", "finish"):
        assert told[name]["description"]


# A piece with stays


def test_a_piece_s_stays_count_in_its_gap_table(still: Any) -> None:
    piece = {
        "format": "seasonal-panel-fit/piece",
        "version": 1,
        "name": "Chest",
        "climate": PLACE,
        "frames": [{"id": "f1", "panels": [{"id": "p1", "sight_width_mm": 300.0}]}],
    }
    store = {"name": "Store", "first": "2025-11-03", "climate": {"kind": "moisture", "dry_pct": 3.0, "wet_pct": 3.5}}
    at_home, stored = (
        post(still, "piece", piece | more)["rows"][0] for more in ({}, {"stays": [store], "home_first": "2026-01-10"})
    )
    assert stored != at_home
    one = refusal(still, "piece", piece | {"stays": [store], "home_first": "2025-11-01"})
    assert "The stay at home begins on 2025-11-01" in one["message"]
