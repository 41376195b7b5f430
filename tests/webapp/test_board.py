"""The board's page: what its end grain says, by every way to tell it, and the drawing of it."""

import html
import math
import re
from itertools import combinations
from typing import Any
from urllib.parse import parse_qsl, urlsplit
from xml.etree import ElementTree

import pytest

from movement import sorption
from movement.lengths import Unit
from movement.parts.endgrain import BoardRequest, BoardResult, result
from tests.webapp.reading import error, figure, plain
from webapp import board_fields, years
from webapp.drawing.endgrain import section
from webapp.drawing.sheet import WIDTH, Drawing
from webapp.render import templates
from webapp.words import Words

HEART = {"rings": "heart", "board_width": "200", "board_thickness": "20", "heart_depth": "110"}
"""The heart 100 mm below mid-thickness: 45° at both edges."""
BOARD: dict[str, Any] = {
    "species": "Cherry, black",
    "width_mm": 200.0,
    "thickness_mm": 20.0,
    "moisture_now_pct": 8.0,
    "moisture_dry_pct": 6.0,
    "moisture_wet_pct": 11.0,
}
AT_100 = {"kind": "heart", "heart_depth_mm": 110.0}


def made(**more: Any) -> tuple[BoardRequest, BoardResult]:
    asked = BoardRequest.model_validate(BOARD | {"rings": AT_100} | more)
    return asked, result(asked)


def shown(still: Any, status: int = 200, **typed: str) -> str:
    answer = still.get("/board", params={"unit": "mm"} | typed)
    assert answer.status_code == status
    return str(answer.text)


def rows(text: str, name: str) -> list[list[str]]:
    found = re.search(rf'aria-label="{name}">(.*?)</table>', text, re.DOTALL)
    assert found, name
    return [
        [plain(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row)] for row in found[1].split("<tr>")[1:]
    ]


# The answer


def test_the_bare_page_answers(still: Any) -> None:
    text = shown(still)
    assert "<title>A board's end grain – Seasonal Panel Fit</title>" in text
    assert "No answer yet." not in text


def test_the_figures_are_the_core_s(still: Any) -> None:
    text, (_, board) = shown(still, **HEART), made()
    assert figure(text, "Counts as ring angle") == "27.6° 45° at the left edge, 0° in the middle, 45° at the right"
    assert figure(text, "Width moves") == (
        "0.222 % per 1 % of moisture: 79 % of the way from radial (0.126 %) to tangential (0.248 %)"
    )
    assert figure(text, "Cup when driest") == f"{board.cup_dry_mm:.2f} mm bark side hollow"
    assert figure(text, "Cup when wettest") == f"{-board.cup_wet_mm:.2f} mm heart side hollow"
    assert "Flat-sawn to rift-sawn" in text
    assert f"{math.pi / 4:.2f}" == "0.79"


def test_the_sizes_through_the_year_are_told(still: Any) -> None:
    found, (_, board) = rows(shown(still, **HEART), "Today, driest and wettest"), made()
    assert found[0] == ["State", "Width", "Moves", "Thickness", "Moves"]
    assert found[1] == ["Today, 8.0 %", "200.0 mm", "", "20.0 mm", ""]
    assert found[2][:3] == ["Driest, 6.0 %", f"{board.width_dry_mm:.1f} mm", f"−{200 - board.width_dry_mm:.2f} mm"]
    assert found[3][3:] == [f"{board.thickness_wet_mm:.1f} mm", f"+{board.thickness_wet_mm - 20:.2f} mm"]


@pytest.mark.parametrize(
    "typed",
    [
        {"rings": "edges", "ring_left": "45", "ring_right": "45"},
        {"rings": "chord", "ring_chord": "60", "ring_rise": f"{110 - math.sqrt(110**2 - 900):.6f}"},
    ],
)
def test_every_way_to_tell_the_rings_tells_the_same_board(still: Any, typed: dict[str, str]) -> None:
    one, other = shown(still, **HEART), shown(still, **HEART | typed)
    for name in ("Counts as ring angle", "Cup when driest", "Cup when wettest"):
        assert figure(one, name) == figure(other, name)


