"""The page of one panel: its address is the whole question, and its answer is the core's own."""

import html
import re
from html.parser import HTMLParser
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest
from fastapi import FastAPI

from movement import lengths, species
from movement.errors import RangeError
from movement.parts import panel
from tests.webapp.reading import plain
from webapp import panel_fields, years
from webapp.pages import gap

TITLE = "<title>One panel – Seasonal Panel Fit</title>"
BAD = {"sight_width": "wide", "ring_angle": "100", "species": "Chery", "groove_depth": "0", "moisture_dry": "12"}


class Page(HTMLParser):
    """What a test asks of a page's HTML: its elements by id, its form as a browser would send it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: dict[str, dict[str, str]] = {}
        self.labels: set[str] = set()
        self.sent: dict[str, str] = {}
        self._select = ""
        self.all_ids: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        have = {name: value or "" for name, value in attrs}
        if "id" in have:
            self.ids[have["id"]] = {"tag": tag} | have
            self.all_ids.append(have["id"])
        if tag == "label" and "for" in have:
            self.labels.add(have["for"])
        if tag == "input" and (have.get("type") != "radio" or "checked" in have):
            self.sent[have["name"]] = have["value"]
        if tag == "select":
            self._select = have["name"]
        if tag == "option" and self._select and ("selected" in have or self._select not in self.sent):
            self.sent[self._select] = have["value"]

    def handle_endtag(self, tag: str) -> None:
        if tag == "select":
            self._select = ""


def answer(text: str) -> str:
    """What is said of the panel, without the note that an untouched page shows an example, and the ways on."""
    said = re.sub(r"<p[^>]*><strong>An example\..*?</p>\s*", "", text.partition('id="result"')[2])
    return re.sub(r'<p class="no-print actions">.*?</p>\s*', "", said, flags=re.DOTALL)


def other_unit(text: str, unit: str) -> dict[str, str]:
    """The question that the page's link to the other unit asks."""
    links = [html.unescape(link) for link in re.findall(r'<a href="(/\?[^"]*)"', text)]
    [query] = [dict(parse_qsl(urlsplit(link).query)) for link in links if f"unit={unit}" in link]
    return query


@pytest.fixture
def client(still: Any) -> Any:
    return still


NAMES = [
    *(spec.name for spec in panel_fields.specs("mm")),
    *(name for name in years.NAMES if name != "saved_climate"),
]


# the page


def test_the_bare_page_sizes_a_panel(client: Any) -> None:
    response = client.get("/")
    assert response.status_code == 200
    assert "It fits" in response.text
    assert TITLE in response.text


@pytest.mark.parametrize("name", NAMES)
def test_every_field_is_there_with_what_was_typed(client: Any, name: str) -> None:
    default = Page(client.get("/").text).sent[name]
    typed = f" {default} " if default else "<typed> & 'kept'"
    page = Page(client.get("/", params={name: typed, "year": _year_of(name)}).text)
    assert page.ids[name]["name"] == name
    assert name in page.labels or page.ids[name].get("type") == "radio"
    if page.ids[name]["tag"] == "input" and page.ids[name]["type"] == "text":
        assert page.sent[name] == typed


def _year_of(name: str) -> str:
    return next((kind for kind, fields in years.FIELDS.items() if name in fields), "moisture")


def test_no_id_stands_twice(client: Any) -> None:
    for query in ({}, {"hold": "loose", "year": "place"}, {"hold": "one edge", "groove_depth": "5"}, BAD):
        ids = Page(client.get("/", params=query).text).all_ids
        assert len(ids) == len(set(ids))


def test_the_answer_is_that_of_the_api(client: Any) -> None:
    asked = {
        "species": "Oak, white (Quercus alba)",
        "sight_width_mm": 412.5,
        "ring_angle_deg": 30,
        "hold": "loose",
        "moisture_now_pct": 9.5,
        "moisture_dry_pct": 5.5,
        "moisture_wet_pct": 12,
        "groove_depth_mm": 14,
        "panel_width_mm": 431,
        "least_engagement_mm": 3,
        "least_gap_mm": 1,
        "making_tolerance_mm": 0.2,
    }
    asked["species"] = species.search("white oak")[0].name
    query = {key.rsplit("_", 1)[0] if key.endswith(("_mm", "_pct", "_deg")) else key: str(asked[key]) for key in asked}
    text = plain(answer(client.get("/", params=query).text))
    found = client.post("/api/v1/panel", json=asked | {"width_step_mm": 0.5}).json()
    assert ("It fits" in text) is found["fits"]
    for key in ("gap_now_mm", "width_dry_mm", "width_wet_mm"):
        assert lengths.show(found[key], "mm", 0.1) in text
    for key in ("gap_dry_mm", "gap_wet_mm", "engagement_dry_mm"):
        assert lengths.show(found[key], "mm", 0.1, "down") in text
    for line in found["advice"]:
        assert line in text


