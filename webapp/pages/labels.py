"""Labels on plain paper: for every part what it is cut to, what to leave open, and its code; if wanted, for every
piece of wood.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice
from urllib.parse import urlsplit

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import Response
from markupsafe import Markup

from webapp import codes, exports, lettering, members, printing, tags
from webapp.lettering import Half, Setting
from webapp.lines import FrameLines
from webapp.paper import PaperPage, chosen_of, opened
from webapp.posted import number_of, store_of
from webapp.render import render
from webapp.security import LOOPBACK
from webapp.tags import Tag

router = APIRouter()

GRIDS = {"8": (2, 4), "18": (3, 6)}
"""Labels on a page, by columns and rows."""
MOST = 400
"""Labels in one document; more follow in further ones."""


@dataclass(frozen=True, slots=True)
class Label:
    """A label: what stands on it, which of how many it is, how it is set, the code of its page.

    ``shows`` is what is on it: all of it, or the first or the second half where one label has no room for both.
    """

    tag: Tag
    counts: Sequence[str]
    setting: Setting
    shows: Half
    code: Markup


@dataclass(frozen=True)
class LabelsPage(PaperPage):
    """The context of labels.html.

    ``origin`` is where phones reach the app; ``pieces`` and ``members`` whether every board, side and slat, and every
    stile, rail and muntin, gets a label of its own.
    """

    origin: str = ""
    grid: str = "8"
    document: int = 1
    pieces: bool = False
    members: bool = False

    @property
    def grids(self) -> Sequence[tuple[str, str]]:
        """The numbers of labels on a page to choose from, with their names."""
        return [(grid, f"{grid} a page") for grid in GRIDS]

    @cached_property
    def count(self) -> int:
        """How many labels there are."""
        return sum(len(tag.counts) * len(setting.halves) for tag, setting in self._set)

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
        for tag, setting in self._set:
            code = codes.svg(f"{self.origin}{self.href}/{tag.page}")
            for counts in tag.counts:
                for half in setting.halves:
                    yield Label(tag, counts, setting, half, code)

    @cached_property
    def _set(self) -> Sequence[tuple[Tag, Setting]]:
        """What stands on the labels, and how it is set."""
        return [(tag, lettering.of(tag, self.grid, self.paper)) for tag in self._tags()]

    def _tags(self) -> Iterator[Tag]:
        for drawn in self.chosen:
            for line in drawn.lines:
                yield tags.part(line, self._placed(_place(drawn)))
            if self.members:
                yield from tags.members_of(drawn, self._placed(drawn.name), self.words)
        for line in self.chosen_others:
            place = self._placed(line.kind_name)
            yield from tags.pieces(line, place) if self.pieces else (tags.part(line, place),)

    def _placed(self, where: str) -> str:
        """Where a part goes, in words, with the piece and the day."""
        return f"{where}. {self.piece.name}, {self.day_words}"

    @property
    def unlisted(self) -> Sequence[FrameLines]:
        """The frames whose members are wanted and cannot be listed, for their width is not told."""
        return [one for one in self.chosen if one.depth and not members.of(one.frame)] if self.members else ()

    @property
    def ticks(self) -> Sequence[tuple[str, str, bool]]:
        """What may be labelled besides, by its name in the address, and whether it is."""
        return [
            ("pieces", "Each board, side, slat", self.pieces),
            ("members", "Stiles, rails, muntins", self.members),
        ]

    @property
    def is_local(self) -> bool:
        """Whether the codes lead to this computer under a name that no phone can reach."""
        return urlsplit(self.origin).hostname in LOOPBACK

    def address(self, grid: str = "", paper: str = "", ending: str = "", document: int = 1) -> str:
        """The address of these labels, with something else chosen."""
        more = f"&frame={self.only}" if self.only else ""
        more += "".join(f"&{name}=1" for name, _, is_on in self.ticks if is_on)
        more += f"&document={document}" if document > 1 else ""
        return f"{self.href}/labels{ending}?paper={paper or self.paper}&grid={grid or self.grid}{more}"


@router.get("/pieces/{id}/labels")
def show(request: Request, id: str) -> Response:
    """The labels as a page, to be printed by the browser."""
    return _answer(request, _page(request, id))


@router.get("/pieces/{id}/labels.pdf")
async def as_pdf(request: Request, id: str) -> Response:
    """The labels as PDF; the page with a note where this computer cannot make one."""
    page = await run_in_threadpool(_page, request, id)
    name = exports.file_name(page.piece.name, "labels.pdf")
    return await printing.answer(lambda notice: _answer(request, replace(page, notice=notice)), name)


def _page(request: Request, id: str) -> LabelsPage:
    kept, piece = opened(store_of(request), id)
    asked = request.query_params
    grid = asked.get("grid", "8")
    return LabelsPage(
        kept,
        piece,
        printing.paper_of(asked.get("paper", "")),
        chosen_of(piece, asked.get("frame", "")),
        origin=str(request.base_url).rstrip("/"),
        grid=grid if grid in GRIDS else "8",
        document=number_of(asked.get("document", "")) or 1,
        pieces=asked.get("pieces") == "1",
        members=asked.get("members") == "1",
    )


def _answer(request: Request, page: LabelsPage) -> Response:
    return render(request, "labels.html", page, unit=page.piece.unit)


def _place(drawn: FrameLines) -> str:
    return f"Groove {drawn.depth}, {drawn.name}" if drawn.depth else drawn.name
