"""A rail's tenon in its stile as it is described and as it comes back: movement, mortises, what to glue."""

from collections.abc import Iterator
from typing import Annotated, Self

from pydantic import BaseModel, Field, model_validator

from movement.fits import joints, restock
from movement.fits.joints import JointFit, JointHold, Mortise
from movement.fits.panel import Clearances
from movement.fits.remedy import Say
from movement.parts import answers
from movement.parts.base import Bench, Gap
from movement.parts.fields import Described, bounded, told
from movement.parts.making import Cell, MakingFields, PartResult, at_least, at_most, conditions, counted

TenonWidth = Annotated[
    float,
    bounded(joints.TENON, "mm", "Width of the tenons together, across the rail's grain, with the room between them"),
]
Tenons = Annotated[int, bounded(joints.TENONS, "", "Tenons that the rail's end is divided into")]
Between = Annotated[float, bounded(joints.BETWEEN, "mm", "Room between two tenons; null: as wide as a tenon")]
MortiseLength = Annotated[
    float, bounded(joints.MORTISE, "mm", "Length of a mortise to check, of a single tenon; null: it is recommended")
]
Glued = Annotated[float, Field(ge=0, le=joints.TENON[1], json_schema_extra={"unit": "mm"})]

SOURCE_RULES = "Rules of fit: derived here from the geometry of the joint; the stile's length is taken to stay put"
SOURCE_GLUE = (
    f"Widest tenon to glue over its whole width: {joints.WIDE_GLUE:g} mm (2 in), a woodworking magazine's answer to "
    "readers; other makers go to 150 mm (6 in); common practice, no measured source"
)
_EXACT = 1e-9


class JointNeeds(Described):
    """The tenons of one rail end.

    ``tenon_width_mm`` is across the rail's grain, from the first tenon to the last, with the room between them.
    ``hold`` null is centred for an odd number of tenons and one edge for an even one. ``glued_mm`` is how much of the
    held tenon is glued, null all of it; ``mortise_length_mm`` a mortise to check, of a single tenon.
    """

    tenon_width_mm: TenonWidth
    tenons: Tenons = 1
    between_mm: Between | None = None
    hold: Annotated[
        JointHold | None,
        told("Where the joint is glued; null: centred for an odd number of tenons, one edge for an even one"),
    ] = None
    glued_mm: Annotated[Glued | None, told("How much of the held tenon is glued; null: all of it", "mm")] = None
    mortise_length_mm: MortiseLength | None = None
    least_gap_mm: Annotated[Gap, told("Least room at each end of a mortise in the wettest season", "mm")] = 0.0

    @model_validator(mode="after")
    def _possible(self) -> Self:
        if self.held_at == "centred" and self.tenons % 2 == 0:
            raise ValueError(f"{self.tenons} tenons have none at mid-width to hold: hold them at one edge.")
        if self.mortise_length_mm is not None and self.tenons > 1:
            raise ValueError("The length of the mortise can be given for a single tenon only.")
        if self.between_mm is not None and self.tenons == 1:
            raise ValueError("A single tenon has no room between tenons.")
        joints.spans(self.tenon_width_mm, self.tenons, self.between_mm)
        return self

    @property
    def held_at(self) -> JointHold:
        """Where the joint is glued."""
        return self.hold or ("centred" if self.tenons % 2 else "one edge")


class JointRequest(MakingFields, JointNeeds):
    """One rail's tenons with their stock and their year: the body of ``POST /api/v1/joint``."""


class MortiseResult(BaseModel):
    """The mortise of one tenon; places are from the edge that the rail is marked out from."""

    tenon_start_mm: Annotated[
        float, told("Where the tenon starts, from the edge that the rail is marked out from", "mm")
    ]
    tenon_width_mm: Annotated[float, told("Width of the tenon today", "mm")]
    slack_start_mm: Annotated[float, told("Room to leave today at the tenon's start", "mm")]
    slack_end_mm: Annotated[float, told("Room to leave today at the tenon's end", "mm")]
    mortise_length_mm: Annotated[float, told("Length of the mortise", "mm")]
    glued: Annotated[bool, told("Whether this is the tenon that is glued")]


