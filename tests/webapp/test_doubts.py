"""How sure a panel is to be: asked, answered with chances and with what would help; of one panel and of a piece."""

import html
import re
from dataclasses import replace
from typing import Any

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement import prospects
from movement.fits import chance, survival
from movement.parts.spread import SpreadFields
from movement.piece import Frame, Piece
from movement.spread import MARKS, Spread
from webapp import doubts, humidities, worked
from webapp import prospects as worded

from . import paper_cases
from .reading import refusal, section

ASKED = {
    "species": "Oak, red: northern red",
    "sight_width": "420",
    "hold": "loose",
    "confidence": "95",
    "meter_error": "2",
}
BODY = {
    "species": "Oak, red: northern red",
    "sight_width_mm": 420,
    "hold": "loose",
    "moisture_now_pct": 8,
    "moisture_dry_pct": 6,
    "moisture_wet_pct": 11,
    "confidence_pct": 95,
    "spread": {"meter_error_pct": 2},
    "width_step_mm": 0.5,
}


# the first page


@pytest.mark.parametrize("name", doubts.NAMES)
def test_every_doubt_is_asked_with_its_default_and_its_mark(still: Any, name: str) -> None:
    text = still.get("/").text
    spec = next(one for one in doubts.specs() if one.name == name)
    assert float(spec.default) > 0
    assert f'<label for="{name}">' in text
    assert f'name="{name}" value="{spec.default}"' in text
    assert any(mark in spec.hint for mark in MARKS.values())
    assert html.escape(spec.hint, quote=False) in html.unescape(text).replace("&", "&amp;")


def test_the_defaults_are_the_core_s() -> None:
    usual = Spread()
    assert [float(one.default) for one in doubts.specs() if one.name in doubts.NAMES] == [
        usual.natural,
        usual.meter,
        usual.weather,
        usual.angle,
    ]


def test_the_answer_is_that_of_the_api(still: Any) -> None:
    text = still.get("/", params=ASKED).text
    found = still.post("/api/v1/panel", json=BODY).json()
    told = section(text, "outlook-title")
    assert f"that it binds {doubts.percent(found['chance_binds_pct'])}" in told
    assert f"that it comes out {doubts.percent(found['chance_comes_out_pct'])}" in told
    assert chance.NOTE in told
    assert f"{found['groove_depth_mm']:.1f}" in section(text, "answer-title")


def test_what_helps_most_is_listed_first_as_in_the_api(still: Any) -> None:
    told = section(still.get("/", params=ASKED).text, "outlook-title")
    found = still.post("/api/v1/savings", json=BODY).json()["savings"]
    assert len(found) >= 4
    places = [told.index(one["text"]) for one in found]
    assert places == sorted(places)
    assert [one["saved_mm"] for one in found] == sorted((one["saved_mm"] for one in found), reverse=True)


def test_as_computed_is_the_default_and_shows_the_help_for_the_usual_confidence(still: Any) -> None:
    told = section(still.get("/").text, "outlook-title")
    assert "with 95 % confidence" in told
    assert "widened" not in told
    assert "widened" in section(still.get("/", params={"confidence": "90"}).text, "outlook-title")


def test_more_confidence_asks_for_a_deeper_groove_and_lowers_the_chances(still: Any) -> None:
    depths = [
        float(re.findall(r"at least ([\d.]+) mm", section(still.get(f"/?confidence={one}").text, "answer-title"))[0])
        for one in ("", "90", "95", "99")
    ]
    assert depths == sorted(set(depths))
    assert doubts.percent(0.0) in section(still.get("/?confidence=99").text, "outlook-title")


def test_nothing_in_doubt_leaves_nothing_to_chance(still: Any) -> None:
    query = {"confidence": "99", "making_tolerance": "0"} | dict.fromkeys(doubts.NAMES, "0")
    told = section(still.get("/", params=query).text, "outlook-title")
    assert told.count("under 0.1 %") == 2
    assert "oven-drying" not in told


def test_a_blank_doubt_is_the_default(still: Any) -> None:
    one, other = (still.get("/", params={"confidence": "95", "meter_error": text}).text for text in ("", "1"))
    assert section(one, "outlook-title") == section(other, "outlook-title")


def test_lengths_are_in_the_page_s_unit(still: Any) -> None:
    told = section(still.get("/?unit=in&confidence=95").text, "outlook-title")
    assert '" less groove' in told
    assert " mm " not in told


