"""The pages of the kinds of parts: each works bare, its address is the question, refusals land at their fields."""

import html
import re
from typing import Any
from urllib.parse import urlencode

import pytest

from movement import lengths
from movement.lengths import Unit
from movement.parts import slats
from movement.parts import slot as slots
from movement.parts.slats import SlatsRequest
from movement.parts.slot import SlotRequest
from tests.webapp.reading import plain
from webapp import measures
from webapp.kinds.catalogue import KINDS
from webapp.words import Words

KEYS = [kind.key for kind in KINDS]
APPLE = {"name": "Apple, from the garden", "coefficient_tangential": "0.00376", "coefficient_radial": "0.00205"}


def figures(text: str) -> dict[str, str]:
    """The answer's figures by name."""
    found = re.findall(r'<div class="figure[^"]*">\s*<dt>(.*?)</dt>\s*<dd class="value">(.*?)</dd>', text, re.DOTALL)
    return {html.unescape(name): html.unescape(re.sub(r"<[^>]+>", "", value)).strip() for name, value in found}


def year(text: str) -> dict[str, list[str]]:
    """The first table's rows by state."""
    body = text[text.index("<tbody>") : text.index("</tbody>")]
    lines = re.findall(r'<th scope="row">(.*?)</th>(.*?)</tr>', body, re.DOTALL)
    return {
        name: [html.unescape(cell) for cell in re.findall(r'<td class="num">(.*?)</td>', rest)] for name, rest in lines
    }


def error_at(text: str, name: str) -> str:
    """The message at a field."""
    found = re.search(rf'id="{name}-error"><span class="visually-hidden">Error: </span>(.*?)</p>', text)
    return html.unescape(found[1]) if found else ""


def headline(text: str) -> str:
    found = re.search(r'<h2 id="answer-title">(.*?)</h2>', text)
    return html.unescape(found[1]) if found else ""


def ask(client: Any, key: str, **query: str) -> Any:
    return client.get(f"/parts/{key}", params=query)


def test_the_list_leads_to_a_page_of_every_kind(still: Any) -> None:
    text = still.get("/parts").text
    links = re.findall(r'<li><a href="(/[^"]*)"><strong>', text)
    assert links == ["/", *(f"/parts/{key}" for key in KEYS)]
    assert all(still.get(link).status_code == 200 for link in links)
    assert 'href="/parts" aria-current="page"' in text


def test_the_list_has_a_sentence_for_each(still: Any) -> None:
    text = html.unescape(still.get("/parts").text)
    for kind in KINDS:
        assert kind.about in text
        assert kind.about.endswith(".")


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("key", KEYS)
def test_the_bare_page_answers(still: Any, key: str, unit: str) -> None:
    response = still.get(f"/parts/{key}?unit={unit}")
    assert response.status_code == 200
    text = response.text
    assert headline(text)
    assert 3 <= len(figures(text)) <= 6
    assert list(year(text)) == ["Today", "Driest", "Wettest"]
    assert [cells[0] for cells in year(text).values()] == ["8.0 %", "6.0 %", "11.0 %"]
    assert text.count('<svg viewBox="0 0 360') + text.count('<svg class="tall" viewBox="0 0 360') >= 1
    assert "Wood Handbook" in text
    assert 'href="/parts" aria-current="page"' in text
    assert ("mm</span>" in text) == (unit == "mm")


@pytest.mark.parametrize("key", KEYS)
def test_nothing_on_it_needs_a_script(still: Any, key: str) -> None:
    text = still.get(f"/parts/{key}").text
    assert f'method="get" action="/parts/{key}"' in text
    assert '<button class="button primary" type="submit">' in text
    assert not re.search(r"<script(?![^>]*\bsrc=)|\sstyle=|\son[a-z]+=", text)


