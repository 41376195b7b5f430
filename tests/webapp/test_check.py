"""The checks: a made panel, a groove, a room, the months of a shop. Each answers as the core does for its address."""

import html
import math
import re
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest

from movement import climate, lengths, sorption
from movement.parts.inverse import NOTE_NOTHING, SurvivesResult
from webapp.checks import months, survived
from webapp.drawing.humidity import humidity
from webapp.pages.check import CHECKS
from webapp.words import Words

from .reading import Sent, plain, refusal, section

MADE, GROOVE, ROOM, MONTHS = (one.address for one in CHECKS)
ADDRESSES = [one.address for one in CHECKS]
TYPED = {
    "species": "Oak, red: northern red",
    "ring_angle": "20",
    "sight_width": "412.5",
    "groove_depth": "14",
    "panel_width": "430",
    "moisture_now": "9.5",
    "moisture_dry": "5.5",
    "moisture_wet": "12",
    "least_engagement": "3",
    "least_gap": "1",
}
STOCK = {"species": "Oak, red: northern red", "ring_angle_deg": 20, "moisture_now_pct": 9.5}
PANEL = STOCK | {"sight_width_mm": 412.5, "groove_depth_mm": 14, "least_engagement_mm": 3, "least_gap_mm": 1}
YEAR = {"moisture_dry_pct": 5.5, "moisture_wet_pct": 12}
LENGTHS = {name: f"{TYPED[name]} mm" for name in ("least_engagement", "least_gap")}
FIELD = {"groove_depth": {GROOVE: "groove_depths"}}


def mm(length: float, direction: lengths.Direction = "nearest") -> str:
    return lengths.show(length, "mm", 0.1, direction)


def ask(still: Any, address: str, **more: str) -> str:
    response = still.get(address, params=TYPED | more)
    assert response.status_code == 200
    return str(response.text)


# every check


@pytest.mark.parametrize("check", CHECKS, ids=ADDRESSES)
def test_the_bare_page_has_an_answer(still: Any, check: Any) -> None:
    text = still.get(check.address).text
    assert f"<title>{check.title} – Seasonal Panel Fit</title>" in text
    assert '<a href="/check" aria-current="page">Check</a>' in text
    assert 'id="answer-title"' in text
    assert "No answer yet" not in text


@pytest.mark.parametrize("address", ADDRESSES)
def test_the_other_checks_are_a_click_away_with_what_is_typed(still: Any, address: str) -> None:
    text = ask(still, address, least_gap="1.2")
    tabs = text.partition('aria-label="Checks"')[2].partition("</nav>")[0]
    links = [html.unescape(link) for link in re.findall(r'href="([^"]*)"', tabs)]
    assert [urlsplit(link).path for link in links] == ADDRESSES
    for link in links:
        assert dict(parse_qsl(urlsplit(link).query))["least_gap"] == "1.2"
        assert 'value="1.2"' in still.get(link).text
    assert re.findall(r'href="([^"?]*)[^"]*" aria-current="page"', tabs) == [address]


@pytest.mark.parametrize("address", ADDRESSES)
@pytest.mark.parametrize(
    "query",
    [
        {},
        TYPED,
        {"unit": "in", "sight_width": "15 3/8", "groove_depth": '1/2"', "panel_width": '16"'},
        {"measured": "gap", "gap_now": "4", "moisture_by": "air", "air_humidity": "41", "hold": "one edge"},
        {"year": "place", "place": "Lisbon", "shop_year": "outdoors", "shop_place": "Stockholm", "confidence": "90"},
        {"following": "lagged", "thickness": "19", "hold": "loose"},
    ],
)
def test_what_a_browser_sends_back_without_script_gives_the_same_answer(
    still: Any, address: str, query: dict[str, str]
) -> None:
    text = still.get(address, params=query).text
    again = still.get(address, params=Sent(text).fields).text
    assert section(text, "answer-title")
    head = 'class="answer card"'
    assert again.partition(head)[2] == text.partition(head)[2]
    assert f'<form class="card stack" method="get" action="{address}"' in text
    assert '<button class="button primary" type="submit">' in text


