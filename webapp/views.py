"""What the piece page shows: a piece with its frames and panels, their fields and their fits."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from movement import lengths
from movement.errors import RangeError
from movement.gap_table import PartRow, Row
from movement.lengths import Unit
from movement.parts.base import OwnSpecies
from movement.parts.panel import PanelResult
from movement.piece import Frame, PanelPart, Piece
from webapp import (
    columns,
    courses,
    doubts,
    following,
    library,
    members,
    partrows,
    prospects,
    rounding,
    rows,
    strays,
    worked,
    years,
)
from webapp.charts import Chart
from webapp.documents import Kept
from webapp.doubts import Fold
from webapp.edits import Taken
from webapp.forms import Form, Spec, doubt
from webapp.kinds.catalogue import KINDS
from webapp.kinds.kind import Kind
from webapp.partrows import PartLine
from webapp.prospects import Prospects
from webapp.rounding import NONE, Texts
from webapp.shares import Shares, Sharing
from webapp.store import Store
from webapp.words import Words, dated
from webapp.worked import Worked

Forms = Mapping[str, Form]
"""Forms as typed, by the handle that they are of: `SETUP`, a frame's, a panel's, or a new panel's (`new_handle`)."""

SETUP = ".setup"
"""The handle of the form of a piece's shop and stock; no frame or part can have it."""


def new_handle(frame_id: str) -> str:
    """The handle of the form of a frame's new panel, and the prefix of its ids; no frame or panel can have it."""
    return f"{frame_id}.new"


def first_refused(handle: str, form: Form) -> str:
    """The id of a new panel's first refused field: the cursor goes there; in a row it stays where the reader is."""
    names = [name for name, _ in form.errors if name]
    if names and handle.endswith(".part"):
        return f"{handle}-{names[0]}"
    return f"{handle}.{names[0]}" if names and handle.endswith(".new") else ""


@dataclass(frozen=True)
class PanelRow:
    """A panel's fields with its fit.

    ``row`` is None where the core refused it, for the ``problem``; ``more`` where the fields that are seldom needed are
    shown too.
    """

    part: PanelPart
    form: Form
    stamp: str
    words: str
    row: Row | None
    problem: str
    more: bool
    unit: Unit

    @property
    def result(self) -> PanelResult | None:
        """The panel, sized."""
        return self.row.result if self.row else None

    @cached_property
    def texts(self) -> Texts:
        """Its lengths in words, without the unit that their columns name; empty where it could not be sized."""
        found = rounding.panel(self.row.result, Words(self.unit)) if self.row else {}
        return {name: rounding.bare(text) for name, text in found.items()}


@dataclass(frozen=True)
class FrameCard:
    """A frame as the sheet shows it: its own form, its panels, the form of a new panel."""

    view: "PieceView"
    frame: Frame
    worked: Worked

    @cached_property
    def form(self) -> Form:
        """The frame's own fields."""
        unit = self.view.piece.unit
        form = self.view.forms.get(self.frame.id) or rows.shown(self.view.frame_specs, dict(self.frame), unit)
        return rows.with_hints(form, {"groove_depth": rounding.bare(self.depth).removesuffix(".0").removesuffix('"')})

    @property
    def mixed(self) -> str:
        """What to know of panels that cannot stand as the frame has them; empty where they can."""
        if not members.is_mixed(self.frame):
            return ""
        if self.frame.layout == "row":
            return (
                "Its panels differ in height, so that no row has room for them alike: give each height its own frame."
            )
        return (
            "Its panels differ in width, so they stand in no column alike: stand them in a row, on the page of its "
            "elevation, or give each width a frame of its own."
        )

    @property
    def depth(self) -> str:
        """How deep the frame is grooved; empty where it has no panel to ask."""
        groove = self.worked.groove
        return "" if groove is None else rounding.exact(groove, Words(self.view.piece.unit))

    @property
    def stamp(self) -> str:
        """The marks of the frame's own fields."""
        return rows.marks(self.view.frame_specs, dict(self.frame), self.form.unit)

    @property
    def new(self) -> Form:
        """The fields of a new panel."""
        return self.view.forms.get(new_handle(self.frame.id)) or rows.new_panel_form(self.frame, self.view.piece.unit)

    @cached_property
    def panels(self) -> Sequence[PanelRow]:
        """The frame's panels, each with its fields; the sheet has them twice, in their rows and in the gap table."""
        return [self._row(part) for part in self.frame.panels]

    def panel(self, id: str) -> PanelRow:
        """One of the frame's panels."""
        return next(self._row(part) for part in self.frame.panels if part.id == id)

    def _row(self, part: PanelPart) -> PanelRow:
        view, values = self.view, dict(part)
        form = view.forms.get(part.id) or rows.shown(view.panel_specs, values, view.piece.unit)
        stamp = rows.marks(view.panel_specs, values, form.unit)
        words = rows.own_words(part, view.piece.unit)
        more = part.id in view.more or any(form.fields[name].error for name in rows.MORE)
        row, problem = self.worked.rows.get(part.id), self.worked.problems.get(part.id, "")
        return PanelRow(
            part, rows.with_hints(form, view.panel_hints), stamp, words, row, problem, more, view.piece.unit
        )


