"""The shop sheet: every frame with its drawing, its cut and gap table and what to leave open today, for the bench."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import Response

from webapp import drafting, elevation, exports, printing
from webapp.drafting import Drawing
from webapp.lines import FrameLines, Line
from webapp.paper import PaperPage, frame_of, opened
from webapp.posted import store_of
from webapp.render import render

router = APIRouter()

MOST_FRAMES, MOST_PARTS = 60, 400
"""Frames and parts in one PDF: about half a minute of work; more are printed by the browser, or frame by frame."""


@dataclass(frozen=True)
class SheetPage(PaperPage):
    """The context of sheet.html."""

    @property
    def is_too_large(self) -> bool:
        """Whether it is more than one PDF holds."""
        chosen = self.chosen
        return len(chosen) > MOST_FRAMES or sum(len(drawn.lines) for drawn in chosen) > MOST_PARTS

    @property
    def query(self) -> str:
        """The rest of the address that keeps the choice of a frame."""
        return f"&frame={self.only}" if self.only else ""

    def drawing(self, drawn: FrameLines) -> Drawing:
        """A frame's elevation, to scale."""
        return drafting.drawing(elevation.elevation(drawn), self.piece.unit)

    @property
    def settings(self) -> Sequence[tuple[str, Sequence[FrameLines]]]:
        """Every setting of the groove, deepest first, with the frames that are grooved at it."""
        grooved = [drawn for drawn in self.chosen if drawn.groove is not None]
        grooved.sort(key=lambda drawn: -(drawn.groove or 0.0))
        return [(setting, list(alike)) for setting, alike in groupby(grooved, key=lambda drawn: drawn.setting)]

    def today(self, drawn: FrameLines) -> Sequence[tuple[str, Line]]:
        """What to leave open today: the numbers of the parts that want the same, and the first of them."""
        sized = [line for line in drawn.lines if not line.problem]
        found = []
        for _, group in groupby(sized, key=lambda line: (line.today, line.lean, line.advice, line.fits)):
            alike = list(group)
            found.append((_numbers([line.number for line in alike]), alike[0]))
        return found


@router.get("/pieces/{id}/sheet")
def show(request: Request, id: str, paper: str = "", frame: str = "") -> Response:
    """The sheet as a page, to be printed by the browser; of one frame alone where one is asked for."""
    return _answer(request, _page(request, id, paper, frame))


@router.get("/pieces/{id}/sheet.pdf")
async def as_pdf(request: Request, id: str, paper: str = "", frame: str = "") -> Response:
    """The sheet as PDF; the page with a note where this computer cannot make one, or where it is too large."""
    page = await run_in_threadpool(_page, request, id, paper, frame)
    if page.is_too_large:
        refused = replace(page, notice=f"A PDF holds {MOST_FRAMES} frames and {MOST_PARTS} parts. Choose a frame.")
        return await run_in_threadpool(_answer, request, refused, 422)
    name = exports.file_name(page.piece.name, "sheet.pdf")
    return await printing.answer(lambda notice: _answer(request, replace(page, notice=notice)), name)


def _page(request: Request, id: str, paper: str, frame: str) -> SheetPage:
    kept, piece = opened(store_of(request), id)
    return SheetPage(kept, piece, printing.paper_of(paper), frame_of(piece, frame))


def _answer(request: Request, page: SheetPage, status: int = 200) -> Response:
    return render(request, "sheet.html", page, unit=page.piece.unit, status=status)


def _numbers(numbers: Sequence[int]) -> str:
    """Numbers in few words: 3; 3 and 4; 3 to 7."""
    first, last = numbers[0], numbers[-1]
    return str(first) if first == last else f"{first} {'and' if last == first + 1 else 'to'} {last}"
