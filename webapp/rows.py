"""The fields with which a piece, its frames and its panels are edited, and how what is typed meets what is kept."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from movement import lengths
from movement.fits.panel import HOLDS
from movement.lengths import Unit
from movement.parts.any import DoorPart
from movement.parts.base import OwnSpecies
from movement.piece import Defaults, Frame, PanelPart, Piece
from webapp import doubts, following
from webapp.forms import Field, Form, Spec, bind, unit_of
from webapp.panel_fields import ENGAGEMENT, OURS
from webapp.posted import mark
from webapp.render import UNITS
from webapp.words import entered

HOLD_OPTIONS = tuple((hold, hold.capitalize()) for hold in HOLDS)

PANEL = (
    Spec("name", "Name", "text"),
    Spec("sight_width", "Sight width", "length", "sight_width_mm"),
    Spec("sight_height", "Sight height", "length", "sight_height_mm"),
    Spec("count", "Count", "whole", default="1"),
    Spec("hold", "How it is kept", "choice", options=(("", "As the piece"), *HOLD_OPTIONS)),
    Spec("species", "Species", "species"),
    Spec("ring_angle", "Ring angle", "number", "ring_angle_deg", unit="°"),
    Spec("moisture_now", "Moisture today", "number", "moisture_now_pct", unit="%"),
    Spec("thickness", "Thickness", "length", "thickness_mm"),
    Spec("panel_width", "Already cut to", "length", "panel_width_mm"),
)
MAIN = ("name", "sight_width", "sight_height", "count")
"""The fields of a panel's first line, and of a new panel."""
MORE = tuple(one.name for one in PANEL if one.name not in MAIN)
"""The fields that a panel seldom needs: blank, each is the piece's."""
NEW_PANEL = tuple(one for one in PANEL if one.name in MAIN)
FRAME = (Spec("name", "Frame", "text"), Spec("groove_depth", "Groove depth", "length", "groove_depth_mm"))
DOOR = Spec("door", "Frame of", "choice")
"""The field of a frame that tells which door it is of, where the piece has a framed one."""


def setup_specs(unit: Unit) -> tuple[Spec, ...]:
    """The fields of a piece's shop and stock."""
    steps = tuple((f"{step:.12g}", lengths.step_label(step, unit)) for step in lengths.STEPS[unit])
    rings = "0 flat-sawn, 45 rift, 90 quarter-sawn."
    edge = "For “one edge”; blank: the least engagement."
    dry, made = f"In the driest season. {ENGAGEMENT}", f"Either way, on a width. {OURS}"
    return (
        Spec("name", "Name of the piece", "text"),
        Spec("species", "Species", "species", hint="For every panel that does not say otherwise."),
        Spec("ring_angle", "Ring angle", "number", "ring_angle_deg", hint=rings, unit="°"),
        Spec("moisture_now", "Moisture today", "number", "moisture_now_pct", "", "Of the stock, corrected.", "%"),
        Spec("hold", "How panels are kept", "choice", options=HOLD_OPTIONS),
        Spec(
            "least_engagement",
            "Least engagement",
            "length",
            "least_engagement_mm",
            hint=dry,
        ),
        Spec("least_gap", "Least gap", "length", "least_gap_mm", hint=f"In the wettest season. {OURS}"),
        Spec(
            "making_tolerance",
            "Making tolerance",
            "length",
            "making_tolerance_mm",
            hint=made,
        ),
        Spec("fixed_engagement", "Engagement of a fixed edge", "length", "fixed_engagement_mm", hint=edge),
        Spec("tongue_thickness", "Thickness of a panel's edge", "length", "tongue_thickness_mm", hint=OURS),
        Spec("end_play", "End play", "length", "end_play_mm", hint=f"At each end, along the grain. {OURS}"),
        Spec("cutter_step", "Groove depths in steps of", "length", "cutter_step_mm", hint=OURS),
        Spec("cutter_depths", "Or only these depths", "lengths", "cutter_depths_mm", hint="Parted by semicolons."),
        Spec("width_step", "Round widths to", "choice", "width_step_mm", hint=OURS, options=steps),
        *following.specs(unit, "Panels follow the air"),
        *doubts.specs(),
    )


