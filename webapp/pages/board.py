"""One board by its end grain: how it moves, how it cups, what ripping and turning change. The address is all."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement import sorption
from movement.lengths import Unit
from movement.parts import endgrain
from movement.parts.base import StockFields
from movement.parts.climates import AnyClimate
from movement.parts.endgrain import BoardRequest, BoardResult, GluedRow, Hollow, RippedPiece
from webapp import board_fields, woods, years
from webapp.asking import AsksYear
from webapp.checks import measured
from webapp.checks.check import Figure, forget, hand_on
from webapp.drawing.endgrain import section
from webapp.drawing.sheet import Drawing
from webapp.forms import Form, Option, bind
from webapp.kinds.kind import Table
from webapp.library import Shelf
from webapp.render import is_partial, recall, render, switch, unit_of
from webapp.store import Store
from webapp.words import Words

router = APIRouter()

_COUNTS = {2: "two", 3: "three"}
_ROWS = {"halves": "Its two halves", "thirds": "Its three thirds"}
_ONWARD = (("A run of boards", "/parts/boards"), ("A top", "/parts/top"), ("A joint", "/parts/joint"))


@dataclass(frozen=True, slots=True)
class BoardPage(AsksYear):
    """The context of board.html. ``made`` and ``drawing`` are None where something was refused."""

    form: Form
    unit: Unit
    idle: Collection[str] = ()
    species: Sequence[Option] = ()
    year: AnyClimate | None = None
    made: BoardResult | None = None
    drawing: Drawing | None = None

    @property
    def words(self) -> Words:
        """Writes lengths in the page's unit."""
        return Words(self.unit)

    @property
    def groups(self) -> Sequence[tuple[str, Sequence[str]]]:
        """The fields that are always there, under their headings."""
        names = board_fields
        return (("The board", names.BOARD), ("Its end grain", names.RINGS), ("Today", names.TODAY))

    @property
    def folded(self) -> Sequence[str]:
        """The fields that are folded away."""
        return board_fields.FOLDED

    @property
    def details_open(self) -> bool:
        """Whether one of the folded fields was refused."""
        return any(self.form.fields[name].error for name in self.folded)

    @property
    def status(self) -> str:
        """One line for a screen reader after a change."""
        if self.made is None:
            return self.form.doubt
        return f"Ring angle {self.made.equivalent_ring_angle_deg:.1f}°: {self.bows(self.made.hollow_dry)} when driest."

    @property
    def headline(self) -> str:
        """What the board is called."""
        assert self.made is not None
        return self.made.sawn[:1].upper() + self.made.sawn[1:]

    @property
    def figures(self) -> Sequence[Figure]:
        """The numbers of the answer."""
        made = self.made
        assert made is not None
        return (
            Figure(
                "Counts as ring angle",
                f"{made.equivalent_ring_angle_deg:.1f}°",
                f"{made.ring_angle_left_deg:.0f}° at the left edge, {made.ring_angle_middle_deg:.0f}° in the middle, "
                f"{made.ring_angle_right_deg:.0f}° at the right",
                main=True,
            ),
            Figure(
                "Width moves",
                f"{100 * made.coefficient_across:.3f} %",
                f"per 1 % of moisture: {made.tangential_share_pct:.0f} % of the way from radial "
                f"({100 * made.coefficient_radial:.3f} %) to tangential ({100 * made.coefficient_tangential:.3f} %)",
                main=True,
            ),
            Figure("Cup when driest", self._depth(made.cup_dry_mm), self.bows(made.hollow_dry)),
            Figure("Cup when wettest", self._depth(made.cup_wet_mm), self.bows(made.hollow_wet)),
            Figure(
                "Groove across its end",
                self.words.least(made.groove_width_mm),
                f"in which {self.tongue} stays free all year",
            ),
        )

    @property
    def tongue(self) -> str:
        """What sits in the groove."""
        thick = self.form.values["tongue_thickness_mm"]
        return "the board's whole thickness" if thick is None else f"a tongue {self.words.say(thick)} thick"

    @property
    def sentence(self) -> str:
        """How it cups, in words."""
        made = self.made
        assert made is not None
        cups = [
            f"the {hollow} goes hollow by {self._depth(cup)} on its way to {moisture:.1f} %"
            for hollow, cup, moisture in (
                (made.hollow_dry, made.cup_dry_mm, made.moisture_dry_pct),
                (made.hollow_wet, made.cup_wet_mm, made.moisture_wet_pct),
            )
            if hollow != "neither"
        ]
        if not cups:
            return f"Flat today, at {made.moisture_now_pct:.1f} %, it stays flat: its rings run too straight to cup it."
        return f"Flat today, at {made.moisture_now_pct:.1f} %: {'; '.join(cups)}."

    @property
    def states(self) -> Table:
        """The board's sizes through the year."""
        made, words = self.made, self.words
        assert made is not None
        today = f"Today, {made.moisture_now_pct:.1f} %"
        rows = [(today, words.say(made.width_mm), "", words.say(made.thickness_mm), "")]
        for name, moisture, width, thickness in (
            ("Driest", made.moisture_dry_pct, made.width_dry_mm, made.thickness_dry_mm),
            ("Wettest", made.moisture_wet_pct, made.width_wet_mm, made.thickness_wet_mm),
        ):
            moves = (self._signed(width - made.width_mm), self._signed(thickness - made.thickness_mm))
            rows.append((f"{name}, {moisture:.1f} %", words.say(width), moves[0], words.say(thickness), moves[1]))
        head = ("State", "Width", "Moves", "Thickness", "Moves")
        return Table("Today, driest and wettest", head, tuple(rows))

    @property
    def ripped(self) -> Table:
        """The board and its strips, each by itself."""
        made = self.made
        assert made is not None
        whole = RippedPiece(
            pieces=1,
            piece=1,
            width_mm=made.width_mm,
            equivalent_ring_angle_deg=made.equivalent_ring_angle_deg,
            coefficient_across=made.coefficient_across,
            cup_dry_mm=made.cup_dry_mm,
            cup_wet_mm=made.cup_wet_mm,
        )
        rows = [("As it is", *self._strip(whole))]
        for pieces, count in _COUNTS.items():
            cells: dict[tuple[str, ...], list[int]] = {}
            for one in made.ripped:
                if one.pieces == pieces:
                    cells.setdefault(self._strip(one), []).append(one.piece)
            for told, which in cells.items():
                rows.append((f"{_which(which, pieces)} of {count}", *told))
        return Table(
            "Each strip by itself", ("Ripped", "Width", "Ring angle", "Cup, driest", "Cup, wettest"), tuple(rows)
        )

    @property
    def glued(self) -> Table:
        """How far glue-ups reach out of flat, by how every other piece is turned."""
        made = self.made
        assert made is not None
        rows: list[tuple[str, ...]] = []
        for key in ("halves", "thirds", "boards"):
            found = [one for one in made.glued if one.row == key]
            name = _ROWS.get(key, f"{found[0].pieces} such boards")
            rows.append((f"{name}, driest", *(self.words.fine(one.out_of_flat_dry_mm) for one in found)))
            rows.append((f"{name}, wettest", *(self.words.fine(one.out_of_flat_wet_mm) for one in found)))
        head = ("Glued edge to edge", "All as sawn", "Every other rolled over", "Every other end for end")
        return Table("How far a glue-up reaches out of flat", head, tuple(rows))

    @property
    def best(self) -> str:
        """Which way to turn the pieces keeps each glue-up flattest, in a sentence."""
        made = self.made
        assert made is not None
        halves, boards = (self._flattest([one for one in made.glued if one.row == key]) for key in ("halves", "boards"))
        if not halves and not boards:
            return "These rings run so straight that no way of turning the pieces matters."
        return f"Flattest: halves {halves or 'either way'}; whole boards {boards or 'either way'}."

    @property
    def onward(self) -> Sequence[tuple[str, str]]:
        """(name, address) of the pages that take this board's ring angle, moisture and year."""
        made = self.made
        assert made is not None
        told = {
            "unit": self.unit,
            "species": self.form.fields["species"].value,
            "ring_angle": f"{made.equivalent_ring_angle_deg:.1f}",
            "moisture_now": f"{made.moisture_now_pct:.4g}",
        }
        told |= years.carried(self.form)
        return [(name, f"{address}?{urlencode(told)}") for name, address in (("One panel", "/"), *_ONWARD)]

    @property
    def sources(self) -> Sequence[str]:
        """What to know of the numbers, and where they come from."""
        if self.made is None or self.year is None:
            return ()
        year = self.year.year()
        air = (f"Moisture today: {sorption.SOURCE}",) if self.form.fields["moisture_by"].value == "air" else ()
        return (*self.made.notes, *year.notes, *self.made.sources, *air, *year.sources)

    def bows(self, hollow: Hollow) -> str:
        """Which way a board bows."""
        return "stays flat" if hollow == "neither" else f"{hollow} hollow"

    def _depth(self, cup: float) -> str:
        return self.words.fine(abs(cup))

    def _signed(self, change: float) -> str:
        sign = "+" if change > 0 else "−" if change < 0 else ""
        return f"{sign}{self.words.fine(abs(change))}"

    def _strip(self, one: RippedPiece) -> tuple[str, ...]:
        cups = (self._depth(one.cup_dry_mm), self._depth(one.cup_wet_mm))
        return (self.words.say(one.width_mm), f"{one.equivalent_ring_angle_deg:.1f}°", *cups)

    def _flattest(self, rows: Sequence[GluedRow]) -> str:
        """The turn that leaves least out of flat at its worst; empty where they all do alike."""
        worst = {one.turn: max(one.out_of_flat_dry_mm, one.out_of_flat_wet_mm) for one in rows}
        least = min(worst.values())
        kept = [turn for turn, out in worst.items() if self.words.fine(out) == self.words.fine(least)]
        if len(kept) == len(worst):
            return ""
        said = {"same": "all as sawn", "rolled": "every other rolled over", "ended": "every other end for end"}
        return " or ".join(said[turn] for turn in kept)