def test_a_drawer_front_is_cut_to_its_opening(still: Any) -> None:
    """Opening 150, reveals 1 and 1: (150 - 2)/rho_w = 148/1.007477 = 146.90 mm, down to a whole half: 146.5 mm.

    Driest, the widest reveal: 149 - 146.5 x 0.995015 = 3.23 mm, rounded up: 3.3 mm.
    """
    text = ask(still, "front", opening="150", least_reveal="1", fixed_reveal="1").text
    assert figures(text)["Height to cut today"] == "146.5 mm"
    assert year(text)["Driest"][2] == "3.3 mm"


def test_in_inches_lengths_are_fractions(still: Any) -> None:
    """A slot 16 in from the fixed place: 16 in x 0.747 % = 0.1196 in, up to 1/64 in: 1/8 in."""
    text = ask(still, "slot", unit="in", distance='16"', screw='3/16"').text
    assert figures(text)["Outward"] == '1/8"'
    assert figures(text)["Inward"] == '3/32"'


@pytest.mark.parametrize("key", KEYS)
def test_the_fragment_is_a_part_of_the_page(still: Any, key: str, fragment: dict[str, str]) -> None:
    page, part = still.get(f"/parts/{key}").text, still.get(f"/parts/{key}", headers=fragment).text
    assert "<html" not in part
    assert part[part.index('<div class="split" id="sheet">') : part.index('<div id="status"')].strip() in page
    assert f'hx-swap-oob="innerHTML"><p>{headline(part)}: ' in html.unescape(part)


def test_the_unit_switch_follows_what_is_typed(still: Any, fragment: dict[str, str]) -> None:
    part = still.get("/parts/front?opening=180", headers=fragment).text
    links = part[part.index('<nav id="units" hx-swap-oob="innerHTML">') :]
    assert "opening=180+mm&amp;unit=in" in links
    assert '<nav class="switch" id="units"' in still.get("/parts/front").text


def test_a_refused_fragment_counts_its_entries(still: Any, fragment: dict[str, str]) -> None:
    part = still.get("/parts/door?opening=0&stile_width=x", headers=fragment)
    assert part.status_code == 422
    assert ">2 entries need another look.</p>" in part.text


@pytest.mark.parametrize(
    ("key", "query", "field", "words"),
    [
        ("boards", {"opening": "0"}, "opening", "Allowed is 20 to 5000 mm."),
        ("boards", {"opening": ""}, "opening", "Fill this in; allowed is 20 to 5000 mm."),
        ("boards", {"opening": "wide"}, "opening", "is not a length"),
        ("boards", {"boards": "2.5", "board_face": ""}, "boards", "“2.5” is not a whole number."),
        ("boards", {"boards": "500", "board_face": ""}, "boards", "Board face is"),
        ("boards", {"species": "Plastic"}, "species", "Plastic"),
        ("boards", {"species": ""}, "species", "Fill this in"),
        ("boards", {"stock_widths": "100; x"}, "stock_widths", "is not a length"),
        ("boards", {"profile": "dovetail"}, "profile", "Choose one of Tongue and groove, Shiplap, Loose tongue."),
        ("boards", {"size_step": "7"}, "size_step", "Choose one of"),
        (
            "drawer",
            {"opening_height": "10"},
            "opening_height",
            "Height of the side is 9.43 mm; allowed is 10 to 1000 mm",
        ),
        ("drawer", {"case_depth": "80"}, "case_depth", "allowed is 80 to 2000 mm"),
        ("drawer", {"bottom_species": "Plastic"}, "bottom_species", "Plastic"),
        ("joint", {"glued": "95"}, "glued", "Glued width is 95 mm; allowed is 0 to 90 mm (the width of the tenon"),
        ("joint", {"tenons": "3", "between": "80"}, "between", "Room between tenons is 80 mm; allowed is 1 to 37.5 mm"),
        ("front", {"opening": "10", "least_reveal": "9"}, "opening", "allowed is"),
        ("front", {"least_reveal": "2", "greatest_reveal": "1"}, "greatest_reveal", "allowed is 2 to 25 mm"),
        ("front", {"fixed_edge": "hinge"}, "fixed_edge", "A drawer front is held at its bottom, or centred."),
        ("door", {"stile_width": "300"}, "stile_width", "the leaf's own width"),
        ("door", {"stile_width": ""}, "stile_width", "A framed door moves by its stiles"),
        ("slot", {"moisture_now": "35"}, "moisture_now", "Allowed is 1 to 30 %."),
        ("slot", {"ring_angle": "-1"}, "ring_angle", "Allowed is 0 to 90°."),
        ("top", {"distances": "350; 500"}, "distances", "the top's farther edge"),
        ("top", {"fixed_at": "front", "fixed_inset": "900"}, "fixed_inset", "the width of the top"),
        ("breadboard", {"screw": "0"}, "screw", "Allowed is 1 to 50 mm."),
        ("slats", {"space_now": "0"}, "space_now", "Allowed is 0.1 to 1000 mm."),
        ("slats", {"space_now": "", "opening": "10000", "slats": "2"}, "slats", "Clear space is"),
        ("slats", {"moisture_dry": "12"}, "moisture_wet", "allowed is"),
    ],
)
def test_a_refusal_lands_at_its_field_and_nothing_typed_is_lost(
    still: Any, key: str, query: dict[str, str], field: str, words: str
) -> None:
    response = ask(still, key, **query)
    assert response.status_code == 422
    assert words in error_at(response.text, field)
    assert "No answer yet." in response.text
    assert not headline(response.text)
    for name, text in query.items():
        if name not in ("profile", "size_step", "fixed_edge", "fixed_at"):
            assert f'name="{name}" value="{html.escape(text)}"' in response.text


