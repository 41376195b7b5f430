"""Every kind of part that has a page of its own under /parts."""

from typing import Any

from webapp.kinds import boards, breadboard, door, drawer, front, joint, slats, slot, top
from webapp.kinds.kind import Kind

KINDS: tuple[Kind[Any, Any], ...] = (
    boards.KIND,
    drawer.KIND,
    front.KIND,
    door.KIND,
    joint.KIND,
    top.KIND,
    slot.KIND,
    breadboard.KIND,
    slats.KIND,
)
"""In the order in which a maker meets them."""


def find(key: str) -> Kind[Any, Any] | None:
    """The kind of this key; ``None`` where there is none."""
    return next((kind for kind in KINDS if kind.key == key), None)
