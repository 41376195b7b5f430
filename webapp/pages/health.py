"""Whether the server is up, and whether it is ready to answer: for what watches over it."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from webapp.database import StorageError
from webapp.posted import store_of

router = APIRouter()

_NOW = {"Cache-Control": "no-store"}


@router.get("/health")
async def health() -> Response:
    """The process is up."""
    return JSONResponse({"status": "up"}, headers=_NOW)


@router.get("/ready")
def ready(request: Request) -> Response:
    """Whether the database answers and its tables are of this version; 503 where not."""
    try:
        store_of(request).check()
    except StorageError as error:
        return JSONResponse({"status": "not ready", "reason": error.reason}, 503, _NOW)
    return JSONResponse({"status": "ready"}, headers=_NOW)
