"""The shop sheet: the same page for the browser and, tagged and to scale, as PDF."""

import html
import io
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from importlib.machinery import ModuleSpec
from typing import Any

import pytest
from anyio.from_thread import BlockingPortal
from fastapi import FastAPI
from pypdf import PdfReader

from movement import piece as pieces
from movement.lengths import Unit
from movement.parts.climates import MoistureClimate
from movement.piece import Frame
from webapp import cautions, lines, paper
from webapp.app import create_app
from webapp.pages import sheet
from webapp.settings import Settings
from webapp.store import Store

from . import paper_cases
from .conftest import Client

Printed = Callable[[str], PdfReader]
MM = 72 / 25.4
"""One millimetre [pt]."""


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


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory, portal: BlockingPortal) -> Iterator[Printed]:
    """The sheet on a paper; made once for all tests that only read it."""
    app = create_app(Settings(data=tmp_path_factory.mktemp("printed"), database_url=""))
    client = Client(app, portal)
    id = keep(app.state.store)
    made: dict[str, PdfReader] = {}

    def on(paper: str) -> PdfReader:
        if paper not in made:
            made[paper] = pdf(client, f"/pieces/{id}/sheet.pdf?paper={paper}")
        return made[paper]

    yield on
    client.close()
    app.state.store.close()


def words(text: str) -> str:
    return " ".join(text.split())


def rectangles(reader: PdfReader) -> list[tuple[float, float]]:
    """Width and height [mm] of every rectangle that is drawn, on paper."""
    found = []

    def visit(operator: bytes, operands: Sequence[Any], matrix: Sequence[float], _: Any) -> None:
        if operator == b"re":
            width, height = float(operands[2]), float(operands[3])
            found.append((abs(width * matrix[0]) / MM, abs(height * matrix[3]) / MM))

    for page in reader.pages:
        page.extract_text(visitor_operand_before=visit)
    return found


