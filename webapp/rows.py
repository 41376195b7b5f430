"""The fields with which a piece, its frames and its panels are edited, and how they turn into its file."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Literal

from pydantic import BaseModel

from movement import lengths
from movement.fits.panel import HOLDS
from movement.lengths import Unit
from movement.parts.base import OwnSpecies
from movement.piece import Defaults, Frame, PanelPart, Piece
from webapp.forms import Form, Spec, bind

HOLD_OPTIONS = tuple((hold, hold.capitalize()) for hold in HOLDS)

PANEL = (
    Spec("name", "Name", "text"),
    Spec("count", "Count", "whole", default="1"),
    Spec("sight_width", "Sight width", "length", "sight_width_mm"),
    Spec("sight_height", "Sight height", "length", "sight_height_mm"),
    Spec("hold", "Hold", "choice", options=(("", "As the piece"), *HOLD_OPTIONS)),
    Spec("species", "Species", "species"),
    Spec("ring_angle", "Ring angle", "number", "ring_angle_deg", unit="°"),
    Spec("moisture_now", "Moisture today", "number", "moisture_now_pct", unit="%"),
    Spec("panel_width", "Width if already cut", "length", "panel_width_mm"),
)
NEW_PANEL = tuple(one for one in PANEL if one.name in ("name", "count", "sight_width", "sight_height"))
FRAME = (
    Spec("name", "Frame", "text", hint="Left side, door, back …"),
    Spec(
        "groove_depth", "Groove depth", "length", "groove_depth_mm", hint="Blank: the deepest that its panels ask for."
    ),
)


def setup_specs(unit: Unit) -> tuple[Spec, ...]:
    """The fields of a piece's shop and stock."""
    steps = tuple((f"{step:.12g}", lengths.step_label(step, unit)) for step in lengths.STEPS[unit])
    return (
        Spec("name", "Name of the piece", "text"),
        Spec("species", "Species", "species", hint="For every panel that does not say otherwise."),
        Spec(
            "ring_angle",
            "Ring angle",
            "number",
            "ring_angle_deg",
            hint="0 flat-sawn, 45 rift, 90 quarter-sawn.",
            unit="°",
        ),
        Spec(
            "moisture_now",
            "Moisture of the stock today",
            "number",
            "moisture_now_pct",
            hint="Meter reading, corrected.",
            unit="%",
        ),
        Spec("hold", "How panels are kept", "choice", options=HOLD_OPTIONS),
        Spec(
            "least_engagement", "Least engagement", "length", "least_engagement_mm", hint="Kept in the driest season."
        ),
        Spec("least_gap", "Least gap", "length", "least_gap_mm", hint="Left in the wettest season."),
        Spec(
            "making_tolerance",
            "Making tolerance",
            "length",
            "making_tolerance_mm",
            hint="Plus or minus, on a panel's width.",
        ),
        Spec(
            "fixed_engagement",
            "Engagement of a fixed edge",
            "length",
            "fixed_engagement_mm",
            hint="For hold “one edge”; blank: the least.",
        ),
        Spec("tongue_thickness", "Thickness of a panel's edge", "length", "tongue_thickness_mm"),
        Spec("end_play", "End play", "length", "end_play_mm", hint="At each end, along the grain."),
        Spec("cutter_step", "Groove depths in steps of", "length", "cutter_step_mm"),
        Spec("cutter_depths", "Or only these depths", "lengths", "cutter_depths_mm", hint="Parted by semicolons."),
        Spec("width_step", "Round widths to", "choice", "width_step_mm", options=steps),
    )


def say(length: float, unit: Unit) -> str:
    """A length in an editing field: the unit's finest step, as a bare number."""
    return lengths.show(length, unit, lengths.STEPS[unit][0], with_unit=False)


