"""A rail's tenons in their mortises, along the stile."""

from collections.abc import Sequence

from movement.parts.joint import JointResult, MortiseResult
from webapp.drawing import edges
from webapp.drawing.edges import Ends
from webapp.drawing.sheet import CLOSEST, FOOT, WIDTH, Drawing, Fill, Pen, at, states
from webapp.words import Words

_ABOVE = 24.0
_THICK = 34.0
_PITCH = 112.0
_MARGIN = 12.0
_EXACT = 1e-9

Span = tuple[float, float]


def mortise(made: JointResult, words: Words) -> Drawing:
    """The tenons today, driest and wettest, in mortises that stay: of one tenon both ends, of several the whole."""
    ratios = [1 + change / made.tenon_width_mm for change in (0.0, -made.shrinkage_dry_mm, made.growth_wet_mm)]
    cuts = _cuts(made)
    tenons = [[_span(one, _held(made), ratio) for one in made.mortises] for ratio in ratios]
    slacks = tuple((spans[0][0] - cuts[0][0], cuts[-1][1] - spans[-1][1]) for spans in tenons)
    if len(cuts) > 1:
        return _row(made, cuts, tenons, slacks, words)
    edge = "" if made.hold == "centred" else " The edge at the left is held."
    caption = (
        "The tenon in its mortise, along the stile (slanted hatching). The slack is to the scale below; the middle is "
        f"left out.{edge}"
    )
    ends = Ends("slack", "slack", slacks, now=(words.least(slacks[0][0]), words.least(slacks[0][1])))
    return edges.across(states(made), ends, words, "The tenon in its mortise", caption)


def _row(
    made: JointResult, cuts: Sequence[Span], tenons: Sequence[Sequence[Span]], slacks: Sequence[Span], words: Words
) -> Drawing:
    low, high = min(0.0, cuts[0][0]), max(made.tenon_width_mm, cuts[-1][1])
    scale = min((WIDTH - 2 * _MARGIN) / (high - low), CLOSEST)
    origin = WIDTH / 2 - (low + high) / 2 * scale
    pen, told = Pen(words), []
    for index, (state, spans, slack) in enumerate(zip(states(made), tenons, slacks, strict=True)):
        top = index * _PITCH + _ABOVE
        foot = top + _THICK
        pen.heading(top - 9, state, "they press" if min(slack) < -_EXACT else "")
        for (start, end), cut, one in zip(spans, cuts, made.mortises, strict=True):
            pen.box(origin + cut[0] * scale, top, origin + cut[1] * scale, foot, "void")
            fill: Fill = "cross" if one.glued else "end"
            pen.box(origin + start * scale, top, origin + end * scale, foot, "part", fill)
        pen.draw(f"M{at(origin + _held(made) * scale)} {at(foot + 18)}v-14l-4 6m4 -6l4 6", "callout")
        pen.text(0.0, foot + 36, f"slack {words.say(slack[0])}")
        pen.text(WIDTH, foot + 36, f"slack {words.say(slack[1])}", "end")
        told.append(f"{state.name}: slack {words.say(slack[0])} at one end and {words.say(slack[1])} at the other")
    height = 3 * _PITCH + FOOT
    pen.bar(height - 14, scale)
    place = "at mid-width" if made.hold == "centred" else "at the edge on the left"
    caption = (
        f"Along the stile, to scale: the tenon that is glued (crossed hatching) is held {place}, at the arrow; the "
        "others move in their mortises."
    )
    return pen.done("The rail's tenons in their mortises", "; ".join(told), caption, height)


def _held(made: JointResult) -> float:
    """Where the rail is held, from the edge that it is marked out from [mm]."""
    return made.tenon_width_mm / 2 if made.hold == "centred" else 0.0


def _span(one: MortiseResult, held: float, ratio: float) -> Span:
    """Where a tenon starts and ends at a ratio of its width over today's [mm]."""
    start, end = one.tenon_start_mm, one.tenon_start_mm + one.tenon_width_mm
    return held + (start - held) * ratio, held + (end - held) * ratio


def _cuts(made: JointResult) -> Sequence[Span]:
    """Where each mortise starts and ends [mm]; a given one lies about the held place."""
    if made.mortise_length_mm is not None:
        first = (made.tenon_width_mm - made.mortise_length_mm) / 2 if made.hold == "centred" else 0.0
        return [(first, first + made.mortise_length_mm)]
    return [
        (one.tenon_start_mm - one.slack_start_mm, one.tenon_start_mm + one.tenon_width_mm + one.slack_end_mm)
        for one in made.mortises
    ]
