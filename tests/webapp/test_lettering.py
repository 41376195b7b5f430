"""Labels that all their words stand on: what the printer sets, measured against the label that it is set on."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, get_args

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement.lengths import Unit
from movement.parts.any import BreadboardPart, SizedPart, SlatsPart
from movement.piece import Frame, Piece
from movement.tables import DATA
from webapp import lettering, lines, otherparts, tags
from webapp.ownfiles import BASE, OwnFiles
from webapp.pages.labels import GRIDS
from webapp.printing import PAPERS, Paper
from webapp.store import Store
from webapp.tags import Tag
from webapp.typeset import NO_BREAK
from webapp.words import Words

from . import paper_cases
from .conftest import Client

LONG = "Wardrobe middle compartment, the panel behind the mirror, upper left, hung later"
WIDE = "W" * 80
NOWHERE_TO_BREAK = "mm" * 40
PLACE = "Groove 10.0 mm, Side. Wall cupboard, 25 November 2026"


def nasty(unit: Unit, name: str) -> Piece:
    """Every kind of part under a long name, with the most that a label can have to tell."""
    frames = [
        Frame(
            id="f",
            name=name,
            groove_depth_mm=10.3,
            member_width_mm=50.3,
            panels=[
                paper_cases.panel("n1", name, 312.7, 1412.3, count=2),
                paper_cases.panel("n2", name, 250.0, hold="loose", moisture_now_pct=12.0),
                paper_cases.panel("n3", name, 280.0, hold="one edge"),
            ],
        ),
        Frame(
            id="g",
            name=name,
            layout="row",
            member_width_mm=50.3,
            panels=[paper_cases.panel(f"m{width:.0f}", name, width, 1412.3, count=2) for width in (250.7, 262.1)],
        ),
    ]
    holes = [151.7, 203.3, 407.9]
    more: list[SizedPart] = [
        BreadboardPart(id="n4", top_width_mm=940.0, distances_mm=holes, screw_mm=8.0),
        SlatsPart(id="n5", slat_width_mm=45.3, limit_mm=25.0, opening_mm=2000.0, slats=34),
        paper_cases.TOP.model_copy(update={"id": "n6", "distances_mm": holes, "top_width_mm": 620.0}),
    ]
    parts = [part.model_copy(update={"name": name, "count": 2}) for part in (*paper_cases.PARTS, *more)]
    return paper_cases.piece(unit, name=name, frames=frames, parts=parts)


def fewer(piece: Piece) -> Piece:
    """A piece with a shorter row of slats, whose labels are all alike."""
    short = {"slats": 4, "opening_mm": 235.3}
    parts = [part.model_copy(update=short) if part.id == "n5" else part for part in piece.parts]
    return piece.model_copy(update={"parts": parts})


def demo() -> Piece:
    return pieces.load((DATA / "demo_piece.json").read_bytes())


UNITS: tuple[Unit, ...] = get_args(Unit)
PIECES = {
    **{f"{name[:4]}, {unit}": nasty(unit, name) for name in (LONG, WIDE, NOWHERE_TO_BREAK) for unit in UNITS},
    "demo": demo(),
    "demo, in": demo().model_copy(update={"unit": "in"}),
}


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


def every(piece: Piece, each: bool) -> Iterator[Tag]:
    """What is to stand on its labels: of parts, or of each piece of wood."""
    for drawn in lines.frames(piece):
        yield from (tags.part(line, PLACE) for line in drawn.lines)
        yield from tags.members_of(drawn, PLACE, Words(piece.unit)) if each else ()
    for line in otherparts.others(piece):
        yield from tags.pieces(line, PLACE) if each else (tags.part(line, PLACE),)


def boxes(box: Any) -> Iterator[Any]:
    yield box
    for child in getattr(box, "children", ()):
        yield from boxes(child)


def texts(box: Any) -> list[Any]:
    return [one for one in boxes(box) if type(one).__name__ == "TextBox" and one.text.strip()]


def classed(box: Any, name: str) -> list[Any]:
    return [one for one in boxes(box) if one.element is not None and name in (one.element.get("class") or "").split()]


def plain(text: str) -> str:
    return "".join(text.replace(NO_BREAK, "").split())


def printed(client: Client, store: Store, piece: Piece, paper: Paper, grid: str, each: bool) -> list[Any]:
    """The labels as boxes of the printer."""
    from weasyprint import HTML

    id = store.add_piece("P", pieces.dump(piece)).id
    more = "&pieces=1&members=1" if each else ""
    html = client.get(f"/pieces/{id}/labels?paper={paper}&grid={grid}{more}").text
    document = HTML(string=html, base_url=BASE, url_fetcher=OwnFiles()).render()
    return [box for page in document.pages for box in classed(page._page_box, "label")]


@pytest.mark.parametrize("name", PIECES)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("grid", GRIDS)
@pytest.mark.parametrize("each", [False, True], ids=["parts", "each piece"])
class TestOnPaper:
    def test_every_word_stands_on_its_label_and_every_length_is_there(
        self, client: Client, store: Store, name: str, paper: Paper, grid: str, each: bool
    ) -> None:
        piece = fewer(PIECES[name]) if each else PIECES[name]
        found = printed(client, store, piece, paper, grid, each)
        wanted = [(tag, counts) for tag in every(piece, each) for counts in tag.counts]
        at = 0
        for tag, counts in wanted:
            several = 2 if any("next label" in one.text for one in texts(found[at])) else 1
            own, at = found[at : at + several], at + several
            told = "".join(plain("".join(one.text for one in texts(label))) for label in own)
            for text in (tag.size, tag.what, tag.short, tag.bias, tag.mind, *counts):
                assert not tag.fits or plain(text) in told
            for label in own:
                bottom = label.position_y + label.height
                for one in texts(label):
                    assert one.position_y >= label.position_y
                    assert one.position_y + one.height <= bottom - 1.0, (tag.name, one.text)
                    assert one.position_x >= label.position_x
                    assert one.position_x + one.width <= label.position_x + label.width
        assert at == len(found)


class TestSetting:
    def test_little_is_told_in_the_usual_letters(self) -> None:
        for tag in every(paper_cases.piece(), each=True):
            assert lettering.of(tag, "8", "a4") == lettering.Setting()

    def test_more_in_small_ones_and_the_most_on_two_labels(self) -> None:
        [tag] = [one for one in every(paper_cases.piece(), each=False) if one.page == "parts/s1"]
        more, most = (replace(tag, short="gap " * words) for words in (30, 120))
        assert lettering.of(more, "18", "letter").halves == ("all",)
        assert lettering.of(more, "18", "letter").is_small
        assert lettering.of(most, "18", "letter").halves == ("first", "second")