def test_what_a_browser_sends_back_gives_the_same_answer(client: Any) -> None:
    for query in (
        {},
        {"sight_width": '17 3/8"', "year": "place", "place": "Lisbon", "hold": "one edge"},
        {"unit": "in", "sight_height": "2' 3\"", "cutter_depths": '1/4; 3/8"; 12 mm', "species": "prunus serotina"},
        {"unit": "mm", "year": "air", "dry_humidity": "25", "groove_depth": "5", "panel_width": "308"},
        {"year": "outdoors", "place": "Stockholm"},
    ):
        text = client.get("/", params=query).text
        again = client.get("/", params=Page(text).sent).text
        assert answer(again) == answer(text)


def test_the_address_alone_reproduces_the_answer(client: Any) -> None:
    query = {"unit": "mm", "sight_width": "455", "year": "place", "place": "Lisbon", "heating": "18", "hold": "loose"}
    texts = [client.get("/", params=query, headers={"Cookie": cookie}).text for cookie in ("", "unit=in", "unit=mm")]
    assert len({answer(text) for text in texts}) == 1


def test_tracking_parameters_on_a_shared_link_do_no_harm(client: Any) -> None:
    assert client.get("/?sight_width=455&utm_source=letter&sight_width_mm=x").status_code == 200


def test_the_last_of_a_field_sent_twice_counts(client: Any) -> None:
    assert answer(client.get("/?sight_width=200&sight_width=455").text) == answer(client.get("/?sight_width=455").text)


# a part of the page


@pytest.mark.parametrize("query", [{}, {"hold": "loose", "sight_width": "900", "groove_depth": "4"}, BAD])
def test_the_part_is_contained_in_the_page(client: Any, fragment: dict[str, str], query: dict[str, str]) -> None:
    page, part = client.get("/", params=query), client.get("/", params=query, headers=fragment)
    assert part.status_code == page.status_code
    sheet = part.text[part.text.index('<div class="split"') : part.text.index('<div id="status"')].strip()
    assert sheet in page.text
    assert "<html" not in part.text
    assert "<datalist" not in part.text


def test_the_part_brings_the_title_and_the_status_line(client: Any, fragment: dict[str, str]) -> None:
    text = client.get("/", headers=fragment).text
    assert TITLE in text
    line = r'<div id="status" role="status" hx-swap-oob="innerHTML"><p>It fits: groove [\d.]+ mm, panel'
    assert re.search(line, text)


def test_the_page_brings_an_empty_status_line(client: Any) -> None:
    text = client.get("/").text
    assert '<div id="status" class="visually-hidden" role="status"></div>' in text
    assert "hx-swap-oob" not in text


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ({"sight_width": "wide"}, "One entry needs another look."),
        (BAD, "5 entries need another look."),
        ({"groove_depth": "2"}, "It does not fit: groove 2.0 mm, panel"),
    ],
)
def test_the_status_line_tells_the_outcome(
    client: Any, fragment: dict[str, str], query: dict[str, str], said: str
) -> None:
    assert said in client.get("/", params=query, headers=fragment).text


def test_the_form_works_with_and_without_a_script(client: Any) -> None:
    text = client.get("/").text
    [form] = re.findall(r'<form class="card stack"[^>]*>', text)
    assert 'method="get" action="/"' in form
    assert 'hx-get="/"' in form
    assert 'hx-target="#sheet" hx-swap="outerMorph"' in form
    assert 'hx-replace-url="true"' in form
    assert 'hx-status:5xx="swap:none push:false replace:false"' in form
    assert '<button class="button primary" type="submit">' in text


# units


def test_inches_have_defaults_of_their_own(client: Any) -> None:
    page = Page(client.get("/?unit=in").text)
    assert page.sent["sight_width"] == '12"'
    assert page.sent["least_engagement"] == '5/32"'
    shown = plain(answer(client.get("/?unit=in").text))
    assert re.search(r'Width to cut 12 \d+/\d+"', shown)
    assert " mm" not in shown


