"""The fields with which a page asks for one panel."""

from dataclasses import replace
from functools import cache

from markupsafe import Markup

from movement import lengths
from movement.fits.panel import HOLDS
from movement.lengths import Unit
from webapp.forms import Spec

_INCHES = {
    "sight_width": '12"',
    "least_engagement": '5/32"',
    "least_gap": '1/32"',
    "making_tolerance": '1/64"',
    "tongue_thickness": '1/4"',
    "end_play": '1/32"',
    "cutter_step": '1/32"',
    "width_step": f"{lengths.STEPS['in'][1]:.12g}",
}
"""Defaults in inches, near the millimetres' own."""
OURS = "Our starting value, no source."
"""The mark of a default that no publication gives."""
ENGAGEMENT = (
    "About 3 mm (1/8 in) is common practice, no source; our starting value keeps a little more, as boards of one "
    "species differ."
)
"""Where the least engagement comes from."""
_RINGS = Markup(
    "Between the growth rings and the wide face, seen on the end grain: 0 flat-sawn, 45 rift, 90 quarter-sawn. "
    '<a href="/board">Rings that vary over the width</a>'
)
"""A board whose rings curve is told on a page of its own."""


@cache
def specs(unit: Unit) -> tuple[Spec, ...]:
    """The fields, with defaults in round figures of the unit."""
    fields = (
        Spec("species", "Species", "species", default="Cherry, black", hint="Common or botanical name."),
        Spec(
            "ring_angle",
            "Ring angle",
            "number",
            "ring_angle_deg",
            "0",
            _RINGS,
            "°",
        ),
        Spec(
            "sight_width",
            "Sight width",
            "length",
            "sight_width_mm",
            "300",
            "Across the grain, between the frame's inner edges.",
        ),
        Spec(
            "sight_height",
            "Sight height",
            "length",
            "sight_height_mm",
            "",
            "Along the grain; leave blank if you only want the width.",
        ),
        Spec(
            "moisture_now",
            "Moisture today",
            "number",
            "moisture_now_pct",
            "8",
            "Meter reading, corrected.",
            "%",
        ),
        Spec(
            "hold",
            "How the panel is kept",
            "choice",
            default="centred",
            hint="Centred: pinned at mid-width or on spacers. Loose: free to slide. One edge: fixed along one edge.",
            options=tuple((hold, hold.capitalize()) for hold in HOLDS),
        ),
        Spec(
            "groove_depth",
            "Groove depth",
            "length",
            "groove_depth_mm",
            "",
            "Leave blank to be told the shallowest that works.",
        ),
        Spec(
            "panel_width",
            "Panel width today",
            "length",
            "panel_width_mm",
            "",
            "Leave blank to be told; fill in to check a panel that is made.",
        ),
        Spec("cutter_step", "Groove depths in steps of", "length", "cutter_step_mm", "1", OURS),
        Spec(
            "cutter_depths",
            "Or only these depths",
            "lengths",
            "cutter_depths_mm",
            "",
            "Parted by semicolons, if your cutters make only certain depths.",
        ),
        Spec(
            "least_engagement",
            "Least engagement",
            "length",
            "least_engagement_mm",
            "4",
            f"Kept at each edge in the driest season. {ENGAGEMENT}",
        ),
        Spec(
            "least_gap",
            "Least gap",
            "length",
            "least_gap_mm",
            "0.5",
            f"Left at each edge in the wettest season. {OURS}",
        ),
        Spec(
            "making_tolerance",
            "Making tolerance",
            "length",
            "making_tolerance_mm",
            "0.5",
            f"How far off the panel's width may come, either way. {OURS}",
        ),
        Spec(
            "fixed_engagement",
            "Engagement of the fixed edge",
            "length",
            "fixed_engagement_mm",
            "",
            "Only for hold “one edge”; blank is the least engagement.",
        ),
        Spec(
            "tongue_thickness",
            "Thickness of the panel's edge",
            "length",
            "tongue_thickness_mm",
            "6",
            f"What sits in the groove: it swells too. {OURS}",
        ),
        Spec("end_play", "End play", "length", "end_play_mm", "1", f"Room at each end, along the grain. {OURS}"),
        Spec(
            "width_step",
            "Round the width to",
            "choice",
            "width_step",
            "0.5",
            OURS,
            options=tuple((f"{step:.12g}", lengths.step_label(step, unit)) for step in lengths.STEPS[unit]),
        ),
    )
    if unit == "mm":
        return fields
    return tuple(replace(one, default=_INCHES.get(one.name, one.default)) for one in fields)
