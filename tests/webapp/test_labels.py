"""Labels, one for every part that is made: what is on them, how they fill the paper, where their codes lead."""

import io
import re
from typing import Any

import pytest
import segno
from fastapi import FastAPI
from pypdf import PdfReader

from movement import piece as pieces
from movement.parts.any import FrontPart
from movement.piece import Frame
from webapp import codes, lines
from webapp.pages import labels
from webapp.store import Store

from . import paper_cases
from .conftest import Client

MM = 72 / 25.4


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


def pdf(client: Client, address: str) -> PdfReader:
    response = client.get(address)
    assert response.headers["content-type"] == "application/pdf"
    return PdfReader(io.BytesIO(response.content))


def modules(svg: str) -> list[list[bool]]:
    """The dark modules of a code that is drawn as one stroked path, row by row, with its quiet zone."""
    box = re.search(r'viewBox="0 0 (\d+) (\d+)"', svg)
    path = re.search(r'stroke="#000" d="([^"]*)"', svg)
    assert box is not None
    assert path is not None
    found = [[False] * int(box[1]) for _ in range(int(box[2]))]
    x = y = 0.0
    for command, first, second in re.findall(r"([Mmh])(-?[\d.]+)(?:[ ,]?(-?[\d.]+))?", path[1]):
        if command == "h":
            for column in range(int(x), int(x + float(first))):
                found[int(y)][column] = True
            x += float(first)
        elif command == "M":
            x, y = float(first), float(second)
        else:
            x, y = x + float(first), y + float(second)
    return found