def test_the_unit_is_remembered(client: Any) -> None:
    assert "unit=in" in client.get("/?unit=in", headers={"Cookie": "unit=mm"}).headers["set-cookie"]
    assert '12"' in Page(client.get("/", headers={"Cookie": "unit=in"}).text).sent["sight_width"]


def test_switching_the_unit_keeps_what_was_typed_and_the_answer(client: Any) -> None:
    query = {"unit": "mm", "sight_width": "441.3", "groove_depth": "9", "cutter_depths": "6; 9", "width_step": "0.2"}
    text = client.get("/", params=query).text
    switched = other_unit(text, "in")
    assert switched["sight_width"] == "441.3 mm"
    assert switched["groove_depth"] == "9 mm"
    assert switched["cutter_depths"] == "6 mm; 9 mm"
    assert switched["width_step"] == f"{25.4 / 32:.12g}"
    there = client.get("/", params=switched)
    assert there.status_code == 200
    back = other_unit(there.text, "mm")
    assert back["sight_width"] == "441.3 mm"
    assert back["width_step"] == "0.2"
    assert answer(client.get("/", params=back).text) == answer(text)


def test_switching_the_unit_leaves_alone_what_tells_its_own_unit_or_cannot_be_read(client: Any) -> None:
    query = {
        "unit": "in",
        "sight_width": "17 3/8″",
        "groove_depth": "9mm",
        "panel_width": "wide",
        "least_gap": "1/32 in",
    }
    assert other_unit(client.get("/", params=query).text, "mm") == query | {"unit": "mm"}


# refusals

MM = "Allowed is 10 to 3000 mm."
INCHES = 'Allowed is 13/32" to 118".'


