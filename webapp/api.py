"""The JSON API under /api/v1: the same models and the same core as the pages."""

from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, Field

from movement import gap_table, sorption, species
from movement.parts import panel
from movement.parts.climates import AnyClimate, Humidity, Temperature
from movement.parts.panel import PanelRequest, PanelResult
from movement.piece import Piece
from movement.species import Species
from webapp import exports
from webapp.refusals import Refusal

PREFIX = "/api/v1"


class RefusedValue(BaseModel):
    """A refused value: its field, what was given, the allowed range with its unit and source, and words."""

    field: str
    message: str
    value: Any = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    source: str = ""


class Refused(BaseModel):
    """The answer to a request with refused values."""

    detail: list[RefusedValue]


router = APIRouter(prefix=PREFIX, tags=["api"], responses={422: {"model": Refused, "description": "A refused value"}})


def refused(refusals: Sequence[Refusal]) -> JSONResponse:
    """The 422 answer."""
    body = Refused(
        detail=[
            RefusedValue(
                field=one.field,
                message=one.message,
                value=one.value,
                low=one.low,
                high=one.high,
                unit=one.unit,
                source=one.source,
            )
            for one in refusals
        ]
    )
    return JSONResponse(body.model_dump(mode="json"), 422)


class Moisture(BaseModel):
    """An equilibrium moisture content."""

    moisture_pct: float
    extrapolated: bool = Field(description="The air is colder than the equation's -1.1 °C (30 °F).")
    source: str


@router.get("/emc")
async def emc(temperature_c: Annotated[Temperature, Query()], humidity_pct: Annotated[Humidity, Query()]) -> Moisture:
    """The moisture content that wood settles at in given air."""
    return Moisture(
        moisture_pct=float(sorption.equilibrium_moisture(temperature_c, humidity_pct)),
        extrapolated=bool(sorption.extrapolates(temperature_c)),
        source=sorption.SOURCE,
    )


class PublishedValue(BaseModel):
    """A published pair of coefficients with its source and how far it can be trusted."""

    radial: float | None
    tangential: float | None
    basis: str
    source: str
    status: str


class SpeciesEntry(BaseModel):
    """A species with the coefficients that are used, and all that is published of it here."""

    name: str
    botanical_name: str
    group: str
    other_names: list[str]
    coefficient_radial: float
    coefficient_tangential: float
    start_of_shrinkage_pct: float
    published: list[PublishedValue]
    notes: list[str]
    sources: list[str]


def _entry(one: Species) -> SpeciesEntry:
    return SpeciesEntry(
        name=one.name,
        botanical_name=one.botanical_name,
        group=one.group,
        other_names=list(one.other_names),
        coefficient_radial=one.coefficient_radial,
        coefficient_tangential=one.coefficient_tangential,
        start_of_shrinkage_pct=one.start_of_shrinkage,
        published=[
            PublishedValue(
                radial=value.radial,
                tangential=value.tangential,
                basis=value.basis,
                source=value.source,
                status=value.status,
            )
            for value in one.published
        ],
        notes=list(one.notes),
        sources=list(one.sources),
    )


@router.get("/species")
async def species_list(search: Annotated[str, Query(max_length=120)] = "") -> list[SpeciesEntry]:
    """Every species, or those that answer to a search."""
    found = species.search(search) if search.strip() else species.catalogue()
    return [_entry(one) for one in found]


class Month(BaseModel):
    """A month's air and the moisture content that wood settles at in it."""

    temperature_c: float
    humidity_pct: float
    moisture_pct: float


class Year(BaseModel):
    """Twelve months of air, January first, with the driest and the wettest moisture content."""

    months: list[Month]
    dry_pct: float
    wet_pct: float
    mid_pct: float
    notes: list[str]
    sources: list[str]


@router.post("/climate")
async def climate(chosen: AnyClimate) -> Year:
    """Twelve months of air from a range, from months, from a place or from two moisture contents."""
    year = chosen.year()
    months = zip(year.temperature.tolist(), year.humidity.tolist(), year.moisture.tolist(), strict=True)
    return Year(
        months=[Month(temperature_c=t, humidity_pct=h, moisture_pct=m) for t, h, m in months],
        dry_pct=year.dry,
        wet_pct=year.wet,
        mid_pct=year.mid,
        notes=list(year.notes),
        sources=list(year.sources),
    )


@router.post("/panel")
async def size_panel(asked: PanelRequest) -> PanelResult:
    """Size a panel, or check one."""
    return panel.result(asked, asked.hold, asked.groove_depth_mm, asked.bench())


class GapTable(BaseModel):
    """A piece's gap table as rows."""

    name: str
    rows: list[dict[str, str | float | int | bool | None]]


@router.post(
    "/piece",
    response_model=GapTable,
    responses={200: {"content": {"text/csv": {"schema": {"type": "string"}}}}},
)
def piece_table(asked: Piece, request: Request) -> Response | GapTable:
    """A piece file's gap table: rows as JSON, or the CSV file where text/csv is what is accepted."""
    if "text/csv" in request.headers.get("accept", ""):
        return Response(exports.csv_text(asked), media_type="text/csv; charset=utf-8")
    return GapTable(name=asked.name, rows=[row.cells() for row in gap_table.rows(asked)])
