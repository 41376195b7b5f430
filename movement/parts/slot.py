"""A slot that a screw or pin of a top travels in, as it is described and as it comes back, sized."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import BaseModel

from movement import lengths
from movement.fits import tops
from movement.fits.remedy import Say
from movement.parts import answers
from movement.parts.base import Bench
from movement.parts.fields import Described, bounded, told
from movement.parts.making import Cell, PartFields, PartResult, at_most, conditions, counted
from movement.season import Ratios

SlotIn = Literal["frame", "top"]

Distance = Annotated[float, bounded(tops.DISTANCE, "mm", "Distance from the place where the top is fixed")]
Screw = Annotated[float, bounded(tops.SCREW, "mm", "Diameter of the screw or pin")]
Play = Annotated[float, bounded(tops.PLAY, "mm", "Play of the screw or pin in its slot, besides its travel")]
SlotLength = Annotated[float, bounded(tops.SLOT, "mm", "Longest slot that the shop can or will cut; null: any")]

SOURCE_RULES = "Slots: derived here, each fixing moves in proportion to its distance from the fixed place"
_EXACT = 1e-9
_AT_END = 0.05
"""A travel smaller than this is none [mm]; finer than a shop can set."""


class SlotFields(Described):
    """The screws or pins of a part, and the slots that they travel in.

    ``slot_in`` is ``frame`` where the screw travels with the top, in a slot of the frame, and ``top`` where a pin stays
    put in a hole of the top, as in a breadboard end. ``longest_slot_mm`` is the longest that the shop can or will cut.
    """

    screw_mm: Screw
    play_mm: Play = 0.0
    slot_in: Annotated[
        SlotIn,
        told("frame: the screw travels with the top in a slot of the frame; top: a pin stays put in a hole of the top"),
    ] = "frame"
    longest_slot_mm: SlotLength | None = None


class SlotNeeds(SlotFields):
    """One slot, at a distance from the place where the top is fixed."""

    distance_mm: Distance


class SlotRequest(PartFields, SlotNeeds):
    """One slot with the top's stock and year: the body of ``POST /api/v1/slot``."""


class Slot(BaseModel):
    """A slot: how far it runs from today's screw, away from the fixed place and toward it, and from end to end.

    ``slot_mm`` is the screw's diameter, both travels and the play; ``outer_end_mm`` is from the screw's centre today to
    the slot's outer end.
    """

    distance_mm: Annotated[float, told("Distance from the place where the top is fixed, as it was asked", "mm")]
    outward_mm: Annotated[float, told("Travel from today's screw away from the fixed place", "mm")]
    inward_mm: Annotated[float, told("Travel from today's screw toward the fixed place", "mm")]
    slot_mm: Annotated[float, told("Length from end to end: the screw's diameter, both travels and the play", "mm")]
    outer_end_mm: Annotated[float, told("From the screw's centre today to the slot's outer end", "mm")]
    fits: Annotated[bool, told("Whether it is no longer than the longest slot")]


class SlotResult(Slot, PartResult):
    """One slot, and the farthest from the fixed place that the longest slot would serve; null for any distance."""

    farthest_mm: answers.Farthest | None

    def cells(self, say: Say) -> dict[str, Cell]:
        """The slot in a gap table."""
        told = marked(self, say)
        also = f"slot {told.length} from end to end", f"its outer end {told.outer_end} from today's screw"
        return super().cells(say) | {"also": "; ".join(also)}


@dataclass(frozen=True, slots=True)
class SlotMarks:
    """A slot in words, as it is marked out: both travels, both ends from the screw's centre today, and its length."""

    outward: str
    inward: str
    outer_end: str
    inner_end: str
    length: str


def marked(one: Slot, say: Say) -> SlotMarks:
    """A slot in words that add up: its length is that of its two ends, each rounded up."""

    def up(length: float) -> str:
        return say(length, direction="up")

    half = one.outer_end_mm - one.outward_mm
    outward, inward = up(one.outward_mm), up(one.inward_mm)
    outer, inner = up(lengths.read(outward) + half), up(lengths.read(inward) + half)
    return SlotMarks(outward, inward, outer, inner, up(lengths.read(outer) + lengths.read(inner)))


