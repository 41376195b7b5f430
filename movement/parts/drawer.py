"""A drawer box as it is described and as it comes back, sized: sides in their opening, bottom, room behind."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Annotated, Any, Self

from pydantic import field_validator, model_validator

from movement import wood
from movement.fits import bottom, drawer
from movement.fits.bottom import BottomFit
from movement.fits.drawer import CaseGrain, LengthFit, SideFit
from movement.fits.panel import Clearances
from movement.fits.remedy import Say
from movement.parts import answers, remedies
from movement.parts.base import AnySpecies, Bench, Engagement, Gap, Moisture, OwnSpecies, RingAngle, species_of
from movement.parts.fields import Described, bounded, told
from movement.parts.making import Cell, MakingFields, PartResult, at_least, at_most, conditions

Height = Annotated[float, bounded(drawer.HEIGHT, "mm", "Height across the grain")]
Depth = Annotated[float, bounded(drawer.DEPTH, "mm", "Depth from the inner face of the drawer's front")]
Stile = Annotated[float, bounded(drawer.STILE, "mm", "Width of each stile of a framed case side")]
BottomWidth = Annotated[
    float, bounded(bottom.WIDTH, "mm", "Width of the bottom today, from front to back; null: it is recommended")
]
Back = Annotated[float, bounded(bottom.BACK, "mm", "Thickness of the drawer's back; null: no bottom")]
Inset = Annotated[float, bounded(bottom.INSET, "mm", "How far the back's outer face stands in from the sides' ends")]
FrontGroove = Annotated[
    float, bounded(bottom.FRONT_GROOVE, "mm", "Depth of the groove in the drawer's front; null: no bottom")
]

SOURCE_RULES = (
    "Rules of fit: derived here from the geometry of the drawer; its width and the sides' length run along the grain"
)
SOURCE_BOTTOM = "Bottom glued only in the front's groove and slot-screwed to the back: common practice, no source"
_EXACT = 1e-9


class DrawerNeeds(Described):
    """The dimensions of one drawer box; lengths and depths are from the inner face of the drawer's front.

    Null sizes are recommended. The room behind needs the case's depth; the bottom needs the case's depth or the sides'
    length, the front's groove and the back's thickness. ``case_stile_width_mm`` is of each stile of a framed case side.
    """

    opening_height_mm: Annotated[Height, told("Height of the opening in the case", "mm")]
    side_height_mm: Annotated[
        Height | None, told("Height of the drawer's sides today; null: it is recommended", "mm")
    ] = None
    case_grain: Annotated[CaseGrain, told("How the grain of the case's sides runs, or frame for a frame and panel")] = (
        "vertical"
    )
    case_depth_mm: Annotated[
        Depth | None, told("Depth of the case inside; null: the room behind is not asked for", "mm")
    ] = None
    case_stile_width_mm: Stile | None = None
    side_length_mm: Annotated[
        Depth | None, told("Length of the drawer's sides, along the grain; null: it is recommended", "mm")
    ] = None
    front_groove_mm: FrontGroove | None = None
    back_thickness_mm: Back | None = None
    back_inset_mm: Inset = 0.0
    bottom_width_mm: BottomWidth | None = None
    least_engagement_mm: Annotated[
        Engagement, told("Least that the bottom must still lie under the back in the driest season", "mm")
    ] = 3.0
    least_gap_mm: Annotated[Gap, told("Least room above and behind the sides", "mm")] = 0.5

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if self.case_grain == "frame" and self.case_depth_mm is not None and self.case_stile_width_mm is None:
            raise ValueError(
                "Give the width of a stile of the case's side frame: the case's depth moves by its stiles."
            )
        asked = (self.front_groove_mm, self.back_thickness_mm, self.bottom_width_mm)
        if any(value is not None for value in asked):
            if self.front_groove_mm is None or self.back_thickness_mm is None:
                raise ValueError("A bottom needs the depth of the front's groove and the thickness of the back.")
            if self.case_depth_mm is None and self.side_length_mm is None:
                raise ValueError("A bottom needs the depth of the case or the length of the sides.")
        return self

    def clearances(self, tolerance: float) -> Clearances:
        """What the drawer must keep, with a making tolerance [mm]."""
        return Clearances(self.least_engagement_mm, self.least_gap_mm, tolerance)


class OtherStock(Described):
    """The stock of the bottom and of the case, where it is not that of the drawer's sides."""

    bottom_species: Annotated[AnySpecies | None, told("Species of the bottom; null: as the sides")] = None
    bottom_ring_angle_deg: Annotated[RingAngle | None, told("Ring angle of the bottom; null: as the sides", "°")] = None
    bottom_moisture_now_pct: Annotated[
        Moisture | None, told("Moisture content of the bottom today; null: as the sides", "%")
    ] = None
    case_species: Annotated[AnySpecies | None, told("Species of the case; null: as the sides")] = None
    case_ring_angle_deg: Annotated[RingAngle | None, told("Ring angle of the case; null: as the sides", "°")] = None
    case_moisture_now_pct: Annotated[
        Moisture | None, told("Moisture content of the case today; null: as the sides", "%")
    ] = None


