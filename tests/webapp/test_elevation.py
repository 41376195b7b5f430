"""A frame's elevation: true to scale on the page, in the SVG and in the DXF file; its layout is told in a form."""

import io
import re
from typing import Any
from xml.etree import ElementTree

import ezdxf
import pytest
from ezdxf.document import Drawing as Document
from fastapi import FastAPI

from movement import lengths
from movement import piece as pieces
from movement.lengths import INCH, Unit
from movement.piece import Frame, Piece
from webapp import drafting, dxf, edits, elevation, lines
from webapp.drafting import Drawing
from webapp.elevation import Box, Elevation
from webapp.store import Store
from webapp.words import Words

from . import paper_cases
from .conftest import Client

SVG = "{http://www.w3.org/2000/svg}"


def seen(piece: Piece, id: str) -> Elevation:
    return elevation.elevation(next(drawn for drawn in lines.frames(piece) if drawn.frame.id == id), piece.unit)


def drawn(piece: Piece, id: str) -> Drawing:
    return drafting.drawing(seen(piece, id), piece.unit)


def of(*panels: Any, **more: Any) -> Piece:
    return paper_cases.piece(frames=[Frame(id="f", name="Frame", panels=list(panels), **more)])


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


@pytest.fixture
def id(store: Store) -> str:
    piece = paper_cases.piece()
    return store.add_piece(piece.name, pieces.dump(piece)).id


class TestRealSize:
    def test_a_column_stands_between_two_stiles_and_three_rails(self) -> None:
        found = seen(paper_cases.piece(), "side")
        assert found.outline == Box(0, 0, 300 + 2 * 50, 400 + 500 + 3 * 50)
        assert [bay.sight for bay in found.bays] == [Box(50, 50, 300, 400), Box(50, 500, 300, 500)]
        stiles = [Box(0, 0, 50, 1050), Box(350, 0, 50, 1050)]
        rails = [Box(50, 0, 300, 50), Box(50, 1000, 300, 50), Box(50, 450, 300, 50)]
        assert found.members == [*stiles, *rails]

    def test_a_row_stands_between_two_stiles_and_a_muntin(self) -> None:
        found = seen(paper_cases.piece(), "back")
        assert found.outline == Box(0, 0, 250 + 280 + 3 * 60, 400 + 2 * 60)
        assert [bay.sight for bay in found.bays] == [Box(60, 60, 250, 400), Box(370, 60, 280, 400)]
        assert found.members[-1] == Box(310, 60, 60, 400)

    def test_the_members_cover_the_frame_but_for_the_sights(self) -> None:
        for id in ("side", "back", "door"):
            found = seen(paper_cases.piece(), id)
            covered = sum(box.width * box.height for box in (*found.members, *(bay.sight for bay in found.bays)))
            assert covered == pytest.approx(found.outline.width * found.outline.height)

    def test_a_centred_panel_reaches_as_far_into_both_grooves(self) -> None:
        [bay, _] = seen(paper_cases.piece(), "side").bays
        assert bay.line.row is not None
        assert bay.panel is not None
        assert bay.groove is not None
        made = bay.line.row.result
        assert bay.sight.x - bay.panel.x == pytest.approx(made.engagement_now_mm)
        assert bay.panel.right - bay.sight.right == pytest.approx(made.engagement_now_mm)
        assert bay.panel.x - bay.groove.x == pytest.approx(made.gap_now_mm)
        assert (bay.panel.width, bay.panel.height) == (made.panel_width_mm, made.panel_length_mm)
        assert bay.sight.y - bay.groove.y == made.groove_depth_mm

    def test_a_fixed_edge_is_drawn_at_its_engagement(self) -> None:
        bay = seen(paper_cases.piece(), "back").bays[1]
        assert bay.line.row is not None
        assert bay.panel is not None
        made = bay.line.row.result
        assert bay.sight.x - bay.panel.x == made.fixed_engagement_mm
        assert bay.panel.right - bay.sight.right == pytest.approx(made.engagement_now_mm)

    def test_a_height_that_is_not_told_is_that_of_its_row(self) -> None:
        bay = seen(paper_cases.piece(), "back").bays[1]
        assert (bay.told, bay.sight.height) == (False, 400.0)

    def test_a_height_that_is_not_told_in_a_column_is_its_width(self) -> None:
        [bay] = seen(of(paper_cases.panel("p", "P", 300.0, None)), "f").bays
        assert (bay.told, bay.sight.height) == (False, 300.0)

    def test_a_narrower_panel_of_a_column_stands_in_its_middle(self) -> None:
        found = seen(of(paper_cases.panel("p", "P", 300.0), paper_cases.panel("q", "Q", 200.0)), "f")
        assert [bay.sight.x for bay in found.bays] == [60.0, 110.0]

    def test_a_panel_that_could_not_be_sized_is_drawn_by_its_sight(self, monkeypatch: pytest.MonkeyPatch) -> None:
        refused = lines.Worked(8.0, problems={"p": "Refused."})
        monkeypatch.setattr(lines.worked, "frames", lambda piece: [(piece.frames[0], refused)])
        piece = of(paper_cases.panel("p", "P", 300.0))
        [bay] = seen(piece, "f").bays
        assert (bay.sight.width, bay.panel, bay.groove) == (300.0, None, None)
        assert "300 mm" in drawn(piece, "f").says