def say(length: float, unit: Unit) -> str:
    """A length as a bare number in the unit's finest step, without a needless zero: 312, 312.5 or 12 9/32."""
    return lengths.show(length, unit, lengths.STEPS[unit][0], with_unit=False).removesuffix(".0")


def texts(specs: Sequence[Spec], values: Mapping[str, Any], unit: Unit) -> dict[str, str]:
    """What the fields show of kept values."""
    return {spec.name: _text(spec, values[spec.target], unit) for spec in specs}


def _text(spec: Spec, value: Any, unit: Unit) -> str:
    if value is None or value == "":
        return ""
    if spec.kind == "length" and spec.exact:
        return entered(value, unit).removesuffix(" mm" if unit == "mm" else '"')
    if spec.kind == "length":
        return say(value, unit)
    if spec.kind == "lengths":
        return "; ".join(say(one, unit) for one in value)
    if isinstance(value, OwnSpecies):
        return value.name
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def marks(specs: Sequence[Spec], values: Mapping[str, Any], unit: Unit) -> str:
    """Short marks of what the fields show: they tell later which the reader has changed, and which others have."""
    return ".".join(mark(text) for text in texts(specs, values, unit).values())


def shown(specs: Sequence[Spec], values: Mapping[str, Any], unit: Unit) -> Form:
    """The form of kept values, as they are."""
    form = Form({}, unit)
    for name, text in texts(specs, values, unit).items():
        spec = next(one for one in specs if one.name == name)
        form.fields[name] = Field(name, spec.label, spec.kind, text, unit_of(spec, unit), spec.hint, "", spec.options)
    return form


def read(specs: Sequence[Spec], data: Mapping[str, str], values: Mapping[str, Any], unit: Unit) -> Form:
    """What was typed over kept values, field by field.

    A field that was not touched keeps its value, exact, also where it was changed elsewhere since; one that was touched
    gives what was typed; one that was touched here and changed elsewhere is refused, and says what is kept by now. The
    text is read in the unit that the fields were shown in (``unit`` in the data), `marks` are under ``stamp``.
    """
    seen_in = seen_unit(data, unit)
    now = texts(specs, values, seen_in)
    was = dict(zip(now, data.get("stamp", "").split("."), strict=False))
    typed = {name: data[name] for name in now if name in data}
    own = {name for name, text in typed.items() if text.strip() != now[name] and mark(text) != was.get(name)}
    form = bind(specs, now | {name: typed[name] for name in own}, seen_in)
    for spec in specs:
        field = form.fields[spec.name]
        if spec.name not in own:
            form.values[spec.target], field.error = values[spec.target], ""
            form.unread.discard(spec.name)
        elif was.get(spec.name) and was[spec.name] != mark(now[spec.name]):
            kept = f"“{now[spec.name]}”" if now[spec.name] else "blank"
            form.unread.discard(spec.name)
            field.error = f"This was changed elsewhere meanwhile and is now {kept}. Keep yours to overwrite it."
    return form


def seen_unit(data: Mapping[str, str], unit: Unit) -> Unit:
    """The unit that a posted form's fields were shown in; the piece's where it does not say."""
    return next((one for one in UNITS if one == data.get("unit")), unit)


def frame_specs(piece: Piece) -> tuple[Spec, ...]:
    """The fields of a frame of this piece."""
    doors = [
        (one.id, one.name or "Door")
        for one in piece.parts
        if isinstance(one, DoorPart) and one.construction == "framed"
    ]
    return (*FRAME, replace(DOOR, options=(("", "No door"), *doors))) if doors else FRAME


