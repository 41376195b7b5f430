"""An inset drawer front or slab door as it is described and as it comes back, sized."""

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import ValidationInfo, field_validator

from movement.fits import fronts, reveals
from movement.fits.fronts import FixedEdge, FrontFit
from movement.fits.remedy import Say
from movement.fits.reveals import Reveals
from movement.parts import answers, remedies
from movement.parts.base import Bench
from movement.parts.fields import Described, bounded, told
from movement.parts.making import Cell, MakingFields, PartResult, at_least, at_most, conditions
from movement.season import Ratios

FrontKind = Literal["drawer front", "slab door"]
Direction = Literal["height", "width"]

Opening = Annotated[float, bounded(reveals.OPENING, "mm", "Opening, in the direction that moves")]
FrontSize = Annotated[
    float, bounded(reveals.SIZE, "mm", "Size today of a part that is already made; null: it is recommended")
]
Reveal = Annotated[float, bounded(reveals.REVEAL, "mm", "Visible gap around the part")]

MOVES: dict[FrontKind, Direction] = {"drawer front": "height", "slab door": "width"}
"""The dimension that moves: a drawer front's grain runs across, a slab door's upright."""
EDGES: dict[FrontKind, tuple[FixedEdge, ...]] = {
    "drawer front": ("bottom", "centred"),
    "slab door": ("hinge", "centred"),
}
"""The edges that a front can be held at, its usual one first."""

GAPING = 4.0
"""A reveal wider than this is remarked on where no greatest is asked for [mm]; our choice, no source."""
SOURCE_RULES = "Rules of fit: derived here from the geometry of the opening; the opening itself is taken to stay put"


class RevealFields(Described):
    """What the reveals of an inset part must keep.

    ``fixed_reveal_mm`` is the reveal at the edge that stays put; at 0 the least reveal is the whole of both, and all of
    it is at the edge that moves.
    """

    least_reveal_mm: Annotated[Reveal, told("Least reveal, in the wettest season", "mm")]
    greatest_reveal_mm: Annotated[Reveal | None, told("Greatest reveal, in the driest season; null: any", "mm")] = None
    fixed_reveal_mm: Annotated[Reveal, told("Reveal at the edge that stays put", "mm")] = 0.0

    @field_validator("greatest_reveal_mm")
    @classmethod
    def _above_least(cls, greatest: float | None, info: ValidationInfo) -> float | None:
        if greatest is not None and "least_reveal_mm" in info.data:
            Reveals(info.data["least_reveal_mm"], greatest)
        return greatest

    def reveals(self, tolerance: float) -> Reveals:
        """What the reveals must keep, with a making tolerance [mm]."""
        return Reveals(self.least_reveal_mm, self.greatest_reveal_mm, self.fixed_reveal_mm, tolerance)


class FrontNeeds(RevealFields):
    """The dimensions of one inset front in the direction that moves: height of a drawer front, width of a slab door.

    ``fixed_edge`` null is the bottom of a drawer front and the hinge of a slab door; ``made_mm`` is the size today of a
    front that is already made.
    """

    opening_mm: Opening
    front: Annotated[FrontKind, told("A drawer front moves in height, a slab door in width")] = "drawer front"
    fixed_edge: Annotated[
        FixedEdge | None, told("Edge that stays put; null: the bottom of a drawer front, the hinge of a slab door")
    ] = None
    made_mm: FrontSize | None = None

    @field_validator("fixed_edge")
    @classmethod
    def _holds(cls, edge: FixedEdge | None, info: ValidationInfo) -> FixedEdge | None:
        front: FrontKind | None = info.data.get("front")
        if edge is not None and front is not None and edge not in EDGES[front]:
            raise ValueError(f"A {front} is held at its {EDGES[front][0]}, or centred.")
        return edge

    @property
    def edge(self) -> FixedEdge:
        """The edge that stays put."""
        return self.fixed_edge or EDGES[self.front][0]


class FrontRequest(MakingFields, FrontNeeds):
    """One front with its stock and its year: the body of ``POST /api/v1/front``."""


