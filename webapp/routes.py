"""All routes but those that may be asked for first: the other pages, and the JSON API.

Only `webapp.remainder` loads this module, so that the first page need not wait for it.
"""

from fastapi import APIRouter

from webapp import api_batch, api_board, api_climate, api_inverse, api_panel, api_parts, api_stock
from webapp.pages import (
    bench,
    board,
    care,
    check,
    climate,
    climate_file,
    elevation,
    help,
    install,
    keep,
    kit,
    labels,
    part,
    piece,
    piece_parts,
    pieces,
    shared,
    sheet,
    species,
    stays,
    stock,
)

PAGES = (
    part,
    check,
    climate_file,
    climate,
    stock,
    board,
    species,
    pieces,
    piece,
    piece_parts,
    stays,
    sheet,
    elevation,
    labels,
    kit,
    bench,
    care,
    keep,
    help,
    install,
    shared,
)
API = (api_panel, api_stock, api_climate, api_batch, api_parts, api_inverse, api_board)

router = APIRouter()
for module in PAGES:
    router.include_router(module.router, include_in_schema=False)
for module in API:
    router.include_router(module.router)