@pytest.mark.parametrize("address", ADDRESSES)
def test_no_id_stands_twice(still: Any, address: str) -> None:
    for query in ({}, {"year": "place", "shop_year": "place", "measured": "gap"}, {"sight_width": "x", "species": "?"}):
        ids = Sent(still.get(address, params=query).text).ids
        assert len(ids) == len(set(ids))


@pytest.mark.parametrize("address", ADDRESSES)
def test_the_fragment_is_part_of_the_page(still: Any, fragment: dict[str, str], address: str) -> None:
    part = still.get(address, params=TYPED, headers=fragment).text
    page = ask(still, address)
    assert "<html" not in part
    told = part.partition('<div class="stack" id="sheet">')[2].partition('<div id="status"')[0]
    assert told.strip() in page
    assert re.search(r'<div id="status" role="status" hx-swap-oob="innerHTML"><p>[A-Z0-9].+\.</p></div>', part)


@pytest.mark.parametrize("address", ADDRESSES)
def test_what_is_typed_is_escaped(still: Any, address: str) -> None:
    evil = '"><script>x</script>'
    text = still.get(address, params={"species": evil, "groove_depth": evil, "shop_place": evil}).text
    assert "<script>x" not in text


BAD = [
    (MADE, "species", "Chery", "did you mean"),
    (MADE, "sight_width", "5", "Allowed is 10 to 3000 mm."),
    (MADE, "sight_width", "", "Fill this in; allowed is 10 to 3000 mm."),
    (MADE, "groove_depth", "0.5", "Allowed is 1 to 100 mm."),
    (MADE, "panel_width", "", "Fill this in. Allowed is 10 to 3500 mm."),
    (MADE, "panel_width", "wide", "is not a length"),
    (MADE, "moisture_now", "", "Fill this in. Allowed is 1 to 30 %."),
    (MADE, "moisture_now", "31", "Allowed is 1 to 30 %."),
    (MADE, "tongue_thickness", "80", "Allowed is 1 to 50 mm."),
    (MADE, "hold", "tight", "Choose one of"),
    (MADE, "measured", "both", "Choose one of"),
    (MADE, "moisture_wet", "5", "allowed is 5.5 to"),
    (MADE, "confidence", "12", "Choose one of"),
    (GROOVE, "groove_depths", "", "Fill this in: one depth or several."),
    (GROOVE, "groove_depths", "9; 500", "Allowed is 1 to 100 mm."),
    (GROOVE, "groove_depths", "9; deep", "is not a length"),
    (GROOVE, "meter_error", "6", "Allowed is 0 to 5 %."),
    (ROOM, "temperature", "200", "Allowed is −35 to 93.3 °C."),
    (ROOM, "temperature", "warm", "is not a temperature"),
    (ROOM, "panel_width", "4000", "Allowed is 10 to 3500 mm."),
    (ROOM, "making_tolerance", "-1", "Allowed is 0 to 10 mm."),
    (MONTHS, "within", "0.01", "Allowed is 0.05 to 10 mm."),
    (MONTHS, "within", "", "Fill this in"),
    (MONTHS, "groove_depth", "500", "Allowed is 1 to 100 mm."),
    (MONTHS, "shop_year", "moon", "Choose one of"),
]


@pytest.mark.parametrize(("address", "name", "typed", "said"), BAD)
def test_bad_input_is_told_at_its_field_and_nothing_typed_is_lost(
    still: Any, address: str, name: str, typed: str, said: str
) -> None:
    response = still.get(address, params=TYPED | {name: typed})
    assert response.status_code == 422
    assert said in refusal(response.text, name)
    assert "No answer yet" in response.text
    sent = Sent(response.text).fields
    kept = {key: text for key, text in TYPED.items() if key in sent and key != name}
    assert kept.items() <= sent.items()
    if name not in ("hold", "measured", "confidence", "shop_year"):
        assert sent[name] == typed