def test_a_doubt_that_was_changed_is_shown_unfolded(still: Any) -> None:
    fold = re.compile(r"<details( open)?>\s*<summary>What is in doubt")
    assert fold.search(still.get("/").text).group(1) is None
    assert fold.search(still.get("/?meter_error=0.5").text).group(1)
    assert fold.search(still.get("/?meter_error=9").text).group(1)


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("confidence", "97", "Choose one of As computed, 90 %, 95 %, 99 %."),
        ("confidence", "sure", "Choose one of"),
        ("natural_variation", "51", "Allowed is 0 to 50 %."),
        ("natural_variation", "-1", "Allowed is 0 to 50 %."),
        ("meter_error", "5.1", "Allowed is 0 to 5 %."),
        ("meter_error", "nan", "is not a number"),
        ("year_to_year", "six", "is not a number"),
        ("ring_angle_doubt", "1e400", "is not a number"),
        ("ring_angle_doubt", "21", "Allowed is 0 to 20"),
    ],
)
def test_bad_input_is_told_at_its_field_and_kept(still: Any, name: str, typed: str, said: str) -> None:
    response = still.get("/", params={name: typed, "sight_width": "333"})
    assert response.status_code == 422
    assert said in refusal(response.text, name)
    assert "No answer yet" in response.text
    assert 'value="333"' in response.text
    if name != "confidence":
        assert f'value="{typed}"' in response.text


def test_the_fragment_is_part_of_the_page(still: Any, fragment: dict[str, str]) -> None:
    part = still.get("/", params=ASKED, headers=fragment).text
    assert section(part, "outlook-title") == section(still.get("/", params=ASKED).text, "outlook-title")


def test_what_is_typed_is_escaped(still: Any) -> None:
    text = still.get("/", params={"meter_error": '"><script>x</script>'}).text
    assert "<script>x" not in text
    assert "&lt;script&gt;x" in text


# the words


@pytest.mark.parametrize(
    ("probability", "words"),
    [
        (0.0, "under 0.1 %"),
        (0.0999, "under 0.1 %"),
        (0.1, "about 0.1 %"),
        (0.96, "about 1.0 %"),
        (1.4, "about 1 %"),
        (62.0, "about 62 %"),
        (99.5, "about 99.5 %"),
        (99.91, "over 99.9 %"),
        (100.0, "over 99.9 %"),
    ],
)
def test_a_chance_is_written_no_finer_than_it_is_known(probability: float, words: str) -> None:
    assert doubts.percent(probability) == words


# the piece page


@pytest.fixture
def store(app: Any) -> Any:
    return app.state.store


@pytest.fixture
def id(store: Any) -> str:
    piece = paper_cases.piece(frames=paper_cases.piece().frames[:3])
    return str(store.add_piece(piece.name, pieces.dump(piece)).id)


def kept(store: Any, id: str) -> Piece:
    return pieces.load(store.piece(id).document)


def test_a_piece_is_asked_how_sure_with_the_same_fields(client: Any, id: str) -> None:
    text = client.get(f"/pieces/{id}").text
    setup = text.partition(f'action="/pieces/{id}/setup"')[2].partition("</form>")[0]
    for spec in doubts.specs():
        assert f'name="{spec.name}"' in setup
        assert html.escape(spec.hint) in setup.replace("&#39;", "&#x27;")


def test_a_piece_keeps_how_sure_and_what_is_in_doubt(client: Any, store: Any, id: str) -> None:
    typed = {"confidence": "99", "meter_error": "0.5", "natural_variation": "", "ring_angle_doubt": "2"}
    assert client.post(f"/pieces/{id}/setup", data=typed).status_code == 303
    defaults = kept(store, id).defaults
    assert defaults.confidence_pct == 99
    assert defaults.spread == SpreadFields(meter_error_pct=0.5, ring_angle_doubt_deg=2)
    text = client.get(f"/pieces/{id}").text
    assert 'value="99" checked' in text
    assert 'name="meter_error" value="0.5"' in text
    assert 'name="natural_variation" value="15"' in text
    assert "<details open>\n  <summary>What is in doubt" in text
    assert client.post(f"/pieces/{id}/setup", data={"confidence": ""}).status_code == 303
    assert kept(store, id).defaults.confidence_pct is None
    assert kept(store, id).defaults.spread.meter_error_pct == 0.5


