"""The other parts on the piece page: added, edited in place, copied, taken out, and in the gap table."""

import csv
import html
import io
import json
import re
from typing import Any

import httpx
import openpyxl
import pytest
from fastapi import FastAPI

from movement import gap_table
from movement import piece as pieces
from movement.parts.any import MODELS, SizedPart
from movement.parts.slats import CAUTIONS
from movement.piece import Piece
from movement.species import find
from movement.tables import DATA
from webapp import exports, otherparts
from webapp.kinds.catalogue import KINDS
from webapp.store import Store

from .conftest import FRAGMENT, Client

NEW: dict[str, dict[str, str]] = {
    "boards": {"opening": "600", "board_face": "85"},
    "drawer": {"opening_height": "120", "case_depth": "450"},
    "front": {"opening": "150"},
    "door": {"opening": "450", "stile_width": "60"},
    "joint": {"tenon_width": "90"},
    "top": {"top_width": "480", "distances": "180; 90", "screw": "5", "overhang_front": "20", "overhang_back": "8"},
    "slot": {"distance": "300", "screw": "5"},
    "breadboard": {"top_width": "480", "distances": "180", "screw": "8"},
    "slats": {"slat_width": "60", "space_now": "15"},
}
"""What only the maker knows of a new part of each kind, as typed."""


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


def part(store: Store, id: str, handle: str = "p8") -> SizedPart:
    return next(one for one in kept(store, id).parts if one.id == handle)


def fields(page: str, action: str) -> dict[str, str]:
    """What a form would send untouched, as the page has it."""
    found = re.search(rf'<form[^>]* action="{action}"[^>]*>(.*?)</form>', page, re.DOTALL)
    assert found, action
    typed = dict(re.findall(r'<input[^>]* name="([^"]+)" value="([^"]*)"', found[1]))
    for name, options in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', found[1], re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', options)
        typed[name] = chosen[1] if chosen else ""
    revision = re.search(r'id="revision" value="(\d+)"', page)
    assert revision
    return {name: html.unescape(text) for name, text in typed.items()} | {"revision": revision[1]}


def form(client: Client, id: str, handle: str = "p8") -> dict[str, str]:
    return fields(client.get(f"/pieces/{id}?more={handle}").text, f"/pieces/{id}/parts/{handle}")


def new(client: Client, id: str, kind: str, **typed: str) -> dict[str, str]:
    page = client.get(f"/pieces/{id}", params={"adding": kind}).text
    return fields(page, f"/pieces/{id}/parts") | NEW[kind] | typed


def text(response: httpx.Response) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", response.text)).split())


def error_at(response: httpx.Response, id: str) -> str:
    found = re.search(rf'id="{re.escape(id)}-error">.*?</span>(.*?)</p>', response.text)
    assert found, f"no error at {id}"
    return html.unescape(found[1])


