"""A piece and its file: there and back, what a broken file says, what a part takes from its piece."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from piece_cases import swollen

from movement import gap_table, species
from movement.errors import PieceFileError
from movement.fits.panel import HOLDS
from movement.parts.base import OwnSpecies
from movement.parts.climates import MoistureClimate
from movement.piece import FORMAT, MOST_BYTES, MOST_PARTS, Defaults, Frame, PanelPart, Piece, dump, load

DEMO = Path(__file__).parents[2] / "data" / "demo_piece.json"
YEAR: dict[str, Any] = {"kind": "moisture", "dry_pct": 6.0, "wet_pct": 11.0}
APPLE = {"name": "Garden apple", "coefficient_radial": 0.002, "coefficient_tangential": 0.004}


def panel(id: str = "p1", **more: Any) -> dict[str, Any]:
    return {"kind": "panel", "id": id, "sight_width_mm": 300.0, **more}


def document(*panels: dict[str, Any], **more: Any) -> dict[str, Any]:
    frames = [{"id": "f1", "name": "Side", "panels": list(panels or (panel(),))}]
    return {"format": FORMAT, "version": 1, "name": "Chest", "climate": YEAR, "frames": frames} | more


def read(*panels: dict[str, Any], **more: Any) -> Piece:
    return load(json.dumps(document(*panels, **more)))


def refusal(text: str | bytes) -> str:
    with pytest.raises(PieceFileError) as caught:
        load(text)
    return str(caught.value)


# There and back


def test_the_demo_piece_goes_there_and_back() -> None:
    piece = load(DEMO.read_bytes())
    assert load(dump(piece)) == piece
    assert load(dump(piece).encode()) == piece
    assert dump(load(dump(piece))) == dump(piece)


def test_what_is_written_can_be_read() -> None:
    assert len(swollen()) < MOST_BYTES
    piece = load(swollen())
    with pytest.raises(PieceFileError, match="takes more than 5 MB with all that its parts say"):
        dump(piece)
    assert load(dump(piece.model_copy(update={"parts": piece.parts[:1000]}))).parts == piece.parts[:1000]


def test_a_file_is_measured_in_bytes() -> None:
    text = json.dumps(document(climate_name="\U0001f332" * 40), ensure_ascii=False)
    room = MOST_BYTES - len(text.encode())
    assert load(text + " " * room).climate_name
    assert refusal(text + " " * (room + 1)).startswith("The file is larger")


def test_a_worked_piece_is_the_same_piece() -> None:
    piece = load(DEMO.read_text(encoding="utf-8"))
    gap_table.rows(piece)
    assert load(dump(piece)) == piece


def test_every_panel_of_the_demo_piece_fits() -> None:
    rows = gap_table.rows(load(DEMO.read_bytes()))
    assert rows
    assert [row.part.name for row in rows if not row.result.fits] == []


names = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=20)
lengths = st.floats(10, 3000)
heights = st.floats(50, 3000)  # more than the most end play at both ends
woods = st.none() | st.sampled_from([wood.name for wood in species.catalogue()]) | st.just(OwnSpecies(**APPLE))
parts = st.builds(
    PanelPart,
    id=st.just("p"),
    name=names,
    count=st.integers(1, 500),
    sight_width_mm=lengths,
    sight_height_mm=st.none() | heights,
    species=woods,
    ring_angle_deg=st.none() | st.floats(0, 90),
    hold=st.none() | st.sampled_from(HOLDS),
    moisture_now_pct=st.none() | st.floats(1, 30),
    end_play_mm=st.none() | st.floats(0, 25),
    panel_width_mm=st.none() | lengths,
)


@st.composite
def pieces(draw: st.DrawFn) -> Piece:
    frames = []
    for number in range(draw(st.integers(0, 3))):
        drawn = draw(st.lists(parts, max_size=3))
        panels = [part.model_copy(update={"id": f"p{number}-{place}"}) for place, part in enumerate(drawn)]
        groove = draw(st.none() | st.floats(1, 100))
        frames.append(Frame(id=f"f{number}", name=draw(names), groove_depth_mm=groove, panels=panels))
    dry, wet = sorted((draw(st.floats(0.5, 28)), draw(st.floats(0.5, 28))))
    return Piece(
        name=draw(names.filter(lambda name: name.strip())),
        unit=draw(st.sampled_from(["mm", "in"])),
        climate=MoistureClimate(dry_pct=dry, wet_pct=wet),
        defaults=Defaults(cutter_depths_mm=draw(st.lists(st.floats(1, 100), max_size=3))),
        frames=frames,
    )


@given(pieces())
def test_any_piece_goes_there_and_back(piece: Piece) -> None:
    assert load(dump(piece)) == piece


@given(pieces())
def test_any_piece_has_a_gap_table(piece: Piece) -> None:
    assert len(gap_table.rows(piece)) == sum(len(frame.panels) for frame in piece.frames)


# Broken files


@pytest.mark.parametrize("text", ["", "   \n", b"", b" "])
def test_an_empty_file_says_so(text: str | bytes) -> None:
    assert refusal(text) == "The file is empty."


@pytest.mark.parametrize("text", ["{", "piece", b"\xff\xfe\x00", "[" * 100_000, '{"format": }', "PK\x03\x04"])
def test_what_is_no_json_says_so(text: str | bytes) -> None:
    assert refusal(text) == "The file is not JSON, so it is no piece file."


@pytest.mark.parametrize("text", ["[]", "null", "3", '"piece"', "{}", '{"format": "other"}', '{"format": 1}'])
def test_what_is_no_piece_file_says_so(text: str) -> None:
    assert FORMAT in refusal(text)


def test_too_large_a_file_is_not_even_read() -> None:
    assert refusal(" " * (MOST_BYTES + 1)) == "The file is larger than 5 MB; no piece file is."


@pytest.mark.parametrize(("version", "shown"), [(2, "2"), ("1", '"1"'), (None, "null"), (True, "true"), (1.5, "1.5")])
def test_another_version_is_named(version: object, shown: str) -> None:
    told = refusal(json.dumps(document(version=version)))
    assert told == f"The file has version {shown}; this program reads version 1."


def test_no_version_is_named() -> None:
    without = document()
    del without["version"]
    assert refusal(json.dumps(without)) == "The file has version null; this program reads version 1."


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"name": ""}, "name: "),
        ({"name": "x" * 81}, "name: "),
        ({"name": None}, "name: "),
        ({"unit": "cm"}, "unit: "),
        ({"climate": None}, "climate: "),
        ({"climate": YEAR | {"kind": "guess"}}, "climate: "),
        ({"climate": {"kind": "moisture", "dry_pct": 11, "wet_pct": 6}}, "climate → moisture: "),
        ({"climate": {"kind": "place", "place": "Atlantis"}}, "climate → place → place: "),
        ({"defaults": {"least_gap_mm": 26}}, "defaults → least_gap_mm: "),
        ({"defaults": {"least_gap_mm": "0.5"}}, "defaults → least_gap_mm: "),
        ({"defaults": {"ring_angle_deg": True}}, "defaults → ring_angle_deg: "),
        ({"defaults": {"cutter_depths_mm": [8, 101]}}, "defaults → cutter_depths_mm → 2: "),
        ({"own_species": [{"name": "Apple"}]}, "own_species → 1: "),
        ({"own_species": [APPLE, APPLE | {"name": "garden APPLE"}]}, "The file: "),
        ({"colour": "red"}, "colour: "),
        ({"frames": [{"id": "f 1"}]}, "frames → 1 → id: "),
        ({"frames": [{"id": "f1", "groove_depth_mm": 0.5}]}, "frames → 1 → groove_depth_mm: "),
        ({"frames": {}}, "frames: "),
    ],
)
def test_a_bad_value_is_told_with_its_place(changed: dict[str, Any], where: str) -> None:
    assert refusal(json.dumps(document(**changed))).startswith(where)


@pytest.mark.parametrize(
    ("changed", "where"),
    [
        ({"sight_width_mm": 5}, "sight_width_mm"),
        ({"sight_width_mm": "300"}, "sight_width_mm"),
        ({"sight_width_mm": None}, "sight_width_mm"),
        ({"count": 0}, "count"),
        ({"count": 2.5}, "count"),
        ({"count": True}, "count"),
        ({"kind": "lid"}, "kind"),
        ({"id": ""}, "id"),
        ({"hold": "glued"}, "hold"),
        ({"panel_width_mm": 3501}, "panel_width_mm"),
    ],
)
def test_a_bad_panel_is_told_with_its_place(changed: dict[str, Any], where: str) -> None:
    told = refusal(json.dumps(document(panel("p1"), panel("p2") | changed)))
    assert told.startswith("frames → 1 → panels → 2")
    assert where in told


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_a_number_that_is_none_is_refused(number: str) -> None:
    text = json.dumps(document()).replace("300.0", number)
    assert refusal(text).startswith("frames → 1 → panels → 1 → sight_width_mm: ")


def test_more_bad_values_are_counted() -> None:
    told = refusal(json.dumps(document(panel("p1", sight_width_mm=5), panel("p2", sight_width_mm=5))))
    assert told.endswith("(1 more like it)")


def test_ids_used_twice_are_named() -> None:
    assert refusal(json.dumps(document(panel("a"), panel("b"), panel("a")))).endswith("used twice: a.")
    assert refusal(json.dumps(document(panel("f1")))).endswith("used twice: f1.")


def test_too_many_parts_are_counted() -> None:
    many = [panel(f"p{number}") for number in range(MOST_PARTS)]
    assert f"this one has {MOST_PARTS + 1}" in refusal(json.dumps(document(*many)))
    assert len(list(read(*many[:-1]).panels())) == MOST_PARTS - 1


def test_an_unknown_species_is_told_with_its_part() -> None:
    told = refusal(json.dumps(document(panel("p1"), panel("p2", name="Upper", species="Cherry, blak"))))
    assert "Side, Upper: " in told
    assert "“Cherry, black”" in told
    assert "the piece's own stock: " in refusal(json.dumps(document(defaults={"species": "Cherry, blak"})))


def test_stays_need_a_day_of_coming_home_after_them() -> None:
    shop = {"name": "shop", "first": "2026-01-05", "climate": YEAR}
    assert "which day the piece comes home" in refusal(json.dumps(document(stays=[shop])))
    assert "2026-01-05" in refusal(json.dumps(document(stays=[shop], home_first="2026-01-05")))
    piece = read(stays=[shop], home_first="2026-02-01")
    assert load(dump(piece)) == piece


# What a part takes from its piece


def test_a_part_takes_what_it_does_not_say_from_its_piece() -> None:
    piece = read(
        panel("p1"),
        panel(
            "p2", species="Walnut, black", ring_angle_deg=90, hold="loose", moisture_now_pct=10, tongue_thickness_mm=5,
            end_play_mm=2,
        ),
        defaults={
            "species": "Cherry, black", "ring_angle_deg": 30, "hold": "one edge", "moisture_now_pct": 7,
            "tongue_thickness_mm": 8, "end_play_mm": 3, "least_gap_mm": 0.7, "cutter_step_mm": 2, "width_step_mm": 1,
        },
    )  # fmt: skip
    (_, first), (_, second) = piece.panels()
    assert (piece.wood(first).species.name, piece.wood(first).ring_angle) == ("Cherry, black", 30)
    assert (piece.wood(second).species.name, piece.wood(second).ring_angle) == ("Walnut, black", 90)
    assert (piece.hold(first), piece.hold(second)) == ("one edge", "loose")
    assert (piece.season(first).now, piece.season(second).now) == (7, 10)
    assert (piece.needs(first).tongue_thickness_mm, piece.needs(first).end_play_mm) == (8, 3)
    assert (piece.needs(second).tongue_thickness_mm, piece.needs(second).end_play_mm) == (5, 2)
    for part in (first, second):
        bench = piece.bench(part)
        assert (bench.clearances.gap, bench.cutter.step, bench.width_step) == (0.7, 2, 1)


def test_zero_is_said_and_not_missing() -> None:
    piece = read(panel(ring_angle_deg=0, end_play_mm=0), defaults={"ring_angle_deg": 45, "end_play_mm": 3})
    ((_, part),) = piece.panels()
    assert (piece.wood(part).ring_angle, piece.needs(part).end_play_mm) == (0, 0)


def test_the_pieces_own_species_comes_before_the_tables() -> None:
    mine = APPLE | {"name": "Cherry, black"}
    piece = read(panel(species="cherry, BLACK"), own_species=[mine])
    ((_, part),) = piece.panels()
    assert (piece.wood(part).across, piece.wood(part).species.group) == (0.004, "own")
    assert load(dump(piece)).wood(part).across == 0.004


def test_two_species_of_one_name_inside_a_file_keep_their_own_numbers() -> None:
    other = APPLE | {"coefficient_tangential": 0.003}
    piece = read(panel("p1", species=APPLE), panel("p2", species=other))
    assert [piece.wood(part).across for _, part in piece.panels()] == [0.004, 0.003]


@pytest.mark.parametrize(
    "changed",
    [
        {"climate": MoistureClimate(dry_pct=5.0, wet_pct=14.0)},
        {"defaults": Defaults(moisture_now_pct=14.0, species="Cherry, black", following="lagged")},
        {"own_species": [OwnSpecies(**(APPLE | {"coefficient_tangential": 0.003}))]},
    ],
)
def test_a_copy_with_other_values_is_worked_anew(changed: dict[str, Any]) -> None:
    piece = read(panel(), panel("p2", species="Garden apple"), own_species=[APPLE])
    before = [row.cells() for row in gap_table.rows(piece)]
    copied = piece.model_copy(update=changed)
    found = [row.cells() for row in gap_table.rows(copied)]
    assert found != before
    assert found == [row.cells() for row in gap_table.rows(load(dump(copied)))]
    assert [row.cells() for row in gap_table.rows(piece)] == before


def test_a_copy_with_other_frames_or_unit_keeps_what_still_holds() -> None:
    piece = read(panel(), panel("p2", moisture_now_pct=9))
    gap_table.rows(piece)
    for changed in ({"frames": list(piece.frames[:1])}, {"unit": "in"}, {"name": "Other"}):
        copied = piece.model_copy(update=changed)
        ours, anew = gap_table.rows(copied), gap_table.rows(load(dump(copied)))
        assert [row.cells() for row in ours] == [row.cells() for row in anew]


def test_lengths_are_said_in_the_pieces_unit() -> None:
    assert read(unit="mm").say(7.9375) == "7.9 mm"
    assert read(unit="in").say(7.9375) == '5/16"'
    assert read(unit="in").say(7.95, direction="up") == '21/64"'


# What a thickness of its own changes is seen in a piece whose parts follow the air late.
def test_a_piece_is_exposed_through_its_own_thickness_or_the_one_asked_for() -> None:
    late = read(defaults={"following": "lagged", "thickness_mm": 20.0})
    own, thin = late.exposure().section, late.exposure(6.0).section
    assert own is not None
    assert thin is not None
    assert (own.thickness, thin.thickness) == (20.0, 6.0)