class TestThePage:
    def test_every_part_has_its_row(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/sheet").text
        for drawn in lines.frames(paper_cases.piece()):
            assert f">{drawn.name}</h2>" in text
            assert drawn.setting in text
            for line in drawn.lines:
                assert line.name in text
                assert f'<td class="num key">{line.cells["cut_width"]}</td>' in text

    def test_it_says_what_it_was_made_for_and_when(self, client: Client, id: str) -> None:
        text = words(client.get(f"/pieces/{id}/sheet").text)
        assert "Dry hall. Wood settles between 6.0 and 12.0 % moisture content. Sized for the full swing." in text
        assert re.search(r"<dt>Shop sheet of</dt><dd>\d{1,2} [A-Z][a-z]+ 20\d\d</dd>", text)
        assert "7.5 %; part 3: 10.0 %" in text

    def test_it_says_what_to_leave_today_and_why(self, client: Client, id: str) -> None:
        text = words(client.get(f"/pieces/{id}/sheet").text)
        assert "Pin it at mid-width, or set it on spacers. That is" in text
        assert "Set the fixed edge 4.0 mm deep in its groove and fasten it there." in text
        assert "looser per edge than the neutral fit: at 7.5 % the wood is drier" in text
        assert "tighter per edge than the neutral fit: at 10.0 % the wood is wetter" in text

    def test_parts_that_want_the_same_are_told_once(self, client: Client, store: Store) -> None:
        panels = [paper_cases.panel(f"p{n}", f"P{n}", 300.0) for n in range(3)]
        id = keep(store, frames=[Frame(id="f", panels=panels)])
        text = client.get(f"/pieces/{id}/sheet").text
        assert "<strong>1 to 3.</strong>" in text
        assert text.count("Pin it at mid-width") == 1

    def test_what_does_not_fit_says_so_and_why(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/sheet").text
        [line] = [line for drawn in lines.frames(paper_cases.piece()) for line in drawn.lines if not line.fits]
        assert text.count("does not fit") == 1
        assert "Does not fit.</strong> " + line.advice[0] in text

    def test_frames_of_one_setting_are_grooved_together(self, client: Client, store: Store) -> None:
        frames = [Frame(id=f"f{n}", name=f"F{n}", panels=[paper_cases.panel(f"p{n}", "P", 300.0)]) for n in range(3)]
        text = client.get(f"/pieces/{keep(store, frames=frames)}/sheet").text
        assert "<td>F0; F1; F2</td>" in text

    def test_it_shows_the_cautions_and_calls_nothing_safe(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/sheet").text
        assert cautions.DUST in html.unescape(text)
        assert not re.search(r"\bsafe\b|\bsafely\b", text)

    def test_inches_are_fractions(self, client: Client, store: Store) -> None:
        text = client.get(f"/pieces/{keep(store, unit='in')}/sheet").text
        [line] = [one for drawn in lines.frames(paper_cases.piece("in")) for one in drawn.lines if one.id == "s1"]
        assert re.fullmatch(r'\d+( \d+/\d+)?"', line.cells["cut_width"])
        assert f'<td class="num key">{line.cells["cut_width"].replace(chr(34), "&#34;")}</td>' in text

    def test_names_are_escaped(self, client: Client, store: Store) -> None:
        name = "<script>alert(1)</script>"
        frames = [Frame(id="f", name=name, panels=[paper_cases.panel("p", name, 300.0)])]
        id = keep(store, frames=frames, climate_name=name, name=name)
        text = client.get(f"/pieces/{id}/sheet").text
        assert "<script>" not in text
        assert "&lt;script&gt;alert(1)" in text

    def test_it_loads_nothing_from_elsewhere(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/sheet").text
        sources = re.findall(r'(?:src|href)="([^"]*)"', text)
        assert all(one.startswith("/") for one in sources)
        assert not re.search(r"<style|\sstyle=|<script", text)

    def test_an_empty_piece_says_so(self, client: Client, store: Store) -> None:
        assert "This piece has no frames yet." in client.get(f"/pieces/{keep(store, frames=[])}/sheet").text
        text = client.get(f"/pieces/{keep(store, frames=[Frame(id='f')])}/sheet").text
        assert "This frame has no parts yet." in text

    def test_a_part_that_was_refused_is_named_with_its_reason(
        self, client: Client, id: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        found = lines.Worked(8.0, problems={"d1": "Sight width is 9 mm."})
        monkeypatch.setattr(lines.worked, "frames", lambda piece: [(piece.frames[2], found)])
        text = client.get(f"/pieces/{id}/sheet").text
        assert "1. Door panel could not be sized.</strong> Sight width is 9 mm." in text

    @pytest.mark.parametrize("ending", ["", ".pdf"])
    def test_another_piece_is_not_found(self, client: Client, store: Store, id: str, ending: str) -> None:
        assert client.get(f"/pieces/none/sheet{ending}").status_code == 404
        store.delete_piece(id)
        assert client.get(f"/pieces/{id}/sheet{ending}").status_code == 404

    @pytest.mark.parametrize(("asked", "shown"), [("letter", "letter"), ("a4", "a4"), ("a0", "a4"), ("", "a4")])
    def test_the_paper_is_chosen_by_the_address(self, client: Client, id: str, asked: str, shown: str) -> None:
        text = client.get(f"/pieces/{id}/sheet", params={"paper": asked}).text
        assert f"/static/paper-{shown}.css" in text
        assert f'/sheet.pdf?paper={shown}" download' in text

    def test_one_frame_alone(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/sheet?frame=door").text
        assert "Door panel" in text
        assert "Side, upper" not in text
        assert f"/pieces/{id}/sheet.pdf?paper=a4&amp;frame=door" in text
        assert "Side, upper" in client.get(f"/pieces/{id}/sheet?frame=none").text


class TestThePdf:
    def test_more_than_it_holds_is_printed_by_the_browser_or_frame_by_frame(self, client: Client, store: Store) -> None:
        frames = [
            Frame(id=f"f{n}", name=f"F{n}", panels=[paper_cases.panel(f"p{n}", "P", 300.0)])
            for n in range(sheet.MOST_FRAMES + 1)
        ]
        id = keep(store, frames=frames)
        response = client.get(f"/pieces/{id}/sheet.pdf")
        assert response.status_code == 422
        assert "A PDF holds 60 frames and 400 parts. Choose a frame, or the other parts." in response.text
        text = " ".join(page.extract_text() for page in pdf(client, f"/pieces/{id}/sheet.pdf?frame=f60").pages)
        assert "F60" in text
        assert "F59" not in text

    def test_it_is_tagged_with_a_language_and_a_title(self, printed: Printed) -> None:
        reader = printed("a4")
        root = reader.trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"]
        assert root["/Lang"] == "en"
        assert "/StructTreeRoot" in root
        assert reader.metadata is not None
        assert reader.metadata.title == "Shop sheet: Wall cupboard"

    def test_every_part_is_in_it(self, printed: Printed) -> None:
        text = words(" ".join(page.extract_text() for page in printed("a4").pages))
        for drawn in lines.frames(paper_cases.piece()):
            assert drawn.name in text
            for line in drawn.lines:
                assert line.name in text
                assert line.cells["cut_width"] in text

    def test_its_pages_are_numbered_and_named(self, printed: Printed) -> None:
        pages = printed("a4").pages
        assert len(pages) == 3
        for number, page in enumerate(pages, start=1):
            text = words(page.extract_text())
            assert f"Page {number} of 3" in text
            assert "Wall cupboard" in text

    @pytest.mark.parametrize(("asked", "width", "height"), [("a4", 210.0, 297.0), ("letter", 215.9, 279.4)])
    def test_it_is_of_the_paper(self, printed: Printed, asked: str, width: float, height: float) -> None:
        for page in printed(asked).pages:
            assert float(page.mediabox.width) / MM == pytest.approx(width, abs=0.1)
            assert float(page.mediabox.height) / MM == pytest.approx(height, abs=0.1)

    @pytest.mark.parametrize("paper", ["a4", "letter"])
    def test_its_drawings_are_true_to_scale(self, printed: Printed, paper: str) -> None:
        found = rectangles(printed(paper))
        sights = ((300.0, 400.0), (300.0, 500.0), (400.0, 1050.0), (320.0, 700.0))
        for width, height in ((wide / 20, high / 20) for wide, high in sights):  # 1 : 20
            assert any(w == pytest.approx(width, abs=0.02) and h == pytest.approx(height, abs=0.02) for w, h in found)

    def test_it_is_a_file_of_the_piece_s_name(self, client: Client, id: str) -> None:
        response = client.get(f"/pieces/{id}/sheet.pdf")
        assert response.headers["content-disposition"] == 'attachment; filename="wall-cupboard.sheet.pdf"'

    @pytest.mark.parametrize("paper", ["a4", "letter"])
    @pytest.mark.parametrize("unit", ["mm", "in"])
    def test_small_frames_share_a_page(self, client: Client, store: Store, paper: str, unit: Unit) -> None:
        frames = [
            Frame(id=f"f{n}", name=f"Frame {n}", panels=[paper_cases.panel(f"p{n}", f"Field {n}", 250.0, 250.0)])
            for n in range(6)
        ]
        pages = pdf(client, f"/pieces/{keep(store, frames=frames, unit=unit)}/sheet.pdf?paper={paper}").pages
        assert len(pages) <= 4  # the first has the head too
        assert max(words(page.extract_text()).count("scale 1 :") for page in pages) >= 2

    @pytest.mark.parametrize("paper", ["a4", "letter"])
    @pytest.mark.parametrize("count", [1, 4, 9, 14])
    def test_a_frame_s_table_and_its_elevation_stand_on_one_page(
        self, client: Client, store: Store, paper: str, count: int
    ) -> None:
        frames = [
            Frame(
                id=f"f{n}",
                name=f"Frame {n}",
                panels=[paper_cases.panel(f"p{n}x{m}", f"Field {n}/{m}.", 300.0 + 7 * m, 500.0) for m in range(count)],
            )
            for n in range(3)
        ]
        id = keep(store, frames=frames)
        pages = [words(page.extract_text()) for page in pdf(client, f"/pieces/{id}/sheet.pdf?paper={paper}").pages]
        for n in range(3):
            [place] = [text for text in pages if f"Field {n}/0." in text]
            assert all(f"Field {n}/{m}." in place for m in range(count))
            assert place.count("scale 1 :") == sum(f"Field {other}/0." in place for other in range(3))

    def test_other_parts_have_their_heading_on_every_page_and_stay_whole(self, client: Client, store: Store) -> None:
        parts = [paper_cases.TOP.model_copy(update={"id": f"t{n}", "name": f"Top {n}."}) for n in range(30)]
        id = keep(store, frames=[], parts=parts)
        pages = [words(page.extract_text()) for page in pdf(client, f"/pieces/{id}/sheet.pdf").pages]
        assert len(pages) > 2
        assert all("Gap, wet" in text for text in pages)
        for n in range(30):
            [place] = [text for text in pages if f"Top {n}." in text]
            told = place.partition(f"Top {n}.")[2].partition(f"Top {n + 1}.")[0]
            assert "Today it stands over its frame" in told

    def test_a_long_table_has_its_heading_on_every_page(self, client: Client, store: Store) -> None:
        panels = [paper_cases.panel(f"p{n}", f"Panel number {n}", 300.0) for n in range(60)]
        pages = pdf(client, f"/pieces/{keep(store, frames=[Frame(id='f', panels=panels)])}/sheet.pdf").pages
        with_rows = [text for page in pages if "Panel number" in (text := words(page.extract_text()))]
        assert len(with_rows) >= 2
        assert all("Length to cut" in text for text in with_rows if text.count("Panel number") > 3)


class _NoLibrary:
    """What an import does on a computer without Pango."""

    def find_spec(self, name: str, path: Any = None, target: Any = None) -> ModuleSpec | None:
        if name.partition(".")[0] == "weasyprint":
            raise OSError("cannot load library 'libpango-1.0-0'")
        return None


@pytest.fixture
def without_library(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in list(sys.modules):
        if name.partition(".")[0] == "weasyprint" or name == "webapp.ownfiles":
            monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [_NoLibrary(), *sys.meta_path])


class TestWithoutTheLibrary:
    @pytest.mark.usefixtures("without_library")
    def test_the_pdf_s_address_shows_the_page_and_says_why(self, client: Client, id: str) -> None:
        response = client.get(f"/pieces/{id}/sheet.pdf?paper=letter")
        assert response.status_code == 200
        assert response.headers["content-type"].startswith("text/html")
        assert "This computer cannot make the PDF" in response.text
        assert "/static/paper-letter.css" in response.text
        assert "Side, upper" in response.text

    @pytest.mark.usefixtures("without_library")
    def test_the_page_itself_is_as_ever(self, client: Client, id: str) -> None:
        assert "cannot make the PDF" not in client.get(f"/pieces/{id}/sheet").text


class TestWhatAPdfMayLoad:
    def test_static_files_and_data_are_served(self) -> None:
        from webapp.ownfiles import BASE, OwnFiles

        response = OwnFiles().fetch(f"{BASE}static/sheet.css?v=1")
        assert b"@page" in response.read()
        assert OwnFiles().fetch("data:text/css,p%7B%7D").read() == b"p{}"

    @pytest.mark.parametrize(
        "address",
        [
            "http://elsewhere.test/static/sheet.css",
            "file:///etc/passwd",
            "http://sheet.invalid/static/../pyproject.toml",
            "http://sheet.invalid/static/%2e%2e/pyproject.toml",
            "http://sheet.invalid/static//etc/passwd",
            "http://sheet.invalid/static/htmx-4.0.1.min.js",
            "http://sheet.invalid/pieces",
        ],
    )
    def test_nothing_else_is(self, address: str) -> None:
        from webapp.ownfiles import OwnFiles

        with pytest.raises(ValueError, match="none of the page's own files"):
            OwnFiles().fetch(address)


def test_where_it_lives_is_told_with_its_way_there() -> None:
    from datetime import date

    from movement.parts.stays import StayFields

    stay = StayFields(name="Shop", first=date(2026, 1, 10), climate=MoistureClimate(dry_pct=7.0, wet_pct=9.0))
    piece = paper_cases.piece(stays=[stay], home_first=date(2026, 5, 1))
    page = paper.PaperPage(None, piece)  # type: ignore[arg-type]
    assert "On its way there: Shop from 10 January 2026; home from 1 May 2026." in page.climate_words
    late = piece.model_copy(update={"defaults": piece.defaults.model_copy(update={"following": "lagged"})})
    assert "Sized for panels that follow the air late" in paper.PaperPage(None, late).climate_words  # type: ignore[arg-type]
