"""A board of the stock as it is described: its reading or its weights, its size, the shop's air."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from movement import slab, sorption, stock
from movement.parts.climates import Humidity, Temperature
from movement.parts.fields import Described, bounded, told

DAYS = (0.0, 100_000.0)
"""Days over which a slab may be followed; project limit, no source."""

Faces = Annotated[Literal[1, 2], told("Faces that meet the air: 2, or 1 where the other is covered")]
Weight = Annotated[float, bounded(stock.WEIGHT, "g", "Weight of the sample as cut")]
DayList = Annotated[
    list[Annotated[float, bounded(DAYS, "days", "Time since the air changed")]],
    Field(min_length=1, max_length=10_000),
    told("Times since the air changed to tell the moisture at", "days"),
]
Thickness = Annotated[float, bounded(slab.THICKNESS, "mm", "Thickness of the stock")]
Film = Annotated[
    float,
    bounded(slab.FILM_LIMITS, "m/s", "Surface coefficient; null: the faces are at once at equilibrium with the air"),
]
SlabMoisture = Annotated[float, bounded(slab.MOISTURE, "%", "Moisture content")]


class Reading(Described):
    """A meter's reading of the stock."""

    reading_pct: Annotated[float, bounded(sorption.READING, "%", "Reading of a pin (resistance) meter")]
    wood_temperature_c: Temperature = sorption.CALIBRATION_TEMPERATURE
    calibration_temperature_c: Temperature = sorption.CALIBRATION_TEMPERATURE
    species_correction_pct: Annotated[
        float, bounded(stock.CORRECTION, "%", "Correction for the species, added to the reading")
    ] = 0.0

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
    distance_pct: Annotated[
        float,
        bounded(stock.DISTANCE, "%", "How near to its equilibrium the board is to come, in points of moisture content"),
    ] = 0.5

    def air_moisture(self) -> float:
        """The moisture content that wood settles at in the shop [%]."""
        return float(sorption.equilibrium_moisture(self.shop_temperature_c, self.shop_humidity_pct))


class Passage(Described):
    """A slab and the air around it: the body of ``POST /api/v1/settling``, which needs no days and no moistures."""

    thickness_mm: Thickness
    diffusion_m2_s: Annotated[
        float, bounded(slab.DIFFUSION_LIMITS, "m²/s", "Diffusion coefficient of moisture through the thickness")
    ]
    film_m_s: Film | None = None
    moisture_start_pct: Annotated[
        SlabMoisture | None, told("Moisture content at the start, the same throughout", "%")
    ] = None
    moisture_air_pct: Annotated[
        SlabMoisture | None, told("Moisture content that wood settles at in the air around it", "%")
    ] = None
    days: DayList | None = None
    faces: Faces = 2


class SlabRequest(Passage):
    """A slab in steady air: the body of ``POST /api/v1/slab``."""

    moisture_start_pct: Annotated[SlabMoisture, told("Moisture content at the start, the same throughout", "%")]
    moisture_air_pct: Annotated[SlabMoisture, told("Moisture content that wood settles at in the air around it", "%")]
    days: DayList
