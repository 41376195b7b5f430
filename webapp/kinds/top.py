"""A solid top on its frame; and what every part that is held at one place shares."""

from collections.abc import Mapping, Sequence
from typing import Any

from movement.parts import top
from movement.parts.slot import marked
from movement.parts.top import Edge, TopNeeds, TopRequest, TopResult
from webapp.drawing.slot import slot
from webapp.forms import Spec
from webapp.kinds.kind import Answer, Figure, Kind, choice, length, year_table
from webapp.kinds.slot import LONGEST, PLAY, SLOT_IN, farthest, table
from webapp.panel_fields import OURS
from webapp.words import Words

TOP_WIDTH = length("top_width", "Width of the top", "800", "Across the grain.")
FIXED_AT = choice("fixed_at", "Held still at", "centre", {"centre": "Centre", "front": "Front", "back": "Back"})
FIXED_INSET = length("fixed_inset", "How far in from that edge", "0")
DISTANCES = Spec(
    "distances",
    "Other fixings",
    "lengths",
    "distances_mm",
    "150; 350",
    "Their distances from the fixed place, across the grain, parted by semicolons.",
)


def idle(values: Mapping[str, Any]) -> Sequence[str]:
    """At the centre there is no edge to measure from."""
    return ("fixed_inset",) if values.get("fixed_at") == "centre" else ()


def show(needs: TopNeeds, made: TopResult, words: Words) -> Answer:
    """The answer for a top."""
    say = words.say
    figures = []
    longest = max(made.slots, key=lambda one: one.slot_mm, default=None)
    if longest is not None:
        remark = f"the fixing {say(longest.distance_mm)} from the fixed place"
        figures.append(Figure("Longest slot", marked(longest, words.bench).length, remark, main=True))
    figures += [
        Figure(
            "Movement over the year",
            say(made.width_wet_mm - made.width_dry_mm),
            f"{say(made.width_dry_mm)} to {say(made.width_wet_mm)} wide",
            main=True,
        ),
        Figure("Front overhang today", say(made.front.overhang_now_mm), _span(made.front, words)),
        Figure("Back overhang today", say(made.back.overhang_now_mm), _span(made.back, words)),
    ]
    place = "at its centre" if needs.fixed_at == "centre" else f"at its {needs.fixed_at}"
    return Answer(
        "The top on its frame" if made.fits else "A slot is too short",
        tuple(figures),
        f"Held still {place}, the top is {say(made.width_dry_mm)} to {say(made.width_wet_mm)} wide through the year; "
        "every other fixing lets it slide.",
        year_table(
            made,
            ("Width", "Front overhang", "Back overhang"),
            (say(made.top_width_mm), say(made.front.overhang_now_mm), say(made.back.overhang_now_mm)),
            (say(made.width_dry_mm), say(made.front.overhang_dry_mm), say(made.back.overhang_dry_mm)),
            (say(made.width_wet_mm), say(made.front.overhang_wet_mm), say(made.back.overhang_wet_mm)),
        ),
        () if longest is None else (slot(longest, needs.screw_mm, needs.slot_in, words),),
        tables=(table(made.slots, needs.slot_in, words),) if made.slots else (),
        facts=farthest(made.farthest_mm, words),
    )


def _span(edge: Edge, words: Words) -> str:
    return f"{words.say(edge.overhang_dry_mm)} when driest, {words.say(edge.overhang_wet_mm)} when wettest"


KIND = Kind(
    key="top",
    name="A solid top on its frame",
    about="A table or cabinet top that is held still at one place: how far each slot runs, and how its overhangs "
    "change.",
    lede="Where a solid top is held still, it stays; everywhere else it slides. How far each slot must run, and how "
    "far the top stands over its frame through the year.",
    request=TopRequest,
    specs=(
        TOP_WIDTH,
        FIXED_AT,
        FIXED_INSET,
        DISTANCES,
        length("screw", "Diameter of the screws", "5", OURS),
        length("overhang_front", "Front overhang today", "20"),
        length("overhang_back", "Back overhang today", "20"),
        SLOT_IN,
        PLAY,
        LONGEST,
    ),
    inches={
        "top_width": '32"',
        "distances": '6"; 14"',
        "screw": '3/16"',
        "overhang_front": '3/4"',
        "overhang_back": '3/4"',
    },
    folded=("slot_in", "play", "longest_slot"),
    size=top.result,
    show=show,
    idle=idle,
)
