"""The JSON API's stock routes: moisture through a thickness, how long it takes to settle, and the finishes."""

from typing import Annotated

from fastapi import APIRouter
from pydantic import BaseModel, Field

from movement import finish, settling, slab
from movement.arrays import floats
from movement.parts import answers
from movement.parts.fields import told
from movement.parts.stock import Passage, SlabRequest
from webapp.api import PREFIX, REFUSALS, strict

router = APIRouter(prefix=PREFIX, tags=["stock"], responses=REFUSALS)


class SlabMoisture(BaseModel):
    """Mean moisture content on each of the days asked for."""

    moisture_mean_pct: Annotated[
        list[float], told("Mean moisture content through the thickness on each of the days", "%")
    ]
    source: answers.Source


class SettlingDays(BaseModel):
    """Days to half and to nine tenths of the change."""

    days_to_half: Annotated[float, told("Time to half of the change", "days")]
    days_to_90_pct: Annotated[float, told("Time to nine tenths of the change", "days")]
    source: answers.Source


class FinishEntry(BaseModel):
    """A finish as a film that slows moisture."""

    name: str = Field(description="As `finish` of a part takes it.")
    film_m_s: float = Field(description="Surface coefficient, m/s: the smaller, the slower.")
    source: answers.Source
    status: str = Field(description="How far the value can be trusted.")


@router.get("/finishes", summary="Finishes and how much they slow moisture")
async def finish_list() -> list[FinishEntry]:
    """Every finish that a part can be told to have, bare wood first."""
    return [
        FinishEntry(name=one.name, film_m_s=one.film, source=one.source, status=one.status) for one in finish.finishes()
    ]


@router.post("/slab", summary="Moisture of a slab over days")
async def slab_moisture(asked: Annotated[SlabRequest, strict(SlabRequest)]) -> SlabMoisture:
    """A slab's mean moisture content over the days in steady air."""
    mean = slab.mean_moisture(
        asked.thickness_mm,
        asked.diffusion_m2_s,
        asked.film_m_s,
        asked.moisture_start_pct,
        asked.moisture_air_pct,
        asked.days,
        asked.faces,
    )
    return SlabMoisture(moisture_mean_pct=floats(mean).tolist(), source=slab.SOURCE)


@router.post("/settling", summary="Days until a slab settles")
async def settling_days(asked: Annotated[Passage, strict(Passage)]) -> SettlingDays:
    """Days until a slab has done half and nine tenths of its change."""
    found = settling.settling(asked.thickness_mm, asked.diffusion_m2_s, asked.film_m_s, asked.faces)
    return SettlingDays(days_to_half=float(found.half), days_to_90_pct=float(found.ninety), source=slab.SOURCE)
