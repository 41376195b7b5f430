"""The list of pieces, and what is done to a piece as a whole."""

import html
import json
import re
from bisect import bisect_left
from typing import Any

import httpx
import pytest
from fastapi import FastAPI
from piece_cases import swollen

from movement import piece as pieces
from movement.errors import PieceFileError
from movement.piece import Piece
from movement.tables import DATA
from tests.webapp.reading import refusal
from webapp.store import Store

from .conftest import FRAGMENT, Client

DEMO = (DATA / "demo_piece.json").read_bytes()


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


@pytest.fixture
def id(store: Store) -> str:
    return next(kept.id for kept in store.pieces())


def text(response: httpx.Response) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", response.text)).split())


def take_in(client: Client, content: bytes, name: str = "piece.json") -> httpx.Response:
    return client.post("/pieces/import", files={"file": (name, content, "application/json")})


def changed(path: list[str | int], value: Any) -> bytes:
    """The demo's file with another value at a place."""
    raw = json.loads(DEMO)
    place = raw
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    return json.dumps(raw).encode()


def test_the_list_shows_what_is_kept_and_its_fragment_is_part_of_the_page(client: Client) -> None:
    page = client.get("/pieces")
    assert "Linen cupboard (demo)" in page.text
    assert page.headers["vary"] == "HX-Request, HX-Request-Type"
    assert client.get("/pieces", headers=FRAGMENT).text.strip() in page.text


class TestNew:
    def test_a_piece_starts_with_the_first_climate_and_the_shops_figures(self, client: Client, store: Store) -> None:
        response = client.post("/pieces", data={"name": "  Tool   chest "})
        piece = pieces.load(store.piece(response.headers["location"].rpartition("/")[2]).document)
        assert (piece.name, piece.unit, piece.frames) == ("Tool chest", "mm", [])
        assert piece.climate_name == store.climates()[0].name

    def test_home_species_and_moisture_are_as_told(self, client: Client, store: Store) -> None:
        home = store.climates()[-1]
        told = {"name": "Chest", "home": home.id, "species": "white oak", "moisture_now": "9.5"}
        response = client.post("/pieces", data=told)
        piece = pieces.load(store.piece(response.headers["location"].rpartition("/")[2]).document)
        assert (piece.climate_name, piece.defaults.species) == (home.name, "Oak, white: white")
        assert piece.defaults.moisture_now_pct == 9.5
        bare = client.post("/pieces", data=told | {"home": "", "moisture_now": ""})
        piece = pieces.load(store.piece(bare.headers["location"].rpartition("/")[2]).document)
        assert (piece.climate_name, piece.climate.year().dry, piece.climate.year().wet) == ("", 6.0, 11.0)
        assert piece.defaults.moisture_now_pct == 8.0

    @pytest.mark.parametrize(("field", "typed"), [("species", "wlanut"), ("moisture_now", "99"), ("home", "gone")])
    def test_what_is_refused_is_told_at_its_field(self, client: Client, store: Store, field: str, typed: str) -> None:
        before = len(store.pieces())
        response = client.post("/pieces", data={"name": "Chest", field: typed})
        assert response.status_code == 422
        assert refusal(response.text, field)
        assert 'value="Chest"' in response.text
        assert len(store.pieces()) == before

    def test_a_climate_leads_to_a_piece_that_will_live_there(self, client: Client, store: Store) -> None:
        home = store.climates()[-1]
        shown = client.get(f"/climate/{home.id}", follow_redirects=True).text
        assert f'href="/pieces?home={home.id}#new-piece"' in shown
        assert f'<option value="{home.id}" selected>' in client.get("/pieces", params={"home": home.id}).text

    def test_in_inches_the_figures_are_round_in_inches(self, client: Client, store: Store) -> None:
        response = client.post("/pieces", data={"name": "Chest"}, headers={"Cookie": "unit=in"})
        piece = pieces.load(store.piece(response.headers["location"].rpartition("/")[2]).document)
        assert piece.unit == "in"
        assert piece.defaults.thickness_mm == 12.7
        assert piece.defaults.cutter_step_mm == 25.4 / 32

    @pytest.mark.parametrize(("name", "words"), [("  ", "Give it a name"), ("x" * 81, "this has 81")])
    def test_a_refused_name_stays_typed(self, client: Client, store: Store, name: str, words: str) -> None:
        before = len(store.pieces())
        response = client.post("/pieces", data={"name": name})
        assert response.status_code == 422
        assert words in text(response)
        assert f'value="{name}"' in response.text
        assert len(store.pieces()) == before