def test_straight_rings_stay_flat(still: Any) -> None:
    text = shown(still, rings="straight", ring_angle="90")
    assert figure(text, "Counts as ring angle").startswith("90.0°")
    assert figure(text, "Cup when driest") == "0.00 mm stays flat"
    assert "it stays flat: its rings run too straight to cup it" in plain(text)
    assert "no way of turning the pieces matters" in plain(text)


def test_rings_that_lean_one_way_have_the_heart_beside_the_board(still: Any) -> None:
    text = shown(still, ring_left="70", ring_right="60", course="leaning")
    assert "Quarter-sawn" in text
    assert re.search(r"heart \d+\.\d mm down, \d+\.\d mm right", text)


def test_inches_mean_the_same_board(still: Any) -> None:
    inch = shown(
        still, unit="in", **HEART | {"board_width": "200 mm", "board_thickness": "20 mm", "heart_depth": "110 mm"}
    )
    _, board = made()
    assert figure(inch, "Cup when driest") == f'{board.cup_dry_mm / 25.4:.3f}" bark side hollow'


def test_a_groove_leaves_room_for_the_cup(still: Any) -> None:
    text = shown(still, **HEART, tongue_thickness="6")
    _, board = made(tongue_thickness_mm=6.0)
    assert figure(text, "Groove across its end").startswith(f"{math.ceil(10 * board.groove_width_mm) / 10:.1f} mm")
    assert "a tongue 6.0 mm thick stands free all year" in plain(text)
    assert "the board's whole thickness stands free" in plain(shown(still, **HEART))


def test_the_room_s_air_tells_the_moisture(still: Any) -> None:
    text = shown(still, **HEART, moisture_by="air", air_temperature="20", air_humidity="45")
    assert f"Today, {sorption.equilibrium_moisture(20, 45):.1f} %" in text
    assert f"Moisture today: {sorption.SOURCE}" in html.unescape(text)


def test_strips_are_told_one_by_one_where_they_differ(still: Any) -> None:
    same = [row[0] for row in rows(shown(still, **HEART), "Each strip by itself")]
    assert same == ["Ripped", "As it is", "Each of two", "Left and right of three", "Middle of three"]
    aside = [row[0] for row in rows(shown(still, **HEART, heart_offset="60"), "Each strip by itself")]
    assert aside[2:] == ["Left of two", "Right of two", "Left of three", "Middle of three", "Right of three"]


def test_glue_ups_are_the_core_s(still: Any) -> None:
    found, (_, board) = rows(shown(still, **HEART, boards="6"), "How far a glue-up reaches out of flat"), made(boards=6)
    assert found[0] == ["Glued edge to edge", "All as sawn", "Every other rolled over", "Every other end for end"]
    assert [row[0] for row in found[1::2]] == [
        "Its two halves, driest",
        "Its three thirds, driest",
        "6 such boards, driest",
    ]
    for group in range(3):
        three = board.glued[3 * group : 3 * group + 3]
        assert found[2 * group + 1][1:] == [f"{one.out_of_flat_dry_mm:.2f} mm" for one in three]
        assert found[2 * group + 2][1:] == [f"{one.out_of_flat_wet_mm:.2f} mm" for one in three]


def test_the_way_that_keeps_flattest_is_named(still: Any) -> None:
    assert "Flattest: halves every other end for end; whole boards" in plain(shown(still, **HEART))


def test_the_ring_angle_goes_along_to_other_pages(still: Any) -> None:
    text = shown(still, **HEART, year="place", place="Chicago", moisture_now="9")
    section_ = text.partition('id="onward-title"')[2].partition("</section>")[0]
    links = [html.unescape(link) for link in re.findall(r'href="([^"]+)"', section_)]
    assert [urlsplit(link).path for link in links] == ["/", "/parts/boards", "/parts/top", "/parts/joint"]
    for link in links:
        told = dict(parse_qsl(urlsplit(link).query))
        assert (told["ring_angle"], told["moisture_now"], told["species"]) == ("27.6", "9", "Cherry, black")
        assert told["year"] == "place"
        opened = still.get(link)
        assert opened.status_code == 200
        assert 'name="ring_angle" value="27.6"' in opened.text