class TestCodes:
    def test_the_drawing_is_the_code_of_the_address_in_its_quiet_zone(self) -> None:
        address = "http://shop.test/pieces/abc/parts/p1"
        drawn = modules(codes.svg(address))
        matrix = segno.make(address, error="m", micro=False).matrix_iter(border=4)
        assert drawn == [[bool(module) for module in row] for row in matrix]

    def test_the_quiet_zone_is_light_and_four_modules_wide(self) -> None:
        drawn = modules(codes.svg("http://shop.test/"))
        rim = [*drawn[:4], *drawn[-4:], *(row[:4] + row[-4:] for row in drawn)]
        assert not any(any(row) for row in rim)
        assert 'fill="#fff"' in codes.svg("http://shop.test/")

    def test_every_label_leads_to_its_part(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/labels").text
        for drawn in lines.frames(paper_cases.piece()):
            for line in drawn.lines:
                address = f"http://shop.test/pieces/{id}/parts/{line.id}"
                assert text.count(str(codes.svg(address))) == line.count
                assert client.get(address).status_code == 200

    def test_codes_of_this_computer_s_own_name_are_warned_of(self, client: Client, id: str) -> None:
        assert "The codes work on this computer only." not in client.get(f"/pieces/{id}/labels").text
        here = client.get(f"http://127.0.0.1:8000/pieces/{id}/labels").text
        assert "The codes work on this computer only." in here


class TestLabels:
    def test_there_is_one_for_every_part_that_is_made(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/labels").text
        assert text.count('<section class="label">') == 7
        assert "1 of 2" in text
        assert "2 of 2" in text

    def test_they_tell_size_gap_hold_bias_stock_and_moisture(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/labels").text
        for drawn in lines.frames(paper_cases.piece()):
            for line in drawn.lines:
                assert line.name in text
                moisture, size, short, bias = (
                    one.replace("\u00a0", " ") for one in (line.moisture_words, line.size, line.short, line.bias)
                )
                assert f"{line.stock}; {moisture} today" in text
                if line.fits:
                    assert f'<p class="label-size">{size}</p>' in text
                    assert f'<p class="label-gap">{short}</p>' in text
                    assert f"Bias: {bias}" in text

    def test_what_does_not_fit_is_not_to_be_cut(self, client: Client, store: Store, id: str) -> None:
        text = client.get(f"/pieces/{id}/labels?frame=shallow").text
        assert "Does not fit: do not cut it." in text
        assert "label-size" not in text
        made = FrontPart(id="o1", opening_mm=140.0, least_reveal_mm=1.0, made_mm=150.0)
        text = client.get(f"/pieces/{keep(store, frames=[], parts=[made])}/labels").text
        assert "Does not fit: do not cut it." in text
        assert "label-size" not in text

    def test_one_frame_alone(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/labels", params={"frame": "door"}).text
        assert text.count('<section class="label">') == 2
        assert "Side, upper" not in text

    def test_one_label_is_one(self, client: Client, store: Store) -> None:
        frame = Frame(id="f", panels=[paper_cases.panel("p", "P", 300.0)])
        text = client.get(f"/pieces/{keep(store, frames=[frame], parts=[])}/labels").text
        assert "1 label. Print at" in text

    def test_more_than_a_document_holds_follow_in_the_next(self, client: Client, store: Store) -> None:
        many = [paper_cases.panel("p", "P", 300.0, count=labels.MOST), paper_cases.panel("q", "Q", 300.0, count=2)]
        id = keep(store, frames=[Frame(id="f", panels=many)], parts=[])
        first, second = (client.get(f"/pieces/{id}/labels?frame=f&document={number}").text for number in (1, 2))
        assert first.count('<div class="label-code">') == labels.MOST
        assert "Labels 1 to 400 of 402. One document holds 400." in re.sub("<.*?>|\\s+", " ", first).replace("  ", " ")
        assert second.count('<div class="label-code">') == 2
        assert f"/pieces/{id}/labels.pdf?paper=a4&amp;grid=8&amp;frame=f&amp;document=2" in second
        assert "document=2" in first
        [page] = pdf(client, f"/pieces/{id}/labels.pdf?frame=f&document=2").pages
        assert page.extract_text().count("gap at each edge") == 2

    @pytest.mark.parametrize("document", ["0", "3", "-1", "<b>", "9" * 5000])
    def test_an_unknown_document_is_the_first(self, client: Client, id: str, document: str) -> None:
        text = client.get(f"/pieces/{id}/labels", params={"document": document}).text
        assert text.count('<div class="label-code">') == 7

    def test_names_are_escaped(self, client: Client, store: Store) -> None:
        name = "<img src=x onerror=alert(1)>"
        frames = [Frame(id="f", name=name, panels=[paper_cases.panel("p", name, 300.0)])]
        text = client.get(f"/pieces/{keep(store, frames=frames, name=name)}/labels").text
        assert "<img" not in text
        assert "&lt;img src=x" in text

    def test_a_piece_without_parts_says_so(self, client: Client, store: Store) -> None:
        assert "There are no parts to label yet." in client.get(f"/pieces/{keep(store, frames=[])}/labels").text

    @pytest.mark.parametrize("query", ["grid=7", "grid=<b>", "frame=<b>", "frame=none", "paper=<b>"])
    def test_an_unknown_choice_is_the_usual_one(self, client: Client, id: str, query: str) -> None:
        response = client.get(f"/pieces/{id}/labels?{query}")
        assert response.status_code == 200
        assert response.text.count('<section class="label">') == 7
        assert "<b>" not in response.text

    @pytest.mark.parametrize("ending", ["", ".pdf"])
    def test_another_piece_is_not_found(self, client: Client, store: Store, id: str, ending: str) -> None:
        assert client.get(f"/pieces/none/labels{ending}").status_code == 404
        store.delete_piece(id)
        assert client.get(f"/pieces/{id}/labels{ending}").status_code == 404


class TestEveryPiece:
    """By hand: a side of two stiles and three rails, two drawers of two sides and a bottom each."""

    LABEL = '<div class="label-code">'

    @pytest.mark.parametrize(
        ("query", "count"),
        [
            ("", 7 + 2),
            ("members=1", 7 + 2 + 5),
            ("pieces=1", 7 + 4 + 2),
            ("pieces=1&members=1", 7 + 4 + 2 + 5),
            ("frame=side&members=1", 2 + 5),
            ("frame=.others&members=1&pieces=1", 4 + 2),
            ("members=0&pieces=<b>", 7 + 2),
        ],
    )
    def test_members_and_pieces_are_labelled_where_they_are_wanted(
        self, client: Client, store: Store, query: str, count: int
    ) -> None:
        id = keep(store, parts=paper_cases.PARTS[:1])
        text = client.get(f"/pieces/{id}/labels?{query}").text
        assert text.count(self.LABEL) == count
        assert f"{count} labels. Print at" in text

    def test_the_address_is_the_choice(self, client: Client, store: Store) -> None:
        id = keep(store, parts=paper_cases.PARTS[:1])
        text = client.get(f"/pieces/{id}/labels?grid=18&frame=side&members=1").text
        assert '<input type="checkbox" name="members" value="1" checked>' in text
        assert '<input type="checkbox" name="pieces" value="1">' in text
        for address in re.findall(rf'href="(/pieces/{id}/labels[^"]*)"', text):
            assert "frame=side&amp;members=1" in address
            assert "pieces=" not in address
        [page] = pdf(client, f"/pieces/{id}/labels.pdf?frame=side&members=1&grid=18").pages
        assert page.extract_text().count("1050.0") == 2

    def test_a_piece_of_one_frame_has_the_choice_too(self, client: Client, store: Store) -> None:
        id = keep(store, frames=[Frame(id="f", panels=[paper_cases.panel("p", "P", 300.0)])])
        assert 'name="members"' in client.get(f"/pieces/{id}/labels").text

    def test_frames_whose_members_cannot_be_listed_are_told(self, client: Client, id: str) -> None:
        told = "The width of their stiles and rails is not told"
        assert told not in client.get(f"/pieces/{id}/labels").text
        text = client.get(f"/pieces/{id}/labels?members=1").text
        assert told in text
        assert re.findall(r'/frames/(\w+)/elevation">', text.partition("<main")[0]) == ["back", "door", "shallow"]

    def test_a_member_s_code_leads_to_its_frame(self, client: Client, id: str) -> None:
        address = f"http://shop.test/pieces/{id}/frames/side/elevation"
        assert client.get(f"/pieces/{id}/labels?members=1").text.count(str(codes.svg(address))) == 5
        assert client.get(address).status_code == 200


class TestThePdf:
    @pytest.mark.parametrize(("paper", "width", "height"), [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)])
    @pytest.mark.parametrize("grid", labels.GRIDS)
    def test_the_grid_fills_the_paper(
        self, client: Client, store: Store, paper: str, width: float, height: float, grid: str
    ) -> None:
        id = keep(store, frames=[Frame(id="f", panels=[paper_cases.panel("p", "P", 300.0, count=2 * int(grid))])])
        pages = pdf(client, f"/pieces/{id}/labels.pdf?paper={paper}&grid={grid}").pages
        assert len(pages) == 2
        for page in pages:
            assert float(page.mediabox.width) / MM == pytest.approx(width, abs=0.1)
            assert float(page.mediabox.height) / MM == pytest.approx(height, abs=0.1)
            assert page.extract_text().count("gap at each edge") == int(grid)

    def test_it_is_tagged(self, client: Client, id: str) -> None:
        reader = pdf(client, f"/pieces/{id}/labels.pdf")
        assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]

    def test_a_long_name_leaves_the_size_on_the_label(self, client: Client, store: Store) -> None:
        name = "Name of eighty letters that goes on and on until it has them all, and then ends"
        id = keep(store, frames=[Frame(id="f", panels=[paper_cases.panel("p", name, 300.0)])])
        [drawn] = lines.frames(paper_cases.piece(frames=[Frame(id="f", panels=[paper_cases.panel("p", name, 300.0)])]))
        [line] = drawn.lines
        for grid in labels.GRIDS:
            [page] = pdf(client, f"/pieces/{id}/labels.pdf?grid={grid}").pages
            assert line.cells["cut_width"] in page.extract_text()
