"""A climate as it is described in JSON: a range, twelve months, a place with or without a room, two moistures."""

from abc import abstractmethod
from collections.abc import Sequence
from functools import cached_property, lru_cache
from typing import Annotated, Literal, Self

from pydantic import Field, field_validator, model_validator

from movement import climate, season, sorption
from movement.arrays import floats
from movement.climate import FROM_DRIEST, Climate, Room
from movement.errors import require_range
from movement.parts.fields import Described, bounded, told
from movement.records import Record

Temperature = Annotated[float, bounded(sorption.TEMPERATURE, "°C", "Temperature of the air")]
Humidity = Annotated[float, bounded(sorption.HUMIDITY, "%", "Relative humidity, RH, of the air")]
RoomTemperature = Annotated[float, bounded(climate.ROOM_TEMPERATURE, "°C", "Temperature that the room is kept at")]
RoomHumidity = Annotated[float, bounded(climate.ROOM_HUMIDITY, "%", "Relative humidity that the room is kept at")]
Surplus = Annotated[float, bounded(climate.SURPLUS, "g/m³", "Moisture that living in the room adds to its air")]
YearMoisture = Annotated[float, bounded(climate.MOISTURE, "%", "Moisture content at one end of the year")]
MeasuredMoisture = Annotated[
    float, bounded(season.YEAR_MOISTURE, "%", "Moisture content that wood settles at in the measured air")
]
Sentence = Annotated[str, Field(max_length=1000)]
Month = Annotated[
    int, bounded(climate.MONTH, "", "Month of the driest air, 1 to 12; the wettest comes half a year later")
]
KIND = told("Which way of describing a year's air this is")


_KEPT = 256
"""Years that are kept: the same few are asked for again and again, each time by a model of its own."""
_between = lru_cache(_KEPT)(climate.from_range)
_stated = lru_cache(_KEPT)(climate.from_moisture)


@lru_cache(_KEPT)
def _at(place: str, room: Room | None) -> Climate:
    return climate.from_place(climate.find_place(place), room)


class AirState(Described):
    """Air at one time."""

    temperature_c: Temperature
    humidity_pct: Humidity


class _Year(Described):
    @cached_property
    def _climate(self) -> Climate:
        return self._computed()

    @abstractmethod
    def _computed(self) -> Climate: ...

    def year(self) -> Climate:
        """The twelve months."""
        return self._climate

    @model_validator(mode="after")
    def _possible(self) -> Self:
        self.year()
        return self


class RangeClimate(_Year):
    """A year between the driest and the wettest state of the air."""

    kind: Annotated[Literal["range"], KIND] = "range"
    dry: Annotated[AirState, told("The driest air of the year")]
    wet: Annotated[AirState, told("The most humid air of the year")]
    driest_month: Month = 1

    def _computed(self) -> Climate:
        dry, wet = self.dry, self.wet
        return _between(dry.temperature_c, dry.humidity_pct, wet.temperature_c, wet.humidity_pct, self.driest_month)


class MonthsClimate(_Year):
    """Twelve months of air, January first."""

    kind: Annotated[Literal["months"], KIND] = "months"
    months: Annotated[list[AirState], Field(min_length=12, max_length=12), told("Air of each month, January first")]

    def _computed(self) -> Climate:
        return climate.from_months(
            [month.temperature_c for month in self.months], [month.humidity_pct for month in self.months]
        )


class RoomFields(Described):
    """How a room's air is made from the air outdoors."""

    heating_c: Annotated[RoomTemperature, told("Temperature that the room is heated to", "°C")] = 20.0
    cooling_c: Annotated[
        RoomTemperature | None, told("Temperature that the room is cooled to at most; null: no cooling", "°C")
    ] = 25.0
    surplus_g_m3: Surplus = 2.0
    humidifier_pct: Annotated[
        RoomHumidity | None, told("Relative humidity that the room is humidified to at least; null: no humidifier", "%")
    ] = None
    dehumidifier_pct: Annotated[
        RoomHumidity | None, told("Relative humidity that the room is dried to at most; null: nothing caps it", "%")
    ] = 60.0

    @model_validator(mode="after")
    def _possible(self) -> Self:
        self.room()
        return self

    def room(self) -> Room:
        """The room as the core knows it."""
        return Room(self.heating_c, self.cooling_c, self.surplus_g_m3, self.humidifier_pct, self.dehumidifier_pct)


