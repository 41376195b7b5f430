"""The fields that tell how a made panel was measured: its width or its gap, its moisture or the air around it."""

from collections.abc import Sequence

from movement import sorption
from movement.fits import standing
from movement.lengths import Unit
from movement.parts.base import ClearanceFields
from movement.parts.climates import AirState
from webapp import years
from webapp.checks.check import demand, forget, hand_on, in_unit, picked
from webapp.forms import Form, Spec
from webapp.panel_fields import OURS

WIDTH = {"width": ("panel_width",), "gap": ("gap_now",)}
"""What is asked by the way that the width was measured."""
MOISTURE = {"meter": ("moisture_now",), "air": ("air_temperature", "air_humidity")}
"""What is asked by the way that the moisture was found."""
AIR = "air_now"
NAMES = (
    "species",
    "ring_angle",
    "sight_width",
    "groove_depth",
    "hold",
    "measured",
    *WIDTH["width"],
    *WIDTH["gap"],
    "moisture_by",
    *MOISTURE["meter"],
    *MOISTURE["air"],
)
"""The fields of a made panel, in order."""
CLEARANCES = ("least_engagement", "least_gap", "making_tolerance", "fixed_engagement")


def specs(unit: Unit) -> list[Spec]:
    """The fields, filled in with a panel that fits."""
    either = f"How far off the width may be, either way. {OURS}"
    measured = {"label": "Measuring tolerance", "default": "0", "hint": either}
    groove = {"default": in_unit(unit, "9", '3/8"'), "hint": "From the frame's inner edge to the groove's bottom."}
    width = {"default": in_unit(unit, "312", '12 1/2"'), "hint": "Across the grain, edge to edge."}
    air = "Of the room that it has stood in long enough to settle: weeks, for a finished panel."
    return [
        *picked(unit, "species", "ring_angle", "sight_width", "groove_depth", "hold", groove_depth=groove),
        Spec("measured", "Measured", "choice", default="width", options=(("width", "Its width"), ("gap", "Its gap"))),
        *picked(unit, "panel_width", panel_width=width),
        Spec(
            "gap_now",
            "Gap today",
            "length",
            "gap_now_mm",
            in_unit(unit, "3", '1/8"'),
            "Room from the panel's edge to the groove's bottom: the mean of both edges; of the free edge where one is "
            "fixed.",
        ),
        Spec(
            "moisture_by",
            "Moisture today, from",
            "choice",
            default="meter",
            options=(("meter", "A meter"), ("air", "The room's air")),
        ),
        *picked(unit, "moisture_now"),
        Spec("air_temperature", "Temperature of the room", "temperature", f"{AIR}.temperature_c", "20"),
        Spec("air_humidity", "Relative humidity of the room", "number", f"{AIR}.humidity_pct", "45", air, "%"),
        *picked(unit, *CLEARANCES, making_tolerance=measured),
    ]


def settle(form: Form) -> Sequence[str]:
    """Ask for what the chosen ways of measuring need; the fields that they do not need."""
    idle: list[str] = []
    for choice, ways in (("measured", WIDTH), ("moisture_by", MOISTURE)):
        chosen = ways.get(form.fields[choice].value, ())
        idle += [name for names in ways.values() for name in names if name not in chosen]
        demand(form, set(chosen) - set(MOISTURE["air"]))
    if form.fields["hold"].value != "one edge":
        idle.append("fixed_engagement")
    forget(form, idle)
    return idle


def air(form: Form) -> AirState | None:
    """The air that the panel has settled in, or ``None`` where a meter was used or the air was refused."""
    return years.air(form, AIR) if form.fields["moisture_by"].value == "air" else None


def complete(form: Form, air: AirState | None) -> None:
    """Fill in the width that a measured gap tells, and the moisture that the air leads to."""
    values = form.values
    clearances = form.build(ClearanceFields)
    if values["gap_now_mm"] is not None and clearances is not None:
        sizes = (values["sight_width_mm"], values["groove_depth_mm"], values["gap_now_mm"])
        values["panel_width_mm"] = standing.width_from_gap(*sizes, values["hold"], clearances.clearances().fixed)
    if air is not None:
        values["moisture_now_pct"] = float(sorption.equilibrium_moisture(air.temperature_c, air.humidity_pct))


def place(form: Form) -> None:
    """Put what was refused of a width or a moisture at the field that it was made from."""
    if form.fields["measured"].value == "gap":
        hand_on(form, "panel_width", "gap_now")
    if form.fields["moisture_by"].value == "air":
        hand_on(form, "moisture_now", "air_humidity")
