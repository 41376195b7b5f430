"""The JSON API under /api/v1: what its routes share, how it refuses, and its document."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Annotated, Any

from fastapi import FastAPI, Request
from fastapi.openapi.utils import get_openapi
from fastapi.responses import JSONResponse
from pydantic import BaseModel, BeforeValidator, Field, TypeAdapter
from starlette.routing import BaseRoute

from movement.parts.fields import told
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


def refused(refusals: Sequence[Refusal], status: int = 422, headers: Mapping[str, str] | None = None) -> JSONResponse:
    """The answer to a request with refused values, or that is not served."""
    body = Refused(detail=[RefusedValue(**asdict(one)) for one in refusals])
    return JSONResponse(body.model_dump(mode="json"), status, headers=headers)


def describe(app: FastAPI, routes: Sequence[BaseRoute]) -> dict[str, Any]:
    """The OpenAPI document of the app's routes.

    A field that may be null is described by itself, not only the value in it. It adds what is left out of it by itself:
    the key that tells a description's kind is needed, a server may ask for a passphrase, and a route that takes a body
    may refuse it before it is looked into.
    """
    if app.openapi_schema is None:
        document = get_openapi(title=app.title, version=app.version, routes=routes)
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
