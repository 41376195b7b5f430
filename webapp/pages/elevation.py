"""A frame's elevation: on a page, where its layout is told, and as SVG and DXF files."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement import piece as pieces
from movement.piece import Frame, Piece
from webapp import drafting, dxf, edits, elevation, exports, rows
from webapp.documents import MissingError
from webapp.drafting import Drawing
from webapp.forms import Form, Spec
from webapp.lines import FrameLines
from webapp.paper import PaperPage, opened
from webapp.posted import Typed, see, store_of
from webapp.render import piece_switch, render, templates

router = APIRouter()

LAYOUTS = (("column", "In a column"), ("row", "In a row"))
FIELDS = (
    Spec("layout", "The panels stand", "choice", options=LAYOUTS, hint="The first on top, or on the left."),
    Spec(
        "member_width",
        "Width of stiles and rails",
        "length",
        "member_width_mm",
        hint="For the drawing, and for the stiles and rails of the kit; no panel is sized from it.",
    ),
)


class _RefusedError(Exception):
    """What was typed is refused."""

    def __init__(self, form: Form) -> None:
        self.form = form
        super().__init__("refused")


@dataclass(frozen=True)
class ElevationPage(PaperPage):
    """The context of elevation.html. ``form`` is None where nothing was typed."""

    frame_id: str = ""
    typed: Form | None = None

    @property
    def drawn(self) -> FrameLines:
        """The frame."""
        return next(drawn for drawn in self.frames if drawn.frame.id == self.frame_id)

    @property
    def drawing(self) -> Drawing | None:
        """Its elevation on paper; None where it has no panel."""
        return (
            drafting.drawing(elevation.elevation(self.drawn, self.piece.unit), self.piece.unit)
            if self.drawn.lines
            else None
        )

    @property
    def form(self) -> Form:
        """The frame's layout, as it is or as typed."""
        form = self.typed or rows.shown(FIELDS, dict(self.drawn.frame), self.piece.unit)
        unit = self.piece.unit
        return rows.with_hints(form, {"member_width": f"drawn {rows.say(elevation.MEMBERS[unit], unit)}"})

    @property
    def stamp(self) -> str:
        """The marks of the layout."""
        return rows.marks(FIELDS, dict(self.drawn.frame), self.form.unit)

    @property
    def address(self) -> str:
        """The page's own address."""
        return f"{self.href}/frames/{self.frame_id}/elevation"


@router.get("/pieces/{id}/frames/{frame_id}/elevation")
def show(request: Request, id: str, frame_id: str) -> Response:
    """The elevation, with its files and the form of its layout."""
    return _answer(request, _page(request, id, frame_id))


@router.post("/pieces/{id}/frames/{frame_id}/elevation")
def lay_out(request: Request, id: str, frame_id: str, data: Typed) -> Response:
    """How the panels stand, and how wide the members are drawn."""
    page = _page(request, id, frame_id)

    def rewrite(document: str) -> tuple[str, str]:
        piece = _laid_out(pieces.load(document), frame_id, data)
        return piece.name, pieces.dump(piece)

    try:
        store_of(request).change_piece(id, rewrite)
    except _RefusedError as error:
        return _answer(request, replace(page, typed=error.form), 422)
    return see(page.address)


@router.get("/pieces/{id}/frames/{frame_id}/elevation.svg")
def as_svg(request: Request, id: str, frame_id: str) -> Response:
    """The elevation as an SVG file, true to scale in millimetres of paper."""
    page = _page(request, id, frame_id)
    text = templates.get_template("_elevation.html").render(drawing=_drawing(page), uid="elevation")
    content = f'<?xml version="1.0" encoding="UTF-8"?>\n{text.strip()}\n'.encode()
    return exports.download(content, "image/svg+xml", _file_name(page, "svg"))


@router.get("/pieces/{id}/frames/{frame_id}/elevation.dxf")
def as_dxf(request: Request, id: str, frame_id: str) -> Response:
    """The elevation as a DXF file, in real size."""
    page = _page(request, id, frame_id)
    content = dxf.text(_drawing(page).elevation).encode()
    return exports.download(content, "image/vnd.dxf", _file_name(page, "dxf"))


def _laid_out(piece: Piece, frame_id: str, data: Mapping[str, str]) -> Piece:
    frame = edits.frame_of(piece, frame_id)
    form = rows.read(FIELDS, data, dict(frame), piece.unit)
    built = form.build(Frame, **{key: value for key, value in frame if key not in form.targets})
    if built is None or not form.ok:
        raise _RefusedError(form)
    return edits.with_frame(piece, built)


def _page(request: Request, id: str, frame_id: str) -> ElevationPage:
    kept, piece = opened(store_of(request), id)
    edits.frame_of(piece, frame_id)
    return ElevationPage(kept, piece, frame_id=frame_id)


def _drawing(page: ElevationPage) -> Drawing:
    if page.drawing is None:
        raise MissingError(page.frame_id)
    return page.drawing


def _file_name(page: ElevationPage, ending: str) -> str:
    return exports.file_name(f"{page.piece.name} {page.drawn.name}", ending)


def _answer(request: Request, page: ElevationPage, status: int = 200) -> Response:
    links = piece_switch(request, page.href, page.piece.unit)
    return render(request, "elevation.html", page, unit=page.piece.unit, unit_links=links, status=status)
