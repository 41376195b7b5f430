"""The parts of a piece that stand in no frame, as paper shows them; their numbers follow those of the panels."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from movement import gap_table
from movement.gap_table import PartRow
from movement.parts.any import SizedPart
from movement.piece import Piece
from webapp import columns, cutting, instructions, joinery, leaves, measures, worked
from webapp.kinds.catalogue import find
from webapp.kinds.kind import Kind
from webapp.lines import Beside, Line, joined, leaning
from webapp.rounding import NONE, bare
from webapp.words import Words


def others(piece: Piece) -> Iterator[Line]:
    """Every part that stands in no frame, in order."""
    words = Words(piece.unit)
    first = sum(len(frame.panels) for frame in piece.frames) + 1
    for number, (part, row) in enumerate(worked.parts(piece), start=first):
        kind = find(part.kind)
        assert kind is not None
        yield _line(piece, part, kind, number, row, words)


def _line(piece: Piece, part: SizedPart, kind: Kind[Any, Any], number: int, row: PartRow | str, words: Words) -> Line:
    line = Line(
        part.kind,
        part.id,
        number,
        part.name or kind.name,
        part.count,
        piece.benches(part)[0].wood.words,
        piece.moisture_now(part),
        part.thickness_mm,
        row if isinstance(row, str) else "",
        kind.name,
        _beside(piece, part),
    )
    return line if isinstance(row, str) else _sized(line, piece, part, row, words)


def _sized(line: Line, piece: Piece, part: SizedPart, row: PartRow, words: Words) -> Line:
    made, cells = row.result, row.cells()
    found, told, texts = measures.of(made), instructions.of(part, made, words), columns.part(row, words)
    odd = leaves.odd(piece, part, made, words)
    bias, off = cells["bias"], cells["bias_mm"]
    return replace(
        line,
        fits=made.fits,
        sizes=found.sizes,
        cuts=found.cuts,
        size=_size([texts[name] for name in ("cut_width", "cut_length")]) if made.fits else "",
        what=told.what if made.fits else "",
        cells={name: bare(text) for name, text in texts.items()},
        today=told.today,
        short=told.short,
        leave=told.leave,
        bias=leaning(off, bias, words) if isinstance(off, float) and isinstance(bias, str) else "",
        lean=told.lean,
        advice=(*made.advice, odd) if odd else made.advice,
        cautions=told.cautions,
        mind=told.mind,
        pieces=cutting.pieces(part, made),
        alike=cutting.alike(made, words),
        extra=cutting.bottom(made, words) if made.fits else None,
        works=joinery.of(part, made, words),
        other=row,
    )


def _size(texts: list[str]) -> str:
    """What is cut, in words: width × length."""
    known = [text for text in texts if text != NONE]
    return joined(bare(known[0]), "×", known[1]) if len(known) > 1 else joined(*known) if known else ""


def _beside(piece: Piece, part: SizedPart) -> tuple[Beside, ...]:
    return tuple(Beside(name, bench.wood.words, bench.season.now) for name, bench in gap_table.other_stock(piece, part))