def texts(specs: Sequence[Spec], model: BaseModel, unit: Unit) -> dict[str, str]:
    """What the fields show of a model."""
    shown = {}
    for spec in specs:
        value = getattr(model, spec.target)
        if value is None or value == "":
            text = ""
        elif spec.kind == "length":
            text = say(value, unit)
        elif spec.kind == "lengths":
            text = "; ".join(say(one, unit) for one in value)
        elif isinstance(value, OwnSpecies):
            text = value.name
        elif isinstance(value, float):
            text = f"{value:.12g}"
        else:
            text = str(value)
        shown[spec.name] = text
    return shown


def keep_exact(form: Form, specs: Sequence[Spec], model: BaseModel, unit: Unit) -> None:
    """Give a length whose text was not touched its exact value back: what is shown is rounded."""
    before = texts(specs, model, unit)
    for spec in specs:
        field = form.fields.get(spec.name)
        if field is not None and spec.kind in ("length", "lengths") and field.value.strip() == before[spec.name]:
            form.values[spec.target] = getattr(model, spec.target)


def panel_form(
    piece: Piece, data: Mapping[str, str] | None, part: PanelPart | None, specs: Sequence[Spec] = PANEL
) -> Form:
    """A panel's form: as typed where there is data, else as the part is; hints are the piece's own values."""
    shown = {} if part is None else texts(specs, part, piece.unit)
    form = bind(specs, shown if data is None else data, piece.unit)
    if data is not None and part is not None:
        keep_exact(form, specs, part, piece.unit)
    defaults = piece.defaults
    species = defaults.species if isinstance(defaults.species, str) else defaults.species.name
    hints = {
        "species": species,
        "ring_angle": f"{defaults.ring_angle_deg:g}",
        "moisture_now": f"{defaults.moisture_now_pct:g}",
    }
    for name, hint in hints.items():
        if name in form.fields:
            form.fields[name].placeholder = hint
    if "hold" in form.fields:
        form.fields["hold"].options = (("", f"{defaults.hold.capitalize()} (piece)"), *HOLD_OPTIONS)
    if "sight_height" in form.fields:
        form.fields["sight_height"].placeholder = "–"
    if "panel_width" in form.fields:
        form.fields["panel_width"].placeholder = "to cut"
    return form


def setup_form(piece: Piece, data: Mapping[str, str] | None, species: Sequence[tuple[str, str]]) -> Form:
    """The form of a piece's shop and stock."""
    specs = setup_specs(piece.unit)
    now = texts([one for one in specs if one.name != "name"], piece.defaults, piece.unit) | {"name": piece.name}
    step = f"{piece.defaults.width_step_mm:.12g}"
    specs = tuple(
        replace(one, options=((step, lengths.show(float(step), "mm", 0.1)), *one.options))
        if one.name == "width_step" and step not in {value for value, _ in one.options}
        else replace(one, options=tuple(species))
        if one.kind == "species"
        else one
        for one in specs
    )
    form = bind(specs, now if data is None else data, piece.unit)
    if data is not None:
        keep_exact(form, [one for one in specs if one.name != "name"], piece.defaults, piece.unit)
    form.check(Defaults)
    return form


def frame_form(piece: Piece, frame: Frame | None, data: Mapping[str, str] | None = None) -> Form:
    """A frame's form."""
    shown = {} if frame is None else texts(FRAME, frame, piece.unit)
    form = bind(FRAME, shown if data is None else data, piece.unit)
    if data is not None and frame is not None:
        keep_exact(form, FRAME, frame, piece.unit)
    return form


def stamp(model: BaseModel) -> str:
    """A short mark of a model's state: a form that was made from another state carries another."""
    text = json.dumps(model.model_dump(mode="json"), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def unused(piece: Piece, kind: Literal["frame", "panel"]) -> str:
    """A handle that no frame or part of the piece has: f1, f2 … or p1, p2 …"""
    taken = {frame.id for frame in piece.frames} | {part.id for _, part in piece.parts()}
    number = sum(1 for one in taken if one[:1] == kind[0]) + 1
    while f"{kind[0]}{number}" in taken:
        number += 1
    return f"{kind[0]}{number}"


def dumped(model: BaseModel) -> dict[str, Any]:
    """A model as its file holds it."""
    return model.model_dump(mode="json")
