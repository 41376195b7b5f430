"""An inset door, or a pair that meets, as it is described and as it comes back, sized."""

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator

from movement import swelling
from movement.errors import require_range
from movement.fits import doors, reveals
from movement.fits.doors import DoorFit, Leaves
from movement.fits.remedy import Say
from movement.parts import answers, remedies
from movement.parts.base import Bench
from movement.parts.fields import bounded, told
from movement.parts.front import (
    SOURCE_RULES,
    FrontSize,
    Opening,
    Reveal,
    RevealFields,
    dry_failure,
    unheld,
    wet_failure,
)
from movement.parts.making import Cell, MakingFields, PartResult, at_least, at_most, conditions
from movement.season import Ratios

Construction = Literal["framed", "slab"]
StileWidth = Annotated[float, bounded(doors.STILE, "mm", "Width of a stile today")]


class DoorNeeds(RevealFields):
    """The dimensions of one inset door, or of a pair that meets in the middle of one opening.

    The least and the greatest reveal are those of the closing edge, or between the meeting stiles; the fixed reveal is
    at each hinge. ``closing_stile_width_mm`` null is a stile like the hinge stile; a slab has no stiles.
    ``made_width_mm`` is the width today of a leaf that is already made. The height is along the grain and stays put.
    """

    opening_mm: Annotated[Opening, told("Width of the opening", "mm")]
    leaves: Annotated[Leaves, told("Number of leaves: 1, or 2 that meet")] = 1
    construction: Annotated[Construction, told("A framed door moves by its stiles, a slab by its whole width")] = (
        "framed"
    )
    stile_width_mm: Annotated[
        Annotated[StileWidth | None, Field(validate_default=True)],
        told("Width of a hinge stile today; a slab has none", "mm"),
    ] = None
    closing_stile_width_mm: Annotated[
        StileWidth | None, told("Width of a closing stile today; null: as the hinge stile", "mm")
    ] = None
    made_width_mm: Annotated[
        FrontSize | None, told("Width today of a leaf that is already made; null: it is recommended", "mm")
    ] = None
    opening_height_mm: Annotated[
        Opening | None, told("Height of the opening, along the grain; null: no height is told", "mm")
    ] = None
    top_reveal_mm: Annotated[Reveal, told("Reveal above the door", "mm")] = 0.0
    bottom_reveal_mm: Annotated[Reveal, told("Reveal below the door", "mm")] = 0.0

    @field_validator("stile_width_mm")
    @classmethod
    def _framed(cls, stile: float | None, info: ValidationInfo) -> float | None:
        construction = info.data.get("construction")
        if construction == "framed" and stile is None:
            raise ValueError("A framed door moves by its stiles: give the width of one.")
        if construction == "slab" and stile is not None:
            raise ValueError("A slab has no stiles; choose a framed door, or leave this out.")
        return stile

    @property
    def stiles(self) -> float | None:
        """The two stiles of a leaf together [mm]; ``None`` for a slab."""
        if self.stile_width_mm is None:
            return None
        closing = self.closing_stile_width_mm
        return self.stile_width_mm + (self.stile_width_mm if closing is None else closing)


class DoorRequest(MakingFields, DoorNeeds):
    """One door with its stock and its year: the body of ``POST /api/v1/door``."""


class DoorResult(PartResult):
    """A door, sized; ``closing_reveal_*`` are at the closing edge, or between two leaves, of the leaves as made if any.

    ``cut_width_max_mm`` is ``cut_width_mm`` before rounding; ``cut_width_min_mm`` is null where no greatest reveal was
    asked for. ``rail_mm`` is a rail between its shoulders for the width to cut.
    """

    leaves: Annotated[Leaves, told("Number of leaves")]
    construction: Annotated[Construction, told("Whether the door is framed or a slab")]
    opening_mm: answers.Opening
    cut_width_mm: Annotated[float, told("Width to make each leaf today", "mm")]
    cut_width_min_mm: Annotated[
        float | None, told("Narrowest leaf that works today; null: no greatest reveal was asked for", "mm")
    ]
    cut_width_max_mm: Annotated[float, told("Widest leaf that works today, before rounding", "mm")]
    rail_mm: Annotated[float | None, told("Length of a rail between its shoulders; null: a slab has none", "mm")]
    cut_height_mm: Annotated[float | None, told("Height to make each leaf; null: no height was told", "mm")]
    made_width_mm: Annotated[float | None, told("Width today of a leaf that is made; null: none is", "mm")]
    plane_off_mm: answers.PlaneOff
    too_small_mm: answers.TooSmall
    width_dry_mm: answers.WidthDry
    width_wet_mm: answers.WidthWet
    hinge_reveal_mm: Annotated[float, told("Reveal at each hinge, all year", "mm")]
    closing_reveal_now_mm: Annotated[float, told("Reveal at the closing edge, or between two leaves, today", "mm")]
    closing_reveal_mid_mm: Annotated[float, told("Reveal at the closing edge, or between two leaves, at mid", "mm")]
    closing_reveal_dry_mm: Annotated[
        float, told("Reveal at the closing edge, or between two leaves, when driest", "mm")
    ]
    closing_reveal_wet_mm: Annotated[
        float, told("Reveal at the closing edge, or between two leaves, when wettest; negative: it binds", "mm")
    ]
    height_change_mm: Annotated[
        float | None, told("Change of height along the grain from driest to wettest; null: no height was told", "mm")
    ]
    bias_mm: answers.Bias
    bias: answers.BiasWord

    def cells(self, say: Say) -> dict[str, Cell]:
        """The door in a gap table: a leaf's size, as made where it is; the reveal where it closes or two meet."""
        also = ["1 leaf" if self.leaves == 1 else "2 leaves"]
        if self.rail_mm is not None:
            also.append(f"rail {say(self.rail_mm)} between shoulders")
        also.append(f"reveal {say(self.hinge_reveal_mm)} at each hinge")
        return super().cells(say) | {
            "opening_mm": self.opening_mm,
            "cut_width_mm": self.cut_width_mm if self.made_width_mm is None else self.made_width_mm,
            "cut_length_mm": self.cut_height_mm,
            "gap_now_mm": self.closing_reveal_now_mm,
            "gap_dry_mm": self.closing_reveal_dry_mm,
            "gap_wet_mm": self.closing_reveal_wet_mm,
            "bias_mm": self.bias_mm,
            "bias": self.bias,
            "also": "; ".join(also),
        }