@pytest.mark.parametrize(
    ("key", "query", "words"),
    [
        ("boards", {"board_face": ""}, "Give a board face, a number of boards, or the widths of the stock."),
        ("joint", {"tenons": "2", "hold": "centred"}, "2 tenons have none at mid-width to hold"),
        (
            "slats",
            {"opening": "500"},
            "Give the clear space today, or the row's length and its number of slats, not both.",
        ),
        (
            "drawer",
            {"back_thickness": ""},
            "A bottom needs the depth of the front's groove and the thickness of the back.",
        ),
    ],
)
def test_what_does_not_go_together_is_told_at_the_head(still: Any, key: str, query: dict[str, str], words: str) -> None:
    response = ask(still, key, **query)
    assert response.status_code == 422
    summary = html.unescape(response.text[response.text.index('id="error-summary"') :].partition("</div>")[0])
    assert words in summary


@pytest.mark.parametrize("key", KEYS)
def test_the_other_unit_asks_the_same_question(still: Any, key: str) -> None:
    """Lengths that were typed bare keep their unit, so the same moistures give the same answer."""
    kind = next(one for one in KINDS if one.key == key)
    query = {one.name: one.default for one in kind.fields("mm")}
    text = still.get(f"/parts/{key}?{urlencode(query)}").text
    [link] = re.findall(rf'<a href="(/parts/{key}\?[^"]*unit=in)"', text)
    address = html.unescape(link)
    if "size_step" in query:  # the third of the unit's steps, in both
        assert (query["size_step"], f"size_step={25.4 / 16:.12g}" in address) == ("0.5", True)
    other = still.get(address)
    assert other.status_code == 200
    assert headline(other.text) == headline(text)
    for one in kind.specs:
        if one.kind == "length" and one.default:
            assert f'name="{one.name}" value="{one.default} mm"' in other.text


@pytest.mark.parametrize("key", KEYS)
def test_what_is_typed_is_never_taken_for_markup(still: Any, key: str) -> None:
    sly = '"><script>alert(1)</script>'
    kind = next(one for one in KINDS if one.key == key)
    for name in ("species", "moisture_now", *(one.name for one in kind.specs)):
        text = ask(still, key, **{name: sly}).text
        assert "<script>alert" not in text
        assert "&lt;script&gt;alert(1)" in text or "Choose one of" in text


