"""Labels that all their words stand on: what the printer sets, measured against the label that it is set on."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, get_args

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement.lengths import Unit
from movement.parts.any import BreadboardPart, SizedPart, SlatsPart
from movement.piece import Frame, Piece
from movement.tables import DATA
from webapp import lettering, lines, otherparts
from webapp.lines import Line
from webapp.ownfiles import BASE, OwnFiles
from webapp.pages.labels import GRIDS
from webapp.printing import PAPERS, Paper
from webapp.store import Store
from webapp.typeset import NO_BREAK

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
            panels=[
                paper_cases.panel("n1", name, 312.7, 1412.3, count=2),
                paper_cases.panel("n2", name, 250.0, hold="loose", moisture_now_pct=12.0),
                paper_cases.panel("n3", name, 280.0, hold="one edge"),
            ],
        )
    ]
    holes = [151.7, 203.3, 407.9]
    more: list[SizedPart] = [
        BreadboardPart(id="n4", top_width_mm=940.0, distances_mm=holes, screw_mm=8.0),
        SlatsPart(id="n5", slat_width_mm=45.3, limit_mm=25.0, opening_mm=2000.0, slats=34),
        paper_cases.TOP.model_copy(update={"id": "n6", "distances_mm": holes, "top_width_mm": 620.0}),
    ]
    parts = [part.model_copy(update={"name": name, "count": 2}) for part in (*paper_cases.PARTS, *more)]
    return paper_cases.piece(unit, name=name, frames=frames, parts=parts)


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


def every(piece: Piece) -> Sequence[Line]:
    return [*(line for drawn in lines.frames(piece) for line in drawn.lines), *otherparts.others(piece)]


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


def printed(client: Client, store: Store, piece: Piece, paper: Paper, grid: str) -> list[Any]:
    """The labels as boxes of the printer."""
    from weasyprint import HTML

    id = store.add_piece("P", pieces.dump(piece)).id
    html = client.get(f"/pieces/{id}/labels?paper={paper}&grid={grid}").text
    document = HTML(string=html, base_url=BASE, url_fetcher=OwnFiles()).render()
    return [box for page in document.pages for box in classed(page._page_box, "label")]


@pytest.mark.parametrize("name", PIECES)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("grid", GRIDS)
class TestOnPaper:
    def test_every_word_stands_on_its_label_and_every_length_is_there(
        self, client: Client, store: Store, name: str, paper: Paper, grid: str
    ) -> None:
        piece = PIECES[name]
        found = printed(client, store, piece, paper, grid)
        wanted = [line for line in every(piece) for _ in range(line.labels)]
        at = 0
        for line in wanted:
            several = 2 if any("next label" in one.text for one in texts(found[at])) else 1
            own, at = found[at : at + several], at + several
            told = "".join(plain("".join(one.text for one in texts(label))) for label in own)
            for text in (line.size or line.leave, line.what, line.short, line.bias, line.mind):
                assert not line.fits or plain(text) in told
            for label in own:
                bottom = label.position_y + label.height
                for one in texts(label):
                    assert one.position_y >= label.position_y
                    assert one.position_y + one.height <= bottom - 1.0, (line.title, one.text)
                    assert one.position_x >= label.position_x
                    assert one.position_x + one.width <= label.position_x + label.width
        assert at == len(found)


class TestSetting:
    def test_little_is_told_in_the_usual_letters(self) -> None:
        for line in every(paper_cases.piece()):
            assert lettering.of(line, PLACE, "8", "a4") == lettering.Setting()

    def test_more_in_small_ones_and_the_most_on_two_labels(self) -> None:
        [line] = [one for one in every(paper_cases.piece()) if one.id == "s1"]
        more, most = (replace(line, short="gap " * words) for words in (30, 120))
        assert lettering.of(more, PLACE, "18", "letter").halves == ("all",)
        assert lettering.of(more, PLACE, "18", "letter").is_small
        assert lettering.of(most, PLACE, "18", "letter").halves == ("first", "second")