def test_the_panel_s_page_leads_here(still: Any) -> None:
    assert re.search(r'id="ring_angle-hint">[^<]*<a href="/board">', still.get("/").text)


# Fields


@pytest.mark.parametrize(
    ("typed", "name", "said"),
    [
        ({"board_width": ""}, "board_width", "Fill this in; allowed is 10 to 1500 mm."),
        ({"board_width": "9"}, "board_width", "Allowed is 10 to 1500 mm."),
        ({"board_thickness": "301"}, "board_thickness", "Allowed is 1 to 300 mm."),
        ({"ring_left": "95"}, "ring_left", "Allowed is 0 to 90°."),
        ({"ring_right": ""}, "ring_right", "Fill this in; allowed is 0 to 90°."),
        ({"ring_left": "90"}, "ring_left", "a board with the heart in it splits there"),
        ({"rings": "straight", "ring_angle": "steep"}, "ring_angle", "“steep” is not a number"),
        ({"rings": "heart", "heart_depth": "2001"}, "heart_depth", "Allowed is 1 to 2000 mm."),
        ({"rings": "heart", "heart_depth": "22"}, "heart_depth", "allowed is at least 23 mm"),
        ({"rings": "heart", "heart_depth": "5", "heart_offset": "300"}, "heart_depth", "turn the board over"),
        ({"rings": "heart", "heart_offset": "1001"}, "heart_offset", "Allowed is −1000 to 1000 mm."),
        ({"rings": "chord", "ring_chord": "4"}, "ring_chord", "Allowed is 5 to 2000 mm."),
        ({"rings": "chord", "ring_rise": "41"}, "ring_rise", "a ring rises at most half its chord"),
        ({"rings": "chord", "ring_chord": "20", "ring_rise": "10"}, "ring_rise", "a board with the heart in it"),
        ({"rings": "chord", "heart_offset": "400"}, "heart_offset", "the ring's own radius"),
        ({"moisture_now": "31"}, "moisture_now", "Allowed is 1 to 30 %."),
        ({"moisture_by": "air", "air_humidity": "101"}, "air_humidity", "Allowed is 0 to 100 %."),
        ({"moisture_by": "air", "air_humidity": "0"}, "air_humidity", "llowed is 1 to 30 %."),
        ({"tongue_thickness": "23"}, "tongue_thickness", "the board's own"),
        ({"boards": "1"}, "boards", "llowed is 2 to 12"),
        ({"species": "Nowhere wood"}, "species", "Nowhere wood"),
        ({"rings": "guess"}, "rings", "Choose one of Angles at both edges"),
    ],
)
def test_each_refusal_stands_at_its_field_and_all_stays_typed(
    still: Any, typed: dict[str, str], name: str, said: str
) -> None:
    text = shown(still, 422, **{"moisture_wet": "11.5"} | typed)
    assert said in error(text, name)
    for key, value in typed.items():
        if key not in ("rings", "moisture_by"):
            assert f'name="{key}" value="{value}"' in text
    assert 'name="moisture_wet" value="11.5"' in text
    assert "No answer yet." in text


def test_what_the_other_ways_hold_is_kept_and_not_looked_at(still: Any) -> None:
    text = shown(still, rings="straight", heart_depth="deep", ring_left="200")
    assert '<input type="hidden" name="heart_depth" value="deep">' in text
    assert '<input type="hidden" name="ring_left" value="200">' in text


def test_every_field_is_there_whatever_is_chosen(still: Any) -> None:
    for way in board_fields.WAYS:
        text = shown(still, rings=way)
        for name in (*board_fields.BOARD, *board_fields.RINGS, *board_fields.TODAY, *board_fields.FOLDED, *years.NAMES):
            assert f'name="{name}"' in text, (way, name)


