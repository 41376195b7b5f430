"""One slot for a screw or pin; and what every kind with slots shares."""

from collections.abc import Sequence

from movement.parts import slot as slots
from movement.parts.slot import Slot, SlotIn, SlotNeeds, SlotRequest, SlotResult
from webapp.drawing.slot import slot as drawn
from webapp.kinds.kind import Answer, Figure, Kind, Table, choice, length, year_table
from webapp.panel_fields import OURS
from webapp.words import Words

SLOT_IN = choice(
    "slot_in",
    "Where the slot is",
    "frame",
    {"frame": "In the frame", "top": "In the top"},
    "In the frame the screw travels with the top; in the top the pin stays and the hole travels.",
)
PLAY = length("play", "Play", "0", "Added to each slot beyond the movement.")
LONGEST = length("longest_slot", "Longest slot you can cut", "", "Blank: any.")


def show(needs: SlotNeeds, made: SlotResult, words: Words) -> Answer:
    """The answer for a slot."""
    what = "pin" if needs.slot_in == "top" else "screw"
    told = slots.marked(made, words.bench)
    figures = (
        Figure("Slot, end to end", told.length, f"for a {what} of {words.entered(needs.screw_mm)}", main=True),
        Figure("Outer end", told.outer_end, f"from the {what}'s centre today", main=True),
        Figure("Outward", told.outward, "away from the fixed place"),
        Figure("Inward", told.inward, "toward it"),
    )
    outward, inward = f"{told.outward} outward", f"{told.inward} inward"
    dry, wet = (outward, inward) if needs.slot_in == "top" else (inward, outward)
    return Answer(
        "The slot" if made.fits else "The slot is too short",
        figures,
        f"Mark the {what} where it stands today. Its slot ends {told.outer_end} from there on the side away "
        f"from the fixed place, and is {told.length} long in all.",
        year_table(made, (f"The {what} in its slot",), ("where it is",), (dry,), (wet,)),
        (drawn(made, needs.screw_mm, needs.slot_in, words),),
        facts=farthest(made.farthest_mm, words),
    )


def farthest(reach: float | None, words: Words) -> tuple[tuple[str, str], ...]:
    """How far from the fixed place the longest slot serves [mm], where there is a longest and it serves any place."""
    if reach is None or reach <= 0:
        return ()
    return (("The farthest from the fixed place that the longest slot serves", words.most(reach)),)


def table(found: Sequence[Slot], slot_in: SlotIn, words: Words) -> Table:
    """Every slot of a part."""
    into = "Hole" if slot_in == "top" else "Slot"
    marks = ((one, slots.marked(one, words.bench)) for one in found)
    rows = tuple((words.say(one.distance_mm), told.outward, told.inward, told.length) for one, told in marks)
    return Table(f"{into}s, by their distance from the fixed place", ("Distance", "Outward", "Inward", into), rows)


KIND = Kind(
    key="slot",
    name="One slot for a screw",
    about="A single fixing at a distance from where the wood is held still: how far its slot runs to either side.",
    lede="How far a slot must run on each side of its screw, for wood that is held still at another place.",
    request=SlotRequest,
    specs=(
        length(
            "distance", "Distance from the fixed place", "400", "From there to the screw's centre, across the grain."
        ),
        length("screw", "Diameter of the screw or pin", "5", OURS),
        SLOT_IN,
        PLAY,
        LONGEST,
    ),
    inches={"distance": '16"', "screw": '3/16"'},
    folded=("play", "longest_slot"),
    size=slots.slot_result,
    show=show,
)
