"""A piece whose paper the tests read: every hold, both layouts, a height that is not told, a part that does not fit."""

from typing import Any

from movement.lengths import Unit
from movement.parts.climates import MoistureClimate
from movement.piece import Defaults, Frame, PanelPart, Piece


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
