"""The JSON API's stock routes: moisture through a thickness, and how long it takes to settle."""

from fastapi import APIRouter
from pydantic import BaseModel

from movement import settling, slab
from movement.arrays import floats
from movement.parts.stock import Passage, SlabRequest
from webapp.api import PREFIX, Refused

router = APIRouter(prefix=PREFIX, tags=["stock"], responses={422: {"model": Refused, "description": "A refused value"}})


class SlabMoisture(BaseModel):
    """Mean moisture content on each of the days asked for."""

    moisture_mean_pct: list[float]
    source: str


class SettlingDays(BaseModel):
    """Days to half and to nine tenths of the change."""

    days_to_half: float
    days_to_90_pct: float
    source: str


@router.post("/slab")
async def slab_moisture(asked: SlabRequest) -> SlabMoisture:
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


@router.post("/settling")
async def settling_days(asked: Passage) -> SettlingDays:
    """Days until a slab has done half and nine tenths of its change."""
    found = settling.settling(asked.thickness_mm, asked.diffusion_m2_s, asked.film_m_s, asked.faces)
    return SettlingDays(days_to_half=float(found.half), days_to_90_pct=float(found.ninety), source=slab.SOURCE)
