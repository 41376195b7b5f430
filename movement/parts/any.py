"""A part of a piece, of any kind but the panel: its own needs, and what is null is the piece's."""

from abc import abstractmethod
from typing import Annotated, Literal

from pydantic import Field

from movement.parts import boards, breadboard, door, drawer, front, joint, slats, slot, top
from movement.parts.base import AnySpecies, Bench, Moisture, Name, RingAngle
from movement.parts.boards import BoardsNeeds, BoardsResult
from movement.parts.breadboard import BreadboardNeeds, BreadboardResult
from movement.parts.door import DoorNeeds, DoorResult
from movement.parts.drawer import DrawerNeeds, DrawerResult, OtherStock
from movement.parts.fields import Described, told
from movement.parts.front import FrontNeeds, FrontResult
from movement.parts.joint import JointNeeds, JointResult
from movement.parts.making import PartResult
from movement.parts.slats import SlatNeeds, SlatsResult
from movement.parts.slot import SlotNeeds, SlotResult
from movement.parts.stays import Thickness
from movement.parts.top import TopNeeds, TopResult

Key = Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]{1,40}$"), told("Handle within the piece, of its own")]
"""A part's or a frame's handle within its piece; kept when the piece is copied or exported."""
KIND = told("Which kind of part this is")


class PartFrame(Described):
    """What every part of a piece has: a handle, a name, how many are made, and its stock where that is its own."""

    id: Key
    name: Name = ""
    count: Annotated[int, Field(ge=1, le=500), told("How many are made")] = 1
    species: Annotated[AnySpecies | None, told("Species, by name or of the maker's own; null: the piece's")] = None
    ring_angle_deg: Annotated[RingAngle | None, told("Ring angle; null: the piece's", "°")] = None
    moisture_now_pct: Annotated[Moisture | None, told("Moisture content today; null: the piece's", "%")] = None
    thickness_mm: Annotated[Thickness | None, told("Thickness of the part; null: the piece's", "mm")] = None


class SizedPart(PartFrame):
    """A part that is sized by itself: one that stands in no frame's groove."""

    kind: str

    @abstractmethod
    def sized(self, *benches: Bench) -> PartResult:
        """The part, sized from its bench; of a drawer those of its bottom and of its case follow.

        Raises
        ------
        RangeError
            A length out of range.
        """


class BoardsPart(BoardsNeeds, SizedPart):
    """A run of boards of a piece."""

    kind: Annotated[Literal["boards"], KIND] = "boards"

    def sized(self, *benches: Bench) -> BoardsResult:
        """The run, sized; raises as `boards.result`."""
        return boards.result(self, *benches)


class DrawerPart(DrawerNeeds, OtherStock, SizedPart):
    """A drawer box of a piece."""

    kind: Annotated[Literal["drawer"], KIND] = "drawer"

    def sized(self, *benches: Bench) -> DrawerResult:
        """The drawer, sized; raises as `drawer.result`."""
        return drawer.result(self, *benches)


class JointPart(JointNeeds, SizedPart):
    """The tenons of a rail of a piece."""

    kind: Annotated[Literal["joint"], KIND] = "joint"

    def sized(self, *benches: Bench) -> JointResult:
        """The tenons with their mortises; raises as `joint.result`."""
        return joint.result(self, *benches)


class FrontPart(FrontNeeds, SizedPart):
    """An inset drawer front or slab door of a piece."""

    kind: Annotated[Literal["front"], KIND] = "front"

    def sized(self, *benches: Bench) -> FrontResult:
        """The front, sized; raises as `front.result`."""
        return front.result(self, *benches)


class DoorPart(DoorNeeds, SizedPart):
    """An inset door of a piece, or a pair that meets."""

    kind: Annotated[Literal["door"], KIND] = "door"

    def sized(self, *benches: Bench) -> DoorResult:
        """The door, sized; raises as `door.result`."""
        return door.result(self, *benches)


class TopPart(TopNeeds, SizedPart):
    """A solid top of a piece."""

    kind: Annotated[Literal["top"], KIND] = "top"

    def sized(self, *benches: Bench) -> TopResult:
        """The top with its slots; raises as `top.result`."""
        return top.result(self, *benches)


class SlotPart(SlotNeeds, SizedPart):
    """A single slot of a piece."""

    kind: Annotated[Literal["slot"], KIND] = "slot"

    def sized(self, *benches: Bench) -> SlotResult:
        """The slot, sized; raises as `slot.slot_result`."""
        return slot.slot_result(self, *benches)


class BreadboardPart(BreadboardNeeds, SizedPart):
    """A breadboard end of a piece."""

    kind: Annotated[Literal["breadboard"], KIND] = "breadboard"

    def sized(self, *benches: Bench) -> BreadboardResult:
        """The end with its holes; raises as `breadboard.result`."""
        return breadboard.result(self, *benches)


class SlatsPart(SlatNeeds, SizedPart):
    """A row of slats of a piece."""

    kind: Annotated[Literal["slats"], KIND] = "slats"

    def sized(self, *benches: Bench) -> SlatsResult:
        """The row through the year; raises as `slats.result`."""
        return slats.result(self, *benches)


AnyPart = Annotated[
    BoardsPart | DrawerPart | FrontPart | DoorPart | JointPart | TopPart | SlotPart | BreadboardPart | SlatsPart,
    Field(discriminator="kind"),
]
"""A part of a piece, of the kind that it names."""

MODELS: dict[str, type[SizedPart]] = {
    "boards": BoardsPart,
    "drawer": DrawerPart,
    "front": FrontPart,
    "door": DoorPart,
    "joint": JointPart,
    "top": TopPart,
    "slot": SlotPart,
    "breadboard": BreadboardPart,
    "slats": SlatsPart,
}
"""The model of each kind."""
