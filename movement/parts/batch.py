"""A catalogue's panels and places, one per line, as a batch reads them."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from movement import climate
from movement.climate import Climate
from movement.parts.base import ClearanceFields, CutterStep, Moisture, PanelHold, SightWidth, StockFields
from movement.parts.climates import RoomFields, YearMoisture
from movement.parts.fields import told

Label = Annotated[str, Field(min_length=1, max_length=120)]


class BatchPart(StockFields, ClearanceFields):
    """A panel of the catalogue."""

    part: Annotated[Label, told("The panel's name in the rows of the answer")]
    hold: PanelHold = "centred"
    sight_width_mm: SightWidth
    moisture_now_pct: Moisture
    cutter_step_mm: CutterStep = 1.0


class BatchPlace(RoomFields):
    """A place: one of the weather table with a room (or outdoors), or a name with its two moisture contents."""

    place: Annotated[
        Label, told("A place of the weather table, or a name of its own where two moisture contents are told")
    ]
    outdoors: Annotated[bool, told("Whether it is outdoors under cover; the room is not used then")] = False
    moisture_dry_pct: Annotated[
        YearMoisture | None, told("Driest moisture content of the year; null: that of the place", "%")
    ] = None
    moisture_wet_pct: Annotated[
        YearMoisture | None, told("Wettest moisture content of the year; null: that of the place", "%")
    ] = None

    @model_validator(mode="after")
    def _told(self) -> Self:
        if (self.moisture_dry_pct is None) != (self.moisture_wet_pct is None):
            raise ValueError("Give both the driest and the wettest moisture content, or neither.")
        self.year()
        return self

    def year(self) -> Climate:
        """The place's year."""
        if self.moisture_dry_pct is not None and self.moisture_wet_pct is not None:
            return climate.from_moisture(self.moisture_dry_pct, self.moisture_wet_pct)
        return climate.from_place(climate.find_place(self.place), None if self.outdoors else self.room())