def test_a_slab_door_keeps_its_stile_for_later(still: Any) -> None:
    response = ask(still, "door", construction="slab", stile_width="60")
    assert response.status_code == 200
    assert '<input type="hidden" name="stile_width" value="60">' in response.text
    assert "Rail between shoulders" not in figures(response.text)
    assert "Rail between shoulders" in figures(ask(still, "door", stile_width="60").text)


def test_a_field_that_means_nothing_is_not_refused(still: Any) -> None:
    assert ask(still, "door", construction="slab", stile_width="nonsense").status_code == 200
    assert ask(still, "drawer", case_grain="vertical", case_stile_width="9999").status_code == 200
    assert ask(still, "top", fixed_at="centre", fixed_inset="9999").status_code == 200
    assert ask(still, "joint", tenons="2", mortise_length="1").status_code == 200


def test_a_field_that_means_something_is_shown(still: Any) -> None:
    assert 'id="case_stile_width"' in ask(still, "drawer", case_grain="frame").text
    assert 'id="fixed_inset"' in ask(still, "top", fixed_at="back").text
    assert 'id="between"' in ask(still, "joint", tenons="2").text


def test_folded_fields_open_when_they_are_used_or_refused(still: Any) -> None:
    assert "<details>" in ask(still, "front").text
    assert "<details open>" in ask(still, "front", made="148").text
    assert "<details open>" in ask(still, "front", making_tolerance="99").text


def test_a_front_that_is_made_is_planed(still: Any) -> None:
    """Made 148 mm, to cut 146.5: 1.5 mm off."""
    text = ask(still, "front", made="148").text
    assert headline(text) == "It does not fit"
    assert figures(text)["Plane off today"] == "1.5 mm"
    assert "Plane 1.5 mm off its height today" in html.unescape(text)


def test_a_pair_of_doors_meets_in_the_middle(still: Any) -> None:
    text = ask(still, "door", leaves="2").text
    assert {"Width of each leaf today", "Gap between the leaves today"} <= figures(text).keys()


def test_slats_carry_their_cautions_and_no_verdict(still: Any) -> None:
    for query in ({}, {"limit": "15.4"}, {"limit": "15"}, {"limit": "100"}, {"limit": "5", "limit_kind": "least"}):
        text = html.unescape(ask(still, "slats", **query).text)
        assert "This gap varies with the season." in text
        assert "it does not show compliance with any rule" in text
        assert "Ask the local authority or a licensed professional." in text
        assert text.index("This gap varies") < text.index("The clear space between two slats")
        assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
        assert "It fits" not in text


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({}, "Clear space through the year"),
        ({"limit": "100"}, "Within your limit, by this estimate"),
        ({"limit": "15.4"}, "It may pass your limit"),
        ({"limit": "15.2"}, "Past your limit"),
        ({"space_now": "0.3", "making_tolerance": "0"}, "The slats would touch"),
    ],
)
def test_slats_are_held_against_the_limit(still: Any, query: dict[str, str], words: str) -> None:
    """15 mm today; 15 + 60 x 0.498 % = 15.3 mm in the driest season, 0.5 mm of making tolerance beside it."""
    assert headline(ask(still, "slats", **query).text) == words


def test_the_widest_space_is_never_rounded_down(still: Any) -> None:
    """15 + 60 x 0.4985 % = 15.299 mm and 15 - 60 x 0.7477 % = 14.551 mm."""
    found = year(ask(still, "slats").text)
    assert found["Driest"][1] == "15.3 mm"
    assert found["Wettest"][1] == "14.5 mm"


def test_a_heated_room_is_a_year_too(still: Any) -> None:
    text = ask(still, "top", year="place", place="Stockholm").text
    assert "Stockholm, a room heated to 20 °C" in text
    assert 'name="moisture_dry" value="6"' in text


