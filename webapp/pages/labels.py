"""Labels on plain paper, one for every part that is made: what it is cut to, what to leave open, and its code."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice
from urllib.parse import urlsplit

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import Response
from markupsafe import Markup

from webapp import codes, exports, lettering, printing
from webapp.lettering import Half, Setting
from webapp.lines import FrameLines, Line
from webapp.paper import PaperPage, chosen_of, opened
from webapp.posted import number_of, store_of
from webapp.render import render
from webapp.security import LOOPBACK

router = APIRouter()

GRIDS = {"8": (2, 4), "18": (3, 6)}
"""Labels on a page, by columns and rows."""
MOST = 400
"""Labels in one document; more follow in further ones."""


@dataclass(frozen=True, slots=True)
class Label:
    """A label: the part, which of how many it is, where it goes, how it is set, the code of its page.

    ``shows`` is what is on it: all of it, or the first or the second half where one label has no room for both.
    """

    line: Line
    copy: int
    place: str
    setting: Setting
    shows: Half
    code: Markup

    @property
    def counts(self) -> Sequence[str]:
        """Which of how many it is, and how many pieces it stands for."""
        return lettering.counts(self.line, self.copy)

    @property
    def stock(self) -> str:
        """What it is cut from, and its moisture today."""
        return lettering.stock(self.line)


@dataclass(frozen=True)
class LabelsPage(PaperPage):
    """The context of labels.html. ``origin`` is where phones reach the app."""

    origin: str = ""
    grid: str = "8"
    document: int = 1

    @property
    def grids(self) -> Sequence[tuple[str, str]]:
        """The numbers of labels on a page to choose from, with their names."""
        return [(grid, f"{grid} a page") for grid in GRIDS]

    @cached_property
    def count(self) -> int:
        """How many labels there are."""
        return sum(line.labels * len(setting.halves) for _, line, setting in self._placed)

    @property
    def documents(self) -> int:
        """How many documents they fill."""
        return max(1, -(-self.count // MOST))

    @property
    def most(self) -> int:
        """The most that one document holds."""
        return MOST

    @property
    def shown(self) -> int:
        """The number of the document that is shown; the first where there is none such."""
        return self.document if 1 <= self.document <= self.documents else 1

    @property
    def first(self) -> int:
        """The number of its first label."""
        return (self.shown - 1) * MOST + 1

    @property
    def last(self) -> int:
        """The number of its last label."""
        return min(self.count, self.shown * MOST)

    @property
    def pages(self) -> Sequence[Sequence[Label]]:
        """The labels of the document, page by page."""
        labels = list(islice(self._labels(), self.first - 1, self.last))
        columns, rows = GRIDS[self.grid]
        size = columns * rows
        return [labels[start : start + size] for start in range(0, len(labels), size)]

    def _labels(self) -> Iterator[Label]:
        for place, line, setting in self._placed:
            code = codes.svg(f"{self.origin}{self.href}/parts/{line.id}")
            for copy in range(1, line.labels + 1):
                for half in setting.halves:
                    yield Label(line, copy, place, setting, half, code)

    @cached_property
    def _placed(self) -> Sequence[tuple[str, Line, Setting]]:
        """The parts that are printed, each with where it goes, the piece and the day, and how its label is set.

        Where it goes is its frame and groove, or else what kind of part it is.
        """
        panels = [(_place(drawn), line) for drawn in self.chosen for line in drawn.lines]
        placed = [*panels, *((line.kind_name, line) for line in self.chosen_others)]
        told = [(f"{place}. {self.piece.name}, {self.day_words}", line) for place, line in placed]
        return [(place, line, lettering.of(line, place, self.grid, self.paper)) for place, line in told]

    @property
    def is_local(self) -> bool:
        """Whether the codes lead to this computer under a name that no phone can reach."""
        return urlsplit(self.origin).hostname in LOOPBACK

    def address(self, grid: str = "", paper: str = "", ending: str = "", document: int = 1) -> str:
        """The address of these labels, with something else chosen."""
        more = f"&frame={self.only}" if self.only else ""
        more += f"&document={document}" if document > 1 else ""
        return f"{self.href}/labels{ending}?paper={paper or self.paper}&grid={grid or self.grid}{more}"


@router.get("/pieces/{id}/labels")
def show(request: Request, id: str, paper: str = "", grid: str = "", frame: str = "", document: str = "") -> Response:
    """The labels as a page, to be printed by the browser."""
    return _answer(request, _page(request, id, paper, grid, frame, document))


@router.get("/pieces/{id}/labels.pdf")
async def as_pdf(
    request: Request, id: str, paper: str = "", grid: str = "", frame: str = "", document: str = ""
) -> Response:
    """The labels as PDF; the page with a note where this computer cannot make one."""
    page = await run_in_threadpool(_page, request, id, paper, grid, frame, document)
    name = exports.file_name(page.piece.name, "labels.pdf")
    return await printing.answer(lambda notice: _answer(request, replace(page, notice=notice)), name)


def _page(request: Request, id: str, paper: str, grid: str, frame: str, document: str) -> LabelsPage:
    kept, piece = opened(store_of(request), id)
    origin, grid = str(request.base_url).rstrip("/"), grid if grid in GRIDS else "8"
    chosen, number = chosen_of(piece, frame), number_of(document) or 1
    return LabelsPage(kept, piece, printing.paper_of(paper), chosen, origin=origin, grid=grid, document=number)


def _answer(request: Request, page: LabelsPage) -> Response:
    return render(request, "labels.html", page, unit=page.piece.unit)


def _place(drawn: FrameLines) -> str:
    return f"Groove {drawn.depth}, {drawn.name}" if drawn.depth else drawn.name
