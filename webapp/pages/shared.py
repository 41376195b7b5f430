"""A piece that is shown to whoever has a link to it, and the making and ending of such links."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import drafting, elevation, views
from webapp.drafting import Drawing
from webapp.lines import Column, FrameLines
from webapp.paper import PaperPage, opened
from webapp.posted import see, store_of
from webapp.render import UNITS, Link, is_partial, piece_switch, render
from webapp.shares import Shares, Sharing

router = APIRouter()

_FIRST = ("cut_width", "gap_now")
_UNKEPT = {"Cache-Control": "no-store", "X-Robots-Tag": "noindex, nofollow", "Referrer-Policy": "no-referrer"}


@dataclass(frozen=True)
class SharedPage(PaperPage):
    """The context of shared.html: a piece to be read, without the way to anything else."""

    @property
    def unit_links(self) -> Sequence[Link]:
        """The unit switch, which changes nothing that is kept."""
        return [Link(unit, f"?unit={unit}", unit == self.piece.unit) for unit in UNITS]

    def ordered(self, columns: Sequence[Column]) -> Sequence[Column]:
        """The columns of a table, those that stand in sight on a phone first."""
        return sorted(columns, key=lambda column: column.key not in _FIRST)

    def drawing(self, drawn: FrameLines) -> Drawing:
        """A frame's elevation, to scale."""
        return drafting.drawing(elevation.elevation(drawn, self.piece.unit), self.piece.unit)


@router.get("/shared/{token}")
def show(request: Request, token: str, unit: str = "") -> Response:
    """The piece, as it is by now."""
    request.state.is_outside = True
    kept, piece = opened(store_of(request), _shares_of(request).piece(token))
    if unit in UNITS:
        piece = piece.model_copy(update={"unit": unit})
    page = SharedPage(kept, piece)
    return render(request, "shared.html", page, unit=piece.unit, unit_links=page.unit_links, headers=_UNKEPT)


@router.post("/pieces/{id}/shares")
def make(request: Request, id: str) -> Response:
    """A new link to the piece, told in this answer only."""
    token = _shares_of(request).make(id)
    return _piece(request, id, f"{request.base_url}shared/{token}", 201)


@router.post("/pieces/{id}/shares/{share_id}/end")
def end(request: Request, id: str, share_id: str) -> Response:
    """End a link."""
    _shares_of(request).end(id, share_id)
    return _piece(request, id) if is_partial(request) else see(f"/pieces/{id}#share")


def _piece(request: Request, id: str, link: str = "", status: int = 200) -> Response:
    """The piece's sheet with its links in sight."""
    kept, piece = opened(store_of(request), id)
    sharing = Sharing(_shares_of(request).of(id), link, is_open=True)
    notice = "" if link else "The link was ended: it leads nowhere any more."
    page = views.whole(store_of(request), kept, piece, sharing=sharing, notice=notice)
    links = piece_switch(request, page.href, piece.unit)
    headers = {"Cache-Control": "no-store"}
    return render(request, "piece.html", page, unit=piece.unit, unit_links=links, status=status, headers=headers)


def _shares_of(request: Request) -> Shares:
    shares: Shares = request.app.state.shares
    return shares