# Addresses and fragments


def test_the_address_repeats_the_answer(still: Any) -> None:
    assert shown(still, **HEART) == shown(still, **HEART)


def test_the_fragment_is_in_the_whole_page(still: Any, fragment: dict[str, str]) -> None:
    part = still.get("/board", params=HEART | {"unit": "mm"}, headers=fragment).text
    assert plain(part.partition('id="result">')[2].partition('<div id="status"')[0]) in plain(shown(still, **HEART))
    assert "Ring angle 27.6°: bark side hollow when driest." in part
    refused = still.get("/board", params={"board_width": ""}, headers=fragment)
    assert refused.status_code == 422
    assert "One entry needs another look." in plain(refused.text.rpartition('id="status"')[2])


def test_nothing_is_said_to_be_safe(still: Any) -> None:
    for typed in ({}, HEART, {"rings": "straight"}):
        assert not re.search(r"\bsafe\b", plain(shown(still, **typed)), re.IGNORECASE)


# The drawing

CASES: list[dict[str, Any]] = [
    {},
    {"rings": AT_100 | {"heart_offset_mm": -70.0}},
    {"rings": {"kind": "straight", "ring_angle_deg": 35.0}},
    {"rings": {"kind": "straight", "ring_angle_deg": 0.0}},
    {"rings": {"kind": "straight", "ring_angle_deg": 90.0}},
    {"rings": {"kind": "edges", "ring_left_deg": 82.0, "ring_right_deg": 75.0, "course": "leaning"}},
    {"width_mm": 1500.0, "thickness_mm": 10.0, "rings": {"kind": "heart", "heart_depth_mm": 1000.0}},
    {"width_mm": 20.0, "thickness_mm": 200.0, "rings": {"kind": "heart", "heart_depth_mm": 201.0}},
    {
        "width_mm": 100.0,
        "thickness_mm": 100.0,
        "rings": {"kind": "heart", "heart_depth_mm": 60.0, "heart_offset_mm": 90.0},
    },
    {"moisture_now_pct": 30.0, "moisture_dry_pct": 0.5},
]
UNITS: tuple[Unit, ...] = ("mm", "in")


def drawn(case: dict[str, Any], unit: Unit = "mm") -> tuple[BoardRequest, BoardResult, Drawing]:
    asked, board = made(**case)
    return asked, board, section(asked, board, Words(unit))


def points(path: str) -> list[tuple[float, float]]:
    """The places that a path of lines and arcs goes through."""
    found = re.findall(r"(?:[ML]|A\S+ \S+ 0 0 1 )(-?[\d.]+) (-?[\d.]+)", path)
    return [(float(x), float(y)) for x, y in found]


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("case", CASES, ids=range(len(CASES)))
def test_nothing_lies_beside_the_sheet_and_no_label_over_another(case: dict[str, Any], unit: Unit) -> None:
    _, _, drawing = drawn(case, unit)
    for shape in drawing.shapes:
        for x, y in points(shape.path):
            assert -0.1 <= x <= WIDTH + 0.1
            assert -0.1 <= y <= drawing.height
    for label in drawing.labels:
        left, top, right, bottom = label.box
        assert left >= -0.1
        assert right <= WIDTH + 0.1
        assert top >= 0
        assert bottom <= drawing.height
    for one, other in combinations(drawing.labels, 2):
        a, b = one.box, other.box
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, (one.text, other.text)


