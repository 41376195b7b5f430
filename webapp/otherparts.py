"""The parts of a piece that stand in no frame, as paper shows them."""

from collections.abc import Iterator
from dataclasses import dataclass

from movement.parts.making import Cell
from movement.piece import Piece
from webapp import worked
from webapp.kinds import catalogue
from webapp.words import Words

NONE = "–"


@dataclass(frozen=True, slots=True)
class OtherPart:
    """A part on paper. ``problem`` tells why it could not be sized; a part that does not fit has no size to cut."""

    name: str
    kind: str
    count: int
    fits: bool
    size: str = NONE
    opening: str = NONE
    now: str = NONE
    dry: str = NONE
    wet: str = NONE
    also: str = ""
    advice: str = ""
    problem: str = ""


def others(piece: Piece) -> Iterator[OtherPart]:
    """Every part that stands in no frame, in order."""
    words = Words(piece.unit)
    for part, row in worked.parts(piece):
        kind = catalogue.find(part.kind)
        name = kind.name if kind is not None else part.kind
        if isinstance(row, str):
            yield OtherPart(part.name or name, name, part.count, False, problem=row)
            continue
        cells = row.cells()
        fits = cells["fits"] is not False
        sizes = [_length(words, cells[column]) for column in ("cut_width_mm", "cut_length_mm") if cells[column]]
        yield OtherPart(
            part.name or name,
            name,
            part.count,
            fits,
            " × ".join(sizes) if fits and sizes else NONE,
            _length(words, cells["opening_mm"]),
            _length(words, cells["gap_now_mm"]),
            _length(words, cells["gap_dry_mm"]),
            words.most(cells["gap_wet_mm"]) if isinstance(cells["gap_wet_mm"], float) else NONE,
            str(cells["also"] or ""),
            str(cells["advice"] or ""),
        )


def _length(words: Words, cell: Cell) -> str:
    return words.say(cell) if isinstance(cell, float) else NONE