@pytest.mark.parametrize(
    ("query", "field", "said"),
    [
        ({"sight_width": ""}, "sight_width", "Fill this in; allowed is 10 to 3000 mm."),
        ({"sight_width": "   "}, "sight_width", "Fill this in; allowed is 10 to 3000 mm."),
        ({"sight_width": "wide"}, "sight_width", MM),
        ({"sight_width": "NaN"}, "sight_width", MM),
        ({"sight_width": "inf"}, "sight_width", MM),
        ({"sight_width": "1e400"}, "sight_width", MM),
        ({"sight_width": "-300"}, "sight_width", MM),
        ({"sight_width": "3001"}, "sight_width", MM),
        ({"sight_width": "17 3/8"}, "sight_width", MM),
        ({"sight_width": "1,234"}, "sight_width", MM),
        ({"sight_width": "9" * 5000}, "sight_width", MM),
        ({"sight_width": "\x00"}, "sight_width", MM),
        ({"sight_width": "wide", "unit": "in"}, "sight_width", INCHES),
        ({"sight_width": "1/8", "unit": "in"}, "sight_width", INCHES),
        ({"sight_height": "5"}, "sight_height", "Allowed is 10 to 3000 mm."),
        ({"ring_angle": "91"}, "ring_angle", "Allowed is 0 to 90°."),
        ({"ring_angle": "steep"}, "ring_angle", "Allowed is 0 to 90°."),
        ({"moisture_now": ""}, "moisture_now", "Fill this in; allowed is 1 to 30 %."),
        ({"moisture_now": "0"}, "moisture_now", "Allowed is 1 to 30 %."),
        ({"moisture_now": "1e1"}, "moisture_now", "Allowed is 1 to 30 %."),
        ({"groove_depth": "0"}, "groove_depth", "Allowed is 1 to 100 mm."),
        ({"panel_width": "5"}, "panel_width", "Allowed is 10 to 3500 mm."),
        ({"cutter_step": "0"}, "cutter_step", "Allowed is 0.01 to 25.4 mm."),
        ({"cutter_depths": "6; 300"}, "cutter_depths", "Allowed is 1 to 100 mm."),
        ({"cutter_depths": "6; x"}, "cutter_depths", "Allowed is 1 to 100 mm."),
        ({"least_engagement": "60"}, "least_engagement", "Allowed is 0 to 50 mm."),
        ({"least_gap": "-1"}, "least_gap", "Allowed is 0 to 25 mm."),
        ({"making_tolerance": "11"}, "making_tolerance", "Allowed is 0 to 10 mm."),
        ({"fixed_engagement": "51"}, "fixed_engagement", "Allowed is 0 to 50 mm."),
        ({"tongue_thickness": "0.5"}, "tongue_thickness", "Allowed is 1 to 50 mm."),
        ({"end_play": "26"}, "end_play", "Allowed is 0 to 25 mm."),
        ({"width_step": "7"}, "width_step", "Choose one of 0.1 mm"),
        ({"hold": "glued"}, "hold", "Choose one of Centred, Loose, One edge."),
        ({"species": ""}, "species", "Fill this in."),
        ({"species": "Chery"}, "species", "did you mean “Cherry, black”"),
        ({"species": "x" * 5000}, "species", "Allowed is 1 to 120 characters."),
        ({"year": "sometimes"}, "year", "Choose one of Two moisture contents"),
        (
            {"moisture_dry": "12"},
            "moisture_wet",
            "Wettest moisture content is 11 %; allowed is 12 to 30 % (from the driest up).",
        ),
        ({"moisture_wet": "29.5"}, "moisture_wet", "Moisture content is 29.5 %; allowed is 0 to 28.8"),
        ({"moisture_dry": "", "moisture_wet": "11"}, "moisture_dry", "Fill this in; allowed is 0.5 to 30 %."),
        ({"year": "air", "dry_humidity": "120"}, "dry_humidity", "Allowed is 0 to 100 %."),
        ({"year": "air", "wet_temperature": "200"}, "wet_temperature", "Allowed is −35 to 93.3 °C."),
        ({"year": "place", "place": "Atlantis"}, "place", "This is not in the list, or no longer"),
        ({"year": "place", "heating": "99"}, "heating", "Allowed is 5 to 35 °C."),
        ({"year": "place", "heating": "25", "cooling": "20"}, "cooling", "allowed is 25 to 35 °C."),
        ({"year": "saved", "saved_climate": "gone"}, "saved_climate", "Choose one of"),
    ],
)
def test_a_bad_entry_is_told_at_its_field_with_what_is_allowed(
    client: Any, query: dict[str, str], field: str, said: str
) -> None:
    response = client.get("/", params=query)
    assert response.status_code == 422
    page = Page(response.text)
    errors = [id for id in page.all_ids if id.endswith("-error")]
    assert errors == [f"{field}-error"]
    [message] = re.findall(rf'id="{field}-error">(.*?)</p>', response.text, re.DOTALL)
    assert said in plain(message)
    first = page.ids[field]
    described = first.get("aria-describedby", "")
    if first.get("type") != "radio":
        assert first["aria-invalid"] == "true"
        assert described.split()[0] == f"{field}-error"
        assert all(one in page.ids for one in described.split())
    assert f'<a href="#{field}">' in response.text
    assert all(page.sent[name] == text for name, text in query.items() if name not in _CHOICES)
    assert "It fits" not in response.text
    assert "No answer yet" in response.text


_CHOICES = {"width_step", "hold", "year", "place", "saved_climate"}
"""A choice that there is not cannot be shown as chosen."""


def test_all_that_is_wrong_is_told_at_once_and_everything_typed_is_kept(client: Any) -> None:
    response = client.get("/", params=BAD)
    page = Page(response.text)
    errors = {id.removesuffix("-error") for id in page.all_ids if id.endswith("-error")}
    assert errors == (set(BAD) - {"moisture_dry"}) | {"moisture_wet"}
    assert {name: page.sent[name] for name in BAD} == BAD
    summary = response.text.partition('id="error-summary"')[2].partition("</div>")[0]
    assert "5 entries need another look" in summary
    assert set(re.findall(r'href="#(\w+)"', summary)) == errors
    assert page.ids["error-summary"]["tabindex"] == "-1"


def test_the_summary_takes_the_focus_but_not_from_the_field_that_one_has_gone_on_to(
    client: Any, fragment: dict[str, str]
) -> None:
    for headers, takes in (({}, True), (fragment, True), (fragment | {"Asked-By": "change"}, False)):
        summary = Page(client.get("/", params=BAD, headers=headers).text).ids["error-summary"]
        assert ("autofocus" in summary) is takes


def test_a_bad_entry_among_the_folded_fields_unfolds_them(client: Any) -> None:
    assert "<details>" in client.get("/").text
    assert "<details open>" in client.get("/?least_gap=x").text
    assert "<details open>" in client.get("/?groove_depth=9").text