class DrawerRequest(MakingFields, OtherStock, DrawerNeeds):
    """One drawer with its stock and its year: the body of ``POST /api/v1/drawer``."""

    @field_validator("bottom_species", "case_species")
    @classmethod
    def _other(cls, chosen: str | OwnSpecies | None) -> str | OwnSpecies | None:
        return species_of(chosen).name if isinstance(chosen, str) else chosen

    def benches(self) -> tuple[Bench, Bench, Bench]:
        """What the sides, the bottom and the case are sized from."""
        bench = self.bench()
        floor = self.bottom_species, self.bottom_ring_angle_deg, self.bottom_moisture_now_pct
        case = self.case_species, self.case_ring_angle_deg, self.case_moisture_now_pct
        return bench, self._beside(bench, *floor), self._beside(bench, *case)

    def _beside(
        self, bench: Bench, chosen: str | OwnSpecies | None, ring_angle: float | None, moisture_now: float | None
    ) -> Bench:
        """The bench of other stock of the drawer; what is ``None`` is as on its sides."""
        species = bench.wood.species if chosen is None else species_of(chosen)
        angle = bench.wood.ring_angle if ring_angle is None else ring_angle
        season = bench.season if moisture_now is None else self.season(moisture_now)
        return replace(bench, wood=wood.cut(species, angle), season=season)


class DrawerResult(PartResult):
    """A drawer box, sized. Moistures and coefficient are those of its sides.

    ``clearance_*`` is all the room above the sides, ``back_clearance_*`` that behind them. ``past_back_*`` is how far
    the bottom stands past the outer face of the drawer's back, negative where it ends short of it, and
    ``bottom_cover_dry_mm`` what still lies past the back's inner face. The slot for a screw in mid-thickness of the
    back runs ``slot_forward_mm`` and ``slot_backward_mm`` from the screw today.
    """

    case_grain: Annotated[CaseGrain, told("How the grain of the case's sides runs")]
    opening_height_mm: Annotated[float, told("Height of the opening, as it was asked", "mm")]
    side_height_mm: Annotated[float, told("Height of the sides today", "mm")]
    side_height_max_mm: Annotated[float, told("Tallest sides that work today", "mm")]
    clearance_now_mm: Annotated[float, told("Room above the sides today", "mm")]
    clearance_mid_mm: Annotated[float, told("Room above the sides at mid", "mm")]
    clearance_dry_mm: Annotated[float, told("Room above the sides when driest", "mm")]
    clearance_wet_mm: Annotated[float, told("Room above the sides when wettest", "mm")]
    bias_mm: answers.Bias
    bias: answers.BiasWord
    case_depth_mm: Annotated[float | None, told("Depth of the case inside today; null: not told", "mm")] = None
    case_depth_dry_mm: Annotated[float | None, told("Depth of the case inside when driest; null: not told", "mm")] = (
        None
    )
    side_length_mm: Annotated[
        float | None, told("Length of the sides, along the grain; null: neither told nor asked for", "mm")
    ] = None
    side_length_max_mm: Annotated[
        float | None, told("Longest sides that the case closes on; null: its depth is not told", "mm")
    ] = None
    back_clearance_now_mm: Annotated[
        float | None, told("Room behind the sides today; null: the case's depth is not told", "mm")
    ] = None
    back_clearance_dry_mm: Annotated[
        float | None, told("Room behind the sides when driest; null: the case's depth is not told", "mm")
    ] = None
    back_clearance_wet_mm: Annotated[
        float | None, told("Room behind the sides when wettest; null: the case's depth is not told", "mm")
    ] = None
    bottom_width_mm: Annotated[
        float | None, told("Width to cut the bottom to today, front to back; null: no bottom", "mm")
    ] = None
    bottom_width_min_mm: Annotated[float | None, told("Narrowest bottom that works today; null: no bottom", "mm")] = (
        None
    )
    bottom_width_max_mm: Annotated[float | None, told("Widest bottom that works today; null: no bottom", "mm")] = None
    bottom_cover_dry_mm: Annotated[
        float | None, told("What of the bottom lies past the back's inner face when driest; null: no bottom", "mm")
    ] = None
    past_back_now_mm: Annotated[
        float | None,
        told(
            "How far the bottom stands past the back's outer face today, negative: short of it; null: no bottom", "mm"
        ),
    ] = None
    past_back_dry_mm: Annotated[
        float | None, told("How far it stands past the back's outer face when driest; null: no bottom", "mm")
    ] = None
    past_back_wet_mm: Annotated[
        float | None, told("How far it stands past the back's outer face when wettest; null: no bottom", "mm")
    ] = None
    slot_forward_mm: Annotated[
        float | None, told("How far the slot runs from today's screw toward the front; null: no bottom", "mm")
    ] = None
    slot_backward_mm: Annotated[
        float | None, told("How far the slot runs from today's screw toward the back; null: no bottom", "mm")
    ] = None

    def cells(self, say: Say) -> dict[str, Cell]:
        """The drawer in a gap table: its sides' height and length, the room above them."""
        also = []
        if self.bottom_width_mm is not None:
            also.append(f"bottom {say(self.bottom_width_mm)} from front to back")
        if self.back_clearance_now_mm is not None:
            also.append(f"{say(self.back_clearance_now_mm)} of room behind today")
        return super().cells(say) | {
            "opening_mm": self.opening_height_mm,
            "cut_width_mm": self.side_height_mm,
            "cut_length_mm": self.side_length_mm,
            "gap_now_mm": self.clearance_now_mm,
            "gap_dry_mm": self.clearance_dry_mm,
            "gap_wet_mm": self.clearance_wet_mm,
            "bias_mm": self.bias_mm,
            "bias": self.bias,
            "also": "; ".join(["cut are its sides", *also]),
        }