@pytest.mark.parametrize("key", ["boards", "front", "door", "joint", "top", "slot", "breadboard"])
def test_a_part_that_follows_late_counts_with_less_and_says_so(still: Any, key: str) -> None:
    year = {"year": "air", "dry_humidity": "30", "wet_humidity": "70", "moisture_now": "9"}
    whole = ask(still, key, **year).text
    late = ask(still, key, following="lagged", thickness="40", finish="Spar varnish, 2 coats", **year).text
    assert 'name="following"' in whole
    assert "Late and damped, the fit counts with" not in plain(whole)
    assert "Late and damped, the fit counts with" in plain(late)
    moistures = [
        [float(one) for one in re.findall(r"(?:Driest|Wettest)</th><td class=\"num\">([0-9.]+) %", text)]
        for text in (whole, late)
    ]
    assert moistures[0][0] < moistures[1][0] < moistures[1][1] < moistures[0][1]
    assert "Films of finishes" in plain(late)


@pytest.mark.parametrize("key", ["drawer", "slats"])
def test_what_has_several_thicknesses_or_a_limit_of_safety_takes_the_full_swing(still: Any, key: str) -> None:
    answer = ask(still, key, following="lagged", thickness="40")
    assert answer.status_code == 200
    assert 'name="following"' not in answer.text
    assert "Late and damped" not in plain(answer.text)


def test_a_thickness_is_asked_for_where_a_part_follows_late(still: Any) -> None:
    answer = ask(still, "front", following="lagged", thickness="")
    assert answer.status_code == 422
    assert "needs its thickness" in error_at(answer.text, "thickness")


def test_what_does_not_fit_tells_why_first_and_shows_no_size_as_good(still: Any) -> None:
    text = ask(still, "front", made="149.9").text
    answer = text.partition('aria-labelledby="answer-title"')[2].partition("</section>")[0]
    assert "It does not fit" in answer
    assert answer.index('class="sentence"') < answer.index('class="figures moot"')
    assert "figure main" not in answer


@pytest.mark.parametrize("key", ["front", "door"])
def test_fingers_are_minded_at_fronts_and_doors(still: Any, key: str) -> None:
    told = plain(ask(still, key).text)
    assert "can trap fingers" in told
    assert "does not show compliance" in told
    assert "local authority" in told


def test_the_makers_own_species_can_be_named(client: Any) -> None:
    client.post("/species", data=APPLE)
    text = ask(client, "slot", species="apple, from the garden").text
    assert "0.38 % of the width per 1 % moisture" in text
    assert "Apple, from the garden" in text


def test_notes_on_a_species_are_shown(still: Any) -> None:
    assert "rich in extractives" in ask(still, "boards", species="Teak").text


def test_the_drawers_bottom_may_be_of_another_wood(still: Any) -> None:
    alike, other = ask(still, "drawer").text, ask(still, "drawer", bottom_ring_angle="90").text
    assert figures(alike)["Height of the sides"] == figures(other)["Height of the sides"]
    assert figures(alike)["Slot beyond the screw"] != figures(other)["Slot beyond the screw"]


def test_there_is_no_page_of_another_kind(still: Any) -> None:
    assert still.get("/parts/wheel").status_code == 404


def test_every_field_of_a_kind_fills_a_key_of_its_request() -> None:
    for kind in KINDS:
        for one in kind.fields("mm"):
            assert one.target in kind.request.model_fields, (kind.key, one.name)
        assert set(kind.folded) <= {one.name for one in kind.specs}
        assert kind.inches.keys() <= {one.name for one in kind.specs}


