"""The fragments of the piece page that a change has touched: all that is sent to a page that shows the rest already."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from movement.piece import Frame, Piece
from webapp import members, worked
from webapp.partrows import PartLine
from webapp.partrows import new_handle as new_part
from webapp.views import FrameCard, PanelRow, PieceView, new_handle
from webapp.worked import Worked

Kind = Literal[
    "row",
    "output",
    "head",
    "panels",
    "new",
    "gap_body",
    "gap_row",
    "gap_why",
    "gap_pair",
    "nothing",
    "undo",
    "revision",
    "count",
    "prospects",
    "sources",
    "part_row",
    "part_rows",
    "adding",
    "gap_parts",
]


@dataclass(frozen=True, slots=True)
class Fragment:
    """A piece of the sheet to be changed: which macro draws it, of what, and where it goes."""

    kind: Kind
    target: str
    swap: str = "outerMorph"
    card: FrameCard | None = None
    row: PanelRow | None = None
    line: PartLine | None = None


@dataclass(frozen=True)
class PieceFragments(PieceView):
    """The context of piece.html's block ``fragments``."""

    fragments: Sequence[Fragment] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """What a request has done to a piece: the handles of what it posted the fields of, added, and took out."""

    before: Piece
    edited: str = ""
    added: str = ""
    removed: str = ""


def changed(view: PieceView, change: Change) -> list[Fragment]:
    """The fragments of the sheet that differ from the piece before the change."""
    found = [Fragment("revision", "revision"), Fragment("count", "table-count")]
    was = {frame.id: (frame, done) for frame, done in worked.frames(change.before)}
    for card in view.cards:
        if card.frame.id in was:
            frame, done = was[card.frame.id]
            found += _FrameChange(card, frame, done, change).fragments()
    found += _parts(view, change)
    before = PieceView(view.kept, change.before)
    if view.prospects != before.prospects:
        found.append(Fragment("prospects", "prospects"))
    if view.sources != before.sources:
        found.append(Fragment("sources", "table-sources"))
    return [*found, Fragment("undo", "undo")] if change.removed else found


def _parts(view: PieceView, change: Change) -> Iterator[Fragment]:
    """What a change has touched of the parts that stand in no frame."""
    now, before = view.piece.parts, change.before.parts
    if now == before:
        if _odd(view) != _odd(PieceView(view.kept, change.before)):
            yield Fragment("gap_parts", "gap-parts")
        return
    if [one.id for one in now] == [one.id for one in before]:
        yield from panel(view, change.edited)
    else:
        yield Fragment("part_rows", "part-rows")
        if change.added:
            yield Fragment("adding", "new-part")
    yield Fragment("gap_parts", "gap-parts")


def _odd(view: PieceView) -> list[str]:
    """What is told of the doors' rails beside the frames."""
    doors = any(part.kind == "door" for part in view.piece.parts)
    return [line.odd for line in view.part_lines] if doors else []


def refused(view: PieceView, handle: str) -> list[Fragment]:
    """The fragment of the sheet that holds a refused form."""
    if view.new_kind is not None and handle == new_part(view.new_kind.key):
        return [Fragment("adding", "new-part")]
    for card in view.cards:
        if handle == new_handle(card.frame.id):
            return [Fragment("new", f"new-{card.frame.id}", card=card)]
        if handle == card.frame.id:
            return [Fragment("head", f"head-{handle}", card=card)]
    return panel(view, handle)


def panel(view: PieceView, id: str) -> list[Fragment]:
    """The fragment of the sheet that holds the row of a panel or of another part; none where there is no such one."""
    parts = [Fragment("part_row", f"part-{id}", line=line) for line in view.part_lines if line.id == id]
    return parts or [
        Fragment("row", f"panel-{id}", card=card, row=card.panel(id))
        for card in view.cards
        if any(part.id == id for part in card.frame.panels)
    ]


class _FrameChange:
    """A frame before and after a change."""

    def __init__(self, card: FrameCard, frame: Frame, done: Worked, change: Change) -> None:
        self.card, self.frame, self.done, self.change = card, frame, done, change
        self.id = card.frame.id
        self.now = [part.id for part in card.frame.panels]
        self.before = [part.id for part in frame.panels]
        self.differing = {one for one in self.now if _differs(done, card.worked, one)}
        self.regrooved = card.worked.groove != done.groove
        self.mixed = members.is_mixed(card.frame) != members.is_mixed(frame)
        kept = [one for one in self.before if one != change.removed]
        self.moved = [one for one in self.now if one != change.added] != kept

    def fragments(self) -> Iterator[Fragment]:
        if self.id == self.change.edited or self.regrooved or self.mixed:
            yield Fragment("head", f"head-{self.id}", card=self.card)
        yield from self._rows()
        if self.now != self.before or self.card.frame.panels[-1:] != self.frame.panels[-1:]:
            yield Fragment("new", f"new-{self.id}", card=self.card)
        yield from self._table()

    def _rows(self) -> Iterator[Fragment]:
        added, removed = self.change.added, self.change.removed
        if self.moved:
            yield Fragment("panels", f"panels-{self.id}", card=self.card)
            return
        for one in self.now:
            if one == self.change.edited:
                yield Fragment("row", f"panel-{one}", card=self.card, row=self.card.panel(one))
            elif one in self.differing and one != added:
                yield Fragment("output", f"out-{one}", row=self.card.panel(one))
        if added in self.now:
            target, swap = (f"panel-{self._above(added)}", "afterend")
            if not self._above(added):
                target, swap = f"panels-{self.id}", "afterbegin"
            yield Fragment("row", target, swap, self.card, self.card.panel(added))
        if removed in self.before:
            yield Fragment("nothing", f"panel-{removed}", "delete")

    def _table(self) -> Iterator[Fragment]:
        added, removed = self.change.added, self.change.removed
        arrived = added in self.now and not self._above(added)
        if self.moved or self.regrooved or arrived or not self.now or self.card.frame.name != self.frame.name:
            yield Fragment("gap_body", f"gap-{self.id}", "outerHTML", self.card)
            return
        for one in self.now:
            if one == added:
                yield Fragment("gap_pair", f"why-{self._above(added)}", "afterend", row=self.card.panel(one))
            elif one in self.differing:
                yield Fragment("gap_row", f"gap-{one}", "outerHTML", row=self.card.panel(one))
                yield Fragment("gap_why", f"why-{one}", row=self.card.panel(one))
        if removed in self.before:
            yield Fragment("nothing", f"gap-{removed}", "delete")
            yield Fragment("nothing", f"why-{removed}", "delete")

    def _above(self, id: str) -> str:
        place = self.now.index(id)
        return self.now[place - 1] if place else ""


def _differs(one: Worked, other: Worked, id: str) -> bool:
    before, after = one.rows.get(id), other.rows.get(id)
    if before is None or after is None:
        return before is not after or one.problems.get(id) != other.problems.get(id)
    return before is not after and (before.result != after.result or before.part != after.part)
