"""Every kind of part in a piece: read and written, sized from the piece's own stock and shop, one row each."""

import json
from typing import Any

import pytest

from movement import gap_table
from movement.errors import PieceFileError
from movement.gap_table import COLUMNS, PartRow
from movement.parts import boards, breadboard, door, drawer, front, joint, slats, slot, top
from movement.parts.any import MODELS
from movement.parts.base import Bench
from movement.piece import FORMAT, MOST_PARTS, Piece, dump, load

# C_T 0.0025, C_R 0.0015, start of shrinkage 30 %; 8 % today, 6 to 11 % over the year:
# D(6)/D(8) = (1 − 0.01)/(1 − 0.005) = 0.9949749 and D(11)/D(8) = 1.0025/0.995 = 1.0075377
TEST_WOOD = {"name": "Test wood", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
DRY, WET = 0.99 / 0.995, 1.0025 / 0.995

PARTS: dict[str, dict[str, Any]] = {
    "boards": {"opening_mm": 600.0, "board_face_mm": 85.0},
    "drawer": {
        "opening_height_mm": 120.0,
        "case_depth_mm": 450.0,
        "front_groove_mm": 6.0,
        "back_thickness_mm": 12.0,
        "back_inset_mm": 10.0,
    },
    "front": {"opening_mm": 150.0, "least_reveal_mm": 1.0, "fixed_reveal_mm": 1.0},
    "door": {
        "opening_mm": 900.0,
        "leaves": 2,
        "stile_width_mm": 60.0,
        "least_reveal_mm": 1.5,
        "fixed_reveal_mm": 1.0,
        "opening_height_mm": 1200.0,
    },
    "joint": {"tenon_width_mm": 90.0},
    "top": {"top_width_mm": 480.0, "distances_mm": [180.0], "screw_mm": 5.0, "overhang_front_mm": 20.0},
    "slot": {"distance_mm": 300.0, "screw_mm": 5.0},
    "breadboard": {"top_width_mm": 480.0, "distances_mm": [180.0], "screw_mm": 8.0},
    "slats": {"slat_width_mm": 60.0, "space_now_mm": 15.0},
}
SIZE = {
    "boards": boards.result,
    "drawer": drawer.result,
    "front": front.result,
    "door": door.result,
    "joint": joint.result,
    "top": top.result,
    "slot": slot.slot_result,
    "breadboard": breadboard.result,
    "slats": slats.result,
}


def part(kind: str, **more: Any) -> dict[str, Any]:
    return {"kind": kind, "id": f"a-{kind}", "name": kind.capitalize()} | PARTS[kind] | more


def document(*parts: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "version": 1,
        "name": "Chest",
        "climate": {"kind": "moisture", "dry_pct": 6.0, "wet_pct": 11.0},
        "own_species": [TEST_WOOD],
        "defaults": {"species": "Test wood", "width_step_mm": 0.1, "making_tolerance_mm": 0.0},
        "frames": [{"id": "f1", "panels": [{"id": "p1", "sight_width_mm": 300.0}]}],
        "parts": list(parts),
    } | more


def piece(*parts: dict[str, Any], **more: Any) -> Piece:
    return load(json.dumps(document(*parts, **more)))


def row(kind: str, *, defaults: dict[str, Any] | None = None, **more: Any) -> PartRow:
    base = document()["defaults"] | (defaults or {})
    made = piece(part(kind, **more), defaults=base)
    return gap_table.part_row(made, made.parts[0])


def refusal(*parts: dict[str, Any], **more: Any) -> str:
    with pytest.raises(PieceFileError) as caught:
        piece(*parts, **more)
    return str(caught.value)


# There and back


def test_the_cases_are_of_every_kind() -> None:
    assert set(PARTS) == set(SIZE) == set(MODELS)


@pytest.mark.parametrize("kind", PARTS)
def test_a_part_goes_there_and_back(kind: str) -> None:
    made = piece(part(kind, count=2, ring_angle_deg=45.0, moisture_now_pct=9.5, thickness_mm=18.0))
    assert type(made.parts[0]) is MODELS[kind]
    assert load(dump(made)) == made
    assert dump(load(dump(made))) == dump(made)


def test_a_piece_without_other_parts_reads_as_before() -> None:
    plain = document()
    del plain["parts"]
    assert load(json.dumps(plain)).parts == []


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"kind": "wing"}, "parts → 1"),
        ({"opening_mm": -1.0}, "parts → 1 → boards → opening_mm"),
        ({"tongue": 6.0}, "parts → 1 → boards → tongue"),
        ({"count": 0}, "parts → 1 → boards → count"),
        ({"id": "a b"}, "parts → 1 → boards → id"),
        ({"board_face_mm": None}, "Give a board face"),
    ],
)
def test_a_wrong_part_is_told_by_its_place(wrong: dict[str, Any], said: str) -> None:
    assert said in refusal(part("boards") | wrong)


