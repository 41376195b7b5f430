"""A breadboard end across a top."""

from dataclasses import replace

from movement.parts import breadboard
from movement.parts.breadboard import BreadboardNeeds, BreadboardRequest, BreadboardResult, End
from movement.parts.slot import marked
from webapp.drawing.corner import corner, said
from webapp.drawing.sheet import states
from webapp.drawing.slot import slot
from webapp.kinds.kind import Answer, Figure, Kind, choice, length, year_table
from webapp.kinds.slot import LONGEST, PLAY, farthest, table
from webapp.kinds.top import DISTANCES, FIXED_AT, FIXED_INSET, TOP_WIDTH, idle
from webapp.panel_fields import OURS
from webapp.words import Words


def show(needs: BreadboardNeeds, made: BreadboardResult, words: Words) -> Answer:
    """The answer for a breadboard end."""
    say = words.say
    longest = max(made.slots, key=lambda one: one.slot_mm, default=None)
    which, end = max((("front", made.front), ("back", made.back)), key=lambda one: _swing(one[1]))
    when = "today" if needs.flush == "today" else "at the middle of its year"
    figures = [
        Figure("Length of the end", say(made.end_length_mm), f"as wide as the top is {when}", main=True),
        _figure("wettest", end.proud_wet_mm, which, words),
        _figure("driest", end.proud_dry_mm, which, words),
    ]
    if longest is not None:
        remark = f"the pin {say(longest.distance_mm)} from the fixed place"
        figures.insert(1, Figure("Longest hole", marked(longest, words.bench).length, remark, main=True))
    drawings = [corner(states(made), end, which, words)]
    if longest is not None:
        drawings.append(slot(longest, needs.screw_mm, needs.slot_in, words))
    return Answer(
        "The breadboard end" if made.fits else "A hole is too short",
        tuple(figures),
        f"The top is {say(made.width_dry_mm)} to {say(made.width_wet_mm)} wide through the year and the end stays as "
        f"long as it is cut: they are flush {when}, and seldom otherwise.",
        year_table(
            made,
            ("Width of the top", "Front edge", "Back edge"),
            (say(made.top_width_mm), _stands(made.front.proud_now_mm, words), _stands(made.back.proud_now_mm, words)),
            (say(made.width_dry_mm), _stands(made.front.proud_dry_mm, words), _stands(made.back.proud_dry_mm, words)),
            (say(made.width_wet_mm), _stands(made.front.proud_wet_mm, words), _stands(made.back.proud_wet_mm, words)),
        ),
        tuple(drawings),
        tables=(table(made.slots, needs.slot_in, words),) if made.slots else (),
        facts=farthest(made.farthest_mm, words),
    )


def _swing(end: End) -> float:
    return end.proud_wet_mm - end.proud_dry_mm


def _figure(when: str, proud: float, which: str, words: Words) -> Figure:
    word, size = said(proud, words)
    return Figure(
        f"{word.capitalize()} when {when}" if size else f"When {when}", size or word, f"the top's {which} edge"
    )


def _stands(proud: float, words: Words) -> str:
    word, size = said(proud, words)
    return f"{size} {word}".lstrip()


KIND = Kind(
    key="breadboard",
    name="A breadboard end",
    about="An end across a solid top: how long its pin holes, and how far the top stands proud of it or shy.",
    lede="A breadboard end keeps a top flat and must let it move: how long to make the pin holes in the tongue, and "
    "how far the top's edges stand proud of the end, or shy of it, through the year.",
    request=BreadboardRequest,
    specs=(
        TOP_WIDTH,
        FIXED_AT,
        FIXED_INSET,
        replace(DISTANCES, label="Other pins"),
        length("screw", "Diameter of the pins", "8", OURS),
        choice("flush", "Cut flush with the top", "today", {"today": "Today's width", "mid": "Mid-year width"}),
        PLAY,
        LONGEST,
    ),
    inches={"top_width": '32"', "distances": '6"; 14"', "screw": '5/16"'},
    folded=("play", "longest_slot"),
    size=breadboard.result,
    show=show,
    idle=idle,
)
