"""An inset drawer front or slab door."""

from movement.parts import front
from movement.parts.front import FrontNeeds, FrontRequest, FrontResult
from webapp import measures
from webapp.cautions import FINGERS
from webapp.drawing import edges
from webapp.drawing.edges import Ends
from webapp.drawing.sheet import Drawing, states
from webapp.kinds.kind import ROUNDING, Answer, Figure, Kind, choice, fits, length, year_table
from webapp.panel_fields import OURS
from webapp.words import Words


def show(needs: FrontNeeds, made: FrontResult, words: Words) -> Answer:
    """The answer for a front."""
    say, size = words.say, made.direction.capitalize()
    least = made.cut_min_mm or 0.0
    remark = f"at most {words.most(made.cut_max_mm)}"
    if made.cut_min_mm is not None:
        most = made.cut_max_mm
        remark = words.works(least, most) if least <= most else "no size keeps both reveals"
    moving = "Each reveal today" if made.fixed_edge == "centred" else "Reveal that moves, today"
    found = measures.of(made)
    reveals = words.through((made.reveal_now_mm, made.reveal_dry_mm, made.reveal_wet_mm), found.today(words))
    figures = [
        Figure(f"{size} to cut today", words.within(made.cut_mm, least, made.cut_max_mm), remark, main=True),
        Figure(moving, reveals[0], _fixed(made, words), main=True),
        Figure("When driest", reveals[1]),
        Figure("When wettest", reveals[2]),
    ]
    if made.plane_off_mm > 0:
        figures.append(Figure("Plane off today", words.least(made.plane_off_mm), "of the front as made"))
    heads = (size, "Reveal that moves", "Reveal across from it")
    across = words.through(_fixed_reveals(made), reveals[0] if made.fixed_edge == "centred" else "")
    return Answer(
        fits(made),
        tuple(figures),
        words.leaning(made, "each reveal" if made.fixed_edge == "centred" else "the reveal that moves")
        if made.fits
        else "",
        year_table(
            made,
            heads,
            (found.across(words), reveals[0], across[0]),
            (say(made.size_dry_mm), reveals[1], across[1]),
            (say(made.size_wet_mm), reveals[2], across[2]),
        ),
        (_drawing(made, words),),
        badge=made.bias if made.fits else "",
        cautions=(FINGERS,),
    )


def _fixed_reveals(made: FrontResult) -> tuple[float, float, float]:
    return made.fixed_reveal_now_mm, made.fixed_reveal_dry_mm, made.fixed_reveal_wet_mm


def _fixed(made: FrontResult, words: Words) -> str:
    if made.fixed_edge == "centred":
        return "at both edges alike"
    place = "at the bottom" if made.fixed_edge == "bottom" else "at the hinge"
    return f"{words.say(made.fixed_reveal_now_mm)} {place}, all year"


def _drawing(made: FrontResult, words: Words) -> Drawing:
    moving = (made.reveal_now_mm, made.reveal_dry_mm, made.reveal_wet_mm)
    reveals = tuple(zip(_fixed_reveals(made), moving, strict=True))
    today = measures.of(made).today(words)
    now = (today if made.fixed_edge == "centred" else "", today)
    rest = "The reveals and the case's edges (slanted hatching) are to the scale below; the middle is left out."
    if made.front == "drawer front":
        caption = f"The drawer front in its opening, cut from top to bottom. {rest}"
        return edges.upright(
            states(made), Ends("bottom", "top", reveals, now=now), words, "The front in its opening", caption
        )
    names = ("left", "right") if made.fixed_edge == "centred" else ("hinge", "closing")
    caption = f"The door in its opening, cut across. {rest}"
    return edges.across(states(made), Ends(*names, reveals, now=now), words, "The door in its opening", caption)


KIND = Kind(
    key="front",
    name="An inset drawer front or slab door",
    about="A solid front set into its opening: what size to cut it today, so that it neither binds when damp nor gapes "
    "when dry.",
    lede="What size to cut a solid front today, and which reveal to leave, so that it neither binds in the wettest "
    "season nor gapes in the driest.",
    request=FrontRequest,
    specs=(
        choice("front", "What it is", "drawer front", {"drawer front": "Drawer front", "slab door": "Slab door"}),
        length("opening", "Opening", "150", "Height for a drawer front, width for a slab door: across the grain."),
        length("least_reveal", "Least reveal", "1", f"Kept at an edge that moves, in the wettest season. {OURS}"),
        length("greatest_reveal", "Greatest reveal", "", "Not passed in the driest season; blank: any."),
        length("fixed_reveal", "Reveal at the fixed edge", "1", f"The same all year. {OURS}"),
        choice(
            "fixed_edge",
            "Edge that stays put",
            "",
            {"": "Bottom or hinge", "bottom": "Bottom", "hinge": "Hinge", "centred": "None: centred"},
        ),
        length("made", "Size if made already", "", "Today, across the grain; to be told what to plane off."),
        length("making_tolerance", "Making tolerance", "0", "How far off its size may come, either way."),
        ROUNDING,
    ),
    inches={"opening": '6"', "least_reveal": '1/32"', "fixed_reveal": '1/32"'},
    folded=("fixed_edge", "made", "making_tolerance", "size_step"),
    size=front.result,
    show=show,
)
