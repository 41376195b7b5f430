"""The JSON API's routes of air, species, a year, a panel and a whole piece."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response
from pydantic import BaseModel, Field, RootModel

from movement import gap_table, sorption, species
from movement.climate import Climate
from movement.parts import answers, panel
from movement.parts.climates import AnyClimate, Humidity, Temperature
from movement.parts.fields import told
from movement.parts.panel import PanelRequest, PanelResult
from movement.piece import Piece
from movement.species import Species
from webapp import exports, strays
from webapp.api import PREFIX, REFUSALS, strict

router = APIRouter(prefix=PREFIX, tags=["api"], responses=REFUSALS)


class Moisture(BaseModel):
    """An equilibrium moisture content."""

    moisture_pct: Annotated[float, told("Equilibrium moisture content", "%")]
    extrapolated: bool = Field(description="The air is colder than the equation's -1.1 °C (30 °F).")
    source: answers.Source


@router.get("/emc", summary="Equilibrium moisture content of air")
async def emc(temperature_c: Annotated[Temperature, Query()], humidity_pct: Annotated[Humidity, Query()]) -> Moisture:
    """The moisture content that wood settles at in given air."""
    return Moisture(
        moisture_pct=float(sorption.equilibrium_moisture(temperature_c, humidity_pct)),
        extrapolated=bool(sorption.extrapolates(temperature_c)),
        source=sorption.SOURCE,
    )


class PublishedValue(BaseModel):
    """A published pair of coefficients with its source and how far it can be trusted."""

    radial: Annotated[
        float | None, told("Movement coefficient from the pith outward; null: not published", "per 1 % MC")
    ]
    tangential: Annotated[
        float | None, told("Movement coefficient along the growth rings; null: not published", "per 1 % MC")
    ]
    basis: Annotated[str, told("What the source gives, which the coefficients come from")]
    source: Annotated[str, told("The publication; empty: none was read")]
    status: Annotated[str, told("How far the value can be trusted")]


class SpeciesEntry(BaseModel):
    """A species with the coefficients that are used, and all that is published of it here."""

    name: Annotated[str, told("Name, as `species` of a part takes it")]
    botanical_name: Annotated[str, told("Botanical name; may be empty")]
    group: Annotated[str, told("Hardwood, softwood, imported or European trade")]
    other_names: Annotated[list[str], told("Other names that it is found by")]
    coefficient_radial: answers.CoefficientRadial
    coefficient_tangential: answers.CoefficientTangential
    start_of_shrinkage_pct: Annotated[float, told("Moisture content below which it shrinks", "%")]
    published: Annotated[list[PublishedValue], told("All that is published of it here")]
    notes: answers.Notes
    sources: answers.Sources


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


@router.get("/species", summary="Species and their movement coefficients")
async def species_list(
    search: Annotated[str, Query(max_length=120), told("Any part of a name; empty: every species")] = "",
) -> list[SpeciesEntry]:
    """Every species, or those that answer to a search."""
    found = species.search(search) if search.strip() else species.catalogue()
    return [_entry(one) for one in found]


class Month(BaseModel):
    """A month's air and the moisture content that wood settles at in it."""

    temperature_c: Annotated[float, told("Temperature of the air", "°C")]
    humidity_pct: Annotated[float, told("Relative humidity of the air", "%")]
    moisture_pct: Annotated[float, told("Moisture content that wood settles at", "%")]


class Year(BaseModel):
    """Twelve months of air, January first, with the driest and the wettest moisture content."""

    months: Annotated[list[Month], told("Each month, January first")]
    dry_pct: Annotated[float, told("Driest moisture content of the year", "%")]
    wet_pct: Annotated[float, told("Wettest moisture content of the year", "%")]
    mid_pct: Annotated[float, told("Midpoint of the driest and the wettest moisture content", "%")]
    notes: answers.Notes
    sources: answers.Sources


class ClimateBody(RootModel[AnyClimate]):
    """One of the ways to describe a year's air; ``kind`` tells which."""


@router.post("/climate", summary="Twelve months of air")
async def climate(chosen: Annotated[ClimateBody, strict(ClimateBody)]) -> Year:
    """Twelve months of air from a range, months, a place, two moisture contents, or a record.

    A file goes to /api/v1/climate/file, whose answer has the record.
    """
    return year_of(chosen.root.year())


def year_of(year: Climate) -> Year:
    """A year in JSON."""
    months = zip(year.temperature.tolist(), year.humidity.tolist(), year.moisture.tolist(), strict=True)
    return Year(
        months=[Month(temperature_c=t, humidity_pct=h, moisture_pct=m) for t, h, m in months],
        dry_pct=year.dry,
        wet_pct=year.wet,
        mid_pct=year.mid,
        notes=list(year.notes),
        sources=list(year.sources),
    )


@router.post("/panel", summary="Panel in its groove")
async def size_panel(asked: Annotated[PanelRequest, strict(PanelRequest)]) -> PanelResult:
    """Size a panel, or check one."""
    found = panel.result(asked, asked.hold, asked.groove_depth_mm, asked.bench())
    if asked.climate is not None:
        found.sources.extend(asked.climate.year().sources)
    return strays.noted(asked, found)


class GapTable(BaseModel):
    """A piece's gap table as rows."""

    name: Annotated[str, told("Name of the piece")]
    rows: Annotated[list[dict[str, str | float | int | bool | None]], told("One row per part, by column")]
    notes: answers.Notes


@router.post(
    "/piece",
    summary="Gap table of a piece",
    response_model=GapTable,
    responses={200: {"content": {"text/csv": {"schema": {"type": "string"}}}}},
)
def piece_table(asked: Annotated[Piece, strict(Piece)], request: Request) -> Response | GapTable:
    """A piece file's gap table: rows as JSON, or the CSV file where text/csv is what is accepted."""
    if "text/csv" in request.headers.get("accept", ""):
        return Response(exports.csv_text(asked), media_type="text/csv; charset=utf-8")
    rows = [row.cells() for row in gap_table.whole(asked)]
    return GapTable(name=asked.name, rows=rows, notes=strays.notes(asked))
