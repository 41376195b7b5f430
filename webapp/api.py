"""The JSON API under /api/v1: the same models and the same core as the pages."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter, FastAPI, Query, Request
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, BeforeValidator, Field, RootModel, TypeAdapter

from movement import gap_table, sorption, species
from movement.climate import Climate
from movement.parts import answers, panel
from movement.parts.climates import AnyClimate, Humidity, Temperature
from movement.parts.fields import told
from movement.parts.panel import PanelRequest, PanelResult
from movement.piece import Piece
from movement.species import Species
from webapp import exports
from webapp.limits import Schema
from webapp.refusals import Refusal

PREFIX = "/api/v1"


class RefusedValue(BaseModel):
    """A refused value: its field, what was given, the allowed range with its unit and source, and words."""

    field: str = Field(description="Dotted path of the key; empty for the whole.")
    message: Annotated[str, told("Why it is refused, in words")]
    value: Annotated[str | int | float | bool | None, told("What was given; null where that is not a single value")] = (
        None
    )
    low: Annotated[float | None, told("Lowest allowed value or number of entries; null: none")] = None
    high: Annotated[float | None, told("Highest allowed value or number of entries; null: none")] = None
    unit: Annotated[str, told("Unit of the range; empty: none")] = ""
    source: Annotated[str, told("Where the range comes from; empty: not told")] = ""


class Refused(BaseModel):
    """The answer to a request with refused values."""

    detail: Annotated[list[RefusedValue], told("Every refused value")]


REFUSALS: dict[int | str, dict[str, Any]] = {422: {"model": Refused, "description": "A refused value"}}
"""What every route may answer."""
BODY_REFUSALS: dict[int | str, dict[str, Any]] = {
    400: {"model": Refused, "description": "The body cannot be read"},
    403: {"model": Refused, "description": "A browser sent the request for another site"},
    413: {"model": Refused, "description": "The body is too large"},
}
"""What a route that takes a body may answer besides; `describe` puts it into the document for every such route."""

ENTRY_REFUSALS: dict[int | str, dict[str, Any]] = {
    401: {"model": Refused, "description": "The server has a passphrase, and the request did not tell it"},
    429: {"model": Refused, "description": "Too many wrong passphrases; the header Retry-After tells how long to wait"},
}
"""What every route may answer where a passphrase is set."""
CREDENTIALS: dict[str, dict[str, str]] = {
    "basic": {"type": "http", "scheme": "basic", "description": "The passphrase, with any user name"},
    "bearer": {"type": "http", "scheme": "bearer", "description": "The passphrase"},
}
"""How a request may tell the passphrase; none is asked for where none is set."""


def strict(annotation: Any) -> BeforeValidator:
    """Reads a body as JSON means it: neither text nor true is taken for a number."""
    adapter: TypeAdapter[Any] = TypeAdapter(annotation)

    def read(sent: Any) -> Any:
        if isinstance(sent, bytes):
            raise ValueError("Send JSON, with the header Content-Type: application/json.")
        return adapter.validate_json(json.dumps(sent), strict=True)

    return BeforeValidator(read)


router = APIRouter(prefix=PREFIX, tags=["api"], responses=REFUSALS)


def refused(refusals: Sequence[Refusal], status: int = 422, headers: Mapping[str, str] | None = None) -> JSONResponse:
    """The answer to a request with refused values, or that is not served."""
    body = Refused(detail=[RefusedValue(**asdict(one)) for one in refusals])
    return JSONResponse(body.model_dump(mode="json"), status, headers=headers)


def describe(app: FastAPI) -> dict[str, Any]:
    """The OpenAPI document.

    A field that may be null is described by itself, not only the value in it. It adds what is left out of it by itself:
    the key that tells a description's kind is needed, a server may ask for a passphrase, and a route that takes a body
    may refuse it before it is looked into.
    """
    if app.openapi_schema is None:
        document = FastAPI.openapi(app)
        _lift_descriptions(document)
        _need_kinds(document, document["components"]["schemas"])
        for operation in (one for path in document["paths"].values() for one in path.values()):
            operation["security"] = [{}, *({name: []} for name in CREDENTIALS)]
            answer = {"schema": {"$ref": f"#/components/schemas/{Refused.__name__}"}}
            for status, refusal in (ENTRY_REFUSALS | (BODY_REFUSALS if "requestBody" in operation else {})).items():
                told = {"description": refusal["description"], "content": {"application/json": answer}}
                operation["responses"].setdefault(str(status), told)
        document["components"]["securitySchemes"] = CREDENTIALS
        app.openapi_schema = document
    return app.openapi_schema


def _lift_descriptions(node: Any) -> None:
    """The words of a value that may be null go up to its field, unless that has its own."""
    for one in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        _lift_descriptions(one)
    branches = node.get("anyOf") if isinstance(node, dict) else None
    if isinstance(branches, list) and {"type": "null"} in branches:
        for words in [branch.pop("description") for branch in branches if "description" in branch]:
            node.setdefault("description", words)


def _need_kinds(node: Any, components: dict[str, Any]) -> None:
    inner = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
    for one in inner:
        _need_kinds(one, components)
    union = node.get("discriminator") if isinstance(node, dict) else None
    if isinstance(union, dict) and isinstance(union.get("mapping"), dict):
        for reference in union["mapping"].values():
            needed = components[reference.rpartition("/")[2]].setdefault("required", [])
            if union["propertyName"] not in needed:
                needed.append(union["propertyName"])


def schema_of(request: Request) -> Schema:
    """The schema of what a route takes: its query, or its body."""
    described = request.app.openapi()
    operation = described["paths"].get(request.url.path, {}).get(request.method.lower(), {})
    query = {one["name"]: one["schema"] for one in operation.get("parameters", ())}
    body = next((one["schema"] for one in operation.get("requestBody", {}).get("content", {}).values()), None)
    return Schema(described, body or {"properties": query})


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
    return found


class GapTable(BaseModel):
    """A piece's gap table as rows."""

    name: Annotated[str, told("Name of the piece")]
    rows: Annotated[list[dict[str, str | float | int | bool | None]], told("One row per part, by column")]


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
    return GapTable(name=asked.name, rows=[row.cells() for row in gap_table.whole(asked)])