@dataclass(frozen=True)
class PieceView:
    """A piece as both the sheet and its parts show it.

    ``focus`` is the id of the input that the cursor goes to, ``notice`` tells what became of a change, ``taken`` is
    what was taken out just now, ``edited`` the panel or other part that was changed, ``more`` are those that all fields
    are shown of, ``adding`` is the kind of a part that is being added.
    """

    kept: Kept
    piece: Piece
    forms: Forms = field(default_factory=dict)
    focus: str = ""
    notice: str = ""
    taken: Taken | None = None
    more: frozenset[str] = frozenset()
    adding: str = ""
    edited: str = ""

    @property
    def href(self) -> str:
        """The piece's address."""
        return f"/pieces/{self.kept.id}"

    @property
    def main_names(self) -> Sequence[str]:
        """The fields of a panel's first line."""
        return rows.MAIN

    @property
    def more_names(self) -> Sequence[str]:
        """The fields that a panel seldom needs."""
        return rows.MORE

    def say(self, length: float | None) -> str:
        """A length in the piece's unit, to 0.1 mm or 1/64 in."""
        unit = self.piece.unit
        return "–" if length is None else lengths.show(length, unit, lengths.STEPS[unit][0])

    def signed(self, length: float) -> str:
        """A bare length with its sign."""
        return rounding.bare(Words(self.piece.unit).signed(length))

    @cached_property
    def frame_specs(self) -> Sequence[Spec]:
        """The fields of a frame."""
        return rows.frame_specs(self.piece)

    @cached_property
    def panel_specs(self) -> Sequence[Spec]:
        """The fields of a panel."""
        return rows.panel_specs(self.piece)

    @cached_property
    def panel_hints(self) -> Mapping[str, str]:
        """What stands in a panel's blank fields."""
        return rows.panel_hints(self.piece)

    @cached_property
    def cards(self) -> Sequence[FrameCard]:
        """Every frame of the piece."""
        return [FrameCard(self, frame, found) for frame, found in worked.frames(self.piece)]

    @cached_property
    def part_lines(self) -> Sequence[PartLine]:
        """Every other part of the piece."""
        return [
            partrows.line(self.piece, part, sized, self.forms.get(part.id), part.id in self.more)
            for part, sized in worked.parts(self.piece)
        ]

    @property
    def kinds(self) -> Sequence[Kind[Any, Any]]:
        """The kinds that a part can be of."""
        return KINDS

    @property
    def new_kind(self) -> Kind[Any, Any] | None:
        """The kind of the part that is being added; None where none is."""
        forms = self.forms
        return next((one for one in KINDS if one.key == self.adding or partrows.new_handle(one.key) in forms), None)

    @property
    def new_part(self) -> Form | None:
        """The fields of the part that is being added."""
        kind = self.new_kind
        if kind is None:
            return None
        return self.forms.get(partrows.new_handle(kind.key)) or partrows.new_form(kind, self.piece)

    def card(self, id: str) -> FrameCard:
        """One of the frames."""
        return next(one for one in self.cards if one.frame.id == id)

    @property
    def count(self) -> int:
        """How many panels the piece has, each counted as often as it is made."""
        return sum(part.count for _, part in self.piece.panels())

    @cached_property
    def sources(self) -> Sequence[str]:
        """Where the numbers of the gap table come from."""
        late = following.sources() if self.piece.defaults.following == "lagged" else ()
        rows = (row for card in self.cards for row in card.worked.rows.values())
        found = (line for row in rows for line in row.result.sources)
        others = (source for line in self.part_lines if line.row for source in line.row.result.sources)
        return tuple(dict.fromkeys((*found, *others, *self.piece.climate.year().sources, *late)))

    @cached_property
    def prospects(self) -> Prospects | None:
        """The chances of the whole piece, and the humidities that it survives; None without panels."""
        return prospects.of(self.piece, [card.worked for card in self.cards])

    @cached_property
    def failing(self) -> int:
        """How many rows of the gap table do not fit."""
        return sum(card.worked.failing for card in self.cards) + sum(not line.fits for line in self.part_lines)

    @property
    def failing_words(self) -> str:
        """How many rows do not fit, in words; empty where all do."""
        return "" if not self.failing else "1 does not fit" if self.failing == 1 else f"{self.failing} do not fit"

    @property
    def others(self) -> str:
        """How many other parts the piece has, each counted as often as it is made, in words; empty where none."""
        count = sum(part.count for part in self.piece.parts)
        return "" if not count else "1 other part" if count == 1 else f"{count} other parts"

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        refused = sum(len(form.errors) for form in self.forms.values())
        if refused:
            return doubt(refused)
        if self.taken:
            return f"“{self.taken.name}” was taken out. {self._count_words}"
        return " ".join(filter(None, (self.notice, self._edited_words, self._count_words)))

    @property
    def _edited_words(self) -> str:
        """What is cut and left open of what was changed; empty where nothing was, or it could not be sized."""
        found: list[tuple[str, Row | PartRow]] = [
            *((row.part.name or "Panel", row) for card in self.cards for row in card.worked.rows.values()),
            *((line.name, line.row) for line in self.part_lines if line.row),
        ]
        name, row = next(((name, row) for name, row in found if row.part.id == self.edited), ("", None))
        if row is None:
            return ""
        texts = columns.table(row, Words(self.piece.unit))
        told = ((texts["cut_width_mm"], "{} wide"), (texts["gap_now_mm"], "gap {} today"))
        said = ", ".join(words.format(text) for text, words in told if text not in ("", NONE))
        return f"{name}: {said}." if said else ""

    @property
    def _count_words(self) -> str:
        panels = "1 panel" if self.count == 1 else f"{self.count} panels"
        fits = self.failing_words or "all fit"
        return f"{panels}{f', {self.others}' if self.others else ''}; {fits}."


