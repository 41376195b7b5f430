"""The piece page: what is typed is kept, what is refused stays typed, what others changed is not overwritten."""

import html
import json
import re
from typing import Any

import httpx
import pytest
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from movement import gap_table
from movement import piece as pieces
from movement.errors import RangeError
from movement.parts.base import OwnSpecies
from movement.piece import Piece
from movement.tables import DATA
from webapp import following, rows, worked
from webapp.store import Store

from .conftest import FRAGMENT, Client

PANEL = rows.PANEL


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


@pytest.fixture
def id(store: Store) -> str:
    """The demo, kept once more for the test to change."""
    piece = pieces.load((DATA / "demo_piece.json").read_bytes())
    return store.add_piece("Cupboard", pieces.dump(piece.model_copy(update={"name": "Cupboard"}))).id


def kept(store: Store, id: str) -> Piece:
    return pieces.load(store.piece(id).document)


def change(store: Store, id: str, **fields: Any) -> None:
    """What another writer does to the piece."""

    def rewrite(document: str) -> tuple[str, str]:
        raw = json.loads(document) | fields
        return raw["name"], pieces.dump(Piece.model_validate(raw))

    store.change_piece(id, rewrite)


def change_panel(store: Store, id: str, **fields: Any) -> None:
    raw = json.loads(store.piece(id).document)
    raw["frames"][0]["panels"][0] |= fields
    change(store, id, frames=raw["frames"])


def form(client: Client, id: str, handle: str) -> dict[str, str]:
    """What a panel's row, a frame's head or the setup would send untouched, as the page has it."""
    page = client.get(f"/pieces/{id}").text
    action = {"p": f"panels/{handle}", "f": f"frames/{handle}", "s": "setup"}[handle[0]]
    found = re.search(rf'<form[^>]* action="/pieces/{id}/{action}".*?</form>', page, re.DOTALL)
    assert found
    inputs = re.findall(r'<input([^>]*) name="([^"]+)" value="([^"]*)"( checked)?', found[0])
    data = {name: html.unescape(text) for kind, name, text, on in inputs if on or "radio" not in kind}
    return data | {"revision": re.search(r'id="revision" value="(\d+)"', page)[1]}  # type: ignore[index]


