"""Drawings of parts: true to scale in both units, told in words, no label over another, nothing beside the sheet."""

import re
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import pytest

from movement.lengths import INCH, Unit
from webapp.drawing.sheet import WIDTH, Drawing
from webapp.kinds.catalogue import KINDS, find
from webapp.render import templates
from webapp.words import Words

STOCK = {"species": "Cherry, black", "moisture_now_pct": 8.0, "moisture_dry_pct": 6.0, "moisture_wet_pct": 11.0}
CASES: list[tuple[str, dict[str, Any]]] = [
    ("boards", {"opening_mm": 600.0, "board_face_mm": 90.0}),
    ("boards", {"opening_mm": 600.0, "boards": 6, "profile": "shiplap", "tongue_mm": 8.0}),
    ("boards", {"opening_mm": 600.0, "boards": 2, "profile": "loose tongue", "tongue_mm": 4.0}),
    ("boards", {"opening_mm": 300.0, "boards": 3, "board_face_mm": 101.0, "tongue_mm": 1.0}),
    ("boards", {"opening_mm": 5000.0, "boards": 2, "board_face_mm": 1000.0, "tongue_mm": 60.0}),
    ("drawer", {"opening_height_mm": 120.0}),
    ("drawer", {"opening_height_mm": 120.0, "side_height_mm": 125.0, "case_depth_mm": 450.0}),
    (
        "drawer",
        {
            "opening_height_mm": 120.0,
            "case_depth_mm": 450.0,
            "front_groove_mm": 6.0,
            "back_thickness_mm": 12.0,
            "back_inset_mm": 10.0,
        },
    ),
    (
        "drawer",
        {"opening_height_mm": 120.0, "side_length_mm": 400.0, "front_groove_mm": 6.0, "back_thickness_mm": 12.0},
    ),
    ("front", {"opening_mm": 150.0, "least_reveal_mm": 1.0}),
    ("front", {"opening_mm": 150.0, "least_reveal_mm": 1.0, "fixed_edge": "centred", "made_mm": 151.0}),
    ("front", {"opening_mm": 500.0, "least_reveal_mm": 0.0, "fixed_reveal_mm": 25.0, "front": "slab door"}),
    ("front", {"opening_mm": 50.0, "least_reveal_mm": 1.0, "front": "slab door", "made_mm": 1500.0}),
    ("door", {"opening_mm": 450.0, "least_reveal_mm": 1.0, "stile_width_mm": 60.0, "fixed_reveal_mm": 1.0}),
    (
        "door",
        {"opening_mm": 900.0, "least_reveal_mm": 2.0, "construction": "slab", "leaves": 2, "fixed_reveal_mm": 1.0},
    ),
    ("joint", {"tenon_width_mm": 90.0}),
    ("joint", {"tenon_width_mm": 150.0, "hold": "one edge", "mortise_length_mm": 150.5}),
    ("joint", {"tenon_width_mm": 300.0, "tenons": 3}),
    ("joint", {"tenon_width_mm": 1000.0, "tenons": 6, "least_gap_mm": 25.0}),
    ("slot", {"distance_mm": 400.0, "screw_mm": 5.0}),
    ("slot", {"distance_mm": 3000.0, "screw_mm": 1.0, "slot_in": "top", "play_mm": 25.0}),
    ("slot", {"distance_mm": 0.0, "screw_mm": 50.0}),
    ("top", {"top_width_mm": 800.0, "distances_mm": [150.0, 350.0], "screw_mm": 5.0}),
    ("breadboard", {"top_width_mm": 800.0, "distances_mm": [350.0], "screw_mm": 8.0}),
    (
        "breadboard",
        {"top_width_mm": 3000.0, "fixed_at": "front", "distances_mm": [2900.0], "screw_mm": 8.0, "flush": "mid"},
    ),
    ("slats", {"slat_width_mm": 60.0, "space_now_mm": 15.0, "limit_mm": 15.4}),
    ("slats", {"slat_width_mm": 500.0, "space_now_mm": 0.5, "limit_mm": 1000.0, "limit_kind": "least"}),
]
UNITS: tuple[Unit, ...] = ("mm", "in")


def drawings(key: str, body: dict[str, Any], unit: Unit = "mm", **stock: float) -> tuple[Any, tuple[Drawing, ...]]:
    """What was sized, and its drawings."""
    kind = find(key)
    assert kind is not None
    asked = kind.request.model_validate(STOCK | stock | body)
    words = Words(unit)
    made = kind.size(asked, asked.bench(say=words.bench))
    return made, kind.show(asked, made, words).drawings