@pytest.mark.parametrize(
    ("address", "query", "name", "said"),
    [
        (MADE, {"measured": "gap", "gap_now": ""}, "gap_now", "Fill this in. Allowed is 0 to 25 mm."),
        (MADE, {"measured": "gap", "gap_now": "26"}, "gap_now", "Allowed is 0 to 25 mm."),
        (MADE, {"measured": "gap", "gap_now": "25", "sight_width": "20"}, "gap_now", "Panel width"),
        (ROOM, {"measured": "gap", "gap_now": "25", "sight_width": "20"}, "gap_now", "Allowed is 10 to 3500 mm."),
        (MADE, {"moisture_by": "air", "air_humidity": ""}, "air_humidity", "Fill this in"),
        (MADE, {"moisture_by": "air", "air_humidity": "120"}, "air_humidity", "Allowed is 0 to 100 %."),
        (MADE, {"moisture_by": "air", "air_humidity": "0"}, "air_humidity", "Moisture content today"),
        (ROOM, {"moisture_by": "air", "air_humidity": "0"}, "air_humidity", "Allowed is 1 to 30 %."),
        (ROOM, {"moisture_by": "air", "air_temperature": "x"}, "air_temperature", "is not a temperature"),
        (
            MONTHS,
            {"shop_year": "moisture", "shop_moisture_dry": "0.6", "shop_moisture_wet": "0.6"},
            "shop_year",
            "at 0.6 %",
        ),
        (MONTHS, {"shop_year": "air", "shop_dry_humidity": "101"}, "shop_dry_humidity", "Allowed is 0 to 100 %."),
        (MONTHS, {"year": "air", "dry_humidity": "101"}, "dry_humidity", "Allowed is 0 to 100 %."),
    ],
)
def test_what_is_measured_otherwise_is_refused_where_it_is_typed(
    still: Any, address: str, query: dict[str, str], name: str, said: str
) -> None:
    response = still.get(address, params=TYPED | query)
    assert response.status_code == 422
    assert said in refusal(response.text, name)
    summary = response.text.partition('id="error-summary"')[2].partition("</ul>")[0]
    assert f'href="#{name}"' in summary
    assert set(re.findall(r'href="#([^"]*)"', summary)) <= set(Sent(response.text).ids)


def test_what_is_not_asked_is_not_refused(still: Any) -> None:
    idle = {"gap_now": "many", "air_humidity": "wet", "air_temperature": "", "fixed_engagement": "x", "finish": "?"}
    text = ask(still, MADE, **idle)
    sent = Sent(text).fields
    assert {name: sent[name] for name in idle} == idle


def test_lengths_are_in_the_page_s_unit(still: Any) -> None:
    for address in ADDRESSES:
        result = plain(
            still.get(address, params={"unit": "in"}).text.partition('id="result"')[2].partition("Where the")[0]
        )
        assert " mm" not in result
    metric = {"unit": "mm", "sight_width": "300", "groove_depth": "9", "panel_width": "312"}
    links = re.findall(r'<a href="(/check\?[^"]*unit=in[^"]*)"', still.get(MADE, params=metric).text)
    query = dict(parse_qsl(urlsplit(html.unescape(links[0])).query))
    assert (query["sight_width"], query["panel_width"]) == ("300 mm", "312 mm")


# a made panel


