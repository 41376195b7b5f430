"""A board of the stock as it is described: its reading or its weights, its size, the shop's air."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from movement import slab, sorption, stock
from movement.parts.climates import Humidity, Temperature
from movement.parts.fields import Described, bounded

DAYS = (0.0, 100_000.0)
"""Days over which a slab may be followed; project limit, no source."""

Faces = Literal[1, 2]
Weight = Annotated[float, bounded(stock.WEIGHT, "g")]
DayList = Annotated[list[Annotated[float, bounded(DAYS, "days")]], Field(min_length=1, max_length=10_000)]
Thickness = Annotated[float, bounded(slab.THICKNESS, "mm")]


class Reading(Described):
    """A meter's reading of the stock."""

    reading_pct: Annotated[float, bounded(sorption.READING, "%")]
    wood_temperature_c: Temperature = sorption.CALIBRATION_TEMPERATURE
    calibration_temperature_c: Temperature = sorption.CALIBRATION_TEMPERATURE
    species_correction_pct: Annotated[float, bounded(stock.CORRECTION, "%")] = 0.0

    @model_validator(mode="after")
    def _possible(self) -> Self:
        self.moisture()
        return self

    def moisture(self) -> float:
        """The moisture content behind the reading [%].

        The species correction comes first, then the temperature's, as meters' manuals have it (common practice).
        """
        reading = self.reading_pct + self.species_correction_pct
        return float(sorption.meter_correction(reading, self.wood_temperature_c, self.calibration_temperature_c))

    def warnings(self) -> list[str]:
        """Why the reading deserves doubt."""
        return sorption.meter_warnings(self.reading_pct)


class Weighing(Described):
    """A sample's weight as cut and oven-dry."""

    weight_g: Weight
    dry_weight_g: Weight

    @model_validator(mode="after")
    def _possible(self) -> Self:
        self.moisture()
        return self

    def moisture(self) -> float:
        """The moisture content by weight [%]."""
        return float(stock.oven_dry_moisture(self.weight_g, self.dry_weight_g))


class Drying(Described):
    """A board in the shop's air, until it is near enough to it."""

    thickness_mm: Thickness
    faces: Faces = 2
    shop_temperature_c: Temperature
    shop_humidity_pct: Humidity
    distance_pct: Annotated[float, bounded(stock.DISTANCE, "%")] = 0.5

    def air_moisture(self) -> float:
        """The moisture content that wood settles at in the shop [%]."""
        return float(sorption.equilibrium_moisture(self.shop_temperature_c, self.shop_humidity_pct))


class Passage(Described):
    """A slab and the air around it: the body of ``POST /api/v1/settling``, which needs no days and no moistures."""

    thickness_mm: Thickness
    diffusion_m2_s: Annotated[float, bounded(slab.DIFFUSION_LIMITS, "m²/s")]
    film_m_s: Annotated[float, bounded(slab.FILM_LIMITS, "m/s")] | None = None
    moisture_start_pct: Annotated[float, bounded(slab.MOISTURE, "%")] | None = None
    moisture_air_pct: Annotated[float, bounded(slab.MOISTURE, "%")] | None = None
    days: DayList | None = None
    faces: Faces = 2


class SlabRequest(Passage):
    """A slab in steady air: the body of ``POST /api/v1/slab``."""

    moisture_start_pct: Annotated[float, bounded(slab.MOISTURE, "%")]
    moisture_air_pct: Annotated[float, bounded(slab.MOISTURE, "%")]
    days: DayList
