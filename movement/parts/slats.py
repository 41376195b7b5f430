"""A row of slats as it is described and as it comes back: clear space through the year, limit, cautions."""

from collections.abc import Iterator
from math import isnan
from typing import Annotated, Self

from pydantic import Field, ValidationInfo, field_validator, model_validator

from movement.errors import require_range
from movement.fits import slats
from movement.fits.remedy import Say
from movement.fits.restock import QUARTERED
from movement.fits.slats import Limit, LimitKind, SlatFit
from movement.lengths import Direction
from movement.parts import remedies
from movement.parts.base import Bench
from movement.parts.fields import Described, bounded, told
from movement.parts.making import Cell, MakingFields, PartResult, at_least, at_most, conditions, counted

SlatWidth = Annotated[float, bounded(slats.SLAT_WIDTH, "mm", "Width of a slat today, across the grain")]
Space = Annotated[float, bounded(slats.SPACE, "mm", "Clear space between two slats")]
RowOpening = Annotated[
    float,
    bounded(slats.OPENING, "mm", "Length of the row, between its rails' ends; null where the clear space is told"),
]
Count = Annotated[
    int, Field(ge=slats.COUNT[0], le=slats.COUNT[1]), told("Number of slats; null where the clear space is told")
]

CAUTIONS = (
    "This gap varies with the season. Published rules limit gaps between bars and openings that can trap fingers, "
    "limbs or heads. Check the driest and the most humid estimate against the rule that applies where the piece is "
    "used.",
    "Boards of one species differ in how much they move, and a week can be drier or damper than its month: leave a "
    "margin beyond this estimate.",
    "This is an estimate for seasonal fit, not a safety assessment; it does not show compliance with any rule. Ask the "
    "local authority or a licensed professional.",
)
"""Shown with every row of slats, whatever its spaces and limit."""
SOURCE_RULES = "Spaces: derived here, each slat moving about its centre between rails whose length stays put"
_EXACT = 1e-9


class SlatNeeds(Described):
    """The dimensions of a row of slats: the clear space today, or the row's length and its number of slats.

    ``limit_mm`` is a limit on the clear space that the maker enters, ``most`` or ``least``.
    """

    slat_width_mm: SlatWidth
    space_now_mm: Annotated[
        Space | None, told("Clear space between two slats today; null where the row is told", "mm")
    ] = None
    opening_mm: RowOpening | None = None
    slats: Count | None = None
    limit_mm: Annotated[Space | None, told("Limit on the clear space; null: none", "mm")] = None
    limit_kind: Annotated[LimitKind, told("Whether the limit is the most or the least that is allowed")] = "most"

    @field_validator("slats")
    @classmethod
    def _goes_in(cls, count: int | None, info: ValidationInfo) -> int | None:
        row, width = info.data.get("opening_mm"), info.data.get("slat_width_mm")
        if count is not None and row is not None and width is not None:
            most = (row - slats.SPACE[0]) // (width + slats.SPACE[0])
            if most < slats.COUNT[0]:
                raise ValueError("The row is too short for two slats of this width.")
            require_range("number of slats", count, slats.COUNT[0], most, source="what goes into the row")
        return count

    @model_validator(mode="after")
    def _one_row(self) -> Self:
        row = (self.opening_mm is not None, self.slats is not None)
        if self.space_now_mm is not None and any(row):
            raise ValueError("Give the clear space today, or the row's length and its number of slats, not both.")
        if self.space_now_mm is None and not all(row):
            raise ValueError("Give the clear space today, or both the row's length and its number of slats.")
        return self

    @property
    def space(self) -> float:
        """The clear space today [mm]."""
        if self.space_now_mm is not None:
            return self.space_now_mm
        assert self.opening_mm is not None
        assert self.slats is not None
        return float(slats.equal_space(self.opening_mm, self.slat_width_mm, self.slats))

    @property
    def limit(self) -> Limit | None:
        """The limit that the maker entered."""
        return None if self.limit_mm is None else Limit(self.limit_mm, self.limit_kind)