@pytest.mark.parametrize(
    ("typed", "body", "action", "headline"),
    [
        ({}, {}, "leave", "It fits: leave it"),
        ({"panel_width": "438"}, {"panel_width_mm": 438}, "plane", "Plane it narrower"),
        ({"panel_width": "420"}, {"panel_width_mm": 420}, "widen", "It is too narrow"),
        ({"groove_depth": "6"}, {"groove_depth_mm": 6}, "deepen", "Too shallow a groove"),
        (
            {"hold": "loose", "groove_depth": "9", "panel_width": "424"},
            {"hold": "loose", "groove_depth_mm": 9, "panel_width_mm": 424},
            "pin",
            "Pin it at mid-width",
        ),
        (
            {"hold": "one edge", "fixed_engagement": "6", "confidence": "95", "meter_error": "2"},
            {"hold": "one edge", "fixed_engagement_mm": 6, "confidence_pct": 95, "spread": {"meter_error_pct": 2}},
            None,
            "",
        ),
    ],
)
def test_a_made_panel_is_judged_as_by_the_api(
    still: Any, typed: dict[str, str], body: dict[str, Any], action: str | None, headline: str
) -> None:
    text = ask(still, MADE, **typed)
    found = still.post("/api/v1/check", json={**PANEL, **YEAR, "panel_width_mm": 430, **body}).json()
    assert action in (None, found["action"])
    answer, numbers = section(text, "answer-title"), section(text, "numbers-title")
    assert headline in answer
    made = found["panel"]
    if found["action"] == "plane":
        assert mm(found["plane_off_mm"]).removesuffix(" mm") in answer
    for key in ("gap_now_mm", "width_dry_mm", "width_wet_mm"):
        assert mm(made[key]) in numbers
    for key in ("gap_dry_mm", "gap_wet_mm", "engagement_dry_mm"):
        assert mm(made[key], "down") in numbers
    assert f"even margins would have {mm(found['gap_wanted_now_mm'])}" in numbers
    for line in made["advice"]:
        assert line in plain(text)


# By hand: the width is the sight width and twice the groove less the gap: 412.5 + 2 (14 − 5.25) = 430.
@pytest.mark.parametrize(
    ("width", "now", "headline", "said"),
    [
        (
            "215.4",
            "12.3",
            "Plane it narrower, or leave it",
            "Today is the wettest it will meet, and its gap is 0.3 mm of",
        ),
        ("215.0", "9.0", "Plane it narrower", "When wettest its gap would be"),
        ("216.4", "9.0", "Plane it narrower", "It would bind when wettest."),
        ("216.4", "12.3", "Plane it narrower", "It would bind when wettest."),
    ],
)
def test_a_gap_that_is_short_today_and_grows_may_be_left(
    still: Any, width: str, now: str, headline: str, said: str
) -> None:
    year = {"moisture_dry": "4.6", "moisture_wet": "10.1", "moisture_now": now}
    text = ask(still, "/check", sight_width="200", groove_depth="8", panel_width=width, **year)
    assert re.search(r'id="answer-title">(.*?)</h2>', text).group(1) == headline  # type: ignore[union-attr]
    assert said in plain(text)


def test_a_measured_gap_gives_the_same_as_the_width(still: Any) -> None:
    width, gap = ask(still, MADE), ask(still, MADE, measured="gap", gap_now="5.25", panel_width="")
    assert gap.partition('id="result"')[2] == width.partition('id="result"')[2]
    free = ask(still, MADE, measured="gap", gap_now="2", hold="one edge", fixed_engagement="6")
    assert mm(412.5 + 6 + 14 - 2) in section(free, "numbers-title")


def test_the_room_s_air_gives_the_same_as_its_moisture(still: Any) -> None:
    moisture = float(sorption.equilibrium_moisture(19.0, 52.0))
    meter = ask(still, MADE, moisture_now=repr(moisture))
    air = ask(still, MADE, moisture_by="air", air_temperature="19", air_humidity="52", moisture_now="")
    assert air.partition('id="result"')[2] == meter.partition('id="result"')[2]