def _which(pieces: Sequence[int], of: int) -> str:
    if len(pieces) == of:
        return "Each"
    if of == 2:
        return "Left" if pieces == [1] else "Right"
    names = {1: "left", 2: "middle", 3: "right"}
    text = " and ".join(names[piece] for piece in pieces)
    return text[:1].upper() + text[1:]


@router.get("/board")
async def show(request: Request) -> Response:
    """The page, or its sheet, for the address's board."""
    unit = unit_of(request)
    return await recall(request, unit, lambda known: _answered(request, unit, known))


def _answered(request: Request, unit: Unit, known: Shelf) -> Response:
    page = answer(request.query_params, unit, known, () if is_partial(request) else known.names)
    links = switch(request, unit, page.form)
    return render(request, "board.html", page, unit=unit, unit_links=links, status=200 if page.form.ok else 422)


def answer(query: Mapping[str, str], unit: Unit, store: Store | Shelf, species: Sequence[Option] = ()) -> BoardPage:
    """Read what was measured, say how the board moves."""
    form = bind([*board_fields.specs(unit), *years.specs(store)], query, unit)
    idle = board_fields.idle(form)
    forget(form, idle)
    in_air = form.fields["moisture_by"].value == "air"
    form.check(BoardRequest, "climate", "rings", *(("moisture_now_pct",) if in_air else ()))
    chosen = woods.chosen(form, store)
    form.build(StockFields, species=chosen, ring_angle_deg=0.0)
    rings, air, year = board_fields.rings(form), measured.air(form), years.build(form, store)
    if air is not None:
        settled = float(sorption.equilibrium_moisture(air.temperature_c, air.humidity_pct))
        form.values["moisture_now_pct"] = settled
    asked = None
    if form.ok and rings is not None and year is not None:
        asked = form.build(BoardRequest, climate=year, species=chosen, rings=rings)
        _place(form, in_air)
    if asked is None or not form.ok:
        return BoardPage(form, unit, idle, species, year)
    made = endgrain.result(asked)
    return BoardPage(form, unit, idle, species, year, made, section(asked, made, Words(unit)))


def _place(form: Form, in_air: bool) -> None:
    """Put what was refused of the heart's place or of the moisture at the field that it was made from."""
    shown = board_fields.blamed(form)
    if shown != "rings":
        hand_on(form, "rings", shown)
    if in_air:
        hand_on(form, "moisture_now", "air_humidity")
