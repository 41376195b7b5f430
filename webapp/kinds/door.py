"""An inset door, or a pair that meets."""

from collections.abc import Mapping, Sequence
from typing import Any

from movement.parts import door
from movement.parts.door import DoorNeeds, DoorRequest, DoorResult
from webapp import measures
from webapp.cautions import FINGERS
from webapp.drawing import edges
from webapp.drawing.edges import Ends
from webapp.drawing.sheet import Drawing, states
from webapp.forms import Spec
from webapp.kinds.kind import ROUNDING, Answer, Figure, Kind, choice, fits, length, year_table
from webapp.panel_fields import OURS
from webapp.words import Words


def idle(values: Mapping[str, Any]) -> Sequence[str]:
    """A slab has no stiles."""
    return ("stile_width", "closing_stile_width") if values.get("construction") == "slab" else ()


def show(needs: DoorNeeds, made: DoorResult, words: Words) -> Answer:
    """The answer for a door."""
    say, least, most = words.say, made.cut_width_min_mm or 0.0, made.cut_width_max_mm
    remark = f"at most {words.most(most)}"
    if made.cut_width_min_mm is not None:
        remark = words.works(least, most) if least <= most else "no width keeps both reveals"
    leaf = "the door" if made.leaves == 1 else "each leaf"
    closing = "Closing reveal" if made.leaves == 1 else "Gap between the leaves"
    found = measures.of(made)
    closings = made.closing_reveal_now_mm, made.closing_reveal_dry_mm, made.closing_reveal_wet_mm
    reveals = words.through(closings, found.today(words))
    figures = [
        Figure(f"Width of {leaf} today", words.within(made.cut_width_mm, least, most), remark, main=True),
        Figure(
            f"{closing} today",
            reveals[0],
            f"{reveals[1]} when driest, {reveals[2]} when wettest",
            main=True,
        ),
    ]
    if made.rail_mm is not None:
        figures.append(Figure("Rail between shoulders", say(made.rail_mm)))
    if made.cut_height_mm is not None:
        figures.append(Figure("Height", words.most(made.cut_height_mm), "along the grain"))
    if made.plane_off_mm > 0:
        figures.append(Figure("Plane off today", words.least(made.plane_off_mm), f"of {leaf}, at its closing edge"))
    facts = [] if made.height_change_mm is None else [_lengthwise(words, made.height_change_mm)]
    hinge = say(made.hinge_reveal_mm)
    what = "the closing reveal" if made.leaves == 1 else "the gap between the leaves"
    return Answer(
        fits(made),
        tuple(figures),
        words.leaning(made, what) if made.fits else "",
        year_table(
            made,
            (f"Width of {leaf}", closing, "Reveal at each hinge"),
            (found.across(words), reveals[0], hinge),
            (say(made.width_dry_mm), reveals[1], hinge),
            (say(made.width_wet_mm), reveals[2], hinge),
        ),
        (_drawing(made, words),),
        badge=made.bias if made.fits else "",
        facts=tuple(facts),
        cautions=(FINGERS,),
    )


def _lengthwise(words: Words, change: float) -> tuple[str, str]:
    return "Change of the height, driest to wettest (0.2 % green to dry; not relied on)", words.fine(change)


def _drawing(made: DoorResult, words: Words) -> Drawing:
    closing = (made.closing_reveal_now_mm, made.closing_reveal_dry_mm, made.closing_reveal_wet_mm)
    pair = made.leaves == 2
    ends = Ends(
        "hinge",
        "between" if pair else "closing",
        tuple((made.hinge_reveal_mm, one) for one in closing),
        leaf=pair,
        now=("", measures.of(made).today(words)),
    )
    caption = (
        "Cut across, the hinge at the left. The slanted hatching is the case; the reveals are to the scale below, and "
    )
    caption += "the middle is left out."
    if pair:
        caption += " At the right is the other leaf: the gap between the two is drawn whole."
    title = "One leaf of the pair in its opening" if pair else "The door in its opening"
    return edges.across(states(made), ends, words, title, caption)


KIND = Kind(
    key="door",
    name="An inset door, or a pair",
    about="A framed door or a slab hung in its opening, or two that meet: how wide to make each leaf, and the reveal "
    "at the closing edge through the year.",
    lede="How wide to make the door today so that it closes in the wettest season and its closing reveal stays small "
    "in the driest. A framed door moves only by its two stiles.",
    request=DoorRequest,
    specs=(
        length("opening", "Width of the opening", "450"),
        Spec("leaves", "Leaves", "whole", default="1", options=(("1", "One door"), ("2", "A pair that meets"))),
        choice("construction", "Made", "framed", {"framed": "Framed", "slab": "A slab"}),
        length("stile_width", "Width of a stile", "60"),
        length(
            "least_reveal",
            "Least reveal",
            "1",
            f"At the closing edge, or between the leaves, in the wettest season. {OURS}",
        ),
        length("greatest_reveal", "Greatest reveal", "", "There in the driest season; blank: any."),
        length("fixed_reveal", "Reveal at the hinge", "1", f"The same all year. {OURS}"),
        length("closing_stile_width", "Closing stile, if it differs", ""),
        length("made_width", "Width if made already", "", "Of a leaf, today; to be told what to plane off."),
        length(
            "opening_height", "Height of the opening", "", "Along the grain; leave blank if you only want the width."
        ),
        length("top_reveal", "Reveal at the top", "1", OURS),
        length("bottom_reveal", "Reveal at the bottom", "1", OURS),
        length("making_tolerance", "Making tolerance", "0", "How far off a leaf's width may come, either way."),
        ROUNDING,
    ),
    inches={
        "opening": '18"',
        "stile_width": '2 1/4"',
        "least_reveal": '1/32"',
        "fixed_reveal": '1/32"',
        "top_reveal": '1/32"',
        "bottom_reveal": '1/32"',
    },
    folded=(
        "closing_stile_width",
        "made_width",
        "opening_height",
        "top_reveal",
        "bottom_reveal",
        "making_tolerance",
        "size_step",
    ),
    size=door.result,
    show=show,
    idle=idle,
)
