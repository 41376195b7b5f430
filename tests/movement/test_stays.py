"""How a part follows the air and where a piece stays, as they are told in JSON and taken by piece and panel."""

import json
from datetime import date
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from movement import piece
from movement.errors import PieceFileError
from movement.exposure import Exposure
from movement.finish import find
from movement.journey import JourneyError
from movement.lag import Section
from movement.parts.climates import MoistureClimate
from movement.parts.panel import PanelRequest
from movement.parts.stays import FollowingFields, StayFields, Stays, journey, section
from movement.piece import FORMAT, Piece

HOME = MoistureClimate(dry_pct=6.0, wet_pct=11.0)
STORE = {"name": "Store", "first": "2025-11-03", "climate": {"kind": "moisture", "dry_pct": 4.0, "wet_pct": 5.0}}
PANEL = {"species": "Cherry, black", "sight_width_mm": 300.0, "moisture_now_pct": 8.0}
STATED = {"moisture_dry_pct": 6.0, "moisture_wet_pct": 11.0}
PLACE = {"kind": "place", "place": "Chicago", "room": {}}


def document(**more: Any) -> dict[str, Any]:
    frames = [{"id": "f1", "panels": [{"id": "p1", "sight_width_mm": 300.0}]}]
    return {"format": FORMAT, "version": 1, "name": "Chest", "climate": PLACE, "frames": frames} | more


def load(**more: Any) -> Piece:
    return piece.load(json.dumps(document(**more)))


def first(found: Piece) -> Any:
    return next(found.panels())[1]


# Following


def test_the_full_swing_is_the_default():
    assert FollowingFields().following == "equilibrium"
    assert section("equilibrium", 12.0, "Uncoated") is None


def test_a_late_part_has_its_thickness_and_its_finish_s_film():
    assert section("lagged", 12.0, "Shellac, 2 coats") == Section(12.0, find("Shellac, 2 coats").film)


def test_a_late_part_needs_its_thickness():
    with pytest.raises(ValueError, match="needs its thickness"):
        section("lagged", None, "Uncoated")


def test_a_finish_is_taken_by_name_whatever_the_case():
    assert FollowingFields(finish="shellac, 2 COATS").finish == "Shellac, 2 coats"
    with pytest.raises(ValidationError, match="No finish here is called “Whitewash”"):
        FollowingFields(finish="Whitewash")


@pytest.mark.parametrize("thickness", [0.4, 301.0])
def test_thickness_has_its_range(thickness: float):
    with pytest.raises(ValidationError, match="thickness_mm"):
        FollowingFields(thickness_mm=thickness)


# A panel


def test_a_panel_s_season_is_late_where_it_is_told_so():
    told = PanelRequest(**PANEL, climate=PLACE, following="lagged", thickness_mm=20.0, finish="Two-part epoxy, 2 coats")
    full = PanelRequest(**PANEL, climate=PLACE)
    late = told.season()
    assert late == Exposure(told.climate.year(), Section(20.0, 8.5e-10)).season(8.0)
    assert full.season().dry < late.dry < 8 < late.wet < full.season().wet


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"climate": PLACE, "following": "lagged"}, "needs its thickness"),
        (
            {"moisture_dry_pct": 6.0, "moisture_wet_pct": 11.0, "following": "lagged", "thickness_mm": 12},
            "needs a climate",
        ),
        ({"climate": PLACE, "following": "half"}, "following"),
    ],
)
def test_a_panel_that_cannot_be_followed_is_refused(more: dict[str, Any], said: str):
    with pytest.raises(ValidationError, match=said):
        PanelRequest(**PANEL, **more)


# The way home


def stays(*days: str) -> list[StayFields]:
    return TypeAdapter(Stays).validate_python([STORE | {"first": day} for day in days])


def test_without_stays_there_is_no_journey():
    assert journey([], HOME, None) is None
    assert journey([], HOME, date(2026, 1, 1)) is None


def test_the_home_is_the_last_stay():
    found = journey(stays("2025-11-03"), HOME, date(2026, 1, 10))
    assert found is not None
    assert [(stay.name, stay.first) for stay in found.stays] == [
        ("Store", date(2025, 11, 3)),
        ("home", date(2026, 1, 10)),
    ]
    assert found.stays[-1].climate is HOME.year()


def test_stays_need_the_day_of_coming_home():
    with pytest.raises(ValueError, match="on which day the piece comes home"):
        journey(stays("2025-11-03"), HOME, None)


def test_home_before_the_stay_is_refused():
    with pytest.raises(JourneyError, match="at home begins on 2025-11-03; it must begin after"):
        journey(stays("2025-11-03"), HOME, date(2025, 11, 3))


@pytest.mark.parametrize("day", ["1989-12-31", "2101-01-01", "2025-02-30", "yesterday", None])
def test_a_day_has_its_range(day: str | None):
    with pytest.raises(ValidationError):
        TypeAdapter(Stays).validate_python([STORE | {"first": day}])


def test_at_most_nineteen_stays_come_before_home():
    days = [f"2025-11-{day:02d}" for day in range(1, 21)]
    assert len(stays(*days[:19])) == 19
    with pytest.raises(ValidationError, match="at most 19"):
        stays(*days)


# A piece


def test_a_piece_keeps_its_stays():
    found = load(stays=[STORE], home_first="2026-01-10")
    assert piece.load(piece.dump(found)) == found
    assert found.stays[0].first == date(2025, 11, 3)


def test_a_piece_s_parts_take_in_its_stays():
    at_home, stored = load(), load(stays=[STORE], home_first="2026-01-10")
    assert stored.season(first(stored)).dry == pytest.approx(4.0, abs=0.6)
    assert at_home.season(first(at_home)).dry > 5.3


def test_a_late_piece_dries_less_in_a_short_stay():
    late = {"defaults": {"following": "lagged", "thickness_mm": 20.0, "finish": "Two-part epoxy, 2 coats"}}
    short = load(stays=[STORE], home_first="2025-11-20", **late)
    long = load(stays=[STORE], home_first="2026-11-20", **late)
    assert short.season(first(short)).dry > long.season(first(long)).dry + 1


def test_a_part_s_own_thickness_counts():
    found = load(
        defaults={"following": "lagged", "thickness_mm": 6.0},
        frames=[
            {
                "id": "f1",
                "panels": [
                    {"id": "p1", "sight_width_mm": 300.0},
                    {"id": "p2", "sight_width_mm": 300.0, "thickness_mm": 150.0},
                ],
            }
        ],
    )
    thin, thick = (found.season(part) for _, part in found.panels())
    assert thin.dry < thick.dry - 0.3


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"stays": [STORE]}, "on which day the piece comes home"),
        ({"stays": [STORE], "home_first": "2025-11-01"}, "The stay at home begins on 2025-11-01"),
        ({"stays": [STORE, STORE], "home_first": "2026-01-10"}, "it must begin after the one at Store"),
    ],
)
def test_a_piece_whose_days_are_out_of_order_is_refused(more: dict[str, Any], said: str):
    with pytest.raises(PieceFileError, match=said):
        load(**more)