class SlatsRequest(MakingFields, SlatNeeds):
    """One row of slats with its stock and its year: the body of ``POST /api/v1/slats``."""


class SlatsResult(PartResult):
    """A row of slats; ``end_space_*`` are at the ends of the row, as wide as the others today.

    ``within_limit`` is null without a limit; where it is true, the limit holds in the driest and in the wettest season
    for every space within its making tolerance, by this estimate. ``margin_mm`` is what is left then.
    """

    slat_width_mm: Annotated[float, told("Width of a slat today", "mm")]
    slat_width_dry_mm: Annotated[float, told("Width of a slat when driest", "mm")]
    slat_width_wet_mm: Annotated[float, told("Width of a slat when wettest", "mm")]
    slats: Annotated[int | None, told("Number of slats; null: the row is not told")]
    pitch_mm: Annotated[float, told("From the centre of one slat to the next", "mm")]
    space_now_mm: Annotated[float, told("Clear space between two slats today", "mm")]
    space_mid_mm: Annotated[float, told("Clear space at mid", "mm")]
    space_dry_mm: Annotated[float, told("Clear space when driest", "mm")]
    space_wet_mm: Annotated[float, told("Clear space when wettest", "mm")]
    end_space_dry_mm: Annotated[float, told("Space at the ends of the row when driest", "mm")]
    end_space_wet_mm: Annotated[float, told("Space at the ends of the row when wettest", "mm")]
    limit_mm: Annotated[float | None, told("Limit on the clear space, as it was asked; null: none", "mm")]
    limit_kind: Annotated[LimitKind | None, told("Whether the limit is the most or the least; null: no limit")]
    within_limit: Annotated[
        bool | None, told("Whether this estimate keeps the limit all year within the making tolerance; null: no limit")
    ]
    margin_mm: Annotated[
        float | None,
        told("What is left to the limit at the worst of the year, making tolerance taken off; null: no limit", "mm"),
    ]
    space_to_leave_mm: Annotated[
        float | None, told("Clear space today that just meets the limit; null: no limit", "mm")
    ]
    cautions: Annotated[list[str], told("What this estimate does not tell; to be shown with it")]

    def cells(self, say: Say) -> dict[str, Cell]:
        """The row in a gap table: the clear space as its gap, and always the cautions."""
        row = "" if self.slats is None else f"{counted(self.slats, 'slat')}; "
        way: Direction = "nearest" if self.limit_kind is None else "down" if self.limit_kind == "most" else "up"
        return super().cells(say) | {
            "cut_width_mm": self.slat_width_mm,
            "gap_now_mm": self.space_now_mm,
            "gap_dry_mm": self.space_dry_mm,
            "gap_wet_mm": self.space_wet_mm,
            "also": f"{row}{say(self.pitch_mm, direction=way)} from centre to centre. {' '.join(self.cautions)}",
        }


def fit(needs: SlatNeeds, bench: Bench) -> SlatFit:
    """The row through the year."""
    ratios = bench.ratios(bench.season, bench.wood)
    return slats.fit(needs.slat_width_mm, needs.space, ratios, bench.clearances.tolerance, needs.limit)


