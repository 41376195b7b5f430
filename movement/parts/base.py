"""Fields that every kind of part shares: stock, moisture and climate, clearances, the shop's cutter."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal, Self

from pydantic import Discriminator, Field, Tag, field_validator, model_validator

from movement import climate, grain, lengths, season, species, swelling, wood
from movement.errors import require_range
from movement.exposure import Exposure
from movement.fits import cutter, panel, restock
from movement.fits.cutter import Cutter
from movement.fits.panel import Clearances, Hold
from movement.fits.remedy import Say
from movement.lag import Section
from movement.lengths import Direction
from movement.parts.climates import AnyClimate, YearMoisture
from movement.parts.fields import Described, bounded, told
from movement.parts.stays import FollowingFields, section
from movement.season import Ratios, Season, across, through
from movement.species import Species
from movement.spread import Spread
from movement.wood import Wood

Name = Annotated[str, Field(max_length=80), told("Name, as it is shown; may be empty")]
PanelHold = Annotated[
    Hold, told("How the panel is kept: centred (pinned at mid-width), loose (free to slide), or fixed along one edge")
]
Moisture = Annotated[float, bounded(season.MOISTURE, "%", "Moisture content today; a meter's reading, corrected")]
RingAngle = Annotated[
    float,
    bounded(
        grain.RING_ANGLE,
        "°",
        "Between the growth rings and the wide face, on the end grain: 0 flat-sawn, 90 quarter-sawn",
    ),
]
SightWidth = Annotated[
    float, bounded(panel.SIGHT_WIDTH, "mm", "Visible opening between the frame's inner edges, across the grain")
]
PanelWidth = Annotated[
    float, bounded(panel.PANEL_WIDTH, "mm", "Width of the panel today, across the grain; null: it is recommended")
]
GrooveDepth = Annotated[
    float, bounded(cutter.DEPTH, "mm", "Groove depth, from the frame's inner edge to the groove's bottom")
]
CutterStep = Annotated[float, bounded(cutter.STEP, "mm", "Step between the groove depths that the shop cuts")]
Engagement = Annotated[
    float,
    bounded(panel.ENGAGEMENT, "mm", "Least engagement: how far an edge must sit in its groove in the driest season"),
]
Gap = Annotated[float, bounded(panel.GAP, "mm", "Least gap: room that must be left in the wettest season")]
SizeStep = Annotated[
    float,
    Field(gt=0, le=25.4, json_schema_extra={"unit": "mm"}),
    told("Step that a recommended size is rounded to", "mm"),
]
Coefficient = Annotated[
    float,
    bounded(
        swelling.COEFFICIENT, "per 1 % MC", "Movement coefficient: share by which the size across the grain changes"
    ),
]
Shrinkage = Annotated[float, bounded(swelling.SHRINKAGE, "%", "Shrinkage from green to oven-dry, of the green size")]
StartOfShrinkage = Annotated[
    float, bounded(swelling.START_OF_SHRINKAGE_LIMITS, "%", "Moisture content below which the wood shrinks")
]
Tolerance = Annotated[
    float, bounded(panel.TOLERANCE, "mm", "Making tolerance: how far off a size may come out, either way")
]


class OwnSpecies(Described):
    """A species of the maker's own: two movement coefficients, or two shrinkages from green to oven-dry."""

    name: Annotated[str, Field(min_length=1, max_length=80), told("What the maker calls the wood")]
    botanical_name: Annotated[Name, told("Botanical name, where it is known")] = ""
    coefficient_radial: Annotated[
        Coefficient | None, told("Radial movement coefficient; with the tangential one, or with neither", "per 1 % MC")
    ] = None
    coefficient_tangential: Annotated[
        Coefficient | None, told("Tangential movement coefficient; with the radial one, or with neither", "per 1 % MC")
    ] = None
    shrinkage_radial_pct: Annotated[
        Shrinkage | None, told("Radial shrinkage, green to oven-dry; with the tangential one, or with neither", "%")
    ] = None
    shrinkage_tangential_pct: Annotated[
        Shrinkage | None, told("Tangential shrinkage, green to oven-dry; with the radial one, or with neither", "%")
    ] = None
    start_of_shrinkage_pct: StartOfShrinkage = swelling.START_OF_SHRINKAGE

    @model_validator(mode="after")
    def _usable(self) -> Self:
        self.species()
        return self

    def species(self) -> Species:
        """The species as the core knows it."""
        return species.own(
            self.name,
            botanical_name=self.botanical_name,
            coefficient_radial=self.coefficient_radial,
            coefficient_tangential=self.coefficient_tangential,
            shrinkage_radial=self.shrinkage_radial_pct,
            shrinkage_tangential=self.shrinkage_tangential_pct,
            start_of_shrinkage=self.start_of_shrinkage_pct,
        )


def _known(name: str) -> str:
    return species.find(name).name


def _form(value: Any) -> str:
    return "name" if isinstance(value, str) else "own"


AnySpecies = Annotated[
    Annotated[str, Field(min_length=1, max_length=120), Tag("name")] | Annotated[OwnSpecies, Tag("own")],
    Discriminator(_form),
    told("Name of a species, as GET /api/v1/species has it, or a species of the maker's own"),
]
"""A name of the species table, or a species of the maker's own."""