@dataclass(frozen=True)
class PiecePage(PieceView):
    """The context of piece.html as a whole page or sheet."""

    climates: Sequence[tuple[str, str]] = ()
    species: Sequence[tuple[str, str]] = ()
    outdated: Sequence[str] = ()
    sharing: Sharing = field(default_factory=Sharing)

    @cached_property
    def setup(self) -> Form:
        """The form of the piece's shop and stock."""
        return self.forms.get(SETUP) or rows.setup_form(self.piece, self.species)

    @property
    def doubts(self) -> Fold:
        """The fields of what is in doubt."""
        return doubts.fold(self.setup)

    @property
    def setup_stamp(self) -> str:
        """The marks of the piece's shop and stock."""
        return rows.marks(rows.setup_specs(self.setup.unit), rows.setup_values(self.piece), self.setup.unit)

    @property
    def refused(self) -> Sequence[tuple[str, Form]]:
        """(prefix of its ids, form) of every form with a refusal, for the summary at the head of the whole page."""
        prefixes = {handle: f"{handle}." if handle.endswith(".new") else f"{handle}-" for handle in self.forms}
        found = [("" if handle == SETUP else prefixes[handle], form) for handle, form in self.forms.items()]
        return [(prefix, form) for prefix, form in found if form.errors]

    @cached_property
    def chart(self) -> Chart | None:
        """The moisture of a panel that takes all from the piece, through the year or on its way; None without any."""
        try:
            return courses.of(self.piece)
        except RangeError:
            return None

    @property
    def chart_caption(self) -> str:
        """What to know of the chart."""
        return following.CAPTION if self.caution else ""

    @property
    def stray(self) -> str:
        """What to know of stock that lies outside the home's year."""
        return strays.words(self.piece)

    @property
    def climate_words(self) -> str:
        """Where the piece will live, in one or two sentences."""
        words = years.words(self.piece.climate, self.piece.unit)
        return f"{self.piece.climate_name}. {words}" if self.piece.climate_name else words

    @property
    def way_words(self) -> str:
        """Where the piece stays on its way home, in a sentence; empty where it is at home from the start."""
        home = self.piece.home_first
        if not self.piece.stays or home is None:
            return ""
        stays = [f"{stay.name or 'another place'} from {dated(stay.first)}" for stay in self.piece.stays]
        doubt = years.doubt_on_the_way(self.piece.climate, (stay.climate for stay in self.piece.stays))
        return f"On its way: {'; '.join(stays)}; home from {dated(home)}. {doubt}".rstrip()

    @property
    def caution(self) -> str:
        """What to know of panels that follow the air late; empty where they take its full swing."""
        return following.CAUTION if self.piece.defaults.following == "lagged" else ""


def whole(store: Store, kept: Kept, piece: Piece, **more: Any) -> PiecePage:
    """The whole sheet of a piece."""
    more.setdefault("sharing", Sharing(Shares(store.engine).of(kept.id)))
    return PiecePage(
        kept,
        piece,
        climates=years.saved(store),
        species=library.shelf(store).names,
        outdated=[one.name for one in piece.own_species if outdated(store, one)],
        **more,
    )


def outdated(store: Store, own: OwnSpecies) -> bool:
    """Whether the maker keeps other figures by now for a species that a piece has in its file."""
    kept = library.own_named(store, own.name)
    return kept is not None and kept != own