class TestThePage:
    def test_it_shows_every_part_with_its_result(self, client: Client, store: Store, id: str) -> None:
        page = text(client.get(f"/pieces/{id}"))
        for one in kept(store, id).parts:
            assert one.name in page
        for line in otherparts.others(kept(store, id)):
            assert f"{line.short}." in page
        assert "5 other parts" in page

    def test_its_gap_table_has_a_row_for_each(self, client: Client, store: Store, id: str) -> None:
        page = client.get(f"/pieces/{id}").text
        shown = re.findall(
            r'<tr class="part"><th scope="row"><a href="/pieces/[^/]+/parts/(\w+)">(.*?)</a></th>(.*?)</tr>', page
        )
        assert [one[0] for one in shown] == [one.id for one in kept(store, id).parts]
        for (_, name, cells), one in zip(shown, kept(store, id).parts, strict=True):
            row = gap_table.part_row(kept(store, id), one).cells()
            values = re.findall(r"<td[^>]*>(?:<span[^>]*>)?([^<]*)", cells)
            assert html.unescape(name) == one.name
            assert values[0] == "1"
            assert values[1] == f"{row['cut_width_mm']:.1f}"
            now = row["gap_now_mm"]
            assert values[2] == "–" if now is None else float(values[2]) == pytest.approx(now, abs=0.1)
            assert values[-1] == row["species"]

    def test_a_part_opens_with_its_fields_and_its_drawing(self, client: Client, id: str) -> None:
        closed, opened = client.get(f"/pieces/{id}").text, client.get(f"/pieces/{id}?more=p8").text
        assert f'action="/pieces/{id}/parts/p8"' not in closed
        assert f'action="/pieces/{id}/parts/p8"' in opened
        assert 'id="drawing-p8-1-title"' in opened
        assert "?less=p8" in opened

    def test_the_fragment_of_an_opened_part_is_in_the_page(self, client: Client, id: str) -> None:
        sent = client.get(f"/pieces/{id}?more=p8", headers=FRAGMENT).text
        assert "hx-target=\"[id='part-p8']\"" in sent
        row = re.search(r'<li class="part-row" id="part-p8">.*?</li>', sent, re.DOTALL)
        assert row
        assert row[0] in client.get(f"/pieces/{id}?more=p8").text.replace(" autofocus", "")

    def test_every_kind_is_offered(self, client: Client, id: str) -> None:
        page = client.get(f"/pieces/{id}").text
        assert all(f'<option value="{kind.key}">' in page for kind in KINDS)

    def test_the_demo_fits_everywhere(self, client: Client, id: str) -> None:
        assert "Does not fit" not in client.get(f"/pieces/{id}").text
        assert "Cannot be sized" not in client.get(f"/pieces/{id}").text

    def test_slats_show_their_cautions_in_the_table(self, client: Client, id: str) -> None:
        client.post(f"/pieces/{id}/parts", data=new(client, id, "slats"))
        assert all(line in text(client.get(f"/pieces/{id}")) for line in CAUTIONS)


