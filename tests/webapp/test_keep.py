"""What was sized on a page of its own, kept in a piece: the piece says the same of it, or says what is the piece's."""

import re
from typing import Any

import pytest
from fastapi import FastAPI

from movement import gap_table
from movement import piece as pieces
from movement.lengths import Unit
from movement.piece import Piece
from tests.webapp.reading import plain, refusal
from webapp.kinds.catalogue import KINDS
from webapp.library import shelf
from webapp.pages import gap, part
from webapp.store import Store

from . import paper_cases
from .conftest import Client

KEYS = ["panel", *(kind.key for kind in KINDS)]
APPLE = {"name": "Apple, from the garden", "coefficient_tangential": "0.00376", "coefficient_radial": "0.00205"}
STOCK = {"species": "Oak, white", "ring_angle": "30", "moisture_now": "9.5", "moisture_dry": "5", "moisture_wet": "13"}
LATE = {"following": "lagged", "thickness": "19 mm"}


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


def kept(store: Store, response: Any) -> Piece:
    assert response.status_code == 303, plain(response.text)
    return pieces.load(store.piece(re.split("[/#]", response.headers["location"])[2]).document)


def asked(store: Store, key: str, query: dict[str, str], unit: Unit) -> dict[str, Any]:
    """What the question's own page has."""
    if key == "panel":
        found = gap.answer(query, unit, store).result
    else:
        kind = next(kind for kind in KINDS if kind.key == key)
        found = part.answer(kind, query, unit, shelf(store)).made
    assert found is not None
    return dict(found)


def sized(piece: Piece) -> dict[str, Any]:
    """What the piece has of its only part."""
    [row] = gap_table.whole(piece)
    assert not isinstance(row, str)
    return dict(row.result)


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("more", [{}, STOCK, LATE], ids=["bare", "own", "late"])
@pytest.mark.parametrize("key", KEYS)
def test_a_new_piece_says_of_it_what_its_own_page_says(
    client: Client, store: Store, key: str, more: dict[str, str], unit: Unit
) -> None:
    query = {"unit": unit} | more
    piece = kept(store, client.post(f"/keep/{key}", params=query, data={"name": "Wash stand", "part": "Mine"}))
    assert (piece.name, piece.unit, piece.climate_name) == ("Wash stand", unit, "")
    [row] = gap_table.whole(piece)
    assert row.part.name == "Mine"
    here, there = sized(piece), asked(store, key, query, unit)
    assert here.keys() == there.keys()
    # a piece writes lengths in its advice more finely than the page
    assert len(here["advice"]) == len(there["advice"])
    assert here | {"advice": ()} == there | {"advice": ()}


def test_a_panel_brings_its_groove_its_hold_and_what_is_in_doubt(client: Client, store: Store) -> None:
    query = {"hold": "one edge", "groove_depth": "11", "fixed_engagement": "6", "confidence": "95", "end_play": "2"}
    query |= {"sight_height": "500", "tongue_thickness": "7", "least_gap": "0.8", "cutter_depths": "9; 11; 13"}
    piece = kept(store, client.post("/keep/panel", params=query, data={"name": "Chest"}))
    [frame] = piece.frames
    assert (frame.name, frame.groove_depth_mm, frame.panels[0].name) == ("Frame 1", 11.0, "Panel 1")
    here, there = sized(piece), asked(store, "panel", query, "mm")
    assert (here["hold"], here["panel_length_mm"], here["fixed_engagement_mm"]) == ("one edge", 518.0, 6.0)
    assert here | {"advice": ()} == there | {"advice": ()}


def test_a_kept_climate_goes_along_with_its_name(client: Client, store: Store) -> None:
    home = store.climates()[0]
    query = {"year": "saved", "saved_climate": home.id}
    piece = kept(store, client.post("/keep/door", params=query, data={"name": "Chest"}))
    assert piece.climate_name == home.name
    assert sized(piece)["moisture_dry_pct"] == asked(store, "door", query, "mm")["moisture_dry_pct"]


@pytest.mark.parametrize("key", ["panel", "drawer"])
def test_a_species_of_the_makers_own_goes_into_the_pieces_file(client: Client, store: Store, key: str) -> None:
    client.post("/species", data=APPLE)
    query = {"species": APPLE["name"]} | ({"bottom_species": APPLE["name"]} if key == "drawer" else {})
    piece = kept(store, client.post(f"/keep/{key}", params=query, data={"name": "Chest"}))
    assert [one.name for one in piece.own_species] == [APPLE["name"]]
    assert piece.defaults.species == APPLE["name"]
    assert sized(piece)["coefficient_across"] == 0.00376


