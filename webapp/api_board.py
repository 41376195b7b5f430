"""The JSON API's board: how one board moves and cups, by its end grain."""

from typing import Annotated

from fastapi import APIRouter

from movement.parts import endgrain
from movement.parts.endgrain import BoardRequest, BoardResult
from webapp.api import PREFIX, REFUSALS, strict

router = APIRouter(prefix=PREFIX, tags=["board"], responses=REFUSALS)


@router.post("/board", summary="Board by its end grain: movement and cup")
async def board_by_end_grain(asked: Annotated[BoardRequest, strict(BoardRequest)]) -> BoardResult:
    """How one board moves across its width and through its thickness, and how it cups.

    Its rings are told by their angles at both edges, by one angle, by where the heart lies, or by a ring's rise over a
    chord. The heart must be clear of the board: 1 mm or more below it, or beside it. The cup is that of a board free of
    any hold and at one moisture throughout; strips of it and glue-ups are tried besides.
    """
    found = endgrain.result(asked)
    if asked.climate is not None:
        found.sources.extend(asked.climate.year().sources)
    return found