class TestScale:
    @pytest.mark.parametrize(
        ("unit", "width", "scale"),
        [("mm", 20.0, 2), ("mm", 300.0, 5), ("mm", 900.0, 10), ("mm", 2900.0, 20), ("in", 300.0, 4), ("in", 900.0, 8)],
    )
    def test_it_is_the_largest_usual_one_that_goes_on_the_paper(self, unit: Any, width: float, scale: int) -> None:
        piece = of(paper_cases.panel("p", "P", width, 100.0)).model_copy(update={"unit": unit})
        found = drawn(piece, "f")
        assert found.scale == scale
        larger = [n for n in drafting.SCALES[found.unit] if n < scale]
        outline = found.elevation.outline
        assert outline.width / scale <= drafting.ROOM[0]
        assert outline.height / scale <= drafting.ROOM[1]
        assert all(outline.width / n > drafting.ROOM[0] or outline.height / n > drafting.ROOM[1] for n in larger)

    def test_a_very_tall_frame_still_goes_on_the_paper(self) -> None:
        panels = [paper_cases.panel(f"p{n}", f"P{n}", 300.0, 3000.0) for n in range(40)]
        found = drawn(of(*panels), "f")
        assert found.length(found.elevation.outline.height) <= drafting.ROOM[1]

    def test_the_drawing_goes_on_the_narrower_paper(self) -> None:
        for id in ("side", "back", "door", "shallow"):
            found = drawn(paper_cases.piece(), id)
            assert found.width <= 210 - 2 * 12
            assert found.height <= 279 - 29

    def test_texts_stay_within_their_panels(self) -> None:
        for width in (12.0, 40.0, 120.0, 400.0):
            piece = of(
                *(paper_cases.panel(f"p{n}", "A panel of some name", width, 300.0) for n in range(8)), layout="row"
            )
            found = drawn(piece, "f")
            for bay, caption in zip(found.elevation.bays, found.captions, strict=True):
                box = found.box(bay.sight)
                for text in caption.texts:
                    assert len(text.text) * text.size * 0.6 <= box.width
                    assert box.y < text.y - text.size * 0.7
                    assert text.y <= box.bottom
                assert caption.grain is None or caption.grain[2] <= box.bottom

    def test_overall_sizes_need_the_width_of_the_members(self) -> None:
        texts = [line.text for line in drawn(paper_cases.piece(), "side").dimensions]
        assert texts == ["400 mm", "300 mm", "500 mm", "400 mm", "1050 mm"]
        assert [line.text for line in drawn(paper_cases.piece(), "door").dimensions] == ["320 mm", "700 mm"]

    def test_a_height_that_is_not_told_has_no_dimension(self) -> None:
        assert [line.text for line in drawn(paper_cases.piece(), "back").dimensions] == ["250 mm", "400 mm", "280 mm"]


def rects(root: ElementTree.Element) -> list[Box]:
    names = ("x", "y", "width", "height")
    return [Box(*(float(one.attrib[name]) for name in names)) for one in root.iter(f"{SVG}rect")]