def test_a_panel_that_follows_late_is_judged_on_a_smaller_swing(still: Any) -> None:
    gaps = []
    for way in ("equilibrium", "lagged"):
        late = {"following": way, "thickness": "25", "finish": "Two-part epoxy, 2 coats"}
        text = ask(still, MADE, year="place", place="Stockholm", moisture_now="7", **late)
        assert ("Late and damped." in section(text, "numbers-title")) is (way == "lagged")
        gaps.append(float(re.findall(r"Gap, wet ([\d.]+) mm", section(text, "answer-title"))[0]))
    assert gaps[0] < gaps[1]


def test_a_made_panel_is_told_its_chances_and_its_room(still: Any) -> None:
    text = ask(still, MADE)
    assert "that it binds" in section(text, "outlook-title")
    assert "What would help" not in text
    found = still.post("/api/v1/survives", json=PANEL | {"panel_width_mm": 430, "making_tolerance_mm": 0}).json()
    assert survived.kept(SurvivesResult(**found)) in section(text, "room-title")


def test_the_edge_is_drawn_in_every_state(still: Any) -> None:
    drawing = ask(still, MADE, panel_width="441").partition('id="drawing-title"')[2].partition("</figure>")[0]
    assert "too wide" in drawing
    assert drawing.count('class="part-fill"') == 3


# a groove


def pairs(text: str) -> list[tuple[str, str, str]]:
    """Groove, opening and panel of each depth that serves one, as they are shown."""
    rows = re.findall(r'<tr><th scope="row">(.*?)</th><td class="num key">(.*?)</td><td class="num">(.*?)</td>', text)
    return [tuple(html.unescape(cell) for cell in row) for row in rows if row[2] != "–"]


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_depth_serves_what_the_api_says(still: Any, unit: lengths.Unit) -> None:
    text = ask(
        still,
        GROOVE,
        groove_depths="9 mm; 2 mm; 6 mm",
        confidence="90",
        unit=unit,
        making_tolerance="0.5 mm",
        **LENGTHS,
    )
    rows = section(text, "depths-title")
    shown = pairs(text)
    for depth, (groove, opening, panel) in zip((6, 9), shown, strict=True):
        body = {key: value for key, value in PANEL.items() if key != "sight_width_mm"}
        more = {"groove_depth_mm": depth, "making_tolerance_mm": 0.5, "confidence_pct": 90}
        found = still.post("/api/v1/widest", json=body | YEAR | more).json()
        assert groove == Words(unit).entered(depth)
        assert found["sight_width_mm"] - 4 < lengths.read(opening) <= found["sight_width_mm"]
        assert lengths.read(panel) == pytest.approx(found["panel_width_mm"], abs=4)
    assert re.search(rf"{Words(unit).entered(2)} none –", rows)
    assert f"{Words(unit).entered(2)}: {NOTE_NOTHING}" in rows
    assert f"Widest sight width {shown[-1][1].removesuffix(' mm')}" in section(text, "answer-title")


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("hold", ["centred", "loose", "one edge"])
@pytest.mark.parametrize("tolerance", ["0 mm", "0.5 mm"])
def test_every_opening_fits_with_its_panel_as_they_are_shown(still: Any, unit: str, hold: str, tolerance: str) -> None:
    more = LENGTHS | {"unit": unit, "hold": hold, "making_tolerance": tolerance}
    shown = pairs(ask(still, GROOVE, groove_depths="7 mm; 9.5 mm; 14 mm; 20 mm; 1/2 in", **more))
    assert len(shown) >= 2
    for groove, opening, panel in shown:
        typed = {"groove_depth": groove, "sight_width": opening, "panel_width": panel}
        text = still.get("/", params=TYPED | more | typed).text
        assert "It fits" in text, (groove, opening, panel)


def test_an_opening_wider_than_any_panel_is_the_widest_panel_s(still: Any) -> None:
    year = {"moisture_now": "10", "moisture_dry": "9.9", "moisture_wet": "10.1"}
    text = ask(still, GROOVE, groove_depths="40", **year)
    assert pairs(text)[0][1] == "3000.0 mm"
    assert "It serves openings wider than the 3000 mm" in section(text, "depths-title")