@dataclass(frozen=True, slots=True)
class DrawerFit:
    """A drawer's fits: the sides' height, their length in the case, the bottom; the last two where they are asked."""

    side: SideFit
    length: LengthFit | None
    bottom: BottomFit | None

    @property
    def fits(self) -> bool:
        """Whether every rule is kept."""
        return all(part.fits for part in (self.side, self.length, self.bottom) if part is not None)


def fit(
    needs: DrawerNeeds, bench: Bench, bottom_bench: Bench | None = None, case_bench: Bench | None = None
) -> DrawerFit:
    """The drawer's fits; bottom and case are of the sides' stock where they have no bench of their own."""
    floor, case = bottom_bench or bench, case_bench or bench
    clearances, step = needs.clearances(bench.clearances.tolerance), bench.width_step
    ratios, case_ratios = bench.ratios(bench.season, bench.wood), case.ratios(case.season, case.wood)
    side = drawer.fit_side(
        needs.opening_height_mm, needs.case_grain, ratios, case_ratios, clearances, needs.side_height_mm, step
    )
    length = None
    if needs.case_depth_mm is not None:
        stile = needs.case_stile_width_mm or 0.0
        length = drawer.fit_length(
            needs.case_depth_mm, needs.case_grain, case_ratios, clearances, stile, needs.side_length_mm, step
        )
    run = length.length if length else needs.side_length_mm
    if run is None or needs.front_groove_mm is None or needs.back_thickness_mm is None:
        return DrawerFit(side, length, None)
    floor_fit = bottom.fit(
        run,
        needs.front_groove_mm,
        needs.back_thickness_mm,
        needs.back_inset_mm,
        floor.ratios(floor.season, floor.wood),
        clearances,
        needs.bottom_width_mm,
        step,
    )
    return DrawerFit(side, length, floor_fit)


def result(
    needs: DrawerNeeds, bench: Bench, bottom_bench: Bench | None = None, case_bench: Bench | None = None
) -> DrawerResult:
    """Size a drawer and say all that a page or the JSON API shows of it.

    Parameters
    ----------
    needs : DrawerNeeds
        Its dimensions.
    bench : Bench
        Of the drawer's sides.
    bottom_bench, case_bench : Bench or None
        Of the bottom and of the case; ``None``: as the sides.

    Raises
    ------
    RangeError
        A length out of range.
    """
    found = fit(needs, bench, bottom_bench, case_bench)
    side, sides, case = found.side, found.side.drawer, found.side.case
    others = (part for part in (bottom_bench, case_bench) if part is not None)
    more = dict.fromkeys(source for part in others for source in part.sources if source not in bench.sources)
    return DrawerResult(
        fits=found.fits,
        case_grain=needs.case_grain,
        opening_height_mm=side.opening,
        side_height_mm=side.height,
        side_height_max_mm=side.tallest,
        clearance_now_mm=side.clearance_at(1.0, 1.0),
        clearance_mid_mm=side.clearance_at(sides.mid, case.mid),
        clearance_dry_mm=side.clearance_at(sides.dry, case.dry),
        clearance_wet_mm=side.clearance_at(sides.wet, case.wet),
        bias_mm=side.bias,
        bias=side.bias_word,
        **(_behind(found.length) if found.length else {"side_length_mm": needs.side_length_mm}),
        **(_floor(found.bottom) if found.bottom else {}),
        advice=list(advice(found, bench, bottom_bench or bench)),
        **conditions(bench, *more, SOURCE_RULES, *([SOURCE_BOTTOM] if found.bottom else [])),
    )