def lines(drawing: Drawing) -> list[float]:
    """The lengths of the dimension lines, in order [view-box units]; the scale bar's is the last."""
    dims = [re.match(r"M(\S+) (\S+)H(\S+?)M", shape.path) for shape in drawing.shapes if shape.look == "dim"]
    return [abs(float(found[3]) - float(found[1])) for found in dims if found]


def scale(drawing: Drawing) -> float:
    """What the scale bar says [view-box units per mm]."""
    text = drawing.labels[-1].text
    if text.endswith(" mm"):
        return lines(drawing)[-1] / float(text[:-3])
    whole, _, fraction = text.rstrip('"').rpartition(" ")
    top, _, bottom = fraction.partition("/")
    return lines(drawing)[-1] / ((int(whole or 0) + int(top) / int(bottom or 1)) * INCH)


def numbers(shape_path: str) -> list[float]:
    return [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", shape_path)]


def widths(drawing: Drawing) -> list[float]:
    """The widths of the filled gaps [view-box units]."""
    boxes = [numbers(shape.path) for shape in drawing.shapes if shape.look == "void" and "A" not in shape.path]
    return [abs(box[2] - box[0]) for box in boxes]


def heights(drawing: Drawing) -> list[float]:
    """The heights of the filled gaps [view-box units]."""
    boxes = [numbers(shape.path) for shape in drawing.shapes if shape.look == "void"]
    return [abs(box[3] - box[1]) for box in boxes]


def test_every_kind_is_drawn_here() -> None:
    assert {key for key, _ in CASES} == {kind.key for kind in KINDS}


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize(("key", "body"), CASES)
def test_labels_stay_on_the_sheet_and_apart(key: str, body: dict[str, Any], unit: Unit) -> None:
    _, drawn = drawings(key, body, unit)
    assert drawn
    for drawing in drawn:
        for label in drawing.labels:
            left, top, right, bottom = label.box
            assert left >= 0
            assert right <= WIDTH + 1e-9
            assert top >= -1
            assert bottom <= drawing.height
        for one, other in combinations([label.box for label in drawing.labels], 2):
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart, (drawing.title, one, other)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize(("key", "body"), CASES)
def test_nothing_is_drawn_beside_the_sheet(key: str, body: dict[str, Any], unit: Unit) -> None:
    for drawing in drawings(key, body, unit)[1]:
        for shape in drawing.shapes:
            assert not re.search("nan|inf|e[-+]", shape.path)
            for letter, place in re.findall(r"([MHV])(-?\d+(?:\.\d+)?)", shape.path):
                assert -1 <= float(place) <= (drawing.height if letter == "V" else WIDTH) + 1, (drawing.title, shape)


@pytest.mark.parametrize(("key", "body"), CASES)
def test_a_drawing_is_told_in_words(key: str, body: dict[str, Any]) -> None:
    for drawing in drawings(key, body)[1]:
        assert drawing.title
        assert drawing.caption.endswith(".")
        assert "Today" in drawing.words or "today" in drawing.words
        assert "wettest" in drawing.words.casefold()


@pytest.mark.parametrize(("key", "body"), CASES)
def test_the_svg_is_well_formed_and_escaped(key: str, body: dict[str, Any]) -> None:
    for drawing in drawings(key, body, "in")[1]:
        text = templates.get_template("_drawing.html").render(drawing=drawing, uid="one")
        figure = ElementTree.fromstring(text.strip())
        svg = figure.find("svg")
        assert svg is not None
        assert svg.get("role") == "img"
        assert [one.tag for one in list(svg)[:2]] == ["title", "desc"]
        ids = [one.get("id") for one in figure.iter() if one.get("id")]
        assert len(ids) == len(set(ids))
        used = set(re.findall(r"url\(#([^)]+)\)", text))
        assert used <= set(ids)
        assert "style=" not in text


@pytest.mark.parametrize("unit", UNITS)
def test_a_joint_of_boards_is_to_scale(unit: Unit) -> None:
    made, (drawing,) = drawings("boards", CASES[0][1], unit)
    by = scale(drawing)
    told = [
        made.gap_now_mm,
        made.engagement_now_mm,
        made.gap_dry_mm,
        made.engagement_dry_mm,
        made.gap_wet_mm,
        made.engagement_wet_mm,
    ]
    assert lines(drawing)[:-1] == pytest.approx([length * by for length in told], abs=0.21)


@pytest.mark.parametrize("unit", UNITS)
def test_a_front_and_a_door_are_to_scale(unit: Unit) -> None:
    made, (drawing,) = drawings("front", {"opening_mm": 150.0, "least_reveal_mm": 1.0, "fixed_reveal_mm": 2.0}, unit)
    moving = [made.reveal_now_mm, made.reveal_dry_mm, made.reveal_wet_mm]
    assert heights(drawing)[::2] == pytest.approx([one * scale(drawing) for one in moving], abs=0.21)
    assert heights(drawing)[1::2] == pytest.approx([2 * scale(drawing)] * 3, abs=0.21)
    made, (drawing,) = drawings("door", {"opening_mm": 450.0, "least_reveal_mm": 1.0, "stile_width_mm": 60.0}, unit)
    closing = [made.closing_reveal_now_mm, made.closing_reveal_dry_mm, made.closing_reveal_wet_mm]
    assert widths(drawing) == pytest.approx([one * scale(drawing) for one in closing], abs=0.21)


@pytest.mark.parametrize("unit", UNITS)
def test_a_drawer_is_to_scale(unit: Unit) -> None:
    made, (side, behind) = drawings("drawer", CASES[7][1], unit)
    rooms = [made.clearance_now_mm, made.clearance_dry_mm, made.clearance_wet_mm]
    assert heights(side) == pytest.approx([one * scale(side) for one in rooms], abs=0.21)
    pasts = [made.past_back_now_mm, made.past_back_dry_mm, made.past_back_wet_mm]
    assert lines(behind)[:-1] == pytest.approx([one * scale(behind) for one in pasts], abs=0.21)
    backs = [made.back_clearance_now_mm, made.back_clearance_dry_mm, made.back_clearance_wet_mm]
    assert widths(behind) == pytest.approx([one * scale(behind) for one in backs], abs=0.21)


@pytest.mark.parametrize("unit", UNITS)
def test_a_tenon_is_to_scale(unit: Unit) -> None:
    made, (drawing,) = drawings("joint", {"tenon_width_mm": 90.0, "least_gap_mm": 0.5}, unit)
    [mortise] = made.mortises
    slack = mortise.slack_start_mm
    told = [slack, slack, slack + made.shrinkage_dry_mm / 2, slack + made.shrinkage_dry_mm / 2, 0.5, 0.5]
    assert widths(drawing) == pytest.approx([one * scale(drawing) for one in told], abs=0.21)
    made, (drawing,) = drawings("joint", {"tenon_width_mm": 300.0, "tenons": 3}, unit)
    told = [one.mortise_length_mm for one in made.mortises] * 3
    assert widths(drawing) == pytest.approx([one * scale(drawing) for one in told], abs=0.21)


@pytest.mark.parametrize("unit", UNITS)
def test_a_slot_is_to_scale(unit: Unit) -> None:
    made, (drawing,) = drawings("slot", {"distance_mm": 400.0, "screw_mm": 5.0}, unit)
    told = [made.inward_mm, made.outward_mm, made.slot_mm]
    assert lines(drawing)[:-1] == pytest.approx([one * scale(drawing) for one in told], abs=0.21)


@pytest.mark.parametrize("unit", UNITS)
def test_a_breadboard_end_is_to_scale(unit: Unit) -> None:
    made, (drawing, _) = drawings("breadboard", CASES[23][1], unit)
    edges = [numbers(shape.path)[2] for shape in drawing.shapes if shape.fill == "grain"]
    end = [numbers(shape.path)[2] for shape in drawing.shapes if shape.fill == "upright"]
    proud = [edge - place for edge, place in zip(edges, end, strict=True)]
    told = [made.front.proud_now_mm, made.front.proud_dry_mm, made.front.proud_wet_mm]
    assert proud == pytest.approx([one * scale(drawing) for one in told], abs=0.21)


@pytest.mark.parametrize("unit", UNITS)
def test_slats_are_to_scale(unit: Unit) -> None:
    made, (drawing,) = drawings("slats", {"slat_width_mm": 60.0, "space_now_mm": 15.0}, unit)
    told = [made.space_now_mm, made.space_dry_mm, made.space_wet_mm]
    assert widths(drawing) == pytest.approx([one * scale(drawing) for one in told], abs=0.21)


def test_a_front_that_binds_is_said_and_shown() -> None:
    _, (drawing,) = drawings(
        "front", {"opening_mm": 500.0, "least_reveal_mm": 1.0, "front": "slab door", "made_mm": 501.0}
    )
    assert any("it binds" in label.text for label in drawing.labels)
    assert any(shape.look == "limit" for shape in drawing.shapes)


def test_wood_that_does_not_move_is_drawn_too() -> None:
    for key, body in CASES:
        _, drawn = drawings(key, body, moisture_dry_pct=8.0, moisture_wet_pct=8.0)
        assert all(drawing.labels for drawing in drawn)