def species_of(chosen: str | OwnSpecies) -> Species:
    """The species behind a name or a maker's own entry.

    Raises
    ------
    UnknownSpeciesError
        No species of that name.
    """
    return chosen.species() if isinstance(chosen, OwnSpecies) else species.find(chosen)


class StockFields(Described):
    """What a part is made of."""

    species: AnySpecies
    ring_angle_deg: RingAngle = 0.0

    @field_validator("species")
    @classmethod
    def _find(cls, chosen: str | OwnSpecies) -> str | OwnSpecies:
        return chosen if isinstance(chosen, OwnSpecies) else _known(chosen)

    def wood(self) -> Wood:
        """The part's wood."""
        return wood.cut(species_of(self.species), self.ring_angle_deg)


class SeasonFields(FollowingFields):
    """The moisture today and over the year: a climate, or the driest and wettest moisture contents.

    A part that follows the air late (``lagged``) needs the climate, and its thickness.
    """

    moisture_now_pct: Moisture
    climate: Annotated[
        AnyClimate | None, told("The air of a year where the part lives; null where driest and wettest are told")
    ] = None
    moisture_dry_pct: Annotated[
        YearMoisture | None, told("Driest moisture content of the year; null where a climate is told", "%")
    ] = None
    moisture_wet_pct: Annotated[
        YearMoisture | None, told("Wettest moisture content of the year; null where a climate is told", "%")
    ] = None

    @model_validator(mode="after")
    def _one_year(self) -> Self:
        stated = (self.moisture_dry_pct is not None, self.moisture_wet_pct is not None)
        if self.climate is not None and any(stated):
            raise ValueError("Give a climate, or the driest and wettest moisture content, not both.")
        if self.climate is None and not all(stated):
            raise ValueError("Give a climate, or both the driest and the wettest moisture content.")
        self.season()
        return self

    def season(self, now: float | None = None) -> Season:
        """The part's season; now replaces the moisture content today [% MC].

        Raises
        ------
        RangeError
            The wettest moisture content is below the driest, or today's is out of range.
        """
        now = self.moisture_now_pct if now is None else now
        if self.climate is not None:
            return Exposure(self.climate.year(), self.section()).season(now)
        if self.following == "lagged":
            raise ValueError("A part that follows the air late needs a climate, not two moisture contents.")
        assert self.moisture_dry_pct is not None
        assert self.moisture_wet_pct is not None
        require_range(
            "wettest moisture content",
            self.moisture_wet_pct,
            self.moisture_dry_pct,
            climate.MOISTURE[1],
            "%",
            climate.FROM_DRIEST,
        )
        return season.between(now, self.moisture_dry_pct, self.moisture_wet_pct)

    def section(self) -> Section | None:
        """What slows the part down."""
        return section(self.following, self.thickness_mm, self.finish)

    def stray(self) -> str:
        """What to know of stock that lies outside the home's year; empty where it does not."""
        if self.climate is not None:
            return restock.stray(season.season(self.moisture_now_pct, self.climate.year()))
        return restock.stray(self.season())


class ClearanceFields(Described):
    """What a fit must keep."""

    least_engagement_mm: Engagement = 4.0
    least_gap_mm: Gap = 0.5
    making_tolerance_mm: Tolerance = 0.5
    fixed_engagement_mm: Annotated[
        Engagement | None,
        told("Engagement of an edge that is fixed, for hold one edge; null: the least engagement", "mm"),
    ] = None

    def clearances(self) -> Clearances:
        """The clearances as the core knows them."""
        return Clearances(
            self.least_engagement_mm, self.least_gap_mm, self.making_tolerance_mm, self.fixed_engagement_mm
        )


class CutterFields(Described):
    """The groove depths that the shop can cut."""

    cutter_step_mm: CutterStep = 1.0
    cutter_depths_mm: Annotated[
        list[GrooveDepth], told("The only groove depths that the shop cuts; empty: every step", "mm")
    ] = Field(default_factory=list, max_length=50)

    def cutter(self) -> Cutter:
        """The cutter as the core knows it."""
        return Cutter(self.cutter_step_mm, tuple(sorted(self.cutter_depths_mm)))


def _say(length: float, *, direction: Direction = "nearest") -> str:
    return lengths.show(length, "mm", 0.1, direction)


@dataclass(frozen=True, slots=True)
class Bench:
    """All that sizing a part needs beside its own dimensions.

    ``ratios`` and ``through`` give a width and a thickness at dry, mid and wet over today's; ``say`` writes a length
    [mm] in the maker's unit; a recommended size is rounded to ``width_step`` [mm] where there is one; chances rest on
    ``spread``.
    """

    wood: Wood
    season: Season
    clearances: Clearances = field(default_factory=Clearances)
    cutter: Cutter = field(default_factory=Cutter)
    width_step: float | None = None
    say: Say = _say
    ratios: Callable[[Season, Wood], Ratios] = across
    through: Callable[[Season, Wood], Ratios] = through
    spread: Spread = field(default_factory=Spread)

    @property
    def sources(self) -> tuple[str, ...]:
        """Where the numbers of the wood come from."""
        return self.wood.species.sources


Bias = Literal["looser", "tighter", "neutral"]