def test_every_length_that_has_a_default_has_one_in_inches() -> None:
    for kind in KINDS:
        for one in kind.specs:
            if one.kind in ("length", "lengths") and one.default not in ("", "0"):
                assert one.name in kind.inches, (kind.key, one.name)


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("distance", ["287 mm", "288.925 mm", "300 mm", "311.1 mm", "402.9 mm", "512.6 mm"])
@pytest.mark.parametrize("screw", ["3/16 in", "5 mm"])
def test_a_slot_as_marked_out_reaches_every_place_of_its_screw(unit: Unit, distance: str, screw: str) -> None:
    """Outer end and length are all that the maker marks: what is left is the inner end."""
    asked = SlotRequest(
        species="Cherry, black",
        ring_angle_deg=0,
        moisture_now_pct=8,
        moisture_dry_pct=6,
        moisture_wet_pct=12,
        distance_mm=lengths.read(distance),
        screw_mm=lengths.read(screw),
    )
    made = slots.slot_result(asked, asked.bench())
    told = slots.marked(made, Words(unit).bench)
    outer, long = lengths.read(told.outer_end), lengths.read(told.length)
    step = lengths.STEPS[unit][0]
    assert outer >= made.outward_mm + asked.screw_mm / 2 - 1e-9
    assert long - outer >= made.inward_mm + asked.screw_mm / 2 - 1e-9
    assert long >= lengths.read(told.outward) + lengths.read(told.inward) + asked.screw_mm - 1e-9
    assert long < made.slot_mm + 4 * step


DRY_WET = {"moisture_dry": "6", "moisture_wet": "12"}


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("kind", ["most", "least"])
def test_a_clear_space_to_leave_keeps_the_limit_as_it_is_written(unit: Unit, kind: str) -> None:
    asked = {"species": "Cherry, black", "ring_angle_deg": 0, "moisture_now_pct": 8, "moisture_dry_pct": 6}
    for space in (17.84, 17.855, 17.97, 18.013, 18.05):
        more = {"moisture_wet_pct": 12, "slat_width_mm": 60, "space_now_mm": space, "limit_kind": kind}
        first = SlatsRequest.model_validate(asked | more)
        sized = slats.result(first, first.bench())
        limit = sized.space_dry_mm + 0.02 if kind == "most" else sized.space_wet_mm - 0.02
        needs = SlatsRequest.model_validate(asked | more | {"limit_mm": limit})
        made = slats.result(needs, needs.bench())
        assert made.within_limit
        written = lengths.read(measures.clear(made).said(Words(unit)))
        again = SlatsRequest.model_validate(asked | more | {"limit_mm": limit, "space_now_mm": written})
        assert slats.result(again, again.bench()).within_limit
        middle = lengths.read(measures.pitch(made).said(Words(unit)))
        assert (middle <= made.pitch_mm + 0.0201) if kind == "most" else (middle >= made.pitch_mm - 0.0201)


def test_what_is_left_to_a_limit_is_rounded_down(still: Any) -> None:
    """By hand: 15 + 60 × (10 % − 6 %) × 0.248 % = 15.595; 15.79 − 15.595 = 0.195."""
    query = {"species": "Cherry, black", "ring_angle": "0", "slat_width": "60", "space_now": "15", "limit": "15.79"}
    text = plain(ask(still, "slats", **query, making_tolerance="0", moisture_now="10", **DRY_WET).text)
    assert "Left to the limit at the worst of the year +0.1 mm" in text


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_row_is_marked_from_one_end(still: Any, unit: Unit) -> None:
    """Rounded each from the exact place, no error adds up: the last slat ends one space from the other end."""
    query = {"slat_width": "45 mm", "space_now": "", "opening": "913 mm", "slats": "11", "unit": unit}
    text = ask(still, "slats", **query).text
    found = text[text.index("The near edge of every slat") :]
    marks = re.findall(r'<td class="num">(.*?)</td>', found[: found.index("</table>")])
    told = [lengths.read(html.unescape(mark), unit) for mark in marks]
    space = (913 - 11 * 45) / 12
    assert told == pytest.approx([space + place * (45 + space) for place in range(11)], abs=0.2)
    assert told[-1] + 45 + space == pytest.approx(913, abs=0.2)
