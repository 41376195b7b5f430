"""A rail's tenons in the long grain of a stile."""

from collections.abc import Mapping, Sequence
from typing import Any

from movement.fits.joints import JOINT_HOLDS
from movement.parts import joint
from movement.parts.joint import JointNeeds, JointRequest, JointResult, MortiseResult
from webapp.drawing.mortise import mortise
from webapp.forms import Spec
from webapp.kinds.kind import Answer, Figure, Kind, Table, choice, fits, length, year_table
from webapp.words import Words


def idle(values: Mapping[str, Any]) -> Sequence[str]:
    """A single tenon has no room between tenons; only a single one's mortise can be checked."""
    return ("between",) if values.get("tenons") in (None, 1) else ("mortise_length",)


def show(needs: JointNeeds, made: JointResult, words: Words) -> Answer:
    """The answer for a rail's tenons."""
    say, first, last = words.say, made.mortises[0], made.mortises[-1]
    longest = max(one.mortise_length_mm for one in made.mortises)
    single = len(made.mortises) == 1
    grows, shrinks = say(made.growth_wet_mm), say(made.shrinkage_dry_mm)
    figures = (
        Figure("Mortise" if single else "Longest mortise", words.least(longest), "along the stile", main=True),
        Figure("Slack at the outer ends", _slack(first, last, words), _held(made), main=True),
        Figure("Grows when wettest", grows, "the whole width"),
        Figure("Shrinks when driest", shrinks, "the whole width"),
        Figure("Glued over", say(made.glued_mm), f"kept from growing {say(made.glued_growth_wet_mm)}"),
    )
    widths = (
        made.tenon_width_mm,
        made.tenon_width_mm - made.shrinkage_dry_mm,
        made.tenon_width_mm + made.growth_wet_mm,
    )
    changes = (0.0, -made.shrinkage_dry_mm, made.growth_wet_mm)
    glued = (0.0, -made.glued_shrinkage_dry_mm, made.glued_growth_wet_mm)
    now, dry, wet = (
        (say(width), words.signed(change), words.signed(kept))
        for width, change, kept in zip(widths, changes, glued, strict=True)
    )
    widest = made.widest_tenon_mm
    return Answer(
        "The rail's tenons" if made.mortise_length_mm is None else fits(made),
        figures,
        f"Across its grain the rail grows {grows} by the wettest season and shrinks {shrinks} by the driest, while the "
        "stile stays as long as it is.",
        year_table(made, ("Width of the tenons", "Change", "Of it kept back by glue"), now, dry, wet),
        (mortise(made, words),),
        tables=(_mortises(made, words),),
        facts=() if widest is None else (("The widest tenon that this mortise takes", words.most(widest)),),
    )


def _slack(first: MortiseResult, last: MortiseResult, words: Words) -> str:
    before, after = words.least(first.slack_start_mm), words.least(last.slack_end_mm)
    return after if before == after or not first.slack_start_mm else f"{before}, {after}"


def _held(made: JointResult) -> str:
    return "at each, held at mid-width" if made.hold == "centred" else "at the far one; the held edge sits tight"


def _mortises(made: JointResult, words: Words) -> Table:
    head = ("Tenon", "Starts at", "Width", "Slack before", "Slack after", "Mortise")
    rows = tuple(
        (
            f"{number}, {'glued' if one.glued else 'dry'}",
            words.say(one.tenon_start_mm),
            words.say(one.tenon_width_mm),
            words.least(one.slack_start_mm),
            words.least(one.slack_end_mm),
            words.least(one.mortise_length_mm),
        )
        for number, one in enumerate(made.mortises, start=1)
    )
    return Table("Mortises, from the rail's edge that is marked out from", head, rows)


_HOLDS: dict[str, str] = dict(zip(JOINT_HOLDS, ("Mid-width", "One edge"), strict=True))

KIND = Kind(
    key="joint",
    name="A rail's tenon",
    about="A wide rail's tenons in a stile: how long the mortises, how much slack at each end, how much of a tenon "
    "to glue.",
    lede="A wide rail moves across its grain and the stile does not: how long to make the mortises, where to leave "
    "slack, and how much of the tenon to glue.",
    request=JointRequest,
    specs=(
        length(
            "tenon_width", "Width of the tenons", "90", "Across the rail's grain, from the first tenon to the last."
        ),
        Spec("tenons", "Tenons", "whole", default="1", hint="That the rail's end is divided into."),
        length("between", "Room between two", "", "Blank: as wide as a tenon."),
        choice(
            "hold",
            "Where it is held",
            "",
            {"": "As usual", **_HOLDS},
            "As usual: an odd number of tenons at mid-width, an even one at one edge.",
        ),
        length("glued", "Glued over", "", "Of the held tenon's width; blank: all of it."),
        length("mortise_length", "Mortise if cut already"),
        length("least_gap", "Least gap", "0", "Kept at the free ends all year, beside the movement."),
        length("making_tolerance", "Making tolerance", "0", "How far off a tenon may come, either way."),
    ),
    inches={"tenon_width": '3 1/2"'},
    folded=("glued", "mortise_length", "least_gap", "making_tolerance"),
    size=joint.result,
    show=show,
    idle=idle,
)