# The widest panel has hardly a margin to spare: that opening asks for a groove that is hardly shallower.
def test_the_widest_panel_just_works(still: Any) -> None:
    body = {**STOCK, **YEAR, "groove_depth_mm": 9}
    found = still.post("/api/v1/widest", json=body).json()
    sized = still.post("/api/v1/panel", json=body | {"sight_width_mm": found["sight_width_mm"]}).json()
    assert math.isclose(sized["least_groove_depth_mm"], 9)
    text = still.get(GROOVE, params={**TYPED, "groove_depths": "9", "least_engagement": "4", "least_gap": "0.5"}).text
    assert f"gap {mm(sized['gap_wet_mm'], 'down')}" in plain(text)


def test_a_groove_that_serves_nothing_says_so(still: Any) -> None:
    text = ask(still, GROOVE, groove_depths="1")
    assert NOTE_NOTHING in section(text, "answer-title")
    assert 'id="drawing-title"' not in text


def test_wood_that_does_not_move_is_served_any_width(still: Any) -> None:
    still_year = {"moisture_now": "10", "moisture_dry": "10", "moisture_wet": "10", "groove_depths": "9"}
    assert "serves any width" in section(ask(still, GROOVE, **still_year), "answer-title")


# a room


@pytest.mark.parametrize(
    ("typed", "body"),
    [
        ({}, {}),
        ({"panel_width": "436"}, {"panel_width_mm": 436}),
        ({"temperature": "12", "hold": "loose"}, {"temperature_c": 12, "hold": "loose"}),
        ({"panel_width": "441"}, {"panel_width_mm": 441}),
        ({"panel_width": "405"}, {"panel_width_mm": 405}),
        ({"panel_width": "300"}, {"panel_width_mm": 300}),
    ],
)
def test_a_room_is_told_as_by_the_api(still: Any, typed: dict[str, str], body: dict[str, Any]) -> None:
    text = ask(still, ROOM, **typed)
    told = still.post("/api/v1/survives", json=PANEL | {"panel_width_mm": 430, "making_tolerance_mm": 0} | body).json()
    answer = section(text, "answer-title")
    low, high = told["humidity_low_pct"], told["humidity_high_pct"]
    if low is None:
        assert "No room suits it" in answer
    elif low > 0 and high < 100:
        assert f"{math.ceil(low)} to {math.floor(high)} %" in answer
    out, bound = told["comes_out_below_humidity_pct"], told["binds_above_humidity_pct"]
    assert f"Comes out below {'at no humidity' if out is None else f'{math.ceil(out)} %'}" in answer
    assert f"Binds above {'at no humidity' if bound is None else f'{math.floor(bound)} %'}" in answer


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        ((None, None), ""),
        ((0, 100), "any humidity"),
        ((0, 61.9), "up to 61 %"),
        ((33.1, 100), "from 34 % up"),
        ((33.1, 61.9), "34 to 61 %"),
        ((33.0, 61.0), "33 to 61 %"),
        ((41.2, 41.9), "41.2 to 41.9 %"),
    ],
)
def test_a_range_is_rounded_inward(ends: tuple[float | None, float | None], words: str) -> None:
    found = SurvivesResult.model_construct(humidity_low_pct=ends[0], humidity_high_pct=ends[1])
    assert survived.kept(found) == words


# By hand: 12 to 348 for 0 to 100 %, so 25 % stands at 96 and 75 % at 264.
def test_the_scale_shows_what_is_kept_and_what_fails() -> None:
    drawn = humidity((25.0, 75.0), 10.0, None, ("25 to 75 %", "comes out below 10 %", ""), Words("mm"))
    looks = [(shape.look, shape.fill, shape.path) for shape in drawn.shapes if shape.look != "dim"]
    assert looks[0] == ("part", "", "M12 28H348V60H12z")
    assert looks[1] == ("part", "end", "M12 28H45.6V60H12z")
    assert looks[2] == ("void", "", "M96 28H264V60H96z")
    assert len(looks) == 3
    assert drawn.words == "25 to 75 %; comes out below 10 %"
    assert [label.strong for label in drawn.labels if label.strong] == ["25 to 75 %"]
    nothing = humidity(None, 100.0, 0.0, ("", "is out at any humidity", "binds at any humidity"), Words("mm"))
    assert "void" not in [shape.look for shape in nothing.shapes]