class TestInAPieceThatIsHere:
    @pytest.fixture
    def id(self, store: Store) -> str:
        return next(one.id for one in store.pieces())

    def test_the_page_leads_there(self, client: Client, store: Store, id: str) -> None:
        query = {"sight_width": "310", "species": "Oak, white"}
        answer = client.get("/", params=query)
        [link] = re.findall(r'href="(/keep/panel[^"]*)"', answer.text)
        choose = client.get(link.replace("&amp;", "&"))
        assert "It fits: groove" in plain(choose.text)
        links = re.findall(r'class="piece-name" href="([^"]*)"', choose.text)
        assert len(links) == len(store.pieces())
        there = client.get(links[0].replace("&amp;", "&"))
        frames = pieces.load(store.piece(id).document).frames
        for frame in frames:
            assert f'<option value="{frame.id}"' in there.text

    def test_a_panel_goes_to_the_end_of_a_frame_and_keeps_what_is_its_own(
        self, client: Client, store: Store, id: str
    ) -> None:
        before = pieces.load(store.piece(id).document)
        query = {"sight_width": "310", "species": "Oak, white", "moisture_now": "9.5", "into": id, "thickness": "3"}
        data = {"part": "Middle", "frame": before.frames[0].id}
        response = client.post("/keep/panel", params=query, data=data)
        piece = kept(store, response)
        panel = piece.frames[0].panels[-1]
        assert response.headers["location"] == f"/pieces/{id}#panel-{panel.id}"
        assert (panel.name, panel.sight_width_mm, panel.species) == ("Middle", 310.0, "Oak, white: white")
        assert (panel.moisture_now_pct, panel.thickness_mm, panel.end_play_mm) == (9.5, None, None)
        assert piece.frames[0].groove_depth_mm == before.frames[0].groove_depth_mm
        assert piece.defaults == before.defaults
        assert len(piece.frames) == len(before.frames)

    def test_what_is_as_the_pieces_is_left_to_the_piece(self, client: Client, store: Store, id: str) -> None:
        usual = pieces.load(store.piece(id).document).defaults
        assert isinstance(usual.species, str)
        query = {"species": usual.species, "moisture_now": f"{usual.moisture_now_pct}", "ring_angle": "12", "into": id}
        piece = kept(store, client.post("/keep/front", params=query))
        part = piece.parts[-1]
        assert (part.species, part.moisture_now_pct, part.ring_angle_deg) == (None, None, 12.0)

    def test_a_new_frame_takes_the_groove_that_was_asked_for(self, client: Client, store: Store, id: str) -> None:
        before = pieces.load(store.piece(id).document)
        query = {"groove_depth": "12", "into": id}
        piece = kept(store, client.post("/keep/panel", params=query, data={"frame": ""}))
        assert len(piece.frames) == len(before.frames) + 1
        assert (piece.frames[-1].groove_depth_mm, len(piece.frames[-1].panels)) == (12.0, 1)

    def test_a_species_of_the_same_name_stays_as_the_piece_has_it(self, client: Client, store: Store, id: str) -> None:
        client.post("/species", data=APPLE)
        kept(store, client.post("/keep/slot", params={"species": APPLE["name"], "into": id}))
        client.post("/species", data=APPLE | {"coefficient_tangential": "0.0045"})
        piece = kept(store, client.post("/keep/slot", params={"species": APPLE["name"], "into": id}))
        assert [one.coefficient_tangential for one in piece.own_species] == [0.00376]

    def test_a_frame_that_is_gone_is_refused_and_what_was_typed_stays(
        self, client: Client, store: Store, id: str
    ) -> None:
        before = store.piece(id).document
        response = client.post("/keep/panel", params={"into": id}, data={"part": "Middle", "frame": "gone"})
        assert response.status_code == 422
        assert "Choose one of" in refusal(response.text, "frame")
        assert 'value="Middle"' in response.text
        assert store.piece(id).document == before

    def test_a_piece_that_is_gone_is_not_found(self, client: Client, id: str) -> None:
        client.post(f"/pieces/{id}/delete")
        assert client.get("/keep/panel", params={"into": id}).status_code == 404
        assert client.post("/keep/panel", params={"into": id}).status_code == 404


@pytest.mark.parametrize("data", [{"name": " "}, {"name": "x" * 81}, {"name": "Chest", "part": "y" * 81}])
def test_a_refused_name_stays_typed_and_nothing_is_made(client: Client, store: Store, data: dict[str, str]) -> None:
    before = len(store.pieces())
    response = client.post("/keep/panel", params={"sight_width": "310"}, data=data)
    assert response.status_code == 422
    assert refusal(response.text, "part" if "part" in data else "name")
    assert all(f'value="{text}"' in response.text for text in data.values())
    assert "sight_width=310" in response.text
    assert len(store.pieces()) == before


@pytest.mark.parametrize("method", ["GET", "POST"])
@pytest.mark.parametrize(("key", "page"), [("panel", "/?"), ("door", "/parts/door?")])
def test_a_question_that_is_refused_leads_back(client: Client, method: str, key: str, page: str) -> None:
    response = client.request(method, f"/keep/{key}", params={"moisture_now": "99"}, data={"name": "Chest"})
    assert (response.status_code, response.headers["location"]) == (303, f"{page}moisture_now=99")


def test_a_kind_that_is_none_is_not_found(client: Client) -> None:
    assert client.get("/keep/lid").status_code == 404


def test_a_new_piece_is_told_to_have_the_making_tolerance_that_was_asked(client: Any) -> None:
    door = {"opening": "450", "stile_width": "60"}
    for address, told in (("/keep/door", "0 mm"), ("/keep/panel", "0.5 mm")):
        asked = door if address.endswith("door") else {"sight_width": "300"}
        text = plain(client.get(address, params=asked).text)
        assert f"Its making tolerance, {told}, then holds for every part that is added." in text


def test_by_default_a_panel_is_kept_in_a_frame_of_its_own(client: Any, app: FastAPI) -> None:
    piece = paper_cases.piece()
    id = app.state.store.add_piece(piece.name, pieces.dump(piece)).id
    text = client.get("/keep/panel", params={"sight_width": "300", "into": id}).text
    assert re.search(r'<option value="" selected>A new frame</option>', text)
    assert "the groove and the widths of the others may change with it" in text
