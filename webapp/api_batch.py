"""The JSON API's batch route: a catalogue over many places, streamed as it is worked."""

import csv
import io
import json
from collections.abc import Callable, Iterator, Sequence
from typing import Annotated

from fastapi import APIRouter, Request
from fastapi.responses import Response, StreamingResponse
from pydantic import Field

from movement import batch
from movement.parts.batch import BatchPart, BatchPlace
from movement.parts.fields import Described, told
from webapp.api import PREFIX, Refused, refused
from webapp.refusals import Refusal

MOST_ROWS = 5_000_000
"""Panel-place rows in one request; more than this is a job for ``python -m movement.batch``."""

router = APIRouter(prefix=PREFIX, tags=["batch"], responses={422: {"model": Refused, "description": "A refused value"}})


class BatchRequest(Described):
    """Panels and the places that each of them is sized for."""

    parts: Annotated[list[BatchPart], Field(min_length=1, max_length=50_000), told("Panels to size")]
    places: Annotated[
        list[BatchPlace], Field(min_length=1, max_length=50_000), told("Places that each panel is sized for")
    ]


@router.post(
    "/batch",
    summary="Catalogue of panels over many places",
    response_class=StreamingResponse,
    responses={
        200: {
            "description": "One row per panel and place, as JSON lines or, where text/csv is accepted, as CSV",
            "content": {
                "application/x-ndjson": {"schema": {"type": "string"}},
                "text/csv": {"schema": {"type": "string"}},
            },
        }
    },
)
def size_catalogue(asked: BatchRequest, request: Request) -> Response:
    """Size every panel for every place; rows come as they are worked."""
    rows = len(asked.parts) * len(asked.places)
    if rows > MOST_ROWS:
        message = f"{rows} rows; one request takes at most {MOST_ROWS}. Use python -m movement.batch for more."
        return refused([Refusal("parts", message, rows, 1, MOST_ROWS, "rows", "limit of this program")])
    wants_csv = "text/csv" in request.headers.get("accept", "")
    kind = "text/csv; charset=utf-8" if wants_csv else "application/x-ndjson"
    return StreamingResponse(_lines(asked, _csv_rows if wants_csv else _json_rows, wants_csv), media_type=kind)


_Writer = Callable[[Sequence[str], Iterator[tuple[object, ...]]], str]


def _lines(asked: BatchRequest, write: _Writer, heading: bool) -> Iterator[str]:
    work = batch.job(asked.parts, asked.places)
    names = ("part", "place", *batch.LENGTHS)
    if heading:
        yield ",".join(names) + "\r\n"
    for block in batch.blocks(work.parts, work.years):
        parts = (work.parts[index].part for index in block.panel.tolist())
        places = (work.places[index].place for index in block.place.tolist())
        yield write(names, zip(parts, places, *(column.round(4).tolist() for column in block[2:]), strict=True))


def _json_rows(names: Sequence[str], rows: Iterator[tuple[object, ...]]) -> str:
    return "".join(json.dumps(dict(zip(names, row, strict=True)), ensure_ascii=False) + "\n" for row in rows)


def _csv_rows(names: Sequence[str], rows: Iterator[tuple[object, ...]]) -> str:
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue()
