"""A row of slats."""

from movement.parts import slats
from movement.parts.slats import SlatNeeds, SlatsRequest, SlatsResult
from webapp import measures
from webapp.drawing.row import row
from webapp.forms import Spec
from webapp.kinds.kind import Answer, Figure, Kind, Table, choice, length, year_table
from webapp.panel_fields import OURS
from webapp.words import Words


def show(needs: SlatNeeds, made: SlatsResult, words: Words) -> Answer:
    """The answer for a row of slats: spaces and a limit, never a judgement."""
    say, clear = words.say, measures.clear(made).said(words)
    figures = [
        Figure("Widest, when driest", words.least(made.space_dry_mm), main=True),
        Figure("Narrowest, when wettest", words.most(made.space_wet_mm), main=True),
        Figure("Clear space today", clear, f"{measures.pitch(made).said(words)} from centre to centre"),
    ]
    if made.space_to_leave_mm is not None and made.limit_mm is not None:
        most = made.limit_kind == "most"
        bound = words.most if most else words.least
        kind = "at most" if most else "at least"
        remark = f"just meets your limit of {kind} {words.entered(made.limit_mm)}"
        figures.append(Figure(f"To leave today, {kind}", bound(made.space_to_leave_mm), remark))
    facts = (
        [] if made.margin_mm is None else [("Left to the limit at the worst of the year", words.margin(made.margin_mm))]
    )
    return Answer(
        _headline(made),
        tuple(figures),
        "The slats' centres stay where they are fixed; each slat swells and shrinks about its own centre, so the "
        "space is widest in the driest season.",
        year_table(
            made,
            ("Clear space", "Width of a slat", "At the ends of the row"),
            (clear, say(made.slat_width_mm), clear),
            (words.least(made.space_dry_mm), say(made.slat_width_dry_mm), words.least(made.end_space_dry_mm)),
            (words.most(made.space_wet_mm), say(made.slat_width_wet_mm), words.most(made.end_space_wet_mm)),
        ),
        (row(made, words),),
        tables=_row(needs, made, words),
        facts=tuple(facts),
        cautions=tuple(made.cautions),
    )


def _row(needs: SlatNeeds, made: SlatsResult, words: Words) -> tuple[Table, ...]:
    """Where each slat of a row goes."""
    marks = measures.marks(needs, made, words)
    rows = tuple((str(number), mark) for number, mark in enumerate(marks, start=1))
    return (Table("The near edge of every slat, from one end of the row", ("Slat", "Today"), rows),) if rows else ()


def _headline(made: SlatsResult) -> str:
    if made.space_wet_mm <= 0:
        return "The slats would touch"
    if made.within_limit is None:
        return "Clear space through the year"
    if made.within_limit:
        return "Within your limit, by this estimate"
    return "Past your limit" if _passes(made) else "It may pass your limit"


def _passes(made: SlatsResult) -> bool:
    """Whether the limit is passed even without any making tolerance."""
    if made.limit_mm is None:
        return False
    if made.limit_kind == "most":
        return made.space_dry_mm > made.limit_mm
    return made.space_wet_mm < made.limit_mm


KIND = Kind(
    key="slats",
    name="A row of slats",
    about="The clear space between slats through the year, compared with a limit that you enter.",
    lede="The clear space between slats is widest in the driest season and narrowest in the wettest. Compare both "
    "with a limit of your own.",
    request=SlatsRequest,
    specs=(
        length("slat_width", "Width of a slat", "60", "Today, across the grain."),
        length("space_now", "Clear space today", "15", "Or leave it blank and tell the row's length and its slats."),
        length("opening", "Length of the row", "", "Between its ends."),
        Spec("slats", "Number of slats", "whole", hint="Set equally, ends included."),
        length("limit", "Limit on the clear space", "", "Blank: none.", exact=True),
        choice("limit_kind", "The limit is", "most", {"most": "At most", "least": "At least"}),
        length("making_tolerance", "Making tolerance", "0.5", f"How far off a space may come, either way. {OURS}"),
    ),
    inches={"slat_width": '2 1/2"', "space_now": '5/8"', "making_tolerance": '1/64"'},
    folded=("making_tolerance",),
    size=slats.result,
    show=show,
    follows=False,  # a limit on a clear space may be there for somebody's limbs: it is held against the full swing
)