class TestSvg:
    def test_it_is_in_millimetres_of_paper_and_true_to_scale(self, client: Client, id: str) -> None:
        response = client.get(f"/pieces/{id}/frames/side/elevation.svg")
        assert response.headers["content-type"] == "image/svg+xml"
        assert 'filename="wall-cupboard-side.svg"' in response.headers["content-disposition"]
        root = ElementTree.fromstring(response.content)
        _, _, width, height = root.attrib["viewBox"].split()
        assert (root.attrib["width"], root.attrib["height"]) == (f"{width}mm", f"{height}mm")
        found = drawn(paper_cases.piece(), "side")
        sizes = [(round(box.width * found.scale), round(box.height * found.scale)) for box in rects(root)]
        assert sizes.count((300, 400)) == 1
        assert sizes.count((300, 500)) == 1
        assert (400, 1050) in sizes
        row = found.elevation.bays[0].line.row
        assert row is not None
        assert (round(row.result.panel_width_mm), round(row.result.panel_length_mm or 0)) in sizes

    def test_it_says_what_it_shows(self, client: Client, id: str) -> None:
        root = ElementTree.fromstring(client.get(f"/pieces/{id}/frames/side/elevation.svg").content)
        assert root.findtext(f"{SVG}title") == "Side"
        said = root.findtext(f"{SVG}desc") or ""
        assert "at 1 : 10. Sight sizes: 1. Side, upper: 300 mm × 400 mm; 2. Side, lower: 300 mm × 500 mm." in said
        texts = ["".join(one.itertext()) for one in root.iter(f"{SVG}text")]
        assert "500 mm; scale 1 : 10" in texts
        assert {"1", "2"} <= set(texts)

    def test_inches_are_fractions(self, client: Client, store: Store) -> None:
        piece = of(paper_cases.panel("p", "P", 12.25 * INCH, 20 * INCH)).model_copy(update={"unit": "in"})
        id = store.add_piece("x", pieces.dump(piece)).id
        text = client.get(f"/pieces/{id}/frames/f/elevation.svg").text
        assert "12 1/4&#34;" in text
        assert "scale 1 : 8" in text

    def test_names_are_escaped_and_cleared_of_what_xml_cannot_hold(self, client: Client, store: Store) -> None:
        name = '<script>alert(1)</script>"&\x00\x0b'
        piece = of(paper_cases.panel("p", name, 900.0, 600.0))
        id = store.add_piece("x", pieces.dump(piece)).id
        response = client.get(f"/pieces/{id}/frames/f/elevation.svg")
        root = ElementTree.fromstring(response.content)
        assert not list(root.iter(f"{SVG}script"))
        assert '1. <script>alert(1)</script>"&' in (root.findtext(f"{SVG}desc") or "")


def read_back(text: str) -> Document:
    document = ezdxf.read(io.StringIO(text))  # type: ignore[attr-defined]
    assert not document.audit().has_errors
    return document


def boxes(document: Document, layer: str) -> list[tuple[float, float, float, float]]:
    """x, y, width and height of every closed polyline on a layer."""
    found = []
    for line in document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]'):
        assert line.closed
        points = [(float(x), float(y)) for x, y in line.get_points("xy")]
        assert len(points) == 4
        x, y = min(p[0] for p in points), min(p[1] for p in points)
        found.append((x, y, max(p[0] for p in points) - x, max(p[1] for p in points) - y))
    return found


class TestDxf:
    def test_it_reads_back_in_millimetres_with_the_right_rectangles(self, client: Client, id: str) -> None:
        response = client.get(f"/pieces/{id}/frames/side/elevation.dxf")
        assert response.headers["content-type"] == "image/vnd.dxf"
        assert 'filename="wall-cupboard-side.dxf"' in response.headers["content-disposition"]
        document = read_back(response.text)
        assert document.header["$INSUNITS"] == 4
        assert boxes(document, "SIGHT") == [(50, 600, 300, 400), (50, 50, 300, 500)]
        assert boxes(document, "FRAME")[0] == (0, 0, 400, 1050)
        assert len(boxes(document, "FRAME")) == 6
        [bay, _] = seen(paper_cases.piece(), "side").bays
        assert bay.panel is not None
        assert bay.groove is not None
        assert boxes(document, "PANEL")[0] == pytest.approx(
            (bay.panel.x, 1050 - bay.panel.bottom, bay.panel.width, bay.panel.height)
        )
        assert boxes(document, "GROOVE")[0][2:] == pytest.approx((bay.groove.width, bay.groove.height))

    def test_hidden_edges_have_a_dashed_line(self) -> None:
        document = read_back(dxf.text(seen(paper_cases.piece(), "side")))
        assert document.layers.get("PANEL").dxf.linetype == "DASHED"
        assert document.layers.get("SIGHT").dxf.linetype.upper() == "CONTINUOUS"
        assert "DASHED" in document.linetypes

    def test_panels_have_their_numbers_and_names(self) -> None:
        document = read_back(dxf.text(seen(paper_cases.piece(), "back")))
        texts = [one.dxf.text for one in document.modelspace().query("TEXT")]
        assert texts == ["3", "Back, left", "4", "Back, right", "height not told"]

    def test_names_are_no_codes_of_the_format(self) -> None:
        name = "50%%u\n0\nSECTION \\U+00e9 ^J é"
        document = read_back(dxf.text(seen(of(paper_cases.panel("p", name, 300.0)), "f")))
        [_, text] = [one.dxf.text for one in document.modelspace().query("TEXT")]
        assert text == "50% %u 0 SECTION \\ U+00e9 ^ J é"


