"""The fields with which the other parts of a piece are edited, each kind with those of its own page, and their fits."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from movement.gap_table import PartRow
from movement.lengths import Unit
from movement.parts.any import SizedPart
from movement.parts.base import OwnSpecies
from movement.parts.making import Cell
from movement.piece import Piece
from webapp import columns, instructions, leaves, rounding, rows
from webapp.forms import Form, Spec, bind
from webapp.kinds.catalogue import find
from webapp.kinds.kind import ROUNDING, STOCK, Answer, Kind
from webapp.rounding import Texts
from webapp.words import Words

FRAME = (Spec("name", "Name", "text"), Spec("count", "Count", "whole", default="1"))
OWN = (
    *(replace(one, default="", hint="") for one in STOCK),
    Spec("thickness", "Thickness", "length", "thickness_mm"),
)
"""The fields of a part's own stock: blank, each is the piece's."""
SHOP = ("making_tolerance", ROUNDING.name)
"""Fields of a kind's page that a part of a piece has not: they are the piece's."""
MEASURED = frozenset(
    (
        *("opening", "opening_height", "board_face", "stile_width", "case_depth", "case_stile_width"),
        *("front_groove", "back_thickness", "back_inset", "tenon_width", "distance", "distances", "top_width"),
        *("screw", "overhang_front", "overhang_back", "slat_width", "space_now"),
    )
)
"""Fields that only the maker knows: a new part leaves them blank, whatever a kind's page starts with."""


def kind_of(key: str) -> Kind[Any, Any]:
    """The kind of a part; the key is one of a part that was read."""
    kind = find(key)
    assert kind is not None
    return kind


def specs(kind: Kind[Any, Any], unit: Unit) -> tuple[Spec, ...]:
    """The fields of a part of this kind: its name and count, its own needs, its stock."""
    own = [one for one in kind.fields(unit)[len(STOCK) :] if one.name not in SHOP]
    first = [one for one in own if one.name not in kind.folded]
    return (*FRAME, *first, *(one for one in own if one.name in kind.folded), *OWN)


def labels(key: str) -> dict[str, str]:
    """What the fields of a kind are called, by name; none where there is no such kind."""
    kind = find(key)
    return {} if kind is None else {one.name: one.label.lower() for one in specs(kind, "mm")}


def hints(piece: Piece) -> dict[str, str]:
    """What stands in the blank fields of a part."""
    return rows.panel_hints(piece) | {"bottom_species": "as the sides", "case_species": "as the sides"}


def settle(kind: Kind[Any, Any], form: Form) -> Form:
    """The form without what means nothing beside its other values."""
    for one in specs(kind, form.unit):
        if one.name in kind.idle(form.values):
            form.values[one.target], form.fields[one.name].error = None, ""
            form.unread.discard(one.name)
    return form


def new_handle(key: str) -> str:
    """The handle of the form of a new part; no frame or part can have it."""
    return f"{key}.part"


def new_form(kind: Kind[Any, Any], piece: Piece, data: Mapping[str, str] | None = None) -> Form:
    """The form of a new part: what the kind's page starts with, but blank where only the maker knows."""
    unit = rows.seen_unit(data or {}, piece.unit)
    asked = [replace(one, default="") if one.name in MEASURED else one for one in specs(kind, unit)]
    return rows.with_hints(bind(asked, data or {}, unit), hints(piece) | {"name": new_name(kind, piece)})


def new_name(kind: Kind[Any, Any], piece: Piece) -> str:
    """What a new part is called unless it is named."""
    taken = {part.name for part in piece.parts}
    number = sum(part.kind == kind.key for part in piece.parts) + 1
    while (name := f"{kind.key.capitalize()} {number}") in taken:
        number += 1
    return name


@dataclass(frozen=True)
class PartLine:
    """A part as the piece page shows it: its fit, and where it is open its fields and its whole answer.

    ``row`` is None where the core refused it, for the ``problem``; ``form`` is None where the part is not open.
    ``odd`` tells of a door whose frames are not as it is; ``unframed`` is a door that a frame can be made for.
    """

    part: SizedPart
    kind: Kind[Any, Any]
    row: PartRow | None
    problem: str
    form: Form | None
    stamp: str
    words: Words
    odd: str = ""
    unframed: bool = False

    @property
    def id(self) -> str:
        """The part's handle."""
        return self.part.id

    @property
    def name(self) -> str:
        """What the part is called."""
        return self.part.name or self.kind.name

    @cached_property
    def cells(self) -> Mapping[str, Cell]:
        """The part's row of the gap table; empty where it could not be sized."""
        return self.row.cells() if self.row else {}

    @cached_property
    def texts(self) -> Texts:
        """Its lengths in words, without the unit that their columns name; empty where it could not be sized."""
        found = columns.part(self.row, self.words) if self.row else {}
        return {name: rounding.bare(text) for name, text in found.items()}

    @cached_property
    def also(self) -> str:
        """What to leave open today, as its label has it, and what its kind always warns of."""
        if self.row is None:
            return ""
        told = instructions.of(self.part, self.row.result, self.words)
        short = f"{told.short}." if self.fits else ""
        minded = told.cautions if self.part.kind == "slats" else (told.mind,)
        return " ".join(text for text in (short, *minded) if text)

    @property
    def fits(self) -> bool:
        """Whether it was sized and fits."""
        return self.row is not None and self.row.result.fits

    @property
    def advice(self) -> Sequence[str]:
        """What the maker is advised."""
        found = self.row.result.advice if self.row else ()
        return (*found, self.odd) if self.odd else found

    @property
    def answer(self) -> Answer | None:
        """All that the kind's own page would show of it."""
        return None if self.row is None else self.kind.show(self.part, self.row.result, self.words)

    @property
    def shown(self) -> Sequence[str]:
        """The fields that mean something beside the others, in order."""
        if self.form is None:
            return ()
        values = dict(self.part) | self.form.values
        idle = self.kind.idle(values)
        return [name for name in self.form.fields if name not in idle]

    @property
    def own_words(self) -> str:
        """What the part has of its own stock, in words; empty where all is the piece's."""
        part, unit = self.part, self.words.unit
        species = part.species.name if isinstance(part.species, OwnSpecies) else part.species
        words = [
            species or "",
            "" if part.ring_angle_deg is None else f"ring angle {part.ring_angle_deg:g}°",
            "" if part.moisture_now_pct is None else f"at {part.moisture_now_pct:g} % today",
            "" if part.thickness_mm is None else f"{rows.say(part.thickness_mm, unit)} {unit} thick",
        ]
        return ", ".join(word for word in words if word)


def line(piece: Piece, part: SizedPart, sized: PartRow | str, form: Form | None, is_open: bool) -> PartLine:
    """A part as it is shown.

    Parameters
    ----------
    sized : PartRow or str
        Its row, or why it was refused.
    form : Form or None
        What was typed and refused; None where nothing was.
    is_open : bool
        Whether its fields are shown.
    """
    kind, unit = kind_of(part.kind), piece.unit
    stamp = ""
    if is_open or form is not None:
        asked = specs(kind, form.unit if form else unit)
        form = rows.with_hints(form or rows.shown(asked, dict(part), unit), hints(piece))
        stamp = rows.marks(asked, dict(part), form.unit)
    row, problem = (None, sized) if isinstance(sized, str) else (sized, "")
    words = Words(unit)
    odd = leaves.odd(piece, part, row.result, words) if row else ""
    unframed = row is not None and leaves.framed(row.result) is not None and not leaves.frames(piece, part.id)
    return PartLine(part, kind, row, problem, form, stamp, words, odd, unframed)