# the months


SHOP = {"shop_year": "air", "shop_dry_humidity": "30", "shop_wet_humidity": "70", "within": "0.8"}
AIR = {"dry": {"temperature_c": 20, "humidity_pct": 30}, "wet": {"temperature_c": 22, "humidity_pct": 70}}


def test_the_months_are_the_api_s(still: Any) -> None:
    text = ask(still, MONTHS, **SHOP)
    body = PANEL | YEAR | {"shop": {"kind": "range", **AIR}, "within_mm": 0.8}
    found = still.post("/api/v1/months", json=body).json()
    rows = section(text, "months-title")
    suits = [month["suits"] for month in found["months"]]
    assert 0 < sum(suits) < 12
    for name, month in zip(climate.MONTHS, found["months"], strict=True):
        told = re.search(rf"{name} ([\d.]+) % \S+ (none|[\d.]+ mm (?:looser|tighter)) (yes|no)", rows)
        assert told
        assert told[1] == f"{month['moisture_pct']:.1f}"
        assert (told[3] == "yes") is month["suits"]
        assert told[2].startswith("none" if abs(month["bias_mm"]) < 0.05 else mm(abs(month["bias_mm"])))
        assert ("tighter" in told[2]) is (month["bias_mm"] <= -0.05)
    assert months._listed(suits) in section(text, "answer-title")
    assert "Today's stock 9.5 %" in rows


def test_a_shop_that_never_suits_and_one_that_always_does(still: Any) -> None:
    never = {"shop_year": "moisture", "shop_moisture_dry": "14", "shop_moisture_wet": "15"}
    assert "No month suits" in section(ask(still, MONTHS, **never), "answer-title")
    always = {"shop_year": "moisture", "shop_moisture_dry": "8.7", "shop_moisture_wet": "8.8"}
    answer = section(ask(still, MONTHS, **always), "answer-title")
    assert "Every month suits" in answer
    assert "other months" not in answer


def test_home_and_shop_keep_their_own_fields(still: Any) -> None:
    query = {"year": "place", "place": "Lisbon", "shop_year": "place", "shop_place": "Stockholm", "shop_heating": "15"}
    text = ask(still, MONTHS, **query)
    sent = Sent(text).fields
    assert {name: sent[name] for name in query} == query
    assert sent["heating"] == "20"
    told = section(text, "months-title")
    assert "Home: Lisbon, a room heated to 20 °C" in told
    assert "Shop: Stockholm, a room heated to 15 °C" in told


@pytest.mark.parametrize(
    ("suited", "words"),
    [
        ("", ""),
        ("J", "January"),
        ("MA", "March and April"),
        ("MAM", "March to May"),
        ("MA O", "March to April and October"),
        ("MAM O", "March to May and October"),
        ("J MAM O", "January, March to May and October"),
        ("ND J", "November to January"),
        ("all", "any month"),
    ],
)
def test_months_are_listed_in_runs_over_the_turn_of_the_year(suited: str, words: str) -> None:
    chosen = {
        "": (),
        "J": (1,),
        "MA": (3, 4),
        "MAM": (3, 4, 5),
        "MA O": (3, 4, 10),
        "MAM O": (3, 4, 5, 10),
        "J MAM O": (1, 3, 4, 5, 10),
        "ND J": (11, 12, 1),
        "all": range(1, 13),
    }[suited]
    assert months._listed([month in chosen for month in range(1, 13)]) == words