def _behind(found: LengthFit) -> dict[str, Any]:
    return {
        "case_depth_mm": found.depth,
        "case_depth_dry_mm": found.length + found.clearance_at(found.case.dry),
        "side_length_mm": found.length,
        "side_length_max_mm": found.longest,
        "back_clearance_now_mm": found.clearance_at(1.0),
        "back_clearance_dry_mm": found.clearance_at(found.case.dry),
        "back_clearance_wet_mm": found.clearance_at(found.case.wet),
    }


def _floor(found: BottomFit) -> dict[str, Any]:
    backward, forward = found.slot
    return {
        "bottom_width_mm": found.width,
        "bottom_width_min_mm": found.narrowest,
        "bottom_width_max_mm": found.widest,
        "bottom_cover_dry_mm": found.cover_at(found.ratios.dry),
        "past_back_now_mm": found.past_back_at(1.0),
        "past_back_dry_mm": found.past_back_at(found.ratios.dry),
        "past_back_wet_mm": found.past_back_at(found.ratios.wet),
        "slot_forward_mm": float(forward),
        "slot_backward_mm": float(backward),
    }


def advice(found: DrawerFit, bench: Bench, floor: Bench) -> tuple[str, ...]:
    """Sentences for the maker, the most useful first, lengths written by the bench; floor is the bottom's bench."""
    said = [*_side_advice(found.side, bench)]
    if found.length is not None:
        said += _length_advice(found.length, bench)
    if found.bottom is not None:
        said += _bottom_advice(found.bottom, floor)
    return tuple(said)


def _side_advice(found: SideFit, bench: Bench) -> Iterator[str]:
    if found.fits:
        return
    dry = found.clearance_at(found.drawer.dry, found.case.dry)
    wet = found.clearance_at(found.drawer.wet, found.case.wet)
    season = "driest" if dry < wet else "wettest"
    yield (
        f"In the {season} season the room above the sides is {at_most(min(dry, wet), bench)}, and "
        f"{bench.say(found.clearances.gap)} is to be kept: plane {at_least(found.height - found.tallest, bench)} off "
        f"their height, to {at_most(found.tallest, bench)} today, or make the opening at least "
        f"{at_least(found.lowest_opening, bench)} high."
    )


def _length_advice(found: LengthFit, bench: Bench) -> Iterator[str]:
    dry = found.clearance_at(found.case.dry)
    lost = found.clearance_at(1.0) - dry
    if not found.fits:
        yield (
            f"In the driest season the room behind the sides is {at_most(dry, bench)}, and "
            f"{bench.say(found.clearances.gap)} is to be kept: cut them to {at_most(found.longest, bench)}, or make "
            f"the case at least {at_least(found.shallowest_case, bench)} deep."
        )
    elif lost > 0:
        lost_most = at_least(lost, bench)
        yield f"The case loses {lost_most} of its depth in the driest season; the room behind the sides allows for it."


def _bottom_advice(found: BottomFit, floor: Bench) -> Iterator[str]:
    if found.fits:
        backward, forward = (at_least(float(travel), floor) for travel in found.slot)
        yield (
            "Glue the bottom in the front's groove only. Slot it for the screw in the back: besides the screw's own "
            f"width {forward} toward the front and {backward} toward the back."
        )
        return
    if found.width > found.widest + _EXACT:
        over = (found.width - found.widest) * found.ratios.wet
        yield f"In the wettest season the bottom is {at_least(over, floor)} too wide to stay within the sides' ends."
    if found.width < found.narrowest - _EXACT:
        cover = at_most(found.cover_at(found.ratios.dry), floor)
        yield (
            f"In the driest season only {cover} of the bottom lies under the back, and "
            f"{floor.say(found.clearances.engagement)} is to be kept."
        )
    if found.narrowest <= found.widest:
        yield f"Cut it {at_least(found.narrowest, floor)} to {at_most(found.widest, floor)} wide today."
        return
    inset = at_least(found.least_inset, floor)
    yield f"Set the back at least {inset} in from the ends of the sides, or make it thicker."
    if (flat := remedies.quartered(floor)) is not None:
        least = replace(found, ratios=flat).least_inset
        enough = f"{at_least(least, floor)} is enough" if least > found.inset + _EXACT else "it may stay where it is"
        yield f"Use quarter-sawn stock for the bottom: then {enough}."