def text(response: httpx.Response) -> str:
    """The page's words."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", response.text)).split())


def panel(store: Store, id: str) -> pieces.PanelPart:
    return kept(store, id).frames[0].panels[0]


class TestThePage:
    def test_it_shows_the_gap_table_of_the_core(self, client: Client, store: Store, id: str) -> None:
        response = client.get(f"/pieces/{id}")
        assert response.status_code == 200
        shown = re.findall(r'<tr id="gap-\w+"><th scope="row"><a [^>]*>(.*?)</a></th>(.*?)</tr>', response.text)
        for (name, cells), row in zip(shown, gap_table.rows(kept(store, id)), strict=True):
            values = re.findall(r"<td[^>]*>(?:<span[^>]*>)?([^<]*)", cells)
            result = row.result
            assert html.unescape(name) == row.part.name
            assert values[:2] == [str(row.part.count), f"{result.panel_width_mm:.1f}"]
            assert float(values[2]) == pytest.approx(result.gap_now_mm, abs=0.0501)
            assert values[3] == result.bias
            assert values[9:] == [result.hold, row.bench.wood.species.name]

    def test_every_page_that_it_leads_to_is_there(self, client: Client, id: str) -> None:
        page = client.get(f"/pieces/{id}").text
        found = {html.unescape(one) for one in re.findall(r'<a [^>]*href="(/[^"]*)"', page)}
        assert {
            f"/pieces/{id}/{name}" for name in ("sheet", "kit", "labels", "frames/f1/elevation", "parts/p1")
        } <= found
        for address in found:
            assert client.get(address).status_code == 200, address

    def test_lengths_in_fields_have_no_needless_zero(self, client: Client, id: str) -> None:
        assert 'name="sight_width" value="312"' in client.get(f"/pieces/{id}").text

    def test_the_place_keeps_its_capital(self, client: Client, id: str) -> None:
        assert "Heated flat, Stockholm. Stockholm, a room heated to 21 °C" in text(client.get(f"/pieces/{id}"))

    def test_names_are_escaped(self, client: Client, store: Store, id: str) -> None:
        change_panel(store, id, name="<script>alert(1)</script>")
        assert "<script>alert" not in client.get(f"/pieces/{id}").text

    def test_a_piece_that_is_not_there_is_not_found(self, client: Client, store: Store, id: str) -> None:
        assert client.get("/pieces/nothing").status_code == 404
        store.delete_piece(id)
        assert client.get(f"/pieces/{id}").status_code == 404
        assert client.post(f"/pieces/{id}/panels/p1", data={"count": "2"}).status_code == 404

    def test_a_document_that_cannot_be_read_is_told_and_its_file_still_given(
        self, client: Client, store: Store
    ) -> None:
        id = store.add_piece("Old", '{"format": "seasonal-panel-fit/piece", "version": 99}').id
        response = client.get(f"/pieces/{id}")
        assert response.status_code == 500
        assert "cannot be opened" in text(response)
        assert client.get(f"/pieces/{id}/piece.json").json()["version"] == 99

    def test_it_tells_where_its_numbers_come_from(self, client: Client, store: Store, id: str) -> None:
        page = text(client.get(f"/pieces/{id}"))
        for row in gap_table.rows(kept(store, id)):
            for line in (*row.result.sources, *kept(store, id).climate.year().sources):
                assert " ".join(line.split()) in page

    def test_all_fields_of_a_panel_are_shown_on_request(self, client: Client, id: str) -> None:
        assert 'id="p1-ring_angle"' not in client.get(f"/pieces/{id}").text
        assert 'id="p1-ring_angle"' in client.get(f"/pieces/{id}", params={"more": "p1"}).text
        part = client.get(f"/pieces/{id}", params={"more": "p1"}, headers=FRAGMENT).text
        assert 'id="p1-ring_angle"' in part
        assert "<h1" not in part


class TestAPanel:
    def test_a_change_is_kept_and_only_what_differs_is_sent(self, client: Client, store: Store, id: str) -> None:
        data = form(client, id, "p1") | {"count": "4"}
        response = client.post(f"/pieces/{id}/panels/p1", data=data, headers=FRAGMENT)
        assert response.status_code == 200
        assert panel(store, id).count == 4
        assert re.findall(r"""hx-target="\[id='([\w-]+)'\]""", response.text) == [
            "revision",
            "table-count",
            "panel-p1",
            "gap-p1",
            "why-p1",
            "prospects",
        ]
        assert "10 panels, 5 other parts; all fit." in response.text

    def test_one_that_does_not_fit_is_counted_as_one(self, client: Client, store: Store, id: str) -> None:
        change_panel(store, id, panel_width_mm=100.0)
        assert ">1 does not fit</strong>" in client.get(f"/pieces/{id}").text

    def test_a_deeper_groove_is_sent_with_the_other_panels_of_its_frame(self, client: Client, id: str) -> None:
        data = form(client, id, "p1") | {"sight_width": "800"}
        response = client.post(f"/pieces/{id}/panels/p1", data=data, headers=FRAGMENT)
        targets = re.findall(r"""hx-target="\[id='([\w-]+)'\]""", response.text)
        assert targets == ["revision", "table-count", "head-f1", "panel-p1", "out-p2", "gap-f1", "prospects"]

    def test_without_script_it_leads_back_to_the_row(self, client: Client, store: Store, id: str) -> None:
        response = client.post(f"/pieces/{id}/panels/p1", data={"count": "4"})
        assert (response.status_code, response.headers["location"]) == (303, f"/pieces/{id}#panel-p1")
        assert panel(store, id).count == 4

    def test_a_length_that_is_not_touched_stays_exact(self, client: Client, store: Store, id: str) -> None:
        change_panel(store, id, sight_width_mm=312.3456)
        data = form(client, id, "p1") | {"count": "2"}
        assert data["sight_width"] == "312.3"
        client.post(f"/pieces/{id}/panels/p1", data=data)
        assert panel(store, id).sight_width_mm == 312.3456

    def test_what_the_row_does_not_show_is_kept(self, client: Client, store: Store, id: str) -> None:
        change_panel(store, id, tongue_thickness_mm=7.5, end_play_mm=2.0, ring_angle_deg=30.0, hold="loose")
        client.post(f"/pieces/{id}/panels/p1", data=form(client, id, "p1") | {"count": "2"})
        part = panel(store, id)
        assert (part.tongue_thickness_mm, part.end_play_mm, part.ring_angle_deg, part.hold) == (7.5, 2.0, 30.0, "loose")

    def test_a_blank_field_is_the_pieces_again(self, client: Client, store: Store, id: str) -> None:
        change_panel(store, id, ring_angle_deg=30.0, species="Ash, white", hold="loose")
        client.post(f"/pieces/{id}/panels/p1", data={"ring_angle": "", "species": "", "hold": ""})
        part = panel(store, id)
        assert (part.ring_angle_deg, part.species, part.hold) == (None, None, None)

    def test_a_species_is_kept_under_its_name_in_the_table(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/panels/p1", data={"species": "black walnut"})
        assert panel(store, id).species == "Walnut, black"

    @pytest.mark.parametrize(
        ("field", "typed", "words"),
        [
            ("sight_width", "", "Fill this in"),
            ("sight_width", "wide", "is not a length"),
            ("sight_width", "9", "10 to 3000 mm"),
            ("sight_width", "nan", "is not a length"),
            ("sight_height", "-4", "10 to 3000 mm"),
            ("count", "0", "1 to 500"),
            ("count", "1.5", "not a whole number"),
            ("count", "1e9", "is not a number"),
            ("ring_angle", "91", "0 to 90°"),
            ("moisture_now", "40", "1 to 30 %"),
            ("panel_width", "1", "10 to 3500 mm"),
            ("species", "Unobtainium", "No wood in the tables is called “Unobtainium”"),
            ("species", "chery", "Cherry"),
            ("hold", "glued", "Choose one of"),
            ("name", "x" * 81, "at most 80"),
        ],
    )
    def test_a_refusal_is_told_at_its_field_and_nothing_is_lost(
        self, client: Client, store: Store, id: str, field: str, typed: str, words: str
    ) -> None:
        before = store.piece(id).document
        data = form(client, id, "p1") | {"name": "Typed here", field: typed}
        for headers in ({}, FRAGMENT):
            response = client.post(f"/pieces/{id}/panels/p1", data=data, headers=headers)
            assert response.status_code == 422
            told = re.search(rf'id="p1-{field}-error">(.*?)</p>', response.text)
            assert told
            shown = html.unescape(re.sub("<[^>]+>", "", told[1]))
            assert words in shown
            if field != "hold":
                assert f'name="{field}" value="{html.escape(typed)}"' in response.text
            if field != "name":
                assert 'value="Typed here"' in response.text
        assert store.piece(id).document == before

    def test_the_whole_page_leads_to_the_refused_field(self, client: Client, id: str) -> None:
        response = client.post(f"/pieces/{id}/panels/p1", data={"sight_width": "4"})
        assert 'class="error-summary"' in response.text
        assert 'href="#p1-sight_width"' in response.text

    def test_a_copy_comes_right_after_with_the_next_name(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/panels/p1/copy", data={"count": "3"})
        names = [(part.name, part.count) for part in kept(store, id).frames[0].panels]
        assert names == [("Left side, upper", 3), ("Left side, upper 2", 3), ("Left side, lower", 1)]

    def test_a_copy_of_a_refused_row_is_not_made(self, client: Client, store: Store, id: str) -> None:
        assert client.post(f"/pieces/{id}/panels/p1/copy", data={"count": "x"}).status_code == 422
        assert len(kept(store, id).frames[0].panels) == 2

    def test_it_moves_within_its_frame_and_into_the_next(self, client: Client, store: Store, id: str) -> None:
        def order() -> list[list[str]]:
            return [[part.id for part in frame.panels] for frame in kept(store, id).frames[:2]]

        assert order() == [["p1", "p2"], ["p3", "p4"]]
        client.post(f"/pieces/{id}/panels/p1/down")
        assert order() == [["p2", "p1"], ["p3", "p4"]]
        client.post(f"/pieces/{id}/panels/p1/down")
        assert order() == [["p2"], ["p1", "p3", "p4"]]
        client.post(f"/pieces/{id}/panels/p1/up")
        client.post(f"/pieces/{id}/panels/p1/up")
        assert order() == [["p1", "p2"], ["p3", "p4"]]
        assert client.post(f"/pieces/{id}/panels/p1/up").status_code == 303
        assert order() == [["p1", "p2"], ["p3", "p4"]]

    def test_a_panel_that_the_core_refuses_spares_the_others(
        self, client: Client, id: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        sized = gap_table.rows

        def refusing(piece: Piece) -> list[gap_table.Row]:
            if piece.frames[0].panels[0].id == "p1":
                raise RangeError("sight width", 9.0, 10.0, 3000.0, "mm")
            return sized(piece)

        monkeypatch.setattr(gap_table, "rows", refusing)
        worked._sized.cache_clear()
        response = client.get(f"/pieces/{id}")
        worked._sized.cache_clear()
        assert response.text.count("Cannot be sized.") == 2
        assert 'parts/p2">Left side, lower</a></th><td class="num">1</td>' in response.text


class TestANewPanel:
    def test_it_gets_a_name_and_is_made_once(self, client: Client, store: Store, id: str) -> None:
        response = client.post(f"/pieces/{id}/frames/f1/panels", data={"sight_width": "310"})
        assert response.headers["location"] == f"/pieces/{id}#new-f1"
        made = kept(store, id).frames[0].panels[-1]
        assert (made.name, made.count, made.sight_width_mm, made.sight_height_mm) == ("Panel 3", 1, 310.0, None)

    def test_its_row_is_sent_alone_with_a_fresh_line_for_the_next(self, client: Client, id: str) -> None:
        data = {"name": "Third", "sight_width": "312", "revision": "1"}
        response = client.post(f"/pieces/{id}/frames/f1/panels", data=data, headers=FRAGMENT)
        targets = re.findall(r"""hx-target="\[id='([\w.-]+)'\]" hx-swap="(\w+)""", response.text)
        assert targets == [
            ("revision", "outerMorph"),
            ("table-count", "outerMorph"),
            ("panel-p2", "afterend"),
            ("new-f1", "outerMorph"),
            ("why-p2", "afterend"),
            ("prospects", "outerMorph"),
        ]
        assert re.search(r'id="f1\.new\.name" name="name" value=""[^>]* autofocus', response.text)

    def test_sizes_of_the_panel_before_are_hints_and_not_values(self, client: Client, store: Store, id: str) -> None:
        page = client.get(f"/pieces/{id}").text
        assert 'name="sight_width" value="" placeholder="before 312"' in page
        response = client.post(f"/pieces/{id}/frames/f1/panels", data={"name": "No size"})
        assert response.status_code == 422
        assert 'id="f1.new.sight_width-error"' in response.text
        assert 'value="No size"' in response.text
        assert len(kept(store, id).frames[0].panels) == 2

    def test_two_makers_who_add_at_once_both_get_theirs(self, client: Client, store: Store, id: str) -> None:
        for name in ("Mine", "Theirs"):
            client.post(f"/pieces/{id}/frames/f1/panels", data={"name": name, "sight_width": "300", "revision": "1"})
        made = kept(store, id).frames[0].panels[-2:]
        assert [part.name for part in made] == ["Mine", "Theirs"]
        assert made[0].id != made[1].id

    def test_a_piece_that_is_full_says_so(
        self, client: Client, store: Store, id: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(pieces, "MOST_PARTS", 15)
        response = client.post(f"/pieces/{id}/frames/f1/panels", data={"sight_width": "300"})
        assert response.status_code == 422
        assert "Nothing was changed. A piece holds at most" in text(response)


class TestAFrame:
    def test_it_is_added_with_a_name_of_its_own(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/frames", data={"name": ""})
        client.post(f"/pieces/{id}/frames", data={"name": "  Back  panel "})
        assert [frame.name for frame in kept(store, id).frames[-2:]] == ["Frame 5", "Back panel"]

    def test_its_groove_holds_for_all_its_panels(self, client: Client, store: Store, id: str) -> None:
        data = form(client, id, "f1") | {"groove_depth": "12"}
        response = client.post(f"/pieces/{id}/frames/f1", data=data, headers=FRAGMENT)
        assert kept(store, id).frames[0].groove_depth_mm == 12.0
        assert "12.0 mm</strong>, as given" in response.text
        client.post(f"/pieces/{id}/frames/f1", data={"groove_depth": ""})
        assert kept(store, id).frames[0].groove_depth_mm is None

    @pytest.mark.parametrize(("typed", "words"), [("deep", "is not a length"), ("900", "100")])
    def test_a_refused_groove_is_told_at_its_field(self, client: Client, id: str, typed: str, words: str) -> None:
        response = client.post(f"/pieces/{id}/frames/f1", data={"groove_depth": typed})
        assert response.status_code == 422
        assert words in re.search(r'id="f1-groove_depth-error">(.*?)</p>', response.text)[1]  # type: ignore[index]
        assert f'value="{typed}"' in response.text

    def test_a_left_side_is_copied_to_a_right_side(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/frames/f2/delete")
        client.post(f"/pieces/{id}/frames/f1/copy")
        twin = kept(store, id).frames[1]
        assert twin.name == "Right side"
        assert [part.name for part in twin.panels] == ["Right side, upper", "Right side, lower"]
        client.post(f"/pieces/{id}/frames/f1/copy")
        assert kept(store, id).frames[1].name == "Left side 2"

    def test_it_is_taken_out_and_put_back_where_it_was(self, client: Client, store: Store, id: str) -> None:
        before = store.piece(id).document
        response = client.post(f"/pieces/{id}/frames/f2/delete")
        assert "“Right side” was taken out." in text(response)
        taken = html.unescape(re.search(r'name="taken" value="([^"]+)"', response.text)[1])  # type: ignore[index]
        for _ in range(2):
            assert client.post(f"/pieces/{id}/put-back", data={"taken": taken}).status_code == 303
            assert store.piece(id).document == before


class TestPuttingBack:
    def test_a_panel_comes_back_where_it_was(self, client: Client, store: Store, id: str) -> None:
        before = store.piece(id).document
        data = {"revision": "1"}
        response = client.post(f"/pieces/{id}/panels/p1/delete", data=data, headers=FRAGMENT)
        assert "<h1" not in response.text
        taken = html.unescape(re.search(r'name="taken" value="([^"]+)"', response.text)[1])  # type: ignore[index]
        client.post(f"/pieces/{id}/put-back", data={"taken": taken})
        assert store.piece(id).document == before

    @pytest.mark.parametrize("taken", ["", "{}", "[" * 20_000, '{"index": 0}', "null", '{"index": 0, "panel": {}}'])
    def test_what_cannot_be_read_is_told(self, client: Client, store: Store, id: str, taken: str) -> None:
        before = store.piece(id).document
        response = client.post(f"/pieces/{id}/put-back", data={"taken": taken})
        assert response.status_code == 422
        assert "could not be read" in text(response)
        assert store.piece(id).document == before

    def test_taking_out_twice_is_told(self, client: Client, id: str) -> None:
        client.post(f"/pieces/{id}/panels/p1/delete")
        response = client.post(f"/pieces/{id}/panels/p1/delete")
        assert response.status_code == 409
        assert "taken out elsewhere" in text(response)


class TestTwoMakers:
    def test_different_fields_of_a_row_are_both_kept(self, client: Client, store: Store, id: str) -> None:
        mine = form(client, id, "p1") | {"count": "4"}
        change_panel(store, id, sight_width_mm=350.0)
        response = client.post(f"/pieces/{id}/panels/p1", data=mine, headers=FRAGMENT)
        part = panel(store, id)
        assert (part.count, part.sight_width_mm) == (4, 350.0)
        assert "<h1" in response.text
        assert "changed elsewhere too" in text(response)

    def test_the_same_field_is_told_and_not_overwritten(self, client: Client, store: Store, id: str) -> None:
        mine = form(client, id, "p1") | {"sight_width": "400", "count": "4"}
        change_panel(store, id, sight_width_mm=350.0)
        response = client.post(f"/pieces/{id}/panels/p1", data=mine)
        assert response.status_code == 422
        assert "changed elsewhere meanwhile and is now “350”" in text(response)
        assert 'name="sight_width" value="400"' in response.text
        assert panel(store, id).sight_width_mm == 350.0
        stamp = re.search(r'panels/p1".*?name="stamp" value="([^"]+)"', response.text, re.DOTALL)[1]  # type: ignore[index]
        client.post(f"/pieces/{id}/panels/p1", data=mine | {"stamp": stamp})
        part = panel(store, id)
        assert (part.sight_width_mm, part.count) == (400.0, 4)

    def test_what_was_typed_for_a_panel_that_is_gone_is_told(self, client: Client, store: Store, id: str) -> None:
        mine = form(client, id, "p1") | {"sight_width": "400"}
        client.post(f"/pieces/{id}/panels/p1/delete")
        for headers in ({}, FRAGMENT):
            response = client.post(f"/pieces/{id}/panels/p1", data=mine, headers=headers)
            assert response.status_code == 409
            assert "You had typed: name “Left side, upper”, sight width “400”" in text(response)

    def test_a_length_means_the_unit_that_it_was_typed_in(self, client: Client, store: Store, id: str) -> None:
        mine = form(client, id, "p1") | {"sight_width": "400"}
        client.post(f"/pieces/{id}/unit", params={"unit": "in"})
        response = client.post(f"/pieces/{id}/panels/p1", data=mine, headers=FRAGMENT)
        assert panel(store, id).sight_width_mm == 400.0
        assert "<h1" in response.text

    def test_the_setup_is_told_as_well(self, client: Client, store: Store, id: str) -> None:
        mine = form(client, id, "setup") | {"moisture_now": "10"}
        change(store, id, defaults=json.loads(store.piece(id).document)["defaults"] | {"moisture_now_pct": 6.0})
        response = client.post(f"/pieces/{id}/setup", data=mine)
        assert response.status_code == 422
        assert "changed elsewhere meanwhile and is now “6”" in text(response)
        assert kept(store, id).defaults.moisture_now_pct == 6.0


class TestShopAndStock:
    def test_what_is_typed_is_kept(self, client: Client, store: Store, id: str) -> None:
        climate = next(one for one in store.climates() if "Lisbon" in one.name)
        data = {"name": "Sideboard", "moisture_now": "9.5", "cutter_depths": "6; 9,5; 12", "climate": climate.id}
        assert client.post(f"/pieces/{id}/setup", data=data).status_code == 303
        piece = kept(store, id)
        assert (piece.name, piece.climate_name) == ("Sideboard", climate.name)
        assert (piece.defaults.moisture_now_pct, piece.defaults.cutter_depths_mm) == (9.5, [6.0, 9.5, 12.0])
        assert piece.defaults.width_step_mm == 0.5
        assert store.piece(id).name == "Sideboard"

    @pytest.mark.parametrize(
        ("field", "typed", "words"),
        [
            ("name", "", "Give it a name"),
            ("name", "x" * 81, "1 to 80 characters; this has 81"),
            ("species", "", "Fill this in"),
            ("species", "chery", "Cherry"),
            ("moisture_now", "31", "1 to 30 %"),
            ("moisture_now", "", "Fill this in"),
            ("least_gap", "x", "is not a length"),
            ("cutter_depths", "6; x", "is not a length"),
            ("cutter_step", "0", "Allowed"),
            ("width_step", "0.3", "Choose one of"),
        ],
    )
    def test_a_refusal_is_told_at_its_field_and_nothing_is_lost(
        self, client: Client, store: Store, id: str, field: str, typed: str, words: str
    ) -> None:
        before = store.piece(id).document
        response = client.post(f"/pieces/{id}/setup", data={"ring_angle": "33", field: typed})
        assert response.status_code == 422
        told = re.search(rf'id="{field}-error">(.*?)</p>', response.text, re.DOTALL)
        assert told
        assert words in html.unescape(told[1])
        assert 'name="ring_angle" value="33"' in response.text
        assert re.search(r'<details[^>]* id="setup" open', response.text)
        assert store.piece(id).document == before

    def test_what_the_setup_does_not_show_is_kept(self, client: Client, store: Store, id: str) -> None:
        stay = {"name": "Shop", "first": "2026-03-01", "climate": {"kind": "moisture", "dry_pct": 7, "wet_pct": 9}}
        change(store, id, stays=[stay], home_first="2026-06-15")
        assert "On its way: Shop from 1 March 2026; home from 15 June 2026." in text(client.get(f"/pieces/{id}"))
        before = kept(store, id)
        client.post(f"/pieces/{id}/setup", data={"name": "Sideboard"})
        assert kept(store, id) == before.model_copy(update={"name": "Sideboard"})

    def test_panels_that_follow_late_are_told_with_caution(self, client: Client, store: Store, id: str) -> None:
        full = gap_table.rows(kept(store, id))[0].result
        assert "Late and damped." not in client.get(f"/pieces/{id}").text
        client.post(f"/pieces/{id}/setup", data={"following": "lagged", "thickness": "20"})
        late = gap_table.rows(kept(store, id))[0].result
        assert (late.moisture_dry_pct, late.moisture_wet_pct) != (full.moisture_dry_pct, full.moisture_wet_pct)
        page = client.get(f"/pieces/{id}").text
        assert "<strong>Late and damped.</strong>" in page
        assert f"<li>{html.escape(following.NOTE_FILM, quote=False)}" in page.replace("&#39;", "'")
        assert client.post(f"/pieces/{id}/setup", data={"thickness": ""}).status_code == 422

    def test_a_climate_that_is_gone_is_told(self, client: Client, id: str) -> None:
        response = client.post(f"/pieces/{id}/setup", data={"climate": "gone"})
        assert response.status_code == 422
        assert "no longer kept here" in text(response)

    def test_the_unit_is_switched_and_no_length_changes(self, client: Client, store: Store, id: str) -> None:
        before = kept(store, id)
        assert client.post(f"/pieces/{id}/unit", params={"unit": "in"}).status_code == 303
        assert kept(store, id) == before.model_copy(update={"unit": "in"})
        assert 'name="sight_width" value="12 9/32"' in client.get(f"/pieces/{id}").text
        client.post(f"/pieces/{id}/panels/p1", data=form(client, id, "p1") | {"count": "2"})
        assert panel(store, id).sight_width_mm == 312.0
        client.post(f"/pieces/{id}/unit", params={"unit": "cubit"})
        assert kept(store, id).unit == "in"

    @pytest.mark.parametrize("page", ["/kit?order=assembly", "/stays", "/parts/p1", "/frames/f1/elevation", "?more=p1"])
    def test_the_page_that_it_was_switched_on_is_shown_again(self, client: Client, id: str, page: str) -> None:
        here = f"/pieces/{id}{page}"
        switch = re.findall(r'action="([^"]*/unit[^"]*unit=in[^"]*)"', client.get(here).text)
        assert client.post(html.unescape(switch[0])).headers["location"] == here

    @pytest.mark.parametrize("back", ["//else.test/", "https://else.test/", "/pieces", "/pieces/other/kit", "kit"])
    def test_but_no_other_page_than_of_the_piece(self, client: Client, id: str, back: str) -> None:
        answer = client.post(f"/pieces/{id}/unit", params={"unit": "in", "back": back})
        assert answer.headers["location"] == f"/pieces/{id}"


class TestOwnSpecies:
    APPLE = OwnSpecies(name="Apple, garden", coefficient_radial=0.0018, coefficient_tangential=0.0036)

    @pytest.fixture(autouse=True)
    def _keep(self, store: Store) -> None:
        store.save_species(self.APPLE.name, self.APPLE.model_dump_json())

    @pytest.mark.parametrize("action", ["setup", "panels/p1"])
    def test_it_is_written_into_the_piece_so_that_its_file_stands_alone(
        self, client: Client, store: Store, id: str, action: str
    ) -> None:
        client.post(f"/pieces/{id}/{action}", data={"species": "apple, garden"})
        assert kept(store, id).own_species == [self.APPLE]
        store.delete_species(self.APPLE.name)
        assert client.get(f"/pieces/{id}").status_code == 200
        assert client.post(f"/pieces/{id}/panels/p1", data={"species": "APPLE, GARDEN"}).status_code == 303
        assert panel(store, id).species == "Apple, garden"

    def test_new_figures_are_taken_only_when_asked_for(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/panels/p1", data={"species": "Apple, garden"})
        better = self.APPLE.model_copy(update={"coefficient_tangential": 0.004})
        store.save_species(better.name, better.model_dump_json(), (self.APPLE.name, self.APPLE.model_dump_json()))
        client.post(f"/pieces/{id}/panels/p1", data={"count": "2", "species": "Apple, garden"})
        assert kept(store, id).own_species == [self.APPLE]
        assert "“Apple, garden” has other figures by now" in text(client.get(f"/pieces/{id}"))
        client.post(f"/pieces/{id}/species", data={"name": "Apple, garden"})
        assert kept(store, id).own_species == [better]
        assert "other figures by now" not in text(client.get(f"/pieces/{id}"))


def test_the_worked_table_is_that_of_the_core(store: Store, id: str) -> None:
    piece = kept(store, id)
    found = [(frame.name, row.part, row.result) for frame, done in worked.frames(piece) for row in done.rows.values()]
    assert found == [(row.frame.name, row.part, row.result) for row in gap_table.rows(piece)]


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    action=st.sampled_from(["panels/p1", "panels/p1/copy", "frames/f1", "frames/f1/panels", "setup", "frames"]),
    fields=st.dictionaries(
        st.sampled_from([*(one.name for one in PANEL), "groove_depth", "moisture_now", "stamp", "unit", "revision"]),
        st.one_of(st.text(max_size=12), st.sampled_from(["1e400", "nan", "-0", "9" * 400, "½", "1/0", "3 mm 4"])),
    ),
)
def test_nothing_that_is_typed_breaks_the_page(client: Client, id: str, action: str, fields: dict[str, str]) -> None:
    for headers in ({}, FRAGMENT):
        response = client.post(f"/pieces/{id}/{action}", data=fields, headers=headers)
        assert response.status_code in (200, 303, 409, 422)
    assert client.get(f"/pieces/{id}").status_code == 200
    assert client.get(f"/pieces/{id}/gap-table.xlsx").status_code == 200


@pytest.mark.parametrize(
    ("path", "typed", "told"),
    [
        ("panels/p1", {"sight_width": "280"}, r"Left side, upper: [\d.]+ mm wide, gap [\d.]+ mm today\. 7 panels"),
        ("parts/p8", {"opening": "150"}, r"Upper drawer front: [\d.]+ mm wide, gap [\d.]+ mm today\. 7 panels"),
        ("frames/f1/panels", {"sight_width": "312"}, r"Panel 3: [\d.]+ mm wide, gap [\d.]+ mm today\. \d+ panels"),
        ("frames/f1", {"name": "Side"}, r"^\d+ panels"),
    ],
)
def test_a_reader_hears_what_a_change_has_led_to(
    client: Client, id: str, path: str, typed: dict[str, str], told: str
) -> None:
    sent = client.post(f"/pieces/{id}/{path}", data=typed | {"revision": "1"}, headers=FRAGMENT).text
    status = re.search(r'id="status".*?<p>(.*?)</p>', sent, re.DOTALL)
    assert status
    assert re.search(told, html.unescape(status[1]).replace("\xa0", " "))