def result(needs: SlatNeeds, bench: Bench) -> SlatsResult:
    """A row of slats, and all that a page or the JSON API shows of it.

    Raises
    ------
    RangeError
        A length out of range.
    """
    found = fit(needs, bench)
    dry, mid, wet = found.ratios.dry, found.ratios.mid, found.ratios.wet
    return SlatsResult(
        fits=found.fits,
        slat_width_mm=found.width,
        slat_width_dry_mm=found.width * dry,
        slat_width_wet_mm=found.width * wet,
        slats=needs.slats,
        pitch_mm=found.width + found.today,
        space_now_mm=found.today,
        space_mid_mm=found.space_at(mid),
        space_dry_mm=found.space_at(dry),
        space_wet_mm=found.space_at(wet),
        end_space_dry_mm=found.end_space_at(dry),
        end_space_wet_mm=found.end_space_at(wet),
        limit_mm=needs.limit_mm,
        limit_kind=None if found.limit is None else found.limit.kind,
        within_limit=found.within_limit,
        margin_mm=found.margin,
        space_to_leave_mm=_to_leave(found),
        cautions=[*warnings(found, bench), *CAUTIONS],
        advice=list(advice(found, needs, bench)),
        **conditions(bench, SOURCE_RULES),
    )


def warnings(found: SlatFit, bench: Bench) -> Iterator[str]:
    """What to watch in a row with a limit: passed, or so near that the making tolerance decides."""
    if found.limit is None or found.margin is None:
        return
    most, left = found.limit.kind == "most", found.margin + found.tolerance
    season, ratio, bound = ("driest", found.ratios.dry, at_least) if most else ("wettest", found.ratios.wet, at_most)
    limit = f"your limit of {'at most' if most else 'at least'} {bench.say(found.limit.space)}"
    opening = f"In the {season} season the clear space is {bound(found.space_at(ratio), bench)}"
    if left < -_EXACT:
        yield f"{opening}: {at_least(-left, bench)} past {limit}."
    elif left <= _EXACT:
        yield f"{opening}: at {limit}, with nothing to spare."
    elif found.margin <= _EXACT:
        near = bench.say(found.tolerance)
        yield f"{opening}: within the making tolerance of {near} from {limit}, so a space may pass it."


def advice(found: SlatFit, needs: SlatNeeds, bench: Bench) -> tuple[str, ...]:
    """Sentences for the maker, lengths written by the bench; empty where the row works."""
    return () if found.fits else (*_apart(found, bench), *_remedies(found, needs, bench))


def _apart(found: SlatFit, bench: Bench) -> Iterator[str]:
    if found.touches:
        swell = at_least(found.width * (found.ratios.wet - 1) + found.tolerance, bench)
        yield f"In the wettest season the slats would touch: leave more than {swell} between them today."


def _remedies(found: SlatFit, needs: SlatNeeds, bench: Bench) -> Iterator[str]:
    if found.within_limit is not False or found.limit is None:
        return
    ratios, limit, tolerance = found.ratios, found.limit, found.tolerance
    no, at, bound = ("no more", "at least", at_most) if limit.kind == "most" else ("no less", "at most", at_least)
    leave = float(slats.space_to_leave(found.width, ratios.dry, ratios.wet, limit, tolerance))
    if leave >= slats.SPACE[0]:
        space, pitch = bound(leave, bench), bound(leave + found.width, bench)
        yield f"Leave {no} than {space} between them today: {pitch} from centre to centre."
    if needs.opening_mm is not None:
        count = float(slats.count_for(needs.opening_mm, found.width, ratios.dry, ratios.wet, limit, tolerance))
        if not isnan(count):
            yield f"Use {at} {count:.0f} slats in this row."
    widest = float(slats.widest_slat(found.today, ratios.dry, ratios.wet, limit, tolerance))
    if widest >= slats.SLAT_WIDTH[0]:
        yield f"Keep this space today and make the slats no wider than {at_most(widest, bench)}."
    if (quartered := remedies.quartered(bench)) is not None:
        leave = float(slats.space_to_leave(found.width, quartered.dry, quartered.wet, limit, tolerance))
        if leave >= slats.SPACE[0]:
            yield f"{QUARTERED} leave {no} than {bound(leave, bench)} today."


def _to_leave(found: SlatFit) -> float | None:
    if found.limit is None:
        return None
    return float(slats.space_to_leave(found.width, found.ratios.dry, found.ratios.wet, found.limit, found.tolerance))