class TestAsAWhole:
    def test_a_copy_stands_by_itself(self, client: Client, store: Store, id: str) -> None:
        other = client.post(f"/pieces/{id}/copy").headers["location"].rpartition("/")[2]
        client.post(f"/pieces/{other}/panels/p1/delete")
        assert store.piece(id).document == pieces.dump(pieces.load(DEMO))
        assert store.piece(other).name == "Linen cupboard (demo) (copy)"

    def test_a_copy_of_a_long_name_keeps_within_the_limit(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/setup", data={"name": "x" * 80})
        other = client.post(f"/pieces/{id}/copy").headers["location"].rpartition("/")[2]
        assert client.get(f"/pieces/{other}").status_code == 200

    def test_a_deleted_piece_is_brought_back(self, client: Client, store: Store, id: str) -> None:
        response = client.post(f"/pieces/{id}/delete")
        listed = client.get(response.headers["location"])
        assert "“Linen cupboard (demo)” was deleted." in text(listed)
        assert client.get(f"/pieces/{id}").status_code == 404
        assert client.post(f"/pieces/{id}/restore").headers["location"] == f"/pieces/{id}"
        assert client.get(f"/pieces/{id}").status_code == 200

    @pytest.mark.parametrize("file", ["piece.json", "gap-table.csv", "gap-table.xlsx"])
    def test_a_deleted_piece_gives_out_nothing(self, client: Client, store: Store, id: str, file: str) -> None:
        assert client.get(f"/pieces/{id}/{file}").status_code == 200
        client.post(f"/pieces/{id}/delete")
        assert client.get(f"/pieces/{id}/{file}").status_code == 404
        assert client.post(f"/pieces/{id}/copy").status_code == 404

    @pytest.mark.parametrize("action", ["copy", "delete", "restore", "unit", "setup", "frames", "put-back"])
    def test_a_piece_that_is_not_there_is_not_found(self, client: Client, action: str) -> None:
        taken = '{"index": 0, "whole": {"id": "f1"}}'
        assert client.post(f"/pieces/nothing/{action}", data={"taken": taken}).status_code == 404

    def test_the_list_forgets_a_mistyped_removal(self, client: Client) -> None:
        assert client.get("/pieces", params={"removed": "nothing"}).status_code == 200


def _fits(piece: Piece, count: int) -> bool:
    try:
        pieces.dump(piece.model_copy(update={"parts": piece.parts[:count]}))
    except PieceFileError:
        return False
    return True


class TestImport:
    def test_a_file_that_was_exported_comes_back_the_same(self, client: Client, store: Store, id: str) -> None:
        response = client.get(f"/pieces/{id}/piece.json")
        assert response.headers["content-disposition"] == 'attachment; filename="linen-cupboard-demo.json"'
        back = take_in(client, response.content)
        assert back.status_code == 303
        assert store.piece(back.headers["location"].rpartition("/")[2]).document == store.piece(id).document

    def test_a_file_with_a_byte_order_mark_is_read(self, client: Client) -> None:
        assert take_in(client, b"\xef\xbb\xbf" + DEMO).status_code == 303

    @pytest.mark.parametrize(
        ("content", "words"),
        [
            (b"", "The file is empty."),
            (b" \n", "The file is empty."),
            (b"\x89PNG\r\n\x1a\n", "not JSON"),
            (b"{", "not JSON"),
            (b"\xff\xfe\x00", "not JSON"),
            (b"[" * 100_000, "not JSON"),
            (b'{"a":' * 100_000, "not JSON"),
            (b"[]", "its “format” is not “seasonal-panel-fit/piece”"),
            (b"null", "not a piece file"),
            (changed(["format"], "something else"), "not a piece file"),
            (changed(["version"], 2), "version 2; this program reads version 1"),
            (changed(["version"], True), "version true"),
            (b'{"format": "seasonal-panel-fit/piece", "version": 1}', "In the file, name: Fill this in"),
            (
                changed(["frames", 1, "panels", 0, "sight_width_mm"], -5),
                "frame 2, panel 1, sight_width_mm: Allowed is 10",
            ),
            (
                changed(["frames", 1, "panels", 0, "sight_width_mm"], float("nan")),
                "sight_width_mm: This is not a number",
            ),
            (
                changed(["frames", 1, "panels", 0, "sight_width_mm"], float("inf")),
                "sight_width_mm: This is not a number",
            ),
            (DEMO.replace(b"312.0", b"1e999", 1), "frame 1, panel 1, sight_width_mm: This is not a number"),
            (DEMO.replace(b"312.0", b"9" * 5000, 1), "not JSON"),
            (changed(["frames", 0, "panels", 0, "colour"], "red"), "panel 1, colour: There is no field of this name"),
            (changed(["frames", 0, "panels", 0, "id"], "p2"), "used twice: p2"),
            (changed(["frames", 0, "panels", 0, "id"], "p 2"), "frame 1, panel 1, id"),
            (changed(["defaults", "species"], "Unobtainium"), "no wood in the tables is called “Unobtainium”"),
            (changed(["climate", "place"], "Atlantis"), "Atlantis"),
            (changed(["frames"], {}), "In the file, frames"),
            (changed(["name"], "\ud800"), "In the file, name"),
            (DEMO[:-2] + b" " * 5_000_000 + b"}", "larger than 5 MB"),
        ],
        ids=range(26),
    )
    def test_a_bad_file_is_told_in_words_and_nothing_is_lost(
        self, client: Client, store: Store, content: bytes, words: str
    ) -> None:
        before = [(kept.id, kept.document) for kept in store.pieces()]
        response = take_in(client, content)
        assert response.status_code == 422
        told = re.search(r'id="file-error">(.*?)</p>', response.text, re.DOTALL)
        assert told
        assert words in html.unescape(told[1])
        assert [(kept.id, kept.document) for kept in store.pieces()] == before

    def test_a_file_that_grows_beyond_what_can_be_opened_is_refused(self, client: Client, store: Store) -> None:
        before = len(store.pieces())
        response = take_in(client, swollen())
        assert response.status_code == 422
        assert "takes more than 5 MB with all that its parts say." in text(response)
        assert len(store.pieces()) == before

    def test_a_piece_that_would_grow_beyond_it_stays_as_it_is(self, client: Client, store: Store) -> None:
        piece = pieces.load(swollen())
        fits = bisect_left(range(1990), True, key=lambda count: not _fits(piece, count)) - 1
        kept = store.add_piece("Chest", pieces.dump(piece.model_copy(update={"parts": piece.parts[:fits]})))
        response = client.post(f"/pieces/{kept.id}/parts/d0/copy")
        assert response.status_code == 422
        assert "Nothing was changed. The piece takes more than 5 MB" in text(response)
        assert store.piece(kept.id) == kept
        assert client.get(f"/pieces/{kept.id}").status_code == 200

    def test_no_file_is_told(self, client: Client) -> None:
        for response in (client.post("/pieces/import"), take_in(client, b"", name="")):
            assert response.status_code == 422
            assert "Choose a piece file first." in text(response)

    def test_several_mistakes_are_counted(self, client: Client) -> None:
        raw = json.loads(DEMO)
        for part in raw["frames"][0]["panels"]:
            part["sight_width_mm"] = 1
        raw["defaults"]["ring_angle_deg"] = 100
        words = text(take_in(client, json.dumps(raw).encode()))
        assert "defaults, ring_angle_deg: Allowed is 0 to 90°. 2 more entries are refused." in words

    def test_a_huge_upload_is_refused_in_words(self, client: Client, store: Store) -> None:
        response = take_in(client, b" " * 50_000_000)
        assert response.status_code == 413
        assert "larger than 20 MB" in text(response)
        assert client.get("/pieces").status_code == 200