class TestAdding:
    def test_every_kind_has_its_values(self) -> None:
        assert set(NEW) == {kind.key for kind in KINDS} == set(MODELS)

    @pytest.mark.parametrize("kind", NEW)
    def test_a_part_of_every_kind_is_added(self, client: Client, store: Store, id: str, kind: str) -> None:
        response = client.post(f"/pieces/{id}/parts", data=new(client, id, kind, name="Mine", count="2"))
        added = kept(store, id).parts[-1]
        assert response.status_code == 303
        assert response.headers["location"] == f"/pieces/{id}#part-{added.id}"
        assert (type(added), added.name, added.count) == (MODELS[kind], "Mine", 2)
        assert (added.species, added.ring_angle_deg, added.moisture_now_pct, added.thickness_mm) == (None,) * 4
        page = client.get(f"/pieces/{id}?more={added.id}")
        assert page.status_code == 200
        assert 'id="part-' + added.id in page.text

    @pytest.mark.parametrize("kind", NEW)
    def test_what_only_the_maker_knows_is_not_made_up(self, client: Client, store: Store, id: str, kind: str) -> None:
        blank = new(client, id, kind) | dict.fromkeys(NEW[kind], "")
        shown = fields(
            client.get(f"/pieces/{id}", params={"adding": kind}).text,
            f"/pieces/{id}/parts",
        )
        assert all(shown[name] == "" for name in NEW[kind])
        response = client.post(f"/pieces/{id}/parts", data=blank)
        assert response.status_code == 422
        assert len(kept(store, id).parts) == 5

    def test_a_refused_part_keeps_what_was_typed(self, client: Client, store: Store, id: str) -> None:
        typed = new(client, id, "front", opening="-3", name="Odd", species="Unobtainium")
        response = client.post(f"/pieces/{id}/parts", data=typed)
        assert response.status_code == 422
        assert "Allowed is" in error_at(response, "front.part-opening")
        assert "Unobtainium" in error_at(response, "front.part-species")
        again = fields(response.text, f"/pieces/{id}/parts")
        assert (again["name"], again["opening"], again["species"]) == ("Odd", "-3", "Unobtainium")
        assert len(kept(store, id).parts) == 5

    def test_a_part_that_cannot_be_is_refused_at_its_field(self, client: Client, store: Store, id: str) -> None:
        response = client.post(f"/pieces/{id}/parts", data=new(client, id, "door", opening="120", stile_width="90"))
        assert response.status_code == 422
        assert 'aria-invalid="true"' in response.text
        assert len(kept(store, id).parts) == 5

    def test_an_added_part_comes_as_fragments(self, client: Client, store: Store, id: str) -> None:
        response = client.post(f"/pieces/{id}/parts", data=new(client, id, "slot"), headers=FRAGMENT)
        assert response.status_code == 200
        targets = re.findall(r"hx-target=\"\[id='([^']+)'\]\"", response.text)
        assert {"part-rows", "new-part", "gap-parts", "revision", "table-count"} <= set(targets)
        assert kept(store, id).parts[-1].name in response.text
        assert "<html" not in response.text

    def test_a_refused_new_part_comes_as_a_fragment(self, client: Client, id: str) -> None:
        response = client.post(f"/pieces/{id}/parts", data=new(client, id, "slot", screw="x"), headers=FRAGMENT)
        assert response.status_code == 422
        assert re.findall(r"hx-target=\"\[id='([^']+)'\]\"", response.text) == ["new-part"]
        assert error_at(response, "slot.part-screw")

    def test_inches_are_read_and_shown(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/unit?unit=in")
        client.post(f"/pieces/{id}/parts", data=new(client, id, "slot", distance='12"', screw="3/16"))
        added = json.loads(store.piece(id).document)["parts"][-1]
        assert (added["distance_mm"], added["screw_mm"]) == (pytest.approx(304.8), pytest.approx(4.7625))

    def test_a_kind_that_is_none_is_not_found(self, client: Client, store: Store, id: str) -> None:
        typed = new(client, id, "slot") | {"kind": "wing"}
        assert client.post(f"/pieces/{id}/parts", data=typed).status_code == 409
        assert client.get(f"/pieces/{id}?adding=wing").status_code == 200
        assert len(kept(store, id).parts) == 5


class TestEditing:
    def test_nothing_touched_changes_nothing(self, client: Client, store: Store, id: str) -> None:
        for one in kept(store, id).parts:
            before = store.piece(id)
            assert client.post(f"/pieces/{id}/parts/{one.id}", data=form(client, id, one.id)).status_code == 303
            assert store.piece(id).document == before.document

    def test_a_field_is_kept(self, client: Client, store: Store, id: str) -> None:
        typed = form(client, id) | {"opening": "160", "species": "white ash", "ring_angle": "90", "count": "3"}
        assert client.post(f"/pieces/{id}/parts/p8", data=typed).status_code == 303
        made: Any = part(store, id)
        assert (made.opening_mm, made.species, made.ring_angle_deg, made.count) == (160.0, "Ash, white", 90.0, 3)
        assert "Ash, white" in text(client.get(f"/pieces/{id}"))

    def test_a_change_comes_as_its_row_and_its_table(self, client: Client, id: str) -> None:
        typed = form(client, id) | {"opening": "160"}
        response = client.post(f"/pieces/{id}/parts/p8", data=typed, headers=FRAGMENT)
        targets = re.findall(r"hx-target=\"\[id='([^']+)'\]\"", response.text)
        assert {"part-p8", "gap-parts"} <= set(targets)
        assert "part-rows" not in targets
        assert f'action="/pieces/{id}/parts/p8"' in response.text

    def test_a_refused_field_keeps_what_was_typed(self, client: Client, store: Store, id: str) -> None:
        before = part(store, id)
        typed = form(client, id) | {"opening": "many", "least_reveal": "2"}
        for headers in ({}, FRAGMENT):
            response = client.post(f"/pieces/{id}/parts/p8", data=typed, headers=headers)
            assert response.status_code == 422
            assert "Allowed is" in error_at(response, "p8-opening")
            assert 'name="opening" value="many"' in response.text
            assert 'name="least_reveal" value="2"' in response.text
        assert part(store, id) == before

    def test_what_another_changed_is_not_overwritten(self, client: Client, store: Store, id: str) -> None:
        stale = form(client, id)
        other = form(client, id) | {"opening": "165"}
        assert client.post(f"/pieces/{id}/parts/p8", data=other).status_code == 303
        response = client.post(f"/pieces/{id}/parts/p8", data=stale | {"opening": "150"})
        assert response.status_code == 422
        assert "changed elsewhere" in error_at(response, "p8-opening")
        assert client.post(f"/pieces/{id}/parts/p8", data=stale | {"count": "2"}).status_code == 303
        made: Any = part(store, id)
        assert (made.opening_mm, made.count) == (165.0, 2)

    def test_a_slab_has_no_stiles(self, client: Client, store: Store, id: str) -> None:
        typed = form(client, id, "p10") | {"construction": "slab"}
        assert client.post(f"/pieces/{id}/parts/p10", data=typed).status_code == 303
        made: Any = part(store, id, "p10")
        assert (made.construction, made.stile_width_mm) == ("slab", None)
        again = form(client, id, "p10")
        assert "stile_width" not in again
        response = client.post(f"/pieces/{id}/parts/p10", data=again | {"construction": "framed"})
        assert response.status_code == 422
        assert "give the width" in error_at(response, "p10-stile_width")

    def test_a_species_of_the_maker_s_own_goes_into_the_file(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/parts", data=new(client, id, "drawer"))
        own = {"name": "Garden apple", "coefficient_radial": 0.002, "coefficient_tangential": 0.004}
        store.save_species("Garden apple", json.dumps(own))
        handle = kept(store, id).parts[-1].id
        typed = form(client, id, handle) | {"bottom_species": "garden apple"}
        assert client.post(f"/pieces/{id}/parts/{handle}", data=typed).status_code == 303
        made: Any = part(store, id, handle)
        assert made.bottom_species == "Garden apple"
        assert [one.name for one in kept(store, id).own_species] == ["Garden apple"]

    def test_a_part_that_is_gone_is_told_with_what_was_typed(self, client: Client, store: Store, id: str) -> None:
        typed = form(client, id) | {"opening": "161"}
        client.post(f"/pieces/{id}/parts/p8/delete", data={})
        response = client.post(f"/pieces/{id}/parts/p8", data=typed)
        assert response.status_code == 409
        assert "opening “161”" in text(response)


class TestCopyingAndTakingOut:
    def test_a_copy_stands_right_after(self, client: Client, store: Store, id: str) -> None:
        assert client.post(f"/pieces/{id}/parts/p8/copy", data={}).status_code == 303
        names = [one.name for one in kept(store, id).parts]
        assert names[1:3] == ["Upper drawer front", "Upper drawer front 2"]
        first, twin = kept(store, id).parts[1:3]
        assert twin == first.model_copy(update={"id": twin.id, "name": twin.name})

    def test_a_part_is_taken_out_and_put_back(self, client: Client, store: Store, id: str) -> None:
        before = kept(store, id)
        response = client.post(f"/pieces/{id}/parts/p9/delete", data={})
        assert "“Lower drawer front” was taken out." in text(response)
        assert [one.id for one in kept(store, id).parts] == ["p7", "p8", "p10", "p11"]
        found = re.search(r'name="taken" value="([^"]*)"', response.text)
        assert found
        taken = html.unescape(found[1])
        assert client.post(f"/pieces/{id}/put-back", data={"taken": taken}).status_code == 303
        assert kept(store, id) == before
        client.post(f"/pieces/{id}/put-back", data={"taken": taken})
        assert kept(store, id) == before

    def test_taking_out_comes_as_fragments(self, client: Client, id: str) -> None:
        data = {"revision": form(client, id)["revision"]}
        response = client.post(f"/pieces/{id}/parts/p9/delete", data=data, headers=FRAGMENT)
        targets = re.findall(r"hx-target=\"\[id='([^']+)'\]\"", response.text)
        assert {"part-rows", "gap-parts", "undo"} <= set(targets)


class TestMoving:
    def ids(self, store: Store, id: str) -> list[str]:
        return [one.id for one in kept(store, id).parts]

    @pytest.mark.parametrize(
        ("handle", "way", "order"),
        [
            ("p8", "up", ["p8", "p7", "p9", "p10", "p11"]),
            ("p8", "down", ["p7", "p9", "p8", "p10", "p11"]),
            ("p7", "up", ["p7", "p8", "p9", "p10", "p11"]),
            ("p11", "down", ["p7", "p8", "p9", "p10", "p11"]),
        ],
    )
    def test_a_part_moves_one_place(
        self, client: Client, store: Store, id: str, handle: str, way: str, order: list[str]
    ) -> None:
        response = client.post(f"/pieces/{id}/parts/{handle}/{way}", data=form(client, id, handle))
        assert (response.status_code, response.headers["location"]) == (303, f"/pieces/{id}#part-{handle}")
        assert self.ids(store, id) == order

    def test_what_was_typed_beside_is_kept_with_the_move(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/parts/p8/down", data=form(client, id) | {"opening": "165"})
        made: Any = part(store, id)
        assert made.opening_mm == 165.0
        response = client.post(f"/pieces/{id}/parts/p8/up", data=form(client, id) | {"opening": "many"})
        assert response.status_code == 422
        assert 'name="opening" value="many"' in response.text
        assert self.ids(store, id) == ["p7", "p9", "p8", "p10", "p11"]

    def test_the_buttons_are_there_without_script_and_keep_the_cursor(self, client: Client, id: str) -> None:
        page = client.get(f"/pieces/{id}?more=p8").text
        for way in ("up", "down"):
            assert f'type="submit" formaction="/pieces/{id}/parts/p8/{way}"' in page
        sent = client.post(f"/pieces/{id}/parts/p8/down", data=form(client, id), headers=FRAGMENT)
        targets = re.findall(r"hx-target=\"\[id='([^']+)'\]\"", sent.text)
        assert {"part-rows", "gap-parts"} <= set(targets)
        assert "new-part" not in targets, "what is typed of a new part stays"
        assert 'id="p8-down" autofocus' in sent.text

    def test_the_numbers_on_paper_follow(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/parts/p11/up", data=form(client, id, "p11"))
        assert [line.title for line in otherparts.others(kept(store, id))][-2:] == ["10. Top", "11. Pair of doors"]

    def test_a_part_that_is_gone_is_told(self, client: Client, store: Store, id: str) -> None:
        typed = form(client, id)
        client.post(f"/pieces/{id}/parts/p8/delete", data={})
        assert client.post(f"/pieces/{id}/parts/p8/up", data=typed).status_code == 409


class TestFiles:
    def test_the_csv_has_a_row_for_each(self, client: Client, store: Store, id: str) -> None:
        lines = list(csv.DictReader(io.StringIO(client.get(f"/pieces/{id}/gap-table.csv").text)))
        assert [line["Kind"] for line in lines[-5:]] == ["boards", "front", "front", "door", "top"]
        table = [row.cells() for row in gap_table.whole(kept(store, id))]
        told = [cells["also"] or "" for cells in table]
        assert [line["Also"] for line in lines if line["Kind"] != "boards"] == told[:-5] + told[-4:]
        assert lines[-5]["Also"] == f"{told[-5]}; 1.5 mm at each end today"
        assert float(lines[-2]["Opening (mm)"]) == 782.0
        assert lines[-1]["Gap today (mm)"] == ""

    def test_the_spreadsheet_has_a_row_for_each(self, store: Store, id: str) -> None:
        sheet = openpyxl.load_workbook(io.BytesIO(exports.xlsx_bytes(kept(store, id)))).active
        assert sheet is not None
        rows = list(sheet.values)
        kinds = [row[rows[0].index("Kind")] for row in rows[1:]]
        assert kinds[-5:] == ["boards", "front", "front", "door", "top"]

    def test_the_api_answers_them(self, client: Client, store: Store, id: str) -> None:
        answered = client.post("/api/v1/piece", json=json.loads(store.piece(id).document))
        assert answered.status_code == 200
        found = answered.json()["rows"]
        assert found == json.loads(json.dumps([row.cells() for row in gap_table.whole(kept(store, id))]))
        piece = json.loads(store.piece(id).document) | {"defaults": {"species": "Teak", "moisture_now_pct": 20}}
        notes = client.post("/api/v1/piece", json=piece).json()["notes"]
        assert "Today's 20.0 % lies" in notes[0]
        assert set(find("Teak").notes) < set(notes)
        assert len(set(notes)) == len(notes)