@pytest.mark.parametrize("taken", ["f1", "p1", "a-slot"])
def test_a_handle_is_used_once_in_all_the_piece(taken: str) -> None:
    assert f"used twice: {taken}" in refusal(part("slot"), part("boards", id=taken))


def test_parts_and_panels_are_counted_together() -> None:
    most = MOST_PARTS - 2
    parts = [part("slot", id=f"s{number}") for number in range(most + 1)]
    assert len(piece(*parts[:most]).parts) == most
    assert f"at most {MOST_PARTS} frames and parts" in refusal(*parts)


@pytest.mark.parametrize(
    ("kind", "key", "where"),
    [
        ("boards", "species", "Boards"),
        ("drawer", "bottom_species", "Drawer, bottom"),
        ("drawer", "case_species", "Drawer, case"),
    ],
)
def test_an_unknown_species_is_told_with_its_part(kind: str, key: str, where: str) -> None:
    assert f"{where}: " in refusal(part(kind, **{key: "Unobtainium"}))
    assert gap_table.whole(piece(part(kind, **{key: "Test wood"})))


# From the piece's stock and shop


def bench(made: Piece) -> Bench:
    return made.bench(next(part for _, part in made.panels()))


@pytest.mark.parametrize("kind", PARTS)
def test_a_part_is_sized_as_alone_from_the_piece_s_bench(kind: str) -> None:
    made = piece(part(kind))
    found = gap_table.part_row(made, made.parts[0])
    assert (found.bench.wood, found.bench.season) == (bench(made).wood, bench(made).season)
    assert (found.bench.clearances, found.bench.width_step) == (bench(made).clearances, 0.1)
    assert found.result == SIZE[kind](made.parts[0], bench(made))


@pytest.mark.parametrize("kind", PARTS)
def test_a_part_takes_its_own_stock_first(kind: str) -> None:
    own = row(kind, species="Ash, white", ring_angle_deg=90.0, moisture_now_pct=10.0)
    assert (own.bench.wood.species.name, own.bench.wood.ring_angle, own.bench.season.now) == ("Ash, white", 90.0, 10.0)
    assert own.result.moisture_now_pct == 10.0
    assert own.result != row(kind).result


def test_a_thick_part_follows_the_air_later_than_a_thin_one() -> None:
    home = {"kind": "place", "place": "Chicago", "room": {}}
    late = document()["defaults"] | {"following": "lagged", "moisture_now_pct": 8.0}
    made = piece(
        part("boards", id="thin", thickness_mm=6.0),
        part("boards", id="thick", thickness_mm=40.0),
        climate=home,
        defaults=late,
    )
    thin, thick = (gap_table.part_row(made, one).result for one in made.parts)
    assert thick.moisture_wet_pct - thick.moisture_dry_pct < thin.moisture_wet_pct - thin.moisture_dry_pct


@pytest.mark.parametrize("kind", ["boards", "drawer", "front", "door"])
def test_tolerance_and_rounding_are_the_piece_s(kind: str) -> None:
    exact = row(kind).cells()["cut_width_mm"]
    loose = row(kind, defaults={"making_tolerance_mm": 0.5}).cells()["cut_width_mm"]
    round_ = row(kind, defaults={"width_step_mm": 5.0}).cells()["cut_width_mm"]
    assert isinstance(exact, float)
    assert isinstance(loose, float)
    assert isinstance(round_, float)
    assert (kind == "boards" and loose != exact) or loose < exact
    assert round_ != exact


@pytest.mark.parametrize("kind", PARTS)
def test_a_confidence_widens_the_swing_of_every_kind(kind: str) -> None:
    sure = row(kind, defaults={"confidence_pct": 99.0})
    usual = row(kind)
    wider = sure.bench.ratios(sure.bench.season, sure.bench.wood)
    plain = usual.bench.ratios(usual.bench.season, usual.bench.wood)
    assert wider.dry < plain.dry
    assert wider.wet > plain.wet
    assert sure.result != usual.result