def longest(found: Sequence[Slot], what: str, say: Say) -> list[str]:
    """The longest of several slots in words; nothing where there is none."""
    if not found:
        return []
    length = marked(max(found, key=lambda one: one.slot_mm), say).length
    return [f"{counted(len(found), what)}, {'the longest ' if len(found) > 1 else ''}{length}"]


def slots(distances: list[float], needs: SlotFields, ratios: Ratios) -> list[Slot]:
    """Each slot, at these distances from the fixed place [mm].

    Raises
    ------
    RangeError
        A length out of range.
    """
    return [_slot(distance, needs, ratios) for distance in distances]


def _slot(distance: float, needs: SlotFields, ratios: Ratios) -> Slot:
    travel = (tops.hole if needs.slot_in == "top" else tops.slot)(distance, ratios.dry, ratios.wet)
    length = float(tops.slot_length(travel, needs.screw_mm, needs.play_mm))
    longest = needs.longest_slot_mm
    return Slot(
        distance_mm=distance,
        outward_mm=float(travel.outward),
        inward_mm=float(travel.inward),
        slot_mm=length,
        outer_end_mm=float(travel.outward) + (needs.screw_mm + needs.play_mm) / 2,
        fits=longest is None or length <= longest + _EXACT,
    )


def farthest(needs: SlotFields, ratios: Ratios) -> float | None:
    """The farthest from the fixed place that the longest slot serves [mm]; ``None`` where it serves any distance.

    Negative where the screw does not even enter.
    """
    if needs.longest_slot_mm is None:
        return None
    pinned = needs.slot_in == "top"
    found = float(
        tops.farthest(needs.longest_slot_mm, needs.screw_mm, ratios.dry, ratios.wet, needs.play_mm, pinned=pinned)
    )
    return None if found == float("inf") else found


def slot_result(needs: SlotNeeds, bench: Bench) -> SlotResult:
    """One slot, and all that the JSON API shows of it.

    Raises
    ------
    RangeError
        A length out of range.
    """
    ratios = bench.ratios(bench.season, bench.wood)
    slot = _slot(needs.distance_mm, needs, ratios)
    return SlotResult(
        **slot.model_dump(),
        farthest_mm=farthest(needs, ratios),
        advice=[*setting([slot], needs.slot_in), *too_short([slot], needs, ratios, bench)],
        **conditions(bench, SOURCE_RULES),
    )


def setting(found: list[Slot], slot_in: SlotIn) -> Iterator[str]:
    """Where in its slot a screw or pin stands today, where that is at an end."""
    outward = max((slot.outward_mm for slot in found), default=0.0)
    inward = max((slot.inward_mm for slot in found), default=0.0)
    if min(outward, inward) >= _AT_END or max(outward, inward) < _AT_END:
        return
    what = "pin at the {} end of its hole" if slot_in == "top" else "screw at the {} end of its slot"
    word = "wettest" if (outward < _AT_END) == (slot_in == "frame") else "driest"
    end = what.format("outer" if outward < _AT_END else "inner")
    yield f"Today is the {word} that it will be: set each {end}."


def too_short(found: list[Slot], needs: SlotFields, ratios: Ratios, bench: Bench) -> Iterator[str]:
    """What to change where the longest slot is too short."""
    longest, reach = needs.longest_slot_mm, farthest(needs, ratios)
    if longest is None or reach is None or all(slot.fits for slot in found):
        return
    need = marked(max(found, key=lambda slot: slot.slot_mm), bench.say).length
    yield f"A slot of {bench.say(longest)} is too short: {need} is needed."
    if reach > 0:
        far = at_most(reach, bench)
        yield f"It serves as far as {far} from the fixed place: move the fixing, or fix the top nearer to it."
    else:
        yield "The screw and its play do not leave it any travel: use a thinner screw or a longer slot."