def fit(needs: DoorNeeds, bench: Bench) -> DoorFit:
    """The fit of the door's leaves."""
    return doors.fit(
        needs.opening_mm,
        needs.leaves,
        needs.stiles,
        bench.ratios(bench.season, bench.wood),
        needs.reveals(bench.clearances.tolerance),
        needs.made_width_mm,
        bench.width_step,
    )


def height_to_cut(needs: DoorNeeds) -> float | None:
    """Height of a leaf [mm]: the opening less the reveals above and below, the same all year.

    Raises
    ------
    RangeError
        The reveals leave no height.
    """
    if needs.opening_height_mm is None:
        return None
    taken = needs.top_reveal_mm + needs.bottom_reveal_mm
    low = reveals.SIZE[0] + taken
    require_range("height of the opening", needs.opening_height_mm, low, reveals.OPENING[1], "mm", "its two reveals")
    return needs.opening_height_mm - taken


def result(needs: DoorNeeds, bench: Bench) -> DoorResult:
    """Size a door and say all that a page or the JSON API shows of it.

    Raises
    ------
    RangeError
        A length out of range, reveals that leave no door in the opening, or stiles wider than the door.
    """
    found = fit(needs, bench)
    ratios, season, height = found.ratios, bench.season, height_to_cut(needs)
    return DoorResult(
        fits=found.fits,
        leaves=found.leaves,
        construction=needs.construction,
        opening_mm=found.opening,
        cut_width_mm=found.cut,
        cut_width_min_mm=None if found.reveals.greatest is None else found.narrowest,
        cut_width_max_mm=found.widest,
        rail_mm=found.rail,
        cut_height_mm=height,
        made_width_mm=needs.made_width_mm,
        plane_off_mm=found.plane_off,
        too_small_mm=found.short,
        width_dry_mm=found.width_at(ratios.dry),
        width_wet_mm=found.width_at(ratios.wet),
        hinge_reveal_mm=found.reveals.fixed,
        closing_reveal_now_mm=found.closing_at(1.0),
        closing_reveal_mid_mm=found.closing_at(ratios.mid),
        closing_reveal_dry_mm=found.closing_at(ratios.dry),
        closing_reveal_wet_mm=found.closing_at(ratios.wet),
        height_change_mm=None if height is None else float(swelling.length_change(height, season.dry, season.wet)),
        bias_mm=found.bias,
        bias=found.bias_word,
        advice=list(advice(found, bench)),
        **conditions(bench, SOURCE_RULES),
    )


def advice(found: DoorFit, bench: Bench) -> tuple[str, ...]:
    """Sentences for the maker, lengths written by the bench; empty where the door works and nothing is unusual."""
    if found.fits:
        return tuple(unheld(found.closing_at(found.ratios.dry), found.reveals, bench))
    return tuple(_advice(found, bench))


def _advice(found: DoorFit, bench: Bench) -> Iterator[str]:
    what, cut = "each leaf" if found.leaves == 2 else "the door", at_most(found.cut, bench)
    if found.plane_off > 0:
        yield wet_failure(found.closing_at(found.ratios.wet), found.reveals, bench)
        yield f"Plane {at_least(found.plane_off, bench)} off {what} today, at its closing edge, to {cut}."
    if found.short > 0:
        yield dry_failure(found.closing_at(found.ratios.dry), found.reveals, bench)
    if found.narrowest > found.widest:
        yield from _remedies(found, bench)
    elif found.short > 0:
        short = at_least(found.short, bench)
        yield f"It is {short} too narrow today: make {what} {cut} wide, or edge it with a strip."


def _remedies(found: DoorFit, bench: Bench) -> Iterator[str]:
    ratios = found.ratios
    allow = _allow(found, ratios, bench)
    yield f"No door of this stock keeps both reveals all year: allow {allow} of reveal in the driest season."
    if found.stiles is None:
        yield "Make it framed: then only its two stiles move in width."
    else:
        stiles = float(doors.widest_stiles(found.leaves, ratios.dry, ratios.wet, found.reveals))
        if stiles >= 2 * doors.STILE[0]:
            yield f"Use narrower stiles: the two of one leaf together up to {at_most(stiles, bench)}."
    yield from remedies.other_stock(bench, lambda ratios: f"{_allow(found, ratios, bench)} is enough")


def _allow(found: DoorFit, ratios: Ratios, bench: Bench) -> str:
    """The least that a greatest reveal could be with these ratios, in the maker's unit."""
    allow = doors.dry_reveal(found.opening, found.leaves, found.stiles, ratios.dry, ratios.wet, found.reveals)
    return at_least(float(allow), bench)