def test_a_drawer_s_bottom_and_case_are_of_their_own_stock() -> None:
    usual = row("drawer", bottom_width_mm=440.0)
    quarter = row("drawer", bottom_width_mm=440.0, bottom_ring_angle_deg=90.0)
    assert isinstance(usual.result, drawer.DrawerResult)
    assert isinstance(quarter.result, drawer.DrawerResult)
    assert usual.result.past_back_wet_mm is not None
    assert quarter.result.past_back_wet_mm is not None
    # the quarter-sawn bottom grows less by the wettest season
    assert quarter.result.past_back_wet_mm < usual.result.past_back_wet_mm
    assert quarter.result.clearance_wet_mm == usual.result.clearance_wet_mm
    still = row("drawer", case_species="Teak", case_ring_angle_deg=90.0)
    assert still.result.back_clearance_dry_mm > usual.result.back_clearance_dry_mm  # type: ignore[attr-defined]


# One row each


@pytest.mark.parametrize("kind", PARTS)
def test_a_row_has_every_column_in_order(kind: str) -> None:
    cells = row(kind).cells()
    assert list(cells) == list(COLUMNS)
    assert (cells["part"], cells["kind"], cells["frame"]) == (kind.capitalize(), kind, "")
    assert (cells["species"], cells["ring_angle_deg"], cells["count"]) == ("Test wood", 0.0, 1)
    assert (cells["moisture_dry_pct"], cells["moisture_wet_pct"]) == (6.0, 11.0)
    assert cells["also"]


def test_a_front_by_hand() -> None:
    # 150 − 1 − 1 = 148 when wettest, 148/1.0075377 = 146.893 today, 146.8 to 0.1 mm;
    # its reveal at the top 2.2 today, 149 − 146.8·0.9949749 = 2.9377 dry, 149 − 146.8·1.0075377 = 1.0935 wet
    cells = row("front").cells()
    assert (cells["opening_mm"], cells["cut_width_mm"]) == (150.0, 146.8)
    gaps = [cells[key] for key in ("gap_now_mm", "gap_dry_mm", "gap_wet_mm")]
    assert gaps == pytest.approx([149 - 146.8, 149 - 146.8 * DRY, 149 - 146.8 * WET])
    assert cells["also"] == "cut is its height; reveal 1.0 mm at the bottom"


def test_slots_by_hand() -> None:
    # outward 300·0.0075377 = 2.2613, inward 300·0.0050251 = 1.5075: up to 2.3 and 1.6, beside half a screw of 5 each
    also = row("slot").cells()["also"]
    assert also == "slot 8.9 mm from end to end; its outer end 4.8 mm from today's screw"
    # 180·(0.0075377 + 0.0050251) = 2.2613 beside 5 mm; 240·0.0075377 = 1.809 out, 240·0.0050251 = 1.206 in
    also = row("top").cells()["also"]
    assert also == "1 slot, 7.4 mm; front overhang 18.8 mm to 21.8 mm; back overhang −1.2 mm to 1.8 mm"


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("boards", "7 boards; face "),
        ("drawer", "bottom "),
        ("door", "2 leaves; rail "),
        ("joint", "1 tenon; mortise 90.7 mm long"),
        ("breadboard", "1 hole, "),
        ("slats", "75.0 mm from centre to centre. This gap varies with the season."),
    ],
)
def test_what_no_column_holds_is_told_beside(kind: str, says: str) -> None:
    assert says in str(row(kind).cells()["also"])


def test_slats_always_carry_their_cautions() -> None:
    for limit in (None, 16.0, 5.0):
        also = str(row("slats", limit_mm=limit).cells()["also"])
        assert all(line in also for line in slats.CAUTIONS)


def test_lengths_are_told_in_the_piece_s_unit() -> None:
    made = piece(part("slot"), unit="in")
    assert "mm" not in str(gap_table.part_row(made, made.parts[0]).cells()["also"])


def test_a_part_that_does_not_fit_says_why() -> None:
    cells = row("front", made_mm=149.9).cells()
    assert (cells["fits"], cells["cut_width_mm"]) == (False, 149.9)
    assert "Plane" in str(cells["advice"])


def test_the_whole_table_has_panels_first_and_the_parts_in_order() -> None:
    made = piece(part("top"), part("boards"))
    assert [one.part.id for one in gap_table.whole(made)] == ["p1", "a-top", "a-boards"]
    table = gap_table.data_frame(made)
    assert list(table.columns) == list(COLUMNS)
    assert list(table["kind"]) == ["panel", "top", "boards"]