class PlaceClimate(_Year):
    """A place of the weather table: a room there, or outdoors under cover where room is null."""

    kind: Annotated[Literal["place"], KIND] = "place"
    place: Annotated[str, Field(min_length=1, max_length=80), told("Name of a place of the weather table")]
    room: Annotated[RoomFields | None, told("The room there; null: outdoors under cover")] = None

    @field_validator("place")
    @classmethod
    def _find(cls, name: str) -> str:
        return climate.find_place(name).name

    def _computed(self) -> Climate:
        return _at(self.place, self.room.room() if self.room else None)


class MoistureClimate(_Year):
    """A year between two stated moisture contents."""

    kind: Annotated[Literal["moisture"], KIND] = "moisture"
    dry_pct: Annotated[YearMoisture, told("Driest moisture content of the year", "%")]
    wet_pct: Annotated[YearMoisture, told("Wettest moisture content of the year", "%")]
    driest_month: Month = 1

    def _computed(self) -> Climate:
        return _stated(self.dry_pct, self.wet_pct, self.driest_month)


class RecordMonth(AirState):
    """A month of a record; ``measured`` is false where its values are a line between its neighbours."""

    moisture_pct: MeasuredMoisture
    measured: Annotated[bool, told("False where the month's values are a line between its neighbours")] = True


class RecordClimate(_Year):
    """A year from a hygrometer's log or a weather file, complete without the file."""

    kind: Annotated[Literal["record"], KIND] = "record"
    months: Annotated[
        list[RecordMonth],
        Field(min_length=12, max_length=12),
        told("Air and moisture content of each month, January first"),
    ]
    dry_pct: Annotated[MeasuredMoisture, told("Driest moisture content of the record", "%")]
    wet_pct: Annotated[MeasuredMoisture, told("Wettest moisture content of the record", "%")]
    summary: Annotated[list[Sentence], told("How the file was read, in sentences")] = Field(
        default_factory=list, max_length=100
    )
    notes: Annotated[list[Sentence], told("What is particular about the record, in sentences")] = Field(
        default_factory=list, max_length=100
    )
    sources: Annotated[list[Sentence], told("Where the numbers come from")] = Field(default_factory=list, max_length=20)
    daily_moisture_pct: Annotated[
        Annotated[list[MeasuredMoisture], Field(min_length=365, max_length=365)] | None,
        told("Moisture content of each day, 1 January first; null where it is not told", "%"),
    ] = None

    @classmethod
    def of(cls, record: Record, summary: Sequence[str] = ()) -> Self:
        """The year of a record, rounded to 0.01, and what was understood of its file."""
        year = record.climate
        columns = (values.round(2).tolist() for values in (year.temperature, year.humidity, year.moisture))
        return cls(
            months=[
                RecordMonth(temperature_c=t, humidity_pct=h, moisture_pct=m, measured=measured)
                for t, h, m, measured in zip(*columns, record.measured, strict=True)
            ],
            dry_pct=round(year.dry, 2),
            wet_pct=round(year.wet, 2),
            summary=list(summary),
            notes=list(year.notes),
            sources=list(year.sources),
            daily_moisture_pct=None if record.daily is None else record.daily.round(2).tolist(),
        )

    def _computed(self) -> Climate:
        require_range("wettest moisture content", self.wet_pct, self.dry_pct, season.YEAR_MOISTURE[1], "%", FROM_DRIEST)
        return Climate(
            floats([month.temperature_c for month in self.months]),
            floats([month.humidity_pct for month in self.months]),
            floats([month.moisture_pct for month in self.months]),
            self.dry_pct,
            self.wet_pct,
            tuple(self.notes),
            tuple(self.sources),
            None if self.daily_moisture_pct is None else floats(self.daily_moisture_pct),
        )


AnyClimate = Annotated[
    RangeClimate | MonthsClimate | PlaceClimate | MoistureClimate | RecordClimate,
    Field(discriminator="kind"),
    told("The air of a year where the part lives"),
]
