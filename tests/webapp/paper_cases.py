"""A piece whose paper the tests read: every hold, both layouts, a height that is not told, a part that does not fit.

`PARTS` are parts of every kind that stands in no frame.
"""

from typing import Any

from movement.lengths import Unit
from movement.parts.any import (
    BoardsPart,
    BreadboardPart,
    DoorPart,
    DrawerPart,
    FrontPart,
    JointPart,
    SizedPart,
    SlatsPart,
    SlotPart,
    TopPart,
)
from movement.parts.climates import MoistureClimate
from movement.piece import Defaults, Frame, PanelPart, Piece

TOP = TopPart(
    id="q8",
    name="Top",
    top_width_mm=440.0,
    fixed_at="front",
    distances_mm=[180.0, 360.0],
    screw_mm=5.0,
    overhang_front_mm=20.0,
    overhang_back_mm=8.0,
)
PARTS: list[SizedPart] = [
    DrawerPart(
        id="q1",
        name="Upper drawer",
        count=2,
        opening_height_mm=140.0,
        case_depth_mm=420.0,
        case_grain="vertical",
        front_groove_mm=6.0,
        back_thickness_mm=12.0,
        back_inset_mm=10.0,
        bottom_species="Yellow-poplar",
        bottom_ring_angle_deg=0.0,
    ),
    JointPart(id="q2", name="Bottom rail", tenon_width_mm=110.0, tenons=2),
    SlotPart(id="q3", name="Rear fixing", distance_mm=380.0, screw_mm=5.0),
    BreadboardPart(id="q4", name="Breadboard", top_width_mm=440.0, distances_mm=[150.0, 200.0], screw_mm=8.0),
    SlatsPart(id="q5", name="Shelf slats", slat_width_mm=45.0, space_now_mm=14.0, limit_mm=15.0),
    BoardsPart(id="q6", name="Back", opening_mm=600.0, boards=10, tongue_mm=6.0, hold="centred"),
    DoorPart(
        id="q7",
        name="Pair of doors",
        opening_mm=782.0,
        leaves=2,
        construction="framed",
        stile_width_mm=60.0,
        opening_height_mm=1223.0,
        least_reveal_mm=1.0,
        fixed_reveal_mm=1.0,
    ),
    TOP,
    FrontPart(id="q9", name="Drawer front", opening_mm=140.0, least_reveal_mm=1.0, fixed_reveal_mm=1.0),
]
TOO_LARGE = FrontPart(id="x9", name="Made too large", opening_mm=140.0, least_reveal_mm=1.0, made_mm=150.0)


def panel(id: str, name: str, width: float, height: float | None = 400.0, **more: Any) -> PanelPart:
    return PanelPart(id=id, name=name, sight_width_mm=width, sight_height_mm=height, **more)


def piece(unit: Unit = "mm", **more: Any) -> Piece:
    """A wall cupboard: a side in a column, a back in a row, a door made twice."""
    frames = [
        Frame(
            id="side",
            name="Side",
            member_width_mm=50.0,
            panels=[panel("s1", "Side, upper", 300.0), panel("s2", "Side, lower", 300.0, 500.0, ring_angle_deg=90.0)],
        ),
        Frame(
            id="back",
            name="Back",
            layout="row",
            panels=[
                panel("b1", "Back, left", 250.0, hold="loose", moisture_now_pct=10.0),
                panel("b2", "Back, right", 280.0, None, hold="one edge"),
            ],
        ),
        Frame(id="door", name="Door", panels=[panel("d1", "Door panel", 320.0, 700.0, count=2)]),
        Frame(id="shallow", name="Shallow", groove_depth_mm=4.0, panels=[panel("x1", "Too wide", 450.0)]),
    ]
    fields: dict[str, Any] = {
        "name": "Wall cupboard",
        "climate": MoistureClimate(dry_pct=6.0, wet_pct=12.0),
        "climate_name": "Dry hall",
        "defaults": Defaults(species="Oak, red: northern red", moisture_now_pct=7.5),
        "frames": frames,
    }
    return Piece(unit=unit, **fields | more)