def test_fields_of_another_year_keep_what_was_typed_and_refuse_nothing(client: Any) -> None:
    typed = {"moisture_dry": "dry!", "moisture_wet": "7", "dry_humidity": "999", "cooling": "", "heating": "x"}
    response = client.get("/", params=typed | {"year": "outdoors", "place": "Lisbon"})
    assert response.status_code == 200
    page = Page(response.text)
    assert {name: page.sent[name] for name in typed} == typed
    assert page.sent["place"] == "Lisbon"
    assert 'type="hidden" name="heating"' in response.text


def test_a_value_that_the_core_refuses_is_put_at_its_field(client: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise RangeError("groove depth", 130.0, 1, 100, "mm")

    monkeypatch.setattr(panel, "result", refuse)
    response = client.get("/", params={"unit": "in", "sight_width": "31 3/4"})
    assert response.status_code == 422
    assert Page(response.text).sent["sight_width"] == "31 3/4"
    assert 'Groove depth is 5 1/8"; allowed is 3/64" to 3 7/8".' in plain(response.text)


@pytest.mark.parametrize("name", [*NAMES, "unit", "saved_climate", "other"])
def test_what_is_typed_is_shown_and_not_run(client: Any, name: str) -> None:
    attack = "\"'><script>alert(1)</script><svg onload=alert(1)>"
    for year in ("moisture", "air", "place", "saved"):
        text = client.get("/", params={"year": year, name: attack}).text
        assert "<script>alert" not in text
        assert "<svg onload" not in text


# the answer


def test_a_panel_that_cannot_fit_is_told_why_and_what_mends_it(client: Any) -> None:
    response = client.get("/", params={"groove_depth": "5", "moisture_dry": "4", "moisture_wet": "14"})
    assert response.status_code == 200
    text = plain(answer(response.text))
    assert "It does not fit" in text
    assert "no width works in this groove" in text
    assert re.search(r"In the driest season it keeps too little: the panel is \d+\.\d mm too narrow", text)
    assert re.search(r"In the wettest season it has too little room: the panel is \d+\.\d mm too wide", text)
    mended = re.search(r"Cut the groove ([\d.]+) mm deep", text)
    assert mended
    again = client.get("/", params={"groove_depth": mended[1], "moisture_dry": "4", "moisture_wet": "14"})
    assert "It fits" in again.text
    assert 'class="badge' not in answer(response.text)
    assert "than a neutral fit" not in text


@pytest.mark.parametrize(
    ("now", "said"),
    [
        ("6", "looser per edge than a neutral fit: at 6.0 % the panel is drier than the middle of what it will meet"),
        ("11", "tighter per edge than a neutral fit: at 11.0 % the panel is wetter than the middle of what it will"),
        ("8.5", "Today's moisture (8.5 %) is near the middle of what it will meet (8.5 %): fit it neutral."),
    ],
)
def test_the_bias_is_told_with_its_direction(client: Any, now: str, said: str) -> None:
    assert said in plain(client.get("/", params={"moisture_now": now}).text)


def test_a_panel_fixed_at_one_edge_is_told_and_drawn(client: Any) -> None:
    text = client.get("/", params={"hold": "one edge", "fixed_engagement": "5"}).text
    assert "Gap today, moving edge" in text
    assert "fixed edge 5.0 mm deep in its groove" in text
    assert "Fixed edge, all year" in text


def test_a_loose_panel_is_told_and_drawn_slid_over(client: Any) -> None:
    text = client.get("/", params={"hold": "loose"}).text
    assert "with the panel centred" in text
    assert 'class="ghost"' in text
    assert "slid into the other groove" in text


def test_the_width_that_is_shown_is_one_that_works(client: Any) -> None:
    for sight in range(100, 1000, 37):
        found = client.get("/", params={"sight_width": str(sight), "making_tolerance": "0", "groove_depth": "9"}).text
        match = re.search(r"Width to cut</dt>\s*<dd class=\"value\">([\d.]+)", found)
        assert match
        query = {"sight_width": str(sight), "making_tolerance": "0", "groove_depth": "9", "panel_width": match[1]}
        assert ("It fits" in client.get("/", params=query).text) is ("It fits" in found)


def test_the_length_is_told_where_the_height_is(client: Any) -> None:
    assert "Length to cut" not in client.get("/").text
    text = plain(client.get("/", params={"sight_height": "500", "groove_depth": "9", "end_play": "1"}).text)
    assert "Length to cut 516.0 mm along the grain" in text


def test_the_states_of_the_year_are_told(client: Any) -> None:
    text = plain(client.get("/").text)
    assert re.search(r"Today 8\.0 % [\d.]+ mm [\d.]+ mm [\d.]+ mm Neutral 8\.5 %", text)
    assert "Driest 6.0 %" in text
    assert "Wettest 11.0 %" in text


def test_the_sources_are_told(client: Any) -> None:
    text = plain(client.get("/?species=teak").text)
    assert "FPL-GTR-190, eq. 13-2 (read in the publication) and eq. 13-3 (from memory)" in text
    assert "FPL-GTR-190 Table 13-5" in text
    assert "from memory" in text
    assert "extractives" in text


def test_nothing_is_ever_said_to_be_safe(client: Any) -> None:
    for query in ({}, {"groove_depth": "3"}, {"hold": "loose", "year": "outdoors"}):
        assert not re.search(r"\bsafe\b", plain(client.get("/", params=query).text), re.IGNORECASE)


def test_every_wood_is_suggested(client: Any) -> None:
    text = client.get("/").text
    offered = html.unescape(text.partition('<datalist id="species-names">')[2].partition("</datalist>")[0])
    assert all(
        f'<option value="{html.escape(one.name)}">' in offered or one.name in offered for one in species.catalogue()
    )
    assert 'list="species-names"' in text


def test_any_name_of_a_wood_is_taken(client: Any) -> None:
    texts = [
        client.get("/", params={"species": name}).text for name in ("Cherry, black", "black cherry", "PRUNUS serotina")
    ]
    assert len({answer(text) for text in texts}) == 1


@pytest.fixture
def stocked(app: FastAPI) -> FastAPI:
    """An app that keeps a species and a climate."""
    app.state.store.save_species(
        "Apple", '{"name": "Apple", "coefficient_radial": 0.0019, "coefficient_tangential": 0.0036}'
    )
    app.state.store.save_climate("Boathouse", '{"kind": "moisture", "dry_pct": 8, "wet_pct": 18}')
    return app


def test_a_species_of_the_maker_s_own_is_offered_and_used(stocked: FastAPI, portal: Any, still: Any) -> None:
    client = type(still)(stocked, portal)
    text = client.get("/", params={"species": "apple"}).text
    assert '<option value="Apple">' in text
    assert "Movement across the grain 0.36 % of the width per 1 % moisture" in plain(text)
    client.close()


def test_a_saved_climate_is_offered_and_used(stocked: FastAPI, portal: Any, still: Any) -> None:
    client = type(still)(stocked, portal)
    [kept] = [one for one in stocked.state.store.climates() if one.name == "Boathouse"]
    text = plain(answer(client.get("/", params={"year": "saved", "saved_climate": kept.id}).text))
    assert "Driest 8.0 %" in text
    assert "Wettest 18.0 %" in text
    stocked.state.store.delete_climate(kept.id)
    gone = client.get("/", params={"year": "saved", "saved_climate": kept.id})
    assert gone.status_code == 422
    client.close()


def test_the_question_can_be_answered_without_a_request(still: Any) -> None:
    page = gap.answer({"sight_width": "300"}, "mm", still.app.state.store)
    assert page.result is not None
    assert page.result.fits
    assert page.status.startswith("It fits: groove 7.0 mm")


@pytest.mark.parametrize(("unit", "depth"), [("mm", "8.0 mm"), ("in", '5/16"')])
def test_a_groove_that_takes_a_width_in_whole_steps_is_one_press_away(client: Any, unit: str, depth: str) -> None:
    page = client.get("/", params={"unit": unit}).text
    [(address, told)] = re.findall(r'href="(/\?[^"]*groove_depth=[^"]*)">Groove it (.*?) deep, for a width', page)
    assert html.unescape(told).replace("\xa0", " ") == depth
    then = client.get(html.unescape(address)).text
    assert "deep, for a width in whole steps" not in then
    assert "No width in whole steps" not in then


def test_no_other_groove_is_offered_where_the_width_is_in_whole_steps_or_given(client: Any) -> None:
    for asked in ({"groove_depth": "9"}, {"panel_width": "310"}, {"width_step": "0.1", "groove_depth": "8"}):
        assert "deep, for a width in whole steps" not in client.get("/", params=asked).text
