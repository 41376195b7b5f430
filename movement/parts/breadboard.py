"""A breadboard end as it is described and as it comes back: pins in long holes, proud or shy through the year."""

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import BaseModel

from movement.fits import tops
from movement.fits.remedy import Say
from movement.parts import answers
from movement.parts.base import Bench
from movement.parts.fields import told
from movement.parts.making import Cell, PartFields, PartResult, at_least, conditions
from movement.parts.slot import SOURCE_RULES, Slot, SlotIn, farthest, longest, setting, slots, too_short
from movement.parts.top import HeldFields
from movement.season import Ratios

Flush = Literal["today", "mid"]

SOURCE_PRACTICE = "Breadboard end glued near the centre only, flush once or twice a year: woodworking magazines"
SHOWN = 0.05
"""An end less proud than this is flush [mm]; finer than a shop can set."""


class BreadboardNeeds(HeldFields):
    """A breadboard end across a top: pinned or glued at one place, its other pins in long holes of the top's tongue.

    ``screw_mm`` is the diameter of a pin and ``distances_mm`` are those of the pins from the fixed place. The end is
    cut ``flush`` with the top's width of today, or of mid.
    """

    slot_in: Annotated[SlotIn, told("Where the long holes are: in the top, as is usual, or in the end (frame)")] = "top"
    flush: Annotated[Flush, told("Whether the end is cut flush with the top's width of today or of mid")] = "today"


class BreadboardRequest(PartFields, BreadboardNeeds):
    """One breadboard end with the top's stock and its year."""


class End(BaseModel):
    """How far one edge of the top stands proud of the end of the breadboard [mm]; negative: shy of it."""

    proud_now_mm: Annotated[float, told("How far the top stands proud of the end today", "mm")]
    proud_mid_mm: Annotated[float, told("How far it stands proud at mid", "mm")]
    proud_dry_mm: Annotated[float, told("How far it stands proud when driest; negative: shy", "mm")]
    proud_wet_mm: Annotated[float, told("How far it stands proud when wettest", "mm")]


class BreadboardResult(PartResult):
    """A breadboard end, with its holes in the order of the request."""

    top_width_mm: answers.TopWidth
    width_dry_mm: answers.WidthDry
    width_wet_mm: answers.WidthWet
    end_length_mm: Annotated[float, told("Length to cut the end to", "mm")]
    slots: Annotated[list[Slot], told("Long holes, in the order of the request")]
    farthest_mm: answers.Farthest | None
    front: Annotated[End, told("How the top's front edge stands to the end")]
    back: Annotated[End, told("How the top's back edge stands to the end")]

    def cells(self, say: Say) -> dict[str, Cell]:
        """The end in a gap table: its length, its longest hole, how the top stands to it through the year."""
        proud = max(self.front.proud_wet_mm, self.back.proud_wet_mm)
        shy = -min(self.front.proud_dry_mm, self.back.proud_dry_mm)
        also = [*longest(self.slots, "hole", say)]
        also += [f"top up to {say(proud, direction='up')} proud of it when wettest"] if proud >= SHOWN else []
        also += [f"up to {say(shy, direction='up')} shy when driest"] if shy >= SHOWN else []
        return super().cells(say) | {"cut_length_mm": self.end_length_mm, "also": "; ".join(also)}


def result(needs: BreadboardNeeds, bench: Bench) -> BreadboardResult:
    """A breadboard end, and all that a page or the JSON API shows of it.

    Raises
    ------
    RangeError
        A length out of range.
    """
    ratios = bench.ratios(bench.season, bench.wood)
    flush = ratios.mid if needs.flush == "mid" else 1.0
    found = slots(needs.distances_mm, needs, ratios)
    front, back = (_end(distance, flush, ratios) for distance in needs.reach)
    return BreadboardResult(
        fits=all(slot.fits for slot in found),
        top_width_mm=needs.top_width_mm,
        width_dry_mm=needs.top_width_mm * ratios.dry,
        width_wet_mm=needs.top_width_mm * ratios.wet,
        end_length_mm=needs.top_width_mm * flush,
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


def _end(distance: float, flush: float, ratios: Ratios) -> End:
    now, mid, dry, wet = (
        float(tops.proud(distance, ratio, flush)) for ratio in (1.0, ratios.mid, ratios.dry, ratios.wet)
    )
    return End(proud_now_mm=now, proud_mid_mm=mid, proud_dry_mm=dry, proud_wet_mm=wet)


def _advice(needs: BreadboardNeeds, front: End, back: End, bench: Bench) -> Iterator[str]:
    place = "near its centre" if needs.fixed_at == "centre" else f"near its {needs.fixed_at} edge"
    yield f"Glue or pin the end fast {place} only; lengthen the holes of every other pin."
    end = max(front, back, key=lambda one: one.proud_wet_mm - one.proud_dry_mm)
    if end.proud_wet_mm >= SHOWN:
        yield f"In the wettest season the top stands up to {at_least(end.proud_wet_mm, bench)} proud of the end."
    if end.proud_dry_mm <= -SHOWN:
        yield f"In the driest season the end stands up to {at_least(-end.proud_dry_mm, bench)} proud of the top."
