"""The JSON API's routes for every kind of part but the panel: the same models and the same core as their pages."""

from typing import Annotated

from fastapi import APIRouter

from movement.parts import boards, breadboard, door, drawer, front, joint, slats, slot, top
from movement.parts.boards import BoardsRequest, BoardsResult
from movement.parts.breadboard import BreadboardRequest, BreadboardResult
from movement.parts.door import DoorRequest, DoorResult
from movement.parts.drawer import DrawerRequest, DrawerResult
from movement.parts.front import FrontRequest, FrontResult
from movement.parts.joint import JointRequest, JointResult
from movement.parts.slats import SlatsRequest, SlatsResult
from movement.parts.slot import SlotRequest, SlotResult
from movement.parts.top import TopRequest, TopResult
from webapp.api import PREFIX, REFUSALS, strict
from webapp.blame import blaming
from webapp.strays import noted

router = APIRouter(prefix=PREFIX, tags=["parts"], responses=REFUSALS)


@router.post("/boards", summary="Run of boards and its joints")
async def size_boards(asked: Annotated[BoardsRequest, strict(BoardsRequest)]) -> BoardsResult:
    """Size a run of boards and its joints, or check one."""
    with blaming(asked):
        return noted(asked, boards.result(asked, asked.bench()))


@router.post("/drawer", summary="Drawer box in its case")
async def size_drawer(asked: Annotated[DrawerRequest, strict(DrawerRequest)]) -> DrawerResult:
    """Size a drawer box in its case: its sides, its bottom, the room behind it."""
    with blaming(asked):
        return noted(asked, drawer.result(asked, *asked.benches()))


@router.post("/joint", summary="Mortises of a rail's tenons")
async def size_joint(asked: Annotated[JointRequest, strict(JointRequest)]) -> JointResult:
    """Find the mortises that leave a rail's tenons room, or check one."""
    with blaming(asked):
        return noted(asked, joint.result(asked, asked.bench()))


@router.post("/front", summary="Inset drawer front or slab door")
async def size_front(asked: Annotated[FrontRequest, strict(FrontRequest)]) -> FrontResult:
    """Size an inset drawer front or slab door in its opening, or check one that is made."""
    with blaming(asked):
        return noted(asked, front.result(asked, asked.bench()))


@router.post("/door", summary="Inset door, or a pair that meets")
async def size_door(asked: Annotated[DoorRequest, strict(DoorRequest)]) -> DoorResult:
    """Size an inset door, or a pair that meets, or check leaves that are made."""
    with blaming(asked):
        return noted(asked, door.result(asked, asked.bench()))


@router.post("/slot", summary="Slot of a screw or pin")
async def size_slot(asked: Annotated[SlotRequest, strict(SlotRequest)]) -> SlotResult:
    """Find how far a slot runs on each side of its screw."""
    with blaming(asked):
        return noted(asked, slot.slot_result(asked, asked.bench()))


@router.post("/top", summary="Solid top on its frame")
async def size_top(asked: Annotated[TopRequest, strict(TopRequest)]) -> TopResult:
    """Find the slots of a top on its frame, and its overhangs through the year."""
    with blaming(asked):
        return noted(asked, top.result(asked, asked.bench()))


@router.post("/breadboard", summary="Breadboard end and its holes")
async def size_breadboard(asked: Annotated[BreadboardRequest, strict(BreadboardRequest)]) -> BreadboardResult:
    """Find the pin holes of a breadboard end, and how far the top stands proud of it or shy."""
    with blaming(asked):
        return noted(asked, breadboard.result(asked, asked.bench()))


@router.post("/slats", summary="Row of slats through the year")
async def space_slats(asked: Annotated[SlatsRequest, strict(SlatsRequest)]) -> SlatsResult:
    """Follow the clear space of a row of slats through the year, against a limit where there is one."""
    with blaming(asked):
        return noted(asked, slats.result(asked, asked.bench()))