def test_a_confidence_of_a_file_s_own_stays(client: Any, store: Any) -> None:
    piece = paper_cases.piece()
    piece = piece.model_copy(update={"defaults": piece.defaults.model_copy(update={"confidence_pct": 97.5})})
    own = store.add_piece(piece.name, pieces.dump(piece)).id
    assert 'value="97.5" checked><span>97.5 %' in client.get(f"/pieces/{own}").text
    assert client.post(f"/pieces/{own}/setup", data={"confidence": "97.5", "least_gap": "1"}).status_code == 303
    assert kept(store, own).defaults.confidence_pct == 97.5


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("confidence", "97", "Choose one of"),
        ("natural_variation", "60", "Allowed is 0 to 50 %."),
        ("meter_error", "a lot", "is not a number"),
        ("year_to_year", "<b>1</b>", "is not a number"),
    ],
)
def test_a_bad_doubt_of_a_piece_is_told_at_its_field_and_kept(
    client: Any, store: Any, id: str, name: str, typed: str, said: str
) -> None:
    before = kept(store, id)
    response = client.post(f"/pieces/{id}/setup", data={name: typed, "least_gap": "1.5"})
    assert response.status_code == 422
    assert said in refusal(response.text, name)
    assert 'value="1.5"' in response.text
    assert "<b>1" not in response.text
    assert kept(store, id) == before


def test_a_piece_tells_its_chances_and_what_it_survives_as_the_core_does(client: Any, store: Any, id: str) -> None:
    told = section(client.get(f"/pieces/{id}").text, "prospects-title")
    piece = kept(store, id)
    risk, found = prospects.piece_chance(piece), prospects.piece_survives(piece)
    room = survival.humidities(found.kept)
    assert f"that a panel binds {doubts.percent(100 * risk.binds)}" in told
    assert f"that a panel comes out {doubts.percent(100 * risk.comes_out)}" in told
    assert f"settled at 20 °C {humidities.words(room.low, room.high)}" in told
    assert f"when drier {found.driest.frame.name}: {found.driest.part.name}" in told
    assert f"when damper {found.wettest.frame.name}: {found.wettest.part.name}" in told


def test_a_change_sends_the_piece_s_chances_anew(client: Any, id: str, fragment: dict[str, str]) -> None:
    before = section(client.get(f"/pieces/{id}").text, "prospects-title")
    data = {"moisture_now": "11.5", "revision": "1"}
    part = client.post(f"/pieces/{id}/panels/d1", data=data, headers=fragment)
    assert part.status_code == 200
    after = section(part.text, "prospects-title")
    assert after != before
    assert after == section(client.get(f"/pieces/{id}").text, "prospects-title")


def test_a_piece_without_panels_tells_no_chances(client: Any, store: Any) -> None:
    bare = store.add_piece("Bare", pieces.dump(paper_cases.piece(frames=[]))).id
    text = client.get(f"/pieces/{bare}").text
    assert 'id="prospects" aria-labelledby="prospects-title" hidden' in text


def test_a_panel_that_cannot_be_sized_is_left_out_and_counted() -> None:
    piece = paper_cases.piece()
    done = [found for _, found in worked.frames(piece)]
    refused = replace(done[0], problems={"p": "Sight width is 9 mm."})
    assert worded.of(piece, done).left_out == 0
    assert worded.of(piece, [refused, *done[1:]]).left_out == 1
    assert worded.of(piece, [replace(refused, rows={})]) is None


def test_the_names_of_a_piece_are_escaped_in_its_prospects(client: Any, store: Any) -> None:
    evil = "<script>x</script>"
    piece = paper_cases.piece(frames=[Frame(id="f", name=evil, panels=[paper_cases.panel("p", evil, 300.0)])])
    own = store.add_piece(piece.name, pieces.dump(piece)).id
    assert "<script>x" not in client.get(f"/pieces/{own}").text


def test_a_fit_that_often_fails_is_told_beside_it(client: Any) -> None:
    sure = client.get("/", params={"confidence": "95"}).text
    loose = client.get("/", params={"sight_width": "3000", "moisture_now": "25"}).text
    assert "Less sure than it looks" not in sure
    assert "Less sure than it looks" in loose
    assert "the chance within a year that this panel comes out is about" in loose


@pytest.mark.parametrize("address", ["", "/sheet"])
def test_so_is_that_of_a_piece(client: Any, app: FastAPI, address: str) -> None:
    panels = [paper_cases.panel(f"p{n}", f"P{n}", 400.0) for n in range(30)]
    piece = paper_cases.piece(frames=[Frame(id="f", panels=panels)], parts=[])
    surer = piece.model_copy(update={"defaults": piece.defaults.model_copy(update={"confidence_pct": 99.9})})
    for one, told in ((piece, True), (surer, False)):
        id = app.state.store.add_piece(one.name, pieces.dump(one)).id
        assert ("Less sure than it looks" in client.get(f"/pieces/{id}{address}").text) is told
