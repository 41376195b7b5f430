"""The fields with which the board's page asks what the bench can measure of an end grain."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from movement.lengths import Unit
from movement.parts.endgrain import AnyRings, ChordRings, EdgeRings, HeartRings, StraightRings
from webapp.checks import measured
from webapp.checks.check import in_unit, picked
from webapp.forms import Form, Spec
from webapp.panel_fields import OURS

WAYS = {
    "edges": ("ring_left", "ring_right", "course"),
    "straight": ("ring_angle",),
    "heart": ("heart_depth", "heart_offset"),
    "chord": ("ring_chord", "ring_rise", "heart_offset"),
}
"""What is asked by the way that the rings are told."""
RINGS = (
    *("rings", "ring_left", "ring_right", "course", "ring_angle", "heart_depth"),
    *("ring_chord", "ring_rise", "heart_offset"),
)
"""The choice of how they are told, and every field of it, in order."""
BOARD = ("species", "board_width", "board_thickness")
TODAY = ("moisture_by", *measured.MOISTURE["meter"], *measured.MOISTURE["air"])
FOLDED = ("tongue_thickness", "boards")
_MODELS: dict[str, type[EdgeRings | StraightRings | HeartRings | ChordRings]] = {
    "edges": EdgeRings,
    "straight": StraightRings,
    "heart": HeartRings,
    "chord": ChordRings,
}
_BLAMED = {"edges": "ring_left", "heart": "heart_depth", "chord": "ring_rise"}


def specs(unit: Unit) -> list[Spec]:
    """The fields, filled in with a flat-sawn board."""
    known = {one.name: one for one in measured.specs(unit)}
    settled = "Of the room that the board has stood in long enough to settle: weeks."
    known["air_humidity"] = replace(known["air_humidity"], hint=settled)
    today = [known[name] for name in TODAY]
    return [
        *picked(unit, "species"),
        Spec("board_width", "Width of the board", "length", "width_mm", in_unit(unit, "180", '7"'), OURS),
        Spec("board_thickness", "Thickness", "length", "thickness_mm", in_unit(unit, "22", '7/8"'), OURS),
        Spec(
            "rings",
            "Its rings, told by",
            "choice",
            default="edges",
            hint="With the bark side up. Ring angles lie between the rings and the wide face: measure them with a "
            "protractor, half-way through the thickness.",
            options=(
                ("edges", "Angles at both edges"),
                ("straight", "One angle"),
                ("heart", "Where the heart is"),
                ("chord", "A ring's curve"),
            ),
        ),
        Spec("ring_left", "Ring angle at the left edge", "number", "ring_left_deg", "40", OURS, "°"),
        Spec("ring_right", "Ring angle at the right edge", "number", "ring_right_deg", "40", OURS, "°"),
        Spec(
            "course",
            "The rings",
            "choice",
            default="arched",
            options=(("arched", "Arch over the middle"), ("leaning", "Lean one way")),
        ),
        Spec("ring_angle", "Ring angle", "number", "ring_angle_deg", "45", _ONE, "°"),
        Spec("heart_depth", "Depth of the heart", "length", "heart_depth_mm", in_unit(unit, "120", '4 3/4"'), _DEPTH),
        Spec("ring_chord", "Chord", "length", "ring_chord_mm", in_unit(unit, "80", '3"'), _CHORD),
        Spec("ring_rise", "Rise", "length", "ring_rise_mm", in_unit(unit, "7", '1/4"'), _RISE),
        Spec("heart_offset", "Heart off the middle", "length", "heart_offset_mm", "0", _OFFSET),
        *today,
        Spec("tongue_thickness", "Thickness of what sits in a groove", "length", "tongue_thickness_mm", "", _TONGUE),
        Spec("boards", "Such boards in a glue-up", "whole", default="4", hint=OURS),
    ]


_ONE = f"In the middle of the width, where the rings hardly curve: 0 flat-sawn, 45 rift, 90 quarter-sawn. {OURS}"
_DEPTH = f"From the face on the bark side straight down to the level of the log's heart. {OURS}"
_CHORD = (
    "Straight from point to point of one ring: the one that comes nearest to the middle of the face on the bark side. "
    f"{OURS}"
)
_RISE = f"From the middle of the chord to the ring. {OURS}"
_OFFSET = (
    "From the board's middle to the right, bark side up; with a minus to the left. An arch has its top over the heart."
)
_TONGUE = "Blank: the whole thickness."


def idle(form: Form) -> Sequence[str]:
    """The fields that mean nothing beside the chosen ways."""
    found: list[str] = []
    choices: tuple[tuple[str, Mapping[str, Sequence[str]]], ...] = (("rings", WAYS), ("moisture_by", measured.MOISTURE))
    for choice, ways in choices:
        chosen = ways.get(form.fields[choice].value, ())
        found += [name for name in dict.fromkeys(n for names in ways.values() for n in names) if name not in chosen]
    return found


def rings(form: Form) -> AnyRings | None:
    """The rings that the form tells, or ``None`` with the refusals at their fields."""
    model = _MODELS.get(str(form.values["rings"]))
    return None if model is None else form.build(model)


def blamed(form: Form) -> str:
    """The field that decides where the heart is."""
    return _BLAMED.get(form.fields["rings"].value, "rings")