class JointResult(PartResult):
    """A rail's tenons, with the mortises that leave them room.

    ``growth_wet_mm`` and ``shrinkage_dry_mm`` are of the whole width; ``glued_*`` what the glued part is kept from.
    ``widest_tenon_mm`` is the widest that a given mortise takes.
    """

    hold: Annotated[JointHold, told("Where the joint is glued")]
    tenon_width_mm: Annotated[float, told("Width of the tenons together today", "mm")]
    glued_mm: Annotated[float, told("How much of the held tenon is glued", "mm")]
    growth_wet_mm: answers.GrowthWet
    shrinkage_dry_mm: answers.ShrinkageDry
    glued_growth_wet_mm: Annotated[float, told("Growth to the wettest that the glued part is kept from", "mm")]
    glued_shrinkage_dry_mm: Annotated[float, told("Shrinkage to the driest that the glued part is kept from", "mm")]
    mortises: Annotated[list[MortiseResult], told("The mortise of each tenon")]
    mortise_length_mm: Annotated[float | None, told("Length of the mortise that was given; null: none was", "mm")]
    widest_tenon_mm: Annotated[
        float | None, told("Widest tenon that the given mortise takes; null: none was given", "mm")
    ]

    def cells(self, say: Say) -> dict[str, Cell]:
        """The tenons in a gap table: their width together, and the mortises that leave them room."""
        lengths = ", ".join(say(one.mortise_length_mm, direction="up") for one in self.mortises)
        also = f"mortise {lengths} long" if len(self.mortises) == 1 else f"mortises {lengths} long"
        return super().cells(say) | {
            "hold": self.hold,
            "cut_width_mm": self.tenon_width_mm,
            "also": f"{counted(len(self.mortises), 'tenon')}; {also}; glued over {say(self.glued_mm)}",
        }


def fit(needs: JointNeeds, bench: Bench) -> JointFit:
    """The tenons' fit in their mortises."""
    return joints.fit(
        needs.tenon_width_mm,
        needs.held_at,
        bench.ratios(bench.season, bench.wood),
        Clearances(0.0, needs.least_gap_mm, bench.clearances.tolerance),
        needs.tenons,
        needs.between_mm,
        needs.glued_mm,
        needs.mortise_length_mm,
    )


def result(needs: JointNeeds, bench: Bench) -> JointResult:
    """Find a rail's mortises and say all that a page or the JSON API shows of them.

    Raises
    ------
    RangeError
        A length out of range, as more glue than the held tenon is wide.
    """
    found = fit(needs, bench)
    dry, wet = found.ratios.dry, found.ratios.wet
    return JointResult(
        fits=found.fits,
        hold=found.hold,
        tenon_width_mm=found.width,
        glued_mm=found.glued,
        growth_wet_mm=found.change_at(wet),
        shrinkage_dry_mm=-found.change_at(dry),
        glued_growth_wet_mm=found.strain_at(wet),
        glued_shrinkage_dry_mm=-found.strain_at(dry),
        mortises=[_mortise(mortise) for mortise in found.mortises],
        mortise_length_mm=found.mortise,
        widest_tenon_mm=_widest(found),
        advice=list(advice(found, bench)),
        **conditions(bench, SOURCE_RULES, SOURCE_GLUE),
    )


def _mortise(mortise: Mortise) -> MortiseResult:
    return MortiseResult(
        tenon_start_mm=mortise.start,
        tenon_width_mm=mortise.tenon,
        slack_start_mm=mortise.slack_start,
        slack_end_mm=mortise.slack_end,
        mortise_length_mm=mortise.length,
        glued=mortise.held,
    )


def _widest(found: JointFit) -> float | None:
    if found.mortise is None:
        return None
    return float(joints.widest_tenon(found.mortise, found.hold, found.ratios.wet, found.clearances))


def advice(found: JointFit, bench: Bench) -> tuple[str, ...]:
    """Sentences for the maker, the most useful first, lengths written by the bench."""
    return (*_mortise_advice(found, bench), *_glue_advice(found, bench))


def _mortise_advice(found: JointFit, bench: Bench) -> Iterator[str]:
    widest = _widest(found)
    if not found.fits and found.mortise is not None and widest is not None:
        length = at_least(found.mortise + found.short, bench)
        yield (
            "In the wettest season the tenon presses on the ends of its mortise, which is "
            f"{at_least(found.short, bench)} too short. Make it {length} long, or narrow the tenon to "
            f"{at_most(widest, bench)} and leave the rest as a haunch."
        )
    loose = [mortise.length for mortise in found.mortises if not mortise.held]
    if loose:
        yield (
            f"Glue only the tenon at {_place(found)}. Leave the others dry, in mortises up to "
            f"{at_least(max(loose), bench)} long, so that they hold the rail flat and let it move."
        )


def _glue_advice(found: JointFit, bench: Bench) -> Iterator[str]:
    say, most = bench.say, joints.WIDE_GLUE
    if found.glued <= most + _EXACT:
        return
    grown, shrunk = found.strain_at(found.ratios.wet), -found.strain_at(found.ratios.dry)
    yield (
        f"Glued over {say(found.glued)}, the tenon is kept from growing {say(grown)} and from shrinking {say(shrunk)}: "
        f"the rail may split or the glue let go. Glue only about {say(most)} of it, at {_place(found)}, and leave the "
        f"ends slack (common practice, no measured source; other makers glue up to {say(3 * most)})."
    )
    if len(found.mortises) == 1:
        yield "Or split it into two tenons with a haunch between them: glue one, and leave the other dry and slack."
    if restock.quartered(bench.wood) is not None:
        yield "Quarter-sawn rails move less."


def _place(found: JointFit) -> str:
    return "mid-width" if found.hold == "centred" else "the edge that is held"
