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
from webapp.paper import PaperPage, chosen_of, opened
from webapp.posted import store_of
from webapp.printing import Paper
from webapp.render import render

router = APIRouter()

MOST_FRAMES, MOST_PARTS = 60, 400
"""Frames and parts in one PDF: about half a minute of work; more are printed by the browser, or frame by frame."""
HEIGHTS: dict[Paper, float] = {"a4": 268.0, "letter": 250.4}
"""What a page holds between its margins [mm]."""
_SMALL = (85.0, 70.0)
"""The room for a frame's elevation where several frames share a page, width and height [mm]; project choice."""
_LEAST = 40.0
"""The least height of that room [mm]; a longer table leaves its elevation to the next page."""
_HEAD, _FOOT = 26.0, 36.0
"""What else a frame takes of a page: its head with that of its table; its elevation's dimensions and caption [mm]."""
_ROW, _STOCK = 8.0, 4.5
"""A row of its table, and how much more one takes that has its stock of its own [mm]."""
_BESIDE = 900
"""Letters of what to leave open that stand beside the elevation; more of them follow below it."""


@dataclass(frozen=True)
class SheetPage(PaperPage):
    """The context of sheet.html."""

    @property
    def is_too_large(self) -> bool:
        """Whether it is more than one PDF holds."""
        chosen = self.chosen
        parts = sum(len(drawn.lines) for drawn in chosen) + len(self.chosen_others)
        return len(chosen) > MOST_FRAMES or parts > MOST_PARTS

    @property
    def query(self) -> str:
        """The rest of the address that keeps the choice of a frame."""
        return f"&frame={self.only}" if self.only else ""

    def drawing(self, drawn: FrameLines) -> Drawing:
        """A frame's elevation, to scale: small enough for its table's page, and for another frame beside it."""
        row = _ROW if self.stock(drawn) else _ROW + _STOCK
        left = HEIGHTS[self.paper] - _HEAD - row * len(drawn.lines) - _FOOT
        wide, high = _SMALL if len(self.chosen) > 1 else drafting.ROOM
        room = (wide, max(_LEAST, min(high, left)))
        return drafting.drawing(elevation.elevation(drawn, self.piece.unit), self.piece.unit, room)

    def stock(self, drawn: FrameLines) -> str:
        """The stock of all panels of a frame with its moisture today; empty where they differ."""
        found = {f"{line.stock}, {line.moisture_words}" for line in drawn.lines}
        return found.pop() if len(found) == 1 else ""

    def is_beside(self, drawn: FrameLines) -> bool:
        """Whether what to leave open today stands beside the frame's elevation, and not below it."""
        letters = 0
        for _, line in self.today(drawn):
            letters += sum(map(len, (*line.today, line.lean, *line.advice)))
        return letters <= _BESIDE

    @property
    def settings(self) -> Sequence[tuple[str, Sequence[FrameLines]]]:
        """Every setting of the groove, deepest first, with the frames that are grooved at it."""
        grooved = [drawn for drawn in self.chosen if drawn.groove is not None]
        grooved.sort(key=lambda drawn: -(drawn.groove or 0.0))
        return [(setting, list(alike)) for setting, alike in groupby(grooved, key=lambda drawn: drawn.setting)]

    @property
    def cautions(self) -> Sequence[tuple[str, Sequence[str]]]:
        """What the other parts' kinds warn of, each once, with the numbers of its parts."""
        found: dict[tuple[str, ...], list[int]] = {}
        for line in self.chosen_others:
            if line.cautions:
                found.setdefault(tuple(line.cautions), []).append(line.number)
        return [(f"part{'s' if len(of) > 1 else ''} {', '.join(map(str, of))}", texts) for texts, of in found.items()]

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
        most = f"A PDF holds {MOST_FRAMES} frames and {MOST_PARTS} parts. Choose a frame, or the other parts."
        refused = replace(page, notice=most)
        return await run_in_threadpool(_answer, request, refused, 422)
    name = exports.file_name(page.piece.name, "sheet.pdf")
    return await printing.answer(lambda notice: _answer(request, replace(page, notice=notice)), name)


def _page(request: Request, id: str, paper: str, frame: str) -> SheetPage:
    kept, piece = opened(store_of(request), id)
    return SheetPage(kept, piece, printing.paper_of(paper), chosen_of(piece, frame))


def _answer(request: Request, page: SheetPage, status: int = 200) -> Response:
    return render(request, "sheet.html", page, unit=page.piece.unit, status=status)


def _numbers(numbers: Sequence[int]) -> str:
    """Numbers in few words: 3; 3 and 4; 3 to 7."""
    first, last = numbers[0], numbers[-1]
    return str(first) if first == last else f"{first} {'and' if last == first + 1 else 'to'} {last}"