class TestThePage:
    def test_it_shows_the_drawing_and_offers_the_files(self, client: Client, id: str) -> None:
        text = client.get(f"/pieces/{id}/frames/back/elevation").text
        assert '<svg xmlns="http://www.w3.org/2000/svg" class="elevation"' in text
        assert f'href="/pieces/{id}/frames/back/elevation.dxf" download' in text
        assert "Stiles and rails are drawn 60 mm wide; their width is not told." in text
        assert 'value="row" checked' in text

    def test_a_layout_is_kept_and_nothing_else_changes(self, client: Client, store: Store, id: str) -> None:
        before = pieces.load(store.piece(id).document)
        response = client.post(
            f"/pieces/{id}/frames/shallow/elevation", data={"layout": "row", "member_width": "62.5", "unit": "mm"}
        )
        assert (response.status_code, response.headers["location"]) == (303, f"/pieces/{id}/frames/shallow/elevation")
        frame = edits.frame_of(pieces.load(store.piece(id).document), "shallow")
        assert frame == edits.frame_of(before, "shallow").model_copy(update={"layout": "row", "member_width_mm": 62.5})
        assert "their width is not told" not in client.get(response.headers["location"]).text

    def test_a_layout_stays_when_the_frame_is_renamed(self, client: Client, store: Store, id: str) -> None:
        client.post(f"/pieces/{id}/frames/back", data={"name": "Rear", "unit": "mm"})
        frame = edits.frame_of(pieces.load(store.piece(id).document), "back")
        assert (frame.name, frame.layout) == ("Rear", "row")

    @pytest.mark.parametrize(
        ("data", "message"),
        [
            ({"member_width": "2"}, "Allowed is 5 to 500 mm."),
            ({"member_width": "wide"}, "is not a length"),
            ({"layout": "ring"}, "Choose one of In a column, In a row."),
        ],
    )
    def test_what_is_refused_stays_typed(self, client: Client, store: Store, id: str, data: Any, message: str) -> None:
        before = store.piece(id).document
        response = client.post(f"/pieces/{id}/frames/side/elevation", data={"layout": "column", "unit": "mm", **data})
        assert response.status_code == 422
        assert message in response.text
        assert store.piece(id).document == before
        if "member_width" in data:
            assert f'value="{data["member_width"]}"' in response.text

    def test_a_frame_without_panels_has_no_drawing_yet(self, client: Client, store: Store) -> None:
        id = store.add_piece("x", pieces.dump(of())).id
        assert "This frame has no panels yet" in client.get(f"/pieces/{id}/frames/f/elevation").text
        assert client.get(f"/pieces/{id}/frames/f/elevation.svg").status_code == 404
        assert client.get(f"/pieces/{id}/frames/f/elevation.dxf").status_code == 404

    @pytest.mark.parametrize("ending", ["", ".svg", ".dxf"])
    def test_what_is_not_there_is_not_found(self, client: Client, store: Store, id: str, ending: str) -> None:
        assert client.get(f"/pieces/none/frames/side/elevation{ending}").status_code == 404
        assert client.get(f"/pieces/{id}/frames/none/elevation{ending}").status_code == 404
        store.delete_piece(id)
        assert client.get(f"/pieces/{id}/frames/side/elevation{ending}").status_code == 404

    def test_the_file_holds_the_layout(self) -> None:
        piece = pieces.load(pieces.dump(paper_cases.piece()))
        assert [(frame.layout, frame.member_width_mm) for frame in piece.frames[:2]] == [
            ("column", 50.0),
            ("row", None),
        ]
        plain = re.sub(r'\s*"(layout|member_width_mm)": [^,]*,', "", pieces.dump(piece))
        assert {frame.layout for frame in pieces.load(plain).frames} == {"column"}


@pytest.mark.parametrize(("unit", "told"), [("mm", "60.0 mm"), ("in", '2 3/8"')])
def test_stiles_that_are_not_told_are_drawn_in_round_figures(unit: Unit, told: str) -> None:
    assert Words(unit).say(elevation.MEMBERS[unit]) == told
    assert lengths.read(told) == pytest.approx(elevation.MEMBERS[unit])
