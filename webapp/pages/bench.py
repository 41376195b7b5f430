"""One part at the bench, large: what its label's code opens on a phone."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import drawings, kit
from webapp.drawings import EdgeDrawing
from webapp.kit import Item, Kit, Ticks
from webapp.lines import FrameLines, Line
from webapp.paper import PaperPage, opened
from webapp.posted import store_of
from webapp.render import render
from webapp.store import MissingError

router = APIRouter()


@dataclass(frozen=True)
class BenchPage(PaperPage):
    """The context of bench.html."""

    part: str = ""
    ticks: Ticks = field(default_factory=dict)

    @property
    def drawn(self) -> FrameLines:
        """The part's frame."""
        return next(drawn for drawn in self.frames if any(line.id == self.part for line in drawn.lines))

    @property
    def line(self) -> Line:
        """The part."""
        return next(line for line in self.drawn.lines if line.id == self.part)

    @property
    def items(self) -> Sequence[Item]:
        """The part's steps, to be ticked off; none where it is not to be made as it is."""
        if not self.line.fits:
            return ()
        made = Kit(self.frames, self.ticks, self.words)
        return [made.item("cut", self.drawn, self.line), made.item("assemble", self.drawn, self.line)]

    @property
    def drawing(self) -> EdgeDrawing | None:
        """The part's edge in its groove, where it could be sized."""
        row = self.line.row
        if row is None:
            return None
        tongue = self.piece.needs(row.part).tongue_thickness_mm
        assert tongue is not None
        return drawings.edge(row.result, tongue, self.piece.unit, self.words.say)

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
    if all(one.id != part for _, one in piece.panels()):
        raise MissingError(part)
    page = BenchPage(kept, piece, part=part, ticks=kit.by_step(store.ticks(id)))
    return render(request, "bench.html", page, unit=piece.unit, unit_links=page.unit_links)
