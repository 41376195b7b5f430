"""The kit order and the part at the bench: what comes when, and what is ticked off stays so."""

import re
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement.piece import Frame, Piece
from webapp import lines
from webapp.kit import Kit
from webapp.store import Store
from webapp.words import Words

from . import paper_cases
from .conftest import Client


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


@pytest.fixture
def id(store: Store) -> str:
    return keep(store)


def keep(store: Store, **more: Any) -> str:
    piece = paper_cases.piece(**more)
    return store.add_piece(piece.name, pieces.dump(piece)).id


def kit(piece: Piece) -> Kit:
    return Kit(lines.frames(piece), {}, Words(piece.unit))


def rows(text: str) -> list[str]:
    """The steps of a page, in order."""
    return re.findall(r'<li class="kit-row[^"]*" id="([^"]*)">', text)


def tick(client: Client, id: str, step: str, handle: str, done: str = "1", **more: Any) -> Any:
    data = {"step": step, "handle": handle, "done": done, **more.pop("data", {})}
    return client.post(f"/pieces/{id}/kit", data=data, **more)


class TestTheOrder:
    def test_frames_of_one_setting_and_parts_of_one_stock_come_together(self) -> None:
        frames = [
            Frame(id="a", groove_depth_mm=10.0, panels=[paper_cases.panel("a1", "A", 200.0)]),
            Frame(id="b", groove_depth_mm=12.0, panels=[paper_cases.panel("b1", "B", 200.0)]),
            Frame(
                id="c",
                groove_depth_mm=10.0,
                panels=[
                    paper_cases.panel("c1", "C", 200.0, thickness_mm=18.0),
                    paper_cases.panel("c2", "C", 260.0),
                    paper_cases.panel("c3", "C", 200.0, 700.0),
                    paper_cases.panel("c4", "C", 200.0, species="Ash, white"),
                ],
            ),
        ]
        settings = list(kit(paper_cases.piece(frames=frames)).settings)
        assert [[item.handle for item in setting.frames] for setting in settings] == [["b"], ["a", "c"]]
        found = [[[item.handle for item in stock.items] for stock in setting.stocks] for setting in settings]
        assert found == [[["b1"]], [["c4"], ["c2", "c3", "a1"], ["c1"]]]
        assert [stock.name.split(",")[-1] for stock in settings[1].stocks] == [" 12.0 mm thick"] * 2 + [
            " 18.0 mm thick"
        ]

    def test_assembly_goes_frame_by_frame(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/kit?order=assembly").text
        assert rows(text) == [
            *("assemble-s1", "assemble-s2", "glue-side"),
            *("assemble-b1", "assemble-b2", "glue-back"),
            *("assemble-d1", "glue-door"),
        ]

    def test_a_frame_that_a_panel_does_not_go_into_is_not_glued_up(self, client: Client, store: Store) -> None:
        panels = [paper_cases.panel("x1", "Too wide", 450.0), paper_cases.panel("x2", "Narrow", 100.0)]
        id = keep(store, frames=[Frame(id="f", groove_depth_mm=8.0, panels=panels)])
        assert rows(client.get(f"/pieces/{id}/kit?order=assembly").text) == ["assemble-x2"]
        assert tick(client, id, "glue", "f").status_code == 404

    def test_what_does_not_fit_is_not_made(self, client: Client, id: str) -> None:
        for order in ("milling", "assembly"):
            text = client.get(f"/pieces/{id}/kit?order={order}").text
            assert "Not to be made yet." in text
            assert "6. Too wide does not fit" in text
            assert not any(one.endswith("-x1") for one in rows(text))

    def test_milling_is_the_order_unless_another_is_asked_for(self, client: Client, id: str) -> None:
        assert rows(client.get(f"/pieces/{id}/kit").text)[0].startswith("groove-")
        assert rows(client.get(f"/pieces/{id}/kit?order=<b>").text) == rows(client.get(f"/pieces/{id}/kit").text)

    def test_an_empty_piece_says_so(self, client: Client, store: Store) -> None:
        id = keep(store, frames=[])
        assert "There is nothing to make yet" in client.get(f"/pieces/{id}/kit").text
        assert "There is nothing to assemble yet" in client.get(f"/pieces/{id}/kit?order=assembly").text

    def test_names_are_escaped(self, client: Client, store: Store) -> None:
        name = "<script>alert(1)</script>"
        id = keep(store, name=name, frames=[Frame(id="f", name=name, panels=[paper_cases.panel("p", name, 300.0)])])
        for address in ("kit", "kit?order=assembly", "parts/p"):
            assert "<script>alert" not in client.get(f"/pieces/{id}/{address}").text

    def test_the_fragment_is_part_of_the_page(self, client: Client, id: str, fragment: dict[str, str]) -> None:
        page, part = client.get(f"/pieces/{id}/kit").text, client.get(f"/pieces/{id}/kit", headers=fragment).text
        assert part.startswith('<div class="stack" id="sheet">')
        assert part.partition('<div id="status"')[0].strip() in page
        assert 'hx-swap-oob="innerHTML"><p>0 of 22 steps done.</p>' in part


class TestTicks:
    def test_a_tick_is_kept_and_leads_back_to_its_row(self, client: Client, store: Store, id: str) -> None:
        response = tick(client, id, "cut", "s1")
        assert (response.status_code, response.headers["location"]) == (303, f"/pieces/{id}/kit?order=milling#cut-s1")
        text = client.get(f"/pieces/{id}/kit").text
        assert '<li class="kit-row is-done" id="cut-s1">' in text
        assert "1 of 22 steps done." in text
        assert 'id="button-cut-s1" aria-pressed="true" aria-label="Cut: 1. Side, upper"' in text
        assert [(one.part, one.step) for one in store.ticks(id)] == [("s1", "cut")]

    def test_it_outlives_the_server(self, client: Client, id: str, tmp_path: Path, app: FastAPI) -> None:
        tick(client, id, "assemble", "s1")
        again = Store(f"sqlite:///{tmp_path / app.state.store.engine.url.database}")
        assert [one.part for one in again.ticks(id)] == ["s1"]
        again.close()

    def test_it_is_taken_back(self, client: Client, store: Store, id: str) -> None:
        tick(client, id, "cut", "s1")
        tick(client, id, "cut", "s1", "0")
        assert store.ticks(id) == []
        tick(client, id, "cut", "s1", "0")
        assert store.ticks(id) == []

    def test_ticking_twice_ticks_once(self, client: Client, store: Store, id: str) -> None:
        tick(client, id, "groove", "side")
        tick(client, id, "groove", "side")
        assert len(store.ticks(id)) == 1

    def test_with_script_the_sheet_comes_back(self, client: Client, id: str, fragment: dict[str, str]) -> None:
        response = tick(client, id, "assemble", "s2", headers=fragment, data={"order": "assembly"})
        assert response.status_code == 200
        assert rows(response.text)[0] == "assemble-s1"
        assert '<li class="kit-row is-done" id="assemble-s2">' in response.text

    @pytest.mark.parametrize(
        ("step", "handle"),
        [
            ("cut", "none"),
            ("paint", "s1"),
            ("", ""),
            ("groove", "s1"),
            ("cut", "side"),
            ("cut", "x1"),
            ("groove", "<b>"),
            ("glue", "s1"),
            ("glue", "shallow"),
        ],
    )
    def test_what_is_not_to_be_made_is_not_found(
        self, client: Client, store: Store, id: str, step: str, handle: str
    ) -> None:
        assert tick(client, id, step, handle).status_code == 404
        assert store.ticks(id) == []

    def test_another_piece_is_not_found(self, client: Client, store: Store, id: str) -> None:
        assert tick(client, "none", "cut", "s1").status_code == 404
        store.delete_piece(id)
        assert tick(client, id, "cut", "s1").status_code == 404
        assert client.get(f"/pieces/{id}/kit").status_code == 404

    def test_pieces_have_ticks_of_their_own(self, client: Client, store: Store, id: str) -> None:
        other = keep(store)
        tick(client, id, "cut", "s1")
        assert store.ticks(other) == []
        assert "0 of 22 steps done." in client.get(f"/pieces/{other}/kit").text

    def test_a_part_that_is_taken_out_takes_its_ticks_along(self, client: Client, store: Store, id: str) -> None:
        tick(client, id, "cut", "s1")
        before = store.piece(id).document

        def without(document: str) -> tuple[str, str]:
            piece = pieces.load(document)
            return piece.name, pieces.dump(piece.model_copy(update={"frames": piece.frames[1:]}))

        store.change_piece(id, without)
        assert "0 of 14 steps done." in client.get(f"/pieces/{id}/kit").text
        store.change_piece(id, lambda document: ("Wall cupboard", before))
        assert "1 of 22 steps done." in client.get(f"/pieces/{id}/kit").text

    @pytest.mark.parametrize(("step", "handle"), [("cut", "s1"), ("groove", "side")])
    def test_a_size_that_changed_since_is_told(
        self, client: Client, store: Store, id: str, step: str, handle: str
    ) -> None:
        tick(client, id, step, handle)
        assert "not what is wanted now" not in client.get(f"/pieces/{id}/kit").text

        def wetter(document: str) -> tuple[str, str]:
            piece = pieces.load(document)
            defaults = piece.defaults.model_copy(update={"moisture_now_pct": 13.0})
            return piece.name, pieces.dump(piece.model_copy(update={"defaults": defaults}))

        [was] = [one for drawn in lines.frames(paper_cases.piece()) for one in drawn.lines if one.id == "s1"]
        store.change_piece(id, wetter)
        text = client.get(f"/pieces/{id}/kit").text
        assert "1 made to another size than is wanted now" in text
        if step == "cut":
            made = " × ".join(f"{size:.1f} mm" for size in was.sizes)
            assert f"Made {made}, which is not what is wanted now." in text
            assert f"Made {made}" in client.get(f"/pieces/{id}/parts/s1").text
        tick(client, id, step, handle)
        assert "not what is wanted now" not in client.get(f"/pieces/{id}/kit").text

    def test_another_unit_changes_no_size(self, client: Client, id: str) -> None:
        tick(client, id, "cut", "s1")
        client.post(f"/pieces/{id}/unit?unit=in")
        text = client.get(f"/pieces/{id}/kit").text
        assert "1 of 22 steps done." in text
        assert "not what is wanted now" not in text

    def test_another_site_cannot_tick(self, client: Client, store: Store, id: str) -> None:
        assert tick(client, id, "cut", "s1", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403
        assert store.ticks(id) == []


class TestWhatIsWorkedIn:
    def test_panels_thicker_than_their_edges_get_tongues_after_all_are_cut(self, client: Client, store: Store) -> None:
        panels = [paper_cases.panel("t1", "Thick", 200.0), paper_cases.panel("t2", "As thick as its edge", 220.0)]
        panels[1] = panels[1].model_copy(update={"thickness_mm": 6.0})
        id = keep(store, frames=[Frame(id="f", panels=panels)])
        text = client.get(f"/pieces/{id}/kit").text
        assert rows(text) == ["groove-f", "cut-t2", "cut-t1", "tongue-t1"]
        assert "<h3>Tongues</h3>" in text
        assert 'aria-label="Tongued: 1. Thick"' in text
        assert '<span class="kit-size">edge 6.0 mm thick</span>' in text.replace("\u00a0", " ")

    def test_a_tongue_is_ticked_by_itself_and_stays_so(self, client: Client, store: Store, id: str) -> None:
        assert tick(client, id, "tongue", "s1").headers["location"] == f"/pieces/{id}/kit?order=milling#tongue-s1"
        assert [(one.part, one.step, one.made) for one in store.ticks(id)] == [("s1", "tongue", "6.000")]
        text = client.get(f"/pieces/{id}/kit").text
        assert '<li class="kit-row is-done" id="tongue-s1">' in text
        assert '<li class="kit-row" id="cut-s1">' in text
        assert 'id="button-tongue-s1" aria-pressed="true"' in client.get(f"/pieces/{id}/parts/s1").text

    def test_another_thickness_of_the_edge_is_told_at_the_tongue_alone(
        self, client: Client, store: Store, id: str
    ) -> None:
        for step in ("cut", "tongue"):
            tick(client, id, step, "s1")

        def thicker(document: str) -> tuple[str, str]:
            piece = pieces.load(document)
            defaults = piece.defaults.model_copy(update={"tongue_thickness_mm": 8.0})
            return piece.name, pieces.dump(piece.model_copy(update={"defaults": defaults}))

        store.change_piece(id, thicker)
        text = client.get(f"/pieces/{id}/kit").text.replace("\u00a0", " ")
        told = [one for one in re.findall(r'<li class="kit-row.*?</li>', text, re.S) if "wanted now" in one]
        assert [re.findall(r'<li [^>]*id="([^"]*)"', one) for one in told] == [["tongue-s1"]]
        assert "Made 6.0 mm, which is not what is wanted now." in text


class TestAtTheBench:
    def test_a_part_shows_its_answer(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/parts/s1").text
        [line] = [one for drawn in lines.frames(paper_cases.piece()) for one in drawn.lines if one.id == "s1"]
        assert "<h1>1. Side, upper</h1>" in text
        assert f'<dd class="value">{line.cells["cut_width"]} <span class="unit">mm</span></dd>' in text
        assert line.lean.replace("\u00a0", " ") in text
        assert f'href="/pieces/{id}#panel-s1"' in text

    def test_its_steps_are_ticked_off_there(self, client: Client, store: Store, id: str) -> None:
        response = tick(client, id, "cut", "s1", data={"at": "bench"})
        assert response.headers["location"] == f"/pieces/{id}/parts/s1"
        assert 'id="button-cut-s1" aria-pressed="true"' in client.get(f"/pieces/{id}/parts/s1").text

    def test_a_part_that_does_not_fit_shows_no_size_to_cut(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/parts/x1").text
        assert "It does not fit: do not cut it." in text
        assert "Cut it to" not in text
        assert "tick-button" not in text

    def test_a_part_that_is_made_often_says_how_often(self, client: Client, id: str) -> None:
        assert '5. Door panel <span class="muted">× 2</span>' in client.get(f"/pieces/{id}/parts/d1").text

    def test_parts_lead_to_one_another(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/parts/s2").text
        assert f'href="/pieces/{id}/parts/s1" rel="prev"' in text
        assert f'href="/pieces/{id}/parts/b1" rel="next"' in text
        assert 'rel="prev"' not in client.get(f"/pieces/{id}/parts/s1").text

    def test_what_is_not_there_is_not_found(self, client: Client, store: Store, id: str) -> None:
        assert client.get(f"/pieces/{id}/parts/none").status_code == 404
        assert client.get(f"/pieces/{id}/parts/side").status_code == 404
        assert client.get("/pieces/none/parts/s1").status_code == 404
        store.delete_piece(id)
        assert client.get(f"/pieces/{id}/parts/s1").status_code == 404

    def test_a_part_that_was_refused_says_why(self, client: Client, id: str, monkeypatch: pytest.MonkeyPatch) -> None:
        found = lines.Worked(8.0, problems={"d1": "Sight width is 9 mm."})
        monkeypatch.setattr(lines.worked, "frames", lambda piece: [(piece.frames[2], found)])
        assert "It could not be sized.</strong> Sight width is 9 mm." in client.get(f"/pieces/{id}/parts/d1").text
