"""Piece files made up for tests."""

import json
from typing import Any

from movement.piece import FORMAT

YEAR = {"kind": "moisture", "dry_pct": 6, "wet_pct": 11}


def swollen() -> bytes:
    """A file within the limit; with all that its parts do not say, the piece is beyond it."""
    name = "\U0001f332" * 80
    wood: dict[str, Any] = {"name": "Pine", "botanical_name": name}
    wood |= {"coefficient_radial": 0.001, "coefficient_tangential": 0.002}
    stock = {"species": wood, "bottom_species": wood, "case_species": wood}
    parts = [{"kind": "drawer", "id": f"d{n}", "opening_height_mm": 150, "name": name} | stock for n in range(1990)]
    file = {"format": FORMAT, "version": 1, "name": "Chest", "climate": YEAR, "parts": parts}
    return json.dumps(file, separators=(",", ":"), ensure_ascii=False).encode()
