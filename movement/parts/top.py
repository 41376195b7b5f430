"""A top on its frame, with all its slots, as it is described and as it comes back, sized."""

from collections.abc import Iterator
from typing import Annotated

from pydantic import BaseModel, Field, ValidationInfo, field_validator

from movement.errors import require_range
from movement.fits import tops
from movement.fits.remedy import Say
from movement.fits.tops import FixedAt, Reach
from movement.parts import answers
from movement.parts.base import Bench
from movement.parts.fields import bounded, told
from movement.parts.making import Cell, PartFields, PartResult, at_least, conditions
from movement.parts.slot import SOURCE_RULES, Distance, Slot, SlotFields, farthest, longest, setting, slots, too_short
from movement.season import Ratios

TopWidth = Annotated[float, bounded(tops.TOP_WIDTH, "mm", "Width of the top today, across the grain")]
Overhang = Annotated[float, bounded(tops.OVERHANG, "mm", "Overhang of the top past its frame today")]

MOST_FIXINGS = 100
SOURCE_PRACTICE = "Buttons, slotted cleats or elongated holes, the top never glued to its base: woodworking magazines"
_EXACT = 1e-9


class HeldFields(SlotFields):
    """A top held still at one place, with fixings at distances from there, toward either edge.

    ``fixed_inset_mm`` is how far in from the front or back edge a top that is fixed there is held; for ``centre`` it is
    not used.
    """

    top_width_mm: TopWidth
    fixed_at: Annotated[FixedAt, told("Where the top is held still")] = "centre"
    fixed_inset_mm: Annotated[
        Distance, told("How far in from its edge a top fixed at front or back is held; not used for centre", "mm")
    ] = 0.0
    distances_mm: Annotated[
        list[Distance],
        Field(max_length=MOST_FIXINGS),
        told("Distances of the other fixings from the place where the top is fixed", "mm"),
    ]

    @field_validator("fixed_inset_mm")
    @classmethod
    def _inside(cls, inset: float, info: ValidationInfo) -> float:
        if "top_width_mm" in info.data:
            tops.reach(info.data["top_width_mm"], "front", inset)
        return inset

    @field_validator("distances_mm")
    @classmethod
    def _on_the_top(cls, distances: list[float], info: ValidationInfo) -> list[float]:
        if {"top_width_mm", "fixed_at", "fixed_inset_mm"} <= info.data.keys():
            edges = tops.reach(info.data["top_width_mm"], info.data["fixed_at"], info.data["fixed_inset_mm"])
            require_range("distance from the fixed place", distances, 0.0, max(edges), "mm", "the top's farther edge")
        return distances

    @property
    def reach(self) -> Reach:
        """From the fixed place to both edges."""
        return tops.reach(self.top_width_mm, self.fixed_at, self.fixed_inset_mm)


class TopNeeds(HeldFields):
    """A top on a frame: held still at one place, every other fixing in a slot."""

    overhang_front_mm: Annotated[Overhang, told("Overhang at the front today", "mm")] = 0.0
    overhang_back_mm: Annotated[Overhang, told("Overhang at the back today", "mm")] = 0.0


class TopRequest(PartFields, TopNeeds):
    """One top with its stock and its year."""


class Edge(BaseModel):
    """The overhang of one edge of a top; negative where it has drawn back inside the frame."""

    overhang_now_mm: Annotated[float, told("Overhang today", "mm")]
    overhang_mid_mm: Annotated[float, told("Overhang at mid", "mm")]
    overhang_dry_mm: Annotated[float, told("Overhang when driest; negative: drawn back inside the frame", "mm")]
    overhang_wet_mm: Annotated[float, told("Overhang when wettest", "mm")]


class TopResult(PartResult):
    """A top, with its slots in the order of the request and its overhangs through the year."""

    top_width_mm: answers.TopWidth
    width_dry_mm: answers.WidthDry
    width_wet_mm: answers.WidthWet
    fixed_at: Annotated[FixedAt, told("Where the top is held still")]
    slots: Annotated[list[Slot], told("Slots, in the order of the request")]
    farthest_mm: answers.Farthest | None
    front: Annotated[Edge, told("Overhangs of the front edge")]
    back: Annotated[Edge, told("Overhangs of the back edge")]

    def cells(self, say: Say) -> dict[str, Cell]:
        """The top in a gap table: its width today, its longest slot, its overhangs through the year."""
        edges = (
            f"{name} overhang {say(edge.overhang_dry_mm)} to {say(edge.overhang_wet_mm)}"
            for name, edge in (("front", self.front), ("back", self.back))
        )
        return super().cells(say) | {
            "hold": self.fixed_at,
            "cut_width_mm": self.top_width_mm,
            "also": "; ".join([*longest(self.slots, "slot", say), *edges]),
        }


def result(needs: TopNeeds, bench: Bench) -> TopResult:
    """A top with its slots and overhangs, and all that a page or the JSON API shows of it.

    Raises
    ------
    RangeError
        A length out of range.
    """
    ratios = bench.ratios(bench.season, bench.wood)
    found = slots(needs.distances_mm, needs, ratios)
    front = _edge(needs.overhang_front_mm, needs.reach.front, ratios)
    back = _edge(needs.overhang_back_mm, needs.reach.back, ratios)
    return TopResult(
        fits=all(slot.fits for slot in found),
        top_width_mm=needs.top_width_mm,
        width_dry_mm=needs.top_width_mm * ratios.dry,
        width_wet_mm=needs.top_width_mm * ratios.wet,
        fixed_at=needs.fixed_at,
        slots=found,
        farthest_mm=farthest(needs, ratios),
        front=front,
        back=back,
        advice=[
            *_advice(needs, front, back, bench),
            *setting(found, needs.slot_in),
            *too_short(found, needs, ratios, bench),
        ],
        **conditions(bench, SOURCE_RULES, SOURCE_PRACTICE),
    )


def _edge(today: float, distance: float, ratios: Ratios) -> Edge:
    now, mid, dry, wet = (
        float(tops.overhang(today, distance, ratio)) for ratio in (1.0, ratios.mid, ratios.dry, ratios.wet)
    )
    return Edge(overhang_now_mm=now, overhang_mid_mm=mid, overhang_dry_mm=dry, overhang_wet_mm=wet)


def _advice(needs: TopNeeds, front: Edge, back: Edge, bench: Bench) -> Iterator[str]:
    place = "at the centre" if needs.fixed_at == "centre" else f"at the {needs.fixed_at}"
    yield f"Hold the top still {place} only, let every other screw slide, and do not glue it to its base."
    for name, edge in (("front", front), ("back", back)):
        if edge.overhang_dry_mm < -_EXACT:
            back_in = at_least(-edge.overhang_dry_mm, bench)
            leave = at_least(edge.overhang_now_mm - edge.overhang_dry_mm, bench)
            yield (
                f"In the driest season the {name} edge draws back {back_in} inside the frame: leave {leave} of "
                "overhang there today."
            )