def panel_specs(piece: Piece) -> tuple[Spec, ...]:
    """The fields of a panel of this piece."""
    hold = (("", f"{piece.defaults.hold.capitalize()} (piece)"), *HOLD_OPTIONS)
    return tuple(replace(one, options=hold) if one.name == "hold" else one for one in PANEL)


def panel_hints(piece: Piece) -> dict[str, str]:
    """What stands in a blank field of a panel: the piece's own value."""
    defaults = piece.defaults
    species = defaults.species if isinstance(defaults.species, str) else defaults.species.name
    angle, moisture = f"{defaults.ring_angle_deg:g}", f"{defaults.moisture_now_pct:g}"
    thickness = say(defaults.thickness_mm, piece.unit)
    return {
        "species": species,
        "ring_angle": angle,
        "moisture_now": moisture,
        "thickness": thickness,
        "panel_width": "to cut",
    }


def with_hints(form: Form, hints: Mapping[str, str]) -> Form:
    """The form with hints in its blank fields."""
    for name in form.fields.keys() & hints.keys():
        form.fields[name].placeholder = hints[name]
    return form


def new_panel_form(frame: Frame, unit: Unit, data: Mapping[str, str] | None = None) -> Form:
    """The form of a new panel: blank, with the name it gets and the sizes of the panel before it as hints."""
    form = bind(NEW_PANEL, data or {}, seen_unit(data or {}, unit))
    hints = {"name": new_name(frame)}
    if frame.panels:
        last = frame.panels[-1]
        hints["sight_width"] = f"before {say(last.sight_width_mm, unit)}"
        if last.sight_height_mm is not None:
            hints["sight_height"] = f"before {say(last.sight_height_mm, unit)}"
    return with_hints(form, hints)


def new_name(frame: Frame) -> str:
    """What a new panel of a frame is called unless it is named."""
    taken = {part.name for part in frame.panels}
    number = len(frame.panels) + 1
    while f"Panel {number}" in taken:
        number += 1
    return f"Panel {number}"


def own_words(part: PanelPart, unit: Unit) -> str:
    """What a panel has of its own beside its size, in words; empty where all is the piece's."""
    species = part.species.name if isinstance(part.species, OwnSpecies) else part.species
    words = [
        part.hold or "",
        species or "",
        "" if part.ring_angle_deg is None else f"ring angle {part.ring_angle_deg:g}°",
        "" if part.moisture_now_pct is None else f"at {part.moisture_now_pct:g} % today",
        "" if part.thickness_mm is None else f"{say(part.thickness_mm, unit)} {unit} thick",
        "" if part.panel_width_mm is None else f"already cut to {say(part.panel_width_mm, unit)} {unit}",
    ]
    return ", ".join(word for word in words if word)


def setup_values(piece: Piece) -> dict[str, Any]:
    """The kept values of a piece's shop and stock."""
    return dict(piece.defaults) | dict(piece.defaults.spread) | {"name": piece.name}


def setup_form(piece: Piece, species: Sequence[tuple[str, str]], data: Mapping[str, str] | None = None) -> Form:
    """The form of a piece's shop and stock, as it is or as typed."""
    values = setup_values(piece)
    unit = piece.unit if data is None else seen_unit(data, piece.unit)
    specs = setup_specs(unit)
    step = f"{piece.defaults.width_step_mm:.12g}"
    steps = next(one.options for one in specs if one.name == "width_step")
    if step not in {value for value, _ in steps}:
        steps = ((step, f"{step} mm"), *steps)
    sure = doubts.options(piece.defaults.confidence_pct)
    options = {"width_step": steps, "species": tuple(species), "confidence": sure}
    specs = tuple(replace(one, options=options.get(one.name, one.options)) for one in specs)
    if data is None:
        return shown(specs, values, unit)
    form = read(specs, data, values, unit)
    if form.values["width_step_mm"] is not None:
        form.values["width_step_mm"] = float(form.values["width_step_mm"])
    following.settle(form)
    form.check(Defaults)
    return form
