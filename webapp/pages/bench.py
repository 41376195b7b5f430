"""One part at the bench, large: what its label's code opens on a phone."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import drawings, kit
from webapp.documents import MissingError
from webapp.drawings import EdgeDrawing
from webapp.kinds.kind import Answer
from webapp.kit import Item, Kit, Ticks
from webapp.lines import FrameLines, Line
from webapp.paper import PaperPage, opened
from webapp.partrows import kind_of
from webapp.posted import store_of
from webapp.render import piece_switch, render

router = APIRouter()


@dataclass(frozen=True)
class BenchPage(PaperPage):
    """The context of bench.html. ``part`` is the handle of a part that the piece has."""

    part: str = ""
    ticks: Ticks = field(default_factory=dict)

    @cached_property
    def line(self) -> Line:
        """The part."""
        return next(line for line in self.lines if line.id == self.part)

    @cached_property
    def drawn(self) -> FrameLines | None:
        """The part's frame; None where it stands in none."""
        return next((drawn for drawn in self.frames if any(line.id == self.part for line in drawn.lines)), None)

    @property
    def items(self) -> Sequence[Item]:
        """The part's steps, to be ticked off; none where it is not to be made as it is."""
        return Kit(self.frames, self.ticks, self.words, self.others).steps(self.drawn, self.line)

    @property
    def drawing(self) -> EdgeDrawing | None:
        """A panel's edge in its groove, where it could be sized."""
        row = self.line.row
        if row is None:
            return None
        tongue = self.piece.needs(row.part).tongue_thickness_mm
        assert tongue is not None
        return drawings.edge(row.result, tongue, self.piece.unit, self.words.say)

    @cached_property
    def answer(self) -> Answer | None:
        """All that its kind's own page would show of a part of another kind, where it could be sized."""
        row = self.line.other
        return None if row is None else kind_of(row.part.kind).show(row.part, row.result, self.words)

    @property
    def bias(self) -> str:
        """Which way today's gap leans; empty where its kind knows no bias."""
        if self.line.row is not None:
            return self.line.row.result.bias
        return self.answer.badge if self.answer else ""

    @property
    def neighbours(self) -> tuple[Line | None, Line | None]:
        """The parts before and after it."""
        lines = self.lines
        place = [line.id for line in lines].index(self.part)
        return lines[place - 1] if place else None, lines[place + 1] if place + 1 < len(lines) else None


@router.get("/pieces/{id}/parts/{part}")
def show(request: Request, id: str, part: str) -> Response:
    """The part."""
    store = store_of(request)
    kept, piece = opened(store, id)
    if part not in {one.id for _, one in piece.panels()} | {one.id for one in piece.parts}:
        raise MissingError(part)
    page = BenchPage(kept, piece, part=part, ticks=kit.by_step(store.ticks(id)))
    return render(request, "bench.html", page, unit=piece.unit, unit_links=piece_switch(request, page.href, piece.unit))
