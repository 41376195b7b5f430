"""The worked gap table of a piece, part by part: a part that has not changed is not sized again."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache

from movement import gap_table
from movement.errors import RangeError
from movement.gap_table import PartRow, Row
from movement.parts.any import MODELS, SizedPart
from movement.piece import MOST_PARTS, Frame, PanelPart, Piece
from webapp.refusals import from_range

MOST_SHOPS = 32
MOST_PANELS = 2 * MOST_PARTS
"""Panels that are kept, about 7 kB each (measured)."""


@dataclass(frozen=True, slots=True)
class Worked:
    """A frame's groove [mm] (None where there is no panel to ask), and by panel its row or why it was refused."""

    groove: float | None = None
    rows: dict[str, Row] = field(default_factory=dict)
    problems: dict[str, str] = field(default_factory=dict)

    @property
    def failing(self) -> int:
        """How many panels do not fit."""
        return len(self.problems) + sum(not row.result.fits for row in self.rows.values())


def frames(piece: Piece) -> Iterator[tuple[Frame, Worked]]:
    """Every frame of a piece with its rows, as `movement.gap_table.rows`; but a refused panel spares the others."""
    shop = _text(piece)
    for frame in piece.frames:
        yield frame, _worked(shop, frame)


def parts(piece: Piece) -> Iterator[tuple[SizedPart, PartRow | str]]:
    """Every other part of a piece with its row, or why it was refused."""
    shop = _text(piece)
    for part in piece.parts:
        yield part, _part(shop, part.kind, part.model_dump_json())


def part(piece: Piece, part: SizedPart) -> PartRow | str:
    """A part that stands in no frame: its row, or why it was refused."""
    return _part(_text(piece), part.kind, part.model_dump_json())


def _text(piece: Piece) -> str:
    """All that a part takes from its piece."""
    return piece.model_copy(update={"name": "shop", "frames": [], "parts": []}).model_dump_json()


def _worked(shop: str, frame: Frame) -> Worked:
    texts = {part.id: part.model_dump_json() for part in frame.panels}
    asked = {id: _asked(shop, text) for id, text in texts.items()} if frame.groove_depth_mm is None else {}
    depths = [depth for depth in asked.values() if isinstance(depth, float)]
    groove = max(depths, default=None) if frame.groove_depth_mm is None else frame.groove_depth_mm
    found = Worked(groove)
    for id, text in texts.items():
        sized = asked[id] if isinstance(asked.get(id), str) else _sized(shop, text, groove)
        if isinstance(sized, Row):
            found.rows[id] = sized
        else:
            found.problems[id] = str(sized)
    return found


@lru_cache(MOST_SHOPS)
def _shop(shop: str) -> Piece:
    return Piece.model_validate_json(shop)


@lru_cache(MOST_PANELS)
def _asked(shop: str, text: str) -> float | str | None:
    """The groove that a panel asks for [mm], or why it was refused."""
    piece, part = _shop(shop), PanelPart.model_validate_json(text)
    try:
        return gap_table.groove(Frame.model_construct(id="alone", panels=[part]), piece, [piece.bench(part)])
    except RangeError as error:
        return from_range(error).message


@lru_cache(MOST_PANELS)
def _sized(shop: str, text: str, groove: float | None) -> Row | str:
    """A panel's row in a groove [mm], or why it was refused."""
    alone = Frame.model_construct(
        id="alone", name="", groove_depth_mm=groove, panels=[PanelPart.model_validate_json(text)]
    )
    try:
        return gap_table.rows(_shop(shop).model_copy(update={"frames": [alone]}))[0]
    except RangeError as error:
        return from_range(error).message


@lru_cache(MOST_PANELS)
def _part(shop: str, kind: str, text: str) -> PartRow | str:
    """The row of a part that stands in no frame, or why it was refused."""
    try:
        return gap_table.part_row(_shop(shop), MODELS[kind].model_validate_json(text))
    except RangeError as error:
        return from_range(error).message