class FrontResult(PartResult):
    """A front, sized; ``reveal_*`` are those of an edge that moves, of the front as made where one is made.

    ``cut_max_mm`` is ``cut_mm`` before rounding; ``cut_min_mm`` is null where no greatest reveal was asked for.
    """

    front: Annotated[FrontKind, told("Whether it is a drawer front or a slab door")]
    direction: Annotated[Direction, told("The dimension that moves")]
    fixed_edge: Annotated[FixedEdge, told("The edge that stays put")]
    opening_mm: answers.Opening
    cut_mm: Annotated[float, told("Size to make it today, in the direction that moves", "mm")]
    cut_min_mm: Annotated[
        float | None, told("Smallest size that works today; null: no greatest reveal was asked for", "mm")
    ]
    cut_max_mm: Annotated[float, told("Largest size that works today, before rounding", "mm")]
    made_mm: Annotated[float | None, told("Size today of a front that is made; null: none is", "mm")]
    plane_off_mm: answers.PlaneOff
    too_small_mm: answers.TooSmall
    size_dry_mm: Annotated[float, told("Size when driest", "mm")]
    size_wet_mm: Annotated[float, told("Size when wettest", "mm")]
    reveal_now_mm: Annotated[float, told("Reveal at an edge that moves, today", "mm")]
    reveal_mid_mm: Annotated[float, told("Reveal at an edge that moves, at mid", "mm")]
    reveal_dry_mm: Annotated[float, told("Reveal at an edge that moves, when driest", "mm")]
    reveal_wet_mm: Annotated[float, told("Reveal at an edge that moves, when wettest; negative: it binds", "mm")]
    fixed_reveal_now_mm: Annotated[float, told("Reveal at the fixed edge, today", "mm")]
    fixed_reveal_dry_mm: Annotated[float, told("Reveal at the fixed edge, when driest", "mm")]
    fixed_reveal_wet_mm: Annotated[float, told("Reveal at the fixed edge, when wettest", "mm")]
    bias_mm: answers.Bias
    bias: answers.BiasWord

    def cells(self, say: Say) -> dict[str, Cell]:
        """The front in a gap table: its size across the grain, as made where it is; the reveal that moves."""
        also = [f"cut is its {self.direction}"]
        if self.fixed_edge != "centred":
            also.append(f"reveal {say(self.fixed_reveal_now_mm)} at the {self.fixed_edge}")
        return super().cells(say) | {
            "hold": self.fixed_edge,
            "opening_mm": self.opening_mm,
            "cut_width_mm": self.cut_mm if self.made_mm is None else self.made_mm,
            "gap_now_mm": self.reveal_now_mm,
            "gap_dry_mm": self.reveal_dry_mm,
            "gap_wet_mm": self.reveal_wet_mm,
            "bias_mm": self.bias_mm,
            "bias": self.bias,
            "also": "; ".join(also),
        }


def fit(needs: FrontNeeds, bench: Bench) -> FrontFit:
    """The front's fit by the rules of its fixed edge."""
    return fronts.fit(
        needs.opening_mm,
        needs.edge,
        bench.ratios(bench.season, bench.wood),
        needs.reveals(bench.clearances.tolerance),
        needs.made_mm,
        bench.width_step,
    )


def result(needs: FrontNeeds, bench: Bench) -> FrontResult:
    """Size a front and say all that a page or the JSON API shows of it.

    Raises
    ------
    RangeError
        A length out of range, or reveals that leave no front in the opening.
    """
    found = fit(needs, bench)
    dry, mid, wet = found.ratios.dry, found.ratios.mid, found.ratios.wet
    return FrontResult(
        fits=found.fits,
        front=needs.front,
        direction=MOVES[needs.front],
        fixed_edge=found.fixed_edge,
        opening_mm=found.opening,
        cut_mm=found.cut,
        cut_min_mm=None if found.reveals.greatest is None else found.smallest,
        cut_max_mm=found.largest,
        made_mm=needs.made_mm,
        plane_off_mm=found.plane_off,
        too_small_mm=found.short,
        size_dry_mm=found.size * dry,
        size_wet_mm=found.size * wet,
        reveal_now_mm=found.reveal_at(1.0),
        reveal_mid_mm=found.reveal_at(mid),
        reveal_dry_mm=found.reveal_at(dry),
        reveal_wet_mm=found.reveal_at(wet),
        fixed_reveal_now_mm=found.fixed_reveal_at(1.0),
        fixed_reveal_dry_mm=found.fixed_reveal_at(dry),
        fixed_reveal_wet_mm=found.fixed_reveal_at(wet),
        bias_mm=found.bias,
        bias=found.bias_word,
        advice=list(advice(found, needs, bench)),
        **conditions(bench, SOURCE_RULES),
    )