@pytest.mark.parametrize("case", CASES, ids=range(len(CASES)))
def test_the_board_is_drawn_to_scale_and_the_rings_lie_in_it(case: dict[str, Any]) -> None:
    asked, board, drawing = drawn(case)
    outline = points(next(shape.path for shape in drawing.shapes if shape.look == "part"))
    xs, ys = zip(*outline, strict=True)
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    assert wide / tall == pytest.approx(asked.width_mm / asked.thickness_mm, rel=0.02)
    rings = drawing.shapes[1]
    assert rings.look == "dim"
    assert points(rings.path)
    for x, y in points(rings.path):
        assert min(xs) - 0.1 <= x <= max(xs) + 0.1
        assert min(ys) - 0.1 <= y <= max(ys) + 0.1
    bar = re.fullmatch(r"M0\.5 \S+H(\S+?)M.*", drawing.shapes[-1].path)
    assert bar
    length = float(drawing.labels[-1].text.removesuffix(" mm"))
    assert (float(bar[1]) - 0.5) / length == pytest.approx(wide / asked.width_mm, rel=0.02)
    assert board.width_mm == asked.width_mm


def test_every_arc_is_a_circle_about_the_heart() -> None:
    _, _, drawing = drawn({})
    scale = 280 / 200
    middle = WIDTH / 2
    outline = points(next(shape.path for shape in drawing.shapes if shape.look == "part"))
    level = (max(y for _, y in outline) + min(y for _, y in outline)) / 2
    arcs = re.findall(r"M(\S+) (\S+)A(\S+) \S+ 0 0 1 (\S+?) (\S+?)(?=M|$)", drawing.shapes[1].path)
    assert len(arcs) > 5
    for arc in arcs:
        x1, y1, radius, x2, y2 = map(float, arc)
        for x, y in ((x1, y1), (x2, y2)):
            assert math.hypot(x - middle, y - level - 100 * scale) == pytest.approx(radius, abs=0.15)


def test_the_dashed_shape_is_the_movement_so_many_times_as_large() -> None:
    _, board, drawing = drawn({})
    [times] = re.findall(r"drawn (\d+) times", drawing.caption)
    dry, wet = (points(shape.path) for shape in drawing.shapes if shape.look == "ghost")
    outline = points(next(shape.path for shape in drawing.shapes if shape.look == "part"))
    scale = 280 / 200
    for shape, width, cup in ((dry, board.width_dry_mm, board.cup_dry_mm), (wet, board.width_wet_mm, board.cup_wet_mm)):
        top = shape[: len(outline) // 2]
        sag = top[len(top) // 2][1] - (top[0][1] + top[-1][1]) / 2
        assert sag == pytest.approx(cup * scale * int(times), rel=0.15)  # the face's own, not mid-thickness
        stretch = (shape[0][0] + shape[-1][0]) / 2 - (outline[0][0] + outline[-1][0]) / 2
        assert stretch == pytest.approx(-(width - 200) / 2 * scale * int(times), rel=0.05)
    assert "the change drawn" in drawing.caption


def test_it_is_told_in_words(still: Any) -> None:
    text = shown(still, **HEART)
    svg = re.search(r"<figure class=\"drawing\">\s*(<svg.*?</svg>)", text, re.DOTALL)
    assert svg
    root = ElementTree.fromstring(svg[1])
    assert root.attrib["aria-labelledby"] == "section-title section-desc"
    words = " ".join((root.findtext("desc") or "").split())
    assert words.startswith(
        "Ring angle 45° at the left edge, 0° in the middle, 45° at the right edge; heart 110.0 mm down;"
    )
    assert "Driest, at 6.0 %: bark side hollow by" in words
    assert "Wettest, at 11.0 %: heart side hollow by" in words


def test_a_board_that_does_not_move_is_drawn_all_the_same() -> None:
    apple = {"name": "Still wood", "coefficient_radial": 0.0, "coefficient_tangential": 0.0}
    _, _, drawing = drawn({"species": apple})
    markup = templates.env.from_string('{% include "_drawing.html" %}').render(drawing=drawing, uid="x")
    assert "stroke" not in markup
    assert drawing.words.endswith("flat")


def test_a_wood_by_another_name_is_told_and_one_of_several_is_asked_for(client: Any) -> None:
    assert "Taken for “Walnut, black”." in plain(client.get("/board", params={"species": "american walnut"}).text)
    several = client.get("/board", params={"species": "oak"})
    assert several.status_code == 422
    assert "Oak, European" in several.text.partition('id="result"')[0].partition('id="species-error"')[2]
