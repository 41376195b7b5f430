"""A drawer box in its case."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from movement import lengths
from movement.parts import drawer
from movement.parts.base import Bench
from movement.parts.drawer import DrawerRequest, DrawerResult
from webapp import measures
from webapp.drawing import edges
from webapp.drawing.back import back
from webapp.drawing.edges import Ends
from webapp.drawing.sheet import Drawing, states
from webapp.forms import Spec
from webapp.kinds.kind import ROUNDING, Answer, Figure, Kind, choice, fits, length, year_table
from webapp.panel_fields import OURS
from webapp.words import Words


def size(needs: DrawerRequest, bench: Bench) -> DrawerResult:
    """The drawer, each of its parts from its own stock."""
    return drawer.result(needs, *(replace(one, say=bench.say) for one in needs.benches()))


def idle(values: Mapping[str, Any]) -> Sequence[str]:
    """Only a framed case side has stiles."""
    return () if values.get("case_grain") == "frame" else ("case_stile_width",)


def show(needs: DrawerRequest, made: DrawerResult, words: Words) -> Answer:
    """The answer for a drawer."""
    columns = _columns(made)
    above = measures.of(made).today(words)
    told = [words.through(lengths, above if name == _ABOVE else "") for name, lengths in columns]
    now, dry, wet = (tuple(column[place] for column in told) for place in range(3))
    return Answer(
        fits(made),
        tuple(_figures(made, words)),
        words.leaning(made, "the room above the sides") if made.fits else "",
        year_table(made, tuple(name for name, _ in columns), now, dry, wet),
        _drawings(needs, made, words),
        badge=made.bias if made.fits else "",
    )


def _figures(made: DrawerResult, words: Words) -> Iterator[Figure]:
    tallest = made.side_height_max_mm
    height = words.within(made.side_height_mm, 0.0, tallest)
    yield Figure("Height of the sides", height, f"at most {words.most(tallest)}", main=True)
    dry, wet = words.extremes(made.clearance_dry_mm, made.clearance_wet_mm)
    above = measures.of(made).today(words)
    yield Figure("Room above them today", above, f"{dry} when driest, {wet} when wettest", main=True)
    longest = made.side_length_max_mm
    if longest is not None and made.side_length_mm is not None:
        long = words.within(made.side_length_mm, 0.0, longest)
        yield Figure("Length of the sides", long, f"at most {words.most(longest)}")
    low, high = made.bottom_width_min_mm, made.bottom_width_max_mm
    if made.bottom_width_mm is not None and low is not None and high is not None:
        works = words.works(low, high) if low <= high else "no width works"
        yield Figure("Width of the bottom", words.within(made.bottom_width_mm, low, high), f"front to back; {works}")
    forward, backward = made.slot_forward_mm, made.slot_backward_mm
    if forward is not None and backward is not None:
        ahead, behind = words.least(forward), words.least(backward)
        both = lengths.read(ahead) + lengths.read(behind)
        yield Figure("Slot beyond the screw", words.least(both), f"{ahead} forward, {behind} back")


def _columns(made: DrawerResult) -> list[tuple[str, list[float]]]:
    """What moves, by name: today, driest, wettest [mm]; what is not told is left out."""
    columns = {
        _ABOVE: (made.clearance_now_mm, made.clearance_dry_mm, made.clearance_wet_mm),
        "Room behind": (made.back_clearance_now_mm, made.back_clearance_dry_mm, made.back_clearance_wet_mm),
        "Bottom past the back": (made.past_back_now_mm, made.past_back_dry_mm, made.past_back_wet_mm),
    }
    told = ((name, [one for one in lengths if one is not None]) for name, lengths in columns.items())
    return [(name, lengths) for name, lengths in told if lengths]


def _drawings(needs: DrawerRequest, made: DrawerResult, words: Words) -> tuple[Drawing, ...]:
    rooms = (made.clearance_now_mm, made.clearance_dry_mm, made.clearance_wet_mm)
    ends = Ends("", "above", tuple((0.0, room) for room in rooms), now=("", measures.of(made).today(words)))
    caption = (
        "A side in its opening from the front. The slanted hatching is the case; the room above is to the scale "
        "below, and the middle of the side is left out."
    )
    side = edges.upright(states(made), ends, words, "A drawer side in its opening", caption)
    behind = back(needs, made, words)
    return (side,) if behind is None else (side, behind)


_ABOVE = "Room above"
_GRAINS = {"vertical": "Upright", "horizontal": "Level", "frame": "Frame and panel"}

KIND = Kind(
    key="drawer",
    name="A drawer box",
    about="A drawer in its case: how high its sides, how long, how wide its solid bottom, and the slot for the "
    "bottom's screw.",
    lede="How high and how long to cut a drawer's sides, and how wide its solid bottom, so that it runs in the wettest "
    "season, closes in the driest, and its bottom stays in.",
    request=DrawerRequest,
    specs=(
        length("opening_height", "Height of the opening", "120", "Today."),
        length(
            "case_depth",
            "Depth of the case",
            "450",
            "Inside, from the inner face of the drawer's front; blank if it does not matter.",
        ),
        choice(
            "case_grain",
            "Grain of the case's sides",
            "vertical",
            _GRAINS,
            "Upright: the openings keep their height and the depth moves. Level: the openings move. Frame and panel: "
            "the depth moves by its stiles.",
        ),
        length("case_stile_width", "Width of a stile", "60", "Of the case's side frame."),
        length(
            "front_groove", "Groove in the front", "6", "Depth of the groove that holds the bottom; blank: no bottom."
        ),
        length("back_thickness", "Thickness of the back", "12", "The drawer's own back; blank: no bottom."),
        length("back_inset", "Back set in", "10", "From the ends of the sides."),
        length("side_height", "Side height if cut already"),
        length("side_length", "Side length if cut already"),
        length("bottom_width", "Bottom width if cut already", "", "Front to back, across its grain."),
        length("least_gap", "Least gap", "0.5", f"Kept above the sides and behind them all year. {OURS}"),
        length(
            "least_engagement",
            "Least cover of the bottom",
            "3",
            f"Kept under the drawer's back in the driest season. {OURS}",
        ),
        length("making_tolerance", "Making tolerance", "0", "How far off a size may come, either way."),
        ROUNDING,
        Spec("bottom_species", "Species of the bottom", "species", hint="Blank: as the sides."),
        Spec("bottom_ring_angle", "Ring angle of the bottom", "number", "bottom_ring_angle_deg", unit="°"),
        Spec("bottom_moisture_now", "Moisture today of the bottom", "number", "bottom_moisture_now_pct", unit="%"),
        Spec("case_species", "Species of the case", "species", hint="Blank: as the sides."),
        Spec("case_ring_angle", "Ring angle of the case", "number", "case_ring_angle_deg", unit="°"),
        Spec("case_moisture_now", "Moisture today of the case", "number", "case_moisture_now_pct", unit="%"),
    ),
    inches={
        "opening_height": '5"',
        "case_depth": '18"',
        "case_stile_width": '2 1/4"',
        "front_groove": '1/4"',
        "back_thickness": '1/2"',
        "back_inset": '3/8"',
        "least_gap": '1/32"',
        "least_engagement": '1/8"',
    },
    folded=(
        "side_height",
        "side_length",
        "bottom_width",
        "least_gap",
        "least_engagement",
        "making_tolerance",
        "size_step",
        "bottom_species",
        "bottom_ring_angle",
        "bottom_moisture_now",
        "case_species",
        "case_ring_angle",
        "case_moisture_now",
    ),
    size=size,
    show=show,
    idle=idle,
    follows=False,  # sides, bottom and case differ in thickness: one figure for all would flatter the slower
)