def advice(found: FrontFit, needs: FrontNeeds, bench: Bench) -> tuple[str, ...]:
    """Sentences for the maker, lengths written by the bench; empty where the front works and nothing is unusual."""
    if found.fits:
        return tuple(unheld(found.reveal_at(found.ratios.dry), found.reveals, bench))
    return tuple(_advice(found, needs, bench))


def _advice(found: FrontFit, needs: FrontNeeds, bench: Bench) -> Iterator[str]:
    direction, cut = MOVES[needs.front], at_most(found.cut, bench)
    if found.plane_off > 0:
        yield wet_failure(found.reveal_at(found.ratios.wet), found.reveals, bench)
        off = at_least(found.plane_off, bench)
        where = "half of it off each of the two edges" if found.fixed_edge == "centred" else "off the edge that moves"
        yield f"Plane {off} off its {direction} today, {where}, to {cut}."
    if found.short > 0:
        yield dry_failure(found.reveal_at(found.ratios.dry), found.reveals, bench)
    if found.smallest > found.largest:
        yield from _remedies(found, needs, bench)
    elif found.short > 0:
        short = at_least(found.short, bench)
        yield f"Its {direction} is {short} too small today: make it {cut}, or edge it with a strip."


def unheld(reveal: float, wanted: Reveals, bench: Bench) -> Iterator[str]:
    """What to know of a reveal in the driest season [mm] that no greatest reveal holds."""
    if wanted.greatest is None and reveal > GAPING:
        yield (
            f"When driest the reveal opens to {at_least(reveal, bench)}, and no greatest is asked for. Enter the "
            "widest that you would accept, to be told what keeps it."
        )


def wet_failure(reveal: float, wanted: Reveals, bench: Bench) -> str:
    """What is wrong with a reveal in the wettest season [mm]."""
    if reveal < 0:
        return f"In the wettest season it binds: it is {at_least(-reveal, bench)} too large for each edge that moves."
    least, beside = bench.say(wanted.least), _beside(wanted, bench)
    return f"In the wettest season the reveal is {at_most(reveal, bench)}; {least} is to be kept{beside}."


def dry_failure(reveal: float, wanted: Reveals, bench: Bench) -> str:
    """What is wrong with a reveal in the driest season [mm]; a greatest is wanted."""
    assert wanted.greatest is not None
    greatest, beside = bench.say(wanted.greatest), _beside(wanted, bench)
    return f"In the driest season the reveal is {at_least(reveal, bench)}; no more than {greatest} is wanted{beside}."


def _beside(wanted: Reveals, bench: Bench) -> str:
    return f", beside a making tolerance of {bench.say(wanted.tolerance)}" if wanted.tolerance else ""


def _remedies(found: FrontFit, needs: FrontNeeds, bench: Bench) -> Iterator[str]:
    allow = _allow(found, found.ratios, bench)
    yield f"No {needs.front} of this stock keeps both reveals all year: allow {allow} of reveal in the driest season."
    yield from remedies.other_stock(bench, lambda ratios: f"{_allow(found, ratios, bench)} is enough")
    widest = float(fronts.widest_opening(found.fixed_edge, found.ratios.dry, found.ratios.wet, found.reveals))
    if widest >= reveals.OPENING[0]:
        yield f"Divide the opening: this stock keeps both reveals in one of up to {at_most(widest, bench)}."
    if needs.front == "slab door":
        yield "Make a framed door instead: only its two stiles move in width."


def _allow(found: FrontFit, ratios: Ratios, bench: Bench) -> str:
    """The least that a greatest reveal could be with these ratios, in the maker's unit."""
    allow = fronts.dry_reveal(found.opening, found.fixed_edge, ratios.dry, ratios.wet, found.reveals)
    return at_least(float(allow), bench)
